// A sentence before it is one: a key of the catalogue with its values. Whoever shows it asks
// `words` for it as plain text or with its bold parts.
#pragma once

#include <string>
#include <vector>

#include "base/base.hpp"
#include "edge/exchange/verbs.hpp"

namespace penstock::exchange {

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

}  // namespace penstock::exchange
