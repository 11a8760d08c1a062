// Does the fold take 2 million facts a second and more on one core?
//
// Reading (order, corrections) and folding of a journal of somebody who records every step, with
// one correction in fifty facts; once as stored, once as it comes when the facts arrive in any
// order. Beside it what a person's page needs: one year of a journal, read and folded into ledger
// and order. Budget: 2 million facts a second for read and ledger fold; 10 ms for the year.
#include <benchmark/benchmark.h>

#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "support/random_journal.hpp"

namespace penstock {
namespace {

void count_facts(benchmark::State& state, std::size_t facts) {
  state.counters["facts_per_second"] =
      benchmark::Counter(static_cast<double>(facts), benchmark::Counter::kIsIterationInvariantRate);
}

void read_and_fold(benchmark::State& state) {
  const auto facts = random_journal::plausible_journal(1, static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) {
    const auto history = journal::read(facts);
    benchmark::DoNotOptimize(ledger::fold(history));
  }
  count_facts(state, facts.size());
}
BENCHMARK(read_and_fold)->Arg(10'000)->Arg(100'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

void fold_alone(benchmark::State& state) {
  const auto facts = random_journal::plausible_journal(1, static_cast<std::size_t>(state.range(0)));
  const auto history = journal::read(facts);
  for (auto _ : state) benchmark::DoNotOptimize(ledger::fold(history));
  count_facts(state, facts.size());
}
BENCHMARK(fold_alone)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

void read_and_fold_in_any_order(benchmark::State& state) {
  const auto facts = random_journal::arrival(
      random_journal::plausible_journal(1, static_cast<std::size_t>(state.range(0))), 2);
  for (auto _ : state) {
    const auto history = journal::read(facts);
    benchmark::DoNotOptimize(ledger::fold(history));
  }
  count_facts(state, facts.size());
}
BENCHMARK(read_and_fold_in_any_order)->Arg(10'000)->Arg(1'000'000)->Unit(benchmark::kMillisecond);

// Four injections a day with their steps are some 6'000 facts a year.
void one_year_of_a_person(benchmark::State& state) {
  const auto facts = random_journal::plausible_journal(3, 6'000);
  for (auto _ : state) {
    const auto history = journal::read(facts);
    benchmark::DoNotOptimize(ledger::fold(history));
    benchmark::DoNotOptimize(order::fold(history, {}));
  }
  count_facts(state, facts.size());
}
BENCHMARK(one_year_of_a_person)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
