// Is the cover of a whole clinic worked out in under two seconds on two cores?
//
// 10'000 people, exact laws of the run-out where doses vary, with ask-by and boxes, as a desk asks
// for them: on one core, on two, and one person of each kind. Budget: two seconds on two cores, so
// 0.4 ms a person. The ratio to a simulation in a general numeric tool is
// bench/compare/cover_compare.
#include <benchmark/benchmark.h>

#include <thread>

#include "cover_people.hpp"

namespace penstock {
namespace {

constexpr std::size_t people = 10'000;

void answer(const std::vector<cover::Request>& all, std::size_t from, std::size_t to) {
  for (std::size_t i = from; i < to; ++i) {
    auto found = cover::cover(all[i]);
    benchmark::DoNotOptimize(found);
  }
}

void a_clinic_on_one_core(benchmark::State& state) {
  const auto all = CoverPeople().make(people);
  for (auto _ : state) answer(all, 0, all.size());
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(people));
}
BENCHMARK(a_clinic_on_one_core)->Unit(benchmark::kMillisecond);

void a_clinic_on_two_cores(benchmark::State& state) {
  const auto all = CoverPeople().make(people);
  for (auto _ : state) {
    std::thread other([&] { answer(all, 0, all.size() / 2); });
    answer(all, all.size() / 2, all.size());
    other.join();
  }
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(people));
}
BENCHMARK(a_clinic_on_two_cores)->Unit(benchmark::kMillisecond)->UseRealTime();

cover::Request one(std::int64_t dose, std::int64_t sd_hundredths, std::int32_t sealed) {
  auto r = CoverPeople().make(1).front();
  auto& line = r.lines.front();
  r.lines.resize(1);
  line.doses = {*Units::from_hundredths(dose * 100)};
  line.dose_sd = *Units::from_hundredths(sd_hundredths);
  line.sealed = {{sealed, {}}};
  return r;
}

void one_person(benchmark::State& state) {
  const auto r = one(state.range(0), state.range(1), static_cast<std::int32_t>(state.range(2)));
  for (auto _ : state) {
    auto found = cover::cover(r);
    benchmark::DoNotOptimize(found);
  }
}
BENCHMARK(one_person)
    ->ArgNames({"dose", "sd_hundredths", "sealed"})
    ->Args({20, 0, 4})
    ->Args({20, 300, 4})
    ->Args({20, 400, 8})
    ->Args({10, 300, 8})
    ->Args({8, 200, 4})
    ->Unit(benchmark::kMicrosecond);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
