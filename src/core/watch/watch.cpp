#include "core/watch/watch.hpp"

#include <algorithm>
#include <array>

#include "core/interlock/interlock.hpp"
#include "core/order/recording.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

using std::chrono::days;
using std::chrono::hours;

// A prescriber answers a renewal within the week. These four are ours.
constexpr days order_notice{7};
constexpr days in_use_notice{3};
// H36: lows follow for as long as the dose has not been found anew; looked at every day.
constexpr int hardened_days = 14;
// A needle that stays on longer than a meal was not taken off.
constexpr hours needle_on_max{2};

const ledger::Cartridge* cartridge_in(const chart::Chart& person, const ledger::Pen& pen) {
  return pen.cartridge ? person.ledger.cartridge(*pen.cartridge) : nullptr;
}

Watch about(const ledger::Cartridge& cartridge, What what, When from, When due) {
  Watch watch;
  watch.what = what;
  watch.shows_from = from;
  watch.due = due;
  watch.insulin = cartridge.copy.name;
  watch.strength = cartridge.copy.strength;
  watch.action = cartridge.copy.action;
  watch.basis = to_text(cartridge.id);
  return watch;
}

// What ends it by itself: the day printed on it, and its days in use.
void watch_ends(const chart::Chart& person, const ledger::Cartridge& cartridge, const auto& unfit,
                std::vector<Watch>& out) {
  if (cartridge.expires) {
    const auto past = midnight(person, *cartridge.expires + days{1});
    unfit(past.at > cartridge.loaded_when.at ? past : cartridge.loaded_when,
          {.why = Unfit::expired});
  }
  // What ends by its printed day is told by that, not as days in use (H58).
  const auto last = cartridge.last_day();
  if (!last || !cartridge.in_use_from() || last == cartridge.expires) return;
  const auto past = midnight(person, *last + days{1});
  auto ends = about(cartridge, What::in_use_ends, midnight(person, *last - in_use_notice), past);
  ends.until = past;
  ends.figures = InUse{cartridge.copy.in_use_days, *cartridge.in_use_from(), *last};
  auto over = ends;
  over.what = What::past_in_use;
  over.shows_from = over.due = past;
  over.until.reset();
  over.holds = true;
  out.push_back(std::move(ends));
  out.push_back(std::move(over));
}

void watch_cartridges(const chart::Chart& person, const chart::Clinic& clinic,
                      std::vector<Watch>& out) {
  for (const auto& pen : person.ledger.pens) {
    const auto* cartridge = cartridge_in(person, pen);
    if (cartridge == nullptr || cartridge->thrown) continue;
    const bool recalled = stock::is_recalled(clinic.stock, clinic.shelf, cartridge->copy.name,
                                             cartridge->copy.strength, cartridge->lot);
    const auto unfit = [&](const When& since, const OutOfUse& why) {
      auto watch = about(*cartridge, What::cartridge_unfit, since, since);
      watch.figures = why;
      watch.holds = true;
      out.push_back(std::move(watch));
    };
    if (cartridge->shared_since) {
      unfit(*cartridge->shared_since, {.why = Unfit::shared});
    } else if (cartridge->is_frozen()) {
      unfit(cartridge->frozen->when, {.why = Unfit::frozen});
    } else if (cartridge->is_too_hot()) {
      unfit(cartridge->hottest->when, {Unfit::too_hot,
                                       cartridge->hottest->celsius,
                                       cartridge->copy.in_use_most,
                                       cartridge->copy.store_least,
                                       {}});
    } else if (recalled) {
      unfit(cartridge->loaded_when, {.why = Unfit::recalled, .lot = cartridge->lot});
    } else {
      watch_ends(person, *cartridge, unfit, out);
    }
    if (cartridge->scale && !cartridge->scale->agrees()) {
      auto watch =
          about(*cartridge, What::scale_disagrees, cartridge->scale->when, cartridge->scale->when);
      watch.figures =
          ScaleRead{cartridge->scale->ledger_left, cartridge->scale->counted, cartridge->content};
      watch.basis += to_text(cartridge->scale->fact);
      out.push_back(std::move(watch));
    }
  }
}

void watch_pens(const chart::Chart& person, const shelf::Shelf& shelf, std::vector<Watch>& out) {
  for (const auto& pen : person.ledger.pens) {
    if (!pen.is_here()) continue;
    Watch watch;
    watch.insulin = pen.insulin;
    watch.strength = pen.strength;
    if (const auto* cartridge = cartridge_in(person, pen)) watch.action = cartridge->copy.action;
    watch.basis = to_text(pen.id);
    if (!ledger::known_window(pen, shelf)) {
      watch.what = What::window_unknown;
      watch.shows_from = watch.due = pen.window_tested.value_or(pen.given_when);
      watch.holds = true;
      out.push_back(watch);
    }
    if (pen.needle.on && pen.needle.last_use) {
      watch.what = What::needle_left_on;
      watch.holds = false;
      watch.shows_from = {pen.needle.last_use->at + needle_on_max,
                          pen.needle.last_use->offset_minutes};
      watch.due = watch.shows_from;
      watch.basis = to_text(pen.needle.fact);
      out.push_back(watch);
    }
  }
}

// Basal insulin that somebody ended, with none to take its place: one form, and no list knew of it
// (H38). A prescriber may mean it; whoever looked says so, and it is silent.
void watch_ended(const chart::Chart& person, const shelf::Shelf& shelf, const order::Line& line,
                 std::vector<Watch>& out) {
  const auto last = *line.last_day();
  const bool goes_on = std::ranges::any_of(person.order.lines, [&](const order::Line& other) {
    const auto until = other.last_day();
    return order::is_basal(other) && (!until || *until > last);
  });
  if (!order::is_basal(line) || goes_on) return;
  const auto over = midnight(person, last + days{1});
  const auto from = over.at > line.ended->when.at ? over : line.ended->when;
  auto watch = about(line, shelf, What::basal_ended, from, over);
  watch.figures = LastDay{last};
  out.push_back(std::move(watch));
}

bool may_still_hold(const order::Line& line) { return !line.replaced_by.has_value(); }

// A line that ends, or that another one replaces, on a later day holds its doses until then (H37,
// H38).
std::optional<When> until_over(const chart::Chart& person, const order::Line& line) {
  if (line.replaced_by) return midnight(person, line.replaced_from);
  if (line.ended) return midnight(person, line.ended->last_day + days{1});
  return std::nullopt;
}

// The order of the day after is on record: nobody asks for one (H32).
bool goes_on(const chart::Chart& person, const order::Line& line) {
  const auto next = *line.last_day() + days{1};
  return std::ranges::any_of(person.order.lines, [&](const order::Line& other) {
    const auto last = other.last_day();
    return other.text.from == next && (!last || *last >= next) &&
           other.text.purpose == line.text.purpose &&
           order::is_same_insulin(other.text.insulin, line.text.insulin);
  });
}

void watch_order(const chart::Chart& person, const shelf::Shelf& shelf, std::vector<Watch>& out) {
  for (const auto& line : person.order.lines) {
    if (!line.checked) {
      auto watch = about(line, shelf, What::second_check, line.signed_when,
                         next_slot(person, line, line.signed_when));
      watch.holds = true;
      watch.until = until_over(person, line);
      watch.figures = Copied{line.text.copied_by};
      out.push_back(std::move(watch));
    }
    if (!may_still_hold(line)) continue;
    if (line.signature_owed() && !line.ended) {
      out.push_back(about(line, shelf, What::signature_owed, line.signed_when,
                          {line.signed_when.at + days{2}, line.signed_when.offset_minutes}));
    }
    if (line.ended) watch_ended(person, shelf, line, out);
    if (const auto last = line.last_day()) {
      const auto over = midnight(person, *last + days{1});
      auto ends =
          about(line, shelf, What::order_ends, midnight(person, *last - order_notice), over);
      ends.until = over;
      ends.figures = LastDay{*last};
      auto ended = ends;
      ended.what = What::order_ended;
      ended.shows_from = ended.due = over;
      ended.until.reset();
      ended.holds = true;
      // An end that the prescriber set is not news.
      if (!line.ended && !goes_on(person, line)) {
        out.push_back(std::move(ends));
        out.push_back(std::move(ended));
      }
    }
  }
}

// The prescriber is told today; the card says so until the next dose, and nobody may look (H57,
// H39). Another dose of the line, or three days, and it is history. Ours.
void tell(const chart::Chart& person, const shelf::Shelf& shelf, const order::Line& line,
          const When& said, const When& due, const Answered& answered, std::vector<Watch>& out) {
  constexpr days told_for{3};
  const bool is_followed = std::ranges::any_of(person.order.given, [&](const order::Given& given) {
    const bool of_line = given.line ? *given.line == line.id : given.insulin == line.text.insulin;
    return of_line && given.when.at > said.at;
  });
  // Nor is anybody sent to phone whoever has answered since.
  if (is_followed || order::is_answered_since(person.order, line, said.at)) return;
  auto watch = about(line, shelf, What::tell_prescriber, said, due);
  watch.until = person.zone.when(said.at + told_for);
  watch.figures = answered;
  watch.basis += std::to_string(said.at.time_since_epoch().count());
  out.push_back(std::move(watch));
}

void watch_pending(const chart::Chart& person, const shelf::Shelf& shelf,
                   const ledger::Pending& pending, std::vector<Watch>& out) {
  Watch watch;
  const auto* line = interlock::line_of(person, pending);
  const auto* said = line == nullptr
                         ? nullptr
                         : order::said_of_rest(person.order, *line, pending.fact, person.zone);
  const bool is_part = pending.outcome == journal::Outcome::part;
  const bool nobody_knows = said != nullptr && said->was == journal::DoseWas::not_known;
  if (is_part && said != nullptr && !nobody_knows) {  // it is said what became of the rest
    if (said->was == journal::DoseWas::not_taken)
      tell(person, shelf, *line, said->when, pending.since,
           {said->was, pending.rest, pending.meant}, out);
    return;
  }
  // Of what nobody knows the prescriber has the last word (H44).
  if ((!is_part || nobody_knows) && line != nullptr &&
      order::is_answered_since(person.order, *line, pending.since.at))
    return;
  if (line != nullptr) watch = about(*line, shelf, What::part_owed, pending.since, pending.since);
  watch.what = is_part && !nobody_knows ? What::part_owed : What::outcome_unknown;
  watch.shows_from = watch.due = pending.since;
  watch.figures = Owed{pending.rest, pending.meant};
  // From the next slot on a rest that is still owed is history, and said on that dose's card.
  if (watch.what == What::part_owed) watch.until = interlock::overtaken_from(person, pending);
  watch.holds = true;
  watch.basis = to_text(pending.fact);
  out.push_back(std::move(watch));
}

void watch_questions(const chart::Chart& person, const shelf::Shelf& shelf,
                     std::vector<Watch>& out) {
  for (const auto& question : person.order.questions) {
    if (!question.is_open()) continue;
    const auto* line = question.line ? person.order.line(*question.line) : nullptr;
    const auto* shown = line != nullptr              ? line
                        : person.order.lines.empty() ? nullptr
                                                     : &person.order.lines.front();
    Watch watch;
    if (shown != nullptr)
      watch = about(*shown, shelf, What::question_open, question.opened, question.opened);
    watch.what = What::question_open;
    watch.shows_from = question.opened;
    watch.due = question.answer_by ? *question.answer_by
                : shown != nullptr && !question.is_exposure()
                    ? next_slot(person, *shown, question.opened)
                    : question.opened;
    watch.holds = !question.is_exposure();
    if (const auto from = person.order.overtaken_from(question))
      watch.until = midnight(person, *from);
    watch.figures = Reason{question.reason, line == nullptr && watch.holds};
    watch.basis = to_text(question.id);
    out.push_back(std::move(watch));
  }
  for (const auto& line : person.order.lines) {
    const auto held = person.order.holding_back(line);
    if (held.empty() || held.front()->is_open()) continue;
    const auto& answer = *held.front()->answer;
    auto watch =
        about(line, shelf, What::answer_waits, answer.when, next_slot(person, line, answer.when));
    watch.holds = true;
    watch.until = until_over(person, line);
    watch.figures = Copied{answer.by};
    watch.basis = to_text(answer.fact);
    out.push_back(std::move(watch));
  }
  for (const auto& pending : person.ledger.pending) watch_pending(person, shelf, pending, out);
}

// What was said last of each line: a slot that an injection answers as well is none of these, nor
// is the rest of a divided dose.
void watch_answers(const chart::Chart& person, const shelf::Shelf& shelf, const order::Line& line,
                   std::vector<Watch>& out) {
  const order::Said* last = nullptr;
  for (const auto& said : person.order.said) {
    if (!said.rest_of && order::speaks_of(person.order, said, line)) last = &said;
  }
  if (last == nullptr || last->was == journal::DoseWas::taken) return;
  for (const auto& due : order::due_on(person.order, last->day, person.zone)) {
    if (order::said_of(person.order, due) != last || !order::given_for(person.order, due).empty())
      continue;
    tell(person, shelf, line, last->when, due.at, {last->was, Units::zero(), Units::zero()}, out);
  }
}

// The order decides whether its number is held for that, at its hour or at the end of its window,
// which another slot's may overlap: what was answered, before its hour too, is asked no more (H32).
bool asks_which(const chart::Chart& person, const order::Due& due) {
  return std::ranges::any_of(std::array{due.at.at, due.to.at}, [&](Instant hour) {
    const order::Ask ask{due.line, due.units, hour, std::nullopt, order::Ask::Taken::ask};
    const auto allowed = order::may_dial(person.order, ask, person.zone);
    return !allowed && allowed.error().code == order::codes::taken_perhaps;
  });
}

// A dose whose number is held because another one may be it (H52), injected or only told: of the
// hours around the last that is on record, for nothing later can be.
void watch_perhaps(const chart::Chart& person, const shelf::Shelf& shelf, std::vector<Watch>& out) {
  const auto& given = person.order.given;
  const auto& said = person.order.said;
  if (given.empty() && said.empty()) return;
  auto day = given.empty() ? said.back().day : given.back().when.day();
  if (!said.empty()) day = std::max(day, said.back().day);
  for (const int ahead : {0, 1}) {
    for (const auto& due : order::due_on(person.order, day + days{ahead}, person.zone)) {
      const auto& line = *person.order.line(due.line);
      const auto found = order::perhaps_given(person.order, due, due.to.at, person.zone);
      const auto told = order::perhaps_said(person.order, due, due.to.at, person.zone);
      if ((found.empty() && told.empty()) ||
          person.order.state(line, due.day) != order::State::current ||
          order::said_of(person.order, due) != nullptr ||
          !order::given_for(person.order, due).empty() || !asks_which(person, due))
        continue;
      const auto& since = found.empty() ? told.back().said->when : found.back()->when;
      auto watch = about(line, shelf, What::given_perhaps, since, due.at);
      watch.until = due.to;
      watch.holds = true;
      watch.basis += to_text(found.empty() ? told.back().said->fact : found.back()->fact);
      out.push_back(std::move(watch));
    }
  }
}

Watch swapped(const order::Line& line, const shelf::Shelf& shelf, const order::Given& given,
              const order::Due& due) {
  auto watch = about(line, shelf, What::swapped, given.when, due.at);
  watch.holds = true;
  watch.basis += to_text(given.fact);
  return watch;
}

// Another insulin in this one's place, until somebody has asked the prescriber (H04): of the hours
// around the last that is on record.
void watch_swapped(const chart::Chart& person, const shelf::Shelf& shelf, std::vector<Watch>& out) {
  if (person.order.given.empty()) return;
  const auto day = person.order.given.back().when.day();
  for (const int ahead : {-1, 0, 1}) {
    for (const auto& due : order::due_on(person.order, day + days{ahead}, person.zone)) {
      const auto& line = *person.order.line(due.line);
      const auto* given = order::swapped_for(person.order, due, due.to.at, person.zone);
      if (given == nullptr || person.order.state(line, due.day) != order::State::current ||
          !order::given_for(person.order, due).empty())
        continue;
      auto watch = swapped(line, shelf, *given, due);
      watch.until = due.to;
      out.push_back(std::move(watch));
    }
  }
}

// Of basal insulin whose window is over it stays with the question what became of the dose (H57).
void stays_swapped(const chart::Chart& person, const shelf::Shelf& shelf, const order::Due& due,
                   std::vector<Watch>& out) {
  const auto* given = order::swapped_for(person.order, due, due.to.at, person.zone);
  if (given == nullptr) return;
  auto watch = swapped(*person.order.line(due.line), shelf, *given, due);
  watch.shows_from = due.to;
  out.push_back(std::move(watch));
}

void watch_doses(const chart::Chart& person, const shelf::Shelf& shelf, std::vector<Watch>& out) {
  watch_perhaps(person, shelf, out);
  watch_swapped(person, shelf, out);
  for (const auto& line : person.order.lines) {
    if (may_still_hold(line) && !line.ended) watch_answers(person, shelf, line, out);
  }
  for (const auto& slot : interlock::unrecorded_of(person, std::nullopt)) {
    stays_swapped(person, shelf, slot.first, out);
    if (!slot.by_diary) {
      out.push_back(unrecorded(person, slot, shelf));
      continue;
    }
    // Asked beside the next number; nobody is reminded where doses come home by diary (H32), but of
    // one that had no number.
    if (const auto held = first_withheld(person, slot.first))
      out.push_back(unrecorded(person, {*held, *held, true, {}}, shelf));
  }
}

// One watch a day, so that saying "asked, no lows" today does not silence tomorrow (H32, H36).
void watch_skin(const chart::Chart& person, std::vector<Watch>& out) {
  std::vector<LocalDay> watched;  // areas found at one visit are left on one day
  for (const auto& area : person.skin.areas) {
    const auto left = area.left_since();
    if (!left || std::ranges::find(watched, left->day()) != watched.end()) continue;
    if (!skin::where_injected(person.skin, area, left->day(), skin::injects_there_days)) continue;
    watched.push_back(left->day());
    for (int day = 0; day < hardened_days; ++day) {
      Watch watch;
      watch.what = What::leaving_hardened;
      const auto on = left->day() + days{day};
      watch.shows_from = day == 0 ? *left : midnight(person, on);
      watch.due = watch.shows_from;
      watch.until = midnight(person, on + days{1});
      watch.figures = DayOfLeaving{day + 1, hardened_days, area.last().zone};
      watch.basis = to_text(area.area) + "/" + std::to_string(left->at.time_since_epoch().count()) +
                    "/" + std::to_string(day);
      out.push_back(std::move(watch));
    }
  }
}

}  // namespace

When midnight(const chart::Chart& person, LocalDay day) {
  return person.zone.resolve(LocalTime{day});
}

Watch about(const order::Line& line, const shelf::Shelf& shelf, What what, When from, When due) {
  Watch watch;
  watch.what = what;
  watch.shows_from = from;
  watch.due = due;
  watch.insulin = line.text.insulin;
  watch.strength = line.text.strength;
  if (const auto* entry = shelf.insulin(line.text.insulin, line.text.strength))
    watch.action = entry->thing.action;
  watch.purpose = line.text.purpose;
  watch.basis = to_text(line.id);
  return watch;
}

Watch unrecorded(const chart::Chart& person, const order::Unrecorded& slot,
                 const shelf::Shelf& shelf) {
  auto watch = about(*person.order.line(slot.first.line), shelf, What::dose_unrecorded,
                     slot.first.to, slot.first.at);
  watch.until = slot.until;
  watch.holds = true;
  watch.basis += std::to_string(slot.first.at.at.time_since_epoch().count());
  return watch;
}

When next_slot(const chart::Chart& person, const order::Line& line, const When& from) {
  for (int ahead = 0; ahead <= 8; ++ahead) {
    for (const auto& due : order::due_on(person.order, from.day() + days{ahead}, person.zone)) {
      if (due.line == line.id && due.to.at >= from.at) return due.at;
    }
  }
  return from;
}

std::vector<Watch> watches(const chart::Chart& person, const chart::Clinic& clinic) {
  const auto& shelf = clinic.shelf;
  std::vector<Watch> out;
  watch_cartridges(person, clinic, out);
  watch_pens(person, shelf, out);
  watch_order(person, shelf, out);
  watch_questions(person, shelf, out);
  watch_doses(person, shelf, out);
  watch_supplies(person, clinic, out);
  watch_skin(person, out);
  watch_calls(person, out);
  watch_rescue(person, out);
  watch_needlesticks(person, out);
  watch_held(person, clinic, out);
  for (const auto& watch : out) INVARIANT(watch.figures.index() == figures_of(watch.what).index());
  std::ranges::stable_sort(out, {},
                           [](const Watch& watch) { return std::pair{watch.due.at, watch.what}; });
  return out;
}

Figures figures_of(What what) {
  switch (what) {
    case What::cartridge_unfit:
      return OutOfUse{};
    case What::past_in_use:
    case What::in_use_ends:
      return InUse{};
    case What::question_open:
      return Reason{};
    case What::outcome_unknown:
    case What::part_owed:
      return Owed{};
    case What::second_check:
    case What::answer_waits:
    case What::left_open:
      return Copied{};
    case What::needlestick:
      return Pricking{};
    case What::too_much:
      return WentIn{};
    case What::order_ended:
    case What::basal_ended:
    case What::order_ends:
    case What::glucagon_expired:
      return LastDay{};
    case What::tell_prescriber:
      return Answered{};
    case What::scale_disagrees:
      return ScaleRead{};
    case What::leaving_hardened:
      return DayOfLeaving{};
    case What::ask_for_more:
    case What::not_come:
      return Shortage{};
    case What::needles_short:
      return NeedlesLeft{};
    case What::sharps_full:
      return BoxFills{};
    case What::supplies_differ:
      return Counted{};
    case What::accounts_differ:
      return Difference{};
    case What::none_loaded:
    case What::starts_without:
      return Lacking{};
    case What::dose_held:
      return HeldBy{};
    case What::contact_due:
    case What::ring_back:
    case What::not_rung_back:
    case What::call_due:
    case What::did_not_come:
    case What::not_reached:
      return Contacting{};
    case What::window_unknown:
    case What::dose_unrecorded:
    case What::swapped:
    case What::given_perhaps:
    case What::runs_short:
    case What::signature_owed:
    case What::needle_left_on:
    case What::nothing_sealed:
      return NothingMore{};
  }
  promise_broken("a watch without figures");
}

std::optional<Alarm> alarm(const Watch& watch, Instant now) {
  if (now < watch.shows_from.at) return std::nullopt;
  if (watch.until && now >= watch.until->at) return std::nullopt;
  switch (watch.what) {
    case What::cartridge_unfit:
    case What::past_in_use:
    case What::window_unknown:
    case What::none_loaded:
    case What::swapped:
    case What::dose_held:
    case What::order_ended:
      return Alarm{Level::stop, true};
    case What::too_much:
      // It acts no more, and the prescriber has not answered.
      return Alarm{watch.shows_from.at > watch.due.at ? Level::caution : Level::stop, true};
    case What::question_open:
    case What::outcome_unknown:
    case What::part_owed:
    case What::dose_unrecorded:
    case What::given_perhaps:
    case What::tell_prescriber:
    case What::answer_waits:
    case What::second_check:
    case What::basal_ended:
      return Alarm{Level::caution, true};
    case What::runs_short:
    case What::starts_without:
      // The day before it is empty it can hold up a dose.
      return Alarm{watch.due.at - now < days{2} ? Level::stop : Level::caution,
                   watch.due.at - now < days{1}};
    case What::scale_disagrees:
      return Alarm{Level::caution, watch.holds};
    case What::order_ends:
    case What::leaving_hardened:
    case What::nothing_sealed:
    case What::ask_for_more:
    case What::not_come:
    case What::needles_short:
    case What::sharps_full:
    case What::ring_back:
    case What::not_rung_back:
    case What::did_not_come:
    case What::not_reached:
    case What::left_open:
    case What::needlestick:
    case What::glucagon_expired:
      return Alarm{Level::caution, false};
    case What::supplies_differ:
    case What::accounts_differ:
    case What::in_use_ends:
    case What::signature_owed:
    case What::needle_left_on:
    case What::contact_due:
    case What::call_due:
      return Alarm{Level::note, false};
  }
  return std::nullopt;
}

bool can_be_dismissed(const Watch& watch, Instant now) {
  const auto how = alarm(watch, now);
  const bool keeps_a_dose = watch.holds || watch.what == What::question_open ||
                            watch.what == What::outcome_unknown || watch.what == What::part_owed;
  return !keeps_a_dose && (!how || how->level != Level::stop);
}

std::vector<const Watch*> ringing(std::span<const Watch> watches,
                                  std::span<const Dismissed> dismissed, Instant now) {
  std::vector<const Watch*> out;
  for (const auto& watch : watches) {
    const auto how = alarm(watch, now);
    if (!how) continue;
    const Dismissed key{word_of(watch.what), watch.basis};
    if (can_be_dismissed(watch, now) && std::ranges::find(dismissed, key) != dismissed.end())
      continue;
    out.push_back(&watch);
  }
  std::ranges::stable_sort(out, std::greater<>{},
                           [now](const Watch* watch) { return alarm(*watch, now)->level; });
  return out;
}

}  // namespace penstock::watch
