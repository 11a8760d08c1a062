#include "core/stats/internal/integral.hpp"

#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <tuple>

#include "core/stats/internal/policy.hpp"

namespace penstock::stats {
namespace {

constexpr double sqrt2 = std::numbers::sqrt2;

double density(double z) { return std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi); }
/// Phi of -z: the upper tail, without loss of digits far out.
double tail(double z) { return 0.5 * std::erfc(z / sqrt2); }

/// Content of x +- r minus what is asked; from whichever side has the digits.
double too_much(double x, double r, double content) {
  if (content > 0.5) return (1 - content) - (tail(r - x) + tail(r + x));
  return (tail(x - r) - tail(x + r)) - content;
}

}  // namespace

double half_width(double x, double content) {
  // At the middle the interval is narrowest; and x more on each side always holds enough.
  double low = 0, high = 1;
  while (too_much(0, high, content) < 0) high *= 2;
  high += x;
  const auto error = [&](double r) { return too_much(x, r, content); };
  constexpr auto digits = std::numeric_limits<double>::digits;
  std::uintmax_t rounds = 200;
  std::tie(low, high) = boost::math::tools::toms748_solve(
      error, low, high, error(low), error(high), boost::math::tools::eps_tolerance<double>(digits),
      rounds, Policy());
  return std::abs(error(low)) < std::abs(error(high)) ? low : high;
}

ToleranceIntegral::ToleranceIntegral(const Tolerance& asked, std::int32_t panels,
                                     const GaussLegendre& rule)
    : freedom_(asked.n - 1) {
  const double width = t_end / panels;
  const double root = std::sqrt(static_cast<double>(asked.n));
  nodes_.reserve(static_cast<std::size_t>(panels) * rule.x.size() * 2);
  const auto node = [&](double t, double weight) {
    nodes_.push_back({width * weight * density(t), half_width(t / root, asked.content)});
  };
  for (std::int32_t panel = 0; panel < panels; ++panel) {
    for (std::size_t i = 0; i < rule.x.size(); ++i) {
      node(width * (panel + 0.5 + rule.x[i] / 2), rule.weight[i]);
      if (rule.x[i] != 0) node(width * (panel + 0.5 - rule.x[i] / 2), rule.weight[i]);
    }
  }
}

double ToleranceIntegral::holds(double k) const {
  double sum = 0;
  for (const auto& node : nodes_) {
    const double ratio = node.r / k;
    sum += node.weight * boost::math::gamma_q(freedom_ / 2, freedom_ * ratio * ratio / 2, Policy());
  }
  return sum;
}

double ToleranceIntegral::fails(double k) const {
  double sum = 0;
  for (const auto& node : nodes_) {
    const double ratio = node.r / k;
    sum += node.weight * boost::math::gamma_p(freedom_ / 2, freedom_ * ratio * ratio / 2, Policy());
  }
  return sum;
}

}  // namespace penstock::stats
