#include "edge/drawing/kit/svg.hpp"

#include <gtest/gtest.h>

#include "edge/drawing/kit/label.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

TEST(Coordinates, AtMostTwoDecimalsAndNeverATrailingZero) {
  EXPECT_EQ(text(Px{0}), "0");
  EXPECT_EQ(text(12_px), "12");
  EXPECT_EQ(text(12.5_px), "12.5");
  EXPECT_EQ(text(12.05_px), "12.05");
  EXPECT_EQ(text(-0.5_px), "-0.5");
  EXPECT_EQ(text(-12.34_px), "-12.34");
  EXPECT_EQ(text(px(100)), "100");
}

TEST(Escaping, NamesComeThroughUnchangedAndMarkupStaysText) {
  EXPECT_EQ(escaped("O'Neil & <b>\"x\""), "O&#39;Neil &amp; &lt;b&gt;&quot;x&quot;");
  EXPECT_EQ(escaped("Zdzisława Żądło"), "Zdzisława Żądło");
  EXPECT_EQ(escaped("two\nlines\tand\rmore"), "two lines and more");
}

TEST(Escaping, WhatXmlForbidsBecomesTheReplacementCharacter) {
  const std::string mark = "\xEF\xBF\xBD";
  EXPECT_EQ(escaped(std::string("a\x01z")), "a" + mark + "z");
  EXPECT_EQ(escaped(std::string("a\0z", 3)), "a" + mark + "z");
  EXPECT_EQ(escaped("a\xFFz"), "a" + mark + "z");                     // never in UTF-8
  EXPECT_EQ(escaped("\xC0\xAF"), mark + mark);                        // overlong
  EXPECT_EQ(escaped("\xED\xA0\x80"), mark + mark + mark);             // a surrogate
  EXPECT_EQ(escaped("\xEF\xBF\xBE"), mark + mark + mark);             // U+FFFE
  EXPECT_EQ(escaped("\xF4\x90\x80\x80"), mark + mark + mark + mark);  // above U+10FFFF
  EXPECT_EQ(escaped("\xC5"), mark);                                   // cut in the middle
}

TEST(Labels, WrapAtWordsAndKeepEveryWord) {
  const auto lines = wrapped("12 left: not enough for prime and dose, throw away", 160_px);
  ASSERT_GT(lines.size(), 1U);
  std::string together;
  for (const auto& line : lines) {
    EXPECT_LE(guessed_width(line), 160_px) << line;
    together += (together.empty() ? "" : " ") + line;
  }
  EXPECT_EQ(together, "12 left: not enough for prime and dose, throw away");
  EXPECT_EQ(wrapped("Przeciwwskazania", 20_px).size(), 1U);  // a word is never broken
}

TEST(Labels, CountCharactersNotBytes) {
  EXPECT_EQ(characters("Żądło"), 5);
  EXPECT_EQ(characters(""), 0);
}

}  // namespace
}  // namespace penstock::drawing
