// Whether an allergy that somebody typed is one to an insulin.
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "core/contacts/contacts.hpp"
#include "core/units/lot.hpp"
#include "core/units/utf8.hpp"

namespace penstock::contacts {
namespace {

// As people write what somebody reacts to: "insulins" is insulin, and "all" names none of them. A
// letter of another alphabet that is drawn as a Latin one is that one, as in a lot's number.
std::vector<std::string> words_in(std::string_view name) {
  std::vector<std::string> words(1);
  while (!name.empty()) {
    const auto letter = name.substr(0, std::max<std::size_t>(utf8_length(name, 0), 1));
    name.remove_prefix(letter.size());
    if (is_never_seen(code_point(letter))) continue;
    const auto key = lot_key(letter);
    const bool is_letter = key.size() == 1 && (key.front() & 0x80) == 0;
    if (is_letter) {
      words.back() += key;
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  std::erase_if(words, [](const std::string& word) {
    constexpr auto unsaid = std::to_array<std::string_view>({"all", "any", "every"});
    return std::ranges::any_of(unsaid, [&](auto one) { return word == lot_key(one); });
  });
  std::ranges::replace(words, lot_key("insulins"), lot_key("insulin"));
  return words;
}

}  // namespace

bool is_allergen(std::string_view typed, std::string_view insulin) {
  const auto a = words_in(typed), b = words_in(insulin);
  const auto holds = [](const auto& all, const auto& some) {
    return !some.empty() && std::ranges::all_of(some, [&](const std::string& word) {
      return std::ranges::find(all, word) != all.end();
    });
  };
  return holds(b, a) || holds(a, b);
}

}  // namespace penstock::contacts
