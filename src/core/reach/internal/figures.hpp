// Every published constant of this room, with the row of data/reference/skin_and_depth.tsv that it
// stands in. A test compares each with its row as printed: value, spread, people, source.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace penstock::reach {

/// One row. What is not printed is 0: `low` and `high` a printed interval, `sd` a standard
/// deviation, `n` how many people.
struct Figure {
  std::string_view row;
  double value = 0;
  double low = 0;
  double high = 0;
  double sd = 0;
  std::int32_t n = 0;
  std::string_view source;
  std::string_view known = "read";
};

namespace sources {
inline constexpr std::string_view hirsch =
    "Hirsch L, Byron K, Gibney M. Diabetes Technol Ther 2014;16(12):867-873";
inline constexpr std::string_view gibney =
    "Gibney MA, Arce CH, Byron KJ, Hirsch LJ. Curr Med Res Opin 2010;26(6):1519-1530";
inline constexpr std::string_view sim =
    "Sim KH, Hwang MS, Kim SY, et al. Diabetes Metab J 2014;38(2):120-133";
inline constexpr std::string_view akkus =
    "449-person Turkish ultrasound study (authors not shown in the retrieved text; from memory "
    "Akkus O et al., J Diabetes Metab 2012)";
inline constexpr std::string_view catambing = "Catambing IC, Villa ML. J ASEAN Fed Endocr Soc 2014";
inline constexpr std::string_view lim =
    "Lim STJ, Hui YCA, Lim PK, et al. J Clin Transl Endocrinol 2018;12:26-35";
inline constexpr std::string_view children_skin =
    "Sri Lankan children study. Arch Pediatr 2020;27(5):244-249";
inline constexpr std::string_view lo_presti =
    "Lo Presti D, Ingegnosi C, Strauss K. Pediatr Diabetes 2012;13:525-533";
inline constexpr std::string_view hwang = "Hwang MS. Korean J Women Health Nurs 2021;27(4)";
inline constexpr std::string_view polak =
    "Polak M, Beregszaszi M, Belarbi N, et al. Diabetes Care 1996;19(12):1434-1436";
}  // namespace sources

namespace figures {
using namespace sources;

// US adults with diabetes. Medians of the depth, in millimetres.
inline constexpr Figure thigh{"A001", 10.9, 10.3, 11.6, 0, 341, hirsch};
inline constexpr Figure buttock{"A002", 16.9, 15.9, 18.1, 0, 341, hirsch};
inline constexpr Figure abdomen{"R02", 14.6, 13.7, 15.6, 0, 341, hirsch, "computed"};
inline constexpr Figure arm{"R03", 11.8, 11.1, 12.6, 0, 388, gibney, "computed"};
inline constexpr Figure sigma{"R01", 0.465, 0.43, 0.5, 0, 341, hirsch, "computed"};
// Skin, means in millimetres.
inline constexpr Figure arm_skin{"A019", 2.2, 2.2, 2.3, 0, 388, gibney};
inline constexpr Figure thigh_skin{"A020", 1.9, 1.8, 1.9, 0, 388, gibney};
inline constexpr Figure abdomen_skin{"A021", 2.2, 2.1, 2.2, 0, 388, gibney};
inline constexpr Figure buttock_skin{"A022", 2.4, 2.4, 2.5, 0, 388, gibney};
inline constexpr Figure skin_sd{"R04", 0.5, 0.37, 0.61, 0, 388, gibney, "computed"};
// One person out of sex and BMI.
inline constexpr Figure bmi_slope{"R06", 0.028, 0.0225, 0.0325, 0, 388, gibney, "computed"};
inline constexpr Figure sex_effect{"R07", 0.33, 0.29, 0.41, 0, 388, gibney, "computed"};
inline constexpr Figure person_sigma{"R08", 0.39, 0.34, 0.465, 0, 341, hirsch, "computed"};
inline constexpr Figure bmi_middle{"R09", 29, 0, 0, 0, 388, gibney, "computed"};

// Korean adults: skin and fat, means and SD.
inline constexpr Figure korean_abdomen_skin{"A075", 2.29, 0, 0, 0.37, 156, sim};
inline constexpr Figure korean_arm_skin{"A076", 2.0, 0, 0, 0.34, 156, sim};
inline constexpr Figure korean_abdomen_fat{"A077", 10.15, 0, 0, 6.54, 156, sim};
inline constexpr Figure korean_arm_fat{"A078", 5.5, 0, 0, 2.68, 156, sim};

// Turkish adults: means and the range that was seen, no SD.
inline constexpr Figure turkish_arm_skin{"A094", 1.95, 1.05, 3.92, 0, 449, akkus};
inline constexpr Figure turkish_arm_fat{"A095", 6.42, 1.01, 33.5, 0, 449, akkus};
inline constexpr Figure turkish_abdomen_skin{"A096", 2.35, 1.07, 3.82, 0, 449, akkus};
inline constexpr Figure turkish_abdomen_fat{"A097", 15.73, 1.04, 39.3, 0, 449, akkus};
inline constexpr Figure turkish_thigh_skin{"A098", 1.97, 1.12, 3.12, 0, 449, akkus};
inline constexpr Figure turkish_thigh_fat{"A099", 7.92, 1.48, 31.6, 0, 449, akkus};

// Filipino adults: the lowest and the highest of the sites' means, no SD. Skin: thigh and buttock;
// fat: thigh and abdomen.
inline constexpr Figure filipino_skin{"A101", 0, 1.76, 2.75, 0, 293, catambing};
inline constexpr Figure filipino_fat{"A102", 0, 6.91, 19.1, 0, 293, catambing};
/// Lowest and highest ln-SD of those who print one, between them that of US adults.
inline constexpr Figure sigma_borrowed{"R10", 0.465, 0.349, 0.55, 0, 0, hirsch, "computed"};

// Children: skin and fat together, mean and SD, by age group.
inline constexpr Figure abdomen_1_to_6{"A121", 4.33, 0, 0, 2.22, 12, lim};
inline constexpr Figure arm_1_to_6{"A122", 5.55, 0, 0, 2.26, 12, lim};
inline constexpr Figure thigh_1_to_6{"A123", 5.83, 0, 0, 3.12, 12, lim};
inline constexpr Figure buttock_1_to_6{"A124", 6.48, 0, 0, 3.47, 12, lim};
inline constexpr Figure abdomen_7_to_12{"A125", 7.11, 0, 0, 3.68, 55, lim};
inline constexpr Figure arm_7_to_12{"A126", 7.79, 0, 0, 4.54, 55, lim};
inline constexpr Figure thigh_7_to_12{"A127", 7.17, 0, 0, 3.62, 55, lim};
inline constexpr Figure buttock_7_to_12{"A128", 8.51, 0, 0, 3.65, 55, lim};
inline constexpr Figure abdomen_13_to_18{"A129", 8.94, 0, 0, 4.5, 86, lim};
inline constexpr Figure arm_13_to_18{"A130", 8.42, 0, 0, 5.0, 86, lim};
inline constexpr Figure thigh_13_to_18{"A131", 8.61, 0, 0, 4.76, 86, lim};
inline constexpr Figure buttock_13_to_18{"A132", 9.76, 0, 0, 4.38, 86, lim};
/// Skin of other children; between the smallest and the largest group mean of a third study.
inline constexpr Figure child_skin{"A138", 2.1, 0, 0, 0.4, 125, children_skin};
inline constexpr Figure child_skin_least{"A117", 1.58, 0, 0, 0, 0, lo_presti};
inline constexpr Figure child_skin_most{"A118", 2.29, 0, 0, 0, 0, lo_presti};

// Pregnant women: the abdomen, skin and fat together, by weeks; how many in each group is ours.
inline constexpr Figure weeks_24_to_27{"A089", 12.5, 0, 0, 5.4, 0, hwang};
inline constexpr Figure weeks_28_to_31{"A090", 11.7, 0, 0, 4.8, 0, hwang};
inline constexpr Figure weeks_32_to_35{"A091", 10.9, 0, 0, 4.0, 0, hwang};
inline constexpr Figure weeks_36_to_40{"A092", 10.6, 0, 0, 4.7, 0, hwang};
inline constexpr Figure pregnant_all{"A088", 11.4, 0, 0, 4.7, 262, hwang};
inline constexpr Figure pregnant_in_group{"R11", 65, 0, 0, 0, 65, hwang, "computed"};

/// How much a lifted fold thickens: Polak 1996.
inline constexpr Figure fold{"R05", 1.45, 1.26, 1.67, 0, 59, polak, "computed"};

/// All of them, for the test that compares them with the table.
inline constexpr std::array<Figure, 49> all{
    thigh,
    buttock,
    abdomen,
    arm,
    sigma,
    arm_skin,
    thigh_skin,
    abdomen_skin,
    buttock_skin,
    skin_sd,
    bmi_slope,
    sex_effect,
    person_sigma,
    bmi_middle,
    korean_abdomen_skin,
    korean_arm_skin,
    korean_abdomen_fat,
    korean_arm_fat,
    turkish_arm_skin,
    turkish_arm_fat,
    turkish_abdomen_skin,
    turkish_abdomen_fat,
    turkish_thigh_skin,
    turkish_thigh_fat,
    filipino_skin,
    filipino_fat,
    sigma_borrowed,
    abdomen_1_to_6,
    arm_1_to_6,
    thigh_1_to_6,
    buttock_1_to_6,
    abdomen_7_to_12,
    arm_7_to_12,
    thigh_7_to_12,
    buttock_7_to_12,
    abdomen_13_to_18,
    arm_13_to_18,
    thigh_13_to_18,
    buttock_13_to_18,
    child_skin,
    child_skin_least,
    child_skin_most,
    weeks_24_to_27,
    weeks_28_to_31,
    weeks_32_to_35,
    weeks_36_to_40,
    pregnant_all,
    pregnant_in_group,
    fold,
};
}  // namespace figures

}  // namespace penstock::reach
