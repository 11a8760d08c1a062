// Travel: what to carry, in how many places, and what has to be asked before leaving.
//
// The published rules for dose times across time zones are put as a question to the prescriber with
// their numbers beside each other; nothing here is a dose to take, and background insulin is never
// left out of it (H18, H38). Days are local dates at home, both ends counted, so the date line adds
// none and takes none.
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

namespace penstock::travel {

/// What an insulin is for; the same words as an order's.
enum class Purpose : std::uint8_t { background, mealtime, correction, premixed };
inline constexpr std::array<std::string_view, 4> purpose_names{"background", "mealtime",
                                                               "correction", "premixed"};
constexpr std::span<const std::string_view> names_of(Purpose) { return purpose_names; }

enum class YesNo : std::uint8_t { unknown, no, yes };
inline constexpr std::array<std::string_view, 3> yes_no_names{"unknown", "no", "yes"};
constexpr std::span<const std::string_view> names_of(YesNo) { return yes_no_names; }

struct Line {
  std::string insulin;
  Purpose purpose = Purpose::background;
  Units a_day = Units::zero();  ///< all its doses of a day
  Units primes_a_day = Units::zero();
  Units new_cartridge_prime = Units::zero();  ///< beyond the first prime of the day
  Units cartridge = Units::zero();            ///< what a full one holds
  std::int32_t in_use_days = 0;               ///< by the label
  std::int32_t doses_a_day = 1;
  Units step = Units::zero();          ///< of the pen; zero: one unit
  std::optional<TenthsCelsius> limit;  ///< the label's for use; else `strictest_limit`
};

struct Request {
  LocalDay leaves{};   ///< at home
  LocalDay returns{};  ///< at home, too
  /// How far the clocks there are ahead of those at home, from offset to offset; east above zero.
  /// Beyond twelve hours the clock's own shift is the rest of a day, and the date line lies
  /// between.
  std::int32_t shift_minutes = 0;
  /// The same on the day of return: summer time begins and ends on different days in different
  /// places, or not at all. Nothing: as on the day of leaving.
  std::optional<std::int32_t> return_shift_minutes = {};
  /// Of the clocks at home and there on the day of leaving, east of Greenwich above zero. Where
  /// both are given the shift is held against them: a slip of its sign is the other direction
  /// (H18).
  std::optional<std::int32_t> home_offset_minutes = {};
  std::optional<std::int32_t> there_offset_minutes = {};
  std::optional<TenthsCelsius> warmest;
  YesNo pharmacy = YesNo::unknown;  ///< one that has these insulins, where they go
  std::vector<Line> lines;
  std::int32_t needles_a_day = 0;
};

/// The lowest of the maximum temperatures for use that labels print (T328, T329, T366, T367).
inline constexpr TenthsCelsius strictest_limit{250};
/// Where not even the warmest hour is above it, what is not carried against the body freezes.
inline constexpr TenthsCelsius freezing{0};
/// So much more than is needed, in equal bags, all of them in the cabin: common practice, no
/// source.
inline constexpr std::int32_t reserve_factor = 2;
inline constexpr std::int32_t bags = 2;

// ---- what to carry

struct Carry {
  std::string insulin;
  Purpose purpose = Purpose::background;
  Units for_days = Units::zero();        ///< doses and primes of all days
  std::int32_t cartridges_for_days = 0;  ///< whole ones; see `cartridges_for`
  std::int32_t cartridges = 0;           ///< with the reserve
  std::int32_t in_each_bag = 0;
  std::int32_t pens = 0;         ///< the one in use and a spare
  bool cooled = false;           ///< it gets warmer than its label allows in use
  bool period_runs_out = false;  ///< sealed ones that are not cooled may end before the trip does
};
struct Needles {
  std::int32_t for_days = 0;
  std::int32_t carried = 0;
  std::int32_t in_each_bag = 0;
};

/// Cartridges that a trip of so many days takes: each serves whole days only (a rest that holds no
/// whole day is not counted on), no longer than its in-use days, and is primed anew once. Where one
/// does not last a day, so many a day. Never fewer than what the units alone would take.
std::int32_t cartridges_for(const Line& line, std::int32_t days);

// ---- what to ask

enum class Direction : std::uint8_t { none, east, west };
inline constexpr std::array<std::string_view, 3> direction_names{"none", "east", "west"};
constexpr std::span<const std::string_view> names_of(Direction) { return direction_names; }

enum class Way : std::uint8_t { out, back };
inline constexpr std::array<std::string_view, 2> way_names{"out", "back"};
constexpr std::span<const std::string_view> names_of(Way) { return way_names; }

/// What a source says about a shift.
enum class Says : std::uint8_t {
  no_change,     ///< the usual dose by the clock there
  once_reduced,  ///< east: one dose of dose * (0.9 - zones / 24)
  two_halves,    ///< west: half at the usual clock time of leaving, half at that time there
  change,        ///< a change, without a number of its own
  nothing,       ///< its rule does not reach this shift, or is not for such doses
};
inline constexpr std::array<std::string_view, 5> says_names{"no change", "once reduced",
                                                            "two halves", "change", "nothing"};
constexpr std::span<const std::string_view> names_of(Says) { return says_names; }

/// An amount of a formula in millionths of a unit: no dose, and finer than any.
struct MicroUnits {
  std::int64_t millionths = 0;
  friend constexpr auto operator<=>(MicroUnits, MicroUnits) = default;
};

/// One source's answer. Amounts are what the formula gives, and the same in the pen's steps:
/// rounded down, but the halves of the west keep their sum (H26). Where a part would be no step at
/// all, or the halves cannot both be dialled, there is none in steps: no insulin is nobody's answer
/// (H38). Numbers to ask about, not to take.
struct Option {
  std::string_view source;
  std::string_view known;  ///< read, read second-hand
  Says says = Says::nothing;
  std::vector<MicroUnits> units;
  std::vector<Units> in_steps;
};

struct Question {
  std::size_t line = 0;
  Way way = Way::out;
  std::int32_t shift_minutes = 0;  ///< of the clock, at most twelve hours either way
  Direction direction = Direction::none;
  std::vector<Option> options;  ///< in the order of `sources`
  bool sources_differ = false;
};

/// Zones below which the three sources say that nothing changes: one up to 2 hours, one up to 3
/// zones, one from 5 zones on (rows T296, T302, T303 of data/reference/travel.tsv).
inline constexpr std::int32_t no_change_hours_least = 2;
inline constexpr std::int32_t no_change_zones = 3;
inline constexpr std::int32_t formula_zones = 5;

struct Travel {
  std::int32_t days = 0;
  std::int32_t shift_minutes = 0;       ///< of the clock on the way out
  std::int32_t back_shift_minutes = 0;  ///< of the clock on the way back
  bool date_line = false;
  std::vector<Carry> carry;  ///< one a line
  Needles needles;
  bool cooling = false;
  std::vector<Question> questions;         ///< out and back, for each background line
  std::vector<std::string_view> cautions;  ///< codes of travel_cautions
};

/// Refusals, a closed list in the order in which they are looked for.
namespace travel_codes {
inline constexpr std::string_view dates = "travel.dates";              // leaves, returns
inline constexpr std::string_view days_limit = "travel.days_limit";    // days, most
inline constexpr std::string_view shift_limit = "travel.shift_limit";  // minutes, least, most
inline constexpr std::string_view shift_zones =
    "travel.shift_zones";  // minutes: not a quarter hour
inline constexpr std::string_view shift_offsets =
    "travel.shift_offsets";  // minutes, home, there, between: not what lies between the two clocks
inline constexpr std::string_view shifts_apart =
    "travel.shifts_apart";  // out, back (minutes), most: no summer time explains it
inline constexpr std::string_view celsius_limit = "travel.celsius_limit";  // celsius, least, most
inline constexpr std::string_view lines_limit = "travel.lines_limit";      // lines, least, most
inline constexpr std::string_view dose_limit = "travel.dose_limit";        // dose, most
inline constexpr std::string_view prime_limit = "travel.prime_limit";      // prime, most
inline constexpr std::string_view cartridge_limit = "travel.cartridge_limit";  // cartridge, most
inline constexpr std::string_view cartridge_small =
    "travel.cartridge_small";  // cartridge, prime: nothing is left after priming
inline constexpr std::string_view in_use_limit = "travel.in_use_limit";    // days, least, most
inline constexpr std::string_view doses_limit = "travel.doses_limit";      // doses, least, most
inline constexpr std::string_view step_limit = "travel.step_limit";        // step, most
inline constexpr std::string_view limit_limit = "travel.limit_limit";      // celsius, least, most
inline constexpr std::string_view needles_limit = "travel.needles_limit";  // needles, least, most
}  // namespace travel_codes
std::span<const std::string_view> refusals();

namespace travel_cautions {
inline constexpr std::string_view never_left_out = "travel.caution.never_left_out";
inline constexpr std::string_view cabin = "travel.caution.cabin";
inline constexpr std::string_view cool = "travel.caution.cool";
inline constexpr std::string_view frost = "travel.caution.frost";  // even the warmest freezes (H12)
inline constexpr std::string_view limit_assumed = "travel.caution.limit_assumed";
inline constexpr std::string_view period = "travel.caution.period";
inline constexpr std::string_view direction_east =
    "travel.caution.direction_east";  // hours, on leaving: for a slip of the sign
inline constexpr std::string_view direction_west = "travel.caution.direction_west";  // hours
inline constexpr std::string_view date_line = "travel.caution.date_line";
inline constexpr std::string_view other_shift_back =
    "travel.caution.other_shift_back";  // out, back (hours)
inline constexpr std::string_view no_pharmacy = "travel.caution.no_pharmacy";
inline constexpr std::string_view other_insulins = "travel.caution.other_insulins";
inline constexpr std::string_view several_doses = "travel.caution.several_doses";
inline constexpr std::string_view papers = "travel.caution.papers";
}  // namespace travel_cautions
std::span<const std::string_view> cautions();

Result<Travel> travel(const Request& request);

/// A fortnight nine hours to the east with background and mealtime insulin.
Request example();

struct Limit {
  std::int32_t least = 0;
  std::int32_t most = 0;
};
namespace limits {
inline constexpr std::int32_t days_most = 366;
inline constexpr Limit shift_minutes{-1'560, 1'560};  // offsets run from -12 to +14 hours
inline constexpr std::int32_t shift_step_minutes = 15;
inline constexpr Limit offset_minutes{-720, 840};
/// Summer time moves clocks by an hour, in one place by two; both places may have changed.
inline constexpr std::int32_t shifts_apart_most = 180;
inline constexpr Limit celsius_tenths{-900, 600};  // no place on record was hotter
inline constexpr Limit lines{1, 12};
inline constexpr Units units_most = *Units::from_hundredths(150'000);  // the largest cartridge
inline constexpr Limit in_use_days{1, 400};
inline constexpr Limit doses_a_day{1, 24};
inline constexpr Limit limit_tenths{150, 450};
inline constexpr Limit needles_a_day{0, 48};
}  // namespace limits

}  // namespace penstock::travel
