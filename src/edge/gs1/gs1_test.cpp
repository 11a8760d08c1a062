// GS1 element strings as a scanner types them; shapes, check digits and days from the GS1 General
// Specifications, from memory.
#include "edge/gs1/gs1.hpp"

#include <gtest/gtest.h>

#include <random>
#include <string>

namespace penstock::gs1 {
namespace {

using namespace std::chrono_literals;

constexpr std::int32_t year = 2027;
constexpr std::string_view gs = "\x1D";

LocalDay day(int y, unsigned m, unsigned d) {
  return std::chrono::local_days{std::chrono::year{y} / m / d};
}
carton::Carton must(std::string_view text) {
  const auto carton = read_carton(text, year);
  EXPECT_TRUE(carton) << text << ": " << (carton ? "" : carton.error().code);
  return carton ? *carton : carton::Carton{};
}
std::string refused(std::string_view text) {
  const auto carton = read_carton(text, year);
  EXPECT_FALSE(carton) << text;
  return carton ? "" : carton.error().code;
}
std::int64_t position(std::string_view text) {
  const auto carton = read_carton(text, year);
  if (carton) return -1;
  for (const auto& arg : carton.error().args) {
    if (arg.name == "position") return arg.number;
  }
  return -1;
}

const std::string plain = "0102012345678903172805311012AB" + std::string(gs) + "21S-9";
const carton::Carton whole{"02012345678903", "12AB", day(2028, 5, 31),
                           std::nullopt,     "S-9",  std::nullopt};

TEST(Gs1, OneCartonInEveryFormThatAScannerTypes) {
  EXPECT_EQ(must(plain), whole);
  for (const auto* prefix : {"]C1", "]d2", "]Q3", "]e0", "]J1"})
    EXPECT_EQ(must(prefix + plain), whole) << prefix;
  EXPECT_EQ(must(std::string(gs) + plain), whole);
  EXPECT_EQ(must(plain + "\r\n"), whole);
  EXPECT_EQ(must("  " + plain + std::string(gs)), whole);
  for (const auto* sign : {"<GS>", "{GS}", "^]"})
    EXPECT_EQ(must("0102012345678903172805311012AB" + std::string(sign) + "21S-9"), whole) << sign;
  EXPECT_EQ(must("(01)02012345678903(17)280531(10)12AB(21)S-9"), whole);
}

// Pharmacist D6.
TEST(Gs1, WithoutSeparatorsEveryOtherReadingIsGiven) {
  const auto swallowed = must("01020123456789031728053110AB1221SN0001");
  EXPECT_EQ(swallowed.lot, "AB1221SN0001");
  const carton::Reading wanted{"AB12", "SN0001", day(2028, 5, 31), true};
  EXPECT_NE(std::ranges::find(swallowed.may_be, wanted), swallowed.may_be.end());
  // The same with its separator, in brackets, or with the lot last and nothing in it: one reading.
  EXPECT_TRUE(must("01020123456789031728053110AB12" + std::string(gs) + "21SN0001").may_be.empty());
  EXPECT_TRUE(must("(01)02012345678903(17)280531(10)AB1221SN0001").may_be.empty());
  EXPECT_TRUE(must("01020123456789031728053110ABC").may_be.empty());
  // A day in the lot, and a lot in a serial number.
  const auto days = must("010201234567890310AB1217280531");
  EXPECT_EQ(days.may_be.front(), (carton::Reading{"AB12", "", day(2028, 5, 31), true}));
  const auto lot = must("01020123456789031728053121SN10AB12");
  EXPECT_NE(std::ranges::find(lot.may_be, carton::Reading{"AB12", "SN", day(2028, 5, 31), true}),
            lot.may_be.end());
  // What is in the code already is no second element: 17 here is part of the lot.
  for (const auto& one : must("01020123456789031728053110A17270101").may_be)
    EXPECT_FALSE(one.likely);
}

TEST(Gs1, ABracketInALotIsNoElement) { EXPECT_EQ(must("(10)A(B)1(17)280531").lot, "A(B)1"); }

TEST(Gs1, ABracketWithAnUnknownIdentifierIsNoPartOfTheLotBeforeIt) {
  EXPECT_EQ(refused("(10)AB(88)12"), codes::carton_unknown);
  EXPECT_EQ(position("(10)AB(88)12"), 8);
}

TEST(Gs1, BracketsAndSeparatorsSayTheSame) {
  struct Part {
    std::string_view ai, data;
    bool fixed;
  };
  // Lengths of the General Specifications' table, from memory; those of fixed length need no
  // separator behind them.
  constexpr Part parts[] = {{"01", "02012345678903", true},
                            {"11", "270101", true},
                            {"17", "280531", true},
                            {"7003", "2805312359", true},
                            {"20", "01", true},
                            {"10", "A/1-b.2", false},
                            {"21", "S_9", false},
                            {"22", "c", false},
                            {"240", "XY-7", false},
                            {"30", "12", false},
                            {"37", "12", false},
                            {"400", "PO7", false},
                            {"710", "12345", false},
                            {"717", "x", false},
                            {"99", "own", false}};
  std::mt19937 random{20270302};
  for (int round = 0; round < 500; ++round) {
    std::string in_brackets, typed;
    bool open = false;
    for (auto n = 1 + random() % 6; n > 0; --n) {
      const auto& part = parts[random() % std::size(parts)];
      in_brackets += "(" + std::string(part.ai) + ")" + std::string(part.data);
      typed += (open ? std::string(gs) : "") + std::string(part.ai) + std::string(part.data);
      open = !part.fixed;
    }
    EXPECT_EQ(must(in_brackets), must("]d2" + typed)) << in_brackets;
  }
}

TEST(Gs1, ASymbologyIdentifierSaysWhatFollowsAndAnotherOneIsRefused) {
  EXPECT_EQ(must("]E02012345678903").gtin, "02012345678903");
  EXPECT_EQ(must("]E496385074").gtin, "00000096385074");
  EXPECT_EQ(must("]I102012345678903").gtin, "02012345678903");
  EXPECT_EQ(refused("]E0201234567890A"), codes::carton_digit);
  EXPECT_EQ(position("]E0201234567890A"), 16);
  EXPECT_EQ(refused("]E4963850"), codes::carton_short);
  EXPECT_EQ(refused("]E0123456789"), codes::carton_short);
  // What bears elements is no bare number: 02 and too little behind it.
  EXPECT_EQ(refused("]C102012345678903"), codes::carton_short);
  // These would have been a separator's third sign, or a lot's identifier.
  for (const auto* other : {"]1017280531", "]C017280531", "]c117280531", "]](10)A1"}) {
    EXPECT_EQ(refused(other), codes::carton_unknown) << other;
    EXPECT_EQ(position(other), 1) << other;
  }
}

// The two numbers are usual examples of eight digits, from memory.
TEST(Gs1, EightDigitsAreANumberOnlyWhereTheyAreNothingElse) {
  EXPECT_EQ(must("40170725").gtin, "00000040170725");
  EXPECT_EQ(refused("96385074"), codes::carton_either);
  EXPECT_EQ(refused("10123454"), codes::carton_either) << "not lot 123454";
  EXPECT_EQ(position(" 10123454"), 2);
  EXPECT_EQ(must("10123457").lot, "123457") << "its check digit would be another";
  EXPECT_EQ(refused("17270229"), codes::carton_day) << "a number by its digit, a day by its shape";
  EXPECT_EQ(refused("40170726"), codes::carton_unknown);
}

TEST(Gs1, ABareProductNumberHasNoLot) {
  EXPECT_EQ(must("2012345678903").gtin, "02012345678903");
  EXPECT_EQ(must("02012345678903").gtin, "02012345678903");
  // The check digit of GS1's own example of a GTIN-12 (from memory).
  EXPECT_EQ(must("614141000036").gtin, "00614141000036");
  EXPECT_EQ(must("2012345678903").lot, "");
  EXPECT_FALSE(must("2012345678903").expires);
}

TEST(Gs1, CheckDigits) {
  EXPECT_EQ(gs1_check_digit("629104150021"), '3');  // GS1's worked example, from memory
  EXPECT_EQ(gs1_check_digit("0201234567890"), '3');
  EXPECT_EQ(gs1_check_digit("0000000000000"), '0');
}

TEST(Gs1, DayZeroIsTheLastOfItsMonth) {
  EXPECT_EQ(must("1728020010A1").expires, day(2028, 2, 29));
  EXPECT_EQ(must("1727020010A1").expires, day(2027, 2, 28));
  EXPECT_EQ(must("1727120010A1").expires, day(2027, 12, 31));
}

TEST(Gs1, TheCenturyIsTheNearest) {
  EXPECT_EQ(read_carton("1777010110A", 2027)->expires, day(2077, 1, 1));
  EXPECT_EQ(read_carton("1778010110A", 2027)->expires, day(1978, 1, 1));
  EXPECT_EQ(read_carton("1701010110A", 2080)->expires, day(2101, 1, 1));
  EXPECT_EQ(read_carton("1731010110A", 2080)->expires, day(2031, 1, 1));
  // Every year of a century, against the rule in its own words: 51 ahead or more is the century
  // before, 50 back or more the one after.
  for (int now = 2000; now < 2100; ++now) {
    for (int end = 0; end < 100; ++end) {
      const auto digits = std::string(end < 10 ? "0" : "") + std::to_string(end);
      const auto read = read_carton("17" + digits + "0101", now);
      if (!read) {  // eight digits that fit a product number, too
        EXPECT_EQ(read.error().code, codes::carton_either);
        continue;
      }
      const int full = static_cast<int>(std::chrono::year_month_day{read->expires.value()}.year());
      EXPECT_EQ(full % 100, end);
      EXPECT_LT(full - now, 51);
      EXPECT_GT(full - now, -50);
    }
  }
}

TEST(Gs1, OtherElementsAreReadAndPassedOver) {
  const auto carton =
      must("010201234567890311270101172805317003280531120010A" + std::string(gs) + "3012" +
           std::string(gs) + "240XY-7" + std::string(gs) + "710123" + std::string(gs) + "99own");
  EXPECT_EQ(carton.made, day(2027, 1, 1));
  EXPECT_EQ(carton.expires, day(2028, 5, 31));
  EXPECT_EQ(carton.count, 12);
  EXPECT_EQ(carton.lot, "A");
}

TEST(Gs1, WhatIsTwiceAndAlikeIsOnce) {
  EXPECT_EQ(must("10A" + std::string(gs) + "10A").lot, "A");
  EXPECT_EQ(refused("10A1" + std::string(gs) + "10B1"), codes::carton_twice);
}

TEST(Gs1, WhatIsPassedOverIsReadAllTheSame) {
  for (const auto* wrong : {"13281399", "15280231", "70032805312400", "70032805311260"}) {
    EXPECT_EQ(refused(std::string(wrong) + "10A"), codes::carton_day) << wrong;
  }
  EXPECT_EQ(position("7003280531240010A"), 5);
  EXPECT_EQ(refused("01020123456789030202012345678904"), codes::carton_check);
  EXPECT_EQ(position("01020123456789030202012345678904"), 32);
  EXPECT_EQ(must("0202012345678903010061414100003610A").gtin, "00614141000036")
      << "the carton's own number, wherever it stands";
}

TEST(Gs1, H25_ARefusalShowsNoHalfOfALetter) {
  const auto shown = [](std::string_view text) {
    const auto carton = read_carton(text, year);
    EXPECT_FALSE(carton) << text;
    return carton ? std::string() : carton.error().args.front().text;
  };
  EXPECT_EQ(shown("8\xC3\xA4\xE2\x82\xAC"
                  "1"),
            "8");
  EXPECT_EQ(shown("\xE2\x82\xAC"
                  "1"),
            "?");
  EXPECT_EQ(shown("(8\xC3\xA4)1"), "8");
  EXPECT_EQ(shown("8" + std::string(gs) + "1"), "8");
}

TEST(Gs1, H25_WhatCannotBeIsRefusedWithItsPlace) {
  EXPECT_EQ(refused(""), codes::carton_empty);
  EXPECT_EQ(refused(" \r\n"), codes::carton_empty);
  EXPECT_EQ(refused("]d2"), codes::carton_empty);
  EXPECT_EQ(refused(std::string(501, '1')), codes::carton_long);
  EXPECT_EQ(refused("qwertz"), codes::carton_letters);
  EXPECT_EQ(refused("8812345"), codes::carton_unknown);
  EXPECT_EQ(position("8812345"), 1);
  EXPECT_EQ(position("]d217280531"
                     "88A"),
            12)
      << "places count what was typed";
  EXPECT_EQ(refused("(88)1"), codes::carton_unknown);
  EXPECT_EQ(refused("17280531(10"), codes::carton_unknown);
  EXPECT_EQ(refused("(10"), codes::carton_bracket);
  EXPECT_EQ(refused("(17)280531x"), codes::carton_digit);
  EXPECT_EQ(refused("172805"), codes::carton_short);
  EXPECT_EQ(position("172805"), 3);
  EXPECT_EQ(refused("10" + std::string(21, 'A')), codes::carton_short);
  EXPECT_EQ(refused("1728A531"), codes::carton_digit);
  EXPECT_EQ(position("1728A531"), 5);
  EXPECT_EQ(refused("10A\xC3\xA4"), codes::carton_character);
  EXPECT_EQ(position("10A B"), 4);
  EXPECT_EQ(refused("0102012345678904"), codes::carton_check);
  EXPECT_EQ(position("0102012345678904"), 16);
  for (const auto* none : {"17281301", "17280001", "17270229", "17280431"}) {
    EXPECT_EQ(refused(none), codes::carton_day) << none;
    EXPECT_EQ(position(none), 3);
  }
  EXPECT_EQ(refused("172805317003280601"
                    "1200"),
            codes::carton_days_differ);
  EXPECT_EQ(position("172805317003280601"
                     "1200"),
            13);
  EXPECT_EQ(position("10A1" + std::string(gs) + "10B1"), 8);
  EXPECT_EQ(position("(17)280531x"), 11);
  EXPECT_EQ(position("(10"), 1);
  EXPECT_EQ(position("10" + std::string(21, 'A') + "1"), 3);
}

// Whatever is cut off the bracketed line: the lot is a beginning of the lot, never a lot with the
// rest of the line in it.
TEST(Gs1, H25_ACutLineInBracketsPutsNothingElseIntoTheLot) {
  const std::string line = "(01)02012345678903(17)280531(10)12AB(21)S-9(7003)2805310930";
  for (std::size_t length = 0; length < line.size(); ++length) {
    const auto carton = read_carton(line.substr(0, length), year);
    if (!carton) continue;
    EXPECT_TRUE(whole.lot.starts_with(carton->lot)) << line.substr(0, length);
    EXPECT_TRUE(whole.serial.starts_with(carton->serial)) << line.substr(0, length);
    EXPECT_EQ(carton->gtin, whole.gtin);
    EXPECT_TRUE(!carton->expires || carton->expires == whole.expires);
  }
}

// A text that was cut is refused, or what was read of it is true; nothing else happens to any text.
TEST(Gs1, CutOrGarbledTextsAreNeverReadAsAnother) {
  for (std::size_t length = 0; length < plain.size(); ++length) {
    const auto carton = read_carton(plain.substr(0, length), year);
    if (!carton) continue;
    EXPECT_TRUE(carton->gtin == whole.gtin || carton->gtin.empty() || length < 16);
    EXPECT_TRUE(whole.lot.starts_with(carton->lot));
    if (carton->expires) {
      EXPECT_EQ(carton->expires, whole.expires);
    }
  }
  std::mt19937 random{20270301};
  for (int round = 0; round < 20'000; ++round) {
    std::string text;
    for (auto n = random() % 40; n > 0; --n) {
      constexpr std::string_view often =
          "0117102100(){GS}<>^]\x1D"
          "AZ";
      text +=
          random() % 4 == 0 ? static_cast<char>(random() % 256) : often[random() % often.size()];
    }
    const auto carton = read_carton(text, year);
    if (!carton) {
      EXPECT_FALSE(carton.error().code.empty());
    } else if (!carton->gtin.empty()) {
      EXPECT_EQ(carton->gtin.size(), 14U);
      EXPECT_EQ(gs1_check_digit(carton->gtin.substr(0, 13)), carton->gtin.back());
    }
  }
}

}  // namespace
}  // namespace penstock::gs1
