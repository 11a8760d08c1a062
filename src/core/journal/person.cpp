#include "core/journal/person.hpp"

#include <algorithm>

#include "core/journal/journal.hpp"

namespace penstock::journal {
namespace {

struct Folding {
  Person& person;
  const Effective& effective;
  bool& injected;  ///< since the last move

  void operator()(const PersonRegistered& fact) const {
    person.registered = true;
    person.full_name = fact.full_name;
    person.born = fact.born;
    person.number = fact.number;
    person.zone = fact.zone;
    person.phone = fact.phone;
    person.background = fact.background;
  }
  void operator()(const DetailsChanged& fact) const {
    person.full_name = fact.full_name;
    person.born = fact.born;
    person.number = fact.number;
    person.phone = fact.phone;
    if (fact.zone.empty() || fact.zone == person.zone) return;
    const bool back = person.moved && person.moved->from == fact.zone && !injected;
    if (back) {
      person.moved.reset();
    } else if (!person.zone.empty()) {
      person.moved = Moved{effective.happened, effective.fact->recorded, person.zone};
    }
    injected = false;
    person.zone = fact.zone;
  }
  void operator()(const Injected&) const { injected = true; }
  void operator()(const BackgroundNoted& fact) const { person.background = fact.background; }
  void operator()(const TaughtBack& fact) const {
    person.teaching.push_back({fact.skill, fact.needle, fact.unprompted, effective.happened});
  }
  void operator()(const Note& fact) const {
    person.notes.push_back({effective.happened, effective.fact->author, fact.text});
  }
  void operator()(const ReminderDismissed& fact) const {
    person.dismissals.push_back({effective.fact->id, fact.reminder, fact.basis, fact.reason,
                                 effective.fact->author, effective.happened});
  }
  // Everything else is no business of this fold: pens are the ledger's, lines are the order's.
  template <class Other>
  void operator()(const Other&) const {}
};

}  // namespace

Person fold_person(const History& history) {
  Person person;
  bool injected = false;
  for (const auto& effective : history.facts) {
    std::visit(Folding{person, effective, injected}, *effective.payload);
  }
  return person;
}

bool Person::taught(Skill skill) const {
  return std::ranges::any_of(teaching, [&](const Teaching& t) { return t.skill == skill; });
}

bool Person::taught_needle(std::string_view needle) const {
  return !needle.empty() &&
         std::ranges::any_of(teaching, [&](const Teaching& t) { return t.needle == needle; });
}

}  // namespace penstock::journal
