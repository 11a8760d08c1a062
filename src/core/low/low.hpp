// A low: below which glucose only the low is treated, and with how much fast sugar. One limit a
// person, whatever page or sheet asks (H10, H61).
#pragma once

#include <chrono>
#include <cstdint>
#include <optional>

#include "core/chart/chart.hpp"
#include "core/contacts/contacts.hpp"
#include "core/units/units.hpp"

namespace penstock::low {

/// Below it only the low is treated where no order says otherwise: 3.9 mmol/L (70 mg/dL), level 1
/// of the published consensus.
inline constexpr Glucose consensus_limit{GlucoseUnit::mmol_l, 39};

struct Care {
  Glucose below = consensus_limit;  ///< of all lines that hold, the highest: the careful one
  /// Grams of fast sugar. Nothing: somebody under 18 who was not weighed within a year; the plan of
  /// this person says (H63).
  std::optional<std::int32_t> grams = 15;
  std::int32_t minutes = 15;  ///< then measure again
};

/// Grams of fast sugar for a low. Adults 15 g (consensus wording: 15 g, measured again after 15
/// min). Under 18 by weight: below 15 kg 5 g, to 30 kg 10 g, above it 15 g (a children's hospital's
/// leaflet, British Columbia, step 1). Under 18 without a weight: nothing.
std::optional<std::int32_t> sugar_grams(int age_years, std::optional<TenthsKg> weight);

/// For this person on this day.
Care care_for(const chart::Chart& person, LocalDay on);

/// Which of two values is the lower one, in whatever units they came.
bool is_lower(const Glucose& one, const Glucose& other);
/// Whether it is one: below this person's limit of that day; without a value it is what somebody
/// felt, and with one that is not low the signs were of another thing.
bool is_low(const chart::Chart& person, const contacts::Value& value);

/// For how long a low on record is taken as not yet over where no later value says that it is.
/// Ours: treated by the rule of 15 it is over in less. Common practice, no source.
inline constexpr std::chrono::hours open_for{2};
/// A low that is on record and of which no later value says that it is over (H10): a value below
/// the limit, or signs of one, or help with one, without a value. nullptr: none.
const contacts::Value* open_low(const chart::Chart& person, Instant now);

}  // namespace penstock::low
