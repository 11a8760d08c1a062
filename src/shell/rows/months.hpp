// The month of everybody, kept: what each wants, on as many threads as the machine has, and all of
// it put together. Whoever's row is the same wants the same, and the same people together, too.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <vector>

#include "base/base.hpp"
#include "core/supply/supply.hpp"
#include "core/units/units.hpp"
#include "edge/pages/stock/month.hpp"
#include "edge/summary/summary.hpp"
#include "shell/charts/charts.hpp"
#include "shell/rows/rows.hpp"

namespace penstock::rows {

class Months {
 public:
  struct Asked {
    std::shared_ptr<const summary::People> people;
    supply::ClosedDays closed;
    LocalDay today{};
    std::int32_t days_ahead = 0;
  };
  /// Told whose cover broke a promise; throws.
  using OnBroken = std::function<void(const std::vector<charts::BrokenJournal>& broken)>;

  /// Error: codes::stopped.
  Result<std::shared_ptr<const pages::MonthNeeds>> needs(Asked asked, const Waiting& waiting,
                                                         const OnBroken& on_broken);

 private:
  using WantsPtr = std::shared_ptr<const pages::Wants>;
  struct Kept {
    Asked asked;
    std::vector<WantsPtr> wants;  // one for each of the people
    std::shared_ptr<const pages::MonthNeeds> together;
  };
  static constexpr std::size_t kept_max = 4;
  std::mutex mutex_;      // also: two who ask at once do not work out the same
  std::list<Kept> kept_;  // newest first
};

}  // namespace penstock::rows
