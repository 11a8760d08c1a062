#include "edge/verbs/travel/travel.hpp"

#include "core/fields/fields.hpp"
#include "edge/json/lists/lists.hpp"

namespace penstock::verbs {
namespace {

using fields::Field;
using fields::Group;
using json::Value;
using travel::Travel;
using namespace literals;
namespace limits = travel::limits;

constexpr std::string_view defer_code = "travel.defer";

template <class E>
std::string_view name_of(E one) {
  return names_of(one)[static_cast<std::size_t>(one)];
}

// ---- the request

constexpr Field line_fields[] = {
    FIELD(travel::Line, insulin, "insulin").stated().about("generic name"),
    FIELD(travel::Line, purpose, "purpose"),
    FIELD(travel::Line, a_day, "units_a_day")
        .above(0, limits::units_most)
        .about("all its doses of a day"),
    FIELD(travel::Line, primes_a_day, "prime_units_a_day")
        .bound(0, limits::units_most)
        .unless_said(0),
    FIELD(travel::Line, new_cartridge_prime, "new_cartridge_prime_units")
        .bound(0, limits::units_most)
        .unless_said(0),
    FIELD(travel::Line, cartridge, "cartridge_units").above(0, limits::units_most),
    FIELD(travel::Line, in_use_days, "in_use_days").bound(limits::in_use_days),
    FIELD(travel::Line, doses_a_day, "doses_a_day").bound(limits::doses_a_day).unless_said(1),
    FIELD(travel::Line, step, "step_units").bound(0, limits::units_most).unless_said(1_units),
    FIELD(travel::Line, limit, "in_use_most_celsius")
        .bound(limits::limit_tenths)
        .about("the label's limit for use; without it the strictest of the labels")};
constexpr Group line_list = fields::request<travel::Line>(line_fields);

constexpr Field request_fields[] = {
    FIELD(travel::Request, leaves, "leaves").about("the local date at home"),
    FIELD(travel::Request, returns, "returns")
        .about("the local date at home; both ends are counted, at most 366 days"),
    FIELD(travel::Request, shift_minutes, "shift_minutes")
        .bound(limits::shift_minutes)
        .in_steps_of(limits::shift_step_minutes)
        .unless_said(0)
        .about("how far clocks there are ahead of those at home; east above zero"),
    FIELD(travel::Request, return_shift_minutes, "return_shift_minutes")
        .bound(limits::shift_minutes)
        .in_steps_of(limits::shift_step_minutes)
        .about("the same on the day of return, where summer time has begun or ended between; "
               "default: as shift_minutes"),
    FIELD(travel::Request, home_offset_minutes, "home_utc_offset_minutes")
        .bound(limits::offset_minutes)
        .about("of the clocks at home on the day of leaving; with the other one the shift is held "
               "against both"),
    FIELD(travel::Request, there_offset_minutes, "there_utc_offset_minutes")
        .bound(limits::offset_minutes)
        .about("the same where they go"),
    FIELD(travel::Request, warmest, "warmest_celsius").bound(limits::celsius_tenths),
    FIELD(travel::Request, pharmacy, "pharmacy")
        .unless_said(travel::YesNo::unknown)
        .about("one that has these insulins, where they go"),
    FIELD(travel::Request, lines, "lines", &line_list).bound(limits::lines).stated(),
    FIELD(travel::Request, needles_a_day, "needles_a_day")
        .bound(limits::needles_a_day)
        .unless_said(0)};
constexpr Group request_list = fields::request<travel::Request>(request_fields);

// ---- the answer

Value carry_json(const travel::Carry& carry, const Say& say) {
  return json::object({{"insulin", json::string(carry.insulin)},
                       {"purpose", json::string(name_of(carry.purpose))},
                       {"units_for_days", json::number(carry.for_days)},
                       {"cartridges_for_days", json::count(carry.cartridges_for_days)},
                       {"cartridges", json::count(carry.cartridges)},
                       {"in_each_bag", json::count(carry.in_each_bag)},
                       {"pens", json::count(carry.pens)},
                       {"cooled", json::boolean(carry.cooled)},
                       {"text", json::string(said(travel_carry_said(carry), say))}});
}

Value option_json(const travel::Option& option, const Say& say) {
  std::vector<Value> units, steps;
  for (const auto amount : option.units) units.push_back(json::fixed(amount.millionths, 6));
  for (const auto amount : option.in_steps) steps.push_back(json::number(amount));
  return json::object({{"source", json::string(option.source)},
                       {"known", json::string(option.known)},
                       {"says", json::string(name_of(option.says))},
                       {"asked_about_units", json::array(std::move(units))},
                       {"asked_about_in_steps_units", json::array(std::move(steps))},
                       {"text", json::string(said(travel_option_said(option), say))}});
}

Value question_json(const travel::Request& request, const travel::Question& question,
                    const Say& say) {
  std::vector<Value> options;
  for (const auto& option : question.options) options.push_back(option_json(option, say));
  return json::object({{"insulin", json::string(request.lines[question.line].insulin)},
                       {"way", json::string(name_of(question.way))},
                       {"clock_shift_minutes", json::count(question.shift_minutes)},
                       {"direction", json::string(name_of(question.direction))},
                       {"text", json::string(said(travel_question_said(request, question), say))},
                       {"options", json::array(std::move(options))},
                       {"sources_differ", json::boolean(question.sources_differ)}});
}

Value bags_json(const Travel& found, const Say& say) {
  std::vector<Value> items;
  for (std::int32_t bag = 0; bag < travel::bags; ++bag) {
    std::vector<Value> things;
    for (const auto& thing : travel_bag_said(found, bag)) {
      things.push_back(json::string(said(thing, say)));
    }
    items.push_back(
        json::object({{"bag", json::count(bag + 1)}, {"holds", json::array(std::move(things))}}));
  }
  return json::array(std::move(items));
}

Result<Answer> run_travel(const Value& value, const Say& say, const Stopped& /*stopped*/) {
  const auto request = parse_travel_request(value);
  if (!request) return request.error();
  const auto found = travel::travel(*request);
  if (!found) return found.error();
  return Answer{travel_answer_json(*request, *found, say), travel_text(*request, *found, say)};
}

}  // namespace

Result<travel::Request> parse_travel_request(const Value& request) {
  travel::Request out;
  if (const auto read = json::ListReader().object(request, "", request_list, &out); !read) {
    return read.error();
  }
  return out;
}

Result<travel::Request> parse_travel_request(std::string_view text) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return parse_travel_request(*value);
}

json::Value travel_answer_json(const travel::Request& request, const Travel& found,
                               const Say& say) {
  auto out = json::object({{"days", json::count(found.days)},
                           {"clock_shift_minutes", json::count(found.shift_minutes)},
                           {"clock_shift_back_minutes", json::count(found.back_shift_minutes)},
                           {"date_line", json::boolean(found.date_line)}});
  std::vector<Value> carry, questions;
  std::string text = said(travel_lead(request, found), say);
  for (const auto& one : found.carry) {
    carry.push_back(carry_json(one, say));
    text += " " + said(travel_carry_said(one), say);
  }
  json::add(out, "carry", json::array(std::move(carry)));
  json::add(out, "needles",
            json::object({{"for_days", json::count(found.needles.for_days)},
                          {"needles", json::count(found.needles.carried)},
                          {"in_each_bag", json::count(found.needles.in_each_bag)}}));
  json::add(out, "bags", bags_json(found, say));
  json::add(out, "cooling", json::boolean(found.cooling));
  for (const auto& question : found.questions) {
    questions.push_back(question_json(request, question, say));
    text += " " + said(travel_question_said(request, question), say);
  }
  json::add(out, "questions", json::array(std::move(questions)));
  json::add(out, "cautions", cautions_of(travel_cautions_said(found), say));
  json::add(out, "text", json::string(text));
  json::add(out, "source", json::string(travel_source()));
  json::add(out, "defer", json::string(say(defer_code, {})));
  return out;
}

std::string travel_text(const travel::Request& request, const Travel& found, const Say& say) {
  std::string text = said(travel_lead(request, found), say) + "\n";
  for (const auto& carry : found.carry) text += said(travel_carry_said(carry), say) + "\n";
  if (found.needles.for_days > 0) text += said(travel_needles_said(found.needles), say) + "\n";
  for (std::int32_t bag = 0; bag < travel::bags; ++bag) {
    text += "\n" + say(bag == 0 ? "travel.bag.one" : "travel.bag.two", {}) + "\n";
    for (const auto& thing : travel_bag_said(found, bag)) text += "  " + said(thing, say) + "\n";
  }
  if (!found.questions.empty()) text += "\n" + say("travel.question.head", {}) + "\n";
  for (const auto& question : found.questions) {
    text += said(travel_question_said(request, question), say) + "\n";
    for (const auto& option : question.options) {
      text += "  " + said(travel_option_said(option), say) + "\n";
    }
  }
  text += "\n";
  for (const auto& caution : travel_cautions_said(found)) {
    text += "- " + said(caution.sentence, say) + "\n";
  }
  return text + std::string(travel_source()) + ".\n" + say(defer_code, {}) + "\n";
}

json::Value travel_example() {
  return example_of(R"({"leaves": "2027-03-20", "returns": "2027-04-02", "shift_minutes": 540,
  "warmest_celsius": 34, "pharmacy": "no",
  "lines": [{"insulin": "insulin glargine", "purpose": "background", "units_a_day": 20,
             "prime_units_a_day": 2, "new_cartridge_prime_units": 2, "cartridge_units": 300,
             "in_use_days": 28, "doses_a_day": 1, "step_units": 1, "in_use_most_celsius": 30},
            {"insulin": "insulin lispro", "purpose": "mealtime", "units_a_day": 24,
             "prime_units_a_day": 6, "new_cartridge_prime_units": 2, "cartridge_units": 300,
             "in_use_days": 28, "doses_a_day": 3, "step_units": 1, "in_use_most_celsius": 30}],
  "needles_a_day": 4})");
}

json::Value travel_schema() {
  return json::headed("travel: what to carry, and what to ask before leaving",
                      json::ListSchema().object(request_list));
}

const Verb travel_verb{"travel", &travel_example, &travel_schema, &run_travel, TextForm::prose};

}  // namespace penstock::verbs
