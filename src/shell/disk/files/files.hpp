// What the store asks of the file system besides SQLite: private files with one name, syncing,
// moving into place.
#pragma once

#include <cstdint>
#include <filesystem>

#include "base/base.hpp"

namespace penstock::store {

/// "PSTK": SQLite's application id of our files.
inline constexpr std::int64_t application_id = 0x5053544B;

/// What was done so that a store, and the log beside it, are their owner's alone.
enum class Privacy : std::uint8_t { as_it_was, made_private, open_to_others };
/// Takes from others what they may do with a store of ours. What is no plain file, is reached by a
/// link, or is not ours by its application id keeps its rights: a folder without its x bit locks
/// out whoever lives in it. Not while this process has the store open.
Privacy make_private(const std::filesystem::path& path);

/// The system calls, so that a test can make each of them fail. Not for two threads to change.
struct FileCalls {
  int (*sync)(int descriptor);
  /// Fails with EEXIST when `replace` is false and `to` exists.
  int (*move)(const char* from, const char* to, bool replace);
};
FileCalls& file_calls();

/// What a restore replaces is kept under this and a number.
inline constexpr std::string_view kept_word = ".replaced-";

/// Creates the file if there is none, readable by its owner alone: it will hold people's health
/// records.
Result<void> create_private(const std::filesystem::path& path);
/// Whether a file has a second name. Those that a restore or a copy of ours gives it for a moment,
/// or leaves where it is killed, are opened by nobody.
bool has_two_names(const std::filesystem::path& path);
/// A new empty file beside `path`, of the owner's alone. What a program that was killed left of
/// such in this folder, whole copies of a clinic, goes away first.
Result<std::filesystem::path> create_beside(const std::filesystem::path& path);
/// Onto the disk: the file's bytes, then its name in the folder.
Result<void> sync_file(const std::filesystem::path& path);
Result<void> sync_folder_of(const std::filesystem::path& path);
enum class IfThere : std::uint8_t { refuse, replace };
/// One step that either happened or did not, and is on disk when it returns.
Result<void> move_into_place(const std::filesystem::path& from, const std::filesystem::path& to,
                             IfThere if_there);

/// Removes a file, and what SQLite may have left beside it, when the scope ends. Locked meanwhile,
/// so that others see that it is in use; the lock goes with the process, however that ends.
class TemporaryFile {
 public:
  explicit TemporaryFile(std::filesystem::path path);
  TemporaryFile(const TemporaryFile&) = delete;
  TemporaryFile& operator=(const TemporaryFile&) = delete;
  ~TemporaryFile();
  const std::filesystem::path& path() const { return path_; }
  /// It has another name now, which stays.
  void moved() { moved_ = true; }

 private:
  std::filesystem::path path_;
  int locked_ = -1;
  bool moved_ = false;
};
/// Removes the files that SQLite keeps beside a store.
void remove_companions(const std::filesystem::path& path);

}  // namespace penstock::store
