// What the desk keeps between calls, its entries, and the one way in to them.
#pragma once

#include <mutex>
#include <span>
#include <string>
#include <type_traits>
#include <utility>
#include <vector>

#include "core/chart/chart.hpp"
#include "core/watch/watch.hpp"
#include "edge/caller/caller.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/pages/pages.hpp"
#include "edge/summary/summary.hpp"
#include "shell/charts/charts.hpp"
#include "shell/charts/incidents.hpp"
#include "shell/desk/desk.hpp"
#include "shell/rows/months.hpp"
#include "shell/rows/rows.hpp"
#include "shell/vetting/so_far.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::desk {

using charts::about;
using charts::BrokenJournal;
using charts::Chart;
using charts::ChartPtr;
using charts::Clinic;
using pages::list;
using pages::text;
using pages::word_of;
using pages::Words;
using vetting::against_order;
using vetting::append_one;
using vetting::arrive;
using vetting::as_recorded;
using vetting::ask_before;
using vetting::ask_document;
using vetting::chart_before;
using vetting::clock_said_right;
using vetting::clock_set_back;
using vetting::is_known;
using vetting::looks_at_journal;
using vetting::object_to;
using vetting::Objection;
using vetting::objections_of_clinic;
using vetting::packed;
using vetting::put_behind;
using vetting::questions_opened_by;
using vetting::SoFar;
using watch::Level;
using words::english;

struct Incoming;

struct Desk::Inside {
  using People = std::shared_ptr<const summary::People>;

  explicit Inside(Ports given)
      : ports(std::move(given)),
        incidents(*ports.store, cache, ports.new_id),
        rows(*ports.store, ports.zone, ports.now, incidents, [this] { return clinic(); }) {}

  Ports ports;
  charts::Charts cache;
  charts::Incidents incidents;
  rows::Rows rows;
  rows::Months months;

  std::mutex clinic_mutex;
  std::shared_ptr<const Clinic> clinic_state;

  /// The clinic's journal as far as it was read: its movements are many, and only what is new is
  /// read again.
  struct ClinicFacts {
    Id journal;
    std::uint64_t version = 0;
    Digest head{};
    std::vector<journal::Fact> facts;
  };
  std::mutex facts_mutex;  // taken before clinic_mutex
  ClinicFacts clinic_facts;

  std::shared_ptr<const Clinic> clinic() {
    const std::lock_guard lock(clinic_mutex);
    return clinic_state;
  }
  Result<void> reload_clinic(store::ReadTx& tx);
  Result<void> reload_clinic(store::ReadTx& tx, Id journal);
  Result<void> read_clinic_facts(store::ReadTx& tx, Id journal);
  /// Now, on the clinic's clocks.
  When now_here() { return clinic()->zone.when(ports.now()); }
  /// The clinic must be named before anything is recorded: somebody is the author.
  Result<std::shared_ptr<const Clinic>> named_clinic();

  /// `closed`: whether a record that can only be read is given out. What is shown of it, and what
  /// may be done, must say nothing to act on (H21).
  enum class Closed : std::uint8_t { given, refused };
  Result<ChartPtr> person(Id person, Closed closed = Closed::given);
  /// Everybody, as lists need them, as the clinic's journal stands now.
  Result<rows::Everybody> everybody(const Waiting& waiting);
  /// Sees what another program on the same store wrote into the clinic's journal.
  Result<void> refresh_clinic();
  Result<void> refresh_clinic(store::ReadTx& tx);

  /// Runs a use case, or one journal's share of work over many: what is thrown out of it becomes an
  /// incident, and a journal that is damaged is closed. `journal`: whose that is where nothing else
  /// says so; nil: nobody's.
  template <class Work>
  auto contained(Id journal, Work&& work) -> decltype(work()) {
    try {
      auto done = work();
      const bool is_damaged = !done && done.error().code == store::codes::journal_damaged;
      if (is_damaged) return incidents.closed(done.error(), clinic().get());
      return done;
    } catch (...) {
      return incidents.caught(journal, clinic().get());
    }
  }

  // ---- the entries, as desk.hpp says; Guarded alone calls them
  Result<void> start();
  Result<json::Value> page(const pages::Row& row, const pages::Given& given, const Caller& caller,
                           const Waiting& waiting, const OnProposed& proposed);
  Result<json::Value> written_since(Id person, std::uint64_t version);
  Result<json::Value> record(Id person, const json::Value& request, const Caller& caller);
  Result<json::Value> hand_out(Id person, const json::Value& request, const Caller& caller);
  Result<json::Value> record_clinic(const json::Value& request, const Caller& caller);
  Result<json::Value> move_fact(Id from, const json::Value& request, const Caller& caller);
  Result<json::Value> register_person(const json::Value& request, const Caller& caller);
  Result<json::Value> name_clinic(const json::Value& request, const Caller& caller);
  Result<json::Value> put_photo(Id person, std::string_view bytes, Consent consent);
  Result<Photo> photo(Id person, std::string_view digest);
  Result<json::Value> erase_photo(Id person, std::string_view digest, std::string_view reason,
                                  const Caller& caller);
  Result<json::Value> diary(Id person, std::string_view file_name, std::string_view bytes,
                            std::string_view accept, const Caller& caller,
                            const diary::DiaryAnswers& answers);
  Result<std::string> export_journal(Id person);
  Result<json::Value> import_journal(std::string_view bytes, std::string_view file_name,
                                     std::string_view accept, const Caller& caller);
  Result<std::string> export_diary(Id person);
  Result<Id> find_person(std::string_view text, const Caller& caller, whom::Finding finding);
  Result<json::Value> whose(Id person, const Caller& caller);
  Result<void> append_all(Id journal, store::Subject subject,
                          const std::vector<journal::Fact>& facts);
  Result<void> fill(const std::vector<Filled>& people);
  Result<VerifyAnswer> verify(const store::OnProgress& progress);
  Result<std::string> seal_heads(const Caller& caller);
  Result<SealAnswer> check_seal(std::string_view seal);
  Result<std::vector<std::pair<Id, Error>>> check_against(store::Store& copy);
  Result<Rebuilt> rebuild_summaries(const OnPeople& progress, const Caller& caller);

  /// Whoever is at the bench, now.
  Caller caller() { return {clinic()->names.user, Role::nurse, english(), ports.now()}; }
  Result<Caller> comes();

  /// A request for the clinic's journal; `zone`: whose clock its times are on.
  Result<Incoming> read_for_clinic(const json::Value& request, const Clinic& clinic,
                                   const ZoneRules& zone, const Caller& caller);

  /// Whom a page is written with: everybody, or for a trial some of them; nobody where it needs
  /// nobody.
  struct Among {
    People people;
    bool is_trial = false;
    bool incomplete = false;  // somebody is left out, or missing
  };
  /// A page that is asked for.
  struct Wanted {
    const pages::Row& row;
    const pages::Given& given;
    const Caller& caller;
    const Waiting& waiting;
    const OnProposed& proposed;
  };
  /// Loads what a row needs and runs it. `whose`: the journal that is at work.
  Result<json::Value> write_page(const Wanted& page, const Among& among, Id& whose);
  /// A page over everybody: whoever's row breaks a promise is left out by name, and their journal
  /// closed; the others go on.
  using PageOf = std::function<Result<json::Value>(const Among&)>;
  Result<json::Value> over_everybody(const PageOf& work, const Caller& caller,
                                     const Waiting& waiting);
  /// H61: whoever is not found may be the one whose record is missing.
  Error not_found(Error error);
  [[noreturn]] void leave_out_and_throw(const summary::People& people,
                                        const std::vector<BrokenJournal>& broken);
  /// So many break in one request at most; more of them are a fault of the page, and nobody's.
  static constexpr std::size_t left_out_max = 16;
  /// Runs a row inside one reading of the store: what it asks for by tag is of one moment.
  Result<json::Value> in_one_moment(const pages::Row& row, pages::Asked& asked, const Among& among);

  struct Verifying;
  /// One journal's share of verify.
  Result<void> verify_one(store::ReadTx& tx, const store::JournalInfo& info, Verifying& so_far);

  /// Notes that a picture waits for its examination, and erases those that waited for a day (S13).
  Result<void> let_wait(store::WriteTx& tx, const Chart& person, const Digest& fresh);
  /// A person's pictures: those that are here, and those that were erased.
  Result<std::vector<pages::Picture>> pictures_of(Id person);

  /// Facts of a file that was looked at, and the fact that says so; gives the journal's version.
  /// Error: store::codes::version_conflict, where somebody wrote meanwhile.
  Result<std::uint64_t> let_in(const ChartPtr& before, const std::vector<journal::Fact>& fresh,
                               journal::Fact told, const Caller& caller);

  /// Checks, asks, appends and writes the summary; the answer is `Recorded` or an `ask`.
  Result<json::Value> append(Id person, std::vector<journal::Fact> facts,
                             std::optional<std::uint64_t> seen, bool confirmed, bool creates,
                             const Caller& caller);
  /// The same for the clinic's own journal.
  Result<json::Value> append_to_clinic(std::vector<journal::Fact> facts,
                                       std::optional<std::uint64_t> seen, bool confirmed,
                                       const Caller& caller);
};

/// The one way in to what the desk keeps, so that no entry can forget the guard: whatever is thrown
/// out of one is an incident.
class Desk::Guarded {
 public:
  explicit Guarded(Ports ports) : inside_(std::move(ports)) {}

  template <class Answer, class... Takes, class... Given>
  Answer run(Answer (Inside::*entry)(Takes...), Given&&... given) {
    return inside_.contained(first_of(given...), [&]() -> Answer {
      return (inside_.*entry)(std::forward<Given>(given)...);
    });
  }
  /// What was thrown around an answer of the desk, while it is caught.
  Error incident() { return inside_.incidents.caught({}, inside_.clinic().get()); }

  // Plain looks that cannot fail.
  std::shared_ptr<const Clinic> clinic() { return inside_.clinic(); }
  Caller caller() { return inside_.caller(); }
  Instant now() const { return inside_.ports.now(); }

 private:
  // An entry that is about one journal takes it first.
  template <class First, class... Rest>
  static Id first_of(const First& first, const Rest&...) {
    if constexpr (std::is_same_v<First, Id>) return first;
    return {};
  }
  static Id first_of() { return {}; }

  Inside inside_;
};

/// What a request brings to be recorded.
struct Incoming {
  std::vector<journal::Fact> facts;
  std::optional<std::uint64_t> seen;
  bool confirmed = false;
};
/// Where a request goes, and how what it leaves out is filled in. `there`: what the journal holds;
/// a fact of it that is sent again, alone, in another batch or later, is filled in as it was then
/// (D14, H31).
struct Into {
  Id journal;
  const Clinic& clinic;
  const ZoneRules& zone;
  std::span<const journal::Fact> there;
};
Result<Incoming> read_request(const json::Value& request, const Into& into, const Ports& ports,
                              const Caller& caller);
json::Value questions_of(const std::vector<journal::Fact>& opened);
json::Value recorded_document(const store::Appended& appended,
                              const std::vector<journal::Fact>& opened);
/// A hand-out that is taken back was not given, either: its fact in the person's journal is voided
/// with it. Other facts: nothing is done.
Result<void> take_back_at_home(const Ports& ports, store::WriteTx& tx, const journal::Fact& fact,
                               const std::vector<journal::Fact>& of_clinic, const Clinic& clinic);

}  // namespace penstock::desk
