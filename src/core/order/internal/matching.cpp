#include "core/order/internal/matching.hpp"

#include <algorithm>
#include <span>

#include "core/order/internal/same_name.hpp"

namespace penstock::order::internal {

using std::chrono::hours;
using std::chrono::minutes;

namespace {

/// Of a rest the hour of its first part.
const When& hour_of(const Given& given) { return given.begun ? *given.begun : given.when; }

/// Clocks change by an hour or two; a jump of this much is the date line, where whole dates are
/// left out or lived twice.
constexpr hours date_jump{12};

When shifted(const ZoneRules& zone, const When& when, std::int32_t by_minutes) {
  return zone.when(when.at + minutes{by_minutes});
}

void add_due(const Line& line, std::size_t slot, LocalDay day, const When& at,
             const ZoneRules& zone, std::vector<Due>& dues) {
  const journal::Slot& s = line.text.slots[slot];
  dues.push_back({line.id, slot, s.slot, s.units, day, at, shifted(zone, at, -s.minutes_before),
                  shifted(zone, at, s.minutes_after)});
}

}  // namespace

bool is_of(const Given& given, const Line& line) {
  if (given.line) return *given.line == line.id;
  return !given.insulin.empty() && same_name(given.insulin, line.text.insulin) &&
         given.strength == line.text.strength;
}

namespace {

/// Whether another slot of the line lies nearer to the injection. A change of the clocks between
/// the two slots is left aside: it moves the middle between them by half an hour.
bool nearer_to_another(const Given& given, const Line& line, const Due& due) {
  const auto apart = abs(hour_of(given).at - due.at.at);
  const auto own = line.text.slots[due.slot].at.minutes;
  for (const journal::Slot& slot : line.text.slots) {
    for (const int days : {-1, 0, 1}) {
      const Instant other = due.at.at + minutes{slot.at.minutes - own} + hours{24 * days};
      if (abs(hour_of(given).at - other) < apart) return true;
    }
  }
  return false;
}

// A bedtime dose given after midnight is last night's, and leaves tonight's to be given: up to six
// hours after the slot, by the person's own clock, the new date does not count; of basal insulin up
// to half a day, for it is given late rather than left out (H38). A slot of the small hours belongs
// to the night that begins the evening before: what was given as it on that day, before midnight,
// is the coming night's (H07). The hours are ours.
bool of_that_day(const When& given, const Line& line, const Due& due) {
  using std::chrono::seconds;
  constexpr int small_hours = 6 * 60;
  const bool is_small = line.text.slots[due.slot].at.minutes < small_hours;
  const bool is_basal = line.text.purpose == journal::Purpose::background;
  const seconds late_most = is_basal || is_small ? hours{12} + seconds{1} : seconds{hours{6}};
  const seconds early_most = hours{24} - late_most;
  const auto after = given.local() - due.at.local();
  if (is_small) return -after <= early_most && after < late_most;
  if (given.day() == due.day) return -after <= early_most;
  return after > seconds{0} && after < late_most;
}

}  // namespace

bool is_inside(const Given& given, const Line& line, const Due& due) {
  return inside(hour_of(given), due) && !nearer_to_another(given, line, due);
}

bool answers_slot(const Given& given, const Line& line, const Due& due) {
  const bool named = given.slot && std::ranges::find(line.text.slots, *given.slot,
                                                     &journal::Slot::slot) != line.text.slots.end();
  if (named) {
    return *given.slot == due.name &&
           (of_that_day(hour_of(given), line, due) || is_inside(given, line, due));
  }
  const auto& slot = line.text.slots[due.slot];
  const bool has_hours = slot.minutes_before > 0 || slot.minutes_after > 0;
  const bool with_meal = line.text.purpose == journal::Purpose::mealtime;
  const minutes near{with_meal && has_hours ? near_minutes_meal : near_minutes};
  return due.from.at - near <= hour_of(given).at && hour_of(given).at <= due.to.at + near &&
         !nearer_to_another(given, line, due);
}

std::chrono::seconds reach_of(const Line& line) {
  return line.text.purpose == journal::Purpose::background
             ? std::chrono::seconds{hours{background_hours}}
             : std::chrono::seconds{minutes{near_minutes}};
}

void add_dues(const Line& line, LocalDay day, const ZoneRules& zone, std::vector<Due>& dues) {
  for (std::size_t slot = 0; slot < line.text.slots.size(); ++slot) {
    const LocalTime local = LocalTime{day} + minutes{line.text.slots[slot].at.minutes};
    const When at = zone.resolve(local);
    if (zone.fit(local) == ZoneRules::Fit::missing && at.local() - local >= date_jump) continue;
    add_due(line, slot, day, at, zone, dues);
    const When again = zone.resolve(local, ZoneRules::Pick::later);
    if (again.at - at.at >= date_jump) add_due(line, slot, day, again, zone, dues);
  }
}

namespace {

void mark(Order& order, MarkKind kind, const Given& given, const Line* line) {
  order.marks.push_back(
      {kind, given.fact, given.when, line ? line->id : Id{}, larger(given.units, given.meant)});
}

bool outside(const Given& given, const Line& line) {
  if (line.text.slots.empty() && line.most().is_zero()) return false;  // it states no limit at all
  const Units dose = larger(given.units, given.meant);
  return dose > line.most() || (!given.completes && dose < line.least());
}

}  // namespace

bool leaves_open(const Given& given, const Line& line) {
  if (given.without_part) return true;
  const bool whole = given.outcome == journal::Outcome::whole && given.meant <= given.units;
  if (!whole || given.completes || line.text.most_units.is_zero() || !outside(given, line))
    return false;
  return given.units < line.least() || !given.slot;
}

namespace {

bool was_in_question(const Order& order, const Line& line, const When& when) {
  return std::ranges::any_of(order.questions, [&](const Question& q) {
    return q.concerns(line.id) && q.opened.at <= when.at &&
           (!q.answer || q.answer->when.at > when.at);
  });
}

/// Marks about the line as it stood then; the first that applies, then the dose.
void mark_by_line(Order& order, const Given& given, const Line& line) {
  const LocalDay day = given.when.day();
  const auto last = line.last_day();
  if (day < line.text.from) {
    mark(order, MarkKind::before_start, given, &line);
  } else if (last && day > *last) {
    mark(order, MarkKind::after_end, given, &line);
  } else if (!line.checked || line.checked->when.at > given.when.at) {
    mark(order, MarkKind::while_unchecked, given, &line);
  } else if (was_in_question(order, line, given.when)) {
    mark(order, MarkKind::while_in_question, given, &line);
  }
  if (outside(given, line)) mark(order, MarkKind::outside_order, given, &line);
}

/// Whether the line was followed until one in its place was checked on that day, after that hour.
bool held_till_later(const Order& order, const Line& line, const When& when) {
  const Line* anew = line.replaced_by ? order.line(*line.replaced_by) : nullptr;
  return anew != nullptr && line.replaced_from == when.day() && line.text.from < when.day() &&
         !(anew->checked && anew->checked->when.at <= when.at);
}

/// A diary's row names no line: it is odd only if no line of its insulin on that day allows it.
void mark_by_insulin(Order& order, const Given& given) {
  const Line* first = nullptr;
  auto lines = order.holding(given.when.day());
  for (const Line& line : order.lines) {
    if (held_till_later(order, line, given.when)) lines.push_back(&line);
  }
  for (const Line* line : lines) {
    if (!is_of(given, *line)) continue;
    if (!outside(given, *line)) return;
    if (!first) first = line;
  }
  if (first) mark(order, MarkKind::outside_order, given, first);
}

/// Whether both fell into the window of one slot.
bool same_window(const Line& line, const Given& a, const Given& b, const ZoneRules& zone) {
  std::vector<Due> dues;
  const LocalDay day = zone.when(b.when.at).day();
  for (int ahead = -1; ahead <= 1; ++ahead) {
    add_dues(line, day + std::chrono::days{ahead}, zone, dues);
  }
  return std::ranges::any_of(
      dues, [&](const Due& due) { return inside(a.when, due) && inside(b.when, due); });
}

/// The widest window among the line's slots: two injections further apart need no closer look.
minutes widest(const Line& line) {
  minutes most{0};
  for (const auto& slot : line.text.slots) {
    most = std::max(most, minutes{slot.minutes_before + slot.minutes_after});
  }
  return most;
}

void mark_twice(Order& order, const ZoneRules& zone) {
  for (const Line& line : order.lines) {
    const minutes wide = widest(line);
    const Given* before = nullptr;
    for (const Given& given : order.given) {
      if (!is_of(given, line) || given.completes) continue;
      const bool finished =
          before && before->outcome == journal::Outcome::whole && before->meant <= before->units;
      if (finished && given.when.at - before->when.at <= wide &&
          same_window(line, *before, given, zone)) {
        mark(order, MarkKind::given_twice, given, &line);
      }
      before = &given;
    }
  }
}

}  // namespace

void mark_given(Order& order, const ZoneRules& zone) {
  for (const Given& given : order.given) {
    if (!given.line) {
      mark_by_insulin(order, given);
    } else if (const Line* line = order.line(*given.line)) {
      mark_by_line(order, given, *line);
    } else {
      mark(order, MarkKind::line_unknown, given, nullptr);
    }
  }
  mark_twice(order, zone);
}

namespace {

/// What was said of its rest: of the last part, or since then of the first one, as which it is
/// known to whoever answers (H39).
void hear(Whole& whole, const Order& order, const Line& line, const ZoneRules& zone) {
  if (whole.first == nullptr || whole.missing().is_zero()) return;
  const Said* said = said_of_rest(order, line, whole.last->fact, zone);
  if (said == nullptr) {
    said = said_of_rest(order, line, whole.first->fact, zone);
    if (said != nullptr && said->when.at < whole.last->when.at) said = nullptr;
  }
  if (said == nullptr) return;
  whole.settled = said->was != journal::DoseWas::not_known;
  whole.taken = said->was == journal::DoseWas::taken;
  whole.rest_unknown = !whole.unknown && !whole.settled;
  whole.unknown = whole.unknown || !whole.settled;
}

}  // namespace

Whole whole_of(const Order& order, const Line& line, const Id& fact, const ZoneRules& zone) {
  Whole whole;
  std::vector<Id> members;
  const auto is_member = [&](const Id& id) {
    return std::ranges::find(members, id) != members.end();
  };
  Id root = fact;
  for (auto it = order.given.rbegin(); it != order.given.rend(); ++it) {
    if (it->fact == root && it->completes) root = *it->completes;
  }
  for (const Given& given : order.given) {
    const bool first = given.fact == root && is_of(given, line);
    const bool later = whole.first && given.completes && is_member(*given.completes);
    if (!first && !later) continue;
    if (first) whole.first = &given;
    whole.last = &given;
    whole.given = sum(whole.given, given.units);
    whole.unknown = whole.unknown || given.outcome == journal::Outcome::unknown;
    members.push_back(given.fact);
  }
  hear(whole, order, line, zone);
  return whole;
}

namespace {

/// What went in before it, so soon that it may be of one dose: a journal of years is not gone
/// through for each injection.
std::span<const Given> since(const Order& order, const Given& rest, minutes reach) {
  const auto from = std::ranges::lower_bound(order.given, rest.when.at - reach, {},
                                             [](const Given& one) { return one.when.at; });
  return {from, order.given.end()};
}

}  // namespace

const Given* part_before(const Order& order, const Given& rest) {
  const bool plain = rest.outcome == journal::Outcome::whole && rest.meant <= rest.units;
  if (!rest.line || rest.completes || !plain || rest.units.is_zero()) return nullptr;
  const Given* last = nullptr;
  const Given* first = nullptr;
  Units given = Units::zero();
  for (const Given& one : since(order, rest, minutes{rest_minutes_most})) {
    if (&one == &rest || one.when.at > rest.when.at) break;
    if (one.line != rest.line) continue;
    const bool goes_on = last != nullptr && one.completes == last->fact;
    if (!goes_on) first = one.completes ? nullptr : &one;
    given = goes_on ? sum(given, one.units) : one.units;
    last = one.outcome == journal::Outcome::unknown ? nullptr : &one;
  }
  if (last == nullptr || first == nullptr || (rest.slot && rest.slot != first->slot))
    return nullptr;
  const bool is_soon = rest.when.at - first->when.at <= minutes{rest_minutes_most};
  return is_soon && checked_sub(first->meant, given) == rest.units ? last : nullptr;
}

namespace {

/// Of one line or a version of it; where either names none, of one insulin.
bool is_of_one_dose(const Order& order, const Given& a, const Given& b) {
  const Line* one = a.line ? order.line(*a.line) : nullptr;
  const Line* two = b.line ? order.line(*b.line) : nullptr;
  if (one != nullptr && two != nullptr)
    return order.stands_for(*one, two->id) || order.stands_for(*two, one->id);
  return same_name(insulin_of(order, a), insulin_of(order, b));
}

}  // namespace

std::optional<OpenRest> open_part(const Order& order, const Given& rest) {
  std::vector<const Given*> before;
  for (const Given& one : since(order, rest, hours{beside_hours})) {
    if (&one == &rest || one.when.at > rest.when.at) break;
    before.push_back(&one);
  }
  Id root = *rest.completes;
  for (auto one = before.rbegin(); one != before.rend(); ++one) {
    if ((*one)->fact == root && (*one)->completes) root = *(*one)->completes;
  }
  std::vector<Id> members;
  const Given* first = nullptr;
  Units given = Units::zero();
  bool unknown = false;
  for (const Given* one : before) {
    const bool goes_on =
        one->completes && std::ranges::find(members, *one->completes) != members.end();
    if (one->fact != root && !goes_on) continue;
    if (first == nullptr) first = one;
    members.push_back(one->fact);
    given = sum(given, one->units);
    unknown = unknown || one->outcome == journal::Outcome::unknown;
  }
  if (first == nullptr || !is_of_one_dose(order, *first, rest) ||
      rest.when.at - first->when.at > hours{beside_hours})
    return std::nullopt;
  if (unknown) return OpenRest{};
  const auto missing = checked_sub(first->meant, given);
  if (!missing || missing->is_zero()) return std::nullopt;
  return OpenRest{missing};
}

bool is_other_slots(const Order& order, const Given& given, const Due& due, const ZoneRules& zone) {
  return std::ranges::any_of(order.lines, [&](const Line& own) {
    if (own.id == due.line || !is_of(given, own)) return false;
    const auto slot = slot_of(order, own, given.fact, zone);
    return slot && abs(slot->at.at - due.at.at) >= hours{background_hours};
  });
}

}  // namespace penstock::order::internal
