// The needle in skin, fat and muscle, and the hundred dots.
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <cmath>

#include "edge/drawing/reach/reach.hpp"
#include "support/section_samples.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

XmlChecked drawn(const std::string& svg) {
  auto checked = check_xml(svg);
  EXPECT_EQ(checked.error, "") << svg.substr(0, 200);
  return checked;
}

double number(const XmlElement& element, const char* attribute) {
  return std::stod(element.attribute(attribute));
}

/// What a section says about its own scale, and where the needle stands in it.
struct Read {
  double per_mm;
  double surface;
  double width;
  double height;
  double needle_x;
  double needle_degrees;
  double needle_length;
};

Read read(const XmlChecked& picture) {
  const auto& svg = picture.elements.at(0);
  Read out{number(svg, "data-per-mm"), number(svg, "data-surface-y"), 0, 0, 0, 90, 0};
  EXPECT_EQ(std::sscanf(svg.attribute("viewBox").c_str(), "0 0 %lf %lf", &out.width, &out.height),
            2);
  double y = 0, turned = 0;
  const auto place = picture.mark("needle")->attribute("transform");
  const int found =
      std::sscanf(place.c_str(), "translate(%lf %lf) rotate(%lf)", &out.needle_x, &y, &turned);
  EXPECT_GE(found, 2);
  EXPECT_EQ(y, out.surface);
  out.needle_degrees = 90 - (found == 3 ? turned : 0);
  double x = 0, start = 0, shoulder = 0, tip_x = 0;
  const auto cannula = picture.mark("cannula");
  // The first cannula drawn may be the ghost's; the needle's own follows its group.
  const XmlElement* own = cannula;
  bool inside = false;
  for (const auto& element : picture.elements) {
    if (element.attribute("data-mark") == "needle") inside = true;
    if (inside && element.attribute("data-mark") == "cannula") {
      own = &element;
      break;
    }
  }
  EXPECT_EQ(std::sscanf(own->attribute("d").c_str(), "M%lf %lfV%lfL%lf %lf", &x, &start, &shoulder,
                        &tip_x, &out.needle_length),
            5);
  return out;
}

TEST(Section, TheNeedleIsAsLongAsItIs) {
  for (const std::int32_t tenths : {30, 40, 45, 50, 60, 80, 127}) {
    auto section = sample_section();
    section.needle.length = {tenths};
    const auto at = read(drawn(cross_section(section)));
    EXPECT_NEAR(at.needle_length, tenths / 10.0 * at.per_mm, 0.011) << tenths;
  }
}

TEST(Section, SixMillimetresAt45DegreesEndAt4Point24_Geometry) {
  auto section = sample_section();
  section.needle.angle_deg = 45;
  section.other = {};
  const auto picture = drawn(cross_section(section));
  const auto at = read(picture);
  EXPECT_EQ(at.needle_degrees, 45);
  double x = 0, y = 0;
  ASSERT_EQ(std::sscanf(picture.mark("tip")->attribute("d").c_str(), "M%lf %lf", &x, &y), 2);
  EXPECT_NEAR((y - at.surface) / at.per_mm, 4.2426, 0.005);
  EXPECT_NEAR((y - at.surface) / at.per_mm, at.needle_length / at.per_mm * std::sin(M_PI / 4),
              0.005);
}

TEST(Section, MuscleAndItsRangeLieAtTheirDepths) {
  const auto picture = drawn(cross_section(sample_section()));
  const auto at = read(picture);
  EXPECT_NEAR((number(*picture.mark("median"), "cy") - at.surface) / at.per_mm, 9.2, 0.002);
  double x = 0, low = 0, right = 0, down_x = 0, down_y = 0, high = 0;
  ASSERT_EQ(std::sscanf(picture.mark("range")->attribute("d").c_str(), "M%lf %lfH%lfM%lf %lfV%lf",
                        &x, &low, &right, &down_x, &down_y, &high),
            6);
  EXPECT_NEAR((low - at.surface) / at.per_mm, 5.6, 0.002);
  EXPECT_NEAR((high - at.surface) / at.per_mm, 15.2, 0.002);
}

TEST(Section, ARangeThatGoesOnBelowThePictureIsLeftOpen) {
  auto section = sample_section();
  section.other = {};
  section.median = {100};
  section.low = {30};
  section.high = {600};
  const auto picture = drawn(cross_section(section));
  const auto data = picture.mark("range")->attribute("d");
  EXPECT_EQ(std::count(data.begin(), data.end(), 'M'), 2);  // no lower end
  bool named = false;
  for (const auto& text : picture.named("text")) named = named || text.text == "60";
  EXPECT_TRUE(named);
}

TEST(Section, TheRuleSaysItsOwnScale) {
  for (const std::int32_t median : {30, 92, 150, 400}) {
    auto section = sample_section();
    section.median = {median};
    section.low = {median * 6 / 10};
    section.high = {median * 165 / 100};
    const auto picture = drawn(cross_section(section));
    const auto at = read(picture);
    int numerals = 0;
    for (const auto& text : picture.named("text")) {
      if (text.attribute("class") != "m" || text.attribute("text-anchor") != "end" ||
          text.text == "mm")
        continue;
      EXPECT_NEAR(number(text, "y") - 4.5, at.surface + std::stod(text.text) * at.per_mm, 0.011);
      ++numerals;
    }
    EXPECT_GE(numerals, 2);
  }
}

/// Everything in words: inside the picture, and none on another.
void expect_words_apart(const XmlChecked& picture, const Read& at) {
  struct Box {
    double left, right, top, bottom;
    std::string words;
  };
  std::vector<Box> boxes;
  for (const auto& text : picture.named("text")) {
    const double width = 6.0 * static_cast<double>(text.text.size());
    const double x = number(text, "x"), y = number(text, "y");
    const auto anchor = text.attribute("text-anchor");
    const double left = anchor == "end" ? x - width : anchor == "middle" ? x - width / 2 : x;
    boxes.push_back({left, left + width, y - 9, y, text.text});
    EXPECT_GE(left, -2) << text.text;
    EXPECT_LE(left + width, at.width + 2) << text.text;
    EXPECT_LE(y, at.height) << text.text;
    EXPECT_GE(y, 9) << text.text;
  }
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    for (std::size_t j = i + 1; j < boxes.size(); ++j) {
      const auto& a = boxes[i];
      const auto& b = boxes[j];
      const bool apart =
          a.right <= b.left || b.right <= a.left || a.bottom <= b.top || b.bottom <= a.top;
      EXPECT_TRUE(apart) << a.words << " lies on " << b.words;
    }
  }
}

TEST(Section, WhateverTheNeedleAndTheBodyEverythingFits) {
  for (const std::int32_t length : {30, 60, 127}) {
    for (const int angle : {90, 45, 30}) {
      for (const std::int32_t median : {25, 60, 92, 150, 400}) {
        for (const bool fold : {false, true}) {
          for (const bool other : {false, true}) {
            auto section = sample_section();
            section.needle = {{length}, angle, "8 mm, straight in"};
            section.other = {};
            if (other)
              section.other = Section::Needle{{length}, angle == 90 ? 45 : 90, "at 45 degrees"};
            section.median = {median};
            section.low = {median * 6 / 10};
            section.high = {median * 165 / 100};
            section.fold = fold;
            const auto picture = drawn(cross_section(section));
            const auto at = read(picture);
            SCOPED_TRACE(testing::Message() << length << " at " << angle << ", muscle at " << median
                                            << (fold ? ", fold" : ""));
            const double radians = angle * M_PI / 180;
            EXPECT_LT(at.surface + at.needle_length * std::sin(radians), at.height - 22);
            EXPECT_GT(at.needle_x - at.needle_length * std::cos(radians), 50);
            EXPECT_LT(number(*picture.mark("median"), "cy"), at.height - 22);
            EXPECT_GT(at.per_mm, 3);
            expect_words_apart(picture, at);
          }
        }
      }
    }
  }
}

TEST(Section, AFoldIsHeldAndFlatSkinIsNot) {
  auto section = sample_section();
  EXPECT_EQ(drawn(cross_section(section)).mark("finger"), nullptr);
  section.fold = true;
  section.median = {150};
  section.high = {220};
  EXPECT_NE(drawn(cross_section(section)).mark("finger"), nullptr);
}

TEST(Section, OtherNeedleIsAGhost) {
  const auto picture = drawn(cross_section(sample_section()));
  ASSERT_NE(picture.mark("other needle"), nullptr);
  EXPECT_NE(picture.mark("other needle")->attribute("transform").find("rotate(45)"),
            std::string::npos);
  auto alone = sample_section();
  alone.other = {};
  EXPECT_EQ(drawn(cross_section(alone)).mark("other needle"), nullptr);
}

TEST(Section, NothingToDrawIsStillADrawing) { drawn(cross_section({})); }

TEST(Section, NoMeasureBreaksIt) {
  for (const std::int32_t n : {-100, 0, 1, 30'000}) {
    for (const int angle : {-90, 0, 1, 360}) {
      Section section{.needle = {{n}, angle, "x"},
                      .skin = {n},
                      .median = {n},
                      .low = {n},
                      .high = {n},
                      .fold = true,
                      .width_px = n};
      section.other = Section::Needle{{n}, angle, "y"};
      EXPECT_LT(cross_section(section).size(), 200'000U);
      drawn(cross_section(section));
    }
  }
}

RC_GTEST_PROP(Section, AnyBytesAsWordsStayWellFormed, (const std::string& bytes)) {
  auto section = sample_section();
  section.needle.label = section.other->label = section.skin_label = section.median_label = bytes;
  section.range_first = section.mm_word = section.alt = bytes;
  RC_ASSERT(check_xml(cross_section(section)).error.empty());
}

TEST(HundredDots, AsManyAreSolidAsWereSaid) {
  for (const auto& [asked, solid] : std::vector<std::pair<int, std::size_t>>{
           {0, 0}, {1, 1}, {14, 14}, {100, 100}, {-3, 0}, {101, 100}}) {
    const auto picture = drawn(hundred_dots(asked, "so many of 100"));
    std::size_t filled = 0;
    for (const auto& dot : picture.named("circle")) {
      filled += dot.attribute("class") == "f-ink" ? 1U : 0U;
    }
    EXPECT_EQ(picture.named("circle").size(), 100U);
    EXPECT_EQ(filled, solid);
    EXPECT_EQ(picture.elements[0].attribute("width"), "109");
  }
}

}  // namespace
}  // namespace penstock::drawing
