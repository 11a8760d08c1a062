// For the tests: a body with zones, places and areas on it, of our own making.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "edge/drawing/body/body.hpp"

namespace penstock::drawing {

/// Spots a centimetre apart in rows, well inside a box around the plane's origin; tenths of a
/// millimetre.
inline std::vector<Spot> sample_spots(std::int32_t left, std::int32_t right, std::int32_t low,
                                      std::int32_t high) {
  std::vector<Spot> spots;
  bool shifted = false;
  for (std::int32_t y = high; y >= low; y -= 87) {
    for (std::int32_t x = left + (shifted ? 50 : 0); x <= right; x += 101)
      spots.push_back({{x}, {y}});
    shifted = !shifted;
  }
  return spots;
}

/// The upper left quarter's corners, anticlockwise, 5 cm clear of the navel; `upper` and `left`
/// mirror it.
inline ZoneShape sample_quarter(Zone zone, bool left, bool upper) {
  const std::vector<Spot> corners{{{502}, {0}},   {{1130}, {0}},  {{1110}, {420}}, {{1010}, {820}},
                                  {{660}, {960}}, {{240}, {900}}, {{130}, {700}},  {{130}, {485}},
                                  {{250}, {435}}, {{355}, {355}}, {{435}, {251}}};
  ZoneShape shape{.zone = zone};
  for (Spot corner : corners) {
    if (!left) corner.x.tenths = -corner.x.tenths;
    if (!upper) corner.y.tenths = -corner.y.tenths;
    shape.corners.push_back(corner);
  }
  if (left != upper) shape.corners = {shape.corners.rbegin(), shape.corners.rend()};
  for (Spot spot : sample_spots(540, 1000, 60, 600)) {
    if (!left) spot.x.tenths = -spot.x.tenths;
    if (!upper) spot.y.tenths = -spot.y.tenths;
    shape.spots.push_back(spot);
  }
  return shape;
}

inline ZoneShape sample_patch(Zone zone, std::int32_t half_width, std::int32_t half_height) {
  const auto cut = half_width / 3;
  return {.zone = zone,
          .corners = {{{half_width}, {-half_height + cut}},
                      {{half_width}, {half_height - cut}},
                      {{half_width - cut}, {half_height}},
                      {{cut - half_width}, {half_height}},
                      {{-half_width}, {half_height - cut}},
                      {{-half_width}, {cut - half_height}},
                      {{cut - half_width}, {-half_height}},
                      {{half_width - cut}, {-half_height}}},
          .spots = sample_spots(-half_width + 90, half_width - 90, -half_height + 110,
                                half_height - 110)};
}

inline OnSkin sample_skin() {
  OnSkin skin;
  skin.zones = {sample_quarter(Zone::abdomen_left_upper, true, true),
                sample_quarter(Zone::abdomen_left_lower, true, false),
                sample_quarter(Zone::abdomen_right_upper, false, true),
                sample_quarter(Zone::abdomen_right_lower, false, false),
                sample_patch(Zone::thigh_left, 620, 680),
                sample_patch(Zone::thigh_right, 620, 680),
                sample_patch(Zone::buttock_left, 480, 480),
                sample_patch(Zone::buttock_right, 480, 480),
                sample_patch(Zone::arm_left, 260, 520),
                sample_patch(Zone::arm_right, 260, 520)};
  skin.zones[4].count_label = "4 times";
  skin.zones[5].count_label = "3 times";
  skin.zones[7].count_label = "35 in 28 days";
  skin.zones[8].count_label = "once";
  int fact = 0;
  for (const auto& zone : skin.zones) {
    for (std::size_t i = 2; i < zone.spots.size() && part_of(zone.zone) != BodyPart::arm; i += 9) {
      skin.places.push_back({zone.zone, zone.spots[i], static_cast<Rest>(fact % 3),
                             "injection-" + std::to_string(fact)});
      ++fact;
    }
  }
  skin.areas = {{Zone::abdomen_left_lower, {{700}, {-460}}, {200}, "hardened", "area-1"}};
  skin.next = {{Zone::abdomen_right_upper, {{-750}, {200}}, "18:30", true},
               {Zone::thigh_right, {{-210}, {310}}, "22:00", true}};
  return skin;
}

inline Plate sample_plate(BodyPart part) {
  return {.part = part,
          .skin = sample_skin(),
          .clear_label = "clear",
          .cm_word = "cm",
          .left_label = "Her left side",
          .right_label = "Her right side",
          .left_count = "68 in 28 days",
          .right_count = "35 in 28 days",
          .from_label = "middle",
          .alt = "A plane of skin, enlarged"};
}

}  // namespace penstock::drawing
