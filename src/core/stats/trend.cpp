#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "core/stats/internal/policy.hpp"
#include "core/stats/stats.hpp"

namespace penstock::stats {
namespace {

using StudentsT = boost::math::students_t_distribution<double, Policy>;

}  // namespace

Moments moments(std::span<const double> values) {
  const auto n = static_cast<double>(values.size());
  double sum = 0;
  for (const double value : values) sum += value;
  const double mean = sum / n;
  double squares = 0;
  for (const double value : values) squares += (value - mean) * (value - mean);
  return {mean, values.size() < 2 ? 0 : std::sqrt(squares / (n - 1))};
}

std::optional<Trend> trend(std::span<const double> values, double confidence) {
  const auto n = static_cast<double>(values.size());
  const bool known = confidence >= limits::share_least && confidence <= limits::share_most;
  if (values.size() < 3 || !known) return std::nullopt;
  const double mean = moments(values).mean;
  const double middle = (n - 1) / 2;
  double across = 0, together = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double x = static_cast<double>(i) - middle;
    across += x * x;
    together += x * (values[i] - mean);
  }
  Trend out;
  out.slope = together / across;
  double residual = 0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    const double off = values[i] - mean - out.slope * (static_cast<double>(i) - middle);
    residual += off * off;
  }
  const double error = std::sqrt(residual / (n - 2) / across);
  const StudentsT law(n - 2);
  const double half = quantile(complement(law, (1 - confidence) / 2)) * error;
  out.low = out.slope - half;
  out.high = out.slope + half;
  if (error > 0) {
    out.p = 2 * cdf(complement(law, std::abs(out.slope) / error));
  } else {
    out.p = out.slope == 0 ? 1 : 0;
  }
  return out;
}

}  // namespace penstock::stats
