#include <gtest/gtest.h>

#include <optional>
#include <vector>

#include "core/watch/watch.hpp"
#include "support/small_shelf.hpp"
#include "support/told.hpp"

namespace penstock::watch {
namespace {

using namespace penstock::literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

Id id(std::uint64_t n) { return {0xA307, n}; }
constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
constexpr Instant at(int day, int hour, int minute = 0) {
  return Instant{first_day.time_since_epoch()} + days{day - 1} + hours{hour} + minutes{minute};
}

/// Somebody with a meal's insulin, of which 26 units went in where 15 are allowed.
struct Story {
  chart::Clinic clinic;
  std::vector<journal::Fact> facts;
  Id line;

  Id tell(Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(100 + facts.size()), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  }
  void inject(Instant when, Units units, journal::SlotName slot) {
    journal::Injected dose;
    dose.cartridge = id(7);
    dose.units = units;
    dose.line = line;
    dose.slot = slot;
    tell(when, dose);
  }
  Story() {
    clinic.shelf = tests::small_shelf();
    clinic.shelf.insulins.front().thing.action = shelf::Action::rapid;
    auto order = tests::bedtime_line(first_day, 8_units, 4_units, 15_units);
    order.purpose = journal::Purpose::mealtime;
    order.slots = {{journal::SlotName::lunch, {12 * 60 + 30}, 30, 60, 8_units},
                   {journal::SlotName::supper, {18 * 60}, 30, 60, 8_units}};
    line = tell(at(1, 9), order);
    tell(at(1, 9), journal::OrderLineChecked{line, "Tom Reyes", {}});
    journal::CartridgeLoaded load;
    load.cartridge = id(7);
    load.copy = clinic.shelf.insulins.front().thing;
    load.units = load.content = 300_units;
    tell(at(1, 9), load);
    inject(at(2, 12, 40), 26_units, journal::SlotName::lunch);
  }
  /// How Today says that too much went in; nothing: it does not.
  std::optional<Level> said(Instant now) const {
    const auto chart =
        chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}}, {});
    const auto all = watches(*chart, clinic);
    std::optional<Level> level;
    int count = 0;
    for (const auto* watch : ringing(all, {}, now)) {
      if (watch->what != What::too_much) continue;
      level = alarm(*watch, now)->level;
      ++count;
    }
    EXPECT_LE(count, 1);
    return level;
  }
};

// In the evening nothing was open any more, though nobody had phoned the prescriber.
TEST(Amounts, TooMuchIsOpenUntilThePrescriberHasAnsweredAndADayAtLeast_H04_H32) {
  Story story;
  EXPECT_EQ(story.said(at(2, 12, 50)), Level::stop);
  EXPECT_EQ(story.said(at(2, 20, 30)), Level::stop);
  EXPECT_EQ(story.said(at(2, 22, 7)), Level::caution) << "it acts no more";
  story.tell(at(2, 22), journal::Note{"phoned, nobody answered"});
  EXPECT_EQ(story.said(at(2, 22, 7)), Level::caution) << "something else was recorded since";
  EXPECT_EQ(story.said(at(3, 21)), Level::caution);
  EXPECT_EQ(story.said(at(4, 13)), std::nullopt);
  const auto asked =
      story.tell(at(2, 22, 30), journal::QuestionOpened{story.line, {}, "26 units", {}});
  story.tell(at(2, 22, 40), journal::QuestionAnswered{asked, journal::AnswerKind::keep_dose,
                                                      "Dr Amara Osei", "", true});
  EXPECT_EQ(story.said(at(2, 23)), std::nullopt);
}

TEST(Amounts, WhatWasEnteredInErrorIsTooMuchNoMore_H04) {
  Story story;
  const auto wrong = story.facts.back().id;
  story.tell(at(2, 13), journal::Correction{wrong, "it was 8 units", false, {}});
  EXPECT_EQ(story.said(at(2, 14)), std::nullopt);
  EXPECT_EQ(story.said(at(2, 22)), std::nullopt);
}

// Today had nothing, or "a pen was used by someone else".
TEST(Amounts, WhatCameFromNoPenOfTheRecordIsOneStopWhateverItMayBe_H13_H58) {
  Story story;
  const auto known = story.facts.back().id;
  story.tell(at(2, 13), journal::Correction{known, "it was 8 units", false, {}});
  auto basal = tests::bedtime_line(first_day, 20_units, 10_units, 30_units);
  basal.insulin = "insulin degludec";
  story.tell(at(1, 9), basal);
  journal::Injected dose;
  dose.cartridge = id(9);
  dose.units = 60_units;
  story.tell(at(2, 14), dose);
  EXPECT_EQ(story.said(at(2, 14, 5)), Level::stop);
  const auto chart =
      chart::finish(chart::begin(id(1), story.facts.size(), {}, story.facts, {}), {"UTC", {}}, {});
  int count = 0;
  for (const auto& watch : watches(*chart, story.clinic)) {
    const auto* went = std::get_if<WentIn>(&watch.figures);
    if (went == nullptr) continue;
    ++count;
    EXPECT_EQ(went->of, "insulin/not_known");
    EXPECT_EQ(went->given, 60_units);
  }
  EXPECT_EQ(count, 2) << "while it acts, and then until it is answered";
}

}  // namespace
}  // namespace penstock::watch
