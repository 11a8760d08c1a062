// What is wrong with a request, in the order of the list of refusals.
#pragma once

#include <optional>

#include "core/dial/dial.hpp"

namespace penstock::dial::internal {

/// The first thing that cannot be, or nothing.
std::optional<Error> wrong(const DialRequest& request);

}  // namespace penstock::dial::internal
