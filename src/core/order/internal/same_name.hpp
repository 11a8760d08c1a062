// Two names that are one.
#pragma once

#include <algorithm>
#include <string_view>

namespace penstock::order::internal {

/// The same name, of a person or of an insulin, whatever its capitals and the spaces around it.
inline bool same_name(std::string_view a, std::string_view b) {
  if (a == b) return true;
  constexpr auto small = [](char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
  };
  const auto trimmed = [](std::string_view text) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    return text;
  };
  return std::ranges::equal(trimmed(a), trimmed(b), {}, small, small);
}

}  // namespace penstock::order::internal
