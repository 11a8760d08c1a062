// The figure, front and back, with the zones that are allowed and what lies in them.
#include <algorithm>
#include <array>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/body/internal/contour.hpp"
#include "edge/drawing/body/internal/skin.hpp"
#include "edge/drawing/kit/label.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px top = 10_px;
constexpr Px most_per_cm = 2.82_px;
constexpr Px lines_end = 156_px;  // centimetres of the figure: its legs run out here

/// One of the two figures in its place on the sheet.
struct Stand {
  Px middle;
  Px per_cm;

  Point at(Point on_figure) const {
    const auto scaled = [&](Px cm) {
      return Px{quotient(cm.hundredths * per_cm.hundredths, 100, Rounding::nearest)};
    };
    return {middle + scaled(on_figure.x), top + scaled(on_figure.y)};
  }
};

/// All parts of one side of the body.
class OneSide : public Ground {
 public:
  OneSide(const Figure& figure, const OnSkin& skin, Stand standing)
      : standing_(standing),
        parts_{OnFigure(figure, BodyPart::abdomen, skin.zones),
               OnFigure(figure, BodyPart::thigh, skin.zones),
               OnFigure(figure, BodyPart::buttock, skin.zones),
               OnFigure(figure, BodyPart::arm, skin.zones)} {}

  Point at(Zone zone, Spot spot) const override { return standing_.at(part(zone).at(zone, spot)); }
  Point reach(Zone zone, TenthsMm radius) const override {
    const Point reach = part(zone).reach(radius);
    const Point zero = standing_.at({});
    const Point there = standing_.at(reach);
    return {there.x - zero.x, there.y - zero.y};
  }

 private:
  const OnFigure& part(Zone zone) const { return parts_[static_cast<std::size_t>(part_of(zone))]; }
  Stand standing_;
  std::array<OnFigure, 4> parts_;
};

template <class Mark>
std::vector<Mark> seen_from(View view, const std::vector<Mark>& marks) {
  std::vector<Mark> seen;
  for (const auto& mark : marks) {
    if (view_of(part_of(mark.zone)) == view) seen.push_back(mark);
  }
  return seen;
}

// ---- counts beside the zones

constexpr Px mark_character = 6.4_px;  // a guess of a small figure's or letter's width at 13 px
constexpr Px line_height = 16_px;

struct Note {
  Point beside;  ///< where the words begin, or end
  Anchor anchor;
  Px room;
  std::optional<Point> leader{};  ///< the zone's edge; nothing: the words stand right beside it
};

void draw_note(Canvas& canvas, const Note& note, std::string_view words) {
  // `wrapped` guesses for 15 px bold; the mark's size is smaller by as much as the room grows.
  const auto lines =
      wrapped(words, note.room * guessed_width("x").hundredths / mark_character.hundredths);
  if (note.leader) {
    Path line;
    line.move(note.leader->x, note.leader->y);
    line.line(note.beside.x, note.beside.y - 4_px);
    canvas.path("d-eng", line);
  }
  const Px gap = note.anchor == Anchor::start ? 4_px : note.anchor == Anchor::end ? -4_px : 0_px;
  const bool above = note.anchor == Anchor::middle;
  const auto count = static_cast<std::int64_t>(lines.size());
  Px y = above ? note.beside.y - 8_px - line_height * (count - 1) : note.beside.y;
  for (const auto& line : lines) {
    canvas.text("m", note.beside.x + gap, y, note.anchor, line, {{"data-mark", "count"}});
    y = y + line_height;
  }
}

Note note_for(const ZoneShape& zone, const Figure& figure, const Stand& standing,
              const Ground& ground, Px room) {
  const BodyPart part = part_of(zone.zone);
  const int out =
      left_of(view_of(part)) * (is_left(zone.zone) ? 1 : -1);  // to the picture's right: 1
  if (part == BodyPart::arm) {
    Spot highest = zone.corners.front();
    for (const Spot corner : zone.corners) highest = corner.y > highest.y ? corner : highest;
    const Point shoulder = standing.at({(figure.across(part, 40_px).outer - 2_px) * out, 26_px});
    return {.beside = shoulder,
            .anchor = Anchor::middle,
            .room = room,
            .leader = ground.at(zone.zone, highest)};
  }
  constexpr Px height = 117_px;
  const Point beside =
      standing.at({(figure.across(BodyPart::thigh, height).outer + 2_px) * out, height});
  Note note{.beside = beside, .anchor = out > 0 ? Anchor::start : Anchor::end, .room = room};
  if (part == BodyPart::buttock) {
    Spot lowest = zone.corners.front();
    for (const Spot corner : zone.corners) {
      lowest = corner.y < lowest.y ? corner : lowest;
    }
    note.leader = ground.at(zone.zone, lowest);
  }
  return note;
}

void draw_view(Canvas& canvas, const BodyMap& map, const Figure& figure, View view,
               const Stand& standing, Px room) {
  const OneSide ground(figure, map.skin, standing);
  canvas.open_group({{"transform", "translate(" + text(standing.middle) + " " + text(top) +
                                       ") scale(" + text(standing.per_cm) + ")"}});
  figure.draw(canvas, view);
  canvas.close_group();
  const auto zones = seen_from(view, map.skin.zones);
  draw_zones(canvas, zones, ground, figure_marks);
  draw_spots(canvas, zones, ground, figure_marks);
  draw_areas(canvas, seen_from(view, map.skin.areas), ground, figure_marks);
  for (const auto& zone : zones) {
    if (zone.count_label.empty() || zone.corners.empty()) continue;
    if (part_of(zone.zone) == BodyPart::abdomen) continue;
    draw_note(canvas, note_for(zone, figure, standing, ground, room), zone.count_label);
  }
}

}  // namespace

std::string body_map(const BodyMap& map) {
  const Px width = px(std::clamp(map.width_px, 280, 900));
  const Figure figure(map.skin.height, map.skin.waist);
  // Two figures side by side, their hands a little apart, as large as the sheet allows.
  const Px fits{(width / 2 - 1_px).hundredths * 100 / (2 * figure.half_width().hundredths)};
  const Px per_cm = smaller(fits, percent(most_per_cm, width.hundredths / 425));
  const Px height = top + Px{lines_end.hundredths * per_cm.hundredths / 100} + 20_px;
  Canvas canvas;
  // A quarter of the sheet each, a little nearer to each other: the outer margins hold the counts.
  const Stand front{.middle = percent(width, 25) - percent(width, 1) / 2, .per_cm = per_cm};
  const Stand back{.middle = percent(width, 75) + percent(width, 1) / 2, .per_cm = per_cm};
  const Px room = front.middle - Px{20 * per_cm.hundredths};
  draw_view(canvas, map, figure, View::front, front, room);
  draw_view(canvas, map, figure, View::back, back, room);
  canvas.text("ls", front.middle, height - 2_px, Anchor::middle, map.front_label);
  canvas.text("ls", back.middle, height - 2_px, Anchor::middle, map.back_label);
  return svg(
      {.cls = "body-map", .width = width, .height = height, .shown_width = "100%", .alt = map.alt},
      canvas);
}

}  // namespace penstock::drawing
