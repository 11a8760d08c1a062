// The body with its skin: the figure with its places, one plane of skin enlarged, an area over the
// visits, and a week of the place plan. What holds for every drawing stands in drawing/kit.
//
// Interaction hangs on data attributes of a plate. Every spot is a circle with `data-zone`,
// `data-x`, `data-y` (centimetres as text), large enough to be pointed at; a used place has the
// same and `data-injection`, an area the same (its centre) and `data-area`. Each of them is centred
// on its place. The svg says how to turn a point into centimetres: `data-plane`, `data-origin-x`,
// `data-origin-y` (in its own viewBox units), `data-per-cm` (viewBox units a centimetre; y grows
// towards the feet) and `data-left` (1: the person's left is to the right of the picture, as on the
// front; -1: to its left, as on the back). Where two zones stand side by side each is a group with
// `data-zone` and its own origin. On the figure a zone's outline has `data-zone`.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/units/units.hpp"

namespace penstock::drawing {

/// A zone with its spots, in centimetres on the skin (see units/body.hpp). `corners` is a polygon;
/// it is drawn as a smooth edge.
struct ZoneShape {
  Zone zone = Zone::abdomen_left_upper;
  std::vector<Spot> corners{};
  std::vector<Spot> spots{};
  std::string count_label{};  ///< "4 times", beside the zone on the figure; empty: none. The
                              ///< abdomen's are not drawn there: its plate has them
};

/// What is left of its rest: two strokes, one stroke, a small ring, as levels are told.
enum class Rest : std::uint8_t { most, some, over };

struct PlaceMark {
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  Rest rest = Rest::most;
  std::string injection{};  ///< the fact's identity; empty: nothing to open
};

/// Where nobody injects: cross-hatched, to scale, with its word.
struct AreaMark {
  Zone zone = Zone::abdomen_left_upper;
  Spot centre{};
  TenthsMm radius{};
  std::string label{};  ///< "hardened"
  std::string area{};
};

/// A place of the plan: the magenta ring with its number.
struct NextMark {
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  std::string label{};  ///< "1", as the list beside it names it
  bool measured =
      false;  ///< a plate draws its centimetres from the navel or the middle, for the nurse
};

/// Everything that lies on the skin, however it is drawn.
struct OnSkin {
  TenthsCm height{1680};
  std::optional<TenthsCm> waist{};
  std::vector<ZoneShape> zones{};
  std::vector<PlaceMark> places{};
  std::vector<AreaMark> areas{};
  std::vector<NextMark> next{};
};

/// The person's figure, front and back, with the zones that are allowed. Image left is the person's
/// right on the front, and the person's left on the back.
struct BodyMap {
  OnSkin skin{};              ///< zones, areas; `places` and `next` are not drawn
  std::string front_label{};  ///< "Front"
  std::string back_label{};   ///< "Back, not used yet"
  int width_px = 425;
  std::string alt{};
};
std::string body_map(const BodyMap& map);

/// One plane of skin enlarged: the abdomen (both halves around the navel), or both zones of the
/// thighs, buttocks or arms side by side, as the figure shows them.
struct Plate {
  BodyPart part = BodyPart::abdomen;
  OnSkin skin{};
  TenthsMm navel_clear{500};
  std::string clear_label{};  ///< "clear", under the navel
  std::string cm_word{};      ///< "cm"
  std::string left_label{};   ///< under the person's left: "Her left belly"
  std::string right_label{};
  std::string left_count{};  ///< "68 in 28 days"
  std::string right_count{};
  std::string from_label{};  ///< beside the middle of a zone that is not the abdomen: "middle"
  int width_px = 385;
  std::string alt{};
};
std::string plate(const Plate& drawing);

/// How large an area was at one visit; both zero: nothing was found any more.
struct AreaSize {
  TenthsMm length{};
  TenthsMm width{};
  std::string label{};  ///< "18 Nov"
};
/// An area over the visits, oldest first, all to one scale, which is drawn beside them; the latest
/// is hatched. The latest six are shown. `cm_word`: what one step of the scale is, "one cm".
std::string area_sizes(const std::vector<AreaSize>& visits, std::string_view cm_word,
                       std::string_view alt = {});

/// A week of the place plan on paper: one plane with that week's places numbered in the order in
/// which they come, readable in one black.
struct WeekPlate {
  BodyPart part = BodyPart::abdomen;
  OnSkin skin{};  ///< zones, areas; `places` and `next` are not drawn
  struct Numbered {
    Zone zone = Zone::abdomen_left_upper;
    Spot spot{};
    std::string number{};  ///< "1" or "Mo 1": as the table beside it names it
  };
  std::vector<Numbered> numbered{};
  TenthsMm navel_clear{500};
  std::string left_label{};  ///< "left", "right": the person's own
  std::string right_label{};
  int width_px = 300;
  std::string alt{};
};
std::string week_plate(const WeekPlate& week);

/// The marks of the key, 20 by 14, inline.
enum class PlaceKey : std::uint8_t { most, some, over, blocked };
std::string place_key(PlaceKey mark);

/// So many, in fives with a stroke through them, as they are counted by hand.
std::string tally(std::size_t count);

}  // namespace penstock::drawing
