// Too much insulin went in: measured and phoned about now, whatever is due next (H04, H32).
#include <algorithm>
#include <ranges>

#include "core/interlock/amounts/went_in.hpp"
#include "core/interlock/interlock.hpp"
#include "core/order/recording.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

using interlock::TooMuch;

// So long after it that nobody recorded what the prescriber answered is said, though the insulin
// acts no more. Ours: whoever phones on the day after finds it still there.
constexpr std::chrono::days answer_awaited{2};

/// What still acts by the last entry; else what was too much when one of the injections of those
/// days went in, and nobody has asked the prescriber since.
std::optional<TooMuch> too_much_lately(const chart::Chart& person, const shelf::Shelf& shelf,
                                       const order::Line& line, Instant last) {
  if (auto found = interlock::too_much_of(person, shelf, line, last)) return found;
  for (const auto& given : person.order.given | std::views::reverse) {
    if (given.when.at <= last - answer_awaited) break;
    const bool may_be = order::is_same_insulin(given.insulin, line.text.insulin) ||
                        order::is_of_unknown_insulin(person.order, given);
    if (given.when.at >= last || !may_be) continue;
    if (auto found = interlock::too_much_of(person, shelf, line, given.when.at)) return found;
  }
  return std::nullopt;
}

}  // namespace

void watch_too_much(const chart::Chart& person, const chart::Clinic& clinic,
                    std::vector<Watch>& out) {
  const auto& last = person.history.facts.back().happened;
  for (const auto& line : person.order.lines) {
    if (line.replaced_by && line.replaced_from <= last.day()) continue;
    const bool is_listed = std::ranges::any_of(out, [&](const Watch& one) {
      return one.what == What::too_much && one.insulin == line.text.insulin;
    });
    if (is_listed) continue;
    const auto found = too_much_lately(person, clinic.shelf, line, last.at);
    if (!found) continue;
    // What may be any insulin is one thing to do, whatever it is too much of.
    const bool is_told = std::ranges::any_of(out, [&](const Watch& one) {
      const auto* went = std::get_if<WentIn>(&one.figures);
      return went != nullptr && went->of == interlock::of_unknown && went->of == found->of;
    });
    if (is_told) continue;
    auto acts = about(line, clinic.shelf, What::too_much, found->when, found->when);
    acts.until = person.zone.when(found->over);
    // What holds the next basal dose holds it for longer than this is said.
    acts.holds = line.text.purpose != journal::Purpose::background;
    acts.figures = WentIn{found->given, found->most, std::string(found->of)};
    acts.basis += "/" + std::to_string(found->when.at.time_since_epoch().count()) + "/" +
                  std::to_string(found->given.hundredths());
    auto unanswered = acts;
    unanswered.shows_from = *acts.until;
    unanswered.until = person.zone.when(std::max(found->over, found->when.at + answer_awaited));
    unanswered.holds = false;
    unanswered.basis += "/unanswered";
    out.push_back(std::move(acts));
    out.push_back(std::move(unanswered));
  }
}

}  // namespace penstock::watch
