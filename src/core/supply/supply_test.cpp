#include "core/supply/supply.hpp"

#include <gtest/gtest.h>

#include <string>
#include <vector>

namespace penstock::supply {
namespace {

using namespace penstock::literals;
using journal::Fact;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

Id id(std::uint64_t n) { return {0x5EED, n}; }
constexpr LocalDay monday = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
const Kind glargine_kind{"insulin glargine", {100}};

shelf::Insulin glargine() {
  shelf::Insulin insulin;
  insulin.name = "insulin glargine";
  insulin.strength = {100};
  insulin.in_use_days = 28;
  insulin.in_use_most = {300};
  insulin.store_least = {20};
  insulin.store_most = {80};
  return insulin;
}

shelf::Pen pen_copy() {
  shelf::Pen pen;
  pen.name = "training pen";
  pen.step = 1_units;
  pen.most = 60_units;
  pen.window = shelf::Window::returns_to_zero;
  pen.prime = 2_units;
  pen.prime_new_cartridge = 4_units;
  pen.fits = "round";
  return pen;
}

/// Tells facts at a local time of a day; the zone is UTC.
struct Story {
  std::vector<Fact> facts;
  stock::Stock clinic;
  std::uint64_t next = 1000;
  Story() { facts.reserve(500); }

  Id tell(LocalDay day, int hour, journal::Payload payload) {
    Fact fact;
    fact.id = id(next++);
    fact.journal = id(1);
    fact.happened = {Instant{day.time_since_epoch()} + hours{hour}, 0};
    fact.sequence = static_cast<std::uint32_t>(next);
    fact.recorded = fact.happened.at;
    fact.author = "Ines Falk";
    fact.source = "bench";
    fact.payload = std::move(payload);
    facts.push_back(std::move(fact));
    return facts.back().id;
  }
  Id order(LocalDay from, Units dose, std::optional<Id> replaces = std::nullopt) {
    journal::OrderLineSigned line;
    line.insulin = "insulin glargine";
    line.strength = {100};
    line.replaces = replaces;
    line.least_units = 4_units;
    line.most_units = 40_units;
    line.from = from;
    line.prescriber = "Dr Amara Osei";
    line.copied_by = "Ines Falk";
    line.slots.push_back({journal::SlotName::bedtime, {22 * 60}, 60, 120, dose});
    return tell(monday - days{40}, 9, line);
  }
  void pen() {
    tell(monday - days{40}, 10,
         journal::PenGiven{id(1), pen_copy(), "insulin glargine", {100}, "77"});
  }
  void load(std::uint64_t cartridge, LocalDay day, std::optional<LocalDay> expires = {}) {
    tell(day, 21,
         journal::CartridgeLoaded{id(cartridge), id(1), glargine(), 300_units, 300_units, "round",
                                  true, "L1", expires});
  }
  void give(LocalDay day, std::int32_t cartridges, std::string lot = "L1",
            std::optional<LocalDay> expires = {}) {
    tell(day, 9,
         journal::SuppliesGiven{
             "insulin glargine", {100}, 300_units, cartridges, 0, std::move(lot), expires});
  }
  void inject(std::uint64_t cartridge, LocalDay day, Units units, Id line) {
    journal::Injected given;
    given.cartridge = id(cartridge);
    given.units = units;
    given.line = line;
    given.slot = journal::SlotName::bedtime;
    tell(day, 22, given);
  }
  Supply supply() const { return fold(journal::read(facts)); }
  Needed needed(std::optional<TenthsMm> needle = std::nullopt) const {
    const auto history = journal::read(facts);
    return supply::needed(order::fold(history, {}), ledger::fold(history), fold(history), needle,
                          shelf::Shelf{}, clinic, ZoneRules{});
  }
};

TEST(SupplyNeeded, CountsFromTheLastInjection) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 3);
  s.load(11, monday - days{2});
  s.inject(11, monday - days{2}, 20_units, line);
  s.inject(11, monday - days{1}, 20_units, line);
  const auto found = s.needed();
  ASSERT_EQ(found.houses.size(), 1U);
  const auto& house = found.houses.front();
  EXPECT_EQ(house.counted_from, monday - days{1});
  EXPECT_EQ(house.line.given_on_first_day, 1U);  // that evening's dose is behind us
  EXPECT_EQ(house.line.doses, std::vector{20_units});
  ASSERT_EQ(house.line.open.size(), 1U);
  EXPECT_EQ(house.line.open.front().left, 260_units);
  EXPECT_EQ(house.line.open.front().days_in_use, 1);
  EXPECT_EQ(house.sealed, 2);
  EXPECT_EQ(house.line.prime, 2_units);
}

stock::Recall recall_of(const std::string& lot) {
  stock::Recall recall;
  recall.said.lot = lot;
  recall.key = lot_key(lot);
  return recall;
}

TEST(SupplyNeeded, H61_H51_WhatWasRecalledIsNotCountedOn) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 2, "L1");
  s.give(monday - days{30}, 3, "L2");
  s.load(11, monday - days{2});
  s.inject(11, monday - days{1}, 20_units, line);
  EXPECT_EQ(s.needed().houses.front().sealed, 4);
  EXPECT_EQ(s.needed().houses.front().line.open.size(), 1U);
  s.clinic.recalls.push_back(recall_of("l-1"));
  const auto house = s.needed().houses.front();
  EXPECT_TRUE(house.recalled);
  EXPECT_EQ(house.sealed, 3);
  EXPECT_TRUE(house.line.open.empty());
}

TEST(SupplyNeeded, H61_OneOfAnUnknownLotMayBeTheGoodOne) {
  Story s;
  s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 2, "BAD");
  s.give(monday - days{30}, 3, "GOOD");
  s.load(11, monday - days{2});  // of a lot that nobody gave: one of the five
  s.clinic.recalls.push_back(recall_of("BAD"));
  EXPECT_EQ(s.needed().houses.front().sealed, 2);
}

// The page Pens said "not made for this pen", and Supplies counted them as the spare.
TEST(SupplyNeeded, H42_H51_WhatWasMadeForNoneOfThePensIsNotCountedOn) {
  Story s;
  s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 3);
  shelf::Cartridge container;
  container.insulin = "glargine-100";
  container.content = 300_units;
  container.fits = "square";
  shelf::Shelf shelf;
  shelf.insulins.push_back({"glargine-100", glargine(), {}});
  shelf.cartridges.push_back({"other", container, {}});
  const auto house = [&] {
    const auto history = journal::read(s.facts);
    const auto needed = supply::needed(order::fold(history, {}), ledger::fold(history),
                                       fold(history), {}, shelf, s.clinic, ZoneRules{});
    return needed.houses.empty() ? House{} : needed.houses.front();
  };
  s.load(10, monday - days{2});  // whoever forced one in has what is in the pen, and no spare
  EXPECT_EQ(house().sealed, 0);
  EXPECT_TRUE(house().line.sealed.empty());
  EXPECT_EQ(house().no_fit, 2);
  EXPECT_EQ(house().line.open.size(), 1U);
  // A second pen that takes them makes them count.
  auto other = pen_copy();
  other.fits = "square";
  const auto given = s.tell(monday - days{20}, 11,
                            journal::PenGiven{id(2), other, "insulin glargine", {100}, "78"});
  EXPECT_EQ(house().sealed, 2);
  EXPECT_EQ(house().no_fit, 0);
  s.tell(monday - days{1}, 9, journal::Correction{given, "another person's", false, nullptr});
  EXPECT_EQ(house().no_fit, 2);
  container.fits = "round";
  shelf.cartridges.push_back({"round", container, {}});
  EXPECT_EQ(house().sealed, 2);
}

TEST(SupplyNeeded, H02_H38_WhatWasTakenOutForAnotherIsCountedOn) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.load(10, monday - days{3});
  s.inject(10, monday - days{3}, 20_units, line);
  s.load(11, monday - days{1});
  s.inject(11, monday - days{1}, 20_units, line);
  const auto both = s.needed();
  ASSERT_EQ(both.houses.size(), 1U);
  ASSERT_EQ(both.houses.front().line.open.size(), 2U);
  EXPECT_EQ(both.houses.front().line.open.front().left, 280_units);
  s.tell(monday, 7, journal::ThrownAway{id(10), journal::ThrowReason::damaged, ""});
  EXPECT_EQ(s.needed().houses.front().line.open.size(), 1U);
}

TEST(SupplyNeeded, H12_SealedOnesPastTheirDayAreNotCountedOn) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 1, "L1");
  s.give(monday - days{30}, 2, "L2", monday - days{2});
  s.give(monday - days{30}, 1, "L3", monday + days{300});
  s.load(11, monday - days{4});
  s.inject(11, monday - days{1}, 20_units, line);
  const auto house = s.needed().houses.front();
  EXPECT_TRUE(house.expired);
  EXPECT_EQ(house.sealed, 1);
}

// What expired since the last injection is no spare on the day on which somebody looks.
TEST(SupplyNeeded, H12_H51_WhatExpiredSinceIsLeftOut) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 1, "L1");
  s.give(monday - days{30}, 1, "L2", monday);
  s.load(11, monday - days{4});
  s.inject(11, monday - days{1}, 20_units, line);
  auto house = s.needed().houses.front();
  leave_out_expired(house, monday);
  EXPECT_EQ(house.sealed, 1);
  EXPECT_FALSE(house.expired);
  leave_out_expired(house, monday + days{1});
  EXPECT_EQ(house.sealed, 0);
  EXPECT_TRUE(house.expired);
  EXPECT_TRUE(house.line.sealed.empty());
}

// 8 of 20 given: the 12 that are owed come out of the house before anything else.
TEST(SupplyNeeded, H39_H02_ARestThatIsOwedIsCounted) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 2);
  s.load(11, monday - days{1});
  journal::Injected part;
  part.cartridge = id(11);
  part.units = 8_units;
  part.meant = 20_units;
  part.outcome = journal::Outcome::part;
  part.line = line;
  part.slot = journal::SlotName::bedtime;
  const auto first = s.tell(monday, 22, part);
  const auto found = s.needed();
  const auto& house = found.houses.front();
  EXPECT_EQ(house.rests, std::vector{12_units});
  EXPECT_EQ(house.line.open.front().left, 292_units);  // what is there
  const auto request = request_of(house, s.supply(), {});
  EXPECT_EQ(request.lines.front().open.front().left, 278_units);  // its prime, too
  const auto owed = cover::cover(request)->lines.front().last_full_day;
  journal::Injected rest = part;
  rest.units = 12_units;
  rest.meant = 12_units;
  rest.outcome = journal::Outcome::whole;
  rest.completes = first;
  s.tell(monday, 23, journal::Primed{id(11), 2_units, journal::Flow::seen});
  s.tell(monday, 23, rest);
  const auto then = s.needed();
  EXPECT_TRUE(then.houses.front().rests.empty());
  EXPECT_EQ(
      cover::cover(request_of(then.houses.front(), s.supply(), {}))->lines.front().last_full_day,
      owed);
}

// A rest that the open one does not hold opens the next.
TEST(SupplyNeeded, H39_H51_ARestThatTheOpenOneDoesNotHoldOpensTheNext) {
  House house;
  house.line.doses = {20_units};
  house.line.most = 60_units;
  house.line.prime = 2_units;
  house.line.new_cartridge_prime = 4_units;
  house.line.cartridge = 300_units;
  house.line.open = {{10_units, 3, false, {}}};
  house.line.sealed = {{1, monday + days{300}}};
  house.rests = {12_units};
  house.counted_from = monday;
  const auto request = request_of(house, Supply{}, {});
  const auto& line = request.lines.front();
  EXPECT_TRUE(line.sealed.empty());
  ASSERT_EQ(line.open.size(), 2U);
  EXPECT_EQ(line.open.back().left, 284_units);
}

TEST(SupplyNeeded, H41_H02_OfAccountAndScaleTheSmallerIsCountedOn) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.load(11, monday - days{2});
  s.inject(11, monday - days{2}, 20_units, line);
  s.tell(monday - days{1}, 20, journal::ScaleCounted{id(11), 40_units});
  s.inject(11, monday - days{1}, 20_units, line);
  EXPECT_EQ(s.needed().houses.front().line.open.front().left, 20_units);
}

TEST(SupplyNeeded, H12_AFridgeThatFrozeLeavesNothingToCountOn) {
  Story s;
  s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 3, "L1");
  journal::TemperatureSpell frost;
  frost.celsius = {-60};
  frost.minutes = 600;
  frost.frozen = true;
  s.tell(monday - days{3}, 7, frost);
  EXPECT_EQ(s.needed().houses.front().sealed, 3);  // what was in use alone
  frost.sealed = true;
  s.tell(monday - days{2}, 7, frost);
  EXPECT_EQ(s.needed().houses.front().sealed, 0);
  s.give(monday - days{1}, 2, "L1");
  EXPECT_EQ(s.needed().houses.front().sealed, 2);
}

TEST(SupplyNeeded, H12_WhatIsPastItsDaysIsNotCountedOn) {
  Story s;
  const auto line = s.order(monday - days{40}, 4_units);
  s.pen();
  s.give(monday - days{40}, 1);
  s.load(11, monday - days{35});
  s.inject(11, monday - days{35}, 4_units, line);
  s.inject(11, monday - days{1}, 4_units, line);  // taken all the same
  const auto found = s.needed();
  ASSERT_EQ(found.houses.size(), 1U);
  EXPECT_TRUE(found.houses.front().line.open.empty());
}

TEST(SupplyNeeded, H41_OfCountAndAccountTheSmallerIsCountedOn) {
  Story s;
  s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 2, "early", monday + days{10});
  s.give(monday - days{29}, 3, "late", monday + days{900});
  s.tell(monday - days{3}, 9,
         journal::SuppliesCounted{"insulin glargine", {100}, 300_units, 3, std::nullopt});
  const auto found = s.needed();
  ASSERT_EQ(found.houses.size(), 1U);
  const auto& house = found.houses.front();
  EXPECT_EQ(house.sealed, 3);
  ASSERT_EQ(house.line.sealed.size(), 2U);
  EXPECT_EQ(house.line.sealed[0].cartridges, 2);  // those that expire first are taken to be there
  EXPECT_EQ(house.line.sealed[0].expires, monday + days{10});
  EXPECT_EQ(house.line.sealed[1].cartridges, 1);
}

TEST(SupplyNeeded, AChangeOfTheOrderIsSeen) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.order(monday + days{7}, 24_units, line);
  s.pen();
  s.give(monday - days{30}, 2);
  s.load(11, monday - days{2});
  s.inject(11, monday - days{1}, 20_units, line);
  const auto found = s.needed();
  ASSERT_EQ(found.houses.size(), 1U);
  const auto& house = found.houses.front();
  EXPECT_EQ(house.line.doses, std::vector{20_units});
  ASSERT_EQ(house.line.changes.size(), 1U);
  EXPECT_EQ(house.line.changes.front().from, monday + days{7});
  EXPECT_EQ(house.line.changes.front().doses, std::vector{24_units});
  EXPECT_FALSE(house.last_day);
}

/// The day on which it runs out.
LocalDay short_day(const Story& s) {
  const auto found = s.needed();
  EXPECT_EQ(found.houses.size(), 1U);
  const auto answer = cover::cover(request_of(found.houses.front(), s.supply(), {}));
  EXPECT_TRUE(answer) << answer.error().code << answer.error().at;
  return short_on(answer->lines.front()).value_or(LocalDay::max());
}

// 48 units a day until tomorrow, then 80 (two injections of at most 60, each with its prime of 2).
// After today's dose 252 are in the open one, and there are three more of 300. Old dose: 50 a day.
// 252 give five days; each new one is 52 and four times 50: five days and 48 over. 5 + 15 = 20 days
// more. New dose: 84 a day. 252 give three days; a new one is 86 the first day and 84 after it:
// 86 + 84 + 84 = 254 and 46 over, three days each. 3 + 9 = 12 days more.
TEST(SupplyNeeded, H38_H51_FromItsDayOnTheNewDoseIsCountedBeforeOneIsRecorded) {
  Story s;
  const auto line = s.order(monday - days{30}, 48_units);
  s.pen();
  s.give(monday - days{30}, 4);
  s.load(11, monday - days{1});
  s.inject(11, monday, 48_units, line);
  EXPECT_EQ(short_day(s), monday + days{21});
  s.order(monday + days{1}, 80_units, line);
  EXPECT_EQ(short_day(s), monday + days{13});
  const auto house = s.needed().houses.front();
  EXPECT_EQ(house.line.doses, std::vector{48_units});
  EXPECT_EQ(house.counted_from, monday);
  EXPECT_EQ(injections_a_day(house, monday), 1);
  EXPECT_EQ(injections_a_day(house, monday + days{1}), 2);
}

// 20 units, and 40 in force since six days, the last injection on record eight days ago: 280 were
// left then. One day more of 22 leaves 258, and six days of 42 are 252: today it is gone. With 20
// alone there were twelve days of 22.
TEST(SupplyNeeded, H38_H51_ADoseInForceSinceDaysIsCountedWithoutAnInjectionOfIt) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.load(11, monday - days{8});
  s.inject(11, monday - days{8}, 20_units, line);
  EXPECT_EQ(short_day(s), monday + days{5});
  s.order(monday - days{6}, 40_units, line);
  EXPECT_EQ(short_day(s), monday);
}

TEST(SupplyNeeded, H51_AChangeToTheSameDosesIsNone) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 2);
  s.load(11, monday - days{2});
  s.inject(11, monday - days{1}, 20_units, line);
  const auto before = short_day(s);
  const auto second = s.order(monday + days{3}, 20_units, line);
  EXPECT_TRUE(s.needed().houses.front().line.changes.empty());
  EXPECT_EQ(short_day(s), before);
  // Of several coming ones each has its day; the days before a change are as they were.
  s.order(monday + days{5}, 24_units, second);
  const auto house = s.needed().houses.front();
  ASSERT_EQ(house.line.changes.size(), 1U);
  EXPECT_EQ(house.line.changes.front().from, monday + days{5});
  EXPECT_LE(short_day(s), before);
}

// A line with a last day of its own beside one that goes on: the rest is the dose from then on.
// Where none goes on, the order ran out and is renewed: it is counted as before (H38).
TEST(SupplyNeeded, H38_ALineThatEndsLeavesTheOthersAndAnOrderThatRunsOutIsCountedOn) {
  Story s;
  s.order(monday - days{30}, 20_units);
  journal::OrderLineSigned morning;
  morning.insulin = "insulin glargine";
  morning.strength = {100};
  morning.from = monday - days{30};
  morning.until = monday + days{4};
  morning.slots.push_back({journal::SlotName::morning, {8 * 60}, 60, 120, 6_units});
  s.tell(monday - days{40}, 9, morning);
  s.pen();
  s.give(monday - days{30}, 2);
  s.load(11, monday - days{2});
  const auto house = s.needed().houses.front();
  EXPECT_EQ(house.line.doses, (std::vector{6_units, 20_units}));
  ASSERT_EQ(house.line.changes.size(), 1U);
  EXPECT_EQ(house.line.changes.front().from, monday + days{5});
  EXPECT_EQ(house.line.changes.front().doses, std::vector{20_units});

  Story alone;
  alone.tell(monday - days{40}, 9, morning);
  alone.pen();
  alone.load(11, monday - days{2});
  EXPECT_TRUE(alone.needed().houses.front().line.changes.empty());
  EXPECT_FALSE(alone.needed().houses.front().last_day);
}

// Another insulin takes its place from a later day: until then this one is needed, and no longer.
TEST(SupplyNeeded, H38_WhatIsReplacedByAnotherInsulinIsCountedUntilThen) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.load(11, monday - days{2});
  s.inject(11, monday - days{1}, 20_units, line);
  journal::OrderLineSigned other;
  other.insulin = "insulin degludec";
  other.strength = {100};
  other.replaces = line;
  other.from = monday + days{2};
  other.slots.push_back({journal::SlotName::bedtime, {22 * 60}, 60, 120, 20_units});
  s.tell(monday, 9, other);
  auto found = s.needed();
  ASSERT_EQ(found.houses.size(), 1U);
  const auto& house = found.houses.front();
  EXPECT_EQ(house.kind, glargine_kind);
  EXPECT_EQ(house.last_day, monday + days{1});
  EXPECT_FALSE(house.is_over(monday + days{1}));
  EXPECT_TRUE(house.is_over(monday + days{2}));
  ASSERT_EQ(house.line.changes.size(), 1U);
  EXPECT_TRUE(house.line.changes.front().doses.empty());
  EXPECT_EQ(short_day(s), LocalDay::max());  // 280 are enough for two days of 22
  ASSERT_EQ(found.gaps.size(), 1U);
  EXPECT_EQ(found.gaps.front().kind.insulin, "insulin degludec");
  // Needles are: the other one takes as many, though nothing of it can be worked out yet.
  s.tell(monday - days{30}, 9, journal::NeedlesGiven{"needle-4", {40}, 50, "", std::nullopt});
  const auto needles = cover::cover(*request_of(s.needed(), s.supply(), {}));
  ASSERT_TRUE(needles);
  EXPECT_FALSE(needles->needles->beyond_horizon);
  // The last of it is given: nothing of it is needed any more.
  s.inject(11, monday + days{1}, 20_units, line);
  EXPECT_TRUE(s.needed().houses.empty());
}

// Twelve needles, one a day before and after: counted from the day on which the other one begins,
// the twelve lasted till January.
TEST(SupplyNeeded, H38_NeedlesAreTakenByTheOldInsulinUntilTheNewOneBegins) {
  for (const bool replaces : {true, false}) {
    Story s;
    const auto line = s.order(monday - days{30}, 20_units);
    s.pen();
    s.load(11, monday - days{2});
    s.give(monday - days{2}, 5);
    s.inject(11, monday - days{1}, 20_units, line);
    journal::OrderLineSigned other;
    other.insulin = "insulin degludec";
    other.strength = {100};
    if (replaces) other.replaces = line;
    other.from = monday + days{20};
    other.slots.push_back({journal::SlotName::bedtime, {22 * 60}, 60, 120, 24_units});
    s.tell(monday, 9, other);
    s.tell(monday, 10, journal::PenGiven{id(2), pen_copy(), "insulin degludec", {100}, "78"});
    s.tell(monday, 10,
           journal::SuppliesGiven{"insulin degludec", {100}, 300_units, 5, 0, "L9", std::nullopt});
    s.tell(monday, 10, journal::NeedlesGiven{"needle-4", {40}, 13, "", std::nullopt});
    s.tell(monday, 11, journal::SuppliesCounted{"", {}, 0_units, std::nullopt, 12});
    const auto found = s.needed();
    ASSERT_EQ(found.houses.size(), 2U) << replaces;
    EXPECT_EQ(found.needles->on, monday - days{1});
    const auto counted = cover::cover(*request_of(found, s.supply(), {}));
    ASSERT_TRUE(counted);
    EXPECT_EQ(short_on(*counted->needles), monday + days{12}) << replaces;
    EXPECT_EQ(injections_a_day(found.houses.front(), monday), 1);
    EXPECT_EQ(injections_a_day(found.houses.back(), monday), 0);
    EXPECT_EQ(injections_a_day(found.houses.back(), monday + days{20}), 1);
  }
}

// A coming dose between two steps of the pen, or beyond a cartridge: the days before it are worked
// out all the same, and it counts for as much as can be (H38).
TEST(SupplyNeeded, H38_AComingDoseThatThePenCannotGiveHidesNothing) {
  for (const auto& [then, counted] :
       {std::pair{20.5_units, 21_units}, std::pair{310_units, 288_units}}) {
    Story s;
    const auto line = s.order(monday - days{30}, 20_units);
    s.order(monday + days{7}, then, line);
    s.pen();
    s.load(11, monday - days{1});
    s.inject(11, monday - days{1}, 20_units, line);
    const auto house = s.needed().houses.front();
    ASSERT_EQ(house.line.changes.size(), 1U);
    EXPECT_EQ(house.line.changes.front().doses, std::vector{counted});
    EXPECT_LT(short_day(s), LocalDay::max());
  }
}

// Nobody injected yet, and the dose changes in a week: until then the first one is counted.
TEST(SupplyNeeded, H51_WithoutAnInjectionItCountsFromTheDayOnWhichTheChangeWasCopied) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.order(monday + days{7}, 24_units, line);
  s.load(11, monday - days{2});
  const auto house = s.needed().houses.front();
  EXPECT_EQ(house.counted_from, monday - days{2});
  EXPECT_EQ(house.line.doses, std::vector{20_units});
  ASSERT_EQ(house.line.changes.size(), 1U);
}

TEST(SupplyNeeded, ALineWithoutAPenIsNamed) {
  Story s;
  s.order(monday - days{30}, 20_units);
  const auto found = s.needed();
  EXPECT_TRUE(found.houses.empty());
  ASSERT_EQ(found.gaps.size(), 1U);
  EXPECT_EQ(found.gaps.front().lack, Lack::no_pen);
  EXPECT_EQ(found.gaps.front().kind, glargine_kind);
}

TEST(SupplyNeeded, ANeedleIsForEachInjectionNotForEachDose) {
  for (const auto& [dose, needles] : {std::pair{20_units, 1}, std::pair{70_units, 2}}) {
    Story s;
    s.order(monday - days{30}, dose);
    s.pen();
    s.load(10, monday - days{3});
    const auto needed = s.needed();
    ASSERT_EQ(needed.houses.size(), 1U);
    EXPECT_EQ(injections_a_day(needed.houses.front(), monday), needles);
  }
}

TEST(SupplyNeeded, OnlyNeedlesOfTheChosenLengthAreCountedOn) {
  Story s;
  s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 2);
  s.tell(monday - days{30}, 9, journal::NeedlesGiven{"needle-6", {60}, 50, "", std::nullopt});
  s.tell(monday - days{30}, 9, journal::NeedlesGiven{"needle-4", {40}, 30, "", std::nullopt});
  EXPECT_EQ(s.needed(TenthsMm{40}).needles->left, 30);
  EXPECT_EQ(s.needed().needles->left, 80);
}

TEST(SupplyBox, H34_IsFullAtThreeQuarters) {
  Story s;
  const auto line = s.order(monday - days{40}, 20_units);
  s.pen();
  s.load(11, monday - days{12});
  s.tell(monday - days{12}, 12, journal::SharpsBoxGiven{id(5), 12});
  for (int i = 0; i < 4; ++i)
    s.inject(11, monday - days{10 - i}, 10_units, line);  // no needle said
  s.tell(monday - days{5}, 21, journal::NeedleOn{id(1), "4 mm", {40}, true});
  s.inject(11, monday - days{5}, 10_units, line);
  s.tell(monday - days{5}, 23, journal::NeedleOff{id(1), journal::Disposal::sharps_container});
  s.tell(monday - days{4}, 21, journal::NeedleOn{id(1), "4 mm", {40}, true});
  s.tell(monday - days{4}, 23, journal::NeedleOff{id(1), journal::Disposal::elsewhere});
  const auto supply = s.supply();
  ASSERT_NE(supply.box(), nullptr);
  EXPECT_EQ(supply.box()->needles, 5);
  EXPECT_EQ(supply.box()->line(), 9);
  EXPECT_EQ(supply.box()->room(), 4);
  s.tell(monday, 9, journal::SharpsBoxClosed{id(5), "the clinic"});
  EXPECT_EQ(s.supply().box(), nullptr);
}

TEST(SupplyAsked, IsAwaitedUntilItComesOrItsDayIsOver) {
  Story s;
  journal::SuppliesAsked asked;
  asked.insulin = "insulin glargine";
  asked.strength = {100};
  asked.boxes = 1;
  asked.expected = monday + days{5};
  s.tell(monday, 9, asked);
  EXPECT_NE(awaited(s.supply(), glargine_kind, monday + days{5}), nullptr);
  EXPECT_EQ(awaited(s.supply(), glargine_kind, monday + days{6}), nullptr);
  s.give(monday + days{2}, 5);
  EXPECT_EQ(awaited(s.supply(), glargine_kind, monday + days{3}), nullptr);
}

TEST(SupplyClosed, NamesTheClosedDays) {
  const ClosedDays closed{{journal::Weekday::saturday, journal::Weekday::sunday},
                          {monday + days{4}}};
  EXPECT_FALSE(closed.is_closed(monday));
  EXPECT_TRUE(closed.is_closed(monday + days{4}));
  EXPECT_EQ(closed.from(monday, 7),
            (std::vector{monday + days{4}, monday + days{5}, monday + days{6}}));
  EXPECT_EQ(weekday_of(monday), journal::Weekday::monday);
}

// Three years of days, each asked for itself.
TEST(SupplyClosed, IsTheListOfTheDaysThatAreClosed) {
  using journal::Weekday;
  const std::vector<std::vector<Weekday>> weeks{
      {}, {Weekday::sunday}, {Weekday::saturday, Weekday::sunday}, {Weekday::monday}};
  // In no order, one of them twice, on closed weekdays and before the first day.
  const std::vector<std::vector<LocalDay>> dates{
      {}, {monday + days{9}, monday + days{6}, monday - days{3}, monday + days{9}, monday}};
  for (const auto& week : weeks) {
    for (const auto& date : dates) {
      const ClosedDays closed{week, date};
      for (const int from : {0, 1, 6, 9, 10}) {
        for (const int count : {-1, 0, 1, 10, 1'100}) {
          std::vector<LocalDay> expected;
          for (int i = 0; i < count; ++i) {
            if (closed.is_closed(monday + days{from + i}))
              expected.push_back(monday + days{from + i});
          }
          EXPECT_EQ(closed.from(monday + days{from}, count), expected) << from << " " << count;
        }
      }
    }
  }
}

TEST(SupplySpread, FromTheJournalItIsWhatTheDosesDid) {
  Story s;
  const auto line = s.order(monday - days{40}, 20_units);
  s.pen();
  s.give(monday - days{40}, 9);
  s.load(11, monday - days{20});
  for (int i = 0; i < 12; ++i)
    s.inject(11, monday - days{12 - i}, i % 2 == 0 ? 18_units : 23_units, line);
  journal::SupplyRulesSet rules;
  rules.spread = journal::DoseSpread::from_journal;
  s.tell(monday - days{12}, 8, rules);
  const auto found = s.needed();
  ASSERT_EQ(found.houses.size(), 1U);
  // Mean 20.5, up to the next step; the sample sd of six 18 and six 23 is 2.611.
  EXPECT_EQ(found.houses.front().line.doses, std::vector{21_units});
  EXPECT_EQ(found.houses.front().line.dose_sd, 2.61_units);
}

TEST(SupplyRules, ALessUsualServiceIsHandedOn) {
  journal::SupplyRulesSet rules;
  rules.service_per_thousand = 950;
  rules.lead_days = 5;
  rules.late_days = 12;
  rules.late_percent = 10;
  const auto ask = ask_of(rules, {}, monday);
  EXPECT_DOUBLE_EQ(ask.service, 0.95);
  ASSERT_EQ(ask.leads.size(), 2U);
  EXPECT_EQ(ask.leads[1].days, 12);
  EXPECT_DOUBLE_EQ(ask.leads[0].chance + ask.leads[1].chance, 1.0);
}

// ---- lots

std::vector<LotAtHome> lots_of(const Story& story) {
  const auto history = journal::read(story.facts);
  return supply::lots_of(history, ledger::fold(history));
}

TEST(SupplyLots, SealedOpenUsedAndInjectedOfEachLot) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 3, "L 1");
  s.give(monday - days{20}, 2, "L2");
  s.load(11, monday - days{20});
  s.inject(11, monday - days{20}, 20_units, line);
  s.tell(monday - days{10}, 8, journal::ThrownAway{id(11), journal::ThrowReason::other, ""});
  s.load(12, monday - days{10});
  s.inject(12, monday - days{10}, 20_units, line);
  s.inject(12, monday - days{9}, 22_units, line);
  const auto lots = lots_of(s);
  ASSERT_EQ(lots.size(), 2U);
  EXPECT_EQ(lots[0].lot, "L 1");
  EXPECT_EQ(lots[0].key, lot_key("L1"));
  EXPECT_EQ(lots[0].given, 3);
  EXPECT_EQ(lots[0].sealed, 1);
  EXPECT_FALSE(lots[0].sealed_at_most);
  EXPECT_EQ(lots[0].open, 1);
  EXPECT_EQ(lots[0].used, 1);
  EXPECT_EQ(lots[0].injected, 62_units);
  EXPECT_EQ(lots[0].first_injected, monday - days{20});
  EXPECT_EQ(lots[0].last_injected, monday - days{9});
  EXPECT_EQ(lots[1].sealed, 2);
  EXPECT_FALSE(lots[1].last_injected.has_value());
}

// Nurse A26: "4284 units were injected" from ten cartridges of 300, after a diary came in twice.
TEST(SupplyLots, NoMoreWasInjectedFromALotThanItHeld) {
  Story s;
  const auto line = s.order(monday - days{30}, 20_units);
  s.pen();
  s.give(monday - days{30}, 1, "L1");
  s.load(11, monday - days{29});
  for (int day = 29; day > 9; --day) s.inject(11, monday - days{day}, 20_units, line);
  EXPECT_EQ(lots_of(s)[0].injected, 300_units);
}

TEST(SupplyLots, ACartridgeLoadedWithoutItsNumberLeavesEveryLotItsMost) {
  Story s;
  s.pen();
  s.give(monday - days{30}, 3, "A");
  s.give(monday - days{30}, 3, "B");
  s.tell(monday, 8,
         journal::CartridgeLoaded{
             id(11), id(1), glargine(), 300_units, 300_units, "round", true, "", {}});
  const auto lots = lots_of(s);
  ASSERT_EQ(lots.size(), 3U);
  EXPECT_EQ(lots[0].key, "");
  EXPECT_EQ(lots[0].open, 1);
  EXPECT_EQ(lots[1].sealed, 3);
  EXPECT_TRUE(lots[1].sealed_at_most);
  EXPECT_EQ(lots[2].sealed, 3);
  EXPECT_TRUE(lots[2].sealed_at_most);
}

TEST(SupplyLots, NeedlesHaveLotsToo) {
  Story s;
  s.tell(monday, 8, journal::NeedlesGiven{"needle-4", {40}, 100, "N7", {}});
  const auto lots = lots_of(s);
  ASSERT_EQ(lots.size(), 1U);
  EXPECT_EQ(lots[0].needle, "needle-4");
  EXPECT_EQ(lots[0].given, 100);
  EXPECT_FALSE(lots[0].is_at_hand()) << "needles are not counted by lot once they are at home";
}

}  // namespace
}  // namespace penstock::supply
