#include "core/reconcile/weigh/weigh.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <utility>

#include "core/reconcile/weigh/grid.hpp"
#include "core/reconcile/weigh/internal/likelihood.hpp"
#include "core/reconcile/weigh/model.hpp"

namespace penstock::reconcile {
namespace {

using namespace internal;

constexpr double impossible = -std::numeric_limits<double>::infinity();

std::size_t place(Mechanism which) { return static_cast<std::size_t>(which); }

/// log of a sum of exponentials.
double log_sum(const std::vector<double>& logs) {
  const double most = *std::ranges::max_element(logs);
  if (most == impossible) return impossible;
  double total = 0;
  for (const auto one : logs) total += std::exp(one - most);
  return most + std::log(total);
}

/// How likely a count of sealed cartridges is, so many off.
double off_by(std::int64_t off) {
  const auto size = static_cast<std::size_t>(off < 0 ? -off : off);
  return size < miscount.size() ? miscount[size] : miscount_else;
}

/// What is known of one comparison under one hypothesis: as it is, with an unrecorded change in it,
/// with its reading misread.
struct Three {
  double plain = 0, changed = 0, misread = 0;
};

/// A mechanism that touches every comparison with the same, unknown rate.
struct Rated {
  Mechanism which;
  std::vector<Support> supports;           // by comparison; empty: it cannot touch it
  std::vector<std::vector<Three>> values;  // by comparison, by number
  std::size_t rates = 0;
  std::vector<double> log_plain, log_changed, log_misread;  // by rate, all comparisons together
};

class Weigher {
 public:
  Weigher(std::span<const Stretch> stretches, std::optional<std::int64_t> missing, double content,
          const Stopped& stopped)
      : stretches_(stretches), missing_(missing), content_(content), stopped_(stopped) {
    for (const auto& stretch : stretches_) {
      plain_.push_back(Table::of(stretch));
      changed_.push_back(plain_.back().moved(change_moves(stretch)));
      // A rest that nobody read cannot be misread.
      misread_.push_back(stretch.read ? plain_.back().moved(misread_moves(stretch)) : Table());
      readings_ += stretch.read ? 1 : 0;
    }
    for (const auto& prior : priors) out_.found[place(prior.which)].which = prior.which;
  }

  Weighed weigh() {
    out_.looked = !stretches_.empty() || missing_.has_value();
    nothing();
    events();
    for (const auto which :
         {Mechanism::missed_doses, Mechanism::double_doses, Mechanism::primes_left_out,
          Mechanism::extra_priming, Mechanism::cartridge_thrown_early, Mechanism::not_written,
          Mechanism::entered_twice}) {
      if (which != Mechanism::not_written || gaps_matter()) rated(which);
    }
    for (std::size_t a = 0; a < rated_.size(); ++a) {
      for (std::size_t b = a + 1; b < rated_.size(); ++b) pair(rated_[a], rated_[b]);
    }
    if (is_stopped(stopped_)) return std::move(out_);
    unknown();
    posterior();
    for (const auto& one : rated_) intervals(one);
    if (is_stopped(stopped_)) return std::move(out_);
    event_intervals();
    readable();
    return std::move(out_);
  }

 private:
  Three at(std::size_t k, double effect, double sd) const {
    Three out;
    out.plain = plain_[k].at(effect, sd);
    out.changed = changed_[k].at(effect, sd);
    if (stretches_[k].read) out.misread = misread_[k].at(effect, sd);
    return out;
  }

  bool gaps_matter() const {
    double hidden = 0, claimed = 0;
    for (const auto& stretch : stretches_) {
      hidden += stretch.gaps.count * stretch.gaps.mean;
      claimed += stretch.claimed;
    }
    return hidden >= material_share * claimed;
  }

  // ---- hypotheses

  void add(std::optional<Mechanism> a, std::optional<Mechanism> b, double log_evidence) {
    double odds = 1;
    for (const auto& which : {a, b}) {
      if (!which) continue;
      odds *= inclusion(*which) / (1 - inclusion(*which));
      out_.found[place(*which)].possible = true;
    }
    out_.hypotheses.push_back({a, b, odds, log_evidence, 0});
  }
  /// With and without a lost cartridge: what was counted says how many are missing.
  void add_counted(std::optional<Mechanism> which, double log_evidence) {
    add(which, std::nullopt, log_evidence + std::log(counted(0, 0)));
    if (!missing_) return;
    const double lost = log_evidence + std::log(counted(1, 0));
    if (which) {
      add(which, Mechanism::cartridge_lost, lost);
    } else {
      add(Mechanism::cartridge_lost, std::nullopt, lost);
    }
  }
  /// `lost`: whether any was; `changes` that were not recorded.
  double counted(int lost, std::int64_t changes) const {
    if (!missing_) return 1;
    if (lost == 0) return off_by(*missing_ - changes);
    double total = 0;
    double weight = 1 - one_more_lost;
    for (int count = 1; count <= lost_most; ++count, weight *= one_more_lost)
      total += weight * off_by(*missing_ - changes - count);
    return total;
  }

  /// The chance of the comparisons with one or two events among `slots` places, over that without,
  /// from the ratio at each place.
  struct Events {
    double one = 0, two = 0;
  };
  static Events events_of(const std::vector<double>& ratios) {
    Events out;
    double total = 0, squares = 0;
    for (const auto ratio : ratios) {
      total += ratio;
      squares += ratio * ratio;
    }
    const auto n = static_cast<double>(ratios.size());
    if (n >= 1) out.one = total / n;
    if (n >= 2) out.two = (total * total - squares) / (n * (n - 1));
    return out;
  }
  double log_change(const std::vector<Three>& all, int lost) const {
    std::vector<double> ratios;
    for (const auto& one : all) ratios.push_back(one.changed / one.plain);
    const auto events = events_of(ratios);
    const double single = ratios.size() < 2 ? 1 : one_event;
    return std::log(single * events.one * counted(lost, 1) +
                    (1 - single) * events.two * counted(lost, 2));
  }
  double log_misread(const std::vector<Three>& all) const {
    std::vector<double> ratios;
    for (std::size_t k = 0; k < all.size(); ++k) {
      if (stretches_[k].read) ratios.push_back(all[k].misread / all[k].plain);
    }
    const auto events = events_of(ratios);
    const double single = ratios.size() < 2 ? 1 : one_event;
    return std::log(single * events.one + (1 - single) * events.two);
  }
  static double log_plain(const std::vector<Three>& all) {
    double total = 0;
    for (const auto& one : all) total += std::log(one.plain);
    return total;
  }

  void nothing() {
    for (std::size_t k = 0; k < stretches_.size(); ++k) nothing_.push_back(at(k, 0, 0));
    add_counted(std::nullopt, log_plain(nothing_));
  }
  void events() {
    if (stretches_.empty()) return;
    const double plain = log_plain(nothing_);
    add(Mechanism::change_not_recorded, std::nullopt, plain + log_change(nothing_, 0));
    if (missing_) {
      add(Mechanism::change_not_recorded, Mechanism::cartridge_lost,
          plain + log_change(nothing_, 1));
    }
    if (readings_ > 0) add_counted(Mechanism::scale_misread, plain + log_misread(nothing_));
  }

  static Support support_of(const Stretch& stretch, Mechanism which) {
    switch (which) {
      case Mechanism::missed_doses:
      case Mechanism::double_doses:
        return doses_support(stretch, which);
      case Mechanism::primes_left_out:
        return primes_support(stretch);
      case Mechanism::extra_priming:
        return extra_support(stretch);
      case Mechanism::cartridge_thrown_early:
        return early_support(stretch);
      case Mechanism::entered_twice:
        return alike_support(stretch);
      default:
        return gaps_support(stretch);
    }
  }

  /// What the comparison is under each rate of a mechanism.
  Three under(const Rated& one, std::size_t k, std::size_t rate) const {
    const auto& support = one.supports[k];
    if (support.weights.empty()) return nothing_[k];
    Three out;
    const auto& weights = support.weights[rate];
    for (std::size_t i = 0; i < support.effect.size(); ++i) {
      out.plain += weights[i] * one.values[k][i].plain;
      out.changed += weights[i] * one.values[k][i].changed;
      out.misread += weights[i] * one.values[k][i].misread;
    }
    // A weight that underflowed everywhere leaves the slip of the pen.
    out.plain = std::max(out.plain, slip_density);
    return out;
  }

  void rated(Mechanism which) {
    Rated one;
    one.which = which;
    for (std::size_t k = 0; k < stretches_.size(); ++k) {
      auto support = support_of(stretches_[k], which);
      one.rates = std::max(one.rates, support.weights.size());
      auto& values = one.values.emplace_back();
      for (std::size_t i = 0; i < support.effect.size(); ++i)
        values.push_back(at(k, support.effect[i], support.sd[i]));
      one.supports.push_back(std::move(support));
    }
    if (one.rates == 0) return;
    std::vector<double> changed, changed_lost, misread;
    const double each = std::log(static_cast<double>(one.rates));
    for (std::size_t rate = 0; rate < one.rates; ++rate) {
      if (is_stopped(stopped_)) return;
      std::vector<Three> all;
      for (std::size_t k = 0; k < stretches_.size(); ++k) all.push_back(under(one, k, rate));
      const double plain = log_plain(all) - each;
      one.log_plain.push_back(plain);
      changed.push_back(plain + log_change(all, 0));
      changed_lost.push_back(plain + log_change(all, 1));
      misread.push_back(plain + log_misread(all));
    }
    add_counted(which, log_sum(one.log_plain));
    add(which, Mechanism::change_not_recorded, log_sum(changed));
    if (readings_ > 0) {
      add(which, Mechanism::scale_misread, log_sum(misread) + std::log(counted(0, 0)));
    }
    rated_.push_back(std::move(one));
  }

  /// Both at once: every number of the one with every number of the other.
  void pair(const Rated& a, const Rated& b) {
    std::vector<double> logs(a.rates * b.rates, 0.0);
    std::vector<double> product(a.rates * b.rates), inner;
    for (std::size_t k = 0; k < stretches_.size(); ++k) {
      if (is_stopped(stopped_)) return;
      const auto& first = a.supports[k];
      const auto& second = b.supports[k];
      if (first.weights.empty() || second.weights.empty()) {
        for (std::size_t i = 0; i < a.rates; ++i) {
          for (std::size_t j = 0; j < b.rates; ++j) {
            product[i * b.rates + j] =
                first.weights.empty() ? under(b, k, j).plain : under(a, k, i).plain;
          }
        }
      } else {
        both(k, first, second, product, inner);
      }
      for (std::size_t i = 0; i < logs.size(); ++i)
        logs[i] += std::log(std::max(product[i], slip_density));
    }
    const double each = std::log(static_cast<double>(logs.size()));
    add(a.which, b.which, log_sum(logs) - each + std::log(counted(0, 0)));
  }

  /// Beyond the table all is the slip of the pen: only what lies above it is added up.
  void both(std::size_t k, const Support& first, const Support& second,
            std::vector<double>& product, std::vector<double>& inner) const {
    const auto rows = first.effect.size(), seconds = second.weights.size();
    const auto& table = plain_[k];
    const double wide = 2 * (first.sd_most() + second.sd_most());
    inner.assign(rows * seconds, 0.0);
    std::vector<double> above(second.effect.size());
    for (std::size_t i = 0; i < rows; ++i) {
      const auto [begin, end] = second.within(table.low() - wide - first.effect[i],
                                              table.high() + wide - first.effect[i]);
      for (auto j = begin; j < end; ++j) {
        const double sd = std::sqrt(first.sd[i] * first.sd[i] + second.sd[j] * second.sd[j]);
        above[j] = table.at(first.effect[i] + second.effect[j], sd) - slip_density;
      }
      for (std::size_t rate = 0; rate < seconds; ++rate) {
        const auto& weights = second.weights[rate];
        double total = 0;
        for (auto j = begin; j < end; ++j) total += weights[j] * above[j];
        inner[i * seconds + rate] = total;
      }
    }
    std::ranges::fill(product, slip_density);
    for (std::size_t rate = 0; rate < first.weights.size(); ++rate) {
      const auto& weights = first.weights[rate];
      for (std::size_t i = 0; i < rows; ++i) {
        for (std::size_t j = 0; j < seconds; ++j)
          product[rate * seconds + j] += weights[i] * inner[i * seconds + j];
      }
    }
  }

  void unknown() {
    if (stretches_.empty()) return;
    for (const auto share : unknown_shares) {
      for (const auto sign : {-1.0, 1.0}) {
        double total = -std::log(2.0 * static_cast<double>(unknown_shares.size()));
        for (std::size_t k = 0; k < stretches_.size(); ++k) {
          const double effect = sign * share * stretches_[k].claimed;
          total += std::log(plain_[k].at(effect, unknown_uneven * std::abs(effect)));
        }
        unknown_logs_.push_back(total);
      }
    }
    add(Mechanism::unknown, std::nullopt, log_sum(unknown_logs_) + std::log(counted(0, 0)));
  }

  void posterior() {
    double odds = 0, most = impossible;
    for (const auto& one : out_.hypotheses) {
      odds += one.prior;
      most = std::max(most, one.log_evidence);
    }
    double total = 0;
    for (auto& one : out_.hypotheses) {
      one.prior /= odds;
      one.posterior = one.prior * std::exp(one.log_evidence - most);
      total += one.posterior;
    }
    out_.none = 0;
    for (auto& one : out_.hypotheses) {
      one.posterior /= total;
      if (!one.first) out_.none += one.posterior;
      const auto counts = [](std::optional<Mechanism> which) {
        return which && *which != Mechanism::scale_misread;
      };
      if (counts(one.first) || counts(one.second)) out_.finding += one.posterior;
      for (const auto& which : {one.first, one.second}) {
        if (!which) continue;
        out_.found[place(*which)].probability += one.posterior;
        out_.found[place(*which)].prior += one.prior;
      }
    }
  }

  // ---- intervals, of each as if it alone had done it

  void intervals(const Rated& one) {
    double most = 0;
    for (const auto& support : one.supports) {
      if (!support.effect.empty()) most += std::abs(support.effect.back());
    }
    Line units, count;
    const double log_all = log_sum(one.log_plain);
    for (std::size_t rate = 0; rate < one.rates; ++rate) {
      if (is_stopped(stopped_)) return;
      const double weight = std::exp(one.log_plain[rate] - log_all);
      if (weight < weight_least) continue;
      Sum units_sum(0, most, units_cells, unit_step), count_sum(0, 1, 1, 1.0);
      for (std::size_t k = 0; k < stretches_.size(); ++k)
        touched(one, k, rate, units_sum, count_sum);
      merge(units, units_sum.line(), weight);
      merge(count, count_sum.line(), weight);
    }
    auto& found = out_.found[place(one.which)];
    found.units = shortest(units, interval_share);
    found.count = shortest(count, interval_share);
  }

  void touched(const Rated& one, std::size_t k, std::size_t rate, Sum& units, Sum& count) const {
    const auto& support = one.supports[k];
    if (support.weights.empty()) return;
    std::vector<double> sizes, numbers, masses;
    double most = 0;
    for (std::size_t i = 0; i < support.effect.size(); ++i) {
      masses.push_back(support.weights[rate][i] * one.values[k][i].plain);
      most = std::max(most, masses.back());
      sizes.push_back(std::abs(support.effect[i]));
      const bool cartridge = one.which == Mechanism::cartridge_thrown_early;
      numbers.push_back(cartridge ? (i > 0 ? 1.0 : 0.0) : static_cast<double>(i));
    }
    // What is a millionth as likely as the likeliest changes no interval.
    while (masses.size() > 1 && masses.back() < most * 1e-6) {
      masses.pop_back();
      sizes.pop_back();
      numbers.pop_back();
    }
    units.add(sizes, masses);
    count.add(numbers, masses);
  }

  static void merge(Line& into, const Line& from, double weight) {
    double total = 0;
    for (const auto mass : from.mass) total += mass;
    if (total <= 0) return;
    if (into.mass.empty()) {
      into = from;
      for (auto& mass : into.mass) mass *= weight / total;
      return;
    }
    if (into.mass.size() < from.mass.size()) into.mass.resize(from.mass.size(), 0.0);
    for (std::size_t i = 0; i < from.mass.size(); ++i)
      into.mass[i] += from.mass[i] * weight / total;
  }

  void event_intervals() {
    auto& lost = out_.found[place(Mechanism::cartridge_lost)];
    if (missing_) {
      Line line{1, 1, {}};
      double weight = 1 - one_more_lost;
      for (int count = 1; count <= lost_most; ++count, weight *= one_more_lost)
        line.mass.push_back(weight * off_by(*missing_ - count));
      lost.count = shortest(line, interval_share);
      lost.units = {lost.count.low * content_, lost.count.high * content_};
    }
    if (stretches_.empty()) return;
    changes();
    misreadings();
    unknown_interval();
  }
  void unknown_interval() {
    double claimed = 0;
    for (const auto& stretch : stretches_) claimed += stretch.claimed;
    const double all = log_sum(unknown_logs_);
    std::vector<std::pair<double, double>> likeliest;  // mass, share
    for (std::size_t i = 0; i < unknown_logs_.size(); ++i)
      likeliest.emplace_back(std::exp(unknown_logs_[i] - all), unknown_shares[i / 2]);
    std::ranges::sort(likeliest, std::greater<>());
    auto& found = out_.found[place(Mechanism::unknown)];
    found.units = {claimed, 0};
    double inside = 0;
    for (const auto& [mass, share] : likeliest) {
      found.units.low = std::min(found.units.low, share * claimed);
      found.units.high = std::max(found.units.high, share * claimed);
      if ((inside += mass) >= interval_share) break;
    }
  }
  void changes() {
    std::vector<double> ratios;
    for (const auto& one : nothing_) ratios.push_back(one.changed / one.plain);
    const auto events = events_of(ratios);
    const double single = ratios.size() < 2 ? 1 : one_event;
    const Line line{
        1, 1, {single * events.one * counted(0, 1), (1 - single) * events.two * counted(0, 2)}};
    auto& found = out_.found[place(Mechanism::change_not_recorded)];
    found.count = shortest(line, interval_share);
    found.units = {found.count.low * content_, found.count.high * content_};
  }
  void misreadings() {
    if (readings_ == 0) return;
    std::vector<double> ratios;
    Line sizes{misread_line_units * stretches_.front().reading_unit,
               misread_line_units * stretches_.front().reading_unit,
               std::vector<double>(misread_lines, 0.0)};
    for (std::size_t k = 0; k < stretches_.size(); ++k) {
      if (!stretches_[k].read) continue;
      ratios.push_back(nothing_[k].misread / nothing_[k].plain);
      const auto moves = misread_moves(stretches_[k]);
      for (std::size_t i = 0; i < moves.by.size(); ++i)
        sizes.mass[i / 2] += moves.weights[i] * plain_[k].at(moves.by[i]) / nothing_[k].plain;
    }
    const auto events = events_of(ratios);
    const double single = ratios.size() < 2 ? 1 : one_event;
    auto& found = out_.found[place(Mechanism::scale_misread)];
    found.count =
        shortest({1, 1, {single * events.one, (1 - single) * events.two}}, interval_share);
    found.units = shortest(sizes, interval_share);
  }

  /// Left less claimed, by what can be read: each comparison's likelihood, flat before.
  void readable() {
    double widest = 0;
    for (const auto& table : plain_) widest += table.high() - table.low();
    Sum all(0, widest, units_cells, unit_step);
    for (const auto& table : plain_) {
      Line line{table.low(), table.step(), {}};
      std::vector<double> places;
      for (std::size_t i = 0; i < table.size(); ++i) {
        line.mass.push_back(table.value(i) - slip_density);
        places.push_back(line.start + line.step * static_cast<double>(i));
      }
      out_.rows.push_back(shortest(line, interval_share));
      double total = 0;
      for (const auto mass : line.mass) total += mass;
      for (auto& mass : line.mass) mass /= total;
      all.add(places, line.mass);
    }
    if (!plain_.empty()) out_.units = shortest(all.line(), interval_share);
  }

  static constexpr double weight_least = 0.01;  // a rate that is less likely moves no interval
  static constexpr std::size_t units_cells = 512;
  static constexpr double unit_step = 1.0;

  std::span<const Stretch> stretches_;
  std::optional<std::int64_t> missing_;
  double content_;
  const Stopped& stopped_;
  std::vector<Table> plain_, changed_, misread_;
  std::vector<Three> nothing_;  // of each comparison, if nothing of the list is there
  std::vector<Rated> rated_;
  std::vector<double> unknown_logs_;
  std::size_t readings_ = 0;
  Weighed out_;
};

}  // namespace

Weighed weigh(std::span<const Stretch> stretches, std::optional<std::int64_t> missing,
              double content, const Stopped& stopped) {
  return Weigher(stretches, missing, content, stopped).weigh();
}

}  // namespace penstock::reconcile
