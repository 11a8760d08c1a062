// What a person can read: the contract's example, hazards, boundaries, refusals.
#include "core/cover/cover.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace penstock::cover {
namespace {

using namespace literals;
using std::chrono::days;

LocalDay day(std::string_view text) { return *parse_day(text); }

Line glargine() {
  Line line;
  line.insulin = "insulin glargine";
  line.doses = {20_units};
  line.prime = 2_units;
  line.new_cartridge_prime = 4_units;
  line.cartridge = 300_units;
  line.in_use_days = 28;
  line.open = {{120_units, 10, false, {}}};
  line.sealed = {{2, {}}};
  return line;
}

Request example() {
  Request r;
  r.on = day("2027-03-01");
  r.lines = {glargine()};
  r.needles_left = 60;
  r.ask.emplace().leads = {{7, 1.0}};
  return r;
}

Lasts lasts(const Request& request) {
  const auto answer = cover(request);
  EXPECT_TRUE(answer) << answer.error().code << " " << answer.error().at;
  return answer ? answer->lines.front() : Lasts{};
}

bool says(const Lasts& lasts, std::string_view code) {
  return std::ranges::find(lasts.cautions, code) != lasts.cautions.end();
}

// 120 units are five doses of 22 and 10 thrown away; each sealed one gives 24 and twelve times 22.
TEST(Cover, TheContractsExampleLastsThirtyOneDaysAndIsAskedForByTheTwelfth) {
  const auto answer = cover(example());
  ASSERT_TRUE(answer);
  const auto& line = answer->lines.front();
  EXPECT_EQ(line.full_days, 31);
  EXPECT_EQ(line.last_full_day, day("2027-03-31"));
  EXPECT_EQ(line.thrown_away, 34_units);
  EXPECT_EQ(line.runs_out, (std::vector<DayChance>{{day("2027-04-01"), 1.0}}));
  // Without the spare the last full day is the 18th: 18 = 12 + 7 - 1.
  EXPECT_EQ(line.ask_by, day("2027-03-12"));
  EXPECT_EQ(line.here_by, day("2027-03-19"));
  EXPECT_FALSE(line.late);
  EXPECT_EQ(line.boxes, 1);
  EXPECT_TRUE(line.cautions.empty());
  ASSERT_TRUE(answer->needles);
  EXPECT_EQ(answer->needles->full_days, 60);
  EXPECT_EQ(answer->needles->last_full_day, day("2027-04-29"));
  EXPECT_EQ(answer->needles->ask_by, day("2027-04-23"));
  EXPECT_EQ(answer->needles->boxes, 0);
  EXPECT_FALSE(answer->sharps);
  EXPECT_EQ(answer->ask_by, day("2027-03-12"));
}

// Three days of 22 leave 54 of the open one; then 42 a day: one day more and 12 thrown away; each
// sealed one gives 44 and six times 42, and 4 are thrown away.
TEST(Cover, H51_EachDayTakesTheDosesThatHoldOnIt) {
  auto r = example();
  r.lines.front().changes = {{day("2027-03-04"), {40_units}}};
  const auto answer = cover(r);
  ASSERT_TRUE(answer);
  const auto& line = answer->lines.front();
  EXPECT_EQ(line.full_days, 18);
  EXPECT_EQ(line.runs_out, (std::vector<DayChance>{{day("2027-03-19"), 1.0}}));
  EXPECT_EQ(line.thrown_away, 20_units);
  // Without the spare the last full day is the 11th: 11 = 5 + 7 - 1.
  EXPECT_EQ(line.ask_by, day("2027-03-05"));
  EXPECT_EQ(line.here_by, day("2027-03-12"));
  EXPECT_EQ(answer->needles->full_days, 60);
  // Thirty days take three of the first, and four cartridges for 27 days at seven days each.
  EXPECT_EQ(line.boxes, 1);
  EXPECT_EQ(doses_on(r.lines.front(), day("2027-03-03")), std::vector{20_units});
  EXPECT_EQ(doses_on(r.lines.front(), day("2027-03-04")), std::vector{40_units});
}

TEST(Cover, H51_AChangeOnTheFirstDayOrBeforeItHoldsFromTheFirstDayOn) {
  auto wanted = example();
  wanted.lines.front().doses = {40_units};
  wanted.lines.front().given_on_first_day = 1;
  for (const auto* from : {"2027-03-01", "2027-02-27", "2026-01-01"}) {
    auto r = wanted;
    r.lines.front().doses = {10_units, 10_units};
    r.lines.front().changes = {{day("2025-01-01"), {30_units}}, {day(from), {40_units}}};
    EXPECT_EQ(lasts(r).runs_out, lasts(wanted).runs_out) << from;
    // What is given of the first day is of the doses that hold on it.
    r.lines.front().given_on_first_day = 2;
    const auto answer = cover(r);
    ASSERT_FALSE(answer);
    EXPECT_EQ(answer.error().at, "/lines/0/given_on_first_day");
  }
}

TEST(Cover, H51_AChangeMayLeaveNothingToTakeAndDividesDosesAndNeedles) {
  auto r = example();
  auto& line = r.lines.front();
  line.changes = {{day("2027-03-04"), {}}};
  EXPECT_EQ(lasts(r).beyond_horizon, true);
  EXPECT_EQ(lasts(r).boxes, 0);
  EXPECT_FALSE(lasts(r).ask_by);
  EXPECT_TRUE(cover(r)->needles->beyond_horizon);
  line.dose_sd = 3_units;
  EXPECT_TRUE(lasts(r).runs_out.empty());
  line.dose_sd = Units::zero();
  // Taken up again: three needles are gone, then two a day for 70 units from a pen of 60.
  line.changes.push_back({day("2027-03-10"), {70_units}});
  line.most = 60_units;
  line.sealed = {{40, {}}};
  EXPECT_EQ(cover(r)->needles->last_full_day, day("2027-04-06"));  // 3 + 2 x 28 of 60
}

// ---- hazards

TEST(Cover, H12_PastItsInUseDaysACartridgeIsNeverCounted) {
  auto r = example();
  auto& line = r.lines.front();
  line.sealed.clear();
  for (std::int32_t used = 0; used <= 30; ++used) {
    line.open = {{300_units, used, false, {}}};
    const auto found = lasts(r);
    // It serves while its days are fewer than 28; 300 units are 13 days of 22.
    EXPECT_EQ(found.full_days, std::clamp(28 - used, 0, 13)) << used;
    EXPECT_EQ(says(found, cover_cautions::period_over), used >= 28) << used;
    EXPECT_EQ(says(found, cover_cautions::ends_unused), used > 15 && used < 28) << used;
  }
  line.open = {{300_units, 28, false, {}}, {66_units, 27, false, {}}};
  const auto found = lasts(r);
  EXPECT_EQ(found.full_days, 1);  // of the second one, on its last day
  EXPECT_EQ(found.thrown_away, 344_units);
}

TEST(Cover, H12_WhatExpiresIsOpenedFirstAndNeverAfterItsLastDay) {
  auto r = example();
  auto& line = r.lines.front();
  line.open.clear();
  line.sealed = {{1, {}}, {1, day("2027-03-05")}, {1, day("2027-02-28")}};
  const auto found = lasts(r);
  // Expired: passed over. Then five days of the one that expires on the 5th, then thirteen.
  EXPECT_EQ(found.full_days, 18);
  EXPECT_EQ(found.thrown_away, *Units::from_hundredths(300'00 + (300 - 24 - 88) * 100 + 12'00));
  EXPECT_TRUE(says(found, cover_cautions::expired));
  EXPECT_TRUE(says(found, cover_cautions::ends_unused));
}

// The room sees dates, never instants: an hour more or less in a day changes nothing. Every first
// day of four years, a leap day among them.
TEST(Cover, H18_ADayIsADateWhateverItsClockDoes) {
  auto r = example();
  const auto first = lasts(r);
  for (int i = 0; i < 4 * 365 + 1; ++i) {
    r.on = day("2027-01-01") + days{i};
    const auto found = lasts(r);
    ASSERT_EQ(found.full_days, first.full_days);
    ASSERT_EQ(found.last_full_day, r.on + days{30});
    ASSERT_EQ(found.ask_by, r.on + days{11});
  }
  // The nights of the clock changes of 2027 in Europe lie in these.
  r.on = day("2027-03-27");
  EXPECT_EQ(lasts(r).last_full_day, day("2027-04-26"));
  r.on = day("2027-10-30");
  EXPECT_EQ(lasts(r).last_full_day, day("2027-11-29"));
}

TEST(Cover, H51_TheSpareIsNeverPlannedWithAndCountedByWhatIsLeftWithoutIt) {
  auto r = example();
  r.needles_left.reset();
  for (std::int32_t sealed = 0; sealed <= 4; ++sealed) {
    for (std::int32_t spare = 0; spare <= 3; ++spare) {
      r.lines.front().sealed = {{sealed, {}}};
      r.ask->spare_cartridges = spare;
      const auto found = lasts(r);
      const int planned = 5 + 13 * std::max(0, sealed - spare);
      EXPECT_EQ(found.full_days, 5 + 13 * sealed);  // the house as a whole
      EXPECT_EQ(found.late, planned < 7);
      EXPECT_EQ(found.ask_by, r.on + days{std::max(0, planned - 7)}) << sealed << spare;
      EXPECT_EQ(says(found, cover_cautions::none_sealed), sealed == 0);
      EXPECT_EQ(says(found, cover_cautions::spare_short), sealed > 0 && sealed < spare);
      // 30 days take the open one and two more; with the spare.
      const int lacking = std::max(0, 2 + spare - sealed);
      EXPECT_EQ(found.boxes, (lacking + 4) / 5);
    }
  }
}

TEST(Cover, H51_ALateDeliveryIsCountedWithItsChance) {
  auto r = example();
  auto& ask = *r.ask;
  // Eighteen days without the spare: the 3-day way alone would do until the 16th.
  ask.leads = {{3, 1.0}};
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-16"));
  ask.leads = {{3, 0.98}, {10, 0.02}};
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-09"));  // one in fifty is more than one in a hundred
  EXPECT_EQ(lasts(r).here_by, day("2027-03-19"));
  ask.leads = {{3, 0.995}, {10, 0.005}};
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-16"));
  EXPECT_EQ(lasts(r).here_by, day("2027-03-26"));
  ask.service = 0.999;
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-09"));
}

TEST(Cover, LeadDaysAreCountedInOpenDaysAndNobodyAsksOnAClosedOne) {
  auto r = example();
  auto& ask = *r.ask;
  ask.leads = {{3, 1.0}};
  for (int i = 0; i < 60; ++i) {  // 2027-03-01 is a Monday
    if (const auto on = r.on + days{i}; std::chrono::weekday{on}.iso_encoding() >= 6) {
      ask.closed.push_back(on);
    }
  }
  // Without the spare the last full day is Thursday the 18th. Asked for on Tuesday the 16th it is
  // there on Friday the 19th.
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-16"));
  EXPECT_EQ(lasts(r).here_by, day("2027-03-19"));
  ask.leads = {{5, 1.0}};
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-12"));  // Friday to Friday
  ask.leads = {{4, 1.0}};
  ask.closed.push_back(day("2027-03-15"));
  EXPECT_EQ(lasts(r).ask_by, day("2027-03-12"));  // Tuesday to Friday
  // The first day is closed and it is late already: the first open day is when it can be asked.
  r.on = day("2027-03-06");
  r.lines.front().sealed.clear();
  r.lines.front().open.clear();
  const auto found = lasts(r);
  EXPECT_TRUE(found.late);
  EXPECT_EQ(found.ask_by, day("2027-03-06"));
  EXPECT_EQ(found.here_by, day("2027-03-12"));
}

TEST(Cover, H38_NotEnoughForTheFirstDayIsSaidFirst) {
  auto r = example();
  r.lines.front().sealed.clear();
  r.lines.front().open = {{21_units, 1, false, {}}};
  const auto found = lasts(r);
  EXPECT_EQ(found.full_days, 0);
  EXPECT_FALSE(found.last_full_day);
  EXPECT_EQ(found.thrown_away, 21_units);
  EXPECT_EQ(found.cautions.front(), cover_cautions::out_now);
  EXPECT_TRUE(says(found, cover_cautions::late));
  r.lines.front().given_on_first_day = 1;
  EXPECT_EQ(lasts(r).full_days, 1);
}

// ---- boundaries

TEST(Cover, AnEmptyHouseAndNoNeedle) {
  Request r = example();
  r.lines.front().open.clear();
  r.lines.front().sealed.clear();
  r.needles_left = 0;
  r.sharps_room = 0;
  for (const Units sd : {0_units, 3_units}) {
    r.lines.front().dose_sd = sd;
    const auto answer = cover(r);
    ASSERT_TRUE(answer);
    for (const auto* one : {&answer->lines.front(), &*answer->needles, &*answer->sharps}) {
      EXPECT_EQ(one->full_days, 0);
      EXPECT_EQ(one->runs_out.front().day, r.on);
      EXPECT_NEAR(one->runs_out.front().chance, 1, 1e-9);
      EXPECT_TRUE(one->late);
      EXPECT_TRUE(says(*one, cover_cautions::out_now));
    }
    EXPECT_EQ(answer->lines.front().boxes, 1);
    EXPECT_EQ(answer->needles->boxes, 1);
    EXPECT_EQ(answer->sharps->boxes, 0);
    EXPECT_EQ(answer->ask_by, r.on);
  }
}

TEST(Cover, TwoHundredCartridgesLastToTheHorizonOrToTheirDay) {
  Request r = example();
  r.lines.front().open.clear();
  r.lines.front().sealed = {{200, {}}};
  auto found = lasts(r);
  EXPECT_TRUE(found.beyond_horizon);
  EXPECT_EQ(found.full_days, horizon_days_max);
  EXPECT_TRUE(found.runs_out.empty());
  EXPECT_FALSE(found.ask_by);
  EXPECT_TRUE(says(found, cover_cautions::beyond_horizon));
  r.lines.front().doses = {30_units, 30_units, 30_units};
  // Three of 32 units a day, nine to a cartridge: three days each.
  found = lasts(r);
  EXPECT_EQ(found.full_days, 600);
  EXPECT_EQ(found.ask_by, r.on + days{597 - 7});
  r.lines.front().dose_sd = 2_units;
  found = lasts(r);
  EXPECT_EQ(found.full_days, 600);
  EXPECT_NEAR(found.runs_out.back().chance, 1, 1e-9);
  EXPECT_LT(found.ask_by, r.on + days{597 - 7});
}

TEST(Cover, OneUnitADayForYearsEndsByThePeriodsAndTheHorizon) {
  Request r = example();
  auto& line = r.lines.front();
  line.doses = {1_units};
  line.open.clear();
  line.sealed = {{30, {}}};
  for (const Units sd : {0_units, 0.5_units}) {
    line.dose_sd = sd;
    line.sealed.front().cartridges = 30;
    auto found = lasts(r);
    EXPECT_EQ(found.full_days, 840);  // 28 days each, whatever is left
    EXPECT_TRUE(says(found, cover_cautions::ends_unused));
    line.sealed.front().cartridges = 40;
    found = lasts(r);
    EXPECT_TRUE(found.beyond_horizon);
    EXPECT_EQ(found.full_days, horizon_days_max);
  }
  EXPECT_EQ(lasts(r).boxes, 0);
}

TEST(Cover, ASpreadFarBeyondTheDoseIsStillALaw) {
  Request r = example();
  auto& line = r.lines.front();
  line.dose_sd = 100_units;
  const auto found = lasts(r);
  double before = 0;
  for (const auto& one : found.runs_out) {
    EXPECT_GE(one.chance, before);
    before = one.chance;
  }
  EXPECT_NEAR(before, 1, 1e-9);
  // Some doses are more than a cartridge can give, and no number of boxes covers those.
  EXPECT_TRUE(says(found, cover_cautions::too_large));
  EXPECT_GT(found.boxes, 0);
  line.dose_sd = 50_units;
  EXPECT_FALSE(says(lasts(r), cover_cautions::too_large));
}

TEST(Cover, PrimesNewOnesDividedDosesAndRestsAreCountedAsTheyAreTaken) {
  Request r = example();
  r.ask.reset();
  auto& line = r.lines.front();
  line.sealed = {{1, {}}};
  line.open.clear();
  line.doses = {100_units};
  line.most = 60_units;
  // 4 + 2 + 100, then 2 + 2 + 100: the third dose finds 90.
  EXPECT_EQ(lasts(r).full_days, 2);
  EXPECT_EQ(lasts(r).thrown_away, 90_units);
  line.use_the_rest = true;
  line.sealed = {{2, {}}};
  // The third takes 86 of the 90 in two injections and 14 of the next; two more leave 74, of which
  // 70 are given on the sixth day.
  EXPECT_EQ(lasts(r).full_days, 5);
  EXPECT_EQ(lasts(r).thrown_away, 0_units);
  line.use_the_rest = false;
  line.window = shelf::Window::counts_on;
  line.doses = {59_units};  // 58 beside a prime of 2: in two parts
  line.sealed = {{1, {}}};
  EXPECT_EQ(lasts(r).full_days, 4);  // 65, then 63 each
  line.most.reset();
  EXPECT_EQ(lasts(r).full_days, 4);  // 63, then 61 each
  line.prime = 0_units;
  line.new_cartridge_prime = 0_units;
  line.doses = {60_units};
  EXPECT_EQ(lasts(r).full_days, 5);  // no prime is none
  EXPECT_EQ(lasts(r).thrown_away, 0_units);
}

TEST(Cover, H43_ASuspensionIsNotBegunBelowItsLeast) {
  Request r = example();
  auto& line = r.lines.front();
  line.suspension = true;
  line.least_left_to_mix = 40_units;
  line.sealed.clear();
  line.open = {{104_units, 0, false, {}}};
  EXPECT_EQ(lasts(r).full_days, 3);  // 104, 82, 60 can be mixed; 38 cannot
  line.least_left_to_mix = 38_units;
  EXPECT_EQ(lasts(r).full_days, 4);
}

// ---- needles

TEST(Cover, H34_TheSharpsBoxTakesEveryNeedleAndAFailedOne) {
  Request r = example();
  r.lines.push_back(glargine());
  r.lines.back().doses = {5_units, 6_units, 7_units};
  r.needles_left = 40;
  r.sharps_room = 20;
  auto answer = cover(r);
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->needles->full_days, 10);  // four a day
  EXPECT_EQ(answer->sharps->full_days, 5);
  EXPECT_EQ(answer->sharps->last_full_day, day("2027-03-05"));
  EXPECT_EQ(answer->needles->boxes, 1);
  r.needle_fails = 0.02;
  answer = cover(r);
  EXPECT_EQ(answer->needles->full_days, 9);  // 39 good ones are expected
  EXPECT_EQ(answer->sharps->full_days, 4);
  // All 40 good: 0.98^40 for ten days.
  const auto& runs = answer->needles->runs_out;
  const auto tenth = std::ranges::find(runs, r.on + days{9}, &DayChance::day);
  ASSERT_NE(tenth, runs.end());
  EXPECT_NEAR(tenth->chance, 1 - std::pow(0.98, 40), 1e-12);
}

// The number of needles that m injections use up is a sum of m geometric ones. Written out for all
// m and needles, it is what the binomial number of good ones says.
TEST(Cover, NeedlesThatFailAreASumOfGeometricOnes) {
  Request r = example();
  r.ask.reset();
  r.lines.front().doses = {20_units, 10_units};
  for (const double fails : {0.02, 0.1, 0.5}) {
    r.needle_fails = fails;
    for (const std::int32_t needles : {1, 7, 30}) {
      r.needles_left = needles;
      const auto answer = cover(r);
      ASSERT_TRUE(answer);
      std::vector<double> used(static_cast<std::size_t>(needles) + 1, 0.0);  // [n]: n are used
      used[0] = 1;
      for (int on = 0; on < 12; ++on) {
        for (int injection = 0; injection < 2; ++injection) {
          std::vector<double> then(used.size(), 0.0);
          for (std::size_t n = 0; n < used.size(); ++n) {
            double takes = 1 - fails;
            for (std::size_t more = n + 1; more < used.size(); ++more, takes *= fails) {
              then[more] += used[n] * takes;
            }
          }
          used = then;
        }
        double enough = 0;
        for (const double chance : used) enough += chance;
        double found = 0;
        for (const auto& one : answer->needles->runs_out) {
          if (one.day <= r.on + days{on}) found = one.chance;
        }
        if (1 - enough > 1e-8) {
          EXPECT_NEAR(found, 1 - enough, 2e-9) << fails << " " << needles << " " << on;
        }
      }
    }
  }
}

// ---- refusals

TEST(Cover, H25_RefusalsComeInTheirDeclaredOrder) {
  // Everything is wrong at once; each is mended in turn.
  Request r = example();
  auto line = glargine();
  line.doses.clear();
  r.lines.clear();
  r.ask->leads = {{7, 0.5}};
  std::vector<std::string> met;
  const auto refused = [&] {
    const auto answer = cover(r);
    ASSERT_FALSE(answer);
    met.push_back(answer.error().code);
  };
  refused();
  r.lines = {line};
  refused();
  auto& now = r.lines.front();
  now.doses = {300.5_units};
  now.in_use_days = 0;
  now.most = 2_units;
  now.window = shelf::Window::counts_on;
  now.suspension = now.use_the_rest = true;
  now.dose_sd = 100_units;
  now.step = *Units::from_hundredths(20);
  refused();
  now.in_use_days = 28;
  refused();
  now.doses = {300_units};
  refused();
  now.most.reset();
  refused();
  now.doses.assign(24, 20_units);
  now.changes.assign(2, {r.on, {}});
  refused();
  now.suspension = false;
  refused();
  now.changes.pop_back();
  refused();
  r.ask->leads = {{7, 1.0}};
  refused();
  EXPECT_TRUE(std::ranges::equal(met, refusals));
  now.dose_sd = 1_units;
  now.doses = {20_units};
  EXPECT_TRUE(cover(r));
}

TEST(Cover, S4_WhatWouldTakeMinutesIsRefusedBeforeItBegins) {
  Request r = example();
  auto& line = r.lines.front();
  line.step = *Units::from_hundredths(20);
  line.dose_sd = 3_units;
  line.doses.assign(4, 20_units);
  EXPECT_TRUE(cover(r));
  // The request that held a server up for minutes: fifty lines of 24 doses from 1'500 steps.
  line.cartridge = 1500_units;
  line.step = 1_units;
  line.dose_sd = *Units::from_hundredths(333);
  line.doses.assign(24, 5_units);
  r.lines.assign(50, line);
  const auto answer = cover(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, codes::too_much_work);
  EXPECT_EQ(answer.error().at, "/lines");
  // So are many changes of a cartridge of many steps that may outlast its period.
  const Line large = r.lines.front();
  r.lines.resize(1);
  r.lines.front().doses = {5_units};
  r.lines.front().in_use_days = 400;
  EXPECT_TRUE(cover(r));
  for (int i = 1; i <= 20; ++i) r.lines.front().changes.push_back({r.on + days{i}, {5_units}});
  EXPECT_EQ(cover(r).error().code, codes::too_much_work);
  r.lines.assign(50, large);
  // One after the other they may be asked about; doses that do not vary cost nothing.
  r.lines.resize(1);
  r.lines.front().sealed.clear();
  EXPECT_TRUE(cover(r));
  r.lines.front().dose_sd = Units::zero();
  r.lines.assign(50, r.lines.front());
  EXPECT_TRUE(cover(r));
}

TEST(Cover, S4_IsGivenUpWithinADayOnceNobodyWaits) {
  Request r = example();
  r.lines.front().dose_sd = 3_units;
  r.lines.assign(3, r.lines.front());
  int asked = 0;
  const auto whole = cover(r, [&asked] { return ++asked == 0; });
  ASSERT_TRUE(whole);
  EXPECT_GT(asked, 100);  // days on which it was asked
  EXPECT_EQ(whole->lines.back().runs_out, cover(r)->lines.back().runs_out);
  for (const int patience : {0, 1, 40, asked - 1}) {
    int now = 0;
    const auto answer = cover(r, [&] { return ++now > patience; });
    ASSERT_FALSE(answer) << patience;
    EXPECT_EQ(answer.error().kind, Kind::unavailable);
    EXPECT_EQ(answer.error().code, penstock::codes::stopped);
    EXPECT_LE(now, patience + 3);
  }
}

TEST(Cover, H25_ADoseThatNoFullCartridgeGivesIsRefusedWithWhatOneHolds) {
  Request r = example();
  r.lines.front().doses = {296_units};
  EXPECT_TRUE(cover(r));
  r.lines.front().doses = {10_units, 297_units};
  const auto answer = cover(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, codes::dose_never_fits);
  EXPECT_EQ(answer.error().at, "/lines/0/doses_units/1");
  EXPECT_EQ(answer.error().args[2], arg_units("holds", 296_units));
}

// H25: the doses of every change are looked at like the first ones.
TEST(Cover, H25_WhatCannotBeOfAChangeIsRefusedWithItsPlace) {
  struct Row {
    std::vector<Change> changes;
    std::string_view code, at;
  };
  const auto from = day("2027-03-05");
  const Row rows[] = {
      {{{from, {20_units}}, {from, {22_units}}}, codes::changes_order, "/lines/0/changes/1/from"},
      {{{from, {20_units}}, {from - days{1}, {}}}, codes::changes_order, "/lines/0/changes/1/from"},
      {{{from, {20_units, Units::zero()}}}, codes::value_range, "/lines/0/changes/0/doses_units/1"},
      {{{from, {20.5_units}}}, codes::not_a_step, "/lines/0/changes/0/doses_units/0"},
      {{{from, {}}, {from + days{1}, {297_units}}},
       codes::dose_never_fits,
       "/lines/0/changes/1/doses_units/0"},
      {{{from, std::vector(25, 1_units)}}, codes::value_range, "/lines/0/changes/0/doses_units"},
      {std::vector(101, Change{from, {}}), codes::value_range, "/lines/0/changes"}};
  for (const auto& row : rows) {
    auto r = example();
    r.lines.front().changes = row.changes;
    const auto answer = cover(r);
    ASSERT_FALSE(answer) << row.code;
    EXPECT_EQ(answer.error().code, row.code);
    EXPECT_EQ(answer.error().at, row.at);
  }
}

TEST(Cover, H25_WhatIsNoNumberOrOutsideItsLimitsIsRefused) {
  const auto at = [](auto&& change) {
    Request r = example();
    change(r);
    const auto answer = cover(r);
    EXPECT_FALSE(answer);
    return answer ? std::string() : answer.error().at;
  };
  constexpr double no_number = std::numeric_limits<double>::quiet_NaN();
  EXPECT_EQ(at([](Request& r) { r.ask->service = no_number; }), "/ask/service");
  EXPECT_EQ(at([](Request& r) { r.ask->service = 0.49; }), "/ask/service");
  EXPECT_EQ(at([](Request& r) { r.needle_fails = no_number; }), "/needle_fails");
  EXPECT_EQ(at([](Request& r) { r.needle_fails = -0.1; }), "/needle_fails");
  EXPECT_EQ(at([](Request& r) { r.ask->leads = {{7, no_number}}; }), "/ask/leads");
  EXPECT_EQ(at([](Request& r) { r.ask->leads.clear(); }), "/ask/leads");
  EXPECT_EQ(at([](Request& r) { r.lines.front().step = 0_units; }), "/lines/0/step_units");
  EXPECT_EQ(at([](Request& r) { r.lines.front().cartridge = 0_units; }),
            "/lines/0/cartridge_units");
  EXPECT_EQ(at([](Request& r) { r.lines.front().open[0].left = 4'000_units; }),
            "/lines/0/open/left_units");
  // Where doses vary every step of a cartridge is looked at: at most 1'500 of them.
  EXPECT_EQ(at([](Request& r) {
              r.lines.front().dose_sd = 1_units;
              r.lines.front().step = 0.1_units;
            }),
            "/lines/0/step_units");
  EXPECT_EQ(at([](Request& r) { r.lines.front().dose_sd = 100.01_units; }),
            "/lines/0/dose_sd_units");
}

}  // namespace
}  // namespace penstock::cover
