// What is asked about a dose when it is recorded, and what it is counted as.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

/// With lispro for supper besides, from a pen of its own.
struct TwoInsulins : Clinic {
  static constexpr const char* basal = "00000000000000000000000000000a01";
  static constexpr const char* supper = "00000000000000000000000000000a07";
  static constexpr const char* rapid = "00000000000000000000000000000c07";

  explicit TwoInsulins(const char* now = "2027-03-16T22:10:00+01:00") : Clinic(now) {
    const auto tell = [&](const std::string& fact) {
      must(record(person, fact, R"("confirmed":true,)"));
    };
    tell(
        R"({"id":")" + std::string(supper) +
        R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin lispro","strength_units_per_ml":100,"purpose":"mealtime","slots":[{"slot":"supper","at":"18:30","minutes_before":15,"minutes_after":30,"units":8}],"least_units":2,"most_units":20,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
    tell(
        R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":")" +
        std::string(supper) +
        R"(","checked_by":"Jonas Abara","reading":{"insulin":"insulin lispro","strength_units_per_ml":100,"slots":[{"slot":"supper","at":"18:30","units":8}]}})");
    tell(
        R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":"00000000000000000000000000000b07","copy":"reusable-whole-60","insulin":"insulin lispro","strength_units_per_ml":100})");
    tell(
        R"({"what":"cartridge loaded","happened":"2027-03-10T08:00:00+01:00","cartridge":")" +
        std::string(rapid) +
        R"(","pen":"00000000000000000000000000000b07","copy":"lispro-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true})");
  }
  static std::string dose(const char* cartridge, int units, const std::string& more) {
    return R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
           std::string(cartridge) + R"(","units":)" + std::to_string(units) + more + "}";
  }
  std::string as_basal() const {
    return R"(,"line":")" + std::string(basal) + R"(","slot":"bedtime")";
  }
  std::string card() { return all_text(at(page(), "/next")); }
};

// Recorded as tonight's basal dose without a word, and counted as it.
TEST(DeskDoses, H04_H07_ADoseOfAnotherInsulinThanItsLinesIsAskedAboutAndIsNoDoseOfIt) {
  TwoInsulins clinic;
  const auto swapped = TwoInsulins::dose(TwoInsulins::rapid, 22, clinic.as_basal());
  const auto asked = clinic.record(clinic.person, swapped);
  EXPECT_EQ(code(asked), "ask.of_other_insulin");
  EXPECT_TRUE(has(Bench::all_text(Bench::must(asked)),
                  "22 units of insulin lispro would be recorded as the dose of insulin glargine"));
  Bench::must(clinic.record(clinic.person, swapped, R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "order.swapped");
  EXPECT_TRUE(has(clinic.card(), "Test glucose now")) << clinic.card();
  EXPECT_TRUE(has(clinic.card(), "Ask the prescriber")) << clinic.card();
  EXPECT_EQ(Bench::at(clinic.phone(R"(,"insulin":"insulin glargine")"), "/read_back").type,
            json::Type::null);
  const auto today = Bench::all_text(Bench::must(clinic.Bench::page("/api/today")));
  EXPECT_TRUE(has(today, "more than the 20 units of the order")) << today;
  EXPECT_TRUE(has(today, "another insulin given instead of the basal insulin")) << today;
  // The night over, it is asked what became of the dose, with the reason, and it is not done.
  clinic.set_clock("2027-03-17T07:00:00+01:00");
  const auto asks = Bench::all_text(Bench::at(clinic.page(), "/asks"));
  EXPECT_TRUE(has(asks, "22 units of insulin lispro on Tuesday 16 March 2027, 22:05")) << asks;
  EXPECT_TRUE(has(asks, "Tue 16, 22:00: not taken")) << asks;
  EXPECT_TRUE(has(asks, "Ask the prescriber")) << asks;
}

TEST(DeskDoses, H04_ACorrectionThatMakesItAnotherInsulinsIsAskedAboutAsWell) {
  TwoInsulins clinic;
  const std::string id = R"("id":"00000000000000000000000000000d07",)";
  auto dose = TwoInsulins::dose(Bench::cartridge, 22, clinic.as_basal());
  Bench::must(clinic.record(clinic.person, "{" + id + dose.substr(1)));
  const auto instead = TwoInsulins::dose(TwoInsulins::rapid, 22, clinic.as_basal());
  const auto correct = [&](const std::string& more) {
    return clinic.record(
        clinic.person,
        R"({"what":"correction","target":"00000000000000000000000000000d07","reason":"the other pen","replacement":)" +
            instead + "}",
        more);
  };
  EXPECT_EQ(code(correct("")), "ask.of_other_insulin");
  Bench::must(correct(R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "order.swapped");
}

// Without a line it was asked about by its amount, and the basal dose stood there as due as before.
TEST(DeskDoses, H04_AsMuchAsTheOtherInsulinIsOrderedHoldsThatOneUntilThePrescriberWasAsked) {
  TwoInsulins clinic;
  const auto dose = TwoInsulins::dose(TwoInsulins::rapid, 22, "");
  EXPECT_EQ(code(clinic.record(clinic.person, dose)), "ask.outside_order");
  EXPECT_EQ(clinic.refusal(), "");
  Bench::must(clinic.record(clinic.person, dose, R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "order.swapped");
  const std::string question = "00000000000000000000000000000e07";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + question +
          R"(","what":"question opened","line":"00000000000000000000000000000a01","reason":"other","text":"Lispro given for glargine.","happened":"2027-03-16T22:11:00+01:00"})"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question answered","question":")" + question +
          R"(","answer":"keep the dose","by":"Dr Tomasz Adeyemi","text":"Give it.","read_back":true,"happened":"2027-03-16T22:12:00+01:00"})",
      R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "");
  // What was added to it stands beside the number (H37).
  EXPECT_TRUE(has(Bench::all_text(Bench::at(clinic.page(), "/next")), "Give it."));
}

TEST(DeskDoses, H03_H12_H13_H44_WhatThePenSaysAgainstADoseIsAskedAbout) {
  const auto told = [](const std::string& before) {
    Clinic clinic;
    Bench::must(clinic.record(clinic.person, before, R"("confirmed":true,)"));
    return code(clinic.inject(22, "2027-03-16T22:05:00+01:00"));
  };
  const auto of_cartridge = std::string(R"(,"cartridge":")") + Bench::cartridge + "\"";
  EXPECT_EQ(
      told(
          R"({"what":"temperature spell","happened":"2027-03-16T09:00:00+01:00","celsius":-6,"minutes":600,"frozen":true)" +
          of_cartridge + "}"),
      "ask.of_unfit");
  EXPECT_EQ(
      told(R"({"what":"pen shared","happened":"2027-03-16T09:00:00+01:00","with":"Bo","pen":")" +
           std::string(Bench::pen) + R"("})"),
      "ask.of_unfit");
  EXPECT_EQ(
      told(
          R"({"what":"primed","happened":"2027-03-16T22:00:00+01:00","units":2,"flow":"not seen")" +
          of_cartridge + "}"),
      "ask.dry");
  EXPECT_EQ(
      told(R"({"what":"primed","happened":"2027-03-16T22:00:00+01:00","units":2,"flow":"seen")" +
           of_cartridge + "}"),
      "recorded");
}

TEST(DeskDoses, H04_H08_ADoseOfAnInsulinWhoseOrderHadEndedIsAskedAbout) {
  Clinic clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"order line ended","line":"00000000000000000000000000000a01","last_day":"2027-03-15","prescriber":"Dr Tomasz Adeyemi","reason":"stopped","happened":"2027-03-16T10:00:00+01:00"})",
      R"("confirmed":true,)"));
  // Half an hour past midnight it is the last day's, and late.
  EXPECT_NE(code(clinic.inject(22, "2027-03-16T00:30:00+01:00")), "ask.given_over");
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T21:30:00+01:00")), "ask.given_over");
}

TEST(DeskDoses, H03_ADoseOfAnotherStrengthThanItsLinesIsAskedAbout) {
  Clinic clinic;
  clinic.second_line("00000000000000000000000000000a01", "300");
  EXPECT_EQ(
      code(clinic.inject(24, "2027-03-16T22:05:00+01:00", "00000000000000000000000000000a02")),
      "ask.of_other_strength");
}

TEST(DeskDoses, H37_H40_ADoseWhileInQuestionOrUncheckedIsAskedAbout) {
  Clinic clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question opened","line":"00000000000000000000000000000a01","reason":"lows","text":"Two lows.","happened":"2027-03-16T21:00:00+01:00"})"));
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T20:59:00+01:00")), "ask.too_early");
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T22:05:00+01:00")), "ask.in_question");
  Bench bench("2027-03-16T22:10:00+01:00");
  const auto person = bench.enrol();
  bench.order(person, "00000000000000000000000000000a01", "", false);
  bench.pen_and_cartridge(person);
  EXPECT_EQ(
      code(bench.record(
          person,
          R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":"00000000000000000000000000000c01","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime"})")),
      "ask.unchecked");
}

std::string answered(const char* was, const std::string& day = "2027-03-16") {
  return R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","was":")" +
         std::string(was) + R"(","day":")" + day + R"("})";
}

// One press after "taken", and nobody was asked.
TEST(DeskDoses, H07_H44_WhatWasSaidOfADoseIsAskedAboutBeforeAnotherInjectionOfIt) {
  for (const auto& [was, asks] : {std::pair{"taken", "ask.said_taken"},
                                  {"not known", "ask.said_unknown"},
                                  {"not taken", "recorded"}}) {
    Clinic clinic;
    Bench::must(clinic.record(clinic.person, answered(was)));
    clinic.set_clock("2027-03-16T22:20:00+01:00");
    EXPECT_EQ(code(clinic.inject(22, "2027-03-16T22:19:00+01:00")), asks) << was;
  }
}

// Of a dose that stood in the record somebody said that it was not taken, and nothing was said to
// it.
TEST(DeskDoses, H52_H44_WhatIsSaidAgainstAnInjectionOnRecordIsAskedAboutOrRefused) {
  for (const std::string of :
       {R"(,"line":"00000000000000000000000000000a01","slot":"bedtime"})", "}"}) {
    Clinic clinic("2027-03-16T22:20:00+01:00");
    Bench::must(clinic.record(clinic.person,
                              R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00",)"
                              R"("units":22,"cartridge":")" +
                                  std::string(Bench::cartridge) + '"' + of,
                              R"("confirmed":true,)"));
    EXPECT_EQ(code(clinic.record(clinic.person, answered("not known"))), "ask.known_recorded");
    EXPECT_EQ(code(clinic.record(clinic.person, answered("not taken"))), "desk.not_taken_recorded");
    EXPECT_EQ(code(clinic.record(clinic.person, answered("taken"))), "recorded");
  }
}

// An answer about nothing let a number go that the scale held.
TEST(DeskDoses, H39_AnAnswerAboutARestNamesAnInjectionThatIsOnRecord) {
  Clinic clinic;
  auto about_nothing = answered("taken");
  about_nothing.insert(about_nothing.size() - 1,
                       R"(,"rest_of":"0000000000000000000000000000ffff")");
  EXPECT_EQ(code(clinic.record(clinic.person, about_nothing)), "desk.rest_unknown");
}

/// Eight of 22 units at 21:50, and the needle given up; its identity is d08.
struct PartGiven : Clinic {
  PartGiven() {
    must(record(
        person,
        R"({"id":"00000000000000000000000000000d08","what":"injected","happened":"2027-03-16T21:50:00+01:00","cartridge":")" +
            std::string(cartridge) +
            R"(","units":8,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
    EXPECT_TRUE(has(all(), "14 units"));
  }
  /// From the cartridge alone, as a diary's row says it.
  Result<json::Value> later(int units, const std::string& more = "") {
    return record(person,
                  R"({"what":"injected","happened":"2027-03-16T21:58:00+01:00","cartridge":")" +
                      std::string(cartridge) + R"(","units":)" + std::to_string(units) + "}",
                  more);
  }
};

// The whole dose was on record, and its rest was dialled once more.
TEST(DeskDoses, H39_H07_ARestThatIsToldWithoutItsNameIsNotDialledAgain) {
  PartGiven clinic;
  EXPECT_EQ(code(clinic.later(14)), "recorded");
  EXPECT_TRUE(has(clinic.all(), "2027-03-17 bedtime")) << clinic.all();
  for (const int other : {22, 5}) {
    PartGiven unsure;
    EXPECT_EQ(code(unsure.later(other)), "ask.taken_already") << other;
    Bench::must(unsure.later(other, R"("confirmed":true,)"));
    EXPECT_EQ(unsure.refusal(), "order.taken_perhaps") << other;
    EXPECT_TRUE(has(unsure.all(), "not as its remaining units")) << unsure.all();
    Bench::must(unsure.record(unsure.person, answered("taken"), R"("confirmed":true,)"));
    EXPECT_FALSE(has(unsure.all(), "still to be given")) << unsure.all();
    EXPECT_NE(unsure.refusal(), "order.taken_perhaps");
  }
}

// Twelve of 20 units stood there as the dose that is done.
TEST(DeskDoses, H39_APartThatIsStruckOutLeavesNoRestBehindAsTheDose) {
  PartGiven clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T21:58:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":14,"completes":"00000000000000000000000000000d08","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  const auto strike = [&](const std::string& more) {
    return clinic.record(
        clinic.person,
        R"({"what":"correction","target":"00000000000000000000000000000d08","reason":"not given"})",
        more);
  };
  EXPECT_EQ(code(strike("")), "ask.leaves_rest");
  Bench::must(strike(R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "order.taken_perhaps");
  EXPECT_TRUE(has(clinic.all(), "as the remaining units of a part")) << clinic.all();
}

// Thirty-three units named last week's dose as their part: nobody was asked, and no sum had them.
TEST(DeskDoses, H52_H44_WhatCompletesNoOpenPartOfItsNightIsAskedAboutAndCounts) {
  const auto rest = [](int units, const std::string& of) {
    return R"({"what":"injected","happened":"2027-03-16T21:58:00+01:00","cartridge":")" +
           std::string(Bench::cartridge) + R"(","units":)" + std::to_string(units) +
           R"(,"completes":")" + of +
           R"(","line":"00000000000000000000000000000a01","slot":"bedtime"})";
  };
  const std::string part = "00000000000000000000000000000d08";
  PartGiven fits;
  EXPECT_EQ(code(fits.record(fits.person, rest(14, part))), "recorded");
  PartGiven more;
  EXPECT_EQ(code(more.record(more.person, rest(15, part))), "ask.rest_more");
  PartGiven clinic;
  const std::string older = "00000000000000000000000000000d07";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + older +
          R"(","what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  for (const auto& of : {older, std::string("0000000000000000000000000000dead")})
    EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.record(clinic.person, rest(24, of)))),
                    "no such dose of that line and day is open"))
        << of;
  Bench::must(clinic.record(clinic.person, rest(24, older), R"("confirmed":true,)"));
  Bench::must(clinic.record(clinic.person, rest(14, part), R"("confirmed":true,)"));
  clinic.set_clock("2027-03-17T21:50:00+01:00");
  EXPECT_EQ(clinic.refusal(), "interlock.more_given");
  // More is in than was ordered, and below it stood "do not miss basal insulin".
  EXPECT_FALSE(
      has(Bench::all_text(Bench::at(clinic.page(), "/next/refusal")), "Do not miss basal"));
}

// Two boxes, one answer, and nobody knew that it was for both.
TEST(DeskDoses, H37_AQuestionOfEveryInsulinSaysForWhichItsAnswerIs) {
  TwoInsulins clinic("2027-03-16T14:10:00+01:00");
  Bench::must(clinic.record(clinic.person, R"({"what":"question opened","reason":"lows"})"));
  const auto asks = Bench::all_text(Bench::at(clinic.page(), "/asks"));
  EXPECT_TRUE(has(asks, "insulin glargine, insulin lispro")) << asks;
  TwoInsulins one("2027-03-16T14:10:00+01:00");
  Bench::must(one.record(one.person, R"({"what":"question opened","reason":"lows","line":")" +
                                         std::string(one.basal) + R"("})"));
  EXPECT_FALSE(has(Bench::all_text(Bench::at(one.page(), "/asks")), "insulin lispro"));
}

// Registered as an adult by a slip of the year: the toddler's card and sheet had thirty units.
TEST(DeskDoses, H25_H63_H61_AnOrderThatIsTooMuchByTheAgePutRightWaitsForThePrescriber) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  EXPECT_EQ(clinic.refusal(), "");
  clinic.set_clock("2027-03-16T21:52:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"details changed","full_name":"Mirela Okonkwo","born":"2023-08-01","number":"HS 04172"},{"what":"background noted","background":{"weight_kg":14,"weighed_on":"2027-03-16"}})",
      R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "interlock.childs_dose");
  EXPECT_EQ(Bench::at(clinic.phone(), "/read_back").type, json::Type::null);
  EXPECT_EQ(code(clinic.Bench::page(
                clinic.person,
                "/steps?line=00000000000000000000000000000a01&slot=bedtime&day=2027-03-16")),
            "interlock.childs_dose");
  EXPECT_TRUE(
      has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))), "Mirela Okonkwo"));
  const std::string question = "00000000000000000000000000000e09";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + question +
          R"(","what":"question opened","line":"00000000000000000000000000000a01","reason":"other","text":"A toddler.","happened":"2027-03-16T21:53:00+01:00"})",
      R"("confirmed":true,)"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question answered","question":")" + question +
          R"(","answer":"keep the dose","by":"Dr Tomasz Adeyemi","text":"Give it.","read_back":true,"happened":"2027-03-16T21:54:00+01:00"})",
      R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "");
}

// "2 things are open" had one below it, and Today led to a page that gave no reason.
TEST(DeskDoses, H58_H04_AHeldLineThatIsNotNextHasItsReasonOnThePageAndItsButton) {
  TwoInsulins clinic("2027-03-16T14:10:00+01:00");
  for (const auto* at : {"21:58", "22:00"}) {
    Bench::must(clinic.record(clinic.person,
                              R"({"what":"injected","happened":"2027-03-15T)" + std::string(at) +
                                  R"(:00+01:00","cartridge":")" + std::string(Bench::cartridge) +
                                  R"(","units":26)" + clinic.as_basal() + "}",
                              R"("confirmed":true,)"));
  }
  const auto page = clinic.page();
  EXPECT_TRUE(has(Bench::all_text(Bench::at(page, "/next")), "lispro"));
  EXPECT_EQ(Bench::at(page, "/next/state").text, "dial");
  const auto today = Bench::all_text(Bench::must(clinic.Bench::page("/api/today")));
  const auto ask = Bench::at(page, "/asks/0");
  EXPECT_TRUE(has(Bench::all_text(ask), "insulin glargine")) << Bench::all_text(page) << today;
  EXPECT_EQ(Bench::at(ask, "/answer_button").text, "Ask the prescriber");
  EXPECT_EQ(Bench::at(ask, "/answer").members.size(), 1U);
}

// "3 things are open", and two were listed.
TEST(DeskDoses, H58_TheVisitCountsWhatItLists) {
  for (const auto* at : {"2027-03-16T14:10:00+01:00", "2027-03-17T05:10:00+01:00"}) {
    TwoInsulins clinic(at);
    Bench::must(clinic.record(clinic.person,
                              R"({"what":"glucose noted","value":{"value":3.1,"unit":"mmol/L"}})",
                              R"("confirmed":true,)"));
    const auto page = clinic.page();
    const auto listed =
        Bench::at(page, "/asks").members.size() + Bench::at(page, "/notices").members.size();
    const auto open = Bench::all_text(Bench::at(page, "/open_text"));
    EXPECT_TRUE(has(open, std::to_string(listed) + " thing")) << open << listed;
    const auto told = open + Bench::all_text(Bench::at(page, "/notices"));
    EXPECT_EQ(has(told, "on hold"), Bench::at(page, "/next/state").text == "refused") << told;
  }
}

// A hypo's box had the heading of every hold, or of a dose that may be in.
TEST(DeskDoses, H10_AHypoThatHoldsADoseHasItsOwnHeading) {
  TwoInsulins clinic("2027-03-17T05:10:00+01:00");
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"glucose noted","value":{"value":3.1,"unit":"mmol/L"}})",
                            R"("confirmed":true,)"));
  EXPECT_EQ(Bench::at(clinic.page(), "/asks/0/title").text, "Hypo: treat it first");
}

// "Do not miss basal insulin" stood alone, with tonight's dose on record already.
TEST(DeskDoses, H52_H07_H37_AskFirstSaysOfADoseThatIsOnRecordAlready) {
  Clinic clinic("2027-03-16T22:30:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question opened","happened":"2027-03-16T20:00:00+01:00","reason":"lows","line":"00000000000000000000000000000a01"})"));
  Bench::must(clinic.inject(34, "2027-03-16T22:10:00+01:00", "00000000000000000000000000000a01",
                            R"("confirmed":true,)"));
  const auto ask = Bench::all_text(Bench::at(clinic.page(), "/asks"));
  EXPECT_TRUE(has(ask, "34 units")) << ask;
}

}  // namespace
}  // namespace penstock::desk
