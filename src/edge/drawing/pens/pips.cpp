// The days of an in-use period.
#include <algorithm>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {
using namespace literals;

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
