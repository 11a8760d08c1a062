// Basal insulin that came late, twice, or under the line before.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

Agenda agenda(const Story& story, Instant now) {
  const auto chart = story.chart();
  auto out = agenda_of(*chart, {story.shelf, story.stock}, {now, 0});
  // The chart goes with this call.
  for (auto* doses : {&out.unrecorded, &out.ask_first})
    for (auto& dose : *doses) dose.line = nullptr, dose.pen = nullptr, dose.pending = nullptr;
  return out;
}

// Whole, with the second day's dose given so late; what is due next, and what is said of it.
TEST(Basal, ALateDoseIsThePassedSlotsAndTheNextOneIsDueAndSaid_H38_H57_H18) {
  for (const int hour : {4, 6, 8, 10}) {
    auto story = whole();
    story.inject(at(3, hour), 20_units, story.facts.front().id);
    const auto chart = story.chart();
    const auto next = agenda_of(*chart, {story.shelf, story.stock}, {at(3, 21, 30), 0}).next;
    ASSERT_TRUE(next) << hour;
    EXPECT_EQ(next->due.day, first_day + days{2}) << hour;
    EXPECT_THAT(next_of(story, at(3, 21, 30)).windows, testing::ElementsAre(20_units)) << hour;
    ASSERT_TRUE(next->lately) << hour;
    EXPECT_EQ(next->lately->when.at, at(3, hour));
  }
  auto early = whole();
  early.inject(at(2, 22), 20_units, early.facts.front().id);
  early.inject(at(3, 12), 20_units, early.facts.front().id);  // nearer to the evening
  const auto chart = early.chart();
  const auto next = agenda_of(*chart, {early.shelf, early.stock}, {at(3, 21, 30), 0}).next;
  ASSERT_TRUE(next);
  EXPECT_EQ(next->due.day, first_day + days{3});
}

Story replaced(LocalDay from, const std::string& insulin = "insulin glargine") {
  auto story = whole();
  auto anew = Story::bedtime();
  anew.order_version = 2;
  anew.insulin = insulin;
  anew.slots.front().units = 24_units;
  anew.replaces = story.facts.front().id;
  anew.from = from;
  anew.signed_on = from;
  story.order(anew, at(2, 9));
  return story;
}

TEST(Basal, AChangeOfDoseASwitchOrAnEndHidesNoUnrecordedDose_H57_H52_H08) {
  for (const auto* insulin : {"insulin glargine", "insulin degludec"}) {
    const auto story = replaced(first_day + days{2}, insulin);
    const auto asks = agenda(story, at(3, 8));
    ASSERT_EQ(asks.unrecorded.size(), 1U) << insulin;
    EXPECT_EQ(asks.unrecorded.front().asked.day, first_day + days{1});
    EXPECT_FALSE(asks.next) << insulin;
    auto said = story;
    said.tell(at(3, 8), journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                              first_day + days{1}, journal::DoseWas::not_taken});
    EXPECT_TRUE(agenda(said, at(3, 8)).unrecorded.empty());
    EXPECT_TRUE(agenda(said, at(3, 8)).next);
  }
  auto ended = whole();
  ended.tell(at(2, 9),
             journal::OrderLineEnded{ended.facts.front().id, first_day + days{1}, "", ""});
  EXPECT_EQ(agenda(ended, at(3, 8)).unrecorded.size(), 1U);
  EXPECT_TRUE(agenda(ended, at(7, 8)).unrecorded.empty());  // it changes nothing any more
}

// The morning's dose under the line before was mentioned nowhere.
TEST(Basal, OnTheDayOfASwitchTheDaysDoseIsAskedAbout_H52_H07) {
  auto story = replaced(first_day + days{1});
  const auto anew = story.facts[story.facts.size() - 2].id;
  std::erase_if(story.facts, [](const Fact& fact) {
    return std::holds_alternative<journal::Injected>(fact.payload);
  });
  story.inject(at(2, 8), 20_units, story.facts.front().id);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, order::codes::taken_perhaps);
  story.tell(at(2, 21), journal::DoseAnswered{anew, SlotName::bedtime, first_day + days{1},
                                              journal::DoseWas::not_taken});
  EXPECT_THAT(next_of(story, at(2, 21, 30)).windows, testing::ElementsAre(24_units));
}

TEST(Basal, TwoLinesOfOneInsulinForOneHourHaveNoNumberUntilOneIsEnded_H03_H52_H58) {
  auto story = whole();
  const auto twin = story.order(Story::bedtime(), at(2, 9));
  EXPECT_EQ(next_of(story).code, codes::two_lines);
  story.tell(at(2, 10), journal::OrderLineEnded{twin, first_day, "Dr Amara Osei", "twice"});
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
}

// Hours of the order moved with the zone, and the next dose was 16 or 32 hours after the last.
TEST(Basal, AZoneThatWasChangedHoldsTheNextDoseUntilThePrescriberSaidTheHour_H18_H57) {
  auto story = whole();
  const auto move = [&](Instant when, const std::string& zone) {
    journal::DetailsChanged details;
    details.full_name = "Ines Berger";
    details.zone = zone;
    return story.tell(when, details);
  };
  move(at(1, 7), "Europe/Berlin");  // before any dose was on record
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
  move(at(2, 8), "Asia/Tokyo");
  EXPECT_EQ(next_of(story).code, codes::zone_moved);
  auto back = story;
  std::swap(back.facts, story.facts);
  move(at(2, 9), "Europe/Berlin");  // a slip, put right before any dose
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
  std::swap(back.facts, story.facts);
  const auto asked =
      story.tell(at(2, 10), journal::QuestionOpened{{}, journal::QuestionReason::travel, "", {}});
  story.tell(at(2, 11), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                  "Dr Amara Osei", "at ten there", true});
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
}

// Copied in the second in which the trip was planned, or told to be, an order settles no hours.
TEST(Basal, ATripHoldsTheDosesOfItsDaysWhateverHourTheCopyIsSaidToBeOf_H18) {
  auto story = whole();
  story.inject(at(2, 22), 20_units, story.facts.front().id);
  journal::TripPlanned trip;
  trip.leaves = first_day + days{1};
  trip.returns = first_day + days{9};
  trip.zone = "Asia/Tokyo";
  story.tell(at(1, 8), trip);
  EXPECT_EQ(next_of(story, at(2, 23)).code, codes::on_trip);
}

TEST(Basal, AChangeOfStrengthIsSaidUntilADoseOfTheNewOneIsOnRecord_H03) {
  auto story = whole();
  auto strong = Story::bedtime();
  strong.strength = {300};
  strong.order_version = 2;
  strong.replaces = story.facts.front().id;
  strong.from = strong.signed_on = first_day + days{1};
  const auto line = story.order(strong, at(2, 8));
  const auto changed = [&](Instant now) {
    const auto chart = story.chart();
    const auto next = agenda_of(*chart, {story.shelf, story.stock}, {now, 0}).next;
    return next && next->changed ? next->changed->old : Strength{};
  };
  EXPECT_EQ(changed(tonight), Strength{100});
  story.inject(at(2, 22), 20_units, line);
  EXPECT_EQ(changed(at(3, 22)), Strength{});
}

// Sixty units of thirty were "done", and the next thirty stood in full.
TEST(Basal, MoreThanOrderedHoldsTheNextDoseUntilThePrescriberAnswers_H07_H04) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.inject(at(2, 22), 20_units, line);
  EXPECT_EQ(next_of(story, at(2, 23)).code, "");
  story.inject(at(2, 22, 10), 20_units, line);
  EXPECT_EQ(next_of(story, at(2, 23)).code, codes::more_given);
  const auto asked = story.tell(at(2, 23), journal::QuestionOpened{line, {}, "twice", {}});
  EXPECT_EQ(next_of(story, at(2, 23)).code, order::codes::question_open);
  story.tell(at(2, 23, 5), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                     "Dr Amara Osei", "", true});
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
}

// Ten of twenty, as a diary has it, were "done": nobody was told that ten are missing.
TEST(Basal, LessThanOrderedIsAskedAboutUnlessSoLittleWasMeant_H02_H57) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.inject(at(2, 22), 12_units, line);
  EXPECT_EQ(next_of(story, at(2, 23)).code, codes::less_given);
  std::get<journal::Injected>(story.facts.back().payload).meant = 12_units;
  EXPECT_EQ(next_of(story, at(2, 23)).code, "");
  std::get<journal::Injected>(story.facts.back().payload).meant.reset();
  std::get<journal::Injected>(story.facts.back().payload).units = 19_units;
  EXPECT_EQ(next_of(story, at(2, 23)).code, "");
}

}  // namespace
}  // namespace penstock::interlock
