// Warmth: what heat has done to a cartridge. The label decides, and what to do follows from it
// alone; then, for the nurse only, an estimate of what was lost (H12, H49).
#pragma once

#include <array>
#include <chrono>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::warmth {

/// So long at one temperature. Spells follow one another, in any order; they do not overlap.
struct Spell {
  TenthsCelsius celsius;
  std::chrono::seconds lasted{0};
};

struct Request {
  std::int32_t in_use_days = 0;        ///< by the label; it serves while its days are fewer
  std::vector<Spell> spells;           ///< at least one, or frozen
  bool frozen = false;                 ///< somebody saw it frozen, or it lay against ice
  std::optional<TenthsCelsius> limit;  ///< the label's for use; else `strictest_limit`
};

/// What is known of the insulin's label. What is asked may be stricter, never looser (H12).
struct Label {
  std::optional<TenthsCelsius> limit;
  std::optional<std::int32_t> days;
};

/// The lowest of the maximum temperatures for use that labels print: 25 C (rows T328, T329 read,
/// T366, T367 from memory; a test looks for a lower one). The others print 30 C.
inline constexpr TenthsCelsius strictest_limit{250};
/// Water freezes at 0 C, insulin a little below: a doubt counts as frozen, and frozen is final
/// (common practice, no source).
inline constexpr TenthsCelsius freezing{0};
/// Unopened insulin is kept from 2 to 8 C (row T368, read); above 8 C its in-use period runs.
inline constexpr TenthsCelsius fridge_least{20};
inline constexpr TenthsCelsius fridge_most{80};

/// What of the label was broken, the gravest first.
enum class Broken : std::uint8_t { frozen, too_warm, period_over };
inline constexpr std::array<std::string_view, 3> broken_names{"frozen", "too warm", "period over"};
constexpr std::span<const std::string_view> names_of(Broken) { return broken_names; }

/// Why there is no estimate (H33).
enum class NoNumber : std::uint8_t { frozen, above_published };
inline constexpr std::array<std::string_view, 2> no_number_names{"frozen", "above published"};
constexpr std::span<const std::string_view> names_of(NoNumber) { return no_number_names; }

/// Tenths of a percent, rounded up: the estimate errs to caution.
struct TenthsPercent {
  std::int32_t tenths = 0;
  friend constexpr auto operator<=>(TenthsPercent, TenthsPercent) = default;
};

struct Warmth {
  std::vector<Broken> broken;  ///< empty: the label's limits were kept
  bool limit_broken = false;
  TenthsCelsius limit;           ///< that was used
  std::int32_t in_use_days = 0;  ///< the same
  bool limit_assumed = false;    ///< none was given: the strictest of the labels
  std::optional<TenthsCelsius> warmest;
  std::chrono::seconds out_of_fridge{0};  ///< above `fridge_most`
  std::chrono::seconds above_limit{0};
  /// For the nurse only; never on the person's paper, never beside a dose (H49).
  std::optional<TenthsPercent> lost;
  std::optional<NoNumber> no_number;       ///< why there is none
  std::vector<std::string_view> cautions;  ///< codes of warmth_cautions
};

/// Refusals, a closed list in the order in which they are looked for.
namespace warmth_codes {
inline constexpr std::string_view days_limit = "warmth.days_limit";        // days, least, most
inline constexpr std::string_view limit_limit = "warmth.limit_limit";      // celsius, least, most
inline constexpr std::string_view nothing_noted = "warmth.nothing_noted";  // no spell, not frozen
inline constexpr std::string_view spells_limit = "warmth.spells_limit";    // spells, most
inline constexpr std::string_view celsius_limit = "warmth.celsius_limit";  // celsius, least, most
inline constexpr std::string_view hours_limit = "warmth.hours_limit";      // hours, most
}  // namespace warmth_codes
std::span<const std::string_view> refusals();

namespace warmth_cautions {
inline constexpr std::string_view limit_assumed = "warmth.caution.limit_assumed";
inline constexpr std::string_view label_stricter =
    "warmth.caution.label_stricter";  // limit, days: more was asked than the label allows
inline constexpr std::string_view near_freezing = "warmth.caution.near_freezing";
inline constexpr std::string_view look = "warmth.caution.look";
// of the estimate, for the nurse
inline constexpr std::string_view old_preparations = "warmth.caution.old_preparations";
inline constexpr std::string_view extrapolated = "warmth.caution.extrapolated";
}  // namespace warmth_cautions
std::span<const std::string_view> cautions();

Result<Warmth> warmth(const Request& request, const Label& label = {});

/// How fast potency is lost at most, a day, as a first-order rate. From the time within which loss
/// stays below 10 %, k = ln(1 / 0.9) / t90, at 5, 15, 25, 35 and 45 C (Pingel M, Volund A. Diabetes
/// 1972;21:805, abstract, read; rows T372-T376): the upper envelope over seven preparations.
/// Between those temperatures Arrhenius: ln k is linear in 1 / T. Below 5 C the rate of 5 C.
/// Nothing above 45 C or where it freezes: there is no published time. For whom: old preparations
/// only, unshaken; newer ones are not in it.
std::optional<double> loss_rate_per_day(TenthsCelsius celsius);

/// The contract's example: 28 days, 240 hours at 37 C.
Request example();

namespace limits {
inline constexpr std::int32_t in_use_days_least = 1;
inline constexpr std::int32_t in_use_days_most = 400;
inline constexpr TenthsCelsius limit_least{150};
inline constexpr TenthsCelsius limit_most{450};
inline constexpr std::int32_t spells_most = 1'000;
inline constexpr TenthsCelsius celsius_least{-900};      // below any place where people live
inline constexpr TenthsCelsius celsius_most{1'000};      // boiling
inline constexpr std::chrono::hours lasted_most{8'784};  // a year at one temperature
}  // namespace limits

}  // namespace penstock::warmth
