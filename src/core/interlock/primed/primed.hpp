// The prime that is on record, and for how long it counts for the injection after it (H01, H44).
#pragma once

#include <chrono>
#include <optional>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/dial/dial.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"

namespace penstock::interlock {

/// How long before an injection its prime proves flow. Ours (common practice, no source): whoever
/// was called away begins anew.
inline constexpr std::chrono::minutes prime_holds{30};

/// The last prime of the cartridge that is in the pen.
std::optional<When> last_prime(const chart::Chart& person, const ledger::Pen& pen);

/// A prime belongs to the injection after it. One of half an hour ago proves no flow any more, and
/// the window has been set back since (H44, H55). Ours: whoever was called away begins anew.
/// However far ahead the dose is due: at a visit the first one is given long before its hour. On
/// paper, and where it is told for later, the injection is at its own hour: what is done to the pen
/// before is of another one (H01, H15, H48).
bool is_prime_stale(const chart::Chart& person, const ledger::Pen& pen, const order::Due& due,
                    Instant now, bool on_paper);

/// What was pressed out through the needle that is on. A needle that is to be fitted has pressed
/// nothing, and gets the whole prime; so does one through which nothing has shown (H64).
/// `open_serves`: the cartridge in the pen gives the dose; `stale`: is_prime_stale.
dial::Prime prime_of(const ledger::Pen& pen, bool open_serves, bool stale);

}  // namespace penstock::interlock
