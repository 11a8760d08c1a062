// What the tests of the verbs' sentences share: the catalogue's text for a code, a text without
// holes or bare codes in it, and the contract's example with pieces of it replaced.
#pragma once

#include <gtest/gtest.h>

#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"

namespace penstock::in_words {

/// A code that has no sentence fails.
inline std::string say(std::string_view code, std::span<const Arg> args) {
  EXPECT_TRUE(words::english().has_sentence(code)) << code;
  return words::english().text(code, {args.begin(), args.end()});
}

/// No hole is left open and nothing of `codes` stands in the place of its words.
inline void is_whole(const std::string& text, std::string_view of,
                     std::initializer_list<std::string_view> codes) {
  for (const auto left : {"…", "{", "}"})
    EXPECT_EQ(text.find(left), std::string::npos) << of << ": " << text;
  for (const auto code : codes) EXPECT_EQ(text.find(code), std::string::npos) << of << ": " << text;
  EXPECT_FALSE(text.empty()) << of;
}

/// The codes of the refusals of `requests`, each of them told in whole sentences. A request that is
/// answered fails.
template <class Requests>
std::vector<std::string> refused_in_words(const verbs::Verb& verb, const Requests& requests,
                                          std::initializer_list<std::string_view> codes) {
  std::vector<std::string> met;
  for (const auto& request : requests) {
    const auto result = verbs::run_verb(verb, request, say);
    EXPECT_FALSE(result) << request;
    if (result) continue;
    const auto& code = result.error().code;
    EXPECT_TRUE(words::english().has_error(code)) << code;
    const auto said = words::english().say(result.error());
    is_whole(said.what, code, codes);
    is_whole(said.do_this, code, codes);
    met.push_back(code);
  }
  return met;
}

struct Change {
  std::string_view old_text;
  std::string new_text;
};

/// A request with pieces of its text replaced. A piece that is not there fails.
inline std::string changed(const json::Value& example, std::span<const Change> changes) {
  std::string text = json::to_text(example);
  for (const auto& change : changes) {
    const auto at = text.find(change.old_text);
    EXPECT_NE(at, std::string::npos) << change.old_text << " in " << text;
    if (at != std::string::npos) text.replace(at, change.old_text.size(), change.new_text);
  }
  return text;
}

}  // namespace penstock::in_words
