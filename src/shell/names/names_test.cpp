#include "shell/names/names.hpp"

#include <gtest/gtest.h>
#include <unicode/uchar.h>

#include <array>
#include <string>
#include <thread>
#include <vector>

#include "core/units/utf8.hpp"

namespace penstock::names {
namespace {

using namespace std::string_literals;

struct Case {
  const char* written;
  const char* folded;
};

TEST(Names, FoldedAcrossScripts) {
  constexpr Case cases[]{
      {"", ""},
      {"Mirela Okonkwo", "mirela okonkwo"},
      {"Zdzisława Michałowska-Wójcik", "zdzislawa michalowska-wojcik"},
      {"Øyvind Ångström", "oyvind angstrom"},
      {"Zoe\u0308", "zoe"},  // accents of their own
      {"Zoë", "zoe"},
      {"Nguyễn Thị Đào", "nguyen thi dao"},
      {"Nguye\u0302\u0303n Thi\u0323 Đa\u0300o", "nguyen thi dao"},
      {"Straße", "strasse"},
      {"STRASSE", "strasse"},
      {"STRAẞE", "strasse"},
      {"Æsa Þórðardóttir", "aesa thordardottir"},
      {"Œuvré", "oeuvre"},
      {"\uFB01ona \uFB02ynn", "fiona flynn"},  // ligatures
      {"Iğdır", "igdir"},                      // dotless i
      {"IĞDIR", "igdir"},
      {"İSTANBUL", "istanbul"},
      {"istanbul", "istanbul"},
      {"Αλέξανδρος", "αλεξανδροσ"},  // the last sigma, too
      {"ΑΛΕΞΑΝΔΡΟΣ", "αλεξανδροσ"},
      {"Ἀλέξανδρος", "αλεξανδροσ"},
      {"Наталья ЩУКИНА", "наталья щукина"},
      {"Семён", "семен"},
      {"Ｍｉｒｅｌａ", "mirela"},  // full width
      {"𝓜𝓲𝓻𝓮𝓵𝓪", "mirela"},
      {"O’Brien", "o'brien"},
      {"Anne\u2010Marie", "anne-marie"},
      {"a\u00A0b", "a b"},
      {" a \t  b\u3000", "a b"},
      {"हिन्दी", "हिन्दी"},  // vowels are letters
      {"ไทย ที่", "ไทย ที่"},
      {"がく", "がく"},  // voicing is another letter
      {"か\u3099く", "がく"},
  };
  for (const auto& [written, expected] : cases) EXPECT_EQ(folded(written), expected) << written;
}

TEST(Names, FoldedTwiceIsFoldedOnce) {
  for (const char* text :
       {"Zdzisława", "Straße", "ΑΛΕΞΑΝΔΡΟΣ", "Iğdır", "Nguyễn", "O’Brien", "हिन्दी"})
    EXPECT_EQ(folded(folded(text)), folded(text)) << text;
}

// The short way of ASCII is the long way: what cannot be seen behind it changes nothing.
TEST(Names, AsciiFoldsLikeTheRest) {
  for (char c = 0x20; c < 0x7F; ++c) {
    for (const auto& text : {std::string(1, c), "a"s + c + "B", "x "s + c, c + " x"s})
      EXPECT_EQ(folded(text), folded(text + "\u200B")) << text;
  }
}

// Zero-width characters and their like: none of them parts two names.
constexpr std::array never_seen{
    "\u200B",                              // zero-width space
    "\u200C",     "\u200D",                // joiners
    "\u200E",     "\u200F",     "\u061C",  // direction
    "\u2060",     "\u2063",
    "\uFEFF",                                                                // byte order mark
    "\u00AD",                                                                // soft hyphen
    "\u034F",     "\u180E",     "\u3164",     "\uFFA0", "\u115F", "\u1160",  // Hangul fillers
    "\uFE0F",     "\uFE0E",     "\U000E0101",                                // variation selectors
    "\U000E0041", "\U000E007F",                                              // tags
};

TEST(Names, H19_WhatIsNeverSeenIsNotCompared) {
  for (const std::string unseen : never_seen) {
    EXPECT_EQ(folded("Mir" + unseen + "ela"), "mirela") << unseen;
    EXPECT_EQ(look(unseen + "Mirela" + unseen), look("Mirela")) << unseen;
    EXPECT_EQ(folded(unseen + unseen), "") << unseen;
    EXPECT_EQ(look(unseen), "") << unseen;
  }
}

TEST(Names, H19_LettersOfOtherScriptsThatLookTheSameDo) {
  constexpr std::array alike{
      std::pair{"Mirela", "Мirela"},        // Cyrillic М
      std::pair{"Mirela", "Mirеlа"},        // Cyrillic е and а
      std::pair{"Oscar", "Оѕсаr"},          // nearly all of it
      std::pair{"Anna", "Αnna"},            // Greek Α
      std::pair{"Noor", "Ｎｏｏｒ"},        // full width
      std::pair{"Noor", "N\u03BF\u03BFr"},  // Greek ο
      std::pair{"Ian", "lan"},
      std::pair{"Bo", "B0"},
      std::pair{"Carmen", "Cannen"},  // no: n n is not r m
  };
  for (std::size_t i = 0; i + 1 < alike.size(); ++i)
    EXPECT_EQ(look(alike[i].first), look(alike[i].second)) << alike[i].second;
  EXPECT_EQ(look("Winter"), look("Vvinter"));
  EXPECT_EQ(look("Amaia"), look("Arnaia"));
  EXPECT_NE(look(alike.back().first), look(alike.back().second));
  EXPECT_NE(look("Mirela"), look("Mirona"));
}

TEST(Names, H19_ANumberOfAnotherScriptLooksTheSame) {
  for (const char* written : {"НЅ 04172", "ＨＳ\u3000０４１７２", "HS O4l72", "HS  04172 "})
    EXPECT_EQ(look(written), look("HS 04172")) << written;
  EXPECT_NE(look("HS 04173"), look("HS 04172"));
}

TEST(Names, H40_ASlipOfTheCopyistsNameMayBeTheCopyist) {
  for (const auto* by :
       {"Marrit Oyelaran", "Mar1t Oyelaran", "Marit Oyelran", "moyelaran", "Nurse Marit Oyelarann",
        "Mairt Oyelaran", "Marit Oyelarna", "Marit Oyealran"})
    EXPECT_TRUE(may_be_slip(by, "Marit Oyelaran")) << by;
  // A letter of another script takes two bytes and is one.
  EXPECT_TRUE(may_be_slip("Олена Коваль", "Олена Ковал"));
  EXPECT_TRUE(may_be_slip("Олена Квоаль", "Олена Коваль"));
  EXPECT_TRUE(may_be_slip("Μαrrit Οyelaran", "Marit Oyelaran")) << "Greek letters, and a slip";
  EXPECT_FALSE(may_be_slip("Mirat Oyelaran", "Marit Oyelaran")) << "no neighbours";
  for (const auto* by : {"Jonas Abara", "Mara Oyelaran", "Tom Oyelaran", "Oyelaran", ""})
    EXPECT_FALSE(may_be_slip(by, "Marit Oyelaran")) << by;
  EXPECT_FALSE(may_be_slip("Jo Li", "Jo Lu")) << "two short names";
}

TEST(Names, H40_TheCopyistsNameInAnotherSpellingMayBeTheCopyist) {
  struct Pair {
    const char *one, *other;
  };
  for (const auto& [one, other] :
       {Pair{"Anna Schröder", "A. Schroeder"}, Pair{"Anna Schröder", "Anna Schroeder"},
        Pair{"Søren Åberg", "Soeren Aaberg"}, Pair{"Müller Hans", "Hans Mueller"},
        Pair{"Jörg Strauß", "Strauss Joerg"}, Pair{"Ægir Bäcker", "Aegir Baecker"},
        Pair{"Sister Schroeder", "Anna Schröder"}, Pair{"aschroeder", "Anna Schröder"}}) {
    EXPECT_TRUE(may_be_slip(one, other)) << one << ", " << other;
    EXPECT_TRUE(may_be_slip(other, one)) << other << ", " << one;
  }
  for (const auto& [one, other] :
       {Pair{"Bea Schroeder", "Anna Schröder"}, Pair{"A. Schroeter", "Anna Schröder"},
        Pair{"B. Schroeder", "Anna Schröder"}, Pair{"", "Anna Schröder"},
        Pair{"Samuel Roe", "Joe Baer"}})
    EXPECT_FALSE(may_be_slip(one, other)) << one << ", " << other;
}

TEST(Names, H40_TheCopyistInLettersOfAnotherScriptIsTheCopyist) {
  for (const auto* by : {"Маrit Оуеlаrаn",   // Cyrillic
                         "МАRIТ ОYЕLАRАN",   // in capitals, where more of them look alike
                         "ΜΑRΙΤ ΟΥΕLΑRΑΝ",   // Greek capitals
                         "Sister Оyelaran",  // in part
                         "М. Oyelaran", "Оyelaran, Маrit"})
    EXPECT_TRUE(may_be_one(by, "Marit Oyelaran")) << by;
  for (const auto* by : {"Јonas Аbara", "Мara Оyelar", "Тom Аdeyemi", "Ольга Іванова"})
    EXPECT_FALSE(may_be_one(by, "Marit Oyelaran")) << by;
  EXPECT_FALSE(may_be_one("Олена Коваль", "Ольга Іванова"));
  EXPECT_FALSE(may_be_one("李 伟", "Marit Oyelaran")) << "one sign is a name, and no initial";
}

TEST(Names, VisibleTakesOutWhatMeansNothing) {
  for (const char* gone : {"\u200B", "\u2060", "\uFEFF", "\u00AD", "\u200E", "\u200F", "\u061C",
                           "\u3164", "\uFFA0", "\u180E", "\U000E0041", "\U000E007F"})
    EXPECT_EQ(visible("Mir"s + gone + "ela"), "Mirela") << gone;
  // Names are written with these.
  for (const char* kept : {"\u200C", "\u200D", "\u034F", "\uFE00", "\uFE0F", "\U000E0101", "\u00A0",
                           "\u0308", "\u115F"})
    EXPECT_EQ(visible("Mir"s + kept + "ela"), "Mir"s + kept + "ela") << kept;
  // These are refused elsewhere: they must still be there to be seen.
  for (const char* refused : {"\u202A", "\u202E", "\u2066", "\u2069"})
    EXPECT_EQ(visible("a"s + refused), "a"s + refused) << refused;
  EXPECT_EQ(visible("नेपाली\u200D"), "नेपाली\u200D");
  EXPECT_EQ(visible("plain"), "plain");
}

TEST(Names, SeveralThreadsFoldAtOnce) {
  std::vector<std::string> out(4);
  {
    std::vector<std::jthread> threads;
    for (auto& one : out) {
      threads.emplace_back([&one] {
        for (int i = 0; i < 200; ++i) one = folded("Nguyễn Æsa") + look("Мirela");
      });
    }
  }
  for (const auto& one : out) EXPECT_EQ(one, folded("Nguyễn Æsa") + look("Mirela"));
}

// The core compares lots without ICU, and knows the same characters.
TEST(Names, H61_WhatIsNeverSeenIsTheSameInTheCoreAsForNames) {
  constexpr char32_t last = 0x10FFFF;
  for (char32_t c = 0; c <= last; ++c) {
    const bool by_icu =
        u_hasBinaryProperty(static_cast<UChar32>(c), UCHAR_DEFAULT_IGNORABLE_CODE_POINT) != 0;
    ASSERT_EQ(is_never_seen(c), by_icu) << std::hex << static_cast<std::uint32_t>(c);
  }
}

// It looks for a dose in words without ICU, too, and knows the same numbers.
TEST(Names, H37_H40_WhatIsANumberIsTheSameInTheCore) {
  constexpr char32_t last = 0x10FFFF;
  for (char32_t c = 0; c <= last; ++c) {
    const bool by_icu = (U_MASK(u_charType(static_cast<UChar32>(c))) & U_GC_N_MASK) != 0;
    ASSERT_EQ(is_numeral(c), by_icu) << std::hex << static_cast<std::uint32_t>(c);
  }
}

TEST(Names, H40_H19_WhatIsDrawnAsNothingIsNotSeen) {
  for (const auto* text : {"", " ", "\u00a0\u3000", "\u200b", "\u2800", "\u2800 \u2800", "\u3164",
                           "\uffa0", "\u115f", "\U0001D159", "\ufffc", "\u0301", "\U000E0041"})
    EXPECT_FALSE(is_seen(text)) << text;
  for (const auto* text : {"Sam", "\u2800Sam", "李", "न", "4", "!", "\u2801"})
    EXPECT_TRUE(is_seen(text)) << text;
}

}  // namespace
}  // namespace penstock::names
