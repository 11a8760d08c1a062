#include "core/order/amounts/amounts.hpp"

#include <algorithm>
#include <chrono>
#include <vector>

#include "core/order/recording.hpp"
#include "core/order/then/then.hpp"

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

Units most_then(const Order& order, const Line& line, const When& when) {
  Units most = line.most();
  for (const Line& old : order.lines) {
    if (old.id != line.id && order.stands_for(line, old.id) && held_then(order, old, when))
      most = larger(most, old.most());
  }
  return most;
}

std::optional<Units> dose_before(const Order& order, const Due& due, const When& when) {
  const Line* line = order.line(due.line);
  for (const Line& old : order.lines) {
    const bool before = line != nullptr && old.id != line->id && order.stands_for(*line, old.id);
    if (!before || !held_then(order, old, when)) continue;
    const auto slot = std::ranges::find(old.text.slots, due.name, &journal::Slot::slot);
    if (slot != old.text.slots.end()) return slot->units;
  }
  return std::nullopt;
}

namespace {

/// Of basal or premixed insulin; nothing: another insulin, or no injection.
std::optional<Otherwise> basal_in(const Order& order, const Due& due) {
  const Line* line = order.line(due.line);
  if (line == nullptr || !is_basal(*line)) return std::nullopt;
  Otherwise in{into_slot(order, due), Units::zero(), due.units};
  if (in.all.empty()) return std::nullopt;
  for (const Given* one : in.all) in.given = sum(in.given, one->units);
  return in;
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
    if (is_unnamed(given, line, zone) || of_its_chain(given) ||
        is_of_unknown_insulin(order, given) || is_unordered_basal(order, given))
      found.push_back(&given);
  }
  return found;
}

}  // namespace

std::optional<Otherwise> more_than_ordered(const Order& order, const Due& due,
                                           const ZoneRules& zone) {
  auto in = basal_in(order, due);
  if (!in) return std::nullopt;
  const When first = in->all.front()->when;
  for (const Given* one : beside_its_dose(order, due, zone)) {
    in->all.push_back(one);
    in->given = sum(in->given, one->units);
  }
  std::ranges::stable_sort(in->all, {}, [](const Given* one) { return one->when.at; });
  in->ordered = larger(due.units, dose_before(order, due, first).value_or(due.units));
  const auto given = in->given.hundredths(), ordered = in->ordered.hundredths();
  const bool several = in->all.size() > 1 && given * 10 > ordered * 11;
  const bool twice = !in->ordered.is_zero() && given >= 2 * ordered;
  const bool beyond = in->given > most_then(order, *order.line(due.line), first);
  return several || twice || beyond ? in : std::nullopt;
}

std::optional<Otherwise> less_than_ordered(const Order& order, const Due& due, const ZoneRules&) {
  auto in = basal_in(order, due);
  if (!in) return std::nullopt;
  const Given& last = *in->all.back();
  in->ordered = smaller(due.units, dose_before(order, due, last.when).value_or(due.units));
  if (in->given.hundredths() * 10 >= in->ordered.hundredths() * 9) return std::nullopt;
  // Of a part its rest is asked about; one that was recorded as a dose of its own closed it.
  const bool plain = last.outcome == journal::Outcome::whole && !last.meant_said && !last.completes;
  return plain ? in : std::nullopt;
}

}  // namespace penstock::order
