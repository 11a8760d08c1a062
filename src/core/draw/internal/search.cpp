// The exact search over several cartridges.
//
// c(i, q): what it costs to give q steps from candidate i, as one number of injections and waste.
// More injections than the window needs only spend more primes, so the number of injections follows
// from q. For each number of injections c has two runs: the rest is kept (constant in q), then the
// rest is thrown away (one step less waste for each step given). best[i][d], the least cost of
// giving d steps from the candidates i and later, is therefore a minimum over sliding windows.
//
// Three passes. 1: best. 2: among the divisions that reach it, the candidates in order of
// preference, each with as many injections as can be. 3: with these numbers fixed, the least sum of
// squares of the parts, then larger first.
#include "core/draw/internal/terms.hpp"

namespace penstock::draw::internal {
namespace {

struct Run {
  i64 lo = 0;     // steps
  i64 hi = 0;     // steps
  i64 at_lo = 0;  // cost of lo steps
  i64 slope = 0;  // what each further step saves
  i64 injections = 0;

  i64 cost(i64 dose) const { return at_lo - slope * (dose - lo); }
};

/// The runs of one candidate, ascending. `dose_max` in steps.
void add_runs(const Candidate& c, i64 dose_max, const Weights& w, std::vector<Run>& runs) {
  const Source& s = c.source;
  if (s.cap_first < 1) return;
  for (i64 k = 1; k == 1 || s.cap_next > 0; ++k) {
    const i64 lo = k == 1 ? 1 : s.caps(k - 1) + 1;
    const i64 room = s.left - s.primes(k);
    if (lo > dose_max || room < lo * s.step) return;
    const i64 hi = std::min({dose_max, s.caps(k), room / s.step});
    const i64 kept_hi = room < c.keep_after ? 0 : std::min(hi, (room - c.keep_after) / s.step);
    if (kept_hi >= lo) runs.push_back({lo, kept_hi, w.key(k, c.waste(lo, k)), 0, k});
    const i64 from = std::max(lo, kept_hi + 1);
    if (from <= hi) {
      runs.push_back({from, hi, w.key(k, c.waste(from, k)), s.step * w.waste, k});
    }
  }
}

/// best[d] = min over q in the run of later[d - q] + cost(q), where that is less. A queue of rising
/// values keeps the least of the window.
void relax(const Run& run, std::span<const i64> later, std::span<i64> best,
           std::span<std::int32_t> queue) {
  std::size_t head = 0, tail = 0;
  const auto value = [&](i64 x) { return later[static_cast<std::size_t>(x)] + run.slope * x; };
  for (i64 d = run.lo; d < static_cast<i64>(best.size()); ++d) {
    const i64 enters = d - run.lo;
    if (later[static_cast<std::size_t>(enters)] < never) {
      while (tail > head && value(queue[tail - 1]) >= value(enters)) --tail;
      queue[tail++] = static_cast<std::int32_t>(enters);
    }
    while (tail > head && queue[head] < d - run.hi) ++head;
    if (tail == head) continue;
    const i64 x = queue[head];
    const i64 found = later[static_cast<std::size_t>(x)] + run.cost(d - x);
    i64& known = best[static_cast<std::size_t>(d)];
    if (found < known) known = found;
  }
}

class Search {
 public:
  Search(std::span<const Candidate> candidates, i64 dose, const Weights& weights)
      : candidates_(candidates), dose_(dose), row_(static_cast<std::size_t>(dose) + 1) {
    runs_.reserve(candidates.size() * 4);
    for (const Candidate& c : candidates) {
      first_run_.push_back(runs_.size());
      add_runs(c, dose, weights, runs_);
    }
    first_run_.push_back(runs_.size());
  }

  bool fill();
  std::vector<Share> injections();
  void even(std::vector<Share>& shares) const;

 private:
  std::span<const Run> runs(std::size_t candidate) const {
    return {runs_.data() + first_run_[candidate], runs_.data() + first_run_[candidate + 1]};
  }
  std::span<i64> best(std::size_t candidate) { return {best_.data() + candidate * row_, row_}; }
  bool step_to(std::size_t candidate, const Run& run, std::span<const std::uint8_t> now,
               std::span<std::uint8_t> next);

  std::span<const Candidate> candidates_;
  i64 dose_;
  std::size_t row_;
  std::vector<Run> runs_;
  std::vector<std::size_t> first_run_;
  std::vector<i64> best_;
};

/// Pass 1. False when all of them hold too little.
bool Search::fill() {
  const std::size_t n = candidates_.size();
  best_.assign((n + 1) * row_, never);
  best(n)[0] = 0;
  std::vector<std::int32_t> queue(row_);
  for (std::size_t i = n; i-- > 0;) {
    const auto later = best(i + 1);
    const auto here = best(i);
    std::copy(later.begin(), later.end(), here.begin());
    for (const Run& run : runs(i)) relax(run, later, here, queue);
  }
  return best(0)[row_ - 1] < never;
}

/// Marks in `next` what may be left to give after this candidate gave part of it by this run, on an
/// optimal way. True when there is any.
bool Search::step_to(std::size_t candidate, const Run& run, std::span<const std::uint8_t> now,
                     std::span<std::uint8_t> next) {
  const auto here = best(candidate);
  const auto later = best(candidate + 1);
  bool any = false;
  for (i64 d = run.lo; d <= dose_; ++d) {
    if (now[static_cast<std::size_t>(d)] == 0) continue;
    for (i64 q = run.lo; q <= std::min(run.hi, d); ++q) {
      const auto rest = static_cast<std::size_t>(d - q);
      if (later[rest] >= never || later[rest] + run.cost(q) != here[static_cast<std::size_t>(d)])
        continue;
      next[rest] = 1;
      any = true;
    }
  }
  return any;
}

/// Pass 2: how many injections each candidate gives; of sequences of equal length, the one that
/// takes most from the first candidate, then most from the second, and so on, is first in order of
/// preference injection by injection. The doses are left open.
std::vector<Share> Search::injections() {
  std::vector<Share> shares;
  std::vector<std::uint8_t> now(row_), next(row_);
  now[row_ - 1] = 1;
  for (std::size_t i = 0; i < candidates_.size() && now[0] == 0; ++i) {
    const auto mine = runs(i);
    i64 taken = 0;
    for (std::size_t r = mine.size(); r-- > 0;) {
      if (taken != 0 && mine[r].injections != taken) break;
      if (taken == 0) std::fill(next.begin(), next.end(), std::uint8_t{0});
      if (step_to(i, mine[r], now, next)) taken = mine[r].injections;
    }
    if (taken != 0) {
      shares.push_back({i, 0, taken});
      std::swap(now, next);
      continue;
    }
    for (std::size_t d = 0; d < row_; ++d) {
      if (now[d] != 0 && best(i + 1)[d] != best(i)[d]) now[d] = 0;
    }
  }
  return shares;
}

struct Cost {
  i64 cost = never;
  i64 squares = 0;
  friend constexpr auto operator<=>(const Cost&, const Cost&) = default;
};

/// Pass 3: the doses. Squares add up, so the same recursion holds with (cost, squares) in order.
void Search::even(std::vector<Share>& shares) const {
  const std::size_t n = shares.size();
  std::vector<Cost> table((n + 1) * row_);
  table[n * row_] = {0, 0};
  const auto through = [&](std::size_t i, const Run& run, i64 d, i64 q) {
    Cost sum = table[(i + 1) * row_ + static_cast<std::size_t>(d - q)];
    if (sum.cost >= never) return Cost{};
    const Source& s = candidates_[shares[i].candidate].source;
    sum.cost += run.cost(q);
    sum.squares += divided(q, run.injections, s.cap_first, s.cap_next).squares(run.injections);
    return sum;
  };
  for (std::size_t i = n; i-- > 0;) {
    for (const Run& run : runs(shares[i].candidate)) {
      if (run.injections != shares[i].injections) continue;
      for (i64 d = i == 0 ? dose_ : run.lo; d <= dose_; ++d) {
        Cost& known = table[i * row_ + static_cast<std::size_t>(d)];
        // The last candidate gives all that is still open.
        for (i64 q = i + 1 == n ? std::max(run.lo, d) : run.lo; q <= std::min(run.hi, d); ++q) {
          const Cost found = through(i, run, d, q);
          if (found < known) known = found;
        }
      }
    }
  }
  i64 open = dose_;
  for (std::size_t i = 0; i < n; ++i) {
    const Cost goal = table[i * row_ + static_cast<std::size_t>(open)];
    INVARIANT(goal.cost < never);
    for (const Run& run : runs(shares[i].candidate)) {
      if (run.injections != shares[i].injections) continue;
      for (i64 q = run.lo; q <= std::min(run.hi, open); ++q) {
        if (through(i, run, open, q) == goal) shares[i].dose = q;  // the largest comes last
      }
    }
    open -= shares[i].dose;
  }
  INVARIANT(open == 0);
}

}  // namespace

std::vector<Share> search(std::span<const Candidate> candidates, i64 dose, const Weights& weights,
                          std::optional<std::size_t> first) {
  Search work(candidates, dose, weights);
  if (!work.fill()) return {};
  auto shares = work.injections();
  // The needle that is on is used before it is taken off; its prime would be lost otherwise.
  const auto on = std::find_if(shares.begin(), shares.end(),
                               [&](const Share& s) { return first && s.candidate == *first; });
  if (on != shares.end()) std::rotate(shares.begin(), on, on + 1);
  if (shares.size() == 1) {
    shares[0].dose = dose;
  } else {
    work.even(shares);
  }
  return shares;
}

}  // namespace penstock::draw::internal
