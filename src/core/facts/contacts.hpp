// Visits and calls, whom to phone, what was said and measured there.
// Part of the room's door; included by facts.hpp. The lists stand in contacts.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

/// Whom to phone about a person. The last of a role and name holds.
struct ContactNoted {
  static constexpr std::uint16_t type = 47;
  static constexpr std::string_view name = "contact noted";
  static const KindInfo kind;
  ContactRole role = ContactRole::prescriber;
  std::string full_name;
  std::string phone;
  std::string other_phone;
  std::string text;
  bool former = false;  ///< is not to be phoned any more
};

/// A visit or a call that was agreed. Another time for it is a correction; what became of it is a
/// ContactMade that names it.
struct AppointmentMade {
  static constexpr std::uint16_t type = 48;
  static constexpr std::string_view name = "appointment made";
  static const KindInfo kind;
  Meeting meeting = Meeting::visit;
  When at;
  MeetingWhy why = MeetingWhy::review;
  std::string with;  ///< who of the clinic; empty: whoever is there
  std::string text;
};

/// What became of a visit or a call, agreed before or not; of a call what was asked first, in the
/// order of the telephone's own questions (H10).
struct ContactMade {
  static constexpr std::uint16_t type = 49;
  static constexpr std::string_view name = "contact made";
  static const KindInfo kind;
  Meeting meeting = Meeting::call;
  ContactOutcome outcome = ContactOutcome::reached;
  std::optional<Id> appointment;
  std::string spoke_to;  ///< if it was not the person
  std::string number;    ///< that was dialled, or rang
  YesNo low = YesNo::unknown;
  YesNo not_eating = YesNo::unknown;  ///< vomiting, or not eating
  YesNo drowsy = YesNo::unknown;
  YesNo ketones = YesNo::unknown;
  std::string said;
  std::string advised;
  RingsBack rings_back = RingsBack::nobody;
  std::string ring_back_who;  ///< who of the clinic
  std::optional<When> ring_back_by;
};

/// Somebody of the clinic has taken this person on: what is open about them is theirs to follow up,
/// until somebody else takes it on or a later appointment, promise or visit names another.
struct FollowUpTaken {
  static constexpr std::uint16_t type = 87;
  static constexpr std::string_view name = "follow-up taken";
  static const KindInfo kind;
  std::string with;  ///< who of the clinic
};

/// A glucose value, the word that a meter shows instead of one, or a low that somebody felt or had
/// help with and nobody measured.
struct GlucoseNoted {
  static constexpr std::uint16_t type = 56;
  static constexpr std::string_view name = "glucose noted";
  static const KindInfo kind;
  std::optional<Glucose> value;
  YesNo felt = YesNo::unknown;         ///< signs of a low
  YesNo needed_help = YesNo::unknown;  ///< of somebody else, to treat it
  std::string helped_by;
  std::string before;                 ///< what came before it
  MeterWord meter = MeterWord::none;  ///< never beside a value
};

/// An HbA1c that a laboratory or a desk device measured.
struct Hba1cNoted {
  static constexpr std::uint16_t type = 64;
  static constexpr std::string_view name = "hba1c noted";
  static const KindInfo kind;
  Hba1c value;
  LocalDay sampled_on{};
  std::string where_from;  ///< laboratory, letter, device at the desk
};

/// How one step of an injection that somebody watched was done.
struct StepJudged {
  static constexpr std::uint16_t type = 57;
  static constexpr std::string_view name = "step judged";
  static const KindInfo kind;
  std::optional<Id> line;         ///< whose injection it was
  std::string step;               ///< its title, as it stood on the card
  HandStep of = HandStep::other;  ///< which step that is, whatever its title
  Judged how = Judged::alone;
  std::string text;
};

/// A visit ended. What was open then is somebody's, until an hour.
struct VisitClosed {
  static constexpr std::uint16_t type = 58;
  static constexpr std::string_view name = "visit closed";
  static const KindInfo kind;
  When began;
  std::string text;            ///< what the nurse adds; the rest of the note is worked out
  std::string left_open_with;  ///< who has what is still open; empty: nothing was
  std::optional<When> left_open_by;
};

/// What somebody reacts to; or that nothing is known of.
struct AllergyNoted {
  static constexpr std::uint16_t type = 61;
  static constexpr std::string_view name = "allergy noted";
  static const KindInfo kind;
  std::string to;  ///< empty: none is known
  std::string reaction;
  YesNo severe = YesNo::unknown;
};

/// What is in the house for a severe low and for ketones, as it is from now on, whole.
struct RescueNoted {
  static constexpr std::uint16_t type = 62;
  static constexpr std::string_view name = "rescue noted";
  static const KindInfo kind;
  YesNo glucagon = YesNo::unknown;
  std::optional<LocalDay> glucagon_expires;
  std::string taught;  ///< who was shown how to give it
  YesNo ketone_testing = YesNo::unknown;
};

/// Somebody was pricked by a used needle.
struct Needlestick {
  static constexpr std::uint16_t type = 63;
  static constexpr std::string_view name = "needlestick";
  static const KindInfo kind;
  Pricked who = Pricked::person;
  std::string done;            ///< at once, and who was told
  std::string follow_up_with;  ///< who sees to the follow-up of the exposure: occupational health
  std::optional<LocalDay> follow_up_done;
};

}  // namespace penstock::facts
