// The doses of a line by day: what it begins with, and each change.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/cover/cover.hpp"

namespace penstock::cover::internal {

/// Days on which the same doses are taken, counted from the request's first day.
struct Period {
  std::int32_t from = 0;                      ///< the first one's is 0
  const std::vector<Units>* doses = nullptr;  ///< the line's
};

/// At least one; the last has no end.
std::vector<Period> periods_of(const Line& line, LocalDay on);

/// Which of them holds on a day.
template <class P>
std::size_t period_on(const std::vector<P>& periods, std::int32_t day) {
  std::size_t found = 0;
  while (found + 1 < periods.size() && periods[found + 1].from <= day) ++found;
  return found;
}

/// The first of a day's doses that is still to be given.
inline std::size_t first_dose(const Line& line, std::int32_t day) {
  return day == 0 ? line.given_on_first_day : 0;
}

}  // namespace penstock::cover::internal
