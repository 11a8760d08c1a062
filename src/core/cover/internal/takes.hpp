// What each dose takes out of a cartridge, by draw's rule, counted in the pen's steps and looked up
// once a line instead of once a rest.
#pragma once

#include <cstdint>
#include <vector>

#include "core/draw/draw.hpp"

namespace penstock::cover::internal {

/// More steps than any cartridge has: this dose is given by none.
inline constexpr std::int64_t never_fits = std::int64_t{1} << 40;

struct Taking {
  std::int64_t need = never_fits;  ///< what must be in the cartridge, in hundredths of a unit
  std::int64_t spend = 0;          ///< what leaves it, in steps
  std::int64_t injections = 0;
};

/// Doses from one step on; [0] is a dose of zero, which needs and spends nothing.
std::vector<Taking> takings(const draw::Rules& rules, std::int64_t most_steps, bool is_new);

/// What a rest of so many steps can still give, for all rests that cannot give everything.
class Rests {
 public:
  /// `beyond` hundredths are in the cartridge on top of its whole steps.
  Rests(const std::vector<Taking>& takings, std::int64_t step, std::int64_t beyond);
  std::int64_t beyond() const { return beyond_; }
  /// The largest dose, in steps, that a rest of so many steps can give.
  std::int64_t most(std::int64_t rest) const {
    return rest < static_cast<std::int64_t>(most_.size()) ? most_[static_cast<std::size_t>(rest)]
                                                          : largest_;
  }
  /// The same for each rest below `enough`.
  const std::vector<std::int64_t>& most_by_rest() const { return most_; }
  /// With so many steps every dose that fits any cartridge can be given.
  std::int64_t enough() const { return static_cast<std::int64_t>(most_.size()); }
  /// With fewer steps none can.
  std::int64_t usable() const { return usable_; }

 private:
  std::int64_t beyond_ = 0;
  std::int64_t largest_ = 0;
  std::int64_t usable_ = 0;
  std::vector<std::int64_t> most_;
};

}  // namespace penstock::cover::internal
