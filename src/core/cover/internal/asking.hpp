// When to ask, so that it comes in time.
#pragma once

#include <cstdint>
#include <vector>

#include "core/cover/cover.hpp"
#include "core/cover/internal/house.hpp"

namespace penstock::cover::internal {

/// How likely a supply has run out by the end of a day. Behind its last day nothing changes when it
/// is certain there; otherwise nothing is known.
struct Course {
  std::vector<double> gone;  ///< by day
  bool known(std::int32_t day) const {
    return day < static_cast<std::int32_t>(gone.size()) || ended();
  }
  bool ended() const { return !gone.empty() && gone.back() >= 1 - chance_least; }
  double by(std::int32_t day) const {
    if (day < 0 || gone.empty()) return 0;
    return gone[std::min(static_cast<std::size_t>(day), gone.size() - 1)];
  }
  /// Certain from a day on, and impossible before.
  static Course step(std::int32_t short_on);
};

/// The days on which something can be asked for and can come.
class OpenDays {
 public:
  OpenDays(const std::vector<LocalDay>& closed, LocalDay on);
  bool is_open(std::int32_t day) const;
  /// The day on which it is there that was asked for on an open day.
  std::int32_t arrives(std::int32_t day, std::int32_t lead) const;
  std::int32_t first() const;  ///< from the first day on

 private:
  std::vector<std::int32_t> closed_;
};

/// A service is reached when it is missed by less than the sums of doubles lose.
inline constexpr double service_slack = 1e-12;

/// Sets `ask_by`, `here_by` and `late`. `plan`: how the supply goes without its spare.
void set_asking(Lasts& lasts, const Ask& ask, const OpenDays& days, LocalDay on,
                const Course& plan);

/// Sets `runs_out`, from how the whole supply goes.
void set_run_out(Lasts& lasts, LocalDay on, const Course& all);

}  // namespace penstock::cover::internal
