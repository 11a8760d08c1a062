// The contract of the port, for blocks (a day of one person, packed) and for the stamp that says
// which summaries somebody has read.
#include <map>

#include "contract/store_backends.hpp"

namespace penstock::store {
namespace {

using kit::append;
using kit::create;
using kit::facts;
using kit::info;
using kit::look;
using kit::person;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

LocalDay day(int number) { return LocalDay{std::chrono::days{20'000 + number}}; }

std::vector<std::uint8_t> readings(int number, std::size_t size = 300) {
  std::vector<std::uint8_t> bytes(size);
  for (std::size_t i = 0; i < size; ++i) {
    bytes[i] = static_cast<std::uint8_t>(static_cast<std::size_t>(number) * 31 + i);
  }
  return bytes;
}

constexpr std::uint16_t glucose = 1;
constexpr std::uint16_t other_kind = 2;

class StoreBlocks : public StoreContract {
 protected:
  Result<std::uint64_t> put_day(Id journal, BlockKey key, const std::vector<std::uint8_t>& bytes,
                                std::optional<std::uint64_t> seen = std::nullopt) {
    std::uint64_t version = 0;
    const auto done = store().write([&](WriteTx& tx) -> Result<void> {
      const auto put = tx.put_block(journal, key, bytes, seen);
      if (!put) return put.error();
      version = *put;
      return {};
    });
    if (!done) return done.error();
    return version;
  }
  std::vector<LocalDay> days(Id journal, std::uint16_t kind, LocalDay from, LocalDay to) {
    const auto found =
        look(store(), [&](ReadTx& tx) { return tx.blocks(journal, kind, from, to); });
    std::vector<LocalDay> out;
    if (!found) ADD_FAILURE() << found.error().code;
    if (found) {
      for (const auto& block : *found) out.push_back(block.key.day);
    }
    return out;
  }
};
INSTANTIATE_TEST_SUITE_P(Backends, StoreBlocks, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreBlocks, ADayIsThereAsItWasPut) {
  ASSERT_OK(create(store(), person(1)));
  EXPECT_EQ(put_day(person(1), {glucose, day(3)}, readings(3)).value(), 1U);
  const auto there =
      look(store(), [](ReadTx& tx) { return tx.block(person(1), {glucose, day(3)}); });
  ASSERT_OK(there);
  ASSERT_TRUE(there->has_value());
  EXPECT_EQ(**there, (Block{{glucose, day(3)}, 1, sha256(readings(3)), readings(3)}));
  for (const auto key : {BlockKey{glucose, day(4)}, BlockKey{other_kind, day(3)}}) {
    EXPECT_FALSE(look(store(), [&](ReadTx& tx) { return tx.block(person(1), key); })->has_value());
  }
  EXPECT_FALSE(look(store(), [](ReadTx& tx) {
                 return tx.block(person(2), {glucose, day(3)});
               })->has_value());
  // The chain knows nothing of it.
  EXPECT_EQ(info(store(), person(1)).version, 0U);
}

TEST_P(StoreBlocks, DaysComeInTheirOrderAndNoOthers) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  for (const int number : {5, -1, 3, 4, -20'001}) {
    ASSERT_OK(put_day(person(1), {glucose, day(number)}, readings(number)));
  }
  ASSERT_OK(put_day(person(1), {other_kind, day(4)}, readings(9)));
  ASSERT_OK(put_day(person(2), {glucose, day(4)}, readings(8)));
  EXPECT_THAT(days(person(1), glucose, day(-1), day(4)), ElementsAre(day(-1), day(3), day(4)));
  EXPECT_THAT(days(person(1), glucose, day(-30'000), day(30'000)),
              ElementsAre(day(-20'001), day(-1), day(3), day(4), day(5)));
  EXPECT_THAT(days(person(1), glucose, day(4), day(3)), IsEmpty());
  EXPECT_THAT(days(person(9), glucose, day(0), day(9)), IsEmpty());
}

TEST_P(StoreBlocks, H20_AChangeCountsAndSeesWhatItChanges) {
  ASSERT_OK(create(store(), person(1)));
  const BlockKey key{glucose, day(1)};
  EXPECT_REFUSED(put_day(person(1), key, readings(1), 1), Kind::conflict, codes::block_conflict);
  EXPECT_EQ(put_day(person(1), key, readings(1), 0).value(), 1U);
  EXPECT_EQ(put_day(person(1), key, readings(1)).value(), 1U);  // the same again changes nothing
  EXPECT_EQ(put_day(person(1), key, readings(2), 1).value(), 2U);
  const auto late = put_day(person(1), key, readings(3), 1);
  EXPECT_REFUSED(late, Kind::conflict, codes::block_conflict);
  EXPECT_EQ(count_arg(late.error(), "seen"), 1);
  EXPECT_EQ(count_arg(late.error(), "now"), 2);
  const auto there = look(store(), [&](ReadTx& tx) { return tx.block(person(1), key); });
  EXPECT_EQ((*there)->bytes, readings(2));
}

TEST_P(StoreBlocks, ADayHasAMostSizeAndAJournalThatCanBeWritten) {
  const BlockKey key{glucose, day(1)};
  EXPECT_REFUSED(put_day(person(1), key, readings(1)), Kind::not_found, codes::no_journal);
  ASSERT_OK(create(store(), person(1)));
  EXPECT_REFUSED(put_day(person(1), key, {}), Kind::refused, codes::block_too_large);
  ASSERT_OK(put_day(person(1), key, readings(1, block_bytes_max)));
  EXPECT_REFUSED(put_day(person(1), key, readings(1, block_bytes_max + 1)), Kind::refused,
                 codes::block_too_large);
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.make_read_only(person(1), "test.why"); }));
  EXPECT_REFUSED(put_day(person(1), key, readings(2)), Kind::refused, codes::journal_read_only);
}

TEST_P(StoreBlocks, H29_AnErasedDayIsGoneAlsoFromAReadOnlyJournal) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 3)));
  ASSERT_OK(put_day(person(1), {glucose, day(1)}, readings(1)));
  ASSERT_OK(put_day(person(1), {glucose, day(2)}, readings(2)));
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.make_read_only(person(1), "test.why"); }));
  const auto erase = [&] {
    return store().write([](WriteTx& tx) { return tx.erase_block(person(1), {glucose, day(1)}); });
  };
  ASSERT_OK(erase());
  ASSERT_OK(erase());  // twice is once
  EXPECT_THAT(days(person(1), glucose, day(0), day(9)), ElementsAre(day(2)));
  const auto report = store().verify(Marks::leave, {});
  ASSERT_OK(report);
  EXPECT_TRUE(report->clean());
  EXPECT_EQ(report->blocks, 1U);
}

TEST_P(StoreBlocks, H21_WhatIsRolledBackWasNeverThere) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(put_day(person(1), {glucose, day(1)}, readings(1)));
  const auto failed = store().write([](WriteTx& tx) -> Result<void> {
    if (const auto put = tx.put_block(person(1), {glucose, day(1)}, readings(7), 1); !put) {
      return put.error();
    }
    if (const auto put = tx.put_block(person(1), {glucose, day(2)}, readings(8), 0); !put) {
      return put.error();
    }
    if (const auto gone = tx.erase_block(person(1), {glucose, day(1)}); !gone) return gone;
    return Error{Kind::refused, "test.no", {}, {}};
  });
  EXPECT_FALSE(failed);
  EXPECT_THAT(days(person(1), glucose, day(0), day(9)), ElementsAre(day(1)));
  const auto there =
      look(store(), [](ReadTx& tx) { return tx.block(person(1), {glucose, day(1)}); });
  EXPECT_EQ((*there)->bytes, readings(1));
  EXPECT_EQ((*there)->version, 1U);
}

// ---- which summaries changed

class StoreStamps : public StoreContract {
 protected:
  void SetUp() override {
    StoreContract::SetUp();
    for (int i = 1; i <= 4; ++i) ASSERT_OK(create(store(), person(i)));
  }
  Result<void> put_row(int number, std::string key) {
    return store().write([&](WriteTx& tx) {
      return tx.put_summary({.journal = person(number),
                             .journal_version = 1,
                             .fold_version = 1,
                             .search_key = std::move(key),
                             .next_change = {},
                             .bytes = {1, 2, 3},
                             .read_only_because = {}});
    });
  }
  SummaryChanges since(const Stamp& seen) {
    auto found = look(store(), [&](ReadTx& tx) { return tx.changed_since(seen); });
    if (!found) ADD_FAILURE() << found.error().code;
    return found ? *std::move(found) : SummaryChanges{};
  }
  static std::vector<std::string> keys(const SummaryChanges& changes) {
    std::vector<std::string> out;
    for (const auto& row : changes.rows) out.push_back(row.search_key);
    return out;
  }
};
INSTANTIATE_TEST_SUITE_P(Backends, StoreStamps, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreStamps, OnlyTheRowsThatWerePutSinceAreRead) {
  ASSERT_OK(put_row(1, "a"));
  ASSERT_OK(put_row(2, "b"));
  const auto first = since({});
  EXPECT_TRUE(first.whole);
  EXPECT_THAT(keys(first), ElementsAre("a", "b"));
  const auto nothing = since(first.now);
  EXPECT_FALSE(nothing.whole);
  EXPECT_EQ(nothing.now, first.now);
  EXPECT_THAT(nothing.rows, IsEmpty());
  ASSERT_OK(put_row(3, "c"));
  ASSERT_OK(put_row(1, "a again"));
  const auto second = since(first.now);
  EXPECT_FALSE(second.whole);
  EXPECT_THAT(keys(second), ElementsAre("c", "a again"));
  EXPECT_THAT(since(second.now).rows, IsEmpty());
  EXPECT_THAT(keys(since({})), ElementsAre("b", "c", "a again"));
}

TEST_P(StoreStamps, ARowPutTwiceInOneTransactionComesOnce) {
  const auto before = since({}).now;
  ASSERT_OK(store().write([](WriteTx& tx) -> Result<void> {
    Summary row{person(1), 1, 1, "once", {}, {1}, ""};
    if (const auto put = tx.put_summary(row); !put) return put;
    row.search_key = "twice";
    return tx.put_summary(row);
  }));
  EXPECT_THAT(keys(since(before)), ElementsAre("twice"));
}

TEST_P(StoreStamps, H21_WhatIsRolledBackChangesNoStamp) {
  ASSERT_OK(put_row(1, "a"));
  const auto before = since({}).now;
  EXPECT_FALSE(store().write([](WriteTx& tx) -> Result<void> {
    if (const auto put = tx.put_summary({person(2), 1, 1, "b", {}, {1}, ""}); !put) return put;
    if (const auto gone = tx.drop_summaries(); !gone) return gone;
    return Error{Kind::refused, "test.no", {}, {}};
  }));
  EXPECT_EQ(since({}).now, before);
  EXPECT_THAT(keys(since({})), ElementsAre("a"));
  EXPECT_THAT(since(before).rows, IsEmpty());
  // And the number that was given back is not one that somebody has read already.
  ASSERT_OK(put_row(2, "b"));
  EXPECT_THAT(keys(since(before)), ElementsAre("b"));
}

TEST_P(StoreStamps, RowsThatWereDroppedAreNotKeptByAnybody) {
  ASSERT_OK(put_row(1, "a"));
  ASSERT_OK(put_row(2, "b"));
  const auto before = since({}).now;
  ASSERT_OK(store().write([](WriteTx& tx) { return tx.drop_summaries(); }));
  const auto dropped = since(before);
  EXPECT_TRUE(dropped.whole);
  EXPECT_THAT(dropped.rows, IsEmpty());
  ASSERT_OK(put_row(2, "b anew"));
  const auto after = since(before);
  EXPECT_TRUE(after.whole);
  EXPECT_THAT(keys(after), ElementsAre("b anew"));
  const auto again = since(dropped.now);
  EXPECT_FALSE(again.whole);
  EXPECT_THAT(keys(again), ElementsAre("b anew"));
}

TEST_P(StoreStamps, AStampOfAnotherStoreOrOfALaterCopyIsNotBelieved) {
  ASSERT_OK(put_row(1, "a"));
  auto stamp = since({}).now;
  ++stamp.number;  // a copy from before was put back
  EXPECT_TRUE(since(stamp).whole);
  const auto other = make_memory_store();
  const auto foreign = look(*other, [](ReadTx& tx) { return tx.changed_since({}); });
  ASSERT_OK(foreign);
  EXPECT_TRUE(since(foreign->now).whole);
  EXPECT_THAT(keys(since(foreign->now)), ElementsAre("a"));
}

// Somebody who reads the changes now and then holds what is there, whatever was written meanwhile.
TEST_P(StoreStamps, WhoFollowsTheStampHoldsWhatIsThere) {
  std::map<Id, Summary> kept;
  Stamp seen;
  std::uint64_t state = 20'270'316;
  for (int step = 0; step < 400; ++step) {
    state = state * 6'364'136'223'846'793'005ULL + 1;
    const auto roll = (state >> 33) % 100;
    if (roll < 2) {
      ASSERT_OK(store().write([](WriteTx& tx) { return tx.drop_summaries(); }));
    } else if (roll < 80) {
      ASSERT_OK(put_row(static_cast<int>(roll % 4) + 1, "step " + std::to_string(step)));
    } else {
      const auto changes = since(seen);
      if (changes.whole) kept.clear();
      for (const auto& row : changes.rows) kept.insert_or_assign(row.journal, row);
      seen = changes.now;
      const auto all = look(store(), [](ReadTx& tx) { return tx.summaries({}); });
      ASSERT_OK(all);
      ASSERT_EQ(all->size(), kept.size());
      for (const auto& row : *all) ASSERT_EQ(row, kept.at(row.journal)) << step;
    }
  }
}

}  // namespace
}  // namespace penstock::store
