#include "edge/words/words.hpp"

#include <nlohmann/json.hpp>

#include "embedded/words_catalogues.hpp"

namespace penstock::words {
namespace {

using Json = nlohmann::json;
using std::chrono::days;

// "day|days": the form for one, the form for the rest. A language with more plural categories lists
// more forms and gets its own rule here.
std::string_view form_for(std::int64_t count, std::string_view forms) {
  const auto bar = forms.find('|');
  if (bar == std::string_view::npos) return forms;
  return count == 1 ? forms.substr(0, bar) : forms.substr(bar + 1);
}

const Arg* argument(const std::vector<Arg>& args, std::string_view name) {
  for (const auto& arg : args) {
    if (arg.name == name) return &arg;
  }
  return nullptr;
}

void add(Rich& rich, std::string text, bool bold) {
  if (text.empty()) return;
  if (!rich.empty() && rich.back().bold == bold) {
    rich.back().text += text;
  } else {
    rich.push_back({std::move(text), bold});
  }
}

LocalDay day_of(std::int64_t days_since_epoch) {
  return LocalDay{days{static_cast<int>(days_since_epoch)}};
}

MinuteOfDay minute_of(std::int64_t minutes_since_epoch) {
  return {static_cast<std::int16_t>(((minutes_since_epoch % 1440) + 1440) % 1440)};
}

std::chrono::year_month_day date_of(LocalDay day) { return std::chrono::year_month_day{day}; }

std::string day_number(LocalDay day) {
  return std::to_string(static_cast<unsigned>(date_of(day).day()));
}

// The one rule about a word: a prefilled pen has no cartridge that anybody changes. A sentence that
// names one has a second wording under KEY.prefilled, taken where the argument pen_kind says so.
std::string worded(std::string key, const std::vector<Arg>& args, const auto& strings,
                   std::string_view part) {
  const auto* kind = argument(args, "pen_kind");
  if (kind == nullptr || kind->text != "prefilled pen") return key;
  auto own = key + ".prefilled";
  return strings.contains(own + std::string(part)) ? own : key;
}

}  // namespace

std::string plain(const Rich& rich) {
  std::string out;
  for (const auto& run : rich) out += run.text;
  return out;
}

Rich operator+(Rich left, const Rich& right) {
  for (const auto& run : right) add(left, run.text, run.bold);
  return left;
}

Result<Catalogue> Catalogue::parse(std::string_view text) {
  const auto bad = [](std::string_view where) {
    return Error{Kind::invalid_input, "words.form", {arg_text("where", where)}, std::string(where)};
  };
  const auto json = Json::parse(text, nullptr, false);
  if (json.is_discarded() || !json.is_object()) return bad("/");
  Catalogue catalogue;
  const auto section_of = [&json](const char* name) { return json.value(name, Json::object()); };
  const auto errors = section_of("errors");
  for (const auto& [code, entry] : errors.items()) {
    if (!entry.is_object()) return bad("/errors/" + code);
    for (const auto* part : {"what", "do_this"}) {
      const auto found = entry.find(part);
      if (found == entry.end() || !found->is_string()) return bad("/errors/" + code + "/" + part);
      catalogue.strings_["errors/" + code + "/" + part] = found->get<std::string>();
    }
  }
  for (const auto* section : {"sentences", "names"}) {
    const auto entries = section_of(section);
    for (const auto& [key, value] : entries.items()) {
      if (!value.is_string()) return bad(std::string("/") + section + "/" + key);
      catalogue.strings_[std::string(section) + "/" + key] = value.get<std::string>();
    }
  }
  return catalogue;
}

std::string Catalogue::fill(const Arg& arg, std::string_view forms) const {
  switch (arg.type) {
    case ArgType::text:
      return arg.text;
    case ArgType::code:
      return name(arg.text);
    case ArgType::count:
      return std::to_string(arg.number) +
             (forms.empty() ? "" : " " + std::string(form_for(arg.number, forms)));
    case ArgType::units: {
      const auto amount = Units::from_hundredths(arg.number).value_or(Units::zero());
      // "units" is always spelled out (H05); `{dose:-}` gives the bare number for a table whose
      // head says it.
      if (forms == "-") return format(amount);
      return format(amount) + " " +
             std::string(form_for(arg.number == 100 ? 1 : 2, name("unit|units")));
    }
    case ArgType::strength:
      return std::to_string(arg.number) + " " + name("units/mL");
    case ArgType::date:
      return day_long(day_of(arg.number));
    case ArgType::instant: {
      const auto day = day_of((arg.number - minute_of(arg.number).minutes) / 1440);
      if (forms == "time") return format_iso(minute_of(arg.number));
      return day_long(day) + ", " + format_iso(minute_of(arg.number));
    }
    case ArgType::celsius:
      return format_fixed(arg.number, 1) + " " + name("celsius");
    case ArgType::tenths:
      return format_fixed(arg.number, 1, 1);
  }
  return {};
}

Rich Catalogue::rich(std::string_view pattern, const std::vector<Arg>& args) const {
  Rich out;
  std::string piece;
  bool bold = false;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    if (pattern[i] == '*') {
      add(out, std::move(piece), bold);
      piece.clear();
      bold = !bold;
    } else if (pattern[i] == '{') {
      const auto end = pattern.find('}', i);
      if (end == std::string_view::npos) break;
      const auto hole = pattern.substr(i + 1, end - i - 1);
      const auto colon = hole.find(':');
      const auto* arg = argument(args, hole.substr(0, colon));
      const auto forms =
          colon == std::string_view::npos ? std::string_view{} : hole.substr(colon + 1);
      piece += arg == nullptr ? "…" : fill(*arg, forms);
      i = end;
    } else {
      piece += pattern[i];
    }
  }
  add(out, std::move(piece), bold);
  return out;
}

Said Catalogue::say(const Error& error) const {
  const auto key = worded("errors/" + error.code, error.args, strings_, "/what");
  const auto what = strings_.find(key + "/what");
  const auto do_this = strings_.find(key + "/do_this");
  if (what == strings_.end() || do_this == strings_.end()) return {error.code, error.code};
  return {plain(rich(what->second, error.args)), plain(rich(do_this->second, error.args))};
}

Rich Catalogue::sentence(std::string_view key, const std::vector<Arg>& args) const {
  const auto found = strings_.find(worded("sentences/" + std::string(key), args, strings_, ""));
  return found == strings_.end() ? Rich{{std::string(key), false}} : rich(found->second, args);
}

std::string Catalogue::text(std::string_view key, const std::vector<Arg>& args) const {
  return plain(sentence(key, args));
}

std::string Catalogue::name(std::string_view code) const {
  const auto found = strings_.find("names/" + std::string(code));
  return found == strings_.end() ? std::string(code) : found->second;
}

bool Catalogue::has_error(std::string_view code) const {
  return strings_.contains("errors/" + std::string(code) + "/what");
}
bool Catalogue::has_sentence(std::string_view key) const {
  return strings_.contains("sentences/" + std::string(key));
}

std::string Catalogue::weekday(LocalDay day) const {
  return name("weekday/" + std::to_string(std::chrono::weekday{day}.iso_encoding()));
}
std::string Catalogue::day_year(LocalDay day) const {
  const auto date = date_of(day);
  return day_number(day) + " " +
         name("month/" + std::to_string(static_cast<unsigned>(date.month()))) + " " +
         std::to_string(static_cast<int>(date.year()));
}
std::string Catalogue::day_long(LocalDay day) const { return weekday(day) + " " + day_year(day); }
std::string Catalogue::day_short(LocalDay day) const {
  return name("weekday-short/" + std::to_string(std::chrono::weekday{day}.iso_encoding())) + " " +
         day_number(day);
}
std::string Catalogue::day_month(LocalDay day) const {
  return day_short(day) + " " +
         name("month/" + std::to_string(static_cast<unsigned>(date_of(day).month())));
}
std::string Catalogue::day_near(LocalDay day, LocalDay today) const {
  constexpr std::chrono::days same_weekday{7};
  const bool near = day - today < same_weekday && today - day < same_weekday;
  return near ? day_short(day) : day_month(day);
}
std::string Catalogue::moment(const When& when) const {
  return day_long(when.day()) + ", " + format_iso(when.minute());
}

std::string Catalogue::from_now(Instant at, Instant now) const {
  const auto minutes = std::chrono::floor<std::chrono::minutes>(at - now).count();
  const auto apart = minutes < 0 ? -minutes : minutes;
  if (apart == 0) return text("time.now");
  std::string length;
  if (apart >= 2880) {
    length = text("time.days", {arg_count("days", apart / 1440)});
  } else if (apart < 60) {
    length = text("time.minutes", {arg_count("minutes", apart)});
  } else if (apart % 60 == 0) {
    length = text("time.hours", {arg_count("hours", apart / 60)});
  } else {
    length = text("time.hours_minutes",
                  {arg_count("hours", apart / 60), arg_count("minutes", apart % 60)});
  }
  return text(minutes < 0 ? "time.ago" : "time.in", {arg_text("length", length)});
}

const Catalogue& english() {
  static const Catalogue catalogue = [] {
    const auto files = embedded::words_catalogues();
    INVARIANT(files.size() == 1);
    auto read = Catalogue::parse(files.front().data);
    INVARIANT(read.has_value());
    return *std::move(read);
  }();
  return catalogue;
}

Arg arg_when(std::string_view name, const When& when) { return arg_instant(name, when); }

}  // namespace penstock::words
