#include <gtest/gtest.h>

#include "edge/drawing/supplies/supplies.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

Units units(std::int64_t hundredths) { return *Units::from_hundredths(hundredths); }

Deliveries sample() {
  Deliveries test;
  test.delivered = {units(980), units(1002), units(991), units(991)};
  test.dose = units(1000);
  test.limit_low = 900;
  test.limit_high = 1100;
  test.low = 940;
  test.high = 1040;
  test.mean = 991;
  test.limits_label = "limits";
  test.interval_label = "9.4 to 10.4";
  return test;
}

TEST(Sharps, H34_TheLineIsAtThreeQuartersHoweverFullItIs) {
  std::string at;
  for (const int needles : {0, 75, 100, 400}) {
    const auto checked = check_xml(sharps({needles, 100, "a box"}));
    EXPECT_EQ(checked.error, "");
    const auto* line = checked.mark("line");
    ASSERT_NE(line, nullptr);
    if (at.empty()) at = line->attribute("d");
    EXPECT_EQ(line->attribute("d"), at);
  }
  EXPECT_EQ(check_xml(sharps({0, 100, ""})).mark("needles"), nullptr);
  // Three quarters of eighty pixels: 60 of the box are below the line at 46.
  EXPECT_NE(at.find("46H"), std::string::npos) << at;
}

TEST(Tolerance, DrawsEveryDeliveryAndBothLimits) {
  const auto checked = check_xml(tolerance(sample()));
  EXPECT_EQ(checked.error, "");
  EXPECT_TRUE(checked.ids.empty());
  int limits = 0;
  for (const auto& element : checked.elements) limits += element.attribute("data-mark") == "limit";
  EXPECT_EQ(limits, 2);
  EXPECT_NE(checked.mark("interval"), nullptr);
  EXPECT_TRUE(tolerance({}).empty());
}

TEST(Drift, NeedsThreeDeliveries) {
  auto test = sample();
  EXPECT_EQ(check_xml(drift(test)).error, "");
  test.delivered.erase(test.delivered.begin() + 2, test.delivered.end());
  EXPECT_TRUE(drift(test).empty());
}

TEST(AccountBars, StandOnOneScaleAndTheirDifferenceIsBracketed) {
  const std::vector<AccountBar> bars{
      {"Left the cartridges", units(50'000), Units::zero(), Units::zero(), "500 units"},
      {"Claimed", units(25'000), units(5'000), Units::zero(), "300 units"}};
  const auto picture = accounts(bars, "200 units", "three accounts");
  const auto checked = check_xml(picture);
  EXPECT_EQ(checked.error, "");
  // Half as much is half as wide: 506 and 253.
  EXPECT_NE(picture.find("width=\"506\""), std::string::npos) << picture;
  EXPECT_NE(picture.find("width=\"253\""), std::string::npos) << picture;
  EXPECT_NE(checked.mark("difference"), nullptr);
  EXPECT_TRUE(accounts({}, "", "").empty());
}

}  // namespace
}  // namespace penstock::drawing
