// The law of the house where doses vary: how likely it is, before each dose, that this cartridge of
// the row serves and holds so many steps of the pen.
//
// What has to be remembered. A dose is independent of all that was before, so what happens next
// follows from (which cartridge serves, what it holds, the slot of the day, how old it is), and
// from nothing else. Look at one cartridge alone and it is a semi-Markov chain: at its opening one
// must know the slot, and the dose that did not fit into the one before, since that dose is its
// first; had the period of the one before ended instead, its first dose is a fresh one. Here both
// come out by themselves: a dose that does not fit goes, with its chance, to the next cartridge in
// the same instant; a cartridge whose days are over becomes "waiting for the next dose", which is
// drawn afresh. A dose of zero leaves it waiting. So the walk goes through the calendar, and
// expiries, which are days of the calendar, are exact at no cost.
//
// Age. It would have to be remembered only to end the in-use period, and is not: as long as a
// cartridge can still give something, all its doses have fitted (what it holds only falls), so what
// left it is a plain sum of independent doses, also where they changed on the way. Those that were
// opened on one day and still can give something when their days are over are therefore (law at the
// end of the day of opening) * (law of the sum of all doses of the days between), exactly; they are
// taken out of the walk that day. Where that sum is certain to be more than a cartridge holds
// (Chernoff's bound below 1e-18), as with most doses, there is nothing to take out and nothing is
// kept: the stationary case.
//
// Sums of doubles: a rest of a chance below 1e-16 is laid to its neighbour, a cartridge of a chance
// below 1e-15 goes on at once, doses of a chance below 1e-16 that look for a cartridge wait; all of
// that together stays below 1e-13 of any answer.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "base/stopped.hpp"
#include "core/cover/internal/doses.hpp"
#include "core/cover/internal/house.hpp"
#include "core/cover/internal/takes.hpp"

namespace penstock::cover::internal {

/// What is looked at: a row of so many places does not do from some day on.
struct Marks {
  std::size_t ask = 0;            ///< without the spare; at most `all`
  std::size_t all = 0;            ///< the whole house
  std::int32_t boxes_by_day = 0;  ///< the number of places is looked at after so many days; or 0
};

struct RunOut {
  /// By day: the chance that by its end some dose could not be given from so many places. Ends
  /// where it is certain, or at the horizon.
  std::vector<double> ask, all;
  /// After `boxes_by_day` days: [i] is the chance that a row of i places did not do, for doses that
  /// any cartridge could give.
  std::vector<double> places;
  double too_large = 0;  ///< by then: the chance of a dose that none could
};

/// Stopped: not to its end, and good for nothing.
RunOut run_out(const Line& line, const House& house, LocalDay on, const Marks& marks,
               const Stopped& stopped = {});

/// The chances of one slot's doses, by dose and by what they spend.
struct SlotLaw {
  double none = 0;               ///< of a dose of zero
  std::int64_t least = 1;        ///< the smallest other dose, in steps
  std::vector<double> dose;      ///< from `least` on
  std::int64_t least_spend = 1;  ///< what it spends, from a cartridge that is in use
  std::vector<double> spend;     ///< from `least_spend` on; between two there may be zeros
  std::int64_t most() const { return least + static_cast<std::int64_t>(dose.size()) - 1; }
};
SlotLaw slot_law(const DoseLaw& doses, const std::vector<Taking>& in_use);

/// So much of a sum is this likely: from `least` on.
struct SumLaw {
  std::int64_t least = 0;
  std::vector<double> chance;
};
/// So many days of the same doses.
struct SameDays {
  const std::vector<SlotLaw>* slots = nullptr;  ///< of one day
  std::int32_t days = 0;
  bool operator==(const SameDays&) const = default;
};
/// The sum of what all doses of these days spend, as far as it is not more than `most`.
SumLaw spent_in(const std::vector<SameDays>& stretch, std::int64_t most);
/// Whether that sum may be at most `most`: false only where its chance is below 1e-18.
bool may_be_at_most(const std::vector<SameDays>& stretch, std::int64_t most);

// ---- convolution, eight rows at a time

/// Zeros that stand before and behind a factor, and room that its product needs behind it.
inline constexpr std::size_t pad = 12;
/// A factor with its zeros.
class Padded {
 public:
  explicit Padded(const std::vector<double>& values = {});
  const double* data() const { return values_.data() + pad; }
  std::size_t size() const { return values_.size() - 2 * pad; }

 private:
  std::vector<double> values_;
};
inline constexpr std::size_t rows = 8;
/// to[i + j] += from[i] * by[j] for the eight i from 0 on and j of [begin, end), in the order of i:
/// the same bits on every machine. What stands in `by` beside the range may be counted in, too.
/// `to` has room for 8 + `end` + pad.
void convolve_rows(double* to, const double* from, const double* by, std::size_t begin,
                   std::size_t end);
/// The whole product.
std::vector<double> convolved(const std::vector<double>& a, const std::vector<double>& b);

}  // namespace penstock::cover::internal
