#include "core/carton/carton.hpp"

#include <gtest/gtest.h>

namespace penstock::carton {
namespace {

using namespace std::chrono_literals;

constexpr LocalDay today{std::chrono::local_days{2027y / 3 / 16}};
const Insulin glargine{"insulin glargine", {100}};

Question about(std::string lot, LocalDay expires) {
  Question asked;
  asked.carton.gtin = "02012345678903";
  asked.carton.lot = std::move(lot);
  asked.carton.expires = expires;
  asked.today = today;
  asked.product = glargine;
  asked.item = "item";
  return asked;
}

std::vector<Remark> remarks(const std::vector<Finding>& findings) {
  std::vector<Remark> out;
  for (const auto& one : findings) out.push_back(one.remark);
  return out;
}

TEST(Carton, NothingFoundMayBeHandedOut) {
  const auto found = judge(about("AB12", today + std::chrono::days{400}), {});
  EXPECT_TRUE(found.empty());
  EXPECT_EQ(weight_of(found), Weight::note);
}

TEST(Carton, H12_ItServesOnItsLastDayAndNotOnTheNext) {
  EXPECT_EQ(remarks(judge(about("AB12", today), {})), std::vector{Remark::expires_soon});
  const auto found = judge(about("AB12", today - std::chrono::days{1}), {});
  EXPECT_EQ(remarks(found), std::vector{Remark::expired});
  EXPECT_EQ(weight_of(found), Weight::stop);
}

TEST(Carton, H03_H04_AnotherStrengthAndAnotherInsulinAreAskedAbout) {
  auto asked = about("AB12", today + std::chrono::days{400});
  asked.order = {{glargine}};
  EXPECT_TRUE(judge(asked, {}).empty());
  asked.order = {{{"insulin glargine", {300}}}};
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::other_strength});
  asked.order = {{{"insulin aspart", {100}}}};
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::other_insulin});
  EXPECT_EQ(weight_of(judge(asked, {})), Weight::ask);
}

stock::Stock with_lot(std::string_view lot, bool recalled) {
  stock::Stock out;
  stock::Lot one;
  one.item = "item";
  one.lot = lot;
  one.key = lot_key(lot);
  one.recalled = recalled;
  out.lots.push_back(one);
  if (recalled) {
    stock::Recall recall;
    recall.said.lot = lot;
    recall.key = one.key;
    out.recalls.push_back(recall);
  }
  return out;
}

// Pharmacist D6: without separators AB12, serial SN0001 is typed as lot AB1221SN0001.
TEST(Carton, ALotThatMayBeTwoElementsIsAskedAboutAndARecalledOneInItStops) {
  auto asked = about("AB1221SN0001", today + std::chrono::days{400});
  asked.carton.may_be = {{"AB12", "SN0001", asked.carton.expires, true},
                         {"AB1", "221SN0001", asked.carton.expires, false}};
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::lot_unclear});
  EXPECT_EQ(judge(asked, {})[0].args[1], arg_text("lot", "AB12"));
  const auto stop = judge(asked, with_lot("ab-12", true));
  EXPECT_EQ(remarks(stop), (std::vector{Remark::recalled, Remark::lot_unclear}));
  EXPECT_EQ(weight_of(stop), Weight::stop);
  // A lot that is known is the better guess, however unlikely the rest.
  EXPECT_EQ(lots_it_may_be(asked, with_lot("AB1", false)),
            (std::vector<std::string>{"AB1", "AB12"}));
  // And where the whole of it stands on the shelf, it was read rightly.
  EXPECT_TRUE(judge(asked, with_lot("AB1221SN0001", false)).empty());
}

// Pharmacist D14.
TEST(Carton, H25_DaysThatCannotBeAndAMissingProductNumberAreAskedAbout) {
  auto asked = about("AB12", LocalDay{std::chrono::local_days{2077y / 5 / 31}});
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::expiry_far});
  asked.carton.expires = LocalDay{std::chrono::local_days{2033y / 3 / 31}};
  EXPECT_TRUE(judge(asked, {}).empty());
  asked.carton.expires = *asked.carton.expires + std::chrono::days{1};
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::expiry_far});
  asked = about("AB12", today + std::chrono::days{400});
  asked.carton.made = today + std::chrono::days{1};
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::made_ahead});
  asked.carton.made = today + std::chrono::days{401};
  EXPECT_EQ(remarks(judge(asked, {})), (std::vector{Remark::made_after, Remark::made_ahead}));
  asked.carton.made = today;
  asked.carton.gtin.clear();
  EXPECT_EQ(remarks(judge(asked, {})), std::vector{Remark::no_product});
  EXPECT_EQ(weight_of(judge(asked, {})), Weight::ask);
}

TEST(Carton, EverythingAgainstItIsSaidGravestFirst) {
  auto asked = about("AB12", today - std::chrono::days{1});
  asked.product.reset();
  stock::Stock stock;
  stock::Recall recall;
  recall.said.lot = "ab-12";
  recall.key = lot_key(recall.said.lot);
  stock.recalls.push_back(recall);
  const std::vector expected{Remark::expired, Remark::recalled, Remark::product_unknown};
  EXPECT_EQ(remarks(judge(asked, stock)), expected);
}

}  // namespace
}  // namespace penstock::carton
