// The three accounts, and the comparisons that they allow.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "core/reconcile/reconcile.hpp"

namespace penstock::reconcile::internal {

/// Things of one size, or nearly: injections, primes, gaps.
struct Several {
  int count = 0;
  double mean = 0;      ///< units
  double variance = 0;  ///< between them
};

/// One cartridge with two known ends. Units, as doubles: numerics only.
struct Stretch {
  double expected = 0;  ///< held less claimed: what the diary leaves in it
  bool read = false;    ///< its end was read: `level`. Otherwise used up: at most `need` is left
  double level = 0;
  double need = 0;
  double sd = 1;  ///< of readings and priming together
  double claimed = 0;
  double content = 0;
  double reading_unit = 1;        ///< 100 units/mL: 1
  double completed = 0;           ///< it may have begun with a part of a dose: at most so much
  bool begins_at_change = false;  ///< another was in use before
  bool ends_at_change = false;
  bool may_be_early = false;  ///< it was changed, and nobody read its rest
  Several doses;              ///< each with its prime
  Several primes;             ///< those that are claimed or planned
  Several gaps;               ///< due and not written, each with its prime
  double rule_prime = 0;
  std::size_t row = 0;  ///< in `Books::rows`

  /// Left less claimed, by the middle of what can be read.
  double difference() const { return expected - (read ? level : need / 2); }
};

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
