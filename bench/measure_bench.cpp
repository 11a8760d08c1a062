// What does one exact tolerance factor cost, and one answer of each measuring call?
//
// Budget: a factor in under a millisecond, so that a page may ask for it while somebody types. The
// least number of measurements takes some ten factors.
#include <benchmark/benchmark.h>

#include "core/accuracy/accuracy.hpp"
#include "core/stats/stats.hpp"
#include "core/travel/travel.hpp"
#include "core/warmth/warmth.hpp"

namespace penstock {
namespace {

void one_factor(benchmark::State& state) {
  const stats::Tolerance asked{static_cast<std::int32_t>(state.range(0)), 0.975, 0.95};
  for (auto _ : state) benchmark::DoNotOptimize(stats::tolerance_factor(asked));
}
BENCHMARK(one_factor)->Arg(2)->Arg(60)->Arg(10'000)->Unit(benchmark::kMicrosecond);

void least_n_of_a_wide_spread(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(stats::least_n({2, 0.975, 0.95}, 2.5, 10'000));
}
BENCHMARK(least_n_of_a_wide_spread)->Unit(benchmark::kMicrosecond);

void accuracy_of_twenty_deliveries(benchmark::State& state) {
  const auto request = accuracy::example();
  for (auto _ : state) benchmark::DoNotOptimize(accuracy::accuracy(request));
}
BENCHMARK(accuracy_of_twenty_deliveries)->Unit(benchmark::kMicrosecond);

void warmth_of_a_spell(benchmark::State& state) {
  const auto request = warmth::example();
  for (auto _ : state) benchmark::DoNotOptimize(warmth::warmth(request));
}
BENCHMARK(warmth_of_a_spell);

void travel_of_a_fortnight(benchmark::State& state) {
  const auto request = travel::example();
  for (auto _ : state) benchmark::DoNotOptimize(travel::travel(request));
}
BENCHMARK(travel_of_a_fortnight);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
