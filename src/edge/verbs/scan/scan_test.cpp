#include "edge/verbs/scan/scan.hpp"

#include <gtest/gtest.h>

#include <string>

namespace penstock::verbs {
namespace {

std::string say(std::string_view code, std::span<const Arg>) { return std::string(code); }

json::Value run(const std::string& text, const std::string& more) {
  const auto answer =
      run_verb(scan_verb, R"({"text": ")" + text + R"(", "today": "2027-03-16")" + more + "}", say);
  EXPECT_TRUE(answer) << (answer ? "" : answer.error().code + answer.error().at);
  return answer ? *answer : json::null();
}
std::string codes_of(const json::Value& answer) {
  std::string out;
  for (const auto& one : answer.find("findings")->members)
    out += (out.empty() ? "" : ", ") + one.value.find("code")->text;
  return out;
}

const std::string carton = "(01)02012345678903(17)280531(10)AB12";
const std::string glargine =
    R"(, "product": {"insulin": "insulin glargine", "strength_units_per_ml": 100})";
const std::string ordered =
    R"(, "order": [{"insulin": "insulin glargine", "strength_units_per_ml": 100}])";

TEST(Scan, NothingAgainstIt) {
  const auto answer = run(carton, glargine + ordered);
  EXPECT_EQ(answer.find("verdict")->text, "may be handed out");
  EXPECT_EQ(codes_of(answer), "");
  EXPECT_EQ(answer.find("lot")->text, "AB12");
  EXPECT_EQ(answer.find("expires")->text, "2028-05-31");
  EXPECT_EQ(answer.find("insulin_today")->type, json::Type::null);
}

TEST(Scan, H12_ExpiredStopsAndItsLastDayServes) {
  const auto over = run("(17)270315(10)AB12", glargine);
  EXPECT_EQ(over.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(over), "expired, product number missing");
  EXPECT_EQ(codes_of(run("(17)270316(10)AB12", glargine)), "product number missing, expires soon");
}

TEST(Scan, ARecalledLotStopsHoweverItIsTyped) {
  const auto answer =
      run(carton, glargine + R"(, "lots": [{"lot": "ab-12", "left": 3, "recalled": true}])");
  EXPECT_EQ(answer.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(answer), "recalled");
}

TEST(Scan, H03_AnotherStrengthAndH04_AnotherInsulinAreAsked) {
  const auto strength =
      run(carton, R"(, "product": {"insulin": "insulin glargine", "strength_units_per_ml": 300})" +
                      ordered);
  EXPECT_EQ(codes_of(strength), "other strength");
  EXPECT_EQ(strength.find("verdict")->text, "ask first");
  EXPECT_EQ(codes_of(run(carton, R"(, "product": {"insulin": "insulin aspart", )"
                                 R"("strength_units_per_ml": 100})" +
                                     ordered)),
            "other insulin");
  // Somebody without an order is asked about, too.
  EXPECT_EQ(codes_of(run(carton, glargine + R"(, "order": [])")), "other insulin");
}

TEST(Scan, WhatIsMissingIsAskedFor) {
  EXPECT_EQ(codes_of(run("2012345678903", "")), "product unknown, lot missing, expiry missing");
}

// Pharmacist D6: the same carton with and without the separator.
TEST(Scan, AMissingSeparatorHidesNoRecalledLot) {
  const std::string lots = R"(, "lots": [{"lot": "AB12", "left": 3, "recalled": true}])";
  const std::string before = "01020123456789031728053110AB12", after = "21SN0001";
  const auto with = run(before + "<GS>" + after, glargine + lots);
  EXPECT_EQ(with.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(with), "recalled");
  EXPECT_TRUE(with.find("lot_may_be")->members.empty());
  const auto without = run(before + after, glargine + lots);
  EXPECT_EQ(without.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(without), "recalled, lot unclear");
  EXPECT_EQ(without.find("lot_may_be")->members[0].value.text, "AB12");
  EXPECT_EQ(codes_of(run(before + after, glargine)), "lot unclear");
  EXPECT_EQ(run(before + after, glargine).find("verdict")->text, "ask first");
  EXPECT_EQ(codes_of(run("010201234567890310AB1217280531", glargine)),
            "lot unclear, expiry missing");
}

// Pharmacist D14.
TEST(Scan, H25_AStrengthOfNoneIsRefusedAsItsSchemaSays) {
  for (const auto* strength : {"0", "-1"}) {
    const auto ask = [&](const std::string& more) {
      const auto answer = run_verb(
          scan_verb, R"({"text": ")" + carton + R"(", "today": "2027-03-16")" + more + "}", say);
      EXPECT_FALSE(answer) << more;
      return answer ? Error{} : answer.error();
    };
    const std::string insulin = R"({"insulin": "insulin glargine", "strength_units_per_ml": )" +
                                std::string(strength) + "}";
    EXPECT_EQ(ask(R"(, "product": )" + insulin).at, "/product/strength_units_per_ml");
    EXPECT_EQ(ask(R"(, "order": [)" + insulin + "]").at, "/order/0/strength_units_per_ml");
  }
}

TEST(Scan, FirstExpiringFirstOut) {
  const auto lots = R"(, "lots": [{"lot": "LATE", "expires": "2029-01-31", "left": 5},
 {"lot": "FIRST", "expires": "2027-12-31", "left": 5}, {"lot": "GONE", "expires": "2027-06-30", "left": 0}])";
  const auto answer = run(carton, glargine + lots);
  EXPECT_EQ(codes_of(answer), "another is first");
  EXPECT_EQ(answer.find("verdict")->text, "may be handed out");
}

TEST(Scan, ARecordOfAnotherDayIsAsked) {
  EXPECT_EQ(
      codes_of(run(
          carton, glargine + R"(, "lots": [{"lot": "AB12", "expires": "2028-06-30", "left": 5}])")),
      "expiry differs");
}

TEST(Scan, H12_OfTheCodesAndTheRecordsDayTheEarlierCounts) {
  const auto lots = R"(, "lots": [{"lot": "AB12", "expires": "2027-03-15", "left": 5}])";
  const auto differs = run(carton, glargine + lots);
  EXPECT_EQ(differs.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(differs), "expired, expiry differs");
  const auto silent = run("(01)02012345678903(10)AB12", glargine + lots);
  EXPECT_EQ(silent.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(silent), "expired, expiry missing");
}

TEST(Scan, CartonsWithoutALotAreNotOneLot) {
  const auto lots = R"(, "lots": [{"lot": "", "expires": "2027-03-15", "left": 5}])";
  EXPECT_EQ(codes_of(run("(17)280531(21)S1", glargine + lots)),
            "product number missing, lot missing");
}

TEST(Scan, ARecalledLotStopsAlsoWhereNobodyHasSaidWhatTheProductIs) {
  const auto answer = run(carton, R"(, "lots": [{"lot": "AB12", "left": 3, "recalled": true},
 {"lot": "OLD", "expires": "2027-12-31", "left": 1}])");
  EXPECT_EQ(answer.find("verdict")->text, "do not hand out");
  EXPECT_EQ(codes_of(answer), "recalled, product unknown, another is first");
}

// Every way in which the parts can come together: the verdict is the heaviest finding's, and
// whatever it is but "may", it says how insulin is had today.
TEST(Scan, H38_WhateverIsNotHandedOutSaysHowInsulinIsHadToday) {
  const std::string texts[] = {carton, "(17)270315(10)AB12", "(17)270320(10)AB12", "2012345678903"};
  const std::string products[] = {
      "", glargine,
      R"(, "product": {"insulin": "insulin glargine", "strength_units_per_ml": 300, "pieces": 5})",
      R"(, "product": {"insulin": "insulin aspart", "strength_units_per_ml": 100})"};
  const std::string lots[] = {"", R"(, "lots": [{"lot": "AB12", "left": 3, "recalled": true}])",
                              R"(, "lots": [{"lot": "F", "left": 3, "expires": "2027-06-30"}])"};
  for (const auto& text : texts) {
    for (const auto& product : products) {
      for (const auto& lot : lots) {
        const auto answer = run(text, product + ordered + lot);
        const auto found = answer.find("findings")->members;
        std::string heaviest = "note";
        for (const auto& one : found) {
          const auto& weight = one.value.find("weight")->text;
          if (weight == "stop" || (weight == "ask" && heaviest == "note")) heaviest = weight;
        }
        const auto& verdict = answer.find("verdict")->text;
        EXPECT_EQ(verdict, heaviest == "stop"  ? "do not hand out"
                           : heaviest == "ask" ? "ask first"
                                               : "may be handed out");
        EXPECT_EQ(answer.find("insulin_today")->type == json::Type::null,
                  verdict == "may be handed out");
      }
    }
  }
}

TEST(Scan, ThePiecesOfACartonAreTheShelfs) {
  const auto answer = run(
      carton,
      R"(, "product": {"insulin": "insulin glargine", "strength_units_per_ml": 100, "pieces": 5})");
  EXPECT_EQ(answer.find("pieces")->text, "5");
  EXPECT_EQ(run(carton, glargine).find("pieces")->type, json::Type::null);
}

TEST(Scan, TheExampleWorksAndFitsItsSchema) {
  const auto answer = scan_verb.run(scan_example(), say, {});
  ASSERT_TRUE(answer);
  EXPECT_EQ(codes_of(answer->document), "another is first");
  EXPECT_EQ(scan_schema().find("title")->text, "scan: the text of a carton's code");
}

TEST(Scan, ARefusalNamesTheField) {
  const auto refused = run_verb(scan_verb, R"({"text": "17271301", "today": "2027-03-16"})", say);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().at, "/text");
  struct Row {
    std::string_view more, code, at;
  };
  for (const auto& [more, code, at] :
       {Row{R"("lots": [{"lot": "A", "left": -1}])", json::codes::field_range, "/lots/0/left"},
        Row{R"("lots": [{"lot": "A"}])", json::codes::field_missing, "/lots/0/left"},
        Row{R"("lots": [{"lot": "-", "left": 1, "recalled": true}])", json::codes::field_missing,
            "/lots/0/lot"},
        Row{R"("product": {"insulin": "insulin glargine"})", json::codes::field_missing,
            "/product/strength_units_per_ml"},
        Row{R"("product": {"insulin": "insulin glargine", "strength_units_per_ml": 100,
                "pieces": 0})",
            json::codes::field_range, "/product/pieces"},
        Row{R"("order": {})", json::codes::field_type, "/order"},
        Row{R"("colour": 1)", json::codes::field_unknown, "/colour"}}) {
    const auto result = run_verb(
        scan_verb, R"({"text": "(10)A1", "today": "2027-03-16", )" + std::string(more) + "}", say);
    ASSERT_FALSE(result) << more;
    EXPECT_EQ(result.error().code, code) << more;
    EXPECT_EQ(result.error().at, at) << more;
  }
}

}  // namespace
}  // namespace penstock::verbs
