// Cover: how long what is in the house lasts, day by day, and the day by which to ask for more.
//
// Exact, not simulated. One rule takes a dose (draw's): from the open cartridge if it holds prime
// and dose and its period has not ended; otherwise the rest is thrown away and the next is opened.
// Where doses vary, one cartridge is a recursion over the units left in it. Its state when it is
// opened is the slot of the day and the dose that did not fit the one before (which is its first);
// so the cartridges are a semi-Markov chain, and the day on which the last of them ends is their
// convolution. A walk with the doses as written, day by day, judges it in the tests.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
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
  std::int32_t days_in_use = 0;     ///< on the first day
  bool is_new = false;              ///< not yet primed: the new cartridge's prime is still due
  std::optional<LocalDay> expires;  ///< the last day of its printed expiry
};

/// Sealed cartridges of one expiry; they are opened first expiring first.
struct Sealed {
  std::int32_t cartridges = 0;
  std::optional<LocalDay> expires;  ///< last day; nothing: none is known
};

/// One insulin of one strength: what its doses take, what is in the house of it.
struct Line {
  std::string insulin;
  std::vector<Units> doses;  ///< of one day, in order; at least one, each above zero
  /// So many of the first day's doses are given already; at most all of them. The first day is full
  /// when the others can be given.
  std::size_t given_on_first_day = 0;
  Units dose_sd = Units::zero();  ///< independent normal doses, rounded to `step`, cut at zero
  Units step = *Units::from_hundredths(100);
  std::optional<Units> most;  ///< of one injection; nothing: no dose needs dividing
  shelf::Window window =
      shelf::Window::returns_to_zero;  ///< counts on: `most` holds the prime, too
  Units prime = Units::zero();
  Units new_cartridge_prime = Units::zero();
  Units cartridge = Units::zero();  ///< content of a sealed one; above zero
  std::int32_t in_use_days = 28;
  bool suspension = false;                  ///< never split, H14
  Units least_left_to_mix = Units::zero();  ///< H43
  bool use_the_rest = false;                ///< a rest is given first, the dose is split
  std::vector<Open> open;
  std::vector<Sealed> sealed;
};

/// How long a supply takes from the day on which it is asked for until it is in the house.
struct Lead {
  std::int32_t days = 7;
  double chance = 1;
};

struct Ask {
  std::vector<Lead> leads;  ///< at least one; chances add up to one
  /// Days on which nobody asks and nothing comes; lead days are then counted in the other days.
  /// Ascending.
  std::vector<LocalDay> closed;
  double service = service_usual;
  std::int32_t spare_cartridges = 1;  ///< sealed, of each line: not touched (H51)
  std::int32_t for_days = 30;
  std::int32_t cartridges_per_box = 5;
  std::int32_t needles_per_box = 100;
};

struct Request {
  LocalDay on{};  ///< the first day; none of its doses is given yet
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
  std::int32_t full_days = 0;  ///< with the doses as written: days with every dose
  std::optional<LocalDay> last_full_day;
  Units thrown_away = Units::zero();  ///< rests and ended periods, with the doses as written
  /// From the first day on which it is not certain (a chance of at least `chance_least`) to the day
  /// on which it is certain to have run out, or the horizon. Doses that do not vary: one step.
  std::vector<DayChance> runs_out;
  bool beyond_horizon = false;  ///< it lasts longer than `horizon_days_max`

  std::optional<LocalDay> ask_by;   ///< with `ask`; late: `on`
  std::optional<LocalDay> here_by;  ///< when it would come, by the longest of the leads
  bool late = false;                ///< asked today it still may not come in time (a caution)
  std::int32_t boxes = 0;           ///< with `ask`: the fewest that cover `for_days`
};
inline constexpr double chance_least = 1e-9;

struct Answer {
  std::vector<Lasts> lines;  ///< one for each line
  std::optional<Lasts> needles;
  std::optional<Lasts> sharps;
  std::optional<LocalDay> ask_by;  ///< the earliest of all
};

/// Closed list, in the order in which they are looked for. All of kind invalid_input or refused,
/// with `at` a JSON pointer as exchange names the fields.
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
inline constexpr std::string_view leads_sum = "cover.leads_sum";  // chances do not add up to one
}  // namespace codes
inline constexpr auto refusals = std::to_array<std::string_view>(
    {codes::no_lines, codes::no_doses, codes::value_range, codes::not_a_step,
     codes::prime_fills_window, codes::dose_never_fits, codes::split_suspension, codes::leads_sum});

/// The whole answer. Exact in exact arithmetic; sums of doubles lose less than 1e-12. Time: for
/// each line (units of a cartridge) x (doses of a day) x (spread of a dose) for its recursion, and
/// (days) x (cartridges) x (days of one) for the convolution.
Result<Answer> cover(const Request& request);

// ---- from the dispensing history
// ----------------------------------------------------------------

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
