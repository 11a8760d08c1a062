// Somebody with basal insulin at bedtime, a pen and a cartridge, for the tests of this room.
#pragma once

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "core/interlock/interlock.hpp"
#include "support/small_shelf.hpp"
#include "support/told.hpp"

namespace penstock::interlock::for_tests {

using namespace penstock::literals;
using journal::Fact;
using journal::Flow;
using journal::Outcome;
using journal::SlotName;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

inline Id id(std::uint64_t n) { return {0x1A7E, n}; }
constexpr Id pen_id{0x1A7E, 0x9E4}, cartridge_id{0x1A7E, 0xCA};
constexpr LocalDay first_day{
    std::chrono::year_month_day{std::chrono::year{2027}, std::chrono::March, std::chrono::day{1}}};
constexpr Instant at(int day, int hour, int minute = 0) {
  return Instant{std::chrono::sys_days{first_day.time_since_epoch()} + days{day - 1} + hours{hour} +
                 minutes{minute}};
}
constexpr Instant tonight = at(2, 22);

struct Story {
  shelf::Shelf shelf = tests::small_shelf();
  stock::Stock stock;
  std::vector<Fact> facts;
  std::uint64_t next = 100;

  Id tell(Instant when, journal::Payload payload) {
    facts.push_back(tests::told(id(next++), id(1), {when, 0}, std::move(payload)));
    return facts.back().id;
  }
  static journal::OrderLineSigned bedtime() {
    return tests::bedtime_line(first_day, 20_units, 10_units, 30_units);
  }
  Id order(const journal::OrderLineSigned& line = bedtime(), Instant when = at(1, 8)) {
    const auto made = tell(when, line);
    tell(when, journal::OrderLineChecked{made, "Tom Reyes", {}});
    return made;
  }
  void pen(Strength strength = {100}, Id which = pen_id) {
    tell(at(1, 9),
         journal::PenGiven{which, shelf.pens.front().thing, "insulin glargine", strength, "77"});
  }
  void load(Units units = 300_units, const std::string& lot = "L1") {
    journal::CartridgeLoaded load;
    load.cartridge = cartridge_id;
    load.pen = pen_id;
    load.copy = shelf.insulins.front().thing;
    load.units = units;
    load.content = 300_units;
    load.fits = "A";
    load.new_cartridge = units == 300_units;
    load.lot = lot;
    tell(at(1, 9), load);
  }
  void supplies(std::int32_t count, const std::string& lot, std::optional<LocalDay> expires = {}) {
    tell(at(1, 9),
         journal::SuppliesGiven{"insulin glargine", {100}, 300_units, count, 0, lot, expires});
  }
  void needle_on(Instant when) { tell(when, journal::NeedleOn{pen_id, "4 mm", {40}, true}); }
  void needle_off(Instant when) { tell(when, journal::NeedleOff{pen_id, {}}); }
  void prime(Instant when, Units units, Flow flow) {
    tell(when, journal::Primed{cartridge_id, units, flow});
  }
  Id inject(Instant when, Units units, std::optional<Id> line) {
    journal::Injected p;
    p.cartridge = cartridge_id;
    p.units = units;
    p.line = line;
    if (line) p.slot = SlotName::bedtime;
    return tell(when, p);
  }
  /// From a pen or cartridge that is not on this record: nobody's, or another person's.
  void inject_unknown(Instant when, Units units) {
    inject(when, units, {});
    std::get<journal::Injected>(facts.back().payload).cartridge = Id{7, 7};
  }
  Id partly(Instant when, Units units, std::optional<Id> line, Outcome outcome) {
    journal::Injected p;
    p.cartridge = cartridge_id;
    p.units = units;
    p.meant = 20_units;
    p.outcome = outcome;
    p.line = line;
    if (line) p.slot = SlotName::bedtime;
    return tell(when, p);
  }
  void recall(const std::string& lot) {
    stock::Recall recall;
    recall.said.lot = lot;
    recall.key = lot_key(lot);
    stock.recalls.push_back(recall);
  }
  chart::ChartPtr chart() const {
    return chart::finish(chart::begin(id(1), facts.size(), {}, facts, {}), ZoneRules{"UTC", {}},
                         {});
  }
};

/// What is said of the next dose: the code, or the number to bring the window to.
struct Said {
  std::string code;
  std::vector<Units> windows, primes;
  std::vector<std::string> aside;
};
inline Said verdict_in(const Verdict& verdict) {
  Said said;
  if (const auto* why = held(verdict)) {
    said.code = why->error.code;
    EXPECT_LT(why->row, rules().size());
    return said;
  }
  const auto& plan = **cleared(verdict);
  EXPECT_EQ(plan.plan.actions.size(), dial::plan(plan.request)->actions.size());
  for (const auto& action : plan.plan.actions) {
    if (action.what == dial::Do::dial) said.windows.push_back(action.window);
    if (action.what == dial::Do::prime) said.primes.push_back(action.primed);
  }
  for (const auto& error : plan.set_aside) said.aside.push_back(error.code);
  return said;
}
inline Said next_of(const Story& story, Instant now = tonight, std::string_view without = {}) {
  const auto chart = story.chart();
  const auto agenda = agenda_of(*chart, {story.shelf, story.stock, without}, {now, 0});
  for (const auto* doses : {&agenda.unrecorded, &agenda.ask_first}) {
    if (!doses->empty()) return verdict_in(doses->front().verdict);
  }
  if (!agenda.next) return {"nothing due", {}, {}, {}};
  return verdict_in(agenda.next->verdict);
}

inline Story whole() {
  Story story;
  story.order();
  story.pen();
  story.load();
  story.supplies(2, "L2");
  story.inject(at(1, 22), 20_units, story.facts.front().id);
  return story;
}

}  // namespace penstock::interlock::for_tests
