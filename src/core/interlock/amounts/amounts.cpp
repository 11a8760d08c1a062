#include "core/interlock/amounts/amounts.hpp"

#include <algorithm>

#include "core/interlock/amounts/went_in.hpp"
#include "core/order/amounts/amounts.hpp"
#include "core/order/recording.hpp"
#include "core/order/then/then.hpp"

namespace penstock::interlock {
namespace {

using std::chrono::hours;

/// How long what went in is looked back for: counted generously, whatever followed it. Common
/// practice, no source.
hours acts_for(const shelf::Shelf& shelf, const order::Line& line) {
  constexpr hours with_a_meal{8}, a_day{24};
  const auto* entry = shelf.insulin(line.text.insulin, line.text.strength);
  if (entry == nullptr) {
    return line.text.purpose == journal::Purpose::mealtime ||
                   line.text.purpose == journal::Purpose::correction
               ? with_a_meal
               : a_day;
  }
  const auto action = entry->thing.action;
  return action == shelf::Action::rapid || action == shelf::Action::short_acting ? with_a_meal
                                                                                 : a_day;
}

}  // namespace

bool is_settled(const order::Order& order, const order::Line& line, const When& since) {
  return order::is_answered_since(order, line, since.at) ||
         (line.recorded.at > since.at && line.paper_of > since.day());
}

std::optional<TooMuch> beyond_most(const chart::Chart& person, const shelf::Shelf& shelf,
                                   const order::Line& line, Instant now) {
  const auto acts = acts_for(shelf, line);
  const auto* given = more_than_any_allows(person.order, line, now - acts, now);
  if (given == nullptr || order::is_answered_since(person.order, line, given->when.at)) return {};
  return TooMuch{&line,
                 given->units,
                 order::most_then(person.order, line, given->when),
                 given->when,
                 given->when.at + acts,
                 order::is_of_unknown_insulin(person.order, *given) ? of_unknown : ""};
}

namespace {

struct Slots {
  int count = 0;
  Units units = Units::zero();
  Units largest = Units::zero();
};

/// The doses of these hours: those that were given, and those whose hour went by. The one that is
/// due now excuses nothing.
Slots slots_within(const chart::Chart& person, const order::Line& line, Instant since,
                   Instant now) {
  Slots out;
  const auto last = person.zone.when(now).day() + std::chrono::days{1};
  for (auto day = person.zone.when(since).day(); day <= last; day += std::chrono::days{1}) {
    for (const auto& due : order::dues_then(person.order, day, person.zone)) {
      const auto& own = *person.order.line(due.line);
      if (own.text.purpose == journal::Purpose::correction ||
          !order::is_same_insulin(own.text.insulin, line.text.insulin))
        continue;
      const auto given = order::given_for(person.order, due);
      const bool is_given = std::ranges::any_of(given, [&](const order::Given* one) {
        return one->when.at >= since && one->when.at <= now;
      });
      out.largest = larger(out.largest, due.units);
      const bool has_gone =
          due.at.at >= since && due.at.at <= now - std::chrono::minutes{order::near_minutes};
      if (!is_given && !has_gone) continue;
      ++out.count;
      out.units = sum(out.units, due.units);
    }
  }
  return out;
}

}  // namespace

namespace {

/// Into one slot, whatever else of the day is on record: several injections of half more than it
/// has, or twice as much (H07, H05). Ours.
std::optional<TooMuch> into_one_slot(const chart::Chart& person, const order::Line& line,
                                     Instant now, hours acts) {
  const auto today = person.zone.when(now).day();
  for (int back = -1; back <= 1; ++back) {
    for (const auto& due :
         order::dues_then(person.order, today - std::chrono::days{back}, person.zone)) {
      const auto& own = *person.order.line(due.line);
      if (own.text.purpose == journal::Purpose::correction || due.units.is_zero() ||
          !order::is_same_insulin(own.text.insulin, line.text.insulin))
        continue;
      const auto all = order::given_for(person.order, due);
      if (all.empty() || all.back()->when.at < now - acts || all.back()->when.at > now) continue;
      Units given = Units::zero();
      for (const auto* one : all) given = sum(given, one->units);
      const auto held = order::dose_before(person.order, due, all.front()->when);
      const auto ordered = larger(due.units, held.value_or(due.units));
      const bool several = all.size() > 1 && given.hundredths() * 2 > ordered.hundredths() * 3;
      if (!several && given.hundredths() < 2 * ordered.hundredths()) continue;
      if (is_settled(person.order, line, all.back()->when)) continue;
      return TooMuch{&line, given, ordered, all.front()->when, all.back()->when.at + acts, ""};
    }
  }
  return std::nullopt;
}

}  // namespace

std::optional<TooMuch> together(const chart::Chart& person, const shelf::Shelf& shelf,
                                const order::Line& line, Instant now) {
  const auto acts = acts_for(shelf, line);
  const auto since = now - acts;
  if (auto one = into_one_slot(person, line, now, acts)) return one;
  const auto went = went_in(person.order, line, person.zone, since, now);
  if (went.injections < 2 || is_settled(person.order, line, *went.last)) return {};
  const auto of = [&](Units most) {
    return TooMuch{&line, went.units, most, *went.first, went.last->at + acts, of_what(went)};
  };
  const auto due = due_within(person.order, line, person.zone, since, now);
  if (const auto most = sum(due, line.most()); went.units > most) return of(most);
  // A dose that went in twice is less than that where the next one is as large.
  const auto slots = slots_within(person, line, since, now);
  const auto doses = slots.count > 0 ? slots.units : slots.largest;
  const bool more =
      went.units.hundredths() * 2 > doses.hundredths() * 2 + slots.largest.hundredths();
  if (went.injections > slots.count && more) return of(doses);
  return std::nullopt;
}

namespace {

/// Whether a dose of the insulin is on record for this slot's hour or later: it is no dose of the
/// day before.
bool is_given_from(const chart::Chart& person, const order::Line& line, const order::Due& slot) {
  const auto dues = order::dues_then(person.order, slot.day, person.zone);
  return std::ranges::any_of(dues, [&](const order::Due& due) {
    const auto& own = person.order.line(due.line)->text;
    const auto* said = order::said_of(person.order, due);
    const auto perhaps = order::perhaps_given(person.order, due, due.to.at, person.zone);
    const bool near = std::ranges::any_of(perhaps, [&](const order::Given* one) {
      return one->when.at >= due.from.at - std::chrono::minutes{order::near_minutes};
    });
    const bool is_in = near || !order::into_slot(person.order, due).empty() ||
                       (said != nullptr && said->was == journal::DoseWas::taken);
    return due.at.at >= slot.at.at && is_in &&
           order::is_same_insulin(own.insulin, line.text.insulin);
  });
}

/// Two doses of the day that are no slot's own, as the next slot's rule counts them (H52, H13).
std::optional<TooMuch> none_of_a_slot(const chart::Chart& person, const order::Line& line,
                                      Instant now, hours acts) {
  const auto today = person.zone.when(now).day();
  for (int ahead = -1; ahead <= 1; ++ahead) {
    for (const auto& due :
         order::dues_then(person.order, today + std::chrono::days{ahead}, person.zone)) {
      if (due.line != line.id || due.to.at < now || is_given_from(person, line, due)) continue;
      const auto more = more_in_a_day(person.order, line, person.zone, due, now);
      if (!more) return std::nullopt;
      const auto& [went, ordered] = *more;
      return TooMuch{&line,       went.units,           ordered.is_zero() ? due.units : ordered,
                     *went.first, went.last->at + acts, of_what(went)};
    }
  }
  return std::nullopt;
}

/// Of basal insulin, what went into a slot of the last day beyond what was ordered (H07).
std::optional<TooMuch> basal_of_a_day(const chart::Chart& person, const shelf::Shelf& shelf,
                                      const order::Line& line, Instant now) {
  const auto acts = acts_for(shelf, line);
  const auto today = person.zone.when(now).day();
  for (int back = 0; back <= 2; ++back) {
    for (const auto& due :
         order::due_on(person.order, today - std::chrono::days{back}, person.zone)) {
      if (due.line != line.id || due.at.at < now - acts) continue;
      const auto all = order::more_than_ordered(person.order, due, person.zone);
      if (!all) continue;
      const auto& last = all->all.back()->when;
      if (last.at > now || is_settled(person.order, line, last)) continue;
      return TooMuch{&line,          all->given,
                     all->ordered,   all->all.front()->when,
                     last.at + acts, of_what(person.order, line, all->all)};
    }
  }
  return none_of_a_slot(person, line, now, acts);
}

}  // namespace

std::optional<TooMuch> too_soon(const chart::Chart& person, const shelf::Shelf& shelf,
                                const order::Line& line, Instant now) {
  if (!order::is_basal(line) || line.text.slots.size() < 2) return std::nullopt;
  const auto acts = acts_for(shelf, line);
  const auto today = person.zone.when(now).day();
  for (int ahead = -1; ahead <= 1; ++ahead) {
    for (const auto& due :
         order::due_on(person.order, today + std::chrono::days{ahead}, person.zone)) {
      const auto given = order::given_for(person.order, due);
      if (due.line != line.id || given.empty()) continue;
      const auto& first = *given.front();
      const bool is_early = first.when.at < due.from.at;
      if (!is_early || first.when.at < now - acts || first.when.at > now) continue;
      if (is_settled(person.order, line, first.when)) continue;
      const auto since = first.when.at - (due.at.at - first.when.at);
      const auto went = went_in(person.order, line, person.zone, since, first.when.at);
      const auto before = checked_sub(went.units, first.units);
      if (went.injections < 2 || !before) continue;
      return TooMuch{&line, went.units, *before, *went.first, first.when.at + acts, of_what(went)};
    }
  }
  return std::nullopt;
}

std::optional<TooMuch> too_much_of(const chart::Chart& person, const shelf::Shelf& shelf,
                                   const order::Line& line, Instant now) {
  if (auto found = beyond_most(person, shelf, line, now)) return found;
  if (auto found = too_soon(person, shelf, line, now)) return found;
  if (line.text.purpose != journal::Purpose::background) {
    if (auto found = together(person, shelf, line, now)) return found;
  }
  return order::is_basal(line) ? basal_of_a_day(person, shelf, line, now) : std::nullopt;
}

std::vector<TooMuch> too_much_of_others(const chart::Chart& person, const shelf::Shelf& shelf,
                                        const order::Line& line, Instant now) {
  std::vector<TooMuch> out;
  const auto add = [&](const std::optional<TooMuch>& found) {
    const auto is_told = [&](const TooMuch& one) {
      return found->of == of_unknown && one.of == found->of;
    };
    if (found && std::ranges::none_of(out, is_told)) out.push_back(*found);
  };
  // A single one holds no basal insulin back, and no mark of the order's is about it.
  if (line.text.purpose == journal::Purpose::background) {
    const auto found = beyond_most(person, shelf, line, now);
    if (found && found->of == of_unknown) add(found);
  }
  const auto today = person.zone.when(now).day();
  for (const auto& other : person.order.lines) {
    const bool is_old = other.replaced_by && other.replaced_from <= today;
    if (is_old || order::is_same_insulin(other.text.insulin, line.text.insulin)) continue;
    const bool is_said = std::ranges::any_of(out, [&](const TooMuch& one) {
      return order::is_same_insulin(one.line->text.insulin, other.text.insulin);
    });
    if (!is_said) add(too_much_of(person, shelf, other, now));
  }
  return out;
}

}  // namespace penstock::interlock
