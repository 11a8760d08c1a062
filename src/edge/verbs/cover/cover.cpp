#include "edge/verbs/cover/cover.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "core/journal/journal.hpp"
#include "edge/verbs/cover/internal/words.hpp"

namespace penstock::verbs {
namespace {

using json::Reader;
using json::Value;

// ---- the request

constexpr int share_decimals = 6;

/// A share or a chance, 0 to 1 and beyond: what it may be is cover's business.
Result<double> share_of(const Value& value, std::string_view at) {
  const auto read = json::fixed_of(value, share_decimals, at);
  if (!read) return read.error();
  return static_cast<double>(*read) / 1e6;
}

void may_share(Reader& read, std::string_view key, double& into) {
  const auto* raw = read.may_raw(key);
  if (raw == nullptr) return;
  const auto share = share_of(*raw, read.at(key));
  if (!share) return read.fail(share.error());
  into = *share;
}

template <class ReadOne>
void read_list(Reader& read, std::string_view key, const Value& value, ReadOne read_one) {
  if (read.failed()) return;
  if (value.type != json::Type::array)
    return read.fail(json::type_error(read.at(key), "type.list"));
  for (std::size_t i = 0; i < value.members.size() && !read.failed(); ++i) {
    read.keep(read_one(value.members[i].value, json::pointer(read.at(key), i)));
  }
}

Result<void> read_open(const Value& value, std::string_view at, std::vector<cover::Open>& into) {
  cover::Open open;
  Reader read(value, at);
  read.need("left_units", open.left);
  read.need("days_in_use", open.days_in_use);
  read.may("new", open.is_new);
  read.may("expires", open.expires);
  if (const auto done = read.done(); !done) return done.error();
  into.push_back(open);
  return {};
}

Result<void> read_lot(const Value& value, std::string_view at, std::vector<cover::Sealed>& into) {
  cover::Sealed lot;
  Reader read(value, at);
  read.need("unopened", lot.cartridges);
  read.may("expires", lot.expires);
  if (const auto done = read.done(); !done) return done.error();
  into.push_back(lot);
  return {};
}

void read_stock(Reader& read, cover::Line& line) {
  if (const auto* lots = read.may_raw("unopened_lots")) {
    read_list(read, "unopened_lots", *lots, [&](const Value& item, std::string_view at) {
      return read_lot(item, at, line.sealed);
    });
  } else {
    cover::Sealed all;
    read.may("unopened", all.cartridges);
    if (all.cartridges != 0) line.sealed.push_back(all);
  }
  const auto* open = read.may_raw("open");
  const auto* more = read.may_raw("more_open");
  if (open != nullptr && open->type != json::Type::null) {
    read.keep(read_open(*open, read.at("open"), line.open));
  } else if (more != nullptr) {
    return read.fail({Kind::invalid_input,
                      std::string(json::codes::field_missing),
                      {arg_text("field", "open")},
                      read.at("open")});
  }
  if (more == nullptr) return;
  read_list(read, "more_open", *more,
            [&](const Value& item, std::string_view at) { return read_open(item, at, line.open); });
}

/// The step of a pen that nobody named, of doses that do not vary.
Units step_for(const cover::Line& line) {
  const auto fits = [&](Units step) {
    return is_multiple(line.prime, step) && is_multiple(line.new_cartridge_prime, step) &&
           std::ranges::all_of(line.doses, [&](Units dose) { return is_multiple(dose, step); });
  };
  for (const std::int64_t hundredths : {100, 50, 10}) {
    const auto step = *Units::from_hundredths(hundredths);
    if (fits(step)) return step;
  }
  return *Units::from_hundredths(1);
}

Result<void> read_line(const Value& value, std::string_view at, CoverRequest& into) {
  cover::Line line;
  Reader read(value, at);
  read.need("insulin", line.insulin);
  if (const auto* doses = read.need_raw("doses_units")) {
    read_list(read, "doses_units", *doses, [&](const Value& item, std::string_view where) {
      Units dose = Units::zero();
      const auto got = json::get(item, where, dose);
      if (got) line.doses.push_back(dose);
      return got;
    });
  }
  std::optional<std::int32_t> given;
  std::optional<Units> step, prime_new;
  std::optional<shelf::Window> window;
  read.may("given_on_first_day", given);
  read.may("dose_sd_units", line.dose_sd);
  read.may("step_units", step);
  read.may("most_units", line.most);
  read.may("window", window);
  read.need("prime_units", line.prime);
  read.may("new_cartridge_prime_units", prime_new);
  read.need("cartridge_units", line.cartridge);
  read.need("in_use_days", line.in_use_days);
  read.may("suspension", line.suspension);
  read.may("least_left_to_mix_units", line.least_left_to_mix);
  read.may("use_the_rest", line.use_the_rest);
  read_stock(read, line);
  if (const auto done = read.done(); !done) return done.error();
  // A negative count is out of range like one that is too large.
  line.given_on_first_day =
      given.value_or(0) < 0 ? line.doses.size() + 1 : static_cast<std::size_t>(given.value_or(0));
  line.new_cartridge_prime = prime_new.value_or(line.prime);
  if (step) {
    line.step = *step;
  } else if (line.dose_sd.is_zero()) {
    line.step = step_for(line);
  }
  line.window = window.value_or(line.window);
  if (line.most && !window) into.window_assumed.push_back(line.insulin);
  into.request.lines.push_back(std::move(line));
  return {};
}

Result<void> read_lead(const Value& value, std::string_view at, std::vector<cover::Lead>& into) {
  cover::Lead lead;
  Reader read(value, at);
  read.need("lead_days", lead.days);
  if (read.need_raw("chance") != nullptr) may_share(read, "chance", lead.chance);
  if (const auto done = read.done(); !done) return done.error();
  into.push_back(lead);
  return {};
}

/// Every such weekday from the first day on, as far as cover looks.
void close_weekdays(const std::vector<journal::Weekday>& weekdays, LocalDay on,
                    std::vector<LocalDay>& closed) {
  constexpr auto beyond = cover::limits::lead_days.most * 7;
  for (std::int64_t i = 0; i < cover::horizon_days_max + beyond; ++i) {
    const LocalDay day = on + std::chrono::days{i};
    const auto weekday =
        static_cast<journal::Weekday>(std::chrono::weekday{day}.iso_encoding() - 1);
    if (std::ranges::find(weekdays, weekday) != weekdays.end()) closed.push_back(day);
  }
}

void read_closed(Reader& read, LocalDay on, cover::Ask& ask) {
  if (const auto* dates = read.may_raw("closed_dates")) {
    read_list(read, "closed_dates", *dates, [&](const Value& item, std::string_view at) {
      LocalDay day{};
      const auto got = json::get(item, at, day);
      if (got) ask.closed.push_back(day);
      return got;
    });
  }
  std::vector<journal::Weekday> weekdays;
  if (const auto* names = read.may_raw("closed_weekdays")) {
    read_list(read, "closed_weekdays", *names, [&](const Value& item, std::string_view at) {
      journal::Weekday weekday{};
      const auto got = json::get(item, at, weekday);
      if (got) weekdays.push_back(weekday);
      return got;
    });
  }
  close_weekdays(weekdays, on, ask.closed);
  std::ranges::sort(ask.closed);
}

Result<void> read_ask(const Value& value, std::string_view at, CoverRequest& into) {
  cover::Ask ask;
  Reader read(value, at);
  if (const auto* leads = read.may_raw("leads")) {
    read_list(read, "leads", *leads, [&](const Value& item, std::string_view where) {
      return read_lead(item, where, ask.leads);
    });
  } else {
    ask.leads.emplace_back();
    read.need("lead_days", ask.leads.back().days);
  }
  may_share(read, "service", ask.service);
  read.may("service_reason", into.service_reason);
  read.may("service_by", into.service_by);
  read.may("spare_cartridges", ask.spare_cartridges);
  read.may("for_days", ask.for_days);
  read.may("cartridges_per_box", ask.cartridges_per_box);
  read.may("needles_per_box", ask.needles_per_box);
  read_closed(read, into.request.on, ask);
  if (const auto done = read.done(); !done) return done.error();
  into.request.ask = std::move(ask);
  return {};
}

/// Less than the usual service is somebody's decision.
Result<void> check_signed(const CoverRequest& asked, std::string_view at) {
  const auto& ask = *asked.request.ask;
  if (!(ask.service < cover::service_usual)) return {};
  if (!asked.service_reason.empty() && !asked.service_by.empty()) return {};
  const auto missing = asked.service_reason.empty() ? "service_reason" : "service_by";
  return Error{Kind::refused,
               std::string(codes::service_unsigned),
               {arg_text("service", percent_text(ask.service)),
                arg_text("usual", percent_text(cover::service_usual))},
               json::pointer(at, missing)};
}

// ---- the answer

Value chance_json(double chance) {
  constexpr int decimals = 9;
  return json::fixed(std::llround(chance * 1e9), decimals);
}

Value day_json(const std::optional<LocalDay>& day) {
  return day ? json::string(*day) : json::null();
}

Value chances_json(const std::vector<cover::DayChance>& chances) {
  std::vector<Value> items;
  for (const auto& one : chances) {
    items.push_back(
        json::object({{"date", json::string(one.day)}, {"chance", chance_json(one.chance)}}));
  }
  return json::array(std::move(items));
}

enum class Has : std::uint8_t { cartridges, needles, no_boxes };

/// The fields of one supply, behind those that are there.
void add_lasts(Value& out, const CoverRequest& asked, const cover::Lasts& lasts, Has has) {
  json::add(out, "full_days", json::count(lasts.full_days));
  json::add(out, "last_full_day", day_json(lasts.last_full_day));
  if (has == Has::cartridges) {
    json::add(out, "thrown_away_units", json::number(lasts.thrown_away));
  }
  json::add(out, "runs_out_chance", chances_json(lasts.runs_out));
  json::add(out, "beyond_horizon", json::boolean(lasts.beyond_horizon));
  json::add(out, "ask_by", day_json(lasts.ask_by));
  json::add(out, "here_by", day_json(lasts.here_by));
  json::add(out, "late", json::boolean(lasts.late));
  if (has == Has::no_boxes) return;
  json::add(out, "boxes", asked.request.ask ? json::count(lasts.boxes) : json::null());
}

Value cautions_json(const CoverRequest& asked, const cover::Answer& answer, const Say& say) {
  std::vector<Value> items;
  for (const auto& caution : cover_cautions_said(asked, answer, say)) {
    items.push_back(
        json::object({{"code", json::string(caution.code)}, {"text", json::string(caution.text)}}));
  }
  return json::array(std::move(items));
}

constexpr std::string_view defer_code = "cover.text.defer";

Result<Answer> run_cover(const Value& value, const Say& say, const Stopped& stopped) {
  const auto asked = parse_cover_request(value);
  if (!asked) return asked.error();
  const auto answer = cover::cover(asked->request, stopped);
  if (!answer) return answer.error();
  return Answer{cover_answer_json(*asked, *answer, say), cover_text(*asked, *answer, say)};
}

// Limits and names as in core/cover; a test compares them.
constexpr std::string_view schema_text = R"({
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "cover: how long it lasts",
  "type": "object",
  "additionalProperties": false,
  "required": ["on", "lines"],
  "$defs": {
    "date": {"type": "string", "format": "date"},
    "expires": {"type": ["string", "null"], "format": "date", "description": "the last day on which it may be used; default: not known"},
    "units": {"type": "number", "minimum": 0, "maximum": 3000, "multipleOf": 0.01},
    "more_than_none": {"type": "number", "exclusiveMinimum": 0, "maximum": 3000, "multipleOf": 0.01},
    "sealed": {"type": "integer", "minimum": 0, "maximum": 1000},
    "lead": {"type": "integer", "minimum": 0, "maximum": 366, "description": "open days from asking to having it in the house"},
    "open": {
      "type": "object",
      "additionalProperties": false,
      "required": ["left_units", "days_in_use"],
      "properties": {
        "left_units": {"$ref": "#/$defs/units"},
        "days_in_use": {"type": "integer", "minimum": 0, "maximum": 4000, "description": "on the first day"},
        "new": {"type": "boolean", "default": false, "description": "not yet primed"},
        "expires": {"$ref": "#/$defs/expires"}
      }
    },
    "line": {
      "type": "object",
      "additionalProperties": false,
      "required": ["insulin", "doses_units", "prime_units", "cartridge_units", "in_use_days"],
      "properties": {
        "insulin": {"type": "string"},
        "doses_units": {"type": "array", "minItems": 1, "maxItems": 24, "items": {"$ref": "#/$defs/more_than_none"}, "description": "of one day, in order"},
        "given_on_first_day": {"type": "integer", "minimum": 0, "default": 0, "description": "so many of the first day's doses are given already"},
        "dose_sd_units": {"$ref": "#/$defs/units", "default": 0, "description": "independent normal doses, rounded to step_units, cut at 0; at most a third of cartridge_units"},
        "step_units": {"$ref": "#/$defs/more_than_none", "default": 1, "description": "of the pen; where it is missing and doses do not vary, 0.5, 0.1 or 0.01 if they need it"},
        "most_units": {"type": ["number", "null"], "exclusiveMinimum": 0, "maximum": 3000, "description": "of one injection: larger doses are divided; default: no dose is"},
        "window": {"enum": ["counts on", "returns to zero"], "default": "returns to zero", "description": "with most_units: whether the prime stays in the window's count"},
        "prime_units": {"$ref": "#/$defs/units", "description": "before each injection; 0: none"},
        "new_cartridge_prime_units": {"$ref": "#/$defs/units", "description": "instead, the first time; default: prime_units"},
        "cartridge_units": {"$ref": "#/$defs/more_than_none", "description": "in a sealed one"},
        "in_use_days": {"type": "integer", "minimum": 1, "maximum": 400, "description": "of the label: it serves while its days are fewer"},
        "suspension": {"type": "boolean", "default": false},
        "least_left_to_mix_units": {"$ref": "#/$defs/units", "default": 0},
        "use_the_rest": {"type": "boolean", "default": false, "description": "a rest is given first, the dose is split"},
        "unopened": {"$ref": "#/$defs/sealed", "default": 0},
        "unopened_lots": {
          "description": "instead of unopened",
          "type": "array",
          "items": {"type": "object", "additionalProperties": false, "required": ["unopened"],
            "properties": {"unopened": {"$ref": "#/$defs/sealed"}, "expires": {"$ref": "#/$defs/expires"}}}
        },
        "open": {"anyOf": [{"$ref": "#/$defs/open"}, {"type": "null"}]},
        "more_open": {"type": "array", "maxItems": 39, "items": {"$ref": "#/$defs/open"}, "description": "with open: those that serve after it, in order"}
      }
    },
    "ask": {
      "type": "object",
      "additionalProperties": false,
      "properties": {
        "lead_days": {"$ref": "#/$defs/lead"},
        "leads": {
          "description": "instead of lead_days: how long it takes how often; the chances add up to 1",
          "type": "array",
          "minItems": 1,
          "maxItems": 12,
          "items": {"type": "object", "additionalProperties": false, "required": ["lead_days", "chance"],
            "properties": {"lead_days": {"$ref": "#/$defs/lead"}, "chance": {"type": "number", "minimum": 0, "maximum": 1}}}
        },
        "service": {"type": "number", "minimum": 0.5, "maximum": 1, "default": 0.99, "description": "below 0.99 only with service_reason and service_by"},
        "service_reason": {"type": "string"},
        "service_by": {"type": "string"},
        "spare_cartridges": {"type": "integer", "minimum": 0, "maximum": 100, "default": 1, "description": "sealed, of each insulin: left alone"},
        "for_days": {"type": "integer", "minimum": 1, "maximum": 1100, "default": 30},
        "cartridges_per_box": {"type": "integer", "minimum": 1, "maximum": 1000, "default": 5},
        "needles_per_box": {"type": "integer", "minimum": 1, "maximum": 1000, "default": 100},
        "closed_dates": {"type": "array", "items": {"$ref": "#/$defs/date"}, "description": "nobody asks and nothing comes"},
        "closed_weekdays": {"type": "array", "items": {"enum": ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]}}
      }
    }
  },
  "properties": {
    "on": {"$ref": "#/$defs/date", "description": "the first day, none of its doses given yet"},
    "lines": {"type": "array", "minItems": 1, "maxItems": 50, "items": {"$ref": "#/$defs/line"}},
    "needles_left": {"type": ["integer", "null"], "minimum": 0, "maximum": 100000},
    "needle_fails": {"type": "number", "minimum": 0, "maximum": 0.5, "default": 0, "description": "share of needles that are used up without a dose"},
    "sharps_room": {"type": ["integer", "null"], "minimum": 0, "maximum": 100000, "description": "needles that fit into the sharps box below its line, three quarters"},
    "ask": {"anyOf": [{"$ref": "#/$defs/ask"}, {"type": "null"}]}
  }
})";

Value parsed(std::string_view text) {
  auto value = json::parse(text);
  INVARIANT(value.has_value());
  return *std::move(value);
}

}  // namespace

Result<CoverRequest> parse_cover_request(const Value& request) {
  CoverRequest out;
  Reader read(request);
  read.need("on", out.request.on);
  if (const auto* lines = read.need_raw("lines")) {
    read_list(read, "lines", *lines,
              [&](const Value& item, std::string_view at) { return read_line(item, at, out); });
  }
  read.may("needles_left", out.request.needles_left);
  may_share(read, "needle_fails", out.request.needle_fails);
  read.may("sharps_room", out.request.sharps_room);
  if (const auto* ask = read.may_raw("ask"); ask && ask->type != json::Type::null) {
    read.keep(read_ask(*ask, read.at("ask"), out));
  }
  if (const auto done = read.done(); !done) return done.error();
  if (out.request.ask) {
    if (const auto is_signed = check_signed(out, "/ask"); !is_signed) return is_signed.error();
  }
  return out;
}

Result<CoverRequest> parse_cover_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_cover_request(*value);
}

json::Value cover_answer_json(const CoverRequest& asked, const cover::Answer& answer,
                              const Say& say) {
  std::vector<Value> lines;
  for (std::size_t i = 0; i < answer.lines.size(); ++i) {
    auto line = json::object({{"insulin", json::string(asked.request.lines[i].insulin)}});
    add_lasts(line, asked, answer.lines[i], Has::cartridges);
    lines.push_back(std::move(line));
  }
  auto out = json::object(
      {{"on", json::string(asked.request.on)}, {"lines", json::array(std::move(lines))}});
  if (answer.needles) {
    auto needles = json::object();
    add_lasts(needles, asked, *answer.needles, Has::needles);
    json::add(out, "needles", std::move(needles));
  }
  if (answer.sharps) {
    auto sharps = json::object();
    add_lasts(sharps, asked, *answer.sharps, Has::no_boxes);
    json::add(out, "sharps", std::move(sharps));
  }
  json::add(out, "ask_by", day_json(answer.ask_by));
  json::add(out, "cautions", cautions_json(asked, answer, say));
  std::string text;
  for (const auto& sentence : cover_supplies_said(asked, answer, say)) {
    text += (text.empty() ? "" : " ") + sentence;
  }
  json::add(out, "text", json::string(text));
  json::add(out, "defer", json::string(say(defer_code, {})));
  return out;
}

std::string cover_text(const CoverRequest& asked, const cover::Answer& answer, const Say& say) {
  std::string text;
  for (const auto& sentence : cover_supplies_said(asked, answer, say)) text += sentence + "\n";
  text += "\n";
  for (const auto& caution : cover_cautions_said(asked, answer, say)) {
    text += "- " + caution.text + "\n";
  }
  if (const auto kept = cover_spare_said(asked, say); !kept.empty()) text += kept + "\n";
  return text + say(defer_code, {}) + "\n";
}

json::Value cover_example() {
  return parsed(R"({"on": "2027-03-01", "lines": [{"insulin": "insulin glargine",
  "doses_units": [20], "dose_sd_units": 0, "prime_units": 2,
  "new_cartridge_prime_units": 4, "cartridge_units": 300, "in_use_days": 28, "unopened": 2,
  "open": {"left_units": 120, "days_in_use": 10}}],
 "needles_left": 60, "ask": {"lead_days": 7, "service": 0.99, "spare_cartridges": 1,
  "for_days": 30, "cartridges_per_box": 5, "needles_per_box": 100}})");
}

json::Value cover_schema() { return parsed(schema_text); }

const Verb cover_verb{"cover",    &cover_example, &cover_schema,
                      &run_cover, TextForm::list, Work::heavy};

}  // namespace penstock::verbs
