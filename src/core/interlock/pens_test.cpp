// Two pens of one insulin in the house: which one the dose is from, and what is said of the other.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

constexpr Id second_pen{0x1A7E, 0x9E5}, second_cartridge{0x1A7E, 0xCB};

void load_second(Story& story, const std::string& lot = "L2") {
  journal::CartridgeLoaded load;
  load.cartridge = second_cartridge;
  load.pen = second_pen;
  load.copy = story.shelf.insulins.front().thing;
  load.units = 300_units;
  load.content = 300_units;
  load.fits = "A";
  load.new_cartridge = true;
  load.lot = lot;
  story.tell(at(1, 9), load);
}

Story two_pens() {
  Story story;
  story.order();
  story.pen();
  story.load();
  story.pen({100}, second_pen);
  load_second(story);
  return story;
}

/// Three dry primes, a new needle, and dry again.
void stay_dry(Story& story, Id pen, Id cartridge, Instant when) {
  story.tell(when, journal::NeedleOn{pen, "4 mm", {40}, true});
  for (int i = 0; i < 3; ++i) story.tell(when, journal::Primed{cartridge, 2_units, Flow::not_seen});
  story.tell(when, journal::NeedleOff{pen, {}});
  story.tell(when, journal::NeedleOn{pen, "4 mm", {40}, true});
  story.tell(when, journal::Primed{cartridge, 2_units, Flow::not_seen});
}

struct From {
  Id pen;
  std::string code;
  std::vector<std::pair<Id, std::string>> others;
  bool operator==(const From&) const = default;
};
From from_of(const Story& story, Instant now = at(1, 22)) {
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
  if (!agenda.next || agenda.next->pen == nullptr) return {};
  From from{agenda.next->pen->id, "", {}};
  if (const auto* why = held(agenda.next->verdict)) from.code = why->error.code;
  for (const auto& other : agenda.next->others)
    from.others.emplace_back(other.pen->id, other.why.code);
  return from;
}
using Other = std::pair<Id, std::string>;

TEST(InterlockPens, TheOtherPenOfTheInsulinIsNamedWithItsReason_H64_H61_H01_H53) {
  EXPECT_EQ(from_of(two_pens()), (From{second_pen, "", {Other{pen_id, other_pens::ready}}}));
  auto dry = two_pens();
  stay_dry(dry, second_pen, second_cartridge, at(1, 21, 30));
  EXPECT_EQ(from_of(dry), (From{pen_id, "", {Other{second_pen, other_pens::dry}}}));
  auto recalled = two_pens();
  recalled.recall("L2");
  EXPECT_EQ(from_of(recalled), (From{pen_id, "", {Other{second_pen, other_pens::recalled}}}));
  auto frozen = two_pens();
  frozen.tell(at(1, 12), journal::TemperatureSpell{second_cartridge, {-60}, 600, true, ""});
  EXPECT_EQ(from_of(frozen), (From{pen_id, "", {Other{second_pen, other_pens::unfit}}}));
  auto shared = two_pens();
  shared.tell(at(1, 12), journal::PenShared{second_pen, "a sister", ""});
  EXPECT_EQ(from_of(shared), (From{pen_id, "", {Other{second_pen, other_pens::shared}}}));
  // Alone in the house it needs no name.
  EXPECT_EQ(from_of(whole(), tonight), (From{pen_id, "", {}}));
}

// Its own test said not to use it, and the card dialled with it.
TEST(InterlockPens, APenThatDeliversOutsideItsLimitsIsNotDialledWith_H61_H38) {
  const auto tested = [](Story story, Units delivered) {
    journal::PenTested test;
    test.pen = pen_id;
    test.dialled = 10_units;
    test.delivered = {delivered, delivered, 9.9_units};
    story.tell(at(1, 10), test);
    return story;
  };
  auto alone = whole();
  EXPECT_EQ(from_of(tested(alone, 9.2_units), tonight).code, "");
  EXPECT_EQ(from_of(tested(alone, 8_units), tonight).code, codes::pen_outside);
  EXPECT_EQ(from_of(tested(alone, 12_units), tonight).code, codes::pen_outside);
  // A test that went well afterwards lifts it.
  EXPECT_EQ(from_of(tested(tested(alone, 8_units), 10_units), tonight).code, "");
  EXPECT_EQ(from_of(tested(two_pens(), 8_units)),
            (From{second_pen, "", {Other{pen_id, other_pens::outside}}}));
}

TEST(InterlockPens, AnotherWindowIsAnotherNumber_H01) {
  Story story;
  story.order();
  auto counts_on = story.shelf.pens.front();
  counts_on.code = "older";
  counts_on.thing.name = "older pen";
  counts_on.thing.window = shelf::Window::counts_on;
  story.shelf.pens.push_back(counts_on);
  story.pen();
  story.load();
  story.tell(at(1, 9),
             journal::PenGiven{second_pen, counts_on.thing, "insulin glargine", {100}, ""});
  load_second(story);
  EXPECT_EQ(from_of(story), (From{second_pen, "", {Other{pen_id, other_pens::returns_to_zero}}}));
}

TEST(InterlockPens, ARestWhosePenIsDryIsPlannedFromTheOther_H39_H38_H64) {
  auto story = two_pens();
  const auto line = story.facts.front().id;
  journal::Injected part;
  part.cartridge = second_cartridge;
  part.units = 5_units;
  part.meant = 20_units;
  part.outcome = Outcome::part;
  part.line = line;
  part.slot = SlotName::bedtime;
  story.tell(at(1, 22), part);
  EXPECT_EQ(from_of(story, at(1, 22, 2)).pen, second_pen);
  stay_dry(story, second_pen, second_cartridge, at(1, 22, 5));
  EXPECT_EQ(from_of(story, at(1, 22, 10)),
            (From{pen_id, "", {Other{second_pen, other_pens::dry}}}));
  EXPECT_THAT(next_of(story, at(1, 22, 10)).windows, testing::ElementsAre(15_units));
  // Without the other pen nothing gives it.
  Story alone;
  const auto own = alone.order();
  alone.pen();
  alone.load();
  alone.partly(at(1, 22), 5_units, own, Outcome::part);
  stay_dry(alone, pen_id, cartridge_id, at(1, 22, 5));
  EXPECT_EQ(from_of(alone, at(1, 22, 10)).code, "dial.no_flow");
}

// The other pen switched the question off.
TEST(InterlockPens, WhatOnePensScaleSaysIsSettledBeforeTheOtherGivesTheDose_H59_H07) {
  auto story = two_pens();
  story.tell(at(1, 21, 50), journal::ScaleCounted{cartridge_id, 278_units});
  EXPECT_EQ(from_of(story).code, codes::scale_says_taken);
  EXPECT_EQ(from_of(story).pen, pen_id);
  story.tell(at(1, 21, 55), journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                                  first_day, journal::DoseWas::not_taken, ""});
  EXPECT_EQ(from_of(story).code, "");
}

TEST(InterlockPens, TheOneInUseComesBeforeANewOne_H12) {
  auto story = two_pens();
  story.prime(at(1, 10), 4_units, Flow::seen);
  EXPECT_EQ(from_of(story).pen, pen_id);
}

TEST(InterlockPens, APenOfCoarserStepsHoldsNoDoseThatAFinerOneGives_H38_H26) {
  Story story;
  auto line = Story::bedtime();
  line.slots.front().units = 20.5_units;
  story.order(line);
  auto half = story.shelf.pens.front().thing;
  half.name = "half units";
  half.step = 0.5_units;
  story.shelf.pens.push_back({"half", half, {}});
  story.tell(at(1, 9), journal::PenGiven{pen_id, half, "insulin glargine", {100}, ""});
  story.load();
  story.pen({100}, second_pen);
  load_second(story);
  EXPECT_EQ(from_of(story).pen, pen_id);
  EXPECT_EQ(from_of(story).code, "");
}

TEST(InterlockPens, SealedOnesThatACountDidNotFindAreInNoPlan_H41_H02) {
  Story story;
  story.order();
  story.pen();
  story.supplies(2, "L3");
  EXPECT_EQ(from_of(story).code, "");
  story.tell(at(1, 12), journal::SuppliesCounted{"insulin glargine", {100}, 300_units, 0, {}});
  EXPECT_EQ(from_of(story).code, "dial.no_cartridge");
}

TEST(InterlockPens, AnEmptyPenIsNamedWhereASealedCartridgeGoesIn) {
  Story story;
  story.order();
  story.pen();
  story.pen({100}, second_pen);
  story.supplies(2, "L3");
  EXPECT_EQ(from_of(story), (From{second_pen, "", {Other{pen_id, other_pens::empty}}}));
  load_second(story);
  EXPECT_EQ(from_of(story), (From{second_pen, "", {}}));
}

// Another person's injection was struck out of this record, and its prime was counted on.
TEST(InterlockPens, ThePrimeBeforeAnInjectionThatWasStruckOutProvesNothing_H01_H13) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.needle_on(at(2, 21, 50));
  story.prime(at(2, 21, 52), 2_units, Flow::seen);
  EXPECT_THAT(next_of(story).primes, testing::IsEmpty());
  const auto wrong = story.inject(at(2, 21, 55), 20_units, line);
  for (const bool elsewhere : {false, true}) {
    auto struck = story;
    struck.tell(at(2, 21, 58), journal::Correction{wrong, "not hers", elsewhere, nullptr});
    EXPECT_THAT(next_of(struck).primes, testing::ElementsAre(2_units)) << elsewhere;
    struck.prime(at(2, 21, 59), 2_units, Flow::seen);
    EXPECT_THAT(next_of(struck).primes, testing::IsEmpty()) << elsewhere;
  }
}

// Pressed out once tonight's dose was in, and tomorrow's window counted on from it.
TEST(InterlockPens, APrimeAfterTonightsDoseIsNoneOfTomorrows_H01) {
  auto story = whole();
  story.needle_on(at(2, 21, 50));
  story.inject(at(2, 21, 55), 20_units, story.facts.front().id);
  story.prime(at(2, 22, 3), 5_units, Flow::seen);
  EXPECT_THAT(next_of(story, at(2, 22, 5)).primes, testing::ElementsAre(2_units));
}

// No needle was on record, and after six dry primes it said "fit a new needle" again.
TEST(InterlockPens, AsManyDryPrimesAsTwoNeedlesTakeStopWhateverNeedleIsOnRecord_H64) {
  auto story = whole();
  for (int i = 0; i < 5; ++i) story.prime(at(2, 21, 40 + i), 2_units, Flow::not_seen);
  EXPECT_NE(next_of(story).code, dial::dial_codes::no_flow);
  story.prime(at(2, 21, 46), 2_units, Flow::not_seen);
  EXPECT_EQ(next_of(story).code, dial::dial_codes::no_flow);
}

}  // namespace
}  // namespace penstock::interlock
