// Somebody registered, and what is told of them, for the tests of this room.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <utility>
#include <vector>

#include "edge/json/json.hpp"
#include "edge/pages/person/person.hpp"
#include "support/small_shelf.hpp"
#include "support/told.hpp"

namespace penstock::pages::for_tests {

using namespace penstock::literals;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

inline Id id(std::uint64_t n) { return {0x9E50, n}; }
constexpr Id pen_id{0x9E50, 0x9E4}, cartridge_id{0x9E50, 0xCA};
constexpr LocalDay first_day = std::chrono::local_days{std::chrono::year{2027} / 3 / 1};
constexpr Instant at(int day, int hour, int minute = 0) {
  return Instant{first_day.time_since_epoch()} + days{day - 1} + hours{hour} + minutes{minute};
}

struct Story {
  Clinic clinic;
  std::vector<journal::Fact> facts;

  explicit Story(const std::string& phone = "030 555 0172") {
    clinic.shelf = tests::small_shelf();
    journal::PersonRegistered who;
    who.full_name = "Mirela Okonkwo";
    who.born = first_day - days{20'000};
    who.number = "HS 04172";
    who.phone = phone;
    tell(at(1, 7), who);
  }
  Id tell(Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(100 + facts.size()), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  }
  static journal::OrderLineSigned bedtime() {
    return tests::bedtime_line(first_day, 20_units, 10_units, 30_units);
  }
  Id order(const journal::OrderLineSigned& line = bedtime(), bool checked = true) {
    const auto made = tell(at(1, 8), line);
    if (checked) tell(at(1, 8), journal::OrderLineChecked{made, "Tom Reyes", {}});
    return made;
  }
  void pen(Strength strength = {100}) {
    tell(at(1, 9), journal::PenGiven{pen_id, clinic.shelf.pens.front().thing, "insulin glargine",
                                     strength, "77"});
  }
  void load(Instant when = at(1, 9)) {
    journal::CartridgeLoaded load;
    load.cartridge = cartridge_id;
    load.pen = pen_id;
    load.copy = clinic.shelf.insulins.front().thing;
    load.units = load.content = 300_units;
    load.fits = "A";
    load.new_cartridge = true;
    load.lot = "L1";
    tell(when, load);
  }
  void inject(Instant when, Units units, Id line) {
    journal::Injected dose;
    dose.cartridge = cartridge_id;
    dose.units = units;
    dose.line = line;
    dose.slot = journal::SlotName::bedtime;
    tell(when, dose);
  }
  json::Value page(Instant now) const {
    const auto chart =
        chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}}, {});
    const Caller caller{.author = "Ines Falk", .words = words::english(), .now = now};
    return person_page(*chart, {}, clinic, caller, {}, [] { return id(9'999); });
  }
};

/// With an order, a pen and a cartridge.
inline std::pair<Story, Id> whole(const std::string& phone = "030 555 0172") {
  Story story(phone);
  const auto line = story.order();
  story.pen();
  story.load();
  return {std::move(story), line};
}

inline const json::Value& in(const json::Value& of, std::string_view member) {
  static const json::Value none = json::null();
  const auto* found = of.find(member);
  return found != nullptr ? *found : none;
}
/// What a text with bold runs says.
inline std::string plain(const json::Value& rich) {
  std::string out;
  for (const auto& run : rich.members)
    out += run.value.type == json::Type::object ? in(run.value, "b").text : run.value.text;
  return out;
}

inline bool has(const std::string& text, std::string_view part) {
  return text.find(part) != std::string::npos;
}

}  // namespace penstock::pages::for_tests
