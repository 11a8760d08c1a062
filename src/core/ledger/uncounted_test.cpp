// What the account does not have, days that count all the same, and what heat and frost did.
#include <gtest/gtest.h>

#include <string>

#include "core/ledger/internal/for_tests.hpp"

namespace penstock::ledger {
namespace {

using namespace for_tests;

shelf::Insulin counted_from_fridge() {
  auto insulin = glargine();
  insulin.counts_from_fridge = true;
  return insulin;
}

TEST(LedgerDays, H12_WhatIsInAPenHasLeftTheFridge) {
  Story s;
  s.load(1, 9, 300_units, counted_from_fridge());
  s.later(std::chrono::days{39});
  s.inject(1, 10_units);
  const auto ledger = s.ledger();
  const auto today = s.now.day();
  EXPECT_EQ(only(ledger, 1).days_in_use(today), 39);
  EXPECT_EQ(only(ledger, 1).fitness(today), Fitness::past_in_use);
}

TEST(LedgerDays, H12_TimeOutOfTheFridgeCountsFromItsBeginning) {
  Story s;
  s.load(1, 9, 300_units, counted_from_fridge());
  journal::TemperatureSpell warm;
  warm.cartridge = id(1);
  warm.celsius = {200};
  warm.minutes = 40 * 24 * 60;
  s.tell(warm);
  const auto ledger = s.ledger();
  EXPECT_EQ(only(ledger, 1).days_in_use(s.now.day()), 40);
  EXPECT_EQ(only(ledger, 1).fitness(s.now.day()), Fitness::past_in_use);
}

TEST(LedgerDays, H12_OneThatWasInUseBeforeSaysSo) {
  Story s;
  s.tell(journal::CartridgeLoaded{id(1), id(9), counted_from_fridge(), 120_units, 300_units,
                                  "round", false, "L1", std::nullopt});
  s.load(2, 8);
  EXPECT_TRUE(only(s.ledger(), 1).is_since_unknown());
  EXPECT_FALSE(only(s.ledger(), 2).is_since_unknown());
  // Somebody read the date on it.
  auto read = s.facts.back();
  read.id = id(700);
  read.happened.at -= std::chrono::days{12};
  read.payload = journal::LeftFridge{id(1)};
  s.facts.push_back(read);
  EXPECT_FALSE(only(s.ledger(), 1).is_since_unknown());
  EXPECT_EQ(only(s.ledger(), 1).days_in_use(s.now.day()), 12);
}

TEST(LedgerWarmth, H12_NearFreezingIsKeptAndIsNoVerdict) {
  Story s;
  s.load(1, 9);
  s.spell(id(1), 10);
  const auto ledger = s.ledger();
  ASSERT_TRUE(only(ledger, 1).coldest);
  EXPECT_EQ(only(ledger, 1).coldest->celsius.tenths, 10);
  EXPECT_EQ(only(ledger, 1).fitness(s.now.day()), Fitness::serves);
  EXPECT_FALSE(only(ledger, 1).is_frozen());
}

TEST(LedgerAccount, H02_H44_WhatNobodyKnowsOfADoseMayBeGone) {
  Story s;
  s.load(1, 9, 24_units);
  s.part(1, 0_units, 10_units, std::nullopt, Outcome::unknown);
  EXPECT_EQ(only(s.ledger(), 1).left, 24_units);
  EXPECT_EQ(only(s.ledger(), 1).at_least(), 14_units);
  s.tell(journal::ScaleCounted{id(1), 18_units});
  EXPECT_EQ(only(s.ledger(), 1).at_least(), 18_units);
  s.inject(1, 4_units);
  EXPECT_EQ(only(s.ledger(), 1).at_least(), 14_units);
}

TEST(LedgerAccount, H12_H02_ADoseSaidToBeTakenCameOutOfThePen) {
  Story s;
  s.give_pen(9);
  s.load(1, 9);
  const auto loaded = s.now;
  s.later(std::chrono::days{30});
  auto ledger = s.ledger();
  note_taken(ledger, "insulin glargine", {100}, {loaded.at + std::chrono::days{2}, 0}, 10_units);
  note_taken(ledger, "insulin glargine", {300}, {loaded.at + std::chrono::days{3}, 0}, 10_units);
  note_taken(ledger, "insulin glargine", {100}, {loaded.at - std::chrono::days{3}, 0}, 10_units);
  EXPECT_EQ(only(ledger, 1).days_in_use(s.now.day()), 28);
  EXPECT_EQ(only(ledger, 1).doses_uncounted, 1);
  EXPECT_EQ(only(ledger, 1).at_least(), 286_units);  // with a new one's prime
  EXPECT_EQ(only(ledger, 1).left, 300_units);
}

// Beyond what the pen dials at once it went in twice, and was primed twice.
TEST(LedgerAccount, H02_ADividedDoseSaidToBeTakenWasPrimedForEachInjection) {
  Story s;
  s.give_pen(9);
  s.load(1, 9);
  auto ledger = s.ledger();
  note_taken(ledger, "insulin glargine", {100}, {s.now.at + std::chrono::days{2}, 0}, 80_units);
  EXPECT_EQ(only(ledger, 1).at_least(), 214_units);  // 4 of the new one, then 2
  // Of a second dose, and of one in use, it is the ordinary prime.
  note_taken(ledger, "insulin glargine", {100}, {s.now.at + std::chrono::days{3}, 0}, 10_units);
  EXPECT_EQ(only(ledger, 1).at_least(), 202_units);
  s.prime(1, 4_units);
  s.inject(1, 10_units);
  ledger = s.ledger();
  note_taken(ledger, "insulin glargine", {100}, {s.now.at + std::chrono::days{2}, 0}, 10_units);
  EXPECT_EQ(only(ledger, 1).at_least(), 274_units);
}

TEST(LedgerStock, H12_WhatFrozeSealedIsFrozenInThePen) {
  Story s;
  const auto give = [&](std::int32_t count, const char* lot) {
    s.tell(
        journal::SuppliesGiven{"insulin glargine", {100}, 300_units, count, 0, lot, std::nullopt});
  };
  give(2, "L1");
  journal::TemperatureSpell frost;
  frost.celsius = {-60};
  frost.minutes = 600;
  frost.frozen = true;
  frost.sealed = true;
  s.tell(frost);
  auto ledger = s.ledger();
  EXPECT_EQ(ledger.stock.front().left, 0);
  EXPECT_EQ(ledger.stock.front().spoilt, 2);
  s.load(1, 9);  // of lot L1, out of that fridge
  ledger = s.ledger();
  EXPECT_TRUE(only(ledger, 1).is_frozen());
  EXPECT_EQ(ledger.stock.front().spoilt, 1);
  give(1, "L1");
  s.load(2, 9);
  EXPECT_FALSE(only(s.ledger(), 2).is_frozen());
}

TEST(LedgerStock, H12_SealedOnesThatGotTooWarmAreNotLeft) {
  Story s;
  s.tell(journal::SuppliesGiven{"insulin glargine", {100}, 300_units, 2, 0, "L1", std::nullopt});
  journal::TemperatureSpell car;
  car.celsius = {200};
  car.minutes = 240;
  car.sealed = true;
  s.tell(car);
  EXPECT_EQ(s.ledger().stock.front().left, 2);
  car.celsius = {450};
  s.tell(car);
  EXPECT_EQ(s.ledger().stock.front().left, 0);
}

TEST(LedgerFlow, APrimeThatStaysDryUndoesOneThatWasSeen_H44_H64) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.needle_on(1);
  s.prime(10, 4_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::seen);
  s.prime(10, 2_units, Flow::not_seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::prime_again);
  s.prime(10, 0_units);  // nothing was pressed, and so nothing seen
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::prime_again);
  s.prime(10, 2_units, Flow::not_seen);
  s.prime(10, 2_units, Flow::not_seen);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::new_needle);
  s.prime(10, 2_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::seen);
}

// The hour of an injection that somebody watched is typed, and not to the minute.
TEST(LedgerFlow, H01_APrimeIsUsedUpByTheInjectionWhoseHourIsTypedALittleBeforeIt) {
  Story s;
  s.give_pen(9);
  s.load(1, 9);
  s.later(hours{2});
  s.needle_on(9);
  s.prime(1, 4_units);
  s.inject(1, 8_units);
  const auto recorded = s.now.at;
  s.facts.back().happened.at = recorded - minutes{4};
  const auto early = s.ledger();
  EXPECT_TRUE(early.pens.front().spent_in_window.is_zero());
  EXPECT_FALSE(early.pens.front().flow_seen);
  EXPECT_EQ(early.pens.front().needle.uses, 1);
  EXPECT_EQ(only(early, 1).uses.front().primed, 4_units);
  EXPECT_EQ(only(early, 1).left, 288_units);

  // Of another hour it is another injection's; so is one that was on record before the prime.
  s.facts.back().happened.at = recorded - minutes{64};
  EXPECT_EQ(s.ledger().pens.front().spent_in_window, 4_units);
  s.facts.back().happened.at = recorded - minutes{4};
  s.facts.back().recorded = recorded - minutes{4};
  EXPECT_EQ(s.ledger().pens.front().spent_in_window, 4_units);
}

// A diary that comes in later has an injection shortly before a prime that was another one's.
TEST(LedgerFlow, H01_APrimeThatAnInjectionUsedUpIsNoOtherOnes) {
  Story s;
  s.give_pen(9);
  s.load(1, 9);
  s.later(hours{2});
  s.prime(1, 4_units);
  s.inject(1, 8_units);
  s.later(hours{5});
  s.inject(1, 10_units);
  s.facts.back().happened.at -= hours{5} + minutes{4};
  const auto ledger = s.ledger();
  ASSERT_EQ(only(ledger, 1).uses.size(), 2);
  EXPECT_TRUE(only(ledger, 1).uses.front().primed.is_zero());
  EXPECT_EQ(only(ledger, 1).uses.back().primed, 4_units);
}

TEST(LedgerFlow, AfterATestTheWindowIsSetToZeroAndThePrimingBeginsAgain_H01) {
  Story s;
  s.give_pen(1);
  s.load(10, 1);
  s.prime(10, 4_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 4_units);
  s.tell(journal::WindowTested{id(1), 2_units, 2_units, id(10)});
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 0_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).flow(), FlowState::not_primed);
  EXPECT_EQ(only(s.ledger(), 10).primed, 6_units);
  s.prime(10, 2_units);
  EXPECT_EQ(pen_in(s.ledger(), 1).spent_in_window, 2_units);
}

TEST(LedgerRests, APartOfNobodyKnowsHowMuchIsNotTheWholeDose_H39_H44) {
  Story s;
  s.load(10, 1);
  journal::Injected part;
  part.cartridge = id(10);
  part.units = 4_units;
  part.outcome = Outcome::part;
  s.tell(part);
  const auto ledger = s.ledger();
  ASSERT_EQ(ledger.pending.size(), 1U);
  EXPECT_EQ(ledger.pending.front().outcome, Outcome::unknown);
  EXPECT_EQ(ledger.pending.front().given, 4_units);
}

}  // namespace
}  // namespace penstock::ledger
