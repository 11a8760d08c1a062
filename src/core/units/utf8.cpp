#include "core/units/utf8.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <utility>

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

char32_t code_point(std::string_view sequence) {
  const auto lead = static_cast<unsigned char>(sequence[0]);
  if (sequence.size() == 1) return lead;
  char32_t value = lead & (0x7FU >> sequence.size());
  for (const char next : sequence.substr(1)) {
    value = (value << 6) | (static_cast<unsigned char>(next) & 0x3FU);
  }
  return value;
}

bool is_never_seen(char32_t c) {
  using Range = std::pair<char32_t, char32_t>;
  static constexpr std::array<Range, 17> ranges{{{0x00AD, 0x00AD},
                                                 {0x034F, 0x034F},
                                                 {0x061C, 0x061C},
                                                 {0x115F, 0x1160},
                                                 {0x17B4, 0x17B5},
                                                 {0x180B, 0x180F},
                                                 {0x200B, 0x200F},
                                                 {0x202A, 0x202E},
                                                 {0x2060, 0x206F},
                                                 {0x3164, 0x3164},
                                                 {0xFE00, 0xFE0F},
                                                 {0xFEFF, 0xFEFF},
                                                 {0xFFA0, 0xFFA0},
                                                 {0xFFF0, 0xFFF8},
                                                 {0x1BCA0, 0x1BCA3},
                                                 {0x1D173, 0x1D17A},
                                                 {0xE0000, 0xE0FFF}}};
  return std::ranges::any_of(
      ranges, [c](const Range& range) { return c >= range.first && c <= range.second; });
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
