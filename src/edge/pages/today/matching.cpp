// Whom somebody means who types a part of a name, a number or a birth date.
#include <algorithm>
#include <bitset>
#include <charconv>
#include <chrono>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "edge/pages/today/today.hpp"

namespace penstock::pages {
namespace {

using std::chrono::days;

bool contains(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

// A birth date can also be looked for as it is written in words, and to write everybody's takes
// long. What stands in digits there stands in the search key, too; and a part without a digit says
// nothing of the year, so that one year's days tell of all.
class BirthDays {
 public:
  BirthDays(const Words& words, FoldFunction folded, std::string_view part)
      : words_(words), folded_(folded), part_(part) {
    const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
    if (std::ranges::all_of(part, is_digit)) return;
    if (std::ranges::any_of(part, is_digit)) {
      how_ = How::each;
      return;
    }
    constexpr std::chrono::year leap{2000};
    for (auto day = LocalDay{std::chrono::local_days{leap / 1 / 1}};
         std::chrono::year_month_day{day}.year() == leap; day += days{1}) {
      if (!is_in(day)) continue;
      how_ = How::by_day;
      of_year_.set(place(day));
    }
  }
  bool has(LocalDay born) const {
    return how_ == How::by_day ? of_year_.test(place(born)) : how_ == How::each && is_in(born);
  }

 private:
  enum class How : std::uint8_t { none, by_day, each };
  static std::size_t place(LocalDay day) {
    const std::chrono::year_month_day date{day};
    return unsigned{date.month()} * 32 + unsigned{date.day()};
  }
  bool is_in(LocalDay day) const { return contains(folded_(words_.day_year(day)), part_); }

  const Words& words_;
  FoldFunction folded_;
  std::string part_;
  How how_ = How::none;
  std::bitset<std::size_t{13} * 32> of_year_;
};

std::vector<std::string> parts_of(std::string_view folded) {
  std::vector<std::string> parts;
  std::string word;
  for (const char c : std::string(folded) + " ") {
    if (c != ' ') {
      word += c;
    } else if (!word.empty()) {
      parts.push_back(std::move(word));
      word.clear();
    }
  }
  return parts;
}

// ---- a birth date as dates are typed elsewhere

bool is_digit(char c) { return c >= '0' && c <= '9'; }
bool is_between(char c) { return c == ' ' || c == '.' || c == '/' || c == '-' || c == ','; }

// A run of digits or of letters, and what stands before it.
struct Piece {
  std::string_view text;
  std::string_view before;
  bool is_number() const { return is_digit(text.front()); }
  int number() const {
    int out = 0;
    std::from_chars(text.data(), text.data() + text.size(), out);
    return out;
  }
};

std::vector<Piece> pieces_of(std::string_view text) {
  std::vector<Piece> out;
  while (true) {
    std::size_t from = 0;
    while (from < text.size() && is_between(text[from])) ++from;
    if (from == text.size()) return out;
    auto to = from + 1;
    while (to < text.size() && !is_between(text[to]) && is_digit(text[to]) == is_digit(text[from]))
      ++to;
    out.push_back({text.substr(from, to - from), text.substr(0, from)});
    text.remove_prefix(to);
  }
}

struct Date {
  unsigned day = 0;
  unsigned month = 0;
  std::optional<int> year;
  bool of_any_century = false;

  bool is(LocalDay born) const {
    const std::chrono::year_month_day date{born};
    const auto its_year = int{date.year()};
    return unsigned{date.day()} == day && unsigned{date.month()} == month &&
           (!year || *year == (of_any_century ? its_year % 100 : its_year));
  }
};

// By its name or its first letters, three at least. 0: none is called so.
unsigned month_named(const Words& words, FoldFunction folded, std::string_view typed) {
  constexpr std::size_t letters_min = 3;
  if (typed.size() < letters_min) return 0;
  for (unsigned month = 1; month <= 12; ++month) {
    if (folded(words.name("month/" + std::to_string(month))).starts_with(typed)) return month;
  }
  return 0;
}

bool is_year(const Piece& piece) {
  return piece.is_number() && (piece.text.size() == 2 || piece.text.size() == 4);
}

std::optional<Date> of_numbers(std::span<const Piece> pieces) {
  const auto is_short = [](const Piece& piece) {
    return piece.is_number() && piece.text.size() <= 2;
  };
  const auto value = [](const Piece& piece) { return static_cast<unsigned>(piece.number()); };
  if (pieces.size() == 2) {
    const auto between = pieces[1].before;
    if (!is_short(pieces[0]) || !is_short(pieces[1]) || (between != "." && between != "/"))
      return std::nullopt;
    return Date{value(pieces[0]), value(pieces[1]), {}, false};
  }
  if (pieces.size() != 3 || !is_short(pieces[1])) return std::nullopt;
  if (pieces[0].is_number() && pieces[0].text.size() == 4 && is_short(pieces[2]))
    return Date{value(pieces[2]), value(pieces[1]), pieces[0].number(), false};
  if (!is_short(pieces[0]) || !is_year(pieces[2])) return std::nullopt;
  return Date{value(pieces[0]), value(pieces[1]), pieces[2].number(), pieces[2].text.size() == 2};
}

// "30.11.1949", "30/11/49", "1949-11-3", "30 11 1949", "30.11.", "30-Nov-1949", "Wednesday, 30th
// November 1949": as web/src/facts/day.ts reads them, the day before the month.
std::optional<Date> date_of(const Words& words, FoldFunction folded, std::string_view text) {
  auto pieces = pieces_of(text);
  if (!pieces.empty() && pieces.front().text.ends_with("day")) pieces.erase(pieces.begin());
  constexpr auto ordinals = std::to_array<std::string_view>({"st", "nd", "rd", "th"});
  if (pieces.size() > 1 && pieces[1].before.empty() &&
      std::ranges::find(ordinals, pieces[1].text) != ordinals.end())
    pieces.erase(pieces.begin() + 1);
  std::optional<Date> out;
  if (pieces.size() == 3 && pieces[0].is_number() && !pieces[1].is_number() && is_year(pieces[2])) {
    out =
        Date{static_cast<unsigned>(pieces[0].number()), month_named(words, folded, pieces[1].text),
             pieces[2].number(), pieces[2].text.size() == 2};
  } else {
    out = of_numbers(pieces);
  }
  const bool is_there =
      out && out->day >= 1 && out->day <= 31 && out->month >= 1 && out->month <= 12;
  return is_there ? out : std::nullopt;
}

// What is looked for by one part of a query: its words, or the birth date that they say together.
struct Part {
  struct Word {
    std::string text;
    BirthDays days;
  };
  std::vector<Word> words;
  std::optional<Date> date;
};

std::vector<Part> asked_for(const Words& words, FoldFunction folded, std::string_view query) {
  constexpr std::size_t words_of_a_date_max = 4;
  const auto typed = parts_of(folded(query));
  std::vector<Part> out;
  for (std::size_t at = 0; at < typed.size();) {
    auto count = std::min(words_of_a_date_max, typed.size() - at);
    std::optional<Date> date;
    for (;; --count) {
      std::string together;
      for (const auto& word : std::span(typed).subspan(at, count)) together += word + " ";
      together.pop_back();
      date = date_of(words, folded, together);
      if (date || count == 1) break;
    }
    auto& part = out.emplace_back();
    part.date = date;
    for (; count > 0; --count, ++at)
      part.words.push_back({typed[at], BirthDays(words, folded, typed[at])});
  }
  return out;
}

}  // namespace

std::vector<std::size_t> matching(const Words& words, const People& people, std::string_view query,
                                  FoldFunction folded) {
  const auto parts = asked_for(words, folded, query);
  std::vector<std::size_t> found;
  for (std::size_t i = 0; i < people.size(); ++i) {
    const auto key = people.search_key(i);
    const auto born = people.born(i);
    const auto has = [&](const Part::Word& word) {
      return contains(key, word.text) || word.days.has(born);
    };
    const auto is_in = [&](const Part& part) {
      return std::ranges::all_of(part.words, has) || (part.date && part.date->is(born));
    };
    if (std::ranges::all_of(parts, is_in)) found.push_back(i);
  }
  return found;
}

}  // namespace penstock::pages
