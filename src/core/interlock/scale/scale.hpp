// What a cartridge's own scale says against the account (H41, H59). What follows from it is the
// interlock's.
#pragma once

#include <cstdint>

#include "core/chart/chart.hpp"
#include "core/ledger/ledger.hpp"
#include "core/units/units.hpp"

namespace penstock::interlock {

/// How exactly a cartridge's scale is read. Common practice, no source.
inline constexpr std::int64_t scale_slack_hundredths = 200;

/// By how much a reading and the account of its hour differ, either way.
Units between(const ledger::ScaleCount& scale);

/// A reading of the cartridge in the pen that differs by more than a scale is read exactly, and of
/// which nobody has said anything since (H59, H41). What is primed or injected afterwards settles
/// nothing: a new reading that agrees does, with the account or with the one before it, an answer,
/// or a correction of what was recorded before it. nullptr: none, or it is settled.
const ledger::ScaleCount* open_scale(const chart::Chart& person, const Id& line,
                                     const ledger::Cartridge* cartridge);

}  // namespace penstock::interlock
