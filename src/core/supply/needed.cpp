// From the journal's states to cover's request.
#include <algorithm>
#include <cmath>
#include <utility>

#include "core/draw/draw.hpp"
#include "core/supply/supply.hpp"

namespace penstock::supply {
namespace {

using std::chrono::days;

// Fewer given doses than these say nothing about how they differ (ours).
constexpr std::size_t doses_least = 8;
// How far back doses are looked at.
constexpr days looked_back{28};

struct SlotDose {
  Id line;
  journal::SlotName slot = journal::SlotName::bedtime;
  MinuteOfDay at;
  Units units = Units::zero();
};

Kind kind_of(const order::Line& line) { return {line.text.insulin, line.text.strength}; }

/// The doses of one insulin on a day, by time.
std::vector<SlotDose> slots_on(const order::Order& order, const Kind& kind, LocalDay on) {
  std::vector<SlotDose> out;
  for (const auto* line : order.holding(on)) {
    if (kind_of(*line) != kind) continue;
    for (const auto& slot : line->text.slots) {
      if (!slot.units.is_zero()) out.push_back({line->id, slot.slot, slot.at, slot.units});
    }
  }
  std::ranges::stable_sort(out, {}, &SlotDose::at);
  return out;
}

std::vector<Units> units_of(const std::vector<SlotDose>& doses) {
  std::vector<Units> out;
  for (const auto& dose : doses) out.push_back(dose.units);
  return out;
}

/// The last day of an insulin whose every line was ended or replaced.
std::optional<LocalDay> last_day_of(const order::Order& order, const Kind& kind) {
  std::optional<LocalDay> last;
  for (const auto& line : order.lines) {
    if (kind_of(line) != kind) continue;
    if (!line.ended && !line.replaced_by) return std::nullopt;
    last = std::max(last, line.last_day());
  }
  return last;
}

/// Every day after `on` on which a line of it begins, or holds no longer; ascending.
std::vector<LocalDay> turns_after(const order::Order& order, const Kind& kind, LocalDay on) {
  std::vector<LocalDay> out;
  for (const auto& line : order.lines) {
    if (kind_of(line) != kind) continue;
    out.push_back(line.text.from);
    if (const auto last = line.last_day()) out.push_back(*last + days{1});
  }
  std::erase_if(out, [on](LocalDay day) { return day <= on; });
  std::ranges::sort(out);
  const auto same = std::ranges::unique(out);
  out.erase(same.begin(), same.end());
  return out;
}

/// Other doses on a later day than `on`. Where no line holds any more, and nobody ended them by
/// name, the order ran out and will be renewed: the plan goes on with what it was.
std::vector<cover::Change> changes_after(const order::Order& order, const Kind& kind, LocalDay on,
                                         std::optional<LocalDay> last_day) {
  std::vector<cover::Change> out;
  auto before = units_of(slots_on(order, kind, on));
  for (const auto day : turns_after(order, kind, on)) {
    auto then = units_of(slots_on(order, kind, day));
    const bool is_over = last_day && day > *last_day;
    if (then == before || (then.empty() && !is_over)) continue;
    before = then;
    out.push_back({day, std::move(then)});
  }
  return out;
}

bool is_of(const order::Given& given, const order::Order& order, const Kind& kind) {
  if (given.line) {
    const auto* line = order.line(*given.line);
    return line != nullptr && kind_of(*line) == kind;
  }
  return Kind{given.insulin, given.strength} == kind;
}

std::optional<LocalDay> last_given(const order::Order& order, const Kind& kind,
                                   const ZoneRules& zone) {
  std::optional<LocalDay> last;
  for (const auto& told : order::only_told(order, zone)) {
    const auto* line = order.line(told.due.line);
    if (kind_of(*line) == kind) last = std::max(last.value_or(told.due.day), told.due.day);
  }
  for (const auto& given : order.given) {
    if (is_of(given, order, kind))
      last = std::max(last.value_or(given.when.day()), given.when.day());
  }
  return last;
}

/// The day of the last injection; without one the first on which a line holds and a cartridge is
/// there to begin with. A line that takes another's place counts from when it was copied: until it
/// holds, the other does.
LocalDay counted_from(const order::Order& order, const ledger::Ledger& ledger, const Kind& kind,
                      const ZoneRules& zone) {
  const auto last = last_given(order, kind, zone);
  std::optional<LocalDay> first;
  for (const auto& line : order.lines) {
    if (kind_of(line) != kind || line.replaced_by || line.ended) continue;
    const auto copied = line.signed_when.day();
    const auto from = line.text.replaces ? copied : std::max(line.text.from, copied);
    first = std::min(first.value_or(from), from);
  }
  for (const auto& cartridge : ledger.cartridges) {
    if (first && cartridge.in_pen && Kind{cartridge.copy.name, cartridge.copy.strength} == kind)
      first = std::max(*first, cartridge.loaded_when.day());
  }
  return last ? *last : first.value_or(LocalDay{});
}

/// What was told, or nobody knows of, is not counted on in a cartridge any more (H02): nor is it
/// still to come.
bool is_accounted(const order::Order& order, const order::Due& due) {
  const auto* said = order::said_of(order, due);
  return !order::given_for(order, due).empty() ||
         (said != nullptr && said->was != journal::DoseWas::not_taken);
}

/// How many of the day's doses lie behind the last one that was given.
std::size_t given_on(const order::Order& order, const Kind& kind, LocalDay on,
                     const ZoneRules& zone) {
  std::size_t place = 0, given = 0;
  for (const auto& due : order::due_on(order, on, zone)) {
    const auto* line = order.line(due.line);
    if (line == nullptr || kind_of(*line) != kind || due.units.is_zero()) continue;
    ++place;
    if (is_accounted(order, due)) given = place;
  }
  return given;
}

Units hundredths(double value) {
  const auto whole = std::llround(value);
  return Units::from_hundredths(whole).value_or(Units::zero());
}

/// The next whole step that is not less: a plan never counts on a smaller dose than is taken.
Units up_to_step(double value_hundredths, Units step) {
  const auto steps = static_cast<std::int64_t>(
      std::ceil(value_hundredths / static_cast<double>(step.hundredths()) - 1e-9));
  return Units::from_hundredths(steps * step.hundredths()).value_or(step);
}

/// Doses as they were given: the mean of each slot, and how much single ones differ from it.
void as_in_journal(House& house, const std::vector<SlotDose>& doses, const order::Order& order) {
  const auto since = house.counted_from - looked_back;
  double squares = 0;
  std::size_t all = 0, slots = 0;
  std::vector<Units> means = house.line.doses;
  for (std::size_t i = 0; i < doses.size(); ++i) {
    std::vector<double> seen;
    for (const auto& given : order.given) {
      const bool here = given.line == doses[i].line && given.slot == doses[i].slot;
      if (here && given.outcome == journal::Outcome::whole && given.when.day() > since)
        seen.push_back(static_cast<double>(given.units.hundredths()));
    }
    if (seen.size() < 2) continue;
    double mean = 0;
    for (const auto one : seen) mean += one / static_cast<double>(seen.size());
    for (const auto one : seen) squares += (one - mean) * (one - mean);
    means[i] = larger(up_to_step(mean, house.line.step), house.line.step);
    all += seen.size();
    ++slots;
  }
  if (all < doses_least || slots < doses.size()) return;
  house.line.doses = std::move(means);
  house.line.dose_sd = hundredths(std::sqrt(squares / static_cast<double>(all - slots)));
}

void set_spread(House& house, const std::vector<SlotDose>& doses, const order::Order& order,
                journal::DoseSpread spread) {
  if (spread == journal::DoseSpread::from_journal) return as_in_journal(house, doses, order);
  if (spread != journal::DoseSpread::order_range) return;
  // Anywhere in the range with equal chance: its sd is the width over the root of twelve.
  std::int64_t widest = 0;
  const auto look = [&](LocalDay on) {
    for (const auto& dose : slots_on(order, house.kind, on)) {
      const auto* line = order.line(dose.line);
      widest = std::max(widest, line->most().hundredths() - line->least().hundredths());
    }
  };
  look(house.counted_from);
  for (const auto& change : house.line.changes) look(change.from);
  house.line.dose_sd = hundredths(static_cast<double>(widest) / std::sqrt(12.0));
}

// ---- what is there

/// H42: what no pen of the person's takes is at home, and gives no dose. Where the shelf does not
/// know the insulin, nobody knows what it was made for.
bool is_made_for_a_pen(const ledger::Ledger& ledger, const ledger::Pen& latest,
                       const ledger::Stock& stock, const shelf::Shelf& shelf) {
  const auto* insulin = shelf.insulin(stock.insulin, stock.strength);
  if (insulin == nullptr) return true;
  return std::ranges::any_of(ledger.pens, [&](const ledger::Pen& pen) {
    const bool serves = pen.is_given() && pen.shared.empty() && !pen.gone &&
                        pen.insulin == stock.insulin && pen.strength == stock.strength;
    return (serves || pen.id == latest.id) &&
           shelf::made_for(shelf, pen.copy, insulin->code, stock.each) != nullptr;
  });
}

const ledger::Pen* pen_for(const ledger::Ledger& ledger, House& house) {
  const ledger::Pen* latest = nullptr;
  const ledger::Pen* gone = nullptr;  // what it took is still what is needed
  for (const auto& pen : ledger.pens) {
    if (!pen.is_given() || Kind{pen.insulin, pen.strength} != house.kind) continue;
    if (!pen.shared.empty()) continue;  // nobody may go on using it (H13)
    if (pen.gone) {
      gone = &pen;
      continue;
    }
    ++house.pens;
    latest = &pen;
  }
  return latest != nullptr ? latest : gone;
}

void set_pen(House& house, const ledger::Pen& pen) {
  auto& line = house.line;
  house.prefilled = pen.copy.takes == shelf::Presentation::prefilled_pen;
  house.window_unknown = !pen.window();
  line.step = pen.copy.step;
  line.most = pen.copy.most;
  line.window = pen.window().value_or(shelf::Window::counts_on);
  line.prime = pen.copy.prime;
  line.new_cartridge_prime = pen.copy.prime_new_cartridge;
}

void set_insulin(House& house, const ledger::Ledger& ledger, const shelf::Shelf& shelf) {
  const shelf::Insulin* copy = nullptr;
  for (const auto& cartridge : ledger.cartridges) {
    if (cartridge.is_loaded() && Kind{cartridge.copy.name, cartridge.copy.strength} == house.kind)
      copy = &cartridge.copy;
  }
  if (copy == nullptr) {
    if (const auto* entry = shelf.insulin(house.kind.insulin, house.kind.strength))
      copy = &entry->thing;
  }
  if (copy == nullptr) return;
  house.line.in_use_days = copy->in_use_days;
  house.line.suspension = copy->suspension;
  house.line.least_left_to_mix = copy->least_left_to_mix.value_or(Units::zero());
}

void set_open(House& house, const ledger::Ledger& ledger, const shelf::Shelf& shelf,
              const stock::Stock& clinic) {
  const auto on = house.counted_from;
  std::vector<const ledger::Cartridge*> open;
  for (const auto& cartridge : ledger.cartridges) {
    if (Kind{cartridge.copy.name, cartridge.copy.strength} != house.kind ||
        (!cartridge.in_pen && !cartridge.is_taken_out()))
      continue;
    if (stock::is_recalled(clinic, shelf, house.kind.insulin, house.kind.strength, cartridge.lot)) {
      house.recalled = house.recalled || !cartridge.left.is_zero();
      continue;
    }
    if (cartridge.fitness(on) == ledger::Fitness::serves && !cartridge.at_least().is_zero())
      open.push_back(&cartridge);
  }
  // One in use before one that nobody has taken from, then the one that ends first.
  std::ranges::stable_sort(open, {}, [](const ledger::Cartridge* cartridge) {
    return std::pair{cartridge->is_new(), cartridge->last_day().value_or(LocalDay::max())};
  });
  for (const auto* cartridge : open) {
    house.line.cartridge = larger(house.line.cartridge, cartridge->content);
    house.line.open.push_back({cartridge->at_least(), cartridge->days_in_use(on).value_or(0),
                               cartridge->is_new(), cartridge->expires});
  }
}

void set_sealed(House& house, const ledger::Ledger& ledger, const ledger::Pen& pen,
                const shelf::Shelf& shelf, const stock::Stock& clinic) {
  const ledger::Stock* best = nullptr;
  for (const auto& stock : ledger.stock) {
    if (Kind{stock.insulin, stock.strength} != house.kind) continue;
    if (!is_made_for_a_pen(ledger, pen, stock, shelf)) {
      house.no_fit += stock.left;
      continue;
    }
    // Of two sizes the one that is in use; the other needs a pen that nobody has here.
    if (best == nullptr || stock.each == house.line.cartridge) best = &stock;
  }
  if (best == nullptr) return;
  house.count = best->count;
  house.line.cartridge = best->each;
  const auto at_home = sealed_at_home(*best, shelf, clinic, house.counted_from);
  house.sealed = at_home.count;
  house.recalled = house.recalled || !at_home.recalled.empty();
  house.expired = !at_home.expired.empty();
  // Where account and count differ, those that expire first are taken to be there.
  auto rest = house.sealed;
  for (const auto& lot : at_home.good) {
    const auto pieces = std::min(lot.pieces, rest);
    rest -= pieces;
    if (pieces > 0) house.line.sealed.push_back({static_cast<std::int32_t>(pieces), lot.expires});
  }
}

/// A rest is owed from the last injection on, until somebody says what became of it (H39).
void set_rests(House& house, const order::Order& order, const ledger::Ledger& ledger,
               const ZoneRules& zone) {
  for (const auto& pending : ledger.pending) {
    const auto* line = pending.line ? order.line(*pending.line) : nullptr;
    if (line == nullptr || kind_of(*line) != house.kind || pending.rest.is_zero() ||
        pending.since.day() != house.counted_from)
      continue;
    if (order::said_of_rest(order, *line, pending.fact, zone) == nullptr)
      house.rests.push_back(pending.rest);
  }
}

/// Nothing of it is in the house: what one will hold is the shelf's word.
void set_content(House& house, const ledger::Pen& pen, const shelf::Shelf& shelf) {
  if (!house.line.cartridge.is_zero()) return;
  const auto* insulin = shelf.insulin(house.kind.insulin, house.kind.strength);
  for (const auto& entry : shelf.cartridges) {
    if (insulin != nullptr && entry.thing.insulin == insulin->code &&
        shelf::fits(pen.copy, entry.thing))
      house.line.cartridge = larger(house.line.cartridge, entry.thing.content);
  }
}

draw::Rules rules_of(const cover::Line& line) {
  return {.step = line.step,
          .most = *line.most,
          .window = line.window,
          .prime = line.prime,
          .prime_new_cartridge = line.new_cartridge_prime};
}

/// From what serves first of all that holds it with its prime; a sealed one is open from then on.
void take_rest(cover::Line& line, Units rest) {
  if (!line.most) return;
  for (auto& one : line.open) {
    const auto taken = draw::take(rules_of(line), {.left = one.left, .is_new = one.is_new}, rest);
    if (!taken) continue;
    one.left = taken->left;
    one.is_new = false;
    return;
  }
  const auto taken = draw::take(rules_of(line), {.left = line.cartridge, .is_new = true}, rest);
  if (line.sealed.empty() || !taken) return;
  auto& next = line.sealed.front();
  line.open.push_back({taken->left, 0, false, next.expires});
  if (--next.cartridges == 0) line.sealed.erase(line.sealed.begin());
}

/// What a later dose takes that this pen cannot give as it stands: the next step, and no more than
/// a new cartridge gives. Its own card says what is wrong with it when it comes; until then the
/// days before it are worked out, and it counts for as much as can be.
void fit_changes(cover::Line& line) {
  const auto most = draw::most_from(rules_of(line), {.left = line.cartridge, .is_new = true});
  for (auto& change : line.changes) {
    for (auto& dose : change.doses) {
      dose = up_to_step(static_cast<double>(dose.hundredths()), line.step);
      if (!most.is_zero()) dose = smaller(dose, most);
    }
  }
}

/// Ended, and the last of it is given: nothing of it is needed any more.
bool is_used_up(const House& house) {
  return house.last_day && (house.is_over(house.counted_from) ||
                            (*house.last_day == house.counted_from &&
                             house.line.given_on_first_day == house.line.doses.size()));
}

struct Asking {
  const order::Order& order;
  const ledger::Ledger& ledger;
  const Supply& supply;
  const shelf::Shelf& shelf;
  const stock::Stock& clinic;
  const ZoneRules& zone;

  std::optional<House> house(const Kind& kind, Lack& lack) const {
    House out;
    out.kind = kind;
    out.last_day = last_day_of(order, kind);
    out.counted_from = counted_from(order, ledger, kind, zone);
    auto doses = slots_on(order, kind, out.counted_from);
    for (const auto day : turns_after(order, kind, out.counted_from)) {
      if (!doses.empty()) break;
      out.counted_from = day;
      doses = slots_on(order, kind, day);
    }
    lack = Lack::no_doses;
    if (doses.empty()) return std::nullopt;
    for (const auto& dose : doses) {
      if (std::ranges::find(out.lines, dose.line) == out.lines.end())
        out.lines.push_back(dose.line);
    }
    out.purpose = order.line(out.lines.front())->text.purpose;
    out.line.insulin = kind.insulin;
    out.line.doses = units_of(doses);
    out.line.changes = changes_after(order, kind, out.counted_from, out.last_day);
    out.line.given_on_first_day =
        std::min(given_on(order, kind, out.counted_from, zone), doses.size());
    lack = Lack::no_pen;
    const auto* pen = pen_for(ledger, out);
    if (pen == nullptr) return std::nullopt;
    set_pen(out, *pen);
    set_insulin(out, ledger, shelf);
    set_open(out, ledger, shelf, clinic);
    set_sealed(out, ledger, *pen, shelf, clinic);
    set_content(out, *pen, shelf);
    set_rests(out, order, ledger, zone);
    lack = Lack::no_content;
    if (out.line.cartridge.is_zero()) return std::nullopt;
    fit_changes(out.line);
    set_spread(out, doses, order, supply.rules.spread);
    return out;
  }
};

/// The day of the last injection of all; without one the first on which any can begin. What begins
/// later takes none until then.
LocalDay needles_from(const order::Order& order, const std::vector<House>& houses,
                      const ZoneRules& zone) {
  std::optional<LocalDay> last;
  auto first = LocalDay::max();
  for (const auto& house : houses) {
    if (const auto given = last_given(order, house.kind, zone)) last = std::max(last, given);
    first = std::min(first, house.counted_from);
  }
  return last.value_or(first);
}

}  // namespace

std::int64_t needles_left(const ledger::NeedleStock& stock, std::optional<TenthsMm> length) {
  if (!length || stock.kinds.empty()) return stock.at_least();
  std::int64_t other = 0;
  for (const auto& kind : stock.kinds) {
    if (kind.length != *length && kind.length != TenthsMm{}) other += kind.left;
  }
  return std::max<std::int64_t>(0, stock.at_least() - other);
}

std::int64_t injections_a_day(const House& house, LocalDay on) {
  const auto& line = house.line;
  std::int64_t out = 0;
  if (on < house.counted_from) return out;
  for (const auto dose : cover::doses_on(line, on)) {
    std::int64_t needles = 1;
    if (line.most && is_multiple(dose, line.step) && !dose.is_zero()) {
      const draw::AtHand plenty{.left = *Units::from_hundredths(100'000'000)};
      if (const auto taken = draw::take(rules_of(line), plenty, dose)) needles = taken->injections;
    }
    out += needles;
  }
  return out;
}

Needed needed(const order::Order& order, const ledger::Ledger& ledger, const Supply& supply,
              std::optional<TenthsMm> needle, const shelf::Shelf& shelf, const stock::Stock& clinic,
              const ZoneRules& zone) {
  Needed out;
  const Asking asking{order, ledger, supply, shelf, clinic, zone};
  std::vector<Kind> kinds;
  for (const auto& line : order.lines) {
    if (std::ranges::find(kinds, kind_of(line)) == kinds.end()) kinds.push_back(kind_of(line));
  }
  for (const auto& kind : kinds) {
    auto lack = Lack::no_pen;
    auto house = asking.house(kind, lack);
    const auto last_day = last_day_of(order, kind);
    if (house && !is_used_up(*house)) {
      out.houses.push_back(*std::move(house));
    } else if (!last_day) {
      out.gaps.push_back({kind, lack});
    }
  }
  const auto& stock = ledger.needles;
  const auto* box = supply.box();
  if (out.houses.empty() || (stock.given == 0 && !stock.count && box == nullptr)) return out;
  Needles needles;
  needles.on = needles_from(order, out.houses, zone);
  needles.others =
      std::ranges::any_of(out.gaps, [](const Gap& gap) { return gap.lack != Lack::no_doses; });
  needles.counted = stock.given > 0 || stock.count.has_value();
  needles.left = needles_left(stock, needle);
  needles.length = needle;
  if (box != nullptr) needles.sharps_room = static_cast<std::int32_t>(box->room());
  out.needles = needles;
  return out;
}

// ---- requests

cover::Ask ask_of(const journal::SupplyRulesSet& rules, const ClosedDays& closed, LocalDay on) {
  cover::Ask ask;
  const auto late = static_cast<double>(rules.late_percent) / 100.0;
  ask.leads.clear();
  ask.leads.push_back({rules.lead_days, 1.0 - late});
  if (rules.late_percent > 0) ask.leads.push_back({rules.late_days, late});
  ask.closed = closed.from(on, cover::horizon_days_max);
  ask.service = static_cast<double>(rules.service_per_thousand) / 1000.0;
  ask.spare_cartridges = rules.spare_cartridges;
  ask.for_days = rules.for_days;
  ask.cartridges_per_box = rules.cartridges_per_box;
  ask.needles_per_box = rules.needles_per_box;
  return ask;
}

cover::Request request_of(const House& house, const Supply& supply, const ClosedDays& closed) {
  cover::Request out;
  out.on = house.counted_from;
  out.lines.push_back(house.line);
  for (const auto rest : house.rests) take_rest(out.lines.back(), rest);
  out.ask = ask_of(supply.rules, closed, out.on);
  return out;
}

std::optional<cover::Request> request_of(const Needed& needed, const Supply& supply,
                                         const ClosedDays& closed) {
  if (!needed.needles) return std::nullopt;
  cover::Request out;
  out.on = needed.needles->on;
  for (const auto& house : needed.houses) {
    out.lines.push_back(house.line);
    // How much a dose is does not change how many needles it takes, unless it has to be divided.
    if (!house.line.most) out.lines.back().dose_sd = Units::zero();
    if (house.counted_from != out.on) out.lines.back().given_on_first_day = 0;
    auto& changes = out.lines.back().changes;
    if (out.on < house.counted_from)
      changes.insert(changes.begin(), {{out.on, {}}, {house.counted_from, house.line.doses}});
    if (needed.needles->others && house.last_day && !changes.empty()) changes.pop_back();
  }
  if (needed.needles->counted)
    out.needles_left = static_cast<std::int32_t>(
        std::min<std::int64_t>(needed.needles->left, journal::supplies_max));
  out.needle_fails = static_cast<double>(supply.rules.failed_needles_percent) / 100.0;
  out.sharps_room = needed.needles->sharps_room;
  out.ask = ask_of(supply.rules, closed, out.on);
  return out;
}

std::vector<cover::Dispensed> history_of(const Supply& supply, const House& house) {
  std::vector<cover::Dispensed> out;
  for (const auto& one : supply.dispensed) {
    std::int64_t day = 0;
    for (const auto dose : cover::doses_on(house.line, one.when.day()))
      day += dose.hundredths() + house.line.prime.hundredths();
    if (one.kind != house.kind || day == 0) continue;
    const auto units = one.each.hundredths() * one.cartridges;
    out.push_back({one.when.day(), static_cast<std::int32_t>(units / day)});
  }
  return out;
}

void leave_out_expired(House& house, LocalDay today) {
  std::erase_if(house.line.sealed, [&](const cover::Sealed& some) {
    if (!some.expires || *some.expires >= today) return false;
    house.sealed -= some.cartridges;
    house.expired = true;
    return true;
  });
}

std::optional<LocalDay> ordered_until(const order::Order& order, const Kind& kind) {
  std::optional<LocalDay> until;
  for (const auto& line : order.lines) {
    if (kind_of(line) != kind || line.ended || line.replaced_by) continue;
    if (!line.text.until) return std::nullopt;
    until = std::max(until, line.text.until);
  }
  return until;
}

void for_days_from(cover::Request& request, LocalDay today, std::int32_t days) {
  const auto since = std::max<std::int64_t>(0, (today - request.on).count());
  request.ask->for_days =
      static_cast<std::int32_t>(std::clamp<std::int64_t>(since + days, 1, cover::horizon_days_max));
}

std::optional<LocalDay> may_be_short_on(const cover::Lasts& lasts) {
  for (const auto& day : lasts.runs_out) {
    if (day.chance >= may_be_missing) return day.day;
  }
  return std::nullopt;
}

std::optional<LocalDay> short_on(const cover::Lasts& lasts) {
  for (const auto& day : lasts.runs_out) {
    if (day.chance >= 0.5) return day.day;
  }
  return std::nullopt;
}

}  // namespace penstock::supply
