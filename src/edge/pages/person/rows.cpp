#include "edge/pages/kit/lines.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/person/assessment.hpp"
#include "edge/pages/person/person.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string ask_lines(const json::Value& ask) {
  return line(joined({text_at(ask, "time_text"), text_at(ask, "purpose"), text_at(ask, "title")}),
              "") +
         line(rich_at(ask, "text")) + line(text_at(ask, "by_text")) +
         line(text_at(ask, "phone_text"));
}

std::string order_lines(const json::Value& order, const Words& words) {
  auto out = lines::title(words, "cli.order") + line(text_at(order, "version_text"));
  for (const auto& each : at(order, "lines").members) {
    const auto& row = each.value;
    out += line(joined({text_at(row, "purpose"), text_at(row, "insulin"),
                        text_at(row, "strength_text"), rich_at(row, "doses")}));
    out += line(joined({text_at(row, "dates"), text_at(row, "copied"), text_at(row, "checked"),
                        text_at(row, "state_text"), text_at(row, "id")}),
                "    ");
  }
  return out + line(rich_at(at(order, "empty"), "text"));
}

// What a later request has to name.
std::string identity(const Words& words, std::string_view key, const json::Value& thing) {
  return words.text(key, {arg_text("id", text_at(thing, "id"))});
}

std::string pen_lines(const json::Value& pen, const Words& words) {
  auto out = line(joined({text_at(pen, "insulin"), text_at(pen, "strength_text"),
                          text_at(pen, "pen_name"), text_at(pen, "window_text")}));
  const auto& cartridge = at(pen, "cartridge");
  if (cartridge.type == json::Type::object) {
    out += line(joined({text_at(cartridge, "left_text") + " " + text_at(cartridge, "left_unit"),
                        rich_at(cartridge, "in_use"), rich_at(cartridge, "after"),
                        text_at(cartridge, "lot_text")}),
                "    ");
    out += line(rich_at(cartridge, "sums"), "    ");
    out += line(identity(words, "cli.cartridge_id", cartridge), "    ");
  }
  out += line(rich_at(at(pen, "empty"), "text"), "    ");
  out += line(text_at(at(pen, "sealed"), "text"), "    ");
  out += line(identity(words, "cli.pen_id", pen), "    ");
  return out + lines::notices(at(pen, "notices"));
}

std::string person_text(const json::Value& person, const Words& words) {
  auto out = lines::who(at(person, "who")) + lines::notices(at(person, "notices"));
  out += lines::title(words, "cli.next");
  const auto& next = at(person, "next");
  if (next.type == json::Type::object) out += card_lines(next);
  for (const auto& ask : at(person, "asks").members) out += ask_lines(ask.value);
  for (const auto& later : at(person, "later").members) {
    out += line(joined({text_at(later.value, "time_text"), rich_at(later.value, "text")}));
  }
  out += low_lines(at(person, "low"));
  out += order_lines(at(person, "order"), words);
  out += lines::title(words, "cli.pens");
  for (const auto& pen : at(person, "pens").members) out += pen_lines(pen.value, words);
  for (const auto& supply : at(person, "supplies").members)
    out += line(lines::plain(&supply.value));
  out += lines::title(words, "cli.background");
  for (const auto& row : at(person, "background").members) {
    out += line(joined({text_at(row.value, "label"), text_at(row.value, "value")}, ": "));
  }
  return out;
}

Result<json::Value> person_document(const Asked& asked) {
  return person_page(*asked.person, asked.people, asked.clinic, asked.caller, asked.elsewhere,
                     asked.new_id);
}

std::string assessment_text(const json::Value& assessment, const Words& words) {
  std::string out;
  for (const auto& row : at(assessment, "known").members) {
    const bool known = at(row.value, "known").flag;
    out += line(joined({text_at(row.value, "label"),
                        known ? text_at(row.value, "value") : words.text("background.not_asked")},
                       ": "),
                "");
  }
  out += lines::title(words, "cli.contacts");
  for (const auto& one : at(assessment, "contacts").members) {
    out += line(joined({text_at(one.value, "role"), text_at(one.value, "name")}, ": "));
    for (const auto& phone : at(one.value, "phones").members) out += line(phone.value.text, "    ");
    out += line(text_at(one.value, "text"), "    ");
  }
  out += line(text_at(assessment, "nobody_text"));
  out += lines::title(words, "cli.calls");
  for (const auto& call : at(assessment, "calls").members)
    out += line(joined({text_at(call.value, "when_text"), rich_at(call.value, "what"),
                        text_at(call.value, "text")}));
  return out;
}

Result<json::Value> assessment_document(const Asked& asked) {
  return assessment_page(*asked.person, asked.caller);
}

}  // namespace

std::vector<Row> person_rows() {
  return {
      {.method = "GET",
       .pattern = "/api/people/{id}",
       .summary = "A person's page: next injection, order, pens.",
       .parameters = {person_parameter},
       .gives = "Person.",
       .codes = {codes::no_person},
       .example = "/api/people/000000000000000000000000000000a1",
       .needs = Needs::person | Needs::everybody | Needs::elsewhere,
       .document = person_document,
       .command = Command{.name = "show", .says = "A person: next injection, order, pens"},
       .text = person_text},
      {.method = "GET",
       .pattern = "/api/people/{id}/assessment",
       .summary = "Allergies, what is at home for a severe low, whom to phone, calls and visits.",
       .parameters = {person_parameter},
       .gives = "Assessment.",
       .codes = {codes::no_person},
       .example = "/api/people/000000000000000000000000000000a1/assessment",
       .needs = Needs::person,
       .of_closed = true,
       .document = assessment_document,
       .command = Command{.name = "show",
                          .flag = "assessment",
                          .says = "Allergies, whom to phone, calls and visits"},
       .text = assessment_text}};
}

}  // namespace penstock::pages
