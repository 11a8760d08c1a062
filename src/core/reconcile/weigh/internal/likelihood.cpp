#include "core/reconcile/weigh/internal/likelihood.hpp"

#include <algorithm>
#include <cmath>

#include "core/reconcile/weigh/model.hpp"

namespace penstock::reconcile::internal {
namespace {

constexpr double reach = 8;        // standard deviations of the table beyond what can be read
constexpr double cells_in_sd = 8;  // places in one of them
constexpr double primes_in_cartridge_most = 400;

/// A level anywhere between zero and `width`, read with an error.
double box(double level, double width, double sd) {
  if (width <= sd / 100) return normal_density(level, sd);
  return (normal_below(level, sd) - normal_below(level - width, sd)) / width;
}

double density(const Stretch& s, double extra) {
  const double level = s.expected - extra;  // what is in it at the end
  if (s.read) return normal_density(s.level - level, s.sd);
  const double late = early_change_units * s.reading_unit;
  return (1 - early_change_share) * box(level, s.need, s.sd) +
         early_change_share * box(level, s.need + late, s.sd);
}

/// j of n things of nearly one size, drawn without putting back: the spread of their sum.
double sd_of_sum(int j, const Several& things) {
  if (things.count < 2) return 0;
  const double n = things.count;
  return std::sqrt(things.variance * j * (n - j) / (n - 1));
}

/// How many numbers have to be looked at: those that any rate makes likely at all.
template <std::size_t N>
Support counted(const Several& things, const std::array<double, N>& rates, double sign) {
  Support out;
  if (things.count == 0) return out;
  for (const auto rate : rates) out.weights.push_back(binomial(things.count, rate));
  for (int j = 0; j <= things.count; ++j) {
    out.effect.push_back(sign * j * things.mean);
    out.sd.push_back(sd_of_sum(j, things));
  }
  return out;
}

}  // namespace

Table Table::of(const Stretch& s) {
  Table out = Table(s);
  if (s.completed > 0) out = out.moved(completed_moves(s));
  if (s.doses.count > 0) out = out.moved(late_change_moves(s));
  if (s.gaps.count > 0) out = out.moved(gap_moves(s));
  if (s.doses.count > 0) out = out.moved(slip_moves(s));
  return out;
}

Table::Table(const Stretch& s) {
  floor_ = slip_density;
  const double step = s.sd / cells_in_sd;
  per_unit_ = 1 / step;
  const double widest = s.read ? 0 : s.need + early_change_units * s.reading_unit;
  const double middle = s.read ? s.expected - s.level : s.expected;
  start_ = middle - widest - reach * s.sd;
  const auto count = static_cast<std::size_t>(std::ceil((widest + 2 * reach * s.sd) / step)) + 1;
  values_.resize(count);
  for (std::size_t i = 0; i < count; ++i) {
    values_[i] = std::max(floor_, density(s, start_ + step * static_cast<double>(i)));
  }
  last_ = static_cast<double>(count - 1);
}

Table Table::moved(const Moves& moves) const {
  const auto& [by, weights] = moves;
  Table out;
  out.floor_ = floor_;
  out.per_unit_ = per_unit_;
  const auto [least, most] = std::ranges::minmax(by);
  out.start_ = start_ - most;
  const auto count =
      static_cast<std::size_t>(std::ceil((high() - least - out.start_) * per_unit_)) + 1;
  out.values_.assign(count, 0);
  out.last_ = static_cast<double>(count - 1);
  for (std::size_t i = 0; i < count; ++i) {
    const double extra = out.start_ + static_cast<double>(i) / per_unit_;
    for (std::size_t m = 0; m < by.size(); ++m) out.values_[i] += weights[m] * at(extra + by[m]);
  }
  return out;
}

double Support::sd_most() const { return *std::ranges::max_element(sd); }

std::pair<std::size_t, std::size_t> Support::within(double low, double high) const {
  const bool down = effect.back() < 0;
  const auto less = [&](double one, double limit) { return down ? one > limit : one < limit; };
  const auto begin = std::ranges::lower_bound(effect, down ? high : low, less);
  const auto end = std::ranges::lower_bound(begin, effect.end(), down ? low : high, less);
  return {static_cast<std::size_t>(begin - effect.begin()),
          static_cast<std::size_t>(end - effect.begin())};
}

Support doses_support(const Stretch& s, Mechanism which) {
  return counted(s.doses, dose_shares, which == Mechanism::missed_doses ? -1 : 1);
}
Support primes_support(const Stretch& s) { return counted(s.primes, left_out_shares, -1); }
Support gaps_support(const Stretch& s) { return counted(s.gaps, gap_shares, 1); }
Support alike_support(const Stretch& s) { return counted(s.alike, alike_shares, -1); }

Support extra_support(const Stretch& s) {
  Support out;
  // Primes so small that a cartridge has hundreds of them are lost among the readings.
  if (s.doses.count == 0 || s.rule_prime * primes_in_cartridge_most < s.content) return out;
  std::size_t most = 0;
  for (const auto rate : extra_primes) {
    out.weights.push_back(negative_binomial(rate * s.doses.count, extra_primes_spread));
    most = std::max(most, out.weights.back().size());
  }
  // More than a whole cartridge cannot have gone into the air.
  const auto fits = static_cast<std::size_t>(s.content / s.rule_prime) + 1;
  most = std::min(most, fits);
  for (auto& weights : out.weights) weights.resize(most, 0.0);
  for (std::size_t j = 0; j < most; ++j) {
    out.effect.push_back(s.rule_prime * static_cast<double>(j));
    out.sd.push_back(0);
  }
  return out;
}

Support early_support(const Stretch& s) {
  Support out;
  if (!s.may_be_early) return out;
  const double cell = early_rest_most * s.content / static_cast<double>(early_cells);
  out.effect.push_back(0);
  out.sd.push_back(0);
  for (std::size_t i = 0; i < early_cells; ++i) {
    out.effect.push_back(cell * (static_cast<double>(i) + 0.5));
    out.sd.push_back(cell / std::sqrt(12.0));
  }
  for (const auto share : early_shares) {
    Pmf weights(early_cells + 1, share / static_cast<double>(early_cells));
    weights.front() = 1 - share;
    out.weights.push_back(std::move(weights));
  }
  return out;
}

Moves completed_moves(const Stretch& s) {
  constexpr int parts = 6;
  Moves out{{0}, {1 - completed_share}};
  for (int i = 0; i < parts; ++i) {
    out.by.push_back(-s.completed * (i + 0.5) / parts);
    out.weights.push_back(completed_share / parts);
  }
  return out;
}

Moves late_change_moves(const Stretch& s) {
  const double begin = s.begins_at_change ? late_change_share : 0;
  const double end = s.ends_at_change ? late_change_share : 0;
  // Begun earlier than it says: one injection of its own stands in the one before, and so on.
  return {{0, s.doses.mean, -s.doses.mean}, {1 - begin - end, begin, end}};
}

Moves gap_moves(const Stretch& s) {
  Moves out;
  const double due = s.doses.count + s.gaps.count;
  const auto given =
      binomial(s.gaps.count, std::min(slip_gap, slip_unwritten * due / s.gaps.count));
  for (std::size_t j = 0; j < given.size() && (j == 0 || given[j] > slip_density); ++j) {
    out.by.push_back(static_cast<double>(j) * s.gaps.mean);
    out.weights.push_back(given[j]);
  }
  return out;
}

Moves slip_moves(const Stretch& s) {
  const double missed = std::min(0.2, slip_missed * s.doses.count);
  const double twice = std::min(0.1, slip_double * s.doses.count);
  return {{0, -s.doses.mean, s.doses.mean}, {1 - missed - twice, missed, twice}};
}

Moves change_moves(const Stretch& s) {
  constexpr int parts = 6;
  Moves out;
  for (int i = 0; i < parts; ++i) {
    out.by.push_back(-s.content + s.need * (i + 0.5) / parts);
    out.weights.push_back(1.0 / parts);
  }
  return out;
}

Moves misread_moves(const Stretch& s) {
  Moves out;
  double weight = 1, total = 0;
  for (int line = 1; line <= misread_lines; ++line, weight *= misread_falls) {
    for (const auto sign : {-1.0, 1.0}) {
      out.by.push_back(sign * line * misread_line_units * s.reading_unit);
      out.weights.push_back(weight);
      total += weight;
    }
  }
  for (auto& one : out.weights) one /= total;
  return out;
}

}  // namespace penstock::reconcile::internal
