// What pages call the things of the clinic's stock.
#pragma once

#include <string>

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

/// What an item of the shelf is called where several stand together: "insulin glargine, 100
/// units/mL, 3 mL cartridge". A code that the shelf does not know is its own name.
std::string item_name(const Words& words, const shelf::Shelf& shelf, std::string_view item);
/// The insulin that an item holds; nothing: a needle, or unknown.
std::optional<supply::Kind> kind_of_item(const shelf::Shelf& shelf, std::string_view item);
/// Codes of everything that can be kept in stock: cartridges and prefilled pens, then needles.
std::vector<std::string> stock_items(const shelf::Shelf& shelf);
/// "lot AB12", or that it was not recorded.
std::string lot_name(const Words& words, std::string_view lot);

}  // namespace penstock::pages
