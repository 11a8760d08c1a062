// Marks of no one matter: hatches, emblem, levels, counts and the time until.
#include <algorithm>

#include "edge/drawing/kit/kit.hpp"
#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/kit/word_sized.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

void disc(Path& path, Px x, Px y, Px radius) {
  path.move(x - radius, y);
  path.arc(radius, true, x + radius, y).arc(radius, true, x - radius, y).close();
}

/// An ink ring whose line does not depend on a class's stroke.
void ring(Path& path, Px x, Px y, Px radius, Px line) {
  disc(path, x, y, radius);
  disc(path, x, y, radius - line);
}

}  // namespace

std::string patterns() {
  // Classes reach into a pattern, so the hatches need no colour either. Not display:none: browsers
  // drop patterns in there.
  return "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"vh\" width=\"1\" height=\"1\" "
         "aria-hidden=\"true\"><defs>"
         "<pattern id=\"p-prime\" width=\"4\" height=\"4\" patternUnits=\"userSpaceOnUse\" "
         "patternTransform=\"rotate(45)\">"
         "<rect class=\"f-leaf\" width=\"4\" height=\"4\"/><rect class=\"f-ink\" width=\"1.7\" "
         "height=\"4\"/></pattern>"
         "<pattern id=\"p-block\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\" "
         "patternTransform=\"rotate(45)\">"
         "<path class=\"f-ink\" d=\"M0 0H5V.8H.8V5H0Z\"/></pattern>"
         "<pattern id=\"p-closed\" width=\"5\" height=\"5\" patternUnits=\"userSpaceOnUse\">"
         "<path class=\"d-eng\" d=\"M0 2.5H5\"/></pattern></defs></svg>";
}

std::string emblem(std::string_view alt) {
  Canvas canvas;
  canvas.path("d-line f-leaf", "M1 8.5H6V5.5Q6 3.5 8 3.5H38.2V18.5H8Q6 18.5 6 16.5V13.5H1Z");
  canvas.path("f-ink", "M8.4 5.6H20V16.4H8.4Q8 16.4 8 16V6Q8 5.6 8.4 5.6Z");
  canvas.rect("f-over", 21.1_px, 1_px, 2.6_px, 20_px);
  canvas.path("d-fine", "M27 3.5V7M31 3.5V7M35 3.5V7");
  return svg({.width = 40_px, .height = 22_px, .alt = alt}, canvas);
}

std::string level_mark(Level level, std::string_view alt) {
  Canvas canvas;
  switch (level) {
    case Level::note:
      canvas.rect("f-ink", 1_px, 0_px, 3_px, 26_px);
      break;
    case Level::caution:
      canvas.rect("f-ink", 1_px, 0_px, 3_px, 26_px);
      canvas.rect("f-ink", 13_px, 0_px, 3_px, 26_px);
      break;
    case Level::stop:
      canvas.rect("f-ink", 0_px, 0_px, 22_px, 26_px);
      canvas.rect("f-leaf", 5_px, 11_px, 12_px, 4_px);
      break;
  }
  return svg({.cls = "lvl-mark", .width = 22_px, .height = 26_px, .alt = alt}, canvas);
}

std::string ticks(int done, int of, std::string_view alt) {
  const int all = std::clamp(of, 1, 60);
  const int full = std::clamp(done, 0, all);
  const Px pitch = pitch_for(143_px, all, 18.6_px);
  const Px radius = smaller(5.4_px, percent(pitch, 42));
  const Px middle = radius + 1.6_px;
  Path filled;
  Path open;
  for (int i = 0; i < all; ++i) {
    const Px x = middle + pitch * i;
    if (i < full) {
      disc(filled, x, 13_px, radius);
    } else {
      ring(open, x, 13_px, radius, smaller(1.4_px, percent(radius, 40)));
    }
  }
  Canvas canvas;
  canvas.path("f-ink", filled, {{"data-mark", "done"}});
  canvas.path("f-ink", open, {{"fill-rule", "evenodd"}, {"data-mark", "open"}});
  return word_sized(canvas, alt);
}

std::string time_until(int minutes, std::string_view alt) {
  // A step is a quarter of an hour; beyond three hours it grows, so that the appointment stays on
  // the line.
  const int away = std::clamp(minutes, 0, 24 * 60);
  const int step = away <= 165 ? 15 : away <= 330 ? 30 : away <= 660 ? 60 : 120;
  constexpr Px left = 6_px;
  constexpr Px pitch = 11.5_px;
  Canvas canvas;
  Path small;
  Path large;
  for (int i = 0; i <= 12; ++i) {
    (i % 4 == 0 ? large : small).move(left + pitch * i, 22_px).down_by(i % 4 == 0 ? -12_px : -6_px);
  }
  canvas.path("d-eng crisp", small);
  canvas.path("d-fine crisp", large.move(left, 22_px).across(left + pitch * 12));
  draw_now(canvas, left, 22_px);
  const Px x = left + Px{pitch.hundredths * away / step};
  canvas.rect("f-ink", x - 1.4_px, 7_px, 2.8_px, 15_px);
  canvas.circle("f-ink", x, 7_px, 4_px, {{"data-mark", "visit"}});
  return word_sized(canvas, alt);
}

}  // namespace penstock::drawing
