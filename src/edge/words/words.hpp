// Codes and typed values to sentences, from one message catalogue a language; for web, command
// line, drawings and paper.
//
// A catalogue holds no numbers (H30). Its strings have holes: `{dose}` takes the argument of that
// name and writes it by its type;
// `{days:day|days}` writes a count and the word that goes with it; `*…*` is bold. An argument can
// never bring a hole or a star with it: holes are filled after the string was cut.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/units/units.hpp"

namespace penstock::words {

struct Run {
  std::string text;
  bool bold = false;
  friend bool operator==(const Run&, const Run&) = default;
};
using Rich = std::vector<Run>;

std::string plain(const Rich& rich);
Rich operator+(Rich left, const Rich& right);

struct Said {
  std::string what;
  std::string do_this;
};

/// One language. Sections of the file: `errors` (each code has `what` and `do_this`), `sentences`,
/// `names` (of codes and of enum words).
class Catalogue {
 public:
  /// Reads a catalogue's JSON. Errors: `words.form` where it is not what the head of this file
  /// says.
  static Result<Catalogue> parse(std::string_view json);

  /// What to say to a person about an error. A code without an entry is said by its code: never an
  /// empty line.
  Said say(const Error& error) const;
  Rich sentence(std::string_view key, const std::vector<Arg>& args = {}) const;
  std::string text(std::string_view key, const std::vector<Arg>& args = {}) const;
  /// The name of a code or of an enum's word ("background" -> "Background insulin"); the code
  /// itself where there is none.
  std::string name(std::string_view code) const;
  bool has_error(std::string_view code) const;
  bool has_sentence(std::string_view key) const;
  /// Keys of a section with their strings, for the catalogue's own tests.
  const std::map<std::string, std::string, std::less<>>& strings() const { return strings_; }

  std::string weekday(LocalDay day) const;
  std::string day_long(LocalDay day) const;   ///< "Tuesday 16 March 2027"
  std::string day_year(LocalDay day) const;   ///< "4 June 1958"
  std::string day_month(LocalDay day) const;  ///< "Sun 28 March"
  std::string day_short(LocalDay day) const;  ///< "Wed 17"
  /// "Wed 17" within six days of today; farther off the month is said, too: "Wed 2 September".
  std::string day_near(LocalDay day, LocalDay today) const;
  std::string moment(const When& when) const;  ///< "Tuesday 16 March 2027, 14:10"
  /// "in 4 h 20 min", "2 h 5 min ago", "now"; whole minutes.
  std::string from_now(Instant at, Instant now) const;

 private:
  std::string fill(const Arg& arg, std::string_view forms) const;
  Rich rich(std::string_view pattern, const std::vector<Arg>& args) const;
  std::map<std::string, std::string, std::less<>>
      strings_;  // "errors/CODE/what", "sentences/KEY", "names/CODE"
};

/// English, embedded in the program.
const Catalogue& english();

// Arguments for sentences, beside those of base and units.
Arg arg_when(std::string_view name, const When& when);  ///< "Tuesday 16 March 2027, 14:10"

}  // namespace penstock::words
