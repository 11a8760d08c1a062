#include "edge/verbs/verbs.hpp"

#include <algorithm>
#include <utility>

namespace penstock::verbs {

json::Value example_of(std::string_view text) {
  auto value = json::parse(text);
  INVARIANT(value.has_value());
  return *std::move(value);
}

Result<json::Value> run_verb(const Verb& verb, std::string_view request, const Say& say,
                             const Stopped& stopped) {
  const auto read = json::parse(request);
  if (!read) return read.error();
  auto answer = verb.run(*read, say, stopped);
  if (!answer) return answer.error();
  return std::move(answer->document);
}

const Verb* find_verb(std::span<const Verb> verbs, std::string_view name) {
  const auto found = std::ranges::find(verbs, name, &Verb::name);
  return found == verbs.end() ? nullptr : &*found;
}

json::Value refusal(const Error& error, std::string_view what, std::string_view do_this) {
  auto inner = json::object({{"code", json::string(error.code)},
                             {"what", json::string(what)},
                             {"do_this", json::string(do_this)},
                             {"at", json::string(error.at)}});
  return json::object({{"refused", std::move(inner)}});
}

std::string said(const std::vector<Sentence>& sentences, const Say& say) {
  std::string text;
  for (const auto& sentence : sentences) text += (text.empty() ? "" : " ") + said(sentence, say);
  return text;
}

json::Value cautions_of(const std::vector<Caution>& cautions, const Say& say) {
  std::vector<json::Value> items;
  for (const auto& caution : cautions) {
    items.push_back(json::object({{"code", json::string(caution.code)},
                                  {"text", json::string(said(caution.sentence, say))}}));
  }
  return json::array(std::move(items));
}

}  // namespace penstock::verbs
