// What somebody who watched an injection left on record by judging its steps (H01, H07, H44, H55).
// What follows from it is the interlock's.
#pragma once

#include <optional>

#include "core/chart/chart.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/units/units.hpp"

namespace penstock::interlock {

/// When somebody watched the button pressed to zero, or the last step after it, where no injection
/// is on record since: whoever is next reads "Dial" (H07, H55). For as long as it may be this dose.
/// `rest`: of a dose that was begun, only what was pressed after its last part counts, and no part
/// of it answers that (H39).
std::optional<When> watched_to_its_end(const chart::Chart& person, const order::Line& line,
                                       Instant now, const ledger::Pending* rest = nullptr);

/// The slot of `due`'s line that it was watched for: the one nearest to it. After midnight that is
/// last night's, though tonight's is `due` (H07, H55). `due` itself, where none was watched.
order::Due slot_watched(const chart::Chart& person, const order::Due& due, Instant now);

/// Somebody watched, and the prime was not done.
struct NotPrimed {
  When when;
  std::optional<When> primed;  ///< the record has a prime before it with which insulin was seen
};
/// The prime of the line's injection was judged as not done, and neither a prime of the pen's
/// cartridge nor an injection, nor another word on it, is on record since. For as long as a prime
/// counts (`holds`): whoever comes later begins anew (H01, H44).
std::optional<NotPrimed> prime_not_done(const chart::Chart& person, const order::Line& line,
                                        const ledger::Pen& pen, Instant now,
                                        std::chrono::minutes holds);

}  // namespace penstock::interlock
