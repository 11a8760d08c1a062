// Whether a dose may be dialled: the closed list of refusals, looked for in its declared order.
#include <algorithm>
#include <string>

#include "core/order/internal/matching.hpp"
#include "core/order/internal/same_name.hpp"
#include "core/order/order.hpp"
#include "core/order/recording.hpp"

namespace penstock::order {
namespace {

using internal::Whole;
using internal::whole_of;
using journal::Outcome;
using std::chrono::minutes;

/// What a refusal of a due dose has to carry, so that words can say how to get insulin (H38).
class Refusal {
 public:
  Refusal(const Line& line, const std::optional<Due>& due) : line_(line), due_(due) {}

  Error because(std::string_view code, std::vector<Arg> args = {}) const {
    Error error{Kind::refused, std::string(code), std::move(args), ""};
    error.args.push_back(arg_text("insulin", line_.text.insulin));
    error.args.push_back(arg_strength("strength", line_.text.strength));
    error.args.push_back(arg_code("purpose", word(line_.text.purpose)));
    error.args.push_back(arg_count("version", line_.text.order_version));
    if (due_) error.args.push_back(arg_instant("due", due_->at));
    return error;
  }

 private:
  const Line& line_;
  const std::optional<Due>& due_;
};

std::optional<Due> due_now(const Line& line, Instant now, const ZoneRules& zone) {
  std::vector<Due> dues;
  const LocalDay today = zone.when(now).day();
  for (int ahead = -1; ahead <= 1; ++ahead) {
    internal::add_dues(line, today + std::chrono::days{ahead}, zone, dues);
  }
  std::optional<Due> best;
  for (const Due& due : dues) {
    if (due.from.at > now || due.to.at < now) continue;
    // Of overlapping windows the one whose time is nearest.
    if (!best || abs(due.at.at - now) < abs(best->at.at - now)) best = due;
  }
  return best;
}

std::optional<Error> refuse_by_state(const Order& order, const Line& line, LocalDay day,
                                     const Refusal& refusal) {
  switch (order.state(line, day)) {
    case State::replaced:
      return refusal.because(codes::replaced, {arg_date("since", line.replaced_from)});
    case State::ended:
      return refusal.because(codes::ended, {arg_date("last_day", *line.last_day())});
    case State::awaiting_check:
      return refusal.because(codes::unchecked, {arg_text("copied_by", line.text.copied_by)});
    case State::in_question: {
      const Question& q = *order.holding_back(line).front();
      if (q.is_open()) {
        return refusal.because(codes::question_open,
                               {arg_code("reason", "reason/" + std::string(word(q.reason))),
                                arg_instant("since", q.opened)});
      }
      const bool stops = q.answer->answer == journal::AnswerKind::stop;
      std::vector<Arg> args{arg_text("by", q.answer->by), arg_instant("since", q.answer->when)};
      if (q.answer->answer == journal::AnswerKind::other) {
        args.push_back(arg_text("text", q.answer->text));
        return refusal.because(codes::answered_in_words, std::move(args));
      }
      if (stops) return refusal.because(codes::stopped, std::move(args));
      // What is on record for a later day says nothing of the doses before it (H38).
      args.push_back(
          arg_code("arrived", line.replaced_by ? "new_order/later" : "new_order/awaited"));
      return refusal.because(codes::new_awaited, std::move(args));
    }
    case State::not_yet:
      return refusal.because(codes::not_yet, {arg_date("from", line.text.from)});
    case State::current:
      break;
  }
  return std::nullopt;
}

std::vector<Arg> args_of(const Given& given) {
  return {arg_amount("given", given), arg_instant("when", given.when),
          given.by_name.empty() ? arg_code("by", "by/" + std::string(word(given.by)))
                                : arg_text("by", given.by_name)};
}

/// The largest dose that the line orders; of one without slots what it allows.
Units most_at_once(const Line& line) {
  Units most = Units::zero();
  for (const auto& slot : line.text.slots) most = larger(most, slot.units);
  return most.is_zero() ? line.most() : most;
}

/// As much as the rest, of another insulin whose order asks for no such dose: it seems to be the
/// rest, from the wrong pen (H04, H39). nullptr: none, or the prescriber answered since.
const Given* instead_of_rest(const Order& order, const Line& line, const Ask& ask,
                             const Whole& whole) {
  const Given* found = nullptr;
  for (const Given& given : order.given) {
    const bool since = given.when.at >= whole.first->when.at && given.when.at <= ask.now;
    const bool is_other =
        !given.insulin.empty() && !internal::same_name(given.insulin, line.text.insulin);
    if (!since || !is_other || given.completes || given.units != whole.rest()) continue;
    const bool is_ordered = std::ranges::any_of(order.holding(given.when.day()), [&](auto* own) {
      return internal::is_of(given, *own) && given.units >= own->least() &&
             given.units <= own->most();
    });
    if (!is_ordered) found = &given;
  }
  return found && !is_answered_since(order, line, found->when.at) ? found : nullptr;
}

std::optional<Error> refuse_rest(const Order& order, const Line& line, const Ask& ask,
                                 const ZoneRules& zone, const Refusal& refusal) {
  const Whole whole = whole_of(order, line, *ask.completes, zone);
  if (!whole.first || (!whole.unknown && whole.rest().is_zero())) {
    return refusal.because(codes::rest_none);
  }
  // What nobody knew of a rest is found out, as of a dose (H44, H38).
  if (whole.rest_unknown) return refusal.because(codes::not_known);
  if (whole.unknown) return refusal.because(codes::outcome_unknown, args_of(*whole.last));
  if (ask.now - whole.first->when.at > minutes{rest_minutes_most}) {
    return refusal.because(codes::rest_late, {arg_units("rest", whole.rest()),
                                              arg_instant("when", whole.first->when)});
  }
  if (ask.dose > whole.rest()) {
    return refusal.because(codes::rest_more,
                           {arg_units("dose", ask.dose), arg_units("rest", whole.rest())});
  }
  // What went in since and is not said to be its rest may be the rest (H07, H39).
  for (const Given& given : order.given) {
    const bool later = given.when.at >= whole.first->when.at && given.when.at <= ask.now;
    if (!later || given.completes || given.fact == whole.first->fact || given.line == line.id ||
        !internal::is_of(given, line))
      continue;
    auto args = args_of(given);
    args.push_back(arg_code("how", "given_as/not_as_rest"));
    args.push_back(arg_code("of", "given/same_insulin"));
    return refusal.because(codes::taken_perhaps, std::move(args));
  }
  if (const Given* other = instead_of_rest(order, line, ask, whole)) {
    auto args = args_of(*other);
    args.push_back(arg_text("other", other->insulin));
    return refusal.because(codes::swapped, std::move(args));
  }
  // What was meant is somebody's word; what may be given is the order's (H09, H25).
  if (const Units most = most_at_once(line); whole.first->meant > most) {
    return refusal.because(codes::dose_outside,
                           {arg_units("dose", whole.first->meant), arg_units("least", line.least()),
                            arg_units("most", most)});
  }
  return std::nullopt;
}

const Given* last_given(const Order& order, const Line& line, Instant now) {
  const Given* last = nullptr;
  for (const Given& given : order.given) {
    if (given.when.at <= now && internal::is_of(given, line)) last = &given;
  }
  return last;
}

/// One before `last`, so shortly that both may be of one dose, of which nobody knows how much went
/// in, and which nothing completes.
const Given* unknown_lately(const Order& order, const Line& line, const Given& last) {
  const Given* found = nullptr;
  for (const Given& given : order.given) {
    const bool before = given.fact != last.fact && given.when.at <= last.when.at &&
                        last.when.at - given.when.at < internal::reach_of(line);
    if (before && given.outcome == Outcome::unknown && internal::is_of(given, line) &&
        last.completes != given.fact)
      found = &given;
  }
  return found;
}

std::optional<Error> refuse_unfinished(const Order& order, const Line& line, const Ask& ask,
                                       const std::optional<Due>& due, const ZoneRules& zone,
                                       const Refusal& refusal) {
  const Given* last = last_given(order, line, ask.now);
  if (!last) return std::nullopt;
  Whole whole = whole_of(order, line, last->fact, zone);
  // What went in after it does not say how much of it did (H44).
  if (const Given* unknown = unknown_lately(order, line, *last); unknown != nullptr) {
    last = unknown;
    whole = whole_of(order, line, last->fact, zone);
  }
  const bool before_this_slot =
      due && last->when.at < due->from.at && !internal::answers_slot(*last, line, *due);
  // What may have been a whole dose so shortly before this one still counts (H44).
  const bool may_be_doubled =
      whole.unknown && due && due->at.at - last->when.at < internal::reach_of(line);
  if ((before_this_slot && !may_be_doubled) || !whole.first) return std::nullopt;
  if (whole.unknown) {
    if (is_answered_since(order, line, last->when.at)) return std::nullopt;
    return refusal.because(codes::outcome_unknown, args_of(*last));
  }
  if (whole.rest().is_zero()) return std::nullopt;
  auto args = args_of(*last);
  args.front() = arg_units("given", whole.given);
  args.push_back(arg_units("meant", whole.first->meant));
  args.push_back(arg_units("rest", whole.rest()));
  return refusal.because(codes::part_given, std::move(args));
}

std::optional<Error> refuse_again(const Order& order, const Line& line, const Ask& ask,
                                  const std::optional<Due>& due, const Refusal& refusal) {
  const Given* last = last_given(order, line, ask.now);
  if (!last || ask.taken == Ask::Taken::answered) return std::nullopt;
  // Too much or too little for this line: whether it was this dose is asked (refuse_perhaps).
  if (internal::leaves_open(*last, line)) return std::nullopt;
  const bool again = due ? internal::is_inside(*last, line, *due) || !given_for(order, *due).empty()
                         : ask.now - last->when.at <= minutes{near_minutes};
  if (!again) return std::nullopt;
  const bool is_last = !due || internal::is_inside(*last, line, *due);
  return refusal.because(codes::taken_already,
                         args_of(is_last ? *last : *given_for(order, *due).back()));
}

/// In what it differs from this slot's own dose.
std::string_view how_given(const Order& order, const Given& given, const Line& line) {
  if (is_of_unknown_insulin(order, given)) return "given_as/unknown_cartridge";
  if (given.without_part) return "given_as/rest_alone";
  if (internal::is_of(given, line))
    return internal::leaves_open(given, line) ? "given_as/outside_limits"
                                              : "given_as/outside_hours";
  return contradicts_not_taken(order, given, line) ? "given_as/other_line"
                                                   : "given_as/other_insulin";
}

/// Whether somebody said since then that this slot's dose was not taken, or not yet: what is on
/// record was another one.
bool was_another(const Order& order, const Due& due, const When& since) {
  return std::ranges::any_of(order.said, [&](const Said& said) {
    return said.was == journal::DoseWas::not_taken && said.slot == due.name &&
           said.day == due.day && said.when.at >= since.at &&
           speaks_of(order, said, *order.line(due.line));
  });
}

/// Of which there is only somebody's word: it is no less perhaps this dose (H52, H07).
std::optional<Error> refuse_told(const Order& order, const Ask& ask, const Due& due,
                                 const ZoneRules& zone, const Refusal& refusal) {
  const auto told = perhaps_said(order, due, ask.now, zone);
  if (told.empty()) return std::nullopt;
  const auto& [was, given] = told.back();
  if (was_another(order, due, was->when)) return std::nullopt;
  auto args = args_of(given);
  args.push_back(arg_code("how", was->was == journal::DoseWas::taken ? "given_as/said_taken"
                                                                     : "given_as/said_not_known"));
  const bool same = contradicts_not_taken(order, given, *order.line(due.line));
  args.push_back(arg_code("of", same ? "given/same_insulin" : "given/other_insulin"));
  return refusal.because(codes::taken_perhaps, std::move(args));
}

/// Of an unknown amount the prescriber said what follows, and this line says it: it is what comes
/// after that injection, and not the same dose (H44, H37).
bool is_dealt_with(const Order& order, const Given& given, const Due& due) {
  const Line& line = *order.line(due.line);
  if (given.outcome != Outcome::unknown || given.line == line.id || !given.line) return false;
  return std::ranges::any_of(order.questions, [&](const Question& asked) {
    using journal::AnswerKind;
    const bool orders = asked.answer && (asked.answer->answer == AnswerKind::new_order ||
                                         asked.answer->answer == AnswerKind::other);
    return orders && asked.concerns(*given.line) && asked.answer->when.at >= given.when.at &&
           asked.answer->recorded < line.recorded;
  });
}

std::optional<Error> refuse_perhaps(const Order& order, const Ask& ask, const Due& due,
                                    const ZoneRules& zone, const Refusal& refusal) {
  if (ask.taken == Ask::Taken::answered) return std::nullopt;
  auto others = perhaps_given(order, due, ask.now, zone);
  std::erase_if(others, [&](const Given* given) { return is_dealt_with(order, *given, due); });
  if (others.empty() || was_another(order, due, others.back()->when))
    return refuse_told(order, ask, due, zone, refusal);
  auto args = args_of(*others.back());
  args.push_back(arg_code("how", how_given(order, *others.back(), *order.line(due.line))));
  const bool same = std::ranges::any_of(others, [&](const Given* given) {
    return contradicts_not_taken(order, *given, *order.line(due.line)) &&
           !internal::is_other_slots(order, *given, due, zone);
  });
  args.push_back(arg_code("of", same ? "given/same_insulin" : "given/other_insulin"));
  return refusal.because(codes::taken_perhaps, std::move(args));
}

/// Of another insulin, in this one's place: whether this is given too, the prescriber says (H04).
std::optional<Error> refuse_swapped(const Order& order, const Ask& ask, const Due& due,
                                    const ZoneRules& zone, const Refusal& refusal) {
  const Given* given = swapped_for(order, due, ask.now, zone);
  if (!given) return std::nullopt;
  auto args = args_of(*given);
  args.push_back(arg_text("other", given->insulin));
  return refusal.because(codes::swapped, std::move(args));
}

std::optional<Error> refuse_not_known(const Order& order, const Due& due, const Refusal& refusal) {
  const Said* said = said_of(order, due);
  if (!said || said->was != journal::DoseWas::not_known) return std::nullopt;
  return refusal.because(codes::not_known);
}

/// The day whose order a dose is of: past midnight, in a window that began before it, or as the
/// rest of a part, that of its slot (H38, H39).
LocalDay day_of(const Order& order, const Line& line, const Ask& ask, const std::optional<Due>& due,
                const ZoneRules& zone) {
  if (ask.completes) {
    if (const auto slot = slot_of(order, line, *ask.completes, zone)) return slot->day;
  }
  return due ? due->day : zone.when(ask.now).day();
}

/// Outside every window of its own, what was given so lately counts as the same dose.
Due due_by_now(const Line& line, const Ask& ask, const ZoneRules& zone) {
  Due due;
  due.line = line.id;
  due.at = due.from = due.to = zone.when(ask.now);
  due.day = due.at.day();
  return due;
}

}  // namespace

Result<Allowed> may_dial(const Order& order, const Ask& ask, const ZoneRules& zone,
                         std::string_view left_out) {
  const Line* line = order.line(ask.line);
  if (!line) return Error{Kind::not_found, std::string(codes::none), {}, ""};
  const auto due = due_now(*line, ask.now, zone);
  const Refusal refusal(*line, due);
  const auto holds = [&](const std::optional<Error>& refused) {
    return refused && refused->code != left_out;
  };
  const LocalDay day = day_of(order, *line, ask, due, zone);
  // A line that is over sends nobody on before it is said that nobody knows how much went in (H44).
  const State state = order.state(*line, day);
  if (const bool is_over = state == State::replaced || state == State::ended;
      is_over && !ask.completes) {
    const auto unknown = refuse_unfinished(order, *line, ask, due, zone, refusal);
    if (holds(unknown) && unknown->code == codes::outcome_unknown) return *unknown;
  }
  if (auto refused = refuse_by_state(order, *line, day, refusal); holds(refused)) return *refused;
  if (ask.completes) {
    if (auto refused = refuse_rest(order, *line, ask, zone, refusal); holds(refused))
      return *refused;
    return Allowed{line, due};
  }
  if ((ask.dose < line->least() || ask.dose > line->most()) && left_out != codes::dose_outside) {
    return refusal.because(codes::dose_outside,
                           {arg_units("dose", ask.dose), arg_units("least", line->least()),
                            arg_units("most", line->most())});
  }
  if (auto refused = refuse_unfinished(order, *line, ask, due, zone, refusal); holds(refused))
    return *refused;
  const Due slot = due ? *due : due_by_now(*line, ask, zone);
  if (auto refused = due ? refuse_not_known(order, slot, refusal) : std::nullopt; holds(refused))
    return *refused;
  if (auto refused = refuse_again(order, *line, ask, due, refusal); holds(refused)) return *refused;
  if (auto refused = refuse_swapped(order, ask, slot, zone, refusal); holds(refused))
    return *refused;
  if (auto refused = refuse_perhaps(order, ask, slot, zone, refusal); holds(refused))
    return *refused;
  return Allowed{line, due};
}

}  // namespace penstock::order
