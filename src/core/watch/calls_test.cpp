#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "core/watch/watch.hpp"
#include "support/small_shelf.hpp"
#include "support/told.hpp"

namespace penstock::watch {
namespace {

using namespace penstock::literals;
using journal::ContactMade;
using journal::ContactOutcome;
using journal::Meeting;
using journal::MeetingWhy;
using std::chrono::days;
using std::chrono::hours;

Id id(std::uint64_t n) { return {0xCA11, n}; }
constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
constexpr Instant at(int day, int hour) {
  return Instant{first_day.time_since_epoch()} + days{day - 1} + hours{hour};
}

struct Story {
  chart::Clinic clinic;
  std::vector<journal::Fact> facts;
  Story() { clinic.shelf = tests::small_shelf(); }

  Id tell(Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(100 + facts.size()), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  }
  Id order(Instant when, Units dose, std::optional<Id> replaces = {}) {
    auto line = tests::bedtime_line(first_day, dose, 10_units, 30_units);
    line.replaces = replaces;
    const auto made = tell(when, line);
    tell(when, journal::OrderLineChecked{made, "Tom Reyes", {}});
    return made;
  }
  void inject(Instant when, Id line) {
    journal::Injected dose;
    dose.cartridge = id(7);
    dose.units = 20_units;
    dose.line = line;
    dose.slot = journal::SlotName::bedtime;
    tell(when, dose);
  }
  void call(Instant when, ContactOutcome outcome, std::optional<Id> appointment = {}) {
    ContactMade made;
    made.outcome = outcome;
    made.appointment = appointment;
    tell(when, made);
  }
  /// Of the calls and visits alone: what rings at an hour, and what for.
  std::vector<std::string> rings(Instant now) const {
    const auto chart =
        chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}}, {});
    std::vector<std::string> out;
    const auto all = watches(*chart, clinic);
    for (const auto* watch : ringing(all, {}, now)) {
      const auto* figures = std::get_if<Contacting>(&watch->figures);
      if (figures == nullptr) continue;
      const auto why = names_of(figures->why)[static_cast<std::size_t>(figures->why)];
      out.push_back(std::string(word_of(watch->what)) + " " + std::string(why) + " " +
                    std::to_string(figures->tries));
    }
    return out;
  }
};

using testing::ElementsAre;
using testing::IsEmpty;

TEST(Calls, AStartIsCalledAboutOnTheFirstThirdAndSeventhDayAndACallThatGotThroughEndsIt) {
  Story story;
  const auto line = story.order(at(1, 9), 20_units);
  EXPECT_THAT(story.rings(at(2, 10)), IsEmpty()) << "nothing was injected yet";
  story.inject(at(1, 22), line);
  EXPECT_THAT(story.rings(at(1, 23)), IsEmpty());
  EXPECT_THAT(story.rings(at(2, 10)), ElementsAre("call_due first week 0"));
  story.call(at(2, 11), ContactOutcome::no_answer);
  EXPECT_THAT(story.rings(at(2, 12)), ElementsAre("call_due first week 0"));
  story.call(at(2, 15), ContactOutcome::reached);
  EXPECT_THAT(story.rings(at(2, 16)), IsEmpty());
  EXPECT_THAT(story.rings(at(4, 9)), ElementsAre("call_due first week 0"));
  EXPECT_THAT(story.rings(at(6, 9)), IsEmpty()) << "what nobody made by then is not made up for";
  EXPECT_THAT(story.rings(at(8, 9)), ElementsAre("call_due first week 0"));
  EXPECT_THAT(story.rings(at(20, 9)), IsEmpty());
}

TEST(Calls, AChangeOfDoseIsCalledAboutAndTheSameDoseCopiedAnewIsNot) {
  Story story;
  const auto line = story.order(at(1, 9), 20_units);
  story.inject(at(1, 22), line);
  const auto same = story.order(at(20, 9), 20_units, line);
  story.inject(at(20, 22), same);
  EXPECT_THAT(story.rings(at(21, 10)), IsEmpty());
  const auto more = story.order(at(30, 9), 22_units, same);
  story.inject(at(30, 22), more);
  EXPECT_THAT(story.rings(at(31, 10)), ElementsAre("call_due dose changed 0"));
}

TEST(Calls, WhatWasAgreedStaysUntilSomebodySaysWhatBecameOfIt) {
  Story story;
  const auto agreed = story.tell(
      at(1, 9),
      journal::AppointmentMade{Meeting::call, {at(3, 10), 0}, MeetingWhy::supplies, "Femi", ""});
  EXPECT_THAT(story.rings(at(2, 10)), IsEmpty());
  EXPECT_THAT(story.rings(at(3, 9)), ElementsAre("contact_due supplies 0"));
  for (const int hour : {10, 12, 16}) story.call(at(3, hour), ContactOutcome::no_answer, agreed);
  EXPECT_THAT(story.rings(at(3, 17)), ElementsAre("contact_due supplies 3"));
  EXPECT_THAT(story.rings(at(5, 17)), ElementsAre("contact_due supplies 3"));
  story.call(at(5, 18), ContactOutcome::reached, agreed);
  EXPECT_THAT(story.rings(at(5, 19)), IsEmpty());
}

TEST(Calls, APromiseToRingBackIsKeptUntilACallGetsThrough) {
  Story story;
  ContactMade promised;
  promised.outcome = ContactOutcome::reached;
  promised.rings_back = journal::RingsBack::we;
  promised.ring_back_by = When{at(1, 16), 0};
  story.tell(at(1, 10), promised);
  EXPECT_THAT(story.rings(at(1, 11)), ElementsAre("ring_back ring back 0"));
  story.call(at(1, 15), ContactOutcome::message_left);
  EXPECT_THAT(story.rings(at(1, 17)), ElementsAre("ring_back ring back 1"));
  story.call(at(1, 18), ContactOutcome::reached);
  EXPECT_THAT(story.rings(at(1, 19)), IsEmpty());
  promised.rings_back = journal::RingsBack::they;
  promised.ring_back_by = When{at(2, 12), 0};
  story.tell(at(2, 9), promised);
  EXPECT_THAT(story.rings(at(2, 10)), IsEmpty());
  EXPECT_THAT(story.rings(at(2, 13)), ElementsAre("not_rung_back ring back 0"));
}

// A call in which somebody was ill ended the reminder of the first week, and Today had nothing.
TEST(Calls, WhoWasIllInACallIsCalledAgainAndStandsOnTodayAsAStop_H53_H61) {
  Story story;
  const auto line = story.order(at(1, 9), 20_units);
  story.inject(at(1, 22), line);
  ContactMade ill;
  ill.not_eating = journal::YesNo::yes;
  story.tell(at(2, 11), ill);
  EXPECT_THAT(story.rings(at(2, 12)), ElementsAre("call_due first week 0"));
  const auto held = [&](Instant now) {
    const auto chart = chart::finish(chart::begin(id(1), story.facts.size(), {}, story.facts, {}),
                                     ZoneRules{"UTC", {}}, {});
    const auto all = watches(*chart, story.clinic);
    std::vector<NoNumber> out;
    for (const auto* watch : ringing(all, {}, now)) {
      if (watch->what == What::dose_held && alarm(*watch, now)->level == Level::stop)
        out.push_back(std::get<HeldBy>(watch->figures).why);
    }
    return out;
  };
  EXPECT_THAT(held(at(2, 12)), ElementsAre(NoNumber::ill));
  ill.not_eating = journal::YesNo::no;
  story.tell(at(2, 13), ill);
  EXPECT_THAT(held(at(2, 14)), testing::Not(testing::Contains(NoNumber::ill)));
  journal::GlucoseNoted low;
  low.value = Glucose{GlucoseUnit::mmol_l, 31};
  story.tell(at(2, 20), low);
  EXPECT_THAT(held(at(2, 21)), testing::Contains(NoNumber::low)) << "H10: due at 22:00";
  EXPECT_THAT(held(at(2, 22)), testing::Not(testing::Contains(NoNumber::low)));
}

TEST(Calls, AnOrderForCorrectionsIsNoHeldDoseOnToday_H32_H10) {
  Story story;
  auto line = tests::bedtime_line(first_day, 4_units, 1_units, 6_units);
  const auto held = [&](journal::Purpose purpose) {
    auto of = story;
    line.purpose = purpose;
    const auto made = of.tell(at(1, 9), line);
    of.tell(at(1, 9), journal::OrderLineChecked{made, "Tom Reyes", {}});
    const auto chart = chart::finish(chart::begin(id(1), of.facts.size(), {}, of.facts, {}),
                                     ZoneRules{"UTC", {}}, {});
    const auto all = watches(*chart, of.clinic);
    return std::ranges::any_of(all, [](const Watch& one) { return one.what == What::dose_held; });
  };
  EXPECT_TRUE(held(journal::Purpose::background)) << "no pen is on record";
  EXPECT_FALSE(held(journal::Purpose::correction));
}

}  // namespace
}  // namespace penstock::watch
