#include "edge/summary/summary.hpp"

#include <gtest/gtest.h>

namespace penstock::summary {
namespace {

TEST(SummarySupply, ComesBackAsItWent) {
  Supply made;
  supply::House house;
  house.kind = {"insulin glargine", {300}};
  house.counted_from = parse_day("2027-03-16").value();
  house.line.doses = {*Units::from_hundredths(2250)};
  house.line.most = *Units::from_hundredths(8000);
  house.line.cartridge = *Units::from_hundredths(45000);
  house.line.open.push_back(
      {*Units::from_hundredths(100), 3, false, parse_day("2027-05-01").value()});
  house.line.sealed.push_back({4, std::nullopt});
  house.last_day = parse_day("2027-04-20").value();
  house.line.changes = {{parse_day("2027-03-20").value(), {*Units::from_hundredths(2400)}},
                        {parse_day("2027-04-21").value(), {}}};
  made.needed.houses.push_back(house);
  made.needed.needles =
      supply::Needles{parse_day("2027-03-16").value(), true, true, 61, TenthsMm{40}, 9};
  made.rules.lead_days = 5;
  const auto text = pack_supply(made);
  const auto read = unpack_supply(text);
  ASSERT_TRUE(read);
  EXPECT_EQ(pack_supply(*read), text);
  EXPECT_EQ(read->needed.houses.front().line.open.front().left, *Units::from_hundredths(100));
  EXPECT_EQ(read->needed.houses.front().last_day, house.last_day);
  const auto& changes = read->needed.houses.front().line.changes;
  ASSERT_EQ(changes.size(), 2U);
  EXPECT_EQ(changes.front().doses, house.line.changes.front().doses);
  EXPECT_TRUE(changes.back().doses.empty());
  EXPECT_EQ(read->needed.needles->length, TenthsMm{40});
  for (std::size_t cut = 0; cut < text.size(); ++cut)
    EXPECT_FALSE(unpack_supply(std::string_view(text).substr(0, cut))) << cut;
}

}  // namespace
}  // namespace penstock::summary
