// Skin, fat and muscle to scale with the needle in it, and the hundred dots that say the same as a
// chance.
#include <algorithm>
#include <array>

#include "edge/drawing/kit/label.hpp"
#include "edge/drawing/reach/internal/tissue.hpp"
#include "edge/drawing/reach/reach.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr Px ruler_room = 50_px;   // left of the tissue
constexpr Px words_room = 114_px;  // right of it
constexpr Px tall = 248_px;
constexpr Px hub_room = 38_px;  // above the skin
constexpr Px per_mm_most = 22_px;
constexpr std::int64_t depth_least = 1000;  // hundredths of a millimetre

/// A depth, or a distance along the skin, in hundredths of a millimetre: finer than the needle's
/// own length, so that 6 mm at 45 degrees end at 4.24 mm.
struct Fine {
  std::int64_t hundredths = 0;
};
constexpr Fine fine(TenthsMm length) { return {std::int64_t{length.tenths} * 10}; }
Fine down(const Section::Needle& needle) {
  return {sine({fine(needle.length).hundredths}, needle.angle_deg).hundredths};
}
Fine aside(const Section::Needle& needle) {
  return {sine({fine(needle.length).hundredths}, 90 - needle.angle_deg).hundredths};
}

Section::Needle sane(const Section::Needle& needle) {
  return {{std::clamp(needle.length.tenths, 10, 400)},
          std::clamp(needle.angle_deg, 10, 90),
          needle.label};
}

/// Where everything stands.
struct Layout {
  Px width;
  Px left;
  Px right;
  Px top;
  Px per_mm;
  std::int64_t depth = 0;  ///< drawn, in hundredths of a millimetre
  Px needle_x;
  Px other_x;

  Px y(Fine depth_there) const { return top + scaled(depth_there); }
  Px y(TenthsMm depth_there) const { return y(fine(depth_there)); }
  Px scaled(Fine length) const {
    return {quotient(length.hundredths * per_mm.hundredths, 100, Rounding::nearest)};
  }
  Px bottom() const { return top + tall; }
};

/// What must be seen: both tips with room below, muscle's surface with some muscle; the far end of
/// its range only where that does not make all else small.
std::int64_t depth_shown(const Section& section) {
  auto depth = std::max({depth_least, down(section.needle).hundredths + 200,
                         fine(section.median).hundredths * 115 / 100 + 150,
                         fine(section.skin).hundredths + 200});
  if (section.other) depth = std::max(depth, down(*section.other).hundredths + 200);
  const auto with_range = fine(section.high).hundredths + 120;
  return with_range <= depth * 16 / 10 ? std::max(depth, with_range) : depth;
}

Layout lay_out(const Section& section) {
  Layout at{};
  at.width = px(std::clamp(section.width_px, 340, 900));
  at.left = ruler_room;
  at.right = at.width - words_room;
  const Px room = at.right - at.left;
  at.per_mm = smaller(per_mm_most, Px{tall.hundredths * 100 / depth_shown(section)});
  // Slanting needles need their width, too, one beside the other, and their hubs lean away.
  const Px ease =
      section.fold ? percent(room, 26) : 30_px;  // a fold's back lies between its flanks
  const Fine own = aside(section.needle);
  const Fine others = section.other ? aside(*section.other) : Fine{};
  const Px last = larger(ease, others.hundredths > 0 ? 38_px : 44_px);
  const Px gap = own.hundredths > 0 && section.other ? 58_px : 26_px;
  if (own.hundredths + others.hundredths > 0) {
    const Px free = larger(room - ease - gap - last, 20_px);
    at.per_mm =
        smaller(at.per_mm, Px{free.hundredths * 100 / (own.hundredths + others.hundredths)});
  }
  at.depth = tall.hundredths * 100 / at.per_mm.hundredths;
  const Px least = at.left + ease + at.scaled(own);
  at.needle_x = larger(at.left + percent(room, 30), least);
  if (!section.other) return at;
  at.other_x = at.right - last;
  at.needle_x = larger(least, smaller(at.needle_x, at.other_x - at.scaled(others) - gap));
  return at;
}

// ---- the rule

void draw_rule(Canvas& canvas, const Layout& at, const Section& section) {
  const Px spine = at.left - 6_px;
  const bool every_mm = at.per_mm >= 4_px;
  const std::int32_t numbered = at.per_mm >= 5_px ? 5 : 10;
  const Px tip = at.y(down(section.needle));
  const auto last = static_cast<std::int32_t>(at.depth / 100);
  Path ticks;
  for (std::int32_t mm = 0; mm <= last; ++mm) {
    const bool long_tick = mm % 5 == 0;
    if (!long_tick && !every_mm) continue;
    const Px y = at.y(TenthsMm{mm * 10});
    ticks.move(spine, y).across_by(long_tick ? -10_px : -5_px);
    // The tip's own number stands there already.
    const bool taken = y - tip < 13_px && tip - y < 13_px;
    if (mm % numbered == 0 && !taken) {
      canvas.text("m", at.left - 20_px, y + 4.5_px, Anchor::end, std::to_string(mm));
    }
  }
  ticks.move(spine, at.top).down(at.y(TenthsMm{last * 10}));
  canvas.path("d-fine crisp", ticks, {{"data-mark", "rule"}});
  canvas.text("m", at.left - 20_px, at.top - 13_px, Anchor::end, section.mm_word);
}

void draw_tip_mark(Canvas& canvas, const Layout& at, const Section& section) {
  const Px y = at.y(down(section.needle));
  const Px spine = at.left - 6_px;
  const Px tip_x = at.needle_x - at.scaled(aside(section.needle));
  Path line;
  line.move(spine, y).across(tip_x - 5_px);
  canvas.path("d-over-fine", line, {{"stroke-dasharray", "5 3"}, {"data-mark", "tip"}});
  Path flag;
  flag.move(spine, y).line_by(-9_px, -5_px).down_by(10_px).close();
  canvas.path("f-over", flag);
  canvas.text("mo", at.left - 19_px, y + 4.5_px, Anchor::end,
              format_fixed(quotient(down(section.needle).hundredths, 10, Rounding::nearest), 1));
}

// ---- needles

enum class Ink : std::uint8_t { solid, ghost };

/// Upright, its hub's lower edge on the skin; turned about where it enters.
void draw_needle(Canvas& canvas, const Layout& at, Px x, const Section::Needle& needle, Ink ink) {
  const Px length = at.scaled(fine(needle.length));
  const bool solid = ink == Ink::solid;
  std::string place = "translate(" + text(x) + ' ' + text(at.top) + ')';
  if (needle.angle_deg != 90) place += " rotate(" + std::to_string(90 - needle.angle_deg) + ')';
  canvas.open_group({{"transform", place}, {"data-mark", solid ? "needle" : "other needle"}});
  Path cannula;
  const Px bevel = smaller(6_px, length / 2);
  cannula.move(-2.2_px, -1_px).down(length - bevel).line(2.2_px, length).down(-1_px).close();
  canvas.path(solid ? "f-ink halo-leaf" : "d-eng f-leaf", cannula, {{"data-mark", "cannula"}});
  constexpr std::string_view hub = "M-15 -1V-7Q-15 -11 -11 -12L-10 -30H10L11 -12Q15 -11 15 -7V-1Z";
  canvas.path(solid ? "d-line f-leaf" : "d-eng f-leaf", hub);
  if (solid)
    canvas.path("d-fine", "M-7 -13V-29M-3.5 -12.5V-29.5M0 -12.5V-29.5M3.5 -12.5V-29.5M7 -13V-29");
  canvas.close_group();
}

/// How the two labels share the line above the needles.
struct Heads {
  std::vector<std::string> own;
  std::vector<std::string> others;
  Px own_x;
  Px others_x;
};

Heads heads_of(const Section& section, const Layout& at) {
  const auto lean = [](const Section::Needle& needle) {
    return needle.angle_deg < 80 ? 18_px : 0_px;
  };
  Heads heads;
  const auto fit = [](std::vector<std::string>& lines, std::string_view words, Px from, Px to,
                      Px& x) {
    lines = wrapped(words, to - from);
    Px widest{};
    for (const auto& line : lines) widest = larger(widest, guessed_width(line));
    x = larger(from + widest / 2, smaller(x, to - widest / 2));
  };
  heads.own_x = at.needle_x + lean(section.needle);
  if (!section.other) {
    fit(heads.own, section.needle.label, 2_px, at.width - 2_px, heads.own_x);
    return heads;
  }
  heads.others_x = at.other_x + lean(*section.other);
  const Px between = (heads.own_x + heads.others_x) / 2;
  fit(heads.own, section.needle.label, 2_px, between - 6_px, heads.own_x);
  fit(heads.others, section.other->label, between + 6_px, at.width - 2_px, heads.others_x);
  return heads;
}

constexpr Px head_line = 18_px;

Px heads_height(const Heads& heads) {
  return head_line * static_cast<std::int64_t>(std::max(heads.own.size(), heads.others.size()));
}

void draw_heads(Canvas& canvas, const Heads& heads, Px last_baseline) {
  const auto lines = [&](std::string_view cls, const std::vector<std::string>& words, Px x) {
    Px y = last_baseline - head_line * (static_cast<std::int64_t>(words.size()) - 1);
    for (const auto& line : words) {
      canvas.text(cls, x, y, Anchor::middle, line);
      y = y + head_line;
    }
  };
  lines("lb", heads.own, heads.own_x);
  lines("ls", heads.others, heads.others_x);
}

// ---- layers and where muscle lies

struct Caption {
  std::string_view cls;
  std::string first;
  std::string second;  ///< a quieter second line; may be empty
  Px level;            ///< what it is about
  Px middle;           ///< where it is set
  Px from;             ///< a line to it begins here, when it had to move
};
constexpr Px caption_line = 15.5_px;

Px height_of(const Caption& caption) {
  return caption.second.empty() ? caption_line : caption_line * 2;
}

/// Each as near to its level as the others let it, in the order of the levels, between two limits.
void settle(std::vector<Caption>& captions, Px least, Px most) {
  std::ranges::stable_sort(captions, {}, &Caption::level);
  Px free = least;
  for (auto& caption : captions) {
    caption.middle = larger(caption.level, free + height_of(caption) / 2);
    free = caption.middle + height_of(caption) / 2;
  }
  Px limit = most;
  for (std::size_t i = captions.size(); i-- > 0;) {
    auto& caption = captions[i];
    caption.middle = smaller(caption.middle, limit - height_of(caption) / 2);
    limit = caption.middle - height_of(caption) / 2;
  }
}

void draw_caption(Canvas& canvas, const Caption& caption, Px x) {
  const Px moved = caption.middle - caption.level;
  if (moved > 4_px || moved < -4_px) {
    Path leader;
    leader.move(caption.from, caption.level).line(x - 2_px, caption.middle);
    canvas.path("d-eng", leader);
  }
  const bool two = !caption.second.empty();
  const Px y = caption.middle + (two ? -3_px : 4.5_px);
  canvas.text(caption.cls, x, y, Anchor::start, caption.first);
  if (two) canvas.text("m", x, y + caption_line, Anchor::start, caption.second);
}

void draw_bracket(Canvas& canvas, const Layout& at, const Section& section, Px x) {
  const Px low = at.y(section.low);
  const bool whole = fine(section.high).hundredths <= at.depth;
  const Px high = whole ? at.y(section.high) : at.bottom();
  Path bracket;
  bracket.move(x - 4_px, low).across(x + 4_px).move(x, low).down(whole ? high : high - 26_px);
  if (whole) bracket.move(x - 4_px, high).across(x + 4_px);
  canvas.path("d-line", bracket, {{"data-mark", "range"}});
  if (!whole) {  // it goes on below the picture
    Path on;
    canvas.path("d-line", on.move(x, high - 22_px).down(high), {{"stroke-dasharray", "4 5"}});
  }
  canvas.circle("f-ink", x, at.y(section.median), 4_px, {{"data-mark", "median"}});
}

void draw_captions(Canvas& canvas, const Layout& at, const Section& section) {
  const Px bracket = at.right + 12_px;
  const Px x = bracket + 11_px;
  const Px tick = bracket + 5_px;
  const bool whole = fine(section.high).hundredths <= at.depth;
  const Px low = at.y(section.low), median = at.y(section.median);
  const Px high = whole ? at.y(section.high) : at.bottom() - 4_px;
  const Px skin = at.y(section.skin);
  // Fat is named above the bracket, where there is room for it.
  const Px fat =
      low - skin >= 2 * caption_line ? (skin + low) / 2 : (skin + larger(median, skin)) / 2;
  std::vector<Caption> captions{
      {"mi", section.skin_label, {}, (at.top + skin) / 2, {}, at.right + 3_px},
      {"mi", section.fat_label, {}, fat, {}, at.right + 3_px},
      {"mi", section.muscle_label, section.median_label, median, {}, tick},
      {"m", format_fixed(section.low.tenths, 1), {}, low, {}, tick},
      {"m", format_fixed(section.high.tenths, 1), {}, high, {}, tick},
  };
  settle(captions, at.top - 4_px, at.bottom() + 4_px);
  // What the bracket says, in the widest gap below the first caption that is its own.
  Px from = at.top, most{};
  Px middle = high;
  const Caption* before = nullptr;
  for (const auto& caption : captions) {
    if (before != nullptr && before->level >= low) {
      const Px start = before->middle + height_of(*before) / 2;
      const Px gap = caption.middle - height_of(caption) / 2 - start;
      if (gap > most) {
        most = gap;
        from = start;
        middle = from + gap / 2;
      }
    }
    before = &caption;
  }
  for (const auto& caption : captions) draw_caption(canvas, caption, x);
  if (most < 2 * caption_line) {
    const auto& last = captions.back();
    middle = last.middle + height_of(last) / 2 + caption_line + 2_px;
  }
  canvas.text("m", x, middle - 3_px, Anchor::start, section.range_first);
  canvas.text("m", x, middle - 3_px + caption_line, Anchor::start, section.range_second);
  draw_bracket(canvas, at, section, bracket);
}

/// Thumb and finger hold the fold, each at its flank.
void draw_fingers(Canvas& canvas, const Block& block) {
  struct Corner {
    Px x;
    Px y;
  };
  constexpr Corner shape[] = {{0_px, -25_px},  {14_px, -33_px}, {27_px, -39_px}, {36_px, -38_px},
                              {38_px, -29_px}, {29_px, -19_px}, {15_px, -8_px},  {0_px, -1_px}};
  for (const int side : {1, -1}) {
    std::vector<Point> points;
    for (const auto& [x, y] : shape) {
      points.push_back(
          {(side > 0 ? block.left : block.right) + x * side, block.top + block.lift + y});
    }
    Path finger;
    draw(finger, smooth(points, Ends::open));
    canvas.path("d-line f-leaf", finger, {{"data-mark", "finger"}});
  }
}

}  // namespace

std::string cross_section(const Section& asked) {
  Section section = asked;
  section.needle = sane(asked.needle);
  if (asked.other) section.other = sane(*asked.other);
  section.skin.tenths = std::clamp(asked.skin.tenths, 0, 2000);
  section.median.tenths = std::clamp(asked.median.tenths, 1, 2000);
  section.low.tenths = std::clamp(asked.low.tenths, 0, section.median.tenths);
  section.high.tenths = std::max(asked.high.tenths, section.median.tenths);
  Layout at = lay_out(section);
  const Heads heads = heads_of(section, at);
  const Px heads_end = 2_px + heads_height(heads);
  at.top = larger(heads_end + hub_room, 58_px);

  Block block{.left = at.left,
              .right = at.right,
              .top = at.top,
              .skin = at.y(std::min(section.skin, section.median)),
              .muscle = at.y(section.median),
              .bottom = at.bottom()};
  if (section.fold) block.lift = smaller(46_px, percent(block.muscle - block.skin, 55));
  Canvas canvas;
  draw_tissue(canvas, block);
  if (block.lift > 24_px) draw_fingers(canvas, block);
  draw_captions(canvas, at, section);
  draw_rule(canvas, at, section);
  if (section.other) draw_needle(canvas, at, at.other_x, *section.other, Ink::ghost);
  draw_needle(canvas, at, at.needle_x, section.needle, Ink::solid);
  draw_tip_mark(canvas, at, section);
  draw_heads(canvas, heads, at.top - hub_room - 1_px);
  return svg({.cls = "reach-cut",
              .width = at.width,
              .height = at.bottom() + 22_px,
              .shown_width = "100%",
              .alt = section.alt,
              .data = {{"data-per-mm", text(at.per_mm)}, {"data-surface-y", text(at.top)}}},
             canvas);
}

std::string hundred_dots(int filled, std::string_view alt) {
  const int solid = std::clamp(filled, 0, 100);
  Canvas canvas;
  for (int i = 0; i < 100; ++i) {
    const Px x = 5_px + px(11) * (i % 10), y = 5_px + px(11) * (i / 10);
    if (i < solid) {
      canvas.circle("f-ink", x, y, 4.6_px);
    } else {
      canvas.circle("d-eng", x, y, 3.2_px);
    }
  }
  return svg({.cls = "hundred-dots", .width = 109_px, .height = 109_px, .alt = alt}, canvas);
}

}  // namespace penstock::drawing
