#include <gtest/gtest.h>

#include "core/facts/facts.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/journal/journal.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

facts::Fact fact(std::uint64_t number, facts::Payload what) {
  facts::Fact made;
  made.id = {0, number};
  made.happened.at = Instant{std::chrono::days{20'000} + std::chrono::minutes{number}};
  made.author = "a nurse";
  made.source = "bench";
  made.payload = std::move(what);
  return made;
}

TEST(Leaflets, TheNewestComesFirstAsItStandsNow) {
  const facts::LeafletGiven first{"Where used needles go", parse_day("2027-01-04").value(), "read"};
  auto put_right = first;
  put_right.leaflet = "Travelling with pens";
  const facts::Correction correction{.target = {0, 1},
                                     .reason = "the other one",
                                     .replacement = std::make_shared<facts::Replacement>(
                                         facts::Replacement{fact(1, {}).happened, 0, put_right})};
  const auto person =
      chart::finish(chart::begin({0, 0xa1}, 4, {},
                                 {fact(1, first), fact(2, facts::Note{"no leaflet"}),
                                  fact(3, facts::LeafletGiven{"How a pen is primed", {}, ""}),
                                  fact(4, correction)},
                                 {}),
                    {});
  const auto rows = journal_rows();
  const auto row = std::ranges::find(rows, "/api/people/{id}/leaflets", &Row::pattern);
  ASSERT_NE(row, rows.end());
  const Clinic clinic;
  const Caller caller{.author = "", .words = words::english()};
  const Given given;
  const auto page =
      row->document({.clinic = clinic, .caller = caller, .given = given, .person = person.get()});
  ASSERT_TRUE(page);
  const auto text = row->text(*page, caller.words);
  const auto primed = text.find("How a pen is primed");
  const auto travelling = text.find("Travelling with pens   4 January 2027   read");
  EXPECT_NE(travelling, std::string::npos) << text;
  EXPECT_LT(primed, travelling) << text;
  EXPECT_EQ(text.find("Where used needles go"), std::string::npos) << text;
  EXPECT_EQ(text.find("no leaflet"), std::string::npos) << text;
}

}  // namespace
}  // namespace penstock::pages
