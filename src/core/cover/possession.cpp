// The published ratios of a dispensing history.
#include <algorithm>

#include "core/cover/cover.hpp"

namespace penstock::cover {

Possession possession(std::span<const Dispensed> history, LocalDay from, LocalDay until) {
  std::vector<Dispensed> in;
  for (const Dispensed& one : history) {
    if (one.on >= from && one.on <= until && one.days_supply > 0) in.push_back(one);
  }
  std::stable_sort(in.begin(), in.end(),
                   [](const Dispensed& a, const Dispensed& b) { return a.on < b.on; });
  const auto number = [&](LocalDay day) {
    return static_cast<std::int32_t>(std::chrono::days{day - from}.count());
  };
  Possession out;
  out.days = number(until) + 1;
  // What comes before the last one is used up is begun after it.
  std::int64_t free = 0;
  for (const Dispensed& one : in) {
    out.supplied += one.days_supply;
    const auto begin = std::max<std::int64_t>(free, number(one.on));
    free = begin + one.days_supply;
    const auto end = std::min<std::int64_t>(free, out.days);
    out.covered += static_cast<std::int32_t>(std::max<std::int64_t>(0, end - begin));
  }
  return out;
}

}  // namespace penstock::cover
