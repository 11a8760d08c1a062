// Places: the zones of a body, the spots in them, and which spot comes when. Pure: what was used,
// what is kept off and what was promised come in as values.
//
// Centimetres of the contract are kept as tenths of a millimetre, whole. Each part of the body is
// one plane of skin: the abdomen's quarters share one, around the navel; every other zone has its
// own, around its middle. x to the person's left, y towards the head. Places in different planes
// are never near each other.
//
// A spot is a point of a hexagonal lattice whose neighbours are at least `spacing` apart, so two
// spots never count as one. In this order: every spot rests its full time; nothing that is kept off
// is entered (H17); a slot keeps its part of the body; zones are used evenly; each injection is as
// far as it can be from the recent ones.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::places {

// ---- the body

struct Body {
  TenthsCm height;
  std::optional<TenthsCm> waist;  ///< nothing: from the height, by a proportion of ours
  TenthsMm navel_clear{500};      ///< no spot nearer to the navel (checks: 5 cm, unless set less)
};

/// What a request may hold, each with its reason.
inline constexpr std::int32_t days_max = 366;  ///< a year and its leap day
inline constexpr std::size_t slots_max = 12;   ///< an injection every two hours
inline constexpr std::size_t slot_name_bytes_max = 64;
inline constexpr std::int32_t rest_days_max = 366;
inline constexpr TenthsMm spacing_least{100};  ///< Q005, Q007: at least 1 cm
inline constexpr TenthsMm spacing_most{1000};
inline constexpr TenthsCm height_least{400};  ///< a newborn child
inline constexpr TenthsCm height_most{2500};
inline constexpr TenthsCm waist_least{250};
inline constexpr TenthsCm waist_most{2500};
inline constexpr TenthsMm navel_least{100};  ///< Z003: the least that is quoted
inline constexpr TenthsMm navel_most{1000};
inline constexpr TenthsMm radius_most{3000};
inline constexpr TenthsMm spot_most{5000};          ///< half a metre from the navel or the middle
inline constexpr std::size_t blocked_max = 200;     ///< circles
inline constexpr std::size_t used_max = 20'000;     ///< ten years of five a day
inline constexpr std::size_t promised_max = 5'000;  ///< a year of twelve a day

/// A circle on the skin where nobody injects. On the abdomen it reaches over the quarters' edges.
struct Circle {
  Zone zone = Zone::abdomen_left_upper;
  Spot centre{};
  TenthsMm radius;
};

/// A zone's edge: a simple polygon, counter-clockwise, in its plane. No corners: the zone has no
/// room beside the navel on this body. `body` within the limits above.
struct Outline {
  Zone zone = Zone::abdomen_left_upper;
  std::vector<Spot> corners;
};
Outline outline(Zone zone, const Body& body);
/// The edge itself belongs to the zone. Exact.
bool inside(const Outline& zone, Spot spot);
/// Whether two zones share a plane of skin.
bool same_plane(Zone a, Zone b);
/// Which of the four quarters a place on the abdomen belongs to.
Zone quarter_at(Spot spot);
/// The distance between two places of one plane, tenths of a millimetre, rounded down.
TenthsMm distance(Spot a, Spot b);

/// A zone's spots, by rows from the head down, each from the person's right. The lattice lies as
/// the plane of skin holds most spots (rows or columns, shifted in small steps), so it depends on
/// the body and the spacing alone: neither a blocked area nor what was used moves it.
std::vector<Spot> lattice(Zone zone, const Body& body, TenthsMm spacing);
/// The most points, each at least `spacing` from every other, that any arrangement at all can have
/// in an outline: Oler's inequality for simple polygons (Folkman and Graham 1969),
///   2 A / (sqrt(3) s^2) + P / (2 s) + 1, A area, P perimeter.
std::size_t packing_bound(const Outline& zone, TenthsMm spacing);

// ---- the request

/// When the plan goes on to the next zone of a part of the body.
enum class Turn : std::uint8_t { each_injection, each_week };
inline constexpr std::array<std::string_view, 2> turn_names{"each injection", "each week"};
constexpr std::span<const std::string_view> names_of(Turn) { return turn_names; }

struct Slot {
  std::string name;
  /// Where it must go; nothing: the plan chooses. See `preferred` for what it would rather have.
  std::optional<BodyPart> part;
  /// Where this slot's insulin is absorbed as wanted, best first; empty: from the name (breakfast,
  /// lunch, supper: abdomen first; bedtime, night: thigh, buttock first; `checks` B001 to B005).
  std::vector<BodyPart> prefers;
};

/// An injection that went there, or that was promised for a day and a slot.
/// One used on a day of the plan keeps its spots closed until its rest is over.
struct Used {
  LocalDay day{};
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
};
struct Promised {
  LocalDay day{};
  std::size_t slot = 0;  ///< index into the request's slots
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
};

struct PlaceRequest {
  LocalDay from{};
  std::int32_t days = 28;
  std::vector<Slot> slots;      ///< one injection each, a day, in this order
  std::vector<Zone> zones;      ///< that are allowed
  std::int32_t rest_days = 28;  ///< a spot is free again when the dates differ by so many
  TenthsMm spacing{100};
  Body body;
  Turn turn = Turn::each_injection;
  /// The first day of a week for `each_week`, so that a zone's week is the week of the paper in
  /// hand; nothing: Monday.
  std::optional<LocalDay> weeks_from;
  std::vector<Circle> blocked;
  std::vector<Used> used;
  /// An earlier plan: kept wherever it can be, so that one missed or moved injection changes only
  /// what it must.
  std::vector<Promised> promised;
};

// ---- the plan

struct Planned {
  LocalDay day{};
  std::size_t slot = 0;
  Zone zone = Zone::abdomen_left_upper;
  Spot spot{};
  bool kept = false;  ///< as it was promised
};

struct ZoneCount {
  Zone zone = Zone::abdomen_left_upper;
  std::size_t spots = 0;  ///< that the zone holds
  std::size_t open = 0;   ///< of these, outside everything that is kept off
  std::size_t bound = 0;  ///< packing_bound of its outline
  std::size_t planned = 0;
};

struct PlacePlan {
  std::vector<Planned> plan;              ///< by day, then slot
  std::optional<TenthsMm> least_spacing;  ///< of two places less than `rest_days` apart in time
  /// Between two uses of one spot, one of them planned; none is used twice: as asked.
  std::int32_t least_rest_days = 0;
  std::size_t promises_broken = 0;  ///< of those for these days
  std::size_t spots = 0;            ///< open spots of all allowed zones
  std::vector<ZoneCount> zones;
  std::vector<std::optional<BodyPart>> slot_parts;  ///< nothing: this slot cannot keep to one part
  /// The longest rest that these spots can give for ever from a clean skin, and the one that no
  /// arrangement of spots could pass.
  std::int32_t longest_rest_days = 0;
  std::int32_t rest_days_bound = 0;
  std::vector<std::string_view> cautions;
};

namespace places_codes {
inline constexpr std::string_view days_limit = "places.days_limit";  // days, most
inline constexpr std::string_view no_slot = "places.no_slot";
inline constexpr std::string_view slots_limit = "places.slots_limit";  // count, most
inline constexpr std::string_view slot_name = "places.slot_name";      // most
inline constexpr std::string_view slot_twice = "places.slot_twice";    // slot
inline constexpr std::string_view no_zone = "places.no_zone";
inline constexpr std::string_view rest_limit = "places.rest_limit";        // days, most
inline constexpr std::string_view spacing_limit = "places.spacing_limit";  // least, most
inline constexpr std::string_view height_limit = "places.height_limit";
inline constexpr std::string_view waist_limit = "places.waist_limit";
inline constexpr std::string_view navel_limit = "places.navel_limit";
inline constexpr std::string_view circle_limit = "places.circle_limit";
inline constexpr std::string_view too_many = "places.too_many";      // field, count, most
inline constexpr std::string_view spot_limit = "places.spot_limit";  // most
inline constexpr std::string_view promised_slot = "places.promised_slot";
// must not be planned
inline constexpr std::string_view part_not_allowed = "places.part_not_allowed";  // slot, part
inline constexpr std::string_view no_spot = "places.no_spot";  // nothing is open at all
/// Everywhere it would do; a slot that must keep to one part makes it impossible. args: part, slots
/// (kept there), spots (there), rest, longest.
inline constexpr std::string_view part_too_small = "places.part_too_small";
/// The body cannot rest its spots so long. args: rest, longest, spacing, spots, a_day, days;
/// longest 0: not even one day.
inline constexpr std::string_view rest_too_long = "places.rest_too_long";
/// The same where the spacing asked is wider than the least: args also widest.
inline constexpr std::string_view spacing_too_wide = "places.spacing_too_wide";
}  // namespace places_codes
std::span<const std::string_view> refusals();

namespace places_cautions {
inline constexpr std::string_view slot_moves = "places.caution.slot_moves";
inline constexpr std::string_view waist_unknown = "places.caution.waist_unknown";
inline constexpr std::string_view arm = "places.caution.arm";
inline constexpr std::string_view promise_broken = "places.caution.promise_broken";
/// These days can be planned, but not for ever so: longest_rest_days is less than what was asked.
inline constexpr std::string_view rest_not_lasting = "places.caution.rest_not_lasting";
}  // namespace places_cautions
std::span<const std::string_view> cautions();

/// The plan, or why there is none.
///
/// What is optimal. Feasibility is exact on this lattice: spots of one part are alike, so counting
/// day by day decides whether any plan exists; a refusal is a proof that there is none, and the
/// longest rest that it names (for these days, after what was used) really is the longest. Slots
/// keep to their parts with the least sum of wishes passed over; as few as possible move. From a
/// clean skin the longest rest is floor(spots / slots a day); the distance to what no arrangement
/// of spots could pass is the quotient of `longest_rest_days` and `rest_days_bound`, which is made
/// of packing_bound.
///
/// What is not claimed to be optimal: the spots' distances. Each injection goes to the free spot of
/// its zone that is farthest from the places of the last four weeks (and from those promised for
/// the next); the older a place, the farther it counts, twice as far after a fortnight.
///
/// Even: a part's zones take turns by their open spots (Sainte-Lague), with what was used in the
/// rest before; zones with equally many open spots, unused before and never short of a free one,
/// are planned equally often or once more.
///
/// Stable: a promise is kept wherever it is still allowed (zone, body, blocked areas, part, what
/// was used), the rest is planned around it; the latest give way where the rest could not be kept.
Result<PlacePlan> plan(const PlaceRequest& request);

/// The contract's example.
PlaceRequest example();

// ---- told to people

/// A place as a person can find it: quarter and finger widths, from the navel on the abdomen, from
/// the zone's middle elsewhere. A finger is as wide as its owner is tall by a proportion of ours
/// (about 1.9 cm at 168 cm).
struct Told {
  Zone zone = Zone::abdomen_left_upper;
  bool upper = false;            ///< above the navel or the middle
  bool outer = false;            ///< in the half away from the body's midline
  std::int32_t fingers = 0;      ///< straight from the navel, or the middle; 0: at it
  std::int32_t fingers_out = 0;  ///< sideways, away from the midline positive
  std::int32_t fingers_up = 0;   ///< towards the head positive
};
Told told(Zone zone, Spot spot, const Body& body);

// ---- what a record says about rotation

struct Rotation {
  std::size_t injections = 0;                         ///< with a place
  std::vector<std::pair<Zone, std::size_t>> by_zone;  ///< every zone used, most used first
  /// How evenly the zones that are allowed were used: the effective number of zones (inverse
  /// Simpson) over how many there are, in thousandths. 1000: all alike; 0: none of them was used.
  std::int32_t evenness_thousandths = 0;
  std::size_t too_close = 0;       ///< nearer than the spacing to one less than the rest before it
  std::size_t same_spot_most = 0;  ///< most injections within one spacing of a place, in the window
  std::optional<TenthsMm> nearest_median;  ///< to the nearest place of the rest before it
  std::size_t in_blocked = 0;              ///< inside what was kept off when it was given
};
/// Injections of `used` from `from` to `to`, both included; earlier ones count as what was there
/// before. `blocked`: with the day from which, and until which, each was kept off.
struct BlockedSpell {
  Circle circle;
  LocalDay from{};
  std::optional<LocalDay> until;  ///< first day that it was open again
};
Rotation rotation(std::span<const Used> used, std::span<const BlockedSpell> blocked, LocalDay from,
                  LocalDay to, std::span<const Zone> allowed, std::int32_t rest_days,
                  TenthsMm spacing);

}  // namespace penstock::places
