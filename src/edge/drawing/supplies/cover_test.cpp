#include <gtest/gtest.h>

#include <string>

#include "edge/drawing/supplies/supplies.hpp"
#include "support/xml_check.hpp"

namespace penstock::drawing {
namespace {

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t found = 0;
  for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++found;
  return found;
}

CoverPicture sample(int width = 1286) {
  CoverPicture out;
  out.width_px = width;
  out.alt = "How long supplies last";
  for (int day = 0; day < 14; ++day) {
    CoverDay one;
    one.number = std::to_string(day + 1);
    one.week_begins = day % 7 == 0;
    one.week = day % 7 == 0 ? "Mon " + std::to_string(day + 1) : "";
    one.closed = day % 7 >= 5;
    out.days.push_back(one);
  }
  CoverRow row;
  row.label = "Insulin glargine";
  row.stock = "12 + 1 sealed of 300";
  row.covered_thousandths = {1000, 1000, 1000, 1000, 1000, 1000, 600, 100, 0, 0, 0, 0, 0, 0};
  row.ask_day = 2;
  row.ready_day = 5;
  row.ask_text = "ask by Wed 3";
  row.note = "short Sun 7";
  out.rows.push_back(row);
  return out;
}

TEST(Cover, IsOneWellFormedPictureAtEveryWidth) {
  for (const int width : {420, 619, 900, 1286}) {
    const auto picture = cover(sample(width));
    EXPECT_EQ(check_xml(picture).error, "") << width;
    EXPECT_TRUE(check_xml(picture).ids.empty());
    EXPECT_NE(picture.find("ask by Wed 3"), std::string::npos);
    EXPECT_NE(picture.find("short Sun 7"), std::string::npos);
  }
}

TEST(Cover, ACellIsAsHighAsItsDayIsCertain) {
  auto picture = sample();
  picture.rows[0].covered_thousandths = {500};
  // Half of sixteen.
  const auto checked = check_xml(cover(picture));
  const auto* cell = checked.mark("uncertain");
  ASSERT_NE(cell, nullptr);
  EXPECT_NE(cell->attribute("d").find("v8h"), std::string::npos) << cell->attribute("d");
  picture.rows[0].covered_thousandths = {1000};
  EXPECT_EQ(count(cover(picture), "data-mark=\"uncertain\""), 0U);
  EXPECT_EQ(count(cover(picture), "data-mark=\"covered\""), 1U);
}

// "request by Wed 9 December" and "Sun 27 December" lay on each other on a phone.
TEST(Cover, WhereBothHaveNoRoomTheFlagsWordsStandAlone) {
  auto picture = sample(390);
  auto& row = picture.rows[0];
  row.covered_thousandths.assign(14, 1000);
  row.ask_day = 5;
  row.ask_text = "request by Wed 9 December";
  row.note = "may run out from Sun 27 December";
  EXPECT_EQ(count(cover(picture), row.ask_text), 1U);
  EXPECT_EQ(count(cover(picture), row.note), 0U);
  row.ask_day = 0;
  row.ask_text = "by Wed 9";
  row.note = "Sun 27";
  EXPECT_EQ(count(cover(picture), row.ask_text), 1U);
  EXPECT_EQ(count(cover(picture), row.note), 1U);
}

TEST(Cover, FlagAndArrowStandOnlyOnDaysThatAreDrawn) {
  auto picture = sample();
  picture.rows[0].ask_day = 14;
  EXPECT_EQ(count(cover(picture), "data-mark=\"ask\""), 0U);
  picture.rows[0].ask_day = 13;
  picture.rows[0].ready_day = 20;
  EXPECT_EQ(count(cover(picture), "data-mark=\"ask\""), 1U);
  EXPECT_EQ(count(cover(picture), "data-mark=\"ready\""), 0U);
}

TEST(Cover, NothingToDrawIsNoPicture) {
  EXPECT_TRUE(cover({}).empty());
  CoverPicture empty = sample();
  empty.rows.clear();
  EXPECT_EQ(check_xml(cover(empty)).error, "");
}

}  // namespace
}  // namespace penstock::drawing
