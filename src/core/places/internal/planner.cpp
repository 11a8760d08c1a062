#include "core/places/internal/planner.hpp"

#include <algorithm>
#include <limits>

namespace penstock::places::internal {
namespace {

constexpr std::int32_t far_away = std::numeric_limits<std::int32_t>::max();
constexpr std::int32_t week = 7;
constexpr std::int32_t fortnight = 14;
constexpr std::int32_t recent_days = 28;  // four weeks: what an educator looks at

std::size_t as_index(std::int32_t n) { return static_cast<std::size_t>(n); }

/// Whole weeks since a day on which a week began, so that a plan made anew finds the same zone's
/// week. Nobody said which day: a Monday long ago.
std::int64_t week_number(LocalDay day, std::optional<LocalDay> from) {
  constexpr LocalDay monday{std::chrono::days{-3}};  // 1969-12-29
  const std::int64_t days = (day - from.value_or(monday)).count();
  return quotient(days, week, Rounding::down);
}

}  // namespace

// ---- promises

namespace {

bool still_allowed(const PlaceRequest& r, const Field& field, const Assignment& assignment,
                   const Promised& promise) {
  const auto& part = assignment.slots[promise.slot];
  if (part && *part != part_of(promise.zone)) return false;
  if (field.zone(promise.zone) == nullptr) return false;
  if (blocked(promise.zone, promise.spot, r.blocked)) return false;
  if (!clear_of_navel(promise.zone, promise.spot, r.body)) return false;
  if (!inside(outline(promise.zone, r.body), promise.spot)) return false;
  const auto day = day_number(promise.day, r.from);
  return std::ranges::none_of(r.used, [&](const Used& used) {
    const auto between = std::abs(day - day_number(used.day, r.from));
    return between < r.rest_days && same_plane(used.zone, promise.zone) &&
           !apart(used.spot, promise.spot, r.spacing);
  });
}

}  // namespace

std::vector<Held> held_promises(const PlaceRequest& request, const Field& field,
                                const Assignment& assignment) {
  std::vector<Promised> promised;
  for (const auto& promise : request.promised) {
    const auto day = day_number(promise.day, request.from);
    if (day >= 0 && day < request.days) promised.push_back(promise);
  }
  std::ranges::stable_sort(promised, [](const Promised& a, const Promised& b) {
    return std::pair(a.day, a.slot) < std::pair(b.day, b.slot);
  });
  std::vector<Held> held;
  for (const auto& promise : promised) {
    const auto day = day_number(promise.day, request.from);
    if (!held.empty() && held.back().day == day && held.back().slot == promise.slot) continue;
    if (!still_allowed(request, field, assignment, promise)) continue;
    const bool clash = std::ranges::any_of(held, [&](const Held& other) {
      return day - other.day < request.rest_days && same_plane(other.zone, promise.zone) &&
             !apart(other.spot, promise.spot, request.spacing);
    });
    if (clash) continue;
    const auto* zone = field.zone(promise.zone);
    const auto begin = field.spots.begin() + static_cast<std::ptrdiff_t>(zone->begin);
    const auto end = field.spots.begin() + static_cast<std::ptrdiff_t>(zone->end);
    held.push_back({day, promise.slot, promise.zone, promise.spot,
                    std::find(begin, end, promise.spot) != end,
                    !assignment.slots[promise.slot].has_value()});
  }
  return held;
}

// ---- the pass

Planner::Planner(const PlaceRequest& request, const Field& field, const Assignment& assignment,
                 std::vector<Held> held)
    : r_(request),
      field_(field),
      assignment_(assignment),
      held_(std::move(held)),
      broken_(held_.size(), 0),
      promise_(as_index(request.days) * request.slots.size()),
      free_from_(field.spots.size(), never),
      holds_(field.spots.size()),
      used_in_(field.zones.size(), 0),
      back_(recent_days),
      nearest_(as_index(back_ + request.days)) {
  for (std::size_t i = 0; i < field.spots.size(); ++i) {
    free_from_[i] = field.last_use[i] + request.rest_days;
  }
  add_history();
  for (std::size_t i = 0; i < held_.size(); ++i) hold(i);
}

void Planner::add_history() {
  for (const auto& used : r_.used) {
    const auto day = day_number(used.day, r_.from);
    if (day + back_ < 0 || day >= r_.days) continue;
    note(used.zone, used.spot, day);
    if (day < 0 && day > -r_.rest_days) {
      for (std::size_t z = 0; z < field_.zones.size(); ++z) {
        used_in_[z] += field_.zones[z].zone == used.zone ? 1 : 0;
      }
    }
  }
}

/// Calls each(spot) for every spot within the spacing of a place.
template <class Each>
void Planner::near(Zone zone, Spot spot, Each each) const {
  for (const auto& stretch : field_.zones) {
    if (!same_plane(stretch.zone, zone)) continue;
    for (auto i = stretch.begin; i < stretch.end; ++i) {
      if (!apart(field_.spots[i], spot, r_.spacing)) each(i);
    }
  }
}

void Planner::hold(std::size_t promise) {
  const auto& held = held_[promise];
  promise_[as_index(held.day) * r_.slots.size() + held.slot] = promise;
  near(held.zone, held.spot, [&](std::size_t spot) { holds_[spot].push_back(promise); });
  note(held.zone, held.spot, held.day);
}

void Planner::give_way(std::size_t promise) {
  const auto& gone = held_[promise];
  broken_[promise] = 1;
  promise_[as_index(gone.day) * r_.slots.size() + gone.slot].reset();
  near(gone.zone, gone.spot, [&](std::size_t spot) { std::erase(holds_[spot], promise); });
  nearest_[as_index(gone.day + back_)]
      .clear();  // that day's uses are noted again, without this one
  for (const auto& used : r_.used) {
    if (day_number(used.day, r_.from) == gone.day) note(used.zone, used.spot, gone.day);
  }
  for (std::size_t i = 0; i < held_.size(); ++i) {
    if (!broken_[i] && held_[i].day == gone.day) note(held_[i].zone, held_[i].spot, gone.day);
  }
  const auto day = r_.from + std::chrono::days{gone.day};
  for (auto it = plan_.rbegin(); it != plan_.rend() && it->day >= day; ++it) {
    if (it->day == day) note(it->zone, it->spot, gone.day);
  }
}

void Planner::note(Zone zone, Spot spot, std::int32_t day) {
  auto& row = nearest_[as_index(day + back_)];
  if (row.empty()) row.assign(field_.spots.size(), far_away);
  for (const auto& stretch : field_.zones) {
    if (!same_plane(stretch.zone, zone)) continue;
    for (auto i = stretch.begin; i < stretch.end; ++i) {
      // Two places are at most a metre and a half apart: the square stays below 2^31.
      const auto square = static_cast<std::int32_t>(square_apart(field_.spots[i], spot));
      row[i] = std::min(row[i], square);
    }
  }
}

void Planner::use(Zone zone, Spot spot, std::int32_t day) {
  near(zone, spot,
       [&](std::size_t i) { free_from_[i] = std::max(free_from_[i], day + r_.rest_days); });
}

std::optional<std::int32_t> Planner::next_hold(std::size_t spot, std::int32_t day) const {
  for (const auto promise : holds_[spot]) {  // by day
    if (held_[promise].day >= day) return held_[promise].day;
  }
  return {};
}

bool Planner::available(std::size_t spot, std::int32_t day) const {
  if (!field_.open[spot] || free_from_[spot] > day) return false;
  const auto next = next_hold(spot, day);
  return !next || *next - day >= r_.rest_days;
}

/// Zones of a part in the order in which they are asked for a free spot.
std::vector<std::size_t> Planner::turns(BodyPart part, std::int32_t day) const {
  std::vector<std::size_t> zones;
  for (std::size_t z = 0; z < field_.zones.size(); ++z) {
    if (part_of(field_.zones[z].zone) == part) zones.push_back(z);
  }
  if (zones.empty()) return zones;
  if (r_.turn == Turn::each_week) {
    const auto count = static_cast<std::int64_t>(zones.size());
    const auto number = week_number(r_.from + std::chrono::days{day}, r_.weeks_from) % count;
    std::ranges::rotate(zones, zones.begin() + (number + count) % count);
    return zones;
  }
  // Sainte-Lague: the zone with the least (2 used + 1) / open spots; equals in clockwise order.
  std::ranges::stable_sort(zones, [&](std::size_t a, std::size_t b) {
    const auto open = [&](std::size_t z) {
      return static_cast<std::int64_t>(field_.zones[z].open);
    };
    return (2 * used_in_[a] + 1) * open(b) < (2 * used_in_[b] + 1) * open(a);
  });
  return zones;
}

/// The free spot that is farthest from the recent places, before it and promised after it: the
/// older a place, the farther it counts, twice as far after a fortnight. Equals: the first.
std::optional<std::size_t> Planner::farthest(const ZoneSpots& zone, std::int32_t day) {
  recent_.assign(zone.end - zone.begin, std::numeric_limits<std::int64_t>::max());
  const auto reach = std::min(r_.rest_days, recent_days) - 1;
  for (auto d = std::max(day - reach, -back_); d <= std::min(day + reach, r_.days - 1); ++d) {
    const auto& row = nearest_[as_index(d + back_)];
    if (row.empty()) continue;
    const std::int64_t weight = square(fortnight + std::abs(day - d));
    for (std::size_t i = 0; i < recent_.size(); ++i) {
      recent_[i] = std::min(recent_[i], row[zone.begin + i] * weight);
    }
  }
  std::optional<std::size_t> best;
  for (auto i = zone.begin; i < zone.end; ++i) {
    if (best && recent_[i - zone.begin] <= recent_[*best - zone.begin]) continue;
    if (available(i, day)) best = i;
  }
  return best;
}

void Planner::record(std::int32_t day, std::size_t slot, std::size_t zone, Spot spot, bool kept) {
  const auto name = field_.zones[zone].zone;
  use(name, spot, day);
  if (!kept) note(name, spot, day);  // a promise was noted when it was held
  ++used_in_[zone];
  plan_.push_back({r_.from + std::chrono::days{day}, slot, name, spot, kept});
}

bool Planner::keep(std::int32_t day, std::size_t slot) {
  const auto promise = promise_[as_index(day) * r_.slots.size() + slot];
  if (!promise) return false;
  const auto& held = held_[*promise];
  const auto* zone = field_.zone(held.zone);
  record(day, slot, static_cast<std::size_t>(zone - field_.zones.data()), held.spot, true);
  return true;
}

bool Planner::choose(std::int32_t day, std::size_t slot, BodyPart part) {
  for (const auto z : turns(part, day)) {
    if (const auto spot = farthest(field_.zones[z], day)) {
      record(day, slot, z, field_.spots[*spot], false);
      return true;
    }
  }
  return false;
}

/// Nothing is free but what was promised for later: the latest promise gives way.
bool Planner::take_held(std::int32_t day, std::size_t slot, BodyPart part) {
  std::optional<std::size_t> best;
  for (const auto& zone : field_.zones) {
    if (part_of(zone.zone) != part) continue;
    for (auto i = zone.begin; i < zone.end; ++i) {
      if (!field_.open[i] || free_from_[i] > day || next_hold(i, day) == day) continue;
      if (!best || *next_hold(i, day) > *next_hold(*best, day)) best = i;
    }
  }
  if (!best) return false;
  const auto holds = holds_[*best];
  for (const auto promise : holds) {
    const auto later = held_[promise].day - day;
    if (later > 0 && later < r_.rest_days) give_way(promise);
  }
  record(day, slot, field_.zone_of(*best), field_.spots[*best], false);
  return true;
}

/// Whether a part has a spot for a slot that moves, beside those that its own slots will need on
/// this and every later day of one rest.
bool Planner::can_spare(BodyPart part, std::int32_t day, std::size_t slot) const {
  const auto days = std::min(r_.rest_days, r_.days - day);
  Free free(as_index(days), 0);
  for (const auto& zone : field_.zones) {
    if (part_of(zone.zone) != part) continue;
    for (auto i = zone.begin; i < zone.end; ++i) {
      const auto from = std::max(0, free_from_[i] - day);
      if (field_.open[i] && from < days) ++free[as_index(from)];
    }
  }
  std::int32_t today = 0;  // of its own slots that are still to come
  for (auto later = slot + 1; later < r_.slots.size(); ++later) {
    today += assignment_.slots[later] == part ? 1 : 0;
  }
  const auto kept = assignment_.shares.kept[static_cast<std::size_t>(part)];
  std::int32_t there = 0;
  for (std::int32_t t = 0; t < days; ++t) {
    there += free[as_index(t)];
    if (there < today + kept * t + 1) return false;
  }
  return true;
}

bool Planner::plan_slot(std::int32_t day, std::size_t slot) {
  if (keep(day, slot)) return true;
  if (const auto& part = assignment_.slots[slot]) {
    return choose(day, slot, *part) || take_held(day, slot, *part);
  }
  std::vector<BodyPart> spare;
  for (std::size_t p = 0; p < parts; ++p) {
    const auto part = static_cast<BodyPart>(p);
    if (assignment_.ranks[slot][p] >= 0 && can_spare(part, day, slot)) spare.push_back(part);
  }
  std::ranges::stable_sort(spare, {}, [&](BodyPart part) {
    return assignment_.ranks[slot][static_cast<std::size_t>(part)];
  });
  for (const auto part : spare) {
    if (choose(day, slot, part)) return true;
  }
  return std::ranges::any_of(spare, [&](BodyPart part) { return take_held(day, slot, part); });
}

std::optional<std::vector<Planned>> Planner::run() {
  for (std::int32_t day = 0; day < r_.days; ++day) {
    for (std::size_t slot = 0; slot < r_.slots.size(); ++slot) {
      if (!plan_slot(day, slot)) return {};
    }
  }
  return std::move(plan_);
}

}  // namespace penstock::places::internal
