// Supplies: how long what is in the house lasts, when to ask, what is at home by account and by
// count, the sharps box (web/src/model.ts: SuppliesPage).
#pragma once

#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

json::Value supplies_page(const Chart& person, const People& people, const Clinic& clinic,
                          const Caller& caller, const NewId& new_id);

std::vector<Row> supplies_rows();

}  // namespace penstock::pages
