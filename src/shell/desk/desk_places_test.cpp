// Places and reach at the desk: what hardened tissue opens, what is printed and what is not, where
// the card says the next injection goes.
#include <gtest/gtest.h>

#include <map>
#include <set>

#include "core/places/places.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

constexpr const char* body =
    R"({"what":"body measured","happened":"2027-03-02T09:20:00+01:00","sex":"female","height_cm":164,"waist_cm":86})";
std::string rules(const std::string& more = "", const std::string& needle = "4") {
  return R"({"what":"place rules set","happened":"2027-03-02T09:21:00+01:00","zones":["abdomen left upper","abdomen left lower","abdomen right upper","abdomen right lower","thigh left","thigh right"],"rest_days":28,"spacing_mm":10,"navel_clear_mm":50,"turn":"each week","needle_mm":)" +
         needle + R"(,"angle_deg":90,"fold":"no","can_fold":"yes")" + more + "}";
}
std::string injection(const std::string& id, const std::string& when, const std::string& zone,
                      const std::string& x, const std::string& y) {
  return R"({"id":")" + id + R"(","what":"injected","happened":")" + when + R"(","cartridge":")" +
         TestBench::cartridge +
         R"(","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime","zone":")" +
         zone + R"(","spot":{"x_mm":)" + x + R"(,"y_mm":)" + y + "}}";
}
std::string finding(const std::string& verdict, const std::string& when,
                    const std::string& tissue = "hardened") {
  return R"({"what":"skin examined","happened":")" + when +
         R"(","light":"daylight","posture":"lying","zones":["abdomen left lower"],"findings":[{"area":"00000000000000000000000000000e01","tissue":")" +
         tissue +
         R"(","zone":"abdomen left lower","centre":{"x_mm":72,"y_mm":-44},"length_mm":50,"width_mm":40,"seen":true,"felt":true,"verdict":")" +
         verdict + R"("}]})";
}

struct OnBench {
  TestBench bench;
  Id person = bench.enrol();

  explicit OnBench(const std::string& needle = "4", const std::string& more_rules = "") {
    bench.order(person);
    bench.pen_and_cartridge(person);
    bench.must(bench.record(person, body));
    bench.must(bench.record(person, rules(more_rules, needle)));
  }
  json::Value page() { return bench.must(bench.page(person, "/places")); }
  json::Value next() { return TestBench::at(bench.must(bench.page(person)), "/next"); }
  void injected_there() {
    bench.must(bench.record(
        person, injection("00000000000000000000000000000f01", "2027-03-14T22:00:00+01:00",
                          "abdomen left lower", "70", "-40")));
  }
};

const json::Value* step_of(const json::Value& card, std::string_view key) {
  const auto* steps = card.find("steps");
  if (steps == nullptr) return nullptr;
  for (const auto& step : steps->members)
    if (step.value.find("key")->text == key) return &step.value;
  return nullptr;
}

TEST(DeskPlaces, NothingMeasuredYetSaysWhatIsMissing) {
  TestBench bench;
  const auto person = bench.enrol();
  const auto page = bench.must(bench.page(person, "/places"));
  EXPECT_NE(page.find("places")->find("empty"), nullptr);
  EXPECT_NE(page.find("reach")->find("empty"), nullptr);
  EXPECT_EQ(bench.page(person, "/place-plan").error().code, "skin.no_height");
}

TEST(DeskPlaces, TheCardSaysWhereAndTheButtonRecordsIt_H17) {
  OnBench on;
  const auto card = on.next();
  const auto* look = step_of(card, "look");
  ASSERT_NE(look, nullptr);
  const auto caption = look->find("caption")->text;
  EXPECT_TRUE(caption.starts_with("Left") || caption.starts_with("Right")) << caption;
  const auto* hold = step_of(card, "hold");
  ASSERT_NE(hold, nullptr);
  const auto& fact = TestBench::at(*hold, "/records/0/facts/0");
  EXPECT_FALSE(fact.find("zone")->text.empty());
  EXPECT_NE(fact.find("spot"), nullptr);
  const auto& elsewhere = TestBench::at(*hold, "/records/1/facts/0");
  EXPECT_EQ(elsewhere.find("spot"), nullptr) << "where it went instead is asked for";
}

TEST(DeskPlaces, H36_HardenedTissueWhereSomebodyInjectsOpensTheQuestionTheSameDay) {
  OnBench on;
  on.injected_there();
  ASSERT_TRUE(on.bench.page(on.person, "/place-plan"));
  const auto recorded =
      on.bench.must(on.bench.record(on.person, finding("keep off", "2027-03-16T13:50:00+01:00")));
  ASSERT_EQ(recorded.find("questions")->members.size(), 1U);
  const auto& question = recorded.find("questions")->members.front().value.text;
  EXPECT_NE(question.find("10"), std::string::npos) << question;
  EXPECT_NE(question.find("20"), std::string::npos) << question;

  // No number on the card until somebody has answered. The plan keeps off the lump, and says first
  // to phone: who went home without it had nothing that did (nurse A28).
  const auto plan = on.bench.must(on.bench.page(on.person, "/place-plan"));
  EXPECT_NE(TestBench::all_text(TestBench::at(plan, "/before")).find("555 0100"),
            std::string::npos);
  const auto person = on.bench.must(on.bench.page(on.person));
  ASSERT_EQ(person.find("asks")->members.size(), 1U);
  EXPECT_EQ(TestBench::at(person, "/next").type, json::Type::null)
      << "the only line is in question";

  const auto opened = recorded.find("recorded")->members.back().value.text;
  on.bench.must(on.bench.record(
      on.person,
      R"({"what":"question answered","question":")" + opened +
          R"(","answer":"keep the dose","by":"Dr Tomasz Adeyemi","text":"measure at night","read_back":true})"));
  EXPECT_EQ(TestBench::at(on.bench.must(on.bench.page(on.person, "/place-plan")), "/before").type,
            json::Type::null);
}

// nurse A26: "No sites have been recorded" stood over a drawing that counted them.
TEST(DeskPlaces, H17_WhoSaidOnlyTheAreaIsNotToldThatNothingWasRecorded) {
  OnBench on;
  const auto lead = [&] { return TestBench::all_text(TestBench::at(on.page(), "/places/lead")); };
  EXPECT_NE(lead().find("No sites have been recorded"), std::string::npos) << lead();
  on.bench.must(on.bench.record(
      on.person, R"({"what":"injected","happened":"2027-03-14T22:00:00+01:00","cartridge":")" +
                     std::string(TestBench::cartridge) +
                     R"(","units":22,"line":"00000000000000000000000000000a01","slot":"bedtime",)"
                     R"("zone":"abdomen left lower"})"));
  EXPECT_NE(lead().find("1 injection"), std::string::npos) << lead();
  EXPECT_EQ(lead().find("No sites have been recorded"), std::string::npos) << lead();
}

TEST(DeskPlaces, H36_SaidTwiceTheQuestionIsOne) {
  OnBench on;
  on.injected_there();
  auto fact = finding("keep off", "2027-03-16T13:50:00+01:00");
  fact.insert(1, R"("id":"00000000000000000000000000000e11",)");
  const auto once = on.bench.must(on.bench.record(on.person, fact));
  const auto twice = on.bench.must(on.bench.record(on.person, fact));
  EXPECT_EQ(once.find("questions")->members.size(), 1U);
  EXPECT_EQ(twice.find("questions")->members.size(), 0U);
  EXPECT_EQ(twice.find("version")->text, once.find("version")->text);
  // Looked at again a day later: the area is known, and asked about already.
  const auto later =
      on.bench.must(on.bench.record(on.person, finding("keep off", "2027-03-16T14:00:00+01:00")));
  EXPECT_EQ(later.find("questions")->members.size(), 0U);
}

TEST(DeskPlaces, H36_WhatArrivesFromTheWrongJournalOpensItsQuestionHere) {
  OnBench on;
  on.injected_there();
  const auto other = on.bench.enrol("Noor Haddad", "1961-02-17", "HS 1");
  auto fact = finding("keep off", "2027-03-16T13:50:00+01:00");
  fact.insert(1, R"("id":"00000000000000000000000000000e11",)");
  on.bench.must(on.bench.record(other, fact));
  const auto move = R"({"fact":"00000000000000000000000000000e11","to":")" + to_text(on.person) +
                    R"(","reason":"the wrong page was open"})";
  const auto once = on.bench.must(
      on.bench.desk().move_fact(other, TestBench::request(move), on.bench.desk().caller()));
  ASSERT_EQ(once.find("questions")->members.size(), 1U);
  EXPECT_NE(TestBench::at(once, "/questions/0")
                .text.find(tests::piece("sentences/site.hardened_question")),
            std::string::npos);
  EXPECT_NE(TestBench::at(on.bench.must(on.bench.page(on.person, "/place-plan")), "/before").type,
            json::Type::null);
  on.bench.must(
      on.bench.desk().move_fact(other, TestBench::request(move), on.bench.desk().caller()));
  EXPECT_EQ(on.bench.must(on.bench.page(on.person)).find("asks")->members.size(), 1U);
}

TEST(DeskPlaces, H36_ALineThatNobodyKnowsIsAskedAboutAsEveryDose) {
  OnBench on;
  auto astray = injection("00000000000000000000000000000f01", "2027-03-14T22:00:00+01:00",
                          "abdomen left lower", "70", "-40");
  const std::string line = "00000000000000000000000000000a01";
  astray.replace(astray.find(line), line.size(), "00000000000000000000000000000aff");
  on.bench.must(on.bench.record(on.person, astray, R"("confirmed":true,)"));
  const auto recorded =
      on.bench.must(on.bench.record(on.person, finding("keep off", "2027-03-16T13:50:00+01:00")));
  EXPECT_EQ(recorded.find("questions")->members.size(), 1U);
}

TEST(DeskPlaces, H36_AScarOpensNoQuestion) {
  OnBench on;
  on.injected_there();
  const auto recorded = on.bench.must(
      on.bench.record(on.person, finding("keep off", "2027-03-16T13:50:00+01:00", "scar")));
  EXPECT_EQ(recorded.find("questions")->members.size(), 0U);
  EXPECT_TRUE(on.bench.page(on.person, "/place-plan"));
}

TEST(DeskPlaces, H36_TheWatchGoesOnForFourteenDaysEachDayAnew) {
  OnBench on;
  on.injected_there();
  on.bench.must(on.bench.record(on.person, finding("keep off", "2027-03-16T13:50:00+01:00")));
  const auto says = [&](const char* now) {
    on.bench.set_clock(now);
    return TestBench::all_text(on.bench.must(on.bench.page("/api/today")));
  };
  EXPECT_NE(says("2027-03-16T15:00:00+01:00").find("1 of 14"), std::string::npos)
      << says("2027-03-16T15:00:00+01:00");
  EXPECT_NE(says("2027-03-22T08:00:00+01:00").find("7 of 14"), std::string::npos);
  EXPECT_NE(says("2027-03-29T23:00:00+01:00").find("14 of 14"), std::string::npos);
  EXPECT_EQ(says("2027-03-30T08:00:00+01:00").find("of 14"), std::string::npos);
}

TEST(DeskPlaces, H17_ABlockedAreaOpensByAnExaminationNeverByTime) {
  OnBench on;
  on.bench.must(
      on.bench.record(on.person, finding("keep off", "2027-03-10T13:50:00+01:00", "inflamed")));
  on.bench.set_clock("2028-03-16T14:10:00+01:00");  // a year later
  auto page = on.page();
  EXPECT_EQ(TestBench::at(page, "/areas/0/kept_off").flag, true);
  on.bench.must(
      on.bench.record(on.person, finding("may be used", "2028-03-16T13:50:00+01:00", "inflamed")));
  page = on.page();
  EXPECT_EQ(TestBench::at(page, "/areas/0/kept_off").flag, false);
}

TEST(DeskPlaces, H17_ThePlanOnPaperEntersNoBlockedAreaAndStaysAsItWasGiven) {
  OnBench on;
  on.bench.must(
      on.bench.record(on.person, finding("keep off", "2027-03-10T13:50:00+01:00", "scar")));
  const auto sheet = on.bench.must(on.bench.page(on.person, "/place-plan"));
  const auto& fact = TestBench::at(sheet, "/give/facts/0");
  const auto* places = fact.find("places");
  ASSERT_NE(places, nullptr);
  EXPECT_EQ(places->members.size(), 28U);
  std::set<std::string> seen;
  for (const auto& place : places->members) {
    const auto& at = *place.value.find("spot");
    const auto x = std::stod(at.find("x_mm")->text), y = std::stod(at.find("y_mm")->text);
    const auto zone = place.value.find("zone")->text;
    EXPECT_TRUE(seen.insert(zone + at.find("x_mm")->text + "/" + at.find("y_mm")->text).second);
    if (zone.starts_with("abdomen")) {
      EXPECT_GT((x - 72) * (x - 72) + (y + 44) * (y + 44), 25.0 * 25.0);
    }
  }
  const auto given = TestBench::at(sheet, "/give/facts");
  on.bench.must(on.bench.desk().record(on.person, json::object({{"facts", given}}),
                                       on.bench.desk().caller()));
  on.bench.set_clock("2027-03-18T09:00:00+01:00");
  // A day later, one injection done elsewhere: the days that remain are as they were promised.
  on.bench.must(
      on.bench.record(on.person, injection("00000000000000000000000000000f02",
                                           "2027-03-17T22:00:00+01:00", "buttock left", "0", "0")));
  on.bench.set_clock("2027-03-18T09:00:00+01:00");
  const auto again = on.bench.must(on.bench.page(on.person, "/place-plan"));
  const auto* later = TestBench::at(again, "/give/facts/0").find("places");
  ASSERT_NE(later, nullptr);
  std::size_t same = 0;
  for (const auto& place : later->members)
    for (const auto& before : places->members) same += place.value == before.value ? 1 : 0;
  EXPECT_EQ(same, 26U) << "19 March to 13 April were promised";
}

TEST(DeskPlaces, H16_ANeedleThatReachesMuscleIsChangedFirst) {
  OnBench on("8", R"(,"parts":[{"slot":"bedtime","part":"thigh"}])");
  const auto card = on.next();
  const auto words = TestBench::all_text(*card.find("cautions"));
  EXPECT_NE(words.find("8 mm"), std::string::npos) << words;
  EXPECT_NE(words.find("4 mm"), std::string::npos) << words;
  OnBench fine("4", R"(,"parts":[{"slot":"bedtime","part":"thigh"}])");
  EXPECT_EQ(TestBench::all_text(*fine.next().find("cautions")).find("muscle"), std::string::npos);
}

TEST(DeskPlaces, H61_H17_H16_AtTheTelephoneThePlaceAndTheNeedleAreThoseOfTheCard) {
  OnBench on("8", R"(,"parts":[{"slot":"bedtime","part":"thigh"}])");
  const auto phone = TestBench::at(
      on.bench.must(on.bench.page("/api/phone", TestBench::call_about(on.person))), "/card");
  const auto card = on.next();
  EXPECT_EQ(step_of(phone, "look")->find("caption")->text,
            step_of(card, "look")->find("caption")->text);
  EXPECT_EQ(TestBench::all_text(*phone.find("cautions")),
            TestBench::all_text(*card.find("cautions")));
  EXPECT_NE(TestBench::all_text(*phone.find("cautions")).find("8 mm"), std::string::npos);
}

TEST(DeskPlaces, H61_H27_WhatHasNoFigureIsTheNeedlesDepthNotTheDose) {
  TestBench bench;
  const auto ingrid = bench.enrol("Ingrid Adebayo", "1937-02-24", "HS 02988");
  bench.order(ingrid);
  bench.pen_and_cartridge(ingrid);
  bench.must(bench.record(ingrid, body));
  bench.must(bench.record(ingrid, rules()));
  const auto card = TestBench::at(bench.must(bench.page(ingrid)), "/next");
  EXPECT_EQ(TestBench::at(card, "/state").text, "dial");
  const auto cautions = TestBench::all_text(*card.find("cautions"));
  EXPECT_NE(cautions.find("Needle depth:"), std::string::npos) << cautions;
}

TEST(DeskPlaces, H27_H33_WhereThereIsNoNumberTheReasonStandsAndNoAdultsFigure) {
  OnBench on("4", R"(,"parts":[{"slot":"bedtime","part":"thigh"}])");
  on.bench.must(on.bench.record(
      on.person,
      R"({"what":"body measured","happened":"2027-03-03T09:20:00+01:00","sex":"female","height_cm":164,"due":"2027-05-01"})"));
  const auto cautions = TestBench::all_text(*on.next().find("cautions"));
  EXPECT_NE(cautions.find("pregnan"), std::string::npos) << cautions;
  const auto page = on.page();
  EXPECT_NE(page.find("reach")->find("refusal"), nullptr) << "the thigh in pregnancy";
}

TEST(DeskPlaces, H16_NoZoneIsOfferedThatTheRulesDoNotAllow) {
  OnBench on("12.7", R"(,"parts":[{"slot":"bedtime","part":"thigh"}])");
  const auto reach = TestBench::all_text(*on.page().find("reach"));
  EXPECT_EQ(reach.find("Buttock"), std::string::npos) << reach;
  EXPECT_EQ(reach.find("buttock"), std::string::npos);
}

TEST(DeskPlaces, ThePhoneDeskSaysHowDeepWithoutAPerson) {
  TestBench bench;
  const auto form = bench.must(bench.page("/api/phone/reach"));
  EXPECT_EQ(form.find("parts")->members.size(), 4U);
  const auto answer = bench.must(bench.page(
      "/api/phone/reach",
      R"({"zone":"thigh","needle_mm":"8","angle_deg":"90","fold":false,"can_fold":true,"people":"adults","sex":"","bmi_kg_m2":"","age_years":"","pregnancy_week":"","measured_mm":"","measured_sd_mm":""})"));
  const auto words = TestBench::all_text(*answer.find("reach")->find("lead"));
  EXPECT_NE(words.find("25"), std::string::npos) << words;
  const auto child = bench.must(bench.page(
      "/api/phone/reach",
      R"({"zone":"thigh","needle_mm":"4","angle_deg":"90","fold":false,"people":"adults","age_years":"4"})"));
  EXPECT_NE(child.find("reach")->find("refusal"), nullptr) << "H27: adults' figures for a child";
}

TEST(DeskPlaces, AnInjectionIsPutWhereItReallyWent) {
  OnBench on;
  on.injected_there();
  on.bench.must(on.bench.record(
      on.person,
      R"({"what":"place noted","injection":"00000000000000000000000000000f01","zone":"thigh left","spot":{"x_mm":5,"y_mm":-12}})"));
  const auto page = on.page();
  EXPECT_EQ(TestBench::at(page, "/injections/0/zone").text, "thigh left");
  EXPECT_EQ(TestBench::at(page, "/injections/0/x_mm").text, "5");
}

TEST(DeskPlaces, H17_NewlyFoundHardenedTissueIsNotOpenedInTheSameBreath) {
  OnBench on;
  const auto found = finding("may be used", "2027-03-16T13:50:00+01:00");
  const auto asked = on.bench.must(on.bench.record(on.person, found));
  EXPECT_EQ(TestBench::at(asked, "/ask/code").text, "ask.hardened_used");
  // Known and felt again it opens by an examination, as ever.
  on.bench.must(on.bench.record(on.person, finding("keep off", "2027-03-15T13:50:00+01:00")));
  EXPECT_EQ(on.bench.must(on.bench.record(on.person, found)).find("ask"), nullptr);
}

TEST(DeskPlaces, H17_AnInjectionIntoAnAreaThatIsKeptOffIsAskedAbout) {
  OnBench on;
  on.bench.must(
      on.bench.record(on.person, finding("keep off", "2027-03-10T13:50:00+01:00", "scar")));
  const auto code = [&](const std::string& fact) {
    return TestBench::at(on.bench.must(on.bench.record(on.person, fact)), "/ask/code").text;
  };
  EXPECT_EQ(code(injection("00000000000000000000000000000f01", "2027-03-14T22:00:00+01:00",
                           "abdomen left lower", "70", "-40")),
            "ask.into_kept_off");
  EXPECT_EQ(code(injection("00000000000000000000000000000f02", "2027-03-14T22:00:00+01:00",
                           "abdomen left lower", "72", "-100")),
            "");
  auto zone_only = injection("00000000000000000000000000000f03", "2027-03-15T22:00:00+01:00",
                             "abdomen left lower", "0", "0");
  zone_only.replace(zone_only.find(R"(,"spot")"), std::string::npos, "}");
  EXPECT_EQ(code(zone_only), "ask.near_kept_off");
  on.bench.must(on.bench.record(on.person, zone_only, R"("confirmed":true,)"));
  EXPECT_EQ(
      code(
          R"({"what":"place noted","injection":"00000000000000000000000000000f03","zone":"abdomen left lower","spot":{"x_mm":70,"y_mm":-40}})"),
      "ask.into_kept_off");
}

TEST(DeskPlaces, H17_TheCardSaysWhichLumpOfTheZoneToKeepOff) {
  OnBench on("4", R"(,"parts":[{"slot":"bedtime","part":"abdomen"}])");
  bool in_its_zone = false;
  on.bench.must(
      on.bench.record(on.person, finding("keep off", "2027-03-10T13:50:00+01:00", "scar")));
  for (const auto* now : {"2027-03-16T14:10:00+01:00", "2027-03-23T14:10:00+01:00",
                          "2027-03-30T14:10:00+02:00", "2027-04-06T14:10:00+02:00"}) {
    on.bench.set_clock(now);
    const auto card = on.next();
    const auto* look = step_of(card, "look");
    if (look == nullptr) continue;  // past what the cartridge serves
    const auto caption = look->find("caption")->text;
    const bool here = caption.starts_with("Left belly, lower");
    EXPECT_EQ(caption.find(": a scar.") != std::string::npos, here) << caption;
    in_its_zone = in_its_zone || here;
  }
  EXPECT_TRUE(in_its_zone);
}

TEST(DeskPlaces, H17_NoTwoPlacesOnPaperAreToldInTheSameWordsWithinTheRest) {
  OnBench on;
  const std::map<std::string, std::string> hours{
      {"breakfast", "07:00"}, {"lunch", "12:00"}, {"supper", "18:00"}};
  for (const auto& [slot, hour] : hours) {
    const std::string line = "00000000000000000000000000000b" + hour.substr(0, 2);
    on.bench.must(on.bench.record(
        on.person,
        R"({"id":")" + line +
            R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin lispro","strength_units_per_ml":100,"purpose":"mealtime","slots":[{"slot":")" +
            slot + R"(","at":")" + hour +
            R"(","minutes_before":60,"minutes_after":60,"units":4}],"least_units":2,"most_units":8,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})",
        R"("confirmed":true,)"));
  }
  const auto sheet = on.bench.must(on.bench.page(on.person, "/place-plan"));
  std::map<std::string, std::string> seen;  // what a cell says, with its zone: the day
  const auto& weeks = TestBench::at(sheet, "/weeks");
  ASSERT_EQ(weeks.members.size(), 4U);
  std::size_t beside = 0;
  for (const auto& week : weeks.members) {
    for (const auto& row : TestBench::at(week.value, "/rows").members) {
      const auto& cells = TestBench::at(row.value, "/cells").members;
      for (std::size_t i = 0; i < cells.size(); ++i) {
        const auto said = TestBench::at(cells[i].value, "/text").text;
        const auto head = TestBench::at(week.value, "/heads/" + std::to_string(i + 1)).text;
        const auto zone = head.substr(head.find(':') + 1) + said;
        beside += said.find("cm further") != std::string::npos ? 1 : 0;
        EXPECT_TRUE(seen.emplace(zone, TestBench::at(row.value, "/day").text).second)
            << zone << " on " << seen[zone] << " and " << TestBench::at(row.value, "/day").text;
      }
    }
  }
  EXPECT_GT(beside, 0U) << "fingers are wider than the spacing";
}

TEST(DeskPlaces, H36_AfterHardenedTissueWasLeftAnAnswerAboutLowsIsRecorded) {
  OnBench on;
  on.injected_there();
  const auto recorded =
      on.bench.must(on.bench.record(on.person, finding("keep off", "2027-03-16T13:50:00+01:00")));
  const auto today = TestBench::all_text(on.bench.must(on.bench.page("/api/today")));
  EXPECT_NE(today.find("/skin#lows"), std::string::npos) << today;
  const auto lows = TestBench::at(on.page(), "/lows");
  ASSERT_EQ(TestBench::at(lows, "/records").members.size(), 2U);
  on.bench.must(
      on.bench.record(on.person, json::to_text(TestBench::at(lows, "/records/0/facts/0"))));
  EXPECT_EQ(TestBench::at(on.page(), "/lows").type, json::Type::null);
  on.bench.set_clock("2027-03-17T14:10:00+01:00");
  const auto next = TestBench::at(on.page(), "/lows/records/1/facts/0");
  auto low = json::to_text(next);
  EXPECT_NE(low.find("00000000000000000000000000000a01"), std::string::npos) << "its line";
  const auto opened = on.bench.must(on.bench.record(on.person, low));
  EXPECT_EQ(opened.find("ask"), nullptr);
  static_cast<void>(recorded);
}

TEST(DeskPlaces, H16_H61_AChildsPlanSaysTheNeedleAsTheCardDoes) {
  TestBench bench;
  const auto tove = bench.enrol("Tove Marklund", "2020-08-21", "HS 05120",
                                R"({"weight_kg":24,"weighed_on":"2027-03-01"})");
  bench.must(bench.record(
      tove,
      R"({"what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":1,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"20:00","units":4}],"least_units":2,"most_units":6,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran"})",
      R"("confirmed":true,)"));
  bench.must(bench.record(
      tove,
      R"({"what":"body measured","happened":"2027-03-02T09:20:00+01:00","sex":"female","height_cm":122})"));
  bench.must(bench.record(tove, rules(), R"("confirmed":true,)"));
  const auto plan =
      TestBench::all_text(TestBench::at(bench.must(bench.page(tove, "/place-plan")), "/rules"));
  EXPECT_EQ(plan.find("no skin fold"), std::string::npos) << plan;
  EXPECT_NE(plan.find("lifted skin fold"), std::string::npos) << plan;
}

}  // namespace
}  // namespace penstock::desk
