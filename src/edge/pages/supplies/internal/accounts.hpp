// Three accounts of one insulin, side by side (web/src/model.ts: Accounts). Chances and intervals
// are the nurse's; the person is asked one kind question.
#pragma once

#include "edge/pages/supplies/cover.hpp"

namespace penstock::pages {

/// One part for each insulin of the order.
json::Value accounts_of(const Words& words, const Covered& covered, const Chart& person,
                        const Clinic& clinic, const When& now);

}  // namespace penstock::pages
