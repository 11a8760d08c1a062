#include "core/interlock/amounts/amounts.hpp"

namespace penstock::interlock {
namespace {

using std::chrono::hours;

/// How long what went in is looked back for: counted generously, whatever followed it. Common
/// practice, no source.
hours acts_for(const shelf::Shelf& shelf, const order::Line& line) {
  constexpr hours with_a_meal{8}, a_day{24};
  const auto* entry = shelf.insulin(line.text.insulin, line.text.strength);
  if (entry == nullptr) {
    return line.text.purpose == journal::Purpose::mealtime ||
                   line.text.purpose == journal::Purpose::correction
               ? with_a_meal
               : a_day;
  }
  const auto action = entry->thing.action;
  return action == shelf::Action::rapid || action == shelf::Action::short_acting ? with_a_meal
                                                                                 : a_day;
}

}  // namespace

bool is_settled(const order::Order& order, const order::Line& line, const When& since) {
  return order::is_answered_since(order, line, since.at) ||
         (line.recorded.at > since.at && line.paper_of > since.day());
}

std::optional<TooMuch> beyond_most(const chart::Chart& person, const shelf::Shelf& shelf,
                                   const order::Line& line, Instant now) {
  const auto* given = order::beyond_most(person.order, line, now - acts_for(shelf, line), now);
  if (given == nullptr || order::is_answered_since(person.order, line, given->when.at)) return {};
  return TooMuch{&line, given->units, line.most(), given->when};
}

std::optional<TooMuch> together(const chart::Chart& person, const shelf::Shelf& shelf,
                                const order::Line& line, Instant now) {
  const auto since = now - acts_for(shelf, line);
  const auto went = order::went_in(person.order, line, since, now);
  const auto due = order::due_within(person.order, line, person.zone, since, now);
  const auto most = sum(due, line.most());
  if (went.injections < 2 || went.units <= most || is_settled(person.order, line, *went.last))
    return {};
  return TooMuch{&line, went.units, most, *went.first};
}

std::vector<TooMuch> too_much_of_others(const chart::Chart& person, const shelf::Shelf& shelf,
                                        const order::Line& line, Instant now) {
  std::vector<TooMuch> out;
  for (const auto& other : person.order.lines) {
    const bool is_old = other.replaced_by.has_value();
    if (is_old || order::is_same_insulin(other.text.insulin, line.text.insulin)) continue;
    auto found = beyond_most(person, shelf, other, now);
    if (!found) found = together(person, shelf, other, now);
    if (found) out.push_back(*found);
  }
  return out;
}

}  // namespace penstock::interlock
