#include "edge/json/json.hpp"
#include "edge/verbs/verbs.hpp"
#include "edge/words/words.hpp"
#include "shell/web/internal/site.hpp"

namespace penstock::web {

int status_of(Kind kind) {
  switch (kind) {
    case Kind::invalid_input:
      return 400;
    case Kind::not_found:
      return 404;
    case Kind::conflict:
      return 409;
    case Kind::refused:
      return 422;
    case Kind::retry_whole:
    case Kind::unavailable:
      return 503;
  }
  promise_broken("a kind of error has no status");
}

Response refusal(const Error& given, const words::Catalogue& words) {
  auto error = given;
  for (auto& arg : error.args) {  // L13: a file is named, where it lies is this machine's business
    if (arg.name == "file") arg.text = arg.text.substr(arg.text.find_last_of('/') + 1);
  }
  const auto said = words.say(error);
  Response answer;
  answer.status = status_of(error.kind);
  answer.body = json::to_text(verbs::refusal(error, said.what, said.do_this));
  return answer;
}

Response answer(const json::Value& document) {
  Response response;
  response.body = json::to_text(document);
  if (document.find("ask") != nullptr) response.status = status_of(Kind::refused);
  return response;
}

Response answer(const Call& call, const Result<json::Value>& result) {
  return result ? answer(*result) : refusal(result.error(), call.caller.words);
}

}  // namespace penstock::web
