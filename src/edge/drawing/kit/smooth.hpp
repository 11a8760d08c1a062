// Curves from points, and the little arithmetic that they need, in whole numbers: the same bytes
// natively and in the browser.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "edge/drawing/kit/svg.hpp"

namespace penstock::drawing {

struct Point {
  Px x{};
  Px y{};
  friend constexpr bool operator==(Point, Point) = default;
};

/// Square root, rounded down; 0 for what is below zero.
std::int64_t square_root(std::int64_t n);
Px distance(Point a, Point b);

/// `length` times the sine of 0 to 90 whole degrees, to a hundredth of a pixel.
Px sine(Px length, int degrees);
/// `height` times the sine of an angle in thousandths of a turn.
Px wave(Px height, std::int64_t thousandths_of_turn);

/// One cubic piece of a curve.
struct Curve {
  Point from;
  Point first;
  Point second;
  Point to;
};
enum class Ends : std::uint8_t { open, closed };

/// A curve through every point, quiet where points lie unevenly (Catmull-Rom with non-uniform
/// tangents). Coordinates to 1000 pixels either way; fewer than two points give nothing.
std::vector<Curve> smooth(std::span<const Point> points, Ends ends);
void draw(Path& path, std::span<const Curve> curves);

/// A polygon with its corners rounded by at most `radius` along either edge: never outside the
/// polygon. Fewer than three corners give nothing.
void rounded_polygon(Path& path, std::span<const Point> corners, Px radius);

}  // namespace penstock::drawing
