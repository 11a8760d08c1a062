// How likely each dose is: a normal one, rounded to the pen's step, cut at zero.
#pragma once

#include <cstdint>
#include <vector>

#include "core/units/units.hpp"

namespace penstock::cover::internal {

/// Further from the mean than so many standard deviations a dose is not told apart from the last
/// one that is: less than 1e-16 lies there, on each side.
inline constexpr double spread_sds = 8.25;

/// The chance of a dose of `least`, `least` + 1, ... steps. They add up to one.
struct DoseLaw {
  std::int64_t least = 0;
  std::vector<double> chance;
  std::int64_t most() const { return least + static_cast<std::int64_t>(chance.size()) - 1; }
};

/// P(k steps) = Phi((k + 1/2) step) - Phi((k - 1/2) step), with all that is smaller in the first
/// and all that is larger in the last. `mean` and `sd` as amounts; `sd` and `step` above zero.
/// Nothing above `most_steps` is told apart, either.
DoseLaw rounded_normal(Units mean, Units sd, Units step, std::int64_t most_steps);

}  // namespace penstock::cover::internal
