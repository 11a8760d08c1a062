// What a pen delivered when one dose was set again and again, against the limits of the standard
// (web/src/model.ts: PenTest).
#pragma once

#include "core/accuracy/accuracy.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

/// All tests of a person's pens, newest first.
json::Value tests_of(const Words& words, const Chart& person);
/// One of them. `accuracy` of its values, or why there is none.
json::Value test_of(const Words& words, const Chart& person, const supply::Test& test);
Result<accuracy::Accuracy> accuracy_of(const Chart& person, const supply::Test& test);

}  // namespace penstock::pages
