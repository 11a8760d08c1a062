// The use cases: read, check, append, answer. Used by the web and the command line alike, so that a
// page and a command show the same numbers because they are the same call. A page is a row of
// edge/pages: the desk loads what it needs.
//
// Only this room catches a broken promise of the core: the use case rolls back, the incident gets a
// number, and the journal that it came up over becomes read-only until `penstock verify` has
// passed. Every entry goes through one guard (door.cpp), which also numbers what nobody's journal
// broke. Work over everybody, and the start, leave a broken journal out by name and go on.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"
#include "edge/caller/caller.hpp"
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/pages.hpp"
#include "shell/charts/charts.hpp"
#include "shell/charts/incidents.hpp"
#include "shell/claims/claims.hpp"
#include "shell/imports/imports.hpp"
#include "shell/pictures/pictures.hpp"
#include "shell/rows/rows.hpp"
#include "shell/seals/seals.hpp"
#include "shell/store/store.hpp"
#include "shell/vetting/vetting.hpp"
#include "shell/whom/whom.hpp"

namespace penstock::desk {

/// What the desk needs from outside; everything that is not a pure function comes in here.
struct Ports {
  store::Store* store = nullptr;
  std::function<Instant()> now;
  /// A time zone's rules by its database name. Error: `zone.unknown` [text].
  charts::ZoneOf zone;
  std::function<std::vector<std::string>()> zone_names;
  std::function<Id()> new_id;
  std::string program;  ///< "Penstock 0.1.0"
};

namespace codes {
using namespace imports::codes;
using namespace vetting::codes;
using pages::codes::clinic_unnamed;
using pages::codes::no_person;
using pages::codes::person_missing;  // H61 [text, records]
inline constexpr std::string_view move_to_self = "desk.move_to_self";
using rows::codes::ask_alike;
using rows::codes::ask_number_alike;
using rows::codes::number_taken;
using whom::codes::person_in_full;
using whom::codes::several_people;
inline constexpr std::string_view other_journal =
    "desk.other_journal";  // the fact names another journal than the request [journal]
inline constexpr std::string_view no_facts = "desk.no_facts";
inline constexpr std::string_view facts_many = "desk.facts_many";  // [most]
using claims::codes::ask_things_of_another;                        // H13
using claims::codes::cartridge_of_another;                         // H13
using claims::codes::pen_of_another;                               // H13
using whom::codes::search_short;
inline constexpr std::string_view photo_consent =
    "desk.photo_consent";  // no picture is kept without the person's consent
inline constexpr std::string_view photos_many =
    "desk.photos_many";  // too many that no examination names [most]
inline constexpr std::string_view photo_form = "desk.photo_form";  // neither JPEG nor PNG
using pictures::codes::photo_pixels;
inline constexpr std::string_view no_photo = "desk.no_photo";  // [text]
inline constexpr std::string_view photo_erased = "desk.photo_erased";
using charts::codes::incident;
using charts::codes::incident_of_nobody;
using charts::codes::record_closed;  // H21 [name, because]
using rows::codes::stopped;
inline constexpr std::string_view zone_unknown = "zone.unknown";  // [text]
// Of verify (S8, S9); not returned as errors of a call.
using rows::codes::row_wrong;
using rows::codes::tags_wrong;
inline constexpr std::string_view claim_wrong = "desk.claim_wrong";
inline constexpr std::string_view subject_wrong = "desk.subject_wrong";
inline constexpr std::string_view mark_wrong = "desk.mark_wrong";
inline constexpr std::string_view seal_broken = "desk.seal_broken";
inline constexpr std::string_view seal_unknown = "desk.seal_unknown";
inline constexpr std::string_view against_missing = "desk.against_missing";
inline constexpr std::string_view against_shorter = "desk.against_shorter";
inline constexpr std::string_view against_other = "desk.against_other";
inline constexpr std::string_view clinic_gone =
    "desk.clinic_gone";  // journals, and none of them the clinic's own
inline constexpr std::string_view hand_out_form =
    "desk.hand_out_form";  // a hand-out is "stock moved", handed out [kind]
inline constexpr std::string_view hand_outs_many =
    "desk.hand_outs_many";  // one movement at a time [facts]
inline constexpr std::string_view ask_record_missing =
    "ask.record_missing";  // H61: who is registered may be whose record is missing [records]
inline constexpr std::string_view ask_take_back =
    "ask.take_back";  // H56: an import with all its rows [rows]
}  // namespace codes

/// How many facts one request may bring; an import has its own limits.
inline constexpr std::size_t facts_in_request_max = 200;

struct VerifyAnswer {
  store::VerifyReport report;
  std::uint64_t facts_read = 0;  ///< facts that unpacked and folded
  std::vector<std::pair<Id, Error>>
      unreadable;  ///< journals whose facts did not unpack, or whose fold broke a promise
  /// Pictures that an entry names and that are not here, though nobody erased them: a journal that
  /// came from elsewhere brings none. No fault.
  std::uint64_t photos_missing = 0;
  /// S8: what stands beside the chains and does not follow from them, by journal; nil: the store.
  /// codes::row_wrong, tags_wrong, claim_wrong, subject_wrong, mark_wrong,
  /// seal_broken.
  std::vector<std::pair<Id, Error>> differs;
  bool clean() const { return report.clean() && unreadable.empty() && differs.empty(); }
};

using seals::SealAnswer;

/// A person's whole journal, new here.
struct Filled {
  Id id;
  std::vector<journal::Fact> facts;
};

struct Rebuilt {
  std::uint64_t people = 0;
  /// By name, those of them whose journals could not be worked out: their rows only say who they
  /// are. Nobody: empty.
  std::string left_out;
};

using rows::OnPeople;
using rows::Waiting;
using OnProposed = std::function<void(Id)>;

class Desk {
 public:
  /// Opens the clinic's journal (creates it in an empty store) and lays its own entries over the
  /// shelf.
  static Result<std::unique_ptr<Desk>> open(Ports ports);
  ~Desk();
  Desk(const Desk&) = delete;
  Desk& operator=(const Desk&) = delete;

  // ---- pages
  /// Writes a page: loads what its row needs, and runs its function guarded.
  /// Error: codes::stopped. `proposed` is told each identity that the document proposes for a thing
  /// that nobody recorded yet, a cartridge to load, say: another reading of the page proposes
  /// others.
  Result<json::Value> page(const pages::Row& row, const pages::Given& given, const Caller& caller,
                           const Waiting& waiting = {}, const OnProposed& proposed = {});
  /// Whoever is at the bench, now, as far as this program knows the clinic's journal.
  Caller caller();
  /// The same when somebody comes with a call: another program may have named another user since,
  /// or opened a recall (S16).
  Result<Caller> comes();
  /// Rows of the journal that entries after `version` wrote or corrected, newest first: the other
  /// side of a conflict (H20).
  Result<json::Value> written_since(Id person, std::uint64_t version);

  // ---- acts. Answers are `Recorded`, or {"ask": {...}} when something odd wants a yes first.
  /// {"seen_version", "confirmed", "facts": [...]} into a person's journal.
  Result<json::Value> record(Id person, const json::Value& request, const Caller& caller);
  /// "stock moved", handed out, in the shape of `record`: into the clinic's journal, and what went
  /// home into the person's, at once or not at all. Expired and recalled lots are refused.
  Result<json::Value> hand_out(Id person, const json::Value& request, const Caller& caller);
  /// The same into the clinic's journal.
  Result<json::Value> record_clinic(const json::Value& request, const Caller& caller);
  /// {"fact", "to", "reason", "seen_version"}: a fact that belongs to somebody else is voided here
  /// and recorded there, at once. `to` is an identity or a full clinic number; the answer says
  /// whose that is (`whose`).
  Result<json::Value> move_fact(Id from, const json::Value& request, const Caller& caller);
  /// {"id", "confirmed", "facts": [person registered, ...]}: a new journal. `id` is the person's,
  /// made by the sender.
  Result<json::Value> register_person(const json::Value& request, const Caller& caller);
  /// {"clinic", "user", "zone", "phone", "emergency"} at first start.
  Result<json::Value> name_clinic(const json::Value& request, const Caller& caller);

  // ---- pictures of skin. An examination names them by their digest; they can be erased.
  enum class Consent : std::uint8_t { not_given, given };
  /// Keeps a JPEG or a PNG of at most store::blob_bytes_max bytes, without what says where, when
  /// and by whom it was taken: {"photo": digest}. Without consent, and what is no picture: refused.
  /// What no examination names is erased with the next picture after a day.
  Result<json::Value> put_photo(Id person, std::string_view bytes, Consent consent);
  struct Photo {
    std::string media;
    std::string bytes;
  };
  Result<Photo> photo(Id person, std::string_view digest);
  /// For good. A note in the journal says that it went, and why. {"photo", "erased"}; `erased` is
  /// false where it had gone before.
  Result<json::Value> erase_photo(Id person, std::string_view digest, std::string_view reason,
                                  const Caller& caller);

  // ---- files
  /// Without `accept` a preview; with the preview's digest the file enters. Rows that are nearly on
  /// record, and unusual ones, are asked about: `answers` says whether to leave them out or to
  /// bring them in (H56, H25).
  Result<json::Value> diary(Id person, std::string_view file_name, std::string_view bytes,
                            std::string_view accept, const Caller& caller,
                            const diary::DiaryAnswers& answers = {});
  Result<std::string> export_journal(Id person);
  /// A file that export_journal wrote. Without `accept` a preview, with both names side by side;
  /// with the preview's digest what is new enters, with a fact that says who let it in. The same
  /// file twice changes nothing. Somebody else's pen or cartridge in it is said first, and stays
  /// theirs (H13); order lines wait for a check by hand (H40).
  Result<json::Value> import_journal(std::string_view bytes, std::string_view file_name,
                                     std::string_view accept, const Caller& caller);
  Result<std::string> export_diary(Id person);

  // ---- for the command line and for upkeep
  /// Finds a person by identity, clinic number, or, to read, a search that fits exactly one.
  /// Several: refused, with all of them (H19).
  Result<Id> find_person(std::string_view text, const Caller& caller,
                         whom::Finding finding = whom::Finding::to_read);
  /// As whom::whose.
  Result<json::Value> whose(Id person, const Caller& caller);
  /// Facts ready to append, from a generator or a test: checked like an import, summaries written,
  /// no questions asked.
  Result<void> append_all(Id journal, store::Subject subject,
                          const std::vector<journal::Fact>& facts);
  /// The same for new people of a generator, all of them in one transaction.
  Result<void> fill(const std::vector<Filled>& people);
  Result<VerifyAnswer> verify(const store::OnProgress& progress);
  /// Seals the heads of all chains, as they stand, in the clinic's journal: a digest over journal,
  /// version and head of each, in the order of their identities. Printed on a backup, it shows
  /// later whether a chain was cut or built anew.
  Result<std::string> seal_heads(const Caller& caller);
  /// S9: a seal as it was printed, in capitals or with blanks if need be.
  Result<SealAnswer> check_seal(std::string_view seal);
  /// S9: every journal of a copy must be here, at the copy's version or beyond, with the same entry
  /// there. What is not so, by journal: codes::against_missing, against_shorter, against_other
  /// [name, number: as the copy has them].
  Result<std::vector<std::pair<Id, Error>>> check_against(store::Store& copy);
  /// Makes all summary rows anew from the journals, a few at a time. Those that cannot be worked
  /// out only name whom they are about.
  Result<Rebuilt> rebuild_summaries(const OnPeople& progress, const Caller& caller);
  Id clinic_journal() const;
  /// The program's shelf with the clinic's own entries laid over it.
  shelf::Shelf shelf_entries() const;
  Instant now() const;
  /// For whoever writes the desk's answers down: what was thrown meanwhile is an incident, too.
  /// Called while it is caught.
  Error incident();

 private:
  struct Inside;
  class Guarded;
  explicit Desk(std::unique_ptr<Guarded> guarded);
  std::unique_ptr<Guarded> in_;
};

}  // namespace penstock::desk
