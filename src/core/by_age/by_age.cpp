#include "core/by_age/by_age.hpp"

#include <algorithm>
#include <string>

namespace penstock::by_age {
namespace {

using facts::YesNo;

Error ask(std::string_view code, std::vector<Arg> args, std::string at) {
  return {Kind::refused, std::string(code), std::move(args), std::move(at)};
}

/// Walks one payload of a child.
struct Ask {
  const Known& known;
  LocalDay on;
  int age;
  std::string path;

  std::optional<Error> dose(Units dose, std::string_view field) const {
    const auto weight = weight_on(known.background, on);
    const auto at = path + std::string(field);
    if (!weight) {
      return ask(codes::ask_weight, {arg_units("dose", dose), arg_count("age", age)}, at);
    }
    const auto usual = usual_dose_most(*weight);
    if (dose <= usual) return std::nullopt;
    return ask(codes::ask_dose,
               {arg_units("dose", dose), arg_units("usual", usual), arg_count("age", age),
                arg_text("weight", format_fixed(weight->tenths, 1))},
               at);
  }

  std::optional<Error> needle(TenthsMm length, std::string_view field) const {
    if (length <= childs_needle_most) return std::nullopt;
    return ask(codes::ask_needle,
               {arg_text("needle", format(length)), arg_text("most", format(childs_needle_most)),
                arg_count("age", age)},
               path + std::string(field));
  }

  std::optional<Error> weight(const facts::Background& told) const {
    if (!told.weight) return std::nullopt;
    const auto median = median_tenths_kg[static_cast<std::size_t>(age)];
    const auto tenths = told.weight->tenths;
    if (tenths <= median * weight_factor && tenths * weight_factor >= median) return std::nullopt;
    const auto kg = [](std::string_view name, std::int64_t of) {
      return arg_text(name, format_fixed(of, 1));
    };
    return ask(codes::ask_weight_odd,
               {kg("weight", tenths), kg("least", median / weight_factor),
                kg("most", median * weight_factor), arg_count("age", age)},
               path + "/background/weight_kg");
  }

  std::optional<Error> operator()(const facts::PersonRegistered& told) const {
    return weight(told.background);
  }
  std::optional<Error> operator()(const facts::BackgroundNoted& told) const {
    return weight(told.background);
  }
  std::optional<Error> operator()(const facts::OrderLineSigned& line) const {
    for (std::size_t n = 0; n < line.slots.size(); ++n) {
      if (auto odd = dose(line.slots[n].units, "/slots/" + std::to_string(n) + "/units"))
        return odd;
    }
    return std::nullopt;
  }
  std::optional<Error> operator()(const facts::Injected& given) const {
    const bool of_meant = given.meant && *given.meant > given.units;
    const auto whole = of_meant ? *given.meant : given.units;
    if (known.ordered && whole <= *known.ordered) return std::nullopt;
    return dose(whole, of_meant ? "/meant_units" : "/units");
  }
  std::optional<Error> operator()(const facts::NeedleOn& on) const {
    return needle(on.length, "/length_mm");
  }
  std::optional<Error> operator()(const facts::PlaceRulesSet& rules) const {
    return rules.needle ? needle(*rules.needle, "/needle_mm") : std::nullopt;
  }
  std::optional<Error> operator()(const facts::Correction& correction) const {
    if (!correction.replacement) return std::nullopt;
    const auto& instead = *correction.replacement;
    const Ask there{known, instead.happened.day(), age, path + "/replacement"};
    return std::visit(there, instead.payload);
  }
  template <class Other>
  std::optional<Error> operator()(const Other&) const {
    return std::nullopt;
  }
};

bool is_other(facts::Injector who) {
  return who != facts::Injector::self && who != facts::Injector::unknown;
}

}  // namespace

std::optional<TenthsKg> weight_on(const facts::Background& known, LocalDay on) {
  const bool is_fresh = known.weighed_on && on - *known.weighed_on <= weight_holds;
  return is_fresh ? known.weight : std::nullopt;
}

Known known_of(const journal::Person& person) {
  return {person.registered ? std::optional(person.born) : std::nullopt, person.background, {}};
}

Units usual_dose_most(TenthsKg weight) {
  // 0.6 units a kilogram: six hundredths of a unit for each tenth of a kilogram.
  constexpr std::int64_t hundredths_a_tenth_kg = 6;
  const auto most = Units::from_hundredths(weight.tenths * hundredths_a_tenth_kg);
  INVARIANT(most.has_value());
  return *most;
}

std::optional<Error> oddity(const facts::Fact& fact, const Known& known) {
  const auto on = fact.happened.day();
  const auto* registered = std::get_if<facts::PersonRegistered>(&fact.payload);
  const auto born = registered != nullptr ? std::optional(registered->born) : known.born;
  if (!born) return std::nullopt;
  const auto age = facts::age_years(*born, on);
  if (age < 0 || age >= adult_years) return std::nullopt;
  return std::visit(Ask{known, on, age, ""}, fact.payload);
}

Way way_of(const facts::PlaceRulesSet* rules, std::optional<TenthsMm> needle, const Known& known,
           LocalDay on) {
  Way way;
  way.safety_only = is_other(known.background.injector);
  if (rules != nullptr) {
    way.angle_deg = rules->angle_deg;
    way.fold = rules->fold == YesNo::yes;
  }
  const auto age = known.born ? facts::age_years(*known.born, on) : adult_years;
  if (age >= adult_years) return way;
  way.is_child = true;
  way.longest = childs_needle_most;
  way.fold = rules == nullptr || rules->can_fold != YesNo::no || way.fold;
  const bool straight =
      way.fold && age >= straight_years && needle && *needle <= straight_needle_most;
  if (!straight) way.angle_deg = std::min(way.angle_deg, slant_deg);
  return way;
}

bool may_offer(const Way& way, TenthsMm length, bool is_safety) {
  return (!way.longest || length <= *way.longest) && (!way.safety_only || is_safety);
}

}  // namespace penstock::by_age
