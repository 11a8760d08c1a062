// The rows that lists read, one a person, written in the transaction that appends to the journal.
// Each says what made it: the program's kind of row, the clinic's closed days, and the recalls of
// lots that reached this person. Rows of another making are made anew from their journals before a
// list is read, a few in each transaction, so that nobody's record waits for all of them; a list
// waits, because it must be right.
//
// A journal that cannot be worked out stops nobody: its row names it and says why (left_out), and
// lists say who is missing.
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <span>
#include <stop_token>
#include <string>
#include <string_view>
#include <unordered_set>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "base/stopped.hpp"
#include "core/chart/chart.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/summary/summary.hpp"
#include "shell/charts/charts.hpp"
#include "shell/charts/incidents.hpp"
#include "shell/store/store.hpp"

namespace penstock::rows {

using charts::Chart;
using charts::Clinic;
using ClinicPtr = std::shared_ptr<const Clinic>;

namespace codes {
inline constexpr std::string_view number_taken = "desk.number_taken";  // [number, name] H19
inline constexpr std::string_view ask_alike =
    "ask.alike";  // H19: somebody with this name is registered [name, born, number]
inline constexpr std::string_view ask_number_alike =
    "ask.number_alike";  // H19: but for what stands between its signs [number, theirs, name, born]
// What verify finds (S8): a list says something else than the journal, or a recall looks elsewhere.
inline constexpr std::string_view row_wrong = "desk.row_wrong";
inline constexpr std::string_view tags_wrong = "desk.tags_wrong";
using penstock::codes::stopped;
}  // namespace codes

/// How far work over everybody is.
using OnPeople = std::function<void(std::uint64_t done, std::uint64_t total)>;

/// Whoever waits for work over everybody: told how far it is, from the calling thread alone; and it
/// stops when nobody waits any more.
struct Waiting {
  OnPeople progress = {};
  std::stop_token stop = {};
};

/// A name or a number as it is compared.
summary::Key key_of(std::string_view text);
/// A person's row with its keys. Throws BrokenJournal.
summary::Row row_of(const Chart& person, const Clinic& clinic);
/// Writes a row, as made with this clinic's closed days; every program on the store sees that it
/// changed.
Result<void> put(store::WriteTx& tx, const summary::Row& row, const Clinic& clinic);

/// H19, S10: a number is one person's. Looked for where the rows are written, so that of two who
/// come at once the second is refused; rows of another making know no number, so Rows::all comes
/// first. Error: codes::number_taken.
Result<void> number_is_free(store::ReadTx& tx, const summary::Key& number, Id person);

/// What somebody is told by; empty, nothing: as it stands.
struct KnownBy {
  std::string name;
  std::string number;
  std::optional<LocalDay> born;
};
/// What a fact brings of it.
KnownBy known_by(const journal::Payload& payload);
KnownBy known_by(const journal::Person& person);
/// And of that what is new for this person; another birth date makes the name anew.
KnownBy brought_by(const journal::Payload& payload, const Chart& person);
/// H19: what is asked of a name, or a number, that comes to `person` beside everybody else: nearly
/// this name, or a part of it with this birth date; and this number but for blanks, dashes, points
/// or strokes, or with this birth date or nearly this name by its digits alone. Empty ones ask
/// nothing.
std::vector<Error> who_is_alike(const summary::People& people, const KnownBy& known, Id person);

/// Everybody, as lists need them.
struct Everybody {
  std::shared_ptr<const summary::People> people;
  std::vector<Id> left_out;  ///< those of them whose journals could not be worked out
  pages::Missing missing;    ///< whose they were, no row says
};

class Rows {
 public:
  /// `clinic`: as it is now. All outlive this.
  Rows(store::Store& store, const charts::ZoneOf& zone, const std::function<Instant()>& now,
       charts::Incidents& incidents, std::function<ClinicPtr()> clinic)
      : store_(store), zone_(zone), now_(now), incidents_(incidents), clinic_(std::move(clinic)) {}

  /// Made anew only when somebody's row changed, here or in another program on the same store.
  /// Error: codes::stopped, where rows had to be remade.
  Result<Everybody> all(const Waiting& waiting);
  /// Makes these anew.
  Result<void> remake(std::span<const Id> people, const Waiting& waiting);
  /// Everybody's; how many there were.
  Result<std::uint64_t> remake_all(const Waiting& waiting);
  /// Work over everybody broke a promise over one of `among`: the incident is theirs, and from now
  /// on they are left out. Nothing: they are not among them, or left out already.
  std::optional<summary::Row> leave_out(const summary::People& among, Id person,
                                        const BrokenPromise& broken);
  struct Tried {
    bool comes_back = false;  ///< the row that stands leaves it out, and need not
    std::string differs;      ///< how the row that stands is not the journal's; empty: it is
  };
  /// Works out what lists need of one journal, a month's cover included, and holds it against the
  /// row and the tags that stand. Throws BrokenJournal.
  Result<Tried> try_out(store::ReadTx& tx, const Chart& person);

 private:
  struct Remade {
    summary::Row row;
    std::uint64_t of_version = 0;  // the journal's
    std::optional<BrokenPromise> broken;
    std::string damaged;  // the code; empty: it is whole
  };
  struct Seen {
    Everybody everybody;
    std::vector<Id> unmade;
  };
  using Ids = std::unordered_set<Id, IdHash>;
  Result<Seen> read();
  Result<void> read(store::ReadTx& tx);
  Result<void> remake_in_steps(std::span<const Id> people, const Waiting& waiting);
  Result<void> remake_some(std::span<const Id> people);
  Result<Remade> remade(store::ReadTx& tx, const store::JournalInfo& info, const Clinic& clinic);
  void try_cover(const summary::Row& row, const Clinic& clinic);

  store::Store& store_;
  const charts::ZoneOf& zone_;
  const std::function<Instant()>& now_;
  charts::Incidents& incidents_;
  std::function<ClinicPtr()> clinic_;

  std::mutex remake_mutex_;  // taken before rows_mutex_
  std::mutex rows_mutex_;
  store::Stamp seen_;      // `people_` are those of this stamp
  std::string made_with_;  // what the rows ought to be made with
  Ids unmade_;             // of another making, changed by hand, unreadable, or not there
  Ids left_out_;
  pages::Missing missing_;
  std::uint64_t changed_by_others_ = 0;  // as of `missing_`
  std::shared_ptr<const summary::People> people_;
};

}  // namespace penstock::rows
