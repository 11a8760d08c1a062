// Somebody whose accounts are exact, for the tests of this room: one insulin, the same dose, every
// rest known by arithmetic; and what can go wrong in it, one thing at a time.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <vector>

#include "core/reconcile/reconcile.hpp"

namespace penstock::reconcile::clean {

inline Units units(double value) { return *Units::from_hundredths(std::llround(value * 100)); }
inline constexpr LocalDay first{std::chrono::year{2027} / 1 / 11};
inline When when(int day, int minute, int offset = 60) {
  const auto local = LocalTime{first + std::chrono::days{day}} + std::chrono::minutes{minute};
  return {Instant{local.time_since_epoch()} - std::chrono::minutes{offset},
          static_cast<std::int16_t>(offset)};
}

struct Life {
  int days = 60;
  double dose = 20;
  std::set<int> missed = {};    // days: claimed, not given
  std::set<int> doubled = {};   // given twice
  std::set<int> left_out = {};  // primes
  int extra_each = 0;           // primes more, every day
  double early_rest =
      0;         // every second one is                        // changed with so much more in it
  int lost = 0;  // sealed
  std::set<int> unwritten = {};                 // given, no entry
  std::optional<int> forgotten = std::nullopt;  // the change with this number has no record
  double misread = 0;                           // the last reading
  bool reads_rests = false;
  std::optional<int> read_on =
      std::nullopt;  // a reading of whatever is open, after that day's dose

  Request request() const;
};

/// The reading of everybody whose life ends in a reading: a person looks at the scale exactly.
inline Request Life::request() const {
  constexpr double content = 300, prime = 2, first_prime = 4;
  Request out;
  out.from = first;
  out.until = first + std::chrono::days{days - 1};
  out.insulin = "insulin glargine";
  out.strength = {100};
  out.cartridge = units(content);
  out.prime = units(prime);
  out.new_cartridge_prime = units(first_prime);
  out.ordered = {{first, {units(dose)}, false}};
  out.sealed_before = 0;
  out.dispensed = {{when(0, 600), 30}};
  double left = 0;
  int opened = 0;
  const auto open = [&](int day) {
    CartridgeUse use;
    use.opened = when(day, 1318);
    use.held = units(content);
    out.cartridges.push_back(use);
    left = content;
    ++opened;
  };
  for (int day = 0; day < days; ++day) {
    const bool given = !missed.contains(day);
    const int times = !given ? 0 : doubled.contains(day) ? 2 : 1;
    for (int turn = 0; turn < times; ++turn) {
      const bool primed = !left_out.contains(day);
      double need = dose + (primed ? prime * (1 + extra_each) : 0);
      if (out.cartridges.empty()) open(day);
      if (left < need + (opened % 2 == 0 ? early_rest : 0)) {
        auto& last = out.cartridges.back();
        last.ended = when(day, 1315);
        last.end = End::used_up;
        if (reads_rests) last.rest = units(left);
        open(day);
      }
      if (left == content && primed) need += first_prime - prime;
      left -= need;
    }
    if (!unwritten.contains(day)) {
      Entry entry;
      entry.when = when(day, 1320 + day * 37 % 53);
      entry.units = units(dose);
      entry.slot = "bedtime";
      out.diary.push_back(entry);
    }
    if (day == days - 1 || read_on == day)
      out.cartridges.back().readings.push_back({when(day, 1405), units(left + misread)});
  }
  out.sealed_counts = {{when(days - 1, 1410), 30 - opened - lost}};
  if (forgotten) {
    auto& before = out.cartridges[static_cast<std::size_t>(*forgotten - 1)];
    const auto gone = out.cartridges[static_cast<std::size_t>(*forgotten)];
    before.ended = gone.ended;
    before.end = gone.end;
    before.rest = gone.rest;
    out.cartridges.erase(out.cartridges.begin() + *forgotten);
  }
  return out;
}

inline std::set<int> some(std::initializer_list<int> days) { return std::set<int>(days); }

inline const Found& found(const Accounts& accounts, Mechanism which) {
  return *std::ranges::find(accounts.found, which, &Found::which);
}
/// Its place among the mechanisms, the likeliest first; 1 is the first.
inline std::ptrdiff_t rank(const Accounts& accounts, Mechanism which) {
  return std::ranges::find(accounts.found, which, &Found::which) - accounts.found.begin() + 1;
}

}  // namespace penstock::reconcile::clean
