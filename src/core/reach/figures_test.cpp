// The constants against the tables as printed, and the lists against what else the house holds.
#include "core/reach/internal/figures.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "core/reach/internal/for_tests.hpp"

namespace penstock::reach {
namespace {

using for_tests::number;

/// "95% CI 10.3-11.6", "95% 0.43-0.5", "range 1.05-3.92": the two numbers at the end.
std::pair<double, double> interval(const std::string& spread) {
  const auto dash = spread.rfind('-');
  const auto space = spread.rfind(' ', dash);
  return {number(std::string_view(spread).substr(space + 1)),
          number(std::string_view(spread).substr(dash + 1))};
}

TEST(Figures, EveryConstantIsItsRowAsPrinted) {
  const auto rows = for_tests::rows_of(for_tests::depths);
  std::set<std::string_view> met;
  for (const auto& figure : figures::all) {
    ASSERT_TRUE(rows.contains(figure.row)) << figure.row;
    EXPECT_TRUE(met.insert(figure.row).second) << figure.row;
    const auto& row = rows.find(figure.row)->second;
    EXPECT_EQ(figure.source, row.at("source")) << figure.row;
    EXPECT_EQ(figure.known, row.at("known")) << figure.row;
    const auto& spread = row.at("spread");
    if (row.at("value").find('-') != std::string::npos) {  // lowest and highest of the sites' means
      EXPECT_EQ(interval(" " + row.at("value")), std::pair(figure.low, figure.high)) << figure.row;
    } else {
      EXPECT_EQ(number(row.at("value")), figure.value) << figure.row;
      if (spread.starts_with("SD ")) {
        EXPECT_EQ(number(std::string_view(spread).substr(3)), figure.sd) << figure.row;
        EXPECT_EQ(figure.low + figure.high, 0) << figure.row;
      } else if (spread.starts_with("95%") || spread.starts_with("range ")) {
        EXPECT_EQ(interval(spread), std::pair(figure.low, figure.high)) << figure.row;
        EXPECT_EQ(figure.sd, 0) << figure.row;
      } else {
        EXPECT_EQ(spread, "") << figure.row;
        EXPECT_EQ(figure.low + figure.high + figure.sd, 0) << figure.row;
      }
    }
    if (figure.n != 0 || !row.at("n").empty()) {
      EXPECT_EQ(number(row.at("n")), figure.n) << figure.row;
    }
  }
  // Rows that carry no constant of their own: what others were computed from, and the people.
  for (const auto* row :
       {"A027", "A028", "A031", "A133", "A144", "A145", "A146", "A147", "A171", "A178", "A179"}) {
    EXPECT_TRUE(rows.contains(row)) << row;
    EXPECT_TRUE(met.insert(row).second) << row;
  }
  EXPECT_EQ(met.size(), rows.size());
}

// R01: Hirsch 2014 prints the median and two chances; each alone gives a sigma (A040, A041).
TEST(Figures, OneSigmaOutOfTwoPrintedChances) {
  EXPECT_NEAR(std::log(8 / 10.9) / -0.67449, 0.459, 0.001);  // 25 %
  EXPECT_NEAR(std::log(4 / 10.9) / -2.14441, 0.467, 0.001);  // 1.6 %
  EXPECT_NEAR(1.96 * 0.465 / std::sqrt(2 * 341.0), (0.5 - 0.43) / 2, 0.001);
}

// R02, R03: as far from the middle as the printed buttock median's interval, in proportion.
TEST(Figures, MediansThatWereNotPrintedHaveTheWidthOfOneThatWas) {
  for (const auto& median : {figures::abdomen, figures::arm}) {
    EXPECT_NEAR(median.low, median.value * 15.9 / 16.9, 0.05) << median.row;
    EXPECT_NEAR(median.high, median.value * 18.1 / 16.9, 0.05) << median.row;
  }
}

// R04: a printed interval 0.1 mm wide from 388 people.
TEST(Figures, TheSdOfSkinComesOutOfItsPrintedInterval) {
  EXPECT_NEAR((2.3 - 2.2) / 2 / 1.96 * std::sqrt(388.0), figures::skin_sd.value, 0.005);
  EXPECT_EQ(figures::korean_abdomen_skin.sd, figures::skin_sd.low);
  EXPECT_NEAR((3.25 - 2.25) / 1.645, figures::skin_sd.high, 0.005);  // A179, range from memory
}

// R05: Polak 1996 prints 5.6 (SE 0.6) to 8.1 (SE 0.9) and 11 (SE 0.7) to 15.9 (SE 0.8).
TEST(Figures, TheFoldFactorIsPolaksWithItsStandardErrors) {
  const auto rows = for_tests::rows_of(for_tests::depths);
  const auto value = [&](const char* row) { return number(rows.find(row)->second.at("value")); };
  const auto relative = [&](const char* row) {
    return number(rows.find(row)->second.at("spread").substr(3)) / value(row);
  };
  EXPECT_NEAR(value("A145") / value("A144"), figures::fold.value, 0.02);  // A148's tolerance
  EXPECT_NEAR(value("A147") / value("A146"), figures::fold.value, 0.02);
  const double thin = std::hypot(relative("A144"), relative("A145"));
  const double thick = std::hypot(relative("A146"), relative("A147"));
  const double se = 1 / std::sqrt(1 / (thin * thin) + 1 / (thick * thick));
  EXPECT_NEAR(figures::fold.value * std::exp(-1.96 * se), figures::fold.low, 0.005);
  EXPECT_NEAR(figures::fold.value * std::exp(1.96 * se), figures::fold.high, 0.005);
}

// R06, R07: Gibney 2010 prints millimetres; over the mean thickness they are parts of the median.
TEST(Figures, TheEffectsOfBmiAndSexAreThePrintedMillimetresOverTheThickness) {
  EXPECT_NEAR(0.4 / 14.8, figures::bmi_slope.value, 0.002);  // 14.8: the four zones' mean
  EXPECT_NEAR(0.4 / 17.8, figures::bmi_slope.low, 0.0005);
  EXPECT_NEAR(0.4 / 12.3, figures::bmi_slope.high, 0.0005);
  EXPECT_NEAR(5.1 / 14.8, figures::sex_effect.value, 0.02);
  EXPECT_NEAR(5.1 / 17.8, figures::sex_effect.low, 0.005);
  EXPECT_NEAR(5.1 / 12.3, figures::sex_effect.high, 0.005);
}

// R10: the smallest and the largest ln-SD of the cohorts that print an SD.
TEST(Figures, TheBorrowedSigmaSpansThoseThatArePrinted) {
  double least = 1, most = 0;
  const auto take = [&](double mean, double sd) {
    const double s = std::sqrt(std::log1p(sd * sd / (mean * mean)));
    least = std::min(least, s);
    most = std::max(most, s);
  };
  take(2.0 + 5.5, std::hypot(0.34, 2.68));
  take(2.29 + 10.15, std::hypot(0.37, 6.54));
  for (const auto& figure : figures::all) {
    if (figure.sd != 0 && figure.value > 3 && figure.source != sources::sim) {
      take(figure.value, figure.sd);
    }
  }
  EXPECT_NEAR(least, figures::sigma_borrowed.low, 0.0005);
  EXPECT_NEAR(most, figures::sigma_borrowed.high, 0.0005);
}

TEST(Figures, H33_WhomTheyAreForIsWhatThePublicationsSay) {
  const auto rows = for_tests::rows_of(for_tests::depths);
  EXPECT_NE(rows.find("A031")->second.at("condition").find("BMI 19.4-64.5, age 18-85"),
            std::string::npos);
  const auto args = range_args(People::adults);
  EXPECT_EQ(args[0], arg_count("people", 388));
  EXPECT_EQ(args[1], arg_count("age_least", 18));
  EXPECT_EQ(args[2], arg_count("age_most", 85));
  EXPECT_EQ(args[3], arg_text("bmi_least", "19.4"));
  EXPECT_EQ(args[4], arg_text("bmi_most", "64.5"));
  EXPECT_EQ(rows.find("A133")->second.at("value"), "12 / 55 / 86");
  EXPECT_EQ(range_args(People::children)[0], arg_count("people", 12 + 55 + 86));
  EXPECT_EQ(range_args(People::pregnant_women)[1], arg_count("week_least", 24));
}

// data/shelf/needles.tsv: every length that is sold, and no other.
TEST(Figures, NeedleLengthsAreThoseOfTheShelf) {
  std::set<std::int64_t> sold;
  for (const auto& file : embedded::reach_tables()) {
    if (file.path != "data/shelf/needles.tsv") continue;
    std::string_view text = file.data;
    constexpr std::string_view field = "\tlength_mm\t";
    for (auto at = text.find(field); at != std::string_view::npos; at = text.find(field, at + 1)) {
      const auto from = at + field.size();
      const auto length = parse_fixed(text.substr(from, text.find('\t', from) - from), 1);
      ASSERT_TRUE(length);
      sold.insert(*length);
    }
  }
  std::set<std::int64_t> ours;
  for (const auto length : needle_lengths) ours.insert(length.tenths);
  EXPECT_EQ(ours, sold);
}

}  // namespace
}  // namespace penstock::reach
