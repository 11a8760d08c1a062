// What strangers found at the telephone, on the card and on paper, on every way in.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

// As it is read: without the ends of what is bold.
std::string flat(const json::Value& value) {
  auto text = Bench::all_text(value);
  std::erase(text, '\n');
  return text;
}

// Sugar by mouth beside "nothing by mouth", and low hid drowsy altogether.
TEST(DeskAsked, H58_H10_WhoIsDrowsyIsGivenNothingByMouth) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  for (const auto* more : {R"(,"drowsy":"yes")", R"(,"drowsy":"yes","low_now":"yes")"}) {
    const auto answer = clinic.phone(more);
    const auto all = flat(answer);
    EXPECT_TRUE(has(all, "Nothing by mouth")) << all;
    EXPECT_TRUE(has(all, "Call the emergency number now")) << all;
    EXPECT_FALSE(has(all, "fast-acting sugar")) << all;
    EXPECT_EQ(Bench::at(answer, "/read_back").type, json::Type::null);
  }
  EXPECT_TRUE(has(flat(clinic.phone(R"(,"drowsy":"yes","low_now":"yes")")),
                  "Glucose is low now, and they are drowsy"));
  const auto vomits = flat(clinic.phone(R"(,"low_now":"yes","not_eating":"yes")"));
  EXPECT_TRUE(has(vomits, "Glucose is low now, and they are vomiting")) << vomits;
  EXPECT_TRUE(has(vomits, "fast-acting sugar"));
  const auto three = flat(clinic.phone(R"(,"low_now":"yes","not_eating":"yes","ketones":"yes")"));
  EXPECT_TRUE(has(three, tests::piece("errors/interlock.low_ketones_not_eating/do_this"))) << three;
}

// The sick-day words stood only where nobody was ill, and basal insulin was
// dropped in silence.
TEST(DeskAsked, H47_H38_WithKetonesOrVomitingTheOrdersSickDayWordsAndBasalInsulinAreSaid) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const std::string line = "00000000000000000000000000000a02";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + line +
          R"(","what":"order line signed","happened":"2027-03-16T21:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"sick_day":"Phone before you leave any out.","replaces":"00000000000000000000000000000a01"})",
      R"("confirmed":true,)"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"order line checked","happened":"2027-03-16T21:05:00+01:00","line":")" + line +
          R"(","checked_by":"Jonas Abara",)" + Bench::reading + "}"));
  for (const auto* more : {R"(,"ketones":"yes")", R"(,"not_eating":"yes")",
                           R"(,"ketones":"yes","not_eating":"yes")"}) {
    const auto answer = clinic.phone(more);
    const auto all = flat(answer);
    EXPECT_EQ(Bench::at(answer, "/card/state").text, "refused");
    EXPECT_TRUE(has(all, "Phone before you leave any out.")) << all;
    EXPECT_TRUE(has(all, "Do not miss basal insulin")) << all;
    EXPECT_TRUE(has(all, "If vomiting, drowsy or breathing fast with high glucose: call 112"))
        << all;
  }
}

// Nothing of such a call was on record, and a minute later the number was said.
TEST(DeskAsked, H53_H61_WhoeverIsIllOnTheTelephoneIsOnRecordForTheNextCall) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto record = [&](const json::Value& answer) {
    auto facts = json::to_text(Bench::at(answer, "/card/refusal/answers/0/facts"));
    Bench::must(clinic.record(clinic.person, facts.substr(1, facts.size() - 2)));
  };
  record(clinic.phone(R"(,"low_now":"yes")"));
  clinic.set_clock("2027-03-16T21:52:00+01:00");
  const auto next = clinic.phone(R"(,"low_now":"no")");
  EXPECT_TRUE(has(flat(Bench::at(next, "/first")), "Glucose is low now.")) << flat(next);
  record(clinic.phone(R"(,"ketones":"yes")"));
  EXPECT_EQ(Bench::at(clinic.phone(), "/card/refusal/code").text, "order.question_open");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  const auto journal = flat(Bench::must(clinic.Bench::page(clinic.person, "/journal")));
  EXPECT_TRUE(has(journal, "There are ketones.")) << journal;
  EXPECT_FALSE(has(journal, "read back: They said")) << journal;
}

// "Nothing is ordered and due on this record: ."
TEST(DeskAsked, H53_OfWhomNothingIsOrderedOneCleanSentence) {
  Bench bench;
  const auto nobody = bench.enrol();
  const auto answer = Bench::must(bench.page("/api/phone", Bench::call_about(nobody)));
  EXPECT_EQ(Bench::at(answer, "/card/refusal/what").text,
            tests::piece("errors/interlock.nothing_ordered/what"));
  EXPECT_EQ(Bench::at(answer, "/card/strength_text").text, "");
}

TEST(DeskAsked, H57_ADoseMissedThatIsNotOnRecordHoldsTheNumberAndSaysWhatToDo) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto answer = clinic.phone(R"(,"missed":"yes")");
  EXPECT_EQ(Bench::at(answer, "/card/refusal/code").text, "interlock.missed_which");
  EXPECT_EQ(Bench::at(answer, "/read_back").type, json::Type::null);
  const auto said = flat(Bench::at(answer, "/card/refusal"));
  EXPECT_TRUE(has(said, "Ask which")) << said;
  EXPECT_TRUE(has(said, "Never give two doses together")) << said;
  EXPECT_TRUE(has(said, "Phone the prescriber")) << said;
}

// Five hours early nothing was asked, and a minute later the desk said the next
// evening's number without its day.
TEST(DeskAsked, H07_H48_H55_ADoseIsSaidWithItsHourAndOneTooEarlyIsAskedAbout) {
  Clinic clinic("2027-03-16T16:58:00+01:00");
  const auto say = [&] { return flat(Bench::at(clinic.phone(), "/read_back/say")); };
  EXPECT_TRUE(has(say(), "Not now: Tue 16, 22:00, not before 21:00.")) << say();
  EXPECT_FALSE(has(say(), ": dial"));
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T16:58:00+01:00")), "ask.too_early");
  EXPECT_FALSE(has(clinic.all(), "On record: 22"));
  Bench::must(clinic.inject(22, "2027-03-16T16:58:00+01:00", "00000000000000000000000000000a01",
                            R"("confirmed":true,)"));
  clinic.set_clock("2027-03-16T17:00:00+01:00");
  EXPECT_TRUE(has(flat(clinic.page()), "On record: 22 units, Tue 16, 16:58")) << clinic.all();
  EXPECT_TRUE(has(say(), "Not now: Wed 17, 22:00")) << say();
  clinic.set_clock("2027-03-17T21:10:00+01:00");
  EXPECT_TRUE(has(say(), "Wed 17, 22:00, not before 21:00: dial")) << say();
  EXPECT_EQ(code(clinic.inject(22, "2027-03-17T21:10:00+01:00")), "recorded");
}

TEST(DeskAsked, H04_H38_ADoseFarAboveItsSlotStandsBesideTheNextNumber) {
  Clinic clinic;
  Bench::must(clinic.inject(29, "2027-03-16T22:05:00+01:00", "00000000000000000000000000000a01",
                            R"("confirmed":true,)"));
  clinic.set_clock("2027-03-17T21:30:00+01:00");
  EXPECT_EQ(clinic.refusal(), "");
  EXPECT_TRUE(has(clinic.plan(), "more than the 22 units that the order has")) << clinic.plan();
}

// Whoever found out that the rest was taken was asked whether 8 units are a dose.
TEST(DeskAsked, H39_H04_WhatIsMissingOfAPartIsRecordedAsItsRest) {
  Clinic clinic("2027-03-16T22:40:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","outcome":"part","meant_units":22,"units":14,"cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  EXPECT_EQ(code(clinic.inject(8, "2027-03-16T22:25:00+01:00")), "recorded");
  clinic.set_clock("2027-03-17T21:30:00+01:00");
  EXPECT_EQ(clinic.refusal(), "");
}

// Four hours after its window nothing was asked.
TEST(DeskAsked, H07_H38_ADoseAfterItsTimeIsAskedAbout) {
  Clinic clinic("2027-03-17T04:10:00+01:00");
  EXPECT_EQ(code(clinic.inject(22, "2027-03-17T04:00:00+01:00")), "ask.too_late");
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T23:30:00+01:00")), "recorded");
}

// One question at a time, and the one about the morning's dose, of a line of its own, hid that the
// evening's was fourteen hours early.
TEST(DeskAsked, H07_H38_ADoseTooEarlyBesideAnotherIsAskedAboutAsBoth) {
  Clinic clinic("2027-03-16T08:30:00+01:00");
  const std::string line = "00000000000000000000000000000a02";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + line +
          R"(","what":"order line signed","happened":"2027-03-16T06:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"breakfast","at":"07:30","minutes_before":60,"minutes_after":60,"units":14}],"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})",
      R"("confirmed":true,)"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) + R"(","line":")" +
          line + R"(","slot":"breakfast","units":14,"happened":"2027-03-16T07:27:00+01:00"})",
      R"("confirmed":true,)"));
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T08:20:00+01:00")), "ask.too_early_after");
}

// The order came by fax and was checked, and only then somebody recorded what the prescriber had
// said on the telephone: "it has not arrived yet".
TEST(DeskAsked, H37_H38_ANewOrderThatFollowsAfterOneWasCheckedIsAskedAbout) {
  Clinic clinic("2027-03-16T20:50:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000e01","what":"question opened","line":"00000000000000000000000000000a01","reason":"lows","text":"Two hypos.","happened":"2027-03-16T20:45:00+01:00"})"));
  const auto answer = [&](const char* kind, const char* more = "") {
    return clinic.record(
        clinic.person,
        R"({"what":"question answered","question":"00000000000000000000000000000e01","by":"Dr Tomasz Adeyemi","read_back":true,"answer":")" +
            std::string(kind) + "\"}",
        more);
  };
  clinic.set_clock("2027-03-16T21:10:00+01:00");
  clinic.second_line("00000000000000000000000000000a01");
  EXPECT_EQ(code(answer("new order follows")), "ask.new_order_came");
  EXPECT_EQ(code(answer("keep the dose")), "recorded");
  EXPECT_TRUE(has(clinic.all(), "24 units")) << clinic.all();
}

// At midnight the telephone got the breakfast's number, and basal insulin was asked
// about on the person's own page alone.
TEST(DeskAsked, H57_H53_ThePhoneDeskAsksAboutBasalInsulinThatIsNotOnRecord) {
  Clinic clinic("2027-03-17T00:08:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000a03","what":"order line signed","happened":"2027-03-16T09:00:00+01:00","order_version":6,"insulin":"insulin aspart","strength_units_per_ml":100,"purpose":"mealtime","slots":[{"slot":"breakfast","at":"07:15","minutes_before":15,"minutes_after":30,"units":8}],"least_units":2,"most_units":12,"from":"2027-03-16","prescriber":"Dr Osei","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Mo Oyelaran","read_back":true})",
      R"("confirmed":true,)"));
  const auto desk = [&] { return flat(clinic.phone()); };
  EXPECT_TRUE(has(desk(), "The insulin glargine that was due on Tuesday 16 March 2027, 22:00"))
      << desk();
}

// The card said neither which lot goes in nor that the open one was past its days,
// and two sheets had two instructions.
TEST(DeskAsked, H61_H58_H12_TheCardSaysWhichLotGoesInAndOneThingOfTheRecalledOne) {
  Bench bench("2027-04-20T21:50:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  const auto give = [&](const char* lot, int count) {
    Bench::must(bench.record(
        person,
        R"({"what":"supplies given","happened":"2027-03-02T09:12:00+01:00","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"lot":")" +
            std::string(lot) + R"(","cartridges":)" + std::to_string(count) +
            R"(,"needles":100})"));
  };
  Bench::must(bench.record(
      person,
      R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":")" +
          std::string(Bench::pen) +
          R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})"));
  Bench::must(bench.record(
      person,
      R"({"what":"cartridge loaded","happened":"2027-03-10T08:10:00+01:00","cartridge":"00000000000000000000000000000c02","pen":")" +
          std::string(Bench::pen) +
          R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":"H0000"})",
      R"("confirmed":true,)"));
  Bench::must(bench.record(
      person,
      R"({"what":"injected","happened":"2027-04-19T22:00:00+01:00","cartridge":"00000000000000000000000000000c02","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  give("H0000", 2);
  give("H0001", 5);
  Bench::must(bench.desk().record_clinic(
      Bench::request(
          R"({"facts":[{"what":"recall opened","recall":"00000000000000000000000000000e01","lot":"H0000"}]})"),
      bench.desk().caller()));
  const auto next = Bench::at(Bench::must(bench.page(person)), "/next");
  const auto card = flat(next);
  EXPECT_EQ(Bench::at(next, "/state").text, "dial") << card;
  EXPECT_TRUE(has(card, "Take lot H0001. Not lot H0000.")) << card;
  EXPECT_TRUE(has(card, "lot H0000, in the pen") &&
              has(card, "unopened insulin glargine, lot H0000"))
      << card;
  EXPECT_FALSE(has(card, "bring it in")) << card;
  // The paper had no change of cartridge, and no word of the recall.
  const auto sheet = flat(Bench::must(bench.page(
      person, "/steps?line=00000000000000000000000000000a01&slot=bedtime&day=2027-04-20")));
  EXPECT_TRUE(has(sheet, "Change the cartridge")) << sheet;
  EXPECT_TRUE(has(sheet, "Take lot H0001. Not lot H0000.")) << sheet;
  EXPECT_TRUE(has(sheet, "lot H0000, in the pen")) << sheet;
  const auto recall = flat(Bench::must(bench.page("/api/recalls/H0000")));
  EXPECT_TRUE(has(recall, "Do not use this lot")) << recall;
  EXPECT_FALSE(has(recall, "with what you have")) << recall;
}

TEST(DeskAsked, H61_H12_WhatIsLoadedExpiredIsAskedAboutAndSaidEverywhere) {
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto load = [&](const std::string& more) {
    return bench.record(
        person,
        R"({"what":"cartridge loaded","happened":"2027-03-16T21:40:00+01:00","cartridge":"00000000000000000000000000000c02","pen":")" +
            std::string(Bench::pen) +
            R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"expires":"2026-10-31"})",
        more);
  };
  EXPECT_EQ(code(load("")), "ask.load_expired");
  EXPECT_EQ(code(load(R"("confirmed":true,)")), "recorded");
  const auto page = Bench::must(bench.page(person));
  const auto pens = flat(Bench::at(page, "/pens"));
  EXPECT_TRUE(has(pens, "Expired on 31 October 2026")) << pens;
  EXPECT_FALSE(has(pens, "not yet in use")) << pens;
  const auto today = flat(Bench::must(bench.page("/api/today")));
  EXPECT_TRUE(has(today, "expiry date")) << today;
  EXPECT_FALSE(has(today, tests::piece("sentences/watch.none_loaded"))) << today;
}

// Steps and a number for a pen that was lost.
TEST(DeskAsked, H53_H38_APenThatWasLostGivesNoNumber) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  Bench::must(clinic.record(clinic.person, R"({"what":"thrown away","cartridge":")" +
                                               std::string(Bench::cartridge) +
                                               R"(","reason":"lost"})"));
  EXPECT_EQ(clinic.refusal(), "next.no_pen");
  EXPECT_EQ(Bench::at(clinic.phone(), "/read_back").type, json::Type::null);
}

// After dry primes the desk read the number back; one unit of the prime undid
// what the new needle had shown.
TEST(DeskAsked, H64_H44_WhileNothingShowsNoNumberIsSaidAndOneUnitProvesNothing) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  int second = 0;
  const auto tell = [&](const std::string& what) {
    Bench::must(clinic.record(clinic.person,
                              R"({"happened":"2027-03-16T21:45:)" + std::to_string(10 + second++) +
                                  R"(+01:00",)" + what + "}",
                              R"("confirmed":true,)"));
  };
  const auto needle = [&](const char* what) {
    tell(std::string(R"("what":")") + what + R"(","pen":")" + Bench::pen + R"(")" +
         (what == std::string("needle on") ? R"(,"needle":"4 mm","length_mm":4)" : ""));
  };
  const auto prime = [&](const char* units, const char* flow) {
    tell(std::string(R"("what":"primed","cartridge":")") + Bench::cartridge + R"(","units":)" +
         units + R"(,"flow":")" + flow + R"(")");
  };
  needle("needle on");
  prime("2", "not seen");
  const auto dry = clinic.phone();
  EXPECT_EQ(Bench::at(dry, "/read_back").type, json::Type::null);
  EXPECT_TRUE(has(flat(Bench::at(dry, "/first")), "No insulin has come out yet"));
  prime("2", "not seen");
  prime("2", "not seen");
  needle("needle off");
  needle("needle on");
  prime("2", "not seen");
  EXPECT_EQ(clinic.refusal(), "dial.no_flow");
  prime("1", "seen");
  EXPECT_EQ(clinic.refusal(), "dial.no_flow");
  prime("2", "seen");
  EXPECT_EQ(clinic.refusal(), "");
}

// A recalled lot went into the pen without a word.
TEST(DeskAsked, H61_ARecalledLotIsAskedAboutWhenItIsLoaded) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  Bench::must(clinic.desk().record_clinic(
      Bench::request(
          R"({"facts":[{"what":"recall opened","recall":"000000000000000000000000000000ee","lot":"LG-5501"}]})"),
      clinic.desk().caller()));
  EXPECT_EQ(
      code(clinic.record(
          clinic.person,
          R"({"what":"cartridge loaded","cartridge":"00000000000000000000000000000c02","pen":")" +
              std::string(Bench::pen) +
              R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":"lg5501"})")),
      "ask.load_recalled");
}

// Fifteen minutes after a part the sheet said "more than two hours ago"; the
// next day's printed its number while the page had none.
TEST(DeskAsked, H39_H58_ASheetSaysOfARestWhatTheCardSaysAndNothingOfTheNextDay) {
  Clinic clinic("2027-03-16T21:10:00+01:00");
  const auto sheet = [&](const std::string& day) {
    return clinic.Bench::page(
        clinic.person, "/steps?line=00000000000000000000000000000a01&slot=bedtime&day=" + day);
  };
  EXPECT_EQ(code(sheet("2027-03-17")), "recorded");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T21:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":10,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  clinic.set_clock("2027-03-16T21:20:00+01:00");
  EXPECT_EQ(code(sheet("2027-03-16")), "desk.sheet_rest");
  clinic.set_clock("2027-03-17T01:00:00+01:00");
  EXPECT_EQ(clinic.refusal(), "order.rest_late");
  EXPECT_EQ(code(sheet("2027-03-17")), "order.rest_late");
}

// A two that was typed where the window showed nothing turned the window round.
TEST(DeskAsked, H01_ATestThatThePenCannotGiveIsAskedAbout) {
  Clinic clinic;
  const auto test = [&](const std::string& figures) {
    return code(clinic.record(
        clinic.person,
        R"({"what":"window tested","pen":")" + std::string(Bench::pen) + R"(",)" + figures + "}"));
  };
  EXPECT_EQ(test(R"("dialled_units":2.5,"shown_after_units":0)"), "ask.test_window");
  EXPECT_EQ(test(R"("dialled_units":2,"shown_after_units":2)"), "ask.test_window");
  EXPECT_EQ(test(R"("dialled_units":2,"shown_after_units":0)"), "recorded");
}

// The desk said one window of a pen that counts on, before anybody knew what the prime would take.
TEST(DeskAsked, H01_H53_OfAWindowThatCountsOnTheDeskSaysHowToTurnNotOneNumber) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  for (int twice = 0; twice < 2; ++twice) {
    Bench::must(clinic.record(clinic.person,
                              R"({"what":"window tested","pen":")" + std::string(Bench::pen) +
                                  R"(","dialled_units":2,"shown_after_units":2})",
                              R"("confirmed":true,)"));
  }
  const auto say = flat(Bench::at(clinic.phone(), "/read_back/say"));
  EXPECT_TRUE(has(say, "read out what the window shows")) << say;
  EXPECT_TRUE(has(say, "dial that many more")) << say;
}

// "Then dial 24" stood for the evening after a prime of the afternoon: by then the window is at
// nought, and 24 too much.
TEST(DeskAsked, H01_H55_APrimeBeforeTheDosesWindowCountsForNothingThatIsSaidForLater) {
  Clinic clinic("2027-03-16T15:30:00+01:00");
  for (int twice = 0; twice < 2; ++twice) {
    Bench::must(clinic.record(clinic.person,
                              R"({"what":"window tested","pen":")" + std::string(Bench::pen) +
                                  R"(","dialled_units":2,"shown_after_units":2})",
                              R"("confirmed":true,)"));
  }
  const auto prime = [&] {
    Bench::must(clinic.record(clinic.person, R"({"what":"primed","cartridge":")" +
                                                 std::string(Bench::cartridge) +
                                                 R"(","units":2,"flow":"seen"})"));
  };
  const auto say = [&] { return flat(Bench::at(clinic.phone(), "/read_back/say")); };
  const auto again = "prime, and read out what the window shows";
  EXPECT_TRUE(has(say(), again)) << say();
  prime();
  EXPECT_TRUE(has(say(), again)) << say();
  // An hour before its time the injection may be given: the prime is its own.
  clinic.set_clock("2027-03-16T21:10:00+01:00");
  prime();
  EXPECT_FALSE(has(say(), again)) << say();
}

// A sheet for the first of January 2099 had its number.
TEST(DeskAsked, H28_H48_H12_ASheetIsForTheNextDoseOrForOneOfTodayOrTomorrow) {
  Clinic clinic("2027-03-16T21:10:00+01:00");
  const auto sheet = [&](const std::string& day) {
    return code(clinic.Bench::page(
        clinic.person, "/steps?line=00000000000000000000000000000a01&slot=bedtime&day=" + day));
  };
  EXPECT_EQ(sheet("2027-03-15"), "desk.sheet_past");
  EXPECT_EQ(sheet("2027-03-16"), "recorded");
  EXPECT_EQ(sheet("2027-03-17"), "recorded");
  for (const auto* day : {"2027-03-18", "2027-04-16", "2099-01-01"})
    EXPECT_EQ(sheet(day), "desk.sheet_far") << day;
}

// By a clock set back to the evening before, tonight's dose stood there again without a word.
TEST(DeskAsked, H18_H52_AClockThatWasSetBackIsSaidWhereTheNumberIs) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  const auto said = "This machine’s clock was set back";
  const auto everywhere = [&](bool is_said) {
    EXPECT_EQ(has(flat(Bench::at(clinic.page(), "/notices")), said), is_said) << clinic.all();
    EXPECT_EQ(has(flat(Bench::at(clinic.phone(), "/first")), said), is_said);
    EXPECT_EQ(has(flat(Bench::must(clinic.Bench::page(clinic.person, "/steps"))), said), is_said);
  };
  everywhere(false);
  Bench::must(clinic.inject(22, "2027-03-16T22:10:00+01:00"));
  clinic.set_clock("2027-03-16T22:01:00+01:00");  // a few minutes are none
  EXPECT_FALSE(has(clinic.all(), said));
  clinic.set_clock("2027-03-15T21:30:00+01:00");
  EXPECT_TRUE(has(flat(Bench::at(clinic.page(), "/notices")), said));
  clinic.set_clock("2020-03-15T21:30:00+01:00");
  EXPECT_TRUE(has(flat(Bench::at(clinic.page(), "/notices")), said)) << clinic.all();
}

// "Nothing is due", as if none were needed.
TEST(DeskAsked, H38_WhereNothingIsDueThePageSaysWhyAndHowInsulinIsGot) {
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto person = bench.enrol();
  const auto refusal = [&] {
    const auto page = Bench::must(bench.page(person));
    EXPECT_EQ(Bench::at(page, "/next/state").text, "refused");
    const auto phone = Bench::must(bench.page("/api/phone", Bench::call_about(person)));
    EXPECT_EQ(json::to_text(Bench::at(phone, "/card/refusal/code")),
              json::to_text(Bench::at(page, "/next/refusal/code")));
    return Bench::at(page, "/next/refusal");
  };
  EXPECT_EQ(Bench::at(refusal(), "/code").text, "interlock.nothing_ordered");
  EXPECT_TRUE(has(flat(refusal()), "555 0100")) << flat(refusal());
  bench.order(person, "00000000000000000000000000000a01", R"(,"until":"2027-03-15")");
  EXPECT_EQ(Bench::at(refusal(), "/code").text, "order.ended");
  EXPECT_TRUE(has(flat(refusal()), "Do not miss basal insulin")) << flat(refusal());
}

// Ended it was asked about; struck out it went without a word.
TEST(DeskAsked, H38_H57_TakingAwayTheLastLineOfBasalInsulinIsAskedAbout) {
  const std::string basal = "00000000000000000000000000000a01";
  const auto asks = [&](Clinic& clinic, const std::string& line, const std::string& more = "") {
    const auto answer = clinic.record(clinic.person, R"({"what":"correction","target":")" + line +
                                                         R"(","reason":"a slip")" + more + "}");
    return has(flat(Bench::must(answer)), "no basal insulin is ordered.");
  };
  const auto instead = [](const std::string& purpose, const std::string& until = "") {
    return R"(,"replacement":{"what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":")" +
           purpose +
           R"(","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":20}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true)" +
           until + "}";
  };
  Clinic clinic("2027-03-16T21:50:00+01:00");
  EXPECT_TRUE(asks(clinic, basal));
  EXPECT_TRUE(asks(clinic, basal, instead("mealtime")));
  EXPECT_TRUE(asks(clinic, basal, instead("background", R"(,"until":"2027-03-15")")));
  EXPECT_FALSE(asks(clinic, basal, instead("background")));
  Clinic two("2027-03-16T21:50:00+01:00");
  EXPECT_FALSE(asks(two, two.second_line())) << "the first one stays";
}

// "20 tonight, from tomorrow 48 as before": on the next evening nothing was ordered.
TEST(DeskAsked, H38_ABasalLineForOneNightIsToldThatTheOtherDoesNotComeBack) {
  for (const bool replaces : {true, false}) {
    Clinic clinic("2027-03-16T14:10:00+01:00");
    const auto asked = clinic.record(
        clinic.person,
        R"({"what":"order line signed","order_version":5,"insulin":"insulin glargine",)"
        R"("strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime",)"
        R"("at":"22:00","minutes_before":60,"minutes_after":120,"units":12}],"least_units":10,)"
        R"("most_units":30,"from":"2027-03-16","until":"2027-03-16",)"
        R"("prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper",)"
        R"("copied_by":"Marit Oyelaran","read_back":true)" +
            std::string(replaces ? R"(,"replaces":"00000000000000000000000000000a01"})" : "}"));
    EXPECT_EQ(has(flat(Bench::must(asked)), "does not come back by itself"), replaces);
  }
}

// One form, unasked, and no list knew of it.
TEST(DeskAsked, H38_H57_BasalInsulinThatSomebodyEndsIsAskedAboutAndOnToday) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto end = [&](const std::string& last, const std::string& more = "") {
    return code(clinic.record(
        clinic.person,
        R"({"what":"order line ended","line":"00000000000000000000000000000a01","last_day":")" +
            last + R"(","prescriber":"Dr Osei"})",
        more));
  };
  const auto today = [&] { return flat(Bench::must(clinic.Bench::page("/api/today"))); };
  EXPECT_EQ(end("2027-03-15"), "ask.ends_basal");
  EXPECT_FALSE(has(today(), "no other replaces it"));
  EXPECT_EQ(end("2027-03-15", R"("confirmed":true,)"), "recorded");
  EXPECT_TRUE(has(today(), "no other replaces it")) << today();
  EXPECT_EQ(clinic.refusal(), "order.ended");
  clinic.second_line();
  EXPECT_FALSE(has(today(), "no other replaces it")) << today();
}

// What the prescriber is to be told today stood on the card of the next dose alone.
TEST(DeskAsked, H57_H39_ADoseInDoubtIsOnTodayUntilTheNextOne) {
  const auto today = [](Clinic& clinic) {
    return flat(Bench::must(clinic.Bench::page("/api/today")));
  };
  for (const auto& [was, said] :
       {std::pair("not taken", "was not taken. Tell the prescriber today"),
        std::pair("not known", "was taken. Ask the prescriber today")}) {
    Clinic clinic("2027-03-17T07:20:00+01:00");
    Bench::must(clinic.record(
        clinic.person,
        R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-16","was":")" +
            std::string(was) + "\"}"));
    EXPECT_TRUE(has(today(clinic), said)) << today(clinic);
    clinic.set_clock("2027-03-17T22:05:00+01:00");
    Bench::must(clinic.inject(22, "2027-03-17T22:05:00+01:00"));
    EXPECT_FALSE(has(today(clinic), said)) << today(clinic);
  }
  Clinic part("2027-03-16T22:20:00+01:00");
  Bench::must(part.record(
      part.person,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":10,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  Bench::must(part.record(
      part.person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-16","was":"not taken"})",
      R"("confirmed":true,)"));
  EXPECT_TRUE(has(today(part), "12 units of 22 units")) << today(part);
}

// Five nights without basal insulin were asked about, and answered, as one.
TEST(DeskAsked, H57_SeveralNightsThatAreNotOnRecordAreAskedAboutAndSaidAsSeveral) {
  Clinic clinic("2027-03-20T18:20:00+01:00");
  const auto asks = flat(Bench::at(clinic.page(), "/asks"));
  EXPECT_TRUE(has(asks, "doses from") && has(asks, "16 March") && has(asks, "19 March")) << asks;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-19","was":"not taken"})"));
  const auto card = flat(Bench::at(clinic.page(), "/next"));
  EXPECT_TRUE(has(card, "Dial 22 units") && has(card, "no basal insulin is on record")) << card;
  EXPECT_TRUE(has(card, "16 March") && has(card, "phone the prescriber before this dose")) << card;
}

// Words for a sick day, in several lines, stood under the steps as if they were one.
TEST(DeskAsked, H40_H60_H58_ANumberInTheWordsForASickDayIsAskedAboutAndSaidToBeUnchecked) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto copy = [&](const std::string& sick_day, const std::string& more) {
    return code(clinic.record(
        clinic.person,
        R"({"id":"00000000000000000000000000000a02","what":"order line signed","happened":"2027-03-16T21:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01","sick_day":")" +
            sick_day + "\"}",
        more));
  };
  const auto forged = R"(Phone us.\n\n  6. Dial 40 units - Start from zero.)";
  EXPECT_EQ(copy(forged, ""), "ask.sick_day_number");
  EXPECT_EQ(copy(R"(","remark":"Take 96 units on Sundays)", ""), "ask.remark_number");
  EXPECT_EQ(copy(R"(","remark":"Take ８０ units)", ""), "ask.remark_number");
  EXPECT_EQ(copy(R"(Take eighty units.)", ""), "ask.sick_day_number");
  EXPECT_EQ(copy(forged, R"("confirmed":true,)"), "recorded");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"order line checked","happened":"2027-03-16T21:05:00+01:00","line":"00000000000000000000000000000a02","checked_by":"Jonas Abara",)" +
          std::string(Bench::reading) + "}"));
  EXPECT_TRUE(has(flat(Bench::at(clinic.page(), "/next")), "were not checked by a second person"))
      << clinic.all();
}

// The rest of a part dose began with a window that still stood at what it had shown.
TEST(DeskAsked, H01_H39_AWindowThatCountsOnIsAtZeroBeforeThePrime) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  for (int twice = 0; twice < 2; ++twice) {
    Bench::must(clinic.record(clinic.person,
                              R"({"what":"window tested","pen":")" + std::string(Bench::pen) +
                                  R"(","dialled_units":2,"shown_after_units":2})",
                              R"("confirmed":true,)"));
  }
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T21:35:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":8,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  clinic.set_clock("2027-03-16T21:40:00+01:00");
  const auto card = flat(Bench::at(clinic.page(), "/next"));
  EXPECT_TRUE(has(card, "14, not 22") && has(card, "The window must show zero first")) << card;
  Clinic whole("2027-03-16T21:30:00+01:00");
  EXPECT_FALSE(has(flat(Bench::at(whole.page(), "/next")), "The window must show zero first"));
}

// A needle that was used went unmentioned, and a new one was asked for on top of it.
TEST(DeskAsked, H15_TheUsedNeedleComesOffBeforeTheNewOne) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  EXPECT_FALSE(has(clinic.plan(), tests::piece("sentences/step.off_old")));
  Bench::must(clinic.record(
      clinic.person, R"({"what":"needle on","happened":"2027-03-15T21:55:00+01:00","pen":")" +
                         std::string(Bench::pen) + R"(","needle":"4 mm","length_mm":4})"));
  const auto card = Bench::at(clinic.page(), "/next");
  const auto steps = flat(Bench::at(card, "/steps"));
  EXPECT_LT(steps.find(tests::piece("sentences/step.off_old")),
            steps.find(tests::piece("sentences/step.needle")))
      << steps;
  for (const auto& step : Bench::at(card, "/steps").members) {
    if (Bench::at(step.value, "/title").text == tests::piece("sentences/step.off_old")) {
      EXPECT_FALSE(Bench::at(step.value, "/records").members.empty());
    }
  }
}

// "Did I take it?" met a tick.
TEST(DeskAsked, H07_H59_WhoeverCannotSayWhetherItWasTakenReadsTheScale) {
  Clinic clinic("2027-03-16T20:00:00+01:00");
  const auto buttons = [&] { return flat(Bench::at(clinic.phone(), "/card/steps/0/records")); };
  EXPECT_EQ(buttons(), "");  // its time has not come
  clinic.set_clock("2027-03-16T22:10:00+01:00");
  EXPECT_TRUE(has(buttons(), "scale counted") && has(buttons(), "not known")) << buttons();
}

// Seen nearly two hours before, beside a needle that was still to be fitted.
TEST(DeskAsked, H44_H55_APrimeCountsForHalfAnHourAndSaysWhen) {
  Clinic clinic("2027-03-16T21:40:00+01:00");
  Bench::must(clinic.record(clinic.person, R"({"what":"primed","cartridge":")" +
                                               std::string(Bench::cartridge) +
                                               R"(","units":2,"flow":"seen"})"));
  clinic.set_clock("2027-03-16T22:09:00+01:00");
  EXPECT_TRUE(has(clinic.plan(), "recorded at 21:40")) << clinic.plan();
  clinic.set_clock("2027-03-16T22:11:00+01:00");
  EXPECT_TRUE(has(clinic.plan(), "Prime 2 units")) << clinic.plan();
}

// A tenth of the dose from a pen in whole units, and more than a full cartridge, went in unasked.
TEST(DeskAsked, H02_H05_H25_AnAmountThatPenOrCartridgeCannotGiveIsAskedAboutTypedOrInADiary) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  const auto given = [&](const std::string& units) {
    return flat(Bench::must(
        clinic.record(clinic.person,
                      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
                          std::string(Bench::cartridge) + R"(","units":)" + units + "}")));
  };
  EXPECT_TRUE(has(given("20.5"), "20.5 units cannot be dialled on that pen")) << given("20.5");
  EXPECT_TRUE(has(given("310"), "more than that cartridge held")) << given("310");
  const auto seen = flat(Bench::must(clinic.desk().diary(
      clinic.person, "d.csv",
      "time,what,units,cartridge,zone,spot,note\n2027-03-12T22:00,injected,2.55,1,,,\n"
      "2027-03-13T22:00,injected,310,1,,,\n",
      "", clinic.desk().caller())));
  EXPECT_TRUE(has(seen, "2.55 units cannot be dialled on that pen")) << seen;
  EXPECT_TRUE(has(seen, "more than that cartridge held")) << seen;
}

// The older version's number was shown, and no word of the newer line for the same hour.
TEST(DeskAsked, H03_H52_TwoLinesOfOneInsulinForOneHourAreSaidOnTheCard) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  EXPECT_FALSE(has(clinic.plan(), tests::piece("errors/interlock.two_lines/what")));
  clinic.second_line("", "300");
  const auto card = flat(Bench::at(clinic.page(), "/next"));
  EXPECT_TRUE(has(card, "The order has two lines for this time")) << card;
  EXPECT_TRUE(has(card, "24 units of insulin glargine, 300 units/mL")) << card;
  EXPECT_FALSE(tests::tells_number(card)) << card;
  EXPECT_TRUE(has(flat(Bench::at(clinic.page(), "/later")), "300 units/mL"));
}

// The card held the number, and Today did not know of it.
TEST(DeskAsked, H52_H32_ADoseThatMayHaveBeenGivenAlreadyIsOnToday) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto today = [&] { return flat(Bench::must(clinic.Bench::page("/api/today"))); };
  clinic.second_line("", "300");
  EXPECT_FALSE(has(today(), "may already have been given")) << today();
  Bench::must(clinic.inject(22, "2027-03-16T21:45:00+01:00"));
  EXPECT_TRUE(has(today(), "may already have been given")) << today();
  clinic.set_clock("2027-03-17T09:00:00+01:00");
  EXPECT_FALSE(has(today(), "may already have been given")) << today();
}

TEST(DeskAsked, H12_H53_AnUnopenedOneIsPlannedWithWhereNobodyKnowsTheDaysOfTheOpenOne) {
  Bench bench;
  const auto call = [&](const std::string& unopened) {
    return Bench::must(bench.page(
        "/api/phone",
        R"({"pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"22","left_units":"120","unopened":")" +
            unopened +
            R"(","prime":"not yet","low_now":"no","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","missed":"no","last_dose":"24"})"));
  };
  EXPECT_EQ(Bench::at(call("0"), "/card/refusal/code").text, "interlock.days_unknown");
  const auto card = Bench::at(call("2"), "/card");
  EXPECT_EQ(Bench::at(card, "/state").text, "dial") << Bench::all_text(card);
  EXPECT_NE(Bench::all_text(Bench::at(card, "/cautions")).find("it is not known how long"),
            std::string::npos)
      << Bench::all_text(card);
}

// Nobody asked their age, and a child was told to take an adult's sugar.
TEST(DeskAsked, H63_H10_WithNobodyChosenTheSugarOfAnAdultAndOfAChildIsSaid) {
  Bench bench;
  for (const auto* low : {"yes", "no"}) {
    const auto answer = Bench::must(bench.page(
        "/api/phone",
        R"({"pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"22","left_units":"120","days_in_use":"3","prime":"not yet","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","missed":"no","last_dose":"24","low_now":")" +
            std::string(low) + "\"}"));
    EXPECT_EQ(Bench::at(answer, "/card/state").text,
              low == std::string("yes") ? "refused" : "dial");
    const auto said = flat(Bench::at(answer, "/low"));
    EXPECT_TRUE(has(said,
                    "15 g of fast-acting sugar (a child less, by weight: 5 g below 15 kg, "
                    "10 g up to 30 kg) now"))
        << said;
  }
}

// The strength changed, and whoever copied the order was not asked about it.
TEST(DeskAsked, H03_ANewStrengthIsAskedAboutWhenTheOrderIsCopied) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto copy = [&](const std::string& insulin, const std::string& strength) {
    return flat(Bench::must(clinic.record(
        clinic.person,
        R"({"what":"order line signed","happened":"2027-03-16T21:00:00+01:00","order_version":5,"insulin":")" +
            insulin + R"(","strength_units_per_ml":)" + strength +
            R"(,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","units":24}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Osei","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01"})")));
  };
  EXPECT_TRUE(has(copy("insulin glargine", "300"), "changes from 100 units/mL to 300 units/mL"));
}

// A new version signed on the question's own day showed its number, while Today went on to say that
// the dose waits for the prescriber.
TEST(DeskAsked, H37_H08_ACopyFromPaperOfTheQuestionsDayIsAskedAboutAndWaitsWithIt) {
  Clinic clinic("2027-03-16T20:30:00+01:00");
  const std::string old = "00000000000000000000000000000a01";
  Bench::must(clinic.record(clinic.person, R"({"what":"question opened","line":")" + old +
                                               R"(","reason":"lows","text":"two lows"})"));
  clinic.set_clock("2027-03-16T21:30:00+01:00");
  const auto line = [&](const std::string& signed_on) {
    return clinic.record(
        clinic.person,
        R"({"what":"order line signed","order_version":5,"replaces":")" + old +
            R"(","insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":24}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":")" +
            signed_on +
            R"(","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
  };
  EXPECT_EQ(code(line("2027-03-16")), "ask.question_waits");
  EXPECT_EQ(code(line("2027-03-17")), "ask.signed_late");
  clinic.second_line(old);
  const auto asks = Bench::all_text(Bench::at(clinic.page(), "/asks"));
  EXPECT_TRUE(has(asks, "two lows")) << asks;
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_FALSE(tests::tells_number(Bench::all_text(clinic.phone())));
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))),
                  "(" + tests::piece("names/reason/lows") + ")"));
}

// A slip of the date near midnight made tomorrow's basal dose disappear; and of two voices about
// one dose the last won in silence.
TEST(DeskAsked, H57_H07_H25_WhatIsSaidOfADoseThatIsNotDueOrOtherwiseThanBeforeIsAskedAbout) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  const auto say = [&](const std::string& day, const std::string& was,
                       const std::string& more = "") {
    return code(
        clinic.record(clinic.person,
                      R"({"what":"dose answered","line":"00000000000000000000000000000a01",)"
                      R"("slot":"bedtime","day":")" +
                          day + R"(","was":")" + was + R"("})",
                      more));
  };
  EXPECT_EQ(say("2027-03-17", "taken"), "ask.dose_ahead");
  EXPECT_EQ(say("2027-03-16", "not known"), "recorded");
  EXPECT_EQ(say("2027-03-16", "taken"), "recorded");
  EXPECT_EQ(say("2027-03-16", "not taken"), "ask.said_otherwise");
  EXPECT_EQ(say("2027-03-16", "not taken", R"("confirmed":true,)"), "recorded");
}

// "Taken" was forgotten as soon as a new version was copied, and its number was due at once.
TEST(DeskAsked, H07_H52_WhatWasSaidOfADoseStandsUnderANewVersion) {
  Clinic clinic;
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"dose answered","line":"00000000000000000000000000000a01",)"
                            R"("slot":"bedtime","day":"2027-03-16","was":"not known"})"));
  clinic.second_line("00000000000000000000000000000a01");
  EXPECT_FALSE(tests::tells_number(flat(clinic.page())));
  EXPECT_FALSE(tests::tells_number(flat(clinic.phone())));
}

}  // namespace
}  // namespace penstock::desk
