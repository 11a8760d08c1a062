// What the stories that tests tell are made of: one fact, one order line of basal insulin at
// bedtime.
#pragma once

#include <utility>

#include "core/journal/journal.hpp"

namespace penstock::tests {

/// As if it had been recorded at the bench when it happened.
inline journal::Fact told(Id id, Id journal, const When& when, journal::Payload payload) {
  journal::Fact fact;
  fact.id = id;
  fact.journal = journal;
  fact.happened = when;
  fact.recorded = when.at;
  fact.author = "Ines Falk";
  fact.source = "bench";
  fact.payload = std::move(payload);
  return fact;
}

/// Insulin glargine at 22:00, an hour early to two hours late, signed and copied on its first day.
inline journal::OrderLineSigned bedtime_line(LocalDay from, Units dose, Units least, Units most) {
  journal::OrderLineSigned line;
  line.insulin = "insulin glargine";
  line.strength = {100};
  line.slots = {{journal::SlotName::bedtime, {22 * 60}, 60, 120, dose}};
  line.least_units = least;
  line.most_units = most;
  line.from = from;
  line.prescriber = "Dr Amara Osei";
  line.copied_by = "Ines Falk";
  line.signed_on = from;
  return line;
}

}  // namespace penstock::tests
