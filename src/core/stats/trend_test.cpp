#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "core/stats/stats.hpp"

namespace penstock::stats {
namespace {

TEST(Moments, MeanAndSampleSd) {
  const std::vector<double> values{2, 4, 4, 4, 5, 5, 7, 9};
  EXPECT_DOUBLE_EQ(moments(values).mean, 5);
  EXPECT_DOUBLE_EQ(moments(values).sd, std::sqrt(32.0 / 7));
  const std::vector<double> one{3};
  EXPECT_EQ(moments(one).sd, 0);
}

// Four values by hand: slope (-1.5 - 1.5 + 1 + 4.5) / 5, squares around the mean 2.75; t with two
// degrees of freedom has a closed form: (2 p - 1) / sqrt(2 p (1 - p)), 4.30265 at 97.5 %.
TEST(Trend, SlopeAndIntervalByHand) {
  const std::vector<double> values{1, 3, 2, 3};
  const auto found = trend(values, 0.95);
  ASSERT_TRUE(found);
  const double slope = 0.5;
  EXPECT_NEAR(found->slope, slope, 1e-15);
  const double t = 0.95 / std::sqrt(2 * 0.975 * 0.025);
  const double residual = 2.75 - slope * slope * 5;
  EXPECT_NEAR(found->high - found->slope, t * std::sqrt(residual / 2 / 5), 1e-12);
  EXPECT_NEAR(found->slope - found->low, found->high - found->slope, 1e-15);
}

TEST(Trend, ALineHasNoWidth) {
  const std::vector<double> rising{1, 2, 3, 4}, level{5, 5, 5};
  EXPECT_EQ(trend(rising, 0.95)->p, 0);
  EXPECT_DOUBLE_EQ(trend(rising, 0.95)->low, 1);
  EXPECT_EQ(trend(level, 0.95)->p, 1);
  EXPECT_EQ(trend(level, 0.95)->slope, 0);
}

TEST(Trend, TooFewValuesOrNoConfidenceGiveNothing) {
  const std::vector<double> two{1, 2}, three{1, 2, 4};
  EXPECT_FALSE(trend(two, 0.95));
  EXPECT_FALSE(trend(three, 1));
  EXPECT_FALSE(trend(three, 0));
  EXPECT_FALSE(trend(three, std::numeric_limits<double>::quiet_NaN()));
  EXPECT_TRUE(trend(three, 0.95));
}

// Without drift the interval misses zero as often as it says; seed printed on failure.
TEST(Trend, MissesTheTruthAsOftenAsItSays) {
  std::uint64_t state = 41;
  const auto uniform = [&] {
    state += 0x9E3779B97F4A7C15ULL;
    std::uint64_t z = state;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    z ^= z >> 31;
    return (static_cast<double>(z >> 11) + 0.5) / 9007199254740992.0;
  };
  const int rounds = 20'000;
  int missed = 0, small_p = 0;
  std::vector<double> values(6);
  for (int round = 0; round < rounds; ++round) {
    for (auto& value : values) {
      const double radius = std::sqrt(-2 * std::log(uniform()));
      value = radius * std::cos(2 * std::numbers::pi * uniform());
    }
    const auto found = trend(values, 0.95);
    const bool outside = found->low > 0 || found->high < 0;
    missed += outside ? 1 : 0;
    small_p += found->p < 0.05 ? 1 : 0;
  }
  EXPECT_EQ(missed, small_p);
  EXPECT_NEAR(static_cast<double>(missed) / rounds, 0.05, 4 * std::sqrt(0.05 * 0.95 / rounds))
      << "seed 41";
}

}  // namespace
}  // namespace penstock::stats
