// The registry of pages: who takes a new area in adds a line to all.cpp, and the server, the
// command line and the description of the calls have its pages.
#pragma once

#include <span>
#include <string_view>

#include "edge/pages/pages.hpp"

namespace penstock::pages {

/// Every row of every area; each has a document.
std::span<const Row> all();
/// nullptr: there is none.
const Row* find(std::string_view method, std::string_view pattern);

}  // namespace penstock::pages
