// What a name says of who it is that signs: the rule for all who do, whoever checks, copies,
// prescribes or answers (H37, H40).
#pragma once

#include <cstdint>
#include <string_view>

namespace penstock::names {

/// As what somebody signs. A prescriber is known by title and family name, too ("Dr Osei").
enum class Signs : std::uint8_t { staff, prescriber };

/// What is wrong with a name; the first that is.
enum class Doubt : std::uint8_t {
  none,
  nobody,    ///< a word for anybody ("ok", "a colleague", "the doctor on call"), the clinic, the
             ///< person
  at_home,   ///< of a prescriber: somebody of the person's family, or who looks after them
  themself,  ///< of staff: the person's own name in part or by initials
  one_word,  ///< no first and family name
};

/// Whose record it is, and where.
struct Beside {
  std::string_view person;
  std::string_view clinic;
};

Doubt doubt_about(std::string_view name, Signs as, const Beside& beside);

}  // namespace penstock::names
