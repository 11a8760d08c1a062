// What is so with a pen, its insulin and the order: the number in the sentence, drawn once. No text
// in them.
#include <algorithm>

#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/kit/word_sized.hpp"
#include "edge/drawing/pens/internal/insulin.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {
using namespace literals;

std::string days_open(int days_open, int limit_days, std::string_view alt) {
  const int limit = std::clamp(limit_days, 1, 400);
  const int inside = std::clamp(days_open, 0, limit);
  const int ahead = limit - inside;
  const int beyond = std::clamp(days_open - limit, 0, 400);
  const Px pitch = pitch_for(143_px, limit + beyond, 4.6_px);
  const Px bar = percent(pitch, 58);
  Path gone;
  Path left;
  Path over;
  for (int i = 0; i < inside; ++i) gone.box(1_px + pitch * i, 8_px, bar, 10_px);
  for (int i = inside; i < limit; ++i) left.box(1_px + pitch * i, 5_px, bar, 16_px);
  const Px line = 1_px + pitch * limit + 1.5_px;
  for (int i = 0; i < beyond; ++i) {
    over.box(line + 3_px + pitch * i, 5_px, larger(percent(pitch, 70), 0.6_px), 16_px);
  }
  Canvas canvas;
  canvas.path("d-eng f-ghost", gone, {{"data-mark", "gone"}});
  if (ahead > 0) canvas.path("f-ink", left, {{"data-mark", "left"}});
  Path limit_line;
  canvas.path("d-line crisp", limit_line.move(line, 1_px).down(25_px), {{"data-mark", "limit"}});
  canvas.path("f-ink", over, {{"data-mark", "beyond"}});
  return word_sized(canvas, alt);
}

std::string order_ending(int days_left, std::string_view alt) {
  constexpr int shown = 14;
  constexpr Px pitch = 10_px;
  constexpr Px left = 6_px;
  // The bar reaches to the end of its last day; an order that has ended has none.
  const int valid = std::clamp(days_left + 1, 0, shown);
  const Px end = left + pitch * valid;
  Canvas canvas;
  Path days;
  for (int i = 0; i <= shown; ++i) {
    days.move(left + pitch * i, 23_px).down(i % 7 == 0 ? 17_px : 20_px);
  }
  canvas.path("d-eng crisp", days);
  Path base;
  canvas.path("d-eng crisp", base.move(left, 23_px).across(left + pitch * shown));
  if (valid > 0) {
    canvas.rect("f-ink", left, 11_px, pitch * valid, 4_px, {{"data-mark", "valid"}});
  }
  if (valid < shown) {
    Path none;
    none.move(end + 5_px, 13_px).across(left + pitch * shown);
    canvas.path("d-eng", none, {{"stroke-dasharray", "2 3"}});
    Path stop;
    canvas.path("d-heavy", stop.move(end, 6_px).down(20_px), {{"data-mark", "end"}});
  }
  draw_now(canvas, left, 9_px);
  return word_sized(canvas, alt);
}

std::string scale_disagrees(Units content, Units ledger_left, Units counted, std::string_view alt) {
  const Units domain = larger(larger(content, ledger_left), counted);
  const auto reach = [&](Units amount) {
    if (domain.is_zero()) return 0_px;
    return Px{(140_px).hundredths * (amount.hundredths() / 100) /
              std::max<std::int64_t>(domain.hundredths() / 100, 1)};
  };
  constexpr Px left = 4_px;
  const Px a = left + reach(ledger_left);
  const Px b = left + reach(counted);
  Canvas canvas;
  // Ledger: a barrel in little. Scale: a line of ticks up to what the eye read, with its diamond.
  canvas.rect("d-eng f-leaf", left, 2_px, 140_px, 9_px);
  if (a > left) canvas.rect("f-ink", left, 2_px, a - left, 9_px, {{"data-mark", "ledger"}});
  Path ticks_path;
  for (Px x = left; x <= b; x = x + 7_px) ticks_path.move(x, 23_px).down(19_px);
  ticks_path.move(left, 23_px).across(b);
  canvas.path("d-fine crisp", ticks_path);
  Path gap;
  gap.move(a, 11_px).down(14.5_px).across(b).down(17_px);
  canvas.path("d-line", gap, {{"stroke-dasharray", "3 2"}, {"data-mark", "difference"}});
  Path diamond;
  diamond.move(b, 16_px).line(b + 5_px, 21_px).line(b, 26_px).line(b - 5_px, 21_px).close();
  canvas.path("d-line f-leaf", diamond, {{"data-mark", "counted"}});
  return word_sized(canvas, alt);
}

std::string question_open(Action action, int waited_days, std::string_view alt) {
  Canvas canvas;
  Path frame;
  canvas.path("d-line", frame.box(1_px, 1_px, 42_px, 24_px),
              {{"stroke-dasharray", "6 4"}, {"data-mark", "question"}});
  draw_insulin(canvas, action, {.x = 20_px, .y = 6_px, .foot = 21_px});
  const int days = std::clamp(waited_days, 0, 60);
  const Px pitch = pitch_for(98_px, days, 14.6_px);
  Path open;
  for (int i = 0; i < days; ++i) {
    open.box(52_px + pitch * i, 8_px, larger(pitch / 2, 1_px), 10_px);
  }
  canvas.path("d-fine", open, {{"data-mark", "waited"}});
  return word_sized(canvas, alt);
}

std::string second_check_missing(std::string_view alt) {
  Canvas canvas;
  canvas.path("d-eng", "M2 22H68");
  canvas.path("d-line",
              "M8 19C12 4 18 4 16 13C15 19 11 21 12 17C14 11 20 9 21 14C21 18 24 17 26 13C28 9 31 "
              "11 30 15C29 19 33 18 36 13C38 10 41 12 40 15C39 18 46 16 58 11",
              {{"data-mark", "signed"}});
  canvas.path("d-line", "M82 22H148M82 22V4H148V22",
              {{"stroke-dasharray", "6 4"}, {"data-mark", "unsigned"}});
  return word_sized(canvas, alt);
}

std::string warmth(TenthsCelsius low_limit, TenthsCelsius high_limit, TenthsCelsius reached,
                   std::string_view alt) {
  // A thermometer on its side: a tick every 10 degrees, the limits as lines, solid as far as it
  // went beyond one.
  const int lowest = std::min({low_limit.tenths, reached.tenths, 0}) - 50;
  const int highest = std::max({high_limit.tenths, reached.tenths, 400}) + 50;
  constexpr Px left = 2_px;
  const auto x_of = [&](int tenths) {
    return left + Px{(146_px).hundredths * (tenths - lowest) / std::max(highest - lowest, 1)};
  };
  Canvas canvas;
  Path degrees;
  const int first = (lowest - (lowest % 100 + 100) % 100) + 100;
  const int every = (highest - lowest) > 2'000 ? 1'000 : 100;
  for (int t = first; t <= highest; t += every) degrees.move(x_of(t), 24_px).down(20_px);
  degrees.move(left, 24_px).across(left + 146_px);
  canvas.path("d-eng crisp", degrees);
  const Px low = x_of(low_limit.tenths);
  const Px high = x_of(high_limit.tenths);
  const Px at = x_of(reached.tenths);
  canvas.rect("d-eng f-ghost", smaller(low, high), 9_px, larger(high - low, 0_px), 7_px);
  if (at > high) canvas.rect("f-ink", high, 7_px, at - high, 11_px, {{"data-mark", "beyond"}});
  if (at < low) canvas.rect("f-ink", at, 7_px, low - at, 11_px, {{"data-mark", "beyond"}});
  Path limits;
  limits.move(low, 2_px).down(24_px).move(high, 2_px).down(24_px);
  canvas.path("d-line crisp", limits, {{"data-mark", "limits"}});
  if (at >= low && at <= high) canvas.rect("f-ink", at - 1.4_px, 5_px, 2.8_px, 15_px);
  return word_sized(canvas, alt);
}

}  // namespace penstock::drawing
