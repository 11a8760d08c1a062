#include "core/order/recording.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "core/order/internal/matching.hpp"
#include "core/order/internal/same_name.hpp"

namespace penstock::order {

const Said* said_before(const Order& order, const journal::Injected& dose, std::string_view insulin,
                        Strength strength, const When& happened, const ZoneRules& zone) {
  if (dose.completes) return nullptr;
  Given given;
  given.when = happened;
  given.line = dose.line;
  given.slot = dose.slot;
  given.insulin = std::string(insulin);
  given.strength = strength;
  for (const Line& line : order.lines) {
    if (!internal::is_of(given, line)) continue;
    for (int ahead = -1; ahead <= 1; ++ahead) {
      std::vector<Due> dues;
      internal::add_dues(line, happened.day() + std::chrono::days{ahead}, zone, dues);
      for (const Due& due : dues) {
        const Said* said = internal::answers_slot(given, line, due) ? said_of(order, due) : nullptr;
        if (said && said->was != journal::DoseWas::not_taken) return said;
      }
    }
  }
  return nullptr;
}

std::vector<Due> slots_on(const Line& line, LocalDay day, const ZoneRules& zone) {
  std::vector<Due> dues;
  internal::add_dues(line, day, zone, dues);
  return dues;
}

namespace {

Given given_as(const journal::Injected& dose, const When& happened) {
  Given given;
  given.when = happened;
  given.line = dose.line;
  given.slot = dose.slot;
  given.units = dose.units;
  given.meant = dose.meant.value_or(dose.units);
  given.outcome = journal::outcome_of(dose);
  given.completes = dose.completes;
  return given;
}

}  // namespace

std::optional<Id> rest_told(const Order& order, const journal::Injected& dose,
                            const When& happened) {
  const Given given = given_as(dose, happened);
  const Given* part = internal::part_before(order, given);
  return part != nullptr ? std::optional(part->fact) : std::nullopt;
}

std::optional<OpenRest> rest_named(const Order& order, const journal::Injected& dose,
                                   std::string_view insulin, const When& happened) {
  Given given = given_as(dose, happened);
  given.insulin = std::string(insulin);
  return internal::open_part(order, given);
}

Arg arg_amount(std::string_view name, const Given& given) {
  return given.outcome == journal::Outcome::unknown ? arg_code(name, "amount/not_known")
                                                    : arg_units(name, given.units);
}

bool has_had(const Order& order, std::string_view insulin) {
  return std::ranges::any_of(order.lines, [&](const Line& line) {
    return internal::same_name(line.text.insulin, insulin);
  });
}

Given as_if_given(const Order& order, const Due& due) {
  const Line& line = *order.line(due.line);
  Given given;
  given.when = due.at;
  given.line = line.id;
  given.slot = due.name;
  given.insulin = line.text.insulin;
  given.strength = line.text.strength;
  given.units = given.meant = due.units;
  return given;
}

bool is_unordered_basal(const Order& order, const Given& given) {
  const bool is_of_a_line = given.line && order.line(*given.line) != nullptr;
  return given.acts_long && !is_of_a_line && !has_had(order, given.insulin);
}

bool is_of_line(const Given& given, const Line& line) { return internal::is_of(given, line); }

bool is_basal(const Line& line) {
  return line.text.purpose == journal::Purpose::background ||
         line.text.purpose == journal::Purpose::premixed;
}

bool is_once_a_day(const Line& line) {
  return line.text.purpose == journal::Purpose::background && line.text.slots.size() == 1;
}

}  // namespace penstock::order
