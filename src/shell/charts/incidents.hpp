// Incidents: what only a bug of ours brings about. Each has a number, what broke is kept under it,
// and the journal that it came up over can only be read until `penstock verify` has passed.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>

#include "base/base.hpp"
#include "shell/charts/charts.hpp"
#include "shell/store/store.hpp"

namespace penstock::charts {

namespace codes {
inline constexpr std::string_view incident = "desk.incident";  // ours: [number, name]
inline constexpr std::string_view incident_of_nobody =
    "desk.incident_of_nobody";  // the same, where no journal is to blame: [number]
inline constexpr std::string_view record_closed =
    "desk.record_closed";  // damaged, or closed by an incident: no number [name, because: code]
}  // namespace codes

class Incidents {
 public:
  /// All outlive this.
  Incidents(store::Store& store, Charts& charts, std::function<Id()> new_id)
      : store_(store), charts_(charts), new_id_(std::move(new_id)) {}

  /// What is being caught, as an error: it gets a number, and the journal that it came up over can
  /// only be read from now on. `journal`: whose that is where nothing else says so; nil: nobody's.
  /// `clinic`: by whose name the clinic's own journal is called, where it is known.
  Error caught(Id journal, const Clinic* clinic);
  /// Keeps what broke, closes the journal, and gives the incident's number. The same again, as on
  /// every look at a list, is the same incident. Where nothing can be kept: a number all the same.
  std::string keep(Id journal, const BrokenPromise& broken);
  /// A journal that is not what was recorded (store::codes::journal_damaged) can only be read from
  /// now on; the error that people get names whose it is and why.
  Error closed(const Error& damaged, const Clinic* clinic);
  /// The same for one that is closed already. `because`: the journal's mark.
  Error closed(store::ReadTx& tx, Id journal, std::string_view because, const Clinic* clinic);
  /// What `keep` does, inside a use case.
  Result<std::string> write(store::WriteTx& tx, Id journal, const BrokenPromise& broken);

 private:
  Error told_of(Id journal, const BrokenPromise& broken, const Clinic* clinic);
  std::string new_number() const;

  store::Store& store_;
  Charts& charts_;
  std::function<Id()> new_id_;
};

}  // namespace penstock::charts
