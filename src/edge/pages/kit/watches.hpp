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
std::string due_text(const Words& words, const watch::Watch& watch, const When& now);
WatchAction action_of(const Words& words, const watch::Watch& watch, Id person,
                      std::string_view name);

}  // namespace penstock::pages
