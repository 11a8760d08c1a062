// The barrel: a cartridge with its ledger, to scale. What the marks mean stands in drawing.hpp;
// here is their geometry.
#include <algorithm>
#include <array>

#include "edge/drawing/kit/label.hpp"
#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/pens/pens.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px shoulder = 37_px;      // where the scale's 0 is; cap and neck are left of it
constexpr Px right_margin = 20_px;  // half of the last numeral
constexpr Px stopper = 6_px;        // two bars of 2.2 and the light between them
// Thinner cells are drawn together: with lines of 1 px closer than this, one sees lines only.
constexpr Px cell_least = 5_px;
constexpr int width_least = 300;
constexpr int width_most = 1200;

struct Measure {
  Units domain;  // units from the shoulder to the end of the drawing
  Px plot;       // pixels for them
  Px width;
  Px top;
  Px bottom;

  /// Where the stopper's front stands when so much is left. Exact to a hundredth of a pixel.
  Px x(Units amount) const {
    // Amounts are bounded by 10^15 hundredths: halving both keeps the product in 64 bits and the
    // quotient the same to the eye.
    std::int64_t part = smaller(amount, domain).hundredths();
    std::int64_t whole = domain.hundredths();
    while (whole > 1'000'000'000) {
      part /= 2;
      whole /= 2;
    }
    return shoulder + Px{quotient(plot.hundredths * part, whole, Rounding::nearest)};
  }
  /// The stopper has a thickness: what has gone begins behind it.
  Px trail(Units amount) const { return x(amount) + stopper; }
  Px height() const { return bottom - top; }
};

Measure measure(Units domain, int width_px, Thickness thickness, bool scale) {
  const Px width = px(std::clamp(width_px, width_least, width_most));
  const Px top = scale ? 30_px : 8_px;
  const Px height = thickness == Thickness::in_use ? 48_px : 24_px;
  return {domain, width - shoulder - stopper - right_margin, width, top, top + height};
}

// ---- glass

/// The outline of the glass, or of what fills it: `inset` from the wall, up to `end`. Where `end`
/// lies on the shoulder the fill is cut there.
Path glass(const Measure& m, Px inset, Px neck_end, Px end) {
  const Px top = m.top + inset;
  const Px bottom = m.bottom - inset;
  const Px neck_top = m.top + percent(m.height(), 27) + inset;
  const Px neck_bottom = m.bottom - percent(m.height(), 27) - inset;
  const Px flat = shoulder + 6_px;  // the shoulder's curve ends here
  const Px neck = shoulder - 14_px + inset;
  Path path;
  if (end < flat) {  // a few units: straight from the neck, as wide as the shoulder is there
    const Px run = flat - neck;
    const Px rise = Px{(neck_top - top).hundredths * (end - neck).hundredths / run.hundredths};
    path.move(end, neck_top - rise).line(neck, neck_top).across(neck_end).down(neck_bottom);
    return path.across(neck).line(end, neck_bottom + rise).close();
  }
  path.move(end, top).across(flat);
  path.curve(shoulder - 6_px + inset, top, neck + 2_px, top + 5_px, neck, neck_top);
  path.across(neck_end).down(neck_bottom).across(neck);
  path.curve(neck + 2_px, bottom - 5_px, shoulder - 6_px + inset, bottom, flat, bottom);
  return path.across(end).close();
}

void draw_cap(Canvas& canvas, const Measure& m) {
  const Px band = percent(m.height(), 17);
  Path cap;
  cap.box(shoulder - 34_px, m.top + band, 8_px, m.height() - 2 * band);
  canvas.path("f-ink", cap);
  canvas.rect("f-leaf", shoulder - 32_px, m.top + band + 3_px, 1_px, m.height() - 2 * band - 6_px,
              {{"fill-opacity", ".6"}});
}

void draw_left(Canvas& canvas, const Measure& m, Units left) {
  if (left.is_zero()) return;
  const Px end = m.x(left);
  canvas.path("f-ink", glass(m, 4_px, shoulder - 22_px, end), {{"data-mark", "left"}});
  const Px light = end - shoulder - 16_px;  // two engraved lights along the glass
  if (light < 12_px) return;
  canvas.rect("f-leaf", shoulder + 9_px, m.top + 8_px, light, 1.1_px, {{"fill-opacity", ".55"}});
  canvas.rect("f-leaf", shoulder + 9_px, m.top + 11_px, light, 0.9_px, {{"fill-opacity", ".25"}});
}

void draw_stopper(Canvas& canvas, const Measure& m, Units left) {
  Path bars;
  bars.box(m.x(left), m.top + 2_px, 2.2_px, m.height() - 4_px);
  bars.box(m.x(left) + 3.8_px, m.top + 2_px, 2.2_px, m.height() - 4_px);
  canvas.path("f-ink", bars, {{"data-mark", "stopper"}});
}

// ---- cells

/// Neighbours so thin that their lines would run together, as one: priming first, then doses, then
/// what was thrown away. Totals are kept, so the picture stays to scale.
std::vector<Cell> gathered(const Measure& m, const Barrel& cartridge) {
  std::vector<Cell> groups;
  Units start = sum(cartridge.loaded, cartridge.unexplained);
  Units at = start;
  Cell open;
  for (const auto& cell : cartridge.cells) {
    open.primed = sum(open.primed, cell.primed);
    open.injected = sum(open.injected, cell.injected);
    open.thrown_away = sum(open.thrown_away, cell.thrown_away);
    at = difference(at, sum(sum(cell.primed, cell.injected), cell.thrown_away));
    if (m.x(start) - m.x(at) < cell_least) continue;
    groups.push_back(open);
    open = Cell{};
    start = at;
  }
  if (at < start) groups.push_back(open);
  return groups;
}

void draw_brace(Canvas& canvas, Px from, Px to, Px glass_bottom, Px y, std::string_view dash) {
  Path brace;
  brace.move(from, glass_bottom + 3_px).down(y).across(to).down(glass_bottom + 3_px);
  Attrs attrs;
  if (!dash.empty()) attrs.push_back({"stroke-dasharray", std::string(dash)});
  canvas.path("d-line", brace, attrs);
}

struct Gone {
  Path injected;
  Path primed;
  Path lines;
  std::vector<std::pair<Px, Px>> thrown;  // each from, to
};

Gone gone(const Measure& m, const Barrel& cartridge) {
  Gone parts;
  const Px y = m.top + 4_px;
  const Px height = m.height() - 8_px;
  Units at = sum(cartridge.loaded, cartridge.unexplained);
  for (const auto& cell : gathered(m, cartridge)) {
    const Px end = m.trail(at);
    const Units after_prime = difference(at, cell.primed);
    const Units after_dose = difference(after_prime, cell.injected);
    const Units rest = difference(after_dose, cell.thrown_away);
    if (after_prime < at) {
      parts.primed.box(m.trail(after_prime), y, end - m.trail(after_prime), height);
    }
    if (rest < after_prime) {
      parts.injected.box(m.trail(rest), y, m.trail(after_prime) - m.trail(rest), height);
    }
    if (rest < after_dose) parts.thrown.push_back({m.trail(rest), m.trail(after_dose)});
    parts.lines.move(end, y).down(y + height);
    if (rest < after_dose && after_dose < at)
      parts.lines.move(m.trail(after_dose), y).down(y + height);
    at = rest;
  }
  return parts;
}

void draw_gone(Canvas& canvas, const Gone& parts) {
  canvas.path("f-ghost", parts.injected, {{"data-mark", "injected"}});
  canvas.path("", parts.primed, {{"data-mark", "primed"}, {"fill", "url(#p-prime)"}});
  canvas.path("d-eng crisp", parts.lines, {{"data-mark", "cells"}});
}

// ---- scale

struct Steps {
  std::int64_t tick;  // units
  std::int64_t numeral;
};

/// The finest scale whose ticks are 12 px apart or more and whose numerals do not touch.
Steps scale_steps(const Measure& m) {
  constexpr std::array<Steps, 9> ladder = {{{1, 5},
                                            {2, 10},
                                            {5, 25},
                                            {10, 50},
                                            {20, 100},
                                            {50, 250},
                                            {100, 500},
                                            {200, 1'000},
                                            {500, 2'500}}};
  const auto pixels = [&](std::int64_t units) {
    return m.plot.hundredths * units * 100 / m.domain.hundredths();
  };
  for (const auto& steps : ladder) {
    if (pixels(steps.tick) >= 1'200 && pixels(steps.numeral) >= 4'000) return steps;
  }
  return {0, 0};  // beyond any cartridge: no scale rather than an unreadable one
}

void draw_scale(Canvas& canvas, const Measure& m, Units content, std::string_view major_class) {
  if (m.domain.hundredths() > 5'000'000) return;
  const Steps steps = scale_steps(m);
  if (steps.tick == 0) return;
  Path minor;
  Path major;
  for (std::int64_t units = 0; units * 100 <= content.hundredths(); units += steps.tick) {
    const auto at = Units::from_hundredths(units * 100);
    INVARIANT(at.has_value());
    const Px x = m.x(*at);
    if (units % steps.numeral != 0) {
      minor.move(x, m.top).down(m.top - 5_px);
      continue;
    }
    major.move(x, m.top).down(m.top - 9_px);
    canvas.text("m", x, m.top - 13_px, Anchor::middle, format(*at));
  }
  canvas.path("d-eng crisp", minor);
  canvas.path(major_class, major);
}

// ---- marks that rest on the barrel

void draw_notch(Canvas& canvas, const Measure& m, const Notch& notch) {
  const Px x = m.x(notch.at);
  const Px bottom = m.bottom;
  canvas.rect("f-leaf", x - 2.25_px, m.top + 2_px, 4.5_px, m.height() - 3_px);
  Path stem;
  stem.move(x, m.top + 2_px).down(bottom);
  canvas.path("d-over", stem, {{"data-mark", "notch"}});
  Path head;
  if (notch.standing == Standing::in_question) {
    head.move(x, bottom - 5_px).line(x + 6.5_px, bottom + 8_px).across(x - 6.5_px).close();
    canvas.path("d-over f-leaf", head, {{"stroke-linejoin", "round"}, {"data-mark", "open-head"}});
    return;
  }
  Path edge;
  edge.move(x, bottom - 9_px).line(x + 8_px, bottom + 8.8_px).across(x - 8_px).close();
  canvas.path("f-leaf", edge);
  head.move(x, bottom - 7_px).line(x + 6.5_px, bottom + 8_px).across(x - 6.5_px).close();
  canvas.path("f-over", head, {{"data-mark", "head"}});
}

/// A diamond on the scale, a broken line through the glass: what an eye read there.
void draw_count(Canvas& canvas, const Measure& m, const ScaleCount& count) {
  const Px x = m.x(count.at);
  canvas.rect("f-leaf", x - 2.5_px, m.top + 1_px, 5_px, m.height() - 2_px);
  Path line;
  line.move(x, m.top + 5_px).down(m.bottom);
  canvas.path("d-line", line, {{"stroke-dasharray", "4 4"}, {"data-mark", "count"}});
  Path diamond;
  diamond.move(x, m.top - 6_px).line(x + 6_px, m.top).line(x, m.top + 6_px).line(x - 6_px, m.top);
  canvas.path("d-line f-leaf", diamond.close());
}

/// More went out than was loaded: the oldest cells stand in a broken frame of their own.
void draw_unexplained(Canvas& canvas, const Measure& m, const Barrel& cartridge) {
  const Px from = m.trail(cartridge.loaded);
  const Px to = larger(m.trail(sum(cartridge.loaded, cartridge.unexplained)), from + 4_px);
  Path frame;
  frame.move(from, m.top - 3_px).across(to + 3_px).down(m.bottom + 3_px).across(from);
  canvas.path("d-line", frame, {{"stroke-dasharray", "6 4"}, {"data-mark", "unexplained"}});
}

struct Span {
  Px from;
  Px to;
};

/// The difference between ledger and scale.
Span count_span(const Measure& m, const Barrel& cartridge) {
  const Units counted = cartridge.count->at;
  return {m.x(smaller(counted, cartridge.left)), m.x(larger(counted, cartridge.left))};
}

/// The notch's label stands beside its head, and clear of the legs of the bracket below it.
Span notch_label_beside(const Measure& m, const Barrel& cartridge) {
  const Px x = m.x(cartridge.notch->at);
  Span beside = {x - 12_px, x + 12_px};
  if (!cartridge.count) return beside;
  const Span bracket = count_span(m, cartridge);
  const Px end = beside.to + guessed_width(cartridge.notch->label);
  if (bracket.to + 4_px > beside.from && bracket.from - 4_px < end) {
    beside = {smaller(beside.from, bracket.from - 8_px), larger(beside.to, bracket.to + 8_px)};
  }
  return beside;
}

/// The captions under the glass, each on a row of its own, in the order in which they are looked
/// for.
Px draw_captions(Canvas& canvas, const Measure& m, const Barrel& cartridge, const Gone& parts) {
  Px row = m.bottom + 18_px;
  const auto caption = [&](std::string_view cls, Px from, Px to, std::string_view words) {
    row =
        row +
        label(canvas,
              {.cls = cls, .left = from, .right = to, .y = row, .width = m.width, .words = words});
  };
  if (cartridge.notch && !cartridge.notch->label.empty()) {
    const Span beside = notch_label_beside(m, cartridge);
    caption("lo", beside.from, beside.to, cartridge.notch->label);
  }
  for (const auto& [from, to] : parts.thrown) {
    draw_brace(canvas, from, to, m.bottom, m.bottom + 8_px, "");
  }
  if (!cartridge.away_label.empty()) {
    const bool rest = !cartridge.left.is_zero() || parts.thrown.empty();
    const Px from = rest ? m.x(Units::zero()) : parts.thrown.back().first;
    const Px to = rest ? m.x(cartridge.left) : parts.thrown.back().second;
    if (rest) draw_brace(canvas, from, to, m.bottom, row - 10_px, "");
    const Px middle = (from + to) / 2;
    Path lead;
    lead.move(middle, row - 10_px).down(row - 5_px).across(to + 8_px);
    canvas.path("d-line", lead, {{"data-mark", "away"}});
    caption("lb", middle - 12_px, to + 13_px, cartridge.away_label);
  }
  if (cartridge.count) {
    const Span bracket = count_span(m, cartridge);
    draw_brace(canvas, bracket.from, bracket.to, m.bottom, row - 10_px, "4 3");
    caption("lb", bracket.from - 6_px, bracket.to + 8_px, cartridge.count->label);
  }
  if (!cartridge.unexplained.is_zero() && !cartridge.unexplained_label.empty()) {
    const Px x = m.trail(sum(cartridge.loaded, cartridge.unexplained));
    Path lead;
    lead.move(x, m.bottom + 3_px).down(row - 5_px).across(x - 8_px);
    canvas.path("d-line", lead, {{"stroke-dasharray", "4 3"}});
    caption("lb", x - 13_px, x + 13_px, cartridge.unexplained_label);
  }
  return row;
}

void check_account(const Barrel& cartridge) {
  Units out = cartridge.left;
  for (const auto& cell : cartridge.cells) {
    out = sum(out, sum(sum(cell.primed, cell.injected), cell.thrown_away));
  }
  INVARIANT(!cartridge.content.is_zero());
  INVARIANT(sum(cartridge.loaded, cartridge.unexplained) == out);
}

}  // namespace

std::string barrel(const Barrel& cartridge) {
  check_account(cartridge);
  const Units account = sum(cartridge.loaded, cartridge.unexplained);
  const bool scale = cartridge.thickness == Thickness::in_use;
  const Measure m =
      measure(larger(cartridge.content, account), cartridge.width_px, cartridge.thickness, scale);
  const Px plate = m.trail(cartridge.content);
  const Gone parts = gone(m, cartridge);
  const Path outline = glass(m, 0_px, shoulder - 26_px, plate);

  Canvas canvas;
  canvas.path("f-leaf", outline);
  draw_left(canvas, m, cartridge.left);
  draw_gone(canvas, parts);
  draw_stopper(canvas, m, cartridge.left);
  canvas.path("d-line", outline);
  draw_cap(canvas, m);
  Path end;
  end.move(plate, m.top - 3_px).down(m.bottom + 3_px);
  canvas.path("d-line", end);
  if (scale) draw_scale(canvas, m, cartridge.content, "d-fine crisp");
  if (!cartridge.unexplained.is_zero()) draw_unexplained(canvas, m, cartridge);
  if (cartridge.count) draw_count(canvas, m, *cartridge.count);
  if (cartridge.notch) draw_notch(canvas, m, *cartridge.notch);
  const Px row = draw_captions(canvas, m, cartridge, parts);

  const bool captions = row > m.bottom + 18_px;
  const Px height = captions ? row - 12_px : m.bottom + (cartridge.notch ? 10_px : 8_px);
  return svg({.cls = "brl",
              .width = m.width,
              .height = height,
              .shown_width = "100%",
              .alt = cartridge.alt},
             canvas);
}

std::string sealed_barrel(Units content, std::string_view alt, int width_px) {
  return barrel({.content = content,
                 .loaded = content,
                 .left = content,
                 .thickness = Thickness::sealed,
                 .width_px = width_px,
                 .alt = std::string(alt)});
}

std::string empty_barrel(const EmptyBarrel& outline) {
  INVARIANT(!outline.content.is_zero());
  const Measure m = measure(outline.content, outline.width_px, Thickness::in_use, true);
  const Px plate = m.trail(outline.content);
  Canvas canvas;
  canvas.path("d-eng", glass(m, 0_px, shoulder - 26_px, plate));
  const Px band = percent(m.height(), 17);
  Path ends;
  ends.box(shoulder - 34_px, m.top + band, 8_px, m.height() - 2 * band);
  ends.move(plate, m.top - 3_px).down(m.bottom + 3_px);
  canvas.path("d-eng", ends);
  draw_scale(canvas, m, outline.content, "d-eng crisp");
  canvas.text("ls", (shoulder + plate) / 2, m.top + m.height() / 2 + 5_px, Anchor::middle,
              outline.label);
  return svg({.cls = "brl",
              .width = m.width,
              .height = m.bottom + 8_px,
              .shown_width = "100%",
              .alt = outline.alt},
             canvas);
}

}  // namespace penstock::drawing
