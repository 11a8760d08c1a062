// GS1 element strings as a scanner types them; shapes, check digits and days from the GS1 General
// Specifications, from memory.
#include "edge/exchange/gs1.hpp"

#include <gtest/gtest.h>

#include <random>
#include <string>

namespace penstock::exchange {
namespace {

using namespace std::chrono_literals;

constexpr std::int32_t year = 2027;
constexpr std::string_view gs = "\x1D";

LocalDay day(int y, unsigned m, unsigned d) {
  return std::chrono::local_days{std::chrono::year{y} / m / d};
}
Carton must(std::string_view text) {
  const auto carton = read_carton(text, year);
  EXPECT_TRUE(carton) << text << ": " << (carton ? "" : carton.error().code);
  return carton ? *carton : Carton{};
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
const Carton whole{"02012345678903", "12AB", day(2028, 5, 31), std::nullopt, "S-9", std::nullopt};

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

TEST(Gs1, ABracketInALotIsNoElement) { EXPECT_EQ(must("(10)A(B)1(17)280531").lot, "A(B)1"); }

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
}

// A text that was cut is refused, or what was read of it is true; nothing else happens to any text.
TEST(Gs1, CutOrGarbledTextsAreNeverReadAsAnother) {
  for (std::size_t length = 0; length < plain.size(); ++length) {
    const auto carton = read_carton(plain.substr(0, length), year);
    if (!carton) continue;
    EXPECT_TRUE(carton->gtin == whole.gtin || carton->gtin.empty() || length < 16);
    EXPECT_TRUE(whole.lot.starts_with(carton->lot));
    if (carton->expires) EXPECT_EQ(carton->expires, whole.expires);
  }
  std::mt19937 random{20270301};
  for (int round = 0; round < 20'000; ++round) {
    std::string text;
    for (unsigned n = random() % 40; n > 0; --n) {
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
}  // namespace penstock::exchange
