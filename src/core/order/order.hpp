// The prescriber's order as it stands: its lines, which of them holds, what is due when, and
// whether a dose may be dialled. The program repeats the order; it never invents a dose.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/order/second_check/second_check.hpp"
#include "core/units/units.hpp"

namespace penstock::order {

// ---- lines and questions

/// When an entry was recorded, and which of that second it was: what came after what, whatever
/// hour somebody told of it. Of two that are alike neither came after the other.
struct Recorded {
  Instant at{};
  std::uint32_t sequence = 0;
  friend auto operator<=>(const Recorded&, const Recorded&) = default;
};

struct Answer {
  Id fact;
  When when;
  Recorded recorded;
  journal::AnswerKind answer = journal::AnswerKind::other;
  std::string by;
  std::string text;
  bool read_back = false;
  friend bool operator==(const Answer&, const Answer&) = default;
};

/// While it is open the lines that it is about have no number: "ask first" (H37).
struct Question {
  Id id;
  When opened;
  Recorded recorded;
  LocalDay asked_on{};     ///< the person's day on which it was opened or recorded, the later one
  std::optional<Id> line;  ///< nothing: every line
  journal::QuestionReason reason = journal::QuestionReason::other;
  std::string text;
  std::optional<When> answer_by;
  std::optional<Answer> answer;  ///< the latest
  bool is_open() const { return !answer.has_value(); }
  /// Whose blood somebody met: it changes no dose, and none waits for it (H13, H38).
  bool is_exposure() const { return !line && reason == journal::QuestionReason::shared_pen; }
  /// Whether the dose of a line waits for it.
  bool concerns(const Id& of) const { return line ? *line == of : !is_exposure(); }
  friend bool operator==(const Question&, const Question&) = default;
};

struct Check {
  Id fact;
  When when;
  std::string by;
  bool days_read = false;  ///< the first and the last day were looked for, then or later (H60)
  friend bool operator==(const Check&, const Check&) = default;
};

struct End {
  Id fact;
  When when;
  LocalDay last_day{};
  std::string prescriber;
  std::string reason;
  friend bool operator==(const End&, const End&) = default;
};

struct Line {
  Id id;
  When signed_when;        ///< when it was copied into the journal
  Recorded recorded;       ///< the copy
  Recorded written;        ///< the copy, or the correction that stands in its place
  bool put_right = false;  ///< by a correction
  /// The latest reading of what it says now that differs: a check before it checks nothing (H60).
  std::optional<Recorded> read_otherwise;
  /// When the paper was signed, as the copy says: no day later than the one on which it was
  /// written.
  LocalDay paper_of{};
  journal::OrderLineSigned text;
  /// Whoever wrote what may stand in the copy, and so is no second check of it (H40): who copied
  /// it, whom each correction names instead and who recorded that; the same of the line that it
  /// replaces, where that was the same version of the order.
  std::vector<std::string> copyists;
  std::optional<Check> checked;  ///< by none of them (H40)
  std::optional<When> signature_seen;
  std::optional<End> ended;
  std::optional<Id> replaced_by;
  LocalDay replaced_from{};  ///< with replaced_by: the first day on which this one no longer holds

  /// A check of an hour before there was a copy checked nothing (H60). To the minute, as people
  /// write it.
  bool was_there(Instant at) const;
  bool signature_owed() const { return text.signature_owed && !signature_seen.has_value(); }
  /// The last day on which it holds, of `until`, its end and its replacement the earliest.
  std::optional<LocalDay> last_day() const;
  Units least() const;  ///< the order's limits; where it states none, its smallest slot dose
  Units most() const;   ///< the same with the largest
  friend bool operator==(const Line&, const Line&) = default;
};

/// How a line stands on a day. In this order: the first that applies.
enum class State : std::uint8_t {
  replaced,
  ended,
  awaiting_check,  ///< H40
  in_question,     ///< H37
  not_yet,
  current,
};
inline constexpr auto state_codes =
    std::to_array<std::string_view>({"line.replaced", "line.ended", "line.awaiting_check",
                                     "line.in_question", "line.not_yet", "line.current"});
std::string_view code_of(State state);

// ---- what was given, and what is odd about it

/// A dose is given in fewer parts.
inline constexpr int parts_most = 32;

struct Given {
  Id fact;
  When when;               ///< a few minutes ahead of the clock are those of the entry
  Recorded recorded;       ///< since when it stands so on record
  std::optional<Id> line;  ///< as recorded; nothing where it is of another insulin than that line
  std::optional<journal::SlotName> slot;
  std::optional<Id> not_of;  ///< the line it was recorded under, whose insulin it is not (H04)
  std::string insulin;     ///< the cartridge's, where it is known: finds the line of a diary's row
  bool acts_long = false;  ///< by the cartridge's copy: long-acting, intermediate or premixed
  Strength strength;
  Units units = Units::zero();
  Units meant = Units::zero();  ///< as recorded; otherwise what was given
  bool meant_said = false;      ///< it was recorded
  journal::Outcome outcome = journal::Outcome::whole;
  std::optional<Id> completes;
  bool without_part = false;  ///< the part that it completes is not on record, or no more
  /// Of a rest: when its dose was begun. It answers that dose's slot, whenever it went in (H39).
  std::optional<When> begun{};
  journal::Injector by = journal::Injector::unknown;  ///< H46
  std::string by_name;
  bool from_diary = false;  ///< told afterwards, not recorded as it was given
  friend bool operator==(const Given&, const Given&) = default;
};

/// What somebody said of one slot of a line on one day that no injection answers (H57).
struct Said {
  Id fact;
  When when;
  Id line;
  journal::SlotName slot = journal::SlotName::bedtime;
  LocalDay day{};
  journal::DoseWas was = journal::DoseWas::not_known;
  std::optional<Id> rest_of{};  ///< the part whose rest it is about, and not the slot (H39)
  friend bool operator==(const Said&, const Said&) = default;
};

enum class MarkKind : std::uint8_t {
  outside_order,      ///< the dose is outside the line's limits (H04)
  before_start,       ///< given before the line held (H08)
  after_end,          ///< given after the line had ended or was replaced (H08)
  while_unchecked,    ///< given before the second check (H40)
  while_in_question,  ///< given while a question was open (H37)
  given_twice,        ///< twice inside the window of one slot (H07)
  line_unknown,       ///< names a line that is not there
  checked_by_copier,  ///< the second check was by who copied it or put it right: no check (H40)
};
inline constexpr auto mark_codes = std::to_array<std::string_view>(
    {"mark.outside_order", "mark.before_start", "mark.after_end", "mark.while_unchecked",
     "mark.while_in_question", "mark.given_twice", "mark.line_unknown", "mark.checked_by_copier"});
std::string_view code_of(MarkKind kind);

struct Mark {
  MarkKind kind = MarkKind::outside_order;
  Id fact;
  When when;
  Id line;                      ///< nil: none
  Units units = Units::zero();  ///< the dose
  friend bool operator==(const Mark&, const Mark&) = default;
};
/// `units` (a dose) and `when`.
std::vector<Arg> args_of(const Mark& mark);

/// A line that was struck out: what was asked or said of it is about its insulin still.
struct Struck {
  Id id;
  std::string insulin;
  journal::Purpose purpose = journal::Purpose::background;
  Strength strength;
  std::vector<journal::Slot> slots;  ///< what it had, for what was said to be taken of it (H02)
  friend bool operator==(const Struck&, const Struck&) = default;
};

struct Order {
  std::vector<Line> lines;          ///< in the order of the fold
  std::vector<Struck> struck;       ///< the same
  std::vector<Question> questions;  ///< the same
  std::vector<Given> given;         ///< the same
  std::vector<Said> said;           ///< the same
  std::vector<Mark> marks;          ///< the same

  const Line* line(const Id& id) const;
  /// Whether the line is this one, or stands in its place, or that of one that does.
  bool stands_for(const Line& line, const Id& old) const;
  /// Questions that keep this line from being dialled: open ones, and answered ones whose answer
  /// ("stop", "new order follows", or in the prescriber's own words) no line carries out yet (H37).
  std::vector<const Question*> holding_back(const Line& line) const;
  /// The open questions among them. One about a line holds, too, every line in its place and every
  /// later one of its insulin, until it is answered or the paper is of a later day than it (H37).
  /// `line`: one of the order, or one that is about to be copied.
  std::vector<const Question*> open_about(const Line& line) const;
  /// From which day on no line waits for an open question, though nobody answered it: orders of a
  /// later day took the place of all of them. Nothing: one waits, or it is about every line.
  std::optional<LocalDay> overtaken_from(const Question& question) const;
  State state(const Line& line, LocalDay on) const;
  /// Lines that hold on that day, checked or not, in question or not: what is due, even if it may
  /// not be dialled (H08).
  std::vector<const Line*> holding(LocalDay on) const;

  friend bool operator==(const Order&, const Order&) = default;
};

/// `zone` decides only whether two injections fell into one slot's window (the mark given_twice).
Order fold(const journal::History& history, const ZoneRules& zone);

// ---- what is due

/// One slot of one line on one local date of the person's zone.
struct Due {
  Id line;
  std::size_t slot = 0;  ///< its place in the line's slots
  journal::SlotName name = journal::SlotName::bedtime;
  Units units = Units::zero();
  LocalDay day{};
  When at;
  When from;  ///< the window: at - minutes before ... at + minutes after, in elapsed time
  When to;
  friend bool operator==(const Due&, const Due&) = default;
};

/// All slots of the lines that hold on `day`, in order of time (H18). A local time that the clocks
/// leave out is moved on by the gap; one that they show twice is due once, at the first; a date
/// that is left out at the date line has no slots, one that is lived twice has them twice.
std::vector<Due> due_on(const Order& order, LocalDay day, const ZoneRules& zone);

/// The injections that answer a due slot: of the same line (or, where none is recorded, of the same
/// insulin and strength) with the slot's name, on its date (after midnight, up to six hours late,
/// of basal insulin half a day, it is still last night's: tonight's is not dropped, H38); without a
/// name, or with one that the
/// line does not have, within `near_minutes` of its window and nearest to it (H07).
std::vector<const Given*> given_for(const Order& order, const Due& due);
inline constexpr std::int32_t near_minutes = 120;
/// The same where it goes with a meal and the order says its hours: what lies further outside may
/// be another meal's, or a correction, and is asked about. Ours.
inline constexpr std::int32_t near_minutes_meal = 30;

/// The same name of an insulin, whatever its capitals and the spaces around it.
bool is_same_insulin(std::string_view a, std::string_view b);

/// Injections that may be this slot's dose, though another line, order version, strength or pen
/// stands beside them: of the same insulin by name, of an insulin that nobody knows, or background
/// insulin both (H52). Looked for from `near_minutes` before its window (background insulin:
/// `background_hours`) until `until`. An injection that is nearer to a slot of its own line, which
/// still holds and lies that far from this one, is that slot's.
std::vector<const Given*> perhaps_given(const Order& order, const Due& due, Instant until,
                                        const ZoneRules& zone);
/// How far back a once-a-day line's number has said beside it what was given besides: half a day,
/// as at the telephone.
inline constexpr std::int32_t beside_hours = 12;
/// Whether a question about doses that concerns the line was answered at this hour or later, by
/// somebody who could know what is on record: not where anything of the line's insulin from the day
/// before that hour up to the answer, or what is looked at (`known`), was recorded only afterwards
/// (H37, H04).
bool is_answered_since(const Order& order, const Line& line, Instant since,
                       const std::optional<Recorded>& known = {});
/// What went in of another insulin as this slot's dose, it seems, until `until`: recorded under
/// this line, or, near its window, as much as this line orders and no line of its own insulin does
/// (H04). It is no dose of this line. nullptr: none, or the prescriber answered a question about it
/// since.
const Given* swapped_for(const Order& order, const Due& due, Instant until, const ZoneRules& zone);
/// As perhaps_given, looked for so far back.
std::vector<const Given*> given_beside(const Order& order, const Due& due, Instant until,
                                       const ZoneRules& zone);
/// Whether an injection is on record that is this slot's dose, or may be it (given_for,
/// perhaps_given): two hours after its window at the latest. What answered another line's slot
/// eight hours from this one and more is none.
bool is_on_record(const Order& order, const Due& due, const ZoneRules& zone);
/// What is on record by somebody's word alone, by what was said: that a slot's dose was taken, or
/// that nobody knows, and of a divided dose the same of its rest, at the hour of its part.
struct Told {
  Due due;  ///< `at`: when it was said, if that was before its hour
  bool taken = false;
};
std::vector<Told> only_told(const Order& order, const ZoneRules& zone);
/// Whether "this dose was not taken" would contradict it: it was of this line's insulin, in
/// whatever strength. A meal's dose outside this one's hours may have been another meal's, or a
/// correction.
bool contradicts_not_taken(const Order& order, const Given& given, const Line& line);
/// Injections of the same insulin, or of one that nobody knows, within `near_minutes` of an hour
/// (background insulin: `background_hours`), whatever stands beside them, by time: asked about when
/// another one is recorded (H52).
std::vector<const Given*> given_near(const Order& order, std::string_view insulin, Instant when);
/// Two doses of background insulin that lie less far apart may be one dose ordered twice. Ours: a
/// third of a day, so that morning and evening stay two.
inline constexpr std::int32_t background_hours = 8;

/// Whether it is about this line: said of it, of one whose place it took, or of one of its insulin
/// and use that was struck out since. A new version of the order unsays nothing (H07, H57).
bool speaks_of(const Order& order, const Said& said, const Line& line);
/// The latest that somebody said about this slot of this day; nullptr: nothing, or before its
/// window opened that it was not taken, yet.
const Said* said_of(const Order& order, const Due& due);
/// The slot that a recorded injection answers, its own line's or one of its insulin's; nothing:
/// none.
std::optional<Due> slot_of(const Order& order, const Line& line, const Id& injection,
                           const ZoneRules& zone);
/// The latest that somebody said about the rest of a divided dose, after its last part (H39): it is
/// said of the slot that the part answers. nullptr: nothing.
const Said* said_of_rest(const Order& order, const Line& line, const Id& part,
                         const ZoneRules& zone);

/// Slots of background insulin that nobody accounts for (H57): of one line, the first and the last
/// of those whose window is over at `now`, after the last dose that is accounted for.
struct Unrecorded {
  Due first;
  Due last;
  /// The last injection came with a diary: asked about beside the next number, and no reminder
  /// rings for it (H32).
  bool by_diary = false;
  /// Of whom no dose was ever recorded is not asked for longer: the end of the second window.
  std::optional<When> until;
  friend bool operator==(const Unrecorded&, const Unrecorded&) = default;
};
/// Nothing where none was ever recorded while two slots passed (H32): said beside the number
/// instead. Whether a diary ends before
/// the dose or covers its hour and lacks it, nobody said what became of it. `since`: from when
/// doses could be recorded at all, as a pen was loaded then. `now`: nothing for the first slot that
/// will ever be unrecorded if nobody writes, whenever that is.
std::optional<Unrecorded> unrecorded(const Order& order, const Line& line, const When& since,
                                     std::optional<Instant> now, const ZoneRules& zone);

/// The slots whose window is not over and which neither an injection nor anybody's word answers
/// yet, by time: yesterday's, today's and those of `days_ahead` further days.
std::vector<Due> open_dues(const Order& order, const When& now, const ZoneRules& zone,
                           std::int32_t days_ahead);

// ---- may it be dialled

/// Closed, in the order in which they are looked for: same bad request, same answer. All of kind
/// `refused` but none (not_found). Arguments of each but `none`: `insulin` (text), `strength`,
/// `purpose` (code: a refusal of background insulin says not to leave it out, H38), `version`
/// (count), and where there is one `due` (instant).
namespace codes {
inline constexpr std::string_view none = "order.none";                    // no such line
inline constexpr std::string_view replaced = "order.replaced";            // args: since (date)
inline constexpr std::string_view ended = "order.ended";                  // args: last_day (date)
inline constexpr std::string_view unchecked = "order.unchecked";          // args: copied_by
inline constexpr std::string_view question_open = "order.question_open";  // args: reason, since
inline constexpr std::string_view stopped = "order.stopped";  // args: by, since; answer "stop"
inline constexpr std::string_view new_awaited = "order.new_awaited";  // args: by, since
inline constexpr std::string_view answered_in_words =
    "order.answered_in_words";  // args: by, since, text: no line says it yet (H37)
inline constexpr std::string_view not_yet = "order.not_yet";      // args: from (date)
inline constexpr std::string_view rest_none = "order.rest_none";  // no part-dose of that identity
inline constexpr std::string_view rest_late =
    "order.rest_late";  // args: rest, when (H39: past a set time it is asked about, not dialled)
inline constexpr std::string_view rest_more = "order.rest_more";        // args: dose, rest
inline constexpr std::string_view dose_outside = "order.dose_outside";  // args: dose, least, most
inline constexpr std::string_view outcome_unknown =
    "order.outcome_unknown";  // args: given, when, by; nobody knows how much (H44)
inline constexpr std::string_view part_given =
    "order.part_given";  // args: given, when, by, meant, rest (H39)
inline constexpr std::string_view not_known =
    "order.not_known";  // nobody knows whether this slot's dose was taken (H44)
inline constexpr std::string_view taken_already =
    "order.taken_already";  // args: given, when, by: a name or by/… (H07, H46)
inline constexpr std::string_view swapped =
    "order.swapped";  // args: given, when, by, other: that insulin went in, it seems (H04)
inline constexpr std::string_view taken_perhaps =
    "order.taken_perhaps";  // the same, and how: another line, strength, hour or limit (H52)
}  // namespace codes

/// The declared order, walked by a test.
inline constexpr auto refusals = std::to_array<std::string_view>(
    {codes::none, codes::replaced, codes::ended, codes::unchecked, codes::question_open,
     codes::stopped, codes::new_awaited, codes::answered_in_words, codes::not_yet, codes::rest_none,
     codes::rest_late, codes::rest_more, codes::dose_outside, codes::outcome_unknown,
     codes::part_given, codes::not_known, codes::taken_already, codes::swapped,
     codes::taken_perhaps});

/// What somebody asks to dial now.
struct Ask {
  Id line;
  Units dose = Units::zero();
  Instant now{};
  std::optional<Id> completes;  ///< the part-dose whose rest this is
  /// Somebody answered "what happened first?" and the dose is to be given all the same.
  enum class Taken : std::uint8_t { ask, answered } taken = Taken::ask;
};

/// What may be dialled: the line, and the slot whose window `now` is in, if any.
struct Allowed {
  const Line* line = nullptr;  ///< points into the order
  std::optional<Due> due;
};

/// After this long a rest is no longer given without the prescriber's word (H39). Ours, until an
/// order says otherwise: about as long as a mealtime dose belongs to its meal.
inline constexpr std::int32_t rest_minutes_most = 120;

/// Whether the order lets this dose be dialled now; otherwise the first refusal of the list. An
/// unfinished dose (part given, or outcome unknown) is never dialled again as the whole, answered
/// or not, until the window of the next slot opens. `left_out`: a refusal that is passed over, for
/// the test that shows what each one holds back.
Result<Allowed> may_dial(const Order& order, const Ask& ask, const ZoneRules& zone,
                         std::string_view left_out = {});

}  // namespace penstock::order
