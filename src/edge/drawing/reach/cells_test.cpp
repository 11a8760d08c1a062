#include "edge/drawing/reach/internal/cells.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cstdlib>

namespace penstock::drawing {
namespace {

using namespace literals;

std::int64_t twice_area(const std::vector<Point>& polygon) {
  std::int64_t sum = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const auto& a = polygon[i];
    const auto& b = polygon[(i + 1) % polygon.size()];
    sum += a.x.hundredths * b.y.hundredths - b.x.hundredths * a.y.hundredths;
  }
  return std::abs(sum);
}

RC_GTEST_PROP(Voronoi, CellsShareOutTheBox, (std::uint32_t seed)) {
  Jitter jitter(seed);
  std::vector<Point> sites;
  for (int i = 0; i < 25; ++i)
    sites.push_back({100_px + jitter.next(99_px), 50_px + jitter.next(49_px)});
  std::int64_t together = 0;
  for (const auto& cell : voronoi(sites, {}, {200_px, 100_px})) together += twice_area(cell);
  const std::int64_t whole = 2 * std::int64_t{20'000} * 10'000;
  // Corners are rounded to a hundredth; equal sites each have the whole of their cell.
  RC_ASSERT(std::abs(together - whole) < whole / 500);
}

TEST(Jitter, IsTheSameEveryTimeAndStaysWithinItsReach) {
  Jitter a(5), b(5);
  Px least{}, most{};
  for (int i = 0; i < 1000; ++i) {
    const Px value = a.next(10_px);
    EXPECT_EQ(value, b.next(10_px));
    EXPECT_LE(value, 10_px);
    EXPECT_GE(value, -10_px);
    least = smaller(least, value);
    most = larger(most, value);
  }
  EXPECT_LT(least, -9_px);
  EXPECT_GT(most, 9_px);
}

}  // namespace
}  // namespace penstock::drawing
