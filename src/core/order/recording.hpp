// What an entry is about to answer: what was said of its slot before, and whether it is of insulin
// that is never left out.
#pragma once

#include <chrono>
#include <optional>
#include <string_view>

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

/// Insulin that is never left out in silence (H38): basal, or premixed, which has basal in it.
bool is_basal(const Line& line);

/// Whether the slot had no number for want of its line's second check, which it waited for (H40).
bool waited_for_check(const Line& line, const Due& due);

/// How long a dose that was passed over is asked about: what went in then may still act. Ours.
inline constexpr std::chrono::hours passed_over_hours{48};
/// Between doses of a basal line that are on record, the latest of these hours before `now` of
/// which nobody knows: the dose after it does not say what became of it (H57). One at a time, so
/// that nobody is asked in a row about what changes nothing any more (H32). `since`: as of
/// `unrecorded`, which asks about what comes after the last that is known.
std::optional<Due> passed_over(const Order& order, const Line& line, const When& since, Instant now,
                               const ZoneRules& zone);

}  // namespace penstock::order
