// A prefilled pen has no cartridge to change: no card, sheet, phone desk or refusal says so.
#include <gtest/gtest.h>

#include <algorithm>
#include <set>
#include <string>

#include "core/interlock/interlock.hpp"
#include "edge/json/json.hpp"
#include "edge/pages/next/next.hpp"
#include "edge/words/words.hpp"

namespace penstock::pages {
namespace {

using Is = interlock::Flags::Is;

std::string all_text(const json::Value& value) {
  std::string out = value.type == json::Type::string ? value.text + "\n" : "";
  for (const auto& member : value.members) {
    const bool read = member.key != "facts" && member.key != "code";
    if (read) out += all_text(member.value);
  }
  return out;
}
bool names_a_cartridge(const std::string& text) {
  return text.find("artridge") != std::string::npos;
}

struct Asked {
  const shelf::Shelf& shelf = shelf::of_the_program();
  stock::Stock stock;
  Clinic clinic;
  interlock::Call call;

  Asked(std::string_view pen, std::string_view insulin) {
    clinic.shelf = shelf;
    call.flags = {Is::no, Is::no, Is::no, Is::no, interlock::Flags::Last::hours, 24, Is::no};
    call.pen = shelf.pen(pen)->thing;
    call.insulin = *shelf.insulin(insulin);
    call.dose = *Units::from_hundredths(2'000);
    call.left = *Units::from_hundredths(20'000);
    call.days_in_use = 6;
  }
  json::Value card() const {
    const auto verdict = interlock::decide(call, {shelf, stock});
    CardInput input;
    input.words = &words::english();
    input.verdict = &verdict;
    input.clinic = &clinic;
    input.shelf = &clinic.shelf;
    input.mark = mark_of(call.insulin.thing);
    input.insulin = call.insulin.thing.name;
    input.strength = call.insulin.thing.strength;
    return next_card(input);
  }
};

// Every state of a caller's pen that this walk reaches, by its code; a plan is "plan", one that
// takes a new pen "change".
std::set<std::string> walked(Asked asked, bool cartridges) {
  std::set<std::string> met;
  for (const std::int64_t left : {0, 1, 7, 22, 150, 2'000}) {
    for (const int unopened : {0, 1, 3}) {
      for (const int days : {6, 27, 28, 400}) {
        for (const int dose : {1, 20, 79, 300}) {
          asked.call.left = *Units::from_hundredths(left * 100);
          asked.call.unopened = unopened;
          asked.call.days_in_use = days;
          asked.call.dose = *Units::from_hundredths(dose * 100);
          asked.call.dose_said_twice = true;
          const auto card = asked.card();
          const auto text = all_text(card);
          const auto* refusal = card.find("refusal");
          met.insert(refusal != nullptr               ? refusal->find("code")->text
                     : text.find(" new") == text.npos ? "plan"
                                                      : "change");
          EXPECT_FALSE(!cartridges && names_a_cartridge(text)) << text;
        }
      }
    }
  }
  return met;
}

TEST(PrefilledWords, H58_NoStateOfAPrefilledPenSpeaksOfACartridge) {
  const auto met = walked({"prefilled-whole-80", "glargine-100"}, false);
  for (const auto* code : {"change", "dial.cartridge_short", "dial.all_past_in_use",
                           "dial.no_cartridge", "interlock.more_than_holds"})
    EXPECT_TRUE(met.contains(code)) << code;
  // The same walk with a reusable pen goes through the same states, and names them.
  EXPECT_EQ(walked({"reusable-whole-60", "glargine-100"}, true).size(), met.size());
  Asked reusable("reusable-whole-60", "glargine-100");
  reusable.call.left = Units::zero();
  reusable.call.unopened = 2;
  EXPECT_TRUE(names_a_cartridge(all_text(reusable.card())));
}

TEST(PrefilledWords, H58_NoRefusalOfAPrefilledPenSpeaksOfACartridge) {
  const auto& english = words::english();
  const auto kind = interlock::arg_pen_kind(shelf::Presentation::prefilled_pen);
  std::vector<std::string_view> codes;
  for (const auto& rule : interlock::rules()) codes.push_back(rule.code);
  // What is asked wrongly comes before these, and from no pen of a person.
  const auto refusals = dial::refusals();
  codes.insert(codes.end(), std::ranges::find(refusals, dial::dial_codes::no_flow), refusals.end());
  codes.push_back(dial::dial_codes::no_cartridge);
  for (const auto code : codes) {
    const auto told = english.say(Error{Kind::refused, std::string(code), {kind}, ""});
    EXPECT_FALSE(names_a_cartridge(told.what + told.do_this)) << told.what << told.do_this;
  }
  for (const auto code : dial::cautions()) {
    EXPECT_FALSE(names_a_cartridge(english.text(code, {kind}))) << code;
  }
  for (const auto* key : {"aside.interlock.recalled", "aside.next.unfit"})
    EXPECT_EQ(english.text(key, {kind}).find("ake it out"), std::string::npos) << key;
  for (const auto* key :
       {"step.change", "step.change.caption", "step.throw_empty", "step.throw", "next.after",
        "next.after_part", "next.after_thrown", "sheet.change", "sheet.change.text", "sheet.throw",
        "sheet.throw.text", "sheet.second", "sheet.second.text", "cartridge.in_pen",
        "cartridge.sealed", "pen.empty_title", "pen.empty", "act.loaded"}) {
    EXPECT_TRUE(english.has_sentence(key)) << key;
    EXPECT_FALSE(names_a_cartridge(english.text(key, {kind}))) << key;
  }
}

}  // namespace
}  // namespace penstock::pages
