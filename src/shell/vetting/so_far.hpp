// A journal while facts come in one by one: read anew only where something looks at it, once for
// all that came since.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"
#include "edge/caller/caller.hpp"
#include "shell/charts/charts.hpp"
#include "shell/store/store.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::vetting {

using charts::Chart;
using charts::ChartPtr;
using NewId = std::function<Id()>;

class SoFar {
 public:
  SoFar(const charts::ZoneOf& zone, ChartPtr chart) : zone_(zone), chart_(std::move(chart)) {}
  void take(const journal::Fact& fact) { pending_.push_back(fact); }
  /// As of the last reading.
  const Chart& known() const { return *chart_; }
  Result<ChartPtr> chart();

 private:
  const charts::ZoneOf& zone_;
  ChartPtr chart_;
  std::vector<journal::Fact> pending_;
};

/// S16: facts that share their second and their source with some that are there come behind them,
/// in the order in which they were sent. One that is there already keeps its place, so that a retry
/// is the same fact.
void put_behind(std::vector<journal::Fact>& facts, std::span<const journal::Fact> there);
/// L9, H61: a question where something was recorded later than now, in this journal or in any: the
/// clock was set back.
Result<std::optional<Error>> clock_set_back(store::ReadTx& tx, std::span<const journal::Fact> there,
                                            const ZoneRules& zone, Instant now);
/// Whoever confirmed an entry was asked that, too.
Result<void> clock_said_right(store::WriteTx& tx, bool confirmed, Instant now);

/// {"ask": …}: all questions at once, so that one yes is a yes to each.
json::Value ask_document(const words::Catalogue& words, const std::vector<Error>& questions);
/// What is asked before an entry is looked at, and with it whether the clock is right.
Result<json::Value> ask_before(store::Store& store, std::vector<Error> questions,
                               std::span<const journal::Fact> there, const ZoneRules& zone,
                               const Caller& caller);

/// H18: what a time zone that is typed meets: one that is not there has no hour, and one that
/// stands for no place would follow the machine. Error: what `zone` says of one that is not there.
Result<void> zone_serves(const charts::ZoneOf& zone, std::string_view name);
/// The same of the zone that one of these facts names, if any: a person's, a trip's, the clinic's.
/// At the field.
std::optional<Error> zone_gone(const charts::ZoneOf& zone, std::span<const journal::Fact> facts,
                               const journal::Fact& fact);

/// A journal that is not there yet has nothing in it.
Result<ChartPtr> chart_before(const charts::ZoneOf& zone, charts::Charts& charts, store::ReadTx& tx,
                              Id journal);
/// The questions that facts on their way in open by themselves (watch::hardened_asks), to be
/// recorded with `cause`.
std::vector<journal::Fact> questions_opened_by(const Chart& before, const Chart& after,
                                               const journal::Fact& cause, const NewId& new_id,
                                               const Caller& caller);
/// H37: adds the questions that hypos among the facts of a file open, as those that are typed do.
Result<void> ask_after_lows(const charts::ZoneOf& zone, const ChartPtr& before,
                            std::vector<journal::Fact>& entering, const NewId& new_id,
                            const Caller& caller);

/// H13: what the prescriber is asked about a pen that was used for `with`, in the journal of one of
/// the two. `owner`: whose pen it is.
journal::Fact exposure_question(const Chart& asked, const Chart& owner, const ledger::Pen& pen,
                                const std::string& with, const journal::Fact& cause,
                                const NewId& new_id, const Caller& caller);

/// What facts on their way in say of pens and cartridges that are somebody else's (H13).
struct OfAnother {
  std::vector<Error> questions;       ///< want a yes first, one for each owner
  std::vector<journal::Fact> opened;  ///< in this journal: who was exposed
  std::vector<journal::Fact> there;   ///< in the owners' journals: that their pen was shared
};
Result<OfAnother> of_another(const charts::ZoneOf& zone, store::ReadTx& tx, const Chart& person,
                             std::span<const journal::Fact* const> fresh, const NewId& new_id,
                             const Caller& caller);

/// What speaks against moving a fact to another person, `voiding` being the correction that takes
/// it away here: what may not be struck out, or wants a yes for it, may not be moved away (H13,
/// H37, H54), nor what was moved away already (H19). A dose that comes back with it is a question
/// (H07).
Result<std::optional<Objection>> stays_here(const journal::Fact& voiding, const ChartPtr& person,
                                            const charts::Clinic& clinic,
                                            const charts::ZoneOf& zone, Instant now);

/// Appends one fact that was checked, and writes its journal's summary.
Result<store::Appended> append_one(const charts::ZoneOf& zone, store::WriteTx& tx,
                                   const journal::Fact& fact, std::optional<std::uint64_t> seen,
                                   const charts::Clinic& clinic);
/// A fact that belongs to somebody else.
struct Move {
  Id fact;
  Id to;
  std::string reason;
};
struct Moved {
  journal::Fact here;  ///< takes it away
  journal::Fact there;
};
/// Both sides of it, the same however often it is sent. Error: codes::correction_target.
Result<Moved> moved(const Move& move, const Chart& person, const Caller& caller);
/// What a fact from another one's page meets on the right one's, as if it were sent there, and what
/// a yes opens (H04, H07, H13). Sent again it is the same move, and meets nothing.
struct Arriving {
  std::vector<Objection> objections;
  OfAnother shared;
};
Result<Arriving> meets_there(const charts::ZoneOf& zone, store::Store& store,
                             const journal::Fact& there, const Chart& right,
                             const charts::Clinic& clinic, const NewId& new_id,
                             const Caller& caller);
/// Appends what comes from another one's page, with the questions that it opens (H13, H36); gives
/// them.
Result<std::vector<journal::Fact>> arrive(const charts::ZoneOf& zone, store::WriteTx& tx,
                                          const journal::Fact& there, const charts::Clinic& clinic,
                                          const NewId& new_id, const Caller& caller);

/// Facts that the journal holds already are not vetted again: a retry is one fact, whatever has
/// happened since.
Result<bool> is_known(store::ReadTx& tx, const journal::Fact& fact);

store::NewFact packed(const journal::Fact& fact);

}  // namespace penstock::vetting
