#include "edge/verbs/accuracy/accuracy.hpp"

#include <gtest/gtest.h>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::bare;
using kit::text_at;

json::Value answer(std::string_view request) { return kit::answer(accuracy_verb, request); }

TEST(AccuracyJson, TheExampleHasTheContractsFields) {
  const auto result = answer(json::to_text(accuracy_example()));
  // k: Howe's approximation would be 2.752. Mean and sd: by a pocket calculator.
  EXPECT_EQ(text_at(result, "k"), "2.7603");
  EXPECT_EQ(text_at(result, "mean_units"), "9.966");
  EXPECT_EQ(text_at(result, "sd_units"), "0.0871");
  EXPECT_EQ(text_at(result, "low_units"), "9.7256");
  EXPECT_EQ(text_at(result, "high_units"), "10.2064");
  EXPECT_EQ(text_at(result, "limit_low_units"), "9");
  EXPECT_EQ(text_at(result, "limit_high_units"), "11");
  EXPECT_EQ(text_at(result, "within"), "true");
  EXPECT_EQ(text_at(result, "n"), "20");
  EXPECT_EQ(text_at(result, "fails"), R"("none")");
  EXPECT_EQ(text_at(result, "outside"), "0");
  EXPECT_EQ(text_at(result, "more_needed"), "0");
  EXPECT_EQ(text_at(*result.find("drift"), "seen"), "false");
  EXPECT_NE(text_at(result, "source").find("Krzywon"), std::string::npos);
}

TEST(AccuracyJson, TheExampleIsTheRoomsExample) {
  const auto read = parse_accuracy_request(accuracy_example());
  ASSERT_TRUE(read);
  const auto own = accuracy::example();
  EXPECT_EQ(read->dose, own.dose);
  EXPECT_EQ(read->step, own.step);
  EXPECT_EQ(read->content, own.content);
  EXPECT_EQ(read->confidence, own.confidence);
  EXPECT_EQ(read->delivered, own.delivered);
}

// D018, D027: Gnanalingham 1998, a published summary as a request.
TEST(AccuracyJson, APublishedSummaryIsARequest) {
  const auto result = answer(R"({"dose_units": 1, "step_units": 1, "content": 0.975,
      "confidence": 0.95, "n": 75, "mean_units": 0.89, "sd_units": 0.04})");
  EXPECT_EQ(text_at(result, "k"), "2.6143");
  EXPECT_EQ(text_at(result, "low_units"), "0.7854");
  EXPECT_EQ(text_at(result, "high_units"), "0.9946");
  EXPECT_EQ(text_at(result, "limit_low_units"), "0");
  EXPECT_EQ(text_at(result, "limit_high_units"), "2");
  EXPECT_EQ(text_at(result, "outside"), "null");
  EXPECT_EQ(text_at(result, "drift"), "null");
}

TEST(AccuracyJson, WithoutContentAndConfidenceTheyAreTheStandards) {
  const auto result = answer(
      R"({"dose_units": 10, "step_units": 0.5, "n": 60, "mean_units": 10, "sd_units": 0.1})");
  EXPECT_EQ(text_at(result, "k"), "2.6701");
  EXPECT_EQ(text_at(result, "content"), "0.975");
  EXPECT_EQ(text_at(result, "confidence"), "0.95");
  EXPECT_EQ(text_at(result, "limit_low_units"), "9.5");
}

// n = 6, 95 % at 95 %: k 4.4222 (K008). An end just outside must not print as the limit.
TEST(AccuracyJson, AnEndOutsideItsLimitNeverPrintsAsTheLimit) {
  const auto result = answer(R"({"dose_units": 10, "step_units": 1, "content": 0.95,
      "confidence": 0.95, "n": 6, "mean_units": 10, "sd_units": 0.22614})");
  EXPECT_EQ(text_at(result, "within"), "false");
  EXPECT_EQ(text_at(result, "fails"), R"("both")");
  EXPECT_EQ(text_at(result, "low_units"), "8.9999");
  EXPECT_EQ(text_at(result, "high_units"), "11.0001");
  EXPECT_EQ(text_at(result, "least_n"), "7");
  EXPECT_EQ(text_at(result, "more_needed"), "1");
}

TEST(AccuracyJson, H25_WhatCannotBeIsRefusedWithItsPlace) {
  struct Row {
    std::string_view request, code, at;
  };
  constexpr Row rows[] = {
      {R"({"step_units": 1})", "field.missing", "/dose_units"},
      {R"({"dose_units": 10, "step_units": 1})", "accuracy.values_or_summary", "/delivered_units"},
      {R"({"dose_units": 10, "step_units": 1, "n": 3, "mean_units": 10})", "field.missing",
       "/sd_units"},
      {R"({"dose_units": 10, "step_units": 1, "mean_units": 10, "sd_units": 1})", "field.missing",
       "/n"},
      {R"({"dose_units": 10, "step_units": 1, "delivered_units": [10, 9.999]})", "number.decimals",
       "/delivered_units/1"},
      {R"({"dose_units": 10, "step_units": 1, "delivered_units": [10, -1]})", "number.range",
       "/delivered_units/1"},
      {R"({"dose_units": 10, "step_units": 1, "delivered_units": 10})", "field.type",
       "/delivered_units"},
      {R"({"dose_units": 10, "step_units": 1, "delivered_units": [10]})", "accuracy.n_limit",
       "/delivered_units"},
      {R"({"dose_units": 10, "step_units": 1, "content": 95, "n": 9, "mean_units": 1, "sd_units": 1})",
       "accuracy.content_limit", "/content"},
      {R"({"dose_units": 10, "step_units": 1, "content": 0.97512, "delivered_units": [1, 2]})",
       "number.decimals", "/content"},
      {R"({"dose_units": 10, "step_units": 1, "confidence": 1, "delivered_units": [1, 2]})",
       "accuracy.confidence_limit", "/confidence"},
      {R"({"dose_units": 10, "step_units": 1, "delivered": [1, 2]})", "field.unknown",
       "/delivered"},
      {R"({"dose_units": 0, "step_units": 1, "delivered_units": [1, 2]})", "accuracy.dose_limit",
       "/dose_units"},
      {R"({"dose_units": 10.5, "step_units": 1, "delivered_units": [1, 2]})",
       "accuracy.step_misses", "/dose_units"},
      {R"({"dose_units": 10, "step_units": 1, "n": 3, "mean_units": -1, "sd_units": 0})",
       "accuracy.mean_limit", "/mean_units"},
      {R"({"dose_units": 10, "step_units": 1, "n": 3, "mean_units": 99999999, "sd_units": 0})",
       "number.range", "/mean_units"}};
  for (const auto& row : rows) {
    const auto found = run_verb(accuracy_verb, row.request, bare);
    ASSERT_FALSE(found.has_value()) << row.request;
    EXPECT_EQ(found.error().code, row.code) << row.request;
    EXPECT_EQ(found.error().at, row.at) << row.request;
  }
}

}  // namespace
}  // namespace penstock::verbs
