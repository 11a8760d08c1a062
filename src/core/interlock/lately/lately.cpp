#include "core/interlock/lately/lately.hpp"

#include <algorithm>

#include "core/order/recording.hpp"
#include "core/order/then/then.hpp"

namespace penstock::interlock {

// A weekly line comes round once.
constexpr int round_days = 8;

std::optional<order::Due> slot_before(const chart::Chart& person, const order::Due& due) {
  std::optional<order::Due> found;
  for (int back = 0; back <= round_days && !found; ++back) {
    for (const auto& one :
         order::dues_then(person.order, due.day - std::chrono::days{back}, person.zone)) {
      if (person.order.stands_for(*person.order.line(due.line), one.line) && one.at.at < due.at.at)
        found = one;
    }
  }
  return found;
}

namespace {

/// Of basal insulin several times a day: the dose before this one, where it went in so late that
/// less than half of the time that the order has between them is left (H07, H38). Ours.
std::optional<order::Given> too_close(const chart::Chart& person, const order::Line& line,
                                      const order::Due& due, Instant until) {
  if (!order::is_basal(line) || line.text.slots.size() < 2) return std::nullopt;
  const auto before = slot_before(person, due);
  if (!before) return std::nullopt;
  const auto given = order::given_for(person.order, *before);
  if (given.empty() || given.back()->when.at > until) return std::nullopt;
  const auto left = due.at.at - given.back()->when.at;
  return left * 2 < due.at.at - before->at.at ? std::optional(*given.back()) : std::nullopt;
}

/// For how long the next dose is held after a basal dose; not at all where it went in as ordered
/// then.
std::chrono::hours held_after(const chart::Chart& person, const order::Given& given, LocalDay day) {
  const auto in_hours = [&](const order::Due& slot) {
    const std::chrono::minutes near{order::near_minutes};
    return slot.from.at - near <= given.when.at && given.when.at <= slot.to.at + near;
  };
  bool is_of_a_line = false;
  for (const auto& own : person.order.lines) {
    if (!order::is_of_line(given, own)) continue;
    is_of_a_line = true;
    if (!order::held_then(person.order, own, given.when)) continue;
    for (int ahead = -1; ahead <= 1; ++ahead) {
      const auto slots =
          order::slots_on(own, given.when.day() + std::chrono::days{ahead}, person.zone);
      if (std::ranges::any_of(slots, in_hours)) return std::chrono::hours{0};
    }
  }
  const auto insulin = order::insulin_of(person.order, given);
  const bool ordered = std::ranges::any_of(person.order.holding(day), [&](const auto* own) {
    return order::is_same_insulin(own->text.insulin, insulin);
  });
  return is_of_a_line && !ordered ? basal_held_after_end : basal_held;
}

}  // namespace

std::optional<Lately> lately_before(const chart::Chart& person, const order::Line& line,
                                    const order::Due& due, Instant until) {
  const auto once = order::basal_lately(person.order, due, until, person.zone);
  if (once) return Lately{*once, held_after(person, *once, due.day)};
  // It may be as late as its own hours allow: it is said, and holds nothing.
  const auto close = too_close(person, line, due, until);
  return close ? std::optional(Lately{*close}) : std::nullopt;
}

}  // namespace penstock::interlock
