// The next injection, action by action: which cartridge, how to ready it, the number to bring the
// window to, what is left. Pure: the caller says what is at hand and what happened so far.
//
// It never rounds a dose (H26), never plans without knowing what the window does with primed units
// (H01), never counts on insulin that priming will take (H02), never uses a cartridge past its
// in-use days (H12), never leaves out the mixing of a suspension (H14, H43), and gives no number
// when nothing flows (H44).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/draw/draw.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::dial {

using namespace literals;

// ---- limits of what can be asked (H25); beyond them a number was mistyped

/// More than one pen gives at once, ever. Common practice, no source.
inline constexpr Units dose_max = 300_units;
inline constexpr Units step_least = 0.1_units;
inline constexpr Units step_max = 10_units;
inline constexpr Units most_max = 300_units;
/// Several times the largest prime rule. Common practice, no source.
inline constexpr Units prime_max = 60_units;
inline constexpr Units spent_max = 300_units;
/// 3 mL at 500 units/mL, the largest content there is.
inline constexpr Units left_max = 1500_units;
inline constexpr std::int32_t strength_max = 1000;
inline constexpr std::int32_t in_use_days_max = 400;
inline constexpr std::int32_t days_in_use_max = 4000;
inline constexpr std::int32_t hold_seconds_max = 60;
inline constexpr std::int32_t dry_primes_max = 100;
inline constexpr std::size_t id_bytes_max = 64;
inline constexpr std::size_t next_doses_max = 100;

/// After so many dry primes a new needle is fitted; if that one is dry, too, this pen is not used.
/// Our choice where a pen's own instruction says nothing; common practice, no source.
inline constexpr std::int32_t dry_primes_for_new_needle = 3;

/// Cloudy insulin is rolled so often, then tipped so often, and again until it is evenly milky
/// (rows Q015 to Q017 of data/reference/pens.tsv: 10 and 10 read second-hand, 20 in the trials,
/// read).
inline constexpr std::int32_t mix_rolls = 10;
inline constexpr std::int32_t mix_tips = 10;

// ---- soft limits: beyond them the plan says so beside its numbers (H25)

/// Usual pens dial 60 or 80 units (row T402 of data/reference/pens.tsv, from memory).
inline constexpr Units dose_usual_most = 80_units;

// ---- the request

struct Insulin {
  std::string name;  ///< generic
  Strength strength;
  bool suspension = false;
  /// A suspension with less in the cartridge is not begun. Unknown: planned without, with a
  /// caution.
  std::optional<Units> least_left_to_mix;
};
/// What the program's shelf says of its name: cloudy or clear; nothing: it does not know it (H14).
std::optional<bool> known_cloudy(const Insulin& insulin);

struct Pen {
  Units step = Units::zero();
  Units most = Units::zero();
  std::optional<shelf::Window> window;  ///< unknown: no plan (H01)
  std::int32_t hold_seconds = 10;       ///< the pen's own instruction; otherwise 10 s (consensus)
};

/// The prime rule, and what happened on the needle that is on. That needle is on the first
/// cartridge in the list that may serve.
struct Prime {
  Units units = Units::zero();         ///< before each injection
  std::optional<Units> new_cartridge;  ///< on a new one; as `units` when not said
  Units spent = Units::zero();         ///< pressed out already, in window count and in `left`
  /// Of `spent`, what went through the needle that is on. Not said: all of it; on a needle that was
  /// changed none, for it has to be primed whole (H64).
  std::optional<Units> through_needle = {};
  /// Not said: whether anything was pressed through it. Off, a new one is fitted, and `flow_seen`
  /// was the old one's.
  std::optional<bool> needle_on = {};
  /// Insulin was seen. Not said counts as not seen: nothing is assumed from silence.
  bool flow_seen = false;
  std::int32_t dry_primes = 0;  ///< whole primes in which nothing showed, through this needle
  bool needle_changed = false;  ///< this needle is already the new one after dry primes
};

struct Cartridge {
  std::string id;
  Units left = Units::zero();  ///< now, the spent prime already gone
  /// Local date now minus that of first piercing (or of leaving the fridge). Not needed for one
  /// that says that it is new.
  std::optional<std::int32_t> days_in_use;
  std::int32_t in_use_days = 0;  ///< serves while days_in_use is less (H12)
  /// Said, or worked out: nothing said, 0 days, no spent prime on it.
  std::optional<bool> is_new;
};

struct DialRequest {
  Units dose = Units::zero();
  /// This dose is the rest of a larger one, of which a part was given (H39).
  std::optional<Units> part_of;
  Insulin insulin;
  Pen pen;
  Prime prime;
  std::vector<Cartridge> cartridges;
  draw::Prefer prefer = draw::Prefer::fewest_needles;
  /// Two cartridges for one dose. The contract's preference decides by default; `never` where it
  /// was not taught back.
  draw::Split split = draw::Split::as_needed;
  /// The first cartridge that may serve stays in the pen while it gives the whole dose in as few
  /// injections as any choice, or would with nothing in its window. Not said: least waste decides,
  /// as the call's terms have it.
  bool keep_in_pen = false;
  /// What comes after this dose; the first of them decides which rests are kept. Not said: this
  /// dose again (the whole one, when this is a part).
  std::optional<std::vector<Units>> next_doses;
};

// ---- the plan

enum class Do : std::uint8_t {
  mix,                ///< a suspension: always the first, and cannot be left out (H14)
  needle_off,         ///< into the sharps container at once (H15, H34)
  change_cartridge,   ///< to `cartridge`
  look_at_insulin,    ///< name, strength, clear or evenly cloudy (H04)
  fit_needle,         ///< a new one, both shields off (H45)
  prime,              ///< `primed` units, point upwards, until a drop shows (H44)
  dial,               ///< bring the window to `window`
  inject,             ///< press, count `hold_seconds`
  check_window_at_0,  ///< a window that returns: anything else is the rest not given (H44)
  check_window,       ///< a window that counts on still shows `window`; then it is set back
  throw_away,         ///< `left` units go with it; after the injection, never before (H38), and
                      ///< the last that can serve only once the next is there (keep_until_next)
};
inline constexpr std::array<std::string_view, 11> do_names{
    "mix",  "needle off", "change cartridge",  "look at insulin", "fit needle", "prime",
    "dial", "inject",     "check window at 0", "check window",    "throw away"};
constexpr std::span<const std::string_view> names_of(Do) { return do_names; }

struct WindowRow {
  Units primed = Units::zero();  ///< all that was pressed out when insulin showed
  Units window = Units::zero();  ///< then the number to bring the window to
  friend bool operator==(const WindowRow&, const WindowRow&) = default;
};

/// One thing to do. Fields that its kind does not use stay at zero.
struct Action {
  Do what = Do::dial;
  std::size_t cartridge = 0;     ///< index into the request's list
  Units primed = Units::zero();  ///< prime: to press now
  Units dose = Units::zero();    ///< dial, inject: this injection's units
  /// dial, check window; prime on a pen that counts on: what it shows before that
  Units window = Units::zero();
  std::optional<Units> part_of;   ///< dial: of this whole dose; nothing when it is the whole (H39)
  std::int32_t hold_seconds = 0;  ///< inject
  Units left = Units::zero();     ///< in the cartridge after this action; throw away: what goes
  /// dial on a pen that counts on, when flow is still to be seen: the window for each number of
  /// units primed, from the planned one on.
  std::vector<WindowRow> window_by_prime;
  /// throw away: nothing listed gives the next dose, so it stays until the next is in hand (H38).
  bool keep_until_next = false;
  /// throw away: it holds too little for this dose, though not for the next one.
  bool short_of_dose = false;
};

struct Caution {
  std::string_view code;
  std::vector<Arg> args;
};

struct LeftAfter {
  std::string id;
  Units left = Units::zero();  ///< zero when thrown away
  bool thrown_away = false;
};

struct DialPlan {
  /// Asked before anything else, every time (H07, H46): taken already, by whom, when. Not an
  /// action: the plan of a suspension starts with mixing.
  static constexpr std::string_view ask_first = "taken already";
  std::vector<Action> actions;
  Units given = Units::zero();
  std::int32_t needles = 0;  ///< injections
  Units primed = Units::zero();
  Units thrown_away = Units::zero();  ///< also what is past its in-use days
  std::vector<LeftAfter> left_after;  ///< every cartridge, in the order given
  std::vector<Caution> cautions;
};

/// Refusals, a closed list in the order in which they are looked for; one test walks it. The first
/// ones are requests that cannot be (invalid_input, `at` is the field), the others well formed ones
/// that must not be planned (refused).
namespace dial_codes {
// asked wrongly: field by field
inline constexpr std::string_view dose_none = "dial.dose_none";
inline constexpr std::string_view dose_limit = "dial.dose_limit";  // dose, most
inline constexpr std::string_view insulin_unnamed = "dial.insulin_unnamed";
inline constexpr std::string_view strength_limit = "dial.strength_limit";  // strength, most
inline constexpr std::string_view cloudy_as_clear =
    "dial.cloudy_as_clear";  // refused (H14): insulin, dose
inline constexpr std::string_view clear_as_cloudy =
    "dial.clear_as_cloudy";  // refused (H14, H58): insulin, dose
inline constexpr std::string_view window_unknown = "dial.window_unknown";  // refused (H01)
inline constexpr std::string_view step_limit = "dial.step_limit";          // step, least, most
inline constexpr std::string_view most_limit = "dial.most_limit";          // pen_most, least, most
inline constexpr std::string_view hold_limit = "dial.hold_limit";          // seconds, most
inline constexpr std::string_view dose_not_in_steps =
    "dial.dose_not_in_steps";  // refused (H26): dose, step, below
inline constexpr std::string_view part_of_limit = "dial.part_of_limit";  // part_of, dose, most
inline constexpr std::string_view prime_limit = "dial.prime_limit";      // prime, most
inline constexpr std::string_view spent_limit = "dial.spent_limit";      // spent, most
inline constexpr std::string_view spent_not_in_steps = "dial.spent_not_in_steps";  // spent, step
inline constexpr std::string_view through_limit = "dial.through_limit";            // through, spent
inline constexpr std::string_view dry_limit = "dial.dry_limit";                    // primes, most
inline constexpr std::string_view dry_spent =
    "dial.dry_spent";  // spent, least, primes: fewer units than so many dry primes press out
inline constexpr std::string_view next_dose_limit = "dial.next_dose_limit";  // dose, most
inline constexpr std::string_view next_dose_not_in_steps =
    "dial.next_dose_not_in_steps";                                                 // dose, step
inline constexpr std::string_view least_to_mix_limit = "dial.least_to_mix_limit";  // least, most
inline constexpr std::string_view no_cartridge = "dial.no_cartridge";              // refused: dose
inline constexpr std::string_view too_many_cartridges = "dial.too_many_cartridges";  // count, most
inline constexpr std::string_view cartridge_id = "dial.cartridge_id";                // most
inline constexpr std::string_view cartridge_twice = "dial.cartridge_twice";          // cartridge
inline constexpr std::string_view left_limit = "dial.left_limit";  // cartridge, left, most
inline constexpr std::string_view in_use_days_limit =
    "dial.in_use_days_limit";  // cartridge, days, most
inline constexpr std::string_view days_in_use_unknown = "dial.days_in_use_unknown";  // cartridge
inline constexpr std::string_view days_in_use_limit =
    "dial.days_in_use_limit";  // cartridge, days, most
// must not be planned
inline constexpr std::string_view no_flow = "dial.no_flow";                  // primes, dose
inline constexpr std::string_view all_past_in_use = "dial.all_past_in_use";  // cartridges, dose
inline constexpr std::string_view prime_fills_window = "dial.prime_fills_window";  // pen_most, dose
inline constexpr std::string_view mix_too_little = "dial.mix_too_little";          // least, dose
inline constexpr std::string_view only_by_splitting = "dial.only_by_splitting";  // dose, most_alone
inline constexpr std::string_view cartridge_short =
    "dial.cartridge_short";  // dose, most_together, missing
}  // namespace dial_codes

/// The same list as an array, for the test that walks it and for the words.
std::span<const std::string_view> refusals();

/// What a plan can say beside its numbers.
namespace dial_cautions {
inline constexpr std::string_view dose_unusual =
    "dial.caution.dose_unusual";  // dose, most: more than usual pens dial (H25)
inline constexpr std::string_view flow_unprimed =
    "dial.caution.flow_unprimed";  // window: counts on, flow seen, nothing primed (H01)
inline constexpr std::string_view in_use_unusual =
    "dial.caution.in_use_unusual";  // cartridge, days, most: longer than any label (H12, H25)
inline constexpr std::string_view window_counts_on =
    "dial.caution.window_counts_on";  // window, dose, primed: of the first injection (H01)
inline constexpr std::string_view window_returns =
    "dial.caution.window_returns";  // window: primes are never added (H01)
inline constexpr std::string_view flow_assumed =
    "dial.caution.flow_assumed";  // primed, by this prime: the window holds if insulin shows (H44)
inline constexpr std::string_view flow_assumed_window =
    "dial.caution.flow_assumed_window";  // primed: the same where that is what the window shows
inline constexpr std::string_view new_needle =
    "dial.caution.new_needle";  // primes: dry so often; a new needle, then nothing more (H44)
inline constexpr std::string_view rest_of_dose =
    "dial.caution.rest_of_dose";  // dose, of: "12, not 22" (H39)
inline constexpr std::string_view divided =
    "dial.caution.divided";  // dose, injections: more than the window takes
inline constexpr std::string_view split =
    "dial.caution.split";  // dose, cartridges: two cartridges for one dose (H39)
inline constexpr std::string_view past_in_use =
    "dial.caution.past_in_use";  // cartridge, days, in_use_days (H12)
inline constexpr std::string_view last_day =
    "dial.caution.last_day";  // cartridge: today is its last (H12)
inline constexpr std::string_view rest_thrown_away =
    "dial.caution.rest_thrown_away";  // cartridge, left, next_dose
inline constexpr std::string_view rest_short =
    "dial.caution.rest_short";  // cartridge, left, dose: too little for this one (H58)
inline constexpr std::string_view rest_short_to_mix =
    "dial.caution.rest_short_to_mix";  // the same, least: enough but for the mixing (H43)
inline constexpr std::string_view rest_kept =
    "dial.caution.rest_kept";  // the same where nothing gives the next dose (H38)
inline constexpr std::string_view new_may_take_more =
    "dial.caution.new_may_take_more";  // cartridge, primed: common practice, four to six units
inline constexpr std::string_view least_to_mix_unknown =
    "dial.caution.least_to_mix_unknown";  // (H43)
inline constexpr std::string_view more_than_cartridge =
    "dial.caution.more_than_cartridge";  // cartridge, left, most: more than 3 mL of it (H25)
inline constexpr std::string_view nothing_for_next =
    "dial.caution.nothing_for_next";  // next_dose: nothing at hand gives it (H38, H51)
}  // namespace dial_cautions
std::span<const std::string_view> cautions();

/// The plan for one injection (or several, where one window or one cartridge is not enough).
/// Errors: `refusals()`, `at` a JSON pointer into the request.
Result<DialPlan> plan(const DialRequest& request);

/// The request of the contract: 18 units, 3 spent, flow seen: the window to 21.
DialRequest example();

}  // namespace penstock::dial
