#include "core/journal/journal.hpp"

#include <algorithm>
#include <tuple>

#include "core/journal/internal/id_index.hpp"

namespace penstock::journal {
namespace {

using internal::IdIndex;

// Most facts differ in their instant: it lies beside the pointer, so that sorting touches few
// facts.
struct Key {
  Instant at;
  const Fact* fact;
};

// The order of the fold: happened, source, sequence, identity. What follows only settles two facts
// that claim one identity, which a store never hands out.
bool same_instant_before(const Fact& a, const Fact& b) {
  if (const auto order = a.source.compare(b.source); order != 0) return order < 0;
  const auto key = [](const Fact& f) { return std::tie(f.sequence, f.id, f.recorded); };
  if (key(a) != key(b)) return key(a) < key(b);
  const auto rest = [](const Fact& f) {
    return std::make_tuple(f.payload.index(), std::string_view(f.author),
                           std::string_view(f.told_by));
  };
  return rest(a) < rest(b);
}

bool before(const Key& a, const Key& b) {
  return a.at != b.at ? a.at < b.at : same_instant_before(*a.fact, *b.fact);
}

bool effective_before(const Effective& a, const Effective& b) {
  if (a.happened.at != b.happened.at) return a.happened.at < b.happened.at;
  if (const auto order = a.fact->source.compare(b.fact->source); order != 0) return order < 0;
  return std::tie(a.sequence, a.fact->id) < std::tie(b.sequence, b.fact->id);
}

std::vector<Key> in_order(std::span<const Fact> facts) {
  std::vector<Key> keys;
  keys.reserve(facts.size());
  bool ascending = true;
  for (const auto& fact : facts) {
    const Key key{fact.happened.at, &fact};
    if (ascending && !keys.empty()) ascending = !before(key, keys.back());
    keys.push_back(key);
  }
  if (!ascending) std::ranges::sort(keys, before);
  const auto repeated = std::ranges::unique(
      keys, [](const Key& a, const Key& b) { return a.fact->id == b.fact->id; });
  keys.erase(repeated.begin(), repeated.end());
  return keys;
}

const Correction* correction_in(const Fact& fact) { return std::get_if<Correction>(&fact.payload); }

// A correction that puts another correction in a fact's place says nothing about what happened:
// `checked` refuses it, and here it waits.
bool says_something(const Correction& correction) {
  return !correction.replacement ||
         !std::holds_alternative<Correction>(correction.replacement->payload);
}

/// All corrections of one fact; `holds` is the last by (recorded, happened, sequence, identity).
struct Claims {
  Id target;
  const Fact* holds = nullptr;
  std::vector<const Fact*> rivals;
  bool met = false;
};

class Corrections {
  auto same(const Id& target) const {
    return [this, target](std::size_t at) { return claims_[at].target == target; };
  }

 public:
  Corrections(const std::vector<Key>& keys, std::vector<const Fact*>& waiting) {
    std::vector<const Fact*> found;
    for (const auto& key : keys) {
      const auto* correction = correction_in(*key.fact);
      if (correction == nullptr) continue;
      (says_something(*correction) ? found : waiting).push_back(key.fact);
    }
    if (found.empty()) return;
    slots_ = IdIndex::slots_for(found.size());
    claims_.reserve(found.size());
    for (const auto* fact : found) claim(*fact);
  }

  Claims* of(const Id& fact) {
    const auto at = IdIndex::find(slots_, fact, same(fact));
    return at ? &claims_[*at] : nullptr;
  }
  std::vector<Claims>& all() { return claims_; }

 private:
  // Of two that were recorded in one second the one that came behind the other (H31).
  static std::tuple<Instant, Instant, std::uint32_t, Id> key(const Fact& fact) {
    return {fact.recorded, fact.happened.at, fact.sequence, fact.id};
  }

  void claim(const Fact& fact) {
    const auto& target = correction_in(fact)->target;
    const auto at = IdIndex::insert(slots_, target, claims_.size(), same(target));
    if (!at) {
      claims_.push_back({target, &fact, {}, false});
      return;
    }
    auto& claims = claims_[*at];
    const bool later = key(*claims.holds) < key(fact);
    claims.rivals.push_back(later ? claims.holds : &fact);
    if (later) claims.holds = &fact;
  }

  std::vector<Claims> claims_;
  std::vector<std::uint64_t> slots_;
};

void append(std::vector<const Fact*>& to, const std::vector<const Fact*>& from) {
  to.insert(to.end(), from.begin(), from.end());
}

// Voids or replaces one fact; what the replacement moved in time goes to `moved`.
void correct(History& history, std::vector<Effective>& moved, const Fact& fact, Claims& claims) {
  claims.met = true;
  const auto& correction = *correction_in(*claims.holds);
  if (correction.wrong_person) {
    history.hidden.push_back({&fact, claims.holds});
    // A rival may repeat what the hidden fact says about somebody else.
    for (const auto* rival : claims.rivals) history.hidden.push_back({rival, claims.holds});
    return;
  }
  append(history.rivals, claims.rivals);
  if (!correction.replacement) {
    history.voided.push_back({&fact, claims.holds});
    return;
  }
  const auto& instead = *correction.replacement;
  moved.push_back({instead.happened, instead.sequence, &fact, &instead.payload, claims.holds});
}

void sort_as_folded(std::vector<const Fact*>& facts) {
  std::ranges::sort(facts, [](const Fact* a, const Fact* b) {
    return before({a->happened.at, a}, {b->happened.at, b});
  });
}

// One identity is one fact, also where a file that never went through a store says otherwise: the
// first holds.
void index(History& history) {
  auto& facts = history.facts;
  history.by_id = IdIndex::slots_for(facts.size());
  std::size_t kept = 0;
  for (std::size_t at = 0; at < facts.size(); ++at) {
    const auto& id = facts[at].fact->id;
    const auto same = [&](std::size_t other) { return facts[other].fact->id == id; };
    if (IdIndex::insert(history.by_id, id, kept, same)) continue;
    if (kept != at) facts[kept] = facts[at];
    ++kept;
  }
  facts.resize(kept);
}

}  // namespace

History read(std::span<const Fact> facts) {
  const auto keys = in_order(facts);
  History history;
  history.facts.reserve(keys.size());
  Corrections corrections(keys, history.waiting);
  std::vector<Effective> moved;
  for (const auto& [at, fact] : keys) {
    if (correction_in(*fact) != nullptr) continue;
    if (auto* claims = corrections.of(fact->id)) {
      correct(history, moved, *fact, *claims);
      continue;
    }
    history.facts.push_back({fact->happened, fact->sequence, fact, &fact->payload, nullptr});
  }
  for (const auto& claims : corrections.all()) {
    if (claims.met) continue;
    history.waiting.push_back(claims.holds);
    append(history.waiting, claims.rivals);
  }
  sort_as_folded(history.waiting);
  sort_as_folded(history.rivals);
  std::ranges::sort(moved, effective_before);
  const auto middle = static_cast<std::ptrdiff_t>(history.facts.size());
  history.facts.insert(history.facts.end(), moved.begin(), moved.end());
  std::ranges::inplace_merge(history.facts, history.facts.begin() + middle, effective_before);
  index(history);
  return history;
}

const Effective* find(const History& history, const Id& fact) {
  const auto same = [&](std::size_t at) { return history.facts[at].fact->id == fact; };
  const auto at = IdIndex::find(history.by_id, fact, same);
  return at ? &history.facts[*at] : nullptr;
}

std::optional<Instant> recorded_later(std::span<const Fact> facts, std::optional<Instant> anybody,
                                      Instant now) {
  // The last entry alone: whoever recorded after one of a clock that was ahead was asked which of
  // the two is right.
  auto last = anybody;
  if (!facts.empty()) last = std::max(last, std::optional(facts.back().recorded));
  if (!last || *last <= now + clock_slack) return std::nullopt;
  return last;
}

}  // namespace penstock::journal
