#include "edge/wire/journal_file.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <random>

#include "core/journal/journal.hpp"
#include "edge/wire/for_tests.hpp"

namespace penstock::wire {
namespace {

using namespace for_tests;
using namespace literals;
using journal::Fact;

JournalFile some_journal() {
  JournalFile file;
  file.journal = {9, 9};
  file.chain_version = 4;
  file.chain_head = std::string(64, 'a');
  for (std::uint64_t i = 1; i <= 3; ++i) {
    file.facts.push_back(injection(i, "2027-03-16T22:05:00+01:00", 10_units));
    file.facts.back().sequence = static_cast<std::uint32_t>(i);
  }
  auto corrected = injection(4, "2027-03-17T08:00:00+01:00", 1_units);
  journal::Correction correction;
  correction.target = {1, 2};
  correction.reason = "26, not 36";
  correction.replacement = std::make_shared<journal::Replacement>(
      journal::Replacement{when("2027-03-16T22:05:00+01:00"), 1, file.facts[0].payload});
  corrected.payload = correction;
  file.facts.push_back(corrected);
  return file;
}

std::string changed(std::string text, std::string_view from, std::string_view to) {
  const auto at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return text.replace(at, from.size(), to);
}

Error refused(std::string_view text) {
  const auto read = read_journal_file(text, &digest);
  return read ? Error{Kind::refused, "it was read", {}, ""} : read.error();
}

TEST(JournalFile, ComesBackWhole) {
  const auto file = some_journal();
  const auto read = read_journal_file(write_journal_file(file, &digest), &digest);
  ASSERT_TRUE(read.has_value()) << read.error().code << read.error().at;
  EXPECT_EQ(read->facts, file.facts);
  EXPECT_EQ(read->journal, file.journal);
  EXPECT_EQ(read->subject, file.subject);
  EXPECT_EQ(read->chain_version, file.chain_version);
  EXPECT_EQ(read->chain_head, file.chain_head);
}

TEST(JournalFile, H31_ReadElsewhereInAnyOrderItSaysTheSame) {
  const auto file = some_journal();
  auto read = read_journal_file(write_journal_file(file, &digest), &digest);
  ASSERT_TRUE(read.has_value());
  std::mt19937_64 random(20270316);
  const auto here = journal::read(file.facts);
  for (int round = 0; round < 20; ++round) {
    std::shuffle(read->facts.begin(), read->facts.end(), random);
    const auto there = journal::read(read->facts);
    ASSERT_EQ(there.facts.size(), here.facts.size());
    for (std::size_t i = 0; i < here.facts.size(); ++i) {
      EXPECT_EQ(there.facts[i].fact->id, here.facts[i].fact->id);
      EXPECT_EQ(*there.facts[i].payload, *here.facts[i].payload);
    }
  }
}

TEST(JournalFile, H22_NothingEntersFromAFileThatWasCutOrChanged) {
  const auto text = write_journal_file(some_journal(), &digest);
  EXPECT_EQ(refused(changed(text, "\"units\": 10", "\"units\": 11")).code, codes::file_digest);
  EXPECT_EQ(refused(changed(text, "26, not 36", "36, not 26")).code, codes::file_digest);
  EXPECT_EQ(refused(changed(text, "\"count\": 4", "\"count\": 5")).code, codes::file_count);
  EXPECT_EQ(refused(changed(text, "penstock journal", "other journal")).code, codes::file_format);
  EXPECT_EQ(refused(changed(text, "\"version\": 1", "\"version\": 2")).code, codes::file_version);
  EXPECT_EQ(refused(text.substr(0, text.size() / 2)).code, json::codes::syntax);
  EXPECT_EQ(refused("time,what,units\n").code, json::codes::syntax);
  EXPECT_EQ(refused("[]").code, json::codes::field_type);
}

TEST(JournalFile, H19_AFactOfAnotherJournalIsRefused) {
  auto file = some_journal();
  file.facts[2].journal = {9, 8};
  const auto error = refused(write_journal_file(file, &digest));
  EXPECT_EQ(error.code, codes::file_other_journal);
  EXPECT_EQ(error.at, "/facts/2/journal");
}

TEST(JournalFile, TheSameIdentityTwiceIsRefused) {
  auto file = some_journal();
  file.facts[2].id = file.facts[0].id;
  EXPECT_EQ(refused(write_journal_file(file, &digest)).code, codes::file_identity);
}

TEST(JournalFile, H25_EveryFactIsCheckedBeforeAnythingEnters) {
  auto file = some_journal();
  std::get<journal::Injected>(file.facts[1].payload).units = 40000_units;
  const auto error = refused(write_journal_file(file, &digest));
  EXPECT_EQ(error.code, journal::codes::value_range);
  EXPECT_EQ(error.at, "/facts/1/units");
}

TEST(JournalFile, AnEmptyJournalIsAFile) {
  JournalFile file;
  file.journal = {9, 9};
  file.subject = JournalSubject::clinic;
  const auto read = read_journal_file(write_journal_file(file, &digest), &digest);
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(read->subject, JournalSubject::clinic);
  EXPECT_TRUE(read->facts.empty());
}

TEST(JournalFile, NoMutationOfAFileIsTakenForAnotherJournal) {
  const auto file = some_journal();
  const auto text = write_journal_file(file, &digest);
  constexpr std::uint64_t seed = 20270318;
  std::mt19937_64 random(seed);
  for (int i = 0; i < 2'000; ++i) {
    auto other = text;
    other[random() % other.size()] = static_cast<char>(random());
    const auto read = read_journal_file(other, &digest);
    if (!read) continue;
    // Only what is not a fact can have changed: the chain's last hash, spaces, the subject.
    ASSERT_EQ(read->facts, file.facts) << "seed " << seed << ", mutation " << i;
  }
}

}  // namespace
}  // namespace penstock::wire
