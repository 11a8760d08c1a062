// Two bags for a trip, so that one can be lost. A pen is a line with its cap; a sealed cartridge is
// half as thick as one in use.
#include <algorithm>
#include <array>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/supplies/supplies.hpp"

namespace penstock::drawing {
using namespace literals;

namespace {

constexpr Px width = 520_px;
constexpr Px bag_width = 250_px;
constexpr Px bag_top = 24_px;
constexpr Px row_height = 46_px;
constexpr Px inset = 14_px;
constexpr int cartridges_drawn_max = 4;

struct Bag {
  const Bags::Bag& holds;
  Px left;
  Px bottom;
};

void draw_outline(Canvas& canvas, const Bag& bag) {
  const Px right = bag.left + bag_width, middle = bag.left + bag_width / 2;
  Path handle;
  handle.move(middle - 34_px, bag_top)
      .curve(middle - 34_px, 4_px, middle + 34_px, 4_px, middle + 34_px, bag_top);
  canvas.path("d-line", handle);
  Path outline;
  outline.move(bag.left, bag_top).across(right).down(bag.bottom).across(bag.left).close();
  canvas.path("d-line", outline, {{"data-mark", "bag"}});
}

/// Barrel, cap and knob.
void draw_pen(Canvas& canvas, Px x, Px y) {
  Path pen;
  pen.box(x, y, 42_px, 8_px);
  canvas.path("d-line", pen, {{"data-mark", "pen"}});
  canvas.rect("f-ink", x, y, 14_px, 8_px);
  canvas.rect("f-ink", x + 44_px, y + 1_px, 5_px, 6_px);
}

void draw_row(Canvas& canvas, const BagRow& row, Px left, Px top) {
  canvas.text("mi", left, top, Anchor::start, row.label);
  draw_pen(canvas, left, top + 10_px);
  Path sealed;
  Px x = left + 62_px;
  for (int i = 0; i < std::min(row.cartridges, cartridges_drawn_max); ++i) {
    sealed.box(x, top + 12_px, 13_px, 4_px).box(x + 14_px, top + 12_px, 2_px, 4_px);
    x = x + 20_px;
  }
  canvas.path("f-ink", sealed, {{"data-mark", "sealed"}});
  canvas.text("m", x + 4_px, top + 18_px, Anchor::start, row.count);
}

void draw_bag(Canvas& canvas, const Bag& bag, const std::string& cool) {
  draw_outline(canvas, bag);
  const Px left = bag.left + inset;
  canvas.text("lb", left, bag_top + 22_px, Anchor::start, bag.holds.title);
  const Px first = bag_top + 48_px;
  const auto rows = static_cast<std::int64_t>(bag.holds.rows.size());
  if (!cool.empty() && rows > 0) {
    // The pouch is around the insulin, and nothing else.
    Path pouch;
    pouch.box(bag.left + 6_px, first - 16_px, bag_width - 12_px, row_height * rows - 4_px);
    canvas.path("d-eng", pouch, {{"data-mark", "cool"}, {"stroke-dasharray", "5 3"}});
  }
  for (std::int64_t i = 0; i < rows; ++i) {
    draw_row(canvas, bag.holds.rows[static_cast<std::size_t>(i)], left, first + row_height * i);
  }
  Px under = first + row_height * rows + 4_px;
  if (!bag.holds.needles.empty()) {
    Path needle;
    needle.move(left, under - 4_px).across(left + 22_px);
    canvas.path("d-line", needle);
    canvas.rect("f-ink", left + 22_px, under - 8_px, 7_px, 8_px);
    canvas.text("m", left + 38_px, under, Anchor::start, bag.holds.needles);
    under = under + 22_px;
  }
  if (!cool.empty()) canvas.text("m", left, under, Anchor::start, cool);
}

Px height_of(const Bags::Bag& bag, const std::string& cool) {
  const auto rows = static_cast<std::int64_t>(bag.rows.size());
  return bag_top + 52_px + row_height * rows + (bag.needles.empty() ? 0_px : 22_px) +
         (cool.empty() ? 0_px : 22_px);
}

}  // namespace

std::string bags(const Bags& picture) {
  const Px bottom =
      larger(height_of(picture.first, picture.cool), height_of(picture.second, picture.cool));
  Canvas canvas;
  const std::array all{Bag{picture.first, 4_px, bottom},
                       Bag{picture.second, width - bag_width - 4_px, bottom}};
  for (const auto& bag : all) draw_bag(canvas, bag, picture.cool);
  return svg({.cls = "bags",
              .width = width,
              .height = bottom + 4_px,
              .shown_width = "100%",
              .alt = picture.alt},
             canvas);
}

}  // namespace penstock::drawing
