// Zone rules out of the system's database: the library reads each zone's listed changes; the rule
// that goes on after the last of them stands in the file's last line and is read by the same
// library's POSIX part.
#include <date/tz.h>

#include <algorithm>
#include <fstream>
#include <map>
#include <mutex>
#include <optional>

#include "shell/system/internal/rule_for_ever.hpp"
#include "shell/system/system.hpp"

namespace penstock::shell {
namespace {

std::int16_t minutes_of(std::chrono::seconds offset) {
  return static_cast<std::int16_t>(std::chrono::round<std::chrono::minutes>(offset).count());
}

constexpr Instant year_begins(int year) {
  return std::chrono::sys_days{std::chrono::year{year} / std::chrono::January / 1};
}

void add_change(ZoneRules& rules, Instant from, std::chrono::seconds offset) {
  const auto rounded = minutes_of(offset);
  // A change of the abbreviation alone is no change of the clocks.
  if (!rules.changes.empty() && rules.changes.back().offset_minutes == rounded) return;
  rules.changes.push_back({from, rounded});
}

// The last line of a zone's file, "CET-1CEST,M3.5.0,M10.5.0/3"; nothing when the clocks never
// change again.
std::optional<std::string> rule_for_ever(std::string_view name) {
  std::ifstream file("/usr/share/zoneinfo/" + std::string(name), std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  if (bytes.size() < 2 || bytes.back() != '\n') return std::nullopt;
  const auto begin = bytes.rfind('\n', bytes.size() - 2);
  if (begin == std::string::npos) return std::nullopt;
  auto rule = bytes.substr(begin + 1, bytes.size() - begin - 2);
  if (rule.find(',') == std::string::npos) return std::nullopt;
  return rule;
}

ZoneRules read_rules(const date::time_zone& found, std::string_view name) {
  constexpr auto first = year_begins(zone_year_first);
  constexpr auto last = year_begins(zone_year_last + 1);
  ZoneRules rules;
  rules.name = std::string(name);
  for (auto at = first; at < last;) {
    const auto info = found.get_info(at);
    add_change(rules, at, info.offset);
    if (info.end <= at) break;
    at = info.end;
  }
  const auto listed_until = rules.changes.back().from;
  const auto rule = rule_for_ever(name);
  if (!rule || listed_until >= year_begins(zone_year_last)) return rules;
  // The rule holds from the last listed change on; that one is in the list already.
  try {
    for (const auto& change : changes_by_rule(*rule, listed_until, last)) {
      add_change(rules, change.from, change.offset);
    }
  } catch (const std::exception&) {
    // Three places change "an hour before midnight", which this library cannot read: what is
    // listed for them (until 2037) is all that we know.
  }
  return rules;
}

}  // namespace

Result<ZoneRules> zone(std::string_view name) {
  static std::mutex mutex;
  static std::map<std::string, ZoneRules, std::less<>> kept;
  const std::lock_guard lock(mutex);
  if (const auto found = kept.find(name); found != kept.end()) return found->second;
  try {
    auto rules = read_rules(*date::locate_zone(std::string(name)), name);
    return kept.emplace(std::string(name), std::move(rules)).first->second;
  } catch (const std::exception&) {
    // The library's only way to say that there is no such zone.
    return Error{
        Kind::invalid_input, std::string(codes::zone_unknown), {arg_text("text", name)}, ""};
  }
}

std::vector<std::string> zone_names() {
  static const std::vector<std::string> names = [] {
    std::vector<std::string> found;
    for (const auto& zone : date::get_tzdb().zones) {
      const auto& name = zone.name();
      // "Etc/GMT-5" is five hours ahead, which nobody expects.
      const bool place = name.find('/') != std::string::npos && !name.starts_with("Etc/") &&
                         stands_for_a_place(name);
      if (place || name == "UTC") found.push_back(name);
    }
    std::ranges::sort(found);
    return found;
  }();
  return names;
}

}  // namespace penstock::shell
