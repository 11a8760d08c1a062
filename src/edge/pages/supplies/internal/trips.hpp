// Trips on the page "Supplies".
#pragma once

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

/// Those that are not over, by the day of leaving (web/src/model.ts: SuppliesPage.trips).
json::Value trips_of(const Words& words, const Chart& person, const When& now);

}  // namespace penstock::pages
