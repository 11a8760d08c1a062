// What the tests of the verbs share: a request in, the answer or the error out, with codes and
// arguments in the place of words. What the catalogue makes of them is another test.
#pragma once

#include <gtest/gtest.h>

#include <span>
#include <string>
#include <string_view>

#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"

namespace penstock::verbs::kit {

/// The code and its arguments, as far as they are text.
inline std::string bare(std::string_view code, std::span<const Arg> args) {
  std::string text(code);
  for (const auto& arg : args) text += " " + arg.name + "=" + arg.text;
  return text;
}
/// The same with numbers.
inline std::string bare_with_numbers(std::string_view code, std::span<const Arg> args) {
  std::string text(code);
  for (const auto& arg : args) {
    text += " " + arg.name + "=" + (arg.text.empty() ? std::to_string(arg.number) : arg.text);
  }
  return text;
}

inline json::Value answer(const Verb& verb, std::string_view request, const Say& say = bare) {
  const auto result = run_verb(verb, request, say);
  EXPECT_TRUE(result.has_value()) << (result ? "" : result.error().code + result.error().at);
  return result ? *result : json::null();
}

inline Error error(const Verb& verb, std::string_view request) {
  const auto result = run_verb(verb, request, bare);
  EXPECT_FALSE(result.has_value()) << request;
  return result ? Error{} : result.error();
}

/// A member as it is written; nothing where it is not there, which fails.
inline std::string text_at(const json::Value& value, std::string_view key) {
  const auto* found = value.find(key);
  EXPECT_NE(found, nullptr) << key;
  return found == nullptr ? "" : json::to_text(*found);
}

}  // namespace penstock::verbs::kit
