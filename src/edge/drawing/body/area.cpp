// An area over the visits: does it grow or shrink?
#include <algorithm>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/kit/svg.hpp"

namespace penstock::drawing {
using namespace literals;

namespace {

constexpr std::size_t shown_most = 6;  // the latest; before them the table has the numbers
constexpr Px column = 92_px;
constexpr Px room_across = 76_px;
constexpr Px room_along = 44_px;
constexpr Px per_cm_most = 16_px;
constexpr Px middle = 25_px;

// One scale for all visits, so that they can be compared.
Px scale_of(const std::vector<AreaSize>& shown) {
  Px per_cm = per_cm_most;
  for (const auto& size : shown) {
    if (size.length.tenths > 0) per_cm = smaller(per_cm, room_across * 100 / size.length.tenths);
    if (size.width.tenths > 0) per_cm = smaller(per_cm, room_along * 100 / size.width.tenths);
  }
  return per_cm;
}

void draw_one(Canvas& canvas, const AreaSize& size, Px x, Px per_cm, bool latest) {
  const Px across = per_cm * size.length.tenths / 200;
  const Px along = per_cm * size.width.tenths / 200;
  if (across < 1_px || along < 1_px) {  // gone: where it was
    canvas.path("d-line", Path().move(x - 5_px, middle).across(x + 5_px), {{"data-mark", "gone"}});
  } else {
    const auto edge = Path().round(x, middle, across, along);
    if (latest) canvas.path("", edge, {{"fill", "url(#p-block)"}});
    canvas.path("d-line", edge, {{"data-mark", "size"}});
  }
  canvas.text("m", x, 64_px, Anchor::middle, size.label);
}

}  // namespace

std::string area_sizes(const std::vector<AreaSize>& visits, std::string_view cm_word,
                       std::string_view alt) {
  if (visits.empty()) return {};
  const auto first = visits.size() > shown_most ? visits.end() - shown_most : visits.begin();
  const std::vector<AreaSize> shown(first, visits.end());
  const Px per_cm = scale_of(shown);
  Canvas canvas;
  for (std::size_t i = 0; i < shown.size(); ++i) {
    const Px x = column / 2 + column * static_cast<std::int64_t>(i);
    draw_one(canvas, shown[i], x, per_cm, i + 1 == shown.size());
  }
  const Px end = column * static_cast<std::int64_t>(shown.size());
  const Px rule = end + 8_px;
  canvas.path("d-fine",
              Path()
                  .move(rule, middle - 4_px)
                  .down_by(8_px)
                  .move(rule, middle)
                  .across(rule + per_cm)
                  .move(rule + per_cm, middle - 4_px)
                  .down_by(8_px),
              {{"data-mark", "scale"}});
  canvas.text("m", rule, middle + 22_px, Anchor::start, cm_word);
  return svg({.cls = "area-sizes", .width = end + 48_px, .height = 70_px, .alt = alt}, canvas);
}

}  // namespace penstock::drawing
