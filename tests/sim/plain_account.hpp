// The judge of the ledger: the same account, written a second time and as simply as possible, with
// maps, bare numbers and one sort. It shares no code with core/journal's reading or core/ledger.
#pragma once

#include <cstdint>
#include <map>
#include <vector>

#include "core/journal/journal.hpp"

namespace penstock::plain {

struct Row {
  std::int64_t loaded = 0;
  std::int64_t unexplained = 0;
  std::int64_t injected = 0;
  std::int64_t primed = 0;
  std::int64_t thrown = 0;
  std::int64_t left = 0;
  std::int64_t uses = 0;
  bool was_loaded = false;
  bool was_thrown = false;
};

/// Hundredths of a unit, a cartridge a row.
std::map<Id, Row> account(const std::vector<journal::Fact>& facts);

}  // namespace penstock::plain
