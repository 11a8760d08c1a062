#include "core/units/text.hpp"

#include <algorithm>
#include <cstddef>
#include <optional>

namespace penstock {
namespace {

unsigned byte_at(std::string_view text, std::size_t at) {
  return static_cast<unsigned char>(text[at]);
}

struct CodePoint {
  char32_t value;
  std::size_t bytes;
};

// One code point from the front, as RFC 3629 section 4 allows it.
std::optional<CodePoint> front(std::string_view text) {
  const auto lead = byte_at(text, 0);
  if (lead < 0x80) return CodePoint{lead, 1};
  const std::size_t bytes = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : 2;
  if (lead < 0xC2 || lead > 0xF4 || text.size() < bytes) return std::nullopt;
  char32_t value = lead & (0x7FU >> bytes);
  for (std::size_t at = 1; at < bytes; ++at) {
    if ((byte_at(text, at) & 0xC0) != 0x80) return std::nullopt;
    value = (value << 6) | (byte_at(text, at) & 0x3F);
  }
  const bool overlong = (bytes == 3 && value < 0x800) || (bytes == 4 && value < 0x10000);
  const bool surrogate = value >= 0xD800 && value <= 0xDFFF;
  if (overlong || surrogate || value > 0x10FFFF) return std::nullopt;
  return CodePoint{value, bytes};
}

bool is_control(char32_t c) { return c < 0x20 || (c >= 0x7F && c < 0xA0); }

// Embedding, override and isolate marks, and the line and paragraph separators, which some programs
// take for the end of a line.
bool is_direction_or_separator(char32_t c) {
  return (c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069) || c == 0x2028 || c == 0x2029;
}

}  // namespace

bool is_plain_text(std::string_view text, Lines lines) {
  while (!text.empty()) {
    const auto next = front(text);
    if (!next) return false;
    const bool line = lines == Lines::many && (next->value == '\n' || next->value == '\t');
    if (is_control(next->value) && !line) return false;
    if (is_direction_or_separator(next->value)) return false;
    text.remove_prefix(next->bytes);
  }
  return true;
}

bool is_blank(std::string_view text) {
  return std::ranges::all_of(text, [](char c) { return c == ' ' || c == '\t' || c == '\n'; });
}

}  // namespace penstock
