// How large the invented people are, and where they put their injections.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string_view>
#include <vector>

#include "core/journal/journal.hpp"
#include "core/places/places.hpp"

namespace penstock::demo {

/// What somebody does with the places that they were shown.
enum class Habit : std::uint8_t {
  rotates,       ///< zone by zone, spot by spot
  zones_only,    ///< tells the zone, never the spot
  one_favourite  ///< the same hand's breadth again and again, until somebody feels it
};

struct Frame {
  std::string_view number;  ///< the clinic's
  journal::Sex sex = journal::Sex::unknown;
  std::int32_t height_tenths_cm = 0;
  std::int32_t waist_tenths_cm = 0;  ///< 0: not measured
  Habit habit = Habit::rotates;
};
/// Nothing: nobody has measured this person yet.
const Frame* frame_of(std::string_view number);

/// Next spot of a zone: the lattice walked with a step that has no common factor with its size, so
/// that every spot comes before the first comes again.
class Walk {
 public:
  explicit Walk(const places::Body& body) : body_(body) {}
  std::optional<Spot> next(Zone zone);

 private:
  struct Stretch {
    std::vector<Spot> spots;
    std::size_t at = 0;
    std::size_t step = 1;
  };
  places::Body body_;
  std::map<Zone, Stretch> zones_;
};

/// Where the favourite place of those who have one is.
inline constexpr Zone favourite_zone = Zone::abdomen_left_lower;
inline constexpr Spot favourite_spot{TenthsMm{720}, TenthsMm{-440}};
inline constexpr std::int32_t favourite_reach_tenths = 260;  ///< so far from it, at most

}  // namespace penstock::demo
