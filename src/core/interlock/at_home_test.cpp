// What a dose may come from, and what is said where nothing may be used.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/interlock/doubts/doubts.hpp"
#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

Held why(const Story& story, Instant now = tonight) {
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
  const auto* holds = agenda.next ? held(agenda.next->verdict) : nullptr;
  EXPECT_NE(holds, nullptr);
  return holds == nullptr ? Held{} : *holds;
}

TEST(Interlock, NobodyIsSentToASpareThatMustNotBeUsed_H38_H61_H12) {
  Story story;
  story.order();
  story.pen();
  story.load(10_units);
  story.supplies(1, "old", first_day - days{1});
  auto holds = why(story, at(1, 22));
  EXPECT_EQ(holds.error.code, "dial.cartridge_short");
  EXPECT_EQ(holds.today, Today::get_more);
  ASSERT_EQ(holds.set_aside.size(), 1U);
  EXPECT_EQ(holds.set_aside.front().code, codes::expired);
  story.facts.pop_back();
  story.supplies(1, "L9");
  story.recall("L9");
  holds = why(story, at(1, 22));
  EXPECT_EQ(holds.today, Today::get_more);
  ASSERT_EQ(holds.set_aside.size(), 1U);
  EXPECT_EQ(holds.set_aside.front().code, codes::recalled);
  // All of it is recalled: it says itself what it is about.
  auto all = whole();
  all.recall("L1");
  all.recall("L2");
  holds = why(all);
  EXPECT_EQ(holds.error.code, codes::recalled);
  EXPECT_EQ(holds.today, Today::get_more);
  EXPECT_TRUE(holds.set_aside.empty());
}

// The strength was changed today, and the spares were of the old one.
TEST(Interlock, NobodyWithoutAPenForTheLineIsSentToASpareOfAnotherStrength_H03_H38) {
  Story story;
  auto line = Story::bedtime();
  line.strength = {300};
  story.order(line);
  story.pen();
  story.supplies(5, "L9");
  EXPECT_EQ(why(story).error.code, codes::other_strength);
  EXPECT_EQ(why(story).today, Today::get_more);
  journal::SuppliesGiven right{"insulin glargine", {300}, 450_units, 1, 0, "L10", {}};
  story.tell(at(1, 9), right);
  EXPECT_EQ(why(story).today, Today::other_source);
}

TEST(Interlock, AFridgeThatFrozeLeavesNoSpare_H12) {
  auto story = whole();
  journal::TemperatureSpell frost{std::nullopt, {-60}, 600, true, "", true};
  story.tell(at(2, 7), frost);
  const auto holds = why(story);
  EXPECT_EQ(holds.error.code, codes::unfit);
  EXPECT_EQ(holds.today, Today::get_more);
}

TEST(Interlock, AtTheEndOfACartridgeTheSmallerOfScaleAndAccountIsPlannedWith_H02_H41) {
  Story story;
  const auto line = story.order();
  story.pen();
  story.load(42_units);
  story.supplies(1, "L2");
  story.inject(at(1, 22), 20_units, line);
  EXPECT_THAT(next_of(story).primes, testing::ElementsAre(2_units));
  story.tell(tonight - hours{1}, journal::ScaleCounted{cartridge_id, 21_units});
  EXPECT_THAT(next_of(story).primes, testing::ElementsAre(4_units));  // of the sealed one
}

// Changing it now would waste less of this dose, and leave 38 units that no later dose comes from.
TEST(Interlock, WhatIsInThePenStaysWhileItGivesTheDose_H02) {
  Story story;
  story.order();
  story.pen();
  story.load(38_units);
  story.supplies(1, "L2");
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {at(1, 22), 0});
  const auto* plan = agenda.next ? cleared(agenda.next->verdict) : nullptr;
  ASSERT_NE(plan, nullptr);
  std::vector<dial::Do> done;
  for (const auto& action : (*plan)->plan.actions) done.push_back(action.what);
  EXPECT_THAT(done, testing::Not(testing::Contains(dial::Do::change_cartridge)));
  EXPECT_EQ((*plan)->plan.primed, 2_units);
  EXPECT_EQ((*plan)->plan.thrown_away, 16_units);
  EXPECT_EQ((*plan)->plan.left_after.back().left, 300_units);
}

journal::CartridgeLoaded loaded(const Story& story, Id cartridge, Units units,
                                const std::string& lot) {
  journal::CartridgeLoaded load;
  load.cartridge = cartridge;
  load.pen = pen_id;
  load.copy = story.shelf.insulins.front().thing;
  load.units = units;
  load.content = 300_units;
  load.fits = "A";
  load.new_cartridge = units == 300_units;
  load.lot = lot;
  return load;
}

// 280 units lay at home, and a due dose was refused because nothing else was there.
TEST(Interlock, ACartridgeTakenOutForAnotherGoesBackWhereItGivesTheDose_H38_H02_H41) {
  auto story = whole();
  const Id second{0x1A7E, 0xCB};
  story.tell(at(2, 9), loaded(story, second, 12_units, "L2"));
  const auto plan_of = [](const Story& told, Instant now) {
    const auto chart = told.chart();
    const auto agenda = agenda_of(*chart, {told.shelf, told.stock}, {now, 0});
    const auto* plan = agenda.next ? cleared(agenda.next->verdict) : nullptr;
    EXPECT_NE(plan, nullptr);
    return plan == nullptr ? Plan{} : **plan;
  };
  const auto plan = plan_of(story, tonight);
  ASSERT_FALSE(plan.sources.empty());
  const auto dial = std::ranges::find(plan.plan.actions, dial::Do::dial, &dial::Action::what);
  ASSERT_NE(dial, plan.plan.actions.end());
  const auto& from = plan.sources[dial->cartridge];
  EXPECT_EQ(from.cartridge, cartridge_id);
  EXPECT_TRUE(from.taken_out);
  EXPECT_TRUE(from.goes_in());
  EXPECT_EQ(plan.request.cartridges[dial->cartridge].days_in_use, 1);
  // Thrown away, recalled or past its days it does not.
  auto gone = story;
  gone.tell(at(2, 10), journal::ThrownAway{cartridge_id, journal::ThrowReason::damaged, ""});
  EXPECT_EQ(plan_of(gone, tonight).sources.size(), 3U);  // of L2 one is sealed still
  auto recalled = story;
  recalled.recall("L1");
  const auto aside = plan_of(recalled, tonight).set_aside;
  ASSERT_EQ(aside.size(), 1U);
  EXPECT_EQ(aside.front().code, codes::recalled);
}

TEST(Interlock, WhatTheWindowOfTheOneInThePenHasNoRoomForIsTwoInjectionsFromIt_H01_H58) {
  Story story;
  story.shelf.pens.front().thing.window = shelf::Window::counts_on;
  story.shelf.pens.front().thing.most = 24_units;
  story.order();
  story.pen();
  story.load();
  story.supplies(2, "L2");
  story.needle_on(at(1, 21, 50));
  story.prime(at(1, 21, 51), 4_units, Flow::not_seen);
  const auto said = next_of(story, at(1, 22));
  EXPECT_EQ(said.code, "");
  EXPECT_THAT(said.windows, testing::ElementsAre(18_units, 12_units));
  EXPECT_EQ(said.primes.size(), 2U);
}

// In the morning 22 units were too little for the evening, in the evening they were kept for the
// morning.
TEST(Interlock, WithTwoDosesADayWhatIsTooLittleForThisOneGoes_H58_H02) {
  Story story;
  auto line = Story::bedtime();
  line.slots.push_back({SlotName::morning, {6 * 60}, 60, 120, 10_units});
  line.slots.front().units = 30_units;
  line.least_units = 5_units;
  line.most_units = 40_units;
  story.order(line);
  story.pen();
  story.load(22_units);
  story.supplies(2, "L2");
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {at(1, 22), 0});
  const auto* plan = agenda.next ? cleared(agenda.next->verdict) : nullptr;
  ASSERT_NE(plan, nullptr);
  const auto& actions = (*plan)->plan.actions;
  const auto gone = std::ranges::find(actions, dial::Do::throw_away, &dial::Action::what);
  ASSERT_NE(gone, actions.end());
  EXPECT_EQ(gone->left, 22_units);
  EXPECT_TRUE(gone->short_of_dose);
  EXPECT_TRUE(std::ranges::any_of((*plan)->plan.cautions, [](const dial::Caution& caution) {
    return caution.code == dial::dial_cautions::rest_short;
  }));
}

TEST(Interlock, WhatNobodyKnowsOfADoseIsReadOffTheScaleBeforeTheLastOne_H02_H44) {
  Story story;
  const auto line = story.order();
  story.pen();
  story.load(30_units);
  story.partly(at(1, 22), 0_units, line, Outcome::unknown);
  EXPECT_EQ(next_of(story).code, codes::left_uncertain);
  auto read = story;
  read.tell(tonight - minutes{5}, journal::ScaleCounted{cartridge_id, 24_units});
  EXPECT_THAT(next_of(read).windows, testing::ElementsAre(20_units));
  read = story;
  read.tell(tonight - minutes{5}, journal::ScaleCounted{cartridge_id, 12_units});
  EXPECT_EQ(next_of(read).code, "dial.cartridge_short");
}

TEST(Interlock, DosesSaidToBeTakenAreLookedForInThePen_H02_H12) {
  Story story;
  const auto line = story.order();
  story.pen();
  story.load(60_units);
  for (int day = 1; day <= 2; ++day)
    story.tell(at(day + 1, 8),
               journal::DoseAnswered{line, SlotName::bedtime, first_day + days{day - 1},
                                     journal::DoseWas::taken, ""});
  EXPECT_EQ(next_of(story, at(3, 22)).code, codes::left_uncertain);
  // One that an injection on record answers is in the account already.
  auto given = whole();
  given.tell(at(2, 8), journal::DoseAnswered{given.facts.front().id, SlotName::bedtime, first_day,
                                             journal::DoseWas::taken, ""});
  EXPECT_TRUE(given.chart()->ledger.cartridge(cartridge_id)->uncounted.is_zero());
}

TEST(Interlock, WhatIsNotCertainOfTheCartridgeStandsBesideTheNumber_H12) {
  const auto doubts = [](const Story& story) {
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {tonight, 0});
    std::vector<std::string> out;
    if (const auto* plan = cleared(agenda.next->verdict)) {
      for (const auto& doubt : (*plan)->doubts) out.push_back(doubt.code);
    }
    return out;
  };
  EXPECT_THAT(doubts(whole()), testing::IsEmpty());
  auto cold = whole();
  cold.tell(at(2, 7), journal::TemperatureSpell{cartridge_id, {10}, 600, false, ""});
  EXPECT_THAT(doubts(cold), testing::ElementsAre(std::string(doubts::near_freezing)));
  Story used;
  const auto line = used.order();
  used.pen();
  used.load(120_units);
  used.inject(at(1, 22), 20_units, line);
  EXPECT_THAT(doubts(used), testing::ElementsAre(std::string(doubts::since_unknown)));
}

}  // namespace
}  // namespace penstock::interlock
