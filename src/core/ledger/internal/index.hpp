// Where an identity stands in a vector: one look per fact, so it is a flat table without an
// allocation per entry.
#pragma once

#include <boost/unordered/unordered_flat_map.hpp>
#include <cstdint>

#include "base/base.hpp"

namespace penstock::ledger::internal {

/// Identity to place. Identities are only added, each with the next free place.
using Index = boost::unordered_flat_map<Id, std::uint32_t, IdHash>;

}  // namespace penstock::ledger::internal
