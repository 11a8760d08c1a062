// H18: a time is told by the person's own clock, whatever offset it was sent with.
#include <gtest/gtest.h>

#include <string>

#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

std::string given_at(const char* when) {
  return R"({"what":"injected","happened":")" + std::string(when) + R"(","cartridge":")" +
         Bench::cartridge + R"(","line":"00000000000000000000000000000a01","slot":"bedtime",)" +
         R"("units":22,"given_by":"self"})";
}

struct Ordered {
  Bench bench;
  Id person = bench.enrol();
  Ordered() {
    bench.order(person);
    bench.pen_and_cartridge(person);
  }
  std::string text(const std::string& below = "") {
    return Bench::all_text(Bench::must(bench.page(person, below)));
  }
};

TEST(DeskClock, H18_ATimeSentWithAnotherOffsetIsToldByThePersonsClock) {
  Ordered on;
  Bench::must(on.bench.record(on.person, given_at("2027-03-15T21:05:00Z")));
  EXPECT_TRUE(has(on.text("/journal"), "22:05")) << on.text("/journal");
  EXPECT_FALSE(has(on.text("/journal"), "21:05"));
  EXPECT_TRUE(has(on.text(), "Mon 15, 22:05")) << on.text();
  EXPECT_FALSE(has(on.text(), "21:05"));
}

TEST(DeskClock, H18_TheDayIsThePersonsAndACorrectionIsToldByTheSameClock) {
  Ordered on;
  auto late = given_at("2027-03-14T23:30:00Z");
  late.insert(1, R"("id":"00000000000000000000000000000d01",)");
  Bench::must(on.bench.record(on.person, late, R"("confirmed":true,)"));
  EXPECT_TRUE(has(on.text("/journal"), "Monday 15 March 2027\n")) << on.text("/journal");
  EXPECT_TRUE(has(on.text("/journal"), "00:30"));
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"correction","target":"00000000000000000000000000000d01","reason":"typo","replacement":)" +
          given_at("2027-03-15T20:40:00Z") + "}",
      R"("confirmed":true,)"));
  EXPECT_TRUE(has(on.text("/journal"), "21:40")) << on.text("/journal");
  EXPECT_FALSE(has(on.text("/journal"), "20:40"));
  EXPECT_TRUE(has(on.text(), "Mon 15, 21:40")) << on.text();
}

TEST(DeskClock, H18_ADiarysUtcIsShownByThePersonsClockBeforeItEnters) {
  Ordered on;
  const auto seen = Bench::all_text(Bench::must(on.bench.desk().diary(
      on.person, "march.csv",
      "time,what,units,cartridge\n2027-03-15T23:10Z,injected,22,insulin glargine\n", "",
      on.bench.desk().caller())));
  EXPECT_TRUE(has(seen, "Tuesday 16 March 2027, 00:10")) << seen;
}

// Set back across a change of clocks: the hour of the last entry was one off on Today.
TEST(DeskClock, H18_TheLastEntryIsToldByOneHourOnTodayAndOnThePersonsPage) {
  Bench bench("2027-06-01T13:03:00+02:00");
  bench.berlin.push_back({parse_when("2027-03-28T02:00:00+01:00").value().at, 120});
  const auto person = bench.enrol();
  bench.set_clock("2027-03-16T09:00:00+01:00");
  const auto desk = bench.another_desk();
  const auto page = "/api/people/" + to_text(person);
  for (const auto& target : {page, std::string("/api/today")}) {
    const auto text = Bench::all_text(Bench::must(tests::read_page(*desk, target)));
    EXPECT_TRUE(has(text, "Tuesday 1 June 2027, 13:03")) << target << text;
  }
}

// An empty battery: nobody needed attention, on the day on which everybody did.
TEST(DeskClock, H18_H61_TodayDoesNotSayThatNobodyNeedsAttentionByAClockThatWasSetBack) {
  Ordered on;
  const auto headline = [&] { return Bench::all_text(Bench::must(on.bench.page("/api/today"))); };
  EXPECT_FALSE(has(headline(), "was set back"));
  on.bench.set_clock("2026-01-01T09:00:00+01:00");
  EXPECT_TRUE(has(headline(), "was set back")) << headline();
}

// The hour of an appointment was shown by the sender's clock: the person came an hour off.
TEST(DeskClock, H18_AnAgreedHourIsThePersonsWhateverOffsetItWasSentWith) {
  Bench bench;
  const auto person = bench.enrol();
  const auto text = [&](const std::string& below) {
    return Bench::all_text(Bench::must(bench.page(person, below)));
  };
  Bench::must(bench.record(
      person,
      R"({"what":"appointment made","meeting":"visit","at":"2027-03-17T08:30:00Z","why":"review"})"));
  for (const auto* below : {"/journal", "/assessment"}) {
    EXPECT_TRUE(has(text(below), "09:30")) << text(below);
    EXPECT_FALSE(has(text(below), "08:30")) << below;
  }
  bench.set_clock("2027-03-17T08:00:00+01:00");
  const auto today = Bench::all_text(Bench::must(bench.page("/api/today")));
  EXPECT_TRUE(has(today, "09:30")) << today;
  Bench::must(bench.record(
      person,
      R"({"what":"contact made","meeting":"call","outcome":"reached","rings_back":"we","ring_back_by":"2027-03-17T16:45:00Z"})"));
  EXPECT_TRUE(has(text("/journal"), "17:45")) << text("/journal");
  EXPECT_FALSE(has(text("/journal"), "16:45"));
}

TEST(DeskClock, H18_AfterAMoveTheJournalKeepsItsHoursAndTheCardHasOneClock) {
  Ordered on;
  Bench::must(on.bench.record(on.person, given_at("2027-03-15T21:05:00Z")));
  on.bench.set_clock("2027-03-16T14:20:00+01:00");
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"details changed","full_name":"Mirela Okonkwo","born":"1958-06-04","number":"HS 04172","zone":"UTC"})",
      R"("confirmed":true,)"));
  EXPECT_TRUE(has(on.text("/journal"), "22:05")) << on.text("/journal");
  EXPECT_TRUE(has(on.text(), "interlock.zone_moved"));
  const std::string asked = "00000000000000000000000000000d01";
  Bench::must(on.bench.record(
      on.person, R"({"id":")" + asked + R"(","what":"question opened","reason":"travel"})"));
  Bench::must(on.bench.record(
      on.person, R"({"what":"question answered","question":")" + asked +
                     R"(","answer":"keep the dose","by":"Dr Osei","text":"late evening there",)"
                     R"("read_back":true})"));
  EXPECT_TRUE(has(on.text(), "Mon 15, 21:05")) << on.text();
}

// Somebody else was seen at four, and the clock was set back to ten past two: this person's last
// entry is of before that, and their pages went on by the false time.
struct SetBack : Clinic {
  Id other = enrol("Tove Marklund", "1969-08-21", "HS 05120");
  static constexpr const char* note = R"({"what":"note","text":"Seen."})";
  SetBack() : Clinic("2027-03-16T21:30:00+01:00") {
    set_clock("2027-03-17T16:00:00+01:00");
    must(record(other, note));
    set_clock("2027-03-16T21:45:00+01:00");
  }
  json::Value ask(Id person) { return must(record(person, note)); }
};

TEST(DeskClock, H18_H61_H57_AnothersLaterEntryShowsThatTheClockWasSetBack) {
  SetBack clinic;
  EXPECT_EQ(clinic.refusal(), "interlock.clock_back");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_TRUE(has(clinic.all(), tests::piece("sentences/next.clock_back"))) << clinic.all();
  EXPECT_FALSE(tests::tells_number(Bench::all_text(clinic.phone())));
  for (const auto* paper : {"/dial-card", "/log-sheet", "/steps"})
    EXPECT_EQ(code(clinic.Bench::page(clinic.person, paper)), "desk.sheet_clock") << paper;
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))),
                  tests::piece("sentences/today.clock_back")));
  // As another program on the same store, and one that starts anew.
  const auto again = clinic.another_desk();
  const auto page = tests::read_page(*again, "/api/people/" + to_text(clinic.person));
  EXPECT_EQ(Bench::at(Bench::must(page), "/next/refusal/code").text, "interlock.clock_back");
  clinic.set_clock("2027-03-17T16:05:00+01:00");
  EXPECT_NE(clinic.refusal(), "interlock.clock_back");
}

TEST(DeskClock, H18_H61_TheFirstEntryForAnybodyIsAskedAboutAndAYesSaysThatTheClockIsRight) {
  SetBack clinic;
  EXPECT_EQ(Bench::at(clinic.ask(clinic.person), "/ask/code").text, codes::ask_clock_back);
  EXPECT_EQ(clinic.refusal(), "interlock.clock_back") << "nobody has said yes";
  const auto registered = clinic.desk().register_person(
      Bench::request(
          R"({"facts":[{"what":"person registered","full_name":"Bo Lindqvist","born":"1971-02-11","number":"HS 06001","zone":"Europe/Berlin"}]})"),
      clinic.desk().caller());
  EXPECT_EQ(Bench::at(Bench::must(registered), "/ask/code").text, codes::ask_clock_back);
  Bench::must(clinic.record(clinic.person, SetBack::note, R"("confirmed":true,)"));
  EXPECT_TRUE(tests::tells_number(clinic.all()));
  EXPECT_FALSE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))),
                   tests::piece("sentences/today.clock_back")));
  // Whose own last entry was by the other clock is asked about once more.
  EXPECT_EQ(Bench::at(clinic.ask(clinic.other), "/ask/code").text, codes::ask_clock_back);
}

// What enters without that question says nothing of the clock.
TEST(DeskClock, H18_H61_WhatIsNotAskedAboutDoesNotSayThatTheClockIsRight) {
  SetBack clinic;
  EXPECT_TRUE(clinic.desk().seal_heads(clinic.desk().caller()));
  EXPECT_EQ(clinic.refusal(), "interlock.clock_back");
  // Nor does a yes to what was asked before the record was looked at, unless the clock was, too.
  const auto alike = clinic.desk().register_person(
      Bench::request(
          R"({"facts":[{"what":"person registered","full_name":"Tove Marklund","born":"1971-02-11","number":"HS 06001","zone":"Europe/Berlin"}]})"),
      clinic.desk().caller());
  EXPECT_TRUE(has(Bench::all_text(Bench::must(alike)), tests::piece("errors/ask.clock_back/what")));
}

}  // namespace
}  // namespace penstock::desk
