// The injection diary that comes home: time,what,units,cartridge,zone,spot,note. The whole file is
// checked before anything enters (H22); the same file twice, or two that overlap, change nothing
// twice (H31).
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"
#include "core/journal/journal.hpp"
#include "core/units/units.hpp"

namespace penstock::diary {

inline constexpr std::int64_t diary_rows_max =
    100'000;  // ten years of twenty-seven rows a day, nine injections with prime and needle
inline constexpr std::size_t diary_bad_lines_max = 100;  // more than anybody mends by hand

namespace codes {
inline constexpr std::string_view diary_rows = "diary.rows";            // most
inline constexpr std::string_view diary_person = "diary.other_person";  // field, text, expected
inline constexpr std::string_view diary_newest_first = "diary.newest_first";
inline constexpr std::string_view diary_order = "diary.order";  // time, before (instants)
inline constexpr std::string_view diary_time_missing = "diary.time_missing";    // time, zone
inline constexpr std::string_view diary_time_future = "diary.time_future";      // time, now
inline constexpr std::string_view diary_before_birth = "diary.before_birth";    // time, born
inline constexpr std::string_view diary_what = "diary.what";                    // text, allowed
inline constexpr std::string_view diary_units_form = "diary.units_form";        // text
inline constexpr std::string_view diary_units_missing = "diary.units_missing";  // what
inline constexpr std::string_view diary_units_extra = "diary.units_extra";      // what, text
inline constexpr std::string_view diary_cartridge_missing = "diary.cartridge_missing";  // what
inline constexpr std::string_view diary_cartridge_unknown = "diary.cartridge_unknown";  // text
inline constexpr std::string_view diary_zone = "diary.zone";  // text, allowed
inline constexpr std::string_view diary_spot = "diary.spot";  // text
inline constexpr std::string_view diary_note_missing = "diary.note_missing";
inline constexpr std::string_view diary_units_large = "diary.units_large";      // units, most
inline constexpr std::string_view diary_zone_extra = "diary.zone_extra";        // what
inline constexpr std::string_view diary_spot_zone = "diary.spot_without_zone";  // text
inline constexpr std::string_view diary_id_twice = "diary.id_twice";            // id
inline constexpr std::string_view diary_id_differs = "diary.id_differs";        // id
inline constexpr std::string_view diary_id_elsewhere = "diary.id_elsewhere";    // id
inline constexpr std::string_view diary_near = "diary.near";                    // H56, asked: rows
inline constexpr std::string_view diary_which_pen =
    "diary.which_pen";  // H13, asked: two pens of that insulin were in use [insulin, lot]
inline constexpr std::string_view diary_which_pen_no_lot = "diary.which_pen_no_lot";  // [insulin]
inline constexpr std::string_view diary_odd = "diary.odd_unsaid";  // H25, asked: rows
}  // namespace codes

/// A cartridge as the file names it (its label, its number among the person's, or its id).
struct DiaryCartridge {
  Id cartridge;
  Id pen;  ///< that it is in
  /// What is asked of the row for its sake: its name fits another one as well.
  std::optional<Error> asked{};
};

/// What an import has to know; all of it is passed in.
struct DiaryContext {
  Id journal;             ///< the person's
  std::string full_name;  ///< to notice another person's file (H19, H22)
  std::string number;
  std::optional<LocalDay> born;  ///< nothing happened before it; not given: it is not known
  ZoneRules zone;                ///< for times without an offset
  /// A time with an offset, by the person's own clock (H18). Not given: as it was written.
  std::function<When(const When&)> told;
  Instant now{};       ///< no diary tells what comes later, but for a clock that runs ahead
  std::string author;  ///< who imports
  std::function<std::optional<DiaryCartridge>(std::string_view name, const When& when)> cartridge;
  /// The fact with this identity, if the journal holds it.
  std::function<const journal::Fact*(const Id&)> known;
  /// Whether the entry that the journal holds was struck out. Not given: none was.
  std::function<bool(const Id&)> struck_out;
  /// Whether an identity that the journal does not hold is an entry of another one. Not given: it
  /// is not asked.
  std::function<bool(const Id&)> elsewhere;
  /// What is asked about a row, beside the others that it holds; not given: what is odd by itself.
  std::function<std::optional<Error>(const journal::Fact&)> odd;
  DigestFunction digest = nullptr;
  /// What the journal says was pressed out, and by which insulin: to notice the same injections
  /// written down again with other times (H56). Not given: nothing is compared.
  std::span<const journal::Effective> so_far;
  std::function<bool(const Id& cartridge, const Id& other)> same_insulin;
  /// How far apart two doses of what is in this cartridge may lie and be perhaps the same one.
  std::function<std::chrono::minutes(const Id& cartridge)> perhaps_same;
  /// The same for a dose of another amount than the one that the journal holds. Not given: only
  /// equal amounts are compared.
  std::function<std::chrono::minutes(const Id& cartridge)> perhaps_same_dose;
};

struct DiaryLine {
  std::int64_t line = 0;
  journal::Fact fact;
  bool hour_came_twice = false;  ///< the clocks went back: its local time does not say which (H18)
};
/// A new row that is nearly one that the journal holds: as many units of the same insulin, at most
/// DiaryContext::perhaps_same away, or a dose of another amount (perhaps_same_dose). Each held one
/// is paired once, the nearest in time first. A dose that is left over is held against those above
/// it in the file; primes are not, for several of one evening are usual.
struct DiaryNear {
  std::size_t fresh = 0;       ///< place in `fresh`
  When held;                   ///< when the other was
  std::int64_t line = 0;       ///< the other's line in this file; 0: it is the journal's
  std::optional<Units> units;  ///< of the other, where they are not the row's
};
/// What somebody said of rows that are asked about before they enter.
enum class AskedRows : std::uint8_t { not_said, leave_out, bring_in };
inline constexpr std::string_view leave_out_word = "leave out";
inline constexpr std::string_view bring_in_word = "bring in";
/// As an option or a query says it; any other word says nothing.
AskedRows asked_rows(std::string_view word);
struct DiaryAnswers {
  AskedRows near = AskedRows::not_said;  ///< rows nearly on record (H56)
  AskedRows odd = AskedRows::not_said;   ///< unusual ones (H25)
};

struct DiaryBadLine {
  std::int64_t line = 0;  ///< 0: the file as a whole
  Error error;            ///< `at` is the line, as text
};

/// What would happen if it were accepted.
struct DiaryPreview {
  std::int64_t rows = 0;         ///< rows of the file, header not counted
  std::vector<DiaryLine> fresh;  ///< would enter, in the file's order
  std::int64_t known = 0;        ///< rows that the journal holds already
  std::vector<std::int64_t>
      differs;  ///< lines that it holds with another zone, spot or reason: left alone
  std::vector<std::int64_t> struck;  ///< lines known, and struck out: they count for nothing
  /// Lines that say the same as one above them, to the letter: such a row counts once.
  std::vector<std::int64_t> repeated;
  /// New lines of an hour that came twice, whose time has no offset: taken as the first that keeps
  /// the file ascending (H18).
  std::vector<std::int64_t> twice;
  std::vector<DiaryNear> near;      ///< in the order of `fresh`
  std::vector<DiaryBadLine> odd;    ///< new rows that are unusual, asked about (H25)
  std::vector<std::int64_t> late;   ///< new rows of so long ago that the year may be wrong
  std::vector<DiaryBadLine> bad;    ///< the first diary_bad_lines_max of them
  std::int64_t bad_count = 0;       ///< all of them
  std::optional<When> first, last;  ///< when the file's good rows begin and end
  Digest digest{};                  ///< of the file's bytes
  bool acceptable() const { return bad_count == 0; }
};

/// Checks the whole file. Only a file that cannot be read as this kind of file at all is an error;
/// anything in its rows is in the preview.
Result<DiaryPreview> preview_diary(std::string_view bytes, const DiaryContext& context);

/// The facts to append: the file's new rows, then one that says that the file came in (none when
/// nothing is new). A preview with a bad line: refused with the first of them; one with unusual
/// rows, or with rows that are nearly there: codes::diary_odd, diary_near, until it is said what
/// they are.
Result<std::vector<journal::Fact>> accept_diary(const DiaryPreview& preview,
                                                const DiaryContext& context,
                                                std::string_view file_name, const When& now,
                                                const DiaryAnswers& answers = {});
/// The identity of the entry which says that a file came in; `first`: of the first entry it
/// brought.
Id imported_id(const Id& journal, std::string_view file_digest, const Id& first,
               DigestFunction digest);
/// An import is taken back whole, in one act (H56): the corrections that void its rows, for each of
/// `facts` that voids the entry which says that a file came in. Its rows are those that stand right
/// before it in the journal, of whose first its identity was made; an entry that says so and came
/// with no file takes nothing back. `history`: of facts in one row, in the order of their entries.
std::vector<journal::Fact> taken_back_with(std::span<const journal::Fact> facts,
                                           const journal::History& history, DigestFunction digest);

/// The words of the column `what`, for help texts and errors.
std::vector<std::string_view> diary_words();

/// The rows of a journal as such a file, so that what was imported can be looked at again.
/// `label`: the file's name of a cartridge.
std::string write_diary(std::span<const journal::Fact> facts,
                        const std::function<std::string(const Id& cartridge)>& label);

}  // namespace penstock::diary
