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
      {"record", outcome(desk.record(person, request))},
      {"hand_out", outcome(desk.hand_out(person, request))},
      {"record_clinic", outcome(desk.record_clinic(request))},
      {"move_fact", outcome(desk.move_fact(person, moved))},
      {"register_person", outcome(desk.register_person(request))},
      {"name_clinic", outcome(desk.name_clinic(named))},
      {"put_photo", outcome(desk.put_photo(person, "\xFF\xD8\xFF.", Desk::Consent::given))},
      {"photo", outcome(desk.photo(person, digest))},
      {"erase_photo", outcome(desk.erase_photo(person, digest, "x"))},
      {"diary", outcome(desk.diary(person, "a.csv", "", ""))},
      {"export_journal", outcome(desk.export_journal(person))},
      {"import_journal", outcome(desk.import_journal("{}"))},
      {"export_diary", outcome(desk.export_diary(person))},
      {"find_person", outcome(desk.find_person("Mirela"))},
      {"append_all", outcome(desk.append_all(person, store::Subject::person, {}))},
      {"fill", outcome(desk.fill({}))},
      {"verify", outcome(desk.verify({}))},
      {"seal_heads", outcome(desk.seal_heads())},
      {"rebuild_summaries", outcome(desk.rebuild_summaries({}))},
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
      if (!of_journal) EXPECT_NE(how, codes::incident) << entry;  // no memory is nobody's fault
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
  const auto broke = other->export_journal(person);
  ASSERT_FALSE(broke);
  const auto said = words::english().say(broke.error());
  EXPECT_NE(said.what.find("Mirela Okonkwo, HS 04172"), std::string::npos) << said.what;
  const auto again = other->export_diary(person);
  ASSERT_FALSE(again);
  EXPECT_EQ(words::english().say(again.error()).what, said.what);
}

}  // namespace
}  // namespace penstock::desk
