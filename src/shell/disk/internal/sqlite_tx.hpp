// The port's transactions in SQL.
#pragma once

#include "shell/sqlite/sqlite.hpp"
#include "shell/store/backend.hpp"

namespace penstock::store {

/// Reads, on a connection that has a transaction open.
Result<std::optional<JournalInfo>> sqlite_journal(Connection& db, Id journal);
Result<std::vector<JournalInfo>> sqlite_journals(Connection& db);
/// By the numbers that were given: cheap enough for each start.
Result<std::uint64_t> sqlite_journals_missing(Connection& db);
Result<Facts> sqlite_load(Connection& db, Id journal, std::uint64_t from_position);
Result<std::vector<Entry>> sqlite_entries(Connection& db, Id journal, std::uint64_t from_position);
Result<std::optional<KnownFact>> sqlite_known(Connection& db, Id fact);
Result<std::optional<Summary>> sqlite_summary(Connection& db, Id journal);
Result<std::vector<Summary>> sqlite_summaries(Connection& db, const SummaryQuery& query);
Result<std::vector<std::string>> sqlite_tags(Connection& db, Id journal);
Result<std::vector<Id>> sqlite_tagged(Connection& db, std::string_view tag);
Result<std::optional<std::string>> sqlite_setting(Connection& db, std::string_view name);
Result<std::vector<std::string>> sqlite_settings(Connection& db, std::string_view beginning);
Result<std::optional<Blob>> sqlite_blob(Connection& db, Id journal, const Digest& digest);
Result<std::vector<BlobInfo>> sqlite_blobs(Connection& db, Id journal);
Result<SummaryChanges> sqlite_changed_since(Connection& db, const Stamp& seen);
Result<std::optional<Block>> sqlite_block(Connection& db, Id journal, BlockKey key);
Result<std::vector<Block>> sqlite_blocks(Connection& db, Id journal, std::uint16_t kind,
                                         LocalDay from, LocalDay to);
/// Hashes every blob and every block anew.
Result<void> sqlite_walk_blobs(Connection& db, VerifyReport& report);
Result<void> sqlite_walk_blocks(Connection& db, VerifyReport& report);

/// Walks one journal's chain. What cannot be read is a fault of the journal; only an error of the
/// disk is an error.
Result<void> sqlite_walk(Connection& db, Id journal, ChainWalker& walker,
                         const std::function<void()>& each_entry);
/// Keeps the ends of journals that have none kept: of an older program's, and of those created
/// since this was last done.
Result<void> sqlite_note_ends(Connection& db);
/// Looks at the last entry of each journal alone.
Result<void> sqlite_check_heads(Connection& db, VerifyReport& report);

template <class Base>
class SqliteReads : public Base {
 public:
  explicit SqliteReads(Connection& db, std::uint64_t changed_by_others = 0)
      : db_(db), changed_by_others_(changed_by_others) {}

  std::uint64_t changed_by_others() override { return changed_by_others_; }

  Result<std::optional<JournalInfo>> journal(Id journal) override {
    return sqlite_journal(db_, journal);
  }
  Result<std::vector<JournalInfo>> journals() override { return sqlite_journals(db_); }
  Result<std::uint64_t> journals_missing() override { return sqlite_journals_missing(db_); }
  Result<Facts> load(Id journal, std::uint64_t from_position) override {
    return sqlite_load(db_, journal, from_position);
  }
  Result<std::vector<Entry>> entries(Id journal, std::uint64_t from_position) override {
    return sqlite_entries(db_, journal, from_position);
  }
  Result<std::optional<FactPlace>> find(Id fact) override {
    auto known = sqlite_known(db_, fact);
    if (!known) return known.error();
    return *known ? std::optional((*known)->place) : std::nullopt;
  }
  Result<std::optional<Summary>> summary(Id journal) override {
    return sqlite_summary(db_, journal);
  }
  Result<std::vector<Summary>> summaries(const SummaryQuery& query) override {
    return sqlite_summaries(db_, query);
  }
  Result<std::vector<std::string>> tags(Id journal) override { return sqlite_tags(db_, journal); }
  Result<std::vector<Id>> tagged(std::string_view tag) override { return sqlite_tagged(db_, tag); }
  Result<std::optional<std::string>> setting(std::string_view name) override {
    return sqlite_setting(db_, name);
  }
  Result<std::vector<std::string>> settings(std::string_view beginning) override {
    return sqlite_settings(db_, beginning);
  }
  Result<std::optional<Blob>> blob(Id journal, const Digest& digest) override {
    return sqlite_blob(db_, journal, digest);
  }
  Result<std::vector<BlobInfo>> blobs(Id journal) override { return sqlite_blobs(db_, journal); }
  Result<SummaryChanges> changed_since(const Stamp& seen) override {
    return sqlite_changed_since(db_, seen);
  }
  Result<std::optional<Block>> block(Id journal, BlockKey key) override {
    return sqlite_block(db_, journal, key);
  }
  Result<std::vector<Block>> blocks(Id journal, std::uint16_t kind, LocalDay from,
                                    LocalDay to) override {
    return sqlite_blocks(db_, journal, kind, from, to);
  }

 protected:
  Connection& db_;

 private:
  std::uint64_t changed_by_others_;
};

using SqliteReadTx = SqliteReads<ReadTx>;

class SqliteWriteTx : public SqliteReads<AppendingTx> {
 public:
  using SqliteReads::SqliteReads;
  Result<void> create_journal(Id journal, Subject subject) override;
  Result<void> erase_payload(Id fact) override;
  Result<void> erase_blob(Id journal, const Digest& digest) override;
  Result<void> erase_block(Id journal, BlockKey key) override;
  Result<void> put_summary(const Summary& summary) override;
  Result<void> put_tags(Id journal, std::span<const std::string> tags) override;
  Result<void> drop_summaries() override;
  Result<void> put_setting(std::string_view name, std::string_view value) override;
  Result<void> drop_setting(std::string_view name) override;
  Result<void> make_read_only(Id journal, std::string_view because) override;
  Result<void> make_writable(Id journal) override;

  bool has_erased() const { return has_erased_; }

 protected:
  Result<std::optional<KnownFact>> known(Id fact) override { return sqlite_known(db_, fact); }
  Result<void> insert(const Entry& entry, std::span<const std::uint8_t> bytes) override;
  Result<void> set_head(Id journal, std::uint64_t version, const Digest& head) override;
  Result<void> insert_blob(Id journal, const BlobInfo& info,
                           std::span<const std::uint8_t> bytes) override;
  Result<std::optional<std::pair<std::uint64_t, Digest>>> block_at(Id journal,
                                                                   BlockKey key) override;
  Result<void> insert_block(Id journal, const Block& block) override;

 private:
  Result<void> stamp(Id journal);

  bool has_erased_ = false;
};

}  // namespace penstock::store
