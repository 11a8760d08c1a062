#include "core/ledger/internal/account.hpp"

#include <algorithm>
#include <utility>

#include "core/units/lot.hpp"
#include "core/warmth/warmth.hpp"

namespace penstock::ledger::internal {

using journal::Effective;
using journal::Flow;
using journal::Outcome;

namespace {

/// A needle that stays on longer than this after an injection was left on. Ours: long enough to
/// finish a meal, too short for "until the next dose".
constexpr std::int64_t needle_minutes_most = 60;

std::int64_t minutes_between(const When& earlier, const When& later) {
  return std::chrono::floor<std::chrono::minutes>(later.at - earlier.at).count();
}

Flow stronger(Flow a, Flow b) {
  if (a == Flow::seen || b == Flow::seen) return Flow::seen;
  if (a == Flow::not_seen || b == Flow::not_seen) return Flow::not_seen;
  return Flow::unknown;
}

/// A new needle, an injection or a new cartridge begins the priming again.
void begin_priming(Pen& pen) {
  pen.flow_seen = false;
  pen.spent_on_needle = Units::zero();
  pen.dry_primes = 0;
  pen.primes = 0;
}

void end_needle(Pen& pen) {
  // The first dry needle takes three primes, the one after it a single one (H64).
  const bool dry = pen.dry_primes >= dry_primes_most || (pen.dry_primes > 0 && pen.dry_needles > 0);
  if (!pen.flow_seen && dry) ++pen.dry_needles;
  begin_priming(pen);
  pen.needle.on = false;
}

bool same_insulin(std::string_view name, Strength strength, const shelf::Insulin& copy) {
  return name == copy.name && strength == copy.strength;
}

}  // namespace

Account::Account(std::size_t facts_expected, std::vector<Used> used_before)
    : used_before_(std::move(used_before)) {
  // A cartridge serves some twenty facts; a wrong guess costs one more allocation.
  const std::size_t cartridges = facts_expected / 24 + 4;
  out_.cartridges.reserve(cartridges);
  insulin_places_.reserve(cartridges);
}

// ---- finding

Cartridge& Account::cartridge(const Id& id) {
  const auto [found, added] =
      cartridge_index_.try_emplace(id, static_cast<std::uint32_t>(out_.cartridges.size()));
  if (added) {
    out_.cartridges.emplace_back().id = id;
    insulin_places_.push_back(no_place);
  }
  return out_.cartridges[found->second];
}

Pen& Account::pen(const Effective& e, const Id& id) {
  const auto [found, added] =
      pen_index_.try_emplace(id, static_cast<std::uint32_t>(out_.pens.size()));
  if (added) {
    out_.pens.emplace_back().id = id;
    pen_work_.emplace_back();
    if (!std::holds_alternative<journal::PenGiven>(*e.payload)) {
      mark(MarkKind::pen_not_given, e, nullptr, &out_.pens.back());
    }
  }
  return out_.pens[found->second];
}

Pen* Account::pen_of(const Cartridge& c) {
  if (!c.in_pen) return nullptr;
  const auto place = pen_index_.find(*c.in_pen);
  return place == pen_index_.end() ? nullptr : &out_.pens[place->second];
}

Stock& Account::stock(std::string_view insulin, Strength strength, Units each) {
  for (Stock& s : out_.stock) {
    if (s.insulin == insulin && s.strength == strength && s.each == each) return s;
  }
  Stock& s = out_.stock.emplace_back();
  s.insulin = insulin;
  s.strength = strength;
  s.each = each;
  return s;
}

std::uint32_t Account::insulin_of(const shelf::Insulin& copy) {
  for (std::size_t i = 0; i < insulins_.size(); ++i) {
    if (same_insulin(insulins_[i].name, insulins_[i].strength, copy)) {
      return static_cast<std::uint32_t>(i);
    }
  }
  insulins_.push_back({copy.name, copy.strength});
  return static_cast<std::uint32_t>(insulins_.size() - 1);
}

Mark& Account::mark(MarkKind kind, const Effective& e, const Cartridge* c, const Pen* p) {
  Mark& m = out_.marks.emplace_back();
  m.kind = kind;
  m.fact = e.fact->id;
  m.when = e.happened;
  if (c) m.cartridge = c->id;
  if (p) {
    m.pen = p->id;
  } else if (c) {
    m.pen = c->last_pen;
  }
  return m;
}

// ---- pens, stock

void Account::on(const Effective& e, const journal::PenGiven& p) {
  Pen& pen_state = pen(e, p.pen);
  if (pen_state.is_given()) {
    mark(MarkKind::pen_given_again, e, nullptr, &pen_state);
    return;
  }
  if (!pen_state.insulin.empty() &&
      (pen_state.insulin != p.insulin || pen_state.strength != p.strength)) {
    mark(MarkKind::wrong_insulin_for_pen, e, nullptr, &pen_state);
  }
  pen_state.given_fact = e.fact->id;
  pen_state.given_when = e.happened;
  pen_state.copy = p.copy;
  // Another window under the same name: the pen itself tells, by the window check (H01).
  const auto* before = std::get_if<journal::PenGiven>(&e.fact->payload);
  if (before != nullptr && before->copy.name == p.copy.name && before->copy.window != p.copy.window)
    pen_state.copy.window.reset();
  pen_state.insulin = p.insulin;
  pen_state.strength = p.strength;
  pen_state.serial = p.serial;
}

void Account::on(const Effective&, const journal::SuppliesGiven& p) {
  if (p.needles > 0) give_needles({}, p.needles);
  if (p.insulin.empty() || p.cartridges == 0) return;
  Stock& s = stock(p.insulin, p.strength, p.each);
  s.given += p.cartridges;
  s.left += p.cartridges;
  if (s.count) s.count->came_since += p.cartridges;
  for (Lot& lot : s.lots) {
    if (lot.lot == p.lot && lot.expires == p.expires) {
      lot.given += p.cartridges;
      return;
    }
  }
  auto& lot = s.lots.emplace_back();
  lot.lot = p.lot;
  lot.expires = p.expires;
  lot.given = p.cartridges;
}

void Account::on(const Effective&, const journal::NeedlesGiven& p) {
  give_needles(p.length, p.needles);
}

void Account::on(const Effective& e, const journal::SuppliesCounted& p) {
  if (p.cartridges) {
    Stock& s = stock(p.insulin, p.strength, p.each);
    s.count = StockCount{e.fact->id, e.happened, *p.cartridges, s.left, 0, 0};
  }
  if (p.needles) {
    const auto account = std::max<std::int64_t>(0, out_.needles.left - out_.needles.not_recorded);
    out_.needles.count = StockCount{e.fact->id, e.happened, *p.needles, account, 0, 0};
  }
}

void Account::from_stock(const Effective& e, const journal::CartridgeLoaded& p, Cartridge& c) {
  Stock& s = stock(p.copy.name, p.copy.strength, p.content);
  ++s.loaded_new;
  if (s.count) ++s.count->went_since;
  const auto of_lot = [&](const Lot& lot) { return lot_key(lot.lot) == lot_key(p.lot); };
  const auto good =
      std::ranges::find_if(s.lots, [&](const Lot& lot) { return of_lot(lot) && lot.there() > 0; });
  const auto spoilt = std::ranges::find_if(s.lots, [&](const Lot& lot) {
    return lot.spoilt > 0 && (of_lot(lot) || (p.lot.empty() && s.left == 0));
  });
  if (good == s.lots.end() && spoilt != s.lots.end()) {
    // Out of a fridge that froze: what went into the pen was frozen with it (H12).
    --spoilt->spoilt;
    --s.spoilt;
    ++spoilt->loaded;
    auto& marked = spoilt->spoilt_frozen ? c.frozen : c.hottest;
    if (!marked) marked = spoilt->spoilt_by;
    return;
  }
  if (s.left > 0) {
    --s.left;
  } else {
    ++s.unexplained;
    mark(MarkKind::not_from_stock, e, &c, nullptr);
  }
  if (good != s.lots.end()) ++good->loaded;
}

// ---- loading

void Account::on(const Effective& e, const journal::CartridgeLoaded& p) {
  Cartridge& c = cartridge(p.cartridge);
  Pen& pen_state = pen(e, p.pen);
  if (c.is_loaded()) {
    load_again(e, p, c);
  } else {
    load_first(e, p, c);
  }
  if (pen_state.insulin.empty()) {
    pen_state.insulin = p.copy.name;
    pen_state.strength = p.copy.strength;
  } else if (!same_insulin(pen_state.insulin, pen_state.strength, p.copy)) {
    mark(MarkKind::wrong_insulin_for_pen, e, &c, &pen_state);
  }
  // An unknown code says nothing; the plan refuses there, the record does not accuse.
  if (!p.fits.empty() && !pen_state.copy.fits.empty() && p.fits != pen_state.copy.fits) {
    mark(MarkKind::no_fit, e, &c, &pen_state);
  }
  if (!pen_state.shared.empty()) mark(MarkKind::used_after_shared, e, &c, &pen_state);
  put_into(e, pen_state, c);
}

void Account::load_first(const Effective& e, const journal::CartridgeLoaded& p, Cartridge& c) {
  c.load_fact = e.fact->id;
  c.loaded_when = e.happened;
  c.loaded = p.units;
  c.copy = p.copy;
  c.content = p.content;
  c.fits = p.fits;
  c.lot = p.lot;
  c.expires = p.expires;
  // One that holds less than its content was in use, whatever a form's preset says.
  c.loaded_new = p.new_cartridge && p.units >= p.content;
  if (c.thrown) {
    // Thrown away before it was loaded: one of the two times is wrong, the insulin is gone.
    mark(MarkKind::used_after_thrown_away, e, &c, nullptr).units = p.units;
    c.thrown_away = p.units;
  } else {
    c.left = p.units;
  }
  const auto place = static_cast<std::size_t>(&c - out_.cartridges.data());
  insulin_places_[place] = insulin_of(p.copy);
  if (p.new_cartridge) from_stock(e, p, c);
  if (!c.loaded_new && !c.first_use) {
    c.first_use = e.happened;  // it was in use before: since when, nobody recorded
  }
}

void Account::load_again(const Effective& e, const journal::CartridgeLoaded& p, Cartridge& c) {
  if (c.thrown) {
    mark(MarkKind::used_after_thrown_away, e, &c, nullptr).units = p.units;
  }
  // What was taken out for another one may go back where it was.
  const bool goes_back = c.is_taken_out() && c.last_pen == p.pen;
  const auto kind = c.last_pen == p.pen ? MarkKind::second_load : MarkKind::in_two_pens;
  if (!goes_back) mark(kind, e, &c, nullptr).units = p.units;
  if (!same_insulin(c.copy.name, c.copy.strength, p.copy)) {
    mark(MarkKind::other_insulin, e, &c, nullptr);
  }
}

void Account::put_into(const Effective& e, Pen& pen_state, Cartridge& c) {
  // Recorded again where it is, it makes no dry pen flow, and its window shows what it showed
  // (H64).
  if (pen_state.cartridge == c.id) return;
  if (Pen* before = pen_of(c)) before->cartridge.reset();
  if (pen_state.cartridge) cartridge(*pen_state.cartridge).in_pen.reset();
  pen_state.cartridge = c.id;
  c.in_pen = pen_state.id;
  c.last_pen = pen_state.id;
  // The needle that stayed dry is none for the next cartridge, either.
  if (pen_state.dry_primes > 0) pen_state.needle.on = false;
  begin_priming(pen_state);
  pen_state.spent_in_window = Units::zero();
  // What stayed dry may have been the cartridge: the count of dry needles begins again.
  pen_state.dry_needles = 0;
  if (pen_state.needle.on && !c.first_use) c.first_use = e.happened;
}

void Account::on(const Effective& e, const journal::LeftFridge& p) {
  Cartridge& c = cartridge(p.cartridge);
  if (!c.left_fridge) c.left_fridge = e.happened;
}

// ---- taking

void Account::judge_use(const Effective& e, Cartridge& c) {
  if (c.shared_since) mark(MarkKind::used_after_shared, e, &c, nullptr);
  if (c.is_frozen()) mark(MarkKind::used_after_frozen, e, &c, nullptr);
  if (c.is_too_hot()) mark(MarkKind::used_after_heat, e, &c, nullptr);
  if (!c.expires && c.copy.in_use_days == 0) return;
  const LocalDay day = e.happened.day();
  if (c.expires && day > *c.expires) mark(MarkKind::used_past_expiry, e, &c, nullptr);
  const auto days = c.days_in_use(day);
  if (days && c.copy.in_use_days > 0 && *days >= c.copy.in_use_days) {
    mark(MarkKind::used_past_in_use, e, &c, nullptr).count = *days;
  }
}

void Account::take(const Effective& e, Cartridge& c, Units units) {
  if (!c.first_use) c.first_use = e.happened;
  judge_use(e, c);
  if (c.scale) c.scale->taken_since = sum(c.scale->taken_since, units);
  if (c.thrown) {
    mark(MarkKind::used_after_thrown_away, e, &c, nullptr).units = units;
  } else if (!c.is_loaded()) {
    mark(MarkKind::not_loaded, e, &c, nullptr).units = units;
  }
  if (const auto rest = checked_sub(c.left, units)) {
    c.left = *rest;
    return;
  }
  const Units missing = difference(units, c.left);
  c.left = Units::zero();
  c.unexplained = sum(c.unexplained, missing);
  if (c.is_loaded() && !c.thrown) {
    mark(MarkKind::taken_more_than_left, e, &c, nullptr).units = missing;
  }
}

void Account::press_out(const Effective& e, Cartridge& c, Units units, Flow flow) {
  take(e, c, units);
  c.primed = sum(c.primed, units);
  c.primed_since_use = sum(c.primed_since_use, units);
  c.flow_since_use = stronger(c.flow_since_use, flow);
  if (flow == Flow::seen && !units.is_zero()) c.flowed = true;
  INVARIANT(balanced(c));
  Pen* p = pen_of(c);
  if (!p) return;
  ++p->primes;
  p->spent_on_needle = sum(p->spent_on_needle, units);
  p->spent_in_window = sum(p->spent_in_window, units);
  // Through the needle after a dry one the whole prime is pressed: less of it proves nothing (H64),
  // nor does what nobody pressed.
  const bool proves = !units.is_zero() && (p->dry_needles == 0 || units >= p->copy.prime);
  if (flow == Flow::seen && !proves) return;
  if (flow == Flow::seen) {
    p->flow_seen = true;
    p->dry_primes = 0;
    p->dry_needles = 0;
  } else if (flow == Flow::not_seen) {
    // Nothing came now, whatever came before: the needle may be clogged, or another one (H44).
    p->flow_seen = false;
    ++p->dry_primes;
  }
}

const Id* Account::used_by(const Effective& e) const {
  const auto found = std::ranges::find(used_before_, e.fact, &Used::what);
  return found == used_before_.end() ? nullptr : &found->by;
}

void Account::press_out_for(const Id& injection, Cartridge& c, const journal::Primed& p) {
  const auto use = std::ranges::find(c.uses, injection, &Use::fact);
  INVARIANT(use != c.uses.end());
  c.primed = sum(c.primed, p.units);
  use->primed = sum(use->primed, p.units);
  use->flow = stronger(use->flow, p.flow);
  INVARIANT(balanced(c));
  std::erase_if(out_.marks, [&](const Mark& mark) {
    return mark.fact == injection && mark.kind == MarkKind::prime_left_out;
  });
}

void Account::on(const Effective& e, const journal::Primed& p) {
  Cartridge& c = cartridge(p.cartridge);
  const Id* injection = used_by(e);
  if (injection == nullptr) return press_out(e, c, p.units, p.flow);
  take(e, c, p.units);
  press_out_for(*injection, c, p);
}

void Account::on(const Effective& e, const journal::WindowTested& p) {
  Pen& pen_state = pen(e, p.pen);
  const Units two = tested_with(pen_state.copy.step);
  const auto was = pen_state.window_test;
  if (p.dialled == two && p.shown_after.is_zero()) {
    pen_state.window_test = WindowTest::returns_to_zero;
  } else if (p.dialled == two && p.shown_after == two) {
    pen_state.window_test = WindowTest::counts_on;
  } else {
    pen_state.window_test = WindowTest::unclear;
    mark(MarkKind::window_unclear, e, nullptr, &pen_state).units = p.shown_after;
  }
  pen_state.window_tested = e.happened;
  const auto shown = pen_state.window();
  auto& against = pen_work_[static_cast<std::size_t>(&pen_state - out_.pens.data())].against_shelf;
  const auto before = std::exchange(against, WindowTest::none);
  const bool contradicts_shelf = shown && pen_state.copy.window && *shown != *pen_state.copy.window;
  if (contradicts_shelf) mark(MarkKind::window_contradicts_shelf, e, nullptr, &pen_state);
  // A pen that no shelf speaks for has only its tests.
  const bool contradicts_test =
      shown && !pen_state.copy.window && was != pen_state.window_test &&
      (was == WindowTest::counts_on || was == WindowTest::returns_to_zero ||
       (was == WindowTest::unclear && before != WindowTest::none));
  if (contradicts_shelf || contradicts_test) {
    // One slip of the finger must not turn 60 into 65: two tests have to say it (H01).
    against = pen_state.window_test;
    if (before != against) pen_state.window_test = WindowTest::unclear;
  }
  if (p.cartridge) press_out(e, cartridge(*p.cartridge), p.dialled, Flow::unknown);
  // Whether it stood at zero before, and was set back since, nobody says: it is set to zero, and
  // the priming begins again (H01). What stayed dry stays dry: a window says nothing of it (H64).
  const auto dry_primes = pen_state.dry_primes;
  begin_priming(pen_state);
  pen_state.dry_primes = dry_primes;
  pen_state.spent_in_window = Units::zero();
}

/// Steps are judged where they were recorded live: a diary that lists doses only says nothing about
/// needles and primes.
void Account::judge_steps(const Effective& e, const Cartridge& c, const Pen& p) {
  const auto place = static_cast<std::size_t>(&p - out_.pens.data());
  if (!p.needle.on || pen_work_[place].needle_source != e.fact->source) return;
  if (p.primes == 0) mark(MarkKind::prime_left_out, e, &c, &p);
  if (p.needle.uses == 0) return;
  mark(MarkKind::needle_reused, e, &c, &p).count = p.needle.uses + 1;
  const auto minutes = minutes_between(*p.needle.last_use, e.happened);
  if (minutes > needle_minutes_most) {
    mark(MarkKind::needle_left_on, e, &c, &p).count = static_cast<std::int32_t>(minutes);
  }
}

void Account::on(const Effective& e, const journal::Injected& p) {
  Cartridge& c = cartridge(p.cartridge);
  if (c.flow_since_use == Flow::not_seen) mark(MarkKind::flow_not_seen, e, &c, nullptr);
  if (c.copy.suspension && c.copy.least_left_to_mix && c.left < *c.copy.least_left_to_mix) {
    mark(MarkKind::too_little_to_mix, e, &c, nullptr).units = c.left;
  }
  take(e, c, p.units);
  if (journal::outcome_of(p) == Outcome::unknown && p.meant && *p.meant > p.units) {
    c.uncounted = sum(c.uncounted, difference(*p.meant, p.units));
    ++c.doses_uncounted;
  }
  c.injected = sum(c.injected, p.units);
  c.uses.push_back({e.fact->id, e.happened, c.primed_since_use, p.units, c.flow_since_use});
  c.primed_since_use = Units::zero();
  c.flow_since_use = Flow::unknown;
  c.flowed = true;
  INVARIANT(balanced(c));
  use_unrecorded_needle(c);
  if (Pen* pen_state = pen_of(c)) {
    judge_steps(e, c, *pen_state);
    begin_priming(*pen_state);
    pen_state->spent_in_window = Units::zero();
    if (pen_state->needle.on) {
      ++pen_state->needle.uses;
      pen_state->needle.last_use = e.happened;
    }
  }
  follow_pending(e, p);
}

// ---- doses that are not finished

void Account::drop_pending(std::size_t i) {
  out_.pending.erase(out_.pending.begin() + static_cast<std::ptrdiff_t>(i));
  pending_work_.erase(pending_work_.begin() + static_cast<std::ptrdiff_t>(i));
}

/// For so long an injection is not taken for the dose after one of which nobody knows how much went
/// in. Ours: as long as two basal doses may be one (order::background_hours).
constexpr std::chrono::hours unknown_stays{8};

/// As long as a rest may be given (order::rest_minutes_most).
constexpr std::chrono::minutes rest_told_within{120};

/// Whether this injection was the rest, or a part of the rest, of a pending dose.
bool Account::complete(const Effective& e, const journal::Injected& p) {
  for (std::size_t i = 0; i < out_.pending.size(); ++i) {
    Pending& pending = out_.pending[i];
    if (pending.fact != *p.completes && pending_work_[i].last != *p.completes) continue;
    pending.given = sum(pending.given, p.units);
    pending_work_[i].last = e.fact->id;
    if (pending.outcome == Outcome::unknown) return true;  // nobody knows what the rest was
    if (p.outcome == Outcome::unknown) {
      pending.outcome = Outcome::unknown;
      pending.rest = Units::zero();
      return true;
    }
    const auto rest = checked_sub(pending.meant, pending.given);
    if (rest && !rest->is_zero()) {
      pending.rest = *rest;
    } else {
      drop_pending(i);
    }
    return true;
  }
  return false;
}

void Account::follow_pending(const Effective& e, const journal::Injected& p) {
  if (p.completes) {
    if (complete(e, p)) return;
    early_rests_.push_back({*p.completes, p.units});
    return;
  }
  const auto outcome = journal::outcome_of(p);
  if (outcome != Outcome::unknown && p.units.is_zero()) return;  // nothing was begun (H39)
  const std::uint32_t insulin = insulin_places_[cartridge_index_.find(p.cartridge)->second];
  for (std::size_t i = 0; i < out_.pending.size(); ++i) {
    const Pending& pending = out_.pending[i];
    const bool one_unnamed = pending.line.has_value() != p.line.has_value();
    if (pending.line != p.line && !one_unnamed) continue;
    if (!(pending.line && p.line) && pending_work_[i].insulin != insulin) continue;
    // Told by one of the two without its line: so much, so soon, it is the rest. Of anything else
    // somebody is asked before more is given (H39, H07).
    const bool is_soon = e.happened.at - pending.since.at <= rest_told_within;
    if (one_unnamed && (pending.rest != p.units || !is_soon)) continue;
    // Something else so soon does not say how much of it went in (H44).
    if (pending.outcome == Outcome::unknown && e.happened.at - pending.since.at < unknown_stays)
      continue;
    // The rest, told without its name, is the rest; anything else is the next dose.
    if (pending.outcome == Outcome::part && pending.rest != p.units) {
      mark(MarkKind::rest_forgotten, e, nullptr, nullptr).units = pending.rest;
    }
    const bool was_the_rest = pending.outcome == Outcome::part && pending.rest == p.units;
    drop_pending(i);
    if (was_the_rest) return;
    break;
  }
  const Units meant = p.meant.value_or(p.units);
  if (outcome != Outcome::unknown && meant <= p.units) return;
  Pending pending;
  pending.outcome = outcome == Outcome::unknown ? Outcome::unknown : Outcome::part;
  pending.fact = e.fact->id;
  pending.since = e.happened;
  pending.given = p.units;
  pending.meant = p.meant.value_or(Units::zero());
  if (pending.outcome == Outcome::part) pending.rest = difference(meant, p.units);
  pending.line = p.line;
  pending.slot = p.slot;
  pending.cartridge = p.cartridge;
  for (const EarlyRest& early : early_rests_) {
    if (early.part != e.fact->id) continue;
    pending.given = sum(pending.given, early.units);
    if (pending.outcome != Outcome::part) continue;
    const auto rest = checked_sub(pending.rest, early.units);
    if (!rest || rest->is_zero()) return;
    pending.rest = *rest;
  }
  out_.pending.push_back(pending);
  pending_work_.push_back({e.fact->id, insulin});
}

// ---- needles

NeedleKind& Account::needles_of(TenthsMm length) {
  for (NeedleKind& kind : out_.needles.kinds) {
    if (kind.length == length) return kind;
  }
  return out_.needles.kinds.emplace_back(NeedleKind{length});
}

void Account::give_needles(TenthsMm length, std::int64_t needles) {
  NeedleKind& kind = needles_of(length);
  kind.given += needles;
  kind.left += needles;
  out_.needles.given += needles;
  out_.needles.left += needles;
  if (out_.needles.count) out_.needles.count->came_since += needles;
}

void Account::use_needle(TenthsMm length) {
  NeedleKind* kind = &needles_of(length);
  if (kind->left == 0) {
    // One of unknown length may be any, and a needle of unknown length came from the fullest box.
    for (NeedleKind& other : out_.needles.kinds) {
      const bool may_be = length == TenthsMm{} || other.length == TenthsMm{};
      if (may_be && other.left > kind->left) kind = &other;
    }
  }
  ++kind->put_on;
  ++out_.needles.put_on;
  if (out_.needles.count) ++out_.needles.count->went_since;
  if (kind->left > 0) {
    --kind->left;
    --out_.needles.left;
  } else {
    ++kind->unexplained;
    ++out_.needles.unexplained;
  }
}

void Account::use_unrecorded_needle(const Cartridge& c) {
  const Pen* p = pen_of(c);
  if (p != nullptr && p->needle.on) return;
  ++out_.needles.not_recorded;
  if (out_.needles.count) ++out_.needles.count->went_since;
}

void Account::on(const Effective& e, const journal::NeedleOn& p) {
  use_needle(p.length);
  Pen& pen_state = pen(e, p.pen);
  const bool was_on = pen_state.needle.on;
  end_needle(pen_state);
  NeedleState& needle = pen_state.needle;
  needle.on = true;
  needle.fact = e.fact->id;
  needle.needle = p.needle;
  needle.length = p.length;
  needle.both_shields_off = p.both_shields_off;
  needle.since = e.happened;
  needle.uses = 0;
  needle.last_use.reset();
  pen_work_[static_cast<std::size_t>(&pen_state - out_.pens.data())].needle_source = e.fact->source;
  if (used_by(e) != nullptr) {
    needle.uses = 1;
    needle.last_use = e.happened;
    // It was this one.
    if (!was_on && out_.needles.not_recorded > 0) --out_.needles.not_recorded;
    if (!was_on && out_.needles.count) --out_.needles.count->went_since;
  }
  if (!p.both_shields_off) mark(MarkKind::shield_left_on, e, nullptr, &pen_state);
  if (pen_state.cartridge) {
    Cartridge& c = cartridge(*pen_state.cartridge);
    if (!c.first_use) c.first_use = e.happened;
  }
}

void Account::on(const Effective& e, const journal::NeedleOff& p) {
  Pen& pen_state = pen(e, p.pen);
  if (pen_state.needle.on && pen_state.needle.last_use) {
    const auto minutes = minutes_between(*pen_state.needle.last_use, e.happened);
    if (minutes > needle_minutes_most) {
      mark(MarkKind::needle_left_on, e, nullptr, &pen_state).count =
          static_cast<std::int32_t>(minutes);
    }
  }
  end_needle(pen_state);
}

// ---- looking and throwing away

void Account::on(const Effective& e, const journal::ScaleCounted& p) {
  Cartridge& c = cartridge(p.cartridge);
  if (c.scale) c.scales_before.push_back(*c.scale);
  c.scale = ScaleCount{e.fact->id, e.happened, p.units, c.left, Units::zero(), c.uncounted};
  c.uncounted = Units::zero();
  c.doses_uncounted = 0;
  if (!c.scale->agrees()) {
    mark(MarkKind::scale_disagrees, e, &c, nullptr).units =
        difference(larger(p.units, c.left), smaller(p.units, c.left));
  }
}

void Account::throw_away(const Effective& e, Cartridge& c, journal::ThrowReason reason) {
  if (Pen* pen_state = pen_of(c)) pen_state->cartridge.reset();
  c.in_pen.reset();
  if (c.thrown) return;
  c.thrown = ThrowAway{e.fact->id, e.happened, reason};
  c.thrown_away = c.left;
  c.left = Units::zero();
  INVARIANT(balanced(c));
}

void Account::on(const Effective& e, const journal::ThrownAway& p) {
  throw_away(e, cartridge(p.cartridge), p.reason);
}

void Account::on(const Effective& e, const journal::PenEnded& p) {
  const auto reason_of = [](journal::PenEnd why) {
    switch (why) {
      case journal::PenEnd::lost:
        return journal::ThrowReason::lost;
      case journal::PenEnd::broken:
        return journal::ThrowReason::damaged;
      case journal::PenEnd::handed_back:
        return journal::ThrowReason::returned;
      case journal::PenEnd::other:
        break;
    }
    return journal::ThrowReason::other;
  };
  Pen& pen_state = pen(e, p.pen);
  if (pen_state.gone) return;
  pen_state.gone = PenGone{e.fact->id, e.happened, p.why};
  end_needle(pen_state);
  if (pen_state.cartridge) throw_away(e, cartridge(*pen_state.cartridge), reason_of(p.why));
}

void Account::on(const Effective& e, const journal::TemperatureSpell& p) {
  const Exposure exposure{e.fact->id, e.happened, p.celsius, p.minutes};
  const bool froze = p.frozen || p.celsius <= warmth::freezing;
  const auto apply = [&](Cartridge& c) {
    if (froze) {
      if (!c.frozen) c.frozen = exposure;
      return;
    }
    if (!c.hottest || c.hottest->celsius < p.celsius) c.hottest = exposure;
    const bool colder = !c.coldest || p.celsius < c.coldest->celsius;
    if (p.celsius < warmth::fridge_least && colder) c.coldest = exposure;
    // It lay out of the fridge for so long: its days count from there (H12).
    const When since{e.happened.at - std::chrono::minutes{p.minutes}, e.happened.offset_minutes};
    if (p.celsius > warmth::fridge_most && (!c.left_fridge || since.at < c.left_fridge->at))
      c.left_fridge = since;
  };
  if (p.sealed) spoil(exposure, froze);
  if (p.cartridge) {
    apply(cartridge(*p.cartridge));
    return;
  }
  for (Cartridge& c : out_.cartridges) {
    if (c.is_loaded() && !c.thrown) apply(c);
  }
}

TenthsCelsius Account::warmest_for(const Stock& s) const {
  for (const Cartridge& c : out_.cartridges) {
    if (c.is_loaded() && same_insulin(s.insulin, s.strength, c.copy)) return c.copy.in_use_most;
  }
  return warmth::strictest_limit;
}

void Account::spoil(const Exposure& exposure, bool froze) {
  for (Stock& s : out_.stock) {
    if (!froze && exposure.celsius <= warmest_for(s)) continue;
    for (Lot& lot : s.lots) {
      const auto there = std::max<std::int64_t>(lot.there(), 0);
      if (there == 0) continue;
      lot.spoilt += there;
      lot.spoilt_by = exposure;
      lot.spoilt_frozen = lot.spoilt_frozen || froze;
    }
    // Of what is left without its lot on record nothing stayed good, either.
    s.spoilt += s.left;
    if (s.count) s.count->went_since += s.count->left();
    s.left = 0;
  }
}

void Account::on(const Effective& e, const journal::PenShared& p) {
  Pen& pen_state = pen(e, p.pen);
  pen_state.shared.push_back({e.fact->id, e.happened, p.with});
  Cartridge* c = pen_state.cartridge ? &cartridge(*pen_state.cartridge) : nullptr;
  if (c && !c->shared_since) c->shared_since = e.happened;
  mark(MarkKind::shared, e, c, &pen_state);
}

Ledger Account::finish() && { return std::move(out_); }

}  // namespace penstock::ledger::internal
