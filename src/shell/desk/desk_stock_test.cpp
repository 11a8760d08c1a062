// The clinic's stock at the desk: in, out into somebody's hands, counted; and whom a recall finds.
#include <gtest/gtest.h>

#include "edge/json/json.hpp"
#include "edge/pages/kit/kit.hpp"
#include "edge/summary/summary.hpp"
#include "shell/desk/internal/inside.hpp"
#include "shell/desk/internal/test_bench.hpp"
#include "support/said.hpp"

namespace penstock::desk {
namespace {

constexpr const char* glargine = "glargine-100-cartridge";
constexpr const char* aspart = "aspart-100-cartridge";

struct OnStock {
  TestBench bench;
  Id person = bench.enrol();
  int moves = 0;

  OnStock() { bench.order(person); }

  void clinic(const std::string& facts, bool confirmed = true) {
    bench.must(bench.desk().record_clinic(
        TestBench::request(R"({"confirmed":)" + std::string(confirmed ? "true" : "false") +
                           R"(,"facts":[)" + facts + "]}"),
        bench.desk().caller()));
  }
  void came(const std::string& lot, int pieces, const std::string& expires,
            const std::string& item = glargine) {
    clinic(R"({"what":"stock came","happened":"2027-03-01T09:00:00+01:00","item":")" + item +
           R"(","lot":")" + lot + R"(","pieces":)" + std::to_string(pieces) + R"(,"expires":")" +
           expires + "\"}");
  }
  static std::string movement(const std::string& id, const std::string& lot, int pieces,
                              const std::string& item = glargine) {
    return R"({"id":"000000000000000000000000000)" + id +
           R"(","what":"stock moved","happened":"2027-03-16T14:00:00+01:00","item":")" + item +
           R"(","lot":")" + lot + R"(","pieces":)" + std::to_string(pieces) +
           R"(,"way":"handed out"})";
  }
  Result<json::Value> hand_out(const std::string& fact, bool confirmed = false) {
    return bench.desk().hand_out(
        person,
        TestBench::request(R"({"confirmed":)" + std::string(confirmed ? "true" : "false") +
                           R"(,"facts":[)" + fact + "]}"),
        bench.desk().caller());
  }
  std::string stock() { return TestBench::all_text(bench.must(bench.page("/api/stock"))); }
  json::Value recall(const std::string& lot) {
    return bench.must(bench.page("/api/recalls/" + lot));
  }
  void open_recall(const std::string& lot) {
    clinic(
        R"({"what":"recall opened","happened":"2027-03-16T12:00:00+01:00","recall":"0000000000000000000000000000ca11","lot":")" +
        lot + R"("})");
  }
  std::string asked(const Result<json::Value>& answer) {
    const auto document = bench.must(answer);
    const auto* ask = document.find("ask");
    return ask == nullptr ? "" : ask->find("code")->text;
  }
  /// What somebody has of lots, as the summary row keeps it.
  std::vector<supply::LotAtHome> lots() {
    std::vector<supply::LotAtHome> out;
    EXPECT_TRUE(bench.store().read([&](store::ReadTx& tx) -> Result<void> {
      const auto row = tx.summary(person);
      out = *summary::unpack_lots(
          summary::unpack(person, (*row)->journal_version, (*row)->bytes)->lots);
      return {};
    }));
    return out;
  }
  /// By what a recall finds somebody; their number's tags are not about it.
  std::vector<std::string> tags() {
    std::vector<std::string> out;
    EXPECT_TRUE(bench.store().read([&](store::ReadTx& tx) -> Result<void> {
      out = *tx.tags(person);
      std::erase_if(out, [](const std::string& tag) { return tag.starts_with("number"); });
      return {};
    }));
    return out;
  }
};

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(DeskStock, WhatIsHandedOutLeavesTheShelfAndGoesHome) {
  OnStock on;
  on.came("AB12", 20, "2028-05-31");
  EXPECT_EQ(on.asked(on.hand_out(OnStock::movement("00d01", "AB12", 5))), "");
  EXPECT_TRUE(has(on.stock(), "\n15\n")) << on.stock();
  const auto lots = on.lots();
  ASSERT_EQ(lots.size(), 1U);
  EXPECT_EQ(lots.front().sealed, 5);
  EXPECT_EQ(lots.front().lot, "AB12");
  EXPECT_EQ(on.tags(), std::vector<std::string>{"lot/" + lot_key("AB12")});
  EXPECT_TRUE(has(on.stock(), "Mirela Okonkwo")) << "the list says to whom";
}

TEST(DeskStock, H07_SentTwiceItIsHandedOutOnce) {
  OnStock on;
  on.came("AB12", 5, "2028-05-31");
  const auto movement = OnStock::movement("00d01", "AB12", 5);
  on.bench.must(on.hand_out(movement));
  // By now nothing is left; the retry is the same act all the same.
  const auto again = on.bench.must(on.hand_out(movement));
  EXPECT_TRUE(again.find("ask") == nullptr);
  EXPECT_EQ(on.lots().front().sealed, 5);
}

TEST(DeskStock, H12_H38_ExpiredIsRefusedAndNobodyGoesWithout) {
  OnStock on;
  on.came("OLD", 5, "2027-03-15");
  const auto refused = on.hand_out(OnStock::movement("00d01", "OLD", 5), true);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, stock::codes::lot_expired);
  EXPECT_TRUE(has(english().say(refused.error()).do_this, "Nobody goes without insulin"));
  EXPECT_TRUE(on.lots().empty()) << "nothing is half-written";
  EXPECT_TRUE(has(on.stock(), "expired"));
}

TEST(DeskStock, H38_ARecalledLotIsRefusedHoweverItIsTyped) {
  OnStock on;
  on.came("AB 12", 5, "2028-05-31");
  on.open_recall("ab-12");
  const auto refused = on.hand_out(OnStock::movement("00d01", "AB12", 5), true);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, stock::codes::lot_recalled);
  EXPECT_TRUE(has(english().say(refused.error()).do_this, "Nobody goes without insulin"));
}

TEST(DeskStock, WhatDoesNotFitIsAskedAllAtOnce) {
  OnStock on;
  on.came("SOON", 5, "2027-12-31");
  on.came("LATE", 5, "2028-12-31");
  const auto movement = OnStock::movement("00d01", "LATE", 6);
  const auto answer = on.bench.must(on.hand_out(movement));
  const auto text = TestBench::all_text(answer);
  EXPECT_TRUE(has(text, "Lot SOON expires before LATE"));
  EXPECT_TRUE(has(text, "6 items of lot LATE"));
  EXPECT_TRUE(on.lots().empty());
  on.bench.must(on.hand_out(movement, true));
  EXPECT_EQ(on.lots().front().sealed, 6);
}

TEST(DeskStock, H04_AnInsulinThatTheOrderDoesNotNameIsAsked) {
  OnStock on;
  on.came("CD34", 5, "2028-05-31", aspart);
  EXPECT_EQ(on.asked(on.hand_out(OnStock::movement("00d01", "CD34", 5, aspart))),
            codes::ask_not_ordered);
}

TEST(DeskStock, H03_AnotherStrengthIsAsked) {
  OnStock on;
  on.came("EF56", 3, "2028-05-31", "glargine-300-prefilled");
  EXPECT_EQ(on.asked(on.hand_out(OnStock::movement("00d01", "EF56", 3, "glargine-300-prefilled"))),
            codes::ask_strength_not_ordered);
}

TEST(DeskStock, OnlyAHandOutAndOnlyOneAtATime) {
  OnStock on;
  on.came("AB12", 20, "2028-05-31");
  const auto other = on.hand_out(R"({"what":"stock counted","item":"x","lot":"AB12","pieces":3})");
  ASSERT_FALSE(other);
  EXPECT_EQ(other.error().code, codes::hand_out_form);
  const auto two = on.hand_out(OnStock::movement("00d01", "AB12", 1) + "," +
                               OnStock::movement("00d02", "AB12", 1));
  ASSERT_FALSE(two);
  EXPECT_EQ(two.error().code, codes::hand_outs_many);
  const auto unknown = on.hand_out(OnStock::movement("00d03", "AB12", 1, "no-such-item"), true);
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, codes::item_unknown);
}

TEST(DeskStock, H25_WhatTheShelfDoesNotKnowIsNotTakenIn) {
  OnStock on;
  for (const auto* fact :
       {R"({"what":"stock came","item":"no-such-item","lot":"A1","pieces":5})",
        R"({"what":"stock counted","item":"no-such-item","lot":"A1","pieces":5})",
        R"({"what":"product learnt","gtin":"02012345678903","item":"no-such-item","pieces":5})"}) {
    const auto refused = on.bench.desk().record_clinic(
        TestBench::request(std::string(R"({"confirmed":true,"facts":[)") + fact + "]}"),
        on.bench.desk().caller());
    ASSERT_FALSE(refused) << fact;
    EXPECT_EQ(refused.error().code, codes::item_unknown);
  }
  for (const auto* pieces : {"0", "-1", "1000000000", "2.5", R"("many")"}) {
    EXPECT_FALSE(on.bench.desk().record_clinic(
        TestBench::request(
            R"({"confirmed":true,"facts":[{"what":"stock came","item":"glargine-100-cartridge","lot":"A1","pieces":)" +
            std::string(pieces) + "}]}"),
        on.bench.desk().caller()))
        << pieces;
  }
  EXPECT_TRUE(has(on.stock(), tests::piece("sentences/stock.empty")));
}

TEST(DeskStock, H29_ASealIsNotTyped) {
  OnStock on;
  const auto refused = on.bench.desk().record_clinic(
      TestBench::request(R"({"confirmed":true,"facts":[{"what":"heads sealed","digest":")" +
                         std::string(64, 'a') + R"(","journals":3}]})"),
      on.bench.desk().caller());
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, vetting::codes::sealed_by_hand);
  EXPECT_TRUE(on.bench.desk().seal_heads(on.bench.desk().caller()));
}

TEST(DeskStock, H41_CountAndAccountAreBothShown) {
  OnStock on;
  on.came("AB12", 20, "2028-05-31");
  on.clinic(
      R"({"what":"stock counted","happened":"2027-03-16T09:00:00+01:00","item":"glargine-100-cartridge","lot":"AB12","pieces":18})");
  const auto page = on.stock();
  EXPECT_TRUE(has(page, "18 counted on"));
  EXPECT_TRUE(has(page, "the record had 20"));
}

TEST(DeskStock, WhatCameBackIsNotHandedOutAgain) {
  OnStock on;
  on.came("AB12", 5, "2028-05-31");
  on.bench.must(on.hand_out(OnStock::movement("00d01", "AB12", 5)));
  on.clinic(
      R"({"what":"stock moved","happened":"2027-03-16T14:05:00+01:00","item":"glargine-100-cartridge","lot":"AB12","pieces":5,"way":"came back"})");
  EXPECT_EQ(on.asked(on.hand_out(OnStock::movement("00d02", "AB12", 5))),
            stock::codes::ask_more_than_left);
  EXPECT_TRUE(has(on.stock(), "5 returned: do not issue again"));
}

TEST(DeskStock, AHandOutThatIsTakenBackWasNotGivenEither) {
  OnStock on;
  on.came("AB12", 20, "2028-05-31");
  on.bench.must(on.hand_out(OnStock::movement("00d01", "AB12", 5)));
  ASSERT_EQ(on.tags(), std::vector<std::string>{"lot/" + lot_key("AB12")});
  const auto back = [&](const std::string& reason) {
    return on.bench.desk().record_clinic(
        TestBench::request(
            R"({"facts":[{"id":"00000000000000000000000000000d99","what":"correction","happened":"2027-03-16T14:09:00+01:00","target":"00000000000000000000000000000d01","reason":")" +
            reason + R"("}]})"),
        on.bench.desk().caller());
  };
  EXPECT_FALSE(back(" ")) << "why must be said";
  EXPECT_EQ(on.lots().front().sealed, 5) << "nothing is half-written";
  on.bench.must(back("the wrong person"));
  on.bench.must(back("the wrong person"));  // twice is once
  EXPECT_TRUE(on.lots().empty());
  EXPECT_TRUE(on.tags().empty()) << "a recall does not find who never had it";
  EXPECT_TRUE(has(on.stock(), "\n20\n")) << on.stock();
  EXPECT_TRUE(on.recall("AB12").find("people")->members.empty());
}

TEST(DeskStock, TwoDesksSeeEachOther) {
  OnStock on;
  on.came("AB12", 5, "2028-05-31");
  Ports ports;
  ports.store = &on.bench.store();
  ports.now = [] { return parse_when("2027-03-16T14:20:00+01:00").value().at; };
  ports.zone = [](std::string_view name) -> Result<ZoneRules> {
    return ZoneRules{std::string(name), {{Instant{}, 60}}};
  };
  ports.zone_names = [] { return std::vector<std::string>{}; };
  std::uint64_t ids = 0;
  ports.new_id = [&ids] { return Id{0xDEF, ++ids}; };
  auto other = std::move(*Desk::open(std::move(ports)));
  on.bench.must(on.hand_out(OnStock::movement("00d01", "AB12", 5)));
  const auto answer = on.bench.must(other->hand_out(
      on.person, TestBench::request(R"({"facts":[)" + OnStock::movement("00d02", "AB12", 5) + "]}"),
      other->caller()));
  ASSERT_NE(answer.find("ask"), nullptr) << "the last carton is gone";
  EXPECT_EQ(answer.find("ask")->find("code")->text, stock::codes::ask_more_than_left);
}

// ---- recall

TEST(DeskRecall, H38_TheSheetOpensWithInsulinGoingOn) {
  OnStock on;
  const auto page = on.recall("AB12");
  EXPECT_EQ(TestBench::all_text(*page.find("first")), "Do not stop insulin. Replacement first.\n");
  EXPECT_TRUE(has(TestBench::all_text(*page.find("lead")), "nobody here"));
}

TEST(DeskRecall, FromALotToWhoeverHasItAndWhatWasInjected) {
  OnStock on;
  on.bench.enrol("Adem Lindqvist", "1971-01-09", "HS 04173");
  on.came("AB 12", 20, "2028-05-31");
  on.bench.must(on.hand_out(OnStock::movement("00d01", "AB 12", 5)));
  on.bench.pen_and_cartridge(on.person);
  on.bench.must(on.bench.record(
      on.person,
      R"({"what":"cartridge loaded","happened":"2027-03-16T14:01:00+01:00","cartridge":"00000000000000000000000000000c02","pen":")" +
          std::string(TestBench::pen) +
          R"(","copy":"glargine-100","units":300,"content_units":300,"fits":"fit A","new_cartridge":true,"lot":"ab12"},)"
          R"({"what":"injected","happened":"2027-03-16T14:02:00+01:00","cartridge":"00000000000000000000000000000c02","units":22})",
      R"("confirmed":true,)"));
  const auto page = on.recall(" a-b-1-2 ");
  ASSERT_EQ(page.find("people")->members.size(), 1U);
  const auto text = TestBench::all_text(*page.find("people"));
  EXPECT_TRUE(has(text, "Mirela Okonkwo"));
  EXPECT_TRUE(has(text, "HS 04172"));
  EXPECT_TRUE(has(text, "4 June 1958"));
  EXPECT_TRUE(has(text, "22 units")) << text;
  EXPECT_TRUE(has(text, "278 units")) << text;
  EXPECT_TRUE(has(TestBench::all_text(*page.find("shelf")), "15"));
}

// Pharmacist D14: an O read for a nought, and what was typed with the number.
TEST(DeskRecall, ALotThatNobodyHasSuggestsTheOneThatIsMeant) {
  OnStock on;
  on.came("AB012", 20, "2028-05-31");
  EXPECT_EQ(on.recall("ABO12").find("lot")->text, "AB012");  // as it looks it is that one
  for (const auto* typed : {"lot AB012", "(10)AB012", "lot no. abO12"}) {
    const auto page = on.recall(typed);
    EXPECT_TRUE(has(TestBench::all_text(*page.find("cautions")), "AB012")) << typed;
  }
  EXPECT_FALSE(has(TestBench::all_text(*on.recall("ZZ9").find("cautions")), "AB012"));
  EXPECT_FALSE(has(TestBench::all_text(*on.recall("AB012").find("cautions")), "is that the one"));
}

TEST(DeskRecall, WhoseLotNobodyWroteIsNamedToo) {
  OnStock on;
  on.bench.supplies(on.person, 3);  // no lot
  on.came("AB12", 5, "2028-05-31");
  const auto page = on.recall("AB12");
  EXPECT_TRUE(page.find("people")->members.empty());
  EXPECT_TRUE(has(TestBench::all_text(*page.find("unknown")), "Mirela Okonkwo"));
}

TEST(DeskRecall, TodayNamesItUntilEverybodyHasAReplacement) {
  OnStock on;
  on.came("AB12", 5, "2028-05-31");
  on.bench.must(on.hand_out(OnStock::movement("00d01", "AB12", 5)));
  on.open_recall("AB12");
  EXPECT_TRUE(
      has(TestBench::all_text(on.bench.must(on.bench.page("/api/today"))), "has been recalled"));
  const auto call = [&](const std::string& outcome) {
    on.clinic(
        R"({"what":"recall called","happened":"2027-03-16T14:08:00+01:00","recall":"0000000000000000000000000000ca11","person":")" +
        to_text(on.person) + R"(","outcome":")" + outcome + R"(","text":"by telephone"})");
  };
  call("reached");
  EXPECT_TRUE(has(TestBench::all_text(on.recall("AB12")), "by telephone"));
  EXPECT_TRUE(
      has(TestBench::all_text(on.bench.must(on.bench.page("/api/today"))), "has been recalled"));
  call("replaced");
  EXPECT_FALSE(
      has(TestBench::all_text(on.bench.must(on.bench.page("/api/today"))), "has been recalled"));
  EXPECT_TRUE(has(TestBench::all_text(*on.recall("AB12").find("people")), "Replacement"));
}

TEST(DeskRecall, ACallBelongsToARecall) {
  OnStock on;
  const auto refused = on.bench.desk().record_clinic(
      TestBench::request(
          R"({"facts":[{"what":"recall called","recall":"0000000000000000000000000000ca99","person":"0000000000000000000000000000ca98","outcome":"reached"}]})"),
      on.bench.desk().caller());
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, codes::recall_unknown);
}

TEST(DeskRecall, ARecallOfOneItemLeavesTheOtherAlone) {
  OnStock on;
  on.bench.must(on.bench.record(
      on.person,
      R"({"what":"needles given","happened":"2027-03-02T09:12:00+01:00","needle":"4-mm-32g","length_mm":4,"needles":100,"lot":"AB12"})"));
  on.clinic(
      R"({"what":"recall opened","happened":"2027-03-16T12:00:00+01:00","recall":"0000000000000000000000000000ca11","lot":"AB12","item":"glargine-100-cartridge"})");
  EXPECT_TRUE(on.recall("AB12").find("people")->members.empty());
}

TEST(DeskRecall, H25_WhatIsNoLotIsRefused) {
  OnStock on;
  for (const auto* lot : {"", "  ", "--", "()"}) {
    const auto& row = *pages::find("GET", "/api/recalls/{lot}");
    const auto refused = tests::read_page(on.bench.desk(), row, {{"lot", lot}});
    ASSERT_FALSE(refused) << lot;
    EXPECT_EQ(refused.error().code, pages::codes::lot_unread);
  }
}

TEST(DeskRecall, TheTagsAreMadeAnewWithTheSummaries) {
  OnStock on;
  on.came("AB12", 5, "2028-05-31");
  on.bench.must(on.hand_out(OnStock::movement("00d01", "AB12", 5)));
  const auto before = on.tags();
  ASSERT_FALSE(before.empty());
  ASSERT_TRUE(on.bench.desk().rebuild_summaries({}, on.bench.desk().caller()));
  EXPECT_EQ(on.tags(), before);
  EXPECT_EQ(on.recall("AB12").find("people")->members.size(), 1U);
}

}  // namespace
}  // namespace penstock::desk
