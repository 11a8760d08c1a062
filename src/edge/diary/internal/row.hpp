// One row of a diary: its words, its columns, and what can be said about it without its neighbours.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "core/units/units.hpp"
#include "edge/csv/csv.hpp"
#include "edge/diary/diary.hpp"

namespace penstock::diary {

enum class DiaryKind : std::uint8_t {
  primed,
  primed_flow_seen,
  primed_no_flow,
  injected,
  injected_part,
  injected_unknown,
  scale,
  thrown_away,
  left_fridge,
  needle_on,
  needle_off,
  note,
};
enum class Needs : std::uint8_t { no, yes };

struct DiaryWord {
  std::string_view text;  ///< as it stands in the column `what`
  DiaryKind kind = DiaryKind::note;
  std::string_view fact;  ///< the name of the kind of fact, part of a row's identity
  Needs units = Needs::no;
  Needs cartridge = Needs::yes;
};
/// In lower case; nullptr: no such word.
const DiaryWord* diary_word(std::string_view text);
const DiaryWord& diary_word(DiaryKind kind);

enum class DiaryColumn : std::uint8_t {
  time,
  what,
  units,
  cartridge,
  zone,
  spot,
  note,
  id,
  name,
  number
};
inline constexpr std::array<std::string_view, 10> diary_column_names{
    "time", "what", "units", "cartridge", "zone", "spot", "note", "id", "name", "number"};

struct DiaryHeader {
  std::array<std::optional<std::size_t>, diary_column_names.size()> place;
  std::size_t width = 0;

  bool has(DiaryColumn column) const { return place[static_cast<std::size_t>(column)].has_value(); }
  /// Without spaces around it; empty when there is no such column.
  std::string_view field(const csv::CsvRow& row, DiaryColumn column) const;
};
Result<DiaryHeader> read_diary_header(const csv::CsvRow& row);

struct DiaryRow {
  std::int64_t line = 0;
  const DiaryWord* word = nullptr;
  Units units = Units::zero();
  std::optional<Zone> zone;
  std::optional<Spot> spot;
  std::string cartridge;
  std::string note;
  std::optional<Id> stated_id;
  /// The instants that it may mean, earlier first; two when the clocks went back (H18).
  std::array<When, 2> times;
  std::size_t times_count = 0;
};
Result<DiaryRow> read_diary_row(const csv::CsvRow& row, const DiaryHeader& header,
                                const DiaryContext& context);

/// A comment above the header that names somebody: "# name: …", "# number: …", "# person: either".
std::optional<Error> wrong_person_in_comment(std::string_view text, const DiaryContext& context);

}  // namespace penstock::diary
