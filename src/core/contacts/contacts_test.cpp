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

// Nobody could be made the one who follows somebody up, but by an appointment or a promise.
TEST(Contacts, WhoTakesSomebodyOnHasThemUntilALaterEntryNamesAnother) {
  Told told;
  told.tell(0, journal::FollowUpTaken{"Marit Oyelaran"});
  EXPECT_EQ(told.folded().whose(), "Marit Oyelaran");
  journal::AppointmentMade agreed;
  agreed.at = {noon + hours{40}, 0};
  agreed.with = "Femi Adair";
  told.tell(1, agreed);
  EXPECT_EQ(told.folded().whose(), "Femi Adair");
  told.tell(2, journal::FollowUpTaken{"Ines Paquette"});
  EXPECT_EQ(told.folded().whose(), "Ines Paquette");
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

TEST(Contradictions, H22_WhatCannotBothBeSoIsNamedAndTheSameInAnotherUnitIsNot) {
  const auto clashes = [](const std::vector<std::pair<int, journal::Payload>>& told) {
    Told story;
    for (const auto& [minute, payload] : told) {
      story.tell(0, payload);
      auto& when = story.facts.back().happened;
      when.at += std::chrono::minutes{minute};
    }
    const auto history = journal::read(story.facts);
    std::vector<Clash> out;
    for (const auto& one : contradictions(history, [](const When& sent) { return sent; }))
      out.push_back(one.what);
    return out;
  };
  const auto glucose = [](GlucoseUnit unit, std::int32_t value) {
    journal::GlucoseNoted noted;
    noted.value = Glucose{unit, value};
    return noted;
  };
  using testing::ElementsAre;
  using testing::IsEmpty;
  const auto six = glucose(GlucoseUnit::mmol_l, 60);
  EXPECT_THAT(clashes({{0, six}, {0, glucose(GlucoseUnit::mmol_l, 91)}}),
              ElementsAre(Clash::glucose));
  EXPECT_THAT(clashes({{0, six}, {1, glucose(GlucoseUnit::mmol_l, 91)}}), IsEmpty());
  EXPECT_THAT(clashes({{0, six}, {0, glucose(GlucoseUnit::mg_dl, 108)}}), IsEmpty());
  EXPECT_THAT(clashes({{0, six}, {0, glucose(GlucoseUnit::mg_dl, 60)}}),
              ElementsAre(Clash::glucose));
  auto lo = glucose(GlucoseUnit::mmol_l, 0);
  lo.value.reset();
  lo.meter = journal::MeterWord::lo;
  EXPECT_THAT(clashes({{0, six}, {0, lo}}), ElementsAre(Clash::glucose));
  EXPECT_THAT(clashes({{0, lo}, {0, lo}}), IsEmpty());
  const auto hba1c = [](Hba1cUnit unit, std::int32_t value, int day) {
    return journal::Hba1cNoted{{unit, value}, LocalDay{std::chrono::days{day}}, ""};
  };
  EXPECT_THAT(clashes({{0, hba1c(Hba1cUnit::ngsp_percent, 74, 1)},
                       {0, hba1c(Hba1cUnit::ifcc_mmol_mol, 57, 1)},
                       {0, hba1c(Hba1cUnit::ngsp_percent, 90, 2)}}),
              IsEmpty());
  EXPECT_THAT(clashes({{0, hba1c(Hba1cUnit::ngsp_percent, 74, 1)},
                       {0, hba1c(Hba1cUnit::ngsp_percent, 90, 1)}}),
              ElementsAre(Clash::hba1c));
  const journal::AllergyNoted severe{"Insulin lispro", "", journal::YesNo::yes};
  const journal::AllergyNoted not_severe{"insulin lispro ", "", journal::YesNo::no};
  EXPECT_THAT(clashes({{0, severe}, {9, not_severe}}), ElementsAre(Clash::allergy));
  EXPECT_THAT(clashes({{0, severe}, {9, journal::AllergyNoted{}}}), ElementsAre(Clash::no_allergy));
  EXPECT_THAT(clashes({{0, journal::AllergyNoted{}}, {9, severe}}), IsEmpty()) << "learnt later";
  const auto contact = [](std::string phone) {
    return journal::ContactNoted{ContactRole::carer, "Ada", std::move(phone), "", "", false};
  };
  EXPECT_THAT(clashes({{0, contact("555 01")}, {1, contact("555-01")}}), IsEmpty());
  EXPECT_THAT(clashes({{0, contact("555 01")}, {1, contact("555 02")}}),
              ElementsAre(Clash::contact));
  const auto agreed = [](int hour) {
    journal::AppointmentMade out;
    out.at = {noon + hours{hour}, 0};
    return out;
  };
  EXPECT_THAT(clashes({{0, agreed(48)}, {1, agreed(49)}}), ElementsAre(Clash::appointment));
  EXPECT_THAT(clashes({{0, agreed(48)}, {1, agreed(72)}}), IsEmpty());
  journal::ContactMade reached, missed;
  missed.outcome = ContactOutcome::no_answer;
  EXPECT_THAT(clashes({{0, reached}, {0, missed}}), ElementsAre(Clash::outcome));
  EXPECT_THAT(clashes({{0, reached}, {0, reached}, {5, missed}}), IsEmpty());
}

}  // namespace
}  // namespace penstock::contacts
