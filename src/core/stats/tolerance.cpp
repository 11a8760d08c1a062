// Root finding on the integral, and the least n.
#include <boost/math/distributions/chi_squared.hpp>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "core/stats/internal/integral.hpp"
#include "core/stats/internal/policy.hpp"

namespace penstock::stats {
namespace {

using Normal = boost::math::normal_distribution<double, Policy>;
using ChiSquared = boost::math::chi_squared_distribution<double, Policy>;

bool is_share(double value) {
  return value >= limits::share_least && value <= limits::share_most;  // false for no number
}
bool is_inside(const Tolerance& asked) {
  return asked.n >= limits::n_least && asked.n <= limits::n_most && is_share(asked.content) &&
         is_share(asked.confidence);
}

/// Howe 1969 (from memory): close enough to start from, nowhere near enough to answer with.
double howe(const Tolerance& asked) {
  const double freedom = asked.n - 1;
  const double least = quantile(ChiSquared(freedom), 1 - asked.confidence);
  return factor_at_infinity(asked.content) * std::sqrt((1 + 1.0 / asked.n) * freedom / least);
}

/// The zero of a function that rises, by regula falsi after Illinois inside a bracket, on the
/// logarithm of the argument: k spans five powers of ten.
template <class F>
double rising_zero(const F& f, double start) {
  double low = std::log(start), high = low;
  double at_low = f(start), at_high = at_low;
  for (double step = 0.05; at_low > 0; step *= 2) at_low = f(std::exp(low -= step));
  for (double step = 0.05; at_high < 0; step *= 2) at_high = f(std::exp(high += step));
  int kept = 0;  // which end stayed at the last round
  for (int round = 0; round < 200 && high - low > 1e-13; ++round) {
    const bool stuck = round % 8 == 7;
    const double middle =
        stuck ? (low + high) / 2 : (low * at_high - high * at_low) / (at_high - at_low);
    const double value = f(std::exp(middle));
    if (value == 0) return std::exp(middle);
    if (value < 0) {
      low = middle;
      at_low = value;
      if (kept == 1) at_high /= 2;
      kept = 1;
    } else {
      high = middle;
      at_high = value;
      if (kept == -1) at_low /= 2;
      kept = -1;
    }
  }
  return std::exp((low + high) / 2);
}

}  // namespace

double factor_at_infinity(double content) {
  return quantile(complement(Normal(), (1 - content) / 2));
}

double factor_from(const Tolerance& asked, std::int32_t panels, const GaussLegendre& rule) {
  const ToleranceIntegral integral(asked, panels, rule);
  const double start = howe(asked);
  // The smaller of the two chances decides: it has the digits.
  if (asked.confidence > 0.5) {
    return rising_zero([&](double k) { return (1 - asked.confidence) - integral.fails(k); }, start);
  }
  return rising_zero([&](double k) { return integral.holds(k) - asked.confidence; }, start);
}

std::optional<double> tolerance_factor(const Tolerance& asked) {
  if (!is_inside(asked)) return std::nullopt;
  return factor_from(asked, panels_used, gauss_legendre<nodes_used>());
}

std::optional<std::int32_t> least_n(const Tolerance& at_least, double room, std::int32_t n_most) {
  if (!is_inside(at_least) || n_most < at_least.n || n_most > limits::n_most || !(room > 0)) {
    return std::nullopt;
  }
  const auto fits = [&](std::int32_t n) {
    const Tolerance asked{n, at_least.content, at_least.confidence};
    return factor_from(asked, panels_used, gauss_legendre<nodes_used>()) <= room;
  };
  if (fits(at_least.n)) return at_least.n;
  if (!fits(n_most)) return std::nullopt;
  std::int32_t low = at_least.n, high = n_most;  // low is too few, high is enough
  while (high - low > 1) {
    // By ratio: what is looked for is far nearer the lower end.
    const auto root = std::sqrt(static_cast<double>(low) * static_cast<double>(high));
    std::int32_t middle = static_cast<std::int32_t>(root);
    if (middle <= low) middle = low + 1;
    if (middle >= high) middle = high - 1;
    (fits(middle) ? high : low) = middle;
  }
  return high;
}

}  // namespace penstock::stats
