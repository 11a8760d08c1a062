// A standing figure in engraver's lines, and where a zone of the skin lies on it.
//
// One half of it is a table of points of ours, in hundredths of a centimetre on a body 168 cm tall;
// the other half is its mirror. A waist moves trunk, thighs and arms outwards or inwards; head,
// shoulders and lower legs keep their place. `Px` here counts centimetres of that body: whoever
// draws it puts it into a group that scales it.
#pragma once

#include <optional>

#include "edge/drawing/body/body.hpp"
#include "edge/drawing/kit/smooth.hpp"

namespace penstock::drawing {

enum class View : std::uint8_t { front, back };
View view_of(BodyPart part);
/// 1: the person's left is to the right of the picture; -1: to its left.
int left_of(View view);

class Figure {
 public:
  Figure(TenthsCm height, std::optional<TenthsCm> waist);

  /// From the middle to the outermost line of a hand.
  Px half_width() const;
  void draw(Canvas& canvas, View view) const;

  /// The lines that a zone lies between, at a height below the crown.
  struct Span {
    Px inner;
    Px outer;
  };
  Span across(BodyPart part, Px y) const;
  /// Centimetres of this person as centimetres of the figure; `along` is rounded.
  Px scaled(TenthsMm length) const;

 private:
  struct Half;
  Px moved(Px x, Px y) const;
  friend struct Half;
  std::int64_t height_tenths_;
  Px widening_;  ///< of half the waist
};

/// Zones lie on round skin and are drawn flat: sideways they are drawn together just as much as
/// keeps every zone of that part inside the contour.
class OnFigure {
 public:
  OnFigure(const Figure& figure, BodyPart part, const std::vector<ZoneShape>& zones);
  /// Where a place lies on the figure, seen from the side on which that part is shown.
  Point at(Zone zone, Spot spot) const;
  /// Half the width and half the height of a circle on the skin.
  Point reach(TenthsMm radius) const;

 private:
  /// The side of the figure's middle, as if the zone were to the picture's right: its axis at that
  /// height.
  Px axis(Px y) const;
  const Figure& figure_;
  BodyPart part_;
  std::int64_t together_ = 1000;  ///< in thousandths
};

}  // namespace penstock::drawing
