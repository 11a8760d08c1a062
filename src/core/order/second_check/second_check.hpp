// H40, H60: whether somebody who read the original of an order, without sight of the copy, read the
// same.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"

namespace penstock::order {

namespace codes {
// Looked for in this order (H60). The copy's own value is not told: whoever checks would type it
// over their own.
inline constexpr std::string_view check_blind = "order.check_blind";        // nothing was read
inline constexpr std::string_view check_insulin = "order.check_insulin";    // [read]
inline constexpr std::string_view check_strength = "order.check_strength";  // [read]
inline constexpr std::string_view check_times = "order.check_times";        // other slots [read]
inline constexpr std::string_view check_dose = "order.check_dose";          // [slot, read]
inline constexpr std::string_view check_time = "order.check_time";          // [slot, read]
inline constexpr std::string_view check_from = "order.check_from";          // [read: date]
inline constexpr std::string_view check_no_from = "order.check_no_from";    // none was read
inline constexpr std::string_view check_until = "order.check_until";        // [read: date]
inline constexpr std::string_view check_no_until = "order.check_no_until";  // none was read
}  // namespace codes

/// Whether words of the order, as those for a sick day, hold a number, in digits of any script or
/// as an English word: no second check reads them.
bool holds_number(std::string_view words);

/// The slots of a day by their names.
std::string times_of(const std::vector<journal::Slot>& slots);

/// Whether the days on which the order holds were read with it (H60).
bool has_read_days(const journal::OrderLineChecked& check);

/// The first thing that differs. `copied_on`: the day on which the copy was made. The days are
/// compared where the check read them.
Result<void> same_as_copy(const journal::OrderLineSigned& copy, LocalDay copied_on,
                          const journal::OrderLineChecked& check);

}  // namespace penstock::order
