// The pens of a person with their barrels, and the choices that the page's forms offer.
#pragma once

#include "edge/json/json.hpp"
#include "shell/desk/internal/folded.hpp"
#include "shell/desk/internal/next.hpp"

namespace penstock::desk {

/// web/src/model.ts: PenCard, one for each pen that was given.
std::vector<json::Value> pen_cards(const Folded& person, const ClinicState& clinic,
                                   const Agenda& agenda, const When& now);
/// web/src/model.ts: Forms.
json::Value forms_of(const Folded& person, const shelf::Shelf& shelf);

}  // namespace penstock::desk
