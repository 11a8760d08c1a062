// The section Reach of a page (web/src/model.ts: ReachSection), for a person and for the phone
// desk.
#pragma once

#include <vector>

#include "core/reach/reach.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/sites/sites.hpp"

namespace penstock::pages {

struct ReachRow {
  BodyPart part = BodyPart::abdomen;
  Result<reach::Reach> found;
};

/// `request` and `found`: the part that is shown. `rows`: every part that is allowed.
json::Value reach_section(const Words& words, const reach::ReachRequest& request,
                          const Result<reach::Reach>& found, const std::vector<ReachRow>& rows);
/// What stands beside an injection into that part: what to change first where muscle or skin is too
/// likely (H16), why there is no number where there is none (H33), otherwise nothing.
Rich reach_note(const Words& words, const PersonReach& reach);
/// Another needle was fitted last than the rules name (H16); otherwise nothing.
Rich needle_note(const Words& words, const Chart& person);
/// A section that has nothing to show yet.
json::Value empty_reach(const Words& words, json::Value empty);

}  // namespace penstock::pages
