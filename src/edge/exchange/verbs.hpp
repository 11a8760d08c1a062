// The calls that the command line and the web share: one request, one result. A verb's room adds
// its own JSON here; the shell hands in the sentences.
#pragma once

#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "edge/exchange/json.hpp"

namespace penstock::exchange {

/// The sentence for a code and its arguments, in the reader's language; `words` makes it, the shell
/// passes it in.
using Say = std::function<std::string(std::string_view code, std::span<const Arg> args)>;

/// What a verb answers: the document for programs.
struct Verb {
  std::string_view name;
  json::Value (*example)();
  json::Value (*schema)();
  Result<json::Value> (*run)(const json::Value& request, const Say& say);
};

namespace codes {
inline constexpr std::string_view verb_unknown = "verb.unknown";  // text, allowed
}

/// Reads the request's text, runs the verb. Unreadable text is a refusal, too.
Result<json::Value> run_verb(const Verb& verb, std::string_view request, const Say& say);
const Verb* find_verb(std::span<const Verb> verbs, std::string_view name);

/// {"refused": {"code", "what", "do_this", "at"}}, the same for the command line and the web.
json::Value refusal(const Error& error, std::string_view what, std::string_view do_this);

}  // namespace penstock::exchange
