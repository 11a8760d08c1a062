// What was recalled, has expired or froze: asked about on every way in, counted on nowhere, and one
// instruction wherever it is named.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

// As it is read: without the ends of what is bold.
std::string flat(const json::Value& value) {
  auto text = Bench::all_text(value);
  std::erase(text, '\n');
  return text;
}

constexpr const char* loaded = "00000000000000000000000000000c09";

/// Somebody with an order and a pen, and nothing in it yet.
struct Recalling : Bench {
  Id person;
  Recalling() : Bench("2027-03-16T21:50:00+01:00"), person(enrol()) {
    order(person);
    must(record(
        person,
        R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":")" + std::string(pen) +
            R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})"));
  }

  void recall(const std::string& lot) {
    Bench::must(desk().record_clinic(
        request(
            R"({"facts":[{"what":"recall opened","happened":"2027-03-16T12:00:00+01:00","recall":"0000000000000000000000000000ca11","lot":")" +
            lot + R"("}]})"),
        desk().caller()));
  }
  Result<json::Value> give(const std::string& more, bool confirmed = false) {
    return record(
        person,
        R"({"what":"supplies given","happened":"2027-03-01T09:00:00+01:00","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"cartridges":2)" +
            more + "}",
        confirmed ? R"("confirmed":true,)" : "");
  }
  Result<json::Value> load(const std::string& more, const std::string& units = "300",
                           const std::string& cartridge = loaded) {
    return record(
        person,
        R"({"what":"cartridge loaded","happened":"2027-03-14T20:00:00+01:00","cartridge":")" +
            cartridge + R"(","pen":")" + std::string(pen) + R"(","copy":"glargine-100","units":)" +
            units + R"(,"content_units":)" + units + R"(,"fits":"fit A","new_cartridge":true)" +
            more + "}",
        "");
  }
  /// Yesterday evening's dose; of what nobody knows how much of it went in.
  void inject(const std::string& outcome = R"("units":22)") {
    must(record(person,
                R"({"what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" +
                    std::string(loaded) + R"(","line":"00000000000000000000000000000a01",)" +
                    R"("slot":"bedtime",)" + outcome + "}",
                R"("confirmed":true,)"));
  }
  std::string refusal() { return at(must(page_of("")), "/next/refusal/code").text; }
  std::string text(const std::string& target) { return flat(must(Bench::page(target))); }
  std::string text_of(const std::string& below = "") { return flat(must(page_of(below))); }
  Result<json::Value> page_of(const std::string& below) { return Bench::page(person, below); }
};

TEST(DeskRecalled, H61_H12_H03_H04_WhatGoesHomeIsAskedAbout) {
  Recalling on;
  on.recall("BAD-9");
  EXPECT_EQ(code(on.give(R"(,"lot":"bad 9")")), "ask.given_recalled");
  EXPECT_EQ(code(on.give(R"(,"lot":"8AD9")")), "ask.given_recalled");
  EXPECT_EQ(code(on.give(R"(,"lot":"BAD9\u200b")")), "ask.given_recalled");
  EXPECT_EQ(code(on.give(R"(,"expires":"2027-02-15")")), "ask.given_expired");
  EXPECT_EQ(code(on.give(R"(,"lot":"GOOD1","expires":"2028-03-15")")), "recorded");
  const auto other = [&](const std::string& insulin, const char* strength) {
    return code(on.record(
        on.person,
        R"({"what":"supplies given","happened":"2027-03-16T09:00:00+01:00","insulin":")" + insulin +
            R"(","strength_units_per_ml":)" + strength + R"(,"each_units":450,"cartridges":2})",
        ""));
  };
  EXPECT_EQ(other("insulin glargine", "300"), "ask.strength_not_ordered");
  EXPECT_EQ(other("insulin lispro", "100"), "ask.not_ordered");
}

TEST(DeskRecalled, H61_H12_WhatIsTakenInIsAskedAbout) {
  Recalling on;
  on.recall("LG 5501");
  const auto came = [&](const std::string& lot, const std::string& expires) {
    return code(on.desk().record_clinic(
        Bench::request(
            R"({"facts":[{"what":"stock came","happened":"2027-03-16T09:00:00+01:00","item":"glargine-100-cartridge","lot":")" +
            lot + R"(","pieces":10,"expires":")" + expires + R"("}]})"),
        on.desk().caller()));
  };
  EXPECT_EQ(came("LG-550I", "2028-03-15"), "ask.came_recalled");
  EXPECT_EQ(came("LG-5502", "2027-03-15"), "ask.came_expired");
  EXPECT_EQ(came("LG-5502", "2028-03-15"), "recorded");
}

TEST(DeskRecalled, H61_H25_WhatGoesIntoThePenIsAskedAbout) {
  Recalling on;
  EXPECT_EQ(code(on.load("", "450")), "ask.content");
  Bench::must(on.give(R"(,"lot":"BAD9")"));
  on.recall("BAD9");
  EXPECT_EQ(code(on.load(R"(,"lot":"bad-9")")), "ask.load_recalled");
  EXPECT_EQ(code(on.load("")), "ask.load_no_lot");
  EXPECT_EQ(code(on.load(R"(,"lot":"GOOD1")")), "recorded");
  const auto scale = [&](const char* units) {
    return code(on.record(on.person,
                          R"({"what":"scale counted","happened":"2027-03-16T21:00:00+01:00",)"
                          R"("cartridge":"00000000000000000000000000000c09","units":)" +
                              std::string(units) + "}",
                          ""));
  };
  EXPECT_EQ(scale("400"), "ask.scale_more");
  EXPECT_EQ(scale("300"), "recorded");
  EXPECT_EQ(
      code(on.record(
          on.person,
          R"({"what":"injected","happened":"2027-03-14T19:00:00+01:00","cartridge":"00000000000000000000000000000c09","units":22})",
          "")),
      "ask.before_loaded");
}

TEST(DeskRecalled, H38_H61_H58_WithoutAnotherLotCardSheetAndTodaySayReplacementFirst) {
  Recalling on;
  Bench::must(on.give(R"(,"lot":"BAD1")"));
  Bench::must(on.load(R"(,"lot":"BAD1")"));
  on.inject();
  on.recall("bad-1");
  EXPECT_EQ(on.refusal(), "interlock.recalled");
  const auto page = on.text_of();
  EXPECT_TRUE(has(page, "eplacement first")) << page;
  EXPECT_FALSE(has(page, "the unopened spare")) << page;
  EXPECT_TRUE(has(page, "Nothing else that may be used is recorded at home")) << page;
  EXPECT_TRUE(has(page, "Do not miss basal insulin")) << page;
  EXPECT_TRUE(has(page, "1 recalled: do not use")) << page;
  const auto sheet = on.text("/api/recalls/BAD1");
  EXPECT_TRUE(has(sheet, "eplacement first")) << sheet;
  EXPECT_TRUE(has(sheet, "Do not use this lot")) << sheet;
  EXPECT_FALSE(has(sheet, "with what you have")) << sheet;
  const auto today = on.text("/api/today");
  EXPECT_TRUE(has(today, "is from lot BAD1, which has been recalled")) << today;
  EXPECT_FALSE(has(today, "Nobody needs attention")) << today;
  const auto supplies = on.text_of("/supplies");
  EXPECT_TRUE(has(supplies, "No insulin glargine is at home")) << supplies;
  EXPECT_TRUE(has(supplies, "1, recalled: do not use")) << supplies;
}

// What stands around the number on the carton is typed with it.
TEST(DeskRecalled, H61_ALotTypedWithMoreThanItsNumberIsFoundAndHeld) {
  for (const auto* lot : {"LOT ZQ77X", "(10)ZQ77X", "ZQ77X exp 2027", "ZQ77X/1", "ZQ77X, ZQ78X"}) {
    Recalling on;
    Bench::must(on.load(R"(,"lot":")" + std::string(lot) + "\""));
    on.inject();
    on.recall("ZQ77X");
    EXPECT_EQ(on.refusal(), "interlock.recalled") << lot;
    const auto sheet = on.text("/api/recalls/ZQ77X");
    EXPECT_TRUE(has(sheet, "Mirela Okonkwo")) << sheet;
    EXPECT_TRUE(has(sheet, "Perhaps this lot")) << sheet;
    EXPECT_TRUE(has(on.text("/api/today"), "ZQ77X")) << lot;
  }
}

TEST(DeskRecalled, H61_H57_OnePressOnTheRecallSheetEndsNoWatchOfThePerson) {
  Recalling on;
  Bench::must(on.load(R"(,"lot":"BAD1")"));
  on.inject();
  on.recall("BAD1");
  Bench::must(on.desk().record_clinic(
      Bench::request(
          R"({"facts":[{"what":"recall called","happened":"2027-03-16T21:40:00+01:00","recall":"0000000000000000000000000000ca11","person":")" +
          to_text(on.person) + R"(","outcome":"replaced","text":"x"}]})"),
      on.desk().caller()));
  EXPECT_TRUE(has(on.text("/api/today"), "which has been recalled")) << on.text("/api/today");
  Bench::must(on.load(R"(,"lot":"GOOD1")", "300", "00000000000000000000000000000c0a"));
  EXPECT_FALSE(has(on.text("/api/today"), "which has been recalled")) << on.text("/api/today");
}

TEST(DeskRecalled, H58_OfARecalledLotTheShelfSaysOneThing) {
  Recalling on;
  const auto stock = [&](const std::string& fact) {
    Bench::must(on.desk().record_clinic(
        Bench::request(R"({"confirmed":true,"facts":[{"happened":"2027-03-16T09:00:00+01:00",)"
                       R"("item":"glargine-100-cartridge","lot":"LG 5501",)" +
                       fact + "}]}"),
        on.desk().caller()));
  };
  stock(R"("what":"stock came","pieces":10,"expires":"2027-03-20")");
  stock(R"("what":"stock moved","pieces":2,"way":"came back")");
  EXPECT_TRUE(has(on.text("/api/stock"), "or they will be wasted"));
  EXPECT_TRUE(has(on.text("/api/stock"), "Dispose of them"));
  on.recall("LG5501");
  const auto page = on.text("/api/stock");
  EXPECT_TRUE(has(page, "12 items are here. Quarantine them (closed and separate)")) << page;
  EXPECT_FALSE(has(page, "or they will be wasted")) << page;
  EXPECT_FALSE(has(page, "Dispose of them")) << page;
  EXPECT_FALSE(has(page, "expires soon")) << page;
}

TEST(DeskRecalled, H12_H38_AFridgeThatFrozeIsSaidOfTheSealedOnes) {
  Recalling on;
  Bench::must(on.give(R"(,"lot":"L1")"));
  Bench::must(on.load(R"(,"lot":"L1")"));
  Bench::must(on.record(
      on.person,
      R"({"what":"temperature spell","happened":"2027-03-16T21:00:00+01:00","celsius":-6,"minutes":600,"frozen":true,"sealed":true})",
      R"("confirmed":true,)"));
  EXPECT_EQ(on.refusal(), "next.unfit");
  const auto page = on.text_of();
  EXPECT_TRUE(has(page, "1 frozen or too warm: do not use")) << page;
  EXPECT_FALSE(has(page, "Change the cartridge")) << page;
  EXPECT_TRUE(has(page, "Nothing else that may be used is recorded at home")) << page;
  EXPECT_TRUE(has(on.text_of("/supplies"), "1 frozen or too warm: do not use"));
}

TEST(DeskRecalled, H02_H44_WhatNobodyCountedStandsOnCardPensAndSupplies) {
  Recalling on;
  Bench::must(on.load(R"(,"lot":"L1")"));
  on.inject(R"("units":0,"meant_units":22,"outcome":"unknown")");
  on.set_clock("2027-03-16T22:10:00+01:00");
  const auto page = on.text_of();
  EXPECT_TRUE(has(page, "It may be as little as 278 units")) << page;
  EXPECT_TRUE(has(on.text_of("/supplies"), "278 + 0 unopened")) << on.text_of("/supplies");
}

TEST(DeskRecalled, H52_H12_ADoseOnlySaidToBeTakenIsNotToldAsNone) {
  Recalling on;
  Bench::must(on.load(R"(,"lot":"L1")"));
  for (const auto* day : {"2027-03-14", "2027-03-15"})
    Bench::must(on.record(
        on.person,
        R"({"what":"dose answered","line":"00000000000000000000000000000a01","slot":"bedtime","day":")" +
            std::string(day) + R"(","was":"taken"})",
        ""));
  const auto page = on.text_of();
  EXPECT_TRUE(has(page, "22:00, was reported as taken")) << page;
  EXPECT_FALSE(has(page, tests::piece("sentences/step.taken.none"))) << page;
  EXPECT_TRUE(has(page, "27 of 28 days left") || has(page, "26 of 28 days left")) << page;
  EXPECT_TRUE(has(page, "It may be as little as 250 units")) << page;
}

TEST(DeskRecalled, H12_APartUsedCartridgeSaysThatNobodyKnowsSinceWhen) {
  Recalling on;
  Bench::must(on.record(
      on.person,
      R"({"what":"cartridge loaded","happened":"2027-03-14T20:00:00+01:00","cartridge":")" +
          std::string(loaded) + R"(","pen":")" + std::string(Bench::pen) +
          R"(","copy":"glargine-100","units":120,"content_units":300,"fits":"fit A"})",
      ""));
  on.inject();
  const auto page = on.text_of();
  EXPECT_TRUE(has(page, "it is not recorded since when it was in use before")) << page;
  EXPECT_TRUE(has(page, "it is not recorded since when")) << page;
}

TEST(DeskRecalled, H41_ANoticeOfTheScaleTellsWhatTheAccountSaidThen) {
  Recalling on;
  Bench::must(on.load(R"(,"lot":"L1")"));
  Bench::must(on.record(on.person,
                        R"({"what":"scale counted","happened":"2027-03-15T21:00:00+01:00",)"
                        R"("cartridge":"00000000000000000000000000000c09","units":299})",
                        ""));
  on.inject();
  const auto page = on.text_of();
  EXPECT_TRUE(has(page,
                  "on 15 March the scale was read at 299 units, but the record had 300 units "
                  "left then"))
      << page;
}

TEST(DeskRecalled, H61_H19_WhatIsNeverSeenEntersInNoText) {
  Recalling on;
  Bench::must(on.give(R"(,"lot":"ZQ9\u200bB2F\ufeff")"));
  Bench::must(on.record(on.person, R"({"what":"note","text":"plain\u00ad text\udb40\udc41"})", ""));
  const auto journal = on.text_of("/journal");
  EXPECT_TRUE(has(journal, "ZQ9B2F")) << journal;
  EXPECT_TRUE(has(journal, "plain text")) << journal;
}

TEST(DeskRecalled, H58_H12_WhatHasExpiredIsNotToldAsDaysInUse) {
  Recalling on;
  Bench::must(on.load(R"(,"lot":"L1","expires":"2027-03-15")"));
  on.inject();
  const auto today = on.text("/api/today");
  EXPECT_TRUE(has(today, "expiry date")) << today;
  EXPECT_FALSE(has(today, "in use for")) << today;
}

TEST(DeskRecalled, H39_H25_APartOfWhichNothingIsMissingIsAskedAbout) {
  Clinic clinic("2027-03-16T22:10:00+01:00");
  const auto part = [&](const char* units, const char* meant) {
    return code(clinic.record(
        clinic.person,
        R"({"what":"injected","happened":"2027-03-16T22:05:00+01:00","cartridge":")" +
            std::string(Bench::cartridge) +
            R"(","line":"00000000000000000000000000000a01","slot":"bedtime","outcome":"part","units":)" +
            units + R"(,"meant_units":)" + meant + "}",
        ""));
  };
  EXPECT_EQ(part("22", "22"), "ask.no_part");
  EXPECT_EQ(part("10", "5"), "ask.no_part");
  EXPECT_EQ(part("10", "22"), "recorded");
}

// ---- the shelf

struct OnShelf : Recalling {
  static constexpr const char* pen_entry =
      R"("thing":{"name":"%","step_units":1,"most_units":60,"window":"@","takes":"cartridge",)"
      R"("prime_units":2,"new_cartridge_prime_units":4,"hold_seconds":10,"turns_back":true,)"
      R"("when_short":"stops dialling","fits":"fit A","needle_fits":"screw"})";
  Result<json::Value> add_pen(const std::string& shelf_code, const std::string& name,
                              const std::string& window, bool confirmed = false) {
    std::string thing(pen_entry);
    thing.replace(thing.find('%'), 1, name);
    thing.replace(thing.find('@'), 1, window);
    return desk().record_clinic(
        request(R"({"confirmed":)" + std::string(confirmed ? "true" : "false") +
                R"(,"facts":[{"what":"shelf pen added","entry":{"code":")" + shelf_code + R"(",)" +
                thing + "}}]}"),
        desk().caller());
  }
};

TEST(DeskShelf, H01_H12_AnEntryThatTakesAnothersPlaceSaysWhatWasAndWhatWouldBe) {
  OnShelf on;
  const auto asked =
      Bench::must(on.add_pen("reusable-whole-60", "reusable pen, whole units to 60", "counts on"));
  const auto text = flat(asked);
  EXPECT_TRUE(has(text, "the window is returns to zero now, and would become counts on")) << text;
  EXPECT_EQ(
      code(on.add_pen("reusable-whole-60", "reusable pen, whole units to 60", "counts on", true)),
      "recorded");
  EXPECT_EQ(code(on.add_pen("reusable-whole-60", "reusable pen, whole units to 60", "counts on")),
            "recorded");  // nothing would be another
  EXPECT_EQ(code(on.add_pen("own-x1", "Reusable pen, whole units t\u043e 60", "counts on")),
            "ask.shelf_twin");
  EXPECT_EQ(code(on.add_pen("own-x2", "a pen of our own", "counts on")), "recorded");
}

TEST(DeskShelf, H38_WhatStandsOnEveryRefusalIsATelephoneNumber) {
  Recalling on;
  const auto name = [&](const char* phone, const char* emergency) {
    return code(on.desk().name_clinic(
        Bench::request(
            R"({"clinic":"Harbour Street Clinic","user":"Marit Oyelaran","zone":"Europe/Berlin","phone":")" +
            std::string(phone) + R"(","emergency":")" + emergency + R"("})"),
        on.desk().caller()));
  };
  EXPECT_EQ(name("x", "112"), "desk.phone_form");
  EXPECT_EQ(name("555 0100", "y"), "desk.phone_form");
  EXPECT_EQ(name("", ""), "recorded");
  EXPECT_EQ(name("030 555 0100", "999"), "recorded");
}

}  // namespace
}  // namespace penstock::desk
