// The charts of the journals in the store: unpacked, read, and kept while they are looked at. What
// breaks a promise over one of them says whose it was; incidents.hpp numbers it.
#pragma once

#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/chart/chart.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"
#include "edge/pages/kit/kit.hpp"
#include "shell/store/store.hpp"

namespace penstock::charts {

using chart::Chart;
using chart::ChartPtr;
using chart::Clinic;

namespace codes {
using pages::codes::no_person;
}  // namespace codes

/// A time zone's rules by its database name. Error: `zone.unknown` [text].
using ZoneOf = std::function<Result<ZoneRules>(std::string_view name)>;

/// A broken promise that came up over a journal: the incident is that journal's, whatever the work
/// was about.
struct BrokenJournal {
  Id journal;
  BrokenPromise promise;
};

/// Runs work over one journal. `journal` is looked at when the work breaks a promise: it may say
/// meanwhile whose turn it is. Nil: nobody's. Throws BrokenJournal.
template <class Work>
auto about(const Id& journal, Work&& work) -> decltype(work()) {
  try {
    return work();
  } catch (const BrokenPromise& broken) {
    if (journal.is_nil()) throw;
    throw BrokenJournal{journal, broken};
  }
}

/// A journal's facts in the order of their entries, and the positions of those that were erased.
struct Unpacked {
  std::vector<journal::Fact> facts;
  std::vector<std::uint64_t> erased;
};
/// H21, S2: an entry without its payload is a fault unless one of these facts says that it was
/// erased, and why. Error: store::codes::journal_damaged, which names `journal`, also for bytes
/// that this program does not read (L8).
Result<Unpacked> unpack(Id journal, std::span<const store::StoredFact> stored);
/// Reads facts that are already unpacked. Throws BrokenJournal.
Result<ChartPtr> fold(const ZoneOf& zone, Id journal, std::uint64_t version, const Digest& head,
                      Unpacked read);
/// Why a journal cannot be read: of codes::journal_damaged the reason inside it, else the error's
/// own code.
std::string reason_of(const Error& error);
/// H29: after how many entries a journal's row in the lists was written, as the row itself says: a
/// journal that has fewer was cut short, whatever its own version and head say, and its row is kept
/// as long as that is so. A row of another journal says nothing; none: 0.
std::uint64_t version_of(const store::JournalInfo& info, const std::optional<store::Summary>& row);
/// Whom a journal is about, as it says itself. Nothing: its entries do not hold, or nobody was
/// registered in it.
std::optional<journal::PersonRegistered> registered_in(store::ReadTx& tx, Id journal);
/// Loads, unpacks and reads.
/// Error: codes::no_person [text], store::codes::journal_damaged.
Result<ChartPtr> load(const ZoneOf& zone, store::ReadTx& tx, Id journal);

/// Keeps the journals that were looked at last, each for as long as its version holds. Where
/// somebody else changed the file meanwhile, its entries are held against the chain again (H21).
class Charts {
 public:
  /// A day's people stay in memory: a year of a journal takes about three megabytes.
  static constexpr std::size_t kept_max = 128;

  Result<ChartPtr> get(const ZoneOf& zone, store::ReadTx& tx, Id journal);
  void forget(Id journal);

 private:
  void keep(const ChartPtr& chart, std::uint64_t changed_by_others);

  std::mutex mutex_;
  std::list<Id> recent_;  // newest first
  struct Kept {
    ChartPtr chart;
    std::list<Id>::iterator recent;
    std::uint64_t changed_by_others = 0;  // of the store, when it was checked
  };
  std::unordered_map<Id, Kept, IdHash> kept_;
};

}  // namespace penstock::charts
