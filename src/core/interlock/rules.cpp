// The table: what holds a number back, in the order in which it is looked for.
#include <algorithm>

#include "core/by_age/by_age.hpp"
#include "core/contacts/contacts.hpp"
#include "core/facts/facts.hpp"
#include "core/interlock/amounts/went_in.hpp"
#include "core/interlock/internal/case.hpp"
#include "core/interlock/judged/judged.hpp"
#include "core/interlock/lately/lately.hpp"
#include "core/low/low.hpp"
#include "core/order/amounts/amounts.hpp"
#include "core/order/recording.hpp"

namespace penstock::interlock::internal {
namespace {

using std::chrono::hours;
using std::chrono::minutes;
using Is = Flags::Is;

using Found = std::optional<Error>;

Error of_line(std::string_view code, const Case& one, std::vector<Arg> args,
              std::string_view of = {}) {
  for (auto& arg : about(*one.dose->line)) args.push_back(std::move(arg));
  if (!of.empty()) *std::ranges::find(args, "insulin", &Arg::name) = arg_code("insulin", of);
  return refused(code, std::move(args));
}

// ---- what was said on the telephone

/// A hypo that was told in a call, and of which neither a later call nor a later value says that it
/// is over.
bool is_low_told(const chart::Chart& person, const When& told, Instant now) {
  return std::ranges::none_of(person.contacts.glucose, [&](const contacts::Value& one) {
    // Of the same minute nobody knows which came first (H10).
    return one.when.at > told.at && one.when.at <= now && one.said.value &&
           low::last_low(person, one.when.at) == nullptr;
  });
}

/// What is said now, and what a call on record said before it (H53): a yes stands until a call or
/// visit that got through is recorded with a no.
Flags flags_of(const Case& one) {
  auto flags = one.call != nullptr ? one.call->flags : one.said.flags;
  if (one.person == nullptr) return flags;
  const auto told = one.person->contacts.red_flags(one.now.at);
  if (told.low && is_low_told(*one.person, *told.low, one.now.at)) flags.low = Is::yes;
  if (told.not_eating) flags.not_eating = Is::yes;
  if (told.drowsy) flags.drowsy = Is::yes;
  if (told.ketones) flags.ketones = Is::yes;
  return flags;
}

/// What is said in this very call.
const Flags& said_now(const Case& one) {
  return one.call != nullptr ? one.call->flags : one.said.flags;
}

/// Since when it is on record; nothing: it is said now.
std::optional<When> on_record_since(const Case& one) {
  if (one.person == nullptr) return std::nullopt;
  const auto& now = one.said.flags;
  if (now.low == Is::yes || now.not_eating == Is::yes || now.drowsy == Is::yes ||
      now.ketones == Is::yes)
    return std::nullopt;
  const auto told = one.person->contacts.red_flags(one.now.at);
  std::optional<When> since;
  for (const auto& flag : {told.low, told.not_eating, told.drowsy, told.ketones}) {
    if (flag && (!since || flag->at < since->at)) since = flag;
  }
  return since;
}

bool is_for_meals(shelf::Action action) {
  return action == shelf::Action::rapid || action == shelf::Action::short_acting;
}

Found flags_unasked(const Case& one) {
  const auto& flags = said_now(one);
  // Only ketones are measured; of the others that is no answer.
  const auto open = [](Is said) { return said == Is::unasked || said == Is::not_measured; };
  const bool some = open(flags.low) || open(flags.not_eating) || open(flags.drowsy) ||
                    flags.ketones == Is::unasked || open(flags.travelling);
  if (one.call != nullptr)
    return some || flags.last == Flags::Last::unasked ? Found(refused(codes::flags_unasked, {}))
                                                      : Found();
  if (one.said.where == SaidOfDose::Where::at_the_desk || (!some && !open(flags.missed))) return {};
  return refused(codes::flags_unasked_on_record, {});
}

// What a refusal for illness says besides: whether it is basal insulin, which is never silently
// dropped (H38), and the order's own sick-day words (H47).
Error refused_ill(std::string_view code, const Case& one) {
  auto error = refused(code, {});
  if (one.dose != nullptr) {
    error.args = about(*one.dose->line);
    const auto flags = flags_of(one);
    const auto& sick_day = one.dose->line->text.sick_day;
    if (const auto since = on_record_since(one)) error.args.push_back(arg_instant("told", *since));
    if (!sick_day.empty() && (flags.ketones == Is::yes || flags.not_eating == Is::yes))
      error.args.push_back(arg_text("sick_day", sick_day));
  } else if (one.call != nullptr && !is_for_meals(one.call->insulin.thing.action)) {
    error.args.push_back(arg_code("purpose", "background"));
  }
  return error;
}

// Drowsy comes before low: sugar by mouth is not for them (H58, H10).
Found drowsy_now(const Case& one) {
  const auto flags = flags_of(one);
  if (flags.drowsy != Is::yes) return {};
  return refused_ill(flags.low == Is::yes ? codes::low_drowsy : codes::drowsy, one);
}
Found low_now(const Case& one) {
  const auto flags = flags_of(one);
  if (flags.low != Is::yes) return {};
  const bool ketones = flags.ketones == Is::yes, not_eating = flags.not_eating == Is::yes;
  return refused_ill(ketones && not_eating ? codes::low_all
                     : ketones             ? codes::low_ketones
                     : not_eating          ? codes::low_not_eating
                                           : codes::low_now,
                     one);
}
/// H10: whoever is low now is treated first, whatever was asked on the telephone.
Found low_on_record(const Case& one) {
  if (one.person == nullptr || one.dose == nullptr) return {};
  const auto* low = low::open_low(*one.person, one.now.at);
  if (low == nullptr) return {};
  if (!low->said.value) return of_line(codes::low_felt, one, {arg_instant("when", low->when)});
  const auto limit = low::care_for(*one.person, low->when.day()).below;
  return of_line(codes::low_on_record, one,
                 {arg_glucose("value", *low->said.value), arg_instant("when", low->when),
                  arg_glucose("limit", limit)});
}
Found ketones_now(const Case& one) {
  const auto flags = flags_of(one);
  if (flags.ketones != Is::yes) return {};
  return refused_ill(flags.not_eating == Is::yes ? codes::ketones_not_eating : codes::ketones, one);
}
Found not_eating_now(const Case& one) {
  if (flags_of(one).not_eating != Is::yes) return {};
  return refused_ill(codes::not_eating, one);
}
/// What is due, and whether it was given, hang on the clock: set back, it may bring a dose twice
/// (H61, H07).
Found clock_back(const Case& one) {
  if (one.person == nullptr || !one.house.by_clock) return {};
  const auto last = journal::recorded_later(one.person->facts, one.house.last_recorded, one.now.at);
  if (!last) return {};
  std::vector<Arg> args{arg_instant("last", one.person->zone.when(*last)),
                        arg_instant("now", one.now)};
  if (one.dose != nullptr) return of_line(codes::clock_back, one, std::move(args));
  return refused(codes::clock_back, std::move(args));
}
Found travelling_now(const Case& one) {
  if (flags_of(one).travelling != Is::yes) return {};
  return refused(codes::travelling, {});
}

/// How long after a dose of an insulin the next one may be a double one. Ours: half the time after
/// which such an insulin is usually given again. Common practice, no source.
std::int32_t hours_apart(shelf::Action action) {
  switch (action) {
    case shelf::Action::long_acting:
      return 12;
    case shelf::Action::intermediate:
    case shelf::Action::premixed:
      return 6;
    case shelf::Action::rapid:
    case shelf::Action::short_acting:
      break;
  }
  return 2;
}

Found last_dose_unknown(const Case& one) {
  const auto flags = flags_of(one);
  if (flags.last != Flags::Last::not_known) return {};
  const auto& insulin =
      one.call != nullptr ? one.call->insulin.thing.name : one.dose->line->text.insulin;
  return refused(codes::last_dose_unknown, {arg_text("insulin", insulin)});
}
// Of the order's line; nothing where the products here know no such insulin.
const shelf::Insulin* insulin_of(const Case& one) {
  if (one.dose == nullptr) return nullptr;
  const auto& line = one.dose->line->text;
  const auto* entry = one.house.shelf.insulin(line.insulin, line.strength);
  return entry != nullptr ? &entry->thing : nullptr;
}
Found last_dose_lately(const Case& one) {
  const auto flags = flags_of(one);
  if (flags.last != Flags::Last::hours) return {};
  const auto* insulin = one.call != nullptr ? &one.call->insulin.thing : insulin_of(one);
  if (insulin == nullptr || flags.last_hours >= hours_apart(insulin->action)) return {};
  return refused(codes::last_dose_lately,
                 {arg_text("insulin", insulin->name), arg_count("hours", flags.last_hours),
                  arg_count("least", hours_apart(insulin->action))});
}
/// H57, H38: so long after the last one of an insulin that is not for meals two doses were missed.
Found last_dose_long_ago(const Case& one) {
  const auto flags = flags_of(one);
  if (one.call == nullptr || flags.last != Flags::Last::hours) return {};
  const auto& insulin = one.call->insulin.thing;
  constexpr std::int32_t two_doses = 4;  // of hours_apart, which is half the time between two
  if (is_for_meals(insulin.action) || flags.last_hours < two_doses * hours_apart(insulin.action))
    return {};
  auto error = refused_ill(codes::last_dose_long_ago, one);
  error.args.push_back(arg_text("insulin", insulin.name));
  error.args.push_back(arg_count("hours", flags.last_hours));
  return error;
}
Found days_unknown(const Case& one) {
  // Where unopened ones are in the house, one of them is planned with.
  const bool unknown = one.call != nullptr && !one.call->left.is_zero() &&
                       !one.call->days_in_use.has_value() && one.call->unopened == 0;
  return unknown ? Found(refused(codes::days_unknown, {})) : Found();
}
Found spent_unknown(const Case& one) {
  const bool unknown = one.call != nullptr && one.call->primed != Call::Primed::not_yet &&
                       one.call->pen.window == shelf::Window::counts_on &&
                       (!one.call->spent || one.call->spent->is_zero());
  return unknown ? Found(refused(codes::spent_unknown, {})) : Found();
}
Found dry_unknown(const Case& one) {
  const bool unknown = one.call != nullptr && one.call->primed == Call::Primed::not_seen &&
                       one.call->dry_primes.value_or(0) == 0;
  return unknown ? Found(refused(codes::dry_unknown, {})) : Found();
}
Found more_than_holds(const Case& one) {
  if (one.call == nullptr) return {};
  Units most = Units::zero();
  for (const auto& entry : one.house.shelf.cartridges) {
    if (entry.thing.insulin == one.call->insulin.code && shelf::fits(one.call->pen, entry.thing))
      most = larger(most, entry.thing.content);
  }
  if (most.is_zero() || one.call->left <= most) return {};
  return refused(codes::more_than_holds,
                 {arg_units("left", one.call->left), arg_units("content", most)});
}
Found dose_unusual(const Case& one) {
  const auto usual = *Units::from_hundredths(facts::usual_dose_hundredths_most);
  if (one.call == nullptr || one.call->dose <= usual || one.call->dose_said_twice) return {};
  return refused(codes::dose_unusual,
                 {arg_units("dose", one.call->dose), arg_units("usual", usual)});
}

// ---- what was said against the record (H53)

const ledger::Cartridge* in_pen(const Case& one) {
  const auto* pen = one.dose != nullptr ? one.dose->pen : nullptr;
  return pen != nullptr && pen->cartridge ? one.person->ledger.cartridge(*pen->cartridge) : nullptr;
}
Found dose_differs(const Case& one) {
  if (one.dose == nullptr || !one.said.dose || *one.said.dose == owed(*one.dose)) return {};
  return of_line(codes::dose_differs, one, {arg_units("said", *one.said.dose)});
}
Found strength_differs(const Case& one) {
  if (one.dose == nullptr || !one.said.strength ||
      *one.said.strength == one.dose->line->text.strength)
    return {};
  return of_line(codes::strength_differs, one, {arg_strength("said", *one.said.strength)});
}
/// H03: after a change of strength both pens are in the house.
Found strength_unsaid(const Case& one) {
  if (one.said.where == SaidOfDose::Where::at_the_desk || one.said.strength) return {};
  if (!one.dose->changed) return {};
  return of_line(
      codes::strength_unsaid, one,
      {arg_strength("old", one.dose->changed->old), arg_date("since", one.dose->changed->since)});
}
bool is_answered(const chart::Chart& person, const order::Due& slot) {
  return order::said_of(person.order, slot) != nullptr ||
         !order::given_for(person.order, slot).empty();
}
/// H57: they say that they missed one, and nobody has said of the slot before what became of it.
Found missed_told(const Case& one) {
  if (one.dose == nullptr || one.said.flags.missed != Is::yes) return {};
  const auto slot = slot_before(*one.person, one.dose->due);
  if (!slot || is_answered(*one.person, *slot)) return {};
  return of_line(codes::missed_told, one, {arg_instant("when", slot->at)});
}
/// H57: the record has that one as taken, so it is another that they mean. One that somebody said
/// was missed stands beside the number already (Before).
Found missed_which(const Case& one) {
  if (one.dose == nullptr || one.said.flags.missed != Is::yes || one.dose->before) return {};
  return of_line(codes::missed_which, one, {});
}
Found left_differs(const Case& one) {
  const auto* cartridge = in_pen(one);
  if (cartridge == nullptr || !one.said.left || *one.said.left == cartridge->left) return {};
  return of_line(codes::left_differs, one,
                 {arg_units("said", *one.said.left), arg_units("account", cartridge->left)});
}

// ---- the order, the record, the scale

template <const std::string_view& code>
Found by_order(const Case& one) {
  return one.by_order && one.by_order->code == code ? one.by_order : Found();
}

Found unrecorded(const Case& one) {
  if (one.dose == nullptr || one.dose->pending != nullptr) return {};
  for (const auto& slot : unrecorded_of(*one.person, one.now.at)) {
    if (!waits_for(*one.person, slot, one.dose->due)) continue;
    const bool several = slot.first.at.at != slot.last.at.at;
    // With the reason why it may not have been given, until somebody says what became of it (H04).
    const auto* instead =
        order::swapped_for(one.person->order, slot.last, slot.last.to.at, one.person->zone);
    auto args = instead ? told_instead(*instead)
                        : std::vector{arg_units("dose", slot.last.units),
                                      arg_instant("when", slot.last.at)};
    if (several) args.push_back(arg_instant("since", slot.first.at));
    for (auto& arg : about(*one.person->order.line(slot.last.line))) args.push_back(std::move(arg));
    return refused(instead   ? order::codes::swapped
                   : several ? codes::unrecorded_several
                             : codes::unrecorded,
                   std::move(args));
  }
  return {};
}

Found watched(const Case& one) {
  if (one.dose == nullptr) return {};
  const auto off = watched_to_its_end(*one.person, *one.dose->line, one.now.at, one.dose->pending);
  if (!off) return {};
  return of_line(codes::watched, one, {arg_instant("when", *off)});
}

/// H01, H44: no number before the prime that somebody saw left out. What is taken home has a prime
/// of its own hour.
std::optional<NotPrimed> left_out(const Case& one) {
  if (one.dose == nullptr || one.dose->pen == nullptr || one.said.on_paper) return std::nullopt;
  return prime_not_done(*one.person, *one.dose->line, *one.dose->pen, one.now.at, prime_holds);
}
Found not_primed(const Case& one) {
  const auto found = left_out(one);
  if (!found || found->primed) return {};
  auto prime = one.dose->pen->copy.prime;
  if (one.plan) {
    const auto at = std::ranges::find(one.plan->actions, dial::Do::prime, &dial::Action::what);
    if (at != one.plan->actions.end()) prime = at->primed;
  }
  return of_line(codes::not_primed, one,
                 {arg_instant("when", found->when), arg_units("prime", prime)});
}
Found prime_doubted(const Case& one) {
  const auto found = left_out(one);
  if (!found || !found->primed) return {};
  return of_line(codes::prime_doubted, one,
                 {arg_instant("when", found->when), arg_instant("primed", *found->primed)});
}

/// H59: what a reading says, where it is about this dose or about something else.
Found of_scale(std::string_view code, const Case& one, bool about_this) {
  const auto scale = one.dose == nullptr ? std::nullopt : scale_of(*one.person, *one.dose);
  if (!scale) return {};
  const auto* cartridge = in_pen(one);
  // What is not in the pen any more is read again by nobody, and a dose is missing from it.
  const bool is_this =
      cartridge == nullptr || cartridge->id != scale->cartridge ||
      lacks(*scale, *one.dose->line, one.dose->due, owed(*one.dose), one.dose->pen->copy);
  if (is_this != about_this) return {};
  return of_line(code, one,
                 {arg_units("account", scale->account), arg_units("counted", scale->counted),
                  arg_instant("when", scale->when),
                  about_this ? arg_units("dose", owed(*one.dose))
                             : arg_units("difference", scale->difference())});
}
Found scale_says_taken(const Case& one) { return of_scale(codes::scale_says_taken, one, true); }
Found scale_differs(const Case& one) { return of_scale(codes::scale_differs, one, false); }

/// H18: whether the prescriber said since at which hours this line is given, in an answer about
/// travel or an order that was copied and signed afterwards.
bool hours_are_settled(const Case& one, const When& moved, Instant recorded) {
  const auto& line = *one.dose->line;
  const bool answered =
      std::ranges::any_of(one.person->order.questions, [&](const order::Question& asked) {
        return asked.reason == journal::QuestionReason::travel && asked.answer &&
               asked.answer->when.at >= moved.at && asked.concerns(line.id);
      });
  return answered || (line.recorded.at > recorded && line.paper_of >= moved.day());
}

/// H18, H57: somebody lives by another clock since, and every hour of the order moved with it: the
/// next dose may be half a day too near or too far. Until it is settled, or a dose of the line was
/// recorded by the new clock.
Found zone_moved(const Case& one) {
  if (one.dose == nullptr || !one.person->person.moved) return {};
  const auto& moved = *one.person->person.moved;
  const auto& given = one.person->order.given;
  const bool before = std::ranges::any_of(
      given, [&](const order::Given& dose) { return dose.when.at < moved.when.at; });
  const bool since = std::ranges::any_of(given, [&](const order::Given& dose) {
    return dose.when.at >= moved.when.at && dose.line == one.dose->line->id;
  });
  if (!before || since || hours_are_settled(one, moved.when, moved.recorded)) return {};
  return of_line(codes::zone_moved, one,
                 {arg_text("from", moved.from), arg_text("zone", one.person->person.zone),
                  arg_instant("since", moved.when)});
}

std::optional<ForSlot> slot_for(const Case& one) {
  if (one.dose == nullptr) return std::nullopt;
  return interlock::slot_for(*one.person, *one.dose->line, one.dose->due, one.dose->pending,
                             one.now.at);
}

/// Basal insulin other than ordered went into the slot before, and neither the prescriber nor the
/// entry says why (H07, H04, H02).
Found given_otherwise(const Case& one, std::string_view code,
                      decltype(order::more_than_ordered)* differs) {
  const auto own = slot_for(one);
  if (!own) return {};
  const auto& order = one.person->order;
  const auto slot = slot_before(*one.person, own->slot);
  const auto given = slot ? differs(order, *slot, one.person->zone) : std::nullopt;
  if (!given) return {};
  const auto& line = *one.dose->line;
  if (is_settled(order, line, given->all.back()->when)) return {};
  return of_line(code, one,
                 {arg_units("given", given->given), arg_units("dose", given->ordered),
                  arg_instant("when", slot->at), arg_instant("since", given->all.front()->when)},
                 of_what(order, line, given->all));
}
/// A second dose of the day, hours from the first and of no slot's own (H04, H52).
Found twice_in_a_day(const Case& one) {
  const auto own = slot_for(one);
  if (!own) return {};
  // What became of one that has gone is asked, whatever went in since (H57).
  if (one.dose->pending == nullptr && one.dose->due.to.at < one.now.at) return {};
  const auto& line = *one.dose->line;
  if (!order::is_basal(line)) return {};
  const auto& order = one.person->order;
  // Whoever was asked about what is on record said that it was not this dose.
  const bool asked = std::ranges::any_of(order.said, [&](const order::Said& said) {
    return said.line == line.id && !said.rest_of && said.slot == own->slot.name &&
           said.day == own->slot.day && said.was == journal::DoseWas::not_taken;
  });
  if (asked) return {};
  const auto more = more_in_a_day(order, line, one.person->zone, own->slot, own->until);
  if (!more) return {};
  const auto& [went, due] = *more;
  return of_line(
      codes::more_given, one,
      {arg_units("given", went.units), arg_units("dose", due.is_zero() ? own->slot.units : due),
       arg_instant("when", *went.first), arg_instant("since", *went.first)},
      of_what(went));
}
Found more_given(const Case& one) {
  if (auto found = given_otherwise(one, codes::more_given, order::more_than_ordered)) return found;
  return twice_in_a_day(one);
}
Found less_given(const Case& one) {
  if (one.dose != nullptr && one.dose->pending != nullptr) return {};
  return given_otherwise(one, codes::less_given, order::less_than_ordered);
}

/// The last basal dose went in outside its hours, so lately that both act together: whether it was
/// early or late, nobody here decides (H07, H52).
Found basal_lately(const Case& one) {
  if (one.dose == nullptr || one.dose->pending != nullptr || !one.dose->lately) return {};
  // What became of one that has gone is asked, whatever went in before it (H57).
  if (one.dose->due.to.at < one.now.at) return {};
  const auto& last = *one.dose->lately;
  const bool is_over = one.now.at - last.when.at >= last.holds;
  if (is_over || is_settled(one.person->order, *one.dose->line, last.when)) return {};
  return of_line(
      codes::basal_lately, one,
      {arg_units("given", last.units), arg_instant("when", last.when),
       arg_count("hours", last.holds.count()),
       last.may_be_any ? arg_code("other", of_unknown) : arg_text("other", last.insulin)});
}

/// Of basal insulin a second dose of the day is more than ordered; a single one that was too much
/// is said beside the number, for holding basal insulin back is not ours to decide (H38).
bool is_held_for_too_much(const Case& one) {
  return one.dose != nullptr && one.dose->line->text.purpose != journal::Purpose::background;
}
Found of_too_much(std::string_view code, const Case& one, const std::optional<TooMuch>& found) {
  if (!found) return {};
  return of_line(code, one,
                 {arg_units("given", found->given), arg_units("most", found->most),
                  arg_instant("when", found->when)},
                 found->of);
}
Found far_too_much(const Case& one) {
  if (!is_held_for_too_much(one)) return {};
  return of_too_much(codes::far_too_much, one,
                     beyond_most(*one.person, one.house.shelf, *one.dose->line, one.now.at));
}
Found too_much_together(const Case& one) {
  if (one.dose == nullptr) return {};
  const auto soon = too_soon(*one.person, one.house.shelf, *one.dose->line, one.now.at);
  if (soon) return of_too_much(codes::too_much_together, one, soon);
  if (!is_held_for_too_much(one)) return {};
  return of_too_much(codes::too_much_together, one,
                     together(*one.person, one.house.shelf, *one.dose->line, one.now.at));
}

/// Somebody who reacted severely to an insulin is not given its number, whatever the order says
/// (H61): the prescriber decides.
Found allergic(const Case& one) {
  if (one.dose == nullptr) return {};
  for (const auto& known : one.person->contacts.allergies) {
    const bool is_it = contacts::is_allergen(known.to, one.dose->line->text.insulin);
    if (known.severe == journal::YesNo::yes && is_it)
      return of_line(codes::allergic, one, {arg_text("reaction", known.reaction)});
  }
  return {};
}

/// H39, H52: a rest is worked out from the part that it was left by. What else is on record for
/// that slot, or went in so near to the part, went in besides, and nobody said whether the rest is
/// still owed.
Found parts_differ(const Case& one) {
  if (one.dose == nullptr || one.dose->pending == nullptr) return {};
  const auto& order = one.person->order;
  const auto& pending = *one.dose->pending;
  const auto& line = *one.dose->line;
  const auto slot = order::slot_of(order, line, pending.fact, one.person->zone);
  auto besides = slot ? order::given_for(order, *slot) : std::vector<const order::Given*>();
  for (const auto* near : order::given_near(order, line.text.insulin, pending.since.at)) {
    const auto* under = near->line ? order.line(*near->line) : nullptr;
    const bool on_top = under != nullptr && under->text.purpose == journal::Purpose::correction;
    if (!on_top && std::ranges::find(besides, near) == besides.end()) besides.push_back(near);
  }
  Units given = Units::zero();
  bool others = false;
  for (const auto* each : besides) {
    given = sum(given, each->units);
    others |= !is_of_chain(order, each->fact, pending.fact);
  }
  if (!others) return {};
  return of_line(codes::parts_differ, one,
                 {arg_units("given", given), arg_units("rest", pending.rest),
                  arg_units("meant", pending.meant), arg_instant("when", pending.since)});
}

/// H10, H11: how much of it depends on a glucose value and on what still acts, and neither is asked
/// here.
Found correction(const Case& one) {
  if (one.dose == nullptr || one.dose->line->text.purpose != journal::Purpose::correction)
    return {};
  return of_line(codes::correction, one, {});
}

/// Two lines of one insulin, or of basal insulin, for one hour, each with its number: nobody here
/// knows which is meant (H03, H52, H58).
Found two_lines(const Case& one) {
  const auto own = slot_for(one);
  if (!own) return {};
  const auto& mine = *one.dose->line;
  for (const auto& due : order::due_on(one.person->order, own->slot.day, one.person->zone)) {
    const auto& other = *one.person->order.line(due.line);
    // A correction comes on top of a meal's dose of the same insulin.
    const bool on_top = (other.text.purpose == journal::Purpose::correction) !=
                        (mine.text.purpose == journal::Purpose::correction);
    const auto basal = journal::Purpose::background;
    const bool same = other.id != mine.id && !on_top &&
                      (order::is_same_insulin(other.text.insulin, mine.text.insulin) ||
                       (other.text.purpose == basal && mine.text.purpose == basal));
    if (!same || abs(due.at.at - own->slot.at.at) > minutes{order::near_minutes}) continue;
    return of_line(codes::two_lines, one,
                   {arg_units("dose", own->slot.units), arg_units("other", due.units),
                    arg_text("other_insulin", other.text.insulin),
                    arg_strength("other_strength", other.text.strength)});
  }
  return {};
}

/// H18: on a trip to another clock the order's hours are not theirs, until the prescriber has
/// answered or ordered since it was planned.
Found on_trip(const Case& one) {
  if (one.dose == nullptr) return {};
  const auto day = one.dose->due.day;
  for (const auto& trip : one.person->supply.trips) {
    const bool elsewhere = !trip.said.zone.empty() && trip.said.zone != one.person->person.zone;
    if (!elsewhere || day < trip.said.leaves || day > trip.said.returns) continue;
    if (hours_are_settled(one, trip.when, trip.recorded)) continue;
    return of_line(codes::on_trip, one,
                   {arg_text("zone", trip.said.zone), arg_date("leaves", trip.said.leaves),
                    arg_date("returns", trip.said.returns)});
  }
  return {};
}

bool is_of_age_or_weight(const journal::Fact& fact) {
  return std::holds_alternative<journal::DetailsChanged>(fact.payload) ||
         std::holds_alternative<journal::BackgroundNoted>(fact.payload) ||
         std::holds_alternative<journal::Correction>(fact.payload);
}

/// H25, H63: by the age and weight that are known now the order is more than usual for a child, and
/// nobody was asked about it when it was copied, for they were known otherwise. Until the order is
/// checked anew, or the prescriber has answered.
Found childs_dose(const Case& one) {
  if (one.dose == nullptr || !one.dose->line->checked) return {};
  const auto& line = *one.dose->line;
  journal::Fact copy;
  copy.happened = one.dose->due.at;
  copy.payload = line.text;
  auto odd = by_age::oddity(copy, by_age::known_of(one.person->person));
  const auto check = std::ranges::find(one.person->facts, line.checked->fact, &journal::Fact::id);
  if (!odd || odd->code != by_age::codes::ask_dose || check == one.person->facts.end()) return {};
  std::vector<journal::Fact> then;
  std::optional<Instant> since;
  for (const auto& fact : one.person->facts) {
    if (fact.recorded <= check->recorded) {
      then.push_back(fact);
    } else if (is_of_age_or_weight(fact)) {
      since = std::max(since.value_or(fact.recorded), fact.recorded);
    }
  }
  if (!since) return {};
  const auto history = journal::read(then);
  const auto before = by_age::oddity(copy, by_age::known_of(journal::fold_person(history)));
  if (before && before->code == by_age::codes::ask_dose) return {};
  if (order::is_answered_since(one.person->order, line, std::chrono::floor<minutes>(*since)))
    return {};
  return of_line(codes::childs_dose, one, std::move(odd->args));
}

/// The account would give this dose, and it may have been given already: of an injection nobody
/// knows how much went in, or doses were said to be taken that are not in it (H02, H44).
Found left_uncertain(const Case& one) {
  const auto* cartridge = in_pen(one);
  if (cartridge == nullptr || cartridge->uncounted.is_zero()) return {};
  const auto enough = sum(owed(*one.dose), one.dose->pen->copy.prime);
  const auto least = cartridge->at_least();
  if (least >= enough || cartridge->left < enough) return {};
  return of_line(codes::left_uncertain, one,
                 {arg_units("account", cartridge->left), arg_units("least", least),
                  arg_count("doses", cartridge->doses_uncounted)});
}

// ---- pen and cartridge

/// H04, H03: by the record another insulin, or another strength of it, is in the pen that would
/// give it.
Found other_insulin(const Case& one) {
  const auto* cartridge = in_pen(one);
  if (cartridge == nullptr || cartridge->thrown || cartridge->copy.name.empty()) return {};
  const auto& line = one.dose->line->text;
  if (order::is_same_insulin(cartridge->copy.name, line.insulin) &&
      cartridge->copy.strength == line.strength)
    return {};
  return of_line(codes::other_insulin, one,
                 {arg_text("other", cartridge->copy.name),
                  arg_strength("other_strength", cartridge->copy.strength)});
}
/// H13: the pen that would give it was used for somebody else.
Found pen_shared(const Case& one) {
  if (one.dose == nullptr || one.dose->pen != nullptr) return {};
  const auto& line = one.dose->line->text;
  for (const auto& pen : one.person->ledger.pens) {
    if (pen.is_here() && !pen.shared.empty() && pen.insulin == line.insulin &&
        pen.strength == line.strength)
      return of_line(codes::pen_shared, one, {arg_text("pen", pen.copy.name)});
  }
  return {};
}
/// H61: by its own test it delivers more or less than it is set to.
Found pen_outside(const Case& one) {
  if (one.dose == nullptr || one.dose->pen == nullptr) return {};
  const auto& pen = *one.dose->pen;
  const auto* test = test_outside(*one.person, pen);
  if (test == nullptr) return {};
  return of_line(codes::pen_outside, one,
                 {arg_text("pen", pen.copy.name), arg_instant("when", test->when)});
}
Found other_strength(const Case& one) {
  if (one.dose == nullptr || one.dose->pen != nullptr) return {};
  for (const auto& pen : one.person->ledger.pens) {
    if (!pen.is_here() || !pen.shared.empty() || pen.insulin != one.dose->line->text.insulin ||
        pen.strength == one.dose->line->text.strength)
      continue;
    return of_line(codes::other_strength, one,
                   {arg_strength("pen_strength", pen.strength), arg_text("pen", pen.copy.name)});
  }
  return {};
}
Found no_pen(const Case& one) {
  if (one.dose == nullptr || one.dose->pen != nullptr) return {};
  return of_line(codes::no_pen, one, {arg_units("dose", one.dose->due.units)});
}

/// Only what leaves nothing to plan with holds; else it is said beside the plan.
template <const std::string_view& code>
Found nothing_but(const Case& one) {
  if (!one.at_home.cartridges.empty()) return {};
  const auto found = std::ranges::find(one.at_home.set_aside, code, &SetAside::code);
  if (found == one.at_home.set_aside.end()) return {};
  auto error = found->error;
  if (one.dose == nullptr) return error;
  for (auto& arg : about(*one.dose->line)) {
    if (std::ranges::find(error.args, arg.name, &Arg::name) == error.args.end())
      error.args.push_back(std::move(arg));
  }
  return error;
}

/// decide is only asked about lines that are there: see interlock::no_line.
Found no_line(const Case&) { return {}; }

Found no_plan(const Case& one) {
  if (!one.by_dial) return {};
  auto error = *one.by_dial;
  if (one.dose == nullptr) return error;
  for (auto& arg : about(*one.dose->line)) error.args.push_back(std::move(arg));
  return error;
}

struct Row {
  Rule rule;
  Found (*find)(const Case& one);
  std::array<Answer, 4> answers{};
  std::size_t answer_count = 0;
};

template <class... Answers>
constexpr Row ask(std::string_view code, Today today, Found (*find)(const Case&),
                  Answers... answers) {
  return {{code, Way::ask, today}, find, {answers...}, sizeof...(answers)};
}
constexpr Row hold(std::string_view code, Today today, Found (*find)(const Case&)) {
  return {{code, Way::hold, today}, find, {}, 0};
}

namespace oc = order::codes;

// First what cannot wait, then whether this insulin may be in already, then whether it can be
// given. The order's own refusals stand in their own order.
constexpr Row table[] = {
    hold(codes::drowsy, Today::emergency, drowsy_now),
    ask(codes::flags_unasked, Today::say_first, flags_unasked, Answer::said),
    hold(codes::low_now, Today::treat_first, low_now),
    hold(codes::low_on_record, Today::treat_first, low_on_record),
    hold(codes::ketones, Today::sick, ketones_now),
    hold(codes::not_eating, Today::sick, not_eating_now),
    hold(codes::clock_back, Today::say_first, clock_back),
    hold(codes::travelling, Today::prescriber, travelling_now),
    hold(codes::last_dose_unknown, Today::nothing_more, last_dose_unknown),
    hold(codes::last_dose_lately, Today::nothing_more, last_dose_lately),
    hold(codes::last_dose_long_ago, Today::sick, last_dose_long_ago),
    hold(oc::replaced, Today::prescriber, by_order<oc::replaced>),
    hold(oc::ended, Today::prescriber, by_order<oc::ended>),
    hold(oc::unchecked, Today::prescriber, by_order<oc::unchecked>),
    hold(oc::question_open, Today::prescriber, by_order<oc::question_open>),
    hold(oc::stopped, Today::prescriber, by_order<oc::stopped>),
    hold(oc::new_awaited, Today::prescriber, by_order<oc::new_awaited>),
    hold(oc::answered_in_words, Today::prescriber, by_order<oc::answered_in_words>),
    hold(oc::not_yet, Today::prescriber, by_order<oc::not_yet>),
    hold(codes::correction, Today::prescriber, correction),
    hold(codes::on_trip, Today::prescriber, on_trip),
    hold(codes::zone_moved, Today::prescriber, zone_moved),
    hold(codes::childs_dose, Today::prescriber, childs_dose),
    hold(oc::rest_none, Today::nothing_more, by_order<oc::rest_none>),
    ask(oc::rest_late, Today::nothing_more, by_order<oc::rest_late>, Answer::injected,
        Answer::not_taken, Answer::not_known),
    hold(oc::rest_more, Today::rest_alone, by_order<oc::rest_more>),
    hold(oc::dose_outside, Today::prescriber, by_order<oc::dose_outside>),
    hold(oc::outcome_unknown, Today::nothing_more, by_order<oc::outcome_unknown>),
    hold(oc::part_given, Today::rest_alone, by_order<oc::part_given>),
    ask(oc::not_known, Today::nothing_more, by_order<oc::not_known>, Answer::injected,
        Answer::taken, Answer::not_taken),
    hold(oc::taken_already, Today::nothing_more, by_order<oc::taken_already>),
    hold(oc::swapped, Today::prescriber, by_order<oc::swapped>),
    ask(oc::taken_perhaps, Today::nothing_more, by_order<oc::taken_perhaps>, Answer::taken,
        Answer::not_taken, Answer::not_known),
    ask(codes::watched, Today::nothing_more, watched, Answer::injected, Answer::part,
        Answer::not_taken, Answer::not_known),
    hold(codes::allergic, Today::prescriber, allergic),
    ask(codes::parts_differ, Today::nothing_more, parts_differ, Answer::not_taken,
        Answer::not_known),
    hold(codes::two_lines, Today::prescriber, two_lines),
    hold(codes::far_too_much, Today::prescriber, far_too_much),
    hold(codes::too_much_together, Today::prescriber, too_much_together),
    hold(codes::more_given, Today::prescriber, more_given),
    hold(codes::less_given, Today::prescriber, less_given),
    hold(codes::basal_lately, Today::nothing_more, basal_lately),
    ask(codes::unrecorded, Today::nothing_more, unrecorded, Answer::injected, Answer::not_taken,
        Answer::not_known),
    ask(codes::scale_says_taken, Today::nothing_more, scale_says_taken, Answer::injected,
        Answer::not_taken, Answer::not_known),
    ask(codes::scale_differs, Today::nothing_more, scale_differs, Answer::scale, Answer::injected,
        Answer::not_taken, Answer::not_known),
    ask(codes::left_uncertain, Today::say_first, left_uncertain, Answer::scale),
    hold(codes::no_line, Today::prescriber, no_line),
    ask(codes::missed_told, Today::nothing_more, missed_told, Answer::injected, Answer::not_taken,
        Answer::not_known),
    hold(codes::missed_which, Today::prescriber, missed_which),
    hold(codes::strength_differs, Today::other_source, strength_differs),
    ask(codes::strength_unsaid, Today::say_first, strength_unsaid, Answer::said),
    hold(codes::dose_differs, Today::prescriber, dose_differs),
    ask(codes::left_differs, Today::say_first, left_differs, Answer::scale),
    ask(codes::days_unknown, Today::say_first, days_unknown, Answer::said),
    ask(codes::spent_unknown, Today::say_first, spent_unknown, Answer::said),
    ask(codes::dry_unknown, Today::say_first, dry_unknown, Answer::said),
    ask(codes::more_than_holds, Today::say_first, more_than_holds, Answer::said),
    ask(codes::dose_unusual, Today::say_first, dose_unusual, Answer::said),
    hold(codes::pen_shared, Today::other_source, pen_shared),
    hold(codes::pen_outside, Today::other_source, pen_outside),
    hold(codes::other_strength, Today::other_source, other_strength),
    hold(codes::other_insulin, Today::other_source, other_insulin),
    hold(codes::no_pen, Today::other_source, no_pen),
    hold(codes::recalled, Today::other_source, nothing_but<codes::recalled>),
    hold(codes::unfit, Today::other_source, nothing_but<codes::unfit>),
    hold(codes::expired, Today::other_source, nothing_but<codes::expired>),
    hold(codes::no_fit, Today::other_source, nothing_but<codes::no_fit>),
    ask(codes::not_primed, Today::say_first, not_primed, Answer::primed, Answer::primed_dry),
    ask(codes::prime_doubted, Today::say_first, prime_doubted, Answer::was_primed),
    hold(no_plan_rule, Today::other_source, no_plan),
};

constexpr auto rules_of() {
  std::array<Rule, std::size(table)> out{};
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = table[i].rule;
  return out;
}
constexpr auto all_rules = rules_of();

/// Every refusal of the order has its row, in the order's own order.
constexpr bool has_the_orders_refusals() {
  std::size_t at = 0;
  for (const auto code : order::refusals) {
    if (code == oc::none) continue;  // decide is asked about lines that are there
    while (at < all_rules.size() && all_rules[at].code != code) ++at;
    if (at == all_rules.size()) return false;
  }
  return true;
}
static_assert(has_the_orders_refusals());

}  // namespace

namespace {

/// Whether a sealed one is at home that may be used, or one that was taken out earlier: what is in
/// another pen is planned with instead of this one (H38). Without a pen: any of its strength (H03).
bool has_another(const Case& one) {
  if (one.dose->pen == nullptr) {
    return std::ranges::any_of(one.person->ledger.stock, [&line = one.dose->line->text](auto& is) {
      return is.insulin == line.insulin && is.strength == line.strength && is.at_least() > 0;
    });
  }
  return std::ranges::any_of(one.at_home.sources,
                             [](const Source& source) { return source.goes_in(); });
}

Held held_by(const Case& one, std::size_t row, Error error) {
  Held held{std::move(error), row, table[row].rule.today, {}};
  if (held.today != Today::other_source || one.dose == nullptr) return held;
  if (!has_another(one)) held.today = Today::get_more;
  for (const auto& aside : one.at_home.set_aside) {
    if (aside.code != codes::no_fit && aside.code != held.error.code)
      held.set_aside.push_back(aside.error);
  }
  return held;
}

}  // namespace

std::optional<Verdict> first_that_holds(const Case& one) {
  for (std::size_t row = 0; row < std::size(table); ++row) {
    const auto& [rule, find, answers, count] = table[row];
    if (rule.code == one.house.without) continue;
    auto error = find(one);
    if (!error) continue;
    if (const auto takes = one.takes()) error->args.push_back(arg_pen_kind(*takes));
    auto held = held_by(one, row, *std::move(error));
    if (rule.way == Way::hold) return Hold{std::move(held)};
    const auto end = answers.begin() + static_cast<std::ptrdiff_t>(count);
    AskFirst ask{std::move(held), {answers.begin(), end}};
    // Of a dose that has not come it is known that it was not taken: what went earlier was not this
    // one, and "not known" would keep basal insulin from somebody tonight (H38).
    const bool of_scale = rule.code == codes::scale_says_taken || rule.code == codes::scale_differs;
    if (of_scale && one.dose->due.from.at > one.now.at) std::erase(ask.answers, Answer::not_known);
    return ask;
  }
  return std::nullopt;
}

}  // namespace penstock::interlock::internal

namespace penstock::interlock {

bool is_one_missed(const Call& call) {
  constexpr std::int32_t late = 3;  // of hours_apart, half the time between two. Ours.
  const auto action = call.insulin.thing.action;
  return call.flags.last == Flags::Last::hours && !internal::is_for_meals(action) &&
         call.flags.last_hours >= late * internal::hours_apart(action);
}

std::span<const Rule> rules() { return internal::all_rules; }

}  // namespace penstock::interlock
