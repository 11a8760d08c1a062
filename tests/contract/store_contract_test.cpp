// The contract of the port. One suite, every backend; a backend that cannot pass a test is not a
// store of ours.
#include <gmock/gmock.h>

#include <algorithm>
#include <atomic>
#include <functional>
#include <map>
#include <random>
#include <thread>

#include "contract/store_backends.hpp"
#include "support/store_kit.hpp"

namespace penstock::store {
namespace {

using namespace std::chrono_literals;
using kit::append;
using kit::create;
using kit::fact;
using kit::fact_id;
using kit::facts;
using kit::info;
using kit::load;
using kit::look;
using kit::person;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

// A reading use case can be handed a writing transaction; the other way round must not compile.
static_assert(std::is_convertible_v<WriteTx&, ReadTx&>);
static_assert(!std::is_convertible_v<ReadTx&, WriteTx&>);
static_assert(
    !std::is_copy_constructible_v<Facts>);  // a copy's facts would point into the original

INSTANTIATE_TEST_SUITE_P(Backends, StoreContract, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

std::vector<std::uint64_t> positions(const Appended& appended) {
  std::vector<std::uint64_t> out;
  for (const auto& receipt : appended.receipts) out.push_back(receipt.position);
  return out;
}

// ---- journals

TEST_P(StoreContract, StartsEmptyAndSound) {
  EXPECT_THAT(*kit::journals(store()), IsEmpty());
  EXPECT_VERIFIES(store());
}

TEST_P(StoreContract, AJournalIsCreatedOnceAndKeepsItsSubject) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(1)));
  EXPECT_REFUSED(create(store(), person(1), Subject::clinic), Kind::refused,
                 codes::journal_other_subject);
  const auto list = kit::journals(store());
  ASSERT_OK(list);
  ASSERT_EQ(list->size(), 1U);
  EXPECT_EQ((*list)[0].subject, Subject::person);
  EXPECT_EQ((*list)[0].version, 0U);
  EXPECT_EQ((*list)[0].head, Digest{});
}

TEST_P(StoreContract, JournalsAreListedInTheOrderOfTheirCreation) {
  for (const auto n : {7, 3, 5}) ASSERT_OK(create(store(), person(static_cast<std::uint64_t>(n))));
  const auto list = kit::journals(store());
  ASSERT_OK(list);
  std::vector<Id> ids;
  for (const auto& journal : *list) ids.push_back(journal.journal);
  EXPECT_THAT(ids, ElementsAre(person(7), person(3), person(5)));
}

TEST_P(StoreContract, WhatIsNotThereIsNotFound) {
  EXPECT_REFUSED(load(store(), person(1)), Kind::not_found, codes::no_journal);
  EXPECT_REFUSED(append(store(), person(1), facts(1, 1)), Kind::not_found, codes::no_journal);
  EXPECT_REFUSED(look(store(), [](ReadTx& tx) { return tx.entries(person(1), 1); }),
                 Kind::not_found, codes::no_journal);
  EXPECT_REFUSED(store().write([](WriteTx& tx) { return tx.erase_payload(fact_id(1)); }),
                 Kind::not_found, codes::no_fact);
  EXPECT_REFUSED(
      store().write([](WriteTx& tx) { return tx.make_read_only(person(1), "store.hash_wrong"); }),
      Kind::not_found, codes::no_journal);
  EXPECT_REFUSED(store().write([](WriteTx& tx) { return tx.make_writable(person(1)); }),
                 Kind::not_found, codes::no_journal);
  Summary summary;
  summary.journal = person(1);
  EXPECT_REFUSED(store().write([&](WriteTx& tx) { return tx.put_summary(summary); }),
                 Kind::not_found, codes::no_journal);
  EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.journal(person(1)); })->has_value());
  EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.find(fact_id(1)); })->has_value());
  EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.summary(person(1)); })->has_value());
  EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.setting("name"); })->has_value());
}

// ---- append and load

TEST_P(StoreContract, WhatWasAppendedIsLoadedAsItWas) {
  ASSERT_OK(create(store(), person(1)));
  auto list = facts(1, 3);
  list[1].bytes.clear();                                 // empty is a content, not an erasure
  list[1].recorded = Instant{std::chrono::seconds{-1}};  // before 1970
  list[2].bytes = {0, 255, 0, 7};                        // any bytes
  list[2].type = 65535;
  list[2].type_version = 65535;
  const auto appended = append(store(), person(1), list, 0);
  ASSERT_OK(appended);
  EXPECT_EQ(appended->version, 3U);
  EXPECT_THAT(positions(*appended), ElementsAre(1U, 2U, 3U));

  const auto loaded = load(store(), person(1));
  ASSERT_OK(loaded);
  ASSERT_EQ(loaded->size(), 3U);
  for (std::size_t i = 0; i < 3; ++i) {
    const auto& f = (*loaded)[i];
    EXPECT_EQ(f.fact, list[i].fact);
    EXPECT_EQ(f.position, i + 1);
    EXPECT_EQ(f.type, list[i].type);
    EXPECT_EQ(f.type_version, list[i].type_version);
    EXPECT_EQ(f.recorded, list[i].recorded);
    EXPECT_EQ(f.digest, sha256(list[i].bytes));
    EXPECT_FALSE(f.erased);
    EXPECT_TRUE(
        std::equal(f.bytes.begin(), f.bytes.end(), list[i].bytes.begin(), list[i].bytes.end()));
  }
}

TEST_P(StoreContract, LoadsFromAPositionOn) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 10)));
  const auto some = load(store(), person(1), 8);
  ASSERT_OK(some);
  ASSERT_EQ(some->size(), 3U);
  EXPECT_EQ((*some)[0].position, 8U);
  EXPECT_TRUE(load(store(), person(1), 11)->empty());
  EXPECT_TRUE(load(store(), person(1), UINT64_MAX)->empty());
  EXPECT_EQ(load(store(), person(1), 0)->size(), 10U);
}

TEST_P(StoreContract, AppendingNothingChangesNothing) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 2)));
  const auto before = kit::everything(store());
  const auto appended = append(store(), person(1), {}, 1);
  ASSERT_OK(appended);
  EXPECT_EQ(appended->version, 2U);
  EXPECT_EQ(kit::everything(store()), before);
}

TEST_P(StoreContract, FindsAFactByItsIdentity) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  ASSERT_OK(append(store(), person(1), facts(1, 3)));
  ASSERT_OK(append(store(), person(2), facts(4, 3)));
  const auto found = look(store(), [](ReadTx& tx) { return tx.find(fact_id(5)); });
  ASSERT_OK(found);
  ASSERT_TRUE(found->has_value());
  EXPECT_EQ((*found)->journal, person(2));
  EXPECT_EQ((*found)->position, 2U);
  EXPECT_EQ((*found)->digest, sha256(fact(5).bytes));
}

TEST_P(StoreContract, AFactHasAMostSize) {
  ASSERT_OK(create(store(), person(1)));
  EXPECT_REFUSED(append(store(), person(1), {fact(1, std::string(fact_bytes_max + 1, 'x'))}),
                 Kind::refused, codes::fact_too_large);
  ASSERT_OK(append(store(), person(1), {fact(1, std::string(fact_bytes_max, 'x'))}));
  EXPECT_EQ((*load(store(), person(1)))[0].bytes.size(), fact_bytes_max);
  EXPECT_VERIFIES(store());
}

// ---- the chain

/// The chain's hash once more, from the comment in the door rather than from the code.
Digest reference_hash(const Entry& e) {
  std::vector<std::uint8_t> all = {'p', 'e', '1'};
  const auto number = [&](std::uint64_t value, int bytes) {
    for (int shift = 8 * (bytes - 1); shift >= 0; shift -= 8) {
      all.push_back(static_cast<std::uint8_t>(value >> shift));
    }
  };
  number(e.journal.high, 8), number(e.journal.low, 8);
  number(e.position, 8);
  number(e.fact.high, 8), number(e.fact.low, 8);
  all.insert(all.end(), e.fact_digest.begin(), e.fact_digest.end());
  number(e.type, 2), number(e.type_version, 2);
  number(static_cast<std::uint64_t>(e.recorded.time_since_epoch().count()), 8);
  all.insert(all.end(), e.previous.begin(), e.previous.end());
  return sha256(all);
}

TEST_P(StoreContract, H29_EveryEntryFollowsFromTheOneBefore) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 4)));
  ASSERT_OK(append(store(), person(1), facts(5, 2)));
  const auto entries = look(store(), [](ReadTx& tx) { return tx.entries(person(1), 1); });
  ASSERT_OK(entries);
  ASSERT_EQ(entries->size(), 6U);
  Digest previous{};
  for (std::size_t i = 0; i < entries->size(); ++i) {
    const auto& entry = (*entries)[i];
    EXPECT_EQ(entry.position, i + 1);
    EXPECT_EQ(entry.journal, person(1));
    EXPECT_EQ(entry.previous, previous);
    EXPECT_EQ(entry.hash, reference_hash(entry));
    EXPECT_EQ(entry.hash, chain_hash(entry));
    previous = entry.hash;
  }
  EXPECT_EQ(info(store(), person(1)).head, previous);
  const auto tail = look(store(), [](ReadTx& tx) { return tx.entries(person(1), 5); });
  ASSERT_OK(tail);
  ASSERT_EQ(tail->size(), 2U);
  EXPECT_EQ((*tail)[0].previous, (*entries)[3].hash);
}

TEST_P(StoreContract, VerifyWalksEverythingAndSaysHowFarItIs) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2), Subject::clinic));
  ASSERT_OK(append(store(), person(1), facts(1, 20)));
  ASSERT_OK(append(store(), person(2), facts(21, 5)));
  std::vector<Progress> seen;
  const auto report =
      store().verify(Marks::leave, [&](const Progress& progress) { seen.push_back(progress); });
  ASSERT_OK(report);
  EXPECT_TRUE(report->clean());
  EXPECT_EQ(report->entries, 25U);
  EXPECT_EQ(report->journals.size(), 2U);
  EXPECT_EQ(report->journals[1].head, info(store(), person(2)).head);
  std::uint64_t bytes = 0;
  for (const auto& f : facts(1, 25)) bytes += f.bytes.size();
  EXPECT_EQ(report->bytes_hashed, bytes);
  ASSERT_FALSE(seen.empty());
  EXPECT_EQ(seen.back().done, 25U);
  EXPECT_EQ(seen.back().total, 25U);
  const auto heads = store().check_heads(Marks::leave);
  ASSERT_OK(heads);
  EXPECT_TRUE(heads->clean());
}

// ---- identity: twice is once

TEST_P(StoreContract, H07_H31_TheSameFactSentTwiceIsOneEntry) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 3), 0));
  const auto before = kit::everything(store());
  auto again = facts(2, 1);
  again[0].recorded += 90s;  // the retry comes later; it is the same act all the same
  // The version that was seen is old by now: a known fact is answered before versions are compared.
  const auto appended = append(store(), person(1), again, 0);
  ASSERT_OK(appended);
  EXPECT_EQ(appended->version, 3U);
  ASSERT_EQ(appended->receipts.size(), 1U);
  EXPECT_TRUE(appended->receipts[0].already_recorded);
  EXPECT_EQ(appended->receipts[0].position, 2U);
  EXPECT_EQ(kit::everything(store()), before);
}

TEST_P(StoreContract, H07_TheSameFactTwiceInOneCallIsOneEntry) {
  ASSERT_OK(create(store(), person(1)));
  const auto appended = append(store(), person(1), {fact(1), fact(2), fact(1)}, 0);
  ASSERT_OK(appended);
  EXPECT_EQ(appended->version, 2U);
  EXPECT_THAT(positions(*appended), ElementsAre(1U, 2U, 1U));
  EXPECT_FALSE(appended->receipts[0].already_recorded);
  EXPECT_TRUE(appended->receipts[2].already_recorded);
  EXPECT_VERIFIES(store());
}

TEST_P(StoreContract, H07_TheSameFactFromManySendersAtOnceIsOneEntry) {
  ASSERT_OK(create(store(), person(1)));
  constexpr int senders = 4;
  constexpr std::uint64_t acts = 25;
  std::atomic<int> added = 0, known = 0;
  std::vector<std::thread> threads;
  for (int i = 0; i < senders; ++i) {
    threads.emplace_back([&] {
      for (std::uint64_t n = 1; n <= acts; ++n) {
        const auto appended = append(store(), person(1), {fact(n)});
        if (!appended) continue;
        ++(appended->receipts[0].already_recorded ? known : added);
      }
    });
  }
  for (auto& thread : threads) thread.join();
  EXPECT_EQ(added, static_cast<int>(acts));
  EXPECT_EQ(known, static_cast<int>(acts) * (senders - 1));
  EXPECT_EQ(info(store(), person(1)).version, acts);
  EXPECT_VERIFIES(store());
}

TEST_P(StoreContract, KnownAndNewFactsInOneCall) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 2)));
  // Something is left to add, so the version counts.
  EXPECT_REFUSED(append(store(), person(1), facts(2, 2), 1), Kind::conflict,
                 codes::version_conflict);
  const auto appended = append(store(), person(1), facts(2, 2), 2);
  ASSERT_OK(appended);
  EXPECT_THAT(positions(*appended), ElementsAre(2U, 3U));
}

TEST_P(StoreContract, AKnownIdentityWithOtherContentIsRefused) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  ASSERT_OK(append(store(), person(1), facts(1, 2)));
  const auto before = kit::everything(store());
  EXPECT_REFUSED(append(store(), person(1), {fact(3), fact(1, "something else")}), Kind::refused,
                 codes::identity_reused);
  auto other_type = fact(1);
  other_type.type = 99;
  EXPECT_REFUSED(append(store(), person(1), {other_type}), Kind::refused, codes::identity_reused);
  EXPECT_REFUSED(append(store(), person(2), {fact(1)}), Kind::refused, codes::identity_reused);
  EXPECT_REFUSED(append(store(), person(1), {fact(3), fact(3, "something else")}), Kind::refused,
                 codes::identity_reused);
  // Refused before versions are compared: nobody is sent to look again in vain.
  EXPECT_REFUSED(append(store(), person(1), {fact(1, "something else")}, 7), Kind::refused,
                 codes::identity_reused);
  EXPECT_EQ(kit::everything(store()), before);
}

// ---- versions

TEST_P(StoreContract, H20_AnOldVersionIsAConflictThatNamesBoth) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 5), 0));
  const auto before = kit::everything(store());
  for (const std::uint64_t seen : {0U, 4U, 6U}) {
    const auto late = append(store(), person(1), facts(10, 1), seen);
    EXPECT_REFUSED(late, Kind::conflict, codes::version_conflict);
    EXPECT_EQ(count_arg(late.error(), "seen"), static_cast<std::int64_t>(seen));
    EXPECT_EQ(count_arg(late.error(), "now"), 5);
  }
  EXPECT_EQ(kit::everything(store()), before);
  ASSERT_OK(append(store(), person(1), facts(10, 1), 5));
  ASSERT_OK(append(store(), person(1), facts(11, 1)));  // names none
}

TEST_P(StoreContract, H20_OfTwoWritersWhoSawTheSameVersionOneWins) {
  ASSERT_OK(create(store(), person(1)));
  for (std::uint64_t round = 0; round < 30; ++round) {
    std::atomic<int> ready = 0, won = 0, conflicts = 0;
    const auto write = [&](std::uint64_t n) {
      ++ready;
      while (ready < 2) std::this_thread::yield();
      const auto appended = append(store(), person(1), {fact(n)}, round);
      if (appended) ++won;
      if (!appended && appended.error().code == codes::version_conflict) ++conflicts;
    };
    std::thread other(write, 1000 + 2 * round);
    write(1001 + 2 * round);
    other.join();
    EXPECT_EQ(won, 1);
    EXPECT_EQ(conflicts, 1);
    EXPECT_EQ(info(store(), person(1)).version, round + 1);
  }
  EXPECT_VERIFIES(store());
}

TEST_P(StoreContract, TheSeenVersionCountsWhatTheTransactionItselfAppended) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(store().write([](WriteTx& tx) -> Result<void> {
    const auto first = tx.append(person(1), facts(1, 2), 0);
    if (!first) return first.error();
    const auto second = tx.append(person(1), facts(3, 1), first->version);
    if (!second) return second.error();
    return {};
  }));
  EXPECT_EQ(info(store(), person(1)).version, 3U);
}

// ---- all or nothing

/// Touches everything that a write can touch.
Result<void> touch_everything(WriteTx& tx) {
  if (auto done = tx.create_journal(person(3), Subject::clinic); !done) return done;
  for (const auto n : {1U, 2U, 3U}) {
    if (auto done = tx.append(person(n), facts(100 * n, 3), std::nullopt); !done) {
      return done.error();
    }
    Summary summary;
    summary.journal = person(n);
    summary.search_key = "touched";
    if (auto done = tx.put_summary(summary); !done) return done;
  }
  if (auto done = tx.erase_payload(fact_id(1)); !done) return done;
  if (auto done = tx.erase_payload(fact_id(100)); !done) return done;
  if (auto done = tx.put_blob(person(3), "image/png", kit::picture(3)); !done) return done.error();
  if (auto done = tx.put_blob(person(1), "image/png", kit::picture(2)); !done) return done.error();
  if (auto done = tx.erase_blob(person(1), sha256(kit::picture(1))); !done) return done;
  if (auto done = tx.put_setting("clinic name", "Harbour Street Clinic"); !done) return done;
  if (auto done = tx.drop_setting("old"); !done) return done;
  return tx.make_read_only(person(2), codes::hash_wrong);
}

class StoreContractUndo : public StoreContract {
 protected:
  void SetUp() override {
    StoreContract::SetUp();
    ASSERT_OK(create(store(), person(1)));
    ASSERT_OK(create(store(), person(2)));
    ASSERT_OK(append(store(), person(1), facts(1, 2)));
    ASSERT_OK(store().write([](WriteTx& tx) { return tx.put_setting("old", "value"); }));
    ASSERT_OK(put(store(), person(1), kit::picture(1)));
    before_ = kit::everything(store());
  }
  void expect_untouched() {
    EXPECT_EQ(kit::everything(store()), before_);
    EXPECT_EQ(*look(store(), [](ReadTx& tx) { return tx.setting("old"); }), "value");
    EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.setting("clinic name"); })->has_value());
    EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.find(fact_id(100)); })->has_value());
    EXPECT_VERIFIES(store());
  }
  std::string before_;
};
INSTANTIATE_TEST_SUITE_P(Backends, StoreContractUndo, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreContractUndo, AnErrorTakesEverythingBack) {
  const Error no{Kind::refused, "test.no", {}, "/here"};
  const auto outcome = store().write([&](WriteTx& tx) -> Result<void> {
    if (auto done = touch_everything(tx); !done) return done;
    return no;
  });
  ASSERT_FALSE(outcome.has_value());
  EXPECT_EQ(outcome.error(), no);
  expect_untouched();
}

TEST_P(StoreContractUndo, ABrokenPromiseTakesEverythingBackAndIsPassedOn) {
  EXPECT_THROW(
      {
        static_cast<void>(store().write([&](WriteTx& tx) -> Result<void> {
          if (auto done = touch_everything(tx); !done) return done;
          promise_broken("balanced(cartridge)");
        }));
      },
      BrokenPromise);
  expect_untouched();
  ASSERT_OK(store().write(touch_everything));  // and the store goes on
}

TEST_P(StoreContractUndo, ABrokenPromiseWhileReadingIsPassedOn) {
  EXPECT_THROW(
      static_cast<void>(store().read([](ReadTx&) -> Result<void> { promise_broken("fold"); })),
      BrokenPromise);
  expect_untouched();
}

TEST_P(StoreContractUndo, ARetriedBodyStartsFromWhatWasThere) {
  int runs = 0;
  ASSERT_OK(store().write([&](WriteTx& tx) -> Result<void> {
    ++runs;
    const auto there = tx.find(fact_id(100));
    if (!there) return there.error();
    EXPECT_FALSE(there->has_value());
    if (auto done = touch_everything(tx); !done) return done;
    if (runs < 3) return Error{Kind::retry_whole, "test.again", {}, {}};
    return {};
  }));
  EXPECT_EQ(runs, 3);
  EXPECT_EQ(info(store(), person(1)).version, 5U);
  EXPECT_EQ(info(store(), person(2)).read_only_because, codes::hash_wrong);
  EXPECT_EQ(*look(store(), [](ReadTx& tx) { return tx.setting("clinic name"); }),
            "Harbour Street Clinic");
  EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.setting("old"); })->has_value());
  EXPECT_VERIFIES(store());
}

TEST_P(StoreContractUndo, RetryingEndsAndSaysThatNothingWasWritten) {
  int runs = 0;
  const auto outcome = store().write([&](WriteTx& tx) -> Result<void> {
    if (++runs > 1000) return {};
    if (auto done = touch_everything(tx); !done) return done;
    return Error{Kind::retry_whole, "test.again", {}, {}};
  });
  EXPECT_REFUSED(outcome, Kind::unavailable, codes::locked);
  EXPECT_LT(runs, 20);
  expect_untouched();
}

TEST_P(StoreContractUndo, AWriteSeesWhatItWrote) {
  ASSERT_OK(store().write([&](WriteTx& tx) -> Result<void> {
    if (auto done = touch_everything(tx); !done) return done;
    const auto loaded = tx.load(person(1), 1);
    if (!loaded) return loaded.error();
    EXPECT_EQ(loaded->size(), 5U);
    EXPECT_TRUE((*loaded)[0].erased);
    const auto found = tx.journal(person(1));
    if (!found) return found.error();
    EXPECT_EQ((*found)->version, 5U);
    const auto known = tx.append(person(1), facts(100, 1), 0);
    if (!known) return known.error();
    EXPECT_TRUE(known->receipts[0].already_recorded);
    return {};
  }));
}

TEST_P(StoreContract, AReaderSeesOneState) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  std::atomic<bool> stop = false;
  std::thread writer([&] {
    // Both journals always grow in one transaction.
    for (std::uint64_t n = 1; !stop && n < 20'000; ++n) {
      static_cast<void>(store().write([&](WriteTx& tx) -> Result<void> {
        for (const auto p : {1U, 2U}) {
          if (auto done = tx.append(person(p), {{fact(2 * n + p)}}, std::nullopt); !done) {
            return done.error();
          }
        }
        return {};
      }));
    }
  });
  for (int i = 0; i < 60; ++i) {
    ASSERT_OK(store().read([&](ReadTx& tx) -> Result<void> {
      const auto first = tx.journal(person(1));
      if (!first) return first.error();
      std::this_thread::sleep_for(1ms);
      const auto second = tx.load(person(2));
      if (!second) return second.error();
      EXPECT_EQ((*first)->version, second->size());
      return {};
    }));
  }
  stop = true;
  writer.join();
  EXPECT_VERIFIES(store());
}

// ---- erasure

TEST_P(StoreContract, AnErasedPayloadIsGoneAndTheChainHolds) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 5)));
  const auto head = info(store(), person(1)).head;
  const auto erase = [&] {
    return store().write([](WriteTx& tx) { return tx.erase_payload(fact_id(3)); });
  };
  ASSERT_OK(erase());
  ASSERT_OK(erase());
  const auto loaded = load(store(), person(1));
  ASSERT_OK(loaded);
  ASSERT_EQ(loaded->size(), 5U);
  EXPECT_TRUE((*loaded)[2].erased);
  EXPECT_TRUE((*loaded)[2].bytes.empty());
  EXPECT_EQ((*loaded)[2].digest, sha256(fact(3).bytes));
  EXPECT_FALSE((*loaded)[3].erased);
  EXPECT_EQ(info(store(), person(1)).head, head);
  EXPECT_TRUE((*look(store(), [](ReadTx& tx) { return tx.find(fact_id(3)); }))->erased);
  const auto report = store().verify(Marks::leave, {});
  ASSERT_OK(report);
  EXPECT_TRUE(report->clean());
  EXPECT_EQ(report->erased, 1U);
  // Sent again, it is known, and stays erased.
  const auto again = append(store(), person(1), {fact(3)});
  ASSERT_OK(again);
  EXPECT_TRUE(again->receipts[0].already_recorded);
  EXPECT_TRUE((*load(store(), person(1)))[2].erased);
}

// ---- read-only journals

TEST_P(StoreContract, AReadOnlyJournalTakesNothingAndTheOthersGoOn) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  ASSERT_OK(append(store(), person(1), facts(1, 1)));
  const auto mark = [&](std::string_view because) {
    return store().write([&](WriteTx& tx) { return tx.make_read_only(person(1), because); });
  };
  ASSERT_OK(mark("desk.promise_broken"));
  ASSERT_OK(mark(codes::hash_wrong));
  EXPECT_EQ(info(store(), person(1)).read_only_because, "desk.promise_broken");
  const auto refused = append(store(), person(1), facts(2, 1), 1);
  EXPECT_REFUSED(refused, Kind::refused, codes::journal_read_only);
  EXPECT_EQ(refused.error().args.back(), arg_code("because", "desk.promise_broken"));
  EXPECT_TRUE(append(store(), person(1), {fact(1)})->receipts[0].already_recorded);
  ASSERT_OK(append(store(), person(2), facts(3, 1)));
  EXPECT_EQ(load(store(), person(1))->size(), 1U);

  ASSERT_OK(store().verify(Marks::set, {}));
  EXPECT_REFUSED(append(store(), person(1), facts(2, 1)), Kind::refused, codes::journal_read_only);
  ASSERT_OK(store().verify(Marks::set_and_lift, {}));  // sound, and asked to say so
  ASSERT_OK(append(store(), person(1), facts(2, 1), 1));
}

// ---- summaries and settings

Summary summary(std::uint64_t n, std::string key, std::optional<int> change_s) {
  Summary out;
  out.journal = person(n);
  out.journal_version = n;
  out.fold_version = 3;
  out.search_key = std::move(key);
  if (change_s) out.next_change = Instant{std::chrono::seconds{*change_s}};
  out.bytes = {1, 0, static_cast<std::uint8_t>(n)};
  return out;
}

class StoreContractSummaries : public StoreContract {
 protected:
  void SetUp() override {
    StoreContract::SetUp();
    ASSERT_OK(create(store(), person(5), Subject::clinic));
    for (const auto n : {1U, 2U, 3U, 4U}) ASSERT_OK(create(store(), person(n)));
    all_ = {summary(1, "okoye ada 1950-02-03", 500), summary(2, "lind maja 2015-08-30", {}),
            summary(3, "okoye ada 1957-11-20", -7), summary(4, "", 500),
            summary(5, "zz \xC3\xA5ngstr\xC3\xB6m", 400)};
    ASSERT_OK(store().write([&](WriteTx& tx) -> Result<void> {
      for (const auto& s : all_) {
        if (auto done = tx.put_summary(s); !done) return done;
      }
      return {};
    }));
  }
  std::vector<std::uint64_t> found(SummaryQuery query) {
    const auto list = look(store(), [&](ReadTx& tx) { return tx.summaries(query); });
    std::vector<std::uint64_t> out;
    if (!list) ADD_FAILURE() << list.error().code;
    for (const auto& s : *list) {
      EXPECT_EQ(s, all_[s.journal.low - 1]);
      out.push_back(s.journal.low);
    }
    return out;
  }
  std::vector<Summary> all_;
};
INSTANTIATE_TEST_SUITE_P(Backends, StoreContractSummaries, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreContractSummaries, AreSortedByKeyOrByTheNextChange) {
  EXPECT_THAT(found({}), ElementsAre(4, 2, 1, 3, 5));
  SummaryQuery by_change;
  by_change.order = SummaryOrder::by_change;
  EXPECT_THAT(found(by_change), ElementsAre(3, 5, 4, 1, 2));
  by_change.most = 2;
  EXPECT_THAT(found(by_change), ElementsAre(3, 5));
  by_change.most = 0;
  EXPECT_THAT(found(by_change), IsEmpty());
}

TEST_P(StoreContractSummaries, H19_ASearchFindsBothOfTwoAlike) {
  SummaryQuery q;
  q.contains = {"ada", "okoye"};
  EXPECT_THAT(found(q), ElementsAre(1, 3));
  q.contains = {"ada", "1957"};
  EXPECT_THAT(found(q), ElementsAre(3));
  q.contains = {"%"};  // a sign is a sign
  EXPECT_THAT(found(q), IsEmpty());
  q.contains = {"\xC3\xA5"};
  EXPECT_THAT(found(q), ElementsAre(5));
}

TEST_P(StoreContractSummaries, AreFilteredBySubjectAndByChange) {
  SummaryQuery q;
  q.subject = Subject::person;
  EXPECT_THAT(found(q), ElementsAre(4, 2, 1, 3));
  q.subject = Subject::clinic;
  EXPECT_THAT(found(q), ElementsAre(5));
  q = {};
  q.changes_not_after = Instant{499s};
  EXPECT_THAT(found(q), ElementsAre(3, 5));
  q.changes_not_after = Instant{500s};
  EXPECT_THAT(found(q), ElementsAre(4, 1, 3, 5));
}

TEST_P(StoreContractSummaries, CanBeReplacedDroppedAndRebuilt) {
  all_[1] = summary(2, "lind maja 2015-08-30", 1);
  all_[1].bytes.clear();
  ASSERT_OK(store().write([&](WriteTx& tx) { return tx.put_summary(all_[1]); }));
  EXPECT_EQ(**look(store(), [](ReadTx& tx) { return tx.summary(person(2)); }), all_[1]);
  EXPECT_EQ(found({}).size(), 5U);
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.drop_summaries(); }));
  EXPECT_THAT(found({}), IsEmpty());
  EXPECT_FALSE(look(store(), [](ReadTx& tx) { return tx.summary(person(2)); })->has_value());
  ASSERT_OK(store().write([&](WriteTx& tx) { return tx.put_summary(all_[0]); }));
  EXPECT_THAT(found({}), ElementsAre(1));
}

// ---- tags

class StoreContractTags : public StoreContract {
 protected:
  void SetUp() override {
    StoreContract::SetUp();
    for (const auto n : {3U, 1U, 2U}) ASSERT_OK(create(store(), person(n)));
  }
  Result<void> put(std::uint64_t n, std::vector<std::string> tags) {
    return store().write([&](WriteTx& tx) { return tx.put_tags(person(n), tags); });
  }
  std::vector<std::string> tags(std::uint64_t n) {
    return *look(store(), [&](ReadTx& tx) { return tx.tags(person(n)); });
  }
  std::vector<Id> tagged(std::string_view tag) {
    return *look(store(), [&](ReadTx& tx) { return tx.tagged(tag); });
  }
};
INSTANTIATE_TEST_SUITE_P(Backends, StoreContractTags, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreContractTags, AJournalBearsWhatWasPutLastAndEachOnce) {
  EXPECT_THAT(tags(1), IsEmpty());
  ASSERT_OK(put(1, {"lot/B", "lot/A", "lot/B"}));
  EXPECT_THAT(tags(1), ElementsAre("lot/A", "lot/B"));
  ASSERT_OK(put(1, {"lot/B", "lot/C"}));
  EXPECT_THAT(tags(1), ElementsAre("lot/B", "lot/C"));
  EXPECT_THAT(tagged("lot/A"), IsEmpty());
  ASSERT_OK(put(1, {}));
  EXPECT_THAT(tags(1), IsEmpty());
  EXPECT_THAT(tags(9), IsEmpty()) << "no such journal";
}

TEST_P(StoreContractTags, FindTheirJournalsByIdentityAndByTheWholeTag) {
  for (const auto n : {2U, 3U, 1U}) ASSERT_OK(put(n, {"lot/A", "lot/A" + std::to_string(n)}));
  EXPECT_THAT(tagged("lot/A"), ElementsAre(person(1), person(2), person(3)));
  EXPECT_THAT(tagged("lot/A2"), ElementsAre(person(2)));
  for (const auto* none : {"lot/", "lot/a", "lot/A%", "", "lot/A22"})
    EXPECT_THAT(tagged(none), IsEmpty()) << none;
}

TEST_P(StoreContractTags, RefuseWhatIsNone) {
  ASSERT_OK(put(1, {"lot/A"}));
  EXPECT_REFUSED(put(1, {"lot/B", ""}), Kind::refused, codes::tag_form);
  EXPECT_REFUSED(put(1, {std::string(tag_bytes_max + 1, 'x')}), Kind::refused, codes::tag_form);
  EXPECT_REFUSED(put(9, {"lot/A"}), Kind::not_found, codes::no_journal);
  EXPECT_THAT(tags(1), ElementsAre("lot/A"));
  ASSERT_OK(put(1, {std::string(tag_bytes_max, 'x')}));
}

TEST_P(StoreContractTags, GoWithTheirTransaction) {
  ASSERT_OK(put(1, {"lot/A"}));
  const auto refused = store().write([&](WriteTx& tx) -> Result<void> {
    const std::vector<std::string> other{"lot/B"};
    if (auto done = tx.put_tags(person(1), other); !done) return done;
    EXPECT_THAT(*tx.tags(person(1)), ElementsAre("lot/B"));
    EXPECT_THAT(*tx.tagged("lot/A"), IsEmpty());
    return Error{Kind::refused, "test.no", {}, ""};
  });
  EXPECT_FALSE(refused);
  EXPECT_THAT(tags(1), ElementsAre("lot/A"));
  EXPECT_THAT(tagged("lot/B"), IsEmpty());
}

TEST_P(StoreContractTags, GoWithTheSummariesAndMayBeWrittenWhileAJournalIsReadOnly) {
  ASSERT_OK(put(1, {"lot/A"}));
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.drop_summaries(); }));
  EXPECT_THAT(tagged("lot/A"), IsEmpty());
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.make_read_only(person(1), "test.why"); }));
  ASSERT_OK(put(1, {"lot/A"}));
  EXPECT_THAT(tagged("lot/A"), ElementsAre(person(1)));
}

TEST_P(StoreContract, SettingsAreKeptByName) {
  const auto get = [&](std::string_view name) {
    return look(store(), [&](ReadTx& tx) { return tx.setting(name); });
  };
  const auto put = [&](std::string_view name, std::string_view value) {
    return store().write([&](WriteTx& tx) { return tx.put_setting(name, value); });
  };
  ASSERT_OK(put("a", "1"));
  ASSERT_OK(put("A", ""));
  ASSERT_OK(put("a", "2"));
  EXPECT_EQ(*get("a"), "2");
  EXPECT_EQ(*get("A"), "");
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.drop_setting("a"); }));
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.drop_setting("a"); }));
  EXPECT_FALSE(get("a")->has_value());
  for (const auto* name : {"s/b", "s/a", "s", "s0", "S/c"}) ASSERT_OK(put(name, name));
  using Values = std::vector<std::string>;
  EXPECT_EQ(*look(store(), [](ReadTx& tx) { return tx.settings("s/"); }), (Values{"s/a", "s/b"}));
  EXPECT_EQ(*look(store(), [](ReadTx& tx) { return tx.settings("t/"); }), Values{});
}

TEST_P(StoreContract, H61_NoJournalIsMissingWhereNobodyTookOneOut) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  EXPECT_EQ(*look(store(), [](ReadTx& tx) { return tx.journals_missing(); }), 0U);
}

TEST_P(StoreContract, H61_TheLastEntryOfAnybodyIsKnownAndGoesBackOnlyWhereSomebodySaysSo) {
  const auto last = [&] { return *look(store(), [](ReadTx& tx) { return last_recorded(tx); }); };
  const auto at = [](int minute) { return Instant{std::chrono::minutes{minute}}; };
  const auto one = [&](std::uint64_t n, int minute) {
    auto all = facts(n, 1);
    all.front().recorded = at(minute);
    return all;
  };
  for (const auto n : {1, 2}) ASSERT_OK(create(store(), person(static_cast<std::uint64_t>(n))));
  EXPECT_EQ(last(), std::nullopt);
  ASSERT_OK(append(store(), person(1), one(1, 50)));
  EXPECT_EQ(last(), at(50));
  ASSERT_OK(append(store(), person(2), one(2, 40)));
  EXPECT_EQ(last(), at(50)) << "by a clock that was set back";
  ASSERT_OK(append(store(), person(2), one(3, 60)));
  EXPECT_EQ(last(), at(60));
  ASSERT_OK(store().write([&](WriteTx& tx) { return clock_is_right(tx, at(45)); }));
  EXPECT_EQ(last(), at(45));
  ASSERT_OK(append(store(), person(2), one(3, 60)));
  EXPECT_EQ(last(), at(45)) << "nothing was added";
  EXPECT_VERIFIES(store());
  // What is no number was put there by somebody else.
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.put_setting("entries/last", "noon"); }));
  EXPECT_EQ(last(), std::nullopt);
  ASSERT_OK(append(store(), person(1), one(4, 30)));
  EXPECT_EQ(last(), at(30));
}

// ---- a second, simpler model as judge

/// What a store must hold, in the plainest words.
struct Model {
  std::map<Id, std::vector<NewFact>> journals;
  std::map<Id, std::pair<Id, std::vector<std::uint8_t>>> known;
};

TEST_P(StoreContract, AThousandRandomWritesAgreeWithAPlainModel) {
  const unsigned seed = 20'270'301;
  SCOPED_TRACE("seed " + std::to_string(seed));
  std::mt19937 random(seed);
  const auto below = [&](unsigned n) { return static_cast<std::uint64_t>(random() % n); };
  Model model;
  for (std::uint64_t p = 1; p <= 4; ++p) {
    ASSERT_OK(create(store(), person(p)));
    model.journals[person(p)];
  }
  for (int i = 0; i < 1000; ++i) {
    const auto journal = person(1 + below(4));
    std::vector<NewFact> list;
    for (auto left = below(4); left > 0; --left) {
      list.push_back(fact(below(600), below(20) == 0 ? "other" : ""));
    }
    Model next = model;
    bool fine = true;
    bool adds = false;
    for (const auto& f : list) {
      const auto there = next.known.find(f.fact);
      if (there != next.known.end()) {
        fine = fine && there->second == std::pair(journal, f.bytes);
        continue;
      }
      adds = true;
      next.known[f.fact] = {journal, f.bytes};
      next.journals[journal].push_back(f);
    }
    const std::uint64_t version = model.journals[journal].size();
    const auto seen = below(3) == 0 ? std::optional(version + below(2)) : std::nullopt;
    const auto appended = append(store(), journal, list, seen);
    if (!fine) {
      EXPECT_REFUSED(appended, Kind::refused, codes::identity_reused);
    } else if (adds && seen && *seen != version) {
      EXPECT_REFUSED(appended, Kind::conflict, codes::version_conflict);
    } else {
      ASSERT_OK(appended);
      model = next;
    }
  }
  for (const auto& [journal, expected] : model.journals) {
    const auto loaded = load(store(), journal);
    ASSERT_OK(loaded);
    ASSERT_EQ(loaded->size(), expected.size());
    for (std::size_t k = 0; k < expected.size(); ++k) {
      EXPECT_EQ((*loaded)[k].fact, expected[k].fact);
      EXPECT_TRUE(std::equal((*loaded)[k].bytes.begin(), (*loaded)[k].bytes.end(),
                             expected[k].bytes.begin(), expected[k].bytes.end()));
    }
  }
  EXPECT_VERIFIES(store());
}

TEST(StoreContractAcross, TheSameWritesGiveTheSameHeadsOnEveryBackend) {
  std::vector<std::string> states;
  for (const auto& backend : backends) {
    kit::Folder folder;
    const auto store = backend.make(folder);
    ASSERT_NE(store, nullptr);
    ASSERT_OK(create(*store, person(1)));
    ASSERT_OK(create(*store, person(2), Subject::clinic));
    for (std::uint64_t n = 1; n < 50; ++n) ASSERT_OK(append(*store, person(1 + n % 2), {fact(n)}));
    ASSERT_OK(store->write([](WriteTx& tx) { return tx.erase_payload(fact_id(9)); }));
    states.push_back(kit::everything(*store));
  }
  for (const auto& state : states) EXPECT_EQ(state, states[0]);
}

}  // namespace
}  // namespace penstock::store
