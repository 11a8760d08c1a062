// The rule after which a zone's clocks change for ever, as the last line of its file says it.
#pragma once

#include <chrono>
#include <string>
#include <utility>
#include <vector>

namespace penstock::shell {

struct OffsetChange {
  std::chrono::time_point<std::chrono::system_clock, std::chrono::seconds> from;
  std::chrono::seconds offset;
};

/// The offset at `from`, then every change of it before `until`. `rule` is a POSIX rule:
/// "CET-1CEST,M3.5.0,M10.5.0/3". May throw, as its library does, when it is none.
std::vector<OffsetChange> changes_by_rule(
    const std::string& rule,
    std::chrono::time_point<std::chrono::system_clock, std::chrono::seconds> from,
    std::chrono::time_point<std::chrono::system_clock, std::chrono::seconds> until);

}  // namespace penstock::shell
