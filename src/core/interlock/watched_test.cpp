// An injection that somebody watched, and what is on record of it.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

// Watched to the last step, and whoever came next read "Dial" again.
TEST(Watched, AnInjectionThatWasWatchedAndNotRecordedIsAskedAbout_H07_H55) {
  auto story = whole();
  const auto line = story.facts.front().id;
  journal::StepJudged judged;
  judged.line = line;
  judged.of = journal::HandStep::prime;
  story.tell(at(2, 21, 50), judged);
  EXPECT_EQ(next_of(story).code, "");
  // The needle of yesterday comes off before anything goes in.
  judged.of = journal::HandStep::off;
  story.tell(at(2, 21, 50), judged);
  EXPECT_EQ(next_of(story).code, "");
  judged.of = journal::HandStep::hold;
  story.tell(at(2, 21, 51), judged);
  judged.of = journal::HandStep::off;
  judged.how = journal::Judged::not_done;
  story.tell(at(2, 21, 51), judged);
  EXPECT_EQ(next_of(story).code, "");
  judged.how = journal::Judged::after_a_hint;
  story.tell(at(2, 21, 52), judged);
  EXPECT_EQ(next_of(story).code, codes::watched);
  auto given = story;
  given.inject(at(2, 21, 50), 20_units, line);
  EXPECT_NE(next_of(given).code, codes::watched);
  story.tell(at(2, 22), journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1},
                                              journal::DoseWas::not_taken, ""});
  EXPECT_THAT(next_of(story, at(2, 22, 5)).windows, testing::ElementsAre(20_units));
}

}  // namespace
}  // namespace penstock::interlock
