// Which single change is named, and by which rule.
#include <gtest/gtest.h>

#include <algorithm>

#include "core/reach/internal/for_tests.hpp"

namespace penstock::reach {
namespace {

using for_tests::ask;
using for_tests::child;
using for_tests::found;
using enum BodyPart;

bool warns(const Reach& reach, std::string_view code) {
  return std::ranges::find(reach.cautions, code) != reach.cautions.end();
}

TEST(Better, H16_TheExampleNamesTheShortNeedleFirst) {
  const auto answer = found(example());
  EXPECT_GT(answer.muscle.value, chance_most);
  ASSERT_TRUE(answer.better);
  EXPECT_EQ(answer.better->change, Change::needle);
  EXPECT_EQ(answer.better->needle, TenthsMm{40});
  EXPECT_EQ(answer.better->angle_deg, 90);
  EXPECT_FALSE(answer.better->fold);
  EXPECT_EQ(answer.better->zone, thigh);
  EXPECT_NEAR(answer.better->muscle_chance, 0.016, 0.0005);
  // Every kind of change is there for whoever cannot get another needle.
  for (const auto kind : {Change::needle, Change::fold, Change::angle, Change::zone}) {
    EXPECT_TRUE(
        std::ranges::any_of(answer.changes, [&](const Better& b) { return b.change == kind; }));
  }
}

TEST(Better, H16_ANeedleHeldFlatThatEndsInSkinIsTurnedUpright) {
  for (const auto zone : {abdomen, buttock, arm}) {
    const auto flat = found(ask(zone, 40, 45));
    EXPECT_TRUE(warns(flat, reach_cautions::skin_likely));
    ASSERT_TRUE(flat.better);
    EXPECT_EQ(flat.better->change, Change::angle);
    EXPECT_EQ(flat.better->angle_deg, 90);
    EXPECT_LT(flat.better->skin_chance, chance_least);
    // A longer needle would do as well, and one of them is enough to say so.
    EXPECT_EQ(std::ranges::count(flat.changes, Change::needle, &Better::change), 1);
  }
  EXPECT_FALSE(warns(found(ask(abdomen, 60, 45)), reach_cautions::skin_likely));
}

TEST(Better, AChangeThatEndsInSkinIsNoBetterOne) {
  // At 45 degrees 4 mm would take the last muscle away and put a tenth into skin.
  for (const auto& change : found(ask(abdomen, 80, 45)).changes) {
    EXPECT_LE(change.skin_chance, chance_most);
    EXPECT_NE(change.needle, TenthsMm{40});
  }
  // 1.6 % in muscle for 3 % in skin is no bargain, though 3 % would be allowed.
  for (const auto& change : found(ask(thigh, 40)).changes) {
    EXPECT_NE(change.change, Change::angle);
  }
}

TEST(Better, AmongTiesWhatAsksLeastGoesFirst) {
  // 0.27 % with 4 mm, 0.1 % at the buttock: not told apart, and the needle is the easier change.
  auto request = ask(abdomen, 50);
  const auto answer = found(request);
  ASSERT_TRUE(answer.better);
  EXPECT_EQ(answer.better->change, Change::needle);
  EXPECT_LT(answer.changes[1].muscle_chance, answer.better->muscle_chance);
  EXPECT_LT(answer.better->muscle_chance - answer.changes[1].muscle_chance, chance_least);
  EXPECT_EQ(answer.changes[1].change, Change::fold);
}

TEST(Better, WhereNothingIsLeftToGainNothingIsNamed) {
  const auto buttock_four = found(ask(buttock, 40));
  EXPECT_FALSE(buttock_four.better);
  EXPECT_TRUE(buttock_four.changes.empty());
  EXPECT_FALSE(warns(buttock_four, reach_cautions::nothing_better));  // nothing is wrong
}

TEST(Better, WhereNoSingleChangeHelpsItSaysSo) {
  auto stuck = child(4, abdomen, 30);
  stuck.fold = true;
  stuck.angle_deg = 45;
  stuck.measured = TenthsMm{15};
  const auto answer = found(stuck);
  EXPECT_GT(answer.muscle.value, chance_most);
  EXPECT_FALSE(answer.better);
  EXPECT_TRUE(warns(answer, reach_cautions::nothing_better));
}

TEST(Better, AFoldIsNeverCarriedToTheArm) {
  for (const auto& change : found(ask(thigh, 127, 90, true)).changes) {
    EXPECT_NE(change.zone, arm);
    EXPECT_TRUE(change.fold);
  }
}

TEST(Better, AZoneIsOfferedOnlyWhereThesePeopleWereMeasured) {
  auto request = ask(abdomen, 80);
  request.people = People::pregnant_women;
  request.pregnancy_week = 30;
  for (const auto& change : found(request).changes) EXPECT_EQ(change.zone, abdomen);
  request = ask(arm, 80);
  request.people = People::korean_adults;
  for (const auto& change : found(request).changes) {
    EXPECT_TRUE(change.zone == arm || change.zone == abdomen);
  }
}

}  // namespace
}  // namespace penstock::reach
