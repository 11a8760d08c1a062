// Who needs something now, one entry a person, ranked: a dose in question, then what must stop,
// then by the hour before which it has to be done, then by day.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "core/watch/watch.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/kit/watches.hpp"

namespace penstock::pages {

enum class Group : std::uint8_t { before_next, today, this_week };

/// Closed list, in the order in which what is open is counted.
enum class Reason : std::uint8_t {
  in_question,
  unrecorded,
  do_not_use,
  no_number,
  exposure,
  check,
  order_ends,
  call,
  low_watch,
  supplies,
  counts,
  period_ends,
  needle_on
};
inline constexpr auto reason_names = std::to_array<std::string_view>(
    {"dose-in-question", "dose-not-recorded", "do-not-use", "no-number", "exposure", "check",
     "order-ends", "call", "hypo-watch", "supplies", "counts", "period-ends", "needle-on"});
constexpr std::span<const std::string_view> names_of(Reason) { return reason_names; }
Reason reason_of(watch::What what);

/// By when is told by the clinic's clocks.
struct Thing : ByWhen {
  const watch::Watch* watch = nullptr;
  watch::Alarm how;
  Group group = Group::this_week;
};

/// One person, and never without a thing; the first is why they stand where they do.
struct Need {
  const summary::Row* listed = nullptr;
  std::vector<Thing> things;

  const Thing& first() const { return things.front(); }
  /// What holds up a dose, and a stop, is never left out (H32).
  bool must_show() const;
  /// That, and what is late: whoever it is to be followed up by, everybody sees it.
  bool is_everybodys() const;
};

/// `of`: only things of that reason.
std::vector<Need> needs_of(const People& people, const Clinic& clinic, const When& now,
                           std::optional<Reason> of);

/// Of a thing whose day or hour has passed.
bool has_passed(const Thing& thing, const When& now);

}  // namespace penstock::pages
