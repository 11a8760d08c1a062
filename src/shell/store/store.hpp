// The journal on disk: append-only entries in a hash chain, behind a small port of replayable use
// cases. A file (shell/sqlite) and memory stand behind it now; the contract suite (tests/contract)
// is what a third one must pass, and backend.hpp what it can build on.
//
// The store knows facts as packed bytes with a few columns. What they mean is the business of the
// rooms that pack them.
//
//   auto opened = store::open_sqlite({.path = "clinic.penstock"});
//   const auto written = (*opened)->write([&](store::WriteTx& tx) -> Result<void> {
//     const auto receipt = tx.append(person, facts, seen_version);
//     if (!receipt) return receipt.error();
//     return tx.put_summary(summary);
//   });
//   // `written` holds a value: the facts are on disk. Otherwise nothing of this use case is, and
//   the error says why.
#pragma once

#include <chrono>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::store {

// ---- errors

/// Every code that this room returns. Arguments in brackets.
namespace codes {
// not_found
inline constexpr std::string_view no_journal = "store.no_journal";  // [journal: text]
inline constexpr std::string_view no_fact = "store.no_fact";        // [fact: text]
inline constexpr std::string_view no_file = "store.no_file";        // [file: text]
inline constexpr std::string_view no_blob = "store.no_blob";        // [blob: text]
// conflict
inline constexpr std::string_view version_conflict =
    "store.version_conflict";  // [journal: text, seen: count, now: count]
inline constexpr std::string_view block_conflict =
    "store.block_conflict";  // [day: date, seen: count, now: count]
// refused
inline constexpr std::string_view identity_reused = "store.identity_reused";  // [fact: text]
inline constexpr std::string_view journal_other_subject =
    "store.journal_other_subject";  // [journal: text]
inline constexpr std::string_view journal_read_only =
    "store.journal_read_only";  // [journal: text, because: code]
inline constexpr std::string_view fact_too_large =
    "store.fact_too_large";  // [fact: text, bytes: count, most: count]
inline constexpr std::string_view blob_too_large =
    "store.blob_too_large";  // [bytes: count, most: count]
inline constexpr std::string_view block_too_large =
    "store.block_too_large";                                    // [bytes: count, most: count]
inline constexpr std::string_view tag_form = "store.tag_form";  // [text: text, most: count]
inline constexpr std::string_view not_ours = "store.not_ours";  // [file: text]
inline constexpr std::string_view newer_program =
    "store.newer_program";  // [file: text, schema: count, known: count]
inline constexpr std::string_view older_schema =
    "store.older_schema";  // opened read-only; [file: text, schema: count, known: count]
inline constexpr std::string_view migration_changed =
    "store.migration_changed";  // [file: text, migration: count]
/// Its tables are not those of our migrations, or it brings SQL of its own. [file: text, what:
/// text]
inline constexpr std::string_view schema_changed = "store.schema_changed";
/// SQLite takes a file so called for the log of another one, and removes it. [file: text]
inline constexpr std::string_view name_of_log = "store.name_of_log";
inline constexpr std::string_view would_overwrite = "store.would_overwrite";  // [file: text]
inline constexpr std::string_view in_use = "store.in_use";                    // [file: text]
inline constexpr std::string_view backup_damaged =
    "store.backup_damaged";  // [file: text, because: code]
// unavailable: nothing was written [file: text, detail: count (the database library's own code)]
inline constexpr std::string_view disk_full = "store.disk_full";
inline constexpr std::string_view locked = "store.locked";  // another program holds the file
inline constexpr std::string_view read_only = "store.read_only";
inline constexpr std::string_view io_error = "store.io_error";
inline constexpr std::string_view cannot_open = "store.cannot_open";
inline constexpr std::string_view out_of_memory = "store.out_of_memory";
inline constexpr std::string_view file_moved =
    "store.file_moved";  // moved or deleted while it was open
inline constexpr std::string_view file_damaged = "store.file_damaged";
/// A blob's bytes are no longer those that were put in. [blob: text]
inline constexpr std::string_view blob_damaged = "store.blob_damaged";
/// The same of a block. [day: date]
inline constexpr std::string_view block_damaged = "store.block_damaged";
/// A journal is not what was recorded: nothing of it is given out. [journal: text, position: count,
/// because: code]
inline constexpr std::string_view journal_damaged = "store.journal_damaged";
// Reasons inside a VerifyReport and in JournalInfo::read_only_because; not returned as errors of a
// call.
inline constexpr std::string_view position_hole =
    "store.position_hole";  // a position is missing or out of order
inline constexpr std::string_view hash_wrong =
    "store.hash_wrong";  // an entry does not follow from the one before
inline constexpr std::string_view digest_wrong =
    "store.digest_wrong";  // the bytes are not those that were recorded
inline constexpr std::string_view head_wrong =
    "store.head_wrong";  // the chain does not end where the journal says
inline constexpr std::string_view journal_missing =
    "store.journal_missing";  // a journal that was created is not in the list any more
inline constexpr std::string_view payload_gone =
    "store.payload_gone";  // bytes are missing, and no fact says who erased them
inline constexpr std::string_view payload_unreadable =
    "store.payload_unreadable";  // the bytes are whole, but this program does not read them
}  // namespace codes

/// All of them, so that the catalogue of sentences can be checked for holes.
inline constexpr std::string_view all_codes[] = {
    codes::no_journal,        codes::no_fact,         codes::no_file,
    codes::no_blob,           codes::blob_too_large,  codes::blob_damaged,
    codes::block_too_large,   codes::block_damaged,   codes::block_conflict,
    codes::version_conflict,  codes::identity_reused, codes::journal_other_subject,
    codes::journal_read_only, codes::fact_too_large,  codes::tag_form,
    codes::not_ours,          codes::newer_program,   codes::migration_changed,
    codes::would_overwrite,   codes::in_use,          codes::backup_damaged,
    codes::disk_full,         codes::locked,          codes::read_only,
    codes::io_error,          codes::cannot_open,     codes::out_of_memory,
    codes::file_damaged,      codes::older_schema,    codes::file_moved,
    codes::schema_changed,    codes::journal_damaged, codes::position_hole,
    codes::hash_wrong,        codes::digest_wrong,    codes::head_wrong,
    codes::journal_missing,   codes::payload_gone,    codes::payload_unreadable,
    codes::name_of_log};

// ---- values

/// What one fact may hold. A fact is a few hundred bytes; a megabyte is a mistake of ours or a
/// hostile file.
inline constexpr std::size_t fact_bytes_max = 1'048'576;

/// What one blob may hold: a picture from a telephone, made smaller.
inline constexpr std::size_t blob_bytes_max = 2 * 1'048'576;

/// What one block may hold: a reading a minute takes a third of it.
inline constexpr std::size_t block_bytes_max = 65'536;

/// What one tag may hold.
inline constexpr std::size_t tag_bytes_max = 200;

/// SHA-256 (libsodium). Also what the core is handed as its DigestFunction.
Digest sha256(std::span<const std::uint8_t> bytes);

enum class Subject : std::uint8_t { person = 1, clinic = 2 };

/// A fact on its way in. `bytes` are identity and content, packed; they say nothing about when they
/// were recorded, so that the same act sent twice has the same digest. Type, type version and
/// `recorded` are part of the chain.
struct NewFact {
  Id fact;
  std::uint16_t type = 0;
  std::uint16_t type_version = 0;
  Instant recorded{};
  std::vector<std::uint8_t> bytes;
};

/// A fact as it is loaded. `bytes` live in the Facts that it came with; empty when the payload was
/// erased by law.
struct StoredFact {
  Id fact;
  std::uint64_t position = 0;  ///< 1, 2, 3, ... within its journal
  std::uint16_t type = 0;
  std::uint16_t type_version = 0;
  Instant recorded{};
  Digest digest{};  ///< SHA-256 of the bytes, also of erased ones
  bool erased = false;
  std::span<const std::uint8_t> bytes;
};

/// A journal's facts in the order of their positions, with one block of memory behind all their
/// bytes. Can be moved, not copied.
class Facts {
 public:
  Facts() = default;
  Facts(Facts&&) noexcept = default;
  Facts& operator=(Facts&&) noexcept = default;
  Facts(const Facts&) = delete;
  Facts& operator=(const Facts&) = delete;
  ~Facts() = default;

  std::span<const StoredFact> all() const { return facts_; }
  auto begin() const { return facts_.begin(); }
  auto end() const { return facts_.end(); }
  std::size_t size() const { return facts_.size(); }
  bool empty() const { return facts_.empty(); }
  const StoredFact& operator[](std::size_t i) const { return facts_[i]; }

  /// For the backends: `bytes` is copied. seal() must follow the last add().
  void reserve(std::size_t facts, std::size_t bytes);
  void add(const StoredFact& fact, std::span<const std::uint8_t> bytes);
  void seal();

 private:
  std::vector<StoredFact> facts_;
  std::vector<std::uint8_t> arena_;
  std::vector<std::size_t> ends_;  // of each fact's bytes, until they are sealed
};

/// The store's receipt for a fact. Only entries are chained:
///   hash = SHA-256("pe1" journal position fact fact_digest type type_version recorded previous)
/// with numbers big-endian (position and recorded, in seconds, 8 bytes; type and type version 2),
/// `previous` all zeros at position 1. The payload enters by its digest alone, so it can be erased
/// and the chain still holds.
struct Entry {
  Id journal;
  std::uint64_t position = 0;
  Id fact;
  Digest fact_digest{};
  std::uint16_t type = 0;
  std::uint16_t type_version = 0;
  Instant recorded{};
  Digest previous{};
  Digest hash{};
};
/// The hash that an entry must have; looks at every field but `hash`.
Digest chain_hash(const Entry& entry);

struct JournalInfo {
  Id journal;
  Subject subject = Subject::person;
  std::uint64_t version = 0;      ///< the last position; 0: nothing recorded yet
  Digest head{};                  ///< hash of the last entry; zeros at version 0
  std::string read_only_because;  ///< a code; empty: the journal can be written
  /// Where it ended when it was appended to last, as the backend keeps it beside the journal; empty
  /// where that is gone. Nothing: none is kept.
  std::optional<std::string> kept_end = {};
};

/// What a list of thousands needs to know about a journal, without folding it. Written in the
/// transaction that appends; can be dropped and rebuilt at any time. Holds no verdict that the
/// clock alone can make wrong.
struct Summary {
  Id journal;
  std::uint64_t journal_version = 0;  ///< the version that was folded
  std::uint32_t fold_version = 0;     ///< the program's own number of the fold that made it
  std::string search_key;  ///< folded to lower case by whoever writes it; sorted by bytes
  std::optional<Instant> next_change;  ///< when a verdict about this journal changes next
  std::vector<std::uint8_t> bytes;
  std::string read_only_because;  ///< the journal's own mark; read with the row, not written by it

  friend bool operator==(const Summary&, const Summary&) = default;
};

enum class SummaryOrder : std::uint8_t {
  by_key,    ///< search_key, then journal
  by_change  ///< next_change (those without come last), then search_key, then journal
};
struct SummaryQuery {
  SummaryOrder order = SummaryOrder::by_key;
  std::vector<std::string> contains = {};  ///< each must occur in the search key
  std::optional<Instant> changes_not_after =
      {};  ///< only those whose next_change is at or before this
  std::optional<Subject> subject = {};
  std::size_t most = SIZE_MAX;
};

/// Which of the summaries somebody has read. Only good for the store that it came from.
struct Stamp {
  std::uint64_t origin = 0;  ///< drawn anew whenever all rows are dropped; 0: nothing was read
  std::uint64_t number = 0;  ///< grows with each row that is put
  friend bool operator==(const Stamp&, const Stamp&) = default;
};
struct SummaryChanges {
  Stamp now;           ///< to ask with the next time
  bool whole = false;  ///< `rows` are all there are: what was read before counts no more
  std::vector<Summary> rows;
};

struct Receipt {
  Id fact;
  std::uint64_t position = 0;
  bool already_recorded =
      false;  ///< the same identity with the same content was there: nothing was added
};
struct Appended {
  std::uint64_t version = 0;      ///< of the journal, after this append
  std::vector<Receipt> receipts;  ///< one for each fact, in the order given
};

struct FactPlace {
  Id journal;
  std::uint64_t position = 0;
  Digest digest{};
  bool erased = false;
};

/// Bytes beside a journal: a picture, under the digest that a fact names. Not chained, so it can be
/// erased; that the fact names its digest is what proves it.
struct BlobInfo {
  Digest digest{};
  std::string media;       ///< "image/jpeg"
  std::uint64_t size = 0;  ///< also of an erased one
  bool erased = false;
  friend bool operator==(const BlobInfo&, const BlobInfo&) = default;
};
struct Blob {
  BlobInfo info;
  std::vector<std::uint8_t> bytes;  ///< empty when it was erased
};

/// Bytes of one person and one day beside a journal, named by what is packed in them.
struct BlockKey {
  std::uint16_t kind = 0;  ///< whoever packs them gives it its meaning
  LocalDay day{};          ///< the person's own
  friend auto operator<=>(const BlockKey&, const BlockKey&) = default;
};
struct Block {
  BlockKey key;
  std::uint64_t version = 0;  ///< 1, 2, 3, ... with each change
  Digest digest{};            ///< SHA-256 of the bytes
  std::vector<std::uint8_t> bytes;
  friend bool operator==(const Block&, const Block&) = default;
};

// ---- the ports

// Five small ports, each a table of its own kind; a transaction is all of them. A function that
// needs the settings alone takes ReadSettings, and can be handed any transaction.

class ReadJournals {
 public:
  virtual Result<std::optional<JournalInfo>> journal(Id journal) = 0;
  /// Every journal with its head, in the order in which they were created.
  virtual Result<std::vector<JournalInfo>> journals() = 0;
  /// How many that were created are not in the list any more: no program of ours takes one out.
  virtual Result<std::uint64_t> journals_missing() { return std::uint64_t{0}; }
  /// Facts from a position on, in order of position. No such journal: not_found. A position beyond
  /// the last: none. Every payload is hashed and every entry held against the one before it, to the
  /// journal's head: what is not what was recorded is never handed out (codes::journal_damaged).
  virtual Result<Facts> load(Id journal, std::uint64_t from_position) = 0;
  Result<Facts> load(Id journal) { return load(journal, 1); }
  /// Receipts from a position on. No such journal: not_found.
  virtual Result<std::vector<Entry>> entries(Id journal, std::uint64_t from_position) = 0;
  virtual Result<std::optional<FactPlace>> find(Id fact) = 0;
  /// Grows whenever somebody else was seen to have changed the file: another program on the same
  /// store, or whoever changes its bytes. What was read and checked at another count is to be
  /// checked again, though version and head are the same.
  virtual std::uint64_t changed_by_others() { return 0; }

 protected:
  ~ReadJournals() = default;
};

class WriteJournals {
 public:
  /// There already with the same subject: nothing happens. With the other one: refused.
  virtual Result<void> create_journal(Id journal, Subject subject) = 0;

  /// Appends facts in the order given, in this order of checks:
  /// 1. no such journal: not_found; 2. a fact too large: refused;
  /// 3. a known identity with the same bytes and in the same journal: recorded already, with its
  /// old receipt;
  ///    with other bytes, type, or in another journal: refused (codes::identity_reused);
  /// 4. nothing left to add: done, whatever version was seen, also in a read-only journal;
  /// 5. a read-only journal: refused; 6. the journal is not at `seen_version`: conflict, with both
  /// versions. `seen_version` counts what this transaction itself has appended. Imports and merges
  /// name none.
  virtual Result<Appended> append(Id journal, std::span<const NewFact> facts,
                                  std::optional<std::uint64_t> seen_version) = 0;

  /// Takes a fact's bytes away for good, because the law says so; receipt, digest and chain stay.
  /// Twice is once.
  virtual Result<void> erase_payload(Id fact) = 0;

  /// Keeps a journal from being written, with a code that says why; the first reason stays. Like
  /// its lifting seen by whoever reads the changed summaries.
  virtual Result<void> make_read_only(Id journal, std::string_view because) = 0;
  virtual Result<void> make_writable(Id journal) = 0;

 protected:
  ~WriteJournals() = default;
};

/// What lists read instead of journals: summary rows and tags.
class ReadSummaries {
 public:
  virtual Result<std::optional<Summary>> summary(Id journal) = 0;
  virtual Result<std::vector<Summary>> summaries(const SummaryQuery& query) = 0;
  /// The rows that were put after `seen`, oldest first: what somebody who holds the others has to
  /// read. `seen` default-made, or from before the rows were dropped: all of them.
  virtual Result<SummaryChanges> changed_since(const Stamp& seen) = 0;
  /// Words under which a journal is found, by their bytes. No such journal: none.
  virtual Result<std::vector<std::string>> tags(Id journal) = 0;
  /// The journals that bear a tag, by identity.
  virtual Result<std::vector<Id>> tagged(std::string_view tag) = 0;

 protected:
  ~ReadSummaries() = default;
};

class WriteSummaries {
 public:
  virtual Result<void> put_summary(const Summary& summary) = 0;  ///< no such journal: not_found
  /// The journal bears these tags, each once, and no others from now on. No such journal:
  /// not_found; an empty one, or more than tag_bytes_max: refused (codes::tag_form).
  virtual Result<void> put_tags(Id journal, std::span<const std::string> tags) = 0;
  virtual Result<void> drop_summaries() = 0;  ///< and all tags

 protected:
  ~WriteSummaries() = default;
};

/// Pictures.
class ReadBlobs {
 public:
  /// Nothing: never put into this journal. Bytes that are no longer what was put in: unavailable
  /// (codes::blob_damaged).
  virtual Result<std::optional<Blob>> blob(Id journal, const Digest& digest) = 0;
  /// Without their bytes, by digest. No such journal: none.
  virtual Result<std::vector<BlobInfo>> blobs(Id journal) = 0;

 protected:
  ~ReadBlobs() = default;
};

class WriteBlobs {
 public:
  /// Keeps bytes beside a journal, and gives their digest. There already: nothing happens; erased
  /// before: they are there again. In this order: no such journal: not_found; none, or more than
  /// blob_bytes_max: refused; a read-only journal: refused.
  virtual Result<Digest> put_blob(Id journal, std::string_view media,
                                  std::span<const std::uint8_t> bytes) = 0;
  /// Takes the bytes away for good; that they were there stays known. Twice is once. Never there:
  /// not_found (codes::no_blob). Also in a read-only journal: the law does not wait.
  virtual Result<void> erase_blob(Id journal, const Digest& digest) = 0;

 protected:
  ~WriteBlobs() = default;
};

/// Readings: many and plain, so that a day of them is one row. The journal holds the fact of their
/// import.
class ReadBlocks {
 public:
  /// Nothing: no such block. Bytes that are no longer what was put in: unavailable
  /// (codes::block_damaged).
  virtual Result<std::optional<Block>> block(Id journal, BlockKey key) = 0;
  /// Those of one kind from a day to a day, both included, by day. No such journal: none.
  virtual Result<std::vector<Block>> blocks(Id journal, std::uint16_t kind, LocalDay from,
                                            LocalDay to) = 0;

 protected:
  ~ReadBlocks() = default;
};

class WriteBlocks {
 public:
  /// Puts a day's bytes in the place of what was there, and gives its version: 1 for a new block,
  /// one more with each change; the same bytes again change nothing. In this order: no such
  /// journal: not_found; none, or more than block_bytes_max: refused; a read-only journal: refused;
  /// the block is not at `seen_version` (0: it is not there): conflict. Imports name none.
  virtual Result<std::uint64_t> put_block(Id journal, BlockKey key,
                                          std::span<const std::uint8_t> bytes,
                                          std::optional<std::uint64_t> seen_version) = 0;
  /// For good. Never there: nothing happens. Also in a read-only journal: the law does not wait.
  virtual Result<void> erase_block(Id journal, BlockKey key) = 0;

 protected:
  ~WriteBlocks() = default;
};

class ReadSettings {
 public:
  virtual Result<std::optional<std::string>> setting(std::string_view name) = 0;
  /// The values of those whose names begin so, by name.
  virtual Result<std::vector<std::string>> settings(std::string_view beginning) = 0;

 protected:
  ~ReadSettings() = default;
};

class WriteSettings {
 public:
  virtual Result<void> put_setting(std::string_view name, std::string_view value) = 0;
  virtual Result<void> drop_setting(std::string_view name) = 0;

 protected:
  ~WriteSettings() = default;
};

/// When the last entry of anybody was recorded. Kept by `append`, which alone never makes it
/// earlier: by a clock that was set back only `clock_is_right` does (H18, H61). Nothing: nobody has
/// appended since stores know it.
Result<std::optional<Instant>> last_recorded(ReadSettings& settings);
/// Somebody said so of the clock that the last entry was recorded by.
Result<void> clock_is_right(WriteSettings& settings, Instant recorded);

/// A consistent view: nothing that others write while the use case runs is seen.
class ReadTx : public ReadJournals,
               public ReadSummaries,
               public ReadBlobs,
               public ReadBlocks,
               public ReadSettings {
 public:
  virtual ~ReadTx() = default;
};

class WriteTx : public ReadTx,
                public WriteJournals,
                public WriteSummaries,
                public WriteBlobs,
                public WriteBlocks,
                public WriteSettings {};

/// Work that takes long says how far it is. `total` may grow.
struct Progress {
  enum class Stage : std::uint8_t { copying, verifying };
  Stage stage = Stage::verifying;
  std::uint64_t done = 0;
  std::uint64_t total = 0;
};
using OnProgress = std::function<void(const Progress&)>;

struct VerifyReport {
  struct Fault {
    Id journal;                  ///< nil: the file as a whole
    std::uint64_t position = 0;  ///< 0: the journal as a whole
    std::string code;
    std::string detail;  ///< the database library's own words, for the file as a whole
  };
  std::uint64_t entries = 0;
  std::uint64_t bytes_hashed = 0;
  std::uint64_t erased = 0;
  std::uint64_t blobs = 0;          ///< with their bytes
  std::uint64_t blobs_erased = 0;   ///< no fault: the chain holds without them
  std::uint64_t blobs_damaged = 0;  ///< no fault of a journal either: it can still be written
  std::uint64_t blocks = 0;
  std::uint64_t blocks_damaged = 0;   ///< as with blobs
  std::vector<JournalInfo> journals;  ///< with their heads, as walked
  std::vector<Fault> faults;          ///< the first of each journal, in the journals' order
  bool clean() const { return faults.empty() && blobs_damaged == 0 && blocks_damaged == 0; }
};

/// What verifying does with the marks of journals.
enum class Marks : std::uint8_t {
  leave,        ///< only look
  set,          ///< a journal with a fault becomes read-only, the others go on
  set_and_lift  ///< and one without becomes writable again
};

/// Replayable use cases. Both calls may be made from several threads at once; a body may not call
/// back into its own store.
class Store {
 public:
  virtual ~Store() = default;
  virtual Result<void> read(const std::function<Result<void>(ReadTx&)>& body) = 0;

  /// All or nothing, and on disk when it returns a value. A body may run again (when it, or the
  /// database, says Kind::retry_whole), so it is pure but for `tx`, and assigns what it gives back,
  /// rather than adding to it. An error from the body, or anything thrown out of it, rolls back.
  virtual Result<void> write(const std::function<Result<void>(WriteTx&)>& body) = 0;

  /// Walks every chain, hashes every payload and blob anew, looks for holes and wrong heads, and
  /// asks the database to check its file.
  virtual Result<VerifyReport> verify(Marks marks, const OnProgress& progress) = 0;
  /// The same for the last entry of each journal alone: what a start can afford. open_sqlite runs
  /// it with Marks::set.
  virtual Result<VerifyReport> check_heads(Marks marks) = 0;
};

/// Keeps everything in memory, for tests and for looking at a file without a store.
std::unique_ptr<Store> make_memory_store();

}  // namespace penstock::store
