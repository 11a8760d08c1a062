#include "shell/vetting/internal/doses.hpp"

#include <algorithm>
#include <optional>

#include "core/order/then/then.hpp"
#include "shell/names/names.hpp"

namespace penstock::vetting::internal {
namespace {

using namespace journal;

Objection ask(std::string_view code, std::vector<Arg> args) {
  return {{Kind::refused, std::string(code), std::move(args), ""}, true};
}

std::optional<Objection> against_line(const Injected& dose, const ledger::Cartridge& cartridge,
                                      const order::Line& line) {
  const auto& ordered = line.text;
  if (!names::same_words(cartridge.copy.name, ordered.insulin))
    return ask(codes::ask_of_other_insulin,
               {arg_units("dose", dose.units), arg_text("other", cartridge.copy.name),
                arg_text("insulin", ordered.insulin)});
  if (cartridge.copy.strength == ordered.strength) return std::nullopt;
  return ask(codes::ask_of_other_strength,
             {arg_units("dose", dose.units), arg_strength("strength", cartridge.copy.strength),
              arg_text("insulin", ordered.insulin), arg_strength("ordered", ordered.strength)});
}

// Of a pen that should not be in use any more (H04, H08).
std::optional<Objection> ended_before(const Fact& fact, const Injected& dose,
                                      const ledger::Cartridge& cartridge, const Chart& person) {
  // A line that it is recorded under has a question of its own (against_line).
  if (!person.order.lines.empty() && !dose.line &&
      !order::has_had(person.order, cartridge.copy.name))
    return ask(codes::ask_given_unordered,
               {arg_units("dose", dose.units), arg_text("insulin", cartridge.copy.name)});
  const auto last =
      order::over_before(person.order, cartridge.copy.name, fact.happened, person.zone);
  if (!last) return std::nullopt;
  return ask(codes::ask_given_over,
             {arg_units("dose", dose.units), arg_text("insulin", cartridge.copy.name),
              arg_date("last", *last)});
}

// As it was at that hour; days in use have a question of their own.
std::optional<ledger::Fitness> unfit_then(const ledger::Cartridge& one, const When& then) {
  using ledger::Fitness;
  const auto since = [&](const auto& when) { return when && when->at <= then.at; };
  const auto reached = [&](const auto& spell) { return spell && spell->when.at <= then.at; };
  if (since(one.shared_since)) return Fitness::shared;
  if (reached(one.frozen)) return Fitness::frozen;
  if (one.is_too_hot() && reached(one.hottest)) return Fitness::too_hot;
  if (one.expires && then.day() > *one.expires) return Fitness::past_expiry;
  return std::nullopt;
}

// Only of what was recorded last from it: of an hour before that nobody knows what the needle did.
bool was_dry(const ledger::Cartridge& cartridge, const When& then) {
  const bool is_latest = cartridge.uses.empty() || cartridge.uses.back().when.at <= then.at;
  return is_latest && cartridge.flow_since_use == Flow::not_seen;
}

std::optional<Objection> asked_then(const order::Order& order, const order::Line& line,
                                    const When& then) {
  for (const auto& question : order.questions) {
    const bool open = !question.answer || question.answer->when.at > then.at;
    if (question.concerns(line.id) && question.opened.at <= then.at && open)
      return ask(codes::ask_in_question,
                 {arg_text("insulin", line.text.insulin), arg_instant("since", question.opened)});
  }
  if (line.checked && line.checked->when.at <= then.at) return std::nullopt;
  return ask(codes::ask_unchecked, {arg_text("insulin", line.text.insulin)});
}

// A part is on record, and this names neither it nor the line: as much as is missing is its rest.
std::optional<Objection> perhaps_rest(const Fact& fact, const Injected& dose, const Chart& person) {
  const auto* from = person.ledger.cartridge(dose.cartridge);
  if (dose.completes || dose.line || from == nullptr) return std::nullopt;
  for (const auto& pending : person.ledger.pending) {
    const auto* part = person.ledger.cartridge(pending.cartridge);
    const auto since = fact.happened.at - pending.since.at;
    const bool soon =
        since >= std::chrono::seconds{0} && since <= std::chrono::minutes{order::rest_minutes_most};
    if (!soon || part == nullptr || part->copy.name != from->copy.name ||
        pending.rest == dose.units)
      continue;
    return ask(codes::ask_taken_already,
               {arg_units("given", pending.given), arg_instant("when", pending.since)});
  }
  return std::nullopt;
}

std::optional<Objection> against_part(const Fact& fact, const Injected& dose, const Chart& person) {
  if (!dose.completes) return std::nullopt;
  const auto rest = rest_of(fact, dose, person);
  if (!rest) return ask(codes::ask_no_open_part, {arg_units("dose", dose.units)});
  if (!rest->units || dose.units <= *rest->units) return std::nullopt;
  return ask(codes::ask_rest_more,
             {arg_units("dose", dose.units), arg_units("rest", *rest->units)});
}

// What it is a dose of: its line, or told without one every line of its insulin.
std::vector<const order::Line*> lines_of(const Fact& fact, const Injected& dose,
                                         const Chart& person) {
  if (dose.line) {
    const auto* line = person.order.line(*dose.line);
    return line == nullptr ? std::vector<const order::Line*>{} : std::vector{line};
  }
  auto lines = person.order.holding(fact.happened.day());
  const auto* from = person.ledger.cartridge(dose.cartridge);
  std::erase_if(lines, [&](const order::Line* line) {
    return from == nullptr || from->copy.name != line->text.insulin ||
           from->copy.strength != line->text.strength;
  });
  return lines;
}

// What the order has for the time that it names, or for the nearest where it names none.
std::optional<Units> ordered_then(const Fact& fact, const Injected& dose, const Chart& person) {
  std::optional<order::Due> nearest;
  const auto apart = [&](const order::Due& due) { return abs(due.at.at - fact.happened.at); };
  const auto lines = lines_of(fact, dose, person);
  for (const int ahead : {-1, 0, 1}) {
    const auto day = fact.happened.day() + std::chrono::days{ahead};
    for (const auto& due : order::due_on(person.order, day, person.zone)) {
      const bool of_these = std::ranges::find(lines, due.line, &order::Line::id) != lines.end();
      if (!of_these || (dose.slot && *dose.slot != due.name)) continue;
      if (!nearest || apart(due) < apart(*nearest)) nearest = due;
    }
  }
  if (!nearest || nearest->units.is_zero()) return std::nullopt;
  return nearest->units;
}

// By more than a tenth, as several injections into one slot are (order::more_than_ordered). What is
// outside the order's limits has its own question.
bool is_above(const Fact& fact, const Injected& dose, Units ordered, const Chart& person) {
  const auto lines = lines_of(fact, dose, person);
  const bool inside =
      std::ranges::any_of(lines, [&](const auto* line) { return dose.units <= line->most(); });
  return inside && dose.outcome == Outcome::whole &&
         dose.units.hundredths() * 10 > ordered.hundredths() * 11;
}

}  // namespace

std::optional<order::OpenRest> rest_of(const Fact& fact, const Injected& dose,
                                       const Chart& person) {
  const auto* cartridge = person.ledger.cartridge(dose.cartridge);
  return order::rest_named(person.order, dose, cartridge != nullptr ? cartridge->copy.name : "",
                           fact.happened);
}

std::optional<Objection> meant_more(const Fact& fact, const Injected& dose, const Chart& person) {
  const auto ordered =
      dose.completes || !dose.meant ? std::nullopt : ordered_then(fact, dose, person);
  if (!ordered || *dose.meant <= *ordered) return std::nullopt;
  return ask(codes::ask_meant_more,
             {arg_units("meant", *dose.meant), arg_units("ordered", *ordered)});
}

std::optional<Objection> unlike_order(const Fact& fact, const Injected& dose, const Chart& person) {
  const auto ordered = dose.completes ? std::nullopt : ordered_then(fact, dose, person);
  if (!ordered) return std::nullopt;
  if (dose.meant && *dose.meant < *ordered)
    return ask(codes::ask_meant_less,
               {arg_units("meant", *dose.meant), arg_units("ordered", *ordered)});
  if (is_above(fact, dose, *ordered, person))
    return ask(codes::ask_above_order,
               {arg_units("given", dose.units), arg_units("ordered", *ordered)});
  return std::nullopt;
}

std::optional<Objection> takes_basal(const Fact& fact, const Correction& correction,
                                     const Chart& person, Instant now) {
  const auto* line = person.order.line(correction.target);
  if (line == nullptr || !order::is_basal(*line)) return std::nullopt;
  const auto day = std::max(person.zone.when(now).day(), line->text.from);
  const auto holds = [&](const order::Line& one) {
    const auto last = one.last_day();
    return order::is_basal(one) && (!last || *last >= std::max(day, one.text.from));
  };
  if (!holds(*line)) return std::nullopt;
  auto facts = person.facts;
  facts.push_back(fact);
  const auto after =
      chart::finish(chart::begin(person.journal, person.version, person.head, std::move(facts), {}),
                    person.zone, person.zones);
  if (std::ranges::any_of(after->order.lines, holds)) return std::nullopt;
  return ask(codes::ask_no_basal, {arg_text("insulin", line->text.insulin)});
}

std::vector<Objection> about_dose(const Fact& fact, const Injected& dose, const Chart& person) {
  std::vector<Objection> out;
  const auto add = [&](std::optional<Objection> one) {
    if (one) out.push_back(*std::move(one));
  };
  const auto* line = dose.line ? person.order.line(*dose.line) : nullptr;
  const auto* cartridge = person.ledger.cartridge(dose.cartridge);
  if (cartridge != nullptr && cartridge->is_loaded()) {
    if (line != nullptr) add(against_line(dose, *cartridge, *line));
    add(ended_before(fact, dose, *cartridge, person));
    if (const auto why = unfit_then(*cartridge, fact.happened))
      out.push_back(ask(codes::ask_of_unfit, {arg_code("reason", ledger::code_of(*why)),
                                              arg_text("insulin", cartridge->copy.name)}));
    if (was_dry(*cartridge, fact.happened)) out.push_back(ask(codes::ask_dry, {}));
  }
  add(against_part(fact, dose, person));
  add(perhaps_rest(fact, dose, person));
  const std::string insulin = cartridge != nullptr ? cartridge->copy.name : "";
  const auto strength = cartridge != nullptr ? cartridge->copy.strength : Strength{};
  if (const auto* said =
          order::said_before(person.order, dose, insulin, strength, fact.happened, person.zone))
    out.push_back(ask(said->was == DoseWas::taken ? codes::ask_said_taken : codes::ask_said_unknown,
                      {arg_instant("when", said->when)}));
  if (line != nullptr) add(asked_then(person.order, *line, fact.happened));
  return out;
}

}  // namespace penstock::vetting::internal
