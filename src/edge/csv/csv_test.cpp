#include "edge/csv/csv.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace penstock::csv {
namespace {

struct Seen {
  std::vector<std::vector<std::string>> rows;
  std::vector<std::int64_t> lines;
  std::vector<std::string> comments;
  std::vector<std::pair<std::string, std::string>> problems;  // code, line
  Result<void> result;
};

Seen read(std::string_view text) {
  Seen seen;
  seen.result = read_csv(
      text, [&](std::int64_t, std::string_view comment) { seen.comments.emplace_back(comment); },
      [&](const CsvRow& row) {
        if (row.problem) {
          seen.problems.emplace_back(row.problem->code, row.problem->at);
        } else {
          seen.rows.push_back(row.fields);
          seen.lines.push_back(row.line);
        }
        return true;
      });
  return seen;
}

using Rows = std::vector<std::vector<std::string>>;

TEST(Csv, ReadsWhatRfc4180Says) {
  EXPECT_EQ(read("a,b\r\nc,d\r\n").rows, (Rows{{"a", "b"}, {"c", "d"}}));
  EXPECT_EQ(read("a,b\nc,d").rows, (Rows{{"a", "b"}, {"c", "d"}}));
  EXPECT_EQ(read("a,b\r").rows, (Rows{{"a", "b"}}));
  EXPECT_EQ(read("\"a\",\"b\"\"c\",\"d,e\",\"\"\n").rows, (Rows{{"a", "b\"c", "d,e", ""}}));
  EXPECT_EQ(read(",,\n,").rows, (Rows{{"", "", ""}, {"", ""}}));
  EXPECT_EQ(read("\xEF\xBB\xBF"
                 "a\n")
                .rows,
            (Rows{{"a"}}));
  EXPECT_EQ(read("\"a\"\r\n\"b\"").rows, (Rows{{"a"}, {"b"}}));
}

TEST(Csv, AFieldOverSeveralLinesKeepsTheLineNumbers) {
  const auto seen = read("h\n\"one\ntwo\r\nthree\"\nlast\n");
  EXPECT_EQ(seen.rows, (Rows{{"h"}, {"one\ntwo\r\nthree"}, {"last"}}));
  EXPECT_EQ(seen.lines, (std::vector<std::int64_t>{1, 2, 5}));
}

TEST(Csv, BlankLinesAndCommentsAboveTheHeaderAreNoRows) {
  const auto seen = read("# person: HS-0117\n\n  \nh\n\n# row\n");
  EXPECT_EQ(seen.comments, (std::vector<std::string>{" person: HS-0117"}));
  EXPECT_EQ(seen.rows, (Rows{{"h"}, {"# row"}}));
  EXPECT_EQ(seen.lines, (std::vector<std::int64_t>{4, 6}));
}

TEST(Csv, H22_EachBadRowIsNamedAndReadingGoesOn) {
  const auto seen = read("h,i\na\"b,c\n\"d\"e,f\ng,\"h\nlast,1\n");
  EXPECT_EQ(seen.problems, (std::vector<std::pair<std::string, std::string>>{
                               {std::string(codes::csv_quote), "2"},
                               {std::string(codes::csv_quote), "3"},
                               {std::string(codes::csv_quote_open), "4"}}));
  EXPECT_EQ(seen.rows, (Rows{{"h", "i"}, {"last", "1"}}));
}

TEST(Csv, H22_WhatIsNoTextIsRefusedAsAWhole) {
  EXPECT_EQ(read("").result.error().code, codes::csv_empty);
  EXPECT_EQ(read("\n \n").result.error().code, codes::csv_empty);
  const auto seen = read("a\nb\xFF\n");
  EXPECT_EQ(seen.result.error().code, codes::csv_encoding);
  EXPECT_EQ(seen.result.error().at, "2");
  EXPECT_TRUE(seen.rows.empty());
  EXPECT_EQ(read("\xFF\xFEt\0i\0").result.error().code, codes::csv_encoding);
}

// csv_rows_max: ten years of a reading every five minutes.
TEST(Csv, OnePointTwoMillionRowsAreReadAndNotOneMore) {
  std::string text = "h\n";
  for (std::int64_t i = 0; i < csv_rows_max; ++i) text += "7\n";
  std::int64_t rows = 0;
  const auto count = [&rows](const CsvRow&) {
    ++rows;
    return true;
  };
  const auto ignore = [](std::int64_t, std::string_view) {};
  EXPECT_TRUE(read_csv(text, ignore, count).has_value());
  EXPECT_EQ(rows, csv_rows_max + 1);
  text += "7\n";
  const auto refused = read_csv(text, ignore, count);
  ASSERT_FALSE(refused.has_value());
  EXPECT_EQ(refused.error().code, codes::csv_rows);
  EXPECT_EQ(refused.error().at, "1200002");
}

TEST(Csv, LimitsOfRowsAndFieldsAreNamed) {
  EXPECT_EQ(read(std::string(csv_columns_max, ',')).problems.size(), 1U);
  EXPECT_EQ(read(std::string(csv_columns_max - 1, ',')).rows[0].size(), csv_columns_max);
  const auto seen = read(std::string(csv_field_bytes_max + 1, 'x') + "\nb\n");
  EXPECT_EQ(seen.problems[0].first, codes::csv_field);
  EXPECT_EQ(seen.rows, (Rows{{"b"}}));
}

RC_GTEST_PROP(Csv, WhatIsWrittenIsReadBack, ()) {
  const auto texts = *rc::gen::container<std::vector<std::string>>(
      rc::gen::container<std::string>(rc::gen::elementOf(std::string("a,\"\r\n; #\t"))));
  RC_PRE(!texts.empty() && texts.size() < csv_columns_max);
  std::string text = "first,";
  for (const auto& one : texts) text += csv_field_text(one) + ",";
  const auto seen = read(text);
  auto expected = texts;
  expected.insert(expected.begin(), "first");
  expected.emplace_back();
  if (expected.size() <= csv_columns_max) RC_ASSERT(seen.rows == Rows{expected});
}

TEST(Csv, L5_AFormulaLeavesAsATextAndComesBackAsItWas) {
  for (const auto* text : {"=HYPERLINK(\"x\")", "+1", "-2 units", "@x", "'=1", "''=1"}) {
    EXPECT_EQ(as_no_formula(text), "'" + std::string(text));
    EXPECT_EQ(from_no_formula(as_no_formula(text)), text);
  }
  for (const auto* text : {"", "felt well", "'tis", "1-2", "'"}) {
    EXPECT_EQ(as_no_formula(text), text);
    EXPECT_EQ(from_no_formula(text), text);
  }
}

}  // namespace
}  // namespace penstock::csv
