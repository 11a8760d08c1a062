// The lobules of fat: cells of a texture, the same every time.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "edge/drawing/kit/smooth.hpp"

namespace penstock::drawing {

/// Chance that is the same every time: for jitter in an engraved texture.
class Jitter {
 public:
  explicit Jitter(std::uint32_t seed) : state_(seed) {}
  /// From -reach to reach.
  Px next(Px reach);

 private:
  std::uint32_t state_;
};

/// For each site the part of the box that is nearer to it than to any other, as a polygon; empty
/// for a site that lies too far outside.
std::vector<std::vector<Point>> voronoi(std::span<const Point> sites, Point least, Point most);

}  // namespace penstock::drawing
