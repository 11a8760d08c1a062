// "Did I take it already?": the last dose on record of each insulin of the order, and what is left.
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "edge/pages/person/internal/for_tests.hpp"

namespace penstock::pages {
namespace {

using namespace for_tests;
using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;

std::vector<std::string> taken(const Story& story, Instant now) {
  const auto page = story.page(now);
  std::vector<std::string> out;
  for (const auto& one : in(page, "taken").members) out.push_back(plain(one.value));
  return out;
}

TEST(Taken, TheLastDoseOfTheInsulinAndWhatItsCartridgeStillHolds_H07) {
  auto [story, line] = whole();
  EXPECT_THAT(taken(story, at(1, 20)),
              ElementsAre(AllOf(HasSubstr("insulin glargine"), HasSubstr("300 units"),
                                Not(HasSubstr("22:")))));
  story.inject(at(1, 22), 20_units, line);
  story.inject(at(2, 22, 5), 18_units, line);
  const auto said = taken(story, at(2, 23));
  EXPECT_THAT(said, ElementsAre(AllOf(HasSubstr("18 units"), HasSubstr("22:05"),
                                      HasSubstr("262 units"), Not(HasSubstr("20 units")))));
}

TEST(Taken, ADoseUnderAnotherVersionOrLineOfTheInsulinIsItsDose_H52) {
  auto [story, line] = whole();
  story.inject(at(1, 22), 20_units, line);
  auto later = Story::bedtime();
  later.order_version = 2;
  later.replaces = line;
  later.from = first_day + days{1};
  later.signed_on = first_day + days{1};
  const auto next = story.tell(at(2, 8), later);
  story.tell(at(2, 8), journal::OrderLineChecked{next, "Tom Reyes", {}});
  EXPECT_THAT(taken(story, at(2, 12)),
              ElementsAre(AllOf(HasSubstr("20 units"), HasSubstr("22:00"))));
}

TEST(Taken, OneSentenceAnInsulinAndNoneOfWhatIsOver) {
  auto [story, line] = whole();
  auto morning = Story::bedtime();
  morning.slots.front().slot = journal::SlotName::morning;
  morning.slots.front().at = {8 * 60};
  story.order(morning);
  EXPECT_EQ(taken(story, at(1, 20)).size(), 1U);
  auto meals = tests::bedtime_line(first_day, 6_units, 2_units, 12_units);
  meals.insulin = "insulin lispro";
  meals.purpose = journal::Purpose::mealtime;
  const auto over = story.order(meals);
  EXPECT_THAT(taken(story, at(1, 20)),
              ElementsAre(HasSubstr("insulin glargine"),
                          AllOf(HasSubstr("insulin lispro"), Not(HasSubstr("units left")))));
  story.tell(at(1, 20), journal::OrderLineEnded{over, first_day, "Dr Amara Osei", ""});
  EXPECT_EQ(taken(story, at(2, 12)).size(), 1U);
}

}  // namespace
}  // namespace penstock::pages
