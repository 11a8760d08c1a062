// Files that older programs wrote (tests/samples) open, read the same and enter elsewhere.
#include <array>
#include <filesystem>

#include "cli/clinic.hpp"

namespace penstock::tests {
namespace {

constexpr std::array exported{"ingrid-adebayo.json", "lumi-abernathy.json", "nadia-engstroem.json"};

struct CliSamples : testing::Test, Clinic {
  static std::filesystem::path sample(const char* name) {
    return std::filesystem::path(PENSTOCK_SAMPLES) / "0.1.0" / name;
  }
  static std::string journal_in(const char* name) {
    const auto read = json::parse(read_text(sample(name)), {134'217'728, 6'000'000, 16});
    EXPECT_TRUE(read.has_value()) << name;
    return read ? at(*read, "/journal").text : "";
  }
};

TEST_F(CliSamples, AClinicsFileOfSchema3OpensWithEveryChainAndFact) {
  std::filesystem::copy_file(sample("clinic.penstock"), data);
  const auto verified = call({"verify"});
  EXPECT_EQ(verified.status, 0) << verified.error;
  EXPECT_TRUE(
      verified.out.starts_with("All records verified: 1579 entries in 6 records, 1579 facts"))
      << verified.out;
  const auto people = call({"people", "--json"});
  ASSERT_EQ(people.status, 0) << people.error;
  EXPECT_EQ(at(people.document(), "/people").members.size(), 5U);
  for (const auto& one : at(people.document(), "/people").members) {
    const auto shown = call({"show", at(one.value, "/id").text, "--journal"});
    EXPECT_EQ(shown.status, 0) << shown.error;
  }
}

TEST_F(CliSamples, WhatWasExportedThenIsExportedByteByByteNow) {
  std::filesystem::copy_file(sample("clinic.penstock"), data);
  for (const auto* name : exported) {
    const auto out = file(name);
    ASSERT_EQ(call({"export", journal_in(name), "-o", out}).status, 0);
    EXPECT_EQ(read_text(out), read_text(sample(name))) << name;
  }
}

TEST_F(CliSamples, AnExportOfThenEntersAFreshClinic) {
  name();
  for (const auto* name : exported) {
    const auto imported = call({"import-journal", sample(name).string(), "--accept"});
    EXPECT_EQ(imported.status, 0) << name << imported.error;
    const auto out = file(name);
    ASSERT_EQ(call({"export", journal_in(name), "-o", out}).status, 0);
    EXPECT_EQ(facts_of(out), facts_of(sample(name).string())) << name;
  }
}

}  // namespace
}  // namespace penstock::tests
