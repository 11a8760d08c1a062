// Somebody with basal insulin at 22:00, a pen and a cartridge, for tests of what may be dialled.
#pragma once

#include <string>
#include <string_view>

// tidy-allow(doors): the bench of the room whose tests this is for
#include "shell/desk/internal/test_bench.hpp"

namespace penstock::desk {
namespace {

using Bench = TestBench;

[[maybe_unused]] std::string code(const Result<json::Value>& answer) {
  if (!answer) return answer.error().code;
  const auto& asked = TestBench::at(*answer, "/ask/code");
  return asked.text.empty() ? "recorded" : asked.text;
}
bool has(const std::string& text, std::string_view what) {
  return text.find(what) != std::string::npos;
}

struct Clinic : Bench {
  Id person;
  explicit Clinic(const char* now = "2027-03-16T22:10:00+01:00",
                  const std::string& background = "{}")
      : Bench(now), person(enrol("Mirela Okonkwo", "1958-06-04", "HS 04172", background)) {
    order(person);
    pen_and_cartridge(person);
    supplies(person, 2);
    must(inject(22, "2027-03-15T22:00:00+01:00"));
  }
  Result<json::Value> inject(int units, const std::string& when,
                             const std::string& line = "00000000000000000000000000000a01",
                             const std::string& more = "") {
    return record(person,
                  R"({"what":"injected","happened":")" + when + R"(","cartridge":")" + cartridge +
                      R"(","units":)" + std::to_string(units) + R"(,"line":")" + line +
                      R"(","slot":"bedtime"})",
                  more);
  }
  json::Value page() { return must(Bench::page(person)); }
  std::string all() { return all_text(page()); }
  /// Without the account of the pens.
  std::string plan() {
    const auto shown = page();
    return all_text(at(shown, "/notices")) + all_text(at(shown, "/next")) +
           all_text(at(shown, "/asks"));
  }
  std::string refusal() { return at(page(), "/next/refusal/code").text; }
  /// What nobody said differs is asked and answered with no.
  json::Value phone(const std::string& more = "") {
    return must(Bench::page("/api/phone", call_about(person, more)));
  }
  /// Version 5 of the order: 24 units at the same hour.
  std::string second_line(const std::string& replaces = "", const std::string& strength = "100") {
    return sign_line("24", "2027-03-16", "21", strength, replaces);
  }
  /// The same from the next day on, copied and checked at two in the afternoon.
  std::string tomorrows_line(const std::string& units = "24") {
    return sign_line(units, "2027-03-17", "14", "100", "00000000000000000000000000000a01");
  }

 private:
  std::string sign_line(const std::string& units, const std::string& from, const std::string& hour,
                        const std::string& strength, const std::string& replaces) {
    const std::string line = "00000000000000000000000000000a02";
    const auto at = "2027-03-16T" + hour;
    must(record(
        person,
        R"({"id":")" + line + R"(","what":"order line signed","happened":")" + at +
            R"(:00:00+01:00","order_version":5,"insulin":"insulin glargine","strength_units_per_ml":)" +
            strength +
            R"(,"purpose":"background","slots":[{"slot":"bedtime","at":"22:00","minutes_before":60,"minutes_after":120,"units":)" +
            units + R"(}],"least_units":10,"most_units":30,"from":")" + from +
            R"(","prescriber":"Dr Tomasz Adeyemi","signed_on":"2027-03-16","copied_from":"paper","copied_by":"Marit Oyelaran","read_back":true)" +
            (replaces.empty() ? "" : R"(,"replaces":")" + replaces + "\"") + "}",
        R"("confirmed":true,)"));
    must(record(person,
                R"({"what":"order line checked","happened":")" + at + R"(:05:00+01:00","line":")" +
                    line + R"(","checked_by":"Jonas Abara",)" + reading_of(units, strength) + "}"));
    return line;
  }
};

}  // namespace
}  // namespace penstock::desk
