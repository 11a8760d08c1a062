// The demo clinic goes into a store as it does in real life, and every page about it is read
// through.
#include <gtest/gtest.h>

#include <set>
#include <sstream>

#include "edge/demo/demo.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/words/words.hpp"
#include "shell/desk/desk.hpp"
#include "shell/system/system.hpp"
#include "support/read_page.hpp"

namespace penstock {
namespace {

struct DemoClinic {
  std::unique_ptr<store::Store> store = store::make_memory_store();
  Instant now = parse_when("2027-03-16T14:10:00+01:00").value().at;
  std::unique_ptr<desk::Desk> desk;
  std::vector<Id> people;

  DemoClinic() {
    desk::Ports ports;
    ports.store = store.get();
    ports.now = [this] { return now; };
    ports.zone = shell::zone;
    ports.zone_names = shell::zone_names;
    ports.new_id = shell::new_id;
    ports.program = "Penstock test";
    desk = std::move(*desk::Desk::open(std::move(ports)));
    const auto shelf = desk->shelf_entries();
    demo::Setting setting;
    setting.shelf = &shelf;
    setting.now = now;
    setting.clinic = desk->clinic_journal();
    setting.zone = [](std::string_view name) { return shell::zone(name).value(); };
    for (const auto& journal : demo::clinic(setting)) {
      const auto done = desk->append_all(
          journal.id, journal.is_clinic ? store::Subject::clinic : store::Subject::person,
          journal.facts);
      EXPECT_TRUE(done) << (done ? "" : done.error().code);
      if (!journal.is_clinic) people.push_back(journal.id);
    }
  }
  Result<json::Value> page(const std::string& target, const std::string& body = "") const {
    return tests::read_page(*desk, target, body);
  }
  Result<json::Value> page(Id person, const std::string& below = "") const {
    return page("/api/people/" + to_text(person) + below);
  }
  /// The lot that was called back this morning.
  Result<json::Value> recall() const {
    const auto stock = page("/api/stock");
    if (!stock) return stock.error();
    return page("/api/recalls/" + stock->find("recalls")->members.front().value.find("lot")->text);
  }
  Result<json::Value> scan() const {
    return page(
        "/api/stock/scan",
        json::to_text(json::object({{"text", json::string("(01)02012345678903(17)270101(10)ZZ9")},
                                    {"person", json::string(people.front())}})));
  }
};

DemoClinic& clinic() {
  static DemoClinic made;
  return made;
}

std::string all_text(const json::Value& value) {
  std::string out = value.type == json::Type::string ? value.text + "\n" : "";
  for (const auto& member : value.members) out += all_text(member.value);
  return out;
}

const json::Value& part(const json::Value& value, std::string_view key) {
  static const json::Value nothing;
  const auto* found = value.find(key);
  return found == nullptr ? nothing : *found;
}

// A sentence that is missing from the catalogue is shown by its key; a hole without an argument by
// a dot of three.
void expect_spoken(const json::Value& document, const std::string& what) {
  std::istringstream lines(all_text(document));
  for (std::string line; std::getline(lines, line);) {
    if (line.starts_with("<svg") || line.starts_with("/") || line.find(' ') != std::string::npos) {
      EXPECT_EQ(line.find("…"), std::string::npos) << what << ": " << line;
      if (line.starts_with("<svg") || line.starts_with("/")) continue;
      for (const auto* twice : {"..", "?.", ".?"})  // a sentence ends once
        EXPECT_EQ(line.find(twice), std::string::npos) << what << ": " << line;
      continue;
    }
    static const std::set<std::string> fine{"lispro-100.", ""};
    const bool looks_like_a_key =
        line.find('.') != std::string::npos &&
        line.find_first_not_of("abcdefghijklmnopqrstuvwxyz_.") == std::string::npos &&
        line.back() != '.';
    // Refusal codes and shelf codes are meant for programs.
    if (looks_like_a_key && !line.starts_with("dial.") && !line.starts_with("order.") &&
        !line.starts_with("next.") && !line.starts_with("interlock.")) {
      ADD_FAILURE() << what << ": no sentence for " << line;
    }
  }
}

// The sheets that the page "Supplies" offers: trips and tests of pens.
std::vector<json::Value> sheets_of(const DemoClinic& demo, Id person, const json::Value& supplies) {
  std::vector<json::Value> out;
  const auto take = [&](const Result<json::Value>& sheet) {
    EXPECT_TRUE(sheet) << (sheet ? "" : sheet.error().code);
    if (sheet) out.push_back(*sheet);
  };
  for (const auto& trip : part(supplies, "trips").members)
    take(demo.page(person, "/trips/" + part(trip.value, "id").text));
  for (const auto& test : part(supplies, "tests").members)
    take(demo.page(person, "/pen-tests/" + part(test.value, "id").text));
  return out;
}

// The rows that are read with nothing but a path: the clinic's, and below a person what follows the
// identity.
std::vector<std::string> read_as_they_are(std::string_view of) {
  std::vector<std::string> out;
  for (const auto& row : pages::all()) {
    if (row.method != "GET" || !row.pattern.starts_with(of)) continue;
    const auto rest = row.pattern.substr(of.size());
    if (rest.find('{') == std::string_view::npos) out.emplace_back(rest);
  }
  return out;
}

TEST(DemoPages, EveryPageOfEveryPersonCanBeRead) {
  auto& demo = clinic();
  ASSERT_EQ(demo.people.size(), demo::people_count);
  const auto pages = read_as_they_are("/api/people/{id}");
  ASSERT_GE(pages.size(), 6U);
  for (const auto& person : demo.people) {
    const auto page = demo.page(person);
    ASSERT_TRUE(page) << page.error().code << " " << page.error().at;
    const auto name = part(part(*page, "who"), "name").text;
    for (const auto& below : pages) {
      const auto document = demo.page(person, below);
      if (document) {
        expect_spoken(*document, name + below);
        continue;
      }
      // Only a sheet may have nothing to print, and it says why.
      EXPECT_TRUE(below == "/place-plan" || below == "/steps" || below == "/dial-card" ||
                  below == "/log-sheet" || below == "/visit-sheet")
          << name << below << " " << document.error().code << " " << document.error().at;
      EXPECT_NE(words::english().say(document.error()).what, document.error().code) << name;
    }
    for (const auto& sheet : sheets_of(demo, person, *demo.page(person, "/supplies")))
      expect_spoken(sheet, name + ", sheet");
    const auto file = demo.desk->export_journal(person);
    ASSERT_TRUE(file);
  }
  for (const auto& path : read_as_they_are("/api/")) {
    const auto document = demo.page("/api/" + path);
    ASSERT_TRUE(document) << path << " " << document.error().code;
    expect_spoken(*document, path);
  }
  for (const auto& document : {demo.recall(), demo.scan()}) {
    ASSERT_TRUE(document) << document.error().code;
    expect_spoken(*document, "a lot");
  }
}

// What each story must show on Today: the sentence that somebody would look for.
TEST(DemoPages, TodayTellsEachStory) {
  const auto today = clinic().page("/api/today");
  ASSERT_TRUE(today);
  const auto words = all_text(*today);
  for (const auto* part_of :
       {"Mirela Okonkwo", "is on hold until the prescriber answers", "Zdzisława Michałowska-Wójcik",
        "runs out on ", "Yusuf Trevelyan", "Inés Paquette", "45 °C", "Amaia Desrosiers", "12 units",
        "Odhrán Vasilenko", "second check", "Lumi Abernathy", "window", "Emeka Sørensen",
        "Beatriz Kaminski", "Hamish Delacroix-Nakagawa", "needle", "Saoirse Bjelland",
        "signature"}) {
    EXPECT_NE(words.find(part_of), std::string::npos) << part_of << "\n";
  }
}

bool has_title(const json::Value& document, std::string_view one, std::string_view other) {
  return std::ranges::any_of(part(document, "steps").members, [&](const auto& step) {
    const std::string_view title = part(step.value, "title").text;
    return title.starts_with(one) || title.starts_with(other);
  });
}

// Asked for without a day and a slot, the sheet was of the day's first dose, hours ago and on
// record as given.
TEST(DemoPages, H07_H48_TheSheetLeftToItselfIsTheCardsOwnDose) {
  auto& demo = clinic();
  std::size_t same = 0, past = 0;
  for (const auto& person : demo.people) {
    const auto page = demo.page(person);
    const auto& next = part(*page, "next");
    const auto sheet = demo.page(person, "/steps");
    if (sheet) {
      EXPECT_EQ(part(*sheet, "dose_text").text, part(next, "dose_text").text);
      EXPECT_EQ(has_title(*sheet, "Change the cartridge", "Take a new pen"),
                has_title(next, "Change the cartridge", "Take a new pen"));
      ++same;
    } else if (!part(next, "dose_text").text.empty()) {
      EXPECT_TRUE(sheet.error().code == "desk.sheet_rest" ||
                  sheet.error().code == "desk.sheet_unseen" ||
                  sheet.error().code == "desk.sheet_language")
          << sheet.error().code;
    }
    const auto breakfast = demo.page(person, "/steps?slot=breakfast");
    if (breakfast) continue;
    past += breakfast.error().code == "desk.sheet_past" ? 1U : 0U;
  }
  EXPECT_GE(same, 5U);
  EXPECT_GE(past, 5U);
}

// H36: who found hardened tissue today is told on the plan to phone first; who left it a week ago
// is watched.
TEST(DemoPages, H36_HardenedTissueIsAskedAboutAndWatched) {
  auto& demo = clinic();
  const auto words = all_text(*demo.page("/api/today"));
  EXPECT_NE(words.find("8 of 14"), std::string::npos);
  EXPECT_NE(words.find("1 of 14"), std::string::npos);
  std::size_t waiting = 0, planned = 0;
  for (const auto& person : demo.people) {
    const auto plan = demo.page(person, "/place-plan");
    waiting += plan && part(*plan, "before").type != json::Type::null ? 1 : 0;
    planned += plan ? 1 : 0;
  }
  EXPECT_EQ(waiting, 1U);
  EXPECT_GE(planned, 15U);
}

TEST(DemoPages, H18_SomebodyRunsOutOnSaturday) {
  const auto words = all_text(*clinic().page("/api/today"));
  EXPECT_NE(words.find("Sat 20 March"), std::string::npos) << words;
}

TEST(DemoPages, H37_H40_H44_NoWindowWhereNothingMayBeDialled) {
  auto& demo = clinic();
  for (const auto& person : demo.people) {
    const auto page = *demo.page(person);
    const auto& next = part(page, "next");
    bool window = false;
    for (const auto& step : part(next, "steps").members)
      window = window || part(step.value, "window").flag;
    const auto name = part(part(page, "who"), "name").text;
    EXPECT_EQ(window, part(next, "state").text == "dial") << name;
    const bool held =
        name == "Odhrán Vasilenko" || name == "Lumi Abernathy" || name == "Nadia Engström";
    EXPECT_FALSE(held && window) << name;
    if (name == "Amaia Desrosiers") {
      EXPECT_EQ(part(next, "part_text").text, "12, not 22");
    }
  }
}

// Pharmacist D12: five trips from Berlin over a change of clocks, each way by the zones' own rules
// on its day.
TEST(DemoPages, H18_TheWayHomeHasTheShiftOfTheDayOfReturn) {
  struct Row {
    std::string leaves, returns, zone, out, back;
  };
  const Row rows[] = {
      {"2027-03-20", "2027-04-02", "Asia/Dhaka", "forward 5 h", "back 4 h"},
      {"2027-10-25", "2027-11-10", "Asia/Dhaka", "forward 4 h", "back 5 h"},
      {"2027-03-20", "2027-04-02", "America/New_York", "back 5 h", "forward 6 h"},
      {"2027-03-08", "2027-03-20", "America/New_York", "back 6 h", "forward 5 h"},
      {"2027-03-20", "2027-04-10", "Pacific/Auckland", "forward 12 h", "back 10 h"}};
  const DemoClinic demo;
  std::uint64_t next = 0xe77;
  for (const auto& row : rows) {
    const auto fact = to_text(Id{0x7127, next++});
    const auto request = json::parse(
        R"({"confirmed":true,"facts":[{"id":")" + fact +
        R"(","what":"trip planned","happened":"2027-03-16T09:00:00+01:00","leaves":")" +
        row.leaves + R"(","returns":")" + row.returns + R"(","zone":")" + row.zone + R"("}]})");
    const auto done = demo.desk->record(demo.people[0], *request, demo.desk->caller());
    ASSERT_TRUE(done) << done.error().code << done.error().at;
    const auto sheet = demo.page(demo.people[0], "/trips/" + fact);
    ASSERT_TRUE(sheet) << sheet.error().code;
    const auto& questions = part(*sheet, "questions").members;
    ASSERT_GE(questions.size(), 2U) << row.zone;
    const auto out = all_text(questions[0].value), back = all_text(questions[1].value);
    EXPECT_NE(out.find(row.out), std::string::npos) << row.zone << out;
    EXPECT_NE(back.find(row.back), std::string::npos) << row.zone << back;
  }
}

}  // namespace
}  // namespace penstock
