// Requests of the calculations: whatever is asked, the answer is a document and lines, or a
// refusal.
#include "edge/json/json.hpp"
#include "edge/verbs/all/all.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "fuzz/targets.hpp"

namespace penstock::fuzz {
namespace {

std::string say(std::string_view code, std::span<const Arg> args) {
  return words::english().text(code, {args.begin(), args.end()});
}

void run_verb(std::string_view name, std::string_view input) {
  const auto* verb = verbs::find_verb(verbs::all(), name);
  law(verb != nullptr, "no such verb");
  const auto request = json::parse(input);
  if (!request) return law_of_refusal(request.error());
  const auto answer = verb->run(*request, say, {});
  if (!answer) return law_of_refusal(answer.error());
  law_of_document(json::to_text(answer->document));
  law_of_document(json::to_text(json::string(answer->text)));
  law(!answer->text.empty(), "an answer without words");
}

std::vector<std::string> example(std::string_view name) {
  return {json::to_text(verbs::find_verb(verbs::all(), name)->example())};
}

}  // namespace

std::vector<Target> verb_targets() {
  std::vector<Target> table;
  for (const auto& verb : verbs::all()) {
    const std::size_t executions = verb.work == verbs::Work::heavy ? 100 : 1'000;
    table.push_back({std::string(verb.name), Shape::json, executions, example, run_verb});
  }
  return table;
}

}  // namespace penstock::fuzz
