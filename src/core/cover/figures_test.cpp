// Published inventory and possession examples. A normal demand is a dose that varies, a stock is
// what is left in the open cartridge, a stock-out is a dose that cannot be given, the demand of a
// lead time is that of so many days.
#include <gtest/gtest.h>

#include <cmath>
#include <map>

#include "core/cover/cover.hpp"
#include "embedded/supply_tables.hpp"

namespace penstock::cover {
namespace {

using namespace literals;
using std::chrono::days;

const LocalDay first = *parse_day("2027-03-01");

struct Row {
  std::string condition, source, known;
  double value = -1;
};

/// The rows of tests/published/supply.tsv by their id. A value that is a formula stays below zero.
const std::map<std::string, Row, std::less<>>& published() {
  static const auto rows = [] {
    std::map<std::string, Row, std::less<>> out;
    std::string_view text = embedded::supply_tables().front().data;
    while (!text.empty()) {
      auto line = text.substr(0, text.find('\n'));
      text.remove_prefix(std::min(text.size(), line.size() + 1));
      if (!line.starts_with('T')) continue;
      std::vector<std::string> cells;
      for (std::size_t end = 0; end != std::string_view::npos;) {
        end = line.find('\t');
        cells.emplace_back(line.substr(0, end));
        if (end != std::string_view::npos) line.remove_prefix(end + 1);
      }
      EXPECT_EQ(cells.size(), 9U) << cells[0];
      const auto value = parse_fixed(cells[3], 4);
      out[cells[0]] = {cells[2], cells[6], cells[8],
                       value ? static_cast<double>(*value) / 10'000 : -1};
    }
    return out;
  }();
  return rows;
}
const Row& row(std::string_view id) {
  const auto found = published().find(id);
  EXPECT_NE(found, published().end()) << id;
  return found->second;
}

/// Demand of one day, stock in the open cartridge and nowhere else, no primes.
Request stock(Units mean, Units sd, Units step, Units left) {
  Line line;
  line.insulin = "insulin";
  line.doses = {mean};
  line.dose_sd = sd;
  line.step = step;
  line.cartridge = larger(larger(left, mean), *Units::from_hundredths(3 * sd.hundredths()));
  line.open = {{left, 0, false, {}}};
  Request r;
  r.on = first;
  r.lines = {line};
  return r;
}
/// The same, asked for on the first day.
Request asked(Request r, std::int32_t lead, double service) {
  r.ask.emplace().leads = {{lead, 1.0}};
  r.ask->service = service;
  r.ask->for_days = 1;
  return r;
}

/// The chance that the stock did not do, by the end of the day.
double short_by(const Request& request, int day) {
  const auto answer = cover(request);
  EXPECT_TRUE(answer) << answer.error().code << answer.error().at;
  double chance = 0;
  for (const auto& one : answer->lines.front().runs_out) {
    if (one.day <= first + days{day}) chance = one.chance;
  }
  return chance;
}

// Cachon & Terwiesch, Q12.1: demand is normal with mean 200 and sd 80. Printed with two digits
// (0.0062) and three (0.383). Ours is the demand rounded to steps of 0.4: half a step, 0.2, more is
// needed before it is missed, which changes a chance by at most 0.2 * 0.4 / 80 = 0.001, and a
// tenth of that as far out as the tail.
TEST(Figures, T413_T415_TailAndMiddleOfANormalDemand_CachonTerwiesch) {
  const auto short_of = [](Units left) {
    return short_by(stock(200_units, 80_units, 0.4_units, left), 0);
  };
  constexpr double half_a_step = 0.2 * 0.4 / 80;
  EXPECT_NEAR(short_of(400_units), row("T413").value, 0.00005 + half_a_step / 10);
  EXPECT_NEAR(short_of(160_units) - short_of(240_units), row("T415").value,
              0.0005 + 2 * half_a_step);
}

// Cachon & Terwiesch, Q12.1 d: too little costs 8, too much 4 a piece; the best stock is the
// quantile at 8 / (8 + 4). The law of the run-out gives the expected cost of every stock (E of what
// is missing is the sum of the chances that more is wanted), and the cheapest one is the first
// whose chance to do is not below the printed ratio: exactly, since the cost's difference from one
// stock to the next is 4 P(does) - 8 P(does not).
TEST(Figures, T416_TheCheapestStockIsTheQuantileAtTheCriticalRatio_CachonTerwiesch) {
  constexpr double too_little = 8, too_much = 4;
  constexpr int largest = 590;
  std::vector<double> short_of;  // [q]
  for (int q = 0; q <= largest; ++q) {
    short_of.push_back(
        short_by(stock(200_units, 80_units, 1_units, *Units::from_hundredths(q * 100)), 0));
  }
  std::vector<double> cost;
  double mean = 0;  // E[demand] = sum of P(demand > q)
  for (const double chance : short_of) mean += chance;
  double missing = mean;
  for (int q = 0; q <= largest; ++q) {
    cost.push_back(too_little * missing + too_much * (q - mean + missing));
    missing -= short_of[static_cast<std::size_t>(q)];
  }
  const auto best =
      static_cast<std::size_t>(std::min_element(cost.begin(), cost.end()) - cost.begin());
  // The ratio as printed has four digits, and the chances of neighbouring stocks are 0.0045 apart.
  EXPECT_GE(1 - short_of[best], row("T416").value - 0.00005);
  EXPECT_LT(1 - short_of[best - 1], row("T416").value);
  // The same as a service: the least stock with which nothing is late.
  for (const int q : {static_cast<int>(best) - 1, static_cast<int>(best)}) {
    const auto r = asked(stock(200_units, 80_units, 1_units, *Units::from_hundredths(q * 100)), 1,
                         too_little / (too_little + too_much));
    EXPECT_EQ(cover(r)->lines.front().late, q < static_cast<int>(best));
  }
}

/// The least stock with which what is asked for on the first day comes in time.
double reorder_point(Units mean, Units sd, Units step, std::int32_t lead, double service) {
  std::int64_t low = 0, high = 150'00 / step.hundredths();
  while (low < high) {
    const auto middle = (low + high) / 2;
    const auto left = *Units::from_hundredths(middle * step.hundredths());
    const auto r = asked(stock(mean, sd, step, left), lead, service);
    if (cover(r)->lines.front().late) {
      low = middle + 1;
    } else {
      high = middle;
    }
  }
  return static_cast<double>(low * step.hundredths()) / 100;
}

// Stevenson, Example 8: the demand of a lead time has mean 50 and sd 5; with a risk of 3 % z is
// 1.88 and the safety stock 9.40. Once as one day of it, once as four days with half the sd each
// (formula 12-13). The least stock is a whole number of steps of 0.1: within one step of the
// printed one, and half a unit of its last digit.
TEST(Figures, T418_T419_T421_TheReorderPointIsTheMeanAndZStandardDeviations_Stevenson) {
  const double safety = row("T419").value;
  constexpr double risk = 0.03, step = 0.1, printed = 0.05;
  EXPECT_NEAR(reorder_point(50_units, 5_units, 0.1_units, 1, 1 - risk), 50 + safety,
              step + printed);
  EXPECT_NEAR(reorder_point(12.5_units, 2.5_units, 0.1_units, 4, 1 - risk), 50 + safety,
              step + printed);
  EXPECT_NEAR((reorder_point(50_units, 5_units, 0.1_units, 1, 1 - risk) - 50) / 5,
              row("T418").value, (step + printed) / 5);
  // Other risks, by the normal quantile (not printed there): 90 %, 95 %, 99 %.
  constexpr std::pair<double, double> quantiles[] = {
      {0.90, 1.2815515655}, {0.95, 1.6448536270}, {0.99, 2.3263478740}};
  for (const auto& [service, z] : quantiles) {
    EXPECT_NEAR(reorder_point(12.5_units, 2.5_units, 0.1_units, 9, service), 9 * 12.5 + z * 2.5 * 3,
                step)
        << service;
  }
}

// ---- from the dispensing history

Possession of(std::vector<Dispensed> history, std::int32_t length) {
  return possession(history, first, first + days{length - 1});
}

TEST(Figures, T406_T408_T410_ThePossessionRatioOfThePublishedExamples_BmcHealthServRes_7_122) {
  // 600 days' supply over 600 days; 450 over 600.
  std::vector<Dispensed> full, less;
  for (int i = 0; i < 20; ++i) full.push_back({first + days{30 * i}, 30});
  for (int i = 0; i < 15; ++i) less.push_back({first + days{40 * i}, 30});
  EXPECT_EQ(of(full, 600).mpr(), row("T408").value);
  EXPECT_EQ(of(less, 600).mpr(), row("T410").value);
  EXPECT_EQ(of(full, 600).supplied, 600);
  EXPECT_EQ(row("T406").known, "memory");
  // It may exceed one.
  EXPECT_EQ(of({{first, 90}, {first + days{1}, 90}}, 90).mpr(), 2);
}

TEST(Figures, T407_EachDayIsCoveredOnceAndOverlapsAreCarriedForward) {
  // Ten days early: the second begins when the first is used up.
  auto found = of({{first, 30}, {first + days{20}, 30}}, 90);
  EXPECT_EQ(found.covered, 60);
  EXPECT_EQ(found.pdc(), 60.0 / 90);
  // A gap of ten days is not covered, whatever comes later.
  found = of({{first, 30}, {first + days{40}, 30}}, 90);
  EXPECT_EQ(found.covered, 60);
  found = of({{first, 30}, {first + days{40}, 90}}, 90);
  EXPECT_EQ(found.covered, 80);
  EXPECT_EQ(found.supplied, 120);
  // It never exceeds one, in whatever order the history comes.
  found = of({{first + days{1}, 90}, {first, 90}}, 90);
  EXPECT_EQ(found.pdc(), 1);
  // What lies outside the period is left out; the last day belongs to it.
  found = of({{first - days{1}, 30}, {first + days{89}, 30}, {first + days{90}, 30}}, 90);
  EXPECT_EQ(found.supplied, 30);
  EXPECT_EQ(found.covered, 1);
  EXPECT_EQ(of({}, 1).pdc(), 0);
  EXPECT_EQ(of({{first, 0}, {first, -5}}, 10).supplied, 0);
}

/// By marking days: a second, simpler account.
TEST(Figures, T407_AgreesWithMarkingDayByDay) {
  std::uint32_t state = 20261231;
  const auto pick = [&](std::uint32_t n) {
    state = state * 1664525U + 1013904223U;
    return static_cast<std::int32_t>((state >> 8) % n);
  };
  for (int round = 0; round < 500; ++round) {
    std::vector<Dispensed> history;
    for (int i = pick(12); i > 0; --i) {
      history.push_back({first + days{pick(140) - 20}, pick(60)});
    }
    const int length = 1 + pick(110);
    std::vector<std::int32_t> come(static_cast<std::size_t>(length), 0);
    for (const auto& one : history) {
      const auto at = (one.on - first).count();
      if (at >= 0 && at < length) come[static_cast<std::size_t>(at)] += one.days_supply;
    }
    std::int32_t in_hand = 0, covered = 0, supplied = 0;
    for (const auto more : come) {
      in_hand += more;
      supplied += more;
      if (in_hand == 0) continue;
      --in_hand;
      ++covered;
    }
    const auto found = of(history, length);
    ASSERT_EQ(found.covered, covered) << round;
    ASSERT_EQ(found.supplied, supplied) << round;
    ASSERT_EQ(found.days, length);
  }
}

}  // namespace
}  // namespace penstock::cover
