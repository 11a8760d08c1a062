// A carton was scanned: what its code says, and whether it may be handed out, by the clinic's shelf
// and stock and, for somebody, by their order (web/src/model.ts: Scanned). Nothing is recorded.
#pragma once

#include <string_view>

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

/// `person`: nullptr where nobody is meant. Errors: those of reading a carton's code.
Result<json::Value> scan_answer(std::string_view typed, const Chart* person, const Clinic& clinic,
                                const Caller& caller);

}  // namespace penstock::pages
