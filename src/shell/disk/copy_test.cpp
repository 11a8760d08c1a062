// Backup and restore: whole or not at all, and never over something that was not meant.
#include <gmock/gmock.h>
#include <sqlite3.h>

#include <atomic>
#include <cerrno>
#include <fstream>
#include <thread>

#include "shell/disk/disk.hpp"
#include "shell/disk/files/files.hpp"
#include "support/store_kit.hpp"

namespace penstock::store {
namespace {

using kit::append;
using kit::create;
using kit::fact;
using kit::facts;
using kit::info;
using kit::person;

class StoreCopies : public ::testing::Test {
 protected:
  void SetUp() override {
    calls_ = file_calls();
    auto store = open_sqlite(clinic());
    ASSERT_OK(store);
    ASSERT_OK(create(**store, person(1)));
    ASSERT_OK(create(**store, person(2), Subject::clinic));
    ASSERT_OK(append(**store, person(1), facts(1, 30)));
    ASSERT_OK(append(**store, person(2), facts(100, 5)));
    ASSERT_OK((*store)->write([](WriteTx& tx) -> Result<void> {
      for (const auto n : {1U, 2U}) {
        const auto kept = tx.put_blob(person(1), "image/png", kit::picture(n, 50'000));
        if (!kept) return kept.error();
      }
      return tx.erase_blob(person(1), sha256(kit::picture(2, 50'000)));
    }));
    before_ = kit::everything(**store);
  }
  void TearDown() override { file_calls() = calls_; }

  SqliteOptions clinic() const {
    return {.path = folder_ / "clinic.penstock", .busy_timeout = std::chrono::milliseconds{100}};
  }
  SqliteOptions other() const {
    return {.path = folder_ / "other.penstock", .busy_timeout = std::chrono::milliseconds{100}};
  }
  std::filesystem::path backup_path() const { return folder_ / "backup"; }
  Result<CopyReport> backup() { return backup_sqlite(clinic(), backup_path(), {}); }

  static std::string state(const SqliteOptions& options) {
    auto store = open_sqlite(options);
    if (!store) return store.error().code;
    expect_sound(**store);
    return kit::everything(**store);
  }
  static void expect_sound(Store& store) {
    const auto report = store.verify(Marks::leave, {});
    EXPECT_TRUE(report && report->clean());
  }
  std::vector<std::string> files() const {
    std::vector<std::string> out;
    for (const auto& entry : std::filesystem::directory_iterator(folder_.path())) {
      out.push_back(entry.path().filename().string());
    }
    return out;
  }
  static void damage(const std::filesystem::path& path, const char* sql) {
    sqlite3* db = nullptr;
    ASSERT_EQ(sqlite3_open(path.c_str(), &db), SQLITE_OK);
    EXPECT_EQ(sqlite3_exec(db, sql, nullptr, nullptr, nullptr), SQLITE_OK);
    sqlite3_close(db);
  }

  kit::Folder folder_;
  FileCalls calls_;
  std::string before_;
};

// The attack of the day: each record that is written takes the others' content away.
constexpr const char* trigger =
    "CREATE TRIGGER x AFTER INSERT ON entry BEGIN UPDATE entry SET bytes = NULL; "
    "DELETE FROM journal_tag; END";

TEST_F(StoreCopies, H21_S7_ABackupThatBringsSqlOfItsOwnIsNotRestored) {
  ASSERT_OK(backup());
  for (const auto* sql :
       {trigger, "CREATE VIEW v AS SELECT * FROM entry", "CREATE INDEX i ON entry (bytes)",
        "ALTER TABLE setting ADD COLUMN more TEXT", "DROP INDEX summary_by_key",
        "DROP TABLE journal_tag; CREATE TABLE journal_tag (tag TEXT)"}) {
    const auto prepared = folder_ / "prepared";
    std::filesystem::remove(prepared);
    std::filesystem::copy_file(backup_path(), prepared);
    damage(prepared, sql);
    EXPECT_REFUSED(restore_sqlite(prepared, clinic(), Overwrite::replace, {}), Kind::refused,
                   codes::schema_changed);
    EXPECT_REFUSED(open_sqlite({.path = prepared}), Kind::refused, codes::schema_changed);
    EXPECT_EQ(state(clinic()), before_) << sql;
  }
}

TEST_F(StoreCopies, H21_S7_ATriggerThatComesWhileTheFileIsOpenDoesNotRun) {
  auto store = open_sqlite(clinic());
  ASSERT_OK(store);
  damage(clinic().path, trigger);
  ASSERT_OK(append(**store, person(1), facts(40, 1)));
  const auto loaded = kit::load(**store, person(1));
  ASSERT_OK(loaded);
  for (const auto& fact : *loaded) EXPECT_FALSE(fact.erased);
}

TEST_F(StoreCopies, ABackupHoldsWhatTheStoreHeldAndSaysItsHeads) {
  std::vector<Progress> seen;
  const auto report = backup_sqlite(clinic(), backup_path(),
                                    [&](const Progress& progress) { seen.push_back(progress); });
  ASSERT_OK(report);
  EXPECT_EQ(report->bytes, std::filesystem::file_size(backup_path()));
  ASSERT_EQ(report->verified.journals.size(), 2U);
  auto store = open_sqlite(clinic());
  ASSERT_OK(store);
  for (const auto& journal : report->verified.journals) {
    EXPECT_EQ(journal.head, info(**store, journal.journal).head);
  }
  ASSERT_FALSE(seen.empty());
  EXPECT_EQ(seen.front().stage, Progress::Stage::copying);
  EXPECT_EQ(seen.back().stage, Progress::Stage::verifying);
  EXPECT_EQ(seen.back().done, 35U);
  // One file, nothing beside it, and only its owner reads it.
  EXPECT_THAT(files(), ::testing::Not(::testing::Contains(::testing::StartsWith("backup-"))));
  const auto rights = std::filesystem::status(backup_path()).permissions();
  EXPECT_EQ(rights, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write);
  EXPECT_EQ(state({.path = backup_path()}), before_);
}

TEST_F(StoreCopies, H21_ABackupHoldsThePicturesAndARestoreBringsThemBack) {
  const auto report = backup();
  ASSERT_OK(report);
  EXPECT_EQ(report->verified.blobs, 1U);
  EXPECT_EQ(report->verified.blobs_erased, 1U);
  ASSERT_OK(restore_sqlite(backup_path(), other(), Overwrite::refuse, {}));
  auto restored = open_sqlite(other());
  ASSERT_OK(restored);
  const auto bytes = kit::picture(1, 50'000);
  const auto there =
      kit::look(**restored, [&](ReadTx& tx) { return tx.blob(person(1), sha256(bytes)); });
  ASSERT_OK(there);
  ASSERT_TRUE(there->has_value());
  EXPECT_EQ((*there)->bytes, bytes);
}

TEST_F(StoreCopies, AStoreWithADamagedPictureIsBackedUpAllTheSame) {
  damage(clinic().path, "UPDATE blob SET bytes = x'00' WHERE bytes IS NOT NULL");
  const auto report = backup();
  ASSERT_OK(report);
  EXPECT_EQ(report->verified.blobs_damaged, 1U);
  EXPECT_FALSE(report->verified.clean());
}

TEST_F(StoreCopies, ABackupIsTakenWhileTheStoreIsWrittenAndIsOneMoment) {
  auto store = open_sqlite(clinic());
  ASSERT_OK(store);
  std::atomic<bool> stop = false;
  std::thread writer([&] {
    for (std::uint64_t n = 1000; !stop; n += 2) {
      static_cast<void>((*store)->write([&](WriteTx& tx) -> Result<void> {
        for (const auto p : {1U, 2U}) {
          if (auto done = tx.append(person(p), {{fact(n + p - 1)}}, std::nullopt); !done) {
            return done.error();
          }
        }
        return {};
      }));
    }
  });
  for (int i = 0; i < 10; ++i) {
    const auto path = folder_ / ("backup" + std::to_string(i));
    const auto report = backup_sqlite({.path = clinic().path}, path, {});
    ASSERT_OK(report);
    // Both journals grow in one transaction, so their difference never changes.
    EXPECT_EQ(report->verified.journals[0].version, report->verified.journals[1].version + 25);
  }
  stop = true;
  writer.join();
}

TEST_F(StoreCopies, ABackupNeverReplacesAFile) {
  std::ofstream(backup_path()) << "something";
  EXPECT_REFUSED(backup(), Kind::refused, codes::would_overwrite);
  EXPECT_EQ(std::filesystem::file_size(backup_path()), 9U);
  EXPECT_REFUSED(backup_sqlite({.path = folder_ / "none"}, folder_ / "b", {}), Kind::not_found,
                 codes::no_file);
  EXPECT_FALSE(std::filesystem::exists(folder_ / "none"));
  EXPECT_REFUSED(backup_sqlite(clinic(), folder_ / "none/b", {}), Kind::unavailable,
                 codes::cannot_open);
}

TEST_F(StoreCopies, ADamagedJournalIsBackedUpMarkedWithTheOthers) {
  damage(clinic().path, "UPDATE entry SET bytes = x'00' WHERE journal_no = 1 AND position = 3");
  const auto report = backup();
  ASSERT_OK(report);
  EXPECT_FALSE(report->verified.clean());
  EXPECT_EQ(report->verified.journals[0].read_only_because, codes::digest_wrong);
  EXPECT_EQ(report->verified.journals[1].read_only_because, "");
  // Known and marked, it can be restored with the others.
  ASSERT_OK(restore_sqlite(backup_path(), other(), Overwrite::refuse, {}));
}

TEST_F(StoreCopies, ARestoredStoreIsTheOldOneAgain) {
  ASSERT_OK(backup());
  const auto report = restore_sqlite(backup_path(), other(), Overwrite::refuse, {});
  ASSERT_OK(report);
  EXPECT_EQ(report->verified.entries, 35U);
  EXPECT_EQ(state(other()), before_);
  auto store = open_sqlite(other());
  ASSERT_OK(store);
  ASSERT_OK(append(**store, person(1), facts(31, 1), 30));  // and goes on
}

TEST_F(StoreCopies, AStoreWithJournalsIsOnlyReplacedWhenAsked) {
  ASSERT_OK(backup());
  {
    auto store = open_sqlite(clinic());
    ASSERT_OK(append(**store, person(1), facts(50, 1)));
  }
  const auto later = state(clinic());
  EXPECT_REFUSED(restore_sqlite(backup_path(), clinic(), Overwrite::refuse, {}), Kind::refused,
                 codes::would_overwrite);
  EXPECT_EQ(state(clinic()), later);
  ASSERT_OK(restore_sqlite(backup_path(), clinic(), Overwrite::replace, {}));
  EXPECT_EQ(state(clinic()), before_);
  // An empty store holds nothing that could be lost.
  {
    ASSERT_OK(open_sqlite(other()));
  }
  ASSERT_OK(restore_sqlite(backup_path(), other(), Overwrite::refuse, {}));
  EXPECT_EQ(state(other()), before_);
}

TEST_F(StoreCopies, H21_WhatIsFoundAgainstACopyKeepsItFromAStoreThatCanBeRead) {
  ASSERT_OK(backup());
  {
    auto store = open_sqlite(clinic());
    ASSERT_OK(append(**store, person(1), facts(50, 1)));
  }
  const auto later = state(clinic());
  int looked = 0;
  const auto refuse = [&](const std::filesystem::path& copy) -> Result<void> {
    EXPECT_EQ(state({.path = copy, .access = Access::read_only}), before_);
    ++looked;
    return Error{Kind::refused, "found", {}, ""};
  };
  EXPECT_REFUSED(restore_sqlite(backup_path(), clinic(), Overwrite::replace, {}, refuse),
                 Kind::refused, "found");
  EXPECT_EQ(looked, 1);
  EXPECT_EQ(state(clinic()), later);
  EXPECT_FALSE(std::filesystem::exists(clinic().path.string() + ".replaced-1"));
  // It may be all that there is.
  ASSERT_OK(restore_sqlite(backup_path(), other(), Overwrite::refuse, {}, refuse));
  EXPECT_EQ(looked, 1);
}

// What was acknowledged and is not in the copy is counted, and the file that has it stays.
TEST_F(StoreCopies, H21_WhatARestoreReplacesIsKeptAndWhatGoesWithItIsCounted) {
  ASSERT_OK(backup());
  const auto same = restore_sqlite(backup_path(), clinic(), Overwrite::replace, {});
  ASSERT_OK(same);
  EXPECT_EQ(same->entries_gone, 0U);
  {
    auto store = open_sqlite(clinic());
    ASSERT_OK(append(**store, person(1), facts(50, 2)));
  }
  const auto later = state(clinic());
  const auto replaced = restore_sqlite(backup_path(), clinic(), Overwrite::replace, {});
  ASSERT_OK(replaced);
  EXPECT_EQ(replaced->entries_gone, 2U);
  EXPECT_NE(replaced->kept, same->kept);
  EXPECT_EQ(state(clinic()), before_);
  EXPECT_EQ(state({.path = replaced->kept}), later);
  const auto fresh = restore_sqlite(backup_path(), other(), Overwrite::refuse, {});
  ASSERT_OK(fresh);
  EXPECT_EQ(fresh->kept, "");
}

TEST_F(StoreCopies, H21_ABackupIsNotCalledAsALogThatTheDatabaseRemoves) {
  for (const auto* ending : {"-journal", "-wal", "-shm"}) {
    EXPECT_REFUSED(backup_sqlite(clinic(), clinic().path.string() + ending, {}), Kind::refused,
                   codes::name_of_log);
    EXPECT_REFUSED(backup_sqlite(clinic(), folder_ / (std::string("other") + ending), {}),
                   Kind::refused, codes::name_of_log);
  }
}

TEST_F(StoreCopies, H29_WhatAKilledCopyLeftGoesAwayWithTheNextOne) {
  ASSERT_OK(backup());
  const auto left = folder_ / "older.part-Ab12Cd", in_use = folder_ / "other.part-Ab12Cd";
  for (const auto& part : {left, in_use}) std::filesystem::copy_file(backup_path(), part);
  std::ofstream(left.string() + "-wal") << "log";
  std::ofstream(folder_ / "thesis.part-Ab12Cd") << "somebody else's";
  {
    const TemporaryFile held(in_use);
    ASSERT_OK(restore_sqlite(backup_path(), clinic(), Overwrite::replace, {}));
    EXPECT_FALSE(std::filesystem::exists(left));
    EXPECT_FALSE(std::filesystem::exists(left.string() + "-wal"));
    EXPECT_TRUE(std::filesystem::exists(in_use));
  }
  EXPECT_TRUE(std::filesystem::exists(folder_ / "thesis.part-Ab12Cd"));
  EXPECT_EQ(state(clinic()), before_);
}

TEST_F(StoreCopies, AStoreThatSomebodyHasOpenIsNotReplaced) {
  ASSERT_OK(backup());
  auto store = open_sqlite(clinic());
  ASSERT_OK(store);
  ASSERT_OK(append(**store, person(1), facts(50, 1)));
  EXPECT_REFUSED(restore_sqlite(backup_path(), clinic(), Overwrite::replace, {}), Kind::conflict,
                 codes::in_use);
  ASSERT_OK(append(**store, person(1), facts(51, 1), 31));
  EXPECT_VERIFIES(**store);
}

TEST_F(StoreCopies, ADamagedBackupIsRefusedAndTheStoreStands) {
  ASSERT_OK(backup());
  const auto untouched = [&](std::string_view code) {
    const auto refused = restore_sqlite(backup_path(), clinic(), Overwrite::replace, {});
    ASSERT_FALSE(refused.has_value());
    EXPECT_EQ(refused.error().code, code);
    EXPECT_EQ(state(clinic()), before_);
    EXPECT_THAT(files(), ::testing::Each(::testing::Not(::testing::HasSubstr(".part"))));
  };
  damage(backup_path(), "UPDATE entry SET bytes = x'00' WHERE journal_no = 1 AND position = 30");
  untouched(codes::backup_damaged);
  {
    std::fstream file(backup_path(), std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(3 * 4096);
    file << std::string(4096, 'Z');
  }
  untouched(codes::backup_damaged);
  std::ofstream(backup_path()) << std::string(10'000, 'n');
  untouched(codes::not_ours);
  std::filesystem::remove(backup_path());
  untouched(codes::no_file);
}

TEST_F(StoreCopies, AStoreThatCannotBeReadAnyMoreCanBeReplaced) {
  ASSERT_OK(backup());
  std::ofstream(clinic().path) << std::string(50'000, 'n');
  std::ofstream(clinic().path.string() + "-wal") << std::string(50'000, 'w');
  EXPECT_REFUSED(restore_sqlite(backup_path(), clinic(), Overwrite::refuse, {}), Kind::refused,
                 codes::would_overwrite);
  ASSERT_OK(restore_sqlite(backup_path(), clinic(), Overwrite::replace, {}));
  EXPECT_EQ(state(clinic()), before_);
}

TEST_F(StoreCopies, ADatabaseOfSomethingElseIsNeverReplaced) {
  ASSERT_OK(backup());
  damage(folder_ / "recipes", "CREATE TABLE recipe (name TEXT)");
  EXPECT_REFUSED(
      restore_sqlite(backup_path(), {.path = folder_ / "recipes"}, Overwrite::replace, {}),
      Kind::refused, codes::not_ours);
}

// ---- the calls besides SQLite's

int fail_in = 0;
int failing_errno = 0;
bool fails() {
  if (--fail_in != 0) return false;
  errno = failing_errno;
  return true;
}

TEST_F(StoreCopies, H21_WhenSyncingOrMovingFailsNothingIsHalfDone) {
  file_calls() = {.sync = [](int descriptor) { return fails() ? -1 : ::fsync(descriptor); },
                  .move =
                      [](const char* from, const char* to, bool replace) {
                        if (fails()) return -1;
                        if (replace) return ::rename(from, to);
                        return ::link(from, to) != 0 ? -1 : ::unlink(from);
                      }};
  for (const auto& [number, code] :
       {std::pair(EIO, codes::io_error), std::pair(ENOSPC, codes::disk_full)}) {
    failing_errno = number;
    int refusals = 0;
    for (int n = 1;; ++n) {
      ASSERT_LT(n, 20);
      std::filesystem::remove(backup_path());
      fail_in = n;
      const auto report = backup();
      const bool met = fail_in <= 0;
      fail_in = 0;
      if (report && !met) break;
      ASSERT_TRUE(met);
      ++refusals;
      EXPECT_REFUSED(report, Kind::unavailable, code);
      EXPECT_FALSE(std::filesystem::exists(backup_path()));
      EXPECT_THAT(files(), ::testing::Each(::testing::Not(::testing::HasSubstr(".part"))));
    }
    EXPECT_GE(refusals, 3);  // the file, the move, the folder
  }
}

}  // namespace
}  // namespace penstock::store
