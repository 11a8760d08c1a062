// What is not what was recorded shows no number, and is said (H21, H29): on a store in a file whose
// rows are changed behind the program's back.
#include <gtest/gtest.h>
#include <sqlite3.h>

#include <cctype>
#include <filesystem>
#include <fstream>
#include <set>
#include <string>

#include "edge/json/json.hpp"
#include "edge/words/words.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "shell/disk/disk.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

std::string code(const Result<json::Value>& answer) { return answer ? "" : answer.error().code; }

// A person with an order of 22 units and a pen, in a file of their own.
struct OnFile {
  std::filesystem::path folder = std::filesystem::temp_directory_path() / "penstock-damage-XXXXXX";
  std::string path;
  std::unique_ptr<store::Store> store;
  Bench bench;  // its clock and zones; its own store is not looked at
  std::unique_ptr<Desk> desk;
  Id person{0xAA, 1};

  OnFile() {
    auto name = folder.string();
    EXPECT_NE(::mkdtemp(name.data()), nullptr);
    folder = name;
    path = (folder / "clinic.penstock").string();
    open();
    Bench::must(desk->name_clinic(
        Bench::request(R"({"clinic":"Harbour Street Clinic","user":"Marit Oyelaran",)"
                       R"("zone":"Europe/Berlin","phone":"555 0100","emergency":"112"})"),
        desk->caller()));
    Bench::must(desk->register_person(
        Bench::request(R"({"id":")" + to_text(person) +
                       R"(","facts":[{"what":"person registered","full_name":"Mirela Okonkwo",)"
                       R"("born":"1958-06-04","number":"HS 04172","zone":"Europe/Berlin"}]})"),
        desk->caller()));
    record(R"({"id":"00000000000000000000000000000a01","what":"order line signed",)"
           R"("happened":"2027-03-02T09:00:00+01:00","order_version":4,)"
           R"("insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background",)"
           R"("slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,)"
           R"("units":22}],"least_units":10,"most_units":30,"from":"2027-03-02",)"
           R"("prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02",)"
           R"("copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
    record(R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00",)"
           R"("line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)" +
           std::string(TestBench::reading) + "}");
    record(R"({"id":"00000000000000000000000000000a02","what":"note","text":"asked about"})");
  }
  ~OnFile() {
    desk.reset();
    store.reset();
    std::filesystem::remove_all(folder);
  }
  void open() {
    desk.reset();
    store.reset();
    auto opened = store::open_sqlite({.path = path});
    ASSERT_TRUE(opened) << opened.error().code;
    store = *std::move(opened);
    auto begun = bench.open_on(*store);
    ASSERT_TRUE(begun) << begun.error().code;
    desk = *std::move(begun);
  }
  void record(const std::string& fact) {
    Bench::must(desk->record(person, Bench::request("{\"facts\":[" + fact + "]}"), desk->caller()));
  }
  std::string bytes() const {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
  }
  void sql(const std::string& statement) {
    desk.reset();
    store.reset();
    execute(statement);
    open();
  }
  /// As another program does, while the desk goes on.
  void execute(const std::string& statement) {
    sqlite3* db = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &db), SQLITE_OK);
    char* said = nullptr;
    EXPECT_EQ(sqlite3_exec(db, statement.c_str(), nullptr, nullptr, &said), SQLITE_OK)
        << statement << ": " << (said == nullptr ? "" : said);
    sqlite3_close(db);
  }
  Result<json::Value> page(const std::string& below = "") {
    return tests::read_page(*desk, "/api/people/" + to_text(person) + below);
  }
  std::string today() {
    return Bench::all_text(Bench::must(tests::read_page(*desk, "/api/today")));
  }
};

constexpr const char* line = "x'00000000000000000000000000000a01'";

// 22 units are stored as 2'200 hundredths: the varint 98 11. With it the dose becomes 29.
std::string changed_dose() {
  return std::string(
             "UPDATE entry SET bytes = CAST(substr(bytes, 1, instr(bytes, x'9811') - 1) || ") +
         "x'd416' || substr(bytes, instr(bytes, x'9811') + 2) AS BLOB) WHERE fact = " + line;
}

// The last entry goes, and version and head are set to match: the chain itself holds.
TEST(DeskDamage, H29_H21_S9_ATailThatWasCutOffIsSaidFromTheStartOn) {
  OnFile on;
  on.record(
      R"({"id":"00000000000000000000000000000a03","what":"question opened",)"
      R"("line":"00000000000000000000000000000a01","reason":"lows","text":"Lower the dose?"})");
  const std::string which = "(SELECT no FROM journal WHERE id = x'" + to_text(on.person) + "')";
  on.sql(
      "DELETE FROM entry WHERE fact = x'00000000000000000000000000000a03';"
      "UPDATE journal SET version = version - 1, head = (SELECT hash FROM entry WHERE "
      "journal_no = " +
      which + " ORDER BY position DESC LIMIT 1) WHERE no = " + which);
  EXPECT_NE(on.today().find("Mirela Okonkwo"), std::string::npos);
  EXPECT_NE(on.today().find("does not end where it should"), std::string::npos) << on.today();
  EXPECT_FALSE(on.page());
  EXPECT_FALSE(on.page("/journal"));
}

// What somebody cuts off a person's journal: its last entry, with version and head that fit.
std::string without_last_entry(const OnFile& on) {
  const std::string which = "(SELECT no FROM journal WHERE id = x'" + to_text(on.person) + "')";
  return "DELETE FROM entry WHERE journal_no = " + which +
         " AND position = (SELECT version FROM journal WHERE no = " + which +
         "); UPDATE journal SET version = version - 1, head = (SELECT hash FROM entry WHERE "
         "journal_no = " +
         which + " ORDER BY position DESC LIMIT 1) WHERE no = " + which + ";";
}

void stays_closed(OnFile& on, const std::string& how) {
  for (int i = 0; i < 2; ++i) {
    EXPECT_EQ(code(on.page()), codes::record_closed) << how;
    EXPECT_NE(on.today().find("does not end where it should"), std::string::npos) << how;
    const auto verified = on.desk->verify({});
    ASSERT_TRUE(verified) << how;
    EXPECT_FALSE(verified->clean()) << how;
    EXPECT_TRUE(on.desk->rebuild_summaries({}, on.desk->caller())) << how;
  }
  on.open();
  EXPECT_EQ(code(on.page()), codes::record_closed) << how;
}

// The number was shown, although the dose had been recorded; with the row gone, nothing but verify
// said so, and after one look at Today not even that; rebuild and verify opened what was closed.
TEST(DeskDamage, H29_H21_S8_S9_ATailThatWasCutOffStaysClosedWhateverIsDoneToTheRow) {
  for (const auto* row : {"", "UPDATE summary SET journal_version = journal_version - 1",
                          "UPDATE summary SET journal_version = 0", "DELETE FROM summary",
                          "UPDATE summary SET bytes = x'00'"}) {
    OnFile on;
    on.sql(without_last_entry(on) + row);
    stays_closed(on, row);
  }
}

// Should the end that is kept be an older one that fits, the row still says how many there were.
TEST(DeskDamage, H29_H21_S8_ARowSaysItselfHowManyEntriesItWasMadeOf) {
  for (const auto* row : {"", "UPDATE summary SET journal_version = journal_version - 1"}) {
    OnFile on;
    const std::string end = "name = 'journals/end/" + to_text(on.person) + "'";
    on.sql("INSERT INTO setting SELECT 'aside', value FROM setting WHERE " + end);
    on.record(R"({"what":"note","text":"later"})");
    on.sql(without_last_entry(on) +
           "UPDATE setting SET value = (SELECT value FROM setting WHERE name = 'aside') WHERE " +
           end + ";" + row);
    EXPECT_EQ(code(on.page()), codes::record_closed) << row;
    stays_closed(on, row);
  }
}

// Today showed no recall any more, and somebody was told to take from the recalled lot.
TEST(DeskDamage, H61_H29_S9_TheClinicsOwnRecordIsMissedWhenItsEndIsCutOff) {
  OnFile on;
  Bench::must(on.desk->record_clinic(
      Bench::request(R"({"facts":[{"what":"recall opened","happened":"2027-03-02T09:30:00+01:00",)"
                     R"("recall":"0000000000000000000000000000ca11","lot":"AB12"}]})"),
      on.desk->caller()));
  on.desk.reset();
  on.store.reset();
  on.execute(
      "DELETE FROM entry WHERE journal_no = 1 AND position = (SELECT version FROM journal WHERE "
      "no = 1); UPDATE journal SET version = version - 1, head = (SELECT hash FROM entry WHERE "
      "journal_no = 1 ORDER BY position DESC LIMIT 1) WHERE no = 1");
  on.store = store::open_sqlite({.path = on.path}).value();
  const auto begun = on.bench.open_on(*on.store);
  ASSERT_FALSE(begun);
  EXPECT_EQ(begun.error().code, codes::record_closed);
  const auto report = on.store->verify(store::Marks::set_and_lift, {});
  ASSERT_TRUE(report);
  ASSERT_EQ(report->faults.size(), 1U);
  EXPECT_EQ(report->faults[0].code, store::codes::head_wrong);
}

// It was said of Anna's record that it is closed; it was Berta's.
TEST(DeskDamage, H21_S8_RowsThatWereExchangedNameNobodyElseAndCloseNobody) {
  for (const auto* mark :
       {"", "; UPDATE journal SET read_only = 'desk.incident' WHERE subject = 1"}) {
    OnFile on;
    const Id other{0xAA, 2};
    Bench::must(on.desk->register_person(
        Bench::request(R"({"id":")" + to_text(other) +
                       R"(","facts":[{"what":"person registered","full_name":"Tove Marklund",)"
                       R"("born":"2019-08-21","number":"HS 05120","zone":"Europe/Berlin"}]})"),
        on.desk->caller()));
    on.sql(std::string("UPDATE summary SET journal_no = 100 - journal_no;"
                       "UPDATE summary SET journal_no = (SELECT min(no) + max(no) FROM journal "
                       "WHERE subject = 1) - (100 - journal_no)") +
           mark);
    for (const auto& [person, name, not_name] :
         {std::tuple{on.person, "Mirela Okonkwo", "Tove Marklund"},
          {other, "Tove Marklund", "Mirela Okonkwo"}}) {
      const auto page = tests::read_page(*on.desk, "/api/people/" + to_text(person));
      EXPECT_EQ(page.has_value(), std::string(mark).empty());
      const auto said = page ? Bench::all_text(*page) : words::english().say(page.error()).what;
      EXPECT_NE(said.find(name), std::string::npos) << said;
      EXPECT_EQ(said.find(not_name), std::string::npos) << said;
    }
  }
}

// A server that runs looks at the file again once somebody else wrote into it, by SQL or by bytes.
TEST(DeskDamage, H21_S1_ARunningServerSeesWhatIsChangedUnderneath) {
  for (const bool by_sql : {true, false}) {
    OnFile on;
    on.open();  // what was written stands in the file itself
    Bench::must(on.page());
    Bench::must(on.page());
    if (by_sql) {
      on.execute(changed_dose());
    } else {
      auto bytes = on.bytes();
      const auto at = bytes.find("\x98\x11");
      ASSERT_NE(at, std::string::npos);
      std::fstream file(on.path, std::ios::in | std::ios::out | std::ios::binary);
      file.seekp(static_cast<std::streamoff>(at));
      file.write("\xd4\x16", 2);
    }
    const auto page = on.page();
    EXPECT_FALSE(page) << by_sql;
  }
}

TEST(DeskDamage, H21_S1_ADoseThatWasChangedInTheFileIsNeverShownAndIsSaidEverywhere) {
  OnFile on;
  ASSERT_NE(Bench::all_text(Bench::must(on.page())).find("22"), std::string::npos);
  on.sql(changed_dose());
  for (const auto* below : {"", "/journal", "/supplies", "/places"}) {
    const auto page = on.page(below);
    ASSERT_FALSE(page) << below << Bench::all_text(*page);
    EXPECT_EQ(page.error().code, codes::record_closed) << below;
    const auto said = words::english().say(page.error());
    EXPECT_NE(said.what.find("Mirela Okonkwo, HS 04172"), std::string::npos) << said.what;
    EXPECT_NE(said.what.find("not what was recorded"), std::string::npos) << said.what;
    EXPECT_NE(said.do_this.find("prescriber"), std::string::npos) << said.do_this;  // H38
  }
  // The look has closed the record: Today says so, also to whoever starts anew.
  const auto says_why = [&] {
    const auto said = on.today();
    // A record that was cut or changed may have lost something.
    EXPECT_EQ(said.find("Nothing is lost"), std::string::npos);
    return said.find("Mirela Okonkwo, number HS 04172") != std::string::npos &&
           said.find("not what was recorded") != std::string::npos;
  };
  EXPECT_TRUE(says_why());
  on.open();
  EXPECT_TRUE(says_why());
  EXPECT_FALSE(on.desk->export_journal(on.person)) << "what is damaged is not handed on as sound";
}

TEST(DeskDamage, H21_S1_AfterVerifyTheListsSayItBeforeAnybodyLooks) {
  OnFile on;
  on.sql(changed_dose());
  const auto verified = on.desk->verify({});
  ASSERT_TRUE(verified);
  ASSERT_EQ(verified->report.faults.size(), 1U);
  EXPECT_EQ(verified->report.faults[0].code, store::codes::digest_wrong);
  EXPECT_NE(on.today().find("not what was recorded"), std::string::npos);
  EXPECT_EQ(code(on.page()), codes::record_closed);
}

TEST(DeskDamage, H29_S1_AMarkedJournalShowsWhatWasRecordedAndNoNumberUntilItIsVerified) {
  OnFile on;
  on.sql("UPDATE journal SET read_only = 'desk.incident' WHERE subject = 1");
  EXPECT_EQ(code(on.page()), codes::record_closed);
  EXPECT_EQ(code(on.page("/supplies")), codes::record_closed);
  EXPECT_TRUE(on.page("/journal"));
  EXPECT_NE(on.today().find("failed while working on it"), std::string::npos);
  ASSERT_TRUE(on.desk->verify({}));
  EXPECT_TRUE(on.page());
  EXPECT_EQ(on.today().find("failed while working on it"), std::string::npos);
}

TEST(DeskDamage, H21_S1_EveryColumnOfAnEntryIsHeldAgainstTheChain) {
  const auto where = std::string(" WHERE fact = ") + line;
  for (const auto& change : {"SET recorded = recorded + 1" + where, "SET type = 41" + where,
                             "SET type_version = 9" + where, "SET position = 40" + where,
                             "SET digest = zeroblob(32)" + where, "SET hash = zeroblob(32)" + where,
                             "SET fact = x'000000000000000000000000000000ff'" + where,
                             std::string("SET bytes = x'00'") + where}) {
    OnFile on;
    on.sql("UPDATE entry " + change);
    EXPECT_EQ(code(on.page()), codes::record_closed) << change;
  }
  for (const auto* change :
       {"SET version = version - 1", "SET version = version + 1", "SET head = zeroblob(32)"}) {
    OnFile on;
    on.sql(std::string("UPDATE journal ") + change + " WHERE subject = 1");
    EXPECT_EQ(code(on.page()), codes::record_closed) << change;
  }
}

TEST(DeskDamage, H21_S2_AnErasedEntryIsAFaultUnlessAFactSaysWhoErasedIt) {
  OnFile on;
  on.sql("UPDATE entry SET bytes = NULL WHERE fact = x'00000000000000000000000000000a02'");
  EXPECT_EQ(code(on.page()), codes::record_closed);
  const auto verified = on.desk->verify({});
  ASSERT_TRUE(verified);
  EXPECT_FALSE(verified->clean());
  ASSERT_EQ(verified->unreadable.size(), 1U);
  EXPECT_EQ(verified->unreadable[0].second.code, store::codes::payload_gone);
}

// What verify finds beside the chains: the codes, in any order.
std::set<std::string> found(OnFile& on) {
  std::set<std::string> out;
  const auto verified = on.desk->verify({});
  EXPECT_TRUE(verified);
  if (!verified) return out;
  for (const auto& fault : verified->report.faults) out.insert(fault.code);
  for (const auto* list : {&verified->unreadable, &verified->differs}) {
    for (const auto& [journal, error] : *list) out.insert(error.code);
  }
  EXPECT_EQ(verified->clean(), out.empty());
  return out;
}
using Codes = std::set<std::string>;

TEST(DeskDamage, H21_S8_WhatListsRecallsAndClaimsReadIsHeldAgainstTheJournals) {
  struct Change {
    const char* sql;
    std::string_view code;
  };
  for (const auto& [sql, code] : std::initializer_list<Change>{
           {"DELETE FROM journal_tag", codes::tags_wrong},
           {"UPDATE journal_tag SET tag = tag || 'x'", codes::tags_wrong},
           {"DELETE FROM summary", codes::row_wrong},
           {"UPDATE summary SET search_key = 'somebody else'", codes::row_wrong},
           {"UPDATE summary SET next_change = 1", codes::row_wrong},
           {"UPDATE summary SET journal_version = 1", codes::row_wrong},
           {"UPDATE summary SET bytes = CAST(replace(CAST(bytes AS TEXT), 'Mirela', 'Mirala') AS "
            "BLOB)",
            codes::row_wrong},
           {"DELETE FROM setting WHERE name LIKE 'thing/%'", codes::claim_wrong},
           {"UPDATE setting SET value = '000000000000000000000000000000cc' WHERE name LIKE "
            "'thing/%'",
            codes::claim_wrong},
           {"UPDATE journal SET subject = 2 WHERE subject = 1", codes::subject_wrong},
           {"UPDATE journal SET read_only = 'hello' WHERE subject = 1", codes::mark_wrong},
       }) {
    OnFile on;
    on.record(R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00",)"
              R"("pen":"00000000000000000000000000000b01","copy":"reusable-whole-60",)"
              R"("insulin":"insulin glargine","strength_units_per_ml":100})");
    EXPECT_EQ(found(on), Codes{});
    on.sql(sql);
    EXPECT_TRUE(found(on).contains(std::string(code))) << sql;
  }
}

// A recall's sheet said that nobody had received the lot, because its tag was gone.
TEST(DeskDamage, H61_S8_WhatListsAndRecallsReadIsMadeAnewWhereItWasChangedWhileNobodyLooked) {
  for (const auto* sql :
       {"DELETE FROM journal_tag", "DELETE FROM journal_tag WHERE tag LIKE 'lot/%'",
        "UPDATE journal_tag SET tag = tag || 'x'",
        "UPDATE summary SET search_key = 'somebody else'", "UPDATE summary SET next_change = 1",
        "UPDATE summary SET bytes = CAST(replace(CAST(bytes "
        "AS TEXT), 'Mirela', 'Mirala') AS BLOB)",
        "DELETE FROM summary"}) {
    OnFile on;
    on.record(R"({"what":"supplies given","happened":"2027-03-02T09:10:00+01:00","lot":"AB12",)"
              R"("insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,)"
              R"("cartridges":2})");
    on.sql(sql);
    EXPECT_NE(on.today().find("Mirela Okonkwo"), std::string::npos) << sql;
    EXPECT_NE(Bench::all_text(Bench::must(tests::read_page(*on.desk, "/api/recalls/AB12")))
                  .find("Mirela Okonkwo"),
              std::string::npos)
        << sql;
    EXPECT_EQ(found(on), Codes{}) << sql;
  }
}

TEST(DeskDamage, H21_S8_AJournalThatIsGoneFromTheListIsMissed) {
  OnFile on;
  Bench::must(on.desk->register_person(
      Bench::request(R"({"facts":[{"what":"person registered","full_name":"Tove Marklund",)"
                     R"("born":"2019-08-21","number":"HS 05120","zone":"Europe/Berlin"}]})"),
      on.desk->caller()));
  const std::string whole = "(SELECT no FROM journal WHERE id = x'" + to_text(on.person) + "')";
  on.sql("DELETE FROM entry WHERE journal_no = " + whole +
         "; DELETE FROM summary WHERE journal_no = " + whole +
         "; DELETE FROM journal_tag WHERE journal_no = " + whole +
         "; DELETE FROM journal WHERE no = " + whole);
  EXPECT_EQ(found(on), Codes{std::string(store::codes::journal_missing)});
  EXPECT_FALSE(on.page());
}

// What somebody cuts out of the file with all that the tables have of a person.
std::string whole_record(Id person) {
  const auto which = "(SELECT no FROM journal WHERE id = x'" + to_text(person) + "')";
  std::string out;
  for (const auto* table : {"entry", "summary", "journal_tag"})
    out += "DELETE FROM " + std::string(table) + " WHERE journal_no = " + which + ";";
  return out + "DELETE FROM journal WHERE no = " + which;
}

// A recall's sheet said that nobody had received the lot, and nothing else said that somebody was
// gone.
TEST(DeskDamage, H61_H21_S8_ARecordThatWasCutOutIsMissedOnTodayPeopleRecallAndCommandLine) {
  OnFile on;
  on.record(R"({"what":"supplies given","happened":"2027-03-02T09:10:00+01:00","lot":"AB12",)"
            R"("insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,)"
            R"("cartridges":2})");
  on.record(R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00",)"
            R"("pen":"00000000000000000000000000000b01","copy":"reusable-whole-60",)"
            R"("insulin":"insulin glargine","strength_units_per_ml":100})");
  Bench::must(on.desk->register_person(
      Bench::request(R"({"facts":[{"what":"person registered","full_name":"Tove Marklund",)"
                     R"("born":"2019-08-21","number":"HS 05120","zone":"Europe/Berlin"}]})"),
      on.desk->caller()));
  const auto copy = (on.folder / "copy").string();
  ASSERT_TRUE(store::backup_sqlite({.path = on.path}, copy, {}));
  for (const auto* target : {"/api/today", "/api/people", "/api/recalls/AB12", "/api/month"})
    EXPECT_EQ(Bench::must(tests::read_page(*on.desk, target)).find("left_out"), nullptr) << target;
  EXPECT_EQ(code(on.page()), "");
  // Also while the program runs.
  on.execute(whole_record(on.person));
  for (const bool begun_anew : {false, true}) {
    if (begun_anew) on.open();
    for (const auto* target : {"/api/today", "/api/people", "/api/recalls/AB12", "/api/month"}) {
      const auto page = Bench::must(tests::read_page(*on.desk, target));
      const auto said = Bench::at(page, "/left_out").text;
      EXPECT_NE(said.find("1 record has been taken out"), std::string::npos) << target << said;
      EXPECT_NE(said.find(to_text(on.person)), std::string::npos) << target << said;
      EXPECT_NE(said.find("restore the last backup"), std::string::npos) << target << said;
    }
  }
  const auto today = on.today();
  EXPECT_EQ(today.find("Nobody needs attention"), std::string::npos);
  EXPECT_EQ(today.find("Nothing to do"), std::string::npos);
  const auto recall = Bench::all_text(Bench::must(tests::read_page(*on.desk, "/api/recalls/AB12")));
  EXPECT_EQ(recall.find("nobody here received this lot"), std::string::npos) << recall;
  EXPECT_NE(recall.find("not all records are here"), std::string::npos) << recall;
  // The others stay.
  EXPECT_NE(
      Bench::all_text(Bench::must(tests::read_page(*on.desk, "/api/people"))).find("Tove Marklund"),
      std::string::npos);
  // Whoever looks for them is not told to register them anew.
  EXPECT_EQ(code(on.page()), codes::person_missing);
  const auto sought = on.desk->find_person("HS 04172", on.desk->caller());
  ASSERT_FALSE(sought);
  EXPECT_EQ(sought.error().code, codes::person_missing);
  EXPECT_EQ(Bench::at(Bench::must(on.desk->register_person(
                          Bench::request(R"({"facts":[{"what":"person registered",)"
                                         R"("full_name":"Mirela Okonkwo","born":"1958-06-04",)"
                                         R"("number":"HS 04172","zone":"Europe/Berlin"}]})"),
                          on.desk->caller())),
                      "/ask/code")
                .text,
            codes::ask_record_missing);
  // The copy knows the name.
  const auto other = store::open_to_look({.path = copy});
  ASSERT_TRUE(other);
  const auto differs = on.desk->check_against(**other);
  ASSERT_TRUE(differs);
  ASSERT_EQ(differs->size(), 1U);
  EXPECT_EQ(differs->front().second.args.front().text, "Mirela Okonkwo");
}

TEST(DeskDamage, H21_S8_WithoutTheClinicsOwnJournalNothingIsBegunAnew) {
  OnFile on;
  on.desk.reset();
  ASSERT_TRUE(on.store->read([](store::ReadTx&) -> Result<void> { return {}; }));
  on.store.reset();
  sqlite3* db = nullptr;
  ASSERT_EQ(sqlite3_open(on.path.c_str(), &db), SQLITE_OK);
  EXPECT_EQ(sqlite3_exec(db, "UPDATE journal SET subject = 1", nullptr, nullptr, nullptr),
            SQLITE_OK);
  sqlite3_close(db);
  on.store = store::open_sqlite({.path = on.path}).value();
  const auto begun = on.bench.open_on(*on.store);
  ASSERT_FALSE(begun);
  EXPECT_EQ(begun.error().code, codes::clinic_gone);
}

TEST(DeskDamage, H29_S9_ASealHoldsWhileTheStoreGoesOnAndBreaksWhereAChainWasBuiltAnew) {
  OnFile on;
  const auto seal = on.desk->seal_heads(on.desk->caller());
  ASSERT_TRUE(seal);
  EXPECT_EQ(on.desk->check_seal(*seal).value(), SealAnswer::holds);
  on.record(R"({"what":"note","text":"later"})");
  EXPECT_EQ(on.desk->check_seal(*seal).value(), SealAnswer::holds);
  auto typed = *seal;
  for (auto& c : typed) c = static_cast<char>(std::toupper(c));
  typed.insert(32, " ");
  EXPECT_EQ(on.desk->check_seal(typed).value(), SealAnswer::holds);
  EXPECT_EQ(on.desk->check_seal(std::string(64, 'a')).value(), SealAnswer::unknown);
  EXPECT_EQ(found(on), Codes{});
  // A tail that was cut, with a head that fits: the chain alone says nothing.
  on.sql(
      "DELETE FROM entry WHERE fact = x'00000000000000000000000000000a02' OR position > 3 AND "
      "journal_no = (SELECT no FROM journal WHERE subject = 1); UPDATE journal SET version = 3, "
      "head = (SELECT hash FROM entry e WHERE e.journal_no = journal.no AND position = 3) WHERE "
      "subject = 1; DELETE FROM summary");
  EXPECT_EQ(on.desk->check_seal(*seal).value(), SealAnswer::broken);
  EXPECT_TRUE(found(on).contains(std::string(codes::seal_broken)));
}

TEST(DeskDamage, H29_S9_HeldAgainstACopyWhatWasCutChangedOrTakenBackShows) {
  OnFile on;
  const auto copy = (on.folder / "copy").string();
  ASSERT_TRUE(store::backup_sqlite({.path = on.path}, copy, {}));
  const auto against = [&] {
    std::set<std::string> out;
    const auto other = store::open_to_look({.path = copy});
    EXPECT_TRUE(other);
    const auto differs = on.desk->check_against(**other);
    EXPECT_TRUE(differs);
    for (const auto& [journal, error] : *differs) out.insert(error.code);
    return out;
  };
  on.record(R"({"what":"note","text":"later"})");
  EXPECT_EQ(against(), Codes{});
  on.sql("UPDATE journal SET version = version - 3 WHERE subject = 1");
  EXPECT_EQ(against(), Codes{std::string(codes::against_shorter)});
  on.sql(
      "UPDATE journal SET version = version + 3 WHERE subject = 1; UPDATE entry SET hash = "
      "zeroblob(32) WHERE fact = x'00000000000000000000000000000a02'");
  EXPECT_EQ(against(), Codes{std::string(codes::against_other)});
  on.sql("UPDATE journal SET id = randomblob(16) WHERE subject = 1");
  EXPECT_EQ(against(), Codes{std::string(codes::against_missing)});
}

TEST(DeskDamage, L7_ToLookAtACopyChangesNothingOfItWhateverItsSchema) {
  OnFile on;
  const auto copy = (on.folder / "copy").string();
  ASSERT_TRUE(store::backup_sqlite({.path = on.path}, copy, {}));
  const auto bytes = [](const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return std::string(std::istreambuf_iterator<char>(file), {});
  };
  const auto before = bytes(copy);
  ASSERT_FALSE(store::keeps_a_log(copy));
  EXPECT_TRUE(store::keeps_a_log(on.path));
  std::filesystem::permissions(copy, std::filesystem::perms::owner_read);
  for (const auto& path : {copy, on.path}) {
    const auto store = store::open_to_look({.path = path});
    ASSERT_TRUE(store) << store.error().code;
    const auto desk = on.bench.open_on(**store);
    ASSERT_TRUE(desk) << desk.error().code;
    const auto verified = (*desk)->verify({});
    ASSERT_TRUE(verified) << verified.error().code;
    EXPECT_TRUE(verified->clean());
  }
  EXPECT_EQ(bytes(copy), before);
}

// L8: it is the file that has to be mended, not the request.
TEST(DeskDamage, H21_L8_WhatCannotBeReadIsNoFaultOfTheRequest) {
  OnFile on;
  ASSERT_TRUE(on.store->write([&](store::WriteTx& tx) -> Result<void> {
    const std::vector<store::NewFact> facts{{Id{9, 9}, 41, 1, Instant{}, {1, 2, 3}}};
    const auto kept = tx.append(on.person, facts, std::nullopt);
    return kept ? Result<void>{} : Result<void>(kept.error());
  }));
  const auto page = on.page();
  ASSERT_FALSE(page);
  EXPECT_EQ(page.error().kind, Kind::unavailable);
  EXPECT_EQ(page.error().code, codes::record_closed);
}

}  // namespace
}  // namespace penstock::desk
