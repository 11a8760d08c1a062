#include "core/stats/internal/integral.hpp"

#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>

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

GaussLegendre gauss_legendre(std::int32_t nodes) {
  const auto n = static_cast<std::size_t>(nodes);
  GaussLegendre out{std::vector<double>(n), std::vector<double>(n)};
  for (std::size_t i = 0; i < n; ++i) {
    const double place = static_cast<double>(i) + 0.75;
    double x = std::cos(std::numbers::pi * place / (nodes + 0.5));
    double slope = 1;
    for (int round = 0; round < 100; ++round) {
      double before = 1, value = x;  // P_0, P_1, then the recurrence
      for (std::int32_t j = 2; j <= nodes; ++j) {
        const double next = ((2 * j - 1) * x * value - (j - 1) * before) / j;
        before = value;
        value = next;
      }
      slope = nodes * (x * value - before) / (x * x - 1);
      const double step = value / slope;
      x -= step;
      if (std::abs(step) < 1e-16) break;
    }
    out.x[i] = x;
    out.weight[i] = 2 / ((1 - x * x) * slope * slope);
  }
  return out;
}

double half_width(double x, double content) {
  // At the middle the interval is narrowest; and x more on each side always holds enough.
  double low = 0, high = 1;
  while (too_much(0, high, content) < 0) high *= 2;
  high += x;
  double r = high;
  for (int round = 0; round < 200; ++round) {
    const double error = too_much(x, r, content);
    (error < 0 ? low : high) = r;
    const double slope = density(x + r) + density(x - r);
    double next = r - error / slope;
    // Where the tangent leaves the bracket, halve it.
    if (!(next > low && next < high)) next = low + (high - low) / 2;
    if (std::abs(next - r) <= 1e-15 * r || high - low <= 1e-15 * high) return next;
    r = next;
  }
  return r;
}

ToleranceIntegral::ToleranceIntegral(const Tolerance& asked, std::int32_t panels,
                                     std::int32_t nodes)
    : freedom_(asked.n - 1) {
  const auto rule = gauss_legendre(nodes);
  const double width = t_end / panels;
  const double root = std::sqrt(static_cast<double>(asked.n));
  nodes_.reserve(static_cast<std::size_t>(panels) * rule.x.size());
  for (std::int32_t panel = 0; panel < panels; ++panel) {
    for (std::size_t i = 0; i < rule.x.size(); ++i) {
      const double t = width * (panel + 0.5 + rule.x[i] / 2);
      nodes_.push_back({width * rule.weight[i] * density(t), half_width(t / root, asked.content)});
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
