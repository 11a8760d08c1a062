// A page is a row: its path, what it takes and gives, which refusals it knows, an example that the
// tests replay, what has to be loaded for it, and the pure function that writes its document. An
// area's room brings its rows, pages/all lists the areas; the server, the paths of the front end,
// the command line with its help and completion, and the description of the calls read the rows.
//
//   const auto given = pages::read(row, texts);       // the query, read in one place
//   if (!given) return given.error();
//   return desk.page(row, *given, caller);            // loads what the row needs, runs it guarded
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "base/base.hpp"
#include "base/stopped.hpp"
#include "core/chart/chart.hpp"
#include "core/units/units.hpp"
#include "edge/caller/caller.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/summary/summary.hpp"

namespace penstock::pages {

// ---- what a row takes

/// What a request brings, as it came: from the path, the query, or the words of a command.
using Texts = std::map<std::string, std::string, std::less<>>;

/// A person is named by identity; whoever sits at a command line may write the number or a name.
enum class Form : std::uint8_t { text, id, person, day, count };

/// A segment of the path where the pattern has {name}, else a part of the query, which may be left
/// out.
struct Parameter {
  std::string_view name;
  Form form = Form::text;
  std::string_view says = {};  ///< "from 1"
  std::int64_t least = 0;      ///< of a count
  std::int64_t most = 0;
  /// The refusal of a count out of its range [value, least, most]; empty: the one of every field.
  std::string_view out_of_range = {};
  /// On the command line: "QUERY", a word, or "--page", an option; empty: it has none.
  std::string_view word = {};
};

/// The parameters of one request, read by the row's list.
class Given {
 public:
  std::optional<Id> id(std::string_view name) const { return value<Id>(name); }
  std::optional<LocalDay> day(std::string_view name) const { return value<LocalDay>(name); }
  std::optional<std::int64_t> count(std::string_view name) const {
    return value<std::int64_t>(name);
  }
  /// Empty where it was left out.
  std::string text(std::string_view name) const {
    return value<std::string>(name).value_or(std::string());
  }
  std::string_view body;  ///< of a request that has one: its bytes, which outlive this

 private:
  friend Result<Given> read(const struct Row& row, const Texts& texts, std::string_view body);
  template <class T>
  std::optional<T> value(std::string_view name) const {
    const auto found = values_.find(name);
    if (found == values_.end()) return std::nullopt;
    return std::get<T>(found->second);
  }
  std::map<std::string, std::variant<std::string, Id, LocalDay, std::int64_t>, std::less<>> values_;
};

/// Whether it may keep others waiting: everybody's cover, a plan of weeks, whole files.
enum class Pace : std::uint8_t { quick, slow };

/// What a request's body may be.
enum class Body : std::uint8_t {
  none,
  json,
  facts,  ///< JSON with a list of facts (desk::Desk::record)
  file,
  picture
};

// ---- what a row asks for

struct MonthNeeds;

/// What is loaded before a page is written.
enum class Needs : std::uint8_t {
  nobody = 0,
  clinic = 1,     ///< works from the clinic's own journal: a broken promise is that journal's
  person = 2,     ///< Asked::person, named by the parameter "id"
  everybody = 4,  ///< Asked::people
  pictures = 8,   ///< Asked::pictures of the person
  lots = 16,      ///< Asked::tagged, all of one moment
  elsewhere = 32  ///< Asked::elsewhere of the person
};
constexpr Needs operator|(Needs a, Needs b) {
  return static_cast<Needs>(static_cast<unsigned>(a) | static_cast<unsigned>(b));
}
constexpr bool has(Needs all, Needs one) {
  return (static_cast<unsigned>(all) & static_cast<unsigned>(one)) != 0;
}

/// Summary rows that bear a tag; those that did not unpack are counted.
struct Tagged {
  std::vector<summary::RowPtr> rows;
  std::size_t unreadable = 0;
};

/// How what somebody looks for is folded, to be found in a row's search key.
using FoldFunction = std::string (*)(std::string_view utf8);

/// A picture of skin, and whether it was erased since: then its digest is all that is left.
struct Picture {
  std::string digest;
  bool erased = false;
};

using TaggedRows = std::function<Result<Tagged>(const std::string& tag)>;

/// What a page may ask for. Zones, identities and rows come in as functions: a page reads no clock,
/// no disk and no chance.
struct Asked {
  const Clinic& clinic;
  const Caller& caller;
  const Given& given;
  const Chart* person = nullptr;
  People people = {};
  /// Of a page over everybody: somebody's record could not be worked out, or is missing.
  bool incomplete = false;
  std::vector<Picture> pictures = {};  ///< those that are here, and those that were erased
  /// What other journals say of the person's pens and cartridges (H13).
  std::vector<ledger::Claim> elsewhere = {};
  NewId new_id = {};
  /// A time zone's rules by its database name. Error: `zone.unknown` [text].
  std::function<Result<ZoneRules>(std::string_view name)> zone = {};
  std::function<std::vector<std::string>()> zone_names = {};
  std::string_view program = {};  ///< "Penstock 0.1.0"
  FoldFunction folded = nullptr;
  /// Somebody whom a body names. Error: codes::no_person.
  std::function<Result<chart::ChartPtr>(Id person)> chart = {};
  TaggedRows tagged = {};
  Stopped stopped = {};
  /// What all of `people` have to ask for (pages/stock: wants_of, month_of), on several threads
  /// where there are some; kept for as long as nobody's row changes.
  std::function<Result<std::shared_ptr<const MonthNeeds>>(LocalDay today, std::int32_t days_ahead)>
      month = {};
};

// ---- the row

/// The command that shows a page, `penstock show`; the flag that chooses this page among those of
/// one command, "journal"; and what help says of the command or of the flag.
struct Command {
  std::string_view name;
  std::string_view flag = {};
  std::string_view says;
};

struct Row {
  std::string_view method;
  std::string_view pattern;  ///< "/api/people/{id}/journal"; one {name} is one segment
  std::string_view summary;
  /// In the order in which they are read: the first that is wrong is refused.
  std::vector<Parameter> parameters = {};
  std::string_view left_out = {};  ///< what is meant where parameters are left out
  std::string_view takes = {};     ///< what the body is
  Body body = Body::none;
  std::string_view gives;  ///< which document of web/src/model.ts
  /// Refusals of its own, beside those of reading a request.
  std::vector<std::string_view> codes = {};
  /// A path that works, with its query.
  std::string_view example;
  std::string_view example_body = {};  ///< JSON or, where the call takes a file, its text
  /// Instead of `example_body`, where the call takes bytes that are no text: in hexadecimal.
  std::string_view example_hex = {};
  /// Paths of the front end that show it; one that ends in / stands for all below it.
  std::vector<std::string_view> screens = {};
  Needs needs = Needs::nobody;
  Pace pace = Pace::quick;
  /// Shows what was recorded and nothing to act on, so that it is shown of a closed record, too.
  bool of_closed = false;
  /// Nothing: an act, which is the shell's.
  Result<json::Value> (*document)(const Asked&) = nullptr;
  std::optional<Command> command = {};
  /// The document as lines for a terminal; where there is a command.
  std::string (*text)(const json::Value& document, const Words& words) = nullptr;
};

/// Reads a row's parameters; empty texts are left out, others than the row's are ignored.
Result<Given> read(const Row& row, const Texts& texts, std::string_view body = {});
/// "line: the order line's id; slot. Left out: the next injection.";
/// "No parameters; the request body is empty." for nothing.
std::string takes_text(const Row& row);
bool is_in_path(const Row& row, const Parameter& parameter);

/// The pattern's named segments, where the path fits: "/api/people/{id}" against
/// "/api/people/07b1".
std::optional<Texts> match(std::string_view pattern, std::string_view path);

/// Pages of a list from 1: more than rows that anybody has.
inline constexpr std::int64_t page_most = 1'000'000;
inline constexpr Parameter page_parameter{.name = "page",
                                          .form = Form::count,
                                          .says = "which page of the list, from 1",
                                          .least = 1,
                                          .most = page_most,
                                          .word = "--page"};
inline constexpr Parameter person_parameter{
    .name = "id", .form = Form::person, .says = "the person's", .word = "PERSON"};
/// Which page of a list was asked for; the first where none was named.
int page_of(const Given& given);
/// The request's body as JSON.
Result<json::Value> body_of(const Given& given);

}  // namespace penstock::pages
