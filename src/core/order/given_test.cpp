// What counts as given, and what is asked about, where the record is not as it should be.
#include <gtest/gtest.h>

#include <memory>

#include "core/order/internal/for_tests.hpp"
#include "core/order/order.hpp"

namespace penstock::order {
namespace {

using namespace for_tests;

// Struck out because of its lot, and tonight's dose was due again.
TEST(Order, H07_H52_ADoseFromACartridgeThatWasStruckOutStaysGiven) {
  Story s;
  const Id line = s.signed_and_checked();
  const Id loaded = s.load(10, {100});
  s.inject(utc(2027, 3, 2, 20, 20), 18_units, std::nullopt, std::nullopt);
  EXPECT_EQ(s.refusal(ask(line)), codes::taken_already);
  s.tell(utc(2027, 3, 2, 20, 25), journal::Correction{loaded, "lot was another", false, {}});
  EXPECT_EQ(s.refusal(ask(line)), codes::taken_already);
}

TEST(Order, H04_H02_H57_WhatIsNoneOrOutsideTheLimitsAnswersNoSlotInSilence) {
  const auto told = [](Units units, std::optional<SlotName> slot) {
    Story s;
    const Id line = s.signed_and_checked();
    s.inject(utc(2027, 3, 2, 20, 20), units, line, slot);
    EXPECT_EQ(kinds(s.order()).size(), units < 10_units || units > 24_units ? 1U : 0U);
    return s.refusal(ask(line));
  };
  for (const auto slot : {std::optional<SlotName>{}, std::optional{SlotName::bedtime}}) {
    EXPECT_EQ(told(Units::zero(), slot), "allowed");
    EXPECT_EQ(told(3_units, slot), codes::taken_perhaps);
    EXPECT_EQ(told(20_units, slot), codes::taken_already);
  }
  EXPECT_EQ(told(60_units, std::nullopt), codes::taken_perhaps);
  EXPECT_EQ(told(60_units, SlotName::bedtime), codes::taken_already);
}

TEST(Order, H52_H07_ADoseOfAnInsulinThatNobodyKnowsMayBeAnyLines) {
  Story s;
  const Id line = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 7), 18_units, std::nullopt, std::nullopt, 99);  // long before it
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
  Story named = s;
  s.inject(utc(2027, 3, 2, 17), 18_units, std::nullopt, std::nullopt, 99);
  named.inject(utc(2027, 3, 2, 17), 18_units, id(77), SlotName::bedtime, 99);  // a line not here
  for (const auto& story : {s, named}) EXPECT_EQ(story.refusal(ask(line)), codes::taken_perhaps);
  EXPECT_EQ(given_near(s.order(), "insulin glargine", utc(2027, 3, 2, 16)).size(), 1U);
}

// 18 units of the rapid insulin, recorded as tonight's basal dose, were that dose.
TEST(Order, H04_WhatIsOfAnotherInsulinIsNoDoseOfTheLineItIsRecordedUnder) {
  Story s;
  const Id line = s.signed_and_checked();
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  meal.least_units = 2_units;
  meal.most_units = 12_units;
  meal.slots = {{SlotName::supper, {18 * 60}, 15, 30, 8_units}};
  const Id rapid = s.signed_and_checked(meal);
  s.load(30, {100}, "insulin lispro");
  const auto recorded_under = [&](std::optional<Id> named) {
    Story told = s;
    told.inject(tonight - minutes{7}, 18_units, named, SlotName::bedtime, 30);
    return told;
  };
  for (const auto named : {std::optional(line), std::optional<Id>{}})
    EXPECT_EQ(recorded_under(named).refusal(ask(line)), codes::swapped);
  const auto order = recorded_under(line).order();
  for (const auto& due : due_on(order, day_of(2027, 3, 2), s.zone))
    EXPECT_FALSE(is_on_record(order, due, s.zone)) << (due.line == rapid);
  EXPECT_EQ(order.given.front().not_of, line);
  EXPECT_TRUE(unrecorded(order, line_in(order, line), s.zone.when(utc(2027, 3, 2, 9)),
                         utc(2027, 3, 3, 7), s.zone));
}

/// Another basal insulin in the place of the one before, from today on.
journal::OrderLineSigned degludec_for(const Id& old, const std::string& insulin) {
  auto line = Story::bedtime();
  line.insulin = insulin;
  line.order_version = 2;
  line.from = line.signed_on = day_of(2027, 3, 2);
  line.replaces = old;
  return line;
}

// Told from the cartridge alone, three hours before: the new line's name hid it.
TEST(Order, H52_H07_WhatWasGivenUnderTheReplacedLineCountsWhateverTheNewInsulinIsCalled) {
  for (const auto* insulin : {"insulin degludec", "Insulin glargine", " insulin glargine"}) {
    for (const bool named : {false, true}) {
      Story s;
      const Id old = s.signed_and_checked();
      s.load(10, {100});
      s.inject(utc(2027, 3, 2, 17, 31), 18_units, named ? std::optional(old) : std::nullopt,
               named ? std::optional(SlotName::bedtime) : std::nullopt);
      const Id line = s.sign(degludec_for(old, insulin), utc(2027, 3, 2, 18));
      s.check(line, utc(2027, 3, 2, 18, 5));
      EXPECT_EQ(s.refusal(ask(line)), codes::taken_perhaps) << insulin << named;
    }
  }
}

TEST(Order, H52_AMorningDoseOfTheOtherBasalInsulinIsNotTonights) {
  Story s;
  auto morning = Story::bedtime();
  morning.insulin = "insulin detemir";
  morning.slots = {{SlotName::breakfast, {12 * 60}, 60, 60, 18_units}};
  s.signed_and_checked(morning);
  s.load(10, {100}, "insulin detemir");
  const Id line = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 12, 15), 18_units, std::nullopt, std::nullopt);
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
}

// The old paper copied again made the question vanish, and the number stood.
TEST(Order, H37_H08_AnOrderSignedBeforeAQuestionDoesNotAnswerIt) {
  const auto copied = [](LocalDay signed_on, bool replaces, const std::string& insulin) {
    Story s;
    const Id old = s.signed_and_checked();
    s.tell(utc(2027, 3, 2, 9), journal::QuestionOpened{old, {}, "", {}});
    auto anew = Story::bedtime();
    anew.signed_on = signed_on;
    anew.from = day_of(2027, 3, 2);
    anew.insulin = insulin;
    if (replaces) anew.replaces = old;
    const Id line = s.sign(anew, utc(2027, 3, 2, 10));
    s.check(line, utc(2027, 3, 2, 10, 5));
    return s.refusal(ask(line));
  };
  for (const auto* insulin : {"insulin glargine", "insulin degludec"})
    EXPECT_EQ(copied(start, true, insulin), codes::question_open) << insulin;
  EXPECT_EQ(copied(start, false, "insulin glargine"), codes::question_open);
  // The paper may be from the morning, and the lows from the evening.
  EXPECT_EQ(copied(day_of(2027, 3, 2), true, "insulin glargine"), codes::question_open);
  EXPECT_EQ(copied(start, false, "insulin lispro"), "allowed");
}

// Told to have been copied before the question, or of paper that nobody can have signed yet: when
// it was recorded counts.
TEST(Order, H37_AnHourThatSomebodyTypedAnswersNoQuestion) {
  const auto copied = [](Instant happened, Instant recorded, LocalDay signed_on) {
    Story s;
    const Id old = s.signed_and_checked();
    s.tell(utc(2027, 3, 2, 9), journal::QuestionOpened{old, {}, "", {}});
    auto anew = Story::bedtime();
    anew.signed_on = signed_on;
    anew.replaces = old;
    const Id line = s.sign(anew, happened);
    s.facts.back().recorded = recorded;
    s.check(line, utc(2027, 3, 2, 10, 5));
    return s.refusal(ask(line));
  };
  const auto asked = utc(2027, 3, 2, 9), later = utc(2027, 3, 2, 10);
  EXPECT_EQ(copied(asked - hours{1}, later, start), codes::question_open);
  EXPECT_EQ(copied(asked, asked, start), codes::question_open);               // in the same second
  EXPECT_EQ(copied(later, asked - minutes{3}, start), codes::question_open);  // the clock went back
  EXPECT_EQ(copied(later, later, day_of(2027, 3, 3)), codes::question_open);
}

TEST(Order, H37_AnOrderOfALaterDayOvertakesAQuestionAndTheListsSaySo) {
  Story s;
  const Id old = s.signed_and_checked();
  s.tell(utc(2027, 3, 1, 9), journal::QuestionOpened{old, {}, "", {}});
  EXPECT_EQ(s.order().overtaken_from(s.order().questions.front()), std::nullopt);
  auto anew = Story::bedtime();
  anew.replaces = old;
  anew.signed_on = anew.from = day_of(2027, 3, 2);
  const Id line = s.sign(anew, utc(2027, 3, 2, 9));
  s.check(line, utc(2027, 3, 2, 10));
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
  const auto order = s.order();
  EXPECT_EQ(order.overtaken_from(order.questions.front()), day_of(2027, 3, 2));
}

// The copy was put right in the second of its check: nobody has read what it says now.
TEST(Order, H40_ACheckOfTheSameSecondAsACorrectionChecksNothing) {
  Story s;
  const Id line = s.sign();
  auto right = Story::bedtime();
  right.most_units = 60_units;
  s.check(line, utc(2027, 2, 28, 10));
  const journal::Replacement instead{s.zone.when(utc(2027, 2, 28, 9)), 0, right};
  s.tell(utc(2027, 2, 28, 10),
         journal::Correction{line, "slip", false,
                             std::make_shared<const journal::Replacement>(instead)});
  EXPECT_EQ(s.refusal(ask(line)), codes::unchecked);
  s.check(line, utc(2027, 2, 28, 10));
  s.facts.back().sequence = 1;  // behind the correction
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
}

TEST(Order, H37_H08_NorDoesItLiftAStop) {
  for (const auto signed_on : {start, day_of(2027, 3, 2)}) {
    Story s;
    const Id old = s.signed_and_checked();
    const Id asked = s.tell(utc(2027, 3, 2, 9), journal::QuestionOpened{old, {}, "", {}});
    s.tell(utc(2027, 3, 2, 9, 30),
           journal::QuestionAnswered{asked, journal::AnswerKind::stop, "Dr Osei", "", true});
    auto anew = Story::bedtime();
    anew.signed_on = signed_on;
    anew.replaces = old;
    const Id line = s.sign(anew, utc(2027, 3, 2, 10));
    s.check(line, utc(2027, 3, 2, 10, 5));
    EXPECT_EQ(s.refusal(ask(line)), signed_on == start ? codes::stopped : "allowed");
  }
}

// Nothing went in: the whole dose is due as it was, and no rest is owed.
TEST(Order, H39_H57_APartOfNoUnitsIsNoDose) {
  Story s;
  const Id line = s.signed_and_checked();
  s.part(utc(2027, 3, 2, 20, 20), Units::zero(), 18_units, line);
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
  EXPECT_TRUE(s.order().given.empty());
}

// A late breakfast's dose, an hour before the hours of lunch, silently was lunch's.
// What went in without its injection left the cartridge all the same.
TEST(Order, H02_H39_ARestThatWasSaidToBeTakenIsMissingInTheAccount) {
  Story s;
  const Id line = s.signed_and_checked();
  const Id part = s.part(tonight, 8_units, 18_units, line);
  journal::DoseAnswered said{line, SlotName::bedtime, day_of(2027, 3, 2),
                             journal::DoseWas::not_taken, ""};
  said.rest_of = part;
  s.tell(tonight + minutes{5}, said);
  EXPECT_TRUE(only_told(s.order(), s.zone).empty());
  said.was = journal::DoseWas::taken;
  s.tell(tonight + minutes{10}, said);
  const auto told = only_told(s.order(), s.zone);
  ASSERT_EQ(told.size(), 1U);
  EXPECT_TRUE(told.front().taken);
  EXPECT_EQ(told.front().due.units, 10_units);
  EXPECT_EQ(told.front().due.at.at, tonight);
}

TEST(Order, H07_AMealsDoseFarOutsideItsHoursIsAskedAbout) {
  const auto told = [](int hour, int minute, std::int32_t before) {
    Story s;
    auto lunch = Story::bedtime();
    lunch.purpose = journal::Purpose::mealtime;
    lunch.slots = {{SlotName::lunch, {12 * 60 + 45}, before, before, 18_units}};
    const Id line = s.signed_and_checked(lunch);
    s.load(10, {100});
    s.inject(utc(2027, 3, 2, hour - 1, minute), 18_units, std::nullopt, std::nullopt);
    return s.refusal(ask(line, 18_units, utc(2027, 3, 2, 11, 50)));
  };
  EXPECT_EQ(told(10, 40, 60), codes::taken_perhaps);
  EXPECT_EQ(told(11, 20, 60), codes::taken_already);
  EXPECT_EQ(told(12, 0, 0), codes::taken_already);  // no hours are ordered
}

// "Under another line, version, strength or pen" was said of the very same one.
TEST(Order, H58_H52_TheQuestionSaysInWhatTheOtherDoseDiffers) {
  const auto how = [](auto&& tell) {
    Story s;
    const Id line = s.signed_and_checked();
    s.load(10, {100});
    s.load(11, {300});
    tell(s, line);
    const Order order = s.order();
    const auto refused = may_dial(order, ask(line), s.zone);
    EXPECT_FALSE(refused);
    return refused ? std::string() : argument(refused.error(), "how")->text;
  };
  const auto at = utc(2027, 3, 2, 14);
  const auto from = [&](std::uint64_t cartridge, Units units) {
    return [=](Story& s, const Id&) { s.inject(at, units, std::nullopt, std::nullopt, cartridge); };
  };
  EXPECT_EQ(how(from(10, 18_units)), "given_as/outside_hours");
  EXPECT_EQ(how(from(11, 18_units)), "given_as/other_line");
  EXPECT_EQ(how(from(99, 18_units)), "given_as/unknown_cartridge");
  EXPECT_EQ(how([](Story& s, const Id& line) {
              s.inject(utc(2027, 3, 2, 20), 3_units, line, SlotName::bedtime);
            }),
            "given_as/outside_limits");
}

// At the telephone twelve hours counted, on the card eight.
TEST(Order, H52_H07_WhatWasGivenInTheHalfDayBeforeAOnceADayDoseStandsBesideIt) {
  Story s;
  const Id line = s.signed_and_checked();
  s.load(10, {100});
  s.inject(utc(2027, 3, 2, 11), 18_units, std::nullopt, std::nullopt);  // ten hours before
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
  const Order order = s.order();
  const auto dues = due_on(order, day_of(2027, 3, 2), s.zone);
  EXPECT_EQ(given_beside(order, dues.back(), tonight, s.zone).size(), 1U);
}

// It may have been a late breakfast's, or a correction: somebody can say so, or lunch has no dose.
TEST(Order, H38_H07_AMealsDoseOutsideItsHoursCanBeSaidToBeAnother) {
  Story s;
  auto lunch = Story::bedtime();
  lunch.purpose = journal::Purpose::mealtime;
  lunch.slots = {{SlotName::lunch, {12 * 60 + 45}, 60, 60, 18_units}};
  const Id line = s.signed_and_checked(lunch);
  s.load(10, {100});
  s.inject(utc(2027, 3, 2, 9, 40), 18_units, std::nullopt, std::nullopt);
  const auto noon = utc(2027, 3, 2, 11, 50);
  EXPECT_EQ(s.refusal(ask(line, 18_units, noon)), codes::taken_perhaps);
  const Order before = s.order();
  EXPECT_FALSE(contradicts_not_taken(before, before.given.front(), line_in(before, line)));
  s.tell(noon, journal::DoseAnswered{line, SlotName::lunch, day_of(2027, 3, 2),
                                     journal::DoseWas::not_taken, ""});
  EXPECT_EQ(s.refusal(ask(line, 18_units, noon + minutes{1})), "allowed");
  Story basal;
  const Id night = basal.signed_and_checked();
  basal.load(10, {100});
  basal.inject(utc(2027, 3, 2, 14), 18_units, std::nullopt, std::nullopt);
  const Order order = basal.order();
  EXPECT_TRUE(contradicts_not_taken(order, order.given.front(), line_in(order, night)));
}

// "Taken", "not known" and "not taken" were forgotten as soon as a new version was copied, or the
// line was struck out and copied anew.
TEST(Order, H07_H52_H57_ANewVersionUnsaysNothingThatWasSaidOfADose) {
  using journal::DoseWas;
  for (const bool struck : {false, true}) {
    for (const auto* insulin : {"insulin glargine", "insulin degludec"}) {
      if (struck && insulin != Story::bedtime().insulin) continue;
      Story s;
      const Id old = s.signed_and_checked();
      s.say(old, day_of(2027, 3, 2), DoseWas::not_known, utc(2027, 3, 2, 20));
      auto anew = Story::bedtime();
      anew.insulin = insulin;
      anew.from = anew.signed_on = day_of(2027, 3, 2);
      if (!struck) anew.replaces = old;
      if (struck) s.tell(utc(2027, 3, 2, 20, 1), journal::Correction{old, "slip", false, nullptr});
      const Id line = s.sign(anew, utc(2027, 3, 2, 20, 5));
      s.check(line, utc(2027, 3, 2, 20, 10));
      EXPECT_EQ(s.refusal(ask(line)), codes::not_known) << insulin << struck;
    }
  }
}

TEST(Order, H57_AVersionCopiedBehindASlotsHourHidesNoUnrecordedDose) {
  Story s;
  const Id old = s.signed_and_checked();
  s.inject(utc(2027, 3, 1, 21), 18_units, old);
  auto anew = Story::bedtime();
  anew.replaces = old;
  anew.from = anew.signed_on = day_of(2027, 3, 2);
  const Id line = s.sign(anew, utc(2027, 3, 3, 0, 10));
  s.check(line, utc(2027, 3, 3, 0, 15));
  const auto order = s.order();
  const auto missed = unrecorded(order, line_in(order, line), s.zone.when(utc(2027, 3, 1, 9)),
                                 utc(2027, 3, 3, 8), s.zone);
  ASSERT_TRUE(missed);
  EXPECT_EQ(missed->last.day, day_of(2027, 3, 2));
}

// No number was ever shown for it, and after midnight it was mentioned nowhere.
TEST(Order, H57_H40_ADoseThatWaitedForItsSecondCheckIsUnrecordedBeforeAndAfterTheCheck) {
  Story s;
  const Id line = s.sign(Story::bedtime(), utc(2027, 3, 1, 13));
  const auto missed = [&](const Story& story, Instant now) {
    const auto order = story.order();
    return unrecorded(order, line_in(order, line), s.zone.when(utc(2027, 3, 1, 9)), now, s.zone);
  };
  const auto unchecked = missed(s, utc(2027, 3, 2, 8));
  ASSERT_TRUE(unchecked);
  EXPECT_EQ(unchecked->last.day, day_of(2027, 3, 1));
  // Whose doses nobody records is asked about it all the same: it was withheld.
  const auto later = missed(s, utc(2027, 3, 4, 8));
  ASSERT_TRUE(later);
  EXPECT_EQ(later->first.day, day_of(2027, 3, 1));
  auto checked = s;
  checked.check(line, utc(2027, 3, 2, 8));
  EXPECT_TRUE(missed(checked, utc(2027, 3, 2, 9)));
  EXPECT_TRUE(missed(checked, utc(2027, 3, 4, 8)));
  checked.say(line, day_of(2027, 3, 1), journal::DoseWas::not_taken, utc(2027, 3, 2, 9));
  EXPECT_FALSE(missed(checked, utc(2027, 3, 2, 10)));
}

// The line was struck out, and its question with it, as it seemed.
TEST(Order, H37_H08_AQuestionOfALineThatWasStruckOutHoldsTheNextOfItsInsulin) {
  Story s;
  const Id old = s.signed_and_checked();
  s.tell(utc(2027, 3, 2, 9), journal::QuestionOpened{old, {}, "", {}});
  s.tell(utc(2027, 3, 2, 10), journal::Correction{old, "slip", false, nullptr});
  const Id line = s.sign(Story::bedtime(), utc(2027, 3, 2, 11));
  s.check(line, utc(2027, 3, 2, 12));
  EXPECT_EQ(s.refusal(ask(line)), codes::question_open);
}

// A third person read 13 for 18: "nothing is checked", and the number stood.
TEST(Order, H60_H40_AReadingThatDiffersAfterACheckHoldsTheNumberUntilSomebodyLookedAgain) {
  Story s;
  const Id line = s.signed_and_checked();
  journal::OrderReading read{"insulin glargine", {100}, Story::bedtime().slots};
  read.slots.front().units = 13_units;
  s.tell(utc(2027, 3, 2, 9), journal::OrderLineChecked{line, "Ana Third", read});
  EXPECT_EQ(s.refusal(ask(line)), codes::unchecked);
  read.slots.front().units = 18_units;
  s.tell(utc(2027, 3, 2, 10), journal::OrderLineChecked{line, "Tom Reyes", read});
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
}

TEST(Order, AsMuchAsIsMissingToldUnderItsLineIsTheRestOfAPart_H39_H07) {
  const auto rest_of = [](minutes later, Units units, std::optional<SlotName> slot) {
    Story story;
    const auto line = story.signed_and_checked();
    const auto part = story.part(tonight, 11_units, 18_units, line);
    story.inject(tonight + later, units, line, slot);
    const auto order = story.order();
    return order.given.back().completes == part;
  };
  EXPECT_TRUE(rest_of(minutes{20}, 7_units, SlotName::bedtime));
  EXPECT_TRUE(rest_of(minutes{20}, 7_units, std::nullopt));
  EXPECT_FALSE(rest_of(minutes{20}, 18_units, SlotName::bedtime)) << "the dose once more";
  EXPECT_FALSE(rest_of(minutes{20}, 7_units, SlotName::breakfast)) << "another time of day";
  EXPECT_FALSE(rest_of(minutes{121}, 7_units, SlotName::bedtime)) << "no rest any more";
}

// Thirty-three units "completed" the dose of four days before, and were in no sum.
TEST(Order, WhatNamesNoOpenPartOfItsDayIsAnInjectionOfItsOwn_H52_H44) {
  const auto given = [](auto&& tell_part, minutes later, auto&& change) {
    Story story;
    const auto line = story.signed_and_checked();
    const auto part = tell_part(story, line);
    const auto rest =
        story.part(tonight + later, 7_units, 7_units, line, Outcome::whole, std::optional(part));
    change(story, line, part);
    const auto order = story.order();
    return std::ranges::find(order.given, rest, &Given::fact)->completes == part;
  };
  const auto none = [](Story&, const Id&, const Id&) {};
  const auto open = [](Story& story, const Id& line) {
    return story.part(tonight, 11_units, 18_units, line);
  };
  const auto unknown = [](Story& story, const Id& line) {
    return story.part(tonight, 11_units, 18_units, line, Outcome::unknown);
  };
  const auto finished = [](Story& story, const Id& line) {
    return story.inject(tonight, 18_units, line);
  };
  const auto older = [](Story& story, const Id& line) {
    return story.part(tonight - hours{24}, 11_units, 18_units, line);
  };
  EXPECT_TRUE(given(open, minutes{20}, none));
  EXPECT_TRUE(given(open, hours{12}, none)) << "found out in the morning";
  EXPECT_TRUE(given(unknown, minutes{20}, none));
  EXPECT_FALSE(given(open, hours{12} + minutes{1}, none)) << "another day";
  EXPECT_FALSE(given(open, minutes{-1}, none)) << "before its part";
  EXPECT_FALSE(given(older, minutes{20}, none));
  EXPECT_FALSE(given(finished, minutes{20}, none));
  const auto full = [](Story& story, const Id& line, const Id& part) {
    story.part(tonight + minutes{10}, 7_units, 7_units, line, Outcome::whole, std::optional(part));
  };
  EXPECT_FALSE(given(open, minutes{20}, full)) << "completed before";
  const auto other_line = [](Story& story, const Id&) {
    auto text = Story::bedtime();
    text.insulin = "insulin lispro";
    return story.part(tonight, 11_units, 18_units, story.signed_and_checked(text));
  };
  EXPECT_FALSE(given(other_line, minutes{20}, none));
}

// The mealtime insulin of last week went in at supper, and today's stood there beside it.
TEST(Order, H04_H08_AMealtimeInsulinThatEndedMayBeTheDoseOfTheOneThatFollowedIt) {
  Story story;
  auto old = Story::bedtime();
  old.insulin = "insulin lispro";
  old.purpose = journal::Purpose::mealtime;
  old.slots.front().slot = SlotName::supper;
  const auto first = story.sign(old);
  story.check(first);
  story.tell(utc(2027, 3, 1, 8), journal::OrderLineEnded{first, start, "Dr Anita Rao", "changed"});
  auto anew = old;
  anew.insulin = "insulin aspart";
  anew.from = anew.signed_on = start + days{1};
  const auto line = story.sign(anew, utc(2027, 3, 2, 8));
  story.check(line, utc(2027, 3, 2, 9));
  const auto before = story.facts;
  const auto given_of = [&](const std::string& insulin) {
    story.facts = before;
    journal::CartridgeLoaded load;
    load.cartridge = id(77);
    load.copy.name = insulin;
    load.copy.strength = {100};
    story.tell(utc(2027, 3, 1, 9), load);
    journal::Injected dose;
    dose.cartridge = load.cartridge;
    dose.units = 18_units;
    story.tell(utc(2027, 3, 2, 20, 20), dose);
    return story.refusal(ask(line));
  };
  EXPECT_EQ(given_of("insulin lispro"), codes::taken_perhaps);
  EXPECT_EQ(given_of("insulin of nobody"), codes::swapped);
}

// Told without its line, and the order was changed an hour later.
TEST(Order, H08_H32_ADoseAsItWasOrderedAtThatHourIsNotOutsideTheNextVersion) {
  const auto marks_of = [](Instant checked) {
    Story story;
    auto line = Story::bedtime();
    line.least_units = line.most_units = Units::zero();
    const auto old = story.sign(line);
    story.check(old);
    story.load(10, {100}, line.insulin);
    story.inject(utc(2027, 3, 3, 21), 18_units, {}, {});
    line.order_version = 2;
    line.replaces = old;
    line.from = line.signed_on = start + days{2};
    line.slots.front().units = 24_units;
    story.check(story.sign(line, checked), checked);
    return kinds(story.order());
  };
  EXPECT_TRUE(marks_of(utc(2027, 3, 3, 22)).empty());
  EXPECT_EQ(marks_of(utc(2027, 3, 3, 20)), std::vector{MarkKind::outside_order});
}

// Copied at nine in the evening "from today", with an hour of the morning that nobody had ordered.
TEST(Order, H57_H08_AnHourBeforeTheOrderWasWrittenIsNobodysToGive) {
  Story story;
  const auto old = story.sign();
  story.check(old);
  story.load(10, {100}, Story::bedtime().insulin);
  for (const int day : {1, 2, 3})
    story.inject(utc(2027, 3, static_cast<unsigned>(day), 20, 30), 18_units, old);
  auto anew = Story::bedtime();
  anew.order_version = 2;
  anew.replaces = old;
  anew.from = anew.signed_on = start + days{2};
  anew.slots = {{SlotName::breakfast, {8 * 60}, 60, 60, 18_units}};
  const auto line = story.sign(anew, utc(2027, 3, 3, 21));
  story.check(line, utc(2027, 3, 3, 21, 5));
  const auto order = story.order();
  const When since = story.zone.when(utc(2027, 3, 1, 9));
  EXPECT_FALSE(unrecorded(order, line_in(order, line), since, utc(2027, 3, 3, 22), story.zone));
  EXPECT_TRUE(unrecorded(order, line_in(order, line), since, utc(2027, 3, 4, 10), story.zone));
}

// The reading differed, and was corrected to what the copy says.
TEST(Order, H60_H40_AReadingThatIsPutRightIsReadAnew) {
  Story story;
  const auto line = story.sign();
  const auto copy = Story::bedtime();
  journal::OrderLineChecked check{line, "Tom Reyes", {copy.insulin, copy.strength, copy.slots}};
  check.from = copy.from;
  check.reading.slots.front().units = 22_units;
  const auto read = story.tell(utc(2027, 2, 28, 10), check);
  check.reading.slots.front().units = copy.slots.front().units;
  story.tell(utc(2027, 2, 28, 11),
             journal::Correction{read, "misread", false,
                                 std::make_shared<const journal::Replacement>(
                                     journal::Replacement{{utc(2027, 2, 28, 10), 60}, 0, check})});
  EXPECT_FALSE(story.order().lines.front().checked);
  story.tell(utc(2027, 2, 28, 12), check);
  EXPECT_TRUE(story.order().lines.front().checked);
}

}  // namespace
}  // namespace penstock::order
