// What was counted or measured about supplies: the sharps box, what a pen delivers, three accounts
// on one scale.
#include <algorithm>
#include <cstdlib>

#include "edge/drawing/kit/label.hpp"
#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/supplies/supplies.hpp"

namespace penstock::drawing {
using namespace literals;

// ---- the sharps box

std::string sharps(const SharpsBox& box) {
  constexpr Px top = 26_px, foot = 106_px, left = 10_px, right = 72_px;
  const auto holds = std::max(1, box.holds);
  const auto at = [&](std::int64_t needles) {
    return foot - (foot - top) * std::clamp<std::int64_t>(needles, 0, holds) / holds;
  };
  Canvas canvas;
  const Px level = at(box.needles);
  if (level < foot)
    canvas.rect("f-ink", left + 3_px, level, right - left - 6_px, foot - level - 3_px,
                {{"data-mark", "needles"}});
  canvas.path("d-line", Path()
                            .move(left, top)
                            .down(foot)
                            .across(right)
                            .down(top)
                            .move(left - 5_px, top)
                            .across(right + 5_px));
  canvas.path("d-line", Path()
                            .move(left + 12_px, top)
                            .line(left + 16_px, 12_px)
                            .across(right - 16_px)
                            .line(right - 12_px, top));
  // The line: where it is closed, and nothing is pressed down.
  const Px line = at(holds * 3 / 4);
  canvas.rect("f-paper", left - 7_px, line - 2_px, right - left + 16_px, 4_px);
  canvas.path("d-line", Path().move(left - 7_px, line).across(right + 9_px),
              {{"data-mark", "line"}, {"stroke-dasharray", "5 3"}});
  Path head;
  head.move(right + 18_px, line - 5_px).line(right + 9_px, line).line(right + 18_px, line + 5_px);
  canvas.path("f-ink", head.close());
  return svg({.cls = "sharps-box", .width = 96_px, .height = 112_px, .alt = box.alt}, canvas);
}

// ---- what a pen delivers

namespace {

constexpr Px test_left = 12_px;
constexpr Px test_right = 508_px;

/// From the least to the most of everything that is drawn, with some room.
struct TestScale {
  std::int64_t least = 0;
  std::int64_t most = 1;

  explicit TestScale(const Deliveries& test) {
    least = std::min({test.limit_low, test.low});
    most = std::max({test.limit_high, test.high});
    for (const auto one : test.delivered) {
      least = std::min(least, one.hundredths());
      most = std::max(most, one.hundredths());
    }
    const auto room = std::max<std::int64_t>((most - least) / 12, 2);
    least -= room;
    most += room;
  }
  Px x(std::int64_t hundredths) const {
    return test_left + (test_right - test_left) * (hundredths - least) / (most - least);
  }
  Px y(std::int64_t hundredths, Px from, Px to) const {
    return to - (to - from) * (hundredths - least) / (most - least);
  }
};

std::string units_of(std::int64_t hundredths) { return format_fixed(hundredths, 2); }

}  // namespace

std::string tolerance(const Deliveries& test) {
  if (test.delivered.empty()) return {};
  const TestScale scale(test);
  constexpr Px line = 52_px;
  Canvas canvas;
  canvas.path("d-eng crisp", Path().move(test_left, line).across(test_right));
  for (const int limit : {test.limit_low, test.limit_high}) {
    const Px x = scale.x(limit);
    canvas.path("d-line crisp", Path().move(x, 18_px).down(76_px), {{"data-mark", "limit"}});
    canvas.text("m", x, 92_px, Anchor::middle, units_of(limit));
  }
  canvas.text("m", scale.x(test.limit_low) + 6_px, 16_px, Anchor::start, test.limits_label);
  Path dots;
  // Equal ones stand on each other.
  std::vector<std::int64_t> seen;
  for (const auto one : test.delivered) {
    const auto here = one.hundredths();
    const auto below = std::ranges::count(seen, here);
    seen.push_back(here);
    dots.round(scale.x(here), line - 5_px - 4_px * std::min<std::int64_t>(below, 6), 2.4_px,
               2.4_px);
  }
  canvas.path("f-ink", dots, {{"data-mark", "delivered"}});
  const Px low = scale.x(test.low), high = scale.x(test.high);
  canvas.path("d-line",
              Path()
                  .move(low, line + 6_px)
                  .down_by(7_px)
                  .move(low, line + 9.5_px)
                  .across(high)
                  .move(high, line + 6_px)
                  .down_by(7_px),
              {{"data-mark", "interval"}});
  canvas.path("d-line", Path().move(scale.x(test.mean), line + 4_px).down_by(11_px),
              {{"data-mark", "mean"}, {"stroke-width", "2.75"}});
  canvas.text("mi halo", (low + high) / 2, line + 28_px, Anchor::middle, test.interval_label);
  return svg({.cls = "tolerance",
              .width = 520_px,
              .height = 104_px,
              .shown_width = "100%",
              .alt = test.alt},
             canvas);
}

std::string drift(const Deliveries& test) {
  if (test.delivered.size() < 3) return {};
  const TestScale scale(test);
  constexpr Px top = 6_px, foot = 84_px, from = 46_px;
  Canvas canvas;
  for (const int limit : {test.limit_low, test.limit_high}) {
    const Px y = scale.y(limit, top, foot);
    canvas.path("d-line crisp", Path().move(from, y).across(test_right), {{"data-mark", "limit"}});
    canvas.text("m", from - 6_px, y + 4_px, Anchor::end, units_of(limit));
  }
  canvas.path("d-eng crisp",
              Path().move(from, scale.y(test.dose.hundredths(), top, foot)).across(test_right));
  Path dots, way;
  const auto last = static_cast<std::int64_t>(test.delivered.size()) - 1;
  for (std::int64_t i = 0; i <= last; ++i) {
    const Px x = from + 8_px + (test_right - from - 16_px) * i / last;
    const Px y = scale.y(test.delivered[static_cast<std::size_t>(i)].hundredths(), top, foot);
    dots.round(x, y, 2.6_px, 2.6_px);
    if (i == 0) {
      way.move(x, y);
    } else {
      way.line(x, y);
    }
  }
  canvas.path("d-fine", way);
  canvas.path("f-ink", dots, {{"data-mark", "delivered"}});
  return svg(
      {.cls = "drift", .width = 520_px, .height = 96_px, .shown_width = "100%", .alt = test.alt},
      canvas);
}

// ---- accounts on one scale

std::string accounts(const std::vector<AccountBar>& bars, std::string_view difference_label,
                     std::string_view alt) {
  if (bars.empty()) return {};
  constexpr Px left = 2_px, right = 508_px, row = 54_px, thick = 16_px;
  const auto whole = [](const AccountBar& bar) {
    return bar.solid.hundredths() + bar.primed.hundredths() + bar.rest.hundredths();
  };
  std::int64_t most = 1;
  for (const auto& bar : bars) most = std::max(most, whole(bar));
  const auto wide = [&](std::int64_t hundredths) { return (right - left) * hundredths / most; };
  Canvas canvas;
  std::vector<Px> ends;
  for (std::size_t i = 0; i < bars.size(); ++i) {
    const auto& bar = bars[i];
    const Px y = row * static_cast<std::int64_t>(i) + 20_px;
    canvas.text("l", left, y - 6_px, Anchor::start, bar.label);
    Px x = left;
    const auto part = [&](std::string_view cls, Units amount, const Attrs& more) {
      if (amount.is_zero()) return;
      const Px width = wide(amount.hundredths());
      canvas.rect(cls, x, y, width, thick, more);
      x = x + width;
    };
    part("f-ink", bar.solid, {{"data-mark", "solid"}});
    part("", bar.primed, {{"fill", "url(#p-prime)"}, {"data-mark", "primed"}});
    part("f-ghost", bar.rest, {{"data-mark", "rest"}});
    canvas.path("d-line", Path().box(left, y, x - left, thick));
    canvas.text("mi", x + 8_px, y + 13_px, Anchor::start, bar.value);
    ends.push_back(x);
  }
  const Px foot = row * static_cast<std::int64_t>(bars.size()) + 8_px;
  if (ends.size() > 1 && !difference_label.empty()) {
    const Px from = smaller(ends[ends.size() - 2], ends.back());
    const Px to = larger(ends[ends.size() - 2], ends.back());
    canvas.path("d-line",
                Path()
                    .move(from, foot - 6_px)
                    .down_by(8_px)
                    .move(from, foot - 2_px)
                    .across(to)
                    .move(to, foot - 6_px)
                    .down_by(8_px),
                {{"data-mark", "difference"}, {"stroke-dasharray", "4 3"}});
    canvas.text("lb", larger(left, smaller(from, right - guessed_width(difference_label))),
                foot + 18_px, Anchor::start, difference_label);
  }
  return svg({.cls = "accounts-bars",
              .width = 620_px,
              .height = foot + 24_px,
              .shown_width = "100%",
              .alt = alt},
             canvas);
}

}  // namespace penstock::drawing
