// Taking one dose from the cartridges at hand: which cartridge, how many injections, what is spent
// on priming, which rests are thrown away. The one rule that the dial plan and the cover share.
//
// The rule in words. An injection is one cartridge, one needle, its prime, one dial. What the
// window must show never exceeds the pen's most, the prime included on a pen whose window counts
// on. After the dose, a rest that cannot prime and give the next dose is thrown away, and is waste.
// Among all ways to give the dose, `choose` finds the best:
//   1. fewest needles: fewest injections, then least waste (primed and thrown away);
//      least waste: the other way round;
//      Before the waste, where asked for: the cartridge in the pen stays if it alone gives the dose
//      in as few injections as any, but for what primes left in its window;
//   2. then cartridges in use first, earliest end first, order given, injection by injection;
//   3. then as evenly as the step allows (least sum of squares of the parts), larger first.
// Source: the terms of the `dial` call; the numbers 1 to 3 are its words, in its order.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::draw {

/// More than one person keeps in use and in stock of one insulin at once; the search is linear in
/// it.
inline constexpr std::size_t cartridges_max = 40;

/// What holds for every injection with this pen and this insulin.
struct Rules {
  Units step;                 ///< above zero
  Units most;                 ///< at least one step; what is not a whole step of it is not used
  shelf::Window window;       ///< never assumed (H01)
  Units prime;                ///< before each injection; a whole number of steps is pressed
  Units prime_new_cartridge;  ///< instead of `prime`, the first time on a new cartridge
  bool suspension = false;    ///< never split over two cartridges (H14)
  Units least_left_to_mix = Units::zero();  ///< a suspension with less left is not begun (H43)
  /// A prime of zero presses nothing. Never for a plan, which dials nothing without flow (H44): for
  /// an account of what somebody does.
  bool may_go_unprimed = false;
};

/// One cartridge that may serve: the caller has left out those past their in-use days (H12).
struct AtHand {
  Units left = Units::zero();  ///< in it now
  bool is_new = false;         ///< not yet primed: it takes the new cartridge's prime
  bool sealed = false;         ///< never pierced: what is in it is not a rest, untouched it is kept
  std::int32_t days_to_end = 0;  ///< days until its in-use period ends; orders equal choices
};

/// A needle that is on a cartridge already, with what was pressed through it.
struct OnNeedle {
  std::size_t cartridge = 0;     ///< index of the cartridge that it is on
  Units spent = Units::zero();   ///< stays in the count of a window that counts on
  Units primed = Units::zero();  ///< of the prime that is under way, what went through this needle
  bool flow_seen = false;        ///< insulin was seen: no more priming
  bool change = false;           ///< dry too often: a new needle, and the whole prime again
};

enum class Prefer : std::uint8_t { fewest_needles, least_waste };
inline constexpr std::array<std::string_view, 2> prefer_names{"fewest needles", "least waste"};
constexpr std::span<const std::string_view> names_of(Prefer) { return prefer_names; }
/// Whether one dose may come from two cartridges.
enum class Split : std::uint8_t {
  as_needed,  ///< whenever the preference says so
  if_short,   ///< only when no single cartridge can give the dose
  never,
};
inline constexpr std::array<std::string_view, 3> split_names{"as needed", "if short", "never"};
constexpr std::span<const std::string_view> names_of(Split) { return split_names; }

struct Request {
  Units dose;       ///< above zero, a whole number of steps
  Units next_dose;  ///< what comes after it, above zero, a whole number of steps
  Prefer prefer = Prefer::fewest_needles;
  Split split = Split::as_needed;
  std::optional<OnNeedle> on_needle = {};
  /// The cartridge in the pen, where it stays as long as it alone gives the dose, with
  /// `fewest_needles`, in as few injections as any choice, or would if nothing stood in its window.
  /// The least waste of this one dose would change a cartridge whose rest is enough for it and not
  /// for the next, and so keep a rest for ever; what primes left in the window would change a
  /// nearly full one.
  std::optional<std::size_t> stays = {};
};

/// One injection.
struct Part {
  std::size_t cartridge = 0;
  Units dose = Units::zero();
  Units primed = Units::zero();  ///< still to be pressed out before it; zero when flow was seen
  Units spent = Units::zero();   ///< pressed out before, through the needle that is on
  Units window = Units::zero();  ///< the number to bring the window to
};

struct Choice {
  std::vector<Part> parts;        ///< in the order in which they are given
  std::vector<Units> left_after;  ///< for each cartridge at hand; thrown away ones zero
  std::vector<Units> thrown;      ///< for each cartridge at hand: the rest that is thrown away
  std::vector<bool> thrown_away;  ///< which cartridges go, also those used up to the last unit
  Units primed = Units::zero();
  Units wasted = Units::zero();  ///< primed and thrown away
};

/// Why there is no choice, in the order in which it is looked for.
enum class Why : std::uint8_t {
  prime_fills_window,  ///< the prime alone fills the window of every cartridge that has enough
  too_little_to_mix,   ///< a suspension, and every cartridge is below the least to be mixed
  only_by_splitting,   ///< together they hold it, no one of them does, and it may not be split
  too_little,          ///< all of them together hold too little
};
struct NoChoice {
  Why why = Why::too_little;
  Units most_alone = Units::zero();     ///< the largest dose that one cartridge can give
  Units most_together = Units::zero();  ///< the largest dose that all can give
};

/// The best way to give the dose. Exact: nothing better exists among all divisions over all
/// cartridges. Time: O(cartridges) when one injection does (or nothing can waste less); otherwise
/// O(s * sum of injections that each cartridge can give), s = dose in steps, for the least waste
/// and fewest injections, and O(s * s) a cartridge used for the ties. `at_hand` at most
/// cartridges_max.
tl::expected<Choice, NoChoice> choose(const Rules& rules, std::span<const AtHand> at_hand,
                                      const Request& request);

// ---- one cartridge, without a heap: what a walk over many days uses

/// A dose taken from one cartridge.
struct Taken {
  std::int32_t injections = 0;
  Units primed = Units::zero();
  Units left = Units::zero();
};
/// Takes the whole dose from one cartridge, in as few injections as the window allows. Nothing when
/// it cannot: too little in it, too little to mix, or the prime fills the window. `dose` in whole
/// steps.
std::optional<Taken> take(const Rules& rules, const AtHand& from, Units dose);
/// The largest dose, in whole steps, that one cartridge can give. Zero when none.
Units most_from(const Rules& rules, const AtHand& from);
/// What a cartridge must hold so that it can give the dose alone, all primes included. Nothing when
/// the prime fills the window.
std::optional<Units> needed(const Rules& rules, Units dose, bool is_new);
/// The prime as this pen can press it: whole steps, at least one (unless it may go unprimed), never
/// less than the rule (a prime is not a dose: rounding it up spends insulin and gives none).
Units prime_in_steps(const Rules& rules, bool is_new);

}  // namespace penstock::draw
