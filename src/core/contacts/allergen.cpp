// Whether an allergy that somebody typed is one to an insulin.
#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "core/contacts/contacts.hpp"

namespace penstock::contacts {
namespace {

// As people write what somebody reacts to: "insulins" is insulin, and "all" names none of them.
std::vector<std::string> words_in(std::string_view name) {
  constexpr auto unsaid = std::to_array<std::string_view>({"all", "any", "every"});
  std::vector<std::string> words(1);
  for (const char c : name) {
    const char small = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    const bool is_letter = (small >= 'a' && small <= 'z') || (small >= '0' && small <= '9');
    if (is_letter) {
      words.back() += small;
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  std::erase_if(words, [&](const std::string& word) {
    return std::ranges::find(unsaid, word) != unsaid.end();
  });
  std::ranges::replace(words, "insulins", "insulin");
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
