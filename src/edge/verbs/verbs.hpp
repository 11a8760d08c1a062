// The calls that the command line and the web share: one request, one result. A verb's room adds
// its own JSON here; the shell hands in the sentences.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "base/stopped.hpp"
#include "edge/json/json.hpp"

namespace penstock::verbs {

/// The sentence for a code and its arguments, in the reader's language; `words` makes it, the shell
/// passes it in.
using Say = std::function<std::string(std::string_view code, std::span<const Arg> args)>;

/// One run of the calculation, told twice.
struct Answer {
  json::Value document;  ///< for programs
  std::string text;      ///< for a person: the same answer as lines
};

/// Prose has long sentences that whoever shows the text breaks into lines; a list keeps its own.
enum class TextForm : std::uint8_t { list, prose };

/// Whether it may keep others waiting: a law of doses, a plan of weeks, three accounts.
enum class Work : std::uint8_t { light, heavy };

struct Verb {
  std::string_view name;
  json::Value (*example)();
  json::Value (*schema)();
  Result<Answer> (*run)(const json::Value& request, const Say& say, const Stopped& stopped);
  TextForm text_form = TextForm::list;
  Work work = Work::light;
};

namespace codes {
inline constexpr std::string_view verb_unknown = "verb.unknown";  // text, allowed
}

/// A verb's example out of its text, which is JSON.
json::Value example_of(std::string_view text);
/// Reads the request's text, runs the verb; the document. Unreadable text is a refusal, too.
Result<json::Value> run_verb(const Verb& verb, std::string_view request, const Say& say,
                             const Stopped& stopped = {});
const Verb* find_verb(std::span<const Verb> verbs, std::string_view name);

/// {"refused": {"code", "what", "do_this", "at"}}, the same for the command line and the web.
json::Value refusal(const Error& error, std::string_view what, std::string_view do_this);

/// A sentence before it is one: a key of the catalogue with its values. Whoever shows it asks
/// `words` for it as plain text or with its bold parts.
struct Sentence {
  std::string key;
  std::vector<Arg> args;
};

inline std::string said(const Sentence& sentence, const Say& say) {
  return say(sentence.key, sentence.args);
}
/// All of them, with a space between.
std::string said(const std::vector<Sentence>& sentences, const Say& say);

/// A caution keeps its code beside its sentence.
struct Caution {
  std::string_view code;
  Sentence sentence;
};
/// [{"code", "text"}], the shape that every verb's cautions have.
json::Value cautions_of(const std::vector<Caution>& cautions, const Say& say);

}  // namespace penstock::verbs
