// A count in strokes, five by five: what a page of the site ledger says at a glance.
#include <algorithm>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/kit/svg.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr std::size_t five = 5;
constexpr std::size_t fives_in_a_row = 16;
constexpr Px strokes_apart = 4_px;  // two strokes
constexpr Px of_five = 23_px;       // two fives
constexpr Px of_row = 19_px;        // two rows
constexpr Px high = 14_px;

}  // namespace

std::string tally(std::size_t count) {
  Path strokes;
  for (std::size_t i = 0; i < count; ++i) {
    const auto at = static_cast<int>(i / five);
    const int across = at % static_cast<int>(fives_in_a_row);
    const int down = at / static_cast<int>(fives_in_a_row);
    const auto stroke = static_cast<int>(i % five);
    const Px x = 2_px + of_five * across, y = 2_px + of_row * down;
    if (stroke < 4) {
      strokes.move(x + 2_px + strokes_apart * stroke, y).down_by(high);
    } else {
      strokes.move(x, y + high - 2_px).line(x + strokes_apart * 4 + 1_px, y + 2_px);
    }
  }
  const auto fives = (count + five - 1) / five;
  const auto columns = static_cast<int>(std::clamp<std::size_t>(fives, 1, fives_in_a_row));
  const auto rows = static_cast<int>((fives + fives_in_a_row - 1) / fives_in_a_row);
  Canvas canvas;
  canvas.path("d-line", strokes, {{"data-mark", "tally"}});
  return svg({.cls = "tally", .width = of_five * columns, .height = of_row * std::max(1, rows)},
             canvas);
}

}  // namespace penstock::drawing
