// A new start, step by step: each leads to the next, and it ends with the first injection.
#include <gtest/gtest.h>

#include "edge/pages/person/internal/for_tests.hpp"

namespace penstock::pages {
namespace {

using namespace for_tests;

const std::string person = "/people/" + to_text(id(1));

/// How many steps are done, and where the next one is; empty: it is no start any more.
std::string start(const Story& story, Instant now = at(1, 10)) {
  const auto page = story.page(now);
  const auto& of = in(page, "start");
  if (of.type != json::Type::object) return {};
  int done = 0;
  bool in_order = true;
  for (const auto& step : in(of, "steps").members) {
    const bool is_done = in(step.value, "done").flag;
    in_order = in_order && (!is_done || &step == &in(of, "steps").members[done]);
    done += is_done ? 1 : 0;
  }
  EXPECT_TRUE(in_order);
  EXPECT_EQ(in(of, "steps").members.size(), 6U);
  EXPECT_NE(in(of, "label").text, "");
  return std::to_string(done) + " " + in(of, "href").text;
}

TEST(Start, EachStepLeadsToTheNextAndTheFirstInjectionEndsIt) {
  Story story;
  EXPECT_EQ(start(story), "1 " + person + "/order/new");
  const auto line = story.tell(at(1, 8), Story::bedtime());
  EXPECT_EQ(start(story), "2 " + person + "/order/check?line=" + to_text(line));
  story.tell(at(1, 8), journal::OrderLineChecked{line, "Tom Reyes", {}});
  EXPECT_EQ(start(story), "3 " + person + "/pens/new?line=" + to_text(line));
  story.pen();
  EXPECT_EQ(start(story), "4 " + person + "/load?pen=" + to_text(pen_id));
  story.load();
  EXPECT_EQ(start(story), "5 " + person) << "on the visit itself";
  story.inject(at(1, 22), 20_units, line);
  EXPECT_EQ(start(story, at(1, 23)), "");
}

TEST(Start, APenOfAnotherStrengthIsNoneForTheOrder_H03) {
  Story story;
  const auto line = story.order();
  story.pen({300});
  EXPECT_EQ(start(story), "3 " + person + "/pens/new?line=" + to_text(line));
}

TEST(Start, OfSeveralInsulinsTheOneThatIsFurthestBehindComesFirst) {
  auto [story, line] = whole();
  auto meals = tests::bedtime_line(first_day, 6_units, 2_units, 12_units);
  meals.insulin = "insulin lispro";
  meals.purpose = journal::Purpose::mealtime;
  meals.slots.front().slot = journal::SlotName::evening;
  meals.slots.front().at = {18 * 60};
  const auto unchecked = story.order(meals, false);
  EXPECT_EQ(start(story), "2 " + person + "/order/check?line=" + to_text(unchecked));
  const auto page = story.page(at(1, 10));
  EXPECT_TRUE(has(plain(in(in(page, "start"), "title")), "insulin lispro"));
  // What was ended or injected needs no start.
  story.tell(at(1, 10),
             journal::OrderLineEnded{unchecked, first_day - days{1}, "Dr Amara Osei", ""});
  EXPECT_EQ(start(story, at(1, 11)), "5 " + person);
}

}  // namespace
}  // namespace penstock::pages
