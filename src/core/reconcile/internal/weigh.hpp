// Weighs the mechanisms against each other: exact sums over how many doses, primes, cartridges of
// each comparison they touched, for none, for each alone, and for pairs.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "core/reconcile/internal/accounts.hpp"

namespace penstock::reconcile::internal {

struct Weighed {
  bool looked = false;  ///< there was anything to look at
  double none = 1;      ///< probability that nothing of the list is there
  /// Probability that anything is there but a misread scale.
  double finding = 0;
  /// By mechanism; diary_later stays as it is.
  std::array<Found, mechanism_count> found;
  /// Left less claimed over all comparisons, by what can be read.
  Interval units;
  std::vector<Interval> rows;  ///< the same of each comparison
  /// Natural logarithm of the evidence of each hypothesis that was weighed: none, the singles by
  /// mechanism, then pairs. For the second opinion in bench/compare and the tests.
  struct Hypothesis {
    std::optional<Mechanism> first, second;
    double prior = 0;
    double log_evidence = 0;
    double posterior = 0;
  };
  std::vector<Hypothesis> hypotheses;
};

/// `missing`: cartridges that left the sealed stock and were not opened, by the record; nothing:
/// nobody counted.
Weighed weigh(std::span<const Stretch> stretches, std::optional<std::int64_t> missing,
              double content);

}  // namespace penstock::reconcile::internal
