// Which pen somebody has: a serial number, a spare, one that was used for somebody else.
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

std::string pen_given(const std::string& pen, const std::string& serial = "",
                      const std::string& at = "2027-03-16T09:00:00+01:00") {
  return R"({"what":"pen given","happened":")" + at + R"(","pen":"00000000000000000000000000000)" +
         pen + R"(","copy":"reusable-whole-60","insulin":"insulin glargine",)" +
         R"("strength_units_per_ml":100,"serial":")" + serial + R"("})";
}
constexpr const char* shared =
    R"({"what":"pen shared","pen":"00000000000000000000000000000b01","with":"her sister"})";

TEST(DeskPens, H13_APenIsOnePersonsByItsSerialNumber) {
  Bench bench;
  const auto gwen = bench.enrol("Gwen Ashby", "1950-01-02", "HS 1");
  const auto vera = bench.enrol("Vera Window", "1951-01-02", "HS 2");
  const std::string first = "00000000000000000000000000000f01";
  auto given = pen_given("b01", "A77");
  Bench::must(bench.record(gwen, R"({"id":")" + first + "\"," + given.substr(1)));
  for (const auto* serial : {"A77", "a 77", "A-77",
                             "\xD0\x90"
                             "77" /* Cyrillic */}) {
    const auto other = bench.record(vera, pen_given("b02", serial), R"("confirmed":true,)");
    ASSERT_FALSE(other) << serial;
    EXPECT_EQ(other.error().code, "desk.serial_of_another");
    const auto twice = bench.record(gwen, pen_given("b02", serial), R"("confirmed":true,)");
    ASSERT_FALSE(twice) << serial;
    EXPECT_EQ(twice.error().code, "desk.pen_twice");
  }
  Bench::must(bench.record(vera, pen_given("b02", "A78")));
  Bench::must(bench.record(vera, pen_given("b03")));
  Bench::must(bench.record(gwen, pen_given("b04")));
  // A number that was put right is free.
  Bench::must(bench.record(gwen, R"({"what":"correction","target":")" + first +
                                     R"(","reason":"a slip","replacement":)" +
                                     pen_given("b01", "A79") + "}"));
  Bench::must(bench.record(vera, pen_given("b05", "A77")));
}

TEST(DeskPens, H13_H58_APenUsedForSomebodyElseIsTheReasonAndOpensItsQuestion) {
  Bench bench;
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  const auto recorded = Bench::must(bench.record(mirela, shared));
  ASSERT_EQ(Bench::at(recorded, "/questions").members.size(), 1U);
  EXPECT_NE(Bench::at(recorded, "/questions/0").text.find("her sister"), std::string::npos);
  const auto page = Bench::must(bench.page(mirela));
  EXPECT_EQ(Bench::at(page, "/next/refusal/code").text, "interlock.pen_shared");
  EXPECT_EQ(Bench::at(page, "/asks/0/title").text, tests::piece("sentences/ask.exposure_title"));
  EXPECT_EQ(Bench::at(page, "/asks/0/answer").members.size(), 1U);
  const auto today = Bench::all_text(Bench::must(bench.page("/api/today")));
  EXPECT_NE(today.find("exposure is waiting"), std::string::npos) << today;
  EXPECT_EQ(today.find("every dose is on hold"), std::string::npos);

  // Whose blood it was holds no dose: with another pen the number is there.
  Bench::must(bench.record(mirela, pen_given("b02")));
  bench.supplies(mirela, 3);
  const auto card = Bench::at(Bench::must(bench.page(mirela)), "/next");
  EXPECT_EQ(Bench::at(card, "/state").text, "dial");
  const auto text = Bench::all_text(card);
  EXPECT_NE(text.find("Put in a cartridge"), std::string::npos) << text;
  EXPECT_EQ(text.find("Take out the old one"), std::string::npos) << text;
  const auto sheet = Bench::all_text(Bench::must(bench.page(mirela, "/steps")));
  EXPECT_NE(sheet.find("Put in a cartridge."), std::string::npos) << sheet;

  // Said again, it is asked again; answered, it is gone.
  const auto question = Bench::at(recorded, "/recorded");
  const auto action = Bench::at(Bench::must(bench.page(mirela)), "/asks/0/answer/0/facts/0");
  auto answer = json::to_text(action);
  answer.insert(1, R"("by":"Dr Osei","text":"Blood tests for both tomorrow",)");
  Bench::must(bench.record(mirela, answer));
  EXPECT_TRUE(Bench::at(Bench::must(bench.page(mirela)), "/asks").members.empty());
  EXPECT_EQ(Bench::at(Bench::must(bench.page(mirela)), "/next/state").text, "dial");
}

TEST(DeskPens, H38_ANewlyGivenPenIsTheSpareOfTheLoadedOne) {
  Bench bench;
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  Bench::must(bench.record(mirela, pen_given("b02")));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(mirela)), "/next/state").text, "dial");
  // Where the loaded one no longer serves, a cartridge goes into whichever is loaded with one.
  Bench::must(bench.record(
      mirela,
      R"({"what":"temperature spell","cartridge":"00000000000000000000000000000c01","celsius":-4,"minutes":60,"frozen":true})"));
  Bench::must(bench.record(
      mirela,
      R"({"what":"cartridge loaded","cartridge":"00000000000000000000000000000c02","pen":"00000000000000000000000000000b02","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true})",
      R"("confirmed":true,)"));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(mirela)), "/next/state").text, "dial");
}

TEST(DeskPens, H39_H01_TheRestComesFromThePenThatGaveTheFirstPart) {
  Bench bench("2027-03-16T22:10:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  Bench::must(bench.record(mirela, pen_given("b02")));
  Bench::must(bench.record(
      mirela,
      R"({"what":"cartridge loaded","cartridge":"00000000000000000000000000000c02","pen":"00000000000000000000000000000b02","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true})",
      R"("confirmed":true,)"));
  const auto from = [&] {
    const auto page = Bench::must(bench.page(mirela));
    const auto text = json::to_text(Bench::at(page, "/next/steps"));
    const auto at = text.find(R"("what":"injected","cartridge":")");
    return at == std::string::npos ? Bench::all_text(Bench::at(page, "/next"))
                                   : text.substr(at + 31, 32);
  };
  EXPECT_EQ(from(), "00000000000000000000000000000c02");
  Bench::must(bench.record(
      mirela,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":"00000000000000000000000000000c01","units":10,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  EXPECT_EQ(from(), "00000000000000000000000000000c01");
}

TEST(DeskPens, H14_H58_ANewCloudyCartridgeIsPutInOnceAndThenMixed) {
  Bench bench;
  const auto piet = bench.enrol("Piet Naber", "1948-01-02", "HS 3");
  const std::string line = "00000000000000000000000000000a01";
  Bench::must(bench.record(
      piet,
      R"({"id":")" + line +
          R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":1,"insulin":"human NPH insulin","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":10}],"least_units":4,"most_units":20,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})",
      R"("confirmed":true,)"));
  Bench::must(bench.record(
      piet,
      R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":")" + line +
          R"(","checked_by":"Jonas Abara","reading":{"insulin":"human NPH insulin","strength_units_per_ml":100,"slots":[{"slot":"bedtime","at":"22:00","units":10}]}})"));
  Bench::must(bench.record(
      piet,
      R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b01","copy":"reusable-whole-60-slim","insulin":"human NPH insulin","strength_units_per_ml":100})"));
  Bench::must(bench.record(
      piet,
      R"({"what":"cartridge loaded","happened":"2027-03-10T08:00:00+01:00","cartridge":"00000000000000000000000000000c01","pen":"00000000000000000000000000000b01","copy":"nph-100","units":11,"content_units":300,"fits":"fit B","new_cartridge":false})"));
  Bench::must(bench.record(
      piet,
      R"({"what":"supplies given","happened":"2027-03-02T09:12:00+01:00","insulin":"human NPH insulin","strength_units_per_ml":100,"each_units":300,"cartridges":2,"needles":100})"));
  const auto count = [](const json::Value& steps, std::string_view title) {
    int found = 0;
    for (const auto& step : steps.members)
      found += Bench::at(step.value, "/title").text == title ? 1 : 0;
    return found;
  };
  const auto page = Bench::must(bench.page(piet));
  const auto card = Bench::at(page, "/next/steps");
  const auto phone = Bench::all_text(
      Bench::at(Bench::must(bench.page("/api/phone", Bench::call_about(piet))), "/read_back"));
  EXPECT_NE(phone.find("Mix it"), std::string::npos) << phone;
  EXPECT_EQ(count(card, "Change the cartridge"), 1) << Bench::all_text(Bench::at(page, "/next"));
  EXPECT_NE(
      Bench::all_text(card).find(
          "Only 11 units are left in the old one; it needs at least 12 units so that it mixes."),
      std::string::npos)
      << Bench::all_text(card);
  const auto sheet = Bench::must(bench.page(piet, "/steps"));
  EXPECT_NE(Bench::all_text(sheet).find("Only 11 units are left in the old one"),
            std::string::npos);
  const auto steps = Bench::at(sheet, "/steps");
  EXPECT_EQ(count(steps, "Change the cartridge."), 1) << Bench::all_text(sheet);
}

TEST(DeskPens, H12_H14_H01_ACopyThatContradictsTheProductsIsAskedAbout) {
  Bench bench;
  const auto mirela = bench.enrol();
  bench.order(mirela);
  const auto asked = [&](const std::string& fact, std::string_view was, const std::string& is) {
    auto said = fact;
    said.replace(said.find(was), was.size(), is);
    const auto answer = bench.record(mirela, said);
    return answer ? Bench::at(*answer, "/ask/code").text : answer.error().code;
  };
  const std::string pen =
      R"({"what":"pen given","pen":"00000000000000000000000000000b01","copy":{"name":"reusable pen, whole units to 60","step_units":1,"most_units":60,"window":"returns to zero","takes":"cartridge","prime_units":2,"new_cartridge_prime_units":4,"hold_seconds":10,"turns_back":true,"when_short":"shows the rest","fits":"fit A","needle_fits":"screw thread"},"insulin":"insulin glargine","strength_units_per_ml":100})";
  EXPECT_EQ(asked(pen, R"("most_units":60)", R"("most_units":80)"), "ask.copy_differs");
  EXPECT_EQ(asked(pen, R"("prime_units":2)", R"("prime_units":0)"), "ask.prime_differs");
  Bench::must(bench.record(mirela, pen));
  const std::string load =
      R"({"what":"cartridge loaded","cartridge":"00000000000000000000000000000c01","pen":"00000000000000000000000000000b01","copy":{"name":"insulin glargine","strength_units_per_ml":100,"action":"long acting","suspension":false,"in_use_days":28,"counts_from_fridge":true,"in_use_most_celsius":30,"store_least_celsius":2,"store_most_celsius":8},"units":300,"content_units":300,"fits":"fit A","new_cartridge":true})";
  EXPECT_EQ(asked(load, R"("counts_from_fridge":true)", R"("counts_from_fridge":false)"),
            "ask.copy_differs");
  EXPECT_EQ(asked(load, R"("suspension":false)", R"("suspension":true)"), "ask.copy_differs");
  Bench::must(bench.record(mirela, load));
}

// Tomorrow's sheet said to dial from a cartridge that tonight's dose leaves too little in.
TEST(DeskPens, H02_H28_H48_ALaterSheetWaitsWhereTheDosesBeforeItMayEmptyThePen) {
  for (const auto* units : {"300", "46"}) {
    Bench bench("2027-03-16T21:30:00+01:00");
    const auto mirela = bench.enrol();
    bench.order(mirela);
    bench.pen_and_cartridge(mirela, units);
    bench.supplies(mirela, 2);
    const auto sheet = [&](const std::string& day) {
      const auto printed = bench.page(
          mirela, "/steps?line=00000000000000000000000000000a01&slot=bedtime&day=" + day);
      return printed ? std::string("printed") : printed.error().code;
    };
    EXPECT_EQ(sheet("2027-03-16"), "printed") << units;
    EXPECT_EQ(sheet("2027-03-17"), std::string(units) == "300" ? "printed" : "desk.sheet_before");
  }
}

// "2 sealed at home" stood beside "nothing else that may be used is at home".
TEST(DeskPens, H42_H58_SealedOnesThatWereNotMadeForThePenAreNamedSo) {
  Bench bench("2027-03-16T21:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  const auto pens = [&] {
    return Bench::all_text(Bench::at(Bench::must(bench.page(mirela)), "/pens"));
  };
  bench.supplies(mirela, 2);
  EXPECT_EQ(pens().find("not made for this pen"), std::string::npos);
  Bench::must(bench.record(
      mirela,
      R"({"what":"supplies given","happened":"2027-03-02T09:13:00+01:00","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":450,"cartridges":3,"needles":0})",
      R"("confirmed":true,)"));
  EXPECT_NE(pens().find("4 unopened at home; 3 not made for this pen"), std::string::npos)
      << pens();
}

// Taken out for another, it lay at home and stood nowhere.
TEST(DeskPens, H38_H02_ACartridgeThatWasTakenOutStandsUnderItsPenAndGoesBack) {
  Bench bench("2027-03-16T21:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  const std::string second =
      R"({"what":"cartridge loaded","happened":"2027-03-16T09:00:00+01:00","cartridge":"00000000000000000000000000000c02","pen":"00000000000000000000000000000b01","copy":"glargine-100","units":8,"content_units":300,"fits":"fit A","new_cartridge":false})";
  Bench::must(bench.record(mirela, second, R"("confirmed":true,)"));
  const auto page = Bench::must(bench.page(mirela));
  const auto pens = Bench::all_text(Bench::at(page, "/pens"));
  EXPECT_NE(pens.find("one taken out, 300 units left, may be used to"), std::string::npos) << pens;
  const auto steps = Bench::all_text(Bench::at(page, "/next/steps"));
  EXPECT_NE(steps.find("Put back the cartridge with 300 units"), std::string::npos) << steps;
  const auto sheet = Bench::all_text(Bench::must(bench.page(mirela, "/steps")));
  EXPECT_NE(sheet.find("Put back the cartridge with 300 units"), std::string::npos) << sheet;
  // The button puts it back: the same one, with nothing odd about it.
  for (const auto& step : Bench::at(page, "/next/steps").members) {
    if (Bench::at(step.value, "/key").text != "change") continue;
    const auto& fact = Bench::at(step.value, "/records/0/facts/0");
    EXPECT_EQ(Bench::at(fact, "/cartridge").text, "00000000000000000000000000000c01");
    Bench::must(bench.record(mirela, json::to_text(fact), R"("confirmed":true,)"));
  }
  const auto back = Bench::must(bench.page(mirela));
  EXPECT_EQ(Bench::all_text(Bench::at(back, "/next/steps")).find("Put back"), std::string::npos);
}

// Primed at the visit, the sheet for the next morning had no needle and no prime.
TEST(DeskPens, H15_H39_H01_H48_ASheetHasTheNeedleAndThePrimeOfItsOwnHour) {
  Bench bench("2027-03-16T18:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  bench.supplies(mirela, 2);
  const std::string pen = "00000000000000000000000000000b01";
  const auto prime = [&](const std::string& at) {
    Bench::must(bench.record(mirela, R"({"what":"needle on","happened":")" + at + R"(","pen":")" +
                                         pen + R"(","needle":"4-mm-32g","length_mm":4})"));
    Bench::must(bench.record(
        mirela,
        R"({"what":"primed","happened":")" + at +
            R"(","cartridge":"00000000000000000000000000000c01","units":4,"flow":"seen"})"));
  };
  const auto sheet = [&] { return Bench::all_text(Bench::must(bench.page(mirela, "/steps"))); };
  prime("2027-03-16T18:25:00+01:00");
  const auto early = sheet();
  EXPECT_NE(early.find("new needle"), std::string::npos) << early;
  EXPECT_NE(early.find("Prime "), std::string::npos) << early;
  // The card is looked at now: whoever is taught at the visit injects with this needle.
  const auto card = Bench::all_text(Bench::at(Bench::must(bench.page(mirela)), "/next/steps"));
  EXPECT_NE(card.find("Primed"), std::string::npos) << card;
  // Within its half hour it counts, and the sheet says until when.
  bench.set_clock("2027-03-16T21:50:00+01:00");
  prime("2027-03-16T21:45:00+01:00");
  const auto soon = sheet();
  EXPECT_EQ(soon.find(tests::piece("sentences/sheet.needle")), std::string::npos) << soon;
  EXPECT_NE(soon.find("Primed at 21:45"), std::string::npos) << soon;
  EXPECT_NE(soon.find("Not injected by 22:15"), std::string::npos) << soon;
}

// Whoever took the other pen injected what was recalled, or turned to a number that was not its
// own.
TEST(DeskPens, H61_H64_H01_H53_WithTwoPensOfOneInsulinTheMeantOneIsNamedEverywhere) {
  Bench bench("2027-03-16T21:30:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela);
  bench.supplies(mirela, 2);
  const auto said = [&] {
    const auto page = Bench::must(bench.page(mirela));
    const auto sheet = Bench::must(bench.page(mirela, "/steps"));
    const auto phone = Bench::must(bench.page("/api/phone", Bench::call_about(mirela)));
    return std::vector{Bench::all_text(Bench::at(page, "/next/steps")), Bench::all_text(sheet),
                       Bench::all_text(Bench::at(phone, "/read_back/say")),
                       Bench::all_text(Bench::at(phone, "/card/steps"))};
  };
  for (const auto& text : said()) EXPECT_EQ(text.find("Take the pen"), std::string::npos) << text;
  Bench::must(bench.record(mirela, pen_given("b02"), R"("confirmed":true,)"));
  const std::string load =
      R"({"what":"cartridge loaded","happened":"2027-03-16T09:05:00+01:00","cartridge":"00000000000000000000000000000c02","pen":"00000000000000000000000000000b02","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":"K7"})";
  Bench::must(bench.record(mirela, load, R"("confirmed":true,)"));
  Bench::must(bench.record(
      mirela,
      R"({"what":"scale counted","happened":"2027-03-16T09:06:00+01:00","cartridge":"00000000000000000000000000000c02","units":300})"));
  for (const auto& text : said()) {
    EXPECT_NE(text.find("Take the pen with lot K7"), std::string::npos) << text;
    EXPECT_NE(text.find("Not the other pen this time."), std::string::npos) << text;
  }
  // Once insulin came out of the one without a lot, it is the one in use.
  Bench::must(bench.record(
      mirela,
      R"({"what":"primed","happened":"2027-03-16T12:00:00+01:00","cartridge":"00000000000000000000000000000c01","units":4,"flow":"seen"})"));
  for (const auto& text : said()) {
    EXPECT_NE(text.find("Take the other pen"), std::string::npos) << text;
    EXPECT_NE(text.find("Not the pen with lot K7 this time."), std::string::npos) << text;
  }
}

// The number alone stood on the visit and was read out: 12 units were left of 22 (H02).
TEST(DeskPens, H02_H12_H14_H53_WhatComesBeforeTheNumberStandsAndIsSaidWithIt) {
  const auto beforehand = [](const json::Value& steps) {
    std::string out;
    for (const auto& step : steps.members)
      if (Bench::at(step.value, "/beforehand").flag)
        out += Bench::at(step.value, "/title").text + "; ";
    return out;
  };
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto mirela = bench.enrol();
  bench.order(mirela);
  bench.pen_and_cartridge(mirela, "12");
  bench.supplies(mirela, 2);
  const auto card = Bench::must(bench.page(mirela));
  EXPECT_EQ(beforehand(Bench::at(card, "/next/steps")), "Change the cartridge; Prime 4 units; ");
  const auto phone = Bench::must(bench.page("/api/phone", Bench::call_about(mirela)));
  const auto say = Bench::all_text(Bench::at(phone, "/read_back/say"));
  for (const auto* part : {"Change the cartridge", "Only 12 units are left", "Prime 4"})
    EXPECT_NE(say.find(part), std::string::npos) << say;
  const auto hear = Bench::all_text(Bench::at(phone, "/read_back/hear"));
  for (const auto* part : {"Change the cartridge", "100 units/mL"})
    EXPECT_NE(hear.find(part), std::string::npos) << hear;
  EXPECT_NE(Bench::at(phone, "/read_back/record/facts/0/said").text.find("Change the cartridge"),
            std::string::npos);
}

}  // namespace
}  // namespace penstock::desk
