// Which injection belongs to which line and slot, and when a slot is due.
#pragma once

#include <chrono>
#include <optional>
#include <vector>

#include "core/order/order.hpp"
#include "core/order/recording.hpp"

namespace penstock::order::internal {

/// Whether the injection was of this line: by its name, or, where none was recorded, by its insulin
/// and strength.
bool is_of(const Given& given, const Line& line);

/// Whether the injection, which is of this line, answers this slot (see given_for).
bool answers_slot(const Given& given, const Line& line, const Due& due);

/// A dose outside the limits that the line states, told as a whole: less than its least never
/// answers a slot by itself, more than its most only under the slot's name; nor does the rest of a
/// part that is not on record. Somebody is asked (H04, H57, H39).
bool leaves_open(const Given& given, const Line& line);

inline bool inside(const When& when, const Due& due) {
  return due.from.at <= when.at && when.at <= due.to.at;
}

/// The same of an injection, and no other slot of the line lies nearer to it: a window of a whole
/// day reaches back to the dose before (H38).
bool is_inside(const Given& given, const Line& line, const Due& due);

/// Whether it is the dose of another line's own slot that lies so far from this one that both are
/// given: the hour of basal insulin was changed in between (H57, H38).
bool is_other_slots(const Order& order, const Given& given, const Due& due, const ZoneRules& zone);

/// How long before a slot an injection may still be this slot's: of background insulin longer.
std::chrono::seconds reach_of(const Line& line);

/// A dose that began with one injection, with all that completed it.
struct Whole {
  const Given* first = nullptr;
  const Given* last = nullptr;
  Units given = Units::zero();
  bool unknown = false;
  bool settled = false;  ///< somebody said what became of the rest: it is not owed any more
  bool taken = false;    ///< they said that it was taken
  bool rest_unknown =
      false;  ///< all that went in is known; of the rest they said that nobody knows
  /// What is not on record of what was meant.
  Units missing() const { return checked_sub(first->meant, given).value_or(Units::zero()); }
  Units rest() const { return settled ? Units::zero() : missing(); }
};

/// The dose of this line that `fact` belongs to; first == nullptr: there is none.
Whole whole_of(const Order& order, const Line& line, const Id& fact, const ZoneRules& zone);

/// The last part of the dose whose rest this injection is, though nobody said so: under the same
/// line and time of day, as much as is missing, while a rest may be given, and nothing of the line
/// in between (H39, H07). nullptr: it is none.
const Given* part_before(const Order& order, const Given& rest);

/// See rest_named: begun no more than `beside_hours` before it.
std::optional<OpenRest> open_part(const Order& order, const Given& rest);

/// The slots of one line on one local date (see due_on); the line is taken to hold on it.
void add_dues(const Line& line, LocalDay day, const ZoneRules& zone, std::vector<Due>& dues);

/// Folds the injections' marks; lines and questions must stand.
void mark_given(Order& order, const ZoneRules& zone);

}  // namespace penstock::order::internal
