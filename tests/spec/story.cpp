#include "spec/story.hpp"

#include <algorithm>
#include <functional>
#include <memory>
#include <utility>

namespace penstock::spec {

using journal::Fact;
using std::chrono::minutes;

Story::Story() {
  facts_.reserve(1'000);
  clock_ = {Instant{std::chrono::sys_days{std::chrono::year{2027} / std::chrono::March / 1} +
                    std::chrono::hours{7}},
            60};
}

// FNV-1a over the name: any fixed function of it will do.
Id Story::id_of(const std::string& name) {
  std::uint64_t hash = 14'695'981'039'346'656'037ULL;
  for (const char c : name) {
    hash = (hash ^ static_cast<unsigned char>(c)) * 1'099'511'628'211ULL;
  }
  return {0x5BEC, hash};
}

void Story::record(journal::Payload payload, Words& words) {
  Fact fact;
  std::string name = "fact " + std::to_string(facts_.size());
  std::string told_by;
  if (words.take("as")) name = words.next("the fact's name");
  if (words.take("told")) {
    words.must("by:");
    while (!words.empty()) told_by += (told_by.empty() ? "" : " ") + words.next("who told it");
  }
  words.done();
  clock_.at += minutes{1};
  fact.id = id_of(name);
  fact.journal = id_of("the person");
  fact.happened = clock_;
  fact.recorded = clock_.at;
  fact.author = "Ines Falk";
  fact.told_by = told_by;
  fact.source = source_;
  fact.payload = std::move(payload);
  if (!names_.emplace(name, facts_.size()).second) words.fail("a second fact is called " + name);
  facts_.push_back(std::move(fact));
}

const Fact& Story::named(Words& words) {
  const auto name = words.next("a fact's name");
  const auto found = names_.find(name);
  if (found == names_.end()) words.fail("no fact is called " + name);
  return facts_[found->second];
}

void Story::set_clock(Words& words) {
  const auto day = words.day();
  const auto minute = words.value(parse_minute(words.next("a time")), "time");
  const LocalTime local = LocalTime{day} + minutes{minute.minutes};
  clock_.at = Instant{local.time_since_epoch() - minutes{clock_.offset_minutes}};
  words.done();
}

void Story::later(Words& words) {
  const auto count = words.number("how much later");
  const auto unit = words.next("days, hours or minutes");
  if (unit == "days") {
    clock_.at += std::chrono::days{count};
  } else if (unit == "hours") {
    clock_.at += std::chrono::hours{count};
  } else if (unit == "minutes") {
    clock_.at += minutes{count};
  } else {
    words.fail(unit + " is not days, hours or minutes");
  }
  words.done();
}

void Story::give_pen(Words& words) {
  journal::PenGiven p;
  const auto name = words.next("the pen's name");
  p.pen = id_of(name);
  p.insulin = "insulin glargine";
  p.strength = {100};
  p.copy.name = "training pen";
  p.copy.step = *Units::from_hundredths(100);
  p.copy.most = *Units::from_hundredths(6'000);
  p.copy.window = shelf::Window::counts_on;
  p.copy.prime = *Units::from_hundredths(200);
  p.copy.prime_new_cartridge = *Units::from_hundredths(400);
  p.copy.fits = "round";
  if (words.take("insulin")) p.insulin = words.next("the insulin");
  if (words.take("strength")) p.strength = {static_cast<std::int32_t>(words.number("strength"))};
  if (words.take("window")) {
    p.copy.window.reset();
    if (words.take("counts-on")) p.copy.window = shelf::Window::counts_on;
    if (words.take("returns-to-zero")) p.copy.window = shelf::Window::returns_to_zero;
    if (!p.copy.window) words.must("unknown");
  }
  pens_given_[name] = true;
  record(std::move(p), words);
}

void Story::load(Words& words) {
  journal::CartridgeLoaded p;
  p.cartridge = id_of(words.next("the cartridge's name"));
  p.copy.name = "insulin glargine";
  p.copy.strength = {100};
  p.copy.in_use_days = 28;
  p.copy.in_use_most = {300};
  p.content = *Units::from_hundredths(30'000);
  p.units = p.content;
  p.fits = "round";
  p.lot = "A1";
  std::string pen = "P1";
  while (!words.empty()) {
    if (words.take("units")) {
      p.units = words.units("units");
    } else if (words.take("pen")) {
      pen = words.next("the pen's name");
    } else if (words.take("insulin")) {
      p.copy.name = words.next("the insulin");
    } else if (words.take("strength")) {
      p.copy.strength = {static_cast<std::int32_t>(words.number("strength"))};
    } else if (words.take("in-use")) {
      p.copy.in_use_days = static_cast<std::int32_t>(words.number("days"));
    } else if (words.take("counts-from-fridge")) {
      p.copy.counts_from_fridge = true;
    } else if (words.take("fits")) {
      p.fits = words.next("the code");
    } else if (words.take("expires")) {
      p.expires = words.day();
    } else if (words.take("used-before")) {
      p.new_cartridge = false;
    } else {
      break;
    }
  }
  p.pen = id_of(pen);
  if (!pens_given_[pen]) {  // a scenario that is not about pens need not give one
    Words given(words.line(), {pen});
    give_pen(given);
  }
  record(std::move(p), words);
}

void Story::prime(Words& words) {
  journal::Primed p;
  p.cartridge = id_of(words.next("the cartridge's name"));
  words.must("units");
  p.units = words.units("units");
  if (words.take("flow")) {
    if (words.take("seen")) {
      p.flow = journal::Flow::seen;
    } else if (words.take("not-seen")) {
      p.flow = journal::Flow::not_seen;
    } else {
      words.must("unknown");
    }
  }
  record(p, words);
}

void Story::inject(Words& words) {
  journal::Injected p;
  p.cartridge = id_of(words.next("the cartridge's name"));
  words.must("units");
  p.units = words.units("units");
  if (words.take("of")) {
    p.meant = words.units("what was meant");
    p.outcome = journal::Outcome::part;
  }
  if (words.take("nobody-knows")) p.outcome = journal::Outcome::unknown;
  if (words.take("into")) p.zone = zone(words);
  if (words.take("at")) p.spot = spot(words);
  if (words.take("line")) p.line = id_of(words.next("the line's name"));
  if (words.take("completes")) p.completes = named(words).id;
  record(std::move(p), words);
}

void Story::test_window(Words& words) {
  journal::WindowTested p;
  p.pen = id_of(words.next("the pen's name"));
  words.must("dialled");
  p.dialled = words.units("units dialled");
  words.must("shows");
  p.shown_after = words.units("units shown");
  if (words.take("from")) p.cartridge = id_of(words.next("the cartridge's name"));
  record(p, words);
}

void Story::spell(Words& words) {
  journal::TemperatureSpell p;
  const auto what = words.next("a cartridge, or all");
  if (what != "all") p.cartridge = id_of(what);
  words.must("celsius");
  p.celsius = {
      static_cast<std::int32_t>(words.value(parse_fixed(words.next("degrees"), 1), "degrees"))};
  p.minutes = 60;
  p.frozen = words.take("frozen");
  record(std::move(p), words);
}

void Story::supplies(Words& words) {
  journal::SuppliesGiven p;
  p.insulin = "insulin glargine";
  p.strength = {100};
  p.each = *Units::from_hundredths(30'000);
  p.lot = "A1";
  if (words.take("cartridges")) p.cartridges = static_cast<std::int32_t>(words.number("a count"));
  if (words.take("needles")) p.needles = static_cast<std::int32_t>(words.number("a count"));
  tells_of_supplies_ = true;
  record(std::move(p), words);
}

namespace {

/// What the fact said, with another amount.
journal::Payload with_units(const Words& words, const journal::Payload& payload, Units units) {
  auto out = payload;
  const bool changed = std::visit(
      [&]<class P>(P& p) {
        if constexpr (requires { p.units = units; }) {
          p.units = units;
          return true;
        }
        return false;
      },
      out);
  if (!changed) words.fail("this fact has no units to correct");
  return out;
}

}  // namespace

void Story::correct(Words& words, bool voids) {
  const Fact& target = named(words);
  journal::Correction p;
  p.target = target.id;
  p.reason = "mistaken";
  if (voids) {
    p.wrong_person = words.take("wrong-person");
  } else {
    words.must("units");
    auto instead = std::make_shared<journal::Replacement>();
    instead->happened = target.happened;
    instead->sequence = target.sequence;
    instead->payload = with_units(words, target.payload, words.units("units"));
    p.replacement = std::move(instead);
  }
  record(std::move(p), words);
}

void Story::again(Words& words) {
  Fact copy = named(words);
  words.done();
  facts_.push_back(std::move(copy));
}

bool Story::tell(const std::string& verb, Words& words) {
  const auto thing = [&] { return id_of(words.next("a name")); };
  const std::map<std::string, std::function<void()>> verbs{
      {"at", [&] { set_clock(words); }},
      {"later", [&] { later(words); }},
      {"source", [&] { source_ = words.next("a source"); }},
      {"pen", [&] { give_pen(words); }},
      {"load", [&] { load(words); }},
      {"prime", [&] { prime(words); }},
      {"inject", [&] { inject(words); }},
      {"test", [&] { test_window(words); }},
      {"needle-on",
       [&] {
         record(journal::NeedleOn{thing(), "4 mm", {40}, !words.take("shield-left-on")}, words);
       }},
      {"needle-off", [&] { record(journal::NeedleOff{thing(), {}}, words); }},
      {"count",
       [&] {
         const Id cartridge = thing();
         words.must("units");
         record(journal::ScaleCounted{cartridge, words.units("units")}, words);
       }},
      {"throw", [&] { record(journal::ThrownAway{thing(), {}, ""}, words); }},
      {"spell", [&] { spell(words); }},
      {"fridge", [&] { record(journal::LeftFridge{thing()}, words); }},
      {"share", [&] { record(journal::PenShared{thing(), words.next("with whom"), ""}, words); }},
      {"supplies", [&] { supplies(words); }},
      {"correct", [&] { correct(words, false); }},
      {"void", [&] { correct(words, true); }},
      {"again", [&] { again(words); }},
      {"measure", [&] { measure(words); }},
      {"rules", [&] { set_rules(words); }},
      {"examine", [&] { examine(words); }},
      {"block", [&] { block(words); }},
      {"noted", [&] { note_place(words); }},
  };
  const auto found = verbs.find(verb);
  if (found == verbs.end()) return false;
  found->second();
  return true;
}

}  // namespace penstock::spec
