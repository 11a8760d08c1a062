#include "edge/verbs/dial/dial.hpp"

#include <algorithm>

namespace penstock::verbs {
namespace {

using json::Reader;
using json::Value;

// ---- the request

Result<void> read_insulin(const Value& value, std::string_view at, dial::Insulin& into) {
  Reader read(value, at);
  read.need("name", into.name);
  read.need("strength_units_per_ml", into.strength);
  read.may("suspension", into.suspension);
  read.may("least_left_to_mix_units", into.least_left_to_mix);
  return read.done();
}

Result<void> read_pen(const Value& value, std::string_view at, dial::Pen& into) {
  Reader read(value, at);
  read.need("step_units", into.step);
  read.need("most_units", into.most);
  read.may("window", into.window);  // missing is a refusal of the plan itself (H01)
  read.may("hold_seconds", into.hold_seconds);
  return read.done();
}

Result<void> read_prime(const Value& value, std::string_view at, dial::Prime& into) {
  Reader read(value, at);
  read.need("units", into.units);
  read.may("new_cartridge_units", into.new_cartridge);
  read.may("spent_units", into.spent);
  read.may("flow_seen", into.flow_seen);
  read.may("dry_primes", into.dry_primes);
  read.may("needle_changed", into.needle_changed);
  return read.done();
}

Result<void> read_cartridge(const Value& value, std::string_view at, dial::Cartridge& into) {
  Reader read(value, at);
  read.need("id", into.id);
  read.need("left_units", into.left);
  read.may("days_in_use", into.days_in_use);
  read.need("in_use_days", into.in_use_days);
  read.may("new", into.is_new);
  return read.done();
}

/// One amount, or a list of them.
Result<void> read_next(const Value& value, std::string_view at, dial::DialRequest& into) {
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
  into.next_doses = std::move(doses);
  return {};
}

Result<void> read_cartridges(const Value& value, std::string_view at, dial::DialRequest& into) {
  if (value.type != json::Type::array) return json::type_error(at, "type.array");
  for (std::size_t i = 0; i < value.members.size(); ++i) {
    dial::Cartridge one;
    const auto read = read_cartridge(value.members[i].value, json::pointer(at, i), one);
    if (!read) return read.error();
    into.cartridges.push_back(std::move(one));
  }
  return {};
}

/// `least_left_to_mix_units` beside the insulin instead of in it; both is the same field twice.
Result<void> read_least(const Value& value, std::string_view at, dial::Insulin& into) {
  if (into.least_left_to_mix) {
    return Error{Kind::invalid_input,
                 std::string(json::codes::duplicate),
                 {arg_text("field", "least_left_to_mix_units")},
                 std::string(at)};
  }
  return json::get(value, at, into.least_left_to_mix);
}

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
void add_details(Value& out, const dial::Action& action, bool primed_here) {
  switch (action.what) {
    case dial::Do::prime:
      json::add(out, "prime_units", json::number(action.primed));
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
  bool primed_here = false;
  for (const auto& action : plan.actions) {
    if (action.what == dial::Do::prime) primed_here = true;
    if (action.what == dial::Do::needle_off) primed_here = false;
    auto out = json::object({{"do", json::string(name_of(action.what))},
                             {"cartridge", json::string(request.cartridges[action.cartridge].id)}});
    add_details(out, action, primed_here);
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

// Limits as in core/dial; a test compares them.
constexpr std::string_view schema_text = R"({
  "$schema": "https://json-schema.org/draft/2020-12/schema",
  "title": "dial: the next injection, action by action",
  "type": "object",
  "additionalProperties": false,
  "required": ["dose_units", "insulin", "pen", "prime", "cartridges"],
  "$defs": {
    "amount": {"type": "number", "minimum": 0, "multipleOf": 0.01},
    "dose": {"type": "number", "exclusiveMinimum": 0, "maximum": 300, "multipleOf": 0.01}
  },
  "properties": {
    "dose_units": {"$ref": "#/$defs/dose", "description": "a whole number of the pen's steps; never rounded"},
    "part_of_units": {"$ref": "#/$defs/dose", "description": "the whole dose, when dose_units is the rest of it"},
    "insulin": {
      "type": "object",
      "additionalProperties": false,
      "required": ["name", "strength_units_per_ml"],
      "properties": {
        "name": {"type": "string", "minLength": 1, "description": "generic name"},
        "strength_units_per_ml": {"type": "integer", "minimum": 1, "maximum": 1000},
        "suspension": {"type": "boolean", "default": false, "description": "cloudy: mixed first, never split"},
        "least_left_to_mix_units": {"$ref": "#/$defs/amount", "description": "a suspension with less left is not begun"}
      }
    },
    "pen": {
      "type": "object",
      "additionalProperties": false,
      "required": ["step_units", "most_units", "window"],
      "properties": {
        "step_units": {"type": "number", "minimum": 0.1, "maximum": 10, "multipleOf": 0.01},
        "most_units": {"type": "number", "exclusiveMinimum": 0, "maximum": 300, "multipleOf": 0.01},
        "window": {"enum": ["counts on", "returns to zero"], "description": "what the window does with units pressed out while priming"},
        "hold_seconds": {"type": "integer", "minimum": 1, "maximum": 60, "default": 10}
      }
    },
    "prime": {
      "type": "object",
      "additionalProperties": false,
      "required": ["units"],
      "properties": {
        "units": {"$ref": "#/$defs/amount", "maximum": 60},
        "new_cartridge_units": {"$ref": "#/$defs/amount", "maximum": 60, "description": "default: as units"},
        "spent_units": {"$ref": "#/$defs/amount", "maximum": 300, "default": 0, "description": "pressed out already through the needle that is on the first cartridge that serves"},
        "flow_seen": {"type": "boolean", "default": false},
        "dry_primes": {"type": "integer", "minimum": 0, "maximum": 100, "default": 0, "description": "whole primes through this needle in which nothing showed"},
        "needle_changed": {"type": "boolean", "default": false, "description": "this needle is already the new one after dry primes"}
      }
    },
    "cartridges": {
      "type": "array",
      "minItems": 1,
      "maxItems": 40,
      "items": {
        "type": "object",
        "additionalProperties": false,
        "required": ["id", "left_units", "in_use_days"],
        "properties": {
          "id": {"type": "string", "minLength": 1, "maxLength": 64},
          "left_units": {"$ref": "#/$defs/amount", "maximum": 1500, "description": "in it now"},
          "days_in_use": {"type": "integer", "minimum": 0, "maximum": 4000, "description": "the day of first use is 0; may be left out when new is true"},
          "in_use_days": {"type": "integer", "minimum": 1, "maximum": 400, "description": "serves while days_in_use is less"},
          "new": {"type": "boolean", "description": "default: days_in_use is 0 and no spent prime is on it"}
        }
      }
    },
    "prefer": {"enum": ["fewest needles", "least waste"], "default": "fewest needles"},
    "split": {"enum": ["as needed", "if short", "never"], "default": "as needed", "description": "whether one dose may come from two cartridges"},
    "next_doses_units": {
      "description": "what comes after this dose; the first decides which rests are kept. Default: this dose again",
      "anyOf": [
        {"$ref": "#/$defs/dose"},
        {"type": "array", "minItems": 1, "maxItems": 100, "items": {"$ref": "#/$defs/dose"}}
      ]
    },
    "least_left_to_mix_units": {"$ref": "#/$defs/amount", "description": "the same as in insulin; in one place only"}
  }
})";

Value parsed(std::string_view text) {
  auto value = json::parse(text);
  INVARIANT(value.has_value());
  return *std::move(value);
}

}  // namespace

Result<dial::DialRequest> parse_dial_request(const Value& request) {
  dial::DialRequest out;
  Reader read(request);
  read.need("dose_units", out.dose);
  read.may("part_of_units", out.part_of);
  if (const auto* insulin = read.need_raw("insulin")) {
    read.keep(read_insulin(*insulin, read.at("insulin"), out.insulin));
  }
  if (const auto* pen = read.need_raw("pen")) read.keep(read_pen(*pen, read.at("pen"), out.pen));
  if (const auto* prime = read.need_raw("prime")) {
    read.keep(read_prime(*prime, read.at("prime"), out.prime));
  }
  if (const auto* cartridges = read.need_raw("cartridges")) {
    read.keep(read_cartridges(*cartridges, read.at("cartridges"), out));
  }
  read.may("prefer", out.prefer);
  read.may("split", out.split);
  if (const auto* next = read.may_raw("next_doses_units")) {
    read.keep(read_next(*next, read.at("next_doses_units"), out));
  }
  if (const auto* least = read.may_raw("least_left_to_mix_units")) {
    read.keep(read_least(*least, read.at("least_left_to_mix_units"), out.insulin));
  }
  if (const auto done = read.done(); !done) return done.error();
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
    case dial::Do::prime:
      args.push_back(arg_units("primed", action.primed));
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
    text += say(after.thrown_away ? "dial.left_after_thrown" : "dial.left_after", args) + "\n";
  }
  text += "\n";
  for (const auto& caution : plan.cautions) text += "- " + say(caution.code, caution.args) + "\n";
  return text;
}

json::Value dial_example() {
  return parsed(R"({"dose_units": 18,
 "insulin": {"name": "insulin glargine", "strength_units_per_ml": 100, "suspension": false},
 "pen": {"step_units": 1, "most_units": 60, "window": "counts on"},
 "prime": {"units": 2, "new_cartridge_units": 4, "spent_units": 3, "flow_seen": true},
 "cartridges": [{"id": "A", "left_units": 247, "days_in_use": 6, "in_use_days": 28}],
 "prefer": "fewest needles"})");
}

json::Value dial_schema() { return parsed(schema_text); }

const Verb dial_verb{"dial", &dial_example, &dial_schema, &run_dial};

}  // namespace penstock::verbs
