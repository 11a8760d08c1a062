// What is not certain of a cartridge that is planned with: said beside the number, no rules.
#pragma once

#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/ledger/ledger.hpp"

namespace penstock::interlock {

namespace doubts {
inline constexpr std::string_view near_freezing = "doubt.near_freezing";    // H12 [celsius, when]
inline constexpr std::string_view since_unknown = "doubt.since_unknown";    // H12 [loaded, last,
                                                                            //      limit]
inline constexpr std::string_view left_uncertain = "doubt.left_uncertain";  // H02, H44 [account,
                                                                            //   least, doses]
}  // namespace doubts

/// Each as a code of `doubts`; none: nothing is doubted.
std::vector<Error> doubts_of(const ledger::Cartridge& cartridge);

}  // namespace penstock::interlock
