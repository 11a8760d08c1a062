// Whether somebody can read a sheet that goes home.
#pragma once

#include <optional>

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages::internal {

/// H50: a sheet that somebody cannot see or read is not a sheet. The catalogue is English for now.
std::optional<Error> unreadable(const journal::Person& person);

}  // namespace penstock::pages::internal
