// Comma-separated text after RFC 4180: quotes, doubled quotes, line breaks inside quotes, CR LF or
// LF, a byte order mark. Rows are handed out one by one; a bad row is named and reading goes on
// with the next line.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/base.hpp"

namespace penstock::csv {

inline constexpr std::int64_t csv_rows_max =
    1'200'000;  // ten years of a reading every five minutes
inline constexpr std::size_t csv_bytes_max = 134'217'728;   // 112 bytes for each of those rows
inline constexpr std::size_t csv_columns_max = 64;          // ours have seven
inline constexpr std::size_t csv_field_bytes_max = 16'384;  // a note has at most 4'000

namespace codes {
inline constexpr std::string_view csv_large = "csv.large";            // most (bytes)
inline constexpr std::string_view csv_rows = "csv.rows";              // most
inline constexpr std::string_view csv_encoding = "csv.encoding";      // not UTF-8
inline constexpr std::string_view csv_quote = "csv.quote";            // a quote in the wrong place
inline constexpr std::string_view csv_quote_open = "csv.quote_open";  // a quote never closed
inline constexpr std::string_view csv_field = "csv.field_long";       // most (bytes)
inline constexpr std::string_view csv_columns = "csv.columns";        // expected, found
inline constexpr std::string_view csv_empty = "csv.empty";            // no row at all
inline constexpr std::string_view csv_separator = "csv.separator";    // found (";" or tab)
inline constexpr std::string_view csv_header = "csv.header";          // text, allowed
inline constexpr std::string_view csv_header_twice = "csv.header_twice";      // text
inline constexpr std::string_view csv_header_missing = "csv.header_missing";  // field
}  // namespace codes

struct CsvRow {
  std::int64_t line = 0;  ///< 1 is the first line of the file; where the row begins
  std::vector<std::string> fields;
  std::optional<Error> problem;  ///< the row cannot be read; `at` is the line
};

/// Calls on_row for each row that is not blank, in order, until it returns false. Lines that begin
/// with `#` before the first row go to on_comment, without the `#`. An error is about the file as a
/// whole.
Result<void> read_csv(
    std::string_view text,
    const std::function<void(std::int64_t line, std::string_view text)>& on_comment,
    const std::function<bool(const CsvRow&)>& on_row);

/// One field, quoted when it has to be.
std::string csv_field_text(std::string_view text);

/// L5: what a spreadsheet would take for a formula, as it takes a text: with an apostrophe before
/// it. A text that begins so already gets another, so that nothing is lost on the way back.
std::string as_no_formula(std::string text);
/// What `as_no_formula` was given.
std::string from_no_formula(std::string text);

}  // namespace penstock::csv
