// The section Reach of a page (web/src/model.ts: ReachSection), for a person and for the phone
// desk.
#pragma once

#include <vector>

#include "core/reach/reach.hpp"
#include "shell/desk/internal/page.hpp"

namespace penstock::desk {

struct ReachRow {
  BodyPart part = BodyPart::abdomen;
  Result<reach::Reach> found;
};

/// `request` and `found`: the part that is shown. `rows`: every part that is allowed.
json::Value reach_section(const reach::ReachRequest& request, const Result<reach::Reach>& found,
                          const std::vector<ReachRow>& rows);
/// What to change first, as a sentence; empty where nothing is too likely (H16).
Rich reach_warning(const reach::ReachRequest& request, const reach::Reach& found);
/// A section that has nothing to show yet.
json::Value empty_reach(json::Value empty);

}  // namespace penstock::desk
