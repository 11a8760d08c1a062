// The pens of a person with their barrels, and the choices that the page's forms offer.
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

}  // namespace penstock::pages
