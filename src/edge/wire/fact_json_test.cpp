#include "edge/wire/fact_json.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <set>

#include "edge/wire/for_tests.hpp"

namespace penstock::wire {
namespace {

using namespace for_tests;
using namespace literals;
using journal::Fact;

Result<Draft> draft(std::string_view text, const shelf::Shelf* shelf = nullptr) {
  const auto value = json::parse(text);
  if (!value) return value.error();
  return draft_from_json(*value, shelf);
}

Error refused(std::string_view text) {
  const auto read = draft(text);
  return read ? Error{Kind::refused, "it was taken", {}, ""} : read.error();
}

std::string text_arg(const Error& error, std::string_view name) {
  for (const auto& arg : error.args) {
    if (arg.name == name) return arg.text;
  }
  return "";
}

RC_GTEST_PROP(FactJson, EveryKindComesBackAsItWent, ()) {
  for (std::size_t kind = 0; kind < journal::kinds.size(); ++kind) {
    const auto fact = any_fact(kind);
    for (const auto layout : {json::Layout::compact, json::Layout::indented}) {
      const auto text = json::to_text(to_json(fact), layout);
      const auto value = json::parse(text);
      RC_ASSERT(value.has_value());
      const auto back = fact_from_json(*value);
      RC_ASSERT(back.has_value());
      RC_ASSERT(*back == fact);
    }
  }
}

ZoneRules berlin_of_2027() {
  const auto at = [](const char* text) { return parse_when(text).value().at; };
  return {"Europe/Berlin",
          {{Instant{}, 60}, {at("2027-03-28T01:00:00Z"), 120}, {at("2027-10-31T01:00:00Z"), 60}}};
}
std::string local(const char* text, const char* now) {
  const auto when =
      local_time(json::string(text), berlin_of_2027(), parse_when(now).value().at, "/t");
  return when ? format_iso(*when) : when.error().code + " " + when.error().at;
}

// A hypo of the second 02:35 went into the first, behind a newer value that was no hypo.
TEST(FactJson, H18_AnHourThatComesTwiceIsAskedAboutAndOneThatIsSkippedIsNone) {
  constexpr auto after = "2027-10-31T02:40:00+01:00";
  EXPECT_EQ(local("2027-10-31T02:35", after), "fact.hour_twice /t");
  EXPECT_EQ(local("2027-10-31T02:35 first", after), "2027-10-31T02:35:00+02:00");
  EXPECT_EQ(local("2027-10-31T02:35 second", after), "2027-10-31T02:35:00+01:00");
  // Before the second has come, the first is meant.
  EXPECT_EQ(local("2027-10-31T02:35", "2027-10-31T02:40:00+02:00"), "2027-10-31T02:35:00+02:00");
  EXPECT_EQ(local("2027-10-31T03:00", "2027-10-31T03:10:00+01:00"), "2027-10-31T03:00:00+01:00");
  EXPECT_EQ(local("2027-10-31T01:59", after), "2027-10-31T01:59:00+02:00");
  EXPECT_EQ(local("2027-03-28T02:30", "2027-03-28T09:00:00+02:00"), "fact.hour_missing /t");
  EXPECT_EQ(local("2027-03-28T03:00 second", "2027-03-28T09:00:00+02:00"),
            "2027-03-28T03:00:00+02:00");
  EXPECT_NE(local("2027-10-31T02:35 third", after).find(" /t"), std::string::npos);
}

TEST(FactJson, ReadsLikeASentenceInOneObject) {
  auto fact = injection(2, "2027-03-16T22:05:00+01:00", 10.5_units);
  std::get<journal::Injected>(fact.payload).zone = Zone::thigh_left;
  EXPECT_EQ(
      json::to_text(to_json(fact)),
      R"({"id":"00000000000000010000000000000002","journal":"00000000000000090000000000000009",)"
      R"("happened":"2027-03-16T22:05:00+01:00","sequence":0,"recorded":"2027-03-16T22:05:00Z",)"
      R"("author":"Jo Winter","source":"bench","what":"injected",)"
      R"("cartridge":"00000000000000070000000000000001","units":10.5,"outcome":"whole",)"
      R"("zone":"thigh left","given_by":"unknown"})");
}

TEST(FactJson, NoKindHasAFieldOfTheEnvelope) {
  for (const auto& kind : facts::kinds) {
    for (const auto& field : kind.fields) {
      EXPECT_FALSE(Fact::list.find(field.name) != nullptr || field.name == "what")
          << kind.name << field.name;
    }
  }
}

TEST(FactJson, EveryKindHasAnExampleThatIsTaken) {
  for (const auto& kind : journal::kinds) {
    const auto example = kind_example(kind.name);
    ASSERT_TRUE(example.has_value()) << kind.name;
    const auto read = draft_from_json(*example);
    ASSERT_TRUE(read.has_value()) << kind.name << ": " << read.error().code << read.error().at;
    EXPECT_EQ(journal::name_of(read->payload), kind.name);
    Fact fact;
    fact.id = {1, 1};
    fact.journal = {2, 2};
    fact.happened = *read->happened;
    fact.recorded = fact.happened.at + std::chrono::hours{1};
    fact.author = "Jo Winter";
    fact.source = "cli";
    fact.payload = read->payload;
    const auto good = journal::checked(fact);
    EXPECT_TRUE(good.has_value()) << kind.name << ": " << good.error().code << good.error().at;
  }
  EXPECT_FALSE(kind_example("injection").has_value());
}

TEST(FactJson, EveryKindHasASchemaThatItsExampleFits) {
  for (const auto& kind : journal::kinds) {
    const auto schema = kind_schema(kind.name);
    ASSERT_TRUE(schema.has_value());
    const auto example = *kind_example(kind.name);
    for (const auto& required : schema->find("required")->members) {
      EXPECT_NE(example.find(required.value.text), nullptr) << kind.name << required.value.text;
    }
    for (const auto& member : example.members) {
      EXPECT_NE(schema->find("properties")->find(member.key), nullptr) << kind.name << member.key;
    }
    EXPECT_FALSE(schema->find("additionalProperties")->flag);
  }
  EXPECT_FALSE(kind_schema("injection").has_value());
  EXPECT_EQ(fact_schema().find("oneOf")->members.size(), journal::kinds.size());
}

// The schema's list of what is needed and the reader agree: every field of an example that is
// needed is missed when it is gone, every other one is not. A text is read as an empty one, and its
// limits refuse it.
TEST(FactJson, WhatTheSchemaNeedsTheReaderMisses) {
  for (const auto& kind : journal::kinds) {
    const auto schema = *kind_schema(kind.name);
    const auto example = *kind_example(kind.name);
    for (std::size_t i = 1; i < example.members.size(); ++i) {
      auto less = example;
      const auto name = less.members[i].key;
      less.members.erase(less.members.begin() + static_cast<std::ptrdiff_t>(i));
      bool needed = false;
      for (const auto& one : schema.find("required")->members) needed |= one.value.text == name;
      const auto read = draft_from_json(less);
      if (const auto* field = kind.find(name); field != nullptr && field->is_needed) {
        ASSERT_TRUE(needed && read.has_value()) << kind.name << " without " << name;
        Fact fact;
        fact.id = {9, 1};
        fact.journal = {9, 2};
        fact.happened = *read->happened;
        fact.recorded = fact.happened.at;
        fact.author = "N. Okafor";
        fact.source = "bench";
        fact.payload = read->payload;
        const auto checked = journal::checked(fact);
        ASSERT_FALSE(checked.has_value()) << kind.name << " without " << name;
        EXPECT_EQ(checked.error().at, "/" + name);
        continue;
      }
      ASSERT_EQ(read.has_value(), !needed) << kind.name << " without " << name;
      if (needed) {
        EXPECT_EQ(read.error().code, json::codes::field_missing);
        EXPECT_EQ(read.error().at, "/" + name);
      }
    }
  }
}

TEST(FactJson, AShortRequestIsEnough) {
  const auto read = draft(
      R"({"what": "injected", "cartridge": "1f2e3d4c5b6a79880a1b2c3d4e5f6071", "units": 18})");
  ASSERT_TRUE(read.has_value());
  EXPECT_FALSE(read->id.has_value());
  EXPECT_FALSE(read->happened.has_value());
  EXPECT_EQ(std::get<journal::Injected>(read->payload).units, 18_units);
  EXPECT_EQ(std::get<journal::Injected>(read->payload).given_by, journal::Injector::unknown);
}

TEST(FactJson, ACodeOfTheShelfStandsForItsValues) {
  shelf::Shelf shelf;
  shelf::Insulin insulin;
  insulin.name = "insulin glargine";
  insulin.strength = {100};
  shelf.insulins.push_back({"glargine-100", insulin, {}});
  constexpr std::string_view text =
      R"({"what": "cartridge loaded", "cartridge": "1f2e3d4c5b6a79880a1b2c3d4e5f6071",
          "pen": "9a4f0c1d2e3b4a5968778695a4b3c2d1", "copy": "glargine-100", "units": 300,
          "content_units": 300})";
  const auto read = draft(text, &shelf);
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(std::get<journal::CartridgeLoaded>(read->payload).copy, insulin);
  EXPECT_EQ(draft(text).error().code, json::codes::field_type);
  shelf.insulins.clear();
  EXPECT_EQ(draft(text, &shelf).error().code, codes::shelf_code_unknown);
  EXPECT_EQ(draft(text, &shelf).error().at, "/copy");
}

TEST(FactJson, H20_TheSenderDoesNotSayWhatTheDeskStamps) {
  for (const auto* field : {"author", "recorded"}) {
    const auto error =
        refused(R"({"what": "note", "text": "x", ")" + std::string(field) + R"(": "Jo"})");
    EXPECT_EQ(error.code, json::codes::field_unknown);
    EXPECT_EQ(error.at, "/" + std::string(field));
  }
}

TEST(FactJson, H05_AmountsAreReadExactlyOrNotAtAll) {
  const auto with = [](std::string_view units) {
    return R"({"what": "scale counted", "cartridge": "1f2e3d4c5b6a79880a1b2c3d4e5f6071", "units": )" +
           std::string(units) + "}";
  };
  const auto read = draft(with("0.07"));
  ASSERT_TRUE(read.has_value());
  EXPECT_EQ(std::get<journal::ScaleCounted>(read->payload).units, 0.07_units);
  EXPECT_EQ(std::get<journal::ScaleCounted>(draft(with("18.50"))->payload).units, 18.5_units);
  EXPECT_EQ(refused(with("0.125")).code, units_codes::number_decimals);
  EXPECT_EQ(refused(with("1e1")).code, units_codes::number_form);
  EXPECT_EQ(refused(with("-1")).code, units_codes::number_range);
  EXPECT_EQ(refused(with("99999999999999999999")).code, units_codes::number_range);
  EXPECT_EQ(refused(with("1e999")).code, units_codes::number_range);
  EXPECT_EQ(refused(with("\"36\"")).code, json::codes::field_type);
  EXPECT_EQ(refused(with(".5")).code, json::codes::syntax);
  EXPECT_EQ(refused(with("0.125")).at, "/units");
}

TEST(FactJson, H06_GlucoseWithoutItsUnitIsRefused) {
  const auto with = [](std::string_view limit) {
    auto value = *kind_example("order line signed");
    for (auto& member : value.members) {
      if (member.key == "low_limit") member.value = *json::parse(limit);
    }
    const auto read = draft_from_json(value);
    return read ? Error{Kind::refused, "it was taken", {}, ""} : read.error();
  };
  EXPECT_EQ(with("3.9").code, json::codes::field_type);
  EXPECT_EQ(with(R"({"value": 3.9})").code, json::codes::field_missing);
  EXPECT_EQ(with(R"({"value": 3.9})").at, "/low_limit/unit");
  EXPECT_EQ(with(R"({"value": 3.9, "unit": "mmol"})").code, json::codes::field_choice);
  EXPECT_EQ(with(R"({"value": 70.5, "unit": "mg/dL"})").code, units_codes::number_decimals);
  EXPECT_EQ(with(R"({"value": 70, "unit": "mg/dL"})").code, "it was taken");
}

TEST(FactJson, AnErrorNamesThePlaceAndTheChoices) {
  auto error = refused(R"({"what": "injection"})");
  EXPECT_EQ(error.code, codes::kind_unknown);
  EXPECT_EQ(error.at, "/what");
  EXPECT_NE(text_arg(error, "allowed").find("injected, needle on"), std::string::npos);

  error = refused(R"({"what": "note", "txt": "x"})");
  EXPECT_EQ(error.code, json::codes::field_unknown);
  EXPECT_EQ(text_arg(error, "field"), "txt");
  EXPECT_NE(text_arg(error, "allowed").find("text"), std::string::npos);

  auto order = *kind_example("order line signed");
  for (auto& member : order.members) {
    if (member.key == "slots") member.value.members[0].value.members[0].value.text = "teatime";
  }
  const auto read = draft_from_json(order, nullptr, "/facts/3");
  ASSERT_FALSE(read.has_value());
  EXPECT_EQ(read.error().code, json::codes::field_choice);
  EXPECT_EQ(read.error().at, "/facts/3/slots/0/slot");
}

TEST(FactJson, ACorrectionNeverHoldsACorrection) {
  const auto error = refused(
      R"({"what": "correction", "target": "1f2e3d4c5b6a79880a1b2c3d4e5f6071", "replacement":
          {"happened": "2027-03-16T22:05:00+01:00", "what": "correction",
           "target": "1f2e3d4c5b6a79880a1b2c3d4e5f6071"}})");
  EXPECT_EQ(error.code, codes::correction_nested);
  EXPECT_EQ(error.at, "/replacement/what");
}

TEST(FactJson, H25_WhatFitsTheShapeButCannotBeIsForTheJournalToRefuse) {
  auto example = *kind_example("injected");
  for (auto& member : example.members) {
    if (member.key == "units") member.value = json::number(40000_units);
  }
  const auto read = draft_from_json(example);
  ASSERT_TRUE(read.has_value());
  auto fact = injection(1, "2027-03-16T22:05:00+01:00", 1_units);
  fact.payload = read->payload;
  const auto good = journal::checked(fact);
  ASSERT_FALSE(good.has_value());
  EXPECT_EQ(good.error().code, journal::codes::value_range);
  EXPECT_EQ(good.error().at, "/units");
}

}  // namespace
}  // namespace penstock::wire
