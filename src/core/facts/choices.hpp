// The closed lists that people choose from in a fact, each with its words beside it; the order is
// the order of the enumerators, and is for ever: stored facts hold the number. PENSTOCK_SAID: what
// the names of the words begin with in the catalogue, "flow/seen".
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

namespace penstock::facts {

#define PENSTOCK_NAMES(Enum, ...)                                                      \
  inline constexpr auto Enum##_names = std::to_array<std::string_view>({__VA_ARGS__}); \
  constexpr std::span<const std::string_view> names_of(Enum) { return Enum##_names; }

#define PENSTOCK_SAID(Enum, names) \
  constexpr std::string_view said_as(Enum) { return names; }

/// A value of such a list, as facts and the catalogue write it.
template <class Enum>
constexpr std::string_view word(Enum value) {
  return names_of(value)[static_cast<std::size_t>(value)];
}

enum class Purpose : std::uint8_t { background, mealtime, correction, premixed };
PENSTOCK_NAMES(Purpose, "background", "mealtime", "correction", "premixed")

enum class SlotName : std::uint8_t {
  breakfast,
  lunch,
  supper,
  bedtime,
  morning,
  afternoon,
  evening,
  night
};
PENSTOCK_NAMES(SlotName, "breakfast", "lunch", "supper", "bedtime", "morning", "afternoon",
               "evening", "night")
PENSTOCK_SAID(SlotName, "slot/")

enum class CopiedFrom : std::uint8_t { paper, telephone, electronic };
PENSTOCK_NAMES(CopiedFrom, "paper", "telephone", "electronic")

enum class DiabetesKind : std::uint8_t { unknown, type_1, type_2, gestational, other };
PENSTOCK_NAMES(DiabetesKind, "unknown", "type 1", "type 2", "gestational", "other")

/// The unknown is a value: nothing is assumed from silence.
enum class YesNo : std::uint8_t { unknown, no, yes };
PENSTOCK_NAMES(YesNo, "unknown", "no", "yes")
PENSTOCK_SAID(YesNo, "yes/")
inline constexpr std::string_view yes_first[] = {"yes", "no", "unknown"};  // as people ask

enum class Injector : std::uint8_t { unknown, self, carer, school_nurse, district_nurse, clinic };
PENSTOCK_NAMES(Injector, "unknown", "self", "carer", "school nurse", "district nurse", "clinic")
PENSTOCK_SAID(Injector, "by/")

enum class Ability : std::uint8_t { unknown, full, reduced, none };
PENSTOCK_NAMES(Ability, "unknown", "full", "reduced", "none")

enum class Flow : std::uint8_t { unknown, seen, not_seen };
PENSTOCK_NAMES(Flow, "unknown", "seen", "not seen")
PENSTOCK_SAID(Flow, "flow/")

/// How an injection ended. Unknown stays unknown, and is never "repeat the dose" (H44).
enum class Outcome : std::uint8_t { whole, part, unknown };
PENSTOCK_NAMES(Outcome, "whole", "part", "unknown")
PENSTOCK_SAID(Outcome, "outcome/")

/// What somebody says of a dose that was due and is not on record, or perhaps is (H57).
enum class DoseWas : std::uint8_t { taken, not_taken, not_known };
PENSTOCK_NAMES(DoseWas, "taken", "not taken", "not known")
PENSTOCK_SAID(DoseWas, "dose-was/")

enum class ThrowReason : std::uint8_t {
  empty,
  rest_too_small,
  past_in_use,
  heat,
  frozen,
  cloudy_or_clumped,
  damaged,
  shared,
  lost,
  returned,
  other
};
PENSTOCK_NAMES(ThrowReason, "empty", "rest too small", "past in use", "heat", "frozen",
               "cloudy or clumped", "damaged", "shared", "lost", "returned", "other")
PENSTOCK_SAID(ThrowReason, "throw/")

/// Why a pen is not there any more.
enum class PenEnd : std::uint8_t { lost, broken, handed_back, other };
PENSTOCK_NAMES(PenEnd, "lost", "broken", "handed back", "other")
PENSTOCK_SAID(PenEnd, "pen-end/")

enum class Disposal : std::uint8_t { unknown, sharps_container, elsewhere };
PENSTOCK_NAMES(Disposal, "unknown", "sharps container", "elsewhere")
PENSTOCK_SAID(Disposal, "disposal/")

enum class AnswerKind : std::uint8_t { keep_dose, new_order, stop, other };
PENSTOCK_NAMES(AnswerKind, "keep the dose", "new order follows", "stop", "other")
PENSTOCK_SAID(AnswerKind, "answer/")

enum class QuestionReason : std::uint8_t {
  lows,
  hardened_tissue,
  heat,
  missed_dose,
  part_dose,
  shared_pen,
  past_in_use,
  sick_day,
  travel,
  other
};
PENSTOCK_NAMES(QuestionReason, "lows", "hardened tissue", "heat", "missed dose", "part dose",
               "shared pen", "past in use", "sick day", "travel", "other")
PENSTOCK_SAID(QuestionReason, "reason/")

/// What was taught and taught back.
enum class Skill : std::uint8_t {
  injection,
  split_dose,
  needle,
  mixing,
  low_treatment,
  window_table
};
PENSTOCK_NAMES(Skill, "injection", "split dose", "needle", "mixing", "low treatment",
               "window table")
PENSTOCK_SAID(Skill, "skill/")

enum class Sex : std::uint8_t { unknown, female, male };
PENSTOCK_NAMES(Sex, "unknown", "female", "male")
PENSTOCK_SAID(Sex, "sex/")

/// What makes an area one to keep off.
enum class Tissue : std::uint8_t {
  hardened,  ///< lipohypertrophy
  dent,      ///< lipoatrophy
  scar,
  bruise,
  inflamed,
  pregnancy,
  other
};
PENSTOCK_NAMES(Tissue, "hardened", "dent", "scar", "bruise", "inflamed", "pregnancy", "other")
PENSTOCK_SAID(Tissue, "tissue/")

enum class AreaVerdict : std::uint8_t { keep_off, may_be_used };
PENSTOCK_NAMES(AreaVerdict, "keep off", "may be used")
PENSTOCK_SAID(AreaVerdict, "verdict/")

enum class Light : std::uint8_t { unknown, daylight, lamp_from_the_side, room_light };
PENSTOCK_NAMES(Light, "unknown", "daylight", "lamp from the side", "room light")
PENSTOCK_SAID(Light, "light/")

enum class Posture : std::uint8_t { unknown, lying, standing, sitting };
PENSTOCK_NAMES(Posture, "unknown", "lying", "standing", "sitting")
PENSTOCK_SAID(Posture, "posture/")

/// When the plan goes on to the next zone of a part of the body.
enum class Turn : std::uint8_t { each_injection, each_week };
PENSTOCK_NAMES(Turn, "each injection", "each week")
PENSTOCK_SAID(Turn, "turn/")

/// How much doses differ from one day to the next, for the cover.
enum class DoseSpread : std::uint8_t { as_ordered, order_range, from_journal };
PENSTOCK_NAMES(DoseSpread, "as ordered", "the order's range", "from the journal")
PENSTOCK_SAID(DoseSpread, "spread/")

enum class Measured : std::uint8_t { weighed, counted };
PENSTOCK_NAMES(Measured, "weighed", "counted")
PENSTOCK_SAID(Measured, "measured/")

/// What a talk about differing accounts came to.
enum class Explained : std::uint8_t {
  not_known,
  missed_doses,
  double_doses,
  primes_left_out,
  extra_priming,
  cartridge_thrown_early,
  cartridge_lost,
  diary_later,
  shared,
  other
};
PENSTOCK_NAMES(Explained, "not known", "missed doses", "double doses", "primes left out",
               "extra priming", "cartridge thrown away early", "cartridge lost",
               "diary written later", "shared", "other")
PENSTOCK_SAID(Explained, "explained/")

enum class StockWay : std::uint8_t { handed_out, came_back, destroyed, lost };
PENSTOCK_NAMES(StockWay, "handed out", "came back", "destroyed", "lost")
PENSTOCK_SAID(StockWay, "way/")

enum class CallOutcome : std::uint8_t { not_reached, reached, replaced };
PENSTOCK_NAMES(CallOutcome, "not reached", "reached", "replaced")
PENSTOCK_SAID(CallOutcome, "call/")

enum class Weekday : std::uint8_t {
  monday,
  tuesday,
  wednesday,
  thursday,
  friday,
  saturday,
  sunday
};
PENSTOCK_NAMES(Weekday, "monday", "tuesday", "wednesday", "thursday", "friday", "saturday",
               "sunday")

enum class ContactRole : std::uint8_t {
  prescriber,
  carer,
  parent,
  next_of_kin,
  school_nurse,
  district_nurse,
  pharmacy,
  out_of_hours,
  other
};
PENSTOCK_NAMES(ContactRole, "prescriber", "carer", "parent", "next of kin", "school nurse",
               "district nurse", "pharmacy", "out of hours", "other")
PENSTOCK_SAID(ContactRole, "contact/")

enum class Meeting : std::uint8_t { visit, call };
PENSTOCK_NAMES(Meeting, "visit", "call")
PENSTOCK_SAID(Meeting, "meeting/")

/// What a visit or a call is for.
enum class MeetingWhy : std::uint8_t {
  review,
  first_week,
  strength_changed,
  dose_changed,
  hardened_tissue_left,
  after_low,
  ring_back,
  supplies,
  teaching,
  other
};
PENSTOCK_NAMES(MeetingWhy, "review", "first week", "strength changed", "dose changed",
               "hardened tissue left", "after a low", "ring back", "supplies", "teaching", "other")
PENSTOCK_SAID(MeetingWhy, "meeting-why/")

enum class ContactOutcome : std::uint8_t {
  reached,
  no_answer,
  message_left,
  wrong_number,
  came,
  did_not_come,
  cancelled
};
PENSTOCK_NAMES(ContactOutcome, "reached", "no answer", "message left", "wrong number", "came",
               "did not come", "cancelled")
PENSTOCK_SAID(ContactOutcome, "outcome-of-contact/")

/// What a meter shows where it can measure no number: below its range, above it.
enum class MeterWord : std::uint8_t { none, lo, hi };
PENSTOCK_NAMES(MeterWord, "none", "LO", "HI")
PENSTOCK_SAID(MeterWord, "meter-word/")

enum class RingsBack : std::uint8_t { nobody, they, we };
PENSTOCK_NAMES(RingsBack, "nobody", "they", "we")
PENSTOCK_SAID(RingsBack, "rings-back/")

/// How a step of an injection was done in front of somebody.
enum class Judged : std::uint8_t { alone, after_a_hint, not_done };
PENSTOCK_NAMES(Judged, "alone", "after a hint", "not done")
PENSTOCK_SAID(Judged, "judged/")

/// A step of an injection as a card shows it, whatever pen and dose.
enum class HandStep : std::uint8_t {
  other,
  taken,
  pen,
  look,
  mix,
  insulin,
  change,
  needle,
  prime,
  dial,
  inject,
  hold,
  off,
  throw_away
};
PENSTOCK_NAMES(HandStep, "other", "taken", "pen", "look", "mix", "insulin", "change", "needle",
               "prime", "dial", "inject", "hold", "off", "throw")
PENSTOCK_SAID(HandStep, "hand-step/")

enum class Pricked : std::uint8_t { person, carer, staff, other };
PENSTOCK_NAMES(Pricked, "person", "carer", "staff", "other")
PENSTOCK_SAID(Pricked, "pricked/")

}  // namespace penstock::facts
