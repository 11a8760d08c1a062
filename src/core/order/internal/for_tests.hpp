// An order's story, told fact by fact, for the tests of this room.
#pragma once

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "core/order/order.hpp"
#include "support/told.hpp"

namespace penstock::order::for_tests {

using namespace penstock::literals;
using journal::Fact;
using journal::Outcome;
using journal::SlotName;
using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

inline Id id(std::uint64_t n) { return {0x0EDE, n}; }
constexpr LocalDay day_of(int year, unsigned month, unsigned day) {
  return LocalDay{std::chrono::year{year} / static_cast<int>(month) / std::chrono::day{day}};
}
constexpr Instant utc(int year, unsigned month, unsigned day, int hour, int minute = 0) {
  return Instant{std::chrono::sys_days{std::chrono::year{year} / static_cast<int>(month) /
                                       std::chrono::day{day}} +
                 hours{hour} + minutes{minute}};
}

/// Central Europe in 2027: clocks go forward on 28 March, back on 31 October.
inline ZoneRules berlin() {
  return {"Europe/Berlin",
          {{utc(2026, 10, 25, 1), 60}, {utc(2027, 3, 28, 1), 120}, {utc(2027, 10, 31, 1), 60}}};
}

constexpr LocalDay start = day_of(2027, 3, 1);

struct Story {
  std::vector<Fact> facts;
  ZoneRules zone = berlin();
  std::uint64_t next = 100;

  Id tell(Instant at, journal::Payload payload) {
    facts.push_back(tests::told(id(next++), id(1), zone.when(at), std::move(payload)));
    return facts.back().id;
  }
  static journal::OrderLineSigned bedtime() {
    return tests::bedtime_line(start, 18_units, 10_units, 24_units);
  }
  Id sign(const journal::OrderLineSigned& line = bedtime(), Instant at = utc(2027, 2, 28, 9)) {
    return tell(at, line);
  }
  Id check(const Id& line, Instant at = utc(2027, 2, 28, 10)) {
    return tell(at, journal::OrderLineChecked{line, "Tom Reyes", {}});
  }
  Id signed_and_checked(const journal::OrderLineSigned& line = bedtime()) {
    const Id id = sign(line);
    check(id);
    return id;
  }
  Id inject(Instant at, Units units, std::optional<Id> line,
            std::optional<SlotName> slot = SlotName::bedtime, std::uint64_t cartridge = 10) {
    journal::Injected p;
    p.cartridge = id(cartridge);
    p.units = units;
    p.line = line;
    p.slot = slot;
    p.given_by = journal::Injector::carer;
    p.given_by_name = "Jo";
    return tell(at, p);
  }
  Id load(std::uint64_t cartridge, Strength strength,
          const std::string& insulin = bedtime().insulin) {
    journal::CartridgeLoaded p;
    p.cartridge = id(cartridge);
    p.copy.name = insulin;
    p.copy.strength = strength;
    return tell(utc(2027, 3, 1, 9), p);
  }
  Id part(Instant at, Units units, Units meant, const Id& line, Outcome outcome = Outcome::part,
          std::optional<Id> completes = std::nullopt) {
    journal::Injected p;
    p.cartridge = id(10);
    p.units = units;
    p.meant = meant;
    p.outcome = outcome;
    p.line = line;
    p.slot = SlotName::bedtime;
    p.completes = completes;
    return tell(at, p);
  }
  Id say(const Id& line, LocalDay day, journal::DoseWas was, Instant at) {
    return tell(at, journal::DoseAnswered{line, SlotName::bedtime, day, was, ""});
  }
  Order order() const { return fold(journal::read(facts), zone); }
  std::string refusal(const Ask& ask) const {
    const Order folded = order();
    const auto answer = may_dial(folded, ask, zone);
    return answer ? "allowed" : answer.error().code;
  }
};

// 21:30 on 2 March in Berlin, inside the bedtime window.
constexpr Instant tonight = utc(2027, 3, 2, 20, 30);

inline Ask ask(const Id& line, Units dose = 18_units, Instant now = tonight) {
  return {line, dose, now, std::nullopt, Ask::Taken::ask};
}

inline const Line& line_in(const Order& order, const Id& line) {
  const Line* found = order.line(line);
  INVARIANT(found != nullptr);
  return *found;
}

inline std::vector<MarkKind> kinds(const Order& order) {
  std::vector<MarkKind> out;
  for (const Mark& mark : order.marks) out.push_back(mark.kind);
  return out;
}

inline const Arg* argument(const Error& error, std::string_view name) {
  const auto found = std::ranges::find(error.args, name, &Arg::name);
  return found == error.args.end() ? nullptr : &*found;
}

}  // namespace penstock::order::for_tests
