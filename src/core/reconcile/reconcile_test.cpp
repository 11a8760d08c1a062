#include "core/reconcile/reconcile.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "core/reconcile/clean_test.hpp"

namespace penstock::reconcile {
namespace {

using clean::found;
using clean::Life;
using clean::rank;
using clean::units;
using clean::when;
using std::chrono::days;
using std::chrono::minutes;

Accounts judged(const Request& request) {
  auto result = reconcile(request);
  EXPECT_TRUE(result.has_value()) << (result ? "" : result.error().code + result.error().at);
  return result ? *std::move(result) : Accounts{};
}
bool knows_not(const Accounts& accounts, std::string_view code) {
  return std::ranges::find(accounts.not_known, code) != accounts.not_known.end();
}

// ---- the accounts

void conserves(const Accounts& a) {
  EXPECT_EQ(a.left.held, sum(a.left.left, sum(a.left.rest_read, a.left.rest_assumed)));
  EXPECT_EQ(a.claimed.claimed,
            sum(a.claimed.injected, sum(a.claimed.primed_recorded, a.claimed.primed_by_rule)));
  EXPECT_EQ(a.dispensed.used, a.dispensed.before + a.dispensed.given - a.dispensed.after);
  EXPECT_EQ(a.dispensed.used, a.dispensed.opened + a.dispensed.missing);
  EXPECT_EQ(a.left_claimed.hundredths, a.left.left.hundredths() - a.claimed.claimed.hundredths());
  std::int64_t left = 0, claimed = 0, difference_sum = 0;
  for (const auto& row : a.rows) {
    if (!row.why_not.empty()) continue;
    left += row.left.hundredths();
    claimed += row.claimed.hundredths();
    difference_sum += row.difference_hundredths;
    EXPECT_EQ(row.held, sum(row.left, row.rest));
    EXPECT_TRUE(row.units.low <= row.units.high);
  }
  EXPECT_EQ(left, a.left.left.hundredths());
  EXPECT_EQ(claimed, a.claimed.claimed.hundredths());
  EXPECT_EQ(difference_sum, a.left_claimed.hundredths);
}

TEST(Reconcile, EachAccountIsTheSumOfItsParts) {
  for (const auto& life :
       {Life{}, Life{.missed = {3, 9, 20}}, Life{.dose = 7.5, .reads_rests = true}, Life{.lost = 1},
        Life{.unwritten = {5, 6, 30}}, Life{.forgotten = 2}}) {
    conserves(judged(life.request()));
  }
  conserves(judged(example()));
}

TEST(Reconcile, AnExactDiaryAgrees) {
  for (const double dose : {6.0, 13.0, 20.0, 33.0}) {
    const auto a = judged(Life{.dose = dose}.request());
    EXPECT_EQ(a.verdict, Verdict::agree) << dose;
    EXPECT_LT(a.probability, 0.4) << dose;
    EXPECT_TRUE(a.left_claimed.units.holds(0)) << dose;
    EXPECT_EQ(a.dispensed.missing, 0);
    EXPECT_EQ(a.question.code, questions::agree);
    EXPECT_TRUE(a.question.args.empty());
  }
}

TEST(Reconcile, PrimesWrittenDownAndPrimesByTheRuleAreTheSameUnits) {
  auto request = Life{}.request();
  const auto by_rule = judged(request);
  std::size_t next = 0;
  for (auto& entry : request.diary) {
    const bool is_first =
        next < request.cartridges.size() && entry.when.at > request.cartridges[next].opened.at;
    if (is_first) ++next;
    entry.primed = units(is_first ? 4 : 2);
  }
  const auto recorded = judged(request);
  EXPECT_EQ(recorded.claimed.claimed, by_rule.claimed.claimed);
  EXPECT_EQ(recorded.claimed.primed_recorded, by_rule.claimed.primed_by_rule);
  EXPECT_TRUE(knows_not(by_rule, unknowns::primes));
  EXPECT_FALSE(knows_not(recorded, unknowns::primes));
}

// ---- mechanisms, one by one

struct Planted {
  Mechanism which;
  Life life;
  double count;
  double units;
  std::ptrdiff_t rank_most;  // 2: another one looks the same in units
};

TEST(Reconcile, EachMechanismIsFoundAndItsIntervalHoldsWhatWasPlanted) {
  const std::set<int> twelve{2, 7, 11, 16, 20, 24, 29, 34, 38, 43, 47, 52};
  const std::set<int> six{4, 11, 23, 31, 40, 52},
      third{1, 4, 8, 12, 15, 18, 21, 24, 27, 30, 33, 37, 41, 44, 47, 50, 53, 55, 57, 58};
  const Planted all[] = {
      {Mechanism::missed_doses, Life{.missed = twelve}, 12, 264, 1},
      {Mechanism::double_doses, Life{.doubled = six}, 6, 132, 3},
      {Mechanism::primes_left_out, Life{.dose = 6, .left_out = third}, 20, 40, 2},
      {Mechanism::extra_priming, Life{.dose = 12, .extra_each = 1}, 60, 120, 1},
      {Mechanism::cartridge_thrown_early, Life{.early_rest = 120}, 2, 240, 1},
      {Mechanism::cartridge_lost, Life{.lost = 1}, 1, 300, 1},
      {Mechanism::change_not_recorded, Life{.forgotten = 2}, 1, 300, 1},
      {Mechanism::not_written, Life{.unwritten = twelve}, 12, 264, 2},
  };
  for (const auto& planted : all) {
    const auto a = judged(planted.life.request());
    const auto name = names_of(planted.which)[static_cast<std::size_t>(planted.which)];
    SCOPED_TRACE(std::string(name) + ", likeliest " +
                 std::string(mechanism_names[static_cast<std::size_t>(a.found.front().which)]));
    EXPECT_TRUE(a.differs);
    EXPECT_EQ(a.verdict, Verdict::differ);
    const auto& one = found(a, planted.which);
    EXPECT_TRUE(one.possible);
    EXPECT_LE(rank(a, planted.which), planted.rank_most);
    EXPECT_GT(one.probability, one.prior);
    EXPECT_TRUE(one.count.holds(planted.count))
        << one.count.low << " to " << one.count.high << ", not " << planted.count;
    EXPECT_LE(one.units.low, planted.units + 25);
    EXPECT_GE(one.units.high, planted.units - 25);
    EXPECT_FALSE(a.question.args.empty());
  }
}

TEST(Reconcile, AMisreadScaleIsNoFindingAboutThePerson) {
  const auto a = judged(Life{.misread = 50}.request());
  EXPECT_FALSE(a.differs);
  EXPECT_EQ(a.found.front().which, Mechanism::scale_misread);
  EXPECT_GT(a.found.front().probability, 0.5);
  EXPECT_TRUE(a.found.front().units.holds(50));
}

TEST(Reconcile, H41_AScaleCountIsAFactAndNeitherSideIsOverwritten) {
  const auto honest = Life{}.request();
  auto request = honest;
  request.cartridges.back().readings.back().left = units(13);
  const auto before = judged(honest), after = judged(request);
  const auto& row = after.rows.back();
  EXPECT_TRUE(row.rest_read);
  EXPECT_EQ(row.rest, units(13));                      // what was read
  EXPECT_EQ(row.claimed, before.rows.back().claimed);  // what the diary says
  EXPECT_EQ(row.difference_hundredths - before.rows.back().difference_hundredths,
            honest.cartridges.back().readings.back().left.hundredths() - 1300);
}

TEST(Reconcile, MissedAndDoubledInOneCartridgeCancelInSeveralTheyShow) {
  // The first cartridge serves days 0 to 12, the third 26 to 38 (13 doses each).
  const auto together = judged(Life{.missed = {3, 5, 7}, .doubled = {2, 8, 9}}.request());
  EXPECT_FALSE(together.differs);
  EXPECT_TRUE(together.left_claimed.units.holds(0));
  const auto apart =
      judged(Life{.missed = {2, 4, 6, 8, 10}, .doubled = {30, 31, 32, 33, 34}}.request());
  EXPECT_TRUE(apart.left_claimed.units.holds(0));
  EXPECT_TRUE(apart.differs);
  EXPECT_EQ(apart.question.code, questions::ask_single);
}

TEST(Reconcile, MoreMissedDosesAreNeverLessOfAFinding) {
  double last = 0;
  std::set<int> missed;
  for (const int day : {5, 47, 18, 33, 9, 56, 25, 40}) {
    missed.insert(day);
    const auto a = judged(Life{.missed = missed}.request());
    EXPECT_GE(a.probability, last - 0.05) << missed.size();
    last = a.probability;
  }
  EXPECT_GT(last, 0.99);
}

TEST(Reconcile, ProbabilitiesAreOnes) {
  for (const auto& life : {Life{}, Life{.missed = {4, 11, 23}}, Life{.lost = 2}}) {
    const auto a = judged(life.request());
    ASSERT_EQ(a.found.size(), mechanism_count);
    for (const auto& one : a.found) {
      EXPECT_GE(one.probability, 0);
      EXPECT_LE(one.probability, 1);
      EXPECT_TRUE(one.possible || one.probability == 0);
    }
    EXPECT_TRUE(std::ranges::is_sorted(a.found, [](const Found& x, const Found& y) {
      return x.possible != y.possible ? x.possible : x.probability > y.probability;
    }));
  }
}

TEST(Reconcile, EveryMechanismIsSomethingThatATalkCanComeTo) {
  EXPECT_EQ(explained_of(Mechanism::missed_doses), journal::Explained::missed_doses);
  EXPECT_EQ(explained_of(Mechanism::diary_later), journal::Explained::diary_later);
  EXPECT_EQ(explained_of(Mechanism::cartridge_lost), journal::Explained::cartridge_lost);
  EXPECT_EQ(explained_of(Mechanism::change_not_recorded), journal::Explained::other);
  EXPECT_EQ(explained_of(Mechanism::unknown), journal::Explained::not_known);
}

// ---- what is not known

TEST(Reconcile, NothingKnownIsSaidAndThereIsNoNumber) {
  Request request = Life{}.request();
  request.cartridges.clear();
  request.sealed_counts.clear();
  const auto a = judged(request);
  EXPECT_EQ(a.verdict, Verdict::not_known);
  EXPECT_EQ(a.question.code, questions::not_known);
  EXPECT_TRUE(a.question.args.empty());
  EXPECT_TRUE(a.found.empty());
  EXPECT_FALSE(a.left_claimed.known);
  EXPECT_FALSE(a.dispensed_left.known);
  EXPECT_FALSE(a.differs);
  EXPECT_TRUE(knows_not(a, unknowns::no_count));
  EXPECT_TRUE(knows_not(a, unknowns::no_cartridges));
  EXPECT_EQ(a.claimed.not_compared, 60);
}

// It said that the accounts agree: sealed ones were as many as opened, and there was no diary
// (H24).
TEST(Reconcile, H24_WithoutADiaryNothingAgrees) {
  auto request = Life{}.request();
  EXPECT_EQ(judged(request).verdict, Verdict::agree);
  request.diary.clear();
  const auto a = judged(request);
  EXPECT_TRUE(a.dispensed.known);
  EXPECT_EQ(a.verdict, Verdict::not_known);
  EXPECT_EQ(a.question.code, questions::no_diary);
  EXPECT_TRUE(a.found.empty());
}

TEST(Reconcile, WithoutADiaryNothingIsClaimedAndNothingCompared) {
  auto request = Life{}.request();
  request.diary.clear();
  request.sealed_counts.clear();
  const auto a = judged(request);
  EXPECT_EQ(a.verdict, Verdict::not_known);
  EXPECT_TRUE(knows_not(a, unknowns::no_diary));
  for (const auto& row : a.rows) EXPECT_FALSE(row.why_not.empty());
}

TEST(Reconcile, ARestThatNobodyReadCannotBeHeldAgainstAnybody) {
  auto request = Life{.dose = 4}.request();  // 6 units a day: the period ends first
  for (auto& use : request.cartridges) {
    if (!use.ended) continue;
    use.end = End::period_over;
    use.readings.clear();
  }
  request.cartridges.front().ended = when(28, 1315);
  const auto a = judged(request);
  EXPECT_TRUE(knows_not(a, unknowns::rest));
  EXPECT_EQ(a.rows.front().why_not, unknowns::rest);
  // The same where nobody said why, and the period was over.
  request.cartridges.front().end = End::not_said;
  EXPECT_EQ(judged(request).rows.front().why_not, unknowns::rest);
  request.in_use_days = 60;
  EXPECT_TRUE(judged(request).rows.front().why_not.empty());
}

TEST(Reconcile, ADiaryThatBeginsLateOrStopsOrHasAHoleIsNotHeldAgainstTheCartridge) {
  const auto whole = Life{}.request();
  auto late = whole;
  std::erase_if(late.diary, [](const Entry& e) { return e.when.day() < clean::first + days{5}; });
  EXPECT_EQ(judged(late).rows.front().why_not, unknowns::diary_begins);
  auto hole = whole;
  std::erase_if(hole.diary, [](const Entry& e) {
    return e.when.day() > clean::first + days{2} && e.when.day() < clean::first + days{8};
  });
  EXPECT_EQ(judged(hole).rows.front().why_not, unknowns::hole);
  auto stops = whole;
  std::erase_if(stops.diary, [](const Entry& e) { return e.when.day() > clean::first + days{50}; });
  const auto a = judged(stops);
  EXPECT_FALSE(a.rows.back().why_not.empty());
  EXPECT_FALSE(a.differs);
}

TEST(Reconcile, WithoutChangesTheCountsOfSealedOnesAreHeldAgainstTheDiary) {
  auto honest = Life{.days = 120}.request();
  auto missed = Life{.days = 120, .missed = {}}.request();
  std::set<int> half;
  for (int day = 0; day < 120; day += 2) half.insert(day);
  missed = Life{.days = 120, .missed = half}.request();
  honest.cartridges.clear();
  missed.cartridges.clear();
  const auto a = judged(honest), b = judged(missed);
  ASSERT_EQ(a.rows.size(), 1U);
  EXPECT_TRUE(a.rows.front().by_supply);
  EXPECT_TRUE(a.left_claimed.units.holds(0));
  EXPECT_FALSE(a.differs);
  EXPECT_TRUE(b.differs);
  EXPECT_LT(b.left_claimed.hundredths, -70'000);
  conserves(a);
}

TEST(Reconcile, GapsAreCountedAndAFewOfThemAreOrdinary) {
  const auto few = judged(Life{.unwritten = {7, 40}}.request());
  EXPECT_EQ(few.claimed.gaps, 2);
  EXPECT_FALSE(few.differs);
  EXPECT_FALSE(found(few, Mechanism::not_written).possible);
  const auto none = judged(Life{}.request());
  EXPECT_EQ(none.claimed.gaps, 0);
}

// ---- order, repetitions, periods

TEST(Reconcile, TheOrderOfTheListsDoesNotMatterAndTheSameEntryTwiceCountsOnce) {
  const auto request = Life{.missed = {4, 11, 23, 31}}.request();
  auto mixed = request;
  std::ranges::reverse(mixed.diary);
  std::ranges::rotate(mixed.diary, mixed.diary.begin() + 17);
  mixed.diary.push_back(request.diary[3]);
  mixed.diary.push_back(request.diary[30]);
  std::ranges::reverse(mixed.cartridges);
  const auto a = judged(request), b = judged(mixed);
  EXPECT_EQ(b.claimed.twice, 2);
  EXPECT_EQ(a.claimed.claimed, b.claimed.claimed);
  EXPECT_EQ(a.left.left, b.left.left);
  EXPECT_DOUBLE_EQ(a.probability, b.probability);
  // Ten minutes later it is another injection.
  mixed.diary.push_back(request.diary[3]);
  mixed.diary.back().when.at += minutes{10};
  EXPECT_EQ(judged(mixed).claimed.injections, b.claimed.injections + 1);
}

TEST(Reconcile, APeriodMayBeLongerThanTheDataAndMustNotBeUpsideDown) {
  auto request = Life{.missed = {4, 11, 23, 31, 40}}.request();
  const auto a = judged(request);
  request.from -= days{100};
  request.until += days{100};
  const auto longer = judged(request);
  EXPECT_EQ(a.claimed.claimed, longer.claimed.claimed);
  EXPECT_DOUBLE_EQ(a.probability, longer.probability);
  request.until = request.from - days{1};
  EXPECT_EQ(reconcile(request).error().code, codes::period);
  request.until = request.from + days{limits::days_most};
  EXPECT_EQ(reconcile(request).error().code, codes::period);
}

TEST(Reconcile, APeriodWithNothingInItKnowsNothing) {
  auto request = Life{}.request();
  request.from += days{200};
  request.until = request.from + days{30};
  request.sealed_counts.clear();
  const auto a = judged(request);
  EXPECT_EQ(a.verdict, Verdict::not_known);
  EXPECT_TRUE(a.rows.empty() || !a.rows.front().why_not.empty());
}

TEST(Reconcile, OnlyCartridgesOfThePeriodAreCompared) {
  auto request = Life{.missed = {1, 2, 3}}.request();  // all in the first cartridge
  request.from = clean::first + days{30};
  const auto a = judged(request);
  for (const auto& row : a.rows) EXPECT_GE(row.until.day(), request.from);
  EXPECT_FALSE(a.differs);
}

TEST(Reconcile, H18_DaysAndMinutesAreThoseOfTheClockAlsoWhenItChanges) {
  // The same life, two clocks: one zone all the time, and one that goes forward on day 20 and back
  // on day 45.
  const auto plain = Life{.missed = {4, 23, 31, 52}, .unwritten = {20, 45}}.request();
  auto moved = plain;
  const auto turn = [](When& at) {
    const auto day = (at.day() - clean::first).count();
    if (day < 20 || day >= 45) return;
    at.at -= minutes{60};
    at.offset_minutes = static_cast<std::int16_t>(at.offset_minutes + 60);
  };
  for (auto& entry : moved.diary) turn(entry.when);
  for (auto& use : moved.cartridges) {
    turn(use.opened);
    if (use.ended) turn(*use.ended);
    for (auto& reading : use.readings) turn(reading.when);
  }
  const auto a = judged(plain), b = judged(moved);
  EXPECT_EQ(a.claimed.claimed, b.claimed.claimed);
  EXPECT_EQ(a.claimed.gaps, 2);
  EXPECT_EQ(b.claimed.gaps, 2);
  EXPECT_DOUBLE_EQ(a.probability, b.probability);
  for (std::size_t i = 0; i < a.signs.size(); ++i) {
    EXPECT_DOUBLE_EQ(a.signs[i].ratio, b.signs[i].ratio);
    EXPECT_DOUBLE_EQ(a.signs[i].value, b.signs[i].value);
  }
}

TEST(Reconcile, AnEntryNamesItsCartridgeOrTheTimeDoes) {
  auto request = Life{}.request();
  const auto by_time = judged(request);
  for (auto& entry : request.diary) {
    for (std::size_t c = 0; c < request.cartridges.size(); ++c) {
      if (request.cartridges[c].opened.at <= entry.when.at) entry.cartridge = c;
    }
  }
  EXPECT_EQ(judged(request).claimed.claimed, by_time.claimed.claimed);
  // Written a little before the change that it was made for: it came from the new one.
  request = Life{}.request();
  for (auto& entry : request.diary) entry.when.at -= minutes{20};
  const auto early = judged(request);
  for (std::size_t i = 0; i < early.rows.size(); ++i)
    EXPECT_EQ(early.rows[i].claimed, by_time.rows[i].claimed) << i;
}

// ---- what a request may be

TEST(Reconcile, LimitsAreRefusedAtTheirPlace) {
  const auto code = [](auto change) {
    auto request = Life{}.request();
    change(request);
    const auto result = reconcile(request);
    return result ? std::string("taken") : result.error().code + " " + result.error().at;
  };
  EXPECT_EQ(code([](Request& r) { r.strength = {9}; }),
            "reconcile.strength /strength_units_per_ml");
  EXPECT_EQ(code([](Request& r) { r.cartridge = units(1000); }), "taken");  // ten millilitres
  EXPECT_EQ(code([](Request& r) { r.cartridge = units(1000.01); }),
            "reconcile.cartridge /cartridge_units");
  EXPECT_EQ(code([](Request& r) { r.cartridge = Units::zero(); }),
            "reconcile.cartridge /cartridge_units");
  EXPECT_EQ(code([](Request& r) { r.new_cartridge_prime = units(100.01); }),
            "reconcile.prime /new_cartridge_prime_units");
  EXPECT_EQ(code([](Request& r) { r.in_use_days = 401; }), "reconcile.in_use_days /in_use_days");
  EXPECT_EQ(code([](Request& r) { r.ordered.push_back(r.ordered.front()); }),
            "reconcile.ordered /ordered/1");
  EXPECT_EQ(code([](Request& r) { r.ordered.front().doses.resize(13, units(1)); }),
            "reconcile.ordered /ordered/0");
  EXPECT_EQ(code([](Request& r) { r.sealed_before = -1; }), "reconcile.pieces /sealed_before");
  EXPECT_EQ(code([](Request& r) { r.cartridges[1].readings.push_back({when(0, 0), units(1)}); }),
            "reconcile.times /cartridges/1");
  EXPECT_EQ(code([](Request& r) { r.cartridges[0].rest = units(301); }),
            "reconcile.not_fuller /cartridges/0/rest_units");
  EXPECT_EQ(code([](Request& r) { r.diary[2].primed = units(301); }),
            "reconcile.dose /diary/2/primed_units");
  EXPECT_EQ(code([](Request& r) { r.diary[2].cartridge = r.cartridges.size(); }),
            "reconcile.which /diary/2/cartridge");
  EXPECT_EQ(code([](Request& r) { r.diary[2].slot = std::string(65, 'x'); }),
            "reconcile.slot_name /diary/2/slot");
  EXPECT_EQ(code([](Request& r) { r.diary.resize(limits::entries_most + 1); }),
            "reconcile.too_many /diary");
}

TEST(Reconcile, MoreInjectionsThanACartridgeCanGiveAreNotCompared) {
  auto request = Life{.days = 10}.request();
  for (int i = 0; i < limits::injections_most + 1; ++i) {
    Entry entry;
    entry.when = when(1, i);
    entry.units = units(0.5);
    request.diary.push_back(entry);
  }
  const auto a = judged(request);
  EXPECT_EQ(a.rows.front().why_not, unknowns::too_many);
  EXPECT_TRUE(knows_not(a, unknowns::too_many));
}

// ---- whatever comes

rc::Gen<When> moment() {
  return rc::gen::map(rc::gen::inRange(-20 * 1440, 90 * 1440),
                      [](int minute) { return when(0, minute, minute % 3 == 0 ? 120 : 60); });
}
rc::Gen<Units> amount(int most) {
  return rc::gen::map(rc::gen::inRange(0, most + 1), [](int n) { return units(n); });
}

RC_GTEST_PROP(ReconcileProperty, AnythingAllowedHasAnAnswerThatAddsUp, ()) {
  Request request = Life{}.request();
  request.prime = *amount(5);
  request.new_cartridge_prime = *amount(8);
  request.cartridges.clear();
  request.diary.clear();
  request.sealed_counts.clear();
  const int cartridges = *rc::gen::inRange(0, 8);
  for (int i = 0; i < cartridges; ++i) {
    CartridgeUse use;
    use.opened = *moment();
    use.held = *amount(300);
    use.was_new = *rc::gen::arbitrary<bool>();
    use.end = static_cast<End>(*rc::gen::inRange(0, 4));
    const auto after = [&] {
      auto at = use.opened;
      at.at += minutes{*rc::gen::inRange(0, 40 * 1440)};
      return at;
    };
    if (*rc::gen::arbitrary<bool>()) use.ended = after();
    if (*rc::gen::arbitrary<bool>()) use.rest = *amount(300);
    if (*rc::gen::arbitrary<bool>()) use.readings.push_back({after(), *amount(300)});
    request.cartridges.push_back(use);
  }
  const int entries = *rc::gen::inRange(0, 120);
  for (int i = 0; i < entries; ++i) {
    Entry entry;
    entry.when = *moment();
    entry.units = *amount(60);
    if (*rc::gen::arbitrary<bool>()) entry.primed = *amount(6);
    if (*rc::gen::arbitrary<bool>())
      entry.recorded = entry.when.at + minutes{*rc::gen::inRange(0, 9000)};
    request.diary.push_back(entry);
  }
  for (int i = *rc::gen::inRange(0, 3); i > 0; --i)
    request.sealed_counts.push_back({*moment(), *rc::gen::inRange(0, 40)});
  const auto result = reconcile(request);
  RC_ASSERT(result.has_value());
  conserves(*result);
  RC_ASSERT(!::testing::Test::HasFailure());
  RC_ASSERT(result->probability >= 0 && result->probability <= 1 + 1e-9);
  for (const auto& one : result->found) {
    RC_ASSERT(std::isfinite(one.probability) && std::isfinite(one.units.high));
    RC_ASSERT(one.units.low <= one.units.high && one.count.low <= one.count.high);
  }
  for (const auto& sign : result->signs) RC_ASSERT(std::isfinite(sign.ratio) && sign.ratio > 0);
}

// ---- a diary that was written afterwards

Request with_times(std::uint64_t seed, double sd, int rounded_to) {
  auto request = Life{}.request();
  for (auto& entry : request.diary) {
    double spread = 0;
    for (int i = 0; i < 12; ++i) {
      seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
      spread += static_cast<double>(seed >> 40U) / static_cast<double>(1U << 24U);
    }
    const int off = static_cast<int>(std::lround((spread - 6) * sd));
    const auto day = static_cast<int>((entry.when.day() - clean::first).count());
    entry.when = when(day, std::max(1290, (1320 + off) / rounded_to * rounded_to));
  }
  return request;
}

TEST(Reconcile, EvenTimesOnQuarterHoursAreASignAndOrdinaryOnesAreNot) {
  const auto later = judged(with_times(1, 0, 15));
  EXPECT_TRUE(later.diary_later);
  EXPECT_FALSE(later.differs);
  EXPECT_EQ(later.verdict, Verdict::agree);  // units agree; the diary is another matter
  EXPECT_EQ(later.question.code, questions::ask_diary);
  for (const auto& [sd, to] : {std::pair{25.0, 1}, {40.0, 5}, {30.0, 15}, {6.0, 1}}) {
    const auto live = judged(with_times(2, sd, to));
    EXPECT_FALSE(live.diary_later) << sd << " " << to;
    EXPECT_EQ(live.question.code, questions::agree) << sd << " " << to;
  }
}

TEST(Reconcile, AFewEntriesSayNothingAboutADiary) {
  const auto a = judged(Life{.days = 19}.request());
  EXPECT_TRUE(knows_not(a, unknowns::few_entries));
  EXPECT_FALSE(found(a, Mechanism::diary_later).possible);
  EXPECT_TRUE(a.signs.empty());
}

TEST(Reconcile, WrittenInBatchesIsSeenOnlyWhereTheMomentOfWritingIsKnown) {
  auto request = with_times(3, 25, 5);
  const auto unknown = judged(request);
  EXPECT_TRUE(knows_not(unknown, unknowns::recorded));
  const auto probability = found(unknown, Mechanism::diary_later).probability;
  for (auto& entry : request.diary) entry.recorded = entry.when.at + minutes{5};
  EXPECT_LT(found(judged(request), Mechanism::diary_later).probability, probability);
  for (auto& entry : request.diary) {
    const auto day = (entry.when.day() - clean::first).count();
    entry.recorded = when(static_cast<int>(day / 20 * 20 + 21), 900).at;
  }
  const auto batched = judged(request);
  EXPECT_GT(found(batched, Mechanism::diary_later).probability, 4 * probability);
  EXPECT_FALSE(knows_not(batched, unknowns::recorded));
}

TEST(Reconcile, EqualAmountsSaySomethingOnlyWhereTheOrderLeavesThemOpen) {
  auto request = with_times(4, 25, 5);
  const auto sign = [](const Accounts& a, Sign which) {
    return *std::ranges::find(a.signs, which, &SignFound::which);
  };
  EXPECT_EQ(sign(judged(request), Sign::equal_amounts).entries, 0);
  request.ordered.front().varies = true;
  const auto equal = sign(judged(request), Sign::equal_amounts);
  EXPECT_EQ(equal.entries, 60);
  EXPECT_GT(equal.ratio, 5);
  int next = 0;
  for (auto& entry : request.diary) entry.units = units(16 + next++ * 7 % 9);
  EXPECT_LT(sign(judged(request), Sign::equal_amounts).ratio, 0.2);
}

TEST(Reconcile, S4_IsGivenUpBetweenItsPartsOnceNobodyWaits) {
  int asked = 0;
  ASSERT_TRUE(reconcile(example(), [&asked] { return ++asked == 0; }));
  EXPECT_GT(asked, 20);
  for (int patience = 0; patience < asked; patience += 1 + patience / 8) {
    int now = 0;
    const auto answer = reconcile(example(), [&] { return ++now > patience; });
    ASSERT_FALSE(answer) << patience;
    EXPECT_EQ(answer.error().kind, Kind::unavailable);
    EXPECT_EQ(answer.error().code, penstock::codes::stopped);
    EXPECT_LE(now, patience + 60);
  }
}

TEST(Reconcile, TheExampleIsThreeMissedDoses) {
  const auto a = judged(example());
  EXPECT_TRUE(a.differs);
  EXPECT_EQ(a.left_claimed.hundredths, -6400);
  EXPECT_TRUE(found(a, Mechanism::missed_doses).count.holds(3));
  // Primes left out, missed doses: a change that was not written down is not named, for nothing
  // speaks for it (pharmacist D11).
  EXPECT_EQ(a.question.code, questions::ask_two);
  ASSERT_EQ(a.question.args.size(), 3U);
  EXPECT_EQ(a.question.args.front(), arg_units("units", units(65)));
  EXPECT_EQ(a.question.args[1].text, "mechanism/primes left out");
  EXPECT_EQ(a.question.args[2].text, "mechanism/missed doses");
}

/// Nothing on Fridays to Sundays: no injection, no entry, everything else exact.
Request away_at_weekends(Life life) {
  const auto off = [](int day) {
    const std::chrono::weekday weekday{clean::first + std::chrono::days{day}};
    return weekday == std::chrono::Friday || weekday == std::chrono::Saturday ||
           weekday == std::chrono::Sunday;
  };
  for (int day = 0; day < life.days; ++day) {
    if (!off(day)) continue;
    life.missed.insert(day);
    life.unwritten.insert(day);
  }
  return life.request();
}

// Pharmacist D11: every unit is accounted for, whatever the gaps in the diary.
TEST(Reconcile, H24_AccountsThatAgreeAreNoFindingWhateverTheGaps) {
  for (const double dose : {6.0, 20.0}) {
    for (const int days : {30, 60, 90}) {
      const auto a = judged(away_at_weekends({.days = days, .dose = dose}));
      EXPECT_GT(a.claimed.gaps, 0);
      EXPECT_FALSE(a.differs) << dose << " " << days;
      EXPECT_EQ(a.verdict, Verdict::agree) << dose << " " << days;
      const auto own = static_cast<double>(a.left_claimed.hundredths) / 100;
      EXPECT_TRUE(a.left_claimed.units.holds(own))
          << dose << " " << days << ": " << own << " not in " << a.left_claimed.units.low << " to "
          << a.left_claimed.units.high;
      EXPECT_EQ(a.question.code, questions::agree);
    }
  }
}
// And what is missing at such a person is found all the same.
TEST(Reconcile, MissedDosesAreFoundAtSomebodyWhoIsAway) {
  Life life{.days = 60, .dose = 20};
  life.missed = {2, 7, 15, 22, 30, 37};  // on working days: written, not given
  const auto a = judged(away_at_weekends(life));
  EXPECT_TRUE(a.differs);
  EXPECT_LT(a.left_claimed.hundredths, 0);
}

// Nurse A6: a diary came in again, its times some minutes off.
TEST(Reconcile, ADiaryEnteredTwiceIsNotAPersonWhoMissedDoses) {
  auto request = Life{.days = 60, .dose = 20}.request();
  const auto once = request.diary;
  for (auto again : once) {
    again.when.at += std::chrono::minutes{17};
    request.diary.push_back(again);
  }
  const auto a = judged(request);
  EXPECT_TRUE(a.differs);
  EXPECT_GT(a.claimed.alike, 50);
  EXPECT_EQ(a.found.front().which, Mechanism::entered_twice);
  EXPECT_GT(a.question.args.size(), 1U);
  EXPECT_EQ(a.question.args[1].text, "mechanism/entered twice");
  EXPECT_EQ(judged(Life{.days = 60, .dose = 20}.request()).claimed.alike, 0);
}

}  // namespace
}  // namespace penstock::reconcile
