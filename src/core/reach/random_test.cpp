// Second opinions: a seeded simulation against the closed form, and what must hold for everybody.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "core/reach/internal/for_tests.hpp"
#include "core/reach/internal/phi.hpp"

namespace penstock::reach {
namespace {

using for_tests::found;
using enum BodyPart;

/// splitmix64, and normal draws by Box and Muller: ours, so that a seed means the same everywhere.
class Draws {
 public:
  explicit Draws(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30U)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27U)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31U);
  }
  std::int32_t between(std::int32_t least, std::int32_t most) {
    return least + static_cast<std::int32_t>(next() % static_cast<std::uint64_t>(most - least + 1));
  }
  double uniform() { return (static_cast<double>(next() >> 11U) + 0.5) / 9007199254740992.0; }
  std::pair<double, double> normal() {
    const double r = std::sqrt(-2 * std::log(uniform()));
    const double a = 2 * std::numbers::pi * uniform();
    return {r * std::cos(a), r * std::sin(a)};
  }

 private:
  std::uint64_t state_;
};

/// What is drawn, written down here once more from the published numbers: the median and the sd of
/// the logarithm, or a mean and an SD of which the logarithm's follow; skin's mean and sd.
struct Tissue {
  BodyPart zone;
  double median, sigma, skin, skin_sd;
};
constexpr Tissue adults[] = {{thigh, 10.9, 0.465, 1.9, 0.5},
                             {buttock, 16.9, 0.465, 2.4, 0.5},
                             {abdomen, 14.6, 0.465, 2.2, 0.5},
                             {arm, 11.8, 0.465, 2.2, 0.5}};

struct Shares {
  double muscle = 0, skin = 0;
};
Shares simulated(Draws& draws, const Tissue& tissue, const ReachRequest& r, int people) {
  const double tip = r.needle.tenths / 10.0 * std::sin(r.angle_deg * std::numbers::pi / 180);
  int in_muscle = 0, in_skin = 0;
  for (int i = 0; i < people; ++i) {
    const auto [of_depth, of_skin] = draws.normal();
    double depth = tissue.median * std::exp(tissue.sigma * of_depth);
    if (r.fold) depth *= 1.45;
    depth *= 1 - r.pressed_percent / 100.0;
    if (tip > depth) ++in_muscle;
    if (tip < tissue.skin + tissue.skin_sd * of_skin) ++in_skin;
  }
  return {static_cast<double>(in_muscle) / people, static_cast<double>(in_skin) / people};
}

/// 4.5 standard errors of a share: one test in 150'000 beyond it, and a few dozen are made.
double tolerance(double chance, int people) {
  return 4.5 * std::sqrt(chance * (1 - chance) / people) + 1.0 / people;
}

TEST(Random, TwoHundredThousandPeopleAgreeWithTheClosedForm) {
  constexpr std::uint64_t seed = 20270301;
  constexpr int people = 200'000;
  RecordProperty("seed", std::to_string(seed));
  Draws draws(seed);
  for (int i = 0; i < 16; ++i) {
    const auto& tissue = adults[i % 4];
    auto request = for_tests::ask(tissue.zone, draws.between(30, 130), draws.between(30, 90),
                                  draws.between(0, 1) == 1);
    request.pressed_percent = draws.between(0, 40);
    const auto shares = simulated(draws, tissue, request, people);
    const auto answer = found(request);
    EXPECT_NEAR(answer.muscle.value, shares.muscle, tolerance(answer.muscle.value, people))
        << "seed " << seed << ", request " << i;
    EXPECT_NEAR(answer.skin.value, shares.skin, tolerance(answer.skin.value, people))
        << "seed " << seed << ", request " << i;
  }
}

// Lim 2018, 7 to 12 years, thigh: 7.17 mm, SD 3.62. What is drawn from our median and sigma must
// have that mean and that SD again, and the same share above the tip.
TEST(Random, AChildsCellHasItsPrintedMeanAndSdAgain) {
  constexpr std::uint64_t seed = 7'12;
  constexpr int people = 200'000;
  RecordProperty("seed", std::to_string(seed));
  Draws draws(seed);
  const auto answer = found(for_tests::child(10, thigh, 50));
  const double median = answer.median_depth_mm.value;
  const double sigma = std::log(answer.eight_of_ten_high_mm / median) / 1.2815515655446004;
  double sum = 0, squares = 0;
  int in_muscle = 0;
  for (int i = 0; i < people; ++i) {
    const double depth = median * std::exp(sigma * draws.normal().first);
    sum += depth;
    squares += depth * depth;
    if (depth < 5) ++in_muscle;
  }
  const double mean = sum / people;
  EXPECT_NEAR(mean, 7.17, 4.5 * 3.62 / std::sqrt(people));
  EXPECT_NEAR(std::sqrt(squares / people - mean * mean), 3.62, 0.06);  // heavy tail: 4 errors
  EXPECT_NEAR(answer.muscle.value, static_cast<double>(in_muscle) / people,
              tolerance(answer.muscle.value, people));
}

TEST(Random, TheBareFormulaForManyIsTheOneForOne) {
  Draws draws(1);
  std::vector<double> tips, medians;
  std::vector<ReachRequest> requests;
  for (int i = 0; i < 1'000; ++i) {
    auto request = for_tests::ask(static_cast<BodyPart>(draws.between(0, 3)),
                                  draws.between(30, 130), draws.between(15, 90));
    const auto answer = found(request);
    tips.push_back(answer.tip_mm);
    medians.push_back(answer.median_depth_mm.value);
    requests.push_back(request);
  }
  std::vector<double> chances(tips.size());
  muscle_chances(tips, medians, 0.465, chances);
  for (std::size_t i = 0; i < tips.size(); ++i) {
    EXPECT_NEAR(chances[i], found(requests[i]).muscle.value, 1e-13) << i;
  }
}

// The table against the library's erfc, across its nodes, its ends and far beyond them: to thirteen
// decimals, in the tail to seven digits of the value; and it never falls.
TEST(Random, TheTableOfTheNormalDistributionIsErfcToThirteenDecimals) {
  double before = 0;
  for (int i = -120'000; i <= 120'000; ++i) {
    const double z = i / 10'000.0;
    const double expected = 0.5 * std::erfc(-z / std::numbers::sqrt2);
    const double found = phi(z);
    ASSERT_NEAR(found, expected, 1e-13) << z;
    if (z > -9) {
      ASSERT_NEAR(found / expected, 1, 1e-7) << z;
    }
    ASSERT_GE(found, before) << z;
    before = found;
  }
  EXPECT_EQ(before, 1);
}

// ---- what holds for everybody

ReachRequest anybody() {
  const auto pick = [](std::int32_t least, std::int32_t most) {
    return *rc::gen::inRange(least, most + 1);
  };
  ReachRequest r;
  r.people = static_cast<People>(pick(0, 5));
  const auto zones = zones_of(r.people);
  r.zone = zones[static_cast<std::size_t>(pick(0, static_cast<std::int32_t>(zones.size()) - 1))];
  r.needle = {pick(30, 130)};
  r.angle_deg = pick(15, 90);
  r.pressed_percent = pick(0, 50);
  r.can_fold = pick(0, 3) != 0;
  r.fold = r.can_fold && pick(0, 1) == 1;
  if (r.people == People::children) r.age_years = pick(1, 18);
  if (r.people == People::pregnant_women) r.pregnancy_week = pick(24, 40);
  if (r.people == People::adults && pick(0, 1) == 1) {
    r.sex = static_cast<Sex>(pick(0, 1));
    r.bmi = TenthsBmi{pick(194, 645)};
  }
  if (pick(0, 4) == 0) {
    r.measured = TenthsMm{pick(10, 600)};
    if (pick(0, 1) == 1) r.measured_sd = TenthsMm{pick(1, 100)};
  }
  return r;
}

RC_GTEST_PROP(ReachProperty, ALongerNeedleNeverMeansLessMuscleNorMoreSkin, ()) {
  auto request = anybody();
  const auto shorter = *reach::reach(request);
  request.needle = {*rc::gen::inRange(request.needle.tenths, 131)};
  const auto longer = *reach::reach(request);
  RC_ASSERT(longer.muscle.value >= shorter.muscle.value);
  RC_ASSERT(longer.skin.value <= shorter.skin.value);
}

RC_GTEST_PROP(ReachProperty, SteeperIsNeverLessMuscleNorMoreSkin, ()) {
  auto request = anybody();
  const auto flatter = *reach::reach(request);
  request.angle_deg = *rc::gen::inRange(request.angle_deg, 91);
  const auto steeper = *reach::reach(request);
  RC_ASSERT(steeper.tip_mm >= flatter.tip_mm);
  RC_ASSERT(steeper.muscle.value >= flatter.muscle.value);
  RC_ASSERT(steeper.skin.value <= flatter.skin.value);
}

RC_GTEST_PROP(ReachProperty, AFoldNeverMeansMoreMuscleAndPressingNeverLess, ()) {
  auto request = anybody();
  request.can_fold = true;
  request.fold = false;
  const auto flat = *reach::reach(request);
  request.fold = true;
  RC_ASSERT(reach::reach(request)->muscle.value <= flat.muscle.value);
  request.fold = false;
  request.pressed_percent = *rc::gen::inRange(request.pressed_percent, 51);
  RC_ASSERT(reach::reach(request)->muscle.value >= flat.muscle.value);
}

RC_GTEST_PROP(ReachProperty, EveryBandHoldsItsValueAndIsAChance, ()) {
  const auto answer = *reach::reach(anybody());
  for (const auto& chance : {answer.muscle, answer.skin}) {
    RC_ASSERT(0 <= chance.low && chance.low <= chance.value);
    RC_ASSERT(chance.value <= chance.high && chance.high <= 1);
  }
  RC_ASSERT(answer.median_depth_mm.low <= answer.median_depth_mm.value);
  RC_ASSERT(answer.median_depth_mm.value <= answer.median_depth_mm.high);
  RC_ASSERT(answer.eight_of_ten_low_mm <= answer.median_depth_mm.value);
  RC_ASSERT(answer.median_depth_mm.value <= answer.eight_of_ten_high_mm);
}

int differences(const ReachRequest& request, const Better& change) {
  return (change.zone != request.zone) + (change.needle != request.needle) +
         (change.angle_deg != request.angle_deg) + (change.fold != request.fold);
}

/// The rule of better.cpp once more, without its order: every request that differs in one thing.
double largest_fall(const ReachRequest& request, const Reach& now, bool skin) {
  double most = 0;
  const auto look = [&](const ReachRequest& other) {
    const auto there = reach::reach(other);
    if (!there) return;
    const double m = there->muscle.value, k = there->skin.value;
    const double other_now = skin ? now.muscle.value : now.skin.value;
    if ((skin ? m : k) > std::max(chance_most, other_now)) return;
    if (now.muscle.value + now.skin.value - m - k < chance_least) return;
    most = std::max(most, skin ? now.skin.value - k : now.muscle.value - m);
  };
  for (const auto length : needle_lengths) {
    auto other = request;
    other.needle = length;
    look(other);
  }
  for (const std::int32_t angle : {45, 90}) {
    auto other = request;
    other.angle_deg = angle;
    look(other);
  }
  auto other = request;
  other.fold = true;
  look(other);
  for (const auto zone : zones_of(request.people)) {
    other = request;
    other.zone = zone;
    if (!request.measured && !(zone == arm && request.fold)) look(other);
  }
  return most;
}

RC_GTEST_PROP(ReachProperty, H16_EveryChangeIsASingleOneThatHelpsAndTheFirstHelpsMost, ()) {
  const auto request = anybody();
  const auto now = *reach::reach(request);
  const bool skin = now.skin.value > chance_most && now.skin.value >= now.muscle.value;
  for (const auto& change : now.changes) {
    RC_ASSERT(differences(request, change) == 1);
    auto other = request;
    other.zone = change.zone;
    other.needle = change.needle;
    other.angle_deg = change.angle_deg;
    other.fold = change.fold;
    const auto there = reach::reach(other);
    RC_ASSERT(there.has_value());
    RC_ASSERT(there->muscle.value == change.muscle_chance);
    RC_ASSERT(there->skin.value == change.skin_chance);
    const double fall =
        skin ? now.skin.value - change.skin_chance : now.muscle.value - change.muscle_chance;
    RC_ASSERT(fall >= chance_least);
    const double other_now = skin ? now.muscle.value : now.skin.value;
    const double other_then = skin ? change.muscle_chance : change.skin_chance;
    RC_ASSERT(other_then <= std::max(chance_most, other_now));
  }
  const double most = largest_fall(request, now, skin);
  if (most < chance_least) {
    RC_ASSERT(!now.better.has_value());
    return;
  }
  RC_ASSERT(now.better.has_value());
  const double named = skin ? now.skin.value - now.better->skin_chance
                            : now.muscle.value - now.better->muscle_chance;
  RC_ASSERT(named > most - chance_least);
}

}  // namespace
}  // namespace penstock::reach
