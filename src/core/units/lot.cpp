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

// Digits of scripts that have their own: what another keyboard types.
constexpr auto noughts = std::to_array<char32_t>({0x0660, 0x06F0, 0x07C0, 0x0966, 0x09E6, 0x0A66,
                                                  0x0AE6, 0x0B66, 0x0BE6, 0x0C66, 0x0CE6, 0x0D66,
                                                  0x0E50, 0x0ED0, 0x0F20, 0x1040, 0x17E0, 0x1810});

// The Latin character that it looks like; nothing: a sign of its own.
char32_t latin(char32_t c) {
  constexpr char32_t wide_first = 0xFF01, wide_last = 0xFF5E, to_narrow = 0xFEE0;
  if (c >= wide_first && c <= wide_last) return c - to_narrow;
  for (const auto nought : noughts) {
    if (c >= nought && c <= nought + 9) return U'0' + (c - nought);
  }
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

std::vector<std::string> lot_readings(std::string_view utf8) {
  constexpr std::size_t words_most = 12, least = 4;
  std::vector<std::string> words(1);
  std::string key;
  while (!utf8.empty()) {
    const auto bytes = std::max<std::size_t>(utf8_length(utf8, 0), 1);
    const auto read = lot_key(utf8.substr(0, bytes));
    const bool unseen = is_never_seen(code_point(utf8.substr(0, bytes)));
    utf8.remove_prefix(bytes);
    key += read;
    words.back() += read;
    if (read.empty() && !unseen && !words.back().empty()) words.emplace_back();
  }
  std::vector<std::string> out{std::move(key)};
  words.resize(std::min(words.size(), words_most));
  for (std::size_t first = 0; first < words.size(); ++first) {
    std::string run;
    for (auto next = first; next < words.size(); ++next) {
      run += words[next];
      if (run.size() >= least && std::ranges::find(out, run) == out.end()) out.push_back(run);
    }
  }
  return out;
}

bool lot_may_be(std::string_view utf8, std::string_view key) {
  if (key.empty()) return false;
  const auto whole = lot_key(utf8);
  if (whole == key) return true;
  if (whole.find(key) == std::string::npos) return false;
  const auto readings = lot_readings(utf8);
  return std::ranges::find(readings, key) != readings.end();
}

}  // namespace penstock
