// A published table as it is printed (data/reference/*.tsv), for the tests that compare a room with
// the rows that it rests on.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <string_view>

namespace penstock {

/// The cell of that column (0 the id) in the row with that id. A row that is not there fails.
inline std::string cell(std::string_view table, std::string_view id, int column) {
  const auto start = table.find("\n" + std::string(id) + "\t");
  EXPECT_NE(start, std::string_view::npos) << id;
  if (start == std::string_view::npos) return {};
  auto line = table.substr(start + 1);
  line = line.substr(0, line.find('\n'));
  for (; column > 0; --column) line.remove_prefix(line.find('\t') + 1);
  return std::string(line.substr(0, line.find('\t')));
}

}  // namespace penstock
