#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/stock/recall.hpp"
#include "edge/pages/today/today.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string clinic_text(const json::Value& clinic, const Words&) {
  return joined({text_at(clinic, "clinic"), text_at(clinic, "user"), text_at(clinic, "zone")}) +
         "\n" + line(joined({text_at(clinic, "phone"), text_at(clinic, "emergency")}), "") +
         line(text_at(clinic, "now_text"), "") + line(text_at(clinic, "defer"), "") +
         line(text_at(clinic, "program"), "");
}

std::string need_text(const json::Value& need, const Words& words) {
  auto out =
      line(joined({text_at(need, "level_word"), text_at(need, "by"), rich_at(need, "sentence")}));
  const auto whose = text_at(need, "whose");
  if (!whose.empty()) {
    out += line(
        joined({rich_at(need, "phone"), rich_at(need, "last"),
                words.text("cli.today_whose", {arg_text("who", whose)}), text_at(need, "others")}),
        "    ");
  }
  out += line(rich_at(need, "instead"), "    ");
  for (const auto& also : at(need, "also").members)
    out += line(joined({text_at(also.value, "level_word"), rich_at(also.value, "text")}), "    ");
  return out;
}

std::string open_text(const json::Value& today) {
  std::string out;
  for (const auto& one : at(today, "open").members) {
    out += line(joined({text_at(one.value, "things"), text_at(one.value, "reason"),
                        text_at(one.value, "oldest"), text_at(one.value, "whose")}));
  }
  return out.empty() ? out : "\n" + line(rich_at(today, "open_title"), "") + out;
}

std::string today_text(const json::Value& today, const Words& words) {
  auto out = line(rich_at(today, "headline"), "") + line(rich_at(today, "sub"), "");
  for (const auto& group : at(today, "groups").members) {
    out += "\n" + line(text_at(group.value, "title"), "");
    for (const auto& need : at(group.value, "needs").members) out += need_text(need.value, words);
  }
  const auto& empty = at(today, "empty");
  out += line(text_at(empty, "title"), "") + line(rich_at(empty, "text"), "");
  return out + line(text_at(today, "more"), "") + open_text(today);
}

std::string people_text(const json::Value& people, const Words& words) {
  auto out = line(text_at(people, "count_text"), "");
  for (const auto& row : at(people, "people").members) {
    out += joined({text_at(row.value, "name"), text_at(row.value, "born_text"),
                   text_at(row.value, "age_text"), text_at(row.value, "number")}) +
           "\n";
    out += line(rich_at(row.value, "state"), "    ");
    out += line(text_at(row.value, "alike_text"), "    ");
  }
  const auto& empty = at(people, "empty");
  out += line(text_at(empty, "title"), "") + line(rich_at(empty, "text"), "");
  const auto pages = text_at(people, "pages");
  if (!pages.empty() && pages != "0" && pages != "1") {
    out += words.text("cli.page_of",
                      {arg_text("page", text_at(people, "page")), arg_text("pages", pages)}) +
           "\n";
  }
  return out;
}

Result<json::Value> clinic_document(const Asked& asked) {
  return clinic_page(asked.clinic, asked.caller, asked.zone_names(), asked.program);
}

Result<json::Value> today_document(const Asked& asked) {
  const auto recalls = recalls_open(asked.clinic, asked.tagged);
  if (!recalls) return recalls.error();
  const auto reason = asked.given.text("reason"), whose = asked.given.text("whose");
  return today_page(asked.people, *recalls, {reason, whose, page_of(asked.given), asked.incomplete},
                    asked.clinic, asked.caller);
}

Result<json::Value> people_document(const Asked& asked) {
  return people_page(asked.people, asked.given.text("q"), page_of(asked.given), asked.clinic,
                     asked.caller, asked.folded);
}

}  // namespace

std::vector<Row> today_rows() {
  return {
      {.method = "GET",
       .pattern = "/api/clinic",
       .summary = "Clinic, user, clock and what every page shares.",
       .gives = "Clinic.",
       .example = "/api/clinic",
       .screens = {"/start"},
       .needs = Needs::clinic,
       .document = clinic_document,
       .text = clinic_text},
      {.method = "GET",
       .pattern = "/api/today",
       .summary = "Lists who needs attention, and why.",
       .parameters = {{.name = "reason",
                       .says = "only things of one reason, all of them; left out: Today"},
                      {.name = "whose",
                       .says = "“me”: what is yours to follow up, and what cannot wait"},
                      page_parameter},
       .gives = "Today.",
       .codes = {codes::clinic_unnamed},
       .example = "/api/today",
       .screens = {"/"},
       .needs = Needs::everybody | Needs::lots,
       .document = today_document,
       .command = Command{.name = "today", .says = "Lists who needs attention, and why"},
       .text = today_text},
      {.method = "GET",
       .pattern = "/api/people",
       .summary = "People, by name.",
       .parameters = {{.name = "q",
                       .says = "parts of a name, birth date or number",
                       .word = "QUERY"},
                      page_parameter},
       .gives = "People.",
       .codes = {codes::clinic_unnamed},
       .example = "/api/people?q=noor&page=1",
       .screens = {"/people", "/people/"},
       .needs = Needs::everybody,
       .document = people_document,
       .command = Command{.name = "people", .says = "Finds people by name, birth date or number"},
       .text = people_text},
  };
}

}  // namespace penstock::pages
