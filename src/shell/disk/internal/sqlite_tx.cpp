#include "shell/disk/internal/sqlite_tx.hpp"

#include <algorithm>

namespace penstock::store {
namespace {

// A journal's end stands beside it in a setting. Up to the number in 'journals/ends' each has one.
constexpr char sql_journal[] =
    "SELECT id, subject, version, head, read_only, "
    "coalesce((SELECT value FROM setting WHERE name = 'journals/end/' || lower(hex(id))), "
    "CASE WHEN no <= (SELECT CAST(value AS INTEGER) FROM setting WHERE name = "
    "'journals/ends') THEN '' END) "
    "FROM journal WHERE id = :journal";
constexpr char sql_journals[] =
    "SELECT id, subject, version, head, read_only, "
    "coalesce((SELECT value FROM setting WHERE name = 'journals/end/' || lower(hex(id))), "
    "CASE WHEN no <= (SELECT CAST(value AS INTEGER) FROM setting WHERE name = "
    "'journals/ends') THEN '' END) "
    "FROM journal ORDER BY no";
constexpr char sql_ends_noted[] =
    "SELECT count(*) FROM setting WHERE name = 'journals/ends' "
    "AND value = CAST((SELECT coalesce(max(no), 0) FROM journal) AS TEXT)";
// Not of one whose row in the lists was written after more entries than there are: it was cut short
// before its end was kept.
constexpr char sql_without_end[] =
    "SELECT j.id, j.subject, j.version, j.head, j.read_only, NULL "
    "FROM journal j LEFT JOIN summary s ON s.journal_no = j.no "
    "WHERE j.no > coalesce((SELECT CAST(value AS INTEGER) FROM setting WHERE name = "
    "'journals/ends'), 0) AND coalesce(s.journal_version, 0) <= j.version AND NOT EXISTS "
    "(SELECT 1 FROM setting WHERE name = 'journals/end/' || lower(hex(j.id)))";
constexpr char sql_note_next_end[] =
    "UPDATE setting SET value = (SELECT max(no) FROM journal) WHERE name = 'journals/ends' "
    "AND CAST(value AS INTEGER) >= (SELECT coalesce(max(no), 0) FROM journal "
    "WHERE no < (SELECT max(no) FROM journal))";
constexpr char sql_note_ends[] =
    "INSERT INTO setting (name, value) SELECT 'journals/ends', coalesce(max(no), 0) FROM journal "
    "WHERE true ON CONFLICT (name) DO UPDATE SET value = excluded.value";
// Journals are only added: their numbers go up to the last one that was given, and have no gap but
// those that were there when a program first looked.
// Where one of the two is no number any more, somebody wrote it.
constexpr char sql_missing[] =
    "WITH said AS (SELECT name, value, CAST(value AS INTEGER) AS number FROM setting "
    "WHERE name IN ('journals/gaps', 'journals/last')) SELECT "
    "(SELECT count(*) FROM said WHERE CAST(number AS TEXT) <> CAST(value AS TEXT)) + "
    "abs(max(coalesce(max(no), 0), "
    "coalesce((SELECT number FROM said WHERE name = 'journals/last'), 0)) - count(*) - "
    "(SELECT number FROM said WHERE name = 'journals/gaps')) FROM journal";
constexpr char sql_load[] =
    "SELECT position, fact, type, type_version, recorded, digest, hash, bytes FROM entry "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND position >= :from "
    "ORDER BY position";
constexpr char sql_hash[] =
    "SELECT hash FROM entry "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND position = :position";
constexpr char sql_entries[] =
    "SELECT position, fact, type, type_version, recorded, digest, hash FROM entry "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND position >= :from "
    "ORDER BY position";
constexpr char sql_walk[] =
    "SELECT position, fact, type, type_version, recorded, digest, hash, bytes FROM entry "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) ORDER BY position";
constexpr char sql_last_two[] =
    "SELECT position, fact, type, type_version, recorded, digest, hash, bytes FROM entry "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) "
    "AND position >= (SELECT version FROM journal WHERE id = :journal) - 1 ORDER BY position";
// The last two of everybody, and whatever stands beyond the version.
constexpr char sql_last_two_of_all[] =
    "SELECT e.position, e.fact, e.type, e.type_version, e.recorded, e.digest, e.hash, e.bytes, "
    "j.id, j.subject, j.version, j.head, j.read_only, "
    "coalesce((SELECT value FROM setting WHERE name = 'journals/end/' || lower(hex(j.id))), "
    "CASE WHEN j.no <= (SELECT CAST(value AS INTEGER) FROM setting WHERE name = "
    "'journals/ends') THEN '' END) "
    "FROM journal j "
    "LEFT JOIN entry e ON e.journal_no = j.no AND e.position >= j.version - 1 "
    "ORDER BY j.no, e.position";
constexpr char sql_known[] =
    "SELECT j.id, e.position, e.digest, e.bytes IS NULL, e.type, e.type_version "
    "FROM entry e JOIN journal j ON j.no = e.journal_no WHERE e.fact = :fact";
// No number is given twice: a journal that was taken out leaves its own free, the last one too.
constexpr char sql_create[] =
    "INSERT INTO journal (no, id, subject) SELECT 1 + max(coalesce(max(no), 0), coalesce((SELECT "
    "CAST(value AS INTEGER) FROM setting WHERE name = 'journals/last'), 0)), :journal, :subject "
    "FROM journal";
constexpr char sql_note_last[] =
    "INSERT INTO setting (name, value) SELECT 'journals/last', max(no) FROM journal WHERE true "
    "ON CONFLICT (name) DO UPDATE SET value = excluded.value";
constexpr char sql_insert[] =
    "INSERT INTO entry (journal_no, position, fact, type, type_version, recorded, digest, hash, "
    "bytes) VALUES ((SELECT no FROM journal WHERE id = :journal), :position, :fact, :type, "
    ":type_version, :recorded, :digest, :hash, :bytes)";
constexpr char sql_set_head[] =
    "UPDATE journal SET version = :version, head = :head WHERE id = :journal";
constexpr char sql_erase[] = "UPDATE entry SET bytes = NULL WHERE fact = :fact";
constexpr char sql_stamp_row[] =
    "UPDATE summary SET stamp = (SELECT number FROM summary_stamp) "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal)";
constexpr char sql_mark[] =
    "UPDATE journal SET read_only = :because WHERE id = :journal AND read_only = ''";
constexpr char sql_unmark[] = "UPDATE journal SET read_only = '' WHERE id = :journal";

constexpr char sql_summary[] =
    "SELECT j.id, s.journal_version, s.fold_version, s.search_key, s.next_change, s.bytes, "
    "j.read_only "
    "FROM journal j JOIN summary s ON s.journal_no = j.no WHERE j.id = :journal";
constexpr char sql_summaries_by_key[] =
    "SELECT j.id, s.journal_version, s.fold_version, s.search_key, s.next_change, s.bytes, "
    "j.read_only "
    "FROM summary s JOIN journal j ON j.no = s.journal_no "
    "WHERE (:subject IS NULL OR j.subject = :subject) "
    "AND (:not_after IS NULL OR s.next_change <= :not_after) "
    "ORDER BY s.search_key, j.id";
constexpr char sql_summaries_by_change[] =
    "SELECT j.id, s.journal_version, s.fold_version, s.search_key, s.next_change, s.bytes, "
    "j.read_only "
    "FROM summary s JOIN journal j ON j.no = s.journal_no "
    "WHERE (:subject IS NULL OR j.subject = :subject) "
    "AND (:not_after IS NULL OR s.next_change <= :not_after) "
    "ORDER BY s.next_change IS NULL, s.next_change, s.search_key, j.id";
constexpr char sql_changed[] =
    "SELECT j.id, s.journal_version, s.fold_version, s.search_key, s.next_change, s.bytes, "
    "j.read_only "
    "FROM summary s JOIN journal j ON j.no = s.journal_no WHERE s.stamp > :seen ORDER BY s.stamp";
constexpr char sql_stamp[] = "SELECT origin, number FROM summary_stamp";
constexpr char sql_next_stamp[] = "UPDATE summary_stamp SET number = number + 1";
// An odd number is never the 0 that stands for "nothing was read".
constexpr char sql_new_origin[] = "UPDATE summary_stamp SET origin = random() | 1";
constexpr char sql_put_summary[] =
    "INSERT INTO summary (journal_no, journal_version, fold_version, search_key, next_change, "
    "bytes, stamp) VALUES ((SELECT no FROM journal WHERE id = :journal), :journal_version, "
    ":fold_version, :search_key, :next_change, :bytes, (SELECT number FROM summary_stamp)) "
    "ON CONFLICT (journal_no) DO UPDATE SET journal_version = excluded.journal_version, "
    "fold_version = excluded.fold_version, search_key = excluded.search_key, "
    "next_change = excluded.next_change, bytes = excluded.bytes, stamp = excluded.stamp";
constexpr char sql_drop_summaries[] = "DELETE FROM summary";

constexpr char sql_tags[] =
    "SELECT tag FROM journal_tag WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) "
    "ORDER BY tag";
constexpr char sql_tagged[] =
    "SELECT j.id FROM journal_tag t JOIN journal j ON j.no = t.journal_no WHERE t.tag = :tag "
    "ORDER BY j.id";
constexpr char sql_put_tag[] =
    "INSERT INTO journal_tag (tag, journal_no) "
    "VALUES (:tag, (SELECT no FROM journal WHERE id = :journal))";
constexpr char sql_drop_tag[] =
    "DELETE FROM journal_tag "
    "WHERE tag = :tag AND journal_no = (SELECT no FROM journal WHERE id = :journal)";
constexpr char sql_drop_tags[] = "DELETE FROM journal_tag";

constexpr char sql_setting[] = "SELECT value FROM setting WHERE name = :name";
constexpr char sql_settings[] =
    "SELECT value FROM setting WHERE name >= :from AND name < :to ORDER BY name";
constexpr char sql_put_setting[] =
    "INSERT INTO setting (name, value) VALUES (:name, :value) "
    "ON CONFLICT (name) DO UPDATE SET value = excluded.value";
constexpr char sql_drop_setting[] = "DELETE FROM setting WHERE name = :name";

constexpr char sql_blob[] =
    "SELECT digest, media, size, bytes IS NULL, bytes FROM blob "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND digest = :digest";
constexpr char sql_blobs[] =
    "SELECT digest, media, size, bytes IS NULL FROM blob "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) ORDER BY digest";
constexpr char sql_walk_blobs[] = "SELECT digest, bytes FROM blob ORDER BY no";
constexpr char sql_put_blob[] =
    "INSERT INTO blob (journal_no, digest, media, size, bytes) "
    "VALUES ((SELECT no FROM journal WHERE id = :journal), :digest, :media, :size, :bytes) "
    "ON CONFLICT (journal_no, digest) DO UPDATE SET media = excluded.media, size = excluded.size, "
    "bytes = excluded.bytes";
constexpr char sql_erase_blob[] =
    "UPDATE blob SET bytes = NULL "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND digest = :digest";

constexpr char sql_block[] =
    "SELECT kind, day, version, digest, bytes FROM journal_block "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND kind = :kind "
    "AND day = :day";
constexpr char sql_blocks[] =
    "SELECT kind, day, version, digest, bytes FROM journal_block "
    "WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) AND kind = :kind "
    "AND day BETWEEN :from AND :to ORDER BY day";
constexpr char sql_walk_blocks[] = "SELECT digest, bytes FROM journal_block";
constexpr char sql_put_block[] =
    "INSERT INTO journal_block (journal_no, kind, day, version, digest, bytes) "
    "VALUES ((SELECT no FROM journal WHERE id = :journal), :kind, :day, :version, :digest, :bytes) "
    "ON CONFLICT (journal_no, kind, day) DO UPDATE SET version = excluded.version, "
    "digest = excluded.digest, bytes = excluded.bytes";
constexpr char sql_erase_block[] =
    "DELETE FROM journal_block WHERE journal_no = (SELECT no FROM journal WHERE id = :journal) "
    "AND kind = :kind AND day = :day";

std::int64_t day_number(LocalDay day) { return day.time_since_epoch().count(); }
std::int64_t seconds(Instant at) { return at.time_since_epoch().count(); }
Instant instant(std::int64_t value) { return Instant{std::chrono::seconds{value}}; }
/// SQLite counts in 63 bits; no journal gets there.
std::int64_t position_number(std::uint64_t position) {
  return static_cast<std::int64_t>(std::min<std::uint64_t>(position, INT64_MAX));
}

/// Columns id, subject, version, head, read_only, kept end.
JournalInfo journal_row(const Query& row, int first = 0) {
  JournalInfo info{row.id(first), static_cast<Subject>(row.number(first + 1)),
                   static_cast<std::uint64_t>(row.number(first + 2)), row.digest(first + 3),
                   std::string(row.text(first + 4))};
  if (!row.is_null(first + 5)) info.kept_end.emplace(row.text(first + 5));
  return info;
}

std::string name_of_end(Id journal) { return "journals/end/" + to_text(journal); }

/// Columns kind, day, version, digest, bytes.
Block block_row(const Query& row) {
  const auto bytes = row.blob(4);
  return {{static_cast<std::uint16_t>(row.number(0)),
           LocalDay{std::chrono::days{static_cast<int>(row.number(1))}}},
          static_cast<std::uint64_t>(row.number(2)),
          row.digest(3),
          {bytes.begin(), bytes.end()}};
}
Result<Block> sound(Block block) {
  if (sha256(block.bytes) != block.digest) return block_damaged(block.key.day);
  return block;
}

/// Columns position, fact, type, type_version, recorded, digest, hash.
Entry entry_row(const Query& row, Id journal) {
  return {.journal = journal,
          .position = static_cast<std::uint64_t>(row.number(0)),
          .fact = row.id(1),
          .fact_digest = row.digest(5),
          .type = static_cast<std::uint16_t>(row.number(2)),
          .type_version = static_cast<std::uint16_t>(row.number(3)),
          .recorded = instant(row.number(4)),
          .previous = {},
          .hash = row.digest(6)};
}

Summary summary_row(const Query& row) {
  const auto bytes = row.blob(5);
  return {.journal = row.id(0),
          .journal_version = static_cast<std::uint64_t>(row.number(1)),
          .fold_version = static_cast<std::uint32_t>(row.number(2)),
          .search_key = std::string(row.text(3)),
          .next_change = row.is_null(4) ? std::nullopt : std::optional(instant(row.number(4))),
          .bytes = {bytes.begin(), bytes.end()},
          .read_only_because = std::string(row.text(6))};
}

/// Columns digest, media, size, whether erased.
BlobInfo blob_row(const Query& row) {
  return {row.digest(0), std::string(row.text(1)), static_cast<std::uint64_t>(row.number(2)),
          row.number(3) != 0};
}

bool is_damage(const Error& error) { return error.code == codes::file_damaged; }

}  // namespace

// ---- reads

Result<std::optional<JournalInfo>> sqlite_journal(Connection& db, Id journal) {
  auto rows = db.query(sql_journal);
  const auto row = rows.bind(":journal", journal).step();
  if (!row) return row.error();
  if (!*row) return std::optional<JournalInfo>{};
  return std::optional(journal_row(rows));
}

Result<std::vector<JournalInfo>> sqlite_journals(Connection& db) {
  std::vector<JournalInfo> out;
  auto rows = db.query(sql_journals);
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.push_back(journal_row(rows));
  }
}

Result<std::uint64_t> sqlite_journals_missing(Connection& db) {
  const auto missing = db.number(sql_missing);
  if (!missing) return missing.error();
  return static_cast<std::uint64_t>(*missing);
}

namespace {

/// Sees a journal's entries from a position on; beyond the last there is none to see.
Result<ChainWalker> walker_from(Connection& db, const JournalInfo& info, std::uint64_t from) {
  if (from <= 1) return ChainWalker(info);
  if (from > info.version) return ChainWalker(info, info.version, info.head);
  auto rows = db.query(sql_hash);
  const auto row =
      rows.bind(":journal", info.journal).bind(":position", position_number(from - 1)).step();
  if (!row && !is_damage(row.error())) return row.error();
  return ChainWalker(info, from - 1, row && *row ? rows.digest(0) : Digest{});
}

}  // namespace

Result<Facts> sqlite_load(Connection& db, Id journal, std::uint64_t from_position) {
  const auto info = sqlite_journal(db, journal);
  if (!info) return info.error();
  if (!*info) return no_journal(journal);
  Facts facts;
  const auto version = (*info)->version;
  if (from_position <= version) {
    constexpr std::size_t usual_bytes =
        256;  // a guess that spares most of the growing; any size works
    // A damaged version must not ask for more memory than there is.
    const auto count = std::min<std::uint64_t>(version - from_position + 1, 1'000'000);
    facts.reserve(static_cast<std::size_t>(count), static_cast<std::size_t>(count) * usual_bytes);
  }
  auto walker = walker_from(db, **info, from_position);
  if (!walker) return walker.error();
  auto rows = db.query(sql_load);
  rows.bind(":journal", journal).bind(":from", position_number(from_position));
  for (;;) {
    const auto row = rows.step();
    if (!row && !is_damage(row.error())) return row.error();
    if (!row) walker->unreadable();
    if (!row || !*row) break;
    const auto entry = entry_row(rows, journal);
    const bool erased = rows.is_null(7);
    const auto bytes = rows.blob(7);
    walker->see(entry, erased ? std::nullopt : std::optional(bytes));
    facts.add({.fact = entry.fact,
               .position = entry.position,
               .type = entry.type,
               .type_version = entry.type_version,
               .recorded = entry.recorded,
               .digest = entry.fact_digest,
               .erased = erased,
               .bytes = {}},
              bytes);
  }
  if (const auto fault = walker->finish()) return journal_damaged(*fault);
  facts.seal();
  return facts;
}

Result<std::vector<Entry>> sqlite_entries(Connection& db, Id journal, std::uint64_t from_position) {
  const auto info = sqlite_journal(db, journal);
  if (!info) return info.error();
  if (!*info) return no_journal(journal);
  std::vector<Entry> out;
  Digest previous{};
  // One entry earlier, for the hash that the first one follows.
  const auto from = from_position > 1 ? from_position - 1 : 1;
  auto rows = db.query(sql_entries);
  rows.bind(":journal", journal).bind(":from", position_number(from));
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    auto entry = entry_row(rows, journal);
    entry.previous = std::exchange(previous, entry.hash);
    if (entry.position >= from_position) out.push_back(entry);
  }
}

Result<std::optional<KnownFact>> sqlite_known(Connection& db, Id fact) {
  auto rows = db.query(sql_known);
  const auto row = rows.bind(":fact", fact).step();
  if (!row) return row.error();
  if (!*row) return std::optional<KnownFact>{};
  return std::optional(KnownFact{
      {rows.id(0), static_cast<std::uint64_t>(rows.number(1)), rows.digest(2), rows.number(3) != 0},
      static_cast<std::uint16_t>(rows.number(4)),
      static_cast<std::uint16_t>(rows.number(5))});
}

Result<std::optional<Summary>> sqlite_summary(Connection& db, Id journal) {
  auto rows = db.query(sql_summary);
  const auto row = rows.bind(":journal", journal).step();
  if (!row) return row.error();
  if (!*row) return std::optional<Summary>{};
  return std::optional(summary_row(rows));
}

Result<std::vector<Summary>> sqlite_summaries(Connection& db, const SummaryQuery& query) {
  std::vector<Summary> out;
  auto rows = db.query(query.order == SummaryOrder::by_key ? sql_summaries_by_key
                                                           : sql_summaries_by_change);
  if (query.subject) {
    rows.bind(":subject", static_cast<std::int64_t>(*query.subject));
  } else {
    rows.bind_null(":subject");
  }
  if (query.changes_not_after) {
    rows.bind(":not_after", seconds(*query.changes_not_after));
  } else {
    rows.bind_null(":not_after");
  }
  while (out.size() < query.most) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) break;
    // Here and not in SQL: the same test for every backend, and a clinic's few thousand keys are
    // read in a millisecond.
    const auto key = rows.text(3);
    const bool wanted = std::all_of(
        query.contains.begin(), query.contains.end(),
        [&](const std::string& part) { return key.find(part) != std::string_view::npos; });
    if (wanted) out.push_back(summary_row(rows));
  }
  return out;
}

Result<SummaryChanges> sqlite_changed_since(Connection& db, const Stamp& seen) {
  SummaryChanges out;
  {
    auto stamp = db.query(sql_stamp);
    const auto row = stamp.step();
    if (!row) return row.error();
    if (*row) {
      out.now = {static_cast<std::uint64_t>(stamp.number(0)),
                 static_cast<std::uint64_t>(stamp.number(1))};
    }
  }
  // A number beyond ours was read from another file with the same origin: an older copy came back.
  out.whole = seen.origin != out.now.origin || seen.number > out.now.number;
  if (!out.whole && seen.number == out.now.number) return out;
  auto rows = db.query(sql_changed);
  // Rows from before there were stamps have 0.
  rows.bind(":seen", out.whole ? -1 : position_number(seen.number));
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.rows.push_back(summary_row(rows));
  }
}

Result<std::vector<std::string>> sqlite_tags(Connection& db, Id journal) {
  std::vector<std::string> out;
  auto rows = db.query(sql_tags);
  rows.bind(":journal", journal);
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.emplace_back(rows.text(0));
  }
}

Result<std::vector<Id>> sqlite_tagged(Connection& db, std::string_view tag) {
  std::vector<Id> out;
  auto rows = db.query(sql_tagged);
  rows.bind(":tag", tag);
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.push_back(rows.id(0));
  }
}

Result<std::optional<std::string>> sqlite_setting(Connection& db, std::string_view name) {
  auto rows = db.query(sql_setting);
  const auto row = rows.bind(":name", name).step();
  if (!row) return row.error();
  if (!*row) return std::optional<std::string>{};
  return std::optional(std::string(rows.text(0)));
}

Result<std::vector<std::string>> sqlite_settings(Connection& db, std::string_view beginning) {
  INVARIANT(!beginning.empty());
  std::vector<std::string> out;
  std::string to(beginning);
  ++to.back();
  auto rows = db.query(sql_settings);
  rows.bind(":from", beginning).bind(":to", std::string_view(to));
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.emplace_back(rows.text(0));
  }
}

Result<std::optional<Blob>> sqlite_blob(Connection& db, Id journal, const Digest& digest) {
  auto rows = db.query(sql_blob);
  const auto row =
      rows.bind(":journal", journal).bind(":digest", std::span<const std::uint8_t>(digest)).step();
  if (!row) return row.error();
  if (!*row) return std::optional<Blob>{};
  Blob blob{blob_row(rows), {}};
  if (blob.info.erased) return std::optional(std::move(blob));
  const auto bytes = rows.blob(4);
  if (sha256(bytes) != digest) return blob_damaged(digest);
  blob.bytes.assign(bytes.begin(), bytes.end());
  return std::optional(std::move(blob));
}

Result<std::vector<BlobInfo>> sqlite_blobs(Connection& db, Id journal) {
  std::vector<BlobInfo> out;
  auto rows = db.query(sql_blobs);
  rows.bind(":journal", journal);
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    out.push_back(blob_row(rows));
  }
}

Result<std::optional<Block>> sqlite_block(Connection& db, Id journal, BlockKey key) {
  auto rows = db.query(sql_block);
  const auto row = rows.bind(":journal", journal)
                       .bind(":kind", std::int64_t{key.kind})
                       .bind(":day", day_number(key.day))
                       .step();
  if (!row) return row.error();
  if (!*row) return std::optional<Block>{};
  auto block = sound(block_row(rows));
  if (!block) return block.error();
  return std::optional(*std::move(block));
}

Result<std::vector<Block>> sqlite_blocks(Connection& db, Id journal, std::uint16_t kind,
                                         LocalDay from, LocalDay to) {
  std::vector<Block> out;
  auto rows = db.query(sql_blocks);
  rows.bind(":journal", journal)
      .bind(":kind", std::int64_t{kind})
      .bind(":from", day_number(from))
      .bind(":to", day_number(to));
  for (;;) {
    const auto row = rows.step();
    if (!row) return row.error();
    if (!*row) return out;
    auto block = sound(block_row(rows));
    if (!block) return block.error();
    out.push_back(*std::move(block));
  }
}

Result<void> sqlite_walk_blocks(Connection& db, VerifyReport& report) {
  auto rows = db.query(sql_walk_blocks);
  for (;;) {
    const auto row = rows.step();
    if (!row && !is_damage(row.error())) return row.error();
    if (!row) {
      ++report.blocks_damaged;
      return {};
    }
    if (!*row) return {};
    see_block(report, rows.digest(0), rows.blob(1));
  }
}

Result<void> sqlite_walk_blobs(Connection& db, VerifyReport& report) {
  auto rows = db.query(sql_walk_blobs);
  for (;;) {
    const auto row = rows.step();
    if (!row && !is_damage(row.error())) return row.error();
    if (!row) {
      ++report.blobs_damaged;
      return {};
    }
    if (!*row) return {};
    see_blob(report, rows.digest(0), rows.is_null(1) ? std::nullopt : std::optional(rows.blob(1)));
  }
}

Result<void> sqlite_walk(Connection& db, Id journal, ChainWalker& walker,
                         const std::function<void()>& each_entry) {
  auto rows = db.query(sql_walk);
  rows.bind(":journal", journal);
  for (;;) {
    const auto row = rows.step();
    if (!row && !is_damage(row.error())) return row.error();
    if (!row) {
      walker.unreadable();
      return {};
    }
    if (!*row) return {};
    walker.see(entry_row(rows, journal),
               rows.is_null(7) ? std::nullopt : std::optional(rows.blob(7)));
    each_entry();
  }
}

namespace {

/// What is known of a journal's end while its last entries come by, in the order of positions.
struct Ending {
  JournalInfo info;
  std::optional<LastEntry> last;

  /// Columns as entry_row's, then the bytes.
  void see(const Query& row) {
    auto entry = entry_row(row, info.journal);
    if (last) entry.previous = last->entry.hash;
    last = LastEntry{entry, std::nullopt};
    if (row.is_null(7)) return;
    const auto bytes = row.blob(7);
    last->bytes.emplace(bytes.begin(), bytes.end());
  }
  void report(VerifyReport& report) const {
    report.journals.push_back(info);
    if (info.version > 0) ++report.entries;
    auto fault = check_head(info, last ? last->entry.position : 0, last);
    if (fault) report.faults.push_back(*std::move(fault));
  }
};

/// False: the file could not be read to its end.
Result<bool> check_all_heads(Connection& db, VerifyReport& report) {
  std::optional<Ending> ending;
  auto rows = db.query(sql_last_two_of_all);
  for (;;) {
    const auto row = rows.step();
    if (!row && !is_damage(row.error())) return row.error();
    if (!row) return false;
    const auto info = *row ? journal_row(rows, 8) : JournalInfo{};
    if (ending && (!*row || ending->info.journal != info.journal)) {
      ending->report(report);
      ending.reset();
    }
    if (!*row) return true;
    if (!ending) ending = Ending{info, std::nullopt};
    if (!rows.is_null(0)) ending->see(rows);
  }
}

/// One by one, so that the damaged ones are named and the others go on.
Result<void> check_each_head(Connection& db, const JournalInfo& info, VerifyReport& report) {
  Ending ending{info, std::nullopt};
  auto rows = db.query(sql_last_two);
  rows.bind(":journal", info.journal);
  for (;;) {
    const auto row = rows.step();
    if (!row && !is_damage(row.error())) return row.error();
    if (!row) {
      report.journals.push_back(info);
      if (info.version > 0) ++report.entries;
      report.faults.push_back({info.journal, 0, std::string(codes::file_damaged), {}});
      return {};
    }
    if (!*row) break;
    ending.see(rows);
  }
  ending.report(report);
  return {};
}

}  // namespace

Result<void> sqlite_check_heads(Connection& db, VerifyReport& report) {
  const auto whole = check_all_heads(db, report);
  if (!whole) return whole.error();
  if (*whole) return {};
  const auto journals = sqlite_journals(db);
  if (!journals) return journals.error();
  report = {};
  for (const auto& info : *journals) {
    if (const auto checked = check_each_head(db, info, report); !checked) return checked;
  }
  return {};
}

// ---- writes

Result<void> sqlite_note_ends(Connection& db) {
  const auto noted = db.number(sql_ends_noted);
  if (!noted) return noted.error();
  if (*noted > 0) return {};
  auto tx = Transaction::begin(db, Transaction::Mode::write);
  if (!tx) return tx.error();
  std::vector<JournalInfo> without;
  {
    auto rows = db.query(sql_without_end);
    for (;;) {
      const auto row = rows.step();
      if (!row) return row.error();
      if (!*row) break;
      without.push_back(journal_row(rows));
    }
  }
  for (const auto& info : without) {
    auto put = db.query(sql_put_setting);
    const auto done =
        put.bind(":name", std::string_view(name_of_end(info.journal)))
            .bind(":value", std::string_view(end_to_keep(info.journal, info.version, info.head)))
            .run();
    if (!done) return done;
  }
  if (const auto done = db.query(sql_note_ends).run(); !done) return done;
  return tx->commit();
}

Result<void> SqliteWriteTx::create_journal(Id journal, Subject subject) {
  INVARIANT(!journal.is_nil());
  const auto there = sqlite_journal(db_, journal);
  if (!there) return there.error();
  if (*there) {
    if ((*there)->subject == subject) return {};
    return Error{Kind::refused,
                 std::string(codes::journal_other_subject),
                 {arg_text("journal", to_text(journal))},
                 {}};
  }
  if (auto made = db_.query(sql_create)
                      .bind(":journal", journal)
                      .bind(":subject", static_cast<std::int64_t>(subject))
                      .run();
      !made)
    return made;
  if (auto noted = db_.query(sql_note_last).run(); !noted) return noted;
  if (auto kept = put_setting(name_of_end(journal), end_to_keep(journal, 0, {})); !kept)
    return kept;
  return db_.query(sql_note_next_end).run();
}

Result<void> SqliteWriteTx::insert(const Entry& entry, std::span<const std::uint8_t> bytes) {
  return db_.query(sql_insert)
      .bind(":journal", entry.journal)
      .bind(":position", position_number(entry.position))
      .bind(":fact", entry.fact)
      .bind(":type", std::int64_t{entry.type})
      .bind(":type_version", std::int64_t{entry.type_version})
      .bind(":recorded", seconds(entry.recorded))
      .bind(":digest", std::span<const std::uint8_t>(entry.fact_digest))
      .bind(":hash", std::span<const std::uint8_t>(entry.hash))
      .bind(":bytes", bytes)
      .run();
}

Result<void> SqliteWriteTx::set_head(Id journal, std::uint64_t version, const Digest& head) {
  const auto set = db_.query(sql_set_head)
                       .bind(":journal", journal)
                       .bind(":version", position_number(version))
                       .bind(":head", std::span<const std::uint8_t>(head))
                       .run();
  return set ? put_setting(name_of_end(journal), end_to_keep(journal, version, head)) : set;
}

Result<void> SqliteWriteTx::erase_payload(Id fact) {
  const auto there = sqlite_known(db_, fact);
  if (!there) return there.error();
  if (!*there) return no_fact(fact);
  has_erased_ = true;
  return db_.query(sql_erase).bind(":fact", fact).run();
}

Result<void> SqliteWriteTx::insert_blob(Id journal, const BlobInfo& info,
                                        std::span<const std::uint8_t> bytes) {
  return db_.query(sql_put_blob)
      .bind(":journal", journal)
      .bind(":digest", std::span<const std::uint8_t>(info.digest))
      .bind(":media", std::string_view(info.media))
      .bind(":size", position_number(info.size))
      .bind(":bytes", bytes)
      .run();
}

Result<void> SqliteWriteTx::erase_blob(Id journal, const Digest& digest) {
  // A damaged one is erased like any other.
  const auto there = sqlite_blob(db_, journal, digest);
  if (!there && there.error().code != codes::blob_damaged) return there.error();
  if (there && !*there) return no_blob(digest);
  has_erased_ = true;
  return db_.query(sql_erase_blob)
      .bind(":journal", journal)
      .bind(":digest", std::span<const std::uint8_t>(digest))
      .run();
}

Result<void> SqliteWriteTx::erase_block(Id journal, BlockKey key) {
  has_erased_ = true;
  return db_.query(sql_erase_block)
      .bind(":journal", journal)
      .bind(":kind", std::int64_t{key.kind})
      .bind(":day", day_number(key.day))
      .run();
}

Result<std::optional<std::pair<std::uint64_t, Digest>>> SqliteWriteTx::block_at(Id journal,
                                                                                BlockKey key) {
  using At = std::pair<std::uint64_t, Digest>;
  auto rows = db_.query(sql_block);
  const auto row = rows.bind(":journal", journal)
                       .bind(":kind", std::int64_t{key.kind})
                       .bind(":day", day_number(key.day))
                       .step();
  if (!row) return row.error();
  if (!*row) return std::optional<At>{};
  return std::optional(At(static_cast<std::uint64_t>(rows.number(2)), rows.digest(3)));
}

Result<void> SqliteWriteTx::insert_block(Id journal, const Block& block) {
  return db_.query(sql_put_block)
      .bind(":journal", journal)
      .bind(":kind", std::int64_t{block.key.kind})
      .bind(":day", day_number(block.key.day))
      .bind(":version", position_number(block.version))
      .bind(":digest", std::span<const std::uint8_t>(block.digest))
      .bind(":bytes", std::span<const std::uint8_t>(block.bytes))
      .run();
}

Result<void> SqliteWriteTx::put_summary(const Summary& summary) {
  const auto there = sqlite_journal(db_, summary.journal);
  if (!there) return there.error();
  if (!*there) return no_journal(summary.journal);
  if (const auto counted = db_.query(sql_next_stamp).run(); !counted) return counted;
  auto put = db_.query(sql_put_summary);
  put.bind(":journal", summary.journal)
      .bind(":journal_version", position_number(summary.journal_version))
      .bind(":fold_version", std::int64_t{summary.fold_version})
      .bind(":search_key", std::string_view(summary.search_key))
      .bind(":bytes", std::span<const std::uint8_t>(summary.bytes));
  if (summary.next_change) {
    put.bind(":next_change", seconds(*summary.next_change));
  } else {
    put.bind_null(":next_change");
  }
  return put.run();
}

// Only the difference is written: nearly every append changes no tag.
Result<void> SqliteWriteTx::put_tags(Id journal, std::span<const std::string> tags) {
  const auto wanted = checked_tags(tags);
  if (!wanted) return wanted.error();
  const auto there = sqlite_journal(db_, journal);
  if (!there) return there.error();
  if (!*there) return no_journal(journal);
  const auto present = sqlite_tags(db_, journal);
  if (!present) return present.error();
  std::vector<std::string> gone, come;
  std::ranges::set_difference(*present, *wanted, std::back_inserter(gone));
  std::ranges::set_difference(*wanted, *present, std::back_inserter(come));
  for (const auto& [sql, changed] : {std::pair{sql_drop_tag, &gone}, {sql_put_tag, &come}}) {
    for (const auto& tag : *changed) {
      const auto done =
          db_.query(sql).bind(":tag", std::string_view(tag)).bind(":journal", journal).run();
      if (!done) return done;
    }
  }
  return {};
}

Result<void> SqliteWriteTx::drop_summaries() {
  if (auto dropped = db_.query(sql_drop_tags).run(); !dropped) return dropped;
  if (auto drawn = db_.query(sql_new_origin).run(); !drawn) return drawn;
  return db_.query(sql_drop_summaries).run();
}

Result<void> SqliteWriteTx::put_setting(std::string_view name, std::string_view value) {
  return db_.query(sql_put_setting).bind(":name", name).bind(":value", value).run();
}

Result<void> SqliteWriteTx::drop_setting(std::string_view name) {
  return db_.query(sql_drop_setting).bind(":name", name).run();
}

Result<void> SqliteWriteTx::make_read_only(Id journal, std::string_view because) {
  INVARIANT(!because.empty());
  const auto there = sqlite_journal(db_, journal);
  if (!there) return there.error();
  if (!*there) return no_journal(journal);
  const auto marked = db_.query(sql_mark).bind(":journal", journal).bind(":because", because).run();
  return marked ? stamp(journal) : marked;
}

Result<void> SqliteWriteTx::make_writable(Id journal) {
  const auto there = sqlite_journal(db_, journal);
  if (!there) return there.error();
  if (!*there) return no_journal(journal);
  const auto lifted = db_.query(sql_unmark).bind(":journal", journal).run();
  return lifted ? stamp(journal) : lifted;
}

// A list shows a marked journal in another way: its row counts as changed.
Result<void> SqliteWriteTx::stamp(Id journal) {
  if (const auto counted = db_.query(sql_next_stamp).run(); !counted) return counted;
  return db_.query(sql_stamp_row).bind(":journal", journal).run();
}

}  // namespace penstock::store
