#include "edge/verbs/dial/dial.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "core/fields/fields.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using fields::Field;
using fields::Group;
using json::Value;

// ---- the request

/// One amount, or a list of them.
Result<void> read_next(const Value& value, std::string_view at, void* into) {
  std::vector<Units> doses;
  if (value.type != json::Type::array) {
    const auto dose = json::units_of(value, at);
    if (!dose) return dose.error();
    doses.push_back(*dose);
  }
  for (std::size_t i = 0; value.type == json::Type::array && i < value.members.size(); ++i) {
    const auto dose = json::units_of(value.members[i].value, json::pointer(at, i));
    if (!dose) return dose.error();
    doses.push_back(*dose);
  }
  fields::as<std::optional<std::vector<Units>>>(into) = std::move(doses);
  return {};
}
Value next_schema(const Field& field) {
  auto many = json::object({{"type", json::string("array")}, {"items", json::own_number(field)}});
  json::add(many, "minItems", json::count(1));
  json::add(many, "maxItems", json::count(dial::next_doses_max));
  return json::any_of(json::own_number(field), std::move(many));
}

/// `least_left_to_mix_units` beside the insulin instead of in it; both is the same field twice.
Result<void> read_least(const Value& value, std::string_view at, void* into) {
  auto& insulin = fields::as<dial::Insulin>(into);
  if (insulin.least_left_to_mix) {
    return Error{Kind::invalid_input,
                 std::string(json::codes::duplicate),
                 {arg_text("field", "least_left_to_mix_units")},
                 std::string(at)};
  }
  return json::get(value, at, insulin.least_left_to_mix);
}

constexpr fields::Own next_doses{&read_next, &next_schema, 2};
constexpr fields::Own least_beside{&read_least, &json::own_number, 2};

constexpr Field insulin_fields[] = {
    FIELD(dial::Insulin, name, "name").stated().bound(1, fields::no_most).about("generic name"),
    FIELD(dial::Insulin, strength, "strength_units_per_ml").bound(1, dial::strength_max),
    FIELD(dial::Insulin, suspension, "suspension")
        .unless_said(false)
        .about("cloudy: mixed first, never split"),
    FIELD(dial::Insulin, least_left_to_mix, "least_left_to_mix_units")
        .bound(0, fields::no_most)
        .about("a suspension with less left is not begun")};
constexpr Group insulin_list = fields::request<dial::Insulin>(insulin_fields);

constexpr Field pen_fields[] = {
    FIELD(dial::Pen, step, "step_units").bound(dial::step_least, dial::step_max),
    FIELD(dial::Pen, most, "most_units").above(0, dial::most_max),
    FIELD(dial::Pen, window, "window")  // missing is a refusal of the plan itself (H01)
        .needed()
        .about("what the window does with units pressed out while priming"),
    FIELD(dial::Pen, hold_seconds, "hold_seconds")
        .bound(1, dial::hold_seconds_max)
        .unless_said(dial::Pen{}.hold_seconds)};
constexpr Group pen_list = fields::request<dial::Pen>(pen_fields);

constexpr Field prime_fields[] = {
    FIELD(dial::Prime, units, "units").bound(0, dial::prime_max),
    FIELD(dial::Prime, new_cartridge, "new_cartridge_units")
        .bound(0, dial::prime_max)
        .about("default: as units"),
    FIELD(dial::Prime, spent, "spent_units")
        .bound(0, dial::spent_max)
        .unless_said(0)
        .about("pressed out already through the needle that is on the first cartridge that serves"),
    FIELD(dial::Prime, through_needle, "through_needle_units")
        .bound(0, dial::spent_max)
        .about("of spent_units, what went through the needle that is on; default: all, none where "
               "the needle was changed"),
    FIELD(dial::Prime, needle_on, "needle_on")
        .about("default: whether anything was pressed out, or seen, through it"),
    FIELD(dial::Prime, flow_seen, "flow_seen").unless_said(false),
    FIELD(dial::Prime, dry_primes, "dry_primes")
        .bound(0, dial::dry_primes_max)
        .unless_said(0)
        .about("whole primes through this needle in which nothing showed"),
    FIELD(dial::Prime, needle_changed, "needle_changed")
        .unless_said(false)
        .about("this needle is already the new one after dry primes")};
constexpr Group prime_list = fields::request<dial::Prime>(prime_fields);

constexpr Field cartridge_fields[] = {
    FIELD(dial::Cartridge, id, "id").stated().bound(1, dial::id_bytes_max),
    FIELD(dial::Cartridge, left, "left_units").bound(0, dial::left_max).about("in it now"),
    FIELD(dial::Cartridge, days_in_use, "days_in_use")
        .bound(0, dial::days_in_use_max)
        .about("the day of first use is 0; may be left out when new is true"),
    FIELD(dial::Cartridge, in_use_days, "in_use_days")
        .bound(1, dial::in_use_days_max)
        .about("serves while days_in_use is less"),
    FIELD(dial::Cartridge, is_new, "new")
        .about("default: days_in_use is 0 and no spent prime is on it")};
constexpr Group cartridge_list = fields::request<dial::Cartridge>(cartridge_fields);

constexpr Field request_fields[] = {
    FIELD(dial::DialRequest, dose, "dose_units")
        .above(0, dial::dose_max)
        .about("a whole number of the pen's steps; never rounded"),
    FIELD(dial::DialRequest, part_of, "part_of_units")
        .above(0, dial::dose_max)
        .about("the whole dose, when dose_units is the rest of it"),
    FIELD(dial::DialRequest, insulin, "insulin", &insulin_list),
    FIELD(dial::DialRequest, pen, "pen", &pen_list),
    FIELD(dial::DialRequest, prime, "prime", &prime_list),
    FIELD(dial::DialRequest, cartridges, "cartridges", &cartridge_list)
        .bound(1, draw::cartridges_max)
        .stated(),
    FIELD(dial::DialRequest, prefer, "prefer").unless_said(draw::Prefer::fewest_needles),
    FIELD(dial::DialRequest, split, "split")
        .unless_said(draw::Split::as_needed)
        .about("whether one dose may come from two cartridges"),
    FIELD(dial::DialRequest, keep_in_pen, "keep_in_pen")
        .unless_said(false)
        .about("the first cartridge that may serve stays while it gives the whole dose in as few "
               "injections as any"),
    OWN_FIELD(dial::DialRequest, next_doses, "next_doses_units", next_doses)
        .above(0, dial::dose_max)
        .optional()
        .about("what comes after this dose; the first decides which rests are kept. Default: this "
               "dose again"),
    OWN_FIELD(dial::DialRequest, insulin, "least_left_to_mix_units", least_beside)
        .bound(0, fields::no_most)
        .optional()
        .about("the same as in insulin; in one place only")};
constexpr Group request_list = fields::request<dial::DialRequest, 1>(request_fields);

// ---- the answer

std::string_view name_of(dial::Do what) { return dial::do_names[static_cast<std::size_t>(what)]; }

Value rows_json(const std::vector<dial::WindowRow>& rows) {
  std::vector<Value> items;
  for (const auto& row : rows) {
    items.push_back(json::object(
        {{"primed_units", json::number(row.primed)}, {"window_units", json::number(row.window)}}));
  }
  return json::array(std::move(items));
}

/// What only some kinds of action carry.
void add_details(Value& out, const dial::Action& action, bool primed_here, bool counts_on) {
  switch (action.what) {
    case dial::Do::prime:
      json::add(out, "prime_units", json::number(action.primed));
      if (counts_on) json::add(out, "window_before_units", json::number(action.window));
      break;
    case dial::Do::dial:
      json::add(out, "dose_units", json::number(action.dose));
      json::add(out, "window_units", json::number(action.window));
      if (action.part_of) json::add(out, "part_of_units", json::number(*action.part_of));
      json::add(out, "flow_seen", json::boolean(!primed_here));
      if (!action.window_by_prime.empty()) {
        json::add(out, "window_by_prime", rows_json(action.window_by_prime));
      }
      break;
    case dial::Do::inject:
      json::add(out, "dose_units", json::number(action.dose));
      json::add(out, "hold_seconds", json::count(action.hold_seconds));
      break;
    case dial::Do::check_window_at_0:
    case dial::Do::check_window:
      json::add(out, "window_units", json::number(action.window));
      break;
    case dial::Do::throw_away:
      json::add(out, "thrown_away_units", json::number(action.left));
      return;
    default:
      break;
  }
  json::add(out, "left_units", json::number(action.left));
}

Value actions_json(const dial::DialRequest& request, const dial::DialPlan& plan, const Say& say) {
  std::vector<Value> items;
  const bool counts_on = request.pen.window == shelf::Window::counts_on;
  bool primed_here = false;
  for (const auto& action : plan.actions) {
    if (action.what == dial::Do::prime) primed_here = true;
    if (action.what == dial::Do::needle_off) primed_here = false;
    auto out = json::object({{"do", json::string(name_of(action.what))},
                             {"cartridge", json::string(request.cartridges[action.cartridge].id)}});
    add_details(out, action, primed_here, counts_on);
    const auto [code, args] = dial_action_said(request, action);
    json::add(out, "text", json::string(say(code, args)));
    items.push_back(std::move(out));
  }
  return json::array(std::move(items));
}

Value cautions_json(const dial::DialPlan& plan, const Say& say) {
  std::vector<Value> items;
  for (const auto& caution : plan.cautions) {
    items.push_back(json::object({{"code", json::string(caution.code)},
                                  {"text", json::string(say(caution.code, caution.args))}}));
  }
  return json::array(std::move(items));
}

Value left_json(const dial::DialPlan& plan) {
  std::vector<Value> items;
  for (const auto& after : plan.left_after) {
    items.push_back(
        json::object({{"id", json::string(after.id)}, {"left_units", json::number(after.left)}}));
  }
  return json::array(std::move(items));
}

constexpr std::string_view ask_code = "dial.ask.taken_already";

Result<Answer> run_dial(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto request = parse_dial_request(value);
  if (!request) return request.error();
  const auto plan = dial::plan(*request);
  if (!plan) return plan.error();
  return Answer{dial_answer_json(*request, *plan, say), dial_text(*request, *plan, say)};
}

}  // namespace

Result<dial::DialRequest> parse_dial_request(const Value& request) {
  dial::DialRequest out;
  if (const auto read = json::ListReader().object(request, "", request_list, &out); !read) {
    return read.error();
  }
  return out;
}

Result<dial::DialRequest> parse_dial_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_dial_request(*value);
}

std::pair<std::string, std::vector<Arg>> dial_action_said(const dial::DialRequest& request,
                                                          const dial::Action& action) {
  std::string key = "dial.do." + std::string(name_of(action.what));
  std::replace(key.begin(), key.end(), ' ', '_');
  std::vector<Arg> args{arg_text("cartridge", request.cartridges[action.cartridge].id),
                        arg_units("left", action.left)};
  switch (action.what) {
    case dial::Do::mix:
      args.push_back(arg_count("rolls", dial::mix_rolls));
      args.push_back(arg_count("tips", dial::mix_tips));
      break;
    case dial::Do::prime:
      args.push_back(arg_units("primed", action.primed));
      if (request.pen.window == shelf::Window::counts_on) {
        key = action.window.is_zero() ? "dial.do.prime_from_zero" : "dial.do.prime_on";
        args.push_back(arg_units("window", action.window));
      }
      break;
    case dial::Do::dial:
      args.push_back(arg_units("dose", action.dose));
      args.push_back(arg_units("window", action.window));
      if (action.part_of) {
        key = "dial.do.dial_part";
        args.push_back(arg_units("of", *action.part_of));
      }
      break;
    case dial::Do::inject:
      args.push_back(arg_units("dose", action.dose));
      args.push_back(arg_count("seconds", action.hold_seconds));
      break;
    case dial::Do::check_window_at_0:
      key = "dial.do.check_window_at_zero";  // no digit in a key: the catalogue is checked for them
      break;
    case dial::Do::check_window:
      args.push_back(arg_units("window", action.window));
      break;
    case dial::Do::look_at_insulin:
      args.push_back(arg_text("insulin", request.insulin.name));
      args.push_back(arg_strength("strength", request.insulin.strength));
      if (request.insulin.suspension) key = "dial.do.look_at_insulin_cloudy";
      break;
    case dial::Do::throw_away:
      if (action.left.is_zero()) key = "dial.do.throw_away_empty";
      if (action.keep_until_next) key = "dial.do.throw_away_later";
      break;
    default:
      break;
  }
  return {std::move(key), std::move(args)};
}

json::Value dial_answer_json(const dial::DialRequest& request, const dial::DialPlan& plan,
                             const Say& say) {
  auto ask = json::object({{"code", json::string(dial::DialPlan::ask_first)},
                           {"text", json::string(say(ask_code, {}))}});
  auto out = json::object({{"ask_first", std::move(ask)},
                           {"actions", actions_json(request, plan, say)},
                           {"given_units", json::number(plan.given)},
                           {"needles", json::count(plan.needles)},
                           {"primed_units", json::number(plan.primed)},
                           {"thrown_away_units", json::number(plan.thrown_away)},
                           {"left_after", left_json(plan)}});
  // The table of the first injection stands in the result, too: it is what a sheet prints.
  const auto first = std::ranges::find(plan.actions, dial::Do::dial, &dial::Action::what);
  if (first != plan.actions.end() && !first->window_by_prime.empty()) {
    json::add(out, "window_by_prime", rows_json(first->window_by_prime));
  }
  json::add(out, "cautions", cautions_json(plan, say));
  return out;
}

std::string dial_text(const dial::DialRequest& request, const dial::DialPlan& plan,
                      const Say& say) {
  std::string text = say(ask_code, {}) + "\n\n";
  int line = 0;
  for (const auto& action : plan.actions) {
    const auto [code, args] = dial_action_said(request, action);
    const std::string number = std::to_string(++line);
    text += (number.size() < 2 ? " " : "") + number + "  " + say(code, args) + "\n";
    for (const auto& row : action.window_by_prime) {
      const std::vector<Arg> cells{arg_units("primed", row.primed),
                                   arg_units("window", row.window)};
      text += "      " + say("dial.window_row", cells) + "\n";
    }
  }
  text += "\n";
  for (const auto& after : plan.left_after) {
    const std::vector<Arg> args{arg_text("cartridge", after.id), arg_units("left", after.left)};
    const auto is_kept = [&](const dial::Action& action) {
      return action.keep_until_next && request.cartridges[action.cartridge].id == after.id;
    };
    const auto* key = std::ranges::any_of(plan.actions, is_kept) ? "dial.left_after_kept"
                      : after.thrown_away                        ? "dial.left_after_thrown"
                                                                 : "dial.left_after";
    text += say(key, args) + "\n";
  }
  text += "\n";
  for (const auto& caution : plan.cautions) text += "- " + say(caution.code, caution.args) + "\n";
  return text;
}

json::Value dial_example() {
  return example_of(R"({"dose_units": 18,
 "insulin": {"name": "insulin glargine", "strength_units_per_ml": 100, "suspension": false},
 "pen": {"step_units": 1, "most_units": 60, "window": "counts on"},
 "prime": {"units": 2, "new_cartridge_units": 4, "spent_units": 3, "flow_seen": true},
 "cartridges": [{"id": "A", "left_units": 247, "days_in_use": 6, "in_use_days": 28}],
 "prefer": "fewest needles"})");
}

json::Value dial_schema() {
  return json::headed("dial: the next injection, action by action",
                      json::ListSchema().object(request_list));
}

const Verb dial_verb{"dial", &dial_example, &dial_schema, &run_dial};

}  // namespace penstock::verbs
