// Question: is one year of a person's journal read in a few milliseconds, and how many single
// acknowledged writes a second can a clinic make? Budget: 6'000 facts (sixteen a day) loaded in 3
// ms; a write acknowledged, synced to the disk, in the time that the disk's own sync takes and a
// tenth of a millisecond more (CommitOfOneFact against SyncAlone); an import of 2'000 lines in
// under 100 ms; a People page of 5'000 summaries searched in 10 ms.
#include <benchmark/benchmark.h>
#include <fcntl.h>
#include <stdlib.h>
#include <unistd.h>

#include <filesystem>
#include <string>

#include "shell/disk/disk.hpp"
#include "shell/store/store.hpp"

namespace penstock::store {
namespace {

constexpr std::uint64_t year_facts = 6'000;
constexpr std::size_t fact_bytes = 160;  // an injection with its place, who gave it and who told

class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "bench-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) std::abort();
    path_ = name;
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { std::filesystem::remove_all(path_); }
  std::filesystem::path clinic() const { return path_ / "clinic.penstock"; }

 private:
  std::filesystem::path path_;
};

Id person(std::uint64_t n) { return {7, n}; }
NewFact fact(std::uint64_t n) {
  NewFact out{.fact = {n * 0xD1B54A32D192ED03ULL, n},  // spread like random ones
              .type = 3,
              .type_version = 1,
              .recorded = Instant{std::chrono::seconds{1'800'000'000 + static_cast<int>(n)}},
              .bytes = std::vector<std::uint8_t>(fact_bytes)};
  for (std::size_t i = 0; i < fact_bytes; ++i) {
    out.bytes[i] = static_cast<std::uint8_t>(n * 31 + i * 7);
  }
  return out;
}
std::vector<NewFact> facts(std::uint64_t from, std::uint64_t count) {
  std::vector<NewFact> out;
  for (std::uint64_t n = from; n < from + count; ++n) out.push_back(fact(n));
  return out;
}
void must(const Result<void>& done) {
  if (!done) std::abort();
}
std::unique_ptr<Store> open(const Folder& folder) {
  auto store = open_sqlite({.path = folder.clinic()});
  if (!store) std::abort();
  return std::move(*store);
}
Result<void> append(WriteTx& tx, Id journal, const std::vector<NewFact>& list) {
  auto done = tx.append(journal, list, std::nullopt);
  if (!done) return done.error();
  return {};
}

/// Ten people, a year each, recorded day by day in turns, as a clinic does: no journal lies in one
/// piece.
void fill(Store& store) {
  constexpr std::uint64_t people = 10;
  constexpr std::uint64_t at_a_time = 16;
  must(store.write([&](WriteTx& tx) -> Result<void> {
    for (std::uint64_t p = 1; p <= people; ++p) {
      if (auto done = tx.create_journal(person(p), Subject::person); !done) return done;
    }
    for (std::uint64_t day = 0; day < year_facts / at_a_time; ++day) {
      for (std::uint64_t p = 1; p <= people; ++p) {
        const auto list = facts(p * 1'000'000 + day * at_a_time, at_a_time);
        if (auto done = append(tx, person(p), list); !done) return done;
      }
    }
    return {};
  }));
}

std::size_t load_year(Store& store) {
  std::size_t bytes = 0;
  must(store.read([&](ReadTx& tx) -> Result<void> {
    const auto loaded = tx.load(person(5));
    if (!loaded) return loaded.error();
    bytes = 0;
    for (const auto& f : *loaded) bytes += f.bytes.size();
    return {};
  }));
  return bytes;
}

void LoadOfOneYear(benchmark::State& state) {
  const Folder folder;
  const auto store = open(folder);
  fill(*store);
  for (auto _ : state) benchmark::DoNotOptimize(load_year(*store));
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(year_facts));
}
BENCHMARK(LoadOfOneYear)->Unit(benchmark::kMillisecond);

/// A program that has just started: opening, the check of the heads, and nothing in SQLite's own
/// cache yet.
void OpenAndLoadOfOneYear(benchmark::State& state) {
  const Folder folder;
  {
    fill(*open(folder));
  }
  for (auto _ : state) {
    const auto store = open(folder);
    benchmark::DoNotOptimize(load_year(*store));
  }
}
BENCHMARK(OpenAndLoadOfOneYear)->Unit(benchmark::kMillisecond);

void LoadOfOneYearFromMemory(benchmark::State& state) {
  const auto store = make_memory_store();
  fill(*store);
  for (auto _ : state) benchmark::DoNotOptimize(load_year(*store));
}
BENCHMARK(LoadOfOneYearFromMemory)->Unit(benchmark::kMillisecond);

void CommitOfOneFact(benchmark::State& state) {
  const Folder folder;
  const auto store = open(folder);
  fill(*store);
  std::uint64_t n = 100'000'000;
  for (auto _ : state) {
    const auto one = facts(++n, 1);
    must(store->write([&](WriteTx& tx) { return append(tx, person(5), one); }));
  }
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(CommitOfOneFact)->Unit(benchmark::kMicrosecond)->UseRealTime();

/// What the disk itself asks for: one page appended and synced.
void SyncAlone(benchmark::State& state) {
  const Folder folder;
  const int file = ::open(folder.clinic().c_str(), O_CREAT | O_RDWR | O_CLOEXEC, 0600);
  const std::string page(4096, 'p');
  for (auto _ : state) {
    if (::write(file, page.data(), page.size()) < 0 || ::fdatasync(file) != 0) std::abort();
  }
  ::close(file);
  state.SetItemsProcessed(state.iterations());
}
BENCHMARK(SyncAlone)->Unit(benchmark::kMicrosecond)->UseRealTime();

void ImportOfTwoThousandLines(benchmark::State& state) {
  const Folder folder;
  const auto store = open(folder);
  fill(*store);
  std::uint64_t n = 100'000'000;
  for (auto _ : state) {
    const auto list = facts(n += 10'000, 2'000);
    must(store->write([&](WriteTx& tx) { return append(tx, person(5), list); }));
  }
  state.SetItemsProcessed(state.iterations() * 2'000);
}
BENCHMARK(ImportOfTwoThousandLines)->Unit(benchmark::kMillisecond)->UseRealTime();

void SearchOfFiveThousandSummaries(benchmark::State& state) {
  const Folder folder;
  const auto store = open(folder);
  must(store->write([&](WriteTx& tx) -> Result<void> {
    for (std::uint64_t n = 1; n <= 5'000; ++n) {
      if (auto done = tx.create_journal(person(n), Subject::person); !done) return done;
      Summary summary;
      summary.journal = person(n);
      summary.search_key = "family" + std::to_string(n * 7919 % 5000) + " given 1950-02-03";
      summary.bytes.resize(300);
      if (auto done = tx.put_summary(summary); !done) return done;
    }
    return {};
  }));
  for (auto _ : state) {
    must(store->read([&](ReadTx& tx) -> Result<void> {
      const auto found = tx.summaries({.contains = {"given", "family12"}});
      if (!found) return found.error();
      benchmark::DoNotOptimize(found->size());
      return {};
    }));
  }
}
BENCHMARK(SearchOfFiveThousandSummaries)->Unit(benchmark::kMillisecond);

void VerifyOfTenYears(benchmark::State& state) {
  const Folder folder;
  const auto store = open(folder);
  fill(*store);
  for (auto _ : state) {
    const auto report = store->verify(Marks::leave, {});
    if (!report || !report->clean()) std::abort();
  }
  state.SetItemsProcessed(state.iterations() * 10 * static_cast<std::int64_t>(year_facts));
}
BENCHMARK(VerifyOfTenYears)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace penstock::store

BENCHMARK_MAIN();
