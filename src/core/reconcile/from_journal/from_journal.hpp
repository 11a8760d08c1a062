// From a person's journal to the request for the three accounts.
#pragma once

#include <string_view>

#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/reconcile/reconcile.hpp"
#include "core/units/units.hpp"

namespace penstock::reconcile {

/// What a person's journal says about one insulin. People who record each step have a diary that is
/// the ledger: scale counts, rests, changes and what was dispensed are held against it. Nothing is
/// made up: what the journal does not say stays unknown. Content, priming and in-use days are those
/// copied when pen and cartridges were given; without any, the usual 300 units (by strength), 2, 4
/// and 28 (common practice, no source).
Request request_of(const journal::History& history, const ledger::Ledger& ledger,
                   const order::Order& order, std::string_view insulin, Strength strength,
                   LocalDay from, LocalDay until);

}  // namespace penstock::reconcile
