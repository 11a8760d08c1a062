#include "shell/desk/desk.hpp"

#include <gtest/gtest.h>

#include <set>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/summary/summary.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "shell/names/names.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

std::string code(const Result<json::Value>& answer) {
  return answer ? Bench::at(*answer, "/ask/code").text : answer.error().code;
}

// The window's number is drawn and said in the step that holds it, nowhere else.
bool has_window(const json::Value& person) {
  for (const auto& step : Bench::at(person, "/next/steps").members) {
    if (Bench::at(step.value, "/window").flag) return true;
  }
  return false;
}

// S2: an entry may only be empty where a fact says who erased it, and why.
void tell_erased(Bench& bench, Id person, Id erased) {
  journal::Fact told;
  told.id = Id{1, 2};
  told.journal = person;
  told.author = "Marit Oyelaran";
  told.source = "bench";
  told.payload = journal::PayloadErased{erased, "asked for in writing"};
  ASSERT_TRUE(bench.store().write([&](store::WriteTx& tx) -> Result<void> {
    const auto kept = tx.append(person, std::vector{packed(told)}, std::nullopt);
    return kept ? Result<void>{} : Result<void>(kept.error());
  }));
}

// Tonight's 22 units from the order, of which only some, or nobody knows how many, went in.
void inject_unfinished(Bench& bench, Id person, const std::string& line, const std::string& units,
                       const std::string& outcome) {
  bench.set_clock("2027-03-16T22:05:00+01:00");
  Bench::must(bench.record(person, R"({"what":"injected","cartridge":")" +
                                       std::string(Bench::cartridge) + R"(","units":)" + units +
                                       R"(,"meant_units":22,"outcome":")" + outcome +
                                       R"(","line":")" + line + R"(","slot":"bedtime"})"));
}

TEST(Desk, NothingIsRecordedBeforeTheClinicIsNamed) {
  auto store = store::make_memory_store();
  Ports ports;
  ports.store = store.get();
  ports.now = [] { return Instant{}; };
  ports.zone = [](std::string_view) -> Result<ZoneRules> { return ZoneRules{}; };
  ports.zone_names = [] { return std::vector<std::string>{}; };
  ports.new_id = [] { return Id{1, 2}; };
  auto desk = std::move(*Desk::open(std::move(ports)));
  const auto answer = desk->register_person(Bench::request(R"({"facts":[]})"), desk->caller());
  ASSERT_FALSE(answer);
  EXPECT_EQ(answer.error().code, codes::clinic_unnamed);
}

TEST(Desk, TheWholeJobFromRegisteringTo126UnitsLeft) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person, "150");
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/next/state").text, "dial");
  EXPECT_TRUE(has_window(page));
  EXPECT_EQ(Bench::at(page, "/pens/0/cartridge/left_text").text, "150");
  Bench::must(bench.record(person, R"({"what":"needle on","pen":")" + std::string(Bench::pen) +
                                       R"(","needle":"4-mm-32g","length_mm":4})"));
  Bench::must(bench.record(person, R"({"what":"primed","cartridge":")" +
                                       std::string(Bench::cartridge) +
                                       R"(","units":2,"flow":"seen"})"));
  bench.set_clock("2027-03-16T22:02:00+01:00");
  Bench::must(bench.record(person, R"({"what":"injected","cartridge":")" +
                                       std::string(Bench::cartridge) + R"(","units":22,"line":")" +
                                       line + R"(","slot":"bedtime","given_by":"self"})"));
  const auto after = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(after, "/pens/0/cartridge/left_text").text, "126");
}

TEST(Desk, H37_H09_AnOpenQuestionTakesTheNumberAwayUntilItIsAnswered) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  const std::string question = "00000000000000000000000000000d01";
  Bench::must(bench.record(
      person, R"({"id":")" + question + R"(","what":"question opened","line":")" + line +
                  R"(","reason":"lows","text":"below the target on four nights"})"));
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/next").type, json::Type::null);
  ASSERT_EQ(Bench::at(page, "/asks").members.size(), 1U);
  const auto card = Bench::all_text(Bench::at(page, "/asks/0"));
  EXPECT_EQ(card.find("22 units"), std::string::npos) << card;
  EXPECT_NE(card.find("Do not miss basal insulin or premixed insulin unless told to"),
            std::string::npos);
  EXPECT_NE(card.find("four nights"), std::string::npos);
  // No sheet either, on paper (H37, H48).
  const auto sheet = bench.page(person, "/steps?line=" + line + "&slot=bedtime&day=2027-03-16");
  ASSERT_FALSE(sheet);
  EXPECT_EQ(sheet.error().code, "order.question_open");
  Bench::must(bench.record(
      person, R"({"what":"question answered","question":")" + question +
                  R"(","answer":"keep the dose","by":"Dr Tomasz Adeyemi","read_back":true})"));
  EXPECT_TRUE(has_window(Bench::must(bench.page(person))));
  EXPECT_EQ(code(bench.record(person, R"({"what":"question answered","question":")" + question +
                                          R"(","answer":"stop","by":"x"})")),
            codes::question_answered);
}

TEST(Desk, H40_AnUncheckedOrderHasNoWindowAndTheCopyistIsNoSecondCheck) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  bench.pen_and_cartridge(person);
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/next/state").text, "refused");
  EXPECT_FALSE(has_window(page));
  EXPECT_EQ(Bench::at(page, "/next/refusal/code").text, "order.unchecked");
  EXPECT_EQ(Bench::at(page, "/next/dose_text").text, "");
  EXPECT_EQ(code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                          R"(","checked_by":" marit oyelaran "})")),
            codes::check_own_copy);
  Bench::must(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                       R"(","checked_by":"Jonas Abara",)" + Bench::reading + "}"));
  EXPECT_TRUE(has_window(Bench::must(bench.page(person))));
  EXPECT_EQ(
      code(bench.record(
          person,
          R"({"what":"order line signed","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","units":20}],"least_units":10,"most_units":30,"from":"2027-03-17","prescriber":"Dr Osei","signed_on":"2027-03-16","copied_from":"telephone","copied_by":"Marit Oyelaran","read_back":false})")),
      codes::read_back_missing);
}

TEST(Desk, H38_ARefusalOfADueDoseSaysHowToGetInsulinToday) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  const auto page = Bench::must(bench.page(person));  // no pen at all
  EXPECT_EQ(Bench::at(page, "/next/refusal/code").text, "next.no_pen");
  const auto words = Bench::all_text(Bench::at(page, "/next/refusal"));
  EXPECT_NE(words.find("555 0100"), std::string::npos);
  EXPECT_NE(words.find("112"), std::string::npos);
  EXPECT_NE(words.find("Do not miss basal insulin"), std::string::npos);
}

TEST(Desk, H39_H21_TenOfTwentyTwoThenTwelveIsShownNeverTwentyTwo) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  inject_unfinished(bench, person, line, "10", "part");
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/next/part_text").text, "12, not 22");
  EXPECT_EQ(Bench::at(page, "/next/dose_text").text, "12 units");
  for (const auto& step : Bench::at(page, "/next/steps").members) {
    EXPECT_EQ(Bench::all_text(Bench::at(step.value, "/title")).find("22"), std::string::npos);
  }
}

TEST(Desk, H38_H39_ARestThatWasForgottenDoesNotHoldUpTheNextDaysDose) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  inject_unfinished(bench, person, line, "10", "part");
  bench.set_clock("2027-03-17T03:00:00+01:00");
  const auto late = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(late, "/next/refusal/code").text, "order.rest_late");
  bench.set_clock("2027-03-17T21:30:00+01:00");
  const auto next = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(next, "/next/state").text, "dial");
  EXPECT_EQ(Bench::at(next, "/next/dose_text").text, "22 units");
  EXPECT_EQ(Bench::at(next, "/next/part_text").text, "");
}

TEST(Desk, H44_AnUnknownOutcomeStaysUnknownAndIsNotRepeated) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  inject_unfinished(bench, person, line, "0", "unknown");
  const auto page = Bench::must(bench.page(person));
  EXPECT_FALSE(has_window(page));
  EXPECT_EQ(Bench::at(page, "/next/refusal/code").text, "order.outcome_unknown");
}

TEST(Desk, H44_ThreeDryPrimesAndADryNewNeedleGiveNoDial) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  int minute = 20;
  const auto dry = [&](const std::string& fact) {
    bench.set_clock(("2027-03-16T21:" + std::to_string(minute++) + ":00+01:00").c_str());
    Bench::must(bench.record(person, fact));
  };
  const std::string on = R"({"what":"needle on","pen":")" + std::string(Bench::pen) +
                         R"(","needle":"4-mm-32g","length_mm":4})";
  const std::string off = R"({"what":"needle off","pen":")" + std::string(Bench::pen) + R"("})";
  const std::string prime = R"({"what":"primed","cartridge":")" + std::string(Bench::cartridge) +
                            R"(","units":2,"flow":"not seen"})";
  dry(on);
  for (int i = 0; i < 3; ++i) dry(prime);
  dry(off);
  dry(on);
  for (int i = 0; i < 3; ++i) dry(prime);
  const auto page = Bench::must(bench.page(person));
  EXPECT_FALSE(has_window(page)) << Bench::all_text(Bench::at(page, "/next"));
  EXPECT_EQ(Bench::at(page, "/next/refusal/code").text, "dial.no_flow");
}

TEST(Desk, H12_PastItsPeriodTheNextCartridgeServesAndTodaySaysStop) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person, "300", "2027-02-10T08:00:00+01:00");
  Bench::must(bench.record(
      person, R"({"what":"primed","happened":"2027-02-12T22:00:00+01:00","cartridge":")" +
                  std::string(Bench::cartridge) + R"(","units":4,"flow":"seen"})"));
  const auto alone = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(alone, "/next/refusal/code").text, "dial.all_past_in_use");
  bench.supplies(person, 2);
  const auto page = Bench::must(bench.page(person));
  EXPECT_TRUE(has_window(page));
  EXPECT_EQ(Bench::at(page, "/next/steps/1/key").text, "change");
  const auto words = Bench::all_text(Bench::at(page, "/next/steps"));
  EXPECT_NE(words.find("past its in-use days"), std::string::npos);
  EXPECT_EQ(words.find("Not enough left to prime"), std::string::npos);
  const auto today = Bench::must(bench.page("/api/today"));
  EXPECT_EQ(Bench::at(today, "/groups/0/needs/0/level").text, "stop");
  EXPECT_NE(Bench::all_text(today).find("34 days"), std::string::npos);
  // What was injected from it all the same is a record: asked about, then taken.
  const std::string dose = R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) +
                           R"(","units":22,"line":")" + line + R"("})";
  EXPECT_EQ(code(bench.record(person, dose)), codes::ask_past_in_use);
  EXPECT_EQ(code(bench.record(person, dose, "\"confirmed\":true,")), "");
}

TEST(Desk, H32_InALargeClinicTodayGoesOnForPagesAndLeavesNobodyOut) {
  Bench bench;
  const auto numbered = [](char first, int i) {
    return first + std::string(29, '0') + std::to_string(10 + i);
  };
  const int people = 90;
  for (int i = 0; i < people; ++i) {
    const auto person = bench.enrol("Person " + std::to_string(10 + i), "1958-06-04",
                                    "HS 05" + std::to_string(100 + i));
    bench.order(person, numbered('a', i));
    const auto pen = numbered('b', i), cartridge = numbered('c', i);
    // In use since long before its 28 days were over: nothing may be dialled from it.
    Bench::must(bench.record(
        person,
        R"({"what":"pen given","happened":"2027-02-02T09:10:00+01:00","pen":")" + pen +
            R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100},)"
            R"({"what":"cartridge loaded","happened":"2027-02-02T09:11:00+01:00","cartridge":")" +
            cartridge + R"(","pen":")" + pen +
            R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true})"));
  }
  const auto page = [&](const std::string& number) {
    return Bench::must(bench.page("/api/today?page=" + number));
  };
  std::set<std::string> named;
  std::size_t rows = 0;
  for (const std::string number : {"1", "2", "3"}) {
    const auto today = page(number);
    EXPECT_EQ(Bench::at(today, "/pages").text, "3");
    EXPECT_NE(Bench::at(today, "/more").text.find("page " + number + " of 3"), std::string::npos);
    for (const auto& group : Bench::at(today, "/groups").members) {
      for (const auto& need : Bench::at(group.value, "/needs").members) {
        ++rows;
        EXPECT_EQ(Bench::at(need.value, "/level").text, "stop");
        named.insert(Bench::at(need.value, "/action/href").text);
        EXPECT_EQ(Bench::at(need.value, "/action/first").flag, rows % 40 == 1);
      }
    }
  }
  EXPECT_EQ(rows, static_cast<std::size_t>(people));
  EXPECT_EQ(named.size(), static_cast<std::size_t>(people));
  EXPECT_EQ(json::to_text(page("4")), json::to_text(page("3")));
}

TEST(Desk, H07_ADoubleClickIsOneFactAndASecondDoseAsksFirst) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  bench.set_clock("2027-03-16T22:00:00+01:00");
  const std::string dose =
      R"({"id":"00000000000000000000000000000e01","what":"injected","happened":"2027-03-16T22:00:00+01:00","cartridge":")" +
      std::string(Bench::cartridge) + R"(","units":22,"line":")" + line + R"(","slot":"bedtime"})";
  const auto first = Bench::must(bench.record(person, dose));
  EXPECT_EQ(Bench::at(first, "/recorded").members.size(), 1U);
  bench.set_clock("2027-03-16T22:00:04+01:00");
  const auto again = Bench::must(bench.record(person, dose));
  EXPECT_EQ(Bench::at(again, "/known").members.size(), 1U);
  EXPECT_EQ(Bench::at(again, "/version").text, Bench::at(first, "/version").text);
  bench.set_clock("2027-03-16T22:30:00+01:00");
  EXPECT_EQ(code(bench.record(
                person, R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) +
                            R"(","units":22,"line":")" + line + R"(","slot":"bedtime"})")),
            codes::ask_taken_already);
}

TEST(Desk, H20_AWriterWhoSawAnOlderVersionIsTold) {
  Bench bench;
  const auto person = bench.enrol();
  const auto version = Bench::at(Bench::must(bench.page(person)), "/version").text;
  Bench::must(bench.record(person, R"({"what":"note","text":"first"})",
                           "\"seen_version\":" + version + ","));
  const auto late = bench.record(person, R"({"what":"note","text":"second"})",
                                 "\"seen_version\":" + version + ",");
  ASSERT_FALSE(late);
  EXPECT_EQ(late.error().kind, Kind::conflict);
  EXPECT_EQ(late.error().code, "store.version_conflict");
}

TEST(Desk, H19_TwoAlikeAreNeverOpenedByAGuess) {
  Bench bench;
  bench.enrol("Mirela Okonkwo", "1958-06-04", "HS 04172");
  EXPECT_EQ(
      code(bench.desk().register_person(
          Bench::request(
              R"({"facts":[{"what":"person registered","full_name":"Mirella Okonkwo","born":"1985-04-06","number":"HS 04712","zone":"UTC"}]})"),
          bench.desk().caller())),
      codes::ask_alike);
  bench.enrol("Mirella Okonkwo", "1985-04-06", "HS 04712");
  EXPECT_EQ(
      code(bench.desk().register_person(
          Bench::request(
              R"({"confirmed":true,"facts":[{"what":"person registered","full_name":"Somebody Else","born":"1985-04-06","number":"HS 04712","zone":"UTC"}]})"),
          bench.desk().caller())),
      codes::number_taken);
  const auto several = bench.desk().find_person("okonkwo", bench.desk().caller());
  ASSERT_FALSE(several);
  EXPECT_EQ(several.error().code, codes::several_people);
  EXPECT_TRUE(bench.desk().find_person("hs 04712", bench.desk().caller()));
  // One of them alone fits: enough to look, not to write.
  constexpr auto to_write = whom::Finding::to_write;
  EXPECT_TRUE(bench.desk().find_person("mirela", bench.desk().caller()));
  const auto guessed = bench.desk().find_person("mirela", bench.desk().caller(), to_write);
  ASSERT_FALSE(guessed);
  EXPECT_EQ(guessed.error().code, codes::person_in_full);
  EXPECT_TRUE(bench.desk().find_person("hs 04712", bench.desk().caller(), to_write));
  const auto list = Bench::must(bench.page("/api/people?q=okonkwo"));
  ASSERT_EQ(Bench::at(list, "/people").members.size(), 2U);
  EXPECT_EQ(Bench::at(list, "/people/0/alike").members.size(), 1U);
  const auto alike = [](std::string_view a, std::string_view b) {
    constexpr summary::Keys keys{names::folded, names::look};
    return summary::alike(summary::key_of(a, keys), summary::key_of(b, keys));
  };
  EXPECT_TRUE(alike("Zdzisława Michałowska", "Zdzislawa Michalowska"));
  EXPECT_FALSE(alike("Tove Marklund", "Tomas Wren"));
}

TEST(Desk, H13_APenBelongsToOnePersonForEver) {
  Bench bench;
  const auto one = bench.enrol();
  bench.pen_and_cartridge(one);
  const auto other = bench.enrol("Tove Marklund", "2019-08-21", "HS 05120");
  const std::string give =
      R"({"what":"pen given","pen":")" + std::string(Bench::pen) +
      R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})";
  EXPECT_EQ(code(bench.record(other, give)), codes::pen_of_another);
  EXPECT_EQ(code(bench.record(one, give)), codes::pen_twice);
  // It happened all the same: recorded, and the pen is not planned again.
  bench.order(one);
  Bench::must(bench.record(one, R"({"what":"pen shared","pen":")" + std::string(Bench::pen) +
                                    R"(","with":"a brother"})"));
  EXPECT_FALSE(has_window(Bench::must(bench.page(one))));
}

TEST(Desk, H04_H42_AnotherInsulinOrACartridgeThatWasNotMadeForThePenIsAskedAbout) {
  Bench bench;
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  const auto load = [&](const char* cartridge, const char* copy, const char* fits) {
    return R"({"what":"cartridge loaded","cartridge":")" + std::string(cartridge) + R"(","pen":")" +
           Bench::pen + R"(","copy":")" + copy + R"(","units":300,"content_units":300,"fits":")" +
           fits + "\"}";
  };
  EXPECT_EQ(
      code(bench.record(person, load("00000000000000000000000000000c02", "lispro-100", "fit B"))),
      codes::ask_other_insulin);
  EXPECT_EQ(
      code(bench.record(person, load("00000000000000000000000000000c03", "glargine-100", "fit C"))),
      codes::ask_no_fit);
  bench.order(person);
  Bench::must(bench.record(person,
                           load("00000000000000000000000000000c03", "glargine-100", "fit C"),
                           "\"confirmed\":true,"));
  // The one that was in it goes back, unless that is gone.
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/state").text, "dial");
  Bench::must(bench.record(person, R"({"what":"thrown away","cartridge":")" +
                                       std::string(Bench::cartridge) + R"(","reason":"damaged"})"));
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/next/refusal/code").text, "next.no_fit");
}

TEST(Desk, H41_ScaleAndLedgerStandSideBySide) {
  Bench bench;
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  Bench::must(bench.record(person, R"({"what":"scale counted","cartridge":")" +
                                       std::string(Bench::cartridge) + R"(","units":276})"));
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(Bench::at(page, "/pens/0/cartridge/left_text").text, "300");
  const auto today = Bench::all_text(Bench::must(bench.page("/api/today")));
  EXPECT_NE(today.find("300 units"), std::string::npos);
  EXPECT_NE(today.find("276 units"), std::string::npos);
}

TEST(Desk, H08_H28_CardAndSheetCarryOrderVersionDateAndPrintTime) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  const auto page = Bench::must(bench.page(person));
  EXPECT_EQ(
      Bench::at(page, "/next/order_text").text,
      "Order version 4, 2 March 2027, Dr Tomasz Adeyemi. Checked by Jonas Abara without reading "
      "its first and last day.");
  EXPECT_EQ(Bench::at(page, "/next/purpose").text, "Basal insulin");
  EXPECT_EQ(Bench::at(page, "/next/strength_text").text, "100 units/mL");
  const auto sheet =
      Bench::must(bench.page(person, "/steps?line=" + line + "&slot=bedtime&day=2027-03-16"));
  EXPECT_EQ(Bench::at(sheet, "/title").text,
            "For Tuesday 16 March 2027 only. Then throw this sheet away.");  // H48
  EXPECT_NE(Bench::at(sheet, "/order_text").text.find("version 4"), std::string::npos);
  EXPECT_NE(Bench::at(sheet, "/printed_text").text.find("16 March 2027, 14:10"), std::string::npos);
  EXPECT_NE(Bench::all_text(Bench::at(sheet, "/low")).find("15 g of fast-acting sugar"),
            std::string::npos);
}

TEST(Desk, H50_ASheetThatCannotBeReadIsRefused) {
  Bench bench;
  const auto blind = bench.enrol("A B", "1950-01-01", "1", R"({"sight":"none"})");
  const auto other = bench.enrol("C D", "1951-01-01", "2", R"({"reads":"Polish"})");
  for (const auto& [person, expected] :
       {std::pair{blind, pages::codes::sheet_unseen}, {other, pages::codes::sheet_language}}) {
    bench.order(person, to_text(Id{person.low, 7}));
    const auto sheet = bench.page(person, "/steps");
    ASSERT_FALSE(sheet);
    EXPECT_EQ(sheet.error().code, expected);
  }
}

TEST(Desk, H32_AStopCannotBePutAsideAndADismissalEndsWithItsFacts) {
  Bench bench;
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  Bench::must(bench.record(
      person, R"({"what":"scale counted","happened":"2027-03-16T13:00:00+01:00","cartridge":")" +
                  std::string(Bench::cartridge) + R"(","units":276})"));
  const auto today = Bench::must(bench.page("/api/today"));
  const auto& dismiss = Bench::at(today, "/groups/0/needs/0/dismiss");
  const auto aside = [&](const std::string& reason) {
    return R"({"what":"reminder dismissed","reminder":")" + Bench::at(dismiss, "/reminder").text +
           R"(","basis":")" + Bench::at(dismiss, "/basis").text + R"(","reason":")" + reason +
           "\"}";
  };
  EXPECT_EQ(code(bench.record(person, aside(" "))), "fact.text_empty");
  Bench::must(bench.record(person, aside("seen together, a lost prime")));
  EXPECT_TRUE(Bench::at(Bench::must(bench.page("/api/today")), "/groups").members.empty());
  Bench::must(bench.record(
      person, R"({"what":"scale counted","happened":"2027-03-16T14:00:00+01:00","cartridge":")" +
                  std::string(Bench::cartridge) + R"(","units":270})"));
  EXPECT_FALSE(Bench::at(Bench::must(bench.page("/api/today")), "/groups").members.empty());
}

TEST(Desk, ACorrectionReplacesAndTheJournalShowsBoth) {
  Bench bench;
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  const std::string dose = "00000000000000000000000000000e07";
  Bench::must(bench.record(
      person, R"({"id":")" + dose +
                  R"(","what":"injected","happened":"2027-03-15T22:00:00+01:00","cartridge":")" +
                  std::string(Bench::cartridge) + R"(","units":36})"));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/pens/0/cartridge/left_text").text, "264");
  Bench::must(bench.record(
      person,
      R"({"what":"correction","target":")" + dose +
          R"(","reason":"26 was dialled","replacement":{"happened":"2027-03-15T22:00:00+01:00","what":"injected","cartridge":")" +
          std::string(Bench::cartridge) + R"(","units":26}})"));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/pens/0/cartridge/left_text").text, "274");
  const auto journal = Bench::must(bench.page(person, "/journal"));
  EXPECT_NE(Bench::all_text(journal).find("26 was dialled"), std::string::npos);
  EXPECT_EQ(
      code(bench.record(
          person,
          R"({"what":"correction","target":"000000000000000000000000000000ff","reason":"x"})")),
      codes::correction_target);
}

TEST(Desk, H19_AFactInTheWrongJournalIsStruckOutThereAndRecordedHereAtOnce) {
  Bench bench;
  const auto wrong = bench.enrol();
  const auto right = bench.enrol("Tove Marklund", "2019-08-21", "HS 05120");
  const std::string note = "00000000000000000000000000000e09";
  Bench::must(bench.record(
      wrong, R"({"id":")" + note + R"(","what":"note","text":"half units from today"})"));
  const auto move =
      Bench::request(R"({"fact":")" + note + R"(","to":"HS 05120","reason":"wrong page open"})");
  // Part of a name finds one, who may be another one than was meant.
  EXPECT_EQ(
      code(bench.desk().move_fact(
          wrong,
          Bench::request(R"({"fact":")" + note + R"(","to":"markl","reason":"wrong page open"})"),
          bench.desk().caller())),
      codes::person_in_full);
  const auto once = Bench::must(bench.desk().move_fact(wrong, move, bench.desk().caller()));
  EXPECT_EQ(Bench::at(once, "/whose/name").text, "Tove Marklund");
  EXPECT_EQ(Bench::at(once, "/whose/number").text, "HS 05120");
  const auto twice = Bench::must(bench.desk().move_fact(wrong, move, bench.desk().caller()));
  EXPECT_EQ(Bench::at(once, "/version").text, Bench::at(twice, "/version").text);
  const auto here = Bench::all_text(Bench::must(bench.page(wrong, "/journal")));
  EXPECT_EQ(here.find("half units from today"), std::string::npos) << here;
  const auto there = Bench::must(bench.page(right, "/journal"));
  EXPECT_NE(Bench::all_text(there).find("half units from today"), std::string::npos);
  EXPECT_EQ(code(bench.desk().move_fact(
                wrong, Bench::request(R"({"fact":")" + note + R"(","to":"HS 04172","reason":"x"})"),
                bench.desk().caller())),
            codes::move_to_self);
  const auto verified = bench.desk().verify({});
  ASSERT_TRUE(verified);
  EXPECT_TRUE(verified->clean());
}

TEST(Desk, H47_FoodIsAskedAboutAndTheOrdersSickDayLineStandsOnTheCard) {
  Bench bench;
  const auto person = bench.enrol();
  Bench::must(bench.record(
      person,
      R"({"id":"00000000000000000000000000000a07","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"mealtime","slots":[{"slot":"supper","at":"18:30","minutes_before":60,"minutes_after":120,"units":8}],"least_units":4,"most_units":12,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true,"sick_day":"Phone before leaving any out."})",
      R"("confirmed":true,)"));  // such an insulin at a meal is asked about
  Bench::must(bench.record(
      person,
      R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":"00000000000000000000000000000a07","checked_by":"Jonas Abara","reading":{"insulin":"insulin glargine","strength_units_per_ml":100,"slots":[{"slot":"supper","at":"18:30","units":8}]}})"));
  bench.pen_and_cartridge(person);
  const auto words = Bench::all_text(Bench::at(Bench::must(bench.page(person)), "/next"));
  EXPECT_NE(words.find(" meal ready?"), std::string::npos);
  EXPECT_NE(words.find("Phone before leaving any out."), std::string::npos);
}

// The number came back on the word of "self" or of the nurse, by an answer that was given before
// the question, and when the question was struck out.
TEST(Desk, H37_AnAnswerNamesWhoGaveItAndComesAfterItsQuestion) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  const std::string question = "00000000000000000000000000000d01";
  Bench::must(bench.record(person, R"({"id":")" + question +
                                       R"(","what":"question opened","line":")" + line +
                                       R"(","reason":"lows","text":"four nights"})"));
  const auto answer = [&](const std::string& by, const std::string& more = "") {
    return code(bench.record(person, R"({"what":"question answered","question":")" + question +
                                         R"(","answer":"keep the dose","read_back":true,"by":")" +
                                         by + "\"" + more + "}"));
  };
  for (const auto* by : {"self", "Mirela Okonkwo"})
    EXPECT_EQ(answer(by), codes::answer_nobody) << by;
  for (const auto* by : {"Marit Oyelaran", "marit", "M. Oyelaran"})
    EXPECT_EQ(answer(by), codes::ask_answer_own) << by;
  for (const auto* by : {"-", "a doctor", "the doctor on call", "ok"})
    EXPECT_EQ(answer(by), codes::answer_nobody) << by;
  EXPECT_EQ(answer("Osei"), codes::ask_full_name);
  for (const auto* by : {"her daughter", "the carer", "mirela", "Mrs Okonkwo", "patient herself"})
    EXPECT_EQ(answer(by), codes::ask_no_prescriber) << by;
  EXPECT_EQ(code(bench.record(person, R"({"what":"correction","target":")" + question +
                                          R"(","reason":"was not needed"})")),
            codes::ask_question_struck);
  EXPECT_EQ(answer("Dr Tomasz Adeyemi", R"(,"happened":"2027-03-01T10:00:00+01:00")"),
            codes::answer_early);
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next").type, json::Type::null);
  EXPECT_EQ(answer("Dr Tomasz Adeyemi", R"(,"text":"only 11 of them")"), codes::ask_answer_number);
  EXPECT_EQ(answer("Dr Tomasz Adeyemi"), "");
  EXPECT_TRUE(has_window(Bench::must(bench.page(person))));
}

// A slip in what was meant becomes a rest to dial.
TEST(Desk, H25_H39_APartOfMoreThanTheOrderHasIsAskedAboutAndNeverDialledPastTheOrder) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  bench.set_clock("2027-03-16T22:05:00+01:00");
  const auto part = [&](const std::string& meant, const std::string& more = "") {
    return bench.record(person,
                        R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) +
                            R"(","units":10,"outcome":"part","slot":"bedtime","line":")" + line +
                            R"(","meant_units":)" + meant + "}",
                        more);
  };
  EXPECT_EQ(code(part("24")), codes::ask_meant_more);
  EXPECT_EQ(code(part("60")), codes::ask_meant_more);
  Bench::must(part("60", R"("confirmed":true,)"));
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person)), "/next/refusal/code").text,
            order::codes::dose_outside);
}

// "4 units" stood there as the rest of a dose of 22 units of which 10 had gone in.
TEST(Desk, H39_H02_APartOfLessThanTheOrderHasIsAskedAbout) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  bench.set_clock("2027-03-16T22:05:00+01:00");
  const auto part = [&](const std::string& meant, const std::string& named) {
    return code(bench.record(
        person, R"({"what":"injected","cartridge":")" + std::string(Bench::cartridge) +
                    R"(","units":10,"outcome":"part","meant_units":)" + meant + named + "}"));
  };
  const auto named = R"(,"slot":"bedtime","line":")" + line + "\"";
  EXPECT_EQ(part("14", named), codes::ask_meant_less);
  EXPECT_EQ(part("14", R"(,"line":")" + line + "\""), codes::ask_meant_less);
  EXPECT_EQ(part("14", ""), codes::ask_meant_less);
  EXPECT_EQ(part("24", ""), codes::ask_meant_more);
  EXPECT_EQ(part("22", named), "");
}

// 72 of 48 units were recorded without a word, as the order's limits are wide.
TEST(Desk, H25_H07_ADoseOfMoreThanATenthAboveTheOrdersIsAskedAboutInsideItsLimitsToo) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  bench.set_clock("2027-03-16T22:05:00+01:00");
  const auto dose = [&](const std::string& units, const std::string& named) {
    return code(bench.record(person, R"({"what":"injected","cartridge":")" +
                                         std::string(Bench::cartridge) + R"(","units":)" + units +
                                         named + "}"));
  };
  const auto named = R"(,"slot":"bedtime","line":")" + line + "\"";
  for (const auto& as : {named, std::string()}) {
    EXPECT_EQ(dose("25", as), codes::ask_above_order);
    EXPECT_EQ(dose("30", as), codes::ask_above_order);
    EXPECT_EQ(dose("31", as), codes::ask_outside_order);
  }
  EXPECT_EQ(dose("24", named), "");
}

TEST(Desk, H25_WhatCannotBeIsRefusedByNameAndWhatIsOddIsAsked) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  EXPECT_EQ(code(bench.record(person, R"({"what":"injected","cartridge":")" +
                                          std::string(Bench::cartridge) + R"(","units":4000})")),
            "fact.value_range");
  EXPECT_EQ(code(bench.record(person, R"({"what":"injected","cartridge":")" +
                                          std::string(Bench::cartridge) + R"(","units":310})")),
            codes::ask_more_than_left);
  EXPECT_EQ(code(bench.record(person, R"({"what":"injected","cartridge":")" +
                                          std::string(Bench::cartridge) +
                                          R"(","units":40,"line":")" + line + "\"}")),
            codes::ask_outside_order);
  EXPECT_EQ(code(bench.record(
                person, R"({"what":"note","text":"x","happened":"2027-03-17T14:10:00+01:00"})")),
            codes::ask_future);
  EXPECT_EQ(code(bench.record(person, R"({"what":"note","text":"x","colour":"red"})")),
            "field.unknown");
}

TEST(Desk, ExportedJournalGivesTheSamePageElsewhere) {
  Bench here;
  const auto person = here.enrol();
  here.order(person);
  here.pen_and_cartridge(person);
  here.supplies(person, 2);
  const auto file = here.desk().export_journal(person);
  ASSERT_TRUE(file);
  Bench there;
  Bench::must(there.let_in(*file));
  const auto again = Bench::must(there.let_in(*file));  // H31: twice is once
  EXPECT_EQ(Bench::at(again, "/fresh").text, "0");
  // S3: what was checked elsewhere is checked here once more, by hand.
  Bench::must(there.record(
      person,
      R"({"id":"0000000000000000000000000000a0c1","what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":"00000000000000000000000000000a01","checked_by":"Jonas Abara",)" +
          std::string(Bench::reading) + "}"));
  const auto a = Bench::must(here.page(person));
  const auto b = Bench::must(there.page(person));
  EXPECT_EQ(json::to_text(Bench::at(a, "/order")), json::to_text(Bench::at(b, "/order")));
  EXPECT_EQ(json::to_text(Bench::at(a, "/supplies")), json::to_text(Bench::at(b, "/supplies")));
}

TEST(Desk, H20_AnotherProgramOnTheSameStoreIsSeenByTheNextPage) {
  Bench bench;
  bench.enrol();
  EXPECT_EQ(Bench::at(Bench::must(bench.page("/api/people?q=")), "/people").members.size(), 1U);
  Ports ports;
  ports.store = &bench.store();
  ports.now = [] { return parse_when("2027-03-16T15:00:00Z").value().at; };
  ports.zone = [](std::string_view name) -> Result<ZoneRules> {
    return ZoneRules{std::string(name), {}};
  };
  ports.zone_names = [] { return std::vector<std::string>{}; };
  std::uint64_t ids = 0;
  ports.new_id = [&ids] { return Id{0xDEF, ++ids}; };
  const auto other = std::move(*Desk::open(std::move(ports)));
  Bench::must(other->register_person(
      Bench::request(
          R"({"facts":[{"what":"person registered","full_name":"Tove Marklund","born":"2019-08-21","number":"HS 05120","zone":"UTC"}]})"),
      other->caller()));
  Bench::must(other->record_clinic(
      Bench::request(
          R"({"facts":[{"what":"clinic named","clinic":"Quay Street Clinic","user":"Jonas Abara","zone":"UTC"}]})"),
      other->caller()));
  EXPECT_EQ(Bench::at(Bench::must(bench.page("/api/people?q=")), "/people").members.size(), 2U);
  EXPECT_EQ(Bench::at(Bench::must(bench.page("/api/clinic")), "/clinic").text,
            "Quay Street Clinic");
}

TEST(Desk, F5_H20_WhatWasWrittenSinceIsShownAlsoWhereAnEntryWasErased) {
  Bench bench;
  const auto person = bench.enrol();
  const std::string early = "000000000000000000000000000000e1";
  Bench::must(bench.record(person, R"({"id":")" + early + R"(","what":"note","text":"early"})"));
  tell_erased(bench, person, *parse_id(early));
  Bench::must(bench.record(person, R"({"what":"note","text":"seen by both"})"));
  const auto seen = std::stoull(Bench::at(Bench::must(bench.page(person)), "/version").text);
  Bench::must(bench.record(person, R"({"what":"note","text":"the latest"})"));
  ASSERT_TRUE(
      bench.store().write([&](store::WriteTx& tx) { return tx.erase_payload(*parse_id(early)); }));
  // Another desk: nothing of the journal is in its memory.
  const auto other = bench.another_desk();
  const auto rows = Bench::must(other->written_since(person, seen));
  ASSERT_EQ(rows.members.size(), 1U);
  EXPECT_NE(Bench::all_text(rows).find("the latest"), std::string::npos);
  EXPECT_EQ(Bench::must(other->written_since(person, seen + 1)).members.size(), 0U);
}

TEST(Desk, F1_H13_AnImportTakesNobodysPenAway) {
  Bench here, there;
  const auto owner = here.enrol();
  here.order(owner);
  here.pen_and_cartridge(owner);
  // Somebody elsewhere whose file names the same pen; identities count up, so that theirs are new.
  const auto first = there.enrol();
  for (int i = 0; i < 60; ++i) Bench::must(there.record(first, R"({"what":"note","text":"x"})"));
  const auto other = there.enrol("Tove Marklund", "2019-08-21", "HS 05120");
  const std::string given = R"({"what":"pen given","pen":")" + std::string(Bench::pen) +
                            R"(","copy":"reusable-whole-60","insulin":"insulin glargine",)" +
                            R"("strength_units_per_ml":100})";
  Bench::must(there.record(other, given));
  const auto file = there.desk().export_journal(other);
  ASSERT_TRUE(file);
  Bench::must(here.let_in(*file));
  EXPECT_EQ(code(here.record(owner, given)), codes::pen_twice);  // still theirs, and not refused
}

TEST(Desk, F2_WhatBreaksInWorkOverEverybodyDoesNotCloseTheClinic) {
  Bench bench;
  pages::Row row;
  row.needs = pages::Needs::clinic | pages::Needs::everybody;
  row.document = [](const pages::Asked&) -> Result<json::Value> {
    throw BrokenPromise{"a cover's", "here"};
  };
  const auto month = bench.desk().page(row, {}, bench.desk().caller());
  ASSERT_FALSE(month);
  EXPECT_EQ(month.error().code, codes::incident_of_nobody);
  Bench::must(bench.desk().record_clinic(
      Bench::request(
          R"({"facts":[{"what":"clinic named","clinic":"Quay Street Clinic","user":"Jonas Abara","zone":"UTC"}]})"),
      bench.desk().caller()));
}

TEST(Desk, H21_ABrokenPromiseChangesNothingAndClosesOnlyItsOwnJournalUntilVerified) {
  Bench bench;
  const auto person = bench.enrol();
  const auto other = bench.enrol("Tove Marklund", "2019-08-21", "HS 05120");
  const auto version = Bench::at(Bench::must(bench.page(person)), "/version").text;
  bench.broken = true;
  const auto broke = bench.record(person, R"({"what":"note","text":"x"})");
  ASSERT_FALSE(broke);
  EXPECT_EQ(broke.error().code, codes::incident);
  bench.broken = false;
  EXPECT_EQ(code(bench.record(person, R"({"what":"note","text":"y"})")), "store.journal_read_only");
  EXPECT_EQ(code(bench.page(person)), codes::record_closed);  // no number, and why (S1)
  EXPECT_EQ(Bench::at(Bench::must(bench.page(person, "/journal")), "/version").text, version);
  Bench::must(bench.record(other, R"({"what":"note","text":"goes on"})"));
  ASSERT_TRUE(bench.desk().verify({}));
  Bench::must(bench.record(person, R"({"what":"note","text":"again"})"));
}

TEST(Desk, H29_TheHeadsOfAllChainsAreSealedInTheClinicsJournal) {
  Bench bench;
  const auto person = bench.enrol();
  const auto first = bench.desk().seal_heads(bench.desk().caller());
  ASSERT_TRUE(first);
  EXPECT_EQ(first->size(), 64U);
  const auto again = bench.desk().seal_heads(bench.desk().caller());
  ASSERT_TRUE(again);
  EXPECT_NE(*first, *again);  // the clinic's own chain has grown by the first seal
  Bench::must(bench.record(person, R"({"what":"note","text":"one more"})"));
  const auto verified = bench.desk().verify({});
  ASSERT_TRUE(verified);
  EXPECT_TRUE(verified->clean());
}

TEST(Desk, SummariesCanBeThrownAwayAndRebuilt) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person, "00000000000000000000000000000a01", "", false);
  const auto before = json::to_text(Bench::must(bench.page("/api/today")));
  ASSERT_TRUE(bench.store().write([](store::WriteTx& tx) { return tx.drop_summaries(); }));
  EXPECT_EQ(json::to_text(Bench::must(bench.page("/api/today"))), before);
  const auto rebuilt =
      bench.desk().rebuild_summaries([](std::uint64_t, std::uint64_t) {}, bench.desk().caller());
  ASSERT_TRUE(rebuilt);
  EXPECT_EQ(rebuilt->people, 1U);
  EXPECT_EQ(rebuilt->left_out, "");
  EXPECT_EQ(json::to_text(Bench::must(bench.page("/api/today"))), before);
  const auto verified = bench.desk().verify({});
  ASSERT_TRUE(verified);
  EXPECT_TRUE(verified->clean());
}

TEST(Desk, ThePhoneDeskPlansWithoutAPersonAndReadsBackWithOne) {
  Bench bench;
  const std::string call =
      R"("low_now":"no","not_eating":"no","drowsy":"no","ketones":"no","travelling":"no","last_dose":"24","pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"20","left_units":"14","days_in_use":"6","unopened":"1","prime":"not yet","spent_units":"")";
  const auto answer = Bench::must(bench.page("/api/phone", "{" + call + "}"));
  EXPECT_EQ(Bench::at(answer, "/card/state").text, "dial");
  EXPECT_EQ(Bench::at(answer, "/read_back").type, json::Type::null);
  EXPECT_NE(Bench::all_text(answer).find("20 units"), std::string::npos);
  // With a person the record says the dose, and the pen that it comes from (H53).
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto with = Bench::must(bench.page("/api/phone", Bench::call_about(person)));
  EXPECT_NE(Bench::all_text(Bench::at(with, "/read_back/say")).find("22 units"), std::string::npos);
  const auto bad = bench.page(
      "/api/phone",
      R"({"pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"20.125"})");
  ASSERT_FALSE(bad);
  EXPECT_EQ(bad.error().at, "/dose_units");
}

TEST(Desk, H02_H42_ThePhoneDeskTakesTheSmallestContainerThatFitsAndRefusesWhenNoneDoes) {
  Bench bench;
  const auto call = [&](const std::string& pen, const std::string& insulin,
                        const std::string& dose) {
    return Bench::must(bench.page(
        "/api/phone", R"({"low_now":"no","not_eating":"no","drowsy":"no","ketones":"no",)"
                      R"("travelling":"no","last_dose":"24","pen":")" +
                          pen + R"(","insulin":")" + insulin +
                          R"(","strength_units_per_ml":100,"dose_units":")" + dose +
                          R"(","left_units":"0","unopened":"1"})"));
  };
  // A 1.5 mL cartridge at 100 units/mL holds 150 units (common practice, no source): less 4 to
  // prime and 30, 116.
  const auto small = call("counts-on-36", "insulin glargine", "30");
  EXPECT_NE(Bench::all_text(Bench::at(small, "/card/after_text")).find("116 units"),
            std::string::npos)
      << Bench::all_text(Bench::at(small, "/card/after_text"));
  const auto wrong = call("reusable-whole-60", "insulin lispro", "10");
  EXPECT_EQ(Bench::at(wrong, "/card/state").text, "refused");
  EXPECT_EQ(Bench::at(wrong, "/card/refusal/code").text, "next.no_fit");
}

TEST(Desk, H03_NoVolumeStandsBesideADose) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  const auto words = Bench::all_text(Bench::at(Bench::must(bench.page(person)), "/next"));
  EXPECT_EQ(words.find(" mL "), std::string::npos);
  EXPECT_EQ(words.find("millilit"), std::string::npos);
}

}  // namespace
}  // namespace penstock::desk
