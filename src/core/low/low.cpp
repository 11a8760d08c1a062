#include "core/low/low.hpp"

#include "core/by_age/by_age.hpp"
#include "core/journal/journal.hpp"

namespace penstock::low {
namespace {

constexpr TenthsKg small_child{150};
constexpr TenthsKg child{300};

// In 1/100,000 of a mg/dL, so that limits in either unit can be compared: 1 mmol/L is 18.0182
// mg/dL.
std::int64_t comparable(const Glucose& limit) {
  return limit.unit == GlucoseUnit::mmol_l ? std::int64_t{limit.value} * 180'182
                                           : std::int64_t{limit.value} * 100'000;
}

}  // namespace

std::optional<std::int32_t> sugar_grams(int age_years, std::optional<TenthsKg> weight) {
  if (age_years >= by_age::adult_years) return 15;
  if (!weight) return std::nullopt;
  if (*weight < small_child) return 5;
  return *weight <= child ? 10 : 15;
}

Care care_for(const chart::Chart& person, LocalDay on) {
  Care care;
  bool stated = false;
  for (const auto* line : person.order.holding(on)) {
    const auto& limit = line->text.low_limit;
    if (!limit || (stated && comparable(*limit) <= comparable(care.below))) continue;
    care.below = *limit;
    stated = true;
  }
  if (person.person.registered) {
    care.grams = sugar_grams(journal::age_years(person.person.born, on),
                             by_age::weight_on(person.person.background, on));
  }
  return care;
}

bool is_lower(const Glucose& one, const Glucose& other) {
  return comparable(one) < comparable(other);
}

bool is_low(const chart::Chart& person, const contacts::Value& value) {
  const auto below = care_for(person, value.when.day()).below;
  return !value.said.value || is_lower(*value.said.value, below);
}

const contacts::Value* open_low(const chart::Chart& person, Instant now) {
  const contacts::Value* open = nullptr;
  for (const auto& one : person.contacts.glucose) {
    if (one.when.at > now) continue;
    open = is_low(person, one) ? &one : nullptr;
  }
  return open != nullptr && now - open->when.at < open_for ? open : nullptr;
}

}  // namespace penstock::low
