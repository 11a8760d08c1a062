#include "core/visit/visit.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/told.hpp"

namespace penstock::visit {
namespace {

using journal::HandStep;
using journal::Judged;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

constexpr Instant noon{std::chrono::sys_days{std::chrono::year{2027} / 3 / 16} + hours{12}};

/// A record told entry by entry; each is written down when it happened.
struct Story {
  std::vector<journal::Fact> facts;
  Story() {
    journal::PersonRegistered somebody;
    somebody.full_name = "Noor Haddad";
    somebody.born = LocalDay{std::chrono::year{1958} / 6 / 4};
    somebody.zone = "UTC";
    tell(-days{200}, somebody);
  }
  Id tell(minutes from_noon, journal::Payload payload) {
    facts.push_back(tests::told({0xA0, facts.size() + 2}, {0xA0, 1}, {noon + from_noon, 0},
                                std::move(payload)));
    return facts.back().id;
  }
  void judge(minutes from_noon, HandStep step, Judged how) {
    journal::StepJudged judged;
    judged.step = "as it stood";
    judged.of = step;
    judged.how = how;
    tell(from_noon, judged);
  }
  chart::ChartPtr chart() const {
    return chart::finish(chart::begin({0xA0, 1}, facts.size(), {}, facts, {}), ZoneRules{"UTC", {}},
                         {});
  }
};

journal::GlucoseNoted glucose(std::int32_t tenths) {
  journal::GlucoseNoted noted;
  noted.value = Glucose{GlucoseUnit::mmol_l, tenths};
  return noted;
}
journal::VisitClosed closed(minutes began) {
  journal::VisitClosed visit;
  visit.began = {noon + began, 0};
  return visit;
}

constexpr When now{noon, 0};

TEST(Visit, BeginsWithTheFirstEntryAfterAPauseAndTheLastVisitThatWasClosed) {
  Story story;
  story.tell(-minutes{200}, journal::Note{"a call in the morning"});
  story.tell(-minutes{80}, journal::Note{"she comes in"});
  story.tell(-minutes{5}, journal::Note{"and talks"});
  auto chart = story.chart();
  auto visit = of(*chart, now);
  EXPECT_EQ(visit.began.at, noon - minutes{80});
  ASSERT_EQ(visit.note.size(), 1U);
  EXPECT_EQ(visit.note[0].topic, Topic::noted);
  EXPECT_EQ(visit.note[0].entries.size(), 2U);

  story.tell(-minutes{3}, closed(-minutes{80}));
  chart = story.chart();
  visit = of(*chart, now);
  EXPECT_EQ(visit.began.at, noon) << "the next one begins";
  EXPECT_TRUE(visit.note.empty());
  ASSERT_TRUE(visit.last.has_value());
  EXPECT_EQ(visit.last->when.at, noon - minutes{80});
  EXPECT_EQ(visit.last->by, "Ines Falk");
}

TEST(Visit, WhatGoesHomeIsOfTheVisitOfNowOrOfTheLastThatWasClosed) {
  Story story;
  EXPECT_EQ(last_met(*story.chart(), now), std::nullopt) << "nothing was recorded";
  story.tell(-days{9}, closed(-days{9} - minutes{30}));
  story.tell(-days{9} - minutes{20}, journal::Note{"what was said then"});
  auto chart = story.chart();
  auto met = last_met(*chart, now);
  ASSERT_TRUE(met.has_value());
  EXPECT_EQ(met->ended.at, noon - days{9});
  story.tell(-minutes{15}, journal::Note{"she comes in"});
  chart = story.chart();
  met = last_met(*chart, now);
  ASSERT_TRUE(met.has_value());
  EXPECT_EQ(met->began.at, noon - minutes{15});
  EXPECT_EQ(met->since.days, 9) << "since the visit before";
  story.tell(-minutes{10}, closed(-minutes{15}));
  story.tell(-minutes{2}, journal::Note{"one thing more"});
  chart = story.chart();
  met = last_met(*chart, now);
  ASSERT_TRUE(met.has_value());
  EXPECT_EQ(met->began.at, noon - minutes{15});
  ASSERT_EQ(met->note.size(), 1U);
  EXPECT_EQ(met->note[0].entries.size(), 3U) << "what came in, the close, and what was added";
  EXPECT_EQ(met->since.days, 9);
}

TEST(Visit, WhatAFileBroughtInIsNoPartOfTheTalk) {
  Story story;
  story.tell(-minutes{5}, glucose(52));
  story.facts.back().source = "diary";
  const auto chart = story.chart();
  EXPECT_TRUE(of(*chart, now).note.empty());
}

TEST(Visit, H10_LowsAreCountedBeforeTheLastVisitAndSinceInAsManyDays) {
  Story story;
  story.tell(-days{7} - hours{1}, closed(-days{7} - hours{2}));
  story.tell(-days{20}, glucose(30));  // in neither time
  story.tell(-days{9}, glucose(34));
  story.tell(-days{3}, glucose(31));
  story.tell(-days{2}, glucose(39));  // the limit itself is no low
  journal::GlucoseNoted felt;
  felt.felt = journal::YesNo::yes;
  story.tell(-days{1}, felt);
  const auto chart = story.chart();
  const auto visit = of(*chart, now);
  EXPECT_TRUE(visit.since.of_visit);
  EXPECT_EQ(visit.since.days, 7);
  EXPECT_EQ(visit.since.lows, (Count{1, 2}));
  EXPECT_EQ(visit.since.lowest, (Glucose{GlucoseUnit::mmol_l, 31}));
}

TEST(Visit, WithoutAVisitOnRecordFourWeeksAreCompared) {
  const Story story;
  const auto chart = story.chart();
  const auto visit = of(*chart, now);
  EXPECT_FALSE(visit.since.of_visit);
  EXPECT_EQ(visit.since.days, days_without_visit);
  EXPECT_FALSE(visit.last.has_value());
}

std::vector<HandStep> steps(const Visit& visit) {
  std::vector<HandStep> out;
  for (const auto& one : visit.watch) out.push_back(one.step);
  return out;
}

TEST(Visit, WhatWasNotDoneIsWatchedFirstThenWhatNeededAHintThenWhatNobodySaw) {
  Story story;
  auto chart = story.chart();
  EXPECT_EQ(steps(of(*chart, now)).front(), HandStep::prime) << "the dose hangs on it";
  story.judge(-days{2}, HandStep::prime, Judged::not_done);
  story.judge(-days{1}, HandStep::prime, Judged::alone);
  story.judge(-days{1}, HandStep::off, Judged::after_a_hint);
  story.judge(-days{1}, HandStep::needle, Judged::not_done);
  chart = story.chart();
  const auto visit = of(*chart, now);
  EXPECT_THAT(steps(visit), testing::ElementsAre(HandStep::needle, HandStep::off, HandStep::dial,
                                                 HandStep::hold, HandStep::inject, HandStep::look,
                                                 HandStep::taken, HandStep::prime));
  EXPECT_EQ(visit.watch.front().why, WhyWatch::not_done);
  EXPECT_EQ(visit.watch.back().why, WhyWatch::longest_ago);
}

std::vector<WhyAsk> questions(const Story& story) {
  const auto chart = story.chart();
  std::vector<WhyAsk> out;
  for (const auto& one : of(*chart, now).ask) out.push_back(one.why);
  return out;
}

TEST(Visit, ALowOfWhichNobodyWroteWhatCameBeforeIsAskedAboutFirst) {
  Story story;
  EXPECT_THAT(questions(story), testing::ElementsAre(WhyAsk::unknown, WhyAsk::habit));
  story.tell(-days{2}, glucose(30));
  EXPECT_EQ(questions(story).front(), WhyAsk::low);
  auto told = glucose(29);
  told.before = "dug the garden";
  story.tell(-days{1}, told);
  EXPECT_EQ(questions(story).front(), WhyAsk::unknown) << "the last low is accounted for";
}

TEST(Visit, AKeptOffAreaIsFeltFirstAndThenTheZoneWithMostInjections) {
  Story story;
  const auto injected = [&](int day, Zone zone) {
    journal::Injected given;
    given.units = *Units::from_hundredths(1'000);
    given.zone = zone;
    story.tell(-days{day}, given);
  };
  injected(3, Zone::abdomen_left_lower);
  injected(2, Zone::abdomen_right_lower);
  injected(1, Zone::abdomen_right_lower);
  auto chart = story.chart();
  auto visit = of(*chart, now);
  ASSERT_FALSE(visit.feel.empty());
  EXPECT_EQ(visit.feel[0].zone, Zone::abdomen_right_lower);
  EXPECT_EQ(visit.feel[0].there, 2);
  EXPECT_EQ(visit.feel[0].of, 3);

  journal::AreaBlocked blocked;
  blocked.area = {0xAB, 1};
  blocked.zone = Zone::abdomen_left_lower;
  blocked.radius = TenthsMm{200};
  story.tell(-days{5}, blocked);
  chart = story.chart();
  visit = of(*chart, now);
  ASSERT_NE(visit.feel[0].area, nullptr);
  EXPECT_EQ(visit.feel[0].area->area, (Id{0xAB, 1}));
}

TEST(Visit, TheNextContactIsACallOnTheNextOpenDayAfterANewOrder) {
  Story story;
  auto chart = story.chart();
  const supply::ClosedDays closed{{journal::Weekday::wednesday}, {}};
  auto next = next_contact(of(*chart, now), *chart, closed, now.day());
  EXPECT_EQ(next.why, WhyNext::routine);
  EXPECT_EQ(next.day, now.day() + days{7});

  const auto line =
      story.tell(-hours{5}, tests::bedtime_line(now.day(), *Units::from_hundredths(2'000),
                                                Units::zero(), *Units::from_hundredths(4'000)));
  journal::OrderLineChecked check;
  check.line = line;
  check.checked_by = "Jonas Abara";
  story.tell(-hours{4}, check);
  chart = story.chart();
  next = next_contact(of(*chart, now), *chart, closed, now.day());
  EXPECT_EQ(next.why, WhyNext::start) << "the call after a start was called a change of dose";
  EXPECT_EQ(next.meeting, journal::Meeting::call);
  EXPECT_EQ(next.day, now.day() + days{2}) << "tomorrow is a closed Wednesday";

  journal::Injected before;
  before.units = *Units::from_hundredths(1'800);
  story.tell(-days{3}, before);
  chart = story.chart();
  next = next_contact(of(*chart, now), *chart, closed, now.day());
  EXPECT_EQ(next.why, WhyNext::order);
}

}  // namespace
}  // namespace penstock::visit
