// What a terminal prints of a pen whose window counts on (pharmacist D5).
#include <gtest/gtest.h>

#include "edge/json/json.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

TEST(WindowLines, H01_TheLastNumberOfALineIsWhatToTurnToNotWhatWasPrimed) {
  Planned planned;
  planned.request = dial::example();
  planned.request.prime.flow_seen = false;
  planned.request.prime.spent = *Units::from_hundredths(0);
  planned.plan = dial::plan(planned.request).value();
  const auto lines = table_lines(window_table(words::english(), planned));
  const auto& rows = std::ranges::find(planned.plan->actions, dial::Do::dial, &dial::Action::what)
                         ->window_by_prime;
  ASSERT_GT(rows.size(), 1U);
  for (const auto& row : rows) {
    // 18 units: 20 after two primed, 21 after three.
    EXPECT_EQ(row.window, sum(row.primed, planned.request.dose));
    EXPECT_NE(lines.find("turn on to " + format(row.window) + "\n"), std::string::npos) << lines;
    EXPECT_EQ(lines.find("turn on to " + format(row.primed) + "\n"), std::string::npos) << lines;
  }
}

}  // namespace
}  // namespace penstock::pages
