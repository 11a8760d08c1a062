#include "core/skin/skin.hpp"
#include "edge/pages/kit/lines.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/pages/pages.hpp"
#include "edge/pages/sheets/sheets.hpp"

namespace penstock::pages {
namespace {

using lines::at;
using lines::joined;
using lines::line;
using lines::rich_at;
using lines::text_at;

std::string sheet_text(const json::Value& sheet, const Words&) {
  auto out = line(text_at(sheet, "title"), "") + lines::who(at(sheet, "who"));
  out += line(joined({text_at(sheet, "hour"), text_at(sheet, "purpose"), text_at(sheet, "insulin"),
                      text_at(sheet, "dose_text")}));
  out += line(joined({text_at(sheet, "order_text"), text_at(sheet, "printed_text")}));
  for (const auto& step : at(sheet, "steps").members) {
    out += line(joined(
        {text_at(step.value, "n"), text_at(step.value, "title"), rich_at(step.value, "text")}));
  }
  out += table_lines(at(sheet, "window_table"));
  return out + line(rich_at(sheet, "last")) + low_lines(at(sheet, "low"));
}

constexpr Parameter fact_parameter{"fact", Form::id, "the fact's"};

Result<json::Value> steps_document(const Asked& asked) {
  const auto& given = asked.given;
  return steps_sheet(
      *asked.person, asked.clinic, asked.caller,
      {.line = given.id("line"), .slot = given.text("slot"), .day = given.day("day")});
}

Result<json::Value> dial_card_document(const Asked& asked) {
  return dial_card_sheet(*asked.person, asked.clinic, asked.caller, asked.given.day("from"));
}

Result<json::Value> visit_document(const Asked& asked) {
  return visit_sheet(*asked.person, asked.clinic, asked.caller);
}

Result<json::Value> log_document(const Asked& asked) {
  return log_sheet(*asked.person, asked.clinic, asked.caller);
}

Result<json::Value> place_plan_document(const Asked& asked) {
  return place_plan_sheet(*asked.person, asked.clinic, asked.caller, asked.given.day("from"));
}

Result<json::Value> trip_document(const Asked& asked) {
  const auto fact = asked.given.id("fact").value_or(Id{});
  ZoneRules there;
  if (const auto name = trip_zone(*asked.person, fact); !name.empty()) {
    auto zone = asked.zone(name);
    if (!zone) return zone.error();
    there = *std::move(zone);
  }
  return trip_sheet(*asked.person, asked.people, asked.clinic, asked.caller, fact, there);
}

Result<json::Value> pen_test_document(const Asked& asked) {
  return pen_test_sheet(*asked.person, asked.people, asked.clinic, asked.caller,
                        asked.given.id("fact").value_or(Id{}));
}

Row steps_row() {
  return {.method = "GET",
          .pattern = "/api/people/{id}/steps",
          .summary = "The large-print sheet for one injection on one day.",
          .parameters = {{.name = "line", .form = Form::id, .says = "the order line's id"},
                         {.name = "slot"},
                         {.name = "day", .form = Form::day, .says = "YYYY-MM-DD"},
                         person_parameter},
          .left_out = "Left out: the next injection.",
          .gives = "Sheet.",
          .codes = {codes::no_person},
          .example = "/api/people/000000000000000000000000000000a1/steps",
          .needs = Needs::person,
          .document = steps_document,
          .command =
              Command{.name = "show", .flag = "steps", .says = "The sheet for the next injection"},
          .text = sheet_text};
}

Row dial_card_row() {
  return {
      .method = "GET",
      .pattern = "/api/people/{id}/dial-card",
      .summary = "The standing dial card: the whole order in large print, until it changes.",
      .parameters = {{.name = "from",
                      .form = Form::day,
                      .says = "YYYY-MM-DD, the first day of a version that is to come"},
                     person_parameter},
      .left_out = "Left out: the card of now.",
      .gives = "DialCard.",
      .codes = {codes::no_person, codes::nothing_due, codes::card_question, codes::card_unchecked,
                codes::card_no_dose, codes::card_near, codes::card_near_meal, codes::card_lately,
                codes::sheet_rest, codes::sheet_unseen, codes::sheet_language, codes::sheet_clock,
                codes::card_from},
      .example = "/api/people/000000000000000000000000000000a1/dial-card",
      .needs = Needs::person,
      .document = dial_card_document};
}

Row visit_row() {
  return {.method = "GET",
          .pattern = "/api/people/{id}/visit-sheet",
          .summary = "What somebody takes home from the visit of now or the last one, for paper.",
          .parameters = {person_parameter},
          .gives = "VisitSheet.",
          .codes = {codes::no_person, codes::no_visit, codes::sheet_unseen, codes::sheet_language,
                    codes::sheet_clock},
          .example = "/api/people/000000000000000000000000000000a1/visit-sheet",
          .needs = Needs::person,
          .document = visit_document};
}

Row log_row() {
  return {.method = "GET",
          .pattern = "/api/people/{id}/log-sheet",
          .summary = "Four weeks of empty rows by the order's times, for paper.",
          .parameters = {person_parameter},
          .gives = "LogSheet.",
          .codes = {codes::no_person, codes::nothing_due, codes::sheet_clock},
          .example = "/api/people/000000000000000000000000000000a1/log-sheet",
          .needs = Needs::person,
          .document = log_document};
}

Row place_plan_row() {
  return {.method = "GET",
          .pattern = "/api/people/{id}/place-plan",
          .summary = "Four weeks of places on paper.",
          .parameters = {{.name = "from",
                          .form = Form::day,
                          .says = "YYYY-MM-DD, tomorrow to four weeks ahead"},
                         person_parameter},
          .left_out = "Left out: tomorrow.",
          .gives = "PlacePlanSheet.",
          .codes = {codes::no_person, codes::plan_from, skin::skin_codes::no_height,
                    skin::skin_codes::no_rules, codes::sheet_clock},
          .example = "/api/people/000000000000000000000000000000a1/place-plan",
          .needs = Needs::person,
          .pace = Pace::slow,
          .document = place_plan_document};
}

Row trip_row() {
  return {.method = "GET",
          .pattern = "/api/people/{id}/trips/{fact}",
          .summary = "What to carry on a trip, and the question about the dose times, for paper.",
          .parameters = {fact_parameter, person_parameter},
          .gives = "TripSheet.",
          .codes = {codes::no_person, codes::no_trip},
          .example =
              "/api/people/000000000000000000000000000000a1/trips/0000000000000000000000000000a1e1",
          .needs = Needs::person | Needs::everybody,
          .document = trip_document};
}

Row pen_test_row() {
  return {.method = "GET",
          .pattern = "/api/people/{id}/pen-tests/{fact}",
          .summary = "One test of what a pen delivers, for paper.",
          .parameters = {fact_parameter, person_parameter},
          .gives = "PenTestSheet.",
          .codes = {codes::no_person, codes::no_pen_test},
          .example =
              "/api/people/000000000000000000000000000000a1/pen-tests/"
              "0000000000000000000000000000a1e2",
          .needs = Needs::person | Needs::everybody,
          .document = pen_test_document};
}

}  // namespace

std::vector<Row> sheet_rows() {
  return {steps_row(),      dial_card_row(), visit_row(),   log_row(),
          place_plan_row(), trip_row(),      pen_test_row()};
}

}  // namespace penstock::pages
