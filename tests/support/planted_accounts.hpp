// People whose three accounts differ by a known amount for a known reason, and people whose
// accounts are honest, from a seed alone. Day by day, dose by dose: nothing here is taken from the
// model that judges them. Real life is in all of them: scales read to 5 or 10 units and from the
// side, primes done twice or forgotten, changes a little early, doses completed from the next
// cartridge, typing slips, weekends, rests and reasons that nobody wrote down.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <optional>
#include <random>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "core/reconcile/reconcile.hpp"

namespace penstock::planted {

using reconcile::Mechanism;

/// Chance written out: distributions differ between libraries.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  double unit() { return static_cast<double>(engine_() >> 11) * 0x1.0p-53; }
  double between(double low, double high) { return low + (high - low) * unit(); }
  int below(int n) { return static_cast<int>(unit() * n); }
  bool happens(double chance) { return unit() < chance; }
  double normal(double sd) {
    const double radius = std::sqrt(-2 * std::log(1 - unit()));
    return sd * radius * std::cos(2 * 3.14159265358979323846 * unit());
  }
  template <std::size_t N>
  int weighed(const std::array<double, N>& weights) {
    double at = unit();
    for (std::size_t i = 0; i + 1 < N; ++i) {
      if (at < weights[i]) return static_cast<int>(i);
      at -= weights[i];
    }
    return static_cast<int>(N) - 1;
  }
  /// So many different numbers below n.
  std::set<int> some(int count, int n) {
    std::set<int> out;
    while (static_cast<int>(out.size()) < std::min(count, n)) out.insert(below(n));
    return out;
  }

 private:
  std::mt19937_64 engine_;
};

struct Plant {
  std::optional<Mechanism> what;  ///< nothing: honest
  double share = 0;               ///< of all that was claimed
  int days = 60;
  /// Of people whose days are not alike: some are away from Friday or Saturday to Sunday and inject
  /// nothing, some work shifts, some begin with a cartridge that is half empty, some change by eye.
  bool uneven = false;
};

struct Person {
  reconcile::Request request;
  bool possible = true;  ///< this mechanism can make that much at this person
  double units = 0;      ///< that were planted
  double volume = 0;     ///< that the diary would claim if nothing had been planted
};

inline constexpr LocalDay first_day{std::chrono::year{2027} / 2 / 1};
inline constexpr double content = 300;

/// How somebody is.
struct Habits {
  std::vector<double> doses;  // as ordered
  std::vector<int> minutes;   // of the day
  double dose_sd = 0;         // share; 0: always as ordered
  bool varies = false;        // the order leaves it open
  int change_day = 1000;      // of the order
  double change = 1;
  double prime_twice = 0, prime_left_out = 0, prime_more = 0;
  bool writes_primes = false, completes = false, writes_reason = false;
  double time_sd = 25;
  int weekend_later = 0;
  int rounding = 0;  // 0 the clock's, 5, 15, -1 mixed
  double skips = 0, skips_weekend = 0;
  double reads_to = 5;
  bool is_app = false;  // when an entry was written is known
  // Of the uneven ones.
  int days_off = 0;  // 2: Saturday and Sunday, 3: from Friday on
  bool shifts = false, begins_half = false, changes_by_eye = false;
};

inline Habits habits_of(Dice& dice) {
  Habits h;
  const int a_day = dice.weighed<4>({0.35, 0.20, 0.30, 0.15}) + 1;
  const double least = a_day == 1 ? 10 : a_day == 2 ? 8 : 4;
  const double most = a_day == 1 ? 44 : a_day == 2 ? 28 : 16;
  const double middle = dice.between(least, most);
  constexpr std::array<std::array<int, 4>, 4> times{
      {{1320, 0, 0, 0}, {450, 1110, 0, 0}, {440, 760, 1125, 0}, {430, 750, 1120, 1330}}};
  for (int i = 0; i < a_day; ++i) {
    h.doses.push_back(std::max(2.0, std::round(middle * dice.between(0.75, 1.25))));
    h.minutes.push_back(times[static_cast<std::size_t>(a_day - 1)][static_cast<std::size_t>(i)] +
                        15 * (dice.below(5) - 2));
  }
  const int kind = dice.weighed<3>({0.6, 0.2, 0.2});
  if (kind == 1) {
    h.change_day = dice.below(90);
    h.change = dice.happens(0.5) ? 1.1 : 0.9;
  } else if (kind == 2) {
    h.varies = true;
    h.dose_sd = dice.between(0.1, 0.25);
  }
  h.prime_twice = dice.between(0, 0.08);
  h.prime_left_out = dice.between(0, 0.05);
  h.prime_more = dice.between(0, 0.10);
  h.writes_primes = dice.happens(0.4);
  h.completes = dice.happens(0.15);
  h.writes_reason = dice.happens(0.5);
  h.time_sd = dice.happens(0.1) ? dice.between(3, 8) : 26 * std::exp(dice.normal(0.45));
  h.weekend_later = dice.below(76);
  h.rounding =
      std::array{0, 5, 15, -1}[static_cast<std::size_t>(dice.weighed<4>({0.42, 0.28, 0.13, 0.17}))];
  h.skips = dice.between(0, 0.02);
  h.skips_weekend = dice.between(0, 0.08);
  h.reads_to = dice.happens(0.5) ? 5 : 10;
  h.is_app = dice.happens(0.3);
  return h;
}

/// By dice of their own, so that everybody else stays as they were.
inline void make_uneven(Habits& h, std::uint64_t seed) {
  Dice dice(seed ^ 0x9E3779B97F4A7C15ULL);
  if (dice.happens(0.15)) h.days_off = 2 + dice.below(2);
  h.shifts = dice.happens(0.25);
  h.begins_half = dice.happens(0.35);
  h.changes_by_eye = dice.happens(0.3);
}

/// One dose that was due.
struct Dose {
  int day = 0;
  int slot = 0;
  int minute = 0;   // when it was given
  int written = 0;  // the minute that the diary has
  double units = 0;
  bool given = true, claimed = true, twice = false;
  int primes = 1;   // of the rule's size
  double more = 0;  // units beyond
};

class Life {
 public:
  Life(std::uint64_t seed, Plant plant) : dice_(seed), plant_(plant), habits_(habits_of(dice_)) {
    if (plant.uneven) make_uneven(habits_, seed);
  }

  Person live() {
    schedule();
    plant();
    rules();
    for (int day = 0; day < plant_.days; ++day) day_of(day);
    last_visit();
    forget_changes();
    for (const auto& dose : doses_) write(dose);
    return std::move(person_);
  }

 private:
  static constexpr double prime = 2, first_prime = 4;
  static constexpr int in_use_days = 28;

  static Units units(double value) {
    return *Units::from_hundredths(std::llround(std::max(0.0, value) * 100));
  }
  static When when(int day, int minute) {
    const LocalTime local =
        LocalTime{first_day + std::chrono::days{day}} + std::chrono::minutes{minute};
    return {Instant{local.time_since_epoch()} - std::chrono::hours{1}, 60};
  }
  bool is(Mechanism what) const { return plant_.what == what; }
  static bool weekend(int day) {
    const std::chrono::weekday weekday{first_day + std::chrono::days{day}};
    return weekday == std::chrono::Saturday || weekday == std::chrono::Sunday;
  }

  bool is_away(int day) const {
    const std::chrono::weekday weekday{first_day + std::chrono::days{day}};
    return (weekend(day) && habits_.days_off > 0) ||
           (weekday == std::chrono::Friday && habits_.days_off > 2);
  }

  // ---- what was done

  double ordered(int day, std::size_t slot) const {
    return std::round(habits_.doses[slot] * (day >= habits_.change_day ? habits_.change : 1));
  }
  int rounded(int minute) {
    const int to = habits_.rounding == -1
                       ? std::array{1, 5, 15}[static_cast<std::size_t>(dice_.below(3))]
                       : std::max(1, habits_.rounding);
    return (minute + to / 2) / to * to;
  }

  void schedule() {
    for (int day = 0; day < plant_.days; ++day) {
      for (std::size_t slot = 0; slot < habits_.doses.size(); ++slot) {
        Dose dose{.day = day, .slot = static_cast<int>(slot)};
        const double sd = habits_.dose_sd * ordered(day, slot);
        dose.units = std::max(1.0, std::round(ordered(day, slot) + dice_.normal(sd)));
        const bool late = weekend(day) && habits_.minutes[slot] < 900;
        dose.minute = habits_.minutes[slot] + (late ? habits_.weekend_later : 0) +
                      static_cast<int>(dice_.normal(habits_.time_sd));
        if (habits_.shifts) dose.minute += std::array{0, 210, -150}[day / 7 % 3];
        dose.minute = std::clamp(dose.minute, static_cast<int>(slot) * 200, 1425);
        dose.written = std::min(1439, rounded(dose.minute));
        if (dice_.happens(habits_.prime_twice)) dose.primes = 2;
        if (dice_.happens(habits_.prime_left_out)) dose.primes = 0;
        if (dice_.happens(habits_.prime_more)) dose.more = 1;
        // Skipped, and the diary says so by saying nothing.
        if (dice_.happens(weekend(day) ? habits_.skips_weekend : habits_.skips))
          dose.given = dose.claimed = false;
        if (dice_.happens(0.010)) dose.claimed = false;
        if (dice_.happens(0.004)) dose.given = false;
        if (is_away(day)) dose.given = dose.claimed = false;
        doses_.push_back(dose);
      }
    }
    for (const auto& dose : doses_) person_.volume += dose.claimed ? dose.units + prime : 0;
  }

  std::vector<int> claimed() const {
    std::vector<int> out;
    for (std::size_t i = 0; i < doses_.size(); ++i) {
      if (doses_[i].claimed && doses_[i].given) out.push_back(static_cast<int>(i));
    }
    return out;
  }

  void plant() {
    if (!plant_.what) return;
    const auto all = claimed();
    const int n = static_cast<int>(all.size());
    const double target = plant_.share * person_.volume;
    const auto dose = [&](int i) -> Dose& {
      return doses_[static_cast<std::size_t>(all[static_cast<std::size_t>(i)])];
    };
    const auto share = dice_.some(static_cast<int>(std::lround(plant_.share * n)), n);
    switch (*plant_.what) {
      case Mechanism::missed_doses:
        for (const auto i : share) dose(i).given = false;
        break;
      case Mechanism::double_doses:
        for (const auto i : share) dose(i).twice = true;
        break;
      case Mechanism::not_written:
        for (const auto i : share) dose(i).claimed = false;
        break;
      case Mechanism::primes_left_out: {
        const int count = static_cast<int>(std::lround(target / prime));
        person_.possible = count <= n * 97 / 100;
        for (const auto i : dice_.some(count, n)) dose(i).primes = 0;
        break;
      }
      case Mechanism::extra_priming: {
        // In bunches: a needle that seems blocked is tried again and again.
        for (int left = static_cast<int>(std::lround(target / prime)); left > 0;) {
          const int bunch = std::min(left, 1 + dice_.below(3));
          dose(dice_.below(n)).primes += bunch;
          left -= bunch;
        }
        break;
      }
      case Mechanism::diary_later:
        for (const auto i : share) dose(i).given = false;
        rewrite();
        break;
      default:
        break;  // cartridges: as they come
    }
    person_.units = target;
  }

  /// Written before the visit: every dose that was due, by the order, at the order's time or
  /// nearly.
  void rewrite() {
    const double jitter = dice_.happens(0.6) ? 0 : dice_.between(2, 6);
    const int to = dice_.happens(0.7) ? 15 : 5;
    for (auto& dose : doses_) {
      const auto slot = static_cast<std::size_t>(dose.slot);
      const double minute = habits_.minutes[slot] + dice_.normal(1) * jitter;
      dose.written = std::clamp(static_cast<int>(std::lround(minute / to)) * to, 0, 1439);
      dose.claimed = true;
      written_units_.push_back(ordered(dose.day, slot));
    }
  }

  // ---- cartridges

  struct Open {
    double left = 0;
    int day = 0;
    std::size_t place = 0;
    bool fresh = true;
    double early = 0;  // changed with so much more left
  };

  void rules() {
    auto& r = person_.request;
    r.from = first_day;
    r.until = first_day + std::chrono::days{plant_.days - 1};
    r.insulin = "insulin glargine";
    r.strength = {100};
    r.cartridge = units(content);
    r.in_use_days = in_use_days;
    r.prime = units(prime);
    r.new_cartridge_prime = units(first_prime);
    for (const int day : {0, habits_.change_day}) {
      if (day >= plant_.days || (day > 0 && habits_.change == 1)) continue;
      if (!r.ordered.empty() && day == 0) r.ordered.clear();
      reconcile::Ordered ordered_then{first_day + std::chrono::days{day}, {}, habits_.varies};
      for (std::size_t slot = 0; slot < habits_.doses.size(); ++slot)
        ordered_then.doses.push_back(units(ordered(day, slot)));
      r.ordered.push_back(std::move(ordered_then));
    }
    r.sealed_before = 0;
    next_visit_ = 21 + dice_.below(15);
    if (is(Mechanism::cartridge_lost) || is(Mechanism::change_not_recorded)) {
      events_ = std::max(1, static_cast<int>(std::lround(plant_.share * person_.volume / content)));
      person_.units = events_ * content;
    }
    if (is(Mechanism::cartridge_lost)) {
      for (int i = 0; i < events_; ++i) lost_on_.push_back(1 + dice_.below(plant_.days - 2));
    }
    if (is(Mechanism::cartridge_thrown_early)) person_.units = 0;
  }

  void open(int day, int minute, int late) {
    if (habits_.begins_half && person_.request.cartridges.empty()) return open_half(day, minute);
    if (sealed_ == 0) {
      person_.request.dispensed.push_back({when(day, std::max(0, minute - 60)), 5});
      sealed_ = 5;
    }
    --sealed_;
    reconcile::CartridgeUse use;
    use.opened = when(day, std::min(minute + late, std::max(minute, 1437)));
    if (late > 0 && closed_) person_.request.cartridges[*closed_].ended = use.opened;
    use.held = units(content);
    open_ = Open{content + 0.5 + dice_.normal(1), day, person_.request.cartridges.size(), true, 0};
    if (dice_.happens(habits_.changes_by_eye ? 0.9 : 0.1)) open_->early = dice_.between(0, 10);
    if (is(Mechanism::cartridge_thrown_early) && dice_.happens(0.7))
      open_->early = std::min(0.7, plant_.share / 0.7 * dice_.between(0.7, 1.3)) * content;
    person_.request.cartridges.push_back(std::move(use));
  }
  /// In use before the period began: its level is read from the scale on the first day.
  void open_half(int day, int minute) {
    const double left = dice_.between(60, 240);
    reconcile::CartridgeUse use;
    use.opened = when(day, minute);
    use.held = units(read(left));
    use.was_new = false;
    open_ = Open{left, day, person_.request.cartridges.size(), false, 0};
    person_.request.cartridges.push_back(std::move(use));
  }
  void close(int day, int minute, bool over) {
    auto& use = person_.request.cartridges[open_->place];
    use.ended = when(day, minute);
    if (habits_.writes_reason || over)
      use.end = over ? reconcile::End::period_over : reconcile::End::used_up;
    const bool secret = is(Mechanism::cartridge_thrown_early) && open_->early > 10;
    if (dice_.happens(over ? 0.6 : 0.3) && !secret) use.rest = units(read(open_->left));
    closed_ = open_->place;
    if (secret) person_.units += std::min(open_->early, open_->left);
    open_.reset();
  }
  double read(double level) {
    double seen = level + dice_.normal(2.5);
    if (dice_.happens(0.03)) seen += (dice_.happens(0.5) ? 1 : -1) * dice_.between(10, 30);
    return std::clamp(std::round(seen / habits_.reads_to) * habits_.reads_to, 0.0, content);
  }

  void day_of(int day) {
    for (const auto on : lost_on_) {
      if (on == day) lose(day);
    }
    for (std::size_t slot = 0; slot < habits_.doses.size(); ++slot) {
      auto& dose = doses_[static_cast<std::size_t>(day) * habits_.doses.size() + slot];
      for (int times = dose.given ? (dose.twice ? 2 : 1) : 0; times > 0; --times) give(dose);
    }
    if (day == next_visit_) {
      visit(day, 0.85);
      next_visit_ += 21 + dice_.below(15);
    }
  }
  void lose(int day) {
    if (sealed_ == 0) {
      person_.request.dispensed.push_back({when(day, 1), 5});
      sealed_ = 5;
    }
    --sealed_;
  }
  void give(const Dose& dose) {
    const int minute = dose.minute;
    double need = dose.units + prime * dose.primes + dose.more;
    const auto late = [&] { return open_ && dose.day - open_->day >= in_use_days; };
    if (late()) close(dose.day, minute - 3, true);
    if (open_ && open_->left < need + open_->early) {
      // A rest that can give some of it is used by those who complete; thrown away by others.
      if (habits_.completes && open_->early == 0 && open_->left > prime + 1) {
        need -= open_->left - prime * dose.primes;
        open_->left = 0;
      }
      close(dose.day, minute - 3, false);
    }
    // Now and then somebody writes a change down hours later.
    if (!open_) open(dose.day, minute - 2, dice_.happens(0.05) ? 60 + dice_.below(700) : 0);
    if (open_->fresh) need += dice_.happens(0.2) ? first_prime : first_prime - prime;
    open_->fresh = false;
    open_->left = std::max(0.0, open_->left - need);
  }
  void visit(int day, double reads) {
    if (!open_ || !dice_.happens(reads)) return;
    auto& use = person_.request.cartridges[open_->place];
    use.readings.push_back({when(day, 1438), units(read(open_->left))});
  }
  void last_visit() {
    visit(plant_.days - 1, 0.95);
    if (!dice_.happens(0.95)) return;
    const int off = dice_.happens(0.01) ? (dice_.happens(0.5) ? 1 : -1) : 0;
    person_.request.sealed_counts.push_back(
        {when(plant_.days - 1, 1439), std::max(0, sealed_ + off)});
  }
  /// The record has no line for some changes: the one before seems to last on.
  void forget_changes() {
    if (!is(Mechanism::change_not_recorded)) return;
    auto& uses = person_.request.cartridges;
    const int most = static_cast<int>(uses.size()) - 1;
    person_.possible = most >= 2 && events_ <= most / 2;
    if (!person_.possible) return;
    for (int i = 0; i < events_; ++i) {
      const auto gone = 1 + dice_.below(static_cast<int>(uses.size()) - 1);
      auto& before = uses[static_cast<std::size_t>(gone - 1)];
      const auto& last = uses[static_cast<std::size_t>(gone)];
      before.ended = last.ended;
      before.end = last.end;
      before.rest = last.rest;
      before.readings = last.readings;
      uses.erase(uses.begin() + gone);
    }
  }

  // ---- the diary

  void write(const Dose& dose) {
    if (!dose.claimed) return;
    const auto place = static_cast<std::size_t>(&dose - doses_.data());
    reconcile::Entry entry;
    const bool later = is(Mechanism::diary_later);
    double said = later ? written_units_[place] : dose.units;
    if (dice_.happens(0.006)) said = std::max(1.0, said + dice_.below(21) - 10);
    entry.units = units(said);
    // Attribution goes by the minute: what is written has to lie on the right side of a change.
    entry.when = when(dose.day, dose.written);
    constexpr std::array names{"breakfast", "lunch", "supper", "bedtime"};
    entry.slot = names[static_cast<std::size_t>(dose.slot)];
    const bool left_out = dose.primes == 0 && dice_.happens(0.5) && !is(Mechanism::primes_left_out);
    if (habits_.writes_primes) entry.primed = units(left_out ? 0 : prime);
    if (habits_.is_app) {
      const auto sitting = when(std::min(plant_.days - 1, (dose.day / 14 + 1) * 14), 1200).at;
      const auto at_once = entry.when.at + std::chrono::minutes{dice_.below(20)};
      entry.recorded =
          later ? std::max(sitting, entry.when.at) + std::chrono::seconds{20} * (dice_.below(30))
          : dice_.happens(0.06) ? entry.when.at + std::chrono::hours{9}
                                : at_once;
    }
    person_.request.diary.push_back(std::move(entry));
  }

  Dice dice_;
  Plant plant_;
  Habits habits_;
  Person person_;
  std::vector<Dose> doses_;
  std::vector<double> written_units_;  // of a diary that was written afterwards
  std::optional<Open> open_;
  std::optional<std::size_t> closed_;
  int sealed_ = 0;
  int next_visit_ = 21;
  int events_ = 0;
  std::vector<int> lost_on_;
};

inline Person person(std::uint64_t seed, const Plant& plant) { return Life(seed, plant).live(); }

/// Those that are planted.
inline constexpr std::array planted{Mechanism::missed_doses,
                                    Mechanism::double_doses,
                                    Mechanism::primes_left_out,
                                    Mechanism::extra_priming,
                                    Mechanism::cartridge_thrown_early,
                                    Mechanism::cartridge_lost,
                                    Mechanism::change_not_recorded,
                                    Mechanism::not_written,
                                    Mechanism::diary_later};

}  // namespace penstock::planted
