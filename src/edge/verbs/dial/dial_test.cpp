#include "edge/verbs/dial/dial.hpp"

#include <gtest/gtest.h>

#include <set>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using namespace literals;

/// The code and the names of its arguments.
std::string bare(std::string_view code, std::span<const Arg> args) {
  std::string text(code);
  for (const auto& arg : args) text += " " + arg.name;
  return text;
}

json::Value answer(std::string_view request) { return kit::answer(dial_verb, request, bare); }
Error error(std::string_view request) { return kit::error(dial_verb, request); }
const json::Value& first(const json::Value& result, std::string_view what) {
  for (const auto& member : result.find("actions")->members) {
    if (member.value.find("do")->text == what) return member.value;
  }
  ADD_FAILURE() << "no action " << what;
  return result;
}
/// The example with one piece of its text replaced.
std::string with(std::string_view old_text, std::string_view new_text) {
  std::string text = json::to_text(dial_example());
  const auto at = text.find(old_text);
  EXPECT_NE(at, std::string::npos) << old_text;
  return text.replace(at, old_text.size(), new_text);
}

TEST(DialJson, H01_TheExampleIsTwentyOneAndLeaves229) {
  const auto result = answer(json::to_text(dial_example()));
  EXPECT_EQ(first(result, "dial").find("cartridge")->text, "A");
  EXPECT_EQ(first(result, "dial").find("dose_units")->text, "18");
  EXPECT_EQ(first(result, "dial").find("window_units")->text, "21");
  EXPECT_EQ(result.find("given_units")->text, "18");
  EXPECT_EQ(result.find("needles")->text, "1");
  EXPECT_EQ(json::to_text(*result.find("left_after")), R"([{"id":"A","left_units":229}])");
  EXPECT_EQ(result.find("window_by_prime"), nullptr);  // flow was seen
  const auto back = answer(with("counts on", "returns to zero"));
  EXPECT_EQ(first(back, "dial").find("window_units")->text, "18");
}

TEST(DialJson, FlowNotSeenListsTheWindows) {
  const auto result = answer(with(R"("flow_seen":true)", R"("flow_seen":false)"));
  EXPECT_EQ(first(result, "prime").find("prime_units")->text, "1");
  EXPECT_EQ(first(result, "dial").find("window_units")->text, "22");
  EXPECT_FALSE(first(result, "dial").find("flow_seen")->flag);
  const auto* rows = result.find("window_by_prime");
  ASSERT_NE(rows, nullptr);
  EXPECT_EQ(json::to_text(rows->members[0].value), R"({"primed_units":4,"window_units":22})");
  EXPECT_EQ(json::to_text(rows->members[1].value), R"({"primed_units":5,"window_units":23})");
}

TEST(DialJson, EveryFieldOfTheRequestIsRead) {
  const auto request = parse_dial_request(R"({
    "dose_units": 12.5, "part_of_units": 22.5,
    "insulin": {"name": "NPH insulin", "strength_units_per_ml": 200, "suspension": true,
                "least_left_to_mix_units": 12},
    "pen": {"step_units": 0.5, "most_units": 30, "window": "returns to zero", "hold_seconds": 6},
    "prime": {"units": 2, "new_cartridge_units": 4, "spent_units": 1.5, "flow_seen": false,
              "through_needle_units": 0.5, "needle_on": true,
              "dry_primes": 2, "needle_changed": true},
    "cartridges": [{"id": "A", "left_units": 0.05, "days_in_use": 3, "in_use_days": 28},
                   {"id": "B", "left_units": 300, "in_use_days": 42, "new": true}],
    "prefer": "least waste", "split": "if short", "next_doses_units": [12, 8.5]})");
  ASSERT_TRUE(request);
  EXPECT_EQ(request->dose, 12.5_units);
  EXPECT_EQ(request->part_of, 22.5_units);
  EXPECT_EQ(request->insulin.name, "NPH insulin");
  EXPECT_EQ(request->insulin.strength.units_per_ml, 200);
  EXPECT_TRUE(request->insulin.suspension);
  EXPECT_EQ(request->insulin.least_left_to_mix, 12_units);
  EXPECT_EQ(request->pen.step, 0.5_units);
  EXPECT_EQ(request->pen.most, 30_units);
  EXPECT_EQ(request->pen.window, shelf::Window::returns_to_zero);
  EXPECT_EQ(request->pen.hold_seconds, 6);
  EXPECT_EQ(request->prime.units, 2_units);
  EXPECT_EQ(request->prime.new_cartridge, 4_units);
  EXPECT_EQ(request->prime.spent, 1.5_units);
  EXPECT_EQ(request->prime.dry_primes, 2);
  EXPECT_TRUE(request->prime.needle_changed);
  EXPECT_EQ(request->prime.through_needle, 0.5_units);
  EXPECT_EQ(request->prime.needle_on, true);
  ASSERT_EQ(request->cartridges.size(), 2U);
  EXPECT_EQ(request->cartridges[0].left, 0.05_units);
  EXPECT_EQ(request->cartridges[0].days_in_use, 3);
  EXPECT_FALSE(request->cartridges[0].is_new);
  EXPECT_FALSE(request->cartridges[1].days_in_use);
  EXPECT_EQ(request->cartridges[1].is_new, true);
  EXPECT_EQ(request->prefer, draw::Prefer::least_waste);
  EXPECT_EQ(request->split, draw::Split::if_short);
  EXPECT_EQ(request->next_doses, (std::vector<Units>{12_units, 8.5_units}));
}

TEST(DialJson, TheLeastToMixMayStandBesideTheInsulinAndTheNextDoseAlone) {
  const auto text = with(R"("dose_units":18,)",
                         R"("dose_units":18,"least_left_to_mix_units":12,"next_doses_units":20,)");
  const auto request = parse_dial_request(text);
  ASSERT_TRUE(request);
  EXPECT_EQ(request->insulin.least_left_to_mix, 12_units);
  EXPECT_EQ(request->next_doses, std::vector<Units>{20_units});
  const auto twice = parse_dial_request(
      R"({"dose_units": 1, "least_left_to_mix_units": 12, "cartridges": [],
          "insulin": {"name": "x", "strength_units_per_ml": 100, "least_left_to_mix_units": 12},
          "pen": {"step_units": 1, "most_units": 60}, "prime": {"units": 2}})");
  EXPECT_EQ(twice.error().code, json::codes::duplicate);
}

TEST(DialJson, H25_WhatCannotBeIsRefusedWithItsPlace) {
  struct Row {
    std::string_view old_text, new_text, code, at;
  };
  constexpr Row rows[] = {
      {R"("dose_units":18)", R"("dose_units":0)", "dial.dose_none", "/dose_units"},
      {R"("dose_units":18)", R"("dose_units":400)", "dial.dose_limit", "/dose_units"},
      {R"("dose_units":18)", R"("dose_units":18.5)", "dial.dose_not_in_steps", "/dose_units"},
      {R"("dose_units":18)", R"("dose_units":18.001)", "number.decimals", "/dose_units"},
      {R"("dose_units":18)", R"("dose_units":-1)", "number.range", "/dose_units"},
      {R"("dose_units":18)", R"("dose_units":1e1)", "number.form", "/dose_units"},
      {R"("dose_units":18)", R"("dose_units":"18")", "field.type", "/dose_units"},
      {R"("dose_units":18)", R"("dose":18)", "field.unknown", "/dose"},
      {R"("dose_units":18,)", R"("dose_units":18,"dose_units":18,)", "json.duplicate",
       "/dose_units"},
      {R"("window":"counts on")", R"("window":"counts")", "field.choice", "/pen/window"},
      {R"(,"window":"counts on")", "", "dial.window_unknown", "/pen/window"},
      {R"("days_in_use":6,)", R"("days_in_use":-6,)", "dial.days_in_use_limit",
       "/cartridges/0/days_in_use"},
      {R"("days_in_use":6,)", R"("days_in_use":28,)", "dial.all_past_in_use", "/cartridges"},
      {R"("left_units":247)", R"("left_units":17)", "dial.cartridge_short", "/cartridges"},
      {R"("left_units":247)", R"("left":247)", "field.unknown", "/cartridges/0/left"},
      {R"(,"strength_units_per_ml":100)", "", "field.missing", "/insulin/strength_units_per_ml"}};
  for (const auto& row : rows) {
    const auto found = error(with(row.old_text, row.new_text));
    EXPECT_EQ(found.code, row.code) << row.new_text;
    EXPECT_EQ(found.at, row.at) << row.new_text;
  }
}

/// The example for another insulin.
std::string of_insulin(std::string_view name, bool suspension) {
  const auto text =
      with(R"("suspension":false)", suspension ? R"("suspension":true)" : R"("suspension":false)");
  auto value = json::parse(text);
  for (auto& member : value->members) {
    if (member.key == "insulin") member.value.members[0].value = json::string(name);
  }
  return json::to_text(*value);
}

TEST(DialJson, H14_ASuspensionsActionsStartWithMix) {
  const auto result = answer(of_insulin("human NPH insulin", true));
  EXPECT_EQ(result.find("actions")->members[0].value.find("do")->text, "mix");
}

// Pharmacist D8: the shelf knows them by name.
TEST(DialJson, H14_ACloudyInsulinIsKnownByItsName) {
  for (const auto* name : {"human NPH insulin", "insulin lispro 25/75", "human insulin 30/70",
                           " Human  NPH insulin", "NPH insulin", "insulin isophane"}) {
    const auto found = error(of_insulin(name, false));
    EXPECT_EQ(found.code, "dial.cloudy_as_clear") << name;
    EXPECT_EQ(found.at, "/insulin/suspension") << name;
    const auto mixed = answer(of_insulin(name, true));
    EXPECT_EQ(mixed.find("actions")->members[0].value.find("do")->text, "mix") << name;
    EXPECT_EQ(first(mixed, "look at insulin").find("text")->text,
              "dial.do.look_at_insulin_cloudy cartridge left insulin strength");
  }
}
TEST(DialJson, H14_AClearInsulinIsNeverSaidToBeMilky) {
  const auto found = error(of_insulin("insulin glargine", true));
  EXPECT_EQ(found.code, "dial.clear_as_cloudy");
  EXPECT_EQ(found.at, "/insulin/suspension");
  // What the shelf does not know is taken at its word.
  EXPECT_EQ(
      first(answer(of_insulin("insulin of the moon", true)), "look at insulin").find("text")->text,
      "dial.do.look_at_insulin_cloudy cartridge left insulin strength");
}

// Pharmacist D14: Q015 to Q017.
TEST(DialJson, H14_MixingSaysHowOften) {
  const auto result = answer(of_insulin("human NPH insulin", true));
  EXPECT_EQ(first(result, "mix").find("text")->text, "dial.do.mix cartridge left rolls tips");
  EXPECT_GE(dial::mix_rolls + dial::mix_tips, 20);
}

// Pharmacist D5, nurse A19.
TEST(DialJson, H01_APenThatCountsOnSaysWhatItsWindowShowsBeforeThePrime) {
  const auto text = with(R"("spent_units":3,"flow_seen":true)", R"("spent_units":0)");
  const auto zero = first(answer(text), "prime");
  EXPECT_EQ(zero.find("text")->text, "dial.do.prime_from_zero cartridge left primed window");
  EXPECT_EQ(zero.find("window_before_units")->text, "0");
  const auto on = first(answer(with(R"("flow_seen":true)", R"("dry_primes":1)")), "prime");
  EXPECT_EQ(on.find("text")->text, "dial.do.prime_on cartridge left primed window");
  EXPECT_EQ(on.find("window_before_units")->text, "3");
}

TEST(DialJson, H07_H46_TheQuestionComesBeforeTheActions) {
  const auto result = answer(json::to_text(dial_example()));
  EXPECT_EQ(result.members[0].key, "ask_first");
  EXPECT_EQ(result.find("ask_first")->find("code")->text, "taken already");
  const auto request = parse_dial_request(dial_example());
  const auto text = dial_text(*request, *dial::plan(*request), bare);
  EXPECT_EQ(text.find("dial.ask.taken_already"), 0U);
}

TEST(DialJson, H39_APartSaysTheWhole) {
  const auto result = answer(with(R"("dose_units":18,)", R"("dose_units":12,"part_of_units":22,)"));
  EXPECT_EQ(first(result, "dial").find("dose_units")->text, "12");
  EXPECT_EQ(first(result, "dial").find("part_of_units")->text, "22");
  EXPECT_EQ(json::to_text(result.find("cautions")->members[0].value),
            R"({"code":"dial.caution.rest_of_dose","text":"dial.caution.rest_of_dose dose of"})");
}

TEST(DialJson, EveryKindOfActionHasItsSentencesKey) {
  const auto request = *parse_dial_request(dial_example());
  std::set<std::string> keys;
  for (std::size_t i = 0; i < dial::do_names.size(); ++i) {
    const auto key =
        dial_action_said(request,
                         {.what = static_cast<dial::Do>(i), .part_of = {}, .window_by_prime = {}})
            .first;
    EXPECT_EQ(key.find_first_of(" 0123456789"), std::string::npos);
    keys.insert(key);
  }
  EXPECT_EQ(keys.size(), dial::do_names.size());
}

}  // namespace
}  // namespace penstock::verbs
