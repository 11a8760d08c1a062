// The three accounts, and the comparisons that they allow.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/reconcile/reconcile.hpp"

namespace penstock::reconcile::internal {

struct Books {
  DispensedAccount dispensed;
  LeftAccount left;
  ClaimedAccount claimed;
  std::vector<Row> rows;
  std::vector<Stretch> stretches;
  std::vector<Entry> entries;  ///< the period's injections, by time, none twice
  std::vector<std::string_view> not_known;
  bool primes_recorded = false;  ///< at least one entry says what was primed
};

Books books_of(const Request& request);

/// What one day's doses are on that day.
const Ordered* ordered_on(const Request& request, LocalDay day);

}  // namespace penstock::reconcile::internal
