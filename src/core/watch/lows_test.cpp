#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <optional>
#include <vector>

#include "core/watch/watch.hpp"
#include "support/told.hpp"

namespace penstock::watch {
namespace {

using namespace penstock::literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;
using testing::ElementsAre;
using testing::IsEmpty;

Id id(std::uint64_t n) { return {0x1085, n}; }
constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
constexpr LocalDay day(int n) { return first_day + days{n - 1}; }
constexpr Instant at(int n, minutes time) { return Instant{day(n).time_since_epoch()} + time; }
constexpr std::optional<Id> every_dose;

/// Basal insulin from the first day; what the hypos on their way in ask about.
struct Story {
  std::vector<journal::Fact> facts;
  Id basal = order(1, first_day);

  Id tell(Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(facts.size() + 100), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  }
  Id order(int copied, LocalDay from, std::optional<Id> replaces = {}) {
    auto line = tests::bedtime_line(from, 20_units, 10_units, 30_units);
    line.signed_on = day(copied);
    line.replaces = replaces;
    return tell(at(copied, hours{9}), line);
  }
  chart::ChartPtr chart() const {
    return chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}},
                         {});
  }
  std::vector<std::optional<Id>> asks(Instant hypo, Instant now) {
    journal::GlucoseNoted noted;
    noted.needed_help = journal::YesNo::yes;
    return asks_after(noted, hypo, now);
  }
  std::vector<std::optional<Id>> asks_after(journal::Payload hypo, Instant at, Instant now) {
    const auto before = chart();
    tell(at, std::move(hypo));
    std::vector<std::optional<Id>> out;
    for (const auto& ask : lows_asks(*before, *chart(), now)) out.push_back(ask.line);
    return out;
  }
};

journal::Payload call(journal::YesNo drowsy) {
  journal::ContactMade made;
  made.low = journal::YesNo::yes;
  made.drowsy = drowsy;
  return made;
}

// Glucagon and an ambulance, told on the telephone: the next dose stood there as before.
TEST(Lows, H37_AHypoThatIsToldInACallAsksWhereTheyWereDrowsyOrItIsOneOfSeveral) {
  Story story;
  const auto tell = [&](int n, journal::YesNo drowsy) {
    return story.asks_after(call(drowsy), at(n, hours{15}), at(n, hours{16}));
  };
  EXPECT_THAT(tell(8, journal::YesNo::no), IsEmpty());
  EXPECT_THAT(tell(9, journal::YesNo::unknown), IsEmpty());
  EXPECT_THAT(tell(10, journal::YesNo::no), ElementsAre(every_dose)) << "the third of the week";
  EXPECT_THAT(tell(20, journal::YesNo::yes), ElementsAre(every_dose));
}

TEST(Lows, H37_TheDoseOfTonightAndThatOfALaterVersionAreBothAskedAbout) {
  Story story;
  story.order(10, day(11), story.basal);
  EXPECT_THAT(story.asks(at(10, hours{13}), at(10, hours{13})), ElementsAre(every_dose));
}

TEST(Lows, H37_WhereAnotherLineKnewOfTheHypoEachOfTheTwoHasItsQuestion) {
  Story story;
  const auto anew = story.order(10, day(12), story.basal);
  story.order(11, day(11));
  EXPECT_THAT(story.asks(at(10, hours{13}), at(11, hours{10})), ElementsAre(story.basal, anew));
}

TEST(Lows, H37_AVersionSignedOnALaterDayKnewOfTheHypo) {
  Story story;
  story.order(11, day(12), story.basal);
  EXPECT_THAT(story.asks(at(10, hours{13}), at(11, hours{10})), ElementsAre(story.basal));
}

TEST(Lows, H37_ALineThatEndsOnALaterDayIsAskedAboutUntilThen) {
  for (const int last : {10, 9}) {
    Story story;
    journal::OrderLineEnded ended;
    ended.line = story.basal;
    ended.last_day = day(last);
    story.tell(at(9, hours{9}), ended);
    if (last == 10)
      EXPECT_THAT(story.asks(at(10, hours{13}), at(10, hours{13})), ElementsAre(every_dose));
    else
      EXPECT_THAT(story.asks(at(10, hours{13}), at(10, hours{13})), IsEmpty());
  }
}

// The window of the last evening is open until midnight here: two hours after 22:00.
TEST(Lows, H37_TheLastDoseIsAskedAboutWhileItsWindowIsOpenPastMidnight) {
  for (const auto late : {minutes{0}, minutes{1}}) {
    Story story;
    story.order(11, day(11), story.basal);
    const auto asked = story.asks(at(10, hours{23}), at(11, late));
    if (late == minutes{0})
      EXPECT_THAT(asked, ElementsAre(story.basal));
    else
      EXPECT_THAT(asked, IsEmpty());
  }
}

TEST(Lows, H37_AVersionThatNeverHeldIsNotAskedAbout) {
  Story story;
  const auto slip = story.order(10, day(12), story.basal);
  const auto anew = story.order(10, day(12), slip);
  story.order(11, day(11));
  EXPECT_THAT(story.asks(at(10, hours{13}), at(11, hours{10})), ElementsAre(story.basal, anew));
}

}  // namespace
}  // namespace penstock::watch
