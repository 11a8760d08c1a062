// The store as a file: SQLite behind the store's port, with its copies.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "shell/disk/files/files.hpp"
#include "shell/store/store.hpp"

namespace penstock::store {

namespace codes {
/// It has a second name on its disk, a hard link: SQLite keeps a log beside each name, and what is
/// written by one name is not seen by the other. [file: text]
inline constexpr std::string_view two_names = "store.two_names";
}  // namespace codes

enum class Access : std::uint8_t { read_write, read_only };
struct SqliteOptions {
  std::filesystem::path path;
  Access access = Access::read_write;  ///< read_only never creates, migrates or marks
  std::chrono::milliseconds busy_timeout{5000};
  /// Whoever reads so long after the last write moves the log into the file.
  std::chrono::milliseconds settle_after{2000};
  std::string vfs =
      {};  ///< a registered file layer, for tests that make it fail; empty: the system's
};
/// Whether a file is worked with, rather than a copy that was put away: it keeps a log beside it.
bool keeps_a_log(const std::filesystem::path& path);
/// L7: opens a file without changing it, whatever its schema and whatever it lies on. Where that
/// cannot be done in its place, what is opened is a copy of its bytes that goes away with the
/// store.
Result<std::unique_ptr<Store>> open_to_look(const SqliteOptions& options);

/// Opens or creates a store file, brings its schema up to this program's, checks the heads and
/// marks journals that do not hold. A file of something else, of a newer program, or with other
/// migrations or another schema than ours, or with two names (codes::two_names): refused,
/// untouched. What SQL a file brings with it, triggers and views, never runs.
Result<std::unique_ptr<Store>> open_sqlite(const SqliteOptions& options);

struct CopyReport {
  std::uint64_t bytes = 0;  ///< size of the file written
  VerifyReport verified;    ///< of the file written: heads to print, entries counted
  /// A restore's: where what stood there before is kept. Empty: there was nothing to keep.
  std::filesystem::path kept = {};
  /// How many of its entries the file written does not have. Nothing: it could not be read.
  std::optional<std::uint64_t> entries_gone = 0;
};
enum class Overwrite : std::uint8_t { refuse, replace };

/// Copies a store, also one in use, as it stands at this moment into a new file: copied aside,
/// synced, verified, then moved into place. An existing file at `to`, or a copy that does not
/// verify, or a name that SQLite keeps for its logs: refused, and nothing is left behind.
Result<CopyReport> backup_sqlite(const SqliteOptions& from, const std::filesystem::path& to,
                                 const OnProgress& progress);

/// Looks at the file that would take the place of a store, whole and aside; an error of it and
/// nothing is changed.
using MayReplace = std::function<Result<void>(const std::filesystem::path& copy)>;

/// Puts a backup in the place of a store that nobody has open. The backup is verified first; a
/// store that holds journals is only replaced when asked, and where `may_replace` finds nothing
/// against it, and kept beside it under another name. What cannot be read is replaced unasked by
/// it. Until the last step, a move, the old store stands untouched.
Result<CopyReport> restore_sqlite(const std::filesystem::path& backup, const SqliteOptions& to,
                                  Overwrite overwrite, const OnProgress& progress,
                                  const MayReplace& may_replace = {});

}  // namespace penstock::store
