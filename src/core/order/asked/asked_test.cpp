// What is odd about a copy, beside what stands already.
#include "core/order/asked/asked.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/told.hpp"

namespace penstock::order {
namespace {

using namespace penstock::literals;
using journal::SlotName;

constexpr LocalDay start{std::chrono::year{2027} / std::chrono::March / 1};

// Begun the morning after the evening's dose: both stood there, ten hours apart.
TEST(OrderAsked, H07_H38_TheFirstDoseOfALineIsAskedAboutWhereNoDayLiesBeforeIt) {
  const auto line = tests::bedtime_line(start, 18_units, 10_units, 24_units);
  const Instant then{std::chrono::sys_days{start.time_since_epoch()}};
  const auto told = tests::told({1, 1}, {1, 2}, {then, 0}, line);
  const std::vector facts{told};
  const auto so_far = fold(journal::read(facts), ZoneRules{"UTC", {}});
  const auto asks = [&](int minutes, std::vector<journal::Slot> more = {}) {
    auto copy = line;
    copy.replaces = told.id;
    copy.order_version = 2;
    copy.from = copy.signed_on = start + std::chrono::days{7};
    copy.slots.front().at.minutes = static_cast<std::int16_t>(minutes);
    for (const auto& slot : more) copy.slots.push_back(slot);
    const auto odd = oddities(copy, so_far, {}, copy.from);
    return std::ranges::find(odd, codes::ask_first_dose, &Error::code) != odd.end();
  };
  const auto at = line.slots.front().at.minutes;
  EXPECT_FALSE(asks(at));
  EXPECT_FALSE(asks(at - 3 * 60));
  EXPECT_TRUE(asks(8 * 60));
  EXPECT_TRUE(asks(at, {{SlotName::breakfast, {8 * 60}, 60, 60, 10_units}}));
}

}  // namespace
}  // namespace penstock::order
