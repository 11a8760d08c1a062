#include "core/draw/draw.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>
#include <tuple>

namespace penstock::draw {
namespace {

using namespace literals;
using shelf::Window;

Units hundredths(std::int64_t n) { return *Units::from_hundredths(n); }

// ---- a second, simpler judge: it does every injection one after the other, in every possible way,
// and compares the outcomes. It shares no arithmetic with the room.

struct World {
  Rules rules;
  std::vector<AtHand> at_hand;
  Request request;
};

struct Tried {
  std::vector<std::size_t> cartridge;
  std::vector<std::int64_t> dose;  // hundredths
  std::int64_t waste = 0;
  std::vector<std::int64_t> left_after;
};

class Judge {
 public:
  explicit Judge(const World& world) : w_(world), step_(w_.rules.step.hundredths()) {
    for (std::size_t i = 0; i < w_.at_hand.size(); ++i) rank_.push_back(i);
    std::stable_sort(rank_.begin(), rank_.end(), [&](std::size_t a, std::size_t b) {
      return std::tuple(w_.at_hand[a].is_new, w_.at_hand[a].days_to_end) <
             std::tuple(w_.at_hand[b].is_new, w_.at_hand[b].days_to_end);
    });
    order_ = rank_;
    if (w_.request.on_needle) {
      const auto on = std::find(order_.begin(), order_.end(), w_.request.on_needle->cartridge);
      std::rotate(order_.begin(), on, on + 1);
    }
  }

  std::optional<Tried> best() {
    std::vector<std::int64_t> left;
    for (const AtHand& a : w_.at_hand) left.push_back(a.left.hundredths());
    go(0, 0, left, w_.request.dose.hundredths(), {});
    return best_;
  }

 private:
  struct First {
    std::int64_t primed = 0;
    std::int64_t in_window = 0;
  };
  std::int64_t pressed(std::int64_t amount) const {
    std::int64_t n = step_;
    while (n < amount) n += step_;
    return n;
  }
  std::int64_t rule(bool is_new) const {
    return (is_new ? w_.rules.prime_new_cartridge : w_.rules.prime).hundredths();
  }
  First prime(std::size_t c, int injection) const {
    if (injection > 0) return {pressed(rule(false)), pressed(rule(false))};
    const bool is_new = w_.at_hand[c].is_new;
    const auto& on = w_.request.on_needle;
    if (!on || on->cartridge != c) return {pressed(rule(is_new)), pressed(rule(is_new))};
    const std::int64_t spent = on->spent.hundredths();
    if (on->flow_seen) return {0, spent};
    const std::int64_t rest = rule(is_new) - on->primed.hundredths();
    const std::int64_t now = pressed(on->change ? rule(is_new) : rest);
    return {now, now + spent};
  }
  bool allowed(std::int64_t left, First prime, std::int64_t dose) const {
    const std::int64_t shown = dose + (w_.rules.window == Window::counts_on ? prime.in_window : 0);
    if (shown > w_.rules.most.hundredths() || left < prime.primed + dose) return false;
    return !w_.rules.suspension || left >= w_.rules.least_left_to_mix.hundredths();
  }
  /// Whether a rest can give the next dose alone, in any number of injections.
  bool can_give(std::int64_t left, std::int64_t dose, bool is_new) {
    if (dose == 0) return true;
    const std::int64_t p = pressed(rule(is_new));
    for (std::int64_t part = step_; part <= dose; part += step_) {
      if (allowed(left, {p, p}, part) && can_give(left - p - part, dose - part, false)) return true;
    }
    return false;
  }
  bool goes(std::size_t c, std::int64_t left, bool touched) {
    const auto& on = w_.request.on_needle;
    const bool needle = on && on->cartridge == c;
    if (!touched && w_.at_hand[c].sealed && !needle) return false;
    const bool is_new = !touched && w_.at_hand[c].is_new && !(needle && on->flow_seen);
    const auto key = std::pair(left, is_new);
    const auto known = can_.find(key);
    if (known != can_.end()) return !known->second;
    const bool can = can_give(left, w_.request.next_dose.hundredths(), is_new);
    can_[key] = can;
    return !can;
  }

  void go(std::size_t place, int injection, std::vector<std::int64_t>& left, std::int64_t open,
          Tried so_far) {
    if (open == 0) return judge(left, std::move(so_far));
    if (place == order_.size()) return;
    const std::size_t c = order_[place];
    if (only_ && *only_ != c) return go(place + 1, 0, left, open, std::move(so_far));
    const First p = prime(c, injection);
    const bool other_used = !so_far.cartridge.empty() && so_far.cartridge.front() != c;
    const bool may_split = !w_.rules.suspension && w_.request.split != Split::never && !alone_only_;
    if (!other_used || may_split) {
      for (std::int64_t part = step_; part <= open; part += step_) {
        if (!allowed(left[c], p, part)) continue;
        Tried next = so_far;
        next.cartridge.push_back(c);
        next.dose.push_back(part);
        next.waste += p.primed;
        left[c] -= p.primed + part;
        go(place, injection + 1, left, open - part, std::move(next));
        left[c] += p.primed + part;
      }
    }
    go(place + 1, 0, left, open, std::move(so_far));
  }
  void judge(const std::vector<std::int64_t>& left, Tried tried) {
    tried.left_after = left;
    for (std::size_t c = 0; c < left.size(); ++c) {
      const bool touched =
          std::find(tried.cartridge.begin(), tried.cartridge.end(), c) != tried.cartridge.end();
      if (!goes(c, left[c], touched)) continue;
      tried.waste += left[c];
      tried.left_after[c] = 0;
    }
    if (!best_ || better(tried, *best_)) best_ = std::move(tried);
  }
  bool better(const Tried& a, const Tried& b) const {
    const auto n_a = a.cartridge.size(), n_b = b.cartridge.size();
    const bool by_needles = w_.request.prefer == Prefer::fewest_needles;
    if (by_needles && n_a != n_b) return n_a < n_b;
    if (a.waste != b.waste) return a.waste < b.waste;
    if (n_a != n_b) return n_a < n_b;
    const auto ranks = [&](const Tried& t) {
      std::vector<std::size_t> r;
      for (const std::size_t c : t.cartridge) {
        r.push_back(
            static_cast<std::size_t>(std::find(rank_.begin(), rank_.end(), c) - rank_.begin()));
      }
      std::sort(r.begin(), r.end());
      return r;
    };
    if (const auto r_a = ranks(a), r_b = ranks(b); r_a != r_b) return r_a < r_b;
    const auto squares = [&](const Tried& t) {
      std::int64_t s = 0;
      for (const auto d : t.dose) s += (d / step_) * (d / step_);
      return s;
    };
    if (squares(a) != squares(b)) return squares(a) < squares(b);
    return a.dose > b.dose;
  }

 public:
  bool alone_only_ = false;
  std::optional<std::size_t> only_;

 private:
  const World& w_;
  std::int64_t step_;
  std::vector<std::size_t> rank_, order_;
  std::optional<Tried> best_;
  std::map<std::pair<std::int64_t, bool>, bool> can_;
};

std::optional<Tried> judged_freely(const World& world) {
  if (world.request.split == Split::if_short) {
    Judge alone(world);
    alone.alone_only_ = true;
    if (auto best = alone.best()) return best;
  }
  return Judge(world).best();
}

std::optional<Tried> judged_alone(const World& world, std::size_t cartridge) {
  Judge alone(world);
  alone.only_ = cartridge;
  return alone.best();
}

/// The one in the pen, where it alone needs no more injections than the best, or would not with
/// nothing in its window.
std::optional<Tried> judged(const World& world) {
  auto best = judged_freely(world);
  const auto& request = world.request;
  if (!best || !request.stays || request.prefer != Prefer::fewest_needles) return best;
  auto alone = judged_alone(world, *request.stays);
  if (!alone) return best;
  auto clear = world;
  clear.request.on_needle = {};
  const auto with_clear = judged_alone(clear, *request.stays);
  const auto fewest = best->cartridge.size();
  const bool enough =
      alone->cartridge.size() <= fewest || (with_clear && with_clear->cartridge.size() <= fewest);
  return enough ? alone : best;
}

std::string told(const World& w) {
  std::string s = "step " + format(w.rules.step) + " most " + format(w.rules.most) +
                  (w.rules.window == Window::counts_on ? " counts on" : " returns") + " prime " +
                  format(w.rules.prime) + "/" + format(w.rules.prime_new_cartridge) +
                  (w.rules.suspension ? " mix " + format(w.rules.least_left_to_mix) : "") +
                  " dose " + format(w.request.dose) + " next " + format(w.request.next_dose) +
                  " prefer " + std::to_string(static_cast<int>(w.request.prefer)) + " split " +
                  std::to_string(static_cast<int>(w.request.split));
  for (const AtHand& a : w.at_hand) {
    s += " [" + format(a.left) + (a.is_new ? " new" : "") + (a.sealed ? " sealed" : "") + " end " +
         std::to_string(a.days_to_end) + "]";
  }
  if (const auto& on = w.request.on_needle) {
    s += " needle on " + std::to_string(on->cartridge) + " spent " + format(on->spent) +
         " primed " + format(on->primed) + (on->flow_seen ? " seen" : "") +
         (on->change ? " change" : "");
  }
  if (w.request.stays) s += " stays " + std::to_string(*w.request.stays);
  return s;
}

/// Compares everything: parts, windows, what is left, waste.
void compare(const World& w) {
  const auto best = judged(w);
  const auto choice = choose(w.rules, w.at_hand, w.request);
  ASSERT_EQ(choice.has_value(), best.has_value()) << told(w);
  if (!best) return;
  ASSERT_EQ(choice->parts.size(), best->dose.size()) << told(w);
  std::int64_t primed = 0;
  for (std::size_t i = 0; i < best->dose.size(); ++i) {
    const Part& part = choice->parts[i];
    ASSERT_EQ(part.cartridge, best->cartridge[i]) << told(w) << " part " << i;
    ASSERT_EQ(part.dose.hundredths(), best->dose[i]) << told(w) << " part " << i;
    const std::int64_t counted = w.rules.window == Window::counts_on
                                     ? part.primed.hundredths() + part.spent.hundredths()
                                     : 0;
    ASSERT_EQ(part.window.hundredths(), part.dose.hundredths() + counted) << told(w);
    ASSERT_LE(part.window, w.rules.most) << told(w);
    primed += part.primed.hundredths();
  }
  ASSERT_EQ(choice->primed.hundredths(), primed) << told(w);
  ASSERT_EQ(choice->wasted.hundredths(), best->waste) << told(w);
  // Conservation: what was there is given, primed, thrown away or left.
  std::int64_t before = 0, after = 0;
  for (std::size_t c = 0; c < w.at_hand.size(); ++c) {
    ASSERT_EQ(choice->left_after[c].hundredths(), best->left_after[c]) << told(w) << " of " << c;
    before += w.at_hand[c].left.hundredths();
    after += best->left_after[c];
  }
  ASSERT_EQ(before, after + best->waste + w.request.dose.hundredths()) << told(w);
}

Rules rules(Window window, Units step, Units most, Units prime, Units prime_new) {
  return {.step = step,
          .most = most,
          .window = window,
          .prime = prime,
          .prime_new_cartridge = prime_new};
}
Request asks(Units dose, std::optional<Units> next = {}, Prefer prefer = Prefer::fewest_needles) {
  return {.dose = dose, .next_dose = next.value_or(dose), .prefer = prefer};
}

// ---- the judge's rounds

// Every left from empty up, every dose, both windows, each step, each preference: one cartridge.
TEST(Draw, OneCartridgeWalkedWhole) {
  for (const std::int64_t step : {50, 100, 200, 500}) {
    for (const auto window : {Window::counts_on, Window::returns_to_zero}) {
      for (std::int64_t most = 3; most <= 5; ++most) {
        for (std::int64_t dose = 1; dose <= 6; ++dose) {
          for (std::int64_t left = 0; left <= 12 * step; left += step / 2) {
            for (const bool is_new : {false, true}) {
              World w{rules(window, hundredths(step), hundredths(most * step), hundredths(step),
                            hundredths(2 * step)),
                      {{.left = hundredths(left), .is_new = is_new}},
                      asks(hundredths(dose * step))};
              compare(w);
              if (HasFatalFailure()) return;
            }
          }
        }
      }
    }
  }
}

// Two cartridges, each with every rest, both preferences, two kinds of next dose, prime already
// spent or not: 8 * 9 * 9 * ... ways, all of them.
TEST(Draw, TwoCartridgesWalkedWhole) {
  for (const auto window : {Window::counts_on, Window::returns_to_zero}) {
    for (const auto prefer : {Prefer::fewest_needles, Prefer::least_waste}) {
      for (const std::int64_t next : {2, 4}) {
        for (std::int64_t a = 0; a <= 9; ++a) {
          for (std::int64_t b = 0; b <= 9; ++b) {
            for (std::int64_t dose = 1; dose <= 5; ++dose) {
              for (int kind = 0; kind < 6; ++kind) {
                World w{rules(window, 1_units, 4_units, 1_units, 2_units),
                        {{.left = hundredths(a * 100), .days_to_end = 9},
                         {.left = hundredths(b * 100), .is_new = kind % 2 == 1, .days_to_end = 3}},
                        asks(hundredths(dose * 100), hundredths(next * 100), prefer)};
                if (kind >= 2) {
                  w.request.on_needle =
                      OnNeedle{.spent = 1_units, .primed = 1_units, .flow_seen = kind >= 4};
                }
                compare(w);
                if (HasFatalFailure()) return;
              }
            }
          }
        }
      }
    }
  }
}

// Any mix, from a printed seed: steps, windows, most, primes off the step, rests off the step, new
// and sealed ones, ends, needles on, suspensions, next doses, preferences, splits.
class AnyMix : public testing::TestWithParam<std::uint32_t> {};
TEST_P(AnyMix, AgreesWithTheJudge) {
  std::mt19937 random(GetParam());
  const auto pick = [&](std::uint32_t n) { return static_cast<std::int64_t>(random() % n); };
  int answered = 0;
  for (int round = 0; round < 6'000; ++round) {
    constexpr std::int64_t steps[] = {50, 100, 200, 500};
    const std::int64_t step = steps[pick(4)];
    World w{
        rules(pick(2) == 0 ? Window::counts_on : Window::returns_to_zero, hundredths(step),
              hundredths((2 + pick(6)) * step + (pick(4) == 0 ? 10 : 0)),
              hundredths(pick(3) * step / (1 + pick(2))), hundredths((1 + pick(5)) * step)),
        {},
        {.dose = hundredths((1 + pick(7)) * step), .next_dose = hundredths((1 + pick(8)) * step)}};
    if (pick(2) == 0) w.request.next_dose = w.request.dose;
    w.request.prefer = pick(2) == 0 ? Prefer::fewest_needles : Prefer::least_waste;
    w.request.split = static_cast<Split>(pick(5) < 3 ? 0 : pick(3));
    w.rules.suspension = pick(5) == 0;
    if (w.rules.suspension) w.rules.least_left_to_mix = hundredths(pick(7) * step);
    const std::int64_t n = 1 + pick(3);
    for (std::int64_t i = 0; i < n; ++i) {
      const bool is_new = pick(3) == 0;
      const std::int64_t left = pick(13) * step + (pick(3) == 0 ? pick(50) : 0);
      w.at_hand.push_back({.left = hundredths(left),
                           .is_new = is_new,
                           .sealed = is_new && pick(2) == 0,
                           .days_to_end = static_cast<std::int32_t>(pick(3))});
    }
    if (pick(3) == 0) {
      const auto spent = pick(4);
      w.request.on_needle = OnNeedle{
          static_cast<std::size_t>(pick(static_cast<std::uint32_t>(n))), hundredths(spent * step),
          hundredths(pick(3) == 0 ? 0 : spent * step), pick(2) == 0, false};
      w.request.on_needle->change = !w.request.on_needle->flow_seen && pick(3) == 0;
    }
    if (pick(2) == 0) w.request.stays = pick(static_cast<std::uint32_t>(n));
    compare(w);
    if (HasFatalFailure()) return;
    answered += choose(w.rules, w.at_hand, w.request).has_value() ? 1 : 0;
  }
  EXPECT_GT(answered, 2'000);  // the mix must not be mostly refusals
}
INSTANTIATE_TEST_SUITE_P(Seeds, AnyMix, testing::Values(20240601, 20240602, 20240603, 20240604));

// ---- cases that a person can read

TEST(Draw, FewestNeedlesChangesBeforeTheInjectionAndLeastWasteUsesTheRest_H02) {
  const Rules r = rules(Window::returns_to_zero, 1_units, 60_units, 2_units, 4_units);
  const std::vector<AtHand> at_hand{
      {.left = 12_units, .days_to_end = 10},
      {.left = 300_units, .is_new = true, .sealed = true, .days_to_end = 28}};
  const auto few = choose(r, at_hand, asks(18_units));
  ASSERT_TRUE(few);
  ASSERT_EQ(few->parts.size(), 1U);
  EXPECT_EQ(few->parts[0].cartridge, 1U);
  EXPECT_EQ(few->parts[0].primed, 4_units);
  EXPECT_EQ(few->left_after[0], 0_units);
  EXPECT_EQ(few->thrown[0], 12_units);
  EXPECT_EQ(few->left_after[1], 278_units);
  EXPECT_EQ(few->wasted, 16_units);

  const auto thrifty = choose(r, at_hand, asks(18_units, {}, Prefer::least_waste));
  ASSERT_TRUE(thrifty);
  ASSERT_EQ(thrifty->parts.size(), 2U);
  EXPECT_EQ(thrifty->parts[0].dose, 10_units);
  EXPECT_EQ(thrifty->parts[1].dose, 8_units);
  EXPECT_EQ(thrifty->wasted, 6_units);
}

// 38 left, 22 needed: the least waste of this dose would leave the 38 in a cartridge that no later
// dose would be planned from.
TEST(Draw, WhatIsInThePenStaysWhileItGivesTheDose_H02) {
  const Rules r = rules(Window::returns_to_zero, 1_units, 60_units, 2_units, 4_units);
  const std::vector<AtHand> at_hand{
      {.left = 38_units, .days_to_end = 10},
      {.left = 300_units, .is_new = true, .sealed = true, .days_to_end = 28}};
  Request request = asks(20_units);
  EXPECT_EQ(choose(r, at_hand, request)->parts.front().cartridge, 1U);
  request.stays = 0;
  const auto kept = choose(r, at_hand, request);
  ASSERT_EQ(kept->parts.size(), 1U);
  EXPECT_EQ(kept->parts.front().cartridge, 0U);
  EXPECT_EQ(kept->thrown[0], 16_units);
  EXPECT_EQ(kept->left_after[1], 300_units);
  request.dose = 40_units;  // more than it holds: changed as ever
  EXPECT_EQ(choose(r, at_hand, request)->parts.front().cartridge, 1U);
  request.dose = 20_units;
  request.prefer = Prefer::least_waste;  // asked for by name
  EXPECT_EQ(choose(r, at_hand, request)->wasted, 4_units);
}

// Eight units of dry primes stand in the window: 30 do not fit beside them, and the cartridge is
// nearly full.
TEST(Draw, WhatPrimingLeftInTheWindowOpensNoOtherCartridge_H02_H58) {
  const Rules r = rules(Window::counts_on, 1_units, 36_units, 2_units, 4_units);
  const std::vector<AtHand> at_hand{
      {.left = 292_units, .is_new = true, .days_to_end = 28},
      {.left = 300_units, .is_new = true, .sealed = true, .days_to_end = 28}};
  Request request = asks(30_units);
  for (const bool seen : {false, true}) {
    request.on_needle = OnNeedle{.spent = 8_units, .flow_seen = seen};
    request.stays = {};
    EXPECT_EQ(choose(r, at_hand, request)->parts.front().cartridge, 1U);
    request.stays = 0;
    const auto kept = choose(r, at_hand, request);
    ASSERT_EQ(kept->parts.size(), 2U);
    EXPECT_EQ(kept->parts[0].cartridge, 0U);
    EXPECT_EQ(kept->parts[1].cartridge, 0U);
    EXPECT_EQ(kept->parts[0].window, seen ? 23_units : 27_units);
    EXPECT_EQ(kept->parts[1].window, 17_units);
  }
}

// Three of a new cartridge's four units of prime are out. Left alone it would need four again and
// be thrown away; one unit from it makes it a cartridge in use, which can give the next dose.
TEST(Draw, ARestMayBeSavedByGivingALittleOfIt) {
  World w{
      rules(Window::returns_to_zero, 1_units, 60_units, 1_units, 4_units),
      {{.left = 8_units, .is_new = true, .days_to_end = 9}, {.left = 20_units, .days_to_end = 9}},
      asks(5_units, {}, Prefer::least_waste)};
  w.request.on_needle = OnNeedle{.spent = 3_units, .primed = 3_units};
  compare(w);
  EXPECT_EQ(choose(w.rules, w.at_hand, w.request)->wasted, 2_units);
}

TEST(Draw, ALargerDoseIsDividedAsEvenlyAsTheStepAllowsLargerFirst) {
  const std::vector<AtHand> one{{.left = 300_units, .days_to_end = 20}};
  const auto parts = [&](Window window, Units step, Units most, Units dose) {
    const auto choice = choose(rules(window, step, most, 2_units, 4_units), one, asks(dose));
    std::string text;
    for (const Part& part : choice->parts) text += format(part.window) + " ";
    return text;
  };
  EXPECT_EQ(parts(Window::returns_to_zero, 1_units, 60_units, 101_units), "51 50 ");
  EXPECT_EQ(parts(Window::returns_to_zero, 0.5_units, 30_units, 45.5_units), "23 22.5 ");
  EXPECT_EQ(parts(Window::counts_on, 1_units, 60_units, 58_units), "60 ");
  EXPECT_EQ(parts(Window::counts_on, 1_units, 60_units, 59_units), "32 31 ");
  EXPECT_EQ(parts(Window::returns_to_zero, 2_units, 60_units, 122_units), "42 40 40 ");
}

TEST(Draw, EqualChoicesGoInUseFirstThenEarliestEndThenOrderGiven) {
  const Rules r = rules(Window::returns_to_zero, 1_units, 60_units, 2_units, 2_units);
  std::vector<AtHand> at_hand{{.left = 200_units, .is_new = true, .days_to_end = 1},
                              {.left = 200_units, .days_to_end = 9},
                              {.left = 200_units, .days_to_end = 5},
                              {.left = 200_units, .days_to_end = 5}};
  EXPECT_EQ(choose(r, at_hand, asks(20_units))->parts[0].cartridge, 2U);
  at_hand[2].days_to_end = 6;
  EXPECT_EQ(choose(r, at_hand, asks(20_units))->parts[0].cartridge, 3U);
}

TEST(Draw, H43_ASuspensionIsNotBegunBelowItsLeastAndNotSplit) {
  Rules r = rules(Window::returns_to_zero, 1_units, 60_units, 2_units, 2_units);
  r.suspension = true;
  r.least_left_to_mix = 12_units;
  const std::vector<AtHand> low{{.left = 11_units, .days_to_end = 5}};
  EXPECT_EQ(choose(r, low, asks(4_units)).error().why, Why::too_little_to_mix);
  const std::vector<AtHand> enough{{.left = 12_units, .days_to_end = 5}};
  EXPECT_EQ(choose(r, enough, asks(4_units))->thrown[0], 6_units);  // six cannot be mixed next time
  const std::vector<AtHand> two{{.left = 14_units}, {.left = 14_units}};
  EXPECT_EQ(choose(r, two, asks(20_units)).error().why, Why::only_by_splitting);
  r.suspension = false;
  EXPECT_EQ(choose(r, two, asks(20_units))->parts.size(), 2U);
}

TEST(Draw, ReasonsComeInTheirOrder) {
  Rules r = rules(Window::counts_on, 1_units, 4_units, 4_units, 4_units);
  r.suspension = true;
  r.least_left_to_mix = 12_units;
  const auto why = [&](std::vector<AtHand> at_hand) {
    return choose(r, at_hand, asks(3_units)).error().why;
  };
  EXPECT_EQ(why({{.left = 5_units}}), Why::prime_fills_window);
  r.prime = 1_units;
  EXPECT_EQ(why({{.left = 5_units}}), Why::too_little_to_mix);
  r.least_left_to_mix = 1_units;
  EXPECT_EQ(why({{.left = 3_units}, {.left = 3_units}}), Why::only_by_splitting);
  EXPECT_EQ(why({{.left = 3_units}}), Why::too_little);
  const auto no = choose(r, std::vector<AtHand>{{.left = 3_units}}, asks(3_units)).error();
  EXPECT_EQ(no.most_alone, 2_units);
  EXPECT_EQ(no.most_together, 2_units);
}

TEST(Draw, OneCartridgeWithoutAHeapAgreesWithTheWholeChoice) {
  for (const auto window : {Window::counts_on, Window::returns_to_zero}) {
    const Rules r = rules(window, 0.5_units, 5_units, 1_units, 2_units);
    for (std::int64_t left = 0; left <= 2000; left += 25) {
      for (const bool is_new : {false, true}) {
        const AtHand from{.left = hundredths(left), .is_new = is_new, .days_to_end = 1};
        for (std::int64_t dose = 50; dose <= 1200; dose += 50) {
          const auto taken = take(r, from, hundredths(dose));
          const auto choice =
              choose(r, std::vector<AtHand>{from}, asks(hundredths(dose), 0.5_units));
          ASSERT_EQ(taken.has_value(), choice.has_value());
          ASSERT_EQ(taken.has_value(), *needed(r, hundredths(dose), is_new) <= from.left);
          ASSERT_EQ(taken.has_value(), hundredths(dose) <= most_from(r, from));
          if (!taken) continue;
          EXPECT_EQ(static_cast<std::size_t>(taken->injections), choice->parts.size());
          EXPECT_EQ(taken->primed, choice->primed);
        }
      }
    }
  }
}

TEST(Draw, APrimeOffTheStepIsPressedAsWholeStepsAndNeverLess) {
  const Rules r = rules(Window::counts_on, 2_units, 60_units, 3_units, 0_units);
  EXPECT_EQ(prime_in_steps(r, false), 4_units);
  EXPECT_EQ(prime_in_steps(r, true), 2_units);  // H44: no dial without flow, so at least one step
}

TEST(Draw, OnlyAnAccountMayGoUnprimed) {
  Rules r = rules(Window::counts_on, 1_units, 60_units, 0_units, 0_units);
  EXPECT_EQ(needed(r, 20_units, false), 21_units);  // a plan presses a step at least (H44)
  r.may_go_unprimed = true;
  EXPECT_EQ(prime_in_steps(r, false), 0_units);
  EXPECT_EQ(needed(r, 20_units, true), 20_units);
  EXPECT_EQ(take(r, {.left = 100_units}, 100_units)->injections, 2);
  EXPECT_EQ(take(r, {.left = 100_units}, 100_units)->left, 0_units);
  EXPECT_EQ(most_from(r, {.left = 100_units}), 100_units);
  r.prime = 3_units;
  EXPECT_EQ(needed(r, 20_units, false), 23_units);
}

TEST(Draw, FortySmallRestsAreStillExact) {
  // Forty rests, none of which can give the dose alone; least waste empties rests to the last step.
  const Rules r = rules(Window::returns_to_zero, 0.5_units, 60_units, 2_units, 4_units);
  std::vector<AtHand> at_hand;
  for (std::int64_t i = 0; i < 40; ++i) {
    at_hand.push_back({.left = hundredths(500 + 25 * i), .days_to_end = static_cast<int>(i % 7)});
  }
  const auto choice = choose(r, at_hand, asks(100_units, {}, Prefer::least_waste));
  ASSERT_TRUE(choice);
  Units given = Units::zero();
  for (const Part& part : choice->parts) given = sum(given, part.dose);
  EXPECT_EQ(given, 100_units);
  std::int64_t all = 0;
  for (const AtHand& a : at_hand) all += a.left.hundredths();
  EXPECT_EQ(choice->wasted.hundredths(), all - 100'00);  // everything but the dose: none kept
  EXPECT_LE(choice->parts.size(), 9U);
}

}  // namespace
}  // namespace penstock::draw
