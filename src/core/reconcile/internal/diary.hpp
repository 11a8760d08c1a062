// Whether a diary was written at once or afterwards: how round its minutes are, how even its times,
// how equal its amounts, and whether it was written in batches.
#pragma once

#include <span>
#include <vector>

#include "core/reconcile/reconcile.hpp"

namespace penstock::reconcile::internal {

struct Written {
  bool looked = false;     ///< enough entries
  double probability = 0;  ///< that it was written afterwards
  std::vector<SignFound> signs;
};

/// `entries`: injections by time, none twice.
Written written(std::span<const Entry> entries, const Request& request);

}  // namespace penstock::reconcile::internal
