// The three accounts from a request's text to its sentences: every refusal, mechanism, question and
// unknown is a whole sentence in English, and none of them accuses anybody.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/reconcile/reconcile.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;

void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, {"mechanism/", "sign/"});
}

/// The example with one piece of its text replaced.
std::string with(std::string_view old_text, std::string_view new_text) {
  std::string text = json::to_text(verbs::reconcile_example());
  const auto at = text.find(old_text);
  EXPECT_NE(at, std::string::npos) << old_text << " in " << text;
  if (at != std::string::npos) text.replace(at, old_text.size(), new_text);
  return text;
}

/// One request for each refusal, in the declared order.
std::vector<std::string> refused() {
  std::string orders;
  for (int i = 0; i < 801; ++i) {
    const auto day = LocalDay{std::chrono::year{2000} / 1 / 1} + std::chrono::days{i};
    orders += R"({"from":")" + format_iso(day) + R"(","doses_units":[20]},)";
  }
  return {with(R"("until":"2027-03-30")", R"("until":"2027-02-03")"),
          with(R"("strength_units_per_ml":100)", R"("strength_units_per_ml":1000)"),
          with(R"("cartridge_units":300)", R"("cartridge_units":1200)"),
          with(R"("prime_units":2)", R"("prime_units":101)"),
          with(R"("in_use_days":28)", R"("in_use_days":0)"),
          with(R"("doses_units":[20])", R"("doses_units":[0])"),
          with(R"("ordered":[)", R"("ordered":[)" + orders),
          with(R"("cartridges":5)", R"("cartridges":1001)"),
          with(R"("ended":"2027-03-16)", R"("ended":"2027-02-15)"),
          with(R"("left_units":276)", R"("left_units":301)"),
          with(R"("units":20,"slot")", R"("units":301,"slot")"),
          with(R"("units":20,"slot")", R"("units":20,"cartridge":"9","slot")"),
          with(R"("slot":"bedtime")", R"("slot":"\tbedtime")")};
}

TEST(ReconcileWords, EveryRefusalIsASentence) {
  const auto requests = refused();
  std::vector<std::string> met;
  for (const auto& request : requests) {
    const auto result = verbs::run_verb(verbs::reconcile_verb, request, say);
    ASSERT_FALSE(result) << request.substr(0, 300);
    const auto& error = result.error();
    met.push_back(error.code);
    EXPECT_FALSE(error.at.empty()) << error.code;
    const auto said = words::english().say(error);
    is_whole(said.what, error.code);
    is_whole(said.do_this, error.code);
  }
  ASSERT_EQ(met.size(), reconcile::refusals.size());
  for (std::size_t i = 0; i < met.size(); ++i) EXPECT_EQ(met[i], reconcile::refusals[i]);
}

TEST(ReconcileWords, TheExampleAsksOneKindQuestionWithTheNumberAndThreeReasons) {
  const auto request = *verbs::parse_reconcile_request(json::to_text(verbs::reconcile_example()));
  const auto found = *reconcile::reconcile(request);
  const auto text = verbs::reconcile_text(request, found, say);
  is_whole(text, "example");
  std::cout << text;
  for (const auto* part : {"The counts differ by about 65 units.", "missed doses",
                           "priming left out", "Could we look at this together?",
                           "not from a publication", "Nothing here changes a dose"}) {
    EXPECT_NE(text.find(part), std::string::npos) << part << "\n" << text;
  }
}

TEST(ReconcileWords, NobodyIsAccused) {
  for (const auto code :
       {reconcile::questions::ask, reconcile::questions::ask_two, reconcile::questions::ask_one,
        reconcile::questions::ask_none, reconcile::questions::ask_single,
        reconcile::questions::ask_sealed, reconcile::questions::ask_diary,
        reconcile::questions::agree, reconcile::questions::not_known}) {
    ASSERT_TRUE(words::english().has_sentence(code)) << code;
    const auto text = words::english().text(code, {});
    for (const auto* word :
         {"you ", "must", "should", "wrong", "forgot", "false", "lie", "why", "fault", "%"}) {
      EXPECT_EQ(text.find(word), std::string::npos) << word << " in " << text;
    }
  }
}

TEST(ReconcileWords, EveryMechanismSignAndUnknownHasItsWords) {
  for (const auto name : reconcile::mechanism_names) {
    const auto code = "mechanism/" + std::string(name);
    EXPECT_NE(words::english().name(code), code);
  }
  for (const auto name : reconcile::sign_names) {
    const auto code = "sign/" + std::string(name);
    EXPECT_NE(words::english().name(code), code);
  }
  for (const auto code : reconcile::all_unknowns) {
    EXPECT_TRUE(words::english().has_sentence(code)) << code;
  }
}

}  // namespace
}  // namespace penstock
