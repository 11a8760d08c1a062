// One comparison: how likely what was read is, if so many units more left the cartridge than the
// diary claims; and what each mechanism can do to it.
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

#include "core/reconcile/weigh/grid.hpp"
#include "core/reconcile/weigh/weigh.hpp"

namespace penstock::reconcile::internal {

/// Units by which what left may differ besides, and how likely each is.
struct Moves {
  std::vector<double> by;
  std::vector<double> weights;
};
/// Ordinary life: a dose completed from the next cartridge, a change written down late, a gap that
/// was an injection, one dose claimed and not given, or given twice.
Moves completed_moves(const Stretch& stretch);
Moves late_change_moves(const Stretch& stretch);
Moves gap_moves(const Stretch& stretch);
Moves slip_moves(const Stretch& stretch);
/// A change that was not recorded: one cartridge more, less the rest that it was changed with.
Moves change_moves(const Stretch& stretch);
Moves misread_moves(const Stretch& stretch);

/// The likelihood as a table over the units that left beyond the claim, read between its places by
/// a straight line (error under 0.3 % of the peak each time; a test compares); beyond its ends a
/// slip of the pen.
class Table {
 public:
  Table() = default;
  /// What can be read, and ordinary life.
  static Table of(const Stretch& stretch);
  double at(double extra) const {
    const double place = (extra - start_) * per_unit_;
    if (!(place >= 0) || place >= last_) return floor_;
    const auto i = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(i);
    return values_[i] + part * (values_[i + 1] - values_[i]);
  }
  /// The mean of `at` over a normal spread of that sd: three places, exact for what is nearly
  /// straight over the spread (Gauss and Hermite).
  double at(double extra, double sd) const {
    if (sd <= 0) return at(extra);
    const double aside = 1.7320508075688772 * sd;
    return at(extra) * (2.0 / 3) + (at(extra - aside) + at(extra + aside)) / 6;
  }
  /// The same comparison where a mechanism that comes once or twice in all came here.
  Table moved(const Moves& moves) const;

  double low() const { return start_; }
  double high() const { return start_ + last_ / per_unit_; }
  std::size_t size() const { return values_.size(); }
  double value(std::size_t i) const { return values_[i]; }
  double step() const { return 1 / per_unit_; }

 private:
  explicit Table(const Stretch& stretch);

  double start_ = 0;
  double per_unit_ = 1;
  double last_ = 0;  // values_.size() - 1
  double floor_ = 0;
  std::vector<double> values_;
};

/// What a mechanism may have done to one comparison: numbers, each with its effect in units and the
/// spread of that, and how likely each number is for each step of its rate.
struct Support {
  std::vector<double> effect;  ///< units that left beyond the claim
  std::vector<double> sd;
  std::vector<Pmf> weights;  ///< [rate][number]

  double sd_most() const;
  /// The numbers whose effect lies between: effects go one way only.
  std::pair<std::size_t, std::size_t> within(double low, double high) const;
};

Support doses_support(const Stretch& stretch, Mechanism which);  ///< missed, double
Support primes_support(const Stretch& stretch);                  ///< left out
Support extra_support(const Stretch& stretch);
Support early_support(const Stretch& stretch);
Support gaps_support(const Stretch& stretch);
Support alike_support(const Stretch& stretch);

}  // namespace penstock::reconcile::internal
