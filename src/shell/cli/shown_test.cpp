// S12: the terminal obeys nobody but us.
#include "shell/cli/internal/shown.hpp"

#include <gtest/gtest.h>

#include <sstream>
#include <string>

namespace penstock::cli {
namespace {

using namespace std::string_literals;

std::string shown(const std::string& text) {
  std::ostringstream to;
  {
    ShownStream stream(to);
    stream << text;
  }
  return to.str();
}

TEST(Shown, S12_EscapesOfAFileNeverReachTheTerminal) {
  EXPECT_EQ(shown("\x1B]0;owned\a\x1B[2J"), "\uFFFD]0;owned\uFFFD\uFFFD[2J");
  EXPECT_EQ(shown("\u009B2J\u0085"), "\uFFFD2J\uFFFD");  // the same in one character
  EXPECT_EQ(shown("a\x7F\r\0b"s), "a\uFFFD\uFFFD\uFFFDb");
}

TEST(Shown, LinesTabsAndEveryLetterStayAsTheyAre) {
  for (const auto* text : {"León\tGröße\n", "\u00A0\u00BF\u00C2 at the end \u00C2", "日本語 🙂"})
    EXPECT_EQ(shown(text), text);
}

TEST(Shown, H19_S12_WhatIsNoTextAndWhatTurnsALineNeverReachesTheTerminal) {
  EXPECT_EQ(shown("1\u202E2\u2066"), "1\uFFFD2\uFFFD");
  EXPECT_EQ(shown("x\xFFy\x80z"), "x\uFFFDy\uFFFDz");
  EXPECT_EQ(shown("\xC2"), "\uFFFD");
  EXPECT_EQ(shown("\xE2\x80\x1B[2J"), "\uFFFD\uFFFD[2J") << "cut short before an escape";
  EXPECT_EQ(shown("\xC0\xAF\xED\xA0\x80"), "\uFFFD\uFFFD\uFFFD") << "overlong, and a surrogate";
}

TEST(Shown, WhatIsOursGoesThroughInItsPlace) {
  std::ostringstream to;
  ShownStream stream(to);
  stream << "a";
  stream.raw("\x1B[K");
  stream << 'b' << 12;
  EXPECT_EQ(to.str(), "a\x1B[Kb12");
}

}  // namespace
}  // namespace penstock::cli
