#include "shell/sqlite/sqlite.hpp"

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <thread>

namespace penstock::store {
namespace {

/// What SQLite's primary codes mean to a person. SQLite says "I/O error" where the system said "no
/// room": the system's word counts.
std::string_view code_for(int rc, int system_errno) {
  if (system_errno == ENOSPC || system_errno == EDQUOT) return codes::disk_full;
  switch (rc & 0xFF) {
    case SQLITE_FULL:
      return codes::disk_full;
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
    case SQLITE_PROTOCOL:
      return codes::locked;
    case SQLITE_READONLY:
      return rc == SQLITE_READONLY_DBMOVED ? codes::file_moved : codes::read_only;
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return codes::cannot_open;
    case SQLITE_NOMEM:
      return codes::out_of_memory;
    case SQLITE_NOTADB:
      return codes::not_ours;
    case SQLITE_IOERR:
      return rc == SQLITE_IOERR_NOMEM ? codes::out_of_memory : codes::io_error;
    default:
      // CORRUPT; but also ERROR, CONSTRAINT, MISMATCH and the like: our statements suit our schema,
      // so the file is not what it says it is.
      return codes::file_damaged;
  }
}

bool says_errno(int rc) {
  const int primary = rc & 0xFF;
  return primary == SQLITE_IOERR || primary == SQLITE_FULL || primary == SQLITE_CANTOPEN;
}

}  // namespace

Error sqlite_error(sqlite3* db, int rc, const std::string& file) {
  INVARIANT((rc & 0xFF) != SQLITE_MISUSE && (rc & 0xFF) != SQLITE_RANGE);
  const int system_errno = db != nullptr && says_errno(rc) ? sqlite3_system_errno(db) : 0;
  const auto code = code_for(rc, system_errno);
  return {code == codes::not_ours ? Kind::refused : Kind::unavailable,
          std::string(code),
          {arg_text("file", file), arg_count("detail", rc)},
          {}};
}

std::array<std::uint8_t, 16> to_bytes(const Id& id) {
  std::array<std::uint8_t, 16> out;
  for (std::size_t i = 0; i < 8; ++i) {
    out[i] = static_cast<std::uint8_t>(id.high >> (56 - 8 * i));
    out[8 + i] = static_cast<std::uint8_t>(id.low >> (56 - 8 * i));
  }
  return out;
}

// ---- Query

Query::~Query() {
  if (statement_ == nullptr) return;
  sqlite3_reset(statement_);
  sqlite3_clear_bindings(statement_);
}

int Query::index(const char* name) const {
  const int index = sqlite3_bind_parameter_index(statement_, name);
  INVARIANT(index > 0);
  return index;
}

Query& Query::bind(const char* name, std::int64_t value) {
  if (statement_ != nullptr) bound(sqlite3_bind_int64(statement_, index(name), value));
  return *this;
}

Query& Query::bind(const char* name, std::string_view text) {
  if (statement_ == nullptr) return *this;
  // A null pointer would bind NULL; an empty text is a text.
  const char* data = text.data() == nullptr ? "" : text.data();
  bound(
      sqlite3_bind_text64(statement_, index(name), data, text.size(), SQLITE_STATIC, SQLITE_UTF8));
  return *this;
}

Query& Query::bind(const char* name, std::span<const std::uint8_t> bytes) {
  if (statement_ == nullptr) return *this;
  const void* data = bytes.empty() ? static_cast<const void*>("") : bytes.data();
  bound(sqlite3_bind_blob64(statement_, index(name), data, bytes.size(), SQLITE_STATIC));
  return *this;
}

Query& Query::bind(const char* name, const Id& id) {
  if (statement_ == nullptr) return *this;
  const auto bytes = to_bytes(id);
  bound(sqlite3_bind_blob64(statement_, index(name), bytes.data(), bytes.size(), SQLITE_TRANSIENT));
  return *this;
}

Query& Query::bind_null(const char* name) {
  if (statement_ != nullptr) bound(sqlite3_bind_null(statement_, index(name)));
  return *this;
}

Result<bool> Query::step() {
  if (rc_ != SQLITE_OK) return sqlite_error(db_, rc_, file_);
  const int rc = sqlite3_step(statement_);
  if (rc == SQLITE_ROW) return true;
  if (rc == SQLITE_DONE) return false;
  return sqlite_error(db_, sqlite3_extended_errcode(db_), file_);
}

Result<void> Query::run() {
  for (;;) {
    auto row = step();
    if (!row) return row.error();
    if (!*row) return {};
  }
}

bool Query::is_null(int column) const {
  return sqlite3_column_type(statement_, column) == SQLITE_NULL;
}
std::int64_t Query::number(int column) const { return sqlite3_column_int64(statement_, column); }

std::string_view Query::text(int column) const {
  const auto* data = sqlite3_column_text(statement_, column);
  if (data == nullptr) return {};
  return {reinterpret_cast<const char*>(data),
          static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}

std::span<const std::uint8_t> Query::blob(int column) const {
  const auto* data = sqlite3_column_blob(statement_, column);
  if (data == nullptr) return {};
  return {static_cast<const std::uint8_t*>(data),
          static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
}

Id Query::id(int column) const {
  const auto bytes = blob(column);
  Id id;
  if (bytes.size() != 16) return id;
  for (std::size_t i = 0; i < 8; ++i) {
    id.high = (id.high << 8) | bytes[i];
    id.low = (id.low << 8) | bytes[8 + i];
  }
  return id;
}

Digest Query::digest(int column) const {
  Digest out{};
  const auto bytes = blob(column);
  if (bytes.size() == out.size()) std::copy(bytes.begin(), bytes.end(), out.begin());
  return out;
}

// ---- Connection

Result<std::unique_ptr<Connection>> Connection::open(const std::filesystem::path& path, int flags,
                                                     const std::string& vfs,
                                                     std::chrono::milliseconds busy_timeout) {
  sqlite3* db = nullptr;
  const int rc =
      sqlite3_open_v2(path.c_str(), &db, flags | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_EXRESCODE,
                      vfs.empty() ? nullptr : vfs.c_str());
  if (rc != SQLITE_OK) {
    auto error = sqlite_error(db, rc, path.string());
    sqlite3_close(db);
    return error;
  }
  std::unique_ptr<Connection> connection(new Connection(db, path.string(), busy_timeout));
  sqlite3_busy_handler(db, wait_for_lock, connection.get());
  return connection;
}

int Connection::wait_for_lock(void* self, int times) {
  // Often and evenly: SQLite's own handler sleeps longer and longer, and starves beside a program
  // that writes without a pause.
  constexpr std::chrono::microseconds pause{500};
  auto& connection = *static_cast<Connection*>(self);
  const auto now = std::chrono::steady_clock::now();
  if (times == 0) connection.waiting_since_ = now;
  if (now - connection.waiting_since_ >= connection.patience_) return 0;
  std::this_thread::sleep_for(pause);
  return 1;
}

Connection::~Connection() {
  statements_.clear();
  const int rc = sqlite3_close(db_);
  // Anything else would be a statement or backup of ours that outlives its connection.
  if (rc != SQLITE_OK) std::abort();
}

Query Connection::query(const char* sql) {
  auto& slot = statements_[sql];
  if (!slot) {
    sqlite3_stmt* statement = nullptr;
    const int rc = sqlite3_prepare_v3(db_, sql, -1, SQLITE_PREPARE_PERSISTENT, &statement, nullptr);
    if (rc != SQLITE_OK) return {db_, nullptr, rc, file_};
    slot.reset(statement);
  }
  INVARIANT(sqlite3_stmt_busy(slot.get()) == 0);
  return {db_, slot.get(), SQLITE_OK, file_};
}

Result<void> Connection::run(const char* sql) {
  const int rc = sqlite3_exec(db_, sql, nullptr, nullptr, nullptr);
  if (rc != SQLITE_OK) return error(sqlite3_extended_errcode(db_));
  return {};
}

Result<std::int64_t> Connection::number(const char* sql) {
  auto rows = query(sql);
  const auto row = rows.step();
  if (!row) return row.error();
  return *row ? rows.number(0) : 0;
}

Result<std::string> Connection::text(const char* sql) {
  auto rows = query(sql);
  const auto row = rows.step();
  if (!row) return row.error();
  return *row ? std::string(rows.text(0)) : std::string{};
}

bool Connection::has_moved() const {
  int moved = 0;
  // A file layer that cannot tell leaves the 0.
  sqlite3_file_control(db_, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
  return moved != 0;
}

// ---- Transaction

Result<Transaction> Transaction::begin(Connection& connection, Mode mode) {
  INVARIANT(!connection.in_transaction());
  const char* sql = mode == Mode::read    ? "BEGIN"
                    : mode == Mode::write ? "BEGIN IMMEDIATE"
                                          : "BEGIN EXCLUSIVE";
  if (auto begun = connection.query(sql).run(); !begun) return begun.error();
  return Transaction(connection);
}

Transaction::~Transaction() {
  // SQLite has rolled back by itself after some errors; then there is nothing left to do.
  if (connection_ != nullptr && connection_->in_transaction()) {
    static_cast<void>(connection_->run("ROLLBACK"));
  }
}

Result<void> Transaction::commit() { return connection_->query("COMMIT").run(); }

}  // namespace penstock::store
