// For the tests: a needle in skin, fat and muscle, of our own making.
#pragma once

#include "edge/drawing/reach/reach.hpp"

namespace penstock::drawing {

inline Section sample_section() {
  return {.needle = {{60}, 90, "straight in"},
          .other = Section::Needle{{60}, 45, "at 45 degrees"},
          .skin = {21},
          .median = {92},
          .low = {56},
          .high = {152},
          .skin_label = "skin",
          .fat_label = "fat",
          .muscle_label = "muscle",
          .median_label = "9.2 mm down",
          .range_first = "8 of 10 lie",
          .range_second = "in this range",
          .mm_word = "mm",
          .alt = "Skin, fat and muscle with a needle"};
}

}  // namespace penstock::drawing
