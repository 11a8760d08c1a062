// Reach: where a pen needle's tip ends, in skin, in fat or in muscle, as a chance with its band.
// Pure arithmetic on published thicknesses; it chooses nothing and orders nothing.
//
// ln(D) is normal, D = skin surface to muscle (Hirsch 2014):
//   P(muscle) = Phi((ln(L sin a) - ln(f (1 - c) M)) / s)
//   P(skin)   = 1 - Phi((L sin a - mu) / sd)
// L needle, a angle to the skin, f fold factor, c share pressed in, M median of D. Which M, s, mu,
// sd hold, and for whom, is a cohort's row with its source; outside its people there is no number
// (H27, H33).
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::reach {

enum class Sex : std::uint8_t { female, male };
inline constexpr std::array<std::string_view, 2> sex_names{"female", "male"};
constexpr std::span<const std::string_view> names_of(Sex) { return sex_names; }

/// Whose thicknesses. The contract's `people`; words name each cohort, its place and its range.
enum class People : std::uint8_t {
  adults,           ///< US adults with diabetes: Gibney 2010, Hirsch 2014
  korean_adults,    ///< Sim 2014
  turkish_adults,   ///< Akkus 2012
  filipino_adults,  ///< Catambing 2014
  children,         ///< by age group: Lim 2018; age needed
  pregnant_women,   ///< abdomen, by week: Hwang 2021; week needed
};
inline constexpr std::array<std::string_view, 6> people_names{
    "adults", "korean adults", "turkish adults", "filipino adults", "children", "pregnant women"};
constexpr std::span<const std::string_view> names_of(People) { return people_names; }

/// kg/m2 in tenths.
struct TenthsBmi {
  std::int32_t tenths = 0;
  friend constexpr auto operator<=>(TenthsBmi, TenthsBmi) = default;
};
/// From weight and height, rounded to the nearest tenth; nothing when the height is not above zero.
/// What a body can have is checked by `reach`.
std::optional<TenthsBmi> bmi(TenthsKg weight, TenthsCm height);

struct ReachRequest {
  BodyPart zone = BodyPart::thigh;
  TenthsMm needle;
  std::int32_t angle_deg = 90;
  bool fold = false;
  People people = People::adults;
  std::optional<Sex> sex;  ///< with `bmi` or not at all
  std::optional<TenthsBmi> bmi;
  std::optional<std::int32_t> age_years;
  std::optional<std::int32_t> pregnancy_week;
  /// Skin to muscle at that place by ultrasound, no fold, with the measurement's own sd; without
  /// one `measured_sd_when_not_given` is taken, and a caution says so.
  std::optional<TenthsMm> measured;
  std::optional<TenthsMm> measured_sd;
  std::int32_t pressed_percent = 0;  ///< how much thinner the hand presses the tissue
  /// Nobody can lift a fold here (the arm when somebody injects alone): a fold is refused, and
  /// never offered.
  bool can_fold = true;
};

/// 0 to 1, with the band from the published intervals.
struct Chance {
  double value = 0;
  double low = 0;
  double high = 0;
};

enum class Change : std::uint8_t { needle, fold, angle, zone };
inline constexpr std::array<std::string_view, 4> change_names{"needle", "fold", "angle", "zone"};
constexpr std::span<const std::string_view> names_of(Change) { return change_names; }

/// One single change, and what would come of it.
struct Better {
  Change change = Change::needle;
  BodyPart zone = BodyPart::thigh;
  TenthsMm needle;
  std::int32_t angle_deg = 90;
  bool fold = false;
  double muscle_chance = 0;
  double skin_chance = 0;
};

/// How the numbers came about: which model, from which publication, how it is known.
enum class Model : std::uint8_t {
  cohort,        ///< people as a whole
  one_person,    ///< sex and BMI: a wide band, a teaching estimate
  child_by_age,  ///< each cell's mean and SD as a lognormal by moments
  measured,      ///< this person's own ultrasound
};
inline constexpr std::array<std::string_view, 4> model_names{"cohort", "one person", "child by age",
                                                             "measured"};
constexpr std::span<const std::string_view> names_of(Model) { return model_names; }

struct Reach {
  double tip_mm = 0;               ///< L sin a
  Chance median_depth_mm;          ///< f (1 - c) M, in millimetres, not 0 to 1
  double eight_of_ten_low_mm = 0;  ///< muscle lies between these in 8 of 10
  double eight_of_ten_high_mm = 0;
  double skin_mm = 0;
  std::optional<TenthsMm> measured_sd;  ///< model `measured`: the sd that was used
  Chance muscle;
  Chance skin;
  Model model = Model::cohort;
  std::string_view source;  ///< of the depth, as in the data: authors, journal, year, pages; empty:
                            ///< this person's own measurement
  std::string_view how_known;    ///< of the depth: read, computed, measured
  std::string_view skin_source;  ///< the same of the skin
  std::string_view range;        ///< whom the model was made from, a words key; see range_args
  std::optional<Better> better;
  std::vector<Better> changes;             ///< every single change that lowers it, best first
  std::vector<std::string_view> cautions;  ///< codes of reach_cautions
};

/// Refusals, a closed list in the order in which they are looked for.
namespace reach_codes {
inline constexpr std::string_view needle_limit = "reach.needle_limit";  // needle, least, most
inline constexpr std::string_view angle_limit = "reach.angle_limit";    // angle, least, most
inline constexpr std::string_view pressed_limit = "reach.pressed_limit";
inline constexpr std::string_view sex_and_bmi = "reach.sex_and_bmi";  // together or neither
inline constexpr std::string_view bmi_limit = "reach.bmi_limit";
inline constexpr std::string_view age_limit = "reach.age_limit";
inline constexpr std::string_view measured_limit = "reach.measured_limit";
inline constexpr std::string_view measured_sd =
    "reach.measured_sd";  // outside its limits, or without measured; least, most
// outside the people that the model was made from: refused (H27, H33)
inline constexpr std::string_view child_in_adults = "reach.child_in_adults";  // age, people
inline constexpr std::string_view pregnant_in_others =
    "reach.pregnant_in_others";  // week, people: a week is given, and the people are not pregnant
inline constexpr std::string_view age_needed = "reach.age_needed";
inline constexpr std::string_view age_outside = "reach.age_outside";  // age, least, most
inline constexpr std::string_view week_needed = "reach.week_needed";
inline constexpr std::string_view week_outside = "reach.week_outside";  // week, least, most
inline constexpr std::string_view bmi_outside = "reach.bmi_outside";    // bmi, least, most
inline constexpr std::string_view person_model_adults_only = "reach.person_model_adults_only";
inline constexpr std::string_view zone_not_measured =
    "reach.zone_not_measured";  // zone, people, allowed (zones that were measured)
inline constexpr std::string_view no_fold = "reach.no_fold";  // zone
}  // namespace reach_codes
std::span<const std::string_view> refusals();

namespace reach_cautions {
inline constexpr std::string_view teaching_estimate = "reach.caution.teaching_estimate";
inline constexpr std::string_view sd_borrowed = "reach.caution.sd_borrowed";
inline constexpr std::string_view skin_borrowed = "reach.caution.skin_borrowed";
inline constexpr std::string_view measured_sd_assumed = "reach.caution.measured_sd_assumed";
inline constexpr std::string_view abdomen_misfit = "reach.caution.abdomen_misfit";
inline constexpr std::string_view skin_likely = "reach.caution.skin_likely";
inline constexpr std::string_view nothing_better = "reach.caution.nothing_better";
}  // namespace reach_cautions
std::span<const std::string_view> cautions();

Result<Reach> reach(const ReachRequest& request);

/// Whom a cohort's figures were made from: the arguments of the sentence `Reach::range`.
std::vector<Arg> range_args(People people);
/// The parts of the body that were measured in these people, in the order of `body_part_names`.
std::span<const BodyPart> zones_of(People people);

/// Needle lengths that can be had (data/shelf/needles.tsv; a test compares them).
inline constexpr std::array<TenthsMm, 6> needle_lengths{TenthsMm{40}, TenthsMm{50},  TenthsMm{60},
                                                        TenthsMm{80}, TenthsMm{100}, TenthsMm{127}};

/// What a request can hold at all, both ends included.
struct Limit {
  std::int32_t least = 0;
  std::int32_t most = 0;
};
namespace limits {
inline constexpr Limit needle_tenths_mm{30, 130};  // as on the shelf: sold from 4 to 12.7 mm
inline constexpr Limit angle_deg{15, 90};          // flatter is an injection into the skin
inline constexpr Limit pressed_percent{0, 50};     // 35 % is the most that was seen (A171)
inline constexpr Limit bmi_tenths{100, 1'000};     // of living people
inline constexpr Limit age_years{0, 120};
inline constexpr Limit measured_tenths_mm{10, 1'500};  // the thinnest seen is near 1 mm (A097)
inline constexpr Limit measured_sd_tenths_mm{1, 100};
}  // namespace limits

/// The sd of one ultrasound measurement where none is given. Ours, no publication: probe, hand and
/// the next spot of the same zone together.
inline constexpr TenthsMm measured_sd_when_not_given{10};

/// Below this a chance is printed as "under", and two chances are not told apart: the formula's
/// tails are not known better.
inline constexpr double chance_least = 0.005;

/// The contract's example: thigh, 8 mm, straight in, no fold, adults: 25 in 100.
ReachRequest example();

/// Above this chance of muscle, or of skin, a plan names a better choice first (H16). Our choice:
/// no publication sets one; the read values for what is recommended (4 mm straight in) stay below
/// it.
inline constexpr double chance_most = 0.05;

/// The bare formula for many pairs at once, to 13 decimals: same length of all three, no
/// allocation. `tips_mm[i]` L sin a, `medians_mm[i]` f (1 - c) M, both above zero; `s` above zero.
void muscle_chances(std::span<const double> tips_mm, std::span<const double> medians_mm, double s,
                    std::span<double> out);

}  // namespace penstock::reach
