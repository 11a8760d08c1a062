// That the next dose has no number, as a row of what is open.
#pragma once

#include <optional>
#include <span>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {

struct HoldRow {
  Level level = Level::stop;
  Rich text;
  std::string by;
  WatchAction action;  ///< to where it is settled
};
/// The first row of what is open. `rows`: the watches that have a row there. Nothing: the next dose
/// has its number, or one of them says why it has none (H58).
std::optional<HoldRow> hold_row(const Words& words, const Chart& person,
                                const interlock::Agenda& agenda,
                                std::span<const watch::Watch* const> rows, const When& now);
/// Whether this watch says why the next dose has no number.
bool says_hold(const watch::Watch& watch, const interlock::Agenda& agenda);

}  // namespace penstock::pages
