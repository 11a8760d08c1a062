// What can be recorded: the kinds of facts, and of one its schema and an example; the forms.
#pragma once

#include <vector>

#include "edge/pages/pages.hpp"

namespace penstock::pages {

/// The forms of what people write and correct by hand (web/src/facts/kinds.ts: FactForms), those
/// that can be recorded first, in the order in which they are offered.
json::Value forms_page(const Caller& caller);

std::vector<Row> fact_rows();

}  // namespace penstock::pages
