// The standing dial card and the log sheet.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

Result<json::Value> card(Clinic& clinic) { return clinic.Bench::page(clinic.person, "/dial-card"); }

TEST(DeskCard, TheCardSaysTheWholeOrderUntilWhenAndWhomToPhone) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"contact noted","role":"out of hours","full_name":"Night line","phone":"030 555 0188"})"));
  const auto sheet = Bench::must(card(clinic));
  EXPECT_EQ(Bench::at(sheet, "/lines/0/doses/0/hour").text, "22:00");
  EXPECT_EQ(Bench::at(sheet, "/lines/0/doses/0/dose_text").text, "22 units");
  EXPECT_TRUE(has(Bench::at(sheet, "/order_text").text, "version 4"));
  const auto all = Bench::all_text(sheet);
  EXPECT_TRUE(has(all, tests::piece("sentences/card.valid"))) << all;
  EXPECT_TRUE(has(all, "Never take two doses together"));
  EXPECT_TRUE(has(all, "030 555 0188"));
}

// "22:00, in 23 h 50 min" stood there right after tonight's 22:00.
TEST(DeskCard, H08_H48_TheNextInjectionSaysWhichDayItIsOf) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  EXPECT_EQ(Bench::at(clinic.page(), "/next/time_text").text, "22:00");
  Bench::must(clinic.inject(22, "2027-03-16T22:05:00+01:00"));
  EXPECT_EQ(Bench::at(clinic.page(), "/next/time_text").text, "Wed 17 22:00");
}

// The card says until when it holds, and nobody had read that on the order.
TEST(DeskCard, H60_PaperSaysThatTheSecondCheckDidNotReadTheDays) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  const auto unread = [&](const json::Value& sheet) {
    return has(Bench::at(sheet, "/order_text").text, tests::piece("sentences/order.days_unread"));
  };
  EXPECT_TRUE(unread(Bench::must(card(clinic))));
  EXPECT_TRUE(unread(Bench::must(clinic.Bench::page(clinic.person, "/log-sheet"))));
  Bench::must(clinic.record(
      clinic.person, R"({"what":"order line checked","line":"00000000000000000000000000000a01",)"
                     R"("checked_by":"Jonas Abara","days_read":true,"from":"2027-03-02",)" +
                         std::string(Bench::reading) + "}"));
  EXPECT_FALSE(unread(Bench::must(card(clinic))));
}

TEST(DeskCard, H37_H48_ThereIsNoCardWhileAQuestionIsOpen) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question opened","line":"00000000000000000000000000000a01","reason":"lows"})"));
  EXPECT_EQ(code(card(clinic)), "desk.card_question");
}

TEST(DeskCard, H40_H48_ThereIsNoCardWhileALineIsUnchecked) {
  Clinic clinic("2027-03-16T21:05:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000a02","what":"order line signed","happened":"2027-03-16T21:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":24}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01"})",
      R"("confirmed":true,)"));
  EXPECT_EQ(code(card(clinic)), "desk.card_unchecked");
}

// Breakfast has gone and is not due again before the line ends: there was no card for the evening.
TEST(DeskCard, H28_H38_ALineThatEndsTodayHasACardOfWhatIsLeftOfIt) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  const std::string twice = "00000000000000000000000000000a02";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + twice +
          R"(","what":"order line signed","happened":"2027-03-16T14:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"breakfast","at":"07:30","minutes_before":60,"minutes_after":60,"units":12},{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":24}],"least_units":10,"most_units":30,"from":"2027-03-16","until":"2027-03-16","prescriber":"Dr Amara Osei","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01"})",
      R"("confirmed":true,)"));
  auto reading = Bench::reading_of("24");
  const std::string bedtime = R"("slots":[)";
  reading.insert(reading.find(bedtime) + bedtime.size(),
                 R"({"slot":"breakfast","at":"07:30","units":12},)");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"order line checked","happened":"2027-03-16T14:05:00+01:00","line":")" + twice +
          R"(","checked_by":"Jonas Abara",)" + reading + "}"));
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"dose answered","line":")" + twice +
                                R"(","slot":"breakfast","day":"2027-03-16","was":"not taken"})"));
  const auto sheet = Bench::must(card(clinic));
  ASSERT_EQ(Bench::at(sheet, "/lines/0/doses").members.size(), 1U);
  EXPECT_EQ(Bench::at(sheet, "/lines/0/doses/0/hour").text, "22:00");
  EXPECT_EQ(Bench::at(sheet, "/lines/0/doses/0/dose_text").text, "24 units");
  clinic.set_clock("2027-03-16T22:30:00+01:00");
  Bench::must(clinic.inject(24, "2027-03-16T22:00:00+01:00", twice));
  EXPECT_EQ(code(card(clinic)), "desk.card_no_dose");
}

// It said that a question was open, and none was to be found.
TEST(DeskCard, H37_H58_WhereAnAnswerHoldsTheOrderTheCardSaysWhichAnswer) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000d01","what":"question opened","happened":"2027-03-16T14:00:00+01:00","line":"00000000000000000000000000000a01","reason":"lows"})"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question answered","question":"00000000000000000000000000000d01","happened":"2027-03-16T14:05:00+01:00","answer":"new order follows","by":"Dr Adeyemi","read_back":true})"));
  EXPECT_EQ(code(card(clinic)), "order.new_awaited");
}

// It was signed with the version of tomorrow above the dose of today.
TEST(DeskCard, H08_H28_TheCardNamesTheVersionWhoseDoseItHas) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  clinic.tomorrows_line();
  const auto sheet = Bench::must(card(clinic));
  EXPECT_EQ(Bench::at(sheet, "/lines/0/doses/0/dose_text").text, "22 units");
  EXPECT_TRUE(has(Bench::at(sheet, "/order_text").text, "version 4"))
      << Bench::at(sheet, "/order_text").text;
  // Whoever goes home today takes tomorrow's card with them.
  const auto papers = Bench::must(clinic.Bench::page(clinic.person, "/assessment"));
  ASSERT_EQ(Bench::at(papers, "/cards").members.size(), 2U);
  EXPECT_TRUE(has(Bench::at(papers, "/cards/1/href").text, "/dial-card?from=2027-03-17"));
  const auto tomorrows =
      Bench::must(clinic.Bench::page(clinic.person, "/dial-card?from=2027-03-17"));
  EXPECT_EQ(Bench::at(tomorrows, "/lines/0/doses/0/dose_text").text, "24 units");
  EXPECT_TRUE(has(Bench::at(tomorrows, "/order_text").text, "version 5"));
  EXPECT_TRUE(has(Bench::all_text(tomorrows), tests::piece("sentences/card.valid_from")));
  EXPECT_EQ(code(clinic.Bench::page(clinic.person, "/dial-card?from=2027-03-18")),
            "desk.card_from");
}

// An empty battery: the card of a year ago had no insulin on it and was valid for half a year.
TEST(DeskCard, H61_NothingGoesHomeOnPaperByAClockThatWasSetBack) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  clinic.set_clock("2027-03-10T14:10:00+01:00");
  for (const auto* paper : {"/dial-card", "/log-sheet", "/steps"})
    EXPECT_EQ(code(clinic.Bench::page(clinic.person, paper)), "desk.sheet_clock") << paper;
}

// One entry by a clock that was ahead stopped everything until that day: somebody has to be able to
// say that the clock is right now, and nothing else may say it for them.
TEST(DeskCard, H61_H38_AClockIsSaidToBeRightByAnEntryThatIsAskedAbout) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  clinic.set_clock("2027-12-01T09:00:00+01:00");
  Bench::must(clinic.record(clinic.person, R"({"what":"note","text":"Phoned."})"));
  clinic.set_clock("2027-03-16T21:30:00+01:00");
  EXPECT_EQ(clinic.refusal(), "interlock.clock_back");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_FALSE(tests::tells_number(Bench::all_text(clinic.phone())));
  const auto* note = R"({"what":"note","text":"The clock was ahead."})";
  EXPECT_EQ(code(clinic.record(clinic.person, note)), "ask.clock_back");
  EXPECT_EQ(clinic.refusal(), "interlock.clock_back") << "nobody has said yes";
  Bench::must(clinic.record(clinic.person, note, R"("confirmed":true,)"));
  EXPECT_TRUE(tests::tells_number(clinic.all()));
}

// Taken before its hour, and the card of the afternoon had the evening's hour on it.
TEST(DeskCard, H07_TheCardSaysThatTodaysDoseIsInAlready) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  EXPECT_EQ(Bench::at(Bench::must(card(clinic)), "/lines/0/doses/0/in_already").text, "");
  Bench::must(clinic.inject(22, "2027-03-16T14:00:00+01:00", "00000000000000000000000000000a01",
                            R"("confirmed":true,)"));
  EXPECT_TRUE(
      has(Bench::at(Bench::must(card(clinic)), "/lines/0/doses/0/in_already").text, "17 March"));
}

TEST(DeskCard, H50_ThereIsNoCardForWhoeverCannotReadIt) {
  Clinic clinic("2027-03-16T14:10:00+01:00", R"({"reads":"Dari"})");
  EXPECT_EQ(code(card(clinic)), "desk.sheet_language");
}

TEST(DeskCard, TheLogSheetHasFourWeeksOfRowsByTheOrdersTimesAndNoDose) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  const auto log = Bench::must(clinic.Bench::page(clinic.person, "/log-sheet"));
  EXPECT_EQ(Bench::at(log, "/days").members.size(), 28U);
  EXPECT_EQ(Bench::at(log, "/columns").members.size(), 1U);
  EXPECT_EQ(Bench::at(log, "/columns/0/hour").text, "22:00");
  EXPECT_FALSE(has(Bench::all_text(log), "22 units"));
}

// Two injections a day at other hours from Thursday: four columns a day for four weeks.
TEST(DeskCard, H08_H48_OnTheLogSheetEachOrderHasRoomOnlyOnItsDays) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000a07","what":"order line signed","order_version":5,)"
      R"("replaces":"00000000000000000000000000000a01","insulin":"insulin glargine",)"
      R"("strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"evening",)"
      R"("at":"20:00","minutes_before":60,"minutes_after":120,"units":22}],"from":"2027-03-18",)"
      R"("least_units":10,"most_units":30,"prescriber":"Dr Tomasz Adeyemi",)"
      R"("signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran",)"
      R"("read_back":true})",
      R"("confirmed":true,)"));
  const auto log = Bench::must(clinic.Bench::page(clinic.person, "/log-sheet"));
  EXPECT_EQ(Bench::at(log, "/columns/0/hour").text, "20:00");
  EXPECT_EQ(Bench::at(log, "/columns/1/hour").text, "22:00");
  const auto due = [&](int day, int column) {
    return Bench::at(log, "/days/" + std::to_string(day) + "/due/" + std::to_string(column)).flag;
  };
  for (int day = 0; day < 28; ++day) {
    EXPECT_EQ(due(day, 0), day >= 2) << day;
    EXPECT_EQ(due(day, 1), day < 2) << day;
  }
  const auto order = Bench::at(log, "/order_text").text;
  EXPECT_TRUE(has(order, "version 4") && has(order, "version 5")) << order;
}

// A pen whose window keeps counting, to 36, and an order of so many units at bedtime.
struct CountsOn : Bench {
  Id person;
  explicit CountsOn(const std::string& units)
      : Bench("2027-03-16T14:10:00+01:00"), person(enrol()) {
    const std::string line = "00000000000000000000000000000a01";
    must(record(
        person,
        R"({"id":")" + line +
            R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":)" +
            units +
            R"(}],"least_units":10,"most_units":40,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})",
        R"("confirmed":true,)"));
    must(record(person,
                R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":")" +
                    line + R"(","checked_by":"Jonas Abara",)" + reading_of(units) + "}"));
    must(record(
        person,
        R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":")" + std::string(pen) +
            R"(","copy":"counts-on-36","insulin":"insulin glargine","strength_units_per_ml":100})"));
    must(record(
        person,
        R"({"what":"cartridge loaded","happened":"2027-03-10T08:00:00+01:00","cartridge":")" +
            std::string(cartridge) + R"(","pen":")" + pen +
            R"(","copy":"glargine-100","units":150,"content_units":150,"fits":"fit D","new_cartridge":true})",
        R"("confirmed":true,)"));
    must(record(person,
                R"({"what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" +
                    std::string(cartridge) + R"(","units":)" + units +
                    R"(,"line":"00000000000000000000000000000a01","slot":"bedtime"})",
                R"("confirmed":true,)"));
  }
  json::Value dose() { return at(must(page(person, "/dial-card")), "/lines/0/doses/0"); }
  /// Each row of a table: what the window shows, and what to turn to.
  static std::string rows(const json::Value& table) {
    std::string out;
    for (const auto& row : at(table, "/rows").members) out += at(row.value, "/text").text + "\n";
    return out;
  }
};

// "Set it back to zero before you dial" and "20 units": two units less than the steps said.
TEST(DeskCard, H01_H58_ThePenThatCountsOnHasTheTableOfTheSteps) {
  CountsOn clinic("20");
  const auto sheet = Bench::must(clinic.page(clinic.person, "/steps"));
  const auto table = CountsOn::rows(Bench::at(sheet, "/window_table"));
  ASSERT_FALSE(table.empty());
  const auto dose = clinic.dose();
  ASSERT_EQ(Bench::at(dose, "/tables").members.size(), 1U);
  EXPECT_EQ(CountsOn::rows(Bench::at(dose, "/tables/0")), table);
  EXPECT_TRUE(has(table, "22")) << table;
  EXPECT_EQ(Bench::at(dose, "/divided").text, "");
  const auto all = Bench::all_text(Bench::must(clinic.page(clinic.person, "/dial-card")));
  EXPECT_TRUE(has(all, "If it shows a number not in the table, do not dial.")) << all;
}

// With its prime it is more than the window takes, though the dose alone is not.
TEST(DeskCard, H01_H39_ADoseThatThePrimeMakesTooLargeIsDividedAsThePlanHasIt) {
  for (const std::string units : {"35", "36"}) {
    CountsOn clinic(units);
    const auto next = Bench::at(Bench::must(clinic.page(clinic.person)), "/next");
    ASSERT_EQ(Bench::at(next, "/state").text, "dial");
    EXPECT_TRUE(has(Bench::at(next, "/part_text").text, "18 units"));
    const auto dose = clinic.dose();
    const std::string second = units == "35" ? "17 units" : "18 units";
    EXPECT_EQ(Bench::at(dose, "/divided").text,
              "in 2 injections, each with a new needle: 18 units, then " + second);
    EXPECT_EQ(Bench::at(dose, "/tables").members.size(), units == "35" ? 2U : 1U);
    for (const auto& table : Bench::at(dose, "/tables").members)
      EXPECT_FALSE(has(CountsOn::rows(table.value), "37")) << CountsOn::rows(table.value);
  }
}

TEST(DeskCard, H39_H58_ThereIsNoCardWhileARestIsOwedOrNobodySaidWhatBecameOfIt) {
  Clinic clinic("2027-03-16T21:10:00+01:00");
  EXPECT_EQ(code(card(clinic)), "recorded");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T21:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":10,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  clinic.set_clock("2027-03-16T21:20:00+01:00");
  EXPECT_EQ(code(card(clinic)), "desk.sheet_rest");
  clinic.set_clock("2027-03-17T01:00:00+01:00");
  EXPECT_EQ(clinic.refusal(), "order.rest_late");
  EXPECT_EQ(code(card(clinic)), "order.rest_late");
}

TEST(DeskCard, H18_H28_TheCardHoldsUntilTheDayBeforeATripToAnotherClock) {
  Clinic clinic("2027-03-16T14:10:00+01:00");
  const auto valid = [&] {
    return Bench::all_text(Bench::at(Bench::must(card(clinic)), "/valid_text"));
  };
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"trip planned","leaves":"2027-03-17","returns":"2027-03-19","zone":""})"));
  EXPECT_FALSE(has(valid(), "16 March 2027")) << valid();
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"trip planned","leaves":"2027-03-19","returns":"2027-03-25","zone":"UTC"})",
      R"("confirmed":true,)"));
  EXPECT_TRUE(has(valid(), "18 March 2027")) << valid();
}

std::string moved(Clinic& clinic, const std::string& slots, const std::string& from,
                  const std::string& reading_slots, const std::string& at) {
  const std::string line = "00000000000000000000000000000a02";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + line + R"(","what":"order line signed","happened":")" + at +
          R"(:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[)" +
          slots + R"(],"least_units":10,"most_units":30,"from":")" + from +
          R"(","prescriber":"Dr Amara Osei","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01"})",
      R"("confirmed":true,)"));
  auto reading = Bench::reading_of("22");
  const std::string bedtime = R"({"slot":"bedtime","at":"22:00","units":22})";
  const auto found = reading.find(bedtime);
  EXPECT_NE(found, std::string::npos) << reading;
  if (found != std::string::npos) reading.replace(found, bedtime.size(), reading_slots);
  Bench::must(clinic.record(clinic.person, R"({"what":"order line checked","happened":")" + at +
                                               R"(:30+01:00","line":")" + line +
                                               R"(","checked_by":"Jonas Abara",)" + reading + "}"));
  return line;
}

// The screen said "Stop. This dose comes on top", and the card "08:00, 22 units".
TEST(DeskCard, H52_H07_H48_ThereIsNoCardWhileTheNextDoseComesOnTopOfAnother) {
  Clinic clinic("2027-03-16T22:20:00+01:00");
  Bench::must(clinic.inject(22, "2027-03-16T22:07:00+01:00"));
  const auto line = moved(
      clinic,
      R"({"slot":"breakfast","at":"08:00","minutes_before":60,"minutes_after":120,"units":22})",
      "2027-03-17", R"({"slot":"breakfast","at":"08:00","units":22})", "2027-03-16T22:10");
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"dose answered","line":")" + line +
                                R"(","slot":"breakfast","day":"2027-03-17","was":"not taken"})",
                            R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "") << clinic.plan();
  ASSERT_TRUE(has(clinic.plan(), "comes on top")) << clinic.plan();
  EXPECT_EQ(code(clinic.Bench::page(clinic.person, "/dial-card?from=2027-03-17")),
            "desk.card_near");
  // The sheet of that one dose says so itself.
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/steps"))),
                  "comes on top"));
  // Nobody is asked on Today or on the visit what was answered (H32).
  EXPECT_FALSE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))), "Which was it"));
  EXPECT_FALSE(has(clinic.plan(), "Which was it"));
}

// At 08:00 the screen said to phone first; the card had 22:00 and 08:00 without a word.
TEST(DeskCard, H07_H38_H48_ThereIsNoCardWhileTheNextDoseFollowsTooSoon) {
  Clinic clinic("2027-03-16T22:20:00+01:00");
  Bench::must(clinic.inject(22, "2027-03-16T22:07:00+01:00"));
  moved(
      clinic,
      R"({"slot":"breakfast","at":"08:00","minutes_before":60,"minutes_after":120,"units":11},{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":11})",
      "2027-03-16",
      R"({"slot":"breakfast","at":"08:00","units":11},{"slot":"bedtime","at":"22:00","units":11})",
      "2027-03-16T22:10");
  clinic.set_clock("2027-03-17T08:00:00+01:00");
  EXPECT_TRUE(has(clinic.plan(), "before this one is due")) << clinic.plan();
  EXPECT_EQ(code(card(clinic)), "desk.card_lately");
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/steps"))),
                  "before this one is due"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-17T08:02:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":11,"line":"00000000000000000000000000000a02","slot":"breakfast"})",
      R"("confirmed":true,)"));
  clinic.set_clock("2027-03-17T08:10:00+01:00");
  EXPECT_EQ(code(card(clinic)), "recorded");
}

}  // namespace
}  // namespace penstock::desk
