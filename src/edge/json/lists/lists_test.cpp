#include "edge/json/lists/lists.hpp"

#include <gtest/gtest.h>

#include <optional>
#include <string>
#include <vector>

namespace penstock::json {
namespace asked {
struct Measured {
  std::int32_t count = 0;
  Units most = Units::zero();
};
}  // namespace asked

namespace {

using asked::Measured;

using fields::Field;
using fields::Group;

constexpr Field measured_fields[] = {FIELD(Measured, count, "count").bound(2, 9),
                                     FIELD(Measured, most, "most_units").above(0, 300'00)};
constexpr Group measured_list = fields::request<Measured>(measured_fields);

struct Asked {
  std::string name;
  std::int32_t minutes = 0;
  bool frozen = false;
  std::optional<TenthsCelsius> warmest;
  std::vector<Measured> all;
  std::optional<Measured> one;
};
Result<void> read_hours(const Value& value, std::string_view at, void* into) {
  const auto quarters = fixed_within(value, 2, 100'00, at);
  if (!quarters) return quarters.error();
  fields::as<std::int32_t>(into) = static_cast<std::int32_t>(*quarters * 60 / 100);
  return {};
}
constexpr fields::Own hours{&read_hours, &own_number, 2};
constexpr Field asked_fields[] = {
    FIELD(Asked, name, "name").stated().bound(1, 8),
    OWN_FIELD(Asked, minutes, "hours", hours).bound(0, 24'00),
    FIELD(Asked, frozen, "frozen").unless_said(false).about("seen so"),
    FIELD(Asked, warmest, "warmest_celsius").bound(-5, fields::no_most),
    FIELD(Asked, all, "all", &measured_list).bound(0, 3),
    FIELD(Asked, one, "", &measured_list).spread()};
constexpr Group asked_list = fields::request<Asked>(asked_fields);

Result<Asked> read(std::string_view text) {
  Asked asked;
  const auto value = parse(text);
  if (!value) return value.error();
  if (const auto done = ListReader().object(*value, "", asked_list, &asked); !done) {
    return done.error();
  }
  return asked;
}
std::string refused(std::string_view text) {
  const auto asked = read(text);
  return asked ? "read" : asked.error().code + " " + asked.error().at;
}

TEST(JsonLists, EveryFieldGoesWhereItsListSays) {
  const auto asked = read(R"({"name": "a", "hours": 1.5, "frozen": true, "warmest_celsius": -0.5,
      "all": [{"count": 2, "most_units": 1.25}, {"count": 3, "most_units": 2}],
      "count": 4, "most_units": 3})");
  ASSERT_TRUE(asked) << asked.error().code << asked.error().at;
  EXPECT_EQ(asked->name, "a");
  EXPECT_EQ(asked->minutes, 90);
  EXPECT_TRUE(asked->frozen);
  EXPECT_EQ(asked->warmest, TenthsCelsius{-5});
  ASSERT_EQ(asked->all.size(), 2U);
  EXPECT_EQ(asked->all[0].most.hundredths(), 125);
  EXPECT_EQ(asked->all[1].count, 3);
  ASSERT_TRUE(asked->one);
  EXPECT_EQ(asked->one->count, 4);
}

TEST(JsonLists, WhatMayBeMissingStaysAsItIs) {
  const auto asked = read(R"({"name": "a", "hours": 0, "warmest_celsius": null})");
  ASSERT_TRUE(asked);
  EXPECT_FALSE(asked->frozen);
  EXPECT_FALSE(asked->warmest);
  EXPECT_TRUE(asked->all.empty());
  EXPECT_FALSE(asked->one);
}

TEST(JsonLists, TheFirstThingWrongIsToldAndAMisspeltNameBeforeIt) {
  EXPECT_EQ(refused(R"({"hours": 1})"), "field.missing /name");
  EXPECT_EQ(refused(R"({"hour": 1})"), "field.unknown /hour");
  EXPECT_EQ(refused(R"({"name": 1, "hours": "x"})"), "field.type /name");
  EXPECT_EQ(refused(R"({"name": "a", "hours": 100.01})"), "number.range /hours");
  EXPECT_EQ(refused(R"({"name": "a", "hours": 1, "all": {}})"), "field.type /all");
  EXPECT_EQ(refused(R"({"name": "a", "hours": 1, "all": [{"count": 2}]})"),
            "field.missing /all/0/most_units");
  EXPECT_EQ(refused(R"([])"), "field.type ");
}

TEST(JsonLists, AnOptionalGroupAmongTheOwnFieldsStandsWholeOrNotAtAll) {
  EXPECT_EQ(refused(R"({"name": "a", "hours": 1, "count": 2})"), "field.missing /most_units");
  EXPECT_EQ(refused(R"({"name": "a", "hours": 1, "most_units": 2})"), "field.missing /count");
  EXPECT_EQ(refused(R"({"name": "a", "hours": 1, "most_units": "2"})"), "field.type /most_units");
}

TEST(JsonLists, TheSchemaSaysWhatTheListSays) {
  EXPECT_EQ(
      to_text(ListSchema().object(asked_list)),
      R"({"type":"object","properties":{"name":{"type":"string","minLength":1,"maxLength":8},)"
      R"("hours":{"type":"number","multipleOf":0.01,"minimum":0,"maximum":24},)"
      R"("frozen":{"type":"boolean","default":false,"description":"seen so"},)"
      R"("warmest_celsius":{"anyOf":[{"type":"number","multipleOf":0.1,"minimum":-0.5},)"
      R"({"type":"null"}]},"all":{"type":"array","items":{"type":"object","properties":)"
      R"({"count":{"type":"integer","minimum":2,"maximum":9},)"
      R"("most_units":{"type":"number","multipleOf":0.01,"exclusiveMinimum":0,"maximum":300}},)"
      R"("required":["count","most_units"],"additionalProperties":false},"maxItems":3},)"
      R"("count":{"type":"integer","minimum":2,"maximum":9},)"
      R"("most_units":{"type":"number","multipleOf":0.01,"exclusiveMinimum":0,"maximum":300}},)"
      R"("required":["name","hours"],"additionalProperties":false})");
}

}  // namespace
}  // namespace penstock::json
