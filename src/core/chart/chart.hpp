// A journal, read: everything that pages, watches and acts work out starts here. A chart is made
// once from a person's facts and passed around; the clinic's own journal is read the same way.
//
//   auto begun = chart::begin(journal, version, head, facts);
//   auto zones = rules_of(begun.zone_names());         // the zone database is outside
//   auto zone = rules_of(begun.zone_name());
//   chart::ChartPtr person = chart::finish(std::move(begun), zone, zones);
//
// No clock, no store: the zone's rules come in as a value.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/base.hpp"
#include "core/contacts/contacts.hpp"
#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/skin/skin.hpp"
#include "core/stock/stock.hpp"
#include "core/supply/supply.hpp"
#include "core/units/units.hpp"

namespace penstock::chart {

/// The clock that somebody lives by, and since when: at home, after a move, on a trip (H18).
class Clock {
 public:
  /// The same instant as they would have told it. A sender's own offset (a device's `Z`) says
  /// nothing of where somebody is; that of the place of a trip, while they are on it, does, and
  /// stays. Nobody's zone known: as it was sent.
  When told(const When& sent) const;

 private:
  friend Clock clock_of(const journal::History&, std::span<const ZoneRules>);
  struct Since {
    Instant from;
    const ZoneRules* zone;  ///< nullptr: its rules are not known
  };
  struct Trip {
    LocalDay leaves, returns;
    const ZoneRules* zone;
  };
  std::vector<Since> since_;  ///< ascending
  std::vector<Trip> trips_;
};
/// `zones`: the rules of all that `zones_in` names, found by name; they outlive the clock.
Clock clock_of(const journal::History& history, std::span<const ZoneRules> zones);
/// Every zone that a history names, once: theirs, former ones, those of trips.
std::vector<std::string> zones_in(const journal::History& history);

/// One person's history and every fold of it. Holds pointers into its own facts: made in place,
/// kept by shared_ptr, never copied.
struct Chart {
  Id journal;
  std::uint64_t version = 0;         ///< of the journal: its last position
  Digest head{};                     ///< of the journal's chain at that version
  std::vector<journal::Fact> facts;  ///< in the order of their entries
  /// Positions of entries whose payload was erased by law, ascending: `facts` has none of them, so
  /// that a fact's index is not its position.
  std::vector<std::uint64_t> erased;
  journal::History history;
  journal::Person person;
  ZoneRules zone;                ///< the person's; UTC where none is known
  std::vector<ZoneRules> zones;  ///< of every zone that the history names
  Clock clock;                   ///< every `happened` of `history` is told by it already
  ledger::Ledger ledger;
  order::Order order;
  skin::Skin skin;
  supply::Supply supply;
  contacts::Contacts contacts;

  Chart() = default;
  Chart(const Chart&) = delete;
  Chart& operator=(const Chart&) = delete;
};
using ChartPtr = std::shared_ptr<const Chart>;

/// A chart of which only the history is read: which zone it needs is known, its rules are not.
class Begun {
 public:
  /// The zone's database name; empty: none is known.
  const std::string& zone_name() const { return chart_->person.zone; }
  std::vector<std::string> zone_names() const { return zones_in(chart_->history); }

 private:
  friend Begun begin(Id, std::uint64_t, const Digest&, std::vector<journal::Fact>,
                     std::vector<std::uint64_t>);
  friend ChartPtr finish(Begun, ZoneRules, std::vector<ZoneRules>);
  std::shared_ptr<Chart> chart_;
};

/// Facts in any order, with any repetitions, give the same folds. `erased`: see Chart.
Begun begin(Id journal, std::uint64_t version, const Digest& head, std::vector<journal::Fact> facts,
            std::vector<std::uint64_t> erased);
/// `zone`: the rules of `begun.zone_name()`; UTC where it is empty. `zones`: those of
/// `begun.zone_names()`; a time of one that is left out stays as it was sent.
ChartPtr finish(Begun begun, ZoneRules zone, std::vector<ZoneRules> zones);

/// What was written after an entry: the facts of all later entries, in their order.
std::span<const journal::Fact> facts_after(const Chart& chart, std::uint64_t position);

/// The clinic as its journal says: who works here, the shelf with the clinic's own entries, its
/// stock.
struct Clinic {
  Id journal;
  std::uint64_t version = 0;
  bool named = false;
  journal::ClinicNamed names;
  ZoneRules zone;  ///< of `names.zone`; UTC until somebody lays it in
  shelf::Shelf shelf;
  supply::ClosedDays closed;  ///< on which nothing is handed out
  stock::Stock stock;
  /// When the last entry of anybody was recorded; whoever reads the journal out of a store says it.
  /// Nothing: it is not known.
  std::optional<Instant> last_recorded{};
};

/// `program`: the shelf that the clinic's own entries are laid over. `zone` is left to the caller.
Clinic fold_clinic(Id journal, std::uint64_t version, const journal::History& history,
                   shelf::Shelf program);

}  // namespace penstock::chart
