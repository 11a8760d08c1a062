// Is a year's place plan ready in under 50 milliseconds?
//
// The contract's example over a year; the same with everything that was handed out promised again;
// a crowded body, where slots have to move; and a refusal that looks for the widest spacing.
#include <benchmark/benchmark.h>

#include "core/places/places.hpp"

namespace penstock {
namespace {

places::PlaceRequest year() {
  auto r = places::example();
  r.days = 366;
  return r;
}

void run(benchmark::State& state, const places::PlaceRequest& request, bool planned = true) {
  if (places::plan(request).has_value() != planned) return state.SkipWithError("not as expected");
  for (auto _ : state) {
    auto plan = places::plan(request);
    benchmark::DoNotOptimize(plan);
  }
}

void four_weeks(benchmark::State& state) { run(state, places::example()); }
BENCHMARK(four_weeks)->Unit(benchmark::kMillisecond);

void a_year(benchmark::State& state) { run(state, year()); }
BENCHMARK(a_year)->Unit(benchmark::kMillisecond);

void a_year_week_by_week(benchmark::State& state) {
  auto r = year();
  r.turn = places::Turn::each_week;
  run(state, r);
}
BENCHMARK(a_year_week_by_week)->Unit(benchmark::kMillisecond);

void a_year_promised_again(benchmark::State& state) {
  auto r = year();
  const auto first = places::plan(r);
  for (const auto& one : first->plan) {
    r.promised.push_back({one.day, one.slot, one.zone, one.spot});
  }
  r.blocked.push_back({Zone::abdomen_right_lower, {{-800}, {-700}}, {300}});
  run(state, r);
}
BENCHMARK(a_year_promised_again)->Unit(benchmark::kMillisecond);

void a_year_with_slots_that_move(benchmark::State& state) {
  auto r = year();
  r.slots.push_back({"x", {}, {}});
  r.slots.push_back({"y", {}, {}});
  r.zones = {Zone::buttock_left, Zone::buttock_right, Zone::arm_left, Zone::arm_right};
  r.rest_days = 53;
  run(state, r);
}
BENCHMARK(a_year_with_slots_that_move)->Unit(benchmark::kMillisecond);

void refused_with_the_widest_spacing(benchmark::State& state) {
  auto r = year();
  r.spacing = {1000};
  run(state, r, false);
}
BENCHMARK(refused_with_the_widest_spacing)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
