#include "core/ledger/internal/as_used.hpp"

#include <variant>

namespace penstock::ledger::internal {
namespace {

using journal::Effective;

/// How much too early the hour of an injection is typed by somebody who has just watched it: the
/// prime before it went in with it. Ours.
constexpr std::chrono::minutes typed_early{60};

const journal::Injected* injection(const Effective& e) {
  return std::get_if<journal::Injected>(e.payload);
}

/// The pen that the cartridge is in before `at`; nil: none that was recorded.
Id pen_before(const std::vector<Effective>& facts, std::size_t at, const Id& cartridge) {
  for (std::size_t i = at; i-- > 0;) {
    const auto* load = std::get_if<journal::CartridgeLoaded>(facts[i].payload);
    if (load != nullptr && load->cartridge == cartridge) return load->pen;
  }
  return Id{};
}

/// Whether another injection, on record before this one was, has used what was pressed at `at`.
bool is_used(const std::vector<Effective>& facts, std::size_t at, const journal::Injected& in,
             Instant recorded) {
  for (auto i = at + 1; i < facts.size(); ++i) {
    if (facts[i].happened.at - facts[at].happened.at > typed_early) return false;
    const auto* other = injection(facts[i]);
    if (other != nullptr && other->cartridge == in.cartridge && facts[i].fact->recorded < recorded)
      return true;
  }
  return false;
}

/// What the injection at `at` used up of what stands behind it.
void add_used(const std::vector<Effective>& facts, std::size_t at, std::vector<Used>& out) {
  const auto& in = *injection(facts[at]);
  const auto happened = facts[at].happened.at;
  const auto recorded = facts[at].fact->recorded;
  for (auto i = at + 1; i < facts.size() && facts[i].happened.at - happened <= typed_early; ++i) {
    if (facts[i].fact->recorded >= recorded) continue;
    const auto* primed = std::get_if<journal::Primed>(facts[i].payload);
    const auto* needle = std::get_if<journal::NeedleOn>(facts[i].payload);
    const bool is_its = (primed != nullptr && primed->cartridge == in.cartridge) ||
                        (needle != nullptr && needle->pen == pen_before(facts, at, in.cartridge));
    if (is_its && !is_used(facts, i, in, recorded))
      out.push_back({facts[i].fact, facts[at].fact->id});
  }
}

}  // namespace

std::vector<Used> used_before(const journal::History& history) {
  std::vector<Used> out;
  for (std::size_t i = 0; i < history.facts.size(); ++i) {
    if (injection(history.facts[i]) != nullptr) add_used(history.facts, i, out);
  }
  return out;
}

}  // namespace penstock::ledger::internal
