// The same injections written down twice, by the clock of a pen desk and by memory at home, differ
// by some minutes: without a question each of them counts as two (H56).
#include "edge/diary/internal/near.hpp"

#include <algorithm>
#include <map>
#include <optional>

#include "edge/diary/diary.hpp"

namespace penstock::diary {
namespace {

using journal::Fact;
using journal::Payload;

/// What left a cartridge, whether it went in or was primed.
struct Pressed {
  bool injected = false;
  Id cartridge;
  Units units = Units::zero();
};

std::optional<Pressed> pressed_in(const Payload& payload) {
  if (const auto* dose = std::get_if<journal::Injected>(&payload))
    return Pressed{true, dose->cartridge, dose->units};
  if (const auto* prime = std::get_if<journal::Primed>(&payload))
    return Pressed{false, prime->cartridge, prime->units};
  return std::nullopt;
}

struct Pair {
  std::chrono::seconds apart{};
  std::size_t fresh = 0;
  std::size_t held = 0;
};

}  // namespace

std::vector<DiaryNear> internal::near_rows(const std::vector<DiaryLine>& fresh,
                                           const DiaryContext& context) {
  struct Held {
    Pressed what;
    When when;
  };
  std::vector<Held> held;
  for (const auto& one : context.so_far) {
    if (const auto pressed = pressed_in(*one.payload)) held.push_back({*pressed, one.happened});
  }
  const auto at = [](const Held& one) { return one.when.at; };
  std::ranges::stable_sort(held, {}, at);
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < fresh.size(); ++i) {
    const auto row = pressed_in(fresh[i].fact.payload);
    if (!row) continue;
    const auto when = fresh[i].fact.happened.at;
    const auto from = std::ranges::upper_bound(held, when - near_minutes, {}, at);
    for (auto one = from; one != held.end() && one->when.at < when + near_minutes; ++one) {
      const bool same =
          one->what.injected == row->injected && one->what.units == row->units &&
          (one->what.cartridge == row->cartridge ||
           (context.same_insulin && context.same_insulin(one->what.cartridge, row->cartridge)));
      if (same)
        pairs.push_back(
            {abs(one->when.at - when), i, static_cast<std::size_t>(one - held.begin())});
    }
  }
  std::ranges::stable_sort(pairs, {}, &Pair::apart);
  std::vector<bool> taken(held.size());
  std::map<std::size_t, When> found;
  for (const auto& pair : pairs) {
    if (taken[pair.held] || found.contains(pair.fresh)) continue;
    taken[pair.held] = true;
    found.emplace(pair.fresh, held[pair.held].when);
  }
  std::vector<DiaryNear> out;
  for (const auto& [row, when] : found) out.push_back({row, when});
  return out;
}

std::vector<Fact> taken_back_with(std::span<const Fact> facts, const journal::History& history,
                                  DigestFunction digest) {
  std::vector<Fact> out;
  for (const auto& fact : facts) {
    const auto* back = std::get_if<journal::Correction>(&fact.payload);
    if (back == nullptr || back->replacement) continue;
    const auto imported = std::ranges::find_if(
        history.facts, [&](const auto& one) { return one.fact->id == back->target; });
    if (imported == history.facts.end() ||
        !std::holds_alternative<journal::DiaryImported>(*imported->payload))
      continue;
    for (const auto& row : history.facts) {
      const bool came_with =
          row.fact->id != back->target && row.fact->recorded == imported->fact->recorded &&
          row.fact->source == imported->fact->source && row.fact->author == imported->fact->author;
      if (!came_with) continue;
      Fact one = fact;
      one.id = id_from(
          "penstock import taken back 1\n" + to_text(fact.id) + "\n" + to_text(row.fact->id),
          digest);
      one.sequence = static_cast<std::uint32_t>(facts.size() + out.size());
      one.payload = journal::Correction{row.fact->id, back->reason, false, nullptr};
      out.push_back(std::move(one));
    }
  }
  return out;
}

}  // namespace penstock::diary
