// What the files that make watches share.
#pragma once

#include "shell/desk/internal/watches.hpp"

namespace penstock::desk {

/// Midnight at which a local day begins, on the person's clocks.
When midnight(const Folded& person, LocalDay day);
/// A watch about a line of the order.
Watch about(const order::Line& line, const shelf::Shelf& shelf, WatchKind kind, When from,
            When due);
/// The first slot of a line from an instant on: when something about the line is needed.
When next_slot(const Folded& person, const order::Line& line, const When& from);

/// Insulin, needles, sharps box: what runs out, when to ask, what is not there (H38, H51).
void watch_supplies(const Folded& person, const ClinicState& clinic, std::vector<Watch>& out);

}  // namespace penstock::desk
