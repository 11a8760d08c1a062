// Journals made by chance, from a seed alone: the same seed gives the same facts on every machine.
// Two kinds: `wild_journal` does everything that people never should, corrections included;
// `plausible_journal` is somebody who injects four times a day and records each step.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "core/journal/journal.hpp"

namespace penstock::random_journal {

using journal::Fact;
using journal::Payload;

/// Numbers below a bound, by remainder: std::uniform_int_distribution differs between libraries.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  std::uint64_t below(std::uint64_t bound) { return engine_() % bound; }
  bool one_in(std::uint64_t n) { return below(n) == 0; }
  std::uint64_t bits() { return engine_(); }
  Units hundredths(std::uint64_t bound) {
    return *Units::from_hundredths(static_cast<std::int64_t>(below(bound)));
  }
  template <class T>
  T pick(std::initializer_list<T> list) {
    return *(list.begin() + static_cast<std::ptrdiff_t>(below(list.size())));
  }

 private:
  std::mt19937_64 engine_;
};

inline shelf::Insulin insulin_copy(std::uint64_t which) {
  shelf::Insulin copy;
  copy.name = which % 2 == 0 ? "insulin glargine" : "human isophane insulin";
  copy.strength = {which % 3 == 0 ? 300 : 100};
  copy.suspension = which % 2 == 1;
  if (copy.suspension) copy.least_left_to_mix = Units::from_hundredths(1'200);
  copy.in_use_days = 28;
  copy.counts_from_fridge = which % 5 == 0;
  copy.in_use_most = {300};
  copy.store_least = {20};
  copy.store_most = {80};
  return copy;
}

inline shelf::Pen pen_copy(std::uint64_t which) {
  shelf::Pen pen;
  pen.name = "training pen";
  pen.step = *Units::from_hundredths(which % 2 == 0 ? 100 : 50);
  pen.most = *Units::from_hundredths(6'000);
  if (which % 3 != 0) {
    pen.window = which % 3 == 1 ? shelf::Window::counts_on : shelf::Window::returns_to_zero;
  }
  pen.prime = *Units::from_hundredths(200);
  pen.prime_new_cartridge = *Units::from_hundredths(400);
  pen.fits = which % 4 == 0 ? "square" : "round";
  return pen;
}

inline constexpr Instant first_morning{
    std::chrono::sys_days{std::chrono::year{2027} / std::chrono::January / 1} +
    std::chrono::hours{6}};

class Wild {
 public:
  explicit Wild(std::uint64_t seed, std::size_t count) : dice_(seed), count_(count) {}

  std::vector<Fact> facts() {
    std::vector<Fact> out;
    out.reserve(count_);
    for (std::size_t i = 0; i < count_; ++i) out.push_back(fact(i));
    return out;
  }

 private:
  static Id fact_id(std::uint64_t i) { return {0xFAC7'0000'0000'0000ULL + i, i * 0x9E37'79B9ULL}; }
  static Id pen_id(std::uint64_t i) { return {0x9E4, i}; }
  static Id cartridge_id(std::uint64_t i) { return {0xCA, i}; }
  Id some_pen() { return pen_id(dice_.below(9)); }
  Id some_cartridge() {
    const auto newest = facts_made_ / 24 + 3;
    if (dice_.one_in(40)) return cartridge_id(dice_.below(newest));
    return cartridge_id(newest - 1 - dice_.below(std::min<std::uint64_t>(newest, 6)));
  }
  /// Earlier facts mostly, sometimes one to come, sometimes one that never comes.
  Id some_fact() {
    if (dice_.one_in(60)) return {0xDEAD, dice_.below(20)};
    if (dice_.one_in(20)) return fact_id(dice_.below(count_));
    return fact_id(dice_.below(facts_made_ + 1));
  }
  Id some_line() { return fact_id(dice_.below(60)); }
  When some_when() {
    return {now_ - std::chrono::seconds{dice_.below(7'200)},
            static_cast<std::int16_t>(60 * dice_.below(4))};
  }

  Payload injected() {
    journal::Injected p;
    p.cartridge = some_cartridge();
    p.units = dice_.hundredths(4'000);
    if (dice_.one_in(5)) p.meant = dice_.hundredths(6'000);
    if (dice_.one_in(3)) p.zone = some_zone();
    if (p.zone && dice_.one_in(2)) p.spot = some_spot();
    p.outcome = dice_.pick({journal::Outcome::whole, journal::Outcome::whole,
                            journal::Outcome::part, journal::Outcome::unknown});
    if (dice_.one_in(2)) p.line = some_line();
    if (dice_.one_in(8))
      p.completes = fact_id(facts_made_ - std::min<std::uint64_t>(facts_made_, dice_.below(6)));
    return p;
  }
  Payload order_line() {
    journal::OrderLineSigned p;
    p.insulin = insulin_copy(dice_.below(2)).name;
    p.strength = {100};
    p.slots = {{journal::SlotName::bedtime, {1'320}, 60, 120, *Units::from_hundredths(1'800)}};
    p.least_units = *Units::from_hundredths(400);
    p.most_units = *Units::from_hundredths(3'000);
    p.from = When{now_, 0}.day() - std::chrono::days{dice_.below(20)};
    if (dice_.one_in(3)) p.until = p.from + std::chrono::days{dice_.below(60)};
    if (dice_.one_in(2)) p.replaces = some_line();
    p.copied_by = "Ines Falk";
    return p;
  }
  Payload about_the_order() {
    switch (dice_.below(4)) {
      case 0:
        return journal::OrderLineChecked{
            some_line(), dice_.one_in(4) ? "Ines Falk" : "Tom Reyes", {}};
      case 1:
        return journal::QuestionOpened{
            dice_.one_in(3) ? std::optional<Id>{} : std::optional<Id>{some_line()}, {}, "", {}};
      case 2:
        return journal::QuestionAnswered{
            some_fact(),
            dice_.pick({journal::AnswerKind::keep_dose, journal::AnswerKind::stop,
                        journal::AnswerKind::new_order, journal::AnswerKind::other}),
            "Dr Osei", "", true};
      default:
        return journal::OrderLineEnded{
            some_line(), When{now_, 0}.day() + std::chrono::days{dice_.below(9)}, "Dr Osei", ""};
    }
  }
  Payload loaded() {
    journal::CartridgeLoaded p;
    p.cartridge = some_cartridge();
    p.pen = some_pen();
    p.copy = insulin_copy(dice_.below(6));
    p.units = dice_.one_in(4) ? dice_.hundredths(30'000) : *Units::from_hundredths(30'000);
    p.content = *Units::from_hundredths(30'000);
    p.fits = dice_.one_in(6) ? "square" : "round";
    p.new_cartridge = !dice_.one_in(5);
    p.lot = "L" + std::to_string(dice_.below(9));
    if (dice_.one_in(3)) p.expires = When{now_, 0}.day() + std::chrono::days{dice_.below(90)};
    return p;
  }
  Spot some_spot() {
    return {{static_cast<std::int32_t>(dice_.below(400)) - 200},
            {static_cast<std::int32_t>(dice_.below(400)) - 200}};
  }
  Zone some_zone() { return static_cast<Zone>(dice_.below(zone_names.size())); }
  /// Few areas, so that they are seen again.
  Id some_area() { return {0xA4EA, dice_.below(5)}; }
  Payload examined() {
    journal::SkinExamined p;
    p.zones = {some_zone()};
    const auto first = dice_.below(5);
    const auto count = dice_.below(4);
    for (std::uint64_t i = 0; i < count; ++i) {
      journal::SkinFinding finding;
      finding.area = {0xA4EA, (first + i) % 5};
      finding.zone = some_zone();
      finding.centre = some_spot();
      finding.length = {static_cast<std::int32_t>(dice_.below(500)) + 1};
      finding.width = {static_cast<std::int32_t>(dice_.below(300)) + 1};
      finding.felt = dice_.one_in(2);
      if (dice_.one_in(3)) finding.verdict = journal::AreaVerdict::may_be_used;
      p.findings.push_back(finding);
    }
    return p;
  }
  Payload about_the_skin() {
    switch (dice_.below(8)) {
      case 0: {
        journal::BodyMeasured p;
        p.sex = dice_.pick({journal::Sex::female, journal::Sex::male, journal::Sex::unknown});
        if (!dice_.one_in(3))
          p.height = TenthsCm{1'500 + static_cast<std::int32_t>(dice_.below(400))};
        if (dice_.one_in(2)) p.waist = TenthsCm{600 + static_cast<std::int32_t>(dice_.below(600))};
        if (dice_.one_in(4)) p.due = When{now_, 0}.day() + std::chrono::days{dice_.below(250)};
        return p;
      }
      case 1:
        return journal::DepthMeasured{
            some_zone(), {20 + static_cast<std::int32_t>(dice_.below(300))}, {10}, ""};
      case 2:
      case 3:
        return examined();
      case 4:
        return journal::AreaBlocked{some_area(),
                                    journal::Tissue::scar,
                                    some_zone(),
                                    some_spot(),
                                    {1 + static_cast<std::int32_t>(dice_.below(300))},
                                    ""};
      case 5: {
        std::optional<Spot> spot;
        if (!dice_.one_in(4)) spot = some_spot();
        return journal::PlaceNoted{some_fact(), some_zone(), spot};
      }
      case 6: {
        journal::PlaceRulesSet p;
        p.zones = {Zone::thigh_left, Zone::thigh_right};
        p.rest_days = 1 + static_cast<std::int32_t>(dice_.below(40));
        if (dice_.one_in(2)) p.needle = TenthsMm{40};
        return p;
      }
      default:
        return journal::PlacePlanGiven{
            1, {{When{now_, 0}.day(), journal::SlotName::bedtime, some_zone(), some_spot()}}};
    }
  }
  Payload rarer() {
    switch (dice_.below(14)) {
      case 0:
        return journal::ThrownAway{some_cartridge(), journal::ThrowReason::other, ""};
      case 1:
        return journal::ScaleCounted{some_cartridge(), dice_.hundredths(30'000)};
      case 2: {
        std::optional<Id> which;
        if (!dice_.one_in(4)) which = some_cartridge();
        const auto tenths = static_cast<std::int32_t>(dice_.below(450)) - 30;
        return journal::TemperatureSpell{which, {tenths}, 60, dice_.one_in(12), ""};
      }
      case 3:
        return journal::LeftFridge{some_cartridge()};
      case 4: {
        std::optional<Id> which;
        if (!dice_.one_in(3)) which = some_cartridge();
        return journal::WindowTested{some_pen(), *Units::from_hundredths(200),
                                     *Units::from_hundredths(dice_.pick({0, 200, 100})), which};
      }
      case 5:
        return journal::PenGiven{
            some_pen(), pen_copy(dice_.below(12)), "insulin glargine", {100}, "77"};
      case 6:
        return journal::SuppliesGiven{"insulin glargine",
                                      {100},
                                      *Units::from_hundredths(30'000),
                                      static_cast<std::int32_t>(dice_.below(6)),
                                      static_cast<std::int32_t>(dice_.below(60)),
                                      "L1",
                                      {}};
      case 7:
        return dice_.one_in(9) ? Payload{journal::PenShared{some_pen(), "a brother", ""}}
                               : Payload{journal::Note{"looked at the thigh"}};
      case 8:
      case 9:
      case 10:
        return about_the_skin();
      default:
        return about_the_order();
    }
  }
  Payload payload() {
    // Orders come first, a few dozen: nobody has a thousand.
    if (facts_made_ < 60 && dice_.one_in(3)) return order_line();
    const auto roll = dice_.below(100);
    if (roll < 34) return injected();
    if (roll < 60) {
      return journal::Primed{
          some_cartridge(), dice_.hundredths(600),
          dice_.pick({journal::Flow::seen, journal::Flow::not_seen, journal::Flow::unknown})};
    }
    if (roll < 68) return journal::NeedleOn{some_pen(), "4 mm", {40}, !dice_.one_in(30)};
    if (roll < 74) return journal::NeedleOff{some_pen(), {}};
    if (roll < 80) return loaded();
    return rarer();
  }
  Payload correction() {
    journal::Correction p;
    p.target = some_fact();
    p.reason = "mistyped";
    p.wrong_person = dice_.one_in(30);
    if (dice_.one_in(3)) return p;
    auto instead = std::make_shared<journal::Replacement>();
    instead->happened = some_when();
    instead->sequence = static_cast<std::uint32_t>(dice_.below(3));
    instead->payload = payload();
    p.replacement = std::move(instead);
    return p;
  }
  Fact fact(std::uint64_t i) {
    if (!dice_.one_in(4)) now_ += std::chrono::seconds{dice_.below(1'500)};
    Fact f;
    f.id = fact_id(i);
    f.journal = {1, 1};
    f.happened = some_when();
    f.sequence = static_cast<std::uint32_t>(dice_.below(3));
    f.recorded = now_ + std::chrono::hours{dice_.below(4)};
    f.author = "Ines Falk";
    f.source = dice_.pick<const char*>({"bench", "diary", "phone desk"});
    facts_made_ = i;
    f.payload = i > 3 && dice_.one_in(12) ? correction() : payload();
    return f;
  }

  Dice dice_;
  std::size_t count_;
  std::uint64_t facts_made_ = 0;
  Instant now_ = first_morning;
};

inline std::vector<Fact> wild_journal(std::uint64_t seed, std::size_t count) {
  return Wild(seed, count).facts();
}

/// Somebody who injects four times a day: needle on, prime, dose, needle off; the old cartridge
/// thrown away and a new one loaded when it is short; one correction in fifty facts.
inline std::vector<Fact> plausible_journal(std::uint64_t seed, std::size_t count) {
  Dice dice(seed);
  std::vector<Fact> out;
  out.reserve(count);
  Instant now = first_morning;
  const auto tell = [&](Payload payload) {
    if (out.size() == count) return;
    now += std::chrono::seconds{20 + dice.below(40)};
    Fact f;
    f.id = {dice.bits(), dice.bits()};
    f.journal = {1, 1};
    f.happened = {now, 60};
    f.recorded = now;
    f.author = "Ines Falk";
    f.source = "bench";
    f.payload = std::move(payload);
    out.push_back(std::move(f));
  };
  const Id pen{9, 9};
  tell(journal::PenGiven{pen, pen_copy(2), "insulin glargine", {100}, "77"});
  Id cartridge;
  std::int64_t left = 0;
  while (out.size() < count) {
    const auto dose = static_cast<std::int64_t>(400 + 100 * dice.below(16));
    if (left < dose + 200) {
      if (left > 0) tell(journal::ThrownAway{cartridge, journal::ThrowReason::rest_too_small, ""});
      cartridge = {dice.bits(), dice.bits()};
      left = 30'000;
      tell(journal::CartridgeLoaded{cartridge,
                                    pen,
                                    insulin_copy(2),
                                    *Units::from_hundredths(left),
                                    *Units::from_hundredths(left),
                                    "round",
                                    true,
                                    "L1",
                                    {}});
    }
    tell(journal::NeedleOn{pen, "4 mm", {40}, true});
    tell(journal::Primed{cartridge, *Units::from_hundredths(200), journal::Flow::seen});
    journal::Injected injected;
    injected.cartridge = cartridge;
    injected.units = *Units::from_hundredths(dose);
    injected.zone = Zone::abdomen_left_lower;
    tell(injected);
    left -= dose + 200;
    if (dice.one_in(12) && out.size() < count) {
      auto instead = std::make_shared<journal::Replacement>();
      instead->happened = out.back().happened;
      const auto less =
          *Units::from_hundredths(100 + static_cast<std::int64_t>(dice.below(9)) * 50);
      injected.units = smaller(less, injected.units);
      instead->payload = injected;
      tell(journal::Correction{out.back().id, "mistyped", false, std::move(instead)});
    }
    tell(journal::NeedleOff{pen, journal::Disposal::sharps_container});
    now += std::chrono::hours{5};
  }
  return out;
}

/// The same facts as they may arrive: in any order, some of them several times.
inline std::vector<Fact> arrival(const std::vector<Fact>& facts, std::uint64_t seed) {
  Dice dice(seed);
  std::vector<Fact> out = facts;
  for (std::size_t i = 0; i < facts.size() / 10; ++i) {
    out.push_back(facts[dice.below(facts.size())]);
  }
  for (std::size_t i = out.size(); i > 1; --i) std::swap(out[i - 1], out[dice.below(i)]);
  return out;
}

}  // namespace penstock::random_journal
