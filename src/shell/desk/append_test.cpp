// Recording: what is vetted where, and who waits for whom.
#include <gtest/gtest.h>

#include <filesystem>
#include <future>
#include <memory>
#include <thread>
#include <vector>

#include "shell/desk/internal/test_bench.hpp"
#include "shell/disk/disk.hpp"

namespace penstock::desk {
namespace {

using namespace std::chrono_literals;

std::string pen_given(const std::string& pen) {
  return R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":")" + pen +
         R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})";
}

TEST(DeskAppend, FactsOfOneRequestSeeEachOther) {
  TestBench bench;
  const auto person = bench.enrol();
  const std::string pen = "00000000000000000000000000000b77";
  const auto twice = bench.record(person, pen_given(pen) + "," + pen_given(pen));
  ASSERT_FALSE(twice);
  EXPECT_EQ(twice.error().code, codes::pen_twice);
  // Also past facts that look at nothing.
  const std::string note = R"({"what":"note","text":"between"})";
  const auto with_notes =
      bench.record(person, pen_given(pen) + "," + note + "," + note + "," + pen_given(pen));
  ASSERT_FALSE(with_notes);
  EXPECT_EQ(with_notes.error().code, codes::pen_twice);
  EXPECT_TRUE(bench.record(person, pen_given(pen) + "," + note));
}

TEST(DeskAppend, H07_ARetryOfAllChangesNothing) {
  TestBench bench;
  const auto person = bench.enrol();
  const std::string note =
      R"({"id":"00000000000000000000000000000d01","what":"note","text":"once"})";
  const auto first = TestBench::must(bench.record(person, note));
  const auto again = TestBench::must(bench.record(person, note));
  EXPECT_EQ(first.find("version")->text, again.find("version")->text);
  EXPECT_EQ(again.find("recorded")->members.size(), 0U);
  EXPECT_EQ(again.find("known")->members.size(), 1U);
}

// D14: its place in the batch, the hour of sending and the user were taken for its content.
TEST(DeskAppend, H31_D14_AnIdentitySentAgainInAnotherBatchIsTheFirstOne) {
  TestBench bench;
  const auto person = bench.enrol();
  bench.pen_and_cartridge(person);
  const std::string dose =
      R"({"id":"00000000000000000000000000000d05","what":"injected","cartridge":")" +
      std::string(TestBench::cartridge) + R"(","units":10})";
  const std::string note = R"({"what":"note","text":"before"})";
  const auto first = TestBench::must(bench.record(person, note + "," + note + "," + dose));
  EXPECT_EQ(TestBench::at(first, "/recorded").members.size(), 3U);
  bench.set_clock("2027-03-16T14:25:00+01:00");
  TestBench::must(bench.desk().name_clinic(
      TestBench::request(
          R"({"clinic":"Harbour Street Clinic","user":"Ada Brandt","zone":"Europe/Berlin"})"),
      bench.desk().caller()));
  const auto again = TestBench::must(bench.record(person, dose));
  EXPECT_EQ(TestBench::at(again, "/known").members.size(), 1U);
  EXPECT_EQ(TestBench::at(again, "/version").text, TestBench::at(first, "/version").text);
  const auto other_batch = TestBench::must(bench.record(person, dose + "," + note));
  EXPECT_EQ(TestBench::at(other_batch, "/known").members.size(), 1U);
  EXPECT_EQ(TestBench::at(other_batch, "/recorded").members.size(), 1U);
  const auto page = TestBench::must(bench.page(person));
  EXPECT_EQ(TestBench::at(page, "/pens/0/cartridge/left_text").text, "290");
  // Other units under the same identity are another dose, and refused.
  const auto other = bench.record(
      person, R"({"id":"00000000000000000000000000000d05","what":"injected","cartridge":")" +
                  std::string(TestBench::cartridge) + R"(","units":12})");
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, store::codes::identity_reused);
  // So, too, the clinic's own, and a registration.
  const std::string came =
      R"({"facts":[{"id":"00000000000000000000000000000d06","what":"clinic named","clinic":"H","user":"Ada Brandt","zone":"Europe/Berlin"}]})";
  TestBench::must(bench.desk().record_clinic(TestBench::request(came), bench.desk().caller()));
  bench.set_clock("2027-03-16T14:35:00+01:00");
  const auto twice =
      TestBench::must(bench.desk().record_clinic(TestBench::request(came), bench.desk().caller()));
  EXPECT_EQ(TestBench::at(twice, "/known").members.size(), 1U);
}

// The zone is asked for whenever a journal is read: from there another writer tries its luck.
TEST(DeskAppend, S15_NobodysRecordWaitsWhileAnothersJournalIsRead) {
  const auto folder = std::filesystem::temp_directory_path() / "penstock-append-test";
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  {
    auto store = std::move(*store::open_sqlite({.path = folder / "clinic"}));
    bool tries = false;
    int wrote = 0, waited = 0;
    std::uint64_t ids = 0;
    std::vector<std::thread> others;  // joined when the lock is free in any case
    Ports ports;
    ports.store = store.get();
    ports.now = [] { return parse_when("2027-03-16T14:10:00+01:00").value().at; };
    ports.zone = [&](std::string_view name) -> Result<ZoneRules> {
      if (tries) {
        const auto done = std::make_shared<std::promise<void>>();
        auto wait = done->get_future();
        others.emplace_back([&store, done] {
          const auto put = [](store::WriteTx& tx) { return tx.put_setting("other", "wrote"); };
          if (store->write(put)) done->set_value();
        });
        ++(wait.wait_for(2s) == std::future_status::ready ? wrote : waited);
      }
      return ZoneRules{std::string(name), {}};
    };
    ports.zone_names = [] { return std::vector<std::string>{"UTC"}; };
    ports.new_id = [&ids] { return Id{0xABC, ++ids}; };
    ports.program = "Penstock test";
    const auto desk = std::move(*Desk::open(std::move(ports)));
    TestBench::must(desk->name_clinic(
        TestBench::request(
            R"({"clinic":"Harbour Street","user":"Marit Oyelaran","zone":"UTC","phone":"","emergency":""})"),
        desk->caller()));
    const auto enrolled = TestBench::must(desk->register_person(
        TestBench::request(
            R"({"facts":[{"what":"person registered","full_name":"Noor Halvorsen","born":"1949-11-30","number":"HS 1","zone":"UTC"}]})"),
        desk->caller()));
    const auto person = *parse_id(enrolled.find("id")->text);
    tries = true;
    TestBench::must(
        desk->record(person, TestBench::request(R"({"facts":[{"what":"note","text":"a note"}]})"),
                     desk->caller()));
    tries = false;
    for (auto& other : others) other.join();
    EXPECT_GT(wrote, 0);
    EXPECT_EQ(waited, 0);
  }
  std::filesystem::remove_all(folder);
}

// S16: identities are chance, so that of two within a second the first held as often as the last.
TEST(DeskAppend, S16_OfTwoWithinASecondTheLastCounts) {
  TestBench bench;
  for (int i = 20; i > 0; --i) {
    const auto id = "0000000000000000000000000000f0" + std::to_string(10 + i);
    TestBench::must(bench.desk().record_clinic(
        TestBench::request(R"({"facts":[{"id":")" + id +
                           R"(","what":"clinic named","clinic":"Harbour Street Clinic","user":"U)" +
                           std::to_string(i) + R"(","zone":"UTC"}]})"),
        bench.desk().caller()));
    EXPECT_EQ(bench.desk().caller().author, "U" + std::to_string(i));
  }
  // Sent again, the first is the same fact, and still the first.
  const auto person = bench.enrol();
  const auto note = [&](const std::string& id) {
    return TestBench::must(
        bench.record(person, R"({"id":")" + id + R"(","what":"note","text":"x"})"));
  };
  note("0000000000000000000000000000e002");
  note("0000000000000000000000000000e001");
  const auto again = note("0000000000000000000000000000e001");
  EXPECT_EQ(TestBench::at(again, "/known").members.size(), 1U);
}

// S16: the server kept the author until somebody opened a list.
TEST(DeskAppend, H29_S16_WhomAnotherProgramNamesIsTheAuthorAtOnce) {
  TestBench bench;
  const auto person = bench.enrol();
  const auto other = bench.another_desk();
  TestBench::must(other->name_clinic(
      TestBench::request(
          R"({"clinic":"Harbour Street Clinic","user":"Ada Brandt","zone":"Europe/Berlin"})"),
      other->caller()));
  const auto comes = bench.desk().comes();
  ASSERT_TRUE(comes);
  TestBench::must(bench.desk().record(
      person, TestBench::request(R"({"facts":[{"what":"note","text":"by whom?"}]})"), *comes));
  const auto journal = TestBench::must(bench.page(person, "/journal"));
  EXPECT_NE(TestBench::at(journal, "/rows/0/by_text").text.find("Ada Brandt"), std::string::npos);
}

TEST(DeskAppend, L9_AClockThatWasSetBackIsSaid) {
  TestBench bench;
  const auto person = bench.enrol();
  bench.set_clock("2026-03-16T14:10:00+01:00");
  const auto asked = bench.record(person, R"({"what":"note","text":"x"})");
  ASSERT_TRUE(asked);
  EXPECT_EQ(TestBench::at(*asked, "/ask/code").text, codes::ask_clock_back);
  EXPECT_NE(TestBench::at(*asked, "/ask/what").text.find("2027"), std::string::npos);
  TestBench::must(bench.record(person, R"({"what":"note","text":"x"})", R"("confirmed":true,)"));
  const auto of_clinic = bench.desk().name_clinic(
      TestBench::request(R"({"clinic":"Harbour Street Clinic","user":"B","zone":"UTC"})"),
      bench.desk().caller());
  EXPECT_EQ(TestBench::at(TestBench::must(of_clinic), "/ask/code").text, codes::ask_clock_back);
}

TEST(DeskAppend, H19_L4_AFactThatNamesAnotherJournalIsNotRecordedHere) {
  TestBench bench;
  const auto person = bench.enrol();
  const auto other = bench.enrol("Tove Marklund", "2019-08-21", "HS 05120");
  const auto meant = [&](Id journal) {
    return bench.record(person,
                        R"({"what":"note","text":"x","journal":")" + to_text(journal) + "\"}");
  };
  ASSERT_FALSE(meant(other));
  EXPECT_EQ(meant(other).error().code, codes::other_journal);
  TestBench::must(meant(person));
}

}  // namespace
}  // namespace penstock::desk
