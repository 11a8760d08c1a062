// From an identity to a position in somebody else's list: open addressing, one word a slot, no
// identity is copied.
#pragma once

#include <bit>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "base/base.hpp"

namespace penstock::journal::internal {

/// A slot holds 32 bits of the hash above the position plus one; 0 is free. The list tells whether
/// a candidate is the one: `same(position)`.
class IdIndex {
 public:
  /// Room for `count` positions, all below 2^32 - 1.
  static std::vector<std::uint64_t> slots_for(std::size_t count) {
    INVARIANT(count < position_mask);
    return std::vector<std::uint64_t>(std::bit_ceil(count * 2 + 2), 0);
  }

  /// The position already there for this identity, or nothing once `position` stands for it.
  template <class Same>
  static std::optional<std::size_t> insert(std::vector<std::uint64_t>& slots, const Id& id,
                                           std::size_t position, const Same& same) {
    const auto hash = mixed(id);
    const auto mask = slots.size() - 1;
    for (auto at = hash & mask;; at = (at + 1) & mask) {
      const auto slot = slots[at];
      if (slot == 0) {
        slots[at] = (hash & tag_mask) | (position + 1);
        return std::nullopt;
      }
      if (((slot ^ hash) & tag_mask) == 0 && same(position_of(slot))) return position_of(slot);
    }
  }

  template <class Same>
  static std::optional<std::size_t> find(const std::vector<std::uint64_t>& slots, const Id& id,
                                         const Same& same) {
    if (slots.empty()) return std::nullopt;
    const auto hash = mixed(id);
    const auto mask = slots.size() - 1;
    for (auto at = hash & mask;; at = (at + 1) & mask) {
      const auto slot = slots[at];
      if (slot == 0) return std::nullopt;
      if (((slot ^ hash) & tag_mask) == 0 && same(position_of(slot))) return position_of(slot);
    }
  }

 private:
  static constexpr std::uint64_t position_mask = 0xFFFF'FFFFULL;
  static constexpr std::uint64_t tag_mask = ~position_mask;
  // Identities need not be random (tests count them up): spread them before low and high bits are
  // used apart.
  static std::uint64_t mixed(const Id& id) {
    auto hash = (id.high ^ (id.low * 0x9E37'79B9'7F4A'7C15ULL));
    hash ^= hash >> 32;
    hash *= 0xD6E8'FEB8'6659'FD93ULL;
    hash ^= hash >> 32;
    return hash;
  }
  static std::size_t position_of(std::uint64_t slot) {
    return static_cast<std::size_t>((slot & position_mask) - 1);
  }
};

}  // namespace penstock::journal::internal
