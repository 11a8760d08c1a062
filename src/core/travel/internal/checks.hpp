// What is refused.
#pragma once

#include <optional>

#include "core/travel/travel.hpp"

namespace penstock::travel {

/// The first refusal in the declared order; nothing: the request can be answered.
std::optional<Error> wrong(const Request& request);

}  // namespace penstock::travel
