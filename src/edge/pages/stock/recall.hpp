// A lot was called back: whom it reached, what they have of it and what was injected from it, and
// what to say to them (web/src/model.ts: RecallPage). By the tags and the summary rows: no journal
// is folded.
//
//   rows with summary::tag_of_lot(key)            -> reached_by
//   for each of its kinds, rows with
//   summary::tag_of_unknown_lot(kind)             -> add_unknown
#pragma once

#include <cstdint>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/stock/stock.hpp"
#include "core/supply/supply.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

struct Reached {
  summary::Row row;
  std::vector<supply::LotAtHome> lots;  ///< of the lot that is looked for
  bool at_hand = false;
  journal::CallOutcome outcome = journal::CallOutcome::not_reached;
  bool called = false;
};

struct RecallFound {
  std::vector<Reached> people;   ///< whoever has some of it first, then by name
  std::vector<Reached> unknown;  ///< have the insulin, and nobody wrote its lot
  std::set<std::pair<std::string, std::int32_t>> kinds;  ///< insulins that bear this number
  std::size_t unreadable = 0;                            ///< rows that did not unpack
};

/// `recall`: the one on record, or nullptr. Error: a row that this program did not write.
Result<RecallFound> reached_by(const Clinic& clinic, std::string_view key,
                               const stock::Recall* recall, std::span<const summary::Row> rows);
Result<void> add_unknown(RecallFound& found, const supply::Kind& kind, const stock::Recall* recall,
                         std::span<const summary::Row> rows);
/// Reached by a recall, and still without a replacement.
std::int64_t waiting_of(const RecallFound& found);

json::Value recall_page(const RecallFound& found, std::string_view lot, const Clinic& clinic,
                        const Caller& caller, const NewId& new_id);

}  // namespace penstock::pages
