#include "edge/drawing/body/internal/skin.hpp"

#include <algorithm>

#include "edge/drawing/body/body.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

std::vector<Point> points_of(const Ground& ground, Zone zone, std::span<const Spot> corners) {
  std::vector<Point> points;
  for (const Spot corner : corners) points.push_back(ground.at(zone, corner));
  return points;
}

// ---- two quarters that meet

constexpr std::int32_t near_the_line = 15;  // tenths of a millimetre from the navel's height

struct Edge {
  std::size_t from = 0;
  std::int32_t length = 0;  ///< signed: along x; 0: there is none
};

/// The longest edge that lies along the navel's height.
Edge edge_at_navel(std::span<const Spot> corners) {
  Edge best;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const Spot a = corners[i], b = corners[(i + 1) % corners.size()];
    const bool lies =
        std::abs(a.y.tenths) <= near_the_line && std::abs(b.y.tenths) <= near_the_line;
    const auto length = b.x.tenths - a.x.tenths;
    if (lies && std::abs(length) > std::abs(best.length)) best = {i, length};
  }
  return best;
}

/// All corners but the edge itself: from its end round to its start.
void append_without(std::vector<Spot>& out, std::span<const Spot> corners, Edge edge) {
  for (std::size_t i = 1; i <= corners.size(); ++i) {
    const Spot corner = corners[(edge.from + i) % corners.size()];
    if (out.empty() || !(out.back() == corner)) out.push_back(corner);
  }
}

struct Joined {
  std::vector<Spot> corners;
  Spot seam_from;
  Spot seam_to;
};

std::optional<Joined> joined(const ZoneShape& upper, const ZoneShape& lower) {
  const Edge above = edge_at_navel(upper.corners), below = edge_at_navel(lower.corners);
  // Both run the same way round, so a shared edge is walked one way by one and back by the other.
  if (above.length == 0 || below.length == 0 || (above.length > 0) == (below.length > 0)) return {};
  Joined shape;
  append_without(shape.corners, upper.corners, above);
  append_without(shape.corners, lower.corners, below);
  if (shape.corners.front() == shape.corners.back()) shape.corners.pop_back();
  shape.seam_from = upper.corners[above.from];
  shape.seam_to = upper.corners[(above.from + 1) % upper.corners.size()];
  return shape;
}

const ZoneShape* find(std::span<const ZoneShape> zones, Zone zone) {
  const auto found = std::ranges::find(zones, zone, &ZoneShape::zone);
  return found == zones.end() ? nullptr : &*found;
}

struct Halves {
  Zone upper;
  Zone lower;
};
constexpr Halves belly[] = {{Zone::abdomen_right_upper, Zone::abdomen_right_lower},
                            {Zone::abdomen_left_upper, Zone::abdomen_left_lower}};

}  // namespace

const MarkSizes figure_marks{
    .spot = 0.55_px, .burin = 0.3_px, .corner = 5_px, .edge = 0.6_px, .area_class = "d-fine"};

MarkSizes plate_marks(Px per_cm) {
  return {.spot = percent(per_cm, 23),
          .burin = 0.65_px,
          .corner = percent(per_cm, 150),
          .edge = 1_px,
          .area_class = "d-line"};
}

std::string cm_text(std::int32_t tenths_mm) { return format_fixed(tenths_mm, 2); }

Attrs placed(Zone zone, Spot spot) {
  return {{"data-zone", std::string(zone_names[static_cast<std::size_t>(zone)])},
          {"data-x", cm_text(spot.x.tenths)},
          {"data-y", cm_text(spot.y.tenths)}};
}

void draw_zones(Canvas& canvas, std::span<const ZoneShape> zones, const Ground& ground,
                const MarkSizes& sizes) {
  const auto shape = [&](Zone zone, std::span<const Spot> corners) {
    Path outline;
    rounded_polygon(outline, points_of(ground, zone, corners), sizes.corner);
    // The edge is true for the middles of spots; it is drawn as much farther out as the spots'
    // rings need.
    canvas.path("zone-edge", outline, {{"stroke-width", text(sizes.spot * 2 + sizes.edge * 3)}});
    canvas.path("zone-skin", outline,
                {{"stroke-width", text(sizes.spot * 2 + sizes.edge)},
                 {"data-mark", "zone"},
                 {"data-zone", std::string(zone_names[static_cast<std::size_t>(zone)])}});
  };
  std::vector<Zone> done;
  for (const auto& half : belly) {
    const auto* upper = find(zones, half.upper);
    const auto* lower = find(zones, half.lower);
    if (upper == nullptr || lower == nullptr) continue;
    const auto both = joined(*upper, *lower);
    if (!both) continue;
    shape(half.upper, both->corners);
    Path seam;
    const Point from = ground.at(half.upper, both->seam_from);
    const Point to = ground.at(half.upper, both->seam_to);
    canvas.path("d-hair", seam.move(from.x, from.y).line(to.x, to.y));
    done.insert(done.end(), {half.upper, half.lower});
  }
  for (const auto& zone : zones) {
    if (std::ranges::find(done, zone.zone) == done.end()) shape(zone.zone, zone.corners);
  }
}

void draw_spots(Canvas& canvas, std::span<const ZoneShape> zones, const Ground& ground,
                const MarkSizes& sizes) {
  // Points with a round end, a small light one on a dark one: a ring in a few bytes.
  Path points;
  for (const auto& zone : zones) {
    for (const Spot spot : zone.spots) {
      const Point at = ground.at(zone.zone, spot);
      points.move(at.x, at.y).across_by(0_px);
    }
  }
  canvas.path("sp", points,
              {{"stroke-width", text(sizes.spot * 2 + sizes.burin)}, {"data-mark", "spots"}});
  canvas.path("sp-in", points, {{"stroke-width", text(sizes.spot * 2 - sizes.burin)}});
}

void draw_areas(Canvas& canvas, std::span<const AreaMark> areas, const Ground& ground,
                const MarkSizes& sizes) {
  for (const auto& area : areas) {
    const Point at = ground.at(area.zone, area.centre);
    const Point reach = ground.reach(area.zone, area.radius);
    Path edge;
    edge.round(at.x, at.y, reach.x, reach.y);
    canvas.path("f-leaf", edge);
    canvas.path("", edge, {{"fill", "url(#p-block)"}, {"data-mark", "area"}});
    canvas.path(sizes.area_class, edge);
  }
}

namespace {

/// Two strokes, one, or a small ring, as high as `half` to either side.
void draw_rest(Canvas& canvas, Rest rest, Point at, Px half, const Attrs& more) {
  if (rest == Rest::over) return canvas.circle("sp-old", at.x, at.y, percent(half, 62), more);
  const Px wide = percent(half, 50), high = half * 2;
  Path strokes;
  if (rest == Rest::some) {
    strokes.box(at.x - wide / 2, at.y - half, wide, high);
  } else {
    strokes.box(at.x - percent(wide, 140), at.y - half, wide, high);
    strokes.box(at.x + percent(wide, 40), at.y - half, wide, high);
  }
  canvas.path("f-ink", strokes, more);
}

}  // namespace

void draw_places(Canvas& canvas, std::span<const PlaceMark> places, const Ground& ground,
                 Px per_cm) {
  for (const auto& [rest, mark] : {std::pair{Rest::over, "over"}, std::pair{Rest::some, "some"},
                                   std::pair{Rest::most, "most"}}) {
    for (const auto& place : places) {
      if (place.rest == rest)
        draw_rest(canvas, rest, ground.at(place.zone, place.spot), percent(per_cm, 42),
                  {{"data-mark", mark}});
    }
  }
}

void draw_next(Canvas& canvas, Point at, Px radius, const Attrs& more) {
  canvas.circle("f-over", at.x, at.y, radius, more);
  canvas.circle("f-leaf", at.x, at.y, percent(radius, 78));
  canvas.circle("f-over", at.x, at.y, percent(radius, 30));
}

void draw_navel(Canvas& canvas, Point at, Px per_cm) {
  const auto point = [&](int x, int y) {
    return Point{at.x + percent(per_cm, x), at.y + percent(per_cm, y)};
  };
  const Point start = point(-50, -60);
  Path shape;
  shape.move(start.x, start.y);
  const auto bow = [&](Point by, Point to) { shape.quadratic(by.x, by.y, to.x, to.y); };
  bow(point(0, -130), point(50, -60));
  bow(point(65, 50), point(0, 80));
  bow(point(-65, 50), start);
  canvas.path("d-fine", shape.close());
}

std::string place_key(PlaceKey mark) {
  Canvas canvas;
  const auto rest = [&](Rest of) { draw_rest(canvas, of, {10_px, 7_px}, 6_px, {}); };
  switch (mark) {
    case PlaceKey::most:
      rest(Rest::most);
      break;
    case PlaceKey::some:
      rest(Rest::some);
      break;
    case PlaceKey::over:
      rest(Rest::over);
      break;
    case PlaceKey::blocked:
      canvas.rect("f-leaf", 0.5_px, 0.5_px, 19_px, 13_px);
      canvas.rect("", 0.5_px, 0.5_px, 19_px, 13_px, {{"fill", "url(#p-block)"}});
      canvas.rect("d-fine", 0.5_px, 0.5_px, 19_px, 13_px);
      break;
  }
  return svg({.cls = "place-key", .width = 20_px, .height = 14_px}, canvas);
}

}  // namespace penstock::drawing
