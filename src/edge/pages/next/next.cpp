#include "edge/pages/next/next.hpp"

#include <algorithm>

namespace penstock::pages {
namespace {

using std::chrono::days;

// How far ahead a next dose is looked for: a weekly line comes round once.
constexpr int look_ahead_days = 8;
constexpr std::size_t later_max = 8;

const ledger::Pen* pen_for(const Chart& person, const order::Line& line) {
  const ledger::Pen* found = nullptr;
  for (const auto& pen : person.ledger.pens) {
    if (pen.is_given() && pen.shared.empty() && pen.insulin == line.text.insulin &&
        pen.strength == line.text.strength)
      found = &pen;
  }
  return found;
}

std::vector<Arg> about(const order::Line& line) {
  return {arg_text("insulin", line.text.insulin), arg_strength("strength", line.text.strength),
          arg_code("purpose",
                   names_of(line.text.purpose)[static_cast<std::size_t>(line.text.purpose)])};
}

Error refused(std::string_view code, const order::Line& line, std::vector<Arg> more) {
  auto args = about(line);
  for (auto& arg : more) args.push_back(std::move(arg));
  return {Kind::refused, std::string(code), std::move(args), ""};
}

// A sealed container of the line's insulin that was made for the pen (H42): the shelf says which.
const shelf::Entry<shelf::Cartridge>* container_for(const shelf::Shelf& shelf,
                                                    const ledger::Pen& pen,
                                                    std::string_view insulin_code, Units each) {
  for (const auto& entry : shelf.cartridges) {
    if (entry.thing.insulin == insulin_code && entry.thing.content == each &&
        shelf::fits(pen.copy, entry.thing))
      return &entry;
  }
  return nullptr;
}

struct House {
  std::vector<Source> sources;
  std::vector<dial::Cartridge> cartridges;
  std::optional<ledger::Fitness> unfit;  ///< why the one in the pen cannot serve
  bool sealed_without_fit = false;
};

void add_open_one(const ledger::Pen& pen, const ledger::Ledger& ledger, LocalDay on, House& house) {
  const auto* cartridge = pen.cartridge ? ledger.cartridge(*pen.cartridge) : nullptr;
  if (cartridge == nullptr || cartridge->thrown) return;
  const auto fitness = cartridge->fitness(on);
  // Past its period it goes into the request: the plan itself leaves it out and says why.
  if (fitness != ledger::Fitness::serves && fitness != ledger::Fitness::past_in_use) {
    house.unfit = fitness;
    return;
  }
  if (cartridge->fits != pen.copy.fits) {
    house.sealed_without_fit = true;
    return;
  }
  dial::Cartridge one;
  one.id = to_text(cartridge->id);
  one.left = cartridge->left;
  one.days_in_use = cartridge->days_in_use(on).value_or(0);
  one.in_use_days = cartridge->copy.in_use_days;
  one.is_new = cartridge->is_new();
  house.cartridges.push_back(std::move(one));
  house.sources.push_back(
      {cartridge->id, cartridge->copy, cartridge->content, "", cartridge->fits});
}

void add_sealed_ones(const Chart& person, const shelf::Shelf& shelf, const ledger::Pen& pen,
                     const order::Line& line, House& house) {
  const auto* insulin = shelf.insulin(line.text.insulin, line.text.strength);
  if (insulin == nullptr) return;
  for (const auto& stock : person.ledger.stock) {
    if (stock.insulin != line.text.insulin || stock.strength != line.text.strength ||
        stock.left <= 0)
      continue;
    const auto* container = container_for(shelf, pen, insulin->code, stock.each);
    if (container == nullptr) {
      house.sealed_without_fit = true;
      continue;
    }
    for (std::int64_t i = 0; i < stock.left && house.cartridges.size() < draw::cartridges_max;
         ++i) {
      dial::Cartridge one;
      one.id = "sealed " + std::to_string(house.cartridges.size() + 1);
      one.left = stock.each;
      one.in_use_days = insulin->thing.in_use_days;
      one.is_new = true;
      house.cartridges.push_back(std::move(one));
      house.sources.push_back(
          {Id{}, insulin->thing, stock.each, insulin->code, container->thing.fits});
    }
  }
}

House house_of(const Chart& person, const shelf::Shelf& shelf, const ledger::Pen& pen,
               const order::Line& line, LocalDay on) {
  House house;
  add_open_one(pen, person.ledger, on, house);
  add_sealed_ones(person, shelf, pen, line, house);
  return house;
}

dial::Prime prime_of(const ledger::Pen& pen, bool in_house) {
  dial::Prime prime;
  prime.units = pen.copy.prime;
  prime.new_cartridge = pen.copy.prime_new_cartridge;
  if (!in_house) return prime;  // what was pressed out through the needle was another cartridge's
  const bool counts_on = pen.window() == shelf::Window::counts_on;
  prime.spent = counts_on ? pen.spent_in_window : pen.spent_on_needle;
  prime.through_needle = pen.spent_on_needle;
  prime.flow_seen = pen.flow_seen;
  prime.dry_primes = pen.dry_primes;
  prime.needle_changed = pen.dry_needles > 0;
  return prime;
}

// Two cartridges for one dose only where the order allows it, it was taught back, and the insulin
// is clear.
draw::Split split_of(const Chart& person, const order::Line& line, const shelf::Insulin& insulin) {
  const bool may = line.text.may_split && person.person.taught(journal::Skill::split_dose) &&
                   !insulin.suspension;
  return may ? draw::Split::if_short : draw::Split::never;
}

std::optional<Units> dose_after(const Chart& person, const order::Due& due) {
  for (int ahead = 0; ahead <= look_ahead_days; ++ahead) {
    for (const auto& next : order::due_on(person.order, due.day + days{ahead}, person.zone)) {
      if (next.line == due.line && next.at.at > due.at.at) return next.units;
    }
  }
  return std::nullopt;
}

Planned plan_from(const Chart& person, const shelf::Shelf& shelf, const NextDose& dose,
                  const When& when) {
  Planned planned;
  const auto& line = *dose.line;
  if (dose.pen == nullptr) {
    planned.refusal = refused(codes::next_no_pen, line, {arg_units("dose", dose.due.units)});
    return planned;
  }
  auto house = house_of(person, shelf, *dose.pen, line, when.day());
  if (house.cartridges.empty() && house.unfit) {
    planned.refusal =
        refused(codes::next_unfit, line, {arg_code("reason", ledger::code_of(*house.unfit))});
    return planned;
  }
  if (house.cartridges.empty() && house.sealed_without_fit) {
    planned.refusal = refused(codes::next_no_fit, line, {arg_text("pen", dose.pen->copy.name)});
    return planned;
  }
  auto& request = planned.request;
  const auto* entry = shelf.insulin(line.text.insulin, line.text.strength);
  const auto insulin = !house.sources.empty() ? house.sources.front().copy
                       : entry != nullptr     ? entry->thing
                                              : shelf::Insulin{};
  request.dose = dose.pending != nullptr ? dose.pending->rest : dose.due.units;
  if (dose.pending != nullptr) request.part_of = dose.pending->meant;
  request.insulin = {line.text.insulin, line.text.strength, insulin.suspension,
                     insulin.least_left_to_mix};
  request.pen = {dose.pen->copy.step, dose.pen->copy.most, dose.pen->window(),
                 dose.pen->copy.hold_seconds};
  const bool open_serves = !house.sources.empty() && !house.sources.front().cartridge.is_nil();
  request.prime = prime_of(*dose.pen, open_serves);
  request.cartridges = std::move(house.cartridges);
  request.split = split_of(person, line, insulin);
  if (const auto next = dose_after(person, dose.due)) request.next_doses = std::vector{*next};
  planned.sources = std::move(house.sources);
  auto plan = dial::plan(request);
  if (plan) {
    planned.plan = *std::move(plan);
  } else {
    planned.refusal = plan.error();
    for (auto& arg : about(line)) planned.refusal->args.push_back(std::move(arg));
  }
  return planned;
}

// The rest that a due slot still owes: of a part given inside this slot, not of one from another
// day (H39).
const ledger::Pending* pending_part(const Chart& person, const order::Line& line,
                                    const order::Due& due) {
  const auto* pending = person.ledger.pending_for(line.id);
  if (pending == nullptr || pending->outcome != journal::Outcome::part) return nullptr;
  return due.from.at <= pending->since.at ? pending : nullptr;
}

// Whether a later slot of the line has come since: then the rest is history, and the new dose is
// whole.
bool is_overtaken(const Chart& person, const ledger::Pending& pending, const When& now) {
  for (int ahead = -1; ahead <= 1; ++ahead) {
    for (const auto& due : order::due_on(person.order, now.day() + days{ahead}, person.zone)) {
      if (due.line == *pending.line && due.from.at > pending.since.at && due.from.at <= now.at) {
        return true;
      }
    }
  }
  return false;
}

// A rest that is owed comes before anything else (H39): it is due since the part was given.
std::optional<order::Due> due_of_rest(const Chart& person, const When& now) {
  for (const auto& pending : person.ledger.pending) {
    const auto* line = pending.line ? person.order.line(*pending.line) : nullptr;
    if (line == nullptr || line->text.slots.empty() || is_overtaken(person, pending, now)) continue;
    order::Due due;
    due.line = line->id;
    due.name = pending.slot.value_or(line->text.slots.front().slot);
    due.units =
        pending.outcome == journal::Outcome::part ? pending.rest : line->text.slots.front().units;
    due.day = pending.since.day();
    due.at = pending.since;
    due.from = pending.since;
    due.to = now;
    return due;
  }
  return std::nullopt;
}

bool in_question(const Chart& person, const order::Line& line, LocalDay on) {
  return person.order.state(line, on) == order::State::in_question;
}

}  // namespace

NextDose plan_dose(const Chart& person, const shelf::Shelf& shelf, const order::Due& due,
                   const When& now) {
  NextDose dose;
  dose.due = due;
  dose.line = person.order.line(due.line);
  INVARIANT(dose.line != nullptr);
  dose.pen = pen_for(person, *dose.line);
  dose.pending = pending_part(person, *dose.line, due);
  dose.mark =
      mark_of(shelf, dose.line->text.insulin, dose.line->text.strength, dose.line->text.purpose);
  const auto when = due.at.at > now.at ? due.at : now;
  order::Ask ask{due.line, dose.pending != nullptr ? dose.pending->rest : due.units, when.at,
                 std::nullopt, order::Ask::Taken::ask};
  if (dose.pending != nullptr) ask.completes = dose.pending->fact;
  if (const auto allowed = order::may_dial(person.order, ask, person.zone); !allowed) {
    dose.planned.refusal = allowed.error();
    return dose;
  }
  dose.planned = plan_from(person, shelf, dose, when);
  return dose;
}

const order::Line* newest_line(const Chart& person) {
  const order::Line* out = nullptr;
  for (const auto& line : person.order.lines) {
    if (line.replaced_by || line.ended) continue;
    if (out == nullptr || line.text.order_version > out->text.order_version) out = &line;
  }
  return out;
}

Agenda agenda_of(const Chart& person, const shelf::Shelf& shelf, const When& now) {
  Agenda agenda;
  const auto tomorrow = now.day() + days{1};
  const auto dues = order::open_dues(person.order, now, person.zone, look_ahead_days);
  if (const auto rest = due_of_rest(person, now)) {
    const auto* line = person.order.line(rest->line);
    auto dose = plan_dose(person, shelf, *rest, now);
    // A rest that may no longer be given must not stand before another dose that is due now (H38).
    const bool another_waits = std::ranges::any_of(dues, [&](const order::Due& due) {
      return due.from.at <= now.at && due.line != rest->line;
    });
    if (!in_question(person, *line, now.day()) && !(dose.planned.refusal && another_waits)) {
      agenda.next = std::move(dose);
    }
  }
  for (const auto& due : dues) {
    const auto* line = person.order.line(due.line);
    if (in_question(person, *line, due.day)) {
      if (std::ranges::find(agenda.ask_first, line) == agenda.ask_first.end()) {
        agenda.ask_first.push_back(line);
        agenda.asked_due.push_back(due);
      }
      continue;
    }
    if (!agenda.next) {
      agenda.next = plan_dose(person, shelf, due, now);
    } else if (due.day <= tomorrow && agenda.later.size() < later_max) {
      agenda.later.push_back(due);
    }
  }
  return agenda;
}

}  // namespace penstock::pages
