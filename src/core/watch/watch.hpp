// What somebody may have to be told about a person, and from when. Worked out once from the
// journal, without a clock, and kept in the summary row; a list only compares instants. So a list
// of thousands is not folded to be ranked, and no kept verdict can go stale.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/journal/journal.hpp"
#include "core/low/low.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::watch {

/// Closed list, in the order in which Today ranks what is due at the same time.
enum class What : std::uint8_t {
  cartridge_unfit,  ///< frozen, too hot, shared, past expiry or recalled, and still in a pen (H12,
                    ///< H13, H61)
  past_in_use,      ///< in a pen for longer than its in-use days (H12)
  question_open,    ///< H37
  outcome_unknown,  ///< H44
  part_owed,        ///< H39
  dose_unrecorded,  ///< background insulin was due, and nobody said what became of it (H57)
  swapped,          ///< another insulin went in, in this one's place, it seems (H04)
  given_perhaps,    ///< another dose may be this one, and nobody has said yet (H52, H07)
  tell_prescriber,  ///< a dose was missed, or nobody knows: said on the card till the next (H57)
  answer_waits,     ///< the prescriber answered, and no order line says it yet (H37)
  second_check,     ///< H40
  window_unknown,   ///< H01
  none_loaded,      ///< a line holds, and nothing that it could come from is in the house (H38)
  dose_held,        ///< the next dose has no number, for a reason that no other watch says (H38)
  order_ended,      ///< H08
  basal_ended,      ///< somebody ended it, and no basal insulin takes its place (H38)
  runs_short,       ///< before the next refill
  starts_without,   ///< an order begins later, and what its insulin needs is not at home yet (H38)
  order_ends,
  in_use_ends,
  scale_disagrees,  ///< H41
  signature_owed,
  needle_left_on,    ///< H15
  leaving_hardened,  ///< the daily look after hardened tissue was left (H36)
  nothing_sealed,    ///< no sealed spare of an insulin is in the house (H51)
  ask_for_more,      ///< the day by which to ask comes
  not_come,          ///< what was asked for should be here
  needles_short,     ///< the same for needles, in the chosen length
  sharps_full,       ///< three quarters (H34)
  supplies_differ,   ///< a count at home and the account (H41)
  accounts_differ,   ///< dispensed, left the cartridges, claimed by the diary
  contact_due,       ///< a visit or a call that was agreed, until somebody says what became of it
  ring_back,         ///< somebody here promised to ring
  not_rung_back,     ///< they promised to, and did not by then
  call_due,          ///< of the first week of something new
  did_not_come,      ///< to a visit, and was neither reached nor given another time
  not_reached,       ///< several calls in a row that nobody answered
  left_open,         ///< with somebody until an hour that has passed, when a visit was closed
  needlestick,       ///< until the follow-up of the exposure is done (H34, H46)
  glucagon_expired,  ///< at home, for a severe hypo
  too_much,          ///< more of an insulin went in than its order allows, and it still acts
};
inline constexpr auto what_names = std::to_array<std::string_view>(
    {"cartridge_unfit", "past_in_use",    "question_open",  "outcome_unknown",  "part_owed",
     "dose_unrecorded", "swapped",        "given_perhaps",  "tell_prescriber",  "answer_waits",
     "second_check",    "window_unknown", "none_loaded",    "dose_held",        "order_ended",
     "basal_ended",     "runs_short",     "starts_without", "order_ends",       "in_use_ends",
     "scale_disagrees", "signature_owed", "needle_left_on", "leaving_hardened", "nothing_sealed",
     "ask_for_more",    "not_come",       "needles_short",  "sharps_full",      "supplies_differ",
     "accounts_differ", "contact_due",    "ring_back",      "not_rung_back",    "call_due",
     "did_not_come",    "not_reached",    "left_open",      "needlestick",      "glucagon_expired",
     "too_much"});
constexpr std::span<const std::string_view> names_of(What) { return what_names; }

// ---- what a watch says in figures of its own. `members` names them for whoever keeps them.

enum class Unfit : std::uint8_t { shared, frozen, too_hot, expired, recalled };
inline constexpr std::array<std::string_view, 5> unfit_names{"shared", "frozen", "too_hot",
                                                             "expired", "recalled"};
constexpr std::span<const std::string_view> names_of(Unfit) { return unfit_names; }

struct NothingMore {
  template <class Self, class Visit>
  static void members(Self&, Visit&&) {}
  friend bool operator==(const NothingMore&, const NothingMore&) = default;
};
struct OutOfUse {
  Unfit why = Unfit::shared;
  TenthsCelsius reached{}, most{},
      least{};        ///< of what got too hot: the heat, and the label's limits
  std::string lot{};  ///< that was recalled
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("why", self.why);
    visit("reached", self.reached);
    visit("most", self.most);
    visit("least", self.least);
    visit("lot", self.lot);
  }
  friend bool operator==(const OutOfUse&, const OutOfUse&) = default;
};
/// Why nothing in the house gives a dose.
enum class NoneGood : std::uint8_t {
  none,
  recalled,
  expired,
  no_pen,  ///< it is there, and nothing to give it with
  nothing  ///< neither
};
inline constexpr std::array<std::string_view, 5> none_good_names{"none", "recalled", "expired",
                                                                 "no_pen", "nothing"};
constexpr std::span<const std::string_view> names_of(NoneGood) { return none_good_names; }
struct Lacking {
  NoneGood why = NoneGood::none;
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("why", self.why);
  }
  friend bool operator==(const Lacking&, const Lacking&) = default;
};
/// Why the interlock holds the next dose back, as far as one word says what to do.
enum class NoNumber : std::uint8_t {
  other,
  no_pen,
  other_strength,
  no_fit,
  dry,
  trip,
  ill,  ///< as they said in a call (H53)
  low   ///< the last value is a hypo (H10)
};
inline constexpr std::array<std::string_view, 8> no_number_names{
    "other", "no_pen", "other_strength", "no_fit", "dry", "trip", "ill", "low"};
constexpr std::span<const std::string_view> names_of(NoNumber) { return no_number_names; }
struct HeldBy {
  NoNumber why = NoNumber::other;
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("why", self.why);
  }
  friend bool operator==(const HeldBy&, const HeldBy&) = default;
};
struct InUse {
  std::int32_t limit_days = 0;
  LocalDay since{};
  LocalDay last{};
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("limit_days", self.limit_days);
    visit("since", self.since);
    visit("last", self.last);
  }
  friend bool operator==(const InUse&, const InUse&) = default;
};
struct ScaleRead {
  Units account = Units::zero();
  Units counted = Units::zero();
  Units content = Units::zero();
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("account", self.account);
    visit("counted", self.counted);
    visit("content", self.content);
  }
  friend bool operator==(const ScaleRead&, const ScaleRead&) = default;
};
struct Owed {
  Units rest = Units::zero();
  Units meant = Units::zero();
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("rest", self.rest);
    visit("meant", self.meant);
  }
  friend bool operator==(const Owed&, const Owed&) = default;
};
/// What somebody said of a dose, and of a divided one its rest.
struct Answered {
  journal::DoseWas was = journal::DoseWas::not_known;
  Units rest = Units::zero();
  Units meant = Units::zero();
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("was", self.was);
    visit("rest", self.rest);
    visit("meant", self.meant);
  }
  friend bool operator==(const Answered&, const Answered&) = default;
};
struct LastDay {
  LocalDay day{};
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("day", self.day);
  }
  friend bool operator==(const LastDay&, const LastDay&) = default;
};
struct Reason {
  journal::QuestionReason reason = journal::QuestionReason::other;
  bool every_dose = false;  ///< it is about all lines, not one
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("reason", self.reason);
    visit("every_dose", self.every_dose);
  }
  friend bool operator==(const Reason&, const Reason&) = default;
};
struct Copied {
  std::string by;
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("by", self.by);
  }
  friend bool operator==(const Copied&, const Copied&) = default;
};
struct Shortage {
  LocalDay missing_from{};
  LocalDay asked_on{};      ///< of what was asked for
  bool with_spare = false;  ///< `missing_from` counts the spare (H51)
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("missing_from", self.missing_from);
    visit("asked_on", self.asked_on);
    visit("with_spare", self.with_spare);
  }
  friend bool operator==(const Shortage&, const Shortage&) = default;
};
struct NeedlesLeft {
  LocalDay missing_from{};
  std::int64_t left = 0;
  TenthsMm length{};  ///< the one that was chosen; zero: none was
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("missing_from", self.missing_from);
    visit("left", self.left);
    visit("length", self.length);
  }
  friend bool operator==(const NeedlesLeft&, const NeedlesLeft&) = default;
};
struct BoxFills {
  std::int64_t needles = 0;
  std::int64_t line = 0;  ///< at three quarters (H34)
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("needles", self.needles);
    visit("line", self.line);
  }
  friend bool operator==(const BoxFills&, const BoxFills&) = default;
};
struct Counted {
  std::int64_t account = 0;
  std::int64_t counted = 0;
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("account", self.account);
    visit("counted", self.counted);
  }
  friend bool operator==(const Counted&, const Counted&) = default;
};
struct Difference {
  std::int64_t whole_units = 0;
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("whole_units", self.whole_units);
  }
  friend bool operator==(const Difference&, const Difference&) = default;
};
struct DayOfLeaving {
  std::int32_t day = 1;
  std::int32_t days = 1;
  Zone zone = Zone::abdomen_left_upper;
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("day", self.day);
    visit("days", self.days);
    visit("zone", self.zone);
  }
  friend bool operator==(const DayOfLeaving&, const DayOfLeaving&) = default;
};
struct Contacting {
  journal::Meeting meeting = journal::Meeting::call;
  journal::MeetingWhy why = journal::MeetingWhy::review;
  std::int32_t tries = 0;  ///< that nobody answered
  std::string with;        ///< of the clinic; empty: whoever is there
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("meeting", self.meeting);
    visit("why", self.why);
    visit("tries", self.tries);
    visit("with", self.with);
  }
  friend bool operator==(const Contacting&, const Contacting&) = default;
};
struct Pricking {
  journal::Pricked who = journal::Pricked::person;
  std::string with;  ///< who sees to the follow-up; empty: nobody yet
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("who", self.who);
    visit("with", self.with);
  }
  friend bool operator==(const Pricking&, const Pricking&) = default;
};
struct WentIn {
  Units given = Units::zero();
  Units most = Units::zero();  ///< that the order allows
  std::string of{};            ///< told instead of the insulin (interlock::TooMuch)
  template <class Self, class Visit>
  static void members(Self& self, Visit&& visit) {
    visit("given", self.given);
    visit("most", self.most);
    visit("of", self.of);
  }
  friend bool operator==(const WentIn&, const WentIn&) = default;
};
using Figures = std::variant<NothingMore, OutOfUse, InUse, ScaleRead, Owed, LastDay, Reason, Copied,
                             Shortage, NeedlesLeft, BoxFills, Counted, Difference, DayOfLeaving,
                             Answered, Lacking, HeldBy, Contacting, Pricking, WentIn>;
/// Which figures such a watch has, empty.
Figures figures_of(What what);

struct Watch {
  What what = What::runs_short;
  When shows_from;            ///< before it the watch is silent
  When due;                   ///< by when something should be done
  std::optional<When> until;  ///< from here on it is silent again: another watch takes over
  bool holds = false;         ///< a dose cannot be planned before it is put right
  std::string insulin;
  Strength strength;
  std::optional<shelf::Action> action;  ///< nothing: only the purpose is known
  journal::Purpose purpose = journal::Purpose::background;
  Figures figures;    ///< those of `what`
  std::string basis;  ///< the facts behind it: a dismissal ends when it changes (H32)

  friend bool operator==(const Watch&, const Watch&) = default;
};

/// The word under which a watch is kept, dismissed and named in the catalogue.
inline std::string word_of(What what) {
  return std::string(what_names[static_cast<std::size_t>(what)]);
}

/// How far back accounts are compared: two months, as a follow-up visit looks at them.
inline constexpr int accounts_days = 60;

/// Everything to watch for in one journal, by the hour at which it is due.
std::vector<Watch> watches(const chart::Chart& person, const chart::Clinic& clinic);

enum class Level : std::uint8_t { note, caution, stop };

/// A watch's state at an instant: how loud.
struct Alarm {
  Level level = Level::note;
  bool before_next = false;  ///< belongs to "before the next injection"
};
/// Nothing: the watch is silent.
std::optional<Alarm> alarm(const Watch& watch, Instant now);

/// What was dismissed: a watch's name and its basis.
using Dismissed = std::pair<std::string, std::string>;

/// A stop, and whatever keeps a dose in question, stays until it is put right (H32, H62).
bool can_be_dismissed(const Watch& watch, Instant now);

/// Those that are not silent and were not dismissed, loudest first. What cannot be dismissed rings,
/// whatever the journal says.
std::vector<const Watch*> ringing(std::span<const Watch> watches,
                                  std::span<const Dismissed> dismissed, Instant now);

// ---- when somebody injects next: what has to be done before it is ranked by that hour

/// One hour of the order at which an insulin is injected every day, up to the day on which somebody
/// ended or replaced its line: also of one that lapsed or waits for its check, whose dose is missed
/// at that hour.
struct DoseTime {
  std::string insulin;
  MinuteOfDay at;                  ///< by the person's clocks
  std::int32_t minutes_after = 0;  ///< how late it may be given
  LocalDay from{};
  std::optional<LocalDay> until{};  ///< nothing: nobody ended or replaced it
  std::vector<LocalDay> answered;   ///< the last days of which it is on record what became of it
  friend bool operator==(const DoseTime&, const DoseTime&) = default;
};
std::vector<DoseTime> dose_times(const chart::Chart& person);

/// The first dose that may still be given and of which nothing is on record; its hour may have
/// passed. `insulin`: of which; empty: of any. Nothing: none is ordered.
std::optional<When> next_dose(std::span<const DoseTime> times, std::string_view insulin,
                              const ZoneRules& zone, Instant now);

// ---- hardened tissue where somebody injects (H36): its question is opened by the fact that says
// so, and a place plan says first to phone until it is answered

/// The open question about leaving hardened tissue, or nothing.
const order::Question* hardened_question(const chart::Chart& person);

/// Whether a fact can open a question by itself: about an area to keep off, about a pen that was
/// used for somebody else, or about a hypo, also one that was told in a call.
bool may_open_question(const journal::Fact& fact);

/// What the prescriber is asked after a hypo (H37): about the latest that is news and is serious,
/// once for each line that was signed by that day and of which a dose may be due, now or from a
/// later day on, or for every dose.
struct LowsAsk {
  journal::GlucoseNoted said;
  When when;
  low::Serious why = low::Serious::helped;
  bool is_told = false;  ///< in a visit or a call, as no value of its own
  std::optional<Id> line;
};
std::vector<LowsAsk> lows_asks(const chart::Chart& before, const chart::Chart& after, Instant now);

/// What a trial told those who leave such tissue: 10 to 20 % less (Q022, read in its abstract).
inline constexpr std::int64_t hardened_cut_percent_least = 10;
inline constexpr std::int64_t hardened_cut_percent_most = 20;
inline constexpr std::string_view hardened_cut_source =
    "Chen L, Xing Q, et al. Diabetes 2019;68(Suppl 1):337-OR, abstract";

/// A question that hardened tissue in a zone opens about one line, or about every dose.
struct HardenedAsk {
  Zone zone = Zone::abdomen_left_upper;
  std::optional<Id> line;
};
/// The questions that facts on their way in open by themselves. `after` is the journal with those
/// facts; what `before` knew opens nothing again. They open now, whenever the tissue was felt:
/// injections before were not given against a question. One for each order line whose injections
/// went into or beside the area; one for every dose where nobody knows which.
std::vector<HardenedAsk> hardened_asks(const chart::Chart& before, const chart::Chart& after);

/// Who was exposed to whose blood (H13): each pen that the new facts say was used for somebody
/// else, and the last with whom.
std::vector<const ledger::Pen*> exposures(const chart::Chart& before, const chart::Chart& after);

}  // namespace penstock::watch
