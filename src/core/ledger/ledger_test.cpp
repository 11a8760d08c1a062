#include "core/ledger/ledger.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "core/ledger/internal/for_tests.hpp"

namespace penstock::ledger {
namespace {

using namespace for_tests;

// What must not compile: an account in anything but units, a balance from a bare number.
static_assert(!std::is_constructible_v<Units, double>);
static_assert(!std::is_convertible_v<std::int64_t, Units>);

using testing::Contains;
using testing::ElementsAre;
using testing::IsEmpty;
using testing::Not;

// ---- the account

TEST(Ledger, EmptyJournalHasAnEmptyLedger) {
  const Ledger ledger = fold(journal::History{});
  EXPECT_EQ(ledger, Ledger{});
}

TEST(Ledger, TakesPrimesAndDosesFromTheCartridgeAndKeepsThemApart) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 4_units);
  s.inject(10, 20.5_units);
  const Ledger ledger = s.ledger();
  const Cartridge& c = only(ledger, 10);
  EXPECT_EQ(c.left, 275.5_units);
  EXPECT_EQ(c.primed, 4_units);
  EXPECT_EQ(c.injected, 20.5_units);
  EXPECT_EQ(c.unexplained, 0_units);
  ASSERT_EQ(c.uses.size(), 1u);
  EXPECT_EQ(c.uses[0].primed, 4_units);
  EXPECT_EQ(c.uses[0].dose, 20.5_units);
  EXPECT_EQ(c.uses[0].flow, Flow::seen);
  EXPECT_THAT(kinds(ledger), IsEmpty());
}

// Common practice, no source: a 1.5 mL cartridge at 100 units/mL holds 150 units, and what is left
// is 150 less all that was used.
TEST(Ledger, SmallCartridgeHolds150UnitsLessAllThatWasUsed_CommonPractice) {
  Story s;
  s.give_pen(1);
  s.load(10, 1, 150_units);
  s.prime(10, 4_units);
  s.inject(10, 20_units);
  EXPECT_EQ(only(s.ledger(), 10).left, 126_units);
}

TEST(Ledger, WhatIsTakenBeyondWhatIsLeftIsUnexplainedAndMarked_H02) {
  Story s;
  s.give_pen(1);
  s.load(10, 1, 30_units);
  s.inject(10, 36.25_units);
  const Ledger ledger = s.ledger();
  EXPECT_EQ(only(ledger, 10).unexplained, 6.25_units);
  EXPECT_EQ(only(ledger, 10).left, 0_units);
  ASSERT_THAT(kinds(ledger), ElementsAre(MarkKind::taken_more_than_left));
  EXPECT_EQ(ledger.marks.back().units, 6.25_units);
}

TEST(Ledger, ACartridgeThatNobodyLoadedIsRecordedWithNothingInIt) {
  Story s;
  s.inject(10, 12_units);
  s.give_pen(1);
  s.load(10, 1, 288_units);
  const Ledger ledger = s.ledger();
  const Cartridge& c = only(ledger, 10);
  EXPECT_EQ(c.loaded, 288_units);
  EXPECT_EQ(c.unexplained, 12_units);
  EXPECT_EQ(c.left, 288_units);
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::not_loaded));
}

TEST(Ledger, ThrowingAwayTakesTheRestAndLaterFactsAreUnexplained) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.inject(10, 20_units);
  s.throw_away(10);
  s.prime(10, 2_units);
  s.throw_away(10);
  const Ledger ledger = s.ledger();
  const Cartridge& c = only(ledger, 10);
  EXPECT_EQ(c.thrown_away, 280_units);
  EXPECT_EQ(c.unexplained, 2_units);
  EXPECT_EQ(c.left, 0_units);
  EXPECT_FALSE(pen_in(ledger, 1).cartridge.has_value());
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::used_after_thrown_away));
  EXPECT_EQ(c.fitness(s.now.day()), Fitness::thrown_away);
}

TEST(Ledger, ASecondLoadingAddsNothingAndIsMarked) {
  Story s;
  s.give_pen(1);
  s.give_pen(2);
  s.load(10, 1);
  s.inject(10, 20_units);
  s.load(10, 1, 280_units);
  s.load(10, 2, 280_units);
  auto other = glargine();
  other.strength = {300};
  s.load(10, 2, 300_units, other);
  const Ledger ledger = s.ledger();
  EXPECT_EQ(only(ledger, 10).loaded, 300_units);
  EXPECT_EQ(only(ledger, 10).left, 280_units);
  EXPECT_THAT(kinds(ledger),
              ElementsAre(MarkKind::second_load, MarkKind::in_two_pens, MarkKind::second_load,
                          MarkKind::other_insulin, MarkKind::wrong_insulin_for_pen));
  EXPECT_FALSE(pen_in(ledger, 1).cartridge.has_value());
  EXPECT_EQ(pen_in(ledger, 2).cartridge, id(10));
}

TEST(Ledger, WhatWasTakenOutForAnotherIsAtHomeAndMayGoBack_H38_H12) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.inject(10, 20_units);
  s.load(11, 1);
  EXPECT_TRUE(only(s.ledger(), 10).is_taken_out());
  EXPECT_EQ(only(s.ledger(), 10).days_in_use(s.now.day() + std::chrono::days{9}), 9);
  s.load(10, 1, 280_units);
  const Ledger ledger = s.ledger();
  EXPECT_FALSE(only(ledger, 10).is_taken_out());
  EXPECT_TRUE(only(ledger, 11).is_taken_out());
  EXPECT_EQ(pen_in(ledger, 1).cartridge, id(10));
  EXPECT_THAT(kinds(ledger), testing::IsEmpty());
  s.throw_away(11);
  EXPECT_FALSE(only(s.ledger(), 11).is_taken_out());
}

// A window that stands at zero says nothing of what came out.
TEST(Ledger, AWindowCheckMakesNoDryPenFlow_H64_H44) {
  Story s;
  s.give_pen(9);
  s.load(1, 9);
  for (int i = 0; i < 3; ++i) s.prime(1, 2_units, Flow::not_seen);
  ASSERT_EQ(s.ledger().pen(id(9))->flow(), FlowState::new_needle);
  s.tell(journal::WindowTested{id(9), 2_units, 0_units, id(1)});
  EXPECT_EQ(s.ledger().pen(id(9))->flow(), FlowState::new_needle);
  Story again = s;
  for (int i = 0; i < 3; ++i) again.prime(1, 2_units, Flow::not_seen);
  EXPECT_EQ(again.ledger().pen(id(9))->flow(), FlowState::not_this_pen) << "no needle was told";
  s.prime(1, 2_units, Flow::seen);
  EXPECT_EQ(s.ledger().pen(id(9))->flow(), FlowState::seen);
}

TEST(Ledger, LoadingAgainMakesNoDryPenFlow_H64) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.tell(journal::NeedleOn{id(1), "4 mm", {40}, true});
  for (int i = 0; i < 3; ++i) s.prime(10, 4_units, Flow::not_seen);
  s.tell(journal::NeedleOff{id(1), {}});
  s.tell(journal::NeedleOn{id(1), "4 mm", {40}, true});
  s.prime(10, 4_units, Flow::not_seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_this_pen);
  auto again = s;
  again.load(10, 1, 284_units);
  EXPECT_EQ(pen_in(again.ledger(), 1).flow(), FlowState::not_this_pen);
  // Another cartridge may flow; the needle that stayed dry is not its.
  s.load(11, 1);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_primed);
  EXPECT_FALSE(pen_in(s.ledger(), 1).needle.on);
}

TEST(Ledger, ThrownAwayBeforeItWasLoadedHasNothingLeft) {
  Story s;
  s.give_pen(1);
  s.throw_away(10);
  s.load(10, 1);
  const Ledger ledger = s.ledger();
  EXPECT_EQ(only(ledger, 10).thrown_away, 300_units);
  EXPECT_EQ(only(ledger, 10).left, 0_units);
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::used_after_thrown_away));
}

TEST(Ledger, SecondDoorSeesATamperedBalance) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 4_units);
  s.inject(10, 20_units);
  const auto history = journal::read(s.facts);
  Ledger ledger = fold(history);
  EXPECT_TRUE(agrees(ledger, history));
  Ledger unbalanced = ledger;
  unbalanced.cartridges[0].left = 277_units;
  EXPECT_FALSE(agrees(unbalanced, history));
  Ledger moved = ledger;  // the law still holds, the facts say otherwise
  moved.cartridges[0].primed = 3_units;
  moved.cartridges[0].injected = 21_units;
  EXPECT_TRUE(balanced(moved.cartridges[0]));
  EXPECT_FALSE(agrees(moved, history));
  Ledger lost = ledger;
  lost.cartridges.clear();
  EXPECT_FALSE(agrees(lost, history));
}

// ---- days in use

TEST(Ledger, DayOfFirstUseIsDay0AndItServesWhileDaysInUseAreFewer_H12) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  const LocalDay loaded = s.now.day();
  EXPECT_EQ(only(s.ledger(), 10).days_in_use(loaded), 0);
  s.later(days{1});
  EXPECT_EQ(only(s.ledger(), 10).days_in_use(s.now.day()), 1);
  s.needle_on(1);  // pierces
  const LocalDay first = s.now.day();
  s.prime(10, 4_units);
  const Ledger ledger = s.ledger();
  const Cartridge& c = only(ledger, 10);
  EXPECT_EQ(c.days_in_use(first), 0);
  EXPECT_EQ(c.days_in_use(first + days{27}), 27);
  EXPECT_EQ(c.last_day(), first + days{27});
  EXPECT_EQ(c.fitness(first + days{27}), Fitness::serves);
  EXPECT_EQ(c.fitness(first + days{28}), Fitness::past_in_use);
  EXPECT_FALSE(c.days_in_use(first - days{1}).has_value());
}

TEST(Ledger, LocalDateNotTheInstantCounts_H12) {
  Story s;
  s.now = {Instant{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1} + hours{22}}, 120};
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 4_units);  // 00:03 on 2 March where the person is
  EXPECT_EQ(only(s.ledger(), 10).in_use_from(),
            LocalDay{std::chrono::year{2027} / std::chrono::March / 2});
}

TEST(Ledger, LeavingTheFridgeCountsOnlyIfEarlierAndTheLabelCountsIt_H12) {
  for (const bool counts : {false, true}) {
    Story s;
    auto copy = glargine();
    copy.counts_from_fridge = counts;
    s.give_pen(1);
    s.tell(journal::LeftFridge{id(10)});
    const LocalDay out = s.now.day();
    s.later(days{3});
    s.load(10, 1, 300_units, copy);
    s.prime(10, 4_units);
    s.later(days{2});
    s.tell(journal::LeftFridge{id(10)});
    const auto from = only(s.ledger(), 10).in_use_from();
    EXPECT_EQ(from, counts ? out : out + days{3});
  }
}

// The sender's own flag left a cartridge at day 0 after three months in the pen.
TEST(Ledger, InAPenItsDaysRunWhateverTheLabelSaysOfASpare_H12) {
  for (const bool counts : {false, true}) {
    Story s;
    auto copy = glargine();
    copy.counts_from_fridge = counts;
    s.give_pen(1);
    s.load(10, 1, 300_units, copy);
    const LocalDay in = s.now.day();
    s.later(days{5});
    EXPECT_EQ(only(s.ledger(), 10).days_in_use(s.now.day()), 5);
    s.later(days{30});
    EXPECT_EQ(only(s.ledger(), 10).fitness(s.now.day()), Fitness::past_in_use);
    // The first piercing is the day that counts, where the label does not count an earlier one.
    s.prime(10, 4_units);
    EXPECT_EQ(only(s.ledger(), 10).in_use_from(), counts ? in : s.now.day());
  }
}

TEST(Ledger, LeavingTheFridgeAfterFirstUseMovesNothing_H12) {
  Story s;
  auto copy = glargine();
  copy.counts_from_fridge = true;
  s.give_pen(1);
  s.load(10, 1, 300_units, copy);
  s.prime(10, 4_units);
  const LocalDay first = s.now.day();
  s.later(days{5});
  s.tell(journal::LeftFridge{id(10)});
  EXPECT_EQ(only(s.ledger(), 10).in_use_from(), first);
}

TEST(Ledger, UseAfterThePeriodIsTakenAndMarked_H12) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 4_units);
  s.later(days{27});
  s.inject(10, 10_units);
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
  s.later(days{1});
  s.inject(10, 10_units);
  const Ledger ledger = s.ledger();
  ASSERT_THAT(kinds(ledger), ElementsAre(MarkKind::used_past_in_use));
  EXPECT_EQ(ledger.marks.back().count, 28);
  EXPECT_EQ(only(ledger, 10).left, 276_units);
}

TEST(Ledger, ThePrintedExpiryEndsItToo_H12) {
  Story s;
  s.give_pen(1);
  auto p = journal::CartridgeLoaded{id(10),  id(1), glargine(), 300_units,  300_units,
                                    "round", true,  "L1",       s.now.day()};
  s.tell(p);
  s.inject(10, 10_units);
  s.later(days{1});
  s.inject(10, 10_units);
  const Ledger ledger = s.ledger();
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::used_past_expiry));
  EXPECT_EQ(only(ledger, 10).last_day(), *p.expires);
  EXPECT_EQ(only(ledger, 10).fitness(s.now.day()), Fitness::past_expiry);
}

// ---- warmth and cold

TEST(Ledger, FrozenIsFinalAndUseAfterItIsMarked_H12) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.spell(id(10), 40, true);  // somebody saw ice, whatever the thermometer said
  s.spell(id(10), 200);
  s.inject(10, 10_units);
  const Ledger ledger = s.ledger();
  EXPECT_TRUE(only(ledger, 10).is_frozen());
  EXPECT_EQ(only(ledger, 10).fitness(s.now.day()), Fitness::frozen);
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::used_after_frozen));
}

TEST(Ledger, AtFreezingPointADoubtCountsAsFrozen_H12) {
  Story s;
  s.give_pen(1);
  s.give_pen(2);
  s.load(10, 1);
  s.load(11, 2);
  s.spell(id(10), 0);
  s.spell(id(11), 1);
  EXPECT_TRUE(only(s.ledger(), 10).is_frozen());
  EXPECT_FALSE(only(s.ledger(), 11).is_frozen());
}

TEST(Ledger, AboveTheLabelsMostInUseIsTooHotAtItIsNot_H12) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.spell(id(10), 300);
  EXPECT_FALSE(only(s.ledger(), 10).is_too_hot());
  s.spell(id(10), 301);
  s.spell(id(10), 100);
  s.inject(10, 10_units);
  const Ledger ledger = s.ledger();
  EXPECT_EQ(only(ledger, 10).fitness(s.now.day()), Fitness::too_hot);
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::used_after_heat));
}

TEST(Ledger, ASpellOfEverythingMeansWhatWasInUseThen_H12) {
  Story s;
  s.give_pen(1);
  s.give_pen(2);
  s.load(9, 2);
  s.throw_away(9);
  s.load(10, 1);
  s.spell(std::nullopt, 450);
  s.load(11, 2);
  const Ledger ledger = s.ledger();
  EXPECT_FALSE(only(ledger, 9).hottest.has_value());
  EXPECT_TRUE(only(ledger, 10).is_too_hot());
  EXPECT_FALSE(only(ledger, 11).is_too_hot());
}

// ---- pens

TEST(Ledger, TwoUnitTestProvesTheWindow_H01) {
  Story s;
  s.give_pen(1, std::nullopt);
  EXPECT_FALSE(pen_in(s.ledger(), 1).window().has_value());
  s.tell(journal::WindowTested{id(1), 2_units, 0_units, std::nullopt});
  EXPECT_EQ(pen_in(s.ledger(), 1).window(), shelf::Window::returns_to_zero);
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
  // One that says the opposite leaves it open until the next agrees with it.
  const journal::WindowTested counts{id(1), 2_units, 2_units, std::nullopt};
  s.tell(counts);
  EXPECT_EQ(pen_in(s.ledger(), 1).window(), std::nullopt);
  auto twice = s;
  twice.tell(counts);
  EXPECT_EQ(pen_in(twice.ledger(), 1).window(), shelf::Window::counts_on);
  s.tell(journal::WindowTested{id(1), 2_units, 0_units, std::nullopt});
  EXPECT_EQ(pen_in(s.ledger(), 1).window(), std::nullopt);
}

// One 2 typed for a 0 turned 60 into 65 on a pen that dials in fives.
TEST(Ledger, TwoTestsThatAgreeAgainstTheShelfWinOneGivesNoWindow_H01) {
  Story s;
  s.give_pen(1, shelf::Window::returns_to_zero);
  s.tell(journal::WindowTested{id(1), 2_units, 2_units, std::nullopt});
  EXPECT_EQ(pen_in(s.ledger(), 1).window(), std::nullopt);
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::window_contradicts_shelf));
  auto twice = s;
  twice.tell(journal::WindowTested{id(1), 2_units, 2_units, std::nullopt});
  EXPECT_EQ(pen_in(twice.ledger(), 1).window(), shelf::Window::counts_on);
  s.tell(journal::WindowTested{id(1), 2_units, 0_units, std::nullopt});
  EXPECT_EQ(pen_in(s.ledger(), 1).window(), shelf::Window::returns_to_zero);
}

TEST(Ledger, ATestWithUnitsThatThePenDoesNotDialProvesNothing_H01_H26) {
  EXPECT_EQ(tested_with(1_units), 2_units);
  EXPECT_EQ(tested_with(0.5_units), 2_units);
  EXPECT_EQ(tested_with(2_units), 2_units);
  EXPECT_EQ(tested_with(5_units), 5_units);
  EXPECT_EQ(tested_with(1.5_units), 3_units);
  EXPECT_EQ(tested_with(Units::zero()), 2_units);
}

TEST(Ledger, AnUnclearTestLeavesNoWindowAtAll_H01) {
  struct Row {
    Units dialled, shown;
  };
  for (const Row row : {Row{2_units, 1_units}, Row{2_units, 4_units}, Row{3_units, 3_units},
                        Row{0_units, 0_units}, Row{1_units, 0_units}}) {
    Story s;
    s.give_pen(1);
    s.tell(journal::WindowTested{id(1), row.dialled, row.shown, std::nullopt});
    EXPECT_FALSE(pen_in(s.ledger(), 1).window().has_value());
    EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::window_unclear));
  }
}

TEST(Ledger, TheTestsUnitsCameOutOfTheCartridgeAndTheWindowIsSetBack_H01) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.tell(journal::WindowTested{id(1), 2_units, 2_units, id(10)});
  const Ledger ledger = s.ledger();
  EXPECT_EQ(only(ledger, 10).primed, 2_units);
  EXPECT_EQ(pen_in(ledger, 1).spent_in_window, 0_units);
  EXPECT_EQ(pen_in(ledger, 1).flow(), FlowState::not_primed);
}

TEST(Ledger, OnePenOneInsulinForEver_H04) {
  Story s;
  s.give_pen(1);
  auto aspart = glargine();
  aspart.name = "insulin aspart";
  s.load(10, 1, 300_units, aspart);
  s.tell(journal::PenGiven{id(1), pen_copy({}), "insulin aspart", {100}, "78"});
  const Ledger ledger = s.ledger();
  EXPECT_THAT(kinds(ledger),
              ElementsAre(MarkKind::wrong_insulin_for_pen, MarkKind::pen_given_again));
  EXPECT_EQ(pen_in(ledger, 1).insulin, "insulin glargine");
}

TEST(Ledger, ACartridgeThatWasNotMadeForThePenIsMarked_H42) {
  Story s;
  s.give_pen(1);
  s.tell(journal::CartridgeLoaded{id(10), id(1), glargine(), 300_units, 300_units, "square", true,
                                  "", std::nullopt});
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::no_fit));
}

TEST(Ledger, SharingOpensTheExposureAndMarksLaterUse_H13) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.tell(journal::PenShared{id(1), "a brother", ""});
  s.inject(10, 10_units);
  s.load(11, 1);
  const Ledger ledger = s.ledger();
  EXPECT_THAT(kinds(ledger), ElementsAre(MarkKind::shared, MarkKind::used_after_shared,
                                         MarkKind::used_after_shared));
  ASSERT_EQ(pen_in(ledger, 1).shared.size(), 1u);
  EXPECT_EQ(pen_in(ledger, 1).shared[0].with, "a brother");
  EXPECT_EQ(only(ledger, 10).fitness(s.now.day()), Fitness::shared);
}

TEST(Ledger, ThingsInSomebodyElsesJournalAreMarked_H13) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  const std::vector<Claim> others{{id(2), id(10), id(50), s.now},
                                  {id(2), id(1), id(51), s.now},
                                  {id(2), id(99), id(52), s.now}};
  const auto marks = clashes(s.ledger(), others);
  ASSERT_EQ(marks.size(), 2u);
  EXPECT_EQ(marks[0].kind, MarkKind::in_other_journal);
  EXPECT_EQ(marks[0].cartridge, id(10));
  EXPECT_EQ(marks[1].pen, id(1));
}

// ---- needles and flow

TEST(Ledger, ANeedleUsedTwiceIsMarkedANewOneIsNot_H15) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  for (int i = 0; i < 2; ++i) {
    s.needle_on(1);
    s.prime(10, 2_units);
    s.inject(10, 10_units);
    s.needle_off(1);
  }
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
  s.needle_on(1);
  s.prime(10, 2_units);
  s.inject(10, 10_units);
  s.later(minutes{50});
  s.prime(10, 2_units);
  s.inject(10, 10_units);
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::needle_reused));
  EXPECT_EQ(s.ledger().marks.back().count, 2);
  s.later(hours{10});
  s.needle_off(1);
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::needle_reused, MarkKind::needle_left_on));
}

TEST(Ledger, ADiaryOfDosesSaysNothingAboutNeedles_H15) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.needle_on(1);
  s.prime(10, 2_units);
  s.inject(10, 10_units);
  s.source = "diary";
  for (int i = 0; i < 5; ++i) {
    s.later(days{1});
    s.inject(10, 10_units);
  }
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
}

TEST(Ledger, PrimeLeftOutIsMarkedWhereStepsAreRecorded) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.needle_on(1);
  s.inject(10, 10_units);
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::prime_left_out));
}

TEST(Ledger, InnerShieldLeftOnIsMarked_H45) {
  Story s;
  s.give_pen(1);
  s.tell(journal::NeedleOn{id(1), "4 mm", {40}, false});
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::shield_left_on));
}

TEST(Ledger, ThreeDryPrimesAndADryNewNeedleStopThisPen_H44) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.needle_on(1);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_primed);
  for (int i = 0; i < 3; ++i) {
    s.prime(10, 2_units, Flow::not_seen);
    EXPECT_EQ(pen_in(s.ledger(), 1).flow(), i < 2 ? FlowState::prime_again : FlowState::new_needle);
  }
  s.needle_off(1);
  s.needle_on(1);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_primed);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_on_needle, 0_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 6_units);  // the window still counts them
  s.prime(10, 2_units, Flow::not_seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_this_pen);
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
  s.prime(10, 2_units, Flow::seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::seen);
}

TEST(Ledger, AnInjectionWithoutFlowIsTakenAndMarked_H44) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 2_units, Flow::not_seen);
  s.inject(10, 10_units);
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::flow_not_seen));
}

// Pharmacist D14: loaded with 200 of 300 units, and nothing said about whether it is new.
TEST(Ledger, H12_ACartridgeThatHoldsLessThanItsContentWasInUse) {
  Story s;
  s.give_pen(1);
  s.load(10, 1, 200_units);
  EXPECT_FALSE(only(s.ledger(), 10).is_new());
  EXPECT_TRUE(only(s.ledger(), 10).first_use.has_value());
  s.load(11, 1, 300_units);
  EXPECT_TRUE(only(s.ledger(), 11).is_new());
  EXPECT_FALSE(only(s.ledger(), 11).first_use.has_value());
}

TEST(Ledger, PrimingBeginsAgainAfterAnInjectionANeedleAndACartridge) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  EXPECT_TRUE(only(s.ledger(), 10).is_new());
  s.prime(10, 3_units);
  EXPECT_TRUE(pen_in(s.ledger(), 1).flow_seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 3_units);
  EXPECT_FALSE(only(s.ledger(), 10).is_new());
  s.inject(10, 10_units);
  EXPECT_FALSE(pen_in(s.ledger(), 1).flow_seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 0_units);
  s.prime(10, 2_units);
  s.load(11, 1);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 0_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_primed);
  EXPECT_TRUE(only(s.ledger(), 11).is_new());
}

TEST(Ledger, TooLittleSuspensionToMixIsMarked_H43) {
  Story s;
  auto cloudy = glargine();
  cloudy.name = "insulin glargine";
  cloudy.suspension = true;
  cloudy.least_left_to_mix = 12_units;
  s.give_pen(1);
  s.load(10, 1, 20_units, cloudy);
  s.inject(10, 8_units);  // 20 were in it: enough to mix
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
  s.inject(10, 4_units);  // 12: just enough
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
  s.inject(10, 4_units);
  EXPECT_THAT(kinds(s.ledger()), ElementsAre(MarkKind::too_little_to_mix));
}

// ---- scale

TEST(Ledger, ScaleAndLedgerStandSideBySide_H41) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.inject(10, 20_units);
  s.tell(journal::ScaleCounted{id(10), 270_units});
  s.inject(10, 20_units);
  const Ledger ledger = s.ledger();
  const Cartridge& c = only(ledger, 10);
  ASSERT_TRUE(c.scale.has_value());
  EXPECT_EQ(c.scale->counted, 270_units);
  EXPECT_EQ(c.scale->ledger_left, 280_units);
  EXPECT_EQ(c.scale->taken_since, 20_units);
  EXPECT_FALSE(c.scale->agrees());
  EXPECT_EQ(c.left, 260_units);
  ASSERT_THAT(kinds(ledger), ElementsAre(MarkKind::scale_disagrees));
  EXPECT_EQ(ledger.marks.back().units, 10_units);
}

// ---- unfinished doses

TEST(Ledger, TenOfTwentyTwoLeavesTwelveNeverTwentyTwo_H39) {
  Story s;
  s.give_pen(1);
  s.load(10, 1, 12_units);
  s.prime(10, 2_units);
  const Id part = s.part(10, 10_units, 22_units, id(7));
  const When since = s.now;
  const Ledger ledger = s.ledger();
  const Pending* pending = ledger.pending_for(id(7));
  ASSERT_NE(pending, nullptr);
  EXPECT_EQ(pending->rest, 12_units);
  EXPECT_EQ(pending->fact, part);
  EXPECT_EQ(pending->since, since);
  s.load(11, 1);
  s.part(11, 5_units, 12_units, id(7), Outcome::part, part);
  EXPECT_EQ(s.ledger().pending_for(id(7))->rest, 7_units);
  s.part(11, 7_units, 7_units, id(7), Outcome::whole, part);
  EXPECT_THAT(s.ledger().pending, IsEmpty());
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
}

TEST(Ledger, ARestThatWasForgottenIsMarkedAtTheNextDose_H39) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.part(10, 10_units, 22_units, id(7));
  s.later(days{1});
  s.part(10, 22_units, 22_units, id(7), Outcome::whole);
  const Ledger ledger = s.ledger();
  EXPECT_THAT(ledger.pending, IsEmpty());
  ASSERT_THAT(kinds(ledger), ElementsAre(MarkKind::rest_forgotten));
  EXPECT_EQ(ledger.marks.back().units, 12_units);
}

TEST(Ledger, ARestToldWithoutItsNameIsTheRest_H39) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.part(10, 10_units, 22_units, std::nullopt);
  s.inject(10, 12_units);
  EXPECT_THAT(s.ledger().pending, IsEmpty());
  EXPECT_THAT(kinds(s.ledger()), IsEmpty());
}

TEST(Ledger, AnotherLinesDoseDoesNotEndThePart_H39) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.part(10, 10_units, 22_units, id(7));
  s.part(10, 6_units, 6_units, id(8), Outcome::whole);
  ASSERT_NE(s.ledger().pending_for(id(7)), nullptr);
  EXPECT_EQ(s.ledger().pending_for(id(7))->rest, 12_units);
}

TEST(Ledger, UnknownOutcomeStaysUnknown_H44) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  const Id first = s.part(10, 22_units, 22_units, id(7), Outcome::unknown);
  const Ledger ledger = s.ledger();
  const Pending* pending = ledger.pending_for(id(7));
  ASSERT_NE(pending, nullptr);
  EXPECT_EQ(pending->outcome, Outcome::unknown);
  EXPECT_EQ(pending->rest, 0_units);
  EXPECT_EQ(pending->fact, first);
  EXPECT_EQ(only(ledger, 10).left, 278_units);
}

TEST(Ledger, ARestRecordedBeforeItsPartStillCompletesIt_H31) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  const Id part = id(5000);
  s.part(10, 12_units, 12_units, id(7), Outcome::whole, part);
  s.next = 5000;
  s.part(10, 10_units, 22_units, id(7));
  EXPECT_THAT(s.ledger().pending, IsEmpty());
}

// ---- sealed stock

TEST(Ledger, SealedStockIsWhatWasGivenLessWhatWasLoadedNew) {
  Story s;
  s.give_pen(1);
  s.tell(journal::SuppliesGiven{"insulin glargine", {100}, 300_units, 2, 3, "L1", std::nullopt});
  s.tell(journal::SuppliesGiven{"insulin glargine", {300}, 450_units, 5, 0, "L2", std::nullopt});
  s.load(10, 1);
  s.load(10, 1);  // the same one again takes nothing from the stock
  s.load(11, 1);
  EXPECT_THAT(s.ledger().marks,
              Not(Contains(testing::Field(&Mark::kind, MarkKind::not_from_stock))));
  s.load(12, 1);
  for (int i = 0; i < 5; ++i) s.needle_on(1);
  const Ledger ledger = s.ledger();
  const Stock* stock = ledger.stock_of("insulin glargine", {100}, 300_units);
  ASSERT_NE(stock, nullptr);
  EXPECT_EQ(stock->left, 0);
  EXPECT_EQ(stock->loaded_new, 3);
  EXPECT_EQ(stock->unexplained, 1);
  EXPECT_EQ(stock->given + stock->unexplained, stock->loaded_new + stock->left);
  ASSERT_EQ(stock->lots.size(), 1u);
  EXPECT_EQ(stock->lots[0].loaded, 2);
  EXPECT_EQ(ledger.stock_of("insulin glargine", {300}, 450_units)->left, 5);
  EXPECT_EQ(ledger.needles.left, 0);
  EXPECT_EQ(ledger.needles.unexplained, 2);
  EXPECT_THAT(ledger.marks, Contains(testing::Field(&Mark::kind, MarkKind::not_from_stock)));
}

TEST(LedgerNeedles, AreCountedByLength) {
  Story s;
  s.tell(journal::NeedlesGiven{"needle-6", {60}, 2, "N1", std::nullopt});
  s.tell(journal::SuppliesGiven{"", {}, 0_units, 0, 1, "", std::nullopt});
  s.give_pen(1);
  s.tell(journal::NeedleOn{id(1), "needle-6", {60}, true});
  s.tell(journal::NeedleOn{id(1), "needle-4", {40}, true});  // none of its length: an unknown one
  s.tell(journal::NeedleOn{id(1), "needle-4", {40}, true});  // and then one that nobody gave
  s.tell(journal::NeedleOn{id(1), "", {}, true});            // no length said: from what there is
  const auto ledger = s.ledger();
  EXPECT_EQ(ledger.needles.given, 3);
  EXPECT_EQ(ledger.needles.unexplained, 1);
  EXPECT_EQ(ledger.needles.put_on, 4);
  EXPECT_EQ(ledger.needles.left, 0);
  for (const auto& kind : ledger.needles.kinds) {
    EXPECT_EQ(kind.given + kind.unexplained, kind.put_on + kind.left) << kind.length.tenths;
  }
}

TEST(LedgerNeedles, AnInjectionWithoutARecordedNeedleUsesOneUp) {
  Story s;
  s.tell(journal::NeedlesGiven{"needle-4", {40}, 10, "", std::nullopt});
  s.give_pen(1);
  s.load(11, 1);
  s.inject(11, 10_units);
  s.inject(11, 10_units);
  const auto ledger = s.ledger();
  EXPECT_EQ(ledger.needles.left, 10);
  EXPECT_EQ(ledger.needles.not_recorded, 2);
  EXPECT_EQ(ledger.needles.at_least(), 8);
}

TEST(LedgerStock, H41_ACountStandsBesideTheAccount) {
  Story s;
  s.tell(journal::SuppliesGiven{"insulin glargine", {100}, 300_units, 5, 0, "L1", std::nullopt});
  s.tell(journal::SuppliesCounted{"insulin glargine", {100}, 300_units, 3, std::nullopt});
  s.give_pen(1);
  s.load(11, 1);
  s.tell(journal::SuppliesGiven{"insulin glargine", {100}, 300_units, 2, 0, "L2", std::nullopt});
  const auto ledger = s.ledger();
  const auto* stock = ledger.stock_of("insulin glargine", {100}, 300_units);
  ASSERT_NE(stock, nullptr);
  EXPECT_EQ(stock->left, 6);  // the account goes on as it was
  ASSERT_TRUE(stock->count.has_value());
  EXPECT_FALSE(stock->count->agrees());
  EXPECT_EQ(stock->count->counted, 3);
  EXPECT_EQ(stock->count->left(), 4);
  EXPECT_EQ(stock->at_least(), 4);  // a plan counts on the smaller
}

// ---- corrections

TEST(Ledger, ACorrectionLateLeavesTheCartridgeAsItWouldHaveBeen_H31) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 4_units);
  const Id wrong = s.inject(10, 36_units);
  const When when = s.now;
  s.later(days{3});
  auto instead = std::make_shared<journal::Replacement>();
  instead->happened = when;
  journal::Injected right;
  right.cartridge = id(10);
  right.units = 26_units;
  instead->payload = right;
  s.tell(journal::Correction{wrong, "mistyped", false, instead});
  EXPECT_EQ(only(s.ledger(), 10).left, 270_units);
  EXPECT_EQ(only(s.ledger(), 10).injected, 26_units);
  std::ranges::reverse(s.facts);
  EXPECT_EQ(only(s.ledger(), 10).left, 270_units);
}

TEST(Ledger, EveryMarkHasItsOwnCode) {
  std::vector<std::string_view> codes(mark_codes.begin(), mark_codes.end());
  std::ranges::sort(codes);
  EXPECT_EQ(std::ranges::adjacent_find(codes), codes.end());
  EXPECT_EQ(code_of(MarkKind::taken_more_than_left), "mark.taken_more_than_left");
  EXPECT_EQ(code_of(MarkKind::not_from_stock), "mark.not_from_stock");
  EXPECT_EQ(code_of(Fitness::past_in_use), "fitness.past_in_use");
}

}  // namespace
}  // namespace penstock::ledger
