// The phone desk: a number to say while somebody is on the line, and what was said, to be heard
// back; where a needle ends (web/src/model.ts: PhoneForm, PhoneAnswer, ReachAsk, ReachAnswer).
// With a person the record says what is due, from which pen and cartridge, and the desk obeys it
// (H53); without one the red-flag questions come first. Nothing is recorded here.
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "core/interlock/interlock.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

namespace codes {
inline constexpr std::string_view phone_on_record = "phone.on_record";  // [field]
inline constexpr std::string_view phone_other_pen = "phone.other_pen";  // [named, recorded] H02
inline constexpr std::string_view phone_dose_differs = "phone.dose_differs";  // [dose, again] H25
}  // namespace codes

/// About somebody on record. What is said beside the record must agree with it.
struct PersonCall {
  Id person;
  std::string insulin;            ///< which of their insulins; empty: whichever is next
  std::optional<shelf::Pen> pen;  ///< in their hand, as they say; nothing: not said
  interlock::SaidOfDose said;
};
using PhoneCall = std::variant<PersonCall, interlock::Call>;

json::Value phone_form(const Clinic& clinic, const Caller& caller);
/// What a form sent. Errors: a field's form or range; a pen or insulin that is not on the shelf;
/// codes::phone_dose_differs; codes::phone_on_record: a prime or needle of somebody on record,
/// which is recorded.
Result<PhoneCall> read_phone_call(const json::Value& request, const Clinic& clinic);
json::Value phone_answer(const interlock::Call& call, const Clinic& clinic, const Caller& caller);
/// Error: codes::phone_other_pen.
Result<json::Value> phone_answer(const PersonCall& call, const Chart& person, const People& people,
                                 const Clinic& clinic, const Caller& caller, const NewId& new_id);

json::Value phone_reach_form(const Clinic& clinic, const Caller& caller);
/// Reach without a person: nobody's record is read. Errors: those of a reach request.
Result<json::Value> phone_reach_answer(const json::Value& asked, const Caller& caller);

std::vector<Row> phone_rows();

}  // namespace penstock::pages
