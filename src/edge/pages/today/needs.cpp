#include "edge/pages/today/internal/needs.hpp"

#include <algorithm>
#include <tuple>
#include <utility>

namespace penstock::pages {
namespace {

using std::chrono::days;
using watch::What;

// A dose of which nobody knows what became of it, or whether it may be given.
bool is_in_question(What what) { return reason_of(what) == Reason::in_question; }

// What is about a dose whose hour has passed.
bool is_of_past_dose(What what) {
  return what == What::outcome_unknown || what == What::part_owed ||
         what == What::dose_unrecorded || what == What::swapped || what == What::too_much;
}

// Hours by the zone's own rules where it is the clinic's; else as its clocks stood at the last
// entry, which is an hour off at most until the next.
class Hours {
 public:
  Hours(const summary::Row& listed, const Clinic& clinic) : clinic_(clinic) {
    if (listed.zone.name == clinic.names.zone) return;
    own_.changes.push_back({Instant{}, listed.offset_minutes});
  }
  std::optional<When> next(const summary::Row& listed, std::string_view insulin,
                           Instant now) const {
    const auto& zone = own_.changes.empty() ? clinic_.zone : own_;
    const auto found = watch::next_dose(listed.doses, insulin, zone, now);
    return found ? std::optional(clinic_.zone.when(found->at)) : std::nullopt;
  }
  When here(const When& when) const { return clinic_.zone.when(when.at); }

 private:
  const Clinic& clinic_;
  ZoneRules own_;
};

using Ringing = std::vector<const watch::Watch*>;

// The basal dose that it holds back has gone, and nobody said what became of it: there is no time
// until the next one (H57, H38).
bool has_gone(const watch::Watch& watch, const Ringing& ringing) {
  const auto* question = std::get_if<watch::Reason>(&watch.figures);
  const bool every = question != nullptr && question->every_dose;
  return watch.holds && std::ranges::any_of(ringing, [&](const watch::Watch* other) {
           return other->what == What::dose_unrecorded &&
                  (every || other->insulin == watch.insulin);
         });
}

void put_before_next(Thing& thing, const summary::Row& listed, const Ringing& ringing,
                     const Hours& hours, const When& now) {
  thing.group = Group::before_next;
  const auto& due = thing.watch->due;
  thing.day = now.day();
  thing.late = is_of_past_dose(thing.watch->what) || has_gone(*thing.watch, ringing);
  if (thing.late) return;
  thing.by = due.at > now.at ? std::optional(hours.here(due))
                             : hours.next(listed, thing.watch->insulin, now.at);
  thing.late = thing.by && thing.by->at < now.at;
}

// An hour that somebody agreed; of anything else the day is what counts.
bool has_hour(const watch::Watch& watch) {
  switch (watch.what) {
    case What::contact_due:
    case What::not_rung_back:
    case What::left_open:
      return true;
    case What::ring_back:
      return watch.due.at != watch.shows_from.at;  // else nobody said by when
    default:
      return false;
  }
}

void put_by_day(Thing& thing, const Hours& hours, const When& now) {
  const auto& watch = *thing.watch;
  const bool ends_at_midnight =
      watch.due.minute().minutes == 0 && watch.due.at > watch.shows_from.at;
  thing.day = watch.due.day() - days{ends_at_midnight && !has_hour(watch) ? 1 : 0};
  thing.group = thing.day <= now.day() ? Group::today : Group::this_week;
  if (!has_hour(watch)) return;
  thing.by = hours.here(watch.due);
  thing.late = watch.due.at < now.at;
}

Thing thing_of(const summary::Row& listed, const watch::Watch& watch, const Ringing& ringing,
               const Hours& hours, const When& now) {
  Thing thing{{}, &watch, *watch::alarm(watch, now.at), {}};
  if (thing.how.before_next) {
    put_before_next(thing, listed, ringing, hours, now);
  } else {
    put_by_day(thing, hours, now);
  }
  return thing;
}

// What has an hour before what only has the day.
auto place_of(const Thing& thing) {
  const auto* held = std::get_if<watch::HeldBy>(&thing.watch->figures);
  // Somebody is ill, or too much insulin acts: glucose is measured now.
  const bool is_urgent = (held != nullptr && held->why == watch::NoNumber::ill) ||
                         (thing.watch->what == What::too_much && thing.how.level == Level::stop);
  const int rank = is_urgent                           ? 0
                   : is_in_question(thing.watch->what) ? 1
                   : thing.how.level == Level::stop    ? 2
                                                       : 3;
  const bool is_past = is_urgent || (thing.late && thing.group == Group::before_next);
  const auto at = is_past ? Instant::min() : thing.by ? thing.by->at : Instant::max();
  return std::tuple{thing.group, rank, thing.day, at, thing.watch->due.at};
}

}  // namespace

Reason reason_of(What what) {
  switch (what) {
    case What::question_open:
    case What::outcome_unknown:
    case What::part_owed:
    case What::swapped:
    case What::given_perhaps:
    case What::too_much:
      return Reason::in_question;
    case What::dose_unrecorded:
    case What::tell_prescriber:
      return Reason::unrecorded;
    case What::cartridge_unfit:
    case What::past_in_use:
      return Reason::do_not_use;
    case What::window_unknown:
    case What::none_loaded:
    case What::dose_held:
      return Reason::no_number;
    case What::second_check:
    case What::signature_owed:
    case What::answer_waits:
      return Reason::check;
    case What::order_ended:
    case What::basal_ended:
    case What::order_ends:
      return Reason::order_ends;
    case What::contact_due:
    case What::ring_back:
    case What::not_rung_back:
    case What::call_due:
    case What::did_not_come:
    case What::not_reached:
    case What::left_open:
      return Reason::call;
    case What::needlestick:
      return Reason::exposure;
    case What::leaving_hardened:
      return Reason::low_watch;
    case What::runs_short:
    case What::starts_without:
    case What::nothing_sealed:
    case What::ask_for_more:
    case What::not_come:
    case What::needles_short:
    case What::sharps_full:
    case What::glucagon_expired:
      return Reason::supplies;
    case What::scale_disagrees:
    case What::supplies_differ:
    case What::accounts_differ:
      return Reason::counts;
    case What::in_use_ends:
      return Reason::period_ends;
    case What::needle_left_on:
      return Reason::needle_on;
  }
  promise_broken("a watch without a reason");
}

bool Need::must_show() const {
  return std::ranges::any_of(things, [](const Thing& thing) {
    return thing.group == Group::before_next || thing.how.level == Level::stop;
  });
}

bool Need::is_everybodys() const {
  return must_show() || std::ranges::any_of(things, &Thing::late);
}

std::vector<Need> needs_of(const People& people, const Clinic& clinic, const When& now,
                           std::optional<Reason> of) {
  std::vector<Need> needs;
  for (std::size_t i = 0; i < people.size(); ++i) {
    if (now.at < people.rings_from(i)) continue;  // by far the most: not even looked at
    const auto& listed = people[i];
    Need need{&listed, {}};
    const Hours hours(listed, clinic);
    const auto ringing = summary::ringing(listed, now.at);
    for (const auto* watch : ringing) {
      if (!of || reason_of(watch->what) == *of)
        need.things.push_back(thing_of(listed, *watch, ringing, hours, now));
    }
    if (need.things.empty()) continue;
    std::ranges::stable_sort(need.things, {}, place_of);
    needs.push_back(std::move(need));
  }
  std::ranges::stable_sort(needs, [](const Need& a, const Need& b) {
    const auto one = place_of(a.first()), other = place_of(b.first());
    return one != other ? one < other : a.listed->full_name < b.listed->full_name;
  });
  return needs;
}

bool has_passed(const Thing& thing, const When& now) { return thing.late || thing.day < now.day(); }

}  // namespace penstock::pages
