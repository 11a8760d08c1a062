// Which prime an injection used up, where its hour was typed a little before the prime's (H01,
// H44).
#pragma once

#include <vector>

#include "core/journal/journal.hpp"

namespace penstock::ledger::internal {

/// A prime, or a needle put on, that an injection used whose hour stands before its own.
struct Used {
  const journal::Fact* what = nullptr;
  Id by;  ///< the injection
};
/// Each that was on record already when an injection from the same cartridge was recorded at an
/// hour shortly before it; as a rule there is none.
std::vector<Used> used_before(const journal::History& history);

}  // namespace penstock::ledger::internal
