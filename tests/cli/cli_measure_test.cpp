// The commands `accuracy`, `warmth` and `travel` as a person and as a program use them.
#include "cli/clinic.hpp"

namespace penstock::tests {
namespace {

struct CliMeasure : testing::Test, Clinic {
  std::string text_of_example(const std::string& verb) {
    const auto example = run({verb, "--example"});
    EXPECT_EQ(example.status, 0) << verb;
    EXPECT_EQ(at(run({verb, "--schema"}).document(), "/type").text, "object") << verb;
    const auto text = run({verb, write("request.json", example.out)});
    EXPECT_EQ(text.status, 0) << text.error;
    EXPECT_EQ(text.error, "");
    return text.out;
  }
};

TEST_F(CliMeasure, AccuracyFromItsExampleToItsVerdict) {
  EXPECT_TRUE(text_of_example("accuracy").starts_with("Within the limits at 10 units"));
  const auto answer = run({"accuracy", "-", "--json"}, run({"accuracy", "--example"}).out);
  EXPECT_EQ(at(answer.document(), "/k").text, "2.7603");
  EXPECT_EQ(at(answer.document(), "/limit_high_units").text, "11");
}

TEST_F(CliMeasure, H49_WarmthSaysTheLabelsVerdictFirst) {
  EXPECT_TRUE(text_of_example("warmth").starts_with("Do not use it, replace it."));
  const auto answer = run({"warmth", "-", "--json"}, run({"warmth", "--example"}).out);
  EXPECT_EQ(at(answer.document(), "/lost_percent").text, "1.8");
  EXPECT_LT(answer.out.find("limit_broken"), answer.out.find("lost_percent"));
}

TEST_F(CliMeasure, H18_TravelCountsDaysAtHome) {
  EXPECT_NE(text_of_example("travel").find("14 days"), std::string::npos);
  const auto refused = run({"travel", "-", "--json"}, R"({"leaves": "2027-03-20",
      "returns": "2027-03-19", "lines": []})");
  EXPECT_EQ(refused.status, 3);
  EXPECT_EQ(at(refused.document(), "/refused/code").text, "travel.dates");
  EXPECT_EQ(at(refused.document(), "/refused/at").text, "/returns");
}

}  // namespace
}  // namespace penstock::tests
