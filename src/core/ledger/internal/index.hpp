// Finds the place of an identity in a vector: one look per fact, so it is a flat table without
// allocation per entry.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "base/base.hpp"

namespace penstock::ledger::internal {

/// Open addressing with linear probing; at most half full. Identities are only added.
class Index {
 public:
  Index() : slots_(64, Slot{}) {}

  /// The place of `id`, which becomes `next` if it is not there yet.
  struct Found {
    std::uint32_t place = 0;
    bool added = false;
  };
  Found place_of(const Id& id, std::uint32_t next) {
    if (2 * (used_ + 1) > slots_.size()) grow();
    Slot& slot = probe(id);
    if (slot.place != empty) return {slot.place, false};
    slot = {id, next};
    ++used_;
    return {next, true};
  }
  std::optional<std::uint32_t> find(const Id& id) {
    const Slot& slot = probe(id);
    if (slot.place == empty) return std::nullopt;
    return slot.place;
  }

 private:
  static constexpr std::uint32_t empty = 0xFFFF'FFFF;
  struct Slot {
    Id id;
    std::uint32_t place = empty;
  };

  Slot& probe(const Id& id) {
    const std::size_t mask = slots_.size() - 1;
    // Folding the high bits down: identities made by counting differ in few places only.
    std::size_t hash = IdHash{}(id);
    hash ^= hash >> 29;
    for (std::size_t i = hash & mask;; i = (i + 1) & mask) {
      if (slots_[i].place == empty || slots_[i].id == id) return slots_[i];
    }
  }
  void grow() {
    std::vector<Slot> old(slots_.size() * 2, Slot{});
    old.swap(slots_);
    for (const Slot& slot : old) {
      if (slot.place != empty) probe(slot.id) = slot;
    }
  }

  std::vector<Slot> slots_;
  std::size_t used_ = 0;
};

}  // namespace penstock::ledger::internal
