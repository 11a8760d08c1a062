// Visits and calls that were agreed, promises to ring back, and the calls of the first week.
#include <algorithm>

#include "core/contacts/contacts.hpp"
#include "core/order/order.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

using contacts::Appointment;
using journal::Meeting;
using journal::MeetingWhy;
using std::chrono::days;

// On which days after a start or a change somebody is rung up, the day of the change being 0.
// Common practice, no source.
constexpr int first_week[] = {1, 3, 7};
// A call of the first week that nobody made by then is not made up for.
constexpr days call_waits{2};

Watch contact(What what, const When& from, const When& due, Contacting figures, std::string basis) {
  Watch watch;
  watch.what = what;
  watch.shows_from = from;
  watch.due = due;
  watch.figures = std::move(figures);
  watch.basis = std::move(basis);
  return watch;
}

void watch_agreed(const chart::Chart& person, std::vector<Watch>& out) {
  for (const auto* agreed : person.contacts.waiting()) {
    const auto& at = agreed->said.at;
    const bool is_call = agreed->said.meeting == Meeting::call;
    out.push_back(contact(What::contact_due, midnight(person, at.day()), at,
                          {agreed->said.meeting, agreed->said.why,
                           is_call ? person.contacts.unanswered() : 0, agreed->said.with},
                          to_text(agreed->fact)));
  }
}

// Whoever did not come is phoned on the day that it was noted.
void watch_missed(const chart::Chart& person, std::vector<Watch>& out) {
  const auto* missed = person.contacts.did_not_come();
  if (missed == nullptr) return;
  out.push_back(contact(What::did_not_come, missed->when,
                        midnight(person, missed->when.day() + days{1}),
                        {Meeting::call, MeetingWhy::review, person.contacts.unanswered(), {}},
                        to_text(missed->fact)));
}

// Calls that nobody answered, whether they were due or not: where no other watch that stays names
// the contact person.
void watch_unanswered(const chart::Chart& person, std::vector<Watch>& out) {
  const auto* last = person.contacts.unanswered_again();
  if (last == nullptr) return;
  const bool is_said = std::ranges::any_of(out, [&](const Watch& one) {
    const auto* figures = std::get_if<Contacting>(&one.figures);
    return figures != nullptr && figures->tries >= contacts::tries_before_others && !one.until &&
           one.shows_from.at <= last->when.at;
  });
  if (is_said) return;
  out.push_back(contact(What::not_reached, last->when, midnight(person, last->when.day() + days{1}),
                        {Meeting::call, MeetingWhy::review, person.contacts.unanswered(), {}},
                        to_text(last->fact)));
}

void watch_ring_back(const chart::Chart& person, std::vector<Watch>& out) {
  const auto& promised = person.contacts.ring_back;
  if (!promised) return;
  const auto by = promised->by.value_or(promised->since);
  // What they promised is looked after once it is late.
  out.push_back(contact(
      promised->ours ? What::ring_back : What::not_rung_back, promised->ours ? promised->since : by,
      by, {Meeting::call, MeetingWhy::ring_back, person.contacts.unanswered(), promised->who},
      to_text(promised->fact)));
}

// Who took on what a visit left open, once their hour has passed.
void watch_left_open(const chart::Chart& person, std::vector<Watch>& out) {
  const auto* left = person.contacts.left_open();
  if (left == nullptr) return;
  Watch watch;
  watch.what = What::left_open;
  watch.shows_from = watch.due = *left->said.left_open_by;
  watch.figures = Copied{left->said.left_open_with};
  watch.basis = to_text(left->fact);
  out.push_back(std::move(watch));
}

/// From which day on somebody injects otherwise under a line than before it, and what is new.
struct Change {
  LocalDay day{};
  MeetingWhy why = MeetingWhy::first_week;
};

const order::Line* line_before(const order::Order& order, const order::Line& line) {
  const auto old = std::ranges::find_if(order.lines, [&](const order::Line& one) {
    return one.replaced_by == line.id && one.text.insulin == line.text.insulin;
  });
  return old == order.lines.end() ? nullptr : &*old;
}

bool same_doses(const order::Line& a, const order::Line& b) {
  return std::ranges::equal(a.text.slots, b.text.slots, {}, &journal::Slot::units,
                            &journal::Slot::units);
}

std::optional<Change> change_of(const chart::Chart& person, const order::Line& line) {
  if (!line.checked) return std::nullopt;
  const auto first = std::ranges::find_if(
      person.order.given, [&](const order::Given& given) { return given.line == line.id; });
  if (first == person.order.given.end()) return std::nullopt;
  const auto day = first->when.day();
  const auto* old = line_before(person.order, line);
  if (old != nullptr && old->text.strength != line.text.strength)
    return Change{day, MeetingWhy::strength_changed};
  if (old != nullptr)
    return same_doses(*old, line) ? std::nullopt
                                  : std::optional(Change{day, MeetingWhy::dose_changed});
  const bool injected_before = std::ranges::any_of(
      person.order.given,
      [&](const order::Given& given) { return given.when.at < first->when.at; });
  return injected_before ? std::nullopt : std::optional(Change{day, MeetingWhy::first_week});
}

bool is_rung_up(const chart::Chart& person, LocalDay from, LocalDay before) {
  const bool made = std::ranges::any_of(person.contacts.made, [&](const contacts::Made& one) {
    // Whoever said that they were ill is rung up again (H53).
    const bool well =
        one.said.low != journal::YesNo::yes && one.said.not_eating != journal::YesNo::yes &&
        one.said.drowsy != journal::YesNo::yes && one.said.ketones != journal::YesNo::yes;
    return one.got_through() && well && one.when.day() >= from && one.when.day() < before;
  });
  const auto agreed = [&](const Appointment& one) {
    return one.said.at.day() >= from && one.said.at.day() < before;
  };
  return made || std::ranges::any_of(person.contacts.appointments, agreed);
}

void watch_first_week(const chart::Chart& person, const order::Line& line,
                      std::vector<Watch>& out) {
  const auto change = change_of(person, line);
  if (!change) return;
  for (const int ahead : first_week) {
    const auto day = change->day + days{ahead};
    if (is_rung_up(person, day, day + call_waits)) continue;
    auto watch = contact(What::call_due, midnight(person, day), midnight(person, day + days{1}),
                         {Meeting::call, change->why, person.contacts.unanswered(), {}},
                         to_text(line.id) + "/" + std::to_string(ahead));
    watch.until = midnight(person, day + call_waits);
    out.push_back(std::move(watch));
  }
}

}  // namespace

void watch_calls(const chart::Chart& person, std::vector<Watch>& out) {
  watch_agreed(person, out);
  watch_ring_back(person, out);
  watch_missed(person, out);
  watch_left_open(person, out);
  for (const auto& line : person.order.lines) watch_first_week(person, line, out);
  watch_unanswered(person, out);
}

}  // namespace penstock::watch
