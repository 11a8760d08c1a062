// A lot was called back: whom it reached, what they have of it and what was injected from it, and
// what to say to them (web/src/model.ts: RecallPage). By the tags and the summary rows: no journal
// is folded.
//
//   find_recalled(clinic, key, recall, tagged)      asks for the rows by tag
//   recall_page(found, lot, clinic, caller, new_id)
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
#include "edge/pages/pages.hpp"

namespace penstock::pages {

struct Reached {
  summary::RowPtr row;
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
  std::vector<std::string> meant;  ///< lots that are known, where this one is not
  bool incomplete = false;         ///< somebody's record could not be worked out, or is missing
};

/// A lot that was called back and that somebody still has.
struct OpenRecall {
  std::string lot;
  std::string key;
  std::int64_t waiting = 0;  ///< people
};
/// Whom a lot reached, and who has its insulin without a lot number. `recall`: the one on record,
/// or nullptr. Error: a row that this program did not write.
Result<RecallFound> find_recalled(const Clinic& clinic, std::string_view key,
                                  const stock::Recall* recall, const TaggedRows& tagged);
/// Of the numbers that may have been meant those that are on the shelf, recalled or at somebody's
/// home.
Result<std::vector<std::string>> lots_suggested(const Clinic& clinic, std::string_view key,
                                                const TaggedRows& tagged);
/// Lots that were called back and that somebody still has.
Result<std::vector<OpenRecall>> recalls_open(const Clinic& clinic, const TaggedRows& tagged);

json::Value recall_page(const RecallFound& found, std::string_view lot, const Clinic& clinic,
                        const Caller& caller, const NewId& new_id);

}  // namespace penstock::pages
