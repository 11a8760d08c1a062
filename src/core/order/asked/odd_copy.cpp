// A copy of an order before anybody relies on it: what is odd about it.
#include <algorithm>
#include <cstddef>
#include <string_view>

#include "core/order/asked/asked.hpp"
#include "core/order/recording.hpp"

namespace penstock::order {
namespace {

using journal::OrderLineSigned;
using journal::Purpose;
using journal::Slot;

Error asked(std::string_view code, std::vector<Arg> args = {}) {
  return {Kind::refused, code, std::move(args)};
}

bool is_slow(shelf::Action action) {
  return action == shelf::Action::long_acting || action == shelf::Action::intermediate;
}

// With meals goes what is quick; as background what is slow. Premixed is its own purpose.
bool is_odd_purpose(Purpose purpose, shelf::Action action) {
  switch (purpose) {
    case Purpose::background:
      return !is_slow(action);
    case Purpose::mealtime:
    case Purpose::correction:
      return is_slow(action);
    case Purpose::premixed:
      return action != shelf::Action::premixed;
  }
  return false;
}

// From and up to which hour a slot of that name lies; over midnight where the first is later.
// Common practice, no source.
struct Hours {
  std::int16_t from = 0, to = 24;
};
constexpr Hours usual_hours(journal::SlotName name) {
  using journal::SlotName;
  switch (name) {
    case SlotName::breakfast:
    case SlotName::morning:
      return {4, 13};
    case SlotName::lunch:
      return {10, 16};
    case SlotName::afternoon:
      return {11, 19};
    case SlotName::supper:
      return {15, 23};
    case SlotName::evening:
      return {15, 24};
    case SlotName::bedtime:
      return {18, 4};
    case SlotName::night:
      return {20, 8};
  }
  return {};
}
bool is_usual(const Slot& slot) {
  const auto [from, to] = usual_hours(slot.slot);
  const auto hour = slot.at.minutes / 60;
  return from < to ? hour >= from && hour < to : hour >= from || hour < to;
}

bool is_close(const Slot& a, const Slot& b) {
  constexpr int day = 24 * 60;
  const int apart = std::abs(a.at.minutes - b.at.minutes);
  return std::min(apart, day - apart) < background_hours * 60;
}

std::optional<Error> close_slots(const OrderLineSigned& copy) {
  if (copy.purpose != journal::Purpose::background) return std::nullopt;
  for (std::size_t i = 0; i + 1 < copy.slots.size(); ++i) {
    for (std::size_t j = i + 1; j < copy.slots.size(); ++j) {
      if (is_close(copy.slots[i], copy.slots[j]))
        return asked(codes::ask_slots_close, {arg_code("slot", word(copy.slots[i].slot)),
                                              arg_code("other", word(copy.slots[j].slot))});
    }
  }
  return std::nullopt;
}

std::optional<Error> odd_slots(const OrderLineSigned& copy) {
  for (auto slot = copy.slots.begin(); slot != copy.slots.end(); ++slot) {
    if (std::ranges::count(copy.slots, slot->slot, &Slot::slot) > 1)
      return asked(codes::ask_slot_twice, {arg_code("slot", word(slot->slot))});
    if (!is_usual(*slot))
      return asked(codes::ask_slot_hour,
                   {arg_code("slot", word(slot->slot)), arg_text("at", format_iso(slot->at))});
  }
  return std::nullopt;
}

// H04, H25: inside its limits a dose is taken as ordered.
std::optional<Error> wide_most(const OrderLineSigned& copy) {
  auto dose = Units::zero();
  for (const auto& slot : copy.slots) dose = larger(dose, slot.units);
  const auto most = copy.most_units.hundredths();
  const bool wide = most > most_times_usual * dose.hundredths() &&
                    most > dose.hundredths() + most_above_usual_hundredths;
  if (dose.is_zero() || !wide) return std::nullopt;
  return asked(codes::ask_most_wide, {arg_units("most", copy.most_units), arg_units("dose", dose)});
}

/// The hour of a day at which a line's first or last dose is.
const Slot* outer(const std::vector<Slot>& slots, bool last) {
  const auto at = [](const Slot& slot) { return slot.at.minutes; };
  if (slots.empty()) return nullptr;
  return &*(last ? std::ranges::max_element(slots, {}, at)
                 : std::ranges::min_element(slots, {}, at));
}

// H07, H38: what begins in the morning after an evening's dose comes half a day after it, or leaves
// out as much. How far apart is asked as the number says it (basal_lately).
std::optional<Error> first_dose(const OrderLineSigned& copy, const Order& so_far) {
  const auto* old = copy.replaces ? so_far.line(*copy.replaces) : nullptr;
  if (old == nullptr || copy.purpose != Purpose::background || !is_once_a_day(*old) ||
      old->text.from >= copy.from || old->ended || old->text.until)
    return std::nullopt;
  const auto *last = outer(old->text.slots, true), *first = outer(copy.slots, false);
  if (last == nullptr || first == nullptr) return std::nullopt;
  constexpr int day = 24, least = basal_apart_hours;
  const auto hours = day + (first->at.minutes - last->at.minutes) / 60;
  if (hours >= least && hours <= day + (day - least)) return std::nullopt;
  return asked(codes::ask_first_dose,
               {arg_text("other", old->text.insulin), arg_text("last", format_iso(last->at)),
                arg_count("hours", hours)});
}

// H03: both pens will be in the house.
std::optional<Error> new_strength(const OrderLineSigned& copy, const Order& so_far) {
  const auto* old = copy.replaces ? so_far.line(*copy.replaces) : nullptr;
  if (old == nullptr || old->text.strength == copy.strength ||
      !is_same_insulin(old->text.insulin, copy.insulin))
    return std::nullopt;
  return asked(codes::ask_new_strength,
               {arg_text("insulin", copy.insulin), arg_strength("old", old->text.strength),
                arg_strength("strength", copy.strength)});
}

std::optional<Error> beside_others(const OrderLineSigned& copy, const Order& so_far, LocalDay on) {
  for (const auto* line : so_far.holding(std::max(copy.from, on))) {
    if (copy.replaces == line->id) continue;
    if (is_same_insulin(line->text.insulin, copy.insulin)) {
      return asked(codes::ask_same_insulin, {arg_text("insulin", copy.insulin),
                                             arg_count("version", line->text.order_version),
                                             arg_text("times", times_of(line->text.slots))});
    }
    if (line->text.purpose == Purpose::background && copy.purpose == Purpose::background) {
      return asked(codes::ask_second_background,
                   {arg_text("insulin", copy.insulin), arg_text("other", line->text.insulin)});
    }
  }
  return std::nullopt;
}

}  // namespace

std::vector<Error> oddities(const OrderLineSigned& copy, const Order& so_far,
                            const shelf::Shelf& shelf, LocalDay on) {
  std::vector<Error> out;
  const auto* insulin = shelf.insulin(copy.insulin, copy.strength);
  if (insulin == nullptr) {
    out.push_back(asked(codes::ask_unknown_insulin, {arg_text("insulin", copy.insulin),
                                                     arg_strength("strength", copy.strength)}));
  } else if (is_odd_purpose(copy.purpose, insulin->thing.action)) {
    out.push_back(asked(codes::ask_purpose_odd, {arg_text("insulin", copy.insulin),
                                                 arg_code("purpose", word(copy.purpose))}));
  }
  if (auto odd = odd_slots(copy)) out.push_back(*std::move(odd));
  const auto half = std::ranges::find_if(
      copy.slots, [](const Slot& slot) { return slot.units.hundredths() % 100 != 0; });
  if (half != copy.slots.end())
    out.push_back(asked(codes::ask_half_unit, {arg_units("dose", half->units)}));
  if (auto wide = wide_most(copy)) out.push_back(*std::move(wide));
  if (auto other = beside_others(copy, so_far, on)) out.push_back(*std::move(other));
  if (auto changed = new_strength(copy, so_far)) out.push_back(*std::move(changed));
  if (auto odd = first_dose(copy, so_far)) out.push_back(*std::move(odd));
  if (copy.signed_on > on)
    out.push_back(asked(codes::ask_signed_late,
                        {arg_date("signed", copy.signed_on), arg_date("copied", on)}));
  if (copy.copied_from == journal::CopiedFrom::telephone && !copy.signature_owed)
    out.push_back(asked(codes::ask_signature));
  if (copy.from > on + std::chrono::days{start_days_usual})
    out.push_back(asked(codes::ask_far_start, {arg_date("from", copy.from)}));
  if (holds_number(copy.sick_day)) out.push_back(asked(codes::ask_sick_day_number));
  if (holds_number(copy.remark)) out.push_back(asked(codes::ask_remark_number));
  if (auto odd = close_slots(copy)) out.push_back(*std::move(odd));
  if (copy.from + std::chrono::days{start_days_back_usual} < on)
    out.push_back(asked(codes::ask_old_start, {arg_date("from", copy.from)}));
  if (copy.signed_on + std::chrono::days{signature_days_usual} < on)
    out.push_back(asked(codes::ask_old_signature, {arg_date("signed", copy.signed_on)}));
  return out;
}

}  // namespace penstock::order
