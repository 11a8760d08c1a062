// The store on SQLite: one writer, a few readers, each with its own connection.
#pragma once

#include <mutex>

#include "shell/disk/disk.hpp"
#include "shell/disk/internal/sqlite_tx.hpp"
#include "shell/disk/internal/underneath.hpp"
#include "shell/sqlite/sqlite.hpp"

namespace penstock::store {

/// Opens a connection and sets what every connection of ours has set. Looks at nothing and creates
/// nothing.
Result<std::unique_ptr<Connection>> connect(const SqliteOptions& options);

class SqliteStore : public Store {
 public:
  /// `writer`: checked and migrated; nothing when the store is only read.
  SqliteStore(SqliteOptions options, std::unique_ptr<Connection> writer)
      : options_(std::move(options)), underneath_(options_.path), writer_(std::move(writer)) {}

  Result<void> read(const std::function<Result<void>(ReadTx&)>& body) override;
  Result<void> write(const std::function<Result<void>(WriteTx&)>& body) override;
  Result<VerifyReport> verify(Marks marks, const OnProgress& progress) override;
  Result<VerifyReport> check_heads(Marks marks) override;

 private:
  Result<std::unique_ptr<Connection>> take_reader();
  void give_back(std::unique_ptr<Connection> reader);
  Result<void> with_reader(const std::function<Result<void>(Connection&)>& body);
  /// Looks whether somebody else changed the file. writer_mutex_ is held.
  void look_underneath();
  /// Moves the log into the file where nobody has written for a while. writer_mutex_ is held.
  void settle();
  Result<void> write_once(const std::function<Result<void>(WriteTx&)>& body);
  Marks possible(Marks marks) const {
    return options_.access == Access::read_only ? Marks::leave : marks;
  }

  SqliteOptions options_;
  Underneath underneath_;  // under writer_mutex_, but for its count
  std::mutex writer_mutex_;
  std::unique_ptr<Connection> writer_;
  bool erasure_owed_ = false;  // erased bytes may still stand in the write-ahead log
  bool unsettled_ = false;     // the log may hold what the file does not
  std::chrono::steady_clock::time_point wrote_at_;
  std::mutex readers_mutex_;
  std::vector<std::unique_ptr<Connection>> readers_;
};

/// As open_sqlite, but neither looks at the heads nor marks anything.
Result<std::unique_ptr<SqliteStore>> open_unmarked(const SqliteOptions& options);

}  // namespace penstock::store
