// The phone desk: a number while somebody is on the line, from the record of the person or, for
// somebody who has none, from what they say; and what was said, to be heard back.
#include "edge/pages/phone/phone.hpp"

#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"
#include "edge/pages/kit/who.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::pages {
namespace {

using namespace journal;

constexpr std::int64_t unopened_max = 30;  // what one home keeps of one insulin

// The form sends texts as they were typed: amounts are read from them (H25).
Result<void> amount(json::Reader& reader, std::string_view field, std::optional<Units>& into) {
  std::string typed;
  reader.may(field, typed);
  if (reader.failed() || typed.empty()) return {};
  const auto read = parse_units(typed);
  if (!read) return located(read.error(), json::pointer("", field));
  into = *read;
  return {};
}

Result<void> whole(json::Reader& reader, std::string_view field, std::int64_t most,
                   std::optional<std::int32_t>& into) {
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
  into = static_cast<std::int32_t>(*read);
  return {};
}

Error not_on_shelf(std::string_view field, std::string_view what) {
  return {Kind::invalid_input,
          std::string(wire::codes::shelf_code_unknown),
          {arg_text("text", what)},
          json::pointer("", field)};
}

// A week: the last dose of an insulin that is taken once a week.
constexpr std::int64_t last_hours_max = 7 * 24;

// What was not asked stays unasked: nothing is assumed from silence.
Result<void> read_flags(json::Reader& reader, interlock::Flags& flags) {
  using interlock::Flags;
  const auto one = [&](std::string_view field, Flags::Is& into) -> Result<void> {
    const auto* said = reader.may_raw(field);
    if (said == nullptr) return {};
    const auto read = json::enum_of<Flags::Is>(*said, json::pointer("", field));
    if (!read) return read.error();
    into = *read;
    return {};
  };
  for (const auto& done : {one("low_now", flags.low), one("not_eating", flags.not_eating),
                           one("drowsy", flags.drowsy), one("ketones", flags.ketones),
                           one("travelling", flags.travelling), one("missed", flags.missed)}) {
    if (!done) return done.error();
  }
  std::string last;
  reader.may("last_dose", last);
  if (reader.failed() || last.empty()) return {};
  if (last == "never" || last == "not known") {
    flags.last = last == "never" ? Flags::Last::never : Flags::Last::not_known;
    return {};
  }
  const auto hours = parse_fixed(last, 0);
  if (!hours) return located(hours.error(), "/last_dose");
  if (*hours < 0 || *hours > last_hours_max) {
    return Error{
        Kind::invalid_input,
        std::string(json::codes::field_range),
        {arg_text("field", "last_dose"), arg_count("least", 0), arg_count("most", last_hours_max)},
        "/last_dose"};
  }
  flags.last = Flags::Last::hours;
  flags.last_hours = static_cast<std::int32_t>(*hours);
  return {};
}

// What the card says before its number, in the card's own words: whoever hears the number alone
// dials from the old cartridge, or does not mix (H02, H12, H14).
struct Spoken {
  Rich say, hear;
};
Spoken beforehand_of(const Words& words, const json::Value& card) {
  Spoken out;
  for (const auto& step : card.find("steps")->members) {
    if (!step.value.find("beforehand")->flag) continue;
    if (out.say.empty()) out.say = words.sentence("phone.before_dial") + Rich{{" ", false}};
    const std::vector<Arg> args{arg_text("step", step.value.find("title")->text),
                                arg_text("how", step.value.find("caption")->text)};
    out.say = out.say + words.sentence("phone.beforehand", args) + Rich{{" ", false}};
    out.hear = out.hear + words.sentence("phone.hear_beforehand", args) + Rich{{" ", false}};
  }
  return out;
}

// Until insulin has shown, what a window that counts on has to show hangs on the prime (H01).
std::vector<Arg> dial_args(const dial::Action& dial) {
  const bool counts = !dial.window_by_prime.empty();
  return {arg_units("window", counts ? dial.window_by_prime.front().window : dial.window),
          arg_units("dose", dial.dose),
          arg_units("primed", counts ? dial.window_by_prime.front().primed : Units::zero())};
}

// One after the other, each with its own number, and what they come to: of two injections the
// second was said nowhere (H39). Between them a cartridge may go in.
Spoken parts_of(const Words& words, const interlock::Plan& plan, const interlock::Dose& dose) {
  Spoken out;
  const Rich space{{" ", false}};
  bool again = false;
  for (const auto& action : plan.plan.actions) {
    if (action.what == dial::Do::change_cartridge && again) {
      const auto left = plan.request.cartridges[action.cartridge].left;
      const auto key = "step." + std::string(change_key(plan, &dose, action));
      const auto kind = interlock::arg_pen_kind(plan.takes);
      out.say = out.say +
                words.sentence("phone.beforehand",
                               {arg_text("step", said(words, key, {arg_units("left", left), kind})),
                                arg_text("how", said(words, key + ".caption", {kind}) +
                                                    change_words(words, plan, action))}) +
                space;
    }
    if (action.what != dial::Do::dial) continue;
    const std::string which = again ? "phone.part_next" : "phone.part_first";
    const auto args = dial_args(action);
    const bool counts = !action.window_by_prime.empty();
    out.say = out.say + words.sentence(which + (counts ? "_count" : ""), args) + space;
    out.hear = out.hear + words.sentence(which + (counts ? "_hear_count" : "_hear"), args) + space;
    again = true;
  }
  return out;
}

// What to say, and the sentence to hear back. What is said without its day and hour is done at once
// (H07, H48): a rest alone is for now.
json::Value read_back(const Words& words, const Chart& person, const ClearedPlan& cleared,
                      const interlock::Dose& dose, const When& now, const std::string& clock,
                      const Spoken& first) {
  const auto& actions = cleared->plan.actions;
  const auto dial = std::ranges::find(actions, dial::Do::dial, &dial::Action::what);
  if (dial == actions.end()) return json::null();
  auto args = dial_args(*dial);
  args.insert(args.end(), {arg_units("whole", cleared->request.dose),
                           arg_text("insulin", cleared->request.insulin.name),
                           arg_strength("strength", cleared->request.insulin.strength),
                           arg_text("day", words.day_near(dose.due.at.day(), now.day())),
                           arg_text("time", format_iso(dose.due.at.minute()) + clock),
                           arg_text("from", format_iso(dose.due.from.minute()))});
  const bool counts = !dial->window_by_prime.empty();
  const std::string when = dose.pending != nullptr     ? ""
                           : now.at < dose.due.from.at ? "_later"
                                                       : "_at";
  const bool several = dial->dose < cleared->request.dose;
  const auto parts = several ? parts_of(words, *cleared, dose) : Spoken{};
  const std::string key = several ? "several" : counts ? "count" : "say";
  auto say_this = first.say + words.sentence("phone." + key + when, args);
  if (several)
    say_this = say_this + Rich{{" ", false}} + parts.say + words.sentence("phone.together", args);
  // The number is for one of two pens in their bag (H01, H61).
  if (!dose.others.empty())
    say_this =
        words.sentence("phone.pen", {arg_text("take", pen_title(words, person, dose)),
                                     arg_text("others", other_pens_text(words, person, dose))}) +
        Rich{{" ", false}} + say_this;
  auto fact = json::object({{"what", text(PhoneAdvice::name)},
                            {"said", text(words::plain(say_this))},
                            {"read_back", json::boolean(true)},
                            {"source", text("phone desk")}});
  return json::object({{"say", rich(say_this)},
                       {"hear", rich(first.hear + parts.hear +
                                     words.sentence(several  ? "phone.hear_several" + when
                                                    : counts ? "phone.hear_count"
                                                             : "phone.hear" + when,
                                                    args))},
                       {"record", record_action(words, "act.read_back", {std::move(fact)})}});
}

// Insulin has not shown: the number is said once it has (H44, H64).
bool is_dry(const interlock::Dose& dose) {
  using ledger::FlowState;
  const auto flow = dose.pen != nullptr ? dose.pen->flow() : FlowState::not_primed;
  return flow == FlowState::prime_again || flow == FlowState::new_needle;
}

// The fields of a call, as they were read.
struct Fields {
  std::optional<Id> person;
  std::string pen, insulin;
  std::optional<Strength> strength;
  interlock::Call call;
  std::optional<Units> dose, again, left;
  std::optional<std::int32_t> unopened, dry_needles;
};

Result<Fields> read_fields(const json::Value& request) {
  Fields fields;
  json::Reader reader(request);
  reader.may("person", fields.person);
  if (fields.person) {
    reader.may("pen", fields.pen);
    reader.may("insulin", fields.insulin);
    reader.may("strength_units_per_ml", fields.strength);
  } else {
    Strength strength;
    reader.need("pen", fields.pen);
    reader.need("insulin", fields.insulin);
    reader.need("strength_units_per_ml", strength);
    fields.strength = strength;
  }
  auto& call = fields.call;
  for (const auto& done :
       {amount(reader, "dose_units", fields.dose), amount(reader, "dose_again", fields.again),
        amount(reader, "left_units", fields.left), amount(reader, "spent_units", call.spent),
        whole(reader, "days_in_use", dial::days_in_use_max, call.days_in_use),
        whole(reader, "unopened", unopened_max, fields.unopened),
        whole(reader, "dry_primes", dial::dry_primes_max, call.dry_primes),
        whole(reader, "dry_needles", dial::dry_primes_max, fields.dry_needles),
        read_flags(reader, call.flags)}) {
    if (!done) return done.error();
  }
  // Of two numbers one was misheard, however usual either is (H25).
  if (fields.again && fields.dose && *fields.again != *fields.dose) {
    return Error{Kind::invalid_input,
                 std::string(codes::phone_dose_differs),
                 {arg_units("dose", *fields.dose), arg_units("again", *fields.again)},
                 json::pointer("", "dose_again")};
  }
  reader.may("new_needle", call.needle_changed);
  if (const auto* prime = reader.may_raw("prime")) {
    const auto read = json::enum_of<interlock::Call::Primed>(*prime, "/prime");
    if (!read) return read.error();
    call.primed = *read;
  }
  if (const auto done = reader.done(); !done) return done.error();
  return fields;
}

// Primes and needles of somebody on record are recorded, or the next number would not know of them
// (H53, H64). The first such field that says something; empty: none does.
std::string_view told_of_record(const Fields& fields) {
  const auto& call = fields.call;
  if (call.spent) return "spent_units";
  if (call.days_in_use) return "days_in_use";
  if (fields.unopened.value_or(0) != 0) return "unopened";
  if (call.dry_primes) return "dry_primes";
  if (fields.dry_needles) return "dry_needles";
  if (call.needle_changed) return "new_needle";
  return call.primed == interlock::Call::Primed::not_yet ? "" : "prime";
}

Error on_record(std::string_view field) {
  return {Kind::invalid_input,
          std::string(codes::phone_on_record),
          {arg_text("field", field)},
          json::pointer("", field)};
}

// The dose of this person that the call is about: of the insulin that was named, or the next. What
// is asked about first and is due before it is that one (H38).
std::optional<interlock::Dose> dose_for(const PersonCall& call, const Chart& person,
                                        const interlock::House& house,
                                        const interlock::Agenda& agenda, const When& now) {
  std::vector<order::Due> dues;
  for (const auto* held : {&agenda.unrecorded, &agenda.ask_first}) {
    for (const auto& dose : *held) dues.push_back(dose.due);
  }
  const auto before_next = [&](const interlock::Dose& dose) {
    return agenda.next && dose.due.at.at < agenda.next->due.at.at;
  };
  const bool next_first =
      call.insulin.empty() && std::ranges::none_of(agenda.ask_first, before_next);
  if (agenda.next) dues.insert(next_first ? dues.begin() : dues.end(), agenda.next->due);
  dues.insert(dues.end(), agenda.later.begin(), agenda.later.end());
  for (const auto& due : dues) {
    if (!call.insulin.empty() && person.order.line(due.line)->text.insulin != call.insulin)
      continue;
    // What is said for later is followed then, with a needle and a prime of then (H01, H48).
    auto said = call.said;
    said.on_paper = now.at < due.from.at;
    return interlock::decide(person, house, due, now, said);
  }
  return std::nullopt;
}

// A pen whose window counts otherwise shows another number for this dose (H02): whoever names one
// has another in mind than the record.
Result<void> pen_agrees(const PersonCall& call, const std::optional<interlock::Dose>& dose,
                        const Words& words) {
  if (!call.pen || !dose || dose->pen == nullptr || dose->pen->copy == *call.pen) return {};
  return Error{Kind::refused,
               std::string(codes::phone_other_pen),
               {arg_text("named", pen_label(words, *call.pen)),
                arg_text("recorded", pen_label(words, dose->pen->copy))},
               json::pointer("", "pen")};
}

// What was recorded on the telephone in the last hours stands before the next number (H53).
void said_lately(const Words& words, const Chart& person, const When& now,
                 std::vector<json::Value>& out) {
  constexpr std::chrono::hours lately{12};
  for (const auto& one : person.history.facts) {
    const auto* advice = std::get_if<PhoneAdvice>(one.payload);
    if (advice == nullptr || advice->read_back || now.at - one.happened.at > lately) continue;
    out.push_back(
        say(words, "phone.said_lately",
            {arg_text("day", words.day_near(one.happened.day(), now.day())),
             arg_text("time", format_iso(one.happened.minute())), arg_text("said", advice->said)}));
  }
}

// What stands before the number: what the record knows is said with it (H53).
std::vector<json::Value> first_asks(const Words& words, const Chart& person,
                                    const interlock::Dose& dose, const When& now) {
  std::vector<json::Value> out;
  const auto add = [&](std::string_view key, const std::vector<Arg>& args = {}) {
    out.push_back(say(words, key, args));
  };
  if (dose.near) out.push_back(rich(near_text(words, dose)));
  for (const auto& said : beside_texts(words, person, dose, now)) out.push_back(rich(said));
  if (dose.done) out.push_back(rich(done_text(words, person, dose)));
  if (is_dry(dose)) add("phone.dry");
  said_lately(words, person, now, out);
  if (auto trip = trip_text(words, person, now); !trip.empty()) out.push_back(rich(trip));
  return out;
}

// Who is ill now is on record for whoever takes the next call (H53): low is what was said; with
// ketones, vomiting or drowsy the number waits for the prescriber's word (H37).
std::vector<json::Value> record_call(const Words& words, const interlock::Held& held,
                                     const interlock::Flags& flags) {
  using Is = interlock::Flags::Is;
  const bool asks =
      flags.drowsy == Is::yes || flags.ketones == Is::yes || flags.not_eating == Is::yes;
  if (!asks && flags.low != Is::yes) return {};
  const auto told = words.say(held.error);
  std::vector<json::Value> facts{json::object({{"what", text(PhoneAdvice::name)},
                                               {"said", text(told.what + " " + told.do_this)},
                                               {"source", text("phone desk")}})};
  if (asks)
    facts.push_back(json::object({{"what", text(QuestionOpened::name)},
                                  {"reason", text(word_of(QuestionReason::sick_day))},
                                  {"text", text(told.what)},
                                  {"source", text("phone desk")}}));
  return {record_action(words, asks ? "act.record_call_ask" : "act.record_call", std::move(facts))};
}

// Basal insulin of which nobody said what became of it is asked about on the telephone, whatever
// number the call is about (H57).
void ask_unrecorded(const Words& words, const interlock::Agenda& agenda,
                    const std::optional<interlock::Dose>& dose, std::vector<json::Value>& out) {
  const auto* said = dose ? interlock::held(dose->verdict) : nullptr;
  for (const auto& one : agenda.unrecorded) {
    if (dose && dose->due.line == one.due.line) continue;
    if (said != nullptr && dose->asked == one.asked) continue;  // it is what holds the number
    const auto told = words.say(interlock::held(one.verdict)->error);
    out.push_back(rich({{told.what + " " + told.do_this, false}}));
  }
}

// What the person's page knows and a voice does not (H36, H37, H61).
void say_watches(const Words& words, const summary::Row& listed, bool cleared, const When& now,
                 std::vector<json::Value>& out) {
  for (const auto* watch : summary::ringing(listed, now.at)) {
    const bool of_another_dose = cleared && (watch->what == watch::What::question_open ||
                                             watch->what == watch::What::answer_waits);
    if (watch->what == watch::What::leaving_hardened || of_another_dose)
      out.push_back(rich(sentence_of(words, *watch, listed.full_name, now)));
  }
}

}  // namespace

Result<PhoneCall> read_phone_call(const json::Value& request, const Clinic& clinic) {
  auto fields = read_fields(request);
  if (!fields) return fields.error();
  auto& call = fields->call;
  if (fields->person) {
    if (const auto told = told_of_record(*fields); !told.empty()) return on_record(told);
    const auto* named = fields->pen.empty() ? nullptr : clinic.shelf.pen(fields->pen);
    if (named == nullptr && !fields->pen.empty()) return not_on_shelf("pen", fields->pen);
    return PersonCall{*fields->person,
                      fields->insulin,
                      named == nullptr ? std::nullopt : std::optional(named->thing),
                      {interlock::SaidOfDose::Where::on_the_telephone, call.flags, fields->dose,
                       fields->left, fields->strength}};
  }
  const auto* pen = clinic.shelf.pen(fields->pen);
  if (pen == nullptr) return not_on_shelf("pen", fields->pen);
  const auto* insulin = clinic.shelf.insulin(fields->insulin, *fields->strength);
  if (insulin == nullptr) return not_on_shelf("insulin", fields->insulin);
  // Of a stranger no record says it: an empty pen was planned with, and a prime that was seen went
  // with what was in it (H53, H44).
  if (!fields->left)
    return Error{Kind::invalid_input,
                 std::string(json::codes::field_missing),
                 {arg_text("field", "left_units")},
                 json::pointer("", "left_units")};
  call.pen = pen->thing;
  call.insulin = *insulin;
  call.dose = fields->dose.value_or(Units::zero());
  call.dose_said_twice = fields->again == fields->dose;
  call.left = *fields->left;
  call.unopened = fields->unopened.value_or(0);
  call.dry_needles = fields->dry_needles.value_or(0);
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

json::Value phone_answer(const interlock::Call& call, const Clinic& clinic, const Caller& caller) {
  const auto verdict = interlock::decide(call, interlock::house_of(clinic));
  CardInput input;
  input.words = &caller.words;
  input.verdict = &verdict;
  input.clinic = &clinic;
  input.shelf = &clinic.shelf;
  input.now = now_at(clinic, caller);
  input.mark = mark_of(call.insulin.thing);
  input.insulin = call.insulin.thing.name;
  input.strength = call.insulin.thing.strength;
  input.until_it_flows = call.primed == interlock::Call::Primed::not_seen;
  if (input.until_it_flows) input.first_notes.push_back(caller.words.sentence("phone.dry_said"));
  if (interlock::is_one_missed(call))
    input.first_notes.push_back(caller.words.sentence(
        "phone.one_missed", {arg_text("insulin", capital(call.insulin.thing.name)),
                             arg_count("hours", call.flags.last_hours)}));
  return json::object(
      {{"who", json::null()},
       {"first", list()},
       {"card", next_card(input)},
       {"low", low_box(caller.words, nullptr, LocalDay{}, clinic, interlock::held(verdict))}});
}

Result<json::Value> phone_answer(const PersonCall& call, const Chart& person, const People& people,
                                 const Clinic& clinic, const Caller& caller, const NewId& new_id) {
  const auto now = now_at(person, caller);
  const auto house = interlock::house_of(clinic);
  const auto agenda = interlock::agenda_of(person, house, now);
  const auto dose = dose_for(call, person, house, agenda, now);
  if (const auto is_theirs = pen_agrees(call, dose, caller.words); !is_theirs)
    return is_theirs.error();
  std::vector<json::Value> first;
  if (auto clock = clock_text(caller.words, person, clinic, now); !clock.empty())
    first.push_back(rich(clock));
  if (dose && interlock::cleared(dose->verdict)) {
    for (auto& one : first_asks(caller.words, person, *dose, now)) first.push_back(std::move(one));
  }
  ask_unrecorded(caller.words, agenda, dose, first);
  say_watches(caller.words, summary::row_among(people, person, clinic),
              dose && interlock::cleared(dose->verdict) != nullptr, now, first);
  auto answer = json::object({{"who", who_of(caller.words, person, people, clinic, now)},
                              {"first", list(std::move(first))}});
  Spoken beforehand;
  if (!dose) {
    json::add(answer, "card", no_dose_card(caller.words, person, clinic, now, call.insulin));
  } else {
    auto input = card_input(person, clinic, caller.words, new_id, now, *dose);
    const auto sites = sites_of(caller.words, person, now, dose->due.day == now.day() ? 0 : 1);
    add_place(caller.words, input, person, sites);
    input.until_it_flows = is_dry(*dose);
    if (const auto* held = interlock::held(dose->verdict); held != nullptr)
      input.more_answers = record_call(caller.words, *held, call.said.flags);
    auto card = next_card(input);
    beforehand = beforehand_of(caller.words, card);
    json::add(answer, "card", std::move(card));
  }
  json::add(answer, "low",
            low_box(caller.words, &person, now.day(), clinic,
                    dose ? interlock::held(dose->verdict) : nullptr));
  const auto* plan = dose ? interlock::cleared(dose->verdict) : nullptr;
  if (plan == nullptr || is_dry(*dose)) return answer;
  if (auto back = read_back(caller.words, person, *plan, *dose, now,
                            their_clock(caller.words, person, clinic), beforehand);
      back.type == json::Type::object)
    json::add(answer, "read_back", std::move(back));
  return answer;
}

}  // namespace penstock::pages
