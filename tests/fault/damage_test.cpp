// The measured run over damage (H21, H29): single bits, whole copies, every row of every table
// changed by hand. Never a number from it; what changed is said. The figures stand in
// bench/RESULTS.md.
//
// A copy is damaged, opened as the program opens it, and the person's page and Today are read.
// Allowed are: the file or the page is refused, or the page is letter for letter that of the sound
// file. And whenever anything at all of what the tables hold has changed, either the file is
// refused or verify says so.
#include <gtest/gtest.h>
#include <sqlite3.h>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <memory>
#include <random>
#include <set>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/pages/all/all.hpp"
#include "shell/desk/desk.hpp"
#include "shell/disk/disk.hpp"
#include "shell/store/store.hpp"
#include "shell/system/system.hpp"
#include "support/read_page.hpp"

namespace penstock::tests {
namespace {

constexpr std::uint64_t seed = 20270316;

struct Opened {
  std::unique_ptr<store::Store> store;
  std::unique_ptr<desk::Desk> desk;
  std::string refused;
};

Opened open(const std::string& path) {
  Opened out;
  auto store = store::open_sqlite({.path = path});
  if (!store) return {{}, {}, store.error().code};
  out.store = *std::move(store);
  desk::Ports ports;
  ports.store = out.store.get();
  ports.now = [] { return parse_when("2027-03-16T21:10:00+01:00")->at; };
  ports.zone = shell::zone;
  ports.zone_names = [] { return std::vector<std::string>{"Europe/Berlin"}; };
  ports.new_id = [] { return Id{0xABC, 7}; };
  ports.program = "Penstock test";
  auto desk = desk::Desk::open(std::move(ports));
  if (!desk) {
    out.refused = desk.error().code;
  } else {
    out.desk = *std::move(desk);
  }
  return out;
}

json::Value must(const Result<json::Value>& answer) {
  EXPECT_TRUE(answer) << (answer ? "" : answer.error().code + answer.error().at);
  return answer ? *answer : json::null();
}
json::Value request(const std::string& text) { return json::parse(text).value(); }

const Id person{0xAA, 1};

struct Counted {
  int refused = 0;    // the file, at once
  int closed = 0;     // the page, because of the record
  int verified = 0;   // verify alone says it
  int mended = 0;     // a list was made anew from the journal
  int unchanged = 0;  // no table holds anything else
  int all() const { return refused + closed + verified + mended + unchanged; }
};

class Damage : public testing::Test {
 protected:
  void SetUp() override {
    auto name = (std::filesystem::temp_directory_path() / "penstock-damage-XXXXXX").string();
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder_ = name;
    fill();
    ASSERT_TRUE(store::backup_sqlite({.path = sound()}, sound_copy(), {}));
    rows_ = rows_of(sound_copy());
    std::filesystem::copy_file(sound_copy(), damaged());
    auto opened = open(damaged());
    ASSERT_TRUE(opened.desk) << opened.refused;
    page_ = page_of(*opened.desk);
    ASSERT_NE(page_.find("22"), std::string::npos);
    ASSERT_TRUE(opened.desk->verify({})->clean());
  }
  void TearDown() override { std::filesystem::remove_all(folder_); }

  std::string sound() const { return (folder_ / "clinic.penstock").string(); }
  std::string sound_copy() const { return (folder_ / "sound").string(); }
  std::string damaged() const { return (folder_ / "damaged").string(); }

  void fill() {
    const auto opened = open(sound());
    ASSERT_TRUE(opened.desk);
    auto& desk = *opened.desk;
    must(
        desk.name_clinic(request(R"({"clinic":"Harbour Street Clinic","user":"Marit Oyelaran",)"
                                 R"("zone":"Europe/Berlin","phone":"555 0100","emergency":"112"})"),
                         desk.caller()));
    must(desk.register_person(
        request(R"({"id":")" + to_text(person) +
                R"(","facts":[{"id":"00000000000000000000000000000a00","what":"person registered",)"
                R"("full_name":"Mirela Okonkwo","born":"1958-06-04","number":"HS 04172",)"
                R"("zone":"Europe/Berlin"}]})"),
        desk.caller()));
    const auto record = [&](const std::string& fact) {
      must(desk.record(person, request("{\"confirmed\":true,\"facts\":[" + fact + "]}"),
                       desk.caller()));
    };
    record(R"({"id":"00000000000000000000000000000a01","what":"order line signed",)"
           R"("happened":"2027-03-02T09:00:00+01:00","order_version":4,)"
           R"("insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background",)"
           R"("slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,)"
           R"("units":22}],"least_units":10,"most_units":30,"from":"2027-03-02",)"
           R"("prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02",)"
           R"("copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
    record(R"({"id":"00000000000000000000000000000a02","what":"order line checked",)"
           R"("happened":"2027-03-02T09:05:00+01:00",)"
           R"("line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)"
           R"("reading":{"insulin":"insulin glargine","strength_units_per_ml":100,)"
           R"("slots":[{"slot":"bedtime","at":"22:00","units":22}]}})");
    record(
        R"({"id":"00000000000000000000000000000a03","what":"pen given",)"
        R"("happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b01",)"
        R"("copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})");
    record(R"({"id":"00000000000000000000000000000a04","what":"cartridge loaded",)"
           R"("happened":"2027-03-10T08:00:00+01:00",)"
           R"("cartridge":"00000000000000000000000000000c01",)"
           R"("pen":"00000000000000000000000000000b01","copy":"glargine-100","units":300,)"
           R"("content_units":300,"fits":"fit A","new_cartridge":true})");
    for (int i = 10; i < 40; ++i) {
      record(R"({"id":"000000000000000000000000000000)" + std::to_string(i) +
             R"(","what":"note","happened":"2027-03-11T08:00:00+01:00","text":"note )" +
             std::to_string(i) + "\"}");
    }
  }

  static std::string page_of(desk::Desk& desk) {
    const auto page = read_page(desk, "/api/people/" + to_text(person));
    return page ? json::to_text(*page) : "refused: " + page.error().code;
  }

  /// Everything that the tables hold, by table. Nothing: it cannot be read.
  static std::string rows_of(const std::string& path) {
    sqlite3* db = nullptr;
    std::string out;
    if (sqlite3_open_v2(path.c_str(), &db, SQLITE_OPEN_READONLY, nullptr) != SQLITE_OK) {
      sqlite3_close(db);
      return out;
    }
    for (const auto* table : tables) {
      sqlite3_stmt* rows = nullptr;
      const bool is_summary = table == std::string_view("summary");
      const auto sql = "SELECT " +
                       std::string(is_summary ? "journal_no, journal_version, search_key, "
                                                "next_change, bytes"
                                              : "*") +
                       " FROM " + table;
      if (sqlite3_prepare_v2(db, sql.c_str(), -1, &rows, nullptr) != SQLITE_OK) out += "unreadable";
      int rc = SQLITE_ERROR;
      while (rows != nullptr && (rc = sqlite3_step(rows)) == SQLITE_ROW) {
        for (int i = 0; i < sqlite3_column_count(rows); ++i) {
          const auto* bytes = static_cast<const char*>(sqlite3_column_blob(rows, i));
          out.append(bytes == nullptr ? "" : bytes,
                     static_cast<std::size_t>(sqlite3_column_bytes(rows, i)));
          out += '|';
        }
        out += '\n';
      }
      if (rc != SQLITE_DONE) out += "unreadable";
      sqlite3_finalize(rows);
    }
    sqlite3_close(db);
    return out;
  }

  /// Reads the damaged file as somebody at the desk would, and counts what came of it.
  void judge(const std::string& what, Counted& counted) {
    const bool changed = rows_of(damaged()) != rows_;
    const auto opened = open(damaged());
    if (opened.desk == nullptr) {
      ++counted.refused;
      return;
    }
    const auto page = page_of(*opened.desk);
    const bool is_refused = page.starts_with("refused: ");
    EXPECT_TRUE(is_refused || page == page_) << what << ": another page than the sound file's";
    static_cast<void>(read_page(*opened.desk, "/api/today"));
    const auto verified = opened.desk->verify({});
    const bool said = !verified || !verified->clean();
    // A row of a list that was spoilt is made anew from the journal by the first look.
    const bool mended = changed && !said && rows_of(damaged()) == rows_;
    EXPECT_TRUE(said || !changed || mended) << what << ": nobody says that it is changed";
    EXPECT_TRUE(said || !is_refused) << what << ": refused, and verify finds nothing";
    if (is_refused) {
      ++counted.closed;
    } else if (said) {
      ++counted.verified;
    } else if (mended) {
      ++counted.mended;
    } else {
      ++counted.unchanged;
    }
  }

  void fresh_copy() {
    for (const auto* part : {"", "-wal", "-shm"}) std::filesystem::remove(damaged() + part);
    std::filesystem::copy_file(sound_copy(), damaged());
  }
  void overwrite(std::size_t at, const std::string& bytes) {
    std::fstream file(damaged(), std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(static_cast<std::streamoff>(at));
    file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  }
  std::string bytes() const {
    std::ifstream file(sound_copy(), std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
  }
  static void tell(const char* what, const Counted& counted) {
    std::cout << what << ": " << counted.all() << " tried; file refused " << counted.refused
              << ", page closed " << counted.closed << ", verify alone " << counted.verified
              << ", made anew " << counted.mended << ", nothing held was changed "
              << counted.unchanged << "\n";
  }

  static constexpr const char* tables[] = {"journal", "entry",       "summary",       "setting",
                                           "blob",    "journal_tag", "journal_block", "migration"};

  std::filesystem::path folder_;
  std::string page_, rows_;
};

TEST_F(Damage, H21_S1_OfTwoHundredAndFiftyFlippedBitsNoneChangesANumber) {
  std::mt19937_64 chance(seed);
  const auto whole = bytes();
  Counted counted;
  for (int i = 0; i < 250; ++i) {
    fresh_copy();
    const auto at = chance() % whole.size();
    const auto bit = chance() % 8;
    overwrite(at, std::string(1, static_cast<char>(whole[at] ^ (1 << bit))));
    judge("bit " + std::to_string(bit) + " of byte " + std::to_string(at), counted);
  }
  tell("flipped bits", counted);
  EXPECT_EQ(counted.all(), 250);
}

TEST_F(Damage, H21_S1_OfTwoHundredDamagedCopiesNoneChangesANumber) {
  std::mt19937_64 chance(seed + 1);
  const auto whole = bytes();
  constexpr std::size_t page_size = 4096;
  Counted counted;
  for (int i = 0; i < 200; ++i) {
    fresh_copy();
    const auto pages = whole.size() / page_size;
    const auto at = (1 + chance() % (pages - 1)) * page_size;
    const auto way = i % 4;
    if (way == 0) overwrite(at, std::string(page_size, '\0'));
    if (way == 1) {
      std::string noise(page_size, '\0');
      for (auto& byte : noise) byte = static_cast<char>(chance());
      overwrite(at, noise);
    }
    if (way == 2) std::filesystem::resize_file(damaged(), at);
    if (way == 3) {  // a page of elsewhere in its place
      const auto other = (1 + chance() % (pages - 1)) * page_size;
      overwrite(at, whole.substr(other, page_size));
    }
    judge("way " + std::to_string(way) + " at " + std::to_string(at), counted);
  }
  tell("damaged copies", counted);
  EXPECT_EQ(counted.all(), 200);
}

TEST_F(Damage, H29_S1_S8_EveryColumnOfEveryRowOfEveryTableChangedByHandIsSaid) {
  // What is nobody's record: counters of what lists have read; which program made a row, because
  // another program's is made anew; a mark, which closes the record until verify lifts it.
  const std::set<std::string> free{"summary_stamp.origin", "summary_stamp.number", "summary.stamp",
                                   "summary.fold_version", "journal.read_only"};
  struct Cell {
    std::string table, column, row;
  };
  std::vector<Cell> cells;
  sqlite3* db = nullptr;
  ASSERT_EQ(sqlite3_open(sound_copy().c_str(), &db), SQLITE_OK);
  for (const auto* table : tables) {
    const auto keys = std::string(table) == "entry"         ? "fact"
                      : std::string(table) == "journal_tag" ? "tag"
                      : std::string(table) == "setting"     ? "name"
                                                            : "rowid";
    if (std::string(table) == "journal_block") continue;  // none in this clinic
    const auto sql = "SELECT quote(" + std::string(keys) + ") FROM " + table;
    sqlite3_stmt* rows = nullptr;
    ASSERT_EQ(sqlite3_prepare_v2(db, sql.c_str(), -1, &rows, nullptr), SQLITE_OK) << sql;
    std::vector<std::string> found;
    while (sqlite3_step(rows) == SQLITE_ROW)
      found.emplace_back(reinterpret_cast<const char*>(sqlite3_column_text(rows, 0)));
    sqlite3_finalize(rows);
    sqlite3_stmt* columns = nullptr;
    const auto info = "SELECT name FROM pragma_table_info('" + std::string(table) + "')";
    ASSERT_EQ(sqlite3_prepare_v2(db, info.c_str(), -1, &columns, nullptr), SQLITE_OK);
    while (sqlite3_step(columns) == SQLITE_ROW) {
      const std::string column = reinterpret_cast<const char*>(sqlite3_column_text(columns, 0));
      for (const auto& row : found) cells.push_back({table, column, keys + (" = " + row)});
    }
    sqlite3_finalize(columns);
  }
  sqlite3_close(db);
  Counted counted;
  int not_taken = 0;
  for (const auto& [table, column, row] : cells) {
    fresh_copy();
    ASSERT_EQ(sqlite3_open(damaged().c_str(), &db), SQLITE_OK);
    // A number one higher, a text or bytes of the same length with another first byte.
    const auto sql = "UPDATE " + table + " SET " + column + " = CASE typeof(" + column +
                     ") WHEN 'integer' THEN " + column + " + 1 WHEN 'text' THEN 'x' || substr(" +
                     column + ", 2) WHEN 'blob' THEN CAST(x'7e' || substr(" + column +
                     ", 2) AS BLOB) ELSE 1 END WHERE " + row;
    const bool taken = sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK;
    sqlite3_close(db);
    if (!taken) {  // the schema's own limits refuse it
      ++not_taken;
      continue;
    }
    const auto name = table + "." + column;
    // A file without the account of the journals' numbers, or of the last entry of anybody, is an
    // older program's: it begins anew. Nothing covers what the latter says (rows-made-anew).
    const bool of_numbers =
        row.starts_with("name = 'journals/") && !row.starts_with("name = 'journals/end/");
    const bool begins_anew = (name == "setting.name" && of_numbers) ||
                             (table == "setting" && row.starts_with("name = 'entries/last'"));
    if (free.contains(name) || begins_anew) continue;
    judge(name + " where " + row, counted);
  }
  tell("cells changed by hand", counted);
  std::cout << "cells that the schema itself does not let be changed so: " << not_taken << "\n";
  EXPECT_GT(counted.all(), 200);
}

}  // namespace
}  // namespace penstock::tests
