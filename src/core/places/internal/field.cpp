#include "core/places/internal/field.hpp"

#include <algorithm>
#include <limits>

#include "core/places/internal/check.hpp"

namespace penstock::places::internal {
namespace {

void add_zone(Field& field, Zone zone, const std::vector<PlaneSpot>& plane,
              const PlaceRequest& request, TenthsMm spacing) {
  ZoneSpots stretch{zone, field.spots.size(), 0, 0, 0};
  for (const auto& one : plane) {
    if (one.zone != zone) continue;
    const bool open = !blocked(zone, one.spot, request.blocked);
    field.spots.push_back(one.spot);
    field.open.push_back(open ? 1 : 0);
    stretch.open += open ? 1 : 0;
  }
  stretch.end = field.spots.size();
  stretch.bound = packing_bound(outline(zone, request.body), spacing);
  field.zones.push_back(stretch);
}

}  // namespace

std::int32_t day_number(LocalDay day, LocalDay from) {
  constexpr std::int64_t far = 100'000;
  static constexpr std::int64_t beyond = 1'000'000'000;  // no calendar reaches so far
  const auto count = [](LocalDay one) {
    return std::clamp<std::int64_t>(one.time_since_epoch().count(), -beyond, beyond);
  };
  return static_cast<std::int32_t>(std::clamp(count(day) - count(from), -far, far));
}

std::size_t Field::open_in(BodyPart part) const {
  std::size_t count = 0;
  for (const auto& zone : zones) count += part_of(zone.zone) == part ? zone.open : 0;
  return count;
}
std::size_t Field::open_spots() const {
  std::size_t count = 0;
  for (const auto& zone : zones) count += zone.open;
  return count;
}
std::size_t Field::bound() const {
  std::size_t most = 0;
  for (const auto& zone : zones) most += zone.bound;
  return most;
}
const ZoneSpots* Field::zone(Zone zone) const {
  const auto found = std::ranges::find(zones, zone, &ZoneSpots::zone);
  return found == zones.end() ? nullptr : &*found;
}
std::size_t Field::zone_of(std::size_t spot) const {
  std::size_t at = 0;
  while (spot >= zones[at].end) ++at;
  return at;
}

Field field_of(const PlaceRequest& request, TenthsMm spacing) {
  Field field;
  std::array<std::optional<std::vector<PlaneSpot>>, planes> lattices;
  for (const Zone zone : turn_order) {
    if (std::ranges::find(request.zones, zone) == request.zones.end()) continue;
    auto& plane = lattices[plane_of(zone)];
    if (!plane) plane = plane_lattice(plane_of(zone), request.body, spacing);
    add_zone(field, zone, *plane, request, spacing);
  }
  field.last_use.assign(field.spots.size(), never);
  for (const auto& used : request.used) {
    const auto day = day_number(used.day, request.from);
    for (const auto& zone : field.zones) {
      if (!same_plane(zone.zone, used.zone)) continue;
      for (auto i = zone.begin; i < zone.end; ++i) {
        if (field.last_use[i] < day && !apart(field.spots[i], used.spot, spacing)) {
          field.last_use[i] = day;
        }
      }
    }
  }
  return field;
}

std::array<Free, parts> free_by(const Field& field, std::int32_t rest_days, std::int32_t days) {
  const auto count = static_cast<std::size_t>(std::min(days, rest_days));
  std::array<Free, parts> free;
  for (auto& part : free) part.assign(count, 0);
  for (const auto& zone : field.zones) {
    auto& part = free[index(part_of(zone.zone))];
    for (auto i = zone.begin; i < zone.end; ++i) {
      if (!field.open[i]) continue;
      const auto from = std::max(0, field.last_use[i] + rest_days);
      if (static_cast<std::size_t>(from) < count) ++part[static_cast<std::size_t>(from)];
    }
  }
  for (auto& part : free) {
    for (std::size_t t = 1; t < count; ++t) part[t] += part[t - 1];
  }
  return free;
}

bool possible(const std::array<Free, parts>& free, const Shares& shares) {
  std::array<std::int32_t, parts> least{};  // what a part can spare on this and every later day
  least.fill(std::numeric_limits<std::int32_t>::max());
  const auto days = free.front().size();
  std::vector<std::int32_t> spare(days, 0);
  for (auto t = days; t-- > 0;) {
    const auto uses = static_cast<std::int32_t>(t) + 1;
    for (std::size_t p = 0; p < parts; ++p) {
      least[p] = std::min(least[p], free[p][t] - shares.kept[p] * uses);
      if (least[p] < 0) return false;
      spare[t] += least[p];
    }
    if (spare[t] < shares.moving * uses) return false;
  }
  return true;
}

namespace {

Shares forced(const PlaceRequest& request) {
  Shares shares;
  for (const auto& slot : request.slots) {
    if (slot.part) {
      ++shares.kept[index(*slot.part)];
    } else {
      ++shares.moving;
    }
  }
  return shares;
}

}  // namespace

bool plannable(const PlaceRequest& request, const Field& field, std::int32_t rest_days) {
  return possible(free_by(field, rest_days, request.days), forced(request));
}

std::int32_t longest_rest(const PlaceRequest& request, const Field& field) {
  // What can rest for longer can rest for less, so halving finds the end.
  std::int32_t can = 0;
  std::int32_t cannot = request.rest_days;
  while (cannot - can > 1) {
    const auto middle = (can + cannot) / 2;
    (plannable(request, field, middle) ? can : cannot) = middle;
  }
  return can;
}

namespace {

/// The part whose own slots are already too many for it; nothing: the parts together are too small.
std::optional<BodyPart> too_small(const PlaceRequest& request, const Field& field) {
  PlaceRequest anywhere = request;
  for (auto& slot : anywhere.slots) slot.part.reset();
  if (!plannable(anywhere, field, request.rest_days)) return {};
  const auto free = free_by(field, request.rest_days, request.days);
  for (std::size_t p = 0; p < parts; ++p) {
    Shares alone;
    alone.kept[p] = forced(request).kept[p];
    if (!possible(free, alone)) return static_cast<BodyPart>(p);
  }
  return {};
}

/// In steps of a millimetre; nothing: not even at the least spacing.
std::optional<TenthsMm> widest_spacing(const PlaceRequest& request) {
  constexpr std::int32_t step = 10;
  auto spacing = (request.spacing.tenths - 1) / step * step;
  for (; spacing >= spacing_least.tenths; spacing -= step) {
    if (plannable(request, field_of(request, {spacing}), request.rest_days)) {
      return TenthsMm{spacing};
    }
  }
  return {};
}

}  // namespace

Error refusal(const PlaceRequest& request, const Field& field) {
  const auto refused = [](std::string_view code, std::string_view at, std::vector<Arg> args) {
    return Error{Kind::refused, std::string(code), std::move(args), std::string(at)};
  };
  if (field.open_spots() == 0) {
    return refused(places_codes::no_spot, "/zones", {arg_size("zones", field.zones.size())});
  }
  std::vector<Arg> args{arg_count("rest", request.rest_days),
                        arg_count("longest", longest_rest(request, field))};
  if (const auto part = too_small(request, field)) {
    args.push_back(arg_code("part", "part/" + std::string(body_part_names[index(*part)])));
    args.push_back(arg_count("slots", forced(request).kept[index(*part)]));
    args.push_back(arg_size("spots", field.open_in(*part)));
    return refused(places_codes::part_too_small, "/keep", std::move(args));
  }
  args.push_back(arg_text("spacing", format_fixed(request.spacing.tenths, 2)));
  args.push_back(arg_size("spots", field.open_spots()));
  args.push_back(arg_size("a_day", request.slots.size()));
  args.push_back(arg_count("days", request.days));
  if (const auto widest = widest_spacing(request)) {
    args.push_back(arg_text("widest", format_fixed(widest->tenths, 2)));
    return refused(places_codes::spacing_too_wide, "/spacing_cm", std::move(args));
  }
  return refused(places_codes::rest_too_long, "/rest_days", std::move(args));
}

}  // namespace penstock::places::internal
