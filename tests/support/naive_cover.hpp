// A second, simpler account of a house, for the tests: it goes through the cartridges one after the
// other and tries injections. It shares no arithmetic with the room, nor with draw.
#pragma once

#include <algorithm>
#include <cmath>
#include <compare>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "core/cover/cover.hpp"

namespace penstock::cover::naive {

using i64 = std::int64_t;

struct Cartridge {
  i64 left = 0;  // hundredths
  bool is_new = false;
  bool sealed = false;
  int days_in_use = 0;
  std::optional<LocalDay> expires;
};

/// All that there is to know of a house while time goes on.
struct State {
  std::size_t place = 0;  // the cartridge that serves, or is to serve
  bool serves = false;
  i64 left = 0;
  bool is_new = false;
  LocalDay first_day{};
  friend auto operator<=>(const State&, const State&) = default;
};

struct Given {
  bool whole = false;
  int injections = 0;
  i64 thrown = 0;
};

class House {
 public:
  /// `spare` sealed ones are not there, `added` fresh ones are.
  House(const Line& line, LocalDay on, int spare, int added) : line_(line), on_(on) {
    for (const auto& one : line.open) {
      row_.push_back({one.left.hundredths(), one.is_new, false, one.days_in_use, one.expires});
    }
    std::vector<Cartridge> sealed;
    const Cartridge full{line.cartridge.hundredths(), true, true, 0, {}};
    for (const auto& some : line.sealed) {
      for (int i = 0; i < some.cartridges; ++i) {
        sealed.push_back(full);
        sealed.back().expires = some.expires;
      }
    }
    // The one that expires first is opened first: look for it again and again.
    while (!sealed.empty()) {
      std::size_t best = 0;
      for (std::size_t i = 1; i < sealed.size(); ++i) {
        const auto& a = sealed[i].expires;
        const auto& b = sealed[best].expires;
        if (a && (!b || *a < *b)) best = i;
      }
      row_.push_back(sealed[best]);
      sealed.erase(sealed.begin() + static_cast<std::ptrdiff_t>(best));
    }
    for (int i = 0; i < added; ++i) row_.push_back(full);
    // The spare is opened last of all, so it is not opened.
    for (int i = 0; i < spare && !row_.empty() && row_.back().sealed; ++i) row_.pop_back();
  }

  std::size_t size() const { return row_.size(); }

  Given give(State& state, LocalDay day, i64 dose) const {
    Given out;
    while (state.place < row_.size()) {
      const Cartridge& now = row_[state.place];
      if (!state.serves) {
        state = {state.place, true, now.left, now.is_new,
                 now.sealed ? day : on_ - std::chrono::days{now.days_in_use}};
      }
      const bool old = (day - state.first_day).count() >= line_.in_use_days;
      if (!old && (!now.expires || day <= *now.expires)) {
        i64 part = dose;
        if (line_.use_the_rest) {
          while (part > 0 && fewest(state.left, part, state.is_new) == 0) part -= step();
        }
        if (const int n = part > 0 ? fewest(state.left, part, state.is_new) : 0; n > 0) {
          state.left -= prime(state.is_new) + (n - 1) * prime(false) + part;
          state.is_new = false;
          out.injections += n;
          dose -= part;
        }
        if (dose == 0) {
          out.whole = true;
          return out;
        }
      }
      out.thrown += state.left;
      state = {state.place + 1, false, 0, false, {}};
    }
    return out;
  }

  /// Fewest injections that give the dose from one cartridge; 0: it cannot.
  int fewest(i64 left, i64 dose, bool is_new) const {
    if (line_.suspension && left < line_.least_left_to_mix.hundredths()) return 0;
    if (!line_.most) return left >= prime(is_new) + dose ? 1 : 0;
    const auto key = std::tuple(left, dose, is_new);
    if (const auto known = fewest_.find(key); known != fewest_.end()) return known->second;
    int best = 0;
    for (i64 part = step(); part <= dose; part += step()) {
      const i64 shown = part + (line_.window == shelf::Window::counts_on ? prime(is_new) : 0);
      if (shown > line_.most->hundredths() || prime(is_new) + part > left) continue;
      int n = 1;
      if (part < dose) {
        const int more = fewest(left - prime(is_new) - part, dose - part, false);
        if (more == 0) continue;
        n += more;
      }
      if (best == 0 || n < best) best = n;
    }
    return fewest_[key] = best;
  }

 private:
  i64 step() const { return line_.step.hundredths(); }
  i64 prime(bool is_new) const {
    const i64 rule = (is_new ? line_.new_cartridge_prime : line_.prime).hundredths();
    i64 pressed = 0;
    while (pressed < rule) pressed += step();
    return pressed;
  }

  const Line& line_;
  LocalDay on_;
  std::vector<Cartridge> row_;
  mutable std::map<std::tuple<i64, i64, bool>, int> fewest_;
};

/// The chance of each dose in steps, by its definition.
inline std::vector<double> dose_chances(const Line& line, Units mean) {
  const auto phi = [](long double z) { return 0.5L * std::erfc(-z / std::sqrt(2.0L)); };
  const auto step = static_cast<long double>(line.step.hundredths());
  const auto mu = static_cast<long double>(mean.hundredths());
  const auto sd = static_cast<long double>(line.dose_sd.hundredths());
  if (sd == 0) {
    std::vector<double> sure(static_cast<std::size_t>(mean.hundredths() / line.step.hundredths()));
    sure.push_back(1);
    return sure;
  }
  std::vector<double> out;
  for (int k = 0; out.empty() || static_cast<long double>(k) * step < mu + 9 * sd + 2 * step; ++k) {
    const auto up = phi(((static_cast<long double>(k) + 0.5L) * step - mu) / sd);
    const auto down = k == 0 ? 0 : phi(((static_cast<long double>(k) - 0.5L) * step - mu) / sd);
    out.push_back(static_cast<double>(up - down));
  }
  return out;
}

/// The doses of a day: of the changes that have begun the one that began last.
inline std::vector<Units> doses_of(const Line& line, LocalDay day) {
  for (auto change = line.changes.rbegin(); change != line.changes.rend(); ++change) {
    if (day >= change->from) return change->doses;
  }
  return line.doses;
}

/// By day: the chance that some dose could not be given by its end. Every sequence of doses is
/// followed; two that lead to the same state are followed as one.
inline std::vector<double> run_out(const Line& line, const House& house, LocalDay on, int days) {
  std::map<State, double> states{{State{}, 1.0}};
  std::vector<double> out;
  double gone = 0;
  for (int day = 0; day < days; ++day) {
    const auto doses = doses_of(line, on + std::chrono::days{day});
    for (std::size_t i = day == 0 ? line.given_on_first_day : 0; i < doses.size(); ++i) {
      const auto chances = dose_chances(line, doses[i]);
      std::map<State, double> next;
      for (const auto& [state, chance] : states) {
        for (std::size_t k = 0; k < chances.size(); ++k) {
          if (chances[k] == 0) continue;
          State then = state;
          const i64 dose = static_cast<i64>(k) * line.step.hundredths();
          const bool given = dose == 0 || house.give(then, on + std::chrono::days{day}, dose).whole;
          (given ? next[then] : gone) += chance * chances[k];
        }
      }
      states = std::move(next);
    }
    out.push_back(gone);
  }
  return out;
}

}  // namespace penstock::cover::naive
