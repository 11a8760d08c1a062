#include "edge/drawing/kit/smooth.hpp"

#include <algorithm>

#include "base/base.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

/// Distances between points are kept in sixteenths of a hundredth, so that short ones keep their
/// proportion.
constexpr std::int64_t fine = 16;

std::int64_t fine_distance(Point a, Point b) {
  const auto dx = (b.x - a.x).hundredths * fine;
  const auto dy = (b.y - a.y).hundredths * fine;
  return std::max<std::int64_t>(square_root(dx * dx + dy * dy), 1);
}

/// A third of the tangent at the middle of three points, as long as the piece of length `piece`
/// wants it; `other` is the length of the piece on its other side.
Px handle(Px along, Px beside, std::int64_t piece, std::int64_t other) {
  const auto sum = along.hundredths * other * other + beside.hundredths * piece * piece;
  return {quotient(sum, 3 * other * (other + piece), Rounding::nearest)};
}

// Sines of whole degrees, in hundred-thousandths.
constexpr std::int64_t sines[91] = {
    0,      1745,   3490,   5234,   6976,   8716,   10'453, 12'187, 13'917, 15'643, 17'365, 19'081,
    20'791, 22'495, 24'192, 25'882, 27'564, 29'237, 30'902, 32'557, 34'202, 35'837, 37'461, 39'073,
    40'674, 42'262, 43'837, 45'399, 46'947, 48'481, 50'000, 51'504, 52'992, 54'464, 55'919, 57'358,
    58'779, 60'182, 61'566, 62'932, 64'279, 65'606, 66'913, 68'200, 69'466, 70'711, 71'934, 73'135,
    74'314, 75'471, 76'604, 77'715, 78'801, 79'864, 80'902, 81'915, 82'904, 83'867, 84'805, 85'717,
    86'603, 87'462, 88'295, 89'101, 89'879, 90'631, 91'355, 92'050, 92'718, 93'358, 93'969, 94'552,
    95'106, 95'630, 96'126, 96'593, 97'030, 97'437, 97'815, 98'163, 98'481, 98'769, 99'027, 99'255,
    99'452, 99'619, 99'756, 99'863, 99'939, 99'985, 100'000};
constexpr std::int64_t sine_whole = 100'000;

}  // namespace

std::int64_t square_root(std::int64_t n) {
  if (n <= 0) return 0;
  std::int64_t root = 0;
  for (std::int64_t bit = std::int64_t{1} << 31; bit > 0; bit >>= 1) {
    const auto tried = root + bit;
    if (tried <= n / tried) root = tried;
  }
  return root;
}

Px distance(Point a, Point b) {
  const auto dx = (b.x - a.x).hundredths;
  const auto dy = (b.y - a.y).hundredths;
  return {square_root(dx * dx + dy * dy)};
}

Px sine(Px length, int degrees) {
  INVARIANT(degrees >= 0 && degrees <= 90);
  return {quotient(length.hundredths * sines[degrees], sine_whole, Rounding::nearest)};
}

Px wave(Px height, std::int64_t thousandths_of_turn) {
  auto turn = thousandths_of_turn % 1000;
  if (turn < 0) turn += 1000;
  const bool below = turn >= 500;
  if (below) turn -= 500;
  if (turn > 250) turn = 500 - turn;
  const auto at = turn * 36;  // hundredths of a degree
  const auto low = sines[at / 100];
  const auto high = sines[std::min<std::int64_t>(at / 100 + 1, 90)];
  const auto value = low * 100 + (high - low) * (at % 100);
  return {
      quotient((below ? -value : value) * height.hundredths, 100 * sine_whole, Rounding::nearest)};
}

std::vector<Curve> smooth(std::span<const Point> points, Ends ends) {
  std::vector<Curve> curves;
  const auto n = points.size();
  if (n < 2) return curves;
  const bool closed = ends == Ends::closed;
  const auto at = [&](std::size_t i) {  // shifted by one: 0 is the point before the first
    if (closed) return points[(i + n - 1) % n];
    return points[std::clamp<std::size_t>(i, 1, n) - 1];
  };
  for (std::size_t i = 1; i < (closed ? n + 1 : n); ++i) {
    const Point p0 = at(i - 1), p1 = at(i), p2 = at(i + 1), p3 = at(i + 2);
    const auto d1 = fine_distance(p0, p1), d2 = fine_distance(p1, p2), d3 = fine_distance(p2, p3);
    // At p1: ((p2-p1) d1/d2 + (p1-p0) d2/d1) / (d1+d2), times d2; at p2 the same from its own side.
    const Point first{p1.x + handle(p2.x - p1.x, p1.x - p0.x, d2, d1),
                      p1.y + handle(p2.y - p1.y, p1.y - p0.y, d2, d1)};
    const Point second{p2.x - handle(p2.x - p1.x, p3.x - p2.x, d2, d3),
                       p2.y - handle(p2.y - p1.y, p3.y - p2.y, d2, d3)};
    curves.push_back({p1, first, second, p2});
  }
  return curves;
}

void draw(Path& path, std::span<const Curve> curves) {
  if (curves.empty()) return;
  path.move(curves.front().from.x, curves.front().from.y);
  for (const auto& piece : curves) {
    path.curve(piece.first.x, piece.first.y, piece.second.x, piece.second.y, piece.to.x,
               piece.to.y);
  }
}

void rounded_polygon(Path& path, std::span<const Point> corners, Px radius) {
  const auto n = corners.size();
  if (n < 3) return;
  const auto towards = [](Point from, Point to, Px by, Px whole) {
    const auto length = std::max<std::int64_t>(whole.hundredths, 1);
    return Point{from.x + Px{quotient((to.x - from.x).hundredths * by.hundredths, length,
                                      Rounding::nearest)},
                 from.y + Px{quotient((to.y - from.y).hundredths * by.hundredths, length,
                                      Rounding::nearest)}};
  };
  for (std::size_t i = 0; i < n; ++i) {
    const Point before = corners[(i + n - 1) % n], here = corners[i], after = corners[(i + 1) % n];
    const Px in = distance(here, before), out = distance(here, after);
    const Px cut = smaller(radius, smaller(in, out) / 2);
    const Point start = towards(here, before, cut, in), end = towards(here, after, cut, out);
    if (i == 0) {
      path.move(start.x, start.y);
    } else {
      path.line(start.x, start.y);
    }
    path.quadratic(here.x, here.y, end.x, end.y);
  }
  path.close();
}

}  // namespace penstock::drawing
