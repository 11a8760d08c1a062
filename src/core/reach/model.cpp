// The formulas of reach.hpp, and the tissue of each cohort out of its figures.
#include "core/reach/internal/model.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/reach/internal/figures.hpp"
#include "core/reach/internal/phi.hpp"

namespace penstock::reach {
namespace {

// Two-sided 95 % of the normal distribution.
constexpr double z95 = 1.959963984540054;

Spread around(double value, double half) { return {value, value - half, value + half}; }
Spread printed(const Figure& figure) { return {figure.value, figure.low, figure.high}; }

/// A printed mean whose interval is not: mean and sd of n people.
Spread mean_of(double mean, double sd, std::int32_t n) {
  return around(mean, z95 * sd / std::sqrt(n));
}
/// The sd itself, from n people (large-sample: sd / sqrt(2 n)).
Spread sd_of(double sd, std::int32_t n) { return around(sd, z95 * sd / std::sqrt(2.0 * n)); }

/// Mean and SD as a lognormal by moments: s^2 = ln(1 + (sd / mean)^2), M = mean / exp(s^2 / 2);
/// the intervals of M and s as those of a mean and an sd of n logarithms.
void by_moments(Tissue& tissue, double mean, double sd, std::int32_t n) {
  const double s = std::sqrt(std::log1p(sd * sd / (mean * mean)));
  const double median = mean * std::exp(-s * s / 2);
  const double half = z95 * s / std::sqrt(n);
  tissue.median_mm = {median, median * std::exp(-half), median * std::exp(half)};
  tissue.sigma = sd_of(s, n);
  tissue.known = "computed";
}

/// A printed mean without its SD: the sigma of others, and the median so wide that any of theirs
/// may hold.
void by_borrowed_sigma(Tissue& tissue, Spread mean) {
  tissue.sigma = printed(figures::sigma_borrowed);
  const auto median = [](double of_mean, double s) { return of_mean * std::exp(-s * s / 2); };
  tissue.median_mm = {median(mean.value, tissue.sigma.value), median(mean.low, tissue.sigma.high),
                      median(mean.high, tissue.sigma.low)};
  tissue.known = "computed";
  tissue.sd_borrowed = true;
}

const Figure& us_depth(BodyPart zone) {
  switch (zone) {
    case BodyPart::abdomen:
      return figures::abdomen;
    case BodyPart::thigh:
      return figures::thigh;
    case BodyPart::buttock:
      return figures::buttock;
    case BodyPart::arm:
      break;
  }
  return figures::arm;
}

const Figure& us_skin(BodyPart zone) {
  switch (zone) {
    case BodyPart::abdomen:
      return figures::abdomen_skin;
    case BodyPart::thigh:
      return figures::thigh_skin;
    case BodyPart::buttock:
      return figures::buttock_skin;
    case BodyPart::arm:
      break;
  }
  return figures::arm_skin;
}

/// ln M = ln M(zone) + 0.028 (BMI - 29) + 0.33 (F - 0.5), F 1 woman, 0 man; s 0.39. Computed from
/// effects that Gibney 2010 prints without intervals: a wide band, a teaching estimate. US adults
/// with a BMI of 19.4 to 64.5.
void one_person(Tissue& tissue, Sex sex, TenthsBmi bmi) {
  const double above = bmi.tenths / 10.0 - figures::bmi_middle.value;
  const double side = sex == Sex::female ? 0.5 : -0.5;
  const auto effect = [](const Figure& figure, double times) {
    const double half = (figure.high - figure.low) / 2 * times;
    return half * half;
  };
  const double moved =
      std::exp(figures::bmi_slope.value * above + figures::sex_effect.value * side);
  const double wider = effect(figures::bmi_slope, above) + effect(figures::sex_effect, side);
  // How far the end of the zone's interval and the two effects lie apart, in ln, taken together.
  const auto end = [&](double of_zone) {
    const double in_zone = std::log(of_zone / tissue.median_mm.value);
    return std::exp(std::copysign(std::sqrt(in_zone * in_zone + wider), in_zone));
  };
  const double median = tissue.median_mm.value * moved;
  tissue.median_mm = {median, median * end(tissue.median_mm.low),
                      median * end(tissue.median_mm.high)};
  tissue.sigma = printed(figures::person_sigma);
  tissue.model = Model::one_person;
  tissue.source = sources::gibney;
  tissue.known = "computed";
}

std::optional<Tissue> us_adults(const ReachRequest& request, BodyPart zone) {
  Tissue out;
  const Figure& depth = us_depth(zone);
  out.median_mm = printed(depth);
  out.sigma = printed(figures::sigma);
  out.source = depth.source;
  out.known = depth.known;
  out.skin_mm = printed(us_skin(zone));
  out.skin_sd_mm = printed(figures::skin_sd);
  out.skin_source = sources::gibney;
  if (request.sex && request.bmi) one_person(out, *request.sex, *request.bmi);
  return out;
}

/// Skin and fat were measured one by one; taken as independent, which the sum's SD needs.
std::optional<Tissue> korean(BodyPart zone) {
  if (zone != BodyPart::abdomen && zone != BodyPart::arm) return std::nullopt;
  const bool abdomen = zone == BodyPart::abdomen;
  const Figure& skin = abdomen ? figures::korean_abdomen_skin : figures::korean_arm_skin;
  const Figure& fat = abdomen ? figures::korean_abdomen_fat : figures::korean_arm_fat;
  Tissue out;
  by_moments(out, skin.value + fat.value, std::hypot(skin.sd, fat.sd), skin.n);
  out.skin_mm = mean_of(skin.value, skin.sd, skin.n);
  out.skin_sd_mm = sd_of(skin.sd, skin.n);
  out.source = out.skin_source = sources::sim;
  return out;
}

/// Means alone: half-width of a mean from the borrowed sigma of n people.
Spread mean_by_sigma(double mean, std::int32_t n) {
  return around(mean, z95 * figures::sigma_borrowed.value * mean / std::sqrt(n));
}

std::optional<Tissue> turkish(BodyPart zone) {
  const Figure* skin = nullptr;
  const Figure* fat = nullptr;
  switch (zone) {
    case BodyPart::abdomen:
      skin = &figures::turkish_abdomen_skin;
      fat = &figures::turkish_abdomen_fat;
      break;
    case BodyPart::thigh:
      skin = &figures::turkish_thigh_skin;
      fat = &figures::turkish_thigh_fat;
      break;
    case BodyPart::arm:
      skin = &figures::turkish_arm_skin;
      fat = &figures::turkish_arm_fat;
      break;
    case BodyPart::buttock:
      return std::nullopt;
  }
  Tissue out;
  by_borrowed_sigma(out, mean_by_sigma(skin->value + fat->value, skin->n));
  out.skin_mm = mean_of(skin->value, figures::skin_sd.value, skin->n);
  out.skin_sd_mm = printed(figures::skin_sd);
  out.source = out.skin_source = sources::akkus;
  return out;
}

/// Only the lowest and the highest site mean are printed: the thigh has both; the abdomen's fat is
/// the highest, and its skin lies somewhere between the two.
std::optional<Tissue> filipino(BodyPart zone) {
  if (zone != BodyPart::thigh && zone != BodyPart::abdomen) return std::nullopt;
  const Figure& skin = figures::filipino_skin;
  const Figure& fat = figures::filipino_fat;
  Tissue out;
  if (zone == BodyPart::thigh) {
    out.skin_mm = mean_of(skin.low, figures::skin_sd.value, skin.n);
    by_borrowed_sigma(out, mean_by_sigma(skin.low + fat.low, skin.n));
  } else {
    out.skin_mm = {(skin.low + skin.high) / 2, skin.low, skin.high};
    by_borrowed_sigma(out, mean_by_sigma(out.skin_mm.value + fat.high, skin.n));
    out.skin_borrowed = true;
  }
  out.skin_sd_mm = printed(figures::skin_sd);
  out.source = out.skin_source = sources::catambing;
  return out;
}

std::optional<Tissue> child(std::int32_t age_years, BodyPart zone) {
  using Cells = std::array<const Figure*, 4>;  // in the order of body_part_names
  static constexpr Cells small{&figures::abdomen_1_to_6, &figures::thigh_1_to_6,
                               &figures::buttock_1_to_6, &figures::arm_1_to_6};
  static constexpr Cells middle{&figures::abdomen_7_to_12, &figures::thigh_7_to_12,
                                &figures::buttock_7_to_12, &figures::arm_7_to_12};
  static constexpr Cells large{&figures::abdomen_13_to_18, &figures::thigh_13_to_18,
                               &figures::buttock_13_to_18, &figures::arm_13_to_18};
  const Cells& cells = age_years <= 6 ? small : age_years <= 12 ? middle : large;
  const Figure& cell = *cells[static_cast<std::size_t>(zone)];
  Tissue out;
  by_moments(out, cell.value, cell.sd, cell.n);
  out.model = Model::child_by_age;
  out.source = cell.source;
  out.skin_mm = {figures::child_skin.value, figures::child_skin_least.value,
                 figures::child_skin_most.value};
  out.skin_sd_mm = sd_of(figures::child_skin.sd, figures::child_skin.n);
  out.skin_source = sources::children_skin;
  out.skin_borrowed = true;
  return out;
}

std::optional<Tissue> pregnant(std::int32_t week, BodyPart zone) {
  if (zone != BodyPart::abdomen) return std::nullopt;
  const Figure& cell = week <= 27   ? figures::weeks_24_to_27
                       : week <= 31 ? figures::weeks_28_to_31
                       : week <= 35 ? figures::weeks_32_to_35
                                    : figures::weeks_36_to_40;
  const Figure& skin = figures::korean_abdomen_skin;
  Tissue out;
  by_moments(out, cell.value, cell.sd, figures::pregnant_in_group.n);
  out.source = cell.source;
  out.skin_mm = mean_of(skin.value, skin.sd, skin.n);
  out.skin_sd_mm = sd_of(skin.sd, skin.n);
  out.skin_source = skin.source;
  out.skin_borrowed = true;
  return out;
}

std::optional<Tissue> cohort(const ReachRequest& request, BodyPart zone) {
  switch (request.people) {
    case People::adults:
      return us_adults(request, zone);
    case People::korean_adults:
      return korean(zone);
    case People::turkish_adults:
      return turkish(zone);
    case People::filipino_adults:
      return filipino(zone);
    case People::children:
      return child(request.age_years.value_or(0), zone);
    case People::pregnant_women:
      return pregnant(request.pregnancy_week.value_or(0), zone);
  }
  return std::nullopt;
}

/// The median is what was measured, s what the measurement's sd makes of a lognormal. Neither has
/// an interval beside: the sd is the doubt, and it is in the chance already.
void own_measurement(Tissue& tissue, TenthsMm measured, TenthsMm sd) {
  const double relative = static_cast<double>(sd.tenths) / measured.tenths;
  const double s = std::sqrt(std::log1p(relative * relative));
  const double mm = measured.tenths / 10.0;
  tissue.median_mm = {mm, mm, mm};
  tissue.sigma = {s, s, s};
  tissue.model = Model::measured;
  tissue.source = {};
  tissue.known = "measured";
  tissue.sd_borrowed = false;
}

double muscle_score(const Technique& technique, double median, double sigma, double fold) {
  return std::log(technique.tip_mm / (fold * technique.pressed * median)) / sigma;
}

/// Adds up what moving one figure does to a score, upwards and downwards apart.
class Moves {
 public:
  explicit Moves(double score) : score_(score) {}
  void to(double moved) {
    const double by = moved - score_;
    (by > 0 ? up_ : down_) += by * by;
  }
  double low() const { return score_ - std::sqrt(down_); }
  double high() const { return score_ + std::sqrt(up_); }

 private:
  double score_;
  double up_ = 0;
  double down_ = 0;
};

}  // namespace

std::optional<Tissue> tissue_of(const ReachRequest& request, BodyPart zone) {
  auto out = cohort(request, zone);
  if (out && request.measured) {
    own_measurement(*out, *request.measured,
                    request.measured_sd.value_or(measured_sd_when_not_given));
  }
  return out;
}

Technique technique_of(TenthsMm needle, std::int32_t angle_deg, bool fold,
                       std::int32_t pressed_percent) {
  Technique out;
  out.tip_mm = needle.tenths / 10.0;
  if (angle_deg != 90) out.tip_mm *= std::sin(angle_deg * std::numbers::pi / 180);
  if (fold) out.fold = printed(figures::fold);
  out.pressed = 1 - pressed_percent / 100.0;
  return out;
}

double muscle_chance(const Tissue& tissue, const Technique& technique) {
  return phi(
      muscle_score(technique, tissue.median_mm.value, tissue.sigma.value, technique.fold.value));
}

double skin_chance(const Tissue& tissue, const Technique& technique) {
  return phi((tissue.skin_mm.value - technique.tip_mm) / tissue.skin_sd_mm.value);
}

Chance muscle_band(const Tissue& tissue, const Technique& technique) {
  const auto score = [&](double median, double sigma, double fold) {
    return muscle_score(technique, median, sigma, fold);
  };
  const double median = tissue.median_mm.value, sigma = tissue.sigma.value,
               fold = technique.fold.value;
  const double value = score(median, sigma, fold);
  Moves moves(value);
  for (const double end : {tissue.median_mm.low, tissue.median_mm.high})
    moves.to(score(end, sigma, fold));
  for (const double end : {tissue.sigma.low, tissue.sigma.high}) moves.to(score(median, end, fold));
  for (const double end : {technique.fold.low, technique.fold.high})
    moves.to(score(median, sigma, end));
  return {phi(value), phi(moves.low()), phi(moves.high())};
}

Chance skin_band(const Tissue& tissue, const Technique& technique) {
  const auto score = [&](double mean, double sd) { return (mean - technique.tip_mm) / sd; };
  const double mean = tissue.skin_mm.value, sd = tissue.skin_sd_mm.value;
  const double value = score(mean, sd);
  Moves moves(value);
  for (const double end : {tissue.skin_mm.low, tissue.skin_mm.high}) moves.to(score(end, sd));
  for (const double end : {tissue.skin_sd_mm.low, tissue.skin_sd_mm.high})
    moves.to(score(mean, end));
  return {phi(value), phi(moves.low()), phi(moves.high())};
}

Chance depth_band(const Tissue& tissue, const Technique& technique) {
  const double value = technique.fold.value * technique.pressed * tissue.median_mm.value;
  const auto part = [](double end, double of) { return std::log(end / of); };
  Moves moves(0);
  for (const double end : {tissue.median_mm.low, tissue.median_mm.high})
    moves.to(part(end, tissue.median_mm.value));
  for (const double end : {technique.fold.low, technique.fold.high})
    moves.to(part(end, technique.fold.value));
  return {value, value * std::exp(moves.low()), value * std::exp(moves.high())};
}

void muscle_chances(std::span<const double> tips_mm, std::span<const double> medians_mm, double s,
                    std::span<double> out) {
  INVARIANT(tips_mm.size() == medians_mm.size() && tips_mm.size() == out.size() && s > 0);
  for (std::size_t i = 0; i < out.size(); ++i) {
    out[i] = phi(std::log(tips_mm[i] / medians_mm[i]) / s);
  }
}

}  // namespace penstock::reach
