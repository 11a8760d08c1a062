// Is a dial plan ready in under 20 microseconds?
//
// The plans that a desk asks for all day (one pen, a rest and a new cartridge, a dose above the
// window), and the widest that the limits allow, which is far from any person's drawer.
#include <benchmark/benchmark.h>

#include "core/dial/dial.hpp"

namespace penstock {
namespace {

using namespace literals;

dial::DialRequest of(Units dose, Units step, Units most, std::size_t cartridges,
                     draw::Prefer prefer) {
  dial::DialRequest r = dial::example();
  r.dose = dose;
  r.pen.step = step;
  r.pen.most = most;
  r.prefer = prefer;
  r.prime.spent = Units::zero();
  r.prime.flow_seen = false;
  r.cartridges.clear();
  for (std::size_t i = 0; i < cartridges; ++i) {
    const auto n = static_cast<std::int64_t>(i);
    // Rests from some units to a full one; every third is new.
    const auto left = Units::from_hundredths(700 + (n * 3'100) % 28'000);
    r.cartridges.push_back({std::string(1, static_cast<char>('A' + i % 26)) + std::to_string(i),
                            *left,
                            static_cast<std::int32_t>(n % 20),
                            28,
                            {}});
    if (i % 3 == 2) {
      r.cartridges.back().is_new = true;
      r.cartridges.back().left = 300_units;
    }
  }
  return r;
}

void run(benchmark::State& state, const dial::DialRequest& request) {
  if (!dial::plan(request)) return state.SkipWithError("no plan");
  for (auto _ : state) {
    auto plan = dial::plan(request);
    benchmark::DoNotOptimize(plan);
  }
}

void contract_example(benchmark::State& state) { run(state, dial::example()); }
BENCHMARK(contract_example);

void rest_and_new_cartridge(benchmark::State& state) {
  run(state, of(18_units, 1_units, 60_units, 3, draw::Prefer::fewest_needles));
}
BENCHMARK(rest_and_new_cartridge);

void rest_used_up_least_waste(benchmark::State& state) {
  run(state, of(18_units, 1_units, 60_units, 3, draw::Prefer::least_waste));
}
BENCHMARK(rest_used_up_least_waste);

void half_units_least_waste(benchmark::State& state) {
  run(state, of(14.5_units, 0.5_units, 30_units, 3, draw::Prefer::least_waste));
}
BENCHMARK(half_units_least_waste);

void above_the_window(benchmark::State& state) {
  run(state, of(100_units, 1_units, 60_units, 3, draw::Prefer::fewest_needles));
}
BENCHMARK(above_the_window);

void above_the_window_least_waste(benchmark::State& state) {
  run(state, of(100_units, 1_units, 60_units, 5, draw::Prefer::least_waste));
}
BENCHMARK(above_the_window_least_waste);

void twenty_cartridges_300_units_half_steps(benchmark::State& state) {
  run(state, of(300_units, 0.5_units, 80_units, 20,
                state.range(0) == 0 ? draw::Prefer::fewest_needles : draw::Prefer::least_waste));
}
BENCHMARK(twenty_cartridges_300_units_half_steps)->Arg(0)->Arg(1);

void forty_cartridges_300_units_half_steps(benchmark::State& state) {
  run(state, of(300_units, 0.5_units, 80_units, 40, draw::Prefer::least_waste));
}
BENCHMARK(forty_cartridges_300_units_half_steps);

// What a walk over many days does per dose.
void one_cartridge_without_a_heap(benchmark::State& state) {
  const draw::Rules rules{1_units, 60_units, shelf::Window::returns_to_zero, 2_units, 4_units};
  const draw::AtHand from{247_units, false, false, 20};
  for (auto _ : state) benchmark::DoNotOptimize(draw::take(rules, from, 18_units));
}
BENCHMARK(one_cartridge_without_a_heap);

}  // namespace
}  // namespace penstock

BENCHMARK_MAIN();
