// Month end: who runs out of what and by when to ask, for the whole clinic, and what their needs
// add up to (web/src/model.ts: MonthPage). From the summary rows: no journal is folded.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
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
  /// It has to be asked for by the last day that is looked at, that day included; else it only adds
  /// to the boxes.
  bool due = false;
  LocalDay ask_by{};  ///< of what is due
  LocalDay short_on{};
  bool late = false;
  std::int32_t boxes = 0;   ///< that cover the days that are looked at
  std::int64_t pieces = 0;  ///< the same in cartridges or needles
  std::int32_t per_box = 1;
};

struct Wants {
  std::vector<Want> all;
  bool unreadable = false;
};

/// Cover of one row, from the day of its last injection on, over the days that are looked at. Rows
/// do not depend on each other: the caller may work on several at once. Nothing: nothing to ask
/// for.
std::shared_ptr<const Wants> wants_of(const summary::Row& row, const supply::ClosedDays& closed,
                                      LocalDay today, std::int32_t days_ahead);

/// One sum of the month: of one insulin, or of needles of one length.
struct MonthSum {
  Want of;  ///< one of them
  std::int64_t boxes = 0;
  std::int64_t pieces = 0;
};
/// Everybody's wants put together; words, and what the clinic has itself, come with the page.
struct MonthNeeds {
  struct Due {
    std::size_t place = 0;    ///< among the people
    std::vector<Want> wants;  ///< by the day by which to ask
  };
  std::vector<Due> due;        ///< by the first of their days, then by name; as many as are shown
  std::size_t people_due = 0;  ///< all of them
  std::size_t unreadable = 0;
  std::vector<MonthSum> sums;
};
/// `wants`: one for each of `people`, in the same order; nothing: nothing to ask for.
MonthNeeds month_of(const People& people, std::span<const std::shared_ptr<const Wants>> wants);

/// `needs`: of these people, from today on.
json::Value month_page(const People& people, const MonthNeeds& needs, const Clinic& clinic,
                       const Caller& caller, std::int32_t days_ahead);

}  // namespace penstock::pages
