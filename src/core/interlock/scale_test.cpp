// What a cartridge's scale says against the record, and what settles it.
#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;
using journal::DoseWas;
using testing::ElementsAre;

void read(Story& story, Instant when, Units units) {
  story.tell(when, journal::ScaleCounted{cartridge_id, units});
}
void say(Story& story, Instant when, int day, DoseWas was) {
  story.tell(when, journal::DoseAnswered{story.facts.front().id, SlotName::bedtime,
                                         first_day + days{day - 1}, was, ""});
}
constexpr Id new_cartridge{0x1A7E, 0xCB};
void load_new(Story& story, Instant when, Id pen = pen_id) {
  journal::CartridgeLoaded load;
  load.cartridge = new_cartridge;
  load.pen = pen;
  load.copy = story.shelf.insulins.front().thing;
  load.units = load.content = 300_units;
  load.fits = "A";
  load.new_cartridge = true;
  story.tell(when, load);
}
Dose next_dose(const Story& story, const chart::Chart& chart, Instant now) {
  return *agenda_of(chart, {story.shelf, story.stock}, {now, 0}).next;
}

// Another cartridge in the pen, and the number was there again: the dose twice in one night.
TEST(Scale, H59_H07_ADoseThatIsMissingIsAskedAboutWhateverIsInThePenNow) {
  for (const auto read_at : {at(2, 15, 28), tonight + minutes{20}}) {
    auto story = whole();
    read(story, read_at, 258_units);
    load_new(story, read_at + minutes{2});
    EXPECT_EQ(next_of(story, read_at + minutes{3}).code, codes::scale_says_taken);
    const auto chart = story.chart();
    const auto dose = next_dose(story, *chart, read_at + minutes{3});
    EXPECT_EQ(dose.asked_from, cartridge_id);

    auto said = story;
    say(said, read_at + minutes{5}, 2, DoseWas::not_taken);
    EXPECT_EQ(next_of(said, read_at + minutes{6}).code, "");
    auto taken = story;
    taken.inject(read_at - minutes{5}, 20_units, story.facts.front().id);
    EXPECT_NE(next_of(taken, read_at + minutes{6}).code, codes::scale_says_taken);
    // Once the dose's time is over the slot itself is asked about.
    EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::unrecorded);
  }
}

TEST(Scale, H59_H07_APenThatIsGoneTakesNoQuestionWithIt) {
  auto story = whole();
  constexpr Id other_pen{0x1A7E, 0x9E5};
  story.pen({100}, other_pen);
  load_new(story, at(1, 10), other_pen);
  read(story, at(2, 15, 28), 258_units);
  EXPECT_EQ(next_of(story, at(2, 15, 29)).code, codes::scale_says_taken);
  story.tell(at(2, 15, 30), journal::PenEnded{pen_id, journal::PenEnd::broken, ""});
  EXPECT_EQ(next_of(story, at(2, 15, 31)).code, codes::scale_says_taken);
  EXPECT_EQ(next_of(story).code, codes::scale_says_taken);
  say(story, tonight, 2, DoseWas::not_taken);
  EXPECT_EQ(next_of(story).code, "");
}

// Less than a dose is the old cartridge's own matter, and so is what was read before the last one.
TEST(Scale, H38_OfWhatIsOutOfThePenOnlyADoseIsAskedAbout) {
  auto story = whole();
  read(story, at(2, 15), 270_units);
  load_new(story, at(2, 15, 2));
  EXPECT_EQ(next_of(story, at(2, 15, 3)).code, "");
  auto before = whole();
  read(before, at(1, 22, 30), 258_units);
  load_new(before, at(1, 22, 40));
  EXPECT_EQ(next_of(before).code, "");
}

// Two days after "it leaked" the page planned with 166 and held the dose for a reading of 166.
TEST(Scale, H41_H59_AReadingIsHeldAgainstWhatWasLeftAfterASettledDifference) {
  auto story = whole();  // 280 left
  read(story, at(2, 15), 258_units);
  EXPECT_EQ(next_of(story, at(2, 15, 1)).code, codes::scale_says_taken);
  say(story, at(2, 22), 2, DoseWas::not_taken);
  read(story, at(2, 22, 1), 258_units);
  EXPECT_EQ(next_of(story, at(2, 22, 2)).code, "") << "the same again";
  story.inject(at(2, 22, 5), 20_units, story.facts.front().id);
  auto same = story;
  read(same, at(3, 15), 238_units);
  EXPECT_EQ(next_of(same, at(3, 22)).code, "");
  auto less = story;  // a dose is missing from what is left after it
  read(less, at(3, 15), 218_units);
  EXPECT_EQ(next_of(less, at(3, 22)).code, codes::scale_says_taken);
  auto account = story;  // the first reading was the wrong one
  read(account, at(3, 15), 260_units);
  EXPECT_EQ(next_of(account, at(3, 22)).code, "");
}

// Twenty units more than by the record were settled, and a dose went in that nobody recorded.
TEST(Scale, H59_AReadingThatAgreesWithARecordOfLessHidesNoDose) {
  auto story = whole();
  read(story, at(2, 15), 300_units);
  say(story, at(2, 22), 2, DoseWas::not_taken);
  story.inject(at(2, 22, 5), 20_units, story.facts.front().id);  // 260 by the record, 280 in it
  read(story, at(3, 15), 260_units);
  EXPECT_EQ(next_of(story, at(3, 22)).code, codes::scale_says_taken);
}

// The card said "it may be as little as 258. Read the scale", and held the dose for 258.
TEST(Scale, H59_H44_WhatADoseSaidToBeTakenLeftIsNoMissingDose) {
  Story story;
  const auto line = story.order();
  story.pen();
  story.load();
  say(story, at(2, 9), 1, DoseWas::taken);
  const auto least = [](const Story& one) {
    return one.chart()->ledger.cartridge(cartridge_id)->at_least();
  };
  EXPECT_EQ(least(story), 276_units);
  auto taken = story;
  read(taken, at(2, 15), 278_units);
  EXPECT_EQ(next_of(taken).code, "");
  EXPECT_EQ(least(taken), 278_units);
  auto another = story;  // one more
  read(another, at(2, 15), 256_units);
  EXPECT_EQ(next_of(another).code, codes::scale_says_taken);
  EXPECT_FALSE(line.is_nil());
}

// Hours before the dose the one button was "It was taken, and the time is known".
TEST(Scale, H59_H38_OutsideTheWindowTheAnswersAreThereAndNotYetIsNotMissed) {
  auto story = whole();
  read(story, at(2, 15, 28), 258_units);
  const auto chart = story.chart();
  const auto dose = next_dose(story, *chart, at(2, 15, 30));
  const auto* ask = std::get_if<AskFirst>(&dose.verdict);
  ASSERT_NE(ask, nullptr);
  EXPECT_THAT(ask->answers, ElementsAre(Answer::injected, Answer::not_taken))
      << "of a dose that has not come nobody says that it is not known";
  say(story, at(2, 15, 35), 2, DoseWas::not_taken);
  EXPECT_EQ(next_of(story, at(2, 15, 36)).code, "");
  EXPECT_EQ(next_of(story).code, "");
  // What became of tonight's is asked all the same, once it has gone.
  EXPECT_EQ(next_of(story, at(3, 9)).code, codes::unrecorded);
}

TEST(Scale, H59_ThePrescribersAnswerSettlesADifference) {
  auto story = whole();
  read(story, at(2, 15, 28), 258_units);
  const auto asked = story.tell(
      at(2, 15, 30), journal::QuestionOpened{story.facts.front().id, {}, "258 of 280", {}});
  story.tell(at(2, 15, 40),
             journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose, "Dr Osei", "", true});
  EXPECT_EQ(next_of(story).code, "");
}

// Read in the morning with two doses missing: "it was taken" of the night before explained one, and
// the number stood there; entered the other way round, it was asked about.
TEST(Scale, H59_WhatAnAnswerLeavesMissingIsAskedAboutWhicheverCameFirst) {
  const auto said_of_last_night = [](Units counted, DoseWas was) {
    std::vector<std::string> out;
    for (const int reading_at : {9, 11}) {
      auto story = whole();
      story.facts.pop_back();  // of the night nothing is on record
      read(story, at(2, reading_at), counted);
      say(story, at(2, 10), 1, was);
      out.push_back(next_of(story).code);
    }
    return out;
  };
  using testing::Each;
  const std::string missing(codes::scale_differs);
  EXPECT_THAT(said_of_last_night(278_units, DoseWas::taken), Each(""));
  EXPECT_THAT(said_of_last_night(256_units, DoseWas::taken), Each(missing));
  EXPECT_THAT(said_of_last_night(278_units, DoseWas::not_taken), Each(missing));
  EXPECT_THAT(said_of_last_night(300_units, DoseWas::not_taken), Each(""));
}

// Read twice at a dose more than the record: last night's may not have gone in.
TEST(Scale, H59_H57_ADoseMoreThanTheRecordIsNotSettledByReadingItAgain) {
  auto story = whole();
  read(story, at(2, 8), 300_units);
  EXPECT_EQ(next_of(story).code, codes::scale_differs);
  read(story, at(2, 8, 10), 300_units);
  EXPECT_EQ(next_of(story).code, codes::scale_differs);
  auto little = whole();
  read(little, at(2, 8), 288_units);
  read(little, at(2, 8, 10), 288_units);
  EXPECT_EQ(next_of(little).code, "");
  story.tell(at(2, 8, 20), journal::Correction{story.facts.back().id, "", false, nullptr});
  say(story, at(2, 21, 30), 2, DoseWas::not_taken);
  EXPECT_EQ(next_of(story).code, "");
}

}  // namespace
}  // namespace penstock::interlock
