#include "edge/drawing/kit/smooth.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

namespace penstock::drawing {
namespace {

using namespace literals;

TEST(Arithmetic, SquareRootIsRoundedDown) {
  for (std::int64_t n = 0; n < 20'000; ++n) {
    const auto root = square_root(n);
    EXPECT_LE(root * root, n);
    EXPECT_GT((root + 1) * (root + 1), n);
  }
  EXPECT_EQ(square_root(-4), 0);
  EXPECT_EQ(square_root(std::int64_t{1'000'000'000} * 1'000'000'000), 1'000'000'000);
}

TEST(Arithmetic, SineAgreesWithTheLibrarysToAHundredth) {
  for (int degrees = 0; degrees <= 90; ++degrees) {
    const double exact = 300 * std::sin(degrees * M_PI / 180);
    EXPECT_NEAR(static_cast<double>(sine(300_px, degrees).hundredths) / 100, exact, 0.0071)
        << degrees;
  }
  for (std::int64_t turn = -1500; turn <= 1500; ++turn) {
    const double exact = 100 * std::sin(static_cast<double>(turn) * 2 * M_PI / 1000);
    EXPECT_NEAR(static_cast<double>(wave(100_px, turn).hundredths) / 100, exact, 0.011) << turn;
  }
}

TEST(Arithmetic, QuotientsRoundToTheNearestTheSameWayOnBothSidesOfZero) {
  EXPECT_EQ(quotient(7, 2, Rounding::nearest), 4);
  EXPECT_EQ(quotient(-7, 2, Rounding::nearest), -4);
  EXPECT_EQ(quotient(6, 4, Rounding::nearest), 2);
  EXPECT_EQ(quotient(5, 4, Rounding::nearest), 1);
  EXPECT_EQ(quotient(-5, 4, Rounding::nearest), -1);
}

TEST(Smooth, PassesThroughEveryPoint) {
  const std::vector<Point> points{{0_px, 0_px}, {10_px, 30_px}, {12_px, 31_px}, {200_px, -40_px}};
  const auto open = smooth(points, Ends::open);
  ASSERT_EQ(open.size(), 3U);
  for (std::size_t i = 0; i < open.size(); ++i) {
    EXPECT_EQ(open[i].from, points[i]);
    EXPECT_EQ(open[i].to, points[i + 1]);
  }
  const auto closed = smooth(points, Ends::closed);
  ASSERT_EQ(closed.size(), 4U);
  EXPECT_EQ(closed.back().to, points.front());
  EXPECT_TRUE(smooth(std::span<const Point>(points).first(1), Ends::open).empty());
}

TEST(Smooth, PointsOnALineStayOnIt) {
  const std::vector<Point> points{{0_px, 0_px}, {10_px, 10_px}, {50_px, 50_px}, {60_px, 60_px}};
  for (const auto& piece : smooth(points, Ends::open)) {
    EXPECT_EQ(piece.first.x, piece.first.y);
    EXPECT_EQ(piece.second.x, piece.second.y);
  }
}

TEST(RoundedPolygon, NeverLeavesItsCornersBox) {
  const std::vector<Point> square{{0_px, 0_px}, {20_px, 0_px}, {20_px, 20_px}, {0_px, 20_px}};
  Path path;
  rounded_polygon(path, square, 5_px);
  EXPECT_EQ(path.data(), "M0 5Q0 0 5 0L15 0Q20 0 20 5L20 15Q20 20 15 20L5 20Q0 20 0 15Z");
  Path none;
  rounded_polygon(none, std::span<const Point>(square).first(2), 5_px);
  EXPECT_TRUE(none.empty());
}

TEST(RoundedPolygon, AHugeRadiusStopsAtTheMiddleOfAnEdge) {
  const std::vector<Point> square{{0_px, 0_px}, {20_px, 0_px}, {20_px, 20_px}, {0_px, 20_px}};
  Path path;
  rounded_polygon(path, square, 500_px);
  EXPECT_EQ(path.data(), "M0 10Q0 0 10 0L10 0Q20 0 20 10L20 10Q20 20 10 20L10 20Q0 20 0 10Z");
}

}  // namespace
}  // namespace penstock::drawing
