// What is refused, in the order in which it is looked for: first what cannot be, then what lies
// outside the people that a model was made from (H27, H33).
#include <algorithm>

#include "core/reach/internal/figures.hpp"
#include "core/reach/internal/model.hpp"

namespace penstock::reach {
namespace {

// Whom the figures of US adults were made from: row A031.
constexpr Limit us_age_years{18, 85};
constexpr Limit us_bmi_tenths{194, 645};
constexpr std::int32_t us_people = 388;
// The groups of Lim 2018, rows A121 to A133, and of Hwang 2021, rows A088 to A092.
constexpr Limit child_age_years{1, 18};
constexpr std::int32_t child_people = 12 + 55 + 86;
constexpr Limit weeks{24, 40};
/// The other adult cohorts print no range of ages; an adult is what 18 makes one.
constexpr std::int32_t adult_years = 18;

bool inside(Limit limit, std::int32_t value) { return value >= limit.least && value <= limit.most; }

std::string_view name_of(People people) { return people_names[static_cast<std::size_t>(people)]; }
std::string_view name_of(BodyPart zone) { return body_part_names[static_cast<std::size_t>(zone)]; }
// Names of the catalogue: "people/korean adults", "part/thigh".
Arg arg_people(People people) {
  return arg_code("people", "people/" + std::string(name_of(people)));
}
Arg arg_zone(BodyPart zone) { return arg_code("zone", "part/" + std::string(name_of(zone))); }
Arg arg_tenths(std::string_view name, std::int32_t tenths) {
  return arg_text(name, format_fixed(tenths, 1));
}

Error cannot_be(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::string(at)};
}
Error outside(std::string_view code, std::vector<Arg> args, std::string_view at) {
  return {Kind::refused, std::string(code), std::move(args), std::string(at)};
}

std::optional<Error> limit_in_tenths(std::string_view code, std::string_view name,
                                     std::int32_t tenths, Limit limit, std::string_view at) {
  if (inside(limit, tenths)) return std::nullopt;
  return cannot_be(
      code,
      {arg_tenths(name, tenths), arg_tenths("least", limit.least), arg_tenths("most", limit.most)},
      at);
}
std::optional<Error> limit_of_count(std::string_view code, std::string_view name,
                                    std::int32_t count, Limit limit, std::string_view at) {
  if (inside(limit, count)) return std::nullopt;
  return cannot_be(
      code,
      {arg_count(name, count), arg_count("least", limit.least), arg_count("most", limit.most)}, at);
}

std::optional<Error> measured_wrong(const ReachRequest& r) {
  if (r.measured) {
    if (auto error = limit_in_tenths(reach_codes::measured_limit, "measured", r.measured->tenths,
                                     limits::measured_tenths_mm, "/measured_mm")) {
      return error;
    }
  }
  if (!r.measured_sd) return std::nullopt;
  const auto limit = limits::measured_sd_tenths_mm;
  if (r.measured && inside(limit, r.measured_sd->tenths)) return std::nullopt;
  return cannot_be(reach_codes::measured_sd,
                   {arg_tenths("sd", r.measured_sd->tenths), arg_tenths("least", limit.least),
                    arg_tenths("most", limit.most)},
                   "/measured_sd_mm");
}

std::optional<Error> what_cannot_be(const ReachRequest& r) {
  if (auto error = limit_in_tenths(reach_codes::needle_limit, "needle", r.needle.tenths,
                                   limits::needle_tenths_mm, "/needle_mm")) {
    return error;
  }
  if (auto error = limit_of_count(reach_codes::angle_limit, "angle", r.angle_deg, limits::angle_deg,
                                  "/angle_deg")) {
    return error;
  }
  if (auto error = limit_of_count(reach_codes::pressed_limit, "pressed", r.pressed_percent,
                                  limits::pressed_percent, "/pressed_percent")) {
    return error;
  }
  if (r.sex.has_value() != r.bmi.has_value()) {
    return cannot_be(reach_codes::sex_and_bmi, {}, r.sex ? "/sex" : "/bmi_kg_m2");
  }
  if (r.bmi) {
    if (auto error = limit_in_tenths(reach_codes::bmi_limit, "bmi", r.bmi->tenths,
                                     limits::bmi_tenths, "/bmi_kg_m2")) {
      return error;
    }
  }
  if (r.age_years) {
    if (auto error = limit_of_count(reach_codes::age_limit, "age", *r.age_years, limits::age_years,
                                    "/age_years")) {
      return error;
    }
  }
  return measured_wrong(r);
}

std::optional<Error> another_age(std::int32_t age, Limit limit, People people) {
  if (inside(limit, age)) return std::nullopt;
  return outside(reach_codes::age_outside,
                 {arg_count("age", age), arg_count("least", limit.least),
                  arg_count("most", limit.most), arg_people(people)},
                 "/age_years");
}

std::optional<Error> another_age_or_week(const ReachRequest& r) {
  const bool of_children = r.people == People::children;
  const bool of_pregnant = r.people == People::pregnant_women;
  if (!of_children && r.age_years && *r.age_years < adult_years) {
    return outside(reach_codes::child_in_adults,
                   {arg_count("age", *r.age_years), arg_people(r.people)}, "/age_years");
  }
  if (!of_pregnant && r.pregnancy_week) {
    return outside(reach_codes::pregnant_in_others,
                   {arg_count("week", *r.pregnancy_week), arg_people(r.people)}, "/pregnancy_week");
  }
  if (of_children && !r.age_years) {
    return outside(reach_codes::age_needed, {arg_people(r.people)}, "/age_years");
  }
  if (of_children || (r.people == People::adults && r.age_years)) {
    const auto limit = of_children ? child_age_years : us_age_years;
    if (auto error = another_age(*r.age_years, limit, r.people)) return error;
  }
  if (!of_pregnant) return std::nullopt;
  if (!r.pregnancy_week) {
    return outside(reach_codes::week_needed, {arg_people(r.people)}, "/pregnancy_week");
  }
  if (inside(weeks, *r.pregnancy_week)) return std::nullopt;
  return outside(reach_codes::week_outside,
                 {arg_count("week", *r.pregnancy_week), arg_count("least", weeks.least),
                  arg_count("most", weeks.most), arg_people(r.people)},
                 "/pregnancy_week");
}

/// With the person's own measurement there is no model of sex and BMI to be outside of.
std::optional<Error> another_body(const ReachRequest& r) {
  if (!r.bmi || r.measured) return std::nullopt;
  if (r.people != People::adults) {
    return outside(reach_codes::person_model_adults_only, {arg_people(r.people)}, "/bmi_kg_m2");
  }
  if (inside(us_bmi_tenths, r.bmi->tenths)) return std::nullopt;
  return outside(reach_codes::bmi_outside,
                 {arg_tenths("bmi", r.bmi->tenths), arg_tenths("least", us_bmi_tenths.least),
                  arg_tenths("most", us_bmi_tenths.most), arg_people(r.people)},
                 "/bmi_kg_m2");
}

std::optional<Error> another_zone(const ReachRequest& r) {
  const auto zones = zones_of(r.people);
  if (std::ranges::find(zones, r.zone) != zones.end()) return std::nullopt;
  std::string allowed;
  for (const auto zone : zones) allowed.append(allowed.empty() ? "" : ", ").append(name_of(zone));
  return outside(reach_codes::zone_not_measured,
                 {arg_zone(r.zone), arg_people(r.people), arg_text("allowed", allowed)}, "/zone");
}

}  // namespace

std::optional<Error> refused(const ReachRequest& request) {
  for (const auto check : {&what_cannot_be, &another_age_or_week, &another_body, &another_zone}) {
    if (auto error = check(request)) return error;
  }
  if (request.fold && !request.can_fold) {
    return outside(reach_codes::no_fold, {arg_zone(request.zone)}, "/fold");
  }
  return std::nullopt;
}

std::span<const std::string_view> refusals() {
  using namespace reach_codes;
  static constexpr std::array all{needle_limit,      angle_limit,
                                  pressed_limit,     sex_and_bmi,
                                  bmi_limit,         age_limit,
                                  measured_limit,    measured_sd,
                                  child_in_adults,   pregnant_in_others,
                                  age_needed,        age_outside,
                                  week_needed,       week_outside,
                                  bmi_outside,       person_model_adults_only,
                                  zone_not_measured, no_fold};
  return all;
}

std::span<const BodyPart> zones_of(People people) {
  using enum BodyPart;
  static constexpr std::array all{abdomen, thigh, buttock, arm};
  static constexpr std::array korean{abdomen, arm};
  static constexpr std::array turkish{abdomen, thigh, arm};
  static constexpr std::array filipino{abdomen, thigh};
  static constexpr std::array pregnant{abdomen};
  switch (people) {
    case People::korean_adults:
      return korean;
    case People::turkish_adults:
      return turkish;
    case People::filipino_adults:
      return filipino;
    case People::pregnant_women:
      return pregnant;
    case People::adults:
    case People::children:
      break;
  }
  return all;
}

std::vector<Arg> range_args(People people) {
  const auto with_age = [](std::int32_t people_n, Limit age) {
    return std::vector<Arg>{arg_count("people", people_n), arg_count("age_least", age.least),
                            arg_count("age_most", age.most)};
  };
  switch (people) {
    case People::adults: {
      auto args = with_age(us_people, us_age_years);
      args.push_back(arg_tenths("bmi_least", us_bmi_tenths.least));
      args.push_back(arg_tenths("bmi_most", us_bmi_tenths.most));
      return args;
    }
    case People::korean_adults:
      return {arg_count("people", figures::korean_arm_fat.n)};
    case People::turkish_adults:
      return {arg_count("people", figures::turkish_arm_fat.n)};
    case People::filipino_adults:
      return {arg_count("people", figures::filipino_fat.n)};
    case People::children:
      return with_age(child_people, child_age_years);
    case People::pregnant_women:
      return {arg_count("people", figures::pregnant_all.n), arg_count("week_least", weeks.least),
              arg_count("week_most", weeks.most)};
  }
  return {};
}

}  // namespace penstock::reach
