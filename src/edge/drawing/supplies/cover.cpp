// Cover: one cell a day. Solid is certain; a cell that shrinks is as likely as it is high. The flag
// is the day by which to ask, its arrow ends where the supply comes.
#include <algorithm>

#include "edge/drawing/kit/label.hpp"
#include "edge/drawing/kit/svg.hpp"
#include "edge/drawing/supplies/supplies.hpp"

namespace penstock::drawing {
using namespace literals;

namespace {

constexpr int wide_from = 900;
constexpr Px cell_height = 16_px;
constexpr Px column_top = 58_px;  // under weeks and day numbers

struct Sheet {
  const CoverPicture& picture;
  bool wide = true;
  Px left{};
  Px right{};
  Px row_height{};
  Px bottom{};

  explicit Sheet(const CoverPicture& of) : picture(of), wide(of.width_px >= wide_from) {
    left = wide ? 228_px : 1_px;
    right = px(of.width_px) - 4_px;
    row_height = wide ? 56_px : 84_px;
    bottom = column_top + row_height * static_cast<std::int64_t>(of.rows.size()) + 8_px;
  }
  std::int64_t days() const { return static_cast<std::int64_t>(picture.days.size()); }
  Px x(std::int64_t day) const { return left + (right - left) * day / days(); }
  Px middle(std::int64_t day) const { return (x(day) + x(day + 1)) / 2; }
  /// Where the cells of a row begin.
  Px top(std::size_t row) const {
    return column_top + row_height * static_cast<std::int64_t>(row) + (wide ? 10_px : 36_px);
  }
};

void draw_closed(Canvas& canvas, const Sheet& sheet) {
  Path shade, hatch;
  for (std::int64_t day = 0; day < sheet.days(); ++day) {
    if (!sheet.picture.days[static_cast<std::size_t>(day)].closed) continue;
    const Px width = sheet.x(day + 1) - sheet.x(day);
    shade.box(sheet.x(day), column_top - 22_px, width, sheet.bottom - column_top + 18_px);
    hatch.box(sheet.x(day), sheet.bottom - 10_px, width, 6_px);
  }
  canvas.path("f-tray", shade, {{"data-mark", "closed"}});
  canvas.path("", hatch, {{"fill", "url(#p-closed)"}});
}

void draw_calendar(Canvas& canvas, const Sheet& sheet) {
  const auto& days = sheet.picture.days;
  Path fine, weeks;
  for (std::int64_t day = 0; day <= sheet.days(); ++day) {
    const bool begins = day < sheet.days() && days[static_cast<std::size_t>(day)].week_begins;
    auto& line = begins ? weeks : fine;
    line.move(sheet.x(day), column_top - 22_px)
        .down(begins ? sheet.bottom - 4_px : column_top - 4_px);
  }
  canvas.path("d-hair crisp", fine);
  canvas.path("d-eng crisp", weeks);
  Px free_from = sheet.left - 1_px;
  for (std::int64_t day = 0; day < sheet.days(); ++day) {
    const auto& one = days[static_cast<std::size_t>(day)];
    // Where cells are narrow, only weeks and the first day have their number.
    if (sheet.wide || one.week_begins || day == 0)
      canvas.text(one.closed ? "m" : "mi", sheet.middle(day), column_top - 8_px, Anchor::middle,
                  one.number);
    if (one.week.empty() || sheet.x(day) + 3_px < free_from) continue;
    canvas.text("m", sheet.x(day) + 3_px, column_top - 30_px, Anchor::start, one.week);
    free_from = sheet.x(day) + 3_px + guessed_width(one.week);
  }
  canvas.path("d-line crisp", Path().move(sheet.left, column_top - 4_px).across(sheet.right));
}

void draw_cells(Canvas& canvas, const Sheet& sheet, const CoverRow& row, Px top) {
  Path certain, uncertain;
  for (std::int64_t day = 0; day < sheet.days(); ++day) {
    const auto at = static_cast<std::size_t>(day);
    const int chance = at < row.covered_thousandths.size() ? row.covered_thousandths[at] : 0;
    if (chance <= 0) continue;
    const Px height = cell_height * std::clamp(chance, 0, 1000) / 1000;
    auto& cells = chance >= 1000 ? certain : uncertain;
    cells.box(sheet.x(day) + 1_px, top + cell_height - height,
              sheet.x(day + 1) - sheet.x(day) - 2_px, height);
  }
  canvas.path("f-ink", certain, {{"data-mark", "covered"}});
  canvas.path("f-ink", uncertain, {{"data-mark", "uncertain"}, {"fill-opacity", ".62"}});
  canvas.path("d-eng crisp",
              Path().move(sheet.left, top + cell_height + 1.5_px).across(sheet.right));
}

bool has_flag(const Sheet& sheet, const CoverRow& row) {
  return row.ask_day && *row.ask_day >= 0 && *row.ask_day < sheet.days();
}

// Where the words of the flag would leave the picture, they stand before it.
bool after_flag(const Sheet& sheet, const CoverRow& row) {
  return sheet.middle(*row.ask_day) + 8_px + guessed_width(row.ask_text) < sheet.right;
}

void draw_ask(Canvas& canvas, const Sheet& sheet, const CoverRow& row, Px top) {
  if (!has_flag(sheet, row)) return;
  const Px at = sheet.middle(*row.ask_day);
  const Px foot = top + cell_height + 12_px;
  // The flag stands on a cell: a light edge keeps it apart.
  canvas.rect("f-paper", at - 2.5_px, top - 3_px, 5_px, foot - top);
  canvas.path("d-over", Path().move(at, top - 3_px).down(foot), {{"data-mark", "ask"}});
  Path flag;
  flag.move(at - 1_px, top - 6_px).across_by(13_px).line_by(-(4_px), 5_px).line_by(4_px, 5_px);
  canvas.path("f-over", flag.across_by(-(13_px)).close());
  if (row.ready_day && *row.ready_day > *row.ask_day && *row.ready_day < sheet.days()) {
    const Px ready = sheet.middle(*row.ready_day);
    const Px y = top + cell_height + 9_px;
    canvas.path("d-over-fine", Path().move(at, y).across(ready));
    Path head;
    head.move(ready + 4_px, y).line_by(-(9_px), -(4.2_px)).down_by(8.4_px).close();
    canvas.path("f-over", head, {{"data-mark", "ready"}});
  }
  const bool fits = after_flag(sheet, row);
  canvas.text("mo halo", fits ? at + 8_px : at - 8_px, top + cell_height + 27_px,
              fits ? Anchor::start : Anchor::end, row.ask_text);
}

void draw_note(Canvas& canvas, const Sheet& sheet, const CoverRow& row, Px top) {
  if (row.note.empty()) return;
  std::int64_t end = 0;
  for (std::size_t day = 0; day < row.covered_thousandths.size(); ++day) {
    if (row.covered_thousandths[day] > 0) end = static_cast<std::int64_t>(day) + 1;
  }
  const Px x = sheet.x(std::min(end, sheet.days())) + 8_px;
  if (x + guessed_width(row.note) < sheet.right) {
    canvas.text("mi halo", x, top + cell_height - 3_px, Anchor::start, row.note);
    return;
  }
  // On the line of the flag's words, where both have room: the sentence of the row says it, too.
  const Px begins = sheet.right - guessed_width(row.note);
  if (has_flag(sheet, row)) {
    const Px flag = sheet.middle(*row.ask_day);
    const Px ends = after_flag(sheet, row) ? flag + 8_px + guessed_width(row.ask_text) : flag;
    if (begins < ends) return;
  }
  canvas.text("mi halo", sheet.right, top + cell_height + 27_px, Anchor::end, row.note);
}

void draw_row(Canvas& canvas, const Sheet& sheet, std::size_t place) {
  const auto& row = sheet.picture.rows[place];
  const Px top = sheet.top(place);
  if (sheet.wide) {
    canvas.text("lb", 0_px, top + 6_px, Anchor::start, row.label);
    canvas.text("m", 0_px, top + 24_px, Anchor::start, row.stock);
  } else {
    canvas.text("lb", 0_px, top - 10_px, Anchor::start, row.label);
    // From the right: a bold label is wider than any guess of it.
    canvas.text("m", sheet.right, top - 10_px, Anchor::end, row.stock);
  }
  draw_cells(canvas, sheet, row, top);
  draw_note(canvas, sheet, row, top);
  draw_ask(canvas, sheet, row, top);
}

}  // namespace

std::string cover(const CoverPicture& picture) {
  if (picture.days.empty()) return {};
  const Sheet sheet(picture);
  Canvas canvas;
  draw_closed(canvas, sheet);
  draw_calendar(canvas, sheet);
  for (std::size_t row = 0; row < picture.rows.size(); ++row) draw_row(canvas, sheet, row);
  canvas.path("d-over crisp", Path().move(sheet.left, column_top - 22_px).down(sheet.bottom - 4_px),
              {{"data-mark", "today"}});
  return svg({.cls = "cover-days",
              .width = px(picture.width_px),
              .height = sheet.bottom,
              .shown_width = "100%",
              .alt = picture.alt},
             canvas);
}

}  // namespace penstock::drawing
