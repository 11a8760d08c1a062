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
/// of the published consensus (data/reference/lows.tsv, T072, read).
inline constexpr Glucose consensus_limit{GlucoseUnit::mmol_l, 39};

struct Care {
  Glucose below = consensus_limit;  ///< of all lines that hold, the highest: the careful one
  /// Grams of fast sugar. Nothing: somebody under 18 who was not weighed within a year; the plan of
  /// this person says (H63).
  std::optional<std::int32_t> grams = 15;
  std::int32_t minutes = 15;  ///< then measure again
};

/// Under 18 a child below the first takes least, and one up to the second less than an adult.
inline constexpr TenthsKg small_child{150};
inline constexpr TenthsKg larger_child{300};
/// Grams of fast sugar for a low (rows T310 to T313 of data/reference/lows.tsv). Adults 15 g,
/// measured again after 15 min (from memory; 10 to 15 g and 15 min read). Under 18 by weight: below
/// 15 kg 5 g, to 30 kg 10 g, above it 15 g (read). Under 18 without a weight: nothing.
std::optional<std::int32_t> sugar_grams(int age_years, std::optional<TenthsKg> weight);

/// For this person on this day.
Care care_for(const chart::Chart& person, LocalDay on);

/// Whether a value lies below a limit. Where the published limit has a number in either unit (3.9
/// mmol/L is 70 mg/dL, 3.0 is 54) a value is compared with the one of its own unit.
bool is_below(const Glucose& value, const Glucose& limit);
/// Whether it is a low: below this person's limit of that day, or LO on a meter; without a value it
/// is what somebody felt, and with one that is not low, or HI, the signs were of another thing.
bool is_low(const chart::Chart& person, const contacts::Value& value);

/// For how long a low that no later value ends holds a dose back. Ours: treated by the rule of 15
/// it is over in less, and basal insulin is not kept from anybody for ever (H38). Afterwards it is
/// said beside the number. Common practice, no source.
inline constexpr std::chrono::hours open_for{2};
/// The last value on record, where it is a low (H10): one below the limit, or signs of one, or help
/// with one, without a value. What lies beyond a meter's usual range ends none: it may be a value
/// in the other unit (H06), or sugar on the fingers. nullptr: none.
const contacts::Value* last_low(const chart::Chart& person, Instant now);
/// The same while it holds a dose back. nullptr: none.
const contacts::Value* open_low(const chart::Chart& person, Instant now);
/// The last visit or call of the day before in which a hypo was told, though a later one said that
/// it is over: it stands beside the number as a value does (H10, H37). nullptr: none.
const contacts::Made* low_told(const chart::Chart& person, Instant now);

/// From here on ketones are asked about. Ours, above the consensus' level 2 of high glucose (13.9
/// mmol/L): common practice, no source.
inline constexpr Glucose very_high{GlucoseUnit::mmol_l, 200};
/// The last value on record, where it is so high or HI. nullptr: it is not.
const contacts::Value* last_very_high(const chart::Chart& person, Instant now);

/// Why the prescriber is asked before the next dose (H37).
enum class Serious : std::uint8_t {
  helped,   ///< somebody needed help with it: level 3 of the published consensus
  level_2,  ///< a value below 3.0 mmol/L (54 mg/dL), level 2 of the published consensus; so is LO,
            ///< which meters and sensors show below 2.8 at the highest (from memory)
  several,  ///< so many within so many days
};
inline constexpr Glucose level_2_limit{GlucoseUnit::mmol_l, 30};
/// So many within so many days. Ours: common practice, no source.
inline constexpr int several_lows = 3;
inline constexpr std::chrono::days several_within{7};
/// What is so of this value, together with those before it; values less than `open_for` apart are
/// one low. Nothing: it is none of them.
std::optional<Serious> serious(const chart::Chart& person, const contacts::Value& value);

/// Hypos on record within a year, by the levels of the published consensus: what somebody said of
/// severe ones stands beside them. Values less than `open_for` apart are one, of its worst level.
struct OfYear {
  std::int32_t helped = 0;   ///< level 3
  std::int32_t level_2 = 0;  ///< below `level_2_limit`
  std::int32_t others = 0;
  friend bool operator==(const OfYear&, const OfYear&) = default;
};
inline constexpr std::chrono::days year_of_lows{365};
OfYear of_year(const chart::Chart& person, Instant now);

}  // namespace penstock::low
