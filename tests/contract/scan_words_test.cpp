// Every remark, verdict and refusal of a scanned carton, read out in English.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "core/carton/carton.hpp"
#include "edge/gs1/gs1.hpp"
#include "edge/verbs/scan/scan.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::say;
void is_whole(const std::string& text, std::string_view of) {
  in_words::is_whole(text, of, {"scan."});
}

constexpr std::string_view head = R"("today": "2027-03-16")";
constexpr std::string_view glargine =
    R"("product": {"insulin": "insulin glargine", "strength_units_per_ml": 100})";
constexpr std::string_view others =
    R"("order": [{"insulin": "insulin glargine", "strength_units_per_ml": 300}])";
constexpr std::string_view lots =
    R"("lots": [{"lot": "AB12", "expires": "2028-01-31", "left": 3, "recalled": true},
 {"lot": "FIRST", "expires": "2027-12-31", "left": 3}])";

std::string request(std::string_view text, std::initializer_list<std::string_view> more) {
  std::string out = R"({"text": ")" + std::string(text) + "\", " + std::string(head);
  for (const auto part : more) out += ", " + std::string(part);
  return out + "}";
}

TEST(ScanWords, EveryRemarkIsASentenceThatSaysWhatToDo) {
  std::set<std::string> met;
  for (const auto& asked :
       {request("(17)270101(10)AB12", {glargine, others, lots}), request("(17)270320(10)CD34", {}),
        request("2012345678903", {glargine, R"("order": [])"}),
        request("(01)02012345678903(17)280531(10)X", {glargine, lots}),
        request("01020123456789031728053110X21S1", {glargine}),
        request("(11)770601(17)770531(10)X", {glargine})}) {
    const auto answer = verbs::run_verb(verbs::scan_verb, asked, say);
    ASSERT_TRUE(answer) << asked;
    for (const auto& one : answer->find("findings")->members) {
      met.insert(one.value.find("code")->text);
      is_whole(one.value.find("text")->text, asked);
      is_whole(one.value.find("do_this")->text, asked);
    }
    is_whole(answer->find("defer")->text, asked);
    const auto read = verbs::parse_scan_request(asked);
    is_whole(verbs::scan_text(*read, carton::judge(read->question, read->stock), say), asked);
  }
  for (const auto code : carton::remark_names) EXPECT_TRUE(met.contains(std::string(code))) << code;
}

TEST(ScanWords, H38_WhateverStopsSaysHowInsulinIsHadToday) {
  const auto stop = verbs::run_verb(verbs::scan_verb, request("(17)270101(10)A", {glargine}), say);
  ASSERT_TRUE(stop);
  EXPECT_NE(stop->find("insulin_today")->text.find("Nobody goes without insulin"),
            std::string::npos);
  const auto read = verbs::parse_scan_request(request("(17)270101(10)A", {glargine}));
  const auto text = verbs::scan_text(*read, carton::judge(read->question, read->stock), say);
  EXPECT_TRUE(text.starts_with("Do not issue it.\n")) << text;
  EXPECT_NE(text.find("The prescriber’s order"), std::string::npos);
}

TEST(ScanWords, H25_EveryRefusalIsASentenceThatSaysWhatToDo) {
  std::set<std::string_view> met;
  for (const auto& text : {std::string(), std::string(501, '1'), std::string("abc"),
                           std::string("8812"), std::string("172805"), std::string("10A1 B"),
                           std::string("17280A31"), std::string("0102012345678904"),
                           std::string("17281301"), std::string("(10"), std::string("10A<GS>10B1"),
                           std::string("1728053170032806011200"), std::string("96385074")}) {
    const auto refused = verbs::run_verb(verbs::scan_verb, request(text, {}), say);
    ASSERT_FALSE(refused) << text;
    const auto found = std::ranges::find(gs1::codes::carton_all, refused.error().code);
    EXPECT_NE(found, gs1::codes::carton_all.end()) << refused.error().code << " of " << text;
    if (found != gs1::codes::carton_all.end()) met.insert(*found);
    const auto read = words::english().say(refused.error());
    is_whole(read.what, refused.error().code);
    is_whole(read.do_this, refused.error().code);
  }
  for (const auto code : gs1::codes::carton_all) EXPECT_TRUE(met.contains(code)) << code;
}

}  // namespace
}  // namespace penstock
