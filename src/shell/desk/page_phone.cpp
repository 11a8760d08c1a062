// The phone desk: a dial plan while somebody is on the line, with or without a person; and what was
// said, to be heard back.
#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/next.hpp"

namespace penstock::desk {
namespace {

using namespace journal;

constexpr std::int64_t unopened_max = 30;  // what one home keeps of one insulin

constexpr std::array<std::string_view, 3> prime_words{"not yet", "seen", "not seen"};

struct Call {
  std::optional<Id> person;
  std::string pen;
  std::string insulin;
  Strength strength;
  Units dose = Units::zero();
  Units left = Units::zero();
  std::int64_t days_in_use = 0;
  std::int64_t unopened = 0;
  std::size_t prime = 0;
  Units spent = Units::zero();
};

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

Result<Call> read_call(const json::Value& request) {
  Call call;
  json::Reader reader(request);
  reader.may("person", call.person);
  reader.need("pen", call.pen);
  reader.need("insulin", call.insulin);
  reader.need("strength_units_per_ml", call.strength);
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
  return call;
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

Planned plan_call(const Call& call, const shelf::Shelf& shelf, const shelf::Pen& pen,
                  const shelf::Entry<shelf::Insulin>& insulin) {
  Planned planned;
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
    request.cartridges.push_back({said("phone.in_pen"), call.left,
                                  static_cast<std::int32_t>(call.days_in_use),
                                  insulin.thing.in_use_days, false});
    planned.sources.push_back({Id{}, insulin.thing, call.left, insulin.code, pen.fits});
  }
  for (std::int64_t i = 1; i <= call.unopened; ++i) {
    request.cartridges.push_back({said("phone.unopened", {arg_count("place", i)}),
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
json::Value read_back(const Planned& planned) {
  const auto dial = std::ranges::find(planned.plan->actions, dial::Do::dial, &dial::Action::what);
  if (dial == planned.plan->actions.end()) return json::null();
  const std::vector<Arg> args{arg_units("window", dial->window), arg_units("dose", dial->dose),
                              arg_text("insulin", planned.request.insulin.name)};
  const auto say_this = english().sentence("phone.say", args);
  auto fact = json::object({{"what", text(PhoneAdvice::name)},
                            {"said", text(words::plain(say_this))},
                            {"read_back", json::boolean(true)},
                            {"source", text("phone desk")}});
  return json::object({{"say", rich(say_this)},
                       {"hear", say("phone.hear", args)},
                       {"record", record_action("act.read_back", {std::move(fact)})}});
}

}  // namespace

Result<json::Value> Desk::phone_form() {
  if (const auto fresh = in_->refresh_clinic(); !fresh) return fresh.error();
  const auto clinic = in_->clinic();
  std::vector<json::Value> pens, insulins;
  for (const auto& pen : clinic->shelf.pens)
    pens.push_back(json::object({{"code", text(pen.code)}, {"label", text(pen_label(pen.thing))}}));
  for (const auto& entry : clinic->shelf.insulins) {
    insulins.push_back(json::object(
        {{"name", text(entry.thing.name)},
         {"strength_units_per_ml", json::count(entry.thing.strength.units_per_ml)},
         {"label",
          text(said("insulin_label", {arg_text("insulin", capital(entry.thing.name)),
                                      arg_strength("strength", entry.thing.strength)}))}}));
  }
  return json::object({{"pens", list(std::move(pens))},
                       {"insulins", list(std::move(insulins))},
                       {"people", json::boolean(true)}});
}

Result<json::Value> Desk::phone(const json::Value& request) {
  const auto call = read_call(request);
  if (!call) return call.error();
  const auto clinic = in_->clinic();
  const auto* pen = clinic->shelf.pen(call->pen);
  if (pen == nullptr) return not_on_shelf("pen", call->pen);
  const auto* insulin = clinic->shelf.insulin(call->insulin, call->strength);
  if (insulin == nullptr) return not_on_shelf("insulin", call->insulin);
  return in_->guarded(call->person.value_or(Id{}), [&]() -> Result<json::Value> {
    if (call->person) {
      const auto folded = in_->person(*call->person);
      if (!folded) return folded.error();
    }
    const auto planned = plan_call(*call, clinic->shelf, pen->thing, *insulin);
    CardInput input;
    input.planned = &planned;
    input.clinic = clinic.get();
    input.shelf = &clinic->shelf;
    input.new_id = in_->ports.new_id;
    input.now = in_->now_here();
    input.mark = mark_of(insulin->thing);
    input.insulin = insulin->thing.name;
    input.strength = insulin->thing.strength;
    auto answer = json::object({{"card", next_card(input)}, {"low", low_box(nullptr, *clinic)}});
    if (call->person && planned.plan) {
      if (auto back = read_back(planned); back.type == json::Type::object)
        json::add(answer, "read_back", std::move(back));
    }
    return answer;
  });
}

}  // namespace penstock::desk
