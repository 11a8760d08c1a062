// More or less than a basal slot's dose went in, by what is on record (H07, H04, H02).
#pragma once

#include <optional>
#include <vector>

#include "base/base.hpp"
#include "core/order/order.hpp"
#include "core/units/units.hpp"

namespace penstock::order {

/// What went into a slot: what answers it, or where nothing does, what may be any insulin near its
/// hours (H52, H13).
std::vector<const Given*> into_slot(const Order& order, const Due& due);

/// The most that the line or a version before it that held at that hour allows at once.
Units most_then(const Order& order, const Line& line, const When& when);
/// What a version before this slot's line has for the same time of day, where it held at that hour.
std::optional<Units> dose_before(const Order& order, const Due& due, const When& when);

/// What went in for a slot, by time, and its sum beside what the order has: where the order changed
/// on that day, as the version had it that held when it went in, if that explains it (H08, H52).
struct Otherwise {
  std::vector<const Given*> all;
  Units given = Units::zero();
  Units ordered = Units::zero();
};
/// What went into a slot of basal or premixed insulin, where it is more than was ordered: beyond
/// the line's most, twice the slot's dose, or in several injections a tenth more than it (H07,
/// H04); of a line once a day with what went in from `beside_hours` before it to `background_hours`
/// after it and is no slot's (H52). Ours.
/// Nothing: it is not.
std::optional<Otherwise> more_than_ordered(const Order& order, const Due& due,
                                           const ZoneRules& zone);
/// The same where it is less by more than a tenth, and nobody said that more was meant or that so
/// little was (H02, H57). Ours.
std::optional<Otherwise> less_than_ordered(const Order& order, const Due& due,
                                           const ZoneRules& zone);

}  // namespace penstock::order
