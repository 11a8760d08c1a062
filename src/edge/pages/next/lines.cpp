// The card of the next injection as lines for a terminal.
#include "edge/pages/kit/lines.hpp"

#include "edge/json/json.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string refusal_lines(const json::Value& refusal) {
  if (refusal.type != json::Type::object) return {};
  return line(text_at(refusal, "what")) + line(rich_at(refusal, "do_this")) +
         line(rich_at(refusal, "insulin_today"));
}

}  // namespace

std::string table_lines(const json::Value& table) {
  if (table.type != json::Type::object) return {};
  auto out = line(text_at(table, "caption"));
  for (const auto& row : at(table, "rows").members) {
    // H01: what to turn to stands last and alone; what was primed is never taken for it.
    out += "    " + text_at(row.value, "text") + "\n";
  }
  return out;
}

// H05, H08: purpose, name, strength, "units", date and order version stand on every card.
std::string card_lines(const json::Value& card) {
  auto out = line(
      joined({text_at(card, "title"), text_at(card, "time_text"), text_at(card, "in_text")}), "");
  out += line(
      joined({text_at(card, "purpose"), text_at(card, "insulin"), text_at(card, "strength_text"),
              text_at(card, "dose_text"), text_at(card, "with_text")}));
  out += line(text_at(card, "order_text"));
  out += line(text_at(card, "part_text"));
  out += refusal_lines(at(card, "refusal"));
  int number = 0;
  for (const auto& step : at(card, "steps").members) {
    const auto label = std::to_string(++number) + ". ";
    const auto caption = text_at(step.value, "caption");
    const auto done = text_at(step.value, "done_text");
    out += line(label + text_at(step.value, "title") + (caption.empty() ? "" : " - " + caption) +
                (done.empty() ? "" : " (" + done + ")"));
  }
  out += table_lines(at(card, "window_table"));
  out += line(rich_at(card, "after_text"));
  out += lines::notices(at(card, "cautions"));
  return out + line(text_at(card, "defer"));
}

std::string low_lines(const json::Value& low) {
  return "\n" + line(text_at(low, "title"), "") + line(rich_at(low, "text"));
}

}  // namespace penstock::pages
