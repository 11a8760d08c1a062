// Who is alike (H19), and whose number is the same. Texts are compared by their keys alone.
#include <algorithm>
#include <cstdint>
#include <string>
#include <utility>
#include <vector>

#include "core/units/utf8.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::summary {
namespace {

// The bytes of a code point, one after the other: enough to tell letters apart.
using Letter = std::uint32_t;

std::vector<Letter> letters_of(std::string_view utf8) {
  std::vector<Letter> out;
  out.reserve(utf8.size());
  for (const char c : utf8) {
    const auto byte = static_cast<unsigned char>(c);
    if ((byte & 0xC0U) == 0x80U && !out.empty()) {
      out.back() = (out.back() << 8) | byte;
    } else {
      out.push_back(byte);
    }
  }
  return out;
}

// Edits (a letter more, less, other, or two swapped) between two short texts, counted up to `most`.
int edits(const std::vector<Letter>& a, const std::vector<Letter>& b, int most) {
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

bool few_slips(std::string_view a, std::string_view b) {
  if (a == b) return true;
  const auto left = letters_of(a), right = letters_of(b);
  const auto longer = std::max(left.size(), right.size());
  const auto apart = longer - std::min(left.size(), right.size());
  // Two slips in a full name, one in a short one.
  const int most = longer >= 10 ? slips_max : 1;
  if (apart > static_cast<std::size_t>(most)) return false;
  return edits(left, right, most) <= most;
}

constexpr std::string_view tag_number = "number/", tag_look = "number-look/";
// What the store keeps of a tag (store::tag_bytes_max), less the longest word before it.
constexpr std::size_t tag_name_max = 180;

}  // namespace

Key key_of(std::string_view text, const Keys& keys) { return {keys.folded(text), keys.look(text)}; }

bool alike(const Key& a, const Key& b) {
  return few_slips(a.folded, b.folded) || few_slips(a.look, b.look);
}

bool same_number(const Key& a, const Key& b) {
  if (a.folded.empty() || b.folded.empty()) return false;
  return a.folded == b.folded || a.look == b.look;
}

std::vector<std::string> tags_of_number(const Key& number) {
  if (number.folded.empty()) return {};
  return {std::string(tag_number).append(shortened(number.folded, tag_name_max)),
          std::string(tag_look).append(shortened(number.look, tag_name_max))};
}

}  // namespace penstock::summary
