// The next dose of each line whose number the interlock holds back: on Today whatever the reason is
// (H32, H38). What has a watch of its own is said by that.
#include <algorithm>

#include "core/dial/dial.hpp"
#include "core/interlock/interlock.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

// A weekly line comes round once.
constexpr int look_ahead_days = 8;

// A line that was ended or replaced from a later day holds until then (H37, H38). A window of
// yesterday's may reach past midnight.
std::optional<order::Due> next_of(const chart::Chart& person, const order::Line& line,
                                  const When& from) {
  const auto last = line.last_day();
  if (last && *last + std::chrono::days{1} < from.day()) return std::nullopt;
  for (int ahead = -1; ahead <= look_ahead_days; ++ahead) {
    const auto day = from.day() + std::chrono::days{ahead};
    for (const auto& due : order::due_on(person.order, day, person.zone)) {
      const auto* said = order::said_of(person.order, due);
      const bool is_in = !order::given_for(person.order, due).empty() ||
                         (said != nullptr && said->was == journal::DoseWas::taken);
      if (due.line == line.id && due.to.at >= from.at && !is_in) return due;
    }
  }
  return std::nullopt;
}

// The order's own refusals, and doses that nobody spoke of: each has its watch, with its own hour.
// A correction is given by a glucose value, not at an hour: nobody is called about it (H32).
bool needs_none(std::string_view code) {
  return code.starts_with("order.") || interlock::codes::is_unrecorded(code) ||
         code == interlock::codes::correction;
}

// What somebody said of themselves in a call (H53).
bool is_told(std::string_view code) {
  namespace ic = interlock::codes;
  static constexpr std::string_view told[] = {
      ic::low_now,        ic::drowsy,      ic::ketones, ic::low_drowsy,
      ic::low_not_eating, ic::low_ketones, ic::low_all, ic::ketones_not_eating,
      ic::not_eating};
  return std::ranges::find(told, code) != std::end(told);
}

NoNumber why_of(std::string_view code) {
  namespace ic = interlock::codes;
  if (code == ic::no_pen) return NoNumber::no_pen;
  if (code == ic::other_strength) return NoNumber::other_strength;
  if (code == ic::no_fit) return NoNumber::no_fit;
  if (code == ic::on_trip) return NoNumber::trip;
  if (code == dial::dial_codes::no_flow) return NoNumber::dry;
  if (code == ic::low_on_record || code == ic::low_felt) return NoNumber::low;
  if (is_told(code)) return NoNumber::ill;
  return NoNumber::other;
}

// Something about this insulin rings then, and says that a dose is held.
bool is_said(const order::Line& line, const When& due, std::span<const Watch> watches) {
  return std::ranges::any_of(watches, [&](const Watch& watch) {
    const bool rings = watch.shows_from.at <= due.at && (!watch.until || due.at < watch.until->at);
    return watch.holds && rings && watch.insulin == line.text.insulin &&
           watch.strength == line.text.strength;
  });
}

// At the hour of the dose, and not by the clock.
interlock::House look_ahead(const chart::Clinic& clinic) {
  auto house = interlock::house_of(clinic);
  house.by_clock = false;
  return house;
}

struct Looking {
  const chart::Chart& person;
  const chart::Clinic& clinic;
  std::vector<Watch>& out;

  // A trip holds its own days alone. What holds the last dose of an insulin holds none after it.
  std::optional<When> over(std::string_view code, const order::Line& line,
                           const order::Due& due) const {
    const bool goes_on = std::ranges::any_of(person.order.lines, [&](const order::Line& other) {
      return other.text.insulin == line.text.insulin && other.text.strength == line.text.strength &&
             other.text.from > due.day;
    });
    if (line.last_day() == due.day && !goes_on) return due.to;
    if (code != interlock::codes::on_trip) return std::nullopt;
    for (const auto& trip : person.supply.trips) {
      if (trip.said.leaves <= due.day && due.day <= trip.said.returns)
        return midnight(person, trip.said.returns + std::chrono::days{1});
    }
    return std::nullopt;
  }

  // Whose doses come home by diary is reminded of none; of one that was held somebody asks what
  // became of it all the same (H38, H57).
  void once_gone(const order::Due& due, std::string_view code) const {
    if (interlock::codes::is_unrecorded(code)) return;
    for (const auto& slot : interlock::unrecorded_of(person, std::nullopt)) {
      if (!slot.by_diary || slot.first != due) continue;
      auto watch = unrecorded(person, slot, clinic.shelf);
      const bool is_there = std::ranges::any_of(out, [&](const Watch& other) {
        return other.what == watch.what && other.basis == watch.basis;
      });
      if (!is_there) out.push_back(std::move(watch));
    }
  }

  // What holds this dose alone is not said of the next one any more (H32).
  bool is_clear_next(const order::Line& line, const order::Due& due) const {
    const auto next = next_of(person, line, person.zone.when(due.to.at + std::chrono::seconds{1}));
    if (!next) return false;
    const auto dose = interlock::decide(person, look_ahead(clinic), *next, next->at);
    const auto* why = interlock::held(dose.verdict);
    return why == nullptr || interlock::codes::is_unrecorded(why->error.code);
  }

  void at(const order::Line& line, const order::Due& due, const When& from) const {
    const auto dose = interlock::decide(person, look_ahead(clinic), due, due.at);
    const auto* why = interlock::held(dose.verdict);
    if (why == nullptr) return;
    once_gone(due, why->error.code);
    if (needs_none(why->error.code)) return;
    // Said by watch_low, until it is over.
    if (why_of(why->error.code) == NoNumber::low) return;
    // A scale that differs is compared at leisure, unless it holds this dose up (H59).
    for (auto& watch : out) {
      if (watch.what == What::scale_disagrees && watch.insulin == line.text.insulin) {
        watch.holds = watch.holds || interlock::codes::is_of_scale(why->error.code);
      }
    }
    // What cannot wait is said whatever else waits.
    if (!is_told(why->error.code) && is_said(line, due.at, out)) return;
    // Whoever is ill is phoned now, whenever the dose is due (H32).
    auto watch =
        about(line, clinic.shelf, What::dose_held, from, is_told(why->error.code) ? from : due.at);
    watch.holds = true;
    watch.figures = HeldBy{why_of(why->error.code)};
    watch.basis += "/" + why->error.code;
    watch.until = over(why->error.code, line, due);
    if (!watch.until && !is_told(why->error.code) && is_clear_next(line, due)) watch.until = due.to;
    out.push_back(std::move(watch));
  }
};

// A hypo holds back what is due while it is open, and no dose of later (H10, H32).
void watch_low(const chart::Chart& person, const chart::Clinic& clinic, std::vector<Watch>& out) {
  if (person.contacts.glucose.empty()) return;
  const auto* low = low::last_low(person, person.contacts.glucose.back().when.at);
  if (low == nullptr) return;
  const auto over = person.zone.when(low->when.at + low::open_for);
  for (const auto& line : person.order.lines) {
    if (!line.checked) continue;
    const auto next = next_of(person, line, low->when);
    if (!next || next->from.at >= over.at) continue;
    auto watch = about(line, clinic.shelf, What::dose_held, low->when, next->at);
    watch.holds = true;
    watch.figures = HeldBy{NoNumber::low};
    watch.basis += "/" + to_text(low->fact);
    watch.until = over;
    out.push_back(std::move(watch));
  }
}

}  // namespace

void watch_held(const chart::Chart& person, const chart::Clinic& clinic, std::vector<Watch>& out) {
  if (person.history.facts.empty()) return;
  watch_low(person, clinic, out);
  watch_too_much(person, clinic, out);
  const Looking look{person, clinic, out};
  const auto& last = person.history.facts.back().happened;
  for (const auto& line : person.order.lines) {
    if (!line.checked) continue;
    const auto next = next_of(person, line, last);
    if (next) look.at(line, *next, last);
    // A trip holds the doses of its days, of which none may be the next (H18).
    for (const auto& trip : person.supply.trips) {
      const auto leaves = midnight(person, trip.said.leaves);
      if (leaves.at <= last.at) continue;
      const auto there = next_of(person, line, leaves);
      if (there && (!next || there->at.at != next->at.at)) look.at(line, *there, leaves);
    }
  }
}

}  // namespace penstock::watch
