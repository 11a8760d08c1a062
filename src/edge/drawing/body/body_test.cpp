// The figure and the planes of skin: which side is whose, to scale, and what can be pointed at.
#include "edge/drawing/body/body.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "edge/drawing/body/internal/contour.hpp"
#include "support/body_samples.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

using namespace literals;

constexpr BodyPart parts[] = {BodyPart::abdomen, BodyPart::thigh, BodyPart::buttock, BodyPart::arm};

XmlChecked drawn(const std::string& svg) {
  auto checked = check_xml(svg);
  EXPECT_EQ(checked.error, "") << svg.substr(0, 200);
  return checked;
}

std::vector<XmlElement> marked(const XmlChecked& picture, std::string_view mark) {
  std::vector<XmlElement> found;
  for (const auto& element : picture.elements) {
    if (element.attribute("data-mark") == mark) found.push_back(element);
  }
  return found;
}

std::vector<XmlElement> hits(const XmlChecked& picture) {
  std::vector<XmlElement> found;
  for (const auto& element : picture.elements) {
    if (element.attribute("class") == "hit") found.push_back(element);
  }
  return found;
}

double number(const XmlElement& element, const char* attribute) {
  return std::stod(element.attribute(attribute));
}

double text_x(const XmlChecked& picture, std::string_view words) {
  for (const auto& text : picture.named("text")) {
    if (text.text == words) return number(text, "x");
  }
  ADD_FAILURE() << "no words: " << words;
  return 0;
}

std::size_t starts(const XmlElement& path) {
  const auto data = path.attribute("d");
  return static_cast<std::size_t>(std::count(data.begin(), data.end(), 'M'));
}

// ---- an area over the visits

TEST(AreaSizes, AllVisitsAreToOneScaleThatIsDrawn) {
  const std::vector<AreaSize> visits{
      {{520}, {380}, "18 Nov"}, {{260}, {190}, "16 Dec"}, {{}, {}, "13 Jan"}};
  const auto picture = drawn(area_sizes(visits, "one cm"));
  EXPECT_EQ(marked(picture, "size").size(), 2U);
  EXPECT_EQ(marked(picture, "gone").size(), 1U) << "nothing felt any more";
  EXPECT_EQ(marked(picture, "scale").size(), 1U);
  EXPECT_EQ(picture.named("text").size(), 4U);
}

TEST(AreaSizes, TheLatestSixAndNothingOfNothing) {
  EXPECT_EQ(area_sizes({}, "one cm"), "");
  const std::vector<AreaSize> many(20, AreaSize{{4000}, {4000}, "1 & 2"});
  const auto picture = drawn(area_sizes(many, "one cm", "twenty looks"));
  EXPECT_EQ(marked(picture, "size").size(), 6U);
}

// ---- the figure

/// The figure with one small area on it.
BodyMap map_with_area(Zone zone, Spot spot = {}) {
  BodyMap map{.skin = sample_skin(), .front_label = "Front", .back_label = "Back"};
  map.skin.areas = {{zone, spot, {10}, "", ""}};
  return map;
}

/// Where that area begins, a millimetre beside its middle: "M12.3 45.6...".
struct At {
  double x = 0, y = 0;
};
At area_of(const BodyMap& map, std::size_t n = 0) {
  const auto data = marked(drawn(body_map(map)), "area").at(n).attribute("d");
  std::size_t end = 0;
  const double x = std::stod(data.substr(1), &end);
  return {x, std::stod(data.substr(1 + end + (data[1 + end] == ',' ? 1 : 0)))};
}

// A left and right that are mixed up send somebody into the hardened side.
TEST(BodyMap, H17_ThePersonsLeftIsToTheRightInFrontAndToTheLeftOnTheBack) {
  struct Row {
    Zone zone;
    Spot spot;
    const char* view;
    bool right_of_the_figure;
  };
  const Row rows[] = {{Zone::abdomen_left_upper, {{700}, {300}}, "Front", true},
                      {Zone::abdomen_right_lower, {{-700}, {-300}}, "Front", false},
                      {Zone::thigh_left, {}, "Front", true},
                      {Zone::thigh_right, {}, "Front", false},
                      {Zone::buttock_left, {}, "Back", false},
                      {Zone::buttock_right, {}, "Back", true},
                      {Zone::arm_left, {}, "Back", false},
                      {Zone::arm_right, {}, "Back", true}};
  for (const auto& row : rows) {
    const auto map = map_with_area(row.zone, row.spot);
    const double from_middle = area_of(map).x - text_x(drawn(body_map(map)), row.view);
    EXPECT_GT(std::abs(from_middle), 10);
    EXPECT_LT(std::abs(from_middle), 105) << "on the other figure";
    EXPECT_EQ(from_middle > 0, row.right_of_the_figure) << static_cast<int>(row.zone);
  }
}

TEST(BodyMap, TowardsThePersonsLeftIsOneWayOnEachSideOfTheBody) {
  for (int zone = 0; zone < 10; ++zone) {
    const auto at = [&](Spot spot) {
      return area_of(map_with_area(static_cast<Zone>(zone), spot));
    };
    const auto part = part_of(static_cast<Zone>(zone));
    const bool front = part == BodyPart::abdomen || part == BodyPart::thigh;
    const auto middle = at({});
    EXPECT_EQ(at({{200}, {0}}).x > middle.x, front) << zone;
    EXPECT_LT(at({{0}, {200}}).y, middle.y) << "towards the head is up";
  }
}

TEST(BodyMap, ZonesSpotsAndAreasAreDrawnOnceAndNoInjection) {
  const BodyMap map{.skin = sample_skin(), .front_label = "Front", .back_label = "Back"};
  const auto picture = drawn(body_map(map));
  for (const auto* mark : {"most", "some", "over", "next"})
    EXPECT_TRUE(marked(picture, mark).empty()) << mark;
  EXPECT_EQ(marked(picture, "area").size(), 1U);
  std::size_t spots = 0, lattice = 0;
  for (const auto& zone : map.skin.zones) spots += zone.spots.size();
  for (const auto& path : marked(picture, "spots")) lattice += starts(path);
  EXPECT_EQ(lattice, spots);
  EXPECT_EQ(marked(picture, "zone").size(), 8U);  // the belly's quarters are two halves
}

TEST(BodyMap, CountsStandBesideTheirZoneOnItsSide) {
  const auto picture =
      drawn(body_map({.skin = sample_skin(), .front_label = "Front", .back_label = "Back"}));
  EXPECT_LT(text_x(picture, "3 times"), text_x(picture, "Front"));  // her right thigh
  EXPECT_GT(text_x(picture, "4 times"), text_x(picture, "Front"));
  EXPECT_LT(text_x(picture, "once"), text_x(picture, "Back"));  // her left arm
}

TEST(BodyMap, ACentimetreIsLargerOnASmallerBody) {
  const auto apart = [](std::int32_t height) {
    auto map = map_with_area(Zone::thigh_left);
    map.skin.height = {height};
    map.skin.areas.push_back({Zone::thigh_left, {{0}, {500}}, {10}, "", ""});
    return area_of(map, 0).y - area_of(map, 1).y;
  };
  EXPECT_NEAR(apart(1680), 5 * 2.81, 0.1);
  EXPECT_NEAR(apart(840), 2 * apart(1680), 0.05);
}

TEST(Figure, AWiderWaistMovesTheTrunkAndLeavesTheFeet) {
  const Figure usual({1680}, {});
  const Figure same({1680}, TenthsCm{780});
  const Figure wide({1680}, TenthsCm{1170});
  const Figure narrow({1680}, TenthsCm{680});
  const auto half = [](const Figure& figure, Px y) {
    return figure.across(BodyPart::abdomen, y).outer;
  };
  EXPECT_EQ(half(usual, 64_px), half(same, 64_px));
  EXPECT_EQ(half(wide, 64_px) - half(usual, 64_px), 7.15_px);  // half of it, by a half
  EXPECT_LT(half(narrow, 64_px), half(usual, 64_px));
  const auto leg = [](const Figure& figure) {
    return figure.across(BodyPart::thigh, 155_px).outer;
  };
  EXPECT_LT(leg(wide) - leg(usual), 0.5_px);
  EXPECT_GT(wide.half_width(), usual.half_width());
  for (Px y = 45_px; y < 85_px; y = y + 1_px) {  // arms hang beside the trunk, never in it
    for (const auto* figure : {&usual, &wide, &narrow}) {
      EXPECT_GT(figure->across(BodyPart::arm, larger(y, 47_px)).inner, half(*figure, y) - 0.6_px)
          << text(y);
    }
  }
}

TEST(Figure, ZonesWiderThanTheirFrontViewStayInsideTheContour) {
  for (const std::int32_t waist : {600, 780, 1000, 1400}) {
    const Figure figure({1680}, TenthsCm{waist});
    for (const auto& zone : sample_skin().zones) {
      const auto part = part_of(zone.zone);
      auto wide = zone;
      for (auto& corner : wide.corners) corner.x.tenths = corner.x.tenths * 3 / 2;
      const OnFigure ground(figure, part, {wide});
      for (const Spot corner : wide.corners) {
        const Point at = ground.at(zone.zone, corner);
        const auto span = figure.across(part, at.y);
        const Px out = at.x * (is_left(zone.zone) ? 1 : -1) * left_of(view_of(part));
        EXPECT_LT(out, span.outer) << static_cast<int>(zone.zone) << " at " << text(at.y);
        if (part != BodyPart::abdomen) {
          EXPECT_GT(out, span.inner) << static_cast<int>(zone.zone);
        }
      }
    }
  }
}

// ---- plates

struct Plane {
  double x;
  double y;
  double per_cm;
  double left;
};

std::map<std::string, Plane> planes_of(const XmlChecked& picture) {
  std::map<std::string, Plane> planes;
  const auto& svg = picture.elements.at(0);
  const double per_cm = number(svg, "data-per-cm");
  const double left = number(svg, "data-left");
  if (svg.attribute("data-plane") == "abdomen") {
    for (const char* zone : {"abdomen left upper", "abdomen left lower", "abdomen right upper",
                             "abdomen right lower"}) {
      planes[zone] = {number(svg, "data-origin-x"), number(svg, "data-origin-y"), per_cm, left};
    }
    return planes;
  }
  for (const auto& group : picture.named("g")) {
    if (group.attribute("data-origin-x").empty()) continue;
    planes[group.attribute("data-zone")] = {number(group, "data-origin-x"),
                                            number(group, "data-origin-y"), per_cm, left};
  }
  return planes;
}

TEST(Plate, EverySpotLiesWhereItsCentimetresSay) {
  for (const auto part : parts) {
    const auto picture = drawn(plate(sample_plate(part)));
    const auto planes = planes_of(picture);
    EXPECT_EQ(planes.size(), part == BodyPart::abdomen ? 4U : 2U);
    const auto found = hits(picture);
    EXPECT_GT(found.size(), 40U);
    for (const auto& hit : found) {
      ASSERT_TRUE(planes.contains(hit.attribute("data-zone"))) << hit.attribute("data-zone");
      const auto& plane = planes.at(hit.attribute("data-zone"));
      EXPECT_NEAR(number(hit, "cx"), plane.x + plane.left * number(hit, "data-x") * plane.per_cm,
                  0.011);
      EXPECT_NEAR(number(hit, "cy"), plane.y - number(hit, "data-y") * plane.per_cm, 0.011);
    }
  }
}

TEST(Plate, H17_TheSidesStandAsTheFigureShowsThem) {
  for (const auto part : parts) {
    const bool front = part == BodyPart::abdomen || part == BodyPart::thigh;
    const auto picture = drawn(plate(sample_plate(part)));
    EXPECT_EQ(picture.elements.at(0).attribute("data-left"), front ? "1" : "-1");
    const double middle = 385.0 / 2;
    for (const auto& hit : hits(picture)) {
      const bool left = hit.attribute("data-zone").find("left") != std::string::npos;
      EXPECT_EQ(number(hit, "cx") > middle, left == front) << hit.attribute("data-zone");
    }
    EXPECT_EQ(text_x(picture, "Her left side") > middle, front);
    EXPECT_EQ(text_x(picture, "Her right side") > middle, !front);
  }
}

TEST(Plate, EverySpotCanBePointedAtAndNoTwoOverlap) {
  for (const auto part : parts) {
    const auto asked = sample_plate(part);
    const auto picture = drawn(plate(asked));
    std::multiset<std::string> pointed;
    std::vector<XmlElement> round;
    for (const auto& hit : hits(picture)) {
      if (!hit.attribute("data-area").empty()) continue;
      pointed.insert(hit.attribute("data-zone") + hit.attribute("data-x") + "/" +
                     hit.attribute("data-y"));
      round.push_back(hit);
    }
    for (const auto& zone : asked.skin.zones) {
      if (part_of(zone.zone) != part) continue;
      for (const Spot spot : zone.spots) {
        const auto name = std::string(zone_names[static_cast<std::size_t>(zone.zone)]) +
                          format_fixed(spot.x.tenths, 2) + "/" + format_fixed(spot.y.tenths, 2);
        EXPECT_EQ(pointed.count(name), 1U) << name;
      }
    }
    for (std::size_t i = 0; i < round.size(); ++i) {
      EXPECT_GE(number(round[i], "r"), 4);
      for (std::size_t j = i + 1; j < round.size(); ++j) {
        const double apart = std::hypot(number(round[i], "cx") - number(round[j], "cx"),
                                        number(round[i], "cy") - number(round[j], "cy"));
        EXPECT_GE(apart + 0.03, number(round[i], "r") + number(round[j], "r"));
      }
    }
  }
}

TEST(Plate, FarApartSpotsAreTwelvePixelsWideToEitherSide) {
  Plate wide{.part = BodyPart::thigh};
  wide.skin.zones = {sample_patch(Zone::thigh_left, 600, 700)};
  wide.skin.zones[0].spots = {{{0}, {300}}, {{0}, {0}}, {{0}, {-300}}};
  for (const auto& hit : hits(drawn(plate(wide)))) EXPECT_EQ(hit.attribute("r"), "12");
}

TEST(Plate, UsedPlacesOpenTheirInjectionAndAreasTheirRecord) {
  const auto asked = sample_plate(BodyPart::abdomen);
  const auto picture = drawn(plate(asked));
  std::set<std::string> injections, areas, expected;
  for (const auto& place : asked.skin.places) {
    if (part_of(place.zone) == BodyPart::abdomen) expected.insert(place.injection);
  }
  for (const auto& hit : hits(picture)) {
    if (!hit.attribute("data-injection").empty())
      injections.insert(hit.attribute("data-injection"));
    if (hit.attribute("data-area").empty()) continue;
    areas.insert(hit.attribute("data-area"));
    EXPECT_NEAR(number(hit, "r"), 2.0 * number(picture.elements[0], "data-per-cm"),
                0.02);  // to scale
  }
  EXPECT_EQ(injections, expected);
  EXPECT_EQ(areas, std::set<std::string>{"area-1"});
  EXPECT_EQ(marked(picture, "area").size(), 1U);
  EXPECT_EQ(marked(picture, "area")[0].attribute("fill"), "url(#p-block)");
}

// In one black, by shape: two strokes, one, a ring.
TEST(Plate, WhatIsLeftOfAPlacesRestIsToldByStrokes) {
  Plate some{.part = BodyPart::thigh};
  some.skin.zones = {sample_patch(Zone::thigh_left, 600, 700)};
  const auto& spots = some.skin.zones[0].spots;
  some.skin.places = {{Zone::thigh_left, spots[1], Rest::most, ""},
                      {Zone::thigh_left, spots[4], Rest::some, ""},
                      {Zone::thigh_left, spots[7], Rest::over, ""}};
  const auto picture = drawn(plate(some));
  EXPECT_EQ(starts(marked(picture, "most").at(0)), 2U);
  EXPECT_EQ(starts(marked(picture, "some").at(0)), 1U);
  EXPECT_GT(number(marked(picture, "over").at(0), "r"), 0);
}

TEST(Plate, TheNewestOfOnePlaceLiesOnTop) {
  Plate twice{.part = BodyPart::thigh};
  twice.skin.zones = {sample_patch(Zone::thigh_left, 600, 700)};
  const Spot spot = twice.skin.zones[0].spots[7];
  twice.skin.places = {{Zone::thigh_left, spot, Rest::most, "new"},
                       {Zone::thigh_left, spot, Rest::over, "old"}};
  const auto picture = drawn(plate(twice));
  std::vector<std::string> marks, opened;
  for (const auto& element : picture.elements) {
    const auto mark = element.attribute("data-mark");
    if (mark == "most" || mark == "over") marks.push_back(mark);
    if (!element.attribute("data-injection").empty())
      opened.push_back(element.attribute("data-injection"));
  }
  EXPECT_EQ(marks, (std::vector<std::string>{"over", "most"}));
  EXPECT_EQ(opened, (std::vector<std::string>{"old", "new"}));
}

TEST(Plate, TheNurseReadsCentimetresFromTheNavelToTheRing) {
  const auto picture = drawn(plate(sample_plate(BodyPart::abdomen)));
  ASSERT_EQ(marked(picture, "across").size(), 1U);
  EXPECT_EQ(marked(picture, "across")[0].text, "7.5 cm");
  EXPECT_EQ(marked(picture, "along")[0].text, "2 cm");
  const auto ring = marked(picture, "next").at(0);
  const auto& svg = picture.elements[0];
  EXPECT_NEAR(number(svg, "data-origin-x") - number(ring, "cx"), 7.5 * number(svg, "data-per-cm"),
              0.011);
  EXPECT_NEAR(number(svg, "data-origin-y") - number(ring, "cy"), 2 * number(svg, "data-per-cm"),
              0.011);
  // The clear part is measured on the other side, and to scale.
  const auto clear = marked(picture, "clear").at(0).attribute("d");
  const auto end = std::stod(clear.substr(clear.find('H') + 1));
  EXPECT_NEAR(end - number(svg, "data-origin-x"), 5 * number(svg, "data-per-cm"), 0.011);
}

TEST(Plate, OnlyWhatIsMeasuredHasCentimetres) {
  auto asked = sample_plate(BodyPart::abdomen);
  asked.skin.next[0].measured = false;
  EXPECT_TRUE(marked(drawn(plate(asked)), "across").empty());
  asked.skin.next = {{Zone::abdomen_left_upper, {{640}, {250}}, "8:00", true},
                     {Zone::abdomen_right_upper, {{-750}, {200}}, "18:30", true}};
  const auto both = drawn(plate(asked));
  EXPECT_EQ(marked(both, "across").size(), 2U);
  EXPECT_EQ(marked(both, "clear").at(0).attribute("d").find('H'), std::string::npos);  // down
}

TEST(Plate, ABodyOfAnySizeFitsItsSheet) {
  for (const std::int32_t percent : {35, 60, 100, 160, 220}) {
    for (const auto part : parts) {
      for (const int width : {280, 385, 560}) {
        auto asked = sample_plate(part);
        asked.width_px = width;
        const auto resize = [&](Spot& spot) {
          spot = {{spot.x.tenths * percent / 100}, {spot.y.tenths * percent / 100}};
        };
        for (auto& zone : asked.skin.zones) {
          for (auto* spots : {&zone.corners, &zone.spots}) std::ranges::for_each(*spots, resize);
        }
        for (auto& place : asked.skin.places) resize(place.spot);
        for (auto& area : asked.skin.areas) resize(area.centre);
        const auto picture = drawn(plate(asked));
        const auto box = picture.elements[0].attribute("viewBox");
        const double height = std::stod(box.substr(box.rfind(' ')));
        for (const auto& hit : hits(picture)) {
          EXPECT_GT(number(hit, "cx"), 0);
          EXPECT_LT(number(hit, "cx"), width);
          EXPECT_GT(number(hit, "cy"), 0);
          EXPECT_LT(number(hit, "cy"), height);
        }
      }
    }
  }
}

TEST(Plate, APlaceBesideItsZoneIsStillOnTheSheet) {
  auto asked = sample_plate(BodyPart::thigh);
  asked.skin.places = {{Zone::thigh_left, {{1000}, {900}}, Rest::most, "beside"}};
  for (const auto& hit : hits(drawn(plate(asked)))) {
    if (hit.attribute("data-injection").empty()) continue;
    EXPECT_LT(number(hit, "cx"), 385);
    EXPECT_GT(number(hit, "cy"), 20);
  }
}

// ---- a week on paper

WeekPlate sample_week(BodyPart part) {
  WeekPlate week{.part = part, .skin = sample_skin(), .left_label = "left", .right_label = "right"};
  for (const auto& zone : week.skin.zones) {
    if (part_of(zone.zone) != part) continue;
    for (std::size_t i = 0; i < zone.spots.size(); i += 13) {
      week.numbered.push_back({zone.zone, zone.spots[i], std::to_string(week.numbered.size() + 1)});
    }
  }
  return week;
}

TEST(WeekPlate, EveryNumberOnceInOneBlackAndAtItsPlaceWhereThereIsRoom) {
  for (const auto part : parts) {
    const auto week = sample_week(part);
    const auto picture = drawn(week_plate(week));
    EXPECT_EQ(marked(picture, "number").size(), week.numbered.size());
    std::multiset<std::string> words;
    for (const auto& text : picture.named("text")) words.insert(text.text);
    for (const auto& one : week.numbered) EXPECT_EQ(words.count(one.number), 1U) << one.number;
    for (const auto& element : picture.elements) {
      EXPECT_EQ(element.attribute("class").find("over"), std::string::npos);
      EXPECT_EQ(element.attribute("class").find("graphite"), std::string::npos);
    }
    EXPECT_TRUE(marked(picture, "this week").empty());
    EXPECT_TRUE(marked(picture, "next").empty());
  }
}

TEST(WeekPlate, NumbersThatWouldLieOnEachOtherMakeRoomAndPointAtTheirPlace) {
  WeekPlate week{.part = BodyPart::thigh, .skin = sample_skin()};
  const auto& spots = week.skin.zones[4].spots;
  for (int i = 0; i < 8; ++i) {
    week.numbered.push_back({Zone::thigh_left, spots[20 + static_cast<std::size_t>(i) / 2],
                             "Mo " + std::to_string(i + 1)});
  }
  const auto picture = drawn(week_plate(week));
  const auto texts = picture.named("text");
  for (std::size_t i = 0; i < 8; ++i) {
    for (std::size_t j = i + 1; j < 8; ++j) {
      const double across = std::abs(number(texts[i], "x") - number(texts[j], "x"));
      const double along = std::abs(number(texts[i], "y") - number(texts[j], "y"));
      EXPECT_TRUE(across > 40 || along > 20) << texts[i].text << " " << texts[j].text;
    }
  }
  // Two share each spot, so at least every second one had to move; a dot stays where it belongs.
  EXPECT_GE(marked(picture, "place").size(), 4U);
}

TEST(WeekPlate, H17_TheSidesStandAsTheFigureShowsThem) {
  for (const auto part : parts) {
    const bool front = part == BodyPart::abdomen || part == BodyPart::thigh;
    const auto picture = drawn(week_plate(sample_week(part)));
    EXPECT_EQ(text_x(picture, "left") > text_x(picture, "right"), front);
  }
}

// ---- what comes in

TEST(BodyDrawings, NothingToDrawIsStillADrawing) {
  drawn(body_map({}));
  for (const auto part : parts) {
    drawn(plate({.part = part}));
    drawn(week_plate({.part = part}));
    // Zones without corners or spots, one side only.
    OnSkin bare;
    bare.zones = {{.zone = Zone::thigh_left, .count_label = "2"},
                  {.zone = Zone::arm_right, .count_label = "3"},
                  {.zone = Zone::abdomen_left_upper}};
    drawn(body_map({.skin = bare}));
    drawn(plate({.part = part, .skin = bare}));
    drawn(week_plate({.part = part, .skin = bare}));
  }
}

TEST(BodyDrawings, NoMeasureBreaksADrawing) {
  for (const std::int32_t n : {-5000, 0, 1, 5000}) {
    auto skin = sample_skin();
    skin.height = {n};
    skin.waist = TenthsCm{n};
    skin.areas.push_back({Zone::thigh_left, {{n}, {-n}}, {n}, "scar", "area-2"});
    skin.next.push_back({Zone::thigh_left, {{n}, {n}}, "8:00", true});
    skin.places.push_back({Zone::arm_left, {{-n}, {n}}, Rest::over, {}});
    drawn(body_map({.skin = skin, .width_px = n}));
    for (const auto part : parts) {
      drawn(plate({.part = part, .skin = skin, .navel_clear = {n}, .width_px = n}));
      drawn(week_plate({.part = part, .skin = skin, .width_px = n}));
    }
  }
}

RC_GTEST_PROP(BodyDrawings, AnyBytesAsWordsStayWellFormed, (const std::string& bytes)) {
  auto skin = sample_skin();
  skin.areas[0].label = skin.areas[0].area = bytes;
  skin.next[0].label = bytes;
  skin.zones[4].count_label = bytes;
  skin.places[0].injection = bytes;
  RC_ASSERT(
      check_xml(body_map({.skin = skin, .front_label = bytes, .back_label = bytes, .alt = bytes}))
          .error.empty());
  auto asked = sample_plate(BodyPart::abdomen);
  asked.skin = skin;
  asked.clear_label = asked.cm_word = asked.left_label = asked.right_count = asked.alt = bytes;
  RC_ASSERT(check_xml(plate(asked)).error.empty());
  auto week = sample_week(BodyPart::thigh);
  week.left_label = week.numbered[0].number = week.alt = bytes;
  RC_ASSERT(check_xml(week_plate(week)).error.empty());
}

TEST(BodyDrawings, WordsStayWords) {
  auto asked = sample_plate(BodyPart::abdomen);
  asked.skin.areas[0].label = "<b>hard</b>";
  const auto picture = drawn(plate(asked));
  EXPECT_TRUE(picture.named("b").empty());
  EXPECT_GT(text_x(picture, "<b>hard</b>"), 0);
}

TEST(Tally, OneStrokeForEachAndAtMostEightyInARow) {
  for (const std::size_t count : {0U, 1U, 5U, 80U, 81U, 112U}) {
    const auto picture = drawn(tally(count));
    const auto marks = marked(picture, "tally");
    EXPECT_EQ(marks.empty() ? 0U : starts(marks.front()), count);
  }
  const auto height = [](std::size_t count) {
    return number(drawn(tally(count)).named("svg").at(0), "height");
  };
  EXPECT_EQ(height(80), height(1));
  EXPECT_EQ(height(81), 2 * height(1));
}

TEST(PlaceKey, FourMarksNoTwoAlike) {
  std::set<std::string> marks;
  for (int mark = 0; mark <= static_cast<int>(PlaceKey::blocked); ++mark) {
    const auto svg = place_key(static_cast<PlaceKey>(mark));
    drawn(svg);
    EXPECT_TRUE(marks.insert(svg).second);
  }
  EXPECT_EQ(marks.size(), 4U);
}

}  // namespace
}  // namespace penstock::drawing
