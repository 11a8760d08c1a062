// How deep a needle goes: skin, fat and muscle with the needle in them, and a chance as a hundred
// dots. What holds for every drawing stands in drawing/kit.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "core/units/units.hpp"

namespace penstock::drawing {

/// Skin, fat and muscle to scale, with the needle in it.
struct Section {
  struct Needle {
    TenthsMm length{};
    int angle_deg = 90;
    std::string label{};  ///< "straight in", "at 45 degrees", "4 mm"
  };
  Needle needle{};
  std::optional<Needle> other{};  ///< drawn as a ghost beside it
  TenthsMm skin{};                ///< thickness
  TenthsMm median{};              ///< where muscle begins, in the middle of what is likely
  TenthsMm low{};                 ///< in 8 of 10 it lies from here
  TenthsMm high{};                ///< to here
  bool fold = false;              ///< tissue drawn as a lifted fold
  std::string skin_label{};       ///< "skin", "fat", "muscle"
  std::string fat_label{};
  std::string muscle_label{};
  std::string median_label{};  ///< "9.2 mm down"
  std::string range_first{};   ///< "8 of 10 lie"
  std::string range_second{};  ///< "in this range"
  std::string mm_word{};       ///< "mm"
  int width_px = 404;
  std::string alt{};
};
std::string cross_section(const Section& section);

/// A hundred rings, the first `filled` solid; 109 by 109. 0 to 100.
std::string hundred_dots(int filled, std::string_view alt = {});

}  // namespace penstock::drawing
