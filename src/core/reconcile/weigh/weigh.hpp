// Weighs the mechanisms against each other: exact sums over how many doses, primes, cartridges of
// each comparison they touched, for none, for each alone, and for pairs. What is compared and who
// asks stands in core/reconcile; behind further doors are the model's numbers, and probabilities on
// a grid.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/stopped.hpp"

namespace penstock::reconcile {

/// What can make the accounts differ. A closed list.
enum class Mechanism : std::uint8_t {
  missed_doses,            ///< claimed, not injected
  double_doses,            ///< injected twice, claimed once
  primes_left_out,         ///< claimed or planned, not done
  extra_priming,           ///< more than claimed or planned
  cartridge_thrown_early,  ///< with a rest that nobody recorded
  cartridge_lost,          ///< sealed: lost, broken, or given to somebody
  change_not_recorded,     ///< a cartridge more was used than the record has
  not_written,             ///< injected, and not in the diary
  entered_twice,           ///< one injection, two entries some minutes apart
  scale_misread,           ///< the account is right, a reading is not
  diary_later,             ///< written afterwards, by rule and not by what was done
  unknown,                 ///< none of these
};
inline constexpr auto mechanism_names = std::to_array<std::string_view>(
    {"missed doses", "double doses", "primes left out", "extra priming",
     "cartridge thrown away early", "cartridge lost", "change not recorded", "not written down",
     "entered twice", "scale misread", "diary written later", "not known"});
inline constexpr std::size_t mechanism_count = mechanism_names.size();
constexpr std::span<const std::string_view> names_of(Mechanism) { return mechanism_names; }

/// Both ends included; whole numbers where it counts something.
struct Interval {
  double low = 0;
  double high = 0;
  bool holds(double value) const { return low <= value && value <= high; }
};

struct Found {
  Mechanism which = Mechanism::unknown;
  bool possible = false;   ///< the request holds what it can be seen by
  double prior = 0;        ///< before anything is looked at: ours
  double probability = 0;  ///< that it had a part in it
  /// If it alone made the difference (90 %, highest density). `count`: doses, primes, cartridges or
  /// readings, by the mechanism; diary_later and unknown have none.
  Interval units;
  Interval count;
};

/// Things of one size, or nearly: injections, primes, gaps.
struct Several {
  int count = 0;
  double mean = 0;      ///< units
  double variance = 0;  ///< between them
};

/// One cartridge with two known ends. Units, as doubles: numerics only.
struct Stretch {
  double expected = 0;  ///< held less claimed: what the diary leaves in it
  bool read = false;    ///< its end was read: `level`. Otherwise used up: at most `need` is left
  double level = 0;
  double need = 0;
  double sd = 1;  ///< of readings and priming together
  double claimed = 0;
  double content = 0;
  double reading_unit = 1;        ///< 100 units/mL: 1
  double completed = 0;           ///< it may have begun with a part of a dose: at most so much
  bool begins_at_change = false;  ///< another was in use before
  bool ends_at_change = false;
  bool may_be_early = false;  ///< it was changed, and nobody read its rest
  Several doses;              ///< each with its prime
  Several primes;             ///< those that are claimed or planned
  Several gaps;               ///< due and not written, each with its prime
  Several alike;              ///< entries that are nearly the one before, each with its prime
  double rule_prime = 0;
  std::size_t row = 0;  ///< its place in the answer's rows

  /// Left less claimed, by the middle of what can be read.
  double difference() const { return expected - (read ? level : need / 2); }
};

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
/// nobody counted. Stopped: not to its end, and good for nothing.
Weighed weigh(std::span<const Stretch> stretches, std::optional<std::int64_t> missing,
              double content, const Stopped& stopped = {});

}  // namespace penstock::reconcile
