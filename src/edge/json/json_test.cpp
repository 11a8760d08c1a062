#include "edge/json/json.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <random>

namespace penstock::json {
namespace {

using namespace literals;

Error refused(std::string_view text, const Limits& limits = {}) {
  const auto read = parse(text, limits);
  return read ? Error{Kind::refused, "it was read", {}, ""} : read.error();
}

std::int64_t number_arg(const Error& error, std::string_view name) {
  for (const auto& arg : error.args) {
    if (arg.name == name) return arg.number;
  }
  return -1;
}

TEST(Json, NumbersStayAsTheyWereWritten) {
  const auto read = parse(R"([18, 18.0, 18.50, 0.1, 1e3, 123456789012345678901234567890, -7])");
  ASSERT_TRUE(read.has_value());
  std::vector<std::string> texts;
  for (const auto& item : read->members) texts.push_back(item.value.text);
  EXPECT_EQ(texts, (std::vector<std::string>{"18", "18.0", "18.50", "0.1", "1e3",
                                             "123456789012345678901234567890", "-7"}));
}

TEST(Json, WhatIsNoJsonIsRefusedWithItsLine) {
  EXPECT_EQ(refused("").code, codes::syntax);
  EXPECT_EQ(refused("{").code, codes::syntax);
  EXPECT_EQ(refused("{\"a\": 1,}").code, codes::syntax);
  EXPECT_EQ(refused("{'a': 1}").code, codes::syntax);
  EXPECT_EQ(refused("[01]").code, codes::syntax);
  EXPECT_EQ(refused("NaN").code, codes::syntax);
  EXPECT_EQ(refused("[1, 2] // why").code, codes::trailing);
  EXPECT_EQ(refused("{} {}").code, codes::trailing);
  EXPECT_EQ(refused("\"\\ud800\"").code, codes::syntax);
  const auto error = refused("{\n  \"a\": 1\n  \"b\": 2\n}");
  EXPECT_EQ(error.code, codes::syntax);
  EXPECT_EQ(error.at, "3");
  EXPECT_EQ(number_arg(error, "line"), 3);
}

TEST(Json, ByteOrderMarkAndBrokenTextAreNamed) {
  EXPECT_EQ(refused("\xEF\xBB\xBF{}").code, codes::byte_order_mark);
  for (const std::string_view bad :
       {"\x80", "\xC0\xAF", "\xED\xA0\x80", "\xF4\x90\x80\x80", "\xE2\x82", "\xFF"}) {
    const auto error = refused("{\n\"a\": \"x" + std::string(bad) + "\"}");
    EXPECT_EQ(error.code, codes::encoding);
    EXPECT_EQ(error.at, "2");
    EXPECT_EQ(number_arg(error, "column"), 8);
  }
  EXPECT_TRUE(parse("\"é日😀\xF4\x8F\xBF\xBF\"").has_value());
}

TEST(Json, TheSameKeyTwiceIsRefusedWithItsPlace) {
  EXPECT_EQ(refused(R"({"a": {"b/c": 1, "d": 2, "b/c": 1}})").code, codes::duplicate);
  EXPECT_EQ(refused(R"({"a": {"b/c": 1, "d": 2, "b/c": 1}})").at, "/a/b~1c");
  EXPECT_EQ(refused(R"([{"a": 1}, {"x": [{"a": 1, "\u0061": 2}]}])").at, "/1/x/0/a");
}

TEST(Json, LimitsAreNamed) {
  EXPECT_EQ(refused("[1,2,3]", {6, 100, 16}).code, codes::too_large);
  EXPECT_EQ(refused("[1,2,3]", {7, 3, 16}).code, codes::too_many);
  EXPECT_EQ(refused("[1,2,3]", {7, 4, 16}).code, "it was read");
  const auto nested = [](std::size_t n) { return std::string(n, '[') + std::string(n, ']'); };
  EXPECT_EQ(refused(nested(16)).code, "it was read");
  EXPECT_EQ(refused(nested(17)).code, codes::deep);
  EXPECT_EQ(refused(std::string(1'000'000, '[')).code, codes::deep);
  EXPECT_EQ(refused(std::string(1'000'000, '[')).at.size(), 32U);
}

TEST(Json, AHundredThousandKeysTakeNoLongerThanTheyMust) {
  std::string text = "{";
  for (int i = 0; i < 100'000; ++i) text += "\"" + std::to_string(i) + "\":0,";
  text += "\"0\":0}";
  const auto error = refused(text, {2'000'000, 200'000, 16});
  EXPECT_EQ(error.code, codes::duplicate);
  EXPECT_EQ(error.at, "/0");
}

TEST(Json, WhatIsWrittenIsReadBack) {
  auto value = object({{"a", number(4.5_units)},
                       {"b", string("\"\\\n\t\x01 é 😀")},
                       {"c", array({null(), boolean(true), count(-3), fixed(1850, 2)})},
                       {"d", object()},
                       {"e", array()}});
  EXPECT_EQ(to_text(value),
            "{\"a\":4.5,\"b\":\"\\\"\\\\\\n\\t\\u0001 é 😀\",\"c\":[null,true,-3,18.5],"
            "\"d\":{},\"e\":[]}");
  EXPECT_EQ(*parse(to_text(value)), value);
  EXPECT_EQ(*parse(to_text(value, Layout::indented)), value);
  EXPECT_EQ(to_text(string("\xFFx")), "\"\xEF\xBF\xBDx\"");
}

RC_GTEST_PROP(Json, AmountsSurviveWritingAndReading, ()) {
  const auto hundredths = *rc::gen::inRange<std::int64_t>(0, Units::hundredths_max);
  const auto amount = *Units::from_hundredths(hundredths);
  const auto read = parse(to_text(number(amount)));
  RC_ASSERT(read.has_value());
  RC_ASSERT(*units_of(*read, "") == amount);
}

TEST(Json, NoMutationOfADocumentBreaksTheReader) {
  constexpr std::uint64_t seed = 20270317;
  std::mt19937_64 random(seed);
  const std::string good =
      R"({"dose_units": 18, "cartridges": [{"id": "A", "left_units": 247.5}], "x": "é\u00e9", "y": null})";
  for (int i = 0; i < 100'000; ++i) {
    auto text = good;
    for (auto n = 1 + random() % 3; n > 0; --n) {
      text[random() % text.size()] = static_cast<char>(random());
    }
    const auto read = parse(text);
    if (read) {
      ASSERT_EQ(*parse(to_text(*read)), *read) << "seed " << seed << ", mutation " << i;
    }
  }
}

TEST(Json, AReaderNamesAMisspeltFieldBeforeAMissingOne) {
  const auto value = *parse(R"({"unit": 3, "x": 1})");
  Reader read(value, "/pen");
  Units step = Units::zero();
  read.need("units", step);
  const auto done = read.done();
  ASSERT_FALSE(done.has_value());
  EXPECT_EQ(done.error().code, codes::field_unknown);
  EXPECT_EQ(done.error().at, "/pen/unit");
  EXPECT_EQ(done.error().args,
            (std::vector<Arg>{arg_text("field", "unit"), arg_text("allowed", "units")}));
}

TEST(Json, AReaderKeepsTheFirstThingWrong) {
  const auto value = *parse(R"({"a": "x", "b": true, "c": 70000000000})");
  Reader read(value);
  bool flag = false;
  std::int32_t number = 0;
  read.need("a", flag);
  read.need("b", number);
  read.need("c", number);
  const auto done = read.done();
  ASSERT_FALSE(done.has_value());
  EXPECT_EQ(done.error().code, codes::field_type);
  EXPECT_EQ(done.error().at, "/a");
  EXPECT_EQ(done.error().args,
            (std::vector<Arg>{arg_text("field", "a"), arg_code("expected", "type.boolean")}));
}

TEST(Json, NullIsNothingWhereNothingIsAllowed) {
  const auto value = *parse(R"({"a": null, "b": null})");
  Reader read(value);
  std::optional<Units> some = 3_units;
  Units all = 3_units;
  read.need("a", some);
  EXPECT_FALSE(some.has_value());
  read.need("b", all);
  EXPECT_EQ(read.done().error().at, "/b");
}

TEST(Json, H25_HostileTextDoesNotFillTheAnswer) {
  const auto text = "{\"" + std::string(500'000, '/') + "\": 1}";
  const auto value = *parse(text);
  Reader read(value);
  const auto done = read.done();
  ASSERT_FALSE(done.has_value());
  EXPECT_LT(done.error().at.size(), 300U);
  EXPECT_LE(done.error().args[0].text.size(), 60U);
}

}  // namespace
}  // namespace penstock::json
