// The order as it held at an hour. A new version says what is due from its first day on; whoever
// injected before it was checked had the one before in their hands, and gave what that one said
// (H08, H52).
#pragma once

#include <optional>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/order/order.hpp"

namespace penstock::order {

/// Whether the line was to be followed at that hour: it had begun and not ended, and no line in its
/// place had begun that somebody had checked by then.
bool held_then(const Order& order, const Line& line, const When& when);

/// As due_on; on the day of a change what was injected under the version before, while that one
/// held, is due as that one has it, and the new one's dose for the same time of day is not.
std::vector<Due> dues_then(const Order& order, LocalDay day, const ZoneRules& zone);

/// The last day of an insulin that had been ordered and was not any more at that hour; of the day
/// before, a dose may be as late as its hours allow (H08). Nothing: it was ordered then, or never
/// before.
std::optional<LocalDay> over_before(const Order& order, std::string_view insulin, const When& when,
                                    const ZoneRules& zone);

}  // namespace penstock::order
