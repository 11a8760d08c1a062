// How a watch is said, drawn and acted on.
#pragma once

#include <string>
#include <string_view>

#include "core/watch/watch.hpp"
#include "edge/pages/kit/kit.hpp"

namespace penstock::pages {

/// Its sentence, its word-sized drawing and its action.
Rich sentence_of(const Words& words, const watch::Watch& watch, std::string_view name,
                 const When& now);
/// The same in short and without the name, under a sentence that has it.
Rich short_of(const Words& words, const watch::Watch& watch, const When& now);
std::string picture_of(const watch::Watch& watch, const When& now);
struct WatchAction {
  std::string label;
  std::string href;
  bool calls = false;  ///< leads to the form on which a call is recorded
};
/// By when: "by 22:00", "now", "Wed 17".
/// By when something has to be done, by the clocks of whoever reads it.
struct ByWhen {
  LocalDay day{};          ///< the day, where there is no hour
  std::optional<When> by;  ///< the hour
  bool late = false;       ///< it has passed
};
/// "by 22:00", "today", "Wed 17"; "now" only where it is late.
std::string by_text(const Words& words, const ByWhen& when, const When& now);
/// The same of a watch by the person's own clock.
std::string due_text(const Words& words, const watch::Watch& watch, const When& now);
WatchAction action_of(const Words& words, const watch::Watch& watch, Id person,
                      std::string_view name);

}  // namespace penstock::pages
