// Supplies at the desk: how long they last, what is said today, what a count and a rule change.
#include <gtest/gtest.h>

#include <utility>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/test_bench.hpp"

namespace penstock::desk {
namespace {

constexpr const char* line = "00000000000000000000000000000a01";

std::string injection(const std::string& day) {
  return R"({"what":"injected","happened":")" + day + R"(T22:00:00+01:00","cartridge":")" +
         TestBench::cartridge + R"(","units":22,"line":")" + line + R"(","slot":"bedtime"})";
}

/// 22 units at bedtime, a cartridge since 10 March, its last injection the evening before today.
struct OnBench {
  TestBench bench;
  Id person = bench.enrol();

  explicit OnBench(int sealed) {
    bench.order(person);
    bench.pen_and_cartridge(person);
    bench.supplies(person, sealed + 1);  // one of them is in the pen
    bench.must(bench.record(
        person, R"({"what":"primed","happened":"2027-03-15T21:59:00+01:00","cartridge":")" +
                    std::string(TestBench::cartridge) + R"(","units":4,"flow":"seen"})"));
    bench.must(bench.record(person, injection("2027-03-15")));
  }
  json::Value page() { return bench.must(bench.page(person, "/supplies")); }
  json::Value today() { return bench.must(bench.page("/api/today")); }
  std::string said_today() { return TestBench::all_text(today()); }
  void record(const std::string& fact) { bench.must(bench.record(person, fact)); }
  bool today_says(const std::string& what) { return said_today().find(what) != std::string::npos; }
};

TEST(DeskSupplies, H51_NothingSealedIsSaidTodayNotTonight) {
  OnBench on(0);
  EXPECT_TRUE(on.today_says("no unopened"));
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("No unopened"), std::string::npos) << page;
}

TEST(DeskSupplies, TheCoverIsTheSameCallOnPageAndCommand) {
  OnBench on(2);
  // 274 left after the first evening: 11 more at 24; then 12 from each sealed one of two.
  // 16 March + 11 + 12 + 12 = 35 evenings: short on 20 April.
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("Tue 20 April"), std::string::npos) << page;
}

/// A second version from a day on, copied this morning and checked.
void change(OnBench& on, const std::string& units, const std::string& from,
            const std::string& insulin = "insulin glargine") {
  const std::string second = "00000000000000000000000000000a09";
  auto reading = TestBench::reading_of(units);
  if (insulin != "insulin glargine") reading.replace(reading.find("insulin glargine"), 16, insulin);
  on.record(
      R"({"id":")" + second +
      R"(","what":"order line signed","happened":"2027-03-16T08:00:00+01:00","order_version":5,"replaces":")" +
      line + R"(","insulin":")" + insulin +
      R"(","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":)" +
      units + R"(}],"least_units":10,"most_units":60,"from":")" + from +
      R"(","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})");
  on.record(R"({"what":"order line checked","happened":"2027-03-16T08:05:00+01:00","line":")" +
            second + R"(","checked_by":"Jonas Abara",)" + reading + "}");
}

// 274 left after the first evening: 24 this evening, 250. From tomorrow 42 each: five evenings,
// then seven from each sealed one of two (44, then 42). 17 March + 5 + 7 + 7 = 5 April.
TEST(DeskSupplies, H38_H51_TheNewDoseIsCountedFromItsDayOnEveryPage) {
  OnBench on(2);
  change(on, "40", "2027-03-17");
  auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("22 units a day"), std::string::npos) << page;
  EXPECT_NE(page.find("Wed 17 March"), std::string::npos) << page;
  EXPECT_NE(page.find("the order is 40 units a day"), std::string::npos) << page;
  EXPECT_NE(page.find("Mon 5 April"), std::string::npos) << page;
  EXPECT_EQ(page.find("20 April"), std::string::npos) << page;
  const auto month = TestBench::all_text(on.bench.must(on.bench.page("/api/month")));
  EXPECT_NE(month.find("5 April"), std::string::npos) << month;
  // Ten days later, and nothing recorded: the dose in force is the one that is said, and Today
  // rings for the day on which it runs out.
  on.bench.set_clock("2027-04-02T10:00:00+02:00");
  page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("40 units a day"), std::string::npos) << page;
  EXPECT_EQ(page.find("the order is 40"), std::string::npos) << page;
  EXPECT_TRUE(on.today_says("Mon 5 April")) << on.said_today();
}

// Two days before another insulin begins there is time to get it, and its pen.
TEST(DeskSupplies, H38_ACheckedChangeToAnInsulinThatNobodyHasIsOpenFromTheCheckOn) {
  OnBench on(2);
  EXPECT_FALSE(on.today_says("degludec"));
  change(on, "22", "2027-03-19", "insulin degludec");
  EXPECT_TRUE(on.today_says("insulin degludec")) << on.said_today();
  EXPECT_TRUE(on.today_says("Fri 19 March")) << on.said_today();
  EXPECT_TRUE(on.today_says("no pen")) << on.said_today();
  const auto person = TestBench::all_text(on.bench.must(on.bench.page(on.person, "")));
  EXPECT_NE(person.find("no pen for it, and none of it at home"), std::string::npos) << person;
  // What is still used is counted until then.
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("Insulin glargine, 22 units a day"), std::string::npos) << page;
  EXPECT_NE(page.find("no longer ordered"), std::string::npos) << page;
  on.bench.set_clock("2027-03-18T10:00:00+01:00");
  EXPECT_TRUE(on.today_says("no pen")) << on.said_today();
  // Nor is it silent from its day on, though nobody spoke of the doses before it.
  on.bench.set_clock("2027-03-19T10:00:00+01:00");
  EXPECT_TRUE(on.today_says("no pen")) << on.said_today();
  on.bench.set_clock("2027-03-18T10:00:00+01:00");
  // A pen without insulin is half of it.
  on.record(
      R"({"what":"pen given","happened":"2027-03-16T09:10:00+01:00","pen":"00000000000000000000000000000b09","copy":"reusable-whole-80","insulin":"insulin degludec","strength_units_per_ml":100})");
  EXPECT_TRUE(on.today_says("none of it is at home")) << on.said_today();
  on.record(
      R"({"what":"supplies given","happened":"2027-03-16T09:20:00+01:00","insulin":"insulin degludec","strength_units_per_ml":100,"each_units":300,"cartridges":5})");
  EXPECT_FALSE(on.today_says("starts")) << on.said_today();
  // From its day on that insulin is counted, and the other is no more.
  on.bench.set_clock("2027-03-19T10:00:00+01:00");
  const auto then = TestBench::all_text(*on.page().find("cover"));
  EXPECT_NE(then.find("Insulin degludec, 22 units a day"), std::string::npos) << then;
  EXPECT_EQ(then.find("glargine"), std::string::npos) << then;
}

// 274 and one of 300 are 11 + 12 evenings from 16 March on: short on 8 April.
TEST(DeskSupplies, H38_WhatHasRunOutIsNotSaidOfADayToCome) {
  OnBench on(1);
  const std::string said[] = {"runs out on", "runs out \ntoday", "has run out"};
  const std::string days[] = {"2027-04-07", "2027-04-08", "2027-04-09"};
  for (std::size_t day = 0; day < std::size(days); ++day) {
    on.bench.set_clock((days[day] + "T10:00:00+02:00").c_str());
    for (std::size_t one = 0; one < std::size(said); ++one)
      EXPECT_EQ(on.today_says(said[one]), day == one) << days[day] << on.said_today();
  }
}

// A spare cartridge is no dose without a pen, and a syringe takes what the strength makes of it.
TEST(DeskSupplies, H03_H38_WithThePenLostTheSpareGoesIntoAnotherPen) {
  OnBench on(2);
  on.record(R"({"what":"pen ended","happened":"2027-03-16T08:00:00+01:00","pen":")" +
            std::string(TestBench::pen) + R"(","why":"lost"})");
  const auto page = TestBench::all_text(on.bench.must(on.bench.page(on.person, "")));
  EXPECT_NE(page.find("in a pen that fits it"), std::string::npos) << page;
  EXPECT_NE(page.find("never a syringe"), std::string::npos) << page;
}

TEST(DeskSupplies, H51_WhoAskedIsNotToldAgainUntilItShouldHaveCome) {
  OnBench on(1);
  on.bench.set_clock("2027-03-28T10:00:00+02:00");
  ASSERT_TRUE(on.today_says("request "));
  on.record(
      R"({"what":"supplies asked for","happened":"2027-03-28T09:00:00+02:00","insulin":"insulin glargine","strength_units_per_ml":100,"boxes":1,"of_whom":"the pharmacy","expected":"2027-04-02"})");
  EXPECT_FALSE(on.today_says("request "));
  on.bench.set_clock("2027-04-03T10:00:00+02:00");
  EXPECT_TRUE(on.today_says("should have arrived"));
}

TEST(DeskSupplies, LessThanTheUsualCertaintyNeedsANameAndAReason) {
  OnBench on(2);
  const auto refused =
      on.bench.record(on.person, R"({"what":"supply rules set","service_per_thousand":950})");
  EXPECT_EQ(refused.error().code, "fact.service_reason");
  on.record(
      R"({"what":"supply rules set","service_per_thousand":950,"service_reason":"lives above the pharmacy","service_by":"Dr Tomasz Adeyemi"})");
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("lives above the pharmacy"), std::string::npos) << page;
  EXPECT_NE(page.find("95"), std::string::npos);
}

TEST(DeskSupplies, H41_ACountStandsBesideTheAccount) {
  OnBench on(3);
  on.record(
      R"({"what":"supplies counted","happened":"2027-03-16T10:00:00+01:00","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"cartridges":1})");
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("Both are kept"), std::string::npos) << page;
  EXPECT_NE(page.find("uses the smaller number"), std::string::npos) << page;
  EXPECT_TRUE(on.today_says("Could you look at this together?"));
}

TEST(DeskSupplies, ClosedDaysMoveTheDayByWhichToAsk) {
  OnBench on(1);
  const auto before = TestBench::all_text(on.page());
  on.bench.must(on.bench.desk().record_clinic(
      TestBench::request(
          R"({"facts":[{"what":"closed days set","weekdays":["saturday","sunday"],"dates":["2027-03-26","2027-03-29"]}]})"),
      on.bench.desk().caller()));
  const auto after = TestBench::all_text(on.page());
  EXPECT_NE(before, after);
  EXPECT_NE(after.find("working days"), std::string::npos) << after;
}

TEST(DeskSupplies, H34_TheSharpsBoxIsFullAtThreeQuarters) {
  OnBench on(2);
  on.record(
      R"({"what":"sharps box given","happened":"2027-03-10T09:00:00+01:00","box":"00000000000000000000000000000d01","holds_needles":4})");
  EXPECT_NE(TestBench::all_text(on.page()).find("line (three quarters)"), std::string::npos);
  on.record(injection("2027-03-11"));
  on.record(injection("2027-03-12"));
  EXPECT_NE(TestBench::all_text(on.page()).find("Close it now"), std::string::npos);
  EXPECT_TRUE(on.today_says("sharps container"));
}

TEST(DeskSupplies, H38_AnEmptyHouseSaysHowToGetInsulinToday) {
  TestBench bench;
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  bench.must(bench.record(person, R"({"what":"thrown away","cartridge":")" +
                                      std::string(TestBench::cartridge) +
                                      R"(","reason":"frozen"})"));
  const auto page = TestBench::all_text(bench.must(bench.page(person, "/supplies")));
  EXPECT_NE(page.find("For insulin today, phone"), std::string::npos) << page;
  EXPECT_NE(page.find("Do not miss basal insulin"), std::string::npos);
}

// "14 + 3 unopened" on Supplies, where the card had none for the pen.
TEST(DeskSupplies, H42_H51_H61_WhatDoesNotFitThePenIsNoSpareOnAnyPage) {
  OnBench on(3);
  EXPECT_FALSE(on.today_says("no unopened"));
  // The product turns out to be for other pens: lists follow at once.
  on.bench.must(on.bench.desk().record_clinic(
      TestBench::request(
          R"({"confirmed":true,"facts":[{"what":"shelf cartridge added","entry":{"code":"glargine-100-cartridge","thing":{"name":"3 mL cartridge","insulin":"glargine-100","presentation":"cartridge","tenths_ml":30,"content_units":300,"fits":"fit Z"}}}]})"),
      on.bench.desk().caller()));
  EXPECT_TRUE(on.today_says("no unopened")) << on.said_today();
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("not made for the pen in use"), std::string::npos) << page;
}

TEST(DeskMonth, NamesWhoNeedsWhatAndAddsItUp) {
  OnBench on(1);
  const auto month = on.bench.must(on.bench.page("/api/month"));
  ASSERT_EQ(month.find("people")->members.size(), 1U);
  const auto text = TestBench::all_text(month);
  EXPECT_NE(text.find("Mirela Okonkwo"), std::string::npos);
  EXPECT_NE(text.find("HS 04172"), std::string::npos);
  EXPECT_FALSE(month.find("sums")->members.empty());
  EXPECT_EQ(on.bench.page("/api/month?days=0").error().code, pages::codes::month_days);
  EXPECT_EQ(on.bench.page("/api/month?days=121").error().code, pages::codes::month_days);
}

// Nurse C9: of a box of five nobody orders three.
TEST(DeskMonth, WhatIsToOrderIsWholeBoxes) {
  OnBench on(0);
  const auto month = on.bench.must(on.bench.page("/api/month?days=30"));
  bool looked = false;
  for (const auto& sum : month.find("sums")->members) {
    const auto& order = sum.value.find("order")->text;
    if (order.empty() || order == "0") continue;
    looked = true;
    const auto boxes = std::stoll(sum.value.find("boxes")->text);
    const auto per_box = std::stoll(sum.value.find("pieces")->text) / boxes;
    EXPECT_EQ(std::stoll(order) % per_box, 0) << order;
  }
  EXPECT_TRUE(looked);
}
TEST(DeskMonth, TheLastDayOfTheTitleIsInTheList) {
  OnBench on(1);
  json::Value month;
  for (int days = 1; days <= 60; ++days) {
    month = on.bench.must(on.bench.page("/api/month?days=" + std::to_string(days)));
    if (!month.find("people")->members.empty()) break;
  }
  ASSERT_EQ(month.find("people")->members.size(), 1U);
  const auto title = month.find("title")->text;
  const auto from = title.rfind(" to ") + 4;
  const auto last = title.substr(from, title.rfind(' ') - from);  // "9 April"
  const auto rows = TestBench::all_text(*month.find("people")->members[0].value.find("rows"));
  EXPECT_NE(rows.find(last), std::string::npos) << title << rows;
}

// Nurse A26: "Tue 1" was 1 September and 1 December on one page.
TEST(DeskMonth, ADayOfAnotherMonthSaysItsMonth) {
  OnBench on(3);
  const auto month = on.bench.must(on.bench.page("/api/month?days=60"));
  ASSERT_FALSE(month.find("people")->members.empty());
  EXPECT_NE(month.find("people")->members[0].value.find("by_text")->text.find("April"),
            std::string::npos)
      << month.find("people")->members[0].value.find("by_text")->text;
}

// Nurse A26: said right after the first boxes were given.
TEST(DeskSupplies, ADispensingOfTodayIsADispensing) {
  TestBench bench;
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  bench.must(bench.record(
      person,
      R"({"what":"supplies given","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"cartridges":5})"));
  const auto text =
      TestBench::all_text(*bench.must(bench.page(person, "/supplies")).find("history"));
  EXPECT_EQ(text.find("nothing was dispensed"), std::string::npos) << text;
}

// What is kept of the month is what it would be if nothing were.
TEST(DeskMonth, KeptIsWhatItWouldBeAnew) {
  OnBench on(1);
  const auto kept = [&](const std::string& path) {
    return json::to_text(on.bench.must(on.bench.page(path)));
  };
  const auto anew = [&](const std::string& path) {
    const auto desk = on.bench.another_desk();
    return json::to_text(on.bench.must(tests::read_page(*desk, path)));
  };
  std::string before;
  const auto changes = [&] {
    const auto now = kept("/api/month");
    EXPECT_EQ(now, kept("/api/month"));
    EXPECT_EQ(now, anew("/api/month"));
    EXPECT_EQ(kept("/api/month?days=60"), anew("/api/month?days=60"));
    return std::exchange(before, now) != now;
  };
  EXPECT_TRUE(changes());
  EXPECT_FALSE(changes());
  on.record(injection("2027-03-11"));
  EXPECT_TRUE(changes());
  on.record(R"({"what":"note","text":"nothing of supplies"})");
  EXPECT_FALSE(changes());
  const auto other = on.bench.enrol("Noor Halvorsen", "1985-04-06", "HS 3");
  EXPECT_TRUE(changes());
  on.bench.order(other, "00000000000000000000000000000a02");
  on.bench.must(on.bench.desk().record_clinic(
      TestBench::request(
          R"({"facts":[{"what":"closed days set","weekdays":["saturday","sunday"],"dates":["2027-03-26"]}]})"),
      on.bench.desk().caller()));
  EXPECT_TRUE(changes());
  on.bench.set_clock("2027-04-02T09:00:00+02:00");
  EXPECT_TRUE(changes());
}

TEST(DeskTrips, H18_H38_TheSheetAsksThePrescriberAndLeavesNothingOut) {
  OnBench on(4);
  on.record(
      R"({"id":"00000000000000000000000000000e77","what":"trip planned","happened":"2027-03-16T09:00:00+01:00","leaves":"2027-04-02","returns":"2027-04-16","zone":"UTC","warmest_celsius":38,"pharmacy":"no"})");
  const auto page = on.page();
  ASSERT_EQ(page.find("trips")->members.size(), 1U);
  const auto sheet = on.bench.must(on.bench.page(on.person, "/trips/" + to_text(Id{0, 0xe77})));
  const auto text = TestBench::all_text(sheet);
  EXPECT_NE(text.find("Never miss background insulin"), std::string::npos) << text;
  EXPECT_NE(text.find("HS 04172"), std::string::npos);
  EXPECT_NE(text.find("version 4"), std::string::npos) << text;  // H28
  EXPECT_EQ(on.bench.page(on.person, "/trips/" + to_text(Id{0, 1})).error().code,
            pages::codes::no_trip);
}

// Nurse A15: before the prescriber's answer no dose stands on what goes home.
TEST(DeskTrips, H09_H49_TheSheetHasNoDose) {
  OnBench on(4);
  on.record(
      R"({"id":"00000000000000000000000000000e77","what":"trip planned","happened":"2027-03-16T09:00:00+01:00","leaves":"2027-04-02","returns":"2027-04-16","zone":"UTC"})");
  const auto sheet = on.bench.must(on.bench.page(on.person, "/trips/" + to_text(Id{0, 0xe77})));
  const auto text = TestBench::all_text(*sheet.find("questions")) +
                    TestBench::all_text(*sheet.find("carry")) +
                    TestBench::all_text(*sheet.find("cautions"));
  EXPECT_EQ(text.find(" unit"), std::string::npos) << text;
  EXPECT_NE(text.find("How much should be taken on the day of travel"), std::string::npos) << text;
  EXPECT_NE(text.find("prescriber’s answer"), std::string::npos) << text;
}

TEST(DeskPenTests, H38_APenThatFailsIsSetAsideAndNoDoseChanges) {
  OnBench on(1);
  on.record(R"({"id":"00000000000000000000000000000e78","what":"pen tested","pen":")" +
            std::string(TestBench::pen) +
            R"(","dialled_units":10,"by":"weighed","delivered_units":[8.1,8.4,8.2,8.3,8.2]})");
  const auto page = TestBench::all_text(on.page());
  EXPECT_NE(page.find("Not shown to be within the limits"), std::string::npos) << page;
  const auto sheet = TestBench::all_text(
      on.bench.must(on.bench.page(on.person, "/pen-tests/" + to_text(Id{0, 0xe78}))));
  EXPECT_NE(sheet.find("Do not change any dose because of it"), std::string::npos) << sheet;
  EXPECT_EQ(on.bench.page(on.person, "/pen-tests/" + to_text(Id{0, 1})).error().code,
            pages::codes::no_pen_test);
}

}  // namespace
}  // namespace penstock::desk
