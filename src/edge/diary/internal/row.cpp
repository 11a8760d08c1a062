#include "edge/diary/internal/row.hpp"

#include <algorithm>
#include <span>
#include <utility>

#include "core/units/units.hpp"
#include "core/units/utf8.hpp"
#include "edge/csv/csv.hpp"
#include "edge/json/json.hpp"

namespace penstock::diary {
namespace {

using enum Needs;

constexpr DiaryWord words[] = {
    {"primed", DiaryKind::primed, journal::Primed::name, yes, yes},
    {"primed flow seen", DiaryKind::primed_flow_seen, journal::Primed::name, yes, yes},
    {"primed no flow", DiaryKind::primed_no_flow, journal::Primed::name, yes, yes},
    {"injected", DiaryKind::injected, journal::Injected::name, yes, yes},
    {"injected part", DiaryKind::injected_part, journal::Injected::name, yes, yes},
    {"injected unknown", DiaryKind::injected_unknown, journal::Injected::name, yes, yes},
    {"scale", DiaryKind::scale, journal::ScaleCounted::name, yes, yes},
    {"thrown away", DiaryKind::thrown_away, journal::ThrownAway::name, no, yes},
    {"left the fridge", DiaryKind::left_fridge, journal::LeftFridge::name, no, yes},
    {"needle on", DiaryKind::needle_on, journal::NeedleOn::name, no, yes},
    {"needle off", DiaryKind::needle_off, journal::NeedleOff::name, no, yes},
    {"note", DiaryKind::note, journal::Note::name, no, no},
};

// A clock that runs ahead by a few minutes is no slip; tomorrow's dose is not given today (H57).
constexpr std::chrono::minutes clock_ahead{10};

std::string_view trimmed(std::string_view text) {
  const auto begin = text.find_first_not_of(" \t");
  if (begin == std::string_view::npos) return {};
  return text.substr(begin, text.find_last_not_of(" \t") - begin + 1);
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (auto& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

// Names are compared as people write them: case of plain letters and runs of spaces do not count.
std::string name_key(std::string_view text) {
  std::string out;
  for (const char c : lower(trimmed(text))) {
    if (c == ' ' && out.ends_with(' ')) continue;
    out += c;
  }
  return out;
}

std::string joined(std::span<const std::string_view> names) {
  std::string out;
  for (const auto name : names) out += (out.empty() ? "" : ", ") + std::string(name);
  return out;
}

Error bad(std::string_view code, std::vector<Arg> args = {}) {
  return {Kind::invalid_input, std::string(code), std::move(args), ""};
}
Arg typed(std::string_view name, std::string_view text) { return arg_text(name, shortened(text)); }

std::optional<Error> other_person(std::string_view field, std::string_view text,
                                  const DiaryContext& context) {
  const bool is_name = field == "name";
  const auto& expected = is_name ? context.full_name : context.number;
  if (name_key(text) == name_key(expected)) return std::nullopt;
  auto error =
      bad(codes::diary_person, {arg_code("field", is_name ? "person.name" : "person.number"),
                                typed("text", text), arg_text("expected", expected)});
  error.kind = Kind::refused;
  return error;
}

Result<Units> read_units(std::string_view text) {
  const auto read = parse_units(text);
  if (!read) {
    // "7.2 mmol/L", "120 mg/dL", a letter for units: a number with a unit behind it is not ours to
    // read (H05).
    const bool digits_first = !text.empty() && text[0] >= '0' && text[0] <= '9';
    const bool unit_behind =
        digits_first && text.find_first_not_of("0123456789.,-") != std::string_view::npos;
    if (unit_behind) return bad(codes::diary_units_form, {typed("text", text)});
    return read.error();
  }
  const auto most = *Units::from_hundredths(journal::record_hundredths_max);
  if (*read > most) {
    return bad(codes::diary_units_large, {arg_units("units", *read), arg_units("most", most)});
  }
  return *read;
}

// "Left thigh" is "thigh left", "left upper abdomen" is "abdomen left upper": people say the side
// first, and our own screens do.
std::string part_first(std::string said) {
  for (const std::string_view part : {"abdomen", "thigh", "buttock", "arm"}) {
    if (said.size() <= part.size() || !said.ends_with(part)) continue;
    said.resize(said.size() - part.size() - 1);
    return std::string(part) + " " + said;
  }
  return said;
}

Result<Zone> read_zone(std::string_view text) {
  const auto found = std::ranges::find(zone_names, part_first(lower(text)));
  if (found == zone_names.end()) {
    return bad(codes::diary_zone, {typed("text", text), arg_text("allowed", joined(zone_names))});
  }
  return static_cast<Zone>(found - zone_names.begin());
}

// Two numbers in centimetres, x to the person's left and y towards the head: "7 -6".
Result<Spot> read_spot(std::string_view text) {
  const auto gap = text.find(' ');
  const auto error = bad(codes::diary_spot, {typed("text", text)});
  if (gap == std::string_view::npos) return error;
  const auto x = parse_fixed(text.substr(0, gap), 2);
  const auto y = parse_fixed(trimmed(text.substr(gap)), 2);
  const auto fits = [](const Result<std::int64_t>& n) {
    return n && *n >= -journal::spot_tenths_mm_max && *n <= journal::spot_tenths_mm_max;
  };
  if (!fits(x) || !fits(y)) return error;
  return Spot{{static_cast<std::int32_t>(*x)}, {static_cast<std::int32_t>(*y)}};
}

Result<void> read_time(std::string_view text, const DiaryContext& context, DiaryRow& row) {
  const auto time = parse_time(text);
  if (!time) return time.error();
  if (time->offset_minutes) {
    const auto offset = *time->offset_minutes;
    const When sent{Instant{time->local.time_since_epoch() - std::chrono::minutes{offset}}, offset};
    row.times[row.times_count++] = context.told ? context.told(sent) : sent;
  } else {
    const auto fit = context.zone.fit(time->local);
    if (fit == ZoneRules::Fit::missing) {
      return bad(codes::diary_time_missing,
                 {typed("time", text), arg_text("zone", context.zone.name)});
    }
    row.times[row.times_count++] = context.zone.resolve(time->local, ZoneRules::Pick::earlier);
    if (fit == ZoneRules::Fit::ambiguous) {
      row.times[row.times_count++] = context.zone.resolve(time->local, ZoneRules::Pick::later);
    }
  }
  if (row.times[0].at > context.now + clock_ahead) {
    return bad(codes::diary_time_future, {arg_instant("time", row.times[0]),
                                          arg_instant("now", context.zone.when(context.now))});
  }
  if (context.born && row.times[0].day() < *context.born)
    return bad(codes::diary_before_birth,
               {arg_instant("time", row.times[0]), arg_date("born", *context.born)});
  return {};
}

Result<void> read_amount(std::string_view units, DiaryRow& row) {
  const auto& word = *row.word;
  if (word.units == no) {
    if (units.empty()) return {};
    return bad(codes::diary_units_extra, {arg_text("what", word.text), typed("text", units)});
  }
  if (units.empty()) return bad(codes::diary_units_missing, {arg_text("what", word.text)});
  const auto read = read_units(units);
  if (!read) return read.error();
  row.units = *read;
  return {};
}

Result<void> read_place(std::string_view zone, std::string_view spot, DiaryRow& row) {
  if (zone.empty() && spot.empty()) return {};
  if (row.word->fact != journal::Injected::name) {
    return bad(codes::diary_zone_extra, {arg_text("what", row.word->text)});
  }
  if (zone.empty()) return bad(codes::diary_spot_zone, {typed("text", spot)});
  const auto read = read_zone(zone);
  if (!read) return read.error();
  row.zone = *read;
  if (spot.empty()) return {};
  const auto place = read_spot(spot);
  if (!place) return place.error();
  row.spot = *place;
  return {};
}

Result<void> read_note(std::string_view note, DiaryRow& row) {
  if (note.empty() && row.word->kind == DiaryKind::note) return bad(codes::diary_note_missing);
  if (std::ssize(note) > journal::text_bytes_max) {
    return bad(journal::codes::text_long,
               {arg_code("field", "note"), arg_count("most", journal::text_bytes_max)});
  }
  row.note = csv::from_no_formula(std::string(note));
  std::erase(row.note, '\r');
  if (!is_plain_text(row.note, Lines::many)) {
    return bad(journal::codes::text_form, {arg_code("field", "note")});
  }
  return {};
}

}  // namespace

const DiaryWord* diary_word(std::string_view text) {
  const auto found = std::ranges::find(words, text, &DiaryWord::text);
  return found == std::end(words) ? nullptr : &*found;
}
const DiaryWord& diary_word(DiaryKind kind) {
  const auto found = std::ranges::find(words, kind, &DiaryWord::kind);
  INVARIANT(found != std::end(words));
  return *found;
}

std::vector<std::string_view> diary_words() {
  std::vector<std::string_view> out;
  for (const auto& word : words) out.push_back(word.text);
  return out;
}

std::string_view DiaryHeader::field(const csv::CsvRow& row, DiaryColumn column) const {
  const auto at = place[static_cast<std::size_t>(column)];
  return at ? trimmed(row.fields[*at]) : std::string_view{};
}

Result<DiaryHeader> read_diary_header(const csv::CsvRow& row) {
  if (row.problem) return *row.problem;
  const auto line = std::to_string(row.line);
  // One field that holds another separator: the whole file was written with that one.
  for (const std::string_view separator : {";", "\t"}) {
    if (row.fields.size() > 1 || row.fields[0].find(separator) == std::string::npos) continue;
    const auto* name = separator == ";" ? "csv.semicolon" : "csv.tab";
    return located(bad(csv::codes::csv_separator, {arg_code("found", name)}), line);
  }
  DiaryHeader header;
  header.width = row.fields.size();
  for (std::size_t i = 0; i < row.fields.size(); ++i) {
    const auto name = lower(trimmed(row.fields[i]));
    const auto found = std::ranges::find(diary_column_names, name);
    if (found == diary_column_names.end()) {
      return located(bad(csv::codes::csv_header, {typed("text", row.fields[i]),
                                                  arg_text("allowed", joined(diary_column_names))}),
                     line);
    }
    auto& place = header.place[static_cast<std::size_t>(found - diary_column_names.begin())];
    if (place) return located(bad(csv::codes::csv_header_twice, {typed("text", name)}), line);
    place = i;
  }
  using enum DiaryColumn;
  for (const auto column : {time, what, units, cartridge}) {
    if (header.has(column)) continue;
    const auto name = diary_column_names[static_cast<std::size_t>(column)];
    return located(bad(csv::codes::csv_header_missing, {arg_text("field", name)}), line);
  }
  return header;
}

Result<DiaryRow> read_diary_row(const csv::CsvRow& row, const DiaryHeader& header,
                                const DiaryContext& context) {
  using enum DiaryColumn;
  if (row.problem) return *row.problem;
  if (row.fields.size() != header.width) {
    return bad(csv::codes::csv_columns,
               {arg_count("expected", static_cast<std::int64_t>(header.width)),
                arg_count("found", static_cast<std::int64_t>(row.fields.size()))});
  }
  for (const auto column : {name, number}) {
    if (!header.has(column)) continue;
    const auto field = diary_column_names[static_cast<std::size_t>(column)];
    if (auto wrong = other_person(field, header.field(row, column), context)) {
      return *std::move(wrong);
    }
  }
  DiaryRow out;
  out.line = row.line;
  auto good = read_time(header.field(row, time), context, out);
  if (!good) return good.error();
  const auto word = header.field(row, what);
  out.word = diary_word(lower(word));
  if (out.word == nullptr) {
    return bad(codes::diary_what,
               {typed("text", word), arg_text("allowed", joined(diary_words()))});
  }
  good = read_amount(header.field(row, units), out);
  if (!good) return good.error();
  out.cartridge = std::string(header.field(row, cartridge));
  if (out.word->cartridge == yes && out.cartridge.empty()) {
    return bad(codes::diary_cartridge_missing, {arg_text("what", out.word->text)});
  }
  good = read_place(header.field(row, zone), header.field(row, spot), out);
  if (!good) return good.error();
  good = read_note(header.field(row, note), out);
  if (!good) return good.error();
  const auto stated = header.field(row, id);
  if (stated.empty()) return out;
  out.stated_id = parse_id(stated);
  if (!out.stated_id) {
    return bad(json::codes::field_id, {arg_text("field", "id"), typed("text", stated)});
  }
  return out;
}

std::optional<Error> wrong_person_in_comment(std::string_view text, const DiaryContext& context) {
  const auto colon = text.find(':');
  if (colon == std::string_view::npos) return std::nullopt;
  const auto field = lower(trimmed(text.substr(0, colon)));
  const auto value = trimmed(text.substr(colon + 1));
  if (field == "name" || field == "number") return other_person(field, value, context);
  if (field != "person" || !other_person("name", value, context)) return std::nullopt;
  return other_person("number", value, context);
}

}  // namespace penstock::diary
