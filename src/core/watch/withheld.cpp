// Doses of basal insulin that had no number when they were due.
#include <algorithm>

#include "core/order/recording.hpp"
#include "core/watch/internal/parts.hpp"

namespace penstock::watch {
namespace {

bool was_withheld(const chart::Chart& person, const order::Due& due) {
  const auto& line = *person.order.line(due.line);
  if (order::waited_for_check(line, due)) return true;
  return std::ranges::any_of(person.order.questions, [&](const order::Question& question) {
    const bool open = question.opened.at <= due.at.at &&
                      (!question.answer || question.answer->when.at > due.at.at);
    return open && question.concerns(line.id);
  });
}

}  // namespace

std::optional<order::Due> first_withheld(const chart::Chart& person, const order::Due& from) {
  const auto last = person.history.facts.back().happened.day();
  for (auto day = from.day; day <= last + std::chrono::days{1}; day += std::chrono::days{1}) {
    for (const auto& due : order::due_on(person.order, day, person.zone)) {
      if (due.line == from.line && due.at.at >= from.at.at && was_withheld(person, due) &&
          order::said_of(person.order, due) == nullptr &&
          !order::is_on_record(person.order, due, person.zone))
        return due;
    }
  }
  return std::nullopt;
}

}  // namespace penstock::watch
