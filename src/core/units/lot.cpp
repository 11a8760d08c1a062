#include "core/units/lot.hpp"

#include <algorithm>
#include <array>

#include "core/units/utf8.hpp"

namespace penstock {
namespace {

struct Twin {
  char32_t is;
  char looks;
};

// Letters of other scripts that are drawn as Latin ones: what a keyboard of another language types
// for a carton's print.
constexpr auto twins = std::to_array<Twin>({
    // Greek capitals, and the small letters that are drawn as Latin ones
    {0x0391, 'A'},
    {0x0392, 'B'},
    {0x0395, 'E'},
    {0x0396, 'Z'},
    {0x0397, 'H'},
    {0x0399, 'I'},
    {0x039A, 'K'},
    {0x039C, 'M'},
    {0x039D, 'N'},
    {0x039F, 'O'},
    {0x03A1, 'P'},
    {0x03A4, 'T'},
    {0x03A5, 'Y'},
    {0x03A7, 'X'},
    {0x03B9, 'I'},
    {0x03BA, 'K'},
    {0x03BD, 'V'},
    {0x03BF, 'O'},
    {0x03C1, 'P'},
    {0x03C5, 'U'},
    // Cyrillic
    {0x0405, 'S'},
    {0x0406, 'I'},
    {0x0408, 'J'},
    {0x0410, 'A'},
    {0x0412, 'B'},
    {0x0415, 'E'},
    {0x0417, '3'},
    {0x041A, 'K'},
    {0x041C, 'M'},
    {0x041D, 'H'},
    {0x041E, 'O'},
    {0x0420, 'P'},
    {0x0421, 'C'},
    {0x0422, 'T'},
    {0x0423, 'Y'},
    {0x0425, 'X'},
    {0x0430, 'A'},
    {0x0432, 'B'},
    {0x0435, 'E'},
    {0x0437, '3'},
    {0x043A, 'K'},
    {0x043C, 'M'},
    {0x043D, 'H'},
    {0x043E, 'O'},
    {0x0440, 'P'},
    {0x0441, 'C'},
    {0x0442, 'T'},
    {0x0443, 'Y'},
    {0x0445, 'X'},
    {0x0455, 'S'},
    {0x0456, 'I'},
    {0x0458, 'J'},
});

// The Latin character that it looks like; nothing: a sign of its own.
char32_t latin(char32_t c) {
  constexpr char32_t wide_first = 0xFF01, wide_last = 0xFF5E, to_narrow = 0xFEE0;
  if (c >= wide_first && c <= wide_last) return c - to_narrow;
  const auto found = std::ranges::find(twins, c, &Twin::is);
  return found == twins.end() ? c : static_cast<char32_t>(found->looks);
}

// Blanks, dashes and quotes that are no ASCII.
bool is_sign(char32_t c) {
  return c == 0x00A0 || c == 0x00B7 || (c >= 0x2000 && c <= 0x203A) || c == 0x2212 || c == 0x3000;
}

char looked_at(char capital) {
  switch (capital) {
    case 'O':
      return '0';
    case 'I':
    case 'L':
      return '1';
    case 'Z':
      return '2';
    case 'S':
      return '5';
    case 'B':
      return '8';
    default:
      return capital;
  }
}

}  // namespace

std::string lot_key(std::string_view utf8) {
  std::string key;
  while (!utf8.empty()) {
    const auto bytes = std::max<std::size_t>(utf8_length(utf8, 0), 1);
    const auto sequence = utf8.substr(0, bytes);
    utf8.remove_prefix(bytes);
    const auto c = latin(code_point(sequence));
    if (c >= 0x80) {
      if (!is_never_seen(c) && !is_sign(c)) key += sequence;
      continue;
    }
    const auto letter = static_cast<char>(c);
    if (letter >= 'a' && letter <= 'z') {
      key += looked_at(static_cast<char>(letter - 'a' + 'A'));
    } else if ((letter >= 'A' && letter <= 'Z') || (letter >= '0' && letter <= '9')) {
      key += looked_at(letter);
    }
  }
  return key;
}

}  // namespace penstock
