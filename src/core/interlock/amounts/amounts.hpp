// More of an insulin went in than its order allows, so lately that it still acts: the wrong pen, or
// a slip of the hand (H04, H05). What follows from it is the interlock's.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::interlock {

struct TooMuch {
  const order::Line* line = nullptr;  ///< of that insulin
  Units given = Units::zero();
  Units most = Units::zero();
  When when;       ///< of the injection, or of the first of several
  Instant over{};  ///< until when it is counted to act
  /// What it is told as instead of the line's insulin, as a code (of_what); empty: that insulin.
  std::string_view of{};
};

/// Whether the prescriber has answered about a line, or ordered anew, since an hour.
bool is_settled(const order::Order& order, const order::Line& line, const When& since);

/// More than an order of this insulin allows at once, in one injection, until somebody has asked
/// the prescriber.
std::optional<TooMuch> beyond_most(const chart::Chart& person, const shelf::Shelf& shelf,
                                   const order::Line& line, Instant now);
/// The same in several injections: into one slot half more than it has, or twice as much in one;
/// more than the doses of those hours, and one dose of the most
/// that the order allows at once; or more injections than doses, and half of the largest dose more
/// than all of them. Ours.
std::optional<TooMuch> together(const chart::Chart& person, const shelf::Shelf& shelf,
                                const order::Line& line, Instant now);

/// Of basal insulin several times a day: a dose before its time, and another no longer before it
/// than it was early, so that both act together and the hours after go without (H04, H38). Ours.
std::optional<TooMuch> too_soon(const chart::Chart& person, const shelf::Shelf& shelf,
                                const order::Line& line, Instant now);

/// Any of them, of a line; of basal insulin more than ordered in a slot of the last day.
std::optional<TooMuch> too_much_of(const chart::Chart& person, const shelf::Shelf& shelf,
                                   const order::Line& line, Instant now);

/// Of every insulin but this line's own: it is said beside the number of each other one (H61).
/// What is too much of its own is a rule, and of basal insulin more than ordered. Once what may be
/// any insulin, for basal insulin its own line's, too (H13, H52).
std::vector<TooMuch> too_much_of_others(const chart::Chart& person, const shelf::Shelf& shelf,
                                        const order::Line& line, Instant now);

}  // namespace penstock::interlock
