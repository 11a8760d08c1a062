#include "core/ledger/ledger.hpp"

#include <algorithm>

#include "core/ledger/internal/account.hpp"
#include "core/ledger/internal/as_used.hpp"
#include "core/ledger/internal/index.hpp"

namespace penstock::ledger {

static_assert(mark_codes.size() == static_cast<std::size_t>(MarkKind::not_from_stock) + 1);
static_assert(fitness_codes.size() == static_cast<std::size_t>(Fitness::past_in_use) + 1);

std::string_view code_of(MarkKind kind) { return mark_codes[static_cast<std::size_t>(kind)]; }
Units tested_with(Units step) {
  constexpr std::int64_t two = 200;
  const auto one = step.hundredths();
  return *Units::from_hundredths(one <= 0 ? two : (two + one - 1) / one * one);
}

std::string_view code_of(Fitness fitness) {
  return fitness_codes[static_cast<std::size_t>(fitness)];
}

std::vector<Arg> args_of(const Mark& mark) {
  return {arg_units("units", mark.units), arg_count("count", mark.count),
          arg_instant("when", mark.when)};
}

// ---- cartridges

Units Cartridge::at_least() const {
  auto least = left;
  if (scale) {
    const auto shown = checked_sub(scale->counted, scale->taken_since).value_or(Units::zero());
    least = smaller(least, shown);
  }
  return checked_sub(least, uncounted).value_or(Units::zero());
}

bool Cartridge::is_since_unknown() const {
  return is_loaded() && !loaded_new && in_use_from() == loaded_when.day();
}

std::optional<LocalDay> Cartridge::in_use_from() const {
  std::optional<LocalDay> from;
  const auto or_earlier = [&from](const When& when) {
    from = std::min(from.value_or(when.day()), when.day());
  };
  if (first_use) or_earlier(*first_use);
  // What went into a pen is out of the fridge; until its first piercing is on record its days run
  // from there, whatever the label says of a spare.
  if (is_loaded() && (copy.counts_from_fridge || !first_use)) or_earlier(loaded_when);
  if (copy.counts_from_fridge && left_fridge) or_earlier(*left_fridge);
  return from;
}

std::optional<std::int32_t> Cartridge::days_in_use(LocalDay on) const {
  const auto from = in_use_from();
  if (!from || on < *from) return std::nullopt;
  return static_cast<std::int32_t>((on - *from).count());
}

std::optional<LocalDay> Cartridge::last_day() const {
  std::optional<LocalDay> last = expires;
  const auto from = in_use_from();
  if (from && copy.in_use_days > 0) {
    const LocalDay end = *from + std::chrono::days{copy.in_use_days - 1};
    if (!last || end < *last) last = end;
  }
  return last;
}

bool Cartridge::is_too_hot() const {
  return is_loaded() && hottest && hottest->celsius > copy.in_use_most;
}

Fitness Cartridge::fitness(LocalDay on) const {
  if (!is_loaded()) return Fitness::not_loaded;
  if (thrown) return Fitness::thrown_away;
  if (shared_since) return Fitness::shared;
  if (is_frozen()) return Fitness::frozen;
  if (is_too_hot()) return Fitness::too_hot;
  if (expires && on > *expires) return Fitness::past_expiry;
  const auto last = last_day();
  if (last && on > *last) return Fitness::past_in_use;
  return Fitness::serves;
}

bool balanced(const Cartridge& c) {
  const std::int64_t in = c.loaded.hundredths() + c.unexplained.hundredths();
  const std::int64_t out = c.injected.hundredths() + c.primed.hundredths() +
                           c.thrown_away.hundredths() + c.left.hundredths();
  return in == out;
}

// ---- pens

std::optional<shelf::Window> Pen::window() const {
  switch (window_test) {
    case WindowTest::none:
      return copy.window;
    case WindowTest::counts_on:
      return shelf::Window::counts_on;
    case WindowTest::returns_to_zero:
      return shelf::Window::returns_to_zero;
    case WindowTest::unclear:
      break;
  }
  return std::nullopt;
}

FlowState Pen::flow() const {
  if (flow_seen) return FlowState::seen;
  if (dry_needles > 1 || (dry_primes > 0 && dry_needles > 0)) return FlowState::not_this_pen;
  // Whoever changed the needle did not always say so.
  if (dry_primes >= 2 * dry_primes_most) return FlowState::not_this_pen;
  if (dry_primes >= dry_primes_most) return FlowState::new_needle;
  if (dry_primes > 0) return FlowState::prime_again;
  return primes > 0 ? FlowState::unknown : FlowState::not_primed;
}

// ---- the ledger

const Cartridge* Ledger::cartridge(const Id& id) const {
  const auto found = std::ranges::find(cartridges, id, &Cartridge::id);
  return found == cartridges.end() ? nullptr : &*found;
}

const Pen* Ledger::pen(const Id& id) const {
  const auto found = std::ranges::find(pens, id, &Pen::id);
  return found == pens.end() ? nullptr : &*found;
}

const Pending* Ledger::pending_for(const Id& line) const {
  for (const Pending& p : pending) {
    if (p.line == line) return &p;
  }
  return nullptr;
}

const Stock* Ledger::stock_of(std::string_view insulin, Strength strength, Units each) const {
  for (const Stock& s : stock) {
    if (s.insulin == insulin && s.strength == strength && s.each == each) return &s;
  }
  return nullptr;
}

namespace {

ScaleCount* first_read_since(Cartridge& cartridge, const When& when) {
  for (auto& read : cartridge.scales_before) {
    if (read.when.at >= when.at) return &read;
  }
  return cartridge.scale && cartridge.scale->when.at >= when.at ? &*cartridge.scale : nullptr;
}

}  // namespace

void note_taken(Ledger& ledger, std::string_view insulin, Strength strength, const When& when,
                Units units) {
  Cartridge* from = nullptr;
  for (auto& one : ledger.cartridges) {
    const bool there = one.is_loaded() && one.copy.name == insulin &&
                       one.copy.strength == strength && one.loaded_when.at <= when.at &&
                       (!one.thrown || one.thrown->when.at > when.at);
    if (there && (from == nullptr || from->loaded_when.at <= one.loaded_when.at)) from = &one;
  }
  if (from == nullptr) return;
  const bool begins = !from->first_use || from->first_use->at > when.at;
  if (begins) from->first_use = when;
  // Nobody had taken from it: the first of them took what a new cartridge takes.
  bool is_new = from->loaded_new && from->doses_uncounted == 0 && (begins || !from->flowed);
  auto gone = units;
  // What the pen does not dial in one injection went in with as many primes (H02).
  const auto* pen = ledger.pen(from->last_pen);
  if (pen != nullptr && !pen->copy.most.is_zero()) {
    for (auto rest = units; !rest.is_zero();
         rest = checked_sub(rest, pen->copy.most).value_or(Units::zero())) {
      const auto& rule = pen->copy;
      gone = sum(gone, is_new ? larger(rule.prime, rule.prime_new_cartridge) : rule.prime);
      is_new = false;
    }
  }
  // Read since: that settles it, and the reading says whether it came out of this one (H59).
  if (auto* read = first_read_since(*from, when)) {
    read->uncounted = sum(read->uncounted, gone);
    return;
  }
  from->uncounted = sum(from->uncounted, gone);
  ++from->doses_uncounted;
}

namespace {

/// Facts lie all over the memory: asking for one early, while the ones before are folded, takes
/// most of the waiting away.
void ask_early(const journal::History& history, std::size_t i) {
  constexpr std::size_t ahead = 12;
  if (i + ahead < history.facts.size()) __builtin_prefetch(history.facts[i + ahead].payload);
}

template <class Account, class Payload>
concept Keeps =
    requires(Account account, const journal::Effective& e, const Payload& p) { account.on(e, p); };

/// What the second door adds up, a cartridge a row.
struct Sums {
  std::int64_t loaded = 0;
  std::int64_t primed = 0;
  std::int64_t injected = 0;
  bool seen_load = false;
};

class SecondDoor {
 public:
  void on(const journal::Effective&, const journal::CartridgeLoaded& p) {
    Sums& s = row(p.cartridge);
    if (!s.seen_load) s.loaded = p.units.hundredths();
    s.seen_load = true;
  }
  void on(const journal::Effective&, const journal::Primed& p) {
    row(p.cartridge).primed += p.units.hundredths();
  }
  void on(const journal::Effective&, const journal::WindowTested& p) {
    if (p.cartridge) row(*p.cartridge).primed += p.dialled.hundredths();
  }
  void on(const journal::Effective&, const journal::Injected& p) {
    row(p.cartridge).injected += p.units.hundredths();
  }
  bool agree(const Ledger& ledger) {
    std::size_t rows = 0;
    for (const Cartridge& c : ledger.cartridges) {
      const auto place = index_.find(c.id);
      const bool known = place != index_.end();
      if (known) ++rows;
      if (!agree(c, known ? rows_[place->second] : Sums{})) return false;
    }
    return rows == rows_.size();
  }

 private:
  static bool agree(const Cartridge& c, const Sums& s) {
    std::int64_t primed = c.primed_since_use.hundredths();
    std::int64_t injected = 0;
    for (const Use& use : c.uses) {
      primed += use.primed.hundredths();
      injected += use.dose.hundredths();
    }
    return balanced(c) && c.loaded.hundredths() == s.loaded && c.primed.hundredths() == s.primed &&
           c.injected.hundredths() == s.injected && primed == s.primed && injected == s.injected &&
           (!c.thrown || c.left.is_zero());
  }
  Sums& row(const Id& id) {
    const auto [found, added] = index_.try_emplace(id, static_cast<std::uint32_t>(rows_.size()));
    if (added) rows_.emplace_back();
    return rows_[found->second];
  }
  internal::Index index_;
  std::vector<Sums> rows_;
};

template <class Account>
void run(Account& account, const journal::History& history) {
  for (std::size_t i = 0; i < history.facts.size(); ++i) {
    ask_early(history, i);
    const journal::Effective& e = history.facts[i];
    std::visit(
        [&]<class P>(const P& payload) {
          if constexpr (Keeps<Account, P>) account.on(e, payload);
        },
        *e.payload);
  }
}

}  // namespace

bool agrees(const Ledger& ledger, const journal::History& history) {
  SecondDoor door;
  run(door, history);
  return door.agree(ledger);
}

Ledger fold(const journal::History& history) {
  internal::Account account(history.facts.size(), internal::used_before(history));
  run(account, history);
  Ledger ledger = std::move(account).finish();
  INVARIANT(agrees(ledger, history));
  return ledger;
}

std::vector<Mark> clashes(const Ledger& ledger, std::span<const Claim> others) {
  std::vector<Mark> marks;
  for (const Claim& claim : others) {
    Mark m;
    m.kind = MarkKind::in_other_journal;
    m.fact = claim.fact;
    m.when = claim.when;
    if (ledger.cartridge(claim.thing)) {
      m.cartridge = claim.thing;
    } else if (ledger.pen(claim.thing)) {
      m.pen = claim.thing;
    } else {
      continue;
    }
    marks.push_back(m);
  }
  return marks;
}

std::optional<shelf::Window> known_window(const Pen& pen, const shelf::Shelf& shelf) {
  if (pen.window_test != WindowTest::none) return pen.window();
  bool is_listed = false;
  for (const auto& entry : shelf.pens) {
    if (entry.thing.name != pen.copy.name) continue;
    is_listed = true;
    const auto& window = entry.thing.window;
    if (window && window != pen.copy.window) return std::nullopt;
  }
  return is_listed ? pen.window() : std::nullopt;
}

}  // namespace penstock::ledger
