// A pen that was lost, broke or was handed back.
#include <gtest/gtest.h>

#include <string>

#include "shell/desk/desk.hpp"
#include "support/said.hpp"
#include "support/test_clinic.hpp"

namespace penstock::desk {
namespace {

/// Somebody whose one pen can end.
struct Ended : Clinic {
  std::string pen;
  Ended() : pen(at(page(), "/pens/0/id").text) {}

  Result<json::Value> end(const std::string& why, const std::string& more = "") {
    return record(person, R"({"what":"pen ended","pen":")" + pen + R"(","why":")" + why + R"("})",
                  more);
  }
  std::string today() { return all_text(must(Bench::page("/api/today"))); }
};

TEST(DeskPenEnded, H38_NoDoseIsPlannedWithAPenThatIsLostAndTodaySaysSo) {
  for (const auto* why : {"lost", "broken", "handed back", "other"}) {
    Ended clinic;
    ASSERT_TRUE(tests::tells_number(clinic.plan())) << why;
    Bench::must(clinic.end(why));
    EXPECT_FALSE(tests::tells_number(clinic.all())) << why;
    EXPECT_EQ(clinic.refusal(), "next.no_pen") << why;
    EXPECT_TRUE(Bench::at(clinic.page(), "/pens").members.empty()) << why;
    EXPECT_TRUE(has(clinic.today(), "Mirela Okonkwo")) << why << clinic.today();
    EXPECT_TRUE(has(Bench::all_text(Bench::must(clinic.Bench::page(clinic.person, "/journal"))),
                    "Pen not there any more"))
        << why;
  }
}

TEST(DeskPenEnded, WhatWasInItIsNoLongerAtHomeAndNothingGoesIntoIt) {
  Ended clinic;
  const auto before = Bench::must(clinic.Bench::page(clinic.person, "/supplies"));
  Bench::must(clinic.end("broken"));
  const auto after = Bench::must(clinic.Bench::page(clinic.person, "/supplies"));
  EXPECT_NE(Bench::all_text(before), Bench::all_text(after));
  EXPECT_EQ(code(clinic.end("lost")), "desk.pen_ended") << "it ends once";
}

TEST(DeskPenEnded, H38_WhereNothingElseIsAtHomeTodaySaysThatNoInsulinIsLeft) {
  Ended clinic;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"supplies counted","insulin":"insulin glargine","strength_units_per_ml":100,"each_units":300,"cartridges":0})",
      R"("confirmed":true,)"));
  const auto none = tests::piece("sentences/watch.none_loaded");
  EXPECT_FALSE(has(clinic.today(), none)) << clinic.today();
  Bench::must(clinic.end("lost", R"("confirmed":true,)"));
  EXPECT_TRUE(has(clinic.today(), none)) << clinic.today();
}

TEST(DeskPenEnded, AnEndingThatWasAMistakeIsTakenBack) {
  Ended clinic;
  const auto made = Bench::must(clinic.end("lost"));
  const auto fact = Bench::at(made, "/recorded/0").text;
  Bench::must(clinic.record(
      clinic.person,
      R"({"what":"correction","target":")" + fact + R"(","reason":"It was in the other bag."})",
      R"("confirmed":true,)"));
  EXPECT_TRUE(tests::tells_number(clinic.plan())) << clinic.plan();
}

}  // namespace
}  // namespace penstock::desk
