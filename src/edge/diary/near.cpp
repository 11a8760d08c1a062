// The same injections written down twice, by the clock of a pen desk and by memory at home, differ
// by some minutes: without a question each of them counts as two (H56).
#include "edge/diary/internal/near.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <utility>

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
  bool other_amount = false;
  std::chrono::seconds apart{};
  std::size_t fresh = 0;
  std::size_t held = 0;
};

bool of_one_insulin(const One& a, const One& b, const DiaryContext& context) {
  return a.what.injected == b.what.injected &&
         (a.what.cartridge == b.what.cartridge ||
          (context.same_insulin && context.same_insulin(a.what.cartridge, b.what.cartridge)));
}

bool are_alike(const One& a, const One& b, const DiaryContext& context) {
  return a.what.units == b.what.units && of_one_insulin(a, b, context);
}

// The same dose remembered with another amount.
bool are_one_dose(const One& row, const One& held, const DiaryContext& context) {
  if (!row.what.injected || !context.perhaps_same_dose || !of_one_insulin(row, held, context))
    return false;
  return abs(held.at() - row.at()) <= context.perhaps_same_dose(row.what.cartridge);
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
      const bool alike = are_alike(row, *one, context);
      if (alike || are_one_dose(row, *one, context))
        pairs.push_back({!alike, abs(one->at() - row.at()), row.place,
                         static_cast<std::size_t>(one - held.begin())});
    }
  }
  std::ranges::stable_sort(
      pairs, {}, [](const Pair& pair) { return std::pair{pair.other_amount, pair.apart}; });
  std::vector<bool> taken(held.size());
  std::map<std::size_t, DiaryNear> found;
  for (const auto& pair : pairs) {
    if (taken[pair.held] || found.contains(pair.fresh)) continue;
    taken[pair.held] = true;
    const auto& other = held[pair.held];
    found.emplace(pair.fresh,
                  DiaryNear{pair.fresh, other.when, 0,
                            pair.other_amount ? std::optional(other.what.units) : std::nullopt});
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
        found.emplace(row.place, DiaryNear{row.place, other->when, fresh[other->place].line, {}});
    }
    alike[row.what.cartridge] = &row;
  }
  std::vector<DiaryNear> out;
  for (const auto& [place, near] : found) out.push_back(near);
  return out;
}

namespace {

// The first of the entries that an import brought: they stand before it in the journal, and its
// identity was made of theirs. nullptr: somebody wrote that a file came in, and none did.
const Fact* first_brought(const journal::History& history, const Fact& imported,
                          const journal::DiaryImported& said, DigestFunction digest) {
  const auto looked = [&](const auto& rows) -> const Fact* {
    const auto row = std::ranges::find_if(
        rows, [&](const auto& one) { return &imported - one.fact == said.facts_new; });
    return row == rows.end() ? nullptr : row->fact;
  };
  const auto* first = looked(history.facts);
  if (first == nullptr) first = looked(history.voided);
  if (first == nullptr) first = looked(history.hidden);
  if (first == nullptr) return nullptr;
  const auto id = imported_id(imported.journal, said.digest, first->id, digest);
  return id == imported.id ? first : nullptr;
}

}  // namespace

Id imported_id(const Id& journal, std::string_view file_digest, const Id& first,
               DigestFunction digest) {
  return id_from("penstock diary file 1\n" + to_text(journal) + "\n" + std::string(file_digest) +
                     "\n" + to_text(first),
                 digest);
}

std::vector<Fact> taken_back_with(std::span<const Fact> facts, const journal::History& history,
                                  DigestFunction digest) {
  std::vector<Fact> out;
  for (const auto& fact : facts) {
    const auto* back = std::get_if<journal::Correction>(&fact.payload);
    if (back == nullptr || back->replacement) continue;
    const auto imported = std::ranges::find_if(
        history.facts, [&](const auto& one) { return one.fact->id == back->target; });
    if (imported == history.facts.end()) continue;
    const auto* said = std::get_if<journal::DiaryImported>(&imported->fact->payload);
    if (said == nullptr) continue;
    const auto* first = first_brought(history, *imported->fact, *said, digest);
    if (first == nullptr) continue;
    for (const auto& row : history.facts) {
      if (row.fact < first || row.fact >= imported->fact) continue;
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
