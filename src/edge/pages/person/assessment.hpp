// What has to be known first, besides the background: whom to phone, allergies, what is at home for
// a severe low, HbA1c, calls and visits (web/src/model.ts: Assessment).
#pragma once

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

json::Value assessment_page(const Chart& person, const Caller& caller);

}  // namespace penstock::pages
