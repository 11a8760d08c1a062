// One plane of skin, enlarged: every spot can be pointed at, and the nurse reads centimetres.
#include <algorithm>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/body/internal/sheet.hpp"
#include "edge/drawing/kit/label.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px ring_most = 14_px;
constexpr Px navel_room = 11_px;  // measured lines begin so far from the navel's middle

// ---- centimetres, for the nurse

/// To the millimetre: what a hand can measure.
std::string measured_text(std::int32_t tenths_mm, std::string_view unit) {
  const auto mm = quotient(std::abs(tenths_mm), 10, Rounding::nearest);
  std::string words = format_fixed(mm, 1);
  if (!unit.empty()) words += ' ' + std::string(unit);
  return words;
}

Px ring_radius(const Sheet& sheet) { return smaller(ring_most, percent(sheet.per_cm(), 110)); }

/// From the navel or the middle sideways, then up or down to the ring.
void draw_measures(Canvas& canvas, const Sheet& sheet, const Plate& plate, const NextMark& next) {
  const Point from = sheet.origin(next.zone);
  const Point to = sheet.at(next.zone, next.spot);
  const int side = to.x < from.x ? -1 : 1;
  const Px ring = ring_radius(sheet) + 1_px;
  const bool belly = sheet.part() == BodyPart::abdomen;
  const Px start = from.x + (belly ? navel_room : 6_px) * side;
  Path line;
  if ((to.x - start) * side > 0_px) line.move(start, from.y).across(to.x);
  const Px rise = to.y < from.y ? to.y + ring : to.y - ring;
  const bool rises = to.y < from.y ? rise < from.y : rise > from.y;
  if (rises) line.move(to.x, from.y).down(rise);
  canvas.path("d-fine", line, {{"stroke-dasharray", "3 3"}, {"data-mark", "measure"}});
  if (quotient(next.spot.x.tenths, 10, Rounding::nearest) != 0) {
    // On the belly the words stand in the clear part; elsewhere there is only skin with spots.
    const Px clear{
        quotient(plate.navel_clear.tenths * sheet.per_cm().hundredths, 100, Rounding::nearest)};
    const Px end = belly ? from.x + smaller(clear, (to.x - from.x) * side) * side : to.x;
    const bool narrow = (end - start) * side < 36_px;
    const bool below = narrow && to.y < from.y;
    const Px middle = narrow ? start + 4_px * side : (start + end) / 2;
    const Anchor anchor = !narrow ? Anchor::middle : side < 0 ? Anchor::end : Anchor::start;
    canvas.text(belly ? "mi halo" : "mi halo-leaf", middle, from.y + (below ? 16_px : -6_px),
                anchor, measured_text(next.spot.x.tenths, plate.cm_word),
                {{"data-mark", "across"}});
  }
  if (quotient(next.spot.y.tenths, 10, Rounding::nearest) == 0) return;
  // Outside the ring's line, or inside it where that would be beyond the skin that is drawn.
  const std::string words = measured_text(next.spot.y.tenths, plate.cm_word);
  const Px end = to.x + (7_px + characters(words) * 7_px) * side;
  const auto skin = sheet.sides(next.zone);
  const bool on_skin = end >= skin.left && end <= skin.right;
  const bool outside = on_skin || (to.x - from.x) * side < 75_px;
  const int towards = outside ? side : -side;
  canvas.text("mi halo-leaf", to.x + 7_px * towards,
              rises ? (from.y + rise) / 2 + 5_px : from.y + 18_px,
              towards < 0 ? Anchor::end : Anchor::start, words, {{"data-mark", "along"}});
}

/// What stays clear around the navel, measured on the side where no ring is measured; below the
/// navel if both are taken.
void draw_clear(Canvas& canvas, const Sheet& sheet, const Plate& plate) {
  const Point navel = sheet.origin(Zone::abdomen_left_upper);
  bool left = false, right = false;
  for (const auto& next : of_part(BodyPart::abdomen, plate.skin.next)) {
    if (next.measured) (next.spot.x.tenths > 0 ? left : right) = true;
  }
  const Px clear{
      quotient(plate.navel_clear.tenths * sheet.per_cm().hundredths, 100, Rounding::nearest)};
  const std::string words = measured_text(plate.navel_clear.tenths, plate.cm_word);
  if (clear < navel_room + 6_px) return;
  Path line;
  const Attrs mark{{"data-mark", "clear"}};
  if (left && right) {
    line.move(navel.x, navel.y + navel_room).down(navel.y + clear);
    for (const Px y : {navel.y + navel_room, navel.y + clear})
      line.move(navel.x - 4_px, y).across_by(8_px);
    canvas.path("d-fine", line, mark);
    canvas.text("mi halo", navel.x + 7_px, navel.y + (navel_room + clear) / 2 + 2_px, Anchor::start,
                words);
    canvas.text("m halo", navel.x + 7_px, navel.y + (navel_room + clear) / 2 + 17_px, Anchor::start,
                plate.clear_label);
    return;
  }
  const int side = left ? -1 : 1;
  const Px start = navel.x + navel_room * side, end = navel.x + clear * side;
  line.move(start, navel.y).across(end);
  for (const Px x : {start, end}) line.move(x, navel.y - 4_px).down_by(8_px);
  canvas.path("d-fine", line, mark);
  canvas.text("mi halo", (start + end) / 2, navel.y - 6_px, Anchor::middle, words);
  canvas.text("m halo", navel.x, navel.y + 29_px, Anchor::middle, plate.clear_label);
}

void draw_middles(Canvas& canvas, const Sheet& sheet, const Plate& plate) {
  sheet.draw_middles(canvas);
  for (const auto& zone : sheet.zones()) {
    const Point at = sheet.origin(zone.zone);
    for (const auto& next : plate.skin.next) {
      if (next.zone != zone.zone || !next.measured) continue;
      // On the other side than the measured lines.
      const bool right = sheet.at(next.zone, next.spot).x < at.x;
      canvas.text("m halo-leaf", at.x + (right ? 8_px : -8_px), at.y + 4.5_px,
                  right ? Anchor::start : Anchor::end, plate.from_label);
      break;
    }
  }
}

// ---- words on the skin

void draw_area_label(Canvas& canvas, const Sheet& sheet, const AreaMark& area) {
  if (area.label.empty()) return;
  const Point at = sheet.at(area.zone, area.centre);
  const Px reach = sheet.reach(area.zone, area.radius).y;
  Attrs mark;
  if (!area.area.empty()) mark.push_back({"data-area", area.area});
  const Px width = percent(guessed_width(area.label), 92) + 8_px;
  // In an area too small to hold it the word stands below.
  const Px y = reach < 16_px ? at.y + reach + 15_px : at.y + 4_px;
  if (reach >= 16_px) canvas.rect("f-leaf", at.x - width / 2, y - 14_px, width, 19_px, mark);
  canvas.text("mb halo-leaf", at.x, y, Anchor::middle, area.label, mark);
}

bool is_on_area(const Sheet& sheet, Point at, const std::vector<AreaMark>& areas) {
  return std::ranges::any_of(areas, [&](const AreaMark& area) {
    const Point middle = sheet.at(area.zone, area.centre);
    return distance(middle, at) < sheet.reach(area.zone, area.radius).x;
  });
}

void draw_ring(Canvas& canvas, const Sheet& sheet, const NextMark& next,
               const std::vector<AreaMark>& areas) {
  const Point at = sheet.at(next.zone, next.spot);
  const Px radius = ring_radius(sheet);
  draw_next(canvas, at, radius, {{"data-mark", "next"}});
  // Not where its measured line arrives from.
  const bool line_above = next.measured && at.y > sheet.origin(next.zone).y + radius;
  const bool above = at.y - radius > 22_px && !line_above &&
                     !is_on_area(sheet, {at.x, at.y - radius - 10_px}, areas);
  const Px below = at.y + radius + 16_px;
  if (!above && below > sheet.bottom()) {  // the sides' names stand there: beside it, then
    const bool left = at.x + radius + 6_px + guessed_width(next.label) > sheet.width();
    canvas.text("lo halo-leaf", at.x + (left ? -radius - 6_px : radius + 6_px), at.y + 5_px,
                left ? Anchor::end : Anchor::start, next.label);
    return;
  }
  canvas.text("lo halo-leaf", at.x, above ? at.y - radius - 5_px : below, Anchor::middle,
              next.label);
}

void draw_side_labels(Canvas& canvas, const Sheet& sheet, const Plate& plate) {
  const auto under = [&](bool left, std::string_view label, std::string_view count) {
    const Px x = sheet.middle_of_side(left);
    canvas.text("lb", x, sheet.bottom() + 25_px, Anchor::middle, label,
                {{"data-mark", left ? "left" : "right"}});
    canvas.text("m", x, sheet.bottom() + 42_px, Anchor::middle, count);
  };
  under(false, plate.right_label, plate.right_count);
  under(true, plate.left_label, plate.left_count);
}

// ---- what can be pointed at

/// Half the way to the nearest spot, so that two never overlap; at most 12 pixels.
Px hit_radius(const Sheet& sheet) {
  std::vector<Point> points;
  for (const auto& zone : sheet.zones()) {
    for (const Spot spot : zone.spots) points.push_back(sheet.at(zone.zone, spot));
  }
  std::ranges::sort(points, {}, &Point::y);
  Px nearest = 24_px;
  for (std::size_t i = 0; i < points.size(); ++i) {
    for (std::size_t j = i + 1; j < points.size() && points[j].y - points[i].y < nearest; ++j) {
      const Px apart = distance(points[i], points[j]);
      if (apart > 0_px) nearest = smaller(nearest, apart);
    }
  }
  return nearest / 2;
}

class Hits {
 public:
  Hits(Canvas& canvas, const Sheet& sheet, const Plate& plate)
      : canvas_(canvas), sheet_(sheet), plate_(plate), radius_(hit_radius(sheet)) {}

  void draw(const ZoneShape& zone) {
    for (const auto& area : plate_.skin.areas) {
      if (area.zone != zone.zone) continue;
      hit(zone.zone, area.centre, larger(sheet_.reach(area.zone, area.radius).x, radius_),
          {"data-area", area.area});
    }
    for (const Spot spot : zone.spots) {
      if (!is_used(zone.zone, spot)) hit(zone.zone, spot, radius_, {});
    }
    for (const Rest rest : {Rest::over, Rest::some, Rest::most}) {
      for (const auto& place : plate_.skin.places) {
        if (place.zone == zone.zone && place.rest == rest)
          hit(zone.zone, place.spot, radius_, {"data-injection", place.injection});
      }
    }
  }

 private:
  bool is_used(Zone zone, Spot spot) const {
    return std::ranges::any_of(plate_.skin.places, [&](const PlaceMark& place) {
      return place.zone == zone && place.spot == spot;
    });
  }
  void hit(Zone zone, Spot spot, Px radius, const Attr& more) {
    const Point at = sheet_.at(zone, spot);
    Attrs attrs = placed(zone, spot);
    if (!more.value.empty()) attrs.push_back(more);
    canvas_.circle("hit", at.x, at.y, radius, attrs);
  }
  Canvas& canvas_;
  const Sheet& sheet_;
  const Plate& plate_;
  Px radius_;
};

void draw_hits(Canvas& canvas, const Sheet& sheet, const Plate& plate) {
  Hits hits(canvas, sheet, plate);
  for (const auto& zone : sheet.zones()) {
    const Point origin = sheet.origin(zone.zone);
    const bool own = sheet.part() != BodyPart::abdomen;
    if (own) {
      canvas.open_group(
          {{"data-zone", std::string(zone_names[static_cast<std::size_t>(zone.zone)])},
           {"data-origin-x", text(origin.x)},
           {"data-origin-y", text(origin.y)}});
    }
    hits.draw(zone);
    if (own) canvas.close_group();
  }
}

Attrs pointing(const Sheet& sheet) {
  Attrs data{{"data-plane", std::string(body_part_names[static_cast<std::size_t>(sheet.part())])},
             {"data-per-cm", text(sheet.per_cm())},
             {"data-left", std::to_string(left_of(view_of(sheet.part())))}};
  if (sheet.part() == BodyPart::abdomen) {
    const Point navel = sheet.origin(Zone::abdomen_left_upper);
    data.push_back({"data-origin-x", text(navel.x)});
    data.push_back({"data-origin-y", text(navel.y)});
  }
  return data;
}

}  // namespace

std::string plate(const Plate& drawing) {
  const Px width = px(std::clamp(drawing.width_px, 280, 900));
  const Sheet sheet(drawing.part, drawing.skin,
                    {.width = width,
                     .top = 34_px,
                     .beside = percent(width, 7),
                     .per_cm_most = percent(width, 5),
                     .height_most = percent(width, 95)});
  const auto marks = plate_marks(sheet.per_cm());
  const bool belly = drawing.part == BodyPart::abdomen;
  const auto areas = of_part(drawing.part, drawing.skin.areas);
  const auto next = of_part(drawing.part, drawing.skin.next);
  Canvas canvas;
  sheet.draw_body(canvas);
  draw_zones(canvas, sheet.zones(), sheet, marks);
  draw_spots(canvas, sheet.zones(), sheet, marks);
  draw_places(canvas, of_part(drawing.part, drawing.skin.places), sheet, sheet.per_cm());
  if (belly) draw_navel(canvas, sheet.origin(Zone::abdomen_left_upper), sheet.per_cm());
  draw_areas(canvas, areas, sheet, marks);
  if (!belly) draw_middles(canvas, sheet, drawing);
  for (const auto& mark : next) {
    if (mark.measured) draw_measures(canvas, sheet, drawing, mark);
  }
  if (belly) draw_clear(canvas, sheet, drawing);
  for (const auto& mark : next) draw_ring(canvas, sheet, mark, areas);
  draw_hits(canvas, sheet, drawing);
  for (const auto& area : areas) draw_area_label(canvas, sheet, area);
  draw_side_labels(canvas, sheet, drawing);
  return svg({.cls = "skin-plate",
              .width = width,
              .height = sheet.bottom() + 50_px,
              .shown_width = "100%",
              .alt = drawing.alt,
              .data = pointing(sheet)},
             canvas);
}

}  // namespace penstock::drawing
