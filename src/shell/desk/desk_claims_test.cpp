// H13: whose a pen or a cartridge is, where a file or a correction says something else.
#include <gtest/gtest.h>

#include <string>

#include "edge/json/json.hpp"
#include "edge/words/words.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

constexpr const char* given_there =
    R"({"id":"00000000000000000000000000004009","what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b01","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})";
constexpr const char* loaded_there =
    R"({"id":"0000000000000000000000000000400a","what":"cartridge loaded","happened":"2027-03-10T08:00:00+01:00","cartridge":"00000000000000000000000000000c01","pen":"00000000000000000000000000000b01","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true})";

std::string voiding(const std::string& id, const std::string& target) {
  return R"({"id":")" + id + R"(","what":"correction","target":")" + target +
         R"(","reason":"another pen"})";
}

// A bench where Mirela has a pen with a cartridge, and a file from elsewhere that gives both to
// Tove.
struct TwoClinics {
  Bench bench;
  Id mirela = bench.enrol();
  Id tove = *parse_id("00000000000000000000000000004007");
  std::string file;

  TwoClinics() {
    bench.pen_and_cartridge(mirela);
    Bench there;
    Bench::must(there.desk().register_person(
        Bench::request(
            R"({"id":")" + to_text(tove) +
            R"(","facts":[{"id":"00000000000000000000000000004008","what":"person registered","full_name":"Tove Marklund","born":"2019-08-21","number":"HS 05120","zone":"UTC"}]})"),
        there.desk().caller()));
    Bench::must(there.record(tove, given_there));
    Bench::must(there.record(tove, loaded_there));
    file = there.desk().export_journal(tove).value();
  }
  /// Whether the person's page says that a pen stands in somebody else's journal, too.
  bool is_marked(Id person) {
    const auto page = Bench::must(bench.page(person));
    return Bench::all_text(Bench::at(page, "/pens"))
               .find(words::english().text("mark.in_other_journal")) != std::string::npos;
  }
  json::Value let_in() { return Bench::must(bench.let_in(file)); }
};

TEST(DeskClaims, F1_H13_AnImportAsksAboutSomebodyElsesPenAndBothPagesSayIt) {
  TwoClinics on;
  EXPECT_FALSE(on.is_marked(on.mirela));
  const auto seen = Bench::must(
      on.bench.desk().import_journal(on.file, "tove.json", "", on.bench.desk().caller()));
  EXPECT_TRUE(Bench::at(seen, "/can_accept").flag);
  const auto what = Bench::all_text(Bench::at(seen, "/notices"));
  EXPECT_NE(what.find("2 pens and cartridges"), std::string::npos) << what;
  EXPECT_NE(what.find("Mirela Okonkwo, number HS 04172"), std::string::npos) << what;
  EXPECT_FALSE(on.bench.desk().find_person("Marklund", on.bench.desk().caller()))
      << "nothing entered before the yes";

  EXPECT_EQ(Bench::at(on.let_in(), "/fresh").text, "3");
  EXPECT_TRUE(on.is_marked(on.mirela));
  EXPECT_TRUE(on.is_marked(on.tove));
  const auto other = on.bench.another_desk();
  EXPECT_TRUE(other->export_journal(on.tove));
  // Twice is once, asks no more, and counts nobody else's facts as its own.
  Bench::must(on.bench.record(on.tove, R"({"what":"note","text":"written here"})"));
  const auto again = on.let_in();
  EXPECT_EQ(Bench::at(again, "/fresh").text, "0");
}

TEST(DeskClaims, H13_WhatAnImportNamesStaysWhoseItWas) {
  TwoClinics on;
  on.let_in();
  const std::string pen = R"("pen":"00000000000000000000000000000b01")";
  const std::string reload =
      R"({"what":"cartridge loaded","happened":"2027-03-16T08:00:00+01:00","cartridge":"00000000000000000000000000000c01",)" +
      pen +
      R"(,"copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":false})";
  Bench::must(on.bench.record(on.mirela, reload, R"("confirmed":true,)"));
  const auto theirs = on.bench.record(on.tove, reload, R"("confirmed":true,)");
  ASSERT_FALSE(theirs);
  EXPECT_EQ(theirs.error().code, codes::cartridge_of_another);
  // Nor does a fact of theirs that moves take it along.
  const auto third = on.bench.enrol_in("UTC", "Jonas Abara", "HS 3");
  Bench::must(on.bench.desk().move_fact(
      on.tove,
      Bench::request(
          R"({"fact":"00000000000000000000000000004009","to":"HS 3","reason":"wrong page"})"),
      on.bench.desk().caller()));
  Bench::must(on.bench.record(on.mirela, R"({"what":"note","text":"goes on"})"));
  EXPECT_TRUE(on.is_marked(on.mirela));
  EXPECT_TRUE(on.is_marked(third));
}

TEST(DeskClaims, H13_ACorrectionInEitherJournalLiftsTheMarkInBoth) {
  TwoClinics there;
  there.let_in();
  for (const auto* wrong : {"00000000000000000000000000004009", "0000000000000000000000000000400a"})
    Bench::must(there.bench.record(
        there.tove, voiding(std::string("000000000000000000000000000050") + (wrong + 30), wrong)));
  EXPECT_FALSE(there.is_marked(there.mirela));
  EXPECT_FALSE(there.is_marked(there.tove));

  TwoClinics here;
  here.let_in();
  here.bench.must(here.bench.record(here.mirela, R"({"what":"note","text":"x"})"));
  std::vector<std::string> mine;
  EXPECT_TRUE(here.bench.store().read([&](store::ReadTx& tx) -> Result<void> {
    const auto facts = tx.load(here.mirela);
    for (const auto& fact : *facts)
      if (fact.position == 2 || fact.position == 3) mine.push_back(to_text(fact.fact));
    return {};
  }));
  ASSERT_EQ(mine.size(), 2U);
  for (const auto& wrong : mine)
    Bench::must(here.bench.record(
        here.mirela, voiding("000000000000000000000000000060" + wrong.substr(30), wrong)));
  EXPECT_FALSE(here.is_marked(here.mirela));
  EXPECT_FALSE(here.is_marked(here.tove));
}

TEST(DeskClaims, H13_APenThatMovesIsTheirsFromThenOn) {
  Bench bench;
  const auto wrong = bench.enrol();
  bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  Bench::must(bench.record(wrong, given_there));
  Bench::must(bench.desk().move_fact(
      wrong,
      Bench::request(
          R"({"fact":"00000000000000000000000000004009","to":"HS 05120","reason":"wrong page"})"),
      bench.desk().caller()));
  const std::string again =
      R"({"what":"pen given","pen":"00000000000000000000000000000b01","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})";
  const auto taken = bench.record(wrong, again);
  ASSERT_FALSE(taken);
  EXPECT_EQ(taken.error().code, codes::pen_of_another);
}

// Injected from, the other one's card went on with the same cartridge, and nobody was asked.
TEST(DeskClaims, H13_AnInjectionFromSomebodyElsesCartridgeIsASharedPenForBoth) {
  Bench bench("2027-03-16T21:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  const auto tove = bench.enrol_in("Europe/Berlin", "Tove Marklund", "HS 05120");
  const std::string given =
      R"({"id":"00000000000000000000000000007001","what":"injected","happened":"2027-03-16T21:20:00+01:00","cartridge":"00000000000000000000000000000c01","units":10})";
  const auto asked = Bench::must(bench.record(tove, given));
  const auto questions = Bench::all_text(asked);
  EXPECT_NE(questions.find("Mirela Okonkwo, number HS 04172"), std::string::npos) << questions;
  EXPECT_EQ(Bench::at(Bench::must(bench.page(mirela)), "/next/state").text, "dial");
  const auto recorded = Bench::must(bench.record(tove, given, R"("confirmed":true,)"));
  const auto exposed = Bench::at(recorded, "/questions/0").text;
  EXPECT_NE(exposed.find("Mirela Okonkwo’s insulin glargine pen"), std::string::npos) << exposed;
  EXPECT_NE(exposed.find("Tove Marklund"), std::string::npos) << exposed;
  const auto hers = Bench::must(bench.page(mirela));
  EXPECT_EQ(Bench::at(hers, "/next/refusal/code").text, "interlock.pen_shared");
  for (const auto person : {mirela, tove})
    EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/asks/0/title").text,
              tests::piece("sentences/ask.exposure_title"));
  // Sent again it is known; a second injection from it asks nothing new of hers.
  Bench::must(bench.record(tove, given));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(mirela)), "/asks").members.size(), 1U);
  // What is only counted is asked about, and exposes nobody.
  const std::string counted =
      R"({"what":"scale counted","cartridge":"00000000000000000000000000000c01","units":280})";
  EXPECT_EQ(Bench::at(Bench::must(bench.record(tove, counted)), "/ask/code").text,
            "ask.used_of_another");
}

TEST(DeskClaims, H13_H37_H40_H54_WhatSomethingHangsOnIsNotMovedAway) {
  Bench bench("2027-03-16T21:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.enrol_in("Europe/Berlin", "Tove Marklund", "HS 05120");
  bench.order(mirela);
  Bench::must(bench.record(mirela, given_there));
  Bench::must(bench.record(mirela, loaded_there));
  Bench::must(bench.record(
      mirela,
      R"({"what":"primed","happened":"2027-03-16T21:20:00+01:00","cartridge":"00000000000000000000000000000c01","units":4,"flow":"seen"})"));
  Bench::must(bench.record(
      mirela,
      R"({"id":"00000000000000000000000000007002","what":"question opened","happened":"2027-03-16T21:21:00+01:00","reason":"lows","text":"two lows"})"));
  const auto moved = [&](const std::string& fact) {
    const auto done = bench.desk().move_fact(
        mirela,
        Bench::request(R"({"fact":")" + fact + R"(","to":"HS 05120","reason":"wrong page"})"),
        bench.desk().caller());
    return done ? std::string("moved") : done.error().code;
  };
  EXPECT_EQ(moved("00000000000000000000000000004009"), "desk.pen_stands");
  EXPECT_EQ(moved("0000000000000000000000000000400a"), "desk.load_stands");
  EXPECT_EQ(moved("00000000000000000000000000007002"), "ask.question_struck");
  EXPECT_EQ(moved("00000000000000000000000000000a01"), "desk.move_line_stands");
  EXPECT_NE(Bench::at(Bench::must(bench.page(mirela)), "/asks").members.size(), 0U);
}

// Sent there it was asked about; moved there it was not.
TEST(DeskClaims, H13_H04_WhatIsMovedIsAskedAboutWhereItArrives) {
  Bench bench("2027-03-16T21:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  const auto tove = bench.enrol_in("Europe/Berlin", "Tove Marklund", "HS 05120");
  Bench::must(bench.record(
      mirela,
      R"({"id":"00000000000000000000000000007004","what":"injected","happened":"2027-03-16T21:20:00+01:00","cartridge":"00000000000000000000000000000c01","units":10,"line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  const auto moved = [&](const std::string& fact, const std::string& more = "") {
    return bench.desk().move_fact(
        mirela,
        Bench::request(R"({"fact":")" + fact + R"(","to":"HS 05120","reason":"wrong page")" + more +
                       "}"),
        bench.desk().caller());
  };
  const std::string dose = "00000000000000000000000000007004";
  const auto asked = Bench::all_text(Bench::at(Bench::must(moved(dose)), "/ask"));
  EXPECT_NE(asked.find("is on record for Mirela Okonkwo, number HS 04172"), std::string::npos)
      << asked;
  const auto done = Bench::must(moved(dose, R"(,"confirmed":true)"));
  EXPECT_NE(Bench::at(done, "/questions/0").text.find("Mirela Okonkwo’s insulin glargine pen"),
            std::string::npos)
      << Bench::all_text(done);
  for (const auto person : {mirela, tove})
    EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/asks/0/title").text,
              tests::piece("sentences/ask.exposure_title"));
  const auto again = Bench::must(moved(dose, R"(,"confirmed":true)"));
  EXPECT_EQ(Bench::at(again, "/version").text, Bench::at(done, "/version").text);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(tove)), "/asks").members.size(), 1U);
}

TEST(DeskClaims, H40_ASecondCheckIsNotMovedToWhereItChecksNothing) {
  Bench bench;
  const auto mirela = bench.enrol();
  bench.enrol_in("Europe/Berlin", "Tove Marklund", "HS 05120");
  bench.order(mirela, "00000000000000000000000000000a01", "", false);
  Bench::must(bench.record(
      mirela,
      R"({"id":"00000000000000000000000000007005","what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)" +
          std::string(Bench::reading) + "}"));
  const auto moved = bench.desk().move_fact(
      mirela,
      Bench::request(
          R"({"fact":"00000000000000000000000000007005","to":"HS 05120","reason":"wrong page","confirmed":true})"),
      bench.desk().caller());
  ASSERT_FALSE(moved);
  EXPECT_EQ(moved.error().code, "desk.line_unknown");
}

TEST(DeskClaims, H07_H19_ADoseThatComesBackByAMoveIsAskedAboutAndOneEntryGoesToOnePerson) {
  Bench bench("2027-03-16T22:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.enrol_in("Europe/Berlin", "Tove Marklund", "HS 05120");
  bench.enrol_in("Europe/Berlin", "Jonas Abara", "HS 3");
  bench.order(mirela);
  Bench::must(bench.record(mirela, given_there));
  Bench::must(bench.record(mirela, loaded_there));
  Bench::must(bench.record(
      mirela,
      R"({"id":"00000000000000000000000000007003","what":"injected","happened":"2027-03-16T22:00:00+01:00","cartridge":"00000000000000000000000000000c01","units":18,"line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  const auto moved = [&](const std::string& to, const std::string& more = "") {
    const auto done = bench.desk().move_fact(
        mirela,
        Bench::request(R"({"fact":"00000000000000000000000000007003","to":")" + to +
                       R"(","reason":"wrong page")" + more + "}"),
        bench.desk().caller());
    if (!done) return done.error().code;
    const auto& asked = Bench::at(*done, "/ask/code").text;
    return asked.empty() ? std::string("moved") : asked;
  };
  EXPECT_EQ(moved("HS 05120"), "ask.gives_back");
  EXPECT_EQ(moved("HS 05120", R"(,"confirmed":true)"), "moved");
  EXPECT_EQ(moved("HS 05120", R"(,"confirmed":true)"), "moved");  // sent again
  EXPECT_EQ(moved("HS 3", R"(,"confirmed":true)"), "desk.correction_target");
}

}  // namespace
}  // namespace penstock::desk
