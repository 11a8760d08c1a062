// Who somebody is, and whose order was copied: a slip at the desk loses nobody and doses nobody.
#include <gtest/gtest.h>

#include "core/order/asked/asked.hpp"
#include "edge/diary/diary.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

std::string code(const Result<json::Value>& answer) {
  return answer ? Bench::at(*answer, "/ask/code").text : answer.error().code;
}

std::string details(const std::string& name, const std::string& number) {
  return R"({"what":"details changed","full_name":")" + name +
         R"(","born":"1958-04-06","number":")" + number + R"(","phone":"555 0142"})";
}

std::string registration_of(const json::Value& journal) {
  for (const auto& row : Bench::at(journal, "/rows").members) {
    if (Bench::at(row.value, "/fact/what").text == "person registered")
      return Bench::at(row.value, "/id").text;
  }
  return {};
}

// nurse A4, B9: the only way to mend a misspelt name made the person vanish.
TEST(People, H54_NameBirthDateNumberAndPhoneAreChangedByAFact) {
  Bench bench;
  const auto person = bench.enrol("Mirela Okonkwo");
  bench.order(person);
  bench.pen_and_cartridge(person);
  Bench::must(bench.record(person, details("Mirela Okonkwo-Hale", "HS 04999")));
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/who/name").text, "Mirela Okonkwo-Hale");
  EXPECT_EQ(Bench::at(page, "/who/number").text, "HS 04999");
  EXPECT_EQ(Bench::at(page, "/who/phone").text, "555 0142");
  EXPECT_EQ(Bench::at(page, "/next/state").text, "dial");
  const auto people = Bench::must(bench.page("/api/people"));
  EXPECT_NE(Bench::all_text(people).find("Mirela Okonkwo-Hale"), std::string::npos);
  EXPECT_TRUE(bench.desk().find_person("HS 04999", bench.desk().caller()));
}

TEST(People, H18_ATimeZoneIsChangedByAFactAfterAQuestion) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto due = [&] { return Bench::at(Bench::must(bench.page(person)), "/next/in_text").text; };
  const auto before = due();
  auto moved = details("Mirela Okonkwo", "HS 04172");
  moved.insert(moved.size() - 1, R"(,"zone":"UTC")");
  EXPECT_EQ(code(bench.record(person, moved)), codes::ask_zone);
  Bench::must(bench.record(person, moved, R"("confirmed":true,)"));
  EXPECT_NE(due(), before);
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/details_fact/zone").text, "UTC");
  EXPECT_NE(Bench::all_text(Bench::at(page, "/background")).find("UTC"), std::string::npos);
  EXPECT_NE(Bench::all_text(Bench::at(Bench::must(bench.page(person, "/journal")), "/rows"))
                .find("time zone UTC"),
            std::string::npos);
  // Left out it stays, and nothing is asked; one that does not exist is refused.
  EXPECT_EQ(code(bench.record(person, details("Mirela Okonkwo", "HS 04172"))), "");
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/details_fact/zone").text, "UTC");
  moved.replace(moved.find("UTC"), 3, "Mars");
  EXPECT_EQ(code(bench.record(person, moved, R"("confirmed":true,)")), codes::zone_unknown);
}

TEST(People, H19_ANumberOrANameOfSomebodyElseIsNotTakenOverUnasked) {
  Bench bench;
  const auto person = bench.enrol("Mirela Okonkwo", "1958-06-04", "HS 04172");
  bench.enrol("Rafael Lindqvist", "1971-02-11", "HS 0001");
  EXPECT_EQ(code(bench.record(person, details("Mirela Okonkwo", "hs 0001"))), codes::number_taken);
  EXPECT_EQ(code(bench.record(person, details("Rafael Lindquist", "HS 04172"))), codes::ask_alike);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/who/name").text, "Mirela Okonkwo");
}

TEST(People, H54_H07_WhatWasLoadedAndGivenIsNotStruckOutWhileAnythingHangsOnIt) {
  Bench bench;
  const auto person = bench.enrol();
  Bench::must(bench.record(
      person,
      R"({"id":"00000000000000000000000000000e01","what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b01","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})"));
  const auto load = [](const std::string& lot, const std::string& cartridge) {
    return R"("what":"cartridge loaded","happened":"2027-03-02T09:11:00+01:00","cartridge":")" +
           cartridge +
           R"(","pen":"00000000000000000000000000000b01","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":")" +
           lot + "\"}";
  };
  const std::string own = Bench::cartridge;
  Bench::must(
      bench.record(person, R"({"id":"00000000000000000000000000000e02",)" + load("AB1", own)));
  const auto correct = [&](const std::string& target, const std::string& instead = "") {
    const auto more = instead.empty() ? "" : R"(,"replacement":)" + instead;
    return code(bench.record(person, R"({"what":"correction","target":")" + target +
                                         R"(","reason":"typing slip")" + more + "}"));
  };
  const std::string pen = "00000000000000000000000000000e01";
  const std::string loaded = "00000000000000000000000000000e02";
  Bench::must(bench.record(
      person, R"({"what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" + own +
                  R"(","units":22})"));
  EXPECT_EQ(correct(pen), codes::pen_stands);
  EXPECT_EQ(correct(loaded), codes::load_stands);
  EXPECT_EQ(correct(loaded, "{" + load("AB2", "00000000000000000000000000000c02")),
            codes::load_stands);
  EXPECT_EQ(correct(loaded, "{" + load("AB2", own)), "");
}

// A correction went round what the same fact meets when it is recorded.
TEST(People, H07_H13_H18_H19_ACorrectionMeetsWhatTheFactWouldMeet) {
  Bench bench("2027-03-16T22:10:00+01:00");
  const auto theirs = bench.enrol("Tove Marklund", "1971-02-11", "HS 05120");
  bench.pen_and_cartridge(theirs);
  const auto person = bench.enrol();
  const std::string note = "00000000000000000000000000000e01";
  Bench::must(bench.record(person, R"({"id":")" + note + R"(","what":"note","text":"x"})"));
  const auto into = [&](const std::string& instead) {
    return code(bench.record(person, R"({"what":"correction","target":")" + note +
                                         R"(","reason":"typing slip","replacement":)" + instead +
                                         "}"));
  };
  EXPECT_EQ(
      into(
          R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b01","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})"),
      codes::pen_of_another);
  EXPECT_EQ(
      into(
          R"({"what":"details changed","happened":"2027-03-16T20:00:00+01:00","full_name":"Tove Marklund","born":"1971-02-11","number":"HS 9","phone":""})"),
      codes::ask_alike);
  bench.order(person);
  const std::string dose =
      R"({"what":"injected","happened":"2027-03-16T22:00:00+01:00","cartridge":"00000000000000000000000000000c09","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime"})";
  Bench::must(bench.record(person, dose, R"("confirmed":true,)"));
  EXPECT_EQ(into(dose), codes::ask_taken_already);
  EXPECT_EQ(into(R"({"what":"note","happened":"2027-03-16T20:00:00+01:00","text":"y"})"), "");
  const std::string correction = "00000000000000000000000000000e07";
  Bench::must(bench.record(person, R"({"id":")" + correction +
                                       R"(","what":"correction","target":")" + note +
                                       R"(","reason":"typing slip"})"));
  EXPECT_EQ(code(bench.record(person, R"({"what":"correction","target":")" + correction +
                                          R"(","reason":"was right"})")),
            codes::correction_stands);
}

TEST(People, H54_ARegistrationIsNotVoidedWhileAnythingHangsOnIt) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  const auto registration = registration_of(Bench::must(bench.page(person, "/journal")));
  ASSERT_FALSE(registration.empty());
  const auto voided =
      R"({"what":"correction","target":")" + registration + R"(","reason":"misspelt"})";
  EXPECT_EQ(code(bench.record(person, voided)), codes::registration_stands);
  EXPECT_NE(Bench::all_text(Bench::must(bench.page("/api/people"))).find("Mirela Okonkwo"),
            std::string::npos);

  const auto twice = bench.enrol("Lumi Abernathy", "1990-01-01", "HS 7");  // registered by mistake
  const auto by_mistake = registration_of(Bench::must(bench.page(twice, "/journal")));
  Bench::must(bench.record(twice, R"({"what":"correction","target":")" + by_mistake +
                                      R"(","reason":"registered twice"})"));
}

// nurse A21: "x" put a dose in question out of sight, and nothing listed what was put aside.
TEST(People, H62_WhatKeepsADoseInQuestionIsNotDismissedAndTheRestIsListedWithAWayBack) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line =
      bench.order(person, "00000000000000000000000000000a01", R"(,"signature_owed":true)");
  bench.pen_and_cartridge(person);
  const std::string question = "00000000000000000000000000000d01";
  Bench::must(bench.record(person, R"({"id":")" + question +
                                       R"(","what":"question opened","line":")" + line +
                                       R"(","reason":"lows","text":"two lows"})"));
  const auto dismissed = [&](const std::string& reminder, const std::string& basis,
                             const std::string& reason) {
    return code(bench.record(person, R"({"what":"reminder dismissed","reminder":")" + reminder +
                                         R"(","basis":")" + basis + R"(","reason":")" + reason +
                                         R"("})"));
  };
  const auto today = Bench::must(bench.page("/api/today"));
  std::string basis;
  const auto look = [&](const json::Value& thing) {
    const auto* dismiss = thing.find("dismiss");
    if (dismiss == nullptr) return;
    EXPECT_NE(Bench::at(*dismiss, "/reminder").text, "question_open");
    if (Bench::at(*dismiss, "/reminder").text == "signature_owed")
      basis = Bench::at(*dismiss, "/basis").text;
  };
  for (const auto& group : Bench::at(today, "/groups").members) {
    for (const auto& need : Bench::at(group.value, "/needs").members) {
      look(need.value);
      for (const auto& other : Bench::at(need.value, "/also").members) look(other.value);
    }
  }
  ASSERT_FALSE(basis.empty()) << Bench::all_text(today);
  EXPECT_EQ(dismissed("question_open", question, "she will ring"), codes::stop_not_dismissed);
  EXPECT_EQ(dismissed("signature_owed", basis, "x"), codes::reason_missing);
  EXPECT_EQ(dismissed("signature_owed", basis, "Dr Adeyemi signs on Friday"), "");
  const auto page = Bench::must(bench.page(person));
  ASSERT_EQ(Bench::at(page, "/dismissed").members.size(), 1U);
  EXPECT_NE(Bench::at(page, "/dismissed/0/why").text.find("Dr Adeyemi signs on Friday"),
            std::string::npos);
  const auto back = json::to_text(Bench::at(page, "/dismissed/0/action/facts/0"));
  Bench::must(bench.record(person, back));
  EXPECT_TRUE(Bench::at(Bench::must(bench.page(person)), "/dismissed").members.empty());
  EXPECT_NE(Bench::all_text(Bench::must(bench.page("/api/today"))).find("signature"),
            std::string::npos);
}

// nurse A6: a diary with times some minutes off doubled every dose, and could be undone only line
// by line.
TEST(People, H56_RowsNearlyOnRecordAreAskedAboutAndAnImportIsTakenBackWhole) {
  Bench bench("2027-03-16T23:30:00+01:00");
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  const auto inject = [&](const char* when, const char* units) {
    Bench::must(bench.record(person, R"({"what":"injected","happened":")" + std::string(when) +
                                         R"(","cartridge":")" + Bench::cartridge + R"(","units":)" +
                                         units + "}"));
  };
  inject("2027-03-12T22:00:00+01:00", "20");
  inject("2027-03-13T22:00:00+01:00", "20");
  const std::string rows =
      "time,what,units,cartridge,zone,spot,note\n"
      "2027-03-12T22:12,injected,20,insulin glargine,left thigh,,\n"
      "2027-03-13T21:55,injected,20,insulin glargine,,,\n"
      "2027-03-14T22:00,injected,20,insulin glargine,,,\n"
      "2027-03-15T22:00,injected,18,insulin glargine,,,\n";
  const auto caller = bench.desk().caller();
  const auto seen = Bench::must(bench.desk().diary(person, "a.csv", rows, "", caller));
  ASSERT_EQ(Bench::at(seen, "/near").members.size(), 2U);
  EXPECT_NE(Bench::at(seen, "/near/0/held_text").text.find("22:00"), std::string::npos);
  const auto digest = Bench::at(seen, "/digest").text;
  const auto unsaid = bench.desk().diary(person, "a.csv", rows, digest, caller);
  ASSERT_FALSE(unsaid);
  EXPECT_EQ(unsaid.error().code, diary::codes::diary_near);
  const auto left = [&] {
    return Bench::at(Bench::must(bench.page(person)), "/pens/0/cartridge/left_text").text;
  };
  EXPECT_EQ(left(), "260");
  Bench::must(
      bench.desk().diary(person, "a.csv", rows, digest, caller, {diary::AskedRows::leave_out}));
  EXPECT_EQ(left(), "222");  // 20 and 18 that were new

  std::string imported;
  const auto journal = Bench::must(bench.page(person, "/journal"));
  for (const auto& row : Bench::at(journal, "/rows").members) {
    if (Bench::at(row.value, "/fact/what").text == "diary imported")
      imported = Bench::at(row.value, "/id").text;
  }
  ASSERT_FALSE(imported.empty());
  const auto back =
      R"({"what":"correction","target":")" + imported + R"(","reason":"another person's file"})";
  EXPECT_EQ(code(bench.record(person, back)), codes::ask_take_back);
  EXPECT_EQ(left(), "222");
  Bench::must(bench.record(person, back, R"("confirmed":true,)"));
  EXPECT_EQ(left(), "260");
}

// The span is that of the next injection: two hours, and eight for basal insulin.
TEST(People, H56_H22_H25_WhatIsAskedOfADiaryIsShownWithItsNeighbourAndItsReason) {
  Bench bench("2027-03-16T23:30:00+01:00");
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  Bench::must(bench.record(person, R"({"what":"injected","happened":"2027-03-12T20:00:00+01:00",)"
                                   R"("cartridge":")" +
                                       std::string(Bench::cartridge) + R"(","units":20})"));
  const std::string rows =
      "time,what,units,cartridge,zone,spot,note\n"
      "2027-03-12T20:45,injected,20,insulin glargine,,,\n"
      "2027-03-13T20:00,injected,22,insulin glargine,,,\n"
      "2027-03-13T20:00,injected,22,insulin glargine,,,\n"
      "2027-03-13T20:50,injected,22,insulin glargine,,,\n"
      "2027-03-14T20:00,injected,200,insulin glargine,,,\n"
      "2027-03-15T18:00,injected,22,insulin glargine,,,\n"
      "2027-03-15T22:00,injected,22,insulin glargine,,,\n";
  const auto look = [&] {
    return Bench::must(bench.desk().diary(person, "a.csv", rows, "", bench.desk().caller()));
  };
  const auto seen = look();
  ASSERT_EQ(Bench::at(seen, "/near").members.size(), 2U);
  EXPECT_NE(Bench::at(seen, "/near/0/held_text").text.find("20:00"), std::string::npos);
  EXPECT_NE(Bench::at(seen, "/near/1/held_text").text.find("line 3"), std::string::npos);
  ASSERT_EQ(Bench::at(seen, "/odd").members.size(), 1U);
  EXPECT_NE(Bench::at(seen, "/odd/0/why").text.find("60"), std::string::npos);
  EXPECT_NE(Bench::all_text(Bench::at(seen, "/notices")).find("counts once"), std::string::npos);
  const auto enter = [&](const diary::DiaryAnswers& answers) {
    return code(bench.desk().diary(person, "a.csv", rows, Bench::at(seen, "/digest").text,
                                   bench.desk().caller(), answers));
  };
  using enum diary::AskedRows;
  EXPECT_EQ(enter({}), diary::codes::diary_odd);
  EXPECT_EQ(enter({not_said, leave_out}), diary::codes::diary_near);
  // Once it is on order as basal insulin, four hours are near, too.
  bench.order(person);
  EXPECT_EQ(Bench::at(look(), "/near").members.size(), 3U);
  const auto entered =
      Bench::must(bench.desk().diary(person, "a.csv", rows, Bench::at(seen, "/digest").text,
                                     bench.desk().caller(), {leave_out, leave_out}));
  // What was left out is not said to have entered.
  EXPECT_EQ(Bench::at(entered, "/fresh").text, "2");
  EXPECT_EQ(Bench::at(entered, "/sample").members.size(), 2U);
  EXPECT_NE(Bench::all_text(Bench::at(entered, "/notices")).find("4 lines were left out"),
            std::string::npos);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/pens/0/cartridge/left_text").text, "236");
}

// ---- copying an order (nurse A13, pharmacist D1, D14)

std::string copy(const std::string& more, const std::string& slots, const char* insulin,
                 const char* purpose = "background", const char* from = "paper") {
  return R"({"what":"order line signed","order_version":5,"insulin":")" + std::string(insulin) +
         R"(","strength_units_per_ml":100,"purpose":")" + purpose + R"(","slots":[)" + slots +
         R"(],"least_units":1,"most_units":30,"from":"2027-03-16","prescriber":"Dr Osei","signed_on":"2027-03-16","copied_by":"Marit Oyelaran","copied_from":")" +
         from + "\"" + more + "}";
}
constexpr const char* at_bedtime = R"({"slot":"bedtime","at":"22:00","units":20})";

TEST(Order, H52_ASecondLineOfTheSameInsulinIsAskedAbout) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  EXPECT_EQ(code(bench.record(person, copy("", at_bedtime, "insulin glargine"))),
            order::codes::ask_same_insulin);
  EXPECT_EQ(code(bench.record(person, copy("", at_bedtime, "insulin detemir"))),
            order::codes::ask_second_background);
  Bench::must(
      bench.record(person, copy(R"(,"replaces":")" + line + "\"", at_bedtime, "insulin glargine")));
}

TEST(Order, H04_H05_WhatIsOddAboutACopyIsAskedAllAtOnce) {
  Bench bench;
  const auto person = bench.enrol();
  EXPECT_EQ(code(bench.record(person, copy("", at_bedtime, "moon dust"))),
            order::codes::ask_unknown_insulin);
  EXPECT_EQ(code(bench.record(person, copy("", at_bedtime, "insulin lispro"))),
            order::codes::ask_purpose_odd);
  EXPECT_EQ(code(bench.record(person, copy("", at_bedtime, "insulin glargine", "mealtime"))),
            order::codes::ask_purpose_odd);
  const std::string twice = std::string(at_bedtime) + "," + at_bedtime;
  EXPECT_EQ(code(bench.record(person, copy("", twice, "insulin glargine"))),
            order::codes::ask_slot_twice);
  EXPECT_EQ(code(bench.record(person, copy(R"(,"read_back":true)", at_bedtime, "insulin glargine",
                                           "background", "telephone"))),
            order::codes::ask_signature);
  const auto both =
      Bench::must(bench.record(person, copy("", R"({"slot":"bedtime","at":"22:00","units":10.5})",
                                            "insulin glargine", "mealtime")));
  const auto asked = Bench::at(both, "/ask/what").text;
  EXPECT_NE(asked.find("10.5 units"), std::string::npos) << asked;
  EXPECT_NE(asked.find("not usually mealtime"), std::string::npos) << asked;
}

// nurse A12: the second check showed neither insulin, strength nor dose, and had no "it differs".
TEST(Order, H60_ASecondCheckReadsTheOrderWithoutTheCopy) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  bench.pen_and_cartridge(person);
  const auto record = [&](const std::string& reading, const std::string& more = "") {
    return bench.record(person,
                        R"({"what":"order line checked","line":")" + line +
                            R"(","checked_by":"Jonas Abara")" + reading + "}",
                        more);
  };
  const auto check = [&](const std::string& reading) { return code(record(reading)); };
  EXPECT_EQ(check(""), order::codes::check_blind);
  EXPECT_EQ(check(R"(,"reading":{"insulin":"insulin lispro","strength_units_per_ml":100})"),
            order::codes::check_insulin);
  EXPECT_EQ(check(R"(,"reading":{"insulin":"insulin glargine","strength_units_per_ml":300})"),
            order::codes::check_strength);
  EXPECT_EQ(check(R"(,"reading":{"insulin":"insulin glargine","strength_units_per_ml":100,
                     "slots":[{"slot":"breakfast","at":"22:00","units":22}]})"),
            order::codes::check_times);
  EXPECT_EQ(check(R"(,"reading":{"insulin":"insulin glargine","strength_units_per_ml":100,
                     "slots":[{"slot":"bedtime","at":"22:00","units":20}]})"),
            order::codes::check_dose);
  EXPECT_EQ(check(R"(,"reading":{"insulin":"insulin glargine","strength_units_per_ml":100,
                     "slots":[{"slot":"bedtime","at":"21:00","units":22}]})"),
            order::codes::check_time);
  EXPECT_EQ(check(std::string(",") + Bench::reading + R"(,"days_read":true,"from":"2027-03-05")"),
            order::codes::check_from);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "refused");
  // The copy's dose was told, typed over the reading and taken; the first reading
  // stood nowhere.
  const auto differs = record(R"(,"reading":{"insulin":"insulin glargine",)"
                              R"("strength_units_per_ml":100,)"
                              R"("slots":[{"slot":"bedtime","at":"22:00","units":12}]})");
  ASSERT_FALSE(differs);
  const auto told = words::english().say(differs.error());
  EXPECT_EQ((told.what + told.do_this).find("22"), std::string::npos) << told.what;
  const auto journal = Bench::all_text(Bench::must(bench.page(person, "/journal?page=1")));
  EXPECT_NE(journal.find("12 units"), std::string::npos) << journal;
  EXPECT_NE(journal.find("The order does not count as checked"), std::string::npos) << journal;
  const auto same = std::string(",") + Bench::reading;
  EXPECT_EQ(check(same), codes::ask_read_otherwise);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "refused");
  EXPECT_EQ(code(record(same, R"("confirmed":true,)")), "");
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "dial");
}

// A correction of a checked line, 34 to 44 units, was dialled under the old check.
TEST(Order, H40_H60_WhatIsCorrectedInACopyAfterItsCheckWaitsForAnother) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "dial");
  bench.set_clock("2027-03-16T15:00:00+01:00");
  Bench::must(bench.record(
      person,
      R"({"what":"correction","target":")" + line +
          R"(","reason":"28, not 22","replacement":{"happened":"2027-03-02T09:00:00+01:00","what":"order line signed","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":28}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true}})",
      R"("confirmed":true,)"));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/refusal/code").text,
            "order.unchecked");
  bench.set_clock("2027-03-16T15:05:00+01:00");
  Bench::must(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                       R"(","checked_by":"Jonas Abara",)" +
                                       Bench::reading_of("28") + "}"));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "dial");
}

// The order's line and the time of day may stay unsaid on the form: the dose was invisible, and the
// whole one stood on the card four hours later.
TEST(Order, H52_H07_ADoseWithoutItsLineIsTakenAlreadyAndTheLastOne) {
  Bench bench("2027-03-16T22:03:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  Bench::must(
      bench.record(person,
                   R"({"what":"injected","happened":"2027-03-16T17:00:00+01:00","cartridge":")" +
                       std::string(Bench::cartridge) + R"(","units":22})",
                   R"("confirmed":true,)"));
  const auto next = Bench::at(Bench::must(bench.page(person)), "/next");
  EXPECT_EQ(Bench::at(next, "/refusal/code").text, "order.taken_perhaps");
  bench.set_clock("2027-03-17T21:30:00+01:00");
  const auto card = Bench::all_text(Bench::at(Bench::must(bench.page(person)), "/next"));
  EXPECT_NE(card.find("Tue 16"), std::string::npos) << card;
}

// Without a line the second of two doses within three minutes was recorded without a word.
TEST(Order, H07_ASecondDoseWithoutItsLineIsAskedAbout) {
  Bench bench("2027-03-16T22:03:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto dose =
      R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) + R"(","units":22})";
  Bench::must(bench.record(person, dose, R"("confirmed":true,)"));
  bench.set_clock("2027-03-16T22:06:00+01:00");
  EXPECT_EQ(code(bench.record(person, dose)), codes::ask_taken_already);
}

// At the telephone the prime of a cartridge past its days was counted for the new one.
TEST(Order, H12_H44_ThePrimeOfACartridgePastItsDaysPrimesNoOther) {
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto answer = Bench::must(bench.page(
      "/api/phone",
      R"({"low_now":"no","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","last_dose":"24","pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"18","left_units":"100","days_in_use":"28","unopened":"1","prime":"seen","spent_units":"2"})"));
  const auto card = Bench::all_text(Bench::at(answer, "/card"));
  EXPECT_NE(card.find("Change the cartridge"), std::string::npos) << card;
  EXPECT_EQ(card.find("Insulin was seen"), std::string::npos) << card;
  EXPECT_NE(card.find("Prime 4 units"), std::string::npos) << card;
}

// Three dry primes of last night stood in the window of a pen that counts on, and tonight's card
// said 28 for 20 units; a flow seen yesterday was tonight's prime.
TEST(Order, H55_H01_H44_APrimeOfYesterdayIsNotTonights) {
  Bench bench("2027-03-15T22:02:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  for (int twice = 0; twice < 2; ++twice) {
    Bench::must(bench.record(person,
                             R"({"what":"window tested","pen":")" + std::string(Bench::pen) +
                                 R"(","dialled_units":2,"shown_after_units":2})",
                             R"("confirmed":true,)"));
  }
  const auto prime = [&](const char* flow) {
    Bench::must(bench.record(person,
                             R"({"what":"primed","cartridge":")" + std::string(Bench::cartridge) +
                                 R"(","units":2,"flow":")" + flow + "\"}",
                             R"("confirmed":true,)"));
  };
  const auto turn = [&] {
    const auto page = Bench::must(bench.page(person));
    for (const auto& step : Bench::at(page, "/next/steps").members) {
      if (Bench::at(step.value, "/window").flag) return Bench::at(step.value, "/title").text;
    }
    return std::string("no window");
  };
  prime("not seen");
  bench.set_clock("2027-03-15T22:03:00+01:00");
  prime("seen");
  EXPECT_EQ(turn(), "Dial 26 units");
  bench.set_clock("2027-03-16T21:50:00+01:00");
  Bench::must(bench.record(
      person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-15","was":"not taken"})",
      R"("confirmed":true,)"));
  EXPECT_EQ(turn(), "Dial 24 units");
}

// A third needle after two dry ones brought the number back.
TEST(Order, H64_AfterTwoDryNeedlesAThirdBringsNoNumberBack) {
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto tell = [&](const std::string& fact) {
    Bench::must(bench.record(person, fact, R"("confirmed":true,)"));
  };
  const auto needle = [&](int dry) {
    tell(R"({"what":"needle on","pen":")" + std::string(Bench::pen) +
         R"(","needle":"4-mm-32g","length_mm":4})");
    for (int i = 0; i < dry; ++i)
      tell(R"({"what":"primed","cartridge":")" + std::string(Bench::cartridge) +
           R"(","units":2,"flow":"not seen"})");
    tell(R"({"what":"needle off","pen":")" + std::string(Bench::pen) +
         R"(","disposal":"sharps container"})");
  };
  needle(3);
  needle(1);
  tell(R"({"what":"needle on","pen":")" + std::string(Bench::pen) +
       R"(","needle":"4-mm-32g","length_mm":4})");
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/next/state").text, "refused");
  EXPECT_FALSE(tests::tells_number(Bench::all_text(Bench::at(page, "/next"))));
  tell(R"({"what":"primed","cartridge":")" + std::string(Bench::cartridge) +
       R"(","units":2,"flow":"seen"})");
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "dial");
}

// With a person chosen, "an hour ago" was taken and thrown away.
TEST(Order, H07_AtTheTelephoneALastDoseOfAnHourAgoHoldsThePersonsNumber) {
  Bench bench("2027-03-16T22:05:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto code_with = [&](const char* hours) {
    const auto answer = Bench::must(bench.page(
        "/api/phone", Bench::call_about(person, R"(,"last_dose":")" + std::string(hours) + "\"")));
    return Bench::at(answer, "/card/refusal/code").text;
  };
  EXPECT_EQ(code_with("1"), "interlock.last_dose_lately");
  EXPECT_EQ(code_with("24"), "");
}

// 480 units entered without a word.
TEST(People, H25_WhatIsUnusualInADiaryIsShownBeforeItEnters) {
  Bench bench("2027-03-16T23:30:00+01:00");
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  const auto seen = Bench::must(
      bench.desk().diary(person, "a.csv",
                         "time,what,units,cartridge,zone,spot,note\n"
                         "2027-03-12T22:00,injected,20,1,,,\n2027-03-13T22:00,injected,280,1,,,\n",
                         "", bench.desk().caller()));
  ASSERT_EQ(Bench::at(seen, "/odd").members.size(), 1U);
  EXPECT_EQ(Bench::at(seen, "/odd/0/line").text, "3");
  EXPECT_NE(Bench::at(seen, "/odd/0/why").text.find("280"), std::string::npos);
}

// "Not known" was told as a dose of nothing.
TEST(Order, H44_WhatNobodyKnowsIsNotToldAsZeroUnits) {
  Bench bench("2027-03-15T22:05:00+01:00");
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  Bench::must(bench.record(person,
                           R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) +
                               R"(","units":0,"meant_units":22,"outcome":"unknown","line":")" +
                               line + R"(","slot":"bedtime"})",
                           R"("confirmed":true,)"));
  bench.set_clock("2027-03-16T21:50:00+01:00");
  const auto card = Bench::all_text(Bench::at(Bench::must(bench.page(person)), "/next"));
  EXPECT_EQ(card.find("Last: 0 units"), std::string::npos) << card;
}

TEST(People, H18_AnotherClockIsSaidOnEveryPageOfTheirs) {
  Bench bench;
  const auto here = bench.enrol();
  const auto away = bench.enrol_in("UTC", "Wilhelmina Osei", "HS 77");
  for (const auto* below : {"", "/journal", "/places", "/supplies"}) {
    const auto flags =
        Bench::all_text(Bench::at(Bench::must(bench.page(away, below)), "/who/flags"));
    EXPECT_NE(flags.find("UTC"), std::string::npos) << below;
    EXPECT_NE(flags.find("13:10"), std::string::npos) << below << flags;
    EXPECT_EQ(Bench::all_text(Bench::at(Bench::must(bench.page(here, below)), "/who/flags")), "");
  }
}

TEST(People, H40_H18_AnOddHourAndAStartOfLongAgoAreAskedAboutWhenAnOrderIsCopied) {
  Bench bench;
  const auto person = bench.enrol();
  const auto copied = [&](const std::string& slot, const std::string& at, const std::string& from) {
    return code(bench.record(
        person,
        R"({"what":"order line signed","order_version":1,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":")" +
            slot + R"(","at":")" + at +
            R"(","units":22}],"least_units":10,"most_units":30,"from":")" + from +
            R"(","prescriber":"Dr Osei","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})"));
  };
  EXPECT_EQ(copied("bedtime", "10:00", "2027-03-02"), "ask.slot_hour");
  EXPECT_EQ(copied("breakfast", "19:30", "2027-03-02"), "ask.slot_hour");
  EXPECT_EQ(copied("bedtime", "22:00", "2026-03-02"), "ask.old_start");
  EXPECT_EQ(copied("bedtime", "00:30", "2027-03-02"), "");
}

TEST(People, WhereNoTelephoneNumberIsLeftTheJournalSaysSo) {
  Bench bench;
  const auto person = bench.enrol();
  Bench::must(bench.record(
      person,
      R"({"what":"details changed","full_name":"Mirela Okonkwo","born":"1958-06-04","number":"HS 04172"})"));
  const auto said = Bench::all_text(Bench::must(bench.page(person, "/journal")));
  EXPECT_NE(said.find("HS 04172, " + tests::piece("sentences/fact-part.no_phone")),
            std::string::npos)
      << said;
}

// A visit is not closed in silence over an order that nobody has checked.
TEST(People, H38_AVisitIsClosedOverWhatIsOpenOnlyOntoAName) {
  Bench bench;
  const auto person = bench.enrol("Mirela Okonkwo");
  const auto visit = [&](const std::string& more) {
    return R"({"what":"visit closed","began":"2027-03-16T13:00:00+01:00")" + more + "}";
  };
  bench.order(person);
  bench.pen_and_cartridge(person);
  Bench::must(bench.record(person, R"({"what":"question opened","reason":"lows","text":"four"})"));
  EXPECT_EQ(code(bench.record(person, visit(""))), codes::ask_visit_open);
  Bench::must(bench.record(person, visit(R"(,"left_open_with":"Femi Sandoval")")));
  const auto page = Bench::must(bench.page("/api/people/" + to_text(person) + "/visit"));
  EXPECT_EQ(Bench::at(page, "/since_title").text, "Since the last visit");
}

}  // namespace
}  // namespace penstock::desk
