// The contract of the port, for pictures: kept beside a journal, gone when they are erased.
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

class StoreBlobs : public StoreContract {};
INSTANTIATE_TEST_SUITE_P(Backends, StoreBlobs, ::testing::ValuesIn(backends),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreBlobs, H21_APictureIsThereAsItWasPut) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(create(store(), person(2)));
  const auto bytes = kit::picture(1, 100'000);
  const auto digest = put(store(), person(1), bytes, "image/jpeg");
  ASSERT_OK(digest);
  EXPECT_EQ(*digest, sha256(bytes));
  ASSERT_OK(put(store(), person(1), bytes, "image/jpeg"));  // twice is once
  const BlobInfo expected{*digest, "image/jpeg", 100'000, false};
  const auto there = look(store(), [&](ReadTx& tx) { return tx.blob(person(1), *digest); });
  ASSERT_OK(there);
  ASSERT_TRUE(there->has_value());
  EXPECT_EQ((*there)->info, expected);
  EXPECT_EQ((*there)->bytes, bytes);
  EXPECT_THAT(*look(store(), [](ReadTx& tx) { return tx.blobs(person(1)); }),
              ElementsAre(expected));
  // It belongs to one journal (H19).
  EXPECT_FALSE(look(store(), [&](ReadTx& tx) { return tx.blob(person(2), *digest); })->has_value());
  EXPECT_THAT(*look(store(), [](ReadTx& tx) { return tx.blobs(person(2)); }), IsEmpty());
  EXPECT_THAT(*look(store(), [](ReadTx& tx) { return tx.blobs(person(9)); }), IsEmpty());
  // The chain knows nothing of it.
  EXPECT_EQ(info(store(), person(1)).version, 0U);
  const auto report = store().verify(Marks::leave, {});
  ASSERT_OK(report);
  EXPECT_TRUE(report->clean());
  EXPECT_EQ(report->blobs, 1U);
  EXPECT_EQ(report->bytes_hashed, 100'000U);
}

TEST_P(StoreBlobs, APictureHasAMostSizeAndAJournal) {
  EXPECT_REFUSED(put(store(), person(1), kit::picture(1)), Kind::not_found, codes::no_journal);
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(put(store(), person(1), kit::picture(1, blob_bytes_max)));
  const auto large = put(store(), person(1), kit::picture(2, blob_bytes_max + 1));
  EXPECT_REFUSED(large, Kind::refused, codes::blob_too_large);
  EXPECT_EQ(count_arg(large.error(), "bytes"), static_cast<std::int64_t>(blob_bytes_max) + 1);
  EXPECT_EQ(count_arg(large.error(), "most"), static_cast<std::int64_t>(blob_bytes_max));
  EXPECT_REFUSED(put(store(), person(1), {}), Kind::refused, codes::blob_too_large);
}

TEST_P(StoreBlobs, H29_AnErasedPictureIsGoneAndTheChainHolds) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(append(store(), person(1), facts(1, 3)));
  const auto head = info(store(), person(1)).head;
  const auto bytes = kit::picture(1);
  const auto digest = sha256(bytes);
  const auto erase = [&] {
    return store().write([&](WriteTx& tx) { return tx.erase_blob(person(1), digest); });
  };
  EXPECT_REFUSED(erase(), Kind::not_found, codes::no_blob);
  ASSERT_OK(put(store(), person(1), bytes));
  ASSERT_OK(erase());
  ASSERT_OK(erase());
  const auto gone = look(store(), [&](ReadTx& tx) { return tx.blob(person(1), digest); });
  ASSERT_OK(gone);
  ASSERT_TRUE(gone->has_value());  // that it was there stays known
  EXPECT_TRUE((*gone)->info.erased);
  EXPECT_EQ((*gone)->info.size, bytes.size());
  EXPECT_TRUE((*gone)->bytes.empty());
  EXPECT_EQ(info(store(), person(1)).head, head);
  auto report = store().verify(Marks::set, {});
  ASSERT_OK(report);
  EXPECT_TRUE(report->clean());
  EXPECT_EQ(report->blobs, 0U);
  EXPECT_EQ(report->blobs_erased, 1U);
  // The person agreed again: it is there again.
  ASSERT_OK(put(store(), person(1), bytes));
  EXPECT_EQ((*look(store(), [&](ReadTx& tx) { return tx.blob(person(1), digest); }))->bytes, bytes);
  report = store().verify(Marks::leave, {});
  ASSERT_OK(report);
  EXPECT_EQ(report->blobs, 1U);
  EXPECT_EQ(report->blobs_erased, 0U);
}

TEST_P(StoreBlobs, AReadOnlyJournalTakesNoPictureAndGivesUpItsOwn) {
  ASSERT_OK(create(store(), person(1)));
  ASSERT_OK(put(store(), person(1), kit::picture(1)));
  ASSERT_OK(
      store().write([](WriteTx& tx) { return tx.make_read_only(person(1), codes::hash_wrong); }));
  EXPECT_REFUSED(put(store(), person(1), kit::picture(2)), Kind::refused, codes::journal_read_only);
  ASSERT_OK(
      store().write([](WriteTx& tx) { return tx.erase_blob(person(1), sha256(kit::picture(1))); }));
}

}  // namespace
}  // namespace penstock::store
