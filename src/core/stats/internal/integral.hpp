// The integral behind the tolerance factor, as a sum over fixed nodes. r(t) does not depend on k,
// so it is worked out once a node; what is left of one evaluation is a chi-squared tail a node.
#pragma once

#include <boost/math/quadrature/gauss.hpp>
#include <cstdint>
#include <span>
#include <vector>

#include "core/stats/stats.hpp"

namespace penstock::stats {

/// Abscissae and weights of Gauss and Legendre on [-1, 1]: the middle or positive half, which the
/// rule mirrors.
struct GaussLegendre {
  std::span<const double> x;
  std::span<const double> weight;
};
template <unsigned nodes>
GaussLegendre gauss_legendre() {
  using Rule = boost::math::quadrature::gauss<double, nodes>;
  return {Rule::abscissa(), Rule::weights()};
}

/// r with Phi(x + r) - Phi(x - r) = content: half the width of an interval around x that holds so
/// much of a standard normal population. x from 0 to 10, content as in `limits`. Within 1e-14 of r.
double half_width(double x, double content);

class ToleranceIntegral {
 public:
  /// `panels` pieces of equal width over t from 0 to `t_end`, the nodes of `rule` in each.
  ToleranceIntegral(const Tolerance& asked, std::int32_t panels, const GaussLegendre& rule);

  /// The chance that mean +- k sd holds at least the content, and that it does not: each is summed
  /// on its own, so that neither loses digits when it is small. k above zero.
  double holds(double k) const;
  double fails(double k) const;

 private:
  struct Node {
    double weight = 0;  ///< of the quadrature, times 2 phi(t)
    double r = 0;
  };
  double freedom_;
  std::vector<Node> nodes_;
};

/// Beyond it phi holds less than 1e-20 of either side, less than any answer needs.
inline constexpr double t_end = 9.5;
inline constexpr std::int32_t panels_used = 8;
inline constexpr unsigned nodes_used = 15;

/// The factor from one quadrature; `asked` inside its limits.
double factor_from(const Tolerance& asked, std::int32_t panels, const GaussLegendre& rule);

}  // namespace penstock::stats
