// A person's page: next injection, what is asked first, order, pens, background
// (web/src/model.ts: Person).
#pragma once

#include <span>
#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

/// `elsewhere`: what other journals say of this person's pens and cartridges.
json::Value person_page(const Chart& person, const People& people, const Clinic& clinic,
                        const Caller& caller, std::span<const ledger::Claim> elsewhere,
                        const NewId& new_id);

std::vector<Row> person_rows();

}  // namespace penstock::pages
