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
  judged.of = journal::HandStep::inject;
  judged.how = journal::Judged::not_done;
  story.tell(at(2, 21, 51), judged);
  EXPECT_EQ(next_of(story).code, "");
  judged.how = journal::Judged::after_a_hint;
  story.tell(at(2, 21, 52), judged);
  EXPECT_EQ(next_of(story).code, codes::watched) << "and nobody watched on";
  judged.of = journal::HandStep::off;
  story.tell(at(2, 21, 53), judged);
  EXPECT_EQ(next_of(story).code, codes::watched);
  auto given = story;
  given.inject(at(2, 21, 50), 20_units, line);
  EXPECT_NE(next_of(given).code, codes::watched);
  story.tell(at(2, 22), journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1},
                                              journal::DoseWas::not_taken, ""});
  EXPECT_THAT(next_of(story, at(2, 22, 5)).windows, testing::ElementsAre(20_units));
}

// Overnight the other insulin's dose was next, and nobody was asked about the one that was watched.
TEST(Watched, AnotherInsulinsDoseHidesNoQuestionAboutTheOneThatWasWatched_H57_H55) {
  auto story = whole();
  const auto line = story.facts.front().id;
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  meal.slots = {{SlotName::breakfast, {8 * 60}, 30, 60, 6_units}};
  story.order(meal);
  journal::StepJudged judged;
  judged.line = line;
  judged.of = journal::HandStep::inject;
  story.tell(at(2, 23, 45), judged);
  for (const auto now : {at(3, 0, 10), at(3, 7)}) {
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
    ASSERT_EQ(agenda.unrecorded.size(), 1U);
    EXPECT_EQ(held(agenda.unrecorded.front().verdict)->error.code, codes::watched);
    EXPECT_EQ(agenda.unrecorded.front().asked.at.at, tonight);
  }
}

// After midnight the answers named tonight's dose, which nobody had been near: "not taken" would
// have left it out.
TEST(Watched, AfterMidnightItIsLastNightsDoseThatIsAskedAbout_H07_H55_H38) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto asked = [&](Instant now) {
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
    const auto& dose = agenda.unrecorded.empty() ? *agenda.next : agenda.unrecorded.front();
    EXPECT_EQ(held(dose.verdict)->error.code, codes::watched);
    return dose.asked.at.at;
  };
  journal::StepJudged judged;
  judged.line = line;
  for (const auto step : {journal::HandStep::hold, journal::HandStep::off}) {
    judged.of = step;
    story.tell(at(2, 21, 50), judged);
  }
  EXPECT_EQ(asked(at(2, 21, 55)), at(2, 22)) << "before its hour";
  EXPECT_EQ(asked(at(2, 23, 55)), at(2, 22));
  EXPECT_EQ(asked(at(3, 0, 30)), at(2, 22)) << "its window is over, and tonight's is next";
  EXPECT_EQ(asked(at(3, 5)), at(2, 22));
  // What was watched for tonight hours early is tonight's.
  auto early = whole();
  for (const auto step : {journal::HandStep::hold, journal::HandStep::off}) {
    judged.of = step;
    early.tell(at(2, 15), judged);
  }
  const auto chart = early.chart();
  EXPECT_EQ(agenda_of(*chart, {early.shelf, early.stock}, {at(2, 16), 0}).next->asked.at.at,
            at(2, 22));
}

// The rest was watched to zero and broken off, and stood there again.
TEST(Watched, TheRestOfAPartIsAskedAboutAsTheWholeIs_H39_H07_H55) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto judge = [&](Instant when, journal::HandStep step) {
    story.tell(when, journal::StepJudged{line, "step", step, journal::Judged::alone});
  };
  judge(at(2, 21, 58), journal::HandStep::inject);
  story.partly(at(2, 22), 12_units, line, Outcome::part);
  judge(at(2, 22, 1), journal::HandStep::off);
  EXPECT_EQ(next_of(story, at(2, 22, 5)).code, "");
  judge(at(2, 22, 6), journal::HandStep::taken);
  judge(at(2, 22, 8), journal::HandStep::inject);
  EXPECT_EQ(next_of(story, at(2, 22, 9)).code, codes::watched);
}

}  // namespace
}  // namespace penstock::interlock
