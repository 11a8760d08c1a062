// What the files that make watches share.
#pragma once

#include "core/watch/watch.hpp"

namespace penstock::watch {

/// Midnight at which a local day begins, on the person's clocks.
When midnight(const chart::Chart& person, LocalDay day);
/// A watch about a line of the order.
Watch about(const order::Line& line, const shelf::Shelf& shelf, What what, When from, When due);
/// The first slot of a line from an instant on: when something about the line is needed.
When next_slot(const chart::Chart& person, const order::Line& line, const When& from);

/// A slot whose window goes by with nobody saying what became of it (H57).
Watch unrecorded(const chart::Chart& person, const order::Unrecorded& slot,
                 const shelf::Shelf& shelf);

/// The first dose of this line from a slot on that had no number at its hour, for it waited for a
/// second check or for an answer, and of which nobody said what became of it since (H57, H40, H37).
std::optional<order::Due> first_withheld(const chart::Chart& person, const order::Due& from);

/// Insulin, needles, sharps box: what runs out, when to ask, what is not there (H38, H51).
void watch_supplies(const chart::Chart& person, const chart::Clinic& clinic,
                    std::vector<Watch>& out);

/// What was agreed, promised, and belongs to the first week of something new.
void watch_calls(const chart::Chart& person, std::vector<Watch>& out);

/// What is at home for a severe hypo, and is no good.
void watch_rescue(const chart::Chart& person, std::vector<Watch>& out);
/// Whoever was pricked by a used needle, until the follow-up is done.
void watch_needlesticks(const chart::Chart& person, std::vector<Watch>& out);

/// More of an insulin went in than its order allows: while it acts, and until somebody recorded
/// what the prescriber answered (H04).
void watch_too_much(const chart::Chart& person, const chart::Clinic& clinic,
                    std::vector<Watch>& out);

/// The next dose of each line that has no number for a reason that none of `out` says (H32, H38).
void watch_held(const chart::Chart& person, const chart::Clinic& clinic, std::vector<Watch>& out);

}  // namespace penstock::watch
