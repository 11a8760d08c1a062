#include "shell/system/system.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <set>

namespace penstock::shell {
namespace {

using namespace std::chrono;

ZoneRules rules(std::string_view name) {
  auto found = zone(name);
  EXPECT_TRUE(found.has_value()) << name;
  return found ? *found : ZoneRules{};
}

Instant utc(std::string_view text) {
  const auto when = parse_when(text);
  EXPECT_TRUE(when.has_value()) << text;
  return when ? when->at : Instant{};
}

LocalTime local(std::string_view text) {
  const auto time = parse_time(text);
  EXPECT_TRUE(time.has_value()) << text;
  return time ? time->local : LocalTime{};
}

// The clock readings below are those of the system's time zone database, 2025b and later.
TEST(Zones, H18_BerlinGoesForwardAndBackIn2027) {
  const auto berlin = rules("Europe/Berlin");
  EXPECT_EQ(berlin.offset_at(utc("2027-03-28T00:59:59Z")), 60);
  EXPECT_EQ(berlin.offset_at(utc("2027-03-28T01:00:00Z")), 120);
  EXPECT_EQ(berlin.fit(local("2027-03-28T02:30")), ZoneRules::Fit::missing);
  EXPECT_EQ(berlin.offset_at(utc("2027-10-31T00:59:59Z")), 120);
  EXPECT_EQ(berlin.offset_at(utc("2027-10-31T01:00:00Z")), 60);
  EXPECT_EQ(berlin.fit(local("2027-10-31T02:30")), ZoneRules::Fit::ambiguous);
  EXPECT_EQ(format_iso(berlin.when(utc("2027-03-28T01:00:00Z"))), "2027-03-28T03:00:00+02:00");
}

TEST(Zones, H18_NewYorkIn2027) {
  const auto zone_rules = rules("America/New_York");
  EXPECT_EQ(zone_rules.offset_at(utc("2027-03-14T06:59:59Z")), -300);
  EXPECT_EQ(zone_rules.offset_at(utc("2027-03-14T07:00:00Z")), -240);
  EXPECT_EQ(zone_rules.offset_at(utc("2027-11-07T06:00:00Z")), -300);
}

TEST(Zones, H18_ApiaSkipsADayAtTheDateLine) {
  const auto apia = rules("Pacific/Apia");
  EXPECT_EQ(format_iso(apia.when(utc("2011-12-30T09:59:59Z"))), "2011-12-29T23:59:59-10:00");
  EXPECT_EQ(format_iso(apia.when(utc("2011-12-30T10:00:00Z"))), "2011-12-31T00:00:00+14:00");
  EXPECT_EQ(apia.fit(local("2011-12-30T12:00")), ZoneRules::Fit::missing);
}

TEST(Zones, H18_LordHoweChangesByHalfAnHour) {
  const auto lord_howe = rules("Australia/Lord_Howe");
  EXPECT_EQ(lord_howe.offset_at(utc("2027-01-15T00:00:00Z")), 660);
  EXPECT_EQ(lord_howe.offset_at(utc("2027-07-15T00:00:00Z")), 630);
}

TEST(Zones, UtcNeverChanges) {
  const auto none = rules("UTC");
  EXPECT_EQ(none.offset_at(utc("1950-01-01T00:00:00Z")), 0);
  EXPECT_EQ(none.offset_at(utc("2099-07-01T00:00:00Z")), 0);
}

// The listed changes of a zone's file end in 2037; the rule after them must go on.
TEST(Zones, H18_SummerTimeGoesOnAfter2037) {
  const auto berlin = rules("Europe/Berlin");
  EXPECT_EQ(berlin.offset_at(utc("2060-07-01T00:00:00Z")), 120);
  EXPECT_EQ(berlin.offset_at(utc("2060-01-01T00:00:00Z")), 60);
  EXPECT_EQ(berlin.offset_at(utc("2038-03-28T00:59:59Z")), 60);  // the last Sunday of March 2038
  EXPECT_EQ(berlin.offset_at(utc("2038-03-28T01:00:00Z")), 120);
  const auto auckland = rules("Pacific/Auckland");
  EXPECT_EQ(auckland.offset_at(utc("2060-01-01T00:00:00Z")), 780);
  EXPECT_EQ(auckland.offset_at(utc("2060-07-01T00:00:00Z")), 720);
  const auto dublin = rules("Europe/Dublin");  // its winter is the exception in the database
  EXPECT_EQ(dublin.offset_at(utc("2060-01-01T00:00:00Z")), 0);
  EXPECT_EQ(dublin.offset_at(utc("2060-07-01T00:00:00Z")), 60);
}

// Every zone of the choice reads, is in order, and never holds two changes for one.
TEST(Zones, EveryNameReads) {
  const auto names = zone_names();
  ASSERT_GT(names.size(), 300U);
  for (const auto& name : names) {
    const auto found = rules(name);
    ASSERT_FALSE(found.changes.empty()) << name;
    for (std::size_t i = 1; i < found.changes.size(); ++i) {
      ASSERT_LT(found.changes[i - 1].from, found.changes[i].from) << name;
      ASSERT_NE(found.changes[i - 1].offset_minutes, found.changes[i].offset_minutes) << name;
      ASSERT_LE(std::abs(found.changes[i].offset_minutes), 15 * 60) << name;
    }
  }
  EXPECT_TRUE(std::ranges::binary_search(names, "Europe/Berlin"));
  EXPECT_TRUE(std::ranges::binary_search(names, "UTC"));
}

TEST(Zones, AnUnknownNameIsAnErrorAndNoPath) {
  for (const auto* name : {"", "Nowhere/Town", "../../../etc/passwd", "/etc/localtime", "europe"}) {
    const auto found = zone(name);
    ASSERT_FALSE(found.has_value()) << name;
    EXPECT_EQ(found.error().code, codes::zone_unknown);
  }
}

TEST(Ids, AreNotRepeated) {
  std::set<Id> seen;
  for (int i = 0; i < 10'000; ++i) EXPECT_TRUE(seen.insert(new_id()).second);
}

struct Files : testing::Test {
  std::filesystem::path folder =
      std::filesystem::temp_directory_path() / ("penstock-" + to_text(new_id()));
  Files() { std::filesystem::create_directory(folder); }
  ~Files() override { std::filesystem::remove_all(folder); }
};

TEST_F(Files, AreWrittenWholeAndNeverOverwritten) {
  const auto path = folder / "one.json";
  ASSERT_TRUE(write_new_file(path, "first").has_value());
  const auto again = write_new_file(path, "second");
  ASSERT_FALSE(again.has_value());
  EXPECT_EQ(again.error().code, codes::file_exists);
  EXPECT_EQ(read_file(path.string(), 100).value(), "first");
  EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder), {}), 1);
  const auto nowhere = write_new_file(folder / "none" / "two.json", "x");
  ASSERT_FALSE(nowhere.has_value());
  EXPECT_EQ(nowhere.error().code, codes::file_unwritten);
}

TEST_F(Files, AreReadUpToTheirLimit) {
  const auto path = (folder / "big").string();
  std::ofstream(path) << std::string(1000, 'x');
  EXPECT_EQ(read_file(path, 1000).value().size(), 1000U);
  EXPECT_EQ(read_file(path, 999).error().code, codes::file_large);
  EXPECT_EQ(read_file((folder / "none").string(), 9).error().code, codes::file_missing);
  EXPECT_EQ(read_file(folder.string(), 9).error().code, codes::file_unreadable);
}

}  // namespace
}  // namespace penstock::shell
