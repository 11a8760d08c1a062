#include <gtest/gtest.h>

#include "edge/drawing/kit/kit.hpp"
#include "support/drawn.hpp"

namespace penstock::drawing {
namespace {

TEST(Today, CountsAreDrawnAsTheyAre) {
  EXPECT_EQ(parts(ticks(4, 10, ""), "done"), 4U);
  EXPECT_EQ(parts(ticks(4, 10, ""), "open"), 12U);
}

TEST(Today, NoCountBreaksADrawing) {
  for (const int n : {-5, 0, 1, 27, 365, 1'000'000}) {
    for (const auto& svg : {ticks(n, n, ""), time_until(n, "")}) {
      EXPECT_EQ(check_xml(svg).error, "");
      EXPECT_LT(svg.size(), 40'000U);
    }
  }
}

}  // namespace
}  // namespace penstock::drawing
