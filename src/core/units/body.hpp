// Where on the body: the zones in which one may inject, as the contract names them. Left and right
// are the person's own.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>

#include "core/units/units.hpp"

namespace penstock {

enum class Zone : std::uint8_t {
  abdomen_left_upper,
  abdomen_left_lower,
  abdomen_right_upper,
  abdomen_right_lower,
  thigh_left,
  thigh_right,
  buttock_left,
  buttock_right,
  arm_left,
  arm_right,
};
inline constexpr std::array<std::string_view, 10> zone_names{
    "abdomen left upper", "abdomen left lower", "abdomen right upper", "abdomen right lower",
    "thigh left",         "thigh right",        "buttock left",        "buttock right",
    "arm left",           "arm right"};
constexpr std::span<const std::string_view> names_of(Zone) { return zone_names; }

/// The part of the body that a zone belongs to: where absorption is alike.
enum class BodyPart : std::uint8_t { abdomen, thigh, buttock, arm };
inline constexpr std::array<std::string_view, 4> body_part_names{"abdomen", "thigh", "buttock",
                                                                 "arm"};
constexpr std::span<const std::string_view> names_of(BodyPart) { return body_part_names; }
constexpr BodyPart part_of(Zone zone) {
  const auto n = static_cast<std::uint8_t>(zone);
  return n < 4 ? BodyPart::abdomen : static_cast<BodyPart>((n - 4) / 2 + 1);
}

/// On the person's own left side.
constexpr bool is_left(Zone zone) {
  const auto n = static_cast<std::uint8_t>(zone);
  return n < 4 ? n < 2 : n % 2 == 0;  // abdomen: left, left, right, right; then left, right, …
}
static_assert(is_left(Zone::abdomen_left_lower) && !is_left(Zone::abdomen_right_upper) &&
              is_left(Zone::thigh_left) && !is_left(Zone::arm_right));

/// One place in a zone, on the skin: x to the person's left, y towards the head; from the navel on
/// the abdomen, from the zone's middle elsewhere. Tenths of a millimetre, at most half a metre
/// either way.
struct Spot {
  TenthsMm x;
  TenthsMm y;
  friend constexpr bool operator==(Spot, Spot) = default;
};

}  // namespace penstock
