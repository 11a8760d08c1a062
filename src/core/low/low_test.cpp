#include "core/low/low.hpp"

#include <gtest/gtest.h>

#include "core/journal/journal.hpp"
#include "embedded/low_tables.hpp"
#include "support/printed_table.hpp"

namespace penstock::low {
namespace {

using namespace journal;

// The leaflet's three steps, at their edges (British Columbia children's hospital, step 1).
TEST(Low, H63_AChildsSugarGoesByWeightAndAnAdultsIsFifteenGrams) {
  EXPECT_EQ(sugar_grams(7, TenthsKg{149}), 5);
  EXPECT_EQ(sugar_grams(7, TenthsKg{150}), 10);
  EXPECT_EQ(sugar_grams(7, TenthsKg{300}), 10);
  EXPECT_EQ(sugar_grams(17, TenthsKg{301}), 15);
  EXPECT_EQ(sugar_grams(17, std::nullopt), std::nullopt);
  EXPECT_EQ(sugar_grams(18, std::nullopt), 15);
}

std::string row(std::string_view id, int column) {
  return cell(embedded::low_tables().front().data, id, column);
}
std::string grams(std::optional<std::int32_t> some) {
  return some ? std::to_string(*some) : "none";
}
std::string kilograms(TenthsKg weight) {
  EXPECT_EQ(weight.tenths % 10, 0) << "the table has whole kilograms";
  return std::to_string(weight.tenths / 10);
}

// T310 to T313 and T072, cell by cell: a change in the table or in the code alone shows here.
TEST(Low, H63_H61_SugarWeightsAndTheLimitAreThoseOfTheTable) {
  const int child = 7;
  const TenthsKg least{small_child.tenths - 1}, most{larger_child.tenths + 1};
  EXPECT_EQ(row("T311", 2), "below " + kilograms(small_child) + " kg");
  EXPECT_EQ(row("T311", 3), grams(sugar_grams(child, least)));
  EXPECT_EQ(row("T312", 2), kilograms(small_child) + "-" + kilograms(larger_child) + " kg");
  EXPECT_EQ(row("T312", 3), grams(sugar_grams(child, small_child)));
  EXPECT_EQ(row("T312", 3), grams(sugar_grams(child, larger_child)));
  EXPECT_EQ(row("T313", 2), "above " + kilograms(larger_child) + " kg");
  EXPECT_EQ(row("T313", 3), grams(sugar_grams(child, most)));
  for (const auto* id : {"T311", "T312", "T313"}) EXPECT_EQ(row(id, 4), "g") << id;
  EXPECT_EQ(row("T310", 2), "adults");
  EXPECT_EQ(row("T310", 3), grams(Care{}.grams) + " g; test again after " +
                                std::to_string(Care{}.minutes) + " min");
  EXPECT_EQ(sugar_grams(18, std::nullopt), Care{}.grams);
  // The pair: mmol/L in its own column, mg/dL in the condition.
  EXPECT_EQ(consensus_limit.unit, GlucoseUnit::mmol_l);
  EXPECT_EQ(row("T072", 4), "mmol/L");
  EXPECT_EQ(row("T072", 3), format_fixed(consensus_limit.value, 1));
  const auto pair = row("T072", 2);
  ASSERT_TRUE(pair.ends_with(" mg/dL"));
  const Glucose same{GlucoseUnit::mg_dl, std::stoi(pair)};
  EXPECT_FALSE(is_below(same, consensus_limit));
  EXPECT_TRUE(is_below({GlucoseUnit::mg_dl, same.value - 1}, consensus_limit));
}

Fact fact(std::uint64_t number, Payload what) {
  Fact made;
  made.id = {0, number};
  made.happened.at = Instant{std::chrono::days{20'000} + std::chrono::minutes{number}};
  made.author = "a nurse";
  made.source = "bench";
  made.payload = std::move(what);
  return made;
}

const LocalDay today{std::chrono::days{20'001}};

chart::ChartPtr with(std::vector<Fact> facts) {
  return chart::finish(chart::begin({0, 1}, 4, {}, std::move(facts), {}), {}, {});
}

PersonRegistered child() {
  PersonRegistered person;
  person.full_name = "Tove Lindgren";
  person.born = today - std::chrono::days{7 * 365};
  person.background.weight = TenthsKg{220};
  person.background.weighed_on = today - std::chrono::days{30};
  return person;
}

OrderLineSigned line(std::optional<Glucose> limit) {
  OrderLineSigned line;
  line.insulin = "insulin glargine";
  line.from = today - std::chrono::days{10};
  line.low_limit = limit;
  return line;
}

// nurse A17: 15 g for a child of seven.
TEST(Low, H63_AWeightOfLongAgoIsNoChildsWeight) {
  auto person = child();
  EXPECT_EQ(care_for(*with({fact(1, person)}), today).grams, 10);
  person.background.weighed_on = today - std::chrono::days{400};
  EXPECT_EQ(care_for(*with({fact(1, person)}), today).grams, std::nullopt);
}

// nurse A25: "below 4.0" on one page and "below 3.9" on the next.
TEST(Low, H61_OneLimitAPersonTheHighestOfTheLinesThatHold) {
  EXPECT_EQ(care_for(*with({fact(1, child())}), today).below, consensus_limit);
  const auto both = with({fact(1, child()), fact(2, line(Glucose{GlucoseUnit::mmol_l, 40})),
                          fact(3, line(Glucose{GlucoseUnit::mg_dl, 80})), fact(4, line({}))});
  EXPECT_EQ(care_for(*both, today).below, (Glucose{GlucoseUnit::mg_dl, 80}));
  const auto lower = with({fact(1, child()), fact(2, line(Glucose{GlucoseUnit::mmol_l, 35}))});
  EXPECT_EQ(care_for(*lower, today).below, (Glucose{GlucoseUnit::mmol_l, 35}));
}

GlucoseNoted value(std::optional<Glucose> measured, YesNo helped = YesNo::unknown) {
  GlucoseNoted noted;
  noted.value = measured;
  noted.felt = measured ? YesNo::unknown : YesNo::yes;
  noted.needed_help = helped;
  return noted;
}
GlucoseNoted mmol(std::int32_t tenths) { return value(Glucose{GlucoseUnit::mmol_l, tenths}); }
GlucoseNoted mg(std::int32_t whole) { return value(Glucose{GlucoseUnit::mg_dl, whole}); }

// 70 mg/dL was "a hypo, below 3.9 mmol/L".
TEST(Low, H10_AValueIsComparedInTheUnitItCameInWhereBothLimitsArePublished) {
  EXPECT_FALSE(is_below({GlucoseUnit::mg_dl, 70}, consensus_limit));
  EXPECT_TRUE(is_below({GlucoseUnit::mg_dl, 69}, consensus_limit));
  EXPECT_FALSE(is_below({GlucoseUnit::mmol_l, 39}, {GlucoseUnit::mg_dl, 70}));
  EXPECT_TRUE(is_below({GlucoseUnit::mmol_l, 38}, {GlucoseUnit::mg_dl, 70}));
  EXPECT_FALSE(is_below({GlucoseUnit::mg_dl, 54}, level_2_limit));
  EXPECT_TRUE(is_below({GlucoseUnit::mg_dl, 53}, level_2_limit));
  EXPECT_TRUE(is_below({GlucoseUnit::mg_dl, 71}, {GlucoseUnit::mmol_l, 40}));
}

// Two hours after it a hypo was forgotten, and "55 mmol/L" ended one.
TEST(Low, H10_H06_AHypoIsTheLastThingKnownUntilAValueAMeterShowsSaysOtherwise) {
  const auto at = [](int minute) {
    return Instant{std::chrono::days{20'000} + std::chrono::minutes{minute}};
  };
  const auto low = with({fact(1, child()), fact(2, mmol(31))});
  EXPECT_NE(open_low(*low, at(121)), nullptr);
  EXPECT_EQ(open_low(*low, at(122)), nullptr);
  EXPECT_NE(last_low(*low, at(9'000)), nullptr);
  const auto after = [&](GlucoseNoted next) {
    return with({fact(1, child()), fact(2, mmol(31)), fact(30, std::move(next))});
  };
  EXPECT_EQ(last_low(*after(mmol(52)), at(40)), nullptr);
  EXPECT_NE(last_low(*after(mmol(550)), at(40)), nullptr);
  EXPECT_NE(last_low(*after(mg(700)), at(40)), nullptr);
  EXPECT_NE(last_very_high(*after(mmol(550)), at(40)), nullptr);
  EXPECT_NE(last_very_high(*after(mmol(200)), at(40)), nullptr);
  EXPECT_EQ(last_very_high(*after(mmol(199)), at(40)), nullptr);
  EXPECT_EQ(last_very_high(*after(mmol(550)), at(20)), nullptr);
}

GlucoseNoted shown(MeterWord word) {
  GlucoseNoted noted;
  noted.meter = word;
  return noted;
}

// A meter that showed LO could not be entered, and so was no hypo.
TEST(Low, H10_H37_LoOnAMeterIsASeriousHypoAndHiIsVeryHighAndEndsNone) {
  const Instant later{std::chrono::days{20'000} + std::chrono::minutes{40}};
  const auto lo = with({fact(1, child()), fact(2, shown(MeterWord::lo))});
  EXPECT_NE(open_low(*lo, later), nullptr);
  EXPECT_EQ(serious(*lo, lo->contacts.glucose.back()), Serious::level_2);
  EXPECT_EQ(last_very_high(*lo, later), nullptr);
  const auto hi = with({fact(1, child()), fact(2, shown(MeterWord::hi))});
  EXPECT_EQ(last_low(*hi, later), nullptr);
  EXPECT_EQ(serious(*hi, hi->contacts.glucose.back()), std::nullopt);
  EXPECT_NE(last_very_high(*hi, later), nullptr);
  const auto both =
      with({fact(1, child()), fact(2, shown(MeterWord::lo)), fact(3, shown(MeterWord::hi))});
  EXPECT_NE(last_low(*both, later), nullptr) << "perhaps sugar on the fingers";
  const auto over = with({fact(1, child()), fact(2, shown(MeterWord::lo)), fact(3, mmol(61))});
  EXPECT_EQ(last_low(*over, later), nullptr);
}

TEST(Low, H37_HelpLevelTwoOrSeveralWithinDaysAreSerious) {
  const auto last = [](std::vector<Fact> facts) {
    const auto person = with(std::move(facts));
    return serious(*person, person->contacts.glucose.back());
  };
  EXPECT_EQ(last({fact(1, mmol(31))}), std::nullopt);
  EXPECT_EQ(last({fact(1, mmol(30))}), std::nullopt);
  EXPECT_EQ(last({fact(1, mmol(29))}), Serious::level_2);
  EXPECT_EQ(last({fact(1, mg(53))}), Serious::level_2);
  EXPECT_EQ(last({fact(1, value(Glucose{GlucoseUnit::mmol_l, 80}, YesNo::yes))}), Serious::helped);
  EXPECT_EQ(last({fact(1, value({}, YesNo::yes))}), Serious::helped);
  constexpr std::uint64_t day = 24 * 60;
  EXPECT_EQ(last({fact(1, mmol(33)), fact(day, mmol(33)), fact(2 * day, mmol(33))}),
            Serious::several);
  EXPECT_EQ(last({fact(1, mmol(33)), fact(20, mmol(33)), fact(40, mmol(33))}), std::nullopt)
      << "one hypo, measured three times";
  // Told in a call it is one as well.
  journal::ContactMade told;
  told.outcome = journal::ContactOutcome::reached;
  told.low = YesNo::yes;
  EXPECT_EQ(last({fact(1, told), fact(day, told), fact(2 * day, mmol(33))}), Serious::several);
  told.low = YesNo::no;
  EXPECT_EQ(last({fact(1, told), fact(day, told), fact(2 * day, mmol(33))}), std::nullopt);
  EXPECT_EQ(last({fact(1, mmol(33)), fact(day, mmol(33)), fact(8 * day, mmol(33))}), std::nullopt);
}

}  // namespace
}  // namespace penstock::low
