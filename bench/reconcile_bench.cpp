// Are one person's three accounts of ninety days laid side by side in under 5 ms on one core?
//
// Every mechanism, alone and in pairs, with its interval: what the desk shows of one person. Honest
// people and planted differences, one to four injections a day. The ratio to the same sums in a
// general numeric tool is bench/compare/reconcile_compare.
#include <benchmark/benchmark.h>

#include <vector>

#include "core/reconcile/reconcile.hpp"
#include "support/planted_accounts.hpp"

namespace penstock {
namespace {

std::vector<reconcile::Request> people(int days, int a_day) {
  std::vector<reconcile::Request> out;
  for (std::uint64_t seed = 20'270'201; out.size() < 40; ++seed) {
    planted::Plant plant{{}, 0, days};
    if (out.size() % 2 == 1) plant = {reconcile::Mechanism::missed_doses, 0.1, days};
    auto person = planted::person(seed, plant);
    const auto doses = person.request.ordered.front().doses.size();
    if (a_day == 0 || doses == static_cast<std::size_t>(a_day))
      out.push_back(std::move(person.request));
  }
  return out;
}

/// Days, injections a day; zero: as they come.
void one_person(benchmark::State& state) {
  const auto all = people(static_cast<int>(state.range(0)), static_cast<int>(state.range(1)));
  std::size_t next = 0;
  for (auto _ : state) {
    auto found = reconcile::reconcile(all[next++ % all.size()]);
    benchmark::DoNotOptimize(found);
  }
}
BENCHMARK(one_person)
    ->Args({90, 0})
    ->Args({90, 1})
    ->Args({90, 2})
    ->Args({90, 3})
    ->Args({90, 4})
    ->Args({60, 0})
    ->Args({365, 4})
    ->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
