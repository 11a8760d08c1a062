// Every refusal, verdict and caution of accuracy, asked for as a person would, read out in English:
// each has its sentence, no hole is left open, and a pen that fails is set aside without insulin
// being stopped (H38).
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/accuracy/accuracy.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;
const std::initializer_list<std::string_view> own_codes = {"accuracy."};
void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, own_codes);
}
std::string pen(std::string_view rest) {
  return R"({"dose_units": 10, "step_units": 1, )" + std::string(rest) + "}";
}

TEST(AccuracyWords, H25_EveryRefusalIsASentenceThatSaysWhatToDo) {
  const std::string refused[] = {R"({"dose_units": 0, "step_units": 1})",
                                 R"({"dose_units": 10, "step_units": 0})",
                                 R"({"dose_units": 10, "step_units": 3})",
                                 pen(R"("content": 1)"),
                                 pen(R"("confidence": 0.1)"),
                                 R"({"dose_units": 10, "step_units": 1})",
                                 pen(R"("delivered_units": [10])"),
                                 pen(R"("delivered_units": [10, 1500.01])"),
                                 pen(R"("n": 3, "mean_units": 1500.01, "sd_units": 1)"),
                                 pen(R"("n": 3, "mean_units": 10, "sd_units": 1500.01)")};
  const auto met = in_words::refused_in_words(verbs::accuracy_verb, refused, own_codes);
  const auto all = accuracy::refusals();
  EXPECT_TRUE(std::equal(met.begin(), met.end(), all.begin(), all.end()));
}

std::string text_of(const std::string& request) {
  const auto read = verbs::parse_accuracy_request(request);
  EXPECT_TRUE(read) << request;
  const auto found = accuracy::accuracy(*read);
  EXPECT_TRUE(found) << request;
  return verbs::accuracy_text(*read, *found, say);
}

TEST(AccuracyWords, H38_APenThatFailsIsSetAsideAndInsulinIsNotStopped) {
  for (const auto* rest : {R"("n": 30, "mean_units": 9.4, "sd_units": 0.3)",
                           R"("n": 30, "mean_units": 10.6, "sd_units": 0.3)",
                           R"("n": 30, "mean_units": 10, "sd_units": 0.6)",
                           R"("n": 30, "mean_units": 8.5, "sd_units": 0.1)",
                           R"("n": 30, "mean_units": 11.5, "sd_units": 0.1)",
                           R"("n": 30, "mean_units": 11.1, "sd_units": 2)"}) {
    const auto text = text_of(pen(rest));
    is_whole(text, rest);
    EXPECT_TRUE(text.starts_with("Not within the limits at 10 units")) << text;
    EXPECT_NE(text.find("another"), std::string::npos) << text;
    EXPECT_NE(text.find("o not stop insulin"), std::string::npos) << text;
    EXPECT_NE(text.find("Do not change any dose because of this"), std::string::npos);
  }
}

TEST(AccuracyWords, TheVerdictTheIntervalTheLimitsAndTheSourceAreRead) {
  const auto text = text_of(json::to_text(verbs::accuracy_example()));
  for (const auto* part :
       {"Within the limits at 10 units", "95% of its deliveries are between 9.726 and 10.206 units",
        "the limits are 9 and 11 units", "20 measurements: mean 9.966 units", "factor 2.7603",
        "No drift is seen", "97.5% content", "One pen, one dose", "Krzywon", "from memory"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part << " is not in\n" << text;
  }
}

TEST(AccuracyWords, EveryCautionIsASentence) {
  const std::string requests[] = {
      pen(R"("delivered_units": [100, 101, 99])"),
      pen(R"("delivered_units": [10, 10, 10])"),
      pen(R"("delivered_units": [10, 10, 10, 10, 11, 10, 10, 10, 10, 10, 10])"),
      pen(R"("delivered_units": [10, 10.1, 10.2, 10.31, 10.4])"),
      pen(R"("content": 0.5, "confidence": 0.5, "delivered_units":
          [10, 10, 10, 10.01, 10, 10, 10, 10, 11.01, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10, 10])"),
      R"({"dose_units": 1, "step_units": 1, "n": 75, "mean_units": 0.89, "sd_units": 0.04})"};
  std::set<std::string> met;
  for (const auto& request : requests) {
    const auto result = verbs::run_verb(verbs::accuracy_verb, request, say);
    ASSERT_TRUE(result) << request << result.error().code;
    for (const auto& item : result->find("cautions")->members) {
      met.insert(item.value.find("code")->text);
      is_whole(item.value.find("text")->text, request);
    }
    is_whole(result->find("text")->text, request);
    is_whole(result->find("defer")->text, request);
  }
  for (const auto code : accuracy::cautions()) EXPECT_TRUE(met.contains(std::string(code))) << code;
}

}  // namespace
}  // namespace penstock
