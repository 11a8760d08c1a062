#include <ranges>

#include "edge/pages/journal/journal.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/pages/kit/who.hpp"
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

// What went home to read, newest first (web/src/model.ts: Leaflets).
Result<json::Value> leaflets_document(const Asked& asked) {
  const auto& words = asked.caller.words;
  const auto& person = *asked.person;
  std::vector<json::Value> rows;
  for (const auto& each : person.history.facts | std::views::reverse) {
    const auto* given = std::get_if<journal::LeafletGiven>(each.payload);
    if (given == nullptr) continue;
    rows.push_back(
        json::object({{"id", json::string(each.fact->id)},
                      {"day_text", text(words.day_year(each.happened.day()))},
                      {"leaflet", text(given->leaflet)},
                      {"edition_text", text(given->edition ? words.day_year(*given->edition) : "")},
                      {"text", text(given->text)}}));
  }
  const auto none = rows.empty() ? said(words, "leaflets.none") : std::string();
  return json::object({{"who", who_of(words, person, asked.people, now_at(person, asked.caller))},
                       {"rows", list(std::move(rows))},
                       {"none_text", text(none)}});
}

std::string leaflets_text(const json::Value& leaflets, const Words& words) {
  auto out = lines::who(at(leaflets, "who")) + lines::title(words, "cli.leaflets");
  for (const auto& row : at(leaflets, "rows").members) {
    out += line(joined({text_at(row.value, "day_text"), text_at(row.value, "leaflet"),
                        text_at(row.value, "edition_text"), text_at(row.value, "text")}));
  }
  return out + line(text_at(leaflets, "none_text"));
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
       .document = journal_document,
       .command =
           Command{.name = "show", .flag = "journal", .says = "What was recorded, newest first"},
       .text = journal_text},
      {.method = "GET",
       .pattern = "/api/people/{id}/leaflets",
       .summary = "The leaflets that went home, newest first.",
       .parameters = {person_parameter},
       .gives = "Leaflets.",
       .codes = {codes::no_person},
       .example = "/api/people/000000000000000000000000000000a1/leaflets",
       .needs = Needs::person | Needs::everybody,
       .document = leaflets_document,
       .command = Command{.name = "show",
                          .flag = "leaflets",
                          .says = "The leaflets that went home, newest first"},
       .text = leaflets_text}};
}

}  // namespace penstock::pages
