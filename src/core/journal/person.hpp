// Who somebody is and what the educator has to know first, folded from the journal.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/facts/facts.hpp"

namespace penstock::journal {

// A journal is made of facts: who reads one names them here.
using namespace facts;

struct History;

struct Teaching {
  Skill skill = Skill::injection;
  std::string needle;
  bool unprompted = false;
  When on;
};

struct PersonNote {
  When on;
  std::string author;
  std::string text;
};

struct Dismissal {
  Id fact;
  std::string reminder;
  std::string basis;
  std::string reason;
  std::string by;
  When on;
};

/// Somebody lives by another clock since. A registration that was put right is no move (H18).
struct Moved {
  When when;
  Instant recorded{};
  std::string from;
};

/// Nothing registered: `registered` is false and the rest is empty.
struct Person {
  bool registered = false;
  std::string full_name;
  LocalDay born{};
  std::string number;
  std::string zone;
  std::optional<Moved> moved;  ///< the last time; nothing: never, or back again before any dose
  std::string phone;
  Background background;
  std::vector<Teaching> teaching;     ///< oldest first
  std::vector<PersonNote> notes;      ///< oldest first
  std::vector<Dismissal> dismissals;  ///< oldest first

  bool taught(Skill skill) const;
  /// H45: whether this needle type was taught; an empty name was never taught.
  bool taught_needle(std::string_view needle) const;
};

Person fold_person(const History& history);

}  // namespace penstock::journal
