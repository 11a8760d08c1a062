// A cartridge's story, told fact by fact, for the tests of this room.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/ledger/ledger.hpp"
#include "support/told.hpp"

namespace penstock::ledger::for_tests {

using namespace penstock::literals;
using journal::Fact;
using journal::Flow;
using journal::Outcome;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

inline Id id(std::uint64_t n) { return {0xA11CE, n}; }
constexpr Instant monday{std::chrono::sys_days{std::chrono::year{2027} / 3 / 1} + hours{8}};

inline shelf::Insulin glargine() {
  shelf::Insulin insulin;
  insulin.name = "insulin glargine";
  insulin.strength = {100};
  insulin.in_use_days = 28;
  insulin.in_use_most = {300};
  insulin.store_least = {20};
  insulin.store_most = {80};
  return insulin;
}

inline shelf::Pen pen_copy(std::optional<shelf::Window> window) {
  shelf::Pen pen;
  pen.name = "training pen";
  pen.step = 1_units;
  pen.most = 60_units;
  pen.window = window;
  pen.prime = 2_units;
  pen.prime_new_cartridge = 4_units;
  pen.fits = "round";
  return pen;
}

/// Tells facts one after another, a minute apart, all in one zone two hours ahead of UTC.
struct Story {
  std::vector<Fact> facts;
  When now{monday, 120};
  std::string source = "bench";
  std::uint64_t next = 1000;

  Story() { facts.reserve(500); }
  Id tell(journal::Payload payload) {
    now.at += minutes{1};
    facts.push_back(tests::told(id(next++), id(1), now, std::move(payload)));
    facts.back().source = source;
    return facts.back().id;
  }
  void later(std::chrono::minutes by) { now.at += by; }

  Id give_pen(std::uint64_t pen, std::optional<shelf::Window> window = shelf::Window::counts_on) {
    return tell(journal::PenGiven{id(pen), pen_copy(window), "insulin glargine", {100}, "77"});
  }
  Id load(std::uint64_t cartridge, std::uint64_t pen, Units units = 300_units,
          const shelf::Insulin& copy = glargine()) {
    return tell(journal::CartridgeLoaded{id(cartridge), id(pen), copy, units, 300_units, "round",
                                         true, "L1", std::nullopt});
  }
  Id prime(std::uint64_t cartridge, Units units, Flow flow = Flow::seen) {
    return tell(journal::Primed{id(cartridge), units, flow});
  }
  Id inject(std::uint64_t cartridge, Units units) {
    journal::Injected p;
    p.cartridge = id(cartridge);
    p.units = units;
    return tell(p);
  }
  Id part(std::uint64_t cartridge, Units units, Units meant, std::optional<Id> line,
          Outcome outcome = Outcome::part, std::optional<Id> completes = std::nullopt) {
    journal::Injected p;
    p.cartridge = id(cartridge);
    p.units = units;
    p.meant = meant;
    p.outcome = outcome;
    p.line = line;
    p.completes = completes;
    return tell(p);
  }
  Id needle_on(std::uint64_t pen) { return tell(journal::NeedleOn{id(pen), "4 mm", {40}, true}); }
  Id needle_off(std::uint64_t pen) { return tell(journal::NeedleOff{id(pen), {}}); }
  Id throw_away(std::uint64_t cartridge) {
    return tell(journal::ThrownAway{id(cartridge), journal::ThrowReason::other, ""});
  }
  Id spell(std::optional<Id> cartridge, std::int32_t tenths, bool frozen = false) {
    return tell(journal::TemperatureSpell{cartridge, {tenths}, 240, frozen, ""});
  }
  Ledger ledger() const { return fold(journal::read(facts)); }
};

inline std::vector<MarkKind> kinds(const Ledger& ledger) {
  std::vector<MarkKind> out;
  for (const Mark& mark : ledger.marks) {
    if (mark.kind != MarkKind::not_from_stock) out.push_back(mark.kind);
  }
  return out;
}

inline const Cartridge& only(const Ledger& ledger, std::uint64_t cartridge) {
  const Cartridge* found = ledger.cartridge(id(cartridge));
  INVARIANT(found != nullptr);
  return *found;
}
inline const Pen& pen_in(const Ledger& ledger, std::uint64_t pen) {
  const Pen* found = ledger.pen(id(pen));
  INVARIANT(found != nullptr);
  return *found;
}

}  // namespace penstock::ledger::for_tests
