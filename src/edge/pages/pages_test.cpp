#include "edge/pages/pages.hpp"

#include <gtest/gtest.h>

namespace penstock::pages {
namespace {

TEST(Match, NamesOneSegmentEach) {
  EXPECT_EQ(match("/api/people/{id}/facts", "/api/people/x/facts")->at("id"), "x");
  for (const auto* path : {"/api/people//facts", "/api/people/x", "/api/people/x/facts/y",
                           "/api/people/x/facts/", "/api/people/x/fact"}) {
    EXPECT_FALSE(match("/api/people/{id}/facts", path).has_value()) << path;
  }
  EXPECT_TRUE(match("/api", "/api").has_value());
  EXPECT_FALSE(match("/api", "/api/").has_value());
}

const Row row{
    .method = "GET",
    .pattern = "/api/people/{id}/list",
    .summary = "A list.",
    .parameters = {{.name = "day", .form = Form::day, .says = "YYYY-MM-DD"},
                   {.name = "word"},
                   {.name = "page", .form = Form::count, .says = "from 1", .least = 1, .most = 9},
                   {.name = "days",
                    .form = Form::count,
                    .says = "ahead",
                    .least = 1,
                    .most = 120,
                    .out_of_range = codes::month_days},
                   person_parameter},
    .left_out = "Left out: today.",
    .gives = "List.",
    .example = "/api/people/000000000000000000000000000000a1/list"};

std::string code_of(const Texts& texts) {
  const auto given = read(row, texts);
  return given ? "" : given.error().code + " " + given.error().at;
}

TEST(Parameters, AreReadByTheirForm) {
  const auto given = read(row, {{"id", "000000000000000000000000000000a1"},
                                {"day", "2027-03-16"},
                                {"word", "bed time"},
                                {"page", "9"},
                                {"days", "120"},
                                {"else", "ignored"}});
  ASSERT_TRUE(given);
  EXPECT_EQ(given->id("id"), (Id{0, 0xa1}));
  EXPECT_EQ(given->day("day"), parse_day("2027-03-16").value());
  EXPECT_EQ(given->text("word"), "bed time");
  EXPECT_EQ(given->count("page"), 9);
  EXPECT_EQ(page_of(*given), 9);
  EXPECT_EQ(given->count("days"), 120);
  EXPECT_EQ(given->text("else"), "");
}

TEST(Parameters, EmptyOrMissingAreLeftOut) {
  const auto given = read(row, {{"day", ""}, {"page", ""}});
  ASSERT_TRUE(given);
  EXPECT_FALSE(given->day("day"));
  EXPECT_FALSE(given->id("id"));
  EXPECT_EQ(page_of(*given), 1);
}

TEST(Parameters, TheFirstThatIsWrongIsRefusedWithItsPlace) {
  EXPECT_TRUE(code_of({{"day", "16 March"}, {"page", "0"}}).ends_with(" ?day"));
  EXPECT_EQ(code_of({{"page", "0"}}), "field.range ?page");
  EXPECT_EQ(code_of({{"page", "10"}}), "field.range ?page");
  EXPECT_EQ(code_of({{"id", "a1"}}), "field.id /id");
  EXPECT_EQ(code_of({{"days", "0"}}), "desk.month_days ?days");
  EXPECT_EQ(code_of({{"days", "121"}}), "desk.month_days ?days");
  EXPECT_EQ(code_of({{"days", "-32768"}}), "desk.month_days ?days");
}

TEST(Parameters, SayWhatTheyAre) {
  EXPECT_EQ(takes_text(row), "day: YYYY-MM-DD; word; page: from 1; days: ahead. Left out: today.");
  EXPECT_EQ(
      takes_text({.method = "GET", .pattern = "/api/x", .summary = "", .gives = "", .example = ""}),
      "No parameters; the request body is empty.");
}

}  // namespace
}  // namespace penstock::pages
