// The walk with the doses as they are written: day by day, dose by dose, by draw's rule.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/cover/internal/house.hpp"
#include "core/cover/internal/periods.hpp"

namespace penstock::cover::internal {

class Written {
 public:
  Written(const Line& line, const House& house, LocalDay on);

  /// Takes the next day's doses. Returns how many injections they took.
  std::int32_t next_day();
  std::int32_t days() const { return day_; }  ///< that were taken

  /// The first day on which a row of so many places did not do; `no_end` while it does.
  std::int32_t short_on(std::size_t places) const {
    return places < begun_.size() ? begun_[places] : no_end;
  }
  /// Units thrown away of the first so many places: those that were left for the next one.
  Units thrown_away(std::size_t places) const;
  /// Whether one of the first so many was passed over, expired before its turn.
  bool expired(std::size_t places) const { return expired_.before(places); }
  /// Whether a period or an expiry ended one of the first so many that could still give the dose.
  bool ends_unused(std::size_t places) const { return unused_.before(places); }

 private:
  struct First {
    std::size_t place = static_cast<std::size_t>(-1);
    bool before(std::size_t places) const { return place < places; }
    void note(std::size_t at) { place = std::min(place, at); }
  };
  std::int32_t take(Units dose);
  void next_place();
  void throw_away();

  const Line& line_;
  const House& house_;
  draw::Rules rules_;
  std::vector<Period> periods_;
  std::int32_t day_ = 0;
  bool serves_ = false;  // a cartridge is open: the last one in begun_
  draw::AtHand now_;
  std::int32_t until_ = 0;
  std::vector<std::int32_t> begun_;  // the day on which each place was come to
  std::vector<Units> thrown_;
  First expired_, unused_;
};

}  // namespace penstock::cover::internal
