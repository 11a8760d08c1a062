// Every refusal and every caution of the place plan, asked for as a person would, read out in
// English: each has its sentence, and no hole is left open.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>

#include "edge/json/json.hpp"
#include "edge/verbs/places/places.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "support/in_words.hpp"

namespace penstock {
namespace {

using in_words::Change;
using in_words::say;

/// The contract's request with pieces of its text replaced.
std::string request(const std::vector<Change>& changes) {
  return in_words::changed(verbs::places_example(), changes);
}

constexpr std::string_view days = R"("days":28)", slots = R"(["breakfast","lunch")",
                           zones = R"("zones":["abdomen","thigh"])", rest = R"("rest_days":28)",
                           spacing = R"("spacing_cm":1)", height = R"("height_cm":168)",
                           blocked = R"("blocked":[)", used = R"("x_cm":1,"y_cm":2)";

std::string circles(std::string_view zone, int count, std::string_view radius) {
  std::string text;
  for (int i = 0; i < count; ++i) {
    text += R"({"zone":")" + std::string(zone) + R"(","x_cm":0,"y_cm":0,"radius_cm":)" +
            std::string(radius) + "},";
  }
  return text;
}

std::vector<std::string> refused_requests() {
  std::string many;
  for (int i = 0; i < 12; ++i) many += R"("x)" + std::to_string(i) + R"(",)";
  const std::string everywhere = circles("abdomen", 1, "30") + circles("thigh left", 1, "30") +
                                 circles("thigh right", 1, "30");
  return {
      request({{days, R"("days":0)"}}),
      request({{R"(["breakfast","lunch","supper","bedtime"])", "[]"}}),
      request({{slots, "[" + many + R"("lunch")"}}),
      request({{slots, R"(["","lunch")"}}),
      request({{slots, R"(["lunch","lunch")"}}),
      request({{zones, R"("zones":[])"}}),
      request({{rest, R"("rest_days":500)"}}),
      request({{spacing, R"("spacing_cm":0.9)"}}),
      request({{height, R"("height_cm":16)"}}),
      request({{height, R"("height_cm":168,"waist_cm":12.5)"}}),
      request({{height, R"("height_cm":168,"navel_clear_cm":12)"}}),
      request({{blocked, std::string(blocked) + circles("abdomen", 1, "31")}}),
      request({{blocked, std::string(blocked) + circles("abdomen", 200, "1")}}),
      request({{used, R"("x_cm":51,"y_cm":2)"}}),
      request({{days, R"("keep":{"lunch":"arm"},"days":28)"}}),
      request({{blocked, std::string(blocked) + everywhere}}),
      request(
          {{days,
            R"("keep":{"lunch":"thigh","supper":"thigh","bedtime":"thigh","breakfast":"thigh"},"days":200)"},
           {rest, R"("rest_days":200)"}}),
      request({{days, R"("days":300)"}, {rest, R"("rest_days":300)"}}),
      request({{spacing, R"("spacing_cm":6)"}}),
  };
}

void is_whole(const std::string& line, std::string_view code) {
  EXPECT_EQ(line.find("…"), std::string::npos) << code << ": " << line;
  EXPECT_EQ(line.find('{'), std::string::npos) << code << ": " << line;
  EXPECT_EQ(line.find('/'), std::string::npos) << code << ": " << line;  // a name without its word
}

TEST(PlacesWords, H17_EveryRefusalIsASentence) {
  std::vector<std::string> met;
  for (const auto& text : refused_requests()) {
    const auto result = verbs::run_verb(verbs::places_verb, text, say);
    ASSERT_FALSE(result) << text;
    const Error& error = result.error();
    met.push_back(error.code);
    EXPECT_TRUE(words::english().has_error(error.code)) << error.code;
    const auto said = words::english().say(error);
    is_whole(said.what, error.code);
    is_whole(said.do_this, error.code);
  }
  // A request as text can only promise a slot that it names.
  auto all = std::vector<std::string_view>(places::refusals().begin(), places::refusals().end());
  std::erase(all, places::places_codes::promised_slot);
  EXPECT_TRUE(std::equal(met.begin(), met.end(), all.begin(), all.end()));
  EXPECT_TRUE(words::english().has_error(places::places_codes::promised_slot));
}

TEST(PlacesWords, ARefusalSaysTheLongestRestInDays) {
  const auto result = verbs::run_verb(
      verbs::places_verb, request({{days, R"("days":300)"}, {rest, R"("rest_days":300)"}}), say);
  ASSERT_FALSE(result);
  std::int64_t longest = 0;
  for (const auto& arg : result.error().args) {
    if (arg.name == "longest") longest = arg.number;
  }
  EXPECT_GT(longest, 100);
  const auto said = words::english().say(result.error());
  EXPECT_NE(said.what.find(std::to_string(longest) + " days"), std::string::npos) << said.what;
}

TEST(PlacesWords, EveryCautionAndEveryPlaceIsASentence) {
  const std::string two = R"("slots":["breakfast","lunch"])";
  const std::string four = R"("slots":["breakfast","lunch","supper","bedtime"])";
  const std::vector<std::string> requests = {
      request({}),
      request({{zones, R"("zones":["arm","buttock"])"}, {four, two}}),
      request(
          {{days,
            R"("days":28,"promised":[{"date":"2027-03-01","slot":"lunch","zone":"abdomen left lower","x_cm":7,"y_cm":-6}])"}}),
      request({{zones, R"("zones":["arm"])"}, {days, R"("days":20)"}, {rest, R"("rest_days":60)"}}),
      request({{zones, R"("zones":["arm","buttock"])"},
               {four, R"("slots":["breakfast","lunch","supper","bedtime","x","y"])"},
               {days, R"("days":53)"},
               {rest, R"("rest_days":53)"}}),
  };
  std::set<std::string> met;
  for (const auto& text : requests) {
    const auto result = verbs::run_verb(verbs::places_verb, text, say);
    ASSERT_TRUE(result) << text << result.error().code << result.error().at;
    for (const auto& item : result->find("cautions")->members) {
      met.insert(item.value.find("code")->text);
      is_whole(item.value.find("text")->text, item.value.find("code")->text);
    }
    for (const auto& item : result->find("plan")->members) {
      is_whole(item.value.find("words")->text, "words");
    }
    EXPECT_FALSE(result->find("defer")->text.empty());
    const auto read = verbs::parse_places_request(text);
    const auto lines = verbs::places_text(*read, *places::plan(*read), say);
    is_whole(lines, "text");
    EXPECT_EQ(lines.find(".0 "), std::string::npos) << lines;
  }
  for (const auto code : places::cautions()) EXPECT_EQ(met.count(std::string(code)), 1U) << code;
}

TEST(PlacesWords, APlaceIsToldAsPeopleFindIt) {
  places::Body body{{1680}, {{800}}, {500}};
  const auto told = [&](Zone zone, std::int32_t x, std::int32_t y) {
    const auto [key, args] = verbs::place_said(zone, {{x}, {y}}, body);
    return say(key, args);
  };
  EXPECT_EQ(told(Zone::abdomen_right_upper, -720, 240),
            "right belly, upper outer quarter, 4 finger-widths from the navel");
  EXPECT_EQ(told(Zone::thigh_left, 190, -10),
            "left thigh, lower outer quarter of the area, 1 finger-width from its middle");
  EXPECT_EQ(told(Zone::arm_right, 10, 10), "right arm, the middle of the area");
}

}  // namespace
}  // namespace penstock
