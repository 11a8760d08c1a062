// The card of one injection: its steps, each with its drawing, its words and the buttons that
// record it.
#include "edge/pages/next/internal/card.hpp"

#include <algorithm>

#include "core/dial/dial.hpp"
#include "core/order/recording.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {
namespace {

using card::is_sealed;
using card::needles_to_offer;
using card::planned;
using card::records;
using card::told;
using card::way_in;
using drawing::Hand;
using journal::HandStep;

std::string code_name(const Words& words, std::string_view prefix, std::string_view code) {
  return words.name(std::string(prefix) + std::string(code));
}

std::string hand(Hand step, const CardInput& input) {
  drawing::HandDrawing drawn;
  drawn.step = step;
  drawn.action = input.mark;
  return drawing::hand(drawn);
}

// ---- facts that the buttons record

const interlock::Source& source_of(const CardInput& input, const dial::Action& action) {
  return planned(input).sources[action.cartridge];
}

// Whether the cartridge that an action is about is in the pen: any other is loaded first.
bool is_loaded(const CardInput& input, const dial::Action& action) {
  return records(input) && !source_of(input, action).goes_in();
}

json::Value injected(const CardInput& input, const dial::Action& dial) {
  auto out = fact(journal::Injected::name);
  json::add(out, "cartridge", json::string(source_of(input, dial).cartridge));
  json::add(out, "units", json::number(dial.dose));
  json::add(out, "line", json::string(input.dose->line->id));
  json::add(out, "slot", text(word_of(input.dose->due.name)));
  if (input.dose->pending != nullptr)
    json::add(out, "completes", json::string(input.dose->pending->fact));
  const auto injector = input.person->person.background.injector;
  if (injector != journal::Injector::unknown) json::add(out, "given_by", text(word_of(injector)));
  return out;
}

// At the planned place, until somebody says that it went elsewhere.
void add_place(json::Value& given, const CardInput& input) {
  if (input.site == nullptr) return;
  json::add(given, "zone", text(word_of(input.site->zone)));
  json::add(given, "spot",
            json::object({{"x_mm", json::number(input.site->spot.x)},
                          {"y_mm", json::number(input.site->spot.y)}}));
}

void set(json::Value& object, std::string_view key, json::Value value) {
  for (auto& member : object.members) {
    if (member.key == key) {
      member.value = std::move(value);
      return;
    }
  }
  json::add(object, key, std::move(value));
}

std::vector<json::Value> inject_buttons(const CardInput& input, const dial::Action& dial) {
  if (!is_loaded(input, dial)) return {};
  const auto whole = planned(input).request.dose;
  auto given = injected(input, dial);
  if (dial.dose < whole) {  // the first of two parts: the rest is owed and shown alone (H39)
    set(given, "meant_units", json::number(whole));
    set(given, "outcome", text(word_of(journal::Outcome::part)));
  }
  auto part = injected(input, dial);
  set(part, "meant_units", json::number(whole));
  set(part, "outcome", text(word_of(journal::Outcome::part)));
  auto unsure = injected(input, dial);
  set(unsure, "units", json::number(Units::zero()));
  set(unsure, "meant_units", json::number(whole));
  set(unsure, "outcome", text(word_of(journal::Outcome::unknown)));

  const auto elsewhere = given;
  for (auto* planned : {&given, &part, &unsure}) add_place(*planned, input);
  // H44: what was injected without insulin having shown is asked about before it is recorded.
  const std::string_view unseen = input.dose->pen->flow() == ledger::FlowState::seen
                                      ? std::string_view{}
                                      : "act.injected_unseen_confirm";
  auto main = record_action(*input.words, "act.injected", {given}, json::null(), unseen);
  set(main, "label", text(said(*input.words, "act.injected", {arg_units("dose", dial.dose)})));
  auto placed =
      record_action(*input.words, "act.injected_place", {elsewhere},
                    list({fill_choice(*input.words, "zone", "field.zone", zone_names)}), unseen);
  auto stopped =
      record_action(*input.words, "act.injected_part", {part},
                    list({fill_field(*input.words, "units", "field.units_in", "units")}));
  auto unknown = record_action(*input.words, "act.injected_unknown", {unsure}, json::null(),
                               "act.injected_unknown_confirm");
  return {std::move(main), std::move(placed), std::move(stopped), std::move(unknown)};
}

std::vector<json::Value> prime_buttons(const CardInput& input, const dial::Action& prime) {
  if (!is_loaded(input, prime)) return {};
  std::vector<json::Value> out;
  for (const auto flow : {journal::Flow::seen, journal::Flow::not_seen}) {
    auto primed = fact(journal::Primed::name);
    json::add(primed, "cartridge", json::string(source_of(input, prime).cartridge));
    json::add(primed, "units", json::number(prime.primed));
    json::add(primed, "flow", text(word_of(flow)));
    out.push_back(record_action(*input.words,
                                flow == journal::Flow::seen ? "act.flow_seen" : "act.flow_not_seen",
                                {std::move(primed)}));
  }
  return out;
}

std::vector<json::Value> needle_buttons(const CardInput& input) {
  if (!records(input)) return {};
  std::vector<json::Value> out;
  for (const auto* entry : needles_to_offer(input)) {
    auto on = fact(journal::NeedleOn::name);
    json::add(on, "pen", json::string(input.dose->pen->id));
    json::add(on, "needle", text(entry->code));
    json::add(on, "length_mm", json::number(entry->thing.length));
    auto button = record_action(*input.words, "act.needle_on", {std::move(on)});
    set(button, "label",
        text(said(*input.words, "act.needle_on", {arg_text("needle", entry->thing.name)})));
    out.push_back(std::move(button));
  }
  return out;
}

// Only of a needle that is on this pen: once a dose is in, the card may be about another pen, and
// the needle that somebody holds is not this one's (H15).
std::vector<json::Value> off_buttons(const CardInput& input) {
  if (!records(input) || !input.dose->pen->needle.on) return {};
  auto off = fact(journal::NeedleOff::name);
  json::add(off, "pen", json::string(input.dose->pen->id));
  json::add(off, "disposal", text(word_of(journal::Disposal::sharps_container)));
  return {record_action(*input.words, "act.needle_off", {std::move(off)})};
}

std::vector<json::Value> load_buttons(const CardInput& input, const dial::Action& action) {
  if (!records(input) || is_loaded(input, action)) return {};
  const auto& source = source_of(input, action);
  auto load = fact(journal::CartridgeLoaded::name);
  const auto id = source.taken_out ? source.cartridge : input.new_id();
  json::add(load, "cartridge", json::string(id));
  json::add(load, "pen", json::string(input.dose->pen->id));
  json::add(load, "copy", text(source.shelf_code));
  const auto left = planned(input).request.cartridges[action.cartridge].left;
  json::add(load, "units", json::number(source.taken_out ? left : source.content));
  json::add(load, "content_units", json::number(source.content));
  json::add(load, "fits", text(source.fits));
  json::add(load, "new_cartridge", json::boolean(!source.taken_out));
  if (source.taken_out) json::add(load, "lot", text(source.lot));
  const auto kind = interlock::arg_pen_kind(planned(input).takes);
  if (source.taken_out)
    return {record_action(*input.words, "act.loaded", {std::move(load)}, json::null(), {}, {kind})};
  return {record_action(*input.words, "act.loaded", {std::move(load)},
                        list({fill_field(*input.words, "lot", "field.lot", "text"),
                              fill_field(*input.words, "expires", "field.use_before", "time")}),
                        {}, {kind})};
}

bool is_past_its_days(const CardInput& input, const dial::Action& action) {
  const auto& cartridge = planned(input).request.cartridges[action.cartridge];
  return cartridge.days_in_use && *cartridge.days_in_use >= cartridge.in_use_days;
}

std::vector<json::Value> throw_buttons(const CardInput& input, const dial::Action& action) {
  if (!records(input) || source_of(input, action).cartridge.is_nil()) return {};
  auto thrown = fact(journal::ThrownAway::name);
  json::add(thrown, "cartridge", json::string(source_of(input, action).cartridge));
  const auto reason = is_past_its_days(input, action) ? journal::ThrowReason::past_in_use
                      : action.left.is_zero()         ? journal::ThrowReason::empty
                                                      : journal::ThrowReason::rest_too_small;
  json::add(thrown, "reason", text(word_of(reason)));
  return {record_action(*input.words, "act.thrown_away", {std::move(thrown)})};
}

// ---- steps

json::Value step(const Words& words, HandStep key, std::string_view title, std::string_view caption,
                 std::string_view picture, std::vector<json::Value> buttons = {}, bool done = false,
                 std::string_view done_text = {}) {
  return json::object({{"key", text(word_of(key))},
                       {"title", text(title)},
                       {"caption", text(caption)},
                       {"picture", svg(picture)},
                       {"window", json::boolean(key == HandStep::dial)},
                       {"beforehand", json::boolean(false)},
                       {"done", json::boolean(done)},
                       {"done_text", text(done ? said(words, done_text) : "")},
                       {"records", list(std::move(buttons))}});
}

json::Value plain_step(const Words& words, HandStep key, std::string_view words_key,
                       std::string_view picture, const std::vector<Arg>& args = {}) {
  return step(words, key, said(words, "step." + std::string(words_key), args),
              said(words, "step." + std::string(words_key) + ".caption", args), picture);
}

bool at_meal(const CardInput& input) {
  return input.purpose == journal::Purpose::mealtime || input.purpose == journal::Purpose::premixed;
}

// Who gave the last one, and when: asked before any dial (H07, H46).
std::string last_given_text(const CardInput& input) {
  if (input.dose == nullptr) return {};
  // Of this insulin, whatever line, version or diary it came under (H52).
  const auto [last, any, told] = last_given(*input.person, input.dose->line->text.insulin);
  std::string since;
  if (any != nullptr) {
    const auto at = input.person->zone.when(any->when.at);
    since = " " + said(*input.words, "step.taken.any_since",
                       {order::arg_amount("dose", *any),
                        arg_text("day", input.words->day_short(at.day())),
                        arg_text("time", format_iso(at.minute()))});
  }
  // Told without its injection, it was taken all the same.
  if (told)
    return said(*input.words, "step.taken.last_told",
                {arg_text("day", input.words->day_short(told->day())),
                 arg_text("time", format_iso(told->minute()))}) +
           since;
  if (last == nullptr) return said(*input.words, "step.taken.none") + since;
  // By the clock of the card, whatever clock they lived by then (H18).
  const auto when = input.person->zone.when(last->when.at);
  if (last->outcome == journal::Outcome::unknown) {
    return said(*input.words, "step.taken.last_unknown",
                {arg_text("day", input.words->day_short(when.day())),
                 arg_text("time", format_iso(when.minute()))}) +
           since;
  }
  const auto by = last->by == journal::Injector::unknown
                      ? said(*input.words, "step.taken.by_unknown")
                      : code_name(*input.words, "by/", word_of(last->by));
  return said(*input.words, "step.taken.last",
              {arg_units("dose", last->units), arg_text("day", input.words->day_short(when.day())),
               arg_text("time", format_iso(when.minute())), arg_text("by", by)}) +
         since;
}

// Whoever cannot say whether it was taken is not left with a tick: the scale is read, or nobody
// knows (H07, H59).
std::vector<json::Value> unsure_buttons(const CardInput& input) {
  using interlock::Answer;
  if (!records(input) || input.dose->pending != nullptr || input.dose->due.from.at > input.now.at)
    return {};
  std::vector<json::Value> out;
  if (input.dose->pen->cartridge)
    out.push_back(answer_button(*input.words, *input.dose, Answer::scale));
  out.push_back(answer_button(*input.words, *input.dose, Answer::not_known));
  return out;
}

json::Value taken_step(const CardInput& input) {
  const std::string key = at_meal(input) ? "step.taken_meal" : "step.taken";
  auto caption = said(*input.words, key + ".caption");
  if (const auto last = last_given_text(input); !last.empty()) caption += " " + last;
  return step(*input.words, HandStep::taken, said(*input.words, key), caption,
              hand(at_meal(input) ? Hand::taken_meal : Hand::taken, input), unsure_buttons(input));
}

// Whoever takes the other pen turns to this one's number (H01, H61, H64).
json::Value pen_step(const CardInput& input) {
  return step(*input.words, HandStep::pen, pen_title(*input.words, *input.person, *input.dose),
              other_pens_text(*input.words, *input.person, *input.dose), "");
}

json::Value needle_step(const CardInput& input) {
  const auto* pen = records(input) ? input.dose->pen : nullptr;
  // The needle that stayed dry is on, and is not the one that is meant here (H64).
  const bool dry = pen != nullptr && pen->flow() == ledger::FlowState::new_needle;
  const bool on = pen != nullptr && pen->needle.on && pen->needle.uses == 0 && !dry;
  const auto way = way_in(input);
  auto caption = said(*input.words,
                      way.rule.safety_only ? "step.needle.caption_other" : "step.needle.caption");
  if (const auto more = needle_words(*input.words, way); !more.empty()) caption += " " + more;
  return step(*input.words, HandStep::needle, said(*input.words, "step.needle"), caption,
              hand(Hand::shields, input), on ? std::vector<json::Value>{} : needle_buttons(input),
              on, "step.needle.done");
}

json::Value prime_step(const CardInput& input, const dial::Action& action) {
  // What a window that counts on shows before it is part of every number after it (H01, H39).
  const bool counts_on = planned(input).request.pen.window == shelf::Window::counts_on;
  const std::string_view caption = !counts_on                ? "step.prime.caption"
                                   : action.window.is_zero() ? "step.prime.caption_zero"
                                                             : "step.prime.caption_on";
  return step(*input.words, HandStep::prime,
              said(*input.words, "step.prime", {arg_units("prime", action.primed)}),
              said(*input.words, caption, {arg_units("shown", action.window)}),
              hand(Hand::prime, input), prime_buttons(input, action));
}

// When the last prime of the pen's cartridge is on record; of somebody who is not on record, what
// they said.
std::string primed_text(const CardInput& input) {
  if (!records(input)) return said(*input.words, "step.prime.said");
  const auto last = interlock::last_prime(*input.person, *input.dose->pen);
  if (!last) return said(*input.words, "step.prime.done");
  return said(*input.words, "step.prime.done_at",
              {arg_text("time", format_iso(input.person->zone.when(last->at).minute()))});
}

json::Value primed_step(const CardInput& input) {
  auto out = step(*input.words, HandStep::prime, said(*input.words, "step.primed"),
                  said(*input.words, "step.primed.caption"), hand(Hand::prime, input), {}, true,
                  "step.prime.done");
  set(out, "done_text", text(primed_text(input)));
  return out;
}

// The one of the last injection is still on: it comes off first (H15).
bool used_needle_on(const CardInput& input) {
  return records(input) && input.dose->pen->needle.on && input.dose->pen->needle.uses > 0;
}

json::Value off_old_step(const CardInput& input) {
  return step(*input.words, HandStep::off, said(*input.words, "step.off_old"),
              said(*input.words, "step.off_old.caption"), hand(Hand::box, input),
              off_buttons(input));
}

json::Value dial_step(const CardInput& input, const dial::Action& action) {
  const bool counts_on = planned(input).request.pen.window == shelf::Window::counts_on;
  const std::vector<Arg> args{arg_units("window", action.window), arg_units("dose", action.dose),
                              arg_units("primed", difference(action.window, action.dose))};
  return step(
      *input.words, HandStep::dial, said(*input.words, "step.dial", args),
      said(*input.words, counts_on ? "step.dial.caption_on" : "step.dial.caption", args),
      drawing::dose_window(interlock::window_of(*interlock::cleared(*input.verdict), action),
                           drawing::WindowSize::card, said(*input.words, "step.dial", args)));
}

// H38: the last there is stays until the next is in hand, and nothing is recorded about it yet.
json::Value throw_step(const CardInput& input, const dial::Action& action) {
  const std::vector<Arg> args{arg_units("left", action.left)};
  if (action.keep_until_next)
    return step(*input.words, HandStep::throw_away, told(input, "step.keep", args),
                said(*input.words, "step.keep.caption"), "", {});
  const auto past = is_past_its_days(input, action);
  return step(*input.words, HandStep::throw_away,
              told(input, action.left.is_zero() ? "step.throw_empty" : "step.throw", args),
              said(*input.words, past                   ? "step.throw.caption_past"
                                 : action.short_of_dose ? "step.throw.caption_short"
                                                        : "step.throw.caption"),
              "", throw_buttons(input, action));
}

json::Value hold_step(const CardInput& input, const dial::Action& inject,
                      const dial::Action* dial) {
  const bool counts_on = planned(input).request.pen.window == shelf::Window::counts_on;
  const std::vector<Arg> args{arg_count("seconds", inject.hold_seconds),
                              arg_units("window", dial != nullptr ? dial->window : Units::zero())};
  return step(*input.words, HandStep::hold,
              said(*input.words, counts_on ? "step.hold_on" : "step.hold", args),
              said(*input.words, counts_on ? "step.hold_on.caption" : "step.hold.caption", args),
              drawing::hold_rings(std::max(1, inject.hold_seconds)),
              dial != nullptr ? inject_buttons(input, *dial) : std::vector<json::Value>{});
}

json::Value inject_step(const CardInput& input) {
  const auto way = way_in(input);
  return step(*input.words, HandStep::inject, said(*input.words, "step.inject"),
              said(*input.words, "step.inject.caption" + way.key, way.args), hand(way.hand, input));
}

json::Value change_step(const CardInput& input, const dial::Action& action) {
  const auto& plan = planned(input);
  const std::string key = "step." + std::string(change_key(plan, input.dose, action));
  const auto caption = told(input, key + ".caption") + change_words(*input.words, plan, action);
  const auto left = plan.request.cartridges[action.cartridge].left;
  return step(*input.words, HandStep::change, told(input, key, {arg_units("left", left)}), caption,
              hand(Hand::load, input), load_buttons(input, action));
}

// Two places of one zone differ by a digit in words, and one of them may be the lump (H17).
std::string kept_off_words(const Words& words, const Chart& person, const Site& site) {
  const auto body = skin::body_of(person.skin);
  std::string out;
  for (const auto& area : person.skin.areas) {
    const auto circle = area.circle();
    if (!area.kept_off || !body || circle.zone != site.zone) continue;
    out += " " + said(words, "step.look.keep_off",
                      {arg_code("tissue", "tissue/" + word_of(area.tissue)),
                       arg_text("place", place_words(words, circle.zone, circle.centre, *body))});
  }
  return out;
}

struct StepWriter {
  const CardInput& input;
  std::vector<json::Value> steps{};
  const dial::Action* last_dial = nullptr;
  bool primed = false;
  bool fitted = false;
  bool looked = false;
  bool loaded = false;
  bool taken_off = false;  ///< the needle that was on, by a step before the new one
  std::optional<std::size_t> changed_to{};  ///< it is mixed after it was put in, and put in once

  void before_needle() {
    if (looked) return;
    looked = true;
    auto caption = input.site == nullptr ? said(*input.words, "step.look.caption")
                                         : said(*input.words, "step.look.caption_place",
                                                {arg_text("place", input.place_words)});
    if (input.site != nullptr) caption += kept_off_words(*input.words, *input.person, *input.site);
    steps.push_back(step(*input.words, HandStep::look, said(*input.words, "step.look"), caption,
                         hand(Hand::spot, input)));
  }

  void fit() {
    before_needle();
    if (fitted) return;
    fitted = true;
    if (used_needle_on(input) && !taken_off) steps.push_back(off_old_step(input));
    steps.push_back(needle_step(input));
  }

  // The plan takes its first cartridge for the one in the pen; a sealed one has to get there first.
  void load_first(const dial::Action& action) {
    if (loaded || !records(input)) return;
    loaded = true;
    if (is_loaded(input, action)) return;
    change(action);
  }
  void change(const dial::Action& action) {
    loaded = true;
    if (changed_to == action.cartridge) return;
    changed_to = action.cartridge;
    steps.push_back(change_step(input, action));
    beforehand();
  }
  // Not of every injection and before its number: wherever the number stands alone, this stands
  // with it (H02, H12, H14).
  void beforehand() {
    if (last_dial == nullptr) set(steps.back(), "beforehand", json::boolean(true));
  }

  void write(const dial::Action& action) {
    if (action.what != dial::Do::needle_off && action.what != dial::Do::change_cartridge) {
      load_first(action);
    }
    switch (action.what) {
      case dial::Do::mix:
        steps.push_back(
            plain_step(*input.words, HandStep::mix, "mix", hand(Hand::mix_roll, input)));
        beforehand();
        break;
      case dial::Do::look_at_insulin:
        steps.push_back(plain_step(
            *input.words, HandStep::insulin,
            planned(input).request.insulin.suspension ? "look_cloudy" : "look_clear",
            hand(planned(input).request.insulin.suspension ? Hand::look_cloudy : Hand::look_clear,
                 input)));
        break;
      case dial::Do::change_cartridge:
        change(action);
        break;
      case dial::Do::fit_needle:
        fit();
        break;
      case dial::Do::prime:
        fit();
        primed = true;
        steps.push_back(prime_step(input, action));
        if (changed_to) beforehand();  // a new cartridge may take more (H02)
        break;
      case dial::Do::dial:
        fit();
        if (!primed) steps.push_back(primed_step(input));
        last_dial = &action;
        steps.push_back(dial_step(input, action));
        break;
      case dial::Do::inject:
        steps.push_back(inject_step(input));
        steps.push_back(hold_step(input, action, last_dial));
        break;
      case dial::Do::check_window_at_0:
      case dial::Do::check_window:
        break;  // said in the hold step: one thing to look at, where it happens
      case dial::Do::needle_off:
        taken_off = true;
        steps.push_back(
            step(*input.words, HandStep::off, said(*input.words, "step.off"),
                 said(*input.words, way_in(input).rule.safety_only ? "step.off.caption_other"
                                                                   : "step.off.caption"),
                 hand(Hand::box, input), off_buttons(input)));
        break;
      case dial::Do::throw_away:
        steps.push_back(throw_step(input, action));
        beforehand();
        break;
    }
  }
};

// One injection a card: what comes after the first needle is off is the next card's, once this one
// is recorded (H39).
std::vector<json::Value> steps_of(const CardInput& input) {
  StepWriter writer{input};
  writer.steps.push_back(taken_step(input));
  if (records(input) && !input.dose->others.empty()) writer.steps.push_back(pen_step(input));
  for (const auto& action : planned(input).plan.actions) {
    if (input.until_it_flows && action.what == dial::Do::dial) break;
    const bool over = writer.last_dial != nullptr && action.what != dial::Do::inject &&
                      action.what != dial::Do::check_window &&
                      action.what != dial::Do::check_window_at_0 &&
                      action.what != dial::Do::needle_off && action.what != dial::Do::throw_away;
    if (over) break;
    writer.write(action);
  }
  return std::move(writer.steps);
}

const dial::Action* first_dial(const interlock::Plan& plan) {
  for (const auto& action : plan.plan.actions) {
    if (action.what == dial::Do::dial) return &action;
  }
  return nullptr;
}

Rich after_text(const Words& words, const interlock::Plan& plan) {
  const auto* dial = first_dial(plan);
  if (dial == nullptr) return {};
  const auto kind = interlock::arg_pen_kind(plan.takes);
  // Of a divided dose the card is the first part's: what is left then still holds the second
  // (H39).
  if (dial->part_of && plan.plan.needles > 1) {
    const auto inject = std::ranges::find(plan.plan.actions, dial::Do::inject, &dial::Action::what);
    return words.sentence("next.after_part", {arg_units("left", inject->left), kind});
  }
  const auto& after = plan.plan.left_after[dial->cartridge];
  if (after.thrown_away) {
    // The last there is stays until the next is in hand, as its step says (H38, H58).
    const auto kept = std::ranges::find_if(plan.plan.actions, [&](const dial::Action& action) {
      return action.keep_until_next && action.cartridge == dial->cartridge;
    });
    return kept == plan.plan.actions.end()
               ? words.sentence("next.after_thrown", {kind})
               : words.sentence("next.after", {arg_units("left", kept->left), kind});
  }
  return words.sentence("next.after", {arg_units("left", after.left), kind});
}

std::string part_text(const CardInput& input) {
  if (interlock::cleared(*input.verdict) == nullptr || input.until_it_flows) return {};
  const auto& request = planned(input).request;
  const auto* dial = first_dial(planned(input));
  if (request.part_of) {
    return said(*input.words, "next.rest_not_whole",
                {arg_units("rest", request.dose), arg_units("whole", *request.part_of)});
  }
  if (dial != nullptr && dial->dose < request.dose) {
    return said(*input.words, "next.first_part",
                {arg_units("part", dial->dose), arg_units("whole", request.dose)});
  }
  return {};
}

// One injection of one day: what is ticked on the screen is about it alone (H55).
std::string key_of(const interlock::Dose& dose) {
  auto key = to_text(dose.line->id) + " " + format_iso(dose.due.day) + " " +
             std::string(word_of(dose.due.name));
  return dose.pending != nullptr ? key + " " + to_text(dose.pending->fact) : key;
}

// Which order it is, and what its second check left out (H60).
std::string order_text(const Words& words, const order::Line& line) {
  const auto unread = days_unread_text(words, line);
  return version_text(words, line) + (unread.empty() ? "" : " " + unread);
}

void add_head(json::Value& card, const CardInput& input) {
  const bool dated = input.dose != nullptr;
  const auto* line = dated ? input.dose->line : nullptr;
  json::add(card, "key", text(dated ? key_of(*input.dose) : ""));
  json::add(card, "line", line == nullptr ? text("") : json::string(line->id));
  json::add(card, "time_text",
            text(dated ? hour_text(*input.words, input.dose->due.at, input.now) : ""));
  json::add(card, "in_text",
            text(dated ? input.words->from_now(input.dose->due.at.at, input.now.at) +
                             their_clock(*input.words, *input.person, *input.clinic)
                       : ""));
  json::add(card, "mark", svg(drawing::insulin_mark(input.mark)));
  json::add(card, "purpose",
            text(input.purpose ? capital(code_name(*input.words, "dose/", word_of(*input.purpose)))
                               : ""));
  json::add(card, "insulin", text(input.insulin));
  json::add(card, "strength_text",
            text(input.insulin.empty()
                     ? ""
                     : said(*input.words, "strength", {arg_strength("strength", input.strength)})));
  json::add(card, "with_text",
            text(dated ? code_name(*input.words, "with/", word_of(input.dose->due.name)) : ""));
  json::add(card, "order_text", text(line == nullptr ? "" : order_text(*input.words, *line)));
}

std::string sheet_href(const CardInput& input) {
  // A rest is given now, from the screen: a sheet of another hour would show the whole dose (H39).
  if (input.dose == nullptr || input.dose->pending != nullptr) return {};
  return href_of(input.person->journal, "/steps?line=" + to_text(input.dose->line->id) +
                                            "&slot=" + std::string(word_of(input.dose->due.name)) +
                                            "&day=" + format_iso(input.dose->due.day));
}

}  // namespace

Way way_of(const Chart* person, LocalDay on) {
  if (person == nullptr) return {};
  const auto* rules = person->skin.rules ? &*person->skin.rules : nullptr;
  const auto needle = rules != nullptr && rules->needle ? rules->needle : person->skin.fitted;
  const auto rule = by_age::way_of(rules, needle, by_age::known_of(person->person), on);
  const bool slant = rule.angle_deg < 90;
  const auto hand = rule.fold ? drawing::Hand::into_fold
                    : slant   ? drawing::Hand::into_slant
                              : drawing::Hand::into;
  return {hand,
          std::string(slant ? "_slant" : "") + (rule.fold ? "_fold" : ""),
          {arg_count("angle", rule.angle_deg)},
          rule};
}

std::string needle_words(const Words& words, const Way& way) {
  if (!way.rule.longest) return {};
  return said(words, "step.needle.child", {arg_text("longest", format(*way.rule.longest))});
}

Rich doubt_text(const Words& words, const Error& doubt) {
  return words.sentence(doubt.code, doubt.args);
}

Rich aside_text(const Words& words, shelf::Presentation takes, const Error& aside) {
  auto args = aside.args;
  args.push_back(interlock::arg_pen_kind(takes));
  const auto where = std::ranges::find(args, "where", &Arg::name);
  const auto suffix = where == args.end() ? "" : "." + where->text;
  return words.sentence("aside." + aside.code + suffix, args);
}

namespace {

// What the window shows once insulin was seen, and what to turn to then: of the plan, and before
// that, where asked for, from the prime alone on.
json::Value table_of(const Words& words, const ClearedPlan& plan, const dial::Action& dial,
                     bool from_prime) {
  const auto& request = plan->request;
  const bool seen = dial.window_by_prime.empty();
  const Units all = seen ? difference(dial.window, dial.dose) : dial.window_by_prime.front().primed;
  Units widest = seen ? dial.window : Units::zero();
  for (const auto& row : dial.window_by_prime) widest = larger(widest, row.window);
  std::vector<json::Value> rows;
  const auto add = [&](Units shown) {
    const auto window = interlock::window_after(plan, dial, shown);
    rows.push_back(json::object(
        {{"prime", text(format(shown))},
         {"picture", svg(drawing::count_strip(shown, dial.dose, widest))},
         {"window", svg(drawing::dose_window(window, drawing::WindowSize::table, format(*window)))},
         {"text", text(said(words, "dial.window_row",
                            {arg_units("primed", shown), arg_units("window", *window)}))},
         {"unit", text(said(words, "units_word"))}}));
  };
  if (from_prime && !request.prime.units.is_zero()) {
    for (auto shown = request.prime.units; shown < all; shown = sum(shown, request.pen.step))
      add(shown);
  }
  if (seen) add(all);
  for (const auto& row : dial.window_by_prime) add(row.primed);
  return json::object(
      {{"caption", text(said(words, "window_table.caption", {arg_units("dose", dial.dose)}))},
       {"head",
        list({text(said(words, "window_table.shows")), text(said(words, "window_table.turn"))})},
       {"rows", list(std::move(rows))}});
}

}  // namespace

json::Value window_table(const Words& words, const ClearedPlan& plan) {
  const auto* dial = first_dial(*plan);
  const auto& request = plan->request;
  if (dial == nullptr || request.pen.window != shelf::Window::counts_on) return json::null();
  // Insulin was seen by the last of several primes: the window shows them all, unless somebody set
  // it back in between (H01, H58). Of one alone the step says the number.
  const bool seen = dial->window_by_prime.empty();
  if (seen && difference(dial->window, dial->dose) <= request.prime.units) return json::null();
  // Somebody may have set the window back since: then it shows the prime alone (H01).
  return table_of(words, plan, *dial, !request.prime.spent.is_zero());
}

std::vector<json::Value> window_tables(const Words& words, const ClearedPlan& plan) {
  std::vector<json::Value> out;
  if (plan->request.pen.window != shelf::Window::counts_on) return out;
  std::vector<Units> doses;
  for (const auto& action : plan->plan.actions) {
    const bool is_new = std::ranges::find(doses, action.dose) == doses.end();
    if (action.what != dial::Do::dial || !is_new) continue;
    doses.push_back(action.dose);
    out.push_back(table_of(words, plan, action, true));
  }
  return out;
}

bool is_empty(const interlock::Plan& plan, const interlock::Dose* dose) {
  return plan.takes == shelf::Presentation::cartridge && dose != nullptr && dose->pen != nullptr &&
         !dose->pen->cartridge;
}

std::string_view change_key(const interlock::Plan& plan, const interlock::Dose* dose,
                            const dial::Action& action) {
  if (plan.sources[action.cartridge].taken_out) return "put_back";
  return is_empty(plan, dose) ? "load" : "change";
}

// Why the open one does not give this dose (H12, H38, H58).
std::string why_changed(const Words& words, const interlock::Plan& plan,
                        const dial::Action& action) {
  if (action.cartridge == 0 || plan.sources.front().goes_in()) return {};
  const auto& request = plan.request;
  const auto& open = request.cartridges.front();
  if (open.left.is_zero()) return {};  // empty, or nobody knows its days, which is said beside
  const bool past = open.days_in_use && *open.days_in_use >= open.in_use_days;
  const bool full = request.pen.window == shelf::Window::counts_on &&
                    !request.prime.spent.is_zero() && !plan.plan.left_after.front().thrown_away;
  const auto least = request.insulin.least_left_to_mix.value_or(Units::zero());
  const bool mixes = request.insulin.suspension && open.left < least;
  const auto* why = past ? "past" : full ? "window" : mixes ? "to_mix" : "little";
  return " " + said(words, std::string("step.change.why_") + why,
                    {arg_units("left", open.left), arg_units("least", least),
                     arg_units("spent", request.prime.spent), interlock::arg_pen_kind(plan.takes)});
}

std::string change_words(const Words& words, const interlock::Plan& plan,
                         const dial::Action& action) {
  auto out = why_changed(words, plan, action);
  const auto& lot = plan.sources[action.cartridge].lot;
  if (!lot.empty()) out += " " + said(words, "step.change.lot", {arg_text("lot", lot)});
  for (const auto& aside : plan.set_aside) {
    if (is_sealed(aside)) out += " " + said(words, "step.change.not_lot", aside.args);
  }
  return out;
}

std::string their_clock(const Words& words, const Chart& person, const Clinic& clinic) {
  const auto& zone = person.person.zone;
  if (zone.empty() || zone == clinic.names.zone) return {};
  return said(words, "next.their_clock", {arg_text("zone", zone)});
}

// The days of travel included.
Rich trip_text(const Words& words, const Chart& person, const When& now) {
  const auto today = now.day();
  for (const auto& trip : person.supply.trips) {
    const bool on_it = trip.said.leaves - std::chrono::days{1} <= today &&
                       today <= trip.said.returns + std::chrono::days{1};
    if (on_it && !trip.said.zone.empty())
      return words.sentence("phone.trip",
                            {arg_text("leaves", words.day_near(trip.said.leaves, today)),
                             arg_text("returns", words.day_near(trip.said.returns, today)),
                             arg_text("zone", trip.said.zone)});
  }
  return {};
}

CardInput card_input(const Chart& person, const Clinic& clinic, const Words& words,
                     const NewId& new_id, const When& now, const interlock::Dose& dose) {
  CardInput input;
  input.words = &words;
  input.verdict = &dose.verdict;
  input.dose = &dose;
  input.person = &person;
  input.clinic = &clinic;
  input.shelf = &clinic.shelf;
  input.new_id = new_id;
  input.now = now;
  input.mark = mark_of(clinic.shelf, dose);
  input.insulin = dose.line->text.insulin;
  input.strength = dose.line->text.strength;
  input.purpose = dose.line->text.purpose;
  return input;
}

json::Value no_dose_card(const Words& words, const Chart& person, const Clinic& clinic,
                         const When& now, const std::string& insulin) {
  const auto verdict = interlock::no_line(person, insulin, now.day());
  CardInput input;
  input.words = &words;
  input.verdict = &verdict;
  input.clinic = &clinic;
  input.now = now;
  input.insulin = insulin;
  return next_card(input);
}

Rich clock_text(const Words& words, const Chart& person, const Clinic& clinic, const When& now) {
  const auto last = journal::recorded_later(person.facts, clinic.last_recorded, now.at);
  if (!last) return {};
  return words.sentence("next.clock_back", {arg_text("last", words.moment(person.zone.when(*last))),
                                            arg_text("now", words.moment(now))});
}

json::Value next_card(const CardInput& input) {
  const auto* plan = interlock::cleared(*input.verdict);
  const bool shown = plan != nullptr && !input.until_it_flows;
  auto card = json::object({{"state", text(plan == nullptr ? "refused" : "dial")},
                            {"title", text(said(*input.words, "next.title"))}});
  add_head(card, input);
  json::add(card, "part_text", text(part_text(input)));
  if (plan == nullptr) {
    // No number beside a refusal: nothing that could be dialled.
    json::add(card, "dose_text", text(""));
    json::add(card, "steps", list());
    const auto& held = *interlock::held(*input.verdict);
    json::add(card, "cautions", pages::card::cautions_of_held(input, held));
    auto part = held_part(*input.words, held, *input.clinic);
    auto answers =
        input.dose == nullptr ? std::vector<json::Value>{} : answers_of(*input.words, *input.dose);
    answers.insert(answers.end(), input.more_answers.begin(), input.more_answers.end());
    if (input.dose != nullptr && input.person != nullptr) {
      auto ask = pages::card::ask_when_ill(*input.words, *input.dose, input.person->order);
      std::ranges::move(ask, std::back_inserter(answers));
    }
    json::add(part, "answers", list(std::move(answers)));
    json::add(card, "refusal", std::move(part));
    json::add(card, "after_text", list());
  } else if (input.until_it_flows) {
    json::add(card, "dose_text", text(""));
    json::add(card, "steps", list(steps_of(input)));
    json::add(card, "cautions", pages::card::cautions_of(input));
    json::add(card, "after_text", list());
  } else {
    json::add(card, "dose_text",
              text(said(*input.words, "dose", {arg_units("dose", planned(input).request.dose)})));
    json::add(card, "steps", list(steps_of(input)));
    json::add(card, "cautions", pages::card::cautions_of(input));
    if (auto table = window_table(*input.words, *plan); table.type == json::Type::object)
      json::add(card, "window_table", std::move(table));
    json::add(card, "after_text", rich(after_text(*input.words, planned(input))));
  }
  json::add(card, "print",
            json::object({{"href", text(shown ? sheet_href(input) : "")},
                          {"label", text(said(*input.words, "next.print"))}}));
  json::add(card, "defer", text(said(*input.words, "defer.dose")));
  return card;
}

}  // namespace penstock::pages
