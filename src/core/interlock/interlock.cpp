// The verdict on one dose, and what comes next for a person.
#include "core/interlock/interlock.hpp"

#include <algorithm>

#include "core/interlock/doubts/doubts.hpp"
#include "core/interlock/internal/case.hpp"
#include "core/interlock/judged/judged.hpp"
#include "core/interlock/lately/lately.hpp"
#include "core/order/recording.hpp"

namespace penstock::interlock {

// How far ahead a next dose is looked for: a weekly line comes round once.
constexpr int look_ahead_days = 8;

namespace internal {

Cleared<Plan> Gate::open(Case one) {
  Plan plan;
  plan.takes = one.takes().value_or(shelf::Presentation::cartridge);
  plan.request = *std::move(one.request);
  plan.sources = std::move(one.at_home.sources);
  plan.plan = *std::move(one.plan);
  std::vector<std::size_t> told;
  for (const auto& action : plan.plan.actions) {
    if (action.what != dial::Do::dial || std::ranges::find(told, action.cartridge) != told.end())
      continue;
    told.push_back(action.cartridge);
    const auto& id = plan.sources[action.cartridge].cartridge;
    const auto* from = one.person != nullptr ? one.person->ledger.cartridge(id) : nullptr;
    if (from != nullptr) std::ranges::move(doubts_of(*from), std::back_inserter(plan.doubts));
  }
  for (auto& aside : one.at_home.set_aside) {
    // What does not fit lies in the house as it should; what must not be used is said (H61).
    if (aside.code != codes::no_fit) plan.set_aside.push_back(std::move(aside.error));
  }
  return Cleared<Plan>(std::move(plan));
}

std::optional<OpenScale> scale_of(const chart::Chart& person, const Dose& dose) {
  const auto* pen = dose.pen;
  const auto* in_pen =
      pen != nullptr && pen->cartridge ? person.ledger.cartridge(*pen->cartridge) : nullptr;
  if (auto open = open_scale(person, *dose.line, in_pen)) return open;
  const auto before = slot_before(person, dose.due);
  const auto since = before ? before->to.at : dose.due.from.at - std::chrono::days{1};
  return open_scale_elsewhere(person, *dose.line, in_pen, since);
}

bool waits_for(const chart::Chart& person, const order::Unrecorded& missed, const order::Due& due) {
  if (missed.last.line == due.line) return true;
  const auto over = person.order.line(missed.last.line)->last_day();
  return over && *over < due.day && order::is_basal(*person.order.line(due.line));
}

}  // namespace internal

Arg arg_pen_kind(shelf::Presentation takes) {
  return arg_code("pen_kind", names_of(takes)[static_cast<std::size_t>(takes)]);
}

const order::Line* line_of(const chart::Chart& person, const ledger::Pending& pending) {
  if (pending.line) return person.order.line(*pending.line);
  const auto* cartridge = person.ledger.cartridge(pending.cartridge);
  if (cartridge == nullptr) return nullptr;
  for (const auto* line : person.order.holding(pending.since.day())) {
    if (line->text.insulin == cartridge->copy.name &&
        line->text.strength == cartridge->copy.strength)
      return line;
  }
  return nullptr;
}

namespace {

using chart::Chart;
using internal::Case;
using std::chrono::days;

constexpr std::size_t later_max = 8;
// How far back doses that nobody spoke of are told: after a month of two a day it is all the same.
constexpr int unaccounted_slots_max = 60;
// How long after a line's last day its last dose is asked about: then it changes nothing any more.
constexpr std::chrono::days asked_after_end{4};

const ledger::Pending* pending_of(const Chart& person, const order::Line& line) {
  for (const auto& pending : person.ledger.pending) {
    if (line_of(person, pending) == &line) return &pending;
  }
  return nullptr;
}

// Whether the injection is a part of the dose of this slot; one of another day is not.
bool answers(const Chart& person, const order::Due& due, const ledger::Pending& pending) {
  const auto given = order::given_for(person.order, due);
  return std::ranges::any_of(given,
                             [&](const order::Given* one) { return one->fact == pending.fact; });
}

// The rest that a due slot still owes: of a part given for this slot, not of one from another day
// (H39).
const ledger::Pending* pending_part(const Chart& person, const order::Line& line,
                                    const order::Due& due) {
  const auto* pending = pending_of(person, line);
  if (pending == nullptr || pending->outcome != journal::Outcome::part) return nullptr;
  return due.from.at <= pending->since.at || answers(person, due, *pending) ? pending : nullptr;
}

// What was said of it is no rest that is owed; of what nobody knows the prescriber has the last
// word (H44).
bool is_settled(const Chart& person, const order::Line& line, const ledger::Pending& pending) {
  const auto* said = order::said_of_rest(person.order, line, pending.fact, person.zone);
  const bool nobody_knows = pending.outcome == journal::Outcome::unknown ||
                            (said != nullptr && said->was == journal::DoseWas::not_known);
  return nobody_knows ? order::is_answered_since(person.order, line, pending.since.at)
                      : said != nullptr;
}

// A rest that is owed comes before anything else (H39): it is due since the part was given, until
// the next slot's window opens.
std::vector<order::Due> dues_of_rests(const Chart& person, const When& now) {
  std::vector<order::Due> out;
  for (const auto& pending : person.ledger.pending) {
    const auto* line = line_of(person, pending);
    if (line == nullptr || line->text.slots.empty() || is_settled(person, *line, pending)) continue;
    if (const auto over = overtaken_from(person, pending); over && over->at <= now.at) continue;
    const auto slot = order::slot_of(person.order, *line, pending.fact, person.zone);
    order::Due due;
    due.line = line->id;
    due.name = slot ? slot->name : pending.slot.value_or(line->text.slots.front().slot);
    due.units =
        pending.outcome == journal::Outcome::part ? pending.rest : line->text.slots.front().units;
    due.day = slot ? slot->day : pending.since.day();
    due.at = pending.since;
    due.from = pending.since;
    due.to = now;
    out.push_back(due);
  }
  return out;
}

// From when doses of the line could be recorded: its first cartridge; where none was recorded, its
// first pen. One that was changed since hides none.
std::optional<When> recorded_from(const Chart& person, const order::Line& line) {
  std::optional<When> loaded, given;
  const auto note = [&](std::optional<When>& first, const std::string& insulin, Strength strength,
                        const When& when) {
    const bool of_line = insulin == line.text.insulin && strength == line.text.strength;
    if (of_line && (!first || when.at < first->at)) first = when;
  };
  for (const auto& one : person.ledger.cartridges)
    if (one.is_loaded()) note(loaded, one.copy.name, one.copy.strength, one.loaded_when);
  for (const auto& one : person.ledger.pens)
    if (one.is_given()) note(given, one.insulin, one.strength, one.given_when);
  return loaded ? loaded : given;
}

// Of basal insulin, the first of several slots in a row up to the one that was answered of which no
// dose is known: each answered, or only the last (H57). Nothing: that one alone.
std::optional<When> first_unaccounted(const Chart& person, const order::Line& line,
                                      const order::Due& answered) {
  const auto from = recorded_from(person, line);
  if (!order::is_basal(line) || !from) return std::nullopt;
  std::optional<When> first;
  auto slot = slot_before(person, answered);
  for (int back = 0; back < unaccounted_slots_max && slot && slot->to.at > from->at; ++back) {
    const auto* said = order::said_of(person.order, *slot);
    if ((said != nullptr && said->was == journal::DoseWas::taken) ||
        !order::given_for(person.order, *slot).empty() ||
        !order::perhaps_given(person.order, *slot, slot->to.at, person.zone).empty())
      break;
    first = slot->at;
    slot = slot_before(person, *slot);
  }
  return first;
}

// Whose doses nobody records is not asked for each (H32); that none is on record is said all the
// same, with the hour since which there could be one (H57).
std::optional<When> never_recorded(const Chart& person, const order::Line& line,
                                   const std::optional<order::Due>& before) {
  const auto from = recorded_from(person, line);
  if (!order::is_basal(line) || !line.checked || !from || !before || before->to.at <= from->at ||
      !person.order.given.empty())
    return std::nullopt;
  return from;
}

// Of the line, or of one whose place it took, while nothing went in under this one since.
const ledger::Pending* pending_before(const Chart& person, const order::Line& line) {
  if (const auto* own = pending_of(person, line)) return own;
  for (const auto& pending : person.ledger.pending) {
    const auto* old = line_of(person, pending);
    const bool is_old = old != nullptr && person.order.stands_for(line, old->id);
    if (is_old && std::ranges::none_of(person.order.given, [&](const order::Given& given) {
          return given.line == line.id && given.when.at > pending.since.at;
        }))
      return &pending;
  }
  return nullptr;
}

std::optional<Before> before_of(const Chart& person, const Dose& dose) {
  if (dose.pending != nullptr) return std::nullopt;
  using Was = Before::Was;
  using journal::DoseWas;
  const auto& due = dose.due;
  if (const auto* pending = pending_before(person, *dose.line);
      pending != nullptr && pending->since.at < due.at.at && !answers(person, due, *pending)) {
    const auto* said =
        order::said_of_rest(person.order, *line_of(person, *pending), pending->fact, person.zone);
    if (pending->outcome == journal::Outcome::unknown ||
        (said != nullptr && said->was == DoseWas::not_known))
      return Before{Was::amount_unknown, pending->since, {}, pending->rest, pending->meant};
    if (said != nullptr && said->was == DoseWas::taken) return std::nullopt;
    return Before{said != nullptr ? Was::rest_not_given : Was::rest_not_said,
                  pending->since,
                  {},
                  pending->rest,
                  pending->meant};
  }
  const auto slot = slot_before(person, due);
  const auto* said = slot ? order::said_of(person.order, *slot) : nullptr;
  if (const auto since = never_recorded(person, *dose.line, slot); since && said == nullptr)
    return Before{Was::none_recorded, *since, {}, Units::zero(), Units::zero()};
  if (said == nullptr || said->was == DoseWas::taken ||
      !order::given_for(person.order, *slot).empty())
    return std::nullopt;
  return Before{said->was == DoseWas::not_taken ? Was::missed : Was::not_known, slot->at,
                first_unaccounted(person, *dose.line, *slot), Units::zero(), Units::zero()};
}

Done done_by(const order::Given& given, const std::optional<Done>& before = {}) {
  const bool is_unknown = given.outcome == journal::Outcome::unknown;
  if (!before) return {given.when, given.units, is_unknown};
  return {given.when, sum(before->units, given.units), is_unknown || before->is_unknown};
}

std::optional<Done> done_before(const Chart& person, const Dose& dose, const When& now) {
  if (dose.pending != nullptr || dose.due.from.at <= now.at) return std::nullopt;
  const auto slot = slot_before(person, dose.due);
  if (!slot || slot->to.at < now.at) return std::nullopt;
  std::optional<Done> done;
  for (const auto* given : order::given_for(person.order, *slot)) done = done_by(*given, done);
  return done;
}

std::optional<Dose::Changed> strength_before(const Chart& person, const order::Line& line) {
  const bool given = std::ranges::any_of(person.order.given, [&](const order::Given& one) {
    return one.line ? *one.line == line.id
                    : one.insulin == line.text.insulin && one.strength == line.text.strength;
  });
  if (given) return std::nullopt;
  for (const auto& old : person.order.lines) {
    if (old.replaced_by == line.id && old.text.insulin == line.text.insulin &&
        old.text.strength != line.text.strength)
      return Dose::Changed{old.text.strength, old.replaced_from};
  }
  return std::nullopt;
}

bool in_question(const Chart& person, const order::Line& line, LocalDay on) {
  return person.order.state(line, on) == order::State::in_question;
}

Verdict verdict_of(Case one) {
  if (one.request) {
    auto plan = dial::plan(*one.request);
    if (plan) {
      one.plan = *std::move(plan);
    } else {
      one.by_dial = plan.error();
    }
  }
  if (auto holds = internal::first_that_holds(one)) return *std::move(holds);
  if (one.plan) return internal::Gate::open(std::move(one));
  // A rule was left out, and nothing can be planned all the same.
  return Hold{{internal::refused(no_plan_rule, {}), rules().size() - 1, Today::other_source, {}}};
}

// What became of a slot that went by is asked, though its line holds no more (H57).
bool is_past_of_a_line_that_ended(const Case& one, const Dose& dose, std::string_view refused) {
  if (refused != order::codes::replaced && refused != order::codes::ended) return false;
  if (dose.due.to.at >= one.now.at || one.house.without == codes::unrecorded) return false;
  return std::ranges::any_of(unrecorded_of(*one.person, one.now.at),
                             [&](const auto& missed) { return missed.last.line == dose.due.line; });
}

void ask_the_order(Case& one, const Dose& dose) {
  order::Ask ask{dose.due.line, internal::owed(dose), one.when.at, std::nullopt,
                 order::Ask::Taken::ask};
  if (dose.pending != nullptr) {
    ask.completes = dose.pending->fact;
    ask.now = one.now.at;  // a rest is given now, whenever its slot is (H39)
  }
  const auto allowed = order::may_dial(one.person->order, ask, one.person->zone, one.house.without);
  const bool is_over = !allowed && (allowed.error().code == order::codes::replaced ||
                                    allowed.error().code == order::codes::ended);
  if (dose.pending != nullptr && is_over) {
    // What became of it is asked though its line holds no more, or nothing could be pressed (H39).
    one.by_order = internal::refused(
        order::codes::rest_late,
        {arg_units("rest", dose.pending->rest), arg_instant("when", dose.pending->since)});
    for (auto& arg : internal::about(*dose.line)) one.by_order->args.push_back(std::move(arg));
    return;
  }
  // The dose of the hour that it is now is another than one that has gone (H57).
  const bool of_another = dose.pending == nullptr && dose.due.to.at < one.now.at && !allowed &&
                          allowed.error().code == order::codes::taken_already;
  if (!allowed && !of_another && !is_past_of_a_line_that_ended(one, dose, allowed.error().code))
    one.by_order = allowed.error();
}

bool dials_in(const Plan& plan, const dial::Action& step) {
  return step.what == dial::Do::dial &&
         std::ranges::any_of(plan.plan.actions, [&](const auto& own) { return &own == &step; });
}

}  // namespace

Cleared<Units> window_of(const Cleared<Plan>& plan, const dial::Action& step) {
  INVARIANT(dials_in(*plan, step));
  return internal::Gate::number(step.window);
}

Cleared<Units> window_after(const Cleared<Plan>& plan, const dial::Action& step, Units primed) {
  INVARIANT(dials_in(*plan, step));
  return internal::Gate::number(sum(primed, step.dose));
}

const Held* held(const Verdict& verdict) {
  if (const auto* hold = std::get_if<Hold>(&verdict)) return hold;
  return std::get_if<AskFirst>(&verdict);
}
const Cleared<Plan>* cleared(const Verdict& verdict) {
  return std::get_if<Cleared<Plan>>(&verdict);
}

namespace {

Verdict judged(const Chart& person, const House& house, const Dose& dose, const When& now,
               const When& when, const SaidOfDose& said) {
  Case one{house, said, &person, &dose, now, when, {}, {}, {}, {}, {}, {}};
  ask_the_order(one, dose);
  if (dose.pen != nullptr) {
    one.at_home = internal::at_home(person, house, dose, one.when.day());
    one.request = internal::request_of(person, house, dose, one.at_home, one.now.at, said.on_paper);
  }
  return verdict_of(std::move(one));
}

// A pen that does not give the dose holds nobody back from another one of the same insulin that
// does (H38, H64).
void judge_each_pen(const Chart& person, const House& house, Dose& dose, const When& now,
                    const When& when, const SaidOfDose& said) {
  const auto pens = internal::pens_for(person, house, *dose.line, dose.pending, now.day());
  if (!pens.empty()) dose.pen = pens.front();
  dose.verdict = judged(person, house, dose, now, when, said);
  for (std::size_t i = 1; i < pens.size(); ++i) {
    const auto* why = held(dose.verdict);
    if (why == nullptr || (why->today != Today::other_source && why->today != Today::get_more))
      return;
    auto another = dose;
    another.pen = pens[i];
    another.verdict = judged(person, house, another, now, when, said);
    if (cleared(another.verdict) != nullptr) dose = std::move(another);
  }
}

}  // namespace

Dose decide(const Chart& person, const House& house, const order::Due& due, const When& now,
            const SaidOfDose& said) {
  Dose dose;
  dose.due = dose.asked = due;
  dose.line = person.order.line(due.line);
  INVARIANT(dose.line != nullptr);
  dose.changed = strength_before(person, *dose.line);
  dose.pending = pending_part(person, *dose.line, due);
  dose.before = before_of(person, dose);
  dose.done = done_before(person, dose, now);
  dose.too_much = too_much_of_others(person, house.shelf, *dose.line, now.at);
  if (dose.pending == nullptr) {
    for (const auto* given : order::given_beside(person.order, due, now.at, person.zone))
      dose.near = done_by(*given);
    const auto last = lately_before(person, *dose.line, due, now.at);
    // Of an insulin that nobody ordered no word lets the next dose go but the prescriber's.
    if (last && (!dose.near || order::is_unordered_basal(person.order, last->given))) {
      dose.lately = done_by(last->given);
      dose.lately->may_be_any = order::is_of_unknown_insulin(person.order, last->given);
      dose.lately->insulin = order::insulin_of(person.order, last->given);
      dose.lately->holds = last->holds;
      dose.lately->close = last->close;
    }
  }
  const When when = due.at.at > now.at ? due.at : now;
  judge_each_pen(person, house, dose, now, when, said);
  dose.others = internal::others_of(person, house, dose, when.day());
  const auto* why = held(dose.verdict);
  if (why != nullptr && codes::is_of_scale(why->error.code))
    dose.asked_from = internal::scale_of(person, dose)->cartridge;
  if (why != nullptr && rules()[why->row].code == codes::unrecorded) {
    for (const auto& slot : unrecorded_of(person, now.at)) {
      if (internal::waits_for(person, slot, due)) dose.asked = slot.last;
    }
  } else if (why != nullptr && why->error.code == codes::watched && dose.pending == nullptr) {
    dose.asked = slot_watched(person, due, now.at);
  } else if (why != nullptr && why->error.code == codes::missed_told) {
    dose.asked = slot_before(person, due).value_or(due);
  }
  return dose;
}

Verdict decide(const Call& call, const House& house) {
  const SaidOfDose said;
  Case one{house, said, nullptr, nullptr, {}, {}, {}, &call, {}, {}, {}, {}};
  internal::fill(one, call);
  return verdict_of(std::move(one));
}

namespace {

Verdict held_by(std::string_view rule, Error error) {
  const auto rows = rules();
  const auto row = std::ranges::find(rows, rule, &Rule::code);
  INVARIANT(row != rows.end());
  return Hold{{std::move(error), static_cast<std::size_t>(row - rows.begin()), row->today, {}}};
}

}  // namespace

Verdict no_line(const chart::Chart& person, std::string_view insulin, LocalDay on) {
  const order::Line* over = nullptr;
  const order::Line* ahead = nullptr;
  for (const auto& line : person.order.lines) {
    const auto last = line.last_day();
    if (line.replaced_by || (!insulin.empty() && line.text.insulin != insulin)) continue;
    if (last && *last < on && (over == nullptr || *over->last_day() <= *last)) over = &line;
    if (on < line.text.from && (ahead == nullptr || line.text.from < ahead->text.from))
      ahead = &line;
  }
  const auto of = [](std::string_view code, Arg arg, const order::Line& line) {
    auto args = internal::about(line);
    args.push_back(std::move(arg));
    return held_by(code, internal::refused(code, std::move(args)));
  };
  if (ahead != nullptr)
    return of(order::codes::not_yet, arg_date("from", ahead->text.from), *ahead);
  if (over != nullptr)
    return of(order::codes::ended, arg_date("last_day", *over->last_day()), *over);
  if (!insulin.empty())
    return held_by(codes::no_line,
                   internal::refused(codes::no_line, {arg_text("insulin", insulin)}));
  const auto code = person.order.lines.empty() ? codes::nothing_ordered : codes::nothing_due;
  return held_by(codes::no_line, internal::refused(code, {}));
}

bool is_recalled(const House& house, std::string_view insulin, Strength strength,
                 const std::string& lot) {
  return house.without != codes::recalled &&
         stock::is_recalled(house.stock, house.shelf, insulin, strength, lot);
}

std::optional<When> overtaken_from(const Chart& person, const ledger::Pending& pending) {
  const auto* line = line_of(person, pending);
  if (line == nullptr) return std::nullopt;
  for (int ahead = -1; ahead <= look_ahead_days; ++ahead) {
    for (const auto& due :
         order::due_on(person.order, pending.since.day() + days{ahead}, person.zone)) {
      if (due.line == line->id && due.from.at > pending.since.at && !answers(person, due, pending))
        return due.from;
    }
  }
  return std::nullopt;
}

std::vector<order::Unrecorded> unrecorded_of(const Chart& person, std::optional<Instant> now) {
  std::vector<order::Unrecorded> out;
  for (const auto& line : person.order.lines) {
    const auto since = recorded_from(person, line);
    const auto last = line.last_day();
    const auto over = last ? std::optional(person.zone.resolve(LocalTime{*last + asked_after_end}))
                           : std::nullopt;
    if (!since || (over && now && *now >= over->at)) continue;
    auto found = order::unrecorded(person.order, line, *since, now, person.zone);
    // One that is passed over is asked about where no later one is; a list that is kept until
    // somebody writes has both.
    const auto asked_at = now.value_or(person.history.facts.back().happened.at);
    if (!found || !now) {
      const auto due = order::passed_over(person.order, line, *since, asked_at, person.zone);
      if (due)
        out.push_back({*due, *due, false, person.zone.when(due->to.at + order::passed_over_hours)});
    }
    if (!found) continue;
    if (over && (!found->until || over->at < found->until->at)) found->until = over;
    out.push_back(*std::move(found));
  }
  return out;
}

const order::Line* newest_line(const Chart& person) {
  const order::Line* out = nullptr;
  for (const auto& line : person.order.lines) {
    if (line.replaced_by || line.ended) continue;
    if (out == nullptr || line.text.order_version > out->text.order_version) out = &line;
  }
  return out;
}

namespace {

// What is owed of a divided dose, and what nobody knows of one (H39, H44).
void add_rests(const Chart& person, const House& house, const When& now,
               std::span<const order::Due> dues, Agenda& agenda) {
  for (const auto& rest : dues_of_rests(person, now)) {
    if (in_question(person, *person.order.line(rest.line), now.day())) continue;
    auto dose = decide(person, house, rest, now);
    const auto* why = held(dose.verdict);
    // What may not be given must not stand before another dose that is due now (H38).
    const bool another_waits = std::ranges::any_of(dues, [&](const order::Due& due) {
      return due.from.at <= now.at && due.line != rest.line;
    });
    if (!agenda.next && !(why != nullptr && another_waits)) {
      agenda.next = std::move(dose);
    } else if (why != nullptr && why->today == Today::nothing_more) {
      agenda.unrecorded.push_back(std::move(dose));
    }
  }
}

}  // namespace

Agenda agenda_of(const Chart& person, const House& house, const When& now) {
  Agenda agenda;
  const auto tomorrow = now.day() + days{1};
  const auto dues = order::open_dues(person.order, now, person.zone, look_ahead_days);
  const auto missed = unrecorded_of(person, now.at);
  if (house.without != codes::unrecorded) {
    for (const auto& slot : missed) {
      auto dose = decide(person, house, slot.last, now);
      // What the prescriber is asked about goes before it.
      const auto* why = held(dose.verdict);
      const bool asks = why != nullptr && (rules()[why->row].code == codes::unrecorded ||
                                           rules()[why->row].code == codes::watched);
      if (asks || (why != nullptr && why->error.code == order::codes::swapped))
        agenda.unrecorded.push_back(std::move(dose));
    }
  }
  const auto waits = [](const std::vector<Dose>& doses, const order::Due& due) {
    return std::ranges::any_of(doses, [&](const Dose& dose) { return dose.due.line == due.line; });
  };
  const auto waits_for_missed = [&](const order::Due& due) {
    return std::ranges::any_of(agenda.unrecorded, [&](const Dose& dose) {
      return dose.pending == nullptr &&
             internal::waits_for(person, {dose.due, dose.due, false, {}}, due);
    });
  };
  // Nor is a dose of a later version next while the one before it waits for an answer (H38, H57).
  const auto waits_for_asked = [&](const order::Due& due) {
    return std::ranges::any_of(agenda.ask_first, [&](const Dose& dose) {
      return person.order.stands_for(*person.order.line(due.line), dose.due.line);
    });
  };
  add_rests(person, house, now, dues, agenda);
  for (const auto& due : dues) {
    // It is given by a glucose value, not at an hour, and stands before no other dose.
    if (person.order.line(due.line)->text.purpose == journal::Purpose::correction &&
        house.without != codes::correction)
      continue;
    if (waits(agenda.unrecorded, due) || waits_for_missed(due) || waits_for_asked(due)) continue;
    // The slot that went by unanswered, or the hour by which to phone would slide to the next one
    // at each midnight (H38, H57).
    const auto gone =
        std::ranges::find(missed, due.line, [](const auto& slot) { return slot.last.line; });
    const auto state = person.order.state(*person.order.line(due.line), due.day);
    const bool unchecked = state == order::State::awaiting_check && gone != missed.end();
    if (state == order::State::in_question || unchecked) {
      agenda.ask_first.push_back(
          decide(person, house, gone == missed.end() ? due : gone->last, now));
    } else if (!agenda.next) {
      agenda.next = decide(person, house, due, now);
    } else if (due.day <= tomorrow && agenda.later.size() < later_max) {
      agenda.later.push_back(due);
    }
  }
  return agenda;
}

}  // namespace penstock::interlock
