// Who is alike (H19), and whose number is the same. Texts are compared by their keys alone.
#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <string>
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

// Edits (a letter more, less, other, or two swapped) between two texts, counted up to `most`. Only
// the diagonals that so few edits reach are worked out.
template <class Text>
int edits(const Text& a, const Text& b, int most) {
  constexpr std::size_t width = 2 * slips_max + 1;
  constexpr int far = slips_max + 1;
  const auto n = std::ssize(a), m = std::ssize(b);
  std::array<int, width + 2> two_back, before, now;  // by j - i + slips_max + 1: room on both sides
  two_back.fill(far);
  before.fill(far);
  for (int j = 0; j <= slips_max; ++j) before[slips_max + 1 + static_cast<std::size_t>(j)] = j;
  for (std::ptrdiff_t i = 1; i <= n; ++i) {
    now.fill(far);
    int least = far;
    for (std::size_t x = 1; x <= width; ++x) {
      const auto j = i + static_cast<std::ptrdiff_t>(x) - 1 - slips_max;
      if (j < 0 || j > m) continue;
      int cost = before[x + 1] + 1;
      if (j > 0) {
        const auto here = static_cast<std::size_t>(i - 1), there = static_cast<std::size_t>(j - 1);
        cost = std::min({cost, now[x - 1] + 1, before[x] + (a[here] == b[there] ? 0 : 1)});
        if (i > 1 && j > 1 && a[here] == b[there - 1] && a[here - 1] == b[there])
          cost = std::min(cost, two_back[x] + 1);
      }
      now[x] = std::min(cost, far);
      least = std::min(least, cost);
    }
    if (least > most) return most + 1;
    two_back = before;
    before = now;
  }
  return before[static_cast<std::size_t>(m - n + slips_max) + 1];
}

bool is_ascii(std::string_view text) {
  return std::ranges::none_of(text, [](char c) { return (c & 0x80) != 0; });
}

template <class Text>
bool differ_in_few(const Text& a, const Text& b) {
  const auto longer = std::max(a.size(), b.size());
  const auto apart = longer - std::min(a.size(), b.size());
  // Two slips in a full name, one in a short one.
  const int most = longer >= 10 ? slips_max : 1;
  return apart <= static_cast<std::size_t>(most) && edits(a, b, most) <= most;
}

bool few_slips(std::string_view a, std::string_view b) {
  if (a == b) return true;
  if (is_ascii(a) && is_ascii(b)) return differ_in_few(a, b);
  return differ_in_few(letters_of(a), letters_of(b));
}

// "Halvorsen, Noor": the words in their alphabet's order.
std::vector<std::string_view> words_of(std::string_view name) {
  std::vector<std::string_view> out;
  while (!name.empty()) {
    const auto end = std::min(name.find_first_of(" ,"), name.size());
    if (end > 0) out.push_back(name.substr(0, end));
    name.remove_prefix(std::min(end + 1, name.size()));
  }
  std::ranges::sort(out);
  return out;
}

bool alike_texts(std::string_view a, std::string_view b) {
  return few_slips(a, b) || words_of(a) == words_of(b);
}

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (c & 0x80) != 0;
}

// Without titles and initials.
std::vector<std::string_view> own_words_of(std::string_view name) {
  constexpr auto titles =
      std::to_array<std::string_view>({"mr", "mrs", "ms", "miss", "mx", "dr", "prof", "professor"});
  std::vector<std::string_view> out;
  while (!name.empty()) {
    const auto from = std::ranges::find_if(name, is_letter) - name.begin();
    name.remove_prefix(static_cast<std::size_t>(from));
    const auto to = std::ranges::find_if_not(name, is_letter) - name.begin();
    const auto word = name.substr(0, static_cast<std::size_t>(to));
    name.remove_prefix(word.size());
    if (word.size() > 1 && std::ranges::find(titles, word) == titles.end()) out.push_back(word);
  }
  return out;
}

bool are_in_part_the_same(std::string_view a, std::string_view b) {
  auto fewer = own_words_of(a), more = own_words_of(b);
  if (fewer.size() > more.size()) std::swap(fewer, more);
  return !fewer.empty() && std::ranges::all_of(fewer, [&](std::string_view word) {
    return std::ranges::find(more, word) != more.end();
  });
}

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Everybody is looked at: no text is made of them.
bool have_same_digits(std::string_view a, std::string_view b) {
  const auto next = [](std::string_view& text) {
    while (!text.empty() && !is_digit(text.front())) text.remove_prefix(1);
  };
  const auto begin = [&](std::string_view& text) {
    for (next(text); !text.empty() && text.front() == '0'; next(text)) text.remove_prefix(1);
  };
  begin(a);
  begin(b);
  if (a.empty() || b.empty()) return false;
  while (!a.empty() && !b.empty() && a.front() == b.front()) {
    a.remove_prefix(1);
    b.remove_prefix(1);
    next(a);
    next(b);
  }
  return a.empty() && b.empty();
}

constexpr std::string_view tag_number = "number/", tag_look = "number-look/";
constexpr std::string_view tag_serial = "serial/", tag_serial_look = "serial-look/";
// What the store keeps of a tag (store::tag_bytes_max), less the longest word before it.
constexpr std::size_t tag_number_max = 180;

}  // namespace

Key key_of(std::string_view text, const Keys& keys) { return {keys.folded(text), keys.look(text)}; }

bool alike(const Key& a, const Key& b) {
  return alike_texts(a.folded, b.folded) || alike_texts(a.look, b.look);
}

bool in_part_the_same(const Key& a, const Key& b) {
  return are_in_part_the_same(a.folded, b.folded) || are_in_part_the_same(a.look, b.look);
}

bool same_digits(const Key& a, const Key& b) { return have_same_digits(a.folded, b.folded); }

bool same_number(const Key& a, const Key& b) {
  if (a.folded.empty() || b.folded.empty()) return false;
  return a.folded == b.folded || a.look == b.look;
}

std::vector<std::string> tags_of_number(const Key& number) {
  if (number.folded.empty()) return {};
  return {std::string(tag_number).append(shortened(number.folded, tag_number_max)),
          std::string(tag_look).append(shortened(number.look, tag_number_max))};
}

std::vector<std::string> tags_of_serial(const Key& serial) {
  const auto closed_up = [](std::string text) {
    std::erase_if(text, [](char c) {
      const bool counts = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c & 0x80) != 0;
      return !counts;
    });
    return text;
  };
  const auto folded = closed_up(serial.folded), look = closed_up(serial.look);
  if (folded.empty()) return {};
  return {std::string(tag_serial).append(shortened(folded, tag_number_max)),
          std::string(tag_serial_look).append(shortened(look, tag_number_max))};
}

}  // namespace penstock::summary
