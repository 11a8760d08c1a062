#include "core/stock/stock.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/stock/internal/scan.hpp"
#include "edge/pages/stock/month.hpp"
#include "edge/pages/stock/recall.hpp"
#include "edge/pages/stock/stock.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string month_text(const json::Value& month, const Words& words) {
  auto out = text_at(month, "title") + "\n" + line(rich_at(month, "lead"));
  for (const auto& person : at(month, "people").members) {
    out += line(joined({text_at(person.value, "by_text"), text_at(person.value, "name"),
                        text_at(person.value, "born_text"), text_at(person.value, "number"),
                        text_at(person.value, "phone_text")}));
    for (const auto& row : at(person.value, "rows").members)
      out += line(lines::plain(&row.value), "      ");
  }
  out += line(text_at(month, "more"));
  out += lines::title(words, "cli.sums");
  for (const auto& sum : at(month, "sums").members) {
    out += line(joined({text_at(sum.value, "boxes"), text_at(sum.value, "name")}));
  }
  return out + line(text_at(month, "note")) + line(text_at(month, "unreadable"));
}

std::string stock_text(const json::Value& stock, const Words&) {
  auto out = line(rich_at(stock, "lead")) + lines::notices(at(stock, "notices"));
  for (const auto& item : at(stock, "items").members) {
    out += "\n" + joined({text_at(item.value, "name"), rich_at(item.value, "total")}, ": ") + "\n";
    for (const auto& lot : at(item.value, "lots").members) {
      out += line(joined({text_at(lot.value, "lot_text"), text_at(lot.value, "expires_text"),
                          text_at(lot.value, "left_text"), text_at(lot.value, "count_text"),
                          text_at(lot.value, "state")}));
    }
  }
  for (const auto& recall : at(stock, "recalls").members)
    out += line(joined({text_at(recall.value, "title"), rich_at(recall.value, "text")}, ": "));
  return out + line(rich_at(stock, "closed")) + line(text_at(stock, "printed_text"));
}

std::string reached_lines(const json::Value& people) {
  std::string out;
  for (const auto& person : people.members) {
    out += line(joined({text_at(person.value, "name"), text_at(person.value, "born_text"),
                        text_at(person.value, "number"), text_at(person.value, "phone_text"),
                        text_at(person.value, "state")}));
    for (const auto& row : at(person.value, "rows").members)
      out += line(lines::plain(&row.value), "      ");
  }
  return out;
}

std::string recall_text(const json::Value& recall, const Words&) {
  // First what must not be read last.
  auto out = rich_at(recall, "first") + "\n\n" + text_at(recall, "title") + "\n" +
             line(rich_at(recall, "lead"));
  for (const auto& say : at(recall, "say").members) out += line("- " + lines::plain(&say.value));
  out += lines::notices(at(recall, "cautions"));
  out += reached_lines(at(recall, "people")) + line(text_at(recall, "more"));
  const auto& unknown = at(recall, "unknown");
  out += "\n" + line(rich_at(unknown, "lead")) + reached_lines(at(unknown, "people"));
  for (const auto& shelf : at(recall, "shelf").members) out += line(lines::plain(&shelf.value));
  return out + line(text_at(recall, "printed_text"));
}

constexpr std::int64_t month_days_usual = 30;

Result<json::Value> month_document(const Asked& asked) {
  const auto days = static_cast<std::int32_t>(asked.given.count("days").value_or(month_days_usual));
  const auto today = now_at(asked.clinic, asked.caller).day();
  const auto needs = asked.month(today, days);
  if (!needs) return needs.error();
  return month_page(asked.people, **needs, asked.clinic, asked.caller, days);
}

Result<json::Value> stock_document(const Asked& asked) {
  return stock_page(asked.people, asked.clinic, asked.caller);
}

Result<json::Value> recall_document(const Asked& asked) {
  const auto lot = asked.given.text("lot");
  const auto* recall = asked.clinic.stock.recall(lot, "");
  const auto key = recall != nullptr ? recall->key : lot_key(lot);
  if (key.empty()) {
    return Error{
        Kind::invalid_input, std::string(codes::lot_unread), {arg_text("text", lot)}, "/lot"};
  }
  auto found = find_recalled(asked.clinic, key, recall, asked.tagged);
  if (!found) return found.error();
  found->incomplete = asked.incomplete;
  // Nobody has it: perhaps an O was read for a nought, or "lot" was typed with it.
  if (found->people.empty() && found->kinds.empty()) {
    auto meant = lots_suggested(asked.clinic, key, asked.tagged);
    if (!meant) return meant.error();
    found->meant = *std::move(meant);
  }
  return recall_page(*found, lot, asked.clinic, asked.caller, asked.new_id);
}

Result<json::Value> scan_document(const Asked& asked) {
  const auto body = body_of(asked.given);
  if (!body) return body.error();
  std::string typed;
  std::optional<Id> id;
  json::Reader reader(*body);
  reader.need("text", typed);
  reader.may("person", id);
  if (const auto done = reader.done(); !done) return done.error();
  chart::ChartPtr person;
  if (id) {
    auto found = asked.chart(*id);
    if (!found) return found.error();
    person = *std::move(found);
  }
  return scan_answer(typed, person.get(), asked.clinic, asked.caller);
}

Row month_row() {
  return {
      .method = "GET",
      .pattern = "/api/month",
      .summary = "Who needs which supplies in the next days, and what they add up to.",
      .parameters = {{.name = "days",
                      .form = Form::count,
                      .says = "how far ahead",
                      .least = 1,
                      .most = month_days_max,
                      .out_of_range = codes::month_days,
                      .word = "--days"}},
      .left_out = "From 1 to 120. Left out: 30.",
      .gives = "MonthPage.",
      .codes = {codes::month_days},
      .example = "/api/month",
      .screens = {"/month"},
      .needs = Needs::clinic | Needs::everybody,
      .pace = Pace::slow,
      .document = month_document,
      .command = Command{.name = "month", .says = "Lists who needs which supplies, with totals"},
      .text = month_text};
}

Row stock_row() {
  return {.method = "GET",
          .pattern = "/api/stock",
          .summary = "The clinic's own stock by lot, what went where, recalls, closed days.",
          .gives = "StockPage.",
          .example = "/api/stock",
          .screens = {"/stock", "/stock/"},
          .needs = Needs::clinic | Needs::everybody,
          .document = stock_document,
          .command =
              Command{.name = "stock", .says = "Lists the clinic's own stock by lot, with notes"},
          .text = stock_text};
}

Row scan_row() {
  return {.method = "POST",
          .pattern = "/api/stock/scan",
          .summary =
              "The text of a carton's code, judged against shelf and stock, and with a person "
              "against the order. Nothing is recorded.",
          .takes = "text: as the scanner typed it; person: whom it is for.",
          .body = Body::json,
          .gives = "Scanned.",
          .codes = {codes::no_person},
          .example = "/api/stock/scan",
          .example_body = R"({"text": "(01)02012345678903(17)280531(10)AB12"})",
          .needs = Needs::clinic,
          .document = scan_document};
}

Row recall_row() {
  return {
      .method = "GET",
      .pattern = "/api/recalls/{lot}",
      .summary = "Whom a lot reached, what they have of it, and what to say to them.",
      .parameters = {{.name = "lot", .says = "the lot as printed on the carton", .word = "LOT"}},
      .gives = "RecallPage.",
      .codes = {codes::lot_unread},
      .example = "/api/recalls/AB12",
      .screens = {"/recall/"},
      .needs = Needs::clinic | Needs::lots,
      .document = recall_document,
      .command =
          Command{.name = "recall", .says = "Lists who received a lot, and what to say to them"},
      .text = recall_text};
}

}  // namespace

std::vector<Row> stock_rows() { return {month_row(), stock_row(), scan_row(), recall_row()}; }

}  // namespace penstock::pages
