// What is refused.
#pragma once

#include <optional>

#include "core/cover/cover.hpp"

namespace penstock::cover::internal {

/// The first thing wrong, in the order of `refusals`; nothing when a request can be answered.
std::optional<Error> wrong_in(const Request& request);

}  // namespace penstock::cover::internal
