#include "core/units/lot.hpp"

#include <gtest/gtest.h>

#include <string>

namespace penstock {
namespace {

TEST(LotKey, CaseBlanksAndSignsAreGone) {
  EXPECT_EQ(lot_key(" ap-43/c "), "AP43C");
  EXPECT_EQ(lot_key("AP43C"), "AP43C");
  EXPECT_EQ(lot_key("AP 43\u2011C\u00a0"), "AP43C");
  EXPECT_EQ(lot_key("\uff21\uff30\uff14\uff13\uff23"), "AP43C");  // of double width
}

TEST(LotKey, WhatHoldsNothingThatCanBeReadIsEmpty) {
  for (const auto* text : {"", "--", " . ", "\u200b\u00ad", "\U000E0041"})
    EXPECT_EQ(lot_key(text), "");
}

// Copied from small print, or typed on another language's keyboard.
TEST(LotKey, H61_WhatLooksAlikeIsTheSame) {
  EXPECT_EQ(lot_key("BO82BO"), lot_key("8082B0"));
  EXPECT_EQ(lot_key("I0L1"), lot_key("lo1I"));
  EXPECT_EQ(lot_key("S5Z2"), lot_key("5s2z"));
  EXPECT_EQ(lot_key("ZQ9B2F\u200b"), lot_key("zq9b2f"));
  EXPECT_EQ(lot_key("ZQ9\u00adB2F\ufeff"), lot_key("ZQ9B2F"));
  EXPECT_EQ(lot_key("ZQ9B2F\U000E0041"), lot_key("ZQ9B2F"));
  EXPECT_EQ(lot_key("\u0410\u0412\u0421"), lot_key("ABC"));  // Cyrillic
  EXPECT_EQ(lot_key("\u0391\u0392\u0396"), lot_key("ABZ"));  // Greek
}

TEST(LotKey, WhatLooksOtherwiseStaysTwo) {
  EXPECT_NE(lot_key("AB12"), lot_key("AB13"));
  EXPECT_NE(lot_key("Ä1"), lot_key("Ö1"));
  EXPECT_NE(lot_key("Ä1"), lot_key("A1"));
  EXPECT_NE(lot_key("D1"), lot_key("01"));
}

TEST(LotKey, WhatWasComparedIsComparedAsItIs) {
  for (const auto* text : {"BO82BO", "lot no. ab-12", "\u0416-7", "Ä1"})
    EXPECT_EQ(lot_key(lot_key(text)), lot_key(text));
}

// What stands around the number on the carton.
TEST(LotKey, H61_ALotTypedWithWhatStandsAroundItMayBeTheOne) {
  const auto key = lot_key("ZQ77X");
  for (const auto* text :
       {"ZQ77X", "zq 77x", "LOT ZQ77X", "Lot: ZQ-77X", "Charge ZQ77X", "(10)ZQ77X",
        "ZQ77X exp 2027", "ZQ77X/1", "ZQ77X, ZQ78X", "ZQ78X; ZQ 77 X", "ZQ\u0667\u0667X"})
    EXPECT_TRUE(lot_may_be(text, key)) << text;
  for (const auto* text : {"ZQ78X", "ZQ77X1", "AZQ77X", "LOTZQ77", "", "77"})
    EXPECT_FALSE(lot_may_be(text, key)) << text;
  EXPECT_FALSE(lot_may_be("ZQ77X", ""));
}

}  // namespace
}  // namespace penstock
