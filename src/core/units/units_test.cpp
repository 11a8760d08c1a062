#include "core/units/units.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <concepts>
#include <limits>

namespace penstock {
namespace {

using namespace literals;

// What must not compile.
template <class A, class B>
concept Addable = requires(A a, B b) { a + b; };
template <class A, class B>
concept Comparable = requires(A a, B b) { a < b; };

static_assert(!std::is_default_constructible_v<Units>);
static_assert(!std::is_constructible_v<Units, double>);
static_assert(!std::is_constructible_v<Units, std::int64_t>);
static_assert(!Addable<Units, Units>);  // only checked_add and sum: the result has a range
static_assert(!Addable<TenthsMm, TenthsMm>);
static_assert(!Comparable<Units, Strength>);
static_assert(!Comparable<TenthsMm, TenthsCelsius>);
static_assert(
    !Comparable<Glucose, Glucose>);  // two units: compare in the unit in which it came (H06)
static_assert(!std::is_convertible_v<Units, std::int64_t>);

static_assert((4.5_units).hundredths() == 450);
static_assert((18_units).hundredths() == 1800);
static_assert((0.05_units).hundredths() == 5);
static_assert(!Units::from_hundredths(-1));
static_assert(!Units::from_hundredths(Units::hundredths_max + 1));
static_assert(!checked_sub(10_units, 10.01_units));
static_assert(is_multiple(4.5_units, 0.5_units) && !is_multiple(4.5_units, 1_units));
static_assert(whole_steps(4.5_units, 1_units) == 4);

static_assert(quotient(7, 2, Rounding::down) == 3 && quotient(-7, 2, Rounding::down) == -4);
static_assert(quotient(7, 2, Rounding::nearest) == 4 && quotient(-7, 2, Rounding::nearest) == -4);
static_assert(quotient(7, 3, Rounding::nearest) == 2 && quotient(-7, 3, Rounding::nearest) == -2);
static_assert(quotient(7, 2, Rounding::up) == 4 && quotient(-7, 2, Rounding::up) == -3);
static_assert(quotient(6, 2, Rounding::down) == 3 && quotient(6, 2, Rounding::nearest) == 3 &&
              quotient(6, 2, Rounding::up) == 3 && quotient(-6, 2, Rounding::down) == -3);

TEST(Units, H05_DosesHaveALeadingZeroAndNoTrailingOnes) {
  EXPECT_EQ(format(18_units), "18");
  EXPECT_EQ(format(5_units), "5");
  EXPECT_EQ(format(0.5_units), "0.5");
  EXPECT_EQ(format(4.50_units), "4.5");
  EXPECT_EQ(format(4.25_units), "4.25");
  EXPECT_EQ(format(100_units), "100");
  EXPECT_EQ(format(0_units), "0");
  EXPECT_EQ(format(1000_units), "1000");
}

TEST(Units, H05_MmolAlwaysHasOneDecimalAndMilligramsNone) {
  EXPECT_EQ(format(Glucose{GlucoseUnit::mmol_l, 30}), "3.0");
  EXPECT_EQ(format(Glucose{GlucoseUnit::mmol_l, 100}), "10.0");
  EXPECT_EQ(format(Glucose{GlucoseUnit::mg_dl, 70}), "70");
}

// NGSP, "IFCC Standardization of HbA1c", ngsp.org/ifcc.asp (the equation, looked up); the pairs as
// clinics print them, from memory.
TEST(Units, Hba1cIsConvertedByTheMasterEquation) {
  struct Row {
    std::int32_t percent_tenths;
    std::int32_t mmol_mol;
  };
  constexpr Row rows[] = {{40, 20}, {50, 31}, {60, 42}, {65, 48},  {70, 53},
                          {75, 58}, {80, 64}, {90, 75}, {100, 86}, {120, 108}};
  for (const auto& [percent, mmol] : rows) {
    const Hba1c ngsp{Hba1cUnit::ngsp_percent, percent};
    const Hba1c ifcc{Hba1cUnit::ifcc_mmol_mol, mmol};
    EXPECT_EQ(converted(ngsp), ifcc) << percent;
    EXPECT_EQ(converted(ifcc), ngsp) << mmol;
  }
  EXPECT_EQ(format_both({Hba1cUnit::ngsp_percent, 70}), "7.0% (53 mmol/mol)");
  EXPECT_EQ(format_both({Hba1cUnit::ifcc_mmol_mol, 48}), "48 mmol/mol (6.5%)");
}

// A tenth of a per cent is 1.09 mmol/mol: from per cent and back nothing moves.
TEST(Units, EveryHba1cInPerCentComesBackFromTheOtherUnitAsItWas) {
  for (std::int32_t tenths = 30; tenths <= 200; ++tenths) {
    const Hba1c ngsp{Hba1cUnit::ngsp_percent, tenths};
    EXPECT_EQ(converted(converted(ngsp)), ngsp) << tenths;
  }
  for (std::int32_t mmol = 9; mmol <= 195; ++mmol) {
    const auto back = converted(converted({Hba1cUnit::ifcc_mmol_mol, mmol})).value;
    EXPECT_LE(std::abs(back - mmol), 1) << mmol;
  }
}

TEST(Units, FixedFormatCoversItsWholeRange) {
  EXPECT_EQ(format_fixed(std::numeric_limits<std::int64_t>::min(), 2), "-92233720368547758.08");
  EXPECT_EQ(format_fixed(-5, 1), "-0.5");
  EXPECT_EQ(format_fixed(525, 2, 1), "5.25");
  EXPECT_EQ(format_fixed(0, 2, 2), "0.00");
  EXPECT_EQ(format_fixed(7, 0, 1), "7.0");
}

TEST(Units, H25_AmountsAreReadFromTheirTextAtMostTwoDecimals) {
  EXPECT_EQ(parse_units("18").value(), 18_units);
  EXPECT_EQ(parse_units("18.0").value(), 18_units);
  EXPECT_EQ(parse_units("0.05").value(), 0.05_units);
  struct Row {
    const char* text;
    std::string_view code;
  };
  for (const auto& row :
       {Row{"4.125", "number.decimals"}, Row{"4.000", "number.decimals"}, Row{".5", "number.form"},
        Row{"5.", "number.form"}, Row{"", "number.form"}, Row{"1e2", "number.form"},
        Row{"+5", "number.form"}, Row{" 5", "number.form"}, Row{"5 units", "number.form"},
        Row{"5,5", "number.form"}, Row{"-5", "number.range"}, Row{"-0", "number.range"},
        Row{"99999999999999999999", "number.range"}, Row{"99999999999999", "number.range"}}) {
    const auto read = parse_units(row.text);
    ASSERT_FALSE(read) << row.text;
    EXPECT_EQ(read.error().code, row.code) << row.text;
  }
}

RC_GTEST_PROP(Units, EveryAmountReadsBackAsWritten, ()) {
  const auto hundredths = *rc::gen::inRange<std::int64_t>(0, Units::hundredths_max);
  const auto amount = *Units::from_hundredths(hundredths);
  RC_ASSERT(parse_units(format(amount)).value() == amount);
}

TEST(Units, EveryDayOfFourHundredYearsReadsBack) {
  auto day = parse_day("1850-01-01").value();
  const auto last = parse_day("2200-12-31").value();
  for (; day <= last; day += std::chrono::days{1}) {
    ASSERT_EQ(parse_day(format_iso(day)).value(), day);
  }
  for (const auto* bad : {"2027-02-29", "2027-13-01", "2027-00-10", "27-01-01", "2027/01/01",
                          "2027-1-1", "1849-12-31"}) {
    EXPECT_FALSE(parse_day(bad)) << bad;
  }
}

TEST(Units, TimesKeepTheirOffset) {
  const auto when = parse_when("2027-03-16T18:30:00+01:00").value();
  EXPECT_EQ(format_iso(when), "2027-03-16T18:30:00+01:00");
  EXPECT_EQ(when.day(), parse_day("2027-03-16").value());
  EXPECT_EQ(when.minute(), MinuteOfDay{18 * 60 + 30});
  EXPECT_EQ(format_iso(parse_when("2027-03-16 00:10-0930").value()), "2027-03-16T00:10:00-09:30");
  EXPECT_EQ(format_iso(parse_when("2027-03-16T18:30:05.999Z").value()),
            "2027-03-16T18:30:05+00:00");
  EXPECT_EQ(parse_when("2027-03-16T18:30").error().code, "time.offset");
  for (const auto* bad :
       {"2027-03-16", "2027-03-16T24:00Z", "2027-03-16T18:60Z", "2027-03-16T18:30:60Z",
        "2027-03-16T18:30+19:00", "2027-03-16T18:30+1", "2027-03-16T18:30:00."}) {
    EXPECT_EQ(parse_when(bad).error().code, "time.form") << bad;
  }
}

// Central Europe 2027: forward on 28 March 01:00 UTC, back on 31 October 01:00 UTC (from memory;
// the shell's database is checked elsewhere).
ZoneRules central_europe() {
  return {"Europe/Berlin",
          {{parse_when("2026-10-25T01:00Z").value().at, 60},
           {parse_when("2027-03-28T01:00Z").value().at, 120},
           {parse_when("2027-10-31T01:00Z").value().at, 60}}};
}
LocalTime local(const char* text) { return parse_time(text).value().local; }

TEST(Zone, H18_ADayOf23HoursAndADayOf25) {
  const auto zone = central_europe();
  EXPECT_EQ(zone.fit(local("2027-03-28T02:30")), ZoneRules::Fit::missing);
  EXPECT_EQ(format_iso(zone.resolve(local("2027-03-28T02:30"))), "2027-03-28T03:30:00+02:00");
  EXPECT_EQ(zone.fit(local("2027-10-31T02:30")), ZoneRules::Fit::ambiguous);
  EXPECT_EQ(format_iso(zone.resolve(local("2027-10-31T02:30"))), "2027-10-31T02:30:00+02:00");
  EXPECT_EQ(format_iso(zone.resolve(local("2027-10-31T02:30"), ZoneRules::Pick::later)),
            "2027-10-31T02:30:00+01:00");
  EXPECT_EQ(format_iso(zone.resolve(local("2027-07-01T22:00"))), "2027-07-01T22:00:00+02:00");
  const auto length = [&](const char* from, const char* to) {
    return zone.resolve(local(to)).at - zone.resolve(local(from)).at;
  };
  EXPECT_EQ(length("2027-03-28T00:00", "2027-03-29T00:00"), std::chrono::hours{23});
  EXPECT_EQ(length("2027-10-31T00:00", "2027-11-01T00:00"), std::chrono::hours{25});
}

TEST(Zone, H18_ADayThatTheDateLineSkipped) {
  // Samoa left out 30 December 2011 (time-zone database): offset -10:00 to +14:00.
  const ZoneRules samoa{"Pacific/Apia",
                        {{parse_when("2011-09-24T14:00Z").value().at, -600},
                         {parse_when("2011-12-30T10:00Z").value().at, 840}}};
  EXPECT_EQ(samoa.fit(local("2011-12-30T12:00")), ZoneRules::Fit::missing);
  EXPECT_EQ(format_iso(samoa.resolve(local("2011-12-31T08:00"))), "2011-12-31T08:00:00+14:00");
  EXPECT_EQ(format_iso(samoa.resolve(local("2011-12-29T23:00"))), "2011-12-29T23:00:00-10:00");
}

TEST(Zone, NoRulesMeansUtc) {
  EXPECT_EQ(format_iso(ZoneRules{}.resolve(local("2027-03-16T18:30"))),
            "2027-03-16T18:30:00+00:00");
}

}  // namespace
}  // namespace penstock
