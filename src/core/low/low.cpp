#include "core/low/low.hpp"

#include <array>
#include <cstddef>

#include "core/by_age/by_age.hpp"
#include "core/facts/facts.hpp"
#include "core/journal/journal.hpp"

namespace penstock::low {

std::optional<std::int32_t> sugar_grams(int age_years, std::optional<TenthsKg> weight) {
  if (age_years >= by_age::adult_years) return 15;
  if (!weight) return std::nullopt;
  if (*weight < small_child) return 5;
  return *weight <= larger_child ? 10 : 15;
}

Care care_for(const chart::Chart& person, LocalDay on) {
  Care care;
  bool stated = false;
  for (const auto* line : person.order.holding(on)) {
    auto limit = line->text.low_limit;
    // Below it a hypo is level 2, whatever an order says, or the copy of one (H10).
    if (limit && is_below(*limit, level_2_limit)) limit = level_2_limit;
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

bool is_below(const Glucose& value, const Glucose& limit) {
  if (value.unit == limit.unit) return value.value < limit.value;
  struct Published {
    std::int32_t mmol_tenths, mg;
  };
  for (const auto& both : {Published{39, 70}, Published{30, 54}}) {
    const bool is_mmol = limit.unit == GlucoseUnit::mmol_l;
    if (limit.value == (is_mmol ? both.mmol_tenths : both.mg))
      return value.value < (is_mmol ? both.mg : both.mmol_tenths);
  }
  return comparable(value) < comparable(limit);
}

bool is_low(const chart::Chart& person, const contacts::Value& one) {
  if (!one.said.value) return one.said.meter != journal::MeterWord::hi;
  return is_below(*one.said.value, care_for(person, one.when.day()).below);
}

namespace {

bool is_level_2(const journal::GlucoseNoted& said) {
  return said.value ? is_below(*said.value, level_2_limit) : said.meter == journal::MeterWord::lo;
}

bool is_beyond_a_meter(const journal::GlucoseNoted& said) {
  if (!said.value) return said.meter == journal::MeterWord::hi;
  return said.value->value > (said.value->unit == GlucoseUnit::mmol_l
                                  ? facts::usual_glucose_mmol_tenths_most
                                  : facts::usual_glucose_mg_most);
}

}  // namespace

const contacts::Value* last_low(const chart::Chart& person, Instant now) {
  const contacts::Value* open = nullptr;
  for (const auto& one : person.contacts.glucose) {
    if (one.when.at > now) continue;
    if (is_low(person, one)) {
      open = &one;
    } else if (!is_beyond_a_meter(one.said) && (open == nullptr || open->when.at < one.when.at)) {
      open = nullptr;  // of one minute nobody knows which came first
    }
  }
  return open;
}

namespace {

/// Dated ahead of the clock: whoever recorded it knows of it already.
const contacts::Value* low_ahead(const chart::Chart& person, Instant now) {
  for (const auto& one : person.contacts.glucose) {
    if (one.when.at > now && one.when.at - now <= contacts::dated_ahead && is_low(person, one))
      return &one;
  }
  return nullptr;
}

}  // namespace

const contacts::Value* open_low(const chart::Chart& person, Instant now) {
  if (const auto* ahead = low_ahead(person, now)) return ahead;
  const auto* low = last_low(person, now);
  return low != nullptr && now - low->when.at < open_for ? low : nullptr;
}

const contacts::Made* low_told(const chart::Chart& person, Instant now) {
  constexpr std::chrono::hours a_day{24};
  const contacts::Made* last = nullptr;
  for (const auto& one : person.contacts.made) {
    const bool is_of_the_day = one.when.at <= now && now - one.when.at < a_day;
    if (is_of_the_day && one.said.low == journal::YesNo::yes) last = &one;
  }
  return last;
}

const contacts::Value* last_very_high(const chart::Chart& person, Instant now) {
  const contacts::Value* last = nullptr;
  for (const auto& one : person.contacts.glucose) {
    if (one.when.at <= now) last = &one;
  }
  if (last == nullptr) return nullptr;
  const auto& said = last->said;
  const bool is_high = said.value ? comparable(*said.value) >= comparable(very_high)
                                  : said.meter == journal::MeterWord::hi;
  return is_high ? last : nullptr;
}

std::optional<Serious> serious(const chart::Chart& person, const contacts::Value& value) {
  const auto& said = value.said;
  if (said.needed_help == journal::YesNo::yes) return Serious::helped;
  if (is_level_2(said)) return Serious::level_2;
  if (!is_low(person, value)) return std::nullopt;
  // What was told in a call is one, whether or not it was entered as a value, too.
  std::vector<Instant> lows;
  const auto add = [&](const When& when) {
    if (when.at > value.when.at - several_within && when.at <= value.when.at)
      lows.push_back(when.at);
  };
  for (const auto& one : person.contacts.glucose)
    if (is_low(person, one)) add(one.when);
  for (const auto& one : person.contacts.made)
    if (one.said.low == journal::YesNo::yes) add(one.when);
  std::ranges::sort(lows);
  int count = 0;
  std::optional<Instant> last;
  for (const auto at : lows) {
    if (!last || at - *last >= open_for) ++count;
    last = at;
  }
  return count >= several_lows ? std::optional(Serious::several) : std::nullopt;
}

OfYear of_year(const chart::Chart& person, Instant now) {
  OfYear out;
  const std::array levels{&OfYear::helped, &OfYear::level_2, &OfYear::others};
  std::optional<std::size_t> counted;  // the level of the low that goes on
  std::optional<Instant> last;
  for (const auto& one : person.contacts.glucose) {
    if (one.when.at > now || one.when.at <= now - year_of_lows || !is_low(person, one)) continue;
    if (!last || one.when.at - *last >= open_for) counted.reset();
    last = one.when.at;
    const std::size_t level = one.said.needed_help == journal::YesNo::yes ? 0
                              : is_level_2(one.said)                      ? 1
                                                                          : 2;
    if (counted && *counted <= level) continue;
    if (counted) --(out.*levels[*counted]);
    ++(out.*levels[level]);
    counted = level;
  }
  return out;
}

}  // namespace penstock::low
