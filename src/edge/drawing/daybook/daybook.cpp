#include "edge/drawing/daybook/daybook.hpp"

#include <algorithm>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/kit/word_sized.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

struct NightRow {
  Path floor;
  Path lows;
  Px pitch{};
};

/// `size` in per cent of the word-sized row.
NightRow night_row(const std::vector<Night>& seen, int size) {
  const auto scaled = [&](Px length) { return percent(length, size); };
  NightRow row;
  row.pitch = pitch_for(scaled(148_px), static_cast<std::int64_t>(seen.size()), scaled(21_px));
  const Px span = percent(row.pitch, 86);
  const Px top = scaled(9_px);
  const Px foot = scaled(20_px);
  Px x = 1_px;
  for (const Night night : seen) {
    const auto at = [&](int part) { return x + percent(span, part); };
    if (night == Night::inside) row.floor.move(x, top).across(x + span);
    if (night == Night::below) {
      row.floor.move(x, top).across(at(16)).move(at(78), top).across(x + span);
      row.lows.move(at(11), top - 0.7_px).curve(at(28), top, at(28), foot, at(48), foot);
      row.lows.curve(at(67), foot, at(67), top, at(83), top - 0.7_px).close();
    }
    x = x + row.pitch;
  }
  return row;
}

void draw_nights(Canvas& canvas, const NightRow& row) {
  canvas.path("d-line", row.floor, {{"data-mark", "inside"}});
  canvas.path("f-ink", row.lows, {{"data-mark", "below"}});
}

}  // namespace

std::string nights(const std::vector<Night>& seen, std::string_view alt) {
  Canvas canvas;
  draw_nights(canvas, night_row(seen, 100));
  return word_sized(canvas, alt);
}

std::string nights_dated(const std::vector<Night>& seen, const std::vector<std::string>& labels,
                         std::string_view alt) {
  const NightRow row = night_row(seen, 131);
  Canvas canvas;
  draw_nights(canvas, row);
  Px x = 1_px + percent(row.pitch, 43);
  for (std::size_t i = 0; i < std::min(seen.size(), labels.size()); ++i) {
    canvas.text("m", x, 50_px, Anchor::middle, labels[i]);
    x = x + row.pitch;
  }
  return svg({.cls = "g dated", .width = 196_px, .height = 57_px, .alt = alt}, canvas);
}

std::string silent_days(int recorded, int silent, std::string_view alt) {
  const int before = std::clamp(recorded, 0, 60);
  const int without = std::clamp(silent, 0, 60);
  const Px pitch = pitch_for(148_px, before + without, 14.8_px);
  const Px dash = percent(pitch, 74);
  Path known;
  Path blank;
  for (int i = 0; i < before + without; ++i) {
    const Px x = 2_px + pitch * i;
    if (i < before) {
      known.box(x, 11.8_px, dash, 2.4_px);
    } else {
      blank.move(x + percent(pitch, 5), 13_px).across(x + dash);
    }
  }
  Canvas canvas;
  canvas.path("f-ink", known, {{"data-mark", "recorded"}});
  canvas.path("d-eng", blank, {{"stroke-dasharray", "1.6 1.8"}, {"data-mark", "silent"}});
  return word_sized(canvas, alt);
}

}  // namespace penstock::drawing
