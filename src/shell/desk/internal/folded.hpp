// One journal, unpacked and folded: everything that pages and use cases work out starts here.
#pragma once

#include <list>
#include <memory>
#include <mutex>
#include <unordered_map>
#include <vector>

#include "core/journal/journal.hpp"
#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "core/shelf/shelf.hpp"
#include "core/skin/skin.hpp"
#include "core/stock/stock.hpp"
#include "core/supply/supply.hpp"
#include "shell/desk/desk.hpp"

namespace penstock::desk {

/// Holds pointers into its own facts: made in place, kept by shared_ptr, never copied.
struct Folded {
  Id journal;
  std::uint64_t version = 0;
  Digest head{};
  std::vector<journal::Fact> facts;
  journal::History history;
  journal::Person person;
  ZoneRules zone;  ///< the person's; UTC where none is known
  ledger::Ledger ledger;
  order::Order order;
  skin::Skin skin;
  supply::Supply supply;

  Folded() = default;
  Folded(const Folded&) = delete;
  Folded& operator=(const Folded&) = delete;
};
using FoldedPtr = std::shared_ptr<const Folded>;

/// The clinic as its journal says: who works here, the shelf with the clinic's own entries, its
/// stock.
struct ClinicState {
  Id journal;
  std::uint64_t version = 0;
  bool named = false;
  journal::ClinicNamed names;
  ZoneRules zone;
  shelf::Shelf shelf;
  supply::ClosedDays closed;  ///< on which nothing is handed out
  stock::Stock stock;
};

/// Unpacks a journal's facts.
Result<std::vector<journal::Fact>> unpack(const store::Facts& stored);
/// Folds facts that are already unpacked.
Result<FoldedPtr> fold(const Ports& ports, Id journal, std::uint64_t version, const Digest& head,
                       std::vector<journal::Fact> facts);
/// Loads, unpacks and folds.
Result<FoldedPtr> load_folded(const Ports& ports, store::ReadTx& tx, Id journal);

/// Keeps the journals that were looked at last, each for as long as its version holds.
class FoldedCache {
 public:
  /// A day's people stay in memory: a year of a journal takes about three megabytes.
  static constexpr std::size_t kept_max = 128;

  Result<FoldedPtr> get(const Ports& ports, store::ReadTx& tx, Id journal);
  void forget(Id journal);

 private:
  std::mutex mutex_;
  std::list<Id> recent_;  // newest first
  std::unordered_map<Id, std::pair<FoldedPtr, std::list<Id>::iterator>, IdHash> kept_;
};

}  // namespace penstock::desk
