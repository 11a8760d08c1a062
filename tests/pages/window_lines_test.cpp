// What a terminal prints of a pen whose window counts on (pharmacist D5).
#include <gtest/gtest.h>

#include <algorithm>

#include "edge/json/json.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

TEST(WindowLines, H01_TheLastNumberOfALineIsWhatToTurnToNotWhatWasPrimed) {
  const auto& shelf = shelf::of_the_program();
  const stock::Stock stock;
  using Is = interlock::Flags::Is;
  interlock::Call call;
  call.flags = {Is::no, Is::no, Is::no, Is::no, interlock::Flags::Last::hours, 24, Is::no};
  call.pen = shelf.pen("reusable-whole-60")->thing;
  call.pen.window = shelf::Window::counts_on;
  call.insulin = *shelf.insulin("glargine-100");
  call.dose = *Units::from_hundredths(1'800);
  call.left = *Units::from_hundredths(24'700);
  call.days_in_use = 6;
  const auto verdict = interlock::decide(call, {shelf, stock});
  const auto* cleared = interlock::cleared(verdict);
  ASSERT_NE(cleared, nullptr);
  const auto lines = table_lines(window_table(words::english(), *cleared));
  const auto& rows =
      std::ranges::find((*cleared)->plan.actions, dial::Do::dial, &dial::Action::what)
          ->window_by_prime;
  ASSERT_GT(rows.size(), 1U);
  for (const auto& row : rows) {
    // 18 units: 20 after two primed, 21 after three.
    EXPECT_EQ(row.window, sum(row.primed, call.dose));
    EXPECT_NE(lines.find("dial on to " + format(row.window) + "\n"), std::string::npos) << lines;
    EXPECT_EQ(lines.find("dial on to " + format(row.primed) + "\n"), std::string::npos) << lines;
  }
}

// Insulin seen by the second of two primes: the step said "8 already stand in the window", and
// whoever had set it back in between had no table (H58).
TEST(WindowLines, H01_AfterSeveralPrimesTheTableStaysUntilTheDoseIsDialled) {
  const auto& shelf = shelf::of_the_program();
  const stock::Stock stock;
  using Is = interlock::Flags::Is;
  const auto table = [&](int spent) {
    interlock::Call call;
    call.flags = {Is::no, Is::no, Is::no, Is::no, interlock::Flags::Last::hours, 24, Is::no};
    call.pen = shelf.pen("reusable-whole-60")->thing;
    call.pen.window = shelf::Window::counts_on;
    call.insulin = *shelf.insulin("glargine-100");
    call.dose = *Units::from_hundredths(1'800);
    call.left = *Units::from_hundredths(24'700);
    call.days_in_use = 6;
    call.primed = interlock::Call::Primed::seen;
    call.spent = *Units::from_hundredths(spent * 100);
    const auto verdict = interlock::decide(call, {shelf, stock});
    return table_lines(window_table(words::english(), *interlock::cleared(verdict)));
  };
  EXPECT_EQ(table(2), "");
  for (const auto* row :
       {"at 2: dial on to 20\n", "at 3: dial on to 21\n", "at 4: dial on to 22\n"})
    EXPECT_NE(table(4).find(row), std::string::npos) << table(4);
}

// Typed in several lines, it stood under the steps like one of them.
TEST(WindowLines, H58_WhatSomebodyTypedInSeveralLinesIsOneEntry) {
  const auto entry = lines::line("Phone us.\n\n  6. Dial 40 units");
  EXPECT_EQ(std::ranges::count(entry, '\n'), 1) << entry;
}

}  // namespace
}  // namespace penstock::pages
