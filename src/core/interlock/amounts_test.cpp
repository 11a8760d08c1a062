// How much went in against what was ordered: on the day of a change, above the slot, too late, and
// as a rest that nobody knew of.
#include "core/interlock/amounts/amounts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "core/interlock/amounts/went_in.hpp"
#include "core/interlock/internal/for_tests.hpp"

namespace penstock::interlock {
namespace {

using namespace for_tests;

/// Given as the version before ordered it, and the new one holds from that day on.
struct Change {
  journal::Purpose purpose = journal::Purpose::background;
  std::vector<journal::Slot> before, after;
  Instant checked{};
  LocalDay from = first_day + days{1};
};
journal::Slot slot(SlotName name, std::int16_t minutes, Units units) {
  return {name, {minutes}, 60, 120, units};
}
Story changed(const Change& change) {
  Story story;
  auto line = Story::bedtime();
  line.purpose = change.purpose;
  line.least_units = line.most_units = Units::zero();
  line.slots = change.before;
  const auto old = story.order(line, at(1, 6));
  story.pen();
  story.load();
  for (const int day : {1, 2}) {
    for (const auto& each : change.before) {
      journal::Injected p;
      p.cartridge = cartridge_id;
      p.units = each.units;
      p.line = old;
      p.slot = each.slot;
      const auto when = at(day, each.at.minutes / 60, each.at.minutes % 60);
      if (when < change.checked) story.tell(when, p);
    }
  }
  line.slots = change.after;
  line.order_version = 2;
  line.replaces = old;
  line.from = change.from;
  line.signed_on = first_day + days{1};
  story.order(line, change.checked);
  return story;
}

// Twelve this morning and sixteen last night, as ordered, held back the evening's basal insulin.
TEST(Amounts, WhatTheVersionBeforeOrderedIsNotTooMuchUnderTheNextOne_H38_H08) {
  const Change fewer{
      journal::Purpose::background,
      {slot(SlotName::morning, 8 * 60, 12_units), slot(SlotName::bedtime, 22 * 60, 16_units)},
      {slot(SlotName::bedtime, 22 * 60, 20_units)},
      at(2, 10)};
  EXPECT_EQ(next_of(changed(fewer), at(2, 21, 30)).code, "");
  auto later = fewer;
  later.after.front().units = 10_units;
  EXPECT_EQ(next_of(changed(later), at(2, 21, 30)).code, "");
  const Change mixed{journal::Purpose::premixed,
                     {slot(SlotName::morning, 7 * 60 + 30, 20_units),
                      slot(SlotName::supper, 18 * 60 + 30, 14_units)},
                     {slot(SlotName::supper, 18 * 60 + 30, 30_units)},
                     at(2, 10)};
  EXPECT_EQ(next_of(changed(mixed), at(2, 18)).code, "");
  // The same morning's dose by a card that was out of date since the night before is too much.
  auto known = changed(fewer);
  const auto is_check = [](const Fact& fact) {
    return std::holds_alternative<journal::OrderLineChecked>(fact.payload);
  };
  const auto copy = std::ranges::find_if(known.facts, [](const Fact& fact) {
    const auto* line = std::get_if<journal::OrderLineSigned>(&fact.payload);
    return line != nullptr && line->replaces;
  });
  copy->happened = {at(1, 23), 0};
  std::ranges::find_if(copy, known.facts.end(), is_check)->happened = {at(1, 23), 0};
  EXPECT_EQ(next_of(known, at(2, 21, 30)).code, codes::more_given);
}

TEST(Amounts, ASecondDoseUnderTheNewVersionIsOneMoreAllTheSame_H07_H08) {
  auto story = changed(
      {journal::Purpose::background,
       {slot(SlotName::morning, 8 * 60, 12_units), slot(SlotName::bedtime, 22 * 60, 16_units)},
       {slot(SlotName::morning, 8 * 60, 8_units), slot(SlotName::bedtime, 22 * 60, 10_units)},
       at(2, 10)});
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
  journal::Injected again;
  again.cartridge = cartridge_id;
  again.units = 12_units;
  again.line = story.facts[story.facts.size() - 2].id;
  again.slot = SlotName::morning;
  story.tell(at(2, 11), again);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::more_given);
}

// Today said "20 units went in, more than the 13" of last night's twenty, which were ordered.
TEST(Amounts, ALowerDoseMakesNothingOfTheLastOneThatWasRight_H38_H08) {
  for (const auto from : {first_day + days{1}, first_day + days{2}}) {
    Change less{journal::Purpose::background,
                {slot(SlotName::bedtime, 22 * 60, 20_units)},
                {slot(SlotName::bedtime, 22 * 60, 13_units)},
                at(2, 10),
                from};
    const auto story = changed(less);
    const auto chart = story.chart();
    for (const auto& line : chart->order.lines)
      EXPECT_FALSE(too_much_of(*chart, story.shelf, line, at(2, 11)));
    EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
  }
  auto slip = changed({journal::Purpose::background,
                       {slot(SlotName::bedtime, 22 * 60, 20_units)},
                       {slot(SlotName::bedtime, 22 * 60, 13_units)},
                       at(2, 10)});
  slip.inject(at(2, 22), 20_units, slip.facts[slip.facts.size() - 2].id);
  const auto chart = slip.chart();
  const auto much = too_much_of(*chart, slip.shelf, chart->order.lines.back(), at(2, 23));
  ASSERT_TRUE(much);
  EXPECT_EQ(much->most, 13_units);
}

// The night's twenty and ten more the next morning: "30 units are on record for Monday 22:00".
TEST(Amounts, WhatAddsUpIsSaidSinceItsFirstHour_H07_H58) {
  auto story = whole();
  const auto line = story.facts.front().id;
  story.inject(at(2, 8), 20_units, line);
  const auto chart = story.chart();
  const auto next = agenda_of(*chart, {story.shelf, story.stock}, {at(2, 21, 30), 0}).next;
  ASSERT_TRUE(next);
  const auto* why = held(next->verdict);
  ASSERT_TRUE(why);
  for (const auto& said : {arg_units("given", 40_units), arg_units("dose", 20_units),
                           arg_instant("since", {at(1, 22), 0})})
    EXPECT_THAT(why->error.args, testing::Contains(said)) << said.name;
}

// It was asked about when it was typed, and stood nowhere after that.
TEST(Amounts, ADoseFarAboveItsSlotWithinTheLimitsIsSaidAndHoldsNothing_H04_H38) {
  const auto said = [](const Story& story) {
    const auto chart = story.chart();
    const auto found =
        above_slot(chart->order, chart->order.lines.back(), chart->zone, at(1, 23), at(3, 21));
    return found ? std::optional(std::pair{found->given, found->ordered}) : std::nullopt;
  };
  auto story = whole();
  const auto line = story.facts.front().id;
  auto usual = story;
  usual.inject(at(2, 22), 25_units, line);
  EXPECT_EQ(said(usual), std::nullopt) << "a quarter";
  story.inject(at(2, 22), 28_units, line);
  EXPECT_EQ(said(story), std::pair(28_units, 20_units));
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, "");
  const auto asked = story.tell(at(3, 9), journal::QuestionOpened{line, {}, "28", {}});
  story.tell(at(3, 9, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                     "Dr Amara Osei", "", true});
  EXPECT_EQ(said(story), std::nullopt);
  const auto raised = changed({journal::Purpose::background,
                               {slot(SlotName::bedtime, 22 * 60, 28_units)},
                               {slot(SlotName::bedtime, 22 * 60, 20_units)},
                               at(2, 23)});
  EXPECT_EQ(said(raised), std::nullopt) << "as the version before ordered it";
}

// The morning's dose at a quarter to three, and the evening's number four hours later.
TEST(Amounts, ALateDoseSoCloseToTheNextIsSaidBesideIt_H07_H38) {
  const auto lately = [](Instant given) {
    auto story = changed({journal::Purpose::background,
                          {slot(SlotName::morning, 7 * 60 + 10, 16_units),
                           slot(SlotName::supper, 18 * 60 + 40, 10_units)},
                          {},
                          at(1, 7)});
    std::erase_if(story.facts, [](const Fact& fact) {
      const auto* line = std::get_if<journal::OrderLineSigned>(&fact.payload);
      return line != nullptr && line->replaces;
    });
    journal::Injected dose;
    dose.cartridge = cartridge_id;
    dose.units = 16_units;
    dose.line = story.facts.front().id;
    dose.slot = SlotName::morning;
    story.tell(given, dose);
    const auto chart = story.chart();
    for (const auto& due : order::due_on(chart->order, first_day, chart->zone)) {
      if (due.name != SlotName::supper) continue;
      const auto next = decide(*chart, {story.shelf, story.stock}, due, {at(1, 18), 0});
      return next.lately ? std::optional(next.lately->when.at) : std::nullopt;
    }
    return std::optional<Instant>();
  };
  EXPECT_EQ(lately(at(1, 14, 45)), at(1, 14, 45));
  EXPECT_EQ(lately(at(1, 9)), std::nullopt);
}

// Five, and then the missing three: "Phone the prescriber before this dose".
TEST(Amounts, AsMuchAsWasMissingIsTheRestThatNobodyKnewOf_H39_H38) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto part = story.partly(at(2, 22), 12_units, line, Outcome::part);
  journal::DoseAnswered said{line, SlotName::bedtime, first_day + days{1},
                             journal::DoseWas::not_known, ""};
  said.rest_of = part;
  story.tell(at(2, 22, 50), said);
  EXPECT_EQ(next_of(story, at(2, 23)).code, order::codes::not_known);
  story.inject(at(2, 22, 20), 8_units, line);
  EXPECT_EQ(next_of(story, at(2, 23)).code, "");
  EXPECT_THAT(next_of(story, at(3, 21, 30)).windows, testing::ElementsAre(20_units));
}

std::string told_of(const Story& story, Instant now) {
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock, {}}, {now, 0});
  const auto* why = agenda.next ? held(agenda.next->verdict) : nullptr;
  if (why == nullptr) return "";
  return std::ranges::find(why->error.args, "insulin", &Arg::name)->text;
}

// A hundred and fifty units from another person's pen: twenty more were shown, and no word of it.
TEST(Amounts, WhatCameFromNoPenOfTheRecordCountsWithBasalInsulin_H13_H52) {
  for (const auto when : {at(1, 20), at(1, 23, 30), at(2, 8)}) {
    auto story = whole();
    EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
    story.inject_unknown(when, 48_units);
    EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::more_given);
    EXPECT_EQ(told_of(story, at(2, 21, 30)), "insulin/partly_known");
    // Told by whoever prescribes, or struck out as a slip.
    auto slip = story;
    slip.tell(at(2, 9), journal::Correction{story.facts.back().id, "not hers", false, nullptr});
    EXPECT_EQ(next_of(slip, at(2, 21, 30)).code, "");
    const auto line = story.facts.front().id;
    const auto asked = story.tell(at(2, 9), journal::QuestionOpened{line, {}, "48", {}});
    story.tell(at(2, 9, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                       "Dr Amara Osei", "", true});
    EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
  }
}

// An answer that was given before it went in is an answer to something else.
TEST(Amounts, AnAnswerBeforeWhatWentInAfterTheSlotSettlesNothing_H52_H37) {
  auto story = whole();
  const auto line = story.facts.front().id;
  const auto asked = story.tell(at(1, 22, 30), journal::QuestionOpened{line, {}, "lows", {}});
  story.tell(at(1, 22, 40), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                      "Dr Amara Osei", "", true});
  story.inject_unknown(at(1, 23, 30), 48_units);
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::more_given);
}

TEST(Amounts, WhatCameFromNoPenOfTheRecordCountsWithAMealsInsulin_H13_H52) {
  const auto meal_of = [](Units units, bool divided) {
    Story story;
    auto meal = Story::bedtime();
    meal.purpose = journal::Purpose::mealtime;
    story.order(meal);
    story.pen();
    story.load();
    story.inject(at(1, 22), 20_units, story.facts.front().id);
    story.inject_unknown(at(2, 17), divided ? 30_units : units);
    if (divided) story.inject_unknown(at(2, 17, 5), checked_sub(units, 30_units).value());
    return story;
  };
  EXPECT_EQ(next_of(meal_of(10_units, false), at(2, 21, 30)).code, "");
  EXPECT_EQ(next_of(meal_of(60_units, false), at(2, 21, 30)).code, codes::far_too_much);
  EXPECT_EQ(told_of(meal_of(60_units, false), at(2, 21, 30)), "insulin/not_known");
  EXPECT_EQ(next_of(meal_of(60_units, true), at(2, 21, 30)).code, codes::too_much_together);
  EXPECT_EQ(told_of(meal_of(60_units, true), at(2, 21, 30)), "insulin/partly_known");
}

// A single one of basal insulin holds nothing: it is said beside the number, and once.
TEST(Amounts, WhatMayBeAnyInsulinIsSaidOnceBesideABasalNumber_H13_H58) {
  Story story;
  const auto basal = story.order();
  auto meal = Story::bedtime();
  meal.insulin = "insulin lispro";
  meal.purpose = journal::Purpose::mealtime;
  story.order(meal);
  story.inject_unknown(at(2, 8), 48_units);
  const auto chart = story.chart();
  const auto found = too_much_of_others(*chart, story.shelf, *chart->order.line(basal), at(2, 12));
  ASSERT_EQ(found.size(), 1U);
  EXPECT_EQ(found.front().given, 48_units);
  EXPECT_EQ(found.front().of, of_unknown);
}

// "Night" at a quarter past midnight, given the afternoon before: it was offered again.
TEST(Amounts, ADoseOfTheSmallHoursThatWentInTheDayBeforeIsThatNights_H07) {
  const auto next_slot = [](Instant when, Instant now) {
    Story story;
    auto line = Story::bedtime();
    line.least_units = 6_units;
    line.slots = {slot(SlotName::lunch, 11 * 60, 12_units), slot(SlotName::night, 15, 8_units)};
    const auto id = story.order(line);
    story.pen();
    story.load();
    const auto inject = [&](Instant then, SlotName name, Units units) {
      story.inject(then, units, id);
      std::get<journal::Injected>(story.facts.back().payload).slot = name;
    };
    inject(at(2, 0, 15), SlotName::night, 8_units);
    inject(at(2, 11), SlotName::lunch, 12_units);
    inject(when, SlotName::night, 8_units);
    const auto chart = story.chart();
    const auto agenda = agenda_of(*chart, {story.shelf, story.stock, {}}, {now, 0});
    return agenda.next ? agenda.next->due.at.at : Instant{};
  };
  EXPECT_EQ(next_slot(at(2, 15, 27), at(2, 15, 30)), at(3, 11));
  EXPECT_EQ(next_slot(at(2, 15, 27), at(3, 0, 16)), at(3, 11));
  EXPECT_EQ(next_slot(at(2, 23, 50), at(3, 0, 16)), at(3, 11));
  // Late in the morning it was last night's.
  EXPECT_EQ(next_slot(at(2, 9), at(2, 15, 30)), at(3, 0, 15));
}

// Two basal doses from pens that are not on the record held tonight's, and Today said nothing.
TEST(Amounts, TwoDosesThatAreNoSlotsOwnAreTooMuchBeforeTheNextOne_H52_H32) {
  auto story = whole();
  const auto much = [&](Instant now) {
    const auto chart = story.chart();
    return too_much_of(*chart, story.shelf, chart->order.lines.front(), now);
  };
  story.inject_unknown(at(2, 8), 20_units);
  story.inject_unknown(at(2, 9), 20_units);
  const auto found = much(at(2, 9, 30));
  ASSERT_TRUE(found);
  EXPECT_EQ(found->of, "insulin/partly_known");
  EXPECT_EQ(found->given, 60_units) << "with the night's own";
  EXPECT_EQ(next_of(story, at(2, 21, 30)).code, codes::more_given);
  EXPECT_FALSE(much(at(1, 23)));
  // Tonight's own, while its window lasts, is no second one of last night's.
  auto plain = whole();
  plain.inject(at(2, 22, 5), 20_units, plain.facts.front().id);
  const auto chart = plain.chart();
  EXPECT_FALSE(too_much_of(*chart, plain.shelf, chart->order.lines.front(), at(2, 22, 5)));
}

// Eight of twenty were missing, and eight of the meal's insulin had gone in since.
TEST(Amounts, AsMuchAsTheRestOfAnotherInsulinMayBeTheRest_H04_H39) {
  const auto said = [](Units units, bool is_ordered, bool is_answered) {
    auto story = whole();
    const auto line = story.facts.front().id;
    auto meal = Story::bedtime();
    meal.insulin = "insulin lispro";
    meal.purpose = journal::Purpose::mealtime;
    meal.slots = {{SlotName::supper, {18 * 60}, 30, 60, is_ordered ? 8_units : 14_units}};
    meal.least_units = meal.most_units = meal.slots.front().units;
    story.order(meal);
    story.partly(at(2, 22), 12_units, line, Outcome::part);
    journal::CartridgeLoaded load;
    load.cartridge = Id{7, 8};
    load.copy = story.shelf.insulins.front().thing;
    load.copy.name = meal.insulin;
    load.units = load.content = 300_units;
    story.tell(at(1, 9), load);
    journal::Injected other;
    other.cartridge = load.cartridge;
    other.units = units;
    story.tell(at(2, 22, 5), other);
    if (is_answered) {
      const auto asked = story.tell(at(2, 22, 6), journal::QuestionOpened{line, {}, "8", {}});
      story.tell(at(2, 22, 8), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                         "Dr Amara Osei", "", true});
    }
    return next_of(story, at(2, 22, 10)).code;
  };
  EXPECT_EQ(said(8_units, false, false), order::codes::swapped);
  EXPECT_EQ(said(8_units, false, true), "");
  EXPECT_EQ(said(8_units, true, false), "") << "that insulin's own dose";
  EXPECT_EQ(said(3_units, false, false), "");
}

// Last night's was answered "taken", twenty more went in at half past six, and tonight's was shown.
TEST(Amounts, ADoseThatWasSaidToBeTakenCountsWithWhatWentIn_H07_H52) {
  const auto said_of_tonight = [](std::optional<journal::DoseWas> was, bool is_injected) {
    auto story = whole();
    const auto line = story.facts.front().id;
    if (is_injected) story.inject(at(2, 22), 20_units, line);
    if (was) {
      story.tell(at(2, 22, 15),
                 journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1}, *was, ""});
    }
    story.inject(at(3, 6, 30), 20_units, {});
    return next_of(story, at(3, 21, 30)).code;
  };
  EXPECT_EQ(said_of_tonight({}, true), codes::more_given);
  EXPECT_EQ(said_of_tonight(journal::DoseWas::taken, false), codes::more_given);
  EXPECT_EQ(said_of_tonight(journal::DoseWas::not_taken, false), "") << "it was that dose, late";
}

// Held for "taken", and after "not known" the last units of the cartridge were planned with.
TEST(Amounts, WhatNobodyKnowsOfIsNotCountedOnInTheCartridge_H02_H44) {
  const auto left_after = [](journal::DoseWas was) {
    Story story;
    const auto line = story.order();
    story.pen();
    story.load(62_units);
    story.inject(at(1, 22), 20_units, line);
    story.tell(at(3, 9),
               journal::DoseAnswered{line, SlotName::bedtime, first_day + days{1}, was, ""});
    return next_of(story, at(3, 21, 30)).code;
  };
  EXPECT_EQ(left_after(journal::DoseWas::taken), codes::left_uncertain);
  EXPECT_EQ(left_after(journal::DoseWas::not_known), codes::left_uncertain);
  EXPECT_EQ(left_after(journal::DoseWas::not_taken), "");
}

// Raised or lowered after tonight's dose had gone in: nothing of it is missing, or was too much.
TEST(Amounts, ADoseAsTheOrderHadItWhenItWentInIsNeitherMoreNorLess_H08_H38) {
  const auto changed_to = [](Units units, Units given, Instant checked) {
    auto story = whole();
    const auto old = story.facts.front().id;
    story.inject(at(2, 22), given, checked < at(2, 22) ? std::nullopt : std::optional(old));
    auto anew = Story::bedtime();
    anew.slots.front().units = units;
    anew.order_version = 2;
    anew.replaces = old;
    anew.from = anew.signed_on = first_day + days{1};
    story.order(anew, checked);
    return story;
  };
  for (const auto units : {10_units, 16_units, 24_units, 30_units})
    EXPECT_EQ(next_of(changed_to(units, 20_units, at(2, 22, 40)), at(3, 21, 30)).code, "");
  EXPECT_EQ(next_of(changed_to(24_units, 20_units, at(2, 18)), at(3, 21, 30)).code,
            codes::less_given);
  EXPECT_EQ(next_of(changed_to(24_units, 12_units, at(2, 22, 40)), at(3, 21, 30)).code,
            codes::less_given);
  EXPECT_EQ(next_of(changed_to(10_units, 40_units, at(2, 22, 40)), at(3, 21, 30)).code,
            codes::more_given);
}

// An order that allows up to sixty says nothing of twice its dose in one night.
TEST(Amounts, TwiceTheDoseInOneInjectionHoldsTheNextOne_H04_H07_H38) {
  const auto given = [](journal::Purpose purpose, Units units) {
    Story story;
    auto line = Story::bedtime();
    line.purpose = purpose;
    line.most_units = 80_units;
    const auto id = story.order(line);
    story.pen();
    story.load();
    story.inject(at(1, 22), units, id);
    return story;
  };
  for (const auto purpose : {journal::Purpose::background, journal::Purpose::premixed}) {
    auto story = given(purpose, 40_units);
    EXPECT_EQ(next_of(story, at(2, 21, 30)).code, purpose == journal::Purpose::background
                                                      ? codes::more_given
                                                      : codes::too_much_together);
    const auto chart = story.chart();
    const auto found = too_much_of(*chart, story.shelf, chart->order.lines.front(), at(2, 12));
    ASSERT_TRUE(found);
    EXPECT_EQ(found->given, 40_units);
    EXPECT_EQ(found->most, 20_units);
    EXPECT_EQ(next_of(given(purpose, 39_units), at(2, 21, 30)).code, "");
    const auto asked =
        story.tell(at(2, 9), journal::QuestionOpened{story.facts.front().id, {}, "40", {}});
    story.tell(at(2, 9, 30), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                       "Dr Amara Osei", "", true});
    EXPECT_EQ(next_of(story, at(2, 21, 30)).code, "");
  }
}

// Last night's dose, and tonight's from a hospital's pen, were forty units that called for a phone.
TEST(Amounts, TwoNightsDosesAreNotTooMuchThoughTheLastCameFromAnUnknownPen_H32_H13) {
  auto story = whole();
  story.inject_unknown(at(2, 22, 5), 20_units);
  const auto chart = story.chart();
  for (const auto now : {at(2, 22, 10), at(3, 8)})
    EXPECT_FALSE(too_much_of(*chart, story.shelf, chart->order.lines.front(), now));
}

TEST(Amounts, WhatWasPartlyAnotherBasalInsulinIsNotToldAsThisOne_H58_H04) {
  auto story = whole();
  auto anew = Story::bedtime();
  anew.insulin = "insulin degludec";
  anew.replaces = story.facts.front().id;
  anew.from = anew.signed_on = first_day + days{1};
  const auto line = story.order(anew, at(2, 9));
  journal::CartridgeLoaded load;
  load.cartridge = id(77);
  load.copy = story.shelf.insulins.front().thing;
  load.copy.name = anew.insulin;
  load.units = load.content = 300_units;
  story.tell(at(2, 21), load);
  journal::Injected p;
  p.cartridge = load.cartridge;
  p.units = 20_units;
  p.line = line;
  p.slot = SlotName::bedtime;
  story.tell(at(2, 22), p);
  story.inject(at(2, 22, 20), 20_units, {});
  EXPECT_EQ(next_of(story, at(3, 21, 30)).code, codes::more_given);
  EXPECT_EQ(told_of(story, at(3, 21, 30)), "insulin/basal");
}

// Two ordinary nights, and the order was changed after the second: forty units and "phone now".
TEST(Amounts, AChangeAfterTonightsDoseAddsNoTwoNightsTogether_H32_H08) {
  for (const bool stronger : {false, true}) {
    auto story = whole();
    const auto old = story.facts.front().id;
    story.inject(at(2, 21, 30), 20_units, stronger ? std::nullopt : std::optional(old));
    auto anew = Story::bedtime();
    anew.order_version = 2;
    anew.replaces = old;
    anew.from = anew.signed_on = first_day + days{1};
    anew.slots.front().units = 22_units;
    if (stronger) anew.strength = {300};
    const auto line = story.order(anew, at(2, 22));
    const auto chart = story.chart();
    EXPECT_FALSE(too_much_of(*chart, story.shelf, *chart->order.line(line), at(2, 22, 10)));
  }
  // Under the version before, once the next one was checked: perhaps tonight's, and no third dose.
  auto late = whole();
  auto fewer = Story::bedtime();
  fewer.order_version = 2;
  fewer.replaces = late.facts.front().id;
  fewer.from = fewer.signed_on = first_day + days{1};
  fewer.slots.front().units = 14_units;
  const auto then = late.order(fewer, at(2, 9));
  late.inject(at(2, 22, 5), 20_units, late.facts.front().id);
  const auto old = late.chart();
  EXPECT_FALSE(too_much_of(*old, late.shelf, *old->order.line(then), at(2, 22, 6)));
  // "Taken" before its window closed.
  auto said = whole();
  said.tell(at(2, 22, 5), journal::DoseAnswered{said.facts.front().id, SlotName::bedtime,
                                                first_day + days{1}, journal::DoseWas::taken, ""});
  const auto chart = said.chart();
  EXPECT_FALSE(too_much_of(*chart, said.shelf, chart->order.lines.front(), at(2, 22, 10)));
}

/// Rapid insulin three times a day, with wide limits, beside basal insulin of twenty at bedtime.
struct Meals {
  Story story = whole();
  Id line, cartridge{0x1A7E, 0xFA};
  Meals() {
    auto meal = Story::bedtime();
    meal.insulin = "insulin lispro";
    meal.purpose = journal::Purpose::mealtime;
    meal.least_units = 2_units;
    meal.most_units = 30_units;
    meal.slots = {slot(SlotName::breakfast, 8 * 60, 6_units),
                  slot(SlotName::lunch, 12 * 60 + 30, 8_units),
                  slot(SlotName::supper, 18 * 60 + 30, 10_units)};
    line = story.order(meal);
    journal::CartridgeLoaded load;
    load.cartridge = cartridge;
    load.copy = story.shelf.insulins.front().thing;
    load.copy.name = meal.insulin;
    load.copy.action = shelf::Action::rapid;
    load.units = load.content = 300_units;
    story.tell(at(1, 9), load);
  }
  void give(Instant when, Units units, std::optional<SlotName> name) {
    journal::Injected p;
    p.cartridge = cartridge;
    p.units = units;
    p.slot = name;
    if (name) p.line = line;
    story.tell(when, p);
  }
  std::optional<TooMuch> too_much(Instant now) const {
    const auto chart = story.chart();
    return too_much_of(*chart, story.shelf, *chart->order.line(line), now);
  }
};

// Breakfast was not recorded, and its six units were taken off the lunch that went in twice.
TEST(Amounts, AMealsDoseThatWentInTwiceIsTooMuchWhateverElseIsOnRecord_H04_H07) {
  Meals twice;
  twice.give(at(2, 12, 20), 8_units, SlotName::lunch);
  EXPECT_FALSE(twice.too_much(at(2, 12, 25)));
  twice.give(at(2, 12, 30), 8_units, SlotName::lunch);
  for (const auto now : {at(2, 12, 50), at(2, 16), at(2, 19)}) {
    ASSERT_TRUE(twice.too_much(now));
    EXPECT_EQ(twice.too_much(now)->given, 16_units);
    EXPECT_EQ(twice.too_much(now)->most, 8_units);
  }
  EXPECT_FALSE(twice.too_much(at(2, 21)));
  Meals one;
  one.give(at(2, 18, 30), 20_units, SlotName::supper);
  EXPECT_TRUE(one.too_much(at(2, 18, 35)));
  Meals less;
  less.give(at(2, 18, 30), 19_units, SlotName::supper);
  EXPECT_FALSE(less.too_much(at(2, 18, 35)));
}

// The mealtime pen was turned to the basal dose at bedtime; its order's limits allow so much.
TEST(Amounts, TheBasalDosesAmountFromTheMealtimePenMayBeIt_H04) {
  Meals meals;
  meals.give(at(2, 21, 45), 20_units, {});
  EXPECT_EQ(next_of(meals.story, at(2, 21, 50)).code, order::codes::swapped);
  Meals supper;
  supper.give(at(2, 20, 10), 10_units, {});
  EXPECT_EQ(next_of(supper.story, at(2, 21, 50)).code, "");
}

}  // namespace
}  // namespace penstock::interlock
