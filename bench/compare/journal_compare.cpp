// How does the fold compare with the same account kept in SQL queries (SQLite) and in a data-frame
// script (pandas)?
//
// One run, one generated journal, three accounts; their balances must be the same to the hundredth,
// or there is no figure. The ledger's time is that of reading the corrections and the whole fold
// (pens, needles, marks and stock too), from packed bytes, as a page has it; the others work out
// the balances alone, from a table that is in memory already. The SQL table is one that somebody
// would make who wants it quick: identities as 16 bytes, kinds as numbers, an index that covers
// what the windows need. Each is the best of three.
//   journal_compare [FACTS]        needs python3 with pandas for the third; without it, two
#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>
#include <string>
#include <vector>

#include "core/ledger/ledger.hpp"
#include "edge/wire/fact_codec.hpp"
#include "support/random_journal.hpp"

namespace penstock {
namespace {

/// Seconds of processor time, so that other work on the machine favours nobody.
double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

/// One fact as the two others see it.
struct Row {
  std::string kind, cartridge;
  std::int64_t units = 0;
};
Row row_of(const journal::Payload& payload) {
  if (const auto* p = std::get_if<journal::CartridgeLoaded>(&payload))
    return {"loaded", to_text(p->cartridge), p->units.hundredths()};
  if (const auto* p = std::get_if<journal::Primed>(&payload))
    return {"primed", to_text(p->cartridge), p->units.hundredths()};
  if (const auto* p = std::get_if<journal::Injected>(&payload))
    return {"injected", to_text(p->cartridge), p->units.hundredths()};
  if (const auto* p = std::get_if<journal::ThrownAway>(&payload))
    return {"thrown", to_text(p->cartridge), 0};
  if (std::holds_alternative<journal::Correction>(payload)) return {"correction", "", 0};
  return {"other", "", 0};
}

constexpr const char* columns =
    "id,happened,source,sequence,recorded,kind,cartridge,units,target,"
    "replaced_kind,replaced_happened,replaced_sequence,replaced_cartridge,replaced_units";

std::vector<std::string> cells_of(const journal::Fact& fact) {
  const auto seconds = [](Instant at) { return std::to_string(at.time_since_epoch().count()); };
  const Row row = row_of(fact.payload);
  std::vector<std::string> cells{to_text(fact.id),
                                 seconds(fact.happened.at),
                                 fact.source,
                                 std::to_string(fact.sequence),
                                 seconds(fact.recorded),
                                 row.kind,
                                 row.cartridge,
                                 std::to_string(row.units)};
  const auto* correction = std::get_if<journal::Correction>(&fact.payload);
  cells.push_back(correction ? to_text(correction->target) : "");
  if (correction && correction->replacement) {
    const Row instead = row_of(correction->replacement->payload);
    const auto& r = *correction->replacement;
    for (auto& cell : {instead.kind, seconds(r.happened.at), std::to_string(r.sequence),
                       instead.cartridge, std::to_string(instead.units)}) {
      cells.push_back(cell);
    }
  } else {
    cells.resize(14);
  }
  return cells;
}

std::string lines_of(const ledger::Ledger& ledger) {
  std::vector<std::string> lines;
  for (const auto& c : ledger.cartridges) {
    std::string line = to_text(c.id);
    for (const Units units :
         {c.loaded, c.unexplained, c.injected, c.primed, c.thrown_away, c.left}) {
      line += " " + std::to_string(units.hundredths());
    }
    lines.push_back(line + "\n");
  }
  std::ranges::sort(lines);
  std::string all;
  for (const auto& line : lines) all += line;
  return all;
}

struct Account {
  double seconds = 0;
  std::string lines;
};

constexpr int runs = 3;

/// With `packed` the facts are unpacked first.
Account by_fold(const std::vector<journal::Fact>& facts,
                const std::vector<std::vector<std::uint8_t>>& packed) {
  Account best{1e9, ""};
  for (int i = 0; i < runs; ++i) {
    const double began = processor_seconds();
    std::vector<journal::Fact> unpacked;
    unpacked.reserve(packed.size());
    for (std::size_t n = 0; n < packed.size(); ++n) {
      auto fact = wire::decode(packed[n], facts[n].recorded);
      if (fact) unpacked.push_back(*std::move(fact));
    }
    const auto history = journal::read(packed.empty() ? facts : unpacked);
    const auto ledger = ledger::fold(history);
    best.seconds = std::min(best.seconds, processor_seconds() - began);
    best.lines = lines_of(ledger);
  }
  return best;
}

void check(int code, sqlite3* db) {
  if (code == SQLITE_OK || code == SQLITE_DONE || code == SQLITE_ROW) return;
  std::cerr << sqlite3_errmsg(db) << "\n";
  std::exit(1);
}

/// The kinds as account.sql numbers them.
std::int64_t number_of_kind(std::string_view kind) {
  constexpr std::array<std::string_view, 6> kinds{"other",    "loaded", "primed",
                                                  "injected", "thrown", "correction"};
  return std::ranges::find(kinds, kind) - kinds.begin();
}

std::string bytes_of(std::string_view hex) {
  std::string out;
  for (std::size_t i = 0; i + 1 < hex.size(); i += 2)
    out += static_cast<char>(std::stoi(std::string(hex.substr(i, 2)), nullptr, 16));
  return out;
}

/// A cell by what its column holds: i an identity, k a kind, t a text, n a number.
void bind(sqlite3_stmt* insert, int at, const std::string& cell) {
  constexpr std::string_view columns_hold = "intnnkiniknnin";
  const char holds = columns_hold[static_cast<std::size_t>(at - 1)];
  if (cell.empty()) {
    sqlite3_bind_null(insert, at);
  } else if (holds == 'i') {
    const auto bytes = bytes_of(cell);
    sqlite3_bind_blob(insert, at, bytes.data(), static_cast<int>(bytes.size()), SQLITE_TRANSIENT);
  } else if (holds == 'k') {
    sqlite3_bind_int64(insert, at, number_of_kind(cell));
  } else if (holds == 't') {
    sqlite3_bind_text(insert, at, cell.c_str(), -1, SQLITE_TRANSIENT);
  } else {
    sqlite3_bind_int64(insert, at, std::strtoll(cell.c_str(), nullptr, 10));
  }
}

void fill(sqlite3* db, const std::vector<journal::Fact>& facts) {
  check(sqlite3_exec(db,
                     "CREATE TABLE facts (id BLOB PRIMARY KEY, happened INT, source TEXT, "
                     "sequence INT, recorded INT, kind INT, cartridge BLOB, units INT, "
                     "target BLOB, replaced_kind INT, replaced_happened INT, "
                     "replaced_sequence INT, replaced_cartridge BLOB, replaced_units INT) "
                     "WITHOUT ROWID; BEGIN",
                     nullptr, nullptr, nullptr),
        db);
  sqlite3_stmt* insert = nullptr;
  check(sqlite3_prepare_v2(db, "INSERT INTO facts VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?,?)", -1,
                           &insert, nullptr),
        db);
  for (const auto& fact : facts) {
    const auto cells = cells_of(fact);
    for (std::size_t i = 0; i < cells.size(); ++i) bind(insert, static_cast<int>(i) + 1, cells[i]);
    check(sqlite3_step(insert), db);
    sqlite3_reset(insert);
  }
  sqlite3_finalize(insert);
  check(sqlite3_exec(db,
                     "COMMIT; CREATE INDEX by_target ON facts (target); "
                     "CREATE INDEX by_cartridge ON facts (cartridge, happened, source, sequence, "
                     "id, kind, units); ANALYZE",
                     nullptr, nullptr, nullptr),
        db);
}

std::string text_of(const std::filesystem::path& path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

Account by_sql(const std::vector<journal::Fact>& facts) {
  sqlite3* db = nullptr;
  check(sqlite3_open(":memory:", &db), db);
  fill(db, facts);
  const std::string sql = text_of(std::filesystem::path(COMPARE_FOLDER) / "account.sql");
  Account best{1e9, ""};
  for (int i = 0; i < runs; ++i) {
    const double began = processor_seconds();
    sqlite3_stmt* query = nullptr;
    check(sqlite3_prepare_v2(db, sql.c_str(), -1, &query, nullptr), db);
    std::string lines;
    while (sqlite3_step(query) == SQLITE_ROW) {
      for (int column = 0; column < 7; ++column) {
        if (column > 0) lines += ' ';
        lines += reinterpret_cast<const char*>(sqlite3_column_text(query, column));
      }
      lines += '\n';
    }
    check(sqlite3_finalize(query), db);
    best.seconds = std::min(best.seconds, processor_seconds() - began);
    best.lines = lines;
  }
  sqlite3_close(db);
  return best;
}

/// Nothing where python3 or pandas is missing.
std::optional<Account> by_frame(const std::vector<journal::Fact>& facts) {
  const auto path = std::filesystem::temp_directory_path() / "journal_compare.csv";
  {
    std::ofstream file(path);
    file << columns << "\n";
    for (const auto& fact : facts) {
      const auto cells = cells_of(fact);
      for (std::size_t i = 0; i < cells.size(); ++i) file << (i ? "," : "") << cells[i];
      file << "\n";
    }
  }
  const auto script = std::filesystem::path(COMPARE_FOLDER) / "account.py";
  // Debian's own python first: it is the one that python3-pandas belongs to.
  const std::string python =
      std::filesystem::exists("/usr/bin/python3") ? "/usr/bin/python3" : "python3";
  const std::string command = python + " " + script.string() + " " + path.string();
  std::optional<Account> best;
  for (int i = 0; i < runs; ++i) {
    FILE* pipe = popen(command.c_str(), "r");
    if (!pipe) break;
    std::string out;
    std::vector<char> buffer(1 << 16);
    while (const auto read = std::fread(buffer.data(), 1, buffer.size(), pipe)) {
      out.append(buffer.data(), read);
    }
    if (pclose(pipe) != 0) break;
    const auto seconds = std::strtod(out.c_str(), nullptr);
    if (!best || seconds < best->seconds) best = {seconds, out.substr(out.find('\n') + 1)};
  }
  std::filesystem::remove(path);
  return best;
}

void print(const char* name, const Account& account, const Account& fold, std::size_t facts) {
  std::printf("%-22s %8.3f s of one core  %10.0f facts/s  %6.1f times the fold's time\n", name,
              account.seconds, static_cast<double>(facts) / account.seconds,
              account.seconds / fold.seconds);
}

int compare(std::size_t count) {
  const auto facts = random_journal::plausible_journal(1, count);
  std::vector<std::vector<std::uint8_t>> packed;
  for (const auto& fact : facts) packed.push_back(wire::encode(fact));
  const Account fold = by_fold(facts, packed);
  const Account structs = by_fold(facts, {});
  const Account sql = by_sql(facts);
  const auto frame = by_frame(facts);
  if (sql.lines != fold.lines || structs.lines != fold.lines ||
      (frame && frame->lines != fold.lines)) {
    std::cerr << "The balances differ: no figure is worth anything.\n";
    return 1;
  }
  std::printf("%zu facts, %td cartridges, the same balances in each\n", facts.size(),
              std::ranges::count(fold.lines, '\n'));
  print("unpack, read, fold", fold, fold, facts.size());
  print("without unpacking", structs, fold, facts.size());
  print("SQL query (SQLite)", sql, fold, facts.size());
  if (frame) {
    print("data frame (pandas)", *frame, fold, facts.size());
  } else {
    std::printf("data frame: not run, python3-pandas is missing\n");
  }
  return 0;
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) {
  const std::size_t count = argc > 1 ? std::strtoull(argv[1], nullptr, 10) : 500'000;
  return penstock::compare(count);
}
