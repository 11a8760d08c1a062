// Every refusal, caution, people and model of reach, asked for as a person would, read out in
// English: each has its sentence, no hole is left open, the people are named (H33), and what is
// under half a percent is not printed as a number (H16).
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/verbs/reach/reach.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;

void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, {"people/", "part/", "known/", "model/"});
}

/// One request for each refusal, in the declared order.
constexpr std::string_view refused[] = {
    R"({"zone": "thigh", "needle_mm": 1})",
    R"({"zone": "thigh", "needle_mm": 8, "angle_deg": 10})",
    R"({"zone": "thigh", "needle_mm": 8, "pressed_percent": 90})",
    R"({"zone": "thigh", "needle_mm": 8, "sex": "female"})",
    R"({"zone": "thigh", "needle_mm": 8, "sex": "female", "bmi_kg_m2": 5})",
    R"({"zone": "thigh", "needle_mm": 8, "age_years": 150})",
    R"({"zone": "thigh", "needle_mm": 8, "measured_mm": 500})",
    R"({"zone": "thigh", "needle_mm": 8, "measured_mm": 10, "measured_sd_mm": 20})",
    R"({"zone": "thigh", "needle_mm": 8, "people": "turkish adults", "age_years": 4})",
    R"({"zone": "thigh", "needle_mm": 8, "pregnancy_week": 34})",
    R"({"zone": "thigh", "needle_mm": 4, "people": "children"})",
    R"({"zone": "thigh", "needle_mm": 4, "people": "children", "age_years": 20})",
    R"({"zone": "abdomen", "needle_mm": 4, "people": "pregnant women"})",
    R"({"zone": "abdomen", "needle_mm": 4, "people": "pregnant women", "pregnancy_week": 12})",
    R"({"zone": "thigh", "needle_mm": 4, "sex": "male", "bmi_kg_m2": 17.2})",
    R"({"zone": "arm", "needle_mm": 4, "people": "korean adults", "sex": "male", "bmi_kg_m2": 22})",
    R"({"zone": "thigh", "needle_mm": 4, "people": "korean adults"})",
    R"({"zone": "arm", "needle_mm": 8, "fold": true, "can_fold": false})"};

TEST(ReachWords, H33_EveryRefusalIsASentenceThatNamesThePeopleAndWhatToDo) {
  std::vector<std::string> met;
  for (const auto request : refused) {
    const auto result = verbs::run_verb(verbs::reach_verb, request, say);
    ASSERT_FALSE(result) << request;
    const auto& error = result.error();
    met.push_back(error.code);
    EXPECT_TRUE(words::english().has_error(error.code)) << error.code;
    const auto said = words::english().say(error);
    is_whole(said.what, error.code);
    is_whole(said.do_this, error.code);
    const auto people = std::ranges::find(error.args, "people", &Arg::name);
    if (error.kind != Kind::refused) continue;
    EXPECT_TRUE(people != error.args.end() || error.code == "reach.no_fold") << error.code;
    if (people == error.args.end()) continue;
    EXPECT_NE(said.what.find(words::english().name(people->text)), std::string::npos) << said.what;
  }
  const auto all = reach::refusals();
  EXPECT_TRUE(std::equal(met.begin(), met.end(), all.begin(), all.end()));
}

constexpr std::string_view answered[] = {
    R"({"zone": "thigh", "needle_mm": 8})",
    R"({"zone": "thigh", "needle_mm": 8, "sex": "female", "bmi_kg_m2": 31.5})",
    R"({"zone": "abdomen", "needle_mm": 4, "angle_deg": 45})",
    R"({"zone": "arm left", "needle_mm": 5, "people": "korean adults", "fold": true})",
    R"({"zone": "thigh", "needle_mm": 6, "people": "turkish adults", "angle_deg": 60, "fold": true})",
    R"({"zone": "abdomen", "needle_mm": 5, "people": "filipino adults"})",
    R"({"zone": "abdomen", "needle_mm": 4, "people": "children", "age_years": 4})",
    R"({"zone": "abdomen", "needle_mm": 8, "people": "pregnant women", "pregnancy_week": 34})",
    R"({"zone": "buttock", "needle_mm": 4})",
    R"({"zone": "thigh", "needle_mm": 3, "people": "children", "age_years": 4, "fold": true,
        "angle_deg": 45, "measured_mm": 1.5})"};

TEST(ReachWords, EveryAnswerCautionPeopleAndModelIsASentence) {
  std::set<std::string> cautions, people, models, changes;
  for (const auto request : answered) {
    const auto result = verbs::run_verb(verbs::reach_verb, request, say);
    ASSERT_TRUE(result) << request << result.error().code;
    for (const auto& item : result->find("cautions")->members) {
      cautions.insert(item.value.find("code")->text);
    }
    for (const auto& item : result->find("changes")->members) {
      changes.insert(item.value.find("change")->text);
      is_whole(item.value.find("text")->text, request);
    }
    people.insert(result->find("people")->text);
    models.insert(result->find("model")->text);
    for (const auto* key : {"text", "for_whom", "defer", "source", "skin_source"}) {
      is_whole(result->find(key)->text, request);
    }
    const auto read = verbs::parse_reach_request(request);
    is_whole(verbs::reach_text(*read, *reach::reach(*read), say), request);
  }
  for (const auto code : reach::cautions())
    EXPECT_TRUE(cautions.contains(std::string(code))) << code;
  for (const auto name : reach::people_names)
    EXPECT_TRUE(people.contains(std::string(name))) << name;
  for (const auto name : reach::model_names)
    EXPECT_TRUE(models.contains(std::string(name))) << name;
  for (const auto name : reach::change_names) {
    EXPECT_TRUE(changes.contains(std::string(name))) << name;
  }
}

TEST(ReachWords, H16_TheTextNamesTheChanceItsBandTheBetterChangeAndWhomItIsFor) {
  const auto read = verbs::parse_reach_request(verbs::reach_example());
  const auto text = verbs::reach_text(*read, *reach::reach(*read), say);
  for (const auto* part : {"thigh", "8 mm needle straight in", "In muscle: 25% (21% to 30%)",
                           "In skin: under 0.5%", "a 4 mm needle", "in muscle 1.6%", "US adults",
                           "388 people", "18 to 85", "19.4 to 64.5", "Hirsch", "order"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part << " is not in\n" << text;
  }
  // Better changes come best first, each on its line.
  EXPECT_LT(text.find("a 4 mm needle"), text.find("a lifted skin fold"));
}

}  // namespace
}  // namespace penstock
