// The phone desk: a dial plan while somebody is on the line, with or without a person; and what was
// said, to be heard back.
#include "edge/pages/phone/phone.hpp"

#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

constexpr std::int64_t unopened_max = 30;  // what one home keeps of one insulin

constexpr std::array<std::string_view, 3> prime_words{"not yet", "seen", "not seen"};

// The form sends texts as they were typed: amounts are read from them (H25).
Result<void> amount(json::Reader& reader, std::string_view field, Units& into) {
  std::string typed;
  reader.may(field, typed);
  if (reader.failed() || typed.empty()) return {};
  const auto read = parse_units(typed);
  if (!read) return located(read.error(), json::pointer("", field));
  into = *read;
  return {};
}

Result<void> whole(json::Reader& reader, std::string_view field, std::int64_t most,
                   std::int64_t& into) {
  std::string typed;
  reader.may(field, typed);
  if (reader.failed() || typed.empty()) return {};
  const auto read = parse_fixed(typed, 0);
  if (!read) return located(read.error(), json::pointer("", field));
  if (*read < 0 || *read > most) {
    return Error{Kind::invalid_input,
                 std::string(json::codes::field_range),
                 {arg_text("field", field), arg_count("least", 0), arg_count("most", most)},
                 json::pointer("", field)};
  }
  into = *read;
  return {};
}

Error not_on_shelf(std::string_view field, std::string_view what) {
  return {Kind::invalid_input,
          std::string(wire::codes::shelf_code_unknown),
          {arg_text("text", what)},
          json::pointer("", field)};
}

// The smallest container of the insulin that was made for the pen: over the telephone nobody reads
// its size (H02), and without one there is no plan (H42).
const shelf::Cartridge* container_for(const shelf::Shelf& shelf, const shelf::Pen& pen,
                                      std::string_view insulin) {
  const shelf::Cartridge* smallest = nullptr;
  for (const auto& entry : shelf.cartridges) {
    if (entry.thing.insulin != insulin || !shelf::fits(pen, entry.thing)) continue;
    if (smallest == nullptr || entry.thing.content < smallest->content) smallest = &entry.thing;
  }
  return smallest;
}

Planned plan_call(const Words& words, const PhoneCall& call, const shelf::Shelf& shelf) {
  Planned planned;
  const auto& pen = call.pen;
  const auto& insulin = call.insulin;
  const auto* container = container_for(shelf, pen, insulin.code);
  if (container == nullptr) {
    planned.refusal = Error{Kind::refused,
                            std::string(codes::next_no_fit),
                            {arg_text("insulin", insulin.thing.name), arg_text("pen", pen.name)},
                            ""};
    return planned;
  }
  auto& request = planned.request;
  request.dose = call.dose;
  request.insulin = {insulin.thing.name, insulin.thing.strength, insulin.thing.suspension,
                     insulin.thing.least_left_to_mix};
  request.pen = {pen.step, pen.most, pen.window, pen.hold_seconds};
  request.prime.units = pen.prime;
  request.prime.new_cartridge = pen.prime_new_cartridge;
  request.prime.spent = call.spent;
  request.prime.flow_seen = prime_words[call.prime] == "seen";
  if (!call.left.is_zero()) {
    request.cartridges.push_back({said(words, "phone.in_pen"), call.left,
                                  static_cast<std::int32_t>(call.days_in_use),
                                  insulin.thing.in_use_days, false});
    planned.sources.push_back({Id{}, insulin.thing, call.left, insulin.code, pen.fits});
  }
  for (std::int64_t i = 1; i <= call.unopened; ++i) {
    request.cartridges.push_back({said(words, "phone.unopened", {arg_count("place", i)}),
                                  container->content, std::nullopt, insulin.thing.in_use_days,
                                  true});
    planned.sources.push_back({Id{}, insulin.thing, container->content, insulin.code, pen.fits});
  }
  request.split = draw::Split::never;  // over the telephone nobody is taught to split a dose
  auto plan = dial::plan(request);
  if (plan) {
    planned.plan = *std::move(plan);
  } else {
    planned.refusal = plan.error();
  }
  return planned;
}

// What to say, and the sentence to hear back, from the first dial of the plan.
json::Value read_back(const Words& words, const Planned& planned) {
  const auto dial = std::ranges::find(planned.plan->actions, dial::Do::dial, &dial::Action::what);
  if (dial == planned.plan->actions.end()) return json::null();
  const std::vector<Arg> args{arg_units("window", dial->window), arg_units("dose", dial->dose),
                              arg_text("insulin", planned.request.insulin.name)};
  const auto say_this = words.sentence("phone.say", args);
  auto fact = json::object({{"what", text(PhoneAdvice::name)},
                            {"said", text(words::plain(say_this))},
                            {"read_back", json::boolean(true)},
                            {"source", text("phone desk")}});
  return json::object({{"say", rich(say_this)},
                       {"hear", say(words, "phone.hear", args)},
                       {"record", record_action(words, "act.read_back", {std::move(fact)})}});
}

}  // namespace

Result<PhoneCall> read_phone_call(const json::Value& request, const Clinic& clinic) {
  PhoneCall call;
  std::string pen, insulin;
  Strength strength;
  json::Reader reader(request);
  reader.may("person", call.person);
  reader.need("pen", pen);
  reader.need("insulin", insulin);
  reader.need("strength_units_per_ml", strength);
  for (const auto& done :
       {amount(reader, "dose_units", call.dose), amount(reader, "left_units", call.left),
        amount(reader, "spent_units", call.spent),
        whole(reader, "days_in_use", dial::days_in_use_max, call.days_in_use),
        whole(reader, "unopened", unopened_max, call.unopened)}) {
    if (!done) return done.error();
  }
  if (const auto* prime = reader.may_raw("prime")) {
    const auto place = json::choice_of(*prime, prime_words, "/prime");
    if (!place) return place.error();
    call.prime = *place;
  }
  if (const auto done = reader.done(); !done) return done.error();
  const auto* known_pen = clinic.shelf.pen(pen);
  if (known_pen == nullptr) return not_on_shelf("pen", pen);
  const auto* known_insulin = clinic.shelf.insulin(insulin, strength);
  if (known_insulin == nullptr) return not_on_shelf("insulin", insulin);
  call.pen = known_pen->thing;
  call.insulin = *known_insulin;
  return call;
}

json::Value phone_form(const Clinic& clinic, const Caller& caller) {
  std::vector<json::Value> pens, insulins;
  for (const auto& pen : clinic.shelf.pens)
    pens.push_back(json::object(
        {{"code", text(pen.code)}, {"label", text(pen_label(caller.words, pen.thing))}}));
  for (const auto& entry : clinic.shelf.insulins) {
    insulins.push_back(
        json::object({{"name", text(entry.thing.name)},
                      {"strength_units_per_ml", json::count(entry.thing.strength.units_per_ml)},
                      {"label", text(said(caller.words, "insulin_label",
                                          {arg_text("insulin", capital(entry.thing.name)),
                                           arg_strength("strength", entry.thing.strength)}))}}));
  }
  return json::object({{"pens", list(std::move(pens))}, {"insulins", list(std::move(insulins))}});
}

json::Value phone_answer(const PhoneCall& call, const Clinic& clinic, const Caller& caller,
                         const NewId& new_id) {
  const auto planned = plan_call(caller.words, call, clinic.shelf);
  CardInput input;
  input.words = &caller.words;
  input.planned = &planned;
  input.clinic = &clinic;
  input.shelf = &clinic.shelf;
  input.new_id = new_id;
  input.now = now_at(clinic, caller);
  input.mark = mark_of(call.insulin.thing);
  input.insulin = call.insulin.thing.name;
  input.strength = call.insulin.thing.strength;
  auto answer =
      json::object({{"card", next_card(input)}, {"low", low_box(caller.words, nullptr, clinic)}});
  if (call.person && planned.plan) {
    if (auto back = read_back(caller.words, planned); back.type == json::Type::object)
      json::add(answer, "read_back", std::move(back));
  }
  return answer;
}

}  // namespace penstock::pages
