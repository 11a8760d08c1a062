#include "core/journal/person.hpp"

#include <gtest/gtest.h>

#include "core/journal/journal.hpp"

namespace penstock::journal {
namespace {

using std::chrono::hours;
using std::chrono::year;

constexpr LocalDay day(int y, int m, int d) { return std::chrono::local_days{year{y} / m / d}; }
constexpr Instant start = std::chrono::sys_days{year{2027} / 3 / 16};

Fact fact(std::uint64_t id, int hour, Payload payload) {
  const Instant at = start + hours{hour};
  return {{9, id}, {9, 99}, {at, 60}, 0, at, "N. Okafor", "", "bench", std::move(payload)};
}
PersonRegistered registered() {
  PersonRegistered made{"Ada Marsh", day(1958, 6, 4), "HS-0417", "Europe/Berlin", "0", {}};
  made.background.sight = Ability::reduced;
  return made;
}

TEST(Person, NobodyIsRegisteredInAnEmptyJournal) {
  const auto person = fold_person(read({}));
  EXPECT_FALSE(person.registered);
  EXPECT_TRUE(person.full_name.empty());
}

TEST(Person, H50_TheBackgroundIsTheLastOneNoted) {
  Background later;
  later.sight = Ability::none;
  later.reads = "Polish";
  const std::vector<Fact> facts{fact(2, 5, BackgroundNoted{later}), fact(1, 0, registered())};
  const auto person = fold_person(read(facts));
  EXPECT_TRUE(person.registered);
  EXPECT_EQ(person.full_name, "Ada Marsh");
  EXPECT_EQ(person.born, day(1958, 6, 4));
  EXPECT_EQ(person.number, "HS-0417");
  EXPECT_EQ(person.zone, "Europe/Berlin");
  EXPECT_EQ(person.background, later);
}

TEST(Person, ACorrectedNameIsTheName) {
  auto spelled = registered();
  spelled.full_name = "Ada Marsh-Lindqvist";
  auto correction =
      Correction{{9, 1},
                 "spelling",
                 false,
                 std::make_shared<const Replacement>(Replacement{{start, 60}, 0, spelled})};
  const std::vector<Fact> facts{fact(1, 0, registered()), fact(2, 1, correction)};
  EXPECT_EQ(fold_person(read(facts)).full_name, "Ada Marsh-Lindqvist");
}

TEST(Person, H45_ATypeOfNeedleThatWasNotTaughtIsNotTaught) {
  const std::vector<Fact> facts{fact(1, 0, TaughtBack{Skill::injection, "4 mm, 32G", true, ""}),
                                fact(2, 1, TaughtBack{Skill::split_dose, "", false, ""})};
  const auto person = fold_person(read(facts));
  ASSERT_EQ(person.teaching.size(), 2U);
  EXPECT_TRUE(person.teaching[0].unprompted);
  EXPECT_TRUE(person.taught(Skill::injection));
  EXPECT_TRUE(person.taught(Skill::split_dose));
  EXPECT_FALSE(person.taught(Skill::mixing));
  EXPECT_TRUE(person.taught_needle("4 mm, 32G"));
  EXPECT_FALSE(person.taught_needle("5 mm, 31G"));
  EXPECT_FALSE(person.taught_needle(""));
}

TEST(Person, ATeachBackThatWasVoidedNeverWas) {
  const std::vector<Fact> facts{fact(1, 0, TaughtBack{Skill::mixing, "", true, ""}),
                                fact(2, 1, Correction{{9, 1}, "another's", true, nullptr})};
  EXPECT_FALSE(fold_person(read(facts)).taught(Skill::mixing));
}

TEST(Person, H32_NotesAndDismissalsBearTheirAuthor) {
  const std::vector<Fact> facts{fact(1, 0, Note{"left eye operated on"}),
                                fact(2, 1, ReminderDismissed{"stock.short", "f00d", "comes today"}),
                                fact(3, 2, Note{"second"})};
  const auto person = fold_person(read(facts));
  ASSERT_EQ(person.notes.size(), 2U);
  EXPECT_EQ(person.notes[0].text, "left eye operated on");
  EXPECT_EQ(person.notes[0].author, "N. Okafor");
  ASSERT_EQ(person.dismissals.size(), 1U);
  EXPECT_EQ(person.dismissals[0].basis, "f00d");
  EXPECT_EQ(person.dismissals[0].by, "N. Okafor");
  EXPECT_EQ(person.dismissals[0].on.at, start + hours{1});
}

TEST(Person, AgeIsInWholeYears) {
  struct Row {
    LocalDay born, on;
    int years;
  };
  constexpr Row rows[] = {
      {day(1958, 6, 4), day(2027, 6, 3), 68},  {day(1958, 6, 4), day(2027, 6, 4), 69},
      {day(2020, 2, 29), day(2027, 2, 28), 6}, {day(2020, 2, 29), day(2027, 3, 1), 7},
      {day(2020, 2, 29), day(2028, 2, 28), 7}, {day(2020, 2, 29), day(2028, 2, 29), 8},
      {day(2027, 3, 16), day(2027, 3, 16), 0}, {day(1900, 1, 1), day(2027, 1, 1), 127}};
  for (const auto& row : rows) {
    EXPECT_EQ(age_years(row.born, row.on), row.years)
        << format_iso(row.born) << " " << format_iso(row.on);
  }
}

}  // namespace
}  // namespace penstock::journal
