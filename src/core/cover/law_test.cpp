// Where doses vary: the law of the run-out against every sequence of doses written out, against a
// simulation, and the pieces that it is made of.
#include "core/cover/internal/law.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "core/cover/cover.hpp"
#include "core/cover/internal/naive.hpp"

namespace penstock::cover {
namespace {

using namespace literals;
using std::chrono::days;

Units hundredths(std::int64_t n) { return *Units::from_hundredths(n); }
const LocalDay first = *parse_day("2027-03-01");

/// By day, from the cumulative list of the answer.
double chance_by(const Lasts& lasts, int day) {
  double chance = 0;
  for (const auto& one : lasts.runs_out) {
    if (one.day <= first + days{day}) chance = one.chance;
  }
  return chance;
}

constexpr double exact = 1e-12;  // what the sums of doubles may lose, see the door

class AnyVaryingHouse : public testing::TestWithParam<std::uint32_t> {
 protected:
  std::mt19937 random{GetParam()};
  std::int64_t pick(std::int64_t n) {
    return static_cast<std::int64_t>(random() % static_cast<std::uint32_t>(n));
  }
  bool one_in(std::int64_t n) { return pick(n) == 0; }
  std::optional<LocalDay> expiry() {
    if (one_in(2)) return std::nullopt;
    return first + days{pick(30) - 2};
  }

  Line line() {
    const std::int64_t step = one_in(3) ? 50 : 100;
    Line out;
    out.insulin = "insulin glargine";
    out.step = hundredths(step);
    const auto doses = 1 + pick(3);
    for (std::int64_t i = 0; i < doses; ++i) out.doses.push_back(hundredths((1 + pick(6)) * step));
    out.dose_sd = hundredths(20 + pick(150) * step / 100);
    if (one_in(3)) out.given_on_first_day = static_cast<std::size_t>(pick(doses + 1));
    out.prime = hundredths(pick(3) * step);
    out.new_cartridge_prime = hundredths(pick(4) * step);
    out.cartridge = hundredths((12 + pick(25)) * step + (one_in(3) ? pick(step) : 0));
    out.in_use_days = static_cast<std::int32_t>(1 + pick(12));
    if (one_in(4)) {
      out.most = hundredths((5 + pick(3)) * step);
      out.window = one_in(2) ? shelf::Window::counts_on : shelf::Window::returns_to_zero;
    }
    if (one_in(3)) {
      out.suspension = true;
      out.least_left_to_mix = hundredths(pick(8) * step + pick(step));
    } else {
      out.use_the_rest = one_in(2);
    }
    for (auto open = pick(3); open > 0; --open) {
      out.open.push_back({hundredths(pick(out.cartridge.hundredths() + 1)),
                          static_cast<std::int32_t>(pick(out.in_use_days + 1)), one_in(4),
                          expiry()});
    }
    for (auto lots = pick(3); lots > 0; --lots) {
      out.sealed.push_back({static_cast<std::int32_t>(pick(3)), expiry()});
    }
    return out;
  }
};

std::string told(const Line& line) {
  std::string text;
  for (const auto dose : line.doses) text += format(dose) + " ";
  return text + "sd " + format(line.dose_sd) + " step " + format(line.step) + " of " +
         format(line.cartridge) + ", " + std::to_string(line.in_use_days) + " days, " +
         std::to_string(line.open.size()) + " open" +
         (line.use_the_rest ? ", rests are used" : "") + (line.suspension ? ", suspension" : "") +
         (line.most ? ", divided" : "");
}

/// Everything that the law is asked about, against the simpler account.
void compare(const Line& line, const Ask& ask, int walked, const std::string& where) {
  Request request{.on = first, .lines = {line}, .ask = ask};
  const auto answer = cover(request);
  if (!answer) {
    ASSERT_TRUE(answer.error().code == codes::dose_never_fits ||
                answer.error().code == codes::prime_fills_window)
        << answer.error().code;
    return;
  }
  const Lasts& lasts = answer->lines.front();
  const naive::House house(line, first, 0, 0);
  const auto all = naive::run_out(line, house, first, walked);
  for (int day = 0; day < walked; ++day) {
    const double chance = all[static_cast<std::size_t>(day)];
    if (chance < chance_least * 2 || chance > 1 - chance_least * 2) continue;
    ASSERT_NEAR(chance_by(lasts, day), chance, exact) << where << " day " << day;
  }
  const naive::House plan(line, first, ask.spare_cartridges, 0);
  const auto gone = naive::run_out(line, plan, first, walked);
  int latest = -1;
  for (int day = 0; day + ask.leads.front().days - 1 < walked; ++day) {
    double covered = 0;
    for (const auto& lead : ask.leads) {
      const int last = day + lead.days - 1;
      covered += lead.chance * (last < 0 ? 1 : 1 - gone[static_cast<std::size_t>(last)]);
    }
    if (covered >= ask.service) latest = day;
  }
  ASSERT_EQ(lasts.late, latest < 0) << where;
  ASSERT_EQ(lasts.ask_by, first + days{std::max(0, latest)}) << where;
  for (int boxes = std::max(0, lasts.boxes - 1); boxes <= lasts.boxes; ++boxes) {
    const naive::House more(line, first, ask.spare_cartridges, boxes * ask.cartridges_per_box);
    const auto chance = naive::run_out(line, more, first, ask.for_days).back();
    ASSERT_EQ(1 - chance >= ask.service, boxes == lasts.boxes) << where << " boxes " << boxes;
  }
}

TEST_P(AnyVaryingHouse, H12_HasTheChancesOfAllSequencesOfDosesWrittenOut) {
  for (int round = 0; round < 40; ++round) {
    const Line one = line();
    Ask ask;
    ask.leads = {{static_cast<std::int32_t>(pick(5)), 1.0}};
    ask.spare_cartridges = static_cast<std::int32_t>(pick(2));
    ask.for_days = static_cast<std::int32_t>(1 + pick(12));
    ask.cartridges_per_box = static_cast<std::int32_t>(1 + pick(2));
    ask.service = 0.6 + 0.01 * static_cast<double>(pick(40));
    compare(one, ask, 40,
            "seed " + std::to_string(GetParam()) + " round " + std::to_string(round) + ": " +
                told(one));
    if (HasFatalFailure()) return;
  }
}
INSTANTIATE_TEST_SUITE_P(Seeds, AnyVaryingHouse, testing::Values(20261211, 20261212, 20261213));

}  // namespace
}  // namespace penstock::cover
