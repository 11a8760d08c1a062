// What the record says beside the number, in the same words on card, phone and paper.
#include <algorithm>

#include "core/interlock/amounts/went_in.hpp"
#include "core/order/recording.hpp"
#include "core/order/then/then.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/next/next.hpp"

namespace penstock::pages {

// It is settled before this one, and stands beside its number: nothing is made up for in it.
Rich before_text(const Words& words, const interlock::Dose& dose) {
  // Beside "it comes on top" nobody is told to give this one (H58).
  if (!dose.before || dose.near) return {};
  constexpr auto names =
      std::to_array<std::string_view>({"missed", "not_known", "rest_not_given", "rest_not_said",
                                       "amount_unknown", "none_recorded"});
  const auto& before = *dose.before;
  const auto at = static_cast<std::size_t>(before.was);
  return words.sentence("next.before_" + std::string(names[at]) + (before.since ? "_several" : ""),
                        {arg_code("purpose", "dose/" + word_of(dose.line->text.purpose)),
                         arg_text("when", words.moment(before.when)),
                         arg_text("since", before.since ? words.moment(*before.since) : ""),
                         arg_units("rest", before.rest), arg_units("meant", before.meant)});
}

namespace {
std::vector<Arg> args_of(const Words& words, const interlock::Done& done,
                         const interlock::Dose& dose) {
  return {done.is_unknown ? arg_text("dose", words.name("amount/not_known"))
                          : arg_units("dose", done.units),
          arg_text("day", words.day_short(done.when.day())),
          arg_text("time", format_iso(done.when.minute())),
          arg_text("from", words.day_short(dose.due.from.day()) + ", " +
                               format_iso(dose.due.from.minute()))};
}
}  // namespace

Rich done_text(const Words& words, const Chart& person, const interlock::Dose& dose) {
  if (!dose.done) return {};
  const auto* held = interlock::held(dose.verdict);
  // The prescriber has said what is to be done, and it may be to give more.
  const bool is_answered = held != nullptr && held->error.code == order::codes::answered_in_words;
  auto args = args_of(words, *dose.done, dose);
  // Of a part whose rest was told the record has the part alone, and more went in (H39).
  for (const auto& told : order::only_told(person.order, person.zone)) {
    const bool rest = told.taken && told.due.line == dose.due.line &&
                      told.due.at.at == dose.done->when.at && !dose.done->is_unknown;
    if (!rest || is_answered) continue;
    args.push_back(arg_units("rest", told.due.units));
    return words.sentence("next.done_rest", args);
  }
  return words.sentence(is_answered             ? "next.done_answered"
                        : dose.done->is_unknown ? "next.done_unknown"
                                                : "next.done",
                        args);
}

LastGiven last_given(const Chart& person, std::string_view insulin) {
  const auto& order = person.order;
  LastGiven last;
  for (const order::Given& given : order.given) {
    if (order::is_same_insulin(order::insulin_of(order, given), insulin)) {
      last = {&given, nullptr};
    } else if (order::is_of_unknown_insulin(order, given)) {
      last.may_be = &given;
    }
  }
  for (const auto& [due, taken] : order::only_told(order, person.zone)) {
    const bool is_it = order::is_same_insulin(order.line(due.line)->text.insulin, insulin);
    const bool is_later = last.of_it == nullptr || last.of_it->when.at < due.at.at;
    if (taken && is_it && is_later && (!last.told || last.told->at < due.at.at)) last.told = due.at;
  }
  return last;
}

namespace {
Rich lately_text(const Words& words, const interlock::Dose& dose) {
  if (!dose.lately) return {};
  auto args = args_of(words, *dose.lately, dose);
  const auto apart = dose.due.at.at - dose.lately->when.at;
  args.push_back(arg_count("hours", std::chrono::round<std::chrono::hours>(apart).count()));
  const bool late = apart > std::chrono::hours{24};
  return words.sentence(dose.lately->may_be_any ? "next.lately_unknown"
                        : dose.lately->close    ? "next.lately_close"
                        : late                  ? "next.long_ago"
                                                : "next.lately",
                        args);
}
Rich changed_text(const Words& words, const interlock::Dose& dose) {
  if (!dose.changed) return {};
  return words.sentence(
      "next.strength_changed",
      {arg_text("insulin", dose.line->text.insulin), arg_strength("old", dose.changed->old),
       arg_strength("strength", dose.line->text.strength),
       arg_text("since", words.day_short(dose.changed->since))});
}

// How long a dose outside its order is said, whatever followed it: basal insulin acts for longer
// than a day. Common practice, no source.
constexpr std::chrono::hours outside_said{24}, outside_said_basal{48};

// What was given last of this insulin was outside its order, or was nothing at all: it stays until
// another dose follows, and for its time, or until the prescriber has answered (H04, H37).
Rich outside_text(const Words& words, const Chart& person, const interlock::Dose& dose,
                  const When& now) {
  const auto& order = person.order;
  const auto& line = *dose.line;
  const order::Mark* found = nullptr;
  for (const auto& mark : order.marks) {
    const auto* of = order.line(mark.line);
    if (mark.kind == order::MarkKind::outside_order && mark.when.at <= now.at && of != nullptr &&
        of->text.insulin == line.text.insulin)
      found = &mark;
  }
  if (found == nullptr || order::is_answered_since(order, line, found->when.at)) return {};
  const auto said_for =
      line.text.purpose == journal::Purpose::background ? outside_said_basal : outside_said;
  const bool is_followed = std::ranges::any_of(order.given, [&](const order::Given& given) {
    return given.when.at > found->when.at && given.fact != found->fact &&
           order::insulin_of(order, given) == line.text.insulin;
  });
  if (is_followed && now.at - found->when.at > said_for) return {};
  const auto& by = *order.line(found->line);
  return words.sentence(
      "next.outside_order",
      {arg_units("given", found->units), arg_text("when", words.moment(found->when)),
       arg_units("least", by.least()), arg_units("most", by.most())});
}

// What its slot does not ask for and its limits allow was asked about when it was recorded, and
// then stood nowhere (H04). It holds nothing back: so much may have been meant.
Rich above_text(const Words& words, const Chart& person, const interlock::Dose& dose,
                const When& now) {
  const auto& line = *dose.line;
  const auto said_for =
      line.text.purpose == journal::Purpose::background ? outside_said_basal : outside_said;
  const auto found =
      interlock::above_slot(person.order, line, person.zone, now.at - said_for, now.at);
  if (!found) return {};
  return words.sentence(
      "next.above_slot",
      {arg_units("given", found->given), arg_text("insulin", line.text.insulin),
       arg_text("when", words.moment(found->when)), arg_units("ordered", found->ordered)});
}

// What is not ordered any more acts for its time all the same, and its pen is still in the house
// (H04, H08).
Rich over_text(const Words& words, const Chart& person, const interlock::Dose& dose,
               const When& now) {
  const auto& order = person.order;
  Rich out;
  for (const order::Given& given : order.given) {
    const auto insulin = order::insulin_of(order, given);
    const auto is_it = [&](const std::optional<interlock::Done>& done) {
      return done && done->when.at == given.when.at;
    };
    const bool told = is_it(dose.lately) || is_it(dose.near);
    if (given.when.at > now.at || now.at - given.when.at > outside_said || told ||
        order::is_answered_since(order, *dose.line, given.when.at))
      continue;
    const auto last = order::over_before(order, insulin, given.when, person.zone);
    if (!last && (order::has_had(order, insulin) || insulin.empty())) continue;
    if (!last) {
      out = words.sentence("next.unordered",
                           {order::arg_amount("given", given), arg_text("insulin", insulin),
                            arg_text("when", words.moment(given.when))});
      continue;
    }
    out = words.sentence(
        "next.over",
        {order::arg_amount("given", given), arg_text("insulin", insulin),
         arg_text("when", words.moment(given.when)), arg_text("last", words.day_short(*last))});
  }
  return out;
}

// What was said with the last outcome of a dose of it, for as long as that insulin may act (H53).
Rich comment_text(const Words& words, const Chart& person, const interlock::Dose& dose,
                  const When& now) {
  const journal::DoseAnswered* last = nullptr;
  for (const auto& one : person.history.facts) {
    const auto* told = std::get_if<journal::DoseAnswered>(one.payload);
    const auto* line = told != nullptr ? person.order.line(told->line) : nullptr;
    if (line != nullptr && now.at - one.happened.at <= outside_said_basal &&
        order::is_same_insulin(line->text.insulin, dose.line->text.insulin))
      last = told;
  }
  if (last == nullptr || last->text.empty()) return {};
  return words.sentence("next.outcome_comment", {arg_text("day", words.day_short(last->day)),
                                                 arg_code("slot", "with/" + word_of(last->slot)),
                                                 arg_text("text", last->text)});
}

// More of another insulin went in than its order allows: this dose comes on top of it (H04, H61).
Rich too_much_text(const Words& words, const interlock::TooMuch& found) {
  return words.sentence(
      "next.too_much", {arg_units("given", found.given),
                        found.of.empty() ? arg_text("insulin", found.line->text.insulin)
                                         : arg_code("insulin", found.of),
                        arg_text("when", words.moment(found.when)), arg_units("most", found.most)});
}

}  // namespace

std::vector<Rich> beside_texts(const Words& words, const Chart& person, const interlock::Dose& dose,
                               const When& now) {
  auto out = last_values_text(words, person, now);
  for (const auto& found : dose.too_much) out.push_back(too_much_text(words, found));
  for (auto text : {lately_text(words, dose), changed_text(words, dose),
                    outside_text(words, person, dose, now), above_text(words, person, dose, now),
                    over_text(words, person, dose, now), comment_text(words, person, dose, now)}) {
    if (!text.empty()) out.push_back(std::move(text));
  }
  return out;
}

Rich near_text(const Words& words, const interlock::Dose& dose) {
  if (!dose.near) return {};
  const bool meal = dose.line->text.purpose == journal::Purpose::mealtime;
  return words.sentence(meal ? "next.near_meal" : "next.near", args_of(words, *dose.near, dose));
}

}  // namespace penstock::pages
