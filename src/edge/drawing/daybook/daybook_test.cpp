#include "edge/drawing/daybook/daybook.hpp"

#include <gtest/gtest.h>

#include "support/drawn.hpp"

namespace penstock::drawing {
namespace {

TEST(Today, H23_ANightWithoutAReadingIsBlank) {
  const auto svg = nights({Night::inside, Night::below, Night::unknown, Night::below}, "");
  EXPECT_EQ(parts(svg, "below"), 2U);
  EXPECT_EQ(parts(svg, "inside"),
            5U);  // one line, and two stubs beside each notch; nothing for the unknown night
}

TEST(Today, DatedNightsCarryTheirLabels) {
  const auto drawn = check_xml(nights_dated({Night::inside, Night::below}, {"9", "10"}, ""));
  ASSERT_EQ(drawn.named("text").size(), 2U);
  EXPECT_EQ(drawn.named("text")[1].text, "10");
}

TEST(Today, CountsAreDrawnAsTheyAre) {
  EXPECT_EQ(parts(silent_days(4, 6, ""), "recorded"), 4U);
  EXPECT_EQ(parts(silent_days(4, 6, ""), "silent"), 6U);
}

TEST(Today, NoCountBreaksADrawing) {
  for (const int n : {-5, 0, 1, 27, 365, 1'000'000}) {
    for (const auto& svg : {silent_days(n, n, "")}) {
      EXPECT_EQ(check_xml(svg).error, "");
      EXPECT_LT(svg.size(), 40'000U);
    }
  }
  EXPECT_EQ(check_xml(nights({}, "")).error, "");
}

}  // namespace
}  // namespace penstock::drawing
