// Facts about supplies and stock: what cannot be is refused, what is odd is asked about.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "core/facts/facts.hpp"

namespace penstock::facts {
namespace {

using namespace penstock::literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::year;

constexpr LocalDay day(int y, unsigned m, unsigned d) {
  return std::chrono::local_days{year{y} / static_cast<int>(m) / static_cast<int>(d)};
}
constexpr Instant noon = std::chrono::sys_days{year{2027} / 3 / 16} + hours{12};
constexpr Id id(std::uint64_t n) { return {9, n}; }

Fact fact(Payload payload) {
  return {id(1), id(2), {noon, 60}, 0, noon, "N. Okafor", "", "bench", std::move(payload)};
}

/// The code and the place of a refusal; "taken" where there is none.
std::string refusal(Payload payload) {
  const auto result = checked(fact(std::move(payload)));
  return result ? "taken" : result.error().code + " " + result.error().at;
}
std::string question(Payload payload) {
  const auto made = fact(std::move(payload));
  EXPECT_TRUE(checked(made));  // what is odd is taken all the same
  const auto found = oddity(made);
  return found ? found->code + " " + found->at : "usual";
}

TEST(SupplyFacts, H25_ACountSaysWhatWasCounted) {
  EXPECT_EQ(refusal(SuppliesCounted{"insulin glargine", {100}, 300_units, 0, {}}), "taken");
  EXPECT_EQ(refusal(SuppliesCounted{"", {}, 0_units, {}, 61}), "taken");
  EXPECT_EQ(refusal(SuppliesCounted{}), "fact.value_range /needles");
  EXPECT_EQ(refusal(SuppliesCounted{"", {}, 300_units, 2, {}}), "fact.text_empty /insulin");
  EXPECT_EQ(refusal(SuppliesCounted{"insulin glargine", {100}, 0_units, 2, {}}),
            "fact.value_range /each_units");
  EXPECT_EQ(refusal(SuppliesCounted{"insulin glargine", {}, 300_units, 2, {}}),
            "fact.value_range /strength_units_per_ml");
}

TEST(SupplyFacts, LessThanTheUsualCertaintyNeedsANameAndAReason) {
  SupplyRulesSet rules;
  EXPECT_EQ(refusal(rules), "taken");
  rules.service_per_thousand = service_plain_least - 1;
  EXPECT_EQ(refusal(rules), "fact.service_reason /service_reason");
  rules.service_reason = "lives beside the pharmacy";
  EXPECT_EQ(refusal(rules), "fact.service_reason /service_by");
  rules.service_by = "N. Okafor";
  EXPECT_EQ(refusal(rules), "taken");
  rules.service_per_thousand = 1000;
  EXPECT_EQ(refusal(rules), "fact.value_range /service_per_thousand");
}

TEST(SupplyFacts, H25_LateIsNotSoonerThanOnTime) {
  SupplyRulesSet rules;
  rules.lead_days = 7;
  rules.late_percent = 10;
  rules.late_days = 6;
  EXPECT_EQ(refusal(rules), "fact.value_range /late_days");
  rules.late_days = 14;
  EXPECT_EQ(refusal(rules), "taken");
  EXPECT_EQ(question(rules), "usual");
  rules.late_days = 60;
  EXPECT_EQ(question(rules), "fact.odd /late_days");
}

TEST(SupplyFacts, H25_AskingNamesWhatIsAskedFor) {
  SuppliesAsked asked;
  EXPECT_EQ(refusal(asked), "fact.value_range /needle_boxes");
  asked.needle_boxes = 1;
  EXPECT_EQ(refusal(asked), "taken");
  asked.boxes = 1;
  EXPECT_EQ(refusal(asked), "fact.text_empty /insulin");
}

TEST(SupplyFacts, H25_ATripEndsAfterItBegins) {
  TripPlanned trip;
  trip.leaves = day(2027, 4, 2);
  trip.returns = day(2027, 4, 1);
  EXPECT_EQ(refusal(trip), "fact.value_range /returns");
  trip.returns = day(2027, 4, 2);
  EXPECT_EQ(refusal(trip), "taken");
  trip.returns = day(2027, 10, 2);
  EXPECT_EQ(question(trip), "fact.odd /returns");
  trip.warmest = TenthsCelsius{900};
  EXPECT_EQ(question(trip), "fact.odd /warmest_celsius");
}

TEST(SupplyFacts, H25_APenTestHasSomethingToCompare) {
  PenTested test{id(8), 10_units, Measured::weighed, {10_units}, ""};
  EXPECT_EQ(refusal(test), "fact.value_range /delivered_units");
  test.delivered.push_back(9.9_units);
  EXPECT_EQ(refusal(test), "taken");
  test.dialled = 0_units;
  EXPECT_EQ(refusal(test), "fact.value_range /dialled_units");
}

TEST(SupplyFacts, H25_StockHasALotAndPieces) {
  StockCame came{"glargine-100-cartridge", 0, "4K117", {}, "", ""};
  EXPECT_EQ(refusal(came), "fact.value_range /pieces");
  came.pieces = 5;
  EXPECT_EQ(refusal(came), "taken");
  came.lot = " ";
  EXPECT_EQ(refusal(came), "fact.text_empty /lot");
  EXPECT_EQ(refusal(StockMoved{"glargine-100-cartridge", "4K117", 0, StockWay::lost, {}, {}, ""}),
            "fact.value_range /pieces");
  EXPECT_EQ(refusal(StockCounted{"glargine-100-cartridge", "4K117", 0}), "taken");
  EXPECT_EQ(refusal(RecallOpened{id(3), "", "", "", ""}), "fact.text_empty /lot");
}

TEST(SupplyFacts, H25_AWeekHasAnOpenDay) {
  ClosedDaysSet closed;
  for (std::uint8_t n = 0; n < 7; ++n) closed.weekdays.push_back(static_cast<Weekday>(n));
  EXPECT_EQ(refusal(closed), "fact.value_range /weekdays");
  closed.weekdays.pop_back();
  EXPECT_EQ(refusal(closed), "taken");
  closed.weekdays.back() = closed.weekdays.front();
  EXPECT_EQ(refusal(closed), "fact.repeated /weekdays/5");
}

TEST(SupplyFacts, KindsOfTheClinicAreKnown) {
  EXPECT_TRUE(is_of_clinic(StockCame::type));
  EXPECT_TRUE(is_of_clinic(ClosedDaysSet::type));
  EXPECT_TRUE(is_of_clinic(ClinicNamed::type));
  EXPECT_FALSE(is_of_clinic(SuppliesCounted::type));
  EXPECT_FALSE(is_of_clinic(Correction::type));
}

}  // namespace
}  // namespace penstock::facts
