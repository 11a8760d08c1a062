// nurse A17: what is asked about a child's dose and needle, and what card, sheet and reach say.
#include <gtest/gtest.h>

#include <algorithm>

#include "shell/desk/desk.hpp"
#include "shell/desk/internal/test_bench.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

std::string code(const Result<json::Value>& answer) {
  if (!answer) return answer.error().code;
  const auto& asked = Bench::at(*answer, "/ask/code");
  return asked.text.empty() ? "recorded" : asked.text;
}
bool has(const std::string& text, std::string_view what) {
  return text.find(what) != std::string::npos;
}

// Seven years old, 24.8 kg; a school nurse injects.
struct Child : Bench {
  Id person;
  Child()
      : Bench("2027-03-16T21:50:00+01:00"),
        person(enrol("Tove Marklund", "2019-08-21", "HS 05120",
                     R"({"weight_kg":24.8,"weighed_on":"2027-02-20","injector":"school nurse"})")) {
    must(record(person, line("00000000000000000000000000000a01", "6.5"), R"("confirmed":true,)"));
    must(record(
        person,
        R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)" +
            reading_of("6.5") + "}"));
    must(record(
        person,
        R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":")" + std::string(pen) +
            R"(","copy":"reusable-half-30","insulin":"insulin glargine","strength_units_per_ml":100},)"
            R"({"what":"cartridge loaded","happened":"2027-03-10T08:00:00+01:00","cartridge":")" +
            cartridge + R"(","pen":")" + pen +
            R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true},)"
            R"({"what":"body measured","happened":"2027-03-02T09:20:00+01:00","height_cm":125},)"
            R"({"what":"place rules set","happened":"2027-03-02T09:21:00+01:00","zones":["abdomen left upper","abdomen right upper","thigh left","thigh right"],"rest_days":28,"spacing_mm":10,"navel_clear_mm":50,"turn":"each week","needle_mm":5,"angle_deg":90,"fold":"no","can_fold":"yes"})",
        R"("confirmed":true,)"));
  }
  static std::string line(const std::string& id, const std::string& units) {
    return R"({"id":")" + id +
           R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":)" +
           units +
           R"(}],"least_units":1,"most_units":70,"from":"2027-03-02","prescriber":"Dr Osei","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})";
  }
  static std::string injected(const std::string& units, const std::string& more = "") {
    return R"({"what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" +
           std::string(cartridge) + R"(","units":)" + units + more + "}";
  }
};

// 160 kg at four years was recorded in silence, and no dose was too much for it.
TEST(DeskChild, H25_H63_AWeightThatIsImpossibleForTheAgeIsAskedAbout) {
  Bench bench("2027-03-16T09:00:00+01:00");
  const auto noted = [](const std::string& kg) {
    return R"({"what":"background noted","background":{"weight_kg":)" + kg +
           R"(,"weighed_on":"2027-03-15"}})";
  };
  const auto person = bench.enrol("Tove Marklund", "2023-01-21", "HS 05121", "{}");
  for (const auto* kg : {"160", "51.1", "5.6"})
    EXPECT_EQ(code(bench.record(person, noted(kg))), "ask.childs_weight_odd") << kg;
  const auto told = bench.record(person, noted("160"));
  const auto text = Bench::all_text(Bench::must(told));
  EXPECT_TRUE(has(text, "160 kg at the age of 4 years")) << text;
  EXPECT_EQ(code(bench.record(person, noted("160"), R"("confirmed":true,)")), "recorded");
  for (const auto* kg : {"51", "16"}) EXPECT_EQ(code(bench.record(person, noted(kg))), "recorded");
  // At registration, too: the birth date stands in the same fact.
  const auto registered = [&](const std::string& born, const std::string& kg) {
    return code(bench.desk().register_person(
        Bench::request(R"({"id":"00000000000000000000000000000f01","facts":[{"what":)"
                       R"("person registered","full_name":"Piet Haukila","born":")" +
                       born + R"(","number":"HS 05122","zone":"Europe/Berlin","background":)" +
                       R"({"weight_kg":)" + kg + R"(,"weighed_on":"2027-03-15"}}]})"),
        bench.desk().caller()));
  };
  EXPECT_EQ(registered("2023-01-21", "160"), "ask.childs_weight_odd");
  EXPECT_EQ(registered("1983-01-21", "160"), "recorded");
}

TEST(DeskChild, A17_H25_H63_AChildsDoseIsAskedAboutTypedOrCopied) {
  Child child;
  EXPECT_EQ(code(child.record(child.person, Child::injected("28"))), "ask.childs_dose");
  EXPECT_EQ(code(child.record(child.person, Child::injected("65"))), "ask.childs_dose");
  // Inside the order's limits, but not what it says.
  const std::string under = R"(,"line":"00000000000000000000000000000a01","slot":"bedtime")";
  EXPECT_EQ(code(child.record(child.person, Child::injected("28", under))), "ask.childs_dose");
  EXPECT_EQ(code(child.record(child.person, Child::injected("6.5", under))), "recorded");
  const auto copy = child.record(
      child.person, R"({"what":"order line ended","happened":"2027-03-16T21:00:00+01:00",)"
                    R"("line":"00000000000000000000000000000a01","last_day":"2027-03-15",)"
                    R"("prescriber":"Dr Osei","reason":"changed"},)" +
                        Child::line("00000000000000000000000000000a02", "28"));
  // Asked at once with what else is odd about the copy.
  const auto asked = Bench::all_text(Bench::must(copy));
  EXPECT_TRUE(has(asked, "for a child aged 7 who weighs 24.8 kg: the usual limit is 14.88 units"))
      << asked;
}

TEST(DeskChild, A17_H25_AChildsDoseThatComesWithAFileIsAskedAbout) {
  Child child;
  const auto seen = Bench::must(
      child.desk().diary(child.person, "tove.csv",
                         "time,what,units,cartridge,zone,spot,note\n2027-03-14T22:00,injected,28," +
                             std::string(Bench::cartridge) + ",,,\n",
                         "", child.desk().caller()));
  const auto all = Bench::all_text(seen);
  EXPECT_TRUE(has(all, "for a child aged 7 who weighs 24.8 kg")) << all;
  Bench::must(child.record(child.person, Child::injected("28"), R"("confirmed":true,)"));
  const auto file = child.desk().export_journal(child.person);
  ASSERT_TRUE(file);
  Bench other("2027-03-16T22:00:00+01:00");
  const auto preview =
      Bench::must(other.desk().import_journal(*file, "theirs.json", "", other.desk().caller()));
  EXPECT_TRUE(has(Bench::all_text(preview), "for a child aged 7 who weighs 24.8 kg"))
      << Bench::all_text(preview);
}

TEST(DeskChild, A17_H16_H46_H61_H63_CardSheetAndReachSayTheSameOfAChildsNeedle) {
  Child child;
  const auto page = Bench::must(child.page(child.person));
  const auto card = Bench::all_text(Bench::at(page, "/next"));
  const auto sheet = Bench::all_text(Bench::must(child.page(child.person, "/steps")));
  const auto reach =
      Bench::all_text(Bench::at(Bench::must(child.page(child.person, "/places")), "/reach"));
  for (const auto* said : {&card, &sheet}) {
    EXPECT_TRUE(has(*said, "afety needle")) << *said;
    EXPECT_TRUE(has(*said, "no longer than 6 mm")) << *said;
    EXPECT_TRUE(has(*said, "fold")) << *said;
    EXPECT_TRUE(has(*said, "45°")) << *said;
    EXPECT_FALSE(has(*said, "8 mm")) << *said;
    EXPECT_FALSE(has(*said, "the outer cap open")) << *said;  // no shield is put back on (H46)
    EXPECT_FALSE(has(*said, "traight")) << *said;
  }
  EXPECT_TRUE(has(reach, "no longer than \n6 mm\n")) << reach;
  EXPECT_TRUE(has(reach, "45") && has(reach, "fold") && has(reach, "safety needle")) << reach;
  EXPECT_FALSE(has(Bench::all_text(Bench::at(Bench::must(child.page(child.person, "/supplies")),
                                             "/forms/needles")),
                   "8 mm"));
  EXPECT_EQ(code(child.record(
                child.person,
                R"({"what":"needle on","happened":"2027-03-16T21:45:00+01:00","pen":")" +
                    std::string(Bench::pen) + R"(","needle":"safety-8-mm-30g","length_mm":8})")),
            "ask.childs_needle");
}

// Twenty-five units for a child of three: asked about at the copy, and not a word on the card.
TEST(DeskChild, H25_H61_H63_WhatIsUnusualForAChildStandsOnTheCardToo) {
  Child child;
  const auto card = [&] {
    auto text = Bench::all_text(Bench::at(Bench::must(child.page(child.person)), "/next"));
    std::erase(text, '\n');
    return text;
  };
  EXPECT_FALSE(has(card(), "for a child aged")) << card();
  auto line = Child::line("00000000000000000000000000000a02", "28");
  line.insert(line.size() - 1, R"(,"replaces":"00000000000000000000000000000a01")");
  Bench::must(child.record(child.person, line, R"("confirmed":true,)"));
  Bench::must(child.record(
      child.person,
      R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":"00000000000000000000000000000a02","checked_by":"Jonas Abara",)" +
          Bench::reading_of("28") + "}"));
  EXPECT_TRUE(has(card(), "28 units for a child aged 7 who weighs 24.8 kg")) << card();
}

}  // namespace
}  // namespace penstock::desk
