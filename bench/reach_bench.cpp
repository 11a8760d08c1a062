// Is reach worked out for a million (person, needle) pairs in under a second on one core?
//
// Two questions in one: the bare formula over two columns, and the whole answer for each pair
// (checks, bands, every single change with its chances, cautions), as a desk asks it. Budget: one
// second each. The ratio to a script in a general numeric tool is bench/compare/reach_compare.
#include <benchmark/benchmark.h>

#include <vector>

#include "core/reach/reach.hpp"

namespace penstock {
namespace {

constexpr std::size_t pairs = 1'000'000;

/// Persons and needles, always the same ones: every zone, length, both angles, fold or none, sex
/// and BMI over the whole range of the model.
std::vector<reach::ReachRequest> requests() {
  std::vector<reach::ReachRequest> out(pairs);
  std::uint64_t state = 1;
  const auto next = [&state](std::uint64_t below) {
    state = state * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<std::int32_t>((state >> 33U) % below);
  };
  for (auto& request : out) {
    request.zone = static_cast<BodyPart>(next(4));
    request.needle = reach::needle_lengths[static_cast<std::size_t>(next(6))];
    request.angle_deg = next(2) == 0 ? 45 : 90;
    request.fold = next(2) == 0;
    request.sex = static_cast<reach::Sex>(next(2));
    request.bmi = reach::TenthsBmi{194 + next(452)};
  }
  return out;
}

void bare_formula_over_columns(benchmark::State& state) {
  std::vector<double> tips, medians, chances(pairs);
  for (const auto& request : requests()) {
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
  const auto asked = requests();
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
