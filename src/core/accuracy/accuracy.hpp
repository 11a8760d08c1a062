// Accuracy: does a pen deliver what its window says? One dose is set again and again and weighed or
// counted; a tolerance interval of what came is laid beside the limits of the pen-injector
// standard.
//
// Limits: the dose plus or minus the larger of one step and 5 % of the dose. Within when mean - k
// sd and mean + k sd both lie inside, k the exact two-sided normal tolerance factor (core/stats).
// Sources: half-widths of doses from 1 to 80 units, Krzywon M, et al. Curr Med Res Opin
// 2010;26(4):901-905 (abstract, read: limits of ISO 11608-1:2000); the rule, the acceptance
// and 97.5 % at 95 %: ISO 11608-1, dose accuracy clause (from memory). For whom: one pen at one
// dose with independent, normally spread deliveries. It is the standard's sum, not the standard's
// test, which takes more pens, three doses and climates.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::accuracy {

/// 0 to 1 in ten-thousandths.
struct Share {
  std::int32_t ten_thousandths = 0;
  friend constexpr auto operator<=>(Share, Share) = default;
};
/// A mean, an sd or a limit in millionths of a unit: finer than any amount that is set.
struct MicroUnits {
  std::int64_t millionths = 0;
  friend constexpr auto operator<=>(MicroUnits, MicroUnits) = default;
};

/// What was delivered where only its summary is known: a published test, another clinic's.
struct Summary {
  std::int32_t n = 0;
  MicroUnits mean;
  MicroUnits sd;  ///< of the sample, n - 1
};

/// What the standard asks of a pen (ISO 11608-1, from memory).
inline constexpr Share standard_content{9'750};
inline constexpr Share standard_confidence{9'500};

struct Request {
  Units dose = Units::zero();
  Units step = Units::zero();
  Share content = standard_content;
  Share confidence = standard_confidence;
  std::vector<Units> delivered;    ///< in the order in which they came; or
  std::optional<Summary> summary;  ///< one of the two
};

/// Which limit the interval passes.
enum class Fails : std::uint8_t { none, low, high, both };
inline constexpr std::array<std::string_view, 4> fails_names{"none", "low", "high", "both"};
constexpr std::span<const std::string_view> names_of(Fails) { return fails_names; }

/// A straight line through the deliveries in their order; interval at 95 %.
struct Drift {
  double slope_units = 0;  ///< from one delivery to the next
  double low_units = 0;
  double high_units = 0;
  double p = 1;
  bool seen = false;  ///< the interval does not hold 0
};

/// Means, sds and interval ends are doubles of units out of the numerics; the limits are exact.
struct Accuracy {
  std::int32_t n = 0;
  double k = 0;
  double mean_units = 0;
  double sd_units = 0;
  double low_units = 0;   ///< mean - k sd
  double high_units = 0;  ///< mean + k sd
  MicroUnits limit_low;
  MicroUnits limit_high;
  bool within = false;  ///< an end that lies on a limit, to 1e-9 units, is inside
  Fails fails = Fails::none;
  bool mean_outside = false;            ///< no number of measurements could help
  std::optional<std::int32_t> outside;  ///< single deliveries outside the limits, if they are known
  /// How many measurements it takes for this mean and this sd to be within: at most `n_most`;
  /// nothing: no number is enough.
  std::optional<std::int32_t> least_n;
  std::optional<std::int32_t> more_needed;  ///< beyond n; 0 when within
  std::optional<Drift> drift;               ///< from three deliveries on
  std::vector<std::string_view> cautions;   ///< codes of accuracy_cautions
};

/// Refusals, a closed list in the order in which they are looked for.
namespace accuracy_codes {
inline constexpr std::string_view dose_limit = "accuracy.dose_limit";  // dose, least, most
inline constexpr std::string_view step_limit = "accuracy.step_limit";  // step, dose
inline constexpr std::string_view step_misses =
    "accuracy.step_misses";  // dose, step: the window never shows it
inline constexpr std::string_view content_limit = "accuracy.content_limit";  // content, least, most
inline constexpr std::string_view confidence_limit = "accuracy.confidence_limit";
inline constexpr std::string_view values_or_summary =
    "accuracy.values_or_summary";                                                // both, or neither
inline constexpr std::string_view n_limit = "accuracy.n_limit";                  // n, least, most
inline constexpr std::string_view delivered_limit = "accuracy.delivered_limit";  // delivered, most
inline constexpr std::string_view mean_limit = "accuracy.mean_limit";            // mean, most
inline constexpr std::string_view sd_limit = "accuracy.sd_limit";                // sd, most
}  // namespace accuracy_codes
std::span<const std::string_view> refusals();

namespace accuracy_cautions {
/// The mean is so far above the dose that milligrams may have been taken for units.
inline constexpr std::string_view milligrams = "accuracy.caution.milligrams";
inline constexpr std::string_view few = "accuracy.caution.few";
inline constexpr std::string_view no_spread = "accuracy.caution.no_spread";
inline constexpr std::string_view coarse = "accuracy.caution.coarse";
inline constexpr std::string_view drifts = "accuracy.caution.drifts";
inline constexpr std::string_view single_outside = "accuracy.caution.single_outside";
inline constexpr std::string_view asked_less = "accuracy.caution.asked_less";
inline constexpr std::string_view wide_limits = "accuracy.caution.wide_limits";
inline constexpr std::string_view one_dose = "accuracy.caution.one_dose";
}  // namespace accuracy_cautions
std::span<const std::string_view> cautions();

/// Ends of the limits: dose plus or minus the larger of one step and 5 % of the dose; exact. The
/// step at most the dose.
struct Limits {
  MicroUnits low;
  MicroUnits high;
};
Limits limits_of(Units dose, Units step);

Result<Accuracy> accuracy(const Request& request);

/// Twenty deliveries of 10 units.
Request example();

namespace limits {
inline constexpr Units dose_most = *Units::from_hundredths(150'000);  // the largest cartridge
inline constexpr std::int32_t n_least = 2;                            // one value has no spread
inline constexpr std::int32_t n_most = 10'000;                        // nobody weighs more
inline constexpr Share share_least{5'000};  // below a half it says nothing about a pen
inline constexpr Share share_most{9'999};   // as far as the factor's error was checked
}  // namespace limits

}  // namespace penstock::accuracy
