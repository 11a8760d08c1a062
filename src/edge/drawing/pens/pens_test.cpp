#include "edge/drawing/pens/pens.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "support/cleared.hpp"
#include "support/drawn.hpp"

namespace penstock::drawing {
namespace {

using namespace penstock::literals;

// ---- dose window

TEST(Window, H05_TheNumberHasNoTrailingZeroAndALeadingOne) {
  const std::pair<Units, const char*> rows[] = {
      {8_units, "8"},     {10_units, "10"},   {0.5_units, "0.5"},   {4.5_units, "4.5"},
      {100_units, "100"}, {108_units, "108"}, {12.5_units, "12.5"}, {61.25_units, "61.25"}};
  for (const auto& [dose, shown] : rows) {
    const auto drawn = check_xml(dose_window(tests::cleared_window(dose), WindowSize::card));
    ASSERT_NE(drawn.mark("window"), nullptr);
    EXPECT_EQ(drawn.mark("window")->text, shown);
  }
}

TEST(Window, FiguresKeepTheirSizeAndTheFrameGrows) {
  const std::pair<WindowSize, const char*> sizes[] = {
      {WindowSize::table, "34"}, {WindowSize::card, "57"}, {WindowSize::large, "64"}};
  for (const auto& [size, points] : sizes) {
    double before = 0;
    for (const auto dose : {18_units, 12.5_units, 112.5_units}) {
      const auto drawn = check_xml(dose_window(tests::cleared_window(dose), size));
      EXPECT_EQ(drawn.mark("window")->attribute("font-size"), points);
      const double width = std::stod(drawn.elements[0].attribute("width"));
      EXPECT_GT(width, before);
      // Figures of the face are at most 0.64 of their size wide; the index marks take a seventh on
      // either side.
      EXPECT_GE(width,
                0.6 * std::stod(points) * static_cast<double>(drawn.mark("window")->text.size()));
      before = width;
    }
  }
}

TEST(Window, AStripHasOneCellAUnit) {
  EXPECT_EQ(parts(count_strip(2_units, 8_units, 12_units), "primed"), 2U);
  EXPECT_EQ(parts(count_strip(2_units, 8_units, 12_units), "dose"), 8U);
  EXPECT_EQ(parts(count_strip(4_units, 8_units, 12_units), "primed"), 4U);
  EXPECT_EQ(parts(count_strip(0_units, 8_units, 12_units), "primed"), 0U);
  EXPECT_EQ(parts(count_strip(2_units, 60_units, 62_units), "dose"), 12U);  // by fives
}

TEST(Window, RingsAreAsManyAsTheSecondsToHold) {
  for (int seconds = 1; seconds <= 30; ++seconds) {
    EXPECT_EQ(parts(hold_rings(seconds), "open"),
              2U * static_cast<unsigned>(seconds));  // an outer and an inner circle each
  }
  EXPECT_EQ(parts(hold_rings(10, 4), "counted"), 4U);
  EXPECT_EQ(parts(hold_rings(10, 4), "open"), 12U);
}

// ---- insulins

TEST(Insulins, H04_NoTwoActionsShareAMark) {
  const Action every[] = {Action::rapid,          Action::short_acting,   Action::intermediate,
                          Action::long_acting,    Action::premixed_rapid, Action::premixed_short,
                          Action::rapid_with_long};
  for (const auto a : every) {
    for (const auto b : every) {
      EXPECT_EQ(a == b, insulin_mark(a) == insulin_mark(b));
      EXPECT_EQ(a == b, insulin_mark_large(a) == insulin_mark_large(b));
    }
  }
}

TEST(Insulins, AMismatchShowsBothAndTheirNames) {
  const auto drawn =
      check_xml(mismatch({.pen = Action::rapid,
                          .cartridge = Action::long_acting,
                          .pen_label = "pen",
                          .cartridge_label = "cartridge",
                          .alt = "The pen is for lispro, the cartridge is glargine"}));
  EXPECT_EQ(drawn.named("text").size(), 2U);
  EXPECT_EQ(drawn.elements[0].attribute("aria-label"),
            "The pen is for lispro, the cartridge is glargine");
}

// ---- steps

TEST(Hand, NoStepHoldsANumberOrAWord) {
  for (int step = 0; step <= static_cast<int>(Hand::box); ++step) {
    const auto drawn = check_xml(hand({.step = static_cast<Hand>(step)}));
    EXPECT_EQ(drawn.error, "");
    EXPECT_TRUE(drawn.named("text").empty());
    EXPECT_GT(drawn.elements.size(), 3U);
  }
}

TEST(Hand, TheBoxFillsToScaleAndUnknownStaysBlank) {
  EXPECT_EQ(check_xml(hand({.step = Hand::box})).mark("fill"), nullptr);
  const auto level = [](int percent) {
    const auto drawn = check_xml(hand({.step = Hand::box, .box_percent_full = percent}));
    const auto data = drawn.mark("fill")->attribute("d");
    return std::stod(data.substr(data.find(' ') + 1));
  };
  EXPECT_DOUBLE_EQ(level(0), 82);
  EXPECT_DOUBLE_EQ(level(75), 44.5);  // the fill line
  EXPECT_DOUBLE_EQ(level(100), 32);
}

TEST(Hand, PrimingHasTheSlantAndOnlyPriming) {
  for (int step = 0; step <= static_cast<int>(Hand::box); ++step) {
    const auto svg = hand({.step = static_cast<Hand>(step)});
    EXPECT_EQ(svg.find("url(#p-prime)") != std::string::npos,
              static_cast<Hand>(step) == Hand::prime);
  }
}

RC_GTEST_PROP(Escaping, AnyBytesAsLabelAndAlternativeStayWellFormed, (const std::string& bytes)) {
  const auto drawn =
      empty_barrel({.content = *Units::from_hundredths(30'000), .label = bytes, .alt = bytes});
  RC_ASSERT(check_xml(drawn).error.empty());
}

// ---- in a sentence

TEST(Today, DaysOpenPastTheLimitAreSolidBeyondTheLine) {
  const auto past = days_open(31, 28, "Open for 31 days, limit 28");
  EXPECT_EQ(parts(past, "gone"), 28U);
  EXPECT_EQ(parts(past, "beyond"), 3U);
  EXPECT_EQ(parts(past, "left"), 0U);
  const auto near = days_open(26, 28, "");
  EXPECT_EQ(parts(near, "gone"), 26U);
  EXPECT_EQ(parts(near, "left"), 2U);
  EXPECT_EQ(parts(near, "beyond"), 0U);
}

TEST(Today, CountsAreDrawnAsTheyAre) {
  EXPECT_EQ(parts(question_open(Action::rapid, 3, ""), "waited"), 3U);
}

TEST(Today, TheOrderEndsAfterItsLastDay) {
  const auto width = [](int days_left) {
    const auto drawn = check_xml(order_ending(days_left, ""));
    const auto* valid = drawn.mark("valid");
    return valid == nullptr ? 0.0 : std::stod(valid->attribute("width"));
  };
  EXPECT_DOUBLE_EQ(width(-1), 0);  // ended
  EXPECT_DOUBLE_EQ(width(0), 10);  // today still holds
  EXPECT_DOUBLE_EQ(width(5), 60);
  EXPECT_EQ(check_xml(order_ending(40, "")).mark("end"), nullptr);  // beyond the two weeks shown
}

TEST(Today, H41_LedgerAndScaleShareOneScale) {
  const auto drawn = check_xml(scale_disagrees(300_units, 150_units, 225_units, ""));
  EXPECT_DOUBLE_EQ(std::stod(drawn.mark("ledger")->attribute("width")), 70);
  const auto diamond = drawn.mark("counted")->attribute("d");
  EXPECT_DOUBLE_EQ(std::stod(diamond.substr(1)), 4 + 105);
}

TEST(Today, H12_HeatBeyondTheLimitIsSolidAndInsideItIsNot) {
  EXPECT_NE(check_xml(warmth({20}, {300}, {450}, "")).mark("beyond"), nullptr);
  EXPECT_NE(check_xml(warmth({20}, {300}, {-10}, "")).mark("beyond"), nullptr);
  EXPECT_EQ(check_xml(warmth({20}, {300}, {250}, "")).mark("beyond"), nullptr);
  EXPECT_EQ(check_xml(warmth({20}, {300}, {300}, "")).mark("beyond"),
            nullptr);  // the limit itself is allowed
}

TEST(Today, NoCountBreaksADrawing) {
  for (const int n : {-5, 0, 1, 27, 365, 1'000'000}) {
    for (const auto& svg :
         {days_open(n, n, ""), order_ending(n, ""), question_open(Action::rapid, n, ""),
          hold_rings(n, n), pips({.limit_days = n, .days_in_use = 2})}) {
      EXPECT_EQ(check_xml(svg).error, "");
      EXPECT_LT(svg.size(), 40'000U);
    }
  }
}

}  // namespace
}  // namespace penstock::drawing
