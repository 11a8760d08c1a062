// A diary that comes in is held against what is on record, as what is typed is (H22, H25, H56).
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

constexpr const char* header = "time,what,units,cartridge,zone,spot,note,id\n";

struct Keeping {
  Bench bench;
  Id person = bench.enrol();
  Keeping() {
    bench.order(person);
    bench.pen_and_cartridge(person);
  }
  Result<json::Value> diary(const std::string& rows, const std::string& accept = "",
                            const diary::DiaryAnswers& answers = {}) {
    return bench.desk().diary(person, "march.csv", header + rows, accept, bench.desk().caller(),
                              answers);
  }
  json::Value look(const std::string& rows) { return Bench::must(diary(rows)); }
  json::Value take(const std::string& rows) {
    return Bench::must(diary(rows, Bench::at(look(rows), "/digest").text));
  }
};

bool has(const json::Value& document, const std::string& part) {
  return Bench::all_text(document).find(part) != std::string::npos;
}

TEST(DeskDiary, H22_H19_AnIdOfAnotherPersonsEntryIsRefusedInThePreview) {
  Keeping on;
  const auto other = on.bench.enrol("Jonas Weber", "1971-02-11", "HS 05555");
  Bench::must(on.bench.record(
      other, R"({"id":"00000000000000000000000000000e01","what":"note","text":"Phoned"})"));
  const auto seen = on.look(
      "2027-03-15T22:00,injected,22,insulin glargine,,,,00000000000000000000000000000e01\n");
  EXPECT_FALSE(Bench::at(seen, "/can_accept").flag);
  EXPECT_TRUE(has(seen, tests::piece("errors/diary.id_elsewhere/what"))) << Bench::all_text(seen);
}

TEST(DeskDiary, H22_H57_WhatWasExportedAndChangedByHandIsNotKnown) {
  Keeping on;
  on.take("2027-03-15T22:00,injected,22,insulin glargine,,,,\n");
  auto file = on.bench.desk().export_diary(on.person).value();
  const auto again = Bench::must(
      on.bench.desk().diary(on.person, "again.csv", file, "", on.bench.desk().caller()));
  EXPECT_TRUE(has(again, "Nothing new")) << Bench::all_text(again);
  EXPECT_FALSE(has(again, "differs")) << Bench::all_text(again);
  file.replace(file.find("injected,22"), 11, "injected,30");
  const auto changed = Bench::must(
      on.bench.desk().diary(on.person, "again.csv", file, "", on.bench.desk().caller()));
  EXPECT_FALSE(Bench::at(changed, "/can_accept").flag);
  EXPECT_TRUE(has(changed, "but differs from this line")) << Bench::all_text(changed);
}

TEST(DeskDiary, H22_H56_LinesThatWereStruckOutAreNotSaidToCount) {
  Keeping on;
  const std::string row = "2027-03-15T22:00,injected,22,insulin glargine,,,,";
  on.take(row + "00000000000000000000000000000e02\n");
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"correction","target":"00000000000000000000000000000e02","reason":"wrong file"})",
      R"("confirmed":true,)"));
  const auto seen = on.look(row + "00000000000000000000000000000e02\n");
  EXPECT_TRUE(has(seen, "entered in error")) << Bench::all_text(seen);
}

std::string given(const char* when, const char* units) {
  return R"({"what":"injected","happened":")" + std::string(when) + R"(","cartridge":")" +
         Bench::cartridge + R"(","line":"00000000000000000000000000000a01","slot":"bedtime",)" +
         R"("units":)" + units + R"(,"given_by":"self"})";
}

// Typed they are asked about, too.
TEST(DeskDiary, H25_H04_ADoseThatIsNotTheOrdersIsAskedAbout) {
  Keeping on;
  const auto seen = on.look(
      "2027-03-12T22:00,injected,22,insulin glargine,,,,\n"
      "2027-03-13T22:00,injected,28,insulin glargine,,,,\n"
      "2027-03-14T22:00,injected,12,insulin glargine,,,,\n");
  ASSERT_EQ(Bench::at(seen, "/odd").members.size(), 2U) << Bench::all_text(seen);
  EXPECT_TRUE(has(Bench::at(seen, "/odd/0"), "The row says 28 units"));
  EXPECT_TRUE(has(Bench::at(seen, "/odd/1"), "the order has 22 units for that time"));
}

// A slip in the year entered in silence.
TEST(DeskDiary, H22_ARowOfBeforeTheirBirthIsRefusedAndOneOfLongBeforeTheirTherapyAskedAbout) {
  Keeping on;  // born in 1958; an order and a pen since March 2027
  const auto seen = on.look(
      "1900-03-12T22:00,injected,22,1,,,,\n"
      "1958-06-03T22:00,note,,,,,looked at it,\n"
      "1958-06-04T22:00,injected,22,1,,,,\n"
      "2026-03-12T22:00,injected,22,1,,,,\n"
      "2026-09-02T22:00,injected,22,1,,,,\n");
  ASSERT_EQ(Bench::at(seen, "/bad").members.size(), 2U) << Bench::all_text(seen);
  EXPECT_EQ(Bench::at(seen, "/bad/0/line").text, "2");
  EXPECT_TRUE(has(Bench::at(seen, "/bad/1"), "before the person’s birth date"));
  ASSERT_EQ(Bench::at(seen, "/odd").members.size(), 2U) << Bench::all_text(seen);
  EXPECT_EQ(Bench::at(seen, "/odd/0/line").text, "4");
  EXPECT_TRUE(has(Bench::at(seen, "/odd/1"), "more than half a year before")) << "a year's slip";
}

TEST(DeskDiary, H56_H07_TheSameDoseRememberedWithAnotherAmountIsShownBesideIt) {
  Keeping on;
  Bench::must(on.bench.record(on.person, given("2027-03-15T22:05:00+01:00", "22")));
  const auto seen = on.look(
      "2027-03-14T22:00,injected,22,insulin glargine,,,,\n"
      "2027-03-15T22:00,injected,20,insulin glargine,,,,\n");
  ASSERT_EQ(Bench::at(seen, "/near").members.size(), 1U) << Bench::all_text(seen);
  EXPECT_TRUE(has(Bench::at(seen, "/near/0"), "22:05: 22 units"));
}

TEST(DeskDiary, H57_ADoseThatSomebodySaidWasNotTakenIsAskedAbout) {
  Keeping on;
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-15","was":"not taken"})"));
  const auto seen = on.look("2027-03-15T22:00,injected,22,insulin glargine,,,,\n");
  ASSERT_EQ(Bench::at(seen, "/odd").members.size(), 1U) << Bench::all_text(seen);
  EXPECT_TRUE(has(Bench::at(seen, "/odd/0"), "on record as not taken"));
}

TEST(DeskDiary, H13_H12_ARowThatNamesAnInsulinOfWhichTwoPensAreInUseIsAskedAbout) {
  Keeping on;
  const std::string row = "2027-03-15T22:00,injected,22,insulin glargine,,,,\n";
  EXPECT_FALSE(has(on.look(row), "Two pens"));
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"pen given","happened":"2027-03-12T09:00:00+01:00","pen":"00000000000000000000000000000b02","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})",
      R"("confirmed":true,)"));
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"cartridge loaded","happened":"2027-03-12T09:05:00+01:00","cartridge":"00000000000000000000000000000c02","pen":"00000000000000000000000000000b02","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":"K7"})",
      R"("confirmed":true,)"));
  const auto seen = on.look(row);
  EXPECT_EQ(Bench::at(seen, "/odd").members.size(), 1U);
  EXPECT_TRUE(has(seen, "counted in the one with lot K7")) << Bench::all_text(seen);
  // By its lot it is that one; before the second came there was one alone.
  EXPECT_FALSE(has(on.look("2027-03-15T22:00,injected,22,K7,,,,\n"), "Two pens"));
  EXPECT_FALSE(has(on.look("2027-03-11T22:00,injected,22,insulin glargine,,,,\n"), "Two pens"));
}

// A row of the person's own hand lifted what holds the dose, and nothing was asked.
// The units left a cartridge that was gone, and the one in the pen kept its full count.
TEST(DeskDiary, H02_H41_ARowFromACartridgeThatWasNotInAPenThenIsAskedAbout) {
  Keeping on;
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"thrown away","cartridge":"00000000000000000000000000000c01","reason":"other","happened":"2027-03-10T09:00:00+01:00"})"));
  for (const auto* name : {"1", "insulin glargine"}) {
    const auto seen = on.look("2027-03-15T22:00,injected,22," + std::string(name) + ",,,,\n");
    EXPECT_TRUE(has(seen, tests::piece("errors/ask.cartridge_ended/what"))) << name;
  }
  EXPECT_FALSE(has(on.look("2027-03-09T22:00,injected,22,1,,,,\n"),
                   tests::piece("errors/ask.cartridge_ended/what")));
}

TEST(DeskDiary, H59_H41_AScaleRowThatBringsTheNumberIsAskedAboutWithTheDose) {
  const auto shows_number = [](Keeping& on) {
    return Bench::at(Bench::must(on.bench.page(on.person)), "/next/state").text == "dial";
  };
  const std::string rows =
      "2027-03-16T13:55,note,,,,,looked at it,\n2027-03-16T14:05,scale,300,insulin glargine,,,,\n";
  for (const auto answer : {diary::AskedRows::leave_out, diary::AskedRows::bring_in}) {
    Keeping on;
    Bench::must(on.bench.record(
        on.person,
        R"({"what":"scale counted","happened":"2027-03-16T13:00:00+01:00","cartridge":")" +
            std::string(Bench::cartridge) + R"(","units":255})"));
    EXPECT_FALSE(shows_number(on));
    const auto seen = on.look(rows);
    ASSERT_EQ(Bench::at(seen, "/odd").members.size(), 1U) << Bench::all_text(seen);
    const auto why = Bench::at(seen, "/odd/0/why").text;
    EXPECT_NE(why.find("22 units of insulin glargine"), std::string::npos) << why;
    EXPECT_EQ(Bench::at(seen, "/odd/0/what").text, "Scale counted, 300 units");
    const auto digest = Bench::at(seen, "/digest").text;
    EXPECT_FALSE(on.diary(rows, digest));
    Bench::must(on.diary(rows, digest, {{}, answer}));
    EXPECT_EQ(shows_number(on), answer == diary::AskedRows::bring_in);
  }
}

}  // namespace
}  // namespace penstock::desk
