#include <gtest/gtest.h>

#include "edge/drawing/supplies/supplies.hpp"
#include "support/drawn.hpp"

namespace penstock::drawing {
namespace {

TEST(Today, CountsAreDrawnAsTheyAre) {
  EXPECT_EQ(parts(needles(7, 20, ""), "left"), 14U);  // shaft and hub
  EXPECT_EQ(parts(needles(7, 20, ""), "missing"), 13U);
  EXPECT_EQ(parts(needles(30, 20, ""), "missing"), 0U);
  EXPECT_EQ(parts(stock(4, 11, 2, ""), "covered"), 4U);
  EXPECT_EQ(parts(stock(4, 11, 2, ""), "short"), 7U);
  EXPECT_EQ(parts(stock(4, 11, std::nullopt, ""), "ask"), 0U);
}

TEST(Today, NoCountBreaksADrawing) {
  for (const int n : {-5, 0, 1, 27, 365, 1'000'000}) {
    for (const auto& svg : {needles(n, n, ""), stock(n, n, n, "")}) {
      EXPECT_EQ(check_xml(svg).error, "");
      EXPECT_LT(svg.size(), 40'000U);
    }
  }
}

}  // namespace
}  // namespace penstock::drawing
