#include <algorithm>
#include <map>
#include <tuple>

#include "core/stock/stock.hpp"
#include "core/supply/supply.hpp"

namespace penstock::supply {
namespace {

// Needles after insulins.
using Place = std::tuple<bool, std::string, std::int32_t, std::string, std::string>;

class Lots {
 public:
  LotAtHome& of(const Kind& kind, const std::string& needle, const std::string& lot) {
    auto key = lot_key(lot);
    auto& found =
        all_[Place{kind.insulin.empty(), kind.insulin, kind.strength.units_per_ml, needle, key}];
    if (found.key.empty() && found.lot.empty()) {
      found.kind = kind;
      found.needle = needle;
      found.lot = lot;
      found.key = std::move(key);
    }
    return found;
  }
  std::vector<LotAtHome> take() {
    std::vector<LotAtHome> out;
    for (auto& [place, lot] : all_) out.push_back(std::move(lot));
    return out;
  }
  auto begin() { return all_.begin(); }
  auto end() { return all_.end(); }

 private:
  std::map<Place, LotAtHome> all_;
};

void add_cartridge(LotAtHome& lot, const ledger::Cartridge& cartridge) {
  const bool is_open = !cartridge.thrown && !cartridge.left.is_zero();
  if (is_open) {
    ++lot.open;
    lot.left_in_open = sum(lot.left_in_open, cartridge.left);
  } else {
    ++lot.used;
  }
  // What the record has beyond what it held did not come from this lot: it was entered twice, or
  // came from elsewhere.
  const auto held = cartridge.is_loaded() ? cartridge.loaded : cartridge.injected;
  lot.injected = sum(lot.injected, smaller(cartridge.injected, held));
  for (const auto& use : cartridge.uses) {
    if (use.dose.is_zero()) continue;
    const auto day = use.when.day();
    lot.first_injected = std::min(day, lot.first_injected.value_or(day));
    lot.last_injected = std::max(day, lot.last_injected.value_or(day));
  }
}

struct NeedleLots {
  Lots& lots;
  void operator()(const journal::NeedlesGiven& given) const {
    lots.of({}, given.needle, given.lot).given += given.needles;
  }
  void operator()(const journal::SuppliesGiven& given) const {
    // One number stands on one carton: beside cartridges it is theirs.
    if (given.needles > 0)
      lots.of({}, "", given.cartridges > 0 ? "" : given.lot).given += given.needles;
  }
  template <class Other>
  void operator()(const Other&) const {}
};

}  // namespace

std::vector<LotAtHome> lots_of(const journal::History& history, const ledger::Ledger& ledger) {
  Lots lots;
  for (const auto& stock : ledger.stock) {
    for (const auto& lot : stock.lots) {
      auto& at_home = lots.of({stock.insulin, stock.strength}, "", lot.lot);
      at_home.given += lot.given;
      at_home.sealed += lot.given - lot.loaded;
    }
  }
  for (const auto& cartridge : ledger.cartridges) {
    if (cartridge.is_loaded())
      add_cartridge(lots.of({cartridge.copy.name, cartridge.copy.strength}, "", cartridge.lot),
                    cartridge);
  }
  for (const auto& fact : history.facts) std::visit(NeedleLots{lots}, *fact.payload);

  // A cartridge that was loaded without its number came from one of the lots, nobody knows which:
  // each keeps the most that it can still have.
  std::map<std::pair<std::string, std::int32_t>, std::pair<std::int64_t, std::int64_t>> sums;
  for (const auto& stock : ledger.stock)
    sums[{stock.insulin, stock.strength.units_per_ml}].first += stock.left + stock.spoilt;
  for (auto& [place, lot] : lots) {
    sums[{lot.kind.insulin, lot.kind.strength.units_per_ml}].second += lot.sealed;
  }
  for (auto& [place, lot] : lots) {
    const auto& [left, claimed] = sums[{lot.kind.insulin, lot.kind.strength.units_per_ml}];
    lot.sealed_at_most = claimed > left && lot.sealed > 0;
    lot.sealed = std::min(lot.sealed, left);
  }
  return lots.take();
}

SealedAtHome sealed_at_home(const ledger::Stock& at_home, const shelf::Shelf& shelf,
                            const stock::Stock& clinic, LocalDay on) {
  SealedAtHome out;
  std::int64_t good = 0, bad = 0;
  for (const auto& lot : at_home.lots) {
    const SealedLot sealed{lot.lot, lot.expires, lot.there()};
    if (sealed.pieces <= 0) continue;
    const bool recalled =
        stock::is_recalled(clinic, shelf, at_home.insulin, at_home.strength, lot.lot);
    const bool expired = lot.expires && *lot.expires < on;
    (recalled || expired ? bad : good) += sealed.pieces;
    (recalled ? out.recalled : expired ? out.expired : out.good).push_back(sealed);
  }
  std::ranges::stable_sort(
      out.good, {}, [](const SealedLot& lot) { return lot.expires.value_or(LocalDay::max()); });
  out.count = std::clamp<std::int64_t>(at_home.at_least() - bad, 0, good);
  return out;
}

}  // namespace penstock::supply
