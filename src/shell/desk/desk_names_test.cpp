// Whoever is alike is asked about, and a number is one person's (H19).
#include <gtest/gtest.h>

#include <atomic>
#include <memory>
#include <string>
#include <thread>
#include <vector>

#include "core/order/asked/asked.hpp"
#include "shell/desk/desk.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "shell/disk/disk.hpp"
#include "support/store_kit.hpp"

namespace penstock::desk {
namespace {

using namespace std::string_literals;
using Bench = TestBench;

std::string code(const Result<json::Value>& answer) {
  return answer ? Bench::at(*answer, "/ask/code").text : answer.error().code;
}

json::Value registration(const std::string& name, const std::string& number,
                         const std::string& more = "") {
  return Bench::request("{" + more + R"("facts":[{"what":"person registered","full_name":")" +
                        name + R"(","born":"1985-04-06","number":")" + number +
                        R"(","zone":"UTC"}]})");
}

TEST(DeskNames, H19_WhatIsNeverSeenHidesNobodyWhoIsAlike) {
  Bench bench;
  bench.enrol("Mirela Okonkwo", "1958-06-04", "HS 1");
  for (const std::string mark :
       {"\u200B", "\u200C", "\u200D", "\u200E", "\u200F", "\u2060", "\uFEFF", "\u00AD", "\u034F",
        "\u061C", "\u115F", "\u180E", "\u3164", "\uFE0F", "\uFFA0", "\U000E0041", "\U000E007F",
        "\U000E0101"}) {
    std::string name = "Mirela Okonkwo", many;
    // Not one slip but as many as there are letters.
    for (const char c : name) many += c + mark;
    EXPECT_EQ(code(bench.desk().register_person(registration(many, "HS 2"), bench.desk().caller())),
              codes::ask_alike)
        << mark;
  }
}

TEST(DeskNames, H19_ANumberThatDiffersInWhatStandsBetweenIsAskedAbout) {
  Bench bench;
  bench.enrol("Noor Halvorsen", "1958-06-04", "HS 03987");
  const auto other = bench.enrol("Bram Quist", "1961-02-17", "HS 5");
  const auto asked = [&](const std::string& number, const std::string& more = "") {
    return code(bench.desk().register_person(registration("Tove Marklund", number, more),
                                             bench.desk().caller()));
  };
  for (const char* number : {"HS/03987", "HS-03987", "HS03987", "HS.03987", "hs_03987", "HS–03987",
                             "HS · 03987", "H S 0 3 9 8 7", "HS-O3987", "[HS] 03987"}) {
    EXPECT_EQ(asked(number), codes::ask_number_alike) << number;
    EXPECT_EQ(code(bench.record(other, R"({"what":"details changed","full_name":"Bram Quist",)"
                                       R"("born":"1961-02-17","number":")" +
                                           std::string(number) + R"(","zone":"Europe/Berlin"})")),
              codes::ask_number_alike)
        << number;
  }
  EXPECT_EQ(asked("HS 03987"), codes::number_taken);
  EXPECT_EQ(asked("HS/03987", R"("confirmed":true,)"), "");
  EXPECT_EQ(asked("HS 03978", R"("confirmed":true,)"), "");
}

TEST(DeskNames, H19_OneBornOnTheSameDayWhoseNameOrNumberIsInPartTheSameIsAskedAbout) {
  Bench bench;
  const auto noor = bench.enrol("Noor Halvorsen", "1985-04-06", "HS 03987");
  const auto other = bench.enrol("Bram Quist", "1985-04-06", "HS 5");
  const auto asked = [&](const std::string& name, const std::string& number) {
    return code(bench.desk().register_person(registration(name, number), bench.desk().caller()));
  };
  for (const char* name :
       {"Noor A. Halvorsen", "Mrs Noor Halvorsen", "Noor Halvorsen-Lund", "N. Halvorsen",
        "Halvorsen", "Noor", "Noor Halvorsen HS", "Noor Halvorsen (HS 03987)"}) {
    EXPECT_EQ(asked(name, "HS 2"), codes::ask_alike) << name;
    EXPECT_EQ(code(bench.record(
                  other, R"({"what":"details changed","full_name":")" + std::string(name) +
                             R"(","born":"1985-04-06","number":"HS 5","zone":"Europe/Berlin"})")),
              codes::ask_alike)
        << name;
  }
  for (const char* number : {"HS 3987", "HS 003987", "3987"})
    EXPECT_EQ(asked("Tove Marklund", number), codes::ask_number_alike) << number;
  EXPECT_EQ(asked("Tove Marklund", "HS 39870"), "");
  bench.enrol("Halvorsen", "1985-04-06", "HS 6");
  EXPECT_EQ(Bench::at(Bench::must(bench.page(noor)), "/who/alike/0/name").text, "Halvorsen");
}

TEST(DeskNames, H19_ANameInAnotherOrderIsAskedAbout) {
  Bench bench;
  bench.enrol("Noor Halvorsen", "1958-06-04", "HS 03987");
  for (const char* name : {"Halvorsen Noor", "Halvorsen, Noor", "HALVORSEN  Noor"})
    EXPECT_EQ(code(bench.desk().register_person(registration(name, "HS 2"), bench.desk().caller())),
              codes::ask_alike)
        << name;
}

TEST(DeskNames, H19_LettersThatLookTheSameHideNobodyWhoIsAlike) {
  Bench bench;
  bench.enrol("Mirela Okonkwo", "1958-06-04", "HS 1");
  for (const char* name :
       {"Мirеlа Оkоnkwо",                     // Cyrillic where there is some
        "Ｍｉｒｅｌａ　Ｏｋｏｎｋｗｏ",       // full width
        "𝓜𝓲𝓻𝓮𝓵𝓪 𝓞𝓴𝓸𝓷𝓴𝔀𝓸", "Мirеllа Оkоnkwо",  // and a slip
        "Mirela\u00A0Okonkwo", "  Mirela   Okonkwo ", "MIRELA OKONKWO", "Mir\u0435la Okonkwo",
        "Mi\u0301rela O\u0308konkwo", "Μirela Οkοnkwο"})  // Greek
    EXPECT_EQ(code(bench.desk().register_person(registration(name, "HS 2"), bench.desk().caller())),
              codes::ask_alike)
        << name;
  EXPECT_TRUE(
      bench.desk().register_person(registration("Tove Marklund", "HS 2"), bench.desk().caller()));
}

TEST(DeskNames, H19_ANumberIsTheSameHoweverItIsWritten) {
  Bench bench;
  const auto first = bench.enrol("Mirela Okonkwo", "1958-06-04", "HS 104");
  for (const char* number : {"HS 104", "hs 104", " HS  104 ", "ＨＳ　１０４", "НЅ 104", "HS l04",
                             "HS\u00A0104", "H\u200BS 104", "HS 1O4"}) {
    EXPECT_EQ(
        code(bench.desk().register_person(
            registration("Tove Marklund", number, R"("confirmed":true,)"), bench.desk().caller())),
        codes::number_taken)
        << number;
    EXPECT_EQ(bench.desk().find_person(number, bench.desk().caller()).value(), first) << number;
  }
  EXPECT_TRUE(
      bench.desk().register_person(registration("Tove Marklund", "HS 105"), bench.desk().caller()));
  // Not by a correction, either; and somebody keeps their own.
  const auto other = bench.enrol("Jonas Abara", "1990-02-01", "HS 106");
  const auto facts = Bench::must(bench.page(other, "/journal"));
  const auto target = Bench::at(facts, "/rows/0/id").text;
  const auto corrected = [&](const std::string& number) {
    return code(bench.record(
        other,
        R"({"what":"correction","target":")" + target +
            R"(","reason":"mistyped","replacement":{"happened":"2027-03-16T14:00:00+01:00","what":"person registered","full_name":"Jonas Abara","born":"1990-02-01","number":")" +
            number + R"(","zone":"Europe/Berlin"}})"));
  };
  EXPECT_EQ(corrected("HS lO4"), codes::number_taken);
  EXPECT_EQ(corrected("hs 106"), "");
  EXPECT_EQ(corrected("HS 107"), "");
  EXPECT_EQ(bench.desk().find_person("HS 107", bench.desk().caller()).value(), other);
  EXPECT_EQ(code(bench.desk().register_person(registration("Somebody Else", "HS 106"),
                                              bench.desk().caller())),
            "");
}

TEST(DeskNames, H19_ANameThatNobodyCanSeeIsRefused) {
  Bench bench;
  for (const char* name : {"", " ", "\u200B", "\u200B\u2060\uFEFF", "\u3164", "\u200D", "\u00A0",
                           "\U000E0041\U000E007F"}) {
    const auto answer =
        bench.desk().register_person(registration(name, "HS 2"), bench.desk().caller());
    ASSERT_FALSE(answer) << name;
    EXPECT_EQ(answer.error().code, journal::codes::text_empty) << name;
    EXPECT_EQ(answer.error().at, "/facts/0/full_name") << name;
  }
}

TEST(DeskNames, ANameIsKeptAsItWasTypedWithoutWhatMeansNothing) {
  Bench bench;
  int number = 0;
  const auto name_of = [&](const std::string& typed) {
    const auto person = bench.enrol(typed, "1958-06-04", "HS " + std::to_string(++number));
    return Bench::at(Bench::must(bench.page(person)), "/who/name").text;
  };
  EXPECT_EQ(name_of("Zdzisława Ødegård-Þórsdóttir"), "Zdzisława Ødegård-Þórsdóttir");
  EXPECT_EQ(name_of("Ng\u200Buye\u0302\u0303n\uFEFF"), "Nguye\u0302\u0303n");
  EXPECT_EQ(name_of("شهره\u200Cها"), "شهره\u200Cها");
  // What turns the text beside it round is still refused.
  EXPECT_EQ(
      code(bench.desk().register_person(registration("a\u202Eb", "HS 9"), bench.desk().caller())),
      journal::codes::text_form);
}

TEST(DeskNames, H19_SearchFindsANameHoweverItIsTyped) {
  Bench bench;
  bench.enrol("Nguyễn Thị Đào", "1958-06-04", "HS 1");
  bench.enrol("Αλέξανδρος Straße", "1958-06-04", "HS 2");
  bench.enrol("Iğdır Щукина", "1958-06-04", "HS 3");
  const auto found = [&](const std::string& query) {
    const auto id = bench.desk().find_person(query, bench.desk().caller());
    return id ? Bench::at(Bench::must(bench.page(*id)), "/who/number").text : id.error().code;
  };
  for (const char* query : {"nguyen", "DAO", "Nguye\u0302\u0303n", "thi nguyen", "Ｄａｏ"})
    EXPECT_EQ(found(query), "HS 1") << query;
  for (const char* query : {"ΑΛΕΞΑΝΔΡΟΣ", "αλεξανδρος", "STRASSE", "strasse"})
    EXPECT_EQ(found(query), "HS 2") << query;
  for (const char* query : {"igdir", "IĞDIR", "щукина", "ЩУКИНА"})
    EXPECT_EQ(found(query), "HS 3") << query;
}

TEST(DeskNames, H40_TheSecondCheckIsNotTheCopyistInOtherLetters) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  const auto check = [&](const std::string& by) {
    return code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                         R"(","checked_by":")" + by + R"(",)" + Bench::reading +
                                         "}"));
  };
  for (const char* by : {"marit oyelaran", "Marit  Oyelaran ", "Mаrit Oyelаran",
                         "Marit\u200B Oyelaran", "Ｍａｒｉｔ Oyelaran"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  for (const char* by : {"Oyelaran, Marit", "M. Oyelaran", "Marit", "Marit Oyelaran RN", "M.O.",
                         "Nurse Marit Oyelaran", "x", ".", "-"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  for (const char* by :
       {"Oyelaran", "Mrs Oyelaran", "Sister Oyelaran", "Nurse Oyelaran", "Dr. Oyelaran",
        "Ms. Oyelaran", "Charge Nurse Oyelaran", "Miss M. Oyelaran", "Prof Dr Oyelaran", "Mrs MO",
        "Matron", "Marit Oyelaran", "Rnarit Oyelaran"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  EXPECT_EQ(check("Mrs Oyelade"), codes::ask_full_name) << "another family";
  EXPECT_EQ(check("Jonas Abara"), "");
}

TEST(DeskNames, H40_WhoCopiedIsNoSecondCheckOfTheirCorrectedCopyEither) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  const auto check = [&](const std::string& by, const std::string& more = "") {
    return code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                         R"(","checked_by":")" + by + R"(",)" + more +
                                         Bench::reading + "}"));
  };
  Bench::must(bench.record(
      person,
      R"({"what":"correction","target":")" + line +
          R"(","reason":"typo","replacement":{"what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Jo Winter","read_back":true}})"));
  for (const char* by : {"Marit Oyelaran", "M. Oyelaran", "Jo Winter", "Jo Vvinter"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  EXPECT_EQ(check("Jonas Abara", R"("happened":"2027-03-01T10:00:00+01:00",)"),
            order::codes::check_early);
  EXPECT_EQ(check("Jonas Abara"), "");
}

// Typed with another's name as the transcriber, it could be checked by whoever had typed it.
TEST(DeskNames, H40_WhoRecordedACopyIsNoSecondCheckOfItWhoeverIsNamedAsTranscriber) {
  Bench bench;
  const auto person = bench.enrol();
  const std::string line = "00000000000000000000000000000a01";
  Bench::must(bench.record(
      person,
      R"({"id":")" + line +
          R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Sam Field","read_back":true})"));
  const auto check = [&](const std::string& by) {
    return code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                         R"(","checked_by":")" + by + R"(",)" + Bench::reading +
                                         "}"));
  };
  for (const char* by : {"Marit Oyelaran", "Mrs Oyelaran", "Sam Field"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  EXPECT_EQ(check("Jonas Abara"), "");
}

// The empty braille cell counts as a sign, and is drawn as nothing.
TEST(DeskNames, H40_H19_H29_ANameOrASourceThatShowsNothingIsNone) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  EXPECT_EQ(code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                          R"(","checked_by":"\u2800",)" + Bench::reading + "}")),
            "fact.text_empty");
  EXPECT_EQ(code(bench.desk().register_person(registration("\u2800 \u2800", "HS 9"),
                                              bench.desk().caller())),
            "fact.text_empty");
  Bench::must(bench.record(
      person, R"({"what":"note","text":"seen","source":"\u2800","told_by":"\u2800"})"));
  const auto journal = Bench::all_text(Bench::must(bench.page(person, "/journal")));
  EXPECT_EQ(journal.find("\u2800"), std::string::npos) << journal;
}

TEST(DeskNames, H40_H60_WhatNamesNobodyIsNoSecondCheck) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  const auto check = [&](const std::string& by) {
    return code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                         R"(","checked_by":")" + by + R"(",)" + Bench::reading +
                                         "}"));
  };
  for (const char* by : {"self", "Me", "nobody", "Second person", "second-person", "same",
                         "Mirela Okonkwo", "okonkwo, mirela"})
    EXPECT_EQ(check(by), codes::check_nobody) << by;
  for (const char* by : {"MO", "mo", "m.o.", "N/A"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  for (const char* by : {"ok", "his wife", "see paper", "Penstock", "a colleague",
                         "Harbour Street Clinic", "Student"})
    EXPECT_EQ(check(by), codes::check_nobody) << by;
  EXPECT_EQ(check("M. Okonkwo"), codes::ask_signer_person);
  EXPECT_EQ(check("Mirela O."), codes::ask_signer_person);
  EXPECT_EQ(check("ZZ"), codes::ask_full_name);
  EXPECT_EQ(check("Mirela Abara"), "") << "a nurse of the same first name";
}

TEST(DeskNames, H40_H37_AnOrderNamesWhoPrescribedAndWhoTranscribedIt) {
  Bench bench;
  const auto person = bench.enrol();
  const auto copy = [&](const std::string& prescriber, const std::string& copied_by) {
    return code(bench.record(
        person,
        R"({"what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":")" +
            prescriber + R"(","signed_on":"2027-03-02","copied_from":"paper","copied_by":")" +
            copied_by + R"(","read_back":true})"));
  };
  for (const char* by : {"ok", "x", "TBD", "the doctor", "clinic"})
    EXPECT_EQ(copy(by, "Marit Oyelaran"), codes::order_nobody) << by;
  for (const char* by : {"-", "x", "ok", "his wife"})
    EXPECT_EQ(copy("Dr Osei", by), codes::copy_nobody) << by;
  for (const char* by : {"Jo Winter", "J. Winter"})
    EXPECT_EQ(copy(by, "Jo Winter"), codes::ask_no_prescriber) << by;
  EXPECT_EQ(copy("Osei", "Marit Oyelaran"), codes::ask_full_name);
  EXPECT_EQ(copy("Dr Osei", "Jo"), codes::ask_full_name);
  EXPECT_EQ(copy("Dr Osei", "Jo Winter"), "");
}

// By command and by call a check may leave the days out, and nothing said so.
TEST(DeskNames, H60_ACheckThatDidNotReadTheDaysIsSaidOnOrderAndCard) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person);
  bench.pen_and_cartridge(person);
  const auto said = [&] {
    const auto page = Bench::must(bench.page(person));
    EXPECT_EQ(Bench::at(page, "/next/state").text, "dial");
    const auto on_order = Bench::at(page, "/order/lines/0/checked").text;
    const auto on_card = Bench::at(page, "/next/order_text").text;
    EXPECT_EQ(on_order.empty(), on_card.find("hecked by") == std::string::npos) << on_card;
    EXPECT_EQ(Bench::at(page, "/order/lines/0/to_check").flag, !on_order.empty());
    return on_order;
  };
  EXPECT_EQ(said(), "checked by Jonas Abara without reading its first and last day");
  Bench::must(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                       R"(","checked_by":"Sam Field","days_read":true,)" +
                                       R"("from":"2027-03-02",)" + Bench::reading + "}"));
  EXPECT_EQ(said(), "");
}

TEST(DeskNames, H40_ACopyistWhoseNameIsTypedWithNeighboursTurnedIsAskedAbout) {
  Bench bench;
  const auto person = bench.enrol();
  const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
  const auto check = [&](const std::string& by) {
    return code(bench.record(person, R"({"what":"order line checked","line":")" + line +
                                         R"(","checked_by":")" + by + R"(",)" + Bench::reading +
                                         "}"));
  };
  for (const char* by : {"Mairt Oyelaran", "Marit Oyelarna", "Marrit Оyelaran"})
    EXPECT_EQ(check(by), codes::ask_check_slip) << by;
  for (const char* by : {"МАRIТ ОYЕLАRАN", "Sister Оyelaran", "ΜΑRΙΤ ΟΥΕLΑRΑΝ"})
    EXPECT_EQ(check(by), codes::check_own_copy) << by;
  EXPECT_EQ(check("Jonas Abara"), "");
}

// S10: looked for where it is written. 50 at once, each from a desk that every thread shares.
void register_at_once(store::Store& store) {
  std::atomic<std::uint64_t> ids{0};
  Ports ports;
  ports.store = &store;
  ports.now = [] { return parse_when("2027-03-16T14:10:00+01:00").value().at; };
  ports.zone = [](std::string_view name) -> Result<ZoneRules> {
    return ZoneRules{std::string(name), {}};
  };
  ports.zone_names = [] { return std::vector<std::string>{"UTC"}; };
  ports.new_id = [&ids] { return Id{0xABC, ++ids}; };
  ports.program = "Penstock test";
  const auto desk = std::move(*Desk::open(std::move(ports)));
  Bench::must(desk->name_clinic(
      Bench::request(
          R"({"clinic":"Harbour Street","user":"Marit Oyelaran","zone":"UTC","phone":"","emergency":""})"),
      desk->caller()));
  constexpr int callers = 50;
  std::atomic<int> taken{0}, registered{0}, waiting{callers};
  {
    std::vector<std::jthread> threads;
    for (int i = 0; i < callers; ++i) {
      threads.emplace_back([&, i] {
        const auto request = registration("Person " + std::to_string(i),
                                          i % 2 == 0 ? "HS 1" : "hs  l", R"("confirmed":true,)");
        --waiting;
        while (waiting > 0) std::this_thread::yield();
        const auto answer = desk->register_person(request, desk->caller());
        if (answer) ++registered;
        if (!answer && answer.error().code == codes::number_taken) ++taken;
      });
    }
  }
  EXPECT_EQ(registered, 1);
  EXPECT_EQ(taken, callers - 1);
  // Nobody came in beside them: not even a journal of nobody.
  const auto there = store.read([](store::ReadTx& tx) -> Result<void> {
    const auto journals = tx.journals();
    EXPECT_EQ(journals->size(), 2U);  // the clinic's and the one person's
    return {};
  });
  EXPECT_TRUE(there);
}

TEST(DeskNames, H19_OfFiftyWhoTakeANumberAtOnceOneGetsIt) {
  const auto memory = store::make_memory_store();
  register_at_once(*memory);
  store::kit::Folder folder;
  auto sqlite = store::open_sqlite({.path = folder / "clinic.penstock"});
  ASSERT_TRUE(sqlite);
  register_at_once(**sqlite);
}

// S5: whoever copied an order is not its second check under a name that reads the same.
TEST(DeskNames, H40_S5_TheCopyistIsNoSecondCheckHoweverTheNameIsWritten) {
  for (const auto* name : {"Marit  Oyelaran", "marit oyelaran.", "Marit\u00A0Oyelaran",
                           "Ma\u00ADrit Oyelaran", "Marit \u200BOyelaran", "Marit\u2062 Oyelaran",
                           "M\u0430rit Oyelaran", "Marit-Oyelaran", " Marit Oyelaran "}) {
    TestBench bench;
    const auto person = bench.enrol();
    const auto line = bench.order(person, "00000000000000000000000000000a01", "", false);
    const auto checked =
        bench.record(person, R"({"what":"order line checked","line":")" + line +
                                 R"(","checked_by":")" + std::string(name) + "\"}");
    ASSERT_FALSE(checked) << name;
    EXPECT_EQ(checked.error().code, codes::check_own_copy) << name;
  }
}

}  // namespace
}  // namespace penstock::desk
