// What an entry is about to answer: what was said of its slot before, and whether it is of insulin
// that is never left out.
#pragma once

#include <chrono>
#include <optional>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/order/order.hpp"
#include "core/units/units.hpp"

namespace penstock::order {

/// What was said last of the slot that this injection would answer, where that is that it was
/// taken, or that nobody knows (H07, H44); nullptr: nothing. `insulin`, `strength`: the
/// cartridge's.
const Said* said_before(const Order& order, const journal::Injected& dose, std::string_view insulin,
                        Strength strength, const When& happened, const ZoneRules& zone);

/// The part whose rest this injection would be, though it does not say so: under its line, as much
/// as is missing, while a rest may be given (H39). Nothing: it is none.
std::optional<Id> rest_told(const Order& order, const journal::Injected& dose,
                            const When& happened);

/// The slots of one line on one local date (see due_on), whether it holds then or not.
std::vector<Due> slots_on(const Line& line, LocalDay day, const ZoneRules& zone);

/// What the dose that an injection says it completes still lacks then: the same line and day, and
/// not finished (H39, H52). Nothing: no such dose is open, and it counts as one of its own.
struct OpenRest {
  std::optional<Units> units;  ///< nothing: nobody knows how much
};
std::optional<OpenRest> rest_named(const Order& order, const journal::Injected& dose,
                                   std::string_view insulin, const When& happened);

/// The insulin that went in: its cartridge's, or else its line's; empty: nobody knows.
std::string_view insulin_of(const Order& order, const Given& given);

/// How much went in, as an argument: what nobody knows is never told as no units (H44).
Arg arg_amount(std::string_view name, const Given& given);

/// From a cartridge that nobody loaded here, or another person's, and of no line that is here: it
/// may be any line's (H52, H13).
bool is_of_unknown_insulin(const Order& order, const Given& given);

/// Whether the order has or had a line of this insulin.
bool has_had(const Order& order, std::string_view insulin);

/// A dose of which there is only somebody's word, as if it had been recorded at its slot's hour.
Given as_if_given(const Order& order, const Due& due);

/// From a cartridge of basal or premixed insulin of which the order has no line and had none: it
/// acts beside every basal dose (H04, H52).
bool is_unordered_basal(const Order& order, const Given& given);

/// Whether it was of this line: by its name, or, where none was recorded, by its insulin.
bool is_of_line(const Given& given, const Line& line);
/// Whether it is this line's and answers none of its slots by name: it answers one within two hours
/// of its window (given_for), and hours before the next one it may be that one's all the same.
bool is_unnamed(const Given& given, const Line& line, const ZoneRules& zone);

/// Insulin that is never left out in silence (H38): basal, or premixed, which has basal in it.
bool is_basal(const Line& line);
/// Of background insulin, one slot.
bool is_once_a_day(const Line& line);

/// Whether the slot had no number for want of its line's second check, which it waited for (H40).
bool waited_for_check(const Line& line, const Due& due);

/// A dose of which there is only somebody's word: that it was taken, or that nobody knows.
struct SaidDose {
  const Said* said = nullptr;  ///< points into the order
  Given as;                    ///< the same as if it had been recorded, at its slot's hour
};
/// As perhaps_given: what was said of another time of day of the order before, or of another line,
/// and may be this slot's dose. What was said of this one is said_of (H52, H07).
std::vector<SaidDose> perhaps_said(const Order& order, const Due& due, Instant until,
                                   const ZoneRules& zone);

/// Between two basal doses: so much less than a day, and as much more, is said; a dose may be four
/// hours late without a word. Ours.
inline constexpr std::int32_t basal_apart_hours = 20;

/// How long a dose that was passed over is asked about: what went in then may still act. Ours.
inline constexpr std::chrono::hours passed_over_hours{48};
/// Between doses of a basal line that are on record, the latest of these hours before `now` of
/// which nobody knows: the dose after it does not say what became of it (H57). One at a time, so
/// that nobody is asked in a row about what changes nothing any more (H32). `since`: as of
/// `unrecorded`, which asks about what comes after the last that is known.
std::optional<Due> passed_over(const Order& order, const Line& line, const When& since, Instant now,
                               const ZoneRules& zone);

}  // namespace penstock::order
