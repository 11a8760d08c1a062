#include "shell/store/store.hpp"

#include <sodium.h>

namespace penstock::store {

Digest sha256(std::span<const std::uint8_t> bytes) {
  Digest digest;
  // Needs no sodium_init(): the hash functions pick no implementation at run time and use no random
  // numbers.
  crypto_hash_sha256(digest.data(), bytes.data(), bytes.size());
  return digest;
}

void Facts::reserve(std::size_t facts, std::size_t bytes) {
  facts_.reserve(facts);
  arena_.reserve(bytes);
}

void Facts::add(const StoredFact& fact, std::span<const std::uint8_t> bytes) {
  facts_.push_back(fact);
  // Only the length holds until seal(): the block may still move.
  facts_.back().bytes = {static_cast<const std::uint8_t*>(nullptr), 0};
  arena_.insert(arena_.end(), bytes.begin(), bytes.end());
  ends_.push_back(arena_.size());
}

void Facts::seal() {
  std::size_t from = 0;
  for (std::size_t i = 0; i < facts_.size(); ++i) {
    facts_[i].bytes = std::span(arena_).subspan(from, ends_[i] - from);
    from = ends_[i];
  }
  ends_ = {};
}

namespace {

/// Writes the fields of an entry one after the other, numbers big-endian.
class Packer {
 public:
  explicit Packer(std::span<std::uint8_t> out) : out_(out) {}
  void bytes(std::span<const std::uint8_t> from) {
    for (const auto byte : from) out_[at_++] = byte;
  }
  void number(std::uint64_t value, int width) {
    for (int i = width - 1; i >= 0; --i) {
      out_[at_++] = static_cast<std::uint8_t>((value >> (8 * i)) & 0xFF);
    }
  }
  void id(const Id& id) {
    number(id.high, 8);
    number(id.low, 8);
  }
  std::size_t size() const { return at_; }

 private:
  std::span<std::uint8_t> out_;
  std::size_t at_ = 0;
};

}  // namespace

Digest chain_hash(const Entry& entry) {
  // 119 bytes at most keep the whole in two blocks of the hash; this is 119.
  std::array<std::uint8_t, 3 + 16 + 8 + 16 + 32 + 2 + 2 + 8 + 32> buffer;
  Packer pack(buffer);
  constexpr std::array<std::uint8_t, 3> tag = {'p', 'e', '1'};
  pack.bytes(tag);
  pack.id(entry.journal);
  pack.number(entry.position, 8);
  pack.id(entry.fact);
  pack.bytes(entry.fact_digest);
  pack.number(entry.type, 2);
  pack.number(entry.type_version, 2);
  pack.number(static_cast<std::uint64_t>(entry.recorded.time_since_epoch().count()), 8);
  pack.bytes(entry.previous);
  INVARIANT(pack.size() == buffer.size());
  return sha256(buffer);
}

}  // namespace penstock::store
