// How large the invented people are, and where they put their injections.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <optional>
#include <string_view>
#include <tuple>
#include <utility>
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

/// A crowd has the bodies of a few: their lattices, worked out once, are half the work of inventing
/// it. Not for two threads.
class Lattices {
 public:
  const std::vector<Spot>& of(Zone zone, const places::Body& body);

 private:
  using Key = std::tuple<Zone, std::int32_t, std::int32_t>;  // height and waist; 0: not measured
  std::map<Key, std::vector<Spot>> known_;
};

/// Next spot of a zone: the lattice walked with a step that has no common factor with its size, so
/// that every spot comes before the first comes again.
class Walk {
 public:
  Walk(const places::Body& body, std::shared_ptr<Lattices> lattices)
      : body_(body), lattices_(std::move(lattices)) {}
  std::optional<Spot> next(Zone zone);

 private:
  struct Stretch {
    std::vector<Spot> spots;
    std::size_t at = 0;
    std::size_t step = 1;
  };
  places::Body body_;
  std::shared_ptr<Lattices> lattices_;
  std::map<Zone, Stretch> zones_;
};

/// Where the favourite place of those who have one is.
inline constexpr Zone favourite_zone = Zone::abdomen_left_lower;
inline constexpr Spot favourite_spot{TenthsMm{720}, TenthsMm{-440}};
inline constexpr std::int32_t favourite_reach_tenths = 260;  ///< so far from it, at most

}  // namespace penstock::demo
