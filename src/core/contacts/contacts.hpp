// Visits, calls and whom to phone, and what was measured in between, as a person's journal says.
//
//   const auto contacts = contacts::fold(history, told);
//   for (const auto* due : contacts.waiting()) ...   // agreed, and nobody said what became of it
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"

namespace penstock::contacts {

struct Contact {
  Id fact;
  When noted;
  journal::ContactNoted said;
};

/// A visit or a call that took place, or did not.
struct Made {
  Id fact;
  When when;
  journal::ContactMade said;
  /// Somebody was there or was spoken to: a message is not yet an answer.
  bool got_through() const {
    return said.outcome == journal::ContactOutcome::reached ||
           said.outcome == journal::ContactOutcome::came;
  }
  /// A call in which nobody was spoken to; one that was called off was not made.
  bool is_unanswered() const {
    return said.meeting == journal::Meeting::call && !got_through() &&
           said.outcome != journal::ContactOutcome::cancelled;
  }
};

struct Appointment {
  Id fact;
  When made;
  journal::AppointmentMade said;
  std::vector<Made> tries;    ///< that name it, and those of the same day that name none
  bool is_overtaken = false;  ///< a visit: a later one took place, and nobody said more of it
  /// Until it took place, was called off, or a later visit did.
  bool is_open() const;
};

/// What was answered with yes in a visit or a call, and no later one that got through says
/// otherwise (H10, H53). Of a hypo a later value says it too.
struct RedFlags {
  std::optional<When> low, not_eating, drowsy, ketones;  ///< since when; nothing: no
  bool any() const { return low || not_eating || drowsy || ketones; }
};

/// After so many calls in a row that nobody answered the contact person is phoned. Common practice,
/// no source.
inline constexpr std::int32_t tries_before_others = 3;
/// What says low or ill and is dated so far ahead of the clock holds from when it was recorded: the
/// hand slipped, or the clock was set (H10, H53). Ours.
inline constexpr std::chrono::hours dated_ahead{12};

/// Somebody is to ring back, and no later contact got through.
struct RingBack {
  Id fact;
  When since;
  bool ours = false;  ///< the clinic rings; else they do
  std::string who;    ///< of the clinic; empty: whoever is there
  std::optional<When> by;
};

struct Taken {
  When when;
  std::string with;
};

struct Closed {
  Id fact;
  When when;
  journal::VisitClosed said;
};

struct Stick {
  Id fact;
  When when;
  journal::Needlestick said;
};

struct Value {
  Id fact;
  When when;
  journal::GlucoseNoted said;
};

struct Hba1cValue {
  Id fact;
  journal::Hba1cNoted said;
};

struct Contacts {
  std::vector<Contact> people;            ///< to be phoned now, in the order of their roles
  std::vector<Appointment> appointments;  ///< ascending by the time agreed
  std::vector<Made> made;                 ///< ascending
  std::vector<Value> glucose;             ///< ascending
  std::vector<Hba1cValue> hba1c;          ///< ascending by the day of the sample
  std::optional<RingBack> ring_back;
  std::optional<Taken> taken;  ///< the last that was
  std::vector<Closed> visits;  ///< that were closed, ascending
  std::vector<journal::AllergyNoted> allergies;
  bool no_allergies = false;  ///< somebody asked, and there were none
  std::optional<journal::RescueNoted> rescue;
  std::vector<Stick> needlesticks;  ///< ascending

  std::vector<const Appointment*> waiting() const;
  RedFlags red_flags(Instant now) const;
  /// Calls in a row, up to the last, in which nobody was spoken to: agreed, due or neither, since
  /// somebody was last spoken to or seen.
  std::int32_t unanswered() const;
  /// The last of so many of these that the contact person is phoned. nullptr: fewer.
  const Made* unanswered_again() const;
  /// The last visit to which somebody did not come, where they were neither spoken to nor seen
  /// since, and no new time was agreed. nullptr: none.
  const Made* did_not_come() const;
  /// The last visit that was closed over what was open, with an hour, where nobody was spoken to or
  /// seen since. nullptr: none.
  const Closed* left_open() const;
  /// Who of the clinic has taken this person on: of a promise to ring back, else of what a visit
  /// left open, else of the next open appointment; whoever took them on since. Empty: nobody.
  std::string whose() const;
  /// Whom to phone where the person does not answer: who looks after them, before whoever treats
  /// them. nullptr: nobody with a number.
  const Contact* instead() const;
};

/// The same instant by the clock that the person lives by (H18): of an hour that was agreed, too.
using Told = std::function<When(const When&)>;
Contacts fold(const journal::History& history, const Told& told);

/// In what two entries cannot both be so (H22).
enum class Clash : std::uint8_t {
  glucose,      ///< two values of one minute
  hba1c,        ///< two results of one day's sample
  allergy,      ///< severe, and not
  no_allergy,   ///< none is known, after one was noted
  contact,      ///< two numbers of one person
  appointment,  ///< one day, one reason, two hours
  outcome       ///< of one minute's call or visit
};
struct Contradiction {
  Clash what = Clash::glucose;
  const journal::Effective* one = nullptr;  ///< before `other` in the history
  const journal::Effective* other = nullptr;
};
/// Each entry that says otherwise than the last one about the same.
std::vector<Contradiction> contradictions(const journal::History& history, const Told& told);

/// Whether what somebody reacts to is this insulin: one of the two names has every word of the
/// other. What is typed as "glargine", or as "insulin" and nothing else, is one, and letters of
/// another alphabet that are drawn as these are these (H61).
bool is_allergen(std::string_view typed, std::string_view insulin);

}  // namespace penstock::contacts
