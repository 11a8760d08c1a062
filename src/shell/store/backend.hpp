// What every backend shares: walking a chain, and the one order of checks of an append.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "shell/store/store.hpp"

namespace penstock::store {

Error no_journal(Id journal);
/// The tags as they are kept: by their bytes, each once. Refused: codes::tag_form.
Result<std::vector<std::string>> checked_tags(std::span<const std::string> tags);
Error no_fact(Id fact);
Error no_blob(const Digest& digest);
Error blob_damaged(const Digest& digest);
Error block_damaged(LocalDay day);
Error journal_read_only(const JournalInfo& info);
Error journal_damaged(const VerifyReport::Fault& fault);

/// What is kept beside a journal of its end, written with each append: entries that were cut off
/// are missed, though the journal's own version and head were made to fit (H29). A program that
/// does not know of it appends without it: an end that the journal has gone beyond is no fault.
std::string end_to_keep(Id journal, std::uint64_t version, const Digest& head);

struct KeptEnd {
  std::uint64_t version = 0;
  std::string head;
};

/// Sees the entries of one journal in order and keeps the first fault.
class ChainWalker {
 public:
  explicit ChainWalker(const JournalInfo& expected) : ChainWalker(expected, 0, {}) {}
  /// From behind an entry on, whose hash is this.
  ChainWalker(const JournalInfo& expected, std::uint64_t position, const Digest& hash);

  /// `entry.previous` is not looked at: the chain itself says what it must be. No bytes: the
  /// payload was erased.
  void see(Entry entry, std::optional<std::span<const std::uint8_t>> bytes);
  /// The file could not be read any further.
  void unreadable();
  std::optional<VerifyReport::Fault> finish();

  std::uint64_t bytes_hashed() const { return bytes_hashed_; }
  std::uint64_t erased() const { return erased_; }

 private:
  void fault(std::uint64_t position, std::string_view code);

  JournalInfo expected_;
  std::optional<KeptEnd> end_;
  std::uint64_t position_ = 0;
  Digest hash_{};
  std::optional<VerifyReport::Fault> fault_;
  std::uint64_t bytes_hashed_ = 0;
  std::uint64_t erased_ = 0;
};

/// The last entry of a journal, as a start looks at it.
struct LastEntry {
  Entry entry;  ///< with `previous` as the entry before it says; zeros when there is none
  std::optional<std::vector<std::uint8_t>> bytes;
};
/// `last_position`: the highest there is. No fault: nothing.
std::optional<VerifyReport::Fault> check_head(const JournalInfo& info, std::uint64_t last_position,
                                              const std::optional<LastEntry>& last);

/// How often a use case is run again before the store gives up: a loser of five races is better
/// told than kept waiting.
inline constexpr int write_attempts_max = 5;

/// Counts one blob. No bytes: it was erased.
void see_blob(VerifyReport& report, const Digest& digest,
              std::optional<std::span<const std::uint8_t>> bytes);

/// Counts one block.
void see_block(VerifyReport& report, const Digest& digest, std::span<const std::uint8_t> bytes);

/// Sets and lifts the marks that a report asks for.
Result<void> apply_marks(Store& store, const VerifyReport& report, Marks marks);

/// A fact that the store knows already.
struct KnownFact {
  FactPlace place;
  std::uint16_t type = 0;
  std::uint16_t type_version = 0;
};

/// Append once for all backends: they only look up and put down.
class AppendingTx : public WriteTx {
 public:
  Result<Digest> put_blob(Id journal, std::string_view media,
                          std::span<const std::uint8_t> bytes) final;
  Result<Appended> append(Id journal, std::span<const NewFact> facts,
                          std::optional<std::uint64_t> seen_version) final;
  Result<std::uint64_t> put_block(Id journal, BlockKey key, std::span<const std::uint8_t> bytes,
                                  std::optional<std::uint64_t> seen_version) final;

 protected:
  virtual Result<std::optional<KnownFact>> known(Id fact) = 0;
  virtual Result<void> insert(const Entry& entry, std::span<const std::uint8_t> bytes) = 0;
  virtual Result<void> set_head(Id journal, std::uint64_t version, const Digest& head) = 0;
  /// New, or in the place of an erased one.
  virtual Result<void> insert_blob(Id journal, const BlobInfo& info,
                                   std::span<const std::uint8_t> bytes) = 0;
  /// Version and digest of a block, without looking at its bytes.
  virtual Result<std::optional<std::pair<std::uint64_t, Digest>>> block_at(Id journal,
                                                                           BlockKey key) = 0;
  /// New, or in the place of the one before.
  virtual Result<void> insert_block(Id journal, const Block& block) = 0;

 private:
  struct Planned {
    Digest digest{};
    std::optional<std::uint64_t> known_position;
    std::optional<std::size_t> same_as;  // an earlier fact of this very call
    bool is_new() const { return !known_position && !same_as; }
  };
  Result<std::vector<Planned>> sort_out(Id journal, std::span<const NewFact> facts);
};

}  // namespace penstock::store
