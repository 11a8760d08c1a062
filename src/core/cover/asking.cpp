#include "core/cover/internal/asking.hpp"

#include <algorithm>

namespace penstock::cover::internal {

Course Course::step(std::int32_t short_on) {
  if (short_on >= horizon_days_max) {
    return {std::vector<double>(static_cast<std::size_t>(horizon_days_max), 0.0)};
  }
  Course course{std::vector<double>(static_cast<std::size_t>(short_on) + 1, 0.0)};
  course.gone.back() = 1;
  return course;
}

OpenDays::OpenDays(const std::vector<LocalDay>& closed, LocalDay on) {
  for (const LocalDay day : closed)
    if (day >= on) closed_.push_back(day_number(day, on));
  if (!std::is_sorted(closed_.begin(), closed_.end())) std::sort(closed_.begin(), closed_.end());
  closed_.erase(std::unique(closed_.begin(), closed_.end()), closed_.end());
}

bool OpenDays::is_open(std::int32_t day) const {
  return !std::binary_search(closed_.begin(), closed_.end(), day);
}

std::int32_t OpenDays::arrives(std::int32_t day, std::int32_t lead) const {
  std::int32_t there = day + lead;
  // Each closed day on the way is one day more.
  for (auto at = std::upper_bound(closed_.begin(), closed_.end(), day);
       at != closed_.end() && *at <= there; ++at) {
    ++there;
  }
  return there;
}

std::int32_t OpenDays::first() const {
  std::int32_t day = 0;
  while (!is_open(day)) ++day;
  return day;
}

namespace {

/// The chance that every dose before the arrival can be given; nothing where nobody knows.
std::optional<double> in_time(const Ask& ask, const OpenDays& days, std::int32_t day,
                              const Course& plan) {
  double chance = 0;
  for (const Lead& lead : ask.leads) {
    const auto last = days.arrives(day, lead.days) - 1;
    if (!plan.known(last)) return std::nullopt;
    chance += lead.chance * (1 - plan.by(last));
  }
  return chance;
}

std::int32_t longest(const Ask& ask) {
  std::int32_t days = 0;
  for (const Lead& lead : ask.leads)
    if (lead.chance > 0) days = std::max(days, lead.days);
  return days;
}

}  // namespace

void set_asking(Lasts& lasts, const Ask& ask, const OpenDays& days, LocalDay on,
                const Course& plan) {
  // Each later day is worse: the latest good one stands before the first bad one.
  std::optional<std::int32_t> latest;
  for (std::int32_t day = 0; day < horizon_days_max; ++day) {
    if (!days.is_open(day)) continue;
    const auto chance = in_time(ask, days, day, plan);
    if (!chance) return;  // beyond the horizon
    if (*chance < ask.service - service_slack) break;
    latest = day;
  }
  lasts.late = !latest;
  lasts.ask_by = on + std::chrono::days{latest.value_or(0)};
  const auto asked = latest.value_or(days.first());
  lasts.here_by = on + std::chrono::days{days.arrives(asked, longest(ask))};
}

void set_run_out(Lasts& lasts, LocalDay on, const Course& all) {
  for (std::size_t day = 0; day < all.gone.size(); ++day) {
    const double chance = all.gone[day];
    if (chance < chance_least) continue;
    lasts.runs_out.push_back({on + std::chrono::days{day}, chance});
    if (chance >= 1 - chance_least) return;
  }
}

}  // namespace penstock::cover::internal
