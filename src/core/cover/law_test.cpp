// Where doses vary: the law of the run-out against every sequence of doses written out, against a
// simulation, and the pieces that it is made of.
#include "core/cover/internal/law.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "core/cover/cover.hpp"
#include "support/naive_cover.hpp"

namespace penstock::cover {
namespace {

using namespace literals;
using std::chrono::days;

Units hundredths(std::int64_t n) { return *Units::from_hundredths(n); }
const LocalDay first = *parse_day("2027-03-01");

/// By day, from the cumulative list of the answer.
double chance_by(const Lasts& lasts, int day) {
  double chance = 0;
  for (const auto& one : lasts.runs_out) {
    if (one.day <= first + days{day}) chance = one.chance;
  }
  return chance;
}

constexpr double exact = 1e-12;  // what the sums of doubles may lose, see the door

class AnyVaryingHouse : public testing::TestWithParam<std::uint32_t> {
 protected:
  std::mt19937 random{GetParam()};
  std::int64_t pick(std::int64_t n) {
    return static_cast<std::int64_t>(random() % static_cast<std::uint32_t>(n));
  }
  bool one_in(std::int64_t n) { return pick(n) == 0; }
  std::optional<LocalDay> expiry() {
    if (one_in(2)) return std::nullopt;
    return first + days{pick(30) - 2};
  }

  Line line() {
    const std::int64_t step = one_in(3) ? 50 : 100;
    Line out;
    out.insulin = "insulin glargine";
    out.step = hundredths(step);
    const auto doses = 1 + pick(3);
    for (std::int64_t i = 0; i < doses; ++i) out.doses.push_back(hundredths((1 + pick(6)) * step));
    out.dose_sd = hundredths(20 + pick(150) * step / 100);
    if (one_in(3)) out.given_on_first_day = static_cast<std::size_t>(pick(doses + 1));
    out.prime = hundredths(pick(3) * step);
    out.new_cartridge_prime = hundredths(pick(4) * step);
    out.cartridge = hundredths((12 + pick(25)) * step + (one_in(3) ? pick(step) : 0));
    out.in_use_days = static_cast<std::int32_t>(1 + pick(12));
    if (one_in(4)) {
      out.most = hundredths((5 + pick(3)) * step);
      out.window = one_in(2) ? shelf::Window::counts_on : shelf::Window::returns_to_zero;
    }
    if (one_in(3)) {
      out.suspension = true;
      out.least_left_to_mix = hundredths(pick(8) * step + pick(step));
    } else {
      out.use_the_rest = one_in(2);
    }
    for (auto open = pick(3); open > 0; --open) {
      out.open.push_back({hundredths(pick(out.cartridge.hundredths() + 1)),
                          static_cast<std::int32_t>(pick(out.in_use_days + 1)), one_in(4),
                          expiry()});
    }
    for (auto lots = pick(3); lots > 0; --lots) {
      out.sealed.push_back({static_cast<std::int32_t>(pick(3)), expiry()});
    }
    // Some before the first day, some that leave nothing to take.
    auto from = first + days{pick(8) - 2};
    for (auto changes = pick(3); changes > 0; --changes) {
      Change change{from, {}};
      for (auto i = pick(3); i > 0; --i) change.doses.push_back(hundredths((1 + pick(6)) * step));
      out.changes.push_back(std::move(change));
      from += days{1 + pick(8)};
    }
    out.given_on_first_day = std::min(out.given_on_first_day, doses_on(out, first).size());
    return out;
  }
};

std::string told(const Line& line) {
  std::string text;
  for (const auto dose : line.doses) text += format(dose) + " ";
  for (const auto& change : line.changes) {
    text += "from " + format_iso(change.from) + " ";
    for (const auto dose : change.doses) text += format(dose) + " ";
  }
  return text + "sd " + format(line.dose_sd) + " step " + format(line.step) + " of " +
         format(line.cartridge) + ", " + std::to_string(line.in_use_days) + " days, " +
         std::to_string(line.open.size()) + " open" +
         (line.use_the_rest ? ", rests are used" : "") + (line.suspension ? ", suspension" : "") +
         (line.most ? ", divided" : "");
}

/// Everything that the law is asked about, against the simpler account.
void compare(const Line& line, const Ask& ask, int walked, const std::string& where) {
  Request request;
  request.on = first;
  request.lines = {line};
  request.ask = ask;
  const auto answer = cover(request);
  if (!answer) {
    ASSERT_TRUE(answer.error().code == codes::dose_never_fits ||
                answer.error().code == codes::prime_fills_window)
        << answer.error().code;
    return;
  }
  const Lasts& lasts = answer->lines.front();
  const naive::House house(line, first, 0, 0);
  const auto all = naive::run_out(line, house, first, walked);
  for (int day = 0; day < walked; ++day) {
    const double chance = all[static_cast<std::size_t>(day)];
    if (chance < chance_least * 2 || chance > 1 - chance_least * 2) continue;
    ASSERT_NEAR(chance_by(lasts, day), chance, exact) << where << " day " << day;
  }
  const naive::House plan(line, first, ask.spare_cartridges, 0);
  const auto gone = naive::run_out(line, plan, first, walked);
  int latest = -1, last_day = -1;
  for (int day = 0; day + ask.leads.front().days - 1 < walked; ++day) {
    last_day = day;
    double covered = 0;
    for (const auto& lead : ask.leads) {
      const int last = day + lead.days - 1;
      covered += lead.chance * (last < 0 ? 1 : 1 - gone[static_cast<std::size_t>(last)]);
    }
    if (covered >= ask.service) latest = day;
  }
  ASSERT_EQ(lasts.late, latest < 0) << where;
  if (latest == last_day) {  // it lasts longer than was walked
    ASSERT_GE(lasts.ask_by.value_or(LocalDay::max()), first + days{latest}) << where;
  } else {
    ASSERT_EQ(lasts.ask_by, first + days{std::max(0, latest)}) << where;
  }
  for (int boxes = std::max(0, lasts.boxes - 1); boxes <= lasts.boxes; ++boxes) {
    const naive::House more(line, first, ask.spare_cartridges, boxes * ask.cartridges_per_box);
    const auto gone_by = naive::run_out(line, more, first, ask.for_days);
    const double chance = gone_by.back();
    ASSERT_EQ(1 - chance >= ask.service, boxes == lasts.boxes) << where << " boxes " << boxes;
  }
}

TEST_P(AnyVaryingHouse, H12_HasTheChancesOfAllSequencesOfDosesWrittenOut) {
  for (int round = 0; round < 10; ++round) {
    const Line one = line();
    Ask ask;
    ask.leads = {{static_cast<std::int32_t>(pick(5)), 1.0}};
    ask.spare_cartridges = static_cast<std::int32_t>(pick(2));
    ask.for_days = static_cast<std::int32_t>(1 + pick(9));
    ask.cartridges_per_box = static_cast<std::int32_t>(1 + pick(2));
    ask.service = 0.6 + 0.01 * static_cast<double>(pick(40));
    compare(one, ask, 24,
            "seed " + std::to_string(GetParam()) + " round " + std::to_string(round) + ": " +
                told(one));
    if (HasFatalFailure()) return;
  }
}
INSTANTIATE_TEST_SUITE_P(Seeds, AnyVaryingHouse, testing::Range(20261210U, 20261216U));

// ---- a seeded simulation: path by path, by a plain loop

/// Clear insulin, one injection a dose: what the simulation can do in a few lines.
std::vector<double> simulated(const Line& line, int paths, int horizon, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  const auto normal = [&] {  // Box and Muller's, from two numbers of 53 bits
    const double u = (static_cast<double>(random() >> 11) + 0.5) / 9007199254740992.0;
    const double v = static_cast<double>(random() >> 11) / 9007199254740992.0;
    return std::sqrt(-2 * std::log(u)) * std::cos(2 * std::numbers::pi * v);
  };
  const double step = static_cast<double>(line.step.hundredths()) / 100;
  const double sd = static_cast<double>(line.dose_sd.hundredths()) / 100;
  const double prime = static_cast<double>(line.prime.hundredths()) / 100;
  const double prime_new = static_cast<double>(line.new_cartridge_prime.hundredths()) / 100;
  const double full = static_cast<double>(line.cartridge.hundredths()) / 100;
  std::vector<double> short_on(static_cast<std::size_t>(horizon), 0.0);
  std::vector<std::vector<Units>> by_day;
  for (int day = 0; day < horizon; ++day)
    by_day.push_back(naive::doses_of(line, first + days{day}));
  for (int path = 0; path < paths; ++path) {
    double left = static_cast<double>(line.open.front().left.hundredths()) / 100;
    int sealed = line.sealed.front().cartridges;
    int first_day = -line.open.front().days_in_use;
    bool out = false;
    for (int day = 0; day < horizon && !out; ++day) {
      const auto& doses = by_day[static_cast<std::size_t>(day)];
      for (std::size_t i = 0; i < doses.size() && !out; ++i) {
        const double mean = static_cast<double>(doses[i].hundredths()) / 100;
        const double dose = std::max(0.0, std::round((mean + sd * normal()) / step) * step);
        if (dose == 0) continue;
        if (left >= prime + dose && day - first_day < line.in_use_days) {
          left -= prime + dose;
        } else if (sealed > 0) {
          --sealed;
          left = full - prime_new - dose;
          first_day = day;
        } else {
          out = true;
        }
      }
      if (out) short_on[static_cast<std::size_t>(day)] += 1.0 / paths;
    }
  }
  for (std::size_t day = 1; day < short_on.size(); ++day) short_on[day] += short_on[day - 1];
  return short_on;
}

Line simulated_line(std::vector<Units> doses, Units sd) {
  Line line;
  line.insulin = "insulin glargine";
  line.doses = std::move(doses);
  line.dose_sd = sd;
  line.prime = 2_units;
  line.new_cartridge_prime = 4_units;
  line.cartridge = 300_units;
  line.open = {{120_units, 10, false, {}}};
  line.sealed = {{2, {}}};
  return line;
}

Line changed(std::vector<Units> doses, Units sd, std::vector<Change> changes) {
  auto line = simulated_line(std::move(doses), sd);
  line.changes = std::move(changes);
  return line;
}

// 50'000 paths each; a million, run by hand, agree as well. Four standard errors:
// of five hundred such tests one would miss by chance; the seeds are fixed.
TEST(Law, AgreesWithASimulationWithinItsError) {
  struct Row {
    Line line;
    int horizon;
    std::uint64_t seed;
  };
  const Row rows[] = {
      {simulated_line({20_units}, 4_units), 45, 20261221},
      {simulated_line({8_units, 6_units, 9_units}, 3_units), 40, 20261222},
      {simulated_line({8_units}, 2_units), 75, 20261223},  // the in-use period ends some, not all
      {simulated_line({3_units, 2_units}, 3_units), 75, 20261224},  // many doses of zero
      {changed({20_units}, 4_units, {{first + days{9}, {32_units}}}), 40, 20261231},
      // From days that the in-use period ends to days that empty cartridges, and back.
      {changed({7_units}, 2_units,
               {{first + days{12}, {14_units, 5_units}}, {first + days{25}, {6_units}}}),
       75, 20261232}};
  constexpr int paths = 50'000;
  int compared = 0;
  for (const auto& row : rows) {
    const auto gone = simulated(row.line, paths, row.horizon, row.seed);
    Request request;
    request.on = first;
    request.lines = {row.line};
    const auto answer = cover(request);
    ASSERT_TRUE(answer);
    for (int day = 0; day < row.horizon; ++day) {
      const double chance = chance_by(answer->lines.front(), day);
      const double error = std::sqrt(chance * (1 - chance) / paths);
      if (chance * paths < 20 || (1 - chance) * paths < 20) continue;
      ++compared;
      EXPECT_NEAR(gone[static_cast<std::size_t>(day)], chance, 4 * error)
          << told(row.line) << " day " << day << " seed " << row.seed;
    }
  }
  EXPECT_GT(compared, 25);
}

// ---- the pieces

TEST(Law, ARoundedNormalDoseIsItsDefinitionAndSumsToOne) {
  for (const std::int64_t sd : {1, 20, 100, 400, 2500, 30'000}) {
    for (const std::int64_t mean : {50, 100, 1'000, 2'050}) {
      Line line;
      line.dose_sd = hundredths(sd);
      line.step = hundredths(50);
      const auto written = naive::dose_chances(line, hundredths(mean));
      const auto law = internal::rounded_normal(hundredths(mean), line.dose_sd, line.step, 100'000);
      double sum = 0;
      for (std::size_t i = 0; i < law.chance.size(); ++i) {
        const auto steps = static_cast<std::size_t>(law.least) + i;
        sum += law.chance[i];
        const double wanted = steps < written.size() ? written[steps] : 0;
        EXPECT_NEAR(law.chance[i], wanted, 1e-15) << mean << " " << sd << " " << steps;
      }
      EXPECT_NEAR(sum, 1, 1e-14) << mean << " " << sd;
    }
  }
  // All that is more than can be told apart stands in the last one.
  const auto cut = internal::rounded_normal(20_units, 8_units, 1_units, 25);
  EXPECT_EQ(cut.most(), 25);
  EXPECT_NEAR(cut.chance.back(), 0.5 * std::erfc(4.5 / 8 / std::numbers::sqrt2), 1e-15);
}

internal::SlotLaw slot(Units mean, Units sd, Units prime) {
  const draw::Rules rules{.step = 1_units,
                          .most = 1'000_units,
                          .window = shelf::Window::returns_to_zero,
                          .prime = prime,
                          .prime_new_cartridge = prime,
                          .may_go_unprimed = true};
  const auto doses = internal::rounded_normal(mean, sd, 1_units, 400);
  return internal::slot_law(doses, internal::takings(rules, doses.most(), false));
}

TEST(Law, WhatSomeDaysSpendIsTheConvolutionAndChernoffsBoundHolds) {
  for (const Units sd : {1_units, 3_units}) {
    const std::vector<internal::SlotLaw> slots{slot(6_units, sd, 2_units),
                                               slot(3_units, sd, 2_units)};
    for (const std::int32_t on : {0, 1, 2, 5, 13}) {
      // Written out, dose by dose.
      std::vector<double> plain(401, 0.0);
      plain[0] = 1;
      for (std::int32_t i = 0; i < 2 * on; ++i) {
        const auto& one = slots[static_cast<std::size_t>(i % 2)];
        std::vector<double> then(plain.size(), 0.0);
        for (std::size_t at = 0; at < plain.size(); ++at) {
          then[at] += plain[at] * one.none;
          for (std::size_t j = 0; j < one.spend.size(); ++j) {
            const auto to = at + j + static_cast<std::size_t>(one.least_spend);
            if (to < then.size()) then[to] += plain[at] * one.spend[j];
          }
        }
        plain = then;
      }
      for (const std::int64_t most : {10, 60, 120}) {
        const auto law = internal::spent_in({{&slots, on}}, most);
        double sum = 0, wanted = 0;
        for (std::size_t i = 0; i < law.chance.size(); ++i) {
          const auto at = static_cast<std::size_t>(law.least) + i;
          EXPECT_NEAR(law.chance[i], plain[at], 1e-15);
          sum += law.chance[i];
        }
        for (std::size_t at = 0; at <= static_cast<std::size_t>(most); ++at) wanted += plain[at];
        EXPECT_NEAR(sum, wanted, 1e-14) << on << " " << most;
        if (!internal::may_be_at_most({{&slots, on}}, most)) {
          EXPECT_LT(wanted, 1e-18);
        }
      }
    }
    EXPECT_FALSE(internal::may_be_at_most({{&slots, 60}}, 120));  // it does rule something out
  }
}

// Days before and after a change: the sums of both, added up; and its bound is one.
TEST(Law, WhatDaysOnBothSidesOfAChangeSpendIsTheConvolutionOfBothSums) {
  const std::vector<internal::SlotLaw> before{slot(3_units, 2_units, 0_units)},
      after{slot(9_units, 3_units, 2_units), slot(2_units, 3_units, 2_units)};
  constexpr std::int64_t most = 90;
  int ruled_out = 0;
  for (const std::int32_t first_days : {0, 1, 4, 11}) {
    for (const std::int32_t then : {0, 1, 5, 20}) {
      const auto one = internal::spent_in({{&before, first_days}}, most);
      const auto other = internal::spent_in({{&after, then}}, most);
      const auto both = internal::spent_in({{&before, first_days}, {&after, then}}, most);
      std::vector<double> plain(static_cast<std::size_t>(most) + 1, 0.0);
      double sum = 0;
      for (std::size_t i = 0; i < one.chance.size(); ++i) {
        for (std::size_t j = 0; j < other.chance.size(); ++j) {
          const auto at = static_cast<std::size_t>(one.least + other.least) + i + j;
          if (at >= plain.size()) continue;
          plain[at] += one.chance[i] * other.chance[j];
          sum += one.chance[i] * other.chance[j];
        }
      }
      for (std::size_t i = 0; i < both.chance.size(); ++i) {
        EXPECT_NEAR(both.chance[i], plain[static_cast<std::size_t>(both.least) + i], 1e-15);
      }
      if (internal::may_be_at_most({{&before, first_days}, {&after, then}}, most)) continue;
      ++ruled_out;
      EXPECT_LT(sum, 1e-18) << first_days << " " << then;
    }
  }
  EXPECT_GT(ruled_out, 0);
}

/// What a line lasts, and how likely what on each day.
Lasts answer_of(const Line& line) {
  Request request;
  request.on = first;
  request.lines = {line};
  request.ask.emplace().leads = {{7, 1.0}};
  request.ask->for_days = 45;
  const auto answer = cover(request);
  EXPECT_TRUE(answer) << told(line);
  return answer ? answer->lines.front() : Lasts{};
}

// Varying doses, H51: a change to the same doses changes nothing, and before its day no change
// does.
TEST(Law, H51_AChangeToTheSameDosesChangesNothingAndNoChangeDoesBeforeItsDay) {
  const Line rows[] = {simulated_line({20_units}, 4_units), simulated_line({8_units}, 2_units),
                       simulated_line({3_units, 2_units}, 3_units)};
  for (const auto& row : rows) {
    const auto plain = answer_of(row);
    for (const int day : {-3, 0, 1, 7, 20, 30}) {
      auto line = row;
      line.changes = {{first + days{day}, row.doses}};
      const auto same = answer_of(line);
      EXPECT_EQ(same.full_days, plain.full_days);
      EXPECT_EQ(same.ask_by, plain.ask_by);
      EXPECT_EQ(same.boxes, plain.boxes);
      for (int at = 0; at < 75; ++at)
        EXPECT_NEAR(chance_by(same, at), chance_by(plain, at), exact) << told(line) << " " << at;
      line.changes = {{first + days{day}, {30_units, 12_units}}};
      const auto more = answer_of(line);
      for (int at = 0; at < day; ++at)
        EXPECT_NEAR(chance_by(more, at), chance_by(plain, at), exact) << told(line) << " " << at;
      EXPECT_LE(more.full_days, plain.full_days) << told(line);
      EXPECT_EQ(more.full_days < plain.full_days, day < plain.full_days) << told(line);
    }
  }
}

// A row of products, eight at a time, is the plain double loop to the last bit.
TEST(Law, TheConvolutionIsThePlainOneBitByBit) {
  std::mt19937 random(20261225);
  for (std::size_t n = 1; n < 40; n += 3) {
    for (std::size_t m = 1; m < 70; m += 7) {
      std::vector<double> a(n), b(m), plain(n + m - 1, 0.0);
      for (double& x : a) x = static_cast<double>(random()) / 4294967296.0;
      for (double& x : b) x = static_cast<double>(random()) / 4294967296.0;
      for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < m; ++j) plain[i + j] += a[i] * b[j];
      }
      EXPECT_EQ(internal::convolved(a, b), plain);
    }
  }
}

}  // namespace
}  // namespace penstock::cover
