#include "core/interlock/interlock.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <type_traits>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

// H53: nobody but the interlock makes what may be shown.
static_assert(!std::is_constructible_v<Cleared<Plan>, Plan>);
static_assert(!std::is_default_constructible_v<Cleared<Plan>>);
static_assert(!std::is_convertible_v<Plan, Cleared<Plan>>);
static_assert(!std::is_aggregate_v<Cleared<Plan>>);

TEST(Interlock, WithNothingAgainstItTheNumberIsTheDialPlans) {
  const auto said = next_of(whole());
  EXPECT_EQ(said.code, "");
  EXPECT_THAT(said.windows, testing::ElementsAre(20_units));
  EXPECT_THAT(said.aside, testing::IsEmpty());
}

// ---- one dose, whatever line, version, strength or pen stands beside it

// nurse A1, pharmacist D1
TEST(Interlock, GivenUnderAnotherVersionLineOrStrengthIsTakenAlready_H52_H07_H08) {
  auto story = whole();
  const auto first = story.facts.front().id;
  story.inject(tonight - minutes{10}, 20_units, first);
  auto version = Story::bedtime();
  version.order_version = 2;
  version.slots.front().units = 24_units;
  auto line = story;
  line.order(version, at(2, 8));
  EXPECT_EQ(next_of(line).code, order::codes::taken_perhaps);
  auto replaced = story;
  version.replaces = first;
  replaced.order(version, tonight - minutes{5});
  EXPECT_EQ(next_of(replaced).code, order::codes::taken_perhaps);
  auto strength = story;
  version.strength = {300};
  strength.order(version, tonight - minutes{5});
  EXPECT_EQ(next_of(strength).code, order::codes::taken_perhaps);
}

TEST(Interlock, AQuestionSaysWhichFactsAnswerIt) {
  auto story = whole();
  story.inject(tonight - minutes{10}, 20_units, story.facts.front().id);
  auto anew = Story::bedtime();
  anew.replaces = story.facts.front().id;
  const auto second = story.order(anew, at(2, 8));
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {tonight, 0});
  ASSERT_TRUE(agenda.next);
  const auto* ask = std::get_if<AskFirst>(&agenda.next->verdict);
  ASSERT_NE(ask, nullptr);
  EXPECT_THAT(ask->answers,
              testing::ElementsAre(Answer::taken, Answer::not_taken, Answer::not_known));
  using journal::DoseWas;
  const auto after = [&](DoseWas was) {
    auto said = story;
    said.tell(tonight,
              journal::DoseAnswered{second, SlotName::bedtime, first_day + days{1}, was, ""});
    return next_of(said, tonight + minutes{1});
  };
  EXPECT_THAT(after(DoseWas::not_taken).windows, testing::ElementsAre(20_units));
  EXPECT_EQ(after(DoseWas::not_known).code, order::codes::not_known);
}

// nurse A9
TEST(Interlock, AScaleThatDiffersByTheDoseAsksWhetherItWasTaken_H59_H41_H07) {
  const auto read = [&](Units units) {
    auto story = whole();  // 280 left
    story.tell(tonight - minutes{5}, journal::ScaleCounted{cartridge_id, units});
    return story;
  };
  EXPECT_EQ(next_of(read(260_units)).code, codes::scale_says_taken);  // the dose
  EXPECT_EQ(next_of(read(258_units)).code, codes::scale_says_taken);  // with its prime
  EXPECT_EQ(next_of(read(280_units)).code, "");
  auto said = read(258_units);
  said.tell(tonight, journal::DoseAnswered{said.facts.front().id, SlotName::bedtime,
                                           first_day + days{1}, journal::DoseWas::not_taken, ""});
  EXPECT_EQ(next_of(said).code, "");
}

// Only a difference by the dose asked: at 0, or ten to sixty units off, the number stayed.
TEST(Interlock, AScaleThatDiffersOtherwiseThanByTheDoseAsksAsWell_H59_H41_H02) {
  const auto read = [&](Units units, Instant when = tonight - minutes{5}) {
    auto story = whole();  // 280 left
    story.tell(when, journal::ScaleCounted{cartridge_id, units});
    return story;
  };
  for (const auto units :
       {0_units, 221_units, 237_units, 250_units, 270_units, 277.5_units, 282.5_units, 300_units}) {
    EXPECT_EQ(next_of(read(units)).code, codes::scale_differs) << units.hundredths();
  }
  EXPECT_EQ(next_of(read(278_units)).code, "");  // a scale is read no better than that
  EXPECT_EQ(next_of(read(282_units)).code, "");
  EXPECT_EQ(next_of(read(258_units, at(2, 9))).code, codes::scale_differs);  // hours before
  // Priming afterwards settles nothing; a new reading does, or an answer, or a correction.
  for (const auto units : {260_units, 250_units}) {
    auto primed = read(units);
    const auto before = next_of(primed).code;
    primed.prime(tonight - minutes{2}, 2_units, Flow::seen);
    EXPECT_EQ(next_of(primed).code, before);
    auto again = primed;
    again.tell(tonight - minutes{1}, journal::ScaleCounted{cartridge_id, 278_units});
    EXPECT_THAT(next_of(again).windows, testing::ElementsAre(20_units));
    auto answered = primed;
    answered.tell(tonight,
                  journal::DoseAnswered{primed.facts.front().id, SlotName::bedtime,
                                        first_day + days{1}, journal::DoseWas::not_taken, ""});
    EXPECT_THAT(next_of(answered).windows, testing::ElementsAre(20_units));
    auto missing = primed;
    missing.prime(at(2, 10), *checked_sub(280_units, units), Flow::seen);
    EXPECT_THAT(next_of(missing).windows, testing::ElementsAre(20_units));
  }
}

// By the account 280 units were left, and the plan took a dose from what the scale says is empty.
TEST(Interlock, OfScaleAndAccountThePlanCountsOnTheSmaller_H02_H41) {
  auto story = whole();
  story.tell(tonight - minutes{5}, journal::ScaleCounted{cartridge_id, 12_units});
  story.tell(tonight, journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                            first_day + days{1}, journal::DoseWas::not_taken, ""});
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {tonight, 0});
  ASSERT_TRUE(agenda.next && cleared(agenda.next->verdict));
  const auto& plan = **cleared(agenda.next->verdict);
  EXPECT_EQ(plan.request.cartridges.front().left, 12_units);
  EXPECT_EQ(chart->ledger.cartridges.front().left, 280_units);  // the account stays what it is
  const auto dial = std::ranges::find(plan.plan.actions, dial::Do::dial, &dial::Action::what);
  EXPECT_NE(dial->cartridge, 0U);
}

// ---- a divided dose

/// A diary's row names no line of the order.
enum class Told { at_the_desk, by_diary };
/// The first part of tonight's dose, at some minute after the usual hour.
Story divided(std::int32_t minute, Told told = Told::at_the_desk) {
  auto story = whole();
  journal::Injected part;
  part.cartridge = cartridge_id;
  part.units = 8_units;
  part.meant = 20_units;
  part.outcome = Outcome::part;
  if (told == Told::at_the_desk) {
    part.line = story.facts.front().id;
    part.slot = SlotName::bedtime;
  }
  story.tell(tonight + minutes{minute}, part);
  return story;
}
/// What is said beside the next number.
std::optional<Before::Was> before_next(const Story& story, Instant now) {
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
  if (!agenda.next || !agenda.next->before) return std::nullopt;
  return agenda.next->before->was;
}

// A first part an hour and a half before the window was forgotten when it opened, and one from a
// diary at once: tomorrow's number stood there.
TEST(Interlock, ADividedDoseStaysDividedUntilTheNextSlotsWindowOpens_H39) {
  const std::vector<std::pair<int, Story>> stories{
      {5, divided(5)}, {-90, divided(-90)}, {5, divided(5, Told::by_diary)}};
  for (const auto& [begun, story] : stories) {
    for (auto minute = begun + 30; tonight + minutes{minute} < at(3, 21); minute += 30) {
      const auto now = tonight + minutes{minute};
      const auto said = next_of(story, now);
      if (minute - begun <= order::rest_minutes_most) {
        EXPECT_THAT(said.windows, testing::ElementsAre(12_units)) << minute;
      } else {
        EXPECT_EQ(said.code, order::codes::rest_late) << minute;
      }
    }
    EXPECT_THAT(next_of(story, at(3, 21)).windows, testing::ElementsAre(20_units));
    EXPECT_EQ(before_next(story, at(3, 21)), Before::Was::rest_not_said);
  }
}

TEST(Interlock, WhatIsSaidOfTheRestSettlesIt_H39_H44) {
  const auto story = divided(5);
  const auto morning = at(3, 8);
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {morning, 0});
  ASSERT_TRUE(agenda.next);
  const auto* ask = std::get_if<AskFirst>(&agenda.next->verdict);
  ASSERT_NE(ask, nullptr);
  EXPECT_THAT(ask->answers,
              testing::ElementsAre(Answer::injected, Answer::not_taken, Answer::not_known));
  EXPECT_EQ(agenda.next->asked.day, first_day + days{1});
  const auto after = [&](journal::DoseWas was) {
    auto said = story;
    said.tell(morning, journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                             agenda.next->asked.day, was, ""});
    return said;
  };
  using journal::DoseWas;
  EXPECT_THAT(next_of(after(DoseWas::not_taken), morning).windows, testing::ElementsAre(20_units));
  EXPECT_EQ(before_next(after(DoseWas::not_taken), morning), Before::Was::rest_not_given);
  EXPECT_EQ(before_next(after(DoseWas::taken), morning), std::nullopt);
  // What nobody knew can be found out.
  const auto unknown = after(DoseWas::not_known);
  const auto asked = unknown.chart();
  const auto found_out = agenda_of(*asked, {unknown.shelf, unknown.stock}, {morning, 0});
  ASSERT_TRUE(found_out.next);
  ask = std::get_if<AskFirst>(&found_out.next->verdict);
  ASSERT_NE(ask, nullptr);
  EXPECT_EQ(ask->error.code, order::codes::not_known);
  EXPECT_THAT(ask->answers,
              testing::ElementsAre(Answer::injected, Answer::taken, Answer::not_taken));
  EXPECT_EQ(before_next(after(DoseWas::not_known), at(3, 21)), Before::Was::amount_unknown);
  auto injected = story;
  journal::Injected rest;
  rest.cartridge = cartridge_id;
  rest.units = 12_units;
  rest.line = story.facts.front().id;
  rest.slot = SlotName::bedtime;
  rest.completes = story.facts.back().id;
  injected.tell(tonight + minutes{20}, rest);
  EXPECT_EQ(before_next(injected, morning), std::nullopt);
  EXPECT_THAT(next_of(injected, morning).windows, testing::ElementsAre(20_units));
}

// Another insulin's dose is not held up by the rest, and the rest is asked about all the same.
TEST(Interlock, ALateRestIsAskedAboutBesideAnotherInsulinsDose_H39_H38) {
  auto story = divided(5);
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  meal.slots = {{SlotName::breakfast, {8 * 60}, 60, 60, 20_units}};
  const auto lispro = story.order(meal, at(1, 8));
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {at(3, 8), 0});
  ASSERT_EQ(agenda.unrecorded.size(), 1U);
  EXPECT_EQ(held(agenda.unrecorded.front().verdict)->error.code, order::codes::rest_late);
  ASSERT_TRUE(agenda.next);
  EXPECT_EQ(agenda.next->due.line, lispro);
}

// ---- not recorded

// nurse A7, pharmacist D14
TEST(Interlock, AnUnrecordedBackgroundDoseAsksAfterMidnightAndTheNextMorning_H57_H38) {
  const auto story = whole();
  for (const auto now : {at(3, 0, 30), at(3, 8), at(3, 21, 30)}) {
    EXPECT_EQ(next_of(story, now).code, codes::unrecorded);
  }
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {at(3, 8), 0});
  ASSERT_EQ(agenda.unrecorded.size(), 1U);
  EXPECT_EQ(agenda.unrecorded.front().asked.day, first_day + days{1});
  EXPECT_FALSE(agenda.next);
  auto missed = story;
  missed.tell(at(3, 8),
              journal::DoseAnswered{story.facts.front().id, SlotName::bedtime, first_day + days{1},
                                    journal::DoseWas::not_taken, ""});
  EXPECT_THAT(next_of(missed, at(3, 21, 30)).windows, testing::ElementsAre(20_units));
  EXPECT_EQ(before_next(missed, at(3, 9)), Before::Was::missed);
}

TEST(Interlock, ALowOnRecordHoldsUntilALaterValueSaysThatItIsOver_H10_H58) {
  auto story = whole();
  const auto noted = [&](Instant when, std::optional<Glucose> value) {
    journal::GlucoseNoted one;
    one.value = value;
    one.felt = value ? journal::YesNo::unknown : journal::YesNo::yes;
    story.tell(when, one);
  };
  noted(at(2, 21, 30), Glucose{GlucoseUnit::mmol_l, 39});
  EXPECT_EQ(next_of(story).code, "") << "the limit itself is no low";
  noted(at(2, 21, 40), Glucose{GlucoseUnit::mg_dl, 69});
  EXPECT_EQ(next_of(story).code, codes::low_on_record);
  EXPECT_EQ(next_of(story, tonight, codes::low_on_record).code, "");
  noted(at(2, 21, 55), Glucose{GlucoseUnit::mmol_l, 52});
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
  noted(at(2, 21, 58), std::nullopt);
  EXPECT_EQ(next_of(story).code, codes::low_felt);
  EXPECT_THAT(next_of(story, at(2, 23, 58)).windows, testing::ElementsAre(20_units))
      << "basal insulin is not kept from them for ever (H38)";
}

// Vomiting, drowsy, ketones and a hypo that were told in a call held nothing.
TEST(Interlock, RedFlagsOfARecordedCallHoldUntilALaterOneSaysOtherwise_H53_H10_H47_H61) {
  using journal::YesNo;
  const auto call = [](YesNo journal::ContactMade::* flag, YesNo answer,
                       journal::ContactOutcome outcome = journal::ContactOutcome::reached) {
    journal::ContactMade made;
    made.outcome = outcome;
    made.*flag = answer;
    return made;
  };
  const std::pair<YesNo journal::ContactMade::*, std::string_view> flags[] = {
      {&journal::ContactMade::low, codes::low_now},
      {&journal::ContactMade::not_eating, codes::not_eating},
      {&journal::ContactMade::drowsy, codes::drowsy},
      {&journal::ContactMade::ketones, codes::ketones}};
  for (const auto& [flag, code] : flags) {
    auto story = whole();
    story.tell(at(2, 15), call(flag, YesNo::yes));
    EXPECT_EQ(next_of(story).code, code);
    story.tell(at(2, 16), call(flag, YesNo::unknown));
    EXPECT_EQ(next_of(story).code, code) << "nobody asked";
    story.tell(at(2, 17), call(flag, YesNo::no, journal::ContactOutcome::no_answer));
    EXPECT_EQ(next_of(story).code, code) << "nobody was spoken to";
    auto over = story;
    over.tell(at(2, 18), call(flag, YesNo::no));
    EXPECT_THAT(next_of(over).windows, testing::ElementsAre(20_units));
    // Of a hypo a value says it too; of nothing else.
    journal::GlucoseNoted value;
    value.value = Glucose{GlucoseUnit::mmol_l, 62};
    auto same = story;
    same.tell(at(2, 15), value);
    EXPECT_EQ(next_of(same).code, code) << "of the same minute";
    story.tell(at(2, 19), value);
    EXPECT_EQ(next_of(story).code, code == codes::low_now ? "" : code);
  }
}

// Each night answered by itself had a milder card than nights of which nobody spoke.
TEST(Interlock, NightsThatWereAnsweredOneByOneAreCountedAsNightsOfWhichNobodySpoke_H57) {
  auto story = whole();
  for (const auto night : {2, 3}) {
    story.tell(at(night + 1, 8),
               journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                     first_day + days{night - 1}, journal::DoseWas::not_taken, ""});
  }
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {at(4, 9), 0});
  ASSERT_TRUE(agenda.next && agenda.next->before && agenda.next->before->since);
  EXPECT_EQ(agenda.next->before->since->at, at(2, 22));
  EXPECT_EQ(agenda.next->before->when.at, at(3, 22));
}

// A new cartridge in the morning hid that nobody had recorded the evening's dose.
TEST(Interlock, ADoseInQuestionThatNobodyAnsweredStaysTheOneAskedAbout_H38_H57) {
  auto story = whole();
  story.inject(at(1, 22), 20_units, story.facts.front().id);
  story.inject(at(2, 22), 20_units, story.facts.front().id);
  story.tell(at(3, 12), journal::QuestionOpened{story.facts.front().id, {}, "", {}});
  const auto asked = [&](Instant now) {
    const auto person = story.chart();
    const auto agenda = interlock::agenda_of(*person, {story.shelf, story.stock}, {now, 0});
    EXPECT_EQ(agenda.ask_first.size(), 1U);
    return agenda.ask_first.empty() ? Instant{} : agenda.ask_first.front().due.at.at;
  };
  EXPECT_EQ(asked(at(3, 20)), at(3, 22));
  // Two hours after midnight the prescriber is to be phoned now, not before the next evening.
  EXPECT_EQ(asked(at(4, 2)), at(3, 22));
}

TEST(Interlock, ANewCartridgeHidesNoUnrecordedDose_H57) {
  auto story = whole();
  journal::CartridgeLoaded load;
  load.cartridge = id(0xCB);
  load.pen = pen_id;
  load.copy = story.shelf.insulins.front().thing;
  load.units = load.content = 300_units;
  load.fits = "A";
  load.new_cartridge = true;
  story.tell(at(3, 7), load);
  EXPECT_EQ(next_of(story, at(3, 8)).code, codes::unrecorded);
}

// ---- flow

// nurse A3, A18, pharmacist D10
TEST(Interlock, ThreeDryPrimesANewNeedleStillDryNoDose_H64_H44) {
  auto story = whole();
  story.needle_on(tonight - minutes{9});
  story.prime(tonight - minutes{8}, 2_units, Flow::not_seen);
  EXPECT_THAT(next_of(story).primes, testing::ElementsAre(2_units));  // the whole prime, not one
  story.prime(tonight - minutes{7}, 2_units, Flow::unknown);
  EXPECT_THAT(next_of(story).primes, testing::ElementsAre(2_units));
  story.prime(tonight - minutes{6}, 2_units, Flow::not_seen);
  story.prime(tonight - minutes{5}, 2_units, Flow::not_seen);
  EXPECT_THAT(next_of(story).primes, testing::ElementsAre(2_units));
  story.needle_off(tonight - minutes{4});
  story.needle_on(tonight - minutes{3});
  EXPECT_THAT(next_of(story).primes, testing::ElementsAre(2_units));
  story.prime(tonight - minutes{2}, 2_units, Flow::not_seen);
  EXPECT_EQ(next_of(story).code, dial::dial_codes::no_flow);
}

// The copy may be a file's word, or the shelf was wrong on that day.
TEST(Interlock, APenWhoseCopySaysAnotherWindowThanTheShelfIsTestedBeforeANumber_H01) {
  Story story;
  story.order();
  story.pen();
  story.load();
  story.inject(at(1, 22), 20_units, story.facts.front().id);
  story.shelf.pens.front().thing.window = shelf::Window::counts_on;
  EXPECT_EQ(next_of(story).code, dial::dial_codes::window_unknown);
  story.shelf.pens.front().thing.name = "another pen";  // nobody speaks for this one
  EXPECT_EQ(next_of(story).code, dial::dial_codes::window_unknown);
  story.tell(at(2, 12), journal::WindowTested{pen_id, 2_units, 0_units, {}});
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
}

TEST(Interlock, ANewNeedleOnAPenThatCountsOnIsAWholeNewPrimeOnTopOfWhatStandsInTheWindow_H64_H01) {
  Story story;
  story.shelf.pens.front().thing.window = shelf::Window::counts_on;
  story.order();
  story.pen();
  story.load();
  story.inject(at(1, 22), 20_units, story.facts.front().id);
  story.needle_on(tonight - minutes{9});
  for (int i = 0; i < 3; ++i) story.prime(tonight - minutes{8 - i}, 2_units, Flow::not_seen);
  story.needle_off(tonight - minutes{4});
  story.needle_on(tonight - minutes{3});
  const auto said = next_of(story);
  EXPECT_THAT(said.primes, testing::ElementsAre(2_units));
  EXPECT_THAT(said.windows, testing::ElementsAre(28_units));  // 6 + 2 + 20
}

// ---- what is in the house

// pharmacist D7
TEST(Interlock, ASealedCartridgePastItsPrintedDayIsNotPlanned_H12) {
  Story story;
  story.order();
  story.pen();
  story.load(10_units);
  story.supplies(1, "old", first_day - days{1});
  EXPECT_EQ(next_of(story, at(1, 22)).code, "dial.cartridge_short");
  story.supplies(1, "new", first_day + days{100});
  const auto said = next_of(story, at(1, 22));
  EXPECT_EQ(said.windows.size(), 1U);
  EXPECT_THAT(said.aside, testing::ElementsAre(std::string(codes::expired)));
}

// nurse A22
TEST(Interlock, ARecalledLotInThePenIsSetAsideAndHoldsWhereThereIsNoOther_H61) {
  auto story = whole();
  story.recall("L1");
  const auto said = next_of(story);
  EXPECT_THAT(said.aside, testing::ElementsAre(std::string(codes::recalled)));
  EXPECT_THAT(said.primes, testing::ElementsAre(4_units));  // of a sealed one
  story.recall("l 2");
  EXPECT_EQ(next_of(story).code, codes::recalled);
}

// nurse A14
TEST(Interlock, APenOfAnotherStrengthIsNamed_H03) {
  Story story;
  story.order();
  story.pen({300});
  EXPECT_EQ(next_of(story).code, codes::other_strength);
}

// ---- somebody on the telephone

Call a_call(const shelf::Shelf& shelf) {
  Call call;
  using Is = Flags::Is;
  call.flags = {Is::no, Is::no, Is::no, Is::not_measured, Flags::Last::hours, 23, Is::no};
  call.pen = shelf.pens.front().thing;
  call.insulin = shelf.insulins.front();
  call.dose = 20_units;
  call.left = 100_units;
  call.days_in_use = 6;
  return call;
}

// nurse A2, A3, pharmacist D9
TEST(Interlock, ACallersRedFlagsComeFirstAndSilenceIsTakenForNothing_H53_H64) {
  const auto shelf = tests::small_shelf();
  const stock::Stock stock;
  const House house{shelf, stock};
  auto good = a_call(shelf);
  EXPECT_THAT(verdict_in(decide(good, house)).windows, testing::ElementsAre(20_units));
  // Everything at once, then mended one by one: the table's own order.
  using Is = Flags::Is;
  using Last = Flags::Last;
  Call call = good;
  call.flags = {Is::yes, Is::yes, Is::yes, Is::unasked, Last::not_known, 0, Is::no};
  call.pen.window = shelf::Window::counts_on;
  call.days_in_use.reset();
  call.primed = Call::Primed::not_seen;
  call.left = 301_units;
  call.dose = 81_units;
  std::vector<std::string> seen;
  const auto look = [&] { seen.push_back(verdict_in(decide(call, house)).code); };
  look();
  call.flags.low = Is::no;
  look();
  call.flags.drowsy = Is::no;
  look();
  call.flags.low = Is::yes;
  call.flags.ketones = Is::yes;
  look();
  call.flags.ketones = Is::no;
  look();
  call.flags.ketones = Is::yes;
  call.flags.not_eating = Is::no;
  look();
  call.flags.ketones = Is::no;
  look();
  call.flags.low = Is::no;
  call.flags.ketones = Is::yes;
  look();
  call.flags.not_eating = Is::yes;
  look();
  call.flags.ketones = Is::no;
  look();
  call.flags.not_eating = Is::no;
  look();
  call.flags.last = Last::hours;
  call.flags.last_hours = 11;
  look();
  call.flags.last_hours = 48;
  look();
  call.flags.last_hours = 47;
  look();
  call.days_in_use = 6;
  look();
  call.spent = 2_units;
  look();
  call.dry_primes = 1;
  look();
  call.left = 300_units;
  look();
  call.dose_said_twice = true;
  look();
  EXPECT_THAT(seen, testing::ElementsAre(
                        codes::low_drowsy, codes::drowsy, codes::flags_unasked, codes::low_all,
                        codes::low_not_eating, codes::low_ketones, codes::low_now, codes::ketones,
                        codes::ketones_not_eating, codes::not_eating, codes::last_dose_unknown,
                        codes::last_dose_lately, codes::last_dose_long_ago, codes::days_unknown,
                        codes::spent_unknown, codes::dry_unknown, codes::more_than_holds,
                        codes::dose_unusual, ""));
}

TEST(Interlock, OneQuestionLeftOutOrAnsweredAsOnlyKetonesMayBeIsNoAnswer_H53) {
  const auto shelf = tests::small_shelf();
  const stock::Stock stock;
  const House house{shelf, stock};
  const auto good = a_call(shelf);
  using Is = Flags::Is;
  for (auto Flags::* flag : {&Flags::low, &Flags::not_eating, &Flags::drowsy, &Flags::travelling}) {
    for (const auto is : {Is::unasked, Is::not_measured}) {
      auto silent = good;
      silent.flags.*flag = is;
      EXPECT_EQ(verdict_in(decide(silent, house)).code, codes::flags_unasked);
    }
  }
}

TEST(Interlock, ACallersDryPensGiveANewNeedleThenNoDose_H64_H44) {
  const auto shelf = tests::small_shelf();
  const stock::Stock stock;
  auto call = a_call(shelf);
  call.primed = Call::Primed::not_seen;
  call.spent = 6_units;
  for (const int dry : {1, 2, 3}) {
    call.dry_primes = dry;
    EXPECT_THAT(verdict_in(decide(call, {shelf, stock})).primes, testing::ElementsAre(2_units));
  }
  // As many as two needles would take: nobody said that it was changed between them.
  for (const int dry : {6, 9}) {
    call.dry_primes = dry;
    EXPECT_EQ(verdict_in(decide(call, {shelf, stock})).code, dial::dial_codes::no_flow) << dry;
  }
  call.dry_primes = 3;
  call.needle_changed = true;
  EXPECT_EQ(verdict_in(decide(call, {shelf, stock})).code, dial::dial_codes::no_flow);
}

// Another needle after "no dose from this pen" brought the number back: nobody asked how many
// stayed dry.
TEST(Interlock, AfterTwoDryNeedlesACallersThirdBringsNoNumberBack_H64) {
  const auto shelf = tests::small_shelf();
  const stock::Stock stock;
  auto call = a_call(shelf);
  call.spent = 8_units;
  call.dry_needles = 1;
  EXPECT_THAT(verdict_in(decide(call, {shelf, stock})).primes, testing::ElementsAre(2_units));
  call.dry_needles = 2;
  for (const auto primed : {Call::Primed::not_yet, Call::Primed::not_seen}) {
    call.primed = primed;
    call.dry_primes = primed == Call::Primed::not_seen ? std::optional{1} : std::nullopt;
    EXPECT_EQ(verdict_in(decide(call, {shelf, stock})).code, dial::dial_codes::no_flow);
  }
  call.primed = Call::Primed::seen;
  EXPECT_EQ(verdict_in(decide(call, {shelf, stock})).code, "");
}

// "Primed", 3 units, then "not primed yet": the 3 were still there, and one unit was left to prime.
TEST(Interlock, OfAPrimeThatNobodyMadeACallersUnitsCountForNothing_H64_H01) {
  const auto shelf = tests::small_shelf();
  const stock::Stock stock;
  for (const auto window : {shelf::Window::returns_to_zero, shelf::Window::counts_on}) {
    auto call = a_call(shelf);
    call.pen.window = window;
    const auto fresh = verdict_in(decide(call, {shelf, stock}));
    call.spent = 1_units;
    const auto left_over = verdict_in(decide(call, {shelf, stock}));
    EXPECT_EQ(left_over.primes, fresh.primes);
    EXPECT_EQ(left_over.windows, fresh.windows);
    EXPECT_THAT(left_over.primes, testing::ElementsAre(2_units)) << "the whole prime";
  }
  // Nothing was seen: the whole prime again, whatever was pressed out.
  auto call = a_call(shelf);
  call.primed = Call::Primed::not_seen;
  call.spent = 1_units;
  call.dry_primes = 1;
  EXPECT_THAT(verdict_in(decide(call, {shelf, stock})).primes, testing::ElementsAre(2_units));
}

// On every surface of a person's record, hours later and the next evening as well.
TEST(Interlock, NoDoseFromADryPenHoldsWhateverNeedleComesNext_H64_H44) {
  auto story = whole();
  const auto needle = [&](Instant when, int dry) {
    story.needle_on(when);
    for (int i = 0; i < dry; ++i) story.prime(when + minutes{1 + i}, 2_units, Flow::not_seen);
    story.needle_off(when + minutes{5});
  };
  needle(tonight - minutes{50}, 3);
  needle(tonight - minutes{40}, 1);
  EXPECT_EQ(next_of(story).code, dial::dial_codes::no_flow);
  for (int more = 0; more < 3; ++more) {
    story.needle_on(tonight - minutes{30 - 5 * more});
    for (const auto now : {tonight, at(3, 0, 55)})
      EXPECT_EQ(next_of(story, now).code,
                now == tonight ? dial::dial_codes::no_flow : codes::unrecorded);
    story.needle_off(tonight - minutes{28 - 5 * more});
  }
  story.tell(at(3, 9), journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                             first_day + days{1}, journal::DoseWas::not_taken, ""});
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, dial::dial_codes::no_flow);
  story.prime(at(3, 21, 25), 2_units, Flow::seen);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
}

// Of somebody on record: a missed dose, a strength, a journey.
TEST(Interlock, WhatIsToldOnTheTelephoneBesideTheRecordHolds_H53_H57_H03_H18) {
  Story story;
  auto with_meals = Story::bedtime();  // of these the record itself asks about none
  with_meals.purpose = journal::Purpose::mealtime;
  const auto line = story.order(with_meals);
  story.pen();
  story.load();
  const auto now = at(4, 21, 30);
  SaidOfDose told;
  const auto look = [&] {
    const auto chart = story.chart();
    const auto dues = order::due_on(chart->order, When{now, 0}.day(), chart->zone);
    return decide(*chart, {story.shelf, story.stock}, dues.back(), {now, 0}, told);
  };
  EXPECT_NE(cleared(look().verdict), nullptr);
  told.flags.travelling = Flags::Is::yes;
  EXPECT_EQ(held(look().verdict)->error.code, codes::travelling);
  told.flags.travelling = Flags::Is::no;
  told.flags.last = Flags::Last::not_known;
  EXPECT_EQ(held(look().verdict)->error.code, codes::last_dose_unknown);
  told.flags.last = Flags::Last::unasked;
  told.flags.missed = Flags::Is::yes;
  EXPECT_EQ(held(look().verdict)->error.code, codes::missed_told);
  EXPECT_EQ(look().asked.day, first_day + days{2});
  story.tell(at(4, 21), journal::DoseAnswered{line, SlotName::bedtime, first_day + days{2},
                                              journal::DoseWas::not_taken, ""});
  EXPECT_EQ(look().before->was, Before::Was::missed);
  told.strength = Strength{300};
  EXPECT_EQ(held(look().verdict)->error.code, codes::strength_differs);
}

// The card asks none of it; the telephone's answer stood beside questions that nobody had asked.
TEST(Interlock, OnTheTelephoneOneMissingAnswerHoldsTheNumberOfSomebodyOnRecordToo_H53_H10) {
  using Is = Flags::Is;
  auto story = whole();
  SaidOfDose told;
  const auto code = [&] {
    const auto chart = story.chart();
    const auto due = order::due_on(chart->order, When{tonight, 0}.day(), chart->zone).back();
    return verdict_in(decide(*chart, {story.shelf, story.stock}, due, {tonight, 0}, told).verdict)
        .code;
  };
  EXPECT_EQ(code(), "");
  told.where = SaidOfDose::Where::on_the_telephone;
  EXPECT_EQ(code(), codes::flags_unasked_on_record);
  const Flags well{Is::no, Is::no, Is::no, Is::not_measured, Flags::Last::unasked,
                   0,      Is::no, Is::no};
  told.flags = well;
  EXPECT_EQ(code(), "");
  for (auto Flags::* flag : {&Flags::low, &Flags::not_eating, &Flags::drowsy, &Flags::travelling,
                             &Flags::missed, &Flags::ketones}) {
    for (const auto is : {Is::unasked, Is::not_measured}) {
      told.flags = well;
      told.flags.*flag = is;
      const bool answered = flag == &Flags::ketones && is == Is::not_measured;
      EXPECT_EQ(code(), answered ? "" : codes::flags_unasked_on_record);
    }
  }
}

// With the dose before on record "a dose missed: yes" did nothing.
TEST(Interlock, AMissedDoseThatTheRecordDoesNotLackIsAskedAbout_H57) {
  auto story = whole();
  SaidOfDose told;
  const auto look = [&] {
    const auto chart = story.chart();
    const auto due = order::due_on(chart->order, When{tonight, 0}.day(), chart->zone).back();
    return decide(*chart, {story.shelf, story.stock}, due, {tonight, 0}, told);
  };
  EXPECT_NE(cleared(look().verdict), nullptr);
  told.flags.missed = Flags::Is::yes;
  ASSERT_EQ(cleared(look().verdict), nullptr);
  EXPECT_EQ(held(look().verdict)->error.code, codes::missed_which);
}

// nurse A19: a window check in the evening, and the needle came off; what was pressed out stays in
// a window that counts on, and the plan takes a new needle and primes it whole.
TEST(Interlock, TheNeedleThatIsOnIsPartOfThePlan_H15_H64) {
  const auto request_of = [](const Story& story) {
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {tonight, 0});
    return *cleared(agenda.next->verdict);
  };
  const auto fits_a_needle = [](const Cleared<Plan>& plan) {
    return std::ranges::find(plan->plan.actions, dial::Do::fit_needle, &dial::Action::what) !=
           plan->plan.actions.end();
  };
  Story story;
  story.shelf.pens.front().thing.window = shelf::Window::counts_on;
  story.order();
  story.pen();
  story.load();
  story.inject(at(1, 22), 20_units, story.facts.front().id);
  story.needle_on(at(2, 21, 30));
  EXPECT_EQ(request_of(story)->request.prime.needle_on, true);
  EXPECT_FALSE(fits_a_needle(request_of(story)));
  story.prime(at(2, 21, 31), 2_units, Flow::seen);
  EXPECT_EQ(request_of(story)->request.prime.needle_on, true);
  EXPECT_FALSE(fits_a_needle(request_of(story)));
  story.needle_off(at(2, 21, 40));
  const auto plan = request_of(story);
  EXPECT_EQ(plan->request.prime.needle_on, false);
  EXPECT_TRUE(fits_a_needle(plan));
  EXPECT_EQ(plan->request.prime.spent, 2_units);
  EXPECT_EQ(plan->plan.primed, 2_units);
  // Primed, and nobody recorded a needle: it is there all the same.
  story.prime(at(2, 21, 50), 2_units, Flow::seen);
  EXPECT_EQ(request_of(story)->request.prime.needle_on, std::nullopt);
  EXPECT_FALSE(fits_a_needle(request_of(story)));
}

// One place decides, core/dial: at the telephone as in the calculation.
TEST(Interlock, ACallersDryPrimesStandInTheWindow_H64_H01) {
  const auto shelf = tests::small_shelf();
  const stock::Stock stock;
  auto call = a_call(shelf);
  call.pen.window = shelf::Window::counts_on;
  call.primed = Call::Primed::seen;
  call.dry_primes = 2;
  call.spent = 2_units;
  EXPECT_EQ(verdict_in(decide(call, {shelf, stock})).code, dial::dial_codes::dry_spent);
  call.spent = 6_units;
  EXPECT_EQ(verdict_in(decide(call, {shelf, stock})).code, "");
}

// ---- the table

TEST(Interlock, RulesStandOnceEachAndTheOrdersOwnInTheirOrder) {
  std::vector<std::string_view> seen;
  for (const auto& rule : rules()) {
    EXPECT_EQ(std::ranges::count(seen, rule.code), 0) << rule.code;
    seen.push_back(rule.code);
  }
}

/// One story that breaks every rule about pen, record and house at once; each step mends the first.
TEST(Interlock, APersonsRulesComeInTheTablesOrder) {
  Story story;
  const auto line = story.order();
  std::vector<std::string> seen;
  SaidOfDose beside;
  beside.dose = 21_units;
  beside.left = 299_units;
  Instant now = tonight;
  const auto look = [&](const Story& one) {
    const auto chart = one.chart();
    const auto dues = order::due_on(chart->order, When{now, 0}.day(), chart->zone);
    const auto dose = decide(*chart, {one.shelf, one.stock}, dues.back(), {now, 0}, beside);
    seen.push_back(verdict_in(dose.verdict).code);
  };
  Story asked = story;
  asked.pen();
  asked.load();
  asked.tell(tonight - minutes{5}, journal::ScaleCounted{cartridge_id, 280_units});
  look(asked);  // last night's is not on record
  asked.inject(at(1, 22), 20_units, line);
  asked.tell(tonight - minutes{4}, journal::ScaleCounted{cartridge_id, 260_units});
  look(asked);  // nor, by the scale, tonight's
  asked.tell(tonight - minutes{4}, journal::ScaleCounted{cartridge_id, 220_units});
  look(asked);  // and what else is missing from it
  asked.tell(tonight - minutes{3}, journal::ScaleCounted{cartridge_id, 280_units});
  beside.strength = Strength{300};
  Story few = story;
  few.pen();
  few.load(30_units);
  few.partly(at(1, 22), 0_units, line, Outcome::unknown);
  look(few);  // what is left of them nobody knows
  look(asked);
  beside.strength.reset();
  look(asked);
  beside.dose = 20_units;
  look(asked);
  beside.left.reset();
  Story strength = story;
  strength.pen({300});
  look(strength);
  look(story);
  story.pen();
  now = at(1, 22);
  const auto with = [&](auto&& change) {
    Story one = story;
    change(one);
    look(one);
  };
  with([](Story& one) {
    one.load(300_units, "L1");
    one.recall("L1");
  });
  with([](Story& one) {
    one.load();
    one.tell(at(1, 12), journal::TemperatureSpell{cartridge_id, {-30}, 60, true, ""});
  });
  with([](Story& one) { one.supplies(1, "old", first_day - days{1}); });
  with([](Story& one) {
    one.shelf.cartridges.front().thing.fits = "B";
    one.supplies(1, "L2");
  });
  look(story);
  EXPECT_THAT(seen, testing::ElementsAre(
                        codes::unrecorded, codes::scale_says_taken, codes::scale_differs,
                        codes::left_uncertain, codes::strength_differs, codes::dose_differs,
                        codes::left_differs, codes::other_strength, codes::no_pen, codes::recalled,
                        codes::unfit, codes::expired, codes::no_fit, "dial.no_cartridge"));
}

}  // namespace
}  // namespace penstock::interlock
