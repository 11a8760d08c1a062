#include "edge/verbs/reach/reach.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::bare;
using kit::text_at;

json::Value answer(std::string_view request) { return kit::answer(reach_verb, request); }
Error error(std::string_view request) { return kit::error(reach_verb, request); }

TEST(ReachJson, H16_TheContractsExampleIsAQuarterInMuscleAndNamesTheShorterNeedle) {
  const auto result = answer(json::to_text(reach_example()));
  EXPECT_EQ(text_at(result, "tip_mm"), "8");
  EXPECT_EQ(text_at(result, "median_depth_mm"), "10.9");
  EXPECT_EQ(text_at(result, "depth_band_mm"), "[10.3,11.6]");
  EXPECT_EQ(text_at(result, "eight_of_ten_mm"), "[6.01,19.78]");
  EXPECT_EQ(text_at(result, "muscle_chance"), "0.253");
  EXPECT_EQ(text_at(result, "skin_chance"), "0");
  EXPECT_EQ(text_at(result, "model"), R"("cohort")");
  EXPECT_EQ(text_at(result, "people"), R"("adults")");
  EXPECT_EQ(text_at(result, "how_known"), R"("read")");
  EXPECT_NE(text_at(result, "source").find("Hirsch"), std::string::npos);
  EXPECT_EQ(result.find("measured_sd_mm"), nullptr);
  const auto& better = *result.find("better");
  EXPECT_EQ(text_at(better, "change"), R"("needle")");
  EXPECT_EQ(text_at(better, "needle_mm"), "4");
  EXPECT_EQ(text_at(better, "zone"), R"("thigh")");
  EXPECT_EQ(text_at(better, "angle_deg"), "90");
  EXPECT_EQ(text_at(better, "fold"), "false");
  EXPECT_EQ(text_at(better, "muscle_chance"), "0.0155");
  EXPECT_EQ(json::to_text(result.find("changes")->members[0].value), json::to_text(better));
  EXPECT_EQ(text_at(result, "defer"), R"("site.defer_reach")");
}

TEST(ReachJson, OnlyZoneAndNeedleAreNeeded) {
  const auto request = parse_reach_request(R"({"zone": "arm", "needle_mm": 4.5})");
  ASSERT_TRUE(request);
  EXPECT_EQ(request->zone, BodyPart::arm);
  EXPECT_EQ(request->needle, TenthsMm{45});
  EXPECT_EQ(request->angle_deg, 90);
  EXPECT_FALSE(request->fold);
  EXPECT_TRUE(request->can_fold);
  EXPECT_EQ(request->people, reach::People::adults);
}

TEST(ReachJson, EveryFieldOfTheRequestIsRead) {
  const auto request = parse_reach_request(R"({
    "zone": "abdomen left lower", "needle_mm": 12.7, "angle_deg": 45, "fold": true,
    "people": "pregnant women", "sex": "female", "bmi_kg_m2": 27.45, "age_years": 31,
    "pregnancy_week": 30, "measured_mm": 11.25, "measured_sd_mm": 0.8, "pressed_percent": 20,
    "can_fold": true})");
  ASSERT_TRUE(request);
  EXPECT_EQ(request->zone, BodyPart::abdomen);
  EXPECT_EQ(request->needle, TenthsMm{127});
  EXPECT_EQ(request->angle_deg, 45);
  EXPECT_TRUE(request->fold);
  EXPECT_EQ(request->people, reach::People::pregnant_women);
  EXPECT_EQ(request->sex, reach::Sex::female);
  EXPECT_EQ(request->bmi, reach::TenthsBmi{275});  // half upwards
  EXPECT_EQ(request->age_years, 31);
  EXPECT_EQ(request->pregnancy_week, 30);
  EXPECT_EQ(request->measured, TenthsMm{113});
  EXPECT_EQ(request->measured_sd, TenthsMm{8});
  EXPECT_EQ(request->pressed_percent, 20);
  EXPECT_TRUE(request->can_fold);
}

TEST(ReachJson, EveryZoneOfTheContractIsAPartOfTheBody) {
  for (std::size_t i = 0; i < zone_names.size(); ++i) {
    const auto request =
        parse_reach_request(R"({"needle_mm": 4, "zone": ")" + std::string(zone_names[i]) + R"("})");
    ASSERT_TRUE(request) << zone_names[i];
    EXPECT_EQ(request->zone, part_of(static_cast<Zone>(i)));
    EXPECT_TRUE(
        zone_names[i].starts_with(body_part_names[static_cast<std::size_t>(request->zone)]));
  }
}

TEST(ReachJson, H25_H33_WhatCannotBeAndWhomItIsNotForIsRefusedWithItsPlace) {
  struct Row {
    std::string_view request, code, at;
  };
  constexpr Row rows[] = {
      {R"({"zone": "thigh"})", "field.missing", "/needle_mm"},
      {R"({"needle_mm": 8})", "field.missing", "/zone"},
      {R"({"zone": "calf", "needle_mm": 8})", "field.choice", "/zone"},
      {R"({"zone": "thigh", "needle_mm": 8, "people": "giants"})", "field.choice", "/people"},
      {R"({"zone": "thigh", "needle_mm": 8, "needle": 8})", "field.unknown", "/needle"},
      {R"({"zone": "thigh", "zone": "arm", "needle_mm": 8})", "json.duplicate", "/zone"},
      {R"({"zone": "thigh", "needle_mm": "8"})", "field.type", "/needle_mm"},
      {R"({"zone": "thigh", "needle_mm": 8.55})", "number.decimals", "/needle_mm"},
      {R"({"zone": "thigh", "needle_mm": 80})", "reach.needle_limit", "/needle_mm"},
      {R"({"zone": "thigh", "needle_mm": 8, "angle_deg": 90.5})", "number.decimals", "/angle_deg"},
      {R"({"zone": "thigh", "needle_mm": 8, "angle_deg": 0})", "reach.angle_limit", "/angle_deg"},
      {R"({"zone": "thigh", "needle_mm": 8, "sex": "male"})", "reach.sex_and_bmi", "/sex"},
      {R"({"zone": "thigh", "needle_mm": 8, "bmi_kg_m2": 25})", "reach.sex_and_bmi", "/bmi_kg_m2"},
      {R"({"zone": "thigh", "needle_mm": 8, "sex": "male", "bmi_kg_m2": 17})", "reach.bmi_outside",
       "/bmi_kg_m2"},
      {R"({"zone": "thigh", "needle_mm": 8, "sex": "male", "bmi_kg_m2": -17})", "number.range",
       "/bmi_kg_m2"},
      {R"({"zone": "thigh", "needle_mm": 8, "sex": "male", "bmi_kg_m2": 99999999})", "number.range",
       "/bmi_kg_m2"},
      {R"({"zone": "thigh", "needle_mm": 8, "age_years": 17})", "reach.child_in_adults",
       "/age_years"},
      {R"({"zone": "thigh", "needle_mm": 8, "people": "children"})", "reach.age_needed",
       "/age_years"},
      {R"({"zone": "thigh", "needle_mm": 8, "measured_sd_mm": 1})", "reach.measured_sd",
       "/measured_sd_mm"},
      {R"({"zone": "thigh left", "needle_mm": 8, "people": "pregnant women", "pregnancy_week": 30})",
       "reach.zone_not_measured", "/zone"},
      {R"({"zone": "arm", "needle_mm": 8, "fold": true, "can_fold": false})", "reach.no_fold",
       "/fold"},
      {"{", "json.syntax", "1"}};
  for (const auto& row : rows) {
    const auto found = error(row.request);
    EXPECT_EQ(found.code, row.code) << row.request;
    EXPECT_EQ(found.at, row.at) << row.request;
  }
  const auto unknown = error(R"({"zone": "calf", "needle_mm": 8})");
  const auto allowed = std::ranges::find(unknown.args, "allowed", &Arg::name);
  ASSERT_NE(allowed, unknown.args.end());
  EXPECT_NE(allowed->text.find("thigh"), std::string::npos);
  EXPECT_NE(allowed->text.find("arm right"), std::string::npos);
}

TEST(ReachJson, AnOwnMeasurementSaysWithWhichSd) {
  const auto given =
      answer(R"({"zone": "thigh", "needle_mm": 4, "measured_mm": 9, "measured_sd_mm": 0.5})");
  EXPECT_EQ(text_at(given, "measured_sd_mm"), "0.5");
  EXPECT_EQ(text_at(given, "model"), R"("measured")");
  EXPECT_EQ(text_at(given, "source"), R"("reach.own_measurement")");
  const auto assumed = answer(R"({"zone": "thigh", "needle_mm": 4, "measured_mm": 9})");
  EXPECT_EQ(text_at(assumed, "measured_sd_mm"), "1");
  EXPECT_NE(text_at(assumed, "cautions").find("measured_sd_assumed"), std::string::npos);
}

TEST(ReachJson, NothingBetterIsNull) {
  const auto result = answer(R"({"zone": "buttock", "needle_mm": 4})");
  EXPECT_EQ(text_at(result, "better"), "null");
  EXPECT_EQ(text_at(result, "changes"), "[]");
}

TEST(ReachJson, AChanceIsPrintedAsPublicationsDoAndTheTailsAsUnderAndOver) {
  const auto said = [](double chance) { return reach_chance_text(chance, bare); };
  EXPECT_EQ(said(0), "reach.under percent=0.5");
  EXPECT_EQ(said(0.00499), "reach.under percent=0.5");
  EXPECT_EQ(said(0.005), "reach.percent percent=0.5");
  EXPECT_EQ(said(0.0155), "reach.percent percent=1.6");
  EXPECT_EQ(said(0.02), "reach.percent percent=2");
  EXPECT_EQ(said(0.0979), "reach.percent percent=9.8");
  EXPECT_EQ(said(0.0996), "reach.percent percent=10");
  EXPECT_EQ(said(0.253), "reach.percent percent=25");
  EXPECT_EQ(said(0.994), "reach.percent percent=99");
  EXPECT_EQ(said(0.9951), "reach.over percent=99.5");
  EXPECT_EQ(said(1), "reach.over percent=99.5");
}

}  // namespace
}  // namespace penstock::verbs
