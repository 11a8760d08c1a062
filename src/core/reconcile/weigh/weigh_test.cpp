// The sums behind the answer, judged by other ways of working them out.
#include "core/reconcile/weigh/weigh.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

#include "core/reconcile/weigh/grid.hpp"
#include "core/reconcile/weigh/internal/likelihood.hpp"
#include "core/reconcile/weigh/model.hpp"

namespace penstock::reconcile::internal {
namespace {

double choose(int n, int k) {
  double out = 1;
  for (int i = 1; i <= k; ++i) out = out * (n - k + i) / i;
  return out;
}

TEST(Grid, BinomialIsTheTextbooks) {
  for (const int n : {0, 1, 7, 40}) {
    for (const double p : {0.0, 0.03, 0.5, 0.97, 1.0}) {
      const auto pmf = binomial(n, p);
      double total = 0;
      for (int k = 0; k <= n; ++k) {
        EXPECT_NEAR(pmf[static_cast<std::size_t>(k)],
                    choose(n, k) * std::pow(p, k) * std::pow(1 - p, n - k), 1e-12)
            << n << " " << k << " " << p;
        total += pmf[static_cast<std::size_t>(k)];
      }
      EXPECT_NEAR(total, 1, 1e-12);
    }
  }
  // Without overflow where factorials are beyond a double.
  const auto large = binomial(8'000, 0.11);
  double mean = 0;
  for (std::size_t k = 0; k < large.size(); ++k) mean += large[k] * static_cast<double>(k);
  EXPECT_NEAR(mean, 880, 1e-6);
}

TEST(Grid, NegativeBinomialHasItsMeanAndVariance) {
  for (const double mean : {0.3, 3.0, 60.0, 500.0}) {
    const auto pmf = negative_binomial(mean, 1.6);
    double first = 0, second = 0;
    for (std::size_t k = 0; k < pmf.size(); ++k) {
      first += pmf[k] * static_cast<double>(k);
      second += pmf[k] * static_cast<double>(k) * static_cast<double>(k);
    }
    EXPECT_NEAR(first, mean, 1e-5 * mean + 1e-6);
    EXPECT_NEAR((second - first * first) / first, 1.6, 1e-4);
  }
}

TEST(Grid, TheShortestIntervalHoldsItsShareAndNoneIsShorter) {
  const Line line{10, 2, {0.05, 0.1, 0.4, 0.3, 0.1, 0.05}};
  const auto found = shortest(line, 0.9);
  EXPECT_DOUBLE_EQ(found.low, 12);
  EXPECT_DOUBLE_EQ(found.high, 18);
  EXPECT_DOUBLE_EQ(shortest({5, 1, {1}}, 0.9).low, 5);
  EXPECT_DOUBLE_EQ(shortest({0, 1, {}}, 0.9).high, 0);
}

TEST(Grid, SumsKeepTheMeanAlsoBetweenThePlaces) {
  Sum all(0, 400, 100, 1);
  all.add({0, 10.3, 25.7}, {0.5, 0.3, 0.2});
  all.add({1.1, 90.9}, {0.25, 0.75});
  double total = 0, mean = 0;
  for (std::size_t i = 0; i < all.line().mass.size(); ++i) {
    total += all.line().mass[i];
    mean += all.line().mass[i] * (all.line().start + all.line().step * static_cast<double>(i));
  }
  EXPECT_NEAR(total, 1, 1e-12);
  EXPECT_NEAR(mean, 0.3 * 10.3 + 0.2 * 25.7 + 0.25 * 1.1 + 0.75 * 90.9, 1e-9);
}

// ---- one comparison

/// Thirteen doses of three sizes from one cartridge, its end read.
const std::vector<double> sizes{18, 22, 26, 18, 22, 26, 18, 22, 26, 18, 22, 26, 22};

Stretch stretch_of(double difference, bool read) {
  Stretch s;
  double total = 0, squares = 0;
  for (const auto size : sizes) {
    total += size;
    squares += size * size;
  }
  const auto n = static_cast<double>(sizes.size());
  s.claimed = total;
  s.expected = 300 - total;
  s.content = 300;
  s.read = read;
  s.level = s.expected - difference;
  s.need = 24;
  s.sd = 6;
  s.doses = {static_cast<int>(sizes.size()), total / n, squares / n - total / n * total / n};
  s.primes = {static_cast<int>(sizes.size()), 2, 0};
  s.rule_prime = 2;
  s.may_be_early = !read;
  return s;
}

double bare(const Stretch& s, double extra) {
  const double level = s.expected - extra;
  if (s.read) return normal_density(s.level - level, s.sd);
  const auto box = [&](double width) {
    return (normal_below(level, s.sd) - normal_below(level - width, s.sd)) / width;
  };
  return (1 - early_change_share) * box(s.need) +
         early_change_share * box(s.need + early_change_units);
}

/// Ordinary life written out by hand: slips only, as this comparison has no change at either end.
double with_slips(const Stretch& s, double extra) {
  const double missed = slip_missed * s.doses.count, twice = slip_double * s.doses.count;
  return (1 - missed - twice) * bare(s, extra) + missed * bare(s, extra - s.doses.mean) +
         twice * bare(s, extra + s.doses.mean);
}

TEST(Likelihood, TheTableIsTheDensityToHalfAPerCentOfItsPeak) {
  for (const bool read : {true, false}) {
    const auto s = stretch_of(11, read);
    const auto table = Table::of(s);
    double peak = 0;
    for (double x = -60; x < 60; x += 0.37) peak = std::max(peak, with_slips(s, x));
    for (double x = -60; x < 60; x += 0.37)
      EXPECT_NEAR(table.at(x), std::max(with_slips(s, x), slip_density), 0.0055 * peak) << x;
  }
}

/// Every set of missed doses, one by one: 8192 of them.
double every_set(const Stretch& s, double share) {
  double total = 0;
  const auto n = sizes.size();
  for (std::size_t set = 0; set < (1U << n); ++set) {
    double missed = 0, chance = 1;
    for (std::size_t i = 0; i < n; ++i) {
      const bool is = (set >> i & 1U) != 0;
      missed += is ? sizes[i] : 0;
      chance *= is ? share : 1 - share;
    }
    total += chance * with_slips(s, -missed);
  }
  return total;
}

TEST(Likelihood, CountingHowManyIsAsGoodAsEverySetOfDoses) {
  for (const bool read : {true, false}) {
    for (const double difference : {0.0, -22.0, -47.0, -66.0}) {
      auto s = stretch_of(read ? difference : 0, read);
      if (!read) s.expected += difference;
      const auto table = Table::of(s);
      const auto support = doses_support(s, Mechanism::missed_doses);
      for (std::size_t rate = 0; rate < 6; ++rate) {
        double counted = 0;
        for (std::size_t j = 0; j < support.effect.size(); ++j)
          counted += support.weights[rate][j] * table.at(support.effect[j], support.sd[j]);
        const double exact = every_set(s, dose_shares[rate]);
        EXPECT_NEAR(counted / exact, 1, 0.06) << difference << " " << dose_shares[rate];
      }
    }
  }
}

TEST(Likelihood, EveryMechanismsNumbersAreAllOfThem) {
  auto s = stretch_of(0, false);
  s.gaps = {4, 24, 0};
  for (const auto& support :
       {doses_support(s, Mechanism::missed_doses), doses_support(s, Mechanism::double_doses),
        primes_support(s), extra_support(s), early_support(s), gaps_support(s)}) {
    ASSERT_FALSE(support.weights.empty());
    for (const auto& weights : support.weights) {
      ASSERT_EQ(weights.size(), support.effect.size());
      double total = 0;
      for (const auto weight : weights) total += weight;
      EXPECT_NEAR(total, 1, 1e-6);
    }
  }
  EXPECT_TRUE(gaps_support(stretch_of(0, true)).weights.empty());
  EXPECT_TRUE(early_support(stretch_of(0, true)).weights.empty());
}

// ---- all together

/// The evidence of two mechanisms at once, every number with every number, without short cuts.
double pair_by_hand(const std::vector<Stretch>& stretches, const auto& first, const auto& second) {
  double total = 0;
  const auto one = first(stretches.front()), two = second(stretches.front());
  for (std::size_t a = 0; a < one.weights.size(); ++a) {
    for (std::size_t b = 0; b < two.weights.size(); ++b) {
      double product = 1;
      for (const auto& s : stretches) {
        const auto table = Table::of(s);
        const auto x = first(s), y = second(s);
        double sum_of = 0;
        for (std::size_t i = 0; i < x.effect.size(); ++i) {
          for (std::size_t j = 0; j < y.effect.size(); ++j) {
            sum_of += x.weights[a][i] * y.weights[b][j] *
                      table.at(x.effect[i] + y.effect[j], std::hypot(x.sd[i], y.sd[j]));
          }
        }
        product *= sum_of;
      }
      total += product;
    }
  }
  return total / static_cast<double>(one.weights.size() * two.weights.size());
}

const Weighed::Hypothesis& hypothesis(const Weighed& weighed, std::optional<Mechanism> first,
                                      std::optional<Mechanism> second) {
  for (const auto& one : weighed.hypotheses) {
    if (one.first == first && one.second == second) return one;
  }
  ADD_FAILURE() << "not weighed";
  return weighed.hypotheses.front();
}

TEST(Weigh, APairIsTheSumOverEveryNumberWithEveryNumber) {
  const std::vector<Stretch> stretches{stretch_of(-40, true), stretch_of(15, true),
                                       stretch_of(0, false)};
  const auto weighed = weigh(stretches, std::nullopt, 300);
  const auto missed = [](const Stretch& s) { return doses_support(s, Mechanism::missed_doses); };
  const auto twice = [](const Stretch& s) { return doses_support(s, Mechanism::double_doses); };
  const auto extra = [](const Stretch& s) { return extra_support(s); };
  EXPECT_NEAR(hypothesis(weighed, Mechanism::missed_doses, Mechanism::double_doses).log_evidence,
              std::log(pair_by_hand(stretches, missed, twice)), 1e-3);
  EXPECT_NEAR(hypothesis(weighed, Mechanism::missed_doses, Mechanism::extra_priming).log_evidence,
              std::log(pair_by_hand(stretches, missed, extra)), 1e-3);
}

TEST(Weigh, PosteriorsAreOneTogetherAndNoneIsTheRest) {
  const std::vector<Stretch> stretches{stretch_of(-40, true), stretch_of(-20, true)};
  const auto weighed = weigh(stretches, 1, 300);
  double total = 0, priors_total = 0, misread = 0;
  for (const auto& one : weighed.hypotheses) {
    total += one.posterior;
    priors_total += one.prior;
    if (one.first == Mechanism::scale_misread && !one.second) misread = one.posterior;
  }
  EXPECT_NEAR(total, 1, 1e-12);
  EXPECT_NEAR(priors_total, 1, 1e-12);
  EXPECT_NEAR(weighed.none + weighed.finding + misread, 1, 1e-12);
}

TEST(Weigh, WhatCannotBeSeenKeepsOutOfIt) {
  const auto weighed = weigh(std::vector{stretch_of(0, true)}, std::nullopt, 300);
  const auto possible = [&](Mechanism which) {
    return weighed.found[static_cast<std::size_t>(which)].possible;
  };
  EXPECT_FALSE(possible(Mechanism::cartridge_lost));          // nobody counted
  EXPECT_FALSE(possible(Mechanism::not_written));             // no gaps
  EXPECT_FALSE(possible(Mechanism::cartridge_thrown_early));  // its rest was read
  EXPECT_TRUE(possible(Mechanism::scale_misread));
  EXPECT_TRUE(possible(Mechanism::missed_doses));
  const auto nothing = weigh({}, std::nullopt, 300);
  EXPECT_FALSE(nothing.looked);
  EXPECT_DOUBLE_EQ(nothing.finding, 0);
  const auto counted = weigh({}, 2, 300);
  EXPECT_TRUE(counted.looked);
  EXPECT_GT(counted.found[static_cast<std::size_t>(Mechanism::cartridge_lost)].probability, 0.8);
}

}  // namespace
}  // namespace penstock::reconcile::internal
