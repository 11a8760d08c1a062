#include "core/reconcile/weigh/grid.hpp"

#include <algorithm>
#include <cmath>

namespace penstock::reconcile {
namespace {

constexpr double pi = 3.14159265358979323846;
constexpr double tail = 1e-9;

void normalise(std::vector<double>& masses) {
  double total = 0;
  for (const auto mass : masses) total += mass;
  if (total <= 0) return;
  for (auto& mass : masses) mass /= total;
}

}  // namespace

Pmf binomial(int n, double p) {
  Pmf out(static_cast<std::size_t>(n) + 1, 0.0);
  if (p <= 0 || p >= 1) {
    out[p <= 0 ? 0 : static_cast<std::size_t>(n)] = 1;
    return out;
  }
  // From the mode outwards: what underflows is nothing beside it.
  const auto mode = std::min(n, static_cast<int>((n + 1) * p));
  const double odds = p / (1 - p);
  out[static_cast<std::size_t>(mode)] = 1;
  for (int k = mode; k < n; ++k) {
    out[static_cast<std::size_t>(k) + 1] =
        out[static_cast<std::size_t>(k)] * (n - k) / (k + 1) * odds;
  }
  for (int k = mode; k > 0; --k) {
    out[static_cast<std::size_t>(k) - 1] =
        out[static_cast<std::size_t>(k)] * k / (n - k + 1) / odds;
  }
  normalise(out);
  return out;
}

Pmf negative_binomial(double mean, double spread) {
  // mean = r q / (1 - q), variance over mean = 1 / (1 - q).
  const double q = 1 - 1 / spread;
  const double r = mean * (1 - q) / q;
  const auto mode = static_cast<std::size_t>(std::max(0.0, std::floor((r - 1) * q / (1 - q))));
  Pmf down{1.0};
  for (auto k = mode; k > 0; --k) {
    const auto kd = static_cast<double>(k);
    down.push_back(down.back() * kd / ((kd - 1 + r) * q));
  }
  Pmf out(down.rbegin(), down.rend());
  for (auto k = static_cast<double>(mode); out.back() > tail || k < mean; ++k) {
    out.push_back(out.back() * (k + r) / (k + 1) * q);
  }
  normalise(out);
  return out;
}

double normal_density(double x, double sd) {
  const double z = x / sd;
  return std::exp(-z * z / 2) / (sd * std::sqrt(2 * pi));
}
double normal_below(double x, double sd) { return std::erfc(-x / (sd * std::sqrt(2.0))) / 2; }

Interval shortest(const Line& line, double share) {
  double total = 0;
  for (const auto mass : line.mass) total += mass;
  if (total <= 0) return {};
  const auto at = [&](std::size_t i) { return line.start + line.step * static_cast<double>(i); };
  Interval best{at(0), at(line.mass.size() - 1)};
  double inside = 0;
  for (std::size_t low = 0, high = 0; low < line.mass.size(); inside -= line.mass[low++]) {
    while (high < line.mass.size() && inside < share * total) inside += line.mass[high++];
    if (inside < share * total) break;
    if (at(high - 1) - at(low) < best.high - best.low) best = {at(low), at(high - 1)};
  }
  return best;
}

Sum::Sum(double low, double high, std::size_t cells_most, double step_least) {
  line_.step = std::max(step_least, (high - low) / static_cast<double>(cells_most));
  line_.start = 0;
  line_.mass = {1.0};
}

void Sum::add(const std::vector<double>& places, const std::vector<double>& masses) {
  const auto [least, most] = std::ranges::minmax(places);
  const auto first = static_cast<std::ptrdiff_t>(std::floor(least / line_.step));
  const auto last = static_cast<std::ptrdiff_t>(std::floor(most / line_.step)) + 1;
  std::vector<double> cells(static_cast<std::size_t>(last - first) + 1, 0.0);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const double place = places[i] / line_.step - static_cast<double>(first);
    const auto cell = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(cell);
    cells[cell] += masses[i] * (1 - part);
    cells[cell + 1] += masses[i] * part;
  }
  std::vector<double> next(line_.mass.size() + cells.size() - 1, 0.0);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (cells[i] <= 0) continue;
    for (std::size_t j = 0; j < line_.mass.size(); ++j) next[i + j] += cells[i] * line_.mass[j];
  }
  line_.start += static_cast<double>(first) * line_.step;
  line_.mass = std::move(next);
}

}  // namespace penstock::reconcile
