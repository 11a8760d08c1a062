// Every call that the store makes to the disk fails, first once, then for good; then the power
// goes. After each the store verifies and holds exactly what it held before, or exactly what it
// should hold after.
#include <gmock/gmock.h>

#include <algorithm>
#include <map>
#include <random>
#include <set>

#include "fault/fault_vfs.hpp"
#include "shell/disk/disk.hpp"
#include "support/store_kit.hpp"

namespace penstock::store {
namespace {

using fault::Fault;
using fault::FaultVfs;
using fault::Lasting;
using fault::Unsynced;
using kit::append;
using kit::create;
using kit::fact;
using kit::fact_id;
using kit::facts;
using kit::person;

struct Trouble {
  const char* name;
  Fault fault;
  Lasting lasting;
};
constexpr Trouble troubles[] = {{"InputOutputOnce", Fault::input_output, Lasting::once},
                                {"InputOutputForGood", Fault::input_output, Lasting::for_good},
                                {"DiskFullOnce", Fault::disk_full, Lasting::once},
                                {"DiskFullForGood", Fault::disk_full, Lasting::for_good}};

constexpr int faults_max = 5000;  // no use case here comes near; the loop must end by itself

/// One use case over two journals, with summaries, a setting, an erasure, and a payload of many
/// pages.
Result<void> visit(WriteTx& tx) {
  if (auto done = tx.create_journal(person(2), Subject::clinic); !done) return done;
  if (auto done = tx.append(person(1), facts(50, 3), 5); !done) return done.error();
  if (auto done = tx.append(person(2), {{fact(60, std::string(40'000, 'x'))}}, 0); !done) {
    return done.error();
  }
  for (const auto n : {1U, 2U}) {
    Summary summary;
    summary.journal = person(n);
    summary.search_key = "after the visit";
    if (auto done = tx.put_summary(summary); !done) return done;
  }
  if (auto done = tx.erase_payload(fact_id(2)); !done) return done;
  if (auto done = tx.put_blob(person(1), "image/png", kit::picture(2, 50'000)); !done) {
    return done.error();
  }
  if (auto done = tx.erase_blob(person(1), sha256(kit::picture(1))); !done) return done;
  return tx.put_setting("visits", "1");
}

class StoreFaults : public ::testing::TestWithParam<Trouble> {
 protected:
  void SetUp() override {
    auto store = open_sqlite({.path = base()});
    ASSERT_OK(store);
    ASSERT_OK(create(**store, person(1)));
    ASSERT_OK(append(**store, person(1), facts(1, 5)));
    ASSERT_OK((*store)->write([](WriteTx& tx) -> Result<void> {
      const auto kept = tx.put_blob(person(1), "image/png", kit::picture(1));
      return kept ? Result<void>{} : Result<void>(kept.error());
    }));
    before_ = kit::everything(**store);
    store->reset();
    std::filesystem::copy_file(base(), folder_ / "after");
    auto after = open_sqlite({.path = folder_ / "after"});
    ASSERT_OK(after);
    ASSERT_OK((*after)->write(visit));
    after_ = kit::everything(**after);
    ASSERT_NE(before_, after_);
  }

  std::filesystem::path base() const { return folder_ / "base"; }
  /// Asks for a fresh copy of the base to work on.
  std::filesystem::path fresh() {
    const auto path = folder_ / "work";
    for (const char* ending : {"", "-wal", "-shm", "-journal"}) {
      std::filesystem::remove(path.string() + ending);
    }
    std::filesystem::copy_file(base(), path);
    return path;
  }
  SqliteOptions options(const std::filesystem::path& path) {
    return {.path = path, .busy_timeout = std::chrono::milliseconds{50}, .vfs = vfs_.name()};
  }
  static std::string state_of(const std::filesystem::path& path) {
    auto store = open_sqlite({.path = path});
    if (!store) {
      ADD_FAILURE() << "does not open again: " << store.error().code;
      return {};
    }
    const auto report = (*store)->verify(Marks::leave, {});
    EXPECT_TRUE(report && report->clean());
    return kit::everything(**store);
  }
  /// A refusal of the disk's: what it says, and that it says it clearly.
  void expect_clear(const Error& error) {
    EXPECT_EQ(error.kind, Kind::unavailable) << error.code;
    if (GetParam().fault == Fault::disk_full) {
      EXPECT_EQ(error.code, codes::disk_full);
    } else {
      EXPECT_THAT(error.code,
                  ::testing::AnyOf(codes::io_error, codes::cannot_open, codes::out_of_memory));
    }
    EXPECT_FALSE(error.args.empty());
  }
  void start_failing(int n) { vfs_.fail_at(n, GetParam().fault, GetParam().lasting); }

  kit::Folder folder_{kit::Place::memory};
  FaultVfs vfs_{"store-faults"};
  std::string before_;
  std::string after_;
};
INSTANTIATE_TEST_SUITE_P(Troubles, StoreFaults, ::testing::ValuesIn(troubles),
                         [](const auto& param) { return std::string(param.param.name); });

TEST_P(StoreFaults, H21_OpeningAndWritingLeaveBeforeOrAfter) {
  int n = 1;
  int refused = 0;
  for (; n < faults_max; ++n) {
    SCOPED_TRACE("call " + std::to_string(n));
    const auto path = fresh();
    bool acknowledged = false;
    start_failing(n);
    {
      auto store = open_sqlite(options(path));
      if (!store) {
        expect_clear(store.error());
        ++refused;
      } else if (const auto written = (*store)->write(visit); !written) {
        expect_clear(written.error());
        ++refused;
      } else {
        acknowledged = true;
      }
    }
    const bool met = vfs_.has_failed();
    vfs_.stop_failing();
    const auto state = state_of(path);
    if (acknowledged) {
      ASSERT_EQ(state, after_);
    } else {
      ASSERT_TRUE(state == before_ || state == after_) << state;
    }
    if (!met) break;
  }
  ASSERT_LT(n, faults_max);
  EXPECT_GT(refused, 3);  // the layer did make it fail
  std::printf("[ faults   ] %d calls, %d refusals\n", n - 1, refused);
}

TEST_P(StoreFaults, H21_AStoreGoesOnWhenTheTroubleIsOver) {
  for (int n = 1; n < faults_max; ++n) {
    SCOPED_TRACE("call " + std::to_string(n));
    const auto path = fresh();
    auto store = open_sqlite(options(path));
    ASSERT_OK(store);
    start_failing(n);
    const auto written = (*store)->write(visit);
    const bool met = vfs_.has_failed();
    vfs_.stop_failing();
    if (!written) {
      expect_clear(written.error());
      // Nothing half-written is seen by those who go on reading.
      ASSERT_EQ(kit::everything(**store), before_);
      // The same use case again, as a person presses the button again.
      ASSERT_OK((*store)->write(visit));
    }
    ASSERT_EQ(kit::everything(**store), after_);
    EXPECT_VERIFIES(**store);
    if (!met) return;
  }
  FAIL() << "no end of calls";
}

TEST_P(StoreFaults, H21_ANewStoreIsThereOrNot) {
  for (int n = 1; n < faults_max; ++n) {
    SCOPED_TRACE("call " + std::to_string(n));
    const kit::Folder folder(kit::Place::memory);
    const auto path = folder / "new";
    bool acknowledged = false;
    start_failing(n);
    {
      auto store = open_sqlite(options(path));
      if (!store) expect_clear(store.error());
      acknowledged = store && create(**store, person(1)).has_value();
    }
    const bool met = vfs_.has_failed();
    vfs_.stop_failing();
    auto again = open_sqlite({.path = path});
    ASSERT_OK(again);
    EXPECT_VERIFIES(**again);
    if (acknowledged) {
      ASSERT_EQ(kit::journals(**again)->size(), 1U);
    }
    if (!met) return;
  }
  FAIL() << "no end of calls";
}

TEST_P(StoreFaults, H21_AReadEitherAnswersRightOrSaysThatItCannot) {
  const auto path = fresh();
  for (int n = 1; n < faults_max; ++n) {
    SCOPED_TRACE("call " + std::to_string(n));
    auto store = open_sqlite(options(path));
    ASSERT_OK(store);
    start_failing(n);
    const auto loaded = kit::load(**store, person(1));
    const bool met = vfs_.has_failed();
    vfs_.stop_failing();
    if (loaded) {
      ASSERT_EQ(loaded->size(), 5U);
    } else {
      expect_clear(loaded.error());
      ASSERT_EQ(kit::load(**store, person(1))->size(), 5U);
    }
    if (!met) return;
  }
  FAIL() << "no end of calls";
}

TEST_P(StoreFaults, H21_ABackupIsWholeOrNotThere) {
  for (int n = 1; n < faults_max; ++n) {
    SCOPED_TRACE("call " + std::to_string(n));
    const auto path = fresh();
    const kit::Folder out(kit::Place::memory);
    start_failing(n);
    const auto backup = backup_sqlite(options(path), out / "backup", {});
    const bool met = vfs_.has_failed();
    vfs_.stop_failing();
    if (backup) {
      ASSERT_EQ(state_of(out / "backup"), before_);
    } else {
      expect_clear(backup.error());
      ASSERT_TRUE(std::filesystem::is_empty(out.path()));
    }
    ASSERT_EQ(state_of(path), before_);
    if (!met) return;
  }
  FAIL() << "no end of calls";
}

TEST_P(StoreFaults, H21_ARestoreReplacesWhollyOrNotAtAll) {
  ASSERT_OK(backup_sqlite({.path = folder_ / "after"}, folder_ / "backup", {}));
  for (int n = 1; n < faults_max; ++n) {
    SCOPED_TRACE("call " + std::to_string(n));
    const auto path = fresh();
    start_failing(n);
    const auto restored = restore_sqlite(folder_ / "backup", options(path), Overwrite::replace, {});
    const bool met = vfs_.has_failed();
    vfs_.stop_failing();
    if (!restored) expect_clear(restored.error());
    const auto state = state_of(path);
    ASSERT_TRUE(state == before_ || state == after_);
    ASSERT_EQ(restored.has_value(), state == after_);
    for (const auto& left : std::filesystem::directory_iterator(folder_.path())) {
      ASSERT_EQ(left.path().string().find(".part-"), std::string::npos) << left.path();
    }
    if (!met) return;
  }
  FAIL() << "no end of calls";
}

TEST(StoreDiskFull, H21_ALargeWriteOnAFullDiskIsRefusedAndLeavesNothing) {
  kit::Folder folder(kit::Place::memory);
  FaultVfs vfs("store-disk-full");
  auto store = open_sqlite({.path = folder / "clinic", .vfs = vfs.name()});
  ASSERT_OK(store);
  ASSERT_OK(create(**store, person(1)));
  ASSERT_OK(append(**store, person(1), facts(1, 3)));
  const auto before = kit::everything(**store);
  // More than the page cache holds: pages are written before the commit, and must not count.
  const auto large = [](WriteTx& tx) -> Result<void> {
    for (std::uint64_t n = 10; n < 50; ++n) {
      auto done = tx.append(person(1), {{fact(n, std::string(1'000'000, 'y'))}}, std::nullopt);
      if (!done) return done.error();
    }
    return {};
  };
  vfs.fail_at(5000, Fault::disk_full, Lasting::for_good);
  const auto refused = (*store)->write(large);
  ASSERT_TRUE(vfs.has_failed());
  EXPECT_REFUSED(refused, Kind::unavailable, codes::disk_full);
  EXPECT_EQ(kit::everything(**store), before);
  // Still full: a small write is refused, too, and reading goes on.
  EXPECT_REFUSED(append(**store, person(1), facts(4, 1)), Kind::unavailable, codes::disk_full);
  EXPECT_EQ(kit::load(**store, person(1))->size(), 3U);
  vfs.stop_failing();
  ASSERT_OK(append(**store, person(1), facts(4, 1), 3));
  EXPECT_VERIFIES(**store);
}

// ---- the power goes

struct Acknowledged {
  std::set<std::uint64_t>
      pairs;  // fact numbers; each stands in both journals, as n and n + 1'000'000
  std::uint64_t last_tried = 0;
  std::size_t reopened = 0;
};

/// Writes pairs of facts until the power goes; now and then closes the store and opens it again.
void write_until_dark(const SqliteOptions& options, const FaultVfs& vfs, std::mt19937& dice,
                      unsigned large_bytes, Acknowledged& out) {
  while (!vfs.power_is_off()) {
    auto store = open_sqlite(options);
    if (!store) return;
    ++out.reopened;
    const auto writes = 1 + dice() % 60;
    for (unsigned i = 0; i < writes && !vfs.power_is_off(); ++i) {
      const auto n = ++out.last_tried;
      const std::string content(dice() % 4 == 0 ? dice() % large_bytes : dice() % 300, 'p');
      const auto written = (*store)->write([&](WriteTx& tx) -> Result<void> {
        for (const auto p : {1U, 2U}) {
          if (auto done = tx.create_journal(person(p), Subject::person); !done) return done;
          auto done =
              tx.append(person(p), {{fact(n + (p - 1) * 1'000'000, content)}}, std::nullopt);
          if (!done) return done.error();
        }
        // A picture stands or falls with the fact beside it.
        const auto kept = tx.put_blob(person(1), "image/png", kit::picture(n, dice() % 20'000));
        if (!kept) return kept.error();
        return {};
      });
      if (written) out.pairs.insert(n);
    }
  }
}

void expect_all_there(Store& store, const Acknowledged& acknowledged) {
  EXPECT_VERIFIES(store);
  std::map<std::uint64_t, int> found;
  for (const auto p : {1U, 2U}) {
    const auto loaded = kit::load(store, person(p));
    if (!loaded) {
      EXPECT_EQ(loaded.error().code, codes::no_journal);
      continue;
    }
    for (const auto& f : *loaded) ++found[f.fact.low - (p - 1) * 1'000'000];
  }
  for (const auto& [n, count] : found) {
    EXPECT_EQ(count, 2) << "half of pair " << n;
    EXPECT_LE(n, acknowledged.last_tried);
  }
  const auto pictures = kit::look(store, [](ReadTx& tx) { return tx.blobs(person(1)); });
  EXPECT_TRUE(pictures.has_value());
  EXPECT_EQ(pictures->size(), found.size()) << "a picture without its fact, or the other way";
  for (const auto n : acknowledged.pairs) EXPECT_TRUE(found.contains(n)) << "lost: " << n;
}

class StorePowerCut : public ::testing::TestWithParam<Unsynced> {};
INSTANTIATE_TEST_SUITE_P(Disks, StorePowerCut,
                         ::testing::Values(Unsynced::all_lost, Unsynced::some_kept),
                         [](const auto& param) {
                           return param.param == Unsynced::all_lost ? "AllUnsyncedIsLost"
                                                                    : "SomeUnsyncedIsKept";
                         });

TEST_P(StorePowerCut, H21_NoAcknowledgedFactIsLost) {
  std::size_t acknowledged_in_all = 0;
  std::size_t reopened_in_all = 0;
  constexpr unsigned lives = 2;
  for (unsigned seed = 1; seed <= PENSTOCK_POWER_CUTS / lives; ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    std::mt19937 dice(seed);
    const kit::Folder folder(kit::Place::memory);
    const auto path = folder / "clinic";
    FaultVfs vfs("store-power");
    Acknowledged acknowledged;
    // Every twentieth run writes enough for the log to be folded into the file while it is written.
    const unsigned large_bytes = seed % 20 == 0 ? 600'000 : 30'000;
    // Twice over the same file: the second life starts from what the first cut left.
    for (unsigned life = 0; life < lives; ++life) {
      vfs.remember_syncs();
      vfs.cut_power_at(static_cast<int>(1 + dice() % (seed % 3 == 0 ? 200 : 3000)));
      write_until_dark({.path = path, .vfs = vfs.name()}, vfs, dice, large_bytes, acknowledged);
      vfs.leave_what_was_synced(static_cast<unsigned>(dice()), GetParam());
      if (!std::filesystem::exists(path)) {
        ASSERT_TRUE(acknowledged.pairs.empty());
        continue;
      }
      auto store = open_sqlite({.path = path});
      ASSERT_OK(store);
      expect_all_there(**store, acknowledged);
      if (::testing::Test::HasFailure()) return;
    }
    acknowledged_in_all += acknowledged.pairs.size();
    reopened_in_all += acknowledged.reopened;
  }
  EXPECT_GT(acknowledged_in_all, PENSTOCK_POWER_CUTS * 5U);
  std::printf("[ power    ] %zu pairs acknowledged, %zu times opened\n", acknowledged_in_all,
              reopened_in_all);
}

/// The judge is judged: without syncing, the same layer does lose what was committed.
TEST(StorePowerCutLayer, LosesWhatWasNotSynced) {
  const kit::Folder folder(kit::Place::memory);
  const auto path = (folder / "careless").string();
  FaultVfs vfs("store-careless");
  vfs.remember_syncs();
  sqlite3* db = nullptr;
  ASSERT_EQ(
      sqlite3_open_v2(path.c_str(), &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE, vfs.name()),
      SQLITE_OK);
  const auto run = [&](const char* sql) {
    return sqlite3_exec(db, sql, nullptr, nullptr, nullptr);
  };
  ASSERT_EQ(run("PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; CREATE TABLE t (x);"
                "INSERT INTO t VALUES (1); PRAGMA synchronous = OFF;"
                "INSERT INTO t VALUES (2), (3);"),
            SQLITE_OK);
  vfs.cut_power_at(1);
  sqlite3_close(db);
  vfs.leave_what_was_synced(1, Unsynced::all_lost);
  ASSERT_EQ(sqlite3_open(path.c_str(), &db), SQLITE_OK);
  sqlite3_stmt* statement = nullptr;
  ASSERT_EQ(sqlite3_prepare_v2(db, "SELECT count(*) FROM t", -1, &statement, nullptr), SQLITE_OK);
  ASSERT_EQ(sqlite3_step(statement), SQLITE_ROW);
  EXPECT_EQ(sqlite3_column_int(statement, 0), 1);
  sqlite3_finalize(statement);
  sqlite3_close(db);
}

}  // namespace
}  // namespace penstock::store
