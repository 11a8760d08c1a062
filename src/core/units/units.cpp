#include "core/units/units.hpp"

#include <algorithm>
#include <charconv>

namespace penstock {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;

bool all_digits(std::string_view text) {
  return !text.empty() && std::ranges::all_of(text, [](char c) { return c >= '0' && c <= '9'; });
}

std::optional<int> digits(std::string_view text) {
  int value = 0;
  if (!all_digits(text) || text.size() > 9) return std::nullopt;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

Error bad(std::string_view code, std::string_view text) {
  return {Kind::invalid_input, std::string(code), {arg_text("text", text.substr(0, 60))}, ""};
}

std::string two(std::int64_t n) { return (n < 10 ? "0" : "") + std::to_string(n); }

// A clock reading at the end of an ISO time: Z, +hh:mm, -hh:mm, +hhmm or +hh. More than 18 h from
// UTC is no zone on earth.
std::optional<std::int16_t> parse_offset(std::string_view text) {
  if (text == "Z" || text == "z") return std::int16_t{0};
  if (text.size() < 3 || (text[0] != '+' && text[0] != '-')) return std::nullopt;
  const auto hour = digits(text.substr(1, 2));
  auto rest = text.substr(3);
  if (!rest.empty() && rest[0] == ':') rest.remove_prefix(1);
  const auto minute = rest.empty() && text.size() == 3 ? std::optional<int>(0)
                      : rest.size() == 2               ? digits(rest)
                                                       : std::nullopt;
  if (!hour || !minute || *minute > 59) return std::nullopt;
  const int total = *hour * 60 + *minute;
  if (total > 18 * 60) return std::nullopt;
  return static_cast<std::int16_t>(text[0] == '-' ? -total : total);
}

struct ClockText {
  seconds since_midnight;
  std::string_view rest;
};

// HH:MM, HH:MM:SS or HH:MM:SS.fff at the front of a text. A leap second is not a time that a diary
// writes.
std::optional<ClockText> parse_clock(std::string_view text) {
  if (text.size() < 5 || text[2] != ':') return std::nullopt;
  const auto hour = digits(text.substr(0, 2));
  const auto minute = digits(text.substr(3, 2));
  if (!hour || !minute || *hour > 23 || *minute > 59) return std::nullopt;
  auto rest = text.substr(5);
  int second = 0;
  if (!rest.empty() && rest[0] == ':') {
    const auto read = digits(rest.substr(1, 2));
    if (rest.size() < 3 || !read || *read > 59) return std::nullopt;
    second = *read;
    rest.remove_prefix(3);
    if (!rest.empty() && (rest[0] == '.' || rest[0] == ',')) {
      const auto end = std::min(rest.find_first_not_of("0123456789", 1), rest.size());
      if (end == 1) return std::nullopt;
      rest.remove_prefix(end);
    }
  }
  return ClockText{hours{*hour} + minutes{*minute} + seconds{second}, rest};
}

}  // namespace

// ---- zone rules

bool stands_for_a_place(std::string_view zone) {
  // Machines spell a file's name in capitals or not.
  std::string name;
  for (const char c : zone) name += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  constexpr auto none = std::to_array<std::string_view>({"localtime", "posixrules", "factory"});
  constexpr auto sets = std::to_array<std::string_view>({"posix/", "right/", "systemv/"});
  return !name.empty() && std::ranges::find(none, name) == none.end() &&
         std::ranges::none_of(sets, [&](std::string_view set) { return name.starts_with(set); });
}

std::int16_t ZoneRules::offset_at(Instant at) const {
  if (changes.empty()) return 0;
  const auto after = std::ranges::upper_bound(changes, at, {}, &Change::from);
  return after == changes.begin() ? changes.front().offset_minutes
                                  : std::prev(after)->offset_minutes;
}

namespace {

// The offsets under which `local` is a real clock reading, earlier instant first. Every change
// within a day and a half either side counts.
std::vector<std::int16_t> offsets_for(const ZoneRules& zone, LocalTime local) {
  std::vector<std::int16_t> tried{zone.offset_at(Instant{local.time_since_epoch()} - hours{36})};
  for (const auto& change : zone.changes) {
    const auto apart = change.from.time_since_epoch() - local.time_since_epoch();
    if (apart > -hours{36} && apart < hours{36}) tried.push_back(change.offset_minutes);
  }
  std::vector<std::int16_t> fits;
  for (const auto offset : tried) {
    const Instant at{local.time_since_epoch() - minutes{offset}};
    if (zone.offset_at(at) == offset && std::ranges::find(fits, offset) == fits.end()) {
      fits.push_back(offset);
    }
  }
  std::ranges::sort(fits, std::greater<>{});  // the larger offset is the earlier instant
  return fits;
}

}  // namespace

ZoneRules::Fit ZoneRules::fit(LocalTime local) const {
  const auto count = offsets_for(*this, local).size();
  return count == 0 ? Fit::missing : count == 1 ? Fit::unique : Fit::ambiguous;
}

When ZoneRules::resolve(LocalTime local, Pick pick) const {
  const auto fits = offsets_for(*this, local);
  if (fits.empty()) {
    // Read with the offset before the gap, then shown with the one after it: 02:30 becomes 03:30.
    const auto before = offset_at(Instant{local.time_since_epoch()} - hours{36});
    const Instant at{local.time_since_epoch() - minutes{before}};
    return {at, offset_at(at)};
  }
  const auto offset = pick == Pick::earlier ? fits.front() : fits.back();
  return {Instant{local.time_since_epoch() - minutes{offset}}, offset};
}

// ---- text to values

Result<std::int64_t> parse_fixed(std::string_view text, int decimals) {
  auto body = text;
  const bool negative = !body.empty() && body[0] == '-';
  if (negative) body.remove_prefix(1);
  const auto point = body.find('.');
  const auto whole = body.substr(0, point);
  const auto fraction =
      point == std::string_view::npos ? std::string_view{} : body.substr(point + 1);
  if (!all_digits(whole) || (point != std::string_view::npos && !all_digits(fraction))) {
    return bad(units_codes::number_form, text);
  }
  if (static_cast<int>(fraction.size()) > decimals) {
    auto error = bad(units_codes::number_decimals, text);
    error.args.push_back(arg_count("decimals", decimals));
    return error;
  }
  std::string scaled(whole);
  scaled += fraction;
  scaled.append(static_cast<std::size_t>(decimals) - fraction.size(), '0');
  std::int64_t value = 0;
  const auto read = std::from_chars(scaled.data(), scaled.data() + scaled.size(), value);
  if (read.ec != std::errc{}) return bad(units_codes::number_range, text);
  return negative ? -value : value;
}

Result<Units> parse_units(std::string_view text) {
  const auto hundredths = parse_fixed(text, 2);
  if (!hundredths) return hundredths.error();
  const auto amount = Units::from_hundredths(*hundredths);
  if (!amount || text.front() == '-') return bad(units_codes::number_range, text);
  return *amount;
}

Result<LocalDay> parse_day(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-')
    return bad(units_codes::date_form, text);
  const auto year = digits(text.substr(0, 4));
  const auto month = digits(text.substr(5, 2));
  const auto day = digits(text.substr(8, 2));
  if (!year || !month || !day || *year < 1850 || *year > 2200) {
    return bad(units_codes::date_form, text);
  }
  const std::chrono::year_month_day date{std::chrono::year{*year},
                                         std::chrono::month{static_cast<unsigned>(*month)},
                                         std::chrono::day{static_cast<unsigned>(*day)}};
  if (!date.ok()) return bad(units_codes::date_form, text);
  return LocalDay{date};
}

Result<MinuteOfDay> parse_minute(std::string_view text) {
  const auto clock = parse_clock(text);
  if (!clock || text.size() != 5) return bad(units_codes::minute_form, text);
  return MinuteOfDay{static_cast<std::int16_t>(
      std::chrono::duration_cast<minutes>(clock->since_midnight).count())};
}

Result<ParsedTime> parse_time(std::string_view text) {
  if (text.size() < 16 || (text[10] != 'T' && text[10] != 't' && text[10] != ' ')) {
    return bad(units_codes::time_form, text);
  }
  const auto day = parse_day(text.substr(0, 10));
  const auto clock = parse_clock(text.substr(11));
  if (!day || !clock) return bad(units_codes::time_form, text);
  ParsedTime parsed{LocalTime{*day} + clock->since_midnight, std::nullopt};
  if (!clock->rest.empty()) {
    parsed.offset_minutes = parse_offset(clock->rest);
    if (!parsed.offset_minutes) return bad(units_codes::time_form, text);
  }
  return parsed;
}

Result<When> parse_when(std::string_view text) {
  const auto parsed = parse_time(text);
  if (!parsed) return parsed.error();
  if (!parsed->offset_minutes) return bad(units_codes::time_offset, text);
  return When{Instant{parsed->local.time_since_epoch() - minutes{*parsed->offset_minutes}},
              *parsed->offset_minutes};
}

// ---- values to text

std::string format_fixed(std::int64_t value, int scale, int decimals_least) {
  const bool negative = value < 0;
  // Through unsigned, so that the least 64-bit number has a magnitude, too.
  auto text = std::to_string(negative ? 0 - static_cast<std::uint64_t>(value)
                                      : static_cast<std::uint64_t>(value));
  const auto width = static_cast<std::size_t>(scale);
  if (text.size() <= width) text.insert(0, width + 1 - text.size(), '0');
  std::string whole = text.substr(0, text.size() - width);
  std::string fraction = text.substr(text.size() - width);
  while (static_cast<int>(fraction.size()) > decimals_least && fraction.back() == '0') {
    fraction.pop_back();
  }
  if (static_cast<int>(fraction.size()) < decimals_least) {
    fraction.append(static_cast<std::size_t>(decimals_least) - fraction.size(), '0');
  }
  return (negative ? "-" : "") + whole + (fraction.empty() ? "" : "." + fraction);
}

std::string format(Units amount) { return format_fixed(amount.hundredths(), 2); }

std::string format(Glucose glucose) {
  return glucose.unit == GlucoseUnit::mmol_l ? format_fixed(glucose.value, 1, 1)
                                             : format_fixed(glucose.value, 0);
}

std::string format_both(Hba1c value) {
  const auto one = [](Hba1c of) {
    return of.unit == Hba1cUnit::ngsp_percent ? format_fixed(of.value, 1, 1) + "%"
                                              : format_fixed(of.value, 0) + " mmol/mol";
  };
  return one(value) + " (" + one(converted(value)) + ")";
}

std::string format(TenthsMm length) { return format_fixed(length.tenths, 1); }
std::string format(TenthsCm length) { return format_fixed(length.tenths, 1); }
std::string format(TenthsCelsius celsius) { return format_fixed(celsius.tenths, 1); }
std::string format(TenthsKg mass) { return format_fixed(mass.tenths, 1); }

std::string format_iso(LocalDay day) {
  const std::chrono::year_month_day date{day};
  return std::to_string(static_cast<int>(date.year())) + "-" +
         two(static_cast<unsigned>(date.month())) + "-" + two(static_cast<unsigned>(date.day()));
}

std::string format_iso(MinuteOfDay minute) {
  return two(minute.minutes / 60) + ":" + two(minute.minutes % 60);
}

std::string format_iso(const When& when) {
  const auto day = when.day();
  const auto second = (when.local() - LocalTime{day}).count();
  const auto offset = when.offset_minutes;
  const auto apart = offset < 0 ? -offset : offset;
  return format_iso(day) + "T" + two(second / 3600) + ":" + two(second / 60 % 60) + ":" +
         two(second % 60) + (offset < 0 ? "-" : "+") + two(apart / 60) + ":" + two(apart % 60);
}

// ---- error arguments

Arg arg_units(std::string_view name, Units amount) {
  return {std::string(name), ArgType::units, amount.hundredths(), {}};
}
Arg arg_strength(std::string_view name, Strength strength) {
  return {std::string(name), ArgType::strength, strength.units_per_ml, {}};
}
Arg arg_date(std::string_view name, LocalDay day) {
  return {std::string(name), ArgType::date, day.time_since_epoch().count(), {}};
}
Arg arg_instant(std::string_view name, const When& when) {
  return {std::string(name),
          ArgType::instant,
          std::chrono::floor<minutes>(when.local().time_since_epoch()).count(),
          {}};
}
Arg arg_celsius(std::string_view name, TenthsCelsius celsius) {
  return {std::string(name), ArgType::celsius, celsius.tenths, {}};
}
Arg arg_glucose(std::string_view name, Glucose glucose) {
  const bool is_mmol = glucose.unit == GlucoseUnit::mmol_l;
  return arg_text(name, format(glucose) + (is_mmol ? " mmol/L" : " mg/dL"));
}

}  // namespace penstock
