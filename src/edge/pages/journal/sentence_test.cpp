#include <gtest/gtest.h>

#include <string>

#include "core/facts/facts.hpp"
#include "edge/pages/journal/journal.hpp"
#include "edge/wire/fact_json.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

// The words leave "…" in a hole that nobody fills, and say a key that they do not know as it is.
TEST(Sentence, NoKindLeavesAHoleOpen) {
  const chart::Chart person;
  const shelf::Shelf shelf;
  for (const auto& kind : facts::kinds) {
    if (kind.is_of_clinic) continue;
    const auto draft = wire::draft_from_json(*wire::kind_example(kind.name));
    ASSERT_TRUE(draft) << kind.name;
    const auto said = words::plain(sentence_of(words::english(), person, shelf, draft->payload));
    EXPECT_EQ(said.find("…"), std::string::npos) << kind.name << ": " << said;
    EXPECT_FALSE(said.starts_with("fact.")) << said;
  }
}

TEST(Sentence, AFieldIsSaidByItsType) {
  const chart::Chart person;
  const shelf::Shelf shelf;
  const auto said = [&](std::string_view kind) {
    const auto draft = wire::draft_from_json(*wire::kind_example(kind));
    return words::plain(sentence_of(words::english(), person, shelf, draft->payload));
  };
  EXPECT_EQ(said("temperature spell"), "45 °C for 240 minutes. lay in the car");
  EXPECT_EQ(said("order line ended").substr(0, 10), "The order ");
  EXPECT_NE(said("order line ended").find("30 April 2026"), std::string::npos);
  EXPECT_NE(said("depth measured").find("11.5 mm"), std::string::npos);
  EXPECT_NE(said("place rules set").find("; "), std::string::npos);  // zones, by name
}

// Red flags, help, "severe" and "not known" were in no sentence, and an empty field left a scrap.
TEST(Sentence, WhatWasSaidAndMeasuredIsInTheSentence_H53_H61) {
  using namespace facts;
  const chart::Chart person;
  const shelf::Shelf shelf;
  const auto said = [&](const Payload& payload) {
    return words::plain(sentence_of(words::english(), person, shelf, payload));
  };
  ContactMade call;
  call.low = call.drowsy = YesNo::yes;
  call.ketones = YesNo::no;
  call.spoke_to = "her daughter";
  call.rings_back = RingsBack::we;
  EXPECT_EQ(said(call),
            "call: reached. Hypo now: yes. Drowsy or confused: yes. Ketones raised: no. Spoke to: "
            "her daughter. We ring back.");
  GlucoseNoted low;
  low.needed_help = YesNo::yes;
  low.helped_by = "ambulance";
  EXPECT_EQ(said(low), "A hypo, not measured. Help needed to treat it: yes. Helped by: ambulance.");
  EXPECT_EQ(said(AllergyNoted{}), "No known allergies.");
  EXPECT_EQ(said(AllergyNoted{"insulin glargine", "anaphylaxis", YesNo::yes}),
            "Allergy or reaction to insulin glargine. Severe. anaphylaxis.");
  EXPECT_EQ(said(RescueNoted{}),
            "Rescue glucagon at home: not known. Ketone testing at home: not known.");
  ContactNoted former;
  former.full_name = "Old Carer";
  former.phone = "030 1";
  former.former = true;
  EXPECT_TRUE(said(former).starts_with("Former contact, do not phone: Old Carer")) << said(former);
}

}  // namespace
}  // namespace penstock::pages
