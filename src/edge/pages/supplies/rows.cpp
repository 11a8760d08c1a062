#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/supplies/supplies.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string supplies_text(const json::Value& supplies, const Words& words) {
  auto out = lines::who(at(supplies, "who"));
  const auto& cover = at(supplies, "cover");
  out += lines::title(words, "cli.cover");
  for (const auto& row : at(cover, "rows").members) {
    out += line(joined({text_at(row.value, "name"), text_at(row.value, "stock_text")}));
    out += line(rich_at(row.value, "text"), "    ");
  }
  out += lines::notices(at(cover, "notices"));
  out += line(text_at(cover, "defer"));
  out += lines::title(words, "cli.at_home");
  for (const auto& row : at(supplies, "at_home").members) {
    out += line(joined({text_at(row.value, "name"), rich_at(row.value, "text")}, ": "));
  }
  for (const auto& one : at(supplies, "history").members) out += line(lines::plain(&one.value));
  out += line(rich_at(at(supplies, "sharps"), "text"));
  return out;
}

Result<json::Value> supplies_document(const Asked& asked) {
  return supplies_page(*asked.person, asked.people, asked.clinic, asked.caller, asked.new_id);
}

}  // namespace

std::vector<Row> supplies_rows() {
  return {{.method = "GET",
           .pattern = "/api/people/{id}/supplies",
           .summary =
               "Supplies: how long they last, when to ask, what is at home, the sharps box, the "
               "accounts.",
           .parameters = {person_parameter},
           .gives = "SuppliesPage.",
           .codes = {codes::no_person},
           .example = "/api/people/000000000000000000000000000000a1/supplies",
           .needs = Needs::person | Needs::everybody,
           .document = supplies_document,
           .command = Command{.name = "show",
                              .flag = "supplies",
                              .says = "How long supplies last, when to request more"},
           .text = supplies_text}};
}

}  // namespace penstock::pages
