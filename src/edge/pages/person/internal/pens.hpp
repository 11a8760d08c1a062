// The pens of a person with their barrels, the choices that the page's forms offer, what comes next
// in a new start, and what was taken last.
#pragma once

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {

/// web/src/model.ts: PenCard, one for each pen that was given.
std::vector<json::Value> pen_cards(const Words& words, const Chart& person, const Clinic& clinic,
                                   const interlock::Agenda& agenda,
                                   std::span<const ledger::Claim> elsewhere, const When& now);
/// web/src/model.ts: Forms.
json::Value forms_of(const Words& words, const Chart& person, const shelf::Shelf& shelf);

/// A sentence an insulin of the order: its last dose on record, and what is left by the record.
std::vector<json::Value> taken_of(const Words& words, const Chart& person, const When& now);
/// web/src/model.ts: Start; null once the insulin of every line has been injected.
json::Value start_of(const Words& words, const Chart& person, const When& now);

}  // namespace penstock::pages
