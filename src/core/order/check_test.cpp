// H40, H60: whose check counts, and from when.
#include <gtest/gtest.h>

#include <memory>
#include <string>
#include <vector>

#include "core/order/order.hpp"
#include "core/order/second_check/second_check.hpp"

namespace penstock::order {
namespace {

using namespace penstock::literals;
using std::chrono::hours;
using std::chrono::minutes;

Id id(std::uint64_t n) { return {0x0EDE, n}; }
constexpr LocalDay start{std::chrono::year{2027} / 3 / std::chrono::day{1}};
constexpr Instant copied{std::chrono::sys_days{std::chrono::year{2027} / 2 / 28} + hours{9}};

/// An order copied by Ines Falk: 18 units at 21:00, 10 to 24 allowed.
struct Story {
  std::vector<journal::Fact> facts;
  ZoneRules zone{"UTC", {}};

  Id tell(Instant at, journal::Payload payload, const std::string& author = "Ines Falk") {
    auto& fact = facts.emplace_back();
    fact.id = id(100 + facts.size());
    fact.journal = id(1);
    fact.happened = zone.when(at);
    fact.recorded = at;
    fact.author = author;
    fact.source = "bench";
    fact.payload = std::move(payload);
    return fact.id;
  }
  static journal::OrderLineSigned bedtime(const std::string& copied_by = "Ines Falk") {
    journal::OrderLineSigned line;
    line.insulin = "insulin glargine";
    line.strength = {100};
    line.slots = {{journal::SlotName::bedtime, {21 * 60}, 60, 120, 18_units}};
    line.least_units = 10_units;
    line.most_units = 24_units;
    line.order_version = 1;
    line.from = start;
    line.prescriber = "Dr Amara Osei";
    line.copied_by = copied_by;
    line.signed_on = start;
    return line;
  }
  Id check(const Id& line, const std::string& by, Instant at) {
    journal::OrderLineChecked made;
    made.line = line;
    made.checked_by = by;
    return tell(at, made);
  }
  Order order() const { return fold(journal::read(facts), zone); }
  bool is_checked(const Id& line) const { return order().line(line)->checked.has_value(); }
};

// Whoever typed the copy named somebody else as its copyist, and then checked it.
TEST(OrderCheck, H40_WhoRecordedACopyIsNotItsSecondCheckWhoeverIsNamedAsItsCopyist) {
  Story s;
  const Id line = s.tell(copied, Story::bedtime("Sam Field"), "Ada Lund");
  s.check(line, "Ada Lund", copied + hours{1});
  EXPECT_FALSE(s.is_checked(line));
  s.check(line, "Tom Reyes", copied + hours{2});
  EXPECT_TRUE(s.is_checked(line));
}

// The copyist's name was corrected away, and then the copyist checked.
TEST(OrderCheck, H40_WhoCopiedOrCorrectedACopyIsNotItsSecondCheck) {
  Story s;
  const Id line = s.tell(copied, Story::bedtime());
  for (const auto* name : {"Jo Winter", "Mia Brandt"}) {
    s.tell(copied + hours{static_cast<int>(s.facts.size())},
           journal::Correction{line, "typo", false,
                               std::make_shared<const journal::Replacement>(journal::Replacement{
                                   s.facts.front().happened, 0, Story::bedtime(name)})},
           "Ada Lund");
  }
  for (const auto* by : {"Ines Falk", "Ada Lund", "Jo Winter", "Mia Brandt"}) {
    s.check(line, by, copied + hours{8});
    EXPECT_FALSE(s.is_checked(line)) << by;
  }
  s.check(line, "Tom Reyes", copied + hours{9});
  EXPECT_TRUE(s.is_checked(line));
}

TEST(OrderCheck, H40_TheSameVersionCopiedAnewKeepsItsCopyists) {
  for (const std::int32_t version : {1, 2}) {
    Story s;
    auto anew = Story::bedtime("Jo Winter");
    anew.replaces = s.tell(copied, Story::bedtime());
    anew.order_version = version;
    const Id line = s.tell(copied + hours{1}, anew, "Ada Lund");
    s.check(line, "Ines Falk", copied + hours{2});
    EXPECT_EQ(s.is_checked(line), version == 2) << version;
  }
}

/// What somebody read who looked for the days as well, and found none.
journal::OrderLineChecked days_read_of(const Id& line, const journal::OrderLineSigned& copy) {
  journal::OrderLineChecked check;
  check.line = line;
  check.checked_by = "Tom Reyes";
  check.reading = {copy.insulin, copy.strength, copy.slots};
  check.days_read = true;
  return check;
}

// The paper said from Thursday; the copy had today's date, and was dialled three days early.
TEST(OrderCheck, H60_TheDaysOnWhichAnOrderHoldsAreReadWithIt) {
  using std::chrono::days;
  using Day = std::optional<LocalDay>;
  constexpr auto none = std::nullopt;
  constexpr LocalDay end = start + days{20};
  struct Case {
    Day copied_until, from, until;
    std::string_view differs;
  };
  for (const auto& one :
       {Case{none, start, none, ""}, Case{end, start, end, ""},
        Case{none, start + days{3}, none, codes::check_from},
        Case{none, none, none, codes::check_no_from}, Case{none, start, end, codes::check_until},
        Case{end, start, none, codes::check_no_until},
        Case{end, start, end + days{1}, codes::check_until}}) {
    Story s;
    auto copy = Story::bedtime();
    copy.until = one.copied_until;
    const Id line = s.tell(copied, copy);
    auto check = days_read_of(line, copy);
    check.from = one.from;
    check.until = one.until;
    const auto same = same_as_copy(copy, s.zone.when(copied).day(), check);
    EXPECT_EQ(same ? "" : same.error().code, one.differs);
    s.tell(copied + hours{1}, check);
    EXPECT_EQ(s.is_checked(line), one.differs.empty());
  }
  // An order that names no first day holds from the day on which it is copied.
  Story s;
  auto copy = Story::bedtime();
  copy.from = start - days{1};
  const Id line = s.tell(copied, copy);
  s.tell(copied + hours{1}, days_read_of(line, copy));
  EXPECT_TRUE(s.is_checked(line));
}

// It counts, as one on record from before days were read does, and is told apart.
TEST(OrderCheck, H60_ACheckThatDidNotReadTheDaysIsKnownUntilSomebodyReadsThem) {
  Story s;
  const auto copy = Story::bedtime();
  const Id line = s.tell(copied, copy);
  auto check = days_read_of(line, copy);
  check.days_read = false;
  s.tell(copied + hours{1}, check);
  ASSERT_TRUE(s.is_checked(line));
  EXPECT_FALSE(s.order().line(line)->checked->days_read);
  auto whole = days_read_of(line, copy);
  whole.checked_by = "Sam Field";
  whole.from = copy.from;
  s.tell(copied + hours{2}, whole);
  const auto order = s.order();
  EXPECT_TRUE(order.line(line)->checked->days_read);
  EXPECT_EQ(order.line(line)->checked->by, check.checked_by) << "since when it counts stays";
}

// No second check reads a dose that stands in words.
TEST(OrderCheck, H40_H37_ANumberInWordsIsOneInDigitsOfAnyScriptAndInEnglish) {
  for (const auto* words :
       {"Take 80 units", "Take ８０ units", "٨٠", "৮০ units", "⑧", "½", "Ⅷ", "八十",
        "Take eighty units", "TWO at noon", "forty-two", "e\u200Bighty", "Ten.", "a dozen"})
    EXPECT_TRUE(holds_number(words)) << words;
  for (const auto* words : {"", "Phone us.", "one of the nurses", "tender often",
                            "weight, fortyish", "Zdzisława", "注射", "a few"})
    EXPECT_FALSE(holds_number(words)) << words;
}

TEST(OrderCheck, H60_ACheckDatedBeforeItsCopyDoesNotCount) {
  Story s;
  const Id line = s.tell(copied, Story::bedtime());
  s.check(line, "Tom Reyes", copied - minutes{1});
  EXPECT_FALSE(s.is_checked(line));
  s.check(line, "Tom Reyes", copied);
  EXPECT_TRUE(s.is_checked(line));
}

}  // namespace
}  // namespace penstock::order
