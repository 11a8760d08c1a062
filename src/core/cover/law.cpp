#include "core/cover/internal/law.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <optional>
#include <utility>

namespace penstock::cover::internal {
namespace {

using i64 = std::int64_t;

constexpr double trimmed = 1e-18;  // a rest that is less likely is laid to its neighbour
constexpr double gone = 1e-17;     // a cartridge that is less likely to serve waits for its end
constexpr double certain = 1e-15;  // what is left to run out when it has run out

double total(const std::vector<double>& chances) {
  double sum = 0;
  for (const double chance : chances) sum += chance;
  return sum;
}

/// Chances by steps taken out since the cartridge was opened or counted. Outside [low, high] all
/// are zero.
struct Mass {
  std::vector<double> by_used;
  i64 low = 1, high = 0;

  bool empty() const { return low > high; }
  double& at(i64 used) { return by_used[static_cast<std::size_t>(used)]; }
  void add(i64 used, double chance) {
    at(used) += chance;
    low = empty() ? used : std::min(low, used);
    high = std::max(high, used);
  }
  double sum() const {
    double all = 0;
    for (i64 i = low; i <= high; ++i) all += by_used[static_cast<std::size_t>(i)];
    return all;
  }
  void clear() {
    if (empty()) return;
    std::fill(by_used.begin() + low, by_used.begin() + high + 1, 0.0);
    low = 1;
    high = 0;
  }
  void trim() {
    double below = 0, above = 0;
    while (low < high && at(low) < trimmed) below += std::exchange(at(low++), 0.0);
    while (low < high && at(high) < trimmed) above += std::exchange(at(high--), 0.0);
    at(low) += below;
    at(high) += above;
  }
};

/// A place of the row that may serve.
struct Serving {
  i64 full = 0;  // whole steps in it at the start
  const Rests* rests = nullptr;
  const std::vector<Taking>* first = nullptr;  // what its first dose takes
  i64 first_most = 0;                          // the largest first dose
  std::int32_t last_day = no_end;
  bool sealed = false;
  Mass mass;
  Mass young;  // opened today; kept apart only where a period may end
  double waiting = 0;

  i64 last_usable() const { return full - rests->usable(); }
};

/// A slot with what makes it fast: where its spends become too unlikely to matter.
struct Slot {
  SlotLaw law;
  /// For a rest with a chance of about 2^-e: only these of its spends.
  struct Range {
    std::size_t from = 0, to = 0;
  };
  static constexpr int powers = 64;
  std::array<Range, powers> ranges{};

  explicit Slot(SlotLaw of) : law(std::move(of)) {
    const auto& spend = law.spend;
    std::size_t from = 0, to = spend.size();
    for (int e = 0; e < powers; ++e) {
      const double least = std::ldexp(1.0, e - 72);  // of the spend; the product below 1e-21
      while (from < to && spend[from] < least) ++from;
      while (to > from && spend[to - 1] < least) --to;
      ranges[static_cast<std::size_t>(e)] = {from, to};
    }
  }
  const Range& range(double chance) const {
    const auto exponent = static_cast<int>(std::bit_cast<std::uint64_t>(chance) >> 52) - 1023;
    return ranges[static_cast<std::size_t>(std::clamp(-exponent, 0, powers - 1))];
  }
};

/// Those opened on one day that may outlast their period.
struct Cohort {
  std::size_t place = 0;
  std::int32_t ends = 0;  // the first day on which they do not serve
  i64 low = 0;
  std::vector<double> by_used;
};

class Walk {
 public:
  Walk(const Line& line, const House& house, const Marks& marks);
  RunOut run();

 private:
  void make_tables();
  void begin_day();
  void take(const Slot& slot);
  void end_day();
  bool done() const;

  Serving& place(std::size_t index);
  void step(Serving& serving, Mass& mass, const Slot& slot);
  void exits(std::size_t index, const Slot& slot);
  void land(std::size_t index);
  bool land_on(Serving& serving);
  void passed(std::size_t from, std::size_t to, double chance);
  void retire(const Cohort& cohort);
  void keep_young(std::size_t index);
  void look_at_places();
  std::size_t end_of_row() const;

  const Line& line_;
  const House& house_;
  Marks marks_;
  i64 step_;
  std::vector<Taking> in_use_, fresh_;
  std::vector<Slot> slots_;
  std::vector<Rests> rests_;
  bool period_may_end_ = false;
  std::optional<SumLaw> between_;  // the doses of the days between opening and end

  std::int32_t day_ = 0;
  std::size_t first_ = 0;           // the first place that is not done with
  std::vector<Serving> row_;        // [0] stands for "nothing was taken yet", place i is [i + 1]
  std::vector<Cohort> cohorts_;     // by the day of their end
  std::vector<double> next_;        // all zeros between two steps
  std::vector<double> too_little_;  // the chance of a rest that gives so much and no more
  std::vector<double> wanted_;      // doses that look for a place, by steps
  std::vector<double> outlast_;
  double left_ = 1;  // the chance that the house still does
  double short_ask_ = 0, short_all_ = 0, too_large_ = 0;
  RunOut out_;
};

Walk::Walk(const Line& line, const House& house, const Marks& marks)
    : line_(line), house_(house), marks_(marks), step_(line.step.hundredths()) {
  make_tables();
  row_.resize(1);
  row_[0].waiting = 1;
}

void Walk::make_tables() {
  const draw::Rules rules = rules_of(line_);
  // What no cartridge gives is not told apart, unless it is given from several.
  i64 most = never_fits;
  if (!line_.use_the_rest) {
    const auto given_by = [&](const Place& place) {
      return whole_steps(draw::most_from(rules, {.left = place.left, .is_new = place.is_new}),
                         line_.step);
    };
    most = given_by(house_.at(house_.size()));
    for (std::size_t i = 0; i < house_.open(); ++i) most = std::max(most, given_by(house_.at(i)));
    ++most;
  }
  std::vector<DoseLaw> laws;
  i64 largest = 1;
  for (const Units dose : line_.doses) {
    laws.push_back(rounded_normal(dose, line_.dose_sd, line_.step, most));
    largest = std::max(largest, laws.back().most());
  }
  in_use_ = takings(rules, largest, false);
  fresh_ = takings(rules, largest, true);
  for (const DoseLaw& law : laws) slots_.emplace_back(slot_law(law, in_use_));
  too_little_.assign(in_use_.size(), 0.0);
  wanted_.assign(in_use_.size(), 0.0);
  rests_.reserve(house_.open() + 1);

  std::vector<SlotLaw> all;
  for (const Slot& slot : slots_) all.push_back(slot.law);
  period_may_end_ =
      may_be_at_most(all, line_.in_use_days - 1, whole_steps(line_.cartridge, line_.step));
}

Serving& Walk::place(std::size_t index) {
  while (row_.size() <= index + 1) {
    const Place& of = house_.at(row_.size() - 1);
    Serving serving;
    serving.full = whole_steps(of.left, line_.step);
    const i64 beyond = line_.suspension ? of.left.hundredths() % step_ : 0;
    const auto known = std::ranges::find(rests_, beyond, &Rests::beyond);
    if (known == rests_.end()) {
      rests_.emplace_back(in_use_, step_, beyond);  // reserved: what points to others stays
      serving.rests = &rests_.back();
    } else {
      serving.rests = &*known;
    }
    serving.first = of.is_new ? &fresh_ : &in_use_;
    while (serving.first_most + 1 < static_cast<i64>(serving.first->size()) &&
           (*serving.first)[static_cast<std::size_t>(serving.first_most) + 1].need <=
               of.left.hundredths()) {
      ++serving.first_most;
    }
    serving.last_day = of.last_day;
    serving.sealed = of.sealed;
    row_.push_back(std::move(serving));
  }
  Serving& serving = row_[index + 1];
  const auto size = static_cast<std::size_t>(serving.full) + 1;
  if (serving.mass.by_used.empty()) {
    serving.mass.by_used.assign(size, 0.0);
    if (serving.sealed && period_may_end_) serving.young.by_used.assign(size, 0.0);
  }
  return serving;
}

// ---- one dose

/// Every rest that can give the dose goes down by it; those that can give less are counted by how
/// much they can give.
void Walk::step(Serving& serving, Mass& mass, const Slot& slot) {
  if (mass.empty()) return;
  const SlotLaw& law = slot.law;
  if (next_.size() < mass.by_used.size()) next_.resize(mass.by_used.size(), 0.0);
  const i64 largest = law.most();
  i64 low = law.none > 0 ? mass.low : mass.low + law.least_spend;
  i64 high = law.none > 0 ? mass.high : 0;
  for (i64 used = mass.low; used <= mass.high; ++used) {
    const double chance = std::exchange(mass.at(used), 0.0);
    if (chance == 0) continue;
    const i64 rest = serving.full - used;
    const i64 gives = serving.rests->most(rest);
    auto [from, to] = slot.range(chance);
    if (gives < largest) {
      too_little_[static_cast<std::size_t>(gives)] += chance;
      const i64 reach = gives < law.least
                            ? 0
                            : in_use_[static_cast<std::size_t>(gives)].spend - law.least_spend + 1;
      to = std::min(to, static_cast<std::size_t>(reach));
    }
    if (law.none > 0) next_[static_cast<std::size_t>(used)] += chance * law.none;
    if (from >= to) continue;
    convolve(next_.data() + used + law.least_spend + static_cast<i64>(from), &chance, 1,
             law.spend.data() + from, to - from);
    high = std::max(high, used + law.least_spend + static_cast<i64>(to) - 1);
  }
  mass.by_used.swap(next_);
  mass.low = low;
  mass.high = high;
  // What can give nothing any more waits for the next dose.
  for (const i64 last = serving.last_usable(); mass.high >= mass.low && mass.high > last;) {
    serving.waiting += std::exchange(mass.at(mass.high--), 0.0);
  }
  if (!mass.empty()) mass.trim();
}

/// The doses that did not fit, and by how much of them a rest helps out first.
void Walk::exits(std::size_t index, const Slot& slot) {
  const SlotLaw& law = slot.law;
  const auto dose_chance = [&](i64 dose) {
    return law.dose[static_cast<std::size_t>(dose - law.least)];
  };
  const i64 most = law.most();
  if (line_.use_the_rest) {
    for (i64 gives = 0; gives < most; ++gives) {
      const double chance = std::exchange(too_little_[static_cast<std::size_t>(gives)], 0.0);
      if (chance == 0) continue;
      for (i64 dose = std::max(law.least, gives + 1); dose <= most; ++dose) {
        wanted_[static_cast<std::size_t>(dose - gives)] += chance * dose_chance(dose);
      }
    }
  } else {
    double gives_less = 0;
    for (i64 dose = 1; dose <= most; ++dose) {
      gives_less += std::exchange(too_little_[static_cast<std::size_t>(dose) - 1], 0.0);
      if (dose >= law.least) {
        wanted_[static_cast<std::size_t>(dose)] = gives_less * dose_chance(dose);
      }
    }
  }
  land(index);
}

/// Gives what is wanted from the places behind `index` (of row_).
void Walk::land(std::size_t index) {
  const std::size_t from = index;
  const std::size_t end = end_of_row();
  double all = total(wanted_);
  if (all == 0) return;
  for (std::size_t to = from; all > 0; ++to) {
    if (to >= end) break;  // nobody asks what comes behind it
    Serving& serving = place(to);
    if (serving.last_day < day_) continue;  // expired: passed over
    const bool fresh_one = to >= house_.size();
    const double before = all;
    const bool some_left = land_on(serving);
    all = some_left ? total(wanted_) : 0;
    // What a split leaves for the next place has run out here, too; so it is counted there.
    passed(from, to, before - all);
    if (some_left && fresh_one && !line_.use_the_rest) {
      too_large_ += all;
      break;
    }
  }
  passed(from, static_cast<std::size_t>(-1) / 2, all);
  std::fill(wanted_.begin(), wanted_.end(), 0.0);
}

/// The doses that this place can give, as its first. Whether any are left.
bool Walk::land_on(Serving& serving) {
  Mass& into = serving.young.by_used.empty() ? serving.mass : serving.young;
  const auto fits = std::min(serving.first_most, static_cast<i64>(wanted_.size()) - 1);
  for (i64 dose = 1; dose <= fits; ++dose) {
    double& chance = wanted_[static_cast<std::size_t>(dose)];
    if (chance == 0) continue;
    const i64 used = (*serving.first)[static_cast<std::size_t>(dose)].spend;
    if (used > serving.last_usable()) {
      serving.waiting += chance;
    } else {
      into.add(used, chance);
    }
    chance = 0;
  }
  bool left = false;
  for (auto dose = static_cast<std::size_t>(fits) + 1; dose < wanted_.size(); ++dose) {
    if (wanted_[dose] == 0) continue;
    left = true;
    if (!line_.use_the_rest || fits == 0) continue;
    wanted_[dose - static_cast<std::size_t>(fits)] += std::exchange(wanted_[dose], 0.0);
  }
  return left;
}

/// Doses went from behind place `from` - 1 to place `to`.
void Walk::passed(std::size_t from, std::size_t to, double chance) {
  if (from <= marks_.ask && marks_.ask <= to) short_ask_ += chance;
  if (from <= marks_.all && marks_.all <= to) short_all_ += chance;
}

std::size_t Walk::end_of_row() const {
  // Until the boxes are counted the row has no end.
  return day_ < marks_.boxes_by_day ? static_cast<std::size_t>(-1) / 2 : marks_.all;
}

void Walk::take(const Slot& slot) {
  // From the last place back, so that what lands has taken its dose already.
  for (std::size_t i = row_.size(); i-- > first_;) {
    Serving& serving = row_[i];
    if (serving.mass.empty() && serving.young.empty() && serving.waiting == 0) continue;
    too_little_[0] += serving.waiting;
    serving.waiting *= slot.law.none;
    step(serving, serving.mass, slot);
    step(serving, serving.young, slot);
    exits(i, slot);
  }
}

// ---- one day

void Walk::begin_day() {
  for (std::size_t i = first_; i < row_.size(); ++i) {
    Serving& serving = row_[i];
    if (serving.mass.empty() || day_ <= serving.last_day) continue;
    serving.waiting += serving.mass.sum();
    serving.mass.clear();
  }
  std::size_t ended = 0;
  while (ended < cohorts_.size() && cohorts_[ended].ends <= day_) retire(cohorts_[ended++]);
  cohorts_.erase(cohorts_.begin(), cohorts_.begin() + static_cast<std::ptrdiff_t>(ended));
}

/// Takes those out whose days are over and that can still give something.
void Walk::retire(const Cohort& cohort) {
  Serving& serving = row_[cohort.place];
  if (serving.mass.empty()) return;
  if (!between_) {
    std::vector<SlotLaw> all;
    for (const Slot& slot : slots_) all.push_back(slot.law);
    between_ = spent_in(all, line_.in_use_days - 1, whole_steps(line_.cartridge, line_.step));
  }
  if (between_->chance.empty()) return;
  const auto size = cohort.by_used.size() + between_->chance.size() - 1;
  outlast_.assign(size, 0.0);
  convolve(outlast_.data(), cohort.by_used.data(), cohort.by_used.size(), between_->chance.data(),
           between_->chance.size());
  const i64 low = cohort.low + between_->least;
  const i64 to = std::min(serving.mass.high, low + static_cast<i64>(size) - 1);
  for (i64 used = std::max(low, serving.mass.low); used <= to; ++used) {
    double& chance = serving.mass.at(used);
    const double over = std::min(chance, outlast_[static_cast<std::size_t>(used - low)]);
    chance -= over;
    serving.waiting += over;
  }
}

void Walk::keep_young(std::size_t index) {
  Serving& serving = row_[index];
  Mass& young = serving.young;
  if (young.empty()) return;
  const auto low = young.by_used.begin() + young.low;
  const auto high = young.by_used.begin() + young.high + 1;
  cohorts_.push_back({index, day_ + line_.in_use_days, young.low, {low, high}});
  for (i64 used = young.low; used <= young.high; ++used) serving.mass.add(used, young.at(used));
  young.clear();
}

void Walk::end_day() {
  left_ = 0;
  for (std::size_t i = first_; i < row_.size(); ++i) {
    keep_young(i);
    Serving& serving = row_[i];
    double left = serving.mass.sum();
    if (left < gone) {
      serving.waiting += std::exchange(left, 0.0);
      serving.mass.clear();
    }
    if (i <= marks_.all) left_ += left + serving.waiting;
  }
  while (first_ < row_.size() && row_[first_].mass.empty() && row_[first_].waiting < gone) {
    row_[first_] = {};
    ++first_;
  }
  out_.ask.push_back(std::min(1.0, short_ask_));
  out_.all.push_back(std::min(1.0, short_all_));
  ++day_;
  if (day_ == marks_.boxes_by_day) look_at_places();
}

/// The chance that more than so many places were needed; then nobody asks about those behind.
void Walk::look_at_places() {
  out_.too_large = too_large_;
  out_.places.assign(row_.size(), 0.0);
  double behind = 0;
  for (std::size_t i = row_.size(); i-- > 0;) {
    behind += row_[i].mass.sum() + row_[i].waiting;
    // Place i - 1 of the house is the first that a row of i - 1 does not have.
    if (i > 0) out_.places[i - 1] = behind;
  }
  out_.places.back() = 0;
  const std::size_t end = marks_.all + 1;
  for (std::size_t i = std::max(end, first_); i < row_.size(); ++i) row_[i] = {};
  if (row_.size() > end) row_.resize(std::max(end, std::size_t{1}));
  std::erase_if(cohorts_, [&](const Cohort& cohort) { return cohort.place >= row_.size(); });
}

bool Walk::done() const {
  if (day_ >= horizon_days_max) return true;
  return day_ >= marks_.boxes_by_day && left_ < certain;
}

RunOut Walk::run() {
  while (!done()) {
    begin_day();
    const std::size_t given = day_ == 0 ? line_.given_on_first_day : 0;
    for (std::size_t i = given; i < slots_.size(); ++i) take(slots_[i]);
    end_day();
  }
  return std::move(out_);
}

}  // namespace

RunOut run_out(const Line& line, const House& house, const Marks& marks) {
  return Walk(line, house, marks).run();
}

}  // namespace penstock::cover::internal
