#include "core/journal/journal.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <memory>
#include <numeric>
#include <tuple>

namespace penstock::journal {
namespace {

using namespace literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using std::chrono::seconds;
using std::chrono::sys_days;

constexpr Instant start = sys_days{std::chrono::year{2027} / 3 / 1} + hours{7};
constexpr Id person{1, 1};
constexpr Id cartridge{7, 7};

When at(std::int64_t minute) { return {start + minutes{minute}, 60}; }

Fact fact(std::uint64_t id, std::int64_t minute, Payload payload) {
  Fact made{Id{2, id}, person, at(minute), 0, at(minute).at, "N. Okafor", "", "bench", payload};
  return made;
}
Payload injected(Units units) {
  Injected payload;
  payload.cartridge = cartridge;
  payload.units = units;
  return payload;
}
Payload voiding(std::uint64_t target) {
  return Correction{Id{2, target}, "typed twice", false, {}};
}
Payload replacing(std::uint64_t target, std::int64_t minute, Payload instead) {
  return Correction{Id{2, target}, "misread", false,
                    std::make_shared<const Replacement>(Replacement{at(minute), 0, instead})};
}
Payload elsewhere(std::uint64_t target) {
  return Correction{Id{2, target}, "another person's", true, {}};
}

std::vector<std::uint64_t> ids(const std::vector<Effective>& facts) {
  std::vector<std::uint64_t> out;
  for (const auto& effective : facts) out.push_back(effective.fact->id.low);
  return out;
}
std::vector<std::uint64_t> ids(const std::vector<const Fact*>& facts) {
  std::vector<std::uint64_t> out;
  for (const auto* each : facts) out.push_back(each->id.low);
  return out;
}
using Low = std::vector<std::uint64_t>;

Units units_in(const Effective& effective) { return std::get<Injected>(*effective.payload).units; }

TEST(Journal, NothingIsAnEmptyHistory) {
  const auto history = read({});
  EXPECT_TRUE(history.facts.empty());
  EXPECT_EQ(find(history, Id{2, 1}), nullptr);
  EXPECT_EQ(find(History{}, Id{2, 1}), nullptr);
}

TEST(Journal, OrderIsHappenedThenSourceThenSequenceThenIdentity) {
  std::vector<Fact> facts{fact(5, 10, Note{"later"}), fact(4, 0, Note{"bench, second 2"}),
                          fact(3, 0, Note{"diary"}), fact(2, 0, Note{"bench, identity 2"}),
                          fact(1, 0, Note{"bench, identity 1"})};
  facts[1].sequence = 2;
  facts[2].source = "diary";
  EXPECT_EQ(ids(read(facts).facts), (Low{1, 2, 4, 3, 5}));
}

TEST(Journal, TheInstantOrdersAndNotTheClockOnTheWall) {
  auto west = fact(1, 0, Note{"after the flight"});
  west.happened = {start + minutes{1}, -480};  // nine hours earlier on the wall
  const auto home = fact(2, 0, Note{"before it"});
  EXPECT_EQ(ids(read(std::vector{west, home}).facts), (Low{2, 1}));
}

TEST(Journal, H31_TheSameFactTwiceIsOneFact) {
  const std::vector<Fact> facts{fact(1, 0, injected(26_units)), fact(1, 0, injected(26_units)),
                                fact(2, 0, injected(26_units)), fact(1, 0, injected(26_units))};
  EXPECT_EQ(ids(read(facts).facts), (Low{1, 2}));
}

TEST(Journal, OneIdentityIsOneFactAlsoInAFileThatWentThroughNoStore) {
  std::vector<Fact> facts{fact(1, 0, injected(26_units)), fact(2, 1, injected(4_units)),
                          fact(1, 9, injected(36_units))};
  for (int turn = 0; turn < 2; ++turn, std::ranges::reverse(facts)) {
    const auto history = read(facts);
    EXPECT_EQ(ids(history.facts), (Low{1, 2}));
    EXPECT_EQ(units_in(history.facts[0]), 26_units);
  }
}

TEST(Journal, AVoidTakesAFactAwayAndNamesItself) {
  const std::vector<Fact> facts{fact(1, 0, injected(26_units)), fact(2, 5, voiding(1))};
  const auto history = read(facts);
  EXPECT_TRUE(history.facts.empty());
  ASSERT_EQ(history.voided.size(), 1U);
  EXPECT_EQ(history.voided[0].fact->id.low, 1U);
  EXPECT_EQ(history.voided[0].correction->id.low, 2U);
  EXPECT_EQ(find(history, Id{2, 1}), nullptr);
  EXPECT_TRUE(history.rivals.empty() && history.waiting.empty() && history.hidden.empty());
}

TEST(Journal, AReplacementSaysWhatAndWhenInTheFactsPlace) {
  const std::vector<Fact> facts{fact(1, 0, injected(36_units)), fact(2, 10, injected(4_units)),
                                fact(3, 20, replacing(1, 15, injected(26_units)))};
  const auto history = read(facts);
  EXPECT_EQ(ids(history.facts), (Low{2, 1}));  // it moved behind the other
  const auto* found = find(history, Id{2, 1});
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(units_in(*found), 26_units);
  EXPECT_EQ(found->happened, at(15));
  EXPECT_EQ(found->correction->id.low, 3U);
  EXPECT_EQ(found->fact->happened, at(0));
}

TEST(Journal, ReplacementsMoveAcrossAWholeDayAndKeepTheirOrder) {
  std::vector<Fact> facts;
  for (std::uint64_t n = 0; n < 40; ++n) {
    facts.push_back(fact(n + 1, static_cast<std::int64_t>(n), injected(4_units)));
  }
  // Every fourth one goes to the mirror image of its minute.
  for (std::uint64_t n = 0; n < 40; n += 4) {
    facts.push_back(
        fact(100 + n, 60, replacing(n + 1, 39 - static_cast<std::int64_t>(n), injected(5_units))));
  }
  const auto history = read(facts);
  ASSERT_EQ(history.facts.size(), 40U);
  EXPECT_TRUE(std::ranges::is_sorted(history.facts, {}, [](const Effective& e) {
    return std::make_tuple(e.happened.at, e.fact->id.low);
  }));
  for (std::uint64_t n = 1; n <= 40; ++n) ASSERT_NE(find(history, Id{2, n}), nullptr) << n;
}

TEST(Journal, TheLastRecordedCorrectionHoldsAndRivalsAreShown) {
  auto first = fact(2, 5, replacing(1, 0, injected(26_units)));
  auto last = fact(3, 6, replacing(1, 0, injected(28_units)));
  auto between = fact(4, 7, voiding(1));
  first.recorded = start + hours{1};
  last.recorded = start + hours{3};
  between.recorded = start + hours{2};
  const std::vector<Fact> facts{fact(1, 0, injected(36_units)), first, last, between};
  const auto history = read(facts);
  ASSERT_EQ(history.facts.size(), 1U);
  EXPECT_EQ(units_in(history.facts[0]), 28_units);
  EXPECT_EQ(ids(history.rivals), (Low{2, 4}));
  EXPECT_TRUE(history.voided.empty());
}

TEST(Journal, OfTwoCorrectionsRecordedInOneSecondTheHigherIdentityHolds) {
  const std::vector<Fact> facts{fact(1, 0, injected(36_units)),
                                fact(3, 5, replacing(1, 0, injected(28_units))),
                                fact(2, 5, replacing(1, 0, injected(26_units)))};
  const auto history = read(facts);
  EXPECT_EQ(units_in(history.facts.at(0)), 28_units);
  EXPECT_EQ(ids(history.rivals), (Low{2}));
}

TEST(Journal, H31_ACorrectionThatArrivesFirstWaitsForItsTarget) {
  std::vector<Fact> facts{fact(2, 5, voiding(1)), fact(3, 6, injected(4_units))};
  const auto early = read(facts);
  EXPECT_EQ(ids(early.waiting), (Low{2}));
  EXPECT_EQ(ids(early.facts), (Low{3}));
  facts.push_back(fact(1, 0, injected(36_units)));
  const auto whole = read(facts);
  EXPECT_TRUE(whole.waiting.empty());
  EXPECT_EQ(ids(whole.facts), (Low{3}));
  EXPECT_EQ(whole.voided.at(0).fact->id.low, 1U);
}

TEST(Journal, ACorrectionOfACorrectionWaitsForEver) {
  const std::vector<Fact> facts{fact(1, 0, injected(36_units)), fact(2, 5, voiding(1)),
                                fact(3, 6, voiding(2)), fact(4, 7, voiding(4)),
                                fact(5, 8, replacing(1, 0, voiding(2)))};
  const auto history = read(facts);
  EXPECT_TRUE(history.facts.empty());
  EXPECT_EQ(history.voided.at(0).correction->id.low, 2U);
  EXPECT_EQ(ids(history.waiting), (Low{3, 4, 5}));
}

TEST(Journal, H19_AFactOfAnotherPersonIsKeptAndHiddenWithWhatRepeatsIt) {
  const std::vector<Fact> facts{fact(1, 0, injected(36_units)),
                                fact(2, 5, replacing(1, 0, injected(26_units))),
                                fact(3, 6, elsewhere(1))};
  const auto history = read(facts);
  EXPECT_TRUE(history.facts.empty() && history.voided.empty() && history.rivals.empty());
  ASSERT_EQ(history.hidden.size(), 2U);
  EXPECT_EQ(history.hidden[0].fact->id.low, 1U);
  EXPECT_EQ(history.hidden[1].fact->id.low, 2U);
  EXPECT_EQ(history.hidden[1].correction->id.low, 3U);
}

// ---- properties

// Everything that a history says, as values: pointers differ from run to run.
using Said = std::tuple<std::vector<std::tuple<Id, Instant, std::uint32_t, Payload, Id>>,
                        std::vector<std::pair<Id, Id>>, std::vector<std::pair<Id, Id>>,
                        std::vector<Id>, std::vector<Id>>;
Said said(const History& history) {
  Said out;
  for (const auto& e : history.facts) {
    std::get<0>(out).emplace_back(e.fact->id, e.happened.at, e.sequence, *e.payload,
                                  e.correction ? e.correction->id : Id{});
  }
  for (const auto& v : history.voided) std::get<1>(out).emplace_back(v.fact->id, v.correction->id);
  for (const auto& v : history.hidden) std::get<2>(out).emplace_back(v.fact->id, v.correction->id);
  for (const auto* f : history.rivals) std::get<3>(out).push_back(f->id);
  for (const auto* f : history.waiting) std::get<4>(out).push_back(f->id);
  return out;
}

// A journal of small numbers, so that times, sources and targets collide often.
std::vector<Fact> some_journal() {
  const auto count = *rc::gen::inRange<std::uint64_t>(0, 60);
  std::vector<Fact> facts;
  for (std::uint64_t id = 1; id <= count; ++id) {
    const auto small = [](int below) { return *rc::gen::inRange(0, below); };
    const auto amount = *Units::from_hundredths(50 * small(120));
    const auto target = static_cast<std::uint64_t>(small(static_cast<int>(count) + 5));
    Payload payload = injected(amount);
    switch (small(8)) {
      case 0:
        payload = voiding(target);
        break;
      case 1:
        payload = replacing(target, small(30), injected(amount));
        break;
      case 2:
        payload = elsewhere(target);
        break;
      case 3:
        payload = replacing(target, small(30), Note{"not given"});
        break;
      default:
        break;
    }
    auto made = fact(id, small(30), payload);
    made.source = small(2) == 0 ? "bench" : "diary";
    made.sequence = static_cast<std::uint32_t>(small(3));
    made.recorded = start + hours{small(6)};
    facts.push_back(made);
  }
  return facts;
}

std::vector<Fact> shuffled_with_repetitions(std::vector<Fact> facts) {
  const auto count = facts.size();
  for (std::size_t n = 0; count > 0 && n < count / 2; ++n) {
    facts.push_back(facts[*rc::gen::inRange<std::size_t>(0, count)]);
  }
  for (std::size_t n = facts.size(); n > 1; --n) {
    std::swap(facts[n - 1], facts[*rc::gen::inRange<std::size_t>(0, n)]);
  }
  return facts;
}

RC_GTEST_PROP(Journal, H31_AnyOrderAndAnyRepetitionsGiveTheSameHistory, ()) {
  const auto facts = some_journal();
  const auto other = shuffled_with_repetitions(facts);
  RC_ASSERT(said(read(facts)) == said(read(other)));
}

// Which of two held was chance.
TEST(Journal, H31_OfTwoCorrectionsOfOneSecondTheOneThatCameBehindHolds) {
  auto first = fact(9, 5, replacing(1, 1, injected(4_units)));
  auto second = fact(2, 5, replacing(1, 1, injected(6_units)));
  second.sequence = 1;
  const std::vector<Fact> facts{fact(1, 1, injected(10_units)), first, second};
  const auto history = read(facts);
  EXPECT_EQ(std::get<Injected>(*history.facts.front().payload).units, 6_units);
}

// The second, simpler model: corrections looked up one by one, everything sorted at the end.
RC_GTEST_PROP(Journal, H31_ASimplerModelReadsTheSame, ()) {
  const auto facts = some_journal();
  Said expected;
  auto& [standing, voided, hidden, rivals, waiting] = expected;
  const auto key = [](const Fact& f) {
    return std::make_tuple(f.happened.at, f.source, f.sequence, f.id);
  };
  auto ordered = facts;
  std::ranges::sort(ordered, {}, key);
  std::vector<std::tuple<std::tuple<Instant, std::string, std::uint32_t, Id>, Payload, Id>> stand;
  std::vector<Id> met;
  std::vector<const Fact*> rival_facts;
  for (const auto& f : ordered) {
    if (std::holds_alternative<Correction>(f.payload)) continue;
    std::vector<const Fact*> mine;
    for (const auto& c : ordered) {
      const auto* correction = std::get_if<Correction>(&c.payload);
      if (correction != nullptr && correction->target == f.id) mine.push_back(&c);
    }
    if (mine.empty()) {
      stand.emplace_back(key(f), f.payload, Id{});
      continue;
    }
    for (const auto* c : mine) met.push_back(c->id);
    const auto* holds = *std::ranges::max_element(mine, {}, [](const Fact* c) {
      return std::make_tuple(c->recorded, c->happened.at, c->sequence, c->id);
    });
    const auto& correction = std::get<Correction>(holds->payload);
    for (const auto* c : mine) {
      if (c != holds && !correction.wrong_person) rival_facts.push_back(c);
    }
    if (correction.wrong_person) {
      hidden.emplace_back(f.id, holds->id);
    } else if (!correction.replacement) {
      voided.emplace_back(f.id, holds->id);
    } else {
      const auto& instead = *correction.replacement;
      stand.emplace_back(std::make_tuple(instead.happened.at, f.source, instead.sequence, f.id),
                         instead.payload, holds->id);
    }
  }
  std::ranges::sort(stand, {}, [](const auto& s) { return std::get<0>(s); });
  for (const auto& [when, payload, correction] : stand) {
    standing.emplace_back(std::get<3>(when), std::get<0>(when), std::get<2>(when), payload,
                          correction);
  }
  std::ranges::sort(rival_facts, {}, [&](const Fact* f) { return key(*f); });
  for (const auto* f : rival_facts) rivals.push_back(f->id);
  for (const auto& f : ordered) {
    if (std::holds_alternative<Correction>(f.payload) &&
        std::ranges::find(met, f.id) == met.end()) {
      waiting.push_back(f.id);
    }
  }
  auto actual = said(read(facts));
  // The model lists no rivals of hidden facts; leave them out here, too.
  std::erase_if(std::get<2>(actual), [&](const auto& pair) {
    return std::ranges::any_of(facts, [&](const Fact& f) {
      return f.id == pair.first && std::holds_alternative<Correction>(f.payload);
    });
  });
  RC_ASSERT(actual == expected);
}

RC_GTEST_PROP(Journal, FindAgreesWithTheList, ()) {
  const auto facts = some_journal();
  const auto history = read(facts);
  for (const auto& each : facts) {
    const auto in_list = std::ranges::find_if(
        history.facts, [&](const Effective& e) { return e.fact->id == each.id; });
    const auto* found = find(history, each.id);
    RC_ASSERT((found == nullptr) == (in_list == history.facts.end()));
    RC_ASSERT(found == nullptr || found == &*in_list);
  }
}

}  // namespace
}  // namespace penstock::journal
