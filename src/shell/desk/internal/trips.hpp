// Trips on the page "Supplies".
#pragma once

#include "edge/json/json.hpp"
#include "shell/desk/internal/folded.hpp"
#include "shell/desk/internal/page.hpp"

namespace penstock::desk {

/// Those that are not over, by the day of leaving (web/src/model.ts: SuppliesPage.trips).
json::Value trips_of(const Folded& person, const When& now);

}  // namespace penstock::desk
