// A bench for tests: memory store, a clock that is set by hand, identities that count.
#pragma once

#include <gtest/gtest.h>

#include <atomic>
#include <map>
#include <string>

#include "edge/json/json.hpp"
#include "shell/desk/desk.hpp"
#include "support/faulty_store.hpp"
#include "support/read_page.hpp"

namespace penstock::desk {

using tests::Fault;
using tests::Lasts;

class TestBench {
 public:
  explicit TestBench(const char* now = "2027-03-16T14:10:00+01:00")
      : store_(store::make_memory_store()), faulty_(*store_) {
    set_clock(now);
    desk_ = another_desk();
    must(desk_->name_clinic(
        json::parse(
            R"({"clinic":"Harbour Street Clinic","user":"Marit Oyelaran","zone":"Europe/Berlin","phone":"555 0100","emergency":"112"})")
            .value(),
        desk_->caller()));
  }

  /// As if the program were started again on the same store.
  std::unique_ptr<Desk> another_desk() {
    auto opened = open_on(faulty_);
    EXPECT_TRUE(opened) << (opened ? "" : opened.error().code);
    return opened ? *std::move(opened) : nullptr;
  }
  /// The same on another store.
  Result<std::unique_ptr<Desk>> open_on(store::Store& store) {
    Ports ports;
    ports.store = &store;
    ports.now = [this] { return clock_; };
    ports.zone = [this](std::string_view name) -> Result<ZoneRules> {
      if (broken || name == broken_zone) throw BrokenPromise{"a promise of the test's", "here"};
      if (name == "Europe/Berlin") return ZoneRules{"Europe/Berlin", berlin};
      if (name == "UTC") return ZoneRules{"UTC", {}};
      // As the machine's own database has it.
      if (name == "localtime") return ZoneRules{"localtime", berlin};
      return Error{
          Kind::invalid_input, std::string(codes::zone_unknown), {arg_text("text", name)}, ""};
    };
    ports.zone_names = [] { return std::vector<std::string>{"Europe/Berlin", "UTC"}; };
    ports.new_id = [this] { return Id{0xABC, ++ids_}; };
    ports.program = "Penstock test";
    return Desk::open(std::move(ports));
  }

  Desk& desk() { return *desk_; }
  /// "/api/today", or with what follows a person's own path: "/places".
  Result<json::Value> page(const std::string& target, const std::string& body = "") {
    return tests::read_page(*desk_, target, body);
  }
  Result<json::Value> page(Id person, const std::string& below = "") {
    return page("/api/people/" + to_text(person) + below);
  }
  store::Store& store() { return *store_; }
  /// Without summer, which most tests need not know. A desk that began before keeps the old one.
  std::vector<ZoneRules::Change> berlin = {{Instant{}, 60}};
  /// While set, whoever folds a person's journal breaks a promise.
  bool broken = false;
  /// The same for people of this zone only.
  std::string broken_zone;
  /// What the desk's store fails at; store() itself never fails.
  tests::Faults& faults() { return faulty_.faults; }
  void set_clock(const char* now) { clock_ = parse_when(now).value().at; }

  static json::Value must(const Result<json::Value>& answer) {
    EXPECT_TRUE(answer) << (answer ? "" : answer.error().code + " " + answer.error().at);
    return answer ? *answer : json::null();
  }
  static json::Value request(const std::string& text) {
    auto parsed = json::parse(text);
    EXPECT_TRUE(parsed) << text;
    return parsed ? *parsed : json::null();
  }

  /// Looks at a journal file and lets it in.
  static Result<json::Value> let_in(Desk& desk, const std::string& file) {
    const auto seen = desk.import_journal(file, "theirs.json", "", desk.caller());
    if (!seen) return seen;
    return desk.import_journal(file, "theirs.json", at(*seen, "/digest").text, desk.caller());
  }
  Result<json::Value> let_in(const std::string& file) { return let_in(*desk_, file); }

  Id enrol(const std::string& name = "Mirela Okonkwo", const std::string& born = "1958-06-04",
           const std::string& number = "HS 04172", const std::string& background = "{}") {
    const auto answer = must(desk_->register_person(
        request(R"({"confirmed":true,"facts":[{"what":"person registered","full_name":")" + name +
                R"(","born":")" + born + R"(","number":")" + number +
                R"(","zone":"Europe/Berlin","background":)" + background + "}]}"),
        desk_->caller()));
    const auto* id = answer.find("id");
    return id == nullptr ? Id{1, 1} : *parse_id(id->text);
  }

  /// Somebody on another clock.
  Id enrol_in(const std::string& zone, const std::string& name, const std::string& number) {
    const auto answer = must(desk_->register_person(
        request(R"({"confirmed":true,"facts":[{"what":"person registered","full_name":")" + name +
                R"(","born":"1971-02-11","number":")" + number + R"(","zone":")" + zone +
                R"("}]})"),
        desk_->caller()));
    return *parse_id(at(answer, "/id").text);
  }

  Result<json::Value> record(Id person, const std::string& facts, const std::string& more = "") {
    return desk_->record(person, request("{" + more + "\"facts\":[" + facts + "]}"),
                         desk_->caller());
  }

  /// A call of the phone desk about somebody on record; what `more` does not say is answered no.
  static std::string call_about(Id person, const std::string& more = "") {
    auto call = "{\"person\":\"" + to_text(person) + "\"" + more;
    for (const std::string flag :
         {"low_now", "not_eating", "drowsy", "ketones", "travelling", "missed"}) {
      if (more.find("\"" + flag + "\"") == std::string::npos) call += ",\"" + flag + "\":\"no\"";
    }
    return call + "}";
  }

  // An order of 18 units at 22:00, checked unless said otherwise; gives back the line's identity.
  std::string order(Id person, const std::string& line = "00000000000000000000000000000a01",
                    const std::string& more = "", bool checked = true) {
    must(record(
        person,
        R"({"id":")" + line +
            R"(","what":"order line signed","happened":"2027-03-02T09:00:00+01:00","order_version":4,"insulin":"insulin glargine","strength_units_per_ml":100,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,"most_units":30,"from":"2027-03-02","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-02","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true)" +
            more + "}"));
    if (checked)
      must(
          record(person,
                 R"({"what":"order line checked","happened":"2027-03-02T09:05:00+01:00","line":")" +
                     line + R"(","checked_by":"Jonas Abara",)" + reading + "}"));
    return line;
  }

  /// What the second check reads on the original of order().
  static constexpr const char* reading =
      R"("reading":{"insulin":"insulin glargine","strength_units_per_ml":100,)"
      R"("slots":[{"slot":"bedtime","at":"22:00","units":22}]})";
  /// The same of another bedtime dose.
  static std::string reading_of(const std::string& units, const std::string& strength = "100") {
    return R"("reading":{"insulin":"insulin glargine","strength_units_per_ml":)" + strength +
           R"(,"slots":[{"slot":"bedtime","at":"22:00","units":)" + units + "}]}";
  }
  static constexpr const char* pen = "00000000000000000000000000000b01";
  static constexpr const char* cartridge = "00000000000000000000000000000c01";
  void pen_and_cartridge(Id person, const std::string& units = "300",
                         const std::string& loaded_at = "2027-03-10T08:00:00+01:00") {
    must(record(
        person,
        R"({"what":"pen given","happened":"2027-03-02T09:10:00+01:00","pen":")" + std::string(pen) +
            R"(","copy":"reusable-whole-60","insulin":"insulin glargine","strength_units_per_ml":100})"));
    must(record(person, R"({"what":"cartridge loaded","happened":")" + loaded_at +
                            R"(","cartridge":")" + cartridge + R"(","pen":")" + pen +
                            R"(","copy":"glargine-100","units":)" + units +
                            R"(,"content_units":300,"fits":"fit A","new_cartridge":true})"));
  }
  void supplies(Id person, int count) {
    must(record(
        person,
        R"({"what":"supplies given","happened":"2027-03-02T09:12:00+01:00","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"cartridges":)" +
            std::to_string(count) + R"(,"needles":100})"));
  }

  /// All texts of a document, one after the other: what somebody could read on the page.
  static std::string all_text(const json::Value& value) {
    std::string out = value.type == json::Type::string ? value.text + "\n" : "";
    for (const auto& member : value.members) out += all_text(member.value);
    return out;
  }
  static const json::Value& at(const json::Value& value, const std::string& path) {
    const auto* here = &value;
    std::size_t from = 1;
    while (from <= path.size() && here != nullptr) {
      const auto slash = std::min(path.find('/', from), path.size());
      const auto key = path.substr(from, slash - from);
      if (here->type == json::Type::array) {
        const auto index = static_cast<std::size_t>(std::stoul(key));
        here = index < here->members.size() ? &here->members[index].value : nullptr;
      } else {
        here = here->find(key);
      }
      from = slash + 1;
    }
    static const json::Value nothing;
    return here == nullptr ? nothing : *here;
  }

 private:
  std::unique_ptr<store::Store> store_;
  tests::FaultyStore faulty_;
  std::unique_ptr<Desk> desk_;
  Instant clock_{};
  std::atomic<std::uint64_t> ids_ = 0;
};

}  // namespace penstock::desk
