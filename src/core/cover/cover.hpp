// Cover: how long what is in the house lasts, day by day, and the day by which to ask for more.
//
// Exact, not simulated. One rule takes a dose (draw's): from the open cartridge if it holds prime
// and dose and its period has not ended; otherwise the rest is thrown away and the next is opened.
// Where doses vary, what is followed from dose to dose is the law of the house: how likely it is
// that this cartridge serves and holds so many units. internal/law.hpp says why nothing else needs
// to be remembered. A walk with the doses as written, every sequence of doses written out, and a
// seeded simulation judge it in the tests.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "base/stopped.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::cover {

/// Nobody plans further than three years, and no stock of insulin lasts longer than its expiry.
inline constexpr std::int32_t horizon_days_max = 1'100;
/// The usual certainty with which doses are to be covered; less needs a name and a reason.
inline constexpr double service_usual = 0.99;

/// A cartridge that serves already, in the order in which they serve.
struct Open {
  Units left = Units::zero();
  std::int32_t days_in_use = 0;     ///< on the first day; its days count from then on, used or not
  bool is_new = false;              ///< not yet primed: the new cartridge's prime is still due
  std::optional<LocalDay> expires;  ///< the last day of its printed expiry
};

/// Sealed cartridges of one expiry; they are opened first expiring first.
struct Sealed {
  std::int32_t cartridges = 0;
  std::optional<LocalDay> expires;  ///< last day; nothing: none is known, these are opened last
};

/// Other doses from a day on, until the next change. None: nothing is taken any more.
struct Change {
  LocalDay from{};
  std::vector<Units> doses;
};

/// One insulin of one strength: what its doses take, what is in the house of it.
struct Line {
  std::string insulin;
  std::vector<Units> doses;  ///< of one day, in order; at least one, each above zero
  /// Ascending. Of those that begin on the first day or before it the last holds from the first day
  /// on: a plan that counts from a later day may name what has changed since.
  std::vector<Change> changes;
  /// So many of the first day's doses are given already; at most all of them. The first day is full
  /// when the others can be given.
  std::size_t given_on_first_day = 0;
  /// Independent normal doses around the written ones, rounded to `step`, cut at zero; at most a
  /// third of a cartridge. A dose of zero takes neither prime nor needle.
  Units dose_sd = Units::zero();
  Units step = *Units::from_hundredths(100);
  std::optional<Units> most;  ///< of one injection; nothing: no dose needs dividing
  shelf::Window window =
      shelf::Window::returns_to_zero;  ///< counts on: `most` holds the prime, too
  /// Pressed in whole steps, rounded up. Zero is none: this is an account of what somebody does.
  Units prime = Units::zero();
  Units new_cartridge_prime = Units::zero();  ///< instead of `prime`, the first time
  Units cartridge = Units::zero();            ///< content of a sealed one; above zero
  std::int32_t in_use_days = 28;
  bool suspension = false;                  ///< never split, H14
  Units least_left_to_mix = Units::zero();  ///< H43
  bool use_the_rest = false;  ///< what a rest can still give is given first, the dose is split
  std::vector<Open> open;
  std::vector<Sealed> sealed;
};

/// How long a supply takes from the day on which it is asked for until it is in the house.
struct Lead {
  std::int32_t days = 7;
  double chance = 1;
};

/// What a line takes on a day.
const std::vector<Units>& doses_on(const Line& line, LocalDay day);

struct Ask {
  std::vector<Lead> leads;  ///< at least one; chances add up to one
  /// Days on which nobody asks and nothing comes; lead days are counted in the other days: asked
  /// for on a day, it is there on the lead's n-th open day after it. Ascending.
  std::vector<LocalDay> closed;
  double service = service_usual;
  std::int32_t spare_cartridges = 1;  ///< sealed, of each line: not touched (H51)
  std::int32_t for_days = 30;
  std::int32_t cartridges_per_box = 5;
  std::int32_t needles_per_box = 100;
};

struct Request {
  LocalDay on{};  ///< the first day; none of its doses is given yet (see `given_on_first_day`)
  std::vector<Line> lines;
  std::optional<std::int32_t> needles_left;  ///< nothing: not asked
  double needle_fails = 0;                   ///< share of needles that are used up without a dose
  /// Needles that still fit into the sharps box below its line, three quarters full (H34).
  std::optional<std::int32_t> sharps_room;
  std::optional<Ask> ask;
};

struct DayChance {
  LocalDay day{};
  double chance = 0;  ///< that by this day's end something could not be given: cumulative
  friend bool operator==(const DayChance&, const DayChance&) = default;
};

/// One supply: an insulin, the needles, or the room in the sharps box.
struct Lasts {
  /// With the doses as written, also where they vary: days from the first on which every dose can
  /// be given. Of needles that fail the expected number is taken off first.
  std::int32_t full_days = 0;
  std::optional<LocalDay> last_full_day;
  /// With the doses as written, until nothing is left: rests, ended periods, expired ones; the last
  /// cartridge's rest, too.
  Units thrown_away = Units::zero();
  /// From the first day on which it is not certain (a chance of at least `chance_least`) to the day
  /// on which it is certain to have run out, or the horizon. Doses that do not vary: one step.
  std::vector<DayChance> runs_out;
  bool beyond_horizon = false;  ///< as written, it lasts longer than `horizon_days_max`
  /// With `ask`: as written, the days before `last_full_day` count the spare, which `ask_by` leaves
  /// alone (H51).
  bool spare_counts = false;

  /// With `ask`; late: `on`. Nothing: what is there lasts beyond the horizon.
  std::optional<LocalDay> ask_by;
  std::optional<LocalDay> here_by;  ///< when it would come, by the longest of the leads
  bool late = false;                ///< asked today it still may not come in time (a caution)
  /// With `ask`: the fewest that cover `for_days` with the service. For the sharps box, whose next
  /// one is of unknown size: zero.
  std::int32_t boxes = 0;
  std::vector<std::string_view> cautions;  ///< codes of cover_cautions, in their order
};
inline constexpr double chance_least = 1e-9;

struct Answer {
  std::vector<Lasts> lines;  ///< one for each line
  std::optional<Lasts> needles;
  std::optional<Lasts> sharps;
  std::optional<LocalDay> ask_by;  ///< the earliest of all
};

/// What is said beside an answer, in this order.
namespace cover_cautions {
/// Not even the first day's doses can be given: how to get insulin today comes first (H38).
inline constexpr std::string_view out_now = "cover.caution.out_now";
inline constexpr std::string_view late = "cover.caution.late";
inline constexpr std::string_view none_sealed = "cover.caution.none_sealed";  // on the first day
inline constexpr std::string_view spare_short = "cover.caution.spare_short";
inline constexpr std::string_view period_over = "cover.caution.period_over";  // an open one's (H12)
inline constexpr std::string_view expired = "cover.caution.expired";  // a sealed one's, by its turn
/// As written, a period or an expiry ends with a dose still in the cartridge.
inline constexpr std::string_view ends_unused = "cover.caution.ends_unused";
/// Single doses may be larger than any cartridge can give: `boxes` covers the others.
inline constexpr std::string_view too_large = "cover.caution.too_large";
inline constexpr std::string_view beyond_horizon = "cover.caution.beyond_horizon";
}  // namespace cover_cautions
inline constexpr auto cautions = std::to_array<std::string_view>(
    {cover_cautions::out_now, cover_cautions::late, cover_cautions::none_sealed,
     cover_cautions::spare_short, cover_cautions::period_over, cover_cautions::expired,
     cover_cautions::ends_unused, cover_cautions::too_large, cover_cautions::beyond_horizon});

/// What a request may be. Wider than what anybody has at home, narrow enough to be worked out.
struct Limit {
  std::int64_t least = 0;
  std::int64_t most = 0;
};
namespace limits {
inline constexpr Limit lines{1, 50};
inline constexpr Limit doses_a_day{1, 24};
inline constexpr Limit changes{0, 100};  ///< of the doses of a line; each may leave none
inline constexpr Limit units_hundredths{0, 300'000};  ///< of a cartridge, a dose, a prime
inline constexpr Limit in_use_days{1, 400};
inline constexpr Limit days_in_use{0, 4'000};
inline constexpr Limit open_cartridges{0, 40};
inline constexpr Limit sealed_cartridges{0, 1'000};
inline constexpr Limit needles{0, 100'000};
inline constexpr Limit needle_fails_percent{0, 50};
inline constexpr Limit lead_days{0, 366};
inline constexpr Limit leads{1, 12};
inline constexpr Limit service_percent{50, 100};
inline constexpr Limit spare_cartridges{0, 100};
inline constexpr Limit for_days{1, horizon_days_max};
inline constexpr Limit per_box{1, 1'000};
/// Where doses vary: steps in a cartridge. 300 units in steps of a fifth are 1'500.
inline constexpr Limit steps_in_cartridge{1, 1'500};
/// The standard deviation is at most this part of what a cartridge holds.
inline constexpr std::int64_t sd_part = 3;
/// Where doses vary, added up over the lines: (doses a day) x (steps in a cartridge) x (spread of a
/// dose in steps). Three years of one such line take some four seconds; four lines of four doses
/// from cartridges of 300 units, in whole units with a spread of 3, are under a twentieth of it.
/// The most doses of a day count; each change adds (steps squared) x (days in use) / (horizon).
inline constexpr std::int64_t work = 4'000'000;
/// A dose is looked at so many standard deviations to either side.
inline constexpr std::int64_t spread_sds = 8;
}  // namespace limits

/// Closed list, in the order in which they are looked for. All of kind invalid_input or refused,
/// with `at` a JSON pointer as the request names the fields.
namespace codes {
inline constexpr std::string_view no_lines = "cover.no_lines";
inline constexpr std::string_view no_doses = "cover.no_doses";  // args: insulin
inline constexpr std::string_view value_range =
    "cover.value_range";  // args: field, value, least, most
inline constexpr std::string_view not_a_step = "cover.not_a_step";  // args: field, value, step
inline constexpr std::string_view dose_never_fits =
    "cover.dose_never_fits";  // no full cartridge can give this dose; args: insulin, dose, holds
inline constexpr std::string_view prime_fills_window =
    "cover.prime_fills_window";  // args: insulin, prime, most
inline constexpr std::string_view split_suspension =
    "cover.split_suspension";  // use_the_rest on a suspension; args: insulin
inline constexpr std::string_view changes_order =
    "cover.changes_order";  // a change not after the one before it; args: insulin, from
inline constexpr std::string_view leads_sum = "cover.leads_sum";  // chances do not add up to one
inline constexpr std::string_view too_much_work =
    "cover.too_much_work";  // each value may be, all of them together not; args: lines
}  // namespace codes
inline constexpr auto refusals = std::to_array<std::string_view>(
    {codes::no_lines, codes::no_doses, codes::value_range, codes::not_a_step,
     codes::prime_fills_window, codes::dose_never_fits, codes::split_suspension,
     codes::changes_order, codes::leads_sum, codes::too_much_work});

/// The whole answer. Exact in exact arithmetic; sums of doubles lose less than 1e-12. Needles: as
/// if the insulin did not run out before them; where doses vary, the second needle of a split comes
/// on the days on which it comes with the doses as written. Time: as written, a few nanoseconds a
/// dose; where they vary, each dose costs (rests that are possible) x (spread of a dose).
/// `stopped` is asked after each day of a line whose doses vary.
Result<Answer> cover(const Request& request, const Stopped& stopped = {});

// ---- from the dispensing history

/// One dispensing: for how many days it was, as prescribed.
struct Dispensed {
  LocalDay on{};
  std::int32_t days_supply = 0;
};
struct Possession {
  std::int32_t days = 0;      ///< of the period, both ends included
  std::int32_t supplied = 0;  ///< days' supply dispensed in it
  std::int32_t covered = 0;   ///< days with supply in hand, overlaps carried forward
  /// Medication possession ratio: supplied / days; may exceed one. Source: pharmacoepidemiology
  /// texts (T406, from memory); worked examples BMC Health Serv Res 2007;7:122 Table 2 (T408,
  /// T410).
  double mpr() const { return static_cast<double>(supplied) / days; }
  /// Proportion of days covered: covered / days; never exceeds one (T407, from memory).
  double pdc() const { return static_cast<double>(covered) / days; }
};
/// `from` not after `until`; dispensings before `from` and after `until` are left out.
Possession possession(std::span<const Dispensed> history, LocalDay from, LocalDay until);

}  // namespace penstock::cover
