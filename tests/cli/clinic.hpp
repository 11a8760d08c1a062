// A clinic in a file, worked by command: what the tests of the command line begin with.
#pragma once

#include <algorithm>

#include "edge/json/json.hpp"
#include "support/command.hpp"

namespace penstock::tests {

/// The facts of an exported journal, without what belongs to the store that it came from.
inline std::vector<std::string> facts_of(const std::string& file) {
  const auto read = json::parse(read_text(file), {134'217'728, 6'000'000, 16});
  EXPECT_TRUE(read.has_value());
  std::vector<std::string> facts;
  for (const auto& fact : at(*read, "/facts").members) {
    const auto what = at(fact.value, "/what").text;
    if (what == "order line checked") continue;  // is checked anew there, by hand
    if (at(fact.value, "/text").text.starts_with("A record was imported from the file")) continue;
    facts.push_back(json::to_text(fact.value));
  }
  std::ranges::sort(facts);
  return facts;
}

struct Clinic : Command {
  std::string data = file("clinic.penstock");
  std::string person;  ///< the identity that registering gave
  Instant now = shell::now();

  static constexpr const char* line = "00000000-0000-4000-8000-00000000a001";
  static constexpr const char* pen = "00000000000000000000000000000b01";
  static constexpr const char* first = "00000000000000000000000000000c01";
  static constexpr const char* second = "00000000000000000000000000000c02";

  /// Hours before now, in UTC: what happened, happened before.
  std::string ago(int hours) const { return format_iso(When{now - std::chrono::hours{hours}, 0}); }
  std::string day(int days_from_now) const {
    return format_iso(When{now, 0}.day() + std::chrono::days{days_from_now});
  }
  /// The minute of the day when a dose is due that is due now.
  std::string slot_minute() const { return format_iso(When{now, 0}).substr(11, 5); }
  /// What that minute is called: a name that is unusual for its hour is asked about.
  std::string slot() const {
    const auto hour = slot_minute().substr(0, 2);
    return hour >= "18" || hour < "04" ? "bedtime" : hour < "12" ? "breakfast" : "afternoon";
  }

  Ended call(std::vector<std::string> words, const std::string& input = "") {
    words.insert(words.end(), {"--data", data});
    return run(std::move(words), input);
  }
  Ended record(const std::string& fact, std::vector<std::string> more = {}) {
    std::vector<std::string> words{"record", person, "-"};
    words.insert(words.end(), more.begin(), more.end());
    return call(std::move(words), fact);
  }
  void recorded(const std::string& fact) {
    const auto ended = record(fact);
    EXPECT_EQ(ended.status, 0) << fact << "\n" << ended.out << ended.error;
  }
  json::Value show() {
    const auto ended = call({"show", person, "--json"});
    EXPECT_EQ(ended.status, 0) << ended.error;
    return ended.document();
  }

  void name() {
    const auto ended = call({"clinic", "--name", "Harbour Street Clinic", "--user", "Maren Holt",
                             "--zone", "UTC", "--phone", "555 0100", "--emergency", "112"});
    EXPECT_EQ(ended.status, 0) << ended.error;
  }
  void enrol() {
    const auto ended = call({"register", "--name", "Noor Haddad", "--born", "1958-06-04",
                             "--number", "HS 1042", "--zone", "UTC", "--json"});
    EXPECT_EQ(ended.status, 0) << ended.error;
    person = at(ended.document(), "/id").text;
  }
  /// 22 units, due now, every day since thirty days.
  void order() {
    recorded(R"({"id":")" + std::string(line) + R"(","what":"order line signed","happened":")" +
             ago(720) +
             R"(","order_version":1,"insulin":"insulin glargine","strength_units_per_ml":100,)"
             R"("purpose":"background","slots":[{"slot":")" +
             slot() + R"(","at":")" + slot_minute() +
             R"(","minutes_before":60,"minutes_after":120,"units":22}],"least_units":10,)"
             R"("most_units":30,"from":")" +
             day(-30) + R"(","prescriber":"Dr Tomasz Adeyemi","signed_on":")" + day(-30) +
             R"(","copied_from":"paper","copied_by":"Maren Holt","read_back":true})");
  }
  /// What the second check reads on the order.
  std::string reading() const {
    return R"("reading":{"insulin":"insulin glargine","strength_units_per_ml":100,)"
           R"("slots":[{"slot":")" +
           slot() + R"(","at":")" + slot_minute() + R"(","units":22}]})";
  }
  void second_check() {
    recorded(R"({"what":"order line checked","happened":")" + ago(719) + R"(","line":")" + line +
             R"(","checked_by":"Jonas Abara",)" + reading() + "}");
  }
  void give_pen() {
    recorded(R"({"what":"pen given","happened":")" + ago(718) + R"(","pen":")" + pen +
             R"(","copy":"reusable-whole-60","insulin":"insulin glargine",)"
             R"("strength_units_per_ml":100})");
  }
  void load(const char* cartridge, int hours_ago, const std::string& units) {
    recorded(R"({"what":"cartridge loaded","happened":")" + ago(hours_ago) + R"(","cartridge":")" +
             cartridge + R"(","pen":")" + pen + R"(","copy":"glargine-100","units":)" + units +
             R"(,"content_units":300,"fits":"fit A","new_cartridge":true})");
  }
  void ready() {
    name();
    enrol();
    order();
    second_check();
    give_pen();
    load(first, 48, "150");
  }
};

}  // namespace penstock::tests
