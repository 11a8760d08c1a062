// Every refusal and every caution of the dial plan, asked for as a person would, read out in
// English: each has its sentence, no hole is left open, and a due dose that is refused says how to
// get insulin today (H38).
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/dial/dial.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::Change;
using in_words::say;

/// The contract's request with pieces of its text replaced.
std::string request(const std::vector<Change>& changes) {
  return in_words::changed(verbs::dial_example(), changes);
}

constexpr std::string_view dose = R"("dose_units":18)",
                           prime = R"("spent_units":3,"flow_seen":true)",
                           cartridges = R"("cartridges":[)",
                           one = R"({"id":"A","left_units":247,"days_in_use":6,"in_use_days":28})",
                           suspension = R"("suspension":false)", cloudy = R"("suspension":true)",
                           name = R"("name":"insulin glargine")",
                           nph = R"("name":"human NPH insulin")";

std::vector<std::string> refused_requests() {
  std::string many = std::string(one);
  for (int i = 0; i < 40; ++i) many += "," + std::string(one);
  const auto next = [](std::string amount) {
    return std::string(dose) + R"(,"next_doses_units":)" + std::move(amount);
  };
  return {
      request({{dose, R"("dose_units":0)"}}),
      request({{dose, R"("dose_units":400)"}}),
      request({{R"("name":"insulin glargine")", R"("name":"")"}}),
      request({{R"("strength_units_per_ml":100)", R"("strength_units_per_ml":5000)"}}),
      request({{R"("name":"insulin glargine")", R"("name":"human NPH insulin")"}}),
      request({{suspension, std::string(cloudy)}}),
      request({{R"(,"window":"counts on")", ""}}),
      request({{R"("step_units":1,)", R"("step_units":0,)"}}),
      request({{R"("most_units":60,)", R"("most_units":0.5,)"}}),
      request({{R"("most_units":60,)", R"("most_units":60,"hold_seconds":99,)"}}),
      request({{dose, R"("dose_units":18.5)"}}),
      request({{dose, R"("dose_units":18,"part_of_units":18)"}}),
      request({{R"("units":2,)", R"("units":99,)"}}),
      request({{R"("spent_units":3)", R"("spent_units":999)"}}),
      request({{R"("spent_units":3)", R"("spent_units":0.5)"}}),
      request({{R"("spent_units":3)", R"("spent_units":2,"through_needle_units":3)"}}),
      request({{R"("spent_units":3)", R"("dry_primes":101)"}}),
      request({{R"("spent_units":3)", R"("spent_units":2,"dry_primes":2)"}}),
      request({{dose, next("0")}}),
      request({{dose, next("0.5")}}),
      request({{suspension, R"("least_left_to_mix_units":9999)"}}),
      request({{one, ""}}),
      request({{one, many}}),
      request({{R"("id":"A")", R"("id":"")"}}),
      request({{one, std::string(one) + "," + std::string(one)}}),
      request({{R"("left_units":247)", R"("left_units":2470)"}}),
      request({{R"("in_use_days":28)", R"("in_use_days":2800)"}}),
      request({{R"("days_in_use":6,)", ""}}),
      request({{R"("days_in_use":6,)", R"("days_in_use":-1,)"}}),
      request({{prime, R"("dry_primes":1,"needle_changed":true)"}}),
      request({{R"("days_in_use":6,)", R"("days_in_use":28,)"}}),
      request({{R"("spent_units":3)", R"("spent_units":60)"}}),
      request({{name, std::string(nph)},
               {suspension, R"("suspension":true,"least_left_to_mix_units":12)"},
               {R"("left_units":247)", R"("left_units":11)"}}),
      request({{dose, R"("split":"never","dose_units":18)"},
               {one, R"({"id":"A","left_units":15,"days_in_use":6,"in_use_days":28},)"
                     R"({"id":"B","left_units":15,"days_in_use":6,"in_use_days":28})"}}),
      request({{R"("left_units":247)", R"("left_units":17)"}}),
  };
}

TEST(DialWords, H38_EveryRefusalIsASentenceAndADueDoseSaysHowToGetInsulinToday) {
  std::vector<std::string> met;
  for (const auto& text : refused_requests()) {
    const auto result = verbs::run_verb(verbs::dial_verb, text, say);
    ASSERT_FALSE(result) << text;
    const Error& error = result.error();
    met.push_back(error.code);
    EXPECT_TRUE(words::english().has_error(error.code)) << error.code;
    const auto said = words::english().say(error);
    for (const auto& line : {said.what, said.do_this}) {
      EXPECT_EQ(line.find("…"), std::string::npos) << error.code << ": " << line;
      EXPECT_EQ(line.find('{'), std::string::npos) << error.code << ": " << line;
    }
    if (error.kind != Kind::refused) continue;
    EXPECT_NE(said.do_this.find("For today:"), std::string::npos) << error.code;
    EXPECT_NE(said.do_this.find("phone the clinic"), std::string::npos) << error.code;
    EXPECT_NE(said.do_this.find("Do not miss basal insulin"), std::string::npos);
    EXPECT_NE(said.do_this.find("emergency"), std::string::npos) << error.code;
  }
  const auto all = dial::refusals();
  EXPECT_TRUE(std::equal(met.begin(), met.end(), all.begin(), all.end()));
}

// "If it does not, do not dial the dose" stood under the table of a pen that keeps counting: which
// pen, and what does not?
TEST(DialWords, H01_WhatIsSaidOfAPrimeNamesThePenItIsFor) {
  const auto units = *Units::from_hundredths(400);
  const auto said = [&](std::string_view code) {
    return words::plain(words::english().sentence(code, {arg_units("primed", units)}));
  };
  const auto returns = said(dial::dial_cautions::flow_assumed);
  const auto counts = said(dial::dial_cautions::flow_assumed_window);
  EXPECT_NE(returns.find("returns to zero"), std::string::npos) << returns;
  EXPECT_NE(counts.find("keeps counting"), std::string::npos) << counts;
  for (const auto& text : {returns, counts})
    EXPECT_NE(text.find("If no insulin appears, do not dial"), std::string::npos) << text;
}

TEST(DialWords, EveryCautionAndEveryActionIsASentence) {
  const std::string two = R"({"id":"A","left_units":12,"days_in_use":27,"in_use_days":28},)"
                          R"({"id":"old","left_units":80,"days_in_use":28,"in_use_days":28},)"
                          R"({"id":"B","left_units":900,"in_use_days":28,"new":true})";
  const std::string two_to_mix = R"({"id":"A","left_units":11,"days_in_use":6,"in_use_days":28},)"
                                 R"({"id":"B","left_units":300,"in_use_days":28,"new":true})";
  const std::vector<std::string> requests = {
      request({}),
      request({{"counts on", "returns to zero"},
               {name, std::string(nph)},
               {suspension, std::string(cloudy)}}),
      request({{R"("left_units":247)", R"("left_units":31)"}}),
      request({{dose, R"("dose_units":12,"part_of_units":22)"}}),
      request({{dose, R"("dose_units":150)"}, {R"("left_units":247)", R"("left_units":160)"}}),
      request({{prime, R"("dry_primes":3)"}}),
      request({{prime, R"("spent_units":0)"}, {one, two}, {"fewest needles", "least waste"}}),
      request({{prime, R"("spent_units":0)"}, {one, two}}),
      request({{R"("days_in_use":6)", R"("days_in_use":27)"}}),
      request({{R"("spent_units":3)", R"("spent_units":0)"}}),
      request({{prime, R"("spent_units":0)"}, {"counts on", "returns to zero"}}),
      request({{R"("in_use_days":28)", R"("in_use_days":400)"}}),
      request({{dose, R"("dose_units":30,"next_doses_units":[8],"keep_in_pen":true)"},
               {prime, R"("spent_units":0)"},
               {one, two}}),
      request({{"counts on", "returns to zero"},
               {name, std::string(nph)},
               {suspension, R"("suspension":true,"least_left_to_mix_units":12)"},
               {dose, R"("dose_units":8,"keep_in_pen":true)"},
               {prime, R"("spent_units":0)"},
               {one, two_to_mix}}),
  };
  std::set<std::string> met, done;
  for (const auto& text : requests) {
    const auto result = verbs::run_verb(verbs::dial_verb, text, say);
    ASSERT_TRUE(result) << text << result.error().code << result.error().at;
    for (const auto& item : result->find("cautions")->members) {
      met.insert(item.value.find("code")->text);
    }
    for (const auto& item : result->find("actions")->members) {
      done.insert(item.value.find("do")->text);
    }
    const auto read = verbs::parse_dial_request(text);
    const auto lines = verbs::dial_text(*read, *dial::plan(*read), say);
    EXPECT_EQ(lines.find("…"), std::string::npos) << lines;
    EXPECT_EQ(lines.find('{'), std::string::npos) << lines;
    // H05: units spelled out, no trailing zeros.
    EXPECT_EQ(lines.find(".0 "), std::string::npos) << lines;
  }
  for (const auto code : dial::cautions()) EXPECT_EQ(met.count(std::string(code)), 1U) << code;
  for (const auto name : dial::do_names) EXPECT_EQ(done.count(std::string(name)), 1U) << name;
}

}  // namespace
}  // namespace penstock
