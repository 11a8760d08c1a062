// What went in of basal insulin outside its hours, once more, or under another name.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <tuple>

#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

journal::OrderLineSigned in_the_morning(LocalDay from) {
  auto line = Story::bedtime();
  line.from = line.signed_on = from;
  line.slots = {{SlotName::breakfast, {8 * 60}, 60, 120, 20_units}};
  return line;
}

/// What went in from a cartridge of its own, of another insulin.
void give_of(Story& story, const std::string& insulin, Instant when, Units units,
             shelf::Action action = shelf::Action::long_acting) {
  journal::CartridgeLoaded load;
  load.cartridge = id(story.next++);
  load.copy = story.shelf.insulins.front().thing;
  load.copy.name = insulin;
  load.copy.action = action;
  load.units = load.content = 300_units;
  story.tell(when - minutes{5}, load);
  journal::Injected p;
  p.cartridge = load.cartridge;
  p.units = units;
  story.tell(when, p);
}
constexpr auto unordered = "insulin of nobody's order";

// Recorded at five past ten in the evening as the injection of the next morning, on the card.
TEST(Lately, ADoseOfTheEveningBeforeThatIsRecordedAsThisOneMayBeIt_H52_H07) {
  const auto given_at = [](Instant when, bool named) {
    Story story;
    const auto line = story.order(in_the_morning(first_day + days{2}), at(2, 17));
    story.pen();
    story.load();
    journal::Injected p;
    p.cartridge = cartridge_id;
    p.units = 20_units;
    if (named) p.line = line, p.slot = SlotName::breakfast;
    story.tell(when, p);
    return story;
  };
  for (const bool named : {true, false}) {
    EXPECT_EQ(next_of(given_at(at(2, 22, 5), named), at(3, 7, 50)).code,
              order::codes::taken_perhaps);
    EXPECT_EQ(next_of(given_at(at(2, 23, 30), named), at(3, 7, 50)).code,
              order::codes::taken_perhaps);
  }
}

// The morning's was not taken, and it was made up for shortly before midnight.
TEST(Lately, ADoseOutsideItsHoursHoldsTheNextOneForTenHours_H52_H07_H38) {
  Story story;
  const auto line = story.order(in_the_morning(first_day));
  story.pen();
  story.load();
  story.tell(at(2, 12), journal::DoseAnswered{line, SlotName::breakfast, first_day + days{1},
                                              journal::DoseWas::not_taken, ""});
  journal::Injected p;
  p.cartridge = cartridge_id;
  p.units = 20_units;
  p.line = line;
  p.slot = SlotName::breakfast;
  story.tell(at(2, 23, 50), p);
  EXPECT_EQ(next_of(story, at(3, 7, 50)).code, codes::basal_lately);
  EXPECT_EQ(next_of(story, at(3, 9, 49)).code, codes::basal_lately);
  EXPECT_EQ(next_of(story, at(3, 9, 50)).code, "");
  const auto asked = story.tell(at(3, 7), journal::QuestionOpened{line, {}, "late", {}});
  story.tell(at(3, 7, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                     "Dr Amara Osei", "", true});
  EXPECT_EQ(next_of(story, at(3, 7, 50)).code, "");
}

// Two at two in the afternoon, "that was this dose", and tomorrow's number stood there.
TEST(Lately, WhatIsTooMuchTogetherIsNotSettledByAnAnswer_H04_H52_H07) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.inject(at(2, 14), 20_units, {});
  story.inject(at(2, 14, 10), 20_units, {});
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, order::codes::taken_perhaps);
  story.tell(at(2, 14, 15), journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1},
                                                  journal::DoseWas::taken, ""});
  EXPECT_EQ(next_of(story, at(2, 14, 20)).code, codes::more_given);
  EXPECT_EQ(next_of(story, at(3, 8)).code, codes::more_given);
  // Given in spite of a hold: it is no answer.
  auto third = whole();
  third.inject(at(1, 23, 35), 20_units, {});
  third.inject(at(2, 8, 30), 20_units, {});
  third.inject(at(2, 22, 20), 20_units, third.facts.front().id);
  EXPECT_EQ(next_of(third, at(3, 21, 30)).code, codes::more_given);
}

// Of an order with twenty and ten the ten went in once more between them.
TEST(Lately, AnExtraDoseBetweenTwoOfTheDayIsAskedAboutHoweverEarly_H52_H04) {
  const auto said = [](journal::Purpose purpose, Instant extra, Units units) {
    Story story;
    auto twice = Story::bedtime();
    twice.purpose = purpose;
    twice.slots = {{SlotName::breakfast, {8 * 60}, 60, 60, 20_units},
                   {SlotName::supper, {20 * 60}, 60, 60, 10_units}};
    const auto line = story.order(twice);
    story.pen();
    story.load();
    const auto give = [&](Instant when, Units of, std::optional<SlotName> slot) {
      journal::Injected p;
      p.cartridge = cartridge_id;
      p.units = of;
      p.line = line;
      p.slot = slot;
      story.tell(when, p);
    };
    give(at(1, 20, 5), 10_units, SlotName::supper);
    give(at(2, 8, 5), 20_units, SlotName::breakfast);
    give(extra, units, {});
    return next_of(story, at(2, 19, 55)).code;
  };
  for (const auto purpose : {journal::Purpose::background, journal::Purpose::premixed}) {
    for (const int minute : {12 * 60 + 5, 13 * 60, 13 * 60 + 30, 14 * 60})
      EXPECT_EQ(said(purpose, at(2, 0) + minutes{minute}, 10_units), order::codes::taken_perhaps)
          << minute;
    EXPECT_NE(said(purpose, at(2, 8, 30), 10_units), "");
  }
}

// The insulin that begins tomorrow went in tonight, or the one before it after its end.
TEST(Lately, WhatTakesItsPlaceOrHadItMayBeTonightsDose_H04_H08) {
  auto story = whole();
  auto mixed = Story::bedtime();
  mixed.insulin = "insulin aspart 30/70";
  mixed.purpose = journal::Purpose::premixed;
  mixed.slots = {{SlotName::breakfast, {8 * 60}, 60, 60, 24_units},
                 {SlotName::supper, {18 * 60}, 60, 60, 12_units}};
  mixed.replaces = story.facts.front().id;
  mixed.from = mixed.signed_on = first_day + days{2};
  const auto line = story.order(mixed, at(2, 15));
  const auto before = story.facts;
  for (const auto when : {at(2, 18), at(2, 21, 50)}) {
    story.facts = before;
    give_of(story, mixed.insulin, when, 24_units);
    EXPECT_EQ(next_of(story, at(2, 21, 55)).code, order::codes::taken_perhaps);
  }
  story.facts = before;
  journal::Injected p;
  p.cartridge = id(77);
  p.line = line;
  story.inject(at(2, 22), 20_units, story.facts.front().id);
  for (const auto& [when, units, slot] : {std::tuple{at(3, 8), 24_units, SlotName::breakfast},
                                          {at(3, 18), 12_units, SlotName::supper}}) {
    p.units = units;
    p.slot = slot;
    story.tell(when, p);
  }
  EXPECT_EQ(next_of(story, at(4, 7, 50)).code, codes::no_pen) << "as ordered";
  give_of(story, "insulin glargine", at(3, 22, 5), 20_units);
  EXPECT_EQ(next_of(story, at(4, 7, 50)).code, codes::basal_lately);
}

// From a hospital's pen, in the hours of the dose and of another amount.
TEST(Lately, AnotherAmountFromAnUnknownPenHoldsAsFromTheOwn_H13_H02_H04) {
  const auto said = [](Units units) {
    auto story = whole();
    story.inject_unknown(at(2, 22), units);
    return next_of(story, at(3, 21, 30)).code;
  };
  EXPECT_EQ(said(12_units), codes::less_given);
  EXPECT_EQ(said(38_units), codes::more_given);
  EXPECT_EQ(said(20_units), "");
}

// The line was corrected to another name of the same hour, or the part that it was the rest of was
// struck out, and the whole dose came back.
TEST(Lately, WhatWasSaidOutlivesTheTimeOfDayOrThePartThatItWasSaidOf_H07_H52_H39) {
  for (const auto was : {journal::DoseWas::taken, journal::DoseWas::not_known}) {
    auto story = whole();
    const auto line = story.facts.front().id;
    story.tell(at(2, 22, 5),
               journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1}, was, ""});
    auto anew = Story::bedtime();
    anew.slots.front().slot = SlotName::night;
    story.tell(at(2, 22, 10),
               journal::Correction{line, "slip", false,
                                   std::make_shared<const journal::Replacement>(
                                       journal::Replacement{{at(1, 8), 0}, 0, anew})});
    story.tell(at(2, 22, 12), journal::OrderLineChecked{line, "Tom Reyes", {}});
    EXPECT_EQ(next_of(story, at(2, 22, 15)).code, order::codes::taken_perhaps);

    auto parts = whole();
    const auto first = parts.partly(at(2, 22), 8_units, line, Outcome::part);
    journal::DoseAnswered rest{line, SlotName::bedtime, first_day + days{1}, was, ""};
    rest.rest_of = first;
    parts.tell(at(2, 22, 5), rest);
    parts.tell(at(2, 22, 10), journal::Correction{first, "it did not happen", false, nullptr});
    EXPECT_EQ(next_of(parts, at(2, 22, 15)).code, order::codes::taken_perhaps);
  }
}

// A pen was given, and nobody recorded what was loaded into it.
TEST(Lately, WhereOnlyAPenWasGivenWhatIsNotRecordedIsAskedAbout_H57) {
  Story story;
  story.order();
  story.pen();
  story.supplies(3, "L1", {});
  EXPECT_EQ(next_of(story, at(1, 21, 30)).code, "");
  EXPECT_NE(next_of(story, at(2, 8)).code, "");
}

// Eight of twenty were struck out and the rest of twelve left: it was asked about that evening, and
// the next one's number stood there.
TEST(Lately, ARestWhosePartWasStruckOutIsAskedAboutUntilSomebodySaysWhatItWas_H39_H57) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto part = story.partly(at(2, 22), 8_units, line, Outcome::part);
  journal::Injected rest;
  rest.cartridge = cartridge_id;
  rest.units = 12_units;
  rest.line = line;
  rest.completes = part;
  story.tell(at(2, 22, 10), rest);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
  story.tell(at(2, 22, 20), journal::Correction{part, "not hers", false, nullptr});
  EXPECT_EQ(next_of(story, at(2, 22, 30)).code, order::codes::taken_perhaps);
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::unrecorded);
}

// The line was struck out, and the cartridge counted on what had been taken of it.
TEST(Lately, WhatWasTakenOfALineThatWasStruckOutMayBeGoneFromTheCartridge_H02_H07) {
  const auto left = [](journal::DoseWas was) {
    auto story = whole();
    const auto line = story.facts.front().id;
    story.tell(at(2, 22, 5),
               journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1}, was, ""});
    story.tell(at(2, 22, 10), journal::Correction{line, "wrong copy", false, nullptr});
    return story.chart()->ledger.cartridge(cartridge_id)->at_least();
  };
  EXPECT_EQ(left(journal::DoseWas::not_taken), 280_units);
  EXPECT_LE(left(journal::DoseWas::taken), 260_units);
  EXPECT_LE(left(journal::DoseWas::not_known), 260_units);
}

// Twenty-four of a basal insulin that was never ordered, and tonight's number without a word.
TEST(Lately, ABasalInsulinThatNobodyOrderedActsBesideTheOrderedOne_H04_H52) {
  using shelf::Action;
  for (const auto action : {Action::long_acting, Action::intermediate, Action::premixed}) {
    const auto said = [&](Instant when) {
      auto story = whole();
      give_of(story, unordered, when, 24_units, action);
      return next_of(story, at(2, 21, 30)).code;
    };
    EXPECT_EQ(said(at(2, 15)), order::codes::taken_perhaps);
    EXPECT_EQ(said(at(2, 9)), codes::basal_lately);
    EXPECT_NE(said(at(2, 1)), "");
  }
  auto meal = whole();
  give_of(meal, unordered, at(2, 15), 5_units, Action::rapid);
  EXPECT_EQ(next_of(meal, at(2, 21, 30)).code, "");
  // Its line was struck out, and the other one's number came back.
  auto struck = whole();
  auto anew = Story::bedtime();
  anew.insulin = unordered;
  const auto line = struck.order(anew, at(2, 9));
  give_of(struck, unordered, at(2, 15), 24_units, Action::long_acting);
  struck.tell(at(2, 16), journal::Correction{line, "wrong copy", false, nullptr});
  EXPECT_EQ(next_of(struck, at(2, 21, 30)).code, order::codes::taken_perhaps);
  // Once its hour is over somebody is asked what became of the dose that was ordered.
  auto gone = whole();
  give_of(gone, unordered, at(2, 21), 24_units, Action::long_acting);
  EXPECT_EQ(next_of(gone, at(3, 9)).code, order::codes::swapped);
}

// Held in the morning; a part was recorded, and its rest had a number.
TEST(Lately, WhatHoldsADoseHoldsTheRestOfAPartOfItToo_H39_H04) {
  const auto rest_after = [](Instant extra, Units units) {
    auto story = whole();
    const auto line = story.facts.front().id;
    if (!units.is_zero()) story.inject(extra, units, {});
    story.partly(at(2, 21, 30), 12_units, line, Outcome::part);
    return next_of(story, at(2, 21, 40)).code;
  };
  EXPECT_EQ(rest_after(at(2, 6, 41), Units::zero()), "");
  EXPECT_EQ(rest_after(at(2, 6, 41), 20_units), codes::more_given);
  EXPECT_EQ(rest_after(at(1, 22, 1), 25_units), codes::more_given);
  auto two = whole();
  auto second = Story::bedtime();
  second.slots.front().units = 24_units;
  two.order(second, at(2, 9));
  EXPECT_EQ(next_of(two, at(2, 21, 35)).code, codes::two_lines);
  two.partly(at(2, 21, 30), 12_units, two.facts.front().id, Outcome::part);
  EXPECT_EQ(next_of(two, at(2, 21, 40)).code, order::codes::taken_perhaps) << "of the other line";
}

TEST(Lately, TwoBasalInsulinsForOneHourAreAskedAbout_H03_H04) {
  auto story = whole();
  auto other = Story::bedtime();
  other.insulin = "insulin degludec";
  story.order(other, at(2, 9));
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::two_lines);
}

// "Keep the dose" of the morning settled what was recorded at noon.
TEST(Lately, AnAnswerSettlesWhatWasOnRecordByThenAndWasAskedAbout_H37_H04) {
  const auto kept = [](journal::QuestionReason reason, Instant extra, Instant recorded) {
    auto story = whole();
    const auto line = story.facts.front().id;
    const auto record = [&] {
      story.inject(extra, 20_units, {});
      story.facts.back().recorded = recorded;
    };
    if (recorded < at(2, 8)) record();
    const auto asked = story.tell(at(2, 8), journal::QuestionOpened{line, reason, "lows", {}});
    story.tell(at(2, 8, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                       "Dr Amara Osei", "", true});
    if (recorded > at(2, 8)) record();
    return next_of(story, at(2, 21, 30)).code;
  };
  using Reason = journal::QuestionReason;
  EXPECT_EQ(kept(Reason::lows, at(1, 23, 40), at(1, 23, 40)), "");
  EXPECT_EQ(kept(Reason::lows, at(1, 23, 40), at(2, 10)), codes::more_given);
  EXPECT_EQ(kept(Reason::hardened_tissue, at(1, 23, 40), at(1, 23, 40)), codes::more_given);
  EXPECT_EQ(kept(Reason::other, at(2, 7, 50), at(2, 15)), codes::more_given);
}

// The clock of whoever recorded it ran three minutes ahead.
TEST(Lately, ADoseOfSomeMinutesAheadIsInAlready_H07_H61) {
  auto story = whole();
  give_of(story, unordered, at(2, 22, 8), 20_units, shelf::Action::long_acting);
  story.facts.back().recorded = at(2, 22, 5);
  EXPECT_NE(next_of(story, at(2, 22, 5)).code, "");
}

}  // namespace
}  // namespace penstock::interlock
