// What a record says about how the places were changed.
#include <algorithm>

#include "core/places/internal/skin.hpp"

namespace penstock::places {
namespace {

struct Place {
  LocalDay day{};
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
};

std::vector<Place> by_day(std::span<const Used> used) {
  std::vector<Place> places;
  for (const auto& one : used) places.push_back({one.day, one.zone, one.spot});
  std::ranges::stable_sort(places, {}, &Place::day);
  return places;
}

void count_zones(std::span<const Place> window, std::span<const Zone> allowed, Rotation& out) {
  std::array<std::size_t, zone_names.size()> counts{};
  for (const auto& place : window) ++counts[static_cast<std::size_t>(place.zone)];
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (counts[i] > 0) out.by_zone.emplace_back(static_cast<Zone>(i), counts[i]);
  }
  std::ranges::stable_sort(out.by_zone,
                           [](const auto& a, const auto& b) { return a.second > b.second; });
  std::int64_t sum = 0;
  std::int64_t squares = 0;
  std::int64_t zones = 0;
  for (std::size_t i = 0; i < counts.size(); ++i) {
    if (std::ranges::find(allowed, static_cast<Zone>(i)) == allowed.end()) continue;
    const auto n = static_cast<std::int64_t>(counts[i]);
    ++zones;
    sum += n;
    squares += n * n;
  }
  if (squares > 0) {
    out.evenness_thousandths = static_cast<std::int32_t>(1000 * sum * sum / (squares * zones));
  }
}

/// The square of the distance to the nearest place of the rest before; nothing: there was none.
std::optional<std::int64_t> nearest_before(std::span<const Place> places, std::size_t i,
                                           std::int32_t rest_days) {
  std::optional<std::int64_t> nearest;
  for (auto j = i; j-- > 0;) {
    if ((places[i].day - places[j].day).count() >= rest_days) break;
    if (!same_plane(places[i].zone, places[j].zone)) continue;
    const auto square = internal::square_apart(places[i].spot, places[j].spot);
    if (!nearest || square < *nearest) nearest = square;
  }
  return nearest;
}

TenthsMm median(std::vector<std::int64_t> squares) {
  std::ranges::sort(squares);
  const auto upper = internal::root(squares[squares.size() / 2]);
  const auto lower = internal::root(squares[(squares.size() - 1) / 2]);
  return {static_cast<std::int32_t>((lower + upper) / 2)};
}

std::size_t same_spot_most(std::span<const Place> window, TenthsMm spacing) {
  std::size_t most = 0;
  for (const auto& centre : window) {
    std::size_t count = 0;
    for (const auto& place : window) {
      if (!same_plane(place.zone, centre.zone)) continue;
      count += internal::apart(place.spot, centre.spot, spacing) ? 0 : 1;
    }
    most = std::max(most, count);
  }
  return most;
}

bool kept_off(const Place& place, std::span<const BlockedSpell> spells) {
  return std::ranges::any_of(spells, [&](const BlockedSpell& spell) {
    return spell.from <= place.day && (!spell.until || place.day < *spell.until) &&
           same_plane(spell.circle.zone, place.zone) && internal::within(place.spot, spell.circle);
  });
}

}  // namespace

Rotation rotation(std::span<const Used> used, std::span<const BlockedSpell> spells, LocalDay from,
                  LocalDay to, std::span<const Zone> allowed, std::int32_t rest_days,
                  TenthsMm spacing) {
  const auto all = by_day(used);
  const std::span<const Place> places(all);
  const auto begin = std::ranges::lower_bound(places, from, {}, &Place::day) - places.begin();
  const auto end = std::ranges::upper_bound(places, to, {}, &Place::day) - places.begin();
  Rotation out;
  if (begin >= end) return out;
  const auto first = static_cast<std::size_t>(begin);
  const auto window = places.subspan(first, static_cast<std::size_t>(end - begin));
  out.injections = window.size();
  count_zones(window, allowed, out);
  std::vector<std::int64_t> nearest;
  for (std::size_t i = 0; i < window.size(); ++i) {
    out.in_blocked += kept_off(window[i], spells) ? 1 : 0;
    const auto square = nearest_before(places, first + i, rest_days);
    if (!square) continue;
    nearest.push_back(*square);
    out.too_close += *square < internal::square(spacing.tenths) ? 1 : 0;
  }
  if (!nearest.empty()) out.nearest_median = median(std::move(nearest));
  out.same_spot_most = same_spot_most(window, spacing);
  return out;
}

}  // namespace penstock::places
