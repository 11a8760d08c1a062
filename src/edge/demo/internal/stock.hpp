// The clinic's own stock behind what the demo's people were given: the same lots, so that a recall
// finds them.
#pragma once

#include <span>
#include <string>

#include "edge/demo/demo.hpp"

namespace penstock::demo {

/// The lot that the clinic hands out of an item in that time: a new one comes every six weeks.
struct StockLot {
  std::string lot;
  LocalDay came{};
  LocalDay expires{};
};
StockLot stock_lot(const shelf::Shelf& shelf, std::string_view cartridge, LocalDay first,
                   LocalDay day);

/// Deliveries, movements, a count, a lot that expired and one that was called back.
std::vector<journal::Fact> stock_facts(const Setting& setting, LocalDay first,
                                       std::span<const Journal> people);

}  // namespace penstock::demo
