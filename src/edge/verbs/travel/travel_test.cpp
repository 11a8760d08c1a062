#include "edge/verbs/travel/travel.hpp"

#include <gtest/gtest.h>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::bare;
using kit::text_at;

json::Value answer(std::string_view request) { return kit::answer(travel_verb, request); }
const json::Value& item(const json::Value& value, std::string_view key, std::size_t place) {
  return value.find(key)->members.at(place).value;
}

TEST(TravelJson, TheExampleCarriesTwiceInTwoBagsAndAsks) {
  const auto result = answer(json::to_text(travel_example()));
  EXPECT_EQ(text_at(result, "days"), "14");
  EXPECT_EQ(text_at(result, "cooling"), "true");
  const auto& glargine = item(result, "carry", 0);
  EXPECT_EQ(text_at(glargine, "units_for_days"), "308");
  EXPECT_EQ(text_at(glargine, "cartridges"), "4");
  EXPECT_EQ(text_at(glargine, "in_each_bag"), "2");
  EXPECT_EQ(result.find("bags")->members.size(), 2U);
  EXPECT_EQ(text_at(*result.find("needles"), "needles"), "112");
  // One background line, out and back; 20 (0.9 - 9 / 24) = 10.5 units is asked about, not taken.
  ASSERT_EQ(result.find("questions")->members.size(), 2U);
  const auto& out = item(result, "questions", 0);
  EXPECT_EQ(text_at(out, "direction"), R"("east")");
  const auto& formula = item(out, "options", 0);
  EXPECT_EQ(text_at(formula, "says"), R"("once reduced")");
  EXPECT_EQ(text_at(formula, "asked_about_units"), "[10.5]");
  EXPECT_EQ(text_at(formula, "asked_about_in_steps_units"), "[10]");
  const auto& back = item(item(result, "questions", 1), "options", 0);
  EXPECT_EQ(text_at(back, "asked_about_in_steps_units"), "[10,10]");
}

TEST(TravelJson, TheExampleIsTheRoomsExample) {
  const auto read = parse_travel_request(travel_example());
  ASSERT_TRUE(read);
  const auto own = travel::example();
  EXPECT_EQ(read->leaves, own.leaves);
  EXPECT_EQ(read->returns, own.returns);
  EXPECT_EQ(read->shift_minutes, own.shift_minutes);
  EXPECT_EQ(read->warmest, own.warmest);
  EXPECT_EQ(read->pharmacy, own.pharmacy);
  EXPECT_EQ(read->needles_a_day, own.needles_a_day);
  ASSERT_EQ(read->lines.size(), own.lines.size());
  for (std::size_t i = 0; i < own.lines.size(); ++i) {
    EXPECT_EQ(read->lines[i].insulin, own.lines[i].insulin);
    EXPECT_EQ(read->lines[i].purpose, own.lines[i].purpose);
    EXPECT_EQ(read->lines[i].a_day, own.lines[i].a_day);
    EXPECT_EQ(read->lines[i].primes_a_day, own.lines[i].primes_a_day);
    EXPECT_EQ(read->lines[i].new_cartridge_prime, own.lines[i].new_cartridge_prime);
    EXPECT_EQ(read->lines[i].cartridge, own.lines[i].cartridge);
    EXPECT_EQ(read->lines[i].in_use_days, own.lines[i].in_use_days);
    EXPECT_EQ(read->lines[i].doses_a_day, own.lines[i].doses_a_day);
    EXPECT_EQ(read->lines[i].step, own.lines[i].step);
    EXPECT_EQ(read->lines[i].limit, own.lines[i].limit);
  }
}

TEST(TravelJson, H25_WhatCannotBeIsRefusedWithItsPlace) {
  const std::string line = R"({"insulin": "insulin glargine", "purpose": "background",
      "units_a_day": 20, "cartridge_units": 300, "in_use_days": 28})";
  const auto with = [&](std::string_view leaves, std::string_view returns, std::string_view rest,
                        std::string_view lines) {
    return R"({"leaves": ")" + std::string(leaves) + R"(", "returns": ")" + std::string(returns) +
           R"(", "lines": [)" + std::string(lines) + "]" + std::string(rest) + "}";
  };
  struct Row {
    std::string request;
    std::string_view code, at;
  };
  const Row rows[] = {{"{}", "field.missing", "/leaves"},
                      {with("2027-03-20", "2027-03-19", "", line), "travel.dates", "/returns"},
                      {with("2027-03-20", "2028-03-20", "", line), "travel.days_limit", "/returns"},
                      {with("2027-02-30", "2027-03-19", "", line), "date.form", "/leaves"},
                      {with("2027-03-20", "2027-03-21", R"(, "shift_minutes": 50)", line),
                       "travel.shift_zones", "/shift_minutes"},
                      {with("2027-03-20", "2027-03-21", R"(, "pharmacy": "maybe")", line),
                       "field.choice", "/pharmacy"},
                      {with("2027-03-20", "2027-03-21", R"(, "zone": "Asia/Tokyo")", line),
                       "field.unknown", "/zone"},
                      {with("2027-03-20", "2027-03-21", "", ""), "travel.lines_limit", "/lines"},
                      {with("2027-03-20", "2027-03-21", "", R"({"insulin": "x"})"), "field.missing",
                       "/lines/0/purpose"}};
  for (const auto& row : rows) {
    const auto found = run_verb(travel_verb, row.request, bare);
    ASSERT_FALSE(found.has_value()) << row.request;
    EXPECT_EQ(found.error().code, row.code) << row.request;
    EXPECT_EQ(found.error().at, row.at) << row.request;
  }
}

}  // namespace
}  // namespace penstock::verbs
