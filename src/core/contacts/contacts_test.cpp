#include "core/contacts/contacts.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "support/told.hpp"

namespace penstock::contacts {
namespace {

using journal::ContactOutcome;
using journal::ContactRole;
using std::chrono::hours;

constexpr Instant noon{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1} + hours{12}};

struct Told {
  std::vector<journal::Fact> facts;
  Id tell(int hour, journal::Payload payload) {
    facts.push_back(tests::told({0xC0, facts.size() + 2}, {0xC0, 1}, {noon + hours{hour}, 0},
                                std::move(payload)));
    return facts.back().id;
  }
  Contacts folded() const {
    const auto history = journal::read(facts);
    return fold(history, [](const When& sent) { return sent; });
  }
};

std::vector<std::string> phones(const Contacts& contacts) {
  std::vector<std::string> out;
  for (const auto& one : contacts.people) out.push_back(one.said.phone);
  return out;
}

TEST(Contacts, TheLastOfARoleAndNameHoldsAndWhoIsNotToBePhonedIsGone) {
  Told told;
  told.tell(0, journal::ContactNoted{ContactRole::pharmacy, "Quay Pharmacy", "1", "", "", false});
  told.tell(1, journal::ContactNoted{ContactRole::prescriber, "Dr Adeyemi", "2", "", "", false});
  told.tell(2, journal::ContactNoted{ContactRole::pharmacy, "Quay Pharmacy", "3", "", "", false});
  EXPECT_THAT(phones(told.folded()), testing::ElementsAre("2", "3"));
  told.tell(3, journal::ContactNoted{ContactRole::prescriber, "Dr Adeyemi", "2", "", "", true});
  EXPECT_THAT(phones(told.folded()), testing::ElementsAre("3"));
}

TEST(Contacts, CallsThatNobodyAnsweredAreCountedSinceTheLastThatGotThrough) {
  Told told;
  const auto call = [&](int hour, ContactOutcome outcome) {
    journal::ContactMade made;
    made.outcome = outcome;
    told.tell(hour, made);
    return told.folded().unanswered();
  };
  EXPECT_EQ(call(0, ContactOutcome::no_answer), 1);
  EXPECT_EQ(call(1, ContactOutcome::message_left), 2);
  EXPECT_EQ(call(2, ContactOutcome::wrong_number), 3);
  EXPECT_EQ(call(3, ContactOutcome::reached), 0);
}

TEST(Contacts, AnHba1cStandsByTheDayOfItsSampleWhenItWasEntered) {
  Told told;
  const auto noted = [&](int hour, std::int32_t tenths, int days_before) {
    told.tell(hour, journal::Hba1cNoted{{Hba1cUnit::ngsp_percent, tenths},
                                        std::chrono::local_days{std::chrono::year{2027} / 3 / 1} -
                                            std::chrono::days{days_before},
                                        ""});
  };
  noted(0, 74, 2);
  noted(1, 81, 90);
  const auto contacts = told.folded();
  ASSERT_EQ(contacts.hba1c.size(), 2U);
  EXPECT_EQ(contacts.hba1c.back().said.value.value, 74);
}

TEST(Contacts, InsteadOfThePersonWhoLooksAfterThemIsPhonedNotWhoPrescribes) {
  Told told;
  told.tell(0, journal::ContactNoted{ContactRole::prescriber, "Dr Adeyemi", "1", "", "", false});
  told.tell(1, journal::ContactNoted{ContactRole::carer, "Ada", "", "", "", false});
  EXPECT_EQ(told.folded().instead(), nullptr);
  told.tell(2, journal::ContactNoted{ContactRole::district_nurse, "Ben", "2", "", "", false});
  ASSERT_NE(told.folded().instead(), nullptr);
  EXPECT_EQ(told.folded().instead()->said.phone, "2");
}

TEST(Contacts, WhoPromisedToRingBackComesBeforeWhomTheNextAppointmentIsWith) {
  Told told;
  EXPECT_EQ(told.folded().whose(), "");
  journal::AppointmentMade agreed;
  agreed.at = {noon + hours{40}, 0};
  agreed.with = "Femi Adair";
  told.tell(0, agreed);
  EXPECT_EQ(told.folded().whose(), "Femi Adair");
  journal::ContactMade made;
  made.rings_back = journal::RingsBack::we;
  made.ring_back_who = "Marit Oyelaran";
  told.tell(1, made);
  EXPECT_EQ(told.folded().whose(), "Marit Oyelaran");
}

TEST(Contacts, NoKnownAllergyIsAnAnswerUntilOneIsNoted) {
  Told told;
  EXPECT_FALSE(told.folded().no_allergies);
  told.tell(0, journal::AllergyNoted{});
  EXPECT_TRUE(told.folded().no_allergies);
  told.tell(1, journal::AllergyNoted{"penicillin", "a rash", journal::YesNo::no});
  EXPECT_FALSE(told.folded().no_allergies);
  EXPECT_EQ(told.folded().allergies.size(), 1U);
}

}  // namespace
}  // namespace penstock::contacts
