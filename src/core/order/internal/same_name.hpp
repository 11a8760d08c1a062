// Words: of a closed list's value, as facts and the catalogue write it; and two that are one.
#pragma once

#include <algorithm>
#include <cstddef>
#include <string_view>

namespace penstock::order::internal {

template <class Enum>
std::string_view word(Enum value) {
  return names_of(value)[static_cast<std::size_t>(value)];
}

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
