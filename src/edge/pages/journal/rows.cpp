#include "edge/pages/journal/journal.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string journal_text(const json::Value& journal, const Words& words) {
  auto out = lines::who(at(journal, "who")) + lines::title(words, "cli.journal");
  out += line(text_at(journal, "count_text"), "");
  std::string day;
  for (const auto& row : at(journal, "rows").members) {
    if (const auto here = text_at(row.value, "day_text"); here != day) {
      day = here;
      out += day + "\n";
    }
    out += line(joined({text_at(row.value, "when_text"), rich_at(row.value, "sentence"),
                        text_at(row.value, "by_text")}));
    out += line(text_at(row.value, "state_text"), "    ");
    out += line(text_at(row.value, "id"), "    ");
  }
  return out + line(text_at(journal, "chain_text"), "");
}

Result<json::Value> journal_document(const Asked& asked) {
  return journal_page(*asked.person, asked.people, asked.clinic, asked.caller,
                      page_of(asked.given));
}

}  // namespace

std::vector<Row> journal_rows() {
  return {
      {.method = "GET",
       .pattern = "/api/people/{id}/journal",
       .summary = "Everything recorded, newest first.",
       .parameters = {page_parameter, person_parameter},
       .gives = "Journal.",
       .codes = {codes::no_person},
       .example = "/api/people/000000000000000000000000000000a1/journal?page=1",
       .needs = Needs::person | Needs::everybody,
       .of_closed = true,
       .document = journal_document,
       .command =
           Command{.name = "show", .flag = "journal", .says = "What was recorded, newest first"},
       .text = journal_text}};
}

}  // namespace penstock::pages
