#include "edge/pages/kit/lines.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/phone/phone.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::line;
using lines::rich_at;

std::string phone_text(const json::Value& phone, const Words& words) {
  const auto& who = at(phone, "who");
  auto out = who.type == json::Type::object ? lines::who(who) : std::string();
  for (const auto& first : at(phone, "first").members) out += line(lines::plain(&first.value));
  out += card_lines(at(phone, "card"));
  const auto& back = at(phone, "read_back");
  if (back.type == json::Type::object) {
    out += line(rich_at(back, "say")) +
           line(said(words, "phone.hear_line", {arg_text("hear", rich_at(back, "hear"))}));
  }
  if (const auto& low = at(phone, "low"); low.type == json::Type::object) out += low_lines(low);
  return out;
}

constexpr std::string_view example_phone =
    R"({"pen": "reusable-whole-60", "insulin": "insulin glargine", "strength_units_per_ml": 100,
 "dose_units": "18", "left_units": "247", "days_in_use": "6", "unopened": "1",
 "prime": "seen", "spent_units": "3", "low_now": "no", "not_eating": "no", "drowsy": "no",
 "ketones": "not measured", "travelling": "no", "last_dose": "23"})";
constexpr std::string_view example_reach =
    R"({"zone": "thigh", "needle_mm": "6", "angle_deg": "90", "fold": false, "people": "adults"})";

Result<json::Value> form_document(const Asked& asked) {
  return phone_form(asked.clinic, asked.caller);
}

Result<json::Value> phone_document(const Asked& asked) {
  const auto body = body_of(asked.given);
  if (!body) return body.error();
  const auto call = read_phone_call(*body, asked.clinic);
  if (!call) return call.error();
  const auto* of_person = std::get_if<PersonCall>(&*call);
  if (of_person == nullptr)
    return phone_answer(std::get<interlock::Call>(*call), asked.clinic, asked.caller);
  const auto person = asked.chart(of_person->person);
  if (!person) return person.error();
  return phone_answer(*of_person, **person, asked.people, asked.clinic, asked.caller, asked.new_id);
}

Result<json::Value> reach_form_document(const Asked& asked) {
  return phone_reach_form(asked.clinic, asked.caller);
}

Result<json::Value> reach_document(const Asked& asked) {
  const auto body = body_of(asked.given);
  if (!body) return body.error();
  return phone_reach_answer(*body, asked.caller);
}

Row phone_row() {
  return {.method = "POST",
          .pattern = "/api/phone",
          .summary = "Answers a caller: this much is left, this is the dose.",
          .takes = "PhoneAsk.",
          .body = Body::json,
          .gives = "PhoneAnswer.",
          .example = "/api/phone",
          .example_body = example_phone,
          .document = phone_document,
          .command = Command{.name = "phone",
                             .says = "Answers a caller: this much is left, this is the dose"},
          .text = phone_text};
}

Row reach_row() {
  return {.method = "POST",
          .pattern = "/api/phone/reach",
          .summary = "Where a needle ends, without a person: nobody's record is read or written.",
          .takes = "ReachAsk.",
          .body = Body::json,
          .gives = "ReachAnswer.",
          .example = "/api/phone/reach",
          .example_body = example_reach,
          .document = reach_document};
}

}  // namespace

std::vector<Row> phone_rows() {
  return {{.method = "GET",
           .pattern = "/api/phone",
           .summary = "What the phone desk's form offers.",
           .gives = "PhoneForm.",
           .example = "/api/phone",
           .screens = {"/phone"},
           .document = form_document},
          phone_row(),
          {.method = "GET",
           .pattern = "/api/phone/reach",
           .summary = "What the phone desk asks about a needle.",
           .gives = "ReachForm.",
           .example = "/api/phone/reach",
           .document = reach_form_document},
          reach_row()};
}

}  // namespace penstock::pages
