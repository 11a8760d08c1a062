// A dose on hold: the row that says so and leads to where it is settled.
#include <gtest/gtest.h>

#include "edge/pages/next/next.hpp"
#include "edge/pages/person/internal/for_tests.hpp"
#include "support/said.hpp"

namespace penstock::pages {
namespace {

using namespace for_tests;

const std::string person = "/people/" + to_text(id(1));

/// Of each row of what is open: where its button leads.
std::vector<std::string> ways(const json::Value& page) {
  std::vector<std::string> out;
  for (const auto& row : in(page, "notices").members)
    out.push_back(in(in(row.value, "action"), "href").text);
  return out;
}
std::string code(const json::Value& page) {
  return in(in(in(page, "next"), "refusal"), "code").text;
}
/// How many rows say that the next dose is on hold.
int holds(const json::Value& page) {
  int out = 0;
  for (const auto& row : in(page, "notices").members)
    out += has(plain(in(row.value, "text")), tests::piece("sentences/visit.hold")) ? 1 : 0;
  return out;
}

TEST(HoldRow, TheFirstRowLeadsToWhereADoseOnHoldIsSettled_H38_H58) {
  auto [low, line] = whole();
  EXPECT_EQ(holds(low.page(at(1, 20))), 0) << "its number stands";
  journal::GlucoseNoted value;
  value.value = Glucose{GlucoseUnit::mmol_l, 31};
  low.tell(at(1, 20), value);
  const auto page = low.page(at(1, 20, 5));
  EXPECT_EQ(code(page), interlock::codes::low_on_record);
  EXPECT_EQ(holds(page), 1);
  EXPECT_EQ(ways(page).front(), person + "/record/glucose");
  const auto& first = in(page, "notices").members.front().value;
  EXPECT_EQ(in(first, "level").text, "stop");
  const auto heading = plain(in(page, "open_text"));
  EXPECT_FALSE(has(heading, tests::piece("sentences/visit.next_held"))) << heading;

  auto told = whole().first;
  journal::ContactMade call;
  call.drowsy = journal::YesNo::yes;
  call.outcome = journal::ContactOutcome::reached;
  told.tell(at(1, 20), call);
  EXPECT_EQ(code(told.page(at(1, 20, 5))), interlock::codes::drowsy);
  EXPECT_EQ(ways(told.page(at(1, 20, 5))).front(), person + "/record/call?meeting=call");

  Story bare;
  const auto ordered = bare.order();
  EXPECT_EQ(code(bare.page(at(1, 20))), interlock::codes::no_pen);
  EXPECT_EQ(ways(bare.page(at(1, 20))).front(), person + "/pens/new?line=" + to_text(ordered));
}

TEST(HoldRow, WhatIsAnsweredOnTheCardLeadsToTheCard_H07) {
  auto [story, line] = whole();
  journal::StepJudged judged;
  judged.line = line;
  for (const auto step : {journal::HandStep::hold, journal::HandStep::off}) {
    judged.of = step;
    story.tell(at(1, 21, 50), judged);
  }
  const auto page = story.page(at(1, 21, 55));
  EXPECT_EQ(code(page), interlock::codes::watched);
  EXPECT_EQ(ways(page).front(), person + "#nx");
  EXPECT_EQ(in(in(page, "notices").members.front().value, "level").text, "caution");
}

// One matter, one row: what says already why there is no number comes first, and stays alone.
TEST(HoldRow, WhatSaysAlreadyWhyItIsOnHoldIsNotSaidTwice_H58) {
  Story unchecked;
  const auto line = unchecked.order(Story::bedtime(), false);
  unchecked.pen();
  unchecked.load();
  const auto page = unchecked.page(at(1, 20));
  EXPECT_EQ(code(page), order::codes::unchecked);
  EXPECT_EQ(holds(page), 0);
  EXPECT_EQ(ways(page).front(), person + "/order/check?line=" + to_text(line));
  EXPECT_TRUE(has(plain(in(page, "open_text")), tests::piece("sentences/visit.next_held")));

  auto [asked, of] = whole();
  asked.tell(at(1, 12), journal::QuestionOpened{of, journal::QuestionReason::other, "why", {}});
  const auto card = asked.page(at(1, 20));
  EXPECT_EQ(in(card, "asks").members.size(), 1U);
  EXPECT_EQ(holds(card), 0) << "a question has its card";
}

}  // namespace
}  // namespace penstock::pages
