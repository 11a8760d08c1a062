#include "edge/demo/demo.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <set>
#include <sstream>

#include "edge/demo/internal/crowd.hpp"
#include "edge/demo/internal/people.hpp"

namespace penstock::demo {
namespace {

shelf::Shelf program_shelf() {
  std::string all;
  for (const auto* name : {"insulins", "cartridges", "pens", "needles"}) {
    std::ifstream file(std::string(PENSTOCK_DATA) + "/shelf/" + name + ".tsv");
    std::stringstream text;
    text << file.rdbuf();
    all += text.str() + "\n";
  }
  return shelf::parse_shelf(all).value();
}

Setting setting(const shelf::Shelf& shelf, const char* now) {
  Setting out;
  out.shelf = &shelf;
  out.now = parse_when(now).value().at;
  out.clinic = Id{1, 1};
  out.zone = [](std::string_view name) { return ZoneRules{std::string(name), {}}; };
  return out;
}

TEST(Demo, EveryPersonIsOnTheShelfAndHasAReason) {
  const auto shelf = program_shelf();
  EXPECT_EQ(people().size(), people_count);
  std::set<Story> stories;
  std::set<std::string_view> numbers;
  for (const auto& person : people()) {
    stories.insert(person.story);
    EXPECT_TRUE(numbers.insert(person.number).second) << person.number;
    EXPECT_NE(shelf.needle(person.needle), nullptr) << person.needle;
    for (const auto& line : person.lines) {
      ASSERT_NE(shelf.insulin(line.insulin), nullptr) << line.insulin;
      ASSERT_NE(shelf.cartridge(line.cartridge), nullptr) << line.cartridge;
      ASSERT_NE(shelf.pen(line.pen), nullptr) << line.pen;
      EXPECT_EQ(shelf.cartridge(line.cartridge)->thing.insulin, line.insulin);
      EXPECT_TRUE(shelf::fits(shelf.pen(line.pen)->thing, shelf.cartridge(line.cartridge)->thing))
          << line.pen;  // H42
    }
  }
  EXPECT_EQ(stories.size(), 16U) << "every story is told by somebody";
}

TEST(Demo, TheSameSeedAndMomentGiveTheSameFacts) {
  const auto shelf = program_shelf();
  const auto now = setting(shelf, "2027-03-16T14:10Z");
  const auto once = clinic(now);
  const auto again = clinic(now);
  ASSERT_EQ(once.size(), people_count + 1);
  for (std::size_t i = 0; i < once.size(); ++i) EXPECT_EQ(once[i].facts, again[i].facts);
}

TEST(Demo, EveryFactIsWellFormedAndNoneIsFromTheFuture) {
  const auto shelf = program_shelf();
  for (const auto* moment : {"2027-03-16T14:10Z", "2024-02-29T12:00Z", "2027-03-20T00:05Z",
                             "2026-12-31T23:59Z", "2027-03-28T02:30Z"}) {
    const auto now = setting(shelf, moment);
    std::set<Id> ids;
    std::size_t facts = 0;
    for (const auto& journal : clinic(now)) {
      for (const auto& fact : journal.facts) {
        const auto good = journal::checked(fact);
        ASSERT_TRUE(good) << good.error().code << " " << good.error().at << " in "
                          << journal::name_of(fact.payload);
        EXPECT_LE(fact.happened.at, now.now) << journal::name_of(fact.payload);
        EXPECT_LE(fact.recorded, now.now + std::chrono::seconds{60});
        EXPECT_TRUE(ids.insert(fact.id).second);
        EXPECT_EQ(fact.journal, journal.id);
        ++facts;
      }
    }
    EXPECT_GT(facts, 10'000U);
  }
}

TEST(Demo, ACrowdChangesNothingAboutTheFirstTwentyFour) {
  const auto shelf = program_shelf();
  auto now = setting(shelf, "2027-03-16T14:10Z");
  const auto alone = clinic(now);
  now.people = people_max;
  for (std::size_t i = 0; i < people_count; ++i)
    EXPECT_EQ(person(now, i).facts, alone[i + 1].facts) << i;
}

TEST(Demo, EverybodyInTheCrowdHasANameAndANumberOfTheirOwn) {
  std::set<std::string> names, numbers;
  for (const auto& one : people()) {
    names.insert(std::string(one.name));
    numbers.insert(std::string(one.number));
  }
  for (std::size_t i = people_count; i < people_max; ++i) {
    Somebody somebody;
    invent(somebody, i, i);
    ASSERT_TRUE(names.insert(somebody.name).second) << somebody.name;
    ASSERT_TRUE(numbers.insert(somebody.number).second) << somebody.number;
  }
}

TEST(Demo, TheCrowdsFactsAreWellFormedAndTheLatecomersFew) {
  const auto shelf = program_shelf();
  for (const auto* moment : {"2027-03-16T14:10Z", "2024-02-29T12:00Z", "2027-03-20T00:05Z",
                             "2026-12-31T23:59Z", "2027-03-28T02:30Z"}) {
    auto now = setting(shelf, moment);
    now.people = people_max;
    std::set<Id> ids;
    constexpr std::size_t count = 60;
    const auto look = [&](std::size_t first, std::size_t most, std::size_t least) {
      std::size_t facts = 0;
      for (std::size_t i = first; i < first + count; ++i) {
        const auto journal = person(now, i);
        facts += journal.facts.size();
        for (const auto& fact : journal.facts) {
          const auto good = journal::checked(fact);
          ASSERT_TRUE(good) << good.error().code << " " << good.error().at << " in "
                            << journal::name_of(fact.payload);
          EXPECT_LE(fact.happened.at, now.now) << journal::name_of(fact.payload);
          EXPECT_TRUE(ids.insert(fact.id).second);
        }
      }
      EXPECT_LE(facts, count * most);
      EXPECT_GE(facts, count * least);
    };
    look(people_count, 1'500, 500);
    look(long_journals_max, 80, 30);
  }
}

TEST(Demo, ALargeClinicsStockIsInTheOrderOfTime) {
  const auto shelf = program_shelf();
  auto now = setting(shelf, "2027-03-16T14:10Z");
  now.people = 120;
  const auto own = clinic(now).front();
  EXPECT_EQ(own.facts, own_journal(now).facts);
  EXPECT_TRUE(std::ranges::is_sorted(own.facts, {}, [](const auto& f) { return f.happened.at; }));
  std::set<Id> ids;
  for (const auto& fact : own.facts) {
    const auto good = journal::checked(fact);
    ASSERT_TRUE(good) << good.error().code << " " << good.error().at;
    EXPECT_TRUE(ids.insert(fact.id).second);
    EXPECT_LE(fact.happened.at, now.now);
  }
}

}  // namespace
}  // namespace penstock::demo
