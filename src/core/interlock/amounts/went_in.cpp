#include "core/interlock/amounts/went_in.hpp"

#include <algorithm>
#include <cstdint>
#include <string_view>
#include <vector>

#include "core/interlock/amounts/amounts.hpp"
#include "core/order/amounts/amounts.hpp"
#include "core/order/recording.hpp"
#include "core/order/then/then.hpp"

namespace penstock::interlock {
namespace {

/// How many times the largest dose of any line of an insulin is a misplaced decimal point, however
/// much a line allows (H05). Ours.
constexpr int decimal_slip = 10;
/// An order that states no limit allows its own doses; more than so much of the largest, with a
/// correction line that of both together, is as odd as a slip. Ours.
constexpr std::int64_t unstated_most_percent = 150;

/// What may be any insulin counts with each: nobody can say that it was not this one (H52, H13).
bool is_of(const order::Order& order, const order::Given& given, const order::Line& line) {
  return order::is_of_unknown_insulin(order, given) ||
         order::is_same_insulin(order::insulin_of(order, given), line.text.insulin);
}

}  // namespace

std::string_view of_what(const Went& went) {
  if (went.unknown == 0) return {};
  return went.unknown == went.injections ? of_unknown : of_partly_known;
}

std::string_view of_what(const order::Order& order, const order::Line& line,
                         const std::vector<const order::Given*>& all) {
  const auto count = [&](auto&& is) {
    return static_cast<std::size_t>(
        std::ranges::count_if(all, [&](auto* one) { return is(*one); }));
  };
  const auto unknown =
      count([&](const order::Given& one) { return order::is_of_unknown_insulin(order, one); });
  if (unknown > 0) return unknown == all.size() ? of_unknown : of_partly_known;
  const auto others = count([&](const order::Given& one) { return !is_of(order, one, line); });
  return others > 0 ? "insulin/basal" : "";
}

Went went_in(const order::Order& order, const order::Line& line, const ZoneRules& zone,
             Instant since, Instant until) {
  Went out;
  const auto add = [&](const When& when, Units units) {
    if (when.at < since || when.at > until || units.is_zero()) return false;
    out.units = sum(out.units, units);
    ++out.injections;
    if (!out.first || when.at < out.first->at) out.first = when;
    if (!out.last || when.at > out.last->at) out.last = when;
    return true;
  };
  for (const order::Given& given : order.given) {
    const order::Line* under = given.line ? order.line(*given.line) : nullptr;
    const bool on_top = under != nullptr && under->text.purpose == journal::Purpose::correction;
    if (on_top || !is_of(order, given, line)) continue;
    if (add(given.when, given.units) && order::is_of_unknown_insulin(order, given)) ++out.unknown;
  }
  if (order.said.empty()) return out;
  for (const auto& [due, taken] : order::only_told(order, zone)) {
    const auto& own = order.line(due.line)->text;
    if (taken && own.purpose != journal::Purpose::correction &&
        order::is_same_insulin(own.insulin, line.text.insulin))
      add(due.at, due.units);
  }
  return out;
}

Units due_within(const order::Order& order, const order::Line& line, const ZoneRules& zone,
                 Instant since, Instant until) {
  Units out = Units::zero();
  const auto last = zone.when(until).day();
  for (auto day = zone.when(since).day(); day <= last; day += std::chrono::days{1}) {
    for (const order::Due& due : order::dues_then(order, day, zone)) {
      const order::Line* own = order.line(due.line);
      const bool counts = own->text.purpose != journal::Purpose::correction &&
                          order::is_same_insulin(own->text.insulin, line.text.insulin);
      if (counts && due.at.at >= since && due.at.at < until) out = sum(out, due.units);
    }
  }
  return out;
}

namespace {

/// Several injections of more than the doses of those hours, and half of the largest of the line.
bool is_more(const DaysMore& found, const order::Line& line) {
  Units most = Units::zero();
  for (const auto& each : line.text.slots) most = larger(most, each.units);
  return found.went.injections >= 2 &&
         found.went.units.hundredths() * 2 > found.due.hundredths() * 2 + most.hundredths();
}

/// Of basal insulin, the same in the hours up to the last injection, whatever slots they are said
/// to have been of: regular doses a day apart may be some hours late and early. Ours.
std::optional<DaysMore> more_till_the_last(const order::Order& order, const order::Line& line,
                                           const ZoneRules& zone, Instant until) {
  constexpr std::chrono::hours together{15}, acts{26}, early{4};
  if (!order::is_basal(line)) return std::nullopt;
  const auto all = went_in(order, line, zone, until - acts, until);
  if (!all.last) return std::nullopt;
  const auto from = all.last->at - together;
  const DaysMore found{
      went_in(order, line, zone, from, all.last->at),
      due_within(order, line, zone, from, all.last->at + early + std::chrono::seconds{1})};
  return is_more(found, line) ? std::optional(found) : std::nullopt;
}

}  // namespace

std::optional<DaysMore> more_in_a_day(const order::Order& order, const order::Line& line,
                                      const ZoneRules& zone, const order::Due& slot,
                                      Instant until) {
  const auto from = slot.at.at - std::chrono::hours{24};
  std::optional<DaysMore> found = DaysMore{went_in(order, line, zone, from, until),
                                           due_within(order, line, zone, from, slot.at.at)};
  if (!is_more(*found, line)) found = more_till_the_last(order, line, zone, until);
  if (!found || is_settled(order, line, *found->went.last)) return std::nullopt;
  return found;
}

namespace {

/// What the lines of an insulin allow at once, and the largest dose that they ask for.
struct AtOnce {
  std::int64_t most = 0;  ///< in hundredths; none: nothing is ordered
  Units dose = Units::zero();
};

/// By the lines of this insulin that held then; where none did, by those that stand now.
AtOnce at_once_then(const order::Order& order, std::string_view insulin, const When& when) {
  std::vector<const order::Line*> lines, standing;
  for (const order::Line& own : order.lines) {
    if (!order::is_same_insulin(own.text.insulin, insulin)) continue;
    if (order::held_then(order, own, when)) lines.push_back(&own);
    if (!own.replaced_by) standing.push_back(&own);
  }
  if (lines.empty()) lines = standing;
  AtOnce allowed;
  Units most = Units::zero(), on_top = Units::zero();
  bool limited = true;
  for (const order::Line* own : lines) {
    limited = limited && !own->text.most_units.is_zero();  // else it states no limit
    if (own->text.purpose == journal::Purpose::correction) on_top = larger(on_top, own->most());
    most = larger(most, own->most());
    for (const auto& slot : own->text.slots) allowed.dose = larger(allowed.dose, slot.units);
  }
  allowed.most =
      limited ? most.hundredths() : sum(most, on_top).hundredths() * unstated_most_percent / 100;
  return allowed;
}

}  // namespace

const order::Given* more_than_any_allows(const order::Order& order, const order::Line& line,
                                         Instant since, Instant until) {
  const order::Given* found = nullptr;
  for (const order::Given& given : order.given) {
    if (!is_of(order, given, line) || given.when.at < since || given.when.at > until) continue;
    const auto [most, dose] = at_once_then(order, line.text.insulin, given.when);
    const bool slip = !dose.is_zero() &&
                      given.units.hundredths() >= std::int64_t{decimal_slip} * dose.hundredths();
    if (slip || (most > 0 && given.units.hundredths() > most)) found = &given;
  }
  return found;
}

std::optional<Above> above_slot(const order::Order& order, const order::Line& line,
                                const ZoneRules& zone, Instant since, Instant until) {
  std::optional<Above> found;
  for (const order::Given& given : order.given) {
    if (given.when.at < since || given.when.at > until || !is_of(order, given, line)) continue;
    const order::Line* own = given.line ? order.line(*given.line) : &line;
    if (own == nullptr || given.completes ||
        given.units > order::most_then(order, *own, given.when))
      continue;
    const auto slot = order::slot_of(order, *own, given.fact, zone);
    if (!slot || slot->units.is_zero()) continue;
    const Units ordered =
        larger(slot->units, order::dose_before(order, *slot, given.when).value_or(slot->units));
    if (given.units.hundredths() * 4 <= ordered.hundredths() * 5) continue;
    if (!is_settled(order, line, given.when)) found = Above{given.units, ordered, given.when};
  }
  return found;
}

bool is_of_chain(const order::Order& order, const Id& one, const Id& first) {
  std::optional<Id> at = one;
  for (int n = 0; at && n < order::parts_most; ++n) {
    if (*at == first) return true;
    const auto found = std::ranges::find(order.given, *at, &order::Given::fact);
    at = found == order.given.end() ? std::nullopt : found->completes;
  }
  return false;
}

std::vector<Arg> told_instead(const order::Given& given) {
  return {order::arg_amount("given", given), arg_text("other", given.insulin),
          arg_instant("when", given.when)};
}

}  // namespace penstock::interlock
