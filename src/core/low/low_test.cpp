#include "core/low/low.hpp"

#include <gtest/gtest.h>

#include "core/journal/journal.hpp"

namespace penstock::low {
namespace {

using namespace journal;

// The leaflet's three steps, at their edges (British Columbia children's hospital, step 1).
TEST(Low, H63_AChildsSugarGoesByWeightAndAnAdultsIsFifteenGrams) {
  EXPECT_EQ(sugar_grams(7, TenthsKg{149}), 5);
  EXPECT_EQ(sugar_grams(7, TenthsKg{150}), 10);
  EXPECT_EQ(sugar_grams(7, TenthsKg{300}), 10);
  EXPECT_EQ(sugar_grams(17, TenthsKg{301}), 15);
  EXPECT_EQ(sugar_grams(17, std::nullopt), std::nullopt);
  EXPECT_EQ(sugar_grams(18, std::nullopt), 15);
}

Fact fact(std::uint64_t number, Payload what) {
  Fact made;
  made.id = {0, number};
  made.happened.at = Instant{std::chrono::days{20'000} + std::chrono::minutes{number}};
  made.author = "a nurse";
  made.source = "bench";
  made.payload = std::move(what);
  return made;
}

const LocalDay today{std::chrono::days{20'001}};

chart::ChartPtr with(std::vector<Fact> facts) {
  return chart::finish(chart::begin({0, 1}, 4, {}, std::move(facts), {}), {}, {});
}

PersonRegistered child() {
  PersonRegistered person;
  person.full_name = "Tove Lindgren";
  person.born = today - std::chrono::days{7 * 365};
  person.background.weight = TenthsKg{220};
  person.background.weighed_on = today - std::chrono::days{30};
  return person;
}

OrderLineSigned line(std::optional<Glucose> limit) {
  OrderLineSigned line;
  line.insulin = "insulin glargine";
  line.from = today - std::chrono::days{10};
  line.low_limit = limit;
  return line;
}

// nurse A17: 15 g for a child of seven.
TEST(Low, H63_AWeightOfLongAgoIsNoChildsWeight) {
  auto person = child();
  EXPECT_EQ(care_for(*with({fact(1, person)}), today).grams, 10);
  person.background.weighed_on = today - std::chrono::days{400};
  EXPECT_EQ(care_for(*with({fact(1, person)}), today).grams, std::nullopt);
}

// nurse A25: "below 4.0" on one page and "below 3.9" on the next.
TEST(Low, H61_OneLimitAPersonTheHighestOfTheLinesThatHold) {
  EXPECT_EQ(care_for(*with({fact(1, child())}), today).below, consensus_limit);
  const auto both = with({fact(1, child()), fact(2, line(Glucose{GlucoseUnit::mmol_l, 40})),
                          fact(3, line(Glucose{GlucoseUnit::mg_dl, 80})), fact(4, line({}))});
  EXPECT_EQ(care_for(*both, today).below, (Glucose{GlucoseUnit::mg_dl, 80}));
  const auto lower = with({fact(1, child()), fact(2, line(Glucose{GlucoseUnit::mmol_l, 35}))});
  EXPECT_EQ(care_for(*lower, today).below, (Glucose{GlucoseUnit::mmol_l, 35}));
}

}  // namespace
}  // namespace penstock::low
