#include "core/reconcile/from_journal/from_journal.hpp"

#include <algorithm>
#include <unordered_map>

namespace penstock::reconcile {
namespace {

using std::chrono::days;

// Of a pen that nobody described (common practice, no source).
constexpr std::int64_t usual_prime = 200;
constexpr std::int64_t usual_first_prime = 400;
constexpr std::int64_t usual_millilitres = 3;

Units units(std::int64_t hundredths) { return *Units::from_hundredths(hundredths); }

class Asking {
 public:
  Asking(const journal::History& history, const ledger::Ledger& ledger, const order::Order& order)
      : history_(history), ledger_(ledger), order_(order) {}

  Request request(std::string_view insulin, Strength strength, LocalDay from, LocalDay until) {
    out_.insulin = insulin;
    out_.strength = strength;
    out_.from = from;
    out_.until = until;
    rules();
    begin();
    cartridges();
    supplies();
    diary();
    orders();
    shorten();
    return std::move(out_);
  }

 private:
  bool is_it(std::string_view insulin, Strength strength) const {
    return insulin == out_.insulin && strength == out_.strength;
  }

  void rules() {
    out_.prime = units(usual_prime);
    out_.new_cartridge_prime = units(usual_first_prime);
    for (const auto& pen : ledger_.pens) {
      if (!pen.is_given() || !is_it(pen.insulin, pen.strength)) continue;
      out_.prime = pen.copy.prime;
      out_.new_cartridge_prime = pen.copy.prime_new_cartridge;
    }
    out_.cartridge = units(usual_millilitres * 100 * out_.strength.units_per_ml);
    Units seen = Units::zero();
    for (const auto& cartridge : ledger_.cartridges) {
      if (!is_mine(cartridge)) continue;
      seen = larger(seen, larger(cartridge.content, cartridge.loaded));
      if (cartridge.copy.in_use_days > 0) out_.in_use_days = cartridge.copy.in_use_days;
    }
    for (const auto& stock : ledger_.stock) {
      if (is_it(stock.insulin, stock.strength)) seen = larger(seen, stock.each);
    }
    if (!seen.is_zero()) out_.cartridge = seen;
  }

  /// Nothing older than this matters: the first opening of what was in use in the period, and the
  /// last count of sealed ones before it; without one, all that ever came.
  void begin() {
    for (const auto& fact : history_.facts) {
      const auto* counted = std::get_if<journal::SuppliesCounted>(fact.payload);
      const bool before = counted != nullptr && counted->cartridges &&
                          is_it(counted->insulin, counted->strength) &&
                          counted->each == out_.cartridge && fact.happened.day() < out_.from;
      if (before) stock_since_ = fact.happened.at;
    }
    for (const auto& cartridge : ledger_.cartridges) {
      const bool touches = is_mine(cartridge) && cartridge.loaded_when.day() <= out_.until &&
                           last_of(cartridge).day() >= out_.from;
      if (!touches) continue;
      diary_since_ =
          std::min(diary_since_.value_or(cartridge.loaded_when.at), cartridge.loaded_when.at);
    }
  }
  bool is_mine(const ledger::Cartridge& cartridge) const {
    return cartridge.is_loaded() && is_it(cartridge.copy.name, cartridge.copy.strength);
  }
  static When last_of(const ledger::Cartridge& cartridge) {
    if (cartridge.thrown) return cartridge.thrown->when;
    // In a pen it may be used any day.
    if (cartridge.in_pen) return {Instant::max(), 0};
    return cartridge.uses.empty() ? cartridge.loaded_when : cartridge.uses.back().when;
  }
  bool is_wanted(const ledger::Cartridge& cartridge) const {
    if (!is_mine(cartridge) || cartridge.loaded_when.day() > out_.until) return false;
    const bool stock = !stock_since_ || cartridge.loaded_when.at > *stock_since_;
    return stock || (diary_since_ && last_of(cartridge).at >= *diary_since_);
  }

  // ---- cartridges

  static End end_of(journal::ThrowReason reason) {
    using journal::ThrowReason;
    switch (reason) {
      case ThrowReason::empty:
      case ThrowReason::rest_too_small:
        return End::used_up;
      case ThrowReason::past_in_use:
        return End::period_over;
      default:
        return End::other;
    }
  }

  void cartridges() {
    for (const auto& cartridge : ledger_.cartridges) {
      if (!is_wanted(cartridge)) continue;
      CartridgeUse use;
      use.opened = cartridge.loaded_when;
      use.held = cartridge.loaded;
      use.was_new = cartridge.loaded_new;
      if (cartridge.thrown && cartridge.thrown->when.at >= use.opened.at) {
        use.ended = cartridge.thrown->when;
        use.end = end_of(cartridge.thrown->reason);
      }
      place_of_.emplace(cartridge.id, out_.cartridges.size());
      out_.cartridges.push_back(std::move(use));
    }
    for (const auto& fact : history_.facts) {
      const auto* count = std::get_if<journal::ScaleCounted>(fact.payload);
      if (count == nullptr) continue;
      const auto found = place_of_.find(count->cartridge);
      if (found == place_of_.end()) continue;
      auto& use = out_.cartridges[found->second];
      const bool fits = fact.happened.at >= use.opened.at &&
                        (!use.ended || fact.happened.at <= use.ended->at) &&
                        count->units <= out_.cartridge && fact.happened.day() <= out_.until;
      if (fits) use.readings.push_back({fact.happened, count->units});
    }
    for (const auto& cartridge : ledger_.cartridges) rest(cartridge);
  }

  /// Read after its last injection: what was thrown away is known.
  void rest(const ledger::Cartridge& cartridge) {
    const auto found = place_of_.find(cartridge.id);
    if (found == place_of_.end()) return;
    auto& use = out_.cartridges[found->second];
    if (!use.ended || use.readings.empty()) return;
    const auto& last = use.readings.back();
    const bool after = cartridge.uses.empty() || last.when.at >= cartridge.uses.back().when.at;
    if (after && cartridge.primed_since_use.is_zero()) use.rest = last.left;
  }

  // ---- what came and what is sealed

  void supplies() {
    bool other_size = false;
    for (const auto& fact : history_.facts) {
      const bool old = stock_since_ && fact.happened.at < *stock_since_;
      if (old || fact.happened.day() > out_.until) continue;
      if (const auto* given = std::get_if<journal::SuppliesGiven>(fact.payload)) {
        if (given->cartridges == 0 || !is_it(given->insulin, given->strength)) continue;
        if (given->each == out_.cartridge) {
          out_.dispensed.push_back({fact.happened, given->cartridges});
        } else {
          other_size = true;
        }
      } else if (const auto* counted = std::get_if<journal::SuppliesCounted>(fact.payload)) {
        const bool of_it = counted->cartridges && is_it(counted->insulin, counted->strength) &&
                           counted->each == out_.cartridge;
        if (of_it) out_.sealed_counts.push_back({fact.happened, *counted->cartridges});
      }
    }
    for (auto& given : out_.dispensed)
      given.cartridges = std::min(given.cartridges, limits::pieces_most);
    for (auto& count : out_.sealed_counts)
      count.cartridges = std::min(count.cartridges, limits::pieces_most);
    // Two sizes at once cannot be held against counts of one.
    if (other_size) out_.sealed_counts.clear();
    // Where every new cartridge came from what was given, nothing was there before.
    const auto* stock = ledger_.stock_of(out_.insulin, out_.strength, out_.cartridge);
    const bool all = !stock_since_ && stock != nullptr;
    if (all && stock->unexplained == 0 && stock->given > 0) out_.sealed_before = 0;
  }

  // ---- the diary

  bool is_of(const order::Given& given) const {
    if (const auto* line = given.line ? order_.line(*given.line) : nullptr)
      return is_it(line->text.insulin, line->text.strength);
    return is_it(given.insulin, given.strength);
  }

  void diary() {
    std::unordered_map<Id, std::pair<const ledger::Use*, Id>, IdHash> uses;
    bool primes = false;
    for (const auto& cartridge : ledger_.cartridges) {
      if (place_of_.contains(cartridge.id)) primes |= !cartridge.primed.is_zero();
      for (const auto& use : cartridge.uses) uses.emplace(use.fact, std::pair{&use, cartridge.id});
    }
    for (const auto& given : order_.given) {
      if (given.when.day() > out_.until || !is_of(given)) continue;
      if (diary_since_ && given.when.at < *diary_since_) continue;
      Entry entry;
      entry.when = given.when;
      entry.units = smaller(given.units, out_.cartridge);
      if (given.slot) entry.slot = journal::SlotName_names[static_cast<std::size_t>(*given.slot)];
      if (const auto use = uses.find(given.fact); use != uses.end()) {
        // Somebody who records primes left out those that are not there.
        if (primes) entry.primed = smaller(use->second.first->primed, out_.cartridge);
        if (const auto found = place_of_.find(use->second.second); found != place_of_.end())
          entry.cartridge = found->second;
      }
      if (const auto* fact = journal::find(history_, given.fact)) {
        // An imported diary was recorded when it was imported: that says nothing.
        if (fact->fact->source != "diary") entry.recorded = fact->fact->recorded;
      }
      out_.diary.push_back(std::move(entry));
    }
    after_the_last();
  }

  /// Primed after the last injection: it left the cartridge, too.
  void after_the_last() {
    for (const auto& cartridge : ledger_.cartridges) {
      const auto found = place_of_.find(cartridge.id);
      if (found == place_of_.end() || cartridge.primed_since_use.is_zero()) continue;
      Entry entry;
      entry.when = cartridge.uses.empty() ? cartridge.loaded_when : cartridge.uses.back().when;
      entry.primed = smaller(cartridge.primed_since_use, out_.cartridge);
      entry.cartridge = found->second;
      if (entry.when.day() <= out_.until) out_.diary.push_back(std::move(entry));
    }
  }

  // ---- the order

  void orders() {
    LocalDay begin = out_.from;
    for (const auto& entry : out_.diary) begin = std::min(begin, entry.when.day());
    begin = std::max(begin, out_.from - days{limits::days_most});
    for (auto day = begin; day <= out_.until; day += days{1}) {
      Ordered ordered;
      ordered.from = day;
      for (const auto* line : order_.holding(day)) {
        if (!is_it(line->text.insulin, line->text.strength)) continue;
        ordered.varies |= line->text.purpose == journal::Purpose::correction;
        for (const auto& slot : line->text.slots) {
          const bool fits = !slot.units.is_zero() && slot.units <= out_.cartridge &&
                            ordered.doses.size() < limits::doses_most;
          if (fits) ordered.doses.push_back(slot.units);
        }
      }
      const bool news = out_.ordered.empty() || out_.ordered.back().doses != ordered.doses ||
                        out_.ordered.back().varies != ordered.varies;
      if (news) out_.ordered.push_back(std::move(ordered));
    }
  }

  /// A request has its limits; of a longer journal the latest is taken.
  void shorten() {
    const auto latest = [](auto& list, std::size_t most) {
      if (list.size() > most)
        list.erase(list.begin(), list.end() - static_cast<std::ptrdiff_t>(most));
    };
    if (out_.cartridges.size() > limits::cartridges_most ||
        out_.dispensed.size() > limits::supplies_most) {
      // Not all that came can be told: counts cannot be held against it.
      out_.sealed_before.reset();
      out_.sealed_counts.clear();
    }
    latest(out_.dispensed, limits::supplies_most);
    latest(out_.sealed_counts, limits::supplies_most);
    latest(out_.diary, limits::entries_most);
    for (auto& use : out_.cartridges) latest(use.readings, limits::readings_most);
    if (const auto size = out_.cartridges.size(); size > limits::cartridges_most) {
      const auto gone = size - limits::cartridges_most;
      latest(out_.cartridges, limits::cartridges_most);
      std::erase_if(out_.diary, [&](const Entry& e) { return e.cartridge.value_or(gone) < gone; });
      for (auto& entry : out_.diary) {
        if (entry.cartridge) *entry.cartridge -= gone;
      }
    }
  }

  const journal::History& history_;
  const ledger::Ledger& ledger_;
  const order::Order& order_;
  Request out_;
  std::optional<Instant> stock_since_, diary_since_;
  std::unordered_map<Id, std::size_t, IdHash> place_of_;  // of a cartridge in the request
};

}  // namespace

Request request_of(const journal::History& history, const ledger::Ledger& ledger,
                   const order::Order& order, std::string_view insulin, Strength strength,
                   LocalDay from, LocalDay until) {
  return Asking(history, ledger, order).request(insulin, strength, from, until);
}

}  // namespace penstock::reconcile
