#include "shell/rows/months.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <optional>
#include <string>
#include <thread>
#include <utility>

namespace penstock::rows {
namespace {

struct WantsOfAll {
  std::vector<std::shared_ptr<const pages::Wants>> wants;
  std::vector<charts::BrokenJournal> broken;  // whose cover broke a promise
};

// Cover of everybody, on as many threads as the machine has: rows do not depend on each other.
// Nothing: nobody waits for it any more.
std::optional<WantsOfAll> wants_of_all(const std::vector<const summary::Row*>& people,
                                       const supply::ClosedDays& closed, LocalDay today,
                                       std::int32_t days_ahead, const Waiting& waiting) {
  WantsOfAll out{std::vector<std::shared_ptr<const pages::Wants>>(people.size()), {}};
  std::atomic<std::size_t> next{0}, done{0};
  std::exception_ptr thrown;
  std::mutex guard;
  const auto one = [&](std::size_t i) {
    try {
      out.wants[i] = pages::wants_of(*people[i], closed, today, days_ahead);
    } catch (const BrokenPromise& promise) {
      const std::lock_guard lock(guard);
      out.broken.push_back({people[i]->person, promise});
    }
  };
  const auto work = [&](bool says) {
    constexpr std::size_t at_once = 32;
    try {
      for (auto from = next.fetch_add(at_once);
           from < people.size() && !waiting.stop.stop_requested(); from = next.fetch_add(at_once)) {
        const auto to = std::min(people.size(), from + at_once);
        for (auto i = from; i < to; ++i) one(i);
        const auto so_far = done.fetch_add(to - from) + (to - from);
        if (says && waiting.progress) waiting.progress(so_far, people.size());
      }
    } catch (...) {
      const std::lock_guard lock(guard);
      if (!thrown) thrown = std::current_exception();
    }
  };
  {
    std::vector<std::jthread> others;
    const auto threads = std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
    for (unsigned i = 1; i < threads; ++i) others.emplace_back(work, false);
    work(true);
  }
  if (thrown) std::rethrow_exception(thrown);
  if (waiting.stop.stop_requested()) return std::nullopt;
  if (waiting.progress) waiting.progress(people.size(), people.size());
  return out;
}

}  // namespace

// The same people as in an earlier answer for the same days want the same together; if somebody's
// row changed since, only that one is looked at again.
Result<std::shared_ptr<const pages::MonthNeeds>> Months::needs(Asked asked, const Waiting& waiting,
                                                               const OnBroken& on_broken) {
  const std::lock_guard lock(mutex_);
  const auto before = std::ranges::find_if(kept_, [&](const Kept& one) {
    return one.asked.closed == asked.closed && one.asked.today == asked.today &&
           one.asked.days_ahead == asked.days_ahead;
  });
  if (before != kept_.end()) {
    kept_.splice(kept_.begin(), kept_, before);
    if (before->asked.people == asked.people) return before->together;
  }
  const auto& people = *asked.people;
  std::vector<WantsPtr> wants(people.size());
  std::vector<const summary::Row*> changed;
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < people.size(); ++i) {
    const auto& row = people[i];
    const auto place =
        before == kept_.end() ? std::nullopt : before->asked.people->place_of(row.person);
    if (place && &(*before->asked.people)[*place] == &row) {
      wants[i] = before->wants[*place];
    } else {
      changed.push_back(&row);
      places.push_back(i);
    }
  }
  auto fresh = wants_of_all(changed, asked.closed, asked.today, asked.days_ahead, waiting);
  if (!fresh) return Error{Kind::unavailable, std::string(codes::stopped), {}, ""};
  if (!fresh->broken.empty()) on_broken(fresh->broken);
  for (std::size_t i = 0; i < places.size(); ++i) wants[places[i]] = std::move(fresh->wants[i]);
  auto together = std::make_shared<const pages::MonthNeeds>(pages::month_of(people, wants));
  if (before != kept_.end()) kept_.erase(before);
  kept_.push_front({std::move(asked), std::move(wants), together});
  if (kept_.size() > kept_max) kept_.pop_back();
  return together;
}

}  // namespace penstock::rows
