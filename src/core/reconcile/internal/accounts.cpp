#include "core/reconcile/internal/accounts.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "core/reconcile/weigh/model.hpp"

namespace penstock::reconcile::internal {
namespace {

using std::chrono::days;
using std::chrono::hours;
using std::chrono::minutes;

double of(Units units) { return static_cast<double>(units.hundredths()) / 100.0; }
Units half(Units units) { return *Units::from_hundredths(units.hundredths() / 2); }

// ---- the diary

auto order_of(const Entry& e) {
  return std::tuple{e.when.at, e.units.hundredths(), e.slot, e.primed ? e.primed->hundredths() : -1,
                    e.cartridge ? static_cast<std::int64_t>(*e.cartridge) : -1};
}
/// The same injection told again: at the same minute, the same amount, the same slot.
bool same(const Entry& a, const Entry& b) {
  const auto minute = [](const Entry& e) {
    return std::chrono::floor<minutes>(e.when.at.time_since_epoch());
  };
  return minute(a) == minute(b) && a.units == b.units && a.slot == b.slot &&
         a.cartridge == b.cartridge;
}

std::vector<Entry> sorted_once(std::vector<Entry> entries, std::int32_t& twice) {
  std::ranges::stable_sort(entries, {}, order_of);
  std::vector<Entry> out;
  out.reserve(entries.size());
  for (auto& entry : entries) {
    const auto again = std::ranges::find_if(out.rbegin(), out.rend(), [&](const Entry& other) {
      return same(entry, other) || other.when.at < entry.when.at - minutes{1};
    });
    if (again != out.rend() && same(entry, *again)) {
      ++twice;
    } else {
      out.push_back(std::move(entry));
    }
  }
  return out;
}

// ---- sums over entries

struct Totals {
  std::int32_t injections = 0;
  Units injected = Units::zero();
  Units recorded = Units::zero();
  Units by_rule = Units::zero();
  double dose_sum = 0, dose_squares = 0;  // with their primes
  int primes = 0;
  double prime_sum = 0, prime_squares = 0;

  Units claimed() const { return sum(injected, sum(recorded, by_rule)); }

  void add(const Entry& entry, Units rule) {
    const bool injection = !entry.units.is_zero();
    const auto prime = entry.primed.value_or(injection ? rule : Units::zero());
    if (entry.primed) {
      recorded = sum(recorded, prime);
    } else {
      by_rule = sum(by_rule, prime);
    }
    if (!prime.is_zero()) {
      ++primes;
      prime_sum += of(prime);
      prime_squares += of(prime) * of(prime);
    }
    if (!injection) return;
    ++injections;
    injected = sum(injected, entry.units);
    const double whole = of(entry.units) + of(prime);
    dose_sum += whole;
    dose_squares += whole * whole;
  }
  static Several several(int count, double total, double squares) {
    if (count == 0) return {};
    const double mean = total / count;
    return {count, mean, std::max(0.0, squares / count - mean * mean)};
  }
  Several doses() const { return several(injections, dose_sum, dose_squares); }
  Several primings() const { return several(primes, prime_sum, prime_squares); }
};

class Bookkeeper {
 public:
  explicit Bookkeeper(const Request& request) : request_(request) {
    entries_ = sorted_once(request.diary, books_.claimed.twice);
    for (const auto& entry : entries_) {
      if (entry.units.is_zero()) continue;
      ++on_day_[entry.when.day()];
      if (in_period(entry.when)) books_.entries.push_back(entry);
      books_.primes_recorded |= entry.primed.has_value();
    }
    counted_.assign(entries_.size(), 0);
    for (const auto& use : request.cartridges)
      first_opened_ = std::min(first_opened_, use.opened.at);
    give_out();
  }

  Books books() {
    dispense();
    if (request_.cartridges.empty()) {
      miss(unknowns::no_cartridges);
      by_supply();
    }
    std::vector<std::size_t> by_time(request_.cartridges.size());
    for (std::size_t i = 0; i < by_time.size(); ++i) by_time[i] = i;
    std::ranges::stable_sort(by_time, {},
                             [&](std::size_t i) { return request_.cartridges[i].opened.at; });
    for (const auto i : by_time) cartridge(i);
    for (std::size_t i = 0; i < entries_.size(); ++i) {
      const bool injection = in_period(entries_[i].when) && !entries_[i].units.is_zero();
      if (injection && counted_[i] == 0) ++books_.claimed.not_compared;
    }
    if (on_day_.empty()) miss(unknowns::no_diary);
    if (books_.claimed.primed_by_rule.hundredths() > 0) miss(unknowns::primes);
    return std::move(books_);
  }

 private:
  bool in_period(const When& when) const {
    return request_.from <= when.day() && when.day() <= request_.until;
  }
  void miss(std::string_view code) {
    if (std::ranges::find(books_.not_known, code) == books_.not_known.end())
      books_.not_known.push_back(code);
  }

  /// Which cartridge each entry came from: as it says, or the one opened last.
  void give_out() {
    from_.assign(entries_.size(), no_cartridge);
    for (std::size_t e = 0; e < entries_.size(); ++e) {
      if (entries_[e].cartridge) {
        from_[e] = *entries_[e].cartridge;
        continue;
      }
      const auto at = entries_[e].when.at;
      for (std::size_t c = 0; c < request_.cartridges.size(); ++c) {
        const auto& use = request_.cartridges[c];
        // The injection that a change was made for, by a clock that was read a little earlier.
        const auto begins = use.opened.at - minutes{change_minutes};
        const bool in_use = begins <= at && (!use.ended || at <= use.ended->at);
        if (in_use &&
            (from_[e] == no_cartridge || request_.cartridges[from_[e]].opened.at <= use.opened.at))
          from_[e] = c;
      }
    }
  }

  // ---- what is known about the time

  bool diary_reaches(const When& from, const When& until, Row& row) const {
    row.why_not = unknowns::no_diary;
    if (on_day_.empty()) return false;
    row.why_not = unknowns::diary_begins;
    if (from.day() + days{1} < on_day_.begin()->first) return false;
    row.why_not = unknowns::hole;
    if (on_day_.rbegin()->first + days{diary_reach_days} < until.day()) return false;
    std::int32_t empty = 0;
    for (auto day = from.day() + days{1}; day < until.day(); day += days{1}) {
      empty = on_day_.contains(day) || doses_on(day) == 0 ? 0 : empty + 1;
      if (empty >= hole_days) return false;
    }
    row.why_not = {};
    return true;
  }
  std::size_t doses_on(LocalDay day) const {
    const auto* ordered = ordered_on(request_, day);
    return ordered == nullptr ? 0 : ordered->doses.size();
  }

  /// Due and not written, on the days whose noon lies in the stretch.
  Several gaps(const When& from, const When& until) const {
    Several out;
    double sum_of = 0, squares = 0;
    for (auto day = from.day(); day <= until.day(); day += days{1}) {
      const When noon{
          Instant{(LocalTime{day} + hours{12}).time_since_epoch() - minutes{from.offset_minutes}},
          from.offset_minutes};
      if (noon.at < from.at || noon.at > until.at) continue;
      const auto* ordered = ordered_on(request_, day);
      if (ordered == nullptr) continue;
      const auto found = on_day_.find(day);
      const auto written = found == on_day_.end() ? 0U : found->second;
      for (std::size_t i = written; i < ordered->doses.size(); ++i) {
        // Which of the day's doses is missing nobody knows: the middle one.
        const double whole = mean_dose(*ordered) + of(request_.prime);
        ++out.count;
        sum_of += whole;
        squares += whole * whole;
      }
    }
    if (out.count == 0) return {};
    out.mean = sum_of / out.count;
    out.variance = std::max(0.0, squares / out.count - out.mean * out.mean);
    return out;
  }
  static double mean_dose(const Ordered& ordered) {
    double total = 0;
    for (const auto dose : ordered.doses)
      total += of(dose) / static_cast<double>(ordered.doses.size());
    return total;
  }
  /// The dose that comes next, with its prime: less than that is left when a cartridge is changed.
  Units need_on(LocalDay day, const Totals& totals) const {
    Units largest = Units::zero();
    if (const auto* ordered = ordered_on(request_, day)) {
      for (const auto dose : ordered->doses) largest = larger(largest, dose);
    }
    if (largest.is_zero() && totals.injections > 0) {
      largest = *Units::from_hundredths(totals.injected.hundredths() / totals.injections);
    }
    return smaller(sum(largest, request_.prime), request_.cartridge);
  }

  /// Entries that are nearly the one before: the same amount in the same slot, some minutes apart.
  /// Each entry is a part of one pair at most.
  Several alike(const std::vector<std::size_t>& among) const {
    Several out;
    double sum_of = 0, squares = 0;
    std::vector<std::uint8_t> paired(among.size(), 0);
    for (std::size_t i = 0; i < among.size(); ++i) {
      const auto& one = entries_[among[i]];
      if (one.units.is_zero() || paired[i] != 0) continue;
      for (std::size_t j = i + 1; j < among.size(); ++j) {
        const auto& other = entries_[among[j]];
        if (other.when.at - one.when.at > minutes{alike_minutes}) break;
        if (other.units != one.units || other.slot != one.slot || paired[j] != 0) continue;
        paired[j] = 1;
        const double whole = of(other.units) + of(other.primed.value_or(request_.prime));
        ++out.count;
        sum_of += whole;
        squares += whole * whole;
        break;
      }
    }
    if (out.count == 0) return {};
    out.mean = sum_of / out.count;
    out.variance = std::max(0.0, squares / out.count - out.mean * out.mean);
    return out;
  }

  // ---- one cartridge

  std::optional<When> ended(std::size_t c) const {
    const auto& use = request_.cartridges[c];
    std::optional<When> end = use.ended;
    // Where nobody said so, it ended when the next one began, unless it went on being used.
    if (end) return end;
    for (const auto& other : request_.cartridges) {
      if (other.opened.at > use.opened.at && (!end || other.opened.at < end->at))
        end = other.opened;
    }
    for (std::size_t e = 0; end && e < entries_.size(); ++e) {
      if (from_[e] == c && entries_[e].when.at > end->at) end.reset();
    }
    return end;
  }

  const Reading* last_reading(const CartridgeUse& use, const std::optional<When>& end) const {
    const Reading* last = nullptr;
    for (const auto& reading : use.readings) {
      if (end && reading.when.at > end->at) continue;
      if (!in_period(reading.when)) continue;
      // One that the diary does not reach is no use.
      if (!on_day_.empty() && on_day_.rbegin()->first + days{diary_reach_days} < reading.when.day())
        continue;
      if (last == nullptr || last->when.at <= reading.when.at) last = &reading;
    }
    return last;
  }

  void cartridge(std::size_t c) {
    const auto& use = request_.cartridges[c];
    Row row;
    row.cartridge = c;
    row.opened = row.until = use.opened;
    row.held = use.held;
    auto end = ended(c);
    if (end && end->day() > request_.until) end.reset();  // in this period it was still in use
    const auto* reading = last_reading(use, end);
    const bool over = end && (use.end == End::period_over ||
                              (use.end == End::not_said &&
                               (end->day() - use.opened.day()).count() >= request_.in_use_days));
    bool used_up = false;
    if (end && use.rest) {
      row.until = *end;
      row.rest = *use.rest;
      row.rest_read = true;
    } else if (end && !over && use.end != End::other) {
      row.until = *end;
      used_up = true;
    } else if (reading != nullptr) {
      row.until = reading->when;
      row.rest = reading->left;
      row.rest_read = true;
    } else {
      row.until = end.value_or(use.opened);
      row.why_not = end ? unknowns::rest : unknowns::still_in_use;
    }
    const auto last = end.value_or(row.until);
    if (last.day() < request_.from || use.opened.day() > request_.until) return;
    if (row.why_not.empty() && diary_reaches(row.opened, row.until, row))
      compare(row, use, used_up);
    if (!row.why_not.empty()) miss(row.why_not);
    books_.rows.push_back(row);
  }

  Totals totals_of(std::size_t c, const When& until) const {
    Totals totals;
    bool first = request_.cartridges[c].was_new;
    for (std::size_t e = 0; e < entries_.size(); ++e) {
      if (from_[e] != c || entries_[e].when.at > until.at) continue;
      totals.add(entries_[e], first ? request_.new_cartridge_prime : request_.prime);
      if (!entries_[e].units.is_zero()) first = false;
    }
    return totals;
  }

  void compare(Row& row, const CartridgeUse& use, bool used_up) {
    if (row.rest > row.held) {
      row.why_not = unknowns::more_read;
      return;
    }
    const auto totals = totals_of(row.cartridge, row.until);
    if (std::max(totals.injections, gaps(row.opened, row.until).count) > limits::injections_most) {
      row.why_not = unknowns::too_many;
      return;
    }
    std::vector<std::size_t> mine;
    for (std::size_t e = 0; e < entries_.size(); ++e) {
      if (from_[e] != row.cartridge || entries_[e].when.at > row.until.at) continue;
      counted_[e] = 1;
      mine.push_back(e);
    }
    const auto need = smaller(need_on(row.until.day(), totals), use.held);
    if (used_up) row.rest = half(need);
    auto stretch = stretch_of(row, totals, mine);
    stretch.read = !used_up;
    stretch.need = of(need);
    stretch.may_be_early = used_up;
    stretch.begins_at_change = use.opened.at > first_opened_;
    stretch.ends_at_change = use.ended && row.until.at == use.ended->at;
    if (use.was_new && stretch.begins_at_change) stretch.completed = of(need);
    const double unit = stretch.reading_unit;
    const double begins = use.was_new ? content_sd * unit : reading_sd * unit;
    const double ends = used_up ? 0.0 : reading_sd * unit;
    const double first = use.was_new ? first_prime_share * of(request_.new_cartridge_prime) : 0.0;
    stretch.sd = std::sqrt(stretch.sd * stretch.sd + begins * begins + ends * ends + first * first);
    keep(row, totals, stretch);
  }

  Stretch stretch_of(Row& row, const Totals& totals, const std::vector<std::size_t>& mine) {
    Stretch out;
    row.left = difference(row.held, row.rest);
    row.claimed = totals.claimed();
    row.difference_hundredths = row.left.hundredths() - row.claimed.hundredths();
    out.expected = of(row.held) - of(row.claimed);
    out.level = of(row.rest);
    out.claimed = of(row.claimed);
    out.content = of(request_.cartridge);
    out.reading_unit = static_cast<double>(request_.strength.units_per_ml) / 100.0;
    out.doses = totals.doses();
    out.primes = totals.primings();
    out.gaps = gaps(row.opened, row.until);
    out.alike = alike(mine);
    out.rule_prime = of(request_.prime);
    const double prime = out.rule_prime, n = totals.injections;
    const double habit = prime_habit_share * prime * n;
    const double typing = typing_variance * out.reading_unit * out.reading_unit;
    out.sd = std::sqrt((prime_variance_share * prime * prime + typing) * n + habit * habit);
    return out;
  }

  void keep(Row& row, const Totals& totals, Stretch stretch) {
    stretch.row = books_.rows.size();
    auto& left = books_.left;
    ++left.cartridges;
    left.held = sum(left.held, row.held);
    (row.rest_read ? left.rest_read : left.rest_assumed) =
        sum(row.rest_read ? left.rest_read : left.rest_assumed, row.rest);
    left.left = sum(left.left, row.left);
    auto& claimed = books_.claimed;
    claimed.injections += totals.injections;
    claimed.injected = sum(claimed.injected, totals.injected);
    claimed.primed_recorded = sum(claimed.primed_recorded, totals.recorded);
    claimed.primed_by_rule = sum(claimed.primed_by_rule, totals.by_rule);
    claimed.claimed = sum(claimed.claimed, row.claimed);
    claimed.gaps += stretch.gaps.count;
    claimed.alike += stretch.alike.count;
    books_.stretches.push_back(stretch);
  }

  // ---- dispensed

  /// From the count before the period, or from where all began, to the last count in it.
  void dispense() {
    auto& out = books_.dispensed;
    const SealedCount *first = nullptr, *last = nullptr;
    auto counts = request_.sealed_counts;
    std::ranges::stable_sort(counts, {}, [](const SealedCount& count) { return count.when.at; });
    for (const auto& count : counts) {
      if (count.when.day() > request_.until) continue;
      if (first == nullptr || count.when.day() < request_.from) first = &count;
      last = &count;
    }
    std::optional<When> begin;
    for (const auto& given : request_.dispensed) {
      if (!begin || given.when.at < begin->at) begin = given.when;
    }
    const bool from_beginning = request_.sealed_before && begin &&
                                (first == nullptr || first->when.day() >= request_.from) &&
                                (!last || begin->at < last->when.at);
    if (last == nullptr || (!from_beginning && (first == nullptr || first == last)))
      return miss(unknowns::no_count);
    out.known = true;
    out.from = from_beginning ? *begin : first->when;
    out.until = last->when;
    out.before = from_beginning ? *request_.sealed_before : first->cartridges;
    const auto within = [&](const When& when) {
      return (from_beginning ? when.at >= out.from.at : when.at > out.from.at) &&
             when.at <= out.until.at;
    };
    for (const auto& given : request_.dispensed) {
      if (within(given.when)) out.given += given.cartridges;
    }
    out.after = last->cartridges;
    out.used = out.before + out.given - out.after;
    for (const auto& use : request_.cartridges) {
      if (use.was_new && within(use.opened)) ++out.opened;
    }
    out.missing = out.used - out.opened;
  }

  /// Nobody recorded a change: what left the sealed stock is held against the whole diary. How full
  /// the one in use was at either end is not known: anything. Each one that was used up had a rest.
  void by_supply() {
    const auto& given = books_.dispensed;
    if (!given.known || given.used <= 0) return;
    Row row;
    row.by_supply = true;
    row.opened = given.from;
    row.until = given.until;
    Totals totals;
    for (std::size_t e = 0; e < entries_.size(); ++e) {
      const auto at = entries_[e].when.at;
      if (at < row.opened.at || at > row.until.at) continue;
      totals.add(entries_[e], request_.prime);
    }
    const bool reached = diary_reaches(row.opened, row.until, row);
    if (reached && std::max(totals.injections, gaps(row.opened, row.until).count) >
                       limits::injections_most * given.used)
      row.why_not = unknowns::too_many;
    if (!row.why_not.empty()) {
      miss(row.why_not);
      books_.rows.push_back(row);
      return;
    }
    std::vector<std::size_t> mine;
    for (std::size_t e = 0; e < entries_.size(); ++e) {
      const auto at = entries_[e].when.at;
      if (at < row.opened.at || at > row.until.at) continue;
      counted_[e] = 1;
      mine.push_back(e);
    }
    // Beginning with the first dispensing nothing was in use; beginning with a count, half a one.
    const bool began_empty = given.before == 0 && request_.sealed_before.has_value();
    const auto each = request_.cartridge.hundredths();
    const auto need = need_on(row.until.day(), totals);
    const auto rests = (given.used - 1) * need.hundredths() / 2;
    row.held = *Units::from_hundredths(
        std::max<std::int64_t>(0, given.used * each + (began_empty ? 0 : each / 2) - rests));
    row.rest = half(request_.cartridge);
    auto stretch = stretch_of(row, totals, mine);
    stretch.need = of(request_.cartridge);
    const auto changes = static_cast<double>(given.used);
    const double rest = of(need), start = began_empty ? 0.0 : of(request_.cartridge);
    const double first = first_prime_share * of(request_.new_cartridge_prime);
    // A level anywhere between nothing and full has a variance of a twelfth of its square.
    stretch.sd = std::sqrt(stretch.sd * stretch.sd + start * start / 12 +
                           changes * (rest * rest / 12 + first * first + content_sd * content_sd));
    keep(row, totals, stretch);
    books_.rows.push_back(row);
  }

  static constexpr std::size_t no_cartridge = static_cast<std::size_t>(-1);

  const Request& request_;
  Books books_;
  std::vector<Entry> entries_;
  std::vector<std::size_t> from_;      // the cartridge of each entry
  std::vector<std::uint8_t> counted_;  // whether a comparison holds it
  std::map<LocalDay, std::size_t> on_day_;
  Instant first_opened_ = Instant::max();
};

}  // namespace

const Ordered* ordered_on(const Request& request, LocalDay day) {
  const Ordered* found = request.ordered.empty() ? nullptr : &request.ordered.front();
  for (const auto& ordered : request.ordered) {
    if (ordered.from <= day) found = &ordered;
  }
  return found;
}

Books books_of(const Request& request) { return Bookkeeper(request).books(); }

}  // namespace penstock::reconcile::internal
