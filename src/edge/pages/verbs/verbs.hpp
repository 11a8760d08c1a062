// The calculations as pages: what one takes, and its answer (edge/verbs/all has the list).
#pragma once

#include <vector>

#include "edge/pages/pages.hpp"

namespace penstock::pages {

std::vector<Row> verb_rows();

}  // namespace penstock::pages
