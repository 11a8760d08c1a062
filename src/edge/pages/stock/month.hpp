// Month end: who runs out of what and by when to ask, for the whole clinic, and what their needs
// add up to (web/src/model.ts: MonthPage). From the summary rows: no journal is folded.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

inline constexpr std::int32_t month_days_max = 120;

/// One supply of one person that has to be asked for in the time that is looked at.
struct Want {
  std::string what;  ///< the insulin's name; empty: needles
  std::optional<Strength> strength;
  Units each = Units::zero();  ///< what one cartridge holds
  std::optional<TenthsMm> length;
  LocalDay ask_by{};
  LocalDay short_on{};
  bool late = false;
  std::int32_t boxes = 0;   ///< that cover the days that are looked at
  std::int64_t pieces = 0;  ///< the same in cartridges or needles
};

struct Wants {
  std::vector<Want> all;
  bool unreadable = false;
};

/// Cover of one row, from the day of its last injection on, over the days that are looked at. Rows
/// do not depend on each other: the caller may work on several at once.
Wants wants_of(const summary::Row& row, const supply::ClosedDays& closed, LocalDay today,
               std::int32_t days_ahead);
/// `wants`: one for each of `people`, in the same order.
json::Value month_page(const People& people, std::span<const Wants> wants, const Clinic& clinic,
                       const Caller& caller, std::int32_t days_ahead);

}  // namespace penstock::pages
