#include "core/places/places.hpp"

#include <algorithm>

#include "core/places/internal/check.hpp"
#include "core/places/internal/planner.hpp"

namespace penstock::places {
namespace {

using internal::Assignment;
using internal::Field;
using internal::Held;
using internal::Planner;

/// Off the lattice a place takes up several spots, and a slot that moves may take one that others
/// need: such promises can upset what counting found.
bool upsets(const Held& held) { return held.moving || !held.on_lattice; }

/// All promises but the latest of those that can upset the counting.
std::vector<Held> without_latest(const std::vector<Held>& held, std::size_t upsetting_kept) {
  std::vector<Held> kept;
  for (const auto& one : held) {
    if (upsets(one) && upsetting_kept == 0) continue;
    if (upsets(one)) --upsetting_kept;
    kept.push_back(one);
  }
  return kept;
}

/// With all promises if that goes; else the latest give way, found by halving. Without any that
/// upsets the counting a plan is found, since counting found that there is one.
std::vector<Planned> planned(const PlaceRequest& r, const Field& field,
                             const Assignment& assignment) {
  const auto held = internal::held_promises(r, field, assignment);
  if (auto plan = Planner(r, field, assignment, held).run()) return *std::move(plan);
  std::size_t too_many = static_cast<std::size_t>(std::ranges::count_if(held, upsets));
  std::size_t goes = 0;
  auto best = Planner(r, field, assignment, without_latest(held, 0)).run();
  constexpr int halvings = 6;
  for (int i = 0; i < halvings && too_many - goes > 1; ++i) {
    const auto middle = goes + (too_many - goes) / 2;
    auto plan = Planner(r, field, assignment, without_latest(held, middle)).run();
    (plan ? goes : too_many) = middle;
    if (plan) best = std::move(plan);
  }
  INVARIANT(best.has_value());
  return *std::move(best);
}

/// A place on one plane and one day, for measuring.
struct Mark {
  std::int32_t day = 0;
  std::size_t plane = 0;
  Spot spot{};
  bool planned = false;
};

std::vector<Mark> marks_of(const PlaceRequest& r, const std::vector<Planned>& plan) {
  std::vector<Mark> marks;
  for (const auto& used : r.used) {
    marks.push_back(
        {internal::day_number(used.day, r.from), internal::plane_of(used.zone), used.spot, false});
  }
  for (const auto& one : plan) {
    marks.push_back(
        {internal::day_number(one.day, r.from), internal::plane_of(one.zone), one.spot, true});
  }
  std::ranges::stable_sort(marks, {}, &Mark::day);
  return marks;
}

/// The least distance within one rest, and the least time between two places that count as one
/// spot. Pairs of which neither is planned are the past's own.
void measure(const PlaceRequest& r, PlacePlan& out) {
  const auto marks = marks_of(r, out.plan);
  const auto spacing = internal::square(r.spacing.tenths);
  std::optional<std::int64_t> nearest;
  std::optional<std::int32_t> soonest;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    for (auto j = i; j-- > 0;) {
      const auto between = marks[i].day - marks[j].day;
      if (between >= r.rest_days && between >= soonest.value_or(between + 1)) break;
      const bool counts = marks[i].planned || marks[j].planned;
      if (!counts || marks[i].plane != marks[j].plane) continue;
      const auto square = internal::square_apart(marks[i].spot, marks[j].spot);
      if (between < r.rest_days) nearest = std::min(nearest.value_or(square), square);
      if (square < spacing) soonest = std::min(soonest.value_or(between), between);
    }
  }
  if (nearest) out.least_spacing = TenthsMm{static_cast<std::int32_t>(internal::root(*nearest))};
  out.least_rest_days = soonest.value_or(r.rest_days);
}

void count_zones(const Field& field, PlacePlan& out) {
  out.spots = field.open_spots();
  for (const auto& zone : field.zones) {
    ZoneCount count{zone.zone, zone.end - zone.begin, zone.open, zone.bound, 0};
    for (const auto& one : out.plan) count.planned += one.zone == zone.zone ? 1 : 0;
    out.zones.push_back(count);
  }
}

/// From a clean skin and for ever: every spot once a rest, for all slots and for those that must
/// keep to one part.
void limit_rest(const PlaceRequest& r, const Field& field, PlacePlan& out) {
  const auto slots = r.slots.size();
  auto longest = field.open_spots() / slots;
  auto bound = field.bound() / slots;
  for (std::size_t p = 0; p < internal::parts; ++p) {
    const auto part = static_cast<BodyPart>(p);
    const auto kept = static_cast<std::size_t>(
        std::ranges::count_if(r.slots, [&](const Slot& slot) { return slot.part == part; }));
    if (kept == 0) continue;
    std::size_t most = 0;
    for (const auto& zone : field.zones) most += part_of(zone.zone) == part ? zone.bound : 0;
    longest = std::min(longest, field.open_in(part) / kept);
    bound = std::min(bound, most / kept);
  }
  out.longest_rest_days = static_cast<std::int32_t>(longest);
  out.rest_days_bound = static_cast<std::int32_t>(bound);
}

void add_cautions(const PlaceRequest& r, PlacePlan& out) {
  const auto says = [&](bool so, std::string_view code) {
    if (so) out.cautions.push_back(code);
  };
  const auto uses = [&](BodyPart part) {
    return std::ranges::any_of(out.plan,
                               [&](const Planned& one) { return part_of(one.zone) == part; });
  };
  says(std::ranges::any_of(out.slot_parts, [](const auto& part) { return !part; }),
       places_cautions::slot_moves);
  says(!r.body.waist && uses(BodyPart::abdomen), places_cautions::waist_unknown);
  says(uses(BodyPart::arm), places_cautions::arm);
  says(out.promises_broken > 0, places_cautions::promise_broken);
  says(r.rest_days > out.longest_rest_days, places_cautions::rest_not_lasting);
}

std::size_t promised_for(const PlaceRequest& r) {
  std::vector<std::pair<std::int32_t, std::size_t>> asked;
  for (const auto& promise : r.promised) {
    const auto day = internal::day_number(promise.day, r.from);
    if (day >= 0 && day < r.days) asked.emplace_back(day, promise.slot);
  }
  std::ranges::sort(asked);
  const auto twice = std::ranges::unique(asked);
  return asked.size() - twice.size();
}

}  // namespace

std::span<const std::string_view> refusals() {
  using namespace places_codes;
  static constexpr std::array all{days_limit,   no_slot,        slots_limit,   slot_name,
                                  slot_twice,   no_zone,        rest_limit,    spacing_limit,
                                  height_limit, waist_limit,    navel_limit,   circle_limit,
                                  too_many,     spot_limit,     promised_slot, part_not_allowed,
                                  no_spot,      part_too_small, rest_too_long, spacing_too_wide};
  return all;
}

std::span<const std::string_view> cautions() {
  using namespace places_cautions;
  static constexpr std::array all{slot_moves, waist_unknown, arm, promise_broken, rest_not_lasting};
  return all;
}

Result<PlacePlan> plan(const PlaceRequest& request) {
  if (auto found = internal::wrong(request)) return *std::move(found);
  const auto field = internal::field_of(request, request.spacing);
  const auto assignment = internal::assign(request, field);
  if (!assignment) return internal::refusal(request, field);
  PlacePlan out;
  out.plan = planned(request, field, *assignment);
  out.slot_parts = assignment->slots;
  const auto kept = std::ranges::count(out.plan, true, &Planned::kept);
  out.promises_broken = promised_for(request) - static_cast<std::size_t>(kept);
  measure(request, out);
  count_zones(field, out);
  limit_rest(request, field, out);
  add_cautions(request, out);
  return out;
}

PlaceRequest example() {
  const auto day = [](int year, unsigned month, unsigned number) {
    return LocalDay{std::chrono::local_days{std::chrono::year{year} / static_cast<int>(month) /
                                            static_cast<int>(number)}};
  };
  PlaceRequest r;
  r.from = day(2027, 3, 1);
  for (const auto* name : {"breakfast", "lunch", "supper", "bedtime"}) {
    r.slots.push_back({name, {}, {}});
  }
  r.zones = {Zone::abdomen_left_upper,  Zone::abdomen_left_lower, Zone::abdomen_right_upper,
             Zone::abdomen_right_lower, Zone::thigh_left,         Zone::thigh_right};
  r.body.height = {1680};
  r.blocked = {{Zone::abdomen_left_lower, {{700}, {-600}}, {200}}};
  r.used = {{day(2027, 2, 27), Zone::thigh_left, {{100}, {200}}}};
  return r;
}

}  // namespace penstock::places
