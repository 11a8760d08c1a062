#include "core/reach/reach.hpp"

#include <cmath>
#include <limits>

#include "core/reach/internal/model.hpp"

namespace penstock::reach {
namespace {

// Eight of ten lie within this many standard deviations: two-sided 80 % of the normal
// distribution.
constexpr double z80 = 1.2815515655446004;

/// Hirsch 2014 prints 0.1 % for 4 mm at the abdomen, where one sigma for all zones gives 0.27 %:
/// below this depth of the tip the abdomen's tail is known to be too heavy.
constexpr double misfit_below_mm = 5;

std::string_view range_of(People people) {
  static constexpr std::array<std::string_view, 6> keys{
      "reach.range.adults",          "reach.range.korean_adults", "reach.range.turkish_adults",
      "reach.range.filipino_adults", "reach.range.children",      "reach.range.pregnant_women"};
  return keys[static_cast<std::size_t>(people)];
}

std::vector<std::string_view> cautions_of(const ReachRequest& request, const Tissue& tissue,
                                          const Reach& out) {
  using namespace reach_cautions;
  std::vector<std::string_view> found;
  found.reserve(4);  // more than these hardly meet
  if (tissue.model == Model::one_person) found.push_back(teaching_estimate);
  if (tissue.sd_borrowed) found.push_back(sd_borrowed);
  if (tissue.skin_borrowed) found.push_back(skin_borrowed);
  if (request.measured && !request.measured_sd) found.push_back(measured_sd_assumed);
  if (request.people == People::adults && !request.measured && request.zone == BodyPart::abdomen &&
      out.tip_mm < misfit_below_mm) {
    found.push_back(abdomen_misfit);
  }
  if (out.skin.value > chance_most) found.push_back(skin_likely);
  if (!out.better && (out.muscle.value > chance_most || out.skin.value > chance_most)) {
    found.push_back(nothing_better);
  }
  return found;
}

}  // namespace

std::optional<TenthsBmi> bmi(TenthsKg weight, TenthsCm height) {
  if (height.tenths <= 0) return std::nullopt;
  // kg / m2 in tenths = (w / 10) / (h / 1000)^2 * 10 = w 10^6 / h^2.
  const auto square = static_cast<std::int64_t>(height.tenths) * height.tenths;
  const auto rounded = (2 * std::int64_t{1'000'000} * weight.tenths + square) / (2 * square);
  if (rounded > std::numeric_limits<std::int32_t>::max()) return std::nullopt;
  return TenthsBmi{static_cast<std::int32_t>(rounded)};
}

std::span<const std::string_view> cautions() {
  using namespace reach_cautions;
  static constexpr std::array all{teaching_estimate,   sd_borrowed,    skin_borrowed,
                                  measured_sd_assumed, abdomen_misfit, skin_likely,
                                  nothing_better};
  return all;
}

Result<Reach> reach(const ReachRequest& request) {
  if (auto error = refused(request)) return *std::move(error);
  const auto tissue = tissue_of(request, request.zone);
  INVARIANT(tissue.has_value());
  const auto technique =
      technique_of(request.needle, request.angle_deg, request.fold, request.pressed_percent);
  Reach out;
  out.tip_mm = technique.tip_mm;
  out.median_depth_mm = depth_band(*tissue, technique);
  const double within = std::exp(z80 * tissue->sigma.value);
  out.eight_of_ten_low_mm = out.median_depth_mm.value / within;
  out.eight_of_ten_high_mm = out.median_depth_mm.value * within;
  out.skin_mm = tissue->skin_mm.value;
  out.muscle = muscle_band(*tissue, technique);
  out.skin = skin_band(*tissue, technique);
  out.model = tissue->model;
  if (request.measured) out.measured_sd = request.measured_sd.value_or(measured_sd_when_not_given);
  out.source = tissue->source;
  out.how_known = tissue->known;
  out.skin_source = tissue->skin_source;
  out.range = range_of(request.people);
  out.changes = changes_of(request, *tissue, out.muscle.value, out.skin.value);
  if (!out.changes.empty()) out.better = out.changes.front();
  out.cautions = cautions_of(request, *tissue, out);
  return out;
}

ReachRequest example() {
  ReachRequest request;
  request.zone = BodyPart::thigh;
  request.needle = {80};
  return request;
}

}  // namespace penstock::reach
