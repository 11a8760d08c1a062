#include "core/skin/skin.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <memory>
#include <utility>

namespace penstock::skin {
namespace {

using namespace journal;
using std::chrono::days;
using std::chrono::hours;

constexpr LocalDay day(int y, unsigned m, unsigned d) {
  return std::chrono::local_days{std::chrono::year{y} / static_cast<int>(m) / static_cast<int>(d)};
}
constexpr LocalDay first_of_march = day(2027, 3, 1);
constexpr Id id(std::uint64_t n) { return {9, n}; }
constexpr Id knot = {0xA, 1};

/// Facts told one after the other: one a day, at noon.
struct Telling {
  std::vector<Fact> facts;
  LocalDay today = first_of_march;

  Id operator()(Payload payload) {
    Fact fact;
    fact.id = id(facts.size() + 1);
    fact.journal = id(1'000);
    fact.happened = {Instant{today.time_since_epoch()} + hours{12}, 0};
    fact.sequence = static_cast<std::uint32_t>(facts.size());
    fact.recorded = fact.happened.at;
    fact.author = "Ines Falk";
    fact.source = "bench";
    fact.payload = std::move(payload);
    facts.push_back(fact);
    return fact.id;
  }
  void later(int count) { today += days{count}; }
  Skin skin() const { return fold_skin(read(facts)); }
};

SkinFinding finding(std::int32_t length, std::int32_t width, AreaVerdict verdict = {}) {
  SkinFinding made;
  made.area = knot;
  made.zone = Zone::abdomen_left_lower;
  made.centre = {{600}, {-300}};
  made.length = {length};
  made.width = {width};
  made.felt = true;
  made.verdict = verdict;
  return made;
}
SkinExamined examined(std::vector<SkinFinding> findings) {
  SkinExamined made;
  made.zones = {Zone::abdomen_left_lower};
  made.findings = std::move(findings);
  return made;
}
AreaBlocked blocked(std::int32_t radius, Spot centre = {{600}, {-300}},
                    Zone zone = Zone::abdomen_left_lower) {
  return {knot, Tissue::scar, zone, centre, {radius}, ""};
}
Injected injected(std::optional<Zone> zone, std::optional<Spot> spot = {}) {
  Injected made;
  made.cartridge = id(77);
  made.units = *Units::from_hundredths(1'000);
  made.slot = SlotName::bedtime;
  made.zone = zone;
  made.spot = spot;
  return made;
}
Correction voids(Id target) { return {target, "mistaken", false, nullptr}; }
Correction replaces(const Fact& fact, Payload payload) {
  return {fact.id, "misread", false,
          std::make_shared<const Replacement>(
              Replacement{fact.happened, fact.sequence, std::move(payload)})};
}
PlaceRulesSet rules(std::vector<Zone> zones) {
  PlaceRulesSet made;
  made.zones = std::move(zones);
  made.needle = TenthsMm{40};
  made.fold = YesNo::no;
  return made;
}

// ---- the body

TEST(Skin, AMeasurementIsSaidWholeAndTheLastHolds) {
  Telling tell;
  tell(BodyMeasured{Sex::female, TenthsCm{1'680}, TenthsCm{840}, day(2027, 9, 1)});
  EXPECT_EQ(tell.skin().measured_on->day(), first_of_march);
  tell.later(1);
  tell(BodyMeasured{Sex::female, TenthsCm{1'690}, {}, {}});
  const auto skin = tell.skin();
  EXPECT_EQ(skin.height, TenthsCm{1'690});
  EXPECT_EQ(skin.waist, std::nullopt);
  EXPECT_EQ(skin.due, std::nullopt);
  EXPECT_EQ(skin.measured_on->day(), first_of_march + days{1});
}

TEST(Skin, H27_TheWeekOfPregnancyIsCountedBackFromTheDayExpected) {
  Telling tell;
  const auto due = day(2027, 9, 1);
  tell(BodyMeasured{Sex::female, {}, {}, due});
  const auto skin = tell.skin();
  struct Row {
    int days_to_go;
    std::optional<std::int32_t> week;
  };
  constexpr Row rows[] = {{0, 40},   {1, 39},    {7, 39},    {112, 24}, {113, 23},
                          {273, 1},  {274, {}},  {300, {}},  {-14, 42}, {-20, 42},
                          {-21, {}}, {-400, {}}, {1'000, {}}};
  for (const auto& row : rows) {
    EXPECT_EQ(pregnancy_week(skin, due - days{row.days_to_go}), row.week) << row.days_to_go;
  }
  EXPECT_EQ(pregnancy_week(Skin{}, due), std::nullopt);
}

// ---- areas

TEST(Skin, H17_AnAreaIsNeverOpenedByTime) {
  Telling tell;
  tell(examined({finding(380, 250)}));
  tell.later(20'000);
  tell(Note{"many years later"});
  const auto skin = tell.skin();
  ASSERT_EQ(skin.areas.size(), 1U);
  EXPECT_TRUE(skin.areas[0].kept_off);
  const auto spells = blocked_spells(skin);
  ASSERT_EQ(spells.size(), 1U);
  EXPECT_EQ(spells[0].until, std::nullopt);
}

TEST(Skin, H17_OnlyAnExaminationOpensAnAreaAndALaterLookClosesItAgain) {
  Telling tell;
  tell(blocked(200));
  EXPECT_TRUE(tell.skin().area(knot)->kept_off);
  tell.later(30);
  tell(examined({}));  // looked at, and nothing said about this area
  EXPECT_TRUE(tell.skin().area(knot)->kept_off);
  tell.later(30);
  tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));
  EXPECT_FALSE(tell.skin().area(knot)->kept_off);
  tell.later(30);
  tell(examined({finding(200, 150)}));
  EXPECT_TRUE(tell.skin().area(knot)->kept_off);
  tell.later(30);
  tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));
  tell.later(30);
  tell(blocked(250));
  const auto skin = tell.skin();
  EXPECT_TRUE(skin.area(knot)->kept_off);
  EXPECT_EQ(skin.areas.size(), 1U);
  EXPECT_EQ(skin.areas[0].looks.size(), 5U);
}

TEST(Skin, H17_AnExaminationThatWasAMistakeOpensNothing) {
  Telling tell;
  tell(blocked(200));
  tell.later(1);
  const auto mistaken = tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));
  tell.later(1);
  tell(voids(mistaken));
  const auto skin = tell.skin();
  EXPECT_TRUE(skin.area(knot)->kept_off);
  EXPECT_EQ(skin.area(knot)->looks.size(), 1U);
  EXPECT_TRUE(skin.examinations.empty());
}

TEST(Skin, ABlockOfAKnownAreaChangesItsCircleAndItsReason) {
  Telling tell;
  tell(examined({finding(380, 250)}));
  EXPECT_EQ(tell.skin().areas[0].circle().radius, TenthsMm{190});
  EXPECT_EQ(tell.skin().areas[0].tissue, Tissue::hardened);
  tell.later(1);
  tell(blocked(300, {{500}, {-200}}));
  const auto skin = tell.skin();
  ASSERT_EQ(skin.areas.size(), 1U);
  const auto circle = skin.areas[0].circle();
  EXPECT_EQ(circle.radius, TenthsMm{300});
  EXPECT_EQ(circle.centre, (Spot{{500}, {-200}}));
  EXPECT_EQ(skin.areas[0].tissue, Tissue::scar);
  EXPECT_TRUE(skin.areas[0].last().drawn);
  EXPECT_EQ(skin.areas[0].last().by, "Ines Falk");
  EXPECT_EQ(skin.area(id(4)), nullptr);
}

TEST(Skin, H17_TheCircleCoversTheLongestWayAcrossHoweverItWasWritten) {
  Telling tell;
  tell(examined({finding(250, 381)}));
  EXPECT_EQ(tell.skin().areas[0].circle().radius, TenthsMm{191});
}

TEST(Skin, TrendsAreToldByAFifth) {
  struct Row {
    std::int32_t length, width;
    Trend trend;
  };
  // Against 200 by 100 tenths of a millimetre: a fifth is 4'000.
  constexpr Row rows[] = {{200, 100, Trend::same},      {240, 100, Trend::same},
                          {241, 100, Trend::growing},   {160, 100, Trend::same},
                          {159, 100, Trend::shrinking}, {100, 200, Trend::same}};
  for (const auto& row : rows) {
    Telling tell;
    tell(examined({finding(200, 100)}));
    EXPECT_EQ(tell.skin().areas[0].trend, Trend::first);
    tell.later(28);
    tell(examined({finding(row.length, row.width)}));
    EXPECT_EQ(tell.skin().areas[0].trend, row.trend) << row.length;
  }
}

TEST(Skin, ADrawnCircleIsNoMeasurement) {
  Telling tell;
  tell(blocked(400));
  tell.later(1);
  tell(examined({finding(300, 200)}));
  EXPECT_EQ(tell.skin().areas[0].trend, Trend::first);
  tell.later(1);
  tell(blocked(200));
  EXPECT_EQ(tell.skin().areas[0].trend, Trend::shrinking);  // against the circle
  tell.later(1);
  tell(examined({finding(400, 200)}));
  EXPECT_EQ(tell.skin().areas[0].trend, Trend::growing);  // against what was felt
}

TEST(Skin, H17_SpellsHoldFromTheDayAfterALookUntilTheNextThatChangesThem) {
  Telling tell;
  tell(blocked(200));  // 1 March
  tell.later(10);
  tell(examined({finding(400, 100)}));  // the same circle: nothing new
  tell.later(10);
  tell(blocked(300));  // 21 March
  tell.later(10);
  tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));  // 31 March
  tell.later(1);
  tell(blocked(100));  // 1 April
  const auto spells = blocked_spells(tell.skin());
  ASSERT_EQ(spells.size(), 3U);
  EXPECT_EQ(spells[0].circle.radius, TenthsMm{200});
  EXPECT_EQ(spells[0].from, day(2027, 3, 2));
  EXPECT_EQ(spells[0].until, day(2027, 3, 22));
  EXPECT_EQ(spells[1].circle.radius, TenthsMm{300});
  EXPECT_EQ(spells[1].from, day(2027, 3, 22));
  EXPECT_EQ(spells[1].until, day(2027, 3, 31));
  EXPECT_EQ(spells[2].from, day(2027, 4, 2));
  EXPECT_EQ(spells[2].until, std::nullopt);
}

TEST(Skin, AnAreaBlockedAndOpenedOnOneDayWasNeverKeptOff) {
  Telling tell;
  tell(blocked(200));
  tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));
  EXPECT_TRUE(blocked_spells(tell.skin()).empty());
}

// ---- places

TEST(Skin, APlaceNotedLastHoldsAndOtherwiseTheInjectionsOwn) {
  Telling tell;
  const auto own = tell(injected(Zone::thigh_left, Spot{{10}, {20}}));
  const auto noted = tell(injected(Zone::thigh_left, Spot{{10}, {20}}));
  const auto silent = tell(injected({}));
  tell(injected({}));
  tell.later(1);
  tell(PlaceNoted{noted, Zone::thigh_right, Spot{{30}, {40}}});
  tell(PlaceNoted{silent, Zone::buttock_left, {}});
  tell(PlaceNoted{id(555), Zone::buttock_left, {}});  // never arrived
  tell.later(1);
  tell(PlaceNoted{noted, Zone::abdomen_left_upper, {}});
  const auto skin = tell.skin();
  ASSERT_EQ(skin.places.size(), 3U);
  EXPECT_EQ(skin.without_place, 1U);
  EXPECT_EQ(skin.places[0].injection, own);
  EXPECT_EQ(skin.places[0].spot, (Spot{{10}, {20}}));
  EXPECT_EQ(skin.places[0].slot, SlotName::bedtime);
  EXPECT_EQ(skin.places[1].zone, Zone::abdomen_left_upper);
  EXPECT_EQ(skin.places[1].spot, std::nullopt);  // only the zone is known now
  EXPECT_EQ(skin.places[1].on.day(), first_of_march);
  EXPECT_EQ(skin.places[2].zone, Zone::buttock_left);
}

TEST(Skin, AnInjectionCorrectedAwayTakesItsPlaceWithIt) {
  Telling tell;
  const auto gone = tell(injected(Zone::thigh_left, Spot{{10}, {20}}));
  tell(PlaceNoted{gone, Zone::thigh_right, {}});
  const auto moved = tell(injected(Zone::thigh_left));
  tell(voids(gone));
  tell(replaces(tell.facts[2], injected(Zone::arm_left)));
  const auto skin = tell.skin();
  ASSERT_EQ(skin.places.size(), 1U);
  EXPECT_EQ(skin.places[0].injection, moved);
  EXPECT_EQ(skin.places[0].zone, Zone::arm_left);
  EXPECT_EQ(skin.without_place, 0U);
}

TEST(Skin, APlaceNotedThatWasAMistakeIsForgotten) {
  Telling tell;
  const auto given = tell(injected(Zone::thigh_left, Spot{{10}, {20}}));
  const auto mistaken = tell(PlaceNoted{given, Zone::thigh_right, {}});
  tell(voids(mistaken));
  EXPECT_EQ(tell.skin().places.at(0).spot, (Spot{{10}, {20}}));
}

// ---- H36

TEST(Skin, H36_HardenedTissueWhereThisPersonInjectsIsTold) {
  Telling tell;
  tell(examined({finding(380, 250)}));
  const auto on = first_of_march;
  EXPECT_FALSE(where_injected(tell.skin(), tell.skin().areas[0], on, 28));
  {
    auto allowed = tell;
    allowed(rules({Zone::abdomen_left_lower}));
    EXPECT_TRUE(where_injected(allowed.skin(), allowed.skin().areas[0], on, 28));
  }
  {
    auto elsewhere = tell;
    elsewhere(rules({Zone::thigh_left}));
    EXPECT_FALSE(where_injected(elsewhere.skin(), elsewhere.skin().areas[0], on, 28));
  }
  {
    auto silent = tell;  // somebody injects, and nobody said where
    silent(injected({}));
    EXPECT_TRUE(where_injected(silent.skin(), silent.skin().areas[0], on, 28));
  }
}

TEST(Skin, H36_AnAreaReachesOverTheEdgeOfItsQuarter) {
  const auto reaches = [](Spot centre, Zone allowed) {
    Telling tell;
    tell(blocked(100, centre, Zone::abdomen_left_lower));
    tell(rules({allowed}));
    return where_injected(tell.skin(), tell.skin().areas[0], first_of_march, 28);
  };
  EXPECT_TRUE(reaches({{600}, {-100}}, Zone::abdomen_left_upper));
  EXPECT_FALSE(reaches({{600}, {-101}}, Zone::abdomen_left_upper));
  EXPECT_TRUE(reaches({{80}, {-60}}, Zone::abdomen_right_upper));
  EXPECT_FALSE(reaches({{80}, {-61}}, Zone::abdomen_right_upper));
  EXPECT_TRUE(reaches({{100}, {-600}}, Zone::abdomen_right_lower));
  EXPECT_FALSE(reaches({{0}, {0}}, Zone::thigh_left));
}

TEST(Skin, H36_AnInjectionBesideTheAreaCountsForFourWeeks) {
  const auto told = [](Zone zone, std::optional<Spot> spot, int days_later) {
    Telling tell;
    tell(rules({Zone::thigh_right}));
    tell(injected(zone, spot));
    tell.later(days_later);
    tell(blocked(200));
    return where_injected(tell.skin(), tell.skin().areas[0], tell.today, 28);
  };
  const auto zone = Zone::abdomen_left_lower;
  EXPECT_TRUE(told(zone, Spot{{899}, {-300}}, 0));  // radius 20 mm, spacing 10 mm
  EXPECT_FALSE(told(zone, Spot{{900}, {-300}}, 0));
  EXPECT_TRUE(told(zone, Spot{{899}, {-300}}, 27));
  EXPECT_FALSE(told(zone, Spot{{899}, {-300}}, 28));
  EXPECT_TRUE(told(zone, {}, 0));  // only its zone is known
  EXPECT_FALSE(told(Zone::thigh_left, {}, 0));
  EXPECT_FALSE(told(Zone::thigh_left, Spot{{600}, {-300}}, 0));  // another plane of skin
}

// An area becomes hardened later than it was first seen, or hardens again: what counts is when
// injections went elsewhere.
TEST(Skin, H36_HardenedTissueIsLeftFromTheLookThatCalledItSo) {
  Telling tell;
  auto first = finding(40, 30);
  first.tissue = Tissue::bruise;
  tell(examined({first}));
  EXPECT_EQ(tell.skin().areas[0].left_since(), std::nullopt);
  tell.later(30);
  tell(examined({finding(40, 30)}));
  const auto left = tell.skin().areas[0].left_since();
  ASSERT_TRUE(left);
  EXPECT_EQ(left->day(), tell.today);
  tell.later(10);
  tell(examined({finding(40, 30)}));  // looked at again: left since the same day
  EXPECT_EQ(tell.skin().areas[0].left_since(), left);
  tell.later(60);
  tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));
  tell.later(60);
  tell(examined({finding(50, 30)}));
  EXPECT_EQ(tell.skin().areas[0].left_since()->day(), tell.today) << "hardened again";
}

// ---- what a plan is asked with

std::vector<SlotWish> slots() { return {{SlotName::breakfast}, {SlotName::bedtime}}; }

TEST(Skin, APlanNeedsAHeightAndRules) {
  Telling tell;
  EXPECT_EQ(place_request(tell.skin(), slots(), first_of_march, 28).error().code,
            skin_codes::no_height);
  tell(BodyMeasured{{}, TenthsCm{1'680}, {}, {}});
  EXPECT_EQ(place_request(tell.skin(), slots(), first_of_march, 28).error().code,
            skin_codes::no_rules);
  tell(rules({Zone::thigh_left}));
  EXPECT_TRUE(place_request(tell.skin(), slots(), first_of_march, 28));
}

TEST(Skin, APlanIsAskedWithWhatTheJournalSays) {
  Telling tell;
  tell(BodyMeasured{{}, TenthsCm{1'680}, TenthsCm{840}, {}});
  auto said = rules({Zone::thigh_left, Zone::abdomen_left_upper});
  said.parts = {{SlotName::bedtime, BodyPart::thigh}};
  said.rest_days = 21;
  said.spacing = {150};
  said.navel_clear = {400};
  said.turn = journal::Turn::each_injection;
  tell(said);
  tell(injected(Zone::thigh_left, Spot{{1}, {1}}));
  tell.later(1);
  tell(injected(Zone::thigh_left, Spot{{2}, {2}}));
  tell(injected(Zone::thigh_left));  // no spot, so nothing that could rest
  tell.later(20);                    // 22 March
  const auto request = place_request(tell.skin(), slots(), tell.today, 28);
  ASSERT_TRUE(request);
  EXPECT_EQ(request->from, tell.today);
  EXPECT_EQ(request->days, 28);
  EXPECT_EQ(request->zones, said.zones);
  EXPECT_EQ(request->rest_days, 21);
  EXPECT_EQ(request->spacing, TenthsMm{150});
  EXPECT_EQ(request->body.height, TenthsCm{1'680});
  EXPECT_EQ(request->body.waist, TenthsCm{840});
  EXPECT_EQ(request->body.navel_clear, TenthsMm{400});
  EXPECT_EQ(request->turn, places::Turn::each_injection);
  ASSERT_EQ(request->slots.size(), 2U);
  EXPECT_EQ(request->slots[0].part, std::nullopt);
  EXPECT_EQ(request->slots[1].part, BodyPart::thigh);
  ASSERT_EQ(request->used.size(), 1U);  // the other has rested its 21 days
  EXPECT_EQ(request->used[0].spot, (Spot{{2}, {2}}));
}

TEST(Skin, H17_APlanIsAskedToStayOutOfWhatIsKeptOffAndOnlyOfThat) {
  Telling tell;
  tell(BodyMeasured{{}, TenthsCm{1'680}, {}, {}});
  tell(rules({Zone::abdomen_left_lower}));
  tell(blocked(200));
  ASSERT_EQ(place_request(tell.skin(), slots(), tell.today, 28)->blocked.size(), 1U);
  tell.later(365);
  ASSERT_EQ(place_request(tell.skin(), slots(), tell.today, 28)->blocked.size(), 1U);
  EXPECT_EQ(place_request(tell.skin(), slots(), tell.today, 28)->blocked[0].radius, TenthsMm{200});
  tell(examined({finding(0, 0, AreaVerdict::may_be_used)}));
  EXPECT_TRUE(place_request(tell.skin(), slots(), tell.today, 28)->blocked.empty());
}

TEST(Skin, WhatWasPromisedComesBackByTheNameOfItsSlot) {
  Telling tell;
  tell(BodyMeasured{{}, TenthsCm{1'680}, {}, {}});
  tell(rules({Zone::thigh_left}));
  const auto place = [](int on, SlotName slot, std::int32_t x) {
    return PromisedPlace{first_of_march + days{on}, slot, Zone::thigh_left, {{x}, {0}}};
  };
  tell(PlacePlanGiven{1, {place(0, SlotName::bedtime, 99)}});  // superseded
  tell(PlacePlanGiven{1,
                      {place(-1, SlotName::bedtime, 1), place(0, SlotName::bedtime, 2),
                       place(0, SlotName::bedtime, 3), place(0, SlotName::breakfast, 4),
                       place(1, SlotName::lunch, 5), place(2, SlotName::breakfast, 6),
                       place(3, SlotName::breakfast, 7)}});
  const std::vector<SlotWish> asked{
      {SlotName::bedtime}, {SlotName::breakfast}, {SlotName::bedtime}};
  const auto request = place_request(tell.skin(), asked, first_of_march, 3);
  ASSERT_TRUE(request);
  std::vector<std::tuple<std::int64_t, std::size_t, std::int32_t>> found;
  for (const auto& one : request->promised) {
    found.emplace_back((one.day - first_of_march).count(), one.slot, one.spot.x.tenths);
  }
  EXPECT_EQ(found, (decltype(found){{0, 0, 2}, {0, 2, 3}, {0, 1, 4}, {2, 1, 6}}));
  EXPECT_EQ(request->slots[0].name, "bedtime");
  EXPECT_EQ(request->slots[2].name, "bedtime 2") << "a plan knows its slots by name";
}

// ---- what reach is asked with

journal::Person person(LocalDay born) {
  journal::Person made;
  made.registered = true;
  made.born = born;
  made.background.weight = TenthsKg{700};
  return made;
}
const auto adult = person(day(1980, 1, 1));

TEST(Skin, H16_ReachNeedsTheNeedle) {
  Telling tell;
  EXPECT_EQ(reach_request(tell.skin(), adult, BodyPart::thigh, tell.today).error().code,
            skin_codes::no_rules);
  auto without = rules({Zone::thigh_left});
  without.needle.reset();
  tell(without);
  EXPECT_EQ(reach_request(tell.skin(), adult, BodyPart::thigh, tell.today).error().code,
            skin_codes::no_needle);
}

TEST(Skin, H16_ANeedleThatIsFittedAndNotTheRulesIsSaid) {
  Telling tell;
  auto said = rules({Zone::thigh_left});
  said.needle = TenthsMm{40};
  tell(said);
  EXPECT_EQ(another_needle(tell.skin()), std::nullopt);
  tell(NeedleOn{{}, "8-mm", TenthsMm{80}, true});
  EXPECT_EQ(another_needle(tell.skin()), TenthsMm{80});
  EXPECT_EQ(reach_request(tell.skin(), adult, BodyPart::thigh, tell.today)->needle, TenthsMm{40});
  said.needle.reset();
  tell(said);
  EXPECT_EQ(another_needle(tell.skin()), std::nullopt);
  EXPECT_EQ(reach_request(tell.skin(), adult, BodyPart::thigh, tell.today)->needle, TenthsMm{80})
      << "nobody decided: the one that is used";
}

TEST(Skin, H16_ReachIsAskedForThisPersonTheirNeedleAngleAndFold) {
  Telling tell;
  auto said = rules({Zone::thigh_left});
  said.needle = TenthsMm{60};
  said.angle_deg = 45;
  said.fold = YesNo::yes;
  tell(said);
  auto request = reach_request(tell.skin(), adult, BodyPart::thigh, tell.today);
  ASSERT_TRUE(request);
  EXPECT_EQ(request->zone, BodyPart::thigh);
  EXPECT_EQ(request->needle, TenthsMm{60});
  EXPECT_EQ(request->angle_deg, 45);
  EXPECT_TRUE(request->fold);
  EXPECT_EQ(request->people, reach::People::adults);
  EXPECT_EQ(request->age_years, 47);
  EXPECT_EQ(request->sex, std::nullopt);  // without a height there is no BMI, and so no sex
  tell(BodyMeasured{Sex::male, TenthsCm{1'750}, {}, {}});
  request = reach_request(tell.skin(), adult, BodyPart::thigh, tell.today);
  EXPECT_EQ(request->sex, reach::Sex::male);
  EXPECT_EQ(request->bmi, reach::bmi(TenthsKg{700}, TenthsCm{1'750}));
  EXPECT_EQ(request->measured, std::nullopt);
}

TEST(Skin, H27_AChildIsAskedAboutAsAChild) {
  Telling tell;
  tell(rules({Zone::thigh_left}));
  tell(BodyMeasured{Sex::male, TenthsCm{1'000}, {}, {}});
  const auto four = person(day(2022, 6, 1));
  const auto request = reach_request(tell.skin(), four, BodyPart::thigh, tell.today);
  ASSERT_TRUE(request);
  EXPECT_EQ(request->people, reach::People::children);
  EXPECT_EQ(request->age_years, 4);
  EXPECT_EQ(request->bmi, std::nullopt);
  const auto grown = person(day(2009, 3, 1));  // eighteen on that day
  EXPECT_EQ(reach_request(tell.skin(), grown, BodyPart::thigh, tell.today)->people,
            reach::People::adults);
  EXPECT_EQ(
      reach_request(tell.skin(), person(day(2009, 3, 2)), BodyPart::thigh, tell.today)->people,
      reach::People::children);
}

TEST(Skin, H27_InPregnancyTheAbdomenHasItsOwnFiguresAndOtherPartsNone) {
  Telling tell;
  tell(rules({Zone::abdomen_left_upper}));
  tell(BodyMeasured{Sex::female, TenthsCm{1'680}, {}, first_of_march + days{70}});
  auto request = reach_request(tell.skin(), adult, BodyPart::abdomen, tell.today);
  ASSERT_TRUE(request);
  EXPECT_EQ(request->people, reach::People::pregnant_women);
  EXPECT_EQ(request->pregnancy_week, 30);
  EXPECT_EQ(request->bmi, std::nullopt);
  request = reach_request(tell.skin(), adult, BodyPart::thigh, tell.today);
  EXPECT_EQ(request->people, reach::People::adults);
  EXPECT_EQ(request->pregnancy_week, 30);
  EXPECT_EQ(reach::reach(*request).error().code, reach::reach_codes::pregnant_in_others);
  // Week 10: outside what was measured.
  request =
      reach_request(tell.skin(), adult, BodyPart::abdomen, first_of_march + days{70 - 30 * 7});
  EXPECT_EQ(request->pregnancy_week, 10);
  EXPECT_EQ(reach::reach(*request).error().code, reach::reach_codes::week_outside);
  // After the birth.
  request = reach_request(tell.skin(), adult, BodyPart::abdomen, first_of_march + days{100});
  EXPECT_EQ(request->people, reach::People::adults);
  EXPECT_EQ(request->pregnancy_week, std::nullopt);
}

TEST(Skin, H27_APregnancyWithoutADateIsNotTakenForNone) {
  Telling tell;
  tell(rules({Zone::abdomen_left_upper}));
  auto expecting = adult;
  expecting.background.pregnant = YesNo::yes;
  for (const auto part : {BodyPart::abdomen, BodyPart::thigh}) {
    const auto request = reach_request(tell.skin(), expecting, part, tell.today);
    ASSERT_TRUE(request);
    EXPECT_EQ(reach::reach(*request).error().code, reach::reach_codes::week_needed);
  }
}

TEST(Skin, H33_TheRulesNameThePeople) {
  Telling tell;
  auto said = rules({Zone::abdomen_left_upper});
  said.people = "korean adults";
  tell(said);
  tell(BodyMeasured{Sex::male, TenthsCm{1'750}, {}, {}});
  const auto request = reach_request(tell.skin(), adult, BodyPart::abdomen, tell.today);
  ASSERT_TRUE(request);
  EXPECT_EQ(request->people, reach::People::korean_adults);
  EXPECT_EQ(request->bmi, std::nullopt);  // no model of one person for them
  // A child stays a child, whatever was chosen: reach refuses.
  const auto child =
      reach_request(tell.skin(), person(day(2020, 1, 1)), BodyPart::abdomen, tell.today);
  EXPECT_EQ(child->age_years, 7);
  EXPECT_EQ(reach::reach(*child).error().code, reach::reach_codes::child_in_adults);
  said.people = "giants";
  tell(said);
  const auto unknown = reach_request(tell.skin(), adult, BodyPart::abdomen, tell.today);
  ASSERT_FALSE(unknown);
  EXPECT_EQ(unknown.error().code, skin_codes::people_unknown);
  EXPECT_EQ(unknown.error().args.at(0), arg_text("people", "giants"));
}

TEST(Skin, H16_TheNewestUltrasoundOfThatPartIsUsed) {
  Telling tell;
  tell(rules({Zone::thigh_left}));
  tell(DepthMeasured{Zone::thigh_left, {120}, {10}, ""});
  tell.later(10);
  tell(DepthMeasured{Zone::thigh_right, {95}, {8}, ""});
  tell(DepthMeasured{Zone::abdomen_left_upper, {200}, {15}, ""});
  const auto skin = tell.skin();
  const auto on_thigh = reach_request(skin, adult, BodyPart::thigh, tell.today);
  EXPECT_EQ(on_thigh->measured, TenthsMm{95});
  EXPECT_EQ(on_thigh->measured_sd, TenthsMm{8});
  EXPECT_EQ(reach_request(skin, adult, BodyPart::thigh, first_of_march)->measured, TenthsMm{120});
  EXPECT_EQ(reach_request(skin, adult, BodyPart::arm, tell.today)->measured, std::nullopt);
}

TEST(Skin, H16_NobodyLiftsAFoldAtTheirOwnArm) {
  Telling tell;
  auto said = rules({Zone::arm_left});
  tell(said);
  const auto can = [&](const journal::Person& who, BodyPart part) {
    return reach_request(tell.skin(), who, part, tell.today)->can_fold;
  };
  auto carried = adult;
  carried.background.injector = Injector::carer;
  EXPECT_FALSE(can(adult, BodyPart::arm));
  EXPECT_TRUE(can(adult, BodyPart::thigh));
  EXPECT_TRUE(can(carried, BodyPart::arm));
  said.can_fold = YesNo::yes;
  tell(said);
  EXPECT_TRUE(can(adult, BodyPart::arm));
  said.can_fold = YesNo::no;
  tell(said);
  EXPECT_FALSE(can(carried, BodyPart::thigh));
}

// ---- any order

std::vector<Fact> some_journal() {
  const auto small = [](int below) { return *rc::gen::inRange(0, below); };
  const auto some_spot = [&] { return Spot{{small(900) - 450}, {small(900) - 450}}; };
  const auto some_zone = [&] { return static_cast<Zone>(small(10)); };
  std::vector<Fact> facts;
  const auto count = static_cast<std::size_t>(small(40));
  for (std::size_t n = 0; n < count; ++n) {
    const auto target = id(static_cast<std::uint64_t>(small(static_cast<int>(count) + 3)) + 1);
    Payload payload = injected(some_zone(), some_spot());
    auto one = finding(small(300), small(300), static_cast<AreaVerdict>(small(2)));
    one.area = {0xA, static_cast<std::uint64_t>(small(3)) + 1};
    switch (small(9)) {
      case 0:
        payload = voids(target);
        break;
      case 1:
        payload = Correction{target, "misread", false,
                             std::make_shared<const Replacement>(Replacement{
                                 {Instant{first_of_march.time_since_epoch()} + hours{small(48)}, 0},
                                 0,
                                 injected(some_zone())})};
        break;
      case 2:
        payload = PlaceNoted{target, some_zone(), some_spot()};
        break;
      case 3:
        payload = examined({one});
        break;
      case 4:
        payload = blocked(small(300) + 1, some_spot(), some_zone());
        break;
      case 5:
        payload = BodyMeasured{static_cast<Sex>(small(3)), TenthsCm{1'500 + small(300)}, {}, {}};
        break;
      case 6:
        payload = rules({some_zone()});
        break;
      case 7:
        payload = injected({});
        break;
      default:
        break;
    }
    Fact fact;
    fact.id = id(n + 1);
    fact.happened = {Instant{first_of_march.time_since_epoch()} + hours{small(48)}, 60};
    fact.recorded = Instant{first_of_march.time_since_epoch()} + hours{50 + small(6)};
    fact.author = "Ines Falk";
    fact.source = small(2) == 0 ? "bench" : "diary";
    fact.sequence = static_cast<std::uint32_t>(small(3));
    fact.payload = payload;
    facts.push_back(fact);
  }
  return facts;
}

std::vector<Fact> shuffled_with_repetitions(std::vector<Fact> facts) {
  const auto count = facts.size();
  for (std::size_t n = 0; n < count / 2; ++n) {
    facts.push_back(facts[*rc::gen::inRange<std::size_t>(0, count)]);
  }
  for (std::size_t n = facts.size(); n > 1; --n) {
    std::swap(facts[n - 1], facts[*rc::gen::inRange<std::size_t>(0, n)]);
  }
  return facts;
}

RC_GTEST_PROP(Skin, H31_AnyOrderAndAnyRepetitionsGiveTheSameSkin, ()) {
  const auto facts = some_journal();
  const auto other = shuffled_with_repetitions(facts);
  RC_ASSERT(fold_skin(read(facts)) == fold_skin(read(other)));
}

// A second, simpler model: an area is kept off unless the last word about it was an examination's
// yes; an injection went where the last note said, else where it said itself.
RC_GTEST_PROP(Skin, H17_ASimplerModelKeepsTheSameAreasOff, ()) {
  const auto facts = some_journal();
  const auto history = read(facts);
  const auto skin = fold_skin(history);
  for (const auto& area : skin.areas) {
    bool off = false;
    for (const auto& one : history.facts) {
      if (const auto* drawn = std::get_if<AreaBlocked>(one.payload)) {
        if (drawn->area == area.area) off = true;
      }
      if (const auto* look = std::get_if<SkinExamined>(one.payload)) {
        for (const auto& found : look->findings) {
          if (found.area == area.area) off = found.verdict == AreaVerdict::keep_off;
        }
      }
    }
    RC_ASSERT(area.kept_off == off);
    RC_ASSERT(off == (area.last().verdict == AreaVerdict::keep_off));
  }
  for (const auto& place : skin.places) {
    const auto* injection = find(history, place.injection);
    RC_ASSERT(injection != nullptr);
    const auto& said = std::get<Injected>(*injection->payload);
    auto zone = said.zone;
    auto spot = said.spot;
    for (const auto& one : history.facts) {
      const auto* noted = std::get_if<PlaceNoted>(one.payload);
      if (noted == nullptr || noted->injection != place.injection) continue;
      zone = noted->zone;
      spot = noted->spot;
    }
    RC_ASSERT(zone == place.zone);
    RC_ASSERT(spot == place.spot);
  }
}

}  // namespace
}  // namespace penstock::skin
