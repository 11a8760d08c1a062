#include "edge/csv/csv.hpp"

#include <algorithm>

#include "core/units/utf8.hpp"

namespace penstock::csv {
namespace {

Error bad(std::string_view code, std::int64_t line, std::vector<Arg> args = {}) {
  return {Kind::invalid_input, std::string(code), std::move(args), std::to_string(line)};
}

// Walks the text row by row. A quoted field may go over several lines, so rows and lines differ.
class Scanner {
 public:
  explicit Scanner(std::string_view text) : text_(text) {}

  bool at_end() const { return at_ >= text_.size(); }
  std::int64_t line() const { return line_; }

  // The rest of the line, without its end.
  std::string_view take_line() {
    const auto end = std::min(text_.find('\n', at_), text_.size());
    auto line = text_.substr(at_, end - at_);
    at_ = std::min(end + 1, text_.size());
    ++line_;
    if (line.ends_with('\r')) line.remove_suffix(1);
    return line;
  }
  std::string_view peek_line() const {
    auto line = text_.substr(at_, std::min(text_.find('\n', at_), text_.size()) - at_);
    if (line.ends_with('\r')) line.remove_suffix(1);
    return line;
  }

  void take_row(CsvRow& row) {
    row.line = line_;
    row.problem.reset();
    std::size_t count = 0;
    for (bool more = true; more && !row.problem; ++count) {
      if (count == csv_columns_max) {
        row.problem = bad(codes::csv_columns, row.line,
                          {arg_count("expected", static_cast<std::int64_t>(csv_columns_max)),
                           arg_count("found", static_cast<std::int64_t>(count + 1))});
        break;
      }
      if (row.fields.size() <= count) row.fields.emplace_back();
      more = at_ < text_.size() && text_[at_] == '"' ? take_quoted(row, row.fields[count])
                                                     : take_plain(row, row.fields[count]);
    }
    row.fields.resize(count);
    // Goes on with the next line: what follows a mistake is most often right again.
    if (row.problem && !at_end()) take_line();
  }

 private:
  // After a field: true when another one follows on this row.
  bool take_separator(CsvRow& row) {
    if (at_end()) return false;
    if (text_[at_] == ',') {
      ++at_;
      return true;
    }
    const bool carriage_return =
        text_[at_] == '\r' && at_ + 1 < text_.size() && text_[at_ + 1] == '\n';
    if (carriage_return) ++at_;
    if (text_[at_] == '\n') {
      ++at_;
      ++line_;
      return false;
    }
    if (text_[at_] == '\r' && at_ + 1 == text_.size()) {
      ++at_;
      return false;
    }
    row.problem = bad(codes::csv_quote, row.line);
    return false;
  }

  bool take_plain(CsvRow& row, std::string& field) {
    const auto end = std::min(text_.find_first_of(",\n\"", at_), text_.size());
    auto text = text_.substr(at_, end - at_);
    at_ = end;
    if (at_ < text_.size() && text_[at_] == '"') {
      row.problem = bad(codes::csv_quote, row.line);
      return false;
    }
    if (text.ends_with('\r') && (at_end() || text_[at_] == '\n')) text.remove_suffix(1);
    if (!keep(row, field, text)) return false;
    return take_separator(row);
  }

  bool take_quoted(CsvRow& row, std::string& field) {
    field.clear();
    const auto opened = line_;
    const auto after_quote = ++at_;
    while (true) {
      const auto quote = text_.find('"', at_);
      if (quote == std::string_view::npos) {
        // Never closed. What stands on the next lines is most likely rows: they are looked at.
        at_ = after_quote;
        line_ = opened;
        row.problem = bad(codes::csv_quote_open, row.line);
        return false;
      }
      const auto part = text_.substr(at_, quote - at_);
      line_ += std::ranges::count(part, '\n');
      field += part;
      at_ = quote + 1;
      if (at_end() || text_[at_] != '"') break;
      field += '"';
      ++at_;
    }
    if (!keep(row, field, std::string(field))) return false;
    return take_separator(row);
  }

  bool keep(CsvRow& row, std::string& field, std::string_view text) const {
    if (text.size() > csv_field_bytes_max) {
      row.problem = bad(codes::csv_field, row.line,
                        {arg_count("most", static_cast<std::int64_t>(csv_field_bytes_max))});
      return false;
    }
    field = text;
    return true;
  }

  std::string_view text_;
  std::size_t at_ = 0;
  std::int64_t line_ = 1;
};

bool is_blank_line(std::string_view line) {
  return line.find_first_not_of(" \t") == std::string_view::npos;
}

std::int64_t line_of(std::string_view text, std::size_t byte) {
  return 1 + std::ranges::count(text.substr(0, byte), '\n');
}

}  // namespace

Result<void> read_csv(
    std::string_view text,
    const std::function<void(std::int64_t line, std::string_view text)>& on_comment,
    const std::function<bool(const CsvRow&)>& on_row) {
  if (text.size() > csv_bytes_max) {
    return bad(codes::csv_large, 0, {arg_count("most", static_cast<std::int64_t>(csv_bytes_max))});
  }
  if (const auto byte = first_bad_utf8(text)) {
    return bad(codes::csv_encoding, line_of(text, *byte));
  }
  if (text.starts_with(utf8_byte_order_mark)) text.remove_prefix(utf8_byte_order_mark.size());
  Scanner scanner(text);
  CsvRow row;
  std::int64_t rows = 0;
  while (!scanner.at_end()) {
    const auto line = scanner.peek_line();
    if (is_blank_line(line)) {
      scanner.take_line();
      continue;
    }
    if (rows == 0 && line.starts_with('#')) {
      const auto number = scanner.line();
      on_comment(number, scanner.take_line().substr(1));
      continue;
    }
    if (rows > csv_rows_max) {  // the first row is the header
      return bad(codes::csv_rows, scanner.line(), {arg_count("most", csv_rows_max)});
    }
    scanner.take_row(row);
    ++rows;
    if (!on_row(row)) return {};
  }
  if (rows == 0) return bad(codes::csv_empty, 1);
  return {};
}

std::string csv_field_text(std::string_view text) {
  const bool edges =
      !text.empty() && (text.front() == ' ' || text.back() == ' ' || text.front() == '#');
  if (!edges && text.find_first_of(",\"\r\n;\t") == std::string_view::npos) {
    return std::string(text);
  }
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + '"';
}

namespace {

bool begins_a_formula(std::string_view text) {
  const auto first = text.find_first_not_of('\'');
  return first != std::string_view::npos &&
         std::string_view("=+-@\t\r").find(text[first]) != std::string_view::npos;
}

}  // namespace

std::string as_no_formula(std::string text) {
  return begins_a_formula(text) ? "'" + std::move(text) : text;
}

std::string from_no_formula(std::string text) {
  if (text.starts_with('\'') && begins_a_formula(text)) text.erase(0, 1);
  return text;
}

}  // namespace penstock::csv
