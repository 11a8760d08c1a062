#include "core/by_age/by_age.hpp"

#include <gtest/gtest.h>

#include <string>

#include "embedded/by_age_tables.hpp"
#include "support/printed_table.hpp"

namespace penstock::by_age {
namespace {

using namespace facts;

const LocalDay today{std::chrono::days{20'000}};

Known child(int years = 7, std::optional<TenthsKg> weight = TenthsKg{248}) {
  Known known;
  known.born = LocalDay{today - std::chrono::days{years * 366}};
  known.background.weight = weight;
  known.background.weighed_on = LocalDay{today - std::chrono::days{30}};
  return known;
}

Fact fact(Payload what) {
  Fact made;
  made.id = {0, 7};
  made.happened.at = Instant{today.time_since_epoch() + std::chrono::hours{12}};
  made.recorded = made.happened.at;
  made.payload = std::move(what);
  return made;
}
Injected injected(std::int64_t hundredths) {
  Injected dose;
  dose.units = *Units::from_hundredths(hundredths);
  return dose;
}
std::string code(const Payload& what, const Known& known) {
  const auto odd = oddity(fact(what), known);
  return odd ? odd->code : "usual";
}

std::string cell(std::string_view id, int column) {
  return penstock::cell(embedded::by_age_tables().front().data, id, column);
}

TEST(ByAge, H25_WhatIsUsualForAChildRestsOnItsRow) {
  EXPECT_EQ(cell("T248", 3).substr(0, 7), "0.3-1.0");
  EXPECT_EQ(cell("T248", 4), "units/kg/day");
  EXPECT_EQ(cell("T248", 5), "basal ~50% (40-60)");
  EXPECT_EQ(cell("T248", 8), "read");
  EXPECT_EQ(cell("A150", 3), "38");
  EXPECT_EQ(cell("A140", 3), "12");
  EXPECT_EQ(cell("A166", 3), "5.6");
  EXPECT_EQ(cell("Q008", 3), "45");
  // 60 % of one unit a kilogram.
  EXPECT_EQ(usual_dose_most({1'000}), *Units::from_hundredths(6'000));
}

// nurse A17: 28 units for 24.8 kg went in without a question.
TEST(ByAge, H25_H63_AChildsDoseIsAskedAboutByWeight) {
  EXPECT_EQ(usual_dose_most({248}), *Units::from_hundredths(1'488));
  EXPECT_EQ(code(injected(1'488), child()), "usual");
  EXPECT_EQ(code(injected(1'489), child()), codes::ask_dose);
  EXPECT_EQ(code(injected(2'800), child()), codes::ask_dose);
  EXPECT_EQ(code(injected(100), child(7, std::nullopt)), codes::ask_weight);
  auto weighed_long_ago = child();
  weighed_long_ago.background.weighed_on = LocalDay{today - std::chrono::days{366}};
  EXPECT_EQ(code(injected(100), weighed_long_ago), codes::ask_weight);
  // From 18 years on nothing is asked here, nor where nobody is registered.
  EXPECT_EQ(code(injected(2'800), child(18)), "usual");
  EXPECT_EQ(code(injected(2'800), child(17, TenthsKg{248})), codes::ask_dose);
  EXPECT_EQ(code(injected(2'800), {}), "usual");
}

TEST(ByAge, H25_WhatWasOrderedWasAskedAboutWhenItWasCopied) {
  OrderLineSigned line;
  line.slots.resize(2);
  line.slots[0].units = *Units::from_hundredths(650);
  EXPECT_EQ(code(line, child()), "usual");
  line.slots[1].units = *Units::from_hundredths(6'500);
  const auto odd = oddity(fact(line), child());
  ASSERT_TRUE(odd);
  EXPECT_EQ(odd->code, codes::ask_dose);
  EXPECT_EQ(odd->at, "/slots/1/units");
  auto ordered = child();
  ordered.ordered = *Units::from_hundredths(2'800);
  EXPECT_EQ(code(injected(2'800), ordered), "usual");
  EXPECT_EQ(code(injected(2'850), ordered), codes::ask_dose);
}

TEST(ByAge, H25_OfAPartTheWholeAndOfACorrectionWhatItSaysInstead) {
  auto part = injected(500);
  part.meant = *Units::from_hundredths(2'800);
  EXPECT_EQ(code(part, child()), codes::ask_dose);
  Correction correction;
  correction.target = {0, 5};
  EXPECT_EQ(code(correction, child()), "usual");
  Replacement instead;
  instead.happened = fact(injected(1)).happened;
  instead.payload = injected(6'500);
  correction.replacement = std::make_shared<const Replacement>(instead);
  EXPECT_EQ(code(correction, child()), codes::ask_dose);
}

// nurse A17: needles of 5 and 8 mm were offered, and "straight, all the way".
TEST(ByAge, H16_H46_H63_AChildsNeedleIsShortAndGoesIntoAFold) {
  PlaceRulesSet rules;
  rules.fold = YesNo::no;
  rules.can_fold = YesNo::yes;
  const auto way = [&](int years, std::int32_t tenths) {
    return way_of(&rules, TenthsMm{tenths}, child(years), today);
  };
  EXPECT_TRUE(way(7, 40).fold);
  EXPECT_EQ(way(7, 40).angle_deg, 90);
  EXPECT_EQ(way(7, 50).angle_deg, slant_deg);
  EXPECT_EQ(way(6, 40).angle_deg, slant_deg);
  EXPECT_TRUE(may_offer(way(7, 40), TenthsMm{60}, false));
  EXPECT_FALSE(may_offer(way(7, 40), TenthsMm{80}, false));
  // An adult's is as the rules say.
  EXPECT_FALSE(way(18, 80).fold);
  EXPECT_EQ(way(18, 80).angle_deg, 90);
  EXPECT_TRUE(may_offer(way(18, 80), TenthsMm{80}, false));
  // Where nobody can lift a fold.
  rules.can_fold = YesNo::no;
  EXPECT_FALSE(way(7, 40).fold);
  EXPECT_EQ(way(7, 40).angle_deg, slant_deg);
  // Without rules, and by somebody else.
  auto other = child();
  other.background.injector = Injector::school_nurse;
  const auto found = way_of(nullptr, std::nullopt, other, today);
  EXPECT_TRUE(found.fold && found.safety_only);
  EXPECT_FALSE(may_offer(found, TenthsMm{50}, false));
  EXPECT_TRUE(may_offer(found, TenthsMm{50}, true));
  EXPECT_FALSE(may_offer(found, TenthsMm{80}, true));
}

TEST(ByAge, H63_ALongNeedleForAChildIsAskedAbout) {
  NeedleOn on;
  on.length = {60};
  EXPECT_EQ(code(on, child()), "usual");
  on.length = {80};
  EXPECT_EQ(code(on, child()), codes::ask_needle);
  EXPECT_EQ(code(on, child(18)), "usual");
  PlaceRulesSet rules;
  rules.needle = TenthsMm{80};
  EXPECT_EQ(code(rules, child()), codes::ask_needle);
}

}  // namespace
}  // namespace penstock::by_age
