// What the journal says about supplies, and what cover is asked with: what is in the house of each
// insulin, what the order takes of it, how it is asked for, the sharps box, trips, tests of pens. A
// fold like any other; no clock.
//
// A plan counts from the last injection on record: whatever was due since then is taken as given,
// each day with the doses of the order that holds on it. So nothing here depends on the day on
// which somebody looks; whoever knows it leaves out what was ended before it (House::last_day).
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/cover/cover.hpp"
#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/stock/stock.hpp"
#include "core/units/units.hpp"

namespace penstock::supply {

// ---- what was said

/// One insulin of one strength.
struct Kind {
  std::string insulin;
  Strength strength;
  friend bool operator==(const Kind&, const Kind&) = default;
};

struct Asked {
  Id fact;
  When when;
  journal::SuppliesAsked said;
  bool came = false;          ///< some of its insulin was given since
  bool needles_came = false;  ///< some needles were
};

/// A sharps container at home. It is full at three quarters (H34; a regulator's guidance for
/// sharps at home, from memory).
struct Box {
  Id box;
  When given;
  std::int32_t holds = 0;
  std::int64_t needles = 0;  ///< in it by the record: taken off since, and not put elsewhere
  std::optional<When> closed;
  std::int64_t line() const { return holds * 3 / 4; }
  std::int64_t room() const { return needles < line() ? line() - needles : 0; }
};

struct Trip {
  Id fact;
  When when;
  Instant recorded{};
  journal::TripPlanned said;
};
struct Test {
  Id fact;
  When when;
  journal::PenTested said;
};
struct Talk {
  Id fact;
  When when;
  journal::DifferenceTalked said;
};
/// Cartridges of one insulin that went home on one day.
struct Dispensed {
  Id fact;
  When when;
  Kind kind;
  std::int32_t cartridges = 0;
  Units each = Units::zero();
};

struct Supply {
  journal::SupplyRulesSet rules;  ///< the defaults where nothing was set
  std::optional<When> rules_set;
  std::vector<Asked> asked;          ///< by time
  std::vector<Box> boxes;            ///< in the order in which they came
  std::vector<Trip> trips;           ///< by the day of leaving
  std::vector<Test> tests;           ///< by time
  std::vector<Talk> talks;           ///< by time
  std::vector<Dispensed> dispensed;  ///< by time
  /// The box that is filled now: the oldest that is not closed; nullptr: none.
  const Box* box() const;
};

Supply fold(const journal::History& history);

// ---- lots

/// What somebody has, and had, of one lot: what a recall asks.
struct LotAtHome {
  std::string lot;  ///< as first written; empty: nobody recorded it
  std::string key;  ///< as compared (penstock::lot_key)
  Kind kind;        ///< empty insulin: needles
  std::string needle;
  std::int64_t given = 0;
  std::int64_t sealed = 0;      ///< at home by the account; never too few
  bool sealed_at_most = false;  ///< some were loaded without their lot: there may be fewer
  std::int64_t open = 0;        ///< cartridges with something left that were not thrown away
  Units left_in_open = Units::zero();
  std::int64_t used = 0;           ///< cartridges that are empty or thrown away
  Units injected = Units::zero();  ///< from all of them
  std::optional<LocalDay> first_injected;
  std::optional<LocalDay> last_injected;
  bool is_at_hand() const { return sealed > 0 || open > 0; }
  friend bool operator==(const LotAtHome&, const LotAtHome&) = default;
};

/// Every lot, with those whose number nobody recorded together for each insulin. In the order of
/// insulin, strength, lot; needles last.
std::vector<LotAtHome> lots_of(const journal::History& history, const ledger::Ledger& ledger);

struct SealedLot {
  std::string lot;  ///< empty: nobody recorded it
  std::optional<LocalDay> expires;
  std::int64_t pieces = 0;
};
/// What is sealed at home of one size of an insulin: good ones, and what must not be used. What
/// froze or got too warm is in none of them (ledger::Stock::spoilt).
struct SealedAtHome {
  std::vector<SealedLot> good;  ///< those that expire first before the others
  std::vector<SealedLot> recalled;
  std::vector<SealedLot> expired;
  /// Good ones that a plan may count on: where nobody knows which lot is left, the bad ones are.
  std::int64_t count = 0;
};
SealedAtHome sealed_at_home(const ledger::Stock& at_home, const shelf::Shelf& shelf,
                            const stock::Stock& clinic, LocalDay on);

// ---- days on which nothing is handed out

/// The clinic's and its pharmacy's closed days.
struct ClosedDays {
  std::vector<journal::Weekday> weekdays;
  std::vector<LocalDay> dates;
  bool is_closed(LocalDay day) const;
  /// The closed ones of so many days, ascending.
  std::vector<LocalDay> from(LocalDay first, std::int32_t days) const;
  friend bool operator==(const ClosedDays&, const ClosedDays&) = default;
};
journal::Weekday weekday_of(LocalDay day);

// ---- what cover is asked with

/// Why there is no cover for an insulin that the order names.
enum class Lack : std::uint8_t {
  no_doses,    ///< no fixed dose: taken as needed, and nothing says how often
  no_pen,      ///< no pen of this insulin is known: its priming is not, either
  no_content,  ///< nothing of it is here, and the shelf has nothing that fits its pen
};

/// One insulin of the order, and what is in the house of it.
struct House {
  Kind kind;
  journal::Purpose purpose = journal::Purpose::background;  ///< of its first line
  std::vector<Id> lines;    ///< order lines that take from it, by time of their first dose
  LocalDay counted_from{};  ///< the day of the last injection; without one, on which it can begin
  /// Of an insulin whose every line was ended, or replaced by another insulin's: then no more of it
  /// is counted. An order that has a last day of its own is renewed, and goes on in the plan.
  std::optional<LocalDay> last_day;
  cover::Line line;  ///< with every change of its doses that is known
  /// Still to come of a dose of which a part was given (H39): taken before anything else.
  std::vector<Units> rests;
  std::int64_t sealed = 0;  ///< that a plan counts on
  bool recalled = false;    ///< some at home are of a lot that was recalled: not counted on (H61)
  bool expired = false;     ///< some sealed ones are past their day: not counted on
  std::int64_t no_fit =
      0;  ///< sealed ones that were made for none of the pens: not counted on (H42)
  std::optional<ledger::StockCount> count;  ///< the last one, where there is one
  std::int32_t pens = 0;        ///< given for it, and not shared: the second is the spare (H51)
  bool prefilled = false;       ///< each sealed one is its own pen
  bool window_unknown = false;  ///< taken as one that counts on, the stricter
  bool is_over(LocalDay on) const { return last_day && *last_day < on; }
};
struct Gap {
  Kind kind;
  Lack lack = Lack::no_pen;
};

struct Needles {
  LocalDay on{};
  /// An insulin is ordered of which nothing can be worked out yet, for want of a pen or of itself:
  /// it takes needles in the place of one that ends, which is counted on.
  bool others = false;
  bool counted = false;  ///< some were given or counted: what is left means something
  std::int64_t left = 0;
  std::optional<TenthsMm> length;  ///< only these are counted; nothing: all
  std::optional<std::int32_t> sharps_room;
};

struct Needed {
  std::vector<House> houses;
  std::vector<Gap> gaps;
  std::optional<Needles> needles;  ///< where any were given or counted, or a sharps box is there
};

/// What the order takes and what is there. `needle`: the length that was chosen for this person;
/// only needles of it (and of unknown length) are counted on, and asked for. `shelf`: what an
/// insulin is that nobody has loaded yet. `clinic`: the lots that were recalled.
Needed needed(const order::Order& order, const ledger::Ledger& ledger, const Supply& supply,
              std::optional<TenthsMm> needle, const shelf::Shelf& shelf, const stock::Stock& clinic,
              const ZoneRules& zone);

/// Needles that are left: only those of this length and of unknown length; nothing: all.
std::int64_t needles_left(const ledger::NeedleStock& stock, std::optional<TenthsMm> length);
/// How many injections the doses of that day take, with this pen: each uses a needle.
std::int64_t injections_a_day(const House& house, LocalDay on);

/// The rules as cover's question. From `on` on, so many closed days are looked at as cover can.
cover::Ask ask_of(const journal::SupplyRulesSet& rules, const ClosedDays& closed, LocalDay on);

/// One insulin's request: what is at home, less the rests that are owed.
cover::Request request_of(const House& house, const Supply& supply, const ClosedDays& closed);
/// Needles and sharps box, over the doses of all insulins.
std::optional<cover::Request> request_of(const Needed& needed, const Supply& supply,
                                         const ClosedDays& closed);

/// Whoever knows the day counts on nothing sealed whose expiry is before it (H12, H51).
void leave_out_expired(House& house, LocalDay today);
/// The last day of an order that has one of its own, and goes on in the plan as if it were renewed
/// (House::last_day); nothing: it has none, or was ended.
std::optional<LocalDay> ordered_until(const order::Order& order, const Kind& kind);

/// A request counts from the last injection on record; boxes are for so many days from today.
void for_days_from(cover::Request& request, LocalDay today, std::int32_t days);

/// The chance of a day that makes it one on which something may be missing: one in a hundred
/// (ours).
inline constexpr double may_be_missing = 0.01;
std::optional<LocalDay> may_be_short_on(const cover::Lasts& lasts);
/// The first day on which it is more likely gone than not.
std::optional<LocalDay> short_on(const cover::Lasts& lasts);

/// Whether more of it was asked for and is still to come on that day (a day past the expected one
/// it is awaited no longer).
const Asked* awaited(const Supply& supply, const Kind& kind, LocalDay on);
const Asked* needles_awaited(const Supply& supply, LocalDay on);

/// Until when something that was asked for is expected: the day that was said, or the longest that
/// it takes.
LocalDay last_expected(const Asked& asked, const journal::SupplyRulesSet& rules);

/// Days' supply of each dispensing, by what a day of the order takes on that day, primes included
/// (before the plan, on its first day); for the published ratios.
std::vector<cover::Dispensed> history_of(const Supply& supply, const House& house);

}  // namespace penstock::supply
