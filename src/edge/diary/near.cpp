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

struct One {
  Pressed what;
  When when;
  std::size_t place = 0;  // in `fresh`
  Instant at() const { return when.at; }
};

struct Pair {
  std::chrono::seconds apart{};
  std::size_t fresh = 0;
  std::size_t held = 0;
};

bool are_alike(const One& a, const One& b, const DiaryContext& context) {
  return a.what.injected == b.what.injected && a.what.units == b.what.units &&
         (a.what.cartridge == b.what.cartridge ||
          (context.same_insulin && context.same_insulin(a.what.cartridge, b.what.cartridge)));
}

// By place in `fresh`. `held` is in the order of time.
std::map<std::size_t, DiaryNear> paired_once(const std::vector<One>& rows,
                                             const std::vector<One>& held,
                                             const DiaryContext& context) {
  std::vector<Pair> pairs;
  for (const auto& row : rows) {
    const auto span = context.perhaps_same(row.what.cartridge);
    auto one = std::ranges::lower_bound(held, row.at() - span, {}, &One::at);
    for (; one != held.end() && one->at() <= row.at() + span; ++one) {
      if (are_alike(row, *one, context))
        pairs.push_back(
            {abs(one->at() - row.at()), row.place, static_cast<std::size_t>(one - held.begin())});
    }
  }
  std::ranges::stable_sort(pairs, {}, &Pair::apart);
  std::vector<bool> taken(held.size());
  std::map<std::size_t, DiaryNear> found;
  for (const auto& pair : pairs) {
    if (taken[pair.held] || found.contains(pair.fresh)) continue;
    taken[pair.held] = true;
    found.emplace(pair.fresh, DiaryNear{pair.fresh, held[pair.held].when, 0});
  }
  return found;
}

}  // namespace

std::vector<DiaryNear> internal::near_rows(const std::vector<DiaryLine>& fresh,
                                           const DiaryContext& context) {
  if (!context.perhaps_same) return {};
  std::vector<One> held, rows;
  for (const auto& one : context.so_far) {
    if (const auto pressed = pressed_in(*one.payload)) held.push_back({*pressed, one.happened});
  }
  std::ranges::stable_sort(held, {}, &One::at);
  for (std::size_t i = 0; i < fresh.size(); ++i) {
    const auto& fact = fresh[i].fact;
    if (const auto pressed = pressed_in(fact.payload)) rows.push_back({*pressed, fact.happened, i});
  }
  auto found = paired_once(rows, held, context);
  // What is left over, against the rows above it: as many units an hour later, by another hand.
  std::map<Units, std::map<Id, const One*>> above;  // the last of each cartridge
  for (const auto& row : rows) {
    if (!row.what.injected) continue;
    auto& alike = above[row.what.units];
    for (const auto& [cartridge, other] : alike) {
      const bool is_near = row.at() - other->at() <= context.perhaps_same(row.what.cartridge);
      if (is_near && are_alike(row, *other, context))
        found.emplace(row.place, DiaryNear{row.place, other->when, fresh[other->place].line});
    }
    alike[row.what.cartridge] = &row;
  }
  std::vector<DiaryNear> out;
  for (const auto& [place, near] : found) out.push_back(near);
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
