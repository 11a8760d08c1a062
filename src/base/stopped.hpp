// Work that may be given up: whoever asked for it has gone, or its time is over.
#pragma once

#include <functional>
#include <string_view>

namespace penstock {

/// Whether nobody waits for the answer any more. Long calculations ask between their parts and then
/// end with codes::stopped (Kind::unavailable). Once true it stays true; empty: somebody waits to
/// the end.
using Stopped = std::function<bool()>;

inline bool is_stopped(const Stopped& stopped) { return stopped && stopped(); }

namespace codes {
inline constexpr std::string_view stopped = "work.stopped";
}  // namespace codes

}  // namespace penstock
