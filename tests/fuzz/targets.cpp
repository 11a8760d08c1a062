#include "fuzz/targets.hpp"

#include <algorithm>
#include <iterator>

#include "edge/json/json.hpp"
#include "edge/words/words.hpp"

namespace penstock::fuzz {

const std::vector<Target>& targets() {
  static const std::vector<Target> all = [] {
    std::vector<Target> table;
    for (auto* part : {small_targets, verb_targets, file_targets, network_targets, site_targets}) {
      std::ranges::move(part(), std::back_inserter(table));
    }
    return table;
  }();
  return all;
}

void law(bool holds, std::string_view what) {
  if (!holds) throw LawBroken{std::string(what)};
}

void law_of_refusal(const Error& error) {
  const auto said = words::english().say(error);
  law(words::english().has_error(error.code), "no words for " + error.code);
  law(!said.what.empty(), "empty words for " + error.code);
  law_of_document(json::to_text(json::string(said.what + said.do_this + error.at)));
}

void law_of_document(std::string_view text) {
  const auto read = json::parse(text, {1U << 28U, 10'000'000, 64});
  law(read.has_value(), "a document is no JSON");
}

ZoneRules berlin() {
  const auto at = [](const char* text) { return parse_when(text)->at; };
  return {"Europe/Berlin",
          {{at("2026-10-25T01:00Z"), 60},
           {at("2027-03-28T01:00Z"), 120},
           {at("2027-10-31T01:00Z"), 60}}};
}

}  // namespace penstock::fuzz
