// Needles and stock: the number in the sentence, drawn once. No text in them.
#include <algorithm>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/kit/word_sized.hpp"
#include "edge/drawing/supplies/supplies.hpp"

namespace penstock::drawing {
using namespace literals;

std::string needles(int left, int needed, std::string_view alt) {
  const int have = std::clamp(left, 0, 400);
  const int all = std::max(have, std::clamp(needed, 0, 400));
  const Px pitch = pitch_for(147_px, all, 7.4_px);
  const Px thick = larger(percent(pitch, 30), 0.6_px);
  const Px hub = percent(pitch, 65);
  const bool close = pitch < 5_px;  // dashes side by side would read as rows
  Path whole;
  Path missing;
  for (int i = 0; i < all; ++i) {
    const Px x = 3_px + pitch * i;
    if (i < have) {
      whole.box(x - thick / 2, 4_px, thick, 18_px).box(x - hub / 2, 2.5_px, hub, 3_px);
    } else {
      missing.move(x, close ? 15_px : 5_px).down(22_px);
    }
  }
  Canvas canvas;
  canvas.path("f-ink", whole, {{"data-mark", "left"}});
  Attrs quiet = {{"data-mark", "missing"}};
  if (!close) quiet.push_back({"stroke-dasharray", "2 2.4"});
  canvas.path("d-eng", missing, quiet);
  return word_sized(canvas, alt);
}

std::string stock(int covered_days, int needed_days, std::optional<int> ask_in_days,
                  std::string_view alt) {
  const int covered = std::clamp(covered_days, 0, 400);
  const int all = std::max({covered, std::clamp(needed_days, 0, 400), 1});
  const Px pitch = pitch_for(148_px, all, 14_px);
  const Px cell = pitch - smaller(1_px, percent(pitch, 30));
  Path solid;
  Path short_days;
  for (int i = 0; i < all; ++i) {
    const Px x = 1_px + pitch * i;
    if (i < covered) {
      solid.box(x, 14_px, cell, 9_px);
    } else {
      short_days.move(x, 22.5_px).across(x + cell);
    }
  }
  Canvas canvas;
  canvas.path("f-ink", solid, {{"data-mark", "covered"}});
  Path until;
  until.move(1_px + pitch * all, 23_px).down(14_px);
  canvas.path("d-eng", short_days, {{"data-mark", "short"}});
  if (covered < all) canvas.path("d-eng crisp", until);
  if (ask_in_days && *ask_in_days >= 0 && *ask_in_days <= all) {
    const Px x = smaller(1_px + pitch * *ask_in_days, 139_px);
    Path flag;
    flag.box(x, 1_px, 2_px, 22_px).move(x + 2_px, 1_px).line(x + 10_px, 1_px);
    flag.line(x + 7.5_px, 4_px).line(x + 10_px, 7_px).line(x + 2_px, 7_px).close();
    canvas.rect("f-leaf", x - 1.2_px, 13_px, 4.4_px, 11_px);
    canvas.path("f-over", flag, {{"data-mark", "ask"}});
  }
  return word_sized(canvas, alt);
}

}  // namespace penstock::drawing
