// What an entry is about to answer: what was said of its slot before, and whether it is of insulin
// that is never left out.
#pragma once

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

/// Insulin that is never left out in silence (H38): basal, or premixed, which has basal in it.
bool is_basal(const Line& line);

}  // namespace penstock::order
