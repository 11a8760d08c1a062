#include "core/units/text.hpp"

#include <algorithm>

#include "core/units/utf8.hpp"

namespace penstock {
namespace {

bool is_control(char32_t c) { return c < 0x20 || (c >= 0x7F && c < 0xA0); }

// Embedding, override and isolate marks, and the line and paragraph separators, which some programs
// take for the end of a line.
bool is_direction_or_separator(char32_t c) {
  return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0x2028 || c == 0x2029;
}

}  // namespace

bool is_plain_text(std::string_view text, Lines lines) {
  while (!text.empty()) {
    const auto bytes = utf8_length(text, 0);
    if (bytes == 0) return false;
    const auto next = code_point(text.substr(0, bytes));
    const bool line = lines == Lines::many && (next == '\n' || next == '\t');
    if (is_control(next) && !line) return false;
    if (is_direction_or_separator(next)) return false;
    text.remove_prefix(bytes);
  }
  return true;
}

bool is_blank(std::string_view text) {
  return std::ranges::all_of(text, [](char c) { return c == ' ' || c == '\t' || c == '\n'; });
}

}  // namespace penstock
