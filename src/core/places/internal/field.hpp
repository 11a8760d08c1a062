// The spots of one request and what counting says about them: which plans exist at all.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <vector>

#include "core/places/internal/skin.hpp"

namespace penstock::places::internal {

inline constexpr std::size_t parts = body_part_names.size();
/// Of a part in an array of `parts`.
inline std::size_t index(BodyPart part) { return static_cast<std::size_t>(part); }

/// Days are counted from the plan's first; never used: as long ago as never matters.
inline constexpr std::int32_t never = -1'000'000;
/// A day as a number from the plan's first on; what lies beyond a human life is cut there.
std::int32_t day_number(LocalDay day, LocalDay from);

/// One zone's stretch of the field's spots.
struct ZoneSpots {
  Zone zone = Zone::abdomen_left_upper;
  std::size_t begin = 0;
  std::size_t end = 0;
  std::size_t open = 0;
  std::size_t bound = 0;
};

/// All spots of the zones that are allowed, zone by zone in the order in which they take turns, in
/// a zone by the lattice. A spot is open unless something is kept off there; its last use is the
/// latest day on which a place within the spacing of it was used.
struct Field {
  std::vector<ZoneSpots> zones;
  std::vector<Spot> spots;
  std::vector<char> open;
  std::vector<std::int32_t> last_use;

  std::size_t open_in(BodyPart part) const;
  std::size_t open_spots() const;
  std::size_t bound() const;
  const ZoneSpots* zone(Zone zone) const;
  std::size_t zone_of(std::size_t spot) const;  ///< its place in `zones`
};
Field field_of(const PlaceRequest& request, TenthsMm spacing);

/// open spots of a part that are free by day t, for t from 0 on: never fewer on a later day.
using Free = std::vector<std::int32_t>;
/// `days`: how far to count; counting over one rest is enough, see `possible`.
std::array<Free, parts> free_by(const Field& field, std::int32_t rest_days, std::int32_t days);

/// How many slots keep to each part, and how many move.
struct Shares {
  std::array<std::int32_t, parts> kept{};
  std::int32_t moving = 0;
};
/// Whether a plan exists in which so many slots a day keep to each part and the others go anywhere.
/// Exact: spots of a part are alike, and what is planned for the first rest can be repeated for
/// ever. On day t a part must have given kept * (t + 1) different spots; what it can spare on every
/// later day, too, is there for those that move.
bool possible(const std::array<Free, parts>& free, const Shares& shares);

/// The wishes of each slot: the lower the number, the better; negative: not there at all.
using Ranks = std::vector<std::array<std::int32_t, parts>>;
/// Where each slot goes.
struct Assignment {
  std::vector<std::optional<BodyPart>> slots;  ///< nothing: it moves
  Shares shares;
  Ranks ranks;
};
/// The best that exists: fewest slots moving, then least sum of ranks, then parts loaded alike.
std::optional<Assignment> assign(const PlaceRequest& request, const Field& field);

/// Whether any plan exists, all slots moving that may.
bool plannable(const PlaceRequest& request, const Field& field, std::int32_t rest_days);
/// The longest rest, less than what was asked, for which one exists; 0: none.
std::int32_t longest_rest(const PlaceRequest& request, const Field& field);
/// Why there is none.
Error refusal(const PlaceRequest& request, const Field& field);

}  // namespace penstock::places::internal
