// How many people a list about the whole clinic names.
#pragma once

#include <cstddef>

namespace penstock::pages {

/// What one page can print; sums and counts are over all.
inline constexpr std::size_t people_shown_max = 400;

}  // namespace penstock::pages
