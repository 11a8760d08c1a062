#include "core/interlock/primed/primed.hpp"

#include <algorithm>
#include <variant>

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

}  // namespace

bool is_prime_stale(const chart::Chart& person, const ledger::Pen& pen, const order::Due& due,
                    Instant now, bool on_paper) {
  const auto last = last_prime(person, pen);
  if (!last || (on_paper && last->at < due.from.at)) return on_paper;
  if (is_of_struck(person, pen, *last)) return true;
  return (on_paper ? std::max(now, due.at.at) : now) - last->at > prime_holds;
}

}  // namespace penstock::interlock
