// What the clinic knows of pens, cartridges, needles and insulins, and what fits what
// (web/src/model.ts: Shelf).
#pragma once

#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

json::Value shelf_page(const Clinic& clinic, const Caller& caller);

std::vector<Row> shelf_rows();

}  // namespace penstock::pages
