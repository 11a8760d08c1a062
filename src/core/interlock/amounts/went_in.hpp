// How much of an insulin went in, and how much the order has for the same hours: what is too much
// is worked out from both.
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/order/order.hpp"
#include "core/units/units.hpp"

namespace penstock::interlock {

/// All of a line's insulin that went in within some hours, corrections left out: what was injected,
/// and what somebody said was taken (H07). What came from a pen or cartridge that is not on this
/// record may be any insulin, and counts (H13, H52).
struct Went {
  Units units = Units::zero();
  int injections = 0;
  int unknown = 0;  ///< how many of them may be of any insulin
  std::optional<When> first, last;
};
/// How it is told, as a code; empty: all of it is of the line's insulin.
inline constexpr std::string_view of_unknown = "insulin/not_known";
inline constexpr std::string_view of_partly_known = "insulin/partly_known";
std::string_view of_what(const Went& went);
/// The same of several injections; basal insulin, where some were of another one than the line's.
std::string_view of_what(const order::Order& order, const order::Line& line,
                         const std::vector<const order::Given*>& all);
Went went_in(const order::Order& order, const order::Line& line, const ZoneRules& zone,
             Instant since, Instant until);
/// What the lines of that insulin come to in doses that are due from `since` on and before `until`.
Units due_within(const order::Order& order, const order::Line& line, const ZoneRules& zone,
                 Instant since, Instant until);
/// In the day before a slot, several injections of more than its doses and half of the largest; of
/// basal insulin also in the fifteen hours up to the last one, for a day after it (H04, H52);
/// until somebody has asked the prescriber. Ours.
struct DaysMore {
  Went went;
  Units due = Units::zero();  ///< what the lines of that insulin come to in it
};
std::optional<DaysMore> more_in_a_day(const order::Order& order, const order::Line& line,
                                      const ZoneRules& zone, const order::Due& slot, Instant until);
/// The last injection of a line's insulin since an hour that was more than any line of it allows
/// at once, or ten times what any asks for, as by a misplaced decimal point (H05); nullptr: there
/// is none.
const order::Given* more_than_any_allows(const order::Order& order, const order::Line& line,
                                         Instant since, Instant until);

/// One injection that was more than its slot has by more than a quarter, though its line allows so
/// much at once. Ours.
struct Above {
  Units given = Units::zero();
  Units ordered = Units::zero();
  When when;
};
/// The last of a line's insulin since an hour, until somebody has asked the prescriber (H04).
std::optional<Above> above_slot(const order::Order& order, const order::Line& line,
                                const ZoneRules& zone, Instant since, Instant until);

/// Whether an injection is the first part of a dose, or completes it.
bool is_of_chain(const order::Order& order, const Id& one, const Id& first);

/// What went in instead of a dose, as the refusal tells it: `given`, `other`, `when` (H04).
std::vector<Arg> told_instead(const order::Given& given);

}  // namespace penstock::interlock
