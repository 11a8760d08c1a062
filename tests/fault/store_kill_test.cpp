// A real process writes; it is killed at a random moment, with a signal that it cannot catch.
// Whatever it had acknowledged is there.
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <map>
#include <random>
#include <set>
#include <thread>

#include "shell/disk/disk.hpp"
#include "support/store_kit.hpp"

extern char** environ;

namespace penstock::store {
namespace {

/// A running writer, with the pipe on which it acknowledges.
class Writer {
 public:
  Writer(const std::filesystem::path& file, std::uint64_t first) {
    int ends[2];
    if (::pipe2(ends, O_CLOEXEC) != 0) std::abort();
    // Room for all that it can say before it is killed: it never waits for the reader.
    ::fcntl(ends[1], F_SETPIPE_SZ, 1 << 20);
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    std::string program = STORE_WRITER;
    std::string path = file.string();
    std::string number = std::to_string(first);
    char* arguments[] = {program.data(), path.data(), number.data(), nullptr};
    if (::posix_spawn(&pid_, program.c_str(), &actions, nullptr, arguments, environ) != 0) {
      std::abort();
    }
    posix_spawn_file_actions_destroy(&actions);
    ::close(ends[1]);
    pipe_ = ends[0];
  }
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;
  ~Writer() {
    if (pid_ > 0) kill();
    ::close(pipe_);
  }

  void wait_for_first() const {
    pollfd waiting{pipe_, POLLIN, 0};
    ::poll(&waiting, 1, 10'000);
  }

  /// Returns how it ended.
  int kill() {
    int status = 0;
    ::kill(pid_, SIGKILL);
    ::waitpid(pid_, &status, 0);
    pid_ = -1;
    return status;
  }
  std::set<std::uint64_t> acknowledged() {
    std::set<std::uint64_t> out;
    std::uint64_t n = 0;
    while (::read(pipe_, &n, sizeof n) == static_cast<ssize_t>(sizeof n)) out.insert(n);
    return out;
  }

 private:
  pid_t pid_ = -1;
  int pipe_ = -1;
};

/// Every acknowledged visit is there; every visit that is there is whole.
void expect_whole(Store& store, const std::set<std::uint64_t>& acknowledged) {
  EXPECT_VERIFIES(store);
  std::map<std::uint64_t, int> found;
  for (const auto p : {1U, 2U}) {
    const auto loaded = kit::load(store, kit::person(p));
    if (!loaded) {
      EXPECT_EQ(loaded.error().code, codes::no_journal);
      continue;
    }
    for (const auto& f : *loaded) {
      ++found[f.fact.low / 2];
      const auto sent = kit::fact(f.fact.low);
      EXPECT_TRUE(std::equal(f.bytes.begin(), f.bytes.end(), sent.bytes.begin(), sent.bytes.end()));
    }
    if (p == 1) {
      const auto summary = kit::look(store, [](ReadTx& tx) { return tx.summary(kit::person(1)); });
      ASSERT_TRUE(summary && *summary);
      EXPECT_EQ((*summary)->journal_version, loaded->size());
    }
  }
  for (const auto& [n, count] : found) EXPECT_EQ(count, 2) << "half of visit " << n;
  for (const auto n : acknowledged) EXPECT_TRUE(found.contains(n)) << "lost: visit " << n;
}

TEST(StoreKilled, H21_AWriterKilledAtRandomLosesNothingThatItAcknowledged) {
  const unsigned seed = 20'270'316;
  std::mt19937 dice(seed);
  std::size_t acknowledged_in_all = 0;
  int before_first = 0;
  std::uint64_t next = 1;
  std::optional<kit::Folder> folder;
  std::set<std::uint64_t> acknowledged;
  for (int run = 0; run < PENSTOCK_KILL_RUNS; ++run) {
    SCOPED_TRACE("seed " + std::to_string(seed) + ", run " + std::to_string(run));
    constexpr int runs_a_file =
        10;  // so that most start from what a killed one left, and none grows long
    if (run % runs_a_file == 0) {
      folder.emplace();
      acknowledged.clear();
    }
    const auto path = *folder / "clinic.penstock";
    Writer first(path, next += 1'000'000);
    // Every fourth time two programs write at once.
    std::optional<Writer> second;
    if (run % 4 == 3) second.emplace(path, next += 1'000'000);
    // Every fifth time it may be killed while it still opens the store; otherwise some time after
    // its first visit.
    if (run % 5 != 0) first.wait_for_first();
    std::this_thread::sleep_for(std::chrono::microseconds(dice() % 30'000));
    for (Writer* writer : {&first, second ? &*second : nullptr}) {
      if (writer == nullptr) continue;
      const int status = writer->kill();
      ASSERT_TRUE(WIFSIGNALED(status)) << "it ended by itself: " << WEXITSTATUS(status);
      const auto said = writer->acknowledged();
      acknowledged_in_all += said.size();
      before_first += said.empty() ? 1 : 0;
      acknowledged.insert(said.begin(), said.end());
    }
    auto store = open_sqlite({.path = path});
    ASSERT_OK(store);
    expect_whole(**store, acknowledged);
    if (::testing::Test::HasFailure()) return;
  }
  EXPECT_GT(acknowledged_in_all, static_cast<std::size_t>(PENSTOCK_KILL_RUNS));
  std::printf("[ kills    ] %d runs, %zu visits acknowledged, %d killed before their first\n",
              PENSTOCK_KILL_RUNS, acknowledged_in_all, before_first);
}

}  // namespace
}  // namespace penstock::store
