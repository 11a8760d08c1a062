// Every refusal, verdict and caution of warmth, read out in English; and that no percentage ever
// stands where the answer is for the person (H49).
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/verbs/warmth/warmth.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;
const std::initializer_list<std::string_view> own_codes = {"warmth."};
void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, own_codes);
}

constexpr std::string_view answered[] = {
    R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 240}]})",
    R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 240}], "in_use_most_celsius": 37,
        "insulin": "insulin glargine"})",
    R"({"in_use_days": 10, "spells": [{"celsius": 20.5, "hours": 241.5}]})",
    R"({"in_use_days": 28, "spells": [{"celsius": 1, "hours": 2}], "insulin": "insulin lispro"})",
    R"({"in_use_days": 28, "spells": [{"celsius": 60, "hours": 2}], "in_use_most_celsius": 30})",
    R"({"in_use_days": 28, "spells": [{"celsius": 24, "hours": 2}], "in_use_most_celsius": 30})",
    R"({"in_use_days": 28, "spells": [{"celsius": 45, "hours": 720}]})",
    R"({"in_use_days": 28, "frozen": true})",
    R"({"in_use_days": 28, "spells": [{"celsius": -3, "hours": 2}, {"celsius": 33, "hours": 900}]})"};

TEST(WarmthWords, EveryAnswerAndCautionIsASentence) {
  std::set<std::string, std::less<>> met;
  for (const auto request : answered) {
    const auto asked = verbs::parse_warmth_request(request);
    ASSERT_TRUE(asked) << request;
    const auto found = verbs::warmth_of(*asked);
    ASSERT_TRUE(found) << request;
    met.insert(found->cautions.begin(), found->cautions.end());
    is_whole(verbs::warmth_text(*asked, *found, say), request);
    const auto result = verbs::run_verb(verbs::warmth_verb, request, say);
    for (const auto* key : {"do_first", "for_person", "for_nurse", "text", "defer"}) {
      is_whole(result->find(key)->text, request);
    }
  }
  for (const auto code : warmth::cautions()) EXPECT_TRUE(met.contains(code)) << code;
}

// Nothing that a person reads, or that stands first, holds the estimate: no percent sign, no word
// for it, and none of its digits.
TEST(WarmthWords, H49_NoPercentageWhereTheAnswerIsForThePerson) {
  for (const auto request : answered) {
    const auto result = verbs::run_verb(verbs::warmth_verb, request, say);
    ASSERT_TRUE(result) << request;
    std::string person;
    for (const auto* key : {"do_first", "for_person", "text", "defer"}) {
      person += result->find(key)->text + "\n";
    }
    for (const auto& caution : result->find("cautions")->members) {
      person += caution.value.find("text")->text + "\n";
    }
    for (const auto* word : {"%", "percent", "per cent", "potency", "lost"}) {
      EXPECT_EQ(person.find(word), std::string::npos) << word << " in " << person;
    }
    const auto* lost = result->find("lost_percent");
    if (lost->type == json::Type::null) continue;
    const auto number = json::to_text(*lost);
    EXPECT_EQ(person.find(" " + number + " "), std::string::npos) << person;
    EXPECT_NE(result->find("for_nurse")->text.find(number + "%"), std::string::npos);
  }
}

TEST(WarmthWords, H49_OnTheCommandLineTheLabelsVerdictIsFirstAndTheNursesPartLast) {
  const auto asked = verbs::parse_warmth_request(verbs::warmth_example());
  const auto text = verbs::warmth_text(*asked, *verbs::warmth_of(*asked), say);
  EXPECT_TRUE(text.starts_with("Do not use it, replace it.\n")) << text;
  // Nobody gave the label's own limit: it is not said to be this one's.
  EXPECT_NE(text.find("37 °C; the strictest label allows at most 25 °C"), std::string::npos);
  const auto head = text.find("For the nurse only");
  ASSERT_NE(head, std::string::npos);
  EXPECT_EQ(text.substr(0, head).find('%'), std::string::npos);
  EXPECT_NE(text.find("1.8%", head), std::string::npos);
  EXPECT_NE(text.find("Pingel", head), std::string::npos);
}

TEST(WarmthWords, H12_H38_ABrokenLimitSaysHowToGetInsulinToday) {
  for (const auto request : answered) {
    const auto result = verbs::run_verb(verbs::warmth_verb, request, say);
    const auto& first = result->find("do_first")->text;
    if (!result->find("limit_broken")->flag) {
      EXPECT_NE(first.find("may be used"), std::string::npos) << request;
      continue;
    }
    for (const auto* part : {"Do not use it, replace it", "unopened spare", "phone the clinic",
                             "Do not miss basal insulin", "emergency"}) {
      EXPECT_NE(first.find(part), std::string::npos) << part << " is not in " << first;
    }
  }
}

TEST(WarmthWords, H25_EveryRefusalIsASentenceThatSaysWhatToDo) {
  std::string many = R"({"in_use_days": 28, "spells": [)";
  for (int i = 0; i < 1'001; ++i) {
    many += std::string(i == 0 ? "" : ",") + R"({"celsius": 9, "hours": 1})";
  }
  const std::string refused[] = {
      R"({"in_use_days": 0, "frozen": true})",
      R"({"in_use_days": 28, "frozen": true, "in_use_most_celsius": 10})",
      R"({"in_use_days": 28, "spells": []})",
      many + "]}",
      R"({"in_use_days": 28, "spells": [{"celsius": 101, "hours": 1}]})",
      R"({"in_use_days": 28, "spells": [{"celsius": 20, "hours": 8784.01}]})"};
  const auto met = in_words::refused_in_words(verbs::warmth_verb, refused, own_codes);
  const auto all = warmth::refusals();
  EXPECT_TRUE(std::equal(met.begin(), met.end(), all.begin(), all.end()));
}

}  // namespace
}  // namespace penstock
