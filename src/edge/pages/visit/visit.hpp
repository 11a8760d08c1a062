// A visit to somebody (web/src/model.ts: Visit): what changed since the last one, what to feel, to
// watch and to ask, the note as it stands, and how it is closed.
#pragma once

#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

json::Value visit_page(const Chart& person, const Clinic& clinic, const Caller& caller);

std::vector<Row> visit_rows();

}  // namespace penstock::pages
