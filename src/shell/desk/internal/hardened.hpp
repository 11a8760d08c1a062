// H36: hardened tissue where somebody injects. Its question is opened by the fact that says so, and
// no place plan is printed before it is answered.
#pragma once

#include <vector>

#include "core/order/order.hpp"
#include "shell/desk/internal/folded.hpp"

namespace penstock::desk {

/// The open question about leaving hardened tissue, or nothing.
const order::Question* hardened_question(const Folded& person);

/// Whether a fact can make an area one to keep off.
bool is_about_skin(const journal::Fact& fact);

/// The questions that facts on their way in open by themselves. `after` is the journal with those
/// facts; what `before` knew opens nothing again. They open now, whenever the tissue was felt:
/// injections before were not given against a question. One for each order line whose injections
/// went into or beside the area; one for every dose where nobody knows which.
std::vector<journal::Fact> questions_opened_by(const Folded& before, const Folded& after,
                                               const journal::Fact& cause, const Ports& ports);

}  // namespace penstock::desk
