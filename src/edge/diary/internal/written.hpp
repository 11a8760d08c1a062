// An entry of a journal as a row of a diary would write it.
#pragma once

#include <map>
#include <optional>
#include <string>

#include "core/journal/journal.hpp"
#include "edge/diary/internal/row.hpp"

namespace penstock::diary::internal {

struct Written {
  DiaryKind kind = DiaryKind::note;
  std::optional<Units> units;
  Id cartridge;
  std::optional<Zone> zone;
  std::optional<Spot> spot;
  std::string note;
};

/// Nothing: a diary has no words for it. `in_pen`: the cartridge of each pen so far; told entries
/// in their order, it is kept here.
std::optional<Written> written_of(const journal::Payload& payload, std::map<Id, Id>& in_pen);

/// Whether a row says what the entry says: what it was, how much, from which cartridge, the words
/// of a note. A place and a reason are left aside.
bool says_the_same(const journal::Payload& entry, const journal::Payload& row);

/// Whether both name the same zone and spot, or the same reason.
bool same_place(const journal::Payload& entry, const journal::Payload& row);

}  // namespace penstock::diary::internal
