// From a journal to the request: what it says, and nothing that it does not say.
#include "core/reconcile/from_journal/from_journal.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "core/reconcile/reconcile.hpp"

namespace penstock::reconcile {
namespace {

using namespace penstock::literals;
using journal::Fact;
using journal::SlotName;
using journal::ThrowReason;
using std::chrono::days;
using std::chrono::minutes;

constexpr LocalDay first{std::chrono::year{2027} / 3 / 1};
Id id(std::uint64_t n) { return {0xACC, n}; }

/// A person with one pen of glargine: 20 units at bedtime, told day by day.
struct Story {
  std::vector<Fact> facts;
  std::uint64_t next = 1000;
  std::string source = "bench";
  double left = 0;
  std::uint64_t cartridge = 100;

  Story() { facts.reserve(2'000); }
  static When when(int day, int minute) {
    const auto local = LocalTime{first + days{day}} + minutes{minute};
    return {Instant{local.time_since_epoch()} - minutes{60}, 60};
  }
  Id tell(int day, int minute, journal::Payload payload) {
    Fact fact;
    fact.id = id(next++);
    fact.journal = id(1);
    fact.happened = when(day, minute);
    fact.recorded = fact.happened.at + (source == "diary" ? days{9} : days{0});
    fact.author = "Marit Oyelaran";
    fact.source = source;
    fact.payload = std::move(payload);
    facts.push_back(std::move(fact));
    return facts.back().id;
  }
  void begin() {
    journal::OrderLineSigned order;
    order.insulin = "insulin glargine";
    order.strength = {100};
    order.slots = {{SlotName::bedtime, {1320}, 60, 120, 20_units}};
    order.least_units = 10_units;
    order.most_units = 30_units;
    order.from = first;
    order.copied_by = "Marit Oyelaran";
    line = tell(0, 500, order);
    tell(0, 501, journal::OrderLineChecked{line, "Jonas Abara", {}});
    shelf::Pen pen;
    pen.name = "training pen";
    pen.step = 1_units;
    pen.most = 60_units;
    pen.prime = 3_units;
    pen.prime_new_cartridge = 5_units;
    pen.fits = "round";
    tell(0, 502, journal::PenGiven{id(50), pen, "insulin glargine", {100}, ""});
    give(0, 5);
  }
  void give(int day, int cartridges, Units each = 300_units) {
    journal::SuppliesGiven given;
    given.insulin = "insulin glargine";
    given.strength = {100};
    given.each = each;
    given.cartridges = cartridges;
    tell(day, 503, given);
  }
  void count(int day, int cartridges) {
    journal::SuppliesCounted counted;
    counted.insulin = "insulin glargine";
    counted.strength = {100};
    counted.each = 300_units;
    counted.cartridges = cartridges;
    tell(day, 1430, counted);
  }
  void load(int day, int minute) {
    shelf::Insulin copy;
    copy.name = "insulin glargine";
    copy.strength = {100};
    copy.in_use_days = 21;
    ++cartridge;
    tell(day, minute,
         journal::CartridgeLoaded{id(cartridge), id(50), copy, 300_units, 300_units, "round", true,
                                  "L1", std::nullopt});
    left = 300;
  }
  void inject(int day, int minute, bool primes = true) {
    if (primes) tell(day, minute, journal::Primed{id(cartridge), 3_units, journal::Flow::seen});
    journal::Injected injected;
    injected.cartridge = id(cartridge);
    injected.units = 20_units;
    injected.line = line;
    injected.slot = SlotName::bedtime;
    tell(day, minute + 1, injected);
    left -= 23;
  }
  /// So many days as they should be, from that day on.
  void live(int from, int many, bool primes = true) {
    for (int day = from; day < from + many; ++day) {
      if (left < 23) {
        if (cartridge > 100) {
          tell(day, 1310, journal::ThrownAway{id(cartridge), ThrowReason::rest_too_small, ""});
        }
        load(day, 1312);
      }
      inject(day, 1320, primes);
    }
  }

  Request request(int from, int until) const {
    const auto history = journal::read(facts);
    const auto ledger = ledger::fold(history);
    return request_of(history, ledger, order::fold(history, {}), "insulin glargine", {100},
                      first + days{from}, first + days{until});
  }
  Id line;
};

TEST(ReconcileJournal, TheRulesAreThoseThatWereCopied) {
  Story story;
  story.begin();
  story.live(0, 40);
  const auto request = story.request(0, 39);
  EXPECT_EQ(request.cartridge, 300_units);
  EXPECT_EQ(request.prime, 3_units);
  EXPECT_EQ(request.new_cartridge_prime, 5_units);
  EXPECT_EQ(request.in_use_days, 21);
  ASSERT_EQ(request.ordered.size(), 1U);
  EXPECT_EQ(request.ordered.front().doses, std::vector{20_units});
  EXPECT_FALSE(request.ordered.front().varies);
  EXPECT_EQ(request.sealed_before, 0);
  EXPECT_EQ(request.diary.size(), 40U);
  EXPECT_EQ(request.cartridges.size(), 4U);
  EXPECT_EQ(request.cartridges.front().end, End::used_up);
  for (const auto& entry : request.diary) {
    EXPECT_EQ(entry.slot, "bedtime");
    EXPECT_EQ(entry.primed, 3_units);
    ASSERT_TRUE(entry.cartridge.has_value());
    EXPECT_TRUE(entry.recorded.has_value());
  }
}

TEST(ReconcileJournal, ALiveRecordThatIsTrueAgreesWithScaleRestsAndCounts) {
  Story story;
  story.begin();
  story.live(0, 30);
  story.tell(29, 1400,
             journal::ScaleCounted{id(story.cartridge),
                                   *Units::from_hundredths(std::int64_t(story.left) * 100)});
  story.count(29, 2);
  const auto found = *reconcile(story.request(0, 29));
  EXPECT_EQ(found.verdict, Verdict::agree);
  EXPECT_EQ(found.left.cartridges, 3);
  EXPECT_EQ(found.dispensed.missing, 0);
  EXPECT_TRUE(found.left_claimed.units.holds(0));
}

TEST(ReconcileJournal, H41_TheLedgerIsTheClaimAndTheScaleIsHeldAgainstIt) {
  Story story;
  story.begin();
  story.live(0, 30);
  story.tell(29, 1400, journal::ScaleCounted{id(story.cartridge), 292_units});
  const auto history = journal::read(story.facts);
  const auto ledger = ledger::fold(history);
  const auto request = story.request(0, 29);
  const auto found = *reconcile(request);
  // Neither side is overwritten: the ledger keeps its number, the count is a fact beside it.
  const auto* cartridge = ledger.cartridge(id(story.cartridge));
  ASSERT_TRUE(cartridge->scale.has_value());
  EXPECT_EQ(cartridge->scale->counted, 292_units);
  EXPECT_EQ(cartridge->left, *Units::from_hundredths(std::int64_t(story.left) * 100));
  EXPECT_EQ(found.rows.back().rest, 292_units);
  EXPECT_EQ(sum(cartridge->injected, cartridge->primed), found.rows.back().claimed);
  EXPECT_LT(found.left_claimed.units.high, 0);
  // One reading alone, far off: it was rather misread than that somebody left doses out.
  EXPECT_EQ(found.found.front().which, Mechanism::scale_misread);
  EXPECT_FALSE(found.differs);
}

TEST(ReconcileJournal, ACartridgeThatLastedShorterThanItsRecordIsSeenAtTheChange) {
  Story story;
  story.begin();
  // Each is thrown away as empty after eight injections: 300 less 8 times 23 is 116.
  for (int day = 0; day < 40; ++day) {
    if (day % 8 == 0) {
      if (day > 0)
        story.tell(day, 1310, journal::ThrownAway{id(story.cartridge), ThrowReason::empty, ""});
      story.load(day, 1312);
    }
    story.inject(day, 1320);
  }
  const auto found = *reconcile(story.request(0, 39));
  EXPECT_TRUE(found.differs);
  EXPECT_GT(found.left_claimed.units.low, 300);
}

TEST(ReconcileJournal, ARestThatWasReadIsKnownAndOneThatWasNotIsNot) {
  Story story;
  story.begin();
  story.live(0, 8);
  story.tell(8, 600, journal::ScaleCounted{id(story.cartridge), 115_units});
  story.tell(8, 610, journal::ThrownAway{id(story.cartridge), ThrowReason::heat, ""});
  story.load(8, 620);
  story.left = 300;
  story.live(8, 5);
  story.tell(13, 610, journal::ThrownAway{id(story.cartridge), ThrowReason::damaged, ""});
  const auto request = story.request(0, 20);
  ASSERT_EQ(request.cartridges.size(), 2U);
  EXPECT_EQ(request.cartridges[0].rest, 115_units);
  EXPECT_EQ(request.cartridges[0].end, End::other);
  EXPECT_FALSE(request.cartridges[1].rest.has_value());
  const auto found = *reconcile(request);
  EXPECT_TRUE(found.rows[0].why_not.empty());
  EXPECT_EQ(found.rows[1].why_not, unknowns::rest);
}

TEST(ReconcileJournal, ADiaryWithoutCartridgesKnowsOnlyWhatWasDispensed) {
  Story story;
  story.begin();
  story.source = "diary";
  for (int day = 0; day < 60; ++day) {
    journal::Injected injected;
    injected.cartridge = id(999);  // nobody loaded it
    injected.units = 20_units;
    injected.line = story.line;
    story.tell(day, 1320, injected);
  }
  const auto bare = *reconcile(story.request(0, 59));
  EXPECT_EQ(bare.verdict, Verdict::not_known);
  EXPECT_EQ(bare.question.code, questions::not_known);
  story.source = "bench";
  story.count(59, 0);
  const auto request = story.request(0, 59);
  EXPECT_TRUE(request.cartridges.empty());
  EXPECT_EQ(request.diary.size(), 60U);
  for (const auto& entry : request.diary) {
    EXPECT_FALSE(entry.primed.has_value());    // nobody wrote primes down
    EXPECT_FALSE(entry.recorded.has_value());  // the import's moment is not the writing's
  }
  const auto counted = *reconcile(request);
  EXPECT_EQ(counted.verdict, Verdict::agree);
  ASSERT_EQ(counted.rows.size(), 1U);
  EXPECT_TRUE(counted.rows.front().by_supply);
}

TEST(ReconcileJournal, WhatWasThereBeforeIsUnknownWhereMoreWasLoadedThanGiven) {
  Story story;
  story.begin();
  story.live(0, 90);  // eight cartridges of the five that were given
  const auto request = story.request(0, 89);
  EXPECT_FALSE(request.sealed_before.has_value());
  EXPECT_FALSE(reconcile(request)->dispensed.known);
}

TEST(ReconcileJournal, ACountBeforeThePeriodIsWhereItBegins) {
  Story story;
  story.begin();
  story.give(1, 10);
  story.live(0, 30);
  story.count(30, 12);
  story.live(31, 30);
  story.count(60, 8);  // two opened since, four gone
  const auto request = story.request(35, 60);
  EXPECT_FALSE(request.sealed_before.has_value());
  ASSERT_EQ(request.sealed_counts.size(), 2U);
  const auto found = *reconcile(request);
  ASSERT_TRUE(found.dispensed.known);
  EXPECT_EQ(found.dispensed.before, 12);
  EXPECT_EQ(found.dispensed.given, 0);
  EXPECT_EQ(found.dispensed.used, 4);
  EXPECT_EQ(found.dispensed.opened, 2);
  EXPECT_EQ(found.dispensed.missing, 2);
}

TEST(ReconcileJournal, TwoSizesCannotBeHeldAgainstCountsOfOne) {
  Story story;
  story.begin();
  story.give(2, 3, 150_units);
  story.live(0, 30);
  story.count(29, 2);
  const auto request = story.request(0, 29);
  EXPECT_TRUE(request.sealed_counts.empty());
  EXPECT_EQ(request.dispensed.size(), 1U);
}

TEST(ReconcileJournal, AChangeOfTheOrderIsAnEntryOfItsOwn) {
  Story story;
  story.begin();
  story.live(0, 20);
  journal::OrderLineEnded ended;
  ended.line = story.line;
  ended.last_day = first + days{9};
  story.tell(9, 900, ended);
  const auto request = story.request(0, 19);
  ASSERT_EQ(request.ordered.size(), 2U);
  EXPECT_EQ(request.ordered[1].from, first + days{10});
  EXPECT_TRUE(request.ordered[1].doses.empty());
}

TEST(ReconcileJournal, PrimingAfterTheLastInjectionLeftTheCartridgeToo) {
  Story story;
  story.begin();
  story.live(0, 5);
  story.tell(4, 1390, journal::Primed{id(story.cartridge), 40_units, journal::Flow::not_seen});
  story.tell(4, 1400, journal::ScaleCounted{id(story.cartridge), 145_units});
  const auto found = *reconcile(story.request(0, 10));
  EXPECT_EQ(found.claimed.primed_recorded, 55_units);
  EXPECT_TRUE(found.left_claimed.units.holds(0));
  EXPECT_EQ(found.claimed.injections, 5);
}

TEST(ReconcileJournal, AnotherInsulinIsLeftAlone) {
  Story story;
  story.begin();
  story.live(0, 20);
  const auto history = journal::read(story.facts);
  const auto ledger = ledger::fold(history);
  const auto order = order::fold(history, {});
  const auto other =
      request_of(history, ledger, order, "insulin lispro", {100}, first, first + days{19});
  EXPECT_TRUE(other.diary.empty());
  EXPECT_TRUE(other.cartridges.empty());
  EXPECT_TRUE(other.dispensed.empty());
  const auto strength =
      request_of(history, ledger, order, "insulin glargine", {300}, first, first + days{19});
  EXPECT_TRUE(strength.diary.empty());
  EXPECT_EQ(strength.cartridge, 900_units);
  EXPECT_EQ(reconcile(other)->verdict, Verdict::not_known);
}

TEST(ReconcileJournal, AnEmptyJournalIsARequestThatKnowsNothing) {
  const auto history = journal::read({});
  const auto request = request_of(history, ledger::fold(history), order::fold(history, {}),
                                  "insulin glargine", {100}, first, first + days{59});
  const auto found = reconcile(request);
  ASSERT_TRUE(found.has_value());
  EXPECT_EQ(found->verdict, Verdict::not_known);
}

}  // namespace
}  // namespace penstock::reconcile
