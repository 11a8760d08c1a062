#include "core/cover/internal/law.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <optional>
#include <utility>

#include "core/cover/internal/periods.hpp"

namespace penstock::cover::internal {
namespace {

using i64 = std::int64_t;

constexpr double trimmed = 1e-16;  // a rest that is less likely is laid to its neighbour
constexpr double gone = 1e-15;     // the first cartridge of the row goes on when it is less likely
constexpr double held = 1e-16;     // doses that are less likely to look for a cartridge wait

/// Chances by steps taken out since the cartridge was opened or counted. Outside [low, high] all
/// are zero.
struct Mass {
  std::vector<double> by_used;
  i64 low = 1, high = 0;

  bool empty() const { return low > high; }
  double& at(i64 used) { return by_used[static_cast<std::size_t>(used)]; }
  void widen(i64 from, i64 to) {
    low = empty() ? from : std::min(low, from);
    high = std::max(high, to);
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
  const SlotLaw& law;
  Padded spend;
  /// For rests with a chance of about 2^-e: only these of the spends.
  struct Range {
    std::size_t from = 0, to = 0;
  };
  static constexpr int powers = 64;
  std::array<Range, powers> ranges{};

  explicit Slot(const SlotLaw& of) : law(of), spend(law.spend) {
    std::size_t from = 0, to = spend.size();
    for (int e = 0; e < powers; ++e) {
      const double least = std::ldexp(1.0, e - 68);  // of the spend; the product below 1e-20
      while (from < to && law.spend[from] < least) ++from;
      while (to > from && law.spend[to - 1] < least) --to;
      ranges[static_cast<std::size_t>(e)] = {from, to};
    }
  }
  const Range& range(double chance) const {
    const auto exponent = static_cast<int>(std::bit_cast<std::uint64_t>(chance) >> 52) - 1023;
    return ranges[static_cast<std::size_t>(std::clamp(-exponent, 0, powers - 1))];
  }
};

/// Days with the same doses.
struct Doses {
  std::int32_t from = 0;  // see Period
  std::vector<SlotLaw> laws;
  std::vector<Slot> slots;  // of these laws
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
  Walk(const Line& line, const House& house, LocalDay on, const Marks& marks);
  RunOut run(const Stopped& stopped);

 private:
  void make_tables(LocalDay on);
  std::vector<SameDays> in_use_days_after(std::int32_t opened) const;
  i64 full_steps() const { return whole_steps(line_.cartridge, line_.step); }
  bool period_may_end() const;
  const SumLaw& between(std::int32_t opened);
  void begin_day();
  void take(const Slot& slot);
  void end_day();
  bool done() const;

  Serving& place(std::size_t index);
  void count_short(const Serving& serving, const Mass& mass, i64 largest);
  void spend(const Serving& serving, Mass& mass, const Slot& slot);
  void spend_by_rest(const Serving& serving, Mass& mass, const Slot& slot);
  void step(Serving& serving, Mass& mass, const Slot& slot);
  double want_remainders(const SlotLaw& law);
  double want_whole(const SlotLaw& law);
  void exits(std::size_t index, const Slot& slot);
  void land(std::size_t index, i64 most, double all);
  double land_on(Serving& serving, i64 most);
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
  std::vector<Doses> periods_;
  std::vector<Rests> rests_;
  bool gives_what_it_holds_ = false;  // a dose fits exactly where what it spends is there
  bool period_may_end_ = false;
  SumLaw between_;  // the doses of the days between opening and end
  std::optional<std::vector<SameDays>> between_of_;

  std::int32_t day_ = 0;
  std::size_t first_ = 0;           // the first place that is not done with
  std::vector<Serving> row_;        // [0] stands for "nothing was taken yet", place i is [i + 1]
  std::vector<Cohort> cohorts_;     // by the day of their end
  std::vector<double> next_;        // all zeros between two steps
  std::vector<double> too_little_;  // the chance of a rest that gives so much and no more
  std::vector<double> wanted_;      // doses that look for a place, by steps
  std::vector<double> outlast_;
  double short_ask_ = 0, short_all_ = 0, too_large_ = 0;
  RunOut out_;
};

Walk::Walk(const Line& line, const House& house, LocalDay on, const Marks& marks)
    : line_(line), house_(house), marks_(marks), step_(line.step.hundredths()) {
  make_tables(on);
  row_.resize(1);
  row_[0].waiting = 1;
}

void Walk::make_tables(LocalDay on) {
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
  std::vector<std::vector<DoseLaw>> laws;
  i64 largest = 1;
  for (const Period& period : periods_of(line_, on)) {
    periods_.push_back({period.from, {}, {}});
    laws.emplace_back();
    for (const Units dose : *period.doses) {
      laws.back().push_back(rounded_normal(dose, line_.dose_sd, line_.step, most));
      largest = std::max(largest, laws.back().back().most());
    }
  }
  in_use_ = takings(rules, largest, false);
  fresh_ = takings(rules, largest, true);
  for (std::size_t i = 0; i < laws.size(); ++i) {
    Doses& doses = periods_[i];
    for (const DoseLaw& law : laws[i]) doses.laws.push_back(slot_law(law, in_use_));
    for (const SlotLaw& law : doses.laws) doses.slots.emplace_back(law);
  }
  too_little_.assign(in_use_.size(), 0.0);
  wanted_.assign(in_use_.size(), 0.0);
  rests_.reserve(house_.open() + 1);

  // A rest that can give one step is enough to mix: no dose needs more than that and what it
  // spends.
  const i64 least = in_use_[1].need;
  gives_what_it_holds_ = std::ranges::all_of(in_use_, [&](const Taking& taking) {
    return taking.need == never_fits || taking.need <= std::max(least, taking.spend * step_);
  });
  period_may_end_ = period_may_end();
}

/// The days between that of opening and the first on which the period is over, by their doses.
std::vector<SameDays> Walk::in_use_days_after(std::int32_t opened) const {
  std::vector<SameDays> out;
  const auto end = opened + line_.in_use_days;
  for (auto day = opened + 1; day < end;) {
    const auto i = period_on(periods_, day);
    const auto until = i + 1 < periods_.size() ? std::min(end, periods_[i + 1].from) : end;
    out.push_back({&periods_[i].laws, until - day});
    day = until;
  }
  return out;
}

/// Of some cartridge, whenever it is opened: behind the last change one is like the other.
bool Walk::period_may_end() const {
  const auto last = std::min(periods_.back().from, horizon_days_max);
  for (std::int32_t opened = 0; opened <= last; ++opened) {
    if (may_be_at_most(in_use_days_after(opened), full_steps())) return true;
  }
  return false;
}

/// What they spend that are opened on a day, until their period is over.
const SumLaw& Walk::between(std::int32_t opened) {
  const auto stretch = in_use_days_after(opened);
  if (between_of_ == stretch) return between_;
  between_of_ = stretch;
  const bool may = may_be_at_most(stretch, full_steps());
  return between_ = may ? spent_in(stretch, full_steps()) : SumLaw{};
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
  const auto size = static_cast<std::size_t>(serving.full) + 1 + pad;
  if (serving.mass.by_used.empty()) {
    serving.mass.by_used.assign(size, 0.0);
    if (serving.sealed && period_may_end_) serving.young.by_used.assign(size, 0.0);
  }
  return serving;
}

// ---- one dose

/// Rests that can give less than the largest dose are counted by how much they can give.
void Walk::count_short(const Serving& serving, const Mass& mass, i64 largest) {
  const auto& most = serving.rests->most_by_rest();
  const i64 from = serving.full - mass.high;
  i64 to = std::min(serving.rests->enough() - 1, serving.full - mass.low);
  while (to >= from && most[static_cast<std::size_t>(to)] >= largest) --to;
  const double* const by_rest = mass.by_used.data() + serving.full;
  for (i64 rest = from; rest <= to; ++rest) {
    too_little_[static_cast<std::size_t>(most[static_cast<std::size_t>(rest)])] += by_rest[-rest];
  }
}

/// next_ += mass * spend. What goes beyond the end of the cartridge is what did not fit.
void Walk::spend(const Serving& serving, Mass& mass, const Slot& slot) {
  const i64 least = slot.law.least_spend;
  for (i64 used = mass.low; used <= mass.high; used += rows) {
    const double* const from = &mass.at(used);  // behind `high` stand zeros
    double chance = 0;
    for (std::size_t i = 0; i < rows; ++i) chance = std::max(chance, from[i]);
    const auto [begin, most] = slot.range(chance);
    const auto room = static_cast<std::size_t>(std::max<i64>(0, serving.full - used - least + 1));
    const auto end = std::min(most, room);
    if (begin < end) {
      convolve_rows(next_.data() + used + least, from, slot.spend.data(), begin, end);
    }
  }
}

/// The same where a rest may not give what it holds: each goes by itself, as far as it can.
void Walk::spend_by_rest(const Serving& serving, Mass& mass, const Slot& slot) {
  for (i64 used = mass.low; used <= mass.high; ++used) {
    const i64 gives = std::min(serving.rests->most(serving.full - used), slot.law.most());
    if (gives < slot.law.least) continue;
    const i64 spends = in_use_[static_cast<std::size_t>(gives)].spend - slot.law.least_spend + 1;
    const auto end = std::min(static_cast<std::size_t>(spends), slot.law.spend.size());
    double* const to = next_.data() + used + slot.law.least_spend;
    for (std::size_t i = 0; i < end; ++i) to[i] += mass.at(used) * slot.law.spend[i];
  }
}

/// Every rest that can give the dose goes down by it.
void Walk::step(Serving& serving, Mass& mass, const Slot& slot) {
  if (mass.empty()) return;
  if (next_.size() < mass.by_used.size()) next_.resize(mass.by_used.size(), 0.0);
  count_short(serving, mass, slot.law.most());
  if (gives_what_it_holds_) {
    spend(serving, mass, slot);
  } else {
    spend_by_rest(serving, mass, slot);
  }
  const double none = slot.law.none;
  for (i64 used = mass.low; none > 0 && used <= mass.high; ++used) {
    next_[static_cast<std::size_t>(used)] += mass.at(used) * none;
  }
  std::fill(&mass.at(mass.low), &mass.at(mass.high) + 1, 0.0);
  mass.by_used.swap(next_);
  const i64 furthest = mass.high + slot.law.least_spend + static_cast<i64>(slot.spend.size()) - 1;
  mass.low += none > 0 ? 0 : slot.law.least_spend;
  mass.high = std::min(serving.full, furthest);
  std::fill(&mass.at(serving.full) + 1, &mass.at(serving.full) + pad, 0.0);
  // What can give nothing any more waits for the next dose.
  while (mass.high >= mass.low && mass.high > serving.last_usable()) {
    serving.waiting += std::exchange(mass.at(mass.high--), 0.0);
  }
  if (!mass.empty()) mass.trim();
}

/// What a rest gives first of a dose that it cannot give whole is taken off what is wanted:
/// wanted[dose - gives] += too_little[gives] * chance[dose], where dose is more than gives.
double Walk::want_remainders(const SlotLaw& law) {
  i64 end = law.most();
  while (end > 0 && too_little_[static_cast<std::size_t>(end) - 1] == 0) --end;
  if (end == 0) return 0;
  const std::vector<double> gives_less(too_little_.rend() - end, too_little_.rend());
  std::fill(too_little_.begin(), too_little_.begin() + end, 0.0);
  // [i + j] of the product: the dose is least + j, and end - 1 - i of it are given first.
  const auto product = convolved(gives_less, law.dose);
  double all = 0;
  for (i64 wanted = 1; wanted <= law.most(); ++wanted) {
    const i64 at = wanted + end - 1 - law.least;
    if (at < 0 || at >= static_cast<i64>(product.size())) continue;
    const double chance = product[static_cast<std::size_t>(at)];
    wanted_[static_cast<std::size_t>(wanted)] += chance;
    all += chance;
  }
  return all;
}

/// A dose is wanted with its chance times that of a rest which gives less. Four at a time: one
/// addition waits for the one before, so few stand in a row.
double Walk::want_whole(const SlotLaw& law) {
  double* const short_of = too_little_.data();  // [gives]
  double gives_less = 0;
  for (i64 gives = 0; gives + 1 < law.least; ++gives) {
    gives_less += std::exchange(short_of[gives], 0.0);
  }
  const double* const chance = law.dose.data();
  double* const less = short_of + law.least - 1;
  double* const wanted = wanted_.data() + law.least;
  const auto count = static_cast<i64>(law.dose.size());
  double all = 0;
  i64 i = 0;
  for (; i + 4 <= count; i += 4) {
    const double a = less[i], b = a + less[i + 1], c = b + less[i + 2], d = c + less[i + 3];
    wanted[i] = chance[i] * (gives_less + a);
    wanted[i + 1] = chance[i + 1] * (gives_less + b);
    wanted[i + 2] = chance[i + 2] * (gives_less + c);
    wanted[i + 3] = chance[i + 3] * (gives_less + d);
    all += (wanted[i] + wanted[i + 1]) + (wanted[i + 2] + wanted[i + 3]);
    gives_less += d;
  }
  for (; i < count; ++i) {
    gives_less += less[i];
    all += wanted[i] = chance[i] * gives_less;
  }
  std::fill(less, less + count, 0.0);
  return all;
}

/// The doses that did not fit look for a place.
void Walk::exits(std::size_t index, const Slot& slot) {
  const i64 most = slot.law.most();
  const double all = line_.use_the_rest ? want_remainders(slot.law) : want_whole(slot.law);
  if (all < held) {
    row_[index].waiting += all;
    std::fill(wanted_.begin(), wanted_.begin() + most + 1, 0.0);
  } else {
    land(index, most, all);
  }
}

/// Gives doses of up to `most` steps from the places behind `index` (of row_).
void Walk::land(std::size_t index, i64 most, double all) {
  const std::size_t from = index;
  const std::size_t end = end_of_row();
  // Behind the end nobody asks what comes.
  for (std::size_t to = from; to < end && all > 0; ++to) {
    Serving& serving = place(to);
    if (serving.last_day < day_) continue;  // expired: passed over
    const double before = all;
    all = land_on(serving, most);
    // What a split leaves for the next place has run out here, too; so it is counted there.
    passed(from, to, before - all);
    if (all > 0 && to >= house_.size() && !line_.use_the_rest) {
      too_large_ += all;
      break;
    }
  }
  if (all == 0) return;
  passed(from, static_cast<std::size_t>(-1) / 2, all);
  std::fill(wanted_.begin(), wanted_.begin() + most + 1, 0.0);
}

/// Gives what this place can, as its first dose; what it cannot stays wanted. Returns its chance.
double Walk::land_on(Serving& serving, i64 most) {
  Mass& into = serving.young.by_used.empty() ? serving.mass : serving.young;
  const auto fits = std::min(serving.first_most, most);
  i64 least = 1;
  while (least <= fits && wanted_[static_cast<std::size_t>(least)] == 0) ++least;
  const Taking* const first = serving.first->data();
  if (least <= fits && first[least].spend <= serving.last_usable()) {
    into.widen(first[least].spend, std::min(first[fits].spend, serving.last_usable()));
  }
  for (i64 dose = least; dose <= fits; ++dose) {
    const double chance = std::exchange(wanted_[static_cast<std::size_t>(dose)], 0.0);
    const bool spent = first[dose].spend > serving.last_usable();
    (spent ? serving.waiting : into.at(first[dose].spend)) += chance;
  }
  double left = 0;
  for (i64 dose = fits + 1; dose <= most; ++dose) {
    double& chance = wanted_[static_cast<std::size_t>(dose)];
    left += chance;
    if (line_.use_the_rest && fits > 0) {
      wanted_[static_cast<std::size_t>(dose - fits)] += std::exchange(chance, 0.0);
    }
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
    if (serving.mass.empty() && serving.young.empty() && serving.waiting < held) continue;
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
  const SumLaw& spent = between(cohort.ends - line_.in_use_days);
  if (spent.chance.empty()) return;
  const auto size = cohort.by_used.size() + spent.chance.size() - 1;
  outlast_ = convolved(cohort.by_used, spent.chance);
  const i64 low = cohort.low + spent.least;
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
  serving.mass.widen(young.low, young.high);
  for (i64 used = young.low; used <= young.high; ++used) serving.mass.at(used) += young.at(used);
  young.clear();
}

void Walk::end_day() {
  for (std::size_t i = first_; i < row_.size(); ++i) keep_young(i);
  for (; first_ < row_.size(); ++first_) {
    Serving& serving = row_[first_];
    if (const double left = serving.mass.sum(); left < gone) {
      serving.waiting += left;
      serving.mass.clear();
    }
    if (!serving.mass.empty() || serving.waiting >= held) break;
    serving = {};
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
  return day_ >= marks_.boxes_by_day && (first_ > marks_.all || first_ >= row_.size());
}

RunOut Walk::run(const Stopped& stopped) {
  while (!done() && !is_stopped(stopped)) {
    begin_day();
    const auto& slots = periods_[period_on(periods_, day_)].slots;
    for (std::size_t i = first_dose(line_, day_); i < slots.size(); ++i) take(slots[i]);
    end_day();
  }
  return std::move(out_);
}

}  // namespace

RunOut run_out(const Line& line, const House& house, LocalDay on, const Marks& marks,
               const Stopped& stopped) {
  return Walk(line, house, on, marks).run(stopped);
}

}  // namespace penstock::cover::internal
