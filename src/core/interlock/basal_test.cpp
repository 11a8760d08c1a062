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
    said.tell(at(3, 8),
              journal::DoseAnswered{story.facts.front().id, SlotName::bedtime, first_day + days{1},
                                    journal::DoseWas::not_taken, ""});
    EXPECT_TRUE(agenda(said, at(3, 8)).unrecorded.empty());
    EXPECT_TRUE(agenda(said, at(3, 8)).next);
  }
  auto ended = whole();
  ended.tell(at(2, 9),
             journal::OrderLineEnded{ended.facts.front().id, first_day + days{1}, "", ""});
  EXPECT_EQ(agenda(ended, at(3, 8)).unrecorded.size(), 1U);
  EXPECT_TRUE(agenda(ended, at(7, 8)).unrecorded.empty());  // it changes nothing any more
}

// "Next injection in 21 hours" stood there, and nothing of last night's.
TEST(Basal, ADoseThatWaitedForItsSecondCheckStandsThereAfterMidnightToo_H57_H40) {
  auto story = whole();
  auto anew = Story::bedtime();
  anew.from = anew.signed_on = first_day + days{1};
  anew.replaces = story.facts.front().id;
  const auto line = story.tell(at(2, 12), anew);
  const auto before = agenda(story, at(2, 23, 30));
  ASSERT_TRUE(before.next);
  EXPECT_EQ(before.next->due.day, first_day + days{1});
  const auto after = agenda(story, at(3, 8));
  ASSERT_EQ(after.ask_first.size(), 1U);
  EXPECT_EQ(after.ask_first.front().due.day, first_day + days{1});
  EXPECT_EQ(held(after.ask_first.front().verdict)->error.code, order::codes::unchecked);
  EXPECT_FALSE(after.next);
  story.tell(at(3, 8), journal::OrderLineChecked{line, "Tom Reyes", {}});
  EXPECT_EQ(agenda(story, at(3, 9)).unrecorded.size(), 1U);
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
                                              journal::DoseWas::not_taken, ""});
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

// Once recorded as two doses, the night after had a plain number.
TEST(Basal, ASecondWholeDoseHoursFromItsSlotHoldsTheNextOne_H52_H07) {
  for (const int hour : {12, 14, 17}) {
    auto story = whole();
    story.inject(at(2, hour), 20_units, std::nullopt);
    story.inject(at(2, 22), 20_units, story.facts.front().id);
    EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::more_given) << hour;
  }
}

TEST(Basal, APartAndADoseThatIsNotItsRestAreLessThanOrdered_H02_H57) {
  auto story = whole();
  story.partly(at(2, 22), 4_units, story.facts.front().id, Outcome::part);
  story.inject(at(2, 22, 10), 10_units, story.facts.front().id);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::less_given);
}

// The rest was worked out from the last part alone: 12 after eight and eight, 8 after twelve twice.
TEST(Basal, TwoPartsThatAreNotOfOneDoseGiveNoRest_H39) {
  for (const auto part : {8_units, 12_units}) {
    auto story = whole();
    story.partly(at(2, 22), part, story.facts.front().id, Outcome::part);
    EXPECT_NE(next_of(story, at(2, 22, 3)).code, codes::parts_differ);
    story.partly(at(2, 22, 6), part, story.facts.front().id, Outcome::part);
    EXPECT_EQ(next_of(story, at(2, 22, 10)).code, codes::parts_differ);
  }
}

// Its own parts were taken for something besides, and nobody could go on.
TEST(Basal, APartOfARestLeavesWhatIsStillOwed_H39_H38) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto first = story.partly(at(2, 22), 8_units, line, Outcome::part);
  journal::Injected more;
  more.cartridge = cartridge_id;
  more.line = line;
  more.units = 4_units;
  more.meant = 12_units;
  more.outcome = Outcome::part;
  more.completes = first;
  story.tell(at(2, 22, 5), more);
  EXPECT_THAT(next_of(story, at(2, 22, 10)).windows, testing::ElementsAre(8_units));
  journal::DoseAnswered said{line, SlotName::bedtime, first_day + days{1},
                             journal::DoseWas::not_taken, ""};
  said.rest_of = first;
  story.tell(at(2, 22, 20), said);
  EXPECT_EQ(next_of(story, at(2, 22, 30)).code, "");
  EXPECT_THAT(next_of(story, at(3, 21, 30)).windows, testing::ElementsAre(20_units));
}

// Whoever phoned the prescriber, and was told, had nothing to press.
TEST(Basal, ARestThatNobodyOwesAnyMoreLeavesTheNextDose_H39_H38) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto part = story.partly(at(2, 22), 12_units, line, Outcome::part);
  const auto second = story.partly(at(2, 22, 6), 12_units, line, Outcome::part);
  EXPECT_EQ(next_of(story, at(2, 22, 10)).code, codes::parts_differ);
  journal::DoseAnswered said{line, SlotName::bedtime, first_day + days{1},
                             journal::DoseWas::not_taken, ""};
  said.rest_of = second;
  story.tell(at(2, 22, 20), said);
  EXPECT_NE(next_of(story, at(2, 22, 30)).code, codes::parts_differ);
  EXPECT_NE(part, second);
}

// H01, H44: whoever watched has just seen that the window is at 0, or that nothing flows.
TEST(Basal, H01_H44_APrimeThatWasSeenLeftOutIsAskedForBeforeAnyNumber) {
  auto story = whole();
  journal::StepJudged judged;
  judged.line = story.facts.front().id;
  judged.of = journal::HandStep::prime;
  judged.how = journal::Judged::not_done;
  story.prime(tonight - minutes{2}, 2_units, Flow::not_seen);
  story.tell(tonight - minutes{1}, judged);
  EXPECT_EQ(next_of(story).code, codes::not_primed);
  EXPECT_EQ(next_of(story, tonight + minutes{29}).code, codes::not_primed);
  EXPECT_EQ(next_of(story, tonight + minutes{30}).code, "");
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock}, {tonight, 0});
  const auto* ask = std::get_if<AskFirst>(&agenda.next->verdict);
  ASSERT_NE(ask, nullptr);
  EXPECT_EQ(ask->answers, (std::vector{Answer::primed, Answer::primed_dry}));

  auto primed = story;
  primed.prime(tonight, 2_units, Flow::seen);
  EXPECT_EQ(next_of(primed).windows, std::vector{20_units});
  auto dry = story;  // the plan primes again
  dry.prime(tonight, 2_units, Flow::not_seen);
  EXPECT_EQ(next_of(dry).code, "");
  auto again = story;
  judged.how = journal::Judged::after_a_hint;
  again.tell(tonight, judged);
  EXPECT_EQ(next_of(again).code, "");
}

TEST(Basal, H01_APrimeOnRecordAndJudgedAsNotDoneIsAskedAbout) {
  auto story = whole();
  journal::StepJudged judged;
  judged.line = story.facts.front().id;
  judged.of = journal::HandStep::prime;
  judged.how = journal::Judged::not_done;
  story.prime(tonight - minutes{2}, 2_units, Flow::seen);
  story.tell(tonight - minutes{1}, judged);
  EXPECT_EQ(next_of(story).code, codes::prime_doubted);
  judged.how = journal::Judged::after_a_hint;
  story.tell(tonight, judged);
  EXPECT_EQ(next_of(story).windows, std::vector{20_units});
}

// What nobody knew at ten was found out at eleven.
TEST(Basal, WhatNobodyKnewCanBeFoundOut_H44_H38) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto say = [&](Instant when, journal::DoseWas was) {
    story.tell(when, journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1}, was, ""});
  };
  say(at(2, 22), journal::DoseWas::not_known);
  const auto chart = story.chart();
  const auto next = agenda_of(*chart, {story.shelf, story.stock}, {at(2, 22, 10), 0}).next;
  ASSERT_TRUE(next);
  const auto* asks = std::get_if<AskFirst>(&next->verdict);
  ASSERT_NE(asks, nullptr);
  EXPECT_EQ(asks->error.code, order::codes::not_known);
  EXPECT_THAT(asks->answers,
              testing::ElementsAre(Answer::injected, Answer::taken, Answer::not_taken));
  say(at(2, 22, 15), journal::DoseWas::not_taken);
  EXPECT_THAT(next_of(story, at(2, 22, 20)).windows, testing::ElementsAre(20_units));
}

// A unit more, and the twenty of which nobody knows were "done".
TEST(Basal, WhatNobodyKnowsStaysUnknownWhateverFollowsIt_H44) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.partly(at(2, 22), 20_units, line, Outcome::unknown);
  EXPECT_EQ(next_of(story, at(2, 22, 10)).code, order::codes::outcome_unknown);
  story.inject(at(2, 22, 15), 1_units, line);
  EXPECT_EQ(next_of(story, at(2, 22, 20)).code, order::codes::outcome_unknown);
  const auto chart = story.chart();
  const auto next = agenda_of(*chart, {story.shelf, story.stock}, {at(3, 21, 30), 0}).next;
  ASSERT_TRUE(next && next->before);
  EXPECT_EQ(next->before->was, Before::Was::amount_unknown);
}

// From bedtime to the morning: the night's dose was asked about for ever, and then the gap was
// silent.
TEST(Basal, AChangedHourAsksForTheDoseBetweenAndSaysTheGap_H57_H38_H07) {
  const auto moved = [](LocalDay from) {
    auto story = whole();
    auto morning = Story::bedtime();
    morning.slots = {{SlotName::morning, {8 * 60}, 60, 60, 20_units}};
    morning.replaces = story.facts.front().id;
    morning.from = morning.signed_on = from;
    morning.order_version = 2;
    story.order(morning, at(2, 5));
    return story;
  };
  auto story = moved(first_day + days{1});
  const auto anew = story.facts[story.facts.size() - 2].id;
  const auto chart = story.chart();
  const auto next = agenda_of(*chart, {story.shelf, story.stock}, {at(2, 8), 0}).next;
  ASSERT_TRUE(next);
  const auto* why = held(next->verdict);
  // Ten hours after the last one: somebody may say that this is another dose.
  if (why != nullptr) {
    EXPECT_EQ(why->error.code, order::codes::taken_perhaps);
    const auto of = std::ranges::find(why->error.args, "of", &Arg::name);
    ASSERT_NE(of, why->error.args.end());
    EXPECT_EQ(of->text, "given/other_insulin");
  }
  EXPECT_TRUE(codes::is_unrecorded(next_of(story, at(2, 10)).code));
  story.tell(at(2, 10, 5), journal::DoseAnswered{anew, SlotName::morning, first_day + days{1},
                                                 journal::DoseWas::not_taken, ""});
  const auto later = story.chart();
  const auto after = agenda_of(*later, {story.shelf, story.stock}, {at(2, 11), 0}).next;
  ASSERT_TRUE(after && after->lately);
  EXPECT_EQ(after->lately->when.at, at(1, 22));  // 34 hours before it
  // Once a dose of the new hour is on record there is no gap.
  auto taken = moved(first_day + days{1});
  journal::Injected p;
  p.cartridge = cartridge_id;
  p.units = 20_units;
  p.line = anew;
  p.slot = SlotName::morning;
  taken.tell(at(2, 8), p);
  const auto gone = taken.chart();
  const auto third = agenda_of(*gone, {taken.shelf, taken.stock}, {at(2, 11), 0}).next;
  ASSERT_TRUE(third);
  EXPECT_EQ(third->due.day, first_day + days{2});
  EXPECT_FALSE(third->lately);
}

// Nights of which nothing was ever recorded were asked about once, and then the card was silent.
TEST(Basal, ThatNothingWasEverRecordedIsSaidBesideTheNumber_H57_H32) {
  Story story;
  story.order();
  story.pen();
  story.load();
  const auto before = [&](Instant now) {
    const auto chart = story.chart();
    const auto next = agenda_of(*chart, {story.shelf, story.stock}, {now, 0}).next;
    return next && next->before ? std::optional(next->before->was) : std::nullopt;
  };
  EXPECT_EQ(before(at(1, 21)), std::nullopt);
  EXPECT_TRUE(codes::is_unrecorded(next_of(story, at(2, 9)).code));
  EXPECT_EQ(before(at(9, 9)), Before::Was::none_recorded);
  story.inject(at(8, 22), 20_units, story.facts.front().id);
  EXPECT_EQ(before(at(9, 9)), std::nullopt);
}

// A window of a whole day took last night's dose for tonight's.
TEST(Basal, AWindowOfADayLeavesLastNightsDoseToLastNight_H38_H07) {
  Story story;
  auto wide = Story::bedtime();
  wide.slots.front().minutes_before = 1440;
  const auto line = story.order(wide);
  story.pen();
  story.load();
  story.inject(at(1, 22), 20_units, line);
  EXPECT_EQ(next_of(story).code, "");
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
}

/// A cartridge of another insulin, in `pen`; nil: in one that is not on record.
Id load_other(Story& story, Instant when, const std::string& insulin, Id pen) {
  journal::CartridgeLoaded load;
  load.cartridge = Id{0x1A7E, 0xCB};
  load.pen = pen;
  load.copy = story.shelf.insulins.front().thing;
  load.copy.name = insulin;
  load.units = load.content = 300_units;
  load.fits = "A";
  load.new_cartridge = true;
  story.tell(when, load);
  return load.cartridge;
}

// By the record it was in the pen, and the ordered insulin was dialled from it.
TEST(Basal, AnotherInsulinInThePenHoldsUntilItIsTakenOut_H04_H03) {
  auto story = whole();
  const auto other = load_other(story, at(2, 20), "insulin glulisine", pen_id);
  EXPECT_EQ(next_of(story).code, codes::other_insulin);
  story.tell(at(2, 21), journal::ThrownAway{other, journal::ThrowReason::other, ""});
  EXPECT_NE(next_of(story).code, codes::other_insulin);
}

// It went in, its cartridge was thrown away, and the whole dose of the ordered one was dialled.
TEST(Basal, AnotherInsulinInItsPlaceHoldsThoughItsCartridgeIsGone_H04_H07) {
  for (const auto named : {true, false}) {
    auto story = whole();
    const auto other = load_other(story, at(2, 20), "insulin glulisine", pen_id);
    journal::Injected wrong;
    wrong.cartridge = other;
    wrong.units = 20_units;
    if (named) wrong.line = story.facts.front().id, wrong.slot = SlotName::bedtime;
    story.tell(at(2, 21, 30), wrong);
    story.tell(at(2, 21, 40), journal::ThrownAway{other, journal::ThrowReason::other, ""});
    EXPECT_EQ(next_of(story, at(2, 21, 50)).code, order::codes::swapped) << named;
  }
}

// Once its window was over it was asked whether "it" was taken, and nothing of the other insulin.
TEST(Basal, WhatWentInInItsPlaceStaysWithTheQuestionUntilSomebodyAnswers_H04_H57) {
  auto story = whole();
  const auto line = story.facts.front().id;
  journal::Injected wrong;
  wrong.cartridge = load_other(story, at(2, 20), "insulin glulisine", pen_id);
  wrong.units = 20_units;
  wrong.line = line, wrong.slot = SlotName::bedtime;
  story.tell(at(2, 20, 30), wrong);
  for (const auto now : {at(3, 0, 15), at(3, 7), at(3, 14)}) {
    const auto asks = agenda(story, now);
    ASSERT_EQ(asks.unrecorded.size(), 1U);
    EXPECT_EQ(held(asks.unrecorded.front().verdict)->error.code, order::codes::swapped);
    EXPECT_EQ(asks.unrecorded.front().asked.day, first_day + days{1});
    EXPECT_FALSE(asks.next);
  }
  const auto morning = agenda(story, at(3, 7));
  EXPECT_NE(std::get_if<AskFirst>(&morning.unrecorded.front().verdict), nullptr);
  story.tell(at(3, 8), journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1},
                                             journal::DoseWas::not_taken, ""});
  EXPECT_TRUE(agenda(story, at(3, 9)).unrecorded.empty());
}

// After sixty units of a meal's insulin the basal dose stood there without a word.
// A visit asks for a reading, and one that was five units off left tonight without a number.
TEST(Basal, AScaleThatReadsTheSameTwiceIsPlannedWith_H41_H38_H59) {
  const auto read = [](Story story, std::initializer_list<Units> readings) {
    int minute = 0;
    for (const auto units : readings)
      story.tell(at(2, 10, minute++), journal::ScaleCounted{cartridge_id, units});
    return next_of(story);
  };
  const auto story = whole();  // 280 left by the record
  EXPECT_EQ(read(story, {275_units}).code, codes::scale_differs);
  EXPECT_EQ(read(story, {275_units, 270_units}).code, codes::scale_differs);
  EXPECT_THAT(read(story, {275_units, 275_units}).windows, testing::ElementsAre(20_units));
  // Two doses and more may be missing as one may.
  EXPECT_EQ(read(story, {230_units, 230_units}).code, codes::scale_differs);
  EXPECT_THAT(read(story, {285_units, 285_units}).windows, testing::ElementsAre(20_units));
  auto given = story;  // what was pressed out since unsays neither of the two
  for (const int minute : {0, 1})
    given.tell(at(2, 10, minute), journal::ScaleCounted{cartridge_id, 275_units});
  given.inject(at(2, 22), 20_units, given.facts.front().id);
  EXPECT_THAT(next_of(given, at(3, 21, 30)).windows, testing::ElementsAre(20_units));
  auto between = story;
  between.tell(at(2, 10), journal::ScaleCounted{cartridge_id, 275_units});
  between.prime(at(2, 10, 1), 2_units, Flow::seen);
  between.tell(at(2, 10, 2), journal::ScaleCounted{cartridge_id, 273_units});
  EXPECT_EQ(next_of(between).code, codes::scale_differs) << "another reading, of another amount";
  EXPECT_EQ(read(story, {260_units, 260_units}).code, codes::scale_differs) << "a dose";
  EXPECT_EQ(read(story, {258_units, 258_units}).code, codes::scale_differs) << "with its prime";
}

// One dose of sixty, the same twice at breakfast: what an order allows that states no limit.
TEST(Basal, AnOrderThatStatesNoLimitAllowsItsOwnDoses_H04_H05_H07) {
  const auto meals = [] {
    Story story;
    auto meal = Story::bedtime();
    meal.purpose = journal::Purpose::mealtime;
    meal.least_units = meal.most_units = Units::zero();
    meal.slots = {{SlotName::morning, {8 * 60}, 30, 60, 6_units},
                  {SlotName::lunch, {12 * 60}, 30, 60, 8_units},
                  {SlotName::supper, {18 * 60}, 30, 60, 7_units}};
    story.order(meal);
    story.shelf.insulins.front().thing.action = shelf::Action::rapid;
    story.pen();
    story.load();
    return story;
  };
  const auto given = [&](std::initializer_list<std::pair<Instant, Units>> doses) {
    auto story = meals();
    const auto line = story.facts.front().id;
    for (const auto& [when, units] : doses) {
      journal::Injected p;
      p.cartridge = cartridge_id;
      p.units = units;
      p.line = line;
      p.slot = when < at(2, 11) ? SlotName::morning : SlotName::lunch;
      story.tell(when, p);
    }
    const auto chart = story.chart();
    const auto found = too_much_of(*chart, story.shelf, chart->order.lines.front(), at(2, 12));
    return found ? found->given : Units::zero();
  };
  EXPECT_EQ(given({{at(2, 8), 6_units}}), 0_units);
  EXPECT_EQ(given({{at(2, 8), 11_units}}), 0_units);
  EXPECT_EQ(given({{at(2, 8), 12_units}}), 12_units) << "twice the dose";
  EXPECT_EQ(given({{at(2, 8), 60_units}}), 60_units);
  EXPECT_EQ(given({{at(2, 8), 13_units}}), 13_units);
  EXPECT_EQ(given({{at(2, 8), 6_units}, {at(2, 8, 50), 6_units}}), 12_units);
  EXPECT_EQ(given({{at(2, 8), 3_units}, {at(2, 8, 5), 3_units}}), 0_units) << "in two parts";
  EXPECT_EQ(given({{at(2, 8), 6_units}, {at(2, 11, 40), 8_units}}), 0_units) << "lunch";
}

TEST(Basal, TooMuchOfAnotherInsulinIsSaidBesideTheNumber_H04_H61) {
  auto story = whole();
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  meal.slots = {{SlotName::supper, {18 * 60}, 30, 60, 20_units}};
  const auto line = story.order(meal);
  const auto other = load_other(story, at(1, 9), meal.insulin, Id{});
  const auto beside = [&](Instant now) {
    const auto chart = story.chart();
    for (const auto& due : order::due_on(chart->order, first_day + days{1}, chart->zone)) {
      if (due.line == line) continue;
      return decide(*chart, {story.shelf, story.stock}, due, {now, 0}).too_much.size();
    }
    return std::size_t{99};
  };
  journal::Injected p;
  p.cartridge = other;
  p.line = line;
  p.slot = SlotName::supper;
  p.units = 20_units;
  story.tell(at(2, 18), p);
  EXPECT_EQ(beside(at(2, 21, 30)), 0U);
  p.units = 60_units;
  story.tell(at(2, 18, 10), p);
  EXPECT_EQ(beside(at(2, 21, 30)), 1U);
  const auto asked = story.tell(at(2, 20), journal::QuestionOpened{line, {}, "60", {}});
  story.tell(at(2, 20, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                      "Dr Amara Osei", "", true});
  EXPECT_EQ(beside(at(2, 21, 30)), 0U);
}

TEST(Basal, TwoLinesForOneHourAreTwoWhateverTheirPurposeAndCapitals_H03_H52) {
  for (const bool meal : {false, true}) {
    auto story = whole();
    auto twin = Story::bedtime();
    twin.insulin = "Insulin Glargine ";
    if (meal) twin.purpose = journal::Purpose::mealtime;
    story.order(twin, at(2, 9));
    EXPECT_EQ(next_of(story).code, codes::two_lines) << meal;
  }
}

// A part told for hours after the night's dose offered its rest as a number.
TEST(Basal, ARestIsNoNumberWhereTheNightsDoseIsOnRecord_H39_H52_H02) {
  for (const auto line_said : {true, false}) {
    auto story = whole();
    const auto line = story.facts.front().id;
    story.inject(at(2, 22), 20_units, line);
    story.partly(at(3, 2), 10_units, line_said ? std::optional(line) : std::nullopt, Outcome::part);
    EXPECT_EQ(next_of(story, at(3, 2, 10)).code, codes::parts_differ) << line_said;
  }
}

// Larger ones than the order allows were held less than smaller ones, and forgotten with the next.
TEST(Basal, MoreThanTheOrderAllowsHoldsWhateverFollowedIt_H04_H58) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.inject(at(2, 21), 36_units, line);
  story.inject(at(2, 22), 20_units, line);
  for (const auto now : {at(2, 23), at(3, 21, 30)})
    EXPECT_EQ(next_of(story, now).code, codes::more_given);
  const auto asked = story.tell(at(3, 9), journal::QuestionOpened{line, {}, "36", {}});
  story.tell(at(3, 9, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                     "Dr Amara Osei", "", true});
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
}

// The wrong pen at midnight: the next meal's number stood there, and the paper said nothing.
TEST(Basal, OfAMealsInsulinItHoldsForAsLongAsItActs_H04_H58) {
  Story story;
  auto meal = Story::bedtime();
  meal.purpose = journal::Purpose::mealtime;
  const auto line = story.order(meal);
  story.pen();
  story.load();
  story.inject(at(1, 22), 36_units, line);
  story.inject(at(1, 23, 50), 20_units, line);
  EXPECT_EQ(next_of(story, at(2, 1)).code, codes::far_too_much);
  // Premixed insulin, and any other that acts for longer than a meal, is looked back for longer.
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::far_too_much);
  story.shelf.insulins.front().thing.action = shelf::Action::rapid;
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
}

TEST(Basal, OfAMealsInsulinSeveralInjectionsAddUp_H04) {
  Story story;
  auto meal = Story::bedtime();
  meal.purpose = journal::Purpose::mealtime;
  const auto line = story.order(meal);
  story.pen();
  story.load();
  for (const int minute : {0, 5, 10, 15}) story.inject(at(2, 18, minute), 20_units, line);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::too_much_together);
  const auto asked = story.tell(at(2, 20), journal::QuestionOpened{line, {}, "80", {}});
  story.tell(at(2, 20, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                      "Dr Amara Osei", "", true});
  EXPECT_NE(next_of(story, at(2, 21, 30)).code, codes::too_much_together);
}

// Typed a few minutes ahead, "low" and "drowsy" held nothing until the minute had come; and set
// back after it, the clock took a hold away.
TEST(Basal, WhatIsDatedAheadOfTheClockHoldsAtOnce_H10_H53_H61) {
  auto story = whole();
  journal::GlucoseNoted low;
  low.value = Glucose{GlucoseUnit::mmol_l, 35};
  story.tell(at(2, 21, 40), low);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::low_on_record);
  story.facts.back().recorded = at(2, 2);
  EXPECT_EQ(next_of(story, at(2, 2)).code, "") << "another day's hour is no slip of the hand";
  auto ill = whole();
  journal::ContactMade call;
  call.outcome = journal::ContactOutcome::reached;
  call.drowsy = journal::YesNo::yes;
  ill.tell(at(2, 21, 40), call);
  EXPECT_EQ(next_of(ill, at(2, 21, 30)).code, codes::drowsy);
  // What says "no" ahead of the clock ends nothing yet.
  call.drowsy = journal::YesNo::no;
  ill.tell(at(2, 21, 50), call);
  EXPECT_EQ(next_of(ill, at(2, 21, 45)).code, codes::drowsy);
  EXPECT_EQ(next_of(ill, at(2, 21, 55)).code, "");
}

TEST(Basal, ByAClockThatWasSetBackThereIsNoNumber_H61_H07) {
  auto story = whole();
  story.facts.back().recorded = at(2, 21, 55);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::clock_back);
  EXPECT_EQ(next_of(story, at(2, 21, 50)).code, "") << "within the slack of two clocks";
  const auto chart = story.chart();
  House ahead{story.shelf, story.stock};
  ahead.by_clock = false;
  EXPECT_EQ(verdict_in(agenda_of(*chart, ahead, {at(2, 21, 30), 0}).next->verdict).code, "");
}

// Their own last entry was of before the false time, and only another person's was not.
TEST(Basal, ByTheLastEntryOfAnybodyAClockThatWasSetBackGivesNobodyANumber_H61_H18_H57) {
  auto story = whole();
  const auto chart = story.chart();
  const auto code_at = [&](std::optional<Instant> last, bool by_clock = true) {
    const House house{
        .shelf = story.shelf, .stock = story.stock, .by_clock = by_clock, .last_recorded = last};
    return verdict_in(agenda_of(*chart, house, {at(2, 21, 30), 0}).next->verdict).code;
  };
  EXPECT_EQ(code_at({}), "") << "a store that does not know";
  EXPECT_EQ(code_at(at(2, 21, 40)), "") << "within the slack of two clocks";
  EXPECT_EQ(code_at(at(2, 21, 41)), codes::clock_back);
  EXPECT_EQ(code_at(at(2, 21, 41), false), "") << "another hour than this machine's";
}

// Two thirds of it are basal insulin, and at midnight nobody was asked whether it was taken.
TEST(Basal, PremixedInsulinThatNobodyRecordedIsAskedAboutToo_H57_H38) {
  Story story;
  auto mixed = Story::bedtime();
  mixed.purpose = journal::Purpose::premixed;
  const auto line = story.order(mixed);
  story.pen();
  story.load();
  story.inject(at(1, 22), 20_units, line);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::unrecorded);
  story.tell(at(3, 8), journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1},
                                             journal::DoseWas::not_taken, ""});
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
}

// The evening's dose ninety minutes after the morning's was the evening's, done, and nothing else.
TEST(Basal, ADoseBeforeItsTimeSoonAfterTheOneBeforeHoldsTheNext_H04_H38) {
  auto story = Story{};
  auto twice = Story::bedtime();
  twice.slots = {{SlotName::breakfast, {7 * 60 + 30}, 60, 60, 14_units},
                 {SlotName::supper, {18 * 60 + 30}, 60, 60, 10_units}};
  const auto line = story.order(twice);
  story.pen();
  story.load();
  const auto give = [&](Instant when, SlotName slot, Units units) {
    journal::Injected p;
    p.cartridge = cartridge_id;
    p.units = units;
    p.line = line;
    p.slot = slot;
    story.tell(when, p);
  };
  give(at(2, 7, 27), SlotName::breakfast, 14_units);
  EXPECT_EQ(next_of(story, at(2, 18)).code, "");
  const auto usual = story;
  give(at(2, 9), SlotName::supper, 10_units);
  EXPECT_EQ(next_of(story, at(3, 7)).code, codes::too_much_together);
  const auto chart = story.chart();
  const auto much = too_soon(*chart, story.shelf, chart->order.lines.front(), at(2, 10));
  ASSERT_TRUE(much);
  EXPECT_EQ(much->given, 24_units);
  EXPECT_EQ(much->most, 14_units);
  EXPECT_EQ(much->when.at, at(2, 7, 27));
  const auto asked = story.tell(at(2, 10), journal::QuestionOpened{line, {}, "24", {}});
  story.tell(at(2, 11), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                  "Dr Amara Osei", "", true});
  EXPECT_EQ(next_of(story, at(3, 7)).code, "");
  // An hour early, and long after the one before, it is early and no more.
  story.facts = usual.facts;
  give(at(2, 16, 30), SlotName::supper, 10_units);
  EXPECT_EQ(next_of(story, at(3, 7)).code, "");
}

// The prescriber had said to keep the dose, and the page asked to ask the prescriber until the
// next evening.
TEST(Basal, WhatNobodyKnowsOfADoseIsOverOnceThePrescriberAnswered_H44_H38) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.partly(at(2, 22), 20_units, line, Outcome::unknown);
  EXPECT_EQ(next_of(story, at(2, 23)).code, order::codes::outcome_unknown);
  const auto asked = story.tell(at(2, 23), journal::QuestionOpened{line, {}, "how much", {}});
  story.tell(at(2, 23, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                      "Dr Amara Osei", "20 tomorrow", true});
  const auto chart = story.chart();
  const auto next = agenda_of(*chart, {story.shelf, story.stock, {}}, {at(2, 23, 45), 0});
  EXPECT_TRUE(next.unrecorded.empty());
  ASSERT_TRUE(next.next);
  EXPECT_EQ(next.next->due.day, first_day + days{2});
  EXPECT_THAT(verdict_in(next.next->verdict).windows, testing::ElementsAre(20_units));
  ASSERT_TRUE(next.next->before);
  EXPECT_EQ(next.next->before->was, Before::Was::amount_unknown);
}

// Ten hours after the night's dose the same once more: 40 units for one day.
TEST(Basal, ASecondDoseOfTheDayHoldsHoweverFarFromTheFirst_H04_H52) {
  auto story = whole();
  const auto line = story.facts.front().id;
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
  story.inject(at(2, 8), 20_units, line);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::more_given);
}

TEST(Basal, AnInsulinThatSomebodyReactsToSeverelyHasNoNumber_H61) {
  auto story = whole();
  journal::AllergyNoted known;
  known.to = "Insulin glargine";
  known.reaction = "anaphylaxis";
  story.tell(at(1, 9), known);
  EXPECT_EQ(next_of(story).code, "") << "not known to be severe: it stands under the name";
  known.severe = journal::YesNo::yes;
  for (const auto* name : {"Insulin glargine", "glargine", "Insulin", "insulin glargine (rash)",
                           "insulin glаrgine", "insulin\u00A0glar\u200Bgine"}) {
    auto typed = story;
    known.to = name;
    typed.tell(at(1, 10), known);
    EXPECT_EQ(next_of(typed).code, codes::allergic) << name;
  }
  for (const auto* name : {"insulin lispro", "penicillin", "plaster"}) {
    auto typed = story;
    known.to = name;
    typed.tell(at(1, 10), known);
    EXPECT_EQ(next_of(typed).code, "") << name;
  }
}

TEST(Basal, TheSameDoseInAnotherStrengthIsOneMore_H03_H52) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.inject(at(2, 22), 20_units, line);
  auto strong = Story::bedtime();
  strong.strength = {300};
  strong.replaces = line;
  const auto anew = story.order(strong, at(2, 23));
  story.pen({300}, Id{0x1A7E, 0x9E5});
  story.inject(at(3, 3), 20_units, anew);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::more_given);
}

TEST(Basal, ACorrectionHasNoNumberAndStandsBeforeNoOtherDose_H10_H11) {
  auto story = whole();
  auto correction = Story::bedtime();
  correction.purpose = journal::Purpose::correction;
  correction.slots.front().at = {21 * 60};
  const auto line = story.order(correction, at(2, 9));
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
  const auto chart = story.chart();
  for (const auto& due : order::due_on(chart->order, first_day + days{1}, chart->zone)) {
    if (due.line != line) continue;
    const auto dose = decide(*chart, {story.shelf, story.stock}, due, {tonight, 0});
    EXPECT_EQ(held(dose.verdict)->error.code, codes::correction);
  }
}

TEST(Basal, TheRestOfALineThatWasReplacedIsAskedAbout_H39_H08) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto part = story.partly(at(2, 22), 8_units, line, Outcome::part);
  auto anew = Story::bedtime();
  anew.replaces = line;
  anew.from = first_day + days{1};
  story.order(anew, at(2, 22, 20));
  EXPECT_EQ(next_of(story, at(2, 22, 30)).code, order::codes::rest_late);
  journal::DoseAnswered said{line, SlotName::bedtime, first_day + days{1},
                             journal::DoseWas::not_taken, ""};
  said.rest_of = part;
  story.tell(at(2, 22, 40), said);
  EXPECT_NE(next_of(story, at(2, 22, 50)).code, order::codes::rest_late);
}

// The next dose's number in this pen is the next dose's matter.
TEST(Basal, ADoseThatTheNextOneCouldNotFollowInThisPenIsDialled_H38_H26) {
  auto story = whole();
  auto& pen = story.shelf.pens.front().thing;
  pen.step = pen.prime = pen.prime_new_cartridge = 5_units;
  std::erase_if(story.facts, [](const Fact& fact) {
    return std::holds_alternative<journal::PenGiven>(fact.payload);
  });
  story.pen();
  auto twice = Story::bedtime();
  twice.slots.insert(twice.slots.begin(), {SlotName::morning, {8 * 60}, 60, 60, 12_units});
  twice.replaces = story.facts.front().id;
  twice.from = first_day + days{1};
  const auto line = story.order(twice, at(2, 7));
  story.tell(at(2, 9), journal::DoseAnswered{line, SlotName::morning, first_day + days{1},
                                             journal::DoseWas::taken, ""});
  EXPECT_EQ(next_of(story).code, "");
  EXPECT_THAT(next_of(story).windows, testing::ElementsAre(20_units));
}

// Ten, thirty-three and twelve units of twenty-two: "this dose is done", and the next number.
TEST(Basal, AnInjectionThatCompletesAFinishedDoseCountsInItsOwnNight_H52_H44) {
  for (const bool rest_first : {false, true}) {
    auto story = whole();
    const auto line = story.facts.front().id;
    const auto before = story.facts.back().id;
    const auto part = story.partly(at(2, 22), 8_units, line, Outcome::part);
    const auto completes = [&](Instant when, Units units, Id which) {
      story.inject(when, units, line);
      std::get<journal::Injected>(story.facts.back().payload).completes = which;
    };
    completes(at(2, 22, rest_first ? 10 : 5), 25_units, before);
    completes(at(2, 22, rest_first ? 5 : 10), 12_units, part);
    EXPECT_EQ(next_of(story, at(2, 22, 30)).code, codes::more_given) << rest_first;
    EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::more_given) << rest_first;
  }
}

}  // namespace
}  // namespace penstock::interlock
