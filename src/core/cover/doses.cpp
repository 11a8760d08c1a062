#include "core/cover/internal/doses.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace penstock::cover::internal {
namespace {

/// The chance of more than z, to its last digits also where it is tiny.
double above(double z) { return 0.5 * std::erfc(z / std::numbers::sqrt2); }

/// The chance between two, a < b: from that tail in which both are small.
double between(double a, double b) { return a > 0 ? above(a) - above(b) : above(-b) - above(-a); }

}  // namespace

DoseLaw rounded_normal(Units mean, Units sd, Units step, std::int64_t most_steps) {
  const auto width = static_cast<double>(step.hundredths());
  const double middle = static_cast<double>(mean.hundredths()) / width;
  const double spread = static_cast<double>(sd.hundredths()) / width;
  const auto low = static_cast<std::int64_t>(std::floor(middle - spread_sds * spread));
  const auto high = static_cast<std::int64_t>(std::ceil(middle + spread_sds * spread));
  DoseLaw law;
  law.least = std::max<std::int64_t>(0, low);
  const auto most = std::max(law.least + 1, std::min(high, most_steps));
  law.chance.reserve(static_cast<std::size_t>(most - law.least + 1));
  const auto edge = [&](std::int64_t steps) {  // between this many steps and one more
    return (static_cast<double>(steps) + 0.5 - middle) / spread;
  };
  double below = edge(law.least);
  law.chance.push_back(above(-below));
  for (auto k = law.least + 1; k < most; ++k) {
    const double next = edge(k);
    law.chance.push_back(between(below, next));
    below = next;
  }
  law.chance.push_back(above(below));
  return law;
}

}  // namespace penstock::cover::internal
