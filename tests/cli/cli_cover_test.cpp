// The command `cover` as a person and as a program use it.
#include "cli/clinic.hpp"

namespace penstock::tests {
namespace {

struct CliCover : testing::Test, Clinic {};

TEST_F(CliCover, ExampleSchemaTextAndJson) {
  const auto example = run({"cover", "--example"});
  EXPECT_EQ(example.status, 0);
  const auto schema = run({"cover", "--schema"}).document();
  EXPECT_EQ(at(schema, "/type").text, "object");
  EXPECT_EQ(at(schema, "/required/1").text, "lines");
  const auto text = run({"cover", write("request.json", example.out)});
  EXPECT_EQ(text.status, 0);
  EXPECT_EQ(text.error, "");
  for (const auto* part :
       {"runs out on Thursday 1 April 2027", "Request by Friday 12 March 2027"}) {
    EXPECT_NE(text.out.find(part), std::string::npos) << part << " is not in\n" << text.out;
  }
  const auto answer = run({"cover", "-", "--json"}, example.out).document();
  EXPECT_EQ(at(answer, "/lines/0/full_days").text, "31");
  EXPECT_EQ(at(answer, "/lines/0/ask_by").text, "2027-03-12");
  EXPECT_EQ(at(answer, "/lines/0/boxes").text, "1");
  EXPECT_EQ(at(answer, "/needles/ask_by").text, "2027-04-23");
}

TEST_F(CliCover, H51_ALowerServiceWithoutAReasonIsRefusedWithItsPlace) {
  const std::string asked = R"({"on": "2027-03-01", "lines": [{"insulin": "insulin glargine",
      "doses_units": [20], "prime_units": 2, "cartridge_units": 300, "in_use_days": 28,
      "unopened": 2}], "ask": {"lead_days": 7, "service": 0.9}})";
  const auto ended = run({"cover", "-", "--json"}, asked);
  EXPECT_EQ(ended.status, 3);
  EXPECT_EQ(at(ended.document(), "/refused/code").text, "cover.service_unsigned");
  EXPECT_EQ(at(ended.document(), "/refused/at").text, "/ask/service_reason");
  EXPECT_NE(at(ended.document(), "/refused/what").text.find("90%"), std::string::npos);
}

}  // namespace
}  // namespace penstock::tests
