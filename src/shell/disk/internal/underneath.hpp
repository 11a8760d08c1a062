// Whether somebody else changed the file of a store that is open.
#pragma once

#include <atomic>
#include <cstdint>
#include <filesystem>
#include <optional>

#include "shell/sqlite/sqlite.hpp"

namespace penstock::store {

/// SQLite knows when another connection wrote; the system knows when a file was written at all, by
/// whatever program, for nobody sets the time of its last change. Costs a few microseconds. What
/// somebody writes into the bytes in the same instant in which this store writes is not noticed.
class Underneath {
 public:
  explicit Underneath(std::filesystem::path path) : path_(std::move(path)) {}
  /// Not from two threads at once. `writer`: the one connection of ours that writes, outside a
  /// transaction; nothing where the store is only read. True: it was changed since the last look.
  bool look(Connection* writer);
  /// What stands there now is this store's own writing. Not from two threads at once.
  void wrote();
  /// How often it was seen to have been changed.
  std::uint64_t count() const { return count_; }

 private:
  struct File {
    std::uint64_t number = 0;
    std::int64_t size = 0, seconds = 0, nanoseconds = 0;
    friend bool operator==(const File&, const File&) = default;
  };
  struct Seen {
    File file, log;
    friend bool operator==(const Seen&, const Seen&) = default;
  };
  static File state_of(const std::filesystem::path& path);
  Seen now() const;

  std::filesystem::path path_;
  std::optional<Seen> seen_;
  std::optional<std::int64_t> written_by_others_;
  std::atomic<std::uint64_t> count_ = 0;
};

}  // namespace penstock::store
