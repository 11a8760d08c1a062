// People made by chance, with honest accounts and with planted differences: how many are found, how
// many honest ones are flagged (H24). The seeds are printed; other seeds than those that the model
// was tried on while it was made. bench/reconcile_planted prints the whole table.
#include <gtest/gtest.h>

#include <cmath>
#include <iostream>

#include "core/reconcile/reconcile.hpp"
#include "support/planted_accounts.hpp"

namespace penstock {
namespace {

using planted::Plant;
using reconcile::Mechanism;

constexpr std::uint64_t seed = 41'000'000;
constexpr int days = 60;

reconcile::Accounts judged(const reconcile::Request& request) {
  auto found = reconcile::reconcile(request);
  EXPECT_TRUE(found.has_value()) << (found ? "" : found.error().code + found.error().at);
  return found ? *std::move(found) : reconcile::Accounts{};
}
bool is_flagged(const reconcile::Accounts& found) { return found.differs || found.diary_later; }

/// The chance of so few hits, or fewer, of so many with that chance each.
double at_most(int hits, int of, double chance) {
  double log_term = of * std::log1p(-chance), total = 0;
  for (int k = 0; k <= hits; ++k) {
    total += std::exp(log_term);
    log_term += std::log(static_cast<double>(of - k) / (k + 1) * chance / (1 - chance));
  }
  return total;
}

TEST(PlantedAccounts, H24_OfHonestPeopleAtMostFiveInAHundredAreFlagged) {
  int flagged = 0;
  for (int i = 0; i < PENSTOCK_SIM_PEOPLE; ++i) {
    const auto found =
        judged(planted::person(seed + static_cast<std::uint64_t>(i), {{}, 0, days}).request);
    flagged += is_flagged(found) ? 1 : 0;
    // What is said to somebody who is not flagged has no number in it.
    EXPECT_TRUE(found.differs || found.question.args.empty())
        << "--seed " << seed + static_cast<std::uint64_t>(i);
  }
  std::cout << "seeds from " << seed << ": " << flagged << " of " << PENSTOCK_SIM_PEOPLE
            << " honest people flagged\n";
  EXPECT_LE(flagged * 100, PENSTOCK_SIM_PEOPLE * 5);
  // So few would be met by chance less than once in a hundred, if five in a hundred were flagged.
  if (PENSTOCK_SIM_PEOPLE >= 600) {
    EXPECT_LT(at_most(flagged, PENSTOCK_SIM_PEOPLE, 0.05), 0.01);
  }
}

// Pharmacist D11: away at weekends, on shifts, a half-empty first cartridge, changed by eye.
TEST(PlantedAccounts, H24_OfHonestPeopleWhoseDaysAreNotAlikeNoMoreAreFlagged) {
  for (const int span : {30, 60, 90}) {
    int flagged = 0, away = 0, away_flagged = 0;
    const int people = PENSTOCK_SIM_PEOPLE / 2;
    for (int i = 0; i < people; ++i) {
      const auto found = judged(
          planted::person(seed + static_cast<std::uint64_t>(i), {{}, 0, span, true}).request);
      const bool is_away = found.claimed.gaps * 5 > found.claimed.injections;
      flagged += is_flagged(found) ? 1 : 0;
      away += is_away ? 1 : 0;
      away_flagged += is_away && is_flagged(found) ? 1 : 0;
    }
    std::cout << "seeds from " << seed << ": " << span << " days, " << flagged << " of " << people
              << " flagged, " << away_flagged << " of " << away << " who are away\n";
    EXPECT_LE(flagged * 100, people * 5) << span;
    EXPECT_GT(away, 0);
    EXPECT_LE(away_flagged * 10, away + 9) << span;
  }
}

TEST(PlantedAccounts, NineInTenDifferencesOfTenPerCentAndMoreAreFoundInSixtyDays) {
  int found_all = 0, all = 0;
  for (const auto which : planted::planted) {
    int found_of = 0, of = 0;
    for (const double share : {0.10, 0.15, 0.20, 0.30}) {
      for (int i = 0; i < PENSTOCK_SIM_PEOPLE / 60; ++i) {
        const auto person = planted::person(seed + 7'000'000 + static_cast<std::uint64_t>(i),
                                            Plant{which, share, days});
        if (!person.possible) continue;
        ++of;
        found_of += is_flagged(judged(person.request)) ? 1 : 0;
      }
    }
    const auto name = reconcile::mechanism_names[static_cast<std::size_t>(which)];
    std::cout << "seeds from " << seed + 7'000'000 << ": " << name << " " << found_of << " of "
              << of << "\n";
    EXPECT_GT(of, 0) << name;
    EXPECT_GE(found_of * 100, of * 80) << name;  // ten people a cell: no single one is measured
    found_all += found_of;
    all += of;
  }
  EXPECT_GE(found_all * 100, all * 90);
}

TEST(PlantedAccounts, TheAccountsOfEverybodyAreTheSumsOfTheirParts) {
  for (int i = 0; i < PENSTOCK_SIM_PEOPLE / 12; ++i) {
    const auto which = planted::planted[static_cast<std::size_t>(i) % planted::planted.size()];
    const auto a =
        judged(planted::person(seed + static_cast<std::uint64_t>(i), {which, 0.15, 90}).request);
    EXPECT_EQ(a.left.held, sum(a.left.left, sum(a.left.rest_read, a.left.rest_assumed)));
    EXPECT_EQ(a.claimed.claimed,
              sum(a.claimed.injected, sum(a.claimed.primed_recorded, a.claimed.primed_by_rule)));
    EXPECT_EQ(a.dispensed.used, a.dispensed.opened + a.dispensed.missing);
    EXPECT_EQ(a.left_claimed.hundredths, a.left.left.hundredths() - a.claimed.claimed.hundredths());
    EXPECT_LE(a.left_claimed.units.low, a.left_claimed.units.high);
  }
}

}  // namespace
}  // namespace penstock
