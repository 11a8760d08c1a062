// The bare formula for many pairs: Phi out of a table of its own Taylor polynomials, since a
// million calls of erfc are most of a million answers.
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "core/reach/reach.hpp"

namespace penstock::reach {
namespace {

/// Phi around nodes a sixteenth apart, from -9 to 9: degree 6, so within 4e-14 everywhere (the next
/// term is d^7 / 7! at d = 1/32). Beyond, Phi is 0 or 1 to 1e-19. A test compares it with erfc.
constexpr double ends = 9;
constexpr int nodes_per_unit = 16;
constexpr int degree = 6;
constexpr std::size_t nodes = 2 * static_cast<std::size_t>(ends) * nodes_per_unit + 1;
using Polynomial = std::array<double, degree + 1>;

std::array<Polynomial, nodes> polynomials() {
  std::array<Polynomial, nodes> out{};
  for (std::size_t i = 0; i < nodes; ++i) {
    const double z = static_cast<double>(i) / nodes_per_unit - ends;
    const double density = std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
    out[i][0] = 0.5 * std::erfc(-z / std::numbers::sqrt2);
    // The n-th derivative of Phi is (-1)^(n-1) He_(n-1) times the density; He by its recurrence.
    double hermite = 1, before = 0, factorial = 1;
    for (int n = 1; n <= degree; ++n) {
      factorial *= n;
      out[i][static_cast<std::size_t>(n)] = (n % 2 == 1 ? hermite : -hermite) * density / factorial;
      const double next = z * hermite - (n - 1) * before;
      before = hermite;
      hermite = next;
    }
  }
  return out;
}

}  // namespace

void muscle_chances(std::span<const double> tips_mm, std::span<const double> medians_mm, double s,
                    std::span<double> out) {
  INVARIANT(tips_mm.size() == medians_mm.size() && tips_mm.size() == out.size() && s > 0);
  static const auto table = polynomials();
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double z = std::clamp(std::log(tips_mm[i] / medians_mm[i]) / s, -ends, ends);
    const double place = (z + ends) * nodes_per_unit;
    const auto node = static_cast<int>(place + 0.5);
    const double d = (place - node) / nodes_per_unit;
    const auto& p = table[static_cast<std::size_t>(node)];
    double sum = p[degree];
    for (std::size_t n = degree; n-- > 0;) sum = sum * d + p[n];
    out[i] = sum;
  }
}

}  // namespace penstock::reach
