#include "core/units/utf8.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <span>
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

namespace {

using Range = std::pair<char32_t, char32_t>;
bool is_within(std::span<const Range> ranges, char32_t c) {
  return std::ranges::any_of(
      ranges, [c](const Range& range) { return c >= range.first && c <= range.second; });
}

}  // namespace

bool is_never_seen(char32_t c) {
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
  return is_within(ranges, c);
}

bool is_numeral(char32_t c) {
  static constexpr std::array<Range, 137> ranges{
      {{0x0030, 0x0039},   {0x00B2, 0x00B3},   {0x00B9, 0x00B9},   {0x00BC, 0x00BE},
       {0x0660, 0x0669},   {0x06F0, 0x06F9},   {0x07C0, 0x07C9},   {0x0966, 0x096F},
       {0x09E6, 0x09EF},   {0x09F4, 0x09F9},   {0x0A66, 0x0A6F},   {0x0AE6, 0x0AEF},
       {0x0B66, 0x0B6F},   {0x0B72, 0x0B77},   {0x0BE6, 0x0BF2},   {0x0C66, 0x0C6F},
       {0x0C78, 0x0C7E},   {0x0CE6, 0x0CEF},   {0x0D58, 0x0D5E},   {0x0D66, 0x0D78},
       {0x0DE6, 0x0DEF},   {0x0E50, 0x0E59},   {0x0ED0, 0x0ED9},   {0x0F20, 0x0F33},
       {0x1040, 0x1049},   {0x1090, 0x1099},   {0x1369, 0x137C},   {0x16EE, 0x16F0},
       {0x17E0, 0x17E9},   {0x17F0, 0x17F9},   {0x1810, 0x1819},   {0x1946, 0x194F},
       {0x19D0, 0x19DA},   {0x1A80, 0x1A89},   {0x1A90, 0x1A99},   {0x1B50, 0x1B59},
       {0x1BB0, 0x1BB9},   {0x1C40, 0x1C49},   {0x1C50, 0x1C59},   {0x2070, 0x2070},
       {0x2074, 0x2079},   {0x2080, 0x2089},   {0x2150, 0x2182},   {0x2185, 0x2189},
       {0x2460, 0x249B},   {0x24EA, 0x24FF},   {0x2776, 0x2793},   {0x2CFD, 0x2CFD},
       {0x3007, 0x3007},   {0x3021, 0x3029},   {0x3038, 0x303A},   {0x3192, 0x3195},
       {0x3220, 0x3229},   {0x3248, 0x324F},   {0x3251, 0x325F},   {0x3280, 0x3289},
       {0x32B1, 0x32BF},   {0xA620, 0xA629},   {0xA6E6, 0xA6EF},   {0xA830, 0xA835},
       {0xA8D0, 0xA8D9},   {0xA900, 0xA909},   {0xA9D0, 0xA9D9},   {0xA9F0, 0xA9F9},
       {0xAA50, 0xAA59},   {0xABF0, 0xABF9},   {0xFF10, 0xFF19},   {0x10107, 0x10133},
       {0x10140, 0x10178}, {0x1018A, 0x1018B}, {0x102E1, 0x102FB}, {0x10320, 0x10323},
       {0x10341, 0x10341}, {0x1034A, 0x1034A}, {0x103D1, 0x103D5}, {0x104A0, 0x104A9},
       {0x10858, 0x1085F}, {0x10879, 0x1087F}, {0x108A7, 0x108AF}, {0x108FB, 0x108FF},
       {0x10916, 0x1091B}, {0x109BC, 0x109BD}, {0x109C0, 0x109CF}, {0x109D2, 0x109FF},
       {0x10A40, 0x10A48}, {0x10A7D, 0x10A7E}, {0x10A9D, 0x10A9F}, {0x10AEB, 0x10AEF},
       {0x10B58, 0x10B5F}, {0x10B78, 0x10B7F}, {0x10BA9, 0x10BAF}, {0x10CFA, 0x10CFF},
       {0x10D30, 0x10D39}, {0x10E60, 0x10E7E}, {0x10F1D, 0x10F26}, {0x10F51, 0x10F54},
       {0x10FC5, 0x10FCB}, {0x11052, 0x1106F}, {0x110F0, 0x110F9}, {0x11136, 0x1113F},
       {0x111D0, 0x111D9}, {0x111E1, 0x111F4}, {0x112F0, 0x112F9}, {0x11450, 0x11459},
       {0x114D0, 0x114D9}, {0x11650, 0x11659}, {0x116C0, 0x116C9}, {0x11730, 0x1173B},
       {0x118E0, 0x118F2}, {0x11950, 0x11959}, {0x11C50, 0x11C6C}, {0x11D50, 0x11D59},
       {0x11DA0, 0x11DA9}, {0x11F50, 0x11F59}, {0x11FC0, 0x11FD4}, {0x12400, 0x1246E},
       {0x16A60, 0x16A69}, {0x16AC0, 0x16AC9}, {0x16B50, 0x16B59}, {0x16B5B, 0x16B61},
       {0x16E80, 0x16E96}, {0x1D2C0, 0x1D2D3}, {0x1D2E0, 0x1D2F3}, {0x1D360, 0x1D378},
       {0x1D7CE, 0x1D7FF}, {0x1E140, 0x1E149}, {0x1E2F0, 0x1E2F9}, {0x1E4F0, 0x1E4F9},
       {0x1E8C7, 0x1E8CF}, {0x1E950, 0x1E959}, {0x1EC71, 0x1ECAB}, {0x1ECAD, 0x1ECAF},
       {0x1ECB1, 0x1ECB4}, {0x1ED01, 0x1ED2D}, {0x1ED2F, 0x1ED3D}, {0x1F100, 0x1F10C},
       {0x1FBF0, 0x1FBF9}}};
  return is_within(ranges, c);
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
