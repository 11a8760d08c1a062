// By which clock a time is told: the sender's offset says when it was, not what the person's own
// clock showed (H18).
#include <algorithm>
#include <ranges>

#include "core/chart/chart.hpp"

namespace penstock::chart {
namespace {

// The zone that a fact says they live in from then on; empty: it says none.
std::string_view home_in(const journal::Payload& payload) {
  if (const auto* registered = std::get_if<journal::PersonRegistered>(&payload))
    return registered->zone;
  if (const auto* changed = std::get_if<journal::DetailsChanged>(&payload)) return changed->zone;
  return {};
}

}  // namespace

std::vector<std::string> zones_in(const journal::History& history) {
  std::vector<std::string> out;
  const auto add = [&](std::string_view name) {
    if (!name.empty() && std::ranges::find(out, name) == out.end()) out.emplace_back(name);
  };
  for (const auto& one : history.facts) {
    add(home_in(*one.payload));
    if (const auto* trip = std::get_if<journal::TripPlanned>(one.payload)) add(trip->zone);
  }
  return out;
}

Clock clock_of(const journal::History& history, std::span<const ZoneRules> zones) {
  Clock clock;
  const auto rules_of = [&](std::string_view name) -> const ZoneRules* {
    const auto found = std::ranges::find(zones, name, &ZoneRules::name);
    return found == zones.end() ? nullptr : &*found;
  };
  for (const auto& one : history.facts) {
    if (const auto home = home_in(*one.payload); !home.empty())
      clock.since_.push_back({one.happened.at, rules_of(home)});
    const auto* trip = std::get_if<journal::TripPlanned>(one.payload);
    if (trip == nullptr || trip->zone.empty()) continue;
    if (const auto* there = rules_of(trip->zone))
      clock.trips_.push_back({trip->leaves, trip->returns, there});
  }
  return clock;
}

When Clock::told(const When& sent) const {
  if (since_.empty()) return sent;
  const auto on_trip = [&](const Trip& trip) {
    const auto there = trip.zone->when(sent.at);
    return there == sent && trip.leaves <= there.day() && there.day() <= trip.returns;
  };
  if (std::ranges::any_of(trips_, on_trip)) return sent;
  const auto later = std::ranges::upper_bound(since_, sent.at, {}, &Since::from);
  // Before they were registered they lived where they lived then.
  const auto& holds = later == since_.begin() ? since_.front() : *std::prev(later);
  return holds.zone == nullptr ? sent : holds.zone->when(sent.at);
}

}  // namespace penstock::chart
