// What went in since the slot before a dose, or shortly before it, of basal insulin (H07, H38).
#pragma once

#include <chrono>
#include <optional>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"

namespace penstock::interlock {

/// The line's slot before this one, on the day of a change as it was given (order::dues_then);
/// nothing: there is none within its round.
std::optional<order::Due> slot_before(const chart::Chart& person, const order::Due& due);

/// The slot that a number is for: of a rest its part's own, or its hour would be a way round what
/// holds the dose (H39, H04). Until when what went in stands before it: up to the first part.
struct ForSlot {
  order::Due slot;
  Instant until;
};
/// `rest`: the part whose rest it is, if it is one. Nothing: the part answers no slot.
std::optional<ForSlot> slot_for(const chart::Chart& person, const order::Line& line,
                                const order::Due& due, const ledger::Pending* rest, Instant now);

/// How long after a basal dose outside its hours the next one of a line once a day is held; after
/// one that is not ordered, or not any more, a day (H07, H08). Ours.
inline constexpr std::chrono::hours basal_held{10}, basal_held_after_end{24};

/// The last basal dose before this one, so shortly before it that it is said; of a line
/// several times a day, less than half of the time that the order has between them.
struct Lately {
  order::Given given;
  /// For how long after it the next dose is held. Zero: it went in as ordered then.
  std::chrono::hours holds{0};
  bool close = false;  ///< of a line several times a day, to its own dose before
};
std::optional<Lately> lately_before(const chart::Chart& person, const order::Line& line,
                                    const order::Due& due, Instant until);

}  // namespace penstock::interlock
