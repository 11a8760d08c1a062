// One journal that cannot be worked out stops nobody else, and nothing that goes wrong in here ends
// without a number.
#include <gtest/gtest.h>

#include "edge/json/json.hpp"
#include "shell/desk/internal/test_bench.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

template <class Answer>
std::string outcome(const Result<Answer>& answer) {
  return answer ? "an answer" : answer.error().code;
}

// Every entry of the desk that can fail, by name.
std::vector<std::pair<std::string, std::string>> outcomes(Bench& bench, Id person) {
  auto& desk = bench.desk();
  const auto request = Bench::request(R"({"facts":[{"what":"note","text":"x"}]})");
  const auto moved =
      Bench::request(R"({"fact":")" + to_text(person) + R"(","to":"HS 1","reason":"x"})");
  const auto named = Bench::request(R"({"clinic":"A","user":"B","zone":"UTC"})");
  const auto digest = std::string(64, 'a');
  pages::Row row;
  row.needs = pages::Needs::everybody;
  row.document = [](const pages::Asked&) -> Result<json::Value> { return json::object(); };
  return {
      {"page", outcome(desk.page(row, {}, desk.caller()))},
      {"written_since", outcome(desk.written_since(person, 0))},
      {"record", outcome(desk.record(person, request, desk.caller()))},
      {"hand_out", outcome(desk.hand_out(person, request, desk.caller()))},
      {"record_clinic", outcome(desk.record_clinic(request, desk.caller()))},
      {"move_fact", outcome(desk.move_fact(person, moved, desk.caller()))},
      {"register_person", outcome(desk.register_person(request, desk.caller()))},
      {"name_clinic", outcome(desk.name_clinic(named, desk.caller()))},
      {"put_photo", outcome(desk.put_photo(person, "\xFF\xD8\xFF.", Desk::Consent::given))},
      {"photo", outcome(desk.photo(person, digest))},
      {"erase_photo", outcome(desk.erase_photo(person, digest, "x", desk.caller()))},
      {"diary", outcome(desk.diary(person, "a.csv", "", "", desk.caller()))},
      {"export_journal", outcome(desk.export_journal(person))},
      {"import_journal", outcome(desk.import_journal("{}", "a.json", "", desk.caller()))},
      {"export_diary", outcome(desk.export_diary(person))},
      {"find_person", outcome(desk.find_person("Mirela", desk.caller()))},
      {"append_all", outcome(desk.append_all(person, store::Subject::person, {}))},
      {"fill", outcome(desk.fill({}))},
      {"verify", outcome(desk.verify({}))},
      {"seal_heads", outcome(desk.seal_heads(desk.caller()))},
      {"rebuild_summaries", outcome(desk.rebuild_summaries({}, desk.caller()))},
  };
}

TEST(DeskFaults, F4_WhateverIsThrownInAnEntryIsAnIncident) {
  for (const auto fault : {Fault::broken_promise, Fault::exception}) {
    Bench bench;
    const auto person = bench.enrol();
    bench.faults().fail_at(1, fault, Lasts::for_ever);
    const auto of_journal = fault == Fault::broken_promise;
    std::size_t incidents = 0;
    for (const auto& [entry, how] : outcomes(bench, person)) {
      const bool is_incident = how == codes::incident || how == codes::incident_of_nobody;
      // What is refused before anything is looked up is refused as ever.
      const bool refused_first = entry == "import_journal" || entry == "record_clinic" ||
                                 entry == "register_person" || how == "an answer";
      EXPECT_TRUE(is_incident || refused_first) << entry << ": " << how;
      if (!of_journal) {
        EXPECT_NE(how, codes::incident) << entry;  // no memory is nobody's fault
      }
      incidents += is_incident ? 1 : 0;
    }
    EXPECT_GE(incidents, 16U);
    bench.faults().end();
    for (const auto& [entry, how] : outcomes(bench, person)) {
      EXPECT_NE(how, codes::incident) << entry;
      EXPECT_NE(how, codes::incident_of_nobody) << entry;
    }
  }
}

TEST(DeskFaults, F4_AnIncidentNamesWhoseRecordItIsAndTheSameAgainIsTheSame) {
  Bench bench;
  const auto person = bench.enrol();
  const auto other = bench.another_desk();  // has folded nobody yet
  bench.broken = true;
  const auto broke = other->written_since(person, 0);
  ASSERT_FALSE(broke);
  const auto said = words::english().say(broke.error());
  EXPECT_NE(said.what.find("Mirela Okonkwo, HS 04172"), std::string::npos) << said.what;
  const auto again = other->export_diary(person);
  ASSERT_FALSE(again);
  EXPECT_EQ(words::english().say(again.error()).what, said.what);
}

constexpr const char* note = R"({"what":"note","text":"x"})";

std::string code(const Result<json::Value>& answer) { return answer ? "" : answer.error().code; }

TEST(DeskFaults, F2_AnIncidentBelongsToTheJournalThatBrokeNotToTheOneAtWork) {
  Bench bench;
  const auto here = bench.enrol();
  const auto there = bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  const std::string fact = "000000000000000000000000000000e1";
  Bench::must(bench.record(here, R"({"id":")" + fact + R"(","what":"note","text":"astray"})"));
  bench.broken_zone = "UTC";
  const auto moved = bench.desk().move_fact(
      here, Bench::request(R"({"fact":")" + fact + R"(","to":"HS 05120","reason":"hers"})"),
      bench.desk().caller());
  EXPECT_EQ(code(moved), codes::incident);
  Bench::must(bench.record(here, note));  // whose fact it was: nothing of theirs broke
  bench.broken_zone.clear();
  EXPECT_EQ(code(bench.record(there, note)), store::codes::journal_read_only);
}

// A page over everybody that breaks for one person, as a cover may.
pages::Row page_that_breaks_for_one() {
  pages::Row row;
  row.needs = pages::Needs::clinic | pages::Needs::everybody;
  row.document = [](const pages::Asked& asked) -> Result<json::Value> {
    std::int64_t counted = 0;
    for (const auto& one : asked.people) {
      if (!one.left_out.empty()) continue;
      if (one.number == "HS 05120") throw BrokenPromise{"a cover's", "here"};
      ++counted;
    }
    return json::object({{"counted", json::count(counted)}});
  };
  return row;
}

TEST(DeskFaults, F2_WhoeverBreaksAListIsLeftOutByNameAndTheOthersGoOn) {
  Bench bench;
  const auto whole = bench.enrol();
  const auto bad = bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  const auto row = page_that_breaks_for_one();
  for (int look = 0; look < 2; ++look) {
    const auto page = Bench::must(bench.desk().page(row, {}, bench.desk().caller()));
    EXPECT_EQ(Bench::at(page, "/counted").text, "1");
    const auto left_out = Bench::at(page, "/left_out").text;
    EXPECT_NE(left_out.find("Tove Marklund, number HS 05120"), std::string::npos) << left_out;
    EXPECT_EQ(left_out.find("Mirela"), std::string::npos);
  }
  // The same on every list, and for another program on the store.
  const auto other = bench.another_desk();
  for (const auto* target :
       {"/api/today", "/api/people", "/api/month", "/api/stock", "/api/recalls/AB12"}) {
    const auto page = Bench::must(tests::read_page(*other, target));
    EXPECT_NE(Bench::at(page, "/left_out").text.find("Tove Marklund"), std::string::npos) << target;
  }
  Bench::must(bench.record(whole, note));
  EXPECT_EQ(code(bench.record(bad, note)), store::codes::journal_read_only);
  EXPECT_EQ(bench.desk().find_person("Marklund", bench.desk().caller()).value(),
            bad);  // found by name as ever
  EXPECT_TRUE(bench.desk().seal_heads(bench.desk().caller()));
}

TEST(DeskFaults, F2_APageThatBreaksWithoutAnybodyClosesNobody) {
  Bench bench;
  const auto person = bench.enrol();
  pages::Row row;
  row.needs = pages::Needs::everybody;
  row.document = [](const pages::Asked&) -> Result<json::Value> {
    throw BrokenPromise{"the page's own", "here"};
  };
  EXPECT_EQ(code(bench.desk().page(row, {}, bench.desk().caller())), codes::incident_of_nobody);
  Bench::must(bench.record(person, note));
}

// As a program with other rows left them.
void make_rows_old(Bench& bench) {
  ASSERT_TRUE(bench.store().write([](store::WriteTx& tx) -> Result<void> {
    const auto rows = tx.summaries({});
    if (!rows) return rows.error();
    for (auto row : *rows) {
      row.fold_version = 6;
      if (const auto put = tx.put_summary(row); !put) return put;
    }
    return {};
  }));
}

TEST(DeskFaults, F3_OneBadJournalDoesNotStopTheStartAndIsNamed) {
  Bench bench;
  const auto whole = bench.enrol();
  const auto bad = bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  make_rows_old(bench);
  bench.broken_zone = "UTC";
  const auto started = bench.another_desk();
  ASSERT_NE(started, nullptr);
  const auto today = Bench::must(tests::read_page(*started, "/api/today"));
  EXPECT_NE(Bench::at(today, "/left_out").text.find("Tove Marklund"), std::string::npos);
  Bench::must(tests::read_page(*started, "/api/people/" + to_text(whole)));
  EXPECT_EQ(code(tests::read_page(*started, "/api/people/" + to_text(bad))), codes::incident);
  // Still broken: verify says so, and the list goes on naming them.
  const auto still = started->verify({});
  ASSERT_TRUE(still);
  EXPECT_FALSE(still->clean());
  bench.broken_zone.clear();
  const auto verified = started->verify({});
  ASSERT_TRUE(verified);
  EXPECT_TRUE(verified->clean());
  EXPECT_EQ(Bench::must(tests::read_page(*started, "/api/today")).find("left_out"), nullptr);
  Bench::must(bench.record(bad, note));
}

TEST(DeskFaults, F3_ARowThatCannotBeReadIsMadeAnewAndHidesNobody) {
  Bench bench;
  bench.enrol();
  const auto bad = bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  ASSERT_TRUE(bench.store().write([&](store::WriteTx& tx) -> Result<void> {
    const auto stored = tx.summary(bad);
    auto row = **stored;
    row.bytes = {'{'};
    return tx.put_summary(row);
  }));
  const auto started = bench.another_desk();
  const auto page = Bench::must(tests::read_page(*started, "/api/people"));
  EXPECT_EQ(Bench::at(page, "/people").members.size(), 2U);
  EXPECT_EQ(page.find("left_out"), nullptr);
}

TEST(DeskFaults, F3_RowsAreRemadeAFewAtATimeAndGoOnAfterAFault) {
  Bench bench;
  for (int i = 0; i < 40; ++i)
    bench.enrol_in("UTC",
                   "Person " + std::string(1, static_cast<char>('a' + i % 26)) + std::to_string(i),
                   "N " + std::to_string(i));
  make_rows_old(bench);
  std::vector<std::uint64_t> told;
  ASSERT_TRUE(bench.desk().rebuild_summaries(
      [&](std::uint64_t done, std::uint64_t) { told.push_back(done); }, bench.desk().caller()));
  EXPECT_EQ(told, (std::vector<std::uint64_t>{0, 16, 32}));
  make_rows_old(bench);
  const auto started = bench.another_desk();
  bench.faults().fail_at(30, Fault::error, Lasts::for_ever);
  EXPECT_EQ(code(tests::read_page(*started, "/api/people")), tests::Faults::code);
  bench.faults().end();
  const auto page = Bench::must(tests::read_page(*started, "/api/people"));
  EXPECT_EQ(Bench::at(page, "/people").members.size(), 40U);
}

// A number is found by its row, and a row of an older program has no such tags.
TEST(DeskFaults, F3_S10_ANumberInARowThatIsNotRemadeYetIsTakenAllTheSame) {
  Bench bench;
  const auto other = bench.enrol_in("UTC", "Tove Marklund", "HS 05120");
  bench.enrol();
  const std::string registered =
      R"({"what":"person registered","full_name":"Wanjiku Lindqvist","born":"1966-01-09","number":"HS 05120","zone":"UTC"})";
  ASSERT_TRUE(bench.store().write([&](store::WriteTx& tx) -> Result<void> {
    auto row = **tx.summary(other);
    row.fold_version = 5;
    row.bytes = {'{', '}'};
    if (const auto put = tx.put_summary(row); !put) return put;
    return tx.put_tags(other, {});
  }));
  EXPECT_EQ(code(bench.desk().register_person(
                Bench::request(R"({"confirmed":true,"facts":[)" + registered + "]}"),
                bench.desk().caller())),
            codes::number_taken);
}

TEST(DeskFaults, ARecordThatCannotBeWorkedOutCanStillBeTakenElsewhere) {
  Bench bench;
  const auto person = bench.enrol();
  const auto before = bench.desk().export_journal(person);
  ASSERT_TRUE(before);
  const auto other = bench.another_desk();  // has folded nobody yet
  bench.broken = true;
  const auto broken = other->export_journal(person);
  ASSERT_TRUE(broken);
  EXPECT_EQ(*broken, *before);
  const auto of_clinic = bench.desk().export_journal(bench.desk().clinic_journal());
  ASSERT_FALSE(of_clinic);
  EXPECT_EQ(of_clinic.error().code, codes::no_person);
}

}  // namespace
}  // namespace penstock::desk
