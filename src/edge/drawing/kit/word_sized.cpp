#include "edge/drawing/kit/word_sized.hpp"

#include <algorithm>

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px width = 150_px;
constexpr Px height = 26_px;

}  // namespace

std::string word_sized(const Canvas& canvas, std::string_view alt) {
  return svg({.cls = "g", .width = width, .height = height, .alt = alt}, canvas);
}

Px pitch_for(Px room, std::int64_t count, Px most) {
  return smaller(most, room / std::max<std::int64_t>(count, 1));
}

void draw_now(Canvas& canvas, Px x, Px foot) {
  Path head;
  head.move(x, foot).line(x - 5_px, foot - 8_px).across(x + 5_px).close();
  canvas.path("f-over", head, {{"data-mark", "now"}});
}

}  // namespace penstock::drawing
