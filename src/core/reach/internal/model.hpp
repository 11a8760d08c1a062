// What stands between the door and the figures: whose tissue, and the two chances out of it.
#pragma once

#include <optional>
#include <string_view>

#include "core/reach/reach.hpp"

namespace penstock::reach {

/// A number with the interval in which it lies in 95 of 100, as published or worked out from n
/// and SD.
struct Spread {
  double value = 0;
  double low = 0;
  double high = 0;
};

/// Depth and skin of one zone of these people, no fold, not pressed. Millimetres; `sigma` of ln.
struct Tissue {
  Spread median_mm;
  Spread sigma;
  Spread skin_mm;
  Spread skin_sd_mm;
  Model model = Model::cohort;
  std::string_view source;
  std::string_view known;
  std::string_view skin_source;
  bool sd_borrowed = false;
  bool skin_borrowed = false;
};

/// Nothing where the zone was not measured in these people. The request has been checked.
std::optional<Tissue> tissue_of(const ReachRequest& request, BodyPart zone);

/// What the hand does: where the tip is, and by how much the tissue is thicker or thinner.
struct Technique {
  double tip_mm = 0;
  Spread fold{1, 1, 1};
  double pressed = 1;  ///< 1 - c
};
Technique technique_of(TenthsMm needle, std::int32_t angle_deg, bool fold,
                       std::int32_t pressed_percent);

double muscle_chance(const Tissue& tissue, const Technique& technique);
double skin_chance(const Tissue& tissue, const Technique& technique);
/// With their bands: each figure moved alone to the ends of its interval, and the moves of the
/// score added as independent ones are (root of the sum of squares).
Chance muscle_band(const Tissue& tissue, const Technique& technique);
Chance skin_band(const Tissue& tissue, const Technique& technique);
/// f (1 - c) M in millimetres.
Chance depth_band(const Tissue& tissue, const Technique& technique);

/// Every single change that lowers the chance at fault, best first (better.cpp says by which
/// rule).
std::vector<Better> changes_of(const ReachRequest& request, const Tissue& tissue, double muscle,
                               double skin);

/// The first refusal in the declared order, or nothing.
std::optional<Error> refused(const ReachRequest& request);

}  // namespace penstock::reach
