// The findings about numbers that stood where they should not, on every way in: the person's page,
// the sheet of steps, the phone desk, and what is asked when something is recorded.
#include <gtest/gtest.h>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

// nurse A1, pharmacist D1
TEST(DeskInterlock, A1_D1_H52_GivenUnderAnotherVersionLineOrStrengthIsTakenAlready) {
  const std::string first = "00000000000000000000000000000a01";
  for (const bool replaces : {false, true}) {
    for (const auto* strength : {"100", "300"}) {
      Clinic clinic;
      Bench::must(clinic.inject(22, "2027-03-16T22:05:00+01:00"));
      const auto second = clinic.second_line(replaces ? first : "", strength);
      EXPECT_EQ(clinic.refusal(), "order.taken_perhaps");
      EXPECT_FALSE(tests::tells_number(clinic.all()));
      // And when it is recorded, with the line or without.
      EXPECT_EQ(code(clinic.inject(24, "2027-03-16T22:09:00+01:00", second)), "ask.taken_already");
      EXPECT_EQ(code(clinic.record(
                    clinic.person,
                    R"({"what":"injected","happened":"2027-03-16T22:09:00+01:00","cartridge":")" +
                        std::string(Bench::cartridge) + R"(","units":24})")),
                "ask.taken_already");
    }
  }
}

TEST(DeskInterlock, A13_D1_H52_H04_ASecondLineOfOneInsulinAnOddUseAndATimeTwiceAreAsked) {
  Clinic clinic;
  const auto line = [&](const std::string& purpose, const std::string& slots,
                        const std::string& replaces) {
    return code(clinic.record(
        clinic.person,
        R"({"what":"order line signed","happened":"2027-03-16T21:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":")" +
            purpose + R"(","slots":[)" + slots +
            R"(],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Osei","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true)" +
            replaces + "}"));
  };
  const std::string slot = R"({"slot":"bedtime","at":"22:00","units":20})";
  const std::string instead = R"(,"replaces":"00000000000000000000000000000a01")";
  EXPECT_EQ(line("background", slot, ""), "ask.same_insulin");
  EXPECT_EQ(line("mealtime", slot, instead), "ask.purpose_odd");
  EXPECT_EQ(line("background", slot + "," + slot, instead), "ask.slot_twice");
  const std::string soon = R"({"slot":"night","at":"22:30","units":20})";
  EXPECT_EQ(line("background", slot + "," + soon, instead), "ask.slots_close");
  EXPECT_EQ(line("background", slot, instead), "recorded");
}

// nurse A2, pharmacist D2
TEST(DeskInterlock, A2_D2_H53_WithAPersonThePhoneDeskObeysTheirRecord) {
  Clinic clinic("2027-03-16T21:50:00+01:00", R"({"hearing":"reduced"})");
  const auto good = clinic.phone();
  EXPECT_EQ(Bench::at(good, "/card/state").text, "dial");
  EXPECT_TRUE(has(Bench::all_text(Bench::at(good, "/read_back/say")), "22 units"));
  EXPECT_TRUE(has(Bench::all_text(Bench::at(good, "/who")), "write it down"));
  const auto refused = [&](const std::string& more) {
    const auto answer = clinic.phone(more);
    EXPECT_EQ(Bench::at(answer, "/read_back").type, json::Type::null);
    EXPECT_FALSE(tests::tells_number(Bench::all_text(answer)));
    return Bench::at(answer, "/card/refusal/code").text;
  };
  EXPECT_EQ(refused(R"(,"insulin":"insulin glargine","dose_units":"60")"),
            "interlock.dose_differs");
  EXPECT_EQ(refused(R"(,"insulin":"insulin lispro","dose_units":"22")"), "interlock.no_line");
  EXPECT_EQ(refused(R"(,"left_units":"7")"), "interlock.left_differs");
  EXPECT_EQ(refused(R"(,"low_now":"yes")"), "interlock.low_now");
  Bench::must(clinic.record(clinic.person,
                            R"({"id":"00000000000000000000000000000d01","what":"question opened",)"
                            R"("happened":"2027-03-16T20:00:00+01:00","reason":"lows"})"));
  EXPECT_EQ(refused(""), "order.question_open");
}

// What the record cannot know was neither asked nor heard.
TEST(DeskInterlock, H53_H57_H18_H03_WithAPersonWhatNoRecordKnowsIsAskedAndHeard) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto first = [&](const std::string& more = "") {
    return Bench::all_text(Bench::at(clinic.phone(more), "/first"));
  };
  const auto refused = [&](const std::string& more) {
    const auto answer = clinic.phone(more);
    EXPECT_FALSE(tests::tells_number(Bench::all_text(answer))) << more;
    return Bench::at(answer, "/card/refusal/code").text;
  };
  EXPECT_EQ(first(), "");
  for (const auto* flag : {"low_now", "not_eating", "drowsy", "ketones", "travelling", "missed"})
    EXPECT_EQ(refused(R"(,")" + std::string(flag) + R"(":"")"),
              "interlock.flags_unasked_on_record");
  EXPECT_EQ(refused(R"(,"travelling":"yes")"), "interlock.travelling");
  EXPECT_EQ(refused(R"(,"strength_units_per_ml":300)"), "interlock.strength_differs");
  EXPECT_EQ(refused(R"(,"last_dose":"not known")"), "interlock.last_dose_unknown");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"trip planned","leaves":"2027-03-16","returns":"2027-03-30","zone":"UTC"})"));
  // The hours of the order are not the hours there, on whatever page, until the prescriber says so.
  EXPECT_EQ(refused(""), "interlock.on_trip");
  EXPECT_EQ(clinic.refusal(), "interlock.on_trip");
  const std::string asked = "00000000000000000000000000000d01";
  Bench::must(clinic.record(
      clinic.person, R"({"id":")" + asked + R"(","what":"question opened","reason":"travel"})"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question answered","question":")" + asked +
          R"(","answer":"keep the dose","by":"Dr Osei","text":"by the clock at home",)" +
          R"("read_back":true})"));
  EXPECT_TRUE(has(first(), "A trip to")) << first();
  const auto card = Bench::at(clinic.page(), "/next");
  EXPECT_EQ(Bench::at(card, "/state").text, "dial");
  EXPECT_TRUE(has(Bench::all_text(Bench::at(card, "/cautions")), "A trip to"));
  clinic.set_clock("2027-03-16T21:55:00+01:00");
  clinic.second_line("00000000000000000000000000000a01", "300");
  const std::string strong = "00000000000000000000000000000b03";
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"pen given","happened":"2027-03-16T21:10:00+01:00","pen":")" + strong +
          R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":300},)"
          R"({"what":"cartridge loaded","happened":"2027-03-16T21:11:00+01:00","cartridge":"00000000000000000000000000000c03","pen":")" +
          strong +
          R"(","copy":"glargine-300","units":450,"content_units":450,"fits":"fit A","new_cartridge":true})",
      R"("confirmed":true,)"));
  EXPECT_EQ(refused(""), "interlock.strength_unsaid");
  EXPECT_EQ(refused(R"(,"strength_units_per_ml":100)"), "interlock.strength_differs");
  EXPECT_TRUE(
      tests::tells_number(Bench::all_text(clinic.phone(R"(,"strength_units_per_ml":300)"))));
}

// Nine dry primes were taken, ignored, and the number was said.
TEST(DeskInterlock, H53_H64_WhatIsRecordedOfAPersonIsNotToldAtTheTelephone) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  for (const auto* field :
       {R"("dry_primes":"9")", R"("dry_needles":"2")", R"("new_needle":true)", R"("prime":"seen")",
        R"("spent_units":"2")", R"("days_in_use":"3")", R"("unopened":"1")"}) {
    const auto answer = clinic.Bench::page(
        "/api/phone", Bench::call_about(clinic.person, "," + std::string(field)));
    ASSERT_FALSE(answer) << field;
    EXPECT_EQ(answer.error().code, "phone.on_record") << field;
  }
  EXPECT_TRUE(
      tests::tells_number(Bench::all_text(clinic.phone(R"(,"prime":"not yet","dry_primes":"")"))));
}

// The window of another pen counts otherwise: its number would be another one.
TEST(DeskInterlock, H02_APenNamedAtTheTelephoneThatIsNotTheOneOnRecordIsRefused) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto named = [&](const std::string& pen) {
    return clinic.Bench::page("/api/phone", Bench::call_about(clinic.person, pen));
  };
  const auto other = named(R"(,"pen":"counts-on-36")");
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, "phone.other_pen");
  EXPECT_EQ(other.error().at, "/pen");
  EXPECT_FALSE(named(R"(,"pen":"no such pen")"));
  EXPECT_TRUE(tests::tells_number(Bench::all_text(clinic.phone(R"(,"pen":"reusable-whole-60")"))));
}

TEST(DeskInterlock, D2_H53_NoOrderAnUncheckedOneAndAPartGivenHaveNoNumberOnTheTelephone) {
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto nobody = bench.enrol();
  const auto phone = [&](Id person) {
    const auto answer = Bench::must(bench.page(
        "/api/phone",
        Bench::call_about(person, R"(,"pen":"reusable-whole-60","insulin":"insulin glargine",)"
                                  R"("strength_units_per_ml":100,"dose_units":"22")")));
    EXPECT_FALSE(tests::tells_number(Bench::all_text(answer)));
    return Bench::at(answer, "/card/refusal/code").text;
  };
  EXPECT_EQ(phone(nobody), "interlock.no_line");
  bench.order(nobody, "00000000000000000000000000000a01", "", false);
  EXPECT_EQ(phone(nobody), "order.unchecked");
  Clinic part("2027-03-16T22:20:00+01:00");
  Bench::must(part.record(
      part.person,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":10,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  EXPECT_TRUE(has(Bench::all_text(part.phone()), "12, not 22"));
  EXPECT_EQ(Bench::at(part.phone(R"(,"dose_units":"22")"), "/card/refusal/code").text,
            "interlock.dose_differs");
}

// nurse A2, A3, pharmacist D9
TEST(DeskInterlock, A2_A3_D9_H53_H64_WithoutAPersonTheFirstQuestionsComeFirst) {
  Bench bench;
  const std::string pen =
      R"("pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"20","left_units":"140","days_in_use":"6","unopened":"1")";
  const std::string asked =
      R"("low_now":"no","not_eating":"no","drowsy":"no","ketones":"not measured","travelling":"no","last_dose":"24",)";
  const auto answer = [&](const std::string& body) {
    return Bench::must(bench.page("/api/phone", "{" + body + "}"));
  };
  const auto silent = answer(pen);
  EXPECT_EQ(Bench::at(silent, "/card/refusal/code").text, "interlock.flags_unasked");
  EXPECT_FALSE(tests::tells_number(Bench::all_text(silent)));
  EXPECT_TRUE(has(Bench::all_text(answer(asked + pen)), "Dial 20 units"));
  EXPECT_EQ(Bench::at(answer(asked + pen + R"(,"prime":"not seen","spent_units":"6")"),
                      "/card/refusal/code")
                .text,
            "interlock.dry_unknown");
  const auto dry =
      answer(asked + pen + R"(,"prime":"not seen","spent_units":"6","dry_primes":"3")");
  EXPECT_TRUE(has(Bench::all_text(dry), "Prime 2 units"));
  EXPECT_FALSE(has(Bench::all_text(dry), "Prime 1 unit"));
  const auto still = answer(
      asked + pen + R"(,"prime":"not seen","spent_units":"6","dry_primes":"1","new_needle":true)");
  EXPECT_EQ(Bench::at(still, "/card/refusal/code").text, "dial.no_flow");
  EXPECT_FALSE(tests::tells_number(Bench::all_text(still)));
}

/// Whether somebody is told that no units were given.
bool tells_zero_units(const std::string& text) {
  for (auto at = text.find("0 units"); at != std::string::npos; at = text.find("0 units", at + 1)) {
    const char before = at == 0 ? ' ' : text[at - 1];
    if ((before < '0' || before > '9') && before != '.') return true;
  }
  return false;
}

// nurse A8
TEST(DeskInterlock, A8_H58_AfterNotSureHowMuchThereIsOneInstruction) {
  Clinic clinic("2027-03-16T22:20:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":0,"meant_units":22,"outcome":"unknown","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  EXPECT_EQ(clinic.refusal(), "order.outcome_unknown");
  const auto said = Bench::all_text(Bench::at(clinic.page(), "/next/refusal"));
  EXPECT_TRUE(has(said, "Do not repeat the dose"));
  EXPECT_TRUE(has(said, "Give nothing more of this dose"));
  EXPECT_TRUE(has(said, "555 0100")) << said;
  EXPECT_FALSE(has(said, "another pen")) << said;
  EXPECT_FALSE(has(said, "Do not miss basal")) << said;
  // What the prescriber says to it has its place: the question, and then its answer.
  const auto ask = Bench::at(clinic.page(), "/next/refusal/answers/0/facts/0");
  const std::string question = "00000000000000000000000000000d01";
  Bench::must(clinic.record(clinic.person,
                            R"({"id":")" + question + R"(",)" + json::to_text(ask).substr(1)));
  EXPECT_EQ(Bench::at(clinic.page(), "/asks/0/answer").members.size(), 4U);
  // "0 units are on record: this dose is done", and the prescriber was to be phoned by tomorrow.
  const auto asked = Bench::all_text(Bench::at(clinic.page(), "/asks/0"));
  EXPECT_TRUE(has(asked, tests::piece("sentences/next.done_unknown"))) << asked;
  EXPECT_TRUE(has(asked, tests::piece("sentences/ask.now"))) << asked;
  EXPECT_FALSE(tells_zero_units(asked)) << asked;
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"question answered","question":")" + question +
                                R"(","answer":"other","by":"Dr Tomasz Adeyemi","read_back":true,)"
                                R"("text":"Ten more tonight at eleven."})",
                            R"("confirmed":true,)"));
  const auto held = Bench::all_text(clinic.page());
  EXPECT_TRUE(has(held, tests::piece("sentences/next.done_answered"))) << held;
  EXPECT_FALSE(has(held, "Give nothing more")) << held;
}

// The next evening the number stood beside "Do not repeat the dose".
TEST(DeskInterlock, H44_H58_WhatNobodyKnowsIsSaidAtTheNextDoseWithOneInstruction) {
  Clinic clinic("2027-03-16T22:05:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":0,"meant_units":22,"outcome":"unknown","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  for (const auto* now : {"2027-03-16T22:30:00+01:00", "2027-03-17T03:00:00+01:00",
                          "2027-03-17T12:00:00+01:00", "2027-03-17T20:55:00+01:00"}) {
    clinic.set_clock(now);
    EXPECT_EQ(clinic.refusal(), "order.outcome_unknown") << now;
    EXPECT_EQ(Bench::at(clinic.phone(), "/card/refusal/code").text, "order.outcome_unknown");
    EXPECT_FALSE(tells_zero_units(clinic.plan()));
  }
  for (const auto* now : {"2027-03-17T21:05:00+01:00", "2027-03-17T22:10:00+01:00"}) {
    clinic.set_clock(now);
    for (const auto& shown :
         {clinic.plan(), Bench::all_text(clinic.phone()),
          Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/steps")))}) {
      EXPECT_TRUE(has(shown, "Dial 22 units"));
      EXPECT_TRUE(has(shown, "It is not known how much")) << shown;
      EXPECT_FALSE(has(shown, "Do not repeat")) << shown;
      EXPECT_FALSE(tells_zero_units(shown)) << shown;
    }
    EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))),
                    tests::piece("sentences/watch.outcome_unknown")));
  }
}

// Under another line it was "given already: 0 units".
TEST(DeskInterlock, H44_H52_WhatNobodyKnowsUnderAnotherLineIsNotNoUnits) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":0,"outcome":"unknown","line":"00000000000000000000000000000a01","slot":"bedtime"})",
      R"("confirmed":true,)"));
  const auto second = clinic.second_line("00000000000000000000000000000a01");
  // It stands before the question whether it was this line's dose (H58).
  const auto asked = Bench::all_text(Bench::at(clinic.page(), "/asks"));
  EXPECT_TRUE(has(asked, tests::piece("errors/order.outcome_unknown/what"))) << asked;
  EXPECT_FALSE(has(clinic.plan(), "Dial"));
  EXPECT_FALSE(tells_zero_units(clinic.plan())) << clinic.plan();
  EXPECT_FALSE(tells_zero_units(
      Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/journal")))));
}

// Hours after the first part tomorrow's number, or "ask the prescriber" and nothing to answer.
TEST(DeskInterlock, H39_HoursAfterTheFirstPartTheRestIsAskedAboutOnCardAndPhoneDesk) {
  Clinic clinic("2027-03-16T22:05:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000e01","what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) +
          R"(","units":10,"meant_units":22,"outcome":"part","line":"00000000000000000000000000000a01","slot":"bedtime"})"));
  for (const auto* now : {"2027-03-17T00:10:00+01:00", "2027-03-17T03:05:00+01:00",
                          "2027-03-17T06:05:00+01:00", "2027-03-17T12:05:00+01:00"}) {
    clinic.set_clock(now);
    const auto card = Bench::at(clinic.page(), "/next");
    const auto phone = Bench::at(clinic.phone(), "/card");
    for (const auto& shown : {card, phone}) {
      const auto said = Bench::all_text(shown);
      EXPECT_TRUE(has(said, "The remaining 12 units of the dose started on")) << said;
      EXPECT_TRUE(has(said, "Were the remaining units injected?")) << said;
      EXPECT_FALSE(has(said, "22 units")) << said;
      EXPECT_EQ(Bench::at(shown, "/refusal/answers").members.size(), 3U);
    }
  }
  const auto button = Bench::at(clinic.page(), "/next/refusal/answers/0/facts/0");
  EXPECT_EQ(Bench::at(button, "/completes").text, "00000000000000000000000000000e01");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-16","was":"not taken"})"));
  const auto next = Bench::all_text(Bench::at(clinic.page(), "/next"));
  EXPECT_TRUE(has(next, "Dial 22 units")) << next;
  EXPECT_TRUE(has(next, "Do not add them to this dose")) << next;
}

// Once the new order began tomorrow, tonight's dose was gone from every page.
TEST(DeskInterlock, H38_H57_WhatIsAskedAboutTonightStandsBeforeTheOrderThatBeginsTomorrow) {
  Clinic clinic("2027-03-16T20:40:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000d01","what":"question opened","happened":"2027-03-16T20:00:00+01:00","reason":"hardened tissue","line":"00000000000000000000000000000a01"})"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"question answered","question":"00000000000000000000000000000d01","happened":"2027-03-16T20:10:00+01:00","answer":"new order follows","by":"Dr Adeyemi","read_back":true})"));
  EXPECT_TRUE(has(Bench::all_text(Bench::at(clinic.page(), "/asks/0")), "It has not arrived yet."));
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000a02","what":"order line signed","happened":"2027-03-16T20:20:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":24}],"least_units":10,"most_units":30,"from":"2027-03-17","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"telephone","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01"})",
      R"("confirmed":true,)"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"order line checked","happened":"2027-03-16T20:25:00+01:00","line":"00000000000000000000000000000a02","checked_by":"Jonas Abara",)" +
          Bench::reading_of("24") + "}"));
  const auto page = clinic.page();
  EXPECT_EQ(Bench::at(page, "/next").type, json::Type::null);
  ASSERT_EQ(Bench::at(page, "/asks").members.size(), 1U);
  const auto asked = Bench::at(page, "/asks/0");
  for (const auto* said : {"begins on a later day", "22:00", "555 0100", "112"})
    EXPECT_TRUE(has(Bench::all_text(asked), said)) << said << Bench::all_text(asked);
  EXPECT_EQ(Bench::at(asked, "/answer/0/label").text, tests::piece("sentences/act.ask_prescriber"));
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  const auto phone = clinic.phone();
  EXPECT_TRUE(has(Bench::all_text(phone), "begins on a later day")) << Bench::all_text(phone);
  EXPECT_FALSE(tests::tells_number(Bench::all_text(Bench::at(phone, "/card"))));
  EXPECT_EQ(code(clinic.Bench::page(
                clinic.person,
                "/steps?line=00000000000000000000000000000a02&slot=bedtime&day=2027-03-17")),
            "order.new_awaited");
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))), "Dr Adeyemi"));
}

// nurse A10, A11, pharmacist D3
TEST(DeskInterlock, A10_A11_D3_H37_H38_TheAnswerInWordsStaysAndHoldsUntilALineSaysIt) {
  Clinic clinic("2027-03-16T23:42:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":"00000000000000000000000000000d01","what":"question opened","happened":"2027-03-16T20:00:00+01:00","reason":"lows","line":"00000000000000000000000000000a01"})"));
  const auto open = Bench::at(clinic.page(), "/asks/0");
  EXPECT_TRUE(has(Bench::all_text(open), "Phone the prescriber now.")) << Bench::all_text(open);
  EXPECT_TRUE(has(Bench::all_text(open), "555 0100"));
  EXPECT_TRUE(has(Bench::all_text(open), "112"));
  const std::string answer =
      R"({"what":"question answered","question":"00000000000000000000000000000d01","happened":"2027-03-16T23:40:00+01:00","answer":"other","by":"Dr Adeyemi","text":"Give 10 tonight only, I ring tomorrow","read_back":)";
  EXPECT_EQ(code(clinic.record(clinic.person, answer + "false}")), "desk.answer_not_read_back");
  Bench::must(clinic.record(clinic.person, answer + "true}"));
  const auto held = Bench::at(clinic.page(), "/asks/0");
  EXPECT_TRUE(has(Bench::all_text(held), "Give 10 tonight only, I ring tomorrow"));
  EXPECT_TRUE(Bench::at(held, "/answer").members.empty());
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))), "Dr Adeyemi"));
}

// nurse A9
TEST(DeskInterlock, A9_H59_H07_AScaleThatDiffersByDoseAndPrimeTurnsTheCardIntoTakenAlready) {
  Clinic clinic;  // 278 by the account
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"scale counted","happened":"2027-03-16T22:08:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) + R"(","units":254})"));
  EXPECT_EQ(clinic.refusal(), "interlock.scale_says_taken");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_EQ(Bench::at(clinic.page(), "/next/refusal/answers").members.size(), 4U);
}

TEST(DeskInterlock, H59_H41_AReadingThatDiffersAsksOnCardAndPhoneDeskUntilItIsSettled) {
  Clinic clinic;  // 278 by the account
  const auto read = [&](const std::string& units) {
    Bench::must(clinic.record(clinic.person, R"({"what":"scale counted","cartridge":")" +
                                                 std::string(Bench::cartridge) + R"(","units":)" +
                                                 units + "}"));
  };
  int minute = 10;
  const auto later = [&] {
    clinic.set_clock(("2027-03-16T22:" + std::to_string(++minute) + ":00+01:00").c_str());
  };
  for (const auto* units : {"0", "268", "248", "230", "219", "300"}) {
    later();
    read(units);
    EXPECT_EQ(clinic.refusal(), "interlock.scale_differs") << units;
    EXPECT_EQ(Bench::at(clinic.phone(), "/card/refusal/code").text, "interlock.scale_differs");
    EXPECT_FALSE(tests::tells_number(clinic.all()));
    EXPECT_EQ(Bench::at(clinic.page(), "/next/refusal/answers").members.size(), 5U);
  }
  later();
  Bench::must(clinic.record(clinic.person, R"({"what":"primed","cartridge":")" +
                                               std::string(Bench::cartridge) +
                                               R"(","units":2,"flow":"seen"})"));
  EXPECT_EQ(clinic.refusal(), "interlock.scale_differs");
  later();
  read("276");
  EXPECT_TRUE(has(clinic.all(), "Dial 22 units"));
}

// "Not taken" was recorded, and nobody was told what follows.
TEST(DeskInterlock, H57_H38_AfterNotTakenTheNextDosesCardSaysWhatToDo) {
  Clinic clinic("2027-03-17T09:00:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-16","was":"not taken"})"));
  for (const auto& shown :
       {clinic.all(), Bench::all_text(clinic.phone()),
        Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/steps")))}) {
    EXPECT_TRUE(has(shown, "Never give two doses together")) << shown;
    EXPECT_TRUE(has(shown, "Phone the prescriber today")) << shown;
  }
}

// nurse A7, pharmacist D14
TEST(DeskInterlock, A7_D14_H57_H38_AMissedBackgroundDoseStaysOnCardAndToday) {
  Clinic clinic("2027-03-17T00:30:00+01:00");
  for (const auto* now : {"2027-03-17T00:30:00+01:00", "2027-03-17T09:00:00+01:00"}) {
    clinic.set_clock(now);
    const auto ask = Bench::at(clinic.page(), "/asks/0");
    EXPECT_TRUE(has(Bench::all_text(ask), "is not on record")) << Bench::all_text(ask);
    EXPECT_EQ(Bench::at(ask, "/answer").members.size(), 3U);
    EXPECT_FALSE(tests::tells_number(clinic.all()));
    EXPECT_TRUE(
        has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))), "is not on record"));
  }
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":"2027-03-16","was":"not taken"})"));
  EXPECT_TRUE(has(clinic.all(), "Dial 22 units"));
  EXPECT_FALSE(
      has(Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))), "is not on record"));
}

// Of somebody whose doses come home by diary nobody ever asked.
TEST(DeskInterlock, H57_H32_ADoseThatADiaryDoesNotHaveIsAskedAboutTheNextDay) {
  Bench bench("2027-03-16T20:00:00+01:00");
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const std::string file =
      "time,what,units,cartridge,zone,spot,note\n"
      "2027-03-15T22:00,injected,22,1,,,\n";
  const auto seen =
      Bench::must(bench.desk().diary(person, "a.csv", file, "", bench.desk().caller()));
  Bench::must(bench.desk().diary(person, "a.csv", file, Bench::at(seen, "/digest").text,
                                 bench.desk().caller()));
  EXPECT_TRUE(has(Bench::all_text(Bench::must(bench.page(person))), "Dial 22 units"));
  bench.set_clock("2027-03-17T09:00:00+01:00");
  const auto page = Bench::must(bench.page(person));
  const auto ask = Bench::all_text(Bench::at(page, "/asks/0"));
  EXPECT_TRUE(has(ask, "is not on record")) << Bench::all_text(page);
  EXPECT_FALSE(tests::tells_number(Bench::all_text(page)));
  EXPECT_FALSE(has(Bench::all_text(Bench::must(bench.page("/api/today"))), "is not on record"));
}

// nurse A16: the card went on to the next pen, and "needle off" was recorded there.
TEST(DeskInterlock, A16_H15_ANeedleComesOffThePenThatItIsOn) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const std::string lispro = "00000000000000000000000000000a09";
  const std::string lispro_pen = "00000000000000000000000000000b09";
  const auto must_record = [&](const std::string& fact) {
    Bench::must(clinic.record(clinic.person, fact, R"("confirmed":true,)"));
  };
  must_record(
      R"({"id":")" + lispro +
      R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin lispro","strength_units_per_ml":100,"purpose":"mealtime","slots":[{"slot":"breakfast","at":"07:30","minutes_before":60,"minutes_after":60,"units":6}],"least_units":2,"most_units":12,"from":"2027-03-02","prescriber":"Dr Osei","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
  must_record(
      R"({"what":"order line checked","line":")" + lispro +
      R"(","checked_by":"Jonas Abara","reading":{"insulin":"insulin lispro","strength_units_per_ml":100,"slots":[{"slot":"breakfast","at":"07:30","units":6}]}})");
  must_record(
      R"({"what":"pen given","happened":"2027-03-02T09:20:00+01:00","pen":")" + lispro_pen +
      R"(","copy":"reusable-whole-60","insulin":"insulin lispro","strength_units_per_ml":100})");
  must_record(
      R"({"what":"cartridge loaded","happened":"2027-03-12T08:00:00+01:00","cartridge":"00000000000000000000000000000c09","pen":")" +
      lispro_pen + R"(","copy":"lispro-100","units":200,"content_units":300,"fits":"fit A"})");
  must_record(R"({"what":"needle on","pen":")" + std::string(Bench::pen) +
              R"(","needle":"4-mm-32g","length_mm":4})");
  clinic.set_clock("2027-03-16T22:02:00+01:00");
  Bench::must(clinic.inject(22, "2027-03-16T22:02:00+01:00", "00000000000000000000000000000a01",
                            R"("confirmed":true,)"));
  const auto page = clinic.page();
  ASSERT_EQ(Bench::at(page, "/next/insulin").text, "insulin lispro");
  EXPECT_TRUE(has(Bench::all_text(Bench::at(page, "/next/cautions")),
                  "A used needle is still on the pen with"));
  EXPECT_FALSE(has(Bench::all_text(Bench::at(page, "/next/steps")),
                   tests::piece("sentences/act.needle_off")));
  EXPECT_TRUE(
      has(Bench::all_text(Bench::at(page, "/pens")), tests::piece("sentences/act.needle_off")));
}

// pharmacist D4
TEST(DeskInterlock, D4_H39_ADividedDoseSaysWhatIsLeftBetweenAndHasBothOnItsSheet) {
  Bench bench("2027-03-16T21:50:00+01:00");
  const auto person = bench.enrol();
  Bench::must(bench.record(
      person,
      R"({"id":"00000000000000000000000000000a01","what":"order line signed","happened":"2027-03-16T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":80}],"least_units":10,"most_units":80,"from":"2027-03-16","prescriber":"Dr Osei","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})"));
  Bench::must(bench.record(
      person,
      R"({"what":"order line checked","happened":"2027-03-16T09:05:00+01:00","line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)" +
          Bench::reading_of("80") + "}"));
  bench.pen_and_cartridge(person, "100", "2027-03-16T09:10:00+01:00");
  const auto card = Bench::at(Bench::must(bench.page(person)), "/next");
  EXPECT_TRUE(has(Bench::all_text(Bench::at(card, "/part_text")), "First 40 units of 80 units"));
  const auto after = Bench::all_text(Bench::at(card, "/after_text"));
  EXPECT_TRUE(has(after, "for the second injection")) << after;
  EXPECT_FALSE(has(after, "will then be finished")) << after;
  const auto sheet = Bench::all_text(Bench::must(bench.page(person, "/steps")));
  EXPECT_TRUE(has(sheet, "Then the second injection: 40 units.")) << sheet;
}

// nurse A20
TEST(DeskInterlock, A20_H44_InjectedWithoutInsulinSeenIsAskedAbout) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  const auto button = [&] {
    const auto page = clinic.page();
    for (const auto& step : Bench::at(page, "/next/steps").members) {
      if (Bench::at(step.value, "/key").text == "hold") return Bench::at(step.value, "/records/0");
    }
    return json::null();
  };
  EXPECT_TRUE(has(Bench::at(button(), "/confirm").text, "no insulin was seen"));
  Bench::must(
      clinic.record(clinic.person,
                    R"({"what":"needle on","happened":"2027-03-16T21:40:00+01:00","pen":")" +
                        std::string(Bench::pen) + R"(","needle":"4 mm","length_mm":4},)" +
                        R"({"what":"primed","happened":"2027-03-16T21:41:00+01:00","cartridge":")" +
                        std::string(Bench::cartridge) + R"(","units":2,"flow":"seen"})"));
  EXPECT_EQ(Bench::at(button(), "/label").text, "Injected 22 units");
  EXPECT_EQ(Bench::at(button(), "/confirm").text, "");
}

// nurse A22
TEST(DeskInterlock, A22_H61_ARecalledLotInThePenIsSaidOnTheCard) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"cartridge loaded","happened":"2027-03-16T21:00:00+01:00","cartridge":"00000000000000000000000000000c02","pen":")" +
          std::string(Bench::pen) +
          R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":"AB12"})"));
  Bench::must(clinic.desk().record_clinic(
      Bench::request(
          R"({"facts":[{"what":"recall opened","recall":"000000000000000000000000000000ee","lot":"AB12","from_whom":"the maker"}]})"),
      clinic.desk().caller()));
  // What was in the pen before goes back; without it nothing else is at home.
  EXPECT_TRUE(has(clinic.plan(), "Put back the cartridge"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"thrown away","happened":"2027-03-16T21:40:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) + R"(","reason":"damaged"})"));
  EXPECT_EQ(clinic.refusal(), "interlock.recalled");
  clinic.supplies(clinic.person, 1);
  const auto card = Bench::all_text(Bench::at(clinic.page(), "/next/cautions"));
  EXPECT_TRUE(has(card, "AB12") && has(card, "ecalled")) << card;
}

// A record of what happened is never refused: asked about, taken, marked (H13, H41).
TEST(DeskInterlock, H25_H41_ADoseFromACartridgeThatIsNotHereOrWasThrownAwayIsAskedAbout) {
  Clinic clinic("2027-03-16T23:10:00+01:00");
  const auto from = [&](const std::string& cartridge, const std::string& when,
                        const std::string& more = "", const std::string& confirmed = "") {
    return code(clinic.record(clinic.person,
                              R"({"what":"injected","happened":")" + when + R"(","cartridge":")" +
                                  cartridge + R"(","units":22)" + more + "}",
                              confirmed));
  };
  const std::string nowhere = "00000000000000000000000000000c99";
  EXPECT_EQ(from(nowhere, "2027-03-16T22:05:00+01:00"), "ask.cartridge_unknown");
  EXPECT_EQ(from(Bench::cartridge, "2027-03-14T22:05:00+01:00",
                 R"(,"line":"00000000000000000000000000000a99")"),
            "ask.line_unknown");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"thrown away","happened":"2027-03-16T20:00:00+01:00","cartridge":")" +
          std::string(Bench::cartridge) + R"(","reason":"empty"})"));
  EXPECT_EQ(from(Bench::cartridge, "2027-03-16T22:05:00+01:00"), "ask.cartridge_ended");
  // What was given before it went is what it was.
  EXPECT_EQ(from(Bench::cartridge, "2027-03-14T22:05:00+01:00"), "recorded");
  EXPECT_EQ(from(nowhere, "2027-03-16T22:05:00+01:00", "", R"("confirmed":true,)"), "recorded");
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/journal"))),
                  "a cartridge that was not loaded here"));
}

// It counted for nothing, and tonight's number stood.
TEST(DeskInterlock, H52_H07_H13_H19_ADoseFromACartridgeThatIsNotHereMayBeTonights) {
  Clinic clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"injected","happened":"2027-03-16T18:05:00+01:00","cartridge":"00000000000000000000000000000c99","units":22})",
      R"("confirmed":true,)"));
  EXPECT_EQ(clinic.refusal(), "order.taken_perhaps");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_FALSE(tests::tells_number(Bench::all_text(clinic.phone())));
  EXPECT_EQ(code(clinic.inject(22, "2027-03-16T18:30:00+01:00")), "ask.too_early_after");

  // Another person's, recorded on the wrong page and moved: the cartridge stays theirs.
  Clinic other;
  const auto theirs = other.enrol_in("UTC", "Tove Marklund", "HS 05120");
  const std::string dose = "00000000000000000000000000000d77";
  Bench::must(other.record(
      theirs,
      R"({"id":")" + dose +
          R"(","what":"injected","happened":"2027-03-16T21:45:00+01:00","cartridge":"00000000000000000000000000000c98","units":22,"line":"00000000000000000000000000000a98","slot":"bedtime"})",
      R"("confirmed":true,)"));
  EXPECT_EQ(other.refusal(), "");
  Bench::must(other.desk().move_fact(
      theirs,
      Bench::request(R"({"fact":")" + dose +
                     R"(","to":"HS 04172","reason":"wrong page","confirmed":true})"),
      other.desk().caller()));
  EXPECT_EQ(other.refusal(), "order.taken_perhaps");
  EXPECT_FALSE(tests::tells_number(other.all()));
}

// No units, a tenth and six times the dose answered tonight's.
TEST(DeskInterlock, H04_H02_H37_H57_ADoseOutsideTheOrderIsAskedAboutAndAnswersNoSlotInSilence) {
  const auto dose = [](Clinic& clinic, const std::string& units, const std::string& when) {
    const std::string fact = R"({"what":"injected","happened":")" + when + R"(","cartridge":")" +
                             std::string(Bench::cartridge) + R"(","units":)" + units + "}";
    EXPECT_EQ(code(clinic.record(clinic.person, fact)),
              units == "0" ? "ask.no_units" : "ask.outside_order")
        << units;
    Bench::must(clinic.record(clinic.person, fact, R"("confirmed":true,)"));
  };
  Clinic nothing;
  dose(nothing, "0", "2027-03-16T22:05:00+01:00");
  EXPECT_EQ(nothing.refusal(), "");
  EXPECT_TRUE(has(Bench::all_text(Bench::at(nothing.page(), "/next")), "22 units"));
  EXPECT_TRUE(has(nothing.plan(), "was outside the order")) << nothing.plan();
  for (const auto* units : {"3", "60"}) {
    Clinic clinic;
    dose(clinic, units, "2027-03-16T22:05:00+01:00");
    EXPECT_EQ(clinic.refusal(), "order.taken_perhaps") << units;
    EXPECT_FALSE(tests::tells_number(clinic.all())) << units;
  }
  // In the morning, far from the slot, after the dose of the night: more than the day's.
  Clinic morning;
  dose(morning, "60", "2027-03-16T08:00:00+01:00");
  EXPECT_EQ(morning.refusal(), "interlock.more_given");
  EXPECT_FALSE(tests::tells_number(morning.all()));
  const auto preview = Bench::must(morning.desk().diary(
      morning.person, "d.csv",
      "time,what,units,cartridge,zone,spot,note\n2027-03-15T12:05,injected,3,1,,,\n", "",
      morning.desk().caller(), {}));
  EXPECT_TRUE(has(Bench::all_text(Bench::at(preview, "/odd")), "outside the order"))
      << Bench::all_text(preview);
}

// "not taken" freed 24 units where 18 of the same insulin were on record.
TEST(DeskInterlock, H52_H07_NotTakenBesideARecordedInjectionPointsToTheJournal) {
  Clinic clinic;
  Bench::must(clinic.inject(22, "2027-03-16T22:05:00+01:00"));
  const auto second = clinic.second_line("00000000000000000000000000000a01", "300");
  EXPECT_EQ(clinic.refusal(), "order.taken_perhaps");
  const auto answers = Bench::all_text(Bench::at(clinic.page(), "/next/refusal/answers"));
  EXPECT_TRUE(has(answers, "That was this dose")) << answers;
  EXPECT_FALSE(has(answers, "not taken")) << answers;
  EXPECT_EQ(code(clinic.record(clinic.person, R"({"what":"dose answered","line":")" + second +
                                                  R"(","slot":"bedtime","day":"2027-03-16",)"
                                                  R"("was":"not taken"})")),
            codes::not_taken_recorded);
  EXPECT_FALSE(tests::tells_number(clinic.all()));
}

// nurse A14
TEST(DeskInterlock, A14_H03_APenOfAnotherStrengthIsAskedAboutWhenItIsGiven) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  EXPECT_EQ(
      code(bench.record(
          person,
          R"({"what":"pen given","pen":"00000000000000000000000000000b09","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":300})")),
      "ask.pen_strength");
}

}  // namespace
}  // namespace penstock::desk
