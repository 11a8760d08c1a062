// The command `places` as a person and as a program use it.
#include "cli/clinic.hpp"

namespace penstock::tests {
namespace {

struct CliPlaces : testing::Test, Clinic {};

TEST_F(CliPlaces, ExampleSchemaTextAndJson) {
  const auto example = run({"places", "--example"});
  EXPECT_EQ(example.status, 0);
  const auto schema = run({"places", "--schema"}).document();
  EXPECT_EQ(at(schema, "/type").text, "object");
  EXPECT_EQ(at(schema, "/required/3").text, "height_cm");
  const auto text = run({"places", write("request.json", example.out)});
  EXPECT_EQ(text.status, 0);
  EXPECT_EQ(text.error, "");
  for (const auto* part : {"Monday 1 March 2027", "Sunday 28 March 2027", "breakfast",
                           "right belly", "finger-widths from the navel", "thigh", "order"}) {
    EXPECT_NE(text.out.find(part), std::string::npos) << part << " is not in\n" << text.out;
  }
  const auto answer = run({"places", "-", "--json"}, example.out).document();
  EXPECT_EQ(at(answer, "/plan").members.size(), 112U);
  EXPECT_EQ(at(answer, "/plan/3/slot").text, "bedtime");
  EXPECT_EQ(at(answer, "/plan/111/date").text, "2027-03-28");
  EXPECT_EQ(at(answer, "/least_rest_days").text, "28");
  EXPECT_EQ(at(answer, "/zones").members.size(), 6U);
}

TEST_F(CliPlaces, H17_WhatTheBodyCannotGiveIsARefusalWithTheLongestRest) {
  const std::string crowded =
      R"({"from": "2027-03-01", "days": 90, "slots": ["breakfast", "lunch", "supper", "bedtime"],
          "zones": ["arm"], "rest_days": 90, "height_cm": 168})";
  const auto ended = run({"places", "-", "--json"}, crowded);
  EXPECT_EQ(ended.status, 3);
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "places.rest_too_long");
  EXPECT_EQ(at(ended.document(), "/refused/at").text, "/rest_days");
  EXPECT_NE(at(ended.document(), "/refused/what").text.find("28 days"), std::string::npos);
  const auto text = run({"places", "-"}, crowded);
  EXPECT_EQ(text.status, 3);
  EXPECT_EQ(text.out, "");
  EXPECT_EQ(text.error, ended.error);
}

}  // namespace
}  // namespace penstock::tests
