// What a cartridge's own scale says against the account (H41, H59). What follows from it is the
// interlock's.
#pragma once

#include <cstdint>
#include <optional>

#include "core/chart/chart.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"

namespace penstock::interlock {

/// How exactly a cartridge's scale is read. Common practice, no source.
inline constexpr std::int64_t scale_slack_hundredths = 200;

/// A reading that differs from what was expected, and of which nobody has said anything since.
struct OpenScale {
  Id cartridge;
  When when;
  /// What was expected at that hour: the account, less what an earlier reading showed to be gone
  /// once that was settled, and less what was known to be perhaps gone (H02, H44).
  Units account = Units::zero();
  Units counted = Units::zero();

  /// By how much the two differ, either way.
  Units difference() const;
};

/// The last reading of the cartridge, where it differs by more than a scale is read exactly and is
/// not settled (H59, H41). What is primed or injected afterwards settles nothing: a new reading
/// that agrees does, with what was expected or with the one before it, an answer about a dose of
/// the line, one of the prescriber's, or a correction of what was recorded before it. Nothing: no
/// reading, or it is settled; nullptr is no cartridge.
std::optional<OpenScale> open_scale(const chart::Chart& person, const order::Line& line,
                                    const ledger::Cartridge* cartridge);

/// The same of a cartridge of the line's insulin that is not `in_pen`, and from which a dose or
/// more may be missing: the question hangs on the dose, and not on what is in the pen now (H59,
/// H07). Read at `since` or later.
std::optional<OpenScale> open_scale_elsewhere(const chart::Chart& person, const order::Line& line,
                                              const ledger::Cartridge* in_pen, Instant since);

/// Whether it was read in the slot's reach, and so much is missing as the dose, with or without its
/// prime.
bool lacks(const OpenScale& open, const order::Line& line, const order::Due& due, Units dose,
           const shelf::Pen& pen);

}  // namespace penstock::interlock
