// The fold itself: one method a kind of fact. Everything happens in the order of the history.
#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "core/ledger/internal/as_used.hpp"
#include "core/ledger/internal/index.hpp"
#include "core/ledger/ledger.hpp"

namespace penstock::ledger::internal {

class Account {
 public:
  Account(std::size_t facts_expected, std::vector<Used> used_before);

  void on(const journal::Effective& e, const journal::PenGiven& p);
  void on(const journal::Effective& e, const journal::SuppliesGiven& p);
  void on(const journal::Effective& e, const journal::NeedlesGiven& p);
  void on(const journal::Effective& e, const journal::SuppliesCounted& p);
  void on(const journal::Effective& e, const journal::CartridgeLoaded& p);
  void on(const journal::Effective& e, const journal::LeftFridge& p);
  void on(const journal::Effective& e, const journal::WindowTested& p);
  void on(const journal::Effective& e, const journal::Primed& p);
  void on(const journal::Effective& e, const journal::Injected& p);
  void on(const journal::Effective& e, const journal::NeedleOn& p);
  void on(const journal::Effective& e, const journal::NeedleOff& p);
  void on(const journal::Effective& e, const journal::ScaleCounted& p);
  void on(const journal::Effective& e, const journal::ThrownAway& p);
  void on(const journal::Effective& e, const journal::TemperatureSpell& p);
  void on(const journal::Effective& e, const journal::PenShared& p);
  void on(const journal::Effective& e, const journal::PenEnded& p);

  Ledger finish() &&;

 private:
  /// What the fold has to know about a pen beyond its state.
  struct PenWork {
    std::string_view needle_source;               ///< where the needle's fact came in
    WindowTest against_shelf = WindowTest::none;  ///< what the last test said otherwise than it
  };
  /// What the fold has to know about a pending dose beyond its state.
  struct PendingWork {
    Id last;                ///< the injection that completed it in part
    std::uint32_t insulin;  ///< for doses without an order line
  };
  /// A rest that was recorded before its part.
  struct EarlyRest {
    Id part;
    Units units;
  };
  static constexpr std::uint32_t no_place = 0xFFFF'FFFF;

  void throw_away(const journal::Effective& e, Cartridge& c, journal::ThrowReason reason);
  Cartridge& cartridge(const Id& id);
  Pen& pen(const journal::Effective& e, const Id& id);
  /// The pen that the cartridge is in now; nullptr: none.
  Pen* pen_of(const Cartridge& c);
  Stock& stock(std::string_view insulin, Strength strength, Units each);
  NeedleKind& needles_of(TenthsMm length);
  void give_needles(TenthsMm length, std::int64_t needles);
  void use_needle(TenthsMm length);
  /// An injection through a needle that nobody recorded.
  void use_unrecorded_needle(const Cartridge& c);
  std::uint32_t insulin_of(const shelf::Insulin& copy);

  Mark& mark(MarkKind kind, const journal::Effective& e, const Cartridge* c, const Pen* p);
  void load_first(const journal::Effective& e, const journal::CartridgeLoaded& p, Cartridge& c);
  void load_again(const journal::Effective& e, const journal::CartridgeLoaded& p, Cartridge& c);
  void put_into(const journal::Effective& e, Pen& pen, Cartridge& c);
  void from_stock(const journal::Effective& e, const journal::CartridgeLoaded& p, Cartridge& c);
  /// What froze or got too warm while it was sealed.
  void spoil(const Exposure& exposure, bool froze);
  /// The most that an insulin stands in use: by a cartridge of it, or the strictest of the labels.
  TenthsCelsius warmest_for(const Stock& stock) const;
  /// Takes units out of a cartridge for priming, testing or injecting, and marks what is odd.
  void take(const journal::Effective& e, Cartridge& c, Units units);
  void judge_use(const journal::Effective& e, Cartridge& c);
  void press_out(const journal::Effective& e, Cartridge& c, Units units, journal::Flow flow);
  /// The injection that used it though its hour stands before; nullptr: none did.
  const Id* used_by(const journal::Effective& e) const;
  /// It was pressed out for that injection, and stands in no window any more.
  void press_out_for(const Id& injection, Cartridge& c, const journal::Primed& p);
  void judge_steps(const journal::Effective& e, const Cartridge& c, const Pen& p);
  void follow_pending(const journal::Effective& e, const journal::Injected& p);
  bool complete(const journal::Effective& e, const journal::Injected& p);
  void drop_pending(std::size_t i);

  Ledger out_;
  Index cartridge_index_;
  Index pen_index_;
  std::vector<std::uint32_t> insulin_places_;  ///< beside out_.cartridges
  std::vector<PenWork> pen_work_;              ///< beside out_.pens
  std::vector<PendingWork> pending_work_;      ///< beside out_.pending
  std::vector<EarlyRest> early_rests_;
  std::vector<Used> used_before_;
  struct Kind {
    std::string name;
    Strength strength;
  };
  std::vector<Kind> insulins_;
};

}  // namespace penstock::ledger::internal
