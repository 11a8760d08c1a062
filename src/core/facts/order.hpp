// The prescriber's order: lines, checks, questions and answers.
// Part of the room's door; included by facts.hpp. The lists stand in order.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/facts/choices.hpp"
#include "core/facts/kind.hpp"
#include "core/units/units.hpp"

namespace penstock::facts {

struct Slot {
  static const fields::Group list;
  SlotName slot = SlotName::bedtime;
  MinuteOfDay at;                   ///< local time in the person's zone
  std::int32_t minutes_before = 0;  ///< how much earlier it may be given
  std::int32_t minutes_after = 0;
  Units units = Units::zero();
};

/// One line of a prescriber's order as it was copied; its identity is the line's. It cannot be
/// dialled before somebody else has checked it (H40).
struct OrderLineSigned {
  static constexpr std::uint16_t type = 10;
  static constexpr std::string_view name = "order line signed";
  static const KindInfo kind;
  std::int32_t order_version = 1;
  std::optional<Id> replaces;  ///< the line that this one takes the place of
  std::string insulin;         ///< generic name
  Strength strength;
  Purpose purpose = Purpose::background;
  std::vector<Slot> slots;
  Units least_units = Units::zero();  ///< a dose outside least..most is never planned (H04);
                                      ///< both zero: the order states no limits
  Units most_units = Units::zero();
  LocalDay from{};
  std::optional<LocalDay> until;  ///< last day that it holds
  std::string prescriber;
  LocalDay signed_on{};
  bool signature_owed = false;
  CopiedFrom copied_from = CopiedFrom::paper;
  std::string copied_by;
  bool read_back = false;
  std::optional<Glucose> low_limit;  ///< below it only the low is treated (H10)
  bool may_split = false;            ///< the order allows one dose in two parts
  std::string sick_day;              ///< the order's own words for a sick day (H47)
  std::string remark;
};

/// What somebody read on the original of an order, without sight of the copy (H60). Of a slot its
/// name, its time and its units count.
struct OrderReading {
  static const fields::Group list;
  std::string insulin;
  Strength strength;
  std::vector<Slot> slots;
};

/// A second person read the original, and the copy says the same (H40, H60).
struct OrderLineChecked {
  static constexpr std::uint16_t type = 11;
  static constexpr std::string_view name = "order line checked";
  static const KindInfo kind;
  Id line;
  std::string checked_by;
  OrderReading reading;             ///< empty in version 1, when the check was made beside the copy
  bool days_read = false;           ///< the two below were looked for; never before version 3
  std::optional<LocalDay> from{};   ///< the first day that the order names, if any
  std::optional<LocalDay> until{};  ///< the last one
};

struct OrderSignatureSeen {
  static constexpr std::uint16_t type = 12;
  static constexpr std::string_view name = "order signature seen";
  static const KindInfo kind;
  Id line;
};

struct OrderLineEnded {
  static constexpr std::uint16_t type = 13;
  static constexpr std::string_view name = "order line ended";
  static const KindInfo kind;
  Id line;
  LocalDay last_day{};  ///< the last day on which it holds
  std::string prescriber;
  std::string reason;
};

/// While it is open, the line has no number, on screen or paper: "ask first" (H37).
struct QuestionOpened {
  static constexpr std::uint16_t type = 14;
  static constexpr std::string_view name = "question opened";
  static const KindInfo kind;
  std::optional<Id> line;  ///< nothing: every line
  QuestionReason reason = QuestionReason::other;
  std::string text;
  std::optional<When> answer_by;
};

struct QuestionAnswered {
  static constexpr std::uint16_t type = 15;
  static constexpr std::string_view name = "question answered";
  static const KindInfo kind;
  Id question;
  AnswerKind answer = AnswerKind::other;
  std::string by;  ///< the prescriber
  std::string text;
  bool read_back = false;
};

/// What became of one slot of a line on one day, where no injection says it: taken (under another
/// line, or by who did not record it), not taken, or nobody knows (H44, H57).
struct DoseAnswered {
  static constexpr std::uint16_t type = 18;
  static constexpr std::string_view name = "dose answered";
  static const KindInfo kind;
  Id line;
  SlotName slot = SlotName::bedtime;
  LocalDay day{};
  DoseWas was = DoseWas::not_known;
  std::string text;
  /// Said of the rest of a divided dose: its last part. The slot is that of the part, or the line's
  /// first where it answers none.
  std::optional<Id> rest_of{};
};

}  // namespace penstock::facts
