// What this room's tests share: the published tables as rows, and requests.
#pragma once

#include <gtest/gtest.h>

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "core/reach/reach.hpp"
#include "embedded/reach_tables.hpp"

namespace penstock::reach::for_tests {

using Row = std::map<std::string, std::string, std::less<>>;

/// The rows of a table by their id; the first line that is no comment names the columns.
inline std::map<std::string, Row, std::less<>> rows_of(std::string_view path) {
  std::map<std::string, Row, std::less<>> out;
  std::string_view text;
  for (const auto& file : embedded::reach_tables()) {
    if (file.path == path) text = file.data;
  }
  EXPECT_FALSE(text.empty()) << path;
  std::vector<std::string> head;
  while (!text.empty()) {
    auto line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(text.size(), line.size() + 1));
    if (line.starts_with('#')) continue;
    std::vector<std::string> cells;
    for (std::size_t end = 0; end != std::string_view::npos;) {
      end = line.find('\t');
      cells.emplace_back(line.substr(0, end));
      if (end != std::string_view::npos) line.remove_prefix(end + 1);
    }
    if (head.empty()) {
      head = cells;
      continue;
    }
    EXPECT_EQ(cells.size(), head.size()) << cells[0];
    Row row;
    for (std::size_t i = 0; i < head.size() && i < cells.size(); ++i) row[head[i]] = cells[i];
    EXPECT_TRUE(out.emplace(cells[0], row).second) << cells[0] << " stands twice in " << path;
  }
  return out;
}

inline constexpr std::string_view depths = "data/reference/skin_and_depth.tsv";
inline constexpr std::string_view risks = "tests/published/reach_risks.tsv";

/// The number at the start of a cell, at most four decimals.
inline double number(std::string_view cell) {
  const auto digits = cell.substr(0, cell.find_first_not_of("0123456789."));
  const auto value = parse_fixed(digits, 4);
  EXPECT_TRUE(value) << cell;
  return value ? static_cast<double>(*value) / 10'000 : -1;
}

inline ReachRequest ask(BodyPart zone, std::int32_t needle_tenths, std::int32_t angle = 90,
                        bool fold = false) {
  ReachRequest request;
  request.zone = zone;
  request.needle = {needle_tenths};
  request.angle_deg = angle;
  request.fold = fold;
  return request;
}
inline ReachRequest child(std::int32_t age, BodyPart zone, std::int32_t needle_tenths,
                          bool fold = false) {
  auto request = ask(zone, needle_tenths, 90, fold);
  request.people = People::children;
  request.age_years = age;
  return request;
}
inline ReachRequest of(People people, BodyPart zone, std::int32_t needle_tenths) {
  auto request = ask(zone, needle_tenths);
  request.people = people;
  return request;
}

inline Reach found(const ReachRequest& request) {
  const auto answer = reach::reach(request);
  EXPECT_TRUE(answer) << answer.error().code;
  return answer ? *answer : Reach{};
}
inline Error refusal(const ReachRequest& request) {
  const auto answer = reach::reach(request);
  EXPECT_FALSE(answer);
  return answer ? Error{} : answer.error();
}

}  // namespace penstock::reach::for_tests
