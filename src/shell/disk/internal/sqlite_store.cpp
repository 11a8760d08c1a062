// Fault model. A write is acknowledged after SQLite has synced the write-ahead log
// (synchronous=FULL). Until then a killed process, a power cut, a full disk or a failing one leaves
// the state before it; from then on, the state after it. A commit whose sync fails is reported as
// not written; after a power cut it may be found written all the same, and the sender's retry then
// finds it "already recorded". Sound disks are assumed not to lose what they said was synced; what
// they alter afterwards is found by verify().
#include "shell/disk/internal/sqlite_store.hpp"

#include <stdlib.h>

#include <algorithm>
#include <array>
#include <fstream>
#include <thread>

#include "shell/disk/files/files.hpp"
#include "shell/disk/internal/migrate.hpp"

namespace penstock::store {
namespace {

/// Web threads that read at the same time; more than this many connections are closed again.
constexpr std::size_t idle_readers_max = 8;

constexpr char pragmas[] =
    "PRAGMA synchronous = FULL;"
    "PRAGMA foreign_keys = ON;"
    "PRAGMA secure_delete = ON;"    // what is erased by law is overwritten, not only forgotten
    "PRAGMA trusted_schema = OFF;"  // a prepared file cannot make us run its functions
    "PRAGMA cell_size_check = ON;"  // damage is found when the page is read
    "PRAGMA cache_size = -16000;"   // KiB: a year of several people
    "PRAGMA journal_size_limit = 67108864;";

constexpr char sql_integrity[] = "PRAGMA integrity_check(20)";
// What sqlite_journals_missing counts by.
constexpr char sql_numbers_noted[] =
    "SELECT count(*) FROM setting WHERE name IN ('journals/gaps', 'journals/last')";
constexpr char sql_note_numbers[] =
    "INSERT OR IGNORE INTO setting (name, value) "
    "SELECT 'journals/gaps', coalesce(max(no), 0) - count(*) FROM journal;"
    "INSERT OR IGNORE INTO setting (name, value) "
    "SELECT 'journals/last', coalesce(max(no), 0) FROM journal";
constexpr char sql_orphans[] = "SELECT count(*) FROM pragma_foreign_key_check";

/// Several programs may open a new file at the same moment; switching to the write-ahead log needs
/// it alone for an instant, and SQLite does not wait by itself there.
Result<void> use_write_ahead_log(Connection& connection, std::chrono::milliseconds patience) {
  constexpr std::chrono::milliseconds pause{10};
  for (std::chrono::milliseconds waited{0};; waited += pause) {
    const auto mode = connection.text("PRAGMA journal_mode = WAL");
    if (mode && *mode == "wal") return {};
    if (mode) return connection.error(Kind::unavailable, codes::cannot_open);
    if (mode.error().code != codes::locked || waited >= patience) return mode.error();
    std::this_thread::sleep_for(pause);
  }
}

Result<std::unique_ptr<Connection>> open_once(const SqliteOptions& options) {
  const bool read_only = options.access == Access::read_only;
  std::error_code ignored;
  if (read_only && !std::filesystem::exists(options.path, ignored)) {
    return Error{Kind::not_found,
                 std::string(codes::no_file),
                 {arg_text("file", options.path.string())},
                 {}};
  }
  if (!read_only) {
    if (auto made = create_private(options.path); !made) return made.error();
    if (has_two_names(options.path)) {
      return Error{Kind::refused,
                   std::string(codes::two_names),
                   {arg_text("file", options.path.string())},
                   {}};
    }
  }
  auto connection = connect(options);
  if (!connection) return connection;
  Connection& db = **connection;
  const auto migrations = migrations_sqlite();
  const auto known = static_cast<std::int64_t>(migrations.size());
  // Before anything is written: a file of something else stays as it is.
  const auto identity = identify(db, known);
  if (!identity) return identity.error();
  const auto check = [&]() -> Result<void> {
    return identity->empty ? Result<void>{} : check_schema(db, migrations, identity->schema);
  };
  if (read_only) {
    if (identity->empty) return db.error(Kind::refused, codes::not_ours);
    if (identity->schema != known) {
      auto error = db.error(Kind::refused, codes::older_schema);
      error.args.push_back(arg_count("schema", identity->schema));
      error.args.push_back(arg_count("known", known));
      return error;
    }
    if (auto same = check(); !same) return same.error();
    return connection;
  }
  if (auto same = check(); !same) return same.error();
  if (auto done = use_write_ahead_log(db, options.busy_timeout); !done) return done.error();
  if (auto done = migrate(db, migrations); !done) return done.error();
  const auto noted = db.number(sql_numbers_noted);
  if (!noted) return noted.error();
  if (*noted < 2) {
    if (auto done = db.run(sql_note_numbers); !done) return done.error();
  }
  if (auto done = sqlite_note_ends(db); !done) return done.error();
  return connection;
}

/// What SQLite finds wrong with the file, in its words. Nothing: it is sound.
Result<std::vector<std::string>> findings(Connection& db) {
  std::vector<std::string> out;
  auto rows = db.query(sql_integrity);
  for (;;) {
    const auto row = rows.step();
    if (!row && row.error().code != codes::file_damaged) return row.error();
    if (!row) out.emplace_back();
    if (!row || !*row) return out;
    if (rows.text(0) != "ok") out.emplace_back(rows.text(0));
  }
}

/// Reads the file from end to end, past SQLite's cache.
Result<void> read_through(Connection& db) {
  sqlite3_file* file = nullptr;
  sqlite3_file_control(db.handle(), "main", SQLITE_FCNTL_FILE_POINTER, &file);
  if (file == nullptr || file->pMethods == nullptr) return {};
  sqlite3_int64 size = 0;
  if (const int rc = file->pMethods->xFileSize(file, &size); rc != SQLITE_OK) return db.error(rc);
  std::array<char, 65536> buffer;
  for (sqlite3_int64 at = 0; at < size; at += static_cast<sqlite3_int64>(buffer.size())) {
    const auto rest = size - at;
    const auto amount = std::min(rest, static_cast<sqlite3_int64>(buffer.size()));
    const int rc = file->pMethods->xRead(file, buffer.data(), static_cast<int>(amount), at);
    if (rc != SQLITE_OK) return db.error(rc);
  }
  return {};
}

Result<void> check_file(Connection& db, VerifyReport& report) {
  auto found = findings(db);
  if (!found) return found.error();
  if (!found->empty()) {
    // integrity_check words a page that the disk did not give like one that is damaged. So: does
    // the disk give them all? Then look again.
    if (auto readable = read_through(db); !readable) return readable;
    found = findings(db);
    if (!found) return found.error();
  }
  for (const auto& words : *found) {
    report.faults.push_back({Id{}, 0, std::string(codes::file_damaged), words});
  }
  const auto missing = sqlite_journals_missing(db);
  if (!missing && missing.error().code != codes::file_damaged) return missing.error();
  if (missing && *missing != 0)
    report.faults.push_back({Id{}, 0, std::string(codes::journal_missing), {}});
  const auto orphans = db.number(sql_orphans);
  if (!orphans && orphans.error().code != codes::file_damaged) return orphans.error();
  if (!orphans || *orphans != 0) {
    report.faults.push_back({Id{}, 0, std::string(codes::file_damaged), "foreign keys"});
  }
  return {};
}

Result<void> walk_all(Connection& db, VerifyReport& report, const OnProgress& progress) {
  std::uint64_t total = 0;
  for (const auto& info : report.journals) total += info.version;
  for (const auto& info : report.journals) {
    constexpr std::uint64_t report_every = 4096;
    ChainWalker walker(info);
    const auto each = [&] {
      ++report.entries;
      if (progress && report.entries % report_every == 0) {
        progress({Progress::Stage::verifying, report.entries, std::max(total, report.entries)});
      }
    };
    if (auto walked = sqlite_walk(db, info.journal, walker, each); !walked) return walked;
    report.bytes_hashed += walker.bytes_hashed();
    report.erased += walker.erased();
    if (auto fault = walker.finish()) report.faults.push_back(*fault);
  }
  if (progress) {
    progress({Progress::Stage::verifying, report.entries, std::max(total, report.entries)});
  }
  return {};
}

}  // namespace

Result<std::unique_ptr<Connection>> connect(const SqliteOptions& options) {
  const int flags =
      options.access == Access::read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE;
  auto connection = Connection::open(options.path, flags, options.vfs, options.busy_timeout);
  if (!connection) return connection;
  // S7: what a prepared file brings of its own, triggers and views, never runs.
  auto* db = (*connection)->handle();
  for (const auto& [what, on] : {std::pair{SQLITE_DBCONFIG_ENABLE_TRIGGER, 0},
                                 {SQLITE_DBCONFIG_ENABLE_VIEW, 0},
                                 {SQLITE_DBCONFIG_DEFENSIVE, 1}}) {
    const int rc = sqlite3_db_config(db, what, on, nullptr);
    if (rc != SQLITE_OK) return (*connection)->error(rc);
  }
  if (auto done = (*connection)->run(pragmas); !done) return done.error();
  return connection;
}

// ---- reading

Result<std::unique_ptr<Connection>> SqliteStore::take_reader() {
  {
    const std::lock_guard lock(readers_mutex_);
    if (!readers_.empty()) {
      auto reader = std::move(readers_.back());
      readers_.pop_back();
      return reader;
    }
  }
  auto reader = connect(options_);
  if (!reader) return reader;
  if (auto done = (*reader)->run("PRAGMA query_only = ON"); !done) return done.error();
  return reader;
}

void SqliteStore::give_back(std::unique_ptr<Connection> reader) {
  const std::lock_guard lock(readers_mutex_);
  if (readers_.size() < idle_readers_max) readers_.push_back(std::move(reader));
}

void SqliteStore::look_underneath() {
  if (!underneath_.look(writer_.get())) return;
  // What they keep of the file's pages may not be what stands there now.
  const std::lock_guard lock(readers_mutex_);
  readers_.clear();
}

// A copy of the file alone, and a start after the log was lost, find all that is older than this.
// While somebody reads an older state some of the log stays: the next look goes on.
void SqliteStore::settle() {
  const auto now = std::chrono::steady_clock::now();
  if (!writer_ || !unsettled_ || now - wrote_at_ < options_.settle_after) return;
  auto rows = writer_->query("PRAGMA wal_checkpoint(PASSIVE)");
  const auto row = rows.step();
  unsettled_ = !(row && *row && rows.number(1) == rows.number(2));
  wrote_at_ = now;
  underneath_.wrote();
}

Result<void> SqliteStore::with_reader(const std::function<Result<void>(Connection&)>& body) {
  const auto count = underneath_.count();
  auto reader = take_reader();
  if (!reader) return reader.error();
  Result<void> outcome;
  {
    auto tx = Transaction::begin(**reader, Transaction::Mode::read);
    if (!tx) return tx.error();
    outcome = body(**reader);
  }
  // A reader that met an error is not kept: the next one starts afresh.
  if (outcome && underneath_.count() == count) give_back(std::move(*reader));
  return outcome;
}

Result<void> SqliteStore::read(const std::function<Result<void>(ReadTx&)>& body) {
  {
    // While somebody writes here, whoever reads next looks.
    const std::unique_lock lock(writer_mutex_, std::try_to_lock);
    if (lock.owns_lock()) {
      look_underneath();
      settle();
    }
  }
  Result<void> refused;
  auto read = with_reader([&](Connection& db) -> Result<void> {
    SqliteReadTx tx(db, underneath_.count());
    refused = body(tx);
    // What the body refuses says nothing about the connection.
    if (!refused && refused.error().kind == Kind::unavailable) return refused;
    return {};
  });
  return read ? refused : read;
}

// ---- writing

Result<void> SqliteStore::write_once(const std::function<Result<void>(WriteTx&)>& body) {
  auto transaction = Transaction::begin(*writer_, Transaction::Mode::write);
  if (!transaction) return transaction.error();
  // Acknowledging into a file that was deleted or replaced under us would lose the fact.
  if (writer_->has_moved()) return writer_->error(Kind::unavailable, codes::file_moved);
  SqliteWriteTx tx(*writer_, underneath_.count());
  if (auto outcome = body(tx); !outcome) return outcome;
  // SQLite rolls back by itself after some errors; a body that did not hand its error on must not
  // be told "written".
  if (!writer_->in_transaction()) return writer_->error(Kind::unavailable, codes::io_error);
  if (auto committed = transaction->commit(); !committed) return committed;
  erasure_owed_ = erasure_owed_ || tx.has_erased();
  return {};
}

Result<void> SqliteStore::write(const std::function<Result<void>(WriteTx&)>& body) {
  const std::lock_guard lock(writer_mutex_);
  if (!writer_) {
    return Error{Kind::unavailable,
                 std::string(codes::read_only),
                 {arg_text("file", options_.path.string())},
                 {}};
  }
  look_underneath();
  Result<void> outcome;
  for (int attempt = 0; attempt < write_attempts_max; ++attempt) {
    outcome = write_once(body);
    if (outcome || outcome.error().kind != Kind::retry_whole) break;
  }
  if (!outcome && outcome.error().kind == Kind::retry_whole) {
    return writer_->error(Kind::unavailable, codes::locked);
  }
  if (outcome && erasure_owed_) {
    // While somebody reads an older state this does nothing; the next write tries again.
    auto rows = writer_->query("PRAGMA wal_checkpoint(TRUNCATE)");
    const auto row = rows.step();
    erasure_owed_ = !(row && *row && rows.number(0) == 0);
  }
  underneath_.wrote();
  unsettled_ = true;
  wrote_at_ = std::chrono::steady_clock::now();
  return outcome;
}

// ---- checking

Result<VerifyReport> SqliteStore::verify(Marks marks, const OnProgress& progress) {
  VerifyReport report;
  auto looked = with_reader([&](Connection& db) -> Result<void> {
    if (auto done = check_file(db, report); !done) return done;
    auto journals = sqlite_journals(db);
    if (!journals && journals.error().code != codes::file_damaged) return journals.error();
    if (!journals) return {};  // check_file has said so
    report.journals = std::move(*journals);
    if (auto walked = walk_all(db, report, progress); !walked) return walked;
    if (auto walked = sqlite_walk_blobs(db, report); !walked) return walked;
    return sqlite_walk_blocks(db, report);
  });
  if (!looked) return looked.error();
  if (auto marked = apply_marks(*this, report, possible(marks)); !marked) return marked.error();
  return report;
}

Result<VerifyReport> SqliteStore::check_heads(Marks marks) {
  VerifyReport report;
  auto looked = with_reader([&](Connection& db) { return sqlite_check_heads(db, report); });
  if (!looked) return looked.error();
  // The last entries alone prove nothing about the rest, so they lift no mark.
  const auto at_most = marks == Marks::set_and_lift ? Marks::set : marks;
  if (auto marked = apply_marks(*this, report, possible(at_most)); !marked) return marked.error();
  return report;
}

// ---- opening

Result<std::unique_ptr<SqliteStore>> open_unmarked(const SqliteOptions& options) {
  // A restore may put another file in this place while we wait for the one that was here.
  constexpr int tries = 3;
  for (int i = 0; i < tries; ++i) {
    auto connection = open_once(options);
    if (!connection) return connection.error();
    if ((*connection)->has_moved()) continue;
    if (options.access == Access::read_only) connection->reset();
    return std::make_unique<SqliteStore>(options, std::move(*connection));
  }
  return Error{Kind::unavailable,
               std::string(codes::file_moved),
               {arg_text("file", options.path.string())},
               {}};
}

namespace {

/// A store over a copy of a file's bytes, in a folder that goes away with it.
class LookedAt : public Store {
 public:
  explicit LookedAt(std::filesystem::path folder) : folder_(std::move(folder)) {}
  ~LookedAt() override {
    store_.reset();
    std::error_code ignored;
    std::filesystem::remove_all(folder_, ignored);
  }
  Result<void> take(const SqliteOptions& from) {
    auto copy = from;
    copy.access = Access::read_write;
    copy.path = folder_ / from.path.filename();
    for (const auto* part : {"", "-wal"}) {
      std::error_code failed;
      const std::filesystem::path source = from.path.string() + part;
      if (!std::filesystem::exists(source, failed)) continue;
      std::filesystem::copy_file(source, copy.path.string() + part, failed);
      // As private as the folder; what was read-only can be read here, and a log played.
      if (!failed) {
        std::filesystem::permissions(
            copy.path.string() + part,
            std::filesystem::perms::owner_read | std::filesystem::perms::owner_write, failed);
      }
      if (failed) return copy_failed(from.path);
    }
    auto opened = open_unmarked(copy);
    if (!opened) return named(opened.error(), copy.path, from.path);
    store_ = *std::move(opened);
    return {};
  }

  Result<void> read(const std::function<Result<void>(ReadTx&)>& body) override {
    return store_->read(body);
  }
  Result<void> write(const std::function<Result<void>(WriteTx&)>& body) override {
    return store_->write(body);
  }
  Result<VerifyReport> verify(Marks marks, const OnProgress& progress) override {
    return store_->verify(marks, progress);
  }
  Result<VerifyReport> check_heads(Marks marks) override { return store_->check_heads(marks); }

 private:
  static Error copy_failed(const std::filesystem::path& path) {
    return {Kind::unavailable, std::string(codes::io_error), {arg_text("file", path.string())}, {}};
  }
  /// People know the file that they named, not the one that is looked at.
  static Error named(Error error, const std::filesystem::path& copy,
                     const std::filesystem::path& known) {
    for (auto& arg : error.args) {
      if (arg.name == "file" && arg.text == copy.string()) arg.text = known.string();
    }
    return error;
  }

  std::filesystem::path folder_;
  std::unique_ptr<Store> store_;
};

}  // namespace

bool keeps_a_log(const std::filesystem::path& path) {
  // SQLite's file format: the versions needed for writing and reading, 2 where there is a log.
  constexpr std::streamoff versions_at = 18;
  std::ifstream file(path, std::ios::binary);
  std::array<char, 2> versions{};
  file.seekg(versions_at);
  file.read(versions.data(), versions.size());
  return file && versions == std::array<char, 2>{2, 2};
}

Result<std::unique_ptr<Store>> open_to_look(const SqliteOptions& options) {
  auto here = options;
  here.access = Access::read_only;
  if (!keeps_a_log(options.path)) {
    auto opened = open_unmarked(here);
    if (opened) return std::unique_ptr<Store>(std::move(*opened));
    if (opened.error().code != codes::older_schema) return opened.error();
  }
  std::error_code failed;
  auto name = (std::filesystem::temp_directory_path(failed) / "penstock-XXXXXX").string();
  if (failed || ::mkdtemp(name.data()) == nullptr) {
    return Error{Kind::unavailable, std::string(codes::io_error), {arg_text("file", name)}, {}};
  }
  auto looked = std::make_unique<LookedAt>(name);
  if (auto taken = looked->take(options); !taken) return taken.error();
  return std::unique_ptr<Store>(std::move(looked));
}

Result<std::unique_ptr<Store>> open_sqlite(const SqliteOptions& options) {
  auto store = open_unmarked(options);
  if (!store) return store.error();
  if (options.access == Access::read_write) {
    if (auto checked = (*store)->check_heads(Marks::set); !checked) return checked.error();
  }
  return std::unique_ptr<Store>(std::move(*store));
}

}  // namespace penstock::store
