#include "core/stock/stock.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>
#include <string>
#include <vector>

namespace penstock::stock {
namespace {

using journal::Fact;
using journal::StockWay;
using std::chrono::days;
using std::chrono::hours;

constexpr LocalDay monday = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
constexpr std::string_view pens = "glargine-100-cartridge";

Id id(std::uint64_t n) { return {0x570C, n}; }

struct Shelf {
  std::vector<Fact> facts;
  std::uint64_t next = 1000;

  Id tell(LocalDay day, journal::Payload payload) {
    Fact fact;
    fact.id = id(next++);
    fact.journal = id(1);
    fact.happened = {Instant{day.time_since_epoch()} + hours{9}, 0};
    fact.sequence = static_cast<std::uint32_t>(next);
    fact.recorded = fact.happened.at;
    fact.author = "Ines Falk";
    fact.source = "bench";
    fact.payload = std::move(payload);
    facts.push_back(std::move(fact));
    return facts.back().id;
  }
  Id came(LocalDay day, std::string lot, std::int32_t pieces, std::optional<LocalDay> expires) {
    return tell(day,
                journal::StockCame{std::string(pens), pieces, std::move(lot), expires, "", ""});
  }
  Id moved(LocalDay day, std::string lot, std::int32_t pieces, StockWay way,
           std::optional<Id> person = {}) {
    return tell(day, journal::StockMoved{std::string(pens), std::move(lot), pieces, way, person,
                                         std::nullopt, ""});
  }
  Stock now() const {
    const auto history = journal::read(facts);
    return fold(history);
  }
};

Lot lot_of(const Stock& stock, std::string_view lot) {
  const auto* found = stock.lot(pens, lot);
  EXPECT_NE(found, nullptr) << lot;
  return found != nullptr ? *found : Lot{};
}

std::vector<std::string> codes_of(const std::vector<Objection>& objections) {
  std::vector<std::string> out;
  for (const auto& one : objections) out.push_back(one.error.code);
  return out;
}

TEST(Stock, AnEmptyJournalIsAnEmptyShelf) {
  EXPECT_TRUE(Shelf{}.now().lots.empty());
  EXPECT_EQ(first_out(Stock{}, pens, monday), nullptr);
  EXPECT_EQ(on_shelf(Stock{}, pens, monday), 0);
}

TEST(Stock, InOutBackDestroyedLost) {
  Shelf shelf;
  shelf.came(monday, "AB12", 50, monday + days{300});
  shelf.moved(monday + days{1}, "AB12", 10, StockWay::handed_out, id(7));
  shelf.moved(monday + days{2}, "AB12", 4, StockWay::came_back, id(7));
  shelf.moved(monday + days{3}, "AB12", 1, StockWay::lost);
  shelf.moved(monday + days{4}, "AB12", 6, StockWay::destroyed);
  const auto stock = shelf.now();
  const auto lot = lot_of(stock, "AB12");
  EXPECT_EQ(lot.came, 50);
  EXPECT_EQ(lot.handed_out, 10);
  EXPECT_EQ(lot.back, 4);
  EXPECT_EQ(lot.lost, 1);
  EXPECT_EQ(lot.destroyed, 6);
  EXPECT_EQ(lot.held, 0) << "what came back is destroyed first";
  EXPECT_EQ(lot.left, 37);
  EXPECT_EQ(lot.unexplained, 0);
  ASSERT_EQ(stock.moves.size(), 5U);
  EXPECT_FALSE(stock.moves.front().way) << "a delivery";
  EXPECT_EQ(stock.moves[1].person, id(7));
  EXPECT_EQ(stock.lots[stock.moves[1].lot].key, lot_key("AB12"));
}

TEST(Stock, H12_WhatCameBackIsHeldAndNotHandedOutAgain) {
  Shelf shelf;
  shelf.came(monday, "AB12", 5, monday + days{300});
  shelf.moved(monday + days{1}, "AB12", 5, StockWay::handed_out);
  shelf.moved(monday + days{2}, "AB12", 5, StockWay::came_back);
  const auto stock = shelf.now();
  EXPECT_EQ(lot_of(stock, "AB12").held, 5);
  EXPECT_EQ(first_out(stock, pens, monday + days{3}), nullptr);
  EXPECT_EQ(on_shelf(stock, pens, monday + days{3}), 0);
}

TEST(Stock, WhatGoesBeyondTheAccountIsShownAndNeverRefused) {
  Shelf shelf;
  shelf.moved(monday, "ZZ9", 3, StockWay::handed_out);
  const auto lot = lot_of(shelf.now(), "ZZ9");
  EXPECT_EQ(lot.unexplained, 3);
  EXPECT_EQ(lot.left, 0);
}

TEST(Stock, FirstExpiringFirstOut) {
  Shelf shelf;
  shelf.came(monday, "LATE", 5, monday + days{400});
  shelf.came(monday, "NODAY", 5, std::nullopt);
  shelf.came(monday, "SOON", 5, monday + days{100});
  shelf.came(monday, "OVER", 5, monday - days{1});
  const auto stock = shelf.now();
  ASSERT_NE(first_out(stock, pens, monday), nullptr);
  EXPECT_EQ(first_out(stock, pens, monday)->lot, "SOON");
  // The printed day is the last one on which it serves.
  EXPECT_EQ(first_out(stock, pens, monday + days{100})->lot, "SOON");
  EXPECT_EQ(first_out(stock, pens, monday + days{101})->lot, "LATE");
  EXPECT_EQ(first_out(stock, pens, monday + days{401})->lot, "NODAY");
  EXPECT_EQ(first_out(stock, "another item", monday), nullptr);
  EXPECT_EQ(on_shelf(stock, pens, monday), 15);
}

TEST(Stock, H12_AnExpiredLotIsNotHandedOut) {
  Shelf shelf;
  shelf.came(monday, "OVER", 5, monday);
  const auto stock = shelf.now();
  EXPECT_EQ(codes_of(may_hand_out(stock, pens, "OVER", 1, monday + days{1})),
            std::vector<std::string>{std::string(codes::lot_expired)});
  EXPECT_FALSE(may_hand_out(stock, pens, "OVER", 1, monday + days{1}).front().is_question);
  // On its last day it is asked about, not refused.
  EXPECT_EQ(codes_of(may_hand_out(stock, pens, "OVER", 1, monday)),
            std::vector<std::string>{std::string(codes::ask_expires_soon)});
}

TEST(Stock, ARecalledLotIsNotHandedOutHoweverItsNumberIsTyped) {
  Shelf shelf;
  shelf.came(monday, "AB 12", 5, monday + days{300});
  shelf.came(monday, "CD34", 5, monday + days{400});
  shelf.tell(monday + days{1}, journal::RecallOpened{id(50), "ab-12", "", "the wholesaler", ""});
  const auto stock = shelf.now();
  EXPECT_TRUE(lot_of(stock, "AB12").recalled);
  EXPECT_FALSE(lot_of(stock, "CD34").recalled);
  EXPECT_EQ(first_out(stock, pens, monday + days{1})->lot, "CD34");
  EXPECT_EQ(may_hand_out(stock, pens, "AB12", 1, monday).front().error.code, codes::lot_recalled);
  // A lot that never stood here is refused as well.
  EXPECT_EQ(may_hand_out(stock, "other", "A-B-1-2", 1, monday).front().error.code,
            codes::lot_recalled);
}

TEST(Stock, ARecallOfOneItemLeavesTheOtherOfThatNumber) {
  Shelf shelf;
  shelf.came(monday, "AB12", 5, monday + days{300});
  shelf.tell(monday, journal::RecallOpened{id(50), "AB12", "needle-4", "", ""});
  EXPECT_FALSE(lot_of(shelf.now(), "AB12").recalled);
}

TEST(Stock, AnotherThanTheFirstExpiringAndMoreThanIsLeftAreAsked) {
  Shelf shelf;
  shelf.came(monday, "SOON", 5, monday + days{100});
  shelf.came(monday, "LATE", 5, monday + days{400});
  const auto stock = shelf.now();
  EXPECT_TRUE(may_hand_out(stock, pens, "SOON", 5, monday).empty());
  EXPECT_EQ(codes_of(may_hand_out(stock, pens, "LATE", 6, monday)),
            (std::vector<std::string>{std::string(codes::ask_not_first),
                                      std::string(codes::ask_more_than_left)}));
  for (const auto& one : may_hand_out(stock, pens, "LATE", 6, monday)) EXPECT_TRUE(one.is_question);
}

TEST(Stock, H41_CountAndAccountStandBesideEachOther) {
  Shelf shelf;
  shelf.came(monday, "AB12", 20, monday + days{300});
  shelf.tell(monday + days{1}, journal::StockCounted{std::string(pens), "AB12", 18});
  shelf.moved(monday + days{2}, "AB12", 3, StockWay::handed_out);
  shelf.came(monday + days{3}, "AB12", 10, monday + days{300});
  const auto lot = lot_of(shelf.now(), "AB12");
  ASSERT_TRUE(lot.count.has_value());
  EXPECT_FALSE(lot.count->agrees());
  EXPECT_EQ(lot.left, 27);
  EXPECT_EQ(lot.count->left(), 25);
  EXPECT_EQ(lot.at_least(), 25);
}

TEST(Stock, DeliveriesThatDisagreeAboutTheDayCountByTheEarlier) {
  Shelf shelf;
  shelf.came(monday, "AB12", 5, monday + days{300});
  shelf.came(monday, "AB12", 5, monday + days{200});
  const auto lot = lot_of(shelf.now(), "AB12");
  EXPECT_EQ(lot.expires, monday + days{200});
  EXPECT_TRUE(lot.expiry_differs);
}

TEST(Stock, ACallIsFoundThoughItWasToldBeforeItsRecall) {
  Shelf shelf;
  shelf.tell(monday, journal::RecallCalled{id(50), id(7), journal::CallOutcome::not_reached, ""});
  shelf.tell(monday + days{1},
             journal::RecallCalled{id(50), id(7), journal::CallOutcome::replaced, ""});
  shelf.tell(monday + days{1}, journal::RecallOpened{id(50), "AB12", "", "", ""});
  const auto stock = shelf.now();
  ASSERT_EQ(stock.recalls.size(), 1U);
  ASSERT_NE(stock.recalls.front().call_to(id(7)), nullptr);
  EXPECT_EQ(stock.recalls.front().call_to(id(7))->said.outcome, journal::CallOutcome::replaced);
  EXPECT_EQ(stock.recalls.front().call_to(id(8)), nullptr);
}

TEST(Stock, AProductIsAsItWasLastLearnt) {
  Shelf shelf;
  shelf.tell(monday, journal::ProductLearnt{"04012345678901", "wrong", 1});
  shelf.tell(monday + days{1}, journal::ProductLearnt{"04012345678901", std::string(pens), 5});
  const auto stock = shelf.now();
  ASSERT_NE(stock.product("04012345678901"), nullptr);
  EXPECT_EQ(stock.product("04012345678901")->item, pens);
  EXPECT_EQ(stock.product("04012345678918"), nullptr);
}

TEST(Stock, LotKeys) {
  EXPECT_EQ(lot_key(" ab-12/c "), lot_key("AB12C"));
  EXPECT_EQ(lot_key("--"), "");
  EXPECT_NE(lot_key("Ä1"), lot_key("Ö1"));
}

TEST(Stock, H61_ALotIsRecalledHoweverItsNumberWasCopied) {
  Shelf shelf;
  shelf.tell(monday, journal::RecallOpened{id(50), "B082B0", "", "", ""});
  const auto stock = shelf.now();
  for (const auto* copied : {"BO82BO", "8082B0", "b0-82 b0", "B082B0\u200b", "\u0412082\u04120"})
    EXPECT_TRUE(is_recalled(stock, {}, "insulin glargine", {100}, copied)) << copied;
  EXPECT_FALSE(is_recalled(stock, {}, "insulin glargine", {100}, "B082B1"));
  EXPECT_FALSE(is_recalled(stock, {}, "insulin glargine", {100}, ""));
}

// The law of the account, and a second way to the same sums, over random journals in any order of
// arrival.
TEST(Stock, TheLawHoldsWhateverWasRecorded) {
  std::mt19937 random{20270301};
  const auto upto = [&](unsigned n) { return random() % n; };
  for (int round = 0; round < 400; ++round) {
    Shelf shelf;
    std::int64_t came = 0, back = 0, out = 0, destroyed = 0, lost = 0;
    for (unsigned n = 0; n < 1 + upto(40); ++n) {
      const auto day = monday + days{upto(30)};
      const auto lot = std::string(1, static_cast<char>('A' + upto(3)));
      const auto pieces = static_cast<std::int32_t>(1 + upto(20));
      switch (upto(6)) {
        case 0:
          shelf.came(day, lot, pieces,
                     upto(2) != 0 ? std::optional{monday + days{upto(90)}} : std::nullopt);
          came += pieces;
          break;
        case 1:
          shelf.moved(day, lot, pieces, StockWay::came_back);
          back += pieces;
          break;
        case 2:
          shelf.moved(day, lot, pieces, StockWay::destroyed);
          destroyed += pieces;
          break;
        case 3:
          shelf.moved(day, lot, pieces, StockWay::lost);
          lost += pieces;
          break;
        case 4:
          shelf.tell(day, journal::StockCounted{std::string(pens), lot, pieces});
          break;
        default:
          shelf.moved(day, lot, pieces, StockWay::handed_out);
          out += pieces;
      }
    }
    const auto stock = shelf.now();
    std::int64_t balance = 0, unexplained = 0;
    for (const auto& lot : stock.lots) {
      EXPECT_TRUE(balanced(lot));
      balance += lot.left + lot.held;
      unexplained += lot.unexplained;
    }
    EXPECT_EQ(came + back + unexplained, out + destroyed + lost + balance);
    std::ranges::shuffle(shelf.facts, random);
    EXPECT_EQ(shelf.now().lots, stock.lots);
  }
}

}  // namespace
}  // namespace penstock::stock
