// The fuzz targets in seconds: each takes its whole corpus, and then inputs changed out of chance,
// the same ones in every run. tools/fuzz.sh lets them run for hours with a compass.
#include <gtest/gtest-spi.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>

#include "fuzz/mutate.hpp"
#include "fuzz/targets.hpp"

namespace penstock::fuzz {
namespace {

constexpr std::uint64_t seed = 20270316;
constexpr std::size_t bytes_most = 65'536;

std::vector<std::string> inputs_of(const Target& target) {
  auto all = target.seeds(target.name);
  std::vector<std::filesystem::path> paths;
  const auto folder = std::filesystem::path(PENSTOCK_CORPUS) / target.name;
  // A new target has its seeds alone.
  std::error_code none_yet;
  for (const auto& entry : std::filesystem::directory_iterator(folder, none_yet))
    paths.push_back(entry.path());
  std::ranges::sort(paths);
  for (const auto& path : paths) {
    std::ifstream file(path, std::ios::binary);
    all.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
  }
  return all;
}

// An input as a line that can be pasted into `xxd -r -p > FILE`.
std::string hex(std::string_view input) {
  constexpr std::string_view digits = "0123456789abcdef";
  std::string out;
  for (const char c : input) {
    out += digits[static_cast<unsigned char>(c) / 16U];
    out += digits[static_cast<unsigned char>(c) % 16U];
  }
  return out;
}

bool holds(const Target& target, std::string_view input) {
  std::string what;
  try {
    target.run(target.name, input);
    return true;
  } catch (const LawBroken& broken) {
    what = broken.what;
  } catch (const BrokenPromise& broken) {
    what = "a broken promise: " + broken.what + ", " + broken.where;
  }
  ADD_FAILURE() << target.name << ": " << what << "\ninput in hexadecimal: " << hex(input);
  return false;
}

struct Fuzz : testing::TestWithParam<Target> {};

TEST_P(Fuzz, TheLawsHoldForItsCorpus) {
  for (const auto& input : inputs_of(GetParam())) holds(GetParam(), input);
}

TEST_P(Fuzz, TheLawsHoldForChangedInputs) {
  const auto& target = GetParam();
  const auto inputs = inputs_of(target);
  RecordProperty("seed", std::to_string(seed));
  for (std::size_t i = 0; i < target.executions; ++i) {
    const auto& one = inputs[i % inputs.size()];
    const auto& other = inputs[i * 7 % inputs.size()];
    const auto input = mutated(target.shape, one, other, seed + i, bytes_most);
    if (!holds(target, input)) return;
  }
}

INSTANTIATE_TEST_SUITE_P(Targets, Fuzz, testing::ValuesIn(targets()), [](const auto& of) {
  auto name = of.param.name;
  std::ranges::replace(name, '-', '_');
  return name;
});

// A law that breaks is seen, and the input is shown.
TEST(Laws, ABrokenOneNamesItsInput) {
  Target target{.name = "trial", .run = [](std::string_view, std::string_view input) {
                  law(input != "bad", "an input is bad");
                  INVARIANT(input != "worse");
                }};
  EXPECT_TRUE(holds(target, "good"));
  EXPECT_NONFATAL_FAILURE(holds(target, "bad"), "626164");
  EXPECT_NONFATAL_FAILURE(holds(target, "worse"), "776f727365");
}

// Whatever the mutators do: small enough for the readers, the same in every run.
TEST(Mutate, TheSameSeedGivesTheSameInput) {
  for (const auto shape : {Shape::bytes, Shape::json, Shape::script}) {
    const std::string input = "> POST /api/people application/json\n{\"facts\": [1, 2]}\n";
    for (std::uint64_t n = 0; n < 200; ++n) {
      const auto once = mutated(shape, input, "[3]", n, 40);
      EXPECT_EQ(once, mutated(shape, input, "[3]", n, 40));
      EXPECT_LE(once.size(), 40U);
    }
  }
}

}  // namespace
}  // namespace penstock::fuzz
