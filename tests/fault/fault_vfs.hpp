// A file layer for SQLite that fails on request, and that knows what a power cut would leave on the
// disk.
//
// It stands on the system's own layer and passes everything through, except:
// - fail_at(n): the n-th call from now fails, once or for good. A failing write writes half of its
// bytes first.
// - remember_syncs(): from now on it keeps what was synced apart from what was only written (and
// spares the machine the real
//   syncs). cut_power_at(n): at the n-th call everything fails, as if the machine stopped there;
//   leave_what_was_synced() then makes the files what such a machine would find: all that was
//   synced, and of the rest each 512-byte sector or none, as the dice fall. A file that was made
//   but never synced may be missing; one deleted without syncing its folder may be back.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <map>
#include <mutex>
#include <random>
#include <string>
#include <vector>

namespace penstock::fault {

enum class Fault : std::uint8_t { input_output, disk_full };
enum class Lasting : std::uint8_t { once, for_good };
enum class Unsynced : std::uint8_t { all_lost, some_kept };

class FaultVfs {
 public:
  explicit FaultVfs(const char* name);
  FaultVfs(const FaultVfs&) = delete;
  FaultVfs& operator=(const FaultVfs&) = delete;
  ~FaultVfs();
  const char* name() const { return vfs_.zName; }

  void fail_at(int n, Fault fault, Lasting lasting);
  void stop_failing();
  bool has_failed() const { return failures_ > 0; }

  void remember_syncs();
  void cut_power_at(int n);
  bool power_is_off() const { return dead_; }
  /// Every connection must be closed by now.
  void leave_what_was_synced(unsigned seed, Unsynced unsynced);

 private:
  friend struct FaultCalls;
  enum class Call : std::uint8_t { open, read, write, sync, truncate, size, remove, map };
  struct Change {
    std::int64_t offset = 0;
    std::vector<char> bytes;
    bool truncates = false;
  };
  /// What the disk is sure to hold of a file, and what it may hold.
  struct Image {
    bool synced_to_exist = false;
    bool removed = false;
    std::vector<char> synced;
    std::vector<Change> since;
  };

  /// 0, or the code with which this call fails.
  int failing(Call call);
  bool tracked(const std::string& path) const;
  static void apply(std::vector<char>& bytes, const Change& change);
  static void apply_some(std::vector<char>& bytes, const Change& change, std::mt19937& dice);

  sqlite3_vfs vfs_{};
  sqlite3_vfs* real_;
  std::recursive_mutex mutex_;
  int calls_left_ = 0;
  bool armed_ = false;
  Fault fault_ = Fault::input_output;
  Lasting lasting_ = Lasting::once;
  int failures_ = 0;
  bool remembers_ = false;
  bool cut_armed_ = false;
  int cut_left_ = 0;
  bool dead_ = false;
  std::map<std::string, Image> images_;
};

}  // namespace penstock::fault
