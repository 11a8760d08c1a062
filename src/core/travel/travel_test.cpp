// What to carry, and the published rules as questions.
#include "core/travel/travel.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <string>

#include "embedded/travel_tables.hpp"

namespace penstock::travel {
namespace {
using namespace literals;

Request trip(std::int32_t shift, Units dose = 20_units) {
  auto out = example();
  out.shift_minutes = shift;
  out.lines.resize(1);
  out.lines[0].a_day = dose;
  return out;
}
Travel travelled(const Request& request) {
  auto found = travel(request);
  EXPECT_TRUE(found) << (found ? "" : found.error().code);
  return *std::move(found);
}
bool has(const Travel& found, std::string_view code) {
  return std::ranges::find(found.cautions, code) != found.cautions.end();
}
std::string refusal(const Request& request) {
  const auto found = travel(request);
  return found ? std::string() : found.error().code + " " + found.error().at;
}

// T296-T301: Pinsker et al. 2013 J Diabetes Metab Disord 12:59, patient guidance (read; T298-T301
// computed from the formula). A dose of 100 units shows the factor in hundredths.
TEST(Travel, EastwardsTheFormulaIsThePublishedOne_Pinsker_2013_JDiabetesMetabDisord_12_59) {
  struct Row {
    std::int32_t zones;
    double factor;
  };
  for (const Row& row :
       {Row{6, 0.65}, Row{5, 0.692}, Row{8, 0.567}, Row{10, 0.483}, Row{12, 0.4}}) {
    const auto found = travelled(trip(row.zones * 60, 100_units));
    const auto& option = found.questions.at(0).options.at(0);
    EXPECT_EQ(option.says, Says::once_reduced);
    EXPECT_EQ(option.known, "read");
    ASSERT_EQ(option.units.size(), 1U);
    EXPECT_NEAR(static_cast<double>(option.units[0].millionths) / 1e8, row.factor, 0.0005);
  }
  const auto text = std::string(embedded::travel_tables()[0].data);
  EXPECT_NE(text.find("T296\tEastward travel basal dose\t>=5 time zones\tusual*(0.9 - zones/24)"),
            std::string::npos);
}

// T302, the same source: half and half, the full dose the day after.
TEST(Travel, WestwardsItIsTwoHalvesThatKeepTheirSum_Pinsker_2013_JDiabetesMetabDisord_12_59) {
  const auto found = travelled(trip(-6 * 60, 21_units));
  const auto& option = found.questions.at(0).options.at(0);
  EXPECT_EQ(option.says, Says::two_halves);
  ASSERT_EQ(option.units.size(), 2U);
  EXPECT_EQ(option.units[0].millionths, 10'500'000);
  EXPECT_EQ(option.units[1].millionths, 10'500'000);
  EXPECT_EQ(option.in_steps, (std::vector{10_units, 11_units}));
}

TEST(Travel, H26_HalvesThatThePenCannotDialAreNotInItsSteps) {
  auto request = trip(-540, 21_units);
  request.lines[0].step = 2_units;
  EXPECT_TRUE(travelled(request).questions.at(0).options.at(0).in_steps.empty());
  request.lines[0].a_day = 22_units;
  EXPECT_EQ(travelled(request).questions.at(0).options.at(0).in_steps,
            (std::vector{10_units, 12_units}));
}

// -5 degrees, and not a word about frost.
TEST(Travel, H12_WhereItFreezesInsulinIsCarriedAgainstTheBody) {
  auto request = trip(0);
  for (const std::int32_t tenths : {-50, 0, 1, 340}) {
    request.warmest = TenthsCelsius{tenths};
    EXPECT_EQ(has(travelled(request), travel_cautions::frost), tenths <= 0) << tenths;
  }
}

// T303: sources differ: 2, 3 or 5 zones.
TEST(Travel, BelowTheThresholdsNothingChangesAndTheDisagreementIsKept) {
  struct Row {
    std::int32_t minutes;
    Says formula, three, two;
    bool differ;
  };
  const Row rows[] = {{60, Says::no_change, Says::no_change, Says::no_change, false},
                      {120, Says::no_change, Says::no_change, Says::no_change, false},
                      {135, Says::no_change, Says::no_change, Says::change, true},
                      {180, Says::no_change, Says::no_change, Says::change, true},
                      {195, Says::no_change, Says::change, Says::change, true},
                      {285, Says::no_change, Says::change, Says::change, true},
                      {300, Says::once_reduced, Says::change, Says::change, false}};
  for (const auto& row : rows) {
    const auto out = travelled(trip(row.minutes)).questions.at(0);
    EXPECT_EQ(out.options.at(0).says, row.formula) << row.minutes;
    EXPECT_EQ(out.options.at(1).says, row.three) << row.minutes;
    EXPECT_EQ(out.options.at(2).says, row.two) << row.minutes;
    EXPECT_EQ(out.sources_differ, row.differ) << row.minutes;
    EXPECT_TRUE(out.options.at(1).units.empty());
  }
}

TEST(Travel, H18_TheWayBackIsAskedAboutToo) {
  const auto found = travelled(trip(540));
  ASSERT_EQ(found.questions.size(), 2U);
  EXPECT_EQ(found.questions[0].way, Way::out);
  EXPECT_EQ(found.questions[0].direction, Direction::east);
  EXPECT_EQ(found.questions[1].way, Way::back);
  EXPECT_EQ(found.questions[1].direction, Direction::west);
  EXPECT_EQ(found.questions[1].shift_minutes, -540);
  EXPECT_TRUE(travelled(trip(0)).questions.empty());
}

// Pharmacist D12: from Berlin, clocks changed while they were away.
TEST(Travel, H18_TheWayBackHasTheShiftOfItsOwnDay) {
  struct Row {
    std::int32_t out, back;
    Says out_says, back_says;
  };
  constexpr Row rows[] = {{300, 240, Says::once_reduced, Says::no_change},     // Dhaka, March
                          {240, 300, Says::no_change, Says::two_halves},       // Dhaka, October
                          {-300, -360, Says::two_halves, Says::once_reduced},  // New York
                          {-360, -300, Says::two_halves, Says::once_reduced},  // New York, 8 March
                          {720, 600, Says::once_reduced, Says::two_halves}};   // Auckland
  for (const auto& row : rows) {
    auto request = trip(row.out);
    request.return_shift_minutes = row.back;
    const auto found = travelled(request);
    ASSERT_EQ(found.questions.size(), 2U);
    EXPECT_EQ(found.questions[0].shift_minutes, row.out);
    EXPECT_EQ(found.questions[1].shift_minutes, -row.back);
    EXPECT_EQ(found.questions[0].options[0].says, row.out_says) << row.out;
    EXPECT_EQ(found.questions[1].options[0].says, row.back_says) << row.back;
    EXPECT_TRUE(has(found, travel_cautions::other_shift_back));
  }
  // New York and back, 6 h east: 20 * (0.9 - 6 / 24) = 13 units; 5 h: 13.83.
  auto request = trip(-300);
  request.return_shift_minutes = -360;
  EXPECT_EQ(travelled(request).questions[1].options[0].in_steps, std::vector{13_units});
  EXPECT_FALSE(has(travelled(trip(-300)), travel_cautions::other_shift_back));
  // Clocks that differ on one way only are asked about on that way only.
  request = trip(60);
  request.return_shift_minutes = 0;
  ASSERT_EQ(travelled(request).questions.size(), 1U);
  EXPECT_EQ(travelled(request).questions[0].way, Way::out);
}

// Pharmacist D12: half of one unit is no step of the pen.
TEST(Travel, H38_NoZeroStandsBesideBackgroundInsulin) {
  for (const std::int32_t shift : {540, -540}) {
    const auto found = travelled(trip(shift, 1_units));
    for (const auto& question : found.questions) {
      for (const auto& option : question.options) {
        EXPECT_TRUE(option.in_steps.empty());
      }
    }
  }
  EXPECT_EQ(travelled(trip(-540, 2_units)).questions[0].options[0].in_steps,
            (std::vector{1_units, 1_units}));
}

// From +13 to -10 hours the offsets are 23 hours apart; the clock goes an hour on and the date a
// day back. Counted as 23 zones west it would halve a dose for nothing.
TEST(Travel, H18_AcrossTheDateLineTheClocksShiftCountsAndDaysAreThoseAtHome) {
  const auto found = travelled(trip(-23 * 60));
  EXPECT_TRUE(found.date_line);
  EXPECT_EQ(found.shift_minutes, 60);
  EXPECT_EQ(found.questions.at(0).direction, Direction::east);
  EXPECT_EQ(found.questions.at(0).options.at(0).says, Says::no_change);
  EXPECT_TRUE(has(found, travel_cautions::date_line));
  EXPECT_EQ(found.days, travelled(trip(0)).days);
  const auto other = travelled(trip(21 * 60));
  EXPECT_EQ(other.shift_minutes, -180);
  EXPECT_EQ(travelled(trip(720)).shift_minutes, 720);
  EXPECT_FALSE(travelled(trip(720)).date_line);
  EXPECT_EQ(travelled(trip(-720)).shift_minutes, -720);
}

// H38: whatever the rule says, background insulin is on the list, and saying nothing is not zero.
TEST(Travel, H38_BackgroundInsulinIsNeverSilentlyDropped) {
  auto request = trip(540, 20_units);
  request.lines[0].doses_a_day = 2;
  const auto found = travelled(request);
  EXPECT_TRUE(has(found, travel_cautions::never_left_out));
  EXPECT_TRUE(has(found, travel_cautions::several_doses));
  const auto& option = found.questions.at(0).options.at(0);
  EXPECT_EQ(option.says, Says::nothing);  // its rule is for one dose a day (H33)
  EXPECT_TRUE(option.units.empty());
  EXPECT_FALSE(found.carry.at(0).for_days.is_zero());
  for (std::int32_t shift = -1'560; shift <= 1'560; shift += 15) {
    const auto walked = travelled(trip(shift, 1_units));
    for (const auto& question : walked.questions) {
      for (const auto& one : question.options) {
        for (const auto amount : one.units) EXPECT_GT(amount.millionths, 0) << shift;
      }
    }
  }
}

TEST(Travel, WhatToCarryIsTwiceWhatIsNeededInTwoBags) {
  const auto found = travelled(example());
  EXPECT_EQ(found.days, 14);
  ASSERT_EQ(found.carry.size(), 2U);
  // 22 units a day for 14 days; 13 whole days out of 298 units: two cartridges, twice.
  EXPECT_EQ(found.carry[0].for_days, 308_units);
  EXPECT_EQ(found.carry[0].cartridges_for_days, 2);
  EXPECT_EQ(found.carry[0].cartridges, 4);
  EXPECT_EQ(found.carry[0].in_each_bag, 2);
  EXPECT_EQ(found.carry[0].pens, 2);
  // 30 units a day: 9 days a cartridge.
  EXPECT_EQ(found.carry[1].cartridges_for_days, 2);
  EXPECT_EQ(found.needles.for_days, 56);
  EXPECT_EQ(found.needles.carried, 112);
  EXPECT_EQ(found.needles.in_each_bag, 56);
  EXPECT_TRUE(has(found, travel_cautions::cabin));
  EXPECT_TRUE(has(found, travel_cautions::no_pharmacy));
  EXPECT_TRUE(has(found, travel_cautions::papers));
}

TEST(Travel, H12_HeatAndPeriodsAreThoseOfTheLabel) {
  auto request = trip(0);
  request.lines[0].limit = TenthsCelsius{300};
  request.warmest = TenthsCelsius{300};
  EXPECT_FALSE(travelled(request).cooling);
  request.warmest = TenthsCelsius{301};
  EXPECT_TRUE(travelled(request).cooling);
  EXPECT_TRUE(has(travelled(request), travel_cautions::cool));
  EXPECT_FALSE(has(travelled(request), travel_cautions::limit_assumed));
  request.lines[0].limit.reset();
  request.warmest = TenthsCelsius{251};
  EXPECT_TRUE(travelled(request).cooling);
  EXPECT_TRUE(has(travelled(request), travel_cautions::limit_assumed));
  request.warmest.reset();
  EXPECT_FALSE(travelled(request).cooling);
  // Fourteen days: sealed ones out of the fridge serve while their days are fewer than the label's.
  request.lines[0].in_use_days = 14;
  EXPECT_TRUE(has(travelled(request), travel_cautions::period));
  EXPECT_EQ(travelled(request).carry.at(0).cartridges_for_days, 2);
  request.lines[0].in_use_days = 15;
  EXPECT_FALSE(has(travelled(request), travel_cautions::period));
  // A short period opens more cartridges than the units would.
  request.lines[0].in_use_days = 4;
  EXPECT_EQ(travelled(request).carry.at(0).cartridges_for_days, 4);
}

TEST(Travel, MoreThanACartridgeADayIsCarriedByTheDay) {
  Line line = example().lines[0];
  line.a_day = 400_units;
  line.primes_a_day = 8_units;
  EXPECT_EQ(cartridges_for(line, 3), 6);  // 408 a day out of 298 each
}

// -6 for +6 went through: the other direction, and another question to the prescriber.
TEST(Travel, H18_ASlipOfTheSignIsRefusedOrSaid) {
  auto request = trip(-360);
  request.home_offset_minutes = 60;
  request.there_offset_minutes = 420;
  EXPECT_EQ(refusal(request), "travel.shift_offsets /shift_minutes");
  request.shift_minutes = 360;
  EXPECT_EQ(refusal(request), "");
  // The way home is said in the same direction as the way out; summer time alone may lie between.
  for (const auto& [back, code] : {std::pair{-360, "travel.shifts_apart /return_shift_minutes"},
                                   {360, ""},
                                   {180, ""},
                                   {540, ""},
                                   {165, "travel.shifts_apart /return_shift_minutes"}}) {
    request.return_shift_minutes = back;
    EXPECT_EQ(refusal(request), code) << back;
  }
  // Where nothing contradicts it, it is said aloud.
  EXPECT_TRUE(has(travelled(trip(360)), travel_cautions::direction_east));
  EXPECT_TRUE(has(travelled(trip(-360)), travel_cautions::direction_west));
  EXPECT_FALSE(has(travelled(trip(0)), travel_cautions::direction_east));
}

TEST(Travel, H25_RefusalsComeInTheirDeclaredOrder) {
  std::vector<Request> rows;
  const auto with = [&](auto change) {
    auto request = example();
    change(request);
    rows.push_back(request);
  };
  const auto day = std::chrono::days{1};
  with([&](Request& r) { r.returns = r.leaves - day; });
  with([&](Request& r) { r.returns = r.leaves + 366 * day; });
  with([](Request& r) { r.shift_minutes = 1'575; });
  with([](Request& r) { r.shift_minutes = 541; });
  with([](Request& r) {
    r.home_offset_minutes = 540;
    r.there_offset_minutes = 0;
  });
  with([](Request& r) { r.return_shift_minutes = -r.shift_minutes; });
  with([](Request& r) { r.warmest = TenthsCelsius{601}; });
  with([](Request& r) { r.lines.clear(); });
  with([](Request& r) { r.lines[1].a_day = 0_units; });
  with([](Request& r) { r.lines[0].primes_a_day = 1'500.01_units; });
  with([](Request& r) { r.lines[0].cartridge = 0_units; });
  with([](Request& r) { r.lines[0].new_cartridge_prime = 300_units; });
  with([](Request& r) { r.lines[0].in_use_days = 0; });
  with([](Request& r) { r.lines[0].doses_a_day = 0; });
  with([](Request& r) { r.lines[0].step = 1'500.01_units; });
  with([](Request& r) { r.lines[0].limit = TenthsCelsius{100}; });
  with([](Request& r) { r.needles_a_day = -1; });
  ASSERT_EQ(rows.size(), refusals().size());
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const auto found = travel(rows[i]);
    ASSERT_FALSE(found) << i;
    EXPECT_EQ(found.error().code, refusals()[i]) << i;
  }
  EXPECT_EQ(refusal(rows[8]), "travel.dose_limit /lines/1/units_a_day");
}

// A day-by-day walk that opens a cartridge when the day does not fit or its period has ended never
// needs more cartridges than are counted on.
RC_GTEST_PROP(TravelProperty, NoWalkNeedsMoreCartridges, ()) {
  Line line = example().lines[0];
  line.a_day = *Units::from_hundredths(*rc::gen::inRange<std::int64_t>(1, 900) * 50);
  line.primes_a_day = *Units::from_hundredths(*rc::gen::inRange<std::int64_t>(0, 20) * 50);
  line.cartridge = *Units::from_hundredths(*rc::gen::inRange<std::int64_t>(5, 450) * 100);
  line.in_use_days = *rc::gen::inRange(1, 60);
  const auto days = *rc::gen::inRange(1, 200);
  const auto counted = cartridges_for(line, days);
  const std::int64_t need = line.a_day.hundredths() + line.primes_a_day.hundredths();
  const std::int64_t fresh = line.cartridge.hundredths() - line.new_cartridge_prime.hundredths();
  std::int64_t left = 0, age = 0, opened = 0;
  for (std::int32_t day = 0; day < days; ++day, ++age) {
    if (left >= need && age < line.in_use_days) {
      left -= need;
      continue;
    }
    std::int64_t got = 0;
    while (got < need) {
      ++opened;
      const std::int64_t taken = std::min(fresh, need - got);
      got += taken;
      left = fresh - taken;
    }
    age = 0;
  }
  RC_ASSERT(opened <= counted);
  RC_ASSERT(counted * fresh >= need * days);
}

}  // namespace
}  // namespace penstock::travel
