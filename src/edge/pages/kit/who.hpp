// Who a page is about: name, birth date and number, on every page of a person (H19).
#pragma once

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::pages {

/// `clinic`: whose clock somebody may not live by (H18).
json::Value who_of(const Words& words, const Chart& person, const People& people,
                   const Clinic& clinic, const When& now);
/// The background as rows: label, value, whether it is known.
json::Value background_rows(const Words& words, const Chart& person, Instant now);
/// The hypos of the last year on record, by level: beside what somebody said of severe ones.
std::string hypos_text(const Words& words, const Chart& person, Instant now);

}  // namespace penstock::pages
