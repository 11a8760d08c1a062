#include "edge/verbs/reconcile/reconcile.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <regex>

#include "support/verb_kit.hpp"

namespace penstock::verbs {
namespace {

using kit::bare_with_numbers;
using kit::text_at;

json::Value answer(std::string_view request) {
  return kit::answer(reconcile_verb, request, bare_with_numbers);
}
Error error(std::string_view request) { return kit::error(reconcile_verb, request); }

TEST(ReconcileJson, TheExampleIsAFindingWithItsAccounts) {
  const auto result = answer(json::to_text(reconcile_example()));
  EXPECT_EQ(text_at(result, "verdict"), R"("differ")");
  EXPECT_EQ(text_at(result, "differs"), "true");
  EXPECT_EQ(text_at(result, "diary_later"), "false");
  EXPECT_EQ(text_at(result, "looks"), "2");
  const auto& accounts = *result.find("accounts");
  EXPECT_EQ(text_at(*accounts.find("dispensed"), "missing"), "0");
  EXPECT_EQ(text_at(*accounts.find("left"), "left_units"), "602");
  EXPECT_EQ(text_at(*accounts.find("claimed"), "claimed_units"), "666");
  const auto& difference = *result.find("left_less_claimed");
  EXPECT_EQ(text_at(difference, "units"), "-64");
  EXPECT_EQ(difference.find("interval_units")->members.size(), 2U);
  EXPECT_EQ(result.find("cartridges")->members.size(), 3U);
  const auto& mechanisms = result.find("mechanisms")->members;
  ASSERT_EQ(mechanisms.size(), reconcile::mechanism_count);
  std::vector<std::string> two{text_at(mechanisms[0].value, "mechanism"),
                               text_at(mechanisms[1].value, "mechanism")};
  std::ranges::sort(two);
  EXPECT_EQ(two, (std::vector<std::string>{R"("missed doses")", R"("primes left out")"}));
  EXPECT_EQ(text_at(*result.find("question"), "code"), R"("reconcile.ask_two")");
  EXPECT_NE(text_at(*result.find("question"), "text").find("units=6500"), std::string::npos);
  EXPECT_EQ(text_at(result, "defer"), R"("reconcile.defer")");
}

TEST(ReconcileJson, ARequestReadIsTheRequestWritten) {
  const auto text = json::to_text(reconcile_example());
  const auto read = parse_reconcile_request(text);
  ASSERT_TRUE(read);
  EXPECT_EQ(json::to_text(reconcile_request_json(*read)), text);
  auto full = reconcile::example();
  full.ordered.front().varies = true;
  full.cartridges.front().rest = *Units::from_hundredths(1'250);
  full.cartridges.front().was_new = false;
  full.diary.front().primed = Units::zero();
  full.diary.front().cartridge = 1;
  full.diary.front().recorded = full.diary.front().when.at;
  const auto again = parse_reconcile_request(json::to_text(reconcile_request_json(full)));
  ASSERT_TRUE(again);
  EXPECT_EQ(json::to_text(reconcile_request_json(*again)),
            json::to_text(reconcile_request_json(full)));
}

TEST(ReconcileJson, OnlyPeriodContentAndPrimeAreNeededAndThenNothingIsKnown) {
  const auto result = answer(
      R"({"from": "2027-03-01", "until": "2027-03-30", "cartridge_units": 300, "prime_units": 2})");
  EXPECT_EQ(text_at(result, "verdict"), R"("not known")");
  EXPECT_EQ(text_at(result, "left_less_claimed"), "null");
  EXPECT_EQ(text_at(result, "mechanisms"), "[]");
  EXPECT_EQ(text_at(*result.find("question"), "text"), R"("reconcile.nothing_compared")");
  EXPECT_FALSE(std::regex_search(text_at(result, "text"), std::regex("units=")));
}

TEST(ReconcileJson, RefusalsNameThePlace) {
  constexpr std::string_view head =
      R"({"from":"2027-03-01","until":"2027-03-30","cartridge_units":300,"prime_units":2)";
  const auto at = [&](std::string_view rest) {
    const auto found = error(std::string(head) + std::string(rest) + "}");
    return found.code + " " + found.at;
  };
  EXPECT_EQ(at(R"(,"diaries":[])"), "field.unknown /diaries");
  EXPECT_EQ(at(R"(,"cartridges":[{"id":"A","opened":"2027-03-01T10:00:00+01:00","units":300},
               {"id":"A","opened":"2027-03-09T10:00:00+01:00","units":300}])"),
            "reconcile.id_twice /cartridges/1/id");
  EXPECT_EQ(at(R"(,"diary":[{"when":"2027-03-01T10:00:00+01:00","units":20,"cartridge":"B"}])"),
            "reconcile.which /diary/0/cartridge");
  EXPECT_EQ(at(R"(,"diary":[{"when":"2027-03-01T10:00:00","units":20}])"),
            "time.offset /diary/0/when");
  EXPECT_EQ(at(R"(,"diary":[{"when":"2027-03-01T10:00:00Z","units":20.125}])"),
            "number.decimals /diary/0/units");
  EXPECT_EQ(
      at(R"(,"cartridges":[{"id":"A","opened":"2027-03-01T10:00:00Z","units":300,"end":"gone"}])"),
      "field.choice /cartridges/0/end");
}

TEST(ReconcileJson, AnEntryMayStandBeforeTheCartridgeThatItNames) {
  const auto read = parse_reconcile_request(
      R"({"diary":[{"when":"2027-03-01T22:00:00Z","units":20,"cartridge":"blue"}],
          "from":"2027-03-01","until":"2027-03-30","cartridge_units":300,"prime_units":2,
          "cartridges":[{"id":"red","opened":"2027-02-01T10:00:00Z","units":300},
                        {"id":"blue","opened":"2027-03-01T10:00:00Z","units":300}]})");
  ASSERT_TRUE(read);
  EXPECT_EQ(read->diary.front().cartridge, 1U);
  EXPECT_EQ(read->new_cartridge_prime, read->prime);
  EXPECT_EQ(read->strength.units_per_ml, 100);
}

TEST(ReconcileJson, TheSchemaHasTheRoomsLimitsAndNames) {
  const auto schema = json::to_text(reconcile_schema());
  for (const auto& part : {"\"maxItems\":" + std::to_string(reconcile::limits::entries_most),
                           "\"maxItems\":" + std::to_string(reconcile::limits::cartridges_most),
                           "\"maxItems\":" + std::to_string(reconcile::limits::readings_most),
                           "\"maximum\":" + std::to_string(reconcile::limits::in_use_days_most),
                           "\"maximum\":" + std::to_string(reconcile::limits::pieces_most),
                           "\"maxLength\":" + std::to_string(reconcile::limits::slot_bytes_most),
                           "up to " + std::to_string(reconcile::limits::days_most) + " days"}) {
    EXPECT_NE(schema.find(part), std::string::npos) << part;
  }
  for (const auto name : reconcile::end_names)
    EXPECT_NE(schema.find("\"" + std::string(name) + "\""), std::string::npos) << name;
}

TEST(ReconcileJson, TheTextBeginsWithTheQuestionAndEndsWithWhoseTheProbabilitiesAre) {
  const auto request = reconcile::example();
  const auto found = *reconcile::reconcile(request);
  const auto text = reconcile_text(request, found, bare_with_numbers);
  EXPECT_EQ(text.rfind("reconcile.ask_two ", 0), 0U);
  EXPECT_NE(text.find("reconcile.model\nreconcile.defer\n"), std::string::npos);
}

}  // namespace
}  // namespace penstock::verbs
