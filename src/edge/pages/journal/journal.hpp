// The journal of a person, newest first (web/src/model.ts: Journal).
#pragma once

#include <cstdint>
#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

/// `page` from 1.
json::Value journal_page(const Chart& person, const People& people, const Clinic& clinic,
                         const Caller& caller, int page);
/// Rows of the journal that entries after `version` wrote or corrected, newest first: the other
/// side of a conflict (H20).
json::Value written_since(const Chart& person, const Clinic& clinic, const Caller& caller,
                          std::uint64_t version);

std::vector<Row> journal_rows();

}  // namespace penstock::pages
