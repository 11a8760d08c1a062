// What the ledger says to somebody who records: an amount that its pen cannot dial, or that its
// cartridge never held.
#pragma once

#include <optional>
#include <string_view>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"

namespace penstock::ledger {

namespace codes {
inline constexpr std::string_view ask_not_in_steps = "ask.not_in_steps";  // [dose, step]
inline constexpr std::string_view ask_more_than_holds =
    "ask.more_than_holds";  // than it held when it was full [dose, content]
inline constexpr std::string_view ask_more_than_pen =
    "ask.more_than_pen";  // than one injection with its pen can be [dose, most]
}  // namespace codes

/// What was read or typed wrongly, or came from elsewhere (H02, H05, H25). Nothing where the
/// cartridge is not known, or in no pen.
std::optional<Error> beyond_the_pen(const Ledger& ledger, const journal::Injected& dose);

}  // namespace penstock::ledger
