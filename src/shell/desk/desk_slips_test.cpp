// What a slip of the hand, or of a program that sends requests, must not do in silence.
#include <gtest/gtest.h>

#include <string>

#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

/// What is asked first, or what refuses; empty: it was recorded.
std::string asked(const Result<json::Value>& answer) {
  return answer ? Bench::at(*answer, "/ask/code").text : "refused " + answer.error().code;
}

Result<json::Value> of_clinic(Bench& bench, const std::string& fact, bool confirmed = false) {
  return bench.desk().record_clinic(
      Bench::request(std::string(R"({"confirmed":)") + (confirmed ? "true" : "false") +
                     R"(,"facts":[)" + fact + "]}"),
      bench.desk().caller());
}

// Without it an unopened cartridge was planned with, and the prime that was seen was dropped.
TEST(DeskSlips, H53_H44_WithoutARecordThePhoneDeskIsToldWhatIsLeft) {
  Bench bench;
  const auto call = [&](const std::string& left) {
    return bench.page(
        "/api/phone",
        R"({"pen":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100,"dose_units":"18",)" +
            left +
            R"("days_in_use":"6","unopened":"1","prime":"seen","spent_units":"3","low_now":"no","not_eating":"no","drowsy":"no","ketones":"not measured","travelling":"no","last_dose":"23"})");
  };
  for (const auto* left : {"", R"("left_units":"",)"}) {
    const auto answer = call(left);
    ASSERT_FALSE(answer) << left;
    EXPECT_EQ(answer.error().code, json::codes::field_missing);
    EXPECT_EQ(answer.error().at, "/left_units");
  }
  // An empty one is in the pen, and comes out first.
  const auto empty = Bench::all_text(Bench::at(Bench::must(call(R"("left_units":"0",)")), "/card"));
  EXPECT_TRUE(has(empty, "Change the cartridge")) << empty;
  EXPECT_TRUE(has(empty, "Prime 4 units")) << empty;
}

// Of the insulin's name instead of a product's code it held nothing and listed nobody.
TEST(DeskSlips, H61_ARecallOfAnItemThatIsNotThereIsRefusedWithTheCodesThatWereMeant) {
  Bench bench;
  const auto opened = [&](const std::string& item) {
    return of_clinic(
        bench,
        R"({"what":"recall opened","recall":"00000000000000000000000000000e01","lot":"4K117","item":")" +
            item + R"("})",
        true);
  };
  for (const auto* item : {"insulin glargine", "zzz", "glargine"}) {
    const auto refused = opened(item);
    ASSERT_FALSE(refused) << item;
    EXPECT_EQ(refused.error().code, codes::item_unknown);
    const auto told = bench.desk().caller().words.say(refused.error());
    EXPECT_TRUE(has(told.do_this, "glargine-100-cartridge")) << told.do_this;
    EXPECT_EQ(has(told.do_this, "lispro-100-cartridge"), item == std::string("zzz"));
  }
  EXPECT_EQ(asked(opened("glargine-100-cartridge")), "");
}

TEST(DeskSlips, H18_ATimeZoneThatFollowsTheMachineIsNobodys) {
  Bench bench;
  const auto person = bench.enrol();
  for (const auto* place : {"Europe/London", "UTC", "Etc/GMT-5", "Cuba", "EST5EDT"})
    EXPECT_TRUE(stands_for_a_place(place)) << place;
  for (const auto* none : {"", "Localtime", "posixrules", "Factory", "posix/Europe/Berlin",
                           "right/UTC", "SystemV/EST5"})
    EXPECT_FALSE(stands_for_a_place(none)) << none;
  const std::string zone = "localtime";
  const auto of_person = [&](const std::string& what) {
    return asked(
        bench.record(person, what + R"(,"zone":")" + zone + R"("})", R"("confirmed":true,)"));
  };
  EXPECT_EQ(
      of_person(
          R"({"what":"details changed","full_name":"M","born":"1958-06-04","number":"HS 04172")"),
      "refused zone.no_place");
  EXPECT_EQ(of_person(R"({"what":"trip planned","leaves":"2027-04-01","returns":"2027-04-08")"),
            "refused zone.no_place");
  const auto named = bench.desk().name_clinic(
      Bench::request(R"({"clinic":"Harbour Street Clinic","user":"Marit Oyelaran","zone":")" +
                     zone + R"("})"),
      bench.desk().caller());
  EXPECT_EQ(asked(named), "refused zone.no_place");
  EXPECT_EQ(asked(of_clinic(bench, R"({"what":"clinic named","clinic":"H","user":"M","zone":")" +
                                       zone + R"("})")),
            "refused zone.no_place");
  const auto registered = bench.desk().register_person(
      Bench::request(
          R"({"confirmed":true,"facts":[{"what":"person registered","full_name":"Piet Marsh","born":"1958-06-05","number":"HS 9","zone":")" +
          zone + R"("}]})"),
      bench.desk().caller());
  ASSERT_FALSE(registered);
  EXPECT_EQ(registered.error().code, "zone.no_place");
  EXPECT_EQ(registered.error().at, "/facts/0/zone");
}

TEST(DeskSlips, H18_TwoTimesOfOneEntryThatContradictEachOtherAreRefused) {
  Bench bench;
  const auto person = bench.enrol();
  const auto note = [&](const std::string& local) {
    return bench.record(
        person,
        R"({"what":"note","text":"came","happened":"2027-03-16T08:00:00+01:00","happened_local":")" +
            local + R"("})");
  };
  const auto two = note("2027-03-15T08:00");
  ASSERT_FALSE(two);
  EXPECT_EQ(two.error().code, wire::codes::happened_twice);
  EXPECT_EQ(two.error().at, "/facts/0/happened_local");
  EXPECT_EQ(asked(note("2027-03-16T08:00")), "");
}

// All the days of a watch that was to come went in one request, and nobody was asked.
TEST(DeskSlips, H32_AReminderThatIsNotThereNowIsAskedAboutBeforeItIsDismissed) {
  Clinic clinic;
  const auto dismissed = [&](const std::string& reminder, const std::string& basis) {
    return asked(clinic.record(clinic.person, R"({"what":"reminder dismissed","reminder":")" +
                                                  reminder + R"(","basis":")" + basis +
                                                  R"(","reason":"dealt with"})"));
  };
  const std::string line = "00000000000000000000000000000a01";
  EXPECT_EQ(dismissed("call_due", line + "/7"), codes::ask_reminder_later);
  EXPECT_EQ(dismissed("call_due", line + "/99"), codes::ask_reminder_gone);
  EXPECT_EQ(dismissed("call_due", line + "/1"), "");
}

// The example of the fact itself had such a name.
TEST(DeskSlips, H32_ANameThatIsNoRemindersIsRefusedWithTheList) {
  Clinic clinic;
  const auto refused = clinic.record(
      clinic.person,
      R"({"what":"reminder dismissed","reminder":"today.scale_disagrees","basis":"x","reason":"dealt with"})");
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, codes::reminder_unknown);
  const auto told = clinic.desk().caller().words.say(refused.error());
  EXPECT_TRUE(has(told.do_this, "scale_disagrees")) << told.do_this;
  const auto kinds = Bench::must(clinic.Bench::page("/api/facts"));
  EXPECT_FALSE(has(json::to_text(kinds), "today.scale_disagrees"));
}

std::string cartridge_of(const std::string& content, const std::string& fits) {
  return R"({"what":"cartridge loaded","cartridge":"00000000000000000000000000000c02","pen":")" +
         std::string(Bench::pen) + R"(","copy":"glargine-100","units":)" + content +
         R"(,"content_units":)" + content + R"(,"fits":")" + fits + R"(","new_cartridge":true})";
}

TEST(DeskSlips, H25_H03_ContentThatIsNotVolumeTimesStrengthIsAskedAbout) {
  Bench bench;
  const auto added = [&](const std::string& content) {
    return asked(of_clinic(
        bench,
        R"({"what":"shelf cartridge added","entry":{"code":"ours","thing":{"name":"Ours, 3 mL","insulin":"glargine-100","presentation":"cartridge","tenths_ml":30,"content_units":)" +
            content + R"(,"fits":"ours"}}})"));
  };
  EXPECT_EQ(added("1000"), codes::ask_shelf_content);
  EXPECT_EQ(added("300"), "");
  // A code of the clinic's own for what fits is no entry of the shelf's.
  const auto person = bench.enrol();
  bench.order(person);
  Bench::must(bench.record(
      person,
      R"({"what":"pen given","pen":")" + std::string(Bench::pen) +
          R"(","copy":{"name":"Our own pen","step_units":1,"most_units":60,"window":"returns to zero","takes":"cartridge","prime_units":2,"new_cartridge_prime_units":4,"hold_seconds":10,"turns_back":true,"when_short":"unknown","fits":"A","needle_fits":"A"},"insulin":"insulin glargine","strength_units_per_ml":100})"));
  EXPECT_EQ(asked(bench.record(person, cartridge_of("1500", "A"))), codes::ask_content);
  EXPECT_EQ(asked(bench.record(person, cartridge_of("300", "A"))), "");
}

TEST(DeskSlips, H22_H25_WhatACartridgeCannotHoldIsSaidOfAFileToo) {
  Bench bench;
  const auto person = bench.enrol();
  bench.order(person);
  bench.pen_and_cartridge(person);
  auto file =
      wire::read_journal_file(bench.desk().export_journal(person).value(), store::sha256).value();
  auto more = file.facts.back();
  auto load = std::get<journal::CartridgeLoaded>(more.payload);
  more.id = Id{0xBAD, 1};
  load.cartridge = Id{0xBAD, 2};
  load.content = load.units = Units::from_hundredths(150'000).value();
  load.fits = "A";
  more.payload = load;
  file.facts.push_back(more);
  const auto seen = Bench::must(bench.desk().import_journal(
      wire::write_journal_file(file, store::sha256), "theirs.json", "", bench.desk().caller()));
  EXPECT_TRUE(has(Bench::all_text(Bench::at(seen, "/asked")), "would hold 1500 units"))
      << Bench::all_text(seen);
}

TEST(DeskSlips, H42_ACopyThatFitsOtherwiseThanTheProductOfItsNameIsAskedAbout) {
  Bench bench;
  const auto entry = [](const std::string& fits) {
    return R"({"name":"Ours","step_units":1,"most_units":60,"window":"returns to zero","takes":"cartridge","prime_units":2,"new_cartridge_prime_units":4,"hold_seconds":10,"turns_back":true,"when_short":"unknown","fits":")" +
           fits + R"(","needle_fits":"A"})";
  };
  Bench::must(of_clinic(
      bench, R"({"what":"shelf pen added","entry":{"code":"ours","thing":)" + entry("A") + "}}"));
  const auto person = bench.enrol();
  bench.order(person);
  const auto given = [&](const std::string& fits) {
    return asked(bench.record(
        person, R"({"what":"pen given","pen":"00000000000000000000000000000b01","copy":)" +
                    entry(fits) + R"(,"insulin":"insulin glargine","strength_units_per_ml":100})"));
  };
  EXPECT_EQ(given("B"), codes::ask_copy_differs);
  EXPECT_EQ(given("A"), "");
}

TEST(DeskSlips, H04_H25_AMaximumFarAboveTheDoseIsAskedAboutWhenAnOrderIsCopied) {
  Bench bench;
  const auto person = bench.enrol();
  const auto copied = [&](const std::string& units, const std::string& most) {
    return asked(bench.record(
        person,
        R"({"what":"order line signed","order_version":1,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","units":)" +
            units + R"(}],"least_units":0,"most_units":)" + most +
            R"(,"from":"2027-03-16","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true})"));
  };
  EXPECT_EQ(copied("10", "1500"), "ask.most_wide");
  EXPECT_EQ(copied("10", "31"), "ask.most_wide");
  EXPECT_EQ(copied("10", "30"), "");
}

TEST(DeskSlips, H04_APenForAnInsulinThatIsNotOrderedIsAskedAboutOnceSomethingIsOrdered) {
  Bench bench;
  const auto person = bench.enrol();
  const auto given = [&](const std::string& pen, const std::string& insulin,
                         const std::string& strength = "100") {
    return asked(
        bench.record(person, R"({"what":"pen given","pen":"00000000000000000000000000000)" + pen +
                                 R"(","copy":"reusable-whole-60","insulin":")" + insulin +
                                 R"(","strength_units_per_ml":)" + strength + "}"));
  };
  EXPECT_EQ(given("b01", "insulin lispro"), "") << "a new start gives the pen first";
  bench.order(person);
  EXPECT_EQ(given("b02", "insulin lispro"), codes::ask_not_ordered);
  EXPECT_EQ(given("b02", "insulin gl\xD0\xB0rgine"), codes::ask_not_ordered) << "a Cyrillic letter";
  EXPECT_EQ(given("b02", "insulin glargine", "300"), codes::ask_pen_strength);
  EXPECT_EQ(given("b02", "insulin glargine"), "");
}

// One page of a visit was 24 MB.
TEST(DeskSlips, ThePageOfAVisitListsTheNewestOfEachKindAndCountsTheOthers) {
  Bench bench;
  const auto person = bench.enrol();
  for (int request = 0; request < 3; ++request) {
    std::string notes;
    for (int note = 0; note < 20; ++note)
      notes += std::string(notes.empty() ? "" : ",") + R"({"what":"note","text":"note )" +
               std::to_string(request * 20 + note) + R"("})";
    Bench::must(bench.record(person, notes));
  }
  const auto visit = Bench::must(bench.page(person, "/visit"));
  const auto said = Bench::all_text(Bench::at(visit, "/note"));
  EXPECT_TRUE(has(said, "note 59")) << said;
  EXPECT_TRUE(has(said, "note 20")) << said;
  EXPECT_FALSE(has(said, "note 19\n")) << said;
  EXPECT_TRUE(has(said, "20 earlier entries are in the journal")) << said;
}

}  // namespace
}  // namespace penstock::desk
