#include "shell/disk/internal/migrate.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <vector>

#include "embedded/store_migrations.hpp"

namespace penstock::store {
namespace {

constexpr char sql_record_table[] =
    "CREATE TABLE IF NOT EXISTS migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL, "
    "sha256 TEXT NOT NULL) STRICT";
constexpr char sql_record[] =
    "INSERT INTO migration (number, name, sha256) VALUES (:number, :name, :sha256)";
constexpr char sql_recorded[] = "SELECT number, name, sha256 FROM migration ORDER BY number";
constexpr char sql_schema[] =
    "SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name";
constexpr char sql_objects[] = "SELECT name, sql FROM sqlite_schema WHERE sql IS NOT NULL";

Result<void> check_recorded(Connection& connection, std::span<const EmbeddedFile> migrations) {
  auto rows = connection.query(sql_recorded);
  for (std::size_t at = 0;; ++at) {
    auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return {};
    const auto number = rows.number(0);
    const bool same = at < migrations.size() && number == static_cast<std::int64_t>(at + 1) &&
                      rows.text(1) == migrations[at].path && rows.text(2) == migrations[at].sha256;
    if (!same) {
      auto error = connection.error(Kind::refused, codes::migration_changed);
      error.args.push_back(arg_count("migration", number));
      return error;
    }
  }
}

Result<void> run_one(Connection& connection, std::int64_t number, const EmbeddedFile& migration) {
  // Embedded files end in a zero byte, so the text can be handed over as it is.
  if (auto done = connection.run(migration.data.data()); !done) return done;
  return connection.query(sql_record)
      .bind(":number", number)
      .bind(":name", migration.path)
      .bind(":sha256", migration.sha256)
      .run();
}

using Schema = std::map<std::string, std::string>;  // by name, what made it

Result<Schema> schema_of(Connection& connection) {
  Schema out;
  auto rows = connection.query(sql_objects);
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.emplace(rows.text(0), rows.text(1));
  }
}

Result<Schema> schema_after(std::span<const EmbeddedFile> migrations) {
  constexpr std::chrono::milliseconds no_wait{0};  // nobody else has it
  auto empty =
      Connection::open(":memory:", SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, "", no_wait);
  if (!empty) return empty.error();
  if (auto done = (*empty)->run(sql_record_table); !done) return done.error();
  for (const auto& migration : migrations) {
    if (auto done = (*empty)->run(migration.data.data()); !done) return done.error();
  }
  return schema_of(**empty);
}

Result<void> set_number(Connection& connection, const char* pragma, std::int64_t value) {
  // A pragma takes no parameters; the value is a number of ours.
  return connection.run((std::string("PRAGMA ") + pragma + " = " + std::to_string(value)).c_str());
}

}  // namespace

std::span<const EmbeddedFile> migrations_sqlite() { return embedded::store_migrations(); }

Result<FileIdentity> identify(Connection& connection, std::int64_t known) {
  auto id = connection.number("PRAGMA application_id");
  if (!id) return id.error();
  auto schema = connection.number("PRAGMA user_version");
  if (!schema) return schema.error();
  if (*id == 0) {
    const auto objects = connection.number("SELECT count(*) FROM sqlite_schema");
    if (!objects) return objects.error();
    if (*objects == 0 && *schema == 0) return FileIdentity{.empty = true, .schema = 0};
    // Another program may have made it ours since: in one transaction, so that both are there now.
    id = connection.number("PRAGMA application_id");
    if (!id) return id.error();
    schema = connection.number("PRAGMA user_version");
    if (!schema) return schema.error();
  }
  if (*id != application_id) return connection.error(Kind::refused, codes::not_ours);
  // No program writes one below zero: it would name migrations that there are not.
  if (*schema < 0) return connection.error(Kind::unavailable, codes::file_damaged);
  if (*schema > known) {
    auto error = connection.error(Kind::refused, codes::newer_program);
    error.args.push_back(arg_count("schema", *schema));
    error.args.push_back(arg_count("known", known));
    return error;
  }
  return FileIdentity{.empty = false, .schema = *schema};
}

Result<void> migrate(Connection& connection, std::span<const EmbeddedFile> migrations) {
  const auto known = static_cast<std::int64_t>(migrations.size());
  const auto now = identify(connection, known);
  if (!now) return now.error();
  // The usual start: nothing to do, so no lock is taken.
  if (!now->empty && now->schema == known) return check_recorded(connection, migrations);

  auto tx = Transaction::begin(connection, Transaction::Mode::write);
  if (!tx) return tx.error();
  // Once more under the lock: another program may have been faster.
  const auto identity = identify(connection, known);
  if (!identity) return identity.error();
  if (auto done = connection.run(sql_record_table); !done) return done;
  if (auto same = check_recorded(connection, migrations); !same) return same;
  for (std::int64_t number = identity->schema + 1; number <= known; ++number) {
    const auto& migration = migrations[static_cast<std::size_t>(number - 1)];
    if (auto done = run_one(connection, number, migration); !done) return done;
  }
  const auto orphans = connection.number("SELECT count(*) FROM pragma_foreign_key_check");
  if (!orphans) return orphans.error();
  if (*orphans != 0) return connection.error(Kind::unavailable, codes::file_damaged);
  if (auto done = set_number(connection, "application_id", application_id); !done) return done;
  if (auto done = set_number(connection, "user_version", known); !done) return done;
  return tx->commit();
}

Result<void> check_schema(Connection& connection, std::span<const EmbeddedFile> migrations,
                          std::int64_t number) {
  const auto ours = schema_after(migrations.first(static_cast<std::size_t>(number)));
  if (!ours) return ours.error();
  const auto theirs = schema_of(connection);
  if (!theirs) return theirs.error();
  std::vector<Schema::value_type> other;
  std::ranges::set_symmetric_difference(*ours, *theirs, std::back_inserter(other));
  if (other.empty()) return {};
  auto error = connection.error(Kind::refused, codes::schema_changed);
  error.args.push_back(arg_text("what", other.front().first));
  return error;
}

Result<std::string> schema_dump(Connection& connection) {
  std::string out;
  auto rows = connection.query(sql_schema);
  for (;;) {
    auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out += rows.text(0);
    out += ";\n";
  }
}

}  // namespace penstock::store
