// Search, and who is alike (H19).
#include <algorithm>
#include <string>
#include <vector>

#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

// Base letters of U+00C0 to U+017F, one a code point ('*': two letters, see below). Names of most
// of Europe; other scripts stay as they are.
constexpr std::string_view latin_base =
    "aaaaaa*ceeeeiiiidnooooo ouuuuy**aaaaaa*ceeeeiiiidnooooo ouuuuy*y"
    "aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiii**jjkkkllllllllllnnnnnn*nnoooooo**"
    "rrrrrrssssssssttttttuuuuuuuuuuuuwwyyyzzzzzzs";

std::string_view two_letters(unsigned code) {
  switch (code) {
    case 0xC6:
    case 0xE6:
      return "ae";
    case 0xDE:
    case 0xFE:
      return "th";
    case 0xDF:
      return "ss";
    case 0x132:
    case 0x133:
      return "ij";
    case 0x149:
      return "n";
    case 0x152:
    case 0x153:
      return "oe";
    default:
      return "";
  }
}

// Edits (a letter more, less, other, or two swapped) between two short texts, counted up to `most`.
int edits(std::string_view a, std::string_view b, int most) {
  std::vector<int> two_back(b.size() + 1), before(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) before[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<int>(i);
    int least = now[0];
    for (std::size_t j = 1; j <= b.size(); ++j) {
      now[j] =
          std::min({before[j] + 1, now[j - 1] + 1, before[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        now[j] = std::min(now[j], two_back[j - 2] + 1);
      least = std::min(least, now[j]);
    }
    if (least > most) return most + 1;
    std::swap(two_back, before);
    std::swap(before, now);
  }
  return before[b.size()];
}

}  // namespace

std::string folded_for_search(std::string_view utf8) {
  std::string out;
  for (std::size_t i = 0; i < utf8.size(); ++i) {
    const auto byte = static_cast<unsigned char>(utf8[i]);
    if (byte < 0x80) {
      out += static_cast<char>(byte >= 'A' && byte <= 'Z' ? byte - 'A' + 'a' : byte);
    } else if (byte >= 0xC3 && byte <= 0xC5 && i + 1 < utf8.size()) {
      const unsigned code = ((byte & 0x1FU) << 6) | (static_cast<unsigned char>(utf8[++i]) & 0x3FU);
      const char base = latin_base[code - 0xC0];
      if (base == '*') {
        out += two_letters(code);
      } else {
        out += base;
      }
    } else {
      out += utf8[i];
    }
  }
  return out;
}

bool alike(std::string_view a, std::string_view b) {
  return alike_folded(folded_for_search(a), folded_for_search(b));
}

bool alike_folded(std::string_view left, std::string_view right) {
  if (left == right) return true;
  const auto longer = std::max(left.size(), right.size());
  const auto apart = longer - std::min(left.size(), right.size());
  // Two slips in a full name, one in a short one.
  const int most = longer >= 10 ? slips_max : 1;
  if (apart > static_cast<std::size_t>(most)) return false;
  return edits(left, right, most) <= most;
}

}  // namespace penstock::summary
