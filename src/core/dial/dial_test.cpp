#include "core/dial/dial.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <functional>

namespace penstock::dial {
namespace {

using shelf::Window;

Units hundredths(std::int64_t n) { return *Units::from_hundredths(n); }

DialRequest basic(Window window = Window::counts_on) {
  DialRequest r;
  r.dose = 18_units;
  r.insulin = {"insulin glargine", Strength{100}, false, {}};
  r.pen = {1_units, 60_units, window, 10};
  r.prime.units = 2_units;
  r.prime.new_cartridge = 4_units;
  r.cartridges = {{"A", 247_units, 6, 28, {}}};
  return r;
}

std::vector<Action> dials(const DialPlan& plan) {
  std::vector<Action> found;
  std::copy_if(plan.actions.begin(), plan.actions.end(), std::back_inserter(found),
               [](const Action& a) { return a.what == Do::dial; });
  return found;
}
std::string words(const DialPlan& plan) {
  std::string text;
  for (const Action& a : plan.actions) {
    text += std::string(do_names[static_cast<std::size_t>(a.what)]) + ", ";
  }
  return text;
}
const Caution* caution(const DialPlan& plan, std::string_view code) {
  for (const Caution& c : plan.cautions) {
    if (c.code == code) return &c;
  }
  return nullptr;
}
std::string refused_with(const DialRequest& request) {
  const auto answer = plan(request);
  return answer ? "no refusal" : answer.error().code;
}

// ---- the contract's own words

TEST(Dial, H01_TheContractsExampleIsTwentyOneAndLeaves229) {
  const auto answer = plan(example());
  ASSERT_TRUE(answer);
  ASSERT_EQ(dials(*answer).size(), 1U);
  EXPECT_EQ(dials(*answer)[0].dose, 18_units);
  EXPECT_EQ(dials(*answer)[0].window, 21_units);
  EXPECT_EQ(answer->left_after[0].left, 229_units);
  EXPECT_EQ(answer->given, 18_units);
  EXPECT_EQ(answer->needles, 1);
  EXPECT_EQ(words(*answer),
            "look at insulin, dial, inject, check window, needle off, ");  // needle on, flow seen
}

TEST(Dial, H01_OnAPenThatReturnsToZeroTheSameRequestIsEighteen) {
  DialRequest r = example();
  r.pen.window = Window::returns_to_zero;
  const auto answer = plan(r);
  EXPECT_EQ(dials(*answer)[0].window, 18_units);
  EXPECT_EQ(answer->left_after[0].left, 229_units);
  EXPECT_NE(caution(*answer, dial_cautions::window_returns), nullptr);
  EXPECT_EQ(caution(*answer, dial_cautions::window_counts_on), nullptr);
}

TEST(Dial, H01_NoPlanWhileTheWindowIsUnknown) {
  DialRequest r = example();
  r.pen.window.reset();
  const auto answer = plan(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, dial_codes::window_unknown);
  EXPECT_EQ(answer.error().kind, Kind::refused);
  EXPECT_EQ(answer.error().at, "/pen/window");
}

TEST(Dial, H44_FlowNotSeenPrimesTheRestOfTheRuleAtLeastOneStepAndListsTheWindows) {
  struct Row {
    Units spent;
    Units primed;
    Units window;
  };
  constexpr Row rows[] = {{0_units, 2_units, 20_units},
                          {1_units, 1_units, 20_units},
                          {2_units, 1_units, 21_units},
                          {5_units, 1_units, 24_units}};
  for (const Row& row : rows) {
    DialRequest r = basic();
    r.prime.spent = row.spent;
    const auto answer = plan(r);
    const Action dial = dials(*answer)[0];
    EXPECT_EQ(answer->primed, row.primed);
    EXPECT_EQ(dial.window, row.window);
    ASSERT_EQ(dial.window_by_prime.size(), 5U);  // planned, and a step at a time to two primes more
    EXPECT_EQ(dial.window_by_prime[0].window, row.window);
    for (std::size_t i = 0; i < dial.window_by_prime.size(); ++i) {
      const WindowRow& one = dial.window_by_prime[i];
      EXPECT_EQ(one.primed, sum(sum(row.spent, row.primed), hundredths(100 * static_cast<int>(i))));
      EXPECT_EQ(one.window, sum(one.primed, 18_units));
    }
    EXPECT_NE(caution(*answer, dial_cautions::flow_assumed_window), nullptr);
  }
  DialRequest r = basic(Window::returns_to_zero);
  EXPECT_TRUE(dials(*plan(r))[0].window_by_prime.empty());
  EXPECT_NE(caution(*plan(r), dial_cautions::flow_assumed), nullptr);
}

TEST(Dial, TheTableOfWindowsStopsAtThePensMostAndAtWhatIsLeft) {
  DialRequest r = basic();
  r.pen.most = 21_units;
  EXPECT_EQ(dials(*plan(r))[0].window_by_prime.size(), 2U);  // 20 and 21
  r.pen.most = 60_units;
  r.cartridges[0].left = 21_units;
  EXPECT_EQ(dials(*plan(r))[0].window_by_prime.size(), 2U);
  EXPECT_EQ(dials(*plan(r))[0].window_by_prime.back().primed, 3_units);
}

TEST(Dial, ACartridgeIsNewWhenItSaysSoOrSaysNothingHasNoDaysAndNoSpentPrime) {
  const auto primed = [](std::optional<bool> said, std::int32_t days, Units spent) {
    DialRequest r = basic(Window::returns_to_zero);
    r.cartridges[0].days_in_use = days;
    r.cartridges[0].is_new = said;
    r.prime.spent = spent;
    return plan(r)->primed;
  };
  EXPECT_EQ(primed({}, 0, 0_units), 4_units);
  EXPECT_EQ(primed({}, 0, 1_units), 1_units);  // a spent prime is on it: the plain rule, 2 less 1
  EXPECT_EQ(primed({}, 1, 0_units), 2_units);
  EXPECT_EQ(primed(true, 3, 0_units), 4_units);
  EXPECT_EQ(primed(true, 0, 1_units), 3_units);
  EXPECT_EQ(primed(false, 0, 0_units), 2_units);
}

TEST(Dial, SpentAndFlowBelongToTheFirstCartridgeThatServes) {
  DialRequest r = basic();
  r.cartridges = {
      {"old", 100_units, 28, 28, {}}, {"B", 200_units, 3, 28, {}}, {"C", 200_units, 20, 28, {}}};
  r.prime.spent = 3_units;
  r.prime.flow_seen = true;
  const auto answer = plan(r);
  EXPECT_EQ(dials(*answer)[0].cartridge, 1U);  // least waste: nothing more is primed there
  EXPECT_EQ(dials(*answer)[0].window, 21_units);
  EXPECT_EQ(answer->primed, 0_units);
}

TEST(Dial, H12_ServesWhileItsDaysAreFewerThanTheLabels) {
  for (std::int32_t days = 0; days <= 40; ++days) {
    DialRequest r = basic();
    r.cartridges[0].days_in_use = days;
    r.cartridges.push_back({"B", 300_units, {}, 28, true});
    const auto answer = plan(r);
    EXPECT_EQ(dials(*answer)[0].cartridge, days < 28 ? 0U : 1U) << days;
    EXPECT_EQ(caution(*answer, dial_cautions::past_in_use) != nullptr, days >= 28);
    EXPECT_EQ(caution(*answer, dial_cautions::last_day) != nullptr, days == 27);
    EXPECT_EQ(answer->left_after[0].thrown_away, days >= 28);
    r.cartridges.pop_back();
    EXPECT_EQ(refused_with(r), days < 28 ? "no refusal" : "dial.all_past_in_use");
  }
}

TEST(Dial, H14_ASuspensionStartsWithMixingAndSoDoesEachFurtherInjection) {
  DialRequest r = basic(Window::returns_to_zero);
  r.insulin = {"NPH insulin", Strength{100}, true, 12_units};
  EXPECT_EQ(words(*plan(r)),
            "mix, look at insulin, fit needle, prime, dial, inject, check window at 0, "
            "needle off, ");
  r.dose = 70_units;
  const auto twice = plan(r);
  EXPECT_EQ(std::count_if(twice->actions.begin(), twice->actions.end(),
                          [](const Action& a) { return a.what == Do::mix; }),
            2);
  r.dose = 18_units;
  r.cartridges = {{"A", 10_units, 6, 28, {}}, {"B", 300_units, 0, 28, true}};
  const auto next = plan(r);
  EXPECT_EQ(next->actions[0].what, Do::mix);  // the new one in the hand, before it goes in
  EXPECT_EQ(next->actions[0].cartridge, 1U);
  EXPECT_EQ(next->actions[1].what, Do::change_cartridge);
  EXPECT_EQ(next->actions.back().what, Do::throw_away);
  EXPECT_EQ(next->actions.back().left, 10_units);
}

TEST(Dial, H43_TooLittleToMixIsChangedAndRefusedWhenNothingElseIsThere) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 4_units;
  r.insulin = {"NPH insulin", Strength{100}, true, 12_units};
  r.cartridges = {{"A", 11_units, 6, 28, {}}};
  EXPECT_EQ(refused_with(r), "dial.mix_too_little");
  r.cartridges.push_back({"B", 300_units, 0, 28, true});
  EXPECT_EQ(dials(*plan(r))[0].cartridge, 1U);
  r.cartridges[0].left = 12_units;
  EXPECT_EQ(dials(*plan(r))[0].cartridge, 1U);  // 12 could be mixed, the 6 left could not: waste
  r.cartridges[0].left = 18_units;
  EXPECT_EQ(dials(*plan(r))[0].cartridge, 0U);
}

TEST(Dial, H26_ADoseBetweenTwoStepsIsRefusedWithTheOneBelow) {
  DialRequest r = basic();
  r.dose = 4.5_units;
  const auto answer = plan(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, dial_codes::dose_not_in_steps);
  EXPECT_EQ(answer.error().args[2], arg_units("below", 4_units));
  r.pen.step = 0.5_units;
  EXPECT_TRUE(plan(r));
}

TEST(Dial, H44_ThreeDryPrimesMeanANewNeedleAndThenNoWindowAtAll) {
  DialRequest r = basic();
  r.prime.spent = 6_units;
  r.prime.dry_primes = 2;
  EXPECT_EQ(words(*plan(r)), "look at insulin, prime, dial, inject, check window, needle off, ");
  r.prime.dry_primes = 3;
  const auto answer = plan(r);
  EXPECT_EQ(words(*answer),
            "needle off, look at insulin, fit needle, prime, dial, inject, check window, "
            "needle off, ");
  EXPECT_EQ(answer->primed, 2_units);             // the whole prime again
  EXPECT_EQ(dials(*answer)[0].window, 26_units);  // 6 spent, 2 primed, 18
  EXPECT_NE(caution(*answer, dial_cautions::new_needle), nullptr);
  r.prime.needle_changed = true;
  EXPECT_EQ(refused_with(r), "dial.no_flow");
  r.prime.flow_seen = true;
  r.prime.spent = 8_units;  // the prime that showed, too
  EXPECT_TRUE(plan(r));
}

// Two dry primes of two units and one that showed were taken as two units in the window.
TEST(Dial, H01_H64_DryPrimesStandInTheWindowTheOneThatShowedToo) {
  DialRequest r = basic();
  r.prime.dry_primes = 2;
  r.prime.flow_seen = true;
  for (const auto spent : {0_units, 2_units, 4_units}) {
    r.prime.spent = spent;
    EXPECT_EQ(refused_with(r), dial_codes::dry_spent) << format(spent);
  }
  r.prime.spent = 5_units;  // it showed after one unit
  EXPECT_EQ(dials(*plan(r))[0].window, 23_units);
  r.prime.spent = 6_units;
  EXPECT_EQ(dials(*plan(r))[0].window, 24_units);
  // What counts in no window changes no number.
  r.prime.spent = 2_units;
  r.pen.window = Window::returns_to_zero;
  EXPECT_EQ(dials(*plan(r))[0].window, 18_units);
}

// Nurse A18, pharmacist D10: units that an old needle took prime no new one.
TEST(Dial, H64_AChangedNeedleIsAWholeNewPrime) {
  DialRequest r = basic();
  r.prime.spent = 6_units;
  r.prime.needle_changed = true;
  auto answer = plan(r);
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->primed, 2_units);
  EXPECT_EQ(dials(*answer)[0].window, 26_units);  // the six stay in the count of this pen
  r.pen.window = Window::returns_to_zero;
  EXPECT_EQ(plan(r)->primed, 2_units);
  // One unit went through the new one already: the rest of its own prime.
  r = basic();
  r.prime.spent = 7_units;
  r.prime.needle_changed = true;
  r.prime.through_needle = 1_units;
  answer = plan(r);
  EXPECT_EQ(answer->primed, 1_units);
  EXPECT_EQ(dials(*answer)[0].window, 26_units);
}

TEST(Dial, H64_AfterADryPrimeTheWholePrimeIsPressedAgainNeverOneUnitOfIt) {
  struct Row {
    std::int32_t dry;
    Units spent, primed;
  };
  constexpr Row rows[] = {{1, 2_units, 2_units},
                          {2, 4_units, 2_units},
                          {1, 3_units, 2_units},
                          {2, 6_units, 2_units},
                          {3, 6_units, 2_units}};
  for (const auto& row : rows) {
    DialRequest r = basic();
    r.prime.dry_primes = row.dry;
    r.prime.spent = row.spent;
    const auto answer = plan(r);
    EXPECT_EQ(answer->primed, row.primed) << row.dry << " " << format(row.spent);
    EXPECT_EQ(dials(*answer)[0].window, sum(sum(row.spent, row.primed), 18_units));
  }
}

// Nurse A18: a window check in the evening; the needle came off.
TEST(Dial, H64_WhatWasPressedBeforeTheNeedleIsOnPrimesNothingAndStaysInTheCount) {
  DialRequest r = basic();
  r.prime.spent = 2_units;
  r.prime.flow_seen = true;
  r.prime.needle_on = false;
  const auto answer = plan(r);
  ASSERT_TRUE(answer);
  EXPECT_EQ(words(*answer),
            "look at insulin, fit needle, prime, dial, inject, check window, needle off, ");
  EXPECT_EQ(answer->primed, 2_units);
  EXPECT_EQ(dials(*answer)[0].window, 22_units);
  r.prime.needle_on = true;
  EXPECT_EQ(words(*plan(r)), "look at insulin, dial, inject, check window, needle off, ");
}

// Pharmacist D5, nurse A19: what stands in the window before it is primed.
TEST(Dial, H01_APrimeSaysWhatTheWindowShowsBeforeIt) {
  DialRequest r = basic();
  const auto before = [&] {
    const auto answer = plan(r);
    return std::ranges::find(answer->actions, Do::prime, &Action::what)->window;
  };
  EXPECT_EQ(before(), 0_units);
  r.prime.spent = 6_units;
  r.prime.dry_primes = 3;
  EXPECT_EQ(before(), 6_units);
}

// Pharmacist D9: on a pen that counts on insulin shows only where units stand in the window.
TEST(Dial, H01_FlowWithNothingPrimedIsDoubtedOnAPenThatCountsOn) {
  DialRequest r = basic();
  r.prime.flow_seen = true;
  const auto answer = plan(r);
  ASSERT_TRUE(answer);
  ASSERT_NE(caution(*answer, dial_cautions::flow_unprimed), nullptr);
  EXPECT_EQ(answer->cautions[0].code, dial_cautions::flow_unprimed);
  r.prime.spent = 2_units;
  EXPECT_EQ(caution(*plan(r), dial_cautions::flow_unprimed), nullptr);
  r = basic(Window::returns_to_zero);
  r.prime.flow_seen = true;
  EXPECT_EQ(caution(*plan(r), dial_cautions::flow_unprimed), nullptr);
}

// Pharmacist D9, D14: 200 typed for 20; 400 days in use.
TEST(Dial, H25_ADoseOrAPeriodThatNobodyHasIsSaidFirst) {
  DialRequest r = basic();
  r.dose = 80_units;
  EXPECT_EQ(caution(*plan(r), dial_cautions::dose_unusual), nullptr);
  r.dose = 200_units;
  const auto answer = plan(r);
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->cautions[0].code, dial_cautions::dose_unusual);
  r = basic();
  r.cartridges[0].in_use_days = 84;
  EXPECT_EQ(caution(*plan(r), dial_cautions::in_use_unusual), nullptr);
  r.cartridges[0].in_use_days = 85;
  EXPECT_NE(caution(*plan(r), dial_cautions::in_use_unusual), nullptr);
}

// Pharmacist D8.
TEST(Dial, H14_WhatTheShelfKnowsAsCloudyIsNotPlannedAsClear) {
  DialRequest r = basic();
  r.insulin.name = "human NPH insulin";
  const auto answer = plan(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, dial_codes::cloudy_as_clear);
  EXPECT_EQ(answer.error().kind, Kind::refused);
  EXPECT_EQ(answer.error().at, "/insulin/suspension");
  r.insulin.suspension = true;
  r.insulin.least_left_to_mix = 12_units;
  EXPECT_TRUE(plan(r));
}

// "mix until milky" and "it should be clear" in one plan.
TEST(Dial, H14_H58_WhatTheShelfKnowsAsClearIsNotPlannedAsCloudy) {
  DialRequest r = basic();
  r.insulin.suspension = true;
  r.insulin.least_left_to_mix = 12_units;
  r.insulin.name = "insulin glargine";
  const auto answer = plan(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, dial_codes::clear_as_cloudy);
  EXPECT_EQ(answer.error().kind, Kind::refused);
  EXPECT_EQ(answer.error().at, "/insulin/suspension");
  r.insulin.name = "insulin of the moon";
  EXPECT_TRUE(plan(r));
}

// "Not enough for 8 units next time", beside a cartridge that was changed for the 7 of now.
TEST(Dial, H58_WhatIsNotEnoughForThisDoseIsNotSaidOfTheNext) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 7_units;
  r.next_doses = {8_units};
  r.keep_in_pen = true;
  r.cartridges = {{"A", 3_units, 5, 28, {}}, {"B", 300_units, {}, 28, true}};
  const auto answer = plan(r);
  ASSERT_TRUE(answer);
  ASSERT_NE(caution(*answer, dial_cautions::rest_short), nullptr);
  EXPECT_EQ(caution(*answer, dial_cautions::rest_thrown_away), nullptr);
}

// "11 units is not enough for these 8 units": 12 have to be in it, so that it mixes.
TEST(Dial, H43_H58_WhatIsTooLittleToMixIsSaidSo) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 8_units;
  r.insulin.name = "human NPH insulin";
  r.insulin.suspension = true;
  r.insulin.least_left_to_mix = 12_units;
  r.keep_in_pen = true;
  r.cartridges = {{"A", 11_units, 5, 28, {}}, {"B", 300_units, {}, 28, true}};
  const auto answer = plan(r);
  ASSERT_TRUE(answer);
  EXPECT_NE(caution(*answer, dial_cautions::rest_short_to_mix), nullptr);
  EXPECT_EQ(caution(*answer, dial_cautions::rest_short), nullptr);
  r.cartridges.front().left = 9_units;  // too little for prime and dose, mixed or not
  EXPECT_NE(caution(*plan(r), dial_cautions::rest_short), nullptr);
}

// The only insulin in the house was thrown away before the next was there.
TEST(Dial, H38_TheLastInsulinStaysUntilTheNextIsInHand) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 20_units;
  r.cartridges = {{"A", 31_units, 5, 28, {}}};
  const auto alone = plan(r);
  ASSERT_TRUE(alone);
  EXPECT_EQ(alone->actions.back().what, Do::throw_away);
  EXPECT_TRUE(alone->actions.back().keep_until_next);
  EXPECT_NE(caution(*alone, dial_cautions::rest_kept), nullptr);
  EXPECT_EQ(caution(*alone, dial_cautions::rest_thrown_away), nullptr);
  r.cartridges.push_back({"B", 300_units, {}, 28, true});
  const auto two = plan(r);
  ASSERT_TRUE(two);
  EXPECT_TRUE(std::ranges::none_of(two->actions, &Action::keep_until_next));
  EXPECT_EQ(caution(*two, dial_cautions::rest_kept), nullptr);
}

TEST(Dial, H39_TheRestOfADoseIsTwelveNotTwentyTwo) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 12_units;
  r.part_of = 22_units;
  const auto answer = plan(r);
  EXPECT_EQ(answer->given, 12_units);
  EXPECT_EQ(dials(*answer)[0].window, 12_units);
  EXPECT_EQ(dials(*answer)[0].part_of, 22_units);
  const Caution* said = caution(*answer, dial_cautions::rest_of_dose);
  ASSERT_NE(said, nullptr);
  EXPECT_EQ(said->args[0], arg_units("dose", 12_units));
  EXPECT_EQ(said->args[1], arg_units("of", 22_units));
}

TEST(Dial, H39_EachStepOfASplitSaysItsOwnUnitsAndTheWhole) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 22_units;
  r.cartridges = {{"A", 12_units, 6, 28, {}}, {"B", 300_units, {}, 28, true}};
  EXPECT_EQ(dials(*plan(r)).size(), 1U);  // fewest needles
  r.prefer = draw::Prefer::least_waste;
  const auto split = plan(r);
  ASSERT_EQ(dials(*split).size(), 2U);
  EXPECT_EQ(dials(*split)[0].dose, 10_units);
  EXPECT_EQ(dials(*split)[1].dose, 12_units);
  EXPECT_EQ(dials(*split)[1].part_of, 22_units);
  EXPECT_NE(caution(*split, dial_cautions::split), nullptr);
  r.split = draw::Split::never;
  EXPECT_EQ(dials(*plan(r)).size(), 1U);
  r.split = draw::Split::if_short;
  EXPECT_EQ(dials(*plan(r)).size(), 1U);
  r.cartridges[1].left = 18_units;
  EXPECT_EQ(dials(*plan(r)).size(), 2U);
  r.split = draw::Split::never;
  EXPECT_EQ(refused_with(r), "dial.only_by_splitting");
}

TEST(Dial, H02_TheBalanceAfterPrimingIsWhatCounts) {
  DialRequest r = basic(Window::returns_to_zero);
  r.cartridges[0].left = 20_units;
  EXPECT_TRUE(plan(r));
  r.cartridges[0].left = 19_units;
  const auto answer = plan(r);
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, dial_codes::cartridge_short);
  EXPECT_EQ(answer.error().args[1], arg_units("most_together", 17_units));
  EXPECT_EQ(answer.error().args[2], arg_units("missing", 1_units));
}

TEST(Dial, H15_H34_H45_EveryInjectionHasItsOwnNeedleOnAndOff) {
  DialRequest r = basic(Window::returns_to_zero);
  r.dose = 150_units;
  const auto answer = plan(r);
  EXPECT_EQ(answer->needles, 3);
  int on = 0, off = 0;
  for (const Action& a : answer->actions) {
    if (a.what == Do::fit_needle) {
      EXPECT_EQ(on, off);  // never a second one on the first
      ++on;
    }
    if (a.what == Do::needle_off) ++off;
  }
  EXPECT_EQ(on, 3);
  EXPECT_EQ(off, 3);
}

TEST(Dial, H38_NothingIsThrownAwayBeforeTheDoseIsIn) {
  DialRequest r = basic(Window::returns_to_zero);
  r.cartridges = {
      {"old", 80_units, 30, 28, {}}, {"A", 12_units, 6, 28, {}}, {"B", 300_units, {}, 28, true}};
  const auto answer = plan(r);
  bool thrown = false;
  for (const Action& a : answer->actions) {
    if (a.what == Do::throw_away) thrown = true;
    if (a.what == Do::inject) {
      EXPECT_FALSE(thrown);
    }
  }
  EXPECT_TRUE(thrown);
  EXPECT_EQ(answer->thrown_away, 92_units);
  EXPECT_EQ(answer->left_after[0].left, 0_units);
  EXPECT_EQ(answer->left_after[1].left, 0_units);
  EXPECT_EQ(answer->left_after[2].left, 278_units);
}

TEST(Dial, H38_H51_SaysWhenNothingAtHandGivesTheNextDose) {
  DialRequest r = basic(Window::returns_to_zero);
  r.cartridges[0].left = 39_units;
  EXPECT_NE(caution(*plan(r), dial_cautions::nothing_for_next), nullptr);
  EXPECT_EQ(plan(r)->left_after[0].left, 0_units);  // 19 cannot prime and give 18 again
  r.cartridges[0].left = 40_units;
  EXPECT_EQ(caution(*plan(r), dial_cautions::nothing_for_next), nullptr);
  EXPECT_EQ(plan(r)->left_after[0].left, 20_units);
  r.next_doses = {{19_units, 1_units}};
  EXPECT_EQ(plan(r)->left_after[0].left, 0_units);
  r.next_doses = {{1_units, 19_units}};
  EXPECT_EQ(plan(r)->left_after[0].left, 20_units);
}

// ---- trade facts: common practice, no source

TEST(Dial, CommonPractice_FourToFlowAndADoseOfTwentyMake24InTheWindow) {
  DialRequest r = basic();
  r.dose = 20_units;
  r.prime.spent = 4_units;
  r.prime.flow_seen = true;
  r.cartridges = {{"A", 146_units, {}, 28, true}};  // 1.5 mL at 100 units/mL is 150, 4 are out
  EXPECT_EQ(dials(*plan(r))[0].window, 24_units);
  EXPECT_EQ(plan(r)->left_after[0].left, 126_units);  // 150 less all that was used
}

TEST(Dial, CommonPractice_WhenNothingShowsOneMoreUnitIsPressed) {
  DialRequest r = basic();
  for (std::int64_t spent = 2; spent <= 6; ++spent) {
    r.prime.spent = hundredths(spent * 100);
    EXPECT_EQ(plan(r)->primed, 1_units) << spent;
    EXPECT_EQ(dials(*plan(r))[0].window, hundredths((18 + spent + 1) * 100));
  }
}

TEST(Dial, CommonPractice_ANewCartridgeMayTakeFourToSixUnits) {
  DialRequest r = basic();
  r.cartridges = {{"A", 150_units, {}, 28, true}};
  const auto answer = plan(r);
  EXPECT_NE(caution(*answer, dial_cautions::new_may_take_more), nullptr);
  const auto rows = dials(*answer)[0].window_by_prime;
  EXPECT_EQ(rows.front(), (WindowRow{4_units, 22_units}));
  EXPECT_NE(std::find(rows.begin(), rows.end(), WindowRow{6_units, 24_units}), rows.end());
}

// ---- the order of refusals

// One request with everything wrong; each step mends the fault that was named, and the next in the
// list must be named.
using Mend = std::function<void(DialRequest&)>;
const std::pair<std::string_view, Mend> walk[] = {
      {dial_codes::dose_none, [](auto& q) { q.dose = 300.5_units; }},
      {dial_codes::dose_limit, [](auto& q) { q.dose = 18.5_units; }},
      {dial_codes::insulin_unnamed, [](auto& q) { q.insulin.name = "NPH insulin"; }},
      {dial_codes::strength_limit, [](auto& q) { q.insulin.strength = {100}; }},
      {dial_codes::cloudy_as_clear, [](auto& q) {
         q.insulin.suspension = true;
         q.insulin.name = "insulin glargine";
       }},
      {dial_codes::clear_as_cloudy, [](auto& q) { q.insulin.name = "NPH insulin"; }},
      {dial_codes::window_unknown, [](auto& q) { q.pen.window = Window::counts_on; }},
      {dial_codes::step_limit, [](auto& q) { q.pen.step = 1_units; }},
      {dial_codes::most_limit, [](auto& q) { q.pen.most = 60_units; }},
      {dial_codes::hold_limit, [](auto& q) { q.pen.hold_seconds = 10; }},
      {dial_codes::dose_not_in_steps, [](auto& q) { q.dose = 18_units; }},
      {dial_codes::part_of_limit, [](auto& q) { q.part_of.reset(); }},
      {dial_codes::prime_limit, [](auto& q) { q.prime.units = 60_units; }},
      {dial_codes::prime_limit, [](auto& q) { q.prime.new_cartridge = 60_units; }},
      {dial_codes::spent_limit, [](auto& q) { q.prime.spent = 0.5_units; }},
      {dial_codes::spent_not_in_steps, [](auto& q) { q.prime.spent = 0_units; }},
      {dial_codes::through_limit, [](auto& q) { q.prime.through_needle.reset(); }},
      {dial_codes::dry_limit, [](auto& q) { q.prime.dry_primes = 3; }},
      {dial_codes::dry_spent, [](auto& q) { q.prime.flow_seen = false; }},
      {dial_codes::next_dose_limit, [](auto& q) { q.next_doses = {{0_units}}; }},
      {dial_codes::next_dose_limit, [](auto& q) { q.next_doses = {{0.5_units}}; }},
      {dial_codes::next_dose_not_in_steps, [](auto& q) { q.next_doses.reset(); }},
      {dial_codes::least_to_mix_limit, [](auto& q) { q.insulin.least_left_to_mix = 12_units; }},
      {dial_codes::no_cartridge,
       [](auto& q) {
         q.cartridges.resize(41, {"", 1501_units, {}, 0, {}});
       }},
      {dial_codes::too_many_cartridges, [](auto& q) { q.cartridges.resize(2); }},
      {dial_codes::cartridge_id,
       [](auto& q) {
         for (auto& c : q.cartridges) c.id = "A";
       }},
      {dial_codes::cartridge_twice, [](auto& q) { q.cartridges[1].id = "B"; }},
      {dial_codes::left_limit,
       [](auto& q) {
         for (auto& c : q.cartridges) c.left = 11_units;
       }},
      {dial_codes::in_use_days_limit,
       [](auto& q) {
         for (auto& c : q.cartridges) c.in_use_days = 28;
       }},
      {dial_codes::days_in_use_unknown,
       [](auto& q) {
         for (auto& c : q.cartridges) c.days_in_use = -1;
       }},
      {dial_codes::days_in_use_limit,
       [](auto& q) {
         for (auto& c : q.cartridges) c.days_in_use = 28;
       }},
      {dial_codes::no_flow, [](auto& q) { q.prime.needle_changed = false; q.prime.dry_primes = 0; }},
      {dial_codes::all_past_in_use,
       [](auto& q) {
         for (auto& c : q.cartridges) c.days_in_use = 3;
       }},
      {dial_codes::prime_fills_window, [](auto& q) { q.prime.units = 2_units; }},
      {dial_codes::mix_too_little,
       [](auto& q) {
         for (auto& c : q.cartridges) c.left = 19_units;
       }},
      {dial_codes::only_by_splitting, [](auto& q) { q.cartridges.pop_back(); }},
      {dial_codes::cartridge_short, [](auto& q) { q.cartridges[0].left = 20_units; }}};

TEST(Dial, H25_RefusalsComeInTheirDeclaredOrder) {
  DialRequest r;
  r.part_of = 1_units;
  r.pen.hold_seconds = 0;
  r.insulin.least_left_to_mix = 1501_units;
  r.prime = {.units = 61_units,
             .new_cartridge = 61_units,
             .spent = 301_units,
             .through_needle = 1_units,
             .flow_seen = true,
             .dry_primes = 101,
             .needle_changed = true};
  r.next_doses = std::vector<Units>{};
  std::vector<std::string_view> met;
  for (const auto& [code, mend] : walk) {
    ASSERT_EQ(refused_with(r), code);
    if (met.empty() || met.back() != code) met.push_back(code);
    mend(r);
  }
  EXPECT_TRUE(plan(r));
  // The walk has met the whole list, in its order.
  EXPECT_TRUE(std::equal(met.begin(), met.end(), refusals().begin(), refusals().end()));
}

TEST(Dial, H25_AFaultNamesItsPlace) {
  DialRequest r = basic();
  r.cartridges.push_back({"B", 1500.01_units, 1, 28, {}});
  EXPECT_EQ(plan(r).error().at, "/cartridges/1/left_units");
  r.cartridges.pop_back();
  r.next_doses = {{18_units, 18.5_units}};
  EXPECT_EQ(plan(r).error().at, "/next_doses_units/1");
}

// ---- every plan is carried out, and a second judge looks for a better one

/// Carries the plan out on a pen as the contract describes one, action by action; says what is
/// wrong.
std::string carried_out(const DialRequest& r, const DialPlan& plan) {
  std::vector<std::int64_t> left;
  for (const Cartridge& c : r.cartridges) left.push_back(c.left.hundredths());
  const bool counts_on = r.pen.window == Window::counts_on;
  bool needle = !r.prime.spent.is_zero() || r.prime.flow_seen;
  bool flows = r.prime.flow_seen, mixed = false;
  std::int64_t shown = counts_on && needle ? r.prime.spent.hundredths() : 0, given = 0, dialled = 0;
  int injections = 0;
  for (const Action& a : plan.actions) {
    const std::size_t c = a.cartridge;
    if (a.what == Do::mix) mixed = true;
    if (a.what == Do::fit_needle && std::exchange(needle, true)) return "two needles";
    if (a.what == Do::needle_off) {
      if (!std::exchange(needle, false)) return "no needle to take off";
      flows = false;
      shown = 0;
    }
    if (a.what == Do::prime) {
      if (!needle || a.primed.is_zero()) return "prime without needle or units";
      left[c] -= a.primed.hundredths();
      if (counts_on) shown += a.primed.hundredths();
      flows = true;
    }
    if (a.what == Do::dial) {
      if (!needle || !flows) return "dial without flow";
      if (r.insulin.suspension && !mixed) return "dial without mixing";
      if (a.window > r.pen.most) return "beyond the window";
      dialled = a.window.hundredths() - shown;
      if (dialled != a.dose.hundredths() || dialled % r.pen.step.hundredths() != 0) return "window";
    }
    if (a.what == Do::inject) {
      left[c] -= dialled;
      given += dialled;
      ++injections;
      mixed = false;
    }
    if (a.what == Do::throw_away) {
      if (left[c] != a.left.hundredths()) return "thrown away is not what is left";
      left[c] = 0;
    } else if (a.left.hundredths() != left[c] && a.what != Do::needle_off) {
      return "left after an action";
    }
    if (left[c] < 0) return "more than is in it";
  }
  if (needle) return "needle left on";
  if (given != r.dose.hundredths() || plan.given != r.dose) return "not the dose";
  if (injections != plan.needles) return "needles";
  for (std::size_t i = 0; i < left.size(); ++i) {
    if (left[i] != plan.left_after[i].left.hundredths()) return "left after";
  }
  return "";
}

struct Least {
  std::int64_t first = 1 << 30, second = 1 << 30;
  bool any = false;
};

/// Looks at every way to give the dose, with only the contract's words: fewest injections and
/// waste, in the order of the preference. Waste leaves out what is past its days: no plan can save
/// it.
class Exhaustive {
 public:
  explicit Exhaustive(const DialRequest& r) : r_(r), step_(r.pen.step.hundredths()) {
    for (const Cartridge& c : r.cartridges) left_.push_back(c.left.hundredths());
    injections_.assign(left_.size(), 0);
    for (std::size_t i = 0; i < left_.size(); ++i) {
      if (serves(i)) {
        first_ = i;
        break;
      }
    }
    go(0, r.dose.hundredths(), 0, 0);
  }
  Least least;

 private:
  bool serves(std::size_t i) const {
    return r_.cartridges[i].days_in_use.value_or(0) < r_.cartridges[i].in_use_days;
  }
  bool fresh(std::size_t i) const {
    const Cartridge& c = r_.cartridges[i];
    if (c.is_new) return *c.is_new;
    return c.days_in_use == 0 && (i != first_ || r_.prime.spent.is_zero());
  }
  std::int64_t rule(bool is_new) const {
    return (is_new ? *r_.prime.new_cartridge : r_.prime.units).hundredths();
  }
  /// Pressed before this injection, and what stays in the count.
  std::pair<std::int64_t, std::int64_t> prime(std::size_t i) const {
    const std::int64_t whole = rule(fresh(i) && injections_[i] == 0);
    const std::int64_t spent = i == first_ && injections_[i] == 0 ? r_.prime.spent.hundredths() : 0;
    if (i == first_ && injections_[i] == 0 && r_.prime.flow_seen) return {0, spent};
    const std::int64_t now = std::max(whole - spent, step_);
    return {now, now + spent};
  }
  bool shows(std::int64_t dose, std::int64_t counted) const {
    return dose + (r_.pen.window == Window::counts_on ? counted : 0) <= r_.pen.most.hundredths();
  }
  bool mixes(std::int64_t left) const {
    return !r_.insulin.suspension || left >= r_.insulin.least_left_to_mix->hundredths();
  }
  bool gives_next(std::int64_t left, std::int64_t dose, bool is_new) const {
    if (dose == 0) return true;
    const std::int64_t p = std::max(rule(is_new), step_);
    if (!mixes(left)) return false;
    for (std::int64_t part = step_; part <= dose && p + part <= left; part += step_) {
      if (shows(part, p) && gives_next(left - p - part, dose - part, false)) return true;
    }
    return false;
  }
  void go(std::size_t i, std::int64_t open, int needles, std::int64_t primed) {
    if (open == 0) return weigh(needles, primed);
    if (i == left_.size()) return;
    const bool other = std::any_of(injections_.begin(), injections_.begin() + static_cast<long>(i),
                                   [](int n) { return n > 0; });
    if (serves(i) && mixes(left_[i]) && !(other && r_.insulin.suspension)) {
      const auto [now, counted] = prime(i);
      for (std::int64_t part = step_; part <= open && now + part <= left_[i]; part += step_) {
        if (!shows(part, counted)) break;
        left_[i] -= now + part;
        ++injections_[i];
        go(i, open - part, needles + 1, primed + now);
        --injections_[i];
        left_[i] += now + part;
      }
    }
    go(i + 1, open, needles, primed);
  }
  void weigh(int needles, std::int64_t primed) {
    std::int64_t waste = primed;
    const std::int64_t next = (r_.next_doses ? r_.next_doses->front() : r_.dose).hundredths();
    for (std::size_t i = 0; i < left_.size(); ++i) {
      if (!serves(i)) continue;
      const bool touched = injections_[i] > 0;
      const bool needle = i == first_ && (!r_.prime.spent.is_zero() || r_.prime.flow_seen);
      if (!touched && r_.cartridges[i].is_new.value_or(false) && !needle) continue;
      const bool is_new = fresh(i) && !touched && !(i == first_ && r_.prime.flow_seen);
      if (!gives_next(left_[i], next, is_new)) waste += left_[i];
    }
    const bool few = r_.prefer == draw::Prefer::fewest_needles;
    const auto found = few ? std::pair<std::int64_t, std::int64_t>{needles, waste}
                           : std::pair<std::int64_t, std::int64_t>{waste, needles};
    if (least.any && std::pair(least.first, least.second) <= found) return;
    least = {found.first, found.second, true};
  }

  const DialRequest& r_;
  std::int64_t step_;
  std::vector<std::int64_t> left_;
  std::vector<int> injections_;
  std::size_t first_ = 1000;
};

std::string told(const DialRequest& r) {
  std::string s = "dose " + format(r.dose) + " step " + format(r.pen.step) + " most " +
                  format(r.pen.most) + " spent " + format(r.prime.spent);
  for (const Cartridge& c : r.cartridges) {
    s += " [" + format(c.left) + " day " + std::to_string(c.days_in_use.value_or(-1)) + "]";
  }
  return s;
}

/// Returns 1 when there was a plan.
int check(const DialRequest& r) {
  const auto answer = plan(r);
  const Exhaustive all(r);
  EXPECT_EQ(answer.has_value(), all.least.any) << told(r) << (answer ? "" : answer.error().code);
  if (!answer || !all.least.any) return 0;
  EXPECT_EQ(carried_out(r, *answer), "") << told(r);
  std::int64_t waste = answer->primed.hundredths();
  for (const Action& a : answer->actions) {
    const Cartridge& c = r.cartridges[a.cartridge];
    if (a.what == Do::throw_away && c.days_in_use.value_or(0) < c.in_use_days) {
      waste += a.left.hundredths();
    }
  }
  const bool few = r.prefer == draw::Prefer::fewest_needles;
  EXPECT_EQ(few ? answer->needles : waste, all.least.first) << told(r);
  EXPECT_EQ(few ? waste : answer->needles, all.least.second) << told(r);
  return 1;
}

// Steps, windows, preferences, suspension or clear, spent and flow, next dose, and three cartridges
// of every kind (in use, on its first day, sealed, past its days) with every rest: walked whole.
class Walked : public testing::TestWithParam<std::int64_t> {};
TEST_P(Walked, EveryPlanIsCarriedOutAndNoneIsBetter) {
  const std::int64_t step = GetParam();
  int plans = 0;
  const auto cartridge = [&](const char* id, int kind, std::int64_t steps) {
    Cartridge c{id, hundredths(steps * step), 5, 28, {}};
    if (kind == 1) c.days_in_use = 0;
    if (kind == 2) c = {id, c.left, {}, 28, true};
    if (kind == 3) c.days_in_use = 28;
    return c;
  };
  for (int bits = 0; bits < 16; ++bits) {
    for (int kinds = 0; kinds < 16; ++kinds) {
      for (std::int64_t a = 1; a <= 9; a += 2) {
        for (std::int64_t b = 0; b <= 8; b += 4) {
          for (const std::int64_t dose : {1, 3, 5}) {
            DialRequest r;
            r.dose = hundredths(dose * step);
            r.insulin = {"any", Strength{100}, (bits & 1) != 0, hundredths(3 * step)};
            r.pen = {hundredths(step), hundredths(4 * step),
                     (bits & 2) != 0 ? Window::counts_on : Window::returns_to_zero, 10};
            r.prefer = (bits & 4) != 0 ? draw::Prefer::least_waste : draw::Prefer::fewest_needles;
            if ((bits & 8) != 0) r.next_doses = {{hundredths(2 * step)}};
            r.prime = {.units = hundredths(step), .new_cartridge = hundredths(2 * step)};
            if (a % 3 == 0) r.prime.spent = hundredths(step);
            r.prime.flow_seen = b == 4;
            r.cartridges = {cartridge("A", kinds & 3, a), cartridge("B", kinds >> 2, b),
                            cartridge("C", (kinds + bits) & 3, 9 - a)};
            plans += check(r);
            if (HasFailure()) return;
          }
        }
      }
    }
  }
  EXPECT_GT(plans, 5'000);
}
INSTANTIATE_TEST_SUITE_P(Steps, Walked, testing::Values(50, 100, 200, 500));

}  // namespace
}  // namespace penstock::dial
