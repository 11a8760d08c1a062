#include "core/low/low.hpp"

#include "core/journal/journal.hpp"

namespace penstock::low {
namespace {

constexpr int adult_years = 18;
// A child's weight of more than a year ago is no longer theirs. Ours.
constexpr std::chrono::days weight_holds{365};
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
  if (age_years >= adult_years) return 15;
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
    const auto& known = person.person.background;
    const bool is_fresh = known.weighed_on && on - *known.weighed_on <= weight_holds;
    care.grams = sugar_grams(journal::age_years(person.person.born, on),
                             is_fresh ? known.weight : std::nullopt);
  }
  return care;
}

}  // namespace penstock::low
