#include "core/cover/internal/periods.hpp"

#include "core/cover/internal/house.hpp"

namespace penstock::cover {

const std::vector<Units>& doses_on(const Line& line, LocalDay day) {
  const auto* doses = &line.doses;
  for (const Change& change : line.changes) {
    if (change.from <= day) doses = &change.doses;
  }
  return *doses;
}

namespace internal {

std::vector<Period> periods_of(const Line& line, LocalDay on) {
  std::vector<Period> out{{0, &doses_on(line, on)}};
  for (const Change& change : line.changes) {
    if (change.from > on) out.push_back({day_number(change.from, on), &change.doses});
  }
  return out;
}

}  // namespace internal
}  // namespace penstock::cover
