#include "shell/vetting/internal/doses.hpp"

#include <algorithm>
#include <optional>

#include "core/order/recording.hpp"
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

}  // namespace

std::vector<Objection> about_dose(const Fact& fact, const Injected& dose, const Chart& person) {
  std::vector<Objection> out;
  const auto add = [&](std::optional<Objection> one) {
    if (one) out.push_back(*std::move(one));
  };
  const auto* line = dose.line ? person.order.line(*dose.line) : nullptr;
  const auto* cartridge = person.ledger.cartridge(dose.cartridge);
  if (cartridge != nullptr && cartridge->is_loaded()) {
    if (line != nullptr) add(against_line(dose, *cartridge, *line));
    if (const auto why = unfit_then(*cartridge, fact.happened))
      out.push_back(ask(codes::ask_of_unfit, {arg_code("reason", ledger::code_of(*why)),
                                              arg_text("insulin", cartridge->copy.name)}));
    if (was_dry(*cartridge, fact.happened)) out.push_back(ask(codes::ask_dry, {}));
  }
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
