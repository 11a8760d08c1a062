// What has to be known first about somebody, and under which number they are phoned.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

json::Value assessment(Clinic& clinic) {
  return Bench::must(clinic.Bench::page(clinic.person, "/assessment"));
}

TEST(DeskKnown, AllergiesGlucagonContactsAndCallsStandOnTheAssessment) {
  Clinic clinic;
  const auto empty = assessment(clinic);
  EXPECT_FALSE(Bench::at(empty, "/known/0/known").flag);
  EXPECT_TRUE(Bench::at(empty, "/contacts").members.empty());
  for (
      const auto* fact :
      {R"({"what":"allergy noted","to":"penicillin","reaction":"a rash","severe":"yes"})",
       R"({"what":"rescue noted","glucagon":"yes","glucagon_expires":"2027-02-28","taught":"her son","ketone_testing":"no"})",
       R"({"what":"contact noted","role":"pharmacy","full_name":"Quay Pharmacy","phone":"030 555 0163","other_phone":"030 555 0164"})",
       R"({"what":"contact made","meeting":"call","outcome":"reached","spoke_to":"her son","said":"Slept well."})"})
    Bench::must(clinic.record(clinic.person, fact, R"("confirmed":true,)"));
  const auto all = assessment(clinic);
  EXPECT_EQ(Bench::at(all, "/known/0/value").text, "penicillin (a rash), severe");
  EXPECT_EQ(Bench::at(all, "/known/0/level").text, "caution");
  EXPECT_TRUE(has(Bench::at(all, "/known/1/value").text, "expired on"));
  EXPECT_EQ(Bench::at(all, "/known/1/level").text, "caution") << "glucagon that expired";
  EXPECT_EQ(Bench::at(all, "/known/2/value").text, "her son");
  EXPECT_EQ(Bench::at(all, "/contacts/0/phones/0").text, "030 555 0163");
  EXPECT_EQ(Bench::at(all, "/contacts/0/phones/1").text, "030 555 0164");
  EXPECT_FALSE(has(Bench::at(all, "/nobody_text").text, "pharmacy"));
  EXPECT_TRUE(has(Bench::at(all, "/nobody_text").text, "prescriber"));
  EXPECT_EQ(Bench::at(all, "/calls/0/text").text, "Slept well.");
}

TEST(DeskKnown, AnHba1cIsShownInBothUnitsHoweverItCame) {
  Clinic clinic;
  const auto note = [&](const char* value, const char* day) {
    return clinic.record(clinic.person, std::string(R"({"what":"hba1c noted","value":)") + value +
                                            R"(,"sampled_on":")" + day +
                                            R"(","where_from":"laboratory"})");
  };
  Bench::must(note(R"({"value":8.0,"unit":"%"})", "2026-12-01"));
  Bench::must(note(R"({"value":53,"unit":"mmol/mol"})", "2027-03-01"));
  const auto said = Bench::at(assessment(clinic), "/known/4/value").text;
  EXPECT_TRUE(has(said, "53 mmol/mol (7.0%)")) << said;
  EXPECT_TRUE(has(said, "8.0% (64 mmol/mol)")) << said;
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/journal"))),
                  "53 mmol/mol (7.0%)"));
  EXPECT_EQ(code(note(R"({"value":53,"unit":"%"})", "2027-03-01")), "fact.value_range");
  EXPECT_EQ(code(note(R"({"value":12,"unit":"mmol/mol"})", "2027-03-01")), "fact.odd");
}

TEST(DeskKnown, WhoeverIsNotToBePhonedAnyMoreIsGoneFromTheContactsAndStaysOnRecord) {
  Clinic clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"contact noted","role":"carer","full_name":"Sefa","phone":"030 555 0170"})"));
  const auto drop = json::to_text(Bench::at(assessment(clinic), "/contacts/0/drop/facts/0"));
  Bench::must(clinic.record(clinic.person, drop));
  EXPECT_TRUE(Bench::at(assessment(clinic), "/contacts").members.empty());
  EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/journal"))),
                  "030 555 0170"));
}

TEST(DeskKnown, WhoeverIsToBeRungBackIsOnTodayWithTheNumberOrWithTheWordsThatThereIsNone) {
  Clinic clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"contact made","meeting":"call","outcome":"reached","rings_back":"we"})"));
  const auto today = [&] { return Bench::all_text(Bench::must(clinic.Bench::page("/api/today"))); };
  EXPECT_TRUE(has(today(), tests::piece("sentences/who.no_phone"))) << today();
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"details changed","full_name":"Mirela Okonkwo","born":"1958-06-04","number":"HS 04172","phone":"030 555 0199"})"));
  EXPECT_TRUE(has(today(), "030 555 0199")) << today();
  EXPECT_FALSE(has(today(), tests::piece("sentences/who.no_phone"))) << today();
}

}  // namespace
}  // namespace penstock::desk
