// A person's page: next injection, what is asked first, order, pens, background
// (web/src/model.ts: PersonPage).
#pragma once

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

json::Value person_page(const Chart& person, const People& people, const Clinic& clinic,
                        const Caller& caller, const NewId& new_id);

}  // namespace penstock::pages
