// What is held of a line that another one replaces from a later day is on Today until then.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "core/interlock/interlock.hpp"
#include "core/watch/watch.hpp"
#include "support/small_shelf.hpp"
#include "support/told.hpp"

namespace penstock::watch {
namespace {

using namespace penstock::literals;
using journal::SlotName;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using testing::Contains;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::Not;
using testing::Pair;

Id id(std::uint64_t n) { return {0x4E1D, n}; }
constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
constexpr Instant at(int day, int hour, int minute = 0) {
  return Instant{first_day.time_since_epoch()} + days{day - 1} + hours{hour} + minutes{minute};
}

shelf::Insulin other_insulin() {
  shelf::Insulin rapid;
  rapid.name = "insulin aspart";
  rapid.strength = {100};
  rapid.action = shelf::Action::rapid;
  rapid.in_use_days = 28;
  return rapid;
}

/// Basal insulin at 22:00 out of a pen, given on the first night.
struct Story {
  chart::Clinic clinic;
  std::vector<journal::Fact> facts;
  Id line;

  Story() {
    clinic.shelf = tests::small_shelf();
    line = order(at(1, 8), tests::bedtime_line(first_day, 20_units, 10_units, 30_units));
    tell(at(1, 9), journal::PenGiven{
                       id(5), clinic.shelf.pens.front().thing, "insulin glargine", {100}, "77"});
    journal::CartridgeLoaded load;
    load.cartridge = id(7);
    load.pen = id(5);
    load.copy = clinic.shelf.insulins.front().thing;
    load.units = load.content = 300_units;
    load.fits = "A";
    load.new_cartridge = true;
    load.lot = "L1";
    tell(at(1, 9), load);
    inject(at(1, 22), 20_units);
  }
  Id tell(Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(100 + facts.size()), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  }
  Id order(Instant when, const journal::OrderLineSigned& copy, bool checked = true) {
    const auto made = tell(when, copy);
    if (checked) tell(when, journal::OrderLineChecked{made, "Tom Reyes", {}});
    return made;
  }
  /// Two units less from the third day, copied at noon of the second.
  Id next_version() {
    auto later = tests::bedtime_line(first_day + days{2}, 18_units, 10_units, 30_units);
    later.signed_on = first_day + days{1};
    later.order_version = 2;
    later.replaces = line;
    return order(at(2, 12), later);
  }
  void inject(Instant when, Units units) {
    journal::Injected dose;
    dose.cartridge = id(7);
    dose.units = units;
    dose.line = line;
    dose.slot = SlotName::bedtime;
    tell(when, dose);
  }
  chart::ChartPtr chart() const {
    return chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}},
                         {});
  }
  /// What rings at an hour and holds a dose, with the hour of that dose.
  std::vector<std::pair<What, Instant>> holding(Instant now) const {
    const auto all = watches(*chart(), clinic);
    std::vector<std::pair<What, Instant>> out;
    for (const auto* watch : ringing(all, {}, now)) {
      if (watch->holds) out.emplace_back(watch->what, watch->due.at);
    }
    return out;
  }
};

// Once the version of a later day was on record, nothing of it was on Today.
TEST(Held, WhatIsHeldTonightIsListedThoughAnotherVersionBeginsTomorrow_H32_H38) {
  Story twice;
  twice.inject(at(1, 22, 10), 20_units);
  EXPECT_THAT(twice.holding(at(2, 13)), Contains(Pair(What::dose_held, at(2, 22))));
  twice.next_version();
  EXPECT_THAT(twice.holding(at(2, 13)), Contains(Pair(What::dose_held, at(2, 22))));
  Story dry;
  for (const int primes : {3, 1}) {  // one needle, then a new one
    dry.tell(at(2, 11, 10 - primes), journal::NeedleOn{id(5), "4 mm", {40}, true});
    for (int n = 0; n < primes; ++n)
      dry.tell(at(2, 11, 10), journal::Primed{id(7), 2_units, journal::Flow::not_seen});
    dry.tell(at(2, 11, 10), journal::NeedleOff{id(5), {}});
  }
  dry.next_version();
  EXPECT_THAT(dry.holding(at(2, 13)), ElementsAre(Pair(What::dose_held, at(2, 22))));
  EXPECT_THAT(dry.holding(at(3, 1)), Contains(Pair(What::dose_held, at(2, 22))));
  EXPECT_THAT(dry.holding(at(3, 1)), Contains(Pair(What::dose_unrecorded, at(2, 22))));
}

TEST(Held, WhatHoldsTheLastDoseOfAnInsulinIsOverWithIt_H32) {
  Story story;
  story.inject(at(1, 22, 10), 20_units);
  story.tell(at(2, 12),
             journal::OrderLineEnded{story.line, first_day + days{1}, "Dr Amara Osei", ""});
  EXPECT_THAT(story.holding(at(2, 13)), Contains(Pair(What::dose_held, at(2, 22))));
  EXPECT_THAT(story.holding(at(3, 1)), Not(Contains(Pair(What::dose_held, testing::_))));
}

TEST(Held, TheScaleHoldsTonightsDoseThoughAnotherVersionBeginsTomorrow_H59) {
  Story story;
  story.tell(at(2, 11), journal::ScaleCounted{id(7), 200_units});
  story.next_version();
  EXPECT_THAT(story.holding(at(2, 13)), Contains(Pair(What::scale_disagrees, testing::_)));
}

TEST(Held, ACopyThatNobodyCheckedIsListedUntilTheDayItIsReplaced_H40_H38) {
  Story story;
  auto copy = tests::bedtime_line(first_day + days{1}, 22_units, 10_units, 30_units);
  copy.replaces = story.line;
  story.line = story.order(at(2, 9), copy, false);
  story.next_version();
  EXPECT_THAT(story.holding(at(2, 13)), Contains(Pair(What::second_check, at(2, 22))));
  EXPECT_THAT(story.holding(at(3, 1)), Not(Contains(Pair(What::second_check, testing::_))));
}

TEST(Held, AnAnswerThatHoldsTonightIsListedUntilTheNewOrdersDay_H37_H38) {
  Story story;
  const auto asked = story.tell(at(2, 9), journal::QuestionOpened{story.line, {}, "a lump", {}});
  story.tell(at(2, 10), journal::QuestionAnswered{asked, journal::AnswerKind::new_order,
                                                  "Dr Amara Osei", "", true});
  EXPECT_THAT(story.holding(at(2, 11)), ElementsAre(Pair(What::answer_waits, at(2, 22))));
  story.next_version();
  EXPECT_THAT(story.holding(at(2, 13)), ElementsAre(Pair(What::answer_waits, at(2, 22))));
  EXPECT_THAT(story.holding(at(3, 1)), Not(Contains(Pair(What::answer_waits, testing::_))));
}

// Held in the evening, and after midnight on no list: its other doses come home by diary.
TEST(Held, ADoseThatWasHeldIsAskedAboutOnceItsHourHasGoneWhoeverKeepsADiary_H57_H38_H32) {
  Story story;
  story.facts.back().source = "diary";
  EXPECT_THAT(story.holding(at(3, 1)), IsEmpty());
  const auto asked = story.tell(at(2, 9), journal::QuestionOpened{story.line, {}, "a lump", {}});
  EXPECT_THAT(story.holding(at(3, 1)), Contains(Pair(What::dose_unrecorded, at(2, 22))));
  story.tell(at(2, 10), journal::QuestionAnswered{asked, journal::AnswerKind::new_order,
                                                  "Dr Amara Osei", "", true});
  story.next_version();
  EXPECT_THAT(story.holding(at(2, 23)), ElementsAre(Pair(What::answer_waits, at(2, 22))));
  EXPECT_THAT(story.holding(at(3, 1)), ElementsAre(Pair(What::dose_unrecorded, at(2, 22))));
}

// "The order ends today, ask to renew" stood beside the one that begins tomorrow.
// Off Today at midnight, and once more when the check was recorded.
TEST(Held, ADoseThatWaitedForItsSecondCheckStaysUntilItIsAnsweredFor_H57_H40) {
  for (const bool diary : {false, true}) {
    Story story;
    if (diary) story.facts.back().source = "diary";
    auto copy = tests::bedtime_line(first_day + days{1}, 22_units, 10_units, 30_units);
    copy.replaces = story.line;
    story.line = story.order(at(2, 12), copy, false);
    EXPECT_THAT(story.holding(at(2, 23)), ElementsAre(Pair(What::second_check, at(2, 22))))
        << diary;
    EXPECT_THAT(story.holding(at(3, 1)), Contains(Pair(What::dose_unrecorded, at(2, 22)))) << diary;
    story.tell(at(3, 8), journal::OrderLineChecked{story.line, "Tom Reyes", {}});
    EXPECT_THAT(story.holding(at(3, 9)), ElementsAre(Pair(What::dose_unrecorded, at(2, 22))))
        << diary;
    story.tell(at(3, 9), journal::DoseAnswered{story.line, SlotName::bedtime, first_day + days{1},
                                               journal::DoseWas::not_taken, ""});
    EXPECT_THAT(story.holding(at(3, 10)), IsEmpty()) << diary;
  }
}

// The stop was gone at the end of the window, and nobody had answered.
TEST(Held, AnotherInsulinInItsPlaceIsAStopUntilTheDoseIsAnsweredFor_H04_H57) {
  Story story;
  journal::CartridgeLoaded load;
  load.cartridge = id(8);
  load.pen = id(6);
  load.copy = other_insulin();
  load.units = load.content = 300_units;
  story.tell(at(2, 15), load);
  journal::Injected wrong;
  wrong.cartridge = id(8);
  wrong.units = 20_units;
  wrong.line = story.line;
  wrong.slot = SlotName::bedtime;
  story.tell(at(2, 20), wrong);
  for (const auto now : {at(2, 23), at(3, 0, 15), at(3, 9), at(4, 9)})
    EXPECT_THAT(story.holding(now), Contains(Pair(What::swapped, at(2, 22))));
  story.tell(at(4, 9), journal::DoseAnswered{story.line, SlotName::bedtime, first_day + days{1},
                                             journal::DoseWas::not_taken, ""});
  EXPECT_THAT(story.holding(at(4, 10)), Not(Contains(Pair(What::swapped, testing::_))));
}

// The diary ends on the first night: of the second it has nothing, the third was on hold.
TEST(Held, AnAnswerThatCameAfterItsHourLeavesTheDoseToAskAbout_H57_H37) {
  Story story;
  story.facts.back().source = "diary";
  const auto asked = story.tell(at(3, 9), journal::QuestionOpened{story.line, {}, "a lump", {}});
  story.tell(at(4, 8), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                 "Dr Amara Osei", "", true});
  EXPECT_THAT(story.holding(at(4, 9)), ElementsAre(Pair(What::dose_unrecorded, at(3, 22))));
}

TEST(Held, AnOrderOfOneNightIsNotAskedForAnewWhereTheNextOneIsOnRecord_H32_H38) {
  Story story;
  const auto later = story.next_version();
  auto tonight = tests::bedtime_line(first_day + days{1}, 22_units, 10_units, 30_units);
  tonight.until = first_day + days{1};
  tonight.replaces = later;
  const auto ends = [&](Instant now) {
    const auto all = watches(*story.chart(), story.clinic);
    return std::ranges::any_of(ringing(all, {}, now), [](const Watch* watch) {
      return watch->what == What::order_ends || watch->what == What::order_ended;
    });
  };
  story.order(at(2, 13), tonight);
  EXPECT_FALSE(ends(at(2, 14)));
  EXPECT_FALSE(ends(at(3, 14)));
  const auto chart = story.chart();
  const auto on = [&](int day) { return chart->order.holding(first_day + days{day - 1}); };
  ASSERT_EQ(on(2).size(), 1U);
  EXPECT_EQ(on(2).front()->text.slots.front().units, 22_units);
  ASSERT_EQ(on(3).size(), 1U);
  EXPECT_EQ(on(3).front()->id, later);
  EXPECT_EQ(chart->order.line(later)->last_day(), std::nullopt);
  tonight.until = first_day + days{5};
  tonight.replaces = chart->order.holding(first_day + days{1}).front()->id;
  story.order(at(2, 15), tonight);
  EXPECT_TRUE(ends(at(3, 14))) << "no other begins on the day after";
}

// "Phone Mirela" and "Phone prescriber" stayed on Today after the prescriber had answered.
TEST(Held, WhatThePrescriberAnsweredIsNotPhonedAboutAgain_H44_H57_H32) {
  const auto rings = [](const Story& story, What what, Instant now) {
    const auto all = watches(*story.chart(), story.clinic);
    return std::ranges::any_of(ringing(all, {}, now),
                               [&](const Watch* watch) { return watch->what == what; });
  };
  // Asked about on the morning after.
  const auto is_over_once_answered = [&](Story& story, What what) {
    EXPECT_TRUE(rings(story, what, at(3, 8)));
    const auto asked = story.tell(
        at(3, 9), journal::QuestionOpened{
                      story.line, journal::QuestionReason::part_dose, "how much went in", {}});
    EXPECT_TRUE(rings(story, what, at(3, 9, 30))) << "asked, and not answered";
    story.tell(at(3, 10), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                    "Dr Amara Osei", "", true});
    EXPECT_FALSE(rings(story, what, at(3, 10, 30)));
  };
  Story unknown;
  journal::Injected dose;
  dose.cartridge = id(7);
  dose.outcome = journal::Outcome::unknown;
  dose.line = unknown.line;
  dose.slot = SlotName::bedtime;
  unknown.tell(at(2, 22), dose);
  is_over_once_answered(unknown, What::outcome_unknown);
  unknown.tell(at(3, 22), dose);
  EXPECT_TRUE(rings(unknown, What::outcome_unknown, at(3, 23))) << "the next one is asked about";

  for (const auto was : {journal::DoseWas::not_taken, journal::DoseWas::not_known}) {
    Story missed;
    missed.tell(at(3, 7), journal::DoseAnswered{missed.line, SlotName::bedtime, first_day + days{1},
                                                was, ""});
    is_over_once_answered(missed, What::tell_prescriber);
  }
}

TEST(Held, AHypoAsksAboutTonightsDoseThoughAnotherVersionBeginsTomorrow_H37) {
  Story story;
  story.next_version();
  const auto before = story.chart();
  journal::GlucoseNoted low;
  low.value = Glucose{GlucoseUnit::mmol_l, 25};
  story.tell(at(2, 14), low);
  const auto asks = lows_asks(*before, *story.chart(), at(2, 14));
  ASSERT_EQ(asks.size(), 1U);
  EXPECT_EQ(asks.front().line, std::nullopt) << "about both";
}

}  // namespace
}  // namespace penstock::watch
