// Today's word-sized drawings: the number in the sentence, drawn once. 150 by 26, no text in them.
#include <algorithm>

#include "edge/drawing/drawing.hpp"
#include "edge/drawing/internal/insulin.hpp"
#include "edge/drawing/internal/svg.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px width = 150_px;
constexpr Px height = 26_px;

std::string word_sized(const Canvas& canvas, std::string_view alt) {
  return svg({.cls = "g", .width = width, .height = height, .alt = alt}, canvas);
}

/// `count` marks over `room`, never wider apart than `most`.
Px pitch_for(Px room, std::int64_t count, Px most) {
  return smaller(most, room / std::max<std::int64_t>(count, 1));
}

void disc(Path& path, Px x, Px y, Px radius) {
  path.move(x - radius, y);
  path.arc(radius, true, x + radius, y).arc(radius, true, x - radius, y).close();
}

/// An ink ring whose line does not depend on a class's stroke.
void ring(Path& path, Px x, Px y, Px radius, Px line) {
  disc(path, x, y, radius);
  disc(path, x, y, radius - line);
}

/// Now: the overprint's arrowhead, standing on a line.
void draw_now(Canvas& canvas, Px x, Px foot) {
  Path head;
  head.move(x, foot).line(x - 5_px, foot - 8_px).across(x + 5_px).close();
  canvas.path("f-over", head, {{"data-mark", "now"}});
}

}  // namespace

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

namespace {

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

std::string ticks(int done, int of, std::string_view alt) {
  const int all = std::clamp(of, 1, 60);
  const int full = std::clamp(done, 0, all);
  const Px pitch = pitch_for(143_px, all, 18.6_px);
  const Px radius = smaller(5.4_px, percent(pitch, 42));
  const Px middle = radius + 1.6_px;
  Path filled;
  Path open;
  for (int i = 0; i < all; ++i) {
    const Px x = middle + pitch * i;
    if (i < full) {
      disc(filled, x, 13_px, radius);
    } else {
      ring(open, x, 13_px, radius, smaller(1.4_px, percent(radius, 40)));
    }
  }
  Canvas canvas;
  canvas.path("f-ink", filled, {{"data-mark", "done"}});
  canvas.path("f-ink", open, {{"fill-rule", "evenodd"}, {"data-mark", "open"}});
  return word_sized(canvas, alt);
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

std::string time_until(int minutes, std::string_view alt) {
  // A step is a quarter of an hour; beyond three hours it grows, so that the appointment stays on
  // the line.
  const int away = std::clamp(minutes, 0, 24 * 60);
  const int step = away <= 165 ? 15 : away <= 330 ? 30 : away <= 660 ? 60 : 120;
  constexpr Px left = 6_px;
  constexpr Px pitch = 11.5_px;
  Canvas canvas;
  Path small;
  Path large;
  for (int i = 0; i <= 12; ++i) {
    (i % 4 == 0 ? large : small).move(left + pitch * i, 22_px).down_by(i % 4 == 0 ? -12_px : -6_px);
  }
  canvas.path("d-eng crisp", small);
  canvas.path("d-fine crisp", large.move(left, 22_px).across(left + pitch * 12));
  draw_now(canvas, left, 22_px);
  const Px x = left + Px{pitch.hundredths * away / step};
  canvas.rect("f-ink", x - 1.4_px, 7_px, 2.8_px, 15_px);
  canvas.circle("f-ink", x, 7_px, 4_px, {{"data-mark", "visit"}});
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
