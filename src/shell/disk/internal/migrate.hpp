// Brings a file's schema up to this program's: forward only, all pending steps in one transaction,
// under the writer's lock.
#pragma once

#include <span>

#include "embedded/embedded_file.hpp"
#include "shell/disk/files/files.hpp"
#include "shell/sqlite/sqlite.hpp"

namespace penstock::store {

/// This program's migrations, in order: 0001_journal.sql, ...
std::span<const EmbeddedFile> migrations_sqlite();

/// What a file says it is. Nothing is written.
struct FileIdentity {
  bool empty = false;       ///< a new file: no schema, no application id
  std::int64_t schema = 0;  ///< number of the last migration
};
/// Refused: a file of something else (codes::not_ours), or of a program that knows more migrations
/// (codes::newer_program).
Result<FileIdentity> identify(Connection& connection, std::int64_t known);

/// Runs what is pending. A migration that was run with another text than ours: refused
/// (codes::migration_changed). An error leaves the file as it was.
Result<void> migrate(Connection& connection, std::span<const EmbeddedFile> migrations);

/// S7: whether the file's schema is, statement by statement, what the first `number` migrations
/// make of an empty one. Refused: codes::schema_changed, which names what is not.
Result<void> check_schema(Connection& connection, std::span<const EmbeddedFile> migrations,
                          std::int64_t number);

/// The schema as SQL text, one statement a line, sorted: equal schemas give equal texts.
Result<std::string> schema_dump(Connection& connection);

}  // namespace penstock::store
