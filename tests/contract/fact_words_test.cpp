// Every kind of a person's fact, every limit and every choice about body, skin and places has its
// words.
#include <gtest/gtest.h>

#include "core/journal/journal.hpp"
#include "edge/words/words.hpp"

namespace penstock {
namespace {

bool has_name(std::string_view code) {
  return words::english().strings().contains("names/" + std::string(code));
}

TEST(FactWords, EveryKindHasItsNameAndItsSentence) {
  for (const auto& kind : journal::kinds) {
    // What stands in the clinic's journal is shown on the shelf's page and in the seals.
    if (journal::is_of_clinic(kind.type)) continue;
    EXPECT_TRUE(has_name("fact/" + std::string(kind.name))) << kind.name;
    EXPECT_TRUE(words::english().has_sentence("fact." + std::string(kind.name))) << kind.name;
  }
}

TEST(FactWords, H25_EveryLimitSaysWhereItComesFrom) {
  for (const auto why : journal::limit_reasons) EXPECT_TRUE(has_name(why)) << why;
  for (const auto why : journal::odd_reasons) EXPECT_TRUE(has_name(why)) << why;
}

template <class E>
void expect_names(std::string_view prefix) {
  for (const auto word : names_of(E{})) {
    EXPECT_TRUE(has_name(std::string(prefix) + std::string(word))) << prefix << word;
  }
}

TEST(FactWords, EveryChoiceAboutTheSkinHasItsName) {
  expect_names<journal::Sex>("sex/");
  expect_names<journal::Tissue>("tissue/");
  expect_names<journal::AreaVerdict>("verdict/");
  expect_names<journal::Light>("light/");
  expect_names<journal::Posture>("posture/");
  expect_names<journal::Turn>("turn/");
  expect_names<BodyPart>("part/");
  expect_names<Zone>("");
}

TEST(FactWords, EveryChoiceAboutSuppliesHasItsName) {
  expect_names<journal::DoseSpread>("spread/");
  expect_names<journal::Measured>("measured/");
  expect_names<journal::Explained>("explained/");
  expect_names<journal::StockWay>("way/");
  expect_names<journal::CallOutcome>("call/");
  expect_names<journal::Weekday>("weekday/");
}

void add_names(std::vector<std::string>& names, const fields::Group& list) {
  for (const auto& field : list.fields) {
    names.emplace_back(field.name);
    if (field.group != nullptr) add_names(names, *field.group);
  }
}
template <class... Kinds>
std::vector<std::string> fields_of() {
  std::vector<std::string> names;
  (add_names(names, Kinds::kind), ...);
  return names;
}

// A field's name is written with underscores; what people read has none.
TEST(FactWords, FieldsAboutTheSkinAreCalledByWords) {
  for (const auto& field :
       fields_of<journal::BodyMeasured, journal::DepthMeasured, journal::SkinExamined,
                 journal::AreaBlocked, journal::PlaceNoted, journal::PlaceRulesSet,
                 journal::PlacePlanGiven>()) {
    if (field.find('_') != std::string::npos) {
      EXPECT_TRUE(has_name(field)) << field;
    }
  }
}
TEST(FactWords, FieldsAboutSuppliesAreCalledByWords) {
  for (const auto& field :
       fields_of<journal::SuppliesCounted, journal::NeedlesGiven, journal::SupplyRulesSet,
                 journal::SuppliesAsked, journal::SharpsBoxGiven, journal::TripPlanned,
                 journal::PenTested, journal::DifferenceTalked, journal::StockCame,
                 journal::RecallOpened>()) {
    if (field.find('_') != std::string::npos) {
      EXPECT_TRUE(has_name(field)) << field;
    }
  }
}

}  // namespace
}  // namespace penstock
