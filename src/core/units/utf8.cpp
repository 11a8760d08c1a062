#include "core/units/utf8.hpp"

#include <cstdint>
#include <cstring>

namespace penstock {
namespace {

bool continues(std::string_view text, std::size_t at) {
  return at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U;
}

}  // namespace

// The well-formed byte sequences of the Unicode Standard, table 3-7.
std::size_t utf8_length(std::string_view text, std::size_t at) {
  const auto first = static_cast<unsigned char>(text[at]);
  if (first < 0x80) return 1;
  if (first < 0xC2 || first > 0xF4 || !continues(text, at + 1)) return 0;
  if (first < 0xE0) return 2;
  const auto second = static_cast<unsigned char>(text[at + 1]);
  if (!continues(text, at + 2)) return 0;
  if (first < 0xF0) {
    const bool overlong = first == 0xE0 && second < 0xA0;
    const bool surrogate = first == 0xED && second > 0x9F;
    return overlong || surrogate ? 0 : 3;
  }
  if (!continues(text, at + 3)) return 0;
  const bool overlong = first == 0xF0 && second < 0x90;
  const bool beyond = first == 0xF4 && second > 0x8F;
  return overlong || beyond ? 0 : 4;
}

std::optional<std::size_t> first_bad_utf8(std::string_view text) {
  std::size_t at = 0;
  while (at < text.size()) {
    // Eight plain characters at a time: most files are nothing else.
    while (at + 8 <= text.size()) {
      std::uint64_t eight = 0;
      std::memcpy(&eight, text.data() + at, 8);
      if ((eight & 0x8080808080808080ULL) != 0) break;
      at += 8;
    }
    if (at >= text.size()) break;
    const auto length = utf8_length(text, at);
    if (length == 0) return at;
    at += length;
  }
  return std::nullopt;
}

std::string_view shortened(std::string_view text, std::size_t bytes_max) {
  if (text.size() <= bytes_max) return text;
  std::size_t end = bytes_max;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return text.substr(0, end);
}

}  // namespace penstock
