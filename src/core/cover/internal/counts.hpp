// Needles: how many injections have been given by the end of each day, and how many of the needles
// at hand are good ones.
#pragma once

#include <cstdint>
#include <memory>
#include <vector>

#include "core/cover/internal/house.hpp"
#include "core/cover/internal/written.hpp"

namespace penstock::cover::internal {

/// So many in all is this likely, from `least` on.
struct CountLaw {
  std::int64_t least = 0;
  std::vector<double> chance{1.0};
};

/// Injections of all lines together, day by day, as if insulin did not run out.
class Injections {
 public:
  explicit Injections(const Request& request);
  void next_day();
  std::int32_t days() const { return day_; }
  const CountLaw& so_far() const { return so_far_; }       ///< by the end of the last day
  std::int64_t as_written() const { return as_written_; }  ///< the same with the doses as written

 private:
  struct Days {                   ///< with the same doses
    std::int32_t from = 0;        ///< see Period
    std::int64_t plain = 0;       ///< injections of a day as written, from a cartridge in use
    std::vector<CountLaw> doses;  ///< where doses vary: of each of the day
    CountLaw day;                 ///< of all of them
  };
  struct Of {
    std::unique_ptr<House> house;
    Written written;
    bool varies = false;
    std::vector<Days> periods;
  };
  static Of of(const Line& line, LocalDay on);

  const Request& request_;
  std::vector<Of> lines_;
  CountLaw so_far_;
  std::int64_t as_written_ = 0;
  std::int32_t day_ = 0;
};

/// [m] is the chance that so many needles do not do for m injections. Each of them fails with this
/// chance, and is then used up; so the good ones among them are binomial, and m injections can be
/// given exactly when there are m good ones.
std::vector<double> not_enough(std::int64_t needles, double fails);
/// The same when the number of injections is itself a law.
double not_enough(const std::vector<double>& for_injections, const CountLaw& injections);

}  // namespace penstock::cover::internal
