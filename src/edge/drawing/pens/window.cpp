// The dose window and what goes with it: the strip of a pen that counts on, the ten rings.
#include <algorithm>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

struct WindowShape {
  int scale;  // in per cent of the plain window, 92 by 62
  Px number;  // height of the figures
  Px digit;   // width of one
};

WindowShape shape_of(WindowSize size) {
  switch (size) {
    case WindowSize::table:
      return {86, 34_px, 21.5_px};
    case WindowSize::card:
      return {142, 57_px, 36_px};
    case WindowSize::large:
      return {160, 64_px, 40.5_px};
  }
  promise_broken("closed list");
}

struct WindowBox {
  Px width;
  Px height;
  std::string number;
};

/// As wide as the plain window, wider for 12.5 or 108: the frame grows, the figures never shrink.
WindowBox window_box(Units window, const WindowShape& shape) {
  std::string number = format(window);
  const auto point = number.find('.') == std::string::npos ? 0 : 1;
  const auto digits = static_cast<std::int64_t>(number.size()) - point;
  const Px needed = shape.digit * digits + shape.digit / 2 * point + percent(36_px, shape.scale);
  return {larger(percent(92_px, shape.scale), needed), percent(62_px, shape.scale), number};
}

void rounded(Canvas& canvas, std::string_view cls, Px x, Px y, Px width, Px height, Px radius) {
  canvas.rect(cls, x, y, width, height, {{"rx", text(radius)}});
}

void draw_window(Canvas& canvas, Px x, Px y, const WindowBox& box, const WindowShape& shape) {
  const auto scaled = [&](Px length) { return percent(length, shape.scale); };
  const Px line = scaled(2.75_px);
  // Two plates rather than a stroke: the frame grows with the window, and a class fixes a stroke's
  // width.
  rounded(canvas, "f-ink", x, y, box.width, box.height, scaled(10_px));
  rounded(canvas, "f-leaf", x + line, y + line, box.width - 2 * line, box.height - 2 * line,
          scaled(7.6_px));
  const Px middle = y + box.height / 2;
  const Px reach = scaled(6.5_px);
  Path marks;
  marks.move(x + 2_px, middle - reach)
      .line(x + 2_px + scaled(9_px), middle)
      .line(x + 2_px, middle + reach)
      .close();
  const Px right = x + box.width - 2_px;
  marks.move(right, middle - reach)
      .line(right - scaled(9_px), middle)
      .line(right, middle + reach)
      .close();
  canvas.path("f-over", marks);
  // Figures of the face are 0.7 of its size high.
  canvas.text("", x + box.width / 2, middle + percent(shape.number, 35), Anchor::middle, box.number,
              {{"font-size", text(shape.number)}, {"font-weight", "700"}, {"data-mark", "window"}});
}

/// Strips under each other share one scale.
struct StripScale {
  Px unit;        // width of one unit
  Px pitch;       // width of one cell: one unit where there is room, else 5 or 10
  bool drawable;  // a dose is far below 10'000 units; beyond it the strip stays empty rather than
                  // wrong
};

StripScale strip_scale(Units widest) {
  const auto most = std::max<std::int64_t>(widest.hundredths(), 1);
  const Px unit = smaller(Px{(134_px).hundredths * 100 / most}, 11_px);
  const std::int64_t units_a_cell = unit >= 5_px ? 1 : unit >= 1.2_px ? 5 : 10;
  return {unit, unit * units_a_cell, most <= 200'000};
}

Path cells(Px from, Px to, Px pitch, Px y) {
  Path path;
  const Px gap = pitch > 8_px ? 2_px : 1_px;
  for (Px x = from; x < to; x = x + pitch) {
    path.box(x, y, larger(smaller(x + pitch, to) - x - gap, 0.5_px), 18_px);
  }
  return path;
}

void draw_strip(Canvas& canvas, Px left, Px y, Units primed, Units dose, Units widest) {
  const StripScale scale = strip_scale(larger(widest, sum(primed, dose)));
  if (!scale.drawable) return;
  const Px start = left + 1_px;
  const Px middle = start + scale.unit * primed.hundredths() / 100;
  const Px end = start + scale.unit * sum(primed, dose).hundredths() / 100;
  const Path slant = cells(start, middle, scale.pitch, y);
  // A class would take the hatch away: fill first, outline over it.
  canvas.path("", slant, {{"fill", "url(#p-prime)"}, {"data-mark", "primed"}});
  canvas.path("d-fine", slant);
  canvas.path("d-eng f-ghost", cells(middle, end, scale.pitch, y), {{"data-mark", "dose"}});
}

}  // namespace

std::string dose_window(const interlock::Cleared<Units>& window, WindowSize size,
                        std::string_view alt) {
  const WindowShape shape = shape_of(size);
  const WindowBox box = window_box(*window, shape);
  Canvas canvas;
  draw_window(canvas, 0_px, 0_px, box, shape);
  return svg({.cls = "win", .width = box.width, .height = box.height, .alt = alt}, canvas);
}

std::string count_strip(Units primed, Units dose, Units widest, std::string_view alt) {
  Canvas canvas;
  draw_strip(canvas, 0_px, 3_px, primed, dose, widest);
  return svg({.cls = "strip-cells", .width = 136_px, .height = 24_px, .alt = alt}, canvas);
}

std::string hold_rings(int seconds, int counted, std::string_view alt) {
  const int count = std::clamp(seconds, 1, 30);
  Canvas canvas;
  Path open;
  Path filled;
  const auto disc = [](Path& path, Px x, Px y, Px radius) {
    path.move(x - radius, y)
        .arc(radius, true, x + radius, y)
        .arc(radius, true, x - radius, y)
        .close();
  };
  for (int i = 0; i < count; ++i) {
    const Px x = 12_px + 26_px * (i % 5);
    const Px y = 12_px + 26_px * (i / 5);
    Path& path = i < counted ? filled : open;
    disc(path, x, y, 9.6_px);
    if (i >= counted) disc(path, x, y, 7.6_px);
  }
  canvas.path("f-ink", open, {{"fill-rule", "evenodd"}, {"data-mark", "open"}});
  canvas.path("f-ink", filled, {{"data-mark", "counted"}});
  const int rows = (count + 4) / 5;
  return svg({.cls = "rings", .width = 128_px, .height = 24_px + 26_px * (rows - 1), .alt = alt},
             canvas);
}

}  // namespace penstock::drawing
