// The hour of the next injection, without the journal.
#include <gtest/gtest.h>

#include <vector>

#include "core/watch/watch.hpp"
#include "support/small_shelf.hpp"
#include "support/told.hpp"

namespace penstock::watch {
namespace {

using namespace penstock::literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{2027} / 3 / 16};
Id id(std::uint64_t n) { return {0xD05E, n}; }
Instant at(int day, int hour) {
  return Instant{first_day.time_since_epoch()} + days{day} + hours{hour};
}
const ZoneRules utc{"UTC", {}};

TEST(Doses, TheNextIsTheFirstThatMayStillBeGivenAndOfWhichNothingIsOnRecord) {
  const std::vector<DoseTime> times{{"a", {22 * 60}, 60, first_day, {}, {}},
                                    {"b", {7 * 60}, 30, first_day + days{2}, {}, {}}};
  const auto next = [&](std::string_view insulin, Instant now) {
    return next_dose(times, insulin, utc, now)->at;
  };
  EXPECT_EQ(next("a", at(0, 14)), at(0, 22));
  EXPECT_EQ(next("a", at(0, 23)), at(0, 22));  // an hour late is still it
  EXPECT_EQ(next("a", at(0, 23) + minutes{1}), at(1, 22));
  EXPECT_EQ(next("b", at(0, 14)), at(2, 7));  // the line begins then
  EXPECT_EQ(next("", at(2, 1)), at(2, 7));
  EXPECT_FALSE(next_dose(times, "c", utc, at(0, 14)));
  auto given = times;
  given[0].answered = {first_day};
  EXPECT_EQ(next_dose(given, "a", utc, at(0, 21))->at, at(1, 22));
  EXPECT_EQ(next_dose(given, "a", utc, at(90, 21))->at, at(90, 22));
}

TEST(Doses, H18_TheHourIsTheClocksAlsoWhereTheyChange) {
  // Clocks go forward on the second day, at 01:00 UTC.
  const ZoneRules zone{"Far", {{at(-90, 0), 60}, {at(1, 1), 120}}};
  const std::vector<DoseTime> times{{"a", {22 * 60}, 60, first_day - days{9}, {}, {}}};
  EXPECT_EQ(next_dose(times, "a", zone, at(0, 12))->at, at(0, 21));
  EXPECT_EQ(next_dose(times, "a", zone, at(1, 12))->at, at(1, 20));
}

TEST(Doses, WhatWasGivenIsNoNextDose) {
  std::vector<journal::Fact> facts;
  const auto tell = [&](Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(100 + facts.size()), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  };
  const auto read = [&] {
    return dose_times(*chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), utc, {}));
  };
  const auto line = tell(at(0, 9), tests::bedtime_line(first_day, 20_units, 10_units, 30_units));
  tell(at(0, 9), journal::OrderLineChecked{line, "Tom Reyes", {}});
  ASSERT_EQ(read().size(), 1U);
  const auto before = next_dose(read(), "", utc, at(0, 20));
  journal::Injected dose;
  dose.cartridge = id(7);
  dose.units = 20_units;
  dose.line = line;
  dose.slot = journal::SlotName::bedtime;
  tell(at(0, 21), dose);
  const auto after = next_dose(read(), "", utc, at(0, 21));
  ASSERT_TRUE(before && after);
  EXPECT_EQ(after->at - before->at, days{1});
}

// The next injection was the one of the version that begins two days later.
TEST(Doses, ALineThatAnotherReplacesFromALaterDayIsInjectedUntilThen_H38) {
  std::vector<journal::Fact> facts;
  const auto order = [&](LocalDay from, std::optional<Id> replaces) {
    auto copy = tests::bedtime_line(from, 20_units, 10_units, 30_units);
    if (replaces) copy.slots.front().at = {20 * 60};
    copy.replaces = replaces;
    facts.push_back(tests::told(id(100 + facts.size()), id(1), {at(0, 9), 0}, copy));
    return facts.back().id;
  };
  order(first_day + days{2}, order(first_day, {}));
  const auto times =
      dose_times(*chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), utc, {}));
  EXPECT_EQ(next_dose(times, "", utc, at(0, 14))->at, at(0, 22));
  EXPECT_EQ(next_dose(times, "", utc, at(1, 14))->at, at(1, 22));
  EXPECT_EQ(next_dose(times, "", utc, at(2, 14))->at, at(2, 20));
}

}  // namespace
}  // namespace penstock::watch
