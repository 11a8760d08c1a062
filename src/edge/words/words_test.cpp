#include "edge/words/words.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace penstock::words {
namespace {

using namespace literals;

Catalogue small() {
  return Catalogue::parse(R"json({"language":"en",
    "errors":{"x.short":{"what":"dose {dose}, cartridge holds {left}","do_this":"Change it, {who}."}},
    "sentences":{"open":"*{who}* has it open for *{days:day|days}*; {slot}","bare":"{dose:-}"},
    "names":{"bedtime":"at bedtime","unit|units":"unit|units","units/mL":"units/mL"}})json")
      .value();
}

TEST(Words, AnErrorIsSaidWithItsNumbersAndWhatToDo) {
  const auto said = small().say(
      {Kind::refused,
       "x.short",
       {arg_units("dose", 18_units), arg_units("left", 1_units), arg_text("who", "Noor")},
       ""});
  EXPECT_EQ(said.what, "dose 18 units, cartridge holds 1 unit");
  EXPECT_EQ(said.do_this, "Change it, Noor.");
}

TEST(Words, H05_UnitsAreSpelledOutAndOnlyATableGivesTheBareNumber) {
  EXPECT_EQ(small().text("bare", {arg_units("dose", 4.5_units)}), "4.5");
  EXPECT_EQ(english().text("time.days", {arg_count("days", 1)}), "1 day");
  EXPECT_EQ(english().text("time.days", {arg_count("days", 31)}), "31 days");
}

TEST(Words, H30_AnArgumentBringsNeitherBoldNorHoles) {
  const auto rich = small().sentence(
      "open", {arg_text("who", "A*{days}*B"), arg_count("days", 31), arg_code("slot", "bedtime")});
  const Rich expected{{"A*{days}*B", true},
                      {" has it open for ", false},
                      {"31 days", true},
                      {"; at bedtime", false}};
  EXPECT_EQ(rich, expected);
}

TEST(Words, AMissingEntryIsNeverAnEmptyLine) {
  EXPECT_EQ(small().say({Kind::refused, "x.unknown", {}, ""}).what, "x.unknown");
  EXPECT_EQ(small().text("nowhere"), "nowhere");
  EXPECT_EQ(plain(small().sentence("open", {})), "… has it open for …; …");
}

TEST(Words, DatesAndTimesAsTheLookWritesThem) {
  const auto& en = english();
  const auto day = parse_day("2027-03-16").value();
  EXPECT_EQ(en.day_long(day), "Tuesday 16 March 2027");
  EXPECT_EQ(en.day_short(parse_day("2027-03-17").value()), "Wed 17");
  EXPECT_EQ(en.day_month(parse_day("2027-03-28").value()), "Sun 28 March");
  // The same weekday and number come again in another month: only a near day does without it.
  EXPECT_EQ(en.day_near(parse_day("2027-03-10").value(), day), "Wed 10");
  EXPECT_EQ(en.day_near(parse_day("2027-03-22").value(), day), "Mon 22");
  EXPECT_EQ(en.day_near(parse_day("2027-03-09").value(), day), "Tue 9 March");
  EXPECT_EQ(en.day_near(parse_day("2026-12-16").value(), day), "Wed 16 December");
  EXPECT_EQ(en.day_near(parse_day("2027-03-23").value(), day), "Tue 23 March");
  EXPECT_EQ(en.day_year(parse_day("1958-06-04").value()), "4 June 1958");
  EXPECT_EQ(en.moment(parse_when("2027-03-16T14:10+01:00").value()),
            "Tuesday 16 March 2027, 14:10");
  const auto now = parse_when("2027-03-16T14:10Z").value().at;
  EXPECT_EQ(en.from_now(parse_when("2027-03-16T18:30Z").value().at, now), "in 4 h 20 min");
  EXPECT_EQ(en.from_now(parse_when("2027-03-16T12:10Z").value().at, now), "2 h ago");
  EXPECT_EQ(en.from_now(now, now), "now");
  EXPECT_EQ(en.from_now(parse_when("2027-03-19T14:00Z").value().at, now), "in 2 days");
}

TEST(Words, H30_TheCatalogueHoldsNoDigits) {
  for (const auto& [key, text] : english().strings()) {
    auto read = text;
    // A name, no value: the same in every language.
    constexpr std::string_view name = "HbA1c";
    for (auto at = read.find(name); at != std::string::npos; at = read.find(name))
      read.erase(at, name.size());
    EXPECT_EQ(read.find_first_of("0123456789"), std::string::npos) << key << ": " << text;
    EXPECT_FALSE(text.empty()) << key;
    EXPECT_EQ(std::count(text.begin(), text.end(), '*') % 2, 0)
        << key << ": a star without its pair";
    EXPECT_EQ(std::count(text.begin(), text.end(), '{'), std::count(text.begin(), text.end(), '}'))
        << key;
  }
}

TEST(Words, ABrokenCatalogueIsRefused) {
  for (const auto* text :
       {"", "[]", "{\"errors\":{\"a\":{\"what\":\"x\"}}}", "{\"names\":{\"a\":1}}"}) {
    EXPECT_FALSE(Catalogue::parse(text)) << text;
  }
}

}  // namespace
}  // namespace penstock::words
