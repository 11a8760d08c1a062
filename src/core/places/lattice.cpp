// Spots on a zone, and the most that any arrangement of spots could have there.
#include <algorithm>

#include "core/places/internal/skin.hpp"

namespace penstock::places {
namespace {

using internal::PlaneSpot;
using internal::square;

std::int64_t floor_div(std::int64_t a, std::int64_t b) { return quotient(a, b, Rounding::down); }
std::int64_t ceil_div(std::int64_t a, std::int64_t b) { return quotient(a, b, Rounding::up); }

/// A hexagonal lattice: rows `row` apart, spots `step` apart in a row, every other row shifted by
/// half a step. With step = s rounded up to even and row the least whole number that keeps the
/// slanting neighbours s apart, no two spots are nearer than s. Columns: x and y change places.
struct Lattice {
  std::int32_t step = 0;
  std::int32_t row = 0;
  bool columns = false;
  std::int32_t along = 0;   // where the even rows' spots stand
  std::int32_t across = 0;  // where row 0 lies
};

Lattice lattice_of(TenthsMm spacing) {
  Lattice l;
  l.step = spacing.tenths + spacing.tenths % 2;
  const auto rest = square(spacing.tenths) - square(l.step / 2);
  l.row = static_cast<std::int32_t>(internal::root(rest));
  if (square(l.row) < rest) ++l.row;
  return l;
}

/// A stretch of one row that lies in an outline, both ends included.
struct Span {
  std::int32_t from = 0;
  std::int32_t to = 0;
};

std::vector<Spot> turned(std::vector<Spot> corners) {
  for (auto& p : corners) std::swap(p.x, p.y);
  return corners;
}

struct Crossing {
  std::int32_t down = 0;  // the crossing's x, rounded down and up
  std::int32_t up = 0;
};

Crossing crossing(Spot a, Spot b, std::int64_t y) {
  const std::int64_t rise = std::int64_t{b.y.tenths} - a.y.tenths;
  const std::int64_t run = (y - a.y.tenths) * (std::int64_t{b.x.tenths} - a.x.tenths);
  const auto low = rise > 0 ? floor_div(run, rise) : floor_div(-run, -rise);
  const auto high = rise > 0 ? ceil_div(run, rise) : ceil_div(-run, -rise);
  return {static_cast<std::int32_t>(a.x.tenths + low),
          static_cast<std::int32_t>(a.x.tenths + high)};
}

void add_spans(const std::vector<Spot>& corners, std::int64_t y, std::vector<Span>& spans) {
  std::array<Crossing, 16> found{};
  std::size_t count = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Spot a = corners[i];
    const Spot b = corners[i + 1 == corners.size() ? 0 : i + 1];
    if ((a.y.tenths <= y) == (b.y.tenths <= y)) continue;
    INVARIANT(count < found.size());
    found[count++] = crossing(a, b, y);
  }
  std::sort(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(count),
            [](const Crossing& a, const Crossing& b) { return a.down + a.up < b.down + b.up; });
  for (std::size_t i = 0; i + 1 < count; i += 2) {
    if (found[i].up <= found[i + 1].down) spans.push_back({found[i].up, found[i + 1].down});
  }
}

/// The outlines of one plane, upright or turned, with their heights.
struct Shapes {
  std::vector<std::vector<Spot>> corners;
  std::int32_t low = 0;
  std::int32_t high = 0;
};

Shapes shapes_of(const std::vector<Outline>& outlines, bool columns) {
  Shapes shapes;
  for (const auto& outline : outlines) {
    shapes.corners.push_back(columns ? turned(outline.corners) : outline.corners);
    for (const auto& p : shapes.corners.back()) {
      shapes.low = std::min(shapes.low, p.y.tenths);
      shapes.high = std::max(shapes.high, p.y.tenths);
    }
  }
  return shapes;
}

/// The first row at or above `low`.
std::int32_t first_row(const Lattice& l, std::int32_t low) {
  return static_cast<std::int32_t>(ceil_div(low - l.across, l.row));
}

constexpr std::int32_t shifts = 16;  // of a step and of a row that are tried: half a millimetre and
                                     // less at the least spacing

/// How many spots each shift along the rows holds, for rows that lie at `l.across`.
std::array<std::int32_t, shifts> counts(const Shapes& shapes, const Lattice& l) {
  std::array<std::int32_t, shifts> held{};
  std::vector<Span> spans;
  for (auto row = first_row(l, shapes.low); l.across + row * l.row <= shapes.high; ++row) {
    spans.clear();
    for (const auto& corners : shapes.corners) add_spans(corners, l.across + row * l.row, spans);
    const auto half = row % 2 != 0 ? l.step / 2 : 0;
    for (const auto& span : spans) {
      for (std::int32_t shift = 0; shift < shifts; ++shift) {
        const auto along = shift * l.step / shifts + half;
        held[static_cast<std::size_t>(shift)] += static_cast<std::int32_t>(
            floor_div(span.to - along, l.step) - ceil_div(span.from - along, l.step) + 1);
      }
    }
  }
  return held;
}

Lattice best_lattice(const std::vector<Outline>& outlines, TenthsMm spacing) {
  Lattice best = lattice_of(spacing);
  std::int32_t most = -1;
  for (const bool columns : {false, true}) {
    const auto shapes = shapes_of(outlines, columns);
    Lattice trial = lattice_of(spacing);
    trial.columns = columns;
    for (std::int32_t shift = 0; shift < shifts; ++shift) {
      trial.across = shift * trial.row / shifts;
      const auto held = counts(shapes, trial);
      const auto top = std::ranges::max_element(held);
      if (*top <= most) continue;
      most = *top;
      best = trial;
      best.along = static_cast<std::int32_t>(top - held.begin()) * trial.step / shifts;
    }
  }
  return best;
}

std::vector<Spot> spots_of(const std::vector<Outline>& outlines, const Lattice& l) {
  const auto shapes = shapes_of(outlines, l.columns);
  std::vector<Spot> spots;
  std::vector<Span> spans;
  for (auto row = first_row(l, shapes.low); l.across + row * l.row <= shapes.high; ++row) {
    const auto y = l.across + row * l.row;
    const auto along = l.along + (row % 2 != 0 ? l.step / 2 : 0);
    spans.clear();
    for (const auto& corners : shapes.corners) add_spans(corners, y, spans);
    for (const auto& span : spans) {
      auto x = static_cast<std::int32_t>(along + ceil_div(span.from - along, l.step) * l.step);
      for (; x <= span.to; x += l.step) {
        spots.push_back(l.columns ? Spot{{y}, {x}} : Spot{{x}, {y}});
      }
    }
  }
  return spots;
}

}  // namespace

namespace internal {

std::vector<Spot> lattice_in(const std::vector<Outline>& outlines, TenthsMm spacing) {
  return spots_of(outlines, best_lattice(outlines, spacing));
}

std::vector<PlaneSpot> plane_lattice(std::size_t plane, const Body& body, TenthsMm spacing) {
  std::vector<Outline> outlines;
  for (std::size_t i = 0; i < zone_names.size(); ++i) {
    const auto zone = static_cast<Zone>(i);
    if (plane_of(zone) == plane) outlines.push_back(outline(zone, body));
  }
  std::vector<PlaneSpot> spots;
  for (const auto& spot : lattice_in(outlines, spacing)) {
    const Zone zone = plane == 0 ? quarter_at(spot) : outlines.front().zone;
    // The ring round the navel is a polygon with rounded corners: the exact circle has the last
    // word.
    const auto own = std::ranges::find(outlines, zone, &Outline::zone);
    if (clear_of_navel(zone, spot, body) && inside(*own, spot)) spots.push_back({zone, spot});
  }
  std::ranges::sort(spots, [](const PlaneSpot& a, const PlaneSpot& b) {
    return a.spot.y != b.spot.y ? a.spot.y > b.spot.y : a.spot.x < b.spot.x;
  });
  const auto same = [](const PlaneSpot& a, const PlaneSpot& b) { return a.spot == b.spot; };
  spots.erase(std::unique(spots.begin(), spots.end(), same), spots.end());
  return spots;
}

}  // namespace internal

std::vector<Spot> lattice(Zone zone, const Body& body, TenthsMm spacing) {
  std::vector<Spot> spots;
  for (const auto& one : internal::plane_lattice(internal::plane_of(zone), body, spacing)) {
    if (one.zone == zone) spots.push_back(one.spot);
  }
  return spots;
}

std::size_t packing_bound(const Outline& zone, TenthsMm spacing) {
  const auto& corners = zone.corners;
  if (corners.empty() || spacing.tenths <= 0) return 0;
  constexpr std::int64_t thousand = 1'000;
  constexpr std::int64_t billion = 1'000'000'000;
  std::int64_t twice_area = 0;
  std::int64_t perimeter_thousandths = 0;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Spot a = corners[i];
    const Spot b = corners[(i + 1) % corners.size()];
    twice_area += std::int64_t{a.x.tenths} * b.y.tenths - std::int64_t{a.y.tenths} * b.x.tenths;
    perimeter_thousandths += internal::root(internal::square_apart(a, b) * thousand * thousand) + 1;
  }
  if (twice_area < 0) twice_area = -twice_area;
  // Each term is rounded up, so the bound is never too small.
  constexpr std::int64_t root_third = 577'350'270;  // 1 / sqrt(3), in billionths, rounded up
  const std::int64_t s = spacing.tenths;
  const auto by_area = ceil_div(twice_area * root_third, s * s);
  const auto by_edge = ceil_div(perimeter_thousandths * (billion / thousand), 2 * s);
  return static_cast<std::size_t>((by_area + by_edge + billion) / billion);
}

}  // namespace penstock::places
