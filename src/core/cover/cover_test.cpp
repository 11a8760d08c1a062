// What a person can read: the contract's example, hazards, boundaries, refusals.
#include "core/cover/cover.hpp"

#include <gtest/gtest.h>

#include <algorithm>

namespace penstock::cover {
namespace {

using namespace literals;
using std::chrono::days;

LocalDay day(std::string_view text) { return *parse_day(text); }

Line glargine() {
  Line line;
  line.insulin = "insulin glargine";
  line.doses = {20_units};
  line.prime = 2_units;
  line.new_cartridge_prime = 4_units;
  line.cartridge = 300_units;
  line.in_use_days = 28;
  line.open = {{120_units, 10, false, {}}};
  line.sealed = {{2, {}}};
  return line;
}

Request example() {
  Request r;
  r.on = day("2027-03-01");
  r.lines = {glargine()};
  r.needles_left = 60;
  r.ask.emplace().leads = {{7, 1.0}};
  return r;
}

Lasts lasts(const Request& request) {
  const auto answer = cover(request);
  EXPECT_TRUE(answer) << answer.error().code << " " << answer.error().at;
  return answer ? answer->lines.front() : Lasts{};
}

bool says(const Lasts& lasts, std::string_view code) {
  return std::ranges::find(lasts.cautions, code) != lasts.cautions.end();
}

// 120 units are five doses of 22 and 10 thrown away; each sealed one gives 24 and twelve times 22.
TEST(Cover, TheContractsExampleLastsThirtyOneDaysAndIsAskedForByTheTwelfth) {
  const auto answer = cover(example());
  ASSERT_TRUE(answer);
  const auto& line = answer->lines.front();
  EXPECT_EQ(line.full_days, 31);
  EXPECT_EQ(line.last_full_day, day("2027-03-31"));
  EXPECT_EQ(line.thrown_away, 34_units);
  EXPECT_EQ(line.runs_out, (std::vector<DayChance>{{day("2027-04-01"), 1.0}}));
  // Without the spare the last full day is the 18th: 18 = 12 + 7 - 1.
  EXPECT_EQ(line.ask_by, day("2027-03-12"));
  EXPECT_EQ(line.here_by, day("2027-03-19"));
  EXPECT_FALSE(line.late);
  EXPECT_EQ(line.boxes, 1);
  EXPECT_TRUE(line.cautions.empty());
  ASSERT_TRUE(answer->needles);
  EXPECT_EQ(answer->needles->full_days, 60);
  EXPECT_EQ(answer->needles->last_full_day, day("2027-04-29"));
  EXPECT_EQ(answer->needles->ask_by, day("2027-04-23"));
  EXPECT_EQ(answer->needles->boxes, 0);
  EXPECT_FALSE(answer->sharps);
  EXPECT_EQ(answer->ask_by, day("2027-03-12"));
}

}  // namespace
}  // namespace penstock::cover
