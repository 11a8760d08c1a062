// Every refusal, question and caution of travel, read out in English: nothing tells anybody to take
// a dose, and background insulin is never left out (H18, H38).
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/travel/travel.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;
const std::initializer_list<std::string_view> own_codes = {"travel.c", "travel.q", "travel.o",
                                                           "travel.b", "known/"};
void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, own_codes);
}

/// One line of background insulin; what is given in `line` stands instead.
std::string trip(std::string_view rest, std::string_view line = "", bool bare = false) {
  std::string text = R"({"leaves": "2027-03-20", "returns": "2027-04-02", "lines": [)";
  if (bare) return text + std::string(line) + "]" + std::string(rest) + "}";
  text += R"({"insulin": "insulin glargine")";
  const auto with = [&](std::string_view field, std::string_view value) {
    const std::string key = "\"" + std::string(field) + "\"";
    if (line.find(key) == std::string_view::npos) text += ", " + key + ": " + std::string(value);
  };
  with("purpose", R"("background")");
  with("units_a_day", "21");
  with("cartridge_units", "300");
  with("in_use_days", "28");
  return text + std::string(line) + "}]" + std::string(rest) + "}";
}

std::vector<std::string> answered() {
  std::vector<std::string> all{json::to_text(verbs::travel_example())};
  for (const auto* shift :
       {"0", "60", "150", "240", "300", "570", "-120", "-180", "-330", "-720", "-1380", "1260"}) {
    all.push_back(trip(std::string(R"(, "shift_minutes": )") + shift));
  }
  all.push_back(trip(R"(, "shift_minutes": 300, "return_shift_minutes": 240)"));
  for (const auto* shift : {"540", "-540"})  // half of one unit is no step
    all.push_back(trip(std::string(R"(, "shift_minutes": )") + shift, R"(, "units_a_day": 1)"));
  all.push_back(trip(R"(, "shift_minutes": 480, "warmest_celsius": 41)", R"(, "doses_a_day": 2)"));
  all.push_back(trip(R"(, "warmest_celsius": -5)"));
  all.push_back(trip(R"(, "pharmacy": "yes", "shift_minutes": 480)",
                     R"(, "purpose": "mealtime", "in_use_days": 10)"));
  return all;
}

TEST(TravelWords, EveryQuestionOptionAndCautionIsASentence) {
  std::set<std::string, std::less<>> cautions, says;
  for (const auto& request : answered()) {
    const auto read = verbs::parse_travel_request(request);
    ASSERT_TRUE(read) << request;
    const auto found = travel::travel(*read);
    ASSERT_TRUE(found) << request;
    is_whole(verbs::travel_text(*read, *found, say), request);
    cautions.insert(found->cautions.begin(), found->cautions.end());
    for (const auto& question : found->questions) {
      for (const auto& option : question.options) {
        says.insert(std::string(travel::says_names[static_cast<std::size_t>(option.says)]));
      }
    }
    const auto result = verbs::run_verb(verbs::travel_verb, request, say);
    is_whole(result->find("text")->text, request);
    is_whole(result->find("defer")->text, request);
  }
  for (const auto code : travel::cautions()) EXPECT_TRUE(cautions.contains(code)) << code;
  for (const auto name : travel::says_names) EXPECT_TRUE(says.contains(name)) << name;
}

TEST(TravelWords, H18_H38_ItAsksAndNeverTellsToTakeADose) {
  for (const auto& request : answered()) {
    const auto read = verbs::parse_travel_request(request);
    const auto found = travel::travel(*read);
    const auto text = verbs::travel_text(*read, *found, say);
    for (const auto* order : {"Take ", "take this", "inject ", "Inject "}) {
      EXPECT_EQ(text.find(order), std::string::npos) << order << " in\n" << text;
    }
    EXPECT_NE(text.find("The prescriber decides about doses and times"), std::string::npos);
    const bool background = read->lines[0].purpose == travel::Purpose::background;
    EXPECT_EQ(text.find("Never miss background insulin") != std::string::npos, background);
    if (!found->questions.empty()) {
      EXPECT_NE(text.find("Nothing here is a dose to take"), std::string::npos) << text;
    }
  }
}

TEST(TravelWords, TheExampleSaysDaysBagsNumbersAndSources) {
  const auto read = verbs::parse_travel_request(verbs::travel_example());
  const auto text = verbs::travel_text(*read, *travel::travel(*read), say);
  for (const auto* part :
       {"14 days", "insulin glargine: 308 units", "Carry 4: 2 in each bag",
        "First bag, in the cabin", "Second bag, also in the cabin", "forward 9 h",
        "10.5 units by its formula", "10 units in the pen’s steps", "10 and 10 units", "Pinsker",
        "common practice", "never next to ice", "hold baggage may be lost"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part << " is not in\n" << text;
  }
}

TEST(TravelWords, H25_EveryRefusalIsASentenceThatSaysWhatToDo) {
  const std::string refused[] = {
      R"({"leaves": "2027-03-20", "returns": "2027-03-19", "lines": []})",
      R"({"leaves": "2027-03-20", "returns": "2028-04-19", "lines": []})",
      trip(R"(, "shift_minutes": 1575)"),
      trip(R"(, "shift_minutes": 1)"),
      trip(R"(, "shift_minutes": -360, "home_utc_offset_minutes": 60,
           "there_utc_offset_minutes": 420)"),
      trip(R"(, "shift_minutes": 360, "return_shift_minutes": -360)"),
      trip(R"(, "warmest_celsius": 60.1)"),
      trip("", "", true),
      trip("", R"(, "units_a_day": 0)"),
      trip("", R"(, "prime_units_a_day": 1500.01)"),
      trip("", R"(, "cartridge_units": 0)"),
      trip("", R"(, "new_cartridge_prime_units": 300)"),
      trip("", R"(, "in_use_days": 0)"),
      trip("", R"(, "doses_a_day": 25)"),
      trip("", R"(, "step_units": 1500.01)"),
      trip("", R"(, "in_use_most_celsius": 46)"),
      trip(R"(, "needles_a_day": 49)")};
  const auto met = in_words::refused_in_words(verbs::travel_verb, refused, own_codes);
  const auto all = travel::refusals();
  EXPECT_TRUE(std::equal(met.begin(), met.end(), all.begin(), all.end()));
}

}  // namespace
}  // namespace penstock
