#include "core/units/text.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <string>

namespace penstock {
namespace {

TEST(Text, NamesOfManyLanguagesArePlain) {
  for (const std::string_view text :
       {"", "N. Okafor", "Zoë Müller-Łukasz", "Ольга Іваненко", "محمد علي", "山田 花子", "José"}) {
    EXPECT_TRUE(is_plain_text(text, Lines::one)) << text;
  }
}

TEST(Text, ControlCharactersAreNot) {
  using namespace std::string_view_literals;
  for (const auto text : {"a\0b"sv, "a\x1B[2J"sv, "a\x7F"sv, "a\r\n"sv, "a\xC2\x85"sv}) {
    EXPECT_FALSE(is_plain_text(text, Lines::one));
    EXPECT_FALSE(is_plain_text(text, Lines::many));
  }
  EXPECT_FALSE(is_plain_text("two\nlines", Lines::one));
  EXPECT_FALSE(is_plain_text("a\ttab", Lines::one));
  EXPECT_TRUE(is_plain_text("two\nlines\tand a tab", Lines::many));
}

TEST(Text, H19_AMarkThatTurnsANameRoundIsRefused) {
  for (char32_t c = 0x2020; c < 0x2070; ++c) {
    const std::string text{static_cast<char>(0xE2), static_cast<char>(0x80 | ((c >> 6) & 0x3F)),
                           static_cast<char>(0x80 | (c & 0x3F))};
    const bool turns = (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
    EXPECT_EQ(is_plain_text(text, Lines::one), !turns) << static_cast<unsigned>(c);
  }
}

TEST(Text, BytesThatAreNotUtf8AreRefused) {
  for (const std::string_view text :
       {"\x80", "\xC0\x80", "\xC1\xBF", "\xC3", "\xE0\x80\x80", "\xE0\x9F\xBF", "\xED\xA0\x80",
        "\xF0\x8F\xBF\xBF", "\xF4\x90\x80\x80", "\xF5\x80\x80\x80", "\xFF", "\xC3(",
        "ab\xE2\x82"}) {
    EXPECT_FALSE(is_plain_text(text, Lines::many));
  }
  EXPECT_TRUE(is_plain_text("\xED\x9F\xBF\xEE\x80\x80\xF4\x8F\xBF\xBF", Lines::one));
}

// Every code point, written as RFC 3629 says.
TEST(Text, EveryCodePointIsReadAsItWasWritten) {
  const auto written = [](char32_t c) {
    std::string out;
    const auto tail = [&](int shift) { out += static_cast<char>(0x80 | ((c >> shift) & 0x3F)); };
    if (c < 0x80) {
      out += static_cast<char>(c);
    } else if (c < 0x800) {
      out += static_cast<char>(0xC0 | (c >> 6)), tail(0);
    } else if (c < 0x10000) {
      out += static_cast<char>(0xE0 | (c >> 12)), tail(6), tail(0);
    } else {
      out += static_cast<char>(0xF0 | (c >> 18)), tail(12), tail(6), tail(0);
    }
    return out;
  };
  int wrong = 0;
  for (char32_t c = 0; c <= 0x10FFFF; ++c) {
    const bool refused = c < 0x20 || (c >= 0x7F && c < 0xA0) || (c >= 0xD800 && c <= 0xDFFF) ||
                         (c >= 0x2028 && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069);
    if (is_plain_text(written(c), Lines::one) == refused) ++wrong;
  }
  EXPECT_EQ(wrong, 0);
}

RC_GTEST_PROP(Text, AnyBytesAreAnsweredAndATextIsPlainOnlyIfItsPartsAre,
              (const std::string& left, const std::string& right)) {
  if (is_plain_text(left, Lines::many) && is_plain_text(right, Lines::many)) {
    RC_ASSERT(is_plain_text(left + right, Lines::many));
  }
  if (!is_plain_text(left, Lines::many) && is_plain_text(right, Lines::many)) {
    // A cut sequence cannot be made whole by a text that is whole itself.
    RC_ASSERT(!is_plain_text(left + right, Lines::many));
  }
}

TEST(Text, BlankIsWhatNobodySees) {
  EXPECT_TRUE(is_blank(""));
  EXPECT_TRUE(is_blank(" \t\n"));
  EXPECT_FALSE(is_blank(" a "));
}

}  // namespace
}  // namespace penstock
