// What is asked about by the order when somebody records: a dose before or after its time, an odd
// copy, a second reading that differs, the end of basal insulin.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"

namespace penstock::order {

/// A slot whose window opens after a dose of it is said to have been given (H07, H55).
struct Early {
  When due;
  When from;  ///< as the order has it; where it says nothing of how early, an hour, which is ours
};
/// `happened`: of the injection, by the person's clock. Nothing where it names no line, completes
/// another, or the nearest slot that nobody answered is open.
std::optional<Early> too_early(const Order& order, const journal::Injected& dose,
                               const When& happened, const ZoneRules& zone);

/// A slot whose window was over when a dose of it is said to have been given (H07, H38).
struct Late {
  When due;
  When to;  ///< as the order has it; where it says nothing of how late, an hour, which is ours
};
/// The same of a dose after the window of the nearest slot that nobody answered.
std::optional<Late> too_late(const Order& order, const journal::Injected& dose,
                             const When& happened, const ZoneRules& zone);

/// The open question that would hold a line copied on this day of the person's; nullptr: none would
/// (H37).
const Question* question_before(const Order& order, const journal::OrderLineSigned& copy,
                                LocalDay today);

/// Whether it ends basal insulin, and no other line of it holds from the day after (H38).
bool ends_basal(const Order& order, const journal::OrderLineEnded& end);

/// The same of a line with a last day that takes the place of another: that one does not come back
/// by itself (H38).
bool ends_basal(const Order& order, const journal::OrderLineSigned& copy);

/// H60: what somebody read on an order, where it is not what the copy says: the first thing that
/// differs (same_as_copy). Nothing read, or no such line: nothing.
std::optional<Error> reads_otherwise(const Order& order, const journal::OrderLineChecked& check);
/// The latest earlier reading of the same line that differs, unless the copy was put right since:
/// whoever reads it rightly now may have typed over that one. nullptr: there is none.
const journal::Fact* read_otherwise_before(const Order& order, std::span<const journal::Fact> facts,
                                           const journal::OrderLineChecked& check);

/// Further ahead than this an order's start is asked about. Ours.
inline constexpr std::int32_t start_days_usual = 90;
/// The same for one that started long ago: a slip of the year. Ours.
inline constexpr std::int32_t start_days_back_usual = 183;
/// A signature older than this is asked about. Ours.
inline constexpr std::int32_t signature_days_usual = 730;
/// A most at once of more than so many times the largest dose, and by more than so many units above
/// it, is asked about: a 0 too many is ten times. Ours.
inline constexpr std::int64_t most_times_usual = 3;
inline constexpr std::int64_t most_above_usual_hundredths = 2'000;
namespace codes {
// What is odd about a copy, asked in this order (H04, H08, H25).
inline constexpr std::string_view ask_unknown_insulin =
    "ask.unknown_insulin";  // the shelf knows no such insulin [insulin, strength]
inline constexpr std::string_view ask_purpose_odd =
    "ask.purpose_odd";  // long-acting with meals, or rapid as basal [insulin, purpose]
inline constexpr std::string_view ask_slot_twice =
    "ask.slot_twice";  // the same time of day twice in one line [slot]
inline constexpr std::string_view ask_half_unit =
    "ask.half_unit";  // 10.5 is often 105 or 10 misread (H05) [dose]
inline constexpr std::string_view ask_same_insulin =
    "ask.same_insulin";  // another line of it stands (H52) [insulin, version, doses]
inline constexpr std::string_view ask_second_background =
    "ask.second_background";  // another background line stands [insulin, other]
inline constexpr std::string_view ask_new_strength =
    "ask.new_strength";  // than the line whose place it takes (H03) [insulin, old, strength]
inline constexpr std::string_view ask_signed_late =
    "ask.signed_late";  // signed after the day of the copy: a slip (H37) [signed, copied]
inline constexpr std::string_view ask_signature =
    "ask.signature";  // by telephone, and no signature owed
inline constexpr std::string_view ask_far_start = "ask.far_start";  // [from]
inline constexpr std::string_view ask_sick_day_number =
    "ask.sick_day_number";  // no second check reads it (H40, H60)
inline constexpr std::string_view ask_remark_number = "ask.remark_number";  // as of a sick day
inline constexpr std::string_view ask_slots_close =
    "ask.slots_close";  // two basal doses less than `background_hours` apart (H07) [slot, other]
inline constexpr std::string_view ask_first_dose =
    "ask.first_dose";  // basal: no day after the last of the line before it [other, last, hours]
inline constexpr std::string_view ask_old_start = "ask.old_start";          // [from]
inline constexpr std::string_view ask_slot_hour = "ask.slot_hour";          // [slot, at]
inline constexpr std::string_view ask_old_signature = "ask.old_signature";  // [signed]
inline constexpr std::string_view check_early = "order.check_early";  // before the copy [copied]
inline constexpr std::string_view ask_most_wide = "ask.most_wide";    // H04, H25 [most, dose]
}  // namespace codes
/// What is odd about a line that is being copied on `on`, beside what stands already: questions,
/// each answered with a yes.
std::vector<Error> oddities(const journal::OrderLineSigned& copy, const Order& so_far,
                            const shelf::Shelf& shelf, LocalDay on);

}  // namespace penstock::order
