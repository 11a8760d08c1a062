// What is in the house, in the order in which it serves; days counted from the request's first day,
// which is 0.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/cover/cover.hpp"
#include "core/draw/draw.hpp"

namespace penstock::cover::internal {

/// Later than any day that is looked at.
inline constexpr std::int32_t no_end = 1 << 30;

/// One cartridge where it stands in the row.
struct Place {
  Units left = Units::zero();
  bool is_new = false;
  bool sealed = false;             ///< its in-use period begins when it is opened
  std::int32_t last_day = no_end;  ///< on which it may be opened and may serve
};

/// The row: open ones as given, then sealed ones, first expiring first; behind the last of them
/// stand as many fresh ones as are asked about, of no known expiry, so that "how many boxes more"
/// is one question with "how long".
class House {
 public:
  House(const Line& line, LocalDay on);

  const Place& at(std::size_t index) const {
    return index < places_.size() ? places_[index] : fresh_;
  }
  std::size_t size() const { return places_.size(); }
  std::size_t open() const { return open_; }
  std::size_t sealed() const { return places_.size() - open_; }
  /// The last day on which it serves when it is opened on `day`.
  std::int32_t serves_until(const Place& place, std::int32_t day) const {
    if (!place.sealed) return place.last_day;
    return std::min(place.last_day, day + in_use_days_ - 1);
  }
  /// How many of the row a plan may use that leaves the spare alone, with so many fresh ones added:
  /// those that are opened last are the spare.
  std::size_t usable(std::int64_t spare, std::int64_t added) const;

 private:
  std::vector<Place> places_;
  std::size_t open_ = 0;
  Place fresh_;
  std::int32_t in_use_days_ = 0;
};

/// A day's number; far days are cut, so that no count overflows.
std::int32_t day_number(LocalDay day, LocalDay on);

/// The rule by which doses are taken, for draw.
draw::Rules rules_of(const Line& line);

}  // namespace penstock::cover::internal
