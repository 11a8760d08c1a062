#include "core/interlock/primed/primed.hpp"

#include <algorithm>
#include <variant>

#include "core/interlock/lately/lately.hpp"
#include "core/journal/journal.hpp"

namespace penstock::interlock {

using std::chrono::minutes;

std::optional<When> last_prime(const chart::Chart& person, const ledger::Pen& pen) {
  std::optional<When> last;
  for (const auto& one : person.history.facts) {
    const auto* primed = std::get_if<journal::Primed>(one.payload);
    if (primed != nullptr && pen.cartridge == primed->cartridge) last = one.happened;
  }
  return last;
}

namespace {

// The injection after it was struck out: the prime may be no more this person's than that was (H01,
// H13).
bool is_of_struck(const chart::Chart& person, const ledger::Pen& pen, const When& prime) {
  const auto is_it = [&](const journal::Voided& one) {
    const auto* in = std::get_if<journal::Injected>(&one.fact->payload);
    const auto after = one.fact->happened.at - prime.at;
    return in != nullptr && pen.cartridge == in->cartridge && after >= minutes{0} &&
           after <= prime_holds;
  };
  return std::ranges::any_of(person.history.voided, is_it) ||
         std::ranges::any_of(person.history.hidden, is_it);
}

// What was pressed out once tonight's dose was in is no prime of tomorrow's (H01).
bool is_after_the_dose(const chart::Chart& person, const order::Due& due, const When& prime) {
  const auto before = slot_before(person, due);
  if (!before || prime.at >= due.from.at || prime.at > before->to.at + minutes{order::near_minutes})
    return false;
  return std::ranges::any_of(order::given_for(person.order, *before),
                             [&](const auto* given) { return given->when.at <= prime.at; });
}

}  // namespace

bool is_prime_stale(const chart::Chart& person, const ledger::Pen& pen, const order::Due& due,
                    Instant now, bool on_paper) {
  const auto last = last_prime(person, pen);
  if (!last || (on_paper && last->at < due.from.at)) return on_paper;
  if (is_of_struck(person, pen, *last)) return true;
  if (is_after_the_dose(person, due, *last)) return true;
  return (on_paper ? std::max(now, due.at.at) : now) - last->at > prime_holds;
}

namespace {

/// Not said where units went through a needle that nobody recorded, or through a used one.
std::optional<bool> needle_on(const ledger::Pen& pen) {
  if (pen.needle.on && pen.needle.uses == 0) return true;
  const bool pressed = pen.flow_seen || pen.dry_primes > 0 || !pen.spent_on_needle.is_zero();
  return pressed ? std::nullopt : std::optional(false);
}

}  // namespace

dial::Prime prime_of(const ledger::Pen& pen, bool open_serves, bool stale) {
  dial::Prime prime;
  prime.units = pen.copy.prime;
  prime.new_cartridge = pen.copy.prime_new_cartridge;
  if (!open_serves) return prime;  // what was pressed out was another cartridge's
  // Two needles stayed dry, or as many primes as two would take with no needle on record: a third
  // one, or a night, makes no flow (H64).
  const bool two_dry = pen.dry_needles > 1 || pen.dry_primes >= 2 * dial::dry_primes_for_new_needle;
  const auto dry_primes = two_dry ? std::max(pen.dry_primes, 1) : pen.dry_primes;
  if (stale) {
    prime.dry_primes = dry_primes;
    prime.needle_changed = pen.dry_needles > 0 || two_dry;
    return prime;
  }
  const bool counts_on = pen.window() == shelf::Window::counts_on;
  prime.spent = counts_on ? pen.spent_in_window : pen.spent_on_needle;
  // A test set the window to zero meanwhile.
  prime.through_needle = std::min(pen.spent_on_needle, prime.spent);
  prime.needle_on = needle_on(pen);
  prime.flow_seen = pen.flow_seen;
  prime.dry_primes = dry_primes;
  prime.needle_changed = pen.dry_needles > 0 || two_dry;
  // Pressed out, and nobody said that anything showed: as dry as if nothing had (H44).
  const bool unseen = !prime.flow_seen && !prime.spent.is_zero() && !prime.needle_changed;
  if (unseen) prime.dry_primes = std::max(prime.dry_primes, 1);
  return prime;
}

}  // namespace penstock::interlock
