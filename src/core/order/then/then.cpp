#include "core/order/then/then.hpp"

#include <algorithm>

#include "core/order/recording.hpp"

namespace penstock::order {
namespace {

/// When somebody checked a line in its place: until then nobody dials by that one (H40).
Instant superseded_at(const Order& order, const Line& line) {
  Instant first = Instant::max();
  for (const Line& later : order.lines) {
    if (later.id == line.id || !later.checked || !order.stands_for(later, line.id)) continue;
    first = std::min(first, later.checked->when.at);
  }
  return first;
}

bool is_over(const Line& line, LocalDay day) {
  return (line.text.until && day > *line.text.until) || (line.ended && day > line.ended->last_day);
}

/// Of a line that was replaced from this day or before: slots given as it has them while it held.
std::vector<Due> given_under(const Order& order, const Line& old, LocalDay day,
                             const ZoneRules& zone) {
  if (!old.replaced_by || day < old.replaced_from || day < old.text.from || is_over(old, day))
    return {};
  const auto over = superseded_at(order, old);
  auto dues = slots_on(old, day, zone);
  // Most were replaced long ago, and their injections need not be looked through.
  if (dues.empty() || over < dues.front().from.at - std::chrono::days{1}) return {};
  std::erase_if(dues, [&](const Due& due) {
    const auto given = given_for(order, due);
    return given.empty() || given.front()->when.at >= over;
  });
  return dues;
}

/// The same time of day in a later version.
bool is_same_time(const Order& order, const Due& due, const Due& old) {
  return due.line != old.line && order.stands_for(*order.line(due.line), old.line) &&
         (due.name == old.name || abs(due.at.at - old.at.at) <= std::chrono::minutes{near_minutes});
}

}  // namespace

bool held_then(const Order& order, const Line& line, const When& when) {
  const LocalDay day = when.day();
  if (day < line.text.from || is_over(line, day)) return false;
  return !line.replaced_by || day < line.replaced_from || when.at < superseded_at(order, line);
}

std::vector<Due> dues_then(const Order& order, LocalDay day, const ZoneRules& zone) {
  auto dues = due_on(order, day, zone);
  for (const Line& old : order.lines) {
    for (const Due& given : given_under(order, old, day, zone)) {
      std::erase_if(dues, [&](const Due& due) { return is_same_time(order, due, given); });
      dues.push_back(given);
    }
  }
  std::ranges::stable_sort(dues, {}, [](const Due& due) { return due.at.at; });
  return dues;
}

std::optional<LocalDay> over_before(const Order& order, std::string_view insulin, const When& when,
                                    const ZoneRules& zone) {
  const LocalDay before = when.day() - std::chrono::days{1};
  const std::chrono::minutes near{near_minutes};
  std::optional<LocalDay> last;
  for (const Line& line : order.lines) {
    if (!is_same_insulin(line.text.insulin, insulin) || line.text.from > when.day()) continue;
    if (held_then(order, line, when)) return std::nullopt;
    const auto end = line.last_day();
    if (!end) continue;
    const auto slots = before <= *end ? slots_on(line, before, zone) : std::vector<Due>{};
    if (std::ranges::any_of(slots, [&](const Due& due) { return due.to.at + near >= when.at; }))
      return std::nullopt;
    last = std::max(last.value_or(*end), *end);
  }
  return last;
}

}  // namespace penstock::order
