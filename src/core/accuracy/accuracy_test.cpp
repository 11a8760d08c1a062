// The limits, the verdict and the published pen tests.
#include "core/accuracy/accuracy.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "core/stats/stats.hpp"

namespace penstock::accuracy {
namespace {
using namespace literals;

MicroUnits micro(double units) { return {std::llround(units * 1e6)}; }

Request summary(Units dose, std::int32_t n, double mean, double sd) {
  Request out;
  out.dose = dose;
  out.step = 1_units;
  out.summary = Summary{n, micro(mean), micro(sd)};
  return out;
}
bool cautions_of(const Accuracy& found, std::string_view code) {
  return std::ranges::find(found.cautions, code) != found.cautions.end();
}
std::string refusal(const Request& request) {
  const auto found = accuracy(request);
  return found ? "" : found.error().code;
}

// D001-D006: Krzywon M, et al. Curr Med Res Opin 2010;26(4):901-905, abstract: limits of ISO
// 11608-1:2000 for pens of 1-unit steps. Read.
TEST(Accuracy, LimitsAreThePublishedHalfWidths_Krzywon_2010_CurrMedResOpin_26_901) {
  struct Row {
    std::int64_t dose, half_tenths;
  };
  constexpr Row rows[] = {{1, 10}, {10, 10}, {30, 15}, {40, 20}, {60, 30}, {80, 40}};
  for (const auto& row : rows) {
    const auto found = limits_of(*Units::from_hundredths(row.dose * 100), 1_units);
    EXPECT_EQ(found.low.millionths, row.dose * 1'000'000 - row.half_tenths * 100'000);
    EXPECT_EQ(found.high.millionths, row.dose * 1'000'000 + row.half_tenths * 100'000);
  }
}

// D008: the turning point is step / 0.05: 20 units in steps of 1, 10 in steps of 0.5. Memory.
TEST(Accuracy, TheTurningPointIsTwentySteps_ISO_11608_1_memory) {
  const auto half = [](Units dose, Units step) {
    return limits_of(dose, step).high.millionths - dose.hundredths() * 10'000;
  };
  EXPECT_EQ(half(19_units, 1_units), 1'000'000);
  EXPECT_EQ(half(20_units, 1_units), 1'000'000);
  EXPECT_EQ(half(21_units, 1_units), 1'050'000);
  EXPECT_EQ(half(10_units, 0.5_units), 500'000);
  EXPECT_EQ(half(10.5_units, 0.5_units), 525'000);
  EXPECT_EQ(half(0.01_units, 0.01_units), 10'000);
}

// D018, D020, D027, D029: Gnanalingham MG, Newland P, Smith CP. Arch Dis Child 1998;79:59-62,
// abstract (means and sds read; the intervals computed with k 2.6143 for n = 75, 97.5 % at 95 %).
TEST(Accuracy, PublishedTestOfAUnit_Gnanalingham_1998_ArchDisChild_79_59) {
  const auto pen = accuracy(summary(1_units, 75, 0.89, 0.04));
  ASSERT_TRUE(pen);
  EXPECT_NEAR(pen->k, 2.6143, 0.00005);
  EXPECT_NEAR(pen->low_units, 0.785, 0.0005);
  EXPECT_NEAR(pen->high_units, 0.995, 0.0005);
  EXPECT_TRUE(pen->within);
  const auto syringe = accuracy(summary(1_units, 75, 1.23, 0.09));
  ASSERT_TRUE(syringe);
  EXPECT_NEAR(syringe->low_units, 0.995, 0.0005);
  EXPECT_NEAR(syringe->high_units, 1.465, 0.0005);
  EXPECT_TRUE(syringe->within);
  // Limits as wide as the dose itself: said.
  EXPECT_TRUE(cautions_of(*pen, accuracy_cautions::wide_limits));
}

// D019, D021-D023: the same paper's other rows; all pass the standard's limits of one unit.
TEST(Accuracy, PublishedTestsAtOneAndTenUnits_Gnanalingham_1998_ArchDisChild_79_59) {
  struct Row {
    const char* id;
    Units dose;
    double mean, sd;
  };
  const Row rows[] = {{"D019 pen B", 1_units, 0.92, 0.03},
                      {"D021 pen A", 10_units, 9.8, 0.1},
                      {"D022 pen B", 10_units, 9.9, 0.1},
                      {"D023 syringe", 10_units, 10.1, 0.1}};
  for (const auto& row : rows) {
    const auto found = accuracy(summary(row.dose, 75, row.mean, row.sd));
    ASSERT_TRUE(found) << row.id;
    EXPECT_TRUE(found->within) << row.id;
    EXPECT_EQ(found->fails, Fails::none);
    EXPECT_NEAR(found->low_units, row.mean - 2.6143 * row.sd, 0.00005) << row.id;
    EXPECT_EQ(found->more_needed, 0) << row.id;
  }
}

// D024-D026: the printed error in percent is the printed mean's distance from one unit.
TEST(Accuracy, PublishedErrorsAreTheMeans_Gnanalingham_1998_ArchDisChild_79_59) {
  const std::map<double, double> mean_and_error{{0.89, 11}, {0.92, 8}, {1.23, 23}};
  for (const auto& [mean, error] : mean_and_error) {
    const auto found = accuracy(summary(1_units, 75, mean, 0.04));
    EXPECT_NEAR(std::abs(found->mean_units - 1) * 100, error, 1e-9);
  }
}

// D012-D014: Diabetes Technol Ther 2012; doi 10.1089/dia.2012.0032, abstract (read): means of used
// and new pens, no sd printed. With 165 deliveries the limits leave this much sd, and no more; 3
// single doses of 32 units lay below their lower limit, which is 5 %.
TEST(Accuracy, PublishedMeansOfUsedPensLeaveRoom_DiabetesTechnolTher_2012) {
  const double k = *stats::tolerance_factor({165, 0.975, 0.95});
  struct Row {
    Units dose;
    double mean, half;
  };
  for (const Row& row : {Row{8_units, 8.04, 1}, Row{8_units, 7.91, 1}, Row{32_units, 31.90, 1.6},
                         Row{32_units, 31.68, 1.6}}) {
    const double dose = static_cast<double>(row.dose.hundredths()) / 100;
    const double most = (row.half - std::abs(row.mean - dose)) / k;
    EXPECT_TRUE(accuracy(summary(row.dose, 165, row.mean, most * 0.999))->within) << row.mean;
    const auto wider = accuracy(summary(row.dose, 165, row.mean, most * 1.001));
    EXPECT_FALSE(wider->within);
    EXPECT_EQ(wider->fails, row.mean < dose ? Fails::low : Fails::high);
  }
}

// D015-D017: Hanel H, et al. J Diabetes Sci Technol 2008;2(3):478-481, abstract (read). Mean
// absolute deviations in percent with their sd; a centred normal has an sd of sqrt(pi / 2) times
// its mean absolute deviation. 10 units: 192 deliveries of each design, limits 10 %.
TEST(Accuracy, PublishedDeviationsOfThreeDesigns_Hanel_2008_JDiabetesSciTechnol_2_478) {
  const auto verdict = [](double percent) {
    const double sd = percent / 100 * 10 * std::sqrt(std::acos(-1.0) / 2);
    return accuracy(summary(10_units, 192, 10, sd))->within;
  };
  EXPECT_TRUE(verdict(1.64));   // design 1
  EXPECT_TRUE(verdict(1.10));   // design 2
  EXPECT_FALSE(verdict(4.78));  // design 3
}

TEST(Accuracy, TheInterval_IsWorkedOutOfTheValues) {
  Request request;
  request.dose = 10_units;
  request.step = 1_units;
  request.content = {9'500};
  request.confidence = {9'500};
  for (const std::int64_t hundredths : {990, 1'000, 1'010, 1'020}) {
    request.delivered.push_back(*Units::from_hundredths(hundredths));
  }
  const auto found = accuracy(request);
  ASSERT_TRUE(found);
  EXPECT_EQ(found->n, 4);
  EXPECT_NEAR(found->k, 6.3411, 0.00005);  // K002
  EXPECT_DOUBLE_EQ(found->mean_units, 10.05);
  EXPECT_NEAR(found->sd_units, std::sqrt(0.05 / 3), 1e-12);
  EXPECT_NEAR(found->low_units, 10.05 - found->k * found->sd_units, 1e-12);
  EXPECT_TRUE(found->within);
  EXPECT_EQ(found->outside, 0);
  EXPECT_TRUE(cautions_of(*found, accuracy_cautions::few));
  EXPECT_TRUE(cautions_of(*found, accuracy_cautions::asked_less));
  EXPECT_TRUE(found->drift->seen == (found->drift->low_units > 0));
}

TEST(Accuracy, HowManyMoreAndWhenNoNumberIsEnough) {
  // Six that are a little too widely spread for six.
  const auto few = accuracy(summary(10_units, 6, 10, 0.25));
  ASSERT_TRUE(few);
  EXPECT_FALSE(few->within);
  EXPECT_EQ(few->fails, Fails::both);
  ASSERT_TRUE(few->least_n);
  EXPECT_EQ(few->more_needed, *few->least_n - 6);
  EXPECT_TRUE(accuracy(summary(10_units, *few->least_n, 10, 0.25))->within);
  EXPECT_FALSE(accuracy(summary(10_units, *few->least_n - 1, 10, 0.25))->within);
  // So wide that even the whole population's interval passes the limits.
  const auto wide = accuracy(summary(10_units, 60, 10, 0.5));
  EXPECT_FALSE(wide->within);
  EXPECT_FALSE(wide->least_n);
  EXPECT_FALSE(wide->more_needed);
  // The mean itself is outside.
  const auto off = accuracy(summary(10_units, 60, 11.2, 0.01));
  EXPECT_EQ(off->fails, Fails::high);
  EXPECT_TRUE(off->mean_outside);
  EXPECT_FALSE(off->least_n);
  // Within: no more are needed, and fewer would have done.
  const auto good = accuracy(summary(10_units, 60, 10, 0.2));
  EXPECT_EQ(good->more_needed, 0);
  EXPECT_LT(*good->least_n, 60);
}

TEST(Accuracy, AnEndOnTheLimitIsInside) {
  const auto found = accuracy(summary(10_units, 30, 11, 0));
  EXPECT_TRUE(found->within);
  EXPECT_TRUE(cautions_of(*found, accuracy_cautions::no_spread));
  EXPECT_FALSE(accuracy(summary(10_units, 30, 11.000001, 0))->within);
}

TEST(Accuracy, DriftIsSeenInTheOrderOfDelivery) {
  Request request;
  request.dose = 10_units;
  request.step = 1_units;
  for (std::int64_t i = 0; i < 20; ++i) {
    request.delivered.push_back(*Units::from_hundredths(1'020 - 2 * i + (i % 2)));
  }
  const auto found = accuracy(request);
  ASSERT_TRUE(found->drift);
  EXPECT_TRUE(found->drift->seen);
  EXPECT_NEAR(found->drift->slope_units, -0.02, 0.001);
  EXPECT_TRUE(cautions_of(*found, accuracy_cautions::drifts));
  // The same deliveries in another order do not drift, and have the same interval.
  std::vector<Units> mixed;
  for (std::size_t i = 0; i < 10; ++i) {
    mixed.push_back(request.delivered[i]);
    mixed.push_back(request.delivered[19 - i]);
  }
  auto other = request;
  other.delivered = mixed;
  const auto again = accuracy(other);
  EXPECT_FALSE(again->drift->seen);
  EXPECT_EQ(again->low_units, found->low_units);
}

TEST(Accuracy, OddMeasurementsAreSaid) {
  Request request;
  request.dose = 10_units;
  request.step = 1_units;
  // Milligrams taken for units: 10 units weigh about 100 mg.
  request.delivered.assign(12, 100_units);
  EXPECT_TRUE(cautions_of(*accuracy(request), accuracy_cautions::milligrams));
  // Counted in whole units: rounder than what it should show.
  request.delivered.assign(30, 10_units);
  request.delivered[3] = 11_units;
  const auto counted = accuracy(request);
  EXPECT_TRUE(cautions_of(*counted, accuracy_cautions::coarse));
  // One far out among many.
  request.delivered.clear();
  for (std::int64_t i = 0; i < 200; ++i) {
    request.delivered.push_back(*Units::from_hundredths(990 + i % 21));
  }
  request.delivered[100] = 11.05_units;
  const auto single = accuracy(request);
  EXPECT_TRUE(single->within);
  EXPECT_EQ(single->outside, 1);
  EXPECT_TRUE(cautions_of(*single, accuracy_cautions::single_outside));
  EXPECT_FALSE(cautions_of(*single, accuracy_cautions::coarse));
  EXPECT_FALSE(cautions_of(*single, accuracy_cautions::few));
  EXPECT_FALSE(cautions_of(*single, accuracy_cautions::asked_less));
}

TEST(Accuracy, H25_RefusalsComeInTheirDeclaredOrder) {
  const auto good = summary(10_units, 30, 10, 0.1);
  std::vector<Request> rows;
  const auto with = [&](auto change) {
    auto request = good;
    change(request);
    rows.push_back(request);
  };
  with([](Request& r) { r.dose = 0_units; });
  with([](Request& r) { r.step = 0_units; });
  with([](Request& r) { r.step = 3_units; });
  with([](Request& r) { r.content = {10'000}; });
  with([](Request& r) { r.confidence = {4'999}; });
  with([](Request& r) { r.delivered = {10_units, 10_units}; });
  with([](Request& r) { r.summary->n = 1; });
  with([](Request& r) {
    r.summary.reset();
    r.delivered = {10_units, 1'500.01_units};
  });
  with([](Request& r) { r.summary->mean = {-1}; });
  with([](Request& r) { r.summary->sd = {1'500'000'001}; });
  ASSERT_EQ(rows.size(), refusals().size());
  for (std::size_t i = 0; i < rows.size(); ++i) EXPECT_EQ(refusal(rows[i]), refusals()[i]) << i;

  with([](Request& r) { r.dose = 1'500.01_units; });
  EXPECT_EQ(refusal(rows.back()), accuracy_codes::dose_limit);
  with([](Request& r) { r.step = 11_units; });
  EXPECT_EQ(refusal(rows.back()), accuracy_codes::step_limit);
  with([](Request& r) { r.summary.reset(); });
  EXPECT_EQ(refusal(rows.back()), accuracy_codes::values_or_summary);
  with([](Request& r) { r.summary->n = 10'001; });
  EXPECT_EQ(refusal(rows.back()), accuracy_codes::n_limit);
  with([](Request& r) {
    r.summary.reset();
    r.delivered = {10_units};
  });
  EXPECT_EQ(refusal(rows.back()), accuracy_codes::n_limit);
}

TEST(Accuracy, ItsOwnExampleIsWithinAndMeetsEveryCautionThatItShould) {
  const auto found = accuracy(example());
  ASSERT_TRUE(found);
  EXPECT_TRUE(found->within);
  EXPECT_EQ(found->n, 20);
}

// Exact sums against the plain two-pass formula; and the verdict, the side and the count agree.
RC_GTEST_PROP(AccuracyProperty, ValuesAndTheirSummaryAgree, ()) {
  Request request;
  request.dose = *Units::from_hundredths(*rc::gen::inRange<std::int64_t>(1, 80) * 100);
  request.step = 1_units;
  const auto n = *rc::gen::inRange<std::size_t>(2, 60);
  for (std::size_t i = 0; i < n; ++i) {
    const auto off = *rc::gen::inRange<std::int64_t>(-90, 90);
    request.delivered.push_back(*Units::from_hundredths(request.dose.hundredths() + off));
  }
  const auto found = accuracy(request);
  RC_ASSERT(found.has_value());
  std::vector<double> values;
  for (const auto one : request.delivered) {
    values.push_back(static_cast<double>(one.hundredths()) / 100);
  }
  const auto seen = stats::moments(values);
  RC_ASSERT(std::abs(found->mean_units - seen.mean) < 1e-9);
  RC_ASSERT(std::abs(found->sd_units - seen.sd) < 1e-9);
  RC_ASSERT(found->within == (found->fails == Fails::none));
  RC_ASSERT(found->low_units <= found->mean_units && found->mean_units <= found->high_units);
  if (found->more_needed) RC_ASSERT((*found->more_needed == 0) == found->within);
  if (!found->more_needed) RC_ASSERT(!found->within);
}

}  // namespace
}  // namespace penstock::accuracy
