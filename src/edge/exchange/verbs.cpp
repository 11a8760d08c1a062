#include "edge/exchange/verbs.hpp"

#include <algorithm>

namespace penstock::exchange {

Result<json::Value> run_verb(const Verb& verb, std::string_view request, const Say& say) {
  const auto read = json::parse(request);
  if (!read) return read.error();
  return verb.run(*read, say);
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

}  // namespace penstock::exchange
