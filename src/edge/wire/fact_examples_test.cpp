// The examples that the lists make are good facts: one of every kind.
#include <gtest/gtest.h>

#include "core/facts/facts.hpp"
#include "edge/wire/fact_json.hpp"

namespace penstock::wire {
namespace {

facts::Fact example(std::string_view kind) {
  const auto read = draft_from_json(*kind_example(kind));
  EXPECT_TRUE(read.has_value()) << kind;
  facts::Fact fact;
  fact.id = {9, 1};
  fact.journal = {9, 2};
  fact.happened = *read->happened;
  fact.recorded = fact.happened.at;
  fact.author = "N. Okafor";
  fact.source = "bench";
  fact.payload = read->payload;
  return fact;
}

std::string refusal(const facts::Fact& fact) {
  const auto result = facts::checked(fact);
  return result ? "taken" : result.error().code + " " + result.error().at;
}

TEST(FactExamples, AGoodFactOfEveryKindIsTakenAsItIs) {
  for (const auto& kind : facts::kinds) {
    const auto made = example(kind.name);
    EXPECT_EQ(&facts::kind_of(made.payload), &kind);
    const auto result = facts::checked(made);
    ASSERT_TRUE(result) << kind.name << " " << result.error().code << " " << result.error().at;
    EXPECT_EQ(*result, made);
  }
}

TEST(FactExamples, H25_NothingUsualIsAskedAbout) {
  for (const auto& kind : facts::kinds)
    EXPECT_FALSE(facts::oddity(example(kind.name)).has_value()) << kind.name;
}

TEST(FactExamples, WhatACorrectionPutsInsteadIsCheckedLikeAnyFact) {
  for (const auto& kind : facts::kinds) {
    auto made = example(kind.name);
    const facts::Replacement instead{made.happened, 0, made.payload};
    made.payload = facts::Correction{
        {9, 3}, "misread", false, std::make_shared<const facts::Replacement>(instead)};
    const bool nested = kind.type == facts::Correction::type;
    EXPECT_EQ(refusal(made), nested ? "fact.correction_target /replacement" : "taken") << kind.name;
  }
}

}  // namespace
}  // namespace penstock::wire
