#include "edge/verbs/all/all.hpp"

#include <gtest/gtest.h>

#include <set>

#include "edge/json/json.hpp"

namespace penstock::verbs {
namespace {

std::string bare(std::string_view code, std::span<const Arg>) { return std::string(code); }

TEST(AllVerbs, HaveNamesOfTheirOwn) {
  std::set<std::string_view> names;
  for (const auto& verb : all()) EXPECT_TRUE(names.insert(verb.name).second) << verb.name;
  EXPECT_GE(names.size(), 9U);
}

TEST(AllVerbs, AnswerTheirExampleAsADocumentAndAsText) {
  for (const auto& verb : all()) {
    const auto answer = verb.run(verb.example(), bare, {});
    ASSERT_TRUE(answer) << verb.name << ": " << answer.error().code;
    EXPECT_EQ(answer->document.type, json::Type::object) << verb.name;
    EXPECT_TRUE(answer->text.ends_with("\n")) << verb.name;
    EXPECT_EQ(json::to_text(*run_verb(verb, json::to_text(verb.example()), bare)),
              json::to_text(answer->document));
    EXPECT_TRUE(verb.schema().find("title")->text.starts_with(std::string(verb.name) + ":"))
        << verb.name;
  }
}

TEST(AllVerbs, S4_ThoseThatTakeLongAreGivenUpWhereNobodyWaits) {
  for (const auto* name : {"cover", "reconcile"}) {
    const auto* verb = find_verb(all(), name);
    ASSERT_NE(verb, nullptr);
    const auto answer = run_verb(*verb, json::to_text(verb->example()), bare, [] { return true; });
    ASSERT_FALSE(answer) << name;
    EXPECT_EQ(answer.error().code, penstock::codes::stopped) << name;
  }
}

}  // namespace
}  // namespace penstock::verbs
