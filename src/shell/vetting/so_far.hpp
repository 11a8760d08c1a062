// A journal while facts come in one by one: read anew only where something looks at it, once for
// all that came since.
#pragma once

#include <functional>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"
#include "edge/caller/caller.hpp"
#include "shell/charts/charts.hpp"
#include "shell/store/store.hpp"

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
/// L9: a question where something was recorded later than now: the clock was set back.
std::optional<Error> clock_set_back(std::span<const journal::Fact> there, const ZoneRules& zone,
                                    Instant now);

/// A journal that is not there yet has nothing in it.
Result<ChartPtr> chart_before(const charts::ZoneOf& zone, charts::Charts& charts, store::ReadTx& tx,
                              Id journal);
/// The questions that facts on their way in open by themselves (watch::hardened_asks), to be
/// recorded with `cause`.
std::vector<journal::Fact> questions_opened_by(const Chart& before, const Chart& after,
                                               const journal::Fact& cause, const NewId& new_id,
                                               const Caller& caller);

/// Facts that the journal holds already are not vetted again: a retry is one fact, whatever has
/// happened since.
Result<bool> is_known(store::ReadTx& tx, const journal::Fact& fact);

store::NewFact packed(const journal::Fact& fact);

}  // namespace penstock::vetting
