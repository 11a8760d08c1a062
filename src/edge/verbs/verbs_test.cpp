#include "edge/verbs/verbs.hpp"

#include <gtest/gtest.h>

namespace penstock::verbs {
namespace {

TEST(Verbs, ARefusalHasItsFourFields) {
  const Error error{Kind::refused, "dial.no_flow", {}, "/prime"};
  EXPECT_EQ(json::to_text(refusal(error, "Nothing comes out.", "Change the needle.")),
            R"({"refused":{"code":"dial.no_flow","what":"Nothing comes out.",)"
            R"("do_this":"Change the needle.","at":"/prime"}})");
}

Result<Answer> echo(const json::Value& request, const Say& say, const Stopped& /*stopped*/) {
  return Answer{json::object({{"got", request}, {"said", json::string(say("x", {}))}}),
                say("y", {})};
}

TEST(Verbs, AreFoundByNameAndReadTheirRequest) {
  const Verb known[] = {
      {"echo", [] { return json::object(); }, [] { return json::object(); }, &echo}};
  EXPECT_EQ(find_verb(known, "say"), nullptr);
  const auto* verb = find_verb(known, "echo");
  ASSERT_NE(verb, nullptr);
  const Say say = [](std::string_view code, std::span<const Arg>) { return std::string(code); };
  EXPECT_EQ(json::to_text(*run_verb(*verb, "[1]", say)), R"({"got":[1],"said":"x"})");
  EXPECT_EQ(verb->run(json::object(), say, {})->text, "y");
  EXPECT_EQ(run_verb(*verb, "[1", say).error().code, json::codes::syntax);
}

}  // namespace
}  // namespace penstock::verbs
