// What is printed for one person: the large-print sheet of one injection, the order's card, a
// visit, four weeks of places, a trip, one test of a pen (web/src/model.ts: Sheet, DialCard,
// VisitSheet, PlacePlanSheet, TripSheet, PenTestSheet).
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"

namespace penstock::pages {

namespace codes {
inline constexpr std::string_view sheet_past = "desk.sheet_past";          // [time, day]
inline constexpr std::string_view sheet_rest = "desk.sheet_rest";          // [rest]
inline constexpr std::string_view sheet_before = "desk.sheet_before";      // H02, H48 [day]
inline constexpr std::string_view sheet_far = "desk.sheet_far";            // [day]
inline constexpr std::string_view sheet_clock = "desk.sheet_clock";        // H61 [last, now]
inline constexpr std::string_view card_from = "desk.card_from";            // [day]
inline constexpr std::string_view card_question = "desk.card_question";    // H37, H48
inline constexpr std::string_view card_unchecked = "desk.card_unchecked";  // H40 [insulin]
inline constexpr std::string_view no_visit = "desk.no_visit";              // none of late
inline constexpr std::string_view card_no_dose = "desk.card_no_dose";      // [insulin]
inline constexpr std::string_view card_near = "desk.card_near";  // H52 [given, when, insulin]
inline constexpr std::string_view card_near_meal = "desk.card_near_meal";  // the same
inline constexpr std::string_view card_lately =
    "desk.card_lately";  // H07, H52 [given, when, hours, insulin]
}  // namespace codes

/// Which injection a sheet of steps is for; nothing said: the next one.
struct SheetQuery {
  std::optional<Id> line;
  std::string slot;
  std::optional<LocalDay> day;
};

/// One injection, one day, one page. Errors: codes::nothing_due; codes::sheet_past where its time
/// is over, codes::sheet_rest where it is the rest of a dose; codes::sheet_unseen and
/// sheet_language where the person cannot read it (H50); why the dose has no plan (H37, H48).
Result<json::Value> steps_sheet(const Chart& person, const Clinic& clinic, const Caller& caller,
                                const SheetQuery& query);

/// The whole order in large print, until it changes or its last day; of now, or from the first day
/// of a version that is to come. Errors: codes::nothing_due; codes::card_from where nothing begins
/// on that day; codes::sheet_clock; codes::card_question, codes::card_unchecked;
/// codes::sheet_unseen, sheet_language; codes::sheet_rest where one is owed,
/// codes::card_near, card_near_meal, card_lately where the next dose follows another so soon that
/// the screen says so; why a line’s dose of now or the next has no plan.
Result<json::Value> dial_card_sheet(const Chart& person, const Clinic& clinic, const Caller& caller,
                                    std::optional<LocalDay> from);
/// The days on which a checked version of the order begins, from tomorrow on: a card can be printed
/// for each.
std::vector<LocalDay> card_days(const Chart& person, LocalDay today);

/// Four weeks of empty rows by the order's times; no dose stands on it. Error: codes::nothing_due.
Result<json::Value> log_sheet(const Chart& person, const Clinic& clinic, const Caller& caller);

/// What somebody takes home from the visit of now or the last one; no dose stands on it. Errors:
/// codes::no_visit; codes::sheet_unseen, sheet_language.
Result<json::Value> visit_sheet(const Chart& person, const Clinic& clinic, const Caller& caller);

/// Four weeks of places, from a day on (nothing: tomorrow). While the question about hardened
/// tissue is open it says first to phone (H36). Errors: codes::plan_from; why there is no plan.
Result<json::Value> place_plan_sheet(const Chart& person, const Clinic& clinic,
                                     const Caller& caller, std::optional<LocalDay> asked);

/// The zone that a planned trip goes to; empty: none was said, or no such trip.
std::string_view trip_zone(const Chart& person, Id fact);
/// `there`: the rules of trip_zone. Error: codes::no_trip.
Result<json::Value> trip_sheet(const Chart& person, const People& people, const Clinic& clinic,
                               const Caller& caller, Id fact, const ZoneRules& there);

/// Error: codes::no_pen_test.
Result<json::Value> pen_test_sheet(const Chart& person, const People& people, const Clinic& clinic,
                                   const Caller& caller, Id fact);

std::vector<Row> sheet_rows();

}  // namespace penstock::pages
