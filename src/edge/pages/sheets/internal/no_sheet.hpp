// Why nothing goes home on paper.
#pragma once

#include <optional>

#include "edge/pages/kit/kit.hpp"

namespace penstock::pages::internal {

/// Somebody's last entry is of a later hour than this machine's: what is due, which version holds
/// and until when a paper counts hang on the clock (H61).
std::optional<Error> clock_set_back(const Chart& person, const Clinic& clinic, const When& now);

/// That, or H50: a sheet that somebody cannot see or read is not a sheet. The catalogue is English
/// for now.
std::optional<Error> no_sheet(const Chart& person, const Clinic& clinic, const When& now);

}  // namespace penstock::pages::internal
