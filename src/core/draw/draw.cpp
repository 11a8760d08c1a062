#include "core/draw/draw.hpp"

#include <algorithm>
#include <utility>

#include "core/draw/internal/terms.hpp"

namespace penstock::draw {
namespace {

using namespace internal;

i64 steps_of(Units amount, const Terms& t) {
  INVARIANT(amount.hundredths() % t.step == 0 && !amount.is_zero());
  return amount.hundredths() / t.step;
}

/// A needle that is on has its own first injection: what was spent stays in the count of a window
/// that counts on; once flow was seen nothing more is primed (H01, H44).
void put_on(Source& source, const Terms& t, const OnNeedle& needle, bool is_new) {
  source.spent = needle.spent.hundredths();
  if (needle.flow_seen) {
    source.first_prime = 0;
  } else if (!needle.change) {
    const i64 rest_of_rule = (is_new ? t.rule_new : t.rule) - needle.primed.hundredths();
    source.first_prime =
        std::max(t.step, rest_of_rule <= 0 ? 0 : quotient_up(rest_of_rule, t.step) * t.step);
  }
  source.cap_first = t.cap(source.spent + source.first_prime);
}

Candidate candidate_of(const Terms& t, std::span<const AtHand> at_hand, std::size_t index,
                       const Request& request, i64 next_dose) {
  const AtHand& from = at_hand[index];
  Candidate c;
  c.index = index;
  c.source = source_of(t, from.left.hundredths(), from.is_new);
  c.sealed = from.sealed;
  bool primed_before = !from.is_new;
  if (request.on_needle && request.on_needle->cartridge == index) {
    put_on(c.source, t, *request.on_needle, from.is_new);
    primed_before = primed_before || request.on_needle->flow_seen;
    c.sealed = false;
  }
  c.keep_after = least_for(t, next_dose, false);
  c.keep_untouched = primed_before ? c.keep_after : least_for(t, next_dose, true);
  return c;
}

/// In use first, earliest end first, order given.
std::vector<Candidate> candidates_of(const Terms& t, std::span<const AtHand> at_hand,
                                     const Request& request) {
  const i64 next_dose = steps_of(request.next_dose, t);
  std::vector<Candidate> all;
  all.reserve(at_hand.size());
  for (std::size_t i = 0; i < at_hand.size(); ++i) {
    all.push_back(candidate_of(t, at_hand, i, request, next_dose));
  }
  std::sort(all.begin(), all.end(), [&](const Candidate& a, const Candidate& b) {
    const AtHand& x = at_hand[a.index];
    const AtHand& y = at_hand[b.index];
    if (x.is_new != y.is_new) return y.is_new;
    return std::pair(x.days_to_end, a.index) < std::pair(y.days_to_end, b.index);
  });
  return all;
}

/// Where a cartridge stands among the candidates.
std::optional<std::size_t> place_of(std::span<const Candidate> all, std::size_t cartridge) {
  const auto at = std::find_if(all.begin(), all.end(),
                               [&](const Candidate& c) { return c.index == cartridge; });
  if (at == all.end()) return {};
  return static_cast<std::size_t>(at - all.begin());
}

struct Alone {
  std::optional<std::size_t> candidate;
  i64 injections = 0;
  i64 waste = 0;
};

/// The best single cartridge; the first of equals.
Alone best_alone(std::span<const Candidate> all, i64 dose, const Weights& w) {
  Alone best;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (!all[i].source.gives(dose)) continue;
    const i64 k = all[i].source.injections(dose);
    const i64 waste = all[i].waste(dose, k);
    if (best.candidate && w.key(k, waste) >= w.key(best.injections, best.waste)) continue;
    best = {i, k, waste};
  }
  return best;
}

/// Whether no division over several cartridges can be better than this one injection: either there
/// is no fewer, or nothing can waste less. A rest that would be thrown away if left alone saves at
/// most what it can give, or all but its prime if giving some of it lets it be kept; anything else
/// costs at least its prime.
bool cannot_be_beaten(const Alone& alone, std::span<const Candidate> all, i64 dose, Prefer prefer) {
  if (!alone.candidate || alone.injections != 1) return false;
  if (prefer == Prefer::fewest_needles) return true;
  i64 given = 0, kept = 0;
  i64 prime = never;
  for (const Candidate& c : all) {
    if (c.source.cap_first < 1) continue;
    if (const i64 untouched = c.waste_untouched(); untouched == 0) {
      prime = std::min(prime, c.source.first_prime);
    } else if (untouched - c.source.first_prime >= c.keep_after) {
      kept += untouched;
    } else {
      given += c.source.most() * c.source.step;
    }
  }
  const i64 whole = dose * all[0].source.step;
  const i64 least = kept > 0 || given >= whole ? -whole - kept : prime - given;
  return alone.waste <= least;
}

std::vector<Share> shares_of(std::span<const Candidate> all, i64 dose, const Request& request,
                             bool suspension) {
  const Weights w = weights_of(request.prefer);
  const Alone alone = best_alone(all, dose, w);
  const bool no_split = suspension || request.split == Split::never ||
                        (request.split == Split::if_short && alone.candidate);
  if (no_split || cannot_be_beaten(alone, all, dose, request.prefer)) {
    if (!alone.candidate) return {};
    return {{*alone.candidate, dose, alone.injections}};
  }
  const auto first = request.on_needle ? place_of(all, request.on_needle->cartridge) : std::nullopt;
  return search(all, dose, w, first);
}

/// The dose from the one that stays in the pen, where no other way needs fewer injections than it
/// does, or would with nothing in its window.
std::optional<Share> stays(const Terms& t, std::span<const AtHand> at_hand,
                           std::span<const Candidate> all, i64 dose, const Request& request,
                           std::span<const Share> best) {
  if (!request.stays || request.prefer != Prefer::fewest_needles) return {};
  const std::size_t i = *place_of(all, *request.stays);
  if (!all[i].source.gives(dose)) return {};
  i64 fewest = 0;
  for (const Share& share : best) fewest += share.injections;
  const AtHand& in_pen = at_hand[*request.stays];
  const Source clear = source_of(t, in_pen.left.hundredths(), in_pen.is_new);
  const i64 k = all[i].source.injections(dose);
  const bool enough = k <= fewest || (clear.gives(dose) && clear.injections(dose) <= fewest);
  return enough ? std::optional(Share{i, dose, k}) : std::nullopt;
}

NoChoice no_choice(const Terms& t, std::span<const Candidate> all, i64 dose) {
  i64 alone = 0, together = 0;
  bool window = false, mixes = false;
  for (const Candidate& c : all) {
    const i64 most = c.source.most();
    alone = std::max(alone, most);
    together += most;
    window = window || c.source.cap_first > 0;
    mixes = mixes || c.source.left >= t.mix;
  }
  NoChoice no;
  no.most_alone = units(alone * t.step);
  no.most_together = units(together * t.step);
  if (!window) {
    no.why = Why::prime_fills_window;
  } else if (!mixes) {
    no.why = Why::too_little_to_mix;
  } else {
    no.why = together >= dose ? Why::only_by_splitting : Why::too_little;
  }
  return no;
}

/// The parts of one share. A suspension's last part is at least what lets its injection begin with
/// enough to mix.
void add_parts(const Terms& t, const Candidate& c, const Share& share, std::vector<Part>& parts) {
  const Source& s = c.source;
  const i64 k = share.injections;
  Division even = divided(share.dose, k, s.cap_first, s.cap_next);
  i64 last = even.part(k - 1);
  if (const i64 least = s.last_least(share.dose, k); k > 1 && last < least) {
    last = least;
    even = divided(share.dose - last, k - 1, s.cap_first, s.cap_next);
  }
  for (i64 i = 0; i < k; ++i) {
    const i64 dose = (i == k - 1 ? last : even.part(i)) * t.step;
    const i64 primed = i == 0 ? s.first_prime : s.next_prime;
    const i64 spent = i == 0 ? s.spent : 0;
    const i64 window = dose + (t.counts_on ? spent + primed : 0);
    parts.push_back({c.index, units(dose), units(primed), units(spent), units(window)});
  }
}

Choice choice_of(const Terms& t, std::span<const Candidate> all, std::span<const Share> shares) {
  Choice choice;
  choice.left_after.assign(all.size(), Units::zero());
  choice.thrown.assign(all.size(), Units::zero());
  choice.thrown_away.assign(all.size(), false);
  i64 parts = 0;
  for (const Share& share : shares) parts += share.injections;
  choice.parts.reserve(static_cast<std::size_t>(parts));
  i64 primed = 0, wasted = 0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    const Candidate& c = all[i];
    const auto share = std::find_if(shares.begin(), shares.end(),
                                    [&](const Share& s) { return s.candidate == i; });
    i64 rest = c.source.left;
    bool goes = !c.sealed && rest < c.keep_untouched;
    if (share != shares.end()) {
      const i64 primes = c.source.primes(share->injections);
      rest -= primes + share->dose * t.step;
      primed += primes;
      goes = rest < c.keep_after;
    }
    wasted += goes ? rest : 0;
    choice.thrown_away[c.index] = goes;
    choice.thrown[c.index] = units(goes ? rest : 0);
    choice.left_after[c.index] = units(goes ? 0 : rest);
  }
  choice.primed = units(primed);
  choice.wasted = units(primed + wasted);
  for (const Share& share : shares) add_parts(t, all[share.candidate], share, choice.parts);
  return choice;
}

}  // namespace

tl::expected<Choice, NoChoice> choose(const Rules& rules, std::span<const AtHand> at_hand,
                                      const Request& request) {
  INVARIANT(at_hand.size() <= cartridges_max);
  const Terms t = terms_of(rules);
  const i64 dose = steps_of(request.dose, t);
  const auto all = candidates_of(t, at_hand, request);
  auto shares = shares_of(all, dose, request, rules.suspension);
  if (shares.empty()) return tl::unexpected(no_choice(t, all, dose));
  if (const auto in_pen = stays(t, at_hand, all, dose, request, shares)) shares = {*in_pen};
  return choice_of(t, all, shares);
}

std::optional<Taken> take(const Rules& rules, const AtHand& from, Units dose) {
  const Terms t = terms_of(rules);
  const Source source = source_of(t, from.left.hundredths(), from.is_new);
  const i64 steps = steps_of(dose, t);
  if (!source.gives(steps)) return std::nullopt;
  const i64 k = source.injections(steps);
  return Taken{static_cast<std::int32_t>(k), units(source.primes(k)),
               units(source.left - source.primes(k) - steps * t.step)};
}

Units most_from(const Rules& rules, const AtHand& from) {
  const Terms t = terms_of(rules);
  return units(source_of(t, from.left.hundredths(), from.is_new).most() * t.step);
}

std::optional<Units> needed(const Rules& rules, Units dose, bool is_new) {
  const Terms t = terms_of(rules);
  const i64 least = least_for(t, steps_of(dose, t), is_new);
  if (least == never) return std::nullopt;
  return units(least);
}

Units prime_in_steps(const Rules& rules, bool is_new) {
  const Terms t = terms_of(rules);
  return units(is_new ? t.prime_new : t.prime);
}

}  // namespace penstock::draw
