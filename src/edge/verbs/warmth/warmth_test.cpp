#include "edge/verbs/warmth/warmth.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::bare;
using kit::text_at;

json::Value answer(std::string_view request) { return kit::answer(warmth_verb, request); }
std::size_t place_of(const json::Value& value, std::string_view key) {
  const auto found = std::ranges::find(value.members, key, &json::Member::key);
  EXPECT_NE(found, value.members.end()) << key;
  return static_cast<std::size_t>(found - value.members.begin());
}

TEST(WarmthJson, H49_TheLabelsVerdictComesBeforeThePercentage) {
  const auto result = answer(json::to_text(warmth_example()));
  EXPECT_EQ(text_at(result, "limit_broken"), "true");
  EXPECT_EQ(text_at(result, "broken"), R"(["too warm"])");
  EXPECT_EQ(text_at(result, "limit_celsius"), "25");
  EXPECT_EQ(text_at(result, "limit_assumed"), "true");
  EXPECT_EQ(text_at(result, "warmest_celsius"), "37");
  EXPECT_EQ(text_at(result, "hours_above_limit"), "240");
  EXPECT_EQ(text_at(result, "lost_percent"), "1.8");
  EXPECT_EQ(text_at(result, "no_number"), "null");
  EXPECT_EQ(place_of(result, "limit_broken"), 0U);
  EXPECT_EQ(place_of(result, "do_first"), 1U);
  for (const auto* key : {"for_person", "text", "cautions", "defer"}) {
    EXPECT_LT(place_of(result, key), place_of(result, "lost_percent")) << key;
  }
  EXPECT_LT(place_of(result, "lost_percent"), place_of(result, "source"));
}

TEST(WarmthJson, H12_FrozenHasNoNumberAndNeedsNoSpell) {
  const auto result = answer(R"({"in_use_days": 28, "frozen": true})");
  EXPECT_EQ(text_at(result, "limit_broken"), "true");
  EXPECT_EQ(text_at(result, "broken"), R"(["frozen"])");
  EXPECT_EQ(text_at(result, "lost_percent"), "null");
  EXPECT_EQ(text_at(result, "no_number"), R"("frozen")");
  EXPECT_EQ(text_at(result, "warmest_celsius"), "null");
}

// Nurse A24, pharmacist D14: 28 C for two days is within what glargine's label allows.
TEST(WarmthJson, H12_TheInsulinsNameIsLookedUpOnTheShelf) {
  const auto ask = [](std::string_view insulin) {
    return answer(R"({"in_use_days": 28, "spells": [{"celsius": 28, "hours": 48}], "insulin": ")" +
                  std::string(insulin) + "\"}");
  };
  const auto glargine = ask("Insulin glargine");
  EXPECT_EQ(text_at(glargine, "limit_broken"), "false");
  EXPECT_EQ(text_at(glargine, "limit_celsius"), "30");
  EXPECT_EQ(text_at(glargine, "limit_from"), R"("shelf")");
  EXPECT_EQ(text_at(glargine, "limit_assumed"), "false");
  EXPECT_NE(text_at(glargine, "why").find("warmth.why.kept_shelf"), std::string::npos);
  const auto glulisine = ask("insulin glulisine");
  EXPECT_EQ(text_at(glulisine, "limit_broken"), "true");
  EXPECT_EQ(text_at(glulisine, "limit_celsius"), "25");
  EXPECT_NE(text_at(glulisine, "why").find("warmth.why.too_warm_shelf"), std::string::npos);
  // A name that is not on the shelf is no reason to allow more.
  EXPECT_EQ(text_at(ask("moon dust"), "limit_from"), R"("strictest")");
  const auto given = answer(
      R"({"in_use_days": 28, "spells": [{"celsius": 28, "hours": 48}], "insulin": "insulin glargine",
          "in_use_most_celsius": 27})");
  EXPECT_EQ(text_at(given, "limit_from"), R"("request")");
  EXPECT_EQ(text_at(given, "limit_broken"), "true");
}

// A request for 37 C, or for 60 days, made glargine's label say so.
TEST(WarmthJson, H12_ARequestMayBeStricterThanTheLabelNeverLooser) {
  const auto warm = answer(
      R"({"in_use_days": 28, "spells": [{"celsius": 34, "hours": 48}], "insulin": "insulin glargine",
          "in_use_most_celsius": 37})");
  EXPECT_EQ(text_at(warm, "limit_broken"), "true");
  EXPECT_EQ(text_at(warm, "limit_celsius"), "30");
  EXPECT_EQ(text_at(warm, "limit_from"), R"("shelf")");
  EXPECT_NE(text_at(warm, "cautions").find("warmth.caution.label_stricter"), std::string::npos);
  const auto long_out = answer(
      R"({"in_use_days": 90, "spells": [{"celsius": 22, "hours": 1200}],
          "insulin": "insulin glargine"})");
  EXPECT_EQ(text_at(long_out, "broken"), R"(["period over"])");
  EXPECT_NE(text_at(long_out, "cautions").find("warmth.caution.label_stricter"), std::string::npos);
  // 42 days is what one of its strengths has.
  const auto kept = answer(
      R"({"in_use_days": 42, "spells": [{"celsius": 22, "hours": 900}],
          "insulin": "insulin glargine"})");
  EXPECT_EQ(text_at(kept, "limit_broken"), "false");
  EXPECT_EQ(text_at(kept, "cautions").find("label_stricter"), std::string::npos);
  // Without a name the request is all that is known.
  EXPECT_EQ(text_at(answer(R"({"in_use_days": 28, "in_use_most_celsius": 37,
                               "spells": [{"celsius": 34, "hours": 48}]})"),
                    "limit_broken"),
            "false");
}

// "its label was kept" at half a degree.
TEST(WarmthJson, H12_BelowTheFridgesLeastTheLabelWasNotKept) {
  for (const auto* celsius : {"0.5", "1.9", "2"}) {
    const auto cold = answer(R"({"in_use_days": 28, "in_use_most_celsius": 30,
                                 "spells": [{"celsius": )" +
                             std::string(celsius) + R"(, "hours": 5}]})");
    const bool kept = std::string_view(celsius) == "2";
    EXPECT_EQ(text_at(cold, "why").find("warmth.why.kept") != std::string::npos, kept) << celsius;
    EXPECT_EQ(text_at(cold, "why").find("warmth.why.cold") == std::string::npos, kept) << celsius;
    EXPECT_EQ(text_at(cold, "do_first").find("warmth.do.use") != std::string::npos, kept);
    EXPECT_EQ(text_at(cold, "do_first").find("warmth.do.today") == std::string::npos, kept);
  }
}

TEST(WarmthJson, EveryFieldIsRead) {
  const auto asked = parse_warmth_request(R"({"in_use_days": 42, "insulin": "insulin detemir",
      "in_use_most_celsius": 30.5, "frozen": false,
      "spells": [{"celsius": -0.5, "hours": 0.25}, {"celsius": 41.3, "hours": 10}]})");
  ASSERT_TRUE(asked);
  EXPECT_EQ(asked->insulin, "insulin detemir");
  EXPECT_EQ(asked->request.in_use_days, 42);
  EXPECT_EQ(asked->request.limit, TenthsCelsius{305});
  ASSERT_EQ(asked->request.spells.size(), 2U);
  EXPECT_EQ(asked->request.spells[0].celsius, TenthsCelsius{-5});
  EXPECT_EQ(asked->request.spells[0].lasted, std::chrono::minutes{15});
  EXPECT_EQ(asked->request.spells[1].lasted, std::chrono::hours{10});
}

TEST(WarmthJson, H25_WhatCannotBeIsRefusedWithItsPlace) {
  struct Row {
    std::string_view request, code, at;
  };
  constexpr Row rows[] = {
      {R"({"spells": []})", "field.missing", "/in_use_days"},
      {R"({"in_use_days": 28})", "warmth.nothing_noted", "/spells"},
      {R"({"in_use_days": 28, "spells": []})", "warmth.nothing_noted", "/spells"},
      {R"({"in_use_days": 0, "frozen": true})", "warmth.days_limit", "/in_use_days"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 37}]})", "field.missing", "/spells/0/hours"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 37.25, "hours": 1}]})", "number.decimals",
       "/spells/0/celsius"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 0}]})", "warmth.hours_limit",
       "/spells/0/hours"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": -5}]})", "warmth.hours_limit",
       "/spells/0/hours"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 999999999}]})", "number.range",
       "/spells/0/hours"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 101, "hours": 1}]})", "warmth.celsius_limit",
       "/spells/0/celsius"},
      {R"({"in_use_days": 28, "spells": [{"celsius": 37, "hours": 1, "days": 1}]})",
       "field.unknown", "/spells/0/days"},
      {R"({"in_use_days": 28, "spells": {}, "frozen": true})", "field.type", "/spells"},
      {R"({"in_use_days": 28, "frozen": true, "in_use_most_celsius": 60})", "warmth.limit_limit",
       "/in_use_most_celsius"}};
  for (const auto& row : rows) {
    const auto found = run_verb(warmth_verb, row.request, bare);
    ASSERT_FALSE(found.has_value()) << row.request;
    EXPECT_EQ(found.error().code, row.code) << row.request;
    EXPECT_EQ(found.error().at, row.at) << row.request;
  }
}

}  // namespace
}  // namespace penstock::verbs
