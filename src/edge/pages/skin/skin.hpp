// Skin and places: where injections went, where the next ones go, what is kept off, and how deep
// the needle goes (web/src/model.ts: PlacesPage).
#pragma once

#include <string>
#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

/// `pictures`: those that are here, and those that were erased.
json::Value places_page(const Chart& person, const People& people, const Clinic& clinic,
                        const Caller& caller, const std::vector<Picture>& pictures);

std::vector<Row> skin_rows();

}  // namespace penstock::pages
