// What counts as given, and what is asked about, where the record is not as it should be.
#include <gtest/gtest.h>

#include "core/order/internal/for_tests.hpp"
#include "core/order/order.hpp"

namespace penstock::order {
namespace {

using namespace for_tests;

// attacker a2-14: struck out because of its lot, and tonight's dose was due again.
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
    Story s;  // attacker a2-8, pharmacist F36, F37
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
  Story s;  // attacker a2-12, a2-13
  const Id line = s.signed_and_checked();
  s.inject(utc(2027, 3, 2, 7), 18_units, std::nullopt, std::nullopt, 99);  // long before it
  EXPECT_EQ(s.refusal(ask(line)), "allowed");
  Story named = s;
  s.inject(utc(2027, 3, 2, 17), 18_units, std::nullopt, std::nullopt, 99);
  named.inject(utc(2027, 3, 2, 17), 18_units, id(77), SlotName::bedtime, 99);  // a line not here
  for (const auto& story : {s, named}) EXPECT_EQ(story.refusal(ask(line)), codes::taken_perhaps);
  EXPECT_EQ(given_near(s.order(), "insulin glargine", utc(2027, 3, 2, 16)).size(), 1U);
}

}  // namespace
}  // namespace penstock::order
