// A dose on hold stood on its card alone, beside the list of what is open: it is that list's first
// row, with the way to where it is settled (H38, H58).
#include "edge/pages/person/internal/hold.hpp"

#include <algorithm>
#include <array>

#include "core/order/order.hpp"

namespace penstock::pages {
namespace {

using interlock::Today;

const interlock::Held* held_next(const interlock::Agenda& agenda) {
  return agenda.next ? interlock::held(agenda.next->verdict) : nullptr;
}

// Whether a watch of the dose's own insulin is about what holds it.
bool is_why(watch::What what, const interlock::Held& held) {
  namespace ic = interlock::codes;
  const auto code = std::string_view(held.error.code);
  const bool of_supplies = held.today == Today::other_source || held.today == Today::get_more;
  switch (what) {
    using enum watch::What;
    case cartridge_unfit:
    case past_in_use:
    case window_unknown:
    case none_loaded:
    case starts_without:
      return of_supplies;
    case second_check:
      return code == order::codes::unchecked;
    case order_ended:
      return code == order::codes::ended;
    case outcome_unknown:
      return code == order::codes::outcome_unknown;
    case part_owed:
      return code == order::codes::part_given;
    case tell_prescriber:
      return code == order::codes::not_known;
    case scale_disagrees:
      return ic::is_of_scale(code);
    case too_much:
      return code == ic::more_given || code == ic::far_too_much || code == ic::too_much_together;
    // Where they have a row at all, and no card.
    case question_open:
    case answer_waits:
    case dose_held:
    case dose_unrecorded:
    case swapped:
    case given_perhaps:
      return true;
    default:
      return false;
  }
}

// What is settled on a page of its own. All else is answered, or put to the prescriber, on the
// card.
struct Page {
  std::string_view code;
  std::string_view act;
  std::string_view end;
  bool names_line = false;  ///< the address ends with the order's line
};
constexpr auto pages_of = std::to_array<Page>({
    {order::codes::unchecked, "watch_act.second_check", "/order/check?line=", true},
    {interlock::codes::two_lines, "hold_act.order", "/order"},
    {interlock::codes::low_on_record, "hold_act.value", "/record/glucose"},
    {interlock::codes::low_felt, "hold_act.value", "/record/glucose"},
    {interlock::codes::no_pen, "hold_act.pen", "/pens/new?line=", true},
    {interlock::codes::other_strength, "hold_act.pen", "/pens/new?line=", true},
});

WatchAction way_of(const Words& words, const Chart& person, const interlock::Dose& dose,
                   const interlock::Held& held) {
  const auto to = [&](std::string_view act, const std::string& end) {
    return WatchAction{said(words, act), href_of(person.journal, end)};
  };
  const auto page = std::ranges::find(pages_of, held.error.code, &Page::code);
  if (page != pages_of.end())
    return to(page->act,
              std::string(page->end) + (page->names_line ? to_text(dose.line->id) : std::string()));
  // What somebody said of themselves in a call stands until a later call says otherwise (H53).
  const bool told = held.today == Today::treat_first || held.today == Today::emergency ||
                    held.today == Today::sick;
  if (told) return to("today.call", "/record/call?meeting=call");
  const bool of_pens = held.today == Today::other_source || held.today == Today::get_more;
  if (of_pens) return to("watch_act.in_use_ends", "/pens");
  const bool asks = std::holds_alternative<interlock::AskFirst>(dose.verdict);
  const auto* act = asks                              ? "hold_act.answer"
                    : answers_of(words, dose).empty() ? "hold_act.card"
                                                      : "act.ask_prescriber";
  return to(act, "#nx");
}

}  // namespace

bool says_hold(const watch::Watch& watch, const interlock::Agenda& agenda) {
  const auto* held = held_next(agenda);
  if (held == nullptr) return false;
  const auto& line = agenda.next->line->text;
  return watch.insulin == line.insulin && watch.strength == line.strength &&
         is_why(watch.what, *held);
}

std::optional<HoldRow> hold_row(const Words& words, const Chart& person,
                                const interlock::Agenda& agenda,
                                std::span<const watch::Watch* const> rows, const When& now) {
  const auto* held = held_next(agenda);
  // A clock that was set back has a row of its own, and is settled nowhere here.
  if (held == nullptr || held->error.code == interlock::codes::clock_back) return std::nullopt;
  if (std::ranges::any_of(rows, [&](const auto* watch) { return says_hold(*watch, agenda); }))
    return std::nullopt;
  const auto& dose = *agenda.next;
  const auto& due = dose.due.at;
  ByWhen by{due.day(), std::nullopt, due.at < now.at};
  if (by.late) by.day = now.day();
  if (!by.late && by.day == now.day()) by.by = due;
  const bool asks = std::holds_alternative<interlock::AskFirst>(dose.verdict);
  return HoldRow{
      asks ? Level::caution : Level::stop,
      words.sentence("visit.hold", {arg_text("insulin", capital(dose.line->text.insulin))}),
      by_text(words, by, now), way_of(words, person, dose, *held)};
}

}  // namespace penstock::pages
