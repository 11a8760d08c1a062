// Backup and restore: a copy is made aside, synced and verified before it stands where anybody
// looks for it.
#include <algorithm>
#include <memory>
#include <string>
#include <thread>
#include <unordered_set>

#include "shell/disk/files/files.hpp"
#include "shell/disk/internal/migrate.hpp"
#include "shell/disk/internal/sqlite_store.hpp"

namespace penstock::store {
namespace {

constexpr int pages_per_step = 512;  // 2 MiB: often enough to report, rarely enough to cost nothing

Error file_error(Kind kind, std::string_view code, const std::filesystem::path& path) {
  return {kind, std::string(code), {arg_text("file", path.string())}, {}};
}

/// Copies page by page; the source stands still because it has a transaction open.
Result<void> copy_pages(Connection& from, Connection& to, std::chrono::milliseconds patience,
                        const OnProgress& progress) {
  struct Finish {
    void operator()(sqlite3_backup* backup) const { sqlite3_backup_finish(backup); }
  };
  std::unique_ptr<sqlite3_backup, Finish> backup(
      sqlite3_backup_init(to.handle(), "main", from.handle(), "main"));
  if (!backup) return to.error(sqlite3_extended_errcode(to.handle()));
  constexpr std::chrono::milliseconds pause{10};
  std::chrono::milliseconds waited{0};
  for (;;) {
    const int rc = sqlite3_backup_step(backup.get(), pages_per_step);
    const auto total = static_cast<std::uint64_t>(sqlite3_backup_pagecount(backup.get()));
    const auto left = static_cast<std::uint64_t>(sqlite3_backup_remaining(backup.get()));
    if (progress) progress({Progress::Stage::copying, total - left, total});
    if (rc == SQLITE_DONE) break;
    const bool wait = (rc & 0xFF) == SQLITE_BUSY || (rc & 0xFF) == SQLITE_LOCKED;
    if (wait && waited < patience) {
      std::this_thread::sleep_for(pause);
      waited += pause;
    } else if (rc != SQLITE_OK) {
      return to.error(rc);
    }
  }
  const int rc = sqlite3_backup_finish(backup.release());
  if (rc != SQLITE_OK) return to.error(rc);
  return {};
}

/// From a store file into an empty one. The copy stands alone afterwards: no log beside it.
Result<void> copy_store(const SqliteOptions& from, const SqliteOptions& to,
                        const OnProgress& progress) {
  std::error_code ignored;
  if (!std::filesystem::exists(from.path, ignored)) {
    return file_error(Kind::not_found, codes::no_file, from.path);
  }
  auto source = connect(from);
  if (!source) return source.error();
  const auto identity = identify(**source, static_cast<std::int64_t>(migrations_sqlite().size()));
  if (!identity) return identity.error();
  if (identity->empty) return file_error(Kind::refused, codes::not_ours, from.path);

  auto snapshot = Transaction::begin(**source, Transaction::Mode::read);
  if (!snapshot) return snapshot.error();
  // The snapshot begins with the first read, not with BEGIN.
  if (auto pinned = (*source)->number("SELECT count(*) FROM journal"); !pinned) {
    return pinned.error();
  }
  auto target = connect(to);
  if (!target) return target.error();
  if (auto done = copy_pages(**source, **target, from.busy_timeout, progress); !done) return done;
  const auto mode = (*target)->text("PRAGMA journal_mode = DELETE");
  if (!mode) return mode.error();
  if (*mode != "delete") return file_error(Kind::unavailable, codes::io_error, to.path);
  return {};
}

/// A fault of the file, or of a journal that is not known to be faulty already, means that the copy
/// is not to be relied on.
Result<void> acceptable(const VerifyReport& report, const std::filesystem::path& path) {
  for (const auto& fault : report.faults) {
    const bool known =
        std::any_of(report.journals.begin(), report.journals.end(), [&](const JournalInfo& info) {
          return info.journal == fault.journal && !info.read_only_because.empty();
        });
    if (known) continue;
    auto error = file_error(Kind::refused, codes::backup_damaged, path);
    error.args.push_back(arg_code("because", fault.code));
    return error;
  }
  return {};
}

/// Brings the copy's schema up to ours, and makes it stand alone: no log beside it, everything
/// synced.
Result<void> settle(const SqliteOptions& copy) {
  if (auto migrated = open_unmarked(copy); !migrated) return migrated.error();
  {
    auto connection = connect(copy);
    if (!connection) return connection.error();
    const auto mode = (*connection)->text("PRAGMA journal_mode = DELETE");
    if (!mode) return mode.error();
    if (*mode != "delete") return file_error(Kind::unavailable, codes::io_error, copy.path);
  }
  // SQLite forgives itself a log that it could not remove; what matters is what the file says
  // without it, which is verified next.
  remove_companions(copy.path);
  return sync_file(copy.path);
}

/// Verifies the very bytes that will be moved into place.
Result<VerifyReport> verify_settled(SqliteOptions copy, const OnProgress& progress) {
  copy.access = Access::read_only;
  auto store = open_unmarked(copy);
  if (!store) return store.error();
  return (*store)->verify(Marks::leave, progress);
}

/// A damaged journal must not keep the others from being backed up: the copy carries its mark.
Result<VerifyReport> settle_backup(const SqliteOptions& copy, const OnProgress& progress) {
  if (auto settled = settle(copy); !settled) return settled.error();
  auto report = verify_settled(copy, progress);
  if (!report || report->clean()) return report;
  {
    auto store = open_unmarked(copy);
    if (!store) return store.error();
    auto marked = apply_marks(**store, *report, Marks::set);
    if (!marked) return marked.error();
  }
  if (auto settled = settle(copy); !settled) return settled.error();
  return verify_settled(copy, progress);
}

Result<CopyReport> move_copy(TemporaryFile& copy, const std::filesystem::path& to, IfThere if_there,
                             VerifyReport report) {
  std::error_code failed;
  const auto bytes = std::filesystem::file_size(copy.path(), failed);
  if (failed) return file_error(Kind::unavailable, codes::io_error, to);
  if (auto moved = move_into_place(copy.path(), to, if_there); !moved) return moved.error();
  copy.moved();
  return CopyReport{
      .bytes = static_cast<std::uint64_t>(bytes), .verified = std::move(report), .kept = {}};
}

/// The store that a restore replaces, held so that nobody else opens it meanwhile. Nothing: there
/// is none, or it cannot be read.
struct Held {
  std::unique_ptr<Connection> connection;
  std::optional<Transaction> lock;
  bool is_to_be_kept = false;  ///< it holds journals, or may have
};

Result<std::int64_t> journals_in(Connection& db, const FileIdentity& identity) {
  if (identity.empty || identity.schema == 0) return 0;
  return db.number("SELECT count(*) FROM journal");
}

/// Leaving the write-ahead log needs the file alone, folds the log in and removes it. SQLite
/// answers "still wal" both when somebody else has the file open and when the disk fails; a write
/// that changes nothing tells the two apart.
Result<void> leave_log(Connection& db) {
  constexpr int tries = 2;
  for (int i = 0; i < tries; ++i) {
    const auto mode = db.text("PRAGMA journal_mode = DELETE");
    if (mode && *mode == "delete") return {};
    if (!mode && mode.error().code != codes::locked) return mode.error();
    auto probe = Transaction::begin(db, Transaction::Mode::write);
    if (!probe) return probe.error();
    if (auto done = db.run("UPDATE journal SET version = version"); !done) return done;
    if (auto done = probe->commit(); !done) return done;
  }
  return db.error(Kind::conflict, codes::in_use);
}

Result<Held> hold_target(const SqliteOptions& to, Overwrite overwrite) {
  std::error_code ignored;
  const auto size = std::filesystem::file_size(to.path, ignored);
  if (ignored || size == 0) return Held{};
  Held held;
  const auto known = static_cast<std::int64_t>(migrations_sqlite().size());
  const auto unreadable = [&](const Error& error) -> Result<Held> {
    const bool broken = error.code == codes::file_damaged || error.code == codes::not_ours;
    if (!broken) return error;
    if (overwrite == Overwrite::replace)
      return Held{.connection = {}, .lock = {}, .is_to_be_kept = true};  // what a restore is for
    return file_error(Kind::refused, codes::would_overwrite, to.path);
  };
  auto connection = connect(to);
  if (!connection) return unreadable(connection.error());
  held.connection = std::move(*connection);
  const auto identity = identify(*held.connection, known);
  // A sound database of something else is never replaced; a file that is no database at all may
  // once have been ours.
  if (!identity && identity.error().code == codes::not_ours &&
      held.connection->number("PRAGMA application_id")) {
    return identity.error();
  }
  if (!identity) return unreadable(identity.error());
  const auto journals = journals_in(*held.connection, *identity);
  if (!journals) return unreadable(journals.error());
  if (*journals > 0 && overwrite == Overwrite::refuse) {
    return file_error(Kind::refused, codes::would_overwrite, to.path);
  }
  held.is_to_be_kept = *journals > 0;
  if (auto left = leave_log(*held.connection); !left) {
    if (left.error().code == codes::locked) {
      return file_error(Kind::conflict, codes::in_use, to.path);
    }
    return unreadable(left.error());
  }
  // From here to the move nobody else gets in.
  auto lock = Transaction::begin(*held.connection, Transaction::Mode::exclusive);
  if (!lock && lock.error().code != codes::locked) return unreadable(lock.error());
  if (!lock) return file_error(Kind::conflict, codes::in_use, to.path);
  held.lock.emplace(std::move(*lock));
  return held;
}

/// People know the files that they named, not the one that we work on beside them.
Error said_of(Error error, const TemporaryFile& copy, const std::filesystem::path& known) {
  for (auto& arg : error.args) {
    if (arg.name == "file" && arg.text == copy.path().string()) arg.text = known.string();
  }
  return error;
}

Result<VerifyReport> fill_backup(const SqliteOptions& from, const SqliteOptions& copy,
                                 const OnProgress& progress) {
  if (auto copied = copy_store(from, copy, progress); !copied) return copied.error();
  auto report = settle_backup(copy, progress);
  if (!report) return report.error();
  if (auto fine = acceptable(*report, copy.path); !fine) return fine.error();
  return report;
}

Result<VerifyReport> fill_restored(const SqliteOptions& backup, const SqliteOptions& copy,
                                   const OnProgress& progress) {
  const auto damaged = [&](Error error) -> Error {
    if (error.code != codes::file_damaged) return error;
    auto out = file_error(Kind::refused, codes::backup_damaged, backup.path);
    out.args.push_back(arg_code("because", error.code));
    return out;
  };
  if (auto copied = copy_store(backup, copy, progress); !copied) return damaged(copied.error());
  if (auto settled = settle(copy); !settled) return damaged(settled.error());
  auto report = verify_settled(copy, progress);
  if (!report) return damaged(report.error());
  if (auto fine = acceptable(*report, backup.path); !fine) return fine.error();
  return report;
}

/// "clinic.penstock-wal": removed, or played into the file beside it, by whoever opens that one.
bool is_name_of_log(const std::filesystem::path& path) {
  const auto name = path.string();
  return name.ends_with("-wal") || name.ends_with("-shm") || name.ends_with("-journal");
}

constexpr const char* sql_facts = "SELECT hex(fact) FROM entry";

Result<std::unordered_set<std::string>> facts_in(Connection& db) {
  std::unordered_set<std::string> out;
  auto rows = db.query(sql_facts);
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.emplace(rows.text(0));
  }
}

/// Entries of the store that is replaced which the copy does not have (H21). Nothing: who knows.
std::optional<std::uint64_t> gone_from(const Held& held, const SqliteOptions& copy) {
  if (!held.is_to_be_kept) return 0;
  if (!held.connection) return std::nullopt;
  auto reader = copy;
  reader.access = Access::read_only;
  auto connection = connect(reader);
  if (!connection) return std::nullopt;
  const auto before = facts_in(*held.connection);
  const auto after = facts_in(**connection);
  if (!before || !after) return std::nullopt;
  return static_cast<std::uint64_t>(
      std::ranges::count_if(*before, [&](const auto& fact) { return !after->contains(fact); }));
}

/// A second name for a file, which stays when the first is given to another.
Result<std::filesystem::path> keep_beside(const std::filesystem::path& path) {
  constexpr int tries = 1'000;
  for (int n = 1; n <= tries; ++n) {
    const std::filesystem::path kept = path.string() + std::string(kept_word) + std::to_string(n);
    std::error_code failed;
    if (std::filesystem::exists(kept, failed)) continue;
    std::filesystem::create_hard_link(path, kept, failed);
    // A file system without second names: its bytes again.
    if (failed) std::filesystem::copy_file(path, kept, failed);
    if (failed) return file_error(Kind::unavailable, codes::io_error, kept);
    if (auto synced = sync_file(kept); !synced) return synced.error();
    if (auto synced = sync_folder_of(kept); !synced) return synced.error();
    return kept;
  }
  return file_error(Kind::refused, codes::would_overwrite, path);
}

}  // namespace

Result<CopyReport> backup_sqlite(const SqliteOptions& from, const std::filesystem::path& to,
                                 const OnProgress& progress) {
  std::error_code ignored;
  if (is_name_of_log(to)) return file_error(Kind::refused, codes::name_of_log, to);
  if (std::filesystem::exists(to, ignored)) {
    return file_error(Kind::refused, codes::would_overwrite, to);
  }
  if (!std::filesystem::exists(from.path, ignored)) {
    return file_error(Kind::not_found, codes::no_file, from.path);
  }
  auto aside = create_beside(to);
  if (!aside) return aside.error();
  TemporaryFile copy(*aside);
  SqliteOptions target = from;
  target.access = Access::read_write;
  target.path = copy.path();
  auto report = fill_backup(from, target, progress);
  if (!report) return said_of(report.error(), copy, to);
  return move_copy(copy, to, IfThere::refuse, std::move(*report));
}

Result<CopyReport> restore_sqlite(const std::filesystem::path& backup, const SqliteOptions& to,
                                  Overwrite overwrite, const OnProgress& progress,
                                  const MayReplace& may_replace) {
  std::error_code ignored;
  if (!std::filesystem::exists(backup, ignored)) {
    return file_error(Kind::not_found, codes::no_file, backup);
  }
  SqliteOptions source = to;
  source.path = backup;
  source.access = Access::read_only;
  auto held = hold_target(to, overwrite);
  if (!held) return held.error();

  auto aside = create_beside(to.path);
  if (!aside) return aside.error();
  TemporaryFile copy(*aside);
  SqliteOptions target = to;
  target.access = Access::read_write;
  target.path = copy.path();
  auto report = fill_restored(source, target, progress);
  if (!report) return said_of(report.error(), copy, to.path);
  if (may_replace && held->connection && held->is_to_be_kept) {
    if (auto fine = may_replace(copy.path()); !fine) return said_of(fine.error(), copy, backup);
  }
  // Only a store that could not be read still has companions here; its log must not be played into
  // the new file.
  if (!held->connection) remove_companions(to.path);
  const auto gone = gone_from(*held, target);
  std::filesystem::path kept;
  if (held->is_to_be_kept) {
    auto beside = keep_beside(to.path);
    if (!beside) return beside.error();
    kept = *std::move(beside);
  }
  auto moved = move_copy(copy, to.path, IfThere::replace, std::move(*report));
  if (!moved) {
    if (!kept.empty()) std::filesystem::remove(kept, ignored);
    return moved;
  }
  moved->kept = kept;
  moved->entries_gone = gone;
  return moved;
}

}  // namespace penstock::store
