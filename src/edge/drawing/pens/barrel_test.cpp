#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <array>
#include <cmath>
#include <regex>

#include "edge/drawing/pens/pens.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

using namespace penstock::literals;

// Reading a drawing back: tests measure in pixels as a viewer would, with the doubles that the
// drawing itself avoids.

constexpr double shoulder_px = 37;
constexpr double stopper_px = 6;
double plot_px(int width_px) { return width_px - 37 - 6 - 20; }

struct Box {
  double x, y, width, height;
};

std::vector<Box> boxes(const XmlElement* element) {
  std::vector<Box> found;
  if (element == nullptr) return found;
  static const std::regex box("M([-0-9.]+) ([-0-9.]+)h([-0-9.]+)v([-0-9.]+)h-[0-9.]+Z");
  const std::string data = element->attribute("d");
  for (std::sregex_iterator at(data.begin(), data.end(), box), end; at != end; ++at) {
    found.push_back(
        {std::stod((*at)[1]), std::stod((*at)[2]), std::stod((*at)[3]), std::stod((*at)[4])});
  }
  return found;
}

double total_width(const std::vector<Box>& list) {
  double total = 0;
  for (const auto& box : list) total += box.width;
  return total;
}

double number_after(const std::string& data, char letter) {
  return std::stod(data.substr(data.find(letter) + 1));
}

double solid_end(const XmlChecked& drawn) {
  const auto* left = drawn.mark("left");
  return left == nullptr ? shoulder_px : number_after(left->attribute("d"), 'M');
}

double units(Units amount) { return static_cast<double>(amount.hundredths()) / 100; }

std::vector<std::string> texts(const XmlChecked& drawn, std::string_view cls) {
  std::vector<std::string> found;
  for (const auto& element : drawn.named("text")) {
    if (element.attribute("class") == cls) found.push_back(element.text);
  }
  return found;
}

Units hundredths(std::int64_t n) { return *Units::from_hundredths(n); }

Units gone(const std::vector<Cell>& cells) {
  Units total = Units::zero();
  for (const auto& cell : cells)
    total = sum(total, sum(sum(cell.primed, cell.injected), cell.thrown_away));
  return total;
}

Barrel used(Units content, std::vector<Cell> cells) {
  const Units left = difference(content, gone(cells));
  return {.content = content,
          .loaded = content,
          .left = left,
          .cells = std::move(cells),
          .alt = "A cartridge"};
}

Barrel twenty_two_a_night(int nights) {
  std::vector<Cell> cells;
  for (int i = 0; i < nights; ++i)
    cells.push_back({.primed = i == 0 ? 4_units : 2_units, .injected = 22_units});
  return used(300_units, cells);
}

// ---- to scale

constexpr std::array<std::int64_t, 6> contents = {150, 300, 450, 600, 900, 1500};

RC_GTEST_PROP(Barrel, SolidAndCellsAreProportionalToTheLedgerToATenthOfAPixel, ()) {
  const auto content = hundredths(100 * *rc::gen::elementOf(contents));
  const int width = *rc::gen::inRange(300, 1201);
  std::vector<Cell> cells;
  Units left = content;
  const int injections = *rc::gen::inRange(0, 400);
  for (int i = 0; i < injections; ++i) {
    const auto primed = hundredths(50 * *rc::gen::inRange(0, 9));
    const auto dose = hundredths(50 * *rc::gen::inRange(0, 40));
    const auto rest = checked_sub(left, sum(primed, dose));
    if (!rest) break;
    left = *rest;
    cells.push_back({.primed = primed, .injected = dose});
  }
  auto cartridge = used(content, cells);
  cartridge.width_px = width;
  const auto drawn = check_xml(barrel(cartridge));
  RC_ASSERT(drawn.error.empty());

  const double a_unit = plot_px(width) / units(content);
  RC_ASSERT(std::abs(solid_end(drawn) - shoulder_px - units(left) * a_unit) < 0.1);
  Units primed = Units::zero();
  Units injected = Units::zero();
  for (const auto& cell : cells) {
    primed = sum(primed, cell.primed);
    injected = sum(injected, cell.injected);
  }
  // Each edge is rounded to a hundredth of a pixel; the sum of many keeps to that many hundredths.
  const auto primed_boxes = boxes(drawn.mark("primed"));
  const auto ghost_boxes = boxes(drawn.mark("injected"));
  RC_ASSERT(std::abs(total_width(primed_boxes) - units(primed) * a_unit) <=
            0.1 + 0.01 * static_cast<double>(primed_boxes.size()));
  RC_ASSERT(std::abs(total_width(ghost_boxes) - units(injected) * a_unit) <=
            0.1 + 0.01 * static_cast<double>(ghost_boxes.size()));
  RC_ASSERT(std::abs(total_width(primed_boxes) + total_width(ghost_boxes) -
                     units(gone(cells)) * a_unit) < 0.1);
}

TEST(Barrel, CellsRunFromTheFarEndToTheStopperWithoutAGap) {
  const auto drawn = check_xml(barrel(twenty_two_a_night(11)));
  const auto primed = boxes(drawn.mark("primed"));
  const auto injected = boxes(drawn.mark("injected"));
  ASSERT_EQ(primed.size(), 11U);
  ASSERT_EQ(injected.size(), 11U);
  double end = shoulder_px + plot_px(619) + stopper_px;
  for (std::size_t i = 0; i < 11; ++i) {
    EXPECT_NEAR(primed[i].x + primed[i].width, end, 0.011);
    EXPECT_NEAR(injected[i].x + injected[i].width, primed[i].x, 0.011);
    end = injected[i].x;
  }
  EXPECT_NEAR(end, solid_end(drawn) + stopper_px, 0.011);  // the newest is next to the stopper
}

TEST(Barrel, APrimingLeftOutHasNoSlant) {
  auto cartridge = twenty_two_a_night(5);
  cartridge.cells[2].primed = 0_units;
  cartridge.left = sum(cartridge.left, 2_units);
  const auto drawn = check_xml(barrel(cartridge));
  EXPECT_EQ(boxes(drawn.mark("primed")).size(), 4U);
  EXPECT_EQ(boxes(drawn.mark("injected")).size(), 5U);
}

TEST(Barrel, HundredsOfTinyInjectionsStaySmallAndApart) {
  std::vector<Cell> cells(550, Cell{.injected = 0.5_units});
  const auto svg = barrel(used(300_units, cells));
  EXPECT_LT(svg.size(), 12'000U);
  const auto drawn = check_xml(svg);
  const auto injected = boxes(drawn.mark("injected"));
  EXPECT_LT(injected.size(), 110U);
  for (std::size_t i = 0; i + 1 < injected.size(); ++i) EXPECT_GE(injected[i].width, 4.99);
  EXPECT_NEAR(total_width(injected), 275 * plot_px(619) / 300, 0.1);
}

TEST(Barrel, FullNearlyEmptyAndEmptyAreDrawn) {
  for (const auto used_up : {0_units, 297_units, 299.5_units, 300_units}) {
    const auto drawn = check_xml(barrel(used(300_units, {{.injected = used_up}})));
    ASSERT_EQ(drawn.error, "");
    EXPECT_NEAR(solid_end(drawn),
                shoulder_px + units(difference(300_units, used_up)) * plot_px(619) / 300, 0.011);
    EXPECT_EQ(drawn.mark("left") == nullptr, used_up == 300_units);
  }
}

TEST(Barrel, WhatWasNotInItWhenItWasLoadedStaysBlank) {
  Barrel half = used(150_units, {{.primed = 4_units, .injected = 10_units}});
  half.content = 300_units;
  const auto drawn = check_xml(barrel(half));
  const auto primed = boxes(drawn.mark("primed"));
  ASSERT_EQ(primed.size(), 1U);
  EXPECT_NEAR(primed[0].x + primed[0].width, shoulder_px + plot_px(619) / 2 + stopper_px, 0.011);
}

TEST(Barrel, AnAccountThatDoesNotAddUpIsOurBugNotAPicture) {
  auto wrong = twenty_two_a_night(3);
  wrong.left = 100_units;
  EXPECT_THROW(barrel(wrong), BrokenPromise);
}

// ---- scale

TEST(Scale, NumeralsFromZeroToTheContentAtStepsChosenByIt) {
  struct Row {
    Units content;
    int width_px;
    std::vector<std::string> numerals;
  };
  const Row rows[] = {
      {150_units, 619, {"0", "25", "50", "75", "100", "125", "150"}},
      {300_units, 619, {"0", "50", "100", "150", "200", "250", "300"}},
      {450_units, 619, {"0", "50", "100", "150", "200", "250", "300", "350", "400", "450"}},
      {600_units, 619, {"0", "100", "200", "300", "400", "500", "600"}},
      {900_units, 619, {"0", "100", "200", "300", "400", "500", "600", "700", "800", "900"}},
      {1500_units, 619, {"0", "250", "500", "750", "1000", "1250", "1500"}},
      {300_units, 340, {"0", "100", "200", "300"}},
      {150_units, 340, {"0", "50", "100", "150"}},
      {1500_units, 340, {"0", "500", "1000", "1500"}},
  };
  for (const auto& row : rows) {
    auto cartridge = used(row.content, {});
    cartridge.width_px = row.width_px;
    const auto drawn = check_xml(barrel(cartridge));
    EXPECT_EQ(texts(drawn, "m"), row.numerals) << row.width_px;
    double before = -1e9;
    for (const auto& text : drawn.named("text")) {
      const double x = std::stod(text.attribute("x"));
      EXPECT_GE(x - before, 40) << "numerals must not touch";
      EXPECT_NEAR(x,
                  shoulder_px + std::stod(text.text) * plot_px(row.width_px) / units(row.content),
                  0.011);
      before = x;
    }
  }
}

TEST(Scale, ASealedCartridgeIsHalfAsThickAndHasNone) {
  const auto drawn = check_xml(sealed_barrel(300_units, "Sealed"));
  EXPECT_TRUE(drawn.named("text").empty());
  const auto stopper = [](const XmlChecked& d) {
    return boxes(d.mark("stopper")).at(0).height + 4;
  };
  EXPECT_DOUBLE_EQ(stopper(drawn) * 2, stopper(check_xml(barrel(used(300_units, {})))));
}

TEST(Scale, TheEmptyOutlineHasTheScaleAndTheWords) {
  const auto drawn = check_xml(empty_barrel(
      {.content = 300_units, .label = "nothing loaded", .alt = "Barrel without a cartridge"}));
  EXPECT_EQ(texts(drawn, "ls"), std::vector<std::string>{"nothing loaded"});
  EXPECT_EQ(texts(drawn, "m").front(), "0");
  EXPECT_EQ(texts(drawn, "m").back(), "300");
  EXPECT_EQ(drawn.mark("left"), nullptr);
}

// ---- marks on the barrel

TEST(Notch, StandsWhereTheStopperWillBeWithItsLabel) {
  auto cartridge = twenty_two_a_night(6);  // 154 left
  cartridge.notch = Notch{.at = 130_units, .label = "130 after 22:00"};
  const auto drawn = check_xml(barrel(cartridge));
  ASSERT_NE(drawn.mark("notch"), nullptr);
  EXPECT_NEAR(number_after(drawn.mark("notch")->attribute("d"), 'M'),
              shoulder_px + 130 * plot_px(619) / 300, 0.011);
  EXPECT_NE(drawn.mark("head"), nullptr);
  EXPECT_EQ(drawn.mark("open-head"), nullptr);
  EXPECT_EQ(texts(drawn, "lo"), std::vector<std::string>{"130 after 22:00"});
}

TEST(Notch, H37_ANotchThatRestsOnAnOrderInQuestionIsOpen) {
  auto cartridge = twenty_two_a_night(6);
  cartridge.notch =
      Notch{.at = 130_units, .standing = Standing::in_question, .label = "130 if the order stands"};
  const auto drawn = check_xml(barrel(cartridge));
  EXPECT_EQ(drawn.mark("head"), nullptr);
  ASSERT_NE(drawn.mark("open-head"), nullptr);
  EXPECT_EQ(drawn.mark("open-head")->attribute("class"), "d-over f-leaf");
}

TEST(Notch, TheLabelTurnsToTheOtherSideAtTheEnd) {
  Barrel full = used(300_units, {});
  full.notch = Notch{.at = 274_units, .label = "274 left after 22 units"};
  const auto drawn = check_xml(barrel(full));
  const auto label = drawn.named("text").back();
  EXPECT_EQ(label.text, "274 left after 22 units");
  EXPECT_EQ(label.attribute("text-anchor"), "end");
  EXPECT_LT(std::stod(label.attribute("x")), shoulder_px + 274 * plot_px(619) / 300);
}

TEST(Count, H41_ScaleAndLedgerAreBothDrawnAndNeitherMovesTheOther) {
  const auto plain = check_xml(barrel(twenty_two_a_night(6)));
  auto cartridge = twenty_two_a_night(6);
  cartridge.count = ScaleCount{.at = 118_units, .label = "scale read 118 on 16 March"};
  const auto drawn = check_xml(barrel(cartridge));
  EXPECT_EQ(solid_end(drawn), solid_end(plain));
  ASSERT_NE(drawn.mark("count"), nullptr);
  EXPECT_NEAR(number_after(drawn.mark("count")->attribute("d"), 'M'),
              shoulder_px + 118 * plot_px(619) / 300, 0.011);
  EXPECT_EQ(texts(drawn, "lb"), std::vector<std::string>{"scale read 118 on 16 March"});
}

TEST(Count, TheNotchLabelKeepsClearOfTheBracket) {
  auto cartridge = twenty_two_a_night(6);  // 154 left
  cartridge.notch = Notch{.at = 130_units, .label = "130 after 22:00"};
  cartridge.count = ScaleCount{.at = 118_units, .label = "scale read 118"};
  const auto drawn = check_xml(barrel(cartridge));
  for (const auto& text : drawn.named("text")) {
    if (text.attribute("class") != "lo") continue;
    EXPECT_GE(std::stod(text.attribute("x")), shoulder_px + 154 * plot_px(619) / 300 + 7.99);
  }
}

TEST(Unexplained, MoreThanWasLoadedIsDrawnToScaleBeyondTheEndInABrokenFrame) {
  auto cartridge = twenty_two_a_night(12);  // 290 gone
  cartridge.cells.push_back({.primed = 2_units, .injected = 32_units});
  cartridge.left = 0_units;
  cartridge.unexplained = 24_units;
  cartridge.unexplained_label = "24 more recorded than it held";
  const auto drawn = check_xml(barrel(cartridge));
  ASSERT_NE(drawn.mark("unexplained"), nullptr);
  EXPECT_EQ(drawn.mark("unexplained")->attribute("stroke-dasharray"), "6 4");
  const double a_unit = plot_px(619) / 324;
  const auto primed = boxes(drawn.mark("primed"));
  EXPECT_NEAR(primed[0].x + primed[0].width, shoulder_px + 324 * a_unit + stopper_px, 0.011);
  EXPECT_NEAR(number_after(drawn.mark("unexplained")->attribute("d"), 'M'),
              shoulder_px + 300 * a_unit + stopper_px, 0.011);
  EXPECT_EQ(texts(drawn, "m").back(), "300");  // the scale ends where the cartridge does
}

TEST(Away, ARestTooSmallHasItsBraceAndItsReason) {
  auto cartridge = twenty_two_a_night(11);
  cartridge.away_label = "34 left: not enough, throw away";
  const auto drawn = check_xml(barrel(cartridge));
  EXPECT_NE(drawn.mark("away"), nullptr);
  EXPECT_EQ(texts(drawn, "lb"), std::vector<std::string>{"34 left: not enough, throw away"});
}

TEST(Captions, EveryOneAtEveryWidthEndsInsideTheDrawing) {
  for (const int width : {300, 340, 376, 619, 900}) {
    auto cartridge = twenty_two_a_night(6);
    cartridge.width_px = width;
    cartridge.notch = Notch{.at = 130_units, .label = "130 after 22:00 on Tuesday"};
    cartridge.count =
        ScaleCount{.at = 118_units, .label = "the scale read 118 on Tuesday 16 March"};
    const auto drawn = check_xml(barrel(cartridge));
    const double height = std::stod(drawn.elements[0].attribute("viewBox").substr(
        drawn.elements[0].attribute("viewBox").rfind(' ')));
    for (const auto& text : drawn.named("text")) {
      if (text.attribute("class") == "m") continue;
      const double x = std::stod(text.attribute("x"));
      const double long_as = 8.2 * static_cast<double>(text.text.size());
      const bool ends_here = text.attribute("text-anchor") == "end";
      EXPECT_GE(ends_here ? x - long_as : x, 0) << text.text << " at " << width;
      EXPECT_LE(ends_here ? x : x + long_as, width) << text.text << " at " << width;
      EXPECT_LE(std::stod(text.attribute("y")), height) << text.text;
    }
  }
}

// ---- days in use

TEST(Pips, TodayCountsAndNothingIsLeftAtTheLimit) {
  for (const int limit : {10, 28, 42, 56, 84}) {
    for (int day = 0; day < limit + 5; ++day) {
      const auto drawn = check_xml(pips({.limit_days = limit, .days_in_use = day}));
      const int left = static_cast<int>(boxes(drawn.mark("left")).size());
      const int elapsed = static_cast<int>(boxes(drawn.mark("elapsed")).size());
      const int beyond = static_cast<int>(boxes(drawn.mark("beyond")).size());
      EXPECT_EQ(left, std::max(limit - day, 0));  // opened today: all 28; on day D + 27: one, today
      EXPECT_EQ(left + elapsed, limit);
      EXPECT_EQ(beyond, std::max(day - limit + 1, 0));
    }
  }
}

}  // namespace
}  // namespace penstock::drawing
