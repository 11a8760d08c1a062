// Which fields a request may leave out; asked by the reader and by the schema, so that they agree.
#pragma once

#include <algorithm>
#include <array>
#include <string>
#include <string_view>

#include "edge/wire/internal/fields.hpp"

namespace penstock::wire {

/// Fields that may be left out although their type has no word for "nobody said".
template <class Owner>
inline constexpr std::array<std::string_view, 0> left_out{};
template <>
inline constexpr auto left_out<journal::Slot> =
    std::to_array<std::string_view>({"minutes_before", "minutes_after"});
// Needles alone have no insulin; cartridges alone no needles.
template <>
inline constexpr auto left_out<journal::SuppliesGiven> = std::to_array<std::string_view>(
    {"strength_units_per_ml", "each_units", "cartridges", "needles"});
template <>
inline constexpr auto left_out<journal::SuppliesCounted> =
    std::to_array<std::string_view>({"strength_units_per_ml", "each_units"});
template <>
inline constexpr auto left_out<journal::SuppliesAsked> =
    std::to_array<std::string_view>({"strength_units_per_ml", "boxes", "needle_boxes"});
template <>
inline constexpr auto left_out<journal::NeedlesGiven> =
    std::to_array<std::string_view>({"length_mm"});
// What nobody said is as the kind's struct has it.
template <>
inline constexpr auto left_out<journal::SupplyRulesSet> = std::to_array<std::string_view>(
    {"lead_days", "late_days", "late_percent", "service_per_thousand", "spare_cartridges",
     "spare_pens", "for_days", "cartridges_per_box", "needles_per_box", "failed_needles_percent",
     "spread"});
// Zero: nobody said.
template <>
inline constexpr auto left_out<journal::NeedleOn> = std::to_array<std::string_view>({"length_mm"});

template <class E>
constexpr bool has_unknown(E) {
  return std::ranges::find(names_of(E{}), "unknown") != names_of(E{}).end();
}

/// What is missing then is empty, "unknown", or as the kind's struct says. Amounts, identities,
/// days, times and choices without "unknown" are never assumed.
template <class Owner, class T>
constexpr bool may_be_left_out(std::string_view name) {
  if constexpr (is_optional<T> || is_vector<T> || std::same_as<T, std::string> ||
                std::same_as<T, bool> || std::same_as<T, ReplacementPointer> ||
                std::same_as<T, journal::Background>) {
    return true;
  } else {
    if constexpr (std::is_enum_v<T>) {
      if (has_unknown(T{})) return true;
    }
    return std::ranges::find(left_out<Owner>, name) != left_out<Owner>.end();
  }
}

/// A copy of the shelf's values, which a request may name by its code.
template <class T>
inline constexpr bool is_shelf_copy =
    std::same_as<T, shelf::Pen> || std::same_as<T, shelf::Insulin>;

}  // namespace penstock::wire
