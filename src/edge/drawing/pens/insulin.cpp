// Insulin marks. A flag that flies from the stem is a mealtime insulin, a shape that sits across it
// a background insulin; a premix has both.
#include "edge/drawing/pens/internal/insulin.hpp"

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

struct Head {
  Px x;
  Px y;
  int size;
  Px of(Px length) const { return percent(length, size); }
};

Path pennant(const Head& h) {
  Path path;
  path.move(h.x - 0.9_px, h.y).line(h.x + h.of(10_px), h.y + h.of(5_px));
  return path.line(h.x - 0.9_px, h.y + h.of(7.2_px)).close();
}

/// Fuller than the pennant: it holds through the meal, then it falls.
Path sail(const Head& h) {
  const Px foot = h.y + h.of(7.2_px);
  Path path;
  path.move(h.x - 0.9_px, h.y).across(h.x + h.of(3_px));
  path.curve(h.x + h.of(7.5_px), h.y, h.x + h.of(10.5_px), h.y + h.of(3_px), h.x + h.of(10.5_px),
             foot);
  return path.across(h.x - 0.9_px).close();
}

Path bar(const Head& h) {
  Path path;
  return path.box(h.x - h.of(6.4_px), h.y, h.of(12.8_px), h.of(3.6_px));
}

Path dome(const Head& h) {
  Path path;
  path.move(h.x - h.of(5_px), h.y + h.of(5_px));
  return path.arc(h.of(5_px), true, h.x + h.of(5_px), h.y + h.of(5_px)).close();
}

bool flies(Action action) {
  switch (action) {
    case Action::rapid:
    case Action::short_acting:
    case Action::premixed_rapid:
    case Action::premixed_short:
    case Action::rapid_with_long:
      return true;
    case Action::intermediate:
    case Action::long_acting:
      return false;
  }
  promise_broken("closed list");
}

std::vector<Path> heads(Action action, const Head& h) {
  const Head lower = {h.x, h.y + h.of(9.2_px), h.size};
  switch (action) {
    case Action::rapid:
      return {pennant(h)};
    case Action::short_acting:
      return {sail(h)};
    case Action::intermediate:
      return {dome(h)};
    case Action::long_acting:
      return {bar(h)};
    case Action::premixed_rapid:
      return {pennant(h), dome(lower)};
    case Action::premixed_short:
      return {sail(h), dome(lower)};
    case Action::rapid_with_long:
      return {pennant(h), bar(lower)};
  }
  promise_broken("closed list");
}

std::string framed_mark(Action action, const Frame& frame, const InsulinAt& at) {
  Canvas canvas;
  draw_insulin(canvas, action, at);
  return svg(frame, canvas);
}

}  // namespace

void draw_insulin(Canvas& canvas, Action action, const InsulinAt& at) {
  const bool open = at.standing == Standing::in_question;
  if (open) {
    Path stem;
    stem.move(at.x, at.y).down(at.foot);
    canvas.path("d-over", stem);
  } else {
    canvas.rect("f-ink", at.x - 1_px, at.y, 2_px, at.foot - at.y);
  }
  for (const auto& head : heads(action, {at.x, at.y, at.size})) {
    canvas.path(open ? "d-over f-leaf" : "f-ink", head,
                open ? Attrs{{"stroke-linejoin", "round"}} : Attrs{});
  }
}

std::string insulin_mark(Action action, std::string_view alt) {
  const Px x = flies(action) ? -4_px : 0_px;
  return framed_mark(
      action,
      {.cls = "insmark", .left = -8_px, .top = -2_px, .width = 16_px, .height = 18_px, .alt = alt},
      {.x = x, .y = 0_px, .foot = 15_px});
}

std::string insulin_mark_large(Action action, std::string_view alt) {
  return framed_mark(action,
                     {.cls = "",
                      .left = -14_px,
                      .top = -4_px,
                      .width = 34_px,
                      .height = 40_px,
                      .shown_width = "52",
                      .shown_height = "60",
                      .alt = alt},
                     {.x = 0_px, .y = 0_px, .foot = 34_px, .size = 130});
}

std::string mismatch(const Mismatch& marks) {
  Canvas canvas;
  Path frames;
  frames.box(1_px, 2_px, 96_px, 44_px).box(159_px, 2_px, 134_px, 44_px);
  canvas.path("d-line", frames);
  draw_insulin(canvas, marks.pen, {.x = 22_px, .y = 10_px, .foot = 38_px, .size = 130});
  draw_insulin(canvas, marks.cartridge, {.x = 184_px, .y = 10_px, .foot = 38_px, .size = 130});
  canvas.text("l", 48_px, 30_px, Anchor::start, marks.pen_label);
  canvas.text("l", 204_px, 30_px, Anchor::start, marks.cartridge_label);
  canvas.path("d-heavy", "M116 19H140M116 29H140M137 12L119 36");
  return svg({.cls = "mismatch", .width = 300_px, .height = 50_px, .alt = marks.alt}, canvas);
}

}  // namespace penstock::drawing
