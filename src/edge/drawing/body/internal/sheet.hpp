// One part of the body laid flat: the belly's halves around the navel, or two zones side by side as
// the figure shows them. Plates and the paper of a week are drawn on it.
#pragma once

#include <optional>
#include <vector>

#include "edge/drawing/body/internal/contour.hpp"
#include "edge/drawing/body/internal/skin.hpp"

namespace penstock::drawing {

/// Extent in a plane of skin, tenths of a millimetre.
struct Extent {
  std::int32_t left_most = 0;  ///< towards the person's right
  std::int32_t right_most = 0;
  std::int32_t lowest = 0;
  std::int32_t highest = 0;
};

class Sheet : public Ground {
 public:
  struct Room {
    Px width;
    Px top;     ///< kept free above the zones
    Px beside;  ///< kept free on either side of a zone that is not the belly
    Px per_cm_most;
    Px height_most;
  };
  Sheet(BodyPart part, const OnSkin& skin, const Room& room);

  Point at(Zone zone, Spot spot) const override;
  Point reach(Zone zone, TenthsMm radius) const override;

  BodyPart part() const { return part_; }
  Px per_cm() const { return per_cm_; }
  Px width() const { return room_.width; }
  Px bottom() const { return bottom_; }
  /// The point from which a zone's centimetres count: the navel, or its middle.
  Point origin(Zone zone) const;
  const std::vector<ZoneShape>& zones() const { return zones_; }
  /// How far the skin that is drawn around a zone's origin reaches, in the picture.
  struct Sides {
    Px left;
    Px right;
  };
  Sides sides(Zone zone) const;
  /// Middle of the belly's half, or of the zone, on that side of the person.
  Px middle_of_side(bool left) const;
  /// Side lines of the body, fold and cleft: what tells where on it this is.
  void draw_body(Canvas& canvas) const;
  /// A small cross at the middle of every zone; not on the belly, which counts from the navel.
  void draw_middles(Canvas& canvas) const;

 private:
  struct Column {
    Extent extent;
    Point origin;
    bool used = false;
  };
  void lay_belly();
  void lay_columns();
  void draw_belly_sides(Canvas& canvas) const;
  void draw_limb(Canvas& canvas, bool left) const;
  void draw_seat(Canvas& canvas) const;
  Px scaled(std::int64_t tenths_mm) const;
  const Column& column(bool left) const { return columns_[left ? 1 : 0]; }

  BodyPart part_;
  Room room_;
  std::vector<ZoneShape> zones_;
  Column columns_[2];  ///< the person's right, left
  Px per_cm_{};
  Px bottom_{};
  int left_ = 1;
};

/// Areas and places of one part of the body.
template <class Mark>
std::vector<Mark> of_part(BodyPart part, const std::vector<Mark>& marks) {
  std::vector<Mark> own;
  for (const auto& mark : marks) {
    if (part_of(mark.zone) == part) own.push_back(mark);
  }
  return own;
}

}  // namespace penstock::drawing
