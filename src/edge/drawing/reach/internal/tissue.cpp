#include "edge/drawing/reach/internal/tissue.hpp"

#include <algorithm>

#include "edge/drawing/reach/internal/cells.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

/// A lazy wave: two sines whose lengths do not fit, `length` the longer one's.
Px roll(Px height, Px along, Px length) {
  const auto turn = along.hundredths * 1000 / length.hundredths;
  return wave(height, turn) + wave(percent(height, 40), turn * 23 / 10 + 160);
}

/// Points across the block, both ends included.
template <class Height>
std::vector<Point> across(const Block& block, int pieces, const Height& height) {
  std::vector<Point> points;
  for (int i = 0; i <= pieces; ++i) {
    const Px x = block.left + block.width() * i / pieces;
    points.push_back({x, height(x)});
  }
  return points;
}

constexpr int pieces = 20;
constexpr Px skin_roll_length = 114_px;
constexpr Px muscle_roll_length = 209_px;
constexpr Px muscle_roll = 2.2_px;

Px skin_at(const Block& block, Px x) {
  const Px height = smaller(1.6_px, (block.skin - block.top) / 6);
  return block.skin + block.sink(x) + roll(height, x, skin_roll_length);
}

/// Muscle rolls no more than the layers beside it have room for, and never under a fold's flanks.
Px muscle_roll_of(const Block& block) {
  return smaller(muscle_roll, (block.muscle - block.skin) / 8);
}
Px muscle_at(const Block& block, Px x) {
  return block.muscle + roll(muscle_roll_of(block), x, muscle_roll_length);
}

void stroke(Canvas& canvas, const std::vector<Point>& points, Px width, std::string dashes = {},
            std::string offset = {}) {
  Path path;
  draw(path, smooth(points, Ends::open));
  Attrs attrs{{"stroke-width", text(width)}};
  if (!dashes.empty()) attrs.push_back({"stroke-dasharray", std::move(dashes)});
  if (!offset.empty()) attrs.push_back({"stroke-dashoffset", std::move(offset)});
  canvas.path("ti", path, attrs);
}

// ---- skin: short strokes, thinner with depth

void draw_skin(Canvas& canvas, const Block& block) {
  const Px thick = block.skin - block.top;
  const auto rows = std::clamp<std::int64_t>(thick.hundredths / 300, 2, 9);
  for (std::int64_t i = 0; i < rows; ++i) {
    const Px y = block.top + 2.6_px + (thick - 4_px) * i / rows;
    const Px shift = 9_px * i;
    const auto points = across(block, pieces, [&](Px x) {
      return y + block.sink(x) + roll(smaller(1.1_px, thick / 12), x + shift, 90_px);
    });
    const bool odd = i % 2 != 0;
    const auto dash = odd ? 26 - i : 34 - 2 * i;
    const Px gap = odd ? 2_px + 0.7_px * i : 2_px + px(i);
    stroke(canvas, points, 1.25_px - 0.85_px * i / rows, std::to_string(dash) + ' ' + text(gap),
           std::to_string(13 * i));
  }
}

// ---- fat: lobules

void lobule(Path& path, std::vector<Point> cell) {
  // Drawn in from its neighbours by the septum between them.
  Point middle{};
  for (const Point p : cell) middle = {middle.x + p.x, middle.y + p.y};
  const auto n = static_cast<std::int64_t>(cell.size());
  middle = {middle.x / n, middle.y / n};
  constexpr Px septum = 1.9_px;
  for (auto& p : cell) {
    const Px far = larger(distance(middle, p), Px{1});
    const Px kept = larger(far - septum, 0_px);
    p = {middle.x + Px{quotient((p.x - middle.x).hundredths * kept.hundredths, far.hundredths,
                                Rounding::nearest)},
         middle.y + Px{quotient((p.y - middle.y).hundredths * kept.hundredths, far.hundredths,
                                Rounding::nearest)}};
  }
  rounded_polygon(path, cell, 7_px);
}

/// As if the layer were level, then bent with the surface above and the muscle below.
Point bent(const Block& block, Point p, Px level_top, Px level_bottom) {
  const Px top = skin_at(block, p.x) + 1.6_px;
  const Px bottom = muscle_at(block, p.x) - 1.8_px;
  const Px whole = level_bottom - level_top;
  return {p.x, top + Px{quotient((p.y - level_top).hundredths * (bottom - top).hundredths,
                                 whole.hundredths, Rounding::nearest)}};
}

void draw_fat(Canvas& canvas, const Block& block) {
  const Px level_top = block.skin + 1.6_px;
  const Px level_bottom = block.muscle - 1.8_px;
  const Px tall = level_bottom - level_top;
  if (tall < 5_px) return;  // hardly any: the two lines say so
  // Lobules are as long as they are wide where there is room, flat where there is little.
  const auto rows = std::max<std::int64_t>(quotient(tall.hundredths, 1980, Rounding::nearest), 1);
  const Px row = tall / rows;
  const Px column = larger(23_px, row);
  Jitter jitter(5);
  std::vector<Point> sites;
  for (std::int64_t j = 0; j < rows; ++j) {
    for (Px x = block.left - column / 2; x < block.right + column; x = x + column) {
      const Px shift = j % 2 != 0 ? column / 2 : 0_px;
      sites.push_back({x + shift + jitter.next(percent(column, 28)),
                       level_top + row / 2 + row * j + jitter.next(percent(row, 28))});
    }
  }
  Path path;
  for (auto& cell : voronoi(sites, {block.left, level_top}, {block.right, level_bottom})) {
    if (cell.size() < 3) continue;
    for (auto& p : cell) p = bent(block, p, level_top, level_bottom);
    lobule(path, std::move(cell));
  }
  canvas.path("d-eng", path, {{"data-mark", "lobules"}});
}

// ---- muscle: fibres

void draw_muscle(Canvas& canvas, const Block& block) {
  constexpr Px pitch = 4.3_px;
  const auto rows = (block.bottom - block.muscle - 3_px).hundredths / pitch.hundredths;
  for (std::int64_t i = 0; i < rows; ++i) {
    const Px base = block.muscle + 4_px + pitch * i;
    // A fibre is flatter the deeper it lies, and has a small wave of its own.
    const auto flat = std::max<std::int64_t>(100 - 2 * i, 20);
    const auto points = across(block, 14, [&](Px x) {
      return base + percent(roll(muscle_roll_of(block), x, muscle_roll_length), flat) +
             wave(1.1_px, x.hundredths * 1000 / 13'960 + i * 143);
    });
    // The block has no lower end: its last fibres run out in dashes.
    const auto left = rows - 1 - i;
    const std::string dashes = left == 0 ? "5 13" : left == 1 ? "14 9" : left == 2 ? "30 6" : "";
    stroke(canvas, points, i % 4 == 0 && left > 2 ? 1.5_px : 0.8_px, dashes,
           dashes.empty() ? "" : std::to_string(7 * left));
  }
  stroke(canvas, across(block, pieces, [&](Px x) { return muscle_at(block, x); }), 2_px);
}

}  // namespace

Px Block::sink(Px x) const {
  if (lift == 0_px) return 0_px;
  // Level over the fold's back, then down both flanks as a half wave.
  const Px flank = width() * 22 / 100;
  const Px beside = smaller(x - left, right - x);
  if (beside >= flank) return 0_px;
  const auto turn = beside.hundredths * 500 / flank.hundredths;
  return (lift + wave(lift, turn + 250)) / 2;
}

void draw_tissue(Canvas& canvas, const Block& block) {
  const auto surface = across(block, 2 * pieces, [&](Px x) { return block.top + block.sink(x); });
  Path ground;
  draw(ground, smooth(surface, Ends::open));
  ground.down(block.bottom).across(block.left).close();
  canvas.path("f-leaf", ground);
  draw_fat(canvas, block);
  draw_skin(canvas, block);
  stroke(canvas, across(block, 2 * pieces, [&](Px x) { return skin_at(block, x); }), 1_px);
  draw_muscle(canvas, block);
  Path edge;
  draw(edge, smooth(surface, Ends::open));
  canvas.path("ti", edge, {{"stroke-width", "2.2"}, {"data-mark", "surface"}});
}

}  // namespace penstock::drawing
