#include "edge/verbs/places/places.hpp"

#include <gtest/gtest.h>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::bare;

json::Value answer(std::string_view request) { return kit::answer(places_verb, request); }
Error error(std::string_view request) { return kit::error(places_verb, request); }
/// The example with one piece of its text replaced.
std::string with(std::string_view old_text, std::string_view new_text) {
  std::string text = json::to_text(places_example());
  const auto at = text.find(old_text);
  EXPECT_NE(at, std::string::npos) << old_text;
  return text.replace(at, old_text.size(), new_text);
}
/// The example with one more field.
std::string plus(std::string_view field) {
  return with(R"("days":28,)", R"("days":28,)" + std::string(field) + ",");
}

TEST(PlacesJson, TheExampleIsTheCoresOwn) {
  const auto read = parse_places_request(places_example());
  ASSERT_TRUE(read);
  const auto own = places::example();
  EXPECT_EQ(read->from, own.from);
  EXPECT_EQ(read->days, own.days);
  EXPECT_EQ(read->zones, own.zones);
  EXPECT_EQ(read->rest_days, own.rest_days);
  EXPECT_EQ(read->spacing, own.spacing);
  EXPECT_EQ(read->body.height, own.body.height);
  EXPECT_EQ(read->body.navel_clear, own.body.navel_clear);
  ASSERT_EQ(read->slots.size(), own.slots.size());
  for (std::size_t i = 0; i < own.slots.size(); ++i) {
    EXPECT_EQ(read->slots[i].name, own.slots[i].name);
  }
  ASSERT_EQ(read->blocked.size(), 1U);
  EXPECT_EQ(read->blocked[0].zone, own.blocked[0].zone);
  EXPECT_EQ(read->blocked[0].centre, own.blocked[0].centre);
  EXPECT_EQ(read->blocked[0].radius, own.blocked[0].radius);
  ASSERT_EQ(read->used.size(), 1U);
  EXPECT_EQ(read->used[0].day, own.used[0].day);
  EXPECT_EQ(read->used[0].spot, own.used[0].spot);
}

TEST(PlacesJson, H17_TheAnswerIsThePlanByDayAndSlot) {
  const auto result = answer(json::to_text(places_example()));
  const auto own = *places::plan(places::example());
  const auto& items = result.find("plan")->members;
  ASSERT_EQ(items.size(), 28U * 4);
  for (std::size_t i = 0; i < items.size(); ++i) {
    const auto& item = items[i].value;
    EXPECT_EQ(item.find("date")->text, format_iso(own.plan[i].day));
    EXPECT_EQ(item.find("zone")->text, zone_names[static_cast<std::size_t>(own.plan[i].zone)]);
    EXPECT_EQ(item.find("x_cm")->text, format_fixed(own.plan[i].spot.x.tenths, 2));
    EXPECT_EQ(item.find("y_cm")->text, format_fixed(own.plan[i].spot.y.tenths, 2));
    EXPECT_TRUE(item.find("words")->text.starts_with("site.told."));
    EXPECT_EQ(item.find("kept"), nullptr);
  }
  EXPECT_EQ(items[0].value.find("slot")->text, "breakfast");
  EXPECT_EQ(items[3].value.find("slot")->text, "bedtime");
  EXPECT_EQ(result.find("least_spacing_cm")->text, format_fixed(own.least_spacing->tenths, 2));
  EXPECT_EQ(result.find("least_rest_days")->text, "28");
  EXPECT_EQ(result.find("spots")->text, std::to_string(own.spots));
  EXPECT_EQ(result.find("zones")->members.size(), 6U);
  EXPECT_EQ(json::to_text(result.find("slot_parts")->members[3].value),
            R"({"slot":"bedtime","part":"thigh"})");
  EXPECT_EQ(result.find("longest_rest_days")->text, std::to_string(own.longest_rest_days));
  EXPECT_EQ(result.find("rest_days_bound")->text, std::to_string(own.rest_days_bound));
  EXPECT_EQ(result.find("cautions")->members[0].value.find("code")->text,
            places::places_cautions::waist_unknown);
  EXPECT_EQ(result.find("defer")->text, "places.defer");
}

TEST(PlacesJson, EveryFieldOfTheRequestIsRead) {
  const auto request = parse_places_request(R"({
    "from": "2027-03-01", "days": 14, "slots": ["breakfast", "b"],
    "zones": ["arm left", "thigh", "arm"], "rest_days": 21, "spacing_cm": 1.25,
    "height_cm": 168.55, "waist_cm": 80.24, "navel_clear_cm": 2.5, "turn": "each week",
    "blocked": [{"zone": "abdomen", "x_cm": -3.07, "y_cm": -2, "radius_cm": 0.5}],
    "used": [{"date": "2027-02-28", "zone": "abdomen", "x_cm": 7, "y_cm": 0}],
    "promised": [{"date": "2027-03-02", "slot": "b", "zone": "arm right", "x_cm": 0.01, "y_cm": 1}],
    "keep": {"b": "arm"}})");
  ASSERT_TRUE(request) << request.error().code << request.error().at;
  EXPECT_EQ(request->days, 14);
  EXPECT_EQ(request->zones, (std::vector<Zone>{Zone::arm_left, Zone::thigh_left, Zone::thigh_right,
                                               Zone::arm_right}));
  EXPECT_EQ(request->rest_days, 21);
  EXPECT_EQ(request->spacing, TenthsMm{125});
  EXPECT_EQ(request->body.height, TenthsCm{1686});  // rounded, half upwards
  EXPECT_EQ(request->body.waist, TenthsCm{802});
  EXPECT_EQ(request->body.navel_clear, TenthsMm{250});
  EXPECT_EQ(request->turn, places::Turn::each_week);
  EXPECT_EQ(request->blocked[0].zone, Zone::abdomen_right_lower);
  EXPECT_EQ(request->blocked[0].centre, (Spot{{-307}, {-200}}));
  EXPECT_EQ(request->blocked[0].radius, TenthsMm{50});
  EXPECT_EQ(request->used[0].zone, Zone::abdomen_left_upper);
  EXPECT_EQ(request->promised[0].slot, 1U);
  EXPECT_EQ(request->promised[0].spot, (Spot{{1}, {100}}));
  EXPECT_FALSE(request->slots[0].part);
  EXPECT_EQ(request->slots[1].part, BodyPart::arm);
}

TEST(PlacesJson, KeepMayBeAListAndNamesASlotOnce) {
  const auto request = parse_places_request(plus(R"("keep":[{"slot":"lunch","part":"thigh"}])"));
  ASSERT_TRUE(request);
  EXPECT_EQ(request->slots[1].part, BodyPart::thigh);
  EXPECT_EQ(
      error(plus(R"("keep":[{"slot":"lunch","part":"thigh"},{"slot":"lunch","part":"thigh"}])"))
          .code,
      json::codes::duplicate);
}

// nurse A23: "upper inner" of a thigh sent people to its inner side, where nobody injects (Z006).
TEST(PlacesJson, H16_NobodyIsSentToTheInnerSideOfAThigh) {
  places::Body body;
  body.height = {1'680};
  for (const Zone zone : {Zone::thigh_left, Zone::thigh_right}) {
    for (const std::int32_t x : {-400, 400}) {
      for (const std::int32_t y : {-400, 400}) {
        const auto [code, args] = place_said(zone, {{x}, {y}}, body);
        EXPECT_EQ(bare(code, args).find("inner"), std::string::npos) << bare(code, args);
      }
    }
  }
  EXPECT_NE(bare(place_said(Zone::buttock_left, {{-300}, {300}}, body).first,
                 place_said(Zone::buttock_left, {{-300}, {300}}, body).second)
                .find("corner/"),
            std::string::npos);
}

TEST(PlacesJson, H25_WhatCannotBeIsRefusedWithItsPlace) {
  struct Row {
    std::string request;
    std::string_view code, at;
  };
  const Row rows[] = {
      {with(R"("days":28)", R"("days":0)"), "places.days_limit", "/days"},
      {with(R"("days":28)", R"("days":100000)"), "places.days_limit", "/days"},
      {with(R"("days":28)", R"("days":2.5)"), "number.decimals", "/days"},
      {with(R"("from":"2027-03-01")", R"("from":"2027-02-30")"), "date.form", "/from"},
      {with(R"("from":"2027-03-01",)", ""), "field.missing", "/from"},
      {with(R"("slots":["breakfast","lunch")", R"("slots":["lunch","lunch")"), "places.slot_twice",
       "/slots/1"},
      {with(R"("slots":["breakfast")", R"("slots":[5)"), "field.type", "/slots/0"},
      {with(R"("zones":["abdomen","thigh"])", R"("zones":[])"), "places.no_zone", "/zones"},
      {with(R"("zones":["abdomen")", R"("zones":["belly")"), "field.choice", "/zones/0"},
      {with(R"("rest_days":28)", R"("rest_days":0)"), "places.rest_limit", "/rest_days"},
      {with(R"("spacing_cm":1)", R"("spacing_cm":0.9)"), "places.spacing_limit", "/spacing_cm"},
      {with(R"("spacing_cm":1)", R"("spacing_cm":1.001)"), "number.decimals", "/spacing_cm"},
      {with(R"("height_cm":168)", R"("height_cm":-168)"), "number.range", "/height_cm"},
      {with(R"("height_cm":168)", R"("height_cm":16.8)"), "places.height_limit", "/height_cm"},
      {with(R"("height_cm":168)", R"("height":168)"), "field.unknown", "/height"},
      {plus(R"("days":28)"), "json.duplicate", "/days"},
      {plus(R"("waist_cm":10)"), "places.waist_limit", "/waist_cm"},
      {plus(R"("turn":"each day")"), "field.choice", "/turn"},
      {with(R"("radius_cm":2)", R"("radius_cm":99)"), "places.circle_limit",
       "/blocked/0/radius_cm"},
      {with(R"("x_cm":7,)", ""), "field.missing", "/blocked/0/x_cm"},
      {with(R"("x_cm":7)", R"("x_cm":70)"), "places.spot_limit", "/blocked/0"},
      {with(R"("x_cm":7)", R"("x_cm":99999999999)"), "number.range", "/blocked/0/x_cm"},
      {with(R"("zone":"thigh left")", R"("zone":"thigh")"), "field.choice", "/used/0/zone"},
      {plus(
           R"("promised":[{"date":"2027-03-01","slot":"tea","zone":"thigh left","x_cm":0,"y_cm":0}])"),
       "field.choice", "/promised/0/slot"},
      {plus(R"("keep":{"tea":"thigh"})"), "field.choice", "/keep/tea"},
      {plus(R"("keep":{"lunch":"leg"})"), "field.choice", "/keep/lunch"},
      {plus(R"("keep":{"lunch":"arm"})"), "places.part_not_allowed", "/slots/1"},
      {plus(R"("keep":5)"), "field.type", "/keep"},
      {with(R"("days":28,)", R"("days":300,)"), "", ""}};
  for (const auto& row : rows) {
    if (row.code.empty()) {
      answer(row.request);
      continue;
    }
    const auto found = error(row.request);
    EXPECT_EQ(found.code, row.code) << row.request;
    EXPECT_EQ(found.at, row.at) << row.request;
  }
}

TEST(PlacesJson, APlanFedBackAsPromisedIsKept) {
  const auto first = answer(json::to_text(places_example()));
  auto promised = json::array();
  for (const auto& item : first.find("plan")->members) {
    auto one = json::object();
    for (const auto& field : item.value.members) {
      if (field.key != "words") json::add(one, field.key, field.value);
    }
    json::add(promised, std::move(one));
  }
  auto request = places_example();
  json::add(request, "promised", std::move(promised));
  const auto again = answer(json::to_text(request));
  EXPECT_EQ(again.find("promises_broken")->text, "0");
  for (std::size_t i = 0; i < first.find("plan")->members.size(); ++i) {
    const auto& was = first.find("plan")->members[i].value;
    const auto& is = again.find("plan")->members[i].value;
    EXPECT_TRUE(is.find("kept")->flag);
    EXPECT_EQ(*was.find("x_cm"), *is.find("x_cm"));
    EXPECT_EQ(*was.find("zone"), *is.find("zone"));
  }
}

TEST(PlacesJson, TheTextHasEveryDayAndEverySlot) {
  const auto request = *parse_places_request(places_example());
  const auto text = places_text(request, *places::plan(request), bare);
  std::size_t told = 0;
  for (auto at = text.find("site.told."); at != std::string::npos;
       at = text.find("site.told.", at + 1)) {
    ++told;
  }
  EXPECT_EQ(told, 28U * 4);
  EXPECT_NE(text.find("places.caution.waist_unknown"), std::string::npos);
  EXPECT_TRUE(text.ends_with("places.defer\n"));
}

}  // namespace
}  // namespace penstock::verbs
