// How long does it take to read what comes in?
//
// Budgets: one year of a person's journal (6'000 facts) from its packed bytes in about 2 ms, so
// that opening it stays under 10 ms with store and fold; a diary of 2'000 lines checked in under 50
// ms; a journal of 6'000 facts exported and read back in under 200 ms each; a request read in 20
// microseconds.
#include <benchmark/benchmark.h>

#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/wire/fact_codec.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "support/random_journal.hpp"

namespace penstock {
namespace {

// Stands in for SHA-256, which is the shell's: what is measured is ours.
Digest digest(std::span<const std::uint8_t> bytes) {
  std::uint64_t hash = 0xCBF29CE484222325ULL;
  for (const auto byte : bytes) hash = (hash ^ byte) * 0x100000001B3ULL;
  Digest out{};
  for (std::size_t i = 0; i < out.size(); ++i) {
    hash = (hash ^ (hash >> 29U)) * 0xBF58476D1CE4E5B9ULL;
    out[i] = static_cast<std::uint8_t>(hash >> 56U);
  }
  return out;
}

constexpr std::size_t year = 6'000;

// Only what a journal takes: an import checks every fact.
std::vector<journal::Fact> a_year() {
  std::vector<journal::Fact> facts;
  for (auto& fact : random_journal::plausible_journal(20270316, year + year / 4)) {
    if (facts.size() < year && journal::checked(fact)) facts.push_back(std::move(fact));
  }
  INVARIANT(facts.size() == year);
  return facts;
}

void count_facts(benchmark::State& state) {
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(year));
}

void decode_a_year(benchmark::State& state) {
  std::vector<std::vector<std::uint8_t>> packed;
  for (const auto& fact : a_year()) packed.push_back(wire::encode(fact));
  for (auto _ : state) {
    std::vector<journal::Fact> facts;
    facts.reserve(packed.size());
    for (const auto& bytes : packed) facts.push_back(*wire::decode(bytes, Instant{}));
    benchmark::DoNotOptimize(facts.data());
  }
  count_facts(state);
}
BENCHMARK(decode_a_year)->Unit(benchmark::kMillisecond);

void encode_a_year(benchmark::State& state) {
  const auto facts = a_year();
  std::vector<std::uint8_t> bytes;
  for (auto _ : state) {
    for (const auto& fact : facts) {
      wire::encode(fact, bytes);
      benchmark::DoNotOptimize(bytes.data());
    }
  }
  count_facts(state);
}
BENCHMARK(encode_a_year)->Unit(benchmark::kMillisecond);

void export_a_year(benchmark::State& state) {
  const wire::JournalFile file{
      {1, 1}, wire::JournalSubject::person, a_year(), year, std::string(64, 'a')};
  for (auto _ : state) benchmark::DoNotOptimize(wire::write_journal_file(file, &digest));
  count_facts(state);
}
BENCHMARK(export_a_year)->Unit(benchmark::kMillisecond);

void import_a_year(benchmark::State& state) {
  const wire::JournalFile file{
      {1, 1}, wire::JournalSubject::person, a_year(), year, std::string(64, 'a')};
  const auto text = wire::write_journal_file(file, &digest);
  for (auto _ : state) {
    const auto read = wire::read_journal_file(text, &digest);
    if (!read) state.SkipWithError(read.error().code.c_str());
    benchmark::DoNotOptimize(read);
  }
  count_facts(state);
}
BENCHMARK(import_a_year)->Unit(benchmark::kMillisecond);

void preview_a_diary_of_2000_lines(benchmark::State& state) {
  std::string text = "time,what,units,cartridge,zone,spot,note\n";
  for (int i = 0; i < 2'000; ++i) {
    const Instant at = parse_when("2027-01-01T06:00:00Z")->at + std::chrono::hours{3 * i};
    text += format_iso(When{at, 0}) + ",injected,10.5,1,thigh left,,\n";
  }
  diary::DiaryContext context;
  context.journal = {9, 9};
  context.now = parse_when("2028-01-01T06:00:00Z")->at;
  context.author = "Jo Winter";
  context.cartridge = [](std::string_view, const When&) {
    return diary::DiaryCartridge{{7, 1}, {8, 1}};
  };
  context.known = [](const Id&) -> const journal::Fact* { return nullptr; };
  context.digest = &digest;
  for (auto _ : state) {
    const auto preview = diary::preview_diary(text, context);
    if (!preview || !preview->acceptable()) state.SkipWithError("the diary was not read");
    benchmark::DoNotOptimize(preview);
  }
}
BENCHMARK(preview_a_diary_of_2000_lines)->Unit(benchmark::kMillisecond);

void read_a_request(benchmark::State& state) {
  const auto text = json::to_text(*wire::kind_example("injected"));
  for (auto _ : state) {
    const auto value = json::parse(text);
    const auto draft = wire::draft_from_json(*value);
    if (!draft) state.SkipWithError("the request was refused");
    benchmark::DoNotOptimize(draft);
  }
}
BENCHMARK(read_a_request)->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
