#include "core/carton/carton.hpp"

#include <gtest/gtest.h>

namespace penstock::carton {
namespace {

using namespace std::chrono_literals;

constexpr LocalDay today{std::chrono::local_days{2027y / 3 / 16}};
const Insulin glargine{"insulin glargine", {100}};

Question about(std::string lot, LocalDay expires) {
  Question asked;
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

TEST(Carton, EverythingAgainstItIsSaidGravestFirst) {
  auto asked = about("AB12", today - std::chrono::days{1});
  asked.product.reset();
  stock::Stock stock;
  stock::Recall recall;
  recall.said.lot = "ab-12";
  recall.key = stock::lot_key(recall.said.lot);
  stock.recalls.push_back(recall);
  const std::vector expected{Remark::expired, Remark::recalled, Remark::product_unknown};
  EXPECT_EQ(remarks(judge(asked, stock)), expected);
}

}  // namespace
}  // namespace penstock::carton
