// What tests look for in a text, taken from the catalogue: its words may change, its key stays.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

#include "edge/words/words.hpp"

namespace penstock::tests {

/// The longest piece of a text between its holes and stars. `key` as in `Catalogue::strings()`:
/// "sentences/sheet.title", "errors/order.ended/do_this". A key that is not there says so, and is
/// found nowhere.
inline std::string piece(std::string_view key) {
  const auto& strings = words::english().strings();
  const auto entry = strings.find(key);
  if (entry == strings.end()) return "the catalogue has no " + std::string(key);
  std::string_view rest = entry->second;
  std::string_view longest;
  while (!rest.empty()) {
    const auto end = std::min(rest.find_first_of("{*"), rest.size());
    if (end > longest.size()) longest = rest.substr(0, end);
    if (end == rest.size()) break;
    const auto after = rest[end] == '*' ? end : std::min(rest.find('}', end), rest.size() - 1);
    rest.remove_prefix(after + 1);
  }
  return std::string(longest);
}

/// Whether a text names a number to dial, as a card's step and the answer at the telephone do:
/// "Dial 22 units".
inline bool tells_number(std::string_view text) {
  const auto dial = piece("sentences/step.dial").substr(1);  // "Dial " and "dial "
  for (auto at = text.find(dial); at != std::string_view::npos; at = text.find(dial, at + 1)) {
    const auto after = at + dial.size();
    if (after < text.size() && text[after] >= '0' && text[after] <= '9') return true;
  }
  return false;
}

}  // namespace penstock::tests
