// What the files of this room share: planes of skin, exact distances, and the body's proportions.
#pragma once

#include <array>
#include <cstdint>
#include <span>
#include <vector>

#include "core/places/places.hpp"

namespace penstock::places::internal {

// ---- planes of skin

inline constexpr std::size_t planes = 7;
/// The abdomen's quarters share plane 0; every other zone has its own.
constexpr std::size_t plane_of(Zone zone) {
  const auto n = static_cast<std::size_t>(zone);
  return n < 4 ? 0 : n - 3;
}

/// The order in which the zones of a part take turns: clockwise on the abdomen as its wearer looks
/// down on it, right before left elsewhere.
inline constexpr std::array<Zone, 10> turn_order{
    Zone::abdomen_right_upper, Zone::abdomen_left_upper,
    Zone::abdomen_left_lower,  Zone::abdomen_right_lower,
    Zone::thigh_right,         Zone::thigh_left,
    Zone::buttock_right,       Zone::buttock_left,
    Zone::arm_right,           Zone::arm_left};

// ---- exact distances

constexpr std::int64_t square_apart(Spot a, Spot b) {
  const std::int64_t dx = std::int64_t{a.x.tenths} - b.x.tenths;
  const std::int64_t dy = std::int64_t{a.y.tenths} - b.y.tenths;
  return dx * dx + dy * dy;
}
constexpr std::int64_t square(std::int64_t n) { return n * n; }
/// The whole part of the square root; n not negative.
std::int64_t root(std::int64_t n);
/// Far enough apart to count as two; exactly the spacing is enough.
constexpr bool apart(Spot a, Spot b, TenthsMm spacing) {
  return square_apart(a, b) >= square(spacing.tenths);
}
/// A spot's centre on a circle's edge counts as inside it.
constexpr bool within(Spot spot, const Circle& circle) {
  return square_apart(spot, circle.centre) <= square(circle.radius.tenths);
}
bool blocked(Zone zone, Spot spot, std::span<const Circle> circles);
/// Not nearer to the navel than the body's clear ring; always so off the abdomen.
bool clear_of_navel(Zone zone, Spot spot, const Body& body);

// ---- proportions. The rows of data/reference/zones.tsv say where each is from; a test compares.

struct Share {
  std::string_view row;
  std::int32_t ten_thousandths = 0;
};
inline constexpr Share thigh_length{"Z010", 2450};        // of height
inline constexpr Share upper_arm_length{"Z011", 1860};    // of height
inline constexpr Share hip_width{"Z012", 1910};           // of height
inline constexpr Share navel_to_rib{"O001", 643};         // of height; ours
inline constexpr Share navel_to_symphysis{"O002", 929};   // of height; ours
inline constexpr Share abdomen_half_width{"O003", 1600};  // of waist; ours
inline constexpr Share midline_gap{"O004", 1090};         // of the half width; ours
inline constexpr Share waist_of_height{"O005", 4760};     // ours
inline constexpr Share thigh_zone_width{"O006", 774};     // of height; ours
inline constexpr Share buttock_zone_size{"O007", 3125};   // of hip width; ours
inline constexpr Share arm_zone_width{"O008", 300};       // of height; ours
inline constexpr Share finger_width{"O009", 113};         // of height; ours
inline constexpr Share outer_half{"O010", 5000};          // of the half width; ours
inline constexpr TenthsMm above_symphysis{100};           // Z001
inline constexpr TenthsMm below_rib{100};                 // Z002
inline constexpr std::array all_shares{
    thigh_length,       upper_arm_length, hip_width,       navel_to_rib,     navel_to_symphysis,
    abdomen_half_width, midline_gap,      waist_of_height, thigh_zone_width, buttock_zone_size,
    arm_zone_width,     finger_width,     outer_half};

/// Rounded to the nearest tenth of a millimetre; `of` in the same.
constexpr std::int32_t part(std::int64_t of, Share share) {
  return static_cast<std::int32_t>(quotient(of * share.ten_thousandths, 10'000, Rounding::nearest));
}
/// Heights and waists are kept in tenths of a centimetre, all on the skin in tenths of a
/// millimetre.
constexpr std::int64_t height_of(const Body& body) { return std::int64_t{body.height.tenths} * 10; }
constexpr std::int64_t waist_of(const Body& body) {
  return body.waist ? std::int64_t{body.waist->tenths} * 10
                    : part(height_of(body), waist_of_height);
}

// ---- the lattice of a whole plane

/// The lattice that holds most spots in outlines of one plane; a spot on an edge between two comes
/// twice.
std::vector<Spot> lattice_in(const std::vector<Outline>& outlines, TenthsMm spacing);

struct PlaneSpot {
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
};
/// Spots of one plane by rows from the head down, each from the person's right.
std::vector<PlaneSpot> plane_lattice(std::size_t plane, const Body& body, TenthsMm spacing);

}  // namespace penstock::places::internal
