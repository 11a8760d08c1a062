#include "edge/verbs/cover/cover.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <optional>
#include <utility>

#include "core/fields/fields.hpp"
#include "core/journal/journal.hpp"
#include "edge/json/lists/lists.hpp"
#include "edge/verbs/cover/internal/words.hpp"

namespace penstock::verbs {
/// Named: whether a list leaves out a member cannot be asked of an optional without linkage.
namespace asked {

inline constexpr cover::Ask usual;

struct Ask {
  std::optional<std::vector<cover::Lead>> leads;
  std::optional<std::int32_t> lead_days;
  double service = cover::service_usual;
  std::string service_reason;
  std::string service_by;
  std::int32_t spare_cartridges = usual.spare_cartridges;
  std::int32_t for_days = usual.for_days;
  std::int32_t cartridges_per_box = usual.cartridges_per_box;
  std::int32_t needles_per_box = usual.needles_per_box;
  std::vector<LocalDay> closed_dates;
  std::vector<journal::Weekday> closed_weekdays;
};
}  // namespace asked

namespace {

using asked::Ask;
using fields::Field;
using fields::Group;
using json::Value;
namespace limits = cover::limits;

// ---- the request

constexpr int share_decimals = 6;
constexpr std::int64_t whole_share = 1'000'000;
constexpr std::int64_t hundredth_share = whole_share / 100;

/// A share or a chance, 0 to 1 and beyond: what it may be is cover's business.
Result<void> read_share(const Value& value, std::string_view at, void* into) {
  const auto read = json::fixed_of(value, share_decimals, at);
  if (!read) return read.error();
  fields::as<double>(into) = static_cast<double>(*read) / 1e6;
  return {};
}
/// Without "multipleOf": a double is written as it comes.
Value share_schema(const Field& field) {
  auto schema = json::typed("number");
  json::add(schema, "minimum", json::fixed(field.hard.least, share_decimals));
  json::add(schema, "maximum", json::fixed(field.hard.most, share_decimals));
  return schema;
}
constexpr fields::Own share{&read_share, &share_schema, share_decimals};

constexpr std::int64_t units_most = limits::units_hundredths.most;
constexpr std::string_view expires_about =
    "the last day on which it may be used; default: not known";
constexpr std::string_view lead_about = "open days from asking to having it in the house";

constexpr Field open_fields[] = {
    FIELD(cover::Open, left, "left_units").bound(limits::units_hundredths),
    FIELD(cover::Open, days_in_use, "days_in_use")
        .bound(limits::days_in_use)
        .about("on the first day"),
    FIELD(cover::Open, is_new, "new").unless_said(false).about("not yet primed"),
    FIELD(cover::Open, expires, "expires").about(expires_about)};
constexpr Group open_list = fields::request<cover::Open>(open_fields);

constexpr Field change_fields[] = {
    FIELD(cover::Change, from, "from"),
    FIELD(cover::Change, doses, "doses_units")
        .above(0, units_most)
        .bound(0, limits::doses_a_day.most)
        .items_bound(0, units_most)
        .stated()
        .about("of one day, in order; none: nothing is taken from then on")};
constexpr Group change_list = fields::request<cover::Change>(change_fields);

constexpr Field lot_fields[] = {
    FIELD(cover::Sealed, cartridges, "unopened").bound(limits::sealed_cartridges),
    FIELD(cover::Sealed, expires, "expires").about(expires_about)};
constexpr Group lot_list = fields::request<cover::Sealed>(lot_fields);

constexpr Field lead_fields[] = {
    FIELD(cover::Lead, days, "lead_days").bound(limits::lead_days).about(lead_about),
    OWN_FIELD(cover::Lead, chance, "chance", share).bound(0, whole_share)};
constexpr Group lead_list = fields::request<cover::Lead>(lead_fields);

/// A list that is there although it is empty stands instead of a single value.
template <class One, const Group* list>
Result<void> read_instead(const Value& value, std::string_view at, void* into) {
  if (value.type != json::Type::array) return json::type_error(at, "type.list");
  auto& all = fields::as<std::optional<std::vector<One>>>(into).emplace();
  for (std::size_t i = 0; i < value.members.size(); ++i) {
    const auto place = json::pointer(at, i);
    const auto read =
        json::ListReader().object(value.members[i].value, place, *list, &all.emplace_back());
    if (!read) return read;
  }
  return {};
}
template <const Group* list>
Value instead_schema(const Field& field) {
  auto schema = json::typed("array");
  json::add(schema, "items", json::ListSchema().object(*list));
  if (field.hard.most != fields::no_most) {
    json::add(schema, "minItems", json::count(field.hard.least));
    json::add(schema, "maxItems", json::count(field.hard.most));
  }
  return schema;
}
constexpr fields::Own lots_instead{&read_instead<cover::Sealed, &lot_list>,
                                   &instead_schema<&lot_list>};
constexpr fields::Own leads_instead{&read_instead<cover::Lead, &lead_list>,
                                    &instead_schema<&lead_list>};

Error missing(std::string_view field) {
  return {Kind::invalid_input,
          std::string(json::codes::field_missing),
          {arg_text("field", field)},
          std::string(field)};
}
/// What stands instead of another leaves no room for it.
Error beside(const Group& list, std::string_view field) {
  std::string allowed;
  for (const auto& one : list.fields) {
    if (one.name != field) allowed += (allowed.empty() ? "" : ", ") + std::string(one.name);
  }
  return {Kind::invalid_input,
          std::string(json::codes::field_unknown),
          {arg_text("field", field), arg_text("allowed", allowed)},
          std::string(field)};
}

struct Line {
  std::string insulin;
  std::vector<Units> doses;
  std::vector<cover::Change> changes;
  std::optional<std::int32_t> given;
  Units dose_sd = Units::zero();
  std::optional<Units> step;
  std::optional<Units> most;
  std::optional<shelf::Window> window;
  Units prime = Units::zero();
  std::optional<Units> new_cartridge_prime;
  Units cartridge = Units::zero();
  std::int32_t in_use_days = 0;
  bool suspension = false;
  Units least_left_to_mix = Units::zero();
  bool use_the_rest = false;
  std::optional<std::vector<cover::Sealed>> lots;
  std::optional<std::int32_t> unopened;
  std::optional<cover::Open> open;
  std::optional<std::vector<cover::Open>> more_open;
};
constexpr fields::Own more_instead{&read_instead<cover::Open, &open_list>,
                                   &instead_schema<&open_list>};
std::optional<Error> judge_line(const void* line);
constexpr Field line_fields[] = {
    FIELD(Line, insulin, "insulin").stated(),
    FIELD(Line, doses, "doses_units")
        .above(0, units_most)  // each of them; then how many
        .bound(limits::doses_a_day)
        .items_bound(0, units_most)
        .stated()
        .about("of one day, in order"),
    FIELD(Line, changes, "changes", &change_list)
        .bound(limits::changes)
        .optional()
        .about("other doses from a day on, until the next change; ascending; one before the first "
               "day holds from the first day on"),
    FIELD(Line, given, "given_on_first_day")
        .bound(0, fields::no_most)
        .unless_said(0)
        .about("so many of the first day's doses are given already"),
    FIELD(Line, dose_sd, "dose_sd_units")
        .bound(limits::units_hundredths)
        .unless_said(0)
        .about("independent normal doses, rounded to step_units, cut at 0; at most a third of "
               "cartridge_units"),
    FIELD(Line, step, "step_units")
        .above(0, units_most)
        .unless_said(100)
        .about("of the pen; where it is missing and doses do not vary, 0.5, 0.1 or 0.01 if they "
               "need it"),
    FIELD(Line, most, "most_units")
        .above(0, units_most)
        .about("of one injection: larger doses are divided; default: no dose is"),
    FIELD(Line, window, "window")
        .unless_said(shelf::Window::returns_to_zero)
        .about("with most_units: whether the prime stays in the window's count"),
    FIELD(Line, prime, "prime_units")
        .bound(limits::units_hundredths)
        .about("before each injection; 0: none"),
    FIELD(Line, new_cartridge_prime, "new_cartridge_prime_units")
        .bound(limits::units_hundredths)
        .about("instead, the first time; default: prime_units"),
    FIELD(Line, cartridge, "cartridge_units").above(0, units_most).about("in a sealed one"),
    FIELD(Line, in_use_days, "in_use_days")
        .bound(limits::in_use_days)
        .about("of the label: it serves while its days are fewer"),
    FIELD(Line, suspension, "suspension").unless_said(false),
    FIELD(Line, least_left_to_mix, "least_left_to_mix_units")
        .bound(limits::units_hundredths)
        .unless_said(0),
    FIELD(Line, use_the_rest, "use_the_rest")
        .unless_said(false)
        .about("a rest is given first, the dose is split"),
    FIELD(Line, unopened, "unopened").bound(limits::sealed_cartridges).unless_said(0).never_null(),
    OWN_FIELD(Line, lots, "unopened_lots", lots_instead)
        .bound(0, fields::no_most)
        .optional()
        .about("instead of unopened"),
    FIELD(Line, open, "open", &open_list),
    OWN_FIELD(Line, more_open, "more_open", more_instead)
        .bound(0, limits::open_cartridges.most - 1)
        .optional()
        .about("with open: those that serve after it, in order")};
constexpr Group line_list = fields::request<Line>(line_fields, judge_line);
std::optional<Error> judge_line(const void* value) {
  const auto& line = fields::as<Line>(value);
  if (line.lots && line.unopened) return beside(line_list, "unopened");
  if (line.more_open && !line.open) return missing("open");
  return std::nullopt;
}

std::optional<Error> judge_ask(const void* ask);
constexpr Field ask_fields[] = {
    FIELD(Ask, lead_days, "lead_days").bound(limits::lead_days).never_null().about(lead_about),
    OWN_FIELD(Ask, leads, "leads", leads_instead)
        .bound(limits::leads)
        .optional()
        .about("instead of lead_days: how long it takes how often; the chances add up to 1"),
    OWN_FIELD(Ask, service, "service", share)
        .bound(limits::service_percent.least* hundredth_share,
               limits::service_percent.most* hundredth_share)
        .unless_said(static_cast<std::int64_t>(cover::service_usual* whole_share))
        .about("below 0.99 only with service_reason and service_by"),
    FIELD(Ask, service_reason, "service_reason"),
    FIELD(Ask, service_by, "service_by"),
    FIELD(Ask, spare_cartridges, "spare_cartridges")
        .bound(limits::spare_cartridges)
        .unless_said(asked::usual.spare_cartridges)
        .about("sealed, of each insulin: left alone"),
    FIELD(Ask, for_days, "for_days").bound(limits::for_days).unless_said(asked::usual.for_days),
    FIELD(Ask, cartridges_per_box, "cartridges_per_box")
        .bound(limits::per_box)
        .unless_said(asked::usual.cartridges_per_box),
    FIELD(Ask, needles_per_box, "needles_per_box")
        .bound(limits::per_box)
        .unless_said(asked::usual.needles_per_box),
    FIELD(Ask, closed_dates, "closed_dates").about("nobody asks and nothing comes"),
    FIELD(Ask, closed_weekdays, "closed_weekdays")};
constexpr Group ask_list = fields::request<Ask>(ask_fields, judge_ask);
std::optional<Error> judge_ask(const void* value) {
  const auto& ask = fields::as<Ask>(value);
  if (ask.leads && ask.lead_days) return beside(ask_list, "lead_days");
  if (!ask.leads && !ask.lead_days) return missing("lead_days");
  return std::nullopt;
}

struct Asked {
  LocalDay on{};
  std::vector<Line> lines;
  std::optional<std::int32_t> needles_left;
  double needle_fails = 0;
  std::optional<std::int32_t> sharps_room;
  std::optional<Ask> ask;
};
constexpr Field asked_fields[] = {
    FIELD(Asked, on, "on").about("the first day, none of its doses given yet"),
    FIELD(Asked, lines, "lines", &line_list).bound(limits::lines).stated(),
    FIELD(Asked, needles_left, "needles_left").bound(limits::needles),
    OWN_FIELD(Asked, needle_fails, "needle_fails", share)
        .bound(limits::needle_fails_percent.least* hundredth_share,
               limits::needle_fails_percent.most* hundredth_share)
        .unless_said(0)
        .about("share of needles that are used up without a dose"),
    FIELD(Asked, sharps_room, "sharps_room")
        .bound(limits::needles)
        .about("needles that fit into the sharps box below its line, three quarters"),
    FIELD(Asked, ask, "ask", &ask_list)};
constexpr Group asked_list = fields::request<Asked>(asked_fields);

/// The step of a pen that nobody named, of doses that do not vary.
Units step_for(const cover::Line& line) {
  const auto fits = [&](Units step) {
    const auto fit = [&](const std::vector<Units>& doses) {
      return std::ranges::all_of(doses, [&](Units dose) { return is_multiple(dose, step); });
    };
    return is_multiple(line.prime, step) && is_multiple(line.new_cartridge_prime, step) &&
           fit(line.doses) && std::ranges::all_of(line.changes, fit, &cover::Change::doses);
  };
  for (const std::int64_t hundredths : {100, 50, 10}) {
    const auto step = *Units::from_hundredths(hundredths);
    if (fits(step)) return step;
  }
  return *Units::from_hundredths(1);
}

void put_line(Line& asked, CoverRequest& into) {
  cover::Line line;
  line.insulin = std::move(asked.insulin);
  line.doses = std::move(asked.doses);
  line.changes = std::move(asked.changes);
  // A negative count is out of range like one that is too large.
  const auto given = asked.given.value_or(0);
  line.given_on_first_day =
      given < 0 ? limits::doses_a_day.most + 1 : static_cast<std::size_t>(given);
  line.dose_sd = asked.dose_sd;
  line.most = asked.most;
  line.prime = asked.prime;
  line.new_cartridge_prime = asked.new_cartridge_prime.value_or(asked.prime);
  line.cartridge = asked.cartridge;
  line.in_use_days = asked.in_use_days;
  line.suspension = asked.suspension;
  line.least_left_to_mix = asked.least_left_to_mix;
  line.use_the_rest = asked.use_the_rest;
  if (asked.lots) line.sealed = std::move(*asked.lots);
  if (asked.unopened.value_or(0) != 0) line.sealed.push_back({*asked.unopened, std::nullopt});
  if (asked.open) line.open.push_back(*asked.open);
  if (asked.more_open) {
    line.open.insert(line.open.end(), asked.more_open->begin(), asked.more_open->end());
  }
  if (asked.step) {
    line.step = *asked.step;
  } else if (line.dose_sd.is_zero()) {
    line.step = step_for(line);
  }
  line.window = asked.window.value_or(line.window);
  if (line.most && !asked.window) into.window_assumed.push_back(line.insulin);
  into.request.lines.push_back(std::move(line));
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

void put_ask(Ask& asked, CoverRequest& into) {
  cover::Ask ask;
  if (asked.leads) {
    ask.leads = std::move(*asked.leads);
  } else {
    ask.leads.emplace_back();
    ask.leads.back().days = *asked.lead_days;
  }
  ask.service = asked.service;
  into.service_reason = std::move(asked.service_reason);
  into.service_by = std::move(asked.service_by);
  ask.spare_cartridges = asked.spare_cartridges;
  ask.for_days = asked.for_days;
  ask.cartridges_per_box = asked.cartridges_per_box;
  ask.needles_per_box = asked.needles_per_box;
  ask.closed = std::move(asked.closed_dates);
  close_weekdays(asked.closed_weekdays, into.request.on, ask.closed);
  std::ranges::sort(ask.closed);
  into.request.ask = std::move(ask);
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

}  // namespace

Result<CoverRequest> parse_cover_request(const Value& request) {
  Asked asked;
  if (const auto read = json::ListReader().object(request, "", asked_list, &asked); !read) {
    return read.error();
  }
  CoverRequest out;
  out.request.on = asked.on;
  for (auto& line : asked.lines) put_line(line, out);
  out.request.needles_left = asked.needles_left;
  out.request.needle_fails = asked.needle_fails;
  out.request.sharps_room = asked.sharps_room;
  if (asked.ask) put_ask(*asked.ask, out);
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
  return example_of(R"({"on": "2027-03-01", "lines": [{"insulin": "insulin glargine",
  "doses_units": [20], "dose_sd_units": 0, "prime_units": 2,
  "new_cartridge_prime_units": 4, "cartridge_units": 300, "in_use_days": 28, "unopened": 2,
  "open": {"left_units": 120, "days_in_use": 10}}],
 "needles_left": 60, "ask": {"lead_days": 7, "service": 0.99, "spare_cartridges": 1,
  "for_days": 30, "cartridges_per_box": 5, "needles_per_box": 100}})");
}

json::Value cover_schema() {
  return json::headed("cover: how long it lasts", json::ListSchema().object(asked_list));
}

const Verb cover_verb{"cover",    &cover_example, &cover_schema,
                      &run_cover, TextForm::list, Work::heavy};

}  // namespace penstock::verbs
