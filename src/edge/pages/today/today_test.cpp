// Search over everybody, judged by looking for each part of the query in what is written of each.
#include "edge/pages/today/today.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/summary/summary.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

using std::chrono::days;
using words::english;

std::string small(std::string_view text) {
  std::string out(text);
  for (auto& c : out) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  return out;
}
constexpr summary::Keys plain_keys{small, small};

summary::Row row(std::uint64_t id, std::string name, LocalDay born) {
  summary::Row out;
  out.person = Id{0x70DA, id};
  out.full_name = std::move(name);
  out.number = "HS " + std::to_string(4'000 + id);
  out.born = born;
  put_keys(out, plain_keys);
  return out;
}

// Of all ages; some share their names, and one of these the birth date, too.
People clinic() {
  const std::vector<std::string> given{"Mirela", "Mara", "May", "Noor", "Bram", "Amaia", "Juno"};
  const std::vector<std::string> family{"Okonkwo", "March", "Halvorsen", "Augustin", "Osei"};
  std::vector<summary::Row> rows;
  for (std::uint64_t i = 0; i < 900; ++i) {
    const auto name = given[i % given.size()] + " " + family[i % family.size()];
    const auto born = parse_day("1931-01-01").value() + days{static_cast<int>(i % 450) * 71};
    rows.push_back(row(i, name, born));
  }
  return People(std::move(rows));
}

bool is_found(const summary::Row& row, const std::string& query) {
  const auto born = small(english().day_year(row.born));
  std::string part;
  for (const char c : small(query) + " ") {
    if (c != ' ') {
      part += c;
      continue;
    }
    if (row.search_key.find(part) == std::string::npos && born.find(part) == std::string::npos)
      return false;
    part.clear();
  }
  return true;
}

TEST(Matching, FindsWhoeverHasEveryPartInNameNumberOrBirthDate) {
  const auto people = clinic();
  std::size_t some = 0;
  for (const char* query :
       {"",         "osei",        "mar",     "ma",    "a",          "march",    "may",
        "9 may",    "29 february", "hs 04",   "4031",  "hs 4031",    "1945",     "45",
        "6",        "06",          "1945-03", "-03-1", "1945-03-1",  "mar o",    "o mar 19",
        "MIRELA",   "noor may 19", "nobody",  "2 2 2", "december 7", "1 august", "st",
        "hs 4 may", "19,",         ", 4",     "4th",   "ju ly",      "n 8"}) {
    std::vector<std::size_t> expected;
    for (std::size_t i = 0; i < people.size(); ++i) {
      if (is_found(people[i], query)) expected.push_back(i);
    }
    EXPECT_EQ(matching(english(), people, query, small), expected) << query;
    some += expected.empty() ? 0 : 1;
  }
  EXPECT_GT(some, 20U);
}

// What search rests on: nothing stands in digits in a birth date's words that does not stand in the
// search key, and one year's days have the words of all.
TEST(Matching, ABirthDateInWordsHasNoDigitsOfItsOwn) {
  const auto is_digit = [](char c) { return c >= '0' && c <= '9'; };
  for (auto day = parse_day("1899-12-25").value(); day < parse_day("2101-01-10").value();
       day += days{1}) {
    const auto iso = format_iso(day);
    std::string run, letters;
    for (const char c : english().day_year(day) + " ") {
      if (is_digit(c)) {
        run += c;
        continue;
      }
      EXPECT_NE(iso.find(run), std::string::npos) << iso << " " << run;
      run.clear();
      letters += c;
    }
    const std::chrono::year_month_day date{day};
    const std::chrono::year_month_day same{std::chrono::year{2000}, date.month(), date.day()};
    auto expected = english().day_year(LocalDay{std::chrono::local_days{same}}) + " ";
    std::erase_if(expected, is_digit);
    EXPECT_EQ(letters, expected) << iso;
  }
}

TEST(PeoplePage, ShowsEachPageOfTheListInItsOrder) {
  const auto people = clinic();
  std::vector<const summary::Row*> sorted;
  for (const auto& one : people) sorted.push_back(&one);
  std::ranges::stable_sort(sorted, {}, [](const summary::Row* one) {
    return std::pair{one->name_key.folded, one->born};
  });
  const Caller caller{.author = "", .words = english()};
  std::vector<std::string> expected, shown;
  for (const auto* one : sorted) expected.push_back(to_text(one->person));
  for (int page = 1; shown.size() < people.size(); ++page) {
    const auto document = people_page(people, "", page, Clinic{}, caller, small);
    const auto* rows = document.find("people");
    ASSERT_FALSE(rows->members.empty());
    for (const auto& one : rows->members) shown.push_back(one.value.find("id")->text);
  }
  EXPECT_EQ(shown, expected);
}

}  // namespace
}  // namespace penstock::pages
