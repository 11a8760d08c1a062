// The command `reach` as a person and as a program use it.
#include "cli/clinic.hpp"

namespace penstock::tests {
namespace {

struct CliReach : testing::Test, Clinic {};

TEST_F(CliReach, ExampleSchemaTextAndJson) {
  const auto example = run({"reach", "--example"});
  EXPECT_EQ(example.status, 0);
  const auto schema = run({"reach", "--schema"}).document();
  EXPECT_EQ(at(schema, "/type").text, "object");
  EXPECT_EQ(at(schema, "/required/1").text, "needle_mm");
  const auto text = run({"reach", write("request.json", example.out)});
  EXPECT_EQ(text.status, 0);
  EXPECT_EQ(text.error, "");
  for (const auto* part : {"In muscle: 25%", "a 4 mm needle", "US adults"}) {
    EXPECT_NE(text.out.find(part), std::string::npos) << part << " is not in\n" << text.out;
  }
  const auto answer = run({"reach", "-", "--json"}, example.out).document();
  EXPECT_EQ(at(answer, "/muscle_chance").text, "0.253");
  EXPECT_EQ(at(answer, "/better/needle_mm").text, "4");
  EXPECT_EQ(at(answer, "/muscle_band").members.size(), 2U);
}

TEST_F(CliReach, H27_H33_OutsideThePeopleItIsARefusalThatNamesThem) {
  const std::string child = R"({"zone": "abdomen", "needle_mm": 4, "age_years": 4})";
  const auto ended = run({"reach", "-", "--json"}, child);
  EXPECT_EQ(ended.status, 3);
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "reach.child_in_adults");
  EXPECT_EQ(at(ended.document(), "/refused/at").text, "/age_years");
  EXPECT_NE(at(ended.document(), "/refused/what").text.find("US adults"), std::string::npos);
  EXPECT_NE(at(ended.document(), "/refused/do_this").text.find("children"), std::string::npos);
  const auto text = run({"reach", "-"}, child);
  EXPECT_EQ(text.status, 3);
  EXPECT_EQ(text.out, "");
  EXPECT_EQ(text.error, ended.error);
  const auto thin = run({"reach", "-", "--json"},
                        R"({"zone": "thigh", "needle_mm": 8, "sex": "male", "bmi_kg_m2": 17})");
  EXPECT_EQ(thin.status, 3);
  EXPECT_NE(at(thin.document(), "/refused/what").text.find("19.4 to 64.5"), std::string::npos);
}

}  // namespace
}  // namespace penstock::tests
