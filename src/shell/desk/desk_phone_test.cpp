// What a nurse found at the phone desk: numbers beside "no number", halves of doses, words of one
// answer beside another.
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

void tell(Clinic& clinic, const std::string& what) {
  Bench::must(clinic.record(clinic.person, "{" + what + "}", R"("confirmed":true,)"));
}

void prime(Clinic& clinic, const char* flow) {
  tell(clinic, std::string(R"("what":"primed","cartridge":")") + Bench::cartridge +
                   R"(","units":2,"flow":")" + flow + R"(")");
}

// The same order, of so many units, signed and checked.
void orders(Clinic& clinic, const std::string& units) {
  const std::string line = "00000000000000000000000000000a02";
  Bench::must(clinic.record(
      clinic.person,
      R"({"id":")" + line +
          R"(","what":"order line signed","happened":"2027-03-16T09:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":)" +
          units +
          R"(}],"least_units":10,"most_units":90,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"replaces":"00000000000000000000000000000a01"})",
      R"("confirmed":true,)"));
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"order line checked","happened":"2027-03-16T09:05:00+01:00","line":")" + line +
          R"(","checked_by":"Jonas Abara",)" + Bench::reading_of(units) + "}"));
}

// "No number is given", and right under it the picture with the number, "Dial 22 units" and
// "Injected 22 units".
TEST(DeskPhone, H58_H64_UntilInsulinWasSeenNothingOnThePageTellsTheNumber) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  tell(clinic, std::string(R"("what":"needle on","pen":")") + Bench::pen +
                   R"(","needle":"4 mm","length_mm":4)");
  orders(clinic, "24");  // 22 went in last, which stays on the page
  EXPECT_TRUE(has(flat(Bench::at(clinic.phone(), "/card")), "24 units"));
  for (int dry = 1; dry <= 3; ++dry) {
    clinic.set_clock(("2027-03-16T21:5" + std::to_string(dry) + ":00+01:00").c_str());
    prime(clinic, "not seen");
    const auto answer = clinic.phone();
    const auto& card = Bench::at(answer, "/card");
    EXPECT_EQ(Bench::at(answer, "/read_back").type, json::Type::null);
    EXPECT_EQ(Bench::at(card, "/dose_text").text, "");
    EXPECT_EQ(Bench::at(card, "/window_table").type, json::Type::null);
    EXPECT_TRUE(Bench::at(card, "/after_text").members.empty());
    bool primes = false;
    for (const auto& step : Bench::at(card, "/steps").members) {
      EXPECT_NE(Bench::at(step.value, "/key").text, "dial") << dry;
      EXPECT_NE(Bench::at(step.value, "/key").text, "hold") << dry;
      primes = primes || Bench::at(step.value, "/key").text == "prime";
    }
    EXPECT_TRUE(primes) << dry;
    EXPECT_FALSE(tests::tells_number(flat(card))) << flat(card);
    EXPECT_FALSE(has(flat(answer), "24 units")) << flat(card);
  }
  tell(clinic, std::string(R"("what":"needle off","pen":")") + Bench::pen + R"(")");
  tell(clinic, std::string(R"("what":"needle on","pen":")") + Bench::pen +
                   R"(","needle":"4 mm","length_mm":4)");
  prime(clinic, "seen");
  EXPECT_TRUE(tests::tells_number(flat(clinic.phone())));
}

// The same of somebody without a record, by what they say.
TEST(DeskPhone, H64_WhoSaysThatNoInsulinCameIsToldNoNumber) {
  Bench bench;
  const auto call = [&](const std::string& prime) {
    return Bench::at(
        Bench::must(bench.page(
            "/api/phone",
            R"({"low_now":"no","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","last_dose":"24","pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"20","left_units":"140","days_in_use":"6","unopened":"1","spent_units":"2",)" +
                prime + "}")),
        "/card");
  };
  const auto dry = call(R"("prime":"not seen","dry_primes":"1")");
  EXPECT_FALSE(tests::tells_number(flat(dry))) << flat(dry);
  EXPECT_FALSE(has(flat(dry), "20 units")) << flat(dry);
  EXPECT_TRUE(has(flat(dry), tests::piece("sentences/phone.dry_said"))) << flat(dry);
  EXPECT_TRUE(tests::tells_number(flat(call(R"("prime":"seen")"))));
}

// "Say this: dial 40 units for 40 units" of 80: the second 40 was said nowhere.
TEST(DeskPhone, H39_OfADoseInTwoInjectionsBothAreSaidAndWhatTheyComeTo) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  orders(clinic, "80");
  const auto answer = clinic.phone();
  const auto say = flat(Bench::at(answer, "/read_back/say"));
  EXPECT_TRUE(has(say,
                  "in more than one injection: First dial 40 units for 40 units. Then, with a "
                  "new needle and primed again, dial 40 units for 40 units. Together 80 units "
                  "of insulin glargine, 100 units/mL."))
      << say;
  const auto hear = flat(Bench::at(answer, "/read_back/hear"));
  EXPECT_TRUE(has(hear, "“first dial 40 units”, “then a new needle, prime, and dial 40 units”, “"))
      << hear;
  EXPECT_TRUE(has(hear, "together 80 units")) << hear;
  EXPECT_TRUE(has(flat(Bench::at(answer, "/read_back/record")), "Together 80 units"));
}

// A window that keeps counting has no room for all of it after a prime that stayed dry.
TEST(DeskPhone, H39_H01_TheSameWhereAWindowThatKeepsCountingHasNoRoom) {
  Clinic clinic("2027-03-16T21:50:00+01:00");
  orders(clinic, "60");
  for (int twice = 0; twice < 2; ++twice)
    tell(clinic, R"("what":"window tested","pen":")" + std::string(Bench::pen) +
                     R"(","dialled_units":2,"shown_after_units":2)");
  const auto say = flat(Bench::at(clinic.phone(), "/read_back/say"));
  EXPECT_TRUE(has(say, "First prime, and read out what the window shows")) << say;
  EXPECT_TRUE(has(say, "Then, with a new needle, prime again")) << say;
  EXPECT_TRUE(has(say, "Together 60 units of insulin glargine")) << say;
  EXPECT_TRUE(has(flat(Bench::at(clinic.phone(), "/read_back/hear")), "together 60 units"));
}

std::string answered(const std::string& day, const std::string& more) {
  return R"("what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":")" +
         day + "\"," + more;
}

// "The last dose on record is" the one before it.
TEST(DeskPhone, H07_ADoseThatWasReportedAsTakenIsTheLastOne) {
  Clinic clinic("2027-03-17T09:00:00+01:00");
  const auto on_record = [&] { return flat(Bench::at(clinic.page(), "/taken")); };
  EXPECT_TRUE(has(on_record(), "the last dose on record is 22 units, Mon 15")) << on_record();
  tell(clinic, answered("2027-03-16", R"("was":"taken")"));
  EXPECT_TRUE(has(on_record(), "the last dose, Tue 16 at 22:00, was reported as taken"))
      << on_record();
}

// What somebody wrote with the outcome of a dose stood nowhere beside the next number.
TEST(DeskPhone, H53_TheCommentOnTheLastOutcomeStandsBesideTheNextNumber) {
  Clinic clinic("2027-03-17T09:00:00+01:00");
  const auto comment = "vomited right after it";
  tell(clinic, answered("2027-03-16", R"("was":"taken","text":"vomited right after it")"));
  clinic.set_clock("2027-03-17T21:30:00+01:00");
  EXPECT_EQ(clinic.refusal(), "");
  EXPECT_TRUE(has(flat(Bench::at(clinic.page(), "/next/cautions")), comment)) << clinic.all();
  EXPECT_TRUE(has(flat(Bench::at(clinic.phone(), "/first")), comment));
  tell(clinic, answered("2027-03-16", R"("was":"taken")"));
  EXPECT_FALSE(has(flat(Bench::at(clinic.page(), "/next/cautions")), comment));
}

// Forty hours after the last basal dose a number, and not a word of the one that was missed.
TEST(DeskPhone, H57_WithoutARecordAMissedBasalDoseIsSaidBesideTheNumber) {
  Bench bench;
  const auto card = [&](const std::string& hours) {
    return Bench::at(
        Bench::must(bench.page(
            "/api/phone",
            R"({"low_now":"no","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","last_dose":")" +
                hours +
                R"(","pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"20","left_units":"140","days_in_use":"6","unopened":"1","prime":"not yet"})")),
        "/card");
  };
  for (const auto* hours : {"36", "40", "47"}) {
    EXPECT_EQ(Bench::at(card(hours), "/state").text, "dial");
    const auto said = flat(Bench::at(card(hours), "/cautions"));
    EXPECT_TRUE(has(said, "a dose may have been missed. Do not make up for it")) << said;
    EXPECT_TRUE(has(said, "phone the prescriber before this dose")) << said;
  }
  EXPECT_FALSE(has(flat(card("24")), "may have been missed"));
  EXPECT_EQ(Bench::at(card("48"), "/state").text, "refused");
}

// 80 units in one injection, from a pen that ends at 60, were recorded without a word.
TEST(DeskPhone, H02_H25_MoreThanThePenCanDialIsAskedAboutAndNeverRefused) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  orders(clinic, "80");
  const auto given = [&](int units, const std::string& more = "") {
    return code(clinic.inject(units, "2027-03-16T22:05:00+01:00",
                              "00000000000000000000000000000a02", more));
  };
  EXPECT_EQ(given(80), "ask.more_than_pen");
  EXPECT_EQ(given(80, R"("confirmed":true,)"), "recorded");
}

// "Between 22:00 and 22:00".
TEST(DeskPhone, AnHourWithoutMinutesIsSaidAsThatHourOnTheDialCard) {
  Bench bench("2027-03-16T14:10:00+01:00");
  const auto person = bench.enrol();
  Bench::must(bench.record(
      person,
      R"({"id":"00000000000000000000000000000a01","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","units":22}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})"));
  Bench::must(bench.record(
      person,
      R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)" +
          std::string(Bench::reading) + "}"));
  bench.pen_and_cartridge(person);
  const auto card = flat(Bench::must(bench.page(person, "/dial-card")));
  EXPECT_TRUE(has(card, "at 22:00")) << card;
  EXPECT_FALSE(has(card, "between 22:00")) << card;
}

}  // namespace
}  // namespace penstock::desk
