// Chance that is the same on every machine.
#pragma once

#include <cstdint>

#include "base/base.hpp"

namespace penstock::demo {

/// SplitMix64 (Steele, Lea, Flood 2014; constants from memory): the same numbers on every machine,
/// which std::*_distribution does not promise.
class Chance {
 public:
  explicit Chance(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    auto z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
  }
  int below(int limit) { return static_cast<int>(next() % static_cast<std::uint64_t>(limit)); }
  bool one_in(int n) { return below(n) == 0; }
  Id id() {
    const auto high = next();
    return {high | 1, next()};
  }

 private:
  std::uint64_t state_;
};

}  // namespace penstock::demo
