// Marks that stand alone: hatches, emblem, levels, the days of an in-use period.
#include <algorithm>

#include "edge/drawing/drawing.hpp"
#include "edge/drawing/internal/svg.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

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

std::string pips(const Pips& period) {
  const int limit = std::clamp(period.limit_days, 1, 400);
  const int gone = std::clamp(period.days_in_use, 0, limit);
  const int over = std::max(period.days_in_use - (limit - 1), 0);  // today is a day in use, too
  const int shown_over = std::min(over, 2 * limit);
  // 28 days have ten pixels each, as on the sheet; longer periods share the same width.
  const Px pitch = smaller(10_px, px(280) / (limit + shown_over));
  const Px bar = pitch / 2;
  Canvas canvas;
  Path elapsed;
  Path left;
  Path weeks;
  const int solid = limit - gone;
  for (int i = 0; i < limit; ++i) {
    const Px x = 5_px + pitch * i;
    if (i < solid) {
      left.box(x, 2_px, bar, 12_px);
    } else {
      elapsed.box(x + percent(bar, 10), 4.5_px, percent(bar, 80), 7_px);
    }
    if (i % 7 == 6 && i < limit - 1) weeks.move(x + percent(pitch, 75), 0_px).down(16_px);
  }
  Px end = 5_px + pitch * limit;
  Path beyond;
  for (int i = 0; i < shown_over; ++i) {
    beyond.box(end + 4_px + pitch * i, 1_px, larger(bar, 1_px), 14_px);
  }
  canvas.path("f-ink", left, {{"data-mark", "left"}});
  canvas.path("d-eng f-ghost", elapsed, {{"data-mark", "elapsed"}});
  canvas.path("d-eng crisp", weeks);
  if (over > 0) {
    Path line;
    canvas.path("d-line", line.move(end, -1_px).down(17_px));
    canvas.path("f-ink", beyond, {{"data-mark", "beyond"}});
    end = end + 6_px + pitch * shown_over;
  }
  return svg({.cls = "pips", .width = end + 2_px, .height = 16_px, .alt = period.alt}, canvas);
}

}  // namespace penstock::drawing
