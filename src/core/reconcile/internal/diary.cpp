#include "core/reconcile/internal/diary.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <string>

#include "core/reconcile/internal/accounts.hpp"
#include "core/reconcile/weigh/grid.hpp"
#include "core/reconcile/weigh/model.hpp"

namespace penstock::reconcile::internal {
namespace {

using std::chrono::minutes;

/// The likelihood ratio of a sign: the habits of those who write afterwards over those of those who
/// write at once, each habit weighed by how well it fits. One habit a person, so the habits are
/// added up, not the entries.
template <class Habits, class LogFit>
double ratio(const Habits& habits, LogFit&& log_fit) {
  std::vector<double> fits;
  for (const auto& habit : habits) fits.push_back(log_fit(habit));
  const double most = *std::ranges::max_element(fits);
  double afterwards = 0, at_once = 0;
  for (std::size_t i = 0; i < fits.size(); ++i) {
    const double fit = std::exp(fits[i] - most);
    afterwards += habits[i].afterwards * fit;
    at_once += habits[i].at_once * fit;
  }
  return afterwards / at_once;
}

double log_binomial(double hits, double others, double share) {
  return hits * std::log(share) + others * std::log(1 - share);
}

SignFound round_minutes(std::span<const Entry> entries) {
  std::array<double, 3> seen{};
  for (const auto& entry : entries) {
    const auto minute = entry.when.minute().minutes % 60;
    ++seen[minute % 15 == 0 ? 0 : minute % 5 == 0 ? 1 : 2];
  }
  SignFound out{Sign::round_minutes, static_cast<std::int32_t>(entries.size()), 0, 1};
  out.value = seen[0] / static_cast<double>(entries.size());
  out.ratio = ratio(minute_habits, [&](const MinuteHabit& habit) {
    double total = 0;
    for (std::size_t i = 0; i < seen.size(); ++i) total += seen[i] * std::log(habit.shares[i]);
    return total;
  });
  return out;
}

/// Entries of the same time of day: by slot, or by their place in the day where none is named.
std::map<std::string, std::vector<const Entry*>> by_slot(std::span<const Entry> entries) {
  std::map<std::string, std::vector<const Entry*>> out;
  LocalDay day = LocalDay::min();
  int turn = 0;
  for (const auto& entry : entries) {
    turn = entry.when.day() == day ? turn + 1 : 0;
    day = entry.when.day();
    out[entry.slot.empty() ? "#" + std::to_string(turn) : entry.slot].push_back(&entry);
  }
  return out;
}

/// Minutes from the middle of the slot's times, by the clock: past midnight is late, not early.
std::vector<double> apart(const std::vector<const Entry*>& entries) {
  constexpr int day = 24 * 60;
  // The clock has no first minute: begin half a day before the first entry's.
  const int begin = entries.front()->when.minute().minutes - day / 2;
  std::vector<int> since;
  for (const auto* entry : entries) {
    since.push_back((entry->when.minute().minutes - begin + 2 * day) % day);
  }
  auto sorted = since;
  std::ranges::sort(sorted);
  const int middle = sorted[sorted.size() / 2];
  std::vector<double> out;
  for (const auto one : since) out.push_back(one - middle);
  return out;
}

double in_cell(double minutes_apart, double sd) {
  const double low = minutes_apart - time_cell_minutes / 2;
  return normal_below(low + time_cell_minutes, sd) - normal_below(low, sd);
}

SignFound even_times(const std::map<std::string, std::vector<const Entry*>>& slots) {
  constexpr std::size_t least = 8;  // fewer have no middle worth the name
  constexpr double nowhere = 1e-4;  // any time of the day: a slot named wrongly
  SignFound out{Sign::even_times, 0, 0, 1};
  std::map<int, int> cells;
  double squares = 0;
  for (const auto& [slot, entries] : slots) {
    if (entries.size() < least) continue;
    for (const auto minutes_apart : apart(entries)) {
      ++cells[static_cast<int>(std::lround(minutes_apart / time_cell_minutes))];
      squares += minutes_apart * minutes_apart;
      ++out.entries;
    }
  }
  if (out.entries < diary_entries_least) return out;
  out.value = std::sqrt(squares / out.entries);
  out.ratio = ratio(spread_habits, [&](const SpreadHabit& habit) {
    double total = 0;
    for (const auto& [cell, count] : cells) {
      const double at = cell * time_cell_minutes;
      total += count * std::log((1 - late_share) * in_cell(at, habit.sd_minutes) +
                                late_share * in_cell(at, late_wider * habit.sd_minutes) + nowhere);
    }
    return total;
  });
  return out;
}

SignFound equal_amounts(const std::map<std::string, std::vector<const Entry*>>& slots,
                        const Request& request) {
  SignFound out{Sign::equal_amounts, 0, 0, 1};
  double equal = 0;
  for (const auto& [slot, entries] : slots) {
    std::map<std::int64_t, int> amounts;
    for (const auto* entry : entries) {
      const auto* ordered = ordered_on(request, entry->when.day());
      if (ordered == nullptr || !ordered->varies) continue;
      ++amounts[entry->units.hundredths()];
      ++out.entries;
    }
    int most = 0;
    for (const auto& [amount, count] : amounts) most = std::max(most, count);
    equal += most;
  }
  if (out.entries < diary_entries_least) return {Sign::equal_amounts, 0, 0, 1};
  out.value = equal / out.entries;
  out.ratio = ratio(equal_habits, [&](const ShareHabit& habit) {
    return log_binomial(equal, out.entries - equal, habit.share);
  });
  return out;
}

SignFound batches(std::span<const Entry> entries) {
  SignFound out{Sign::batches, 0, 0, 1};
  struct Line {
    Instant recorded;
    LocalDay day;
    bool late;
  };
  std::vector<Line> lines;
  for (const auto& entry : entries) {
    if (!entry.recorded) continue;
    const bool late = *entry.recorded - entry.when.at >= minutes{batch_late_minutes};
    lines.push_back({*entry.recorded, entry.when.day(), late});
  }
  out.entries = static_cast<std::int32_t>(lines.size());
  if (out.entries < diary_entries_least) return {Sign::batches, 0, 0, 1};
  std::ranges::stable_sort(lines, {}, &Line::recorded);
  double together = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto other = [&](std::size_t j) {
      const auto gap = std::chrono::abs(lines[i].recorded - lines[j].recorded);
      return gap <= minutes{batch_together_minutes} && lines[i].day != lines[j].day;
    };
    const bool found = (i > 0 && other(i - 1)) || (i + 1 < lines.size() && other(i + 1));
    if (lines[i].late && found) ++together;
  }
  out.value = together / out.entries;
  out.ratio = ratio(batch_habits, [&](const ShareHabit& habit) {
    return log_binomial(together, out.entries - together, habit.share);
  });
  return out;
}

}  // namespace

Written written(std::span<const Entry> entries, const Request& request) {
  Written out;
  if (entries.size() < static_cast<std::size_t>(diary_entries_least)) return out;
  out.looked = true;
  const auto slots = by_slot(entries);
  out.signs = {round_minutes(entries), even_times(slots), equal_amounts(slots, request),
               batches(entries)};
  const double prior = inclusion(Mechanism::diary_later);
  double odds = prior / (1 - prior);
  for (const auto& sign : out.signs) odds *= sign.ratio;
  out.probability = odds / (1 + odds);
  return out;
}

}  // namespace penstock::reconcile::internal
