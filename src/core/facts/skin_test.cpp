// Facts about body, skin and places: what cannot be is refused, what is odd is asked about.
#include <gtest/gtest.h>

#include <algorithm>
#include <string>

#include "core/facts/facts.hpp"

namespace penstock::facts {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::year;

constexpr LocalDay day(int y, unsigned m, unsigned d) {
  return std::chrono::local_days{year{y} / static_cast<int>(m) / static_cast<int>(d)};
}
constexpr Instant noon = std::chrono::sys_days{year{2027} / 3 / 16} + hours{12};
constexpr Id id(std::uint64_t n) { return {9, n}; }

Fact fact(Payload payload) {
  return {id(1), id(2), {noon, 60}, 0, noon, "N. Okafor", "", "bench", std::move(payload)};
}

struct Answer {
  std::string code;
  std::string at;
  std::string why;
  friend bool operator==(const Answer&, const Answer&) = default;
};
void PrintTo(const Answer& answer, std::ostream* out) {
  *out << answer.code << " " << answer.at << " " << answer.why;
}
Answer answer(const Error& error) {
  const auto why = std::ranges::find(error.args, "why", &Arg::name);
  return {error.code, error.at, why == error.args.end() ? "" : why->text};
}
Answer refusal(Payload payload) {
  const auto result = checked(fact(std::move(payload)));
  return result ? Answer{"taken", "", ""} : answer(result.error());
}
Answer range(std::string_view at, std::string_view why) {
  return {std::string(codes::value_range), std::string(at), std::string(why)};
}
Answer question(Payload payload) {
  const auto made = fact(std::move(payload));
  EXPECT_TRUE(checked(made));  // what is odd is taken all the same
  const auto found = oddity(made);
  return found ? answer(*found) : Answer{"usual", "", ""};
}
Answer odd(std::string_view at, std::string_view why) {
  EXPECT_NE(std::ranges::find(odd_reasons, why), std::end(odd_reasons)) << why;
  return {std::string(codes::odd), std::string(at), std::string(why)};
}
const Answer taken{"taken", "", ""};
const Answer usual{"usual", "", ""};

/// Just inside passes; just outside is refused there, with a reason that has a name.
template <class Make>
void expect_range(std::string_view at, std::string_view why, std::int32_t least, std::int32_t most,
                  const Make& make) {
  EXPECT_NE(std::ranges::find(limit_reasons, why), std::end(limit_reasons)) << why;
  EXPECT_EQ(refusal(make(least)), taken) << at << " " << least;
  EXPECT_EQ(refusal(make(most)), taken) << at << " " << most;
  EXPECT_EQ(refusal(make(least - 1)), range(at, why)) << least - 1;
  EXPECT_EQ(refusal(make(most + 1)), range(at, why)) << most + 1;
}

SkinFinding finding(std::uint64_t area) {
  SkinFinding made;
  made.area = id(area);
  made.length = {380};
  made.width = {250};
  return made;
}
SkinExamined examined(std::vector<SkinFinding> findings) {
  SkinExamined made;
  made.zones = {Zone::abdomen_left_lower, Zone::thigh_left};
  made.findings = std::move(findings);
  return made;
}
PlaceRulesSet rules() {
  PlaceRulesSet made;
  made.zones = {Zone::thigh_left, Zone::thigh_right};
  return made;
}

TEST(SkinFacts, H25_ABodyHasTheSizeOfABody) {
  expect_range("/height_cm", "limit.height", height_tenths_cm_least, height_tenths_cm_max,
               [](std::int32_t n) { return BodyMeasured{{}, TenthsCm{n}, {}, {}}; });
  expect_range("/waist_cm", "limit.waist", waist_tenths_cm_least, waist_tenths_cm_max,
               [](std::int32_t n) { return BodyMeasured{{}, {}, TenthsCm{n}, {}}; });
  EXPECT_EQ(refusal(BodyMeasured{}), taken);  // nothing said stays unknown
}

TEST(SkinFacts, H25_AChildIsExpectedWithinAYearOfTheDayItWasSaid) {
  const auto today = day(2027, 3, 16);
  const auto with = [](LocalDay due) { return BodyMeasured{{}, {}, {}, due}; };
  EXPECT_EQ(refusal(with(today + days{366})), taken);
  EXPECT_EQ(refusal(with(today - days{366})), taken);
  EXPECT_EQ(refusal(with(today + days{367})), range("/due", "limit.due"));
  EXPECT_EQ(refusal(with(today - days{367})), range("/due", "limit.due"));
  // What a correction puts instead happened on its own day.
  const auto instead = [&](LocalDay due, Instant when) {
    return Correction{id(3), "misread", false,
                      std::make_shared<const Replacement>(Replacement{{when, 60}, 0, with(due)})};
  };
  const auto earlier = noon - days{400};
  EXPECT_EQ(refusal(instead(today - days{200}, earlier)), taken);
  EXPECT_EQ(refusal(instead(today, earlier)), range("/replacement/due", "limit.due"));
}

TEST(SkinFacts, H25_ADepthIsMeasuredAndSurerThanDeep) {
  expect_range("/depth_mm", "limit.depth", 1, depth_tenths_mm_max,
               [](std::int32_t n) { return DepthMeasured{Zone::thigh_left, {n}, {1}, ""}; });
  expect_range("/sd_mm", "limit.sd", 1, 115, [](std::int32_t n) {
    // Nothing at all is refused by the field itself.
    return DepthMeasured{Zone::thigh_left, {115}, {n == 0 ? 116 : n}, ""};
  });
  EXPECT_EQ(refusal(DepthMeasured{Zone::thigh_left, {115}, {0}, ""}),
            range("/sd_mm", "limit.depth"));
}

TEST(SkinFacts, H25_WhatWasFoundFitsOnABody) {
  expect_range("/findings/0/length_mm", "limit.area", 1, area_tenths_mm_max, [](std::int32_t n) {
    auto made = finding(3);
    made.length = {n};
    return examined({made});
  });
  expect_range("/findings/0/width_mm", "limit.area", 1, area_tenths_mm_max, [](std::int32_t n) {
    auto made = finding(3);
    made.width = {n};
    return examined({made});
  });
  auto healed = finding(3);
  healed.length = healed.width = {0};
  EXPECT_EQ(refusal(examined({healed})), range("/findings/0/length_mm", "limit.area"));
  healed.verdict = AreaVerdict::may_be_used;  // nothing is left of it
  EXPECT_EQ(refusal(examined({healed})), taken);
  expect_range("/findings/0/centre/y_mm", "limit.spot", -spot_tenths_mm_max, spot_tenths_mm_max,
               [](std::int32_t n) {
                 auto made = finding(3);
                 made.centre.y = {n};
                 return examined({made});
               });
  expect_range("/radius_mm", "limit.area", 1, area_tenths_mm_max / 2,
               [](std::int32_t n) { return AreaBlocked{id(3), {}, {}, {}, {n}, ""}; });
  std::vector<SkinFinding> many;
  for (int n = 0; n < findings_max; ++n) many.push_back(finding(100 + static_cast<unsigned>(n)));
  EXPECT_EQ(refusal(examined(many)), taken);
  many.push_back(finding(3));
  EXPECT_EQ(refusal(examined(many)), range("/findings", "limit.findings"));
}

TEST(SkinFacts, AnExaminationSaysWhereAndNothingTwice) {
  EXPECT_EQ(refusal(examined({})), taken);  // nothing found is a fact, too
  auto nowhere = examined({});
  nowhere.zones.clear();
  EXPECT_EQ(refusal(nowhere), range("/zones", "limit.zones"));
  nowhere.findings = {finding(3)};
  EXPECT_EQ(refusal(nowhere), taken);
  auto twice = examined({finding(3), finding(4), finding(3)});
  EXPECT_EQ(refusal(twice), (Answer{std::string(codes::repeated), "/findings/2/area", ""}));
  twice = examined({});
  twice.zones.push_back(Zone::thigh_left);
  const auto result = checked(fact(twice));
  ASSERT_FALSE(result);
  EXPECT_EQ(result.error().code, codes::repeated);
  EXPECT_EQ(result.error().at, "/zones/2");
  EXPECT_EQ(result.error().args, std::vector{arg_code("field", "zones")});
}

TEST(SkinFacts, AreasAndInjectionsHaveTheirIdentities) {
  const auto missing = [](std::string_view at) {
    return Answer{std::string(codes::identity_missing), std::string(at), ""};
  };
  auto nameless = finding(3);
  nameless.area = {};
  EXPECT_EQ(refusal(examined({nameless})), missing("/findings/0/area"));
  EXPECT_EQ(refusal(AreaBlocked{{}, {}, {}, {}, {10}, ""}), missing("/area"));
  EXPECT_EQ(refusal(PlaceNoted{}), missing("/injection"));
  // The first look at an area may lend it its own identity.
  EXPECT_EQ(refusal(AreaBlocked{id(1), {}, {}, {}, {10}, ""}), taken);
}

TEST(SkinFacts, H29_APictureIsADigestAndNeverWithoutConsent) {
  auto made = examined({});
  made.photo = std::string(64, 'a');
  EXPECT_EQ(refusal(made), (Answer{std::string(codes::photo_consent), "/photo", ""}));
  made.photo_consent = true;
  EXPECT_EQ(refusal(made), taken);
  for (const auto* wrong : {"beef", "AAAA"}) {
    made.photo = wrong;
    EXPECT_EQ(refusal(made), (Answer{std::string(codes::text_form), "/photo", ""}));
  }
  made.photo.clear();
  EXPECT_EQ(refusal(made), taken);  // a yes, and no picture yet
}

TEST(SkinFacts, H25_PlaceRulesAreRulesThatAPlanCanKeep) {
  const auto with = [](auto set) {
    auto made = rules();
    set(made);
    return made;
  };
  expect_range("/rest_days", "limit.rest", 1, rest_days_max,
               [&](std::int32_t n) { return with([n](auto& r) { r.rest_days = n; }); });
  expect_range("/spacing_mm", "limit.spacing", 100, 1'000,
               [&](std::int32_t n) { return with([n](auto& r) { r.spacing = {n}; }); });
  expect_range("/navel_clear_mm", "limit.navel", 0, 1'000,
               [&](std::int32_t n) { return with([n](auto& r) { r.navel_clear = {n}; }); });
  expect_range("/angle_deg", "limit.angle", 15, 90,
               [&](std::int32_t n) { return with([n](auto& r) { r.angle_deg = n; }); });
  expect_range("/needle_mm", "limit.needle_mm", 1, needle_tenths_mm_max,
               [&](std::int32_t n) { return with([n](auto& r) { r.needle = TenthsMm{n}; }); });
  EXPECT_EQ(refusal(with([](auto& r) { r.zones.clear(); })), range("/zones", "limit.zones"));
  EXPECT_EQ(refusal(with([](auto& r) { r.zones.push_back(Zone::thigh_left); })),
            (Answer{std::string(codes::repeated), "/zones/2", ""}));
  EXPECT_EQ(refusal(with([](auto& r) {
              r.parts = {{SlotName::bedtime, BodyPart::thigh}, {SlotName::bedtime, {}}};
            })),
            (Answer{std::string(codes::repeated), "/parts/1/slot", ""}));
}

TEST(SkinFacts, H25_AHandedOutPlanHasPlacesAndItsOrder) {
  PlacePlanGiven made{1, {{day(2027, 3, 17), SlotName::bedtime, Zone::thigh_left, {}}}};
  EXPECT_EQ(refusal(made), taken);
  made.places.resize(places_max, made.places[0]);
  EXPECT_EQ(refusal(made), taken);
  made.places.push_back(made.places[0]);
  EXPECT_EQ(refusal(made), range("/places", "limit.places"));
  made.places.clear();
  EXPECT_EQ(refusal(made), range("/places", "limit.places"));
  made.places = {{day(2027, 3, 17), SlotName::bedtime, Zone::thigh_left, {}}};
  made.order_version = 0;
  EXPECT_EQ(refusal(made), range("/order_version", "limit.order_version"));
}

TEST(SkinFacts, H25_AnOddSizeIsAskedAboutAndTaken) {
  EXPECT_EQ(question(BodyMeasured{{}, TenthsCm{2'200}, TenthsCm{2'000}, {}}), usual);
  EXPECT_EQ(question(BodyMeasured{{}, TenthsCm{2'201}, {}, {}}), odd("/height_cm", "usual.height"));
  EXPECT_EQ(question(BodyMeasured{{}, {}, TenthsCm{399}, {}}), odd("/waist_cm", "usual.waist"));
  const auto today = day(2027, 3, 16);
  EXPECT_EQ(question(BodyMeasured{{}, {}, {}, today + days{280}}), usual);
  EXPECT_EQ(question(BodyMeasured{{}, {}, {}, today + days{281}}), odd("/due", "usual.due"));
  EXPECT_EQ(question(BodyMeasured{{}, {}, {}, today - days{15}}), odd("/due", "usual.due"));
  EXPECT_EQ(question(DepthMeasured{{}, {801}, {10}, ""}), odd("/depth_mm", "usual.depth"));
  auto wide = finding(3);
  wide.width = {1'501};
  EXPECT_EQ(question(examined({finding(4), wide})), odd("/findings/1/width_mm", "usual.area"));
  EXPECT_EQ(question(AreaBlocked{id(3), {}, {}, {}, {751}, ""}), odd("/radius_mm", "usual.area"));
}

TEST(SkinFacts, H17_AShortRestIsAskedAbout) {
  auto made = rules();
  EXPECT_EQ(question(made), usual);
  made.rest_days = 13;
  EXPECT_EQ(question(made), odd("/rest_days", "usual.rest"));
  made = rules();
  made.spacing = {301};
  EXPECT_EQ(question(made), odd("/spacing_mm", "usual.spacing"));
  made = rules();
  made.angle_deg = 44;
  EXPECT_EQ(question(made), odd("/angle_deg", "usual.angle"));
}

}  // namespace
}  // namespace penstock::facts
