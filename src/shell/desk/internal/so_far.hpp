// A journal while facts come in one by one: read anew only where something looks at it, once for
// all that came since.
#pragma once

#include <algorithm>
#include <iterator>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "shell/desk/internal/inside.hpp"

namespace penstock::desk {

class SoFar {
 public:
  SoFar(const Ports& ports, ChartPtr chart) : ports_(ports), chart_(std::move(chart)) {}
  void take(const journal::Fact& fact) { pending_.push_back(fact); }
  /// As of the last reading.
  const Chart& known() const { return *chart_; }
  Result<ChartPtr> chart();

 private:
  const Ports& ports_;
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
Result<ChartPtr> chart_before(const Ports& ports, charts::Charts& charts, store::ReadTx& tx,
                              Id journal);

}  // namespace penstock::desk
