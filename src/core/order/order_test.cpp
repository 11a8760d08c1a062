#include "core/order/order.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <vector>

#include "core/order/internal/for_tests.hpp"

namespace penstock::order {
namespace {

using namespace penstock::literals;
using journal::Fact;
using journal::Outcome;
using journal::SlotName;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using namespace for_tests;
using testing::ElementsAre;
using testing::IsEmpty;

// ---- states

TEST(Order, ALineHoldsFromItsFirstToItsLastDay_H08) {
  Story s;
  auto text = Story::bedtime();
  text.until = day_of(2027, 3, 10);
  const Id id = s.signed_and_checked(text);
  const Order order = s.order();
  const Line& line = line_in(order, id);
  EXPECT_EQ(order.state(line, start - days{1}), State::not_yet);
  EXPECT_EQ(order.state(line, start), State::current);
  EXPECT_EQ(order.state(line, day_of(2027, 3, 10)), State::current);
  EXPECT_EQ(order.state(line, day_of(2027, 3, 11)), State::ended);
  EXPECT_TRUE(order.holding(start - days{1}).empty());
  EXPECT_EQ(order.holding(start).size(), 1u);
}

TEST(Order, UncheckedItAwaitsItsSecondCheckByAnotherPerson_H40) {
  Story s;
  const Id id = s.sign();
  EXPECT_EQ(s.order().state(line_in(s.order(), id), start), State::awaiting_check);
  s.tell(utc(2027, 2, 28, 11), journal::OrderLineChecked{id, " ines falk ", {}});
  EXPECT_EQ(s.order().state(line_in(s.order(), id), start), State::awaiting_check);
  EXPECT_THAT(kinds(s.order()), ElementsAre(MarkKind::checked_by_copier));
  s.check(id, utc(2027, 2, 28, 12));
  EXPECT_EQ(s.order().state(line_in(s.order(), id), start), State::current);
  EXPECT_EQ(line_in(s.order(), id).checked->by, "Tom Reyes");
}

TEST(Order, AReplacementEndsTheOldLineOnItsFirstDayCheckedOrNot_H08) {
  Story s;
  const Id old = s.signed_and_checked();
  auto text = Story::bedtime();
  text.order_version = 2;
  text.replaces = old;
  text.from = day_of(2027, 3, 15);
  const Id fresh = s.sign(text, utc(2027, 3, 12, 9));
  const Order order = s.order();
  EXPECT_EQ(order.state(line_in(order, old), day_of(2027, 3, 14)), State::current);
  EXPECT_EQ(order.state(line_in(order, old), day_of(2027, 3, 15)), State::replaced);
  EXPECT_EQ(order.state(line_in(order, fresh), day_of(2027, 3, 15)), State::awaiting_check);
  ASSERT_EQ(order.holding(day_of(2027, 3, 15)).size(), 1u);
  EXPECT_EQ(order.holding(day_of(2027, 3, 15))[0]->id, fresh);
}

TEST(Order, OfSeveralEndsTheEarliestHolds_H08) {
  Story s;
  const Id id = s.signed_and_checked();
  s.tell(utc(2027, 3, 3, 9), journal::OrderLineEnded{id, day_of(2027, 3, 5), "Dr Osei", "lows"});
  s.tell(utc(2027, 3, 4, 9), journal::OrderLineEnded{id, day_of(2027, 3, 9), "Dr Osei", "lows"});
  EXPECT_EQ(line_in(s.order(), id).last_day(), day_of(2027, 3, 5));
}

TEST(Order, AnOpenQuestionHoldsTheLineBackUntilItsAnswer_H37) {
  Story s;
  const Id id = s.signed_and_checked();
  const auto state = [&] { return s.order().state(line_in(s.order(), id), start + days{3}); };
  const auto open = [&](std::optional<Id> line, Instant at) {
    return s.tell(
        at, journal::QuestionOpened{line, journal::QuestionReason::lows, "two lows", std::nullopt});
  };
  const auto answer = [&](const Id& question, journal::AnswerKind kind, Instant at) {
    s.tell(at, journal::QuestionAnswered{question, kind, "Dr Osei", "", true});
  };
  const Id first = open(id, utc(2027, 3, 2, 9));
  EXPECT_EQ(state(), State::in_question);
  answer(first, journal::AnswerKind::keep_dose, utc(2027, 3, 2, 10));
  EXPECT_EQ(state(), State::current);
  const Id every = open(std::nullopt, utc(2027, 3, 2, 11));
  EXPECT_EQ(state(), State::in_question);
  answer(every, journal::AnswerKind::stop, utc(2027, 3, 2, 12));
  EXPECT_EQ(state(), State::in_question);  // stopped by word: no number until it is carried out
  EXPECT_EQ(s.refusal(ask(id)), codes::stopped);
  const Id third = open(id, utc(2027, 3, 2, 13));
  answer(third, journal::AnswerKind::new_order, utc(2027, 3, 2, 14));
  EXPECT_EQ(s.refusal(ask(id)), codes::new_awaited);
  const Id fourth = open(id, utc(2027, 3, 2, 15));
  answer(fourth, journal::AnswerKind::keep_dose, utc(2027, 3, 2, 16));
  EXPECT_EQ(state(), State::current);  // the latest word counts
}

TEST(Order, AQuestionAboutAnotherLineHoldsNothingBack_H37) {
  Story s;
  const Id id = s.signed_and_checked();
  s.tell(utc(2027, 3, 2, 9),
         journal::QuestionOpened{Id{9, 9}, journal::QuestionReason::lows, "", {}});
  EXPECT_EQ(s.order().state(line_in(s.order(), id), start), State::current);
}

TEST(Order, AnAnswerSaysNothingAboutALineSignedAfterIt_H37) {
  Story s;
  const Id old = s.signed_and_checked();
  const Id question = s.tell(utc(2027, 3, 2, 9), journal::QuestionOpened{{}, {}, "", {}});
  s.tell(utc(2027, 3, 2, 10),
         journal::QuestionAnswered{question, journal::AnswerKind::new_order, "Dr Osei", "", true});
  auto text = Story::bedtime();
  text.replaces = old;
  text.from = day_of(2027, 3, 3);
  text.signed_on = day_of(2027, 3, 2);
  const Id fresh = s.sign(text, utc(2027, 3, 2, 11));
  s.check(fresh, utc(2027, 3, 2, 12));
  const Order order = s.order();
  EXPECT_EQ(order.state(line_in(order, old), day_of(2027, 3, 2)), State::in_question);
  EXPECT_EQ(order.state(line_in(order, fresh), day_of(2027, 3, 3)), State::current);
}

TEST(Order, ASignatureIsOwedUntilItIsSeen_H40) {
  Story s;
  auto text = Story::bedtime();
  text.signature_owed = true;
  text.copied_from = journal::CopiedFrom::telephone;
  const Id id = s.signed_and_checked(text);
  EXPECT_TRUE(line_in(s.order(), id).signature_owed());
  s.tell(utc(2027, 3, 2, 9), journal::OrderSignatureSeen{id});
  EXPECT_FALSE(line_in(s.order(), id).signature_owed());
}

// ---- what is due

TEST(Order, SlotsAreDueAtLocalTimesWithTheirWindows_H18) {
  Story s;
  s.signed_and_checked();
  const auto dues = due_on(s.order(), day_of(2027, 3, 2), s.zone);
  ASSERT_EQ(dues.size(), 1u);
  EXPECT_EQ(dues[0].at.at, utc(2027, 3, 2, 21));
  EXPECT_EQ(dues[0].from.at, utc(2027, 3, 2, 20));
  EXPECT_EQ(dues[0].to.at, utc(2027, 3, 2, 23));
  EXPECT_EQ(dues[0].units, 18_units);
}

journal::OrderLineSigned at_clock(std::initializer_list<int> minutes_of_day) {
  auto text = Story::bedtime();
  text.slots.clear();
  for (const int at : minutes_of_day) {
    text.slots.push_back({SlotName::night, {static_cast<std::int16_t>(at)}, 30, 30, 18_units});
  }
  return text;
}

TEST(Order, On23HourDayTheMissingTimeIsMovedOnByTheGap_H18) {
  Story s;
  s.signed_and_checked(at_clock({2 * 60 + 30, 22 * 60}));
  const auto dues = due_on(s.order(), day_of(2027, 3, 28), s.zone);
  ASSERT_EQ(dues.size(), 2u);
  EXPECT_EQ(dues[0].at.at, utc(2027, 3, 28, 1, 30));
  EXPECT_EQ(dues[0].at.minute().minutes, 3 * 60 + 30);
  EXPECT_EQ(dues[1].at.at, utc(2027, 3, 28, 20));
}

TEST(Order, On25HourDayTheTimeShownTwiceIsDueOnceAtTheFirst_H18) {
  Story s;
  s.signed_and_checked(at_clock({2 * 60 + 30, 22 * 60}));
  const auto dues = due_on(s.order(), day_of(2027, 10, 31), s.zone);
  ASSERT_EQ(dues.size(), 2u);
  EXPECT_EQ(dues[0].at.at, utc(2027, 10, 31, 0, 30));
  EXPECT_EQ(dues[0].at.offset_minutes, 120);
  EXPECT_EQ(dues[1].at.at, utc(2027, 10, 31, 21));
}

TEST(Order, EveryDayOfTheYearHasEachSlotExactlyOnce_H18) {
  Story s;
  s.signed_and_checked(at_clock({0, 2 * 60, 2 * 60 + 30, 3 * 60, 23 * 60 + 59}));
  const Order order = s.order();
  Instant last{};
  for (LocalDay day = day_of(2027, 3, 1); day < day_of(2028, 3, 1); day += days{1}) {
    const auto dues = due_on(order, day, s.zone);
    ASSERT_EQ(dues.size(), 5u) << format_iso(day);
    for (const Due& due : dues) {
      EXPECT_LE(last, due.at.at);
      EXPECT_EQ(due.at.day(), day);
      last = due.at.at;
    }
  }
}

// Pacific/Apia left out 30 December 2011 when it crossed the date line (public record).
TEST(Order, DateLineADateThatIsLeftOutHasNoSlots_H18) {
  Story s;
  s.zone = {"Pacific/Apia", {{utc(2011, 9, 24, 14), -600}, {utc(2011, 12, 30, 10), 840}}};
  auto text = at_clock({8 * 60, 22 * 60});
  text.from = day_of(2011, 12, 1);
  const Id id = s.sign(text, utc(2011, 11, 30, 9));
  s.check(id, utc(2011, 11, 30, 10));
  EXPECT_EQ(due_on(s.order(), day_of(2011, 12, 29), s.zone).size(), 2u);
  EXPECT_THAT(due_on(s.order(), day_of(2011, 12, 30), s.zone), IsEmpty());
  const auto after = due_on(s.order(), day_of(2011, 12, 31), s.zone);
  ASSERT_EQ(after.size(), 2u);
  EXPECT_EQ(after[0].at.at, utc(2011, 12, 30, 18));
}

// Eastward over the date line one date is lived twice: background insulin is due on both.
TEST(Order, DateLineADateThatIsLivedTwiceHasItsSlotsTwice_H18) {
  Story s;
  s.zone = {"a journey from Auckland to Honolulu",
            {{utc(2027, 1, 1, 0), 780}, {utc(2027, 3, 9, 11), -600}}};
  s.signed_and_checked(at_clock({8 * 60}));
  const auto dues = due_on(s.order(), day_of(2027, 3, 9), s.zone);
  ASSERT_EQ(dues.size(), 2u);
  EXPECT_EQ(dues[0].at.at, utc(2027, 3, 8, 19));
  EXPECT_EQ(dues[1].at.at, utc(2027, 3, 9, 18));
}

TEST(Order, NextDueIsTheFirstOpenWindowThatNothingAnswers_H18) {
  Story s;
  const Id id = s.signed_and_checked();
  const auto next = [&](Instant now) {
    return open_dues(s.order(), s.zone.when(now), s.zone, 60).front().at.at;
  };
  EXPECT_EQ(next(utc(2027, 3, 2, 9)), utc(2027, 3, 2, 21));
  EXPECT_EQ(next(utc(2027, 3, 2, 22, 59)), utc(2027, 3, 2, 21));
  EXPECT_EQ(next(utc(2027, 3, 2, 23, 1)), utc(2027, 3, 3, 21));
  s.inject(utc(2027, 3, 2, 20, 30), 18_units, id);
  EXPECT_EQ(next(utc(2027, 3, 2, 20, 45)), utc(2027, 3, 3, 21));
  EXPECT_EQ(next(utc(2027, 1, 2, 9)), utc(2027, 3, 1, 21));  // a line that begins later
}

TEST(Order, NothingIsDueWithoutAnOrderOrAfterItsEnd) {
  Story s;
  EXPECT_TRUE(open_dues(s.order(), s.zone.when(tonight), s.zone, 8).empty());
  auto text = Story::bedtime();
  text.until = start;
  s.signed_and_checked(text);
  EXPECT_TRUE(open_dues(s.order(), s.zone.when(tonight), s.zone, 8).empty());
}

// ---- taken already

TEST(Order, TheSameLineInsideItsWindowAsksFirst_H07_H46) {
  Story s;
  const Id id = s.signed_and_checked();
  EXPECT_EQ(s.refusal(ask(id)), "allowed");
  const Instant when = utc(2027, 3, 2, 20, 10);
  s.inject(when, 18_units, id);
  const Order order = s.order();
  const auto answer = may_dial(order, ask(id), s.zone);
  ASSERT_FALSE(answer.has_value());
  EXPECT_EQ(answer.error().code, codes::taken_already);
  EXPECT_EQ(argument(answer.error(), "by")->text, "Jo");
  EXPECT_EQ(argument(answer.error(), "given")->number, 1'800);
  EXPECT_EQ(*argument(answer.error(), "when"), arg_instant("when", s.zone.when(when)));
  Ask answered = ask(id);
  answered.taken = Ask::Taken::answered;
  EXPECT_EQ(s.refusal(answered), "allowed");
  EXPECT_EQ(s.refusal(ask(id, 18_units, tonight + days{1})), "allowed");
}

TEST(Order, ADoseTakenEarlyUnderTheSlotsNameCounts_H07) {
  Story s;
  const Id id = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 15), 18_units, id);  // 16:00, told as the bedtime dose
  EXPECT_EQ(s.refusal(ask(id)), codes::taken_already);
}

TEST(Order, ABedtimeDoseAfterMidnightIsLastNightsAndTonightsIsStillDue_H38_H07) {
  Story s;
  const Id id = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 23, 30), 18_units, id);  // 00:30 on 3 March, told as the bedtime dose
  const Order order = s.order();
  const auto dues = [&](unsigned day) {
    return due_on(order, LocalDay{std::chrono::year{2027} / 3 / static_cast<int>(day)}, s.zone);
  };
  EXPECT_EQ(given_for(order, dues(2).front()).size(), 1U);
  EXPECT_TRUE(given_for(order, dues(3).front()).empty());
  EXPECT_EQ(open_dues(order, s.zone.when(utc(2027, 3, 3, 9)), s.zone, 8).front().at.at,
            utc(2027, 3, 3, 21));
}

TEST(Order, ADiarysRowWithoutLineIsFoundByItsInsulin_H07) {
  Story s;
  const Id id = s.signed_and_checked();
  s.load(10, {100});
  s.load(11, {300});
  s.inject(utc(2027, 3, 2, 20, 10), 18_units, std::nullopt, std::nullopt, 11);
  // Another strength does not answer the slot, but it may be the same dose (H03, H52).
  EXPECT_EQ(s.refusal(ask(id)), codes::taken_perhaps);
  s.inject(utc(2027, 3, 2, 20, 15), 18_units, std::nullopt, std::nullopt, 10);
  EXPECT_EQ(s.refusal(ask(id)), codes::taken_already);
}

TEST(Order, WithoutSlotItCountsNearTheWindowForTheNearestSlotOnly_H07) {
  Story s;
  auto text = Story::bedtime();
  text.slots = {{SlotName::lunch, {12 * 60}, 30, 30, 18_units},
                {SlotName::supper, {15 * 60}, 30, 30, 18_units}};
  const Id id = s.signed_and_checked(text);
  s.inject(utc(2027, 3, 2, 12, 15), 18_units, id, std::nullopt);  // 13:15
  const auto dues = due_on(s.order(), day_of(2027, 3, 2), s.zone);
  ASSERT_EQ(dues.size(), 2u);
  EXPECT_EQ(given_for(s.order(), dues[0]).size(), 1u);
  EXPECT_THAT(given_for(s.order(), dues[1]), IsEmpty());
}

TEST(Order, ALineWithoutSlotsAsksForTwoHours_H07) {
  Story s;
  auto text = Story::bedtime();
  text.purpose = journal::Purpose::correction;
  text.slots.clear();
  text.least_units = 1_units;
  const Id id = s.signed_and_checked(text);
  s.inject(tonight - minutes{120}, 4_units, id, std::nullopt);
  EXPECT_EQ(s.refusal(ask(id, 4_units)), codes::taken_already);
  EXPECT_EQ(s.refusal(ask(id, 4_units, tonight + minutes{1})), "allowed");
}

TEST(Order, GivenTwiceInOneWindowIsMarked_H07) {
  Story s;
  const Id id = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 20, 10), 18_units, id);
  s.inject(utc(2027, 3, 2, 20, 40), 18_units, id);
  s.inject(utc(2027, 3, 3, 20, 40), 18_units, id);
  EXPECT_THAT(kinds(s.order()), ElementsAre(MarkKind::given_twice));
}

// ---- doses

TEST(Order, ADoseOutsideTheLimitsIsNeverDialledAndMarkedWhenGiven_H04) {
  Story s;
  const Id id = s.signed_and_checked();
  EXPECT_EQ(s.refusal(ask(id, 9.5_units)), codes::dose_outside);
  EXPECT_EQ(s.refusal(ask(id, 10_units)), "allowed");
  EXPECT_EQ(s.refusal(ask(id, 24_units)), "allowed");
  EXPECT_EQ(s.refusal(ask(id, 24.5_units)), codes::dose_outside);
  s.inject(tonight, 40_units, id);
  ASSERT_THAT(kinds(s.order()), ElementsAre(MarkKind::outside_order));
  EXPECT_EQ(s.order().marks[0].units, 40_units);
}

TEST(Order, WithoutLimitsOnlyTheSlotsOwnDosesAreAllowed_H04) {
  Story s;
  auto text = Story::bedtime();
  text.least_units = 0_units;
  text.most_units = 0_units;
  const Id id = s.signed_and_checked(text);
  EXPECT_EQ(s.refusal(ask(id, 18_units)), "allowed");
  EXPECT_EQ(s.refusal(ask(id, 17_units)), codes::dose_outside);
}

TEST(Order, RecordsOutsideTheLinesTimeAreTakenAndMarked_H08_H37_H40) {
  Story s;
  auto text = Story::bedtime();
  text.until = day_of(2027, 3, 10);
  const Id id = s.sign(text, utc(2027, 2, 28, 9));
  s.check(id, utc(2027, 3, 3, 9));
  s.tell(utc(2027, 3, 5, 9),
         journal::QuestionOpened{id, journal::QuestionReason::lows, "", std::nullopt});
  s.inject(utc(2027, 2, 28, 21), 18_units, id);
  s.inject(utc(2027, 3, 2, 21), 18_units, id);
  s.inject(utc(2027, 3, 4, 21), 18_units, id);
  s.inject(utc(2027, 3, 6, 21), 18_units, id);
  s.inject(utc(2027, 3, 11, 21), 18_units, id);
  s.inject(utc(2027, 3, 12, 21), 18_units, Id{7, 7});
  EXPECT_THAT(kinds(s.order()), ElementsAre(MarkKind::before_start, MarkKind::while_unchecked,
                                            MarkKind::while_in_question, MarkKind::after_end,
                                            MarkKind::line_unknown));
}

// ---- parts

TEST(Order, AfterTenOfTwentyTwoTwelveMayBeDialledNeverTwentyTwo_H39) {
  Story s;
  auto line = Story::bedtime();
  line.slots.front().units = 22_units;
  const Id id = s.signed_and_checked(line);
  const Id part = s.part(utc(2027, 3, 2, 20, 20), 10_units, 22_units, id);
  EXPECT_EQ(s.refusal(ask(id, 22_units)), codes::part_given);
  Ask answered = ask(id, 22_units);
  answered.taken = Ask::Taken::answered;
  EXPECT_EQ(s.refusal(answered), codes::part_given);  // no answer makes the whole of a part
  Ask rest{id, 12_units, tonight, part, Ask::Taken::ask};
  EXPECT_EQ(s.refusal(rest), "allowed");
  rest.dose = 12.5_units;
  EXPECT_EQ(s.refusal(rest), codes::rest_more);
  rest.dose = 5_units;  // below the line's least, but it is a part of a dose within it
  EXPECT_EQ(s.refusal(rest), "allowed");
  s.part(utc(2027, 3, 2, 20, 25), 5_units, 12_units, id, Outcome::part, part);
  rest.dose = 7.5_units;
  EXPECT_EQ(s.refusal(rest), codes::rest_more);
  rest.dose = 7_units;
  EXPECT_EQ(s.refusal(rest), "allowed");
  s.part(utc(2027, 3, 2, 20, 28), 7_units, 7_units, id, Outcome::whole, part);
  EXPECT_EQ(s.refusal(rest), codes::rest_none);
  EXPECT_EQ(s.refusal(ask(id, 22_units)), codes::taken_already);
  EXPECT_THAT(kinds(s.order()), IsEmpty());
}

// Five of a hundred, typed for ten, gave a window of ninety-five.
TEST(Order, ARestIsOfADoseThatIsOrderedWhateverWasMeant_H09_H25_H39) {
  for (const auto& [meant, expected] : std::initializer_list<std::pair<Units, std::string>>{
           {22_units, "allowed"},
           {23_units, std::string(codes::dose_outside)},
           {100_units, std::string(codes::dose_outside)}}) {
    Story s;
    auto line = Story::bedtime();
    line.slots.front().units = 22_units;
    const Id id = s.signed_and_checked(line);
    const Id part = s.part(utc(2027, 3, 2, 20, 20), 10_units, meant, id);
    const Ask rest{id, *checked_sub(meant, 10_units), tonight, part, Ask::Taken::ask};
    EXPECT_EQ(s.refusal(rest), expected) << format(meant);
  }
}

TEST(Order, APartStaysAPartOutsideTheWindowUntilTheNextOneOpens_H39) {
  Story s;
  const Id id = s.signed_and_checked();
  const Id part = s.part(utc(2027, 3, 2, 20, 20), 10_units, 22_units, id);
  EXPECT_EQ(s.refusal(ask(id, 22_units, utc(2027, 3, 3, 9))), codes::part_given);
  EXPECT_EQ(s.refusal(ask(id, 18_units, utc(2027, 3, 3, 20, 30))), "allowed");
  const Ask rest{id, 12_units, utc(2027, 3, 3, 9), part, Ask::Taken::ask};
  EXPECT_EQ(s.refusal(rest), codes::rest_late);
}

TEST(Order, WhatIsSaidOfARestSettlesItsDose_H39_H44) {
  Story s;
  const Id id = s.signed_and_checked();
  const Id part = s.part(utc(2027, 3, 2, 20, 20), 10_units, 22_units, id);
  const auto rest = [&](const Story& story) {
    return story.refusal({id, 12_units, utc(2027, 3, 3, 9), part, Ask::Taken::ask});
  };
  const auto after = [&](journal::DoseWas was, LocalDay day, Instant when) {
    Story said = s;
    said.say(id, day, was, when);
    return said;
  };
  using journal::DoseWas;
  const LocalDay that_day = day_of(2027, 3, 2);
  EXPECT_EQ(rest(after(DoseWas::not_taken, that_day, utc(2027, 3, 3, 8))), codes::rest_none);
  EXPECT_EQ(rest(after(DoseWas::taken, that_day, utc(2027, 3, 3, 8))), codes::rest_none);
  EXPECT_EQ(rest(after(DoseWas::not_known, that_day, utc(2027, 3, 3, 8))), codes::not_known);
  // Of another evening, or before the part was given, it says nothing about the rest.
  EXPECT_EQ(rest(after(DoseWas::not_taken, day_of(2027, 3, 1), utc(2027, 3, 3, 8))),
            codes::rest_late);
  EXPECT_EQ(rest(after(DoseWas::not_taken, that_day, utc(2027, 3, 2, 20, 10))), codes::rest_late);
}

TEST(Order, AnUnknownAmountShortlyBeforeTheNextDoseHoldsIt_H44) {
  Story s;
  auto twice = Story::bedtime();
  twice.slots = {{SlotName::breakfast, {8 * 60}, 60, 60, 18_units},
                 {SlotName::bedtime, {20 * 60}, 60, 60, 18_units}};
  const Id id = s.signed_and_checked(twice);
  journal::Injected p;
  p.cartridge = Id{1, 10};
  p.meant = 18_units;
  p.outcome = Outcome::unknown;
  p.line = id;
  p.slot = SlotName::breakfast;
  Story late = s, early = s;
  late.tell(utc(2027, 3, 2, 12), p);
  EXPECT_EQ(late.refusal(ask(id, 18_units, utc(2027, 3, 2, 19))), codes::outcome_unknown);
  early.tell(utc(2027, 3, 2, 7), p);
  EXPECT_EQ(early.refusal(ask(id, 18_units, utc(2027, 3, 2, 19))), "allowed");
}

TEST(Order, UnknownOutcomeIsNeverRepeated_H44) {
  Story s;
  const Id id = s.signed_and_checked();
  const Id unknown = s.part(utc(2027, 3, 2, 20, 20), 18_units, 18_units, id, Outcome::unknown);
  Ask again = ask(id);
  EXPECT_EQ(s.refusal(again), codes::outcome_unknown);
  again.taken = Ask::Taken::answered;
  EXPECT_EQ(s.refusal(again), codes::outcome_unknown);
  again.completes = unknown;
  EXPECT_EQ(s.refusal(again), codes::outcome_unknown);
}

// ---- given under something else, and not given at all

// nurse A1, pharmacist D1
TEST(Order, AnotherVersionStrengthOrBackgroundInsulinAsksFirst_H52_H07_H08) {
  Story s;
  const Id first = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 20, 20), 18_units, first);
  auto version = Story::bedtime();
  version.order_version = 2;
  version.slots.front().units = 24_units;
  const Id second = s.signed_and_checked(version);
  EXPECT_EQ(s.refusal(ask(second, 24_units)), codes::taken_perhaps);
  version.replaces = first;
  const Id third = s.signed_and_checked(version);
  EXPECT_EQ(s.refusal(ask(third, 24_units)), codes::taken_perhaps);
  auto strength = Story::bedtime();
  strength.strength = {300};
  EXPECT_EQ(s.refusal(ask(s.signed_and_checked(strength))), codes::taken_perhaps);
  auto other = Story::bedtime();
  other.insulin = "insulin degludec";
  EXPECT_EQ(s.refusal(ask(s.signed_and_checked(other))), codes::taken_perhaps);
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  EXPECT_EQ(s.refusal(ask(s.signed_and_checked(meal))), "allowed");
}

TEST(Order, SomebodysWordThatItWasAnotherDoseLetsItGoAndThatItWasThisOneClosesIt_H52) {
  Story s;
  const Id first = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 20, 20), 18_units, first);
  const Id second = s.signed_and_checked();
  const auto day = day_of(2027, 3, 2);
  Story other = s;
  other.say(second, day, journal::DoseWas::not_taken, utc(2027, 3, 2, 20, 25));
  EXPECT_EQ(other.refusal(ask(second)), "allowed");
  Story early = s;  // said before it was given: nothing about it
  early.say(second, day, journal::DoseWas::not_taken, utc(2027, 3, 2, 20, 10));
  EXPECT_EQ(early.refusal(ask(second)), codes::taken_perhaps);
  Story same = s;
  same.say(second, day, journal::DoseWas::taken, utc(2027, 3, 2, 20, 25));
  for (const auto& due : open_dues(same.order(), same.zone.when(tonight), same.zone, 0)) {
    EXPECT_NE(due.line, second);
  }
}

TEST(Order, TwoLinesOfOneInsulinAtDifferentHoursAreTwoDoses_H52) {
  Story s;
  auto morning = Story::bedtime();
  morning.slots = {{SlotName::breakfast, {8 * 60}, 60, 120, 18_units}};
  const Id early = s.signed_and_checked(morning);
  const Id late = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 7, 10), 18_units, early, SlotName::breakfast);
  EXPECT_EQ(s.refusal(ask(late)), "allowed");
  // A line that does not hold any more has no hours of its own: the evening's dose of one that was
  // replaced counts against the new one's until morning.
  auto replacing = morning;
  replacing.replaces = late;
  replacing.from = day_of(2027, 3, 3);
  replacing.slots.front().at = {4 * 60};
  s.inject(utc(2027, 3, 2, 20, 10), 18_units, late);
  const Id next = s.signed_and_checked(replacing);
  EXPECT_EQ(s.refusal(ask(next, 18_units, utc(2027, 3, 3, 3))), codes::taken_perhaps);
}

// pharmacist D3, nurse A11
TEST(Order, AnAnswerInTheirOwnWordsHoldsUntilALineSaysIt_H37) {
  Story s;
  const Id id = s.signed_and_checked();
  const Id open = s.tell(utc(2027, 3, 1, 9), journal::QuestionOpened{id, {}, "", {}});
  using journal::AnswerKind;
  s.tell(utc(2027, 3, 1, 10),
         journal::QuestionAnswered{open, AnswerKind::other, "Dr Osei", "Give 10 tonight", true});
  const auto order = s.order();
  const auto answer = may_dial(order, ask(id), s.zone);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, codes::answered_in_words);
  EXPECT_THAT(answer.error().args, testing::Contains(arg_text("text", "Give 10 tonight")));
  auto said = Story::bedtime();
  said.replaces = id;
  const Id line = s.sign(said, utc(2027, 3, 1, 11));
  s.check(line, utc(2027, 3, 1, 12));
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
}

// nurse A7, pharmacist D14
TEST(Order, ABackgroundDoseThatNobodyRecordedOutlivesMidnight_H57_H38) {
  Story s;
  const Id id = s.signed_and_checked();
  s.inject(utc(2027, 3, 1, 21), 18_units, id);
  const auto at = [&](const Story& story, std::optional<Instant> now) {
    const auto order = story.order();
    return unrecorded(order, line_in(order, id), story.zone.when(utc(2027, 2, 28, 12)), now,
                      story.zone);
  };
  EXPECT_FALSE(at(s, utc(2027, 3, 2, 22)));  // its window is not over
  const auto missed = at(s, utc(2027, 3, 3, 7));
  ASSERT_TRUE(missed);
  EXPECT_EQ(missed->last.day, day_of(2027, 3, 2));
  EXPECT_EQ(at(s, std::nullopt)->first.to.at, utc(2027, 3, 2, 23));  // known beforehand
  const auto later = at(s, utc(2027, 3, 5, 7));
  EXPECT_EQ(later->first.day, day_of(2027, 3, 2));
  EXPECT_EQ(later->last.day, day_of(2027, 3, 4));
  for (const auto was :
       {journal::DoseWas::taken, journal::DoseWas::not_taken, journal::DoseWas::not_known}) {
    Story said = s;
    said.say(id, day_of(2027, 3, 2), was, utc(2027, 3, 3, 7));
    EXPECT_FALSE(at(said, utc(2027, 3, 3, 8)));
    EXPECT_TRUE(at(said, utc(2027, 3, 4, 8)));
  }
}

TEST(Order, WhoseDosesAreNotRecordedAsTheyAreGivenIsNotAskedForEach_H57_H32) {
  Story s;
  const Id id = s.signed_and_checked();
  const auto at = [&](const Story& story, Instant now) {
    const auto order = story.order();
    return unrecorded(order, line_in(order, id), story.zone.when(utc(2027, 2, 28, 12)), now,
                      story.zone)
        .has_value();
  };
  EXPECT_TRUE(at(s, utc(2027, 3, 2, 7)));   // the first dose of all
  EXPECT_FALSE(at(s, utc(2027, 3, 4, 7)));  // nobody records them
}

// Whose doses come home by diary was never asked about one that the diary does not have.
TEST(Order, ADoseThatADiaryDoesNotHaveIsAskedAboutAndNobodyIsReminded_H57_H32) {
  Story s;
  const Id id = s.signed_and_checked();
  const auto at = [&](const Story& story, std::optional<Instant> now) {
    const auto order = story.order();
    return unrecorded(order, line_in(order, id), story.zone.when(utc(2027, 2, 28, 12)), now,
                      story.zone);
  };
  s.inject(utc(2027, 3, 1, 21), 18_units, id);
  s.facts.back().source = "diary";
  EXPECT_FALSE(at(s, utc(2027, 3, 2, 20)));
  const auto ends_before = at(s, utc(2027, 3, 3, 7));
  ASSERT_TRUE(ends_before);
  EXPECT_EQ(ends_before->last.day, day_of(2027, 3, 2));
  EXPECT_TRUE(ends_before->by_diary);
  Story lacks = s;  // a prime of the next morning: the diary covers the night
  lacks.tell(utc(2027, 3, 3, 6), journal::Primed{Id{1, 10}, 2_units, journal::Flow::seen});
  lacks.facts.back().source = "diary";
  EXPECT_TRUE(at(lacks, utc(2027, 3, 3, 7)));
  Story live = s;
  live.inject(utc(2027, 3, 2, 21), 18_units, id);
  EXPECT_FALSE(at(live, utc(2027, 3, 4, 7))->by_diary);
}

// ---- refusals

/// What was mended is left out of the next story: facts are never edited.
Story without(Story story, const Id& fact) {
  std::erase_if(story.facts, [&](const Fact& f) { return f.id == fact; });
  return story;
}

/// The second half of the walk: the line holds, and what was given of it is in the way.
void walk_what_was_given(Ask wrong, std::vector<std::string>& seen) {
  const auto look = [&](const Story& story) { seen.push_back(story.refusal(wrong)); };
  Story current;
  wrong.line = current.signed_and_checked();
  look(current);
  const Id part = current.part(tonight - hours{3}, 10_units, 22_units, wrong.line);
  wrong.completes = part;
  look(current);
  current = without(current, part);
  wrong.completes = current.part(tonight - minutes{9}, 10_units, 22_units, wrong.line);
  look(current);
  const Id pending = *wrong.completes;
  wrong.completes.reset();
  look(current);
  wrong.dose = 18_units;
  Story unknown = without(current, pending);
  unknown.part(tonight - minutes{8}, 10_units, 22_units, wrong.line, Outcome::unknown);
  look(unknown);
  look(current);
  current = without(current, pending);
  Story unsure = current;
  unsure.say(wrong.line, day_of(2027, 3, 2), journal::DoseWas::not_known, tonight - minutes{8});
  look(unsure);
  const Id given = current.inject(tonight - minutes{7}, 18_units, wrong.line);
  look(current);
  current = without(current, given);
  Story other = current;
  other.load(30, {100}, "insulin lispro");
  other.inject(tonight - minutes{7}, 18_units, wrong.line, SlotName::bedtime, 30);
  look(other);
  const Id older = current.signed_and_checked();
  current.inject(tonight - minutes{7}, 18_units, older);
  look(current);
}

/// One story that breaks every rule at once; each step mends the first refusal, and the next of the
/// declared list comes up.
TEST(Order, RefusalsComeInTheirDeclaredOrder) {
  Story s;
  std::vector<std::string> seen;
  auto text = Story::bedtime();
  text.until = day_of(2027, 2, 1);
  text.from = day_of(2027, 4, 1);
  Ask wrong = ask(Id{3, 3}, 99_units);
  wrong.completes = Id{4, 4};
  const auto look = [&](const Story& story) { seen.push_back(story.refusal(wrong)); };
  look(s);
  const Id line = s.sign(text);
  wrong.line = line;
  auto instead = Story::bedtime();
  instead.replaces = line;
  const Id newer = s.sign(instead);
  look(s);
  s = without(s, newer);
  look(s);
  s = without(s, line);
  text.until.reset();
  wrong.line = s.sign(text);
  look(s);
  s.check(wrong.line);
  const Id open = s.tell(utc(2027, 3, 1, 9), journal::QuestionOpened{wrong.line, {}, "", {}});
  look(s);
  using journal::AnswerKind;
  const Id stop = s.tell(utc(2027, 3, 1, 10),
                         journal::QuestionAnswered{open, AnswerKind::stop, "Dr Osei", "", true});
  look(s);
  s = without(s, stop);
  const Id renew = s.tell(utc(2027, 3, 1, 11),
                          journal::QuestionAnswered{open, AnswerKind::new_order, "", "", true});
  look(s);
  s = without(s, renew);
  const Id words = s.tell(utc(2027, 3, 1, 11),
                          journal::QuestionAnswered{open, AnswerKind::other, "", "ten", true});
  look(s);
  s = without(without(s, words), open);
  look(s);
  walk_what_was_given(wrong, seen);
  EXPECT_THAT(seen, testing::ElementsAreArray(refusals));
}

TEST(Order, EveryRefusalOfADueDoseSaysWhatTheWordsNeed_H38) {
  Story s;
  const Id id = s.sign();
  const Order order = s.order();
  const auto answer = may_dial(order, ask(id), s.zone);
  ASSERT_FALSE(answer.has_value());
  const Error& error = answer.error();
  EXPECT_EQ(error.kind, Kind::refused);
  EXPECT_EQ(argument(error, "insulin")->text, "insulin glargine");
  EXPECT_EQ(argument(error, "strength")->number, 100);
  EXPECT_EQ(argument(error, "purpose")->text, "background");
  EXPECT_EQ(argument(error, "version")->number, 1);
  EXPECT_EQ(*argument(error, "due"), arg_instant("due", s.zone.when(utc(2027, 3, 2, 21))));
}

TEST(Order, TheSameFactsInAnyOrderAreTheSameOrder_H31) {
  Story s;
  const Id id = s.signed_and_checked();
  s.part(utc(2027, 3, 2, 20, 20), 10_units, 22_units, id);
  s.inject(utc(2027, 3, 3, 20, 20), 40_units, id);
  const Id question = s.tell(utc(2027, 3, 4, 9), journal::QuestionOpened{id, {}, "", {}});
  s.tell(utc(2027, 3, 4, 9), journal::QuestionAnswered{question, {}, "Dr Osei", "", true});
  const Order order = s.order();
  for (int i = 0; i < 50; ++i) {
    std::ranges::rotate(s.facts, s.facts.begin() + 1 + i % 3);
    if (i % 2) std::ranges::reverse(s.facts);
    EXPECT_EQ(s.order(), order);
  }
}

}  // namespace
}  // namespace penstock::order
