// H19, H22, H40: a journal that comes in as a file, which anybody may have made (S3, S17).
#include <gtest/gtest.h>

#include <functional>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/wire/journal_file.hpp"
#include "edge/words/words.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

constexpr const char* line = "00000000000000000000000000000a01";

std::string code(const Result<json::Value>& answer) { return answer ? "" : answer.error().code; }

// Somebody with a checked order of 22 units and a pen, and the file of their journal.
struct Clinics {
  Bench bench;
  Id person = bench.enrol();
  wire::JournalFile file;

  Clinics() {
    bench.order(person);
    bench.pen_and_cartridge(person);
    file =
        wire::read_journal_file(bench.desk().export_journal(person).value(), store::sha256).value();
  }
  journal::Fact fact(std::uint64_t id, journal::Payload payload) const {
    auto out = file.facts.back();
    out.id = Id{0xBAD, id};
    out.author = "Dr Amara Osei";
    out.payload = std::move(payload);
    return out;
  }
  const journal::Fact& called(std::string_view name) const {
    return *std::ranges::find_if(
        file.facts, [&](const auto& fact) { return journal::name_of(fact.payload) == name; });
  }
  std::string text() const { return wire::write_journal_file(file, store::sha256); }
  Result<json::Value> look() {
    return bench.desk().import_journal(text(), "theirs.json", "", bench.desk().caller());
  }
  Result<json::Value> let_in() { return bench.let_in(text()); }
  /// Whether the person's card shows a number to dial.
  bool has_number() {
    const auto page = Bench::must(bench.page(person));
    for (const auto& step : Bench::at(page, "/next/steps").members) {
      if (Bench::at(step.value, "/window").flag) return true;
    }
    return false;
  }
};

// The attack: 60 units, "checked", under an identity that stands in every address.
TEST(DeskImport, H40_S3_AnOrderThatCameWithAFileWaitsForACheckByHand) {
  Clinics on;
  EXPECT_TRUE(on.has_number());
  auto order = std::get<journal::OrderLineSigned>(on.called("order line signed").payload);
  order.order_version = 5;
  order.replaces = *parse_id(line);
  order.slots[0].units = Units::from_hundredths(6'000).value();
  order.most_units = Units::from_hundredths(8'000).value();
  const auto signed_line = on.fact(1, order);
  on.file.facts.push_back(signed_line);
  on.file.facts.push_back(
      on.fact(2, journal::OrderLineChecked{signed_line.id, "Somebody Else", {}}));
  const auto seen = Bench::must(on.look());
  EXPECT_NE(Bench::all_text(Bench::at(seen, "/notices")).find("second check"), std::string::npos);
  EXPECT_TRUE(on.has_number()) << "a look changes nothing";
  Bench::must(on.let_in());
  EXPECT_FALSE(on.has_number());
  Bench::must(on.bench.record(
      on.person, R"({"what":"order line checked","line":")" + to_text(signed_line.id) +
                     R"(","checked_by":"Jonas Abara",)" + Bench::reading_of("60") + "}"));
  EXPECT_TRUE(on.has_number());
}

TEST(DeskImport, H29_S3_WhoLetAFileInIsOnRecordWithItsDigest) {
  Clinics on;
  on.file.facts.push_back(on.fact(1, journal::Note{"from elsewhere"}));
  const auto seen = Bench::must(on.look());
  EXPECT_FALSE(Bench::at(seen, "/accepted").flag);
  EXPECT_EQ(Bench::at(seen, "/fresh").text, "1");
  Bench::must(on.let_in());
  const auto out =
      wire::read_journal_file(on.bench.desk().export_journal(on.person).value(), store::sha256)
          .value();
  const auto& told = out.facts.back();
  EXPECT_EQ(told.author, "Marit Oyelaran");
  const auto* said = std::get_if<journal::Note>(&told.payload);
  ASSERT_NE(said, nullptr);
  const auto file = on.text();
  EXPECT_NE(said->text.find(to_text(
                store::sha256({reinterpret_cast<const std::uint8_t*>(file.data()), file.size()}))),
            std::string::npos);
  EXPECT_NE(said->text.find("theirs.json"), std::string::npos);
  // The same file twice changes nothing.
  const auto version = Bench::at(Bench::must(on.let_in()), "/version").text;
  EXPECT_EQ(Bench::at(Bench::must(on.let_in()), "/version").text, version);
}

TEST(DeskImport, H22_H07_WhatWasRecordedSinceTheLookIsLookedAtFirst) {
  Clinics on;
  on.file.facts.push_back(on.fact(1, journal::Note{"from elsewhere"}));
  const auto seen = Bench::at(Bench::must(on.look()), "/digest").text;
  Bench::must(on.bench.record(on.person, R"({"what":"note","text":"written meanwhile"})"));
  EXPECT_EQ(code(on.bench.desk().import_journal(on.text(), "theirs.json", seen,
                                                on.bench.desk().caller())),
            codes::preview_other);
  Bench::must(on.let_in());
}

// A file that strikes out what stops a cartridge says which number comes back.
TEST(DeskImport, H12_H13_H59_AFileThatLiftsAStopIsAskedAbout) {
  Clinics on;
  const std::string frost = "00000000000000000000000000000d09";
  Bench::must(on.bench.record(
      on.person,
      R"({"id":")" + frost + R"(","what":"temperature spell","cartridge":")" +
          std::string(Bench::cartridge) + R"(","celsius":-6,"minutes":600,"frozen":true})",
      R"("confirmed":true,)"));
  EXPECT_FALSE(on.has_number());
  on.file.facts.push_back(
      on.fact(1, journal::Correction{*parse_id(frost), "a typo", true, nullptr}));
  const auto seen = Bench::all_text(Bench::at(Bench::must(on.look()), "/asked"));
  EXPECT_NE(seen.find("shows 22 units of insulin glargine to dial"), std::string::npos) << seen;
}

TEST(DeskImport, H29_AnEntryOfAFileSaysWhichFileItCameWith) {
  Clinics on;
  on.file.facts.push_back(on.fact(1, journal::Note{"I checked the pen myself"}));
  Bench::must(on.let_in());
  Bench::must(on.bench.record(on.person, R"({"what":"note","text":"written here"})"));
  const auto journal = Bench::must(on.bench.page(on.person, "/journal"));
  int theirs = 0;
  for (const auto& row : Bench::at(journal, "/rows").members) {
    const bool came =
        Bench::at(row.value, "/by_text").text.find("theirs.json") != std::string::npos;
    const bool checked =
        Bench::all_text(row.value).find("I checked the pen myself") != std::string::npos;
    EXPECT_EQ(came, checked) << Bench::all_text(row.value);
    theirs += came ? 1 : 0;
  }
  EXPECT_EQ(theirs, 1);
}

TEST(DeskImport, H22_S3_WhatIsAcceptedIsWhatWasLookedAt) {
  Clinics on;
  on.file.facts.push_back(on.fact(1, journal::Note{"from elsewhere"}));
  const auto other = on.bench.desk().import_journal(on.text(), "theirs.json", std::string(64, 'a'),
                                                    on.bench.desk().caller());
  EXPECT_EQ(code(other), codes::preview_other);
}

TEST(DeskImport, H19_S3_TheClinicsKindsAndFactsOfTomorrowEnterNobodysJournal) {
  for (const auto& payload : {journal::Payload(journal::ClinicNamed{"A", "B", "UTC", "", ""}),
                              journal::Payload(journal::HeadsSealed{std::string(64, 'a'), 1}),
                              journal::Payload(journal::RecallOpened{})}) {
    Clinics on;
    on.file.facts.push_back(on.fact(1, payload));
    EXPECT_FALSE(on.look());
  }
  Clinics on;
  on.file.facts.push_back(on.fact(1, journal::Note{"from tomorrow"}));
  on.file.facts.back().recorded += std::chrono::hours{24 * 365};
  EXPECT_EQ(code(on.look()), codes::import_future);
}

TEST(DeskImport, H19_S3_ThePersonInTheFileStandsBesideThePersonHere) {
  Clinics on;
  const auto registered = std::get<journal::PersonRegistered>(on.file.facts.front().payload);
  auto renamed = registered;
  renamed.full_name = "Mirela Okonkwo-Berg";
  on.file.facts.push_back(on.fact(
      1, journal::Correction{on.file.facts.front().id, "married", false,
                             std::make_shared<const journal::Replacement>(journal::Replacement{
                                 on.file.facts.front().happened, 0, renamed})}));
  const auto seen = Bench::must(on.look());
  EXPECT_EQ(Bench::at(seen, "/theirs/name").text, "Mirela Okonkwo-Berg");
  EXPECT_EQ(Bench::at(seen, "/here/name").text, "Mirela Okonkwo");
  EXPECT_NE(Bench::all_text(Bench::at(seen, "/notices")).find("the same person"),
            std::string::npos);
  // It enters the record that is here, whatever the file calls it.
  const auto entered = Bench::must(on.let_in());
  for (const auto* said : {&seen, &entered}) {
    EXPECT_EQ(Bench::at(*said, "/name").text, "Mirela Okonkwo");
    const auto summary = Bench::all_text(Bench::at(*said, "/summary"));
    EXPECT_EQ(summary.find("Okonkwo-Berg"), std::string::npos) << summary;
    EXPECT_NE(summary.find("Mirela Okonkwo"), std::string::npos) << summary;
  }
  // Another name and another birth date is another person.
  Clinics other;
  renamed.full_name = "Tove Marklund";
  renamed.born -= std::chrono::days{900};
  other.file.facts.front().id = Id{0xBAD, 9};
  other.file.facts.front().payload = renamed;
  EXPECT_EQ(code(other.look()), codes::import_other_person);
}

TEST(DeskImport, H19_S3_ANumberThatIsTakenIsRefusedForSomebodyWhoIsNewHere) {
  Clinics on;
  on.file.journal = Id{0xBAD, 7};
  for (auto& fact : on.file.facts) {
    fact.journal = on.file.journal;
    fact.id.high = 0xBAD;
  }
  EXPECT_EQ(code(on.look()), codes::number_taken);
}

// A number goes on these: an answer to the prescriber's question, a test of the window, a second
// check. In a file they are somebody's word.
TEST(DeskImport, H22_H01_H37_H40_WhatIsCheckedAnsweredOrTestedInAFileIsNotSoHere) {
  Clinics on;
  Bench::must(on.bench.record(
      on.person, R"({"id":"00000000000000000000000000000e01","what":"question opened","line":")" +
                     std::string(line) + R"(","reason":"lows","text":"Lower the dose?"})"));
  EXPECT_FALSE(on.has_number());
  const Id question{0, 0xe01};
  journal::QuestionAnswered answer;
  answer.question = question;
  answer.answer = journal::AnswerKind::keep_dose;
  answer.by = "Dr Tomasz Adeyemi";
  answer.read_back = true;
  on.file.facts.push_back(on.fact(1, answer));
  journal::WindowTested tested;
  tested.pen = *parse_id(Bench::pen);
  tested.dialled = Units::from_hundredths(200).value();
  on.file.facts.push_back(on.fact(2, tested));
  // The copyist's own second check, and a correction that takes the question away.
  on.file.facts.push_back(
      on.fact(3, journal::OrderLineChecked{*parse_id(line), "Marit Oyelaran", {}}));
  on.file.facts.push_back(on.fact(4, journal::Correction{question, "asked", false, nullptr}));
  on.file.facts.push_back(on.fact(5, journal::Correction{{0xBAD, 2}, "typed", false, nullptr}));
  on.file.facts.push_back(on.fact(6, journal::Note{"from elsewhere"}));
  const auto seen = Bench::must(on.look());
  EXPECT_EQ(Bench::at(seen, "/fresh").text, "1");
  const auto notices = Bench::all_text(Bench::at(seen, "/notices"));
  EXPECT_NE(notices.find("2 answers"), std::string::npos) << notices;
  EXPECT_NE(notices.find("1 window check"), std::string::npos) << notices;
  EXPECT_NE(notices.find("1 second check"), std::string::npos) << notices;
  Bench::must(on.let_in());
  EXPECT_FALSE(on.has_number());
  Bench::must(on.bench.record(
      on.person,
      R"({"what":"question answered","question":"00000000000000000000000000000e01","answer":"keep the dose","by":"Dr Tomasz Adeyemi","read_back":true})"));
  EXPECT_TRUE(on.has_number());
}

// "1 entry would be changed": which, and to what?
TEST(DeskImport, H22_WhatAFileChangesIsNamedAsItIsAndAsItWouldBe) {
  Clinics on;
  Bench::must(on.bench.record(
      on.person, R"({"id":"00000000000000000000000000000d01","what":"injected","happened":)"
                 R"("2027-03-15T22:00:00+01:00","cartridge":")" +
                     std::string(Bench::cartridge) + R"(","units":22})"));
  Bench::must(on.bench.record(
      on.person, R"({"id":"00000000000000000000000000000d02","what":"note","text":"felt well"})"));
  journal::Injected dose;
  dose.cartridge = *parse_id(Bench::cartridge);
  dose.units = Units::from_hundredths(1'200).value();
  const auto when = parse_when("2027-03-15T21:00:00+01:00").value();
  on.file.facts.push_back(on.fact(
      1, journal::Correction{
             {0, 0xd01},
             "misread",
             false,
             std::make_shared<const journal::Replacement>(journal::Replacement{when, 0, dose})}));
  on.file.facts.push_back(on.fact(2, journal::Correction{{0, 0xd02}, "not so", false, nullptr}));
  const auto seen = Bench::must(on.look());
  ASSERT_EQ(Bench::at(seen, "/changes").members.size(), 2U);
  const auto says = [&](const std::string& path, const char* word) {
    const auto text = Bench::at(seen, path).text;
    EXPECT_NE(text.find(word), std::string::npos) << text;
  };
  says("/changes/0/before", "22 units");
  says("/changes/0/before", "22:00");
  says("/changes/0/after", "12 units");
  says("/changes/0/after", "21:00");
  says("/changes/1/before", "felt well");
  says("/changes/1/after", "not so");
}

// One line of the journal does not say how a pen's window behaves.
TEST(DeskImport, H22_H29_H01_AChangeThatTheLineDoesNotSayIsNamedFieldByField) {
  Clinics on;
  const auto& pen = on.called("pen given");
  auto other = std::get<journal::PenGiven>(pen.payload);
  other.copy.window = shelf::Window::counts_on;
  other.copy.prime = Units::from_hundredths(800).value();
  on.file.facts.push_back(
      on.fact(1, journal::Correction{pen.id, "as on the label", false,
                                     std::make_shared<const journal::Replacement>(
                                         journal::Replacement{pen.happened, 0, other})}));
  const auto seen = Bench::must(on.look());
  ASSERT_EQ(Bench::at(seen, "/changes").members.size(), 1U);
  const auto after = Bench::at(seen, "/changes/0/after").text;
  EXPECT_NE(after.find("window: returns to zero, then counts on"), std::string::npos) << after;
  EXPECT_NE(after.find("prime units: 2, then 8"), std::string::npos) << after;
}

TEST(DeskImport, H37_H22_ASeriousHypoInAFileOpensTheQuestionToThePrescriber) {
  Clinics on;
  journal::GlucoseNoted low;
  low.value = Glucose{GlucoseUnit::mmol_l, 24};
  on.file.facts.push_back(on.fact(1, low));
  Bench::must(on.let_in());
  EXPECT_FALSE(on.has_number());
  const auto page = Bench::all_text(Bench::must(on.bench.page(on.person)));
  EXPECT_NE(page.find("had a hypo below"), std::string::npos) << page;
}

// A note in the place of a question is no question.
TEST(DeskImport, H22_H37_NoCorrectionInAFileTakesAQuestionAway) {
  for (const bool is_question : {false, true}) {
    Clinics on;
    Bench::must(on.bench.record(
        on.person, R"({"id":"00000000000000000000000000000e01","what":"question opened","line":")" +
                       std::string(line) + R"(","reason":"lows","text":"Lower the dose?"})"));
    journal::QuestionOpened other;
    other.line = Id{0xBAD, 99};
    other.text = "Lower the dose?";
    const auto instead =
        is_question ? journal::Payload(other) : journal::Payload(journal::Note{"x"});
    const auto when = on.file.facts.back().happened;
    on.file.facts.push_back(
        on.fact(1, journal::Correction{{0, 0xe01},
                                       "typed",
                                       false,
                                       std::make_shared<const journal::Replacement>(
                                           journal::Replacement{when, 0, instead})}));
    on.file.facts.push_back(on.fact(2, journal::Note{"from elsewhere"}));
    const auto notices = Bench::all_text(Bench::at(Bench::must(on.look()), "/notices"));
    EXPECT_NE(notices.find("not imported: now: "), std::string::npos) << notices;
    EXPECT_NE(notices.find("A question to the prescriber"), std::string::npos) << notices;
    Bench::must(on.let_in());
    EXPECT_FALSE(on.has_number());
  }
}

// A dose of 8 was shown as 12, on the word of a file whose preview showed nothing.
TEST(DeskImport, H22_H01_H12_APenAndACartridgeOtherThanTheShelfAreAskedAboutAndTheWindowTested) {
  Clinics on;
  EXPECT_TRUE(on.has_number());
  auto pen = std::get<journal::PenGiven>(on.called("pen given").payload);
  pen.copy.window = shelf::Window::counts_on;
  pen.copy.prime = Units::from_hundredths(900).value();
  auto load = std::get<journal::CartridgeLoaded>(on.called("cartridge loaded").payload);
  load.copy.in_use_days = 56;
  load.copy.in_use_most = TenthsCelsius{370};
  const auto correct = [&](std::uint64_t id, std::string_view name, journal::Payload payload) {
    const auto target = on.called(name).id;
    const auto when = on.called(name).happened;
    on.file.facts.push_back(
        on.fact(id, journal::Correction{target, "typed", false,
                                        std::make_shared<const journal::Replacement>(
                                            journal::Replacement{when, 0, std::move(payload)})}));
  };
  correct(1, "pen given", pen);
  correct(2, "cartridge loaded", load);
  const auto asked = Bench::all_text(Bench::at(Bench::must(on.look()), "/asked"));
  for (const auto* said :
       {"the window keeps counting", "the window returns to zero", "9 units", "56 days", "37"})
    EXPECT_NE(asked.find(said), std::string::npos) << said << "\n" << asked;
  Bench::must(on.let_in());
  EXPECT_FALSE(on.has_number());
  Bench::must(on.bench.record(on.person, R"({"what":"window tested","pen":")" +
                                             std::string(Bench::pen) +
                                             R"(","dialled_units":2,"shown_after_units":0})"));
  EXPECT_TRUE(on.has_number());
}

TEST(DeskImport, H01_ACopyThatIsSentAndIsNotTheShelfsIsAskedAbout) {
  Clinics on;
  auto pen = std::get<journal::PenGiven>(on.called("pen given").payload);
  pen.pen = Id{0, 0xb02};
  pen.copy.window = shelf::Window::counts_on;
  const auto said = json::to_text(wire::payload_to_json(pen));
  const auto asked = Bench::must(on.bench.record(on.person, said));
  EXPECT_EQ(Bench::at(asked, "/ask/code").text, codes::ask_window_differs);
}

// A file, or a call, says that something was erased, and it stands there.
TEST(DeskImport, H29_WhatWasNotErasedIsNotSaidToBe) {
  Clinics on;
  const auto erased = to_text(on.called("pen given").id);
  const auto said = R"({"what":"payload erased","fact":")" + erased + R"(","reason":"asked"})";
  EXPECT_EQ(code(on.bench.record(on.person, said)), codes::erased_by_hand);
  Bench::must(on.bench.record(
      on.person, R"({"id":"00000000000000000000000000000d02","what":"note","text":"felt well"})"));
  EXPECT_EQ(
      code(on.bench.record(
          on.person,
          R"({"what":"correction","target":"00000000000000000000000000000d02","reason":"typed",)"
          R"("replacement":{"happened":"2027-03-16T14:00:00+01:00",)" +
              said.substr(1) + "}")),
      codes::erased_by_hand);
  on.file.facts.push_back(
      on.fact(1, journal::PayloadErased{on.called("pen given").id, "asked for in writing"}));
  on.file.facts.push_back(on.fact(2, journal::Note{"from elsewhere"}));
  const auto seen = Bench::must(on.look());
  EXPECT_EQ(Bench::at(seen, "/fresh").text, "1");
  EXPECT_NE(Bench::all_text(Bench::at(seen, "/notices")).find("erased"), std::string::npos);
}

// It used to end a checked basal line without a word.
TEST(DeskImport, H22_H38_WhatEndsACheckedLineWaitsAndIsNamed) {
  const auto yesterday = parse_day("2027-03-15").value();
  std::vector<std::function<journal::Payload(const Clinics&)>> ends;
  ends.emplace_back([&](const Clinics&) {
    journal::OrderLineEnded end;
    end.line = *parse_id(line);
    end.last_day = yesterday;
    end.prescriber = "Dr Osei";
    return end;
  });
  ends.emplace_back([&](const Clinics& on) {
    auto over = std::get<journal::OrderLineSigned>(on.called("order line signed").payload);
    over.replaces = *parse_id(line);
    over.until = yesterday;
    return over;
  });
  ends.emplace_back([&](const Clinics&) {
    return journal::Correction{*parse_id(line), "typed", false, nullptr};
  });
  for (const auto& end : ends) {
    Clinics on;
    on.file.facts.push_back(on.fact(1, end(on)));
    on.file.facts.push_back(on.fact(2, journal::Note{"from elsewhere"}));
    const auto seen = Bench::must(on.look());
    EXPECT_EQ(Bench::at(seen, "/fresh").text, "1");
    const auto notices = Bench::all_text(Bench::at(seen, "/notices"));
    EXPECT_NE(notices.find("A file does not end or change a line"), std::string::npos) << notices;
    Bench::must(on.let_in());
    EXPECT_TRUE(on.has_number());
  }
}

// Tonight's dose was gone, and the preview had counted entries.
TEST(DeskImport, H22_H38_AnInjectionOfTheLastDayIsNamedBeforeItCounts) {
  Clinics on;
  journal::Injected dose;
  dose.cartridge = *parse_id(Bench::cartridge);
  dose.units = Units::from_hundredths(1'700).value();
  for (const auto* when : {"2027-03-16T14:05:00+01:00", "2027-03-15T13:00:00+01:00"}) {
    auto fact = on.fact(on.file.facts.size(), dose);
    fact.happened = parse_when(when).value();
    on.file.facts.push_back(fact);
  }
  const auto notices = Bench::all_text(Bench::at(Bench::must(on.look()), "/notices"));
  EXPECT_NE(notices.find("Counts as given"), std::string::npos) << notices;
  EXPECT_NE(notices.find("14:05: Injected 17 units"), std::string::npos) << notices;
  EXPECT_EQ(notices.find("13:00"), std::string::npos) << notices;
}

// Typed, a second dose beside another, 200 units and a prime of 20 are asked about.
TEST(DeskImport, H22_H07_H25_WhatWouldBeAskedOfATypedDoseIsListed) {
  Clinics on;
  Bench::must(
      on.bench.record(on.person, R"({"what":"injected","happened":"2027-03-15T22:00:00+01:00",)"
                                 R"("cartridge":")" +
                                     std::string(Bench::cartridge) + R"(","units":22})"));
  const auto add = [&](std::uint64_t id, const char* when, std::int64_t hundredths) {
    journal::Injected dose;
    dose.cartridge = *parse_id(Bench::cartridge);
    dose.units = Units::from_hundredths(hundredths).value();
    auto fact = on.fact(id, dose);
    fact.happened = parse_when(when).value();
    on.file.facts.push_back(fact);
  };
  add(1, "2027-03-14T22:00:00+01:00", 2'200);
  add(2, "2027-03-15T22:30:00+01:00", 2'200);
  add(3, "2027-03-16T01:00:00+01:00", 20'000);
  on.file.facts.push_back(
      on.fact(4, journal::Primed{*parse_id(Bench::cartridge), Units::from_hundredths(2'000).value(),
                                 journal::Flow::seen}));
  const auto seen = Bench::must(on.look());
  std::string asked;
  for (std::size_t i = 0; i < Bench::at(seen, "/asked").members.size(); ++i)
    asked += Bench::at(seen, "/asked/" + std::to_string(i) + "/entry").text + " / " +
             Bench::at(seen, "/asked/" + std::to_string(i) + "/why").text + "\n";
  // Of the 200 units both that they are many and that the night's dose is on record.
  EXPECT_EQ(Bench::at(seen, "/asked").members.size(), 4U) << asked;
  EXPECT_NE(asked.find("22:30"), std::string::npos) << asked;
  EXPECT_NE(asked.find("200 units"), std::string::npos) << asked;
  EXPECT_NE(asked.find("20 units"), std::string::npos) << asked;
  EXPECT_EQ(asked.find("14 March"), std::string::npos) << asked;
}

TEST(DeskImport, H40_S3_WhatTheDeskRefusesAFileDoesNotBringIn) {
  Clinics on;
  auto order = std::get<journal::OrderLineSigned>(on.called("order line signed").payload);
  order.copied_from = journal::CopiedFrom::telephone;
  order.read_back = false;
  on.file.facts.push_back(on.fact(1, order));
  const auto seen = Bench::must(on.look());
  EXPECT_FALSE(Bench::at(seen, "/can_accept").flag);
  EXPECT_EQ(Bench::at(seen, "/bad").members.size(), 1U);
  EXPECT_EQ(code(on.let_in()), codes::read_back_missing);
}

// A dose was lost in silence: its identity was one that is on record, of whatever entry.
TEST(DeskImport, H22_H07_AnIdentityThatIsOnRecordWithOtherContentIsRefusedByName) {
  const auto dose = [](std::int64_t hundredths) {
    journal::Injected out;
    out.cartridge = *parse_id(Bench::cartridge);
    out.units = Units::from_hundredths(hundredths).value();
    return out;
  };
  for (const bool is_theirs : {true, false}) {
    Clinics on;
    const auto whose =
        is_theirs ? on.person : on.bench.enrol("Tove Marklund", "2019-08-08", "HS 05210");
    Bench::must(
        on.bench.record(whose,
                        R"({"id":"00000000000000000000000000000d01","what":"injected","happened":)"
                        R"("2027-03-15T22:00:00+01:00","cartridge":")" +
                            std::string(Bench::cartridge) + R"(","units":22})",
                        R"("confirmed":true,)"));
    auto fact = on.fact(1, dose(500));
    fact.id = Id{0, 0xd01};
    fact.happened = parse_when("2027-03-15T22:00:00+01:00").value();
    on.file.facts.push_back(fact);
    const auto version = Bench::at(Bench::must(on.bench.page(on.person)), "/version").text;
    const auto seen = Bench::must(on.look());
    EXPECT_FALSE(Bench::at(seen, "/can_accept").flag);
    const auto all = Bench::all_text(seen);
    EXPECT_NE(all.find("22:00: Injected 5 units"), std::string::npos) << all;
    EXPECT_EQ(all.find(tests::piece("sentences/import.nothing_new")), std::string::npos) << all;
    EXPECT_EQ(all.find("22:00: Injected 22 units") != std::string::npos, is_theirs) << all;
    EXPECT_EQ(code(on.let_in()), is_theirs ? codes::import_id_differs : codes::import_id_elsewhere);
    EXPECT_EQ(Bench::at(Bench::must(on.bench.page(on.person)), "/version").text, version);
  }
}

TEST(DeskImport, H22_H31_WhatSomebodyElseRecordedOfTheSameEventIsKnown) {
  Clinics on;
  on.file.facts.back().author = "Jonas Abara";
  on.file.facts.back().recorded -= std::chrono::hours{1};
  const auto seen = Bench::must(on.look());
  EXPECT_EQ(Bench::at(seen, "/fresh").text, "0");
  EXPECT_TRUE(Bench::at(seen, "/bad").members.empty()) << Bench::all_text(seen);
}

// No number was shown, the file's scale reading fitted the account, and the card said what to dial.
TEST(DeskImport, H12_H59_H41_AFileWhoseReadingLiftsAStopIsAskedAboutWithTheDose) {
  Clinics on;
  Bench::must(on.bench.record(
      on.person, R"({"what":"scale counted","happened":"2027-03-16T13:00:00+01:00","cartridge":")" +
                     std::string(Bench::cartridge) + R"(","units":255})"));
  EXPECT_FALSE(on.has_number());
  on.file.facts.push_back(on.fact(1, journal::Note{"looked again"}));
  on.file.facts.push_back(on.fact(
      2,
      journal::ScaleCounted{*parse_id(Bench::cartridge), Units::from_hundredths(30'000).value()}));
  on.file.facts.back().happened = parse_when("2027-03-16T14:05:00+01:00").value();
  const auto seen = Bench::must(on.look());
  ASSERT_EQ(Bench::at(seen, "/asked").members.size(), 1U) << Bench::all_text(seen);
  const auto why = Bench::at(seen, "/asked/0/why").text;
  EXPECT_NE(why.find("22 units of insulin glargine"), std::string::npos) << why;
  const auto entry = Bench::at(seen, "/asked/0/entry").text;
  EXPECT_NE(entry.find("300 units"), std::string::npos) << entry;
}

// The flag "injected by the school nurse" was gone, and the preview had counted one entry.
TEST(DeskImport, H22_H46_H63_WhatAFileReplacesAsAWholeIsShownFieldByField) {
  Clinics on;
  on.bench.set_clock("2027-03-16T18:00:00+01:00");
  for (
      const auto* here :
      {R"({"what":"background noted","happened":"2027-03-16T15:00:00+01:00","background":{"injector":"school nurse","kidneys":"stage three"}})",
       R"({"what":"body measured","happened":"2027-03-16T15:00:00+01:00","height_cm":168,"waist_cm":84})"})
    Bench::must(on.bench.record(on.person, here));
  const auto add = [&](std::uint64_t id, const char* when, journal::Payload payload) {
    on.file.facts.push_back(on.fact(id, std::move(payload)));
    on.file.facts.back().happened = parse_when(when).value();
  };
  journal::BackgroundNoted noted;
  noted.background.injector = journal::Injector::self;
  journal::BodyMeasured body;
  body.height = TenthsCm{1'680};
  add(1, "2027-03-16T14:30:00+01:00", noted);
  add(2, "2027-03-16T14:30:00+01:00", body);
  EXPECT_TRUE(Bench::at(Bench::must(on.look()), "/changes").members.empty())
      << "what is earlier than what stands here replaces nothing";
  add(3, "2027-03-16T16:00:00+01:00", noted);
  add(4, "2027-03-16T16:00:00+01:00", body);
  journal::DetailsChanged details;
  details.full_name = "Mirela Okonkwo";
  details.born = parse_day("1958-06-04").value();
  details.number = "HS 04172";
  details.phone = "555 0199";
  add(5, "2027-03-16T16:00:00+01:00", details);
  const auto changes = Bench::all_text(Bench::at(Bench::must(on.look()), "/changes"));
  for (const auto* said : {"injector: school nurse, then self", "kidneys: stage three, then ",
                           "waist cm: 84, then nothing", "phone: ", "then 555 0199"})
    EXPECT_NE(changes.find(said), std::string::npos) << said << "\n" << changes;
  EXPECT_EQ(changes.find("height"), std::string::npos) << changes;
  EXPECT_EQ(changes.find("zone"), std::string::npos) << changes;
}

// A test that speaks against the pen was dropped, and nothing was said of it.
TEST(DeskImport, H22_H01_WhatIsNotTakenOverIsSaidWhereNothingElseIsNew) {
  Clinics on;
  journal::WindowTested tested;
  tested.pen = *parse_id(Bench::pen);
  tested.dialled = Units::from_hundredths(200).value();
  on.file.facts.push_back(on.fact(1, tested));
  on.file.facts.push_back(
      on.fact(2, journal::OrderLineChecked{*parse_id(line), "Somebody Else", {}}));
  const auto seen = Bench::must(on.look());
  EXPECT_EQ(Bench::at(seen, "/fresh").text, "0");
  EXPECT_FALSE(Bench::at(seen, "/can_accept").flag);
  const auto all = Bench::all_text(seen);
  EXPECT_EQ(all.find(tests::piece("sentences/import.nothing_new")), std::string::npos) << all;
  for (const auto* said : {"2 entries", "1 window check", "1 second check", "Window check of"})
    EXPECT_NE(all.find(said), std::string::npos) << said << "\n" << all;
}

// S17: a file that registers nobody would stand where nobody finds it.
TEST(DeskImport, H22_S17_WhereNobodyIsRegisteredNothingIsWritten) {
  Clinics on;
  on.file.journal = Id{0xBAD, 7};
  on.file.facts = {on.fact(1, journal::Note{"nobody's"})};
  on.file.facts[0].journal = on.file.journal;
  EXPECT_EQ(code(on.look()), codes::import_nobody);
  EXPECT_EQ(code(on.let_in()), codes::import_nobody);
  ASSERT_TRUE(on.bench.store().read([&](store::ReadTx& tx) -> Result<void> {
    EXPECT_FALSE(tx.journal(Id{0xBAD, 7}).value().has_value());
    return {};
  }));
}

}  // namespace
}  // namespace penstock::desk
