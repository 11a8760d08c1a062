#include "edge/verbs/cover/cover.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::text_at;

json::Value answer(std::string_view request) { return kit::answer(cover_verb, request); }
Error error(std::string_view request) { return kit::error(cover_verb, request); }
const json::Value& line(const json::Value& result, std::size_t index = 0) {
  return result.find("lines")->members[index].value;
}

/// The contract's line with something else in it, and what stands beside the lines.
std::string request(std::string_view more_of_line, std::string_view beside = "",
                    std::string_view doses = "[20]") {
  return R"({"on": "2027-03-01", "lines": [{"insulin": "insulin glargine", "doses_units": )" +
         std::string(doses) +
         R"(, "prime_units": 2, "new_cartridge_prime_units": 4, "cartridge_units": 300,
            "in_use_days": 28)" +
         std::string(more_of_line) + "}]" + std::string(beside) + "}";
}

TEST(CoverJson, TheContractsExampleStandsInItsFields) {
  const auto result = answer(json::to_text(cover_example()));
  EXPECT_EQ(text_at(result, "on"), R"("2027-03-01")");
  const auto& glargine = line(result);
  EXPECT_EQ(text_at(glargine, "insulin"), R"("insulin glargine")");
  EXPECT_EQ(text_at(glargine, "full_days"), "31");
  EXPECT_EQ(text_at(glargine, "last_full_day"), R"("2027-03-31")");
  EXPECT_EQ(text_at(glargine, "thrown_away_units"), "34");
  EXPECT_EQ(text_at(glargine, "runs_out_chance"), R"([{"date":"2027-04-01","chance":1}])");
  EXPECT_EQ(text_at(glargine, "ask_by"), R"("2027-03-12")");
  EXPECT_EQ(text_at(glargine, "here_by"), R"("2027-03-19")");
  EXPECT_EQ(text_at(glargine, "boxes"), "1");
  EXPECT_EQ(text_at(glargine, "late"), "false");
  const auto& needles = *result.find("needles");
  EXPECT_EQ(text_at(needles, "full_days"), "60");
  EXPECT_EQ(text_at(needles, "last_full_day"), R"("2027-04-29")");
  EXPECT_EQ(text_at(needles, "runs_out_chance"), R"([{"date":"2027-04-30","chance":1}])");
  EXPECT_EQ(text_at(needles, "ask_by"), R"("2027-04-23")");
  EXPECT_EQ(text_at(needles, "boxes"), "0");
  EXPECT_EQ(needles.find("thrown_away_units"), nullptr);
  EXPECT_EQ(result.find("sharps"), nullptr);
  EXPECT_EQ(text_at(result, "ask_by"), R"("2027-03-12")");
  EXPECT_EQ(text_at(result, "cautions"), "[]");
  EXPECT_EQ(text_at(result, "defer"), R"("cover.text.defer")");
}

TEST(CoverJson, OnlyTheHouseIsNeededAndAnEmptyOneHasNoFullDay) {
  const auto result = answer(request(""));
  EXPECT_EQ(text_at(line(result), "full_days"), "0");
  EXPECT_EQ(text_at(line(result), "last_full_day"), "null");
  EXPECT_EQ(text_at(line(result), "thrown_away_units"), "0");
  EXPECT_EQ(text_at(line(result), "runs_out_chance"), R"([{"date":"2027-03-01","chance":1}])");
  EXPECT_EQ(text_at(line(result), "ask_by"), "null");
  EXPECT_EQ(text_at(line(result), "boxes"), "null");
  EXPECT_EQ(text_at(result, "ask_by"), "null");
  EXPECT_EQ(result.find("needles"), nullptr);
}

TEST(CoverJson, EveryFieldOfTheRequestIsRead) {
  const auto asked = parse_cover_request(R"({"on": "2027-03-01", "lines": [{
      "insulin": "insulin isophane", "doses_units": [12.5, 8], "given_on_first_day": 1,
      "changes": [{"from": "2027-03-08", "doses_units": [14.5]},
                  {"from": "2027-03-20", "doses_units": []}],
      "dose_sd_units": 1.25, "step_units": 0.5, "most_units": 30, "window": "counts on",
      "prime_units": 2, "new_cartridge_prime_units": 4, "cartridge_units": 300,
      "in_use_days": 28, "suspension": true, "least_left_to_mix_units": 12,
      "use_the_rest": false,
      "unopened_lots": [{"unopened": 2, "expires": "2027-09-30"}, {"unopened": 1}],
      "open": {"left_units": 120.5, "days_in_use": 10, "new": true, "expires": "2027-05-31"},
      "more_open": [{"left_units": 80, "days_in_use": 3}]}],
    "needles_left": 60, "needle_fails": 0.02, "sharps_room": 75,
    "ask": {"leads": [{"lead_days": 3, "chance": 0.9}, {"lead_days": 10, "chance": 0.1}],
      "service": 0.95, "service_reason": "delivered daily", "service_by": "Sister Mara Lindqvist",
      "spare_cartridges": 2, "for_days": 90, "cartridges_per_box": 10, "needles_per_box": 50,
      "closed_dates": ["2027-03-29"], "closed_weekdays": ["sunday"]}})");
  ASSERT_TRUE(asked) << asked.error().code << asked.error().at;
  const auto& one = asked->request.lines.front();
  EXPECT_EQ(one.doses.size(), 2U);
  EXPECT_EQ(one.doses.front(), *Units::from_hundredths(1250));
  EXPECT_EQ(one.given_on_first_day, 1U);
  ASSERT_EQ(one.changes.size(), 2U);
  EXPECT_EQ(one.changes.front().from, *parse_day("2027-03-08"));
  EXPECT_EQ(one.changes.front().doses, std::vector{*Units::from_hundredths(1450)});
  EXPECT_TRUE(one.changes.back().doses.empty());
  EXPECT_EQ(one.dose_sd, *Units::from_hundredths(125));
  EXPECT_EQ(one.step, *Units::from_hundredths(50));
  EXPECT_EQ(one.most, *Units::from_hundredths(3000));
  EXPECT_EQ(one.window, shelf::Window::counts_on);
  EXPECT_TRUE(asked->window_assumed.empty());
  EXPECT_TRUE(one.suspension);
  EXPECT_EQ(one.least_left_to_mix, *Units::from_hundredths(1200));
  ASSERT_EQ(one.sealed.size(), 2U);
  EXPECT_EQ(one.sealed[0].expires, *parse_day("2027-09-30"));
  EXPECT_EQ(one.sealed[1].cartridges, 1);
  ASSERT_EQ(one.open.size(), 2U);
  EXPECT_TRUE(one.open[0].is_new);
  EXPECT_EQ(one.open[0].expires, *parse_day("2027-05-31"));
  EXPECT_EQ(one.open[1].days_in_use, 3);
  EXPECT_EQ(asked->request.needles_left, 60);
  EXPECT_EQ(asked->request.needle_fails, 0.02);
  EXPECT_EQ(asked->request.sharps_room, 75);
  const auto& ask = *asked->request.ask;
  ASSERT_EQ(ask.leads.size(), 2U);
  EXPECT_EQ(ask.leads[1].days, 10);
  EXPECT_EQ(ask.leads[1].chance, 0.1);
  EXPECT_EQ(ask.service, 0.95);
  EXPECT_EQ(asked->service_by, "Sister Mara Lindqvist");
  EXPECT_EQ(ask.for_days, 90);
  EXPECT_EQ(ask.closed.front(), *parse_day("2027-03-07"));  // the first Sunday
  EXPECT_TRUE(std::ranges::binary_search(ask.closed, *parse_day("2027-03-29")));
  EXPECT_TRUE(std::ranges::is_sorted(ask.closed));
  EXPECT_TRUE(cover::cover(asked->request));
}

TEST(CoverJson, AStepThatNobodyNamedIsTheLargestThatTheWrittenDosesNeed) {
  const auto step = [](std::string_view doses, std::string_view more) {
    const auto asked = parse_cover_request(request(more, "", doses));
    return asked ? asked->request.lines.front().step.hundredths() : -1;
  };
  EXPECT_EQ(step("[20]", ""), 100);
  EXPECT_EQ(step("[20, 7.5]", ""), 50);
  EXPECT_EQ(step("[20, 7.3]", ""), 10);
  EXPECT_EQ(step("[20, 7.33]", ""), 1);
  EXPECT_EQ(step("[20]", R"(, "changes": [{"from": "2027-03-08", "doses_units": [7.3]}])"), 10);
  EXPECT_EQ(step("[20, 7.5]", R"(, "dose_sd_units": 2)"), 100);  // the contract's
  EXPECT_EQ(error(request(R"(, "dose_sd_units": 2)", "", "[7.5]")).code, "cover.not_a_step");
}

// 120 units are three days of 22 and one of 42; each sealed one is seven days of 42.
TEST(CoverJson, H51_AChangeIsCountedFromItsDay) {
  const auto result = answer(request(
      R"(, "unopened": 2, "open": {"left_units": 120, "days_in_use": 10},
           "changes": [{"from": "2027-03-04", "doses_units": [40]}])"));
  EXPECT_EQ(text_at(line(result), "runs_out_chance"), R"([{"date":"2027-03-19","chance":1}])");
}

TEST(CoverJson, AWindowThatNobodyNamedIsSaid) {
  const auto result = answer(request(R"(, "unopened": 1, "most_units": 15)"));
  EXPECT_NE(text_at(result, "cautions").find("window_assumed"), std::string::npos);
  // 20 units in two injections of 10: 4 + 2 + 20 first, then 24 each day.
  EXPECT_EQ(text_at(line(result), "full_days"), "12");
  EXPECT_EQ(text_at(line(result), "thrown_away_units"), "10");
}

TEST(CoverJson, H51_LessThanTheUsualServiceNeedsANameAndAReason) {
  const auto ask = [](std::string_view more) {
    return request(R"(, "unopened": 3)", R"(, "ask": {"lead_days": 7)" + std::string(more) + "}");
  };
  const auto lacking = error(ask(R"(, "service": 0.95)"));
  EXPECT_EQ(lacking.code, "cover.service_unsigned");
  EXPECT_EQ(lacking.kind, Kind::refused);
  EXPECT_EQ(lacking.at, "/ask/service_reason");
  EXPECT_EQ(error(ask(R"(, "service": 0.95, "service_reason": "lives next door")")).at,
            "/ask/service_by");
  const auto result = answer(ask(
      R"(, "service": 0.95, "service_reason": "lives next door", "service_by": "Mara Lindqvist")"));
  const auto cautions = text_at(result, "cautions");
  EXPECT_NE(cautions.find("lives next door"), std::string::npos);
  EXPECT_NE(cautions.find("Mara Lindqvist"), std::string::npos);
  EXPECT_EQ(text_at(answer(ask(R"(, "service": 0.99)")), "cautions"), "[]");
}

TEST(CoverJson, H25_WhatCannotBeIsRefusedWithItsPlace) {
  struct Row {
    std::string request;
    std::string_view code, at;
  };
  const Row rows[] = {
      {R"({"lines": []})", "field.missing", "/on"},
      {R"({"on": "2027-03-01", "lines": []})", "cover.no_lines", "/lines"},
      {R"({"on": "2027-03-01", "lines": [], "line": []})", "field.unknown", "/line"},
      {R"({"on": "2027-02-29", "lines": []})", "date.form", "/on"},
      {request("", "", "[]"), "cover.no_doses", "/lines/0/doses_units"},
      {request("", "", "[20, 0]"), "cover.value_range", "/lines/0/doses_units/1"},
      {request("", "", "[20.005]"), "number.decimals", "/lines/0/doses_units/0"},
      {request("", "", R"(["20"])"), "field.type", "/lines/0/doses_units/0"},
      {request("", "", "[301]"), "cover.dose_never_fits", "/lines/0/doses_units/0"},
      {request(R"(, "step_units": 2)", "", "[21]"), "cover.not_a_step", "/lines/0/doses_units/0"},
      {request(R"(, "unopened": 1001)"), "cover.value_range", "/lines/0/unopened"},
      {request(R"(, "unopened": -1)"), "cover.value_range", "/lines/0/unopened"},
      {request(R"(, "unopened": 1, "unopened_lots": [])"), "field.unknown", "/lines/0/unopened"},
      {request(R"(, "open": {"left_units": 5})"), "field.missing", "/lines/0/open/days_in_use"},
      {request(R"(, "open": {"left_units": 5, "days_in_use": -1})"), "cover.value_range",
       "/lines/0/open/days_in_use"},
      {request(R"(, "open": {"left_units": 5, "days_in_use": 1},
                    "more_open": [{"left_units": 4000, "days_in_use": 1}])"),
       "cover.value_range", "/lines/0/more_open/0/left_units"},
      {request(R"(, "more_open": [])"), "field.missing", "/lines/0/open"},
      {request(R"(, "changes": [{"from": "2027-03-04"}])"), "field.missing",
       "/lines/0/changes/0/doses_units"},
      {request(R"(, "changes": [{"from": "2027-03-04", "doses_units": [301]}])"),
       "cover.dose_never_fits", "/lines/0/changes/0/doses_units/0"},
      {request(R"(, "changes": [{"from": "2027-03-04", "doses_units": []},
                                {"from": "2027-03-04", "doses_units": [2]}])"),
       "cover.changes_order", "/lines/0/changes/1/from"},
      {request(R"(, "given_on_first_day": 2)"), "cover.value_range", "/lines/0/given_on_first_day"},
      {request(R"(, "given_on_first_day": -1)"), "cover.value_range",
       "/lines/0/given_on_first_day"},
      {request(R"(, "most_units": 2, "window": "counts on")"), "cover.prime_fills_window",
       "/lines/0/prime_units"},
      {request(R"(, "suspension": true, "use_the_rest": true)"), "cover.split_suspension",
       "/lines/0/use_the_rest"},
      {request("", R"(, "needles_left": -1)"), "cover.value_range", "/needles_left"},
      {request("", R"(, "needle_fails": 0.9)"), "cover.value_range", "/needle_fails"},
      {request("", R"(, "ask": {})"), "field.missing", "/ask/lead_days"},
      {request("", R"(, "ask": {"lead_days": 400})"), "cover.value_range", "/ask/lead_days"},
      {request("", R"(, "ask": {"lead_days": 7, "service": 1.01})"), "cover.value_range",
       "/ask/service"},
      {request("", R"(, "ask": {"lead_days": 7, "for_days": 0})"), "cover.value_range",
       "/ask/for_days"},
      {request("", R"(, "ask": {"leads": [{"lead_days": 7, "chance": 0.5}]})"), "cover.leads_sum",
       "/ask/leads"},
      {request("", R"(, "ask": {"leads": [], "lead_days": 7})"), "field.unknown", "/ask/lead_days"},
      {request("", R"(, "ask": {"lead_days": 7, "closed_weekdays": ["sun"]})"), "field.choice",
       "/ask/closed_weekdays/0"},
      {"{", "json.syntax", "1"}};
  for (const auto& row : rows) {
    const auto found = error(row.request);
    EXPECT_EQ(found.code, row.code) << row.request;
    EXPECT_EQ(found.at, row.at) << row.request;
  }
}

TEST(CoverJson, VaryingDosesHaveACumulativeChanceADay) {
  const auto result = answer(request(R"(, "dose_sd_units": 4, "unopened": 2)"));
  const auto& chances = *line(result).find("runs_out_chance");
  ASSERT_GT(chances.members.size(), 5U);
  double before = 0;
  for (const auto& item : chances.members) {
    const double chance = std::stod(item.value.find("chance")->text);
    EXPECT_GE(chance, before);
    before = chance;
  }
  EXPECT_NEAR(before, 1, 2e-9);
}

}  // namespace
}  // namespace penstock::verbs
