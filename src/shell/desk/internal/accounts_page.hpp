// Three accounts of one insulin, side by side (web/src/model.ts: Accounts). Chances and intervals
// are the nurse's; the person is asked one kind question.
#pragma once

#include "edge/json/json.hpp"
#include "shell/desk/internal/supply_page.hpp"

namespace penstock::desk {

/// How far back accounts are compared: two months, as a follow-up visit looks at them.
inline constexpr int accounts_days = 60;

/// One part for each insulin of the order.
json::Value accounts_of(const Covered& covered, const Folded& person, const ClinicState& clinic,
                        const When& now);

}  // namespace penstock::desk
