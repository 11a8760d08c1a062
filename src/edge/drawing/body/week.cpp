// A week of the place plan on paper: where, and in which order. No grey is needed to read it.
#include <algorithm>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/body/internal/sheet.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px half_height = 10_px;  // of a number's ring: its figures are 15 px, bold
constexpr Px digit = 8.6_px;

/// A number in its ring, at its place or as near to it as the others let it.
struct Ring {
  Point place;
  Point middle;
  Px half_width;
  std::string_view number;
};

Px half_width_of(std::string_view number) {
  return larger(half_height, (digit * characters(number) + 7_px) / 2);
}

bool apart(const Ring& a, Point at, Px half_width) {
  const Px x = a.middle.x < at.x ? at.x - a.middle.x : a.middle.x - at.x;
  const Px y = a.middle.y < at.y ? at.y - a.middle.y : a.middle.y - at.y;
  return x >= a.half_width + half_width + 1_px || y >= 2 * half_height + 1_px;
}

/// The first free of: the place itself, then ever farther around it.
Point free_place(const std::vector<Ring>& rings, Point place, Px half_width, Px width) {
  const auto is_free = [&](Point at) {
    if (at.x < half_width || at.x > width - half_width || at.y < half_height) return false;
    return std::ranges::all_of(rings,
                               [&](const Ring& ring) { return apart(ring, at, half_width); });
  };
  if (is_free(place)) return place;
  for (int step = 2; step <= 12; ++step) {
    for (int turn = 0; turn < 12; ++turn) {
      const Px far = 7_px * step;
      const Point at{place.x + wave(far, turn * 1000 / 12 + 250),
                     place.y + wave(far, turn * 1000 / 12)};
      if (is_free(at)) return at;
    }
  }
  return place;
}

std::vector<Ring> rings_of(const WeekPlate& week, const Sheet& sheet) {
  std::vector<Ring> rings;
  for (const auto& one : week.numbered) {
    if (part_of(one.zone) != week.part) continue;
    Ring ring{sheet.at(one.zone, one.spot), {}, half_width_of(one.number), one.number};
    ring.middle = free_place(rings, ring.place, ring.half_width, sheet.width());
    rings.push_back(ring);
  }
  return rings;
}

void draw_ring(Canvas& canvas, const Ring& ring) {
  const Px x = ring.middle.x, y = ring.middle.y;
  const Px straight = ring.half_width - half_height;
  Path shape;
  shape.move(x - straight, y - half_height).across(x + straight);
  shape.arc(half_height, true, x + straight, y + half_height).across(x - straight);
  shape.arc(half_height, true, x - straight, y - half_height).close();
  canvas.path("d-line f-leaf", shape, {{"data-mark", "number"}});
  canvas.text("lb", x, y + 5.3_px, Anchor::middle, ring.number);
}

void draw_numbers(Canvas& canvas, const std::vector<Ring>& rings) {
  Path leaders;
  for (const auto& ring : rings) {
    if (ring.middle == ring.place) continue;
    leaders.move(ring.place.x, ring.place.y).line(ring.middle.x, ring.middle.y);
  }
  canvas.path("d-line", leaders);
  for (const auto& ring : rings) draw_ring(canvas, ring);
  for (const auto& ring : rings) {
    if (!(ring.middle == ring.place))
      canvas.circle("f-ink", ring.place.x, ring.place.y, 2.5_px, {{"data-mark", "place"}});
  }
}

}  // namespace

std::string week_plate(const WeekPlate& week) {
  const Px width = px(std::clamp(week.width_px, 200, 600));
  OnSkin skin = week.skin;
  skin.places.clear();  // they are not on this paper, and must not make it wider
  skin.next.clear();
  const Sheet sheet(week.part, skin,
                    {.width = width,
                     .top = 22_px,
                     .beside = percent(width, 7),
                     .per_cm_most = percent(width, 5),
                     .height_most = percent(width, 90)});
  const auto marks = plate_marks(sheet.per_cm());
  Canvas canvas;
  sheet.draw_body(canvas);
  draw_zones(canvas, sheet.zones(), sheet, marks);
  draw_areas(canvas, of_part(week.part, skin.areas), sheet, marks);
  if (week.part == BodyPart::abdomen) {
    draw_navel(canvas, sheet.origin(Zone::abdomen_left_upper), sheet.per_cm());
  } else {
    sheet.draw_middles(canvas);
  }
  draw_numbers(canvas, rings_of(week, sheet));
  const Px y = sheet.bottom() + 24_px;
  canvas.text("lb", sheet.middle_of_side(false), y, Anchor::middle, week.right_label,
              {{"data-mark", "right"}});
  canvas.text("lb", sheet.middle_of_side(true), y, Anchor::middle, week.left_label,
              {{"data-mark", "left"}});
  return svg({.cls = "week-plate",
              .width = width,
              .height = y + 8_px,
              .shown_width = "100%",
              .alt = week.alt},
             canvas);
}

}  // namespace penstock::drawing
