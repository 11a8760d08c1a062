// Somebody whose clock is another one by now.
#include <gtest/gtest.h>

#include <vector>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

// Ten at night in Tokyo, then far to the west: the next dose lay 41 hours behind it, without a
// word.
TEST(Basal, InAnotherZoneTheHoursSinceTheLastDoseAreSaid_H18_H38) {
  for (const std::int16_t offset : {std::int16_t{540}, std::int16_t{60}}) {
    auto story = whole();
    const auto line = story.facts.front().id;
    std::erase_if(story.facts, [](const Fact& fact) {
      return std::holds_alternative<journal::Injected>(fact.payload);
    });
    story.inject(at(1, 22) - minutes{offset}, 20_units, line);
    story.facts.back().happened.offset_minutes = offset;
    const auto chart = story.chart();
    const auto next = agenda_of(*chart, {story.shelf, story.stock}, {at(2, 21), 0}).next;
    ASSERT_TRUE(next) << offset;
    EXPECT_EQ(next->lately.has_value(), offset == 540) << "33 hours; an hour of summer is no trip";
  }
}

}  // namespace
}  // namespace penstock::interlock
