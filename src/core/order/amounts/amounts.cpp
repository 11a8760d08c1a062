#include "core/order/amounts/amounts.hpp"

#include <algorithm>
#include <chrono>
#include <vector>

#include "core/order/recording.hpp"

namespace penstock::order {

std::vector<const Given*> into_slot(const Order& order, const Due& due) {
  auto given = given_for(order, due);
  if (!given.empty()) return given;
  for (const Given& one : order.given) {
    const std::chrono::minutes near{near_minutes};
    const bool inside = due.from.at - near <= one.when.at && one.when.at <= due.to.at + near;
    if (inside && is_of_unknown_insulin(order, one)) given.push_back(&one);
  }
  return given;
}

namespace {

/// What went into a slot of basal or premixed insulin; nothing: another insulin, or no injection.
std::optional<Units> basal_in(const Order& order, const Due& due) {
  const Line* line = order.line(due.line);
  const auto given = into_slot(order, due);
  if (line == nullptr || given.empty() || !is_basal(*line)) return std::nullopt;
  Units all = Units::zero();
  for (const Given* one : given) all = sum(all, one->units);
  return all;
}

/// Of a line once a day, what went in within half a day before the slot, or a third of one after
/// it, and answers none: beside the slot's own dose it is one more (H52).
std::vector<const Given*> beside_its_dose(const Order& order, const Due& due,
                                          const ZoneRules& zone) {
  const Line& line = *order.line(due.line);
  std::vector<const Given*> found;
  if (!is_once_a_day(line)) return found;
  const auto answers = into_slot(order, due);
  // Under the line before or after it the same dose was given a second time (H03).
  const auto of_its_chain = [&](const Given& given) {
    return std::ranges::any_of(order.lines, [&](const Line& own) {
      const bool chained = order.stands_for(line, own.id) || order.stands_for(own, line.id);
      return own.id != line.id && chained && is_once_a_day(own) && is_of_line(given, own);
    });
  };
  for (const Given& given : order.given) {
    const auto after = given.when.at - due.at.at;
    const bool near =
        after >= -std::chrono::hours{beside_hours} && after <= std::chrono::hours{background_hours};
    if (!near || std::ranges::find(answers, &given) != answers.end()) continue;
    if (is_unnamed(given, line, zone) || of_its_chain(given) || is_of_unknown_insulin(order, given))
      found.push_back(&given);
  }
  return found;
}

}  // namespace

std::optional<Units> more_than_ordered(const Order& order, const Due& due, const ZoneRules& zone) {
  auto all = basal_in(order, due);
  if (!all) return std::nullopt;
  const auto beside = beside_its_dose(order, due, zone);
  for (const Given* one : beside) all = sum(*all, one->units);
  const auto given = into_slot(order, due);
  const bool several =
      given.size() + beside.size() > 1 && all->hundredths() * 10 > due.units.hundredths() * 11;
  return several || *all > order.line(due.line)->most() ? all : std::nullopt;
}

std::optional<Units> less_than_ordered(const Order& order, const Due& due, const ZoneRules& zone) {
  const auto all = basal_in(order, due);
  if (!all || all->hundredths() * 10 >= due.units.hundredths() * 9) return std::nullopt;
  // Of a part its rest is asked about; one that was recorded as a dose of its own closed it.
  const auto& last = *into_slot(order, due).back();
  const bool plain = last.outcome == journal::Outcome::whole && !last.meant_said && !last.completes;
  return plain ? all : std::nullopt;
}

}  // namespace penstock::order
