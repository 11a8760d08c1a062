// The whole job by command: register, order, second check, pen, cartridge, prime, inject, change,
// correct, a diary of two thousand lines, export and import elsewhere, backup and restore.
#include <sqlite3.h>

#include <algorithm>
#include <filesystem>

#include "cli/clinic.hpp"
#include "edge/json/json.hpp"

namespace penstock::tests {
namespace {

std::string left(const json::Value& person) {
  return at(person, "/pens/0/cartridge/left_text").text;
}
bool has_window(const json::Value& person) {
  for (const auto& step : at(person, "/next/steps").members) {
    if (at(step.value, "/window").flag) return true;
  }
  return false;
}

// Two thousand injections and notes, one an hour, the last an hour ago; as many units come again
// after twelve hours, so that no two are nearly one.
std::string diary(const Clinic& clinic, int lines) {
  std::string text = "time,what,units,cartridge,zone,spot,note\n";
  for (int i = lines; i > 0; --i) {
    const bool note = i % 5 == 0;
    text += clinic.ago(i) +
            (note ? ",note,,,,,felt well"
                  : ",injected," + std::to_string(10 + i % 12) + ",1,thigh left,,") +
            "\n";
  }
  return text;
}

struct CliJob : testing::Test, Clinic {};

TEST_F(CliJob, H40_AnUncheckedOrderHasNoWindowAndTheCopyistIsNoSecondCheck) {
  name();
  enrol();
  order();
  give_pen();
  load(first, 48, "150");
  EXPECT_EQ(at(show(), "/next/refusal/code").text, "order.unchecked");
  EXPECT_FALSE(has_window(show()));
  const auto own = record(R"({"what":"order line checked","line":")" + std::string(line) +
                              R"(","checked_by":"Maren Holt"})",
                          {"--json"});
  EXPECT_EQ(own.status, 3);
  EXPECT_EQ(at(own.document(), "/refused/code").text, "desk.check_own_copy");
  EXPECT_NE(own.error.find(at(own.document(), "/refused/what").text.substr(0, 20)),
            std::string::npos);
  second_check();
  EXPECT_TRUE(has_window(show()));
}

TEST_F(CliJob, FromRegisteringTo126UnitsLeftThenAnotherCartridgeAndACorrection) {
  ready();
  recorded(R"({"what":"needle on","pen":")" + std::string(pen) +
           R"(","needle":"4-mm-32g","length_mm":4})");
  recorded(R"({"what":"primed","cartridge":")" + std::string(first) +
           R"(","units":2,"flow":"seen"})");
  const std::string injection = "00000000000000000000000000000f01";
  const auto dose = R"({"id":")" + injection + R"(","what":"injected","happened":")" + ago(0) +
                    R"(","cartridge":")" + first + R"(","units":22,"line":")" + line +
                    R"(","slot":")" + slot() + R"(","given_by":"self"})";
  recorded(dose);
  EXPECT_EQ(left(show()), "126");
  // H07: the same fact sent again is one fact.
  const auto again = record(dose, {"--json"});
  EXPECT_EQ(again.status, 0) << again.error;
  EXPECT_EQ(at(again.document(), "/known").members.size(), 1U);
  EXPECT_EQ(left(show()), "126");
  // The text says what a person can act on.
  const auto text = call({"show", "1042"});
  EXPECT_EQ(text.status, 0);
  for (const auto* part : {"Noor Haddad", "126", "insulin glargine", "100 units/mL", "22 units"}) {
    EXPECT_NE(text.out.find(part), std::string::npos) << part << "\n" << text.out;
  }
  // A mistaken entry: 20 were injected, not 22.
  recorded(R"({"what":"correction","target":")" + injection +
           R"(","reason":"misread","replacement":{"what":"injected","happened":")" + ago(0) +
           R"(","cartridge":")" + first + R"(","units":20,"line":")" + line + R"(","slot":")" +
           slot() + R"(","given_by":"self"}})");
  EXPECT_EQ(left(show()), "128");
  const auto journal = call({"show", person, "--journal"});
  EXPECT_NE(journal.out.find("misread"), std::string::npos) << journal.out;
  // The next cartridge.
  recorded(R"({"what":"needle off","pen":")" + std::string(pen) +
           R"(","disposal":"sharps container"})");
  recorded(R"({"what":"thrown away","cartridge":")" + std::string(first) +
           R"(","reason":"damaged"})");
  load(second, 0, "300");
  EXPECT_EQ(left(show()), "300");
  EXPECT_EQ(call({"verify"}).status, 0);
}

TEST_F(CliJob, H22_H31_ADiaryOfTwoThousandLinesThenExportAndTheSameStateElsewhere) {
  ready();
  const auto csv = write("march.csv", diary(*this, 2'000));
  const auto preview = call({"import", person, csv, "--json"});
  ASSERT_EQ(preview.status, 0) << preview.error;
  EXPECT_EQ(at(preview.document(), "/rows").text, "2000");
  EXPECT_FALSE(at(preview.document(), "/accepted").flag);
  const auto untouched = at(show(), "/version").text;
  // Its doses are not the order's: asked about, as where they are typed (H25).
  EXPECT_EQ(call({"import", person, csv, "--accept", "--json"}).status, 3);
  EXPECT_EQ(at(show(), "/version").text, untouched);
  const auto entered = call({"import", person, csv, "--accept", "--odd", "bring in", "--json"});
  ASSERT_EQ(entered.status, 0) << entered.error;
  EXPECT_TRUE(at(entered.document(), "/accepted").flag);
  const auto after = at(show(), "/version").text;
  EXPECT_NE(after, untouched);
  const auto twice = call({"import", person, csv, "--accept", "--json"});
  EXPECT_EQ(twice.status, 0) << twice.error;
  EXPECT_EQ(at(twice.document(), "/known").text, "2000");
  EXPECT_EQ(at(show(), "/version").text, after);
  EXPECT_EQ(call({"verify"}).status, 0);

  const auto out = file("noor.json");
  ASSERT_EQ(call({"export", person, "-o", out}).status, 0);
  EXPECT_EQ(call({"export", person, "-o", out}).status, 2);  // nothing is overwritten
  const auto elsewhere = file("other.penstock");
  const auto here = show();
  const std::string words[] = {"--data", elsewhere};
  ASSERT_EQ(run({"clinic", "--name", "Hill Road Clinic", "--user", "Ada Brandt", "--zone", "UTC",
                 words[0], words[1]})
                .status,
            0);
  // S3: a look changes nothing; what enters is said, and its order waits for a check by hand.
  const auto seen = run({"import-journal", out, words[0], words[1]});
  ASSERT_EQ(seen.status, 0) << seen.error;
  EXPECT_NE(seen.out.find("no such record yet"), std::string::npos) << seen.out;
  EXPECT_EQ(run({"show", person, words[0], words[1]}).status, 3);
  const auto imported = run({"import-journal", out, "--accept", words[0], words[1]});
  ASSERT_EQ(imported.status, 0) << imported.error;
  EXPECT_EQ(run({"import-journal", out, "--accept", words[0], words[1]}).status, 0);
  EXPECT_EQ(at(run({"show", person, "--json", words[0], words[1]}).document(), "/next/steps")
                .members.size(),
            0U);
  const auto out_elsewhere = file("noor-elsewhere.json");
  ASSERT_EQ(run({"export", person, "-o", out_elsewhere, words[0], words[1]}).status, 0);
  EXPECT_EQ(facts_of(out), facts_of(out_elsewhere));
  EXPECT_EQ(run({"record", person, "-", words[0], words[1]},
                R"({"what":"order line checked","happened":")" + ago(719) + R"(","line":")" + line +
                    R"(","checked_by":"Jonas Abara",)" + reading() + "}")
                .status,
            0);
  const auto there = run({"show", person, "--json", words[0], words[1]}).document();
  for (const auto* part : {"/pens", "/order", "/who", "/background"}) {
    EXPECT_EQ(json::to_text(at(here, part)), json::to_text(at(there, part))) << part;
  }
}

// L6: so that no log with a person's data stands open beside it.
TEST_F(CliJob, H29_L6_AFileThatOthersMayReadBecomesItsOwnersAlone) {
  using std::filesystem::perms;
  ready();
  const auto rights = [&](const std::string& part) {
    return std::filesystem::status(data + part).permissions();
  };
  std::filesystem::permissions(data, perms::owner_read | perms::owner_write | perms::group_read |
                                         perms::group_write | perms::others_read |
                                         perms::others_write);
  const auto told = record(R"({"what":"note","text":"x"})");
  EXPECT_EQ(told.status, 0) << told.error;
  EXPECT_NE(told.error.find("Other users of this machine"), std::string::npos) << told.error;
  EXPECT_EQ(rights(""), perms::owner_read | perms::owner_write);
  const auto again = record(R"({"what":"note","text":"y"})");
  EXPECT_EQ(again.error.find("Other users of this machine"), std::string::npos) << again.error;
  for (const auto* part : {"-wal", "-shm"}) {
    if (std::filesystem::exists(data + part)) {
      EXPECT_EQ(rights(part), perms::owner_read | perms::owner_write) << part;
    }
  }
}

// A folder without its x bit locks out whoever lives in it, and what --data names by a slip
// may be anything.
TEST_F(CliJob, H29_OnlyAStoreOfOursHasItsRightsChanged) {
  using std::filesystem::perms;
  ready();
  const auto open_to_all = perms::owner_all | perms::group_all | perms::others_all;
  const auto plain = write("letters.txt", "dear all");
  const auto folder = file("home");
  std::filesystem::create_directory(folder);
  const auto other =
      write("other.db", std::string("SQLite format 3\0", 16) + std::string(200, 'x'));
  const auto link = file("slip.penstock");
  std::filesystem::create_symlink(data, link);
  for (const auto& path : {plain, folder, other, data}) {
    std::filesystem::permissions(path, open_to_all);
  }
  for (const auto& path : {plain, folder, other, link}) {
    const auto told = run({"show", person, "--data", path});
    EXPECT_EQ(told.error.find("Other users of this machine"), std::string::npos) << path;
    EXPECT_EQ(std::filesystem::status(path).permissions(), open_to_all) << path;
  }
  call({"show", person});
  EXPECT_EQ(std::filesystem::status(data).permissions(), perms::owner_read | perms::owner_write);
}

// A diary that was exported names its facts: brought back, it adds nothing.
TEST_F(CliJob, H31_AnExportedDiaryAddsNothingWhenItComesBack) {
  ready();
  const auto csv = write("march.csv", diary(*this, 50));
  ASSERT_EQ(call({"import", person, csv, "--accept", "--odd", "bring in"}).status, 0);
  const auto before = at(show(), "/version").text;
  const auto out = file("diary.csv");
  ASSERT_EQ(call({"export", person, "--diary", "-o", out}).status, 0);
  const auto again = call({"import", person, out, "--accept", "--json"});
  EXPECT_EQ(again.status, 0) << again.error;
  EXPECT_EQ(at(again.document(), "/fresh").text, "0");
  EXPECT_EQ(at(show(), "/version").text, before);
}

TEST_F(CliJob, H22_ABadLineIsNamedAndNothingEnters) {
  ready();
  const auto csv = write("bad.csv", "time,what,units,cartridge,zone,spot,note\n" + ago(3) +
                                        ",injected,2,1,,,\n" + ago(2) + ",injected,two,1,,,\n");
  const auto before = at(show(), "/version").text;
  const auto ended = call({"import", person, csv, "--accept", "--json"});
  EXPECT_EQ(ended.status, 3);
  EXPECT_EQ(at(ended.document(), "/refused/at").text, "3");
  EXPECT_EQ(at(ended.document(), "/preview/bad/0/line").text, "3");
  EXPECT_EQ(at(show(), "/version").text, before);
  const auto text = call({"import", person, csv});
  EXPECT_EQ(text.status, 3);
  EXPECT_NE(text.error.find("3: "), std::string::npos) << text.error;
}

TEST_F(CliJob, BackupRestoreVerify) {
  ready();
  const auto copy = file("copy.penstock");
  const auto backed = call({"backup", copy});
  EXPECT_EQ(backed.status, 0) << backed.error;
  EXPECT_EQ(call({"backup", copy}).status, 3);  // is there already
  recorded(R"({"what":"note","text":"After the backup."})");
  const auto after = at(show(), "/version").text;
  EXPECT_EQ(call({"restore", copy, "--json"}).status, 3);  // holds journals
  EXPECT_EQ(at(show(), "/version").text, after);
  const auto restored = call({"restore", copy, "--replace"});
  EXPECT_EQ(restored.status, 0) << restored.error;
  EXPECT_NE(at(show(), "/version").text, after);
  EXPECT_EQ(call({"verify"}).status, 0);
  EXPECT_EQ(call({"rebuild"}).status, 0);
  EXPECT_EQ(call({"people", "noor"}).status, 0);
  EXPECT_EQ(call({"restore", file("none.penstock")}).status, 2);
}

TEST_F(CliJob, H21_ACopyOfABrokenFileIsMadeAndIsNotCalledVerified) {
  ready();
  const auto broken = [&](const std::string& name, const std::string& sql) {
    SCOPED_TRACE(sql);
    data = file(name);
    std::filesystem::copy_file(file("clinic.penstock"), data);
    sqlite3* db = nullptr;
    EXPECT_EQ(sqlite3_open(data.c_str(), &db), SQLITE_OK);
    EXPECT_EQ(sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr), SQLITE_OK);
    sqlite3_close(db);
    const auto backed = call({"backup", data + ".copy", "--json"});
    EXPECT_EQ(backed.status, 3) << backed.out << backed.error;
    EXPECT_EQ(at(backed.document(), "/refused/code").text, "cli.copy_not_clean") << backed.error;
    EXPECT_TRUE(std::filesystem::exists(data + ".copy"));
    EXPECT_EQ(run({"verify", "--data", data + ".copy"}).status, 3);
  };
  const std::string of = " WHERE journal_no = (SELECT no FROM journal WHERE subject = ";
  broken("a", "UPDATE entry SET bytes = zeroblob(length(bytes))" + of + "1) AND position = 3");
  broken("b", "UPDATE entry SET bytes = NULL" + of + "1) AND position = 3");
  broken("c", "UPDATE entry SET hash = randomblob(32)" + of + "1) AND position = 3");
  broken("d", "DELETE FROM entry" + of + "1) AND position = 3");
  broken("e", "DELETE FROM summary");
  broken("f", "DELETE FROM setting WHERE name LIKE 'thing/%'");
  broken("g", "UPDATE entry SET bytes = zeroblob(length(bytes))" + of + "2) AND position = 1");
}

TEST_F(CliJob, H21_ARestoreOfABrokenCopySaysWhatDoesNotVerifyAndReplacesNothing) {
  ready();
  const auto copy = file("copy.penstock");
  EXPECT_EQ(call({"backup", copy}).status, 0);
  sqlite3* db = nullptr;
  ASSERT_EQ(sqlite3_open(copy.c_str(), &db), SQLITE_OK);
  EXPECT_EQ(sqlite3_exec(db, "DELETE FROM summary", nullptr, nullptr, nullptr), SQLITE_OK);
  sqlite3_close(db);
  recorded(R"({"what":"note","text":"After the backup."})");
  const auto after = at(show(), "/version").text;
  const auto refused = call({"restore", copy, "--replace"});
  EXPECT_EQ(refused.status, 3) << refused.out << refused.error;
  EXPECT_NE(refused.error.find("desk.row_wrong"), std::string::npos) << refused.error;
  EXPECT_NE(refused.error.find("Nothing was changed"), std::string::npos) << refused.error;
  EXPECT_FALSE(std::filesystem::exists(data + ".replaced-1"));
  EXPECT_EQ(at(show(), "/version").text, after);
  // Where nothing stands it may be all that there is.
  data = file("elsewhere.penstock");
  const auto restored = call({"restore", copy, "--json"});
  EXPECT_EQ(restored.status, 3) << restored.out << restored.error;
  EXPECT_EQ(at(restored.document(), "/refused/code").text, "cli.copy_not_clean");
  EXPECT_TRUE(std::filesystem::exists(data));
}

TEST_F(CliJob, ABackupNeedsAName) {
  ready();
  const auto ended = call({"backup", "-", "--json"});
  EXPECT_NE(ended.status, 0) << ended.out;
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "cli.copy_needs_name") << ended.error;
  EXPECT_FALSE(std::filesystem::exists("-"));
}

TEST_F(CliJob, H21_AChangedByteIsFound) {
  ready();
  auto bytes = read_text(data);
  const auto found = bytes.find("Tomasz");
  ASSERT_NE(found, std::string::npos);
  bytes[found] = 'J';
  write("clinic.penstock", bytes);
  std::filesystem::remove(data + "-wal");
  const auto ended = call({"verify", "--json"});
  EXPECT_EQ(ended.status, 3) << ended.out << ended.error;
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "cli.not_clean");
}

TEST_F(CliJob, H19_TwoThatFitAreNotOpened) {
  name();
  enrol();
  const auto alike = call({"register", "--name", "Noor Hadad", "--born", "1985-01-30", "--number",
                           "HS 2077", "--zone", "UTC", "--json"});
  EXPECT_EQ(alike.status, 3);
  EXPECT_EQ(at(alike.document(), "/ask/code").text, "ask.alike");
  EXPECT_EQ(call({"register", "--name", "Noor Hadad", "--born", "1985-01-30", "--number", "HS 2077",
                  "--zone", "UTC", "--yes"})
                .status,
            0);
  const auto both = call({"show", "noor", "--json"});
  EXPECT_EQ(both.status, 3);
  EXPECT_EQ(at(both.document(), "/refused/code").text, "desk.several_people");
  for (const auto* part : {"Haddad", "Hadad", "1042", "2077", "1958", "1985"}) {
    EXPECT_NE(both.error.find(part), std::string::npos) << part << both.error;
  }
  EXPECT_EQ(call({"show", "HS 2077"}).status, 0);
}

// Somebody else has an x in the name, too: a guess would end their hypo.
TEST_F(CliJob, H19_PartOfANameIsNotEnoughToWriteAndTheAnswerSaysWhoseItIs) {
  ready();
  const auto csv = write("march.csv", diary(*this, 4));
  const auto version = at(show(), "/version").text;
  const auto note = R"({"what":"note","text":"felt well"})";
  const auto moved = R"({"what":"stock moved","item":"glargine-100-cartridge","lot":"AB12",)"
                     R"("pieces":1,"way":"handed out"})";
  for (const auto* part : {"Noor", "Haddad", "noor haddad", "104", "1958"}) {
    for (const auto& words : {std::vector<std::string>{"record", part, "-", "--json"},
                              {"record", part, "-", "--yes", "--json"},
                              {"hand-out", part, "-", "--json"},
                              {"import", part, csv, "--json"},
                              {"import", part, csv, "--accept", "--odd", "bring in", "--json"}}) {
      const auto ended = call(words, words[0] == "hand-out" ? moved : note);
      EXPECT_EQ(ended.status, 3) << words[0] << " " << part << ended.out << ended.error;
      EXPECT_EQ(at(ended.document(), "/refused/code").text, "desk.person_in_full")
          << words[0] << " " << part;
      for (const auto* found : {"Haddad", "1958", "HS 1042"})
        EXPECT_NE(ended.error.find(found), std::string::npos) << ended.error;
    }
  }
  EXPECT_EQ(at(show(), "/version").text, version);
  // Whoever names them in full reads whose record it went into.
  for (const auto& full : {person, std::string("HS 1042"), std::string("hs 1042")}) {
    const auto ended = call({"record", full, "-"}, note);
    EXPECT_EQ(ended.status, 0) << ended.error;
    for (const auto* said : {"Noor Haddad", "4 June 1958", "HS 1042", "Recorded: 1 entry"})
      EXPECT_NE(ended.out.find(said), std::string::npos) << said << ended.out;
  }
  EXPECT_EQ(at(call({"record", person, "-", "--json"}, note).document(), "/whose/number").text,
            "HS 1042");
  const auto asked = call({"record", person, "-"},
                          R"({"what":"note","happened":")" + ago(-1) + R"(","text":"x"})");
  EXPECT_EQ(asked.status, 3);
  EXPECT_NE(asked.error.find("Noor Haddad"), std::string::npos) << asked.error;
  EXPECT_NE(call({"import", "HS 1042", csv}).out.find("Noor Haddad"), std::string::npos);
}

TEST_F(CliJob, H19_WhoeverReadsByPartOfANameIsToldWhoIsAlike) {
  name();
  enrol();
  const auto alone = call({"export", "Haddad"});
  EXPECT_EQ(alone.status, 0);
  EXPECT_EQ(alone.error.find("Similar names"), std::string::npos) << alone.error;
  ASSERT_EQ(call({"register", "--name", "Noor Hadad", "--born", "1985-01-30", "--number", "HS 2077",
                  "--zone", "UTC", "--yes"})
                .status,
            0);
  for (const auto& words : {std::vector<std::string>{"export", "Haddad"},
                            {"show", "Haddad"},
                            {"show", "Haddad", "--journal"}}) {
    const auto ended = call(words);
    EXPECT_EQ(ended.status, 0) << ended.error;
    for (const auto* said : {"Noor Haddad", "Noor Hadad", "30 January 1985", "HS 2077"})
      EXPECT_NE(ended.error.find(said), std::string::npos) << words[0] << ended.error;
  }
}

TEST_F(CliJob, H20_ASeenVersionThatIsPastIsAConflict) {
  ready();
  const auto ended = record(R"({"what":"note","text":"late"})", {"--seen", "1", "--json"});
  EXPECT_EQ(ended.status, 3);
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "store.version_conflict");
}

}  // namespace
}  // namespace penstock::tests
