#include "edge/exchange/sentence.hpp"

namespace penstock::exchange {

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

}  // namespace penstock::exchange
