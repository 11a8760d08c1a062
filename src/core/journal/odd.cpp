// What is odd by itself is asked about, once; the answer yes is enough (H25).
#include <utility>

#include "core/journal/facts.hpp"
#include "core/journal/person.hpp"

namespace penstock::journal {
namespace {

struct Usual {
  std::int64_t least;
  std::int64_t most;
  ArgType type;
  std::string_view why;
};
constexpr Usual usual_weight{usual_weight_tenths_kg_least, usual_weight_tenths_kg_most,
                             ArgType::tenths, "usual.weight"};
constexpr Usual usual_dose{0, usual_dose_hundredths_most, ArgType::units, "usual.dose"};
constexpr Usual usual_prime{0, usual_prime_hundredths_most, ArgType::units, "usual.prime"};
constexpr Usual usual_celsius{usual_celsius_tenths_least, usual_celsius_tenths_most,
                              ArgType::celsius, "usual.celsius"};
constexpr Usual usual_window{0, usual_window_minutes_most, ArgType::count, "usual.window"};
constexpr Usual usual_age{0, usual_age_years_most, ArgType::count, "usual.age"};
constexpr Usual usual_late{0, usual_days_late_most, ArgType::count, "usual.late"};

constexpr Usual usual_height{usual_height_tenths_cm_least, usual_height_tenths_cm_most,
                             ArgType::tenths, "usual.height"};
constexpr Usual usual_waist{usual_waist_tenths_cm_least, usual_waist_tenths_cm_most,
                            ArgType::tenths, "usual.waist"};
constexpr Usual usual_depth{usual_depth_tenths_mm_least, usual_depth_tenths_mm_most,
                            ArgType::tenths, "usual.depth"};
constexpr Usual usual_area{1, usual_area_tenths_mm_most, ArgType::tenths, "usual.area"};
constexpr Usual usual_radius{1, usual_area_tenths_mm_most / 2, ArgType::tenths, "usual.area"};
constexpr Usual usual_rest{usual_rest_days_least, usual_rest_days_most, ArgType::count,
                           "usual.rest"};
constexpr Usual usual_spacing{spacing_tenths_mm_least, usual_spacing_tenths_mm_most,
                              ArgType::tenths, "usual.spacing"};
constexpr Usual usual_angle{usual_angle_deg_least, angle_deg_max, ArgType::count, "usual.angle"};

constexpr Usual usual_trip{0, usual_trip_days_most, ArgType::count, "usual.trip"};
constexpr Usual usual_lead{0, usual_lead_days_most, ArgType::count, "usual.lead"};

using Found = std::optional<Error>;

Found ask(const std::string& at, std::int64_t value, const Usual& usual) {
  if (value >= usual.least && value <= usual.most) return std::nullopt;
  const auto number = [&](std::string_view name, std::int64_t n) {
    return Arg{std::string(name), usual.type, n, {}};
  };
  return Error{
      Kind::refused,
      std::string(codes::odd),
      {arg_code("field", std::string_view(at).substr(at.rfind('/') + 1)), number("value", value),
       number("least", usual.least), number("most", usual.most), arg_code("why", usual.why)},
      at};
}

/// Every kind that can be odd by itself; `on` is the day on which it happened.
struct Asking {
  std::string path;
  LocalDay on;

  Found operator()(const Background& background) const {
    if (!background.weight) return std::nullopt;
    return ask(path + "/background/weight_kg", background.weight->tenths, usual_weight);
  }
  Found operator()(const BackgroundNoted& fact) const { return (*this)(fact.background); }
  Found operator()(const PersonRegistered& fact) const {
    if (auto found = ask(path + "/born", age_years(fact.born, on), usual_age)) return found;
    return (*this)(fact.background);
  }
  Found operator()(const OrderLineSigned& fact) const {
    for (std::size_t n = 0; n < fact.slots.size(); ++n) {
      const auto& slot = fact.slots[n];
      const auto at = path + "/slots/" + std::to_string(n);
      if (auto found = ask(at + "/minutes_before", slot.minutes_before, usual_window)) return found;
      if (auto found = ask(at + "/minutes_after", slot.minutes_after, usual_window)) return found;
      if (auto found = ask(at + "/units", slot.units.hundredths(), usual_dose)) return found;
    }
    return std::nullopt;
  }
  Found operator()(const Primed& fact) const {
    return ask(path + "/units", fact.units.hundredths(), usual_prime);
  }
  Found operator()(const Injected& fact) const {
    if (fact.line) return std::nullopt;
    if (auto found = ask(path + "/units", fact.units.hundredths(), usual_dose)) return found;
    if (!fact.meant) return std::nullopt;
    return ask(path + "/meant_units", fact.meant->hundredths(), usual_dose);
  }
  Found operator()(const TemperatureSpell& fact) const {
    return ask(path + "/celsius", fact.celsius.tenths, usual_celsius);
  }
  Found operator()(const BodyMeasured& fact) const {
    Found found;
    if (fact.height) found = ask(path + "/height_cm", fact.height->tenths, usual_height);
    if (!found && fact.waist) found = ask(path + "/waist_cm", fact.waist->tenths, usual_waist);
    if (found || !fact.due) return found;
    const auto day = [](LocalDay date) { return date.time_since_epoch().count(); };
    return ask(path + "/due", day(*fact.due),
               {day(on) - usual_due_days_past_most, day(on) + usual_due_days_ahead_most,
                ArgType::date, "usual.due"});
  }
  Found operator()(const DepthMeasured& fact) const {
    return ask(path + "/depth_mm", fact.depth.tenths, usual_depth);
  }
  Found operator()(const SkinExamined& fact) const {
    for (std::size_t n = 0; n < fact.findings.size(); ++n) {
      const auto at = path + "/findings/" + std::to_string(n);
      const auto& one = fact.findings[n];
      if (auto found = ask(at + "/length_mm", one.length.tenths, usual_area)) return found;
      if (auto found = ask(at + "/width_mm", one.width.tenths, usual_area)) return found;
    }
    return std::nullopt;
  }
  Found operator()(const AreaBlocked& fact) const {
    return ask(path + "/radius_mm", fact.radius.tenths, usual_radius);
  }
  Found operator()(const PlaceRulesSet& fact) const {
    if (auto found = ask(path + "/rest_days", fact.rest_days, usual_rest)) return found;
    if (auto found = ask(path + "/spacing_mm", fact.spacing.tenths, usual_spacing)) return found;
    return ask(path + "/angle_deg", fact.angle_deg, usual_angle);
  }
  Found operator()(const SupplyRulesSet& fact) const {
    if (auto found = ask(path + "/lead_days", fact.lead_days, usual_lead)) return found;
    return ask(path + "/late_days", fact.late_days, usual_lead);
  }
  Found operator()(const TripPlanned& fact) const {
    if (fact.warmest) {
      if (auto found = ask(path + "/warmest_celsius", fact.warmest->tenths, usual_celsius))
        return found;
    }
    return ask(path + "/returns", (fact.returns - fact.leaves).count(), usual_trip);
  }
  Found operator()(const PenTested& fact) const {
    return ask(path + "/dialled_units", fact.dialled.hundredths(), usual_dose);
  }
  Found operator()(const Correction& fact) const {
    if (!fact.replacement) return std::nullopt;
    return std::visit(Asking{path + "/replacement", fact.replacement->happened.day()},
                      fact.replacement->payload);
  }
  template <class Other>
  Found operator()(const Other&) const {
    return std::nullopt;
  }
};

}  // namespace

std::optional<Error> oddity(const Fact& fact) {
  const auto late = std::chrono::floor<std::chrono::days>(fact.recorded - fact.happened.at);
  // A day early is within `checked`'s grace.
  if (late.count() > 0) {
    if (auto found = ask("/happened", late.count(), usual_late)) return found;
  }
  return std::visit(Asking{"", fact.happened.day()}, fact.payload);
}

}  // namespace penstock::journal
