#include "shell/whom/whom.hpp"

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/today/today.hpp"
#include "shell/names/names.hpp"
#include "shell/rows/rows.hpp"

namespace penstock::whom {

std::string told_apart(const std::vector<const summary::Row*>& people,
                       const words::Catalogue& words) {
  std::string all;
  for (const auto* row : people) {
    all += (all.empty() ? "" : "; ") + row->full_name + ", " + words.day_year(row->born) + ", " +
           row->number;
  }
  return all;
}

Result<Id> meant(const summary::People& people, std::string_view wanted, Finding finding,
                 const words::Catalogue& words) {
  if (is_blank(wanted)) return Error{Kind::invalid_input, std::string(codes::search_short), {}, ""};
  const auto number = rows::key_of(wanted);
  std::vector<const summary::Row*> found;
  for (const auto& row : people) {
    if (summary::same_number(row.number_key, number)) found.push_back(&row);
  }
  const bool in_full = !found.empty();
  if (!in_full) {
    for (const auto place : pages::matching(words, people, wanted, names::folded))
      found.push_back(&people[place]);
  }
  if (found.empty()) {
    return Error{
        Kind::not_found, std::string(pages::codes::no_person), {arg_text("text", wanted)}, ""};
  }
  if (found.size() > 1) {
    return Error{Kind::refused,
                 std::string(codes::several_people),
                 {arg_text("text", wanted), arg_text("people", told_apart(found, words))},
                 ""};
  }
  const auto& row = *found.front();
  if (in_full || finding == Finding::to_read) return row.person;
  return Error{Kind::refused,
               std::string(codes::person_in_full),
               {arg_text("text", wanted), arg_text("name", row.full_name),
                arg_date("born", row.born), arg_text("number", row.number)},
               ""};
}

json::Value whose(const chart::Chart& chart, const summary::People& people,
                  const words::Catalogue& words) {
  const auto& who = chart.person;
  return json::object({{"id", json::string(chart.journal)},
                       {"name", json::string(who.full_name)},
                       {"born_text", json::string(words.day_year(who.born))},
                       {"number", json::string(who.number)},
                       {"alike", json::string(told_apart(people.alike(chart.journal), words))}});
}

}  // namespace penstock::whom
