// Versions of an order that follow one another, and what nobody recorded between two doses.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

// The version of the day before held no more at midnight, and the window was still open.
TEST(Versions,
     ADoseWhoseWindowReachesPastMidnightKeepsItsNumberThoughItsLineIsReplacedThen_H38_H57) {
  Story story;
  auto late = Story::bedtime();
  late.slots = {{SlotName::bedtime, {23 * 60 + 30}, 60, 90, 20_units}};
  const auto line = story.order(late);
  story.pen();
  story.load();
  story.supplies(2, "L2");
  story.inject(at(1, 23, 30), 20_units, line);
  auto later = late;
  later.slots.front().units = 18_units;
  later.from = first_day + days{2};
  later.signed_on = first_day + days{1};
  later.order_version = 2;
  later.replaces = line;
  story.order(later, at(2, 12));
  EXPECT_THAT(next_of(story, at(2, 23, 50)).windows, testing::ElementsAre(20_units));
  EXPECT_THAT(next_of(story, at(3, 0, 12)).windows, testing::ElementsAre(20_units));
  auto whole = story;
  whole.inject(at(3, 0, 12), 20_units, line);
  EXPECT_THAT(next_of(whole, at(3, 22, 30)).windows, testing::ElementsAre(18_units));
  story.partly(at(2, 23, 50), 12_units, line, Outcome::part);
  EXPECT_THAT(next_of(story, at(3, 0, 12)).windows, testing::ElementsAre(8_units)) << "H39";
  EXPECT_EQ(next_of(story, at(3, 2)).code, order::codes::rest_late);
}

// Twice last night's basal insulin was said beside the meal's number no more, once its line was to
// be replaced in three days.
TEST(Versions, TooMuchOfALineThatIsReplacedLaterIsStillSaidBesideTheOthers_H04_H61) {
  auto story = whole();
  const auto basal = story.facts.front().id;
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  meal.slots = {{SlotName::breakfast, {8 * 60}, 30, 60, 6_units}};
  const auto lispro = story.order(meal);
  story.inject(at(1, 22, 10), 20_units, basal);
  const auto beside = [&] {
    const auto chart = story.chart();
    return too_much_of_others(*chart, story.shelf, *chart->order.line(lispro), at(2, 7)).size();
  };
  EXPECT_EQ(beside(), 1U);
  auto later = Story::bedtime();
  later.from = first_day + days{4};
  later.signed_on = first_day + days{1};
  later.order_version = 2;
  later.replaces = basal;
  story.order(later, at(2, 6));
  EXPECT_EQ(beside(), 1U);
}

// The next number was tomorrow's, and nobody was asked about tonight's dose.
TEST(Versions, ADoseThatWaitsForAnAnswerStandsBeforeTheVersionOfALaterDay_H38_H57) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto asked = story.tell(at(2, 9), journal::QuestionOpened{line, {}, "a lump", {}});
  auto later = Story::bedtime();
  later.from = first_day + days{2};
  later.signed_on = first_day + days{1};
  later.order_version = 2;
  later.replaces = line;
  const auto listed = [&](Instant now) {
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
    EXPECT_FALSE(agenda.next);
    EXPECT_TRUE(agenda.later.empty());
    std::vector<std::string> out;
    for (const auto& dose : agenda.ask_first) {
      EXPECT_EQ(dose.due.at.at, tonight);
      const auto& args = held(dose.verdict)->error.args;
      const auto arrived = std::ranges::find(args, "arrived", &Arg::name);
      out.push_back(held(dose.verdict)->error.code + " " +
                    (arrived == args.end() ? std::string() : arrived->text));
    }
    return out;
  };
  using testing::ElementsAre;
  EXPECT_THAT(listed(at(2, 12)), ElementsAre("order.question_open "));
  story.tell(at(2, 13), journal::QuestionAnswered{asked, journal::AnswerKind::new_order,
                                                  "Dr Amara Osei", "", true});
  EXPECT_THAT(listed(at(2, 13)), ElementsAre("order.new_awaited new_order/awaited"));
  story.order(later, at(2, 14));
  EXPECT_THAT(listed(at(2, 15)), ElementsAre("order.new_awaited new_order/later"));
  EXPECT_EQ(next_of(story, at(3, 1)).code, codes::unrecorded);
  const auto again = story.tell(at(2, 16), journal::QuestionOpened{line, {}, "tonight?", {}});
  EXPECT_THAT(listed(at(2, 16)), ElementsAre("order.question_open "));
  story.tell(at(2, 17), journal::QuestionAnswered{again, journal::AnswerKind::keep_dose,
                                                  "Dr Amara Osei", "", true});
  EXPECT_THAT(next_of(story, at(2, 21, 30)).windows, ElementsAre(20_units));
  story.inject(tonight, 20_units, line);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
}

// Only what came after the last dose on record was ever asked about.
TEST(Versions, ADoseThatWasPassedOverBeforeALaterOneIsAskedAboutForTwoDays_H57_H32) {
  Story story;
  auto twice = Story::bedtime();
  twice.slots.insert(twice.slots.begin(), {SlotName::morning, {8 * 60}, 60, 120, 12_units});
  const auto line = story.order(twice);
  story.pen();
  story.load();
  story.supplies(2, "L2");
  const auto give = [&](Instant when, SlotName slot, Units units) {
    journal::Injected dose;
    dose.cartridge = cartridge_id;
    dose.units = units;
    dose.line = line;
    dose.slot = slot;
    story.tell(when, dose);
  };
  const auto asked = [&](Instant now) {
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
    std::vector<Instant> out;
    for (const auto& dose : agenda.unrecorded) {
      EXPECT_EQ(held(dose.verdict)->error.code, codes::unrecorded);
      out.push_back(dose.asked.at.at);
    }
    return out;
  };
  using testing::ElementsAre;
  using testing::IsEmpty;
  give(at(1, 22), SlotName::bedtime, 20_units);
  give(at(2, 22), SlotName::bedtime, 20_units);
  EXPECT_THAT(asked(at(3, 7)), ElementsAre(at(2, 8)));
  EXPECT_EQ(next_of(story, at(3, 7, 30)).code, codes::unrecorded);
  auto said = story;
  said.tell(at(3, 7), journal::DoseAnswered{line, SlotName::morning, first_day + days{1},
                                            journal::DoseWas::not_known, ""});
  EXPECT_THAT(next_of(said, at(3, 7, 30)).windows, ElementsAre(12_units));
  give(at(3, 8), SlotName::morning, 12_units);
  give(at(3, 22), SlotName::bedtime, 20_units);
  EXPECT_THAT(asked(at(4, 7)), ElementsAre(at(2, 8)));
  give(at(4, 8), SlotName::morning, 12_units);
  EXPECT_THAT(asked(at(4, 9, 30)), ElementsAre(at(2, 8)));
  EXPECT_THAT(asked(at(4, 10, 30)), IsEmpty()) << "two days after its window";
}

/// Tonight's dose is said to be taken, and the order then moves it to another time of day, or
/// replaces its insulin.
struct Moved {
  journal::DoseWas was = journal::DoseWas::taken;
  std::string insulin = "insulin glargine";
  journal::Purpose purpose = journal::Purpose::background;
  LocalDay day = first_day + days{1};
  std::int16_t at_minutes = 23 * 60 + 15;
};
Story moved(const Moved& to) {
  Story story;
  auto line = Story::bedtime();
  line.purpose = to.purpose;
  const auto old = story.order(line);
  story.pen();
  story.load();
  story.supplies(2, "L2");
  story.inject(at(1, 22), 20_units, old);
  story.tell(at(2, 22, 30), journal::DoseAnswered{old, SlotName::bedtime, to.day, to.was, ""});
  line.insulin = to.insulin;
  line.slots = {{SlotName::evening, {to.at_minutes}, 60, 60, 22_units}};
  line.from = line.signed_on = first_day + days{1};
  line.order_version = 2;
  line.replaces = old;
  story.order(line, at(2, 22, 40));
  return story;
}

// "Taken", a new version an hour later, and forty-four units more to dial.
TEST(Versions, WhatWasSaidOfADoseIsHeldAsAnInjectionOfItIs_H52_H07) {
  using journal::DoseWas;
  using journal::Purpose;
  for (const auto was : {DoseWas::taken, DoseWas::not_known}) {
    for (const auto& to : {Moved{.was = was}, Moved{.was = was, .insulin = "insulin degludec"},
                           Moved{.was = was, .purpose = Purpose::mealtime}}) {
      const auto story = moved(to);
      EXPECT_EQ(next_of(story, at(2, 22, 50)).code, order::codes::taken_perhaps);
      EXPECT_EQ(next_of(story, at(2, 23, 15)).code, order::codes::taken_perhaps);
    }
  }
  EXPECT_EQ(next_of(moved({.was = DoseWas::not_taken}), at(2, 22, 50)).code, "");
  EXPECT_EQ(next_of(moved({.day = first_day}), at(2, 22, 50)).code, "") << "of the night before";
  // Somebody said otherwise of it since.
  for (const bool of_the_new_line : {false, true}) {
    auto taken_back = moved({});
    const auto& facts = taken_back.facts;
    const auto line = of_the_new_line ? facts[facts.size() - 2].id : facts.front().id;
    taken_back.tell(at(2, 22, 45),
                    journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1},
                                          DoseWas::not_taken, ""});
    EXPECT_EQ(next_of(taken_back, at(2, 22, 50)).code, "") << of_the_new_line;
  }
}

TEST(Versions, WhatWasSaidIsHeldUntilSomebodySaysWhetherItWasThisDose_H52_H58) {
  using journal::DoseWas;
  const auto answered = [](DoseWas was) {
    auto story = moved({});
    story.tell(at(2, 22, 55),
               journal::DoseAnswered{story.facts[story.facts.size() - 2].id, SlotName::evening,
                                     first_day + days{1}, was, ""});
    return story;
  };
  EXPECT_EQ(next_of(answered(DoseWas::not_taken), at(2, 23)).code, "");
  EXPECT_EQ(next_of(answered(DoseWas::not_known), at(2, 23)).code, order::codes::not_known);
  const auto chart = answered(DoseWas::taken).chart();
  const House house{tests::small_shelf(), {}, {}};
  const auto agenda = agenda_of(*chart, house, {at(2, 23), 0});
  ASSERT_TRUE(agenda.next);
  EXPECT_EQ(agenda.next->due.day, first_day + days{2});
}

// It was eighteen hours, and the prescriber was told forty-two.
TEST(Versions, ADoseThatWasSaidToBeTakenIsTheLastBasalDose_H07_H38) {
  Story story;
  const auto old = story.order();
  story.pen();
  story.load();
  story.inject(at(1, 22), 20_units, old);
  story.tell(at(3, 8), journal::DoseAnswered{old, SlotName::bedtime, first_day + days{1},
                                             journal::DoseWas::taken, ""});
  auto line = Story::bedtime();
  line.slots = {{SlotName::afternoon, {16 * 60}, 60, 60, 20_units}};
  line.from = line.signed_on = first_day + days{2};
  line.order_version = 2;
  line.replaces = old;
  story.order(line, at(3, 9));
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock, {}}, {at(3, 15, 30), 0});
  ASSERT_TRUE(agenda.next && agenda.next->lately);
  EXPECT_EQ(agenda.next->lately->when.at, at(2, 22));
}

// The morning's dose was not on record; moved to the evening, nobody asked about it any more.
TEST(Versions, ADoseThatHadGoneBeforeItWasMovedIsAskedAboutStill_H52_H07) {
  for (const auto written : {at(3, 7), at(3, 16)}) {
    Story story;
    auto morning = Story::bedtime();
    morning.slots = {{SlotName::morning, {8 * 60}, 60, 120, 20_units}};
    const auto old = story.order(morning);
    story.pen();
    story.load();
    for (int n = 1; n < 3; ++n) {
      story.inject(at(n, 8), 20_units, old);
      std::get<journal::Injected>(story.facts.back().payload).slot = SlotName::morning;
    }
    auto line = Story::bedtime();
    line.slots = {{SlotName::evening, {18 * 60}, 60, 60, 20_units}};
    line.from = line.signed_on = first_day + days{2};
    line.order_version = 2;
    line.replaces = old;
    story.order(line, written);
    const auto said = next_of(story, at(3, 17, 30));
    EXPECT_EQ(said.code, written == at(3, 7) ? "" : codes::unrecorded);
    story.tell(at(3, 17, 31), journal::DoseAnswered{old, SlotName::morning, first_day + days{2},
                                                    journal::DoseWas::not_taken, ""});
    EXPECT_EQ(next_of(story, at(3, 17, 32)).code, "");
  }
}

/// Morning insulin that a new version has for 18:00 from its second day on; or the line ends with
/// the day before, and a line of its own begins.
Story moved(bool is_ended) {
  Story story;
  auto morning = Story::bedtime();
  morning.slots = {{SlotName::morning, {8 * 60}, 60, 120, 20_units}};
  const auto old = story.order(morning);
  story.pen();
  story.load();
  auto evening = Story::bedtime();
  evening.slots = {{SlotName::supper, {18 * 60}, 60, 120, 20_units}};
  evening.from = first_day + days{1};
  evening.signed_on = first_day + days{1};
  evening.order_version = 2;
  if (is_ended) {
    story.tell(at(1, 12), journal::OrderLineEnded{old, first_day, "Dr Amara Osei", ""});
  } else {
    evening.replaces = old;
  }
  story.order(evening, at(2, 9));
  return story;
}

// The morning's dose from a pen at work, and at 18:00 the number of the new version.
TEST(Versions, WhatMayBeTheDoseOfTheHourBeforeTheChangeIsAskedAbout_H52_H07) {
  for (const bool is_ended : {false, true}) {
    auto story = moved(is_ended);
    EXPECT_EQ(next_of(story, at(3, 18)).code, codes::unrecorded) << is_ended;
    story.inject_unknown(at(2, 8, 10), 20_units);
    EXPECT_EQ(next_of(story, at(2, 18)).code, order::codes::taken_perhaps) << is_ended;
    auto later = moved(is_ended);
    later.inject_unknown(at(4, 8, 10), 20_units);
    EXPECT_NE(next_of(later, at(4, 18)).code, order::codes::taken_perhaps) << "no day of a change";
  }
}

// The number stood there, and beside it hours since the dose of the evening before.
TEST(Versions, WhatMayBeTheLastDoseIsSaidWithItsHours_H52_H38) {
  auto story = whole();
  const auto lately = [&] {
    const auto chart = story.chart();
    return agenda_of(*chart, {story.shelf, story.stock}, {at(2, 21, 30), 0}).next->lately;
  };
  EXPECT_FALSE(lately());
  story.inject_unknown(at(2, 8), 8_units);
  ASSERT_TRUE(lately());
  EXPECT_EQ(lately()->when.at, at(2, 8));
  EXPECT_TRUE(lately()->may_be_any);
}

// The prescriber knew of it, and ordered what follows: "may already have been given".
TEST(Versions, WhatThePrescriberOrdersAfterAnUnknownAmountIsNotAskedAboutAsThatDose_H44_H37) {
  const auto after = [](journal::AnswerKind kind) {
    auto story = whole();
    const auto line = story.facts.front().id;
    story.partly(tonight, 20_units, line, Outcome::unknown);
    const auto asked = story.tell(at(2, 22, 5), journal::QuestionOpened{line, {}, "it leaked", {}});
    story.tell(at(2, 22, 10),
               journal::QuestionAnswered{asked, kind, "Dr Amara Osei", "6 units at 23:30", true});
    auto more = Story::bedtime();
    more.slots = {{SlotName::night, {23 * 60 + 30}, 60, 20, 12_units}};
    more.from = more.signed_on = first_day + days{1};
    more.order_version = 2;
    more.replaces = line;
    story.order(more, at(2, 22, 20));
    return next_of(story, at(2, 22, 40));
  };
  EXPECT_THAT(after(journal::AnswerKind::other).windows, testing::ElementsAre(12_units));
  EXPECT_THAT(after(journal::AnswerKind::new_order).windows, testing::ElementsAre(12_units));
  EXPECT_EQ(after(journal::AnswerKind::keep_dose).code, order::codes::taken_perhaps);
}

// At midnight "do not repeat it" became "plan from the line that replaced it", and the next number
// stood there without a word.
TEST(Versions, AnUnknownAmountIsSaidBeyondTheLineItWasOf_H44_H58_H08) {
  auto story = whole();
  const auto line = story.facts.front().id;
  auto later = Story::bedtime();
  later.slots.front().units = 14_units;
  later.from = first_day + days{2};
  later.signed_on = first_day + days{1};
  later.order_version = 2;
  later.replaces = line;
  const auto next = story.order(later, at(2, 16));
  story.partly(at(2, 23, 14), 20_units, line, Outcome::unknown);
  EXPECT_EQ(next_of(story, at(2, 23, 30)).code, order::codes::outcome_unknown);
  EXPECT_EQ(next_of(story, at(3, 0, 5)).code, order::codes::outcome_unknown);
  const auto before = [&](const Story& told, int day) {
    const auto chart = told.chart();
    return agenda_of(*chart, {told.shelf, told.stock}, {at(day, 21, 30), 0}).next->before;
  };
  ASSERT_TRUE(before(story, 3));
  EXPECT_EQ(before(story, 3)->was, Before::Was::amount_unknown);
  EXPECT_THAT(next_of(story, at(3, 21, 30)).windows, testing::ElementsAre(14_units));
  story.inject(at(3, 22), 14_units, next);
  EXPECT_FALSE(before(story, 4)) << "one has gone in since";
}

// Four hours after as much had gone in between the meals, the evening's was shown.
TEST(Versions, PremixedInsulinBetweenItsHoursIsAskedAbout_H07_H52) {
  const auto told = [](Instant when, std::optional<SlotName> named) {
    Story story;
    auto line = Story::bedtime();
    line.purpose = journal::Purpose::premixed;
    line.slots = {{SlotName::breakfast, {8 * 60}, 60, 120, 20_units},
                  {SlotName::supper, {18 * 60}, 60, 120, 16_units}};
    const auto made = story.order(line);
    story.pen();
    story.load();
    story.inject(at(2, 8, 5), 20_units, made);
    std::get<journal::Injected>(story.facts.back().payload).slot = SlotName::breakfast;
    story.inject(when, 16_units, {});
    std::get<journal::Injected>(story.facts.back().payload).slot = named;
    return next_of(story, at(2, 17, 5)).code;
  };
  EXPECT_EQ(told(at(2, 14, 58), {}), order::codes::taken_perhaps);
  EXPECT_EQ(told(at(2, 13, 10), {}), order::codes::taken_perhaps);
  EXPECT_EQ(told(at(1, 18), {}), "");
}

// Morning and evening as two lines: each evening "14 hours before this one is due".
TEST(Versions, TheOtherLineOfTheDayIsNoDoseBeforeItsTime_H38_H32) {
  Story story;
  auto evening = Story::bedtime();
  evening.slots.front().units = 14_units;
  story.order(evening);
  auto morning = Story::bedtime();
  morning.slots = {{SlotName::morning, {8 * 60}, 60, 120, 10_units}};
  story.order(morning);
  story.pen();
  story.load();
  story.inject(at(1, 22), 14_units, {});
  story.inject(at(2, 8), 10_units, {});
  const auto lately = [](const Story& told) {
    const auto chart = told.chart();
    return agenda_of(*chart, {told.shelf, told.stock}, {at(2, 21, 30), 0}).next->lately;
  };
  EXPECT_FALSE(lately(story));
}

// Said to be taken in the morning; its line was ended or struck out, and the new one has the
// evening.
TEST(Versions, WhatWasSaidToBeTakenOutlivesItsLine_H52_H07) {
  for (const bool is_struck : {false, true}) {
    for (const bool is_other : {false, true}) {
      Story story;
      auto morning = Story::bedtime();
      morning.slots = {{SlotName::morning, {9 * 60}, 60, 120, 16_units}};
      const auto old = story.order(morning);
      story.pen();
      story.load();
      story.inject(at(1, 9), 16_units, {});
      story.tell(at(2, 9, 30), journal::DoseAnswered{old, SlotName::morning, first_day + days{1},
                                                     journal::DoseWas::taken, ""});
      auto evening = Story::bedtime();
      if (is_other) evening.insulin = "insulin degludec";
      evening.slots = {{SlotName::supper, {21 * 60}, 60, 120, 16_units}};
      evening.from = evening.signed_on = first_day + days{1};
      evening.order_version = 2;
      if (is_struck) {
        story.tell(at(2, 11), journal::Correction{old, "misread", false, nullptr});
      } else {
        story.tell(at(2, 11), journal::OrderLineEnded{old, first_day, "Dr Amara Osei", ""});
      }
      story.order(evening, at(2, 11, 5));
      EXPECT_EQ(next_of(story, at(2, 20, 30)).code, order::codes::taken_perhaps)
          << is_struck << is_other;
      EXPECT_NE(next_of(story, at(3, 20, 30)).code, order::codes::taken_perhaps)
          << is_struck << is_other;
    }
  }
}

// Twelve hours to the minute before the new version's first dose: "another dose of the day".
TEST(Versions, AnHourBeforeTheNewLineBeganIsNoSlotOfIt_H52_H07) {
  Story story;
  const auto old = story.order();
  story.pen();
  story.load();
  story.inject(at(2, 20), 20_units, {});
  auto morning = Story::bedtime();
  morning.slots = {{SlotName::morning, {8 * 60}, 60, 120, 20_units}};
  morning.from = first_day + days{2};
  morning.signed_on = first_day + days{1};
  morning.order_version = 2;
  morning.replaces = old;
  story.order(morning, at(2, 21));
  EXPECT_EQ(next_of(story, at(3, 7, 50)).code, order::codes::taken_perhaps);
}

}  // namespace
}  // namespace penstock::interlock
