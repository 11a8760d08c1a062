#include "shell/names/whose.hpp"

#include <gtest/gtest.h>

namespace penstock::names {
namespace {

constexpr Beside beside{"Bram Castellanos", "Harbour Street Clinic"};

Doubt of_staff(const char* name) { return doubt_about(name, Signs::staff, beside); }
Doubt of_prescriber(const char* name) { return doubt_about(name, Signs::prescriber, beside); }

TEST(Whose, H40_H37_WordsForAnybodyNameNobody) {
  for (const auto* by : {"123",
                         "-",
                         "?",
                         "",
                         "x",
                         "ok",
                         "OK.",
                         "yes",
                         "checked",
                         "see paper",
                         "TBD",
                         "system",
                         "Penstock",
                         "a colleague",
                         "someone else",
                         "unknown person",
                         "the clinic",
                         "clinic",
                         "Harbour Street Clinic",
                         "the Harbour clinic",
                         "Student",
                         "the doctor",
                         "a doctor",
                         "the doctor on call",
                         "second-person",
                         "charge nurse",
                         "Dr",
                         "N/A",
                         "ѕеlf",
                         "Dr. Doctor",
                         "Bram Castellanos",
                         "castellanos, bram"}) {
    EXPECT_EQ(of_staff(by), Doubt::nobody) << by;
    EXPECT_EQ(of_prescriber(by), Doubt::nobody) << by;
  }
  for (const auto* by : {"his wife", "mother", "the carer", "her daughter Anna"})
    EXPECT_EQ(of_staff(by), Doubt::nobody) << by;
}

TEST(Whose, H40_H37_AFirstAndAFamilyNameNameSomebody) {
  for (const auto* by : {"Jonas Abara", "J. Abara", "J.Abara", "Abara, Jonas", "Will Self",
                         "Jo Ward", "Ann Friend", "Dr Amara Osei", "Nguyễn Thị Đào", "Олена Коваль",
                         "O'Brien, Sam", "An To", "李伟", "李 伟", "Bram Osei", "Jonas Abara RN"}) {
    EXPECT_EQ(of_staff(by), Doubt::none) << by;
  }
  for (const auto* by : {"Jonas", "Mrs Abara", "ZZ", "J A", "O'Brien", "Anne-Marie", "Jo 2",
                         "Jonas RN", "Sister Adeyemi", "李"})
    EXPECT_EQ(of_staff(by), Doubt::one_word) << by;
}

TEST(Whose, H40_APrescriberIsKnownByTitleAndFamilyName) {
  for (const auto* by : {"Dr Osei", "Prof. Adeyemi", "Dr Ward", "Dr Castellanos", "Prof. Son",
                         "Sister Adeyemi", "Tomasz Adeyemi", "T. Adeyemi"})
    EXPECT_EQ(of_prescriber(by), Doubt::none) << by;
  for (const auto* by : {"Osei", "Dr X", "ZZ"}) EXPECT_EQ(of_prescriber(by), Doubt::one_word) << by;
}

TEST(Whose, H37_WhoMayBeAtHomeHasNoDoctorsTitle) {
  for (const auto* by : {"his wife", "Carer", "Mr Castellanos", "bram", "the man", "Mum"})
    EXPECT_EQ(of_prescriber(by), Doubt::at_home) << by;
}

TEST(Whose, H40_ThePersonInPartOrByInitialsMayBeThemself) {
  for (const auto* by : {"B. Castellanos", "Bram C.", "Castellanos", "Mr Castellanos", "BC"})
    EXPECT_EQ(of_staff(by), Doubt::themself) << by;
  EXPECT_EQ(doubt_about("T. Person", Signs::staff, {"Test Person", ""}), Doubt::themself);
  EXPECT_EQ(doubt_about("Test P.", Signs::staff, {"Test Person", ""}), Doubt::themself);
  EXPECT_EQ(doubt_about("Jonas Abara", Signs::staff, {"Jonas", ""}), Doubt::none);
}

}  // namespace
}  // namespace penstock::names
