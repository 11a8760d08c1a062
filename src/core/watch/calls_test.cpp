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

ContactMade of_visit(ContactOutcome outcome) {
  ContactMade made;
  made.meeting = Meeting::visit;
  made.outcome = outcome;
  return made;
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
  /// What rings at an hour, whatever it is about.
  std::vector<What> all(Instant now) const {
    const auto chart =
        chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}}, {});
    const auto all = watches(*chart, clinic);
    std::vector<What> out;
    for (const auto* watch : ringing(all, {}, now)) out.push_back(watch->what);
    return out;
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
  EXPECT_THAT(story.rings(at(2, 12)), ElementsAre("call_due first week 1"));
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

// A visit of which nobody said anything was gone after three days.
TEST(Calls, H32_AVisitStaysUntilSomebodySaysWhatBecameOfItOrALaterOneTookPlace) {
  const journal::AppointmentMade visit{
      Meeting::visit, {at(3, 10), 0}, MeetingWhy::review, "Femi", ""};
  Story story;
  const auto agreed = story.tell(at(1, 9), visit);
  EXPECT_THAT(story.rings(at(3, 17)), ElementsAre("contact_due review 0"));
  EXPECT_THAT(story.rings(at(90, 9)), ElementsAre("contact_due review 0"));
  auto said = story;
  auto made = of_visit(ContactOutcome::came);
  made.appointment = agreed;
  said.tell(at(5, 9), made);
  EXPECT_THAT(said.rings(at(5, 10)), IsEmpty());
  auto moved = story;
  journal::Correction other{agreed, "another time", {}, {}};
  auto then = visit;
  then.at = {at(9, 10), 0};
  other.replacement =
      std::make_shared<const journal::Replacement>(journal::Replacement{{at(1, 9), 0}, 0, then});
  moved.tell(at(4, 9), other);
  EXPECT_THAT(moved.rings(at(5, 9)), IsEmpty());
  EXPECT_THAT(moved.rings(at(9, 9)), ElementsAre("contact_due review 0"));
  auto seen = story;
  made.appointment = {};
  seen.tell(at(20, 9), made);
  EXPECT_THAT(seen.rings(at(20, 10)), IsEmpty());
  auto closed = story;
  closed.tell(at(20, 9), journal::VisitClosed{{at(20, 8), 0}, "", "", {}});
  EXPECT_THAT(closed.rings(at(20, 10)), IsEmpty());
}

TEST(Calls, H32_WhoDidNotComeIsPhonedTheSameDayUntilReachedOrGivenANewTime) {
  const auto missed = [](Id agreed) {
    auto made = of_visit(ContactOutcome::did_not_come);
    made.appointment = agreed;
    return made;
  };
  journal::AppointmentMade visit{Meeting::visit, {at(3, 10), 0}, MeetingWhy::review, "", ""};
  Story story;
  const auto agreed = story.tell(at(1, 9), visit);
  story.tell(at(3, 11), missed(agreed));
  EXPECT_THAT(story.rings(at(3, 12)), ElementsAre("did_not_come review 0"));
  EXPECT_THAT(story.rings(at(30, 12)), ElementsAre("did_not_come review 0"));
  story.call(at(3, 13), ContactOutcome::no_answer);
  EXPECT_THAT(story.rings(at(3, 14)), ElementsAre("did_not_come review 1"));
  auto reached = story;
  reached.call(at(3, 15), ContactOutcome::reached);
  EXPECT_THAT(reached.rings(at(3, 16)), IsEmpty());
  auto again = story;
  visit.at = {at(8, 10), 0};
  const auto next = again.tell(at(3, 15), visit);
  EXPECT_THAT(again.rings(at(3, 16)), IsEmpty());
  again.tell(at(8, 11), missed(next));
  EXPECT_THAT(again.rings(at(8, 12)), ElementsAre("did_not_come review 1"));
}

// Three calls that were not due stood nowhere on Today.
TEST(Calls, H32_H38_AThirdCallWithoutAnAnswerLeadsToTheContactPersonWhateverTheCallsWere) {
  Story story;
  story.call(at(1, 9), ContactOutcome::no_answer);
  story.call(at(1, 12), ContactOutcome::message_left);
  EXPECT_THAT(story.rings(at(1, 13)), IsEmpty());
  ContactMade off;
  off.outcome = ContactOutcome::cancelled;
  story.tell(at(1, 14), off);
  EXPECT_THAT(story.rings(at(1, 15)), IsEmpty()) << "called off is not tried";
  story.call(at(2, 9), ContactOutcome::wrong_number);
  EXPECT_THAT(story.rings(at(2, 10)), ElementsAre("not_reached review 3"));
  auto due = story;
  due.tell(at(2, 11),
           journal::AppointmentMade{Meeting::call, {at(2, 11), 0}, MeetingWhy::supplies, "", ""});
  EXPECT_THAT(due.rings(at(2, 12)), ElementsAre("contact_due supplies 3"));
  auto seen = story;
  seen.tell(at(3, 9), journal::VisitClosed{{at(3, 8), 0}, "", "", {}});
  EXPECT_THAT(seen.rings(at(3, 10)), IsEmpty());
  story.call(at(2, 12), ContactOutcome::reached);
  EXPECT_THAT(story.rings(at(2, 13)), IsEmpty());
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

// None of these three was on Today.
TEST(Calls, H32_WhatAVisitLeftOpenIsOnTodayOnceItsHourHasPassed) {
  Story story;
  story.tell(at(1, 10), journal::VisitClosed{{at(1, 9), 0}, "", "Femi Adair", When{at(2, 16), 0}});
  story.tell(at(1, 10), of_visit(ContactOutcome::came));
  EXPECT_THAT(story.all(at(2, 15)), IsEmpty());
  EXPECT_THAT(story.all(at(2, 17)), ElementsAre(What::left_open));
  auto again = story;
  story.call(at(2, 18), ContactOutcome::no_answer);
  EXPECT_THAT(story.all(at(2, 19)), ElementsAre(What::left_open));
  story.call(at(2, 20), ContactOutcome::reached);
  EXPECT_THAT(story.all(at(2, 21)), IsEmpty());
  again.tell(at(3, 10), journal::VisitClosed{{at(3, 9), 0}, "", "", {}});
  EXPECT_THAT(again.all(at(3, 11)), IsEmpty());
}

TEST(Calls, H34_H46_ANeedlestickIsOnTodayUntilItsFollowUpIsDone) {
  Story story;
  const journal::Needlestick first{journal::Pricked::carer, "Washed.", "", {}};
  const auto stick = story.tell(at(1, 10), first);
  EXPECT_THAT(story.all(at(40, 10)), ElementsAre(What::needlestick));
  auto then = first;
  then.follow_up_with = "the emergency department";
  const auto becomes = [&](int day, const journal::Needlestick& said) {
    journal::Correction correction{stick, "the follow-up", {}, {}};
    correction.replacement =
        std::make_shared<const journal::Replacement>(journal::Replacement{{at(1, 10), 0}, 0, said});
    story.tell(at(day, 10), correction);
  };
  becomes(2, then);
  EXPECT_THAT(story.all(at(2, 11)), ElementsAre(What::needlestick));
  then.follow_up_done = first_day + days{1};
  becomes(3, then);
  EXPECT_THAT(story.all(at(3, 11)), IsEmpty());
}

TEST(Calls, H12_H61_GlucagonThatExpiredAtHomeIsOnTodayUntilAnotherIsThere) {
  Story story;
  story.tell(at(1, 9), journal::RescueNoted{journal::YesNo::yes, first_day + days{4}, "", {}});
  EXPECT_THAT(story.all(at(5, 23)), IsEmpty()) << "the day on the carton is its last";
  EXPECT_THAT(story.all(at(6, 0)), ElementsAre(What::glucagon_expired));
  story.tell(at(7, 9), journal::RescueNoted{journal::YesNo::yes, first_day + days{400}, "", {}});
  EXPECT_THAT(story.all(at(7, 10)), IsEmpty());
}

}  // namespace
}  // namespace penstock::watch
