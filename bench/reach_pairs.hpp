// The persons and needles of the reach benchmarks.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/reach/reach.hpp"

namespace penstock {

/// Persons and needles, always the same ones: every zone, length, both angles, fold or none, sex
/// and BMI over the whole range of the model.
inline std::vector<reach::ReachRequest> reach_pairs(std::size_t pairs) {
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

}  // namespace penstock
