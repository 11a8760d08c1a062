// Whether a number to act on may be shown, for this person, now (H53). The only maker of
// Cleared<Plan>: the card, the sheet of steps, the phone desk, the command line and the calls take
// that type and nothing else, so that a new way to a number cannot forget a rule.
//
//   const auto agenda = interlock::agenda_of(person, house, now);
//   const auto* plan = std::get_if<Cleared<Plan>>(&agenda.next->verdict);
//
// What holds a number back stands in one closed, ordered table (rules); the first that applies is
// the answer. Each is one state with one instruction: the words are made from its code, never from
// parts (H58).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/dial/dial.hpp"
#include "core/interlock/amounts/amounts.hpp"
#include "core/interlock/primed/primed.hpp"
#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/stock/stock.hpp"
#include "core/units/units.hpp"

namespace penstock::interlock {

namespace internal {
class Gate;
}

/// What may be shown to be acted on.
template <class T>
class Cleared {
 public:
  const T& operator*() const { return value_; }
  const T* operator->() const { return &value_; }

 private:
  friend class internal::Gate;
  explicit Cleared(T value) : value_(std::move(value)) {}
  T value_;
};

/// One cartridge of the plan: the one in the pen, one that was taken out of it earlier, or a sealed
/// one that would be opened.
struct Source {
  Id cartridge;  ///< nil: sealed
  shelf::Insulin copy;
  Units content = Units::zero();
  std::string shelf_code;  ///< of the insulin, for loading a sealed one
  std::string fits;
  std::string lot{};  ///< of one that goes in; empty: nobody knows which is left
  bool taken_out = false;
  /// Not in the pen: it has to get there before anything is pressed out of it.
  bool goes_in() const { return cartridge.is_nil() || taken_out; }
};

struct Plan {
  dial::DialRequest request;
  std::vector<Source> sources;  ///< one for each cartridge of the request
  dial::DialPlan plan;
  std::vector<Error> set_aside;  ///< what is in the house and was not planned with, and why (H61)
  /// What is not certain of the cartridge that the dose comes from (codes of `doubts`).
  std::vector<Error> doubts{};
  shelf::Presentation takes =
      shelf::Presentation::cartridge;  ///< the pen: cartridges, or prefilled
};

/// The line that a part-dose was given under; a diary's row names none, and is of its insulin.
/// nullptr: none.
const order::Line* line_of(const chart::Chart& person, const ledger::Pending& pending);

/// What to bring the window to for `step`, a step of this very plan that dials.
Cleared<Units> window_of(const Cleared<Plan>& plan, const dial::Action& step);
/// The same on a window that counts on, when it shows `primed` units before the dose.
Cleared<Units> window_after(const Cleared<Plan>& plan, const dial::Action& step, Units primed);

/// Which pen a sentence is about: a prefilled one has no cartridge to change. Part of every refusal
/// that is about a pen; edge/words has the rule.
Arg arg_pen_kind(shelf::Presentation takes);

// ---- what holds a number back

namespace codes {
// on the telephone, before anything else
inline constexpr std::string_view flags_unasked = "interlock.flags_unasked";
inline constexpr std::string_view flags_unasked_on_record =
    "interlock.flags_unasked_on_record";  // the same of somebody on record
inline constexpr std::string_view low_now = "interlock.low_now";
inline constexpr std::string_view low_on_record =
    "interlock.low_on_record";  // H10 [value, when, limit]; without a value the code's `felt`
inline constexpr std::string_view low_felt = "interlock.low_felt";  // the same rule [when]
inline constexpr std::string_view drowsy = "interlock.drowsy";
inline constexpr std::string_view ketones = "interlock.ketones";
// several of them at once have words of their own, under the row of the worst (H58)
inline constexpr std::string_view low_drowsy = "interlock.low_drowsy";
inline constexpr std::string_view low_not_eating = "interlock.low_not_eating";
inline constexpr std::string_view low_ketones = "interlock.low_ketones";
inline constexpr std::string_view low_all = "interlock.low_ketones_not_eating";
inline constexpr std::string_view ketones_not_eating = "interlock.ketones_not_eating";
inline constexpr std::string_view not_eating = "interlock.not_eating";
inline constexpr std::string_view travelling = "interlock.travelling";  // H18
inline constexpr std::string_view on_trip = "interlock.on_trip";  // H18 [zone, leaves, returns]
inline constexpr std::string_view clock_back = "interlock.clock_back";  // H61 [last, now]
inline constexpr std::string_view zone_moved =
    "interlock.zone_moved";  // H18, H57 [from, zone, since]
inline constexpr std::string_view more_given =
    "interlock.more_given";  // H07, H04 [given, dose, when, insulin]
inline constexpr std::string_view too_much_together =
    "interlock.too_much_together";  // H04 [given, most, when, insulin]
inline constexpr std::string_view allergic = "interlock.allergic";  // H61 [reaction, insulin]
inline constexpr std::string_view far_too_much =
    "interlock.far_too_much";  // H04, H58 [given, most, when, insulin]
inline constexpr std::string_view correction =
    "interlock.correction";  // H10, H11: it hangs on a glucose value
inline constexpr std::string_view less_given = "interlock.less_given";  // H02, H57: the same
inline constexpr std::string_view two_lines =
    "interlock.two_lines";  // H03, H52 [insulin, strength, dose, other, other_strength]
inline constexpr std::string_view childs_dose =
    "interlock.childs_dose";  // H25, H63 [dose, usual, age, weight]
inline constexpr std::string_view last_dose_unknown = "interlock.last_dose_unknown";  // [insulin]
inline constexpr std::string_view last_dose_lately =
    "interlock.last_dose_lately";  // [insulin, hours, least]
inline constexpr std::string_view basal_lately = "interlock.basal_lately";  // [given, other, when]
inline constexpr std::string_view last_dose_long_ago =
    "interlock.last_dose_long_ago";  // H57, H38 [insulin, hours]
inline constexpr std::string_view days_unknown = "interlock.days_unknown";
inline constexpr std::string_view spent_unknown = "interlock.spent_unknown";
inline constexpr std::string_view dry_unknown = "interlock.dry_unknown";
inline constexpr std::string_view more_than_holds = "interlock.more_than_holds";  // [left, content]
inline constexpr std::string_view dose_unusual = "interlock.dose_unusual";        // [dose, usual]
// what was said against the record of the person that it is for (H53)
inline constexpr std::string_view no_line = "interlock.no_line";          // [insulin]
inline constexpr std::string_view nothing_due = "interlock.nothing_due";  // no insulin was named
inline constexpr std::string_view nothing_ordered = "interlock.nothing_ordered";
inline constexpr std::string_view dose_differs = "interlock.dose_differs";  // [said, insulin]
inline constexpr std::string_view strength_differs =
    "interlock.strength_differs";  // H03 [said, insulin, strength]
inline constexpr std::string_view strength_unsaid =
    "interlock.strength_unsaid";  // H03 [old, since, insulin, strength]
inline constexpr std::string_view missed_told =
    "interlock.missed_told";  // H57 [when, insulin, purpose]
inline constexpr std::string_view missed_which =
    "interlock.missed_which";  // H57: the one before is on record [insulin, purpose]
inline constexpr std::string_view left_differs = "interlock.left_differs";  // [said, account]
// beyond the order's own refusals (core/order)
inline constexpr std::string_view watched =
    "interlock.watched";  // H55, H07: to its last step, and none is on record since [when, insulin]
inline constexpr std::string_view unrecorded =
    "interlock.unrecorded";  // H57 [dose, when, insulin, purpose]
inline constexpr std::string_view unrecorded_several =
    "interlock.unrecorded_several";  // the same rule, of several [since, dose, when, ...]
/// Whichever of the two.
inline bool is_unrecorded(std::string_view code) {
  return code == unrecorded || code == unrecorded_several;
}
inline constexpr std::string_view scale_says_taken =
    "interlock.scale_says_taken";  // H59 [account, counted, when, dose]
inline constexpr std::string_view scale_differs =
    "interlock.scale_differs";  // H59, H41, H02 [account, counted, when, difference]
/// Whichever of the two.
inline bool is_of_scale(std::string_view code) {
  return code == scale_says_taken || code == scale_differs;
}
inline constexpr std::string_view left_uncertain =
    "interlock.left_uncertain";  // H02, H44 [account, least, doses]
inline constexpr std::string_view recalled = "interlock.recalled";  // H61 [insulin, lot]
inline constexpr std::string_view other_strength =
    "interlock.other_strength";  // H03 [insulin, strength, pen_strength, pen]
inline constexpr std::string_view other_insulin =
    "interlock.other_insulin";  // H04, H03 [insulin, strength, other, other_strength]
inline constexpr std::string_view parts_differ =
    "interlock.parts_differ";  // H39 [given, rest, meant, when, insulin]
inline constexpr std::string_view pen_shared = "interlock.pen_shared";  // H13 [pen]
inline constexpr std::string_view pen_outside =
    "interlock.pen_outside";  // H61 [pen, when, insulin, strength]: by its own test
inline constexpr std::string_view no_pen = "next.no_pen";  // [insulin, strength, purpose, dose]
inline constexpr std::string_view expired = "interlock.expired";  // H12 [insulin, lot, last]
inline constexpr std::string_view unfit = "next.unfit";           // H12, H13 [reason, insulin]
inline constexpr std::string_view no_fit = "next.no_fit";         // H42 [insulin, pen]
inline constexpr std::string_view not_primed = "interlock.not_primed";  // H01, H44 [when, prime]
inline constexpr std::string_view prime_doubted = "interlock.prime_doubted";  // H01 [when, primed]
}  // namespace codes
/// The rule for any refusal of core/dial, which comes under its own code.
inline constexpr std::string_view no_plan_rule = "dial";

enum class Way : std::uint8_t {
  hold,  ///< no number until the state has changed
  ask,   ///< one question: its answers are facts, or what is said on the telephone
};

/// How insulin is got today while the number is held, and whom to phone (H38). One sentence each.
enum class Today : std::uint8_t {
  prescriber,    ///< the order does not say the dose: nobody but the prescriber does
  nothing_more,  ///< this insulin may be in already: no more of it before that is settled
  rest_alone,    ///< a part is in
  other_source,  ///< the dose stands, this pen or cartridge does not give it
  get_more,      ///< the same, and nothing else at home may be used, by the record
  treat_first,   ///< low: that comes before insulin
  say_first,     ///< something is not said yet
  emergency,     ///< drowsy: nothing by mouth, help is called
  sick,          ///< ketones, or vomiting: the prescriber says the dose, and none is left out
};
inline constexpr auto today_names =
    std::to_array<std::string_view>({"prescriber", "nothing_more", "rest_alone", "other_source",
                                     "get_more", "treat_first", "say_first", "emergency", "sick"});

/// What answers a question.
enum class Answer : std::uint8_t {
  injected,    ///< it was given: recorded with its time
  part,        ///< the same, of a dose of which more was meant: its rest is owed (H39)
  taken,       ///< DoseAnswered
  not_taken,   ///< DoseAnswered
  not_known,   ///< DoseAnswered
  scale,       ///< ScaleCounted
  primed,      ///< Primed: insulin was seen
  primed_dry,  ///< Primed: none was
  was_primed,  ///< StepJudged: it was done, after all
  said,        ///< the next call of the phone desk says it
};

struct Held {
  Error error;          ///< of kind refused: code and arguments
  std::size_t row = 0;  ///< of `rules`
  Today today = Today::prescriber;
  std::vector<Error> set_aside{};  ///< as in Plan; what `error` says itself is not among them
};
struct Hold : Held {};
struct AskFirst : Held {
  std::vector<Answer> answers;
};
using Verdict = std::variant<Cleared<Plan>, Hold, AskFirst>;
/// nullptr: cleared.
const Held* held(const Verdict& verdict);
const Cleared<Plan>* cleared(const Verdict& verdict);

/// The clinic's side: what exists, and what was called back.
struct House {
  const shelf::Shelf& shelf;
  const stock::Stock& stock;
  /// Only the test that shows what each rule holds back leaves one out.
  std::string_view without = {};
  /// Whether `now` is this machine's clock; whoever looks ahead or back asks about another hour.
  bool by_clock = true;
  std::optional<Instant> last_recorded = {};  ///< of anybody's entries (H61)
};
inline House house_of(const chart::Clinic& clinic) {
  return {.shelf = clinic.shelf, .stock = clinic.stock, .last_recorded = clinic.last_recorded};
}

/// H61: whether the clinic recalled this lot, for this insulin or for every item of the number.
bool is_recalled(const House& house, std::string_view insulin, Strength strength,
                 const std::string& lot);

// ---- one dose of a person

/// What became of the line's dose before this one, where it is not plain: it is said beside the
/// number, and never made up for in it (H39, H44, H57).
struct Before {
  enum class Was : std::uint8_t {
    missed,          ///< not taken, as somebody said
    not_known,       ///< nobody knows whether it was taken
    rest_not_given,  ///< of a divided dose, as somebody said
    rest_not_said,   ///< of a divided dose, and nobody said what became of it
    amount_unknown,  ///< nobody knows how much of it went in
    none_recorded,   ///< basal insulin has been due since, and none was ever recorded
  } was = Was::missed;
  When when;                    ///< its hour, or when it was injected
  std::optional<When> since{};  ///< the first of several of which nothing is on record, this last
  Units rest = Units::zero();   ///< of a divided dose
  Units meant = Units::zero();  ///< the same
};

/// What was given of this insulin so lately that it is said beside the number: the slot before,
/// while its own window lasts, so that nothing more is given now (H07).
struct Done {
  When when;  ///< of the last injection
  Units units = Units::zero();
  bool is_unknown = false;      ///< of one of them nobody knows how much went in
  bool may_be_any = false;      ///< of the last nobody knows which insulin it was (H52)
  std::string insulin{};        ///< of basal_lately: it may be one that is not ordered any more
  std::chrono::hours holds{0};  ///< of basal_lately: for how long after it the next one is held
  bool close = false;           ///< as Lately
};

/// Another pen of the dose's insulin in the house. Whoever takes it by mistake turns to a number
/// that was worked out for the first one (H01), gets nothing (H64), or injects what was recalled
/// (H61): the pen that is meant is named wherever there is another.
struct OtherPen {
  const ledger::Pen* pen = nullptr;
  Error why;  ///< a code of `other_pens`: why it is not this one
};
namespace other_pens {
inline constexpr std::string_view shared = "other_pen.shared";                  // H13
inline constexpr std::string_view strength = "other_pen.strength";              // H03 [strength]
inline constexpr std::string_view empty = "other_pen.empty";                    // nothing is in it
inline constexpr std::string_view recalled = "other_pen.recalled";              // H61 [lot]
inline constexpr std::string_view unfit = "other_pen.unfit";                    // H12 [reason]
inline constexpr std::string_view dry = "other_pen.dry";                        // H64
inline constexpr std::string_view outside = "other_pen.outside";                // H61
inline constexpr std::string_view window_unknown = "other_pen.window_unknown";  // H01
inline constexpr std::string_view counts_on = "other_pen.counts_on";            // H01
inline constexpr std::string_view returns_to_zero = "other_pen.returns_to_zero";  // H01
inline constexpr std::string_view ready = "other_pen.ready";  // it serves; the dose is this one's
}  // namespace other_pens

struct Dose {
  order::Due due;
  const order::Line* line = nullptr;
  const ledger::Pen* pen = nullptr;
  const ledger::Pending* pending = nullptr;  ///< the rest of a part-dose
  std::optional<Before> before;
  std::optional<Done> done;
  /// May be this dose, by another line, strength or pen; somebody said that it was another (H52).
  std::optional<Done> near;
  /// The last basal dose, so much less than a day before this one that it is said (H07, H38).
  std::optional<Done> lately{};
  /// The strength that the line before had, and the day of the change, until a dose of this one is
  /// on record: both pens may be in the house (H03).
  struct Changed {
    Strength old;
    LocalDay since{};
  };
  std::optional<Changed> changed{};
  std::vector<TooMuch> too_much{};  ///< of other insulins
  Verdict verdict = Hold{};
  /// What a question is about: this slot, or of those that nobody accounts for the latest.
  order::Due asked;
  /// The cartridge that a question of the scale is about: it may be out of the pen by now (H59).
  std::optional<Id> asked_from{};
  std::vector<OtherPen> others{};
};

/// What somebody on the telephone said about themselves: nothing is assumed from silence.
struct Flags {
  enum class Is : std::uint8_t { unasked, no, yes, not_measured };
  Is low = Is::unasked;
  Is not_eating = Is::unasked;  ///< or vomiting
  Is drowsy = Is::unasked;
  Is ketones = Is::unasked;
  enum class Last : std::uint8_t { unasked, never, hours, not_known };
  Last last = Last::unasked;  ///< the last dose of this insulin
  std::int32_t last_hours = 0;
  Is travelling = Is::unasked;  ///< across time zones
  Is missed = Is::unasked;      ///< a dose that is not on record
};
inline constexpr std::array<std::string_view, 4> is_names{"", "no", "yes", "not measured"};
constexpr std::span<const std::string_view> names_of(Flags::Is) { return is_names; }

/// What was said of a dose beside its record: where it differs there is no number.
struct SaidOfDose {
  /// On the telephone all of the flags are asked but the last dose, which the record knows.
  enum class Where : std::uint8_t { at_the_desk, on_the_telephone } where = Where::at_the_desk;
  Flags flags;
  std::optional<Units> dose;
  std::optional<Units> left;
  std::optional<Strength> strength;  ///< on the label, as it is read out
  /// The plan is taken home: it is followed at the slot's own hour, with a needle and a prime of
  /// then, not of now (H15, H48).
  bool on_paper = false;
};

/// The verdict for one slot of one line on one day. `due.line` is a line of the order.
Dose decide(const chart::Chart& person, const House& house, const order::Due& due, const When& now,
            const SaidOfDose& said = {});

struct Agenda {
  std::optional<Dose> next;
  std::vector<order::Due> later;  ///< after `next`, to the end of tomorrow
  /// The next due slot of each line that waits for the prescriber (H37), each line once.
  std::vector<Dose> ask_first;
  /// Background insulin of which nobody has said what became of it (H57): the latest slot of each
  /// line; and a rest that may no longer be given while another insulin is due (H39). While it
  /// stands that line is not `next`.
  std::vector<Dose> unrecorded;
};
/// Works out what comes next. `now` decides; nothing is read from a clock.
Agenda agenda_of(const chart::Chart& person, const House& house, const When& now);

/// From when the line's next dose stands for itself and a part-dose is history: the next slot's
/// window opens. Ours (common practice, no source). Nothing: the line has no further slot.
std::optional<When> overtaken_from(const chart::Chart& person, const ledger::Pending& pending);

/// The slots of background insulin that nobody accounts for, of each line that holds, or did until
/// a few days ago: a change of dose, a switch or an end hides none (H57); `now` as
/// order::unrecorded has it.
std::vector<order::Unrecorded> unrecorded_of(const chart::Chart& person,
                                             std::optional<Instant> now);

/// The line of the newest order version that neither ended nor was replaced; nullptr: none.
const order::Line* newest_line(const chart::Chart& person);

// ---- somebody on the telephone who is not on record, or whose record is not opened

struct Call {
  Flags flags;
  shelf::Pen pen;
  shelf::Entry<shelf::Insulin> insulin;
  Units dose = Units::zero();
  bool dose_said_twice = false;  ///< read back: an unusual dose was heard right
  Units left = Units::zero();
  std::optional<std::int32_t> days_in_use;
  std::int64_t unopened = 0;
  enum class Primed : std::uint8_t { not_yet, seen, not_seen } primed = Primed::not_yet;
  std::optional<Units> spent;
  std::optional<std::int32_t> dry_primes;  ///< through the needle that is on
  bool needle_changed = false;             ///< it is already the new one after dry primes
  std::int32_t dry_needles = 0;            ///< that stayed dry before the one that is on
};
inline constexpr std::array<std::string_view, 3> primed_names{"not yet", "seen", "not seen"};
constexpr std::span<const std::string_view> names_of(Call::Primed) { return primed_names; }
/// The names that a plan for a caller gives to the cartridges: "in pen", then "unopened 1", ...
inline constexpr std::string_view in_pen_id = "in pen";
inline constexpr std::string_view unopened_id = "unopened ";

Verdict decide(const Call& call, const House& house);
/// Whether a dose was missed, by the hours since the last one, or this one is very late, though not
/// so many that the number waits (codes::last_dose_long_ago). It is said beside the number (H57).
bool is_one_missed(const Call& call);
/// Somebody on record of whom no line says this insulin; empty: no line has anything due. An order
/// that ended or has not begun is told as that, and none at all as none (H38).
Verdict no_line(const chart::Chart& person, std::string_view insulin, LocalDay on);

// ---- the table

struct Rule {
  std::string_view code;
  Way way = Way::hold;
  Today today = Today::prescriber;
};
/// Every rule, in the order in which it is looked for; a test walks it.
std::span<const Rule> rules();

}  // namespace penstock::interlock
