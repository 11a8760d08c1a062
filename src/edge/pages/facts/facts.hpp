// What can be recorded: the kinds of facts, and of one its schema and an example.
#pragma once

#include <vector>

#include "edge/pages/pages.hpp"

namespace penstock::pages {

std::vector<Row> fact_rows();

}  // namespace penstock::pages
