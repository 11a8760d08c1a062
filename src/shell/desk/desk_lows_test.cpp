// What follows a hypo that is on record, on every way in.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

std::string noted(const std::string& more) { return R"({"what":"glucose noted",)" + more + "}"; }

// After a hypo that needed help, below 3.0, or the third in days the number stood unchanged.
TEST(DeskLows, H37_ASeriousHypoOpensTheQuestionToThePrescriber) {
  for (const auto* more :
       {R"("value":{"value":8.0,"unit":"mmol/L"},"needed_help":"yes","helped_by":"ambulance")",
        R"("needed_help":"yes")", R"("value":{"value":2.9,"unit":"mmol/L"})",
        R"("value":{"value":53,"unit":"mg/dL"})"}) {
    Clinic clinic("2027-03-16T18:00:00+01:00");
    const auto answer = Bench::must(clinic.record(clinic.person, noted(more)));
    EXPECT_TRUE(has(Bench::all_text(Bench::at(answer, "/questions")), "ask first")) << more;
    clinic.set_clock("2027-03-16T18:20:00+01:00");
    Bench::must(clinic.record(clinic.person, noted(R"("value":{"value":6.0,"unit":"mmol/L"})")));
    EXPECT_EQ(Bench::at(clinic.phone(), "/card/refusal/code").text, "order.question_open") << more;
    EXPECT_FALSE(tests::tells_number(clinic.all())) << more;
  }
  Clinic mild("2027-03-16T18:00:00+01:00");
  for (const auto* day : {"12", "14", "16"}) {
    const auto answer = Bench::must(mild.record(
        mild.person, noted(R"("happened":"2027-03-)" + std::string(day) +
                           R"(T06:00:00+01:00","value":{"value":3.3,"unit":"mmol/L"})")));
    EXPECT_EQ(has(Bench::all_text(Bench::at(answer, "/questions")), "hypos within"),
              std::string(day) == "16");
  }
}

// Of one minute nobody knows which came first.
TEST(DeskLows, H10_AValueOfTheHyposOwnMinuteEndsNone) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  for (const auto* value : {"3.5", "6.0"})
    Bench::must(clinic.record(clinic.person,
                              noted(R"("happened":"2027-03-16T21:20:00+01:00","value":{"value":)" +
                                    std::string(value) + R"(,"unit":"mmol/L"})")));
  EXPECT_EQ(clinic.refusal(), "interlock.low_on_record");
  Bench::must(clinic.record(clinic.person, noted(R"("value":{"value":6.0,"unit":"mmol/L"})")));
  EXPECT_TRUE(tests::tells_number(clinic.all()));
}

// A version that begins tomorrow was taken for the one that tonight's dose is of.
TEST(DeskLows, H37_WithALaterVersionOnRecordTonightsDoseAndTomorrowsWaitForTheAnswer) {
  for (const std::string more :
       {R"("needed_help":"yes")", R"("value":{"value":2.6,"unit":"mmol/L"})"}) {
    Clinic clinic("2027-03-16T14:10:00+01:00");
    clinic.tomorrows_line("16");
    const auto answer = Bench::must(clinic.record(clinic.person, noted(more)));
    EXPECT_TRUE(has(Bench::all_text(Bench::at(answer, "/questions")), "ask first")) << more;
    clinic.set_clock("2027-03-16T21:30:00+01:00");
    EXPECT_EQ(Bench::at(clinic.phone(), "/card/refusal/code").text, "order.question_open") << more;
    for (const auto* night : {"2027-03-16T21:30:00+01:00", "2027-03-17T21:30:00+01:00"}) {
      clinic.set_clock(night);
      EXPECT_NE(Bench::at(clinic.phone(), "/card/refusal/code").text, "") << more << night;
      EXPECT_FALSE(tests::tells_number(clinic.all())) << more << night;
    }
  }
}

// The hold ended after two hours without a word.
TEST(DeskLows, H10_H61_AfterTwoHoursTheNumberStandsWithTheHypoBesideItEverywhere) {
  Clinic clinic("2027-03-16T18:30:00+01:00");
  Bench::must(clinic.record(clinic.person, noted(R"("value":{"value":3.1,"unit":"mmol/L"})")));
  clinic.set_clock("2027-03-16T21:30:00+01:00");
  const auto* said = "A hypo is on record";
  EXPECT_TRUE(tests::tells_number(clinic.all()));
  EXPECT_TRUE(has(clinic.plan(), said)) << clinic.plan();
  EXPECT_TRUE(has(Bench::all_text(Bench::at(clinic.phone(), "/first")), said));
  Bench::must(clinic.record(clinic.person, noted(R"("value":{"value":55,"unit":"mmol/L"})"),
                            R"("confirmed":true,)"));
  EXPECT_TRUE(has(clinic.plan(), said)) << "a meter shows no such value (H06)";
  EXPECT_TRUE(has(clinic.plan(), "very high")) << clinic.plan();
  clinic.set_clock("2027-03-16T21:40:00+01:00");
  Bench::must(clinic.record(clinic.person, noted(R"("value":{"value":5.5,"unit":"mmol/L"})")));
  EXPECT_FALSE(has(clinic.plan(), said));
  EXPECT_FALSE(has(clinic.plan(), "very high"));
}

// The next call said that it was over, and the hypo was nowhere any more.
TEST(DeskLows, H37_H10_AHypoToldInACallStandsBesideTheNumberForADay) {
  Clinic clinic("2027-03-16T18:00:00+01:00");
  const auto call = [&](const char* low, const char* drowsy = "no") {
    Bench::must(clinic.record(
        clinic.person, R"({"what":"contact made","meeting":"call","outcome":"reached","low":")" +
                           std::string(low) + R"(","drowsy":")" + drowsy +
                           R"(","not_eating":"no","ketones":"no"})"));
  };
  call("yes");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  clinic.set_clock("2027-03-16T21:30:00+01:00");
  call("no");
  EXPECT_TRUE(tests::tells_number(clinic.all()));
  EXPECT_TRUE(has(clinic.plan(), tests::piece("sentences/next.low_told"))) << clinic.plan();
  clinic.set_clock("2027-03-17T21:30:00+01:00");
  EXPECT_FALSE(has(clinic.plan(), tests::piece("sentences/next.low_told")));
  // Whoever was drowsy with it could not treat it alone: the prescriber is asked.
  call("yes", "yes");
  clinic.set_clock("2027-03-17T21:50:00+01:00");
  call("no");
  EXPECT_FALSE(tests::tells_number(clinic.all()));
  EXPECT_TRUE(has(clinic.all(), "had a hypo and was drowsy")) << clinic.all();
}

// A call with "vomiting: yes" changed nothing.
TEST(DeskLows, H53_H47_WhatWasSaidInACallHoldsOnCardAndPhoneDesk) {
  Clinic clinic("2027-03-16T21:30:00+01:00");
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"contact made","meeting":"call","outcome":"reached","not_eating":"yes"})"));
  EXPECT_EQ(clinic.refusal(), "interlock.not_eating");
  EXPECT_TRUE(has(clinic.plan(), "a call that was recorded on")) << clinic.plan();
  EXPECT_EQ(Bench::at(clinic.phone(), "/card/refusal/code").text, "interlock.not_eating");
}

// An allergy stood in the record alone.
TEST(DeskLows, H61_AnAllergyStandsUnderTheName) {
  Clinic clinic;
  Bench::must(clinic.record(clinic.person,
                            R"({"what":"allergy noted","to":"insulin glargine","severe":"yes"})",
                            R"("confirmed":true,)"));
  EXPECT_TRUE(has(Bench::all_text(Bench::at(clinic.page(), "/who/flags")),
                  "severe allergy: insulin glargine"));
}

}  // namespace
}  // namespace penstock::desk
