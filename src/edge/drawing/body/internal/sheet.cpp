#include "edge/drawing/body/internal/sheet.hpp"

#include <algorithm>

#include "base/base.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

void widen(Extent& extent, Spot spot, std::int32_t radius) {
  extent.left_most = std::min(extent.left_most, spot.x.tenths - radius);
  extent.right_most = std::max(extent.right_most, spot.x.tenths + radius);
  extent.lowest = std::min(extent.lowest, spot.y.tenths - radius);
  extent.highest = std::max(extent.highest, spot.y.tenths + radius);
}

Extent joined(const Extent& a, const Extent& b) {
  return {std::min(a.left_most, b.left_most), std::max(a.right_most, b.right_most),
          std::min(a.lowest, b.lowest), std::max(a.highest, b.highest)};
}

// Nothing to draw keeps about the room of a grown person's zone.
constexpr Extent empty_half{-600, 600, -1000, 1000};
constexpr std::int32_t near_zone = 600;     // tenths of a millimetre
constexpr std::int32_t beside_belly = 230;  // tenths of a millimetre, for the sides of the body

/// Never so small that a scale comes out as zero.
Px scale_for(Px room, std::int64_t tenths_mm) {
  return {std::max<std::int64_t>(room.hundredths * 100 / std::max<std::int64_t>(tenths_mm, 1), 10)};
}

}  // namespace

Sheet::Sheet(BodyPart part, const OnSkin& skin, const Room& room)
    : part_(part), room_(room), zones_(of_part(part, skin.zones)), left_(left_of(view_of(part))) {
  const auto note = [&](Zone zone, Spot spot, TenthsMm radius) {
    auto& own = columns_[is_left(zone) ? 1 : 0];
    if (!own.used) {
      own.extent = {spot.x.tenths - radius.tenths, spot.x.tenths + radius.tenths,
                    spot.y.tenths - radius.tenths, spot.y.tenths + radius.tenths};
      own.used = true;
    }
    widen(own.extent, spot, radius.tenths);
  };
  for (const auto& zone : zones_) {
    for (const Spot corner : zone.corners) note(zone.zone, corner, {});
  }
  for (const auto& area : of_part(part, skin.areas)) note(area.zone, area.centre, area.radius);
  // A place beside the zones widens the sheet, too; one typed far away does not make all else
  // small.
  const Extent zones[] = {columns_[0].extent, columns_[1].extent};
  const auto beside = [&](Zone zone, Spot spot) {
    const auto& own = zones[is_left(zone) ? 1 : 0];
    const bool near =
        columns_[is_left(zone) ? 1 : 0].used && spot.x.tenths > own.left_most - near_zone &&
        spot.x.tenths < own.right_most + near_zone && spot.y.tenths > own.lowest - near_zone &&
        spot.y.tenths < own.highest + near_zone;
    if (near) note(zone, spot, {});
  };
  for (const auto& place : of_part(part, skin.places)) beside(place.zone, place.spot);
  for (const auto& next : of_part(part, skin.next)) beside(next.zone, next.spot);
  if (part == BodyPart::abdomen) {
    lay_belly();
  } else {
    lay_columns();
  }
}

void Sheet::lay_belly() {
  Extent whole{0, 0, -200, 200};
  for (const auto& half : columns_) {
    if (half.used) whole = joined(whole, half.extent);
  }
  if (!columns_[0].used && !columns_[1].used) whole = {-1200, 1200, -1400, 950};
  const auto half = std::max(-whole.left_most, whole.right_most);
  const auto tall = whole.highest - whole.lowest;
  per_cm_ = smaller(
      smaller(scale_for(room_.width / 2, half + beside_belly), scale_for(room_.height_most, tall)),
      room_.per_cm_most);
  const Point navel{room_.width / 2, room_.top + scaled(whole.highest)};
  for (auto& side : columns_) side = {whole, navel, side.used};
  bottom_ = navel.y - scaled(whole.lowest);
}

void Sheet::lay_columns() {
  for (auto& own : columns_) {
    if (!own.used) own.extent = empty_half;
  }
  // A zone that is missing takes the other's room, so that both sides stand alike.
  if (columns_[0].used != columns_[1].used) {
    const auto& drawn = columns_[columns_[0].used ? 0 : 1].extent;
    auto& other = columns_[columns_[0].used ? 1 : 0].extent;
    other = {-drawn.right_most, -drawn.left_most, drawn.lowest, drawn.highest};
  }
  const Extent& a = columns_[0].extent;
  const Extent& b = columns_[1].extent;
  const auto wide = std::max(a.right_most - a.left_most, b.right_most - b.left_most);
  const auto tall = std::max(a.highest, b.highest) - std::min(a.lowest, b.lowest);
  per_cm_ = smaller(smaller(scale_for(room_.width / 2 - 2 * room_.beside, wide),
                            scale_for(room_.height_most, tall)),
                    room_.per_cm_most);
  for (const bool left : {false, true}) {
    auto& own = columns_[left ? 1 : 0];
    const bool to_the_right = left == (left_ == 1);
    const Px middle = to_the_right ? percent(room_.width, 75) : percent(room_.width, 25);
    const auto between = (own.extent.left_most + own.extent.right_most) / 2;
    own.origin = {middle - scaled(between) * left_,
                  room_.top + scaled(std::max(a.highest, b.highest))};
  }
  bottom_ = columns_[0].origin.y - scaled(std::min(a.lowest, b.lowest));
  if (part_ == BodyPart::buttock) bottom_ = bottom_ + scaled(tall) / 5;  // the fold under the seat
}

Px Sheet::scaled(std::int64_t tenths_mm) const {
  return {quotient(tenths_mm * per_cm_.hundredths, 100, Rounding::nearest)};
}

Point Sheet::origin(Zone zone) const { return column(is_left(zone)).origin; }

Point Sheet::at(Zone zone, Spot spot) const {
  const Point from = origin(zone);
  return {from.x + scaled(spot.x.tenths) * left_, from.y - scaled(spot.y.tenths)};
}

Point Sheet::reach(Zone, TenthsMm radius) const {
  return {scaled(radius.tenths), scaled(radius.tenths)};
}

Sheet::Sides Sheet::sides(Zone zone) const {
  const auto& own = column(is_left(zone));
  const Px one = own.origin.x + scaled(own.extent.left_most) * left_;
  const Px other = own.origin.x + scaled(own.extent.right_most) * left_;
  return {smaller(one, other), larger(one, other)};
}

Px Sheet::middle_of_side(bool left) const {
  const auto& own = column(left);
  if (part_ != BodyPart::abdomen) {
    const auto between = (own.extent.left_most + own.extent.right_most) / 2;
    return own.origin.x + scaled(between) * left_;
  }
  return own.origin.x + scaled(left ? own.extent.right_most : own.extent.left_most) / 2;
}

// ---- the body around it

namespace {

/// A point of a body line: how far outside the zone's edge, in hundredths of a centimetre, and how
/// far down from its top, in hundredths of its height.
struct Beside {
  std::int32_t off;
  std::int32_t down;
};
constexpr Beside thigh_outer[] = {{60, -7}, {115, 18}, {110, 45}, {60, 75}, {-20, 107}};
constexpr Beside thigh_inner[] = {{95, 4}, {100, 30}, {75, 60}, {15, 90}, {-10, 107}};
constexpr Beside arm_outer[] = {{95, -12}, {110, 20}, {90, 55}, {40, 90}, {25, 112}};
constexpr Beside arm_inner[] = {{60, -4}, {85, 25}, {95, 55}, {60, 90}, {35, 112}};
constexpr Beside hip[] = {{-60, -32}, {30, -8}, {105, 25}, {125, 55}, {110, 85}, {85, 118}};

}  // namespace

void Sheet::draw_belly_sides(Canvas& canvas) const {
  const Extent& whole = columns_[0].extent;
  const auto half = std::max(-whole.left_most, whole.right_most);
  const Point navel = columns_[0].origin;
  const auto up = [&](std::int64_t hundredths) {
    return navel.y - scaled(whole.highest) * hundredths / 100;
  };
  const auto down = [&](std::int64_t hundredths) {
    return navel.y - scaled(whole.lowest) * hundredths / 100;
  };
  for (const int side : {-1, 1}) {
    const auto x = [&](std::int32_t off) { return navel.x + scaled(half + off) * side; };
    const Point points[] = {{x(215), up(116)},
                            {x(165), up(78)},
                            {x(135), up(37)},
                            {x(150), down(4)},
                            {x(215), down(32)}};
    Path line;
    draw(line, smooth(points, Ends::open));
    canvas.path("d-line", line, {{"data-mark", "body"}});
  }
}

void Sheet::draw_limb(Canvas& canvas, bool left) const {
  const auto& own = column(left);
  const Px top = own.origin.y - scaled(own.extent.highest);
  const Px tall = scaled(own.extent.highest - own.extent.lowest);
  const auto line = [&](std::span<const Beside> shape, bool outer) {
    // Outwards on a left zone is to the person's left.
    const int out = (left ? 1 : -1) * (outer ? 1 : -1);
    const Px edge =
        own.origin.x + scaled(out > 0 ? own.extent.right_most : own.extent.left_most) * left_;
    std::vector<Point> points;
    for (const auto& [off, down] : shape) {
      points.push_back({edge + scaled(off) * (out * left_), top + percent(tall, down)});
    }
    Path path;
    draw(path, smooth(points, Ends::open));
    canvas.path("d-line", path, {{"data-mark", "body"}});
  };
  const bool thigh = part_ == BodyPart::thigh;
  const bool seat = part_ == BodyPart::buttock;
  line(seat    ? std::span<const Beside>(hip)
       : thigh ? std::span<const Beside>(thigh_outer)
               : std::span<const Beside>(arm_outer),
       true);
  if (!seat)
    line(thigh ? std::span<const Beside>(thigh_inner) : std::span<const Beside>(arm_inner), false);
}

void Sheet::draw_seat(Canvas& canvas) const {
  const auto& own = columns_[0];
  const Px top = own.origin.y - scaled(own.extent.highest);
  const Px tall = scaled(own.extent.highest - own.extent.lowest);
  const Px middle = room_.width / 2;
  Path cleft;
  canvas.path("d-line", cleft.move(middle, top + percent(tall, 12)).down(top + percent(tall, 112)),
              {{"data-mark", "body"}});
  for (const int side : {-1, 1}) {
    const Px far = room_.width / 5 * side;
    const Point points[] = {{middle + far / 20, top + percent(tall, 112)},
                            {middle + percent(far, 35), top + percent(tall, 121)},
                            {middle + far, top + percent(tall, 113)}};
    Path fold;
    draw(fold, smooth(points, Ends::open));
    canvas.path("d-line", fold, {{"data-mark", "body"}});
  }
}

void Sheet::draw_body(Canvas& canvas) const {
  if (part_ == BodyPart::abdomen) return draw_belly_sides(canvas);
  for (const bool left : {false, true}) draw_limb(canvas, left);
  if (part_ == BodyPart::buttock) draw_seat(canvas);
}

void Sheet::draw_middles(Canvas& canvas) const {
  for (const auto& zone : zones_) {
    const Point at = origin(zone.zone);
    Path cross;
    cross.move(at.x - 4_px, at.y).across_by(8_px).move(at.x, at.y - 4_px).down_by(8_px);
    canvas.path("d-line", cross, {{"data-mark", "middle"}});
  }
}

}  // namespace penstock::drawing
