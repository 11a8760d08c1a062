// The targets for libFuzzer, by tools/fuzz.sh:
//
//   penstock_fuzz list                   their names
//   penstock_fuzz seeds TARGET FOLDER    writes the good inputs that the program knows
//   penstock_fuzz TARGET [FLAG...] [FOLDER...]
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <string>

#include "fuzz/mutate.hpp"
#include "fuzz/targets.hpp"

// libFuzzer's own.
extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);

namespace penstock::fuzz {
namespace {

const Target* chosen = nullptr;

const Target& named(std::string_view name) {
  for (const auto& target : targets()) {
    if (target.name == name) return target;
  }
  std::fprintf(stderr, "no target is called %s; `penstock_fuzz list` names them\n",
               std::string(name).c_str());
  std::exit(2);
}

void write_seeds(const Target& target, const std::string& folder) {
  std::size_t number = 0;
  for (const auto& seed : target.seeds(target.name)) {
    std::ofstream(folder + "/seed-" + std::to_string(++number), std::ios::binary) << seed;
  }
}

std::size_t put(const std::string& text, std::uint8_t* data, std::size_t most) {
  const auto size = std::min(text.size(), most);
  std::memcpy(data, text.data(), size);
  return size;
}

std::string_view text(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

}  // namespace
}  // namespace penstock::fuzz

using namespace penstock::fuzz;

extern "C" int LLVMFuzzerInitialize(int* argc, char*** argv) {
  const auto word = [&](int n) { return std::string(n < *argc ? (*argv)[n] : ""); };
  if (word(1) == "list") {
    for (const auto& target : targets()) std::puts(target.name.c_str());
    std::exit(0);
  }
  if (word(1) == "seeds") {
    write_seeds(named(word(2)), word(3));
    std::exit(0);
  }
  // To merge, libFuzzer starts this program again with what is left of its words.
  constexpr const char* remembered = "PENSTOCK_FUZZ_TARGET";
  const char* earlier = std::getenv(remembered);
  if (word(1).starts_with('-') && earlier != nullptr) {
    chosen = &named(earlier);
    return 0;
  }
  chosen = &named(word(1));
  ::setenv(remembered, word(1).c_str(), 1);
  // The rest is libFuzzer's.
  for (int i = 1; i + 1 < *argc; ++i) (*argv)[i] = (*argv)[i + 1];
  --*argc;
  return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  try {
    chosen->run(chosen->name, text(data, size));
  } catch (const LawBroken& broken) {
    std::fprintf(stderr, "LAW BROKEN: %s\n", broken.what.c_str());
    std::abort();
  } catch (const penstock::BrokenPromise& broken) {
    std::fprintf(stderr, "PROMISE BROKEN: %s, %s\n", broken.what.c_str(), broken.where.c_str());
    std::abort();
  }
  return 0;
}

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size,
                                               std::size_t most, unsigned int seed) {
  // libFuzzer changes bytes by what the program compared them with; ours keeps the shape.
  if (chosen->shape == Shape::bytes || seed % 8 == 0) return LLVMFuzzerMutate(data, size, most);
  static const auto seeds = chosen->seeds(chosen->name);
  const auto& other = seeds[seed / 8 % seeds.size()];
  return put(mutated(chosen->shape, text(data, size), other, seed, most), data, most);
}

extern "C" std::size_t LLVMFuzzerCustomCrossOver(const std::uint8_t* one, std::size_t one_size,
                                                 const std::uint8_t* two, std::size_t two_size,
                                                 std::uint8_t* out, std::size_t most,
                                                 unsigned int seed) {
  return put(mutated(chosen->shape, text(one, one_size), text(two, two_size), seed, most), out,
             most);
}
