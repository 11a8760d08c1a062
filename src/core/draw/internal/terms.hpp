// The draw's arithmetic on one cartridge: amounts as hundredths, doses as steps of the pen.
#pragma once

#include <algorithm>
#include <cstdint>
#include <limits>

#include "core/draw/draw.hpp"

namespace penstock::draw::internal {

using i64 = std::int64_t;
/// No rest is ever enough, or no injection possible.
inline constexpr i64 never = std::numeric_limits<i64>::max() / 4;

constexpr i64 quotient_up(i64 amount, i64 step) { return quotient(amount, step, Rounding::up); }

/// The rules, counted in the pen's own steps.
struct Terms {
  i64 step = 0;       // hundredths
  i64 most = 0;       // steps: what the window can show
  i64 prime = 0;      // hundredths, whole steps, at least one unless it may go unprimed
  i64 prime_new = 0;  // the same for a new cartridge
  i64 rule = 0;       // hundredths, as the rule says it
  i64 rule_new = 0;
  i64 mix = 0;  // hundredths: a suspension with less is not begun; 0 for a clear insulin
  bool counts_on = false;

  /// The largest dose, in steps, beside units that stay in the window's count (H01).
  i64 cap(i64 in_window) const {
    return std::max<i64>(0, most - (counts_on ? quotient_up(in_window, step) : 0));
  }
};

inline Terms terms_of(const Rules& rules) {
  Terms t;
  t.step = rules.step.hundredths();
  t.most = rules.most.hundredths() / t.step;
  t.rule = rules.prime.hundredths();
  t.rule_new = rules.prime_new_cartridge.hundredths();
  const i64 least = rules.may_go_unprimed ? 0 : t.step;
  t.prime = std::max(least, quotient_up(t.rule, t.step) * t.step);
  t.prime_new = std::max(least, quotient_up(t.rule_new, t.step) * t.step);
  t.mix = rules.suspension ? rules.least_left_to_mix.hundredths() : 0;
  t.counts_on = rules.window == shelf::Window::counts_on;
  return t;
}

/// How a dose can be taken from one cartridge: the first injection may differ from the next ones,
/// by its prime and by what is in the window's count already.
struct Source {
  i64 left = 0;         // hundredths
  i64 first_prime = 0;  // hundredths still to be pressed before the first injection
  i64 spent = 0;        // hundredths pressed through the needle that is on
  i64 next_prime = 0;   // hundredths before each further one
  i64 cap_first = 0;    // steps
  i64 cap_next = 0;
  i64 step = 0;
  i64 mix = 0;

  i64 primes(i64 injections) const { return first_prime + (injections - 1) * next_prime; }
  i64 caps(i64 injections) const { return cap_first + (injections - 1) * cap_next; }
  /// Fewest injections that the window allows for a dose; `never` when it allows none.
  i64 injections(i64 dose) const {
    if (cap_first < 1) return never;
    if (dose <= cap_first) return 1;
    if (cap_next < 1) return never;
    return 1 + quotient_up(dose - cap_first, cap_next);
  }
  /// The smallest last part with which the last of `injections` still begins with enough to mix.
  i64 last_least(i64 dose, i64 injections) const {
    const i64 before_last_dose =
        left - primes(injections) - dose * step + (injections == 1 ? first_prime : next_prime);
    const i64 lacking = mix - before_last_dose;
    return lacking <= 0 ? 1 : std::max<i64>(1, quotient_up(lacking, step));
  }
  bool mixes(i64 dose, i64 injections) const {
    if (mix == 0) return true;
    const i64 cap = injections == 1 ? cap_first : cap_next;
    return left >= mix && last_least(dose, injections) <= std::min(cap, dose - (injections - 1));
  }
  /// Whether the dose can be given from it alone, with the fewest injections.
  bool gives(i64 dose) const {
    const i64 k = injections(dose);
    return k != never && primes(k) + dose * step <= left && mixes(dose, k);
  }
  /// The largest dose, in steps.
  i64 most() const;
};

inline i64 Source::most() const {
  if (cap_first < 1 || left < mix) return 0;
  i64 best = 0;
  for (i64 k = 1; k == 1 || cap_next > 0; ++k) {
    const i64 floor = k == 1 ? 0 : caps(k - 1);
    if (left - primes(k) <= floor * step) break;
    i64 dose = std::min(caps(k), (left - primes(k)) / step);
    while (dose > floor && !mixes(dose, k)) --dose;
    if (dose <= floor) break;  // one more injection leaves even less
    best = dose;
  }
  return best;
}

inline Source source_of(const Terms& t, i64 left, bool is_new) {
  const i64 first = is_new ? t.prime_new : t.prime;
  return {.left = left,
          .first_prime = first,
          .spent = 0,
          .next_prime = t.prime,
          .cap_first = t.cap(first),
          .cap_next = t.cap(t.prime),
          .step = t.step,
          .mix = t.mix};
}

/// What a cartridge must hold to give `dose` alone: monotone, so that one comparison tells whether
/// a rest can prime and give it. `never` when its prime fills the window.
inline i64 least_for(const Terms& t, i64 dose, bool is_new) {
  Source from = source_of(t, 0, is_new);
  const i64 k = from.injections(dose);
  if (k == never) return never;
  const i64 whole = from.primes(k) + dose * t.step;
  if (t.mix == 0) return whole;
  if (k == 1) return std::max(whole, t.mix);
  // Before the last injection at least `mix` must be in it; the last part as large as can be.
  const i64 last = std::min(from.cap_next, dose - (k - 1));
  return std::max({whole, t.mix, t.mix + whole - t.prime - last * t.step});
}

/// A share divided over the injections of one cartridge, as evenly as step and window allow, larger
/// first: the first part, then `larger` parts of base + 1, then parts of base.
struct Division {
  i64 first = 0;
  i64 base = 0;
  i64 larger = 0;

  i64 part(i64 index) const { return index == 0 ? first : base + (index <= larger ? 1 : 0); }
  i64 squares(i64 parts) const {
    return first * first + larger * (base + 1) * (base + 1) + (parts - 1 - larger) * base * base;
  }
};

inline Division divided(i64 dose, i64 parts, i64 cap_first, i64 cap_next) {
  Division d;
  d.first = std::min(cap_first, quotient_up(dose, parts));
  if (parts == 1) return d;
  if (dose - d.first > (parts - 1) * cap_next) d.first = dose - (parts - 1) * cap_next;
  d.base = (dose - d.first) / (parts - 1);
  d.larger = (dose - d.first) % (parts - 1);
  return d;
}

constexpr Units units(i64 hundredths) {
  const auto amount = Units::from_hundredths(hundredths);
  INVARIANT(amount.has_value());
  return *amount;
}

// ---- what the search works on

/// A cartridge in the search, in the order of preference among equals.
struct Candidate {
  std::size_t index = 0;  // as given
  Source source;
  i64 keep_untouched = 0;  // a rest below it is thrown away when nothing is taken from it
  i64 keep_after = 0;      // the same after an injection: it is not new any more
  bool sealed = false;

  i64 thrown(i64 rest, i64 keep) const { return rest < keep ? rest : 0; }
  i64 waste_untouched() const { return sealed ? 0 : thrown(source.left, keep_untouched); }
  /// Waste of giving `dose` in `k` injections, beside that of leaving it alone. May be negative: a
  /// rest that would have been thrown away is given instead.
  i64 waste(i64 dose, i64 k) const {
    const i64 primed = source.primes(k);
    return primed + thrown(source.left - primed - dose * source.step, keep_after) -
           waste_untouched();
  }
};

/// How much of the dose comes from one candidate.
struct Share {
  std::size_t candidate = 0;
  i64 dose = 0;
  i64 injections = 0;
};

/// One number out of injections and waste, so that the preference is one comparison.
struct Weights {
  i64 injection = 0;
  i64 waste = 0;
  i64 key(i64 injections, i64 waste_hundredths) const {
    return injections * injection + waste_hundredths * waste;
  }
};
inline Weights weights_of(Prefer prefer) {
  // One plan wastes under 2^24 hundredths (40 cartridges of 1'500 units) and takes under 2^18
  // injections.
  return prefer == Prefer::fewest_needles ? Weights{i64{1} << 32, 1} : Weights{1, i64{1} << 32};
}

/// Divides the dose over several cartridges, exactly (search.cpp). `first` is the candidate whose
/// needle is on, whose injections come first, if there is one. Empty when all hold too little.
std::vector<Share> search(std::span<const Candidate> candidates, i64 dose, const Weights& weights,
                          std::optional<std::size_t> first);

}  // namespace penstock::draw::internal
