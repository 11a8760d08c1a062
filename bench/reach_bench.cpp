// Is reach worked out for a million (person, needle) pairs in under a second on one core?
//
// Two questions in one: the bare formula over two columns, and the whole answer for each pair
// (checks, bands, every single change with its chances, cautions), as a desk asks it. Budget: one
// second each. The ratio to a script in a general numeric tool is bench/compare/reach_compare.
#include <benchmark/benchmark.h>

#include <vector>

#include "core/reach/reach.hpp"
#include "reach_pairs.hpp"

namespace penstock {
namespace {

constexpr std::size_t pairs = 1'000'000;

void bare_formula_over_columns(benchmark::State& state) {
  std::vector<double> tips, medians, chances(pairs);
  for (const auto& request : reach_pairs(pairs)) {
    const auto found = reach::reach(request);
    tips.push_back(found->tip_mm);
    medians.push_back(found->median_depth_mm.value);
  }
  for (auto _ : state) {
    reach::muscle_chances(tips, medians, 0.39, chances);
    benchmark::DoNotOptimize(chances.data());
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(pairs));
}
BENCHMARK(bare_formula_over_columns)->Unit(benchmark::kMillisecond);

void whole_answer_of_each(benchmark::State& state) {
  const auto asked = reach_pairs(pairs);
  for (auto _ : state) {
    for (const auto& request : asked) {
      auto found = reach::reach(request);
      benchmark::DoNotOptimize(found);
    }
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(pairs));
}
BENCHMARK(whole_answer_of_each)->Unit(benchmark::kMillisecond);

void one_answer(benchmark::State& state) {
  const auto request = reach::example();
  for (auto _ : state) {
    auto found = reach::reach(request);
    benchmark::DoNotOptimize(found);
  }
}
BENCHMARK(one_answer);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
