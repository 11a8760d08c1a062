#include "core/interlock/judged/judged.hpp"

#include <algorithm>
#include <variant>

#include "core/interlock/amounts/went_in.hpp"
#include "core/journal/journal.hpp"
#include "core/order/recording.hpp"

namespace penstock::interlock {

using std::chrono::hours;
using std::chrono::minutes;

namespace {

/// When the last part of a dose went in.
std::optional<Instant> last_part(const order::Order& order, const ledger::Pending& rest) {
  std::optional<Instant> last;
  for (const auto& given : order.given) {
    if (is_of_chain(order, given.fact, rest.fact)) last = given.when.at;
  }
  return last;
}

}  // namespace

std::optional<When> watched_to_its_end(const chart::Chart& person, const order::Line& line,
                                       Instant now, const ledger::Pending* rest) {
  const auto& order = person.order;
  const auto reach = order::is_basal(line) ? minutes{hours{order::background_hours}}
                                           : minutes{order::near_minutes};
  std::optional<When> off, pressed;
  bool is_in = false;  // an old needle comes off before the injection
  for (const auto& fact : person.history.facts) {
    const auto* judged = std::get_if<journal::StepJudged>(fact.payload);
    if (judged == nullptr || judged->line != line.id || judged->how == journal::Judged::not_done)
      continue;
    using Step = journal::HandStep;
    if (judged->of == Step::taken || judged->of == Step::needle) is_in = false;
    if (judged->of == Step::inject || judged->of == Step::hold) {
      is_in = true;
      pressed = fact.happened;
    }
    // Pressed to zero it is in, whether or not anybody watched on (H07).
    const bool is_end =
        judged->of == Step::inject || judged->of == Step::hold || judged->of == Step::off;
    if (is_in && is_end && fact.happened.at <= now && now - fact.happened.at < reach)
      off = fact.happened;
  }
  if (!off) return std::nullopt;
  const auto part = rest != nullptr ? last_part(order, *rest) : std::nullopt;
  if (part && pressed && pressed->at <= *part) return std::nullopt;
  const bool answered = std::ranges::any_of(order.said, [&](const order::Said& said) {
    return order::speaks_of(order, said, line) && said.when.at >= off->at;
  });
  constexpr minutes recorded_before{30};  // while it was watched. Ours
  const bool given = std::ranges::any_of(order.given, [&](const order::Given& one_given) {
    return order::is_same_insulin(one_given.insulin, line.text.insulin) &&
           one_given.when.at >= off->at - recorded_before && !(part && one_given.when.at <= *part);
  });
  return answered || given ? std::nullopt : off;
}

order::Due slot_watched(const chart::Chart& person, const order::Due& due, Instant now) {
  const auto off = watched_to_its_end(person, *person.order.line(due.line), now);
  if (!off) return due;
  auto nearest = due;
  for (const int ahead : {-1, 0, 1}) {
    for (const auto& slot :
         order::due_on(person.order, off->day() + std::chrono::days{ahead}, person.zone)) {
      if (slot.line == due.line && abs(slot.at.at - off->at) < abs(nearest.at.at - off->at))
        nearest = slot;
    }
  }
  return nearest;
}

std::optional<NotPrimed> prime_not_done(const chart::Chart& person, const order::Line& line,
                                        const ledger::Pen& pen, Instant now, minutes holds) {
  if (!pen.cartridge) return std::nullopt;
  std::optional<NotPrimed> found;
  Instant recorded;
  std::optional<When> seen;  // through the needle that is on, for all that is on record
  for (const auto& fact : person.history.facts) {
    const auto* judged = std::get_if<journal::StepJudged>(fact.payload);
    const auto* primed = std::get_if<journal::Primed>(fact.payload);
    const auto* in = std::get_if<journal::Injected>(fact.payload);
    if (judged != nullptr && judged->of == journal::HandStep::prime && judged->line == line.id) {
      const bool is_of_now = fact.happened.at <= now && now - fact.happened.at <= holds;
      found = judged->how == journal::Judged::not_done && is_of_now
                  ? std::optional(NotPrimed{fact.happened, pen.flow_seen ? seen : std::nullopt})
                  : std::nullopt;
      recorded = fact.fact->recorded;
    } else if (primed != nullptr && pen.cartridge == primed->cartridge) {
      if (primed->flow == journal::Flow::seen) seen = fact.happened;
      found.reset();
    } else if (in != nullptr && pen.cartridge == in->cartridge) {
      found.reset();
    }
  }
  // Of the same watching, with an hour that was typed a little too early.
  const bool is_in = found && std::ranges::any_of(person.history.facts, [&](const auto& fact) {
                       const auto* in = std::get_if<journal::Injected>(fact.payload);
                       return in != nullptr && pen.cartridge == in->cartridge &&
                              fact.fact->recorded > recorded &&
                              found->when.at - fact.happened.at <= holds;
                     });
  return is_in ? std::nullopt : found;
}

}  // namespace penstock::interlock
