// Small words for writing page documents (web/src/model.ts). A page is a pure function of the
// charts, the list of everybody, the clinic and the caller; what else it needs is an argument.
#pragma once

#include <functional>
#include <initializer_list>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/chart/chart.hpp"
#include "core/journal/journal.hpp"
#include "core/shelf/shelf.hpp"
#include "core/units/units.hpp"
#include "core/watch/watch.hpp"
#include "edge/caller/caller.hpp"
#include "edge/drawing/pens/pens.hpp"
#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {

using chart::Chart;
using chart::Clinic;
using summary::People;
using words::Rich;
using Words = words::Catalogue;

/// Identities for things that a form begins: chance is outside.
using NewId = std::function<Id()>;

namespace codes {
inline constexpr std::string_view no_person = "desk.no_person";  // [text]
/// The same, where a record is missing: it may be theirs. [text, records]
inline constexpr std::string_view person_missing = "desk.person_missing";
inline constexpr std::string_view clinic_unnamed =
    "desk.clinic_unnamed";  // first the clinic and its user are named
inline constexpr std::string_view nothing_due = "desk.nothing_due";        // [day]
inline constexpr std::string_view sheet_unseen = "desk.sheet_unseen";      // [name] H50
inline constexpr std::string_view sheet_language = "desk.sheet_language";  // [name, language] H50
inline constexpr std::string_view plan_from =
    "desk.plan_from";  // a plan begins tomorrow at the earliest, four weeks ahead at most
                       // [from, least, most]
inline constexpr std::string_view no_trip = "desk.no_trip";          // no such trip on record
inline constexpr std::string_view no_pen_test = "desk.no_pen_test";  // no such test on record
inline constexpr std::string_view month_days = "desk.month_days";    // [value, least, most]
inline constexpr std::string_view lot_unread =
    "desk.lot_unread";  // a lot number without a letter or digit [text]
}  // namespace codes

/// Records that were here and are not any more.
struct Missing {
  std::uint64_t records = 0;
  std::vector<Id> known;  ///< identities of theirs that something else still names
};
/// Who is missing on a page over everybody, by name, and what to do; nobody: empty. `left_out`: in
/// any order.
std::string left_out_text(const Words& words, const People& people, std::vector<Id> left_out,
                          const Missing& missing);

/// Rows on a page of a list: more than this nobody reads to the end.
inline constexpr int rows_per_page = 40;

/// Now, on the clinic's clocks, and on a person's.
When now_at(const Clinic& clinic, const Caller& caller);
When now_at(const Chart& person, const Caller& caller);

/// The word that people and files see for an enumerator ("counts on").
template <class E>
std::string word_of(E value) {
  return std::string(names_of(value)[static_cast<std::size_t>(value)]);
}

/// A fact of that kind, to begin a button's with.
json::Value fact(std::string_view kind);
/// "2.5": a length in centimetres.
std::string cm_text(TenthsMm length);

/// Rich: a text where there is nothing bold in a run, {"b": text} where there is.
json::Value rich(const Rich& text);
/// A sentence of the catalogue as Rich.
json::Value say(const Words& words, std::string_view key, const std::vector<Arg>& args = {});
/// The same as plain text.
std::string said(const Words& words, std::string_view key, const std::vector<Arg>& args = {});
json::Value svg(std::string_view picture);

/// Builds an object in one expression: object({{"a", text("x")}, …}).
json::Value text(std::string_view value);
json::Value list(std::vector<json::Value> items = {});

using watch::Level;
std::string_view code_of(Level level);
/// Adds "level" and "level_word".
void add_level(const Words& words, json::Value& object, Level level);
json::Value notice(const Words& words, Level level, const Rich& text);

/// A button that records: label, facts (each {"what": …}).
json::Value record_action(const Words& words, std::string_view label_key,
                          std::vector<json::Value> facts, json::Value fill = json::null(),
                          std::string_view confirm_key = {},
                          const std::vector<Arg>& label_args = {});
/// A field that the button asks for first.
json::Value fill_field(const Words& words, std::string_view field, std::string_view label_key,
                       std::string_view kind);
json::Value fill_choice(const Words& words, std::string_view field, std::string_view label_key,
                        std::span<const std::string_view> values);

/// What a form offers: what is sent, and what people read.
json::Value choice(std::string_view value, std::string_view label);
/// Every word of a closed list but the unknown, with its name in the catalogue.
template <class E>
json::Value choices_of(const Words& words, std::string_view prefix) {
  std::vector<json::Value> out;
  for (const auto word : names_of(E{})) {
    if (word == "unknown") continue;
    out.push_back(choice(word, words.name(std::string(prefix) + std::string(word))));
  }
  return list(std::move(out));
}

json::Value empty(const Words& words, std::string_view title_key, std::string_view text_key,
                  const std::vector<Arg>& args, std::string_view picture,
                  std::string_view action_key = {}, std::string_view href = {});

/// The shape mark of an insulin, from what is known of it: its action, and for a premix by its
/// name.
drawing::Action mark_of(const shelf::Insulin& insulin);
drawing::Action mark_of(shelf::Action action, std::string_view name);
/// Where only the order is known: the shelf's entry, or the purpose.
drawing::Action mark_of(const shelf::Shelf& shelf, std::string_view insulin, Strength strength,
                        journal::Purpose purpose);

/// What a watch is about.
drawing::Action mark_of(const watch::Watch& watch);

/// "22:00", and of another day than today "Tue 17 22:00".
std::string hour_text(const Words& words, const When& at, const When& now);

/// "Order version 4, 16 March 2027, Dr Adeyemi."
std::string version_text(const Words& words, const order::Line& line);
/// "Checked by Jonas Abara without reading its first and last day." Nothing where they were read,
/// or nobody checked the line (H60).
std::string days_unread_text(const Words& words, const order::Line& line);

/// How a pen's window counts, in words; nothing known is said, too (H01).
std::string window_words(const Words& words, const std::optional<shelf::Window>& window);
/// A pen where somebody chooses one: its name and how its window counts.
std::string pen_label(const Words& words, const shelf::Pen& pen);

/// Under which number somebody is phoned; that there is none is said, too.
std::string phone_text(const Words& words, std::string_view phone);

/// "Prescriber, Dr Amara Osei".
std::string contact_label(const Words& words, const journal::ContactNoted& contact);

/// "insulin glargine" -> "Insulin glargine".
std::string capital(std::string_view text);
/// "/people/{id}".
std::string href_of(Id person, std::string_view rest = {});

/// A page's numbered list: which of `count` rows stand on page `page` (from 1).
struct PageCut {
  int page = 1;
  int pages = 1;
  std::size_t from = 0;
  std::size_t to = 0;
};
PageCut cut(std::size_t count, int page, int rows = rows_per_page);

}  // namespace penstock::pages
