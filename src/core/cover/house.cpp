#include "core/cover/internal/house.hpp"

#include <algorithm>

namespace penstock::cover::internal {

std::int32_t day_number(LocalDay day, LocalDay on) {
  const auto days = std::chrono::days{day - on}.count();
  return static_cast<std::int32_t>(std::clamp<std::int64_t>(days, -no_end, no_end));
}

House::House(const Line& line, LocalDay on) : in_use_days_(line.in_use_days) {
  const auto expiry = [&](const std::optional<LocalDay>& day) {
    return day ? day_number(*day, on) : no_end;
  };
  for (const Open& one : line.open) {
    // It serves while its days are fewer than the label's (H12).
    const auto period_ends = line.in_use_days - one.days_in_use - 1;
    places_.push_back({one.left, one.is_new, false, std::min(period_ends, expiry(one.expires))});
  }
  open_ = places_.size();
  for (const Sealed& some : line.sealed) {
    const Place place{line.cartridge, true, true, expiry(some.expires)};
    places_.insert(places_.end(), static_cast<std::size_t>(some.cartridges), place);
  }
  std::stable_sort(places_.begin() + static_cast<std::ptrdiff_t>(open_), places_.end(),
                   [](const Place& a, const Place& b) { return a.last_day < b.last_day; });
  fresh_ = {line.cartridge, true, true, no_end};
}

std::size_t House::usable(std::int64_t spare, std::int64_t added) const {
  const auto left = static_cast<std::int64_t>(sealed()) + added - spare;
  return open_ + static_cast<std::size_t>(std::max<std::int64_t>(0, left));
}

draw::Rules rules_of(const Line& line) {
  // More than any dose: nothing has to be divided.
  constexpr std::int64_t no_limit = 1'000'000'000'000;
  return {.step = line.step,
          .most = line.most.value_or(*Units::from_hundredths(no_limit)),
          .window = line.window,
          .prime = line.prime,
          .prime_new_cartridge = line.new_cartridge_prime,
          .suspension = line.suspension,
          .least_left_to_mix = line.least_left_to_mix,
          .may_go_unprimed = true};
}

}  // namespace penstock::cover::internal
