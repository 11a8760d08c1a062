// When somebody injects next, known at any later hour without the journal.
#include <algorithm>

#include "core/order/order.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

using std::chrono::days;
using std::chrono::minutes;

// Doses around the last entry of which something is on record: later ones cannot be.
std::vector<LocalDay> answered(const chart::Chart& person, const order::Line& line,
                               std::size_t slot) {
  std::vector<LocalDay> out;
  if (person.history.facts.empty()) return out;
  const auto last = person.history.facts.back().happened.day();
  for (const int ahead : {-1, 0, 1}) {
    for (const auto& due : order::due_on(person.order, last + days{ahead}, person.zone)) {
      const bool is_it = due.line == line.id && due.slot == slot;
      if (is_it && (!order::given_for(person.order, due).empty() ||
                    order::said_of(person.order, due) != nullptr))
        out.push_back(due.day);
    }
  }
  return out;
}

}  // namespace

std::vector<DoseTime> dose_times(const chart::Chart& person) {
  std::vector<DoseTime> out;
  if (person.history.facts.empty()) return out;
  const auto last = person.history.facts.back().happened.day();
  for (const auto& line : person.order.lines) {
    // One that lapsed is missed every day; one that was ended or replaced holds until its day.
    const auto until = line.replaced_by || line.ended ? line.last_day() : std::nullopt;
    if (until && *until + days{1} < last) continue;
    for (std::size_t slot = 0; slot < line.text.slots.size(); ++slot) {
      const auto& said = line.text.slots[slot];
      out.push_back({line.text.insulin, said.at, said.minutes_after, line.text.from, until,
                     answered(person, line, slot)});
    }
  }
  return out;
}

std::optional<When> next_dose(std::span<const DoseTime> times, std::string_view insulin,
                              const ZoneRules& zone, Instant now) {
  std::optional<When> next;
  for (const auto& time : times) {
    if (!insulin.empty() && time.insulin != insulin) continue;
    const auto first = std::max(zone.when(now).day() - days{1}, time.from);
    for (auto day = first; day <= first + days{3}; day += days{1}) {
      const auto at = zone.resolve(LocalTime{day} + minutes{time.at.minutes});
      if (time.until && day > *time.until) break;
      if (at.at + minutes{time.minutes_after} < now ||
          std::ranges::find(time.answered, day) != time.answered.end())
        continue;
      if (!next || at.at < next->at) next = at;
      break;
    }
  }
  return next;
}

}  // namespace penstock::watch
