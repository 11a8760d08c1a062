// One line of a scenario, cut into words; a reader takes them one by one and complains about what
// is left over.
#pragma once

#include <algorithm>
#include <cstdint>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "core/units/units.hpp"

namespace penstock::spec {

/// A scenario that cannot be run or does not hold; the message begins with the line's number.
struct Broken : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// Words are parted by blanks; "…" keeps blanks inside.
inline std::vector<std::string> cut(std::string_view line) {
  std::vector<std::string> words;
  std::size_t i = 0;
  while (i < line.size()) {
    if (line[i] == ' ' || line[i] == '\t') {
      ++i;
      continue;
    }
    if (line[i] == '#') break;
    const bool quoted = line[i] == '"';
    const std::size_t from = quoted ? i + 1 : i;
    const std::size_t to =
        std::min(quoted ? line.find('"', from) : line.find_first_of(" \t", from), line.size());
    words.emplace_back(line.substr(from, to - from));
    i = quoted ? to + 1 : to;
  }
  return words;
}

class Words {
 public:
  Words(std::size_t line, std::vector<std::string> words) : line_(line), words_(std::move(words)) {}

  [[noreturn]] void fail(const std::string& why) const {
    throw Broken("line " + std::to_string(line_) + ": " + why);
  }
  std::size_t line() const { return line_; }
  bool empty() const { return at_ == words_.size(); }
  std::string next(std::string_view what) {
    if (empty()) fail(std::string(what) + " is missing");
    return words_[at_++];
  }
  /// Takes the next word if it is this one.
  bool take(std::string_view word) {
    if (empty() || words_[at_] != word) return false;
    ++at_;
    return true;
  }
  void must(std::string_view word) {
    if (!take(word)) fail("\"" + std::string(word) + "\" should stand here");
  }
  Units units(std::string_view what) { return value(parse_units(next(what)), what); }
  std::int64_t number(std::string_view what) { return value(parse_fixed(next(what), 0), what); }
  LocalDay day() { return value(parse_day(next("a date")), "date"); }
  template <class T>
  T value(Result<T> result, std::string_view what) const {
    if (!result) fail(std::string(what) + " cannot be read: " + result.error().code);
    return *result;
  }
  void done() const {
    if (!empty()) fail("\"" + words_[at_] + "\" is left over");
  }

 private:
  std::size_t line_;
  std::vector<std::string> words_;
  std::size_t at_ = 0;
};

/// Which of a closed list: "thigh left".
template <class E>
E one_of(Words& words, std::string_view what) {
  const auto word = words.next(what);
  const auto names = names_of(E{});
  const auto found = std::ranges::find(names, word);
  if (found == names.end()) words.fail("\"" + word + "\" is no " + std::string(what));
  return static_cast<E>(found - names.begin());
}
inline Zone zone(Words& words) { return one_of<Zone>(words, "zone"); }
/// Centimetres.
inline TenthsMm centimetres(Words& words, std::string_view what) {
  return {static_cast<std::int32_t>(words.value(parse_fixed(words.next(what), 2), what))};
}
/// "6.2 -3": centimetres to the person's left, and towards the head.
inline Spot spot(Words& words) {
  const auto x = centimetres(words, "how far to the left");
  return {x, centimetres(words, "how far up")};
}

}  // namespace penstock::spec
