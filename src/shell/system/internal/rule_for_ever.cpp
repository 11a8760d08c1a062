// Compiled as C++17: this header of the library does not know that C++20 took some of its names.
#include "shell/system/internal/rule_for_ever.hpp"

#include <date/ptz.h>

namespace penstock::shell {

std::vector<OffsetChange> changes_by_rule(
    const std::string& rule,
    std::chrono::time_point<std::chrono::system_clock, std::chrono::seconds> from,
    std::chrono::time_point<std::chrono::system_clock, std::chrono::seconds> until) {
  const Posix::time_zone zone{rule};
  std::vector<OffsetChange> changes;
  while (from < until) {
    const auto info = zone.get_info(from);
    changes.push_back({from, info.offset});
    if (info.end <= from) break;
    from = info.end;
  }
  return changes;
}

}  // namespace penstock::shell
