// Calls, appointments, values and allergies as they are recorded and brought in: what cannot be,
// what contradicts what is on record.
#include <gtest/gtest.h>

#include <string>

#include "edge/wire/journal_file.hpp"
#include "shell/desk/desk.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

std::string call(const std::string& more) {
  return R"({"what":"contact made","meeting":"call",)" + more + "}";
}

// "No answer" with the answers to the red-flag questions was taken as it stood.
TEST(DeskContacts, H53_WhoWasNotReachedAnsweredNothing) {
  Clinic clinic;
  for (const auto* outcome : {"no answer", "message left", "wrong number", "cancelled"}) {
    const auto said = R"("outcome":")" + std::string(outcome) + "\"";
    EXPECT_EQ(code(clinic.record(clinic.person, call(said + R"(,"low":"yes")"))),
              "desk.answers_of_nobody");
    EXPECT_EQ(code(clinic.record(clinic.person, call(said + R"(,"ketones":"no")"))),
              "desk.answers_of_nobody");
    EXPECT_EQ(code(clinic.record(clinic.person, call(said))), "recorded") << outcome;
  }
  EXPECT_EQ(
      code(clinic.record(clinic.person,
                         call(R"("outcome":"reached","spoke_to":"her daughter","drowsy":"no")"))),
      "recorded");
}

TEST(DeskContacts, H25_NoCallHba1cOrContactIsOfAYearInWhichItCannotBe) {
  Clinic clinic;
  const auto is_refused = [&](const std::string& fact) {
    return code(clinic.record(clinic.person, fact)) == "desk.too_long_ago";
  };
  const auto on = [](const std::string& day) { return R"("happened":")" + day + "\""; };
  const auto early = on("1900-05-01T10:00:00+01:00");
  EXPECT_TRUE(is_refused(call(R"("outcome":"reached",)" + early)));
  EXPECT_TRUE(
      is_refused(R"({"what":"contact noted","role":"carer","full_name":"Ada","phone":"555 01",)" +
                 early + "}"));
  const auto hba1c = [](const std::string& day) {
    return R"({"what":"hba1c noted","value":{"value":7.4,"unit":"%"},"sampled_on":")" + day + "\"}";
  };
  EXPECT_TRUE(is_refused(hba1c("1900-05-01")));
  EXPECT_TRUE(is_refused(hba1c("1979-12-31")));
  EXPECT_FALSE(is_refused(hba1c("1980-01-01")));
  EXPECT_TRUE(is_refused(
      R"({"what":"appointment made","meeting":"visit","why":"review","at":"1927-03-17T09:30:00+01:00"})"));
  // "Mon 10:00", typed on that Monday's afternoon, and a slip of the year.
  const auto agreed = [&](const std::string& at) {
    return code(clinic.record(
        clinic.person,
        R"({"what":"appointment made","meeting":"visit","why":"review","at":")" + at + R"("})"));
  };
  EXPECT_EQ(agreed("2027-03-16T10:00:00+01:00"), codes::ask_appointment_past);
  EXPECT_EQ(agreed("2029-03-16T10:00:00+01:00"), codes::ask_appointment_far);
  EXPECT_EQ(agreed("2027-03-17T17:00:00+01:00"), "recorded");
}

TEST(DeskContacts, H25_ABornPersonsRecordBeginsWithTheirBirth) {
  Bench bench;
  const auto child = bench.enrol("Noor Halvorsen", "2019-02-11", "HS 04999");
  EXPECT_EQ(
      code(bench.record(
          child,
          R"({"what":"hba1c noted","value":{"value":7.4,"unit":"%"},"sampled_on":"2019-02-10"})")),
      "desk.too_long_ago");
}

TEST(DeskContacts, H32_AnOutcomeIsOfAnAppointmentThatIsThere) {
  Clinic clinic;
  const auto outcome = [&](const std::string& appointment) {
    return code(clinic.record(clinic.person,
                              call(R"("outcome":"reached","appointment":")" + appointment + "\"")));
  };
  const std::string agreed = "00000000000000000000000000000e01";
  EXPECT_EQ(outcome(agreed), "desk.appointment_unknown");
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + agreed +
          R"(","what":"appointment made","meeting":"call","why":"review","at":"2027-03-17T09:30:00+01:00"})"));
  EXPECT_EQ(outcome(agreed), "recorded");
}

// "“” is not a choice for “unit”", though nobody had chosen any.
TEST(DeskContacts, H25_AValueWithoutAUnitIsAskedForOne) {
  Clinic clinic;
  const auto told = [&](const std::string& unit) {
    return code(clinic.record(
        clinic.person, R"({"what":"glucose noted","value":{"value":6.0,"unit":")" + unit + "\"}}"));
  };
  EXPECT_EQ(told(""), "field.choice_none");
  EXPECT_EQ(told("stones"), "field.choice");
  EXPECT_EQ(told("mmol/L"), "recorded");
}

// Only the words of an ordered insulin's own name were known as what it is.
TEST(DeskContacts, H61_ASevereAllergyThatNamesNoOrderedInsulinAsksWhetherItIsOneOfThem) {
  const auto told = [](Clinic& clinic, const std::string& to, const std::string& severe = "yes") {
    return clinic.record(clinic.person, R"({"what":"allergy noted","to":")" + to +
                                            R"(","severe":")" + severe + "\"}");
  };
  Clinic clinic;
  for (const auto* to : {"metacresol", "the long-acting one", "penicillin"}) {
    const auto asked = told(clinic, to);
    EXPECT_EQ(code(asked), "ask.allergy_other") << to;
    EXPECT_TRUE(has(Bench::all_text(Bench::must(asked)), "insulin glargine")) << to;
  }
  for (const auto* to : {"insulins", "all insulins", "Any insulin"})
    EXPECT_EQ(code(told(clinic, to)), "ask.allergy_ordered") << to;
  // Cyrillic, Greek, full width, a zero-width space, a soft hyphen: that insulin all the same.
  for (const auto* to : {"insulin glаrgine", "GLАRGINЕ", "insulin glargιne", "ｉnsulin glargine",
                         "insulin glar\u200Bgine", "glar\u00ADgine", "1nsulin g1argine"})
    EXPECT_EQ(code(told(clinic, to)), "ask.allergy_ordered") << to;
  // What only the tables of all scripts know, and accents.
  for (const auto* to : {"insulin glαrgine", "insulín glargine", "insulin glarɡine"}) {
    const auto refused = told(clinic, to);
    EXPECT_EQ(code(refused), "desk.allergy_letters") << to;
  }
  EXPECT_EQ(code(told(clinic, "penicillin", "no")), "recorded");
  Bench bench;
  EXPECT_EQ(code(bench.record(bench.enrol(),
                              R"({"what":"allergy noted","to":"metacresol","severe":"yes"})")),
            "recorded")
      << "nothing is ordered";
}

// The number was held all the same; whoever copied the order heard nothing of it.
TEST(DeskContacts, H61_ASevereAllergyIsAskedAboutWhenAnOrderForItIsCopiedAndTheOtherWayRound) {
  const auto allergy = [](const std::string& severe) {
    return R"({"what":"allergy noted","to":"Insulin Glargine","reaction":"swelling","severe":")" +
           severe + "\"}";
  };
  Clinic clinic;
  EXPECT_EQ(code(clinic.record(clinic.person, allergy("no"))), "recorded");
  EXPECT_EQ(code(clinic.record(clinic.person, allergy("yes"))), "ask.allergy_ordered");
  Bench bench;
  const auto person = bench.enrol();
  EXPECT_EQ(code(bench.record(person, allergy("yes"))), "recorded");
  const auto copied = bench.record(
      person,
      R"({"what":"order line signed","happened":"2027-03-16T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
  EXPECT_EQ(code(copied), "ask.allergic_to");
  // By its brand, and before anything was ordered, it was asked about nowhere.
  Bench other;
  const auto by_brand = other.enrol();
  EXPECT_EQ(code(other.record(by_brand,
                              R"({"what":"allergy noted","to":"the pink pen","severe":"yes"})")),
            "recorded");
  EXPECT_EQ(
      code(other.record(
          by_brand,
          R"({"what":"order line signed","happened":"2027-03-16T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})")),
      "ask.allergy_perhaps");
}

// It became "No known allergies".
TEST(DeskContacts, H61_AReactionWithoutWhatItIsToIsRefused) {
  Clinic clinic;
  const auto told = [&](const std::string& more) {
    return code(clinic.record(clinic.person, R"({"what":"allergy noted")" + more + "}"));
  };
  EXPECT_EQ(told(R"(,"reaction":"could not breathe")"), "desk.allergy_to_missing");
  EXPECT_EQ(told(R"(,"severe":"yes")"), "desk.allergy_to_missing");
  EXPECT_EQ(told(""), "recorded");
}

// "Phone the prescriber now, and ask how much to give", and no button led there.
TEST(DeskContacts, H38_H53_H61_AHeldCardThatSendsToThePrescriberHasTheButton) {
  const std::string ask = "Ask the prescriber";
  const auto answers = [](Clinic& clinic) {
    return Bench::all_text(Bench::at(clinic.page(), "/next/refusal/answers"));
  };
  Clinic ill;
  EXPECT_FALSE(has(answers(ill), ask));
  Bench::must(ill.record(ill.person, call(R"("outcome":"reached","not_eating":"yes")"),
                         R"("confirmed":true,)"));
  EXPECT_EQ(ill.refusal(), "interlock.not_eating");
  EXPECT_TRUE(has(answers(ill), ask));
  Bench::must(ill.record(ill.person,
                         R"({"what":"question opened","line":"00000000000000000000000000000a01",)"
                         R"("reason":"sick day"})"));
  EXPECT_FALSE(has(answers(ill), ask)) << "once is enough";
  Clinic allergic;
  Bench::must(allergic.record(allergic.person,
                              R"({"what":"allergy noted","to":"Insulin Glargine","severe":"yes"})",
                              R"("confirmed":true,)"));
  EXPECT_EQ(allergic.refusal(), "interlock.allergic");
  EXPECT_TRUE(has(answers(allergic), ask));
}

TEST(DeskContacts, H61_WhatTheRecordHasOfHyposStandsBesideWhatWasSaidOfSevereOnes) {
  Clinic clinic("2027-03-16T18:00:00+01:00", R"({"severe_lows":"no"})");
  EXPECT_TRUE(has(Bench::at(clinic.page(), "/hypos_text").text, "none"));
  const auto noted = [&](const std::string& when, const std::string& more) {
    Bench::must(clinic.record(
        clinic.person, R"({"what":"glucose noted","happened":")" + when + "\"," + more + "}"));
  };
  const auto value = [](const std::string& mmol) {
    return R"("value":{"value":)" + mmol + R"(,"unit":"mmol/L"})";
  };
  noted("2026-03-01T06:00:00+01:00", value("2.5"));
  noted("2026-06-01T06:00:00+01:00", value("3.5"));
  noted("2026-08-01T06:00:00+01:00", value("3.4"));
  noted("2026-08-01T06:30:00+01:00", value("2.8"));
  noted("2026-11-01T06:00:00+01:00", R"("needed_help":"yes")");
  const auto text = Bench::at(clinic.page(), "/hypos_text").text;
  EXPECT_EQ(text, "1 with help from another person, 1 below 3.0 mmol/L without help, 1 other");
  EXPECT_TRUE(has(Bench::all_text(Bench::at(clinic.page(), "/background")), text));
}

/// A person's journal as another bench has it, with `more` entries.
struct Theirs {
  Clinic clinic;
  wire::JournalFile file;
  Theirs(const std::string& here, std::vector<journal::Payload> more) {
    Bench::must(clinic.record(clinic.person, here, R"("confirmed":true,)"));
    file =
        wire::read_journal_file(clinic.desk().export_journal(clinic.person).value(), store::sha256)
            .value();
    const auto last = file.facts.back();
    for (std::size_t i = 0; i < more.size(); ++i) {
      auto fact = last;
      fact.id = Id{0xBAD, i + 1};
      fact.payload = std::move(more[i]);
      file.facts.push_back(std::move(fact));
    }
  }
  std::string asked() {
    const auto seen = Bench::must(clinic.desk().import_journal(
        wire::write_journal_file(file, store::sha256), "theirs.json", "", clinic.desk().caller()));
    return Bench::all_text(Bench::at(seen, "/asked"));
  }
};

// The preview was silent about all of these.
TEST(DeskContacts, H22_APreviewNamesWhatContradictsTheRecordBeforeItEnters) {
  journal::GlucoseNoted value;
  value.value = Glucose{GlucoseUnit::mmol_l, 91};
  Theirs values(R"({"what":"glucose noted","value":{"value":6.0,"unit":"mmol/L"}})", {value});
  EXPECT_TRUE(has(values.asked(), "says 6.0 mmol/L")) << values.asked();
  Theirs same(R"({"what":"glucose noted","value":{"value":9.1,"unit":"mmol/L"}})", {value});
  EXPECT_EQ(same.asked(), "");
  Theirs allergies(R"({"what":"allergy noted","to":"penicillin","severe":"yes"})",
                   {journal::AllergyNoted{"Penicillin", "", journal::YesNo::no}});
  EXPECT_TRUE(has(allergies.asked(), "of penicillin with")) << allergies.asked();
  Theirs phones(
      R"({"what":"contact noted","role":"carer","full_name":"Ada","phone":"555 0001"})",
      {journal::ContactNoted{journal::ContactRole::carer, "Ada", "555 0002", "", "", false}});
  EXPECT_TRUE(has(phones.asked(), "555 0001 for Ada")) << phones.asked();
  journal::AppointmentMade agreed;
  agreed.meeting = journal::Meeting::visit;
  agreed.at = parse_when("2027-03-20T10:30:00+01:00").value();
  Theirs hours(
      R"({"what":"appointment made","meeting":"visit","why":"review","at":"2027-03-20T09:30:00+01:00"})",
      {agreed});
  EXPECT_TRUE(has(hours.asked(), "09:30")) << hours.asked();
  // Two in the file alone, and what would be refused at the desk.
  auto other = value;
  other.value->value = 40;
  journal::ContactMade missed;
  missed.outcome = journal::ContactOutcome::no_answer;
  missed.low = journal::YesNo::yes;
  Theirs file(R"({"what":"note","text":"here"})", {value, other, missed});
  EXPECT_TRUE(has(file.asked(), "says 9.1 mmol/L")) << file.asked();
  EXPECT_TRUE(has(file.asked(), "The outcome is")) << file.asked();
}

}  // namespace
}  // namespace penstock::desk
