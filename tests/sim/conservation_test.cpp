// Random journals with corrections that arrive in any order and any number of times: the ledger's
// balances are those of a second, simpler model, and every order of arrival gives the same state.
// `conservation_test --seed N` runs the journal of a seed that a failure printed.
#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <cstring>
#include <map>
#include <optional>
#include <string>

#include "core/ledger/ledger.hpp"
#include "core/order/order.hpp"
#include "sim/plain_account.hpp"
#include "support/random_journal.hpp"

namespace penstock {
namespace {

std::optional<std::uint64_t> asked_seed;

void compare(const ledger::Ledger& ledger, const std::map<Id, plain::Row>& judge) {
  std::size_t judged = 0;
  for (const auto& c : ledger.cartridges) {
    const auto found = judge.find(c.id);
    const plain::Row row = found == judge.end() ? plain::Row{} : found->second;
    judged += found == judge.end() ? 0 : 1;
    ASSERT_EQ(c.loaded.hundredths(), row.loaded) << to_text(c.id);
    ASSERT_EQ(c.unexplained.hundredths(), row.unexplained) << to_text(c.id);
    ASSERT_EQ(c.injected.hundredths(), row.injected) << to_text(c.id);
    ASSERT_EQ(c.primed.hundredths(), row.primed) << to_text(c.id);
    ASSERT_EQ(c.thrown_away.hundredths(), row.thrown) << to_text(c.id);
    ASSERT_EQ(c.left.hundredths(), row.left) << to_text(c.id);
    ASSERT_EQ(static_cast<std::int64_t>(c.uses.size()), row.uses) << to_text(c.id);
    ASSERT_EQ(row.loaded + row.unexplained, row.injected + row.primed + row.thrown + row.left);
  }
  ASSERT_EQ(judged, judge.size());
}

bool has_mark(const ledger::Ledger& ledger, ledger::MarkKind kind) {
  return std::ranges::find(ledger.marks, kind, &ledger::Mark::kind) != ledger.marks.end();
}

void run_journal(std::uint64_t seed, std::size_t count, int arrivals) {
  SCOPED_TRACE("--seed " + std::to_string(seed));
  const auto facts = random_journal::wild_journal(seed, count);
  const auto history = journal::read(facts);
  const auto ledger = ledger::fold(history);
  const auto order = order::fold(history, {});
  ASSERT_NO_FATAL_FAILURE(compare(ledger, plain::account(facts)));
  // The journal is worth folding: every kind of odd thing of the account happens in it.
  if (count >= 10'000) {
    for (const auto kind : {ledger::MarkKind::taken_more_than_left, ledger::MarkKind::second_load,
                            ledger::MarkKind::used_after_thrown_away, ledger::MarkKind::not_loaded,
                            ledger::MarkKind::rest_forgotten, ledger::MarkKind::needle_reused}) {
      ASSERT_TRUE(has_mark(ledger, kind)) << ledger::code_of(kind);
    }
    ASSERT_FALSE(history.voided.empty());
    ASSERT_FALSE(history.rivals.empty());
    ASSERT_FALSE(history.waiting.empty());
    ASSERT_FALSE(order.marks.empty());
  }
  for (int i = 0; i < arrivals; ++i) {
    const auto arrived = random_journal::arrival(facts, seed + 1 + static_cast<std::uint64_t>(i));
    const auto again = journal::read(arrived);
    ASSERT_TRUE(ledger::fold(again) == ledger) << "arrival " << i;
    ASSERT_TRUE(order::fold(again, {}) == order) << "arrival " << i;
  }
}

TEST(Conservation, LongJournalsBalanceAndEveryOrderOfArrivalIsTheSameState_H31) {
  for (std::uint64_t i = 0; i < PENSTOCK_SIM_JOURNALS; ++i) {
    const auto seed = asked_seed.value_or(20'270'301 + i);
    ASSERT_NO_FATAL_FAILURE(run_journal(seed, PENSTOCK_SIM_FACTS, 3));
    if (asked_seed) break;
  }
}

// Short journals meet each other's oddities sooner: a failure here is easier to read.
TEST(Conservation, ManyShortJournalsBalance_H31) {
  for (std::uint64_t i = 0; i < 2'000; ++i) {
    const auto seed = asked_seed.value_or(1'000'000 + i);
    ASSERT_NO_FATAL_FAILURE(run_journal(seed, 3 + i % 60, 2));
    if (asked_seed) break;
  }
}

// The judge itself can fail: a fact more, and the balances differ.
TEST(Conservation, TheSimplerModelNoticesOneMissingFact) {
  auto facts = random_journal::wild_journal(7, 2'000);
  const auto judge = plain::account(facts);
  const auto at = std::ranges::find_if(facts, [](const journal::Fact& f) {
    const auto* p = std::get_if<journal::Primed>(&f.payload);
    return p && !p->units.is_zero();
  });
  ASSERT_NE(at, facts.end());
  facts.erase(at);
  const auto ledger = ledger::fold(journal::read(facts));
  bool same = true;
  for (const auto& c : ledger.cartridges) {
    const auto found = judge.find(c.id);
    if (found != judge.end()) same = same && c.primed.hundredths() == found->second.primed;
  }
  EXPECT_FALSE(same);
}

}  // namespace
}  // namespace penstock

int main(int argc, char** argv) {
  testing::InitGoogleTest(&argc, argv);
  for (int i = 1; i + 1 < argc; ++i) {
    if (std::strcmp(argv[i], "--seed") == 0) {
      penstock::asked_seed = std::strtoull(argv[i + 1], nullptr, 10);
    }
  }
  return RUN_ALL_TESTS();
}
