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

/// What a fact says, as a sentence: "fact.<kind>" in the catalogue, whose holes bear the names of
/// the kind's fields. A hole without a field is filled by a function of that kind.
Rich sentence_of(const Words& words, const Chart& person, const shelf::Shelf& shelf,
                 const journal::Payload& payload);

std::vector<Row> journal_rows();

}  // namespace penstock::pages
