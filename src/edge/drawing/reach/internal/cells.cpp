#include "edge/drawing/reach/internal/cells.hpp"

#include <cstdlib>

namespace penstock::drawing {
using namespace literals;

Px Jitter::next(Px reach) {
  state_ = state_ * 1664525U + 1013904223U;
  const auto part = static_cast<std::int64_t>(state_ >> 16);  // 0 to 65535
  return {quotient(reach.hundredths * (2 * part - 65'535), 65'535, Rounding::nearest)};
}

namespace {

/// How far a point lies on the far side of the line halfway between two sites; the sign decides.
std::int64_t beyond(Point at, Point own, Point other) {
  const auto nx = (other.x - own.x).hundredths, ny = (other.y - own.y).hundredths;
  const auto x = (2 * at.x - own.x - other.x).hundredths;
  const auto y = (2 * at.y - own.y - other.y).hundredths;
  return x * nx + y * ny;
}

void cut(std::vector<Point>& cell, Point own, Point other) {
  std::vector<Point> kept;
  for (std::size_t i = 0; i < cell.size(); ++i) {
    const Point a = cell[i], b = cell[(i + 1) % cell.size()];
    const auto far_a = beyond(a, own, other), far_b = beyond(b, own, other);
    if (far_a <= 0) kept.push_back(a);
    if ((far_a < 0 && far_b > 0) || (far_a > 0 && far_b < 0)) {
      const auto between = [&](Px from, Px to) {
        const auto whole = std::abs(far_a) + std::abs(far_b);
        return from +
               Px{quotient((to - from).hundredths * std::abs(far_a), whole, Rounding::nearest)};
      };
      kept.push_back({between(a.x, b.x), between(a.y, b.y)});
    }
  }
  cell = std::move(kept);
}

}  // namespace

std::vector<std::vector<Point>> voronoi(std::span<const Point> sites, Point least, Point most) {
  std::vector<std::vector<Point>> cells;
  cells.reserve(sites.size());
  for (std::size_t i = 0; i < sites.size(); ++i) {
    const Point own = sites[i];
    std::vector<Point> cell{least, {most.x, least.y}, most, {least.x, most.y}};
    const auto meet = [&](Point other) {
      // A site more than twice as far away as the cell reaches cannot touch it.
      if (other == own || cell.empty()) return;
      Px reach{};
      for (const Point corner : cell) reach = larger(reach, distance(own, corner));
      if (distance(own, other) <= reach * 2 + 1_px) cut(cell, own, other);
    };
    // Sites come in rows, so the next in the list are likely neighbours: they make the cell small.
    for (std::size_t away = 1; away < sites.size(); ++away) {
      if (away <= i) meet(sites[i - away]);
      if (i + away < sites.size()) meet(sites[i + away]);
    }
    cells.push_back(std::move(cell));
  }
  return cells;
}

}  // namespace penstock::drawing
