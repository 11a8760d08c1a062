// The zones' edges on a person's skin.
#include <algorithm>

#include "core/places/internal/skin.hpp"

namespace penstock::places {
namespace {

using internal::part;
using internal::square;

Spot at(std::int64_t x, std::int64_t y) {
  return {{static_cast<std::int32_t>(x)}, {static_cast<std::int32_t>(y)}};
}
std::int64_t from_navel(Spot p) { return internal::square_apart(p, Spot{}); }

/// A corner in thousandths of a zone's half width and half height, or of a quarter's two sides.
struct Thousandths {
  std::int32_t x = 0;
  std::int32_t y = 0;
};

// The quarters' edges from the side over the top (or the foot) to the midline. Ours: drawn after
// the shape of the trunk between the flanks, the lowest rib and the symphysis (Z001, Z002, Z005),
// corners rounded. The midline's gap is O004.
constexpr Thousandths upper_edge[] = {{945, 0},   {938, 200}, {930, 347},  {905, 580}, {844, 796},
                                      {740, 925}, {640, 985}, {547, 1000}, {420, 990}, {300, 960},
                                      {203, 918}, {140, 845}, {109, 724}};
constexpr Thousandths lower_edge[] = {{945, 0},    {965, 120}, {985, 260}, {998, 400},
                                      {1000, 500}, {980, 640}, {930, 750}, {850, 840},
                                      {734, 910},  {590, 965}, {438, 995}, {300, 1000},
                                      {200, 995},  {150, 975}, {120, 930}, {109, 870}};

// A quarter of a rounded rectangle, |x|^3 + |y|^3 = 1, anticlockwise; the end belongs to the next
// quarter.
constexpr Thousandths rounded[] = {{1000, 0},  {985, 355}, {930, 580},
                                   {794, 794}, {580, 930}, {355, 985}};

// Cosines of 0, 15, ... 90 degrees, in hundred-thousandths; sines read backwards.
constexpr std::int32_t cosines[] = {100'000, 96'593, 86'603, 70'711, 50'000, 25'882, 0};
// 1 / cos(7.5 degrees), rounded up: so far out are the corners of a polygon whose edges just touch
// the circle.
constexpr std::int64_t outside_hundred_thousandths = 100'863;

std::int64_t ring_of(const Body& body) {
  return (body.navel_clear.tenths * outside_hundred_thousandths + 99'999) / 100'000 + 1;
}

/// The point of the way from `in` to `out` that just reaches the ring.
Spot ring_crossing(Spot in, Spot out, std::int64_t ring) {
  constexpr std::int64_t steps = 4096;
  const auto on_way = [&](std::int64_t step) {
    return at(in.x.tenths + (std::int64_t{out.x.tenths} - in.x.tenths) * step / steps,
              in.y.tenths + (std::int64_t{out.y.tenths} - in.y.tenths) * step / steps);
  };
  std::int64_t low = 0;
  std::int64_t high = steps;
  while (high - low > 1) {
    const auto middle = (low + high) / 2;
    (from_navel(on_way(middle)) >= square(ring) ? high : low) = middle;
  }
  return on_way(high);
}

/// b lies anticlockwise of a, seen from the navel.
bool anticlockwise(Spot a, Spot b) {
  return std::int64_t{a.x.tenths} * b.y.tenths - std::int64_t{a.y.tenths} * b.x.tenths > 0;
}

/// The longest run of corners outside the ring, closed along the ring's own corners. All corners
/// lie in the first quadrant, the first is the one at the midline and the navel's height.
std::vector<Spot> beside_ring(const std::vector<Spot>& corners, std::int64_t ring) {
  const auto out = [&](std::size_t i) {
    return from_navel(corners[i % corners.size()]) >= square(ring);
  };
  if (out(0)) return corners;  // the ring ends before the midline's gap does
  std::size_t first = 0;
  std::size_t count = 0;
  for (std::size_t i = 1; i < corners.size(); ++i) {
    std::size_t run = 0;
    while (i + run < corners.size() && out(i + run)) ++run;
    if (run > count) {
      first = i;
      count = run;
    }
    i += run;
  }
  if (count == 0) return {};
  const auto corner = [&](std::size_t i) { return corners[i % corners.size()]; };
  std::vector<Spot> kept{ring_crossing(corner(first - 1), corner(first), ring)};
  for (std::size_t i = 0; i < count; ++i) kept.push_back(corner(first + i));
  const Spot entry = ring_crossing(corner(first + count), corner(first + count - 1), ring);
  kept.push_back(entry);
  for (std::size_t i = 0; i < std::size(cosines); ++i) {
    const auto step = std::size(cosines) - 1 - i;
    const Spot p = at((ring * cosines[step] + 99'999) / 100'000,
                      (ring * cosines[std::size(cosines) - 1 - step] + 99'999) / 100'000);
    if (anticlockwise(p, entry) && anticlockwise(kept.front(), p)) kept.push_back(p);
  }
  kept.erase(std::unique(kept.begin(), kept.end()), kept.end());
  return kept;
}

bool upper_zone(Zone zone) {
  return zone == Zone::abdomen_left_upper || zone == Zone::abdomen_right_upper;
}
bool left_zone(Zone zone) { return static_cast<std::size_t>(zone) % 2 == 0; }
bool left_quarter(Zone zone) {
  return zone == Zone::abdomen_left_upper || zone == Zone::abdomen_left_lower;
}

std::vector<Spot> quarter(Zone zone, const Body& body) {
  const std::int64_t width = part(internal::waist_of(body), internal::abdomen_half_width);
  const std::int64_t height =
      upper_zone(zone)
          ? part(internal::height_of(body), internal::navel_to_rib) - internal::below_rib.tenths
          : part(internal::height_of(body), internal::navel_to_symphysis) -
                internal::above_symphysis.tenths;
  const std::span<const Thousandths> edge =
      upper_zone(zone) ? std::span<const Thousandths>(upper_edge) : lower_edge;
  std::vector<Spot> corners{at(part(width, internal::midline_gap), 0)};
  for (const auto& corner : edge) {
    corners.push_back(at((width * corner.x + 500) / 1000, (height * corner.y + 500) / 1000));
  }
  return beside_ring(corners, ring_of(body));
}

/// From the first quadrant to the zone's own: each mirror turns the corners' order round.
std::vector<Spot> mirrored(std::vector<Spot> corners, Zone zone) {
  const bool left = left_quarter(zone);
  const bool upper = upper_zone(zone);
  for (auto& p : corners) {
    if (!left) p.x.tenths = -p.x.tenths;
    if (!upper) p.y.tenths = -p.y.tenths;
  }
  if (left != upper) std::ranges::reverse(corners);
  return corners;
}

std::vector<Spot> rounded_rectangle(std::int64_t width, std::int64_t height) {
  std::vector<Spot> corners;
  for (int turn = 0; turn < 4; ++turn) {
    for (const auto& corner : rounded) {
      // A quarter turn takes (x, y) to (-y, x); the shape is the same both ways.
      const auto x = turn == 0   ? corner.x
                     : turn == 1 ? -corner.y
                     : turn == 2 ? -corner.x
                                 : corner.y;
      const auto y = turn == 0   ? corner.y
                     : turn == 1 ? corner.x
                     : turn == 2 ? -corner.y
                                 : -corner.x;
      corners.push_back(at(x * width / 2000, y * height / 2000));
    }
  }
  return corners;
}

}  // namespace

namespace internal {

std::int64_t root(std::int64_t n) {
  std::int64_t low = 0;
  std::int64_t high = 3'037'000'499;  // its square still fits
  while (low < high) {
    const auto middle = low + (high - low + 1) / 2;
    if (middle * middle <= n) {
      low = middle;
    } else {
      high = middle - 1;
    }
  }
  return low;
}

bool blocked(Zone zone, Spot spot, std::span<const Circle> circles) {
  return std::ranges::any_of(circles, [&](const Circle& circle) {
    return same_plane(zone, circle.zone) && within(spot, circle);
  });
}

bool clear_of_navel(Zone zone, Spot spot, const Body& body) {
  return part_of(zone) != BodyPart::abdomen || from_navel(spot) >= square(body.navel_clear.tenths);
}

}  // namespace internal

Outline outline(Zone zone, const Body& body) {
  const auto height = internal::height_of(body);
  switch (part_of(zone)) {
    case BodyPart::abdomen:
      return {zone, mirrored(quarter(zone, body), zone)};
    case BodyPart::thigh:  // Z006: the upper third, front and outer side
      return {zone, rounded_rectangle(part(height, internal::thigh_zone_width),
                                      part(height, internal::thigh_length) / 3)};
    case BodyPart::buttock: {  // Z007: upper outer
      const auto size = part(part(height, internal::hip_width), internal::buttock_zone_size);
      return {zone, rounded_rectangle(size, size)};
    }
    case BodyPart::arm:  // Z008: the middle third, back
      return {zone, rounded_rectangle(part(height, internal::arm_zone_width),
                                      part(height, internal::upper_arm_length) / 3)};
  }
  promise_broken("no such part of the body");
}

bool inside(const Outline& zone, Spot spot) {
  const auto& corners = zone.corners;
  bool in = false;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Spot a = corners[i];
    const Spot b = corners[(i + 1) % corners.size()];
    const std::int64_t turn =
        (std::int64_t{b.x.tenths} - a.x.tenths) * (std::int64_t{spot.y.tenths} - a.y.tenths) -
        (std::int64_t{b.y.tenths} - a.y.tenths) * (std::int64_t{spot.x.tenths} - a.x.tenths);
    const auto [left, right] = std::minmax(a.x, b.x);
    const auto [low, high] = std::minmax(a.y, b.y);
    if (turn == 0 && left <= spot.x && spot.x <= right && low <= spot.y && spot.y <= high) {
      return true;
    }
    if ((a.y <= spot.y) != (b.y <= spot.y) && (turn > 0) == (b.y > a.y)) in = !in;
  }
  return in;
}

bool same_plane(Zone a, Zone b) { return internal::plane_of(a) == internal::plane_of(b); }

Zone quarter_at(Spot spot) {
  const bool left = spot.x.tenths >= 0;
  if (spot.y.tenths >= 0) return left ? Zone::abdomen_left_upper : Zone::abdomen_right_upper;
  return left ? Zone::abdomen_left_lower : Zone::abdomen_right_lower;
}

TenthsMm distance(Spot a, Spot b) {
  return {static_cast<std::int32_t>(internal::root(internal::square_apart(a, b)))};
}

// ---- told to people

Told told(Zone zone, Spot spot, const Body& body) {
  const std::int64_t finger = std::max(1, part(internal::height_of(body), internal::finger_width));
  const auto fingers = [finger](std::int64_t length) {
    const auto size = (2 * (length < 0 ? -length : length) + finger) / (2 * finger);
    return static_cast<std::int32_t>(length < 0 ? -size : size);
  };
  const bool abdomen = part_of(zone) == BodyPart::abdomen;
  const std::int64_t x = spot.x.tenths;
  Told out;
  out.zone = abdomen ? quarter_at(spot) : zone;
  out.upper = spot.y.tenths >= 0;
  const std::int64_t outward = abdomen ? (x < 0 ? -x : x) : left_zone(zone) ? x : -x;
  const std::int64_t middle =
      abdomen
          ? part(part(internal::waist_of(body), internal::abdomen_half_width), internal::outer_half)
          : 0;
  out.outer = outward >= middle;
  out.fingers = fingers(internal::root(internal::square_apart(spot, Spot{})));
  out.fingers_out = fingers(outward);
  out.fingers_up = fingers(spot.y.tenths);
  return out;
}

}  // namespace penstock::places
