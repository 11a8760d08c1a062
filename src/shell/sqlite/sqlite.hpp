// One connection to SQLite: results instead of exceptions, statements prepared once, named
// parameters.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>

#include "shell/store/store.hpp"

namespace penstock::store {

/// A running statement. Bound by name, stepped, read by column; ready for its next use when it goes
/// out of scope.
class Query {
 public:
  Query(sqlite3* db, sqlite3_stmt* statement, int rc, const std::string& file)
      : db_(db), statement_(statement), rc_(rc), file_(file) {}
  Query(const Query&) = delete;
  Query& operator=(const Query&) = delete;
  ~Query();

  // The bound bytes must live as long as the query runs.
  Query& bind(const char* name, std::int64_t value);
  Query& bind(const char* name, std::string_view text);
  Query& bind(const char* name, std::span<const std::uint8_t> bytes);
  Query& bind(const char* name, const Id& id);
  Query& bind_null(const char* name);

  Result<bool> step();  ///< true: there is a row
  Result<void> run();   ///< steps to the end

  bool is_null(int column) const;
  std::int64_t number(int column) const;
  std::string_view text(int column) const;
  std::span<const std::uint8_t> blob(int column) const;
  /// A column that is not as long as it must be means a damaged file; the walk over the chain
  /// reports what it then does not hold.
  Id id(int column) const;
  Digest digest(int column) const;

 private:
  void bound(int rc) {
    if (rc_ == SQLITE_OK) rc_ = rc;
  }
  int index(const char* name) const;

  sqlite3* db_;
  sqlite3_stmt* statement_;
  int rc_;
  const std::string& file_;
};

/// Our error for a code of SQLite's. Never called for a code that only a bug of ours can bring
/// about.
Error sqlite_error(sqlite3* db, int rc, const std::string& file);

/// Not for two threads at once.
class Connection {
 public:
  /// `flags`: SQLITE_OPEN_*. The file must exist unless SQLITE_OPEN_CREATE is among them.
  static Result<std::unique_ptr<Connection>> open(const std::filesystem::path& path, int flags,
                                                  const std::string& vfs,
                                                  std::chrono::milliseconds busy_timeout);
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;
  ~Connection();

  /// `sql` is a constant: its address is the key under which the prepared statement is kept.
  Query query(const char* sql);
  /// Several statements, without parameters or rows.
  Result<void> run(const char* sql);
  Result<std::int64_t> number(const char* sql);
  Result<std::string> text(const char* sql);

  bool in_transaction() const { return sqlite3_get_autocommit(db_) == 0; }
  /// Whether the file that is open is no longer the one that stands at its path.
  bool has_moved() const;
  sqlite3* handle() const { return db_; }
  const std::string& file() const { return file_; }
  Error error(int rc) const { return sqlite_error(db_, rc, file_); }
  Error error(Kind kind, std::string_view code) const {
    return {kind, std::string(code), {arg_text("file", file_)}, {}};
  }

 private:
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  Connection(sqlite3* db, std::string file, std::chrono::milliseconds patience)
      : db_(db), file_(std::move(file)), patience_(patience) {}
  static int wait_for_lock(void* self, int times);

  sqlite3* db_;
  std::string file_;
  std::chrono::milliseconds patience_;
  std::chrono::steady_clock::time_point waiting_since_;
  std::unordered_map<const char*, std::unique_ptr<sqlite3_stmt, Finalize>> statements_;
};

/// Rolls back what was not committed, whatever way the scope is left.
class Transaction {
 public:
  enum class Mode : std::uint8_t { read, write, exclusive };
  static Result<Transaction> begin(Connection& connection, Mode mode);
  Transaction(Transaction&& other) noexcept
      : connection_(std::exchange(other.connection_, nullptr)) {}
  Transaction& operator=(Transaction&&) = delete;
  ~Transaction();
  Result<void> commit();

 private:
  explicit Transaction(Connection& connection) : connection_(&connection) {}
  Connection* connection_;
};

/// Big-endian, so that ids sort the same everywhere.
std::array<std::uint8_t, 16> to_bytes(const Id& id);

}  // namespace penstock::store
