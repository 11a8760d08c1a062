// Probabilities on a grid: of counts, of units; their sums and the shortest interval that holds so
// much of one.
#pragma once

#include <cstddef>
#include <vector>

#include "core/reconcile/weigh/weigh.hpp"

namespace penstock::reconcile {

/// How likely each of 0 ... size - 1 is.
using Pmf = std::vector<double>;

/// k of n, each with probability p; exact, without overflow for any n of a request. The sum is one.
Pmf binomial(int n, double p);
/// Negative binomial with that mean and that variance over mean (above one), cut where less than
/// 1e-9 is left.
Pmf negative_binomial(double mean, double spread);

double normal_density(double x, double sd);
double normal_below(double x, double sd);

/// Masses at evenly spaced places: mass[i] at start + i step.
struct Line {
  double start = 0;
  double step = 1;
  std::vector<double> mass;
};
/// The shortest interval of neighbouring places that holds `share` of the mass. No mass: zero.
Interval shortest(const Line& line, double share);
inline constexpr double interval_share = 0.90;

/// A sum that grows: every summand is a set of places with masses; a mass between two places of the
/// grid is divided between them, so that the mean is kept.
class Sum {
 public:
  /// `low`, `high`: of the whole sum; `cells`: at most so many places.
  Sum(double low, double high, std::size_t cells_most, double step_least);
  void add(const std::vector<double>& places, const std::vector<double>& masses);
  const Line& line() const { return line_; }

 private:
  Line line_;
};

}  // namespace penstock::reconcile
