// Two programs on one file, several threads in each: what was acknowledged is there once, nobody's
// number is given twice, and all of them show the same at the end. Also run under the thread
// sanitizer (./test tsan).
#include <gtest/gtest.h>

#include <array>
#include <atomic>
#include <barrier>
#include <map>
#include <mutex>
#include <set>
#include <thread>

#include "core/journal/journal.hpp"
#include "edge/json/json.hpp"
#include "shell/desk/desk.hpp"
#include "shell/disk/disk.hpp"
#include "shell/store/store.hpp"
#include "support/read_page.hpp"
#include "support/store_kit.hpp"

namespace penstock::desk {
namespace {

constexpr std::size_t people_shared = 4;
constexpr int rounds = 30;
constexpr int pieces_at_first = 500;

Id shared_person(std::size_t n) { return {0xA1, n + 1}; }

json::Value request(const std::string& text) {
  auto parsed = json::parse(text);
  EXPECT_TRUE(parsed) << text;
  return parsed ? *parsed : json::null();
}

// One program: its own connection to the file and its own caches.
class Program {
 public:
  Program(const std::filesystem::path& file, std::uint64_t number) : number_(number) {
    // Patient: under the sanitizer the others hold the file for longer than a person would wait.
    auto store = store::open_sqlite({.path = file, .busy_timeout = std::chrono::seconds(120)});
    EXPECT_TRUE(store) << (store ? "" : store.error().code);
    if (!store) return;
    store_ = *std::move(store);
    Ports ports;
    ports.store = store_.get();
    ports.now = [] { return parse_when("2027-03-16T14:10:00+01:00")->at; };
    ports.zone = [](std::string_view name) -> Result<ZoneRules> {
      return ZoneRules{std::string(name), {{Instant{}, 60}}};
    };
    ports.zone_names = [] { return std::vector<std::string>{"Europe/Berlin"}; };
    ports.new_id = [this] { return Id{number_, ++ids_}; };
    ports.program = "Penstock test";
    auto opened = Desk::open(std::move(ports));
    EXPECT_TRUE(opened) << (opened ? "" : opened.error().code);
    if (opened) desk_ = *std::move(opened);
  }
  Desk& desk() { return *desk_; }
  store::Store& store() { return *store_; }
  /// Forms bear new identities: here the same ones in every program.
  std::string text_of(const std::string& target) {
    number_ = 0xF0;
    ids_ = 0;
    const auto page = tests::read_page(*desk_, target);
    return page ? json::to_text(*page) : page.error().code + " " + page.error().at;
  }

 private:
  std::atomic<std::uint64_t> number_;
  std::atomic<std::uint64_t> ids_ = 0;
  std::unique_ptr<store::Store> store_;
  std::unique_ptr<Desk> desk_;
};

// What the programs said is recorded.
class Acknowledged {
 public:
  // Anything but an answer is a conflict or a refusal that the act's own words explain.
  bool note(const Result<json::Value>& answer) {
    const std::lock_guard lock(mutex_);
    if (!answer) {
      const auto kind = answer.error().kind;
      EXPECT_TRUE(kind == Kind::conflict || kind == Kind::refused)
          << answer.error().code << " " << answer.error().at;
      return false;
    }
    if (answer->find("ask") != nullptr) return false;
    for (const auto* list : {"recorded", "known"}) {
      const auto* ids = answer->find(list);
      if (ids == nullptr) continue;
      for (const auto& item : ids->members) facts_.insert(*parse_id(item.value.text));
    }
    return true;
  }
  const std::set<Id>& facts() const { return facts_; }

 private:
  std::mutex mutex_;
  std::set<Id> facts_;
};

struct TwoDesks : testing::Test {
  store::kit::Folder folder{store::kit::Place::memory};
  std::filesystem::path file = folder / "clinic.penstock";
  Acknowledged acknowledged;
  std::atomic<int> numbers_given = 0;
  std::atomic<int> handed_out = 0;

  void SetUp() override {
    Program first(file, 1);
    ASSERT_TRUE(acknowledged.note(first.desk().name_clinic(
        request(
            R"({"clinic": "Harbour Street Clinic", "user": "Maren Holt", "zone": "Europe/Berlin",
            "phone": "555 0100", "emergency": "112"})"),
        first.desk().caller())));
    ASSERT_TRUE(acknowledged.note(first.desk().record_clinic(
        request(R"({"confirmed": true, "facts": [{"what": "stock came", "lot": "AB12",
                    "item": "glargine-100-cartridge", "expires": "2028-06-30", "pieces": )" +
                std::to_string(pieces_at_first) + "}]}"),
        first.desk().caller())));
    for (std::size_t n = 0; n < people_shared; ++n) enrol(first, n);
  }

  void enrol(Program& program, std::size_t n) {
    const auto id = to_text(shared_person(n));
    const auto line = to_text(Id{0xB1, n + 1});
    ASSERT_TRUE(acknowledged.note(program.desk().register_person(
        request(R"({"confirmed": true, "id": ")" + id +
                R"(", "facts": [{"what": "person registered",
            "full_name": "Person )" +
                std::string(n + 1, 'x') + R"(", "born": "1958-06-04", "number": "S )" +
                std::to_string(n) + R"(", "zone": "Europe/Berlin"}, {"id": ")" + line +
                R"(", "what": "order line signed",
            "happened": "2027-03-02T09:00:00+01:00", "order_version": 1,
            "insulin": "insulin glargine", "strength_units_per_ml": 100, "purpose": "background",
            "slots": [{"slot": "bedtime", "at": "22:00", "minutes_before": 60,
                       "minutes_after": 120, "units": 22}],
            "least_units": 10, "most_units": 30, "from": "2027-03-02",
            "prescriber": "Dr A. Adeyemi", "signed_on": "2027-03-02", "copied_from": "paper",
            "copied_by": "Maren Holt", "read_back": true}, {"what": "order line checked",
            "line": ")" +
                line + R"(", "checked_by": "Jonas Abara", "reading": {"insulin": "insulin glargine",
            "strength_units_per_ml": 100, "slots": [{"slot": "bedtime", "at": "22:00", "units": 22}]}}]})"),
        program.desk().caller())));
  }

  // ---- what each thread does, round after round

  void write_notes(Program& program, int round) {
    const auto person = shared_person(static_cast<std::size_t>(round) % people_shared);
    const std::string note =
        R"("facts": [{"what": "note", "text": "Round )" + std::to_string(round) + R"("}]})";
    EXPECT_TRUE(acknowledged.note(
        program.desk().record(person, request("{" + note), program.desk().caller())));
    // Whoever saw what no longer holds is told; nothing else may keep the note out.
    acknowledged.note(program.desk().record(person, request(R"({"seen_version": 5, )" + note),
                                            program.desk().caller()));
  }

  // Both programs, and in each two threads, want the same number for another person.
  void register_people(Program& program, int round) {
    const auto taken = program.desk().register_person(
        request(R"({"confirmed": true, "facts": [{"what": "person registered", "full_name":
                    "Newcomer", "born": "1971-01-01", "number": "N )" +
                std::to_string(round) + R"(", "zone": "Europe/Berlin"}]})"),
        program.desk().caller());
    if (acknowledged.note(taken)) ++numbers_given;
  }

  void hand_out(Program& program, int round) {
    const auto person = shared_person(static_cast<std::size_t>(round) % people_shared);
    const auto moved = program.desk().hand_out(
        person, request(R"({"confirmed": true, "facts": [{"what": "stock moved", "lot": "AB12",
                            "item": "glargine-100-cartridge", "pieces": 1,
                            "way": "handed out"}]})"),
        program.desk().caller());
    if (acknowledged.note(moved)) ++handed_out;
  }

  void bring_files(Program& program, int round) {
    const auto person = shared_person(static_cast<std::size_t>(round) % people_shared);
    const auto exported = program.desk().export_journal(person);
    ASSERT_TRUE(exported) << exported.error().code;
    const auto preview =
        program.desk().import_journal(*exported, "own.json", "", program.desk().caller());
    ASSERT_TRUE(preview) << preview.error().code;
    const auto again = program.desk().import_journal(
        *exported, "own.json", preview->find("digest")->text, program.desk().caller());
    ASSERT_TRUE(again) << again.error().code;
    acknowledged.note(again);
    const std::string diary = "time,what,units,cartridge,zone,spot,note\n2027-03-0" +
                              std::to_string(round % 9 + 1) + "T21:30,note,,,,,Felt well\n";
    const auto seen = program.desk().diary(person, "march.csv", diary, "", program.desk().caller());
    ASSERT_TRUE(seen) << seen.error().code;
    acknowledged.note(program.desk().diary(person, "march.csv", diary, seen->find("digest")->text,
                                           program.desk().caller()));
  }

  void look_around(Program& program, int round) {
    const auto person =
        "/api/people/" + to_text(shared_person(static_cast<std::size_t>(round) % people_shared));
    for (const auto& target :
         {std::string("/api/today"), std::string("/api/people?q=person"), std::string("/api/month"),
          std::string("/api/stock"), std::string("/api/recalls/AB12"), person, person + "/journal",
          person + "/supplies"}) {
      const auto page = tests::read_page(program.desk(), target);
      EXPECT_TRUE(page) << target << " " << page.error().code;
    }
  }

  void all_at_once(std::array<Program*, 2> programs) {
    using Work = void (TwoDesks::*)(Program&, int);
    constexpr std::array<Work, 6> works{&TwoDesks::write_notes,     &TwoDesks::register_people,
                                        &TwoDesks::register_people, &TwoDesks::hand_out,
                                        &TwoDesks::bring_files,     &TwoDesks::look_around};
    std::barrier begin(static_cast<std::ptrdiff_t>(works.size() * programs.size()));
    std::vector<std::jthread> threads;
    for (auto* program : programs) {
      for (const auto work : works) {
        threads.emplace_back([this, program, work, &begin] {
          begin.arrive_and_wait();
          for (int round = 0; round < rounds; ++round) (this->*work)(*program, round);
        });
      }
    }
  }

  // ---- and what holds then

  void expect_all_recorded(Program& program) {
    const auto read = program.store().read([&](store::ReadTx& tx) -> Result<void> {
      for (const auto& fact : acknowledged.facts()) {
        const auto place = tx.find(fact);
        EXPECT_TRUE(place && place->has_value()) << to_text(fact);
      }
      return {};
    });
    EXPECT_TRUE(read);
    const auto verified = program.desk().verify([](const store::Progress&) {});
    ASSERT_TRUE(verified);
    EXPECT_TRUE(verified->clean());
  }

  void expect_the_same(Program& one, Program& other) {
    std::vector<std::string> targets{"/api/today", "/api/people", "/api/people?q=newcomer",
                                     "/api/month", "/api/stock",  "/api/recalls/AB12"};
    for (std::size_t n = 0; n < people_shared; ++n) {
      const auto person = "/api/people/" + to_text(shared_person(n));
      for (const auto* below : {"/journal", "/supplies"}) targets.push_back(person + below);
    }
    for (const auto& target : targets)
      EXPECT_EQ(one.text_of(target), other.text_of(target)) << target;
  }
};

TEST_F(TwoDesks, H21_WhatTwoProgramsAcknowledgedIsThereAndAllShowTheSame) {
  Program one(file, 2);
  Program other(file, 3);
  all_at_once({&one, &other});
  EXPECT_EQ(numbers_given, rounds);  // H19: each number to one of the four who asked for it
  EXPECT_EQ(handed_out, 2 * rounds);
  expect_all_recorded(one);
  Program later(file, 4);
  expect_the_same(one, later);
  expect_the_same(other, later);
}

}  // namespace
}  // namespace penstock::desk
