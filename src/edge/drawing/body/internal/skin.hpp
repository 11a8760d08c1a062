// What lies on the skin, in the same marks on the figure, on a plate and on paper.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/kit/smooth.hpp"

namespace penstock::drawing {

/// Where a place on the skin lies in a drawing.
class Ground {
 public:
  virtual ~Ground() = default;
  virtual Point at(Zone zone, Spot spot) const = 0;
  /// Half the width and half the height of a circle with this radius.
  virtual Point reach(Zone zone, TenthsMm radius) const = 0;
};

/// The marks' sizes: on the figure they are as small as they can be read, on a plate to scale.
struct MarkSizes {
  Px spot;    ///< radius, as of the others
  Px burin;   ///< width of a spot's line
  Px corner;  ///< how far an outline's corners are rounded
  Px edge;    ///< width of an outline's line
  std::string_view area_class;
};
extern const MarkSizes figure_marks;
/// To scale: a spot is half a centimetre wide.
MarkSizes plate_marks(Px per_cm);

/// Attributes that name a place: data-zone, data-x, data-y.
Attrs placed(Zone zone, Spot spot);
/// Centimetres as text: "-7.5".
std::string cm_text(std::int32_t tenths_mm);

/// Outlines; two quarters of the belly that meet at the navel's height are one shape, with a faint
/// line between them.
void draw_zones(Canvas& canvas, std::span<const ZoneShape> zones, const Ground& ground,
                const MarkSizes& sizes);
void draw_spots(Canvas& canvas, std::span<const ZoneShape> zones, const Ground& ground,
                const MarkSizes& sizes);
void draw_areas(Canvas& canvas, std::span<const AreaMark> areas, const Ground& ground,
                const MarkSizes& sizes);
/// Those that rest longer over the others, whatever their order.
void draw_places(Canvas& canvas, std::span<const PlaceMark> places, const Ground& ground,
                 Px per_cm);
/// The ring of a place of the plan; `radius` to its outer edge.
void draw_next(Canvas& canvas, Point at, Px radius, const Attrs& more = {});
void draw_navel(Canvas& canvas, Point at, Px per_cm);

}  // namespace penstock::drawing
