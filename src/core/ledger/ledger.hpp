// The unit account: what every cartridge was loaded with, what was taken from it and what is left;
// and what follows for pens, needles, unfinished doses and sealed stock. A fold of one person's
// journal: records never refuse, so it is total, and what is odd is marked.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::ledger {

// ---- what is odd

/// What a record shows that should not have happened. Closed list; one fact may bear several.
enum class MarkKind : std::uint8_t {
  taken_more_than_left,      ///< units: how much more
  not_loaded,                ///< taken from a cartridge that nobody loaded; units: all of it
  used_after_thrown_away,    ///< units: taken (or, loaded again: what it was said to hold)
  used_past_in_use,          ///< count: days in use (H12)
  used_past_expiry,          ///< H12
  used_after_frozen,         ///< H12
  used_after_heat,           ///< H12
  too_little_to_mix,         ///< a suspension; units: what was left before (H43)
  second_load,               ///< the same cartridge again; units: what it was said to hold
  in_two_pens,               ///< the same cartridge in another pen
  other_insulin,             ///< the same cartridge, said to hold another insulin
  wrong_insulin_for_pen,     ///< one pen, one insulin, for ever (H04)
  no_fit,                    ///< the cartridge was not made for this pen (H42)
  pen_not_given,             ///< a pen that was not given to this person
  pen_given_again,           ///< the first giving holds
  shared,                    ///< used for two people (H13)
  used_after_shared,         ///< H13
  in_other_journal,          ///< the same pen or cartridge is in somebody else's journal (H13)
  needle_reused,             ///< count: injections with it so far, this one included (H15)
  needle_left_on,            ///< count: minutes that it stayed on after the injection (H15)
  shield_left_on,            ///< H45
  prime_left_out,            ///< injected, the steps recorded, and no prime among them
  flow_not_seen,             ///< injected though no insulin had shown (H44)
  window_unclear,            ///< units: what the window showed (H01)
  window_contradicts_shelf,  ///< the window check says otherwise than the shelf (H01)
  scale_disagrees,           ///< units: by how much (H41)
  rest_forgotten,            ///< units: the rest of a part-dose, still owed at the next dose (H39)
  not_from_stock,            ///< loaded as new, though none was at home by the record
};
inline constexpr auto mark_codes = std::to_array<std::string_view>({
    "mark.taken_more_than_left",
    "mark.not_loaded",
    "mark.used_after_thrown_away",
    "mark.used_past_in_use",
    "mark.used_past_expiry",
    "mark.used_after_frozen",
    "mark.used_after_heat",
    "mark.too_little_to_mix",
    "mark.second_load",
    "mark.in_two_pens",
    "mark.other_insulin",
    "mark.wrong_insulin_for_pen",
    "mark.no_fit",
    "mark.pen_not_given",
    "mark.pen_given_again",
    "mark.shared",
    "mark.used_after_shared",
    "mark.in_other_journal",
    "mark.needle_reused",
    "mark.needle_left_on",
    "mark.shield_left_on",
    "mark.prime_left_out",
    "mark.flow_not_seen",
    "mark.window_unclear",
    "mark.window_contradicts_shelf",
    "mark.scale_disagrees",
    "mark.rest_forgotten",
    "mark.not_from_stock",
});
/// The mark's stable code; its sentence is made by `words`.
std::string_view code_of(MarkKind kind);

struct Mark {
  MarkKind kind = MarkKind::not_loaded;
  Id fact;  ///< the fact that bears it
  When when;
  Id cartridge;                 ///< nil: none
  Id pen;                       ///< nil: none
  Units units = Units::zero();  ///< as said at the kind
  std::int32_t count = 0;       ///< as said at the kind

  friend bool operator==(const Mark&, const Mark&) = default;
};
/// The mark as code and typed arguments `units`, `count` (each where the kind has one) and `when`.
std::vector<Arg> args_of(const Mark& mark);

// ---- cartridges

/// One injection: its priming, then its dose. A cell of the barrel.
struct Use {
  Id fact;  ///< the Injected fact
  When when;
  Units primed = Units::zero();  ///< pressed out since the injection before
  Units dose = Units::zero();
  journal::Flow flow = journal::Flow::unknown;  ///< what the priming showed
  friend bool operator==(const Use&, const Use&) = default;
};

/// Somebody read the cartridge's own scale. Neither it nor the ledger overwrites the other (H41).
struct ScaleCount {
  Id fact;
  When when;
  Units counted = Units::zero();
  Units ledger_left = Units::zero();  ///< what the ledger had at that moment
  Units taken_since = Units::zero();  ///< primed and injected after it
  Units uncounted = Units::zero();    ///< what might have been gone beyond the account then
  bool agrees() const { return counted == ledger_left; }
  friend bool operator==(const ScaleCount&, const ScaleCount&) = default;
};

/// The worst that warmth or cold did, by the limits copied when the cartridge was loaded (H12).
struct Exposure {
  Id fact;
  When when;
  TenthsCelsius celsius;
  std::int32_t minutes = 0;
  friend bool operator==(const Exposure&, const Exposure&) = default;
};

struct ThrowAway {
  Id fact;
  When when;
  journal::ThrowReason reason = journal::ThrowReason::other;
  friend bool operator==(const ThrowAway&, const ThrowAway&) = default;
};

/// Whether a cartridge may serve on a day. In this order: the first that applies is the verdict.
enum class Fitness : std::uint8_t {
  serves,
  not_loaded,  ///< known from facts about its use only: nothing is known about its insulin
  thrown_away,
  shared,
  frozen,   ///< final
  too_hot,  ///< above the label's most while in use: do not use, replace
  past_expiry,
  past_in_use,
};
inline constexpr auto fitness_codes = std::to_array<std::string_view>(
    {"fitness.serves", "fitness.not_loaded", "fitness.thrown_away", "fitness.shared",
     "fitness.frozen", "fitness.too_hot", "fitness.past_expiry", "fitness.past_in_use"});
std::string_view code_of(Fitness fitness);

/// What the window check dials: two units, or the least above it that a pen of this step can.
Units tested_with(Units step);

/// One cartridge, or the one inside a prefilled pen. Always, to the hundredth:
///   loaded + unexplained = injected + primed + thrown_away + left.
/// `unexplained` is what was taken beyond what was left.
struct Cartridge {
  Id id;
  Units loaded = Units::zero();  ///< by the first loading; a second one adds nothing
  Units unexplained = Units::zero();
  Units injected = Units::zero();
  Units primed = Units::zero();  ///< with what window checks pressed out
  Units thrown_away = Units::zero();
  Units left = Units::zero();

  std::optional<Id> load_fact;    ///< nothing: used, but never loaded
  When loaded_when;               ///< meaningful with load_fact
  shelf::Insulin copy;            ///< the shelf's values on that day; empty name: never loaded
  Units content = Units::zero();  ///< what it holds when full
  std::string fits;
  std::string lot;
  std::optional<LocalDay> expires;  ///< last day
  bool loaded_new = false;          ///< nobody had taken from it when it was loaded
  /// Units that may be gone beyond the account: of injections of which nobody knows how much went
  /// in, and of doses that were answered "taken" and are not on record as injections. A reading of
  /// the scale settles it (H02, H44).
  Units uncounted = Units::zero();
  std::int32_t doses_uncounted = 0;

  std::optional<Id> in_pen;  ///< the pen that it is in now
  Id last_pen;               ///< the pen that it was last in; nil: none known

  std::optional<When> first_use;    ///< first piercing: needle on, prime, test or injection
  std::optional<When> left_fridge;  ///< the first time
  std::optional<ThrowAway> thrown;
  std::optional<Exposure> frozen;
  std::optional<Exposure> hottest;
  /// Below what a label stores it at, and nobody saw it frozen: in doubt it counts as frozen.
  std::optional<Exposure> coldest;
  std::optional<When> shared_since;
  std::optional<ScaleCount> scale;
  /// The readings before it, each with what was taken up to the next one.
  std::vector<ScaleCount> scales_before;

  std::vector<Use> uses;                   ///< one an injection, in order
  Units primed_since_use = Units::zero();  ///< pressed out after the last injection
  journal::Flow flow_since_use = journal::Flow::unknown;
  bool flowed = false;  ///< insulin has shown from it at least once, or was injected

  bool is_loaded() const { return load_fact.has_value(); }
  /// Taken out of a pen for another one and not thrown away: it is at home, and its days run (H38).
  bool is_taken_out() const { return is_loaded() && !thrown && !in_pen; }
  /// What a plan may count on: of account and scale the smaller, less what is uncounted.
  Units at_least() const;
  /// It was in use before it was recorded here, and nobody recorded since when.
  bool is_since_unknown() const;
  /// Loaded as new, and neither shown to flow nor injected from: the new cartridge's prime is due.
  bool is_new() const { return loaded_new && !flowed; }
  /// The day that counts as 0: first piercing, or leaving the fridge if that was earlier and the
  /// label counts it; what is in a pen has left the fridge. Nothing: not in use yet.
  std::optional<LocalDay> in_use_from() const;
  /// Local date minus the day of first use. Nothing: not in use on that day (yet).
  std::optional<std::int32_t> days_in_use(LocalDay on) const;
  /// The last day on which it serves, of in-use period and printed expiry whichever ends first.
  /// Nothing: neither is known.
  std::optional<LocalDay> last_day() const;
  bool is_frozen() const { return frozen.has_value(); }
  bool is_too_hot() const;
  Fitness fitness(LocalDay on) const;

  friend bool operator==(const Cartridge&, const Cartridge&) = default;
};

/// The law of the account, as one cartridge keeps it.
bool balanced(const Cartridge& cartridge);

// ---- pens and needles

/// What the window check said.
enum class WindowTest : std::uint8_t { none, counts_on, returns_to_zero, unclear };

/// What to do about flow, from the primes on this needle and the ones before (H44).
enum class FlowState : std::uint8_t {
  not_primed,    ///< nothing pressed out since needle on, or since the last injection
  seen,          ///< insulin has shown: no more priming
  unknown,       ///< pressed out, but nobody said what showed
  prime_again,   ///< one or two dry primes on this needle
  new_needle,    ///< three dry primes on this needle
  not_this_pen,  ///< three dry primes, a new needle, and still dry: no dial
};
inline constexpr std::int32_t dry_primes_most = 3;

struct NeedleState {
  bool on = false;  ///< by the record
  Id fact;          ///< the NeedleOn fact
  std::string needle;
  TenthsMm length;
  bool both_shields_off = true;
  When since;
  std::int32_t uses = 0;  ///< injections with it
  std::optional<When> last_use;
  friend bool operator==(const NeedleState&, const NeedleState&) = default;
};

struct SharedWith {
  Id fact;
  When when;
  std::string with;
  friend bool operator==(const SharedWith&, const SharedWith&) = default;
};

/// The pen was lost, broken or handed back.
struct PenGone {
  Id fact;
  When when;
  journal::PenEnd why = journal::PenEnd::lost;
  friend bool operator==(const PenGone&, const PenGone&) = default;
};

struct Pen {
  Id id;
  std::optional<Id> given_fact;  ///< nothing: facts name it, but it was not given here
  When given_when;
  shelf::Pen copy;      ///< the shelf's values on that day; meaningful with given_fact
  std::string insulin;  ///< the one insulin that it is for; the first cartridge's if never given
  Strength strength;
  std::string serial;

  std::optional<Id> cartridge;  ///< in it now
  NeedleState needle;

  // Since needle on, last injection or loading, whichever came last:
  bool flow_seen = false;
  Units spent_on_needle = Units::zero();
  std::int32_t dry_primes = 0;  ///< in a row
  std::int32_t primes = 0;
  /// Pressed out since the last injection or loading, over all needles: what the window of a pen
  /// that counts on shows now. This is dial's `spent_units` on such a pen.
  Units spent_in_window = Units::zero();
  /// Needles in a row that were given up after three dry primes.
  std::int32_t dry_needles = 0;

  /// The latest; one that says otherwise than the pen's entry is unclear until a second agrees.
  WindowTest window_test = WindowTest::none;
  std::optional<When> window_tested;
  std::vector<SharedWith> shared;
  std::optional<PenGone> gone;  ///< the first ending holds

  bool is_given() const { return given_fact.has_value(); }
  /// It was given, and is still there.
  bool is_here() const { return is_given() && !gone; }
  /// The latest window check before the shelf's word; nothing where it was unclear, or where
  /// neither is known: no plan then (H01).
  std::optional<shelf::Window> window() const;
  FlowState flow() const;

  friend bool operator==(const Pen&, const Pen&) = default;
};

// ---- unfinished doses, sealed stock

/// The latest injection of a line that is not finished: a part was given and a rest is owed (H39),
/// or nobody knows how much was given (H44: stays unknown, never "repeat the dose").
struct Pending {
  journal::Outcome outcome = journal::Outcome::part;  ///< part or unknown
  Id fact;  ///< the injection; a rest's Injected names it in `completes`
  When since;
  Units given = Units::zero();  ///< so far, with what completed it in part
  Units meant = Units::zero();  ///< unknown outcome: as recorded, zero if it was not
  Units rest = Units::zero();   ///< meant - given; unknown outcome: zero
  std::optional<Id> line;
  std::optional<journal::SlotName> slot;
  Id cartridge;
  friend bool operator==(const Pending&, const Pending&) = default;
};

struct Lot {
  std::string lot;
  std::optional<LocalDay> expires;
  std::int64_t given = 0;
  std::int64_t loaded = 0;
  std::int64_t spoilt = 0;            ///< frozen or too warm while sealed
  std::optional<Exposure> spoilt_by;  ///< the last that did it
  bool spoilt_frozen = false;
  std::int64_t there() const { return given - loaded - spoilt; }
  friend bool operator==(const Lot&, const Lot&) = default;
};

/// Somebody counted what is at home. Neither it nor the account overwrites the other (H41).
struct StockCount {
  Id fact;
  When when;
  std::int64_t counted = 0;
  std::int64_t account_left = 0;  ///< what the account had at that moment
  std::int64_t came_since = 0;
  std::int64_t went_since = 0;
  bool agrees() const { return counted == account_left; }
  /// What the count says is left now; never below zero.
  std::int64_t left() const { return std::max<std::int64_t>(0, counted + came_since - went_since); }
  friend bool operator==(const StockCount&, const StockCount&) = default;
};

/// Sealed cartridges at home: given + unexplained = loaded_new + spoilt + left.
struct Stock {
  std::string insulin;
  Strength strength;
  Units each = Units::zero();
  std::int64_t given = 0;
  std::int64_t unexplained = 0;  ///< loaded as new when none was left by the record
  std::int64_t loaded_new = 0;
  std::int64_t spoilt = 0;  ///< frozen or too warm while sealed: never used
  std::int64_t left = 0;
  std::vector<Lot> lots;  ///< in the order in which they came
  std::optional<StockCount> count;
  /// What a plan may count on: of account and count the smaller.
  std::int64_t at_least() const { return count ? std::min(left, count->left()) : left; }
  friend bool operator==(const Stock&, const Stock&) = default;
};

/// Needles of one length: given + unexplained = put_on + left. A needle that is put on comes from
/// those of its own length, where none is left from those of which nobody knows the length.
struct NeedleKind {
  TenthsMm length;  ///< zero: nobody said
  std::int64_t given = 0;
  std::int64_t unexplained = 0;
  std::int64_t put_on = 0;
  std::int64_t left = 0;
  friend bool operator==(const NeedleKind&, const NeedleKind&) = default;
};

/// given + unexplained = put_on + left, over all lengths.
struct NeedleStock {
  std::int64_t given = 0;
  std::int64_t unexplained = 0;
  std::int64_t put_on = 0;
  std::int64_t left = 0;
  /// Injections for which nobody recorded a needle: each used one up all the same.
  std::int64_t not_recorded = 0;
  std::vector<NeedleKind> kinds;  ///< in the order in which they are first named
  std::optional<StockCount> count;
  /// What a plan may count on: of account and count the smaller, less what was used unrecorded.
  std::int64_t at_least() const {
    const auto account = std::max<std::int64_t>(0, left - not_recorded);
    return count ? std::min(account, count->left()) : account;
  }
  friend bool operator==(const NeedleStock&, const NeedleStock&) = default;
};

// ---- the fold

struct Ledger {
  std::vector<Cartridge> cartridges;  ///< in the order in which facts first name them
  std::vector<Pen> pens;              ///< the same
  std::vector<Mark> marks;            ///< in the order of the fold
  std::vector<Pending> pending;       ///< oldest first
  std::vector<Stock> stock;
  NeedleStock needles;

  const Cartridge* cartridge(const Id& id) const;  ///< nullptr: no fact names it
  const Pen* pen(const Id& id) const;
  const Pending* pending_for(const Id& line) const;
  const Stock* stock_of(std::string_view insulin, Strength strength, Units each) const;

  friend bool operator==(const Ledger&, const Ledger&) = default;
};

/// Folds one person's journal. Total: whatever was recorded is taken and marked where it is odd.
/// The account is checked twice: after each fact, and by a sum of its own at the end (INVARIANT).
Ledger fold(const journal::History& history);

/// A dose that somebody said was taken, and of which no injection is on record: it came from the
/// cartridge of that insulin that was in a pen then, which was in use at the latest from there on,
/// and its units may be gone beyond the account. Without such a cartridge nothing is noted.
void note_taken(Ledger& ledger, std::string_view insulin, Strength strength, const When& when,
                Units units);

/// The second door: adds up, from the facts alone, what was loaded and what was taken, and compares
/// with the ledger's balances. Called by fold; a store calls it after a read.
bool agrees(const Ledger& ledger, const journal::History& history);

/// What somebody else's journal says about a pen or cartridge: the shell finds these in its index.
struct Claim {
  Id journal;
  Id thing;  ///< a pen's or a cartridge's identity
  Id fact;
  When when;
};
/// The marks `in_other_journal` for things that this ledger has, too (H13).
std::vector<Mark> clashes(const Ledger& ledger, std::span<const Claim> others);

/// What this pen's window does: as its window check showed, else as the copy says that was made
/// when it was given. Not known where the shelf's pen of that name does otherwise, nor where the
/// shelf has none of that name: the copy may be a file's word, or the shelf was wrong on that day,
/// and only the pen itself tells (H01).
std::optional<shelf::Window> known_window(const Pen& pen, const shelf::Shelf& shelf);

}  // namespace penstock::ledger
