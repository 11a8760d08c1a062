// What only a file can be: somebody else's, damaged, tampered with, locked, deleted, of another
// version.
#include <gmock/gmock.h>
#include <sqlite3.h>
#include <sys/stat.h>

#include <atomic>
#include <fstream>
#include <thread>

#include "shell/disk/internal/migrate.hpp"
#include "shell/disk/internal/sqlite_store.hpp"
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
using kit::person;

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>()};
}
void write_bytes(const std::filesystem::path& path, std::string_view bytes) {
  std::ofstream(path, std::ios::binary)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

/// Somebody with a database tool.
void run_sql(const std::filesystem::path& path, const std::string& sql) {
  sqlite3* db = nullptr;
  ASSERT_EQ(sqlite3_open(path.c_str(), &db), SQLITE_OK);
  char* message = nullptr;
  sqlite3_exec(db, sql.c_str(), nullptr, nullptr, &message);
  EXPECT_EQ(message, nullptr) << message;
  sqlite3_free(message);
  sqlite3_close(db);
}

class SqliteFile : public ::testing::Test {
 protected:
  std::filesystem::path path() const { return folder_ / "clinic.penstock"; }
  std::unique_ptr<Store> open() {
    auto store = open_sqlite({.path = path(), .busy_timeout = 100ms});
    if (!store) ADD_FAILURE() << store.error().code;
    return store ? std::move(*store) : nullptr;
  }
  /// Two people and the clinic, ten facts each.
  void fill() {
    const auto store = open();
    for (const auto n : {1U, 2U, 3U}) {
      ASSERT_OK(create(*store, person(n), n == 3 ? Subject::clinic : Subject::person));
      ASSERT_OK(append(*store, person(n), facts(100 * n, 10)));
    }
  }
  std::string state() {
    const auto store = open();
    return store ? kit::everything(*store) : std::string{};
  }
  kit::Folder folder_;
};

TEST_F(SqliteFile, H29_TheLastJournalIsMissedWhenItIsTakenOut) {
  fill();
  run_sql(path(),
          "DELETE FROM entry WHERE journal_no = 3; DELETE FROM summary WHERE journal_no = 3;"
          "DELETE FROM journal WHERE no = 3");
  const auto is_missed = [&] {
    const auto report = open()->verify(Marks::leave, {});
    return report && std::ranges::any_of(report->faults, [](const auto& fault) {
             return fault.code == codes::journal_missing;
           });
  };
  EXPECT_TRUE(is_missed());
  EXPECT_EQ(*kit::look(*open(), [](ReadTx& tx) { return tx.journals_missing(); }), 1U);
  // Nor does a new one take its number.
  ASSERT_OK(create(*open(), person(4)));
  EXPECT_TRUE(is_missed());
}

TEST_F(SqliteFile, H29_NothingIsMissedWhereJournalsWereCreatedByAnOlderProgram) {
  fill();
  run_sql(path(), "DELETE FROM setting WHERE name = 'journals/last'");
  EXPECT_TRUE(open()->verify(Marks::leave, {})->faults.empty());
  run_sql(path(), "UPDATE setting SET value = 2 WHERE name = 'journals/last'");
  EXPECT_TRUE(open()->verify(Marks::leave, {})->faults.empty());
}

// A server had it open by one name; what was recorded by the other was on none of its pages.
TEST_F(SqliteFile, H21_AFileWithASecondNameIsNotOpenedToWrite) {
  fill();
  std::filesystem::create_hard_link(path(), folder_ / "other.penstock");
  for (const auto& name : {path(), folder_ / "other.penstock"})
    EXPECT_REFUSED(open_sqlite({.path = name}), Kind::refused, codes::two_names);
  std::filesystem::remove(folder_ / "other.penstock");
  EXPECT_NE(open(), nullptr);
  // A restore that was killed leaves such a name; whoever opens that one is refused.
  const std::filesystem::path kept = path().string() + ".replaced-1";
  std::filesystem::create_hard_link(path(), kept);
  EXPECT_NE(open(), nullptr);
  EXPECT_REFUSED(open_sqlite({.path = kept}), Kind::refused, codes::two_names);
  // A link that leads there is no second name.
  std::filesystem::create_symlink(path(), folder_ / "way.penstock");
  EXPECT_TRUE(open_sqlite({.path = folder_ / "way.penstock"}));
}

// The first three journals' ten entries each; the second ends after its sixth from now on.
constexpr const char* cut_off =
    "DELETE FROM entry WHERE journal_no = 2 AND position > 6; UPDATE journal SET version = 6, "
    "head = (SELECT hash FROM entry WHERE journal_no = 2 AND position = 6) WHERE no = 2;";

TEST_F(SqliteFile, H29_EntriesThatWereCutOffAreMissedThoughVersionAndHeadWereMadeToFit) {
  const std::string end =
      "name = 'journals/end/' || (SELECT lower(hex(id)) FROM journal WHERE no = 2)";
  for (const auto& hidden :
       {std::string(), "DELETE FROM setting WHERE " + end,
        "UPDATE setting SET value = '6' || substr(value, 3) WHERE " + end,
        "UPDATE setting SET value = (SELECT value FROM setting WHERE name LIKE 'journals/end/%') "
        "WHERE " +
            end}) {
    std::filesystem::remove(path());
    fill();
    run_sql(path(), cut_off + hidden);
    const auto store = open();
    EXPECT_EQ(info(*store, person(2)).read_only_because, codes::head_wrong) << hidden;
    EXPECT_EQ(info(*store, person(1)).read_only_because, "") << hidden;
    const auto report = store->verify(Marks::set_and_lift, {});
    ASSERT_OK(report);
    ASSERT_EQ(report->faults.size(), 1U) << hidden;
    EXPECT_EQ(report->faults[0].journal, person(2));
    EXPECT_EQ(info(*store, person(2)).read_only_because, codes::head_wrong) << hidden;
  }
}

TEST_F(SqliteFile, H29_WhoeverCutsAFileThatIsInUseIsFoundByTheNextLookAndTheNextWrite) {
  fill();
  const auto store = open();
  run_sql(path(), cut_off);
  EXPECT_REFUSED(kit::look(*store, [](ReadTx& tx) { return tx.load(person(2)); }),
                 Kind::unavailable, codes::journal_damaged);
  EXPECT_REFUSED(append(*store, person(2), facts(7, 1)), Kind::unavailable, codes::journal_damaged);
}

TEST_F(SqliteFile, H29_AnOlderProgramsFileIsTakenAsItStandsAndWhatOneAppendsIsNoFault) {
  fill();
  const auto as_older = "DELETE FROM setting WHERE name LIKE 'journals/end%';";
  run_sql(path(), as_older);
  EXPECT_TRUE(open()->verify(Marks::leave, {})->faults.empty());
  // From the first opening on an end is kept.
  run_sql(path(), cut_off);
  EXPECT_EQ(open()->verify(Marks::leave, {})->faults.size(), 1U);
  std::filesystem::remove(path());
  fill();
  const std::string end =
      "name = 'journals/end/' || (SELECT lower(hex(id)) FROM journal WHERE no = 2)";
  run_sql(path(), "INSERT INTO setting SELECT 'aside', value FROM setting WHERE " + end);
  ASSERT_OK(append(*open(), person(2), facts(900, 2)));
  run_sql(path(),
          "UPDATE setting SET value = (SELECT value FROM setting WHERE name = 'aside') "
          "WHERE " +
              end);
  EXPECT_TRUE(open()->verify(Marks::leave, {})->faults.empty());
  ASSERT_OK(append(*open(), person(2), facts(950, 1)));
  EXPECT_TRUE(open()->verify(Marks::leave, {})->faults.empty());
}

TEST_F(SqliteFile, H21_WhatWasAcknowledgedIsInTheFileItselfOnceNobodyWrites) {
  const auto settled = folder_ / "alone.penstock";
  const auto store = open_sqlite({.path = path(), .settle_after = 0ms});
  ASSERT_OK(store);
  ASSERT_OK(create(**store, person(1)));
  ASSERT_OK(append(**store, person(1), facts(1, 3)));
  ASSERT_OK((*store)->read([](ReadTx&) -> Result<void> { return {}; }));
  // Its log is not copied, or was lost.
  std::filesystem::copy_file(path(), settled);
  const auto alone = open_sqlite({.path = settled});
  ASSERT_OK(alone);
  EXPECT_EQ(info(**alone, person(1)).version, 3U);
}

TEST(Sha256, GivesThePublishedDigests_FIPS_180_4_examples) {
  const auto of = [](std::string_view text) {
    return to_text(sha256({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()}));
  };
  EXPECT_EQ(of("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(of(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(StoreCodes, AreEachThereOnce) {
  std::vector<std::string_view> codes(std::begin(all_codes), std::end(all_codes));
  std::sort(codes.begin(), codes.end());
  EXPECT_EQ(std::adjacent_find(codes.begin(), codes.end()), codes.end());
  for (const auto code : codes) EXPECT_TRUE(code.starts_with("store.")) << code;
}

// ---- a file of ours

TEST_F(SqliteFile, H21_WhatWasWrittenIsThereAfterReopening) {
  fill();
  const auto before = state();
  EXPECT_EQ(state(), before);
  EXPECT_VERIFIES(*open());
  EXPECT_FALSE(std::filesystem::exists(path().string() + "-wal"));  // closing folds the log in
}

TEST_F(SqliteFile, H21_EveryConnectionSyncsWhatItCommits) {
  fill();
  auto store = open_unmarked({.path = path()});
  ASSERT_OK(store);
  auto connection = connect({.path = path()});
  ASSERT_OK(connection);
  EXPECT_EQ(*(*connection)->text("PRAGMA journal_mode"), "wal");
  EXPECT_EQ(*(*connection)->number("PRAGMA synchronous"), 2);  // FULL
  EXPECT_EQ(*(*connection)->number("PRAGMA foreign_keys"), 1);
  EXPECT_EQ(*(*connection)->number("PRAGMA secure_delete"), 1);
}

TEST_F(SqliteFile, H29_OnlyItsOwnerCanReadIt) {
  fill();
  struct stat status{};
  ASSERT_EQ(::stat(path().c_str(), &status), 0);
  EXPECT_EQ(status.st_mode & 0777, 0600U);
}

TEST_F(SqliteFile, AFolderThatIsNotThereIsSaidSo) {
  EXPECT_REFUSED(open_sqlite({.path = folder_ / "none/clinic"}), Kind::unavailable,
                 codes::cannot_open);
  EXPECT_REFUSED(open_sqlite({.path = folder_.path()}), Kind::unavailable, codes::cannot_open);
}

TEST_F(SqliteFile, SeveralProgramsMayCreateTheSameStoreAtOnce) {
  for (int round = 0; round < 10; ++round) {
    const kit::Folder folder;
    std::atomic<int> opened = 0;
    std::vector<std::thread> threads;
    for (std::uint64_t n = 1; n <= 4; ++n) {
      threads.emplace_back([&, n] {
        auto store = open_sqlite({.path = folder / "new"});
        if (store && create(**store, person(n))) ++opened;
        if (!store) ADD_FAILURE() << store.error().code;
      });
    }
    for (auto& thread : threads) thread.join();
    EXPECT_EQ(opened, 4);
    auto store = open_sqlite({.path = folder / "new"});
    ASSERT_OK(store);
    EXPECT_EQ(kit::journals(**store)->size(), 4U);
  }
}

// ---- not ours

TEST_F(SqliteFile, AFileOfSomethingElseIsRefusedAndLeftAsItIs) {
  write_bytes(path(), std::string(5000, 'n'));
  const auto before = bytes_of(path());
  EXPECT_REFUSED(open_sqlite({.path = path()}), Kind::refused, codes::not_ours);
  EXPECT_EQ(bytes_of(path()), before);

  std::filesystem::remove(path());
  run_sql(path(), "CREATE TABLE recipe (name TEXT); INSERT INTO recipe VALUES ('soup')");
  const auto other = bytes_of(path());
  EXPECT_REFUSED(open_sqlite({.path = path()}), Kind::refused, codes::not_ours);
  EXPECT_EQ(bytes_of(path()), other);
}

TEST_F(SqliteFile, AFileOfANewerProgramIsRefusedAndLeftAsItIs) {
  fill();
  run_sql(path(), "PRAGMA user_version = 99; PRAGMA journal_mode = DELETE");
  const auto before = bytes_of(path());
  const auto refused = open_sqlite({.path = path()});
  EXPECT_REFUSED(refused, Kind::refused, codes::newer_program);
  EXPECT_EQ(refused.error().args[1], arg_count("schema", 99));
  EXPECT_EQ(refused.error().args[2],
            arg_count("known", static_cast<std::int64_t>(migrations_sqlite().size())));
  EXPECT_EQ(bytes_of(path()), before);
}

// Found by the fuzz target store-file.
TEST_F(SqliteFile, AFileWhoseSchemaNumberWasDamagedIsRefusedAndLeftAsItIs) {
  fill();
  run_sql(path(), "PRAGMA user_version = -7; PRAGMA journal_mode = DELETE");
  const auto before = bytes_of(path());
  EXPECT_REFUSED(open_sqlite({.path = path()}), Kind::unavailable, codes::file_damaged);
  EXPECT_EQ(bytes_of(path()), before);
}

TEST_F(SqliteFile, AFileWithOtherMigrationsIsRefused) {
  fill();
  run_sql(path(), "UPDATE migration SET sha256 = 'other' WHERE number = 1");
  const auto refused = open_sqlite({.path = path()});
  EXPECT_REFUSED(refused, Kind::refused, codes::migration_changed);
  EXPECT_EQ(refused.error().args.back(), arg_count("migration", 1));
}

TEST_F(SqliteFile, ReadOnlyAccessNeitherCreatesNorWrites) {
  const SqliteOptions read_only{.path = path(), .access = Access::read_only};
  EXPECT_REFUSED(open_sqlite(read_only), Kind::not_found, codes::no_file);
  EXPECT_FALSE(std::filesystem::exists(path()));
  fill();
  const auto before = state();
  auto store = open_sqlite(read_only);
  ASSERT_OK(store);
  EXPECT_EQ(kit::everything(**store), before);
  EXPECT_VERIFIES(**store);
  EXPECT_REFUSED(append(**store, person(1), facts(1, 1)), Kind::unavailable, codes::read_only);
}

// ---- others at work

TEST_F(SqliteFile, H21_AFileThatAnotherProgramHoldsIsSaidToBeLocked) {
  fill();
  const auto store = open();
  auto other = connect({.path = path()});
  ASSERT_OK(other);
  {
    auto held = Transaction::begin(**other, Transaction::Mode::write);
    ASSERT_OK(held);
    EXPECT_REFUSED(append(*store, person(1), facts(1, 1)), Kind::unavailable, codes::locked);
    EXPECT_EQ(kit::load(*store, person(1))->size(), 10U);  // reading goes on
  }
  ASSERT_OK(append(*store, person(1), facts(1, 1)));
}

TEST_F(SqliteFile, H20_TwoProgramsThatSawTheSameVersionAreToldApart) {
  fill();
  const auto first = open();
  const auto second = open();
  ASSERT_OK(append(*first, person(1), facts(1, 1), 10));
  EXPECT_REFUSED(append(*second, person(1), facts(2, 1), 10), Kind::conflict,
                 codes::version_conflict);
  // And a repeated request that lands in the other program is one fact.
  EXPECT_TRUE(append(*second, person(1), facts(1, 1), 10)->receipts[0].already_recorded);
}

TEST_F(SqliteFile, AProgramGetsItsTurnBesideOneThatWritesWithoutPause) {
  fill();
  std::atomic<bool> stop = false;
  std::thread busy([&] {
    auto store = open_sqlite({.path = path()});
    for (std::uint64_t n = 1000; store && !stop; ++n) {
      static_cast<void>(append(**store, person(1), {fact(n)}));
    }
  });
  {
    auto store = open_sqlite({.path = path(), .busy_timeout = 5000ms});
    ASSERT_OK(store);
    for (std::uint64_t n = 1; n <= 20; ++n) {
      EXPECT_TRUE(append(**store, person(2), {fact(n)}).has_value());
    }
  }
  stop = true;
  busy.join();
}

TEST_F(SqliteFile, H21_NothingIsAcknowledgedIntoAFileThatWasDeletedOrMoved) {
  fill();
  const auto store = open();
  std::filesystem::rename(path(), folder_ / "elsewhere");
  EXPECT_REFUSED(append(*store, person(1), facts(1, 1)), Kind::unavailable, codes::file_moved);
  std::filesystem::rename(folder_ / "elsewhere", path());
  ASSERT_OK(append(*store, person(1), facts(1, 1)));
}

// ---- what the law asks

TEST_F(SqliteFile, AnErasedPayloadIsNowhereInTheFiles) {
  constexpr std::string_view secret = "a sentence about somebody that must go";
  fill();
  const auto store = open();
  ASSERT_OK(append(*store, person(1),
                   {fact(1, secret), fact(2, std::string(20'000, 's') + std::string(secret))}));
  const auto found = [&] {
    const auto all = bytes_of(path()) + bytes_of(path().string() + "-wal");
    return all.find(secret) != std::string::npos || all.find("ssssssss") != std::string::npos;
  };
  ASSERT_TRUE(found());
  ASSERT_OK(store->write([](WriteTx& tx) -> Result<void> {
    if (auto done = tx.erase_payload(fact_id(1)); !done) return done;
    return tx.erase_payload(fact_id(2));
  }));
  EXPECT_FALSE(found());
  EXPECT_VERIFIES(*store);
}

TEST_F(SqliteFile, H29_AnErasedPictureIsNowhereInTheFiles) {
  fill();
  const auto store = open();
  std::vector<std::uint8_t> picture(300'000, static_cast<std::uint8_t>('p'));
  ASSERT_OK(store->write([&](WriteTx& tx) -> Result<void> {
    const auto kept = tx.put_blob(person(1), "image/png", picture);
    return kept ? Result<void>{} : Result<void>(kept.error());
  }));
  const auto found = [&] {
    const auto all = bytes_of(path()) + bytes_of(path().string() + "-wal");
    return all.find("pppppppp") != std::string::npos;
  };
  ASSERT_TRUE(found());
  ASSERT_OK(store->write([&](WriteTx& tx) { return tx.erase_blob(person(1), sha256(picture)); }));
  EXPECT_FALSE(found());
  EXPECT_VERIFIES(*store);
}

TEST_F(SqliteFile, H29_AnAlteredPictureIsFoundAndNeverShownAndItsJournalGoesOn) {
  fill();
  const auto picture = kit::picture(1);
  const auto put = [&](Store& store) {
    return store.write([&](WriteTx& tx) -> Result<void> {
      const auto kept = tx.put_blob(person(1), "image/png", picture);
      return kept ? Result<void>{} : Result<void>(kept.error());
    });
  };
  ASSERT_OK(put(*open()));
  run_sql(path(), "UPDATE blob SET bytes = x'89504e47'");
  const auto store = open();
  const auto report = store->verify(Marks::set, {});
  ASSERT_OK(report);
  EXPECT_FALSE(report->clean());
  EXPECT_TRUE(report->faults.empty());
  EXPECT_EQ(report->blobs_damaged, 1U);
  EXPECT_REFUSED(kit::look(*store, [&](ReadTx& tx) { return tx.blob(person(1), sha256(picture)); }),
                 Kind::unavailable, codes::blob_damaged);
  EXPECT_EQ(info(*store, person(1)).read_only_because, "");
  ASSERT_OK(put(*store));  // whoever still has it can mend it
  EXPECT_VERIFIES(*store);
}

// ---- tampering and damage

struct Tampering {
  const char* name;
  const char* sql;  // on journal 2, the second person's
  std::uint64_t position;
  std::string_view code;
  bool start_sees_it;  // whether the quick check, which looks at the last entries, can
};
constexpr Tampering tamperings[] = {
    {"ABytesOfAFact", "UPDATE entry SET bytes = x'00' WHERE journal_no = 2 AND position = 4", 4,
     codes::digest_wrong, false},
    {"TheBytesOfTheLastFact",
     "UPDATE entry SET bytes = x'00' WHERE journal_no = 2 AND position = 10", 10,
     codes::digest_wrong, true},
    {"BytesAndDigest",
     "UPDATE entry SET digest = zeroblob(32) WHERE journal_no = 2 AND position = 4", 4,
     codes::hash_wrong, false},
    {"WhenItWasRecorded", "UPDATE entry SET recorded = 7 WHERE journal_no = 2 AND position = 5", 5,
     codes::hash_wrong, false},
    {"TheType", "UPDATE entry SET type = 77 WHERE journal_no = 2 AND position = 10", 10,
     codes::hash_wrong, true},
    {"TheIdentity", "UPDATE entry SET fact = zeroblob(16) WHERE journal_no = 2 AND position = 1", 1,
     codes::hash_wrong, false},
    {"AnEntryTakenOut", "DELETE FROM entry WHERE journal_no = 2 AND position = 6", 6,
     codes::position_hole, false},
    {"AnEntryTakenOutAndTheRestMovedUp",
     "DELETE FROM entry WHERE journal_no = 2 AND position = 6;"
     "UPDATE entry SET position = position - 1 WHERE journal_no = 2 AND position > 6;"
     "UPDATE journal SET version = 9 WHERE no = 2",
     6, codes::hash_wrong, true},
    {"TheLastEntryCutOff", "DELETE FROM entry WHERE journal_no = 2 AND position = 10", 0,
     codes::head_wrong, true},
    {"AnotherHead", "UPDATE journal SET head = zeroblob(32) WHERE no = 2", 0, codes::head_wrong,
     true},
    {"AnotherVersion", "UPDATE journal SET version = 9 WHERE no = 2", 0, codes::head_wrong, true},
    {"AnEntryOfAnotherJournal",
     "UPDATE entry SET position = 11, journal_no = 2 WHERE journal_no = 1 AND position = 10;"
     "UPDATE journal SET version = 9, head = (SELECT hash FROM entry WHERE journal_no = 1 AND "
     "position = 9) WHERE no = 1;"
     "DELETE FROM setting WHERE name LIKE 'journals/end%';"  // as an older program left it
     "UPDATE journal SET version = 11, head = (SELECT hash FROM entry WHERE journal_no = 2 AND "
     "position = 11) WHERE no = 2",
     11, codes::hash_wrong, true},
};

class SqliteTampering : public SqliteFile, public ::testing::WithParamInterface<Tampering> {};
INSTANTIATE_TEST_SUITE_P(Changes, SqliteTampering, ::testing::ValuesIn(tamperings),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(SqliteTampering, H29_IsFoundAndTheOtherJournalsGoOn) {
  fill();
  run_sql(path(), GetParam().sql);
  const auto store = open();
  ASSERT_NE(store, nullptr);
  EXPECT_EQ(!info(*store, person(2)).read_only_because.empty(), GetParam().start_sees_it);

  const auto report = store->verify(Marks::set, {});
  ASSERT_OK(report);
  ASSERT_EQ(report->faults.size(), 1U) << kit::fault_list(*report);
  EXPECT_EQ(report->faults[0].journal, person(2));
  EXPECT_EQ(report->faults[0].position, GetParam().position);
  EXPECT_EQ(report->faults[0].code, GetParam().code);

  EXPECT_REFUSED(append(*store, person(2), facts(1, 1)), Kind::refused, codes::journal_read_only);
  ASSERT_OK(append(*store, person(1), facts(1, 1)));
  ASSERT_OK(store->verify(Marks::set_and_lift, {}));
  EXPECT_REFUSED(append(*store, person(2), facts(2, 1)), Kind::refused, codes::journal_read_only);
}

TEST_F(SqliteFile, H21_DamageInTheFileIsFoundWhateverPageItIsOn) {
  fill();
  const auto sound = bytes_of(path());
  const auto sound_state = state();
  const auto pages = sound.size() / 4096;
  ASSERT_GT(pages, 8U);
  int refused = 0;
  int reported = 0;
  for (std::size_t page = 0; page < pages; ++page) {
    SCOPED_TRACE("page " + std::to_string(page));
    auto damaged = sound;
    for (std::size_t i = 0; i < 4096; ++i) damaged[page * 4096 + i] ^= static_cast<char>(0x5A);
    write_bytes(path(), damaged);
    auto store = open_sqlite({.path = path()});
    if (!store) {
      EXPECT_THAT(store.error().code, ::testing::AnyOf(codes::file_damaged, codes::not_ours));
      ++refused;
      continue;
    }
    const auto report = (*store)->verify(Marks::leave, {});
    if (!report) continue;
    // A page that nothing uses may be damaged without harm; any other must show.
    if (report->clean()) {
      EXPECT_EQ(kit::everything(**store), sound_state);
    } else {
      ++reported;
    }
  }
  EXPECT_GT(refused, 0);
  EXPECT_GT(reported, 0);
}

TEST_F(SqliteFile, H21_ADaysBytesThatChangedOnTheDiskAreNotReadAndVerifySaysSo) {
  const BlockKey key{1, LocalDay{std::chrono::days{20'000}}};
  const std::vector<std::uint8_t> right{1, 2, 3};
  const auto put = [&](Store& store) {
    return store.write([&](WriteTx& tx) -> Result<void> {
      const auto kept = tx.put_block(person(1), key, right, std::nullopt);
      if (!kept) return kept.error();
      return {};
    });
  };
  {
    auto store = open();
    ASSERT_OK(create(*store, person(1)));
    ASSERT_OK(put(*store));
  }
  run_sql(path(), "UPDATE journal_block SET bytes = X'010204'");
  auto store = open();
  const auto one = kit::look(*store, [&](ReadTx& tx) { return tx.block(person(1), key); });
  EXPECT_REFUSED(one, Kind::unavailable, codes::block_damaged);
  const auto several =
      kit::look(*store, [&](ReadTx& tx) { return tx.blocks(person(1), 1, key.day, key.day); });
  EXPECT_REFUSED(several, Kind::unavailable, codes::block_damaged);
  auto report = store->verify(Marks::leave, {});
  ASSERT_OK(report);
  EXPECT_EQ(report->blocks_damaged, 1U);
  EXPECT_FALSE(report->clean());
  EXPECT_TRUE(report->faults.empty());  // the journal can still be written
  // The bytes at hand are the right ones: they mend what the disk has spoilt.
  ASSERT_OK(put(*store));
  report = store->verify(Marks::leave, {});
  ASSERT_OK(report);
  EXPECT_TRUE(report->clean());
}

// ---- migrations

std::string schema_of(const std::filesystem::path& path) {
  auto connection = connect({.path = path});
  if (!connection) return connection.error().code;
  auto dump = schema_dump(**connection);
  return dump ? *dump : dump.error().code;
}

TEST(Migrations, SayWhyAndAreNumberedWithoutHoles) {
  int number = 0;
  for (const auto& migration : migrations_sqlite()) {
    ++number;
    EXPECT_EQ(std::stoi(std::string(migration.path.substr(0, 4))), number) << migration.path;
    EXPECT_TRUE(migration.data.starts_with("-- Why: ")) << migration.path;
    EXPECT_EQ(to_text(sha256({reinterpret_cast<const std::uint8_t*>(migration.data.data()),
                              migration.data.size()})),
              migration.sha256);
  }
  EXPECT_GE(number, 1);
}

/// One sample for each old version: migrations/samples/sqlite/NNNN.sql, made by that version's
/// program.
TEST(Migrations, EveryOldVersionsSampleBecomesTheFreshSchemaAndKeepsItsFacts) {
  kit::Folder folder;
  {
    ASSERT_OK(open_sqlite({.path = folder / "fresh"}));
  }
  const auto fresh = schema_of(folder / "fresh");
  ASSERT_THAT(fresh, ::testing::HasSubstr("CREATE TABLE journal"));
  for (std::size_t version = 1; version <= migrations_sqlite().size(); ++version) {
    std::string name(4, '0');
    name = name.substr(std::to_string(version).size()) + std::to_string(version);
    const auto sql = bytes_of(std::filesystem::path(STORE_SAMPLES) / (name + ".sql"));
    ASSERT_FALSE(sql.empty()) << "no sample of version " << version;
    const auto path = folder / name;
    run_sql(path, sql);
    auto store = open_sqlite({.path = path});
    ASSERT_OK(store);
    EXPECT_VERIFIES(**store);
    EXPECT_EQ(info(**store, person(1)).version, 3U);
    EXPECT_EQ(info(**store, person(2)).version, 1U);
    EXPECT_EQ(info(**store, person(2)).subject, Subject::clinic);
    const auto loaded = kit::load(**store, person(1));
    ASSERT_OK(loaded);
    EXPECT_EQ(std::string((*loaded)[0].bytes.begin(), (*loaded)[0].bytes.end()),
              "primed 2 units, flow seen, number 1");
    EXPECT_TRUE((*loaded)[1].erased);
    const auto blobs = kit::look(**store, [](ReadTx& tx) { return tx.blobs(person(1)); });
    ASSERT_OK(blobs);
    EXPECT_EQ(blobs->size(), version < 2 ? 0U : 2U);
    const auto tagged = kit::look(**store, [](ReadTx& tx) { return tx.tagged("lot/AB12"); });
    ASSERT_OK(tagged);
    EXPECT_EQ(tagged->size(), version < 3 ? 0U : 1U);
    const auto day = kit::look(**store, [](ReadTx& tx) {
      return tx.block(person(1), {1, LocalDay{std::chrono::days{20'543}}});
    });
    ASSERT_OK(day);
    EXPECT_EQ(day->has_value(), version >= 4);
    const auto rows = kit::look(**store, [](ReadTx& tx) { return tx.changed_since({}); });
    ASSERT_OK(rows);
    EXPECT_EQ(rows->rows.size(), 1U);
    EXPECT_NE(rows->now.origin, 0U);
    // Old facts are known, new ones go on from there.
    EXPECT_TRUE(append(**store, person(1), facts(1, 3), 0).has_value());
    ASSERT_OK(append(**store, person(1), {fact(5)}, 3));
    store->reset();
    EXPECT_EQ(schema_of(path), fresh);
  }
}

class MigrationSteps : public SqliteFile {
 protected:
  static constexpr EmbeddedFile next(std::string_view sql) {
    return {"9999_trial.sql", sql, "sum of the trial"};
  }
  Result<void> migrate_with(std::string_view sql) {
    std::vector<EmbeddedFile> steps(migrations_sqlite().begin(), migrations_sqlite().end());
    steps.push_back(next(sql));
    auto connection = connect({.path = path()});
    if (!connection) return connection.error();
    return migrate(**connection, steps);
  }
};

TEST_F(MigrationSteps, AreRunOnceAndInOrder) {
  fill();
  ASSERT_OK(migrate_with("-- Why: a trial\nALTER TABLE setting ADD COLUMN note TEXT;"));
  ASSERT_OK(migrate_with("-- Why: a trial\nALTER TABLE setting ADD COLUMN note TEXT;"));
  EXPECT_THAT(schema_of(path()), ::testing::HasSubstr("note TEXT"));
  // And this program, which does not know the trial, does not touch it any more.
  EXPECT_REFUSED(open_sqlite({.path = path()}), Kind::refused, codes::newer_program);
}

TEST_F(MigrationSteps, AStepThatFailsHalfWayLeavesTheFileAsItWas) {
  fill();
  const auto before = state();
  const auto schema = schema_of(path());
  EXPECT_FALSE(
      migrate_with("-- Why: a trial\nALTER TABLE setting ADD COLUMN note TEXT;\n"
                   "DELETE FROM entry;\nINSERT INTO nowhere VALUES (1);"));
  EXPECT_EQ(schema_of(path()), schema);
  EXPECT_EQ(state(), before);
}

TEST_F(MigrationSteps, AStepThatLeavesOrphansIsNotCommitted) {
  fill();
  const auto before = state();
  // Deferred, the foreign key would only be looked at by the check before the commit.
  const auto refused = migrate_with(
      "-- Why: a trial\nPRAGMA defer_foreign_keys = ON;\nDELETE FROM journal WHERE no = 2;");
  EXPECT_REFUSED(refused, Kind::unavailable, codes::file_damaged);
  EXPECT_EQ(state(), before);
}

TEST_F(MigrationSteps, ReadOnlyAccessToAnOlderSchemaSaysSo) {
  ASSERT_OK(create(*open(), person(1)));
  run_sql(path(), "PRAGMA user_version = 0");
  const auto refused = open_sqlite({.path = path(), .access = Access::read_only});
  EXPECT_REFUSED(refused, Kind::refused, codes::older_schema);
}

}  // namespace
}  // namespace penstock::store
