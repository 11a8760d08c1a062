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

}  // namespace
}  // namespace penstock::desk
