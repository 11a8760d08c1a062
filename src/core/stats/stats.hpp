// The few statistics that a general library does not give: the exact tolerance factor of a normal
// sample, how many measurements it takes, and whether measurements drift.
//
// Pure numerics: plain doubles live here and leave by the rooms that give them a unit.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

namespace penstock::stats {

/// A statement about a normal population from `n` independent values: "at least `content` of all
/// lies within mean - k sd and mean + k sd", true with `confidence`.
struct Tolerance {
  std::int32_t n = 0;
  double content = 0;
  double confidence = 0;
};

/// Range in which the factor's stated error was checked; outside it there is no number.
namespace limits {
inline constexpr std::int32_t n_least = 2;
inline constexpr std::int32_t n_most = 1'000'000;
inline constexpr double share_least = 0.001;  // of content and confidence
inline constexpr double share_most = 0.9999;
}  // namespace limits

/// The exact two-sided tolerance factor k of a normal population with unknown mean and sd:
///
///   2 Int_0^inf phi(t) P(chi2_(n-1) >= (n-1) r(t)^2 / k^2) dt = confidence
///   Phi(t / sqrt n + r) - Phi(t / sqrt n - r) = content
///
/// Source: the definition in ISO 16269-6 and in the NIST/SEMATECH e-Handbook 7.2.6.3 (both from
/// memory); D. B. Owen 1964 for the form of the integral (from memory). Howe's approximation, which
/// is often printed instead, is too small for small n (n = 10, 95 %, 95 %: 3.379 for 3.393).
/// For whom: independent values of one normal population; not for values that drift or are rounded
/// coarsely against their sd.
/// Relative error below 1e-10 (a test compares two quadratures and a simulation). Nothing when an
/// argument is outside `limits` or is no number.
std::optional<double> tolerance_factor(const Tolerance& asked);

/// The least n, from `at_least` on, whose factor is no more than `room`: so many sds lie between
/// the mean and the nearer limit. Nothing when no n up to `n_most` is enough, or an argument is
/// outside `limits`. The factor falls with n (a test walks it), so the answer is found by halving.
std::optional<std::int32_t> least_n(const Tolerance& at_least, double room, std::int32_t n_most);

/// The factor for ever so many values: the normal quantile of (1 + content) / 2. No sample can do
/// with less room. `content` as in `limits`.
double factor_at_infinity(double content);

/// Mean and sample sd (n - 1); the sd of one value is 0. Two passes. At least one value.
struct Moments {
  double mean = 0;
  double sd = 0;
};
Moments moments(std::span<const double> values);

/// A straight line through values in their order, by least squares.
struct Trend {
  double slope = 0;  ///< change from one value to the next
  double low = 0;    ///< of the slope, with the asked confidence
  double high = 0;
  double p = 1;  ///< two-sided: how often a population without drift shows a slope as large
};

/// Slope of the values over 0, 1, 2 … with its exact interval from Student's t with n - 2 degrees
/// of freedom. Exact for independent normal errors with one sd around a straight line; it does not
/// see a drift that turns, and one value far out widens it. Values that all lie on one line have an
/// interval of no width (p 0, or 1 when level). Nothing below three values, or for a confidence
/// outside `limits`.
std::optional<Trend> trend(std::span<const double> values, double confidence);

}  // namespace penstock::stats
