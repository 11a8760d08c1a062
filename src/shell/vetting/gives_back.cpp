// What entries change of the number that is shown for dialling.
#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "core/dial/dial.hpp"
#include "core/interlock/interlock.hpp"
#include "core/order/order.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::vetting {
namespace {

/// What a shown dose says to dial, and from which cartridge.
std::vector<std::pair<Id, Units>> dials_of(const interlock::Dose& dose) {
  const auto& plan = **interlock::cleared(dose.verdict);
  std::vector<std::pair<Id, Units>> out;
  for (const auto& action : plan.plan.actions) {
    if (action.what == dial::Do::dial)
      out.emplace_back(plan.sources[action.cartridge].cartridge, action.window);
  }
  return out;
}

interlock::Agenda agenda(const Chart& chart, const Clinic& clinic, Instant now) {
  return interlock::agenda_of(chart, interlock::house_of(clinic), chart.zone.when(now));
}
const interlock::Dose* shown(const interlock::Agenda& agenda) {
  const bool is_shown = agenda.next && interlock::held(agenda.next->verdict) == nullptr;
  return is_shown ? &*agenda.next : nullptr;
}

bool is_one_slot(const order::Due& a, const order::Due& b) {
  return a.line == b.line && a.day == b.day && a.name == b.name;
}

// What is to be given and was answered before, though its line says the same (H07, H39): of a
// divided dose the whole, and what another dose stands before.
const order::Due* opened_again(const Chart& before, const Chart& after,
                               const interlock::Agenda& agenda, Instant now) {
  constexpr std::int32_t tomorrow = 1;
  const auto was_open =
      order::open_dues(before.order, before.zone.when(now), before.zone, tomorrow);
  const auto is_again = [&](const order::Due& due) {
    const auto *was = before.order.line(due.line), *is = after.order.line(due.line);
    return was != nullptr && is != nullptr && was->text == is->text &&
           due.day <= after.zone.when(now).day() + std::chrono::days{tomorrow} &&
           std::ranges::none_of(was_open,
                                [&](const order::Due& one) { return is_one_slot(one, due); });
  };
  if (agenda.next->pending == nullptr && is_again(agenda.next->due)) return &agenda.next->due;
  const auto later = std::ranges::find_if(agenda.later, is_again);
  return later == agenda.later.end() ? nullptr : &*later;
}

// The next dose where another one was shown, or none.
const order::Due* shown_otherwise(const interlock::Agenda& before, const interlock::Dose& then) {
  const auto* was = shown(before);
  if (was == nullptr) return &then.due;
  const bool same = is_one_slot(was->due, then.due);
  if (!same && was->due.at.at < then.due.at.at) return nullptr;  // a dose is in: the next one
  const bool no_earlier =
      was->due.at.at == then.due.at.at || (same && was->due.at.at < then.due.at.at);
  return no_earlier && dials_of(*was) == dials_of(then) ? nullptr : &then.due;
}

}  // namespace

bool shows_number(const Chart& person, const Clinic& clinic, Instant now) {
  return shown(agenda(person, clinic, now)) != nullptr;
}

std::optional<Error> gives_back(const Chart& before, const Chart& after, const Clinic& clinic,
                                Instant now) {
  const auto agenda_then = agenda(after, clinic, now);
  const auto* then = shown(agenda_then);
  if (then == nullptr) return std::nullopt;
  const auto* due = shown_otherwise(agenda(before, clinic, now), *then);
  if (due == nullptr) due = opened_again(before, after, agenda_then, now);
  if (due == nullptr) return std::nullopt;
  return Error{Kind::refused,
               std::string(codes::ask_gives_back),
               {arg_units("dose", due->units),
                arg_text("insulin", after.order.line(due->line)->text.insulin),
                arg_instant("when", due->at)},
               ""};
}

}  // namespace penstock::vetting
