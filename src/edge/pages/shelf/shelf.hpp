// What the clinic knows of pens, cartridges, needles and insulins, and what fits what
// (web/src/model.ts: ShelfPage).
#pragma once

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

json::Value shelf_page(const Clinic& clinic, const Caller& caller);

}  // namespace penstock::pages
