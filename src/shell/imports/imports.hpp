// Files that come in, looked at before anything enters (H22): what a diary and a journal of another
// bench would bring here, change here and ask, and what is said of it. Nothing here writes.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"
#include "edge/caller/caller.hpp"
#include "edge/diary/diary.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/summary/summary.hpp"
#include "edge/wire/journal_file.hpp"
#include "shell/charts/charts.hpp"
#include "shell/store/store.hpp"
#include "shell/vetting/vetting.hpp"

namespace penstock::imports {

using charts::Chart;
using charts::ChartPtr;
using charts::Clinic;
using pages::Words;

namespace codes {
using vetting::codes::not_a_person;
inline constexpr std::string_view preview_other =
    "desk.preview_other";  // accepted file is not the previewed one (H22)
inline constexpr std::string_view ask_unlike_order =
    "ask.unlike_order";  // H25, H04: a diary's dose is not the order's [given, ordered]
inline constexpr std::string_view ask_said_not_taken =
    "ask.said_not_taken";  // H57: somebody said that this dose was not taken [due]
inline constexpr std::string_view ask_before_therapy =
    "ask.before_therapy";  // H22: long before anything on record: another year? [day, first]
inline constexpr std::string_view ask_brings_number =
    "ask.brings_number";  // H12, H59: an entry of a file does [dose, insulin, when]
// H22: two entries that cannot both be so, with what the other one says.
inline constexpr std::string_view ask_two_values = "ask.two_values";                // [other, when]
inline constexpr std::string_view ask_two_results = "ask.two_results";              // [other, day]
inline constexpr std::string_view ask_two_severities = "ask.two_severities";        // [to, other]
inline constexpr std::string_view ask_allergy_on_record = "ask.allergy_on_record";  // [to]
inline constexpr std::string_view ask_two_numbers = "ask.two_numbers";              // [name, other]
inline constexpr std::string_view ask_two_hours = "ask.two_hours";                  // [other]
inline constexpr std::string_view ask_two_outcomes = "ask.two_outcomes";  // [when, outcome]
inline constexpr std::string_view import_nobody =
    "desk.import_nobody";  // a journal file that registers nobody
inline constexpr std::string_view import_other_person =
    "desk.import_other_person";  // H19 [theirs, here]
inline constexpr std::string_view import_future =
    "desk.import_future";  // recorded later than now [when]
inline constexpr std::string_view import_id_differs =
    "desk.import_id_differs";  // H22: an entry here says something else
inline constexpr std::string_view import_id_elsewhere =
    "desk.import_id_elsewhere";  // H22, H19: it is on another person's record
}  // namespace codes

// ---- a diary

/// What its rows are held against: the person's cartridges and what is on record. Refers to
/// `person` as long as it lives.
diary::DiaryContext context_of(const Chart& person, const Caller& caller);
json::Value diary_preview(const Words& words, const diary::DiaryPreview& preview,
                          std::string_view file);
/// H59, H41: where a row brings a number that is held, by a scale reading for instance, it is odd.
/// An injection is what a diary is for, and is held against the order as it is.
Result<void> ask_what_lifts(const charts::ZoneOf& zone, const ChartPtr& person,
                            const Clinic& clinic, Instant now, diary::DiaryPreview& preview);
/// The same when `facts` of it have entered.
json::Value diary_entered(const Words& words, const diary::DiaryPreview& preview,
                          std::string_view file, const std::vector<journal::Fact>& facts);

// ---- a journal of another bench

/// Which of these facts brings a number that is not shown `before` (vetting::gives_back): without
/// it and what follows it none comes.
Result<std::size_t> lifting(const charts::ZoneOf& zone, const ChartPtr& before,
                            std::span<const journal::Fact> facts, const Clinic& clinic,
                            Instant now);

/// What would be asked about an entry if it were typed.
struct AskedOf {
  journal::Fact fact;
  Error error;
};

/// An entry of the file whose identity stands on record and says something else there (H22).
struct Twin {
  journal::Fact theirs;
  const journal::Fact* here = nullptr;  ///< nullptr: on another person's record
  Error error() const;
};

struct Looked {
  ChartPtr theirs;  // the file alone
  ChartPtr before;  // what is here; at version 0 nobody
  ChartPtr after;   // what would be here; nullptr: nothing enters, or nobody was here
  std::vector<journal::Fact> fresh;
  std::vector<Twin> twins;
  std::vector<Error> refused;
  std::vector<Error> things;   // somebody else's pens and cartridges
  std::vector<AskedOf> asked;  // what would be asked about an entry if it were typed
  std::int64_t lines = 0;
  std::int64_t waiting = 0;                         // new, and does not enter
  std::int64_t checks = 0;                          // wait to be made here
  std::int64_t erased = 0;                          // say that something was erased which is here
  std::vector<journal::Fact> tests, answers, ends;  // the same, named one by one
  std::int64_t doses_unseen = 0;

  bool is_here() const { return before->version > 0; }
  /// What the desk would refuse of a record that is new here is somebody else's word, and taken.
  bool may_enter() const { return twins.empty() && (refused.empty() || !is_here()); }
  Error refusal() const { return twins.empty() ? refused.front() : twins.front().error(); }
};

/// Error: codes::import_future, import_nobody, import_other_person; not_a_person and what the store
/// says.
Result<Looked> look(const charts::ZoneOf& zone, charts::Charts& charts, store::ReadTx& tx,
                    const wire::JournalFile& file, const Clinic& clinic, Instant now);
/// What stands for all that was looked at: the file, the record that it would enter, and what is
/// asked, refused and shared. Accepting names it, so that nothing enters that nobody saw.
std::string seal_of(const Looked& looked, std::string_view file_digest);
/// `alike`: what rows::who_is_alike asks.
json::Value preview_of(const Words& words, const Looked& looked, const shelf::Shelf& shelf,
                       const std::vector<Error>& alike, bool accepted, Instant now);

}  // namespace penstock::imports
