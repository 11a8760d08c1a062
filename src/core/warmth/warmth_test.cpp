// The label's verdict, and the estimate against what was published.
#include "core/warmth/warmth.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "embedded/warmth_tables.hpp"
#include "support/printed_table.hpp"

namespace penstock::warmth {
namespace {

using std::chrono::hours;

constexpr double gas = 8.3145;  // J/(mol K), as in T387

std::string_view file(std::string_view path) {
  for (const auto& one : embedded::warmth_tables()) {
    if (one.path == path) return one.data;
  }
  ADD_FAILURE() << path;
  return {};
}
std::string heat(std::string_view id, int column) {
  return cell(file("data/reference/heat.tsv"), id, column);
}

Warmth after(std::int32_t tenths, hours lasted, std::int32_t days = 28,
             std::optional<TenthsCelsius> limit = TenthsCelsius{300}) {
  const auto found = warmth({days, {{{tenths}, lasted}}, false, limit});
  EXPECT_TRUE(found);
  return *found;
}
bool has(const Warmth& found, std::string_view code) {
  return std::ranges::find(found.cautions, code) != found.cautions.end();
}
double share_lost(double celsius, double days) {
  const auto rate = loss_rate_per_day({static_cast<std::int32_t>(std::lround(celsius * 10))});
  return -std::expm1(-*rate * days);
}

// Rows T372-T376: Pingel M, Volund A. Diabetes 1972;21:805, abstract (read).
TEST(Warmth, TenPercentAreLostInThePublishedTimes_Pingel_1972_Diabetes_21_805) {
  struct Row {
    const char* id;
    double celsius;
    const char* printed;
    double days;
  };
  const Row rows[] = {{"T372", 5, "69 years", 69 * 365.25},
                      {"T373", 15, "10 years", 10 * 365.25},
                      {"T374", 25, "20 months", 20 * 30.44},
                      {"T375", 35, "3 months", 3 * 30.44},
                      {"T376", 45, "10 days", 10}};
  for (const auto& row : rows) {
    EXPECT_EQ(heat(row.id, 3), row.printed);
    EXPECT_EQ(heat(row.id, 2).substr(0, heat(row.id, 2).find(' ')),
              std::to_string(static_cast<int>(row.celsius)));
    EXPECT_NEAR(share_lost(row.celsius, row.days), 0.1, 1e-12) << row.id;
  }
}

// T378, T380, T381: computed once from the same times; a second opinion on the arithmetic.
TEST(Warmth, BetweenTheTemperaturesArrheniusHolds) {
  struct Row {
    double from, to, energy_kj, q10;
  };
  for (const Row& row :
       {Row{5, 15, 128.7, 6.9}, Row{25, 35, 144.9, 6.67}, Row{35, 45, 180.3, 9.13}}) {
    const double low = *loss_rate_per_day({static_cast<std::int32_t>(row.from * 10)});
    const double high = *loss_rate_per_day({static_cast<std::int32_t>(row.to * 10)});
    EXPECT_NEAR(high / low, row.q10, 0.05);
    const double energy =
        gas * std::log(high / low) / (1 / (row.from + 273.15) - 1 / (row.to + 273.15)) / 1'000;
    EXPECT_NEAR(energy, row.energy_kj, 0.15);
    // The middle lies on the same line.
    const double middle = (row.from + row.to) / 2;
    const double expected =
        low * std::exp(energy * 1'000 / gas * (1 / (row.from + 273.15) - 1 / (middle + 273.15)));
    EXPECT_NEAR(*loss_rate_per_day({static_cast<std::int32_t>(middle * 10)}) / expected, 1, 1e-9);
  }
  // T377: Q10 from 4 to 15.
  for (std::int32_t tenths = 50; tenths <= 350; tenths += 10) {
    const double q10 = *loss_rate_per_day({tenths + 100}) / *loss_rate_per_day({tenths});
    EXPECT_GT(q10, 4);
    EXPECT_LT(q10, 15);
  }
}

// T383, T384: Storring PL, et al. Diabetologia 1975;11:581, abstract (read): a crystalline standard
// kept dark kept 95.8 % (92.8 to 98.9) over 12 years at 20 C, 65.7 % (63.4 to 68.1) over 14 years
// at 37 C; T385: at least 99.93 % over 20 years at -20 C. Ours must lose at least as much as the
// lower end of each.
TEST(Warmth, LosesAtLeastAsMuchAsAnotherPublication_Storring_1975_Diabetologia_11_581) {
  EXPECT_EQ(heat("T383", 3), "95.8");
  EXPECT_EQ(heat("T384", 3), "65.7");
  EXPECT_GE(share_lost(20, 12 * 365.25), 1 - 0.928);
  EXPECT_GE(share_lost(37, 14 * 365.25), 1 - 0.634);
  EXPECT_GE(share_lost(5, 20 * 365.25), 1 - 0.9993);  // and we take no rate below 5 C
  // T386, T387: their rates 0.003576 and 0.030005 a year, 94.6 kJ/mol: computed from the same rows.
  const double cool = -std::log(0.958) / 12, warm = -std::log(0.657) / 14;
  EXPECT_NEAR(cool, 0.003576, 1e-6);
  EXPECT_NEAR(warm, 0.030005, 1e-5);
  EXPECT_NEAR(gas * std::log(warm / cool) / (1 / 293.15 - 1 / 310.15) / 1'000, 94.6, 0.1);
  for (std::int32_t tenths = 200; tenths <= 370; ++tenths) {
    const double kelvin = tenths / 10.0 + 273.15;
    const double theirs = cool * std::exp(94'600 / gas * (1 / 293.15 - 1 / kelvin)) / 365.25;
    EXPECT_GT(*loss_rate_per_day({tenths}), theirs) << tenths;
  }
}

// T390, second-hand: cycling between 25 and 37 C for four weeks, no loss against the fridge. T391:
// 5 C for 30 months, no appreciable loss. The envelope stands above both: it errs to caution.
TEST(Warmth, StaysAboveTheFieldStudies) {
  EXPECT_EQ(heat("T390", 3).substr(0, 7), "no loss");
  EXPECT_GT(share_lost(25, 28), 0);
  EXPECT_LT(share_lost(37, 28), 0.06);
  EXPECT_LT(share_lost(5, 30 * 30.44), 0.005);
}

TEST(Warmth, H12_TheContractsExampleIsTooWarmByEveryLabel) {
  const auto found = warmth(example());
  ASSERT_TRUE(found);
  EXPECT_TRUE(found->limit_broken);
  EXPECT_EQ(found->broken, std::vector{Broken::too_warm});
  EXPECT_EQ(found->limit, TenthsCelsius{250});
  EXPECT_TRUE(found->limit_assumed);
  EXPECT_TRUE(has(*found, warmth_cautions::limit_assumed));
  EXPECT_FALSE(has(*found, warmth_cautions::look));
  ASSERT_TRUE(found->lost);
  // By hand: k(35) ln(1/0.9)/91.32 a day, times exp(180.3e3/8.3145 (1/308.15 - 1/310.15)) = 1.574,
  // ten days: 1.7997 %, rounded up to a tenth.
  EXPECT_EQ(*found->lost, TenthsPercent{18});
}

TEST(Warmth, H12_TheLabelDecidesNeverTheEstimate) {
  // One hour one tenth above the limit: broken, however little was lost.
  const auto brief = after(301, hours{1});
  EXPECT_TRUE(brief.limit_broken);
  EXPECT_EQ(*brief.lost, TenthsPercent{1});
  // On the limit until the last hour of its period: kept, however much was lost.
  const auto kept = after(300, hours{28 * 24 - 1});
  EXPECT_FALSE(kept.limit_broken);
  EXPECT_GT(*kept.lost, *brief.lost);
  EXPECT_TRUE(has(kept, warmth_cautions::look));
  // The day of leaving the fridge is 0.
  const auto over = after(300, hours{28 * 24});
  EXPECT_EQ(over.broken, std::vector{Broken::period_over});
  // In the fridge the period does not run.
  EXPECT_FALSE(after(80, hours{8'784}).limit_broken);
  EXPECT_TRUE(after(81, hours{8'784}).limit_broken);
}

TEST(Warmth, H12_FrozenIsFinalAndHasNoPercentage) {
  for (const Request& request :
       {Request{28, {}, true, {}}, Request{28, {{{0}, hours{1}}}, false, {}},
        Request{28, {{{-5}, hours{1}}, {{400}, hours{900}}}, false, {}},
        Request{28, {{{460}, hours{1}}}, true, {}}}) {
    const auto found = warmth(request);
    ASSERT_TRUE(found);
    EXPECT_TRUE(found->limit_broken);
    EXPECT_EQ(found->broken.front(), Broken::frozen);
    EXPECT_FALSE(found->lost);
    EXPECT_EQ(found->no_number, NoNumber::frozen);
  }
  const auto cold = after(1, hours{5});
  EXPECT_FALSE(cold.limit_broken);
  EXPECT_TRUE(has(cold, warmth_cautions::near_freezing));
}

TEST(Warmth, H33_AboveThePublishedTemperaturesThereIsNoNumber) {
  EXPECT_TRUE(after(450, hours{1}).lost);
  const auto hot = after(451, hours{1});
  EXPECT_FALSE(hot.lost);
  EXPECT_EQ(hot.no_number, NoNumber::above_published);
  EXPECT_TRUE(hot.limit_broken);
  EXPECT_FALSE(loss_rate_per_day({451}));
  EXPECT_FALSE(loss_rate_per_day({0}));
  EXPECT_EQ(*loss_rate_per_day({1}), *loss_rate_per_day({50}));
  // Beyond the tenth that was published it is carried on, and says so.
  const auto long_time = after(450, hours{24 * 30});
  EXPECT_GT(*long_time.lost, TenthsPercent{270});
  EXPECT_TRUE(has(long_time, warmth_cautions::extrapolated));
}

// The strictest limit is the lowest that any row of the shelf data prints.
TEST(Warmth, TheStrictestLimitIsTheLowestInTheTable) {
  const auto text = file("data/reference/in_use.tsv");
  std::int32_t lowest = 1'000, rows = 0;
  for (std::size_t at = 0; (at = text.find("\tmax ", at)) != std::string_view::npos; ++at) {
    const auto celsius = text.substr(at + 5, 2);
    if (text.substr(at + 7, 2) != " C") continue;  // "max temperature": a range in a note
    lowest = std::min(lowest, std::stoi(std::string(celsius)) * 10);
    ++rows;
  }
  EXPECT_EQ(rows, 22);
  EXPECT_EQ(TenthsCelsius{lowest}, strictest_limit);
  EXPECT_EQ(cell(text, "T368", 3), "2-8 (36-46 F)");
}

TEST(Warmth, H25_RefusalsComeInTheirDeclaredOrder) {
  const auto code = [](const Request& request) {
    const auto found = warmth(request);
    return found ? std::string() : found.error().code + " " + found.error().at;
  };
  const std::vector<Spell> warm{{{370}, hours{1}}};
  EXPECT_EQ(code({0, warm, false, {}}), "warmth.days_limit /in_use_days");
  EXPECT_EQ(code({401, warm, false, {}}), "warmth.days_limit /in_use_days");
  EXPECT_EQ(code({28, warm, false, TenthsCelsius{149}}), "warmth.limit_limit /in_use_most_celsius");
  EXPECT_EQ(code({28, {}, false, {}}), "warmth.nothing_noted /spells");
  EXPECT_EQ(code({28, std::vector<Spell>(1'001, warm[0]), false, {}}),
            "warmth.spells_limit /spells");
  EXPECT_EQ(code({28, {warm[0], {{1'001}, hours{1}}}, false, {}}),
            "warmth.celsius_limit /spells/1/celsius");
  EXPECT_EQ(code({28, {{{370}, hours{0}}}, false, {}}), "warmth.hours_limit /spells/0/hours");
  EXPECT_EQ(code({28, {{{370}, hours{8'785}}}, false, {}}), "warmth.hours_limit /spells/0/hours");
  EXPECT_EQ(refusals().size(), 6U);
}

// More heat, or longer, never loses less; order and cutting of spells change nothing.
RC_GTEST_PROP(WarmthProperty, MoreHeatNeverLosesLess, ()) {
  const auto tenths = *rc::gen::inRange(1, 451);
  const auto minutes = *rc::gen::inRange(1, 60 * 24 * 60);
  const std::chrono::minutes lasted{minutes};
  const auto one = warmth({28, {{{tenths}, lasted}}, false, {}});
  RC_ASSERT(one.has_value());
  if (tenths < 450) {
    const auto warmer = warmth({28, {{{tenths + 1}, lasted}}, false, {}});
    RC_ASSERT(*warmer->lost >= *one->lost);
    RC_ASSERT(warmer->limit_broken || !one->limit_broken);
  }
  if (minutes > 1) {
    const auto cut = *rc::gen::inRange(1, minutes);
    const std::chrono::minutes first{cut};
    const auto two = warmth({28, {{{tenths}, lasted - first}, {{tenths}, first}}, false, {}});
    RC_ASSERT(*two->lost == *one->lost);
    RC_ASSERT(two->broken == one->broken);
  }
}

}  // namespace
}  // namespace penstock::warmth
