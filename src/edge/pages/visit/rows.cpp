#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/visit/visit.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string visit_text(const json::Value& visit, const Words&) {
  auto out = line(joined({text_at(visit, "since_title"), text_at(visit, "last_text")}), "");
  for (const auto& row : at(visit, "since").members)
    out += line(joined({text_at(row.value, "word"), rich_at(row.value, "text")}));
  out += "\n";
  for (const auto& todo : at(visit, "todo").members) {
    const auto& choices = at(todo.value, "choices").members;
    if (!choices.empty())
      out += line(joined({text_at(todo.value, "label"), rich_at(choices.front().value, "text")}));
  }
  out += "\n" + line(text_at(visit, "note_text"), "");
  for (const auto& row : at(visit, "note").members) {
    out += line(joined(
        {text_at(row.value, "label"), rich_at(row.value, "text"), text_at(row.value, "source")}));
  }
  return out;
}

Result<json::Value> visit_document(const Asked& asked) {
  return visit_page(*asked.person, asked.clinic, asked.caller);
}

}  // namespace

std::vector<Row> visit_rows() {
  return {{.method = "GET",
           .pattern = "/api/people/{id}/visit",
           .summary = "What changed since the last visit, what to do at this one, and its note.",
           .parameters = {person_parameter},
           .gives = "Visit.",
           .codes = {codes::no_person},
           .example = "/api/people/000000000000000000000000000000a1/visit",
           .screens = {"/people/"},
           .needs = Needs::person,
           .document = visit_document,
           .command = Command{.name = "show",
                              .flag = "visit",
                              .says = "Changes since the last visit, and its note"},
           .text = visit_text}};
}

}  // namespace penstock::pages
